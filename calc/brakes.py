"""Which trailers need brakes, how heavy a surge-braked one may be, and how strong its safety chains must be.

Federal rules, in force between states. States ask for brakes at other weights and for stronger chains: ask there.
"""

from __future__ import annotations

from .glossary import AXLE_LOAD_LB, CHAIN_RULE, COUNT, GROSS, GROSS_LB, HITCH, TRUCK_AXLES_LB, TRUCK_GVWR_LB
from .spec import trim

UNBRAKED_LB, UNBRAKED_SHARE_PERCENT = 3_000.0, 40.0
"""Up to both a trailer may go without brakes (393.42(b)(3))."""
SURGE_LIGHT_LB, SURGE_LIGHT_RATIO = 12_000.0, 1.75
"""Up to that rating, so many times the truck's (393.48(d)(1))."""
SURGE_HEAVY_LB, SURGE_HEAVY_RATIO = 20_000.0, 1.25
"""The greatest whole pound below 20,001 lb, and so many times the truck's rating (393.48(d)(2))."""


def brakes_needed(gross_lb: float, axle_load_lb: float, truck_axles_lb: float) -> str:
    """``yes`` where a trailer must have brakes on all wheels, else ``no``.

    It may go without where it weighs at most 3,000 lb and its axles carry at most 40 % of what the truck's axles carry.
    A trailer that needs brakes needs them to apply at once by themselves on breaking away and to hold 15 minutes
    (393.43(d)).

    Args:
        gross_lb: Weight of the trailer with its load in pounds, above 0.
        axle_load_lb: What the trailer's axles carry of it in pounds, above 0.
        truck_axles_lb: What the truck's axles carry together, coupled, in pounds, above 0.

    Raises:
        OutOfRange: A value outside those ranges, NaN included.

    Source: 49 CFR 393.42(a), (b)(3), CFR of 2015.

    >>> brakes_needed(3_000, 2_700, 6_600), brakes_needed(3_000, 2_700, 6_800), brakes_needed(3_001, 2_700, 9_000)
    ('yes', 'no', 'yes')
    """
    GROSS_LB.check(gross_lb)
    AXLE_LOAD_LB.check(axle_load_lb)
    TRUCK_AXLES_LB.check(truck_axles_lb)
    light = gross_lb <= UNBRAKED_LB and 100 * axle_load_lb <= UNBRAKED_SHARE_PERCENT * truck_axles_lb
    return "no" if light else "yes"


def surge_brake_limit(truck_gvwr_lb: float) -> float:
    """Greatest rating in pounds of a trailer with surge brakes behind a truck of this rating.

    Up to 12,000 lb at most 1.75 T; above that and below 20,001 lb at most 1.25 T; heavier ones not at all:
    W = max(min(12,000, 1.75 T), min(20,000, 1.25 T)). Where a vehicle weighs more than its rating its weight counts.

    Args:
        truck_gvwr_lb: Rating T of the truck in pounds, or its actual weight if that is greater, above 0.

    Raises:
        OutOfRange: A value outside that range, NaN included.

    Source: 49 CFR 393.48(d), CFR of 2015; 72 FR 9870.

    >>> surge_brake_limit(6_000), surge_brake_limit(9_600), surge_brake_limit(10_000), surge_brake_limit(19_500)
    (10500.0, 12000.0, 12500.0, 20000.0)
    """
    TRUCK_GVWR_LB.check(truck_gvwr_lb)
    light = min(SURGE_LIGHT_LB, SURGE_LIGHT_RATIO * truck_gvwr_lb)
    return max(light, min(SURGE_HEAVY_LB, SURGE_HEAVY_RATIO * truck_gvwr_lb))


def chain_strength(gross: float, count: float, hitch: str | None = None, chain_rule: str | None = None) -> float:
    """Breaking strength that each safety chain needs, in the unit of ``gross``; 0 behind a gooseneck.

    Together they must hold the weight towed, r = W / n, by the federal rule; some states ask it of each, r = W, as New
    Hampshire does (RSA 266:63). The federal rule names full trailers, which rest no weight on the truck: states carry
    it over to those that do. Texas leaves goosenecks out (37 TAC 21.5), others only fifth wheels: ask the state.
    A breaking strength is no working load limit: ask the maker for it.

    Args:
        gross: Weight W towed, above 0.
        count: Number n of chains, whole, 1 to 1,000.
        hitch: ``pintle``, ``ball`` or ``gooseneck``; absent counts as one that needs chains.
        chain_rule: ``together`` (where absent) or ``each``.

    Raises:
        OutOfRange: A value outside those ranges, NaN included.
        NotInTable: Another word.

    Source: 49 CFR 393.70(d), CFR of 2015, with the agency's guidance, question 2; NH RSA 266:63; 37 TAC 21.5.

    >>> chain_strength(14_000, 2), chain_strength(14_000, 2, "ball", "each"), chain_strength(14_000, 2, "gooseneck")
    (7000.0, 14000.0, 0.0)
    """
    GROSS.check(gross)
    COUNT.check(count)
    if chain_rule is not None:
        CHAIN_RULE.check(chain_rule)
    if hitch is not None:
        HITCH.check(hitch)
        if trim(hitch).lower() == "gooseneck":
            return 0.0
    return float(gross) if chain_rule is not None and trim(chain_rule).lower() == "each" else gross / count
