"""The Lot sheet: one table named Lot, one row a trailer, written from the columns."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import groupby

from openpyxl.comments import Comment
from openpyxl.formatting.rule import Rule
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.table import Table, TableFormula
from openpyxl.worksheet.worksheet import Worksheet

from tarelot.calc.cells.formulas import Call, Cell, call_formula, cell_formula, unguarded_formula
from tarelot.workbook_templates.basis import style
from tarelot.workbook_templates.basis.references import row_reference, table_column
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.lot import written
from tarelot.workbook_templates.lot.column import Column, Input, Result, in_units
from tarelot.workbook_templates.lot.columns import CHECKS, COLUMNS, FIGURES, GLANCE, TABLE, TRAILER

SHEET = "Lot"
BAND_ROW, HEADING_ROW, FIRST_ROW = 3, 4, 5
REACH = 20_000
"""Row down to which entry rules and highlights reach, well below the last trailer."""
BANDS = {GLANCE: style.GLANCE_BAND, FIGURES: style.FIGURES_BAND, CHECKS: style.CHECKS_BAND}
FORMATS = {
    "figure": style.FIGURE,
    "weight or nothing": style.NONZERO,
    "share": style.SHARE,
    "angle": style.ANGLE,
    "distance": "0.00",
    "year": style.YEAR,
    "check": style.AMOUNT,
    "count": style.COUNT,
    "date": style.DATE,
    "money": style.MONEY,
    "number": style.DECIMAL,
    "whole": style.YEAR,
}
ROW_HEIGHT = 16
LEFT_KINDS = ("text", "check text")


def result_formula(column: Result, units: Units, *, by_name: bool = False) -> str:
    """The formula of a result column, without ``=``; ``by_name`` where the add-in's functions are to be called."""
    if column.call is None:
        return written.formula(column.heading, units, by_name=by_name)
    call = in_references(in_units(column.call, units))
    if by_name:
        formula = call_formula(call)
    elif column.alike:
        formula = f'IF({row_reference(units.heading(column.alike))}="","",{unguarded_formula(call)})'
    else:
        formula = cell_formula(call)
    if column.unless_above:
        above, limit = (row_reference(units.heading(heading)) for heading in column.unless_above)
        formula = f'IF(N({above})>N({limit}),"",{formula})'
    return formula


def in_references(call: Call) -> Call:
    """A call with references into the table in place of headings."""

    def convert(argument: Cell | Call | float | str | None) -> Cell | Call | float | str | None:
        if isinstance(argument, Call):
            return in_references(argument)
        if not isinstance(argument, Cell):
            return argument
        table, bracket, heading = argument.reference.partition("[")
        return Cell(table_column(table, heading[:-1]) if bracket else row_reference(argument.reference))

    return Call(call.function, tuple(map(convert, call.arguments)))


def write(sheet: Worksheet, rows: Sequence[Mapping[str, object]], units: Units, *, by_name: bool) -> None:
    """Write the whole sheet; ``rows`` may be empty mappings, for rows to be filled later."""
    style.title(sheet, "Lot", "One row a trailer. Type in the cream cells; the grey ones fill themselves.")
    formulas = {c.heading: "=" + result_formula(c, units, by_name=by_name) for c in COLUMNS if isinstance(c, Result)}
    for place, column in enumerate(COLUMNS, 1):
        _write_heading(sheet, place, column, units)
        _write_cells(sheet, place, column, rows, units, formulas.get(column.heading))
        _add_rule(sheet, place, column)
    _write_bands(sheet)
    _add_table(sheet, len(rows), units, formulas)
    _set_up_page(sheet, len(rows), units)


def _write_heading(sheet: Worksheet, place: int, column: Column, units: Units) -> None:
    """One heading with its note."""
    cell = sheet.cell(HEADING_ROW, place, units.heading(column.heading))
    band = BANDS.get(column.group, style.GIVEN_BAND)
    cell.font, cell.fill = style.font(size=9, bold=True), style.fill(band.heading)
    cell.alignment, cell.border = style.HEADING, style.HEADING_LINE
    note = Comment(column.message if isinstance(column, Input) else column.note, "Tarelot", height=90, width=260)
    cell.comment = note
    sheet.column_dimensions[get_column_letter(place)].width = column.width


