"""The Card sheet: one page to print for the customer about the trailer chosen on What-if.

It shows the trailer's figures, with a machine and a truck what What-if answers for them, the live side view, what was
assumed and the cautions. ``figures``, ``answers`` and ``assumptions`` say what; here is where it stands and its look.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache

from openpyxl.chart.shapes import GraphicalProperties
from openpyxl.drawing.line import LineProperties
from openpyxl.formatting.rule import Rule
from openpyxl.styles import Alignment, Border, Side
from openpyxl.styles.differential import DifferentialStyle
from openpyxl.worksheet.worksheet import Worksheet

from tarelot.calc.cells.expression import Cell, Expression, formula
from tarelot.calc.cells.spreadsheet import IFERROR
from tarelot.workbook_templates.basis import style
from tarelot.workbook_templates.basis.references import Places
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling import asked
from tarelot.workbook_templates.hauling.asked import WRONG
from tarelot.workbook_templates.hauling.card import answers, figures, letterhead
from tarelot.workbook_templates.hauling.card.answers import NOT_DRAWN, Line
from tarelot.workbook_templates.hauling.card.assumptions import assumptions
from tarelot.workbook_templates.hauling.card.cells import CHECK
from tarelot.workbook_templates.hauling.card.figures import Figure
from tarelot.workbook_templates.hauling.side_view import chart as side_view
from tarelot.workbook_templates.hauling.side_view.lines import BLUE, ORANGE
from tarelot.workbook_templates.hauling.what_if.sheet import all_places

SHEET = "Card"
WIDTHS = dict(zip("ABCDEFG", (3, 27, 21, 13, 2, 33, 25), strict=True))
FIRST, LAST = "A", "G"
TILE_CELLS = ("B", "C", "F", "G")
TITLE_ROW, TILE_ROW, VIEW_ROW = 4, 7, 10
"""Rows of the trailer's name, the large figures, the band above the side view; the yard's head stands at the top."""
CHART_ROWS, CHART_CM = 12, (24.2, 6.2)
CHART_ROW = VIEW_ROW + 2 + len(answers.REASON_LINES)
CAPTION_ROW = CHART_ROW + CHART_ROWS
LINES_ROW = CAPTION_ROW + 4
CAUTIONS = (
    "Weigh truck, trailer and load on a certified scale, empty and loaded.",
    "The certification labels of trailer and truck govern. Nothing on this page raises a rating.",
    "Check every rating on the part itself: axle, tire, wheel, coupler, chains, jacks, tie-down points.",
    "The makers' instructions, local codes and licensed practice come before this page.",
    "Drive on slowly and straight, heavier end uphill, tail on stands or blocks, someone watching; then tie down.",
)
LINE_HEIGHT = 16.0
HEIGHTS = {lines: 2.0 + 12.0 * lines for lines in range(1, 10)}
"""Heights of rows for so many lines of the small type."""
ONE_LINE = 140
"""Letters of the small type that a line across the page holds."""
TEXT = Alignment(horizontal="left", vertical="center")
NOTHING: Mapping[str, object] = {}
RULE = Border(bottom=Side("hair", color="B9C5CC"))
RULED = DifferentialStyle(border=RULE)


@cache
def expressions(units: Units) -> dict[str, Expression]:
    """What the cells say, by cell, over those of What-if and Drive-on."""
    found = {"B1": letterhead.name(), "F1": letterhead.date(), "B2": letterhead.address(), "B3": letterhead.own_line()}
    found |= {f"B{TITLE_ROW}": figures.title(units), f"B{TITLE_ROW + 1}": figures.subtitle(units)}
    found |= {f"F{TITLE_ROW}": letterhead.price(units), f"F{TITLE_ROW + 1}": letterhead.price_label(units)}
    found |= {f"{letter}{TILE_ROW}": tile.figure for letter, tile in zip(TILE_CELLS, figures.tiles(units), strict=True)}
    around = (answers.heading(units), answers.verdict_word(), *answers.reasons())
    found |= {f"B{row}": words for row, words in enumerate(around, VIEW_ROW)}
    found[f"C{VIEW_ROW + 1}"] = answers.verdict_meaning()
    found |= {f"B{row}": words for row, words in enumerate(answers.captions(), CAPTION_ROW)}
    for row, line in enumerate(answers.lines(units), LINES_ROW):
        parts = (line.label, line.figure, line.verdict, line.note)
        found |= {f"{letter}{row}": part for letter, part in zip("BCDF", parts, strict=True)}
    row = LINES_ROW + len(list(answers.lines(units))) + 2
    for letter, column in (("D", figures.ratings(units)), ("G", figures.deck(units))):
        found |= {f"{letter}{number}": figure.figure for number, figure in enumerate(column, row)}
    row += len(figures.deck(units)) + 2
    for number, (mark, words) in enumerate(assumptions(units), row):
        found |= {f"A{number}": mark, f"B{number}": words}
    return {cell: IFERROR(words, CHECK) for cell, words in found.items()}


def write(sheet: Worksheet, helper: Worksheet, units: Units, typed: Mapping[str, object] = NOTHING) -> None:
    """Write the Card.

    Args:
        sheet: The empty sheet named Card.
        helper: The Drive-on sheet, which holds the points of the side view.
        units: The workbook's units.
        typed: What is typed on it at first, by key.
    """
    for letter, width in WIDTHS.items():
        sheet.column_dimensions[letter].width = width
    letterhead.write_head(sheet, units, "F", LAST, Alignment("right", shrink_to_fit=True))
    sheet.merge_cells(f"F1:{LAST}1")
    letterhead.write_typed(sheet, typed, units)
    _write_title(sheet)
    _write_tiles(sheet, tuple(figures.tiles(units)))
    _write_view(sheet)
    chart = side_view.add(sheet, helper, f"{FIRST}{CHART_ROW}", units, CHART_CM)
    chart.graphical_properties = GraphicalProperties(noFill=True, ln=LineProperties(noFill=True))
    lines = tuple(answers.lines(units))
    for row, line in enumerate(lines, LINES_ROW):
        _write_line(sheet, row, line)
    row = LINES_ROW + len(lines) + 1
    _gap(sheet, row - 1)
    row = _write_figures(sheet, row, units)
    row = _write_words(sheet, row, "What was assumed", [("", "")] * len(list(assumptions(units))), last_are_long=3)
    row = _write_words(sheet, row, "Before anyone hauls", [(WRONG, line) for line in CAUTIONS])
    places = Places({**all_places(units), **letterhead.places()})
    for cell, words in expressions(units).items():
        sheet[cell] = f"={formula(words, places)}"
    _mark_conflicts(sheet, LINES_ROW + len(lines) - 1)
    _set_up_page(sheet, units, row - 2)


def fit_for_print(sheet: Worksheet, results: Mapping[str, object]) -> None:
    """Leave out the lines that say nothing, and room that words do not need: for a page that is only to be printed.

    Args:
        sheet: The Card.
        results: The result of each of its formulas, by cell.
    """
    drawn = f"B{CAPTION_ROW + 2}"
    for row in sheet.iter_rows():
        said = [str(results[cell.coordinate]) for cell in row if cell.data_type == "f"]
        height = sheet.row_dimensions[row[0].row]
        if said:
            height.hidden = not any(said)
        if said and sheet[f"B{row[0].row}"].alignment.wrap_text:
            lines = max(1, -(-max(map(len, said)) // ONE_LINE))
            height.height = min(height.height, HEIGHTS.get(lines, height.height))
    if str(results[drawn]).startswith(NOT_DRAWN):
        sheet._charts.clear()
        for number in range(CHART_ROW, CAPTION_ROW):
            sheet.row_dimensions[number].hidden = True


def _write_title(sheet: Worksheet) -> None:
    """The dark band with the trailer's name and its price."""
    for row, size, color, height in (
        (TITLE_ROW, 22, style.PAPER, 38),
        (TITLE_ROW + 1, 11, style.GLANCE_BAND.heading, 22),
    ):
        for letter in WIDTHS:
            sheet[f"{letter}{row}"].fill = style.fill(style.GLANCE_BAND.band)
        vertical = "center" if row == TITLE_ROW else "top"
        for place, across, end in (("B", "left", "D"), ("F", "right", LAST)):
            cell = sheet[f"{place}{row}"]
            cell.font = style.font(
                size=size - 4 * (place == "F" and row == TITLE_ROW), bold=row == TITLE_ROW, color=color
            )
            cell.alignment = Alignment(across, vertical, shrink_to_fit=True, indent=int(place == "F"))
            sheet.merge_cells(f"{place}{row}:{end}{row}")
        sheet.row_dimensions[row].height = height
    _gap(sheet, TITLE_ROW + 2)


