"""The functions that every spreadsheet program since 2010 has, as nodes of an expression.

``IF(a > b, "too heavy", "ok")`` is a node; its name is the spreadsheet's. IF and the questions about errors work out
only what they need. AND, OR, MIN, MAX, SUM and COUNT pass over what is no number in a cell that they are given, as
programs do, and not in a calculation; a cell that IF, IFERROR, CHOOSE or
INDEX gives is a cell.

Where the programs differ the rule is Excel's documented one; ``tests/engines/gaps.py`` names what others do.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from decimal import ROUND_UP

from . import criteria, texts, values
from .boundary import CellError
from .expression import Cell, Cells, Constant, Expression, Given, Places, WorkOut, held, lift, reading
from .values import Value, Values

MOST_TIMES = 1_125_900_000_000
"""How often a divisor may go into a number for Excel's MOD to tell what remains (from memory)."""

Arguments = tuple[Expression, ...]
Numbers = Callable[[Cells], list[float]]
Choose = Callable[[Cells], Expression]


class Applied(Expression):
    """A function with its arguments."""

    __slots__ = ("arguments", "name", "work_out")
    work_out: WorkOut  # type: ignore[assignment]

    def __init__(self, name: str, work_out: WorkOut, arguments: Arguments) -> None:
        self.name, self.work_out, self.arguments = name, work_out, arguments

    def text(self, places: Places) -> str:
        return f"{self.name}({','.join(argument.text(places) for argument in self.arguments)})"

    def keys(self) -> set[str]:
        return set().union(*(argument.keys() for argument in self.arguments))


class Choice(Applied):
    """A function that gives one of the cells or calculations that it is given."""

    __slots__ = ("_choose",)

    def __init__(self, name: str, choose: Choose, work_out: WorkOut | None, arguments: Arguments) -> None:
        super().__init__(name, work_out or (lambda cells: choose(cells).work_out(cells)), arguments)
        self._choose = choose

    def chosen(self, cells: Cells) -> Expression:
        return self._choose(cells).chosen(cells)


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
    """A function that makes a node when it is called.

    Args:
        name: The spreadsheet's.
        working: Given the arguments once, how their values are worked out whenever they are asked for.
        choosing: For a function that gives one of its arguments: which, in the same way. Its value is the chosen one's,
            and ``working`` a shorter way to it.
    """

    def __init__(
        self,
        name: str,
        working: Callable[[Arguments], WorkOut] | None = None,
        *,
        choosing: Callable[[Arguments], Choose] | None = None,
    ) -> None:
        self.name, self._working, self._choosing = name, working, choosing

    def __call__(self, *arguments: Given) -> Expression:
        """A node."""
        given = tuple(map(lift, arguments))
        work_out = self._working(given) if self._working is not None else None
        if self._choosing is not None:
            return Choice(self.name, self._choosing(given), work_out, given)
        assert work_out is not None
        return Applied(self.name, work_out, given)


# How arguments are worked out


def _eager(calculate: Callable[..., Value]) -> Callable[[Arguments], WorkOut]:
    """All arguments first, each place of a range by itself."""

    def working(arguments: Arguments) -> WorkOut:
        parts = [argument.work_out for argument in arguments]
        first = parts[0]

        def of_one(cells: Cells) -> Values:
            found = first(cells)
            return values.each(calculate, found) if found.__class__ is list else calculate(found)

        def of_several(cells: Cells) -> Values:
            return values.each(calculate, *[part(cells) for part in parts])

        return of_one if len(parts) == 1 else of_several

    return working


def _of_numbers(calculate: Callable[..., float]) -> Callable[[Arguments], WorkOut]:
    """A function of numbers; where it has no result, #NUM!."""

    def calculated(*given: Value) -> Value:
        try:
            return values.finite(float(calculate(*map(values.number, given))))
        except (OverflowError, ValueError) as error:
            raise CellError(values.NOT_A_FIGURE, str(error)) from error

    return _eager(calculated)


def _readings(arguments: Arguments) -> list[tuple[str | None, Expression, bool]]:
    """Each argument, before it the key where it is a plain cell, behind it whether it may give one."""
    return [(reading(argument)[0], argument, isinstance(argument, Choice)) for argument in arguments]


def _numbers(arguments: Arguments) -> Numbers:
    """The numbers among cells, and every calculation as a number."""
    readings = _readings(arguments)

    def numbers(cells: Cells) -> list[float]:
        found: list[float] = []
        for key, argument, chooses in readings:
            one = cells[key] if key is not None else None
            if one.__class__ is not float:
                chosen = argument.chosen(cells) if chooses else argument
                one = chosen.work_out(cells)
                if one.__class__ is not float:
                    found += _numbers_in(one, isinstance(chosen, Cell))  # type: ignore[arg-type]
                    continue
            found.append(one)  # type: ignore[arg-type]
        return found

    return numbers


def _numbers_in(found: Values, is_cell: bool) -> list[float]:
    if is_cell or isinstance(found, list):
        return [float(one) for one in values.flat(found) if _is_number(held(one, "a range"))]  # type: ignore[arg-type]
    return [values.number(found)]


