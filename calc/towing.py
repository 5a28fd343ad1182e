"""What the truck may pull, on how many axles, and with which license.

The certification labels of truck and trailer govern, and the law where it is driven. A license depends on more than
weight (air brakes, passengers, hazardous materials, who drives for whom): ask the state's licensing office.
"""

from __future__ import annotations

import math

from .errors import OutOfRange
from .glossary import (
    ACTUAL_GROSS_LB,
    AXLES,
    GCWR,
    HITCH_OVERHANG_IF_ANY,
    HITCH_RATING,
    HITCH_VERTICAL,
    PIN_SHARE,
    REAR_AXLE_EMPTY,
    REAR_AXLE_RATING,
    SPAN_FT,
    STATED_GCWR_LB,
    TRAILER_GVWR_LB,
    TRUCK_EMPTY,
    TRUCK_GVWR,
    TRUCK_GVWR_LB,
    TRUCK_WHEELBASE,
)
from .placement import check_behind_front_axle
from .ratings import check_stated

HEAVY_LB = 26_001.0
"""From this rating on a combination (group A) or single vehicle (group B) needs the license (383.91)."""
LIGHT_TOWED_LB = 10_000.0
"""A towed vehicle up to this rating leaves the group at B (383.91)."""
SINGLE_AXLE_LB, TANDEM_LB, GROSS_LB = 20_000.0, 34_000.0, 80_000.0
"""Federal limits on the Interstate (23 CFR 658.17)."""
SINGLE_AXLE_FT, TANDEM_FT = 40 / 12, 8.0
"""Axles up to 40 in apart count as one, up to 96 in as a tandem."""


def license_group(
    truck_gvwr_lb: float,
    trailer_gvwr_lb: float,
    stated_gcwr_lb: float | None = None,
    actual_gross_lb: float | None = None,
) -> str:
    """Group of commercial license by weight alone: ``A``, ``B`` or ``none``.

    The combination's rating is the greatest of the one stated on the truck's label, the sum of the vehicles' ratings
    and their actual weight (383.5). A: 26,001 lb or more with a towed vehicle above 10,000 lb. B: the truck alone is
    rated 26,001 lb or more. Passengers and placarded goods can ask for a license at any weight.

    Args:
        truck_gvwr_lb: Rating of the truck in pounds, above 0.
        trailer_gvwr_lb: Rating of the trailer in pounds, or its actual weight if that is greater; 0 for none.
        stated_gcwr_lb: Combination rating on the truck's label, above 0.
        actual_gross_lb: Actual weight of truck and trailer together, above 0.

    Raises:
        OutOfRange: A value outside those ranges, NaN included.

    Source: 49 CFR 383.91(a), 383.5.

    >>> license_group(26_001, 10_000), license_group(26_001, 10_001), license_group(14_000, 12_000)
    ('B', 'A', 'none')
    """
    TRUCK_GVWR_LB.check(truck_gvwr_lb)
    TRAILER_GVWR_LB.check(trailer_gvwr_lb)
    check_stated((STATED_GCWR_LB, stated_gcwr_lb), (ACTUAL_GROSS_LB, actual_gross_lb))
    combination = max(truck_gvwr_lb + trailer_gvwr_lb, stated_gcwr_lb or 0.0, actual_gross_lb or 0.0)
    if trailer_gvwr_lb > LIGHT_TOWED_LB and combination >= HEAVY_LB:
        return "A"
    return "B" if truck_gvwr_lb >= HEAVY_LB else "none"


def bridge_limit(axles: float, span_ft: float) -> float:
    """Greatest weight in pounds on a group of axles in a row on the Interstate.

    W = 500 (L N / (N - 1) + 12 N + 36), L to the nearest foot (a half goes up), W to the nearest 500 lb (a half goes
    down). Ahead of it stand: 20,000 lb for one axle, or more within 40 in; 34,000 lb for a tandem, two or more axles
    within 8 ft. Never more than 20,000 lb an axle nor 80,000 lb in all. The exception for two tandems of 34,000 lb
    each, 36 ft or more from first to last, is left out, since a count of axles does not tell tandems.

    Args:
        axles: Number N of axles in the group, whole, 1 to 20.
        span_ft: Feet L from the first to the last of them, from 0.

    Raises:
        OutOfRange: A value outside those ranges, NaN included.

    Source: 23 USC 127; 23 CFR 658.17.

    >>> bridge_limit(5, 51), bridge_limit(3, 9), bridge_limit(2, 4)
    (80000.0, 42500.0, 34000.0)
    """
    AXLES.check(axles)
    SPAN_FT.check(span_ft)
    if axles == 1 or span_ft <= SINGLE_AXLE_FT:
        return SINGLE_AXLE_LB
    if span_ft <= TANDEM_FT:
        return TANDEM_LB
    span = math.floor(span_ft + 0.5)
    formula = 500 * math.ceil(span * axles / (axles - 1) + 12 * axles + 36 - 0.5)
    return min(GROSS_LB, SINGLE_AXLE_LB * axles, float(formula))


