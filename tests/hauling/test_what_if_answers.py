"""The answers of What-if: the sweep against the exact gap, a beam by hand, severities, what lacks, metric units."""

from __future__ import annotations

import random
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from openpyxl.workbook import Workbook

from tarelot.calc.clearance import ramp_clearance, ramp_touch
from tarelot.workbook_templates import workbook
from tarelot.workbook_templates.basis.units import METRIC
from tarelot.workbook_templates.hauling.what_if import rows as what_if_rows
from tarelot.workbook_templates.hauling.what_if.answer import OPEN
from tarelot.workbook_templates.sheets import demo_yard, machines
from tests.engines.office import Office, Value
from tests.hauling.what_if_live import FIGURE_ROWS, Live, answer_cell, typed_cell, value_cell
from tests.hauling.yards import CARD_VERDICT

SWEEP_TOLERANCE_IN = 0.1  # what the sheet promises


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("what_if") / "demo.xlsx"
    workbook.write_demo(path)
    return path


@pytest.fixture(scope="module")
def book(demo: Path) -> Workbook:
    return openpyxl.load_workbook(demo)


@pytest.fixture(scope="module")
def live(demo: Path) -> Live:
    return Live(demo)


def random_drive_on(source: random.Random) -> dict[str, float]:
    """Figures within what trailers and machines are, a tail on two of three trailers."""
    drop = source.choice((0.0, source.uniform(4, 24), source.uniform(4, 24)))
    height = drop + source.uniform(8, 30)
    return {
        "deck_height": height,
        "tail_drop": drop,
        "tail_length": drop and drop * source.uniform(2.2, 7),
        "ramp_length": (height - drop) * source.uniform(1.3, 5),
        "wheelbase": source.uniform(36, 180),
        "clearance": source.uniform(4, 24),
        "front_overhang": source.choice((0.0, source.uniform(5, 100))),
        "front_clearance": source.uniform(4, 30),
        "rear_overhang": source.choice((0.0, source.uniform(5, 100))),
        "rear_clearance": source.uniform(4, 30),
    }


def test_the_sweeps_least_gap_is_within_a_tenth_of_an_inch(live: Live, book: Workbook) -> None:
    gap, where = value_cell(book, "least gap"), value_cell(book, "where")
    live.type({"B5": "1108", "B6": "Paver 8", "B7": "Dump truck 26"})
    source = random.Random(393)
    places: set[object] = set()
    for _ in range(120):
        figures = random_drive_on(source)
        live.type({typed_cell(key): repr(value) for key, value in figures.items()})
        arguments: Any = [value or None if "over" in key else value for key, value in figures.items()]
        exact, found = ramp_clearance(*arguments), live.read("Drive-on", gap)
        assert isinstance(found, float)
        assert -1e-9 <= found - exact <= SWEEP_TOLERANCE_IN, figures
        touch = ramp_touch(*arguments)
        places.add(touch)
        if live.read("Drive-on", where) != touch:  # two places may be as tight as each other, to the resolution
            assert second_tightest(figures, str(live.read("Drive-on", where)).split(" at ")[0], exact), figures
    assert len(places) >= 6
    live.type({typed_cell(key): None for key in figures})


def second_tightest(figures: dict[str, float], part: str, exact: float) -> bool:
    """Whether a part of the machine comes as close as the exact least gap, to the resolution."""
    ample = 1e6
    only = dict(figures)
    if part != "belly":
        only["clearance"] = ample
    for end in ("front", "rear"):
        if part != f"{end} overhang":
            only[f"{end}_overhang"] = 0.0
    arguments: Any = [value or None if "over" in key else value for key, value in only.items()]
    return ramp_clearance(*arguments) - exact <= 2 * SWEEP_TOLERANCE_IN


def test_every_demo_trailer_with_every_wheeled_machine(live: Live, book: Workbook) -> None:
    keys = ("Wheelbase", "Ground clearance", "Front overhang", "Front clearance", "Rear overhang", "Rear clearance")
    gap = value_cell(book, "least gap")
    touching = 0
    yard: Any = demo_yard.trailers()
    hauled: Any = machines.demo_rows()
    for trailer in yard[:8]:
        if not trailer["Ramp length (in)"] or trailer["Ramp length (in)"] <= trailer["Deck height (in)"] - (
            trailer["Tail drop (in)"] or 0
        ):
            continue
        for machine in hauled:
            if machine["Runs on"] != "wheels":
                continue
            live.type({"B5": trailer["Stock no."], "B6": machine["Machine"]})
            exact = ramp_clearance(
                trailer["Deck height (in)"],
                trailer["Tail drop (in)"] or 0,
                trailer["Tail length (in)"] or 0,
                trailer["Ramp length (in)"],
                *(machine[f"{key} (in)"] for key in keys),
            )
            assert 0 <= live.read("Drive-on", gap) - exact + 1e-9 <= SWEEP_TOLERANCE_IN
            touching += exact < 0
    assert touching >= 5
    live.type({"B5": "1108", "B6": "Paver 8"})


