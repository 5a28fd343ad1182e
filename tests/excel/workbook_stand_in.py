"""A workbook open in Excel, as far as xlwings asks for one: Excel's objects over openpyxl's workbook.

    book, excel = open_in_excel(Path("lot.xlsx"))     # an xlwings.Book, and the workbook behind it

Nothing here was run in Excel. Stood in for: Application, Workbook, Worksheets, Worksheet, Range, ListObjects and
PageSetup, each with the members that xlwings calls. Real: xlwings' own Book, Sheets, Range and Table for Windows, with
its conversion of values both ways.

From the published description of Excel's object model, not from a running Excel: a text put into a cell becomes a
number or a formula where it looks like one, save with ' before it or in a cell formatted as text; a number read is a
double, of a cell formatted as money a Decimal; a formula for several cells is the first one's, filled down; AutoFill
copies a row into those below; what an empty cell holds is None; NumberFormat is None where cells differ. Nothing is
calculated: a formula that was put in holds nothing. Entry rules do not grow with a table here.
"""
# ruff: noqa: N802, N803  (names are Excel's)

from __future__ import annotations

import datetime
import sys
import types
from collections.abc import Iterator
from copy import copy
from decimal import Decimal
from functools import cached_property
from pathlib import Path
from typing import Any

import openpyxl
from openpyxl.cell import Cell
from openpyxl.formula.translate import Translator
from openpyxl.utils import get_column_letter, range_boundaries

from tests.excel.xlwings_stand_in import ComError, load_udf_module

AUTOMATIC = -4105  # xlCalculationAutomatic


class Application:
    """Excel itself; ``chosen`` is what a person picks in its file dialog, False where it is cancelled."""

    Hwnd = 1
    Calculation = AUTOMATIC
    ScreenUpdating = True
    DisplayAlerts = True
    chosen: str | bool = False
    signs = {3: ".", 4: ","}  # xlDecimalSeparator, xlThousandsSeparator

    def International(self, Index: int) -> str:
        return self.signs[Index]

    def GetOpenFilename(self, FileFilter: str, FilterIndex: int, Title: str) -> str | bool:
        assert FileFilter.count(",") % 2 == 1, "pairs of words and patterns"
        return self.chosen


class Workbook:
    """An open workbook."""

    def __init__(self, path: Path) -> None:
        self.behind, self._path = openpyxl.load_workbook(path), path
        self.Application = Application()
        self.Name, self.Path, self.FullName = path.name, str(path.parent), str(path)
        self.locked: set[str] = set()
        self.filtered: set[str] = set()
        self.refuses: set[str] = set()
        """Cells that do not take a value, as ``Lot!E7``."""
        self.password = ""
        self.saved = types.SimpleNamespace(get=lambda: True)  # as on macOS

    @cached_property
    def results(self) -> Any:
        """What the formulas of the file came to, before anything was done here."""
        return openpyxl.load_workbook(self._path, data_only=True)

    @property
    def Worksheets(self) -> Worksheets:
        return Worksheets(self)

    @property
    def ActiveSheet(self) -> Worksheet:
        return Worksheet(self, self.behind.active)

    @property
    def ProtectStructure(self) -> bool:
        return bool(self.behind.security and self.behind.security.lockStructure)

    def Unprotect(self, Password: str) -> None:
        if Password != self.password:
            raise ComError("the password is not correct")
        self.behind.security.lockStructure = False

    def Protect(self, Password: str, Structure: bool) -> None:
        self.password, self.behind.security.lockStructure = Password, Structure

    @property
    def protect_structure(self) -> Any:  # as on macOS
        return types.SimpleNamespace(get=lambda: self.ProtectStructure)

    def unprotect(self, password: str) -> None:
        self.Unprotect(password)

    def protect_workbook(self, structure: bool) -> None:
        self.Protect("", structure)

    def Activate(self) -> None:
        """It is in front already."""

    def SaveCopyAs(self, Filename: str) -> None:
        self.behind.save(Filename)


class Worksheets:
    def __init__(self, book: Workbook) -> None:
        self.Parent = book

    @property
    def Count(self) -> int:
        return len(self.Parent.behind.worksheets)

    def __call__(self, key: str | int) -> Worksheet:
        try:
            sheets = self.Parent.behind
            return Worksheet(self.Parent, sheets.worksheets[key - 1] if isinstance(key, int) else sheets[key])
        except (KeyError, IndexError) as error:
            raise ComError(key) from error

    def __iter__(self) -> Iterator[Worksheet]:
        return (Worksheet(self.Parent, sheet) for sheet in self.Parent.behind.worksheets)

    def Add(self, Before: Worksheet) -> Worksheet:
        if self.Parent.ProtectStructure:
            raise ComError("the workbook is protected")
        return Worksheet(self.Parent, self.Parent.behind.create_sheet(index=Before.Index - 1))


