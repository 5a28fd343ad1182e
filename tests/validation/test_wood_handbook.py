"""What wood weighs, against the USDA Wood Handbook FPL-GTR-190, chapter 4, and the unit library pint.

Its formula as a university's forestry pages work it (oak.snr.missouri.edu): G 0.4 at 12 % gives 27.968 lb/ft3 and
448 kg/m3. Specific gravities at 12 %: shortleaf pine 0.51 and slash pine 0.59 from the handbook, their densities
worked; Douglas-fir 0.48 with 34 lb/ft3 air-dry in print (owic.oregonstate.edu); white oak 0.68 from memory, 47 lb/ft3
second-hand.
"""

from __future__ import annotations

import pint
import pytest

from tarelot.calc.wood import deck_weight


def cubic_foot(specific_gravity: float) -> float:
    """Weight of a cubic foot at 12 %, in pounds."""
    return deck_weight(1, 12, 12, specific_gravity)


def test_worked_example() -> None:
    assert cubic_foot(0.4) == pytest.approx(27.968, abs=0.001)
    assert deck_weight(1, 1_000, 1_000, 0.4, unit="kg") == pytest.approx(448, rel=1e-12)


@pytest.mark.parametrize(
    ("specific_gravity", "density", "last_digit"),
    [(0.51, 35.7, 0.1), (0.59, 41.3, 0.1), (0.48, 34, 1), (0.68, 47.5, 0.1)],
    ids=["shortleaf pine", "slash pine", "Douglas-fir", "white oak"],
)
def test_species(specific_gravity: float, density: float, last_digit: float) -> None:
    """Within half of the last digit that is given."""
    assert cubic_foot(specific_gravity) == pytest.approx(density, abs=last_digit / 2)


def test_actual_boards_and_not_nominal_ones() -> None:
    """20 ft x 82 in of 47.5 lb/ft3: 1.5 in actual 811 lb, 2 in nominal 1,082 lb (worked); 47.5 is rounded by 0.1 %."""
    assert deck_weight(20, 82, 1.5, 0.68) == pytest.approx(811, rel=0.002)
    assert deck_weight(20, 82, 2, 0.68) == pytest.approx(1_082, rel=0.002)


@pytest.mark.parametrize("moisture", [0.12, 0.19, 0.8])
def test_both_systems_weigh_the_same_deck(moisture: float) -> None:
    """The handbook rounds water to 62.43 lb/ft3; 1,000 kg/m3 is 62.428: a share of 0.00004."""
    units = pint.UnitRegistry()
    length = (20 * units.foot).to("meter").magnitude
    width, thickness = ((inches * units.inch).to("millimeter").magnitude for inches in (82, 1.5))
    pounds = deck_weight(20, 82, 1.5, 0.59, moisture) * units.pound
    assert deck_weight(length, width, thickness, 0.59, moisture, "kg") == pytest.approx(
        pounds.to("kilogram").magnitude, rel=4e-5
    )
