"""Where the machine sits, what then rests where, and the rules that the place decides.

Every limit on the place is linear in the pin: it is written as a bound on the pin beside the rule. The greatest pin
is the least of the upper bounds, the least pin the greatest of the lower ones. The proposed place is in the middle
between them, short of what calls for a caution as far as there is room. A typed place is asked about instead.
"""

from __future__ import annotations

from collections.abc import Sequence

from ..cells.expression import Cell, Expression, Given, Registered
from ..cells.spreadsheet import FIXED, IF, MAX, MIN, ROUND, SQRT, joined
from ..cells.working import Function
from .hauling_figures import (
    BACKWARD,
    BALL,
    GOOSENECK,
    PINTLE,
    PLACES,
    C,
    by_length,
    by_weight,
    is_word,
    over,
    usable,
    where_known,
    whole_down,
    whole_up,
)
from .hauling_rule import AT_LEAST, AT_MOST, CAUTION, FREE, Bound, Rule, Side, bound_key, bounds, sided

MOMENTS = "equilibrium of moments"
GEOMETRY = "plane geometry"
_BEAM = ("empty", "empty_pin", "to_axles", "weight")
_ON_DECK = (*_BEAM, "to_deck")
_BACKWARD = is_word("direction", BACKWARD)
_GOOSENECK = is_word("hitch", GOOSENECK)
_DRAWBAR = is_word("hitch", PINTLE, BALL)
_LENGTH_OF_PIN = C("to_axles") / C("weight") * C("per_long")
"""Short lengths by which the center moves for a unit of weight on the pin."""


def pin_at(place: Given) -> Expression:
    """The pin with the load's center at a place behind the deck's front edge, in the long unit."""
    return Registered("LOT_PIN_AT", *map(C, _BEAM), C("to_deck") + place, guarded=False)


def _end(key: str, gap: str) -> dict[str, Expression]:
    """An overhang's clearance, 0 where there is no overhang."""
    low = IF(C(key).equals(0), 0, IF(usable((gap,)), C(gap), ""))
    return {f"{key.partition('_')[0]}_gap": where_known((key,), low)}


def _leading(front: str, rear: str) -> Expression:
    """The figure of the end that goes up first."""
    return IF(_BACKWARD, C(rear), C(front))


SEAT: dict[str, Expression] = {
    **_end("front_overhang", "front_clearance"),
    **_end("rear_overhang", "rear_clearance"),
    "lead_overhang": where_known(("front_overhang", "rear_overhang"), _leading("front_overhang", "rear_overhang")),
    "trail_overhang": where_known(("front_overhang", "rear_overhang"), _leading("rear_overhang", "front_overhang")),
    "lead_gap": where_known(("front_gap", "rear_gap"), _leading("front_gap", "rear_gap")),
    "trail_gap": where_known(("front_gap", "rear_gap"), _leading("rear_gap", "front_gap")),
    "lead_to_center": where_known(
        ("to_center", "wheelbase"), IF(_BACKWARD, C("wheelbase") - C("to_center"), C("to_center"))
    ),
    "gross": where_known(("empty", "weight"), C("empty") + C("weight")),
    "tail_run": where_known(("tail_length", "tail_drop"), SQRT(C("tail_length") ** 2 - C("tail_drop") ** 2)),
    "machine_length": where_known(
        ("wheelbase", "front_overhang", "rear_overhang"),
        C("wheelbase") + C("front_overhang") + C("rear_overhang"),
    ),
}
"""The machine as it stands, by the end that goes up first; backward takes front and rear the other way."""

LOADED: dict[str, Expression] = {
    "center": IF(usable(("place",)), C("place"), C("proposed")),
    "pin": where_known((*_ON_DECK, "center"), pin_at(C("center"))),
    "axle_load": where_known(
        (*_ON_DECK, "center"),
        Registered("LOT_AXLES_AT", *map(C, _BEAM), C("to_deck") + C("center"), guarded=False),
    ),
    "pin_share": where_known(("pin", "gross"), C("pin") / C("gross")),
}
"""What rests on hitch and axles with the load in its place."""


def _seat_bound(side: str, needs: tuple[str, ...], place: Expression, name: str) -> Bound:
    return Bound(AT_MOST if side == "front" else AT_LEAST, (*_ON_DECK, *needs), pin_at(place), name)


