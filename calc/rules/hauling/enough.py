"""ENOUGH: what would be enough where a rule says no, or lacks a figure: each figure alone mends the rules of its row.

An amount is the least that is enough, or the greatest, in the last digit that is said. It mends what it names and
nothing else: the other rules are to be asked again with it. Where there is no place at all for the machine, a rating
is said only if it alone leaves none.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

from ...brakes import UNBRAKED_LB
from ...cells.expression import Cell, Expression, Given, lift
from ...cells.spreadsheet import AND, FIXED, IF, IFERROR, ISNUMBER, MAX, MIN, OR, ROUND, N, joined, listing
from ..hauling_figures import (
    AIR,
    BACKWARD,
    ELECTRIC,
    FIGURES,
    GOOSENECK,
    PLACES,
    C,
    added,
    is_word,
    usable,
    where_known,
    whole_down,
    whole_up,
    word,
)
from ..hauling_placing import NO_PLACE, center_of
from ..hauling_rule import (
    AT_LEAST,
    AT_MOST,
    CAUTION,
    FREE,
    NO,
    YES,
    Rule,
    Side,
    bound_key,
    cell,
    is_passed,
    says_no,
    sided,
)
from .ramp_enough import RAMPS_FIXED_BY_LENGTH, ramp_cells
from .turned import turned

Unit = Literal["weight", "short", "long", "count"]
DECIMALS: dict[Unit, int] = {"weight": 0, "short": 1, "long": 2, "count": 0}
"""How an amount is said: lengths to a tenth of the short unit, to a hundredth of the long one."""
NAMES = {figure.key: figure.name for figure in FIGURES} | {"place": "center of gravity"}


@dataclass(frozen=True)
class Enough:
    """One figure that would be enough.

    Attributes:
        figure: Its key.
        rules: The rules that it mends.
        amount: The least that is enough.
        unit: How it is said.
        needs: The figures that the amount reads.
        is_most: Whether it is the greatest that is enough.
        tail: What is said behind it.
        only: Where it is said at all.
    """

    figure: str
    rules: tuple[str, ...]
    amount: Expression
    unit: Unit
    needs: tuple[str, ...]
    is_most: bool = False
    tail: str = ""
    only: Expression | None = None


@dataclass(frozen=True)
class Otherwise:
    """A word that would be enough: typed over ``figure``, as ``typed``, and said in ``words``; ``only`` as above."""

    figure: str
    rules: tuple[str, ...]
    typed: Given
    words: Given
    only: Expression | None = None


# The pin that a rating has to allow: that of the place typed, else what the other limits leave at best.
_DOWN, _UP = C("pin_down"), C("pin_up")
_CARRIED = C("gross") - _DOWN
_ON_EACH_TIRE, _OF_TIRES = _CARRIED / (C("axles") * C("tires")), ("gross", "pin_down", "axles", "tires")
_TAKEN = C("taken")
_BEHIND = (C("wheelbase") - C("lead_to_center")) / C("per_long")
_OF_LOAD = ("empty", "empty_pin", "to_axles", "to_deck", "weight", "wheelbase", "lead_to_center")
_ON_TRUCK = C("truck_empty") + C("empty")
_BEYOND_BALANCE = C("rear_empty") + (1 + _TAKEN) * C("empty_pin")
"""What rests on the truck's rear axles without the machine."""
_RAMP_LOAD = MAX(C("ramp_load"), C("ramp_load_on_slope"))
_MOST_WEIGHT = (
    ("gvwr", C("gvwr") - C("empty")),
    ("coupler", C("coupler") - C("empty")),
    ("chains", C("chains") / C("limit_chain_factor") - C("empty")),
    ("gcwr", C("gcwr") - _ON_TRUCK),
    ("hitch_rating", C("hitch_rating") - C("empty")),
    ("legal_gross", C("limit_gross_federal") - _ON_TRUCK),
    ("bridge_outer", C("outer_allowed") - _ON_TRUCK),
    ("unbraked", UNBRAKED_LB * C("per_pound") - C("empty")),
    ("ties_weak", C("points") * C("point_rating")),
    ("ramp_rating", C("weight") * C("ramp_rating") / _RAMP_LOAD),
    (
        "lift",
        IF(
            C("loading_rear") < _BEYOND_BALANCE,
            C("weight") * _BEYOND_BALANCE / (_BEYOND_BALANCE - C("loading_rear")),
            FREE,
        ),
    ),
)
"""The greatest weight of a machine by each rule in which it is linear; what its place decides is not among them."""


