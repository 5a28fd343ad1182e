"""Cells whose texts may look like numbers, as a stock number does: Excel is told not to mark them as a mistake."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet
from openpyxl.xml.functions import Element, SubElement

SHEET_END = 1_048_576
"""The last row of a sheet ("Excel specifications and limits"): what reaches it need not grow with its table."""


def whole_column(place: int, first_row: int) -> str:
    """A column from a row on, as far as a sheet goes.

    >>> whole_column(1, 5)
    'A5:A1048576'
    """
    letter = get_column_letter(place)
    return f"{letter}{first_row}:{letter}{SHEET_END}"


class _Kept:
    """The element, as openpyxl asks one for itself."""

    def __init__(self, areas: str) -> None:
        self._areas = areas

    def to_tree(self) -> Any:
        """The element with its one member."""
        element = Element("ignoredErrors")
        SubElement(element, "ignoredError", sqref=self._areas, numberStoredAsText="1")
        return element


def keep_as_texts(sheet: Worksheet, areas: Iterable[str]) -> None:
    """Let numbers that are stored as texts stand without a mark; once a sheet.

    openpyxl writes no such element. It writes what stands in the place of the column breaks, of which our sheets have
    none, and that is where the schema wants this element (CT_Worksheet, ECMA-376 Part 1, A.2).

    Args:
        sheet: The sheet.
        areas: A block of cells each, such as ``A5:A90``.
    """
    sheet.col_breaks = _Kept(" ".join(areas).replace("$", ""))
