"""What rests on the hitch and what on the axles."""

from __future__ import annotations

from .errors import NotStated
from .glossary import (
    AXLE_RATING,
    AXLES,
    GROSS,
    GVWR,
    HITCH,
    PIN_SHARE,
    PIN_WEIGHT,
    STATED_SHARE,
)
from .spec import trim

USUAL_SHARES: dict[str, tuple[float, float]] = {
    "pintle": (0.10, 0.15),
    "ball": (0.10, 0.15),
    "gooseneck": (0.15, 0.25),
}
"""Usual least and greatest share of the gross on the hitch (common practice, no source: printed ranges conflict)."""


def pin_weight(gross: float, pin_share: float) -> float:
    """Weight that rests on the hitch, in the unit of ``gross``.

    P = s W, with W the gross weight of the trailer and s the share on the pin.

    Args:
        gross: Gross weight of the loaded trailer, above 0.
        pin_share: Share of the gross weight on the hitch, above 0 and below 1.

    Raises:
        OutOfRange: A value outside those ranges, NaN included.

    >>> pin_weight(14_000, 0.10)
    1400.0
    """
    GROSS.check(gross)
    PIN_SHARE.check(pin_share)
    return gross * pin_share


def pin_share(pin_weight: float, gross: float) -> float:
    """Share of the gross weight that rests on the hitch: s = P / W.

    Args:
        pin_weight: Weight on the hitch, from 0; a figure above the gross gives a share above 1.
        gross: Gross weight of the loaded trailer, above 0, in the same unit.

    Raises:
        OutOfRange: A value outside those ranges, NaN included.

    >>> pin_share(1_500, 10_000)
    0.15
    """
    PIN_WEIGHT.check(pin_weight)
    GROSS.check(gross)
    return pin_weight / gross


def sticker_pin(gvwr: float, axles: float, axle_rating: float) -> float:
    """What the label counts on the hitch to carry, in the unit of ``gvwr``: max(0, GVWR - n a).

    A trailer's GVWR may exceed the sum of its axle ratings, since the tow vehicle carries part of it.

    Args:
        gvwr: Rating on the certification label, above 0.
        axles: Number of axles n, whole, 1 to 20.
        axle_rating: Rating a of one axle, above 0.

    Raises:
        OutOfRange: A value outside those ranges, NaN included.

    >>> sticker_pin(16_000, 2, 7_000)
    2000.0
    """
    GVWR.check(gvwr)
    AXLES.check(axles)
    AXLE_RATING.check(axle_rating)
    return max(0.0, gvwr - axles * float(axle_rating))


def low_pin_share(hitch: str | None, stated_share: float | None = None) -> float:
    """Least share of the gross to plan for on the hitch: the stated one, else the usual one of the hitch.

    Args:
        hitch: ``pintle``, ``ball`` or ``gooseneck``, any case; may be absent where a share is stated.
        stated_share: Share stated for this trailer, above 0 and below 1.

    Raises:
        NotStated: Neither is stated.
        NotInTable: Another hitch.
        OutOfRange: A share outside its range, NaN included.

    >>> low_pin_share("gooseneck")
    0.15
    """
    return _usual_share(hitch, stated_share, 0)


def high_pin_share(hitch: str | None, stated_share: float | None = None) -> float:
    """Greatest share of the gross to plan for on the hitch; parameters and errors as :func:`low_pin_share`.

    >>> high_pin_share("pintle")
    0.15
    """
    return _usual_share(hitch, stated_share, 1)


def _usual_share(hitch: str | None, stated_share: float | None, end: int) -> float:
    """The stated share, else the usual one of the hitch at the low (0) or high (1) end."""
    if hitch is not None:
        HITCH.check(hitch)
    if stated_share is not None:
        STATED_SHARE.check(stated_share)
        return float(stated_share)
    if hitch is None:
        message = "neither hitch nor stated_share is stated"
        raise NotStated(message)
    return USUAL_SHARES[trim(hitch).lower()][end]


def axle_load(gross: float, pin_share: float) -> float:
    """Weight that rests on the axles, in the unit of ``gross``: A = W (1 - s).

    Args:
        gross: Gross weight W of the loaded trailer, above 0.
        pin_share: Share s of the gross weight on the hitch, above 0 and below 1.

    Raises:
        OutOfRange: A value outside those ranges, NaN included.

    >>> axle_load(10_000, 0.25)
    7500.0
    """
    GROSS.check(gross)
    PIN_SHARE.check(pin_share)
    return gross * (1 - pin_share)
