"""Entry check: what is wrong with what was typed in a row, in words, and what is not likely.

Refused, so that results go without it: a number, share, date or word that is none, an error, an option that the Options
sheet does not hold. Not likely: what ``calc/rules/entries.py`` asks. Both together are the row's doubt: no YES is given
on such a row.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from tarelot.calc.cells.expression import Cell, Expression
from tarelot.calc.cells.spreadsheet import (
    ABS,
    COUNT,
    FIND,
    IF,
    IFERROR,
    INT,
    ISERROR,
    ISTEXT,
    LEFT,
    LOWER,
    REPT,
    TRIM,
    N,
    listing,
)
from tarelot.calc.rules.entries import TRAILER, Doubts, Remembered, doubts
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.lot.column import Input
from tarelot.workbook_templates.lot.columns import inputs

REFUSED = "Not a number above 0, or not what belongs there"
UNLISTED = "Options (12 at most, once on Options, with a weight): "
TWICE, STOCK_TWICE = "stock number stands twice", "stock number"
"""What is said of a stock number that stands twice, and how the column Duplicate begins then."""
FIRST_DAY = 29_221
"""1980-01-01 as a spreadsheet counts days."""
MOST_WEIGHT_LB = 1_000_000


def words(units: Units) -> dict[str, str]:
    """The words of a workbook's units, as :mod:`tarelot.calc.rules.entries` asks for them."""
    is_us = units.weight == "lb"
    return {
        "weight": units.weight,
        "short": units.short,
        "long": units.long,
        "shorts": "inches" if is_us else "millimeters",
        "longs": "feet" if is_us else "meters",
        "kg_or": "kg, or " if is_us else "",
        "lb_or": "" if is_us else "lb, or ",
        "most": f"{most_weight(units):,.0f}",
    }


def most_weight(units: Units) -> float:
    """A weight that no trailer and no part of one has."""
    return round(MOST_WEIGHT_LB * units.weight_per_pound, -5)


def entry_figures(units: Units) -> dict[str, float]:
    """What the entry checks read besides cells and limits, by key."""
    return {"most_weight": most_weight(units), "per_long": units.short_per_long}


def entry_expressions(units: Units) -> dict[str, Expression]:
    """The columns of the Lot's entry check by key."""
    weights = [column.key for column in inputs() if "{weight}" in column.heading]
    asked = with_weights(weights)
    told = (
        (Cell("doubt"), ""),
        (Cell("refused_words"), f"{REFUSED}: "),
        (Cell("unlisted"), UNLISTED),
    )
    begins = STOCK_TWICE.partition(" ")[0]
    stock_twice = IF(LEFT(Cell("repeated"), len(begins)).equals(begins), f"; {TWICE}", "")
    return {
        "refused": listing(refused(column) for column in inputs() if column.key not in OF_NO_LOAD),
        "refused_words": listing(refused(column) for column in inputs() if column.key in OF_NO_LOAD),
        "doubtful": listing(doubts(asked, words(units))),
        "doubt": listing(_told(((Cell("refused"), f"{REFUSED}: "), (Cell("doubtful"), "")))),
        "entry_check": listing((*_told(told), stock_twice)),
    }


BOUND_BELOW = ("gvwr", "base", "scale", "empty_pin", "axle_rating", "tire_rating")
BOUND_ABOVE = ("empty_pin", "axle_rating", "tire_rating", "coupler")
"""Weights of which 1, or a million, is in doubt by a bound of their own."""


def with_weights(weights: Iterable[str]) -> Doubts:
    """What is asked of a trailer, with the keys of its weights."""
    keys = tuple(weights)
    return replace(
        TRAILER,
        weights=tuple(key for key in keys if key not in BOUND_ABOVE),
        never_one=tuple(key for key in keys if key not in BOUND_BELOW),
    )


def list_doubt(columns: Iterable[Input], asked: Doubts, units: Units, *more: Expression) -> Expression:
    """What is refused and what is not likely in a row of a list, and more, in words; blank where nothing is."""
    checked = [column for column in columns if column.kind != "key" and column.key not in PLAIN_TEXT]
    wrong = listing(refused(column) for column in checked)
    named = IF(wrong.equals(""), "", f"; {REFUSED}: " & wrong)
    return listing((named, *doubts(asked, words(units)), *more))


def _told(told: tuple[tuple[Cell, str], ...]) -> Iterator[Expression]:
    """Columns of words, each said what it is."""
    return (IF(cell.equals(""), "", f"; {said}" & cell) for cell, said in told)


def is_refused(column: Input, entry: Expression) -> Expression:
    """Whether an entry does not belong into a column's cells; 0 counts as blank."""
    return IFERROR(_test(column, entry)[0] > 0, True)


def refused(column: Input) -> Expression:
    """The name of an input whose cell holds what does not belong there; 0 counts as blank."""
    name, cell = column.heading.partition(" (")[0], Cell(column.key)
    test, words = _test(column, cell)
    said = f"; {name}{words}"
    if column.key in PLAIN_TEXT or column.choices:
        return Remembered(IF(test, said, ""))
    return Remembered(REPT(said, IFERROR(test, 1)))


PLAIN_TEXT = ("stock", "make", "model", "coupler_size", "maker")
"""Inputs that take whatever is typed."""
OF_NO_LOAD = ("stock", "make", "model", "body", "vin", "status", "received", "price")
"""Inputs of the Lot that say nothing of what it carries: what is wrong with them leaves a YES as it is."""


def _test(column: Input, cell: Expression) -> tuple[Expression, str]:
    """Whether an entry does not belong there, and why."""
    if column.key in PLAIN_TEXT:
        return ISERROR(cell), ""
    if column.choices:
        wanted = f"||0|{'|'.join(column.choices)}|"  # blank, and what some programs read in its place
        return ISERROR(FIND("|" & LOWER(TRIM(cell)) & "|", wanted)), ": not one of the choices"
    if column.kind == "text":
        return IF(ISTEXT(cell), False, (cell.differs("") * cell.differs(0)) > 0), ": not a text"
    if column.kind == "whole":
        return cell.differs(INT(ABS(N(cell)))) * cell.differs(""), ": not whole"
    if column.kind in ("number", "from zero", "money"):
        return (cell < 0) + (cell > ""), ""  # a text and TRUE compare above a blank text, a number below it
    if column.kind == "share":
        return (cell < 0) + (cell >= 1) * cell.differs(""), ": not below 1: percent?"
    wrong, words = {
        "offset": (cell.differs(cell), ""),
        "date": ((cell < FIRST_DAY) * cell.differs(0), ": not a date from 1980 on"),
    }[column.kind]
    return IF(COUNT(cell), wrong, cell.differs("")), words
