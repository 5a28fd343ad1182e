"""What the answers of What-if are made of, as named values on the Drive-on sheet: the rules, and figures beside."""

from __future__ import annotations

from functools import cache

from tarelot.calc.cells.expression import Cell, Expression, Given, Registered
from tarelot.calc.cells.spreadsheet import AND, IF, IFERROR, ISERROR, ISNUMBER, OR, ROUND
from tarelot.calc.rules.aboard import EXPRESSIONS
from tarelot.calc.rules.hauling import CHOSEN
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling import asked
from tarelot.workbook_templates.hauling.what_if import aboard
from tarelot.workbook_templates.hauling.what_if.doubts import doubts
from tarelot.workbook_templates.hauling.what_if.rows import (
    MACHINE,
    TABLES,
    TRAILER,
    TRUCK,
    row_of_choice,
    typed_place,
    used,
)

C = Cell
LIMITS = ("gvwr", "axle_group", "coupler", "coupler_vertical", "low_share", "high_share")
TRUCK_FIGURES = ("hitch_rating", "hitch_vertical", "rear_rating", "rear_empty", "truck_wheelbase", "hitch_overhang")
SHOWS = {TRAILER: "gvwr", MACHINE: "weight", TRUCK: "truck_gvwr"}
"""The figure that shows that there is one, though none was chosen from the list."""


@cache
def values(units: Units) -> dict[str, Expression]:
    """The values by key, in the order of the sheet."""
    return {
        **{f"row of {group}": row_of_choice(group) for group in TABLES},
        "place": typed_place(),
        **doubts(units),
        **aboard.values(units),
        **{CHOSEN[group.lower()]: IF(there(group), 1, "") for group in TABLES},
        **EXPRESSIONS,
        "gross_limit": Registered("LOT_GROSS_LIMIT", *map(C, LIMITS)),
        "limited_by": Registered("LOT_LIMITED_BY", *map(C, LIMITS)),
        "spare": asked.spare(),
        "spare_by": asked.spare_by(),
        **_pulled(),
        "caption_band": _caption(),
    }


def there(group: str) -> Expression:
    """Whether a trailer, machine or truck is chosen or typed."""
    return OR(ISNUMBER(C(f"row of {group}")), ISNUMBER(used(SHOWS[group])))


def where_numbers(keys: tuple[str, ...], said: Given) -> Expression:
    """What is said where each figure is a number, else blank."""
    return IF(AND(*(ISNUMBER(C(key)) for key in keys)), said, "")


def left_of(limit: str) -> Expression:
    """What the gross weight leaves of a limit; the limit's error where it is one."""
    return IF(ISERROR(C(limit)), C(limit), where_numbers((limit, "gross"), ROUND(C(limit) - C("gross"), 6)))


def _pulled() -> dict[str, Expression]:
    """What the truck may pull with this share of it on the hitch, and what limits that."""
    share = C("pin_share")
    sound = IF(ISNUMBER(share), IF(AND(share > 0, share < 1), share, ""), "")
    truck = [C(key) for key in ("truck_gvwr", "truck_empty", "share_for_truck", "gcwr", *TRUCK_FIGURES)]
    return {
        "share_for_truck": sound,
        "truck_limit": Registered("LOT_TRUCK_LIMIT", *truck),
        "truck_by": Registered("LOT_TRUCK_LIMITED_BY", *truck),
        "truck_spare": left_of("truck_limit"),
    }


def _caption() -> Expression:
    """What stands below the side view about the band."""
    ends = C("center_from answer") & " to " & C("center_to answer")
    where = "Blue: its center of gravity may be " & ends & " from the deck's front edge."
    nowhere = IF(IFERROR(C("over_no_place") > 0, False), "Blue: no place for its center.", "")
    return IF(ISNUMBER(C("center_from")), where, IF(ISNUMBER(C("over_no_place")), nowhere, ""))
