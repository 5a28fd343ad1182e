"""Writes what an import changes into the workbook that is open in Excel, through xlwings; all of it or nothing.

A column's cells that stand below one another are written in one call: each call goes to another program. Text is
written with the mark ' before it, without which Excel would make a number of 01107 and a date of 3-5. What was written
is read back. Nothing here was run in Excel; `run_main` says what was.
"""

from __future__ import annotations

import datetime
import math
import re
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from decimal import Decimal
from functools import partial
from typing import Any

from openpyxl.utils.cell import coordinate_to_tuple, get_column_letter

from tarelot.workbook_templates.lot.reading import LotSheet
from tarelot.workbook_templates.ooxml.cell_xml import CellValue, Formula
from tarelot.workbook_templates.ooxml.package import tables
from tarelot.workbook_templates.ooxml.table_rows import Table
from tarelot.workbook_templates.updates.apply import Writes
from tarelot.workbook_templates.updates.fields import SAME_WITHIN
from tarelot.workbook_templates.updates.plan import Plan

ON_WINDOWS = sys.platform == "win32"
TEXT_FORMAT = "@"
MONEY_WITHIN = 5e-5
"""Excel hands over four decimals of an amount of money."""

Cells = Mapping[tuple[int, int], CellValue]
"""Values by column and row."""
Back = list[Callable[[], object]]
"""What takes each step back."""


class ExcelError(ValueError):
    """Excel does not let the workbook be read or changed; the message is one line."""


def write(book: Any, plan: Plan[LotSheet], new: Writes) -> None:
    """Write what a plan changes into the open workbook; it is not saved.

    Args:
        book: The workbook, an ``xlwings.Book``, in which nothing was changed since the plan was made.
        plan: The plan, of a copy of the workbook.
        new: What it writes.

    Raises:
        ExcelError: A sheet is protected or filtered, or a cell does not take its value; the workbook is then as before.
    """
    places = {table.name.casefold(): table for table in tables(plan.lot.path)}
    grown = [(places[name.casefold()], rows) for name, rows in new.rows.items()]
    changed = {name for name, cells in new.cells.items() if cells} | {table.sheet for table, _ in grown}
    for name in sorted(changed):
        if is_so(book.sheets[name], "ProtectContents", "protect_contents"):
            raise ExcelError(f"the sheet {name} is protected: take the protection off first (Review > Unprotect)")
    for table, _ in grown:
        if _is_filtered(book.sheets[table.sheet], table.name):
            raise ExcelError(f"the sheet {table.sheet} is filtered, and new rows are wanted: clear the filter first")
    with _all_or_nothing(book) as back:
        for table, rows in grown:
            _grow(book.sheets[table.sheet], table, rows, back)
            if table.sheet == new.match_sheet:
                _grow_print_area(book.sheets[table.sheet], _end(table, rows), back)
        for name, cells in new.cells.items():
            by_place = {(c, r): value for (r, c), value in ((coordinate_to_tuple(p), v) for p, v in cells.items())}
            _put(book.sheets[name], by_place, back)


def is_so(thing: Any, windows: str, mac: str) -> bool:
    """A property of Excel's own that xlwings has no name for: yes or no."""
    return bool(getattr(thing.api, windows) if ON_WINDOWS else getattr(thing.api, mac).get())


@contextmanager
def sheets_unlocked(book: Any) -> Iterator[None]:
    """For a new sheet: takes the workbook's lock of its sheets off, which in ours has no password, and puts it back.

    Where a person gave it a password, Excel's own error says so.
    """
    is_locked = is_so(book, "ProtectStructure", "protect_structure")
    if is_locked:
        book.api.Unprotect("") if ON_WINDOWS else book.api.unprotect(password="")
    try:
        yield
    finally:
        if is_locked:
            book.api.Protect("", True) if ON_WINDOWS else book.api.protect_workbook(structure=True)


def as_text(text: str) -> str:
    """A text as it is handed to Excel, so that it stays the text it is."""
    return f"'{text}"


def _is_filtered(sheet: Any, name: str) -> bool:
    """Whether rows of a table are out of sight for a filter: AutoFill would pass them over."""
    if not ON_WINDOWS:
        return is_so(sheet, "FilterMode", "filter_mode")
    table = sheet.tables[name].api  # a sheet's own FilterMode may pass over the filter of a table
    return bool(table.ShowAutoFilter and table.AutoFilter.FilterMode)


@contextmanager
def _all_or_nothing(book: Any) -> Iterator[Back]:
    """Steps that are all taken back, the last one first, where one of them fails."""
    back: Back = []
    app = book.app
    calculation, updating = app.calculation, app.screen_updating
    # Each write would otherwise calculate the whole workbook anew.
    app.calculation, app.screen_updating = "manual", False
    try:
        yield back
    except BaseException:
        for step in reversed(back):
            step()
        raise
    finally:
        app.calculation, app.screen_updating = calculation, updating


def _end(table: Table, rows: Sequence[object]) -> int:
    """The number of the table's last row, once it has these rows more."""
    return table.last_row + len(rows) - table.waiting


