"""Where an engine does not do as Excel documents, and so not as our Python does: each gap with a formula that shows it.

A random expression in which a gap may play a part is not asked of that engine. Each gap says of one part of an
expression, by its arguments' values, whether it does; ``test_expression.py`` holds that the engine still differs on
the formula shown, so that none outlives its cause.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

from tarelot.calc.cells import spreadsheet as s
from tarelot.calc.cells import values
from tarelot.calc.cells.boundary import CellError
from tarelot.calc.cells.expression import Cell, Cells, Expression, Infix, Range, lift
from tarelot.calc.cells.spreadsheet import MOST_TIMES
from tarelot.calc.cells.values import Values
from tests.engines.expressions import children, found, name, nodes

COMPARISONS = ("=", "<>", "<", "<=", ">", ">=")
ARITHMETIC = ("+", "-", "*", "/", "^")
FROM_CELLS = ("MIN", "MAX", "SUM", "COUNT", "AND", "OR")
TEXT_FUNCTIONS = ("&", "LEN", "LEFT", "RIGHT", "MID", "FIND", "SEARCH", "SUBSTITUTE", "REPT", "TRIM", "LOWER")
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


@dataclass(frozen=True)
class Gap:
    """What an engine does otherwise: when, and an expression with its value and what the engine shows."""

    engine: Literal["LibreOffice", "IronCalc"]
    what: str
    plays_a_part: Callable[[Part], bool]
    shown: Expression
    value: float | str | bool
    engine_value: float | str | bool
    cells: tuple[tuple[str, object], ...] = ()


def parts(node: Expression, cells: Cells) -> Iterator[Part]:
    """The parts of an expression, each worked out by itself."""
    for one in nodes(node):
        yield Part(one, found(one, cells), tuple(found(child, cells) for child in children(one)))


def _flat(given: Iterable[Values | CellError]) -> Iterable[object]:
    return (v for one in given for v in ([one] if isinstance(one, CellError) else values.flat(one)))


def _number(one: object) -> float | None:
    """The number that a value stands for, if it does."""
    try:
        return None if isinstance(one, (CellError, list)) else values.number(one)  # type: ignore[arg-type]
    except CellError:
        return None


def _truth_values(part: Part) -> bool:
    takes = (*ARITHMETIC, *PASS_ON, "AND", "OR", "NOT", "ISERROR", "ISNA", "ISBLANK", "ISTEXT")
    return part.name not in takes and any(isinstance(one, bool) for one in _flat(part.given))


def _two_faults(part: Part) -> bool:
    def faulty(place: int, one: object) -> bool:
        if isinstance(one, str) and part.name not in NOT_OF_NUMBERS:
            return one in values.ERRORS or _number(one) is None
        divisor = place == 1 and part.name in ("/", "MOD")
        return isinstance(one, CellError) or (divisor and _number(one) == 0)

    if part.name in (*PASS_ON, *QUESTIONS, "Registered"):
        return part.name == "Registered" and sum(isinstance(one, CellError) for one in part.given) > 1
    found = [one for place, g in enumerate(part.given) for one in {faulty(place, v) for v in _flat([g])} if one]
    return len(found) > 1 or (len(found) == 1 and part.name in ("FIND", "LEFT", "RIGHT", "MID", "SUBSTITUTE", "FIXED"))


def _odd_letters(part: Part) -> bool:
    texts = [one for one in _flat(part.given) if isinstance(one, str)]
    ordered = part.name in ("<", "<=", ">", ">=") and len(texts) > 1
    counted = part.name == "COUNTIF" and str(part.given[1])[:1] in ("<", ">")
    return (ordered or counted) and any(re.search("[^A-Za-z0-9 ]", text) for text in texts)


def _own_codes(part: Part) -> bool:
    cuts = ("LEFT", "RIGHT", "MID", "SUBSTITUTE", "REPT")
    if part.name == "CHOOSE":
        return isinstance(part.found, CellError)
    return part.fails_itself and part.name in ("VALUE", "SQRT", "INDEX", "FIXED", *cuts)


def _text_as_truth(part: Part) -> bool:
    asked = {"IF": part.given[:1], "NOT": part.given, "AND": part.calculated, "OR": part.calculated}
    return any(isinstance(one, str) for one in asked.get(part.name, ()))


def _nothing_sought(part: Part) -> bool:
    return part.name in ("FIND", "SEARCH") and part.given[0] == ""


def _number_written(long_digits: bool) -> Callable[[Part], bool]:
    def odd(one: object) -> bool:
        if not isinstance(one, float):
            return False
        if long_digits and (f"{one:.15g}" != f"{one:.17g}" and float(f"{one:.15g}") != one):
            return True
        if one == 0:
            return long_digits and math.copysign(1, one) < 0
        return not 1e-10 <= abs(one) < 1e15

    return lambda part: part.name in TEXT_FUNCTIONS and any(map(odd, _flat(part.given)))


def _counts_texts(part: Part) -> bool:
    if part.name != "COUNTIF" or isinstance(part.given[0], CellError):
        return False
    texts = any(isinstance(one, str) and _number(one) is not None for one in values.flat(part.given[0]))
    sought = part.given[1]
    return texts and (not isinstance(sought, str) or sought[:1] in "<>=")


def _near_whole(part: Part) -> bool:
    numbers = [_number(one) for one in part.given]
    if part.name not in ("INT", "MOD") or None in numbers or numbers[-1] == 0:
        return False
    quotient = numbers[0] if part.name == "INT" else numbers[0] / numbers[1]  # type: ignore[operator]
    return quotient != round(quotient) and abs(quotient - round(quotient)) < 1e-12 * max(1.0, abs(quotient))


def _huge_quotient(part: Part) -> bool:
    numbers = [_number(one) for one in part.given]
    return part.name == "MOD" and None not in numbers and abs(numbers[0]) >= abs(numbers[1]) * MOST_TIMES  # type: ignore[arg-type, operator]


def _many_places(part: Part) -> bool:
    places = _number(part.given[1]) if part.name == "FIXED" and len(part.given) > 1 else None
    return places is not None and abs(places) > 15


def _lost_minus(part: Part) -> bool:
    number = _number(part.given[0]) if part.name == "FIXED" else None
    return number is not None and number < 0 and isinstance(part.found, str) and "-" not in part.found


def _lost_domain(part: Part) -> bool:
    pairs = zip(children(part.node), part.given, strict=True)
    return any(name(child) in ("ASIN", "ACOS") and isinstance(one, CellError) for child, one in pairs)


def _cell_through_choice(part: Part) -> bool:
    pairs = zip(children(part.node), part.given, strict=True)
    others = ("VALUE", "ISBLANK", "SMALL", "SUMPRODUCT")
    if part.name in (*QUESTIONS, "N", "T", "VALUE") and any(name(one) == "CHOOSE" for one in nodes(part.node)):
        return True
    return part.name in (*FROM_CELLS, *others) and any(
        isinstance(child, s.Choice) and not isinstance(one, float) for child, one in pairs
    )


def _lone_tilde(part: Part) -> bool:
    return part.name == "COUNTIF" and re.search("~[^*?~]", str(part.given[1])) is not None


def _comparison_in_brackets(part: Part) -> bool:
    if not isinstance(part.node, Infix) or part.name not in ("&", *COMPARISONS):
        return False
    return name(part.node.right) in COMPARISONS or (part.name == "&" and name(part.node.left) in COMPARISONS)


def _stops_early(part: Part) -> bool:
    return part.name in ("AND", "OR") and isinstance(part.found, CellError)


def _false_digits(part: Part) -> bool:
    number = _number(part.given[0]) if part.name == "FIXED" else None
    return _many_places(part) or (number is not None and abs(number) > 1e15)


def _near_zero(part: Part) -> bool:
    numbers = [one for one in _flat(part.given) if isinstance(one, float)]
    if part.name in ("COUNTIF", "MATCH", "Registered"):
        return any(0 < abs(one) < 1e-12 for one in numbers)
    near = len(numbers) == 2 and 0 < abs(numbers[0] - numbers[1]) < 1e-12
    return part.name in COMPARISONS and near and not values.alike(*numbers)


def _not_lifted(part: Part) -> bool:
    lifted = (*ARITHMETIC, *COMPARISONS, "ISERROR", "ISTEXT", "ABS", "INT", "MOD")
    takes_ranges = (*FROM_CELLS, "SUMPRODUCT", "INDEX", "MATCH", "COUNTIF", "SMALL", "ROWS")
    calculates = part.name in (*ARITHMETIC, "ABS", "INT", "MOD")
    lists = [one for one in part.given if isinstance(one, list)]
    texts = any(isinstance(one, str) for one in _flat(lists))
    return bool(lists) and part.name not in takes_ranges and (part.name not in lifted or (calculates and texts))


def _compares_its_own_way(part: Part) -> bool:
    sought = part.given[1] if part.name == "COUNTIF" else None
    return isinstance(sought, CellError) or (isinstance(sought, str) and sought[:1] in ("<", "=", ">"))


A, B, EMPTY = Cell("A1"), Cell("B1"), lift("")

GAPS: tuple[Gap, ...] = (
    Gap("LibreOffice", "has no truth values: TRUE is 1", _truth_values, lift(True) & "", "TRUE", "1"),
    Gap(
        "LibreOffice",
        "shows either of two errors",
        _two_faults,
        A + B,
        "#N/A",
        "#DIV/0!",
        (("A1", "#N/A"), ("B1", "#DIV/0!")),
    ),
    Gap("LibreOffice", "has error codes of its own", _own_codes, s.VALUE("deck"), "#VALUE!", "Err:502"),
    Gap(
        "LibreOffice",
        "shows #VALUE! where SMALL finds too few",
        lambda part: part.name == "SMALL" and part.fails_itself,
        s.SMALL(Range("A1:A2"), 3),
        "#NUM!",
        "#VALUE!",
        (("A1", 5.0), ("A2", 6.0)),
    ),
    Gap(
        "LibreOffice",
        "takes no number in a text for MIN, MAX and SUM",
        lambda part: part.name in ("MIN", "MAX", "SUM") and any(isinstance(one, str) for one in part.calculated),
        s.SUM("5", 1),
        6.0,
        "#VALUE!",
    ),
    Gap("LibreOffice", "sorts letters as its language does", _odd_letters, lift("~x") > "007", True, 0.0),
    Gap("LibreOffice", "finds no empty text", _nothing_sought, s.SEARCH("", "ok"), 1.0, "#VALUE!"),
    Gap("LibreOffice", "reads a number in a text as a truth value", _text_as_truth, s.IF("1", 5, 6), "#VALUE!", 5.0),
    Gap(
        "LibreOffice",
        "gives 0 powers that it does not have",
        lambda part: part.name == "^" and _number(part.given[0]) == 0 and (_number(part.given[1]) or 0) <= 0,
        lift(0) ** 0,
        "#NUM!",
        1.0,
    ),
    Gap(
        "LibreOffice",
        "has no power nearer to 0 than 1E-307",
        lambda part: part.name == "^" and part.found == 0 and _number(part.given[0]) != 0,
        lift(0.1) ** 400,
        0.0,
        "#NUM!",
    ),
    Gap(
        "LibreOffice",
        "asks a calculation for its looks whether it is a truth value",
        lambda part: part.name == "ISLOGICAL" and bool(part.calculated),
        s.OR(s.NOT(True), s.ISLOGICAL("1e3")),
        False,
        1.0,
    ),
    Gap(
        "LibreOffice",
        "takes an error for text in T",
        lambda part: part.name == "T" and isinstance(part.given[0], CellError),
        s.T(s.MATCH(-1, Range("A1:A2"), 0)) & s.IFERROR(s.FIXED(24_000), s.RIGHT("ok", 1)),
        "#N/A",
        "Err:517",
        (("A1", 5.0), ("A2", "y")),
    ),
    Gap("LibreOffice", "writes numbers its own way", _number_written(False), lift(1e20) & "", "1E+20", "1E+020"),
    Gap(
        "LibreOffice",
        "counts no number in a text",
        _counts_texts,
        s.COUNTIF(Range("A1:A2"), 12),
        2.0,
        1.0,
        (("A1", 12.0), ("A2", "12")),
    ),
    Gap(
        "LibreOffice",
        "finds a blank at an empty text",
        lambda part: part.name == "MATCH" and part.given[0] is None,
        s.MATCH(A, Range("B1:B2"), 0),
        "#N/A",
        1.0,
        (("A1", None), ("B1", ""), ("B2", "x")),
    ),
    Gap("LibreOffice", "rounds to a whole first", _near_whole, s.INT((lift(0.1) + 0.7) * 10), 7.0, 8.0),
    Gap("LibreOffice", "divides however often", _huge_quotient, s.MOD(1e300, 7), "#NUM!", 0.0),
    Gap(
        "LibreOffice",
        "has no sine of a number so large",
        lambda part: part.name in ("SIN", "COS", "TAN") and abs(_number(part.given[0]) or 0) > 1e15,
        s.ROUND(s.SIN(1e300), 6),
        -0.817882,
        "#VALUE!",
    ),
    Gap(
        "LibreOffice",
        "rounds up to 0 where no number is large enough",
        lambda part: part.name == "ROUNDUP" and part.fails_itself,
        s.ROUNDUP(5, -400),
        "#NUM!",
        0.0,
    ),
    Gap("LibreOffice", "writes fewer places", _many_places, s.LEN(s.FIXED(1, 127)), 129.0, "Err:502"),
    Gap(
        "IronCalc",
        "drops brackets around a comparison",
        _comparison_in_brackets,
        lift(3) < (lift(2) < 1),
        True,
        False,
    ),
    Gap(
        "IronCalc",
        "takes a power too large for a division by 0",
        lambda part: part.name == "^" and part.fails_itself,
        lift(1e300) ** 2,
        "#NUM!",
        "#DIV/0!",
    ),
    Gap(
        "IronCalc",
        "shows either of two errors",
        _two_faults,
        EMPTY - s.MATCH(1, Range("A1:A1"), 0),
        "#N/A",
        "#VALUE!",
        (("A1", None), ("A1:A1", [None])),
    ),
    Gap("IronCalc", "stops AND and OR before an error", _stops_early, s.OR(True, A), "#N/A", True, (("A1", "#N/A"),)),
    Gap("IronCalc", "writes numbers its own way", _number_written(True), lift(1e16) & "", "1E+16", "1" + "0" * 16),
    Gap(
        "IronCalc",
        "adds from left to right, so that large numbers swallow small ones",
        lambda part: part.name in ("SUM", "SUMPRODUCT") and any(abs(_number(v) or 0) > 1e15 for v in _flat(part.given)),
        s.SUM(1e300, 5, -1e300),
        5.0,
        0.0,
    ),
    Gap("IronCalc", "writes -0", _lost_minus, s.FIXED(-0.2, 0), "0", "-0"),
    Gap("IronCalc", "calculates on with no number", _lost_domain, s.FIXED(s.ACOS(2), 0), "#NUM!", "0"),
    Gap("IronCalc", "divides however often", _huge_quotient, s.MOD(1e300, 7), "#NUM!", 0.0),
    Gap("IronCalc", "writes false digits", _false_digits, s.FIXED(1e20, 0, True), "1" + "0" * 20, str(2**64 - 1)),
    Gap("IronCalc", "takes what lies nearer than 1E-15 for the same", _near_zero, lift(0) >= 1e-16, False, True),
    Gap(
        "IronCalc",
        "takes one cell of a range for functions of texts and most questions",
        _not_lifted,
        s.SUMPRODUCT(s.LEN(Range("A1:A2"))),
        5.0,
        2.0,
        (("A1", "ab"), ("A2", "abc")),
    ),
    Gap(
        "IronCalc",
        "counts no number in a text with spaces or commas",
        lambda part: part.name == "COUNT" and any(isinstance(one, str) for one in part.calculated),
        s.COUNT(" 8 "),
        1.0,
        0.0,
    ),
    Gap(
        "IronCalc",
        "reads a cell that CHOOSE or INDEX gives as a calculation",
        _cell_through_choice,
        s.SUM(s.INDEX(Range("A1:A2"), 1), 1),
        1.0,
        13.0,
        (("A1", "12"), ("A2", None)),
    ),
    Gap(
        "IronCalc",
        "finds a lone ~ in COUNTIF",
        _lone_tilde,
        s.COUNTIF(Range("A1:A2"), "~x"),
        0.0,
        1.0,
        (("A1", "~x"), ("A2", "y")),
    ),
    Gap(
        "IronCalc",
        "counts blanks, numbers and other texts its own way in a comparison",
        _compares_its_own_way,
        s.COUNTIF(Range("A1:A2"), "<>a"),
        2.0,
        0.0,
        (("A1", 5.0), ("A2", None)),
    ),
)
