"""From cell values to arguments and from refusals to cell errors: the only place that knows blanks and error values.

The contract, in every face: a required value that is blank gives a blank; an optional one that is blank counts as
absent; text where a number belongs gives #VALUE!, a number out of range #NUM!, a name not in a table #N/A, and an
error passes through.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from ..errors import CalcError, NotInTable, NotStated, OutOfRange, WrongKind
from ..spec import Function, Parameter

CELL_ERRORS: tuple[tuple[type[CalcError], str], ...] = (
    (WrongKind, "#VALUE!"),
    (OutOfRange, "#NUM!"),
    (NotInTable, "#N/A"),
)
ERROR_VALUES = ("#NULL!", "#DIV/0!", "#VALUE!", "#REF!", "#NAME?", "#NUM!", "#N/A")
_ERRORS = frozenset(ERROR_VALUES)
_BLOCK = (list, tuple)


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

    The function checks its values itself; only where it refuses are all of them looked at, for what to refuse first.

    Args:
        function: A row of the registry.
        cells: A value a parameter; trailing ones may be left out. A range is a sequence of rows or of values.

    Raises:
        CellError: With the error value that the cell shows.
    """
    given = [*cells, *[None] * (len(function.parameters) - len(cells))]
    arguments: list[object] = []
    lacking = False
    for parameter, cell in zip(function.parameters, given, strict=True):
        if parameter.kind == "range":
            block = _flat(cell)
            for value in filter(_ERRORS.__contains__, block):
                _pass_error(value)
            arguments.append(block)
        elif cell is None or parameter.is_blank(cell):
            lacking = lacking or parameter.required
            arguments.append(None)
        else:
            _pass_error(cell)
            arguments.append(cell)
    if lacking:
        return ""
    try:
        result = function.python(*arguments)
    except (CalcError, OverflowError, ZeroDivisionError) as refusal:
        return _refused(function, arguments, refusal)
    if isinstance(result, float) and not math.isfinite(result):
        raise CellError("#NUM!", "the result is not a finite number")
    return result


def _refused(function: Function, arguments: Sequence[object], refusal: Exception) -> str:
    """What a cell shows in place of a result: kinds come before ranges, ranges before choices, the function's own last.

    Raises:
        CellError: With the error value that the cell shows.
    """
    stated = [(p, a) for p, a in zip(function.parameters, arguments, strict=True) if a is not None]
    try:
        for check in (Parameter.check_kind, Parameter.check_range, Parameter.check_choice):
            for parameter, argument in stated:
                check(parameter, argument)
    except CalcError as first:
        refusal = first
    if isinstance(refusal, NotStated):
        return ""
    if not isinstance(refusal, CalcError):
        raise CellError("#NUM!", "the result is not a finite number") from refusal
    code = next(code for kind, code in CELL_ERRORS if isinstance(refusal, kind))
    raise CellError(code, str(refusal)) from refusal


def _flat(cell: object) -> list[object]:
    """The values of a range, row after row."""
    if not isinstance(cell, _BLOCK):
        return [cell]
    return [value for row in cell for value in (row if isinstance(row, _BLOCK) else [row])]


def _pass_error(value: object) -> None:
    """Raise the error value that a cell holds, if it does."""
    if isinstance(value, str) and value in _ERRORS:
        raise CellError(value, f"a cell it reads holds {value}")
