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
from dataclasses import dataclass

import pytest

from tarelot.calc.cells.boundary import ERROR_VALUES
from tarelot.calc.cells.formulas import Call, cell_formula
from tarelot.calc.errors import CalcError, NotInTable, OutOfRange, WrongKind
from tarelot.calc.registry import BY_NAME, FUNCTIONS
from tarelot.calc.spec import LARGEST
from tests.engines.cases import cases, edges
from tests.engines.faces import CHECK, Argument, Book, Case, Value, in_python
from tests.engines.office import Office

pytestmark = pytest.mark.slow
COUNT = 2000
TOLERANCE = 1e-9
"""As a share, and in the result's unit: where figures cancel out, the engines round the last binary digit apart."""
ALL = [function.name for function in FUNCTIONS]
WITH_FORMULA = [function.name for function in FUNCTIONS if function.formula is not None]
WITH_NUMBERS = [name for name in WITH_FORMULA if any(p.kind == "number" for p in BY_NAME[name].parameters)]

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


@dataclass(frozen=True)
class Asked:
    """The cases of a function in one workbook, with what Python gives."""

    name: str
    book: Book
    python: tuple[tuple[Case, Value], ...]


@functools.lru_cache(maxsize=1)
def asked_of(name: str) -> Asked:
    """The random and edge cases of a function; the last one is kept, since its faces are asked one after another."""
    chosen = cases(name, COUNT)
    assert len(chosen) >= COUNT
    return Asked(name, Book(chosen), tuple(zip(chosen, in_python(chosen), strict=True)))


@pytest.fixture(scope="module")
def asked(request: pytest.FixtureRequest) -> Asked:
    """A function's cases; pytest puts the tests of one function together."""
    return asked_of(request.param)


of_all = pytest.mark.parametrize("asked", ALL, indirect=True, scope="module")
of_those_with_formula = pytest.mark.parametrize("asked", WITH_FORMULA, indirect=True, scope="module")


def usual(asked: Asked) -> Case:
    """The first case whose result is a figure or a text."""
    return next(case for case, value in asked.python if value not in ("", *ERROR_VALUES))


def usual_cells(asked: Asked) -> list[Argument]:
    """A cell for every parameter, from such a case."""
    given = usual(asked).arguments
    return [*given, *[None] * (len(BY_NAME[asked.name].parameters) - len(given))]


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
    @of_all
    def test_cases_reach_figures_and_refusals(self, asked: Asked) -> None:
        """The comparison says something only where results, blanks and errors all occur."""
        values = [value for _, value in asked.python]
        assert set(ERROR_VALUES) <= set(values)
        assert sum(value not in ("", *ERROR_VALUES) for value in values) >= COUNT / 5

    @of_all
    def test_every_edge_is_among_them(self, asked: Asked) -> None:
        given = [case.arguments for case, _ in asked.python]
        for place, parameter in enumerate(BY_NAME[asked.name].parameters):
            seen = {repr(arguments[place]) for arguments in given if len(arguments) > place}
            assert {repr(edge) for edge in edges(parameter)} <= seen


class TestFaces:
    @of_those_with_formula
    def test_plain_formula_in_libreoffice(self, asked: Asked, office: Office) -> None:
        assert differences(asked.python, asked.book.plain_in_office(office)) == []

    @of_those_with_formula
    def test_plain_formula_in_ironcalc(self, asked: Asked) -> None:
        assert differences(asked.python, asked.book.plain_in_ironcalc()) == []

    @of_those_with_formula
    def test_workbook_name_in_ironcalc(self, asked: Asked) -> None:
        assert differences(asked.python, asked.book.name_in_ironcalc()) == []

    @of_all
    def test_addin_in_libreoffice(self, asked: Asked, office_with_addin: Office) -> None:
        """Of two errors in its cells Calc passes on either, without asking the add-in."""
        others = differences(asked.python, asked.book.addin_in_office(office_with_addin))
        assert [(case, p, value) for case, p, value in others if value not in ERROR_VALUES] == []
        assert [other for other in others if not {*other[1:]} <= set(map(str, other[0].arguments))] == []

    @of_all
    def test_call_path_of_xlwings(self, asked: Asked) -> None:
        """In place of an error the cell shows a text that begins with a fixed word."""
        expected = [(case, CHECK if value in ERROR_VALUES else value) for case, value in asked.python]
        values = asked.book.excel_call_path()
        shown = [CHECK if isinstance(value, str) and value.startswith(CHECK) else value for value in values]
        assert differences(expected, shown) == []


