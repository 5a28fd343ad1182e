"""The exact least gap of a drive-on against shapely: the machine moved along the profile in fine steps.

Shapely knows nothing of our formulas: it finds the front contact where a circle around the rear one cuts the profile,
turns the profile into the machine's own axes, cuts out what lies under each part and says how high that reaches. A
second way asks whether the machine's body, as a polygon, overlaps trailer and ground.
"""

from __future__ import annotations

import math
import random
import time
from collections.abc import Iterator

import pytest
from shapely import affinity
from shapely.geometry import LineString, Point, Polygon, box

from tarelot.calc.cells.worked_out import WorkedOut
from tarelot.calc.clearance import ramp_clearance, ramp_touch
from tarelot.calc.ramps import breakover_angle
from tarelot.workbook_templates.basis.units import US
from tarelot.workbook_templates.hauling.drive_on.sheet import expressions

STEP = 0.1  # inches between two stances
FINE_ENOUGH = 0.05  # inches; the gap of the issue's own demand
SHEET_TOLERANCE = 0.1  # inches; what the Drive-on sheet promises
FAR = 2_000.0
TALL = 500.0

Trailer = tuple[float, float, float, float]
Machine = tuple[float, float, float, float, float, float]


def profile(trailer: Trailer) -> LineString:
    """Ground, ramp, tail and deck; lengths are along the slope."""
    height, drop, tail, ramp = trailer
    points = [(-FAR, 0.0), (0.0, 0.0), (math.sqrt(ramp**2 - (height - drop) ** 2), height - drop)]
    if tail:
        points.append((points[-1][0] + math.sqrt(tail**2 - drop**2), height))
    return LineString([*points, (FAR, height)])


def front_contact(line: LineString, rear: Point, wheelbase: float) -> Point:
    """Where the profile ahead is a wheelbase away in a straight line: distance only grows along it, so halve."""
    near = line.project(rear)
    far = near + 4 * wheelbase + TALL
    for _ in range(60):
        middle = (near + far) / 2
        if line.interpolate(middle).distance(rear) < wheelbase:
            near = middle
        else:
            far = middle
    return line.interpolate((near + far) / 2)


def stances(trailer: Trailer, machine: Machine, step: float) -> Iterator[LineString]:
    """The profile in the machine's axes: rear contact at the origin, front contact on the axis to the right."""
    line = profile(trailer)
    wheelbase, _, front, _, rear, _ = machine
    place, end = FAR - 1.1 * (wheelbase + front), FAR + sum(trailer) + rear
    while place < end:
        contact = line.interpolate(place)
        ahead = front_contact(line, contact, wheelbase)
        tilt = math.degrees(math.atan2(ahead.y - contact.y, ahead.x - contact.x))
        turned = affinity.rotate(line, -tilt, origin=contact)
        yield affinity.translate(turned, -contact.x, -contact.y)
        place += step


def parts(machine: Machine) -> dict[str, tuple[float, float, float]]:
    """From where to where each part reaches along the machine, and its clearance."""
    wheelbase, clearance, front, front_clearance, rear, rear_clearance = machine
    found = {"belly": (0.0, wheelbase, clearance)}
    if front:
        found["front overhang"] = (wheelbase, wheelbase + front, front_clearance)
    if rear:
        found["rear overhang"] = (-rear, 0.0, rear_clearance)
    return found


def least_gap(trailer: Trailer, machine: Machine, step: float = STEP) -> tuple[float, str]:
    """The least gap of all stances, and under which part."""
    return min(
        (clearance - turned.intersection(box(start, -TALL, end, TALL)).bounds[3], part)
        for turned in stances(trailer, machine, step)
        for part, (start, end, clearance) in parts(machine).items()
    )


def overlaps(trailer: Trailer, machine: Machine, margin: float, step: float) -> bool:
    """Whether the machine's body, moved up by a margin, overlaps what is below the profile in some stance."""
    bodies = [box(start, clearance + margin, end, TALL) for start, end, clearance in parts(machine).values()]
    for turned in stances(trailer, machine, step):
        earth = Polygon([*turned.coords, (FAR, -FAR), (-FAR, -FAR)])
        if any(body.intersects(earth) for body in bodies):
            return True
    return False


