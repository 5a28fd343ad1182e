"""What the answers of What-if are made of, as named values on the Drive-on sheet: weights, band, truck, angles."""

from __future__ import annotations

from tarelot.calc.cells.expression import Cell, Expression, Given, Registered
from tarelot.calc.cells.spreadsheet import AND, ATAN, DEGREES, IF, ISERROR, ISNUMBER, MAX, ROUND, N
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling import placed
from tarelot.workbook_templates.hauling.drive_on.profile import READY
from tarelot.workbook_templates.hauling.questions import DECK_SHORT, OFF_DECK, exceeds
from tarelot.workbook_templates.hauling.what_if.rows import TABLES, row_of_choice

C = Cell
LIMITS = ("gvwr", "axle_group", "coupler", "coupler_vertical", "low_share", "high_share")
SWEPT = tuple(C(f"swept_{name}") for name in ("deck_height", "tail_drop", "tail_length", "ramp_length"))
OK, CHECK, SHORT, OFF = "ok", "check", "short", "off the deck"
"""What the band is said to be, beside ``placed.NO_PLACE``, and blank where a figure is missing."""


def values(units: Units) -> dict[str, Expression]:
    """The values by key, in the order of the sheet."""
    return {
        **{f"row of {group}": row_of_choice(group) for group in TABLES},
        "gross_limit": Registered("LOT_GROSS_LIMIT", *map(C, LIMITS)),
        "limited_by": Registered("LOT_LIMITED_BY", *map(C, LIMITS)),
        "gross": where_numbers(("empty", "weight"), C("empty") + C("weight")),
        "spare": left_of("gross_limit"),
        **_placed(units),
        **_truck(),
        "tie_downs": placed.tie_downs(units),
        **_in_pounds(units),
        **_angles(),
        "caption_band": _caption(),
    }


def where_numbers(keys: tuple[str, ...], said: Given) -> Expression:
    """What is said where each figure is a number, else blank."""
    return IF(AND(*(ISNUMBER(C(key)) for key in keys)), said, "")


def left_of(limit: str) -> Expression:
    """What the gross weight leaves of a limit; the limit's error where it is one."""
    return IF(ISERROR(C(limit)), C(limit), where_numbers((limit, "gross"), ROUND(C(limit) - C("gross"), 6)))


def _placed(units: Units) -> dict[str, Expression]:
    """The band of the load's center and whether there is one, and the weights with the load in its place."""
    judged = IF(ISNUMBER(C("band_from")), IF(exceeds(OFF_DECK), OFF, OK), "")
    judged = IF(exceeds(DECK_SHORT), SHORT, judged)
    tail = where_numbers(("to_deck", "deck_length"), C("tail_end_x") / units.short_per_long)
    return {
        **placed.band(units),
        "band": IF(ISERROR(C("band_from")), CHECK, IF(placed.is_nowhere(), placed.NO_PLACE, judged)),
        "proposed": IF(C("band").equals(OK), placed.middle(), ""),
        **placed.pin(),
        "axle_load": placed.at_center("LOT_AXLES_AT"),
        "tail_from_coupler": tail,
        "loading_pin": Registered("LOT_LOADING_PIN", *map(C, placed.BEAM), C("tail_from_coupler")),
    }


def _truck() -> dict[str, Expression]:
    """What the truck may pull, and its axles with the pin on its hitch."""
    share = C("pin_share")
    return {
        "truck_empty": placed.truck_empty(),
        "share_for_truck": IF(ISNUMBER(share), IF(AND(share > 0, share < 1), share, ""), ""),
        **placed.pulled(C("share_for_truck")),
        "truck_spare": left_of("truck_limit"),
        "rear_axle": _loaded("rear"),
        "front_axle": _loaded("front"),
    }


def _loaded(end: str) -> Expression:
    """An axle of the truck with the trailer."""
    change = C(f"{end}_change")
    loaded = where_numbers((f"{end}_empty", f"{end}_change"), C(f"{end}_empty") + change)
    return IF(ISERROR(change), change, loaded)


def _in_pounds(units: Units) -> dict[str, Expression]:
    """The weights that the license goes by, in pounds as the federal rule states its limits, and its group."""
    pound, heavier = units.weight_per_pound, MAX(C("gvwr"), N(C("gross")))
    found = {
        "truck_GVWR_in_lb": where_numbers(("truck_gvwr",), C("truck_gvwr") / pound),
        "trailer_GVWR_or_gross_in_lb": where_numbers(("gvwr",), heavier / pound),
        "GCWR_in_lb": where_numbers(("gcwr",), C("gcwr") / pound),
        "actual_gross_in_lb": where_numbers(("gross", "truck_empty"), (C("gross") + C("truck_empty")) / pound),
    }
    return {**found, "license": Registered("LOT_LICENSE_GROUP", *map(C, found))}


def _angles() -> dict[str, Expression]:
    """The breaks of the drive-on, and the angles that the machine clears."""
    breaks = {
        key: IF(READY.equals(1), Registered("LOT_BREAK_ANGLE", *SWEPT, key.replace("_", " ")), "")
        for key in ("foot", "ramp_top", "tail_top")
    }
    return {
        **breaks,
        "break_over": Registered("LOT_BREAKOVER_ANGLE", C("clearance"), C("wheelbase")),
        **{f"{end}_angle": _clears(C(f"{end}_overhang"), C(f"{end}_clearance")) for end in ("front", "rear")},
    }


def _clears(overhang: Expression, clearance: Expression) -> Expression:
    """The slope that an end clears; a right angle where it does not reach beyond its contact."""
    return IF(AND(N(overhang) > 0, N(clearance) > 0), DEGREES(ATAN(clearance / overhang)), 90)


def _caption() -> Expression:
    """What stands below the side view about the band."""
    ends = C("center_from answer") & " to " & C("center_to answer")
    where = "Blue: its center of gravity may be " & ends & " from the deck's front edge."
    return IF(C("band").equals(OK), where, IF(C("band").equals(""), "", "Blue: no place for its center."))
