"""Where a load sits, and what then rests on hitch, trailer axles and truck axles: beams on two supports.

The trailer is a beam on its coupler, at 0, and on the middle of its axle group, at E behind it; a tandem counts as one
support at its middle, as equalizing springs make it. Weigh the loaded rig on a certified scale: every figure here is
only as good as the distances and weights that went in.
"""

from __future__ import annotations

from .errors import NotInTable, OutOfRange
from .glossary import (
    AXLE_GROUP_RATING,
    COUPLER_TO_AXLES,
    COUPLER_TO_DECK,
    COUPLER_TO_LOAD,
    COUPLER_TO_TAIL,
    COUPLER_VERTICAL,
    EMPTY_PIN,
    EMPTY_WEIGHT,
    HIGH_PIN_SHARE,
    HITCH_OVERHANG,
    LOAD_WEIGHT,
    LOW_PIN_SHARE,
    PIN,
    TRUCK_WHEELBASE,
)
from .ratings import check_stated

ROUNDING = 1e-9
"""Share of the gross by which two limits on the pin may miss each other and still leave one place: rounding only."""


class NoPlace(NotInTable):
    """No place on the trailer meets every limit."""


def pin_at(
    empty_weight: float, empty_pin: float, coupler_to_axles: float, load_weight: float, coupler_to_load: float
) -> float:
    """Weight on the hitch with the load's center of gravity at a place, in the unit of the weights.

    P = P0 + L (E - x) / E, moments about the axle group. A load behind the axles lifts the hitch; a negative result
    is an upward pull.

    Args:
        empty_weight: Weight of the empty trailer, above 0.
        empty_pin: Part P0 of it on the hitch, from 0 to ``empty_weight``.
        coupler_to_axles: Distance E from the coupler to the middle of the axle group, above 0.
        load_weight: Weight L of the load, above 0.
        coupler_to_load: Distance x from the coupler back to the load's center, from 0; beyond the axles is allowed.

    Raises:
        OutOfRange: A value outside those ranges, NaN included.

    Source: equilibrium of moments, as in any statics text.

    >>> pin_at(5_000, 500, 25, 20_000, 10)
    12500.0
    """
    _check_trailer(empty_weight, empty_pin, coupler_to_axles, load_weight)
    COUPLER_TO_LOAD.check(coupler_to_load)
    return empty_pin + load_weight * (coupler_to_axles - coupler_to_load) / coupler_to_axles


def axles_at(
    empty_weight: float, empty_pin: float, coupler_to_axles: float, load_weight: float, coupler_to_load: float
) -> float:
    """Weight on the axle group with the load's center at a place: A = E0 - P0 + L x / E, moments about the coupler.

    All else as :func:`pin_at`; the two add up to the trailer's empty weight E0 and the load.

    >>> axles_at(5_000, 500, 25, 20_000, 10)
    12500.0
    """
    _check_trailer(empty_weight, empty_pin, coupler_to_axles, load_weight)
    COUPLER_TO_LOAD.check(coupler_to_load)
    return empty_weight - empty_pin + load_weight * coupler_to_load / coupler_to_axles


def foremost(
    empty_weight: float,
    empty_pin: float,
    coupler_to_axles: float,
    load_weight: float,
    low_pin_share: float,
    high_pin_share: float,
    axle_group_rating: float | None = None,
    coupler_vertical: float | None = None,
) -> float:
    """Least distance from the coupler to the load's center that meets every limit, in the unit of the distances.

    The pin share is then at most the high one and the pin at most its rating. Since the pin falls as the load moves
    back, x = E (P0 + L - P) / L for the greatest pin P allowed. It is never ahead of the coupler, so the least is 0;
    the deck's own ends are not looked at.

    Args:
        empty_weight: Weight of the empty trailer, above 0.
        empty_pin: Part P0 of it on the hitch, from 0 to ``empty_weight``.
        coupler_to_axles: Distance E from the coupler to the middle of the axle group, above 0.
        load_weight: Weight L of the load, above 0.
        low_pin_share: Least share of the gross on the hitch, above 0 and below 1.
        high_pin_share: Greatest share, from the low one to below 1.
        axle_group_rating: Rating of the axle group, above 0.
        coupler_vertical: Greatest downward load on the coupler, above 0.

    Raises:
        OutOfRange: A value outside those ranges, NaN included.
        NoPlace: No place meets every limit.

    >>> foremost(5_000, 500, 25, 20_000, 0.10, 0.15)
    20.9375
    """
    _, greatest = _pin_limits(
        empty_weight,
        empty_pin,
        coupler_to_axles,
        load_weight,
        low_pin_share,
        high_pin_share,
        axle_group_rating,
        coupler_vertical,
    )
    return coupler_to_axles * (empty_pin + load_weight - greatest) / load_weight


def rearmost(
    empty_weight: float,
    empty_pin: float,
    coupler_to_axles: float,
    load_weight: float,
    low_pin_share: float,
    high_pin_share: float,
    axle_group_rating: float | None = None,
    coupler_vertical: float | None = None,
) -> float:
    """Greatest distance from the coupler to the load's center that meets every limit.

    The pin share is then at least the low one and the axle group at most its rating: x = E (P0 + L - P) / L for the
    least pin P allowed. It may lie behind the axles where the empty trailer is heavy on its hitch. Parameters and
    errors as :func:`foremost`.

    >>> rearmost(5_000, 500, 25, 20_000, 0.10, 0.15)
    22.5
    """
    least, _ = _pin_limits(
        empty_weight,
        empty_pin,
        coupler_to_axles,
        load_weight,
        low_pin_share,
        high_pin_share,
        axle_group_rating,
        coupler_vertical,
    )
    return max(0.0, coupler_to_axles * (empty_pin + load_weight - least) / load_weight)


