"""The Limits sheet: every figure that rules hold others against, ours and the yard's own, and which of them is used."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Iterator

from openpyxl.formatting.rule import Rule
from openpyxl.styles import Alignment, Protection
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.worksheet import Worksheet

from tarelot.calc.cells.expression import Cell, Expression, formula, lift, value
from tarelot.calc.cells.spreadsheet import IF, LEFT, listing
from tarelot.calc.rules.limits import BY_KEY, LIMITS, Limit
from tarelot.workbook_templates.basis import limits, style
from tarelot.workbook_templates.basis.units import Units

SHEET = limits.SHEET
HEADING_ROW = limits.FIRST_ROW - 1
LAST_ROW = limits.FIRST_ROW + len(LIMITS) - 1
LABEL_CELL, CHANGED_CELL = "A4", limits.CHANGED.replace("$", "")
HEADINGS = (  # heading and width by column
    (limits.NAME, limits.NAME_HEADING, 33),
    (limits.TYPED, limits.TYPED_HEADING, 10),
    (limits.UNIT, "Unit", 7),
    (limits.OURS, "Ours", 10),
    (limits.USED, "Used", 10),
    (limits.SWITCH, limits.SWITCH_HEADING, 10),
    (limits.LEAST, "From", 9),
    (limits.GREATEST, "To", 10),
    (limits.DONE, "What you changed", 28),
    (limits.SOURCE, "Where ours is from", 38),
    (limits.NOTE, "What is asked with it", 48),
)
NUMBERS = (limits.TYPED, limits.OURS, limits.USED, limits.LEAST, limits.GREATEST)
LETTERS_A_WIDTH = 1.3
"""Letters of the small type that go into a width of 1."""
TOP_RIGHT = Alignment(horizontal="right", vertical="top")  # an indent is lost in LibreOffice beside some neighbors
AMOUNT = '[>=100000000000]"off";[<0]-#,##0.##;#,##0.##'
"""A limit that is switched off shows as a word."""
SHARE = "0.00"
HINT = (
    "Type your own figure under Yours; left blank, ours is used. What guards lives cannot be switched off, only "
    "changed within From and To."
)
LONGEST_TITLE = 32
"""Letters that the title of an entry rule's words may have."""
_SHOWN = Cell("shown")


def write(sheet: Worksheet, units: Units, typed: limits.Typed | None = None) -> None:
    """Write the sheet.

    Args:
        sheet: The empty sheet.
        units: The workbook's units.
        typed: What the yard typed, by key.
    """
    style.title(sheet, SHEET, HINT)
    sheet[LABEL_CELL], sheet[CHANGED_CELL] = "Changed here", f"={formula(changed(), _places())}"
    sheet[LABEL_CELL].font, sheet[CHANGED_CELL].font = style.font(bold=True), style.font()
    sheet[CHANGED_CELL].alignment = style.WRAP
    sheet.merge_cells(f"{CHANGED_CELL}:{limits.NOTE}4")
    sheet.row_dimensions[4].height = 30
    for letter, heading, width in HEADINGS:
        _write_heading(sheet, letter, heading, width)
    for row, limit in enumerate(LIMITS, limits.FIRST_ROW):
        number, switch = (typed or {}).get(limit.key, (None, None))
        _write_row(sheet, row, limit, units, (number, switch))
    _add_rules(sheet, units)
    # Without a password: against a slip of the hand, for a gray figure typed over changes every verdict without a word.
    sheet.protection.enable()
    sheet.protection.formatColumns = sheet.protection.formatRows = False
    sheet.freeze_panes = sheet.cell(limits.FIRST_ROW, 3)
    sheet.sheet_view.showGridLines = False
    style.print_on(sheet, paper=units.paper, landscape=True)
    sheet.print_title_rows = f"{HEADING_ROW}:{HEADING_ROW}"


def _write_heading(sheet: Worksheet, letter: str, heading: str, width: float) -> None:
    cell = sheet[f"{letter}{HEADING_ROW}"]
    cell.value, cell.font, cell.fill = heading, style.font(size=9, bold=True), style.fill(style.GIVEN_BAND.heading)
    cell.alignment, cell.border = style.HEADING, style.HEADING_LINE
    sheet.column_dimensions[letter].width = width


