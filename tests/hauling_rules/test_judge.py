"""Figures of many sets changed, one or two at a time, judged by the product and by an independent judge.

No yes where the judge says no; nor a no where it finds a place, nor a yes where a figure is lacking.
"""

from __future__ import annotations

import random
from collections import Counter

import pytest

from tarelot.calc.rules.hauling import judge
from tarelot.calc.rules.hauling_rule import NO, NOT_SURE, YES
from tests.hauling_rules import judge as independent
from tests.hauling_rules.fitting import FITTING, NECK, US

BASES: tuple[dict[str, object], ...] = (
    FITTING,
    FITTING | NECK,
    FITTING | {"runs_on": "tracks"},
    FITTING | {"direction": "backward"},
    FITTING
    | {
        "rear_axles": 2,
        "rear_spread": 52,
        "rear_rating": 40_000,
        "truck_gvwr": 50_000,
        "weight": 14_000,
        "stands": "yes",
    },
    FITTING
    | {"brakes": "hydraulic surge", "gvwr": 19_000, "hitch": "ball", "hitches": "ball", "stands": "yes"}
    | {"tail_length": 0, "tail_drop": 0, "deck_height": 24, "ramp_length": 90, "deck_width": 86},
    FITTING
    | {"brakes": "none", "gvwr": 3_500, "empty": 1_000, "empty_pin": 120, "weight": 1_800, "points": 4}
    | {"hitch": "ball", "hitches": "ball; pintle", "climb": None, "ramp_length": 80},
)
WORDS: dict[str, tuple[object, ...]] = {
    "hitch": ("pintle", "ball", "gooseneck", "hook", None),
    "hitches": ("ball, pintle", "no ball; gooseneck", "PINTLE", None),
    "coupler_sizes": ("2 ball", "3 IN EYE;2 ball", None),
    "coupler_size": ("2 ball", "3 in", None),
    "brakes": ("electric", "air", "hydraulic surge", "none", "drum", None),
    "brake_controls": ("air", "electric", None),
    "ramp_kind": ("full width", "two ramps", "steel"),
    "runs_on": ("wheels", "tracks", "skids"),
    "stands": ("yes", None),
    "direction": ("backward", "forward"),
    "permit": ("yes", "no"),
    "machine_doubt": ("Weight 900 lb: tons?",),
}
WHOLE = ("axles", "tires", "jacks", "points", "rear_axles")
SETS = 420


def changed(chance: random.Random) -> dict[str, object]:
    """A set with one or two figures changed."""
    found = dict(chance.choice(BASES))
    for _ in range(chance.choice((1, 1, 2))):
        key = chance.choice([*FITTING, *WORDS, "place", "neck_clearance"])
        value = found.get(key)
        if key in WORDS:
            found[key] = chance.choice(WORDS[key])
        elif key == "place":
            found[key] = chance.uniform(0, 20)
        elif chance.random() < 0.15:
            found[key] = None
        elif key in WHOLE:
            found[key] = chance.choice((1, 2, 3))
        elif isinstance(value, (int, float)):
            found[key] = value * chance.uniform(0.35, 2.2)
    if found["axles"] == 1:
        found["axle_spread"] = 0
    if found["rear_axles"] != 1 and not found["rear_spread"]:
        found["rear_spread"] = 54
    return found


def differs(given: dict[str, object]) -> tuple[str, str]:
    """The product's word, and what is wrong with it."""
    found = judge(given, US)
    lacking = independent.lacking(given)
    if found.word == YES and lacking:
        return YES, f"yes without {lacking}"
    if lacking:
        return found.word, "" if found.missing or found.word == NO else "what is missing is not named"
    center = found.cells["center"]
    broken = list(independent.anywhere(given))
    placed = [] if center == "" else list(independent.at_place(given, float(str(center))))
    if found.word == YES and broken + placed:
        return YES, f"yes though {broken + placed}"
    if found.word == NO and not broken + placed and (center != "" or independent.somewhere(given)):
        return NO, f"no though nothing is wrong: {found.broken}"
    doubts = (
        "gap not sure",
        "ramps carry",
        "truck's hitches",
        "tail length",
        "low pin share",
        "empty pin above",
        "spread",
    )
    if found.word == NOT_SURE and not any(word in found.missing for word in doubts):
        return NOT_SURE, f"not sure though nothing is lacking: {found.missing}"
    return found.word, ""


@pytest.mark.parametrize("part", range(4))
def test_the_product_and_an_independent_judge_agree(part: int) -> None:
    chance = random.Random(900 + part)
    words: Counter[str] = Counter()
    for _ in range(SETS // 4):
        given = changed(chance)
        word, wrong = differs(given)
        words[word] += 1
        assert wrong == "", {key: value for key, value in given.items() if FITTING.get(key) != value}
    assert min(words[word] for word in (YES, NO, NOT_SURE)) >= 10, words


def test_weights_and_lengths_are_what_balance_and_geometry_say() -> None:
    """Pin, axles, truck axles and the lift by solving the equations of balance; 1e-9 of the amounts."""
    chance = random.Random(31)
    asked = 0
    while asked < 200:
        given = changed(chance)
        if independent.lacking(given):
            continue
        cells = judge(given, US).cells
        if cells["pin"] == "" or cells["rear_load"] == "":
            continue
        f = independent.Figures(given)
        pin, axles = independent.trailer_supports(f, f.to_deck + float(str(cells["center"])))
        front, rear = independent.truck_supports(f, pin)
        tail = (f.tail_length**2 - f.tail_drop**2) ** 0.5 / 12 if f.tail_drop <= f.tail_length else None
        scale = f.empty + f.weight + f.front_empty + f.rear_empty
        for key, amount in (("pin", pin), ("axle_load", axles), ("front_load", front), ("rear_load", rear)):
            assert cells[key] == pytest.approx(amount, rel=1e-9, abs=1e-9 * scale), key
        if tail is not None:
            lifted = independent.truck_supports(
                f, independent.trailer_supports(f, f.to_deck + f.deck_length + tail)[0]
            )[1]
            assert cells["loading_rear"] == pytest.approx(lifted, rel=1e-9, abs=1e-9 * scale)
        assert cells["loaded_width"] == max(f.machine_width, f.trailer_width)
        few = next((name for name in independent.ties(f) if name == "points"), None)
        assert (float(str(cells["over_ties_few"])) > 0) == (few is not None)
        asked += 1
