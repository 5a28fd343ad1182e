"""What the menu does in the open workbook, each time as one step of the workbook's own undo."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

from com.sun.star.sheet.FillDateMode import FILL_DATE_DAY  # type: ignore[import-not-found]
from com.sun.star.sheet.FillDirection import TO_BOTTOM  # type: ignore[import-not-found]
from com.sun.star.sheet.FillMode import SIMPLE  # type: ignore[import-not-found]
from com.sun.star.table.CellContentType import FORMULA  # type: ignore[import-not-found]

from tarelot.addin.libreoffice.menu.cells import error_cells, put
from tarelot.addin.libreoffice.menu.lot import lot_range, result_columns
from tarelot.addin.libreoffice.menu.names import MenuError
from tarelot.workbook_templates.lot.columns import TABLE
from tarelot.workbook_templates.lot.held.lot import Lot
from tarelot.workbook_templates.updates.plan import Plan, sheet_rows

TYPED = 1 | 2 | 4 | 8 | 16
"""com.sun.star.sheet.CellFlags: numbers, dates, texts, notes and formulas; what is left is the look of a cell."""
SAME_WITHIN = 1e-12
IMPORT_STEP = "Import "
"""How the step of the undo is called that an import is."""
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


def import_list(document: Any, plan: Plan[Lot], step: Callable[[int], None] = lambda _: None) -> None:
    """Write what a list changes and adds into the open workbook.

    Args:
        document: The workbook, in which nothing was changed since the plan was made.
        plan: The plan.
        step: Told how many trailers are written, for a progress display.

    Raises:
        MenuError: The sheet is protected, or a cell does not take its value; the workbook is as it was before.
    """
    lot, rows = plan.lot, sheet_rows(plan)
    sheet = document.Sheets.getByName(lot.sheet)
    if sheet.isProtected():
        raise MenuError(f"The sheet {lot.sheet} is protected: take the protection off first.")
    written = [row for row in plan.rows if row.changes]
    with one_step(document, f"{IMPORT_STEP}{plan.table.source.split(',')[0]}"):
        last = max([lot.last_row, *(rows[row.number] for row in written)])
        if last > lot.last_row:
            grow(document, sheet, TABLE, lot.last_row, last, {lot.columns[heading] for heading in lot.inputs()})
            grow_match(document, last - lot.first_row + 1)
        for count, row in enumerate(written, 1):
            number = rows[row.number]
            for change in row.changes:
                _set(document, sheet.getCellRangeByName(f"{lot.columns[change.heading]}{number}"), change.new)
            if row.status == "new":
                for column in result_columns(lot):
                    _fill_formula(sheet, column, number, lot.first_row, lot.last_row)
            step(count)


def grow(document: Any, sheet: Any, table: str, old_last: int, last: int, inputs: set[str]) -> None:
    """Lengthen the table to its new last row: the new rows look and calculate as the one above, and hold no input."""
    found = lot_range(document, table)
    area = found.getDataArea()
    old = old_last - 1
    if area.EndRow != old:
        raise MenuError(f"The table {table} ends elsewhere than it was read: nothing was done, try again.")
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
        grow(document, sheet, MATCH, area.EndRow + 1, last, set())


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
    """Put a value into a cell, and look whether the cell holds it."""
    put(document, cell, value)
    if isinstance(value, datetime.date):
        return
    held = cell.getString() if value is None or isinstance(value, str) else cell.getValue()
    same = held == (value or "") if isinstance(held, str) else abs(held - value) <= SAME_WITHIN * abs(value)
    if not same:
        raise MenuError(f"{cell.AbsoluteName.replace('$', '')} does not take {value!r}: nothing was done.")


def undo_import(document: Any) -> tuple[str, int] | None:
    """The title of the last import that can be undone, and how many steps were done after it; None without one."""
    titles = document.UndoManager.getAllUndoActionTitles()
    return next(((title, later) for later, title in enumerate(titles) if title.startswith(IMPORT_STEP)), None)


def recalculate(document: Any) -> str:
    """Calculate everything anew; what was done, in a line. Nothing is saved.

    Raises:
        MenuError: The workbook has no lot.
    """
    area = lot_range(document).getDataArea()
    sheet = document.Sheets.getByIndex(area.Sheet)
    cells = sheet.getCellRangeByPosition(area.StartColumn, area.StartRow, area.EndColumn, area.EndRow)
    document.calculateAll()
    errors = sum(1 for _ in error_cells(cells))
    said = {0: "no result is an error", 1: "1 result is an error"}.get(errors, f"{errors} results are errors")
    return f"Calculated anew, not saved yet: {said}."
