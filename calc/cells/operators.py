"""What stands between two values in an expression: arithmetic, comparison, joining of texts.

Each raises a ``CellError`` where there is no result.
"""

from __future__ import annotations

import math
import operator
from collections.abc import Callable

from . import values
from .boundary import CellError
from .values import Value

_LEAST_ROOT = 1e-9
Calculate = Callable[[Value, Value], Value]


def _arithmetic(calculate: Callable[[float, float], float]) -> Calculate:
    def calculated(left: Value, right: Value) -> Value:
        if left.__class__ is not float:
            left = values.number(left)
        if right.__class__ is not float:
            right = values.number(right)
        try:
            found = calculate(left, right)  # type: ignore[arg-type]
        except (OverflowError, ValueError) as error:
            raise CellError(values.NOT_A_FIGURE, str(error)) from error
        return found if math.isfinite(found) else values.finite(found)

    return calculated


def _sum(left: float, right: float) -> float:
    """0 where what is left lies behind the digits that a spreadsheet keeps."""
    found = left + right
    return 0.0 if abs(found) <= abs(left) * values.NEAR and values.alike(left, -right) else found


def _difference(left: float, right: float) -> float:
    return _sum(left, -right)


def _divided(left: float, right: float) -> float:
    if right == 0:
        raise CellError(values.NO_DIVISION, "division by 0")
    return left / right


def _power(base: float, exponent: float) -> float:
    if base == 0 and exponent <= 0:
        code = values.NO_DIVISION if exponent else values.NOT_A_FIGURE
        raise CellError(code, "0 has no such power")
    return _real_power(base, exponent)


def _real_power(base: float, exponent: float) -> float:
    """A power among the real numbers; below 0 the odd roots are among them.

    Raises:
        ValueError: There is none.
    """
    result = base**exponent
    if isinstance(result, complex):
        root = round(1 / exponent) if abs(exponent) > _LEAST_ROOT else 0
        if root % 2 and values.alike(1 / root, exponent):
            return float(-((-base) ** exponent))
        message = f"{base} has no power {exponent}"
        raise ValueError(message)  # noqa: TRY004 - the numbers are wrong, not their type
    return float(result)


def _compared(test: Callable[[float, float], bool]) -> Calculate:
    def compared(left: Value, right: Value) -> Value:
        if (
            left.__class__ is right.__class__ is float and abs(left - right) > abs(left) * values.NEAR  # type: ignore[operator, arg-type]
        ):  # by far the most
            return test(left, right)  # type: ignore[arg-type]
        return test(values.compare(left, right), 0)

    return compared


def _is_blank(left: Value, _: Value) -> bool:
    """Whether a value is the same as a text without letters: that is one, or none is there."""
    return left is None or left == ""


BLANK_TESTS: dict[str, Calculate] = {"=": _is_blank, "<>": lambda left, _: not _is_blank(left, _)}
OPERATORS: dict[str, Calculate] = {
    "+": _arithmetic(_sum),
    "-": _arithmetic(_difference),
    "*": _arithmetic(operator.mul),
    "/": _arithmetic(_divided),
    "^": _arithmetic(_power),
    "&": lambda left, right: values.text(left) + values.text(right),
    "=": _compared(operator.eq),
    "<>": _compared(operator.ne),
    "<": _compared(operator.lt),
    "<=": _compared(operator.le),
    ">": _compared(operator.gt),
    ">=": _compared(operator.ge),
}
