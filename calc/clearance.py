"""Whether a machine drives on without touching: the exact least gap, and quick bounds for a whole lot of trailers.

Lengths are along the slope. The drive-on model is stated in :mod:`drive_on`; it is for machines on wheels. A tracked
machine lies on a break and tips over it instead: for it look at :func:`break_angle` and drive slowly over the break.
These figures leave out springs, tires and soft ground: leave a margin, drive straight, and have someone watch.
"""

from __future__ import annotations

import math

from .drive_on import Gap, Machine, Profile, Stance, profile, stance_at, tightest
from .errors import NotStated, OutOfRange
from .glossary import (
    DECK_HEIGHT,
    FRONT_CLEARANCE,
    FRONT_OVERHANG,
    GROUND_CLEARANCE,
    PLACE,
    RAMP_LENGTH,
    REAR_CLEARANCE,
    REAR_OVERHANG,
    TAIL_DROP_OR_NONE,
    TAIL_LENGTH,
    WHEELBASE,
)
from .ratings import check_stated
from .spec import trim

NO_LENGTH = 1e-99
"""Stands for the length of a tail that is not there, where one divides by it."""


def ramp_clearance(
    deck_height: float,
    tail_drop: float,
    tail_length: float,
    ramp_length: float,
    wheelbase: float,
    ground_clearance: float,
    front_overhang: float | None = None,
    front_clearance: float | None = None,
    rear_overhang: float | None = None,
    rear_clearance: float | None = None,
) -> float:
    """Least gap under the machine's belly and overhangs over the whole drive-on; negative touches.

    The machine drives on forward; to back it on, give front and rear the other way round. The gap is never more than
    the least clearance on the level. See :mod:`drive_on` for the model.

    Args:
        deck_height: Height of the level deck above the ground, above 0.
        tail_drop: How far the tail slopes down from it, from 0 to ``deck_height`` and below ``tail_length``.
        tail_length: Length of the tail along its slope; 0 for none.
        ramp_length: Length of the ramp along its slope, above its rise, deck height less tail drop.
        wheelbase: Distance between the machine's two wheel contacts, above 0.
        ground_clearance: Least clearance between them, above 0.
        front_overhang: How far the machine reaches ahead of the front contact, above 0; absent for none.
        front_clearance: Least clearance there, above 0; needed with an overhang, left aside without.
        rear_overhang: How far it reaches behind the rear contact, above 0; absent for none.
        rear_clearance: Least clearance there, above 0; needed with an overhang, left aside without.

    Raises:
        NotStated: An overhang without its clearance.
        OutOfRange: A value outside those ranges, NaN included.

    Source: plane geometry.

    >>> round(ramp_clearance(35, 0, 0, 70, 100, 20), 2)
    6.6
    """
    return _tightest(
        deck_height,
        tail_drop,
        tail_length,
        ramp_length,
        wheelbase,
        ground_clearance,
        front_overhang,
        front_clearance,
        rear_overhang,
        rear_clearance,
    ).size


def ramp_touch(
    deck_height: float,
    tail_drop: float,
    tail_length: float,
    ramp_length: float,
    wheelbase: float,
    ground_clearance: float,
    front_overhang: float | None = None,
    front_clearance: float | None = None,
    rear_overhang: float | None = None,
    rear_clearance: float | None = None,
) -> str:
    """Where the least gap is: ``belly``, ``front overhang`` or ``rear overhang``, and at what.

    At ``the ramp's foot``, ``the ramp's top`` or ``the tail's top``; ``on level ground`` where no break brings the
    machine closer than it stands there. Parameters and errors as :func:`ramp_clearance`.

    >>> ramp_touch(35, 0, 0, 70, 100, 20)
    "belly at the ramp's top"
    """
    gap = _tightest(
        deck_height,
        tail_drop,
        tail_length,
        ramp_length,
        wheelbase,
        ground_clearance,
        front_overhang,
        front_clearance,
        rear_overhang,
        rear_clearance,
    )
    return f"{gap.part} {gap.preposition} {gap.place}"