def _of_all(calculate: Callable[[list[float]], float]) -> Callable[[Arguments], WorkOut]:
    def working(arguments: Arguments) -> WorkOut:
        numbers = _numbers(arguments)

        def work_out(cells: Cells) -> Values:
            found = calculate(numbers(cells))
            return found if math.isfinite(found) else values.finite(found)

        return work_out

    return working


def _logical(combine: Callable[[list[bool]], bool]) -> Callable[[Arguments], WorkOut]:
    """AND and OR: every part is worked out, texts and blanks in cells are passed over."""

    def working(arguments: Arguments) -> WorkOut:
        readings = _readings(arguments)

        def work_out(cells: Cells) -> Values:
            parts: list[bool] = []
            for _, argument, chooses in readings:
                chosen = argument.chosen(cells) if chooses else argument
                found = chosen.work_out(cells)
                if found.__class__ is bool:
                    parts.append(found)  # type: ignore[arg-type]
                elif isinstance(chosen, Cell):
                    held_values = [held(one, "a range") for one in values.flat(found)]
                    parts += [values.truth(one) for one in held_values if one is not None and not isinstance(one, str)]
                else:
                    parts.append(values.truth(found))
            if not parts:
                raise CellError(values.WRONG_KIND, "nothing that is true or false")
            return combine(parts)

        return work_out

    return working


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


def _asks_for_error(*codes: str) -> Callable[[Arguments], WorkOut]:
    """Whether a value is an error: one of these, or any."""
    asked = codes or tuple(values.ERRORS)

    def working(arguments: Arguments) -> WorkOut:
        asked_of = arguments[0].work_out

        def work_out(cells: Cells) -> Values:
            try:
                found = asked_of(cells)
            except CellError as error:
                return error.code in asked
            return [one in asked for one in values.flat(found)] if isinstance(found, list) else False

        return work_out

    return working


def _asks(test: Callable[[Value], bool]) -> Callable[[Arguments], WorkOut]:
    """A question about a value; of an error the answer is no."""

    def working(arguments: Arguments) -> WorkOut:
        asked_of = arguments[0].work_out

        def work_out(cells: Cells) -> Values:
            try:
                found = asked_of(cells)
            except CellError:
                return False
            if isinstance(found, list):
                return [one not in values.ERRORS and test(one) for one in values.flat(found)]
            return test(found)

        return work_out

    return working


def _is_number(one: Value) -> bool:
    return isinstance(one, (int, float)) and not isinstance(one, bool)


def _count(arguments: Arguments) -> WorkOut:
    readings = _readings(arguments)

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
                    count += sum(map(_is_number, values.flat(found)))
                else:
                    values.number(found)
                    count += 1
            except CellError:
                continue
        return float(count)

    return work_out


# Texts


def _text_function(
    calculate: Callable[..., Value], *kinds: Callable[[Values], object]
) -> Callable[[Arguments], WorkOut]:
    """A function whose arguments are texts and numbers, in this order."""
    return _eager(lambda *given: calculate(*(kind(one) for kind, one in zip(kinds, given, strict=False))))


def _whole(value: Values) -> int:
    return math.trunc(values.number(value))


# Ranges


def _index(arguments: Arguments) -> Choose:
    block_of, place_of = (argument.work_out for argument in arguments)

    def choose(cells: Cells) -> Expression:
        block = list(values.flat(block_of(cells)))
        place = _whole(place_of(cells))
        if place == 0 and len(block) == 1:  # all of it
            place = 1
        if not 1 <= place <= len(block):
            raise CellError(values.NO_REFERENCE if place > 0 else values.WRONG_KIND, f"there is no place {place}")
        return Place(f"place {place}", block[place - 1])

    return choose


def _of_values(calculate: Callable[..., Value]) -> Callable[[Arguments], WorkOut]:
    """All arguments first, ranges as they are."""

    def working(arguments: Arguments) -> WorkOut:
        parts = [argument.work_out for argument in arguments]
        return lambda cells: calculate(*[part(cells) for part in parts])

    return working


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
    numbers, wanted = _numbers(arguments[:1]), arguments[1].work_out

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
            blocks.append([one if _is_number(one) else 0.0 for one in block])
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


IF = Function("IF", _if_worked_out, choosing=_if)
CHOOSE = Function("CHOOSE", choosing=_choose)
AND = Function("AND", _logical(all))
OR = Function("OR", _logical(any))
NOT = Function("NOT", _eager(_negated))
IFERROR = Function("IFERROR", _if_error_worked_out, choosing=_if_error)
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
INDEX = Function("INDEX", choosing=_index)
MATCH = Function("MATCH", _of_values(_match))
COUNTIF = Function("COUNTIF", _of_values(_count_if))
SMALL = Function("SMALL", _smallest)
SUMPRODUCT = Function("SUMPRODUCT", _sum_product)
ROWS = Function("ROWS", _of_values(_rows))
FIXED = Function("FIXED", _eager(_fixed_text))
