"""What must hold of placing, driving on, tying down and towing whatever the figures: physics and plain sense."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from tarelot.calc.clearance import break_angle, clearance_at_least, clearance_at_most, ramp_clearance, ramp_touch, sweep
from tarelot.calc.drive_on import LEVEL, Machine, gaps, profile
from tarelot.calc.placement import (
    NoPlace,
    axles_at,
    foremost,
    front_axle_change,
    loading_pin,
    pin_at,
    rear_axle_change,
    rearmost,
)
from tarelot.calc.tiedowns import CHAIN_GRADES, chain_wll, tiedown_count, tiedown_wll
from tarelot.calc.towing import bridge_limit, license_group, truck_limit, truck_limited_by, truck_limits

BALANCE = 1e-9  # of the greatest moment or weight in the sum
EDGE = 1e-9  # of the gross weight
many = settings(max_examples=300, deadline=None)


def figure(least: float, greatest: float) -> st.SearchStrategy[float]:
    return st.floats(least, greatest, allow_nan=False)


@st.composite
def trailers(draw: st.DrawFn) -> tuple[float, float, float, float]:
    """Empty weight, empty pin, coupler to axles, load."""
    empty = draw(figure(500, 20_000))
    return empty, empty * draw(figure(0, 1)), draw(figure(5, 50)), draw(figure(100, 100_000))


@st.composite
def windows(draw: st.DrawFn) -> dict[str, Any]:
    """Limits of a window: shares, and now and then ratings."""
    low = draw(figure(0.01, 0.4))
    return {
        "low_pin_share": low,
        "high_pin_share": low + draw(figure(0, 0.3)),
        "axle_group_rating": draw(st.none() | figure(1_000, 100_000)),
        "coupler_vertical": draw(st.none() | figure(100, 30_000)),
    }


class TestPlacing:
    @given(trailers(), figure(0, 80))
    @many
    def test_forces_and_moments_balance(self, trailer: tuple[float, float, float, float], place: float) -> None:
        empty, empty_pin, axles, load = trailer
        pin, group = pin_at(*trailer, place), axles_at(*trailer, place)
        center = axles * (empty - empty_pin) / empty
        assert math.isclose(pin + group, empty + load, rel_tol=BALANCE)
        scale = max(empty * center, load * place, abs(group) * axles, 1)
        assert abs(group * axles - empty * center - load * place) <= BALANCE * scale

    @given(trailers(), figure(0, 60), figure(0, 20))
    @many
    def test_moving_the_load_back_never_raises_the_pin(
        self, trailer: tuple[float, float, float, float], place: float, further: float
    ) -> None:
        assert pin_at(*trailer, place + further) <= pin_at(*trailer, place)
        assert axles_at(*trailer, place + further) >= axles_at(*trailer, place)

    @given(trailers(), figure(0.01, 80))
    @many
    def test_loading_is_a_load_at_the_tail(self, trailer: tuple[float, float, float, float], tail: float) -> None:
        assert loading_pin(*trailer, tail) == pin_at(*trailer, tail)

    @given(figure(-5_000, 10_000), figure(100, 300), figure(-0.9, 0.9))
    @many
    def test_the_truck_carries_the_pin(self, pin: float, wheelbase: float, share: float) -> None:
        overhang = share * wheelbase
        front, rear = front_axle_change(pin, wheelbase, overhang), rear_axle_change(pin, wheelbase, overhang)
        assert abs(front + rear - pin) <= BALANCE * max(abs(pin), 1)
        assert abs(rear * wheelbase - pin * (wheelbase + overhang)) <= BALANCE * max(abs(pin) * wheelbase, 1)


class TestWindow:
    @given(trailers(), windows())
    @many
    def test_edges_meet_the_limits(self, trailer: tuple[float, float, float, float], limits: dict[str, Any]) -> None:
        """At each edge every limit holds, and one of those that bound it is met exactly; else it is the coupler."""
        gross = trailer[0] + trailer[3]
        try:
            first, last = foremost(*trailer, **limits), rearmost(*trailer, **limits)
        except NoPlace:
            assume(False)
        assert first <= last + EDGE * trailer[2]
        for place in (first, last):
            pin, group = pin_at(*trailer, place), axles_at(*trailer, place)
            assert limits["low_pin_share"] * gross - 2 * EDGE * gross <= pin
            assert pin <= limits["high_pin_share"] * gross + 2 * EDGE * gross
            assert limits["axle_group_rating"] is None or group <= limits["axle_group_rating"] + 2 * EDGE * gross
            assert limits["coupler_vertical"] is None or pin <= limits["coupler_vertical"] + 2 * EDGE * gross
        pin, group = pin_at(*trailer, first), axles_at(*trailer, last)
        at_first = [pin - limits["high_pin_share"] * gross, pin - (limits["coupler_vertical"] or math.inf)]
        at_last = [
            pin_at(*trailer, last) - limits["low_pin_share"] * gross,
            group - (limits["axle_group_rating"] or math.inf),
        ]
        assert first == 0 or min(map(abs, at_first)) <= EDGE * gross
        assert last == 0 or min(map(abs, at_last)) <= EDGE * gross

    @given(trailers(), windows())
    @many
    def test_where_there_is_no_place_none_of_a_thousand_fits(
        self, trailer: tuple[float, float, float, float], limits: dict[str, Any]
    ) -> None:
        """Both edges refuse together; then no place from the coupler to well behind the axles meets every limit."""
        refused = 0
        for edge in (foremost, rearmost):
            try:
                edge(*trailer, **limits)
            except NoPlace:
                refused += 1
        assert refused in (0, 2)
        gross = trailer[0] + trailer[3]
        fits = False
        for step in range(1_000):
            place = step * 3 * trailer[2] / 1_000
            pin, group = pin_at(*trailer, place), axles_at(*trailer, place)
            fits = fits or (
                limits["low_pin_share"] * gross <= pin <= limits["high_pin_share"] * gross
                and group <= (limits["axle_group_rating"] or math.inf)
                and pin <= (limits["coupler_vertical"] or math.inf)
            )
        assert not (fits and refused)


@st.composite
def profiles(draw: st.DrawFn) -> tuple[float, float, float, float]:
    """Deck height, tail drop, tail length, ramp length."""
    height = draw(figure(5, 60))
    tail = draw(st.just(0.0) | figure(5, 120))
    drop = min(tail * math.sin(math.radians(draw(st.just(0.0) | figure(0, 60)))), height * draw(figure(0, 1)))
    rise = height - drop
    return height, drop, tail, max(rise / math.sin(math.radians(draw(figure(2, 70)))), 0.5)


@st.composite
def machines(draw: st.DrawFn) -> dict[str, float]:
    """Wheelbase and clearances, with or without overhangs."""
    sizes = {"wheelbase": draw(figure(10, 300)), "ground_clearance": draw(figure(1, 40))}
    for end in draw(st.sets(st.sampled_from(("front", "rear")))):
        sizes |= {f"{end}_overhang": draw(figure(0.5, 120)), f"{end}_clearance": draw(figure(1, 60))}
    return sizes


def near(gap: float, machine: dict[str, float]) -> float:
    """Rounding allowed for a gap, which is a difference of lengths up to a few hundred."""
    return 1e-6 * (1 + abs(gap) + machine["wheelbase"])


class TestDrivingOn:
    @given(profiles(), machines())
    @settings(max_examples=1_500, deadline=None)
    @example((60.0, 0.0, 0.0, 100.0), {"wheelbase": 100.0, "ground_clearance": 20.0})
    def test_bounds_never_call_a_hang_up_safe(
        self, trailer: tuple[float, float, float, float], machine: dict[str, float]
    ) -> None:
        """The quick bounds enclose the exact gap: clear is clear, and a touch is a touch."""
        gap = ramp_clearance(*trailer, **machine)
        assert clearance_at_least(*trailer, **machine) <= gap + near(gap, machine)
        assert clearance_at_most(*trailer, **machine) >= gap - near(gap, machine)

    @given(profiles(), machines())
    @settings(max_examples=150, deadline=None)
    def test_no_stance_is_tighter(self, trailer: tuple[float, float, float, float], machine: dict[str, float]) -> None:
        """Even steps through the whole drive-on find no gap below the least."""
        gap = ramp_clearance(*trailer, **machine)
        ground, stances = sweep(trailer, Machine(**machine), 300)
        for stance in stances:
            assert all(found[0] >= gap - near(gap, machine) for found in gaps(ground, Machine(**machine), stance))

    @given(profiles(), machines())
    @settings(max_examples=150, deadline=None)
    def test_contacts_stand_on_the_profile_a_wheelbase_apart(
        self, trailer: tuple[float, float, float, float], machine: dict[str, float]
    ) -> None:
        ground, stances = sweep(trailer, Machine(**machine), 50)
        for stance in stances:
            front = stance.front_contact(machine["wheelbase"])
            for x, y in ((stance.x, stance.y), front):
                assert abs(y - height_at(ground.breaks, ground.angles, x)) < 1e-6 * (1 + machine["wheelbase"])
            assert math.dist((stance.x, stance.y), front) == pytest.approx(machine["wheelbase"])
        assert stances[0].tilt == 0
        assert stances[-1].tilt == pytest.approx(0, abs=1e-9)

    @given(profiles(), machines(), figure(0.02, 50))
    @many
    def test_scaling_all_lengths_scales_the_gap(
        self, trailer: tuple[float, float, float, float], machine: dict[str, float], scale: float
    ) -> None:
        gap = ramp_clearance(*trailer, **machine)
        scaled = {name: size * scale for name, size in machine.items()}
        larger = ramp_clearance(*(length * scale for length in trailer), **scaled)
        assert abs(larger - scale * gap) <= scale * near(gap, machine)

    @given(profiles(), machines(), figure(0.1, 20))
    @many
    def test_lifting_the_machine_lifts_the_gap(
        self, trailer: tuple[float, float, float, float], machine: dict[str, float], lift: float
    ) -> None:
        raised = {name: size + lift * name.endswith("clearance") for name, size in machine.items()}
        gap = ramp_clearance(*trailer, **machine)
        assert abs(ramp_clearance(*trailer, **raised) - gap - lift) <= near(gap, machine)

    @given(profiles(), machines())
    @many
    def test_never_more_than_on_the_level_and_the_words_say_so(
        self, trailer: tuple[float, float, float, float], machine: dict[str, float]
    ) -> None:
        least = min(size for name, size in machine.items() if name.endswith("clearance"))
        gap, words = ramp_clearance(*trailer, **machine), ramp_touch(*trailer, **machine)
        assert gap <= least
        assert words.endswith(LEVEL) == (gap == least)

    @given(profiles(), figure(1, 4))
    @many
    def test_a_longer_ramp_never_raises_an_angle(
        self, trailer: tuple[float, float, float, float], longer: float
    ) -> None:
        stretched = (*trailer[:3], trailer[3] * longer)
        for place in ("foot", "ramp top"):
            assert break_angle(*stretched, place) <= break_angle(*trailer, place)

    @given(profiles())
    @many
    def test_the_breaks_add_up(self, trailer: tuple[float, float, float, float]) -> None:
        """From level up and back to level: the foot's turn is that of the two crests together."""
        foot, top, tail = (break_angle(*trailer, place) for place in ("foot", "ramp top", "tail top"))
        assert foot == pytest.approx(top + tail, abs=1e-9)

    @given(profiles(), machines())
    @many
    def test_a_steady_slope_is_no_break(
        self, trailer: tuple[float, float, float, float], machine: dict[str, float]
    ) -> None:
        """Ramp and tail in line are one ramp of both lengths."""
        height, _, _, ramp = trailer
        assume(ramp > height)
        split = ramp_clearance(height, height * 0.25, ramp * 0.25, ramp * 0.75, **machine)
        assert abs(split - ramp_clearance(height, 0, 0, ramp, **machine)) <= near(split, machine)