def _greatest_weight() -> Expression:
    """The least of those that are asked."""
    return MIN(*(IF(ISNUMBER(C(f"over_{rule}")), IFERROR(most, FREE), FREE) for rule, most in _MOST_WEIGHT))


def _seat_rules(rules: Iterable[Rule]) -> tuple[str, ...]:
    """The rules that the place decides."""
    return tuple(rule.key for rule in rules if rule.bounds and rule.severity != CAUTION)


RATINGS: tuple[Enough, ...] = (
    Enough("gvwr", ("gvwr",), C("gross"), "weight", ("gross",)),
    Enough("axle_rating", ("axles",), _CARRIED / C("axles"), "weight", ("gross", "pin_down", "axles")),
    Enough("suspension", ("suspension",), _CARRIED / C("axles"), "weight", ("gross", "pin_down", "axles")),
    Enough("tire_rating", ("tires",), _ON_EACH_TIRE, "weight", _OF_TIRES),
    Enough("wheel_rating", ("wheels",), _ON_EACH_TIRE, "weight", _OF_TIRES),
    Enough("coupler", ("coupler",), C("gross"), "weight", ("gross",)),
    Enough("coupler_vertical", ("coupler_vertical",), _UP, "weight", ("pin_up",)),
    Enough(
        "chains",
        ("chains",),
        C("gross") * C("limit_chain_factor"),
        "weight",
        ("gross",),
        only=word("hitch").differs(GOOSENECK),
    ),
    Enough(
        "jack_rating",
        ("jacks",),
        _UP * C("limit_jack_factor") / C("jacks"),
        "weight",
        ("pin_up", "jacks"),
        only=C("jacks") > 0,
    ),
    Enough("points", ("ties_few",), C("ties"), "count", ("ties",)),
    Enough(
        "point_rating",
        ("ties_weak",),
        C("weight") / C("points"),
        "weight",
        ("weight", "points"),
        only=C("points") > 0,
    ),
    Enough("ramp_rating", ("ramp_rating",), _RAMP_LOAD, "weight", ("ramp_load", "ramp_load_on_slope")),
    Enough("deck_width", ("tread_deck",), C("tread_outside"), "short", ("tread_outside",)),
    Enough("ramps_outside", ("tread_ramps",), C("tread_outside"), "short", ("tread_outside",)),
    Enough(
        "ramp_width",
        ("tread_between",),
        (C("ramps_outside") - C("tread_outside")) / 2 + C("shoe_width"),
        "short",
        ("ramps_outside", "tread_outside", "shoe_width"),
    ),
    Enough(
        "deck_length",
        ("deck_short", "rear_contact"),
        MAX(C("wheelbase") / C("per_long"), IFERROR(center_of(_DOWN) + _BEHIND, 0)),
        "long",
        _OF_LOAD,
    ),
    Enough("truck_gvwr", ("truck_gvwr",), C("truck_empty") + _UP, "weight", ("truck_empty", "pin_up")),
    Enough("gcwr", ("gcwr",), C("combination"), "weight", ("combination",)),
    Enough("hitch_rating", ("hitch_rating",), C("gross"), "weight", ("gross",)),
    Enough("hitch_vertical", ("hitch_vertical",), _UP, "weight", ("pin_up",)),
    Enough(
        "rear_rating",
        ("rear_axle",),
        C("rear_empty") + _UP * (1 + _TAKEN),
        "weight",
        ("rear_empty", "taken", "pin_up"),
    ),
    Enough(
        "front_rating",
        ("front_axle", "front_axle_empty"),
        MAX(C("front_empty"), IFERROR(C("front_empty") - _UP * _TAKEN, 0)),
        "weight",
        ("front_empty",),
    ),
)
"""A rating or a length of the trailer or the truck."""


_FRONT_AXLE_SOUND = N(C("over_front_axle_empty")).equals(0)
"""A front axle that is overloaded without a trailer is not to be mended by more weight on the hitch."""