def _write_tiles(sheet: Worksheet, tiles: Sequence[Figure]) -> None:
    """The large figures, each with its name below."""
    for letter, tile in zip(TILE_CELLS, tiles, strict=True):
        figure, label = sheet[f"{letter}{TILE_ROW}"], sheet[f"{letter}{TILE_ROW + 1}"]
        label.value, figure.number_format = tile.label, tile.number_format
        figure.font = style.font(size=18, bold=True, color=style.GLANCE_BAND.band)
        figure.alignment = Alignment(horizontal="left", vertical="center", shrink_to_fit=True)
        label.font, label.alignment = style.font(size=9, color=style.QUIET), Alignment(horizontal="left")
    sheet.row_dimensions[TILE_ROW].height = 28
    _gap(sheet, TILE_ROW + 2)


def _write_view(sheet: Worksheet) -> None:
    """The band, the answer and the words around the side view; the chart stands between them."""
    _band(sheet, VIEW_ROW)
    word, meaning = (sheet[f"{letter}{VIEW_ROW + 1}"] for letter in "BC")
    word.alignment, word.font = TEXT, style.font(size=16, bold=True, color=style.GLANCE_BAND.band)
    meaning.alignment, meaning.font = TEXT, style.font(size=11)
    sheet.row_dimensions[VIEW_ROW + 1].height = 26
    for row, lines in enumerate(answers.REASON_LINES.values(), VIEW_ROW + 2):
        cell = sheet[f"B{row}"]
        cell.alignment, cell.font = style.WRAP, style.font(size=9)
        sheet.merge_cells(f"B{row}:{LAST}{row}")
        sheet.row_dimensions[row].height = HEIGHTS[lines]
    for row in range(CHART_ROW, CAPTION_ROW):
        sheet.row_dimensions[row].height = 15
    for row, color in enumerate((BLUE, ORANGE, style.QUIET), CAPTION_ROW):
        sheet[f"B{row}"].font = style.font(size=9, bold=color != style.QUIET, color=color)
        sheet.row_dimensions[row].height = 14
    _gap(sheet, CAPTION_ROW + 3)