def height_at(breaks: tuple[tuple[float, float], ...], angles: tuple[float, ...], x: float) -> float:
    """Height of a profile, piece by piece."""
    y, start = 0.0, -math.inf
    for (place, height), angle in zip(breaks, angles[1:], strict=True):
        if x >= place > start:
            y, start = height + (x - place) * math.tan(angle), place
    return y


def test_a_deck_on_the_ground_has_no_break() -> None:
    """A ramp too flat to matter leaves nothing to touch."""
    assert profile(1e-6, 0, 0, 100).breaks == ()
    assert ramp_touch(1e-6, 0, 0, 100, 100, 5) == "belly on level ground"


class TestTyingDown:
    @given(figure(1, 100_000), figure(0.1, 60), figure(0.1, 20))
    @many
    def test_longer_or_heavier_never_needs_fewer(self, weight: float, length: float, more: float) -> None:
        for words in ((None, None), ("blocked", None), (None, "machine"), ("blocked", "machine")):
            count = tiedown_count(weight, length, *words)
            assert tiedown_count(weight, length + more, *words) >= count
            assert tiedown_count(weight * (1 + more), length, *words) >= count
            assert count >= max(1, length / 10 if words[0] else 0)

    @given(figure(1, 100_000), st.integers(1, 20))
    @many
    def test_direct_needs_twice_the_rating(self, weight: float, count: int) -> None:
        assert tiedown_wll(weight, count) == 2 * tiedown_wll(weight, count, "indirect")
        assert tiedown_wll(weight, count + 1) < tiedown_wll(weight, count)

    def test_a_thicker_chain_is_stronger(self) -> None:
        for grade in CHAIN_GRADES:
            sizes = ("1/4", "5/16", "3/8", *(("7/16",) if grade <= 70 else ()), "1/2", "5/8")
            limits = [chain_wll(size, grade) for size in sizes]
            assert limits == sorted(set(limits))


