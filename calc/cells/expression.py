"""One expression: printed as a plain formula, and worked out in Python by a spreadsheet's own rules.

A sheet says what a cell shows as a tree of a few nodes over figures named by key:

    deck_height + machine_height - tallest          # nodes added with Python's operators
    IF(spare < 0, "too heavy", "ok")                # functions that every program has: ``spreadsheet.py``
    Registered("LOT_PAYLOAD", gvwr, empty)          # a function of the registry

``formula(expression, places)`` writes it with a reference in place of each key; ``value(expression, cells)`` works it
out with a value in place of each key. ``&`` joins texts, as in a spreadsheet; ``equals`` and ``differs`` stand for
``=`` and ``<>``.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from functools import partial, reduce
from typing import Union

from ..registry import BY_NAME
from . import formulas, values
from .boundary import CellError, call
from .operators import BLANK_TESTS, OPERATORS
from .values import Value, Values

Places = Mapping[str, str]
Cells = Mapping[str, object]
Given = Union["Expression", float, str, bool]
WorkOut = Callable[[Cells], Values]

LONGEST_TEXT = 255
"""Characters that a text constant of a formula may have."""
WHOLE = 9
"""The rank of what needs no brackets."""
RANKS = {"^": 5, "*": 4, "/": 4, "+": 3, "-": 3, "&": 2, "=": 1, "<>": 1, "<": 1, "<=": 1, ">": 1, ">=": 1}
"""How tightly an operator binds; each is worked out from the left."""


class Expression:
    """A node; two are combined with Python's operators."""

    __slots__ = ()
    rank = WHOLE
    is_single = False
    """Whether ``straight.py`` may take it for granted, of a node that it does not know, that its value is no range."""

    def text(self, places: Places) -> str:
        """The formula of this node, without ``=``."""
        raise NotImplementedError

    def work_out(self, cells: Cells) -> Values:
        """The value of this node; operators and functions have one made for their arguments when they are.

        Raises:
            CellError: With the error value that the cell shows.
        """
        raise NotImplementedError

    def written_out(self) -> Expression:
        """The node that ``straight.py`` writes out in place of this one."""
        return self

    def chosen(self, cells: Cells) -> Expression:
        """The node that stands for this one: a cell where IF, IFERROR, CHOOSE or INDEX gives one."""
        return self

    def keys(self) -> set[str]:
        """The keys of all cells that it reads."""
        return set()

    def __add__(self, other: Given) -> Expression:
        return Infix("+", self, lift(other))

    def __radd__(self, other: Given) -> Expression:
        return Infix("+", lift(other), self)

    def __sub__(self, other: Given) -> Expression:
        return Infix("-", self, lift(other))

    def __rsub__(self, other: Given) -> Expression:
        return Infix("-", lift(other), self)

    def __mul__(self, other: Given) -> Expression:
        return Infix("*", self, lift(other))

    def __rmul__(self, other: Given) -> Expression:
        return Infix("*", lift(other), self)

    def __truediv__(self, other: Given) -> Expression:
        return Infix("/", self, lift(other))

    def __rtruediv__(self, other: Given) -> Expression:
        return Infix("/", lift(other), self)

    def __pow__(self, other: Given) -> Expression:
        return Infix("^", self, lift(other))

    def __and__(self, other: Given) -> Expression:
        return Infix("&", self, lift(other))

    def __rand__(self, other: Given) -> Expression:
        return Infix("&", lift(other), self)

    def __lt__(self, other: Given) -> Expression:
        return Infix("<", self, lift(other))

    def __le__(self, other: Given) -> Expression:
        return Infix("<=", self, lift(other))

    def __gt__(self, other: Given) -> Expression:
        return Infix(">", self, lift(other))

    def __ge__(self, other: Given) -> Expression:
        return Infix(">=", self, lift(other))

    def equals(self, other: Given) -> Expression:
        """Whether two values are the same to a spreadsheet; case does not matter."""
        return Infix("=", self, lift(other))

    def differs(self, other: Given) -> Expression:
        """The reverse."""
        return Infix("<>", self, lift(other))


