"""Puts a column of a person's own at the right of the table Lot, as typing beside it does."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import openpyxl
from openpyxl.worksheet.table import TableColumn


def add_own_column(path: Path, heading: str, cells: Mapping[int, object], *, sheet: str = "Lot") -> str:
    """Add a column with these cells by row; its letter."""
    book = openpyxl.load_workbook(path)
    page = book[sheet]
    table = page.tables["Lot"]
    (top, *rows) = page[table.ref]
    place = top[-1].column + 1
    page.cell(top[0].row, place, heading)
    for number, value in cells.items():
        page.cell(number, place, value)
    table.tableColumns.append(TableColumn(id=len(top) + 1, name=heading))
    table.ref = f"{top[0].coordinate}:{page.cell(rows[-1][0].row, place).coordinate}"
    if table.autoFilter is not None:
        table.autoFilter.ref = table.ref
    book.save(path)
    return str(page.cell(1, place).column_letter)
