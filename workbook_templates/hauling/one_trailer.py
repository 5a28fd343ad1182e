"""The Trailer sheet: all that the Lot has of one trailer, on one screen, to see and read; typing stays on the Lot.

Its groups are those of the Lot, in columns beside each other; what is said in words stands across the sheet.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from functools import cache

from openpyxl.cell import Cell as SheetCell
from openpyxl.formatting.rule import Rule
from openpyxl.styles import Alignment
from openpyxl.utils.datetime import to_excel
from openpyxl.worksheet.worksheet import Worksheet

from tarelot.calc.cells.expression import Cell, Expression, Range, formula
from tarelot.calc.cells.spreadsheet import IF, IFERROR, INDEX, ISNUMBER, is_blank
from tarelot.calc.cells.worked_out import WorkedOut
from tarelot.workbook_templates.basis import style
from tarelot.workbook_templates.basis.fractions import show_fractions
from tarelot.workbook_templates.basis.number_texts import keep_as_texts
from tarelot.workbook_templates.basis.references import Places, column_key
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling import followed
from tarelot.workbook_templates.hauling.asked import UNREADABLE, WRONG
from tarelot.workbook_templates.hauling.match.stored import Columns
from tarelot.workbook_templates.hauling.what_if.rows import (
    TRAILER,
    choice_key,
    is_listed_twice,
    no_choice,
    row_of_choice,
)
from tarelot.workbook_templates.lot import sheet as lot
from tarelot.workbook_templates.lot.column import (
    CHECKS,
    DECK,
    FIGURES,
    GEAR,
    GLANCE,
    HITCH_END,
    TIES,
    WEIGHTS,
    Column,
    Input,
)
from tarelot.workbook_templates.lot.column import TRAILER as TRAILER_GROUP
from tarelot.workbook_templates.lot.columns import COLUMNS, KEY, TABLE

SHEET = "Trailer"
CHOICE, FOUND, ROW = "$B$4", "$C$4", "$N$4"
"""The choice, what was found, and, hidden, its row on the Lot."""
IN_WORDS = ("what_conflicts", "entry_check", "not_checked", "options")
"""Columns whose words need room: by key, across the sheet."""
FIRST_WORDS = 6
WORDS = Alignment(horizontal="left", vertical="top", wrap_text=True, indent=1)
FIRST_ROW = FIRST_WORDS + len(IN_WORDS) + 1
SIDES = ((TRAILER_GROUP, WEIGHTS, GEAR), (HITCH_END, DECK, TIES), (GLANCE, FIGURES), (CHECKS,))
"""The groups of the Lot beside each other: what is typed on the left, what comes out on the right."""
LABELS, VALUES = "ADGJ", "BEHK"
WIDTHS = dict(zip("ABCDEFGHIJK", (24, 17, 2, 24, 15, 2, 24, 15, 2, 24, 15), strict=True))
Stored = dict[str, float | str | bool | None]


@cache
def lines() -> dict[str, tuple[str, int, str]]:
    """Where each column of the Lot stands, by its key: label's letter, row, value's letter; of a group by its name."""
    found: dict[str, tuple[str, int, str]] = {}
    for label, value, groups in zip(LABELS, VALUES, SIDES, strict=True):
        keys = [key for group in groups for key in (group, *_members(group))]
        found |= {key: (label, row, value) for row, key in enumerate(keys, FIRST_ROW)}
    return found


def _members(group: str) -> list[str]:
    """The columns of a group that stand under it, by key."""
    return [column.key for column in COLUMNS if column.group == group and column.key not in (*IN_WORDS, "stock")]


def _last_row() -> int:
    return max(row for _, row, _ in lines().values())


def expressions(units: Units) -> dict[str, Expression]:
    """What the cells say, by cell."""
    row = Cell("row of trailer")
    found: dict[str, Expression] = {choice_key(TRAILER): followed.choice(TRAILER), row.key: row_of_choice(TRAILER)}
    for column in COLUMNS:
        if column.key in lines() or column.key in IN_WORDS:
            value = INDEX(Range(column_key(TABLE, units.heading(column.heading))), row)
            found[column.key] = IF(ISNUMBER(row), IF(value.equals(""), "", value), "")
    stands = "as on What-if: " & Cell(choice_key(TRAILER))
    twice = IF(is_listed_twice(TRAILER), f"{WRONG} stands on the Lot twice: this is the first", "")
    where = IF(is_blank(Cell(followed.typed_choice(TRAILER))), stands, "")
    there = IF(twice.equals(""), where, twice)
    chosen = IF(ISNUMBER(row), there, f"{WRONG} not on the Lot sheet")
    found["found"] = IF(no_choice(TRAILER), "choose a stock number", chosen)
    behind = (choice_key(TRAILER), "row of trailer")
    return {key: said if key in behind else IFERROR(said, UNREADABLE) for key, said in found.items()}


def cells() -> dict[str, str]:
    """The cell of each expression."""
    found = {column: f"${value}${row}" for column, (_, row, value) in lines().items()}
    found |= {key: f"$B${number}" for number, key in enumerate(IN_WORDS, FIRST_WORDS)}
    return found | {choice_key(TRAILER): "$M$4", "row of trailer": ROW, "found": FOUND}


def write(sheet: Worksheet, units: Units) -> None:
    """Write the sheet."""
    style.title(sheet, SHEET, "All that the Lot has of one trailer, on one screen. Type on the Lot; this only shows.")
    for letter, width in WIDTHS.items():
        sheet.column_dimensions[letter].width = width
    _write_choice(sheet)
    by_key = {column.key: column for column in COLUMNS}
    for number, key in enumerate(IN_WORDS, FIRST_WORDS):
        label, words = sheet.cell(number, 1, units.heading(by_key[key].heading)), sheet.cell(number, 2)
        label.font, label.alignment = style.font(size=9, bold=True), WORDS
        words.font, words.alignment = style.font(size=9), WORDS
        sheet.merge_cells(start_row=number, start_column=2, end_row=number, end_column=11)
        sheet.row_dimensions[number].height = 25
    for key, (letter, row, values) in lines().items():
        label, value = sheet[f"{letter}{row}"], sheet[f"{values}{row}"]
        if key in by_key:
            _write_line(label, value, by_key[key], units)
        else:
            _write_band(label, value, key)
        highlight = lot.HIGHLIGHTS.get(by_key[key].kind) if key in by_key else None
        if highlight is not None:
            asked = formula(highlight, {lot.SHOWN.key: value.coordinate})
            sheet.conditional_formatting.add(
                value.coordinate, Rule(type="expression", dxf=style.CONFLICT, formula=[asked])
            )
        sheet.row_dimensions[row].height = 13.5
    figures = [column.key for column in COLUMNS if column.kind in ("number", "from zero")]
    show_fractions(sheet, [f"{values}{row}" for key, (_, row, values) in lines().items() if key in figures])
    places = Places(cells() | followed.places({TRAILER: CHOICE}))
    for key, said in expressions(units).items():
        sheet[cells()[key].replace("$", "")] = f"={formula(said, places)}"
    for letter in "MN":
        sheet.column_dimensions[letter].hidden = True
    sheet.sheet_view.showGridLines = False
    sheet.freeze_panes = sheet.cell(FIRST_WORDS - 1, 1)
    style.print_on(sheet, paper=units.paper, landscape=True)
    sheet.print_area = f"A1:K{_last_row()}"


def _write_choice(sheet: Worksheet) -> None:
    """The stock number, chosen from the Lot."""
    name, found = sheet["A4"], sheet[FOUND.replace("$", "")]
    name.value, name.font, name.alignment = KEY, style.font(bold=True), style.LEFT
    found.font, found.alignment = style.font(color=style.QUIET), style.LEFT
    asks = (KEY, "Choose from the Lot sheet. Left blank, it is the one on What-if.")
    style.choice(sheet, CHOICE, lot.STOCK_NUMBERS, asks)
    keep_as_texts(sheet, [CHOICE])


def _write_band(label: SheetCell, value: SheetCell, name: str) -> None:
    band = lot.BANDS.get(name, style.GIVEN_BAND)
    label.value = name
    for cell in (label, value):
        cell.fill, cell.font = style.fill(band.band), style.font(size=9, bold=True, color=band.band_ink)
        cell.alignment = style.LEFT


def _write_line(label: SheetCell, value: SheetCell, column: Column, units: Units) -> None:
    label.value, label.font, label.alignment = units.heading(column.heading), style.font(size=9), style.LEFT
    value.font = style.font(size=9, bold=isinstance(column, Input))
    value.fill = style.fill(style.FILLED)
    value.alignment = Alignment(horizontal="right", vertical="center", indent=1, shrink_to_fit=True)
    value.number_format = lot.FORMATS.get(column.kind, "General")
    for cell in (label, value):
        cell.border = style.HAIRLINE


def stored(lot_rows: Sequence[Mapping[str, object]], on_what_if: object, units: Units) -> Stored:
    """The result of every formula, by cell.

    Args:
        lot_rows: Inputs and results of the lot, by heading.
        on_what_if: The stock number that is chosen on What-if; None for none.
        units: The workbook's units.
    """
    given = followed.given({TRAILER: None}, {TRAILER: on_what_if})
    said = expressions(units)
    rows = [{heading: _as_in_cell(value) for heading, value in row.items()} for row in lot_rows]
    worked = WorkedOut(given, said, Columns({TABLE: rows}))
    return {place.replace("$", ""): worked[key] for key, place in cells().items() if key in said}  # type: ignore[misc]


def _as_in_cell(value: object) -> object:
    """A day as the number that its cell holds."""
    return float(to_excel(value)) if isinstance(value, date) else value
