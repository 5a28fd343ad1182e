"""The Quote sheet: one page to print for the customer, a trailer with its options as they are sold, and the total.

It follows the trailer chosen on What-if, or the one chosen on it. ``prices`` says what is added, ``entries`` what is
typed; here is the rest of the page: where it stands and its look.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache

from openpyxl.formatting.rule import Rule
from openpyxl.styles import Alignment, Border, Side
from openpyxl.worksheet.worksheet import Worksheet

from tarelot.calc.cells.expression import Cell, formula
from tarelot.calc.cells.spreadsheet import LEFT
from tarelot.workbook_templates.basis import style
from tarelot.workbook_templates.basis.references import Places
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling import followed
from tarelot.workbook_templates.hauling.asked import WRONG
from tarelot.workbook_templates.hauling.card import letterhead
from tarelot.workbook_templates.hauling.card.sheet import CAUTIONS, RULE, TEXT
from tarelot.workbook_templates.hauling.quote import entries, on_pin, page
from tarelot.workbook_templates.hauling.quote.page import ROW, TILES
from tarelot.workbook_templates.hauling.what_if.rows import TRAILER
from tarelot.workbook_templates.sheets import yard

SHEET = page.SHEET
WIDTHS = dict(zip("ABCDE", (3, 40, 18, 18, 24), strict=True))
FIRST, LAST = "A", "E"
CAUTIONS_SAID = CAUTIONS[:4]
"""Those of the Card but the one about driving on."""
AMOUNT = "#,##0.00"
AMOUNT_AT = Alignment(horizontal="right", vertical="center", shrink_to_fit=True, indent=1)
SIGNED = Border(top=Side("thin", color=style.INK))
NOTHING: Mapping[str, object] = {}
Stored = dict[str, float | str | bool | None]


@cache
def _places() -> dict[str, str]:
    """The cell of each key that the formulas read."""
    return {
        **page.cells(),
        **entries.places(),
        **entries.read_places(),
        **yard.places(),
        **followed.places({TRAILER: entries.places()[entries.CHOICE]}),
    }


def write(sheet: Worksheet, units: Units, head: Mapping[str, object] = NOTHING) -> None:
    """Write the Quote.

    Args:
        sheet: The empty sheet named Quote.
        units: The workbook's units.
        head: What is typed on it at first, by key.
    """
    for letter, width in WIDTHS.items():
        sheet.column_dimensions[letter].width = width
    letterhead.write_head(sheet, units, LAST, LAST, AMOUNT_AT)
    entries.write(sheet, head, units)
    on_pin.write(sheet, units)
    _write_title(sheet)
    _write_tiles(sheet, units)
    _write_lines(sheet)
    _write_totals(sheet, units)
    _write_foot(sheet)
    places = Places(_places())
    for key, said in page.expressions(units).items():
        sheet[page.cells()[key].replace("$", "")] = f"={formula(said, places)}"
    for letter in page.HELPERS:
        sheet.column_dimensions[letter].hidden = True
    _mark(sheet)
    sheet.sheet_view.showGridLines = False
    style.print_on(sheet, paper=units.paper, landscape=False)
    sheet.page_setup.fitToHeight, sheet.page_margins.bottom = 1, 0.75
    sheet.print_options.horizontalCentered = True
    sheet.print_area = f"{FIRST}1:{LAST}{ROW['signed']}"


def fit_for_print(sheet: Worksheet, results: Mapping[str, object]) -> None:
    """Leave out the lines that say nothing, for a page that is only to be printed.

    Args:
        sheet: The Quote.
        results: The result of each of its formulas, by cell.
    """
    for row in sheet.iter_rows(min_row=ROW["trailer"], max_row=ROW["valid"], max_col=len(WIDTHS)):
        said = [str(results[cell.coordinate]) for cell in row if cell.data_type == "f"]
        if said and not any(said):
            sheet.row_dimensions[row[0].row].hidden = True


def _write_title(sheet: Worksheet) -> None:
    """The dark band with the trailer's name and the total."""
    for row, size, color, height in (
        (ROW["title"], 20, style.PAPER, 36),
        (ROW["title"] + 1, 11, style.GLANCE_BAND.heading, 22),
    ):
        for letter in WIDTHS:
            sheet[f"{letter}{row}"].fill = style.fill(style.GLANCE_BAND.band)
        is_title = row == ROW["title"]
        for place, across, end in (("B", "left", "C"), ("D", "right", LAST)):
            cell = sheet[f"{place}{row}"]
            cell.font = style.font(size=size, bold=is_title, color=color)
            cell.alignment = Alignment(
                across, "center" if is_title else "top", shrink_to_fit=True, indent=int(place == "D")
            )
            sheet.merge_cells(f"{place}{row}:{end}{row}")
        sheet.row_dimensions[row].height = height
    _gap(sheet, ROW["title"] + 2)


def _write_tiles(sheet: Worksheet, units: Units) -> None:
    """The four weights that stand large, each with its name below."""
    for letter, (_, label) in zip("BCDE", TILES, strict=True):
        figure, below = sheet[f"{letter}{ROW['tiles']}"], sheet[f"{letter}{ROW['tiles'] + 1}"]
        below.value, figure.number_format = label, f'{style.FIGURE}" {units.weight}"'
        figure.font = style.font(size=15, bold=True, color=style.GLANCE_BAND.band)
        figure.alignment = letterhead.SHRUNK
        below.font, below.alignment = style.font(size=9, color=style.QUIET), TEXT
    sheet.row_dimensions[ROW["tiles"]].height = 26
    _gap(sheet, ROW["tiles"] + 2)


