"""A handful of functions worked by hand, in every engine: what is asked of a machine that was just set up.

The golden rows ask far more of the same faces; this file fails within a minute where one of the engines is not there.
"""

from __future__ import annotations

import pytest

from tests.engines.faces import CHECK, Book, Case, Value
from tests.engines.office import Office

CASES: list[tuple[Case, Value]] = [
    (Case("LOT_PAYLOAD", (15_000, 8_600)), 6_400),  # 15,000 - 8,600
    (Case("LOT_PIN_WEIGHT", (14_000, 0.1)), 1_400),  # 14,000 x 0.10
    (Case("LOT_RAMP_ANGLE", (30, 60)), 30),  # asin(30 / 60) = asin(1/2)
    (
        Case("LOT_TIEDOWN_COUNT", (10_001, 12, None, "machine")),
        4,
    ),  # 49 CFR 393.130: heavier machines need four
    (Case("LOT_WEAKEST_PART", (2, 8_000, 9_000, 4, 1_700)), "tires"),  # 4 x 1,700 = 6,800, below 8,000
    (Case("LOT_PAYLOAD", (8_600, 15_000)), "#NUM!"),  # empty above gross
    (Case("LOT_PAYLOAD", (None, 8_600)), ""),  # nothing stated
]


BOOK = Book([case for case, _ in CASES])


def check(found: list[Value]) -> None:
    for value, (case, expected) in zip(found, CASES, strict=True):
        wanted = pytest.approx(expected, rel=1e-12) if isinstance(expected, int) else expected
        assert value == wanted, case


def test_python() -> None:
    check(BOOK.in_python())


def test_ironcalc() -> None:
    check(BOOK.plain_in_ironcalc())
    check(BOOK.name_in_ironcalc())


def test_gnumeric() -> None:
    check(BOOK.plain_in_gnumeric())


def test_libreoffice(office: Office) -> None:
    check(BOOK.plain_in_office(office))
    shown = BOOK.addin_in_office(office)
    assert all(str(value).startswith("Err:") for value in shown), "what is read below would not be the add-in's"


def test_libreoffice_with_the_addin(office_with_addin: Office) -> None:
    check(BOOK.addin_in_office(office_with_addin))


def test_excel_module() -> None:
    """There an error shows as words, since xlwings cannot return one."""
    for value, (case, expected) in zip(BOOK.excel_call_path(), CASES, strict=True):
        if isinstance(expected, str) and expected.startswith("#"):
            assert str(value).startswith(CHECK), case
        else:
            assert value == (pytest.approx(expected, rel=1e-12) if isinstance(expected, int) else expected), case
