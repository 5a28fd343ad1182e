"""A wheeled machine driving onto a trailer, seen from the side: where its underside comes closest.

The model, as it is stated wherever a gap is shown: level ground; the ramp's foot on the ground and its head at the
tail's end; the tail up to the level deck. The machine drives on forward. Its two wheel contacts are points on that
profile, a straight ``wheelbase`` apart. The belly is flat at the ground clearance between them, parallel to the line
through the contacts; each overhang is flat at its own clearance. A gap is measured square to that line. Springs, tires,
sinking ramps and the wheels' own size are left out.

How the least gap is found exactly. On a profile of straight pieces a gap is least at a break under the belly or an
overhang, or at an overhang's tip. While the contacts stay on the same two pieces, everything depends on the tilt p of
the line through them: with O where the two pieces' lines meet, at angles a (rear) and b (front), the rear contact is
O + t (cos a, sin a), t = L sin(b - p) / sin(a - b). So the least gap lies where a contact meets a break, where a tip
passes one, or where a gap's slope by the tilt is zero; only those places are looked at.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass

FOOT, RAMP_TOP, TAIL_TOP, LEVEL = "the ramp's foot", "the ramp's top", "the tail's top", "level ground"
BELLY, FRONT, REAR = "belly", "front overhang", "rear overhang"
STRAIGHT = 1e-6
"""Radians: a break flatter than that is none; over 100 in it lifts the belly by less than a thousandth of an inch."""
SAME_GAP = 1e-9
"""Share of the wheelbase by which a gap must be less than another to count as the tighter place."""
STEPS = 4
"""Parts of a piece searched for a change of sign; 1 was enough on 80,000 random drive-ons, 16 found nothing more."""


@dataclass(frozen=True)
class Profile:
    """Ground, ramp, tail and deck as straight pieces.

    Attributes:
        breaks: Points (x, y) where the slope changes, from the ground up; x is 0 at the ramp's foot.
        places: The name of each.
        angles: Slope of each piece in radians, one more than breaks; the first and last are level.
    """

    breaks: tuple[tuple[float, float], ...]
    places: tuple[str, ...]
    angles: tuple[float, ...]


@dataclass(frozen=True)
class Machine:
    """A wheeled machine from the side, lengths in one unit; an overhang of 0 is none."""

    wheelbase: float
    ground_clearance: float
    front_overhang: float = 0.0
    front_clearance: float = 0.0
    rear_overhang: float = 0.0
    rear_clearance: float = 0.0

    @property
    def clearances(self) -> Iterator[tuple[float, str]]:
        """Clearance on the level of each part that there is, with the part's name."""
        yield self.ground_clearance, BELLY
        if self.front_overhang:
            yield self.front_clearance, FRONT
        if self.rear_overhang:
            yield self.rear_clearance, REAR


@dataclass(frozen=True)
class Stance:
    """The machine at one place of the drive-on: on which pieces its contacts stand, and how it is tilted.

    Attributes:
        rear_piece, front_piece: Indices of the pieces under the contacts.
        x, y: The rear contact.
        tilt: Angle of the line through the contacts, radians.
    """

    rear_piece: int
    front_piece: int
    x: float
    y: float
    tilt: float

    def front_contact(self, wheelbase: float) -> tuple[float, float]:
        """The front contact."""
        return self.x + wheelbase * math.cos(self.tilt), self.y + wheelbase * math.sin(self.tilt)


@dataclass(frozen=True)
class Gap:
    """A gap, which part of the machine it is under, and at which place of the profile."""

    size: float
    part: str
    place: str

    @property
    def preposition(self) -> str:
        """How its place joins on in words."""
        return "on" if self.place == LEVEL else "at"


