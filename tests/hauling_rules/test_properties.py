"""What must hold for any trailer, machine and truck, on 2,000 random sets.

- A figure taken away never gives YES. One exception is meant: without a stated slope a ramp up to the sure angle
  passes, so that a machine said to climb less than that is the worse for saying so.
- A lower rating, a heavier or longer machine, less clearance or a shorter ramp never improves a verdict: NO stays NO,
  and NOT SURE does not become YES. Exceptions that are meant, each by its rule:
  the pin shares, since a heavier machine may bring more weight onto the hitch (``pin_light``), and surge brakes, whose
  law asks the trailer's own rating (393.48(d)). A longer machine is one that reaches further over its contacts: a
  longer wheelbase is less steep to drive on, and puts less on the heavier axle.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Callable

import pytest

from tarelot.calc.clearance import ramp_clearance
from tarelot.calc.rules.hauling import Verdict, judge
from tarelot.calc.rules.hauling_figures import FIGURES
from tarelot.calc.rules.hauling_rule import NO, NOT_SURE, YES
from tests.hauling_rules.fitting import FITTING, US
from tests.hauling_rules.test_judge import BASES, WHOLE

RANK = {NO: 0, NOT_SURE: 1, YES: 2}
Set = dict[str, object]
PARTS_OF_ALL = ("tires", "jacks", "points")
"""One fewer of these is a lower rating of all together."""
RATINGS = ("gvwr", "axle_rating", "suspension", "tire_rating", "wheel_rating", "coupler", "coupler_vertical", "chains")
RATINGS += ("jack_rating", "ramp_rating", "point_rating", "truck_gvwr", "gcwr", "front_rating", "rear_rating")
RATINGS += ("hitch_rating", "hitch_vertical", "climb")
CLEARANCES = ("clearance", "front_clearance", "rear_clearance")
SIZES = ("front_overhang", "rear_overhang", "machine_width", "machine_height")
PARTS, SETS = 8, 2_000


def varied(chance: random.Random) -> Set:
    """A set near one that fits: about half carry."""
    found = dict(chance.choice(BASES))
    for key, value in found.items():
        if isinstance(value, float | int) and value and key not in WHOLE:
            found[key] = value * chance.uniform(0.97, 1.03) if chance.random() < 0.5 else value
    if chance.random() < 0.2:  # long and low between its contacts, on a short ramp
        found |= {"wheelbase": chance.uniform(90, 190), "to_center": 50, "front_overhang": 0, "rear_overhang": 0}
        found |= {"ramp_length": chance.uniform(50, 110), "deck_height": 24, "tail_length": 0, "tail_drop": 0}
        found |= {"clearance": chance.uniform(5, 20), "stands": "yes", "climb": None}
    if chance.random() < 0.3:
        key = chance.choice([*RATINGS, *CLEARANCES])
        found[key] = found[key] and float(str(found[key])) * chance.uniform(0.3, 1)
    if chance.random() < 0.4:
        found["place"] = chance.uniform(4, 14)
    return found


def taken_away(given: Set, chance: random.Random) -> Set:
    return {chance.choice([figure.key for figure in FIGURES if figure.group != "choice"]): None}


def _scaled(keys: list[str], given: Set, chance: random.Random, least: float, most: float) -> Set:
    key = chance.choice([key for key in keys if given.get(key)])
    value, factor = float(str(given[key])), chance.uniform(least, most)
    if key in PARTS_OF_ALL:
        return {key: max(1.0, value - 1)}
    return {key: value * factor}


def lower_rating(given: Set, chance: random.Random) -> Set:
    return _scaled([*RATINGS, *PARTS_OF_ALL], given, chance, 0.2, 1)


def less_clearance(given: Set, chance: random.Random) -> Set:
    return _scaled([*CLEARANCES, "neck_clearance"], given, chance, 0.2, 1)


def heavier(given: Set, chance: random.Random) -> Set:
    return _scaled(["weight"], given, chance, 1, 2.2)


def longer_or_larger(given: Set, chance: random.Random) -> Set:
    return _scaled(list(SIZES), given, chance, 1, 2)


def shorter_ramp(given: Set, chance: random.Random) -> Set:
    return _scaled(["ramp_length"], given, chance, 0.4, 1)


WORSE: tuple[Callable[[Set, random.Random], Set], ...] = (
    lower_rating,
    less_clearance,
    heavier,
    longer_or_larger,
    shorter_ramp,
)


def broken(found: Verdict) -> set[str]:
    return {key for key, state in found.states.items() if state == "broken"}


def is_meant(change: str, key: str, before: Verdict, after: Verdict) -> bool:
    """Whether an improvement is one of the exceptions above."""
    gone = broken(before) - broken(after)
    if gone == {"pin_light"} or gone == {"no_place"} and before.cells["pin_least_by"] == "the low pin share":
        return change == "heavier"
    return gone == {"surge"} and key == "gvwr"


@pytest.mark.parametrize("part", range(PARTS))
def test_nothing_worse_gives_a_better_verdict(part: int) -> None:
    chance = random.Random(40 + part)
    seen: Counter[str] = Counter()
    for number in range(SETS // PARTS):
        given = varied(chance)
        before = judge(given, US)  # worked out where it is asked
        worsen = WORSE[number % len(WORSE)]
        changes = worsen(given, chance)
        after = judge(given | changes, US)
        seen[after.word] += 1
        if after.word != NO and RANK[after.word] > RANK[before.word]:
            seen["meant"] += 1
            assert is_meant(worsen.__name__, *changes, before, after), (changes, broken(before), after.missing, given)
        lacking = taken_away(given, chance)
        without = judge(given | lacking, US)
        if without.word == YES:
            (key,) = lacking
            unneeded = given.get(key) is None or (before.word == YES and key in MAY_LACK)
            assert unneeded or (key == "climb" and broken(before) == {"climb"}), (lacking, before.broken, given)
        seen[f"then {without.word}"] += 1
    assert min(seen[YES], seen[NO], seen[f"then {NOT_SURE}"]) >= SETS // PARTS // 10, seen
    assert seen["meant"] <= SETS // PARTS // 20, seen


MAY_LACK = (
    *("climb", "chains", "neck_clearance", "clearance", "ramp_width", "shoe_width", "brake_controls"),
    *("front_clearance", "rear_clearance"),
)
"""Figures that some sets do not need: a yes without one of them was a yes with it."""


def test_every_figure_is_needed_and_named() -> None:
    """Each figure in turn taken from a set that fits."""
    for base in BASES:
        assert judge(base, US).word == YES, judge(base, US).broken
        for figure in FIGURES:
            if figure.group == "choice" or base.get(figure.key) is None:
                continue
            found = judge(base | {figure.key: None}, US)
            if found.word == YES:
                assert figure.key in MAY_LACK
            else:
                assert (found.word, figure.name in found.missing) == (NOT_SURE, True), figure.key


def test_a_gap_that_is_sure_to_close_does() -> None:
    """The bound that says no against the exact sweep, which plane geometry checks elsewhere (``tests/validation``)."""
    chance = random.Random(12)
    close = 0
    for _ in range(400):
        rise, drop = chance.uniform(8, 40), chance.choice((0.0, chance.uniform(2, 15)))
        way = {"deck_height": rise + drop, "tail_drop": drop, "tail_length": drop and drop * chance.uniform(1.1, 8)}
        way["ramp_length"] = rise * chance.uniform(1.05, 6)
        size = {"wheelbase": chance.uniform(30, 220), "clearance": chance.uniform(2, 30)}
        over = {"front_overhang": 0.0, "rear_overhang": 0.0}
        cells = judge(FITTING | way | size | over, US).cells
        exact = ramp_clearance(*way.values(), *size.values())
        at_most = float(str(cells["at_most"]))
        assert float(str(cells["at_least"])) - 1e-9 <= exact <= at_most + 1e-9
        close += at_most - exact < 1e-6
    assert close >= 100, close