def _write_row(sheet: Worksheet, row: int, limit: Limit, units: Units, typed: tuple[object, object]) -> None:
    """One limit."""
    number, switch = typed
    cells = limits.cells_of(limit, units, number, switch)
    places = _row_places(row)
    shown = {
        limits.NAME: limit.name,
        limits.TYPED: number,
        limits.UNIT: limits.unit_name(limit, units),
        limits.OURS: cells["ours"],
        limits.USED: f"={formula(limits.used_expression(limit), places)}",
        limits.SWITCH: switch if limit.may_switch_off else None,
        limits.LEAST: cells["least"],
        limits.GREATEST: cells["greatest"],
        limits.DONE: f"={formula(limits.done_expression(limit, units), places)}",
        limits.SOURCE: limit.source,
        limits.NOTE: limit.note,
    }
    for letter, content in shown.items():
        cell = sheet[f"{letter}{row}"]
        cell.value = content  # type: ignore[assignment]
        is_typed = letter == limits.TYPED or (letter == limits.SWITCH and limit.may_switch_off)
        if is_typed:
            cell.protection = Protection(locked=False)
        if is_typed and content is None:
            continue  # a rule gives it its look, since some programs read a blank cell with a color as 0
        cell.fill = style.fill(style.TYPED if is_typed else style.FILLED)
        cell.font, cell.border = style.font(size=9, bold=letter in (limits.NAME, limits.USED)), style.HAIRLINE
        cell.alignment = TOP_RIGHT if letter in NUMBERS else style.WRAP
        if letter in NUMBERS:
            is_year = limit.key.startswith("plaus_model_year")
            cell.number_format = SHARE if limit.unit == "share" else style.YEAR if is_year else _amount(cell.value)
    widths = {letter: width for letter, _, width in HEADINGS}
    told = (len(str(shown[letter])) / (widths[letter] * LETTERS_A_WIDTH) for letter in (limits.SOURCE, limits.NOTE))
    lines = math.ceil(max(told))
    sheet.row_dimensions[row].height = 13.5 * lines


def _amount(content: object) -> str:
    """A number's format: no point behind a whole number."""
    if isinstance(content, float) and content % 1:
        return "#,##0.0##"
    return AMOUNT if isinstance(content, str) else style.FIGURE


def _add_rules(sheet: Worksheet, units: Units) -> None:
    """Entry rules, and the mark of what is not taken."""
    for row, limit in enumerate(LIMITS, limits.FIRST_ROW):
        cells = limits.cells_of(limit, units)
        bounds = f"{cells['least']:,g} to {cells['greatest']:,g} {limits.unit_name(limit, units)}".rstrip()
        rule = DataValidation(
            type="decimal",
            operator="between",
            formula1=f"{cells['least']:.15g}",
            formula2=f"{cells['greatest']:.15g}",
            allow_blank=True,
        )
        title = textwrap.shorten(limit.name, LONGEST_TITLE, placeholder=" ...")
        asks = title, f"Yours, from {bounds}; left blank, ours is used."
        style.entry_rule(sheet, rule, f"{limits.TYPED}{row}", f"A number from {bounds} is needed.", asks)
        if limit.may_switch_off:
            switch = DataValidation(type="list", formula1=f'"{limits.OFF}"', allow_blank=True)
            asks = "Switched off", "off: nothing is asked with this limit."
            style.entry_rule(sheet, switch, f"{limits.SWITCH}{row}", "Choose off, or leave it blank.", asks)
    for letter in (limits.TYPED, limits.SWITCH):
        for row, limit in enumerate(LIMITS, limits.FIRST_ROW):
            if letter == limits.TYPED or limit.may_switch_off:
                style.cream(sheet, f"{letter}{row}")
    first = f"{limits.DONE}{limits.FIRST_ROW}"
    wrong = formula(LEFT(_SHOWN, 1).equals(limits.NOT_TAKEN[0]), {_SHOWN.key: first})
    area = f"{first}:{limits.DONE}{LAST_ROW}"
    sheet.conditional_formatting.add(area, Rule(type="expression", dxf=style.CONFLICT, formula=[wrong]))


def changed() -> Expression:
    """What the yard changed or switched off, in words, limit by limit; blank where nothing."""
    return listing(_changes())


def _changes() -> Iterator[Expression]:
    for key in BY_KEY:
        done = Cell(f"done_{key}")
        yield IF(done.equals(""), "", lift("; ") & Cell(f"name_{key}") & ": " & done)


def _places() -> dict[str, str]:
    columns = {"done": limits.DONE, "name": limits.NAME}
    rows = list(enumerate(BY_KEY, limits.FIRST_ROW))
    return {f"{what}_{key}": f"{letter}{row}" for what, letter in columns.items() for row, key in rows}


def _row_places(row: int) -> dict[str, str]:
    columns = {
        "typed": limits.TYPED,
        "ours": limits.OURS,
        "least": limits.LEAST,
        "greatest": limits.GREATEST,
        "switch": limits.SWITCH,
    }
    return {key: f"{letter}{row}" for key, letter in columns.items()}


def stored(units: Units, typed: limits.Typed | None = None) -> dict[str, float | str | bool | None]:
    """Every result of the sheet by cell.

    Args:
        units: The workbook's units.
        typed: What the yard typed, by key.
    """
    found: dict[str, float | str | bool | None] = {}
    done: dict[str, object] = {f"name_{limit.key}": limit.name for limit in LIMITS}
    for row, limit in enumerate(LIMITS, limits.FIRST_ROW):
        cells = limits.cells_of(limit, units, *(typed or {}).get(limit.key, (None, None)))
        found[f"{limits.USED}{row}"] = value(limits.used_expression(limit), cells)
        said = value(limits.done_expression(limit, units), cells)
        found[f"{limits.DONE}{row}"] = done[f"done_{limit.key}"] = said
    found[CHANGED_CELL] = value(changed(), done)
    return found