def _write_line(sheet: Worksheet, row: int, line: Line) -> None:
    """A line about machine or truck: figure, verdict, words."""
    for letter, bold, size in (("B", False, 10), ("C", True, 10), ("D", True, 10), ("F", False, 9)):
        cell = sheet[f"{letter}{row}"]
        cell.font = style.font(size=size, bold=bold)
        cell.alignment = style.RIGHT if letter == "C" else style.LEFT if letter == "D" else TEXT
    sheet[f"C{row}"].number_format = line.number_format
    sheet.row_dimensions[row].height = LINE_HEIGHT


def _write_figures(sheet: Worksheet, row: int, units: Units) -> int:
    """The trailer's figures in two columns; the row after them."""
    _band(sheet, row, "Ratings and hitch")
    sheet[f"F{row}"] = "Deck, ramps and tie-down points"
    sheet[f"F{row}"].font, sheet[f"F{row}"].alignment = style.font(size=11, bold=True), TEXT
    columns = (("B", "D", figures.ratings(units)), ("F", "G", figures.deck(units)))
    for label_at, figure_at, column in columns:
        for number, figure in enumerate(column, row + 1):
            label, cell = sheet[f"{label_at}{number}"], sheet[f"{figure_at}{number}"]
            label.value, cell.number_format = figure.label, figure.number_format
            label.font, cell.font = style.font(), style.font(bold=True)
            label.alignment, cell.alignment = TEXT, style.RIGHT
            for letter in "BCD" if label_at == "B" else "FG":
                sheet[f"{letter}{number}"].border = RULE
            sheet.row_dimensions[number].height = LINE_HEIGHT
    row += 1 + len(figures.deck(units))
    _gap(sheet, row)
    return row + 1


def _write_words(
    sheet: Worksheet, row: int, heading: str, lines: Sequence[tuple[str, str]], last_are_long: int = 0
) -> int:
    """Lines of words, the last few with room for two lines of print; the row after them."""
    _band(sheet, row, heading)
    for number, (mark, words) in enumerate(lines, 1):
        at = row + number
        sign, cell = sheet[f"A{at}"], sheet[f"B{at}"]
        sign.value, cell.value = mark, words
        sign.font, cell.font = style.font(bold=True, color=style.CONFLICT_INK), style.font(size=9)
        sign.alignment, cell.alignment = Alignment(horizontal="right", vertical="top"), style.WRAP
        sheet.merge_cells(f"B{at}:{LAST}{at}")
        sheet.row_dimensions[at].height = HEIGHTS[2 if len(lines) - number < last_are_long else 1]
    _gap(sheet, row + len(lines) + 1)
    return row + len(lines) + 2


def _band(sheet: Worksheet, row: int, text: str = "") -> None:
    """A band across the page."""
    for letter in WIDTHS:
        sheet[f"{letter}{row}"].fill = style.fill(style.GIVEN_BAND.band)
    cell = sheet[f"B{row}"]
    cell.value, cell.font, cell.alignment = text, style.font(size=11, bold=True), TEXT
    sheet.row_dimensions[row].height = 18


def _gap(sheet: Worksheet, row: int) -> None:
    sheet.row_dimensions[row].height = 8


def _mark_conflicts(sheet: Worksheet, last: int) -> None:
    """The highlight of what is wrong; the words and the mark say it too."""
    rules = (
        (f"D{LINES_ROW}:D{last}", f"$D{LINES_ROW}", asked.is_marked(Cell("first")), style.CONFLICT),
        (f"B{LINES_ROW}:{LAST}{last}", f"$B{LINES_ROW}", Cell("first").differs(""), RULED),
        (
            f"B{VIEW_ROW + 1}:{LAST}{VIEW_ROW + 1}",
            f"$B${VIEW_ROW + 1}",
            asked.says_no(Cell("first")),
            style.CONFLICT,
        ),
    )
    for area, first, test, look in rules:
        rule = Rule(type="expression", dxf=look, formula=[formula(test, {"first": first})])
        sheet.conditional_formatting.add(area, rule)


def _set_up_page(sheet: Worksheet, units: Units, last: int) -> None:
    """One page, upright."""
    sheet.sheet_view.showGridLines = False
    style.print_on(sheet, paper=units.paper, landscape=False)
    sheet.page_setup.fitToHeight, sheet.page_margins.bottom = 1, 0.75
    sheet.print_options.horizontalCentered = True
    sheet.print_area = f"{FIRST}1:{LAST}{last}"
