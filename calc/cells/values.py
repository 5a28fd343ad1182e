"""Cell values by a spreadsheet's own rules: how they become numbers and texts, and how they compare.

A value is a number, a text, TRUE or FALSE, or None for an empty cell; an error value is raised as a ``CellError``. A
range is a list of values, or of rows of values; in it an error stands as its code.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator
from decimal import ROUND_HALF_UP, Context, Decimal
from typing import Union

from .boundary import ERROR_VALUES, CellError

Value = float | str | bool | None
Values = Union[Value, "list[Values]"]

_NUMBER = re.compile(r"\s*([+-]?(?:\d+(?:,\d{3})*\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)\s*(%?)\s*", re.ASCII)
WRONG_KIND, NOT_A_FIGURE, NO_DIVISION, NOT_THERE, NO_REFERENCE = "#VALUE!", "#NUM!", "#DIV/0!", "#N/A", "#REF!"
ERRORS = frozenset(ERROR_VALUES)
DIGITS = 15
"""Significant digits that a spreadsheet keeps of a number typed, shown, compared or rounded."""
NEAR = 10.0 ** (1 - DIGITS)
"""Two numbers that differ by more, as a share, differ in these digits."""
MOST_PLACES = 127
"""Decimal places that FIXED can be asked for, by Excel's documentation."""
_LAST_PLACE = 400
"""No number that a cell can hold has a digit so far behind its decimal point, or before it."""
_EXACT = Context(prec=2 * _LAST_PLACE)
_LEAST_INEXACT = 10.0**DIGITS
"""Below it a whole number has no more digits than a spreadsheet keeps."""
_RANKS: dict[type, int] = {str: 1, bool: 2}
"""How values of different kinds stand in order; numbers come first."""
_LEAST_WRITTEN_OUT, _LONG_NUMBER = 1e-10, 1e16
"""Between them programs write a number without an exponent."""


def number(value: Values) -> float:
    """A value that is calculated with: blank is 0, TRUE is 1, a text is the number that it shows in US English.

    Dates, times and amounts of money in texts, which programs read too, are refused.

    Raises:
        CellError: Any other text, or a range.

    >>> number("12"), number("1,234.5"), number("50%"), number(None), number(True)
    (12.0, 1234.5, 0.5, 0.0, 1.0)
    """
    if isinstance(value, float):
        return value
    if isinstance(value, (bool, int)):
        return float(value)
    if value is None:
        return 0.0
    if isinstance(value, str) and (shown := _NUMBER.fullmatch(value)):
        number_shown = float(shown[1].replace(",", "")) / (100 if shown[2] else 1)
        if math.isfinite(number_shown):
            return number_shown
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
    if isinstance(value, bool):
        return value
    if isinstance(value, str):
        if value.lower() in ("true", "false"):
            return value.lower() == "true"
        raise CellError(WRONG_KIND, f"{value!r} is neither true nor false")
    return number(value) != 0


def text(value: Values) -> str:
    """A value joined to a text; programs write numbers beyond 1E16, and nearer to 0 than 1E-10, each in its own way.

    >>> text(2024.0), text(0.1 + 0.2), text(0.00001), text(-0.0), text(None), text(True)
    ('2024', '0.3', '0.00001', '0', '', 'TRUE')
    """
    if isinstance(value, str):
        return value
    if value is None:
        return ""
    if isinstance(value, bool):
        return str(value).upper()
    if isinstance(value, list):
        raise CellError(WRONG_KIND, "a range is not a text")
    if value == 0:
        return "0"
    shown = f"{value:.{DIGITS}g}"
    if "e" in shown and _LEAST_WRITTEN_OUT <= abs(value) < _LONG_NUMBER:
        return f"{Decimal(shown):f}"
    return shown.replace("e", "E")