def random_case(seed: int) -> tuple[Trailer, Machine]:
    """A trailer with or without a tail, sometimes steeper than its ramp, and a machine long or short."""
    chance = random.Random(seed)
    height = chance.uniform(18, 42)
    tail = chance.choice((0.0, chance.uniform(24, 84)))
    drop = tail * math.sin(math.radians(chance.uniform(0, 22)))
    drop = min(drop, height - 4)
    ramp = (height - drop) / math.sin(math.radians(chance.uniform(7, 28)))
    front, rear = (chance.choice((0.0, chance.uniform(5, 80))) for _ in range(2))
    sizes = (chance.uniform(30, 180), chance.uniform(4, 20))
    return (height, drop, tail, ramp), (*sizes, front, chance.uniform(6, 30), rear, chance.uniform(6, 30))


RARE: tuple[tuple[Trailer, Machine], ...] = (
    # least while the front overhang's tip passes the tail's top, between two meetings of contact and break
    ((56.833, 40.351, 65.844, 94.808), (242.893, 21.482, 120.444, 2.996, 0.0, 20.0)),
    # least while that tip is over a tail steeper than the ramp, where its gap turns by itself
    ((104.84, 57.979, 73.455, 98.274), (126.412, 100.0, 93.721, 21.255, 7.743, 56.573)),
    # contacts on ground and deck at once
    ((30.0, 0.0, 0.0, 60.0), (120.0, 12.0, 30.0, 18.0, 40.0, 24.0)),
)


@pytest.mark.parametrize(("trailer", "machine"), [*map(random_case, range(24)), *RARE])
def test_drive_on(trailer: Trailer, machine: Machine) -> None:
    """The fine sweep never finds less, and finds almost as little, under the same part unless two are as tight."""
    swept, part = least_gap(trailer, machine)
    exact = ramp_clearance(*trailer, *machine_cells(machine))
    assert exact <= swept + 1e-6
    assert swept - exact < FINE_ENOUGH
    words = ramp_touch(*trailer, *machine_cells(machine))
    others = [least_gap(trailer, only(machine, other), STEP * 5)[0] for other in parts(machine) if other != part]
    assert words.startswith(part) or min(others, default=math.inf) < swept + 0.3


def machine_cells(machine: Machine) -> tuple[float | None, ...]:
    """As cells: no overhang is a blank."""
    wheelbase, clearance, front, front_clearance, rear, rear_clearance = machine
    return wheelbase, clearance, front or None, front_clearance, rear or None, rear_clearance


def only(machine: Machine, part: str) -> Machine:
    """The machine with the clearance of every other part far up."""
    wheelbase, clearance, front, front_clearance, rear, rear_clearance = machine
    return (
        wheelbase,
        clearance if part == "belly" else TALL / 2,
        front,
        front_clearance if part == "front overhang" else TALL / 2,
        rear,
        rear_clearance if part == "rear overhang" else TALL / 2,
    )


@pytest.mark.parametrize("seed", range(100, 108))
def test_body_overlaps_when_the_gap_is_used_up(seed: int) -> None:
    """Lowered by a little more than the gap the body touches, lowered by a little less it does not."""
    trailer, machine = random_case(seed)
    gap = ramp_clearance(*trailer, *machine_cells(machine))
    assert overlaps(trailer, machine, -gap - 0.15, 0.25)
    assert not overlaps(trailer, machine, -gap + 1e-6, 0.25)


