"""Match: verdicts by hand, and no hang-up ever called safe."""

from __future__ import annotations

import random
from collections.abc import Mapping

import pytest

from tarelot.calc.clearance import ramp_clearance
from tarelot.workbook_templates.basis.units import US, Units
from tarelot.workbook_templates.hauling.match.reading import matched
from tarelot.workbook_templates.lot.results import lot_results
from tests.engines.hand_case import MACHINE, TRAILER, TRUCK

NOWHERE = "no load position keeps pin and axles within limits"

Row = Mapping[str, object]


def filled(rows: list[Row], units: Units = US) -> list[dict[str, object]]:
    return [{**row, **found} for row, found in zip(rows, lot_results(rows, [], units), strict=True)]


def said(trailer: Row, machine: Row, truck: Row | None = TRUCK) -> Mapping[str, object]:
    chosen = (machine["Machine"], truck["Truck"] if truck else None)
    (row,) = matched(filled([trailer]), [machine], [truck] if truck else [], chosen, US)
    return row


@pytest.mark.parametrize(
    ("trailer", "machine", "truck", "word", "part"),
    [
        # Gross 20,000 of 24,000. Pin 2,000 to 3,000 (10 to 15 %): center at 20 x (800 + 14,000 - P) / 14,000
        # = 16.86 to 18.29 ft from the coupler, 11.86 to 13.29 from the deck's front; wheels 3.33 ft each way fit.
        # Slope asin(35/140) = 14.48 deg, below the 18 deg of MIL-S-62294B. 8 points, 40,000 lb: half of 14,000 is held.
        # Truck and trailer 46,000 of GCWR 80,000.
        ({}, {}, {}, "YES", ""),
        ({"GVWR (lb)": 19_000.0}, {}, {}, "NO", "above the trailer's GVWR by 1,000 lb"),  # 19,000 - 6,000 - 14,000
        # 500 lb on a trailer with 1 lb on its hitch: at most 501 lb there, and 10 % of 6,500 is 650.
        ({"Empty pin (lb)": 1.0}, {"Weight (lb)": 500.0}, {}, "NO", f"{NOWHERE}: at least 650 lb must rest"),
        ({"Deck length (ft)": 6.0}, {}, {}, "NO", "deck too short for its wheelbase or tracks by 8.0 in"),  # 80 - 72
        # Pin 4,500 at most by the coupler: center 20 x (14,800 - 4,500) / 14,000 - 5 = 9.71 ft or more from the front,
        # its rear contact 3.33 ft behind that, 13.05 ft: off a deck of 12 ft, on one of 15 ft (15 % is only usual).
        ({"Deck length (ft)": 12.0}, {}, {}, "NO", NOWHERE),
        ({"Deck length (ft)": 15.0}, {}, {}, "YES", ""),
        ({}, {"Height (in)": 130.0}, {}, "NO", "loaded"),  # 35 + 130 = 165, over 162
        ({}, {}, {"GCWR (lb)": 42_000.0}, "NO", "above the truck's GCWR by 4,000 lb"),  # 26,000 + 20,000
        # Hitch ahead of the rear axles by 100 of 215 in: any pin up to 3,000 puts 100 / 215 of it on the front axle,
        # 11,000 empty; the least pin of 2,000 puts 930 on it, to 11,930: over 11,900.
        ({}, {}, {"Hitch overhang (in)": -100.0, "Front axle rating (lb)": 11_900.0}, "NO", NOWHERE),
        ({"Empty pin (lb)": None}, {}, {}, "NOT SURE", "empty pin"),
        ({}, {"Height (in)": None}, {"GCWR (lb)": None}, "NOT SURE", "machine's height; truck's GCWR"),
        ({"Tail drop (in)": None}, {}, {}, "NOT SURE", "tail drop"),  # blank is not 0
        ({"Empty pin (lb)": 7_000.0}, {}, {}, "NOT SURE", "empty pin above the empty weight"),
        ({"Hitch": "ball"}, {}, {}, "NO", "truck has no ball hitch (truck: pintle)"),
    ],
)
def test_verdicts_by_hand(trailer: Row, machine: Row, truck: Row, word: str, part: str) -> None:
    row = said({**TRAILER, **trailer}, {**MACHINE, **machine}, {**TRUCK, **truck})
    assert row["word"] == word, row
    assert part in str(row["why"] if word == "NO" else row["lacking"])
    if word == "YES":
        assert (row["why"], row["lacking"]) == ("", "")


def test_a_caution_stands_in_its_column_and_does_not_say_no() -> None:
    # The band is 11.86 to 13.29 ft, 142.3 to 159.5 in, from the deck's front edge to the center; 40 in to the front
    # wheels and 130 in of boom are 170 in: they reach over it wherever it stands.
    boom = {"Front overhang (in)": 130.0, "Front clearance (in)": 60.0}
    row = said(TRAILER, {**MACHINE, **boom})
    assert "reaches over the deck's front edge" in str(row["minded"])
    assert row["why"] == ""
    assert row["word"] == "YES"


def test_without_a_truck_there_is_no_yes() -> None:
    row = said(TRAILER, MACHINE, None)
    assert (row["word"], row["why"]) == ("NOT SURE", "")
    assert "truck not chosen" in str(row["lacking"])


def test_what_touches_is_never_a_yes() -> None:
    """Against the exact least gap of the drive-on, over profiles and machines by chance."""
    chance = random.Random(20261)
    seen = {"YES": 0, "NO": 0, "NOT SURE": 0}
    for _ in range(600):
        tail = chance.choice((0.0, chance.uniform(20, 100)))
        drop = chance.uniform(0.1, 0.5) * min(tail, 30) if tail else 0.0
        height = chance.uniform(20, 45)
        ramp = (height - drop) * chance.uniform(1.05, 6)
        trailer = {
            **TRAILER,
            "Deck height (in)": height,
            "Tail length (in)": tail,
            "Tail drop (in)": drop,
            "Ramp length (in)": ramp,
        }
        ends = [chance.choice((0.0, chance.uniform(10, 90))) for _ in range(2)]
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
        row = said(trailer, machine)
        arguments = [size or None if place > 1 else size for place, size in enumerate(sizes)]
        gap = ramp_clearance(height, drop, tail, ramp, *arguments)
        seen[str(row["word"])] += 1
        if row["word"] == "YES":
            assert gap >= -1e-6, (trailer, machine)
        if "touches on the way up" in str(row["why"]):
            assert gap < 1e-6, (trailer, machine)
    assert seen["YES"] > 10, seen
    assert seen["NO"] > 100, seen
