"""The Compare sheet: up to four trailers side by side on one page.

``lines`` names what it shows, ``expressions`` say what that is, ``differences`` where trailers differ.
"""

from __future__ import annotations

from collections.abc import Sequence

from openpyxl.formatting.rule import Rule
from openpyxl.styles import Alignment, Border, Side
from openpyxl.worksheet.worksheet import Worksheet

from tarelot.calc.cells.expression import Cell, formula
from tarelot.calc.cells.spreadsheet import LEFT, OR
from tarelot.workbook_templates.basis import style
from tarelot.workbook_templates.basis.asked_of_programs import typed_over
from tarelot.workbook_templates.basis.fractions import show_fractions
from tarelot.workbook_templates.basis.limits import limit_places
from tarelot.workbook_templates.basis.number_texts import keep_as_texts
from tarelot.workbook_templates.basis.references import Places, kept_in_row
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling import asked, followed
from tarelot.workbook_templates.hauling.asked import WRONG
from tarelot.workbook_templates.hauling.compare.expressions import (
    COMPARED,
    PLACES,
    choice,
    differs,
    doubt,
    expressions,
    found,
    name,
    on_match,
    ranked,
    row,
    said_of,
    shown,
    told,
)
from tarelot.workbook_templates.hauling.compare.lines import LINES, RANKED, Line
from tarelot.workbook_templates.hauling.match import columns as match
from tarelot.workbook_templates.hauling.what_if.rows import MACHINE, TRUCK, choice_key
from tarelot.workbook_templates.lot import sheet as lot
from tarelot.workbook_templates.lot.columns import KEY

SHEET = "Compare"
GROUP_ROWS = {MACHINE: 3, TRUCK: 4}
BAND_ROW, CHOICE_ROW, TOLD_ROW, FIRST_ROW = 6, 7, 8, 9
LETTERS = dict(zip(PLACES, "BCDE", strict=True))
DIFFERS, LAST = "F", "F"
HIDDEN = dict(zip(PLACES, "HIJK", strict=True))
"""Columns behind the sheet: which row each trailer stands in, what it is called and what is compared of it."""
CHOICES = tuple(f"${letter}${CHOICE_ROW}" for letter in LETTERS.values())
ROWS = {line.key: number for number, line in enumerate(LINES, FIRST_ROW)}
LAST_ROW = FIRST_ROW + len(LINES) - 1
WIDTHS = {"A": 21, **dict.fromkeys(LETTERS.values(), 29), DIFFERS: 43}
ORDINALS = ("First trailer", "Second trailer", "Third trailer", "Fourth trailer")
WORDS_HEIGHT = {"why": 82, "enough_said": 66, "lacking": 66, "minded": 74}
"""Room for the words of a line, in points: as many as it cuts them to."""
GROUPS = ("word", "gvwr", "deck_length", "conflicts", "why")
"""Lines above which there is a rule."""
RULED = Border(top=Side("thin", color=style.QUIET), bottom=style.HAIRLINE.bottom, right=style.HAIRLINE.right)
WORDS = Alignment(horizontal="left", vertical="top", wrap_text=True, indent=1)
HINT = "Up to four trailers side by side, for the machine and truck of Match: choose stock numbers in the cream cells."
MEANT = {
    "why": "every rule that is broken, the worst first",
    "enough_said": "what mends each of these by itself; another may stand in the way still",
    "lacking": "figures that are blank or in doubt: no YES without them",
    "minded": "to watch for, whatever the verdict is",
}
"""What the words of a line are, beside them."""
Choices = Sequence[object]


def cells() -> dict[str, str]:
    """The cell of each expression, by key."""
    places = {said_of(group).key: f"$B${number}" for group, number in GROUP_ROWS.items()} | {COMPARED.key: "$L$3"}
    for place, letter in LETTERS.items():
        hidden = HIDDEN[place]
        places |= {found(place).key: f"${hidden}$3", row(place).key: f"${hidden}$4", name(place).key: f"${hidden}$5"}
        places |= {doubt(place).key: f"${hidden}$6"}
        places |= {ranked(line, place).key: f"${hidden}${ROWS[line.key]}" for line in RANKED}
        places[told(place).key] = f"${letter}${TOLD_ROW}"
        places |= {shown(line, place).key: f"${letter}${ROWS[line.key]}" for line in LINES}
    return places | {differs(line).key: f"${DIFFERS}${ROWS[line.key]}" for line in LINES if line.differs}


def places_on_match() -> dict[str, str]:
    """The cells of Match that are read here, by key."""
    top = match.top_cells()
    found_there = {choice_key(group): top[choice_key(group)] for group in GROUP_ROWS}
    found_there[f"row of {MACHINE}"] = top[f"row of {MACHINE}"]
    found_there |= {on_match(group).key: match.FOUND[group] for group in GROUP_ROWS}
    return found_there | {followed.typed_choice(group): match.CHOICES[group] for group in GROUP_ROWS}


