"""What What-if and Match both work out: where the load may sit, what that puts on hitch and truck, how it is tied down.

``center`` is the place of the load's center of gravity: on Match the middle of its band, on What-if that or another one
that is typed. Errors pass, so that both sheets tell of a figure that is out of range.
"""

from __future__ import annotations

from tarelot.calc.cells.expression import Cell, Expression, Given, Registered
from tarelot.calc.cells.spreadsheet import IF, ISNA, MAX, MIN, N
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling.questions import OFF_DECK, exceeds, of_numbers, unless_blank

C = Cell
NO_PLACE = "no place"
"""Instead of an end of the band: nowhere are pin share, pin rating and axle rating kept together."""
BEAM = ("empty", "empty_pin", "to_axles", "weight")
LIMITS = (*BEAM, "low_share", "high_share", "axle_group", "coupler_vertical")
LENGTHS = ("to_deck", "deck_length", "wheelbase", "to_center")
HITCHED = ("truck_wheelbase", "hitch_overhang")
RATINGS = ("gcwr", "hitch_rating", "hitch_vertical", "rear_rating", "rear_empty")


def band(units: Units) -> dict[str, Expression]:
    """The band of the load's center: by the limits from the coupler, with the deck's ends from its front edge."""
    factor = units.short_per_long
    foremost, rearmost = (Registered(f"LOT_{end}", *map(C, LIMITS)) for end in ("FOREMOST", "REARMOST"))
    ahead, behind = C("to_center") / factor, C("deck_length") - (C("wheelbase") - C("to_center")) / factor
    return {
        "foremost": IF(ISNA(foremost), NO_PLACE, foremost),
        "rearmost": IF(is_nowhere(), NO_PLACE, rearmost),
        "band_from": _on_deck(MAX(C("foremost") - C("to_deck"), ahead)),
        "band_to": _on_deck(MIN(C("rearmost") - C("to_deck"), behind)),
    }


def is_nowhere() -> Expression:
    """Whether pin and axles allow no place at all."""
    return C("foremost").equals(NO_PLACE)


def _on_deck(end: Expression) -> Expression:
    """An end of the band on the deck; blank where there is no band or a figure is missing."""
    return unless_blank(("foremost", *LENGTHS), IF(is_nowhere(), "", of_numbers(LENGTHS, end)))


def middle() -> Expression:
    """The middle of the band; blank where the deck is too short for one."""
    between = (C("band_from") + C("band_to")) / 2
    return unless_blank(("band_from", "band_to"), IF(exceeds(OFF_DECK), "", between))


def at_center(function: str) -> Expression:
    """A weight with the load's center in its place: ``LOT_PIN_AT`` or ``LOT_AXLES_AT``."""
    needed = ("center", "to_deck")
    from_coupler = of_numbers(needed, C("center") + C("to_deck"))
    return unless_blank(needed, Registered(function, *map(C, BEAM), from_coupler))


def pin() -> dict[str, Expression]:
    """The weight on the hitch, and its share of the gross weight."""
    share = C("pin") / (C("empty") + C("weight"))
    return {"pin": at_center("LOT_PIN_AT"), "pin_share": unless_blank(("pin",), share)}


def truck_empty() -> Expression:
    """The truck's own weight."""
    return unless_blank(("front_empty", "rear_empty"), C("front_empty") + C("rear_empty"))


def pulled(share: Given) -> dict[str, Expression]:
    """What the truck may pull with this share of it on the hitch, and what the pin does to its axles."""
    truck = (C("truck_gvwr"), C("truck_empty"), share, *map(C, RATINGS), *map(C, HITCHED))
    change = (C("pin"), *map(C, HITCHED))
    return {
        "truck_limit": Registered("LOT_TRUCK_LIMIT", *truck),
        "truck_by": Registered("LOT_TRUCK_LIMITED_BY", *truck),
        "front_change": Registered("LOT_FRONT_AXLE_CHANGE", *change),
        "rear_change": Registered("LOT_REAR_AXLE_CHANGE", *change),
    }


def tie_downs(units: Units) -> Expression:
    """How many the federal rule asks for, which states its limits in pounds and feet."""
    length = (C("wheelbase") + N(C("front_overhang")) + N(C("rear_overhang"))) / (12 * units.short_per_inch)
    count = Registered("LOT_TIEDOWN_COUNT", C("weight") / units.weight_per_pound, length, None, "machine")
    return unless_blank(("weight", "wheelbase"), count)