def profile(deck_height: float, tail_drop: float, tail_length: float, ramp_length: float) -> Profile:
    """The profile of a trailer with its ramp down; breaks too flat to matter are left out.

    >>> profile(35, 0, 0, 70).places
    ("the ramp's foot", "the ramp's top")
    """
    slopes = (
        math.asin((deck_height - tail_drop) / ramp_length),
        math.asin(tail_drop / tail_length) if tail_length else 0,
    )
    ramp, tail = (slope if slope >= STRAIGHT else 0.0 for slope in slopes)
    ramp_end = (ramp_length * math.cos(ramp), deck_height - tail_drop)
    corners = [(FOOT, ramp, (0.0, 0.0)), (RAMP_TOP, tail, ramp_end)]
    if tail_length:
        corners.append((TAIL_TOP, 0.0, (ramp_end[0] + tail_length * math.cos(tail), float(deck_height))))
    angles, kept = [0.0], []
    for place, angle, point in corners:
        if abs(angle - angles[-1]) >= STRAIGHT:
            kept.append((place, point))
            angles.append(angle)
    return Profile(tuple(point for _, point in kept), tuple(place for place, _ in kept), tuple(angles))


def tightest(ground: Profile, machine: Machine) -> Gap:
    """The least gap of the whole drive-on; of equal ones the first, on the level ground before it.

    >>> tightest(profile(35, 0, 0, 70), Machine(100, 20)).place
    "the ramp's top"
    """
    level, part = min(machine.clearances, key=lambda clearance: clearance[0])
    best = Gap(level, part, LEVEL)
    for stance in critical_stances(ground, machine):
        for gap in gaps(ground, machine, stance):
            if gap[0] < best.size - SAME_GAP * machine.wheelbase:
                best = Gap(*gap)
    return best


def gaps(ground: Profile, machine: Machine, stance: Stance) -> list[tuple[float, str, str]]:
    """The gaps that can be least in one stance: at each break under the machine and at each overhang's tip."""
    cosine, sine = math.cos(stance.tilt), math.sin(stance.tilt)
    front_reach, rear_reach = machine.wheelbase + machine.front_overhang, -machine.rear_overhang
    found = []
    front_from, front_piece = (machine.wheelbase, 0.0), stance.front_piece
    rear_from, rear_piece = (0.0, 0.0), stance.rear_piece
    for place, (x, y) in enumerate(ground.breaks):
        right, up = x - stance.x, y - stance.y
        along, height = right * cosine + up * sine, up * cosine - right * sine
        if place < stance.rear_piece:
            if machine.rear_overhang and along >= rear_reach:
                found.append((machine.rear_clearance - height, REAR, ground.places[place]))
                if place < rear_piece:
                    rear_from, rear_piece = (along, height), place
        elif place < stance.front_piece:
            found.append((machine.ground_clearance - height, BELLY, ground.places[place]))
        elif machine.front_overhang and along <= front_reach:
            found.append((machine.front_clearance - height, FRONT, ground.places[place]))
            front_from, front_piece = (along, height), place + 1
    if machine.front_overhang and front_piece > 0:
        tip = front_from[1] + (front_reach - front_from[0]) * math.tan(ground.angles[front_piece] - stance.tilt)
        found.append((machine.front_clearance - tip, FRONT, ground.places[front_piece - 1]))
    if machine.rear_overhang and rear_piece < len(ground.breaks):
        tip = rear_from[1] + (rear_reach - rear_from[0]) * math.tan(ground.angles[rear_piece] - stance.tilt)
        found.append((machine.rear_clearance - tip, REAR, ground.places[rear_piece]))
    return found


def critical_stances(ground: Profile, machine: Machine) -> Iterator[Stance]:
    """Every stance in which a gap can be least, in the order of the drive-on, up to the rear contact on the deck."""
    before: Stance | None = None
    for stance in meeting_stances(ground, machine.wheelbase):
        if before is not None and stance.rear_piece < stance.front_piece:
            yield from _turning_stances(ground, machine, before, stance)
        yield stance
        before = stance


def meeting_stances(ground: Profile, wheelbase: float) -> list[Stance]:
    """The stances in which a contact meets a break, in order; the pieces are those on which the contacts came there."""
    met = sorted(
        (
            (*contacts, is_rear)
            for place in range(len(ground.breaks))
            for contacts, is_rear in (
                (_front_on(ground, wheelbase, place), False),
                (_rear_on(ground, wheelbase, place), True),
            )
        ),
        key=lambda contacts: contacts[0],
    )
    stances, rear_piece, front_piece = [], 0, 0
    for x, y, tilt, is_rear in met:
        stances.append(Stance(rear_piece, front_piece, x, y, tilt))
        rear_piece, front_piece = rear_piece + is_rear, front_piece + (not is_rear)
    return stances


