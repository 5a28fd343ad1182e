"""How the functions of a spreadsheet work their arguments out: the nodes, and the ways that many functions share.

A node is given its arguments once; how their values are worked out is settled then, and done whenever it is asked for.
"""

from __future__ import annotations

import math
from collections.abc import Callable

from . import values
from .boundary import CellError
from .expression import Cell, Cells, Expression, Given, Places, WorkOut, held, lift, reading
from .values import Value, Values

Arguments = tuple[Expression, ...]
Numbers = Callable[[Cells], list[float]]
Choose = Callable[[Cells], Expression]


class Applied(Expression):
    """A function with its arguments."""

    __slots__ = ("arguments", "calculate", "name", "work_out")
    work_out: WorkOut  # type: ignore[assignment]
    calculate: Callable[..., Value] | None
    """The value for the arguments' values, where it needs no more of them."""

    def __init__(self, name: str, work_out: WorkOut, arguments: Arguments) -> None:
        self.name, self.work_out, self.arguments, self.calculate = name, work_out, arguments, None

    def text(self, places: Places) -> str:
        """The name and the arguments."""
        return f"{self.name}({','.join(argument.text(places) for argument in self.arguments)})"

    def keys(self) -> set[str]:
        """Those of the arguments."""
        return set().union(*(argument.keys() for argument in self.arguments))


class Choice(Applied):
    """A function that gives one of the cells or calculations that it is given."""

    __slots__ = ("_choose",)

    def __init__(self, name: str, choose: Choose, work_out: WorkOut | None, arguments: Arguments) -> None:
        super().__init__(name, work_out or (lambda cells: choose(cells).work_out(cells)), arguments)
        self._choose = choose

    def chosen(self, cells: Cells) -> Expression:
        """What it gives, down to what that gives."""
        return self._choose(cells).chosen(cells)


class Place(Cell):
    """One cell of a range."""

    __slots__ = ("_found",)

    def __init__(self, key: str, found: Value) -> None:
        super().__init__(key)
        self._found = found

    def work_out(self, cells: Cells) -> Values:
        """What the cell holds."""
        return held(self._found, self.key)


class Found(Expression):
    """What a calculation has given."""

    __slots__ = ("_found",)

    def __init__(self, found: Values) -> None:
        self._found = found

    def work_out(self, cells: Cells) -> Values:
        """The value."""
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
        made = Applied(self.name, work_out, given)
        made.calculate = self._working.calculate if isinstance(self._working, Eager) else None
        return made


# How arguments are worked out


class Eager:
    """All arguments first, each place of a range by itself."""

    def __init__(self, calculate: Callable[..., Value]) -> None:
        self.calculate = calculate

    def __call__(self, arguments: Arguments) -> WorkOut:
        """How they are worked out."""
        calculate, parts = self.calculate, [argument.work_out for argument in arguments]
        first = parts[0]

        def of_one(cells: Cells) -> Values:
            found = first(cells)
            return values.each(calculate, found) if found.__class__ is list else calculate(found)

        def of_several(cells: Cells) -> Values:
            return values.each(calculate, *[part(cells) for part in parts])

        return of_one if len(parts) == 1 else of_several


def of_numbers(calculate: Callable[..., float]) -> Eager:
    """A function of numbers; where it has no result, #NUM!."""

    def calculated(*given: Value) -> Value:
        try:
            return values.finite(float(calculate(*map(values.number, given))))
        except (OverflowError, ValueError) as error:
            raise CellError(values.NOT_A_FIGURE, str(error)) from error

    return Eager(calculated)


def readings_of(arguments: Arguments) -> list[tuple[str | None, Expression, bool]]:
    """Each argument, before it the key where it is a plain cell, behind it whether it may give one."""
    return [(reading(argument)[0], argument, isinstance(argument, Choice)) for argument in arguments]


def numbers_of(arguments: Arguments) -> Numbers:
    """The numbers among cells, and every calculation as a number."""
    readings = readings_of(arguments)

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
        return [float(one) for one in values.flat(found) if is_number(held(one, "a range"))]  # type: ignore[arg-type]
    return [values.number(found)]


def of_all(calculate: Callable[[list[float]], float]) -> Callable[[Arguments], WorkOut]:
    """A function of all numbers that its arguments hold."""

    def working(arguments: Arguments) -> WorkOut:
        numbers = numbers_of(arguments)

        def work_out(cells: Cells) -> Values:
            found = calculate(numbers(cells))
            return found if math.isfinite(found) else values.finite(found)

        return work_out

    return working


def logical(combine: Callable[[list[bool]], bool]) -> Callable[[Arguments], WorkOut]:
    """AND and OR: every part is worked out, texts and blanks in cells are passed over."""

    def working(arguments: Arguments) -> WorkOut:
        readings = readings_of(arguments)

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


def asks_for_error(*codes: str) -> Callable[[Arguments], WorkOut]:
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


def asks(test: Callable[[Value], bool]) -> Callable[[Arguments], WorkOut]:
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


def is_number(one: Value) -> bool:
    """Whether a value is a number; TRUE is none."""
    return isinstance(one, (int, float)) and not isinstance(one, bool)


def of_values(calculate: Callable[..., Value]) -> Callable[[Arguments], WorkOut]:
    """All arguments first, ranges as they are."""

    def working(arguments: Arguments) -> WorkOut:
        parts = [argument.work_out for argument in arguments]
        return lambda cells: calculate(*[part(cells) for part in parts])

    return working