def placed(rules: tuple[Rule, ...]) -> tuple[Enough, ...]:
    """Where the center would have to sit instead of where it was typed."""
    seats, behind = _seat_rules(rules), " from the deck's front"
    return (
        Enough(
            *("place", seats, C("center_to"), "long", ("place", "center_to")),
            is_most=True,
            tail=behind,
            only=AND(C("place") > C("center_to"), _FRONT_AXLE_SOUND),
        ),
        Enough(
            *("place", seats, C("center_from"), "long", ("place", "center_from")),
            tail=behind,
            only=AND(C("place") < C("center_from"), _FRONT_AXLE_SOUND),
        ),
    )


WEIGHT = Enough(
    "weight", tuple(rule for rule, _ in _MOST_WEIGHT), C("weight_enough"), "weight", ("weight_enough",), is_most=True
)
_ROOM_FOR_MACHINE = C("limit_legal_height") - C("deck_height")
_ROOM_BELOW = C("limit_legal_height") - (C("loaded_height") - C("deck_height"))
HEIGHTS = tuple(
    Enough(
        figure,
        ("tall",),
        most,
        "short",
        ("deck_height",),
        is_most=True,
        only=most >= C(f"limit_plaus_{figure}_least"),
    )
    for figure, most in (("machine_height", _ROOM_FOR_MACHINE), ("deck_height", _ROOM_BELOW))
)
"""What is lower: not offered below what is likely."""
RAMP = Enough("ramp_length", RAMPS_FIXED_BY_LENGTH, C("ramp_enough"), "short", ("ramp_enough",))
OTHERWISE: tuple[Otherwise, ...] = (
    Otherwise("hitches", ("hitch",), word("hitch"), lift("a truck with a ") & word("hitch") & " hitch"),
    Otherwise(
        "coupler_sizes", ("coupler_size",), C("coupler_size"), lift("a truck with coupler size ") & C("coupler_size")
    ),
    Otherwise(
        "brake_controls", ("brake_control",), word("brakes"), lift("a truck that works ") & word("brakes") & " brakes"
    ),
    Otherwise("brakes", ("surge",), ELECTRIC, f"{ELECTRIC} or {AIR} brakes"),
    Otherwise("stands", ("lift",), "yes", "tail on stands"),
    Otherwise(
        "permit",
        ("legal_trailer_axles", "legal_rear_axles", "legal_steer", "legal_gross")
        + ("bridge_truck", "bridge_outer", "bridge_inner", "wide"),
        "yes",
        "a permit",
    ),
)


# What is said.


def _amount_text(row: Enough) -> Expression:
    """The amount to the digit said, to the side that is enough."""
    said = (whole_down if row.is_most else whole_up)(row.amount, DECIMALS[row.unit])
    unit = {"weight": C("weight_unit"), "short": C("short_unit"), "long": C("long_unit")}.get(row.unit)
    return (said if unit is None else said & " " & unit) & (" or less" if row.is_most else " or more")


def _reads_pin(row: Enough) -> bool:
    """Whether the place decides the amount."""
    return bool({"pin_down", "pin_up"} & row.amount.keys())


def _leaves_none(rule: Rule, side: Side) -> Expression:
    """Whether a rule's bound lies beyond the other end of the band."""
    bound = Cell(bound_key(rule, side))
    past = N(bound) - C("pin_greatest") if side == AT_LEAST else C("pin_least") - N(bound)
    return AND(ISNUMBER(bound), ROUND(past, PLACES) > 0)


def _sole(rules: tuple[Rule, ...], row: Enough) -> list[Expression]:
    """Where no place is left, whether the bound of one of the row's rules is the only one that leaves none."""
    if not _reads_pin(row):
        return []
    return [
        AND(C(beyond).equals(1), _leaves_none(rule, side))
        for side, beyond in ((AT_LEAST, "least_beyond"), (AT_MOST, "greatest_beyond"))
        for rule, _ in sided(rules, side)
        if rule.key in row.rules
    ]


def _said(rules: tuple[Rule, ...], row: Enough, names: Mapping[str, Given]) -> Expression:
    """The row in words behind ``; ``, blank where it is not asked for."""
    name = names[row.figure]
    called = lift(f"; {name} ") if isinstance(name, str) else lift("; ") & name & " "
    said = called & _amount_text(row) & row.tail
    if row is RAMP:
        return where_known(row.needs, said)
    condition = _asked_for(rules, row)
    if row.only is not None:
        condition = AND(condition, row.only)
    if row is WEIGHT:
        said = IF(row.amount >= 1, said, "; no machine is light enough")
    return where_known(row.needs, IF(condition, said, ""))


