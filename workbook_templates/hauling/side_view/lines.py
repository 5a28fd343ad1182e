"""Every line of the side view. What nobody measures (frame, neck, wheels, the machine's body) is sketched."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache
from typing import Literal

from tarelot.calc.cells.expression import Cell, Constant, Expression, Given, lift
from tarelot.calc.cells.spreadsheet import IF, ISNUMBER, MAX, MIN, N
from tarelot.calc.rules.aboard.items import NUMBERS
from tarelot.workbook_templates.basis import style
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling.drive_on.tightest import WHEELS
from tarelot.workbook_templates.hauling.side_view import items
from tarelot.workbook_templates.hauling.side_view.measures import (
    ARROW,
    BAND_ROW,
    BODY,
    BOTTOM_ROW,
    CENTER_X,
    DECK_END_X,
    DECK_UP,
    DECK_X,
    DRAW,
    DRAW_DRIVE_ON,
    DRAW_MACHINE,
    FOOT_X,
    GEAR,
    GROUND,
    LENGTH,
    LOWEST,
    NECK_BOTTOM,
    NECK_TOP,
    ROOF,
    SCALE,
    TAIL_UP,
    TAIL_X,
    TIGHT_HALF,
    TOP_ROW,
    WIDE,
    Point,
    across,
    bar_length,
    placed,
    resting,
    tilted,
)

OUTSIDE = -99.0
"""Where points stand that are not to be seen: left of the axes."""
BLUE, DARK, ORANGE, GRAY, BROWN, PURPLE = "2F6F8F", style.INK, "B3540A", "8FA0AB", "6B4A2B", "6A4A8C"
CIRCLE = 16
"""Points of a circle."""
RUNGS = 6
RAMP_DEEP, TOE = 6, 6
"""How deep a ramp is at its top, and how far from its foot the lower edge ends, in inches."""
AXLES = 3
"""Wheels drawn at most."""
Place = tuple[Given, Given]
Stance = Callable[[Expression, Given], tuple[Expression, Given]]


@dataclass(frozen=True)
class Line:
    """One line of the drawing.

    Attributes:
        key: Its name in the keys of its points.
        points: x and y on the canvas.
        color: Its color.
        width: Width in points; 0 for a label or a marker alone.
        dash: Kind of dash, or none.
        marker: Symbol, or none.
        label: Key of the words that stand centered on its first point, if any.
    """

    key: str
    points: Sequence[Point]
    color: str
    width: float = 0
    dash: Literal["", "sysDash", "sysDot"] = ""
    marker: Literal["none", "diamond", "triangle"] = "none"
    label: str | None = None


def point_key(line: Line, axis: Literal["x", "y"], number: int) -> str:
    """The key of a point's x or y."""
    return f"{line.key} {axis}@{number}"


@cache
def points(units: Units) -> dict[str, Expression]:
    """Every x and y of the drawing by key."""
    return {
        point_key(line, axis, number): value  # type: ignore[arg-type]
        for line in lines(units)
        for number, point in enumerate(line.points)
        for axis, value in zip("xy", point, strict=True)
    }


@cache
def lines(units: Units) -> tuple[Line, ...]:
    """Every line, what stands behind first."""
    return (
        Line("ground", [(Constant(0), Constant(GROUND)), (Constant(WIDE), Constant(GROUND))], GRAY, 2.25),
        *_trailer(units),
        *_items(),
        *_machine("rest", resting, DRAW_MACHINE, Line("", (), DARK, 2)),
        *_machine("tight", tilted, DRAW_DRIVE_ON, Line("", (), ORANGE, 1.25, "sysDash")),
        *_center(units),
        *_front(),
        *_tightest(),
        *_scale(units),
    )


def _on_canvas(places: Sequence[tuple[Expression, Given]]) -> list[Point]:
    return [placed(x, y) for x, y in places]


def _if_drawn(switch: Expression, shown: Sequence[Point]) -> list[Point]:
    """The points, left of the axes unless a switch is 1."""
    return [(IF(switch.equals(1), x, OUTSIDE), y) for x, y in shown]