def _grow(sheet: Any, table: Table, rows: Sequence[Mapping[str, CellValue]], back: Back) -> None:
    """Rows below the table's last one, which look and ask as it does."""
    area, end = table.area, _end(table, rows)

    def block(first: int, last: int) -> Any:
        return sheet.range((first, area.first_column), (last, area.last_column))

    if end > table.last_row:
        whole = sheet.tables[table.name]
        back.append(partial(whole.resize, block(area.first_row, area.last_row)))
        back.append(block(table.last_row + 1, end).clear)
        whole.resize(block(area.first_row, end))
        block(table.last_row, table.last_row).autofill(block(table.last_row, end), "fill_copy")
    # What the new row does not state is blank, save in columns that calculate: filled down already.
    last = block(table.last_row, table.last_row)
    held = last.options(ndim=2, err_to_str=True).value[0]
    calculated = {
        heading
        for heading, formula, value in zip(table.columns, last.formula[0], held, strict=True)
        if heading in table.formulas or _is_formula(formula, value)
    }
    cells = {
        (column, number): row.get(heading)
        for number, row in enumerate(rows, end - len(rows) + 1)
        for column, heading in enumerate(table.columns, area.first_column)
        if heading in row or heading not in calculated
    }
    _put(sheet, cells, back)


def _grow_print_area(sheet: Any, end: int, back: Back) -> None:
    """What is printed of Match reaches its last row."""
    before = sheet.page_setup.print_area
    if before and "," not in before:
        back.append(partial(setattr, sheet.page_setup, "print_area", before))
        sheet.page_setup.print_area = re.sub(r"[0-9]+$", str(end), before)


def _put(sheet: Any, cells: Cells, back: Back) -> None:
    """Write cells, and note what they held."""
    for column, first, values in _blocks(cells):
        block = sheet.range((first, column), (first + len(values) - 1, column))
        back.append(partial(_restore, block, _held(block), _column(block.formula)))
        _write_block(sheet, column, first, values)


def _blocks(cells: Cells) -> Iterator[tuple[int, int, list[CellValue]]]:
    """Column, first row and values of the cells that stand below one another and are alike: formulas or values."""
    start, held = (0, 0), list[CellValue]()
    for place in sorted(cells):
        follows = place == (start[0], start[1] + len(held))
        if held and not (follows and isinstance(held[0], Formula) == isinstance(cells[place], Formula)):
            yield *start, held
            held = []
        if not held:
            start = place
        held.append(cells[place])
    if held:
        yield *start, held


def _write_block(sheet: Any, column: int, first: int, values: Sequence[CellValue]) -> None:
    """Write the cells of one column that stand below one another, and look whether they hold it."""
    block = sheet.range((first, column), (first + len(values) - 1, column))
    formulas = [value for value in values if isinstance(value, Formula)]
    if formulas:
        # One that the rows share is handed over once: Excel fills it down, its references moving along.
        shared = formulas[0].group is not None
        block.formula = _formula(formulas[0]) if shared else [[_formula(one)] for one in formulas]
        return
    form = block.number_format
    if form is None and len(values) > 1:  # not the same in all of them
        for row, value in enumerate(values, first):
            _write_block(sheet, column, row, [value])
        return
    block.value = [[as_text(v) if isinstance(v, str) and form != TEXT_FORMAT else v] for v in values]
    for row, (held, value) in enumerate(zip(_held(block), values, strict=True), first):
        if not _is_held(held, value):
            place = f"{sheet.name}!{get_column_letter(column)}{row}"
            raise ExcelError(f"{place} does not take {value!r}, Excel makes {held!r} of it: look at the cell's format")


def _formula(formula: Formula) -> str:
    return f"={formula.text.removeprefix('=')}"


def _held(block: Any) -> list[Any]:
    """What the cells of a column hold."""
    return [row[0] for row in block.options(ndim=2, err_to_str=True).value]


def _column(values: Any) -> list[Any]:
    """The rows of a column as xlwings hands over formulas: one alone, or a tuple of rows."""
    return [row[0] for row in values] if isinstance(values, tuple | list) else [values]


def _is_held(held: Any, value: CellValue) -> bool:
    """Whether a cell holds what was put into it."""
    if value is None:
        return held in (None, "")
    if isinstance(value, datetime.date):
        return isinstance(held, datetime.datetime) and held.date() == value
    if isinstance(value, str) or isinstance(held, bool) or not isinstance(held, int | float | Decimal):
        return bool(held == value)
    money = MONEY_WITHIN if isinstance(held, Decimal) else 0
    return isinstance(value, int | float) and math.isclose(held, value, rel_tol=SAME_WITHIN, abs_tol=money)


def _restore(block: Any, values: Sequence[Any], formulas: Sequence[Any]) -> None:
    """Put back what cells held: a formula as one, a text as a text though it begins with =."""
    sheet, column, first = block.sheet, block.column, block.row
    for row, (value, formula) in enumerate(zip(values, formulas, strict=True), first):
        cell = sheet.range((row, column))
        if _is_formula(formula, value):
            cell.formula = formula
        else:
            cell.value = as_text(value) if isinstance(value, str) and cell.number_format != TEXT_FORMAT else value


def _is_formula(formula: Any, value: Any) -> bool:
    """Whether a cell holds a formula, by what Excel says of it, and no text that looks like one."""
    return isinstance(formula, str) and formula.startswith("=") and formula != value