class Constant(Expression):
    """A number, a text, TRUE or FALSE."""

    __slots__ = ("_written", "constant")

    def __init__(self, constant: float | str | bool) -> None:
        self.constant: Value = constant
        if isinstance(constant, bool):
            self._written = str(constant).upper()
        elif isinstance(constant, str):
            if len(constant) > LONGEST_TEXT:
                message = f"a formula's text may have {LONGEST_TEXT} characters: {constant[:40]}... has {len(constant)}"
                raise ValueError(message)
            self._written = formulas.text(constant)
        else:
            self._written = f"{constant + 0.0:.{values.DIGITS}g}".upper()  # no minus before a 0
            self.constant = float(self._written)
            if not math.isfinite(self.constant):
                message = f"a formula has no number {constant}"
                raise ValueError(message)

    @property
    def rank(self) -> int:  # type: ignore[override]
        """A negative number goes into brackets inside a calculation."""
        return 0 if self._written.startswith("-") else WHOLE

    def text(self, places: Places) -> str:
        return self._written

    def work_out(self, cells: Cells) -> Values:
        return self.constant


class Cell(Expression):
    """The figure of a key: one cell."""

    __slots__ = ("key",)

    def __init__(self, key: str) -> None:
        self.key = key

    def text(self, places: Places) -> str:
        return places[self.key]

    def work_out(self, cells: Cells) -> Values:
        found = cells[self.key]
        return found if found.__class__ is float else held(found, self.key)  # type: ignore[return-value]

    def keys(self) -> set[str]:
        return {self.key}


def held(found: object, key: str) -> Value:
    """What a cell of this key holds, as a value.

    Raises:
        CellError: It holds an error value.
        TypeError: No cell can hold it.
    """
    if found is None or isinstance(found, (float, bool)):
        return found
    if isinstance(found, str):
        if found in values.ERRORS:
            raise CellError(found, f"{key} holds {found}")
        return found
    if isinstance(found, int):
        return float(found)
    message = f"{key} holds {found!r}, which no cell can"
    raise TypeError(message)


class Range(Cell):
    """The figures of a key: a block of cells, such as a column of a table."""

    __slots__ = ()

    def work_out(self, cells: Cells) -> Values:
        found = cells[self.key]
        if not isinstance(found, list):
            message = f"{self.key} is not a range"
            raise TypeError(message)
        return found


class Infix(Expression):
    """Two values with an operator between them."""

    __slots__ = ("left", "right", "sign", "work_out")
    work_out: WorkOut  # type: ignore[assignment]

    def __init__(self, sign: str, left: Expression, right: Expression) -> None:
        self.sign, self.left, self.right = sign, left, right
        self.work_out = _joining(self) if sign == "&" else _calculating(sign, left, right)

    @property
    def rank(self) -> int:  # type: ignore[override]
        return RANKS[self.sign]

    def text(self, places: Places) -> str:
        left, right = self.left.text(places), self.right.text(places)
        if self.left.rank < self.rank:
            left = f"({left})"
        if self.right.rank <= self.rank:
            right = f"({right})"
        return f"{left}{self.sign}{right}"

    def keys(self) -> set[str]:
        return self.left.keys() | self.right.keys()


def reading(expression: Expression) -> tuple[str | None, WorkOut]:
    """The key of a plain cell, which may be read without a call, and how the expression is worked out.

    A float that is read so is what the cell holds; for anything else ask the expression itself.
    """
    return expression.key if type(expression) is Cell else None, expression.work_out


