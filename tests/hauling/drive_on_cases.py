"""Trailers and machines by chance for the Drive-on sheet: also round figures, figures that coincide, and blanks."""

from __future__ import annotations

import random
from collections.abc import Callable
from typing import Any

from tarelot.calc.rules.aboard.items import NUMBERS, of
from tarelot.calc.rules.hauling_figures import over
from tarelot.workbook_templates.basis.units import METRIC, Units

Figures = dict[str, Any]
STRIKES = ("front_strikes", "rear_strikes")
"""Rules of the ends; what is drawn of a tracked machine depends on them."""
FEET = ("deck_length", "to_deck", "to_axles", "center", "center_from", "center_to")
"""Lengths in the long unit."""
NO_ITEMS = {of(n, what).key: "" for n in NUMBERS for what in ("front", "rear", "high", "front_reach", "rear_reach")}
"""What the drawing reads of what is also aboard, where nothing is."""
INCHES = (
    *("deck_height", "tail_drop", "tail_length", "ramp_length", "wheelbase", "clearance", "to_center"),
    *("front_overhang", "front_clearance", "rear_overhang", "rear_clearance", "machine_height"),
)


def random_case(chance: random.Random, units: Units) -> Figures:
    """All figures that the sheet reads, in the units of a workbook."""
    figures = {**_sizes(chance), **_around(chance)}
    figures |= _struck(random.Random(repr(figures))) | NO_ITEMS
    if chance.random() < 0.05:
        figures[chance.choice(("deck_height", "ramp_length", "wheelbase", "clearance", "deck_length"))] = ""
    if units is METRIC:
        for keys, factor in ((INCHES, 25.4), (FEET, 0.3048)):
            figures |= {key: figures[key] * factor for key in keys if figures[key] != ""}
    return figures


def _sizes(chance: random.Random) -> Figures:
    """What is swept: a wheelbase, an overhang or the place of the center may be just as long as ramp or tail."""
    length = _rounding(chance)
    drop = chance.choice((0.0, "", length(4, 24), length(4, 24)))
    fall = drop or 0.0
    height = fall + length(8, 30)
    ramp = chance.choice(((height - fall) * chance.uniform(1.3, 5), float(round(3 * (height - fall)))))
    tail = fall * chance.choice((chance.uniform(2.2, 7), 5)) if fall else chance.choice(("", length(24, 84)))
    wheelbase = chance.choice((length(36, 180), max(ramp, 30.0), max(tail or 0.0, 30.0)))
    clearance = length(4, 24)
    return {
        "deck_height": height,
        "tail_drop": drop,
        "tail_length": tail,
        "ramp_length": ramp,
        "wheelbase": wheelbase,
        "clearance": clearance,
        "front_overhang": chance.choice(("", 0.0, length(5, 100), length(5, 100), ramp)),
        "front_clearance": chance.choice((length(4, 30), length(4, 30), clearance)),
        "rear_overhang": chance.choice(("", length(5, 100), length(5, 100), ramp)),
        "rear_clearance": length(4, 30),
        "to_center": chance.choice((wheelbase / 2, wheelbase * chance.uniform(0.2, 0.8), wheelbase * 21.5 / 40, "")),
    }


def _around(chance: random.Random) -> Figures:
    """What only the drawing and the words need; some of it is blank."""

    def stated(least: float, most: float) -> float | str:
        return chance.choice((chance.uniform(least, most),) * 4 + ("",))

    return {
        "runs_on": chance.choice(("wheels", "wheels", "tracks")),
        "direction": chance.choice(("forward", "backward", "")),
        "hitch": chance.choice(("ball", "pintle", "gooseneck", "")),
        "deck_length": stated(10, 30),
        "to_deck": stated(3, 12),
        "to_axles": stated(10, 30),
        "axles": chance.choice((1.0, 2.0, 3.0, 4.0, "")),
        "machine_height": stated(60, 120),
        "center": stated(4, 14),
        "center_from": stated(4, 9),
        "center_to": stated(7, 14),
    }


def _struck(chance: random.Random) -> Figures:
    """How far the rules may say that an end is too low, in the short unit; where they do not ask, a text."""
    return {over(rule): chance.choice((0.0, "", "-", chance.uniform(0, 20))) for rule in STRIKES}


def _rounding(chance: random.Random) -> Callable[[float, float], float]:
    """Lengths between two: any, whole, or multiples of 6."""
    return chance.choice(
        (
            chance.uniform,
            lambda least, most: float(chance.randint(round(least), round(most))),
            lambda least, most: 6.0 * chance.randint(round(least) // 6 + 1, round(most) // 6),
        )
    )