def stance_at(ground: Profile, wheelbase: float, x: float) -> Stance:
    """The stance with the rear contact at ``x`` along the level, 0 at the ramp's foot."""
    piece = sum(point[0] <= x for point in ground.breaks)
    start_x, start_y = ground.breaks[max(0, piece - 1)] if ground.breaks else (0.0, 0.0)
    y = start_y + (x - start_x) * math.tan(ground.angles[piece])
    tilt, front_piece = _ahead(ground, wheelbase, (x, y), piece)
    return Stance(piece, front_piece, x, y, tilt)


def _rear_on(ground: Profile, wheelbase: float, place: int) -> tuple[float, float, float]:
    """Rear contact and tilt with the rear contact on a break."""
    x, y = ground.breaks[place]
    return x, y, _ahead(ground, wheelbase, (x, y), place + 1)[0]


def _front_on(ground: Profile, wheelbase: float, place: int) -> tuple[float, float, float]:
    """Rear contact and tilt with the front contact on a break."""
    front_x, front_y = ground.breaks[place]
    piece = place
    while piece > 0 and math.dist(ground.breaks[piece - 1], (front_x, front_y)) < wheelbase:
        piece -= 1
    end_x, end_y = ground.breaks[piece]
    cosine, sine = math.cos(ground.angles[piece]), math.sin(ground.angles[piece])
    back = _reach(front_x - end_x, front_y - end_y, -cosine, -sine, wheelbase)
    x, y = end_x - back * cosine, end_y - back * sine
    return x, y, math.atan2(front_y - y, front_x - x)


def _ahead(ground: Profile, wheelbase: float, rear: tuple[float, float], piece: int) -> tuple[float, int]:
    """Tilt, and the piece under the front contact, for a rear contact on a piece."""
    start = rear
    while piece < len(ground.breaks) and math.dist(ground.breaks[piece], rear) < wheelbase:
        start = ground.breaks[piece]
        piece += 1
    cosine, sine = math.cos(ground.angles[piece]), math.sin(ground.angles[piece])
    on = _reach(rear[0] - start[0], rear[1] - start[1], cosine, sine, wheelbase)
    return math.atan2(start[1] + on * sine - rear[1], start[0] + on * cosine - rear[0]), piece


def _reach(right: float, up: float, cosine: float, sine: float, wheelbase: float) -> float:
    """How far along a direction a point is a wheelbase away from (right, up), which lies behind."""
    along = right * cosine + up * sine
    return along + math.sqrt(max(0.0, along * along - right * right - up * up + wheelbase * wheelbase))


def _turning_stances(ground: Profile, machine: Machine, before: Stance, after: Stance) -> list[Stance]:
    """Stances between two, on the pieces of the second, where a gap may turn or a tip passes a break, in order."""
    rear, front = after.rear_piece, after.front_piece
    rear_angle, front_angle = ground.angles[rear], ground.angles[front]
    if abs(rear_angle - front_angle) < STRAIGHT:
        return []  # from ground to deck the machine only shifts, and every gap changes evenly
    ((rear_x, rear_y), (front_x, front_y)) = ground.breaks[rear], ground.breaks[front - 1]
    sine_between = math.sin(rear_angle - front_angle)
    across = (front_y - rear_y) * math.cos(front_angle) - (front_x - rear_x) * math.sin(front_angle)
    along = across / sine_between
    meeting = (rear_x + along * math.cos(rear_angle), rear_y + along * math.sin(rear_angle))
    pair = _Pair(rear_angle, front_angle, meeting, machine.wheelbase / sine_between)
    tilts = sorted(_turning_tilts(ground, machine, pair, (rear, front), (before.tilt, after.tilt)))
    if after.tilt < before.tilt:
        tilts.reverse()
    return [Stance(rear, front, *pair.rear_contact(tilt), tilt) for tilt in tilts]