def _calculating(sign: str, left: Expression, right: Expression) -> WorkOut:
    """How two values are calculated with; a constant is not asked for again and again."""
    calculate = OPERATORS[sign]
    (key, first), second = reading(left), right.work_out

    def work_out(cells: Cells) -> Values:
        one, other = first(cells), second(cells)
        if one.__class__ is list or other.__class__ is list:
            return values.each(calculate, one, other)
        return calculate(one, other)  # type: ignore[arg-type]

    def beside_constant(cells: Cells) -> Values:
        one = first(cells)
        return values.each(calculate, one, constant) if one.__class__ is list else calculate(one, constant)  # type: ignore[arg-type]

    def cell_beside_constant(cells: Cells) -> Values:
        one = cells[key]  # type: ignore[index]
        if one.__class__ is not float:
            one = first(cells)
        return calculate(one, constant)  # type: ignore[arg-type]

    if not isinstance(right, Constant):
        return work_out
    constant = right.constant
    if constant == "" and sign in BLANK_TESTS:
        calculate = BLANK_TESTS[sign]
    return beside_constant if key is None else cell_beside_constant


def _joining(last: Infix) -> WorkOut:
    """How texts are joined: all that ``&`` stands between at once."""
    parts = [last.right.work_out]
    left = last.left
    while isinstance(left, Infix) and left.sign == "&":
        parts.append(left.right.work_out)
        left = left.left
    parts.append(left.work_out)
    parts.reverse()

    def work_out(cells: Cells) -> Values:
        found = [part(cells) for part in parts]
        if list in map(type, found):
            return reduce(partial(values.each, OPERATORS["&"]), found)
        return "".join([one if one.__class__ is str else values.text(one) for one in found])  # type: ignore[misc]

    return work_out


class Registered(Expression):
    """A function of the registry, called with expressions, constants, or None for what is left out.

    Printed, it is the function's plain formula with its questions about blanks, kinds and ranges; ``guarded`` is False
    where the cells around it have asked them.
    """

    __slots__ = ("arguments", "function", "guarded")

    def __init__(self, function: str, *arguments: Given | None, guarded: bool = True) -> None:
        self.function, self.guarded = function, guarded
        self.arguments = tuple(None if a is None else lift(a) for a in arguments)

    def text(self, places: Places) -> str:
        print_call = formulas.cell_formula if self.guarded else formulas.unguarded_formula
        return print_call(self._call(places))

    def _call(self, places: Places) -> formulas.Call:
        """The call with references in place of keys; a calculation as an argument goes into brackets."""
        given: list[formulas.Cell | formulas.Call | float | str | None] = []
        for argument in self.arguments:
            if isinstance(argument, Registered):
                given.append(argument._call(places))
            elif isinstance(argument, Constant) and not isinstance(argument.constant, bool):
                given.append(argument.constant)
            elif argument is None:
                given.append(None)
            else:
                written = argument.text(places)
                given.append(formulas.Cell(written if isinstance(argument, Cell) else f"({written})"))
        return formulas.Call(self.function, tuple(given))

    @property
    def rank(self) -> int:  # type: ignore[override]
        """A formula without its questions, or with none to ask, may be a bare calculation."""
        return WHOLE if self.guarded and self.keys() else 0

    def work_out(self, cells: Cells) -> Values:
        given = [None if argument is None else argument.work_out(cells) for argument in self.arguments]
        return call(BY_NAME[self.function], given)

    def keys(self) -> set[str]:
        return set().union(*(argument.keys() for argument in self.arguments if argument is not None))


def lift(given: Given) -> Expression:
    """An expression; a number, a text or a truth value becomes a constant."""
    return given if isinstance(given, Expression) else Constant(given)


def formula(expression: Given, places: Places) -> str:
    """The formula of a cell, without ``=``, with a reference in place of each key.

    >>> formula((Cell("deck") + 2) * Cell("n") & " in", {"deck": "$B$4", "n": "C7"})
    '($B$4+2)*C7&" in"'
    """
    return lift(expression).text(places)


def value(expression: Given, cells: Cells) -> float | str | bool:
    """What a cell with this formula shows: a number, a text, TRUE or FALSE, or the error value as its code.

    >>> value(Cell("deck") * 2, {"deck": 20.0}), value(Cell("deck") * 2, {"deck": "low"})
    (40.0, '#VALUE!')
    """
    try:
        found = lift(expression).work_out(cells)
    except CellError as error:
        return error.code
    if isinstance(found, list):
        message = "a range is no cell's value"
        raise TypeError(message)
    return 0.0 if found is None else found