def break_angle(deck_height: float, tail_drop: float, tail_length: float, ramp_length: float, place: str) -> float:
    """Change of slope at a break of the drive-on, in degrees; negative where the way on is steeper.

    With r = asin((deck height - tail drop) / ramp length) and t = asin(tail drop / tail length), 0 without a tail:
    r at the foot, where the machine's ends come low; r - t at the ramp's top and t at the tail's top, where its belly
    does. A tracked machine tips over each.

    Args:
        deck_height: Height of the level deck above the ground, above 0.
        tail_drop: How far the tail slopes down from it, from 0 to ``deck_height`` and below ``tail_length``.
        tail_length: Length of the tail along its slope; 0 for none.
        ramp_length: Length of the ramp along its slope, above its rise.
        place: ``foot``, ``ramp top`` or ``tail top``.

    Raises:
        OutOfRange: A value outside its range, NaN included.
        NotInTable: Another place.

    >>> round(break_angle(35, 0, 0, 70, "ramp top"), 9)
    30.0
    """
    _check_trailer(deck_height, tail_drop, tail_length, ramp_length)
    PLACE.check(place)
    ramp = math.asin((deck_height - tail_drop) / ramp_length)
    tail = math.asin(tail_drop / max(tail_length, NO_LENGTH))
    return math.degrees({"foot": ramp, "ramp top": ramp - tail, "tail top": tail}[trim(place).lower()])


def clearance_at_least(
    deck_height: float,
    tail_drop: float,
    tail_length: float,
    ramp_length: float,
    wheelbase: float,
    ground_clearance: float,
    front_overhang: float | None = None,
    front_clearance: float | None = None,
    rear_overhang: float | None = None,
    rear_clearance: float | None = None,
) -> float:
    """A gap that the drive-on surely keeps: never more than :func:`ramp_clearance`. From 0 up it does not touch.

    Closed forms only. A break that turns by b lifts it at most L/2 tan(b/2) into the belly of a machine with wheelbase
    L, as a triangle on the base L with that outer angle is no higher. Where a contact stands beyond the next break the
    turn is taken with a line that is surely not flatter (behind) and not steeper (ahead). A front overhang comes no
    lower than over the steepest slope with the contacts on the level, nor than the deck's height; a rear one no lower
    than over the level at the steepest tilt, whose sine is at most deck height / L.

    Parameters and errors as :func:`ramp_clearance`.

    >>> round(clearance_at_least(35, 0, 0, 70, 100, 20), 2)
    6.6
    """
    machine = _checked(
        (deck_height, tail_drop, tail_length, ramp_length),
        (wheelbase, ground_clearance, front_overhang, front_clearance, rear_overhang, rear_clearance),
    )
    ramp_sine = (deck_height - tail_drop) / ramp_length
    tail_sine = tail_drop / max(tail_length, NO_LENGTH)
    steepest = max(ramp_sine, tail_sine)
    turn_at_ramp = math.asin(ramp_sine) - math.asin(tail_drop / max(wheelbase, tail_length))
    from_ramp = (tail_drop + (wheelbase - tail_length * math.sqrt(1 - ramp_sine**2)) * ramp_sine) / wheelbase
    turn_at_tail = math.asin(min(1, max(tail_sine, from_ramp if tail_length < wheelbase else 0)))
    least = ground_clearance - wheelbase / 2 * max(0, math.tan(turn_at_ramp / 2), math.tan(turn_at_tail / 2))
    if machine.front_overhang:
        least = min(least, machine.front_clearance - min(deck_height, machine.front_overhang * _slope(steepest)))
    if machine.rear_overhang:
        tilt_sine = min(deck_height / wheelbase, steepest)
        least = min(least, machine.rear_clearance - machine.rear_overhang * _slope(tilt_sine))
    return least


def clearance_at_most(
    deck_height: float,
    tail_drop: float,
    tail_length: float,
    ramp_length: float,
    wheelbase: float,
    ground_clearance: float,
    front_overhang: float | None = None,
    front_clearance: float | None = None,
    rear_overhang: float | None = None,
    rear_clearance: float | None = None,
) -> float:
    """A gap that the drive-on surely comes down to: never less than :func:`ramp_clearance`. Below 0 it touches.

    Closed forms only, each of a stance that the drive-on passes or one less tight. Astride a break that turns by b it
    comes up by L/2 tan(b/2) if the line behind it goes down far enough for the rear contact; a contact beyond the next
    break stands lower still. Astride both crests, with the contacts equally far from where the lines of ramp and deck
    meet, the ramp's top comes up by L/2 tan(r/2) - tail drop / (2 cos(r/2)), r being the ramp's angle. A front overhang
    is looked at with the front contact at the ramp's foot, a rear one with the rear contact there and the front one
    at least the ramp's rise up.

    Parameters and errors as :func:`ramp_clearance`.

    >>> round(clearance_at_most(35, 0, 0, 70, 100, 20), 2)
    6.6
    """
    machine = _checked(
        (deck_height, tail_drop, tail_length, ramp_length),
        (wheelbase, ground_clearance, front_overhang, front_clearance, rear_overhang, rear_clearance),
    )
    rise = deck_height - tail_drop
    ramp_sine, tail_sine = rise / ramp_length, tail_drop / max(tail_length, NO_LENGTH)
    ramp, tail = math.asin(ramp_sine), math.asin(tail_sine)
    room_at_tail = deck_height / max(tail_sine, NO_LENGTH) if tail_sine <= ramp_sine else tail_length
    from_meeting = tail_drop / max(ramp_sine, NO_LENGTH)
    most = ground_clearance - max(
        0,
        _lift(wheelbase, ramp - tail, ramp_length),
        _lift(wheelbase, tail, room_at_tail),
        _lift(wheelbase, ramp, ramp_length + from_meeting) - tail_drop / 2 / math.cos(ramp / 2),
    )
    if machine.front_overhang:
        most = min(most, machine.front_clearance - min(rise, machine.front_overhang * _slope(ramp_sine)))
    if machine.rear_overhang:
        tilt_sine = rise / max(wheelbase, ramp_length)
        most = min(most, machine.rear_clearance - machine.rear_overhang * _slope(tilt_sine))
    return most


