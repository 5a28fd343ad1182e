"""A sheet that holds one table, one row a machine or a truck: its cells, notes, entry rules, and the entry check.

The entry check is the row's doubt: blank where every entry is what belongs there and is likely.
"""

from __future__ import annotations

import csv
from collections.abc import Mapping, Sequence

from openpyxl.comments import Comment
from openpyxl.formatting.rule import Rule
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.table import Table, TableFormula
from openpyxl.worksheet.worksheet import Worksheet

from tarelot.calc.cells.expression import Cell, Constant, Expression, Range, formula, value
from tarelot.calc.cells.spreadsheet import IF, IFERROR, LEN, SUMPRODUCT, TRIM, is_blank
from tarelot.calc.rules.entries import Doubts
from tarelot.workbook_templates.basis import limits, style
from tarelot.workbook_templates.basis.fractions import show_fractions
from tarelot.workbook_templates.basis.lettered import WHERE_TO_MEASURE, noted
from tarelot.workbook_templates.basis.number_texts import keep_as_texts, whole_column
from tarelot.workbook_templates.basis.references import table_column
from tarelot.workbook_templates.basis.units import US, Units
from tarelot.workbook_templates.lot.column import Input, found
from tarelot.workbook_templates.lot.entries import entry_figures, list_doubt
from tarelot.workbook_templates.lot.expressions import ROW
from tarelot.workbook_templates.sheets import demo_yard

HEADING_ROW, FIRST_ROW, REACH = 4, 5, 2_000
LINK = "C1"
"""The cell that leads to the drawing."""
TEXT_KINDS, FIGURE_KINDS = ("key", "text"), ("number", "from zero", "offset")
CHECK = found(
    "doubt",
    "Entry check",
    "",
    "text",
    "What is wrong with what was typed in this row, or not likely. What-if, Match and Card say no YES on it.",
    width=44,
)
"""The column behind the inputs."""


def read_demo(name: str, columns: Sequence[Input]) -> list[dict[str, demo_yard.Typed]]:
    """Rows of one of the demo yard's files, whose headings lack units."""
    with (demo_yard.FOLDER / name).open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    return [
        {
            US.heading(c.heading): row[c.heading.partition(" (")[0]] or None
            if c.kind in TEXT_KINDS
            else demo_yard.typed(c, row[c.heading.partition(" (")[0]])
            for c in columns
        }
        for row in rows
    ]


def write_table(
    sheet: Worksheet,
    table: str,
    columns: Sequence[Input],
    asked: Doubts,
    rows: Sequence[Mapping[str, object]],
    units: Units,
    hint: str,
) -> None:
    """Write a sheet that holds one table of inputs with entry rules.

    Args:
        sheet: The empty sheet.
        table: Name of the table, which is the sheet's title too.
        columns: The inputs; the first is the key.
        asked: What is asked of the row's figures.
        rows: Values by heading.
        units: The workbook's units.
        hint: What to do here, below the title.
    """
    style.title(sheet, table, hint)
    style.link(sheet, LINK, f"{WHERE_TO_MEASURE}: a drawing with every length", WHERE_TO_MEASURE)
    for place, column in enumerate(columns, 1):
        _write_column(sheet, place, column, rows, units)
        note = noted(table, column.key, column.message)
        sheet.cell(HEADING_ROW, place).comment = Comment(note, "Tarelot", height=90, width=260)
    texts = [place for place, column in enumerate(columns, 1) if column.kind in TEXT_KINDS]
    keep_as_texts(sheet, [whole_column(place, FIRST_ROW) for place in texts])
    checked = check_formula(table, columns, asked, units)
    _write_check(sheet, len(columns) + 1, checked, len(rows))
    area = f"A{HEADING_ROW}:{get_column_letter(len(columns) + 1)}{HEADING_ROW + len(rows)}"
    made = Table(displayName=table, name=table, ref=area)
    made._initialise_columns()
    headings = [*(units.heading(column.heading) for column in columns), CHECK.heading]
    for member, heading in zip(made.tableColumns, headings, strict=True):
        member.name = heading
    made.tableColumns[-1].calculatedColumnFormula = TableFormula(attr_text=checked.replace(ROW, str(FIRST_ROW)))
    sheet.add_table(made)
    sheet.row_dimensions[HEADING_ROW].height = 40
    sheet.freeze_panes = sheet.cell(FIRST_ROW, 2)
    sheet.sheet_view.showGridLines = False
    style.print_on(sheet, paper=units.paper, landscape=True)
    sheet.print_title_rows = f"{HEADING_ROW}:{HEADING_ROW}"


