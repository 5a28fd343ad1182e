"""The rows of a list that were refused, written back in the list's own form, so that they can be mended."""

from __future__ import annotations

import errno
import io
import re
from collections.abc import Mapping
from pathlib import Path

import openpyxl

from tarelot.workbook_templates.lists.delimited import delimited_bytes
from tarelot.workbook_templates.lists.quantities import Value
from tarelot.workbook_templates.lists.rows import ListError
from tarelot.workbook_templates.lists.table import ListTable, refused_rows
from tarelot.workbook_templates.ooxml.cell_xml import with_escapes
from tarelot.workbook_templates.ooxml.safe_file import new_file

# openpyxl writes through lxml where that happens to be there, which has an error of its own for a full disk.
try:
    from lxml.etree import SerialisationError  # type: ignore[import-untyped]
except ImportError:

    class SerialisationError(Exception):  # type: ignore[no-redef]
        """Raised by nothing: without lxml a full disk is an OSError."""


def write_list(path: Path, table: ListTable, reasons: Mapping[int, str]) -> None:
    """Write the rows that `reasons` names, in the list's own form, with a last column `Reason`, to a new file.

    Args:
        path: The new file; its name should end in `table.form.suffix`.
        table: The list.
        reasons: Row number -> why the row was refused.

    Raises:
        ListError: The file exists or cannot be written.
    """
    rows = refused_rows(table, reasons)
    is_workbook = table.form.sheet or table.form.suffix == ".xlsx"
    try:
        content = _xlsx(rows, table.form.sheet) if is_workbook else delimited_bytes(rows, table.form)
        new_file(path, lambda new: new.write_bytes(content))
    except FileExistsError as error:
        raise ListError(f"{path.name} exists already and may hold rows that were mended: move it first") from error
    except OSError as error:
        raise ListError(f"{path.name} cannot be written: {error.strerror or error}") from error


def _xlsx(rows: list[list[Value]], sheet: str) -> bytes:
    """The cells as a workbook."""
    book = openpyxl.Workbook()
    book.remove(book.worksheets[0])
    page = book.create_sheet(re.sub(r"[\\/*?:\[\]]", " ", sheet)[:31] or "Refused")
    for at, cells in enumerate(rows, 1):
        for column, value in enumerate(cells, 1):
            held = with_escapes(value) if isinstance(value, str) else value
            cell = page.cell(at, column, None if held == "" else held)
            if isinstance(value, str) and value:
                cell.data_type = "s"  # text that begins with "=" is text, and so is "#N/A"
    out = io.BytesIO()  # where a disk is full, openpyxl leaves the package it writes open
    try:
        book.save(out)
    except SerialisationError as error:  # of the temporary files that it writes sheets to first
        raise OSError(errno.ENOSPC, f"no room in the folder for temporary files: {error}") from error
    return out.getvalue()
