"""The functions that every spreadsheet program since 2010 has, as nodes of an expression.

``IF(a > b, "too heavy", "ok")`` is a node; its name is the spreadsheet's. IF and the questions about errors work out
only what they need. AND, OR, MIN, MAX, SUM and COUNT pass over what is no number in a cell that they are given, as
programs do, and not in a calculation; a cell that IF, IFERROR, CHOOSE or
INDEX gives is a cell.

Where the programs differ the rule is Excel's documented one; ``tests/engines/gaps.py`` names what others do.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from decimal import ROUND_UP

from . import criteria, texts, values
from .boundary import CellError
from .expression import Cell, Cells, Constant, Expression, Given, Places, held, lift
from .values import Value, Values

MOST_TIMES = 1_125_900_000_000
"""How often a divisor may go into a number for Excel's MOD to tell what remains (from memory)."""

WorkOut = Callable[[Sequence[Expression], Cells], Values]
Choose = Callable[[Sequence[Expression], Cells], Expression]


class Applied(Expression):
    """A function with its arguments."""

    __slots__ = ("_work_out", "arguments", "name")

    def __init__(self, name: str, work_out: WorkOut, arguments: tuple[Expression, ...]) -> None:
        self.name, self._work_out, self.arguments = name, work_out, arguments

    def text(self, places: Places) -> str:
        return f"{self.name}({','.join(argument.text(places) for argument in self.arguments)})"

    def work_out(self, cells: Cells) -> Values:
        return self._work_out(self.arguments, cells)

    def keys(self) -> set[str]:
        return set().union(*(argument.keys() for argument in self.arguments))


class Choice(Applied):
    """A function that gives one of the cells or calculations that it is given."""

    __slots__ = ("_choose",)

    def __init__(self, name: str, choose: Choose, arguments: tuple[Expression, ...]) -> None:
        super().__init__(name, lambda arguments, cells: choose(arguments, cells).work_out(cells), arguments)
        self._choose = choose

    def chosen(self, cells: Cells) -> Expression:
        return self._choose(self.arguments, cells).chosen(cells)


class Place(Cell):
    """One cell of a range."""

    __slots__ = ("_found",)

    def __init__(self, key: str, found: Value) -> None:
        super().__init__(key)
        self._found = found

    def work_out(self, cells: Cells) -> Values:
        return held(self._found, self.key)


class Found(Expression):
    """What a calculation has given."""

    __slots__ = ("_found",)

    def __init__(self, found: Values) -> None:
        self._found = found

    def work_out(self, cells: Cells) -> Values:
        return self._found


class Function:
    """A function that makes a node when it is called: one that works its arguments out, or one that chooses."""

    def __init__(self, name: str, work_out: WorkOut | None = None, *, choose: Choose | None = None) -> None:
        self.name, self._work_out, self._choose = name, work_out, choose

    def __call__(self, *arguments: Given) -> Expression:
        """A node."""
        given = tuple(map(lift, arguments))
        if self._choose is not None:
            return Choice(self.name, self._choose, given)
        assert self._work_out is not None
        return Applied(self.name, self._work_out, given)


# How arguments are worked out


def _eager(calculate: Callable[..., Value]) -> WorkOut:
    """All arguments first, each place of a range by itself."""

    def work_out(arguments: Sequence[Expression], cells: Cells) -> Values:
        return values.each(calculate, *(argument.work_out(cells) for argument in arguments))

    return work_out


def _of_numbers(calculate: Callable[..., float]) -> WorkOut:
    """A function of numbers; where it has no result, #NUM!."""

    def calculated(*given: Value) -> Value:
        try:
            return values.finite(float(calculate(*map(values.number, given))))
        except (OverflowError, ValueError) as error:
            raise CellError(values.NOT_A_FIGURE, str(error)) from error

    return _eager(calculated)


def _numbers(arguments: Sequence[Expression], cells: Cells) -> Iterator[float]:
    """The numbers among cells, and every calculation as a number."""
    for argument in (argument.chosen(cells) for argument in arguments):
        found = argument.work_out(cells)
        if isinstance(argument, Cell) or isinstance(found, list):
            for one in values.flat(found):
                held(one, "a range")
                if isinstance(one, float) or (isinstance(one, int) and not isinstance(one, bool)):
                    yield float(one)
        else:
            yield values.number(found)


def _of_all(calculate: Callable[[list[float]], float]) -> WorkOut:
    return lambda arguments, cells: values.finite(calculate(list(_numbers(arguments, cells))))


