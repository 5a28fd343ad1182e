"""What scale tickets say: weight on the hitch, weight of the trailer, and where a machine has its center.

Weigh on a certified scale, level, with the same driver, fuel and tools on every ticket; the certification label governs
what may be carried. The errors of all tickets add up: two that may each be 40 lb off leave a difference 80 lb off.
"""

from __future__ import annotations

from .errors import NotStated, OutOfRange
from .glossary import (
    FRONT_WEIGHT,
    GROSS,
    REAR_WEIGHT,
    TRAILER_ALONE,
    TRAILER_HITCHED,
    TRUCK_ALONE,
    TRUCK_HITCHED,
    WHEELBASE,
)
from .ratings import check_stated


def ticket_pin(
    truck_alone: float | None,
    truck_hitched: float | None = None,
    trailer_hitched: float | None = None,
    trailer_alone: float | None = None,
) -> float:
    """Weight on the hitch out of scale tickets, in their unit; negative where the trailer lifts the hitch.

    P = W - A where both tickets of the trailer are stated, since driver and fuel do not enter it; else P = H - T. A
    negative result can also mean that two tickets are swapped.

    With a weight-distributing hitch these are the apparent pin only. Its bars move load from the hitch to the trailer's
    axles: chains that pull with S together, at c behind the ball, on a trailer with its axles at E behind the ball,
    leave p = P - S c / E of the true pin P. Weigh with the bars slack for the true one. The trailer's weight is not
    changed by them, see :func:`ticket_trailer`.

    Args:
        truck_alone: Weight T of the truck without the trailer, above 0.
        truck_hitched: Weight H on the truck's axles with the trailer coupled and its axles off the scale, above 0.
        trailer_hitched: Weight A on the trailer's axles, coupled and level, above 0.
        trailer_alone: Weight W of the whole trailer uncoupled, loaded as when coupled, above 0.

    Raises:
        NotStated: Neither both tickets of the truck nor both of the trailer.
        OutOfRange: A value outside those ranges, NaN included.

    Source: equilibrium of moments; the bars as the equalizing hitch of a statics textbook, its problem 6.72.

    >>> ticket_pin(5_000, 5_600)
    600.0
    >>> ticket_pin(None, None, 7_740, 8_600)
    860.0
    """
    check_stated(
        (TRUCK_ALONE, truck_alone),
        (TRUCK_HITCHED, truck_hitched),
        (TRAILER_HITCHED, trailer_hitched),
        (TRAILER_ALONE, trailer_alone),
    )
    if trailer_alone is not None and trailer_hitched is not None:
        return float(trailer_alone) - trailer_hitched
    if truck_alone is not None and truck_hitched is not None:
        return float(truck_hitched) - truck_alone
    message = "neither truck_alone and truck_hitched nor trailer_alone and trailer_hitched are stated"
    raise NotStated(message)


def ticket_trailer(truck_alone: float, truck_hitched: float, trailer_hitched: float) -> float:
    """Weight of the trailer with its load out of scale tickets, in their unit: W = H + A - T.

    Right with a weight-distributing hitch too: what its bars take off the truck they put on the trailer's axles. Leave
    the bars as they are between both tickets of the hitched rig.

    Args:
        truck_alone: Weight T of the truck without the trailer, above 0.
        truck_hitched: Weight H on the truck's axles with the trailer coupled and its axles off the scale, above 0.
        trailer_hitched: Weight A on the trailer's axles, coupled, above 0.

    Raises:
        OutOfRange: A value outside those ranges, NaN included, or a truck alone as heavy as the whole rig.

    Source: equilibrium.

    >>> ticket_trailer(5_000, 5_600, 5_200)
    5800.0
    """
    TRUCK_ALONE.check(truck_alone)
    TRUCK_HITCHED.check(truck_hitched)
    TRAILER_HITCHED.check(trailer_hitched)
    weight = float(truck_hitched) + trailer_hitched - truck_alone
    if weight <= 0:
        raise OutOfRange(GROSS.refusal(weight))
    return weight


def center_from_axles(front_weight: float, rear_weight: float, wheelbase: float) -> float:
    """Distance from a machine's front axle back to its center of gravity, in the unit of ``wheelbase``: R L / (F + R).

    Moments about the front axle. Weigh level, each axle once with the other off the scale, attachments, tank and
    operator as on the trailer: a bucket carried otherwise moves the center. For a machine on tracks ask its maker.

    Args:
        front_weight: Weight F on the front axle, above 0.
        rear_weight: Weight R on the rear axle, above 0, same unit.
        wheelbase: Distance L between the axles, above 0.

    Raises:
        OutOfRange: A value outside those ranges, NaN included.

    Source: equilibrium of moments, as in FAA-H-8083-1 chapter 10.

    >>> center_from_axles(6_000, 4_000, 80)
    32.0
    """
    FRONT_WEIGHT.check(front_weight)
    REAR_WEIGHT.check(rear_weight)
    WHEELBASE.check(wheelbase)
    return rear_weight * wheelbase / (float(front_weight) + rear_weight)
