"""Units against NIST SP 811's exact factors, as scipy.constants and pint hold them."""

from __future__ import annotations

import functools
import math
import random
from collections.abc import Callable

import pint
import pytest
from scipy import constants

from tarelot.calc.hitch import axle_load, pin_share, pin_weight, sticker_pin
from tarelot.calc.law import EXCISE_FREE_GVWR_LB, KILOGRAMS_PER_POUND, excise_rate
from tarelot.calc.ramps import breakover_angle, grade, ramp_angle, ramp_length, ramp_rise
from tarelot.calc.ratings import axle_group_rating, empty_weight, gross_limit, payload, shortfall, total
from tarelot.calc.tires import tire_load

UNITS: pint.UnitRegistry[float] = pint.UnitRegistry()
KILOGRAMS = UNITS.Quantity(1, "pound").m_as("kilogram")
METERS = UNITS.Quantity(1, "inch").m_as("meter")


def test_pound() -> None:
    """0.453 592 37 kg, exactly."""
    assert KILOGRAMS_PER_POUND == 0.45359237
    assert pytest.approx(constants.pound, rel=1e-15) == KILOGRAMS_PER_POUND
    assert pytest.approx(KILOGRAMS, rel=1e-15) == KILOGRAMS_PER_POUND


@pytest.mark.parametrize("index", range(0, 151, 10))
def test_tire_load_in_both_units(index: int) -> None:
    assert tire_load(index, "lb") == pytest.approx(UNITS.Quantity(tire_load(index, "kg"), "kg").m_as("lb"), rel=1e-12)


@pytest.mark.parametrize("pounds", [1, 25_999.9, 26_000, 26_000.1, 26_001, 80_000])
def test_excise_threshold_in_both_units(pounds: float) -> None:
    assert excise_rate(pounds, "lb") == excise_rate(pounds * constants.pound, "kg")
    assert UNITS.Quantity(EXCISE_FREE_GVWR_LB, "lb").m_as("kg") == pytest.approx(11_793.401_62, rel=1e-12)


WEIGHTS: dict[str, Callable[[Callable[[float], float]], float]] = {
    "empty_weight": lambda w: empty_weight(w(6_500), w(540)),
    "payload": lambda w: payload(w(15_000), w(8_600)),
    "pin_weight": lambda w: pin_weight(w(14_000), 0.125),
    "axle_load": lambda w: axle_load(w(14_000), 0.125),
    "sticker_pin": lambda w: sticker_pin(w(25_900), 2, w(12_000)),
    "axle_group_rating": lambda w: axle_group_rating(2, w(12_000), w(11_000), 4, w(2_778), w(2_900)),
    "gross_limit by axles": lambda w: gross_limit(w(30_000), w(22_000), w(25_000), w(3_900)),
    "gross_limit by vertical": lambda w: gross_limit(w(30_000), w(22_000), w(25_000), w(2_100)),
    "total": lambda w: total(2, w(12_000)),
    "shortfall": lambda w: shortfall(w(25_000), w(24_000)),
}


def converted_pounds(unit: str, pounds: float) -> float:
    return float(UNITS.Quantity(pounds, "pound").m_as(unit))


@pytest.mark.parametrize("name", WEIGHTS)
def test_weights_in_and_out_in_the_same_unit(name: str) -> None:
    """In kilograms, pounds and short tons the same weight comes out: no function holds a unit of its own."""
    function = WEIGHTS[name]
    pounds = function(lambda pounds: pounds)
    for unit in ("kilogram", "short_ton", "newton / standard_gravity"):
        converted = function(functools.partial(converted_pounds, unit))
        assert UNITS.Quantity(converted, unit).m_as("pound") == pytest.approx(pounds, rel=1e-12)


def test_a_share_has_no_unit() -> None:
    assert pin_share(1_400 * KILOGRAMS, 14_000 * KILOGRAMS) == pytest.approx(pin_share(1_400, 14_000), rel=1e-12)


@pytest.mark.parametrize("seed", range(20))
def test_lengths_and_angles(seed: int) -> None:
    """Inches and meters give the same angles; angles convert as pint converts them."""
    chance = random.Random(seed)
    rise, length = chance.uniform(1, 60), chance.uniform(61, 200)
    angle = ramp_angle(rise, length)
    assert ramp_angle(rise * METERS, length * METERS) == pytest.approx(angle, rel=1e-12)
    assert math.sin(UNITS.Quantity(angle, "degree").m_as("radian")) == pytest.approx(rise / length, rel=1e-12)
    assert ramp_length(rise, angle) == pytest.approx(length, rel=1e-12)
    assert ramp_length(rise * METERS, angle) == pytest.approx(length * METERS, rel=1e-12)
    assert grade(angle) == pytest.approx(rise / math.sqrt(length**2 - rise**2), rel=1e-12)
    assert breakover_angle(rise * METERS, length * METERS) == pytest.approx(breakover_angle(rise, length), rel=1e-12)
    assert ramp_rise(length * METERS, rise * METERS) == pytest.approx(ramp_rise(length, rise) * METERS, rel=1e-12)
