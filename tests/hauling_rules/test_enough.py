"""What is said to be enough: each figure, typed as said, mends its rules; 1 % less of it does not.

The amounts are read out of the words, as a person reads them, and typed over on random sets that are refused.
"""

from __future__ import annotations

import math
import random
import re
from collections import Counter

import pytest

from tarelot.calc.clearance import ramp_clearance
from tarelot.calc.rules.hauling import RULES, judge
from tarelot.calc.rules.hauling.enough import HEIGHTS, NAMES, OTHERWISE, RAMP, RATINGS, WEIGHT, Enough, placed
from tarelot.calc.rules.hauling_figures import AIR, ELECTRIC, SURGE, Measures
from tarelot.calc.rules.hauling_rule import NO, YES
from tests.hauling_rules.fitting import FITTING, METRIC, NECK, US
from tests.hauling_rules.test_properties import Set, varied

SETS, PARTS = 2_400, 6
ROWS: tuple[Enough, ...] = (*RATINGS, WEIGHT, RAMP, *HEIGHTS, *placed(RULES))
AMOUNT = re.compile(r"(?P<name>.+?) (?P<amount>-?[\d,]+(\.\d+)?)( lb| in| ft)? or (?P<way>more|less)(?P<tail>.*)")
MENDED = ("ok", "caution", "-")


def said(words: str) -> list[tuple[Enough, float]]:
    """Each row that is said, with its amount."""
    found = []
    for one in words.split("; "):
        if match := AMOUNT.fullmatch(one):
            rows = [
                row
                for row in ROWS
                if (NAMES[row.figure], row.is_most, row.tail) == (match["name"], match["way"] == "less", match["tail"])
            ]
            assert len(rows) == 1, one
            found.append((rows[0], float(match["amount"].replace(",", ""))))
    return found


def rules_of(given: Set, row: Enough, amount: float, measures: Measures = US) -> set[str]:
    """The rules that a row is said for: those broken, else that there is no place, else those that cannot be asked."""
    states = judge(given, measures).states
    if row is RAMP:  # all that its length decides
        return {key for key in row.rules if states[key] not in MENDED}
    reads_pin = bool({"pin_down", "pin_up"} & row.amount.keys()) and not given.get("place")
    broken = {key for key in row.rules if states[key] == "broken"}
    nowhere = {"no_place"} if reads_pin and states["no_place"] == "broken" else set()
    if row.figure == "deck_length" and broken and nowhere and float(str(given["wheelbase"])) / 12 < amount - 0.01:
        return nowhere  # longer than for its wheelbase alone: there is to be a place as well
    return broken or nowhere or {key for key in row.rules if states[key] == "not asked"}


def is_mended(given: Set, rules: set[str]) -> bool:
    states = judge(given, US).states
    return all(states[key] in MENDED for key in rules)


def harder(given: Set, chance: random.Random) -> Set:
    """A set that is refused more often, for more reasons."""
    found = varied(chance)
    for _ in range(chance.randint(0, 2)):
        key = chance.choice([row.figure for row in RATINGS if found.get(row.figure)])
        found[key] = round(float(str(found[key])) * chance.uniform(0.4, 1), 1)
        if key in ("points",):
            found[key] = chance.randint(1, 8)
    if chance.random() < 0.1:
        found[chance.choice([row.figure for row in RATINGS])] = None
    if chance.random() < 0.2:
        found["weight"] = chance.uniform(9_000, 26_000)
    if chance.random() < 0.2:
        found["ramp_length"] = chance.uniform(30, 80)
    if chance.random() < 0.1:
        found["machine_height"] = chance.uniform(120, 180)
    return found


