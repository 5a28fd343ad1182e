"""The formulas of the rules in two spreadsheet engines: every cell as Python works it out.

The language of expressions is proven elsewhere on thousands of random ones; here whole sets stand in a sheet, a set a
row, every cell a formula, none of them long.
"""

from __future__ import annotations

import functools
import random
from collections.abc import Iterator, Mapping
from dataclasses import asdict
from pathlib import Path

import pytest
from openpyxl.utils import get_column_letter

from tarelot.calc.cells.expression import formula
from tarelot.calc.rules.hauling import (
    CHOSEN,
    DOUBTS_OF,
    EXPRESSIONS,
    LIMIT_KEYS,
    NO,
    NOT_SURE,
    YES,
    behind,
    inputs_of,
    judge,
    without_trailer,
)
from tarelot.calc.rules.hauling_figures import FIGURES
from tests.engines import ironcalc_model
from tests.engines.office import Office, Value, scratch_workbook
from tests.hauling_rules.fitting import US
from tests.hauling_rules.test_judge import BASES, changed

GIVEN = [figure.key for figure in FIGURES] + [*DOUBTS_OF.values(), *CHOSEN.values()]
KEYS = [*GIVEN, *asdict(US), *(f"limit_{key}" for key in sorted(LIMIT_KEYS)), *EXPRESSIONS]
LETTERS = {key: get_column_letter(place) for place, key in enumerate(KEYS, 1)}
LONGEST = 4_000
"""Characters that a formula of the workbook may have, by the design."""


class Row(Mapping[str, str]):
    """Where each key stands in one row."""

    def __init__(self, number: int) -> None:
        self.number = number

    def __getitem__(self, key: str) -> str:
        return f"${LETTERS[key]}{self.number}"

    def __iter__(self) -> Iterator[str]:
        return iter(LETTERS)

    def __len__(self) -> int:
        return len(LETTERS)


@functools.cache
def sets() -> tuple[Mapping[str, object], ...]:
    """What Python says of some sets, cell by cell."""
    chance = random.Random(5)
    odd: list[dict[str, object]] = [BASES[0] | {"gvwr": "#NUM!", "weight": "heavy", "place": ""}, {"hitch": "ball"}, {}]
    given = [*BASES, *(changed(chance) for _ in range(16)), *odd]
    return tuple(judge(one, US).cells for one in given)


@functools.cache
def sheet() -> dict[str, Value]:
    """The cells of the sheet."""
    found: dict[str, Value] = {}
    for number, cells in enumerate(sets(), 1):
        places = Row(number)
        for key, letter in LETTERS.items():
            expression = EXPRESSIONS.get(key)
            shown = cells[key] if expression is None else f"={formula(expression, places)}"
            found[f"{letter}{number}"] = shown  # type: ignore[assignment]
    return found


def same(found: object, wanted: object) -> bool:
    if isinstance(wanted, float) and isinstance(found, (int, float)):
        return found == pytest.approx(wanted, rel=1e-9, abs=1e-6)
    return (found or "") == (wanted or "")


def compare(found: list[list[object]]) -> None:
    words = set()
    for row, cells in zip(found, sets(), strict=True):
        for key, value in zip(EXPRESSIONS, row, strict=True):
            assert same(value, cells[key]), (key, value, cells[key], formula(EXPRESSIONS[key], Row(1)))
        words.add(cells["verdict"])
    assert words == {YES, NO, NOT_SURE}


def test_in_libreoffice(office: Office) -> None:
    reads = [f"={LETTERS[key]}{number}" for number in range(1, len(sets()) + 1) for key in EXPRESSIONS]
    values = office.evaluate(reads, sheet())
    count = len(EXPRESSIONS)
    compare([list(values[start : start + count]) for start in range(0, len(values), count)])


def test_in_ironcalc(tmp_path: Path) -> None:
    path = scratch_workbook(tmp_path / "rules.xlsx", ["=1"], sheet())
    model = ironcalc_model.load(path)
    model.evaluate()
    first = KEYS.index(next(iter(EXPRESSIONS))) + 1
    columns = range(first, first + len(EXPRESSIONS))
    compare([[model.get_cell_value(0, row, column) for column in columns] for row in range(1, len(sets()) + 1)])


def test_no_formula_is_long() -> None:
    """Each reference as long as one on another sheet."""
    places = dict.fromkeys(KEYS, "'Drive-on'!$AB$123")
    lengths = {key: len(formula(expression, places)) for key, expression in EXPRESSIONS.items()}
    assert max(lengths.values()) < LONGEST, max(lengths, key=lengths.__getitem__)


def test_what_stands_behind_a_cell() -> None:
    """Cells come after what they read; what reads nothing of the trailer can stand once for a whole lot."""
    found = list(behind("verdict", "broken"))
    for place, key in enumerate(found):
        assert EXPRESSIONS[key].keys() & set(EXPRESSIONS) <= set(found[:place])
    once = without_trailer("verdict", "broken", "cautions", "missing")
    assert {"machine_length", "ties", "lead_overhang", "truck_empty", "over_front_axle_empty"} <= set(once)
    assert not {"gross", "pin", "foot", "over_gap"} & set(once)
    assert inputs_of("gross") == {"empty", "weight"}


def test_what_cannot_be_judged_is_refused() -> None:
    with pytest.raises(KeyError, match="no rule reads to_centre"):
        judge({"to_centre": 40}, US)
    with pytest.raises(KeyError, match="no rule reads plaus_pin"):
        judge({}, US, {"plaus_pin": 1.0})
