"""What the menu does in the open workbook, each time as one step of the workbook's own undo."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from com.sun.star.io import IOException  # type: ignore[import-not-found]
from com.sun.star.sheet.FillDateMode import FILL_DATE_DAY  # type: ignore[import-not-found]
from com.sun.star.sheet.FillDirection import TO_BOTTOM  # type: ignore[import-not-found]
from com.sun.star.sheet.FillMode import SIMPLE  # type: ignore[import-not-found]
from com.sun.star.table.CellContentType import FORMULA  # type: ignore[import-not-found]

from tarelot.addin.libreoffice.menu_command import MenuError

TYPED = 1 | 2 | 4 | 8 | 16
"""com.sun.star.sheet.CellFlags: numbers, dates, texts, notes and formulas; what is left is the look of a cell."""
ERROR_RESULT = 4
"""com.sun.star.sheet.FormulaResult.ERROR"""
DATE_FORMAT = 2
"""com.sun.star.util.NumberFormat.DATE"""
ISO_DATE = 84
"""com.sun.star.i18n.NumberFormatIndex.DATE_DIN_YYYYMMDD"""
SAME_WITHIN = 1e-12
MATCH = "Match"
"""The table of which each row asks a row of the Lot."""


@contextmanager
def one_step(document: Any, title: str) -> Iterator[None]:
    """Everything done inside is one step of undo; where it fails, the workbook is as it was before."""
    steps = document.UndoManager
    before = steps.getAllUndoActionTitles()
    automatic = document.isAutomaticCalculationEnabled()
    document.lockControllers()
    document.enableAutomaticCalculation(False)
    steps.enterUndoContext(title)
    try:
        yield
    except BaseException:
        steps.leaveUndoContext()
        if steps.getAllUndoActionTitles() != before:
            steps.undo()
        raise
    else:
        steps.leaveUndoContext()
    finally:
        document.enableAutomaticCalculation(automatic)
        document.unlockControllers()


def lot_range(document: Any, name: str = "Lot") -> Any:
    """The database range that a table of the workbook is in Calc; LibreOffice forgets where an older one stood."""
    for found in document.DatabaseRanges.ElementNames:
        if found.casefold() == name.casefold():
            return document.DatabaseRanges.getByName(found)
    raise MenuError(f"This workbook has no table named {name}: is it made by tarelot new or tarelot demo?")


def import_list(document: Any, data: Any) -> None:
    """Write what a list changes and adds into the open workbook.

    Args:
        document: The workbook, in which nothing was changed since the plan was made of a copy of it.
        data: The plan, from ``tarelot import --json``.

    Raises:
        MenuError: The sheet is protected, or a cell does not take its value; the workbook is as it was before.
    """
    sheet = document.Sheets.getByName(data["sheet"])
    if sheet.isProtected():
        raise MenuError(f"The sheet {data['sheet']} is protected: take the protection off first.")
    written = [row for row in data["rows"] if row["changes"]]
    with one_step(document, f"Import {data['list'].split(',')[0]}"):
        table = data["table"]
        last = max([table["last_row"], *(row["sheet_row"] for row in written)])
        if last > table["last_row"]:
            grow(document, sheet, table, last, set(data["inputs"].values()))
            grow_match(document, last - table["first_row"] + 1)
        for row in written:
            for change in row["changes"]:
                cell = sheet.getCellRangeByName(f"{data['inputs'][change['heading']]}{row['sheet_row']}")
                _set(document, cell, change["new"])
            if row["status"] == "new":
                for column in data["results"].values():
                    _fill_formula(sheet, column, row["sheet_row"], table["first_row"], table["last_row"])


def grow(document: Any, sheet: Any, table: Any, last: int, inputs: set[str]) -> None:
    """Lengthen the table to its new last row: the new rows look and calculate as the one above, and hold no input."""
    found = lot_range(document, table["name"])
    area = found.getDataArea()
    old = table["last_row"] - 1
    if area.EndRow != old:
        raise MenuError(f"The table {table['name']} ends elsewhere than it was read: nothing was done, try again.")
    area.EndRow = last - 1
    found.setDataArea(area)
    block = sheet.getCellRangeByPosition(area.StartColumn, old, area.EndColumn, last - 1)
    block.fillSeries(TO_BOTTOM, SIMPLE, FILL_DATE_DAY, 0, 0)
    for column in range(area.StartColumn, area.EndColumn + 1):
        above = sheet.getCellByPosition(column, old)
        letters = above.getColumns().getByIndex(0).getName()
        if letters in inputs or above.getType() != FORMULA:
            sheet.getCellRangeByPosition(column, old + 1, column, last - 1).clearContents(TYPED)
        else:
            sheet.getCellRangeByPosition(column, old + 1, column, last - 1).clearContents(8)  # notes belong to one row


def grow_match(document: Any, rows: int) -> None:
    """Give Match, where there is one, a row for each row of the Lot."""
    if MATCH not in document.DatabaseRanges.ElementNames:
        return
    area = lot_range(document, MATCH).getDataArea()
    last = area.StartRow + 1 + rows
    if last > area.EndRow + 1:
        sheet = document.Sheets.getByIndex(area.Sheet)
        grow(document, sheet, {"name": MATCH, "last_row": area.EndRow + 1}, last, set())


def _fill_formula(sheet: Any, column: str, row: int, first: int, last: int) -> None:
    """Give a new trailer's result its formula where it has none, from the nearest trailer that has it."""
    cell = sheet.getCellRangeByName(f"{column}{row}")
    if cell.getType() == FORMULA:
        return
    for number in sorted(range(first, last + 1), key=lambda number: abs(number - row)):
        source = sheet.getCellRangeByName(f"{column}{number}")
        if source.getType() == FORMULA:
            sheet.copyRange(cell.getCellAddress(), source.getRangeAddress())
            return


