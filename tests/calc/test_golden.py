"""Every golden row, and the contract of every parameter, through every face of the function.

A row of `golden/<topic>.csv` is a function, its cells (JSON; null is a blank cell, a list of lists a block), the value
expected, a tolerance in the result's own unit (empty: a billionth of the value), where the value comes from and
its kind: `published`, `hand` (the arithmetic is shown), `common practice` (no source), `memory` (from memory), or
`contract` (what a function refuses beyond its single parameters, or gives where one is left out). The rest of the
contract is asked of every parameter by ``contract.py``.
"""

from __future__ import annotations

import csv
import functools
import json
import math
from dataclasses import dataclass
from pathlib import Path

import pytest

from tarelot.calc.cells.boundary import ERROR_VALUES
from tarelot.calc.registry import BY_NAME, FUNCTIONS
from tarelot.calc.spec import Function
from tests.calc.contract import Right, contract_rows
from tests.engines.faces import CHECK, Book, Case, Value
from tests.engines.office import Office

GOLDEN = Path(__file__).parents[1] / "golden"
KINDS = {"published", "hand", "common practice", "memory", "contract"}
NO_PUBLISHED_ROW = {
    "LOT_EMPTY_WEIGHT": "a sum",
    "LOT_OPTIONS_WEIGHT": "a sum over a list of the yard's own",
    "LOT_LOW_PIN_SHARE": "common practice: printed ranges conflict",
    "LOT_HIGH_PIN_SHARE": "common practice: printed ranges conflict",
    "LOT_RAMP_RISE": "a difference",
    "LOT_FROM_DECK": "a difference",
    "LOT_CONFLICTS": "words of our own",
    "LOT_CONFLICT_COUNT": "words of our own",
    "LOT_NOT_CHECKED": "words of our own",
    "LOT_RAMP_TOUCH": "words of our own",
    "LOT_BREAK_ANGLE": "two arcsines and their difference",
}
NO_PLAIN_FORMULA = {
    "LOT_CONFLICTS": "joins a varying number of texts, for which no function of 2010 exists",
    "LOT_NOT_CHECKED": "joins a varying number of texts, for which no function of 2010 exists",
    "LOT_RAMP_CLEARANCE": "a sweep over many positions: the What-if sheet makes it a row a position",
    "LOT_RAMP_TOUCH": "the place of the least gap of that sweep",
}
"""The functions that plain formulas, and names made of them, do not offer. Every other face runs every function."""


@dataclass(frozen=True)
class Row:
    """A case with the value expected and a tolerance in its unit, 0 for a billionth of it."""

    where: str
    case: Case
    expected: str
    tolerance: float
    source: str
    kind: str

    def difference(self, value: Value) -> str:
        """What is wrong with a value, or an empty text."""
        if _as_number(self.expected) is None or isinstance(value, str):
            return "" if value == self.expected else f"{self.where}: {value!r}, expected {self.expected!r}"
        right = math.isclose(value, float(self.expected), rel_tol=0 if self.tolerance else 1e-9, abs_tol=self.tolerance)
        return "" if right else f"{self.where}: {value!r}, expected {self.expected} within {self.tolerance or '1e-9'}"


def _as_number(text: str) -> float | None:
    try:
        return float(text)
    except ValueError:
        return None


def _golden_row(topic: str, line: int, record: dict[str, str]) -> Row:
    where = f"{topic}.csv line {line}: {record['function']} {record['arguments']}, {record['source']}"
    case = Case(record["function"], tuple(json.loads(record["arguments"])))
    return Row(where, case, record["expected"], float(record["tolerance"] or 0), record["source"], record["kind"])


@functools.cache
def golden_rows() -> tuple[Row, ...]:
    """Every line of every golden file."""
    found = []
    for path in sorted(GOLDEN.glob("*.csv")):
        with path.open(encoding="utf-8", newline="") as file:
            found += [_golden_row(path.stem, line, record) for line, record in enumerate(csv.DictReader(file), 2)]
    return tuple(found)


@functools.cache
def contract_of(name: str) -> tuple[Row, ...]:
    """What the contract says of every parameter of a function."""
    right = [Right(r.case.arguments, r.expected, r.tolerance) for r in golden_rows() if r.case.function == name]
    return tuple(
        Row(f"{name}: {why}: {arguments}", Case(name, arguments), expected, tolerance, why, "contract")
        for arguments, expected, tolerance, why in contract_rows(BY_NAME[name], right)
    )


@functools.cache
def rows() -> tuple[Row, ...]:
    """The golden rows and the contract of every function."""
    return (*golden_rows(), *(row for function in FUNCTIONS for row in contract_of(function.name)))


def with_formula() -> list[Row]:
    return [row for row in rows() if row.case.function not in NO_PLAIN_FORMULA]


def differences(chosen: list[Row], values: list[Value]) -> list[str]:
    """What is wrong, row by row."""
    return [text for row, value in zip(chosen, values, strict=True) if (text := row.difference(value))]


