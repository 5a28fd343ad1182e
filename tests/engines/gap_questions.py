"""Whether a gap of an engine may play a part in a part of an expression: questions about its arguments' values."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from tarelot.calc.cells import values, working
from tarelot.calc.cells.boundary import CellError
from tarelot.calc.cells.expression import Cell, Cells, Expression, Infix
from tarelot.calc.cells.spreadsheet import MOST_TIMES
from tarelot.calc.cells.values import Values
from tests.engines.expressions import children, found, name, nodes

COMPARISONS = ("=", "<>", "<", "<=", ">", ">=")
ARITHMETIC = ("+", "-", "*", "/", "^")
FROM_CELLS = ("MIN", "MAX", "SUM", "COUNT", "AND", "OR")
TEXT_FUNCTIONS = ("&", "LEN", "LEFT", "RIGHT", "MID", "FIND", "SEARCH", "SUBSTITUTE", "REPT", "TRIM", "LOWER", "UPPER")
PASS_ON = ("IF", "CHOOSE", "IFERROR", "INDEX")
NOT_OF_NUMBERS = (*COMPARISONS, *TEXT_FUNCTIONS, *PASS_ON, "AND", "OR", "NOT", "COUNT", "COUNTIF", "MATCH", "N", "T")
QUESTIONS = ("ISERROR", "ISNA", "ISNUMBER", "ISTEXT", "ISLOGICAL", "ISBLANK")


@dataclass(frozen=True)
class Part:
    """A node of an expression, what it shows and what its arguments do."""

    node: Expression
    found: Values | CellError
    given: tuple[Values | CellError, ...]

    @property
    def name(self) -> str:
        return name(self.node)

    @property
    def calculated(self) -> list[Values | CellError]:
        """The arguments that are no cells."""
        return [g for child, g in zip(children(self.node), self.given, strict=True) if not isinstance(child, Cell)]

    @property
    def fails_itself(self) -> bool:
        """Whether it shows an error that none of its arguments is."""
        return isinstance(self.found, CellError) and not any(isinstance(one, CellError) for one in self.given)


def parts(node: Expression, cells: Cells) -> Iterator[Part]:
    """The parts of an expression, each worked out by itself."""
    for one in nodes(node):
        yield Part(one, found(one, cells), tuple(found(child, cells) for child in children(one)))


def flat(given: Iterable[Values | CellError]) -> Iterable[object]:
    return (v for one in given for v in ([one] if isinstance(one, CellError) else values.flat(one)))


def number(one: object) -> float | None:
    """The number that a value stands for, if it does."""
    try:
        return None if isinstance(one, (CellError, list)) else values.number(one)  # type: ignore[arg-type]
    except CellError:
        return None


def truth_values(part: Part) -> bool:
    takes = (*ARITHMETIC, *PASS_ON, "AND", "OR", "NOT", "ISERROR", "ISNA", "ISBLANK", "ISTEXT")
    return part.name not in takes and any(isinstance(one, bool) for one in flat(part.given))


def two_faults(part: Part) -> bool:
    def faulty(place: int, one: object) -> bool:
        if isinstance(one, str) and part.name not in NOT_OF_NUMBERS:
            return one in values.ERRORS or number(one) is None
        divisor = place == 1 and part.name in ("/", "MOD")
        return isinstance(one, CellError) or (divisor and number(one) == 0)

    if part.name in (*PASS_ON, *QUESTIONS, "Registered"):
        return part.name == "Registered" and sum(isinstance(one, CellError) for one in part.given) > 1
    found = [one for place, g in enumerate(part.given) for one in {faulty(place, v) for v in flat([g])} if one]
    return len(found) > 1 or (len(found) == 1 and part.name in ("FIND", "LEFT", "RIGHT", "MID", "SUBSTITUTE", "FIXED"))


def odd_letters(part: Part) -> bool:
    texts = [one for one in flat(part.given) if isinstance(one, str)]
    ordered = part.name in ("<", "<=", ">", ">=") and len(texts) > 1
    counted = part.name == "COUNTIF" and str(part.given[1])[:1] in ("<", ">")
    return (ordered or counted) and any(re.search("[^A-Za-z0-9 ]", text) for text in texts)


def own_codes(part: Part) -> bool:
    cuts = ("LEFT", "RIGHT", "MID", "SUBSTITUTE", "REPT")
    if part.name == "CHOOSE":
        return isinstance(part.found, CellError)
    return part.fails_itself and part.name in ("VALUE", "SQRT", "INDEX", "FIXED", *cuts)


def text_as_truth(part: Part) -> bool:
    asked = {"IF": part.given[:1], "NOT": part.given, "AND": part.calculated, "OR": part.calculated}
    return any(isinstance(one, str) for one in asked.get(part.name, ()))


def nothing_sought(part: Part) -> bool:
    return part.name in ("FIND", "SEARCH") and part.given[0] == ""


def number_written(long_digits: bool) -> Callable[[Part], bool]:
    def odd(one: object) -> bool:
        if not isinstance(one, float):
            return False
        if long_digits and (f"{one:.15g}" != f"{one:.17g}" and float(f"{one:.15g}") != one):
            return True
        if one == 0:
            return long_digits and math.copysign(1, one) < 0
        return not 1e-10 <= abs(one) < 1e15

    return lambda part: part.name in TEXT_FUNCTIONS and any(map(odd, flat(part.given)))


def counts_texts(part: Part) -> bool:
    if part.name != "COUNTIF" or isinstance(part.given[0], CellError):
        return False
    texts = any(isinstance(one, str) and number(one) is not None for one in values.flat(part.given[0]))
    sought = part.given[1]
    return texts and (not isinstance(sought, str) or sought[:1] in "<>=")


def near_whole(part: Part) -> bool:
    numbers = [number(one) for one in part.given]
    if part.name not in ("INT", "MOD") or None in numbers or numbers[-1] == 0:
        return False
    quotient = numbers[0] if part.name == "INT" else numbers[0] / numbers[1]  # type: ignore[operator]
    return quotient != round(quotient) and abs(quotient - round(quotient)) < 1e-12 * max(1.0, abs(quotient))


def huge_quotient(part: Part) -> bool:
    numbers = [number(one) for one in part.given]
    return part.name == "MOD" and None not in numbers and abs(numbers[0]) >= abs(numbers[1]) * MOST_TIMES  # type: ignore[arg-type, operator]


def many_places(part: Part) -> bool:
    places = number(part.given[1]) if part.name == "FIXED" and len(part.given) > 1 else None
    return places is not None and abs(places) > 15


def lost_minus(part: Part) -> bool:
    rounded = number(part.given[0]) if part.name == "FIXED" else None
    return rounded is not None and rounded < 0 and isinstance(part.found, str) and "-" not in part.found


def lost_domain(part: Part) -> bool:
    pairs = zip(children(part.node), part.given, strict=True)
    return any(name(child) in ("ASIN", "ACOS") and isinstance(one, CellError) for child, one in pairs)


def cell_through_choice(part: Part) -> bool:
    pairs = zip(children(part.node), part.given, strict=True)
    others = ("VALUE", "ISBLANK", "SMALL", "SUMPRODUCT")
    if part.name in (*QUESTIONS, "N", "T", "VALUE") and any(name(one) == "CHOOSE" for one in nodes(part.node)):
        return True
    return part.name in (*FROM_CELLS, *others) and any(
        isinstance(child, working.Choice) and not isinstance(one, float) for child, one in pairs
    )


def lone_tilde(part: Part) -> bool:
    return part.name == "COUNTIF" and re.search("~[^*?~]", str(part.given[1])) is not None


def comparison_in_brackets(part: Part) -> bool:
    if not isinstance(part.node, Infix) or part.name not in ("&", *COMPARISONS):
        return False
    return name(part.node.right) in COMPARISONS or (part.name == "&" and name(part.node.left) in COMPARISONS)


def stops_early(part: Part) -> bool:
    return part.name in ("AND", "OR") and isinstance(part.found, CellError)


def false_digits(part: Part) -> bool:
    rounded = number(part.given[0]) if part.name == "FIXED" else None
    return many_places(part) or (rounded is not None and abs(rounded) > 1e15)


def near_zero(part: Part) -> bool:
    numbers = [one for one in flat(part.given) if isinstance(one, float)]
    if part.name in ("COUNTIF", "MATCH", "Registered"):
        return any(0 < abs(one) < 1e-12 for one in numbers)
    near = len(numbers) == 2 and 0 < abs(numbers[0] - numbers[1]) < 1e-12
    return part.name in COMPARISONS and near and not values.alike(*numbers)


def not_lifted(part: Part) -> bool:
    lifted = (*ARITHMETIC, *COMPARISONS, "ISERROR", "ISTEXT", "ABS", "INT", "MOD")
    takes_ranges = (*FROM_CELLS, "SUMPRODUCT", "INDEX", "MATCH", "COUNTIF", "SMALL", "ROWS")
    calculates = part.name in (*ARITHMETIC, "ABS", "INT", "MOD")
    lists = [one for one in part.given if isinstance(one, list)]
    texts = any(isinstance(one, str) for one in flat(lists))
    return bool(lists) and part.name not in takes_ranges and (part.name not in lifted or (calculates and texts))


def swallows(part: Part) -> bool:
    return part.name in ("SUM", "SUMPRODUCT") and any(abs(number(one) or 0) > 1e15 for one in flat(part.given))


def compares_its_own_way(part: Part) -> bool:
    sought = part.given[1] if part.name == "COUNTIF" else None
    return isinstance(sought, CellError) or (isinstance(sought, str) and sought[:1] in ("<", "=", ">"))
