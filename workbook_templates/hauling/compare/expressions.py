"""What the cells of Compare say: which trailers are chosen, their lines from Lot and Match, and where they differ."""

from __future__ import annotations

from functools import cache

from tarelot.calc.cells.expression import Cell, Expression, Range
from tarelot.calc.cells.spreadsheet import COUNT as COUNT_NUMBERS
from tarelot.calc.cells.spreadsheet import IF, IFERROR, INDEX, ISNUMBER, OR, ROWS, TRIM, is_blank
from tarelot.workbook_templates.basis.references import column_key
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling import asked, followed
from tarelot.workbook_templates.hauling.asked import UNREADABLE, WRONG
from tarelot.workbook_templates.hauling.card.cells import CHECK
from tarelot.workbook_templates.hauling.compare.differences import IN_DOUBT, difference
from tarelot.workbook_templates.hauling.compare.lines import COUNT, FROM_MATCH, LINES, OF_ANY, RANKED, Line
from tarelot.workbook_templates.hauling.match.order import every
from tarelot.workbook_templates.hauling.quote.page import STANDS_TWICE
from tarelot.workbook_templates.hauling.what_if.rows import (
    MACHINE,
    NOT_LISTED,
    STOCK_AS_TEXT,
    TRAILER,
    TRUCK,
    is_listed_twice,
    no_choice,
    row_of_choice,
)
from tarelot.workbook_templates.hauling.words import cut
from tarelot.workbook_templates.lot.columns import COLUMNS, TABLE, inputs
from tarelot.workbook_templates.lot.entries import is_refused

PLACES = tuple(range(1, COUNT + 1))
"""The trailers from left to right."""
MORE_ON_MATCH = " ... more on Match"
NO_MACHINE = "no machine"
TWICE = "twice"
COMPARED = Cell("how many are compared")
_HEADINGS = {column.key: column.heading for column in COLUMNS}
_TYPED = {column.key: column for column in inputs()}


def choice(place: int) -> Cell:
    """The cell in which a stock number is chosen."""
    return Cell(f"choice {place}")


def found(place: int) -> Cell:
    """Its row on the Lot; blank without a choice, words where there is none or which of two is meant is not known."""
    return Cell(f"found {place}")


def row(place: int) -> Cell:
    """The row that is shown: blank where an earlier column shows it already."""
    return Cell(f"row {place}")


def name(place: int) -> Cell:
    """The stock number of that row as a text, as the words call it."""
    return Cell(f"name {place}")


def told(place: int) -> Cell:
    """What is said of the choice."""
    return Cell(f"told {place}")


def shown(line: Line, place: int) -> Cell:
    """What a line shows of a trailer."""
    return Cell(f"{line.key} {place}")


def doubt(place: int) -> Cell:
    """What the Lot's entry check doubts of a trailer's figures."""
    return Cell(f"doubt {place}")


def ranked(line: Line, place: int) -> Cell:
    """What is compared of a trailer in a line of figures."""
    return Cell(f"{line.key} ranked {place}")


def differs(line: Line) -> Cell:
    """What a line says where trailers differ."""
    return Cell(f"{line.key} differs")


def said_of(group: str) -> Cell:
    """Which machine or truck it is."""
    return Cell(f"{group} in words")


def on_match(group: str) -> Cell:
    """What Match says of the machine or truck that is chosen."""
    return Cell(f"{group} on Match")


@cache
def expressions(units: Units) -> dict[str, Expression]:
    """What the cells say, by key."""
    said: dict[str, Expression] = {said_of(group).key: _chosen(group) for group in (MACHINE, TRUCK)}
    for place in PLACES:
        said |= _of_choice(place)
        said |= {shown(line, place).key: _shown(line, place, units) for line in LINES}
        said |= {ranked(line, place).key: _ranked(line, place) for line in RANKED}
    said[COMPARED.key] = COUNT_NUMBERS(*map(row, PLACES))
    for line in LINES:
        if line.differs is not None:
            of_line = ranked if line in RANKED else shown
            trailers = [(row(place), name(place), of_line(line, place)) for place in PLACES]
            words = difference(line.differs, trailers, COMPARED, units)
            said[differs(line).key] = IFERROR(IF(COMPARED < 2, "", words), UNREADABLE)
    return said


