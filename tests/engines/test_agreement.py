"""Every face of a function gives what its Python function gives, on 2,000 random and edge cases a function.

The outside sources are the engines themselves: LibreOffice and IronCalc calculate the plain formula, IronCalc the
workbook name; the add-ins are called by LibreOffice and along xlwings' own path. Numbers agree to a billionth.

Figures have at most twelve digits: LibreOffice takes two that differ after the fifteenth for the same, Python does not.
"""

from __future__ import annotations

import functools
import math
import random
from collections.abc import Sequence

import pytest

from tarelot.calc.cells.boundary import ERROR_VALUES
from tarelot.calc.cells.formulas import Call, cell_formula
from tarelot.calc.errors import CalcError, NotInTable, OutOfRange, WrongKind
from tarelot.calc.registry import BY_NAME, FUNCTIONS
from tarelot.calc.spec import LARGEST
from tests.engines.cases import cases, edges
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

COUNT = 2000
TOLERANCE = 1e-9
"""As a share, and in the result's unit: where figures cancel out, the engines round the last binary digit apart."""
ALL = [function.name for function in FUNCTIONS]
WITH_FORMULA = [function.name for function in FUNCTIONS if function.formula is not None]

NESTED: tuple[tuple[str, tuple[str | None, ...]], ...] = (
    ("LOT_SHORTFALL", ("LOT_AXLE_LOAD", "LOT_TOTAL")),
    ("LOT_SHORTFALL", (None, "LOT_TOTAL")),
    ("LOT_SHORTFALL", ("LOT_PIN_WEIGHT", None)),
    ("LOT_SHORTFALL", ("LOT_PIN_WEIGHT", "LOT_TOTAL")),
    ("LOT_SHORTFALL", (None, "LOT_AXLE_GROUP_RATING")),
    ("LOT_PAYLOAD", ("LOT_GROSS_LIMIT", None)),
    ("LOT_RAMP_ANGLE", ("LOT_RAMP_RISE", None)),
    ("LOT_PIN_SHARE", ("LOT_STICKER_PIN", None)),
    ("LOT_GRADE", ("LOT_RAMP_ANGLE",)),
    ("LOT_FROM_DECK", ("LOT_FOREMOST", None)),
    ("LOT_FROM_DECK", ("LOT_REARMOST", None)),
)
"""Calls inside calls: the outer function and the inner one in place of each of its arguments."""


@functools.cache
def python_results(name: str) -> tuple[tuple[Case, Value], ...]:
    """The cases of a function with what Python gives."""
    chosen = cases(name, COUNT)
    assert len(chosen) >= COUNT
    return tuple(zip(chosen, in_python(chosen), strict=True))


def same(value: Value, expected: Value) -> bool:
    if isinstance(value, str) or isinstance(expected, str):
        return value == expected
    return math.isclose(value, expected, rel_tol=TOLERANCE, abs_tol=TOLERANCE)


def differences(compared: Sequence[tuple[Case, Value]], values: Sequence[Value]) -> list[tuple[Case, Value, Value]]:
    """The cases for which a face gives another value than Python: the case, Python's, the face's."""
    return [
        (case, expected, value)
        for (case, expected), value in zip(compared, values, strict=True)
        if not same(value, expected)
    ]


class TestCases:
    @pytest.mark.parametrize("name", ALL)
    def test_cases_reach_figures_and_refusals(self, name: str) -> None:
        """The comparison says something only where results, blanks and errors all occur."""
        values = [value for _, value in python_results(name)]
        assert set(ERROR_VALUES) <= set(values)
        assert sum(value not in ("", *ERROR_VALUES) for value in values) >= COUNT / 5

    @pytest.mark.parametrize("name", ALL)
    def test_every_edge_is_among_them(self, name: str) -> None:
        given = [case.arguments for case, _ in python_results(name)]
        for place, parameter in enumerate(BY_NAME[name].parameters):
            seen = {repr(arguments[place]) for arguments in given if len(arguments) > place}
            assert {repr(edge) for edge in edges(parameter)} <= seen


