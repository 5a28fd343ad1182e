"""Cell values by a spreadsheet's own rules: how they become numbers and texts, and how they compare.

A value is a number, a text, TRUE or FALSE, or None for an empty cell; an error value is raised as a ``CellError``. A
range is a list of values, or of rows of values.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator
from decimal import ROUND_HALF_UP, Decimal, localcontext
from typing import Union

from .boundary import CellError

Value = float | str | bool | None
Values = Union[Value, "list[Values]"]

_NUMBER = re.compile(r"\s*[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?\s*")
WRONG_KIND, NOT_A_FIGURE, NO_DIVISION, NOT_THERE, NO_REFERENCE = "#VALUE!", "#NUM!", "#DIV/0!", "#N/A", "#REF!"
DIGITS = 15
"""Significant digits that a spreadsheet keeps of a number typed, shown or rounded."""


def number(value: Values) -> float:
    """A value that is calculated with: blank is 0, TRUE is 1, a text of digits is its number.

    Raises:
        CellError: Any other text, or a range.

    >>> number("12"), number(None), number(True)
    (12.0, 0.0, 1.0)
    """
    if isinstance(value, float):
        return value
    if isinstance(value, (bool, int)):
        return float(value)
    if value is None:
        return 0.0
    if isinstance(value, str) and _NUMBER.fullmatch(value):
        return float(value)
    raise CellError(WRONG_KIND, f"{value!r} is not a number")


def finite(value: float) -> float:
    """A number that a cell can hold.

    Raises:
        CellError: Infinity, or not a number.
    """
    if not math.isfinite(value):
        raise CellError(NOT_A_FIGURE, "the result is not a finite number")
    return value


def truth(value: Values) -> bool:
    """A value as the answer to a question: a number other than 0 is yes.

    Raises:
        CellError: A text.
    """
    if isinstance(value, str):
        if value.lower() in ("true", "false"):
            return value.lower() == "true"
        raise CellError(WRONG_KIND, f"{value!r} is neither true nor false")
    return number(value) != 0


def text(value: Values) -> str:
    """A value joined to a text; numbers of moderate size only, since programs write very large and small ones apart.

    >>> text(2024.0), text(0.1 + 0.2), text(None), text(True)
    ('2024', '0.3', '', 'TRUE')
    """
    if isinstance(value, str):
        return value
    if value is None:
        return ""
    if isinstance(value, bool):
        return str(value).upper()
    if isinstance(value, list):
        raise CellError(WRONG_KIND, "a range is not a text")
    return f"{value:.{DIGITS}g}".replace("e", "E")


def compare(left: Value, right: Value) -> int:
    """-1, 0 or 1: numbers come before texts, texts before FALSE and TRUE; case does not matter; blank is like either.

    >>> compare(5.0, "abc"), compare("ABC", "abc"), compare(None, ""), compare(None, 0.0)
    (-1, 0, 0, 0)
    """
    if type(left) is float and type(right) is float:
        return (left > right) - (left < right)
    if left is None:
        left = _blank_beside(right)
    if right is None:
        right = _blank_beside(left)
    first, second = _sort_key(left), _sort_key(right)
    return (first > second) - (first < second)


def _blank_beside(other: Value) -> Value:
    """What a blank counts as beside another value."""
    return "" if isinstance(other, str) else False if isinstance(other, bool) else 0.0


def _sort_key(value: Value) -> tuple[int, float | str]:
    if isinstance(value, bool):
        return 2, float(value)
    if isinstance(value, str):
        return 1, value.lower()
    return 0, number(value)


def rounded(value: float, places: float = 0, rounding: str = ROUND_HALF_UP) -> float:
    """A number at so many places, halves away from 0 as they are written in decimals.

    >>> rounded(2.5), rounded(-2.5), rounded(1.005, 2), rounded(1234.0, -2)
    (3.0, -3.0, 1.01, 1200.0)
    """
    return float(_quantized(value, math.trunc(places), rounding))


def _quantized(value: float, places: int, rounding: str) -> Decimal:
    with localcontext() as context:
        context.prec = 400
        return Decimal(f"{value:.{DIGITS}g}").quantize(Decimal(1).scaleb(-places), rounding=rounding)


def fixed(value: float, places: float = 2, no_commas: bool = False) -> str:
    """A number as text with so many places, with thousands in groups.

    >>> fixed(1234.5, 0), fixed(0.45, 1), fixed(1234.5, 1, True)
    ('1,235', '0.5', '1234.5')
    """
    shown = _quantized(value, math.trunc(places), ROUND_HALF_UP)
    digits = max(0, math.trunc(places))
    return f"{shown:.{digits}f}" if no_commas else f"{shown:,.{digits}f}"


def pattern(criterion: str) -> re.Pattern[str]:
    """The texts that a criterion of MATCH or COUNTIF finds: ``*`` and ``?`` are wild, and not after ``~``.

    >>> bool(pattern("check*").fullmatch("Check on What-if")), bool(pattern("a~*").fullmatch("ab"))
    (True, False)
    """
    wild = {"*": ".*", "?": "."}
    pieces = re.findall(r"~[*?~]|.", criterion, flags=re.DOTALL)
    return re.compile(
        "".join(wild.get(piece) or re.escape(piece[-1]) for piece in pieces), flags=re.DOTALL | re.IGNORECASE
    )


def flat(values: Values) -> Iterator[Value]:
    """The values of a range, row after row."""
    if isinstance(values, list):
        for part in values:
            yield from flat(part)
    else:
        yield values


def each(calculate: Callable[..., Value], *arguments: Values) -> Values:
    """A calculation over values, or over each place of the ranges among them."""
    for argument in arguments:
        if isinstance(argument, list):
            break
    else:
        return calculate(*arguments)
    lengths = {len(a) for a in arguments if isinstance(a, list)}
    if len(lengths) > 1:
        raise CellError(NOT_THERE, "two ranges differ in length")
    places = range(lengths.pop())
    return [each(calculate, *(a[place] if isinstance(a, list) else a for a in arguments)) for place in places]
