"""What is also aboard: several loads on two supports, the deck's room, tie-downs, and what must hold of any items.

Statics are checked against worked cases of textbooks and of the FAA's handbooks, and the structural-analysis library
anastruct; the deck's room against shapely, a geometry library, and by trying one place after the other.
"""

from __future__ import annotations

import math
import random
from collections import Counter

import pytest
from shapely.geometry import box

from tarelot.calc.rules import hauling
from tarelot.calc.rules.aboard import EXPRESSIONS, WITHOUT, judge
from tarelot.calc.rules.aboard.items import SIZES
from tarelot.calc.rules.hauling import RULES
from tarelot.calc.rules.hauling_rule import NO, NOT_SURE, WRONG, YES
from tests.hauling_rules.fitting import FITTING, METRIC, US
from tests.hauling_rules.test_enough import MENDED, harder, said
from tests.hauling_rules.test_properties import varied
from tests.validation.test_beam_statics import SOLVER, reactions

Item = dict[str, object]
Set = dict[str, object]
PLATE: Item = {"name": "Plate", "weight": 300, "center": 18, "length": 36, "width": 24, "height": 40}
"""Near the rear end of the fitting trailer's deck of 20 ft, which begins 5.5 ft behind the coupler."""
FORKS: Item = {"name": "Forks", "on": "machine", "weight": 400, "length": 12, "width": 48, "height": 40, "center": -2}
"""Their front end 2 ft + 6 in ahead of the front contact: within the machine's own overhang of 40 in."""
SETS = 500


def stands(weight: float, center: float, length: float = 1.0, **more: object) -> Item:
    return {"name": "It", "weight": weight, "center": center, "length": length, "width": 10, "height": 10} | more


def random_items(chance: random.Random, most: int = 3) -> list[Item]:
    """Items on the deck of a fitting trailer; some share their place, some reach past its ends."""
    found = []
    for _ in range(chance.randint(1, most)):
        item = stands(chance.choice((100, 300, 900)), chance.uniform(0, 20), chance.uniform(12, 60))
        found.append(item | {"width": chance.uniform(10, 90), "height": chance.uniform(10, 80)})
    return found


# Nothing aboard.


