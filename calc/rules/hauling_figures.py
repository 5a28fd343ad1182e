"""FIGURES: what the hauling rules read of trailer, machine, truck and choices; when each is there and usable.

Blank is not zero: where there is none, 0 is typed. A figure of the wrong kind, below 0, or 0 where that can be none
counts as missing. COUNT, SUM and MIN of a cell pass over all that is no number, so that they ask at once whether a
figure is stated and usable.

What depends on the workbook's units comes as cells too, by the names in :class:`Measures`.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from ..cells.expression import Cell, Expression, Given, lift
from ..cells.spreadsheet import AND, COUNT, FIXED, IF, IFERROR, INT, LOWER, MIN, ROUND, SUBSTITUTE, SUM, TRIM

C = Cell
Kind = Literal["above 0", "from 0", "any", "text"]
Group = Literal["trailer", "machine", "truck", "choice"]
ABOVE_0: Kind = "above 0"
FROM_0: Kind = "from 0"
ANY: Kind = "any"
TEXT: Kind = "text"
WHEELS, TRACKS = "wheels", "tracks"
PINTLE, BALL, GOOSENECK = "pintle", "ball", "gooseneck"
TWO_RAMPS, FULL_WIDTH = "two ramps", "full width"
ELECTRIC, SURGE, AIR, NO_BRAKES = "electric", "hydraulic surge", "air", "none"
FORWARD, BACKWARD, YES_WORD = "forward", "backward", "yes"
PLACES = 6
"""Decimals of what goes beyond a limit: less is what binary arithmetic leaves, in any unit of a workbook."""


@dataclass(frozen=True)
class Measures:
    """What the rules read of a workbook's units: sizes of its units, and their names as words say them."""

    per_long: float
    """Short lengths in a long one."""
    per_inch: float
    """Short lengths in an inch."""
    per_pound: float
    """Units of weight in a pound."""
    weight_unit: str
    short_unit: str
    long_unit: str


@dataclass(frozen=True)
class Figure:
    """A figure that is typed or comes from a list.

    Attributes:
        key: Its name in the expressions.
        group: Of what it is a figure; a choice is never missing.
        name: What it is called in a list of what is missing.
        kind: Which numbers are usable, or that it is a word.
        needed: Where it is needed at all; None for always. Where that cannot be told, another figure is missing.
    """

    key: str
    group: Group
    name: str
    kind: Kind = "above 0"
    needed: Expression | None = None


def word(key: str) -> Expression:
    """A text without the spaces around it."""
    return TRIM(C(key))


def is_word(key: str, *words: str) -> Expression:
    """Whether a text is one of these, in any case."""
    found = [word(key).equals(one) for one in words]
    return found[0] if len(found) == 1 else added(found) > 0


def added(parts: Iterable[Expression]) -> Expression:
    """A sum; of questions it is the number of those with yes."""
    total: Expression = lift(0)  # which makes a number of a single TRUE
    for part in parts:
        total = total + part
    return total


def listed(key: str, wanted: Given) -> Expression:
    """Whether one item of a list in a text, ``;`` or ``,`` between them, is exactly this, in any case.

    ``no ball`` is not ``ball``; wild letters have no meaning, since the items are compared by what SUBSTITUTE leaves.
    """
    items = TRIM(SUBSTITUTE(C(key), ",", ";"))
    items = LOWER(";" & SUBSTITUTE(SUBSTITUTE(items, " ;", ";"), "; ", ";") & ";")
    return SUBSTITUTE(items, LOWER(";" & TRIM(wanted) & ";"), "").differs(items)