class TestFaces:
    @pytest.mark.parametrize("name", WITH_FORMULA)
    def test_plain_formula_in_libreoffice(self, name: str, office: Office) -> None:
        compared = python_results(name)
        assert differences(compared, plain_in_office(office, [case for case, _ in compared])) == []

    @pytest.mark.parametrize("name", WITH_FORMULA)
    def test_plain_formula_in_ironcalc(self, name: str) -> None:
        compared = python_results(name)
        assert differences(compared, plain_in_ironcalc([case for case, _ in compared])) == []

    @pytest.mark.parametrize("name", WITH_FORMULA)
    def test_workbook_name_in_ironcalc(self, name: str) -> None:
        compared = python_results(name)
        assert differences(compared, name_in_ironcalc([case for case, _ in compared])) == []

    @pytest.mark.parametrize("name", ALL)
    def test_addin_in_libreoffice(self, name: str, office_with_addin: Office) -> None:
        """Of two errors in its cells Calc passes on either, without asking the add-in."""
        compared = python_results(name)
        others = differences(compared, addin_in_office(office_with_addin, [case for case, _ in compared]))
        assert [(case, p, value) for case, p, value in others if value not in ERROR_VALUES] == []
        assert [other for other in others if not {*other[1:]} <= set(map(str, other[0].arguments))] == []

    @pytest.mark.parametrize("name", ALL)
    def test_call_path_of_xlwings(self, name: str) -> None:
        """In place of an error the cell shows a text that begins with a fixed word."""
        compared = python_results(name)
        expected = [(case, CHECK if value in ERROR_VALUES else value) for case, value in compared]
        values = excel_call_path([case for case, _ in compared])
        shown = [CHECK if isinstance(value, str) and value.startswith(CHECK) else value for value in values]
        assert differences(expected, shown) == []


class TestNestedCalls:
    """A call inside a call asks all guards together, so that with two faults another one may be reported first."""

    @pytest.mark.parametrize(("outer", "inner"), NESTED, ids=lambda part: part if isinstance(part, str) else "")
    def test_plain_formula(self, outer: str, inner: tuple[str | None, ...], office: Office) -> None:
        chosen = nested_cases(outer, inner)
        compared = list(zip(chosen, in_python(chosen), strict=True))
        for values in (plain_in_office(office, chosen), plain_in_ironcalc(chosen)):
            others = differences(compared, values)
            assert [other for other in others if faults(other[0]) < 2 and not beyond(other[0])] == []
            assert [other for other in others if not beyond(other[0]) and not {*other[1:]} <= {"", *ERROR_VALUES}] == []

    @pytest.mark.parametrize(("outer", "inner"), NESTED, ids=lambda part: part if isinstance(part, str) else "")
    def test_workbook_names(self, outer: str, inner: tuple[str | None, ...]) -> None:
        chosen = nested_cases(outer, inner)
        assert differences(list(zip(chosen, in_python(chosen), strict=True)), name_in_ironcalc(chosen)) == []

    def test_a_call_in_place_of_an_optional_value_is_refused(self) -> None:
        with pytest.raises(ValueError, match="is optional, give it a cell"):
            cell_formula(Call("LOT_EMPTY_WEIGHT", (Call("LOT_TOTAL", (2, 3000)),)))


def nested_cases(outer: str, inner: tuple[str | None, ...]) -> list[Case]:
    """Random cases of the outer function with cases of the inner ones in their places."""
    chance = random.Random(f"{outer} {inner}")
    parts = [chance.sample(cases(name, COUNT), COUNT) if name else None for name in inner]
    return [
        Case(
            outer,
            tuple(
                part[number] if part else (arguments[place] if place < len(arguments) else None)
                for place, part in enumerate(parts)
            ),
        )
        for number, arguments in enumerate(case.arguments for case in cases(outer, COUNT)[:COUNT])
    ]


def faults(case: Case) -> int:
    """How many cells of a case and its inner calls are blank though required, of a wrong kind, out of range, errors."""
    count = 0
    for parameter, value in zip(BY_NAME[case.function].parameters, case.arguments, strict=False):
        if isinstance(value, Case):
            count += faults(value) or in_python([value])[0] in ERROR_VALUES
        elif value in ERROR_VALUES:
            count += 1
        elif parameter.is_blank(value):
            count += parameter.required
        else:
            try:
                parameter.check(value)
            except CalcError:
                count += 1
    return count


