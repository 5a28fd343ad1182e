"""The questions that What-if and Match both ask, each once: limit, test, and whether a yes is wrong or a caution.

A question asks how far something goes beyond its limit, as one expression over named figures. Both sheets put their own
cells in place of the names, so that they cannot judge differently.

Where the load sits, Match takes the middle of its band, where pin share, pin and axles are within their limits by the
band itself; What-if asks for them too, since there another place may be typed. The truck's rear axles are among the
limits of what the truck may pull.
"""

from __future__ import annotations

from dataclasses import dataclass

from tarelot.calc.cells.expression import Cell, Expression, Given, formula, lift
from tarelot.calc.cells.spreadsheet import ASIN, COUNT, IF, ISNUMBER, LEFT, MAX, MIN, OR, RADIANS, SEARCH, TAN, N
from tarelot.workbook_templates.basis.units import Units

WRONG = "▲"
"""How a verdict of What-if begins that says no."""
CAUTION, CHECK, NOT_CHECKED = "caution", "check", "not checked"
"""It says how and not no; Match cannot tell and What-if can; a figure is missing."""
TIGHT_IN = 2.0
"""A gap below it is called tight, since springs, tires and soft ground take as much (common practice, no source)."""
OVERLOOKED_IN = 0.1
"""What the sweep of the Drive-on sheet may overlook of a gap: one that is to be clear keeps as much more."""
TALL_IN = 162.0
"""13 ft 6 in, the height limit of most states (common practice: look it up for each state on the way)."""
SMALL = 1e-6
"""What is left of a figure by rounding, in any unit of the workbook."""
SMALL_SHARE = 1e-7
"""The same of a share of the gross weight: above what the band allows for rounding (``calc/placement.py``)."""


@dataclass(frozen=True)
class Question:
    """How far something goes beyond its limit; above ``small`` it does.

    Attributes:
        needs: Names of the figures without which there is no answer.
        excess: The amount over named figures, those of :func:`constants` among them.
        severity: ``WRONG`` or ``CAUTION``.
        small: What counts as nothing.
    """

    needs: tuple[str, ...]
    excess: Expression
    severity: str = WRONG
    small: float = SMALL


def tight(units: Units) -> float:
    """The gap below which a drive-on is called tight, in the short unit."""
    return round(TIGHT_IN * units.short_per_inch, 6)


def clear(units: Units) -> float:
    """The gap from which a drive-on is called clear, in the short unit."""
    return round((TIGHT_IN + OVERLOOKED_IN) * units.short_per_inch, 6)


def tallest(units: Units) -> float:
    """Greatest loaded height in the short unit."""
    return round(TALL_IN * units.short_per_inch, 6)


def constants(units: Units) -> dict[str, float]:
    """What the questions know besides the figures, by name: short units in a long one, greatest height and width."""
    return {"per_long": units.short_per_long, "tall": tallest(units), "wide": units.legal_width}


def written(units: Units) -> dict[str, str]:
    """The same as a formula writes them."""
    return {name: formula(amount, {}) for name, amount in constants(units).items()}


_F = Cell
_RISE = _F("deck_height") - N(_F("tail_drop"))
_PER_LONG = _F("per_long")

