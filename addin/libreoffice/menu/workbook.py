"""What the menu does in the open workbook, each time as one step of the workbook's own undo."""

from __future__ import annotations

from collections.abc import Callable, Collection
from typing import Any

from com.sun.star.sheet.FillDateMode import FILL_DATE_DAY  # type: ignore[import-not-found]
from com.sun.star.sheet.FillDirection import TO_BOTTOM  # type: ignore[import-not-found]
from com.sun.star.sheet.FillMode import SIMPLE  # type: ignore[import-not-found]
from com.sun.star.table.CellContentType import FORMULA  # type: ignore[import-not-found]

from tarelot.addin.libreoffice.menu.cells import CONTENTS, error_cells, formula_cells, put_below
from tarelot.addin.libreoffice.menu.lot import lot_range, result_columns
from tarelot.addin.libreoffice.menu.names import MenuError
from tarelot.calc.columns import column_letters
from tarelot.workbook_templates.lot.columns import TABLE
from tarelot.workbook_templates.lot.held.lot import Lot
from tarelot.workbook_templates.updates.plan import Plan, sheet_rows

TYPED = 1 | 2 | 4 | 8 | 16
"""com.sun.star.sheet.CellFlags: numbers, dates, texts, notes and formulas; what is left is the look of a cell."""
IMPORT_STEP = "Import "
"""How the step of the undo is called that an import is."""
NOT_SAVED = "Nothing is saved yet"
TO_KEEP = f"{NOT_SAVED}. To keep this, save as usual. To take it back, undo once (Ctrl+Z)."
"""What is said after each step, whose other words stand before it."""
NOTES = 8
"""com.sun.star.sheet.CellFlags.ANNOTATION"""
MATCH = "Match"
"""The table of which each row asks a row of the Lot."""


class Undisturbed:
    """Nothing is shown or calculated until all is done that is done inside.

    A class, as every context here: contextlib's own writes the traceback into an error that passes, which
    LibreOffice's errors do not take.
    """

    def __init__(self, document: Any) -> None:
        self._document = document
        self._automatic = document.isAutomaticCalculationEnabled()

    def __enter__(self) -> None:
        self._document.lockControllers()
        self._document.enableAutomaticCalculation(False)

    def __exit__(self, *_error: object) -> None:
        self._document.enableAutomaticCalculation(self._automatic)
        self._document.unlockControllers()


class OneStep(Undisturbed):
    """Everything done inside is one step of undo; where it fails, the workbook is as it was before.

    Raises:
        MenuError: The workbook may only be read.
    """

    def __init__(self, document: Any, title: str) -> None:
        if document.isReadonly():
            raise MenuError("This workbook may only be read here: save it under another name first.")
        super().__init__(document)
        self._title, self._steps = title, document.UndoManager
        self._before = self._steps.getAllUndoActionTitles()

    def __enter__(self) -> None:
        super().__enter__()
        self._steps.enterUndoContext(self._title)

    def __exit__(self, kind: object = None, *error: object) -> None:
        self._steps.leaveUndoContext()
        if kind is not None and self._steps.getAllUndoActionTitles() != self._before:
            self._steps.undo()
        super().__exit__(kind, *error)


def import_list(document: Any, plan: Plan[Lot], step: Callable[[int], None] = lambda _: None) -> None:
    """Write what a list changes and adds into the open workbook.

    Args:
        document: The workbook, in which nothing was changed since the plan was made.
        plan: The plan.
        step: Told how many fields are written, for a progress display.

    Raises:
        MenuError: The sheet is protected, something stands below the table, or a cell does not take its value; the
            workbook is as it was before.
    """
    lot, rows = plan.lot, sheet_rows(plan)
    sheet = document.Sheets.getByName(lot.sheet)
    if sheet.isProtected():
        raise MenuError(f"The sheet {lot.sheet} is protected: take the protection off first.")
    fields: dict[tuple[str, bool], dict[int, Any]] = {}
    for row in plan.rows:
        for change in row.changes:
            number = rows[row.number]
            # What the table grows by is emptied whole where its growth is undone.
            was_blank = change.old is None and number <= lot.last_row
            fields.setdefault((lot.columns[change.heading], was_blank), {})[number] = change.new
    new = {rows[row.number] for row in plan.rows if row.status == "new"}
    last = max([lot.last_row, *new])
    if last > lot.last_row:
        _refuse_what_stands_below(document, sheet)
    with OneStep(document, f"{IMPORT_STEP}{plan.table.source.split(',')[0]}"):
        if last > lot.last_row:
            grow(document, sheet, TABLE, lot.last_row, last, {lot.columns[heading] for heading in lot.inputs()})
            grow_match(document, last - lot.first_row + 1)
        count = 0
        for (column, was_blank), values in fields.items():
            for first, end in _runs(values):
                cells = sheet.getCellRangeByName(f"{column}{first}:{column}{end}")
                put_below(document, cells, [values[number] for number in range(first, end + 1)], one_by_one=was_blank)
                count += end + 1 - first
                step(count)
        for column in result_columns(lot):
            _fill_formulas(sheet, column, new, lot.first_row, last)