@pytest.mark.parametrize("part", range(PARTS))
def test_each_figure_is_enough_and_one_percent_less_is_not(part: int) -> None:
    chance = random.Random(part)
    seen: Counter[str] = Counter()
    for _ in range(SETS // PARTS):
        given = harder(FITTING, chance)
        verdict = judge(given, US)
        for row, amount in said(verdict.enough):
            rules = rules_of(given, row, amount)
            assert rules, (row.figure, amount, given)
            assert is_mended(given | {row.figure: amount}, rules), (row.figure, amount, rules, verdict.enough, given)
            less = amount - 1 if row.unit == "count" else amount * (1.01 if row.is_most else 0.99)
            assert not is_mended(given | {row.figure: less}, rules), (row.figure, amount, rules, verdict.enough, given)
            seen[row.figure] += 1
        seen[verdict.word] += 1
    assert seen[NO] > SETS / PARTS / 4
    assert len(seen) > 15
    assert min(seen["machine_height"], seen["deck_height"]) > 5


# What is offered for the fitting set with a figure or two changed, by hand. The set: 6,000 lb empty, 700 lb of it on
# the pin, axles 17 ft behind the coupler, deck from 5.5 ft on; machine of 9,000 lb; gross 15,000 lb; truck 17,500 lb.
BY_HAND: tuple[tuple[Set, str], ...] = (
    ({"gvwr": 14_000}, "GVWR 15,000 lb or more"),
    ({"gvwr": 14_000}, "machine's weight 8,000 lb or less"),  # 14,000 - 6,000
    ({"gcwr": 32_000}, "truck's GCWR 32,500 lb or more"),  # 15,000 + 17,500
    ({"gcwr": 32_000}, "machine's weight 8,500 lb or less"),  # 32,000 - 17,500 - 6,000
    ({"coupler": None}, "coupler rating 15,000 lb or more"),
    ({"points": 1}, "tie-down points 3 or more"),  # 49 CFR 393.110(c): 13.5 ft long, two and one more
    ({"points": 4, "point_rating": 2_000}, "tie-down rating 2,250 lb or more"),  # 9,000 / 4
    ({"points": 4, "point_rating": 2_000}, "machine's weight 8,000 lb or less"),  # 4 x 2,000
    ({"deck_width": 80}, "deck width 84.0 in or more"),
    # the tires stand 84 - 2 x 18 = 48 in apart, ramps of 20 in leave 92 - 40 = 52
    ({"ramp_width": 20}, "width of one ramp 22.0 in or more"),  # (92 - 48) / 2
    # on 6 ft the center is 17 x (700 + 9,000 - pin) / 9,000 - 5.5: a pin of 700 + 9,000 x (1 - 11.5 / 17)
    ({"place": 6, "coupler_vertical": 3_000}, "coupler vertical 3,612 lb or more"),  # 3,611.8
    ({"place": 6, "hitch_vertical": 3_000}, "truck's hitch vertical 3,612 lb or more"),
    # at 12 ft the pin is 700 + 9,000 x (1 - 17.5 / 17) = 435.3 lb: 2 axles carry 14,564.7 lb on 4 tires each
    ({"place": 12, "tire_rating": 1_500}, "tire rating 1,821 lb or more"),  # 1,820.6
    ({"hitches": "ball"}, "a truck with a pintle hitch"),
    ({"coupler_sizes": "2 ball"}, "a truck with coupler size 3 in eye"),
    ({"brake_controls": "air"}, "a truck that works electric brakes"),
    ({"machine_width": 110}, "a permit"),
    ({"machine_height": 130}, "machine's height 128.0 in or less"),  # 162 - 34
    ({"machine_height": 130}, "deck height 32.0 in or less"),  # 162 - 130
    ({"deck_height": 60.25}, "machine's height 101.7 in or less"),  # 101.75
    # 49 CFR 393.48(d): 1.25 x 14,000 = 17,500 lb, and the trailer's rating is 24,000
    ({"brakes": "hydraulic surge"}, "electric or air brakes"),
)


@pytest.mark.parametrize(("changes", "expected"), BY_HAND, ids=[f"{c} {e}" for c, e in BY_HAND])
def test_by_hand(changes: Set, expected: str) -> None:
    assert expected in judge(FITTING | changes, US).enough.split("; ")


def test_nothing_is_said_where_nothing_is_asked_for() -> None:
    assert judge(FITTING, US).enough == ""


def test_it_says_so_where_nothing_is_enough() -> None:
    # a tail of 20 in over 60 slopes by asin(1 / 3) = 19.5 deg, whatever the ramp; it climbs 15
    steep = judge(FITTING | {"tail_drop": 20, "climb": 15}, US)
    assert "climbs" in steep.broken
    assert f"no ramp up to {PUBLISHED_LONGEST} in is surely long enough" in steep.enough.split("; ")
    # an empty trailer above the truck's rating leaves nothing for a machine
    heavy = judge(FITTING | {"gcwr": 20_000}, US)
    assert "no machine is light enough" in heavy.enough.split("; ")
    # its center does not lie between its contacts: no figure of trailer or truck mends that
    wrong = judge(FITTING | {"to_center": 90, "place": 8}, US)
    assert wrong.word == NO
    assert wrong.enough != ""


PUBLISHED_LONGEST = 180
"""Longest ramp that the Limits sheet takes for likely: common practice, no source."""


def test_every_word_offered_is_enough() -> None:
    chance = random.Random(77)
    seen: Counter[str] = Counter()
    changed: tuple[Set, ...] = (
        {"hitches": "ball"},
        {"coupler_sizes": "2 ball"},
        {"brake_controls": "air"},
        {"machine_width": 110},
        {"brakes": SURGE},
        {"rear_empty": 3_000, "weight": 19_000, "to_axles": 12},
    )
    for _ in range(200):
        given = varied(chance) | chance.choice(changed)
        verdict = judge(given, US)
        for row in OTHERWISE:
            words = str(row.words.work_out(verdict.cells)) if not isinstance(row.words, str) else row.words
            if words in verdict.enough.split("; "):
                typed = row.typed if isinstance(row.typed, str) else row.typed.work_out(verdict.cells)
                broken = {key for key in row.rules if verdict.states[key] == "broken"}
                assert broken
                for one in (ELECTRIC, AIR) if row.figure == "brakes" else (typed,):
                    assert is_mended(given | {row.figure: one}, broken), (row.figure, one, given)
                seen[row.figure] += 1
    assert len(seen) == len(OTHERWISE)


@pytest.mark.parametrize("measures", [US, METRIC], ids=["US", "metric"])
def test_the_heights_offered_are_the_greatest_that_pass(measures: Measures) -> None:
    """Against bisection of the plain sum of heights and limit, and of the rule itself, to the last digit said."""
    chance, offered = random.Random(8), 0
    unit, step = measures.per_inch, 0.1
    for _ in range(60):
        given: Set = {"deck_height": chance.uniform(12, 60) * unit, "machine_height": chance.uniform(90, 150) * unit}
        words = judge(given, measures).enough.split("; ")
        for figure in ("machine_height", "deck_height"):
            other = float(str(given["machine_height" if figure == "deck_height" else "deck_height"]))
            low, high = 0.0, 162 * unit  # 13 ft 6 in, the least that states allow
            for _ in range(60):
                middle = (low + high) / 2
                low, high = (middle, high) if middle + other <= 162 * unit else (low, middle)
            greatest = math.floor(low / step + 1e-9) * step
            amount = f"{NAMES[figure]} {greatest:,.1f} {'in' if measures is US else 'mm'} or less"
            is_tall = float(str(given["deck_height"])) + float(str(given["machine_height"])) > 162 * unit
            is_likely = low >= {"deck_height": 10, "machine_height": 30}[figure] * unit
            assert (amount in words) == (is_tall and is_likely), (amount, words, given)
            if amount in words:
                assert judge(given | {figure: greatest}, measures).states["tall"] in MENDED
                assert judge(given | {figure: greatest + step}, measures).states["tall"] == "broken"
                offered += 1
    assert offered > 20


def test_the_ramp_offered_is_clear_by_the_exact_geometry() -> None:
    """Slope by arcsine, gap by the exact drive-on (itself held against shapely)."""
    chance = random.Random(5)
    offered = 0
    for _ in range(400):
        given = FITTING | {"ramp_length": chance.uniform(26, 70), "clearance": chance.uniform(4, 16)}
        given |= {"wheelbase": chance.uniform(70, 120), "tail_drop": chance.choice([0, 6, 12])}
        given |= {"tail_length": 0 if given["tail_drop"] == 0 else 60, "climb": chance.choice([15, 20, 25])}
        for row, amount in said(judge(given, US).enough):
            if row is RAMP:
                f = {key: float(str(value)) for key, value in given.items() if isinstance(value, int | float)}
                rise = f["deck_height"] - f["tail_drop"]
                assert math.degrees(math.asin(rise / amount)) <= f["climb"] + 1e-9
                ends = (f["front_overhang"], f["front_clearance"], f["rear_overhang"], f["rear_clearance"])
                way = (f["deck_height"], f["tail_drop"], f["tail_length"], amount)
                assert ramp_clearance(*way, f["wheelbase"], f["clearance"], *ends) >= 0
                offered += 1
    assert offered > 100


def test_the_other_way_round_is_offered_where_it_is_a_yes_and_only_there() -> None:
    chance = random.Random(9)
    seen: Counter[tuple[bool, str]] = Counter()
    for number in range(3_000):
        given = varied(chance) | {"place": None}
        if number % 2:  # ends that differ: what strikes forward may not backed on
            given |= {"front_overhang": chance.uniform(0, 90), "rear_overhang": chance.uniform(0, 60), "climb": 25}
            given |= {"front_clearance": chance.uniform(8, 40), "rear_clearance": chance.uniform(8, 40)}
        if chance.random() < 0.2:
            given |= {"hitch": "gooseneck", "hitches": "gooseneck", "neck_clearance": chance.uniform(0, 60)}
        if chance.random() < 0.1:
            given |= {chance.choice(["clearance", "front_clearance", "gcwr", "jacks", "climb"]): None}
        forward = chance.random() < 0.7
        given["direction"] = chance.choice([None, "forward"]) if forward else "backward"
        here, there = judge(given, US), judge(given | {"direction": "backward" if forward else "forward"}, US)
        words = "backed on it is a YES" if forward else "driven on forward it is a YES"
        is_offered = words in here.enough.split("; ")
        assert is_offered == (there.word == YES and here.word != YES), (here.word, there.word, there.missing, given)
        seen[is_offered, here.word] += 1
    assert seen[True, NO] >= 5
    assert seen[False, NO] > 200


@pytest.mark.parametrize(
    ("changes", "unsaid"),
    [
        ({"truck_wheelbase": None}, "front axle rating"),  # 12,000 is stated: the wheelbase is what is missing
        ({"ramp_kind": None}, "ramps, outside to outside"),
        ({"hitch": None}, "chain strength"),
        ({"clearance": 0}, "ramp length"),
        ({**NECK, "ramps_outside": 1, "ramp_width": 0}, "width of one ramp"),  # (1 - 84) / 2 + 18 is below 0
        ({"machine_height": 153}, "deck height"),  # 162 - 153 is below the 10 in that a deck is likely to have
        ({"deck_height": 133, "tail_drop": 0}, "machine's height"),  # 162 - 133 is below the 30 in of a machine
    ],
)
def test_no_figure_is_named_for_what_another_lacks(changes: Set, unsaid: str) -> None:
    assert unsaid not in judge(FITTING | changes, US).enough


def test_a_ramp_is_enough_for_what_rests_on_it_wherever_the_center_is() -> None:
    # the heavier axle takes 9,000 x 120 / 86 = 12,558.1 lb by its moments, though the center lies outside
    said_of_it = judge(FITTING | {"to_center": 120, "ramp_rating": 9_000}, US).enough
    assert "ramp pair rating 12,559 lb or more" in said_of_it
