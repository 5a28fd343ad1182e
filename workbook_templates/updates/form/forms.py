"""Formulas compared whatever their row and whatever program wrote them."""

from __future__ import annotations

import re
from collections.abc import Iterator

from openpyxl.utils import coordinate_to_tuple

from tarelot.calc.columns import column_number
from tarelot.workbook_templates.ooxml.sheet_xml import Cell, SheetXml
from tarelot.workbook_templates.ooxml.splice import attributes
from tarelot.workbook_templates.updates.results import plain_form

_APART = re.compile(
    r"(\"(?:[^\"]|\"\")*\"|\[[^\[\]]*\])|(?<![\w.])(\$?)([A-Z]{1,3})(\$?)([1-9][0-9]{0,6})(?![\w.(!])", re.IGNORECASE
)
_QUOTED = re.compile(r"'(\w+)'!")
BROKEN = "#ref!"


def relative_form(text: str, row: int, column: int) -> str:
    """A formula with each cell that it names said by its distance, and without what programs change when they save it.

    >>> relative_form("A5*$B$2", 5, 3) == relative_form("a9 *$B$2", 9, 3)
    True
    >>> relative_form("A5", 5, 3) == relative_form("A5", 6, 3)
    False
    """

    def said(found: re.Match[str]) -> str:
        if found[1] is not None:
            return found[1]
        across = column_number(found[3].upper().encode())
        down = int(found[5])
        return (f"c{across}" if found[2] else f"c({across - column})") + (
            f"r{down}" if found[4] else f"r({down - row})"
        )

    return _QUOTED.sub(r"\1!", plain_form(_APART.sub(said, text)))


class SheetForms:
    """The formulas of a sheet in their relative forms."""

    def __init__(self, sheet: SheetXml) -> None:
        self._sheet = sheet
        self._shared: dict[bytes, str] = {}

    def of(self, row: int, cell: Cell) -> str:
        """The form of a cell's formula; empty where there is none."""
        written = self._sheet.formula(cell)
        if written is None:
            return ""
        text = self._sheet.formula_text(cell)
        if text:
            return relative_form(text, row, cell.column)
        number = attributes(written).get(b"si", b"")
        if number not in self._shared:
            first, place = self._sheet.shared_formulas.get(number, ("", "A1"))
            self._shared[number] = relative_form(first, *coordinate_to_tuple(place)) if first else ""
        return self._shared[number]

    def all(self) -> Iterator[tuple[int, Cell, str]]:
        """Row, cell and form of every formula of the sheet."""
        for number, row in self._sheet.rows.items():
            for cell in self._sheet.cells(row):
                form = self.of(number, cell)
                if form:
                    yield number, cell, form

    def by_place(self) -> dict[tuple[int, int], str]:
        """The form of each formula by row and column."""
        return {(number, cell.column): form for number, cell, form in self.all()}