def test_a_beam_by_hand(live: Live, book: Workbook) -> None:
    # Coupler at 0, axles at 25 ft, 5,000 lb empty with 500 on the pin, 20,000 lb load; the deck begins at 6 ft.
    # Gross 25,000. The coupler holds 3,750 upright: x = 25 (500 + 20,000 - 3,750) / 20,000 = 20.9375 ft.
    # Least pin 0.10 x 25,000 = 2,500: x = 25 (20,500 - 2,500) / 20,000 = 22.5 ft. From the deck's front 14.9375 and
    # 16.5 ft: 14 ft 11 1/4 in and 16 ft 6 in. Middle 15.71875, at 21.71875 from the coupler:
    # pin 500 + 20,000 x 3.28125 / 25 = 3,125, axles 21,875.
    # Front wheels 48 in ahead of the center: 10 ft 11 1/4 in and 12 ft 6 in.
    # Truck: pin 3,125, wheelbase 150 in, hitch 45 in behind: rear + 3,125 x 1.3 = 4,062.5, front - 937.5.
    figures = {
        "hitch": "pintle",
        "empty": 5_000,
        "empty_pin": 500,
        "to_axles": 25,
        "weight": 20_000,
        "low_share": 0.10,
        "high_share": 0.15,
        "gvwr": 30_000,
        "axle_rating": 15_000,
        "suspension": 15_000,
        "tire_rating": 4_000,
        "wheel_rating": 4_000,
        "coupler": 40_000,
        "coupler_vertical": 3_750,
        "to_deck": 6,
        "deck_length": 26,
        "wheelbase": 96,
        "to_center": 48,
        "front_empty": 6_000,
        "rear_empty": 7_000,
        "truck_wheelbase": 150,
        "hitch_overhang": 45,
    }
    live.type({typed_cell(key): value for key, value in figures.items()})
    seen = {
        label: live.read("What-if", answer_cell(book, label))
        for label in (
            "Weight to spare (lb)",
            "Pin weight (lb)",
            "Weight on its axles (lb)",
            "Center from",
            "Center to",
            "Leading wheels or tracks from",
            "Leading wheels or tracks to",
            "Rear axles loaded (lb)",
            "Front axle loaded (lb)",
        )
    }
    assert list(seen.values()) == [
        5_000,
        pytest.approx(3_125),
        pytest.approx(21_875),
        "14 ft 11 in",
        "16 ft 6 in",
        "10 ft 11 in",
        "12 ft 6 in",
        pytest.approx(7_000 + 4_062.5),
        pytest.approx(6_000 - 937.5),
    ]
    assert live.read("What-if", f"J{FIGURE_ROWS['weight']}") == "TYPED"
    assert live.read("What-if", f"I{FIGURE_ROWS['weight']}") == 20_000
    assert live.read("What-if", f"G{FIGURE_ROWS['weight']}") == 15_600
    live.type({typed_cell(key): None for key in figures})
    assert live.read("What-if", f"J{FIGURE_ROWS['weight']}") == "list"


def test_a_place_typed_over_is_used_and_judged(live: Live, book: Workbook) -> None:
    # Stock no. 1108 with the paver: at the foremost place the coupler holds no more than its 6,000 lb upright; a foot
    # ahead of it rest, by the sum of moments, 15,600 x 1 / 19.6 = 796 lb more.
    edge = live.read("Drive-on", value_cell(book, "center from"))
    live.type({typed_cell("place"): repr(edge - 1)})
    assert live.read("What-if", answer_cell(book, "Pin weight (lb)", "C")) == "▲ not right"
    assert live.read("What-if", answer_cell(book, "Pin weight (lb)")) == pytest.approx(6_000 + 15_600 / 19.6)
    assert "coupler's vertical rating passed by 796 lb" in live.read("What-if", "B9")
    # A foot from the deck's front the contact, 38 in ahead of the center, stands 26 in ahead of the deck.
    live.type({typed_cell("place"): "1"})
    assert live.read("What-if", answer_cell(book, "Center sits at", "C")) == "▲ off the deck"
    assert "foremost contact stands ahead of the deck by 26.0 in" in live.read("What-if", "B9")
    live.type({typed_cell("place"): None})
    assert live.read("What-if", answer_cell(book, "Pin weight (lb)", "C")) == "ok"
    assert live.read("What-if", answer_cell(book, "Center sits at", "C")) == "ok"


