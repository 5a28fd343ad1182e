"""The Tickets sheet: one table named Tickets, one row a weighing, written from the columns as the Lot is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from openpyxl.styles import Alignment
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.worksheet import Worksheet

from tarelot.workbook_templates.basis import style
from tarelot.workbook_templates.basis.limits import Typed
from tarelot.workbook_templates.basis.number_texts import keep_as_texts, whole_column
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.lot import sheet as lot
from tarelot.workbook_templates.lot.column import CHECKS, HELPERS, Input
from tarelot.workbook_templates.sheets import demo_yard
from tarelot.workbook_templates.sheets.list_sheet import read_demo
from tarelot.workbook_templates.sheets.tickets.columns import COLUMNS, KEY, SHEET, TABLE, inputs, results
from tarelot.workbook_templates.sheets.tickets.results import result_formulas, ticket_results

FIRST_ROW, HEADING_ROW = lot.FIRST_ROW, lot.HEADING_ROW
STOCK = [column.key for column in COLUMNS].index("stock") + 1
HINT = "One row a weighing: level, same driver and fuel on every ticket. Type in the cream cells; the gray ones fill."
CAUTION_CELL = "F1"
NOT_FOUND = "It is not like this on the Lot sheet. Entry check names one that the Lot lacks."
ROW_HEIGHT, HEADING_HEIGHT = 33, 48
WORDS = Alignment(horizontal="left", vertical="center", wrap_text=True, indent=1)
Stored = dict[str, float | str | bool | None]


def write(sheet: Worksheet, rows: Sequence[Mapping[str, object]], units: Units, *, by_name: bool = False) -> None:
    """Write the sheet; empty mappings are rows to be filled later."""
    style.title(sheet, SHEET, HINT)
    sheet[CAUTION_CELL], sheet[CAUTION_CELL].font = style.CAUTION, style.font(bold=True, color=style.CONFLICT_INK)
    formulas = result_formulas(units, by_name=by_name)
    last = FIRST_ROW + len(rows) - 1
    lot.mark_results(sheet, COLUMNS, last)
    for place, column in enumerate(COLUMNS, 1):
        if column.key != "stock":
            lot.write_column(sheet, place, column, rows, units, formulas)
    _write_stock(sheet, rows, units, last)
    keep_as_texts(sheet, [whole_column(STOCK, FIRST_ROW)])
    lot.write_bands(sheet, COLUMNS, {column.group for column in COLUMNS} - {HELPERS})
    lot.add_table(sheet, TABLE, COLUMNS, len(rows), units, formulas)
    _wrap_words(sheet, last)
    _set_up_page(sheet, last, units)


def _write_stock(sheet: Worksheet, rows: Sequence[Mapping[str, object]], units: Units, last: int) -> None:
    """The stock numbers, each chosen from the Lot; another is asked about and not refused.

    LibreOffice finds a text by a text alone: one typed here is a text, and the Lot may hold it as a number.
    """
    column = COLUMNS[STOCK - 1]
    assert isinstance(column, Input)
    lot.write_column(sheet, STOCK, column, rows, units, {}, has_rule=False)
    letter = get_column_letter(STOCK)
    rule = DataValidation(type="list", formula1=lot.STOCK_NUMBERS, allow_blank=True)
    area = f"{letter}{FIRST_ROW}:{letter}{last}"
    style.entry_rule(sheet, rule, area, NOT_FOUND, (KEY, column.message))
    style.ask_only(rule)


def _wrap_words(sheet: Worksheet, last: int) -> None:
    """Words stand whole in their cells, in small type; what stands behind checks is folded away."""
    for number in range(FIRST_ROW, last + 1):
        sheet.row_dimensions[number].height = ROW_HEIGHT
    sheet.row_dimensions[HEADING_ROW].height = HEADING_HEIGHT
    for place, column in enumerate(COLUMNS, 1):
        if column.group == HELPERS:
            sheet.column_dimensions[get_column_letter(place)].outlineLevel = 1
            sheet.column_dimensions[get_column_letter(place)].hidden = True
        if column.group == CHECKS or column.key == "verdict":
            cells = [sheet.cell(number, place) for number in range(FIRST_ROW, last + 1)]
            style.give_look(cells, alignment=WORDS, font=style.font(size=9 if column.key == "verdict" else 8))


def _set_up_page(sheet: Worksheet, last: int, units: Units) -> None:
    sheet.freeze_panes = sheet.cell(FIRST_ROW, STOCK + 1)
    sheet.sheet_view.showGridLines = False
    style.print_on(sheet, paper=units.paper, landscape=True)
    shown = sum(column.group != HELPERS for column in COLUMNS)
    sheet.print_area = f"A1:{get_column_letter(shown)}{last}"
    sheet.print_title_rows = f"{lot.BAND_ROW}:{HEADING_ROW}"


def stored(
    rows: Sequence[Mapping[str, object]],
    lot_rows: Sequence[Mapping[str, object]],
    units: Units,
    limits: Typed | None = None,
) -> Stored:
    """The result of every formula, by cell.

    Args:
        rows: Inputs by heading.
        lot_rows: Inputs and results of the lot by heading, in the table's order.
        units: The workbook's units.
        limits: What the yard typed on its Limits sheet.
    """
    places = [column.key for column in COLUMNS]
    letters = {column.key: get_column_letter(places.index(column.key) + 1) for column in results()}
    found = ticket_results(rows, lot_rows, units, limits)
    return {
        f"{letters[key]}{number}": value for number, row in enumerate(found, FIRST_ROW) for key, value in row.items()
    }


def demo_rows() -> list[dict[str, demo_yard.Typed]]:
    """The demo yard's invented weighings, by heading."""
    return read_demo("tickets.csv", tuple(inputs()))