def beyond(case: Case) -> bool:
    """Whether an inner result is above every figure allowed: the plain formula asks for the range of cells only."""
    inner = in_python([value for value in case.arguments if isinstance(value, Case)])
    return any(isinstance(value, float) and value > LARGEST for value in inner)


class TestOddValues:
    @pytest.mark.parametrize("name", ALL)
    def test_nan_and_infinity_are_refused_by_python(self, name: str) -> None:
        """No cell holds them; another program may hand them over."""
        function = BY_NAME[name]
        usual = next(case for case, value in python_results(name) if value not in ("", *ERROR_VALUES))
        usual_cells = [*usual.arguments, *[None] * (len(function.parameters) - len(usual.arguments))]
        for place, parameter in enumerate(function.parameters):
            if parameter.kind != "number":
                continue
            for odd in (math.nan, math.inf, -math.inf):
                cells = tuple(odd if place == here else value for here, value in enumerate(usual_cells))
                assert in_python([Case(name, cells)]) == ["#NUM!"]

    @pytest.mark.parametrize("name", ALL)
    def test_the_function_itself_refuses_each_value(self, name: str) -> None:
        """The boundary looks at the values only where the function refuses: it must miss none of them."""
        function = BY_NAME[name]
        usual = next(case for case, value in python_results(name) if value not in ("", *ERROR_VALUES))
        cells = [*usual.arguments, *[None] * (len(function.parameters) - len(usual.arguments))]
        pairs = zip(function.parameters, cells, strict=True)
        values = [None if p.kind != "range" and p.is_blank(cell) else cell for p, cell in pairs]
        for place, parameter in enumerate(function.parameters):
            refusals: list[tuple[type[CalcError], tuple[object, ...]]] = []
            if parameter.kind == "number":
                beyond = (parameter.least - 1, 2 * parameter.greatest, math.nan, math.inf)
                refusals = [(WrongKind, ("abc", True)), (OutOfRange, beyond)]
            elif parameter.kind == "text":
                refusals = [(WrongKind, (5.0, True)), (NotInTable, ("abc",) if parameter.choices else ())]
            for error, wrong in refusals:
                for value in wrong:
                    with pytest.raises(error):
                        function.python(*values[:place], value, *values[place + 1 :])

    @pytest.mark.parametrize(
        "name", [n for n in WITH_FORMULA if any(p.kind == "number" for p in BY_NAME[n].parameters)]
    )
    def test_true_is_no_number(self, name: str, office: Office) -> None:
        """Python, Excel and IronCalc refuse TRUE where a number belongs; LibreOffice has no truth values, only 1."""
        function = BY_NAME[name]
        usual = next(c for c, v in python_results(name) if v not in ("", *ERROR_VALUES) and None not in c.arguments)
        places = [p for p in range(len(usual.arguments)) if function.parameters[p].kind == "number"]
        true = [_put(usual, place, True) for place in places]
        one = [_put(usual, place, 1) for place in places]
        assert in_python(true) == plain_in_ironcalc(true) == name_in_ironcalc(true) == ["#VALUE!"] * len(places)
        assert plain_in_office(office, true) == plain_in_office(office, one)

    def test_a_letter_that_grows_in_upper_case_stays_one_character(self, office: Office) -> None:
        """LibreOffice, as Excel, leaves the German sharp s in UPPER; IronCalc makes it SS, so it is not asked."""
        odd = [Case("LOT_VIN_CHECK", (f"1M8GDM9AXKP0427{end}",)) for end in ("8ß", "ß8", "ß", "8ßß")]
        refused = ["has a character that no VIN uses"] * 2 + ["has 16 characters, not 17", "has 18 characters, not 17"]
        assert in_python(odd) == plain_in_office(office, odd) == refused


def _put(case: Case, place: int, value: Value) -> Case:
    return Case(case.function, (*case.arguments[:place], value, *case.arguments[place + 1 :]))
