"""Ramps, the break at their top and the hand that lifts them: plain trigonometry of the side view."""

from __future__ import annotations

import math

from .errors import OutOfRange
from .glossary import (
    CLEARANCE,
    DECK_HEIGHT,
    HINGE_TO_CENTER,
    LIFT_ANGLE,
    RAMP_ANGLE,
    RAMP_LENGTH,
    RAMP_WEIGHT,
    RISE,
    SLOPE_ANGLE,
    SPRING_MOMENT,
    TAIL_DROP,
    WHEELBASE,
)
from .ratings import check_stated


def ramp_rise(deck_height: float, tail_drop: float | None = None) -> float:
    """Height that the ramp climbs to the tail's end, in the unit of ``deck_height``: H - d.

    Args:
        deck_height: Height H of the deck above ground, above 0.
        tail_drop: How far d the tail's end lies below the deck, up to the deck's height; absent without a tail.

    Raises:
        OutOfRange: A value outside those ranges, NaN included.

    >>> ramp_rise(34, 12)
    22.0
    """
    DECK_HEIGHT.check(deck_height)
    if tail_drop is None:
        return float(deck_height)
    TAIL_DROP.check(tail_drop)
    if tail_drop > deck_height:
        message = f"tail_drop is {tail_drop:,.15g}: allowed is up to deck_height, {deck_height:,.15g}"
        raise OutOfRange(message)
    return float(deck_height) - tail_drop


def ramp_angle(rise: float, ramp_length: float) -> float:
    """Angle of a ramp to level ground, in degrees: asin(h / L).

    Args:
        rise: Height h from ground to the ramp's top, from 0 to below the length.
        ramp_length: Length L along the slope, above 0, same unit.

    Raises:
        OutOfRange: A value outside those ranges, NaN included.

    >>> round(ramp_angle(1, 2), 9)
    30.0
    """
    RISE.check(rise)
    RAMP_LENGTH.check(ramp_length)
    if rise >= ramp_length:
        message = f"rise is {rise:,.15g}: allowed is from 0 to below ramp_length, {ramp_length:,.15g}"
        raise OutOfRange(message)
    return math.degrees(math.asin(rise / ramp_length))


def ramp_length(rise: float, angle: float) -> float:
    """Length along the slope that brings a ramp to an angle, in the unit of ``rise``: h / sin(angle).

    Args:
        rise: Height h from ground to the ramp's top, from 0.
        angle: Angle to level ground in degrees, above 0 and below 90.

    Raises:
        OutOfRange: A value outside those ranges, NaN included.

    >>> round(ramp_length(30, 30), 9)
    60.0
    """
    RISE.check(rise)
    RAMP_ANGLE.check(angle)
    return rise / math.sin(math.radians(angle))


def grade(angle: float) -> float:
    """Grade of a slope as a share, rise over level run: tan(angle).

    Args:
        angle: Angle to level in degrees, from 0 to below 90.

    Raises:
        OutOfRange: A value outside that range, NaN included.

    >>> round(grade(45), 9)
    1.0
    """
    SLOPE_ANGLE.check(angle)
    return math.tan(math.radians(angle))


def breakover_angle(clearance: float, wheelbase: float) -> float:
    """Sharpest break that a machine crosses without touching, in degrees: 2 atan(2 h / L).

    The lowest point is taken halfway between the wheel contacts.

    Args:
        clearance: Ground clearance h there, above 0.
        wheelbase: Distance L between the wheel contacts, above 0, same unit.

    Raises:
        OutOfRange: A value outside those ranges, NaN included.

    >>> round(breakover_angle(12, 100), 2)
    26.99
    """
    CLEARANCE.check(clearance)
    WHEELBASE.check(wheelbase)
    return 2 * math.degrees(math.atan(2 * clearance / wheelbase))


def ramp_force(
    ramp_weight: float,
    ramp_length: float,
    hinge_to_center: float,
    spring_moment: float | None = None,
    angle: float | None = None,
) -> float:
    """Hand force at the free end that lifts a hinged ramp, square to it, in the unit of ``ramp_weight``; never below 0.

    F = max(0, (W x cos t - M) / L), moments about the hinge. 0 means that the springs outdo the weight: such a ramp
    may fly up when unlatched, so stand clear. Springs slacken as the ramp rises: state their moment at the angle in
    question. Jerks, rust and a load of mud are not in it. Limits for lifting by hand, such as NIOSH 94-110, are made
    for loose objects: for a hinged ramp they are only a guide.

    Args:
        ramp_weight: Weight W of the one ramp that is lifted, above 0.
        ramp_length: Length L from the hinge to the hand, above 0.
        hinge_to_center: Distance x from the hinge to the ramp's center of gravity, above 0 to the length.
        spring_moment: Moment M of its springs about the hinge, above 0, in weight times length of the same units, such
            as lb in; newton meters over 9.80665 are kg m. Absent counts as none.
        angle: Angle t of the ramp to level in degrees, from 0 to 90; absent counts as level, where it is heaviest.

    Raises:
        OutOfRange: A value outside those ranges, NaN included.

    Source: equilibrium of moments, as in any statics text.

    >>> ramp_force(240, 60, 30, 4_200), ramp_force(240, 60, 30), ramp_force(240, 60, 30, 7_500)
    (50.0, 120.0, 0.0)
    """
    RAMP_WEIGHT.check(ramp_weight)
    RAMP_LENGTH.check(ramp_length)
    HINGE_TO_CENTER.check(hinge_to_center)
    check_stated((SPRING_MOMENT, spring_moment), (LIFT_ANGLE, angle))
    if hinge_to_center > ramp_length:
        message = f"hinge_to_center is {hinge_to_center:,.15g}: allowed is up to ramp_length, {ramp_length:,.15g}"
        raise OutOfRange(message)
    moment = ramp_weight * hinge_to_center * math.cos(math.radians(angle or 0.0))
    return max(0.0, (moment - (spring_moment or 0.0)) / ramp_length)