def _set(document: Any, cell: Any, value: Any) -> None:
    """Put a value into a cell as it is: a text never becomes a formula or a number."""
    if value is None:
        cell.clearContents(TYPED & ~8)
    elif isinstance(value, dict):
        null = document.getPropertyValue("NullDate")
        day = datetime.date.fromisoformat(value["date"][:10])
        cell.setValue((day - datetime.date(null.Year, null.Month, null.Day)).days)
        formats = document.getNumberFormats()
        if not formats.getByKey(cell.NumberFormat).Type & DATE_FORMAT:
            cell.NumberFormat = formats.getFormatIndex(ISO_DATE, cell.CharLocale)
        return
    elif isinstance(value, str):
        cell.setString(value)
    else:
        cell.setValue(value)
    held = cell.getString() if value is None or isinstance(value, str) else cell.getValue()
    same = held == (value or "") if isinstance(held, str) else abs(held - value) <= SAME_WITHIN * abs(value)
    if not same:
        raise MenuError(f"{cell.AbsoluteName.replace('$', '')} does not take {value!r}: nothing was done.")


def recalculate(document: Any) -> str:
    """Calculate everything anew and save the workbook where it is; what was done, in a line.

    Raises:
        MenuError: The workbook was never saved, may only be read, or cannot be written.
    """
    area = lot_range(document).getDataArea()
    sheet = document.Sheets.getByIndex(area.Sheet)
    cells = sheet.getCellRangeByPosition(area.StartColumn, area.StartRow, area.EndColumn, area.EndRow)
    if not document.hasLocation():
        raise MenuError("This workbook was never saved: save it under a name first.")
    if document.isReadonly():
        raise MenuError("This workbook may only be read here: save it under another name first.")
    document.calculateAll()
    errors = sum(
        (found.EndRow - found.StartRow + 1) * (found.EndColumn - found.StartColumn + 1)
        for found in cells.queryFormulaCells(ERROR_RESULT).getRangeAddresses()
    )
    try:
        document.store()
    except IOException as error:
        raise MenuError(f"The workbook cannot be saved where it is: {error.Message}") from error
    said = {0: "no result is an error", 1: "1 result is an error"}.get(errors, f"{errors} results are errors")
    return f"Calculated anew and saved: {said}."