_LEAD = ("lead_to_center", "lead_overhang")
_REAR_CONTACT = ("deck_length", "wheelbase", "lead_to_center")
_BEHIND = C("wheelbase") - C("lead_to_center")
_TRAIL = (*_REAR_CONTACT, "trail_overhang", "tail_run")
_LEAD_END = C("lead_to_center") + C("lead_overhang") - C("center") * C("per_long")
"""How far the end that went up first stands past the deck's front edge."""
_TRAIL_END = (C("center") - C("deck_length")) * C("per_long") + _BEHIND + C("trail_overhang") - C("tail_run")
"""How far the other end stands past the tail's end."""

SEAT_RULES: tuple[Rule, ...] = (
    Rule(
        "deck_short",
        "Is the level deck as long as its wheelbase or tracks?",
        ("wheelbase", "deck_length"),
        C("wheelbase") - C("deck_length") * C("per_long"),
        "deck too short for its wheelbase or tracks" & by_length("deck_short"),
        GEOMETRY,
    ),
    Rule(
        "center_between",
        "Is its center of gravity between its contacts?",
        ("to_center", "wheelbase"),
        IF(C("to_center") < C("wheelbase"), 0, 1),
        "its center of gravity does not lie between its contacts: check front contact to center and wheelbase",
        MOMENTS,
    ),
    Rule(
        "front_contact",
        "Does its foremost contact stand on the deck?",
        ("lead_to_center", "center"),
        C("lead_to_center") - C("center") * C("per_long"),
        "its foremost contact stands ahead of the deck" & by_length("front_contact"),
        GEOMETRY,
        bounds=(
            _seat_bound("front", ("lead_to_center",), C("lead_to_center") / C("per_long"), "the deck's front edge"),
        ),
    ),
    Rule(
        "rear_contact",
        "Does its rearmost contact stand on the level deck?",
        (*_REAR_CONTACT, "center"),
        (C("center") - C("deck_length")) * C("per_long") + _BEHIND,
        "its rearmost contact stands behind the level deck" & by_length("rear_contact"),
        GEOMETRY,
        bounds=(
            _seat_bound(
                "rear", _REAR_CONTACT, C("deck_length") - _BEHIND / C("per_long"), "the rear end of the level deck"
            ),
        ),
    ),
    Rule(
        "neck",
        "Does it keep clear of the gooseneck and the truck?",
        (*_LEAD, "center", "neck_clearance"),
        _LEAD_END - C("neck_clearance"),
        "stands past the neck clearance" & by_length("neck"),
        GEOMETRY,
        applies=_GOOSENECK,
        bounds=(
            _seat_bound(
                "front",
                (*_LEAD, "neck_clearance"),
                (C("lead_to_center") + C("lead_overhang") - C("neck_clearance")) / C("per_long"),
                "the neck clearance",
            ),
        ),
    ),
    Rule(
        "coupler_end",
        "Does its end stay behind the coupler?",
        (*_LEAD, "center", "to_deck"),
        _LEAD_END - C("to_deck") * C("per_long"),
        "stands past the coupler, where the truck is," & by_length("coupler_end"),
        GEOMETRY,
        applies=_DRAWBAR,
        bounds=(
            _seat_bound(
                "front",
                _LEAD,
                (C("lead_to_center") + C("lead_overhang")) / C("per_long") - C("to_deck"),
                "the coupler",
            ),
        ),
    ),
    Rule(
        "front_edge",
        "Does its end stay behind the deck's front edge?",
        (*_LEAD, "center"),
        _LEAD_END,
        "reaches over the deck's front edge" & by_length("front_edge") & ": watch drawbar and truck in a turn",
        "common practice, no source",
        CAUTION,
        applies=_DRAWBAR,
        bounds=(_seat_bound("front", _LEAD, (C("lead_to_center") + C("lead_overhang")) / C("per_long"), ""),),
    ),
    Rule(
        "rear_past",
        "Does its other end stay near the tail's end?",
        (*_TRAIL, "center"),
        _TRAIL_END - C("limit_rear_overhang"),
        "reaches past the tail's end by "
        & FIXED(C(over("rear_past")) + C("limit_rear_overhang"), 0)
        & " "
        & C("short_unit")
        & ": flags and lamps (49 CFR 393.87, 393.11)",
        "49 CFR 393.87",
        CAUTION,
    ),
)

