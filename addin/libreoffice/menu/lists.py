"""Reads a list for the menu, by what LibreOffice itself can open, and writes its refused rows back.

Delimited text is read and written by the same code as by the command, since LibreOffice would make dates and numbers
of what is not certain. A workbook is loaded hidden, without its macros and links, and its cells are asked.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any

import unohelper  # type: ignore[import-not-found]
from com.sun.star.beans import PropertyValue  # type: ignore[import-not-found]
from com.sun.star.lang import IllegalArgumentException  # type: ignore[import-not-found]
from com.sun.star.uno import Exception as OfficeException  # type: ignore[import-not-found]

from tarelot.addin.libreoffice.menu.cells import list_values, put, used_cells
from tarelot.addin.libreoffice.menu.lot import name_of
from tarelot.workbook_templates.lists.delimited import delimited_bytes, file_kind, read_delimited
from tarelot.workbook_templates.lists.quantities import Decimal, Value
from tarelot.workbook_templates.lists.rows import MOST_CELLS, ListError, Record
from tarelot.workbook_templates.lists.table import ListTable, refused_rows, sheet_table, table_of_sheets, trimmed
from tarelot.workbook_templates.ooxml.safe_file import new_file

AT_A_TIME = 2_000
"""Rows of a sheet that are asked for in one call."""
SPREADSHEET = "com.sun.star.sheet.SpreadsheetDocument"
XLSX = "Calc MS Excel 2007 XML"
NEVER = 0
"""com.sun.star.document.MacroExecMode.NEVER_EXECUTE, com.sun.star.document.UpdateDocMode.NO_UPDATE"""


def properties(**values: Any) -> tuple[Any, ...]:
    """The values as UNO property values."""
    return tuple(PropertyValue(name, 0, value, 0) for name, value in values.items())


def read_list(desktop: Any, path: Path, sheet: str | None, decimal: Decimal | None) -> ListTable:
    """The list in a file.

    Args:
        desktop: LibreOffice's desktop, which opens workbooks.
        path: The file.
        sheet: The sheet of a workbook; needed only where more than one sheet holds a list.
        decimal: The list's decimal mark, where a person says it.

    Raises:
        SheetsError: Not one sheet alone holds a list.
        ListError: Not readable, empty, not a list, or no row with at least two headings we know.
    """
    try:
        if file_kind(path) == "text":
            return read_delimited(path, decimal=decimal)
    except OSError as error:
        raise ListError(f"{path.name} cannot be read: {error.strerror or error}") from error
    with _Opened(desktop, path) as document:
        sheets = {
            found.getName(): _Sheet(document, found)
            for found in (document.Sheets.getByIndex(place) for place in range(document.Sheets.getCount()))
        }
        return table_of_sheets(sheets, path.name, sheet, decimal)


def pasted_list(document: Any, sheet: str, decimal: Decimal | None) -> ListTable:
    """The list that was pasted into a sheet of the open workbook.

    Raises:
        ListError: There is no such sheet, or no list in it.
    """
    if not document.Sheets.hasByName(sheet):
        raise ListError(f"{name_of(document)} has no sheet {sheet}; it has {', '.join(document.Sheets.ElementNames)}")
    rows = _Sheet(document, document.Sheets.getByName(sheet))
    return sheet_table(rows, f"{name_of(document)}, sheet {sheet}", sheet, decimal)


class _Sheet:
    """The rows of a sheet, read anew by each iteration."""

    def __init__(self, document: Any, sheet: Any) -> None:
        self._document, self._sheet = document, sheet
        self.hidden: set[int] = set()

    def __iter__(self) -> Iterator[Record]:
        end = used_cells(self._sheet).getRangeAddress()
        if (end.EndRow + 1) * (end.EndColumn + 1) > MOST_CELLS:
            raise ListError(f"the sheet {self._sheet.getName()} has more than {MOST_CELLS:,} cells")
        self.hidden = set(range(1, end.EndRow + 2))
        for block in used_cells(self._sheet).queryVisibleCells().getRangeAddresses():
            self.hidden.difference_update(range(block.StartRow + 1, block.EndRow + 2))
        for first in range(0, end.EndRow + 1, AT_A_TIME):
            last = min(first + AT_A_TIME - 1, end.EndRow)
            cells = self._sheet.getCellRangeByPosition(0, first, end.EndColumn, last)
            for number, row in enumerate(list_values(self._document, cells), first + 1):
                if trimmed(row):
                    yield number, row


class _Opened:
    """A workbook, loaded where nobody sees it; a class, as ``Undisturbed`` says."""

    def __init__(self, desktop: Any, path: Path) -> None:
        self._desktop, self._path = desktop, path

    def __enter__(self) -> Any:
        options = properties(Hidden=True, ReadOnly=True, MacroExecutionMode=NEVER, UpdateDocMode=NEVER)
        try:
            url = unohelper.systemPathToFileUrl(str(self._path))
            self._document = self._desktop.loadComponentFromURL(url, "_blank", 0, options)
        except (OfficeException, IllegalArgumentException) as error:
            raise ListError(f"{self._path.name} cannot be opened: {error.Message or 'it is damaged'}") from error
        if self._document is None:
            raise ListError(f"{self._path.name} cannot be opened: it is damaged, or protected by a password")
        if not self._document.supportsService(SPREADSHEET):
            self._document.close(True)
            raise ListError(f"{self._path.name} is not a spreadsheet")
        return self._document

    def __exit__(self, *_error: object) -> None:
        self._document.close(True)


def write_refused(desktop: Any, path: Path, table: ListTable, reasons: Mapping[int, str]) -> None:
    """Write the rows of a list that were refused to a new file, in the list's own form, with a last column Reason.

    Args:
        desktop: LibreOffice's desktop, which makes workbooks.
        path: The new file.
        table: The list.
        reasons: Row number -> why the row was refused.

    Raises:
        ListError: The file exists, or cannot be written.
    """
    rows = refused_rows(table, reasons)
    is_workbook = table.form.sheet or table.form.suffix == ".xlsx"
    try:
        if is_workbook:
            new_file(path, lambda new: _write_workbook(desktop, new, rows, table.form.sheet))
        else:
            content = delimited_bytes(rows, table.form)
            new_file(path, lambda new: new.write_bytes(content))
    except FileExistsError as error:
        raise ListError(f"{path.name} exists already and may hold rows that were mended: move it first") from error
    except (OSError, OfficeException) as error:
        why = getattr(error, "strerror", None) or getattr(error, "Message", None) or error
        raise ListError(f"{path.name} cannot be written: {why}") from error


def _write_workbook(desktop: Any, path: Path, rows: Iterable[list[Value]], name: str) -> None:
    """A workbook with one sheet of these cells: texts stay texts, and dates are dates."""
    document = desktop.loadComponentFromURL("private:factory/scalc", "_blank", 0, properties(Hidden=True))
    try:
        sheet = document.Sheets.getByIndex(0)
        sheet.setName(name or "Refused")
        for number, cells in enumerate(rows):
            for column, value in enumerate(cells):
                if value not in ("", None):
                    put(document, sheet.getCellByPosition(column, number), value)
        document.storeToURL(unohelper.systemPathToFileUrl(str(path)), properties(FilterName=XLSX))
    finally:
        document.close(True)