def _logical(combine: Callable[[list[bool]], bool]) -> WorkOut:
    """AND and OR: every part is worked out, texts and blanks in cells are passed over."""

    def work_out(arguments: Sequence[Expression], cells: Cells) -> Values:
        parts = []
        for argument in (argument.chosen(cells) for argument in arguments):
            found = argument.work_out(cells)
            if isinstance(argument, Cell):
                held_values = [held(one, "a range") for one in values.flat(found)]
                parts += [values.truth(one) for one in held_values if one is not None and not isinstance(one, str)]
            else:
                parts.append(values.truth(found))
        if not parts:
            raise CellError(values.WRONG_KIND, "nothing that is true or false")
        return combine(parts)

    return work_out


def _if(arguments: Sequence[Expression], cells: Cells) -> Expression:
    condition = values.truth(arguments[0].work_out(cells))
    if condition:
        return arguments[1]
    return arguments[2] if len(arguments) > 2 else Constant(False)


def _choose(arguments: Sequence[Expression], cells: Cells) -> Expression:
    place = _whole(arguments[0].work_out(cells))
    if not 1 <= place < len(arguments):
        raise CellError(values.WRONG_KIND, f"there is no choice {place}")
    return arguments[place]


def _if_error(arguments: Sequence[Expression], cells: Cells) -> Expression:
    try:
        given = arguments[0].chosen(cells)
        found = given.work_out(cells)
    except CellError:
        return arguments[1]
    return given if isinstance(given, Cell) else Found(found)


def _asks_for_error(*codes: str) -> WorkOut:
    """Whether a value is an error: one of these, or any."""
    asked = codes or tuple(values.ERRORS)

    def work_out(arguments: Sequence[Expression], cells: Cells) -> Values:
        try:
            found = arguments[0].work_out(cells)
        except CellError as error:
            return error.code in asked
        return [one in asked for one in values.flat(found)] if isinstance(found, list) else False

    return work_out


def _asks(test: Callable[[Value], bool]) -> WorkOut:
    """A question about a value; of an error the answer is no."""

    def work_out(arguments: Sequence[Expression], cells: Cells) -> Values:
        try:
            found = arguments[0].work_out(cells)
        except CellError:
            return False
        return (
            [one not in values.ERRORS and test(one) for one in values.flat(found)]
            if isinstance(found, list)
            else test(found)
        )

    return work_out


def _is_number(one: Value) -> bool:
    return isinstance(one, (int, float)) and not isinstance(one, bool)


def _count(arguments: Sequence[Expression], cells: Cells) -> Values:
    found = 0
    for argument in arguments:
        try:
            part = argument.chosen(cells)
            given = part.work_out(cells)
            if isinstance(part, Cell) or isinstance(given, list):
                found += sum(map(_is_number, values.flat(given)))
            else:
                values.number(given)
                found += 1
        except CellError:
            continue
    return float(found)


# Texts


def _text_function(calculate: Callable[..., Value], *kinds: Callable[[Values], object]) -> WorkOut:
    """A function whose arguments are texts and numbers, in this order."""
    return _eager(lambda *given: calculate(*(kind(one) for kind, one in zip(kinds, given, strict=False))))


def _whole(value: Values) -> int:
    return math.trunc(values.number(value))


# Ranges


def _index(arguments: Sequence[Expression], cells: Cells) -> Expression:
    block = list(values.flat(arguments[0].work_out(cells)))
    place = _whole(arguments[1].work_out(cells))
    if place == 0 and len(block) == 1:  # all of it
        place = 1
    if not 1 <= place <= len(block):
        raise CellError(values.NO_REFERENCE if place > 0 else values.WRONG_KIND, f"there is no place {place}")
    return Place(f"place {place}", block[place - 1])


def _match(arguments: Sequence[Expression], cells: Cells) -> Values:
    """The first place that is the same; a text may have wild letters, a blank is nowhere."""
    wanted, block = arguments[0].work_out(cells), values.flat(arguments[1].work_out(cells))
    if wanted is not None:
        same = criteria.same_as(wanted)
        for place, one in enumerate(block, 1):
            if same(one):
                return float(place)
    raise CellError(values.NOT_THERE, f"{wanted!r} is not there")


def _count_if(arguments: Sequence[Expression], cells: Cells) -> Values:
    same = criteria.counted(arguments[1].work_out(cells))
    return float(sum(map(same, values.flat(arguments[0].work_out(cells)))))


def _smallest(arguments: Sequence[Expression], cells: Cells) -> Values:
    found, place = sorted(_numbers(arguments[:1], cells)), _whole(arguments[1].work_out(cells))
    if not 1 <= place <= len(found):
        raise CellError(values.NOT_A_FIGURE, f"there is no smallest number {place}")
    return found[place - 1]


def _sum_product(arguments: Sequence[Expression], cells: Cells) -> Values:
    """The sum over the products of each place; what is no number counts as 0."""
    blocks = []
    for argument in arguments:
        block = list(values.flat(argument.work_out(cells)))
        for one in block:
            held(one, "a range")
        blocks.append([one if _is_number(one) else 0.0 for one in block])
    if len({len(block) for block in blocks}) > 1:
        raise CellError(values.WRONG_KIND, "two ranges differ in length")
    return values.finite(math.fsum(math.prod(places) for places in zip(*blocks, strict=True)))  # type: ignore[arg-type]


