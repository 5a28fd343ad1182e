"""Reads the lot out of the open workbook, as it stands in the window."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import unohelper  # type: ignore[import-not-found]

from tarelot.addin.libreoffice.menu.cells import cell_values, date_of, first_day_of, formula_cells, used_cells
from tarelot.addin.libreoffice.menu.names import MenuError
from tarelot.calc.columns import column_letters
from tarelot.workbook_templates.basis import limits
from tarelot.workbook_templates.lot import options
from tarelot.workbook_templates.lot.column import Input
from tarelot.workbook_templates.lot.columns import TABLE, inputs, results
from tarelot.workbook_templates.lot.held.lot import Lot, Value
from tarelot.workbook_templates.lot.held.rows import Row, limits_of, missing_of, options_of, trailers, units_of


def lot_range(document: Any, name: str = TABLE) -> Any:
    """The database range that a table of the workbook is in Calc; LibreOffice forgets where an older one stood.

    Raises:
        MenuError: There is none of that name.
    """
    for found in document.DatabaseRanges.ElementNames:
        if found.casefold() == name.casefold():
            return document.DatabaseRanges.getByName(found)
    raise MenuError(f"This workbook has no table named {name}: it is no Tarelot lot, or an older one.")


def file_of(document: Any) -> Path | None:
    """The workbook's file; None for one that was never saved, or is not on this computer."""
    location = document.getLocation() if document.hasLocation() else ""
    return Path(unohelper.fileUrlToSystemPath(location)) if location.startswith("file:") else None


def name_of(document: Any) -> str:
    """The workbook's name, for messages."""
    path = file_of(document)
    return path.name if path else str(document.getTitle())


class _Table:
    """A table of the workbook: its headings, and its cells below them."""

    def __init__(self, document: Any, name: str) -> None:
        found = lot_range(document, name)
        area = found.getDataArea()
        self.sheet = document.Sheets.getByIndex(area.Sheet)
        self.first_column, self.first_row = area.StartColumn, area.StartRow + 1
        self.last_row = area.EndRow - bool(found.TotalsRow)
        cells = self.sheet.getCellRangeByPosition(area.StartColumn, area.StartRow, area.EndColumn, self.last_row)
        headings, *rows = cell_values(document, cells)
        self.columns = [str(heading) for heading in headings]
        self.below: list[Row] = list(enumerate(rows, self.first_row + 1))
        self.formulas = frozenset((self.first_row + row, self.columns[column]) for row, column in formula_cells(cells))


def read_lot(document: Any) -> Lot:
    """The lot in the open workbook.

    Raises:
        MenuError: It has no table named Lot or Options.
        LotError: Its units are not certain, or a column that is needed is gone.
    """
    lot, option_list = _Table(document, TABLE), _Table(document, options.TABLE)
    units = units_of([*lot.columns, *option_list.columns], name_of(document))
    read = _reader(first_day_of(document))
    rows, blank_rows = trailers(lot.below, lot.columns, units, lot.formulas, read)
    typed = {units.heading(column.heading) for column in inputs()}
    has_limits = document.Sheets.hasByName(limits.SHEET)
    return Lot(
        name=name_of(document),
        units=units,
        rows=rows,
        options=options_of(option_list.below, option_list.columns, units, read),
        limits=_limits(document) if has_limits else None,
        sheet=lot.sheet.getName(),
        columns={heading: column_letters(lot.first_column + place) for place, heading in enumerate(lot.columns, 1)},
        missing=missing_of(lot.columns, units),
        blank_rows=blank_rows,
        first_row=lot.first_row + 1,
        last_row=lot.last_row + 1,
        formulas=frozenset((row, heading) for row, heading in lot.formulas if heading in typed),
    )


def table_rows(document: Any, name: str, known: Mapping[str, Input]) -> list[tuple[int, dict[str, Value]]]:
    """The rows of another table of the workbook, each with its number on the sheet, by heading.

    Args:
        document: The workbook.
        name: The table.
        known: Our inputs in it by heading.

    Raises:
        MenuError: There is no such table.
    """
    table, read = _Table(document, name), _reader(first_day_of(document))
    return [
        (
            number,
            {h: read(number, h, cell, known.get(h)) for h, cell in zip(table.columns, cells, strict=True)},
        )
        for number, cells in table.below
    ]


def result_columns(lot: Lot) -> list[str]:
    """The column letters of our results that the lot has."""
    headings = (lot.units.heading(column.heading) for column in results())
    return [lot.columns[heading] for heading in headings if heading in lot.columns]


def _limits(document: Any) -> limits.Typed:
    cells = used_cells(document.Sheets.getByName(limits.SHEET))
    read = _reader(first_day_of(document))
    return limits_of(cell_values(document, cells), lambda cell: read(0, "", cell, None))


def _reader(first_day: datetime.date) -> Callable[[int, str, object, Input | None], Value]:
    """What a cell holds: a date is one only in a column of dates, whatever it looks like elsewhere."""

    def read(_number: int, _heading: str, cell: Any, column: Input | None) -> Value:
        if cell == "" or cell is None:
            return None
        is_number = isinstance(cell, float) and cell >= 1
        return date_of(cell, first_day) if is_number and column is not None and column.kind == "date" else cell

    return read