def _write_cells(
    sheet: Worksheet,
    place: int,
    column: Column,
    rows: Sequence[Mapping[str, object]],
    units: Units,
    formula: str | None,
) -> None:
    """A column's cells: what was typed, or the formula."""
    heading = units.heading(column.heading)
    font = style.font(bold=place == 1)
    back = style.fill(style.TYPED if isinstance(column, Input) else style.FILLED)
    alignment = style.LEFT if column.kind in LEFT_KINDS else style.RIGHT
    for number, row in enumerate(rows, FIRST_ROW):
        sheet.row_dimensions[number].height = ROW_HEIGHT
        cell = sheet.cell(number, place, formula or row.get(heading))
        if not formula and isinstance(cell.value, str):
            cell.data_type = "s"
        cell.font, cell.fill, cell.alignment, cell.border = font, back, alignment, style.HAIRLINE
        if column.kind in FORMATS:
            cell.number_format = FORMATS[column.kind]


def _add_rule(sheet: Worksheet, place: int, column: Column) -> None:
    """The entry rule of an input, or the highlight of a result that may tell of a conflict."""
    letter = get_column_letter(place)
    area = f"{letter}{FIRST_ROW}:{letter}{REACH}"
    if isinstance(column, Input):
        sheet.add_data_validation(_entry_rule(column, area))
    elif column.kind in ("check", "check text", "count") or column.heading == "What conflicts":
        first = f"{letter}{FIRST_ROW}"
        found = f'AND({first}<>"",{first}<>"ok",{first}<>0)'
        rule = Rule(type="expression", dxf=style.CONFLICT, formula=[found])
        sheet.conditional_formatting.add(area, rule)


def _entry_rule(column: Input, area: str) -> DataValidation:
    """What may be typed, with the message that a refused entry shows."""
    limits: dict[str, dict[str, str]] = {
        "whole": {"type": "whole", "operator": "between", "formula1": "1", "formula2": f"{column.greatest:g}"},
        "number": {"type": "decimal", "operator": "greaterThan", "formula1": "0"},
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
    rule.errorStyle, rule.showErrorMessage, rule.showInputMessage = "stop", True, True
    rule.errorTitle, rule.error = "Not taken", f"{column.message} {_expected(column)}"
    rule.promptTitle, rule.prompt = column.heading.partition(" (")[0], column.message
    rule.add(area)
    return rule


def _expected(column: Input) -> str:
    """What is allowed, in words, for the message of a refused entry."""
    if column.choices:
        return "Choose from the list."
    return {
        "whole": f"A whole number from 1 to {column.greatest:g} is needed.",
        "number": "A number above 0 is needed.",
        "money": "An amount is needed.",
        "share": "A share between 0 and 1 is needed, such as 12%.",
        "date": "A date from 1980 on is needed.",
        "text": f"At most {column.greatest:g} characters.",
    }[column.kind]


def _write_bands(sheet: Worksheet) -> None:
    """The bands above the headings; each group but the first two folds away at its first column."""
    place = 1
    for group, members in groupby(COLUMNS, key=lambda column: column.group):
        count = len(list(members))
        band = BANDS.get(group, style.GIVEN_BAND)
        for column in range(place, place + count):
            cell = sheet.cell(BAND_ROW, column)
            cell.fill, cell.font, cell.alignment = (
                style.fill(band.band),
                style.font(bold=True, color=band.band_ink),
                style.LEFT,
            )
            if group not in (TRAILER, GLANCE) and column > place:
                sheet.column_dimensions[get_column_letter(column)].outlineLevel = 1
        sheet.cell(BAND_ROW, place, group)
        place += count
    sheet.sheet_properties.outlinePr.summaryRight = False
    sheet.row_dimensions[BAND_ROW].height = 18
    sheet.row_dimensions[HEADING_ROW].height = 46


def _add_table(sheet: Worksheet, count: int, units: Units, formulas: Mapping[str, str]) -> None:
    """The table over headings and rows, with the formula of each result column for rows added later."""
    area = f"A{HEADING_ROW}:{get_column_letter(len(COLUMNS))}{HEADING_ROW + count}"
    table = Table(displayName=TABLE, name=TABLE, ref=area)
    table._initialise_columns()
    for member, column in zip(table.tableColumns, COLUMNS, strict=True):
        member.name = units.heading(column.heading)
        if column.heading in formulas:
            member.calculatedColumnFormula = TableFormula(attr_text=formulas[column.heading][1:])
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