def _rows(arguments: Sequence[Expression], cells: Cells) -> Values:
    return float(len(arguments[0].work_out(cells)))  # type: ignore[arg-type]


def _remainder(value: float, divisor: float) -> float:
    if divisor == 0:
        raise CellError(values.NO_DIVISION, "division by 0")
    if abs(value) >= abs(divisor) * MOST_TIMES:
        raise CellError(values.NOT_A_FIGURE, "the divisor goes into it too often")
    return value - divisor * math.floor(value / divisor)


def _negated(one: Value) -> bool:
    return not values.truth(one)


def _plain_number(one: Value) -> float:
    return float(one) if isinstance(one, (int, float)) else 0.0


def _shown_number(one: Value) -> float:
    """The number in a text; a truth value is none, though arithmetic takes it for one."""
    return values.number("" if isinstance(one, bool) else one)


def _fixed_text(one: Value, *more: Value) -> str:
    places, no_commas = [*map(values.number, more), *(2.0, 0.0)[len(more) :]]
    return values.fixed(values.number(one), places, bool(no_commas))


def _plain_text(one: Value) -> str:
    return one if isinstance(one, str) else ""


IF = Function("IF", choose=_if)
CHOOSE = Function("CHOOSE", choose=_choose)
AND = Function("AND", _logical(all))
OR = Function("OR", _logical(any))
NOT = Function("NOT", _eager(_negated))
IFERROR = Function("IFERROR", choose=_if_error)
ISERROR = Function("ISERROR", _asks_for_error())
ISNA = Function("ISNA", _asks_for_error(values.NOT_THERE))
ISNUMBER = Function("ISNUMBER", _asks(_is_number))
ISTEXT = Function("ISTEXT", _asks(lambda one: isinstance(one, str)))
ISLOGICAL = Function("ISLOGICAL", _asks(lambda one: isinstance(one, bool)))
ISBLANK = Function("ISBLANK", _asks(lambda one: one is None))
N = Function("N", _eager(_plain_number))
T = Function("T", _eager(_plain_text))
COUNT = Function("COUNT", _count)
MIN = Function("MIN", _of_all(lambda found: min(found, default=0.0)))
MAX = Function("MAX", _of_all(lambda found: max(found, default=0.0)))
SUM = Function("SUM", _of_all(math.fsum))
ABS = Function("ABS", _of_numbers(abs))
INT = Function("INT", _of_numbers(math.floor))
MOD = Function("MOD", _of_numbers(_remainder))
ROUND = Function("ROUND", _of_numbers(values.rounded))
ROUNDUP = Function("ROUNDUP", _of_numbers(lambda value, places: values.rounded(value, places, ROUND_UP)))
SQRT = Function("SQRT", _of_numbers(math.sqrt))
SIN = Function("SIN", _of_numbers(math.sin))
COS = Function("COS", _of_numbers(math.cos))
TAN = Function("TAN", _of_numbers(math.tan))
ASIN = Function("ASIN", _of_numbers(math.asin))
ACOS = Function("ACOS", _of_numbers(math.acos))
ATAN = Function("ATAN", _of_numbers(math.atan))
RADIANS = Function("RADIANS", _of_numbers(math.radians))
DEGREES = Function("DEGREES", _of_numbers(math.degrees))
VALUE = Function("VALUE", _eager(_shown_number))
LEN = Function("LEN", _text_function(lambda text: float(len(text)), values.text))
LEFT = Function("LEFT", _text_function(texts.left, values.text, _whole))
RIGHT = Function("RIGHT", _text_function(texts.right, values.text, _whole))
MID = Function("MID", _text_function(texts.middle, values.text, _whole, _whole))
FIND = Function("FIND", _text_function(texts.find, values.text, values.text, _whole))
SEARCH = Function("SEARCH", _text_function(texts.search, values.text, values.text))
SUBSTITUTE = Function("SUBSTITUTE", _text_function(texts.substitute, values.text, values.text, values.text, _whole))
REPT = Function("REPT", _text_function(texts.repeated, values.text, _whole))
TRIM = Function("TRIM", _text_function(texts.trim, values.text))
LOWER = Function("LOWER", _text_function(str.lower, values.text))
INDEX = Function("INDEX", choose=_index)
MATCH = Function("MATCH", _match)
COUNTIF = Function("COUNTIF", _count_if)
SMALL = Function("SMALL", _smallest)
SUMPRODUCT = Function("SUMPRODUCT", _sum_product)
ROWS = Function("ROWS", _rows)
FIXED = Function("FIXED", _eager(_fixed_text))
