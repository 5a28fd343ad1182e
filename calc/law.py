"""Figures that a law fixes. The law in force and the certification label govern; ask a licensed adviser."""

from __future__ import annotations

from .glossary import GVWR, UNIT
from .spec import trim

KILOGRAMS_PER_POUND = 0.45359237
"""Exact (NIST SP 811)."""
EXCISE_FREE_GVWR_LB = 26_000.0
"""Trailers suitable for a gross weight up to this are excluded (26 USC 4051)."""
EXCISE_RATE = 0.12
"""Of the retail price (26 USC 4051)."""


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
    limit = EXCISE_FREE_GVWR_LB * KILOGRAMS_PER_POUND if is_kilograms(unit) else EXCISE_FREE_GVWR_LB
    return EXCISE_RATE if gvwr > limit else 0.0
