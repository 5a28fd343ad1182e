"""The Card sheet: one page to print for the customer about the trailer chosen on What-if.

It shows the trailer's figures, with a machine and a truck what What-if answers for them, the live side view, what was
assumed and the cautions. ``card_figures``, ``card_answers`` and ``card_assumptions`` say what; here is how it looks.
``card_files`` makes PDFs of this sheet.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from openpyxl.chart.shapes import GraphicalProperties
from openpyxl.drawing.line import LineProperties
from openpyxl.formatting.rule import Rule
from openpyxl.styles import Alignment, Border, Side
from openpyxl.styles.differential import DifferentialStyle
from openpyxl.worksheet.worksheet import Worksheet

from tarelot.workbook_templates.basis import style
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling.card.answers import NOT_DRAWN, CardAnswers, Line
from tarelot.workbook_templates.hauling.card.assumptions import CardAssumptions
from tarelot.workbook_templates.hauling.card.figures import CardFigures, Figure
from tarelot.workbook_templates.hauling.questions import CAUTION, WRONG
from tarelot.workbook_templates.hauling.side_view import chart as side_view
from tarelot.workbook_templates.hauling.side_view.lines import BLUE, ORANGE
from tarelot.workbook_templates.hauling.what_if.sheet import Shown

SHEET = "Card"
WIDTHS = dict(zip("ABCDEFG", (3, 27, 21, 13, 2, 33, 25), strict=True))
FIRST, LAST = "A", "G"
TILE_CELLS = ("B", "C", "F", "G")
TILE_ROW, VIEW_ROW = 4, 7
CHART_ROWS, CHART_CM = 12, (24.2, 6.2)
CAPTION_ROW = VIEW_ROW + 3 + CHART_ROWS
LINES_ROW = CAPTION_ROW + 4
CAUTIONS = (
    "Weigh truck, trailer and load on a certified scale, empty and loaded.",
    "The certification labels of trailer and truck govern. Nothing on this page raises a rating.",
    "Check every rating on the part itself: axle, tire, wheel, coupler, chains, jacks, tie-down points.",
    "The makers' instructions, local codes and licensed practice come before this page.",
    "Drive on slowly and straight, tail on stands or blocks, someone watching from the side; tie down before moving.",
)
LINE_HEIGHT, WORDS_HEIGHT, TWO_LINES = 16.0, 14.0, 25.0
ONE_LINE = 140
"""Letters of the small type that a line across the page holds."""
TEXT = Alignment(horizontal="left", vertical="center")
RULE = Border(bottom=Side("hair", color="B9C5CC"))
RULED = DifferentialStyle(border=RULE)


def write(sheet: Worksheet, helper: Worksheet, shown: Shown, units: Units) -> None:
    """Write the Card.

    Args:
        sheet: The empty sheet named Card.
        helper: The Drive-on sheet, which holds the points of the side view.
        shown: What What-if shows.
        units: The workbook's units.
    """
    figures, answers = CardFigures(shown, units), CardAnswers(shown, units)
    for letter, width in WIDTHS.items():
        sheet.column_dimensions[letter].width = width
    _write_title(sheet, figures)
    _write_tiles(sheet, figures.tiles())
    _write_view(sheet, answers)
    chart = side_view.add(sheet, helper, f"{FIRST}{VIEW_ROW + 3}", units, CHART_CM)
    chart.graphical_properties = GraphicalProperties(noFill=True, ln=LineProperties(noFill=True))
    lines = tuple(answers.lines())
    for row, line in enumerate(lines, LINES_ROW):
        _write_line(sheet, row, line)
    row = LINES_ROW + len(lines) + 1
    _gap(sheet, row - 1)
    row = _write_figures(sheet, row, figures)
    assumed = [(f"={mark}", f"={words}") for mark, words in CardAssumptions(shown, units).assumptions()]
    row = _write_words(sheet, row, "What was assumed", assumed, last_are_long=2)
    row = _write_words(sheet, row, "Before anyone hauls", [(WRONG, line) for line in CAUTIONS])
    _mark_conflicts(sheet, LINES_ROW + len(lines) - 1)
    _set_up_page(sheet, units, row - 2)


def fit_for_print(sheet: Worksheet, results: Mapping[str, object]) -> None:
    """Leave out the lines that say nothing, and room that words do not need: for a page that is only to be printed.

    Args:
        sheet: The Card.
        results: The result of each of its formulas, by cell.
    """
    drawn = f"B{CAPTION_ROW + 2}"
    for row in sheet.iter_rows(min_row=VIEW_ROW):
        said = [str(results[cell.coordinate]) for cell in row if cell.data_type == "f"]
        height = sheet.row_dimensions[row[0].row]
        if said:
            height.hidden = not any(said)
        if height.height == TWO_LINES and max(map(len, said)) <= ONE_LINE:
            height.height = WORDS_HEIGHT
    if str(results[drawn]).startswith(NOT_DRAWN):
        sheet._charts.clear()
        for number in range(VIEW_ROW + 3, CAPTION_ROW):
            sheet.row_dimensions[number].hidden = True


def _write_title(sheet: Worksheet, formulas: CardFigures) -> None:
    """The dark band with the trailer's name."""
    for row, formula, size, color, height in (
        (1, formulas.title(), 22, style.PAPER, 38),
        (2, formulas.subtitle(), 11, style.GLANCE_BAND.heading, 22),
    ):
        for letter in WIDTHS:
            sheet[f"{letter}{row}"].fill = style.fill(style.GLANCE_BAND.band)
        cell = sheet[f"B{row}"]
        cell.value, cell.font = f"={formula}", style.font(size=size, bold=row == 1, color=color)
        cell.alignment = Alignment(horizontal="left", vertical="center" if row == 1 else "top")
        sheet.row_dimensions[row].height = height
    _gap(sheet, 3)