def _trailer(units: Units) -> Iterator[Line]:
    """Hitch, frame, deck with its tail, ramp and wheels."""
    inch = units.short_per_inch
    frame = DECK_UP - MIN(9 * inch, 0.3 * DECK_UP)
    yield Line("hitch", _on_canvas(_hitch(frame, inch)), BROWN, 1.5)
    under = [(DECK_X, DECK_UP), (DECK_X, frame), (DECK_END_X, frame), (TAIL_X, MAX(0, TAIL_UP - 2 * inch))]
    yield Line("frame", _on_canvas([*under, (TAIL_X, TAIL_UP)]), BROWN, 1.5)
    top = [(DECK_X, DECK_UP), (DECK_END_X, DECK_UP), (TAIL_X, TAIL_UP)]
    yield Line("deck and tail", _on_canvas(top), BROWN, 4)
    hinge = _on_canvas([(DECK_END_X, DECK_UP), (DECK_END_X, frame)])
    yield Line("tail hinge", _if_drawn(Cell("draw_tail"), hinge), BROWN, 1.5)
    below = MAX(0, TAIL_UP - RAMP_DEEP * inch)
    ramp = _on_canvas([(FOOT_X, 0), (TAIL_X, TAIL_UP), (TAIL_X, below), (FOOT_X - TOE * inch, 0), (FOOT_X, 0)])
    yield Line("ramp", _if_drawn(Cell("draw_ramp"), ramp), BROWN, 2)
    yield Line("rungs", _if_drawn(Cell("draw_ramp"), _on_canvas(list(_rungs(below, inch)))), BROWN, 1)
    wheel, to_axles, count = Cell("trailer_wheel"), Cell("to_axles"), MIN(AXLES, MAX(1, N(Cell("axles"))))
    radius = IF(ISNUMBER(to_axles), wheel, 0)
    for axle in range(AXLES):
        x = N(to_axles) * units.short_per_long + (MIN(axle, count - 1) - (count - 1) / 2) * 2.2 * wheel
        yield Line(f"axle {axle + 1}", _on_canvas([(x + a, radius + h) for a, h in _circle(radius)]), BROWN, 1.5)


def _hitch(frame: Expression, inch: float) -> list[tuple[Expression, Expression]]:
    """A gooseneck's neck, up from the deck's front and over to its coupler; else a drawbar."""
    coupler = 0.55 * DECK_UP
    neck: tuple[Place, ...] = (
        (DECK_X, frame),
        (DECK_X, NECK_TOP),
        (-4 * inch, NECK_TOP),
        (-4 * inch, NECK_BOTTOM - 8 * inch),
        (4 * inch, NECK_BOTTOM - 8 * inch),
        (4 * inch, NECK_BOTTOM),
        (DECK_X - 12 * inch, NECK_BOTTOM),
        (DECK_X - 12 * inch, frame),
        (DECK_X, frame),
    )
    drawbar: tuple[Place, ...] = (
        (DECK_X, DECK_UP),
        (DECK_X, DECK_UP),
        (0.8 * DECK_X, coupler + 2 * inch),
        (0, coupler + 2 * inch),
        (0, coupler - 2 * inch),
        (0.8 * DECK_X, coupler - 2 * inch),
        (DECK_X, frame),
        (DECK_X, frame),
        (DECK_X, DECK_UP),
    )
    is_neck = Cell("neck").equals(1)
    return [(IF(is_neck, a, c), IF(is_neck, b, d)) for (a, b), (c, d) in zip(neck, drawbar, strict=True)]


def _rungs(below: Expression, inch: float) -> Iterator[tuple[Expression, Expression]]:
    """Down the ramp between its upper and its lower edge, to and fro."""
    for number in range(2 * RUNGS + 1):
        share = number / (2 * RUNGS)
        if number % 2 == 0:
            yield TAIL_X + (FOOT_X - TAIL_X) * share, TAIL_UP * (1 - share)
        else:
            yield TAIL_X + (FOOT_X - TOE * inch - TAIL_X) * share, below * (1 - share)


def _machine(stance: str, place: Stance, switch: Expression, look: Line) -> Iterator[Line]:
    """The machine's outline, wheels or tracks, from its own rear contact to its front, turned as it goes."""
    front, rear = (N(Cell(f"{end}_overhang")) for end in ("front", "rear"))
    belly = N(Cell("clearance"))
    low_front, low_rear = (
        IF(over > 0, N(Cell(f"{end}_clearance")), belly) for end, over in (("front", front), ("rear", rear))
    )
    body: tuple[Place, ...] = (
        (0 - rear, low_rear),
        (0 - rear, BODY),
        (0.3 * LENGTH, BODY),
        (0.34 * LENGTH, ROOF),
        (0.68 * LENGTH, ROOF),
        (0.72 * LENGTH, BODY),
        (LENGTH + front, BODY),
        (LENGTH + front, low_front),
        (LENGTH, low_front),
        (LENGTH, belly),
        (0, belly),
        (0, low_rear),
        (0 - rear, low_rear),
    )
    on_tracks = IF(WHEELS.equals(1), 0, 1)
    parts: dict[str, Sequence[Place]] = {
        "body": body,
        "rear wheel": [(a, GEAR + h) for a, h in _circle(GEAR)],
        "front wheel": [(LENGTH + a, GEAR + h) for a, h in _circle(GEAR)],
        "tracks": _belt(on_tracks * LENGTH, on_tracks * GEAR),
    }
    for name, outline in parts.items():
        turned = [place(Cell("faces_from") + Cell("faces") * along, up) for along, up in outline]
        seen = [(x, MAX(LOWEST, y)) for x, y in _on_canvas(turned)]
        yield replace(look, key=f"{name}, {stance}", points=_if_drawn(switch, seen))


