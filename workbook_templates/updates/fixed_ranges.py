"""What of a person's own reads fixed rows of a table that end before its new rows: formulas, names, charts and rules.

A reference such as Lot[Price] or a whole column grows with the table, and is not named. Nothing of theirs is changed.
The finding is the same for a file and for an open workbook; where it looks is not its business.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from tarelot.calc.columns import column_number
from tarelot.workbook_templates.basis.counts import so_many
from tarelot.workbook_templates.basis.references import LOWEST_ROW
from tarelot.workbook_templates.lot.columns import results
from tarelot.workbook_templates.lot.held.lot import Lot
from tarelot.workbook_templates.updates.plan import AnyLot, Plan, sheet_rows

Said = tuple[str, str, str]
"""A formula as a program holds it: its sheet, its cell and its text. A name has no sheet; what stands in no cell has
one of the words of ``IN_NO_CELL`` instead."""
CHART, COLORING, ENTRY_RULE, PIVOT, SPARKLINE = "chart", "conditional format", "entry rule", "pivot table", "sparkline"
IN_NO_CELL = {
    CHART: "A chart",
    COLORING: "A conditional format",
    ENTRY_RULE: "An entry rule (validity)",
    PIVOT: "A pivot table",
    SPARKLINE: "A sparkline",
}
OF_PROGRAMS = "_xlnm."
"""How names begin that programs keep: what is printed, what is filtered."""
MOST_LINES = 10
"""Lines of it that are said; more are counted."""

_RANGE = re.compile(
    r"""
    "(?:[^"]|"")*"                       # a text
    | \[[^\[\]]*\]                       # a heading, or another workbook
    | (?<![\w.$!'\]\#])
      (?: \$?(?P<sheet>'(?:[^']|'')+'|[^\W\d][\w.]*)[!.] )?
      (?P<from> \$?(?P<left>[A-Z]{1,3})\$?(?P<first>[0-9]+) ) :
      (?P<to> \$?(?P<right>[A-Z]{1,3})(?P<fixed>\$?) )(?P<last>[0-9]+)
      (?![\w.(!])
    """,
    re.IGNORECASE | re.VERBOSE,
)


@dataclass(frozen=True)
class Grown:
    """A table that has new rows.

    Attributes:
        sheet: The sheet that it stands on.
        columns: The numbers of its columns.
        first_row: Its first row below the headings.
        reached: The last row in which something stood before.
        added: The last row that is new.
        last_row: Its last row now.
        ours: Letters of the columns that the workbook fills with formulas of its own.
    """

    sheet: str
    columns: range
    first_row: int
    reached: int
    added: int
    last_row: int
    ours: frozenset[str] = frozenset()

    def ends_before(self, last: int) -> bool:
        """Whether what reads down to a row read all that stood there, and lacks what is new."""
        return self.reached <= last < self.added and last != LOWEST_ROW

    def has(self, cell: str) -> bool:
        """Whether a row of the table is that of a cell."""
        return self.first_row <= _row(cell) <= self.last_row


@dataclass(frozen=True)
class Short:
    """A range that ends before the new rows: who reads it, as it is written, and the one that would include them."""

    reader: str
    written: str
    wanted: str

    def __str__(self) -> str:
        """The finding in a line."""
        return f"{self.reader} reads {self.written}, which ends before the new rows: {self.wanted} would include them"


def grown(plan: Plan[AnyLot]) -> Grown | None:
    """The Lot as it is once a plan is carried out; None where it gets no new trailer."""
    lot, rows = plan.lot, sheet_rows(plan)
    new = [rows[row.number] for row in plan.rows if row.status == "new"]
    if not new:
        return None
    reached = max((row.number for row in lot.rows), default=lot.first_row)
    places = [column_number(letters.encode()) for letters in lot.columns.values()]
    return Grown(
        sheet=lot.sheet,
        columns=range(min(places), max(places) + 1),
        first_row=lot.first_row,
        reached=reached,
        added=max(new),
        last_row=max(lot.last_row, *new),
        ours=_result_letters(lot),
    )


def short_ranges(said: Iterable[Said], table: Grown) -> list[Short]:
    """Who reads down to the rows that stood last before, and lacks the new ones.

    Args:
        said: What formulas, names, charts and rules say; those of ours may be among them.
        table: The table.

    Returns:
        A finding for each; cells below one another that read the same are one.
    """
    cells: dict[tuple[str, str, str, str], list[int]] = {}
    others: dict[Short, None] = {}
    for sheet, place, text in said:
        if not sheet and place.startswith(OF_PROGRAMS):
            continue
        for written, wanted in _short(sheet, place, text, table):
            if sheet and place not in IN_NO_CELL:
                letters = place.rstrip("0123456789")
                cells.setdefault((sheet, letters, written, wanted), []).append(_row(place))
            else:
                reader = f"{IN_NO_CELL[place]} on the sheet {sheet}" if sheet else f"The name {place}"
                others[Short(reader, written, wanted)] = None
    found = [
        Short(f"Sheet {sheet}, {_area(letters, first, last)}", written, wanted)
        for (sheet, letters, written, wanted), rows in cells.items()
        for first, last in _runs(rows)
    ]
    return [*found, *others]


def lines(found: Sequence[Short]) -> list[str]:
    """The findings in lines, the first of many, and how many more there are."""
    said = [str(one) for one in found[:MOST_LINES]]
    more = len(found) - MOST_LINES
    how_many = so_many(more, "more that reads", "more that read")
    return [*said, f"... and {how_many} fixed rows of the table"] if more > 0 else said


def _short(sheet: str, place: str, text: str, table: Grown) -> Iterator[tuple[str, str]]:
    """The ranges in one text that end before the new rows, as they are written and as they would include them."""
    is_beside = sheet.casefold() == table.sheet.casefold() and (
        place in (COLORING, ENTRY_RULE) or (place not in IN_NO_CELL and table.has(place))
    )
    if is_beside and place.rstrip("0123456789") in table.ours:
        return
    for found in _RANGE.finditer(text):
        if found["from"] is None:
            continue
        named = found["sheet"]
        of = named.removeprefix("'").removesuffix("'").replace("''", "'") if named else sheet
        first, last = int(found["first"]), int(found["last"])
        left, right = (column_number(found[side].upper().encode()) for side in ("left", "right"))
        if of.casefold() != table.sheet.casefold() or first == last or not table.ends_before(max(first, last)):
            continue
        if right < table.columns.start or left >= table.columns.stop:
            continue
        if is_beside and not found["fixed"]:
            continue  # it reads down to its own row, or near it, and goes on so in the rows below
        yield found[0], f"{found['from']}:{found['to']}{table.last_row}"


def _result_letters(lot: Lot) -> frozenset[str]:
    headings = (lot.units.heading(column.heading) for column in results())
    return frozenset(lot.columns[heading] for heading in headings if heading in lot.columns)


def _row(cell: str) -> int:
    return int(cell.lstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ"))


def _area(letters: str, first: int, last: int) -> str:
    return f"{letters}{first}" if first == last else f"{letters}{first}:{letters}{last}"


def _runs(rows: Sequence[int]) -> Iterator[tuple[int, int]]:
    """The stretches of rows that stand below one another, each by its first and last."""
    for _, run in groupby(enumerate(sorted(rows)), key=lambda pair: pair[1] - pair[0]):
        numbers = [number for _, number in run]
        yield numbers[0], numbers[-1]
