"""A handful of functions worked by hand, in every engine: what is asked of a machine that was just set up.

The golden rows ask far more of the same faces; this file fails within a minute where one of the engines is not there.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import pytest

from tests.engines.faces import (
    CHECK,
    Case,
    Value,
    addin_in_office,
    excel_call_path,
    in_python,
    name_in_ironcalc,
    plain_in_ironcalc,
    plain_in_office,
)
from tests.engines.office import Office

Face = Callable[[Sequence[Case]], list[Value]]

CASES: list[tuple[Case, Value]] = [
    (Case("LOT_PAYLOAD", (15_000, 8_600)), 6_400),  # 15,000 - 8,600
    (Case("LOT_PIN_WEIGHT", (14_000, 0.1)), 1_400),  # 14,000 x 0.10
    (Case("LOT_RAMP_ANGLE", (30, 60)), 30),  # asin(30 / 60) = asin(1/2)
    (
        Case("LOT_TIEDOWN_COUNT", (10_001, 12, None, "machine")),
        4,
    ),  # 49 CFR 393.130: a machine above 10,000 lb needs four
    (Case("LOT_WEAKEST_PART", (2, 8_000, 9_000, 4, 1_700)), "tires"),  # 4 x 1,700 = 6,800, below 8,000
    (Case("LOT_PAYLOAD", (8_600, 15_000)), "#NUM!"),  # empty above gross
    (Case("LOT_PAYLOAD", (None, 8_600)), ""),  # nothing stated
]


def check(face: Face) -> None:
    found = face([case for case, _ in CASES])
    for value, (case, expected) in zip(found, CASES, strict=True):
        wanted = pytest.approx(expected, rel=1e-12) if isinstance(expected, int) else expected
        assert value == wanted, case


def test_python() -> None:
    check(in_python)


@pytest.mark.parametrize("face", [plain_in_ironcalc, name_in_ironcalc])
def test_ironcalc(face: Face) -> None:
    check(face)


def test_libreoffice(office: Office) -> None:
    check(lambda cases: plain_in_office(office, cases))


def test_libreoffice_with_the_addin(office_with_addin: Office) -> None:
    check(lambda cases: addin_in_office(office_with_addin, cases))


def test_excel_module() -> None:
    """There an error shows as words, since xlwings cannot return one."""
    found = excel_call_path([case for case, _ in CASES])
    for value, (case, expected) in zip(found, CASES, strict=True):
        if isinstance(expected, str) and expected.startswith("#"):
            assert str(value).startswith(CHECK), case
        else:
            assert value == (pytest.approx(expected, rel=1e-12) if isinstance(expected, int) else expected), case
