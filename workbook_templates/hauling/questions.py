"""The questions that What-if and Match both ask, each once: limit, test, and whether a yes is wrong or a caution.

A question asks how far something goes beyond its limit, as a formula over named figures and as the same in Python for
Match's stored results. Both sheets put their own cells in place of the names, so that they cannot judge differently.

Where the load sits, Match takes the middle of its band, where pin share, pin and axles are within their limits by the
band itself; What-if asks for them too, since there another place may be typed. The truck's rear axles are among the
limits of what the truck may pull.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Protocol

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
Cells = Mapping[str, str]


class Figures(Protocol):
    """Figures by name, for the calculation in Python."""

    def number(self, key: str) -> float:
        """A figure that is there."""

    def or_zero(self, key: str) -> float:
        """A figure, 0 where it is blank."""

    def words(self, key: str) -> str:
        """A text."""


Amount = Callable[[Figures, Units], float]


@dataclass(frozen=True)
class Question:
    """How far something goes beyond its limit; above ``small`` it does.

    Attributes:
        needs: Names of the figures without which there is no answer.
        formula: The amount over names in braces, ``{per_long}`` and the limits ``{tall}`` and ``{wide}`` among them.
        amount: The same in Python, where Match asks it.
        severity: ``WRONG`` or ``CAUTION``.
        small: What counts as nothing.
    """

    needs: tuple[str, ...]
    formula: str
    amount: Amount | None = None
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


def _front_strikes(v: Figures, _: Units) -> float:
    rise, reach = v.number("deck_height") - v.or_zero("tail_drop"), math.tan(math.radians(v.number("foot")))
    return min(rise, v.or_zero("front_overhang") * reach) - v.or_zero("front_clearance")


def _rear_strikes(v: Figures, _: Units) -> float:
    rise = v.number("deck_height") - v.or_zero("tail_drop")
    tilt = math.asin(rise / max(v.number("wheelbase"), v.number("ramp_length")))
    return v.or_zero("rear_overhang") * math.tan(tilt) - v.or_zero("rear_clearance")


def _front_axle(v: Figures, _: Units) -> float:
    return v.number("front_empty") + v.number("front_change") - v.number("front_rating")


WEIGHT = Question(("spare",), "0-{spare}", lambda v, _: -v.number("spare"))
PIN_LIGHT = Question(("low_share", "pin_share"), "{low_share}-{pin_share}", small=SMALL_SHARE)
PIN_HEAVY = Question(("high_share", "pin_share"), "{pin_share}-{high_share}", small=SMALL_SHARE)
PIN_OVER_RATING = Question(
    ("coupler_vertical", "pin", "gross"), "({pin}-{coupler_vertical})/{gross}", small=SMALL_SHARE
)
AXLES_HEAVY = Question(("axle_group", "axle_load", "gross"), "({axle_load}-{axle_group})/{gross}", small=SMALL_SHARE)
DECK_SHORT = Question(
    ("wheelbase", "deck_length"),
    "{wheelbase}-{deck_length}*{per_long}",
    lambda v, units: v.number("wheelbase") - v.number("deck_length") * units.short_per_long,
)
OFF_DECK = Question(
    ("band_from", "band_to"), "{band_from}-{band_to}", lambda v, _: v.number("band_from") - v.number("band_to")
)
AHEAD_OF_BAND = Question(("centre", "band_from"), "{band_from}-{centre}")
BEHIND_BAND = Question(("centre", "band_to"), "{centre}-{band_to}")
OVER_FRONT_EDGE = Question(
    ("centre", "to_centre"),
    "({to_centre}+N({front_overhang}))/{per_long}-{centre}",
    lambda v, units: (v.number("to_centre") + v.or_zero("front_overhang")) / units.short_per_long - v.number("centre"),
    CAUTION,
)
WIDER = Question(
    ("machine_width", "trailer_width"),
    "{machine_width}-{trailer_width}",
    lambda v, _: v.number("machine_width") - v.number("trailer_width"),
)
TALL = Question(
    ("deck_height", "machine_height"),
    "{deck_height}+{machine_height}-{tall}",
    lambda v, units: v.number("deck_height") + v.number("machine_height") - tallest(units),
)
WIDE = Question(
    ("machine_width", "trailer_width"),
    "MAX({machine_width},{trailer_width})-{wide}",
    lambda v, units: max(v.number("machine_width"), v.number("trailer_width")) - units.legal_width,
    CAUTION,
)
FRONT_STRIKES = Question(
    ("deck_height", "foot"),
    "MIN({deck_height}-N({tail_drop}),N({front_overhang})*TAN(RADIANS({foot})))-N({front_clearance})",
    _front_strikes,
)
"""With its front wheels or tracks at the ramp's foot the machine stands level and its front reaches the ramp."""
REAR_STRIKES = Question(
    ("deck_height", "foot", "wheelbase", "ramp_length"),
    "N({rear_overhang})*TAN(ASIN(({deck_height}-N({tail_drop}))/MAX({wheelbase},{ramp_length})))-N({rear_clearance})",
    _rear_strikes,
)
"""With its rear wheels or tracks there it is tilted at least so much, and its rear reaches the ground."""
TIES_FEW = Question(
    ("points", "tie_downs"), "{tie_downs}-{points}", lambda v, _: v.number("tie_downs") - v.number("points")
)
TIES_WEAK = Question(
    ("points", "point_rating", "weight"),
    "{weight}-{points}*{point_rating}",
    lambda v, _: v.number("weight") - v.number("points") * v.number("point_rating"),
)
HITCH_DIFFERS = Question(
    ("hitch", "hitches"),
    "IF(ISNUMBER(SEARCH({hitch},{hitches})),0,1)",
    lambda v, _: 0.0 if v.words("hitch").lower() in v.words("hitches").lower() else 1.0,
)
TRUCK_LIGHT = Question(
    ("truck_limit", "empty", "weight"),
    "{empty}+{weight}-{truck_limit}",
    lambda v, _: v.number("empty") + v.number("weight") - v.number("truck_limit"),
)
REAR_AXLE = Question(("rear_empty", "rear_change", "rear_rating"), "{rear_empty}+{rear_change}-{rear_rating}")
FRONT_AXLE = Question(
    ("front_empty", "front_change", "front_rating"), "{front_empty}+{front_change}-{front_rating}", _front_axle
)


