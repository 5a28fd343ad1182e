"""Which cells MATCH finds and COUNTIF counts for a value that is looked for."""

from __future__ import annotations

import re
from collections.abc import Callable

from . import values
from .boundary import CellError
from .values import Value, Values

Test = Callable[[Value], bool]

_COMPARISON = re.compile("(<>|<=|>=|=|<|>)(.*)", re.DOTALL)
_ORDER: dict[str, Callable[[int], bool]] = {
    "<": lambda order: order < 0,
    "<=": lambda order: order <= 0,
    ">": lambda order: order > 0,
    ">=": lambda order: order >= 0,
}


def same_as(wanted: Values) -> Test:
    """Whether a cell holds a value of the same kind that is the same; a text may have wild letters, none for an error.

    Raises:
        CellError: A range is looked for.
    """
    if isinstance(wanted, list):
        raise CellError(values.WRONG_KIND, "one value is looked for, not a range")
    if isinstance(wanted, str):
        found = values.pattern(wanted).fullmatch
        return lambda one: isinstance(one, str) and found(one) is not None and one not in values.ERRORS
    return lambda one: one is not None and type(one) is not str and values.compare(one, wanted) == 0


def counted(wanted: Values) -> Test:
    """Whether COUNTIF counts a cell: a text may begin with a comparison, and ``""`` stands for blanks.

    Raises:
        CellError: A range is looked for.
    """
    if wanted in values.ERRORS:
        return lambda one: one == wanted
    parted = _COMPARISON.fullmatch(wanted) if isinstance(wanted, str) else None
    if parted is None:
        return (lambda one: one is None or one == "") if wanted == "" else _as_good_as(wanted)
    sign, rest = parted.groups()
    if sign in _ORDER:
        return _beyond(_ORDER[sign], rest)
    same: Test = _as_good_as(rest) if rest else lambda one: one is None
    return same if sign == "=" else lambda one: not same(one)


def _as_good_as(wanted: Values) -> Test:
    """The same, where a number in a text is as good as the number."""
    sought = None if isinstance(wanted, bool) else _number(wanted)
    if sought is None:
        return same_as(wanted)

    def same(one: Value) -> bool:
        number = None if one is None or isinstance(one, bool) else _number(one)
        return number is not None and values.alike(number, sought)

    return same


def _beyond(test: Callable[[int], bool], bound: str) -> Test:
    """Numbers beside a number, texts beside a text."""
    number = _number(bound)
    limit: Value = bound if number is None else number
    kinds = (float, int) if number is not None else (str,)
    return lambda one: type(one) in kinds and one not in values.ERRORS and test(values.compare(one, limit))


def _number(value: Values) -> float | None:
    """The number that a value stands for, or none."""
    if isinstance(value, list):
        return None
    try:
        return values.number(value)
    except CellError:
        return None