def _of_choice(place: int) -> dict[str, Expression]:
    """Where the chosen trailer stands, and what is said of the choice."""
    chosen, at = choice(place), found(place)
    earlier = [found(one).equals(at) for one in PLACES if one < place]
    is_repeated = OR(*earlier) if earlier else None
    there = IF(at > ROWS(every("line")), f"{WRONG} not on Match: copy its last row down", "")
    known = there if is_repeated is None else IF(is_repeated, f"{WRONG} chosen in a column before", there)
    lost = IF(at.equals(TWICE), STANDS_TWICE, f"{WRONG} not on the Lot sheet")
    words = IF(ISNUMBER(at), known, lost)
    none = no_choice(TRAILER, chosen)
    single = IF(none, "", IF(is_listed_twice(TRAILER, chosen), TWICE, row_of_choice(TRAILER, chosen)))
    doubted = INDEX(Range(column_key(TABLE, _HEADINGS["doubt"])), row(place)) & ""
    numbered = at if is_repeated is None else IF(is_repeated, "", at)
    stock = INDEX(Range(column_key(TABLE, STOCK_AS_TEXT)), row(place)) & ""
    return {
        at.key: IFERROR(single, NOT_LISTED),
        row(place).key: IF(ISNUMBER(at), numbered, ""),
        name(place).key: IFERROR(IF(ISNUMBER(row(place)), stock, ""), UNREADABLE),
        doubt(place).key: IFERROR(IF(ISNUMBER(row(place)), doubted, ""), UNREADABLE),
        told(place).key: IFERROR(IF(none, "none chosen", words), UNREADABLE),
    }


def _shown(line: Line, place: int, units: Units) -> Expression:
    """A line of one trailer, from its row of the Lot or of Match."""
    at = row(place)

    def on_lot(key: str) -> Expression:
        return INDEX(Range(column_key(TABLE, units.heading(_HEADINGS[key]))), at)

    if line.key == "trailer":
        value: Expression = TRIM(on_lot("make") & " " & on_lot("model"))
    elif line.key in FROM_MATCH:
        value = INDEX(every(line.key), at)
    else:
        value = on_lot(line.key)
    # Some programs read a colored empty cell as 0, which no figure typed here can be but the number of tie-downs.
    empty = is_blank(value) if line.kind in ("number", "money") else value.equals("")
    blank = IF(ISNUMBER(Cell(f"row of {MACHINE}")), "", NO_MACHINE) if line.key == "word" else ""
    there = cut(value, line.most, MORE_ON_MATCH) if line.most else _unless_refused(line, value)
    # Where Match has no such row, the words below the choice say so.
    too_far = at > ROWS(every("line")) if line.key in FROM_MATCH else None
    answer = IF(empty, blank, there)
    within = answer if too_far is None else IF(too_far, "", answer)
    return IFERROR(IF(ISNUMBER(at), within, ""), UNREADABLE)


def _ranked(line: Line, place: int) -> Expression:
    """What a line shows of a trailer, if the entry check doubts none of its figures: which of two is wrong, and what
    is worked out of it, cannot be told.
    """
    figure = shown(line, place)
    return figure if line.key == OF_ANY else IF(doubt(place).equals(""), figure, IN_DOUBT)


def _unless_refused(line: Line, value: Expression) -> Expression:
    """A figure that was typed on the Lot; a mark where its entry check refuses it, so that it is compared with none.

    1 is refused where it cannot be, since LibreOffice makes it of TRUE.
    """
    column = _TYPED.get(line.key)
    if column is None or column.kind not in ("number", "money", "from zero"):
        return value
    wrong = is_refused(column, value)
    return IF(OR(wrong, value.equals(1)) if column.kind != "from zero" else wrong, CHECK, value)


def _chosen(group: str) -> Expression:
    """Which machine or truck: that of Match, which follows What-if where it is blank there."""
    typed, words = Cell(followed.typed_choice(group)), on_match(group)
    none = f"{WRONG} none chosen: choose one on Match, or on What-if" if group == MACHINE else words
    which = IF(is_blank(typed), words, "as on Match: " & typed & ", " & words)
    own = IF(asked.LIMITS_CHANGED.equals(""), "", ". By the yard's own limits: see Limits.")
    said = IF(no_choice(group), none, which)
    return IFERROR(said & own if group == TRUCK else said, UNREADABLE)
