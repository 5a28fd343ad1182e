"""The side view: it shows the place that the words name, all of it on the canvas, and no label over the drawing.

The drawn points are looked at by shapely, a general geometry library, as a person would look at the picture.
"""

from __future__ import annotations

import math
import random
from collections.abc import Iterator

import pytest
from shapely.geometry import LineString, Point, box

from tarelot.calc.cells.worked_out import WorkedOut
from tarelot.calc.rules.hauling_figures import over
from tarelot.workbook_templates.basis.units import METRIC, US, Units
from tarelot.workbook_templates.hauling.drive_on import sheet as drive_on
from tarelot.workbook_templates.hauling.side_view.lines import Line, lines, point_key
from tarelot.workbook_templates.hauling.side_view.measures import HIGH, LETTER, LOWEST, WIDE
from tests.hauling.drive_on_cases import STRIKES, Figures, random_case

LETTER_HIGH = 1.7  # 10 points, 0.353 cm, on the smaller chart, where a unit is 24.2 cm x 0.98 / 112 = 0.212 cm
EXACT = 1e-6
Canvas = dict[str, list[tuple[float, float]]]


def drawn(cells: WorkedOut, units: Units) -> Canvas:
    """The points of each line that is seen."""
    found = {}
    for line in lines(units):
        points = [(number(cells, line, "x", n), number(cells, line, "y", n)) for n in range(len(line.points))]
        if points[0][0] >= 0:
            found[line.key] = points
    return found


def number(cells: WorkedOut, line: Line, axis: str, place: int) -> float:
    value = cells[point_key(line, axis, place)]  # type: ignore[arg-type]
    assert isinstance(value, float), (line.key, value)
    return value


def cases(count: int, seed: str, units: Units = US) -> Iterator[tuple[Figures, WorkedOut]]:
    chance = random.Random(seed)
    for _ in range(count):
        figures = random_case(chance, units)
        yield figures, WorkedOut(figures, drive_on.expressions(units))


def machine_parts(canvas: Canvas) -> dict[str, LineString]:
    """The underside of each part of the machine in its tightest position, from the outline's corners."""
    body = canvas["body, tight"]
    return {
        "front overhang": LineString([body[7], body[8]]),
        "belly": LineString([body[9], body[10]]),
        "rear overhang": LineString([body[11], body[12]]),
    }


def test_the_picture_shows_the_place_that_the_words_name() -> None:
    seen = set()
    for figures, cells in cases(150, "words"):
        if cells["draw_drive_on"] != 1 or figures["runs_on"] != "wheels":
            continue
        where, canvas, scale = str(cells["where"]), drawn(cells, US), float(str(cells["scale"]))
        part, _, place = where.partition(" at ")
        seen.add(where)
        (spot,) = canvas["tightest"]
        front, top, end = canvas["deck and tail"]
        foot = canvas["ramp"][0]
        way = {"the tail's top": top, "the ramp's top": end, "the ramp's foot": foot}
        ground = (WIDE, foot[1])
        assert canvas["ground"][1] == ground
        touches = float(str(cells["least_gap"])) < 0
        assert cells["label_tight"] == ("touches" if touches else "tightest")
        if not place:
            assert where.endswith(" on level ground")
            assert spot[1] == pytest.approx(foot[1])
            part = where.removesuffix(" on level ground")
        else:
            # on the way, and on a piece that ends at the break named
            pieces = [(front, top), (top, end), (end, foot), (foot, ground)]
            beside = [LineString(piece) for piece in pieces if way[place] in piece and piece[0] != piece[1]]
            assert min(piece.distance(Point(spot)) for piece in beside) < EXACT
        if min(y for _, y in canvas["body, tight"]) <= LOWEST:
            continue  # cut off
        # as far from the underside of the part named as the words say, measured square to it
        underside = machine_parts(canvas)[part]
        (x1, y1), (x2, y2) = underside.coords
        across = ((x2 - x1) * (spot[1] - y1) - (y2 - y1) * (spot[0] - x1)) / math.hypot(x2 - x1, y2 - y1)
        assert abs(across) == pytest.approx(abs(float(str(cells["least_gap"]))) * scale, abs=EXACT)
        along = ((spot[0] - x1) * (x2 - x1) + (spot[1] - y1) * (y2 - y1)) / math.hypot(x2 - x1, y2 - y1) ** 2
        assert -EXACT <= along <= 1 + EXACT
    assert len(seen) >= 7


