"""The Lot sheet: one table named Lot, one row a trailer, written from the columns."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from itertools import groupby

from openpyxl.comments import Comment
from openpyxl.formatting.rule import Rule
from openpyxl.styles import Alignment
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.table import Table, TableFormula
from openpyxl.worksheet.worksheet import Worksheet

from tarelot.calc.cells.expression import Cell, Expression, formula
from tarelot.calc.cells.spreadsheet import AND, LEFT
from tarelot.calc.checks import PASSED
from tarelot.workbook_templates.basis import style
from tarelot.workbook_templates.basis.asked_of_programs import typed_over
from tarelot.workbook_templates.basis.filled_down import fill_down
from tarelot.workbook_templates.basis.fractions import show_fractions
from tarelot.workbook_templates.basis.lettered import WHERE_TO_MEASURE, noted
from tarelot.workbook_templates.basis.number_texts import keep_as_texts, whole_column
from tarelot.workbook_templates.basis.references import LOWEST_ROW
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.lot.column import CHECKS, FIGURES, GLANCE, HELPERS, TRAILER, Column, Input, Result
from tarelot.workbook_templates.lot.columns import COLUMNS, TABLE
from tarelot.workbook_templates.lot.expressions import in_row, result_formulas
from tarelot.workbook_templates.lot.written import CONFLICT

SHEET = "Lot"
BAND_ROW, HEADING_ROW, FIRST_ROW = 3, 4, 5
STOCK_NUMBERS = f"{SHEET}!$A${FIRST_ROW}:$A${LOWEST_ROW}"
"""The list from which other sheets choose a trailer."""
BANDS = {GLANCE: style.GLANCE_BAND, FIGURES: style.FIGURES_BAND, CHECKS: style.CHECKS_BAND, HELPERS: style.FIGURES_BAND}
FORMATS = {
    "figure": style.FIGURE,
    "weight or nothing": style.NONZERO,
    "share": style.SHARE,
    "angle": style.ANGLE,
    "distance": "0.00",
    "year": style.YEAR,
    "check": style.AMOUNT,
    "date": style.DATE,
    "money": style.MONEY,
    "number": style.FIGURE,
    "from zero": style.FIGURE,
    "whole": style.YEAR,
}
TITLE_EVERY = 70
"""Width of columns after which a wide band says its title once more; a screen holds some 190."""
TEXT = "@"
"""What is typed stays as it was typed, such as the stock numbers 007, 1E5 and 3-4."""
LEFT_KINDS = ("text", "check text", "verdict")
SHOWN = Cell("shown")
HIGHLIGHTS: dict[str, Expression] = {
    "check": AND(SHOWN.differs(""), SHOWN.differs(0)),
    "check text": AND(SHOWN.differs(""), SHOWN.differs(PASSED)),
    "verdict": LEFT(SHOWN, 1).equals(CONFLICT),
}
"""When a result of a kind tells of a conflict."""
TOLD_IN_WORDS = ("what_conflicts", "entry_check")
"""Texts that stand only where something is wrong."""


def write(sheet: Worksheet, rows: Sequence[Mapping[str, object]], units: Units, *, by_name: bool) -> None:
    """Write the whole sheet; ``rows`` may be empty mappings, for rows to be filled later."""
    style.title(sheet, "Lot", "One row a trailer. Type in the cream cells; the gray ones fill themselves.")
    style.link(sheet, "C1", f"{WHERE_TO_MEASURE}: a drawing with every length", WHERE_TO_MEASURE)
    formulas = result_formulas(units, by_name=by_name)
    mark_results(sheet, COLUMNS, FIRST_ROW + len(rows) - 1)
    for place, column in enumerate(COLUMNS, 1):
        write_column(sheet, place, column, rows, units, formulas)
    texts = [place for place, column in enumerate(COLUMNS, 1) if isinstance(column, Input) and column.kind == "text"]
    keep_as_texts(sheet, [whole_column(place, FIRST_ROW) for place in texts])
    write_bands(sheet, COLUMNS, (TRAILER, GLANCE))
    add_table(sheet, TABLE, COLUMNS, len(rows), units, formulas)
    _set_up_page(sheet, len(rows), units)


def write_column(
    sheet: Worksheet,
    place: int,
    column: Column,
    rows: Sequence[Mapping[str, object]],
    units: Units,
    formulas: Mapping[str, str],
    *,
    has_rule: bool = True,
) -> None:
    """A column of a sheet such as the Lot: its heading with its note, its cells, its entry rule or highlight.

    Args:
        sheet: The sheet.
        place: The column's number.
        column: The column.
        rows: Inputs by heading.
        units: The workbook's units.
        formulas: The formulas of the results by heading.
        has_rule: Whether its entry rule is written; else it has one of its own.
    """
    _write_heading(sheet, place, column, units)
    _write_cells(sheet, place, column, rows, units, formulas.get(units.heading(column.heading)))
    if has_rule:
        _add_rule(sheet, place, column, FIRST_ROW + len(rows) - 1)


def mark_results(sheet: Worksheet, columns: Sequence[Column], last: int) -> None:
    """Give results that are typed over a look of their own, and show what a weight or length has behind its point."""
    results = _areas(columns, last, lambda column: isinstance(column, Result))
    sheet.conditional_formatting.add(" ".join(results), typed_over(results[0].partition(":")[0]))
    show_fractions(sheet, _areas(columns, last, lambda column: column.kind in ("number", "from zero")))


def _write_heading(sheet: Worksheet, place: int, column: Column, units: Units) -> None:
    """One heading with its note."""
    cell = sheet.cell(HEADING_ROW, place, units.heading(column.heading))
    band = BANDS.get(column.group, style.GIVEN_BAND)
    cell.font, cell.fill = style.font(size=9, bold=True), style.fill(band.heading)
    cell.alignment, cell.border = style.HEADING, style.HEADING_LINE
    note = noted(SHEET, column.key, column.message) if isinstance(column, Input) else column.note
    cell.comment = Comment(note, "Tarelot", height=90, width=260)
    sheet.column_dimensions[get_column_letter(place)].width = style.heading_width(str(cell.value), column.width)


def _write_cells(
    sheet: Worksheet,
    place: int,
    column: Column,
    rows: Sequence[Mapping[str, object]],
    units: Units,
    written: str | None,
) -> None:
    """A column's cells: what was typed, or the formula.

    No row has a height of its own: programs give it the height of its words, on the screen and on paper.
    """
    heading = units.heading(column.heading)
    numbers = range(FIRST_ROW, FIRST_ROW + len(rows))
    cells = [sheet.cell(number, place) for number in numbers]
    if written:
        fill_down(cells, [in_row(written, number) for number in numbers], place)
    else:
        for cell, row in zip(cells, rows, strict=True):
            cell.value = row.get(heading)
            if isinstance(cell.value, str):
                cell.data_type = "s"
    is_typed = isinstance(column, Input)
    style.give_look(
        cells,
        font=style.font(bold=place == 1, size=11 if place == 1 else 9 if column.key in TOLD_IN_WORDS else 10),
        fill=style.fill(style.TYPED if is_typed else style.FILLED),
        border=style.HAIRLINE,
        alignment=_alignment(column),
        number_format=TEXT if is_typed and column.kind == "text" else FORMATS.get(column.kind, "General"),
    )


def _alignment(column: Column) -> Alignment:
    """Words on the left, figures on the right."""
    if column.key in TOLD_IN_WORDS:
        return style.WRAPPED
    return style.LEFT if column.kind in LEFT_KINDS else style.RIGHT


def _add_rule(sheet: Worksheet, place: int, column: Column, last: int) -> None:
    """The entry rule of an input, or the highlight of a result that may tell of a conflict, to the table's last row.

    No farther: some programs take cells with a rule for filled ones, and let the table reach down to them.
    """
    letter = get_column_letter(place)
    area = f"{letter}{FIRST_ROW}:{letter}{last}"
    if isinstance(column, Input):
        _add_entry_rule(sheet, column, area)
        return
    highlight = SHOWN.differs("") if column.key in TOLD_IN_WORDS else HIGHLIGHTS.get(column.kind)
    if highlight is not None:
        found = formula(highlight, {SHOWN.key: f"{letter}{FIRST_ROW}"})
        sheet.conditional_formatting.add(area, Rule(type="expression", dxf=style.CONFLICT, formula=[found]))


def _areas(columns: Sequence[Column], last: int, chosen: Callable[[Column], bool]) -> list[str]:
    """The cells of the chosen columns."""
    letters = [get_column_letter(place) for place, column in enumerate(columns, 1) if chosen(column)]
    return [f"{letter}{FIRST_ROW}:{letter}{last}" for letter in letters]


def _add_entry_rule(sheet: Worksheet, column: Input, area: str) -> None:
    """What may be typed, with the message that a refused entry shows."""
    limits: dict[str, dict[str, str]] = {
        "whole": {"type": "whole", "operator": "between", "formula1": "1", "formula2": f"{column.greatest:g}"},
        "number": {"type": "decimal", "operator": "greaterThan", "formula1": "0"},
        "from zero": {"type": "decimal", "operator": "greaterThanOrEqual", "formula1": "0"},
        "money": {"type": "decimal", "operator": "greaterThanOrEqual", "formula1": "0"},
        "share": {"type": "decimal", "operator": "between", "formula1": "0.001", "formula2": "0.999"},
        "date": {"type": "date", "operator": "greaterThan", "formula1": "29221"},
        "text": {"type": "textLength", "operator": "between", "formula1": "1", "formula2": f"{column.greatest:g}"},
    }
    if column.choices:
        words = ",".join(column.choices)
        rule = DataValidation(type="list", formula1=f'"{words}"', allow_blank=True)
    else:
        rule = DataValidation(allow_blank=True, **limits[column.kind])
    asks = column.heading.partition(" (")[0], column.message
    style.entry_rule(sheet, rule, area, f"{column.message} {_expected(column)}", asks)


def _expected(column: Input) -> str:
    """What is allowed, in words, for the message of a refused entry."""
    if column.choices:
        return "Choose from the list."
    return {
        "whole": f"A whole number from 1 to {column.greatest:g} is needed.",
        "number": "A number above 0 is needed.",
        "from zero": "A number is needed, 0 or more.",
        "money": "An amount is needed.",
        "share": "A share between 0 and 1 is needed, such as 12%.",
        "date": "A date from 1980 on is needed.",
        "text": f"At most {column.greatest:g} characters.",
    }[column.kind]


def write_bands(sheet: Worksheet, columns: Sequence[Column], kept: Collection[str]) -> None:
    """The bands above the headings; each group but those that are kept folds away at its first column.

    A wide band says its title again and again, so that it is in sight wherever a person scrolled to.
    """
    place = 1
    for group, members in groupby(columns, key=lambda column: column.group):
        count = len(list(members))
        band = BANDS.get(group, style.GIVEN_BAND)
        since = TITLE_EVERY
        for column in range(place, place + count):
            if since >= TITLE_EVERY:
                sheet.cell(BAND_ROW, column, group)
                since = 0
            since += sheet.column_dimensions[get_column_letter(column)].width
            cell = sheet.cell(BAND_ROW, column)
            cell.fill, cell.font, cell.alignment = (
                style.fill(band.band),
                style.font(bold=True, color=band.band_ink),
                style.LEFT,
            )
            if group not in kept and column > place:
                sheet.column_dimensions[get_column_letter(column)].outlineLevel = 1
        place += count
    sheet.sheet_properties.outlinePr.summaryRight = False
    sheet.row_dimensions[BAND_ROW].height = 18
    sheet.row_dimensions[HEADING_ROW].height = 46


def add_table(
    sheet: Worksheet, name: str, columns: Sequence[Column], count: int, units: Units, formulas: Mapping[str, str]
) -> None:
    """The table over headings and rows, with the formula of each result column for rows added later."""
    area = f"A{HEADING_ROW}:{get_column_letter(len(columns))}{HEADING_ROW + count}"
    table = Table(displayName=name, name=name, ref=area)
    table._initialise_columns()
    for member, column in zip(table.tableColumns, columns, strict=True):
        member.name = units.heading(column.heading)
        if member.name in formulas:
            member.calculatedColumnFormula = TableFormula(attr_text=in_row(formulas[member.name], FIRST_ROW))
    sheet.add_table(table)


def _set_up_page(sheet: Worksheet, count: int, units: Units) -> None:
    """Frozen panes and printing: the groups that say what a trailer is and carries, on one page's width."""
    sheet.freeze_panes = sheet.cell(FIRST_ROW, 3)
    sheet.sheet_view.zoomScale = 100
    sheet.sheet_view.showGridLines = False
    style.print_on(sheet, paper=units.paper, landscape=True)
    printed = sum(column.group in (TRAILER, GLANCE) for column in COLUMNS)
    sheet.print_area = f"A1:{get_column_letter(printed)}{HEADING_ROW + count}"
    sheet.print_title_rows = f"{BAND_ROW}:{HEADING_ROW}"
