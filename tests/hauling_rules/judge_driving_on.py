"""The independent judge's way up: slopes, what touches from moving the machine along the profile in small steps."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

from tests.hauling_rules.judge_figures import NOISE, STEPS, Figures, number


def slopes(f: Figures) -> tuple[float, float]:
    """Of ramp and tail, in degrees; a ramp that does not reach stands upright."""
    rise = f.deck_height - f.tail_drop
    ramp = math.degrees(math.asin(rise / f.ramp_length)) if rise < f.ramp_length else 90.0
    return ramp, math.degrees(math.asin(f.tail_drop / f.tail_length)) if f.tail_drop else 0.0


def steepest(f: Figures) -> float:
    return max(slopes(f))


def path(f: Figures) -> list[tuple[float, float]]:
    """Ground, ramp, tail and deck as corners."""
    rise, run = f.deck_height - f.tail_drop, math.sqrt(max(0, f.tail_length**2 - f.tail_drop**2))
    ramp = math.sqrt(f.ramp_length**2 - rise**2)
    corners = [(-2_000.0, 0.0), (0.0, 0.0), (ramp, rise)]
    if run:
        corners.append((ramp + run, f.deck_height))
    return [*corners, (corners[-1][0] + 2_000, f.deck_height)]


def height(corners: list[tuple[float, float]], x: float) -> float:
    for (left, low), (right, high) in itertools.pairwise(corners):
        if x <= right:
            return low + (high - low) * (x - left) / (right - left)
    return corners[-1][1]


def ahead_on(corners: list[tuple[float, float]], x: float, reach: float) -> float:
    """Where a second contact stands, so far ahead in a straight line."""
    y, low, high = height(corners, x), x, x + reach
    for _ in range(40):
        middle = (low + high) / 2
        if math.hypot(middle - x, height(corners, middle) - y) < reach:
            low = middle
        else:
            high = middle
    return high


def evenly(first: float, last: float, count: int) -> list[float]:
    return [first + (last - first) * step / (count - 1) for step in range(count)]


def least_gap(f: Figures, ends: tuple[float, float, float, float]) -> float:
    """The least gap found under belly and both ends over many stances, square to the line of the contacts."""
    lead, lead_gap, trail, trail_gap = ends
    corners = path(f)
    least = math.inf
    for x in (-f.wheelbase, 0.0, *evenly(-f.wheelbase - lead - 10, corners[-2][0] + trail + 10, STEPS)):
        front, y = ahead_on(corners, x, f.wheelbase), height(corners, x)
        tilt = math.atan2(height(corners, front) - y, front - x)
        cos, sin = math.cos(tilt), math.sin(tilt)
        looked_at = (*evenly(x - trail - 5, front + lead + 5, 30), front + lead * cos - NOISE, x - trail * cos + NOISE)
        seen = [*corners, *((u, height(corners, u)) for u in looked_at)]
        for px, py in seen:
            along, above = (px - x) * cos + (py - y) * sin, (py - y) * cos - (px - x) * sin
            if 0 <= along <= f.wheelbase:
                least = min(least, f.clearance - above)
            elif lead and f.wheelbase < along <= f.wheelbase + lead:
                least = min(least, lead_gap - above)
            elif trail and -trail <= along < 0:
                least = min(least, trail_gap - above)
    return least


def ends_of(f: Figures) -> tuple[float, float, float, float]:
    """Overhang and clearance of the end that goes up first, and of the other."""
    front, rear = (f.front_overhang, f.front_clearance), (f.rear_overhang, f.rear_clearance)
    front, rear = ((over, gap if over else 0.0) for over, gap in (front, rear))
    return (*rear, *front) if f.says("direction") == "backward" else (*front, *rear)


def on_the_ramps(f: Figures, slope: float, center_height: float) -> float:
    """What rests on the ramps at most, square to them: all of a tracked machine, and of one shorter than the ramp."""
    if f.says("runs_on") == "tracks" or f.wheelbase < f.ramp_length:
        return f.weight
    lower = []
    for arm in (f.to_center, f.wheelbase - f.to_center):  # moments about the upper contact
        turning = f.weight * (math.cos(slope) * arm + math.sin(slope) * center_height)
        lower.append(min(f.weight, turning / f.wheelbase))
    return max(lower)


def tracked_tilt(f: Figures) -> float:
    """The greatest tilt of tracks with their rear end on the ground: they lie on the ramp's top until they tip."""
    rise = f.deck_height - f.tail_drop
    run = math.sqrt(f.ramp_length**2 - rise**2)
    to_center = f.to_center if f.says("direction") == "backward" else f.wheelbase - f.to_center
    tips_at = math.sqrt(max(0, to_center**2 - rise**2))
    stances = (*evenly(run, run + f.wheelbase, STEPS), max(run, tips_at))
    return max(math.atan2(rise, away) for away in stances if math.hypot(away, rise) >= to_center - NOISE)


def way_up(f: Figures) -> Iterator[str]:
    ramp, tail = slopes(f)
    climb = f._given.get("climb")
    if max(ramp, tail) > 30 + NOISE or (number(climb) and 0 < climb < max(ramp, tail) - NOISE):  # type: ignore[operator]
        yield "slope"
    if on_the_ramps(f, 0, 0) > f.ramp_rating + NOISE:
        yield "ramp rating"
    if ramp < 90:
        ends = ends_of(f)
        if f.says("runs_on") == "wheels":
            if least_gap(f, ends) < -NOISE:
                yield "touches"
        else:
            lead, lead_gap, trail, trail_gap = ends
            up_tail = min(f.tail_drop, lead * math.tan(math.radians(tail - ramp)))  # where the tail is the steeper
            if max(height(path(f), lead), up_tail) > lead_gap + NOISE:
                yield "front strikes"
            tilt = max(tracked_tilt(f), math.radians(tail - ramp))
            if trail * math.tan(tilt) > trail_gap + NOISE:
                yield "rear strikes"
