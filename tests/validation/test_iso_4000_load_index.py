"""The load-index table against what tire makers and sellers print of ISO 4000-1, against its own rule of growth and
against the loads that sidewalls print.

60 to 74 were read in one printed table, 75 to 150 in a tire maker's, the pounds in a tire seller's. Three misprints in
these are mended: 62 was printed as 165, 83 (elsewhere) as 478, 135 as 2190.
"""

from __future__ import annotations

import pytest

from tarelot.calc.tires import tire_load

PRINTED_KG: dict[int, tuple[float, ...]] = {
    60: (250, 257, 265, 272, 280, 290, 300, 307, 315, 325),
    70: (335, 345, 355, 365, 375, 387, 400, 412, 425, 437),
    80: (450, 462, 475, 487, 500, 515, 530, 545, 560, 580),
    90: (600, 615, 630, 650, 670, 690, 710, 730, 750, 775),
    100: (800, 825, 850, 875, 900, 925, 950, 975, 1000, 1030),
    110: (1060, 1090, 1120, 1150, 1180, 1215, 1250, 1285, 1320, 1360),
    120: (1400, 1450, 1500, 1550, 1600, 1650, 1700, 1750, 1800, 1850),
    130: (1900, 1950, 2000, 2060, 2120, 2180, 2240, 2300, 2360, 2430),
    140: (2500, 2575, 2650, 2725, 2800, 2900, 3000, 3075, 3150, 3250),
    150: (3350,),
}
PRINTED_LOW_KG = {0: 45, 10: 60, 20: 80, 30: 106, 40: 140, 50: 190, 59: 243}
PRINTED_LB = {80: 992, 90: 1323, 100: 1764, 105: 2039, 108: 2205, 110: 2337}
MEMORY_SIDEWALLS_LB = {115: 2680, 112: 2470, 143: 6005, 141: 5675, 135: 4805, 133: 4540}
"""Load index and pounds on the sidewalls of LT215/85R16 E, 235/75R17.5 and 215/75R17.5: from memory."""


@pytest.mark.parametrize(("first", "loads"), PRINTED_KG.items())
def test_printed_kilograms(first: int, loads: tuple[float, ...]) -> None:
    assert tuple(tire_load(first + step, "kg") for step in range(len(loads))) == loads


@pytest.mark.parametrize(("index", "kilograms"), PRINTED_LOW_KG.items())
def test_printed_kilograms_of_small_tires(index: int, kilograms: float) -> None:
    assert tire_load(index, "kg") == kilograms


@pytest.mark.parametrize(("index", "pounds"), PRINTED_LB.items())
def test_printed_pounds(index: int, pounds: float) -> None:
    """Printed to whole pounds."""
    assert tire_load(index, "lb") == pytest.approx(pounds, abs=0.5)


@pytest.mark.parametrize(("index", "pounds"), MEMORY_SIDEWALLS_LB.items())
def test_sidewalls(index: int, pounds: float) -> None:
    """Sidewalls print pounds to the nearest 5, rounded from kilograms by way of the pounds of a table."""
    assert tire_load(index) == pytest.approx(pounds, abs=3)


def test_a_rounded_series_of_preferred_numbers() -> None:
    """R80 of ISO 3: each step is 10^(1/80), so that 24 steps double the load; a value is rounded by at most 1.5 %."""
    for index in range(151):
        assert tire_load(index, "kg") == pytest.approx(1_000 * 10 ** ((index - 108) / 80), rel=0.015)
    assert [tire_load(index, "kg") for index in (60, 84, 108, 132)] == [250, 500, 1000, 2000]
