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
    CARRIES,
    GCWR,
    HITCH_OVERHANG_IF_ANY,
    HITCH_RATING,
    HITCH_VERTICAL,
    LABEL_GCWR_LB,
    PIN_SHARE,
    REAR_AXLE_EMPTY,
    REAR_AXLE_RATING,
    SPAN_FT,
    TANDEMS,
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
TWO_TANDEMS_FT, TWO_TANDEMS_LEAST = 36.0, 4
"""Two tandems, of two axles or more each, may carry 34,000 lb each from this distance on."""


def license_group(
    truck_gvwr_lb: float,
    trailer_gvwr_lb: float,
    label_gcwr_lb: float | None = None,
    actual_gross_lb: float | None = None,
    carries: str | None = None,
) -> str:
    """Group of commercial license: ``A``, ``B``, ``C`` or ``none``.

    The combination's rating is the greatest of the one on the truck's certification label and the sum of the vehicles'
    ratings or actual weights, any mix that gives most (383.5, 79 FR 15245). A brochure's figure does not count. A:
    26,001 lb or more with a towed vehicle above 10,000 lb. B: the truck alone 26,001 lb or more. C: neither, but 16
    persons or more with the driver, or goods that need placards.

    Args:
        truck_gvwr_lb: Rating of the truck in pounds, or its actual weight if that is greater, above 0.
        trailer_gvwr_lb: Rating of the trailer in pounds, or its actual weight if that is greater; 0 for none.
        label_gcwr_lb: Combination rating on the truck's certification label, above 0; absent or 0 where none is there.
        actual_gross_lb: Actual weight of truck and trailer together, above 0.
        carries: ``placarded`` or ``passengers`` where it does; absent otherwise.

    Raises:
        OutOfRange: A value outside those ranges, NaN included.
        NotInTable: Another word.

    Source: 49 CFR 383.91(a), 383.5.

    >>> license_group(26_001, 10_000), license_group(26_001, 10_001), license_group(14_000, 12_000)
    ('B', 'A', 'none')
    >>> license_group(11_500, 10_001, label_gcwr_lb=30_000)
    'A'
    """
    TRUCK_GVWR_LB.check(truck_gvwr_lb)
    TRAILER_GVWR_LB.check(trailer_gvwr_lb)
    check_stated((LABEL_GCWR_LB, label_gcwr_lb), (ACTUAL_GROSS_LB, actual_gross_lb))
    if carries is not None:
        CARRIES.check(carries)
    combination = max(truck_gvwr_lb + trailer_gvwr_lb, label_gcwr_lb or 0.0, actual_gross_lb or 0.0)
    if trailer_gvwr_lb > LIGHT_TOWED_LB and combination >= HEAVY_LB:
        return "A"
    if truck_gvwr_lb >= HEAVY_LB:
        return "B"
    return "none" if carries is None else "C"


def bridge_limit(axles: float, span_ft: float, tandems: str | None = None) -> float:
    """Greatest weight in pounds on a group of axles in a row on the Interstate.

    W = 500 (L N / (N - 1) + 12 N + 36), L to the nearest foot (a half goes up), W to the nearest 500 lb (a half goes
    down). Ahead of it stand: 20,000 lb for one axle, or more within 40 in; 34,000 lb for a tandem, two or more axles
    within 96 in, which is asked before L is rounded: above 8 and below 9 ft the row of 8 ft counts. Two tandems may
    carry 34,000 lb each from 36 ft on. Never more than 20,000 lb an axle nor 80,000 lb in all. Any axle inside a group
    stays at 20,000 lb, any tandem at 34,000: check them too. Lengths are taken to a billionth of a foot. That a half
    goes up above 9 ft is from memory.

    Args:
        axles: Number N of axles in the group, whole, 1 to 20.
        span_ft: Feet L from the first to the last of them, from 0.
        tandems: ``tandems`` where the axles are two tandems, four axles or more; absent otherwise.

    Raises:
        OutOfRange: A value outside those ranges, NaN included, or tandems of fewer than four axles.
        NotInTable: Another word.

    Source: 23 USC 127; 23 CFR 658.5, 658.17.

    >>> bridge_limit(5, 51), bridge_limit(3, 9), bridge_limit(3, 8.9), bridge_limit(2, 4)
    (80000.0, 42500.0, 42000.0, 34000.0)
    >>> bridge_limit(4, 36), bridge_limit(4, 36, "tandems")
    (66000.0, 68000.0)
    """
    AXLES.check(axles)
    SPAN_FT.check(span_ft)
    if tandems is not None:
        TANDEMS.check(tandems)
        if axles < TWO_TANDEMS_LEAST:
            message = f"axles is {axles:g}: two tandems have {TWO_TANDEMS_LEAST} or more"
            raise OutOfRange(message)
    span = round(span_ft, 9)
    if axles == 1 or span <= SINGLE_AXLE_FT:
        return SINGLE_AXLE_LB
    if span <= TANDEM_FT:
        return TANDEM_LB
    feet = math.floor(span + 0.5) if span >= TANDEM_FT + 1 else TANDEM_FT
    formula = 500.0 * math.ceil(feet * axles / (axles - 1) + 12 * axles + 36 - 0.5)
    if tandems is not None and span >= TWO_TANDEMS_FT:
        formula = max(formula, 2 * TANDEM_LB)
    return min(GROSS_LB, SINGLE_AXLE_LB * axles, formula)


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