def _write_tiles(sheet: Worksheet, tiles: Sequence[Figure]) -> None:
    """The large figures, each with its name below."""
    for letter, tile in zip(TILE_CELLS, tiles, strict=True):
        figure, label = sheet[f"{letter}{TILE_ROW}"], sheet[f"{letter}{TILE_ROW + 1}"]
        figure.value, label.value = f"={tile.formula}", tile.label
        figure.number_format = tile.number_format
        figure.font = style.font(size=18, bold=True, color=style.GLANCE_BAND.band)
        figure.alignment = Alignment(horizontal="left", vertical="center", shrink_to_fit=True)
        label.font, label.alignment = style.font(size=9, color=style.QUIET), Alignment(horizontal="left")
    sheet.row_dimensions[TILE_ROW].height = 28
    _gap(sheet, TILE_ROW + 2)


def _write_view(sheet: Worksheet, formulas: CardAnswers) -> None:
    """The band, the answer and the words around the side view; the chart stands between them."""
    _band(sheet, VIEW_ROW, f"={formulas.heading()}")
    for row, formula, size in ((VIEW_ROW + 1, formulas.answer(), 13), (VIEW_ROW + 2, formulas.reason(), 10)):
        cell = sheet[f"B{row}"]
        cell.value, cell.alignment = f"={formula}", TEXT
        cell.font = style.font(size=size, bold=size == 13, color=style.GLANCE_BAND.band if size == 13 else style.INK)
        sheet.row_dimensions[row].height = 22 if size == 13 else LINE_HEIGHT
    for row in range(VIEW_ROW + 3, CAPTION_ROW):
        sheet.row_dimensions[row].height = 15
    colors = {"band": BLUE, "tight": ORANGE}
    for row, (key, formula) in enumerate(formulas.captions(), CAPTION_ROW):
        cell = sheet[f"B{row}"]
        cell.value = f"={formula}"
        cell.font = style.font(size=9, bold=key in colors, color=colors.get(key, style.QUIET))
        sheet.row_dimensions[row].height = 14
    _gap(sheet, CAPTION_ROW + 3)


def _write_line(sheet: Worksheet, row: int, line: Line) -> None:
    """A line about machine or truck: figure, verdict, words."""
    for letter, formula, bold, size in (
        ("B", line.label, False, 10),
        ("C", line.figure, True, 10),
        ("D", line.verdict, True, 10),
        ("F", line.note, False, 9),
    ):
        cell = sheet[f"{letter}{row}"]
        cell.value, cell.font = f"={formula}", style.font(size=size, bold=bold)
        cell.alignment = style.RIGHT if letter == "C" else style.LEFT if letter == "D" else TEXT
    sheet[f"C{row}"].number_format = line.number_format
    sheet.row_dimensions[row].height = LINE_HEIGHT


def _write_figures(sheet: Worksheet, row: int, formulas: CardFigures) -> int:
    """The trailer's figures in two columns; the row after them."""
    _band(sheet, row, "Ratings and hitch")
    sheet[f"F{row}"] = "Deck, ramps and tie-down points"
    sheet[f"F{row}"].font, sheet[f"F{row}"].alignment = style.font(size=11, bold=True), TEXT
    for label_at, figure_at, figures in (("B", "D", formulas.ratings()), ("F", "G", formulas.deck())):
        for number, figure in enumerate(figures, row + 1):
            label, cell = sheet[f"{label_at}{number}"], sheet[f"{figure_at}{number}"]
            label.value, cell.value, cell.number_format = figure.label, f"={figure.formula}", figure.number_format
            label.font, cell.font = style.font(), style.font(bold=True)
            label.alignment, cell.alignment = TEXT, style.RIGHT
            for letter in "BCD" if label_at == "B" else "FG":
                sheet[f"{letter}{number}"].border = RULE
            sheet.row_dimensions[number].height = LINE_HEIGHT
    row += 1 + len(formulas.deck())
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
        sheet.row_dimensions[at].height = TWO_LINES if len(lines) - number < last_are_long else WORDS_HEIGHT
    _gap(sheet, row + len(lines) + 1)
    return row + len(lines) + 2


def _band(sheet: Worksheet, row: int, text: str) -> None:
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
    first = f"$D{LINES_ROW}"
    wrong = f'OR(LEFT({first},1)="{WRONG}",{first}="{CAUTION}")'
    sheet.conditional_formatting.add(
        f"D{LINES_ROW}:D{last}", Rule(type="expression", dxf=style.CONFLICT, formula=[wrong])
    )
    ruled = Rule(type="expression", dxf=RULED, formula=[f'$B{LINES_ROW}<>""'])
    sheet.conditional_formatting.add(f"B{LINES_ROW}:{LAST}{last}", ruled)
    answer = f"$B${VIEW_ROW + 1}"
    no = Rule(type="expression", dxf=style.CONFLICT, formula=[f'LEFT({answer},3)="NO:"'])
    sheet.conditional_formatting.add(f"B{VIEW_ROW + 1}:{LAST}{VIEW_ROW + 1}", no)


def _set_up_page(sheet: Worksheet, units: Units, last: int) -> None:
    """One page, upright."""
    sheet.sheet_view.showGridLines = False
    style.print_on(sheet, paper=units.paper, landscape=False)
    sheet.page_setup.fitToHeight, sheet.page_margins.bottom = 1, 0.75
    sheet.print_options.horizontalCentered = True
    sheet.print_area = f"{FIRST}1:{LAST}{last}"
