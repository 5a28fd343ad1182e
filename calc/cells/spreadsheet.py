"""The functions that every spreadsheet program since 2010 has, as nodes of an expression.

``IF(a > b, "too heavy", "ok")`` is a node; its name is the spreadsheet's. IF and the questions about errors work out
only what they need. AND, OR, MIN, MAX, SUM and COUNT pass over what is no number in a cell that they are given, as
programs do, and not in a calculation; a cell that IF, IFERROR, CHOOSE or
INDEX gives is a cell.

Where the programs differ the rule is Excel's documented one; ``tests/engines/gaps.py`` names what others do.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from decimal import ROUND_UP

from . import criteria, texts, values
from .boundary import CellError
from .expression import Cell, Cells, Constant, Expression, Given, WorkOut, held, lift
from .values import Value, Values
from .working import (
    Arguments,
    Choose,
    Eager,
    Found,
    Function,
    Place,
    asks,
    asks_for_error,
    is_number,
    logical,
    numbers_of,
    of_all,
    of_numbers,
    of_values,
    readings_of,
)

MOST_TIMES = 1_125_900_000_000
"""How often a divisor may go into a number for Excel's MOD to tell what remains (from memory)."""


def _if(arguments: Arguments) -> Choose:
    asked, shown = arguments[0].work_out, arguments[1]
    otherwise = arguments[2] if len(arguments) > 2 else Constant(False)
    return lambda cells: shown if values.truth(asked(cells)) else otherwise


def _if_worked_out(arguments: Arguments) -> WorkOut:
    asked, shown = arguments[0].work_out, arguments[1].work_out
    otherwise = (arguments[2] if len(arguments) > 2 else Constant(False)).work_out

    def work_out(cells: Cells) -> Values:
        found = asked(cells)
        return shown(cells) if found is True or (found is not False and values.truth(found)) else otherwise(cells)

    return work_out


def _choose(arguments: Arguments) -> Choose:
    wanted = arguments[0].work_out

    def choose(cells: Cells) -> Expression:
        place = _whole(wanted(cells))
        if not 1 <= place < len(arguments):
            raise CellError(values.WRONG_KIND, f"there is no choice {place}")
        return arguments[place]

    return choose


def _if_error(arguments: Arguments) -> Choose:
    tried, otherwise = arguments

    def choose(cells: Cells) -> Expression:
        try:
            given = tried.chosen(cells)
            found = given.work_out(cells)
        except CellError:
            return otherwise
        return given if isinstance(given, Cell) else Found(found)

    return choose


def _if_error_worked_out(arguments: Arguments) -> WorkOut:
    tried, otherwise = (argument.work_out for argument in arguments)

    def work_out(cells: Cells) -> Values:
        try:
            return tried(cells)
        except CellError:
            return otherwise(cells)

    return work_out


def _count(arguments: Arguments) -> WorkOut:
    readings = readings_of(arguments)

    def work_out(cells: Cells) -> Values:
        count = 0
        for key, argument, chooses in readings:
            if key is not None and cells[key].__class__ is float:
                count += 1
                continue
            try:
                chosen = argument.chosen(cells) if chooses else argument
                found = chosen.work_out(cells)
                if found.__class__ is list or isinstance(chosen, Cell):
                    count += sum(map(is_number, values.flat(found)))
                else:
                    values.number(found)
                    count += 1
            except CellError:
                continue
        return float(count)

    return work_out


# Texts


def _text_function(calculate: Callable[..., Value], *kinds: Callable[[Values], object]) -> Eager:
    """A function whose arguments are texts and numbers, in this order."""
    return Eager(lambda *given: calculate(*[kind(one) for kind, one in zip(kinds, given, strict=False)]))


def _whole(value: Values) -> int:
    return math.trunc(values.number(value))


# Ranges


def _index(arguments: Arguments) -> Choose:
    block_of, place_of = (argument.work_out for argument in arguments)

    def choose(cells: Cells) -> Expression:
        block = block_of(cells)
        if not isinstance(block, list) or (block and isinstance(block[0], list)):  # one value, or rows of them
            block = list(values.flat(block))
        place = _whole(place_of(cells))
        if place == 0 and len(block) == 1:  # all of it
            place = 1
        if not 1 <= place <= len(block):
            raise CellError(values.NO_REFERENCE if place > 0 else values.WRONG_KIND, f"there is no place {place}")
        return Place(f"place {place}", block[place - 1])  # type: ignore[arg-type]

    return choose


def _match(wanted: Values, block: Values, _kind: Values = 0.0) -> Value:
    """The first place that is the same; a text may have wild letters, a blank is nowhere."""
    if wanted is not None:
        same = criteria.same_as(wanted)
        for place, one in enumerate(values.flat(block), 1):
            if same(one):
                return float(place)
    raise CellError(values.NOT_THERE, f"{wanted!r} is not there")


def _count_if(block: Values, wanted: Values) -> Value:
    return float(sum(map(criteria.counted(wanted), values.flat(block))))


def _smallest(arguments: Arguments) -> WorkOut:
    numbers, wanted = numbers_of(arguments[:1]), arguments[1].work_out

    def work_out(cells: Cells) -> Values:
        found, place = sorted(numbers(cells)), _whole(wanted(cells))
        if not 1 <= place <= len(found):
            raise CellError(values.NOT_A_FIGURE, f"there is no smallest number {place}")
        return found[place - 1]

    return work_out