@dataclass(frozen=True)
class _Pair:
    """Two pieces with a contact on each: their angles, where their lines meet, wheelbase / sin(a - b)."""

    rear_angle: float
    front_angle: float
    meeting: tuple[float, float]
    scale: float

    def rear_contact(self, tilt: float) -> tuple[float, float]:
        """The rear contact at a tilt."""
        distance = self.scale * math.sin(self.front_angle - tilt)
        return (
            self.meeting[0] + distance * math.cos(self.rear_angle),
            self.meeting[1] + distance * math.sin(self.rear_angle),
        )

    def height_slope(self, point: tuple[float, float]) -> Callable[[float], float]:
        """By the tilt: the slope of a point's height above the line through the contacts."""
        right, up = point[0] - self.meeting[0], point[1] - self.meeting[1]
        scale, angles = self.scale, self.rear_angle + self.front_angle
        return lambda tilt: scale * math.sin(angles - 2 * tilt) - right * math.cos(tilt) - up * math.sin(tilt)

    def distance_past(self, point: tuple[float, float], reach: float) -> Callable[[float], float]:
        """By the tilt: how far a point lies, along the line from the rear contact, beyond ``reach``."""
        right, up = point[0] - self.meeting[0], point[1] - self.meeting[1]
        scale, rear, front = self.scale, self.rear_angle, self.front_angle
        return lambda tilt: (
            right * math.cos(tilt)
            + up * math.sin(tilt)
            - reach
            + scale * math.sin(tilt - front) * math.cos(rear - tilt)
        )

    def tip_turn(self, point: tuple[float, float], angle: float, reach: float) -> float | None:
        """Tilt at which the height of a piece under a tip turns, for a piece through ``point`` at ``angle``.

        With q the angle less the tilt that height is (c0 + c1 cos q + c2 sin q) / cos q, which turns at
        sin q = -c2 / c0.
        """
        right, up = point[0] - self.meeting[0], point[1] - self.meeting[1]
        offset = up * math.cos(angle) - right * math.sin(angle)
        swing = reach - self.scale * math.cos(self.front_angle - angle) * math.sin(self.rear_angle - angle)
        return None if abs(swing) >= abs(offset) else angle + math.asin(swing / offset)


def _turning_tilts(
    ground: Profile, machine: Machine, pair: _Pair, pieces: tuple[int, int], ends: tuple[float, float]
) -> Iterator[float]:
    """The tilts between two where a gap may turn or a tip passes a break."""
    rear, front = pieces
    least, greatest = min(ends), max(ends)
    for place, point in enumerate(ground.breaks):
        if rear <= place < front:
            yield from _roots(pair.height_slope(point), least, greatest, STEPS)
            continue
        ahead = place >= front
        if not (machine.front_overhang if ahead else machine.rear_overhang):
            continue
        reach = machine.wheelbase + machine.front_overhang if ahead else -machine.rear_overhang
        yield from _roots(pair.height_slope(point), least, greatest, STEPS)
        yield from _roots(pair.distance_past(point, reach), least, greatest, 1)
        turn = pair.tip_turn(point, ground.angles[place + ahead], reach)
        if turn is not None and least < turn < greatest:
            yield turn


def _roots(function: Callable[[float], float], least: float, greatest: float, parts: int) -> Iterator[float]:
    """Where a smooth function is zero between two arguments, one a part at most."""
    low, at_low = least, function(least)
    for part in range(1, parts + 1):
        high = greatest if part == parts else least + (greatest - least) * part / parts
        at_high = function(high)
        if at_high == 0:
            yield high
        elif at_low * at_high < 0:
            yield _root(function, low, high, at_low, at_high)
        low, at_low = high, at_high


def _root(function: Callable[[float], float], low: float, high: float, at_low: float, at_high: float) -> float:
    """The zero between two arguments whose values differ in sign: false position, halving a value kept twice."""
    middle = low
    for _ in range(60):
        middle = high - at_high * (high - low) / (at_high - at_low)
        value = function(middle)
        if value == 0 or abs(high - low) < 1e-12:
            break
        if value * at_high < 0:
            low, at_low = high, at_high
        else:
            at_low /= 2
        if abs(middle - high) < 1e-10:
            break
        high, at_high = middle, value
    return middle