def _belt(length: Expression, radius: Expression) -> list[tuple[Expression, Expression]]:
    """Around two wheels, ``length`` apart."""
    turns = [math.pi * (step / (CIRCLE / 2) - 0.5) for step in range(CIRCLE // 2 + 1)]
    ends = [(round(math.cos(turn), 9), round(math.sin(turn), 9)) for turn in turns]
    front = [(length + radius * cosine, radius + radius * sine) for cosine, sine in ends]
    rear = [(0 - radius * cosine, radius - radius * sine) for cosine, sine in ends]
    return [*front, *rear, front[0]]


def _circle(radius: Expression) -> list[tuple[Expression, Expression]]:
    """A closed circle of a few points around 0."""
    turns = [2 * math.pi * step / CIRCLE for step in range(CIRCLE + 1)]
    return [(radius * round(math.cos(turn), 9), radius * round(math.sin(turn), 9)) for turn in turns]


def _items() -> Iterator[Line]:
    """What is also aboard; those on the machine turn and stand with it."""
    for number in NUMBERS:
        shown = items.switch(number)
        yield Line(f"item {number}", _if_drawn(shown, _on_canvas(items.corners(number))), PURPLE, 1.75)
        at = _on_canvas([items.number_place(number)])
        seen = IF(Cell(f"label_item_{number}").equals(""), 0, 1)
        yield Line(f"label item {number}", _if_drawn(seen, at), PURPLE, label=f"label_item_{number}")


def _center(units: Units) -> Iterator[Line]:
    """Where its center of gravity is, and where it may be: a band below the ground."""
    low, high = (across(DECK_X + units.short_per_long * N(Cell(f"center_{end}"))) for end in ("from", "to"))
    row, draw_band = Constant(BAND_ROW), Cell("draw_band")
    middle = DECK_UP + 0.45 * BODY
    x, y = placed(CENTER_X, middle)
    yield Line("band", _if_drawn(draw_band, [(low, row), (high, row)]), BLUE, 6)
    yield Line("center line", _if_drawn(DRAW_MACHINE, [(x, Constant(BOTTOM_ROW + 1)), (x, y)]), BLUE, 1, "sysDot")
    yield Line("center", _if_drawn(DRAW_MACHINE, [(x, y)]), BLUE, marker="diamond")
    yield _label("band", Cell("band_label_x"), BAND_ROW, BLUE, draw_band)
    yield _label("center", x, BOTTOM_ROW, BLUE, DRAW_MACHINE)


def _label(name: str, x: Expression, row: float, color: str, switch: Expression) -> Line:
    """The words of a key ``label_...``, alone in their row."""
    return Line(f"label {name}", _if_drawn(switch, [(x, Constant(row))]), color, label=f"label_{name}")


def _front() -> Iterator[Line]:
    """The arrow above the machine on the deck, to its front."""
    tip = Cell("front_tip")
    yield Line("arrow to front", _if_drawn(DRAW_MACHINE, _arrow(tip, Cell("faces"))), DARK, 1.5)
    yield _label("front", Cell("front_label_x"), TOP_ROW, DARK, DRAW_MACHINE)


def _arrow(tip: Expression, back: Given) -> list[Point]:
    """An arrow in the upper row, its shaft to the right of the tip, or with -1 to the left."""
    outline = ((ARROW, 0), (0, 0), (1.2, 0.45), (0, 0), (1.2, -0.45))
    return [(tip + lift(back) * along if along else tip, Constant(TOP_ROW + up)) for along, up in outline]


def _tightest() -> Iterator[Line]:
    """The place that is spoken of, the way that the machine goes, and a thin line from the place up to the words."""
    x, y = placed(*tilted(Cell("spot_along"), Cell("spot_up")))
    label_x, left = Cell("tight_label_x"), Cell("tight_x") - TIGHT_HALF
    leader = [(x, y), (label_x, Constant(TOP_ROW - 1))]
    yield Line("to tightest", _if_drawn(DRAW_DRIVE_ON, leader), ORANGE, 0.75, "sysDot")
    yield Line("tightest", _if_drawn(DRAW_DRIVE_ON, [(x, y)]), ORANGE, marker="triangle")
    yield Line("arrow of the way on", _if_drawn(DRAW_DRIVE_ON, _arrow(left, 1)), ORANGE, 1.5)
    yield _label("way", Cell("way_label_x"), TOP_ROW, ORANGE, DRAW_DRIVE_ON)
    yield _label("tight", label_x, TOP_ROW, ORANGE, DRAW_DRIVE_ON)


def _scale(units: Units) -> Iterator[Line]:
    """A bar of a round length."""
    start, row = Cell("bar_x"), lift(BOTTOM_ROW)
    bar = [(start, row), (start + SCALE * bar_length(units), row)]
    yield Line("scale", _if_drawn(DRAW, bar), DARK, 1.5)
    yield _label("scale", Cell("bar_label_x"), BOTTOM_ROW, DARK, DRAW)