def write(sheet: Worksheet, chosen: Choices, units: Units) -> None:
    """Write the sheet.

    Args:
        sheet: The empty sheet named Compare.
        chosen: The stock numbers chosen at first, four at most.
        units: The workbook's units.
    """
    style.title(sheet, SHEET, HINT)
    for letter, width in WIDTHS.items():
        sheet.column_dimensions[letter].width = width
    for group, number in GROUP_ROWS.items():
        label, said = sheet.cell(number, 1, group), sheet.cell(number, 2)
        label.font, said.font = style.font(bold=True), style.font()
        label.alignment = said.alignment = style.LEFT
        sheet.merge_cells(f"B{number}:{LAST}{number}")
    sheet.row_dimensions[BAND_ROW - 1].height = 6
    _write_heads(sheet, chosen)
    for line in LINES:
        _write_line(sheet, line, units)
    typed, first = f"$A${CHOICE_ROW}:${LAST}${CHOICE_ROW}", f"$A${BAND_ROW}"
    chosen_at = {choice(at).key: kept_in_row(typed, f"{letter}${BAND_ROW}", first) for at, letter in LETTERS.items()}
    places = Places(cells() | chosen_at)
    places.update({key: f"{match.SHEET}!{cell}" for key, cell in places_on_match().items()})
    places[asked.LIMITS_CHANGED.key] = limit_places(units)[asked.LIMITS_CHANGED.key]
    for key, said in expressions(units).items():
        sheet[cells()[key].replace("$", "")] = f"={formula(said, places)}"
    _mark(sheet)
    _set_up_page(sheet, units)


def _write_heads(sheet: Worksheet, chosen: Choices) -> None:
    """The band, the cells to choose in, and below them what is said of the choices."""
    heads = {"A": "Side by side", **dict(zip(LETTERS.values(), ORDINALS, strict=True)), DIFFERS: "Where they differ"}
    for letter, text in heads.items():
        band, under, below = (sheet[f"{letter}{number}"] for number in (BAND_ROW, CHOICE_ROW, TOLD_ROW))
        band.value, band.fill = text, style.fill(style.GLANCE_BAND.band)
        band.font, band.alignment = style.font(bold=True, color=style.GLANCE_BAND.band_ink), style.LEFT
        under.border = below.border = style.HAIRLINE
        below.font, below.alignment = style.font(size=9, color=style.QUIET), style.SHRUNK
    label = sheet[f"A{CHOICE_ROW}"]
    label.value, label.font, label.alignment = KEY, style.font(bold=True), style.LEFT
    asks = (KEY, "Choose from the Lot sheet. Left blank, this column stays empty.")
    for number, cell in enumerate(CHOICES):
        first = chosen[number] if number < len(chosen) else None
        style.choice(sheet, cell, lot.STOCK_NUMBERS, asks, first)
    keep_as_texts(sheet, CHOICES)
    for number in (BAND_ROW, CHOICE_ROW):
        sheet.row_dimensions[number].height = 18


def _write_line(sheet: Worksheet, line: Line, units: Units) -> None:
    """A line: its label, a cell a trailer, and where they differ."""
    number, is_words = ROWS[line.key], line.kind == "words"
    label, said = sheet.cell(number, 1, units.heading(line.label)), sheet[f"{DIFFERS}{number}"]
    label.font, label.alignment = style.font(size=9, bold=is_words), WORDS if is_words else style.LEFT
    for letter in LETTERS.values():
        cell = sheet[f"{letter}{number}"]
        cell.font = style.font(size=8 if is_words else 10, bold=line.key in ("trailer", "word"))
        cell.fill, cell.alignment = style.fill(style.FILLED), WORDS if is_words else style.SHRUNK
        cell.number_format = lot.FORMATS.get(line.kind, "General")
    if line.differs:
        said.font, said.alignment, said.fill = style.font(size=9), style.SHRUNK, style.fill(style.FILLED)
    elif is_words:
        said.value, said.font, said.alignment = MEANT[line.key], style.font(size=8, color=style.QUIET), WORDS
    for letter in ("A", *LETTERS.values(), DIFFERS):
        sheet[f"{letter}{number}"].border = RULED if line.key in GROUPS else style.HAIRLINE
    sheet.row_dimensions[number].height = WORDS_HEIGHT.get(line.key, 15)


def _mark(sheet: Worksheet) -> None:
    """What is wrong is highlighted, what was typed over marked, and nothing else taken where Enter leads to."""
    first, last = LETTERS[PLACES[0]], LETTERS[PLACES[-1]]
    one = Cell("first")
    wrong = OR(LEFT(one, 1).equals(WRONG), asked.says_no(one))
    told_area = f"{first}{TOLD_ROW}:{last}{LAST_ROW}"
    in_words = f"{DIFFERS}{ROWS['status']}:{DIFFERS}{ROWS['conflicts']}"
    for area in (told_area, f"B{GROUP_ROWS[MACHINE]}:B{GROUP_ROWS[TRUCK]}"):
        asks = formula(wrong, {one.key: area.partition(":")[0]})
        sheet.conditional_formatting.add(area, Rule(type="expression", dxf=style.CONFLICT, formula=[asks]))
    numbers = [line for line in LINES if line.kind in ("number", "from zero")]
    show_fractions(sheet, [f"{first}{ROWS[line.key]}:{last}{ROWS[line.key]}" for line in numbers])
    for area in (told_area, in_words):
        sheet.conditional_formatting.add(area, typed_over(area.partition(":")[0]))
        style.fills_itself(sheet, area, "This sheet fills itself. Choose stock numbers in the cream cells above.")


def _set_up_page(sheet: Worksheet, units: Units) -> None:
    """One page, landscape; the choices stay in sight."""
    for letter in (*HIDDEN.values(), "L"):
        sheet.column_dimensions[letter].hidden = True
    sheet.sheet_view.showGridLines = False
    sheet.freeze_panes = f"B{FIRST_ROW}"
    style.print_on(sheet, paper=units.paper, landscape=True)
    sheet.page_setup.fitToHeight = 1
    sheet.print_area = f"A1:{LAST}{LAST_ROW}"
