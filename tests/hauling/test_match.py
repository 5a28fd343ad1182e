"""Match: verdicts by hand, and no hang-up ever called safe."""

from __future__ import annotations

import random
from collections.abc import Mapping

import pytest

from tarelot.calc.clearance import ramp_clearance
from tarelot.workbook_templates.basis.units import US, Units
from tarelot.workbook_templates.hauling import questions
from tarelot.workbook_templates.hauling.match import columns as match
from tarelot.workbook_templates.hauling.match.reading import matched
from tarelot.workbook_templates.lot.results import lot_results
from tests.engines.hand_case import MACHINE, TRAILER, TRUCK

Row = Mapping[str, object]


def filled(rows: list[Row], units: Units = US) -> list[dict[str, object]]:
    return [{**row, **found} for row, found in zip(rows, lot_results(rows, [], units), strict=True)]


def verdict(trailer: Row, machine: Row, truck: Row | None = TRUCK, *, exact: bool = False) -> str:
    chosen = (machine["Machine"], truck["Truck"] if truck else None)
    (row,) = matched(filled([trailer]), [machine], [truck] if truck else [], chosen, US, exact=exact)
    return str(row["verdict"])


@pytest.mark.parametrize(
    ("trailer", "machine", "truck", "expected"),
    [
        # Gross 20,000 of 24,000. Pin 2,000 to 3,000 (10 to 15 %): centre at 20 x (800 + 14,000 - P) / 14,000
        # = 16.86 to 18.29 ft from the coupler, 11.86 to 13.29 from the deck's front; wheels 3.33 ft each way fit.
        # Slope asin(35/140) = 14.48 deg lifts 40 x tan(7.24 deg) = 5.08 in into 20 in. 8 points, 40,000 lb.
        # Pin mid band 2,500: 12.5 %. Truck by GCWR 80,000 - 26,000 = 54,000.
        ({}, {}, {}, "carries"),
        ({"GVWR (lb)": 19_000.0}, {}, {}, "payload short 1,000 lb"),  # 19,000 - 6,000 - 14,000
        # The vertical rating of 3,000 lb holds 15,000 lb at 20 %.
        (
            {"Low pin share": 0.18, "High pin share": 0.2, "Coupler vertical (lb)": 3_000.0, "GVWR (lb)": 40_000.0},
            {},
            {},
            "payload short 5,000 lb",
        ),
        # Two axles of 8,800 hold 17,600 / 0.90 = 19,555.6 at the low share; 20,000 is 444.4 more.
        (
            {"Axle rating (lb)": 8_800.0, "Low pin share": 0.10, "High pin share": 0.11, "GVWR (lb)": 20_000.0},
            {},
            {},
            "payload short 445 lb",
        ),
        # 500 lb on a trailer with 1 lb on its hitch: at most 501 lb there, and 10 % of 6,500 is 650.
        ({"Empty pin (lb)": 1.0}, {"Weight (lb)": 500.0}, {}, "no place for its centre by pin and axles"),
        ({"Deck length (ft)": 6.0}, {}, {}, "deck too short by 8 in"),  # 80 - 72
        # Centre 11.86 ft or more from the front, 3.33 ft behind it on a deck of 15 ft: 15.19.
        ({"Deck length (ft)": 15.0}, {}, {}, "no place on the deck for its centre"),
        ({}, {"Width (in)": 105.5}, {}, "wider than the trailer by 4 in"),
        ({}, {"Height (in)": 130.0}, {}, "too high loaded: 165 in"),  # 35 + 130, over 162
        # asin(35/40) = 61.04 deg; 40 x tan(30.52 deg) = 23.6 in into 20 in.  The ramp has no room for both wheels
        # (40 in, half a wheelbase over cos 30.52 deg is 46.4), so that the closed form cannot say it touches.
        ({"Ramp length (in)": 40.0}, {}, {}, "check on What-if"),
        # Half the wheelbase 40 in, the turn 30 deg (35 of 70): 40 x tan(15 deg) = 10.72 in into 10 in.
        ({"Ramp length (in)": 70.0}, {"Ground clearance (in)": 10.0}, {}, "touches on the drive-on"),
        # 12 - 10.72 = 1.28 in is left, below 2 in.
        ({"Ramp length (in)": 70.0}, {"Ground clearance (in)": 12.0}, {}, "tight on the drive-on"),
        # 30 in ahead on 30 deg is 17.3 in up; it clears 10 in.
        (
            {"Ramp length (in)": 70.0},
            {"Front overhang (in)": 30.0, "Front clearance (in)": 10.0},
            {},
            "ramp too steep for its front: 30.0 deg",
        ),
        # 40 x tan(7.24 deg) = 5.08: a gap of 2.05 in is less than 2 in and what the sweep of What-if may overlook.
        ({}, {"Ground clearance (in)": 7.13}, {}, "check on What-if"),
        # Rear wheels at the foot, front ones on the ramp: tilted by 14.48 deg, 60 x tan of it = 15.5 in down.
        (
            {},
            {"Rear overhang (in)": 60.0, "Rear clearance (in)": 15.0},
            {},
            "ramp too steep for its rear: 14.5 deg",
        ),
        ({}, {"Runs on": "tracks"}, {}, "check on What-if: tips over 14.5 deg"),
        # A front carried 15 in up strikes that slope on tracks as on wheels.
        (
            {},
            {"Runs on": "tracks", "Front overhang (in)": 60.0, "Front clearance (in)": 15.0},
            {},
            "ramp too steep for its front: 14.5 deg",
        ),
        # What is wrong is said though another figure of the same question is missing.
        ({"Tie-down points": 3, "Tie-down rating (lb)": None}, {}, {}, "tie-downs short: 3 of 4"),
        ({"Deck length (ft)": 6.0, "Empty pin (lb)": None}, {}, {}, "deck too short by 8 in"),
        # A machine of 14,000 lb needs 4 (49 CFR 393.130).
        ({"Tie-down points": 3}, {}, {}, "tie-downs short: 3 of 4"),
        ({"Tie-down rating (lb)": 1_500.0}, {}, {}, "tie-downs short 2,000 lb"),  # 14,000 - 8 x 1,500
        ({"Hitch": "ball"}, {}, {}, "hitch differs: ball"),
        # 42,000 - 26,000 = 16,000 against 20,000.
        ({}, {}, {"GCWR (lb)": 42_000.0}, "truck too light by 4,000 lb (GCWR)"),
        # Hitch ahead of the rear axles by 100 of 215 in: 2,500 x 100 / 215 = 1,162.8 on the front, 11,000 empty.
        (
            {},
            {},
            {"Hitch overhang (in)": -100.0, "Front axle rating (lb)": 12_000.0},
            "truck's front axle over by 163 lb",
        ),
        ({"Empty pin (lb)": None}, {}, {}, "figures missing: Empty pin"),
        ({}, {"Height (in)": None}, {"GCWR (lb)": None}, "figures missing: machine's height; truck's GCWR"),
        (
            {"Empty pin (lb)": None, "Coupler to axles (ft)": None, "Coupler to deck (ft)": None, "GVWR (lb)": None},
            {},
            {},
            "figures missing: GVWR; Empty pin and 2 more",  # four are left out
        ),
        ({"Empty pin (lb)": 7_000.0}, {}, {}, match.OUT_OF_RANGE),  # above the empty weight
    ],
)
def test_verdicts_by_hand(trailer: Row, machine: Row, truck: Row, expected: str) -> None:
    assert verdict({**TRAILER, **trailer}, {**MACHINE, **machine}, {**TRUCK, **truck}) == expected