class Worksheet:
    def __init__(self, book: Workbook, behind: Any) -> None:
        self.Parent, self.behind = book, behind
        self.PageSetup = PageSetup(behind)
        self.Cells = Cells(self)

    @property
    def Name(self) -> str:
        return str(self.behind.title)

    @Name.setter
    def Name(self, name: str) -> None:
        self.behind.title = name

    @property
    def Index(self) -> int:
        return int(self.Parent.behind.worksheets.index(self.behind)) + 1

    @property
    def ProtectContents(self) -> bool:
        return self.Name in self.Parent.locked

    @property
    def protect_contents(self) -> Any:  # as on macOS
        return types.SimpleNamespace(get=lambda: self.ProtectContents)

    @property
    def filter_mode(self) -> Any:
        return types.SimpleNamespace(get=lambda: self.Name in self.Parent.filtered)

    @property
    def UsedRange(self) -> Range:
        return Range(self, 1, 1, self.behind.max_row, self.behind.max_column)

    @property
    def ListObjects(self) -> ListObjects:
        return ListObjects(self)

    def Range(self, first: str | Range, last: Range | None = None) -> Range:
        if isinstance(first, str):
            left, top, right, bottom = range_boundaries(first)
            return Range(self, top, left, bottom, right)
        assert last is not None
        return Range(self, first.Row, first.Column, last.Row, last.Column)

    def Move(self, Before: Worksheet) -> None:
        self.Parent.behind.move_sheet(self.behind, Before.Index - self.Index)

    def Activate(self) -> None:
        self.Parent.behind.active = self.Index - 1


class Cells:
    """All cells of a sheet."""

    def __init__(self, sheet: Worksheet) -> None:
        self._sheet = sheet

    def __call__(self, row: int, column: int) -> Range:
        return Range(self._sheet, row, column, row, column)

    def Clear(self) -> None:
        self._sheet.behind.delete_rows(1, self._sheet.behind.max_row)


class PageSetup:
    def __init__(self, behind: Any) -> None:
        self._behind = behind

    @property
    def PrintArea(self) -> str:
        return str(self._behind.print_area or "").rpartition("!")[2]

    @PrintArea.setter
    def PrintArea(self, area: str) -> None:
        self._behind.print_area = area