def compare(left: Value, right: Value) -> int:
    """-1, 0 or 1: numbers come before texts, texts before FALSE and TRUE; case does not matter; blank is like either.

    >>> compare(5.0, "abc"), compare("ABC", "abc"), compare(None, ""), compare(None, 0.0)
    (-1, 0, 0, 0)
    """
    if left is None:
        left = _blank_beside(right)
    if right is None:
        right = _blank_beside(left)
    rank, other_rank = _RANKS.get(left.__class__, 0), _RANKS.get(right.__class__, 0)
    if rank != other_rank:
        return -1 if rank < other_rank else 1
    if rank == 0:
        first, second = number(left), number(right)
        return 0 if alike(first, second) else 1 if first > second else -1
    one, other = str(left).lower(), str(right).lower()
    return (one > other) - (one < other)


def alike(left: float, right: float) -> bool:
    """Whether two numbers are the same to a spreadsheet: in their first 15 significant digits.

    >>> alike(0.1 + 0.2, 0.3), alike(1.0, 1.00000000000001)
    (True, False)
    """
    if left == right:
        return True
    if abs(left - right) > abs(left) * NEAR:  # by far the most: no need to write them out
        return False
    return f"{left:.{DIGITS}g}" == f"{right:.{DIGITS}g}"


def _blank_beside(other: Value) -> Value:
    """What a blank counts as beside another value."""
    return "" if isinstance(other, str) else False if isinstance(other, bool) else 0.0


def rounded(value: float, places: float = 0, rounding: str = ROUND_HALF_UP) -> float:
    """A number at so many places, halves away from 0 as they are written in decimals.

    >>> rounded(2.5), rounded(-2.5), rounded(1.005, 2), rounded(1234.0, -2)
    (3.0, -3.0, 1.01, 1200.0)
    """
    places = math.trunc(places)
    if places >= 0 and value.is_integer() and abs(value) < _LEAST_INEXACT:  # by far the most
        return value
    return value if places > _LAST_PLACE else float(_quantized(value, max(places, -_LAST_PLACE), rounding))


def _quantized(value: float, places: int, rounding: str) -> Decimal:
    return Decimal(f"{value:.{DIGITS}g}").quantize(Decimal(1).scaleb(-places), rounding, _EXACT)


def fixed(value: float, places: float = 2, no_commas: bool = False) -> str:
    """A number as text with so many places, with thousands in groups; below 0 places are digits left of the point.

    Raises:
        CellError: More places than programs offer.

    >>> fixed(1234.5, 0), fixed(0.45, 1), fixed(1234.5, 1, True), fixed(1234.5, -2), fixed(-0.2, 0)
    ('1,235', '0.5', '1234.5', '1,200', '0')
    """
    if places > MOST_PLACES:
        raise CellError(WRONG_KIND, f"a text has at most {MOST_PLACES} places")
    places = max(math.floor(places), -_LAST_PLACE)
    shown = _quantized(value, places, ROUND_HALF_UP) or Decimal(0)  # no minus before a 0
    digits = max(0, places)
    return f"{shown:.{digits}f}" if no_commas else f"{shown:,.{digits}f}"


def pattern(criterion: str) -> re.Pattern[str]:
    """The texts that MATCH, COUNTIF and SEARCH find: ``*`` and ``?`` are wild, and not after ``~``, which is not read.

    >>> bool(pattern("check*").fullmatch("Check on What-if")), bool(pattern("a~*").fullmatch("ab"))
    (True, False)
    """
    wild = {"*": ".*", "?": "."}
    pieces = re.findall(r"~.|.", criterion, flags=re.DOTALL)
    return re.compile(
        "".join(wild.get(piece) or re.escape(piece[-1]) for piece in pieces), flags=re.DOTALL | re.IGNORECASE
    )


def flat(values: Values) -> Iterator[Value]:
    """The values of a range, row after row."""
    if isinstance(values, list):
        for part in values:
            if isinstance(part, list):
                yield from flat(part)
            else:  # by far the most
                yield part
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
    at = ([a[place] if isinstance(a, list) else a for a in arguments] for place in places)
    return [_at_one_place(calculate, given) for given in at]


def _at_one_place(calculate: Callable[..., Value], given: list[Values]) -> Values:
    """A calculation at one place of a range: an error stays at its place."""
    lifted = False
    for one in given:
        if one.__class__ is str and one in ERRORS:
            return one
        lifted = lifted or one.__class__ is list
    try:
        return each(calculate, *given) if lifted else calculate(*given)
    except CellError as error:
        return error.code