def _asked_for(rules: tuple[Rule, ...], row: Enough) -> Expression:
    """Whether one of the row's rules says no, or, of a rating above 0, lacks that rating or the place."""
    of_row = [rule for rule in rules if rule.key in row.rules]
    if row not in RATINGS:
        return says_no(of_row)
    # Not asked for want of this very figure, or not sure with it; what else is missing is named elsewhere.
    lacks = usable((row.figure,)).equals(False)
    blank = {rule.key: cell(rule).equals("") for rule in of_row}
    lacking = [blank[rule.key] if rule.unsure is not None else AND(blank[rule.key], lacks) for rule in of_row]
    if not _reads_pin(row):
        return AND(OR(says_no(of_row), *lacking), row.amount > 0)
    at_pin, sole = ISNUMBER(C("pin")), _sole(rules, row)
    nowhere = [IF(at_pin, False, OR(*sole))] if sole else []
    return AND(OR(says_no(of_row), AND(at_pin, OR(*lacking)), *nowhere), row.amount > 0)


def _said_otherwise(rules: tuple[Rule, ...], row: Otherwise) -> Expression:
    asked = says_no(rule for rule in rules if rule.key in row.rules)
    if row.only is not None:
        asked = AND(asked, row.only)
    return IFERROR(IF(asked, lift("; ") & row.words, ""), "")


def _beyond(rules: tuple[Rule, ...], side: Side) -> Expression:
    """How many bounds of this side leave no place beside the other end."""
    found = []
    for rule, _ in sided(rules, side):
        if rule.severity != CAUTION:
            past = _leaves_none(rule, side) * 1
            found.append(past if rule.eased is None else IF(rule.eased, 0, past))
    return added(found)


ROWS_AT_ONCE = 6
"""Rows whose words stand in one cell, so that no formula is long."""


def enough(
    rules: tuple[Rule, ...],
    known: Mapping[str, Expression],
    names: Mapping[str, Given] = NAMES,
    otherwise: tuple[Otherwise, ...] = OTHERWISE,
) -> dict[str, Expression]:
    """The cells by key: ``enough`` holds all in words, ``; `` between.

    Args:
        rules: All rules.
        known: Every other cell of the rules by its key.
        names: What each figure is called.
        otherwise: The words that would be enough.
    """
    nowhere, is_placed = is_passed(NO_PLACE), usable(("place",))
    found = {
        "least_beyond": IF(nowhere, _beyond(rules, AT_LEAST), 0),
        "greatest_beyond": IF(nowhere, _beyond(rules, AT_MOST), 0),
        "pin_down": IF(is_placed, C("pin"), IF(C("least_beyond") <= 1, C("pin_greatest"), "")),
        "pin_up": IF(is_placed, C("pin"), IF(C("greatest_beyond") <= 1, C("pin_least"), "")),
        "weight_enough": where_known(("weight",), _greatest_weight()),
        **ramp_cells(),
        **turned(rules, known),
    }
    none_long = lift("; no ramp up to ") & FIXED(C("limit_plaus_ramp_length_greatest"), 0) & " " & C("short_unit")
    none_long = none_long & " is surely long enough"
    turned_words = IF(is_word("direction", BACKWARD), "; driven on forward it is a YES", "; backed on it is a YES")
    said = [
        IF(C("verdict").equals(YES), "", IF(C("turned_fits").equals(1), turned_words, "")),
        _said(rules, WEIGHT, names),
        *(_said(rules, row, names) for row in (*placed(rules), *HEIGHTS)),
        _said(rules, RAMP, names),
        IF(C("ramp_longest_fails").equals(1), none_long, ""),
        *(_said(rules, row, names) for row in RATINGS),
        *(_said_otherwise(rules, row) for row in otherwise),
    ]
    parts = [joined(said[start : start + ROWS_AT_ONCE]) for start in range(0, len(said), ROWS_AT_ONCE)]
    found |= {f"enough_{number}": part for number, part in enumerate(parts, 1)}
    every = [C(key) for key in found if key.startswith("enough_")]
    nothing = IF(C("verdict").equals(NO), "another trailer, truck or machine", "")
    return found | {"enough": IF(joined(every).equals(""), nothing, listing(every))}