def limits(units: Units) -> dict[str, str]:
    """What a formula knows besides the figures, as text by name."""
    return {
        "per_long": f"{units.short_per_long:g}",
        "tall": f"{tallest(units):.10g}",
        "wide": f"{units.legal_width:.10g}",
    }


def over(question: Question, cells: Cells, units: Units) -> str:
    """Formula: how far something goes beyond its limit, where the figures that it needs are there."""
    return question.formula.format_map({**cells, **limits(units)})


def blanks(question: Question, cells: Cells) -> str:
    """Formula: a sum that is above 0 where a figure that it needs is blank; errors pass."""
    # The 0 first makes a number of a single TRUE or FALSE, which count above every number.
    return "+".join(["0", *(f'({cells[key]}="")' for key in question.needs)])


def is_over(question: Question, cells: Cells, units: Units) -> str:
    """Formula: whether something goes beyond its limit; FALSE where a figure that it needs is blank."""
    return f"IF({blanks(question, cells)}>0,0,{over(question, cells, units)})>{question.small:.7f}"


def amount_over(question: Question, figures: Figures, units: Units) -> float:
    """How far something goes beyond its limit, 0 where that is nothing; the figures that it needs must be there."""
    if question.amount is None:
        message = "this question is asked on What-if alone"
        raise ValueError(message)
    found = question.amount(figures, units)
    return found if found > question.small else 0.0


def answer(question: Question, word: str, cells: Cells, units: Units, otherwise: str = '"ok"') -> str:
    """Formula of What-if: the word with its mark, what is said otherwise, or that it is not checked."""
    said = f"{WRONG} {word}" if question.severity == WRONG else CAUTION
    over_limit = f"{over(question, cells, units)}>{question.small:.7f}"
    return f'IF({blanks(question, cells)}>0,"{NOT_CHECKED}",IF({over_limit},"{said}",{otherwise}))'


def gap_answer(at_least: str, at_most: str, said: tuple[str, str, str, str], units: Units) -> str:
    """Formula: what is said of a gap known between two bounds.

    Args:
        at_least: Formula of a gap that the drive-on surely keeps.
        at_most: Formula of one that it surely comes down to.
        said: Formulas of what is said where it touches, is tight, is clear, or none of these is sure.
        units: The workbook's units.
    """
    touches, is_tight, is_clear, unsure = said
    return (
        f"IF({at_most}<0,{touches},IF({at_most}<{tight(units):g},{is_tight},"
        f"IF({at_least}>={clear(units):g},{is_clear},{unsure})))"
    )


def judged_gap(at_least: float, at_most: float, said: tuple[str, str, str, str], units: Units) -> str:
    """The same in Python."""
    touches, is_tight, is_clear, unsure = said
    if at_most < tight(units):
        return touches if at_most < 0 else is_tight
    return is_clear if at_least >= clear(units) else unsure
