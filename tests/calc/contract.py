"""The contract of blanks, wrong kinds, ranges, choices and errors, asked of every parameter of every function.

It is the table of ``calc/cells/boundary.py``'s first lines, the same for all functions: what a parameter's row of the
registry allows says what is refused. The other arguments are those of a golden row, so that all of them are right.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from tarelot.calc.cells.boundary import ERROR_VALUES
from tarelot.calc.spec import LARGEST, Function, Parameter
from tests.engines.faces import Argument

GOLDEN = "tests/golden/<topic>.csv"
ERRORS = ("#DIV/0!", "#N/A")
"""The random cases of test_agreement hold all of them."""


@dataclass(frozen=True)
class Right:
    """A golden row: arguments that a function takes, with its result and tolerance."""

    arguments: tuple[Argument, ...]
    expected: str
    tolerance: float


Asked = tuple[tuple[Argument, ...], str, float, str]
"""Arguments, the result, its tolerance, and why."""


def contract_rows(function: Function, right: Sequence[Right]) -> Iterator[Asked]:
    """What the contract says of each parameter of a function."""
    usual_rows = [row for row in right if row.expected not in ("", *ERROR_VALUES)]
    assert usual_rows, f"{function.name} has no golden row that ends in a figure or a text: add one in {GOLDEN}"
    usual = max(usual_rows, key=stated)
    for place, parameter in enumerate(function.parameters):
        refused = _errors_in(usual.arguments[place]) if parameter.kind == "range" else _refused(parameter)
        for value, expected, why in refused:
            yield put(usual.arguments, place, value), expected, 0.0, f"{parameter.name}: {why}"
        if parameter.kind != "range" and not parameter.required:
            yield from _left_out(function, place, right)


def stated(row: Right) -> int:
    """How many of its arguments are stated."""
    return sum(argument not in (None, "") for argument in row.arguments)


def put(arguments: tuple[Argument, ...], place: int, value: Argument) -> tuple[Argument, ...]:
    """The arguments with another one in a place, blank cells before it where they end sooner."""
    padded = [*arguments, *[None] * (place + 1 - len(arguments))]
    padded[place] = value
    return tuple(padded)


Refusal = tuple[Argument, str, str]
"""A value, what it gives, and why."""


def _errors_in(block: Sequence[Sequence[Argument]]) -> Iterator[Refusal]:
    """A range with an error in its last cell."""
    for error in ERRORS:
        yield [*block[:-1], [*block[-1][:-1], error]], error, "an error in a range passes"


def _refused(parameter: Parameter) -> Iterator[Refusal]:
    """Values that give a blank or an error whatever the other arguments are."""
    yield from ((error, error, "an error passes") for error in ERRORS)
    if parameter.required:
        blanks: list[Argument] = [None, "", *([] if parameter.zero_is_value else [0])]
        yield from ((blank, "", "a required value that is blank gives a blank") for blank in blanks)
    if parameter.kind == "text":
        yield 5, "#VALUE!", "a number where text belongs"
        if parameter.choices:
            yield "zzz", "#N/A", "a word that is none of the choices"
        return
    yield from ((text, "#VALUE!", "text where a number belongs") for text in ("abc", "12"))
    yield from ((number, "#NUM!", "out of range") for number in _out_of_range(parameter))


def _out_of_range(parameter: Parameter) -> Iterator[float]:
    """Just beyond each bound, the bound itself where it is refused, a negative, and a fraction of a whole number."""
    step = 1 if parameter.whole or parameter.greatest == LARGEST else 0.001
    yield min(parameter.least, 0) - step
    yield parameter.greatest + step
    if parameter.least - step > 0:
        yield parameter.least - step
    if parameter.least_excluded and (parameter.least or parameter.zero_is_value):
        yield parameter.least
    if parameter.greatest_excluded:
        yield parameter.greatest
    if parameter.whole:
        yield parameter.least + 0.5 if parameter.least else 1.5


def _left_out(function: Function, place: int, right: Sequence[Right]) -> Iterator[Asked]:
    """An optional value that is blank counts as absent: a golden row that leaves it alone out keeps its result."""
    parameter = function.parameters[place]
    without = [row for row in right if len(row.arguments) <= place or row.arguments[place] in (None, "")]
    assert without, f"{function.name} has no golden row that leaves {parameter.name} out: add one in {GOLDEN}"
    row = max(without, key=stated)
    for blank in (None, "", *([] if parameter.zero_is_value else [0])):
        arguments = put(row.arguments, place, blank)
        yield arguments, row.expected, row.tolerance, f"{parameter.name}: a blank counts as absent"
