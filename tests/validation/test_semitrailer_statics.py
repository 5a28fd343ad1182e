"""Weights on hitch and axles against published statics exercises and a structural-analysis library.

The exercises: a semitrailer (standard textbook problem), a pickup with a load behind its axle (university exercise), an
empty truck weighed axle by axle (physics forum). The library: anastruct, which solves the beam by finite elements.
"""

from __future__ import annotations

import random

import pytest
from anastruct import SystemElements

from tarelot.calc.placement import (
    axles_at,
    foremost,
    front_axle_change,
    loading_pin,
    pin_at,
    rear_axle_change,
    rearmost,
)

ELEMENTS = 1e-6
"""Share of the gross by which the library may be off: it solves stiffness equations of long and short elements."""


def reactions(supports: tuple[float, float], loads: dict[float, float]) -> tuple[float, float]:
    """Upward reactions of a beam on two supports under downward loads by place, from anastruct."""
    places = sorted({*supports, *loads})
    beam = SystemElements()
    for start, end in zip(places, places[1:], strict=False):
        beam.add_element([[start, 0], [end, 0]])
    nodes = {place: number for number, place in enumerate(places, 1)}
    beam.add_support_hinged(nodes[supports[0]])
    beam.add_support_roll(nodes[supports[1]])
    for place, weight in loads.items():
        beam.point_load(nodes[place], Fy=-weight)
    beam.solve()
    first, second = (-float(beam.reaction_forces[nodes[place]].Fy) for place in supports)
    return first, second


class TestSemitrailer:
    """Tanker of 20,000 lb, center of gravity 10 ft behind the coupling, axle 25 ft behind it: 12,000 and 8,000 lb."""

    @pytest.mark.parametrize("share_of_trailer", [0.05, 0.25, 0.5, 0.9])
    def test_reactions(self, share_of_trailer: float) -> None:
        """However the 20,000 lb is shared between trailer and load, if both have their center at 10 ft."""
        trailer = 20_000 * share_of_trailer
        arguments = (trailer, trailer * 15 / 25, 25, 20_000 - trailer, 10)
        assert pin_at(*arguments) == pytest.approx(12_000, rel=1e-12)
        assert axles_at(*arguments) == pytest.approx(8_000, rel=1e-12)

    def test_the_library_agrees_with_the_book(self) -> None:
        assert reactions((0, 25), {10: 20_000}) == pytest.approx((12_000, 8_000), rel=1e-9)

    def test_place_from_reactions(self) -> None:
        """Read backward: a share of 0.6 on the pin is met at 10 ft, as either end of a window."""
        assert foremost(5_000, 3_000, 25, 15_000, 0.5, 0.6) == pytest.approx(10, rel=1e-12)
        assert rearmost(5_000, 3_000, 25, 15_000, 0.6, 0.7) == pytest.approx(10, rel=1e-12)


class TestPickup:
    """3,020 lb, center of gravity 45 in behind the front axle, wheelbase 112 in; 437.105 lb 20 in behind the rear axle
    makes the axles equal, 1,728.55 lb each. Figures are printed to a thousandth of a pound: hence the tolerances."""

    FRONT, REAR, LOAD = 3_020 * 67 / 112, 3_020 * 45 / 112, 437.105

    def test_axle_changes(self) -> None:
        assert self.FRONT + front_axle_change(self.LOAD, 112, 20) == pytest.approx(1_728.55, abs=0.005)
        assert self.REAR + rear_axle_change(self.LOAD, 112, 20) == pytest.approx(1_728.55, abs=0.005)

    def test_as_a_load_beyond_the_axles(self) -> None:
        """The same beam with the front axle in place of the coupler."""
        assert loading_pin(3_020, self.FRONT, 112, self.LOAD, 132) == pytest.approx(1_728.55, abs=0.005)
        assert axles_at(3_020, self.FRONT, 112, self.LOAD, 132) == pytest.approx(1_728.55, abs=0.005)


def test_center_of_gravity_by_weighing() -> None:
    """Front 18 kN, rear 12 kN, wheelbase 5 m: the center is 2.0 m behind the front axle."""
    trailer = (1e-9, 0, 5, 30)  # a trailer of no weight worth the name: all 30 kN are the load
    assert pin_at(*trailer, 2.0) == pytest.approx(18, rel=1e-9)
    assert axles_at(*trailer, 2.0) == pytest.approx(12, rel=1e-9)


@pytest.mark.parametrize("seed", range(40))
def test_random_trailers_against_anastruct(seed: int) -> None:
    """Load before, between and behind the supports; the truck below it as a second beam, loaded by the pin."""
    chance = random.Random(seed)
    empty, load = chance.uniform(2_000, 15_000), chance.uniform(1_000, 60_000)
    axles, place = chance.uniform(8, 40), chance.uniform(0.5, 55)
    center = chance.uniform(0.5, 1) * axles
    loads = {center: empty, place: load}
    empty_pin = empty * (axles - center) / axles
    pin, group = reactions((0, axles), loads)
    arguments = (empty, empty_pin, axles, load, place)
    assert pin_at(*arguments) == pytest.approx(pin, abs=ELEMENTS * (empty + load))
    assert axles_at(*arguments) == pytest.approx(group, abs=ELEMENTS * (empty + load))

    wheelbase, overhang = chance.uniform(9, 20), chance.uniform(-4, 6)
    front, rear = reactions((0, wheelbase), {wheelbase + overhang: pin})
    assert front_axle_change(pin, wheelbase, overhang) == pytest.approx(front, abs=ELEMENTS * (empty + load))
    assert rear_axle_change(pin, wheelbase, overhang) == pytest.approx(rear, abs=ELEMENTS * (empty + load))