def _sum_product(arguments: Arguments) -> WorkOut:
    """The sum over the products of each place; what is no number counts as 0."""
    parts = [argument.work_out for argument in arguments]

    def work_out(cells: Cells) -> Values:
        blocks = []
        for part in parts:
            block = [held(one, "a range") for one in values.flat(part(cells))]
            blocks.append([one if is_number(one) else 0.0 for one in block])
        if len({len(block) for block in blocks}) > 1:
            raise CellError(values.WRONG_KIND, "two ranges differ in length")
        return values.finite(math.fsum(math.prod(places) for places in zip(*blocks, strict=True)))  # type: ignore[arg-type]

    return work_out


def _rows(block: Values) -> Value:
    return float(len(block))  # type: ignore[arg-type]


def _remainder(value: float, divisor: float) -> float:
    if divisor == 0:
        raise CellError(values.NO_DIVISION, "division by 0")
    if abs(value) >= abs(divisor) * MOST_TIMES:
        raise CellError(values.NOT_A_FIGURE, "the divisor goes into it too often")
    return value - divisor * math.floor(value / divisor)


def _negated(one: Value) -> bool:
    return not values.truth(one)


def plain_number(one: Value) -> float:
    """The number that a cell holds; 0 for anything else but TRUE."""
    return float(one) if isinstance(one, (int, float)) else 0.0


def _shown_number(one: Value) -> float:
    """The number in a text; a truth value is none, though arithmetic takes it for one."""
    return values.number("" if isinstance(one, bool) else one)


def _fixed_text(one: Value, *more: Value) -> str:
    places, no_commas = [*map(values.number, more), *(2.0, 0.0)[len(more) :]]
    return values.fixed(values.number(one), places, bool(no_commas))


def _plain_text(one: Value) -> str:
    return one if isinstance(one, str) else ""


IF = Function("IF", _if_worked_out, choosing=_if)
CHOOSE = Function("CHOOSE", choosing=_choose)
AND = Function("AND", logical(all))
OR = Function("OR", logical(any))
NOT = Function("NOT", Eager(_negated))
IFERROR = Function("IFERROR", _if_error_worked_out, choosing=_if_error)
ISERROR = Function("ISERROR", asks_for_error())
ISNA = Function("ISNA", asks_for_error(values.NOT_THERE))
ISNUMBER = Function("ISNUMBER", asks(is_number))
ISTEXT = Function("ISTEXT", asks(lambda one: isinstance(one, str)))
ISLOGICAL = Function("ISLOGICAL", asks(lambda one: isinstance(one, bool)))
ISBLANK = Function("ISBLANK", asks(lambda one: one is None))
N = Function("N", Eager(plain_number))
T = Function("T", Eager(_plain_text))
COUNT = Function("COUNT", _count)
MIN = Function("MIN", of_all(lambda found: min(found, default=0.0)))
MAX = Function("MAX", of_all(lambda found: max(found, default=0.0)))
SUM = Function("SUM", of_all(math.fsum))
ABS = Function("ABS", of_numbers(abs))
INT = Function("INT", of_numbers(math.floor))
MOD = Function("MOD", of_numbers(_remainder))
ROUND = Function("ROUND", of_numbers(values.rounded))
ROUNDUP = Function("ROUNDUP", of_numbers(lambda value, places: values.rounded(value, places, ROUND_UP)))
SQRT = Function("SQRT", of_numbers(math.sqrt))
SIN = Function("SIN", of_numbers(math.sin))
COS = Function("COS", of_numbers(math.cos))
TAN = Function("TAN", of_numbers(math.tan))
ASIN = Function("ASIN", of_numbers(math.asin))
ACOS = Function("ACOS", of_numbers(math.acos))
ATAN = Function("ATAN", of_numbers(math.atan))
RADIANS = Function("RADIANS", of_numbers(math.radians))
DEGREES = Function("DEGREES", of_numbers(math.degrees))
VALUE = Function("VALUE", Eager(_shown_number))
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
UPPER = Function("UPPER", _text_function(str.upper, values.text))
INDEX = Function("INDEX", choosing=_index)
MATCH = Function("MATCH", of_values(_match))
COUNTIF = Function("COUNTIF", of_values(_count_if))
SMALL = Function("SMALL", _smallest)
SUMPRODUCT = Function("SUMPRODUCT", _sum_product)
ROWS = Function("ROWS", of_values(_rows))
FIXED = Function("FIXED", Eager(_fixed_text))


LONGEST_LIST = 9_999
"""More characters than a cell's text of ours comes to."""


def is_blank(cell: Expression) -> Expression:
    """Whether a cell holds nothing, where 0 means that too: some programs read an empty cell that has a color as 0."""
    return OR(cell.equals(""), cell.equals(0))


def joined(parts: Iterable[Given]) -> Expression:
    """Texts one after the other.

    Args:
        parts: At least one.
    """
    first, *more = map(lift, parts)
    for part in more:
        first = first & part
    return first


def listing(parts: Iterable[Given]) -> Expression:
    """Texts one after the other, each blank or behind ``; ``, without the first one's."""
    return MID(joined(parts), 3, LONGEST_LIST)
