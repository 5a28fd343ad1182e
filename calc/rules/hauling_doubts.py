"""What keeps an answer from being sure though every figure is there: unknown words, entries that exclude each other."""

from __future__ import annotations

from ..cells.expression import Cell, Expression, Given, lift
from ..cells.spreadsheet import AND, IF, INT, OR, TRIM, listing
from ..hitch import USUAL_SHARES
from .hauling_figures import (
    AIR,
    BACKWARD,
    ELECTRIC,
    FORWARD,
    FULL_WIDTH,
    NO_BRAKES,
    SURGE,
    TRACKS,
    TWO_RAMPS,
    WHEELS,
    YES_WORD,
    C,
    added,
    is_word,
    usable,
    word,
)
from .hauling_rule import Rule

ENTERED = "the figures themselves"


def _doubt(key: str, asks: str, unsure: Expression, reason: Given, needs: tuple[str, ...] = ()) -> Rule:
    """A rule that is never broken: it is kept, or it cannot be answered."""
    return Rule(key, asks, needs, 0, "", ENTERED, unsure=unsure, reason=reason)


def _known_word(key: str, name: str, *words: str) -> Rule:
    """Whether a word is one of those known."""
    reason = lift(f"{name} not known: ") & C(key)
    return _doubt(
        f"{key}_word", f"Is the {name} a word that is known?", is_word(key, *words).equals(False), reason, (key,)
    )


def _entries(group: str) -> Rule:
    """Whether the entry check of a list finds something in the chosen row."""
    found = Cell(f"{group}_doubt")
    reason = lift(f"{group}'s entries: ") & found
    return _doubt(f"{group}_entries", f"Are the {group}'s entries in order?", TRIM(found).differs(""), reason)


def _not_whole(*keys: str) -> Expression:
    return OR(*(C(key).differs(INT(C(key))) for key in keys))


def _one_alone(*questions: Expression) -> Expression:
    """Whether one of two holds without the other."""
    return added(questions).equals(1)


WRONG_CHOICES = {
    "place of its center": AND(word("place").differs(""), C("center").differs(C("place"))),
    "direction": AND(word("direction").differs(""), is_word("direction", FORWARD, BACKWARD).equals(False)),
    "tail on stands": AND(word("stands").differs(""), is_word("stands", YES_WORD, "no").equals(False)),
    "permit": AND(word("permit").differs(""), is_word("permit", YES_WORD, "no").equals(False)),
    "force to lift a ramp": AND(word("ramp_lift").differs(""), usable(("ramp_lift",)).equals(False)),
}
"""What of the choices is not as it can be."""
DOUBTS: tuple[Rule, ...] = (
    _entries("trailer"),
    _entries("machine"),
    _entries("truck"),
    _known_word("hitch", "hitch", *USUAL_SHARES),
    _known_word("brakes", "kind of brakes", ELECTRIC, SURGE, AIR, NO_BRAKES),
    _known_word("ramp_kind", "ramp kind", TWO_RAMPS, FULL_WIDTH),
    _known_word("runs_on", "machine's wheels or tracks", WHEELS, TRACKS),
    _doubt(
        "choices",
        "Are place and direction as they can be?",
        OR(*WRONG_CHOICES.values()),
        listing(IF(wrong, f"; {name} as typed", "") for name, wrong in WRONG_CHOICES.items()),
    ),
    _doubt(
        "tail",
        "Do tail length and drop belong together?",
        OR(_one_alone(C("tail_length") > 0, C("tail_drop") > 0), C("tail_drop") > C("deck_height")),
        "tail length and drop: both or neither, the drop not above the deck's height",
        ("tail_length", "tail_drop", "deck_height"),
    ),
    _doubt(
        "shares",
        "Do the pin shares belong together?",
        OR(C("low_share") > C("high_share"), C("high_share") >= 1),
        "the low pin share is above the high one",
        ("low_share", "high_share"),
    ),
    _doubt(
        "empty_pin",
        "Is the empty pin part of the empty weight?",
        C("empty_pin") > C("empty"),
        "empty pin above the empty weight",
        ("empty", "empty_pin"),
    ),
    _doubt(
        "whole_trailer",
        "Are axles, tires, jacks and points whole numbers?",
        _not_whole("axles", "tires", "jacks", "points"),
        "axles, tires, jacks or points not whole",
        ("axles", "tires", "jacks", "points"),
    ),
    _doubt(
        "whole_truck",
        "Is the number of the truck's rear axles whole?",
        _not_whole("rear_axles"),
        "truck's rear axles not whole",
        ("rear_axles",),
    ),
    _doubt(
        "hitch_place",
        "Is the hitch behind the truck's front axle?",
        C("hitch_overhang") <= 0 - C("truck_wheelbase"),
        "the hitch is not behind the truck's front axle",
        ("hitch_overhang", "truck_wheelbase"),
    ),
    _doubt(
        "spreads",
        "Do axles and spreads belong together?",
        OR(
            _one_alone(C("axles") > 1, C("axle_spread") > 0),
            _one_alone(C("rear_axles") > 1, C("rear_spread") > 0),
        ),
        "axle spread: 0 for one axle, above 0 for more",
        ("axles", "axle_spread", "rear_axles", "rear_spread"),
    ),
)