@pytest.mark.parametrize("part", range(4))
def test_without_items_every_cell_is_what_it_is_without_this_room(part: int) -> None:
    chance = random.Random(part)
    for _ in range(SETS // 10):
        given = harder(FITTING, chance)
        bare, found = hauling.judge(given, US).cells, judge(given, [], US).cells
        assert [key for key in WITHOUT if bare[key] != found[key]] == []


# Weights and moments.


def test_two_loads_on_two_supports() -> None:
    """coursehero 5583255, problem 3.16: supports 1.5 m apart, 4,500 N 0.9 m and 2,500 N 2.4 m from the far one.

    The far support carries 300 N, the near one 6,700. The coupler is the far support; the trailer's own 1,000 N rest on
    its axles.
    """
    beam: Set = {"empty": 1_000, "empty_pin": 0, "to_axles": 1.5, "to_deck": 0.4, "weight": 2_500, "place": 2.0}
    cells = judge(FITTING | beam, [stands(4_500, 0.5)], METRIC).cells
    assert cells["pin"] == pytest.approx(300)
    assert cells["axle_load"] == pytest.approx(6_700 + 1_000)
    assert cells["gross"] == pytest.approx(8_000)


def test_a_machine_with_items_on_it_has_its_center_at_their_weighted_mean() -> None:
    """FAA-H-8083-25 figure 9-5: 2,100 lb at 78.3 in, 340 at 85, 350 at 121, 450 at 75, 80 at 150: 3,320 at 84.8."""
    machine: Set = {"weight": 2_100, "to_center": 78.3, "wheelbase": 160}
    more = [stands(w, at / 12, on="machine") for w, at in ((340, 85), (350, 121), (450, 75), (80, 150))]
    cells = judge(FITTING | machine, more, US).cells
    assert cells["weight"] == pytest.approx(3_320)
    assert round(float(str(cells["to_center"])), 1) == 84.8


def test_an_item_ahead_of_the_front_contact_counts_below_0() -> None:
    """FAA AC 43.13-1B figure 10-10: 1,169 lb at 10.6 in, 17 at -49, 170 at 16, 83 at 22: 1,439 lb, 16,104, 11.2 in."""
    machine: Set = {"weight": 1_169, "to_center": 10.6}
    more = [stands(w, at / 12, on="machine") for w, at in ((17, -49), (170, 16), (83, 22))]
    cells = judge(FITTING | machine, more, US).cells
    assert cells["weight"] == pytest.approx(1_439)
    assert float(str(cells["to_center"])) * 1_439 == pytest.approx(16_104, abs=0.5 * 1_439 / 100)  # read to whole lb in
    assert round(float(str(cells["to_center"])), 1) == 11.2


@pytest.mark.parametrize("seed", range(30))
def test_any_loads_rest_as_the_structural_library_says(seed: int) -> None:
    chance = random.Random(seed)
    more = [stands(chance.uniform(50, 2_000), chance.uniform(0.2, 11)) for _ in range(chance.randint(1, 4))]
    place = chance.uniform(4, 11)
    cells = judge(FITTING | {"place": place}, more, US).cells
    # the empty trailer, 6,000 lb with 700 on the pin, axles 17 ft behind: its center 17 x 5,300 / 6,000 ft
    loads = {17 * 5_300 / 6_000: 6_000.0, 5.5 + place: 9_000.0}
    loads |= {5.5 + float(str(one["center"])): float(str(one["weight"])) for one in more}
    hitch, axles = reactions(17, loads)
    assert cells["pin"] == pytest.approx(hitch, rel=SOLVER)
    assert cells["axle_load"] == pytest.approx(axles, rel=SOLVER)


def test_an_item_at_the_machines_place_adds_like_weight() -> None:
    chance = random.Random(1)
    for _ in range(100):
        more, place = chance.uniform(10, 4_000), chance.uniform(4, 11)
        found = judge(FITTING | {"place": place}, [stands(more, place)], US).cells
        as_one = hauling.judge(FITTING | {"place": place, "weight": 9_000 + more}, US).cells
        for key in ("pin", "axle_load", "gross", "rear_load", "front_load", "combination", "over_gvwr", "over_axles"):
            assert found[key] == pytest.approx(as_one[key], abs=1e-6), key


def test_what_lightens_the_hitch_counts_while_it_drives_on_and_what_holds_it_down_does_not() -> None:
    """With the machine at the tail's end, by hand: 700 + 9,000 (17 - x) / 17, x = 5.5 + 20 + sqrt(60² - 12²) / 12."""
    tail = 5.5 + 20 + math.sqrt(60**2 - 12**2) / 12
    alone = 700 + 9_000 * (17 - tail) / 17
    ahead = stands(300, 1.5)  # 7 ft behind the coupler: + 300 x 10 / 17
    behind = stands(300, 18.5)  # 24 ft behind it: - 300 x 7 / 17
    assert judge(FITTING, [], US).cells["loading_pin"] == pytest.approx(alone)
    assert judge(FITTING, [ahead], US).cells["loading_pin"] == pytest.approx(alone)
    assert judge(FITTING, [ahead, behind], US).cells["loading_pin"] == pytest.approx(alone - 300 * 7 / 17)
    # the axles are asked with all: 6,000 + 9,000 + 600 less the pin with both
    assert judge(FITTING, [ahead, behind], US).cells["loading_axles"] == pytest.approx(
        15_600 - (alone + 300 * 10 / 17 - 300 * 7 / 17)
    )


# Verdicts by hand.

BY_HAND: tuple[tuple[list[Item], Set, str, str], ...] = (
    ([], {}, YES, ""),
    ([PLATE], {}, YES, ""),
    ([FORKS], {"stands": "yes"}, YES, ""),
    # GVWR 24,000 - 6,000 - 9,000 = 9,000 lb are left
    ([PLATE | {"weight": 9_001, "center": 12}], {}, NO, "above the trailer's GVWR by 1 lb"),
    # from 17.5 to 20.5 ft, on a deck of 20
    ([PLATE | {"center": 19}], {}, NO, "also aboard, off the level deck by 6.0 in: Plate"),
    ([PLATE | {"center": 1}], {}, NO, "also aboard, off the level deck by 6.0 in: Plate"),
    ([PLATE | {"width": 104}], {}, NO, "also aboard, wider than the deck by 2.0 in: Plate"),
    # 16.5 to 19.5 and 14.5 to 17.5 ft
    ([PLATE, PLATE | {"name": "Box", "center": 16}], {}, NO, "where the other stands by 12.0 in: Plate; Box"),
    # its center at 9 ft, its rear end 40 + 36 in behind: 15 ft 4 in; the plate begins at 14.5 ft
    ([PLATE | {"center": 16}], {"place": 9}, NO, "reaches into what is behind it by 10.0 in: Plate"),
    # its leading end 86 in ahead of its center: 1 ft 10 in; the plate ends at 3.5 ft
    ([PLATE | {"center": 2}], {"place": 9}, NO, "reaches into what is ahead of it by 20.0 in: Plate"),
    # deck 34 in + 129 in = 163 in, 162 allowed
    ([PLATE | {"height": 129}], {}, NO, "too high loaded by 1.0 in"),
    # an arm of 4 ft ahead of the front contact: 9,000 x 46 - 9,000 x 48 < 0
    ([FORKS | {"weight": 9_000, "center": -4}], {}, NO, "center lies ahead of its front contact: it tips"),
)


@pytest.mark.parametrize(
    ("more", "changes", "word", "words"), BY_HAND, ids=[words or word for *_, word, words in BY_HAND]
)
def test_by_hand(more: list[Item], changes: Set, word: str, words: str) -> None:
    verdict = judge(FITTING | changes, more, US)
    assert (verdict.word, words in verdict.broken) == (word, True), (verdict.broken, verdict.missing)


UNSURE: tuple[tuple[list[Item], str], ...] = (
    ([PLATE | {"weight": None}], "Plate: needs weight"),
    ([PLATE | {"weight": 0}], "Plate: needs weight"),
    ([PLATE | {"weight": "heavy", "center": None}], "Plate: needs weight, center"),
    ([PLATE | {"length": None}], "Plate: needs length"),
    ([PLATE | {"width": 0}], "Plate: needs width"),
    ([PLATE | {"height": -1}], "Plate: needs height"),
    ([PLATE | {"on": "roof"}], "Plate: needs deck or machine"),
    ([PLATE | {"name": None, "center": None}], "item 1: needs center"),
    # LibreOffice 25.2 makes a 1 of TRUE in a cell for figures, as was seen in its window; 0.15 short tons are 300 lb
    ([PLATE | {"weight": 1}], "Plate: needs a look at its weight, below 10 (another unit, or TRUE?)"),
    ([PLATE | {"weight": 0.15}], "Plate: needs a look at its weight, below 10 (another unit, or TRUE?)"),
    ([PLATE | {"length": 3}], "Plate: needs a look at its length, below 6 (another unit, or TRUE?)"),
    ([PLATE | {"width": 1}], "Plate: needs a look at its width, below 2 (another unit, or TRUE?)"),
    ([PLATE | {"height": 1}], "Plate: needs a look at its height, below 2 (another unit, or TRUE?)"),
    ([PLATE | {"doubt": "weight: kg?"}], "Plate: needs entries in doubt: weight: kg?"),
    ([{"name": "Plate"}], "Plate: needs weight, center, length, width, height"),
    ([{"width": 20}], "item 1: needs weight, center, length, height"),
    # 54 in ahead of the front contact, where the machine alone reaches 40
    ([FORKS | {"center": -4}], "Forks: needs the machine's front clearance with it on, typed over"),
    # 700 - 2,000 x 7.5 / 17
    ([PLATE | {"weight": 2_000, "center": 19 - 0.5}], "lifts the hitch by 124 lb before the machine is on"),
)


@pytest.mark.parametrize(("more", "words"), UNSURE, ids=[words for _, words in UNSURE])
def test_what_is_missing_of_an_item_is_said_and_never_a_yes(more: list[Item], words: str) -> None:
    verdict = judge(FITTING | {"stands": None}, more, US)
    assert verdict.word == NOT_SURE
    assert words in verdict.missing


def test_what_may_hang_lower_than_listed_is_to_be_minded() -> None:
    low = "may hang lower than its ends are listed"
    assert low in judge(FITTING | {"stands": "yes"}, [FORKS], US).cautions
    assert low not in judge(FITTING | {"stands": "yes"}, [FORKS], US, measured={"front": 24}).cautions
    assert low not in judge(FITTING, [FORKS | {"center": 3}], US).cautions  # between its contacts
    assert low not in judge(FITTING, [PLATE], US).cautions


def test_a_clearance_measured_with_the_item_on_is_taken() -> None:
    lengthened = [FORKS | {"center": -4, "weight": 100}]
    verdict = judge(FITTING, lengthened, US, measured={"front": 30})
    assert verdict.word == YES
    assert verdict.cells["front_overhang"] == pytest.approx(54)
    assert verdict.cells["front_clearance"] == 30
    low = judge(FITTING, lengthened, US, measured={"front": 2})
    assert "leading end strikes" in low.broken


def test_more_than_four_items_and_figures_that_nothing_reads_are_refused() -> None:
    with pytest.raises(ValueError, match="5 items"):
        judge(FITTING, [PLATE] * 5, US)
    with pytest.raises(KeyError, match="color"):
        judge(FITTING, [PLATE | {"color": "red"}], US)


# Tie-downs: points for each article by itself.

TIES: tuple[tuple[Item, float, float], ...] = (
    (stands(900, 2, 48), 5_000, 1),  # 393.110(b)(1): 5 ft and 1,100 lb or less
    (stands(1_200, 2, 48), 5_000, 2),  # 393.110(b)(2): over 1,100 lb
    (stands(900, 4, 72), 5_000, 2),  # longer than 5 ft, to 10 ft
    (stands(9_999, 6, 120), 5_000, 2),  # 10 ft
    (stands(10_000, 6, 120), 5_000, 4),  # 393.130(c)
    (stands(20_000, 6, 120), 4_700, 5),  # 393.106(d): 4 direct ties of 4,700 come to 9,400 of 10,000 lb
    (stands(20_000, 6, 120), 5_400, 4),  # 4 of 5,400 to 10,800
    (FORKS, 5_000, 1),  # 393.130(b): lowered and secured
)


@pytest.mark.parametrize(("item", "rating", "points"), TIES)
def test_each_item_takes_points_of_its_own(item: Item, rating: float, points: float) -> None:
    # the machine: 9,000 lb, 13.5 ft long: 3 by 393.110, with 9,400 lb 2 hold it by their rating at least
    cells = judge(FITTING | {"point_rating": rating}, [item], US).cells
    assert cells["item_1_ties"] == points
    assert cells["ties"] == 3 + points
    enough = judge(FITTING | {"point_rating": rating, "points": 3 + points}, [item], US)
    few = judge(FITTING | {"point_rating": rating, "points": 2 + points}, [item], US)
    assert (enough.states["ties_few"], few.states["ties_few"]) == ("ok", "broken")
    assert f"tie-down points {3 + points:.0f} or more" in few.enough


# The deck's room.

BESIDE = ("aboard_ahead", "aboard_behind")
ROOM = ("aboard_deck", "aboard_apart", *BESIDE)


def test_the_decks_room_is_what_shapely_says() -> None:
    chance = random.Random(393)
    seen: Counter[tuple[bool, bool, bool]] = Counter()
    for _ in range(SETS):
        more, place = random_items(chance), chance.uniform(7, 12)
        cells = judge(FITTING | {"place": place}, more, US).cells
        boxes = []
        for item in more:
            at, half = float(str(item["center"])) * 12, float(str(item["length"])) / 2
            boxes.append(box(at - half, 0, at + half, 102))
        machine = box(place * 12 - 86, 0, place * 12 + 76, 102)  # 46 + 40 in ahead of its center, 40 + 36 behind
        deck = box(0, 0, 240, 102)
        tiny = 1e-3  # square inches
        in_machine = any(one.intersection(machine).area > tiny for one in boxes)
        in_other = any(a.intersection(b).area > tiny for n, a in enumerate(boxes) for b in boxes[:n])
        off_deck = any(one.difference(deck).area > tiny for one in boxes)
        broken = {key: float(str(cells[f"over_{key}"] or 0).replace("-", "0")) > 0 for key in ROOM}
        assert broken["aboard_deck"] == off_deck
        assert broken["aboard_apart"] == in_other
        assert (broken["aboard_ahead"] or broken["aboard_behind"]) == in_machine, (more, place)
        seen[in_machine, in_other, off_deck] += 1
    assert len(seen) >= 6, seen
    assert all({flags[n] for flags in seen} == {True, False} for n in range(3))


def bounded(cells: object) -> bool:
    """Whether every rule that the machine's place decides is kept."""
    keys = [rule.key for rule in RULES if rule.bounds and rule.severity == WRONG]
    return all(cells[f"state_{key}"] in MENDED for key in (*keys, *BESIDE))  # type: ignore[index]


def test_there_is_a_place_where_trying_them_finds_one() -> None:
    """Places along the deck are tried as the typed one; where one fits, one is proposed, and that keeps every rule."""
    chance = random.Random(12)
    seen: Counter[bool] = Counter()
    for _ in range(60):
        given = FITTING | {"front_overhang": 0, "rear_overhang": 0, "wheelbase": 60, "to_center": 30}
        more = random_items(chance, 4)
        cells = judge(given, more, US).cells
        if cells["items_in_other"] or cells["items_off_deck"] or cells["loading_empty_pin"] < 0:  # type: ignore[operator]
            continue
        tried = any(bounded(judge(given | {"place": inch / 12}, more, US).cells) for inch in range(0, 240, 2))
        has_place = cells["state_no_place"] == "ok"
        assert has_place or not tried, more
        if has_place:
            assert bounded(judge(given | {"place": cells["proposed"]}, more, US).cells)
        seen[has_place] += 1
    assert min(seen[True], seen[False]) >= 3, seen


# What must hold of any items.


def test_a_figure_of_an_item_taken_away_never_gives_yes() -> None:
    chance = random.Random(5)
    seen: Counter[str] = Counter()
    for _ in range(SETS):
        given, more = varied(chance), random_items(chance, 2)
        more[0] |= {"on": chance.choice(("deck", "deck", "machine"))}
        verdict = judge(given, more, US)
        lacking = [dict(more[0]), *more[1:]]
        lacking[0][chance.choice([*SIZES, "center"])] = chance.choice((None, 0, "?", -5))
        if lacking[0]["center"] in (0, -5):
            continue  # a place like another
        assert judge(given, lacking, US).word != YES
        seen[verdict.word] += 1
    assert seen[YES] >= 20


BY_WEIGHT = ("gvwr", "coupler", "chains", "gcwr", "hitch_rating", "legal_gross", "bridge_outer", "unbraked")
BY_WEIGHT += ("tall", "wide")
"""Rules that more weight, height and width only break."""


def test_more_aboard_mends_nothing_but_a_pin() -> None:
    """NO becomes YES only where the pin was too light, or the place beside another limit with it."""
    chance = random.Random(6)
    seen: Counter[str] = Counter()
    of_pin = {rule.key for rule in RULES if rule.bounds} | {"no_place"}
    for _ in range(SETS):
        given, more = harder(FITTING, chance), random_items(chance, 2)
        before, after = judge(given, [], US), judge(given, more, US)
        for key in BY_WEIGHT:
            if before.states[key] == "broken":
                assert after.states[key] in ("broken", "not asked")
        if before.word == NO and after.word == YES:
            assert {key for key, state in before.states.items() if state == "broken"} <= of_pin
        if after.word == YES:
            assert before.word in (YES, NO)
        seen[f"{before.word} {after.word}"] += 1
    assert seen[f"{YES} {YES}"] >= 10
    assert seen[f"{YES} {NO}"] >= 10


@pytest.mark.parametrize("part", range(3))
def test_what_would_be_enough_is_with_items_too(part: int) -> None:
    chance = random.Random(part)
    seen: Counter[str] = Counter()
    for _ in range(120):
        given, more = harder(FITTING, chance), random_items(chance, 2)
        verdict = judge(given, more, US)
        words = "; ".join(one for one in verdict.enough.split("; ") if "also aboard" not in one)
        for row, amount in said(words):
            rules = (*row.rules, *BESIDE) if row.figure == "place" else row.rules
            broken = {key for key in rules if verdict.cells[f"state_{key}"] == "broken"}
            if not broken or row.figure == "ramp_length":
                continue
            cells = judge(given | {row.figure: amount}, more, US).cells
            assert all(cells[f"state_{key}"] in MENDED for key in broken), (row.figure, amount, more, given)
            less = amount - 1 if row.unit == "count" else amount * (1.01 if row.is_most else 0.99)
            cells = judge(given | {row.figure: less}, more, US).cells
            assert any(cells[f"state_{key}"] not in MENDED for key in broken), (row.figure, amount, more, given)
            seen[row.figure] += 1
    assert len(seen) > 8, seen


def test_the_weight_that_is_enough_is_that_of_the_machine_with_what_is_on_it() -> None:
    # GVWR 15,000 - 6,000 empty - 300 on the deck = 8,700 lb for machine and forks of 400 lb
    given = FITTING | {"gvwr": 15_000}
    assert "weight of the machine with what is on it 8,700 lb or less" in judge(given, [FORKS, PLATE], US).enough
    states = judge(given | {"weight": 8_300}, [FORKS, PLATE], US).states
    assert states["gvwr"] == "ok"
    assert judge(given | {"weight": 8_301}, [FORKS, PLATE], US).states["gvwr"] == "broken"


def test_moving_what_is_aboard_is_said_to_be_enough_where_it_is_in_the_way() -> None:
    moved = "what is also aboard moved, or left off"
    assert moved in judge(FITTING, [PLATE | {"center": 2}], US).enough.split("; ")
    assert moved in judge(FITTING | {"place": 9}, [PLATE | {"center": 16}], US).enough.split("; ")
    assert moved not in judge(FITTING | {"gvwr": 10_000}, [PLATE], US).enough
    assert judge(FITTING, [PLATE], US).word == YES


def test_no_expression_of_the_rules_is_lost() -> None:
    assert set(WITHOUT) <= set(EXPRESSIONS)