def _write_column(
    sheet: Worksheet, place: int, column: Input, rows: Sequence[Mapping[str, object]], units: Units
) -> None:
    """One column: heading, cells, entry rule."""
    letter, heading = get_column_letter(place), units.heading(column.heading)
    cell = sheet.cell(HEADING_ROW, place, heading)
    cell.font, cell.fill = style.font(size=9, bold=True), style.fill(style.GIVEN_BAND.heading)
    cell.alignment, cell.border = style.HEADING, style.HEADING_LINE
    sheet.column_dimensions[letter].width = style.heading_width(str(cell.value), column.width)
    is_text = column.kind in TEXT_KINDS
    cells = [sheet.cell(number, place, row.get(heading)) for number, row in enumerate(rows, FIRST_ROW)]  # type: ignore[arg-type]
    is_figure = column.kind == "number" or column.kind in FIGURE_KINDS
    style.give_look(
        cells,
        font=style.font(bold=place == 1),
        fill=style.fill(style.TYPED),
        border=style.HAIRLINE,
        alignment=style.LEFT if is_text else style.RIGHT,
        number_format="@" if is_text else style.FIGURE if is_figure else "0",
    )
    if column.kind in FIGURE_KINDS:
        show_fractions(sheet, [f"{letter}{FIRST_ROW}:{letter}{FIRST_ROW + len(rows) - 1}"])
    _add_entry_rule(sheet, column, letter, FIRST_ROW + len(rows) - 1)


NAMES = Range("names")
"""The names of all rows."""


def twice_words(table: str, key: str) -> str:
    """What is said of a name that stands twice in its table."""
    return f"{key.lower()} stands twice on {table}"


def spaced(name: Expression, key: str) -> Expression:
    """What is said of a name with spaces around it, which looks like another one and is not found by it."""
    return IF(LEN(TRIM(name)) < LEN(name), f"; {key}: a space too many in its name", "")


def _checked(table: str, columns: Sequence[Input], asked: Doubts, units: Units) -> Expression:
    """What the entry check says: what is refused, not likely, or stands twice or with spaces around it."""
    name = Cell(columns[0].key)
    same = IF(is_blank(name), 0, SUMPRODUCT(NAMES.equals(name) * 1))
    words = f"; {twice_words(table, columns[0].heading)}"
    twice = IFERROR(IF(same > 1, words, spaced(name, columns[0].heading)), f"; the names on {table} cannot be compared")
    return list_doubt(columns, asked, units, twice)


def check_formula(table: str, columns: Sequence[Input], asked: Doubts, units: Units) -> str:
    """The formula of the entry check, without ``=``; ``ROW`` stands for the row's number."""
    numbers = {key: Constant(amount).text({}) for key, amount in entry_figures(units).items()}
    cells = {column.key: f"{get_column_letter(place)}{ROW}" for place, column in enumerate(columns, 1)}
    places = {**limits.limit_places(units), **numbers, **cells, NAMES.key: table_column(table, columns[0].heading)}
    return formula(_checked(table, columns, asked, units), places)


