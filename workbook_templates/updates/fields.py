"""One field of a list: read as the lot's column holds it, asked of the column's entry rule, compared with the lot's."""

from __future__ import annotations

import datetime
import math
from collections.abc import Collection, Mapping

from tarelot.workbook_templates.lists.cells import read_text, read_value
from tarelot.workbook_templates.lists.dates import DateOrder, date_order
from tarelot.workbook_templates.lists.headings import Found, split_unit
from tarelot.workbook_templates.lists.quantities import QuantityError, is_blank
from tarelot.workbook_templates.lists.slips import no_name, says_no_value, unwrapped
from tarelot.workbook_templates.lists.table import ListTable
from tarelot.workbook_templates.lot.column import Input
from tarelot.workbook_templates.lot.columns import KEY
from tarelot.workbook_templates.lot.held.lot import Value
from tarelot.workbook_templates.updates.options import named_each_time

VIN, OPTIONS, PRICE = "VIN", "Options", "Price"
KEYS = (KEY, VIN)
"""What tells trailers apart, the usual one first."""
FIRST_DATE = datetime.date(1980, 1, 1)
"""The entry rule of a date asks for a later one."""
LEAST_SHARE, GREATEST_SHARE = 0.001, 0.999
FEW = 3
"""Cells shown as examples."""
SAME_WITHIN = 1e-12
"""Spreadsheet programs write 15 digits of a number."""

Typed = str | float | datetime.date


class FieldReader:
    """Reads the list's cells as the lot's columns hold them, whose Options sheet names these options."""

    def __init__(
        self, fields: Mapping[str, Input], columns: Mapping[str, Found], table: ListTable, options: Collection[str]
    ) -> None:
        self.fields, self.columns, self._table, self._options = fields, columns, table, options
        self._orders: dict[str, DateOrder | None] = {
            ours: date_order(cells[found.index] for cells in table.rows if len(cells) <= len(table.headings))
            for ours, found in columns.items()
            if fields[ours].kind == "date"
        }
        self._units = {heading: split_unit(heading)[1] or "" for heading in columns}
        self._no_value: dict[str, list[str]] = {}
        self._counted: list[str] = []

    def is_blank(self, heading: str, cell: Value) -> bool:
        """Whether a cell is empty, or says in a word that there is no figure; a free text means what it says."""
        if is_blank(unwrapped(cell)):
            return True
        column = self.fields[heading]
        free = column.kind == "text" and not column.choices and heading not in (*KEYS, OPTIONS)
        if free or not says_no_value(unwrapped(cell)):
            return False
        self._no_value.setdefault(heading, []).append(str(cell).strip())
        return True

    def notes(self) -> list[str]:
        """Which cells were read as blank for a word in them, and where an option was named as often as it is fitted."""
        blank = [
            f"{heading}: {len(words):,} read as blank ({', '.join(dict.fromkeys(words))})"
            for heading, words in self._no_value.items()
        ]
        first = ", ".join(list(dict.fromkeys(self._counted))[:FEW])
        each = [f"{OPTIONS}: named as often as they are fitted in {len(self._counted):,} of the rows ({first})"]
        return blank + (each if self._counted else [])

    def value(self, heading: str, cell: Value) -> Typed:
        """The cell's value.

        Raises:
            QuantityError: It is not what the column holds, or the entry rule would refuse it.
        """
        column, said = self.fields[heading], unwrapped(cell)
        if heading == VIN and isinstance(said, str):
            said = "".join(said.split())
        if heading in KEYS and (why := no_name(said)):
            raise QuantityError(cell, why, "what stands on the trailer")
        value = read_value(
            said,
            column.kind,
            unit=self._units[heading] if column.kind in ("number", "from zero") else "",
            choices=column.choices,
            decimal=self._table.decimal,
            bare_unit=self.columns[heading].unit,
            order=self._orders.get(heading),
        )
        if heading == OPTIONS and isinstance(value, str):
            value = self._each_time(value)
        if trouble := entry_refused(column, value):
            raise QuantityError(cell, "is not taken", trouble)
        return value

    def _each_time(self, options: str) -> str:
        """The options with one that is fitted several times named so often."""
        named = named_each_time(options, self._options)
        if named != options:
            self._counted.append(options.strip())
        return named


def entry_refused(column: Input, value: Typed) -> str:
    """What the sheet's entry rule asks for, where it would refuse the value; empty where it takes it.

    >>> entry_refused(Input("Axles", "", "whole", "", greatest=20), 21)
    'a whole number from 1 to 20'
    """
    greatest = column.greatest
    if isinstance(value, str):
        if column.choices:
            return "" if value in column.choices else f"one of {', '.join(column.choices)}"
        return "" if 1 <= len(value) <= greatest else f"at most {greatest:g} characters"
    if isinstance(value, datetime.date):
        return "" if value > FIRST_DATE else "a date from 1980 on"
    taken, words = {
        "whole": (value == int(value) and 1 <= value <= greatest, f"a whole number from 1 to {greatest:g}"),
        "number": (value > 0, "a number above 0"),
        "from zero": (value >= 0, "a number of 0 or more"),
        "money": (value >= 0, "an amount of 0 or more"),
        "share": (LEAST_SHARE <= value <= GREATEST_SHARE, "a share between 0 and 1, such as 12%"),
    }[column.kind]
    return "" if taken else words


def name_of(value: Value) -> str:
    """A stock number or VIN of the lot as a person reads it.

    >>> name_of(1105.0), name_of("A12 ")
    ('1105', 'A12')
    """
    try:
        return read_text(value)
    except QuantityError:
        return str(value)


def as_key(value: Value) -> str:
    """A stock number or VIN in the form in which two are compared: as text, in any case."""
    return name_of(value).casefold()


def is_same(column: Input, old: Value, new: Typed) -> bool:
    """Whether a cell of the lot already holds the value: text may stand there as a number, or with spaces around it."""
    if old is None:
        return False
    if isinstance(new, str):
        try:
            text = read_text(old)
        except QuantityError:
            return False
        return text.casefold() == new.casefold() if column.choices else text == new
    if isinstance(new, datetime.date):
        return old == new
    if isinstance(old, bool) or not isinstance(old, int | float):
        return False
    return math.isclose(old, new, rel_tol=SAME_WITHIN)


def in_words(value: object) -> str:
    """A value as a person reads it.

    >>> in_words(2026), in_words(12500.0), in_words(0.125), in_words(None), in_words(datetime.date(2026, 3, 5))
    ('2026', '12,500', '0.125', 'blank', '2026-03-05')
    """
    if value is None:
        return "blank"
    if isinstance(value, datetime.date):
        return value.isoformat()
    if isinstance(value, int | float):
        # A year or a count has no thousands mark to be told by; from five digits on a figure does.
        if abs(value) >= 10_000:
            return f"{value:,.2f}".removesuffix(".00")
        return f"{value:.{2 if abs(value) >= 1 else 4}f}".rstrip("0").rstrip(".")
    return str(value)
