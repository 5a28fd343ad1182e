"""Where an engine does not do as Excel documents, and so not as our Python does: each gap with a formula that shows it.

A random expression in which a gap may play a part is not asked of that engine. Each gap says of one part of an
expression, by its arguments' values, whether it does; ``test_expression.py`` holds that the engine still differs on
the formula shown, so that none outlives its cause.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from tarelot.calc.cells import spreadsheet as s
from tarelot.calc.cells.boundary import CellError
from tarelot.calc.cells.expression import Cell, Expression, Range, lift
from tests.engines import gap_questions as q
from tests.engines.gap_questions import Part


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


A, B, EMPTY = Cell("A1"), Cell("B1"), lift("")

GAPS: tuple[Gap, ...] = (
    Gap("LibreOffice", "has no truth values: TRUE is 1", q.truth_values, lift(True) & "", "TRUE", "1"),
    Gap(
        "LibreOffice",
        "shows either of two errors",
        q.two_faults,
        A + B,
        "#N/A",
        "#DIV/0!",
        (("A1", "#N/A"), ("B1", "#DIV/0!")),
    ),
    Gap("LibreOffice", "has error codes of its own", q.own_codes, s.VALUE("deck"), "#VALUE!", "Err:502"),
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
    Gap("LibreOffice", "sorts letters as its language does", q.odd_letters, lift("~x") > "007", True, 0.0),
    Gap("LibreOffice", "finds no empty text", q.nothing_sought, s.SEARCH("", "ok"), 1.0, "#VALUE!"),
    Gap("LibreOffice", "reads a number in a text as a truth value", q.text_as_truth, s.IF("1", 5, 6), "#VALUE!", 5.0),
    Gap(
        "LibreOffice",
        "gives 0 powers that it does not have",
        lambda part: part.name == "^" and q.number(part.given[0]) == 0 and (q.number(part.given[1]) or 0) <= 0,
        lift(0) ** 0,
        "#NUM!",
        1.0,
    ),
    Gap(
        "LibreOffice",
        "has no power nearer to 0 than 1E-307",
        lambda part: part.name == "^" and part.found == 0 and q.number(part.given[0]) != 0,
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
    Gap("LibreOffice", "writes numbers its own way", q.number_written(False), lift(1e20) & "", "1E+20", "1E+020"),
    Gap(
        "LibreOffice",
        "counts no number in a text",
        q.counts_texts,
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
    Gap("LibreOffice", "rounds to a whole first", q.near_whole, s.INT((lift(0.1) + 0.7) * 10), 7.0, 8.0),
    Gap("LibreOffice", "divides however often", q.huge_quotient, s.MOD(1e300, 7), "#NUM!", 0.0),
    Gap(
        "LibreOffice",
        "has no sine of a number so large",
        lambda part: part.name in ("SIN", "COS", "TAN") and abs(q.number(part.given[0]) or 0) > 1e15,
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
    Gap("LibreOffice", "writes fewer places", q.many_places, s.LEN(s.FIXED(1, 127)), 129.0, "Err:502"),
    Gap(
        "IronCalc",
        "drops brackets around a comparison",
        q.comparison_in_brackets,
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
        q.two_faults,
        EMPTY - s.MATCH(1, Range("A1:A1"), 0),
        "#N/A",
        "#VALUE!",
        (("A1", None), ("A1:A1", [None])),
    ),
    Gap("IronCalc", "stops AND and OR before an error", q.stops_early, s.OR(True, A), "#N/A", True, (("A1", "#N/A"),)),
    Gap("IronCalc", "writes numbers its own way", q.number_written(True), lift(1e16) & "", "1E+16", "1" + "0" * 16),
    Gap(
        "IronCalc",
        "adds from left to right, so that large numbers swallow small ones",
        q.swallows,
        s.SUM(1e300, 5, -1e300),
        5.0,
        0.0,
    ),
    Gap("IronCalc", "writes -0", q.lost_minus, s.FIXED(-0.2, 0), "0", "-0"),
    Gap("IronCalc", "calculates on with no number", q.lost_domain, s.FIXED(s.ACOS(2), 0), "#NUM!", "0"),
    Gap("IronCalc", "divides however often", q.huge_quotient, s.MOD(1e300, 7), "#NUM!", 0.0),
    Gap("IronCalc", "writes false digits", q.false_digits, s.FIXED(1e20, 0, True), "1" + "0" * 20, str(2**64 - 1)),
    Gap("IronCalc", "takes what lies nearer than 1E-15 for the same", q.near_zero, lift(0) >= 1e-16, False, True),
    Gap(
        "IronCalc",
        "takes one cell of a range for functions of texts and most questions",
        q.not_lifted,
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
        q.cell_through_choice,
        s.SUM(s.INDEX(Range("A1:A2"), 1), 1),
        1.0,
        13.0,
        (("A1", "12"), ("A2", None)),
    ),
    Gap(
        "IronCalc",
        "finds a lone ~ in COUNTIF",
        q.lone_tilde,
        s.COUNTIF(Range("A1:A2"), "~x"),
        0.0,
        1.0,
        (("A1", "~x"), ("A2", "y")),
    ),
    Gap(
        "IronCalc",
        "counts blanks, numbers and other texts its own way in a comparison",
        q.compares_its_own_way,
        s.COUNTIF(Range("A1:A2"), "<>a"),
        2.0,
        0.0,
        (("A1", 5.0), ("A2", None)),
    ),
)
