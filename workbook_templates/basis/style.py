"""How the sheets look: one palette of our own, told apart by light and dark as well as by hue.

Blue-grays for what is given and orange for what conflicts: the pair stays apart in every common kind of color
blindness. A mark or a word always goes with the color.
"""

from __future__ import annotations

from collections.abc import Sequence
from copy import copy
from dataclasses import dataclass

from openpyxl.cell import Cell
from openpyxl.formatting.rule import Rule
from openpyxl.styles import Alignment, Border, Font, PatternFill, Side
from openpyxl.styles.differential import DifferentialStyle
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.hyperlink import Hyperlink
from openpyxl.worksheet.worksheet import Worksheet

FACE = "Calibri"
INK, QUIET, PAPER = "1D2B36", "6B7A86", "FFFFFF"
TYPED, FILLED = "FFFBEF", "F1F5F7"
"""Cells that a person fills, and cells that the workbook fills."""
CONFLICT_FILL, CONFLICT_INK = "FBD9B4", "7A3000"
LINE = "D5DDE2"


@dataclass(frozen=True)
class Band:
    """Colors of a group's band and of the headings below it."""

    band: str
    band_ink: str
    heading: str


GIVEN_BAND = Band("C9D8E0", INK, "E3ECF1")
GLANCE_BAND = Band("1F4E5F", PAPER, "D2E4EA")
FIGURES_BAND = Band("5A6C78", PAPER, "E1E6E9")
CHECKS_BAND = Band("8A4B12", PAPER, "F6E3CE")

CAUTION = "Weigh on a certified scale. The certification label governs. Check every rating."


def heading_width(heading: str, width: float) -> float:
    """The width of a column, in characters: as wished, and such that no word of its heading is broken.

    A filter's arrow and a note's corner take some three characters.

    >>> heading_width("Suspension rating (lb)", 11), heading_width("Price", 12)
    (13, 12)
    """
    return max(width, max(map(len, heading.split())) + 3)


def fill(color: str) -> PatternFill:
    """A plain fill."""
    return PatternFill("solid", start_color=color, end_color=color)


def font(*, size: float = 10, bold: bool = False, italic: bool = False, color: str = INK) -> Font:
    """The workbook's type face."""
    return Font(name=FACE, size=size, bold=bold, italic=italic, color=color)


HAIRLINE = Border(bottom=Side("hair", color="B9C5CC"), right=Side("hair", color=LINE))
HEADING_LINE = Border(bottom=Side("medium", color=INK), right=Side("hair", color=LINE))
CENTER = Alignment(horizontal="center", vertical="center", wrap_text=True)
HEADING = Alignment(horizontal="center", vertical="top", wrap_text=True)
LEFT = Alignment(horizontal="left", vertical="center", indent=1)
SHRUNK = Alignment(horizontal="left", vertical="center", indent=1, shrink_to_fit=True)
"""Words that are to be read whole in one line."""
WRAPPED = Alignment(horizontal="left", vertical="center", indent=1, wrap_text=True)
"""Words that are to be read whole in a row that grows with them."""
RIGHT = Alignment(horizontal="right", vertical="center")  # an indent is lost in LibreOffice beside some neighbors
WRAP = Alignment(horizontal="left", vertical="top", wrap_text=True)
CONFLICT = DifferentialStyle(font=Font(bold=True, color=CONFLICT_INK), fill=PatternFill(bgColor=CONFLICT_FILL))
TYPED_OVER = DifferentialStyle(font=Font(bold=True, italic=True, underline="single"), fill=PatternFill(bgColor=TYPED))
"""A result that is no formula any more."""

FIGURE, SHARE, ANGLE, YEAR, MONEY, DATE = "#,##0", "0.0%", '0.0"°"', "0", "#,##0", "yyyy-mm-dd"
DECIMAL = "#,##0.##"
AMOUNT = '[>=9.95]"▲ "#,##0;[>0]"▲ "0.0;"ok";@'
COUNT = '"▲ "0;;"none";@'
NONZERO = "#,##0;-#,##0;"
"""A sum that shows nothing where there is nothing to add."""


def give_look(cells: Sequence[Cell], **look: Font | PatternFill | Border | Alignment | str) -> None:
    """Give cells one look: font, fill, border, alignment, number format.

    The first is given it and the others take it over: openpyxl compares every style set by itself with all there are.
    """
    for name, value in look.items():
        setattr(cells[0], name, value)
    for cell in cells[1:]:
        cell._style = copy(cells[0]._style)


def title(sheet: Worksheet, text: str, hint: str, row: int = 1) -> None:
    """The first row of a sheet: its name, and beside it in small type what to do here."""
    name = sheet.cell(row, 1, text)
    name.font, name.alignment = font(size=16, bold=True, color=GLANCE_BAND.band), Alignment(vertical="center")
    note = sheet.cell(row + 1, 1, hint)
    note.font, note.alignment = font(size=9, color=QUIET), Alignment(vertical="top")
    sheet.row_dimensions[row].height = 24