@pytest.mark.parametrize(("clearance", "wheelbase", "angle"), [(12, 100, 26.99), (15, 120, 28.07), (6, 100, 13.69)])
def test_break_over_angle(clearance: float, wheelbase: float, angle: float) -> None:
    """49 CFR 523.2: a ramp at the break-over angle, 2 atan(2 h / L), just touches; both contacts have room."""
    assert breakover_angle(clearance, wheelbase) == pytest.approx(angle, abs=0.01)
    slope = math.radians(breakover_angle(clearance, wheelbase))
    trailer = (wheelbase * math.sin(slope), 0.0, 0.0, wheelbase)
    assert ramp_clearance(*trailer, wheelbase, clearance) == pytest.approx(0, abs=1e-9)
    assert ramp_touch(*trailer, wheelbase, clearance) == "belly at the ramp's top"
    assert least_gap(trailer, (wheelbase, clearance, 0, 0, 0, 0))[0] == pytest.approx(0, abs=FINE_ENOUGH)


@pytest.mark.parametrize("angle", [8, 12, 17, 25])
def test_approach_and_departure_angle(angle: float) -> None:
    """49 CFR 523.2: an end that clears the ramp's angle by approach or departure just touches at the foot."""
    slope = math.radians(angle)
    height = 200 * math.sin(slope)
    for ends in ((40, 40 * math.tan(slope), None, None), (None, None, 40, 40 * math.tan(slope))):
        assert ramp_clearance(height, 0, 0, 200, 100, 60, *ends) == pytest.approx(0, abs=1e-9)
        assert ramp_touch(height, 0, 0, 200, 100, 60, *ends).endswith("overhang at the ramp's foot")


def test_quick_enough() -> None:
    """Under 300 microseconds a call with every part and break: the best of some rounds, in processor time."""
    cells = [(*trailer, *machine_cells(machine)) for trailer, machine in map(random_case, range(200))]
    rounds = []
    for _ in range(7):
        start = time.process_time()
        for values in cells:
            ramp_clearance(*values)
        rounds.append((time.process_time() - start) / len(cells))
    assert min(rounds) < 300e-6


def backed_parts(machine: Machine) -> dict[str, tuple[float, float, float]]:
    """The same machine turned round, its rear going first: where each part reaches from the contact that goes last."""
    wheelbase, clearance, front, front_clearance, rear, rear_clearance = machine
    found = {"belly": (0.0, wheelbase, clearance)}
    if front:
        found["front overhang"] = (-front, 0.0, front_clearance)
    if rear:
        found["rear overhang"] = (wheelbase, wheelbase + rear, rear_clearance)
    return found


@pytest.mark.parametrize("direction", ["forward", "backward"])
@pytest.mark.parametrize("seed", range(200, 208))
def test_the_sheets_sweep_in_both_directions(seed: int, direction: str) -> None:
    """The Drive-on sheet's least gap and words, as worked out in Python, against shapely's fine steps."""
    trailer, machine = random_case(seed)
    places = parts(machine) if direction == "forward" else backed_parts(machine)
    wheelbase, clearance, front, front_clearance, rear, rear_clearance = machine
    farthest = max(front, rear)  # so that the steps begin early and end late enough either way
    swept, part = min(
        (gap - turned.intersection(box(start, -TALL, end, TALL)).bounds[3], name)
        for turned in stances(trailer, (wheelbase, clearance, farthest, 1.0, farthest, 1.0), 2 * STEP)
        for name, (start, end, gap) in places.items()
    )
    names = ("deck_height", "tail_drop", "tail_length", "ramp_length")
    figures: dict[str, object] = {
        **dict(zip(names, trailer, strict=True)),
        "wheelbase": wheelbase,
        "clearance": clearance,
        "front_overhang": front,
        "front_clearance": front_clearance,
        "rear_overhang": rear,
        "rear_clearance": rear_clearance,
        "to_center": wheelbase / 2,
        "runs_on": "wheels",
        "direction": direction,
    }
    cells = WorkedOut(figures, expressions(US))
    found, where = float(str(cells["least_gap"])), str(cells["where"])
    assert abs(found - swept) < SHEET_TOLERANCE
    if not where.startswith(part):  # another part may come as close
        named = where.split(" ")[0]
        assert float(str(cells[f"least_{named}_gap"])) - swept < SHEET_TOLERANCE