def test_what_is_wrong_on_match_is_wrong_here(live: Live, book: Workbook) -> None:
    # Stock no. 1106: a rise of 23 in on 66 in of ramp, 20.4 deg; the deck is 102 in wide.
    live.type({"B5": "1106", "B6": "Roller 54", "B7": "Tandem dump 58"})
    ramp, width, gap = (
        answer_cell(book, label, "C")
        for label in ("Ramp angle, as at its foot", "Loaded width (in)", "Tightest gap (in)")
    )
    assert live.read("What-if", width) == "ok"
    live.type({typed_cell("machine_width"): "102.5"})  # 23 CFR 658.15: 102 in
    assert live.read("What-if", width) == "▲ too wide"
    live.type({typed_cell("permit"): "yes"})
    assert live.read("What-if", width) == "caution"
    # 60 in of front at 20.4 deg is 22.3 in up: 22 in strike, on wheels and on tracks, 22.5 in do not.
    live.type({typed_cell("climb"): "25", typed_cell("front_overhang"): "60", typed_cell("front_clearance"): "22"})
    assert live.read("What-if", ramp) == "▲ strikes"
    assert live.read("What-if", gap) == "▲ touches"
    live.type({typed_cell("runs_on"): "tracks"})
    assert live.read("What-if", ramp) == "▲ strikes"
    live.type({typed_cell("front_clearance"): "22.5"})
    assert live.read("What-if", ramp) == "caution"  # steep
    # A text where a figure belongs, as pasted: never right.
    live.type({typed_cell("points"): "ten"})
    assert live.read("What-if", answer_cell(book, "Tie-downs needed", "C")) == "not checked"
    keys = ("machine_width", "permit", "climb", "front_overhang", "front_clearance", "runs_on", "points")
    live.type({typed_cell(key): None for key in keys} | {"B5": "1108", "B6": "Paver 8"})


def test_a_deck_too_short_is_said_though_the_place_is_not_known(live: Live, book: Workbook) -> None:
    # The roller's wheelbase is 100 in, the deck 60.
    at, short = answer_cell(book, "Center from", "C"), "deck too short for its wheelbase or tracks by 40.0 in"
    live.type({typed_cell("deck_length"): "5", "B6": "Roller 54"})
    assert live.read("What-if", at) == "▲ no place"
    assert short in live.read("What-if", "B9")
    said = live.read("What-if", answer_cell(book, "Pin weight (lb)", "D"))
    assert said == "No place for its center: see Why not, above."
    live.type({"B5": "1123"})  # no empty pin stated
    assert live.read("What-if", at) == "▲ no place"
    assert live.read("What-if", "B9") == short
    live.type({typed_cell("deck_length"): None, "B5": "1108", "B6": "Paver 8"})


def test_conflicts_of_the_lot_are_a_caution(live: Live, book: Workbook) -> None:
    # From the demo yard: 1108's suspension is rated 11,000 lb an axle, its axles 12,000; 1105 agrees with itself.
    cells = [answer_cell(book, "Conflicts on the Lot", column) for column in "BCD"]
    said = {}
    for stock in ("1108", "1105", ""):
        live.type({"B5": stock})
        said[stock] = [live.read("What-if", cell) for cell in cells]
    live.type({"B5": "1108"})
    assert said["1108"] == ["▲ 1", "", "Suspension short by 1,000 lb"]
    assert said["1105"] == ["none", "", "Sticker and parts agree, as far as they are stated."]
    assert said[""] == ["-", "", "No trailer of the Lot is chosen."]