WEIGHT = Question(("spare",), 0 - _F("spare"))
PIN_LIGHT = Question(("low_share", "pin_share"), _F("low_share") - _F("pin_share"), small=SMALL_SHARE)
PIN_HEAVY = Question(("high_share", "pin_share"), _F("pin_share") - _F("high_share"), small=SMALL_SHARE)
PIN_OVER_RATING = Question(
    ("coupler_vertical", "pin", "gross"), (_F("pin") - _F("coupler_vertical")) / _F("gross"), small=SMALL_SHARE
)
AXLES_HEAVY = Question(
    ("axle_group", "axle_load", "gross"), (_F("axle_load") - _F("axle_group")) / _F("gross"), small=SMALL_SHARE
)
DECK_SHORT = Question(("wheelbase", "deck_length"), _F("wheelbase") - _F("deck_length") * _PER_LONG)
OFF_DECK = Question(("band_from", "band_to"), _F("band_from") - _F("band_to"))
AHEAD_OF_BAND = Question(("center", "band_from"), _F("band_from") - _F("center"))
BEHIND_BAND = Question(("center", "band_to"), _F("center") - _F("band_to"))
OVER_FRONT_EDGE = Question(
    ("center", "to_center"),
    (_F("to_center") + N(_F("front_overhang"))) / _PER_LONG - _F("center"),
    CAUTION,
)
WIDER = Question(("machine_width", "trailer_width"), _F("machine_width") - _F("trailer_width"))
TALL = Question(("deck_height", "machine_height"), _F("deck_height") + _F("machine_height") - _F("tall"))
WIDE = Question(("machine_width", "trailer_width"), MAX(_F("machine_width"), _F("trailer_width")) - _F("wide"), CAUTION)
FRONT_STRIKES = Question(
    ("deck_height", "foot"),
    MIN(_RISE, N(_F("front_overhang")) * TAN(RADIANS(_F("foot")))) - N(_F("front_clearance")),
)
"""With its front wheels or tracks at the ramp's foot the machine stands level and its front reaches the ramp."""
REAR_STRIKES = Question(
    ("deck_height", "foot", "wheelbase", "ramp_length"),
    N(_F("rear_overhang")) * TAN(ASIN(_RISE / MAX(_F("wheelbase"), _F("ramp_length")))) - N(_F("rear_clearance")),
)
"""With its rear wheels or tracks there it is tilted at least so much, and its rear reaches the ground."""
TIES_FEW = Question(("points", "tie_downs"), _F("tie_downs") - _F("points"))
TIES_WEAK = Question(("points", "point_rating", "weight"), _F("weight") - _F("points") * _F("point_rating"))
HITCH_DIFFERS = Question(("hitch", "hitches"), IF(ISNUMBER(SEARCH(_F("hitch"), _F("hitches"))), 0, 1))
TRUCK_LIGHT = Question(("truck_limit", "empty", "weight"), _F("empty") + _F("weight") - _F("truck_limit"))
REAR_AXLE = Question(
    ("rear_empty", "rear_change", "rear_rating"), _F("rear_empty") + _F("rear_change") - _F("rear_rating")
)
FRONT_AXLE = Question(
    ("front_empty", "front_change", "front_rating"), _F("front_empty") + _F("front_change") - _F("front_rating")
)


def blank_count(keys: tuple[str, ...]) -> Expression:
    """A sum that is above 0 where a figure is blank; errors pass."""
    total: Given = 0  # which makes a number of a single TRUE or FALSE: they count above every number
    for key in keys:
        total = total + _F(key).equals("")
    return lift(total)


def unless_blank(keys: tuple[str, ...], said: Given) -> Expression:
    """What is said where every figure is there, else blank; errors pass."""
    return IF(blank_count(keys) > 0, "", said)


def of_numbers(keys: tuple[str, ...], amount: Expression) -> Expression:
    """An amount made of these figures; an error where one is no number: TRUE would count as 1, a blank as 0."""
    return amount / COUNT(*map(_F, keys)).equals(len(keys))


def missing(key: str, name: str) -> Expression:
    """A name in the list of what is missing, where its cell is blank."""
    return IF(_F(key).equals(""), f"; {name}", "")


def exceeds(question: Question) -> Expression:
    """Whether something goes beyond its limit; FALSE where a figure that it needs is blank."""
    return IF(blank_count(question.needs) > 0, 0, question.excess) > question.small


def judged(question: Question, word: str, otherwise: Given = "ok") -> Expression:
    """What-if's word: with its mark, what is said otherwise, or that it is not checked."""
    said = f"{WRONG} {word}" if question.severity == WRONG else CAUTION
    return IF(blank_count(question.needs) > 0, NOT_CHECKED, IF(question.excess > question.small, said, otherwise))


def is_marked(verdict: Expression) -> Expression:
    """Whether a verdict of What-if is to be colored: it says no, or is a caution."""
    return OR(LEFT(verdict, len(WRONG)).equals(WRONG), verdict.equals(CAUTION))


def says_no(answer: Expression) -> Expression:
    """Whether the answer in a line says no."""
    return LEFT(answer, 3).equals("NO:")


def judged_gap(
    at_least: Expression, at_most: Expression, said: tuple[Given, Given, Given, Given], units: Units
) -> Expression:
    """What is said of a gap known between two bounds.

    Args:
        at_least: A gap that the drive-on surely keeps.
        at_most: One that it surely comes down to.
        said: What is said where it touches, is tight, is clear, or none of these is sure.
        units: The workbook's units.
    """
    touches, is_tight, is_clear, unsure = said
    return IF(
        at_most < 0,
        touches,
        IF(at_most < tight(units), is_tight, IF(at_least >= clear(units), is_clear, unsure)),
    )
