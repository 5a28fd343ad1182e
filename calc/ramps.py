"""Ramps and the break at their top: plain trigonometry of the side view."""

from __future__ import annotations

import math

from .errors import OutOfRange
from .glossary import CLEARANCE, RAMP_ANGLE, RAMP_LENGTH, RISE, SLOPE_ANGLE, WHEELBASE


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

    The lowest point is taken half way between the wheel contacts.

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