def from_deck(coupler_to_load: float, coupler_to_deck: float) -> float:
    """Distance from the deck's front edge back to the load's center: negative where that stands ahead of the deck.

    Args:
        coupler_to_load: Distance from the coupler back to the load's center, from 0.
        coupler_to_deck: Distance from the coupler back to the deck's front edge, above 0.

    Raises:
        OutOfRange: A value outside those ranges, NaN included.

    >>> from_deck(20, 5.5)
    14.5
    """
    COUPLER_TO_LOAD.check(coupler_to_load)
    COUPLER_TO_DECK.check(coupler_to_deck)
    return float(coupler_to_load) - coupler_to_deck


def loading_pin(
    empty_weight: float, empty_pin: float, coupler_to_axles: float, load_weight: float, coupler_to_tail: float
) -> float:
    """Weight on the hitch with the whole load over the tail's end, as it drives on; negative lifts the truck.

    The formula of :func:`pin_at` at the tail. The ramps' feet take part of the load in truth, so that the lift is the
    worst case; block the tail or use its stands.

    Args:
        empty_weight: Weight of the empty trailer, above 0.
        empty_pin: Part of it on the hitch, from 0 to ``empty_weight``.
        coupler_to_axles: Distance from the coupler to the middle of the axle group, above 0.
        load_weight: Weight of the load, above 0.
        coupler_to_tail: Distance from the coupler to the tail's end, above 0.

    Raises:
        OutOfRange: A value outside those ranges, NaN included.

    >>> loading_pin(5_000, 500, 20, 20_000, 30)
    -9500.0
    """
    COUPLER_TO_TAIL.check(coupler_to_tail)
    return pin_at(empty_weight, empty_pin, coupler_to_axles, load_weight, coupler_to_tail)


def rear_axle_change(pin: float, wheelbase: float, hitch_overhang: float) -> float:
    """What the weight on the hitch adds to the truck's rear axles: P (1 + o / w), moments about the front axle.

    Args:
        pin: Weight P on the hitch; negative where it lifts.
        wheelbase: Distance w from the front axle to the middle of the rear axles, above 0.
        hitch_overhang: Distance o from there back to the hitch; negative ahead, but behind the front axle.

    Raises:
        OutOfRange: A value outside those ranges, NaN included.

    >>> rear_axle_change(2_000, 150, 45)
    2600.0
    """
    _check_truck(pin, wheelbase, hitch_overhang)
    return pin * (1 + hitch_overhang / wheelbase)


def front_axle_change(pin: float, wheelbase: float, hitch_overhang: float) -> float:
    """What the weight on the hitch adds to the truck's front axle: -P o / w, moments about the rear axles.

    Negative where a hitch behind the rear axles takes weight off the steering. Parameters and errors as
    :func:`rear_axle_change`.

    >>> front_axle_change(2_000, 150, 45)
    -600.0
    """
    _check_truck(pin, wheelbase, hitch_overhang)
    return 0.0 - pin * hitch_overhang / wheelbase


def _check_trailer(empty_weight: float, empty_pin: float, coupler_to_axles: float, load_weight: float) -> None:
    """Ranges of the trailer and its load."""
    EMPTY_WEIGHT.check(empty_weight)
    EMPTY_PIN.check(empty_pin)
    COUPLER_TO_AXLES.check(coupler_to_axles)
    LOAD_WEIGHT.check(load_weight)
    if empty_pin > empty_weight:
        message = f"empty_pin is {empty_pin:,.15g}: allowed is up to empty_weight, {empty_weight:,.15g}"
        raise OutOfRange(message)


def _check_truck(pin: float, wheelbase: float, hitch_overhang: float) -> None:
    """Ranges of the truck and its hitch."""
    PIN.check(pin)
    TRUCK_WHEELBASE.check(wheelbase)
    HITCH_OVERHANG.check(hitch_overhang)
    check_behind_front_axle(wheelbase, hitch_overhang)


def check_behind_front_axle(wheelbase: float, hitch_overhang: float) -> None:
    """Refuse a hitch at or ahead of the front axle.

    Raises:
        OutOfRange: Naming both distances.
    """
    if hitch_overhang <= -wheelbase:
        message = f"hitch_overhang is {hitch_overhang:,.15g}: allowed is above {-wheelbase:,.15g}, the front axle"
        raise OutOfRange(message)


def _pin_limits(
    empty_weight: float,
    empty_pin: float,
    coupler_to_axles: float,
    load_weight: float,
    low_pin_share: float,
    high_pin_share: float,
    axle_group_rating: float | None,
    coupler_vertical: float | None,
) -> tuple[float, float]:
    """Least and greatest pin that every limit allows with the load at or behind the coupler."""
    _check_trailer(empty_weight, empty_pin, coupler_to_axles, load_weight)
    LOW_PIN_SHARE.check(low_pin_share)
    HIGH_PIN_SHARE.check(high_pin_share)
    check_stated((AXLE_GROUP_RATING, axle_group_rating), (COUPLER_VERTICAL, coupler_vertical))
    if low_pin_share > high_pin_share:
        message = f"low_pin_share is {low_pin_share:.15g}: allowed is up to high_pin_share, {high_pin_share:.15g}"
        raise OutOfRange(message)
    gross = float(empty_weight) + load_weight
    least = low_pin_share * gross
    if axle_group_rating is not None:
        least = max(least, gross - axle_group_rating)
    greatest = min(high_pin_share * gross, empty_pin + load_weight)
    if coupler_vertical is not None:
        greatest = min(greatest, coupler_vertical)
    if least - greatest > ROUNDING * gross:
        message = f"no place: the limits ask for at least {least:,.0f} and at most {greatest:,.0f} on the hitch"
        raise NoPlace(message)
    return least, greatest