class TestNestedCalls:
    """A call inside a call asks all guards together, so that with two faults another one may be reported first."""

    @pytest.mark.parametrize(("outer", "inner"), NESTED, ids=lambda part: part if isinstance(part, str) else "")
    def test_formulas_and_names(self, outer: str, inner: tuple[str | None, ...], office: Office) -> None:
        chosen = nested_cases(outer, inner)
        compared = list(zip(chosen, in_python(chosen), strict=True))
        book = Book(chosen)
        for values in (book.plain_in_office(office), book.plain_in_ironcalc()):
            others = differences(compared, values)
            assert [other for other in others if faults(other[0]) < 2 and not beyond(other[0])] == []
            assert [other for other in others if not beyond(other[0]) and not {*other[1:]} <= {"", *ERROR_VALUES}] == []
        assert differences(compared, book.name_in_ironcalc()) == []

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
    @of_all
    def test_nan_and_infinity_are_refused_by_python(self, asked: Asked) -> None:
        """No cell holds them; another program may hand them over."""
        usual = usual_cells(asked)
        for place, parameter in enumerate(BY_NAME[asked.name].parameters):
            if parameter.kind != "number":
                continue
            for odd in (math.nan, math.inf, -math.inf):
                cells = tuple(odd if place == here else value for here, value in enumerate(usual))
                assert in_python([Case(asked.name, cells)]) == ["#NUM!"]

    @of_all
    def test_the_function_itself_refuses_each_value(self, asked: Asked) -> None:
        """The boundary looks at the values only where the function refuses: it must miss none of them."""
        function = BY_NAME[asked.name]
        pairs = zip(function.parameters, usual_cells(asked), strict=True)
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

    @pytest.mark.parametrize("asked", WITH_NUMBERS, indirect=True, scope="module")
    def test_true_is_no_number(self, asked: Asked, office: Office) -> None:
        """Python, Excel and IronCalc refuse TRUE where a number belongs; LibreOffice has no truth values, only 1."""
        whole = next(c for c, v in asked.python if v not in ("", *ERROR_VALUES) and None not in c.arguments)
        numbers = [p.kind == "number" for p in BY_NAME[asked.name].parameters]
        places = [place for place in range(len(whole.arguments)) if numbers[place]]
        true = Book([_put(whole, place, True) for place in places])
        one = Book([_put(whole, place, 1) for place in places])
        refused = ["#VALUE!"] * len(places)
        assert true.in_python() == true.plain_in_ironcalc() == true.name_in_ironcalc() == refused
        assert true.plain_in_office(office) == one.plain_in_office(office)

    def test_a_letter_that_grows_in_upper_case_stays_one_character(self, office: Office) -> None:
        """LibreOffice, as Excel, leaves the German sharp s in UPPER; IronCalc makes it SS, so it is not asked."""
        odd = Book([Case("LOT_VIN_CHECK", (f"1M8GDM9AXKP0427{end}",)) for end in ("8ß", "ß8", "ß", "8ßß")])
        refused = ["has a character that no VIN uses"] * 2 + ["has 16 characters, not 17", "has 18 characters, not 17"]
        assert odd.in_python() == odd.plain_in_office(office) == refused


def _put(case: Case, place: int, value: Value) -> Case:
    return Case(case.function, (*case.arguments[:place], value, *case.arguments[place + 1 :]))
