"""Figures that a law fixes. The law in force and the certification label govern; ask a licensed adviser."""

from __future__ import annotations

from .glossary import GVWR, GVWR_LB, LOAD_WIDTH_IN, REAR_OVERHANG_IN, SIDE_OVERHANG_IN, UNIT
from .spec import trim

KILOGRAMS_PER_POUND = 0.45359237
"""Exact (NIST SP 811)."""
EXCISE_FREE_GVWR_LB = 26_000.0
"""Trailers suitable for a gross weight up to this are excluded (26 USC 4051)."""
PLACES = 6
"""Decimals of a limit in another unit: less is what an engine's own arithmetic leaves."""
EXCISE_RATE = 0.12
"""Of the retail price (26 USC 4051)."""
LIGHT_TRAILER_LB = 10_000.0
"""Up to this rating 49 CFR 571.110 holds, above it 571.120."""
PLACARD_SHARE_PERCENT, PLACARD_LB = 1.5, 100.0
"""Added weight beyond the lesser of both makes the cargo placard untrue (571.110 S10)."""
FLAG_REAR_IN, FLAG_SIDE_IN, ONE_FLAG_IN = 48.0, 4.0, 24.0
"""A load beyond these is flagged; one flag suffices for what is up to so wide (393.87)."""


def is_kilograms(unit: str | None) -> bool:
    """Whether ``unit`` says kg; absent means lb.

    Raises:
        NotInTable: Another unit.
    """
    if unit is None:
        return False
    UNIT.check(unit)
    return trim(unit).lower() == "kg"


def excise_rate(gvwr: float, unit: str | None = None) -> float:
    """Federal excise tax on the first retail sale, as a share of the price: 0.12 above 26,000 lb, else 0.

    Args:
        gvwr: Rating on the certification label, above 0.
        unit: ``lb`` (where absent) or ``kg``.

    Raises:
        OutOfRange: A rating outside its range, NaN included.
        NotInTable: Another unit.

    Source: 26 USC 4051.

    >>> excise_rate(26_000), excise_rate(26_001)
    (0.0, 0.12)
    """
    GVWR.check(gvwr)
    limit = round(EXCISE_FREE_GVWR_LB * (KILOGRAMS_PER_POUND if is_kilograms(unit) else 1), PLACES)
    return EXCISE_RATE if gvwr > limit else 0.0


def label_standard(gvwr_lb: float) -> str:
    """Which federal standard rules tires, rims and labels: ``571.110`` up to 10,000 lb, ``571.120`` above.

    By both the tires on an axle are rated for its GAWR together, a passenger-car tire after division by 1.10. Up to
    10,000 lb a placard also states the weight of cargo never to exceed; above, a flatbed has none.

    Args:
        gvwr_lb: Rating of the trailer in pounds, above 0.

    Raises:
        OutOfRange: A value outside that range, NaN included.

    Source: 49 CFR 571.110 S4.2.2, S4.3.5; 571.120 S5.1.2, S5.3, CFR of 2015.

    >>> label_standard(10_000), label_standard(10_001)
    ('571.110', '571.120')
    """
    GVWR_LB.check(gvwr_lb)
    return "571.110" if gvwr_lb <= LIGHT_TRAILER_LB else "571.120"


def placard_limit(gvwr_lb: float) -> float | str:
    """Pounds that may be added before the first sale without correcting the cargo placard, or ``none`` for no limit.

    W = min(1.5 % of GVWR, 100 lb) up to 10,000 lb GVWR; what is more, the placard is corrected to within 1 %. Above
    10,000 lb a flatbed has no such placard.

    Args:
        gvwr_lb: Rating of the trailer in pounds, above 0.

    Raises:
        OutOfRange: A value outside that range, NaN included.

    Source: 49 CFR 571.110 S10; 571.120 S10.5 (motor homes and recreation trailers only), CFR of 2015.

    >>> placard_limit(9_990), placard_limit(5_000), placard_limit(10_001)
    (100.0, 75.0, 'none')
    """
    GVWR_LB.check(gvwr_lb)
    if gvwr_lb > LIGHT_TRAILER_LB:
        return "none"
    return min(PLACARD_SHARE_PERCENT * gvwr_lb / 100, PLACARD_LB)


def overhang_flags(rear_overhang_in: float, side_overhang_in: float, load_width_in: float) -> float:
    """How many flags a load needs that reaches beyond the trailer: 0, 1 or 2.

    Above 48 in behind, or above 4 in beyond a side: one flag at the rear where what reaches out is up to 24 in wide,
    else two that show its width. Red or orange fluorescent, 18 in square; lamps at night (393.11). Arkansas, Hawaii and
    South Carolina ask for a flag from 48 in on, and states limit the overhang itself.

    Args:
        rear_overhang_in: How far the load reaches behind the trailer, inches, from 0.
        side_overhang_in: How far it reaches beyond the side, the greater of both, inches, from 0.
        load_width_in: Width of what reaches beyond, inches, above 0.

    Raises:
        OutOfRange: A value outside those ranges, NaN included.

    Source: 49 CFR 393.87, CFR of 2015.

    >>> overhang_flags(48, 4, 24), overhang_flags(49, 0, 24), overhang_flags(49, 0, 25), overhang_flags(0, 4.1, 110)
    (0.0, 1.0, 2.0, 2.0)
    """
    REAR_OVERHANG_IN.check(rear_overhang_in)
    SIDE_OVERHANG_IN.check(side_overhang_in)
    LOAD_WIDTH_IN.check(load_width_in)
    if rear_overhang_in <= FLAG_REAR_IN and side_overhang_in <= FLAG_SIDE_IN:
        return 0.0
    return 1.0 if load_width_in <= ONE_FLAG_IN else 2.0