def _write_lines(sheet: Worksheet) -> None:
    """The trailer, its options, and what is wrong with their names as a whole."""
    _band(sheet, ROW["band"], "What it costs")
    for letter, across in (("C", TEXT), ("D", AMOUNT_AT)):
        sheet[f"{letter}{ROW['band']}"].font = style.font(size=10, bold=True)
        sheet[f"{letter}{ROW['band']}"].alignment = across
    sheet[f"C{ROW['band']}"] = "Fitted by"
    sheet.merge_cells(f"D{ROW['band']}:{LAST}{ROW['band']}")
    for row in range(ROW["trailer"], ROW["said"]):
        _line(sheet, row, bold=row == ROW["trailer"])
    words = sheet[f"B{ROW['said']}"]
    words.font, words.alignment = style.font(size=9), TEXT
    sheet.merge_cells(f"B{ROW['said']}:{LAST}{ROW['said']}")


def _write_totals(sheet: Worksheet, units: Units) -> None:
    """What the options come to, the yard's own lines, the total; then words about it."""
    for row in range(ROW["options_total"], ROW["total"] + 1):
        _line(sheet, row, bold=row == ROW["options_total"])
    for letter in WIDTHS:
        sheet[f"{letter}{ROW['total']}"].fill = style.fill(style.GLANCE_BAND.heading)
    for letter in "BD":
        sheet[f"{letter}{ROW['total']}"].font = style.font(size=14, bold=True, color=style.GLANCE_BAND.band)
    sheet.row_dimensions[ROW["total"]].height = 26
    _gap(sheet, ROW["total"] + 1)
    for row in (ROW["lacking"], ROW["excise"]):
        sheet[f"B{row}"].font, sheet[f"B{row}"].alignment = style.font(size=9), TEXT
        sheet.merge_cells(f"B{row}:{LAST}{row}")
    label, day = sheet[f"B{ROW['valid']}"], sheet[f"C{ROW['valid']}"]
    label.font, label.alignment, day.font, day.alignment = style.font(), TEXT, style.font(bold=True), letterhead.SHRUNK
    day.number_format = letterhead.date_format(units)
    sheet.merge_cells(f"C{ROW['valid']}:{LAST}{ROW['valid']}")
    sheet.row_dimensions[ROW["valid"]].height = 20
    _gap(sheet, ROW["valid"] + 1)


def _write_foot(sheet: Worksheet) -> None:
    """The cautions, and room for signatures."""
    _band(sheet, ROW["cautions"], "Before anyone hauls")
    for row, words in enumerate(CAUTIONS_SAID, ROW["cautions"] + 1):
        sign, cell = sheet[f"A{row}"], sheet[f"B{row}"]
        sign.value, cell.value = WRONG, words
        sign.font, cell.font = style.font(bold=True, color=style.CONFLICT_INK), style.font(size=9)
        sign.alignment, cell.alignment = Alignment(horizontal="right", vertical="center"), TEXT
        sheet.merge_cells(f"B{row}:{LAST}{row}")
    sheet.row_dimensions[ROW["signed"] - 1].height = 42
    for letter, words in (("B", "For the yard, date"), ("D", "For the customer, date")):
        cell = sheet[f"{letter}{ROW['signed']}"]
        cell.value, cell.font, cell.alignment = words, style.font(size=9, color=style.QUIET), TEXT
    for letter in "BDE":
        sheet[f"{letter}{ROW['signed']}"].border = SIGNED


def _line(sheet: Worksheet, row: int, *, bold: bool) -> None:
    """A line of the table: words, who fits it, an amount."""
    for letter, place in (("B", letterhead.SHRUNK), ("C", letterhead.SHRUNK), ("D", AMOUNT_AT)):
        cell = sheet[f"{letter}{row}"]
        cell.font, cell.alignment = style.font(bold=bold), place
    sheet[f"D{row}"].number_format = AMOUNT
    for letter in "BCDE":
        sheet[f"{letter}{row}"].border = RULE
    sheet.merge_cells(f"D{row}:{LAST}{row}")
    sheet.row_dimensions[row].height = 19


def _band(sheet: Worksheet, row: int, text: str) -> None:
    for letter in WIDTHS:
        sheet[f"{letter}{row}"].fill = style.fill(style.GIVEN_BAND.band)
    cell = sheet[f"B{row}"]
    cell.value, cell.font, cell.alignment = text, style.font(size=11, bold=True), TEXT
    sheet.row_dimensions[row].height = 18


def _gap(sheet: Worksheet, row: int) -> None:
    sheet.row_dimensions[row].height = 8


def _mark(sheet: Worksheet) -> None:
    """The highlight of what is to be settled; its mark says it too."""
    for letter, last in (("D", ROW["total"]), ("B", ROW["said"])):
        first = f"{letter}{ROW['trailer']}"
        test = formula(LEFT(Cell("first"), 1).equals(WRONG), {"first": f"${first}"})
        rule = Rule(type="expression", dxf=style.CONFLICT, formula=[test])
        sheet.conditional_formatting.add(f"{first}:{letter}{last}", rule)


def stored(
    lot_rows: Sequence[Mapping[str, object]],
    options: Sequence[tuple[object, ...]],
    on_what_if: object,
    typed: Mapping[str, object],
    units: Units,
) -> Stored:
    """The result of every formula, by cell.

    Args:
        lot_rows: Inputs and results of the lot, by heading.
        options: The rows of Options.
        on_what_if: The stock number that is chosen on What-if; None for none.
        typed: What is typed on Start for the head of a page, and on the Quote, by key.
        units: The workbook's units.
    """
    worked = page.worked_out(lot_rows, options, on_what_if, typed, units)
    return {page.cells()[key].replace("$", ""): worked[key] for key in page.expressions(units)}  # type: ignore[misc]