def test_a_metric_workbook_answers_the_same(live: Live, book: Workbook, tmp_path: Path) -> None:
    # The same figures in kilograms, millimeters and meters: 0.45359237 kg, 25.4 mm, 0.3048 m, exact (NIST SP 811).
    path = tmp_path / "metric.xlsx"
    workbook.write_new(path, METRIC)
    metric_book = openpyxl.load_workbook(path)
    metric = Live(path)
    factors = {"{weight}": 0.45359237, "{short}": 25.4, "{long}": 0.3048}
    typed: dict[str, object] = {}
    for figure in what_if_rows.FIGURES:
        unit = next((f for mark, f in factors.items() if mark in (figure.label or figure.heading)), None)
        value = live.read("What-if", f"I{FIGURE_ROWS[figure.key]}")
        if figure.key != "place" and figure.kind != "derived" and value != "":
            typed[typed_cell(figure.key)] = value if unit is None else repr(value * unit)
    metric.type(typed)
    compared = 0
    for row in range(what_if_rows.FIRST_ROW, what_if_rows.FIRST_ROW + 30):
        label = str(book["What-if"][f"A{row}"].value or "")
        # Conflicts are those of the trailer chosen from the list, and here none is.
        if live.read("What-if", f"C{row}") in ("", None) or label == "Conflicts on the Lot":
            continue
        factor = next((f for mark, f in (("(lb)", 0.45359237), ("(in)", 25.4)) if mark in label), 1.0)
        assert metric.read("What-if", f"C{row}") == live.read("What-if", f"C{row}"), label
        ours, theirs = (one.read("What-if", f"B{row}") for one in (live, metric))
        if isinstance(ours, float):
            assert theirs == pytest.approx(ours * factor, rel=1e-7, abs=1e-7), label
            compared += 1
    assert compared >= 12
    assert str(metric.read("What-if", answer_cell(metric_book, "Center from"))).endswith(" m")


def test_what_lacks_is_said_and_never_called_right(live: Live, book: Workbook) -> None:
    live.type({"B5": "1122", "B6": "Roller 54", "B7": "Road tractor 52"})
    assert live.read("What-if", "B8") == "NOT SURE"
    assert "coupler to axles" in live.read("What-if", "B10")
    assert live.read("What-if", f"J{FIGURE_ROWS['to_axles']}") == "missing"
    assert live.read("What-if", answer_cell(book, "Pin weight (lb)", "D")) == OPEN
    live.type(
        {"B5": "1103", "B6": "Skid loader 65", "B7": "Flatbed 55"}
    )  # a tilting deck: no tail, a ramp that is no ramp
    assert live.read("What-if", "B8") in ("NO", "NOT SURE")
    live.type({"B5": "no such", "B6": "Paver *"})
    assert live.read("What-if", "D5") == "▲ not on the Lot sheet"
    assert live.read("What-if", "D6") == "▲ not on the Machines sheet"
    live.type({"B5": "1108", "B6": "Paver 8"})
    live.type({typed_cell("tail_drop"): "40"})  # more than the deck is high
    assert live.read("What-if", answer_cell(book, "Tightest gap (in)", "D")) == OPEN
    live.type({typed_cell("tail_drop"): None, typed_cell("empty_pin"): "99999"})
    assert live.read("What-if", answer_cell(book, "Pin weight (lb)", "D")) == OPEN
    assert live.read("What-if", answer_cell(book, "Center from", "C")) == "not checked"
    assert live.read("What-if", "B8") in ("NO", "NOT SURE")
    live.type({typed_cell("empty_pin"): None})


def test_every_figure_that_may_be_typed_over_is_read_by_a_rule() -> None:
    unread = [figure.key for figure in what_if_rows.FIGURES if figure.key not in what_if_rows.ASKED]
    assert unread == [figure.key for figure in what_if_rows.FIGURES if figure.kind == "derived"] == ["axle_group"]


def test_the_axle_groups_rating_follows_its_parts_and_is_not_typed_over(demo_workbook: Path, office: Office) -> None:
    """1109 has 2 axles: with 5,000 lb typed for each 2 x 5,000 = 10,000 lb carry what is more than 20,000 lb."""
    group, each = typed_cell("axle_group"), typed_cell("axle_rating")
    chosen: dict[str, Value] = {"B5": "1109", "B6": "Backhoe 15", "B7": "Tandem dump 58"}
    typed: list[dict[str, Value]] = [{}, *({group: one} for one in (10_000.0, 0.0, "word", "=1/0"))]
    typed += [{group: None, each: 5_000.0}]
    rounds = [{f"What-if!{cell}": value for cell, value in (chosen | one).items()} for one in typed]
    row = group.removeprefix("H")
    reads = [f"What-if!{cell}" for cell in ("B8", "B10", f"I{row}", f"J{row}")] + [CARD_VERDICT]
    plain, *marked, parts = office.edit_and_read_often(demo_workbook, rounds, reads)
    assert plain == ["YES", "nothing", 28_800.0, "follows", "YES"]  # 2 x 4 wheels of 3,600
    for said in marked:
        assert said[0] == said[-1] == "NOT SURE"
        assert "Axle group is not typed over" in str(said[1])
        assert said[2:4] == [28_800.0, "NOT USED"]
    assert (parts[0], parts[2], parts[3]) == ("NO", 10_000.0, "follows")
