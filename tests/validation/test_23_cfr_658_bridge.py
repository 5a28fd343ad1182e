"""The bridge formula of 23 USC 127 and 23 CFR 658.17 against the tables that states print from it."""

from __future__ import annotations

from fractions import Fraction

import pytest

from tarelot.calc.errors import OutOfRange
from tarelot.calc.towing import bridge_limit

# RCW 46.44.041, rows up to 24 ft: span, then pounds for 2, 3, 4 ... axles, - where the table has none. A * marks the
# cells that stand 500 lb below the formula; they are the state's own and no check of it.
STATE_TABLE = """
9  39,000 42,500
10 40,000 43,500
11 - 44,000 49,000*
12 - 45,000 50,000
13 - 45,500 50,500
14 - 46,500 51,500 56,500
15 - 47,000 52,000 57,000*
16 - 48,000 52,500 58,000
17 - 48,500 53,500 58,500
18 - 49,500 54,000 59,000 64,500*
19 - 50,000 54,500 60,000 65,000*
20 - 51,000 55,500 60,500 66,000
21 - 51,500 56,000 61,000 66,500 72,000
22 - 52,500 56,500 61,500 67,000 72,500*
23 - 53,000 57,500 62,500 68,000 73,000*
24 - 54,000 58,000 63,000 68,500 74,000
"""


def printed() -> list[tuple[int, int, float, bool]]:
    """Axles, span, pounds and whether the cell follows the formula."""
    cells = []
    for line in STATE_TABLE.strip().splitlines():
        span, *figures = line.split()
        for axles, figure in enumerate(figures, 2):
            if figure != "-":
                cells.append((axles, int(span), float(figure.strip("*").replace(",", "")), "*" not in figure))
    return cells


@pytest.mark.parametrize(("axles", "span", "pounds", "follows"), printed())
def test_state_table(axles: int, span: int, pounds: float, follows: bool) -> None:
    assert bridge_limit(axles, span) == (pounds if follows else pounds + 500)


def test_the_table_is_whole() -> None:
    assert len(printed()) == 54
    assert sum(follows for *_, follows in printed()) == 48


@pytest.mark.parametrize(
    ("axles", "span", "pounds"), [(4, 28, 60_500), (5, 28, 65_500), (5, 32, 68_000), (6, 30, 72_000)]
)
def test_longer_cells_of_the_same_table(axles: int, span: int, pounds: float) -> None:
    assert bridge_limit(axles, span) == pounds


@pytest.mark.parametrize(("axles", "pounds"), [(2, 38_000), (3, 42_000)])
def test_row_above_8_ft(axles: int, pounds: float) -> None:
    """RCW 46.44.041, row "more than 8": the formula at 8 ft, where up to 8 ft it is a tandem."""
    assert [bridge_limit(axles, span) for span in (8.01, 8.1, 8.5, 8.99)] == [pounds] * 4
    assert bridge_limit(axles, 8) == 34_000
    assert bridge_limit(axles, 9) == pounds + {2: 1_000, 3: 500}[axles]


@pytest.mark.parametrize(("inches", "pounds"), [(40, 20_000), (41, 34_000), (96, 34_000), (97, 38_000)])
def test_single_and_tandem(inches: float, pounds: float) -> None:
    """FHWA questions and answers: up to 40 in one axle, above it up to 96 in a tandem, whatever the axles within."""
    assert bridge_limit(2, inches / 12) == pounds
    assert bridge_limit(3, min(inches, 96) / 12) == min(pounds, 34_000)


@pytest.mark.parametrize(("span", "pounds"), [(36, 66_000), (37, 66_500), (38, 67_500)])
def test_four_axles_without_the_exception(span: int, pounds: float) -> None:
    """FHWA pamphlet as quoted in print: 66,000 to 67,500 lb at 36 to 38 ft, were it not for the tandem exception."""
    assert bridge_limit(4, span) == pounds


@pytest.mark.parametrize(("span", "pounds"), [(35, 65_500), (35.9, 66_000), (36, 68_000), (38, 68_000), (39, 68_000)])
def test_two_tandems(span: float, pounds: float) -> None:
    """23 CFR 658.17 and RCW 46.44.041: 34,000 lb each where first and last are 36 ft apart, not rounded, or more."""
    assert bridge_limit(4, span, "tandems") == pounds


def test_three_axles_are_no_two_tandems() -> None:
    with pytest.raises(OutOfRange, match="two tandems have 4 or more"):
        bridge_limit(3, 40, "tandems")


def test_worked_example_of_five_axles() -> None:
    """FHWA's own example; its axle distances are from memory: 51,000, 65,500 and 80,000 lb."""
    assert [bridge_limit(3, 20), bridge_limit(4, 35), bridge_limit(5, 51)] == [51_000, 65_500, 80_000]


@pytest.mark.parametrize("axles", range(2, 10))
def test_against_exact_fractions(axles: int) -> None:
    """The formula itself in fractions: nearest 500, a tie down, never above 20,000 an axle nor 80,000 in all."""
    for span in range(9, 61):
        exact = Fraction(span * axles, axles - 1) + 12 * axles + 36
        below = exact.numerator // exact.denominator
        nearest = below + (exact - below > Fraction(1, 2))
        assert bridge_limit(axles, span) == min(500 * nearest, 20_000 * axles, 80_000)
