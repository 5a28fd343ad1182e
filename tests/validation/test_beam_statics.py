"""Hitch and axles as the two supports of a beam, against a textbook problem and the structural-analysis library
anastruct. The group of axles counts as one support at its middle (equalized springs: from memory).
"""

from __future__ import annotations

import random

import pytest
from anastruct import SystemElements

from tarelot.calc.hitch import axle_load, pin_share, pin_weight, sticker_pin
from tarelot.calc.ratings import gross_limit

SOLVER = 1e-6
"""Share by which the library's stiffness solution may be off."""


def reactions(axles: float, loads: dict[float, float]) -> tuple[float, float]:
    """What the hitch at 0 and the axles carry of downward loads between them, from the library."""
    places = sorted({0.0, axles, *loads})
    beam = SystemElements()
    for start, end in zip(places, places[1:], strict=False):
        beam.add_element([[start, 0], [end, 0]])
    hitch, group = 1, places.index(axles) + 1
    beam.add_support_hinged(hitch)
    beam.add_support_roll(group)
    for place, weight in loads.items():
        beam.point_load(places.index(place) + 1, Fy=-weight)
    beam.solve()
    return -float(beam.reaction_forces[hitch].Fy), -float(beam.reaction_forces[group].Fy)


def test_textbook_semitrailer() -> None:
    """20,000 lb, center of gravity 10 ft behind the pin, axle 25 ft behind it: axle 8,000 lb, pin 12,000 lb."""
    share = (25 - 10) / 25
    assert pin_weight(20_000, share) == pytest.approx(12_000, rel=1e-12)
    assert axle_load(20_000, share) == pytest.approx(8_000, rel=1e-12)
    assert pin_share(12_000, 20_000) == pytest.approx(share, rel=1e-12)
    assert reactions(25, {10: 20_000}) == pytest.approx((12_000, 8_000), rel=SOLVER)


@pytest.mark.parametrize("seed", range(40))
def test_random_trailers(seed: int) -> None:
    """The library's hitch reaction gives the share; both weights then follow from the share."""
    chance = random.Random(seed)
    axles = chance.uniform(8, 40)
    loads = {chance.uniform(0.05, 0.95) * axles: chance.uniform(500, 30_000) for _ in range(chance.randint(1, 5))}
    gross = sum(loads.values())
    moment = sum(weight * (axles - place) for place, weight in loads.items())
    hitch, group = reactions(axles, loads)
    share = pin_share(hitch, gross)
    assert share == pytest.approx(moment / axles / gross, rel=SOLVER)
    assert pin_weight(gross, share) == pytest.approx(hitch, rel=1e-12)
    assert axle_load(gross, share) == pytest.approx(group, rel=SOLVER)
    assert pin_weight(gross, share) + axle_load(gross, share) == pytest.approx(gross, rel=1e-12)


@pytest.mark.parametrize("share", [0.08, 0.10, 0.125, 0.15, 0.20, 0.25])
def test_the_gross_limit_loads_the_axles_to_their_rating(share: float) -> None:
    """With the load placed so that the hitch carries the share, the library finds the axles at just their rating."""
    rating, axles = 24_000, 25.0
    limit = gross_limit(1_000_000, rating, low_pin_share=share)
    hitch, group = reactions(axles, {axles * (1 - share): limit})
    assert group == pytest.approx(rating, rel=SOLVER)
    assert hitch == pytest.approx(limit * share, rel=SOLVER)


@pytest.mark.parametrize("share", [0.10, 0.15, 0.25])
def test_the_gross_limit_loads_the_coupler_to_its_vertical_rating(share: float) -> None:
    vertical, axles = 3_000, 25.0
    limit = gross_limit(1_000_000, None, None, vertical, high_pin_share=share)
    hitch, _ = reactions(axles, {axles * (1 - share): limit})
    assert hitch == pytest.approx(vertical, rel=SOLVER)


def test_what_the_sticker_counts_on_is_carried_by_the_hitch() -> None:
    """GVWR 16,000 on two axles of 7,000: placed for axles at 14,000, the hitch carries the other 2,000."""
    counted_on = sticker_pin(16_000, 2, 7_000)
    hitch, group = reactions(20, {20 * (1 - counted_on / 16_000): 16_000})
    assert group == pytest.approx(14_000, rel=SOLVER)
    assert hitch == pytest.approx(counted_on, rel=SOLVER)
