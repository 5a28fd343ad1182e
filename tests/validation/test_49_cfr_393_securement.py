"""Tie-downs against 49 CFR 393.106, .108, .110 and .130 and the worked examples of government guides."""

from __future__ import annotations

import pytest
from pint import UnitRegistry

from tarelot.calc.errors import NotInTable
from tarelot.calc.tiedowns import chain_wll, tiedown_count, tiedown_wll

# 49 CFR 393.108, chain table, as carriers' guides print it: size in inches and millimeters, then kg (lb) by grade.
CHAIN_TABLE = """
7 (1/4)   580 (1,300)   1,180 (2,600)  1,430 (3,150)  1,570 (3,500)  1,950 (4,300)
8 (5/16)  860 (1,900)   1,770 (3,900)  2,130 (4,700)  2,000 (4,500)  2,600 (5,700)
10 (3/8)  1,200 (2,650) 2,450 (5,400)  2,990 (6,600)  3,200 (7,100)  4,000 (8,800)
11 (7/16) 1,680 (3,700) 3,270 (7,200)  3,970 (8,750)
13 (1/2)  2,030 (4,500) 4,170 (9,200)  5,130 (11,300) 5,400 (12,000) 6,800 (15,000)
16 (5/8)  3,130 (6,900) 5,910 (13,000) 7,170 (15,800) 8,200 (18,100) 10,300 (22,600)
"""
GRADES = (30, 43, 70, 80, 100)


def printed() -> list[tuple[str, str, int, float, float]]:
    """Inches, millimeters, grade, kilograms and pounds of each cell of the table."""
    cells = []
    for line in CHAIN_TABLE.strip().splitlines():
        words = [word.strip("()").replace(",", "") for word in line.split()]
        millimeters, inches, *figures = words
        for number, grade in enumerate(GRADES[: len(figures) // 2]):
            cells.append((inches, millimeters, grade, float(figures[2 * number]), float(figures[2 * number + 1])))
    return cells


@pytest.mark.parametrize(("inches", "millimeters", "grade", "kilograms", "pounds"), printed())
def test_chain_table(inches: str, millimeters: str, grade: int, kilograms: float, pounds: float) -> None:
    """The pounds as printed, and near the kilograms printed beside them: the rule rounds both, by up to 2.1 percent."""
    for size in (inches, f"{inches} in", f"{millimeters} mm"):
        assert chain_wll(size, grade) == pounds
    in_kilograms = UnitRegistry().Quantity(chain_wll(inches, grade), "pound").to("kilogram").magnitude
    assert in_kilograms == pytest.approx(kilograms, rel=0.025)


def test_table_is_complete() -> None:
    assert len(printed()) == 28
    for grade in (80, 100):
        with pytest.raises(NotInTable, match="lists no chain of size 7/16"):
            chain_wll("7/16", grade)


def test_higher_grade_is_stronger_except_where_the_rule_prints_otherwise() -> None:
    """5/16 in grade 80 stands at 4,500 lb, below grade 70 at 4,700: printed so."""
    for size in ("1/4", "5/16", "3/8", "1/2", "5/8"):
        limits = [chain_wll(size, grade) for grade in GRADES]
        assert (limits == sorted(limits)) == (size != "5/16")


@pytest.mark.parametrize(
    ("weight", "length", "count"),
    [
        (900, 4, 1),
        (1_200, 4, 2),
        (1_100, 5, 1),
        (5_000, 8, 2),
        (5_000, 10, 2),
        (5_000, 12, 3),
        (5_000, 20, 3),
        (5_000, 22, 4),
    ],
)
def test_count_not_blocked(weight: float, length: float, count: float) -> None:
    """49 CFR 393.110(b): carriers' chart for 4 to 20 ft; a training site for 12 and 22 ft."""
    assert tiedown_count(weight, length) == count


@pytest.mark.parametrize(("length", "count"), [(1, 1), (10, 1), (10.1, 2), (20, 2), (25, 3)])
def test_count_blocked(length: float, count: float) -> None:
    """49 CFR 393.110(c): one for each 10 ft or part of it."""
    assert tiedown_count(20_000, length, "blocked") == count


@pytest.mark.parametrize(("weight", "count"), [(9_999, 2), (10_000, 4), (10_001, 4), (60_000, 4)])
def test_heavy_machine(weight: float, count: float) -> None:
    """49 CFR 393.130: machinery of 10,000 lb or more has at least four (CFR of 2015; 5,000 lb each: handbooks)."""
    assert tiedown_count(weight, 9, machine="machine") == count
    assert tiedown_count(weight, 9, "blocked", "machine") == (4 if weight >= 10_000 else 1)


def test_manual_of_british_columbia() -> None:
    """Load securement manual p. 110: 3.65 m and 600 kg, not blocked: three tie-downs, 300 kg together, 100 kg each."""
    units = UnitRegistry()
    weight = units.Quantity(600, "kilogram").to("pound").magnitude
    length = units.Quantity(3.65, "meter").to("foot").magnitude
    assert tiedown_count(weight, length) == 3
    assert tiedown_wll(600, 3, "indirect") == 100


def test_loader_of_the_national_guide() -> None:
    """Load restraint guide case (trade paper of 2025-08-28): a 15 t loader needs 7,500 kg, 3,750 a chain."""
    assert tiedown_wll(15_000, 2, "indirect") == 3_750


def test_excavator_of_the_safety_article() -> None:
    """50,000 lb on four 3/8 in grade 70 chains over it: 26,400 lb together, 25,000 lb needed (second-hand, 2014)."""
    assert 4 * chain_wll("3/8", 70) == 26_400
    assert 4 * tiedown_wll(50_000, 4, "indirect") == 25_000
    assert chain_wll("3/8", 70) >= tiedown_wll(50_000, 4, "indirect")
    assert chain_wll("3/8", 70) < tiedown_wll(50_000, 4, "direct")


@pytest.mark.parametrize("count", [1, 2, 3, 4, 7])
@pytest.mark.parametrize(("word", "counts"), [(None, 0.5), ("direct", 0.5), ("indirect", 1.0)])
def test_half_the_weight_is_held(count: int, word: str | None, counts: float) -> None:
    """49 CFR 393.106(d): half of each direct limit and all of each indirect one make half the weight."""
    assert count * counts * tiedown_wll(31_000, count, word) == pytest.approx(31_000 / 2, rel=1e-12)