def test_a_caution_stands_in_its_column_and_does_not_say_no() -> None:
    # 103 in needs a permit (23 CFR 658.15: 102 in). The band is 11.86 to 13.29 ft: its middle 12.57 ft, 150.9 in, from
    # the deck's front edge; 40 in to the front wheels and 112 in of boom reach over it.
    boom = {"Front overhang (in)": 112.0, "Front clearance (in)": 60.0}
    chosen = (MACHINE["Machine"], TRUCK["Truck"])
    (row,) = matched(filled([{**TRAILER, "Width (in)": 103.0}]), [{**MACHINE, **boom}], [TRUCK], chosen, US)
    assert row["size"] == "caution: 103 in wide needs a permit"
    assert row["place"] == "caution: reaches over the deck's front edge"
    assert row["verdict"] == "carries"


def test_without_a_truck_the_trailer_alone_is_judged() -> None:
    assert verdict({**TRAILER, "Hitch": "ball"}, MACHINE, None) == "carries"


def test_the_exact_sweep_decides_what_the_sheet_leaves_open() -> None:
    # By the sheet "check on What-if" above; the sweep knows.
    steep = {**TRAILER, "Ramp length (in)": 40.0}
    gap = ramp_clearance(35, 0, 0, 40, 80, 20)
    assert gap < 0
    assert verdict(steep, MACHINE, exact=True) == "touches on the drive-on: belly at the ramp's top"


def test_the_sheet_never_says_carries_where_the_sweep_touches() -> None:
    chance = random.Random(20261)
    said: dict[str, int] = {"carries": 0, "touches": 0, "check": 0}
    for _ in range(1500):
        tail = chance.choice((0.0, chance.uniform(20, 100)))
        drop = chance.uniform(0.1, 0.5) * min(tail, 30) if tail else 0.0
        height = chance.uniform(20, 45)
        ramp = (height - drop) * chance.uniform(1.05, 6)
        trailer = {
            **TRAILER,
            "Deck height (in)": height,
            "Tail length (in)": tail or None,
            "Tail drop (in)": drop or None,
            "Ramp length (in)": ramp,
        }
        ends = [chance.choice((None, chance.uniform(10, 90))) for _ in range(2)]
        gaps = [chance.uniform(8, 40) if end else None for end in ends]
        sizes = (chance.uniform(40, 130), chance.uniform(6, 25), ends[0], gaps[0], ends[1], gaps[1])
        names = (
            "Wheelbase",
            "Ground clearance",
            "Front overhang",
            "Front clearance",
            "Rear overhang",
            "Rear clearance",
        )
        machine = {**MACHINE, **{f"{name} (in)": size for name, size in zip(names, sizes, strict=True)}}
        machine["Front contact to center (in)"] = sizes[0] / 2
        answer = verdict(trailer, machine)
        gap = ramp_clearance(height, drop, tail, ramp, *sizes)
        said[answer.split()[0]] = said.get(answer.split()[0], 0) + 1
        if answer == "carries":
            assert gap >= questions.tight(US) - 1e-9, (trailer, machine)
        elif answer.startswith(("touches", "ramp too steep")):
            assert gap < 1e-6, (trailer, machine)
        elif answer.startswith("tight"):
            assert gap < questions.tight(US), (trailer, machine)
    assert min(said["carries"], said["touches"], said["check"]) > 30, said
