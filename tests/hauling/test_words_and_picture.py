"""Words and picture of a drive-on name the same thing: over the demo yard, and over figures typed over by chance.

Read are the answers, the caption and the drawn points of What-if, as a person sees them; the drawing is looked at by
shapely, a general geometry library.
"""

from __future__ import annotations

import random
import re
from collections.abc import Iterator
from functools import cache
from typing import Any

import pytest
from shapely.geometry import LineString, Point

from tarelot.calc.cells.worked_out import WorkedOut
from tarelot.workbook_templates.basis.units import US
from tarelot.workbook_templates.hauling.results import Hauling, worked_out
from tarelot.workbook_templates.hauling.side_view.measures import LOWEST
from tarelot.workbook_templates.lot.results import lot_results
from tarelot.workbook_templates.sheets import demo_yard, machines, trucks
from tests.hauling.test_drive_on_view import drawn, machine_parts

CHANCES: dict[str, tuple[float, float]] = {
    "ramp_length": (24, 90),
    "front_clearance": (2, 20),
    "rear_clearance": (4, 20),
    "front_overhang": (0, 60),
    "clearance": (3, 16),
}
"""What is typed over by chance, between which inches."""
NOT_DRAWN = "Drawn: the gap below."


@cache
def yard() -> list[dict[str, Any]]:
    rows = demo_yard.trailers()
    found = lot_results(rows, [*demo_yard.options()], US, None)
    return [{**row, **result} for row, result in zip(rows, found, strict=True)]


def shown(trailer: dict[str, Any], machine: dict[str, Any], typed: dict[str, Any]) -> WorkedOut:
    choices = (trailer["Stock no."], machine["Machine"], None)
    return worked_out([trailer, {}], Hauling([machine, {}], [*trucks.demo_rows()], choices, typed), US)


def demo_cases() -> Iterator[WorkedOut]:
    for number, trailer in enumerate(yard()):
        for machine in machines.demo_rows()[number % 2 :: 2]:
            yield shown(trailer, dict(machine), {"direction": "backward" if number % 3 == 0 else "forward"})


def random_cases(count: int) -> Iterator[WorkedOut]:
    chance = random.Random("words and picture")
    for _ in range(count):
        typed: dict[str, Any] = {"direction": chance.choice(("forward", "backward"))}
        for key, ends in CHANCES.items():
            if chance.random() < 0.4:
                typed[key] = round(chance.uniform(*ends), 1)
        yield shown(chance.choice(yard()), dict(chance.choice(machines.demo_rows())), typed)


@pytest.mark.parametrize("kind", ["demo", "chance"])
def test_what_the_answers_name_is_what_is_drawn(kind: str) -> None:
    seen: dict[str, int] = {}
    for cells in demo_cases() if kind == "demo" else random_cases(120):
        if cells["draw_drive_on"] != 1:
            continue
        said = name_the_same(cells)
        seen[said] = seen.get(said, 0) + 1
    assert {"touches", "tightest", "strikes", "tips over"} <= set(seen), seen
    assert min(seen.values()) >= 3, seen


def name_the_same(cells: WorkedOut) -> str:
    """Hold the words of a case against its picture; what the picture's label says."""
    caption, label, note = (str(cells[key]) for key in ("shown caption_tight", "label_tight", "ramp_angle note"))
    where, gap = str(cells["where"]), cells["gap answer"]
    assert where in caption
    if cells["wheels"] == 1:
        assert isinstance(gap, float)
        assert label == ("touches" if gap < 0 else "tightest")
        assert str(cells["gap note"]).startswith(where)
        assert f"{abs(gap):.1f} in" in caption
    struck = re.match(r"Its (leading|trailing) end strikes", note)
    if struck:
        assert "▲" in str(cells["ramp_angle verdict"])
        first = ("rear", "front") if cells["direction"] == "backward" else ("front", "rear")
        end = first[struck[1] == "trailing"]
        is_drawn = where.startswith(f"{end} overhang at ")
        assert is_drawn != (NOT_DRAWN in note), (note, where)
        assert is_drawn or cells["wheels"] == 1  # only a gap that is tighter still is shown instead
    else:
        assert label != "strikes"
    if label == "tips over":
        assert where.startswith("tips over ")
    else:
        hold_against_the_drawing(cells, where)
    return label


def hold_against_the_drawing(cells: WorkedOut, where: str) -> None:
    """The marked spot lies below the part that the words name, by the amount that the caption says."""
    canvas = drawn(cells, US)
    if min(y for _, y in canvas["body, tight"]) <= LOWEST:
        return  # cut off
    part = re.split(" at | on level", where)[0]
    (spot,) = canvas["tightest"]
    amount = re.search(r"([0-9.]+) in, ", str(cells["caption_tight"]))
    assert amount, cells["caption_tight"]
    apart = LineString(machine_parts(canvas)[part]).distance(Point(spot)) / float(str(cells["scale"]))
    assert apart == pytest.approx(float(amount[1]), abs=0.051), (where, cells["caption_tight"])  # it says tenths
