"""Ramps and the break at their top: plain trigonometry of the side view."""

from __future__ import annotations

import math

from .errors import OutOfRange
from .glossary import CLEARANCE, DECK_HEIGHT, RAMP_ANGLE, RAMP_LENGTH, RISE, SLOPE_ANGLE, TAIL_DROP, WHEELBASE


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
