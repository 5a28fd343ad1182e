"""From cell values to arguments and from refusals to cell errors: the only place that knows blanks and error values.

The contract, in every face: a required value that is blank gives a blank; an optional one that is blank counts as
absent; text where a number belongs gives #VALUE!, a number out of range #NUM!, a name not in a table #N/A, and an
error passes through.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from calc.errors import CalcError, NotInTable, NotStated, OutOfRange, WrongKind
from calc.spec import Function

CELL_ERRORS: tuple[tuple[type[CalcError], str], ...] = (
    (WrongKind, "#VALUE!"),
    (OutOfRange, "#NUM!"),
    (NotInTable, "#N/A"),
)
ERROR_VALUES = ("#NULL!", "#DIV/0!", "#VALUE!", "#REF!", "#NAME?", "#NUM!", "#N/A")


class CellError(Exception):
    """An error value for the cell, with the reason in words.

    Attributes:
        code: The error value, such as ``#NUM!``.
        reason: What is wrong, in one line.
    """

    def __init__(self, code: str, reason: str) -> None:
        super().__init__(f"{code} {reason}")
        self.code = code
        self.reason = reason


def call(function: Function, cells: Sequence[object]) -> float | str:
    """The result of a worksheet function for cell values, an empty text for a blank.

    Args:
        function: A row of the registry.
        cells: A value a parameter; trailing ones may be left out. A range is a sequence of rows or of values.

    Raises:
        CellError: With the error value that the cell shows.
    """
    given = [*cells, *[None] * (len(function.parameters) - len(cells))]
    for cell in given:
        _pass_errors(cell)
    arguments = [
        _flat(cell) if parameter.kind == "range" else None if parameter.is_blank(cell) else cell
        for parameter, cell in zip(function.parameters, given, strict=True)
    ]
    pairs = list(zip(function.parameters, arguments, strict=True))
    if any(argument is None and parameter.required for parameter, argument in pairs):
        return ""
    stated = [(p, a) for p, a in pairs if a is not None and p.kind != "range"]
    try:
        for parameter, argument in stated:
            parameter.check_kind(argument)
        for parameter, argument in stated:
            parameter.check_range(argument)
        for parameter, argument in stated:
            parameter.check_choice(argument)
        result = function.python(*arguments)
    except NotStated:
        return ""
    except CalcError as refusal:
        code = next(code for kind, code in CELL_ERRORS if isinstance(refusal, kind))
        raise CellError(code, str(refusal)) from refusal
    except (OverflowError, ZeroDivisionError) as overflow:
        raise CellError("#NUM!", "the result is not a finite number") from overflow
    if isinstance(result, float) and not math.isfinite(result):
        raise CellError("#NUM!", "the result is not a finite number")
    return result


def _flat(cell: object) -> list[object]:
    """The values of a range, row after row."""
    if not isinstance(cell, list | tuple):
        return [cell]
    return [value for row in cell for value in (row if isinstance(row, list | tuple) else [row])]


def _pass_errors(cell: object) -> None:
    """Raise the first error value that a cell or range holds."""
    for value in _flat(cell):
        if isinstance(value, str) and value in ERROR_VALUES:
            raise CellError(value, f"a cell it reads holds {value}")