def truck_limits(
    truck_gvwr: float,
    truck_empty: float,
    pin_share: float,
    gcwr: float | None = None,
    hitch_rating: float | None = None,
    hitch_vertical: float | None = None,
    rear_axle_rating: float | None = None,
    rear_axle_empty: float | None = None,
    wheelbase: float | None = None,
    hitch_overhang: float | None = None,
) -> dict[str, float]:
    """The trailer gross that each stated rating of the truck allows, by the rating's name, in the order of the sum.

    Parameters and errors as :func:`truck_limit`.
    """
    TRUCK_GVWR.check(truck_gvwr)
    TRUCK_EMPTY.check(truck_empty)
    PIN_SHARE.check(pin_share)
    check_stated(
        (GCWR, gcwr),
        (HITCH_RATING, hitch_rating),
        (HITCH_VERTICAL, hitch_vertical),
        (REAR_AXLE_RATING, rear_axle_rating),
        (REAR_AXLE_EMPTY, rear_axle_empty),
        (TRUCK_WHEELBASE, wheelbase),
        (HITCH_OVERHANG_IF_ANY, hitch_overhang),
    )
    limits = {"GVWR": _rest("truck_empty", truck_empty, "truck_gvwr", truck_gvwr) / pin_share}
    if gcwr is not None:
        limits["GCWR"] = _rest("truck_empty", truck_empty, "gcwr", gcwr)
    if hitch_rating is not None:
        limits["hitch"] = float(hitch_rating)
    if hitch_vertical is not None:
        limits["hitch vertical"] = hitch_vertical / pin_share
    lever = 1.0
    if hitch_overhang is not None and wheelbase is not None:
        check_behind_front_axle(wheelbase, hitch_overhang)
        lever = 1 + hitch_overhang / wheelbase
    if rear_axle_rating is not None and rear_axle_empty is not None:
        rest = _rest("rear_axle_empty", rear_axle_empty, "rear_axle_rating", rear_axle_rating)
        if hitch_overhang is None or wheelbase is not None:
            limits["rear axle"] = rest / (pin_share * lever)
    return limits


def truck_limit(
    truck_gvwr: float,
    truck_empty: float,
    pin_share: float,
    gcwr: float | None = None,
    hitch_rating: float | None = None,
    hitch_vertical: float | None = None,
    rear_axle_rating: float | None = None,
    rear_axle_empty: float | None = None,
    wheelbase: float | None = None,
    hitch_overhang: float | None = None,
) -> float:
    """Heaviest trailer gross that every stated rating of the truck allows, in the unit of the weights.

    W = min((GVWR - E) / s, GCWR - E, hitch, vertical / s, (R - Re) / (s (1 + o / w))), over those stated. The rear axle
    counts where its rating and empty weight are stated, and the wheelbase too if the hitch is not over the axle.

    Args:
        truck_gvwr: Rating of the truck, from its empty weight up.
        truck_empty: Weight E of the truck with driver and fuel, no trailer, above 0.
        pin_share: Share s of the trailer's gross on the hitch, above 0 and below 1.
        gcwr: Combination rating, from the truck's empty weight up.
        hitch_rating: Greatest trailer gross for the hitch, above 0.
        hitch_vertical: Greatest downward load on the hitch, above 0.
        rear_axle_rating: Rating R of the rear axles, from their empty weight up.
        rear_axle_empty: Weight Re on them without trailer, above 0.
        wheelbase: Distance w from the front axle to the middle of the rear ones, above 0.
        hitch_overhang: Distance o from there back to the hitch; negative ahead, but behind the front axle; absent or 0
            is over the axle.

    Raises:
        OutOfRange: A value outside those ranges, NaN included.

    Source: 49 CFR 571.3 for GVWR and GAWR; equilibrium of moments.

    >>> truck_limit(14_000, 8_000, 0.15, gcwr=30_000, hitch_rating=20_000)
    20000.0
    """
    return min(
        truck_limits(
            truck_gvwr,
            truck_empty,
            pin_share,
            gcwr,
            hitch_rating,
            hitch_vertical,
            rear_axle_rating,
            rear_axle_empty,
            wheelbase,
            hitch_overhang,
        ).values()
    )


def truck_limited_by(
    truck_gvwr: float,
    truck_empty: float,
    pin_share: float,
    gcwr: float | None = None,
    hitch_rating: float | None = None,
    hitch_vertical: float | None = None,
    rear_axle_rating: float | None = None,
    rear_axle_empty: float | None = None,
    wheelbase: float | None = None,
    hitch_overhang: float | None = None,
) -> str:
    """Which rating sets the truck's limit: ``GVWR``, ``GCWR``, ``hitch``, ``hitch vertical`` or ``rear axle``.

    The first in that order where two are equal. Parameters and errors as :func:`truck_limit`.

    >>> truck_limited_by(14_000, 8_000, 0.15, gcwr=30_000, hitch_rating=20_000)
    'hitch'
    """
    limits = truck_limits(
        truck_gvwr,
        truck_empty,
        pin_share,
        gcwr,
        hitch_rating,
        hitch_vertical,
        rear_axle_rating,
        rear_axle_empty,
        wheelbase,
        hitch_overhang,
    )
    return min(limits, key=limits.__getitem__)


def _rest(part_name: str, part: float, whole_name: str, whole: float) -> float:
    """What a rating leaves beside the empty weight; a rating below it is refused."""
    if part > whole:
        message = f"{whole_name} is {whole:,.15g}: allowed is from {part_name}, {part:,.15g}, up"
        raise OutOfRange(message)
    return float(whole) - part
