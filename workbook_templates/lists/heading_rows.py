"""Which rows of a list are headings: the first ones, also where they stand in two lines, and those of later pages."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import islice, zip_longest

from tarelot.workbook_templates.lists.headings import known, plain, split_unit
from tarelot.workbook_templates.lists.quantities import Value, is_blank
from tarelot.workbook_templates.lists.rows import Record

HEADING_WITHIN = 50  # rows in which the heading row must stand
HEADINGS_NEEDED = 2  # known ones, to take a row for the heading row
NUMBER_SIGN = "#"
"""In a line of units below the headings it says that a column counts, and names no pounds."""


def heading_row(records: Iterable[Record]) -> tuple[int, int]:
    """Place of the heading row among the first records, and how many of its headings we know; (-1, 0) if none.

    The headings may go on in the row below (`headings_at`). A row over them that groups them has fewer that we know.
    """
    first = list(islice(records, HEADING_WITHIN + 1))
    for place in range(min(len(first), HEADING_WITHIN)):
        count = _known_at(first, place)
        if count < HEADINGS_NEEDED:
            continue
        below = _known_at(first, place + 1) if _is_next(first, place) else 0
        return (place + 1, below) if below > count else (place, count)
    return -1, 0


def headings_at(records: Sequence[Record], place: int) -> tuple[list[str], int]:
    """The headings that begin at a place, and in how many rows they stand, one or two."""
    top = _texts(records[place][1])
    below = _joined(top, records[place + 1][1]) if _is_next(records, place) else None
    return (top, 1) if below is None else (below, 2)


def headings_again(cells: Sequence[Value], lines: Sequence[Sequence[str]]) -> str:
    """Whether a row holds the headings again, as on each page of a print: ``same``, ``other`` ones, or empty if none.

    Args:
        cells: The row.
        lines: The rows that the list's headings stand in.

    >>> headings_again(["STOCK NO.", "Make"], [["Stock no.", "Make"]])
    'same'
    >>> headings_again(["Make", "Stock no."], [["Stock no.", "Make"]]), headings_again(["A7", "x"], [["VIN", "Make"]])
    ('other', '')
    """
    if not _says_words_alone(cells):
        return ""
    there = [(place, str(cell)) for place, cell in enumerate(cells) if not is_blank(cell)]
    if len(there) < HEADINGS_NEEDED:
        return ""
    for line in lines:
        if all(place < len(line) and plain(cell) == plain(line[place]) for place, cell in there):
            return "same"
    found = {known(cell) for _, cell in there} - {None}
    return "other" if len(found) >= max(HEADINGS_NEEDED, len(there) / 2) else ""


def _known_at(records: Sequence[Record], place: int) -> int:
    """How many different headings of ours those are that begin at a place."""
    headings, _ = headings_at(records, place)
    return len({known(heading) for heading in headings} - {None})


def _is_next(records: Sequence[Record], place: int) -> bool:
    """Whether the record behind a place is the very next row."""
    return place + 1 < len(records) and records[place + 1][0] == records[place][0] + 1


def _texts(cells: Sequence[Value]) -> list[str]:
    """The cells as headings, without the blank ones at the right."""
    texts = ["" if cell is None else cell if isinstance(cell, str) else str(cell) for cell in cells]
    while texts and not texts[-1].strip():
        texts.pop()
    return texts


def _joined(top: Sequence[str], cells: Sequence[Value]) -> list[str] | None:
    """The headings with those of the row below behind them, where that row goes on with each; else None.

    A line of units makes ``GVWR`` and ``(kg)`` pounds no more; two lines of words make ``Axle`` and ``rating`` one.
    """
    if not _says_words_alone(cells):
        return None
    joined, goes_on = [], False
    for heading, more in zip_longest(top, _texts(cells), fillvalue=""):
        if not more.strip() or (heading.strip() and more.strip() == NUMBER_SIGN):
            joined.append(heading)
            continue
        whole = f"{heading} {more}".strip()
        if known(heading) and not known(whole):
            return None
        if known(whole) and any(sign.isalpha() for sign in more):  # a lone " may be a ditto mark
            goes_on |= (known(whole), split_unit(whole)[1]) != (known(heading), split_unit(heading)[1])
        joined.append(whole)
    return joined if goes_on else None


def _says_words_alone(cells: Sequence[Value]) -> bool:
    """Whether a row holds texts without a digit in them and nothing else, as headings do."""
    return all(is_blank(cell) or (isinstance(cell, str) and not any(sign.isdigit() for sign in cell)) for cell in cells)