class Range:
    """A block of cells by its outer rows and columns."""

    def __init__(self, sheet: Worksheet, top: int, left: int, bottom: int, right: int) -> None:
        self.Worksheet, self.Row, self.Column = sheet, top, left
        self.Rows = types.SimpleNamespace(Count=bottom - top + 1)
        self.Columns = types.SimpleNamespace(Count=right - left + 1)
        self.Count = self.Rows.Count * self.Columns.Count
        self.Interior, self.Font = types.SimpleNamespace(Color=None), types.SimpleNamespace()
        self.WrapText = self.ColumnWidth = None

    def __call__(self, row: int, column: int) -> Range:
        return self.Worksheet.Cells(self.Row + row - 1, self.Column + column - 1)

    @property
    def cells(self) -> list[list[Cell]]:
        rows, columns = range(self.Rows.Count), range(self.Columns.Count)
        return [[self.Worksheet.behind.cell(self.Row + r, self.Column + c) for c in columns] for r in rows]

    @property
    def NumberFormat(self) -> str | None:
        found = {cell.number_format for row in self.cells for cell in row}
        return found.pop() if len(found) == 1 else None

    @property
    def Value(self) -> object:
        return self._shaped([[self._value(cell) for cell in row] for row in self.cells])

    @Value.setter
    def Value(self, given: Any) -> None:
        rows = given if isinstance(given, list | tuple) else [[given] * self.Columns.Count] * self.Rows.Count
        assert (len(rows), len(rows[0])) == (self.Rows.Count, self.Columns.Count)
        for cells, values in zip(self.cells, rows, strict=True):
            for cell, value in zip(cells, values, strict=True):
                self._put(cell, value)

    @property
    def Formula(self) -> object:
        return self._shaped([[_formula(cell) for cell in row] for row in self.cells])

    @Formula.setter
    def Formula(self, given: Any) -> None:
        for place, cell in enumerate(row[0] for row in self.cells):
            text = given if isinstance(given, str) else given[place][0]
            moved = isinstance(given, str) and place
            origin = f"{get_column_letter(self.Column)}{self.Row}"
            cell.value = Translator(text, origin).translate_formula(cell.coordinate) if moved else text
            cell.data_type = "f"

    def Clear(self) -> None:
        for cell in (cell for row in self.cells for cell in row):
            cell.value, cell.style = None, "Normal"

    def ClearContents(self) -> None:
        for cell in (cell for row in self.cells for cell in row):
            cell.value = None

    def AutoFill(self, Destination: Range, Type: int) -> None:
        assert (Type, self.Rows.Count, Destination.Row) == (1, 1, self.Row), "xlFillCopy of one row down"
        (source,) = self.cells
        for row in Destination.cells[1:]:
            for old, new in zip(source, row, strict=True):
                is_formula = old.data_type == "f"
                new._style = copy(old._style)
                new.value = (
                    Translator(old.value, old.coordinate).translate_formula(new.coordinate) if is_formula else old.value
                )

    def _shaped(self, rows: list[list[Any]]) -> object:
        return rows[0][0] if self.Count == 1 else tuple(tuple(row) for row in rows)

    def _value(self, cell: Cell) -> object:
        if cell.data_type == "f":
            return self.Worksheet.Parent.results[self.Worksheet.Name][cell.coordinate].value
        if isinstance(cell.value, int | float) and not isinstance(cell.value, bool):
            return Decimal(f"{cell.value:.4f}") if "$" in cell.number_format else float(cell.value)
        if isinstance(cell.value, datetime.date) and not isinstance(cell.value, datetime.datetime):
            return datetime.datetime.combine(cell.value, datetime.time())
        return cell.value

    def _put(self, cell: Cell, value: Any) -> None:
        if f"{self.Worksheet.Name}!{cell.coordinate}" in self.Worksheet.Parent.refuses:
            return
        if isinstance(value, datetime.datetime):
            value = value.replace(tzinfo=None)
        as_it_is = not isinstance(value, str) or cell.number_format == "@"
        if isinstance(value, str) and not as_it_is:
            as_it_is = value.startswith("'")
            value = value.removeprefix("'") if as_it_is else _taken_for(value)
        form = cell.number_format
        cell.value = None if value == "" else value
        if form != "General":  # openpyxl gives dates a format of their own
            cell.number_format = form
        if as_it_is and isinstance(value, str) and value:
            cell.data_type = "s"


def _taken_for(text: str) -> object:
    """What Excel makes of a text typed into a cell."""
    try:
        return float(text.replace(",", ""))
    except ValueError:
        return text


def _formula(cell: Cell) -> object:
    """What Range.Formula gives: a formula's text, a constant as text."""
    return "" if cell.value is None else str(cell.value)


class ListObjects:
    def __init__(self, sheet: Worksheet) -> None:
        self._sheet = sheet

    def Item(self, name: str) -> ListObject:
        if name not in self._sheet.behind.tables:
            raise ComError(name)
        return ListObject(self._sheet, self._sheet.behind.tables[name])


class ListObject:
    """A table."""

    def __init__(self, sheet: Worksheet, behind: Any) -> None:
        self._sheet, self._behind = sheet, behind
        self.Name = behind.name
        self.ShowAutoFilter = behind.autoFilter is not None
        self.AutoFilter = types.SimpleNamespace(FilterMode=sheet.Name in sheet.Parent.filtered)

    def Resize(self, Range: Range) -> None:
        end = f"{get_column_letter(Range.Column + Range.Columns.Count - 1)}{Range.Row + Range.Rows.Count - 1}"
        ref = f"{get_column_letter(Range.Column)}{Range.Row}:{end}"
        assert ref.partition(":")[0] == self._behind.ref.partition(":")[0], "a table keeps its headings' row"
        self._behind.ref = ref
        if self._behind.autoFilter is not None:
            self._behind.autoFilter.ref = ref


def open_in_excel(path: Path) -> tuple[Any, Workbook]:
    """An ``xlwings.Book`` of a file, and the stand-in behind it, in which a person can type."""
    load_udf_module()
    library = sys.modules["xlwings"]
    behind = Workbook(path)
    anything, windows = types.SimpleNamespace, library._xlwindows
    windows.win32timezone.TimeZoneInfo = anything(utc=lambda: datetime.timezone.utc)
    windows.windll.user32 = anything(GetForegroundWindow=lambda: 1, SetWindowPos=lambda *place: 1)
    windows.is_hwnd_xl_app = lambda window: False
    windows.get_excel_hwnds = lambda: [behind.Application.Hwnd]
    windows.get_xl_app_from_hwnd = lambda window: behind.Application
    return library.Book(impl=library._xlwindows.Book(xl=behind)), behind
