"""Which trailers Match shows, and in what order: chosen in two cells, and kept by formulas.

A program's own sorting puts rows that show nothing first, and its filter goes on hiding what it hid when another
machine is chosen. These choices are asked anew with every change, in every program, and blank rows stay last.
"""

from __future__ import annotations

from collections.abc import Iterable

from tarelot.calc.cells.expression import Cell, Expression, Range, lift
from tarelot.calc.cells.spreadsheet import (
    AND,
    COUNT,
    IF,
    IFERROR,
    INDEX,
    ISNUMBER,
    MATCH,
    MAX,
    MIN,
    NOT,
    OR,
    ROWS,
    SMALL,
    is_blank,
)
from tarelot.calc.rules.hauling_rule import NO, NOT_SURE, YES
from tarelot.workbook_templates.basis.references import column_key
from tarelot.workbook_templates.hauling.asked import WRONG
from tarelot.workbook_templates.hauling.match.columns import TABLE, heading_of, shown
from tarelot.workbook_templates.lot.columns import SOLD

ALL = "all"
SHOWS: dict[str, tuple[tuple[str, ...], bool]] = {
    ALL: ((), True),
    "not sold": ((), False),
    YES: ((YES,), True),
    "YES and not sold": ((YES,), False),
    "YES or NOT SURE": ((YES, NOT_SURE), True),
    NO: ((NO,), True),
}
"""What may be shown: the verdicts, none for any, and whether sold trailers are among them."""
AS_ON_THE_LOT = "as on the Lot"
BEST, MOST, LEAST, CHEAPEST = "best verdict", "most spare weight", "least spare weight", "lowest price"
ORDERS = (AS_ON_THE_LOT, BEST, MOST, LEAST, CHEAPEST)
SHOW, ORDER = Cell("show"), Cell("order")
LINES_BEFORE = Range("rows so far")
"""The rows from the first one to this one."""
_ABOVE_ANY = 1e6
"""More than any weight or price; what is more counts as this, so that lines still tell rows apart."""
_BY_LINE = 1e-6
"""What a line counts: less than a cent, so that trailers with the same figure keep the Lot's order, and more than the
share of 2^-48 by which LibreOffice takes two numbers for the same."""


def every(key: str) -> Range:
    """A column of the table."""
    return Range(column_key(TABLE, heading_of(key)))


def is_unknown(choice: Cell, words: Iterable[str]) -> Expression:
    """Whether something is chosen that is none of these."""
    return NOT(OR(is_blank(choice), *(choice.equals(word) for word in words)))


def written(words: Iterable[str]) -> str:
    """A list to choose from, as an entry rule has it."""
    return f'"{",".join(words)}"'


def amount() -> Expression:
    """What the order goes by, the least first; what has no such figure comes last."""
    spare, price = (MAX(1 - _ABOVE_ANY, MIN(_ABOVE_ANY - 1, Cell(key))) for key in ("spare", "price"))
    has_spare, has_price = ISNUMBER(Cell("spare")), ISNUMBER(Cell("price"))
    verdict = IF(Cell("word").equals(YES), 1, IF(Cell("word").equals(NOT_SURE), 2, 3))
    by_order = {
        BEST: verdict * (2 * _ABOVE_ANY) - IF(has_spare, spare, 0),
        MOST: IF(has_spare, lift(0) - spare, _ABOVE_ANY),
        LEAST: IF(has_spare, spare, _ABOVE_ANY),
        CHEAPEST: IF(has_price, price, _ABOVE_ANY),
    }
    found = lift(0)
    for order, figure in by_order.items():
        found = IF(ORDER.equals(order), figure, found)
    return found


def is_shown() -> Expression:
    """Whether this row's trailer is one of those to be shown; a row of the Lot with nothing in it is not."""
    ways = [OR(is_blank(SHOW), SHOW.equals(ALL))]
    for word, (verdicts, with_sold) in SHOWS.items():
        asked = [SHOW.equals(word)]
        if verdicts:
            asked.append(OR(*(Cell("word").equals(verdict) for verdict in verdicts)))
        if not with_sold:
            asked.append(Cell("status").differs(SOLD))
        if word != ALL:
            ways.append(AND(*asked))
    return AND(Cell("there").equals(1), OR(*ways))


def row_expressions() -> dict[str, Expression]:
    """A row's number, and its sort figure: blank where its trailer is not to be shown."""
    line = Cell("line")
    return {
        "line": ROWS(LINES_BEFORE),
        "sort_figure": IFERROR(IF(is_shown(), amount() + line * _BY_LINE, ""), ""),
    }


def shown_expressions(keys: Iterable[str]) -> dict[str, Expression]:
    """What the columns in sight say: whose turn it is in this row, and what these columns say of it."""
    figures, turn = every("sort_figure"), Cell(shown("line"))
    found = {shown("line"): IF(Cell("line") > COUNT(figures), "", MATCH(SMALL(figures, Cell("line")), figures, 0))}
    return found | {shown(key): IF(turn.equals(""), "", INDEX(every(key), turn)) for key in keys}


def words(count: Expression) -> Expression:
    """How many of the trailers are in sight, and why not all.

    Args:
        count: How many trailers there are.
    """
    in_sight = COUNT(every("sort_figure"))
    which = IF(OR(is_blank(SHOW), SHOW.equals(ALL)), "", ", " & SHOW)
    order = IF(is_blank(ORDER), AS_ON_THE_LOT, ORDER)
    said = "In sight: " & in_sight & " of " & count & which & "; " & order & "."
    choose = WRONG + " {}: choose from the list"
    known = IF(is_unknown(SHOW, SHOWS), choose.format("Show"), said)
    return IFERROR(IF(is_unknown(ORDER, ORDERS), choose.format("Order"), known), choose.format("Show and Order"))