TRAILER_FIGURES: tuple[Figure, ...] = (
    Figure("hitch", "trailer", "hitch", TEXT),
    Figure("gvwr", "trailer", "GVWR"),
    Figure("empty", "trailer", "empty weight"),
    Figure("empty_pin", "trailer", "empty pin", FROM_0),
    Figure("axles", "trailer", "axles"),
    Figure("axle_rating", "trailer", "axle rating"),
    Figure("suspension", "trailer", "suspension rating"),
    Figure("tires", "trailer", "tires per axle"),
    Figure("tire_rating", "trailer", "tire rating"),
    Figure("wheel_rating", "trailer", "wheel rating"),
    Figure("axle_spread", "trailer", "axle spread", FROM_0),
    Figure("coupler", "trailer", "coupler rating"),
    Figure("coupler_vertical", "trailer", "coupler vertical"),
    Figure("coupler_size", "trailer", "coupler size", TEXT),
    Figure("chains", "trailer", "chain strength", FROM_0, word("hitch").differs(GOOSENECK)),
    Figure("brakes", "trailer", "brakes", TEXT),
    Figure("jacks", "trailer", "jacks", FROM_0),
    Figure("jack_rating", "trailer", "jack rating", ABOVE_0, C("jacks").differs(0)),
    Figure("low_share", "trailer", "low pin share"),
    Figure("high_share", "trailer", "high pin share"),
    Figure("deck_height", "trailer", "deck height"),
    Figure("deck_length", "trailer", "deck length"),
    Figure("deck_width", "trailer", "deck width"),
    Figure("trailer_width", "trailer", "width"),
    Figure("tail_length", "trailer", "tail length", FROM_0),
    Figure("tail_drop", "trailer", "tail drop", FROM_0),
    Figure("ramp_length", "trailer", "ramp length"),
    Figure("ramp_rating", "trailer", "ramp pair rating"),
    Figure("ramp_kind", "trailer", "ramp kind", TEXT),
    Figure("ramps_outside", "trailer", "ramps, outside to outside"),
    Figure("ramp_width", "trailer", "width of one ramp", ABOVE_0, is_word("ramp_kind", TWO_RAMPS)),
    Figure("to_axles", "trailer", "coupler to axles"),
    Figure("to_deck", "trailer", "coupler to deck"),
    Figure("neck_clearance", "trailer", "neck clearance", FROM_0, is_word("hitch", GOOSENECK)),
    Figure("points", "trailer", "tie-down points", FROM_0),
    Figure("point_rating", "trailer", "tie-down rating", ABOVE_0, C("points").differs(0)),
)
MACHINE_FIGURES: tuple[Figure, ...] = (
    Figure("runs_on", "machine", "machine's wheels or tracks", TEXT),
    Figure("weight", "machine", "machine's weight"),
    Figure("wheelbase", "machine", "machine's wheelbase"),
    Figure("to_center", "machine", "machine's front contact to center"),
    Figure("clearance", "machine", "machine's ground clearance", ABOVE_0, is_word("runs_on", WHEELS)),
    Figure("front_overhang", "machine", "machine's front overhang", FROM_0),
    Figure("front_clearance", "machine", "machine's front clearance", ABOVE_0, SUM(C("front_overhang")) > 0),
    Figure("rear_overhang", "machine", "machine's rear overhang", FROM_0),
    Figure("rear_clearance", "machine", "machine's rear clearance", ABOVE_0, SUM(C("rear_overhang")) > 0),
    Figure("machine_width", "machine", "machine's width"),
    Figure("machine_height", "machine", "machine's height"),
    Figure("tread_outside", "machine", "machine's outside of tires or tracks"),
    Figure("shoe_width", "machine", "machine's tire or track width", ABOVE_0, is_word("ramp_kind", TWO_RAMPS)),
    Figure("climb", "machine", "machine's greatest slope", ABOVE_0, SUM(C("steepest")) > C("limit_ramp_angle_sure")),
)
TRUCK_FIGURES: tuple[Figure, ...] = (
    Figure("hitches", "truck", "truck's hitches", TEXT),
    Figure("coupler_sizes", "truck", "truck's coupler sizes", TEXT),
    Figure("brake_controls", "truck", "truck's brake controls", TEXT, is_word("brakes", ELECTRIC, AIR)),
    Figure("truck_gvwr", "truck", "truck's GVWR"),
    Figure("gcwr", "truck", "truck's GCWR"),
    Figure("label_gcwr", "truck", "truck's GCWR on label", FROM_0),
    Figure("front_rating", "truck", "truck's front axle rating"),
    Figure("rear_rating", "truck", "truck's rear axle rating"),
    Figure("front_empty", "truck", "truck's front axle empty"),
    Figure("rear_empty", "truck", "truck's rear axle empty"),
    Figure("rear_axles", "truck", "truck's rear axles"),
    Figure("rear_spread", "truck", "truck's rear axle spread", FROM_0),
    Figure("hitch_rating", "truck", "truck's hitch rating"),
    Figure("hitch_vertical", "truck", "truck's hitch vertical"),
    Figure("truck_wheelbase", "truck", "truck's wheelbase"),
    Figure("hitch_overhang", "truck", "truck's hitch overhang", ANY),
)
CHOICES: tuple[Figure, ...] = (
    Figure("place", "choice", "place of its center", FROM_0),
    Figure("stands", "choice", "tail on stands", TEXT),
    Figure("direction", "choice", "direction", TEXT),
    Figure("permit", "choice", "permit", TEXT),
    Figure("ramp_lift", "choice", "force to lift a ramp by hand", FROM_0),
)
"""Left blank: the proposed place, no stands, forward, no permit, and nobody asks about lifting the ramp."""
FIGURES = (*TRAILER_FIGURES, *MACHINE_FIGURES, *TRUCK_FIGURES, *CHOICES)
KINDS: dict[str, Kind] = {figure.key: figure.kind for figure in FIGURES} | {"license": TEXT}
"""The kind of each figure; every other worked-out one is a number or blank."""