def link(sheet: Worksheet, place: str, text: str, to: str) -> None:
    """Words in a cell that lead to another sheet."""
    cell = sheet[place]
    cell.value = text
    cell.hyperlink = Hyperlink(ref=place, location=f"'{to}'!A1", tooltip=f"Go to {to}")
    cell.font = Font(name=FACE, size=9, underline="single", color=GLANCE_BAND.band)
    cell.alignment = Alignment(vertical="center")


def print_on(sheet: Worksheet, paper: int, *, landscape: bool) -> None:
    """Paper, margins and the caution at the foot of every page."""
    sheet.page_setup.paperSize = paper
    sheet.page_setup.orientation = "landscape" if landscape else "portrait"
    sheet.sheet_properties.pageSetUpPr.fitToPage = True
    sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight = 1, 0
    margins = sheet.page_margins
    margins.left = margins.right = 0.4
    margins.top, margins.bottom = 0.5, 0.6
    sheet.oddFooter.left.text, sheet.oddFooter.left.size = CAUTION, 8
    sheet.oddFooter.right.text, sheet.oddFooter.right.size = "&A, page &P of &N", 8


CREAM = DifferentialStyle(fill=PatternFill(bgColor=TYPED), border=Border(bottom=Side("thin", color=LINE)))
"""The look of cells to type over: a rule and not their own fill, since some programs read a filled empty cell as 0."""


FILLED_ROW = DifferentialStyle(
    fill=PatternFill(bgColor=FILLED),
    border=Border(bottom=Side("thin", color=LINE), right=Side("thin", color=LINE)),
)
"""The look of results in a row that says something."""


def cream(sheet: Worksheet, area: str) -> None:
    """Give cells to type in their look, blank or not."""
    sheet.conditional_formatting.add(area, Rule(type="expression", dxf=CREAM, formula=["TRUE"]))


THEN_LOOK = "It may be there as a number: OK takes it, and the words beside it say whether it was found."


def choice(sheet: Worksheet, place: str, listed: str, asks: tuple[str, str], chosen: object = None) -> None:
    """Make a cell one in which one of a list is chosen; a name that its sheet lacks is asked about and not refused.

    A name typed here is a text, and its sheet may hold it as a number: the answers find it, and LibreOffice's list does
    not.

    Args:
        sheet: The sheet.
        place: The cell.
        listed: The list as an entry rule has it: cells of another sheet, or words in quotes.
        asks: What is shown beside the cell while it is chosen: a title, and a line.
        chosen: What is chosen at first.
    """
    cell = sheet[place.replace("$", "")]
    cell.value = chosen  # type: ignore[assignment]
    if isinstance(chosen, str):
        cell.data_type = "s"
    cell.font, cell.fill, cell.alignment = font(size=11, bold=True), fill(TYPED), LEFT
    cell.number_format, cell.border = "@", HAIRLINE
    rule = DataValidation(type="list", formula1=listed, allow_blank=True)
    if listed.startswith('"'):
        entry_rule(sheet, rule, cell.coordinate, "Choose from the list.", asks)
        return
    source = listed.partition("!")[0]
    entry_rule(sheet, rule, cell.coordinate, f"It is not like this on the {source} sheet. {THEN_LOOK}", asks)
    ask_only(rule)


def ask_only(rule: DataValidation) -> None:
    """Let what an entry rule does not allow be taken, after its words were shown."""
    rule.errorStyle, rule.errorTitle = "information", "Not found as typed"


def fills_itself(sheet: Worksheet, area: str, instead: str) -> None:
    """Refuse what is typed over results that stand where Enter leads to.

    Args:
        sheet: The sheet.
        area: The results.
        instead: What to do instead.
    """
    entry_rule(sheet, DataValidation(type="custom", formula1="FALSE", allow_blank=False), area, instead)


def entry_rule(
    sheet: Worksheet, rule: DataValidation, area: str, error: str, asks: tuple[str, str] | None = None
) -> None:
    """Put an entry rule on an area: what it does not allow is not taken.

    Args:
        sheet: The sheet.
        rule: What is allowed.
        area: The cells.
        error: What is said of anything else.
        asks: What is shown beside a cell while it is chosen: a title, and a line; nothing where it is left out.
    """
    rule.errorStyle, rule.showErrorMessage = "stop", True
    rule.errorTitle, rule.error = "Not taken", error
    if asks:
        rule.promptTitle, rule.prompt, rule.showInputMessage = *asks, True
    rule.add(area)
    sheet.add_data_validation(rule)