def sweep(trailer: tuple[float, float, float, float], machine: Machine, steps: int) -> tuple[Profile, list[Stance]]:
    """The profile, and the machine's stances at even steps from level ground to the deck, for drawing and checking.

    Args:
        trailer: Deck height, tail drop, tail length and ramp length.
        machine: The machine.
        steps: Number of steps, from 1; there is one stance more.

    Raises:
        OutOfRange: A trailer's value outside its range, NaN included.
    """
    _check_trailer(*trailer)
    ground = profile(*trailer)
    start = -machine.wheelbase - machine.front_overhang
    end = (ground.breaks[-1][0] if ground.breaks else 0.0) + machine.rear_overhang
    places = [start + (end - start) * step / steps for step in range(steps + 1)]
    return ground, [stance_at(ground, machine.wheelbase, x) for x in places]


def _lift(wheelbase: float, turn: float, room: float) -> float:
    """How far a break comes up between contacts equally far from it, if there is room for the rear one; else 0."""
    return wheelbase / 2 * math.tan(turn / 2) if room >= wheelbase / 2 / math.cos(turn / 2) else 0.0


def _slope(sine: float) -> float:
    """Rise over level run of a slope with this sine."""
    return math.tan(math.asin(sine))


def _tightest(
    deck_height: float,
    tail_drop: float,
    tail_length: float,
    ramp_length: float,
    wheelbase: float,
    ground_clearance: float,
    front_overhang: float | None,
    front_clearance: float | None,
    rear_overhang: float | None,
    rear_clearance: float | None,
) -> Gap:
    """The least gap with its place, after every check."""
    trailer = (deck_height, tail_drop, tail_length, ramp_length)
    machine = _checked(
        trailer, (wheelbase, ground_clearance, front_overhang, front_clearance, rear_overhang, rear_clearance)
    )
    return tightest(profile(*trailer), machine)


def _checked(
    trailer: tuple[float, float, float, float],
    sizes: tuple[float, float, float | None, float | None, float | None, float | None],
) -> Machine:
    """The machine, after every check of trailer and machine."""
    wheelbase, ground_clearance, front_overhang, front_clearance, rear_overhang, rear_clearance = sizes
    _check_trailer(*trailer)
    WHEELBASE.check(wheelbase)
    GROUND_CLEARANCE.check(ground_clearance)
    check_stated(
        (FRONT_OVERHANG, front_overhang),
        (FRONT_CLEARANCE, front_clearance),
        (REAR_OVERHANG, rear_overhang),
        (REAR_CLEARANCE, rear_clearance),
    )
    if front_overhang is not None and front_clearance is None:
        message = "front_overhang is stated, front_clearance is not"
        raise NotStated(message)
    if rear_overhang is not None and rear_clearance is None:
        message = "rear_overhang is stated, rear_clearance is not"
        raise NotStated(message)
    return Machine(*(size or 0.0 for size in sizes))


def _check_trailer(deck_height: float, tail_drop: float, tail_length: float, ramp_length: float) -> None:
    """Ranges of the trailer, each figure against the others too."""
    DECK_HEIGHT.check(deck_height)
    TAIL_DROP_OR_NONE.check(tail_drop)
    TAIL_LENGTH.check(tail_length)
    RAMP_LENGTH.check(ramp_length)
    if tail_drop > deck_height:
        message = f"tail_drop is {tail_drop:,.15g}: allowed is up to deck_height, {deck_height:,.15g}"
        raise OutOfRange(message)
    if tail_drop and tail_drop >= tail_length:
        message = f"tail_drop is {tail_drop:,.15g}: allowed is below tail_length, {tail_length:,.15g}"
        raise OutOfRange(message)
    if deck_height - tail_drop >= ramp_length:
        message = f"ramp_length is {ramp_length:,.15g}: allowed is above the rise, {deck_height - tail_drop:,.15g}"
        raise OutOfRange(message)
