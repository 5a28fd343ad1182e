"""What the options do to the empty pin: an estimate beside the page, which is not printed.

Moments about the center of the axles: an option of the weight w, x behind the coupler, puts w (1 - x / L) on the pin
of a trailer whose axles are L behind the coupler; behind the axles it takes weight off.
"""

from __future__ import annotations

from openpyxl.worksheet.worksheet import Worksheet

from tarelot.calc.cells.expression import Cell, Expression, Range
from tarelot.calc.cells.spreadsheet import AND, COUNT, COUNTIF, IF, IFERROR, INDEX, ISNUMBER, SUM
from tarelot.workbook_templates.basis import style
from tarelot.workbook_templates.basis.references import column_key
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling.asked import UNREADABLE
from tarelot.workbook_templates.hauling.card.cells import is_listed, listed
from tarelot.workbook_templates.hauling.drive_on.block import Block
from tarelot.workbook_templates.hauling.quote.entries import ENTRIES, HINTS, LABELS, TYPED
from tarelot.workbook_templates.hauling.quote.prices import PLACES, TWICE, option_key
from tarelot.workbook_templates.hauling.what_if.rows import TRAILER
from tarelot.workbook_templates.lot import options

FIRST_ROW = ENTRIES[-1].row + len(HINTS) + 2
CELLS = {"pin_change": f"{TYPED}{FIRST_ROW + 1}", "pin_counted": f"{TYPED}{FIRST_ROW + 2}"}
SIGNED = "+#,##0;-#,##0;0"
NO_AXLES = "not known: Coupler to axles is not stated"
NO_PLACES = "not known: no place is stated that fits"
MOST_BEHIND = 2
"""Coupler-to-axles lengths: farther back an option would take more than its weight off the pin (inches for feet?)."""
MOST_AHEAD = 1
"""The same ahead of the coupler, as of a tool box on a gooseneck: it puts at most twice its weight on the pin."""
HINT = "Places stand on Options. An estimate: weigh the pin."


def pin_key(place: int) -> str:
    """The key of what an option puts on the pin."""
    return option_key(place, "pin")


def expressions(units: Units) -> dict[str, Expression]:
    """What each option puts on the pin, blank where its place is not stated, and all together.

    Args:
        units: The workbook's units.
    """
    weights, places = (
        Range(column_key(options.TABLE, units.heading(heading))) for heading in (options.WEIGHT, options.PLACE)
    )
    to_axles = Cell("to_axles")
    found: dict[str, Expression] = {
        "to_axles": IFERROR(IF(is_listed(TRAILER), listed(TRAILER, "Coupler to axles ({long})", units), ""), UNREADABLE)
    }
    for number in PLACES:
        row, price = Cell(option_key(number, "row")), Cell(option_key(number, "price"))
        weight, place = INDEX(weights, row), INDEX(places, row)
        usable = AND(ISNUMBER(weight), ISNUMBER(place), weight >= 0, weight.differs(1), place.differs(1))
        single = AND(ISNUMBER(row), price.differs(TWICE))  # else which of the two it is cannot be told
        known = AND(ISNUMBER(to_axles), to_axles > 0)
        usable = AND(usable, place <= MOST_BEHIND * to_axles, place >= -MOST_AHEAD * to_axles)
        on_pin = IF(usable, weight * (1 - place / to_axles), "")
        found[pin_key(number)] = IFERROR(IF(AND(single, known), on_pin, ""), "")
    return found | _together()


def _together() -> dict[str, Expression]:
    each = Block([pin_key(number) for number in PLACES])
    named = COUNTIF(Block([option_key(number, "name") for number in PLACES]), "?*")
    placed, to_axles = COUNT(each), Cell("to_axles")
    lacking = IF(placed.equals(0), NO_PLACES, SUM(each))
    known = IF(AND(ISNUMBER(to_axles), to_axles > 0), lacking, NO_AXLES)
    some = AND(is_listed(TRAILER), named > 0)
    return {
        "pin_change": IF(some, known, ""),
        "pin_counted": IF(some, "from " & placed & " of " & named & " options", ""),
    }


def write(sheet: Worksheet, units: Units) -> None:
    """Write the labels and give the cells their looks.

    Args:
        sheet: The Quote.
        units: The workbook's units.
    """
    heading, label, hint = (sheet[f"{LABELS}{FIRST_ROW + line}"] for line in (0, 1, 3))
    heading.value, heading.font = "Options and the empty pin", style.font(size=11, bold=True)
    label.value, label.font, label.alignment = f"Adds to it ({units.weight})", style.font(), style.LEFT
    hint.value, hint.font = HINT, style.font(size=9, color=style.QUIET)
    change, counted = (sheet[cell] for cell in CELLS.values())
    for cell in (change, counted):
        cell.alignment = style.LEFT
    change.font, change.number_format, change.fill = style.font(bold=True), SIGNED, style.fill(style.FILLED)
    counted.font = style.font(size=9, color=style.QUIET)