class TestRows:
    def test_every_function_has_rows(self) -> None:
        given, known = {row.case.function for row in golden_rows()}, {function.name for function in FUNCTIONS}
        assert known - given == set(), "no row in tests/golden/<topic>.csv"
        assert given - known == set(), "rows of what is no function"

    def test_every_row_tells_its_kind_and_source(self) -> None:
        assert [row.where for row in rows() if row.kind not in KINDS or not row.source] == []

    def test_every_function_has_a_published_row_or_a_reason(self) -> None:
        published = {row.case.function for row in rows() if row.kind == "published"}
        without = {f.name for f in FUNCTIONS} - published
        assert without - set(NO_PUBLISHED_ROW) == set(), "needs a published row, or a reason in NO_PUBLISHED_ROW"
        assert set(NO_PUBLISHED_ROW) - without == set(), "has a published row: take its reason out"

    @pytest.mark.parametrize("function", FUNCTIONS, ids=lambda function: function.name)
    def test_the_contract_is_asked_of_every_parameter(self, function: Function) -> None:
        """For each parameter: a blank, 0, an error and, where it is a number, text and figures out of range."""
        given = [row for row in rows() if row.case.function == function.name]
        for place, parameter in enumerate(function.parameters):
            cells = [row.case.arguments[place] for row in given if len(row.case.arguments) > place]
            if parameter.kind == "range":
                assert any(value in ERROR_VALUES for block in cells for line in block for value in line)
                continue
            assert None in cells
            assert "" in cells
            assert any(cell == 0 and not isinstance(cell, str) for cell in cells)
            assert any(cell in ERROR_VALUES for cell in cells)
            wrong_kind = str if parameter.kind == "number" else int
            assert any(isinstance(cell, wrong_kind) and cell for cell in cells)
            if parameter.kind == "number":
                numbers = [cell for cell in cells if isinstance(cell, int | float)]
                assert min(numbers) < min(parameter.least, 0)
                assert max(numbers) > parameter.greatest or (
                    parameter.greatest_excluded and parameter.greatest in numbers
                )


@functools.cache
def book() -> Book:
    """Every row."""
    return Book([row.case for row in rows()])


@functools.cache
def book_with_formula() -> Book:
    """Every row of which plain formulas and names can be made."""
    return Book([row.case for row in with_formula()])


class TestFaces:
    def test_python(self) -> None:
        assert differences(list(rows()), book().in_python()) == []

    def test_plain_formula_in_libreoffice(self, office: Office) -> None:
        assert differences(with_formula(), book_with_formula().plain_in_office(office)) == []

    def test_plain_formula_in_ironcalc(self) -> None:
        assert differences(with_formula(), book_with_formula().plain_in_ironcalc()) == []

    @pytest.mark.slow
    def test_plain_formula_in_gnumeric(self) -> None:
        assert differences(with_formula(), book_with_formula().plain_in_gnumeric()) == []

    def test_workbook_name_in_ironcalc(self) -> None:
        assert differences(with_formula(), book_with_formula().name_in_ironcalc()) == []

    def test_addin_in_libreoffice(self, office_with_addin: Office) -> None:
        assert differences(list(rows()), book().addin_in_office(office_with_addin)) == []

    def test_call_path_of_xlwings(self) -> None:
        """It cannot return an error value: the cell shows text that begins so and gives the reason."""
        values = book().excel_call_path()
        errors = [(row, value) for row, value in zip(rows(), values, strict=True) if row.expected in ERROR_VALUES]
        assert [(row.where, value) for row, value in errors if not str(value).startswith(CHECK)] == []
        others = [(row, value) for row, value in zip(rows(), values, strict=True) if row.expected not in ERROR_VALUES]
        assert differences([row for row, _ in others], [value for _, value in others]) == []


class TestWhatAFaceCannotRun:
    def test_no_plain_formula(self) -> None:
        without = {function.name for function in FUNCTIONS if function.formula is None}
        assert without == set(NO_PLAIN_FORMULA), "each with its reason, in the registry and in NO_PLAIN_FORMULA"

    @pytest.mark.parametrize("name", NO_PLAIN_FORMULA)
    def test_neither_formula_nor_name_can_be_made(self, name: str) -> None:
        case = next(row.case for row in rows() if row.case.function == name)
        for face in (Book.plain_in_ironcalc, Book.name_in_ironcalc):
            with pytest.raises(ValueError, match="has no plain formula"):
                face(Book([case]))

    def test_a_blank_cell_reads_as_zero_in_a_call_that_a_person_types(self, office_with_addin: Office) -> None:
        """Calc hands an add-in 0 for a blank cell; calls that we write ask for blank first, a typed one does not."""
        typed = ["LOT_GRADE(A1)", "LOT_RAMP_ANGLE(A1,A2)", "LOT_PIN_SHARE(A1,A2)", 'LOT_TIRE_LOAD(A1,"kg")']
        assert office_with_addin.evaluate(typed, {"A1": None, "A2": 60}) == [0, 0, 0, 45]
        assert office_with_addin.evaluate(typed, {"A1": "", "A2": 60}) == ["", "", "", ""]