def field_count(plan: Plan[Lot]) -> int:
    """How many fields an import writes."""
    return sum(len(row.changes) for row in plan.rows)


def hidden_rows(document: Any, plan: Plan[Lot]) -> int:
    """How many of the rows that an import wrote are not in sight, by a filter or because a person hid them."""
    numbers, rows = sheet_rows(plan), document.Sheets.getByName(plan.lot.sheet).getRows()
    written = {numbers[row.number] for row in plan.rows if row.changes}
    return sum(not rows.getByIndex(number - 1).IsVisible for number in written)


def _runs(numbers: Collection[int]) -> list[tuple[int, int]]:
    """The stretches of rows or columns that stand beside each other, each by its first and last."""
    starts = [number for number in sorted(numbers) if number - 1 not in numbers]
    ends = [number for number in sorted(numbers) if number + 1 not in numbers]
    return list(zip(starts, ends, strict=True))


def _refuse_what_stands_below(document: Any, sheet: Any) -> None:
    """Refuse to lengthen the Lot over what a person typed below it."""
    below = filled_below(sheet, lot_range(document).getDataArea())
    if below:
        where = below[0][1].AbsoluteName.replace("$", "")
        raise MenuError(f"{where} stands below the table: choose Add rows first, which takes it in. Nothing was done.")


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
    above = {c: sheet.getCellByPosition(c, old) for c in range(area.StartColumn, area.EndColumn + 1)}
    typed = {c for c, cell in above.items() if cell.getType() != FORMULA or column_letters(c + 1) in inputs}
    for first, end in _runs(typed):
        sheet.getCellRangeByPosition(first, old + 1, end, last - 1).clearContents(TYPED)
    notes = sheet.getCellRangeByPosition(area.StartColumn, old + 1, area.EndColumn, last - 1).queryContentCells(NOTES)
    if notes.getCount():
        notes.clearContents(NOTES)  # they belong to one row


def grow_match(document: Any, rows: int) -> None:
    """Give Match, where there is one, a row for each row of the Lot."""
    if MATCH not in document.DatabaseRanges.ElementNames:
        return
    area = lot_range(document, MATCH).getDataArea()
    last = area.StartRow + 1 + rows
    if last > area.EndRow + 1:
        sheet = document.Sheets.getByIndex(area.Sheet)
        grow(document, sheet, MATCH, area.EndRow + 1, last, set())


def _fill_formulas(sheet: Any, column: str, new: set[int], first: int, last: int) -> None:
    """Give new trailers' results their formula where they have none, from the nearest trailer that has it."""
    cells = sheet.getCellRangeByName(f"{column}{first}:{column}{last}")
    filled = sorted({first + row for row, _ in formula_cells(cells)})
    for number in new - set(filled) if filled else ():
        nearest = min(filled, key=lambda other: abs(other - number))
        source = sheet.getCellRangeByName(f"{column}{nearest}").getRangeAddress()
        sheet.copyRange(sheet.getCellRangeByName(f"{column}{number}").getCellAddress(), source)


def filled_below(sheet: Any, area: Any) -> list[tuple[int, Any]]:
    """The cells that hold something below a table, in its columns, with their rows, counted from 0."""
    cursor = sheet.createCursor()
    cursor.gotoEndOfUsedArea(False)
    end = cursor.getRangeAddress().EndRow
    if end <= area.EndRow:
        return []
    block = sheet.getCellRangeByPosition(area.StartColumn, area.EndRow + 1, area.EndColumn, end)
    return [
        (found.StartRow + row, sheet.getCellByPosition(found.StartColumn + column, found.StartRow + row))
        for found in block.queryContentCells(CONTENTS).getRangeAddresses()
        for column in range(found.EndColumn - found.StartColumn + 1)
        for row in range(found.EndRow - found.StartRow + 1)
    ]


def last_import(document: Any) -> tuple[str, int] | None:
    """The list of the last import that can be undone, and how many steps were done after it; None without one."""
    titles = document.UndoManager.getAllUndoActionTitles()
    found = ((title, later) for later, title in enumerate(titles) if title.startswith(IMPORT_STEP))
    return next(((title.removeprefix(IMPORT_STEP), later) for title, later in found), None)


def undo(document: Any, steps: int) -> None:
    """Take the last steps back, without showing each part of them."""
    with Undisturbed(document):
        for _ in range(steps):
            document.UndoManager.undo()


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
    return f"Calculated anew: {said}. {NOT_SAVED}."
