"""What a lot holds."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, field

from tarelot.workbook_templates.basis import limits
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.lot.column import Input
from tarelot.workbook_templates.lot.columns import inputs

Value = str | float | bool | datetime.date | None


class LotError(ValueError):
    """A workbook is not a lot that can be read; the message is one line."""


class NoLot(LotError):
    """A workbook can be read and is no lot."""


@dataclass(frozen=True)
class LotRow:
    """A trailer: its row on the sheet, and by heading what our inputs and results hold; None where they are blank."""

    number: int
    values: dict[str, Value]
    stored: dict[str, Value] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True)
class Lot:
    """The lot as a workbook holds it.

    Attributes:
        name: The workbook's name, for messages.
        units: The units of its headings.
        rows: Its trailers from top to bottom.
        options: Names and weights of the Options table, who fits each, and price and place where it has such columns.
        limits: What the yard typed on the Limits sheet, by key; None where there is no such sheet.
        sheet: The sheet with the table.
        columns: Every heading of the table, a person's own ones too, with its column letter.
        missing: Headings of ours that the table does not have.
        blank_rows: Numbers of the table's rows in which nothing is typed, in columns of a person's own either.
        first_row: The number of the table's first row below the headings.
        last_row: The number of its last row that is not one of totals.
        waits: Whether the table has no rows yet, and its one empty row waits for the first.
        formulas: Row and heading of the inputs that are a person's own formulas.
    """

    name: str
    units: Units
    rows: list[LotRow]
    options: list[tuple[Value, ...]]
    limits: limits.Typed | None
    sheet: str
    columns: dict[str, str]
    missing: list[str]
    blank_rows: list[int]
    first_row: int
    last_row: int
    waits: bool = False
    formulas: frozenset[tuple[int, str]] = frozenset()

    def inputs(self) -> dict[str, Input]:
        """Our input columns that the table has, by heading."""
        found = {self.units.heading(column.heading): column for column in inputs()}
        return {heading: column for heading, column in found.items() if heading in self.columns}