@st.composite
def trucks(draw: st.DrawFn) -> dict[str, Any]:
    """A truck with some of its ratings stated, each from the empty weight up."""
    empty, rear = draw(figure(3_000, 20_000)), draw(figure(1_000, 8_000))
    wheelbase = draw(figure(100, 300))
    optional = {
        "gcwr": empty + draw(figure(0, 60_000)),
        "hitch_rating": draw(figure(1_000, 60_000)),
        "hitch_vertical": draw(figure(100, 12_000)),
    }
    truck = {"truck_gvwr": empty + draw(figure(1, 20_000)), "truck_empty": empty, "pin_share": draw(figure(0.05, 0.9))}
    truck |= {name: optional[name] for name in draw(st.sets(st.sampled_from(sorted(optional))))}
    if draw(st.booleans()):
        truck |= {"rear_axle_rating": rear + draw(figure(1, 20_000)), "rear_axle_empty": rear}
        truck |= {"wheelbase": wheelbase, "hitch_overhang": wheelbase * draw(figure(-0.5, 0.5))}
    return truck


class TestTowing:
    @given(trucks())
    @many
    def test_at_the_limit_every_rating_holds_and_one_is_met(self, truck: dict[str, Any]) -> None:
        gross = truck_limit(**truck)
        pin = gross * truck["pin_share"]
        spare = [truck["truck_gvwr"] - truck["truck_empty"] - pin]
        if "gcwr" in truck:
            spare.append(truck["gcwr"] - truck["truck_empty"] - gross)
        if "hitch_rating" in truck:
            spare.append(truck["hitch_rating"] - gross)
        if "hitch_vertical" in truck:
            spare.append(truck["hitch_vertical"] - pin)
        if "rear_axle_rating" in truck:
            added = rear_axle_change(pin, truck["wheelbase"], truck["hitch_overhang"] or 0)
            spare.append(truck["rear_axle_rating"] - truck["rear_axle_empty"] - added)
        assert min(spare) == pytest.approx(0, abs=1e-9 * (gross + truck["truck_gvwr"]))
        assert len(spare) == len(truck_limits(**truck))
        assert truck_limits(**truck)[truck_limited_by(**truck)] == gross

    @given(st.integers(2, 12), figure(0, 60), figure(0, 20))
    @many
    def test_a_longer_group_never_carries_less(self, axles: int, span: float, more: float) -> None:
        assert bridge_limit(axles, span + more) >= bridge_limit(axles, span)
        assert bridge_limit(axles, span) % 500 == 0

    @given(figure(1, 90_000), figure(0, 90_000), figure(0, 20_000))
    @many
    def test_a_heavier_rig_never_needs_a_lesser_license(self, truck: float, trailer: float, more: float) -> None:
        order = ("none", "B", "A")
        group = order.index(license_group(truck, trailer))
        assert order.index(license_group(truck + more, trailer)) >= group
        assert order.index(license_group(truck, trailer + more)) >= group
        assert order.index(license_group(truck, trailer, 90_000)) >= group