SHARE_RULES: tuple[Rule, ...] = (
    Rule(
        "pin_light",
        "Is there enough weight on the hitch to keep it from swaying?",
        ("low_share", "pin", "gross"),
        C("low_share") * C("gross") - C("pin"),
        "too light on the hitch" & by_weight("pin_light") & ": it sways",
        "common practice, no source",
        bounds=(Bound(AT_LEAST, ("low_share", "gross"), C("low_share") * C("gross"), "the low pin share"),),
    ),
    Rule(
        "pin_heavy",
        "Is the pin share within the usual?",
        ("high_share", "pin", "gross"),
        C("pin") - C("high_share") * C("gross"),
        "heavier on the hitch than usual" & by_weight("pin_heavy"),
        "common practice, no source",
        CAUTION,
        bounds=(Bound(AT_MOST, ("high_share", "gross"), C("high_share") * C("gross"), ""),),
    ),
)


def _cells(rules: Sequence[Rule], side: Side, *, cautions: bool = False) -> list[Cell]:
    """The bounds of the rules that say no whatever the permit, or of the cautions."""
    return [
        Cell(bound_key(rule, side))
        for rule, _ in sided(rules, side)
        if (rule.severity == CAUTION) == cautions and rule.eased is None
    ]


def _eased(rules: Sequence[Rule], side: Side, pick: Function, free: float) -> Expression:
    """The bounds of those that a permit eases, as one; none with a permit."""
    eased = [rule for rule, _ in sided(rules, side) if rule.eased is not None]
    assert eased[0].eased is not None
    return IF(eased[0].eased, free, pick(free, *(Cell(bound_key(rule, side)) for rule in eased)))


def _named(rules: Sequence[Rule], side: Side, end: str) -> Expression:
    """What sets this end of the pin's band."""
    found: Given = ""
    for rule, bound in reversed(sided(rules, side)):
        if rule.severity != CAUTION:
            found = IF(Cell(bound_key(rule, side)).equals(C(end)), bound.name, found)
    return where_known((end,), found)


def band(rules: Sequence[Rule]) -> dict[str, Expression]:
    """The bounds on the pin, the band between them, its ends as places of the center, and the place proposed.

    Args:
        rules: All rules; those with a bound are looked at.
    """
    greatest = MIN(*_cells(rules, AT_MOST), _eased(rules, AT_MOST, MIN, FREE))
    least = MAX(*_cells(rules, AT_LEAST), _eased(rules, AT_LEAST, MAX, -FREE))
    seat = ("pin_at_most_front_contact", "pin_at_least_rear_contact")
    easy = MAX(C("pin_least"), MIN(C("pin_greatest"), *_cells(rules, AT_MOST, cautions=True)))
    in_band = ROUND(C("pin_least") - C("pin_greatest"), PLACES) <= 0
    return {
        **{key: found for rule in rules for key, found in bounds(rule).items()},
        "pin_greatest": where_known(seat, greatest),
        "pin_least": where_known(seat, least),
        "pin_least_by": _named(rules, AT_LEAST, "pin_least"),
        "pin_greatest_by": _named(rules, AT_MOST, "pin_greatest"),
        "pin_easy": where_known(("pin_least", "pin_greatest"), IF(in_band, easy, "")),
        "center_from": _center("pin_greatest"),
        "center_to": _center("pin_least"),
        "proposed": where_known(("pin_easy", *_ON_DECK), center_of((C("pin_least") + C("pin_easy")) / 2)),
    }


def center_of(pin: Expression) -> Expression:
    """The place of the center behind the deck's front edge with this pin."""
    return C("to_axles") * (C("empty_pin") + C("weight") - pin) / C("weight") - C("to_deck")


def _center(end: str) -> Expression:
    """An end of the band as a place."""
    return where_known((end, "pin_easy", *_ON_DECK), center_of(C(end)))


NO_PLACE = Rule(
    "no_place",
    "Is there a place for it?",
    ("pin_least", "pin_greatest"),
    C("pin_least") - C("pin_greatest"),
    joined(
        [
            "no load position keeps pin and axles within limits: at least "
            & whole_up(C("pin_least"))
            & " "
            & C("weight_unit")
            & " must rest on the hitch for "
            & C("pin_least_by"),
            ", at most " & whole_down(C("pin_greatest")) & " " & C("weight_unit") & " for " & C("pin_greatest_by"),
        ]
    ),
    MOMENTS,
)
"""Asked whether or not a place is typed: where there is none at all, no typed one is right."""