def test_tracks_are_drawn_tipping_over_the_break_named_or_striking_with_the_end_named() -> None:
    said = []
    for figures, cells in cases(120, "tracks"):
        if cells["draw_drive_on"] != 1 or figures["runs_on"] != "tracks":
            continue
        canvas, where = drawn(cells, US), str(cells["where"])
        (spot,) = canvas["tightest"]
        front, top, end = canvas["deck and tail"]
        foot = canvas["ramp"][0]
        amounts = [value if isinstance(value := figures[over(rule)], float) else 0.0 for rule in STRIKES]
        said.append(cells["label_tight"])
        if max(amounts) == 0:
            corner = top if where == "tips over the tail's top" else end
            assert spot == pytest.approx(corner, abs=EXACT)
            assert cells["label_tight"] == "tips over"
            continue
        # the end that the rules call lower by more; which of its own ends that is depends on the way it goes
        ends = ["rear", "front"] if figures["direction"] == "backward" else ["front", "rear"]
        part, _, place = where.partition(" overhang at ")
        assert part == ends[amounts.index(max(amounts))]
        assert cells["label_tight"] == "strikes"
        assert f"strikes by {max(amounts):.1f} in, {where}" in str(cells["caption_tight"])
        if not figures[f"{part}_overhang"]:
            continue  # an amount by chance for an end that is not there
        way = {"the tail's top": top, "the ramp's top": end, "the ramp's foot": foot}
        pieces = [(front, top), (top, end), (end, foot), (foot, (WIDE, foot[1]))]
        beside = [LineString(piece) for piece in pieces if way[place] in piece and piece[0] != piece[1]]
        assert min(piece.distance(Point(spot)) for piece in beside) < EXACT, (figures, where)
        if min(y for _, y in canvas["body, tight"]) <= LOWEST:
            continue  # cut off
        (x1, y1), (x2, y2) = machine_parts(canvas)[f"{part} overhang"].coords
        along = ((spot[0] - x1) * (x2 - x1) + (spot[1] - y1) * (y2 - y1)) / math.hypot(x2 - x1, y2 - y1) ** 2
        assert -EXACT <= along <= 1 + EXACT
    assert min(said.count(words) for words in ("strikes", "tips over")) >= 5


@pytest.mark.parametrize("direction", ["forward", "backward"])
def test_the_orange_arrow_points_the_way_that_the_machine_goes(direction: str) -> None:
    chance = random.Random(f"way {direction}")
    count = 0
    while count < 10:
        figures = {**random_case(chance, US), "direction": direction}
        cells = WorkedOut(figures, drive_on.expressions(US))
        if cells["draw_drive_on"] != 1:
            continue
        canvas = drawn(cells, US)
        tail, tip, *_ = canvas["arrow of the way on"]
        assert tip[0] < tail[0] < canvas["label way"][0][0] < canvas["label tight"][0][0]
        assert canvas["deck and tail"][0][0] < canvas["ramp"][0][0]  # the deck lies that way from the ramp's foot
        assert cells["label_way"] == ("backs on:" if direction == "backward" else "drives on:")
        count += 1


@pytest.mark.parametrize("units", [US, METRIC], ids=lambda units: units.name)
def test_all_is_on_the_canvas_and_no_label_lies_over_the_drawing(units: Units) -> None:
    count = 0
    for figures, cells in cases(80, "labels", units):
        if cells["draw"] != 1:
            continue
        canvas = drawn(cells, units)
        for key, points in canvas.items():
            assert all(0 <= x <= WIDE and 0 <= y <= HIGH for x, y in points), (key, points, figures)
        labels = {}
        for line in lines(units):
            if line.label and line.key in canvas and cells[line.label] != "":
                ((x, y),) = canvas[line.key]
                half = LETTER * len(str(cells[line.label])) / 2
                labels[line.key] = box(x - half, y - LETTER_HIGH / 2, x + half, y + LETTER_HIGH / 2)
        shapes = {key: LineString(points * 2) for key, points in canvas.items() if not key.startswith("label")}
        for key, area in labels.items():
            assert box(0, 0, WIDE, HIGH).contains(area), (key, figures)
            others = [name for name, other in {**shapes, **labels}.items() if name != key and area.intersects(other)]
            assert others == [], (key, figures)
            count += 1
    assert count > 150


def test_the_arrow_points_to_the_machines_front() -> None:
    for _, cells in cases(40, "arrow"):
        canvas = drawn(cells, US)
        if "body, rest" not in canvas:
            continue
        body, arrow = canvas["body, rest"], canvas["arrow to front"]
        front, rear = body[6][0], body[0][0]
        assert (arrow[1][0] < arrow[0][0]) == (front < rear)
        assert cells["label_front"] == "front"


def test_a_gooseneck_has_its_neck_above_the_deck_and_a_drawbar_stays_below() -> None:
    for figures, cells in cases(40, "hitch"):
        if cells["draw"] != 1:
            continue
        canvas = drawn(cells, US)
        deck = canvas["deck and tail"][0][1]
        highest = max(y for _, y in canvas["hitch"])
        assert (highest > deck + EXACT) == (figures["hitch"] == "gooseneck")
