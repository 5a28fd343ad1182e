"""The rows of a list that were refused, written back in the list's own form, so that they can be mended."""

from __future__ import annotations

import csv
import errno
import io
import re
from collections.abc import Mapping
from pathlib import Path

import openpyxl
from openpyxl.utils.exceptions import IllegalCharacterError

from tarelot.workbook_templates.lists.headings import REASON
from tarelot.workbook_templates.lists.quantities import Value
from tarelot.workbook_templates.lists.reading import Form, ListTable
from tarelot.workbook_templates.lists.rows import ListError, defused
from tarelot.workbook_templates.ooxml.safe_file import new_file

# openpyxl writes through lxml where that happens to be there, which has an error of its own for a full disk.
try:
    from lxml.etree import SerialisationError  # type: ignore[import-untyped]
except ImportError:

    class SerialisationError(Exception):  # type: ignore[no-redef]
        """Raised by nothing: without lxml a full disk is an OSError."""


def write_list(path: Path, table: ListTable, reasons: Mapping[int, str]) -> None:
    """Write the rows that `reasons` names, in the list's own form, with a last column `Reason`, to a new file.

    The file can be mended and taken in as a list of its own: headings and cells are the list's, `Reason` is ignored.
    A `Reason` column that the list already has is written anew, so that a list mended twice does not grow a second one.

    Args:
        path: The new file; its name should end in `table.form.suffix`.
        table: The list.
        reasons: Row number -> why the row was refused.

    Raises:
        ListError: The file exists, cannot be written, or a cell cannot stand in a workbook.
    """
    old = [place for place, heading in enumerate(table.headings) if heading.strip().casefold() == REASON.casefold()]
    keep = [place for place in range(len(table.headings)) if place not in old]
    rows: list[list[Value]] = [[*(table.headings[place] for place in keep), REASON]]
    for number, cells in zip(table.row_numbers, table.rows, strict=True):
        if number in reasons:
            extra = cells[len(table.headings) :]
            why = " ".join(reasons[number].split())
            # A row that is too wide keeps its width, or it would be read as sound: the reason stands in its place and
            # the cells that have no heading behind it.
            rows.append([cells[place] for place in keep] + [why] + extra)
    missing = set(reasons) - set(table.row_numbers)
    if missing:
        raise ListError(f"{table.source} has no row {min(missing)}")
    is_workbook = table.form.sheet or table.form.suffix == ".xlsx"
    try:
        content = _xlsx(rows, table.form.sheet) if is_workbook else _delimited(rows, table.form)
        new_file(path, lambda new: new.write_bytes(content))
    except FileExistsError as error:
        raise ListError(f"{path.name} exists already and may hold rows that were mended: move it first") from error
    except OSError as error:
        raise ListError(f"{path.name} cannot be written: {error.strerror or error}") from error


def _delimited(rows: list[list[Value]], form: Form) -> bytes:
    """The cells as text in which none starts a formula in a spreadsheet program; read again they are as they stood."""
    out = io.StringIO(newline="")
    if form.names_delimiter:
        out.write(f"sep={form.delimiter}{form.line_end}")
    sparing = csv.writer(out, delimiter=form.delimiter, lineterminator=form.line_end)
    quoting = csv.writer(out, delimiter=form.delimiter, lineterminator=form.line_end, quoting=csv.QUOTE_ALL)
    for given in rows:
        cells = [defused(cell) if isinstance(cell, str) else cell for cell in given]
        # The sparing writer leaves a return bare where lines end otherwise, and a reader takes it for a line's end.
        breaks = any(isinstance(cell, str) and re.search(r"[\r\n]", cell) for cell in cells)
        (quoting if breaks else sparing).writerow(cells)
    return form.bom + out.getvalue().encode(form.encoding, "backslashreplace")


def _xlsx(rows: list[list[Value]], sheet: str) -> bytes:
    """The cells as a workbook."""
    book = openpyxl.Workbook()
    book.remove(book.worksheets[0])
    page = book.create_sheet(re.sub(r"[\\/*?:\[\]]", " ", sheet)[:31] or "Refused")
    try:
        for at, cells in enumerate(rows, 1):
            for column, value in enumerate(cells, 1):
                cell = page.cell(at, column, None if value == "" else value)
                if isinstance(value, str) and value:
                    cell.data_type = "s"  # text that begins with "=" is text, and so is "#N/A"
    except IllegalCharacterError as error:
        raise ListError(f"a cell of the list holds a control character: {error}") from error
    out = io.BytesIO()  # where a disk is full, openpyxl leaves the package it writes open
    try:
        book.save(out)
    except SerialisationError as error:  # of the temporary files that it writes sheets to first
        raise OSError(errno.ENOSPC, f"no room in the folder for temporary files: {error}") from error
    return out.getvalue()
