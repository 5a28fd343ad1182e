"""Brakes, surge brakes, chains and flags against the texts of 49 CFR 393.42, .48, .70 and .87, CFR of 2015."""

from __future__ import annotations

import pytest

from tarelot.calc.brakes import brakes_needed, chain_strength, surge_brake_limit
from tarelot.calc.law import overhang_flags, placard_limit


def surge_allowed(truck: int, trailer: int) -> bool:
    """393.48(d) as it stands: two bands of the trailer's rating, each with a share of the truck's, in whole numbers."""
    if trailer <= 12_000:
        return 100 * trailer <= 175 * truck
    return trailer < 20_001 and 100 * trailer <= 125 * truck


@pytest.mark.parametrize("truck", [3_000, 6_000, 6_857, 6_858, 9_599, 9_600, 9_601, 10_000, 15_999, 16_000, 26_000])
def test_surge_limit_is_where_the_text_stops(truck: int) -> None:
    limit = surge_brake_limit(truck)
    assert [pounds for pounds in range(1, 22_000) if surge_allowed(truck, pounds) != (pounds <= limit)] == []


@pytest.mark.parametrize(
    ("gross", "axles", "truck", "needed"),
    [
        (3_000, 2_700, 6_600, "yes"),  # 40.9 %
        (3_000, 2_700, 6_750, "no"),  # 40 % is not more than 40
        (3_000, 2_700, 6_749, "yes"),
        (3_000, 2_700, 6_800, "no"),  # 39.7 %
        (3_001, 2_700, 6_800, "yes"),
    ],
)
def test_brakes(gross: float, axles: float, truck: float, needed: str) -> None:
    """393.42(b)(3): none needed up to 3,000 lb where its axles carry at most 40 % of what the truck's carry."""
    assert brakes_needed(gross, axles, truck) == needed


def test_chains_of_7000_lb_hold_14000_together_but_not_each() -> None:
    """393.70(d), guidance question 2, against New Hampshire's RSA 266:63."""
    assert chain_strength(14_000, 2) == 7_000
    assert chain_strength(14_000, 2, "pintle", "each") > 7_000


@pytest.mark.parametrize(
    ("rear", "side", "width", "flags"),
    [(48, 0, 24, 0), (49, 0, 24, 1), (49, 0, 24.1, 2), (0, 4, 110, 0), (0, 4.1, 110, 2), (60, 6, 110, 2)],
)
def test_flags(rear: float, side: float, width: float, flags: float) -> None:
    """393.87: beyond 4 ft behind or 4 in beside; one flag up to 2 ft of width, else two."""
    assert overhang_flags(rear, side, width) == flags


@pytest.mark.parametrize(("gvwr", "limit"), [(6_600, 99), (6_800, 100), (9_990, 100), (10_000, 100), (10_001, "none")])
def test_placard(gvwr: float, limit: float | str) -> None:
    """571.110 S10: the lesser of 1.5 % of GVWR and 100 lb, up to 10,000 lb GVWR."""
    assert placard_limit(gvwr) == limit