def usable(keys: Iterable[str]) -> Expression:
    """Whether each of these is there and can be used; an error in a cell passes."""
    found: dict[Kind, list[str]] = {}
    for key in dict.fromkeys(keys):
        found.setdefault(KINDS.get(key, ANY), []).append(key)
    numbers = [C(key) for kind in (ABOVE_0, FROM_0, ANY) for key in found.get(kind, [])]
    asked: list[Expression] = []
    if numbers:
        asked.append(COUNT(*numbers).equals(len(numbers)))
    if ABOVE_0 in found:
        asked.append(MIN(*map(C, found[ABOVE_0])) > 0)
    if FROM_0 in found:
        asked.append(MIN(*map(C, found[FROM_0])) >= 0)
    asked += [word(key).differs("") for key in found.get(TEXT, [])]
    return asked[0] if len(asked) == 1 else AND(*asked)


def where_known(keys: Iterable[str], otherwise: Given) -> Expression:
    """Blank where one of these is missing or cannot be used, or where the result is an error."""
    return IFERROR(IF(usable(keys), otherwise, ""), "")


def missing(figure: Figure) -> Expression:
    """The figure's name behind ``; `` where it is needed and not usable, else an empty text."""
    lacks = IFERROR(IF(usable((figure.key,)), "", f"; {figure.name}"), f"; {figure.name}")
    return lacks if figure.needed is None else IFERROR(IF(figure.needed, lacks, ""), "")


def whole_up(amount: Expression, decimals: int = 0) -> Expression:
    """An amount as text, to the next whole number, or the next of so many decimals."""
    if not decimals:
        return FIXED(0 - INT(0 - ROUND(amount, PLACES)), 0)
    return FIXED((0 - INT(0 - ROUND(amount * 10**decimals, PLACES))) / 10**decimals, decimals)


def whole_down(amount: Expression, decimals: int = 0) -> Expression:
    """The same, to the number below."""
    if not decimals:
        return FIXED(INT(ROUND(amount, PLACES)), 0)
    return FIXED(INT(ROUND(amount * 10**decimals, PLACES)) / 10**decimals, decimals)


def over(key: str) -> str:
    """The key of how far a rule's limit is passed."""
    return f"over_{key}"


def by_weight(key: str) -> Expression:
    """`` by 250 lb``: how far a rule's limit is passed."""
    return " by " & whole_up(C(over(key))) & " " & C("weight_unit")


def by_length(key: str) -> Expression:
    """The same of a short length, to a tenth."""
    return " by " & FIXED(C(over(key)), 1) & " " & C("short_unit")