def check_results(
    table: str,
    columns: Sequence[Input],
    asked: Doubts,
    rows: Sequence[Mapping[str, object]],
    units: Units,
    typed: limits.Typed | None = None,
) -> list[str]:
    """The entry check of each row, in words; blank where nothing is in doubt.

    Args:
        table: Name of the table.
        columns: The inputs; the first is the key.
        asked: What is asked of the row's figures.
        rows: Values by heading.
        units: The workbook's units.
        typed: What the yard typed on its Limits sheet; without it ours are used.
    """
    expression = _checked(table, columns, asked, units)
    names = [row.get(units.heading(columns[0].heading)) for row in rows]
    around = {NAMES.key: names, **limits.limit_values(units, typed), **entry_figures(units)}
    headings = {column.key: units.heading(column.heading) for column in columns}
    return [
        str(value(expression, {**around, **{key: row.get(heading) for key, heading in headings.items()}}))
        for row in rows
    ]


def _write_check(sheet: Worksheet, place: int, checked: str, count: int) -> None:
    """The column of the entry check, marked where it says something."""
    letter = get_column_letter(place)
    cell = sheet.cell(HEADING_ROW, place, CHECK.heading)
    cell.font, cell.fill = style.font(size=9, bold=True), style.fill(style.GLANCE_BAND.heading)
    cell.alignment, cell.border = style.HEADING, style.HEADING_LINE
    cell.comment = Comment(CHECK.note, "Tarelot", height=90, width=260)
    sheet.column_dimensions[letter].width = CHECK.width
    numbers = range(FIRST_ROW, FIRST_ROW + count)
    style.give_look(
        [sheet.cell(number, place, f"={checked.replace(ROW, str(number))}") for number in numbers],
        font=style.font(),
        fill=style.fill(style.FILLED),
        border=style.HAIRLINE,
        alignment=style.WRAPPED,
    )
    wrong = formula(Cell("shown").differs(""), {"shown": f"{letter}{FIRST_ROW}"})
    rule = Rule(type="expression", dxf=style.CONFLICT, formula=[wrong])
    sheet.conditional_formatting.add(f"{letter}{FIRST_ROW}:{letter}{FIRST_ROW + count - 1}", rule)


def _add_entry_rule(sheet: Worksheet, column: Input, letter: str, last: int) -> None:
    """What may be typed into a column, with the message that a refused entry shows."""
    area, first = f"{letter}${FIRST_ROW}:{letter}${REACH}", f"{letter}{FIRST_ROW}"
    limits: dict[str, dict[str, str]] = {
        "key": {
            "type": "custom",
            "formula1": f"AND(SUMPRODUCT(({area}={first})*1)=1,TRIM({first})={first},"
            f"LEN({first})<={column.greatest:g})",
        },
        "text": {"type": "textLength", "operator": "between", "formula1": "1", "formula2": f"{column.greatest:g}"},
        "number": {"type": "decimal", "operator": "greaterThan", "formula1": "0"},
        "from zero": {"type": "decimal", "operator": "greaterThanOrEqual", "formula1": "0"},
        "whole": {"type": "whole", "operator": "between", "formula1": "1", "formula2": f"{column.greatest:g}"},
        "offset": {"type": "decimal", "operator": "between", "formula1": "-100000", "formula2": "100000"},
    }
    expected = {
        "key": "A name is needed that stands nowhere else in this column, without spaces before or after it.",
        "text": f"At most {column.greatest:g} characters.",
        "number": "A number above 0 is needed.",
        "from zero": "A number is needed, 0 or more.",
        "whole": f"A whole number from 1 to {column.greatest:g} is needed.",
        "offset": "A number is needed; negative ahead of the rear axles.",
    }[column.kind]
    if column.choices:
        words = ",".join(column.choices)
        rule, expected = DataValidation(type="list", formula1=f'"{words}"', allow_blank=True), "Choose from the list."
    else:
        rule = DataValidation(allow_blank=True, **limits[column.kind])
    asks = column.heading.partition(" (")[0][:32], column.message
    style.entry_rule(sheet, rule, f"{first}:{letter}{last}", f"{column.message} {expected}", asks)
