"""Reads a list of trailers, whatever it came in, without losing or changing a cell, and writes refused rows back.

CSV is read by the standard library's own reader in its strict mode: a row is never dropped, joined or guessed at.
XLSX is read by openpyxl because it keeps error cells, which the faster readers give as blanks; ODS by ``list_ods``.
"""

from __future__ import annotations

import csv
import datetime
import io
import re
import warnings
import zipfile
import zlib
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import islice
from pathlib import Path

import openpyxl
from defusedxml.common import DefusedXmlException
from openpyxl.utils import get_column_letter
from openpyxl.utils.escape import unescape
from openpyxl.utils.exceptions import InvalidFileException

from tarelot.workbook_templates.lists.encodings import decoded
from tarelot.workbook_templates.lists.headings import REASON, known
from tarelot.workbook_templates.lists.number_formats import shown
from tarelot.workbook_templates.lists.ods import ods_sheets
from tarelot.workbook_templates.lists.quantities import Decimal, Value, is_blank
from tarelot.workbook_templates.lists.rows import ERRORS, UNSTORED, ListError, Record, restored
from tarelot.workbook_templates.ooxml.reading import Package
from tarelot.workbook_templates.ooxml.sheet_xml import SheetXml
from tarelot.workbook_templates.ooxml.splice import PackageError

DELIMITERS = {",": "comma", ";": "semicolon", "\t": "tab", "|": "bar"}
HEADING_WITHIN = 50  # rows in which the heading row must stand
HEADINGS_NEEDED = 2  # known ones, to take a row for the heading row

_SIGNATURES = {
    b"%PDF": "a PDF",
    b"\x89PNG": "a picture",
    b"\xff\xd8\xff": "a picture",
    b"{\\rtf": "a text document",
    b"\xd0\xcf\x11\xe0": "an old .xls file or protected by a password: save it as .xlsx without a password",
}
_MARKUP = re.compile(rb"(?:\xef\xbb\xbf)?\s*<(?:!doctype\s+html|html|head|table|meta|\?xml)\b", re.IGNORECASE)
MOST_HEADINGS = 8
"""Of a list without headings that we know, so many are shown."""
LONGEST_HEADING = 30
_FORMULA_TAG = re.compile(rb"<(?:\w+:)?f[\s/>]")


@dataclass(frozen=True)
class Form:
    """How a list is written, so that its refused rows can be written likewise."""

    suffix: str  # of a file in this form; an ODS list's rows are written as .xlsx
    sheet: str = ""  # of a workbook; a CSV has none
    delimiter: str = ","
    encoding: str = "utf-8"
    bom: bytes = b""
    line_end: str = "\r\n"
    names_delimiter: bool = False  # first line `sep=;`, as some spreadsheet programs write it


@dataclass(frozen=True)
class ListTable:
    """A list as it stands: text exactly as typed in a CSV; numbers, text, dates and stored results of a workbook.

    Every row below the heading row that is not blank is in `rows`. A blank cell is "". Rows are as wide as the heading
    row, save refused ones that hold more cells than that.
    """

    headings: list[str]
    rows: list[list[Value]]
    row_numbers: list[int]  # as a person sees them in a spreadsheet, counted from 1
    source: str  # "prices.csv, semicolon-separated, utf-8" or "prices.xlsx, sheet May"
    form: Form
    decimal: Decimal | None = None
    refused: dict[int, str] = field(default_factory=dict)  # row number -> why the row cannot be taken in
    notes: list[str] = field(default_factory=list)  # what a person should know of the whole list


def read_list(
    path: Path, sheet: str | None = None, *, decimal: Decimal | None = None, encoding: str | None = None
) -> ListTable:
    """The list in a CSV (or other delimited text), XLSX, XLSM or ODS file, told apart by content, not by name.

    Args:
        path: The file.
        sheet: The sheet of a workbook; needed only where more than one sheet holds a list.
        decimal: The list's decimal mark, kept for whoever reads its quantities.
        encoding: That of a delimited text, where a person names it.

    Raises:
        ListError: Not readable, empty, not a list, no such sheet, or no row with at least two headings we know.
    """
    try:
        with path.open("rb") as file:
            start = file.read(64)
            is_package = start.startswith(b"PK") and zipfile.is_zipfile(file)
        for signature, what in _SIGNATURES.items():
            if start.startswith(signature):
                raise ListError(f"{path.name} is {what}")
        if not start:
            raise ListError(f"{path.name} is empty")
        if _MARKUP.match(start):
            raise ListError(f"{path.name} is a web page, whatever its name says: open it and save it as .xlsx or .csv")
        if start.startswith(b"PK\x03\x04") and not is_package:
            raise ListError(f"{path.name} is damaged: it ends too early")
        if not is_package:
            return _read_delimited(path, sheet, decimal, encoding)
        return _read_workbook(path, sheet, decimal)
    except OSError as error:
        raise ListError(f"{path.name} cannot be read: {error.strerror or error}") from error
    except PackageError as error:
        raise _named(path.name, error) from error


def _named(name: str, error: ValueError) -> ListError:
    """The error with the list's name in it, once."""
    return ListError(str(error) if str(error).startswith(name) else f"{name}: {error}")


def table_from_rows(
    rows: Iterable[Sequence[Value]], source: str, *, form: Form | None = None, decimal: Decimal | None = None
) -> ListTable:
    """The list in rows of cells that are already values, such as the cells of an open sheet from its first row on."""
    records: list[Record] = [
        (number, ["" if cell is None else cell for cell in row]) for number, row in enumerate(rows, 1)
    ]
    return _table(records, source, form or Form(".xlsx"), decimal)


def _heading_row(records: Iterable[Record]) -> tuple[int, int]:
    """Place of the heading row among the first records, and how many of its headings we know; (-1, 0) if none."""
    for place, (_, cells) in enumerate(islice(records, HEADING_WITHIN)):
        found = {known(cell) for cell in cells if isinstance(cell, str)} - {None}
        if len(found) >= HEADINGS_NEEDED:
            return place, len(found)
    return -1, 0


def _trimmed(cells: list[Value], width: int = 0) -> list[Value]:
    """Without the blank cells to the right of `width`."""
    end = len(cells)
    while end > width and is_blank(cells[end - 1]):
        end -= 1
    return cells[:end]


def _table(records: list[Record], source: str, form: Form, decimal: Decimal | None) -> ListTable:
    place, _ = _heading_row(records)
    if place < 0:
        if not any(_trimmed(cells) for _, cells in records):
            raise ListError(f"{source} is empty")
        within = f"the first {HEADING_WITHIN} rows" if len(records) > HEADING_WITHIN else "its rows"
        raise ListError(
            f"{source}: none of {within} holds two headings that are known, such as Stock no. and GVWR (lb); "
            f"it has {_headings_there(records)}"
        )
    headings = [cell if isinstance(cell, str) else str(cell) for cell in _trimmed(records[place][1])]
    table = ListTable(headings, [], [], source, form, decimal)
    short = []
    for number, cells in records[place + 1 :]:
        if not _trimmed(cells):
            continue
        if len(cells) < len(headings):
            short.append(number)
        cells = _trimmed(cells, len(headings))
        cells += [""] * (len(headings) - len(cells))
        table.rows.append(cells)
        table.row_numbers.append(number)
        if why := _why_refused(cells, headings):
            table.refused[number] = why
    if short and not form.sheet:
        rows = "1 row has" if len(short) == 1 else f"{len(short):,} rows have"
        table.notes.append(f"{rows} fewer cells than the heading row, the first is row {short[0]}: read as blank")
    return table


def _headings_there(records: list[Record]) -> str:
    """The row that is likest to headings, in words: of the first rows the one with the most texts."""
    texts = [[cell.strip() for cell in cells if isinstance(cell, str) and cell.strip()] for _, cells in records]
    most = max(texts[:HEADING_WITHIN], key=len)
    if not most:
        return "no text there"
    cut = [heading if len(heading) <= LONGEST_HEADING else heading[:LONGEST_HEADING] + "..." for heading in most]
    more = f" and {len(cut) - MOST_HEADINGS} more" if len(cut) > MOST_HEADINGS else ""
    return ", ".join(" ".join(heading.split()) for heading in cut[:MOST_HEADINGS]) + more


def _why_refused(cells: list[Value], headings: list[str]) -> str:
    if len(cells) > len(headings):
        return (
            f"has {len(cells)} cells but the heading row only {len(headings)}: "
            "give the column a heading, or quote the cell that holds a delimiter"
        )
    for place, cell in enumerate(cells):
        if isinstance(cell, str) and ERRORS.fullmatch(cell.strip()):
            where = headings[place].strip() or f"column {get_column_letter(place + 1)}"
            if cell == UNSTORED:
                return f"{where} holds a formula whose result was never stored: open and save the list"
            return f"{where} holds the error {cell.strip()}"
    return ""


def _csv_records(text: str, delimiter: str) -> Iterator[Record]:
    """Rows numbered as a spreadsheet numbers them: a line break inside quotes does not begin a row."""
    number = 0
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    try:
        for number, cells in enumerate(reader, 1):
            yield number, list(cells)
    except csv.Error as error:
        raise ListError(f"row {number + 1} cannot be read ({error}): look at its quotation marks") from error


def _restored(records: list[Record]) -> list[Record]:
    """The records as they were before their refused rows were written; those of any other list as they stand."""
    place, _ = _heading_row(records)
    if place < 0 or not any(str(cell).strip().casefold() == REASON.casefold() for cell in records[place][1]):
        return records
    return [(number, [restored(cell) for cell in cells if isinstance(cell, str)]) for number, cells in records]


def _best_delimiter(text: str, name: str) -> str:
    """The delimiter under which the heading row holds the most headings we know."""
    best, fault, most = "", None, 0
    for delimiter in DELIMITERS:
        try:
            _, count = _heading_row(_csv_records(text, delimiter))
        except ListError as error:
            fault = fault or error
            continue
        if count > most:
            best, most = delimiter, count
    if not best and fault:
        raise ListError(f"{name}: {fault}")
    return best or ","


def _read_delimited(path: Path, sheet: str | None, decimal: Decimal | None, encoding: str | None) -> ListTable:
    if sheet is not None:
        raise ListError(f"{path.name} is not a workbook and has no sheets")
    text, encoding, bom, notes = decoded(path.read_bytes(), path.name, encoding)
    line_end = next(iter(re.findall(r"\r\n|\n|\r", text)), "\r\n")
    named = re.match(r"sep=(.)(?:\r\n|\n|\r)", text, re.IGNORECASE)
    if named:
        text = text[named.end() :]
    delimiter = named[1] if named else _best_delimiter(text, path.name)
    source = f"{path.name}, {DELIMITERS.get(delimiter, delimiter)}-separated, {encoding}"
    suffix = path.suffix if path.suffix.lower() in {".csv", ".tsv", ".tab", ".txt"} else ".csv"
    form = Form(suffix, "", delimiter, encoding, bom, line_end, bool(named))
    try:
        table = _table(_restored(list(_csv_records(text, delimiter))), source, form, decimal)
    except ListError as error:
        raise _named(path.name, error) from error
    table.notes[:0] = notes
    return table


def _read_workbook(path: Path, sheet: str | None, decimal: Decimal | None) -> ListTable:
    with zipfile.ZipFile(path) as archive:
        names = set(archive.namelist())
    sheets = ods_sheets(path) if "content.xml" in names else _xlsx_sheets(path)
    if sheet is not None:
        chosen = {name: rows for name, rows in sheets.items() if name.casefold() == sheet.casefold()}
        if not chosen:
            raise ListError(f"{path.name} has no sheet {sheet}; it has {', '.join(sheets)}")
    elif len(sheets) == 1:
        chosen = dict(sheets)
    else:
        chosen = {name: rows for name, rows in sheets.items() if _heading_row(rows)[0] >= 0}
    if len(chosen) != 1:
        which = f"more than one sheet with a list ({', '.join(chosen)})" if chosen else "no sheet with headings we know"
        raise ListError(f"{path.name} has {which}; name one of {', '.join(sheets)} with --sheet")
    ((name, rows),) = chosen.items()
    return _table(list(rows), f"{path.name}, sheet {name}", Form(".xlsx", name), decimal)


@dataclass(frozen=True)
class _XlsxSheet:
    """The rows of a worksheet, read anew by each iteration."""

    path: Path
    name: str
    part: str

    def __iter__(self) -> Iterator[Record]:
        with Package(self.path) as package:
            package.prove()
            data = package.read(self.part)
            SheetXml(data, self.name, prove=True)
            has_formulas = _FORMULA_TAG.search(data)
        books = []
        try:
            with warnings.catch_warnings():
                # openpyxl warns of what it does not keep when it saves; we only read.
                warnings.filterwarnings("ignore", module="openpyxl")
                for data_only in (True, False) if has_formulas else (True,):
                    books.append(
                        openpyxl.load_workbook(self.path, read_only=True, data_only=data_only, keep_links=False)
                    )
                for book in books:
                    book[self.name].reset_dimensions()  # what a file says of its size is not always true
                for number, rows in enumerate(zip(*(book[self.name].iter_rows() for book in books), strict=True), 1):
                    record = [_xlsx_value(*cells) for cells in zip(*rows, strict=True)]
                    if _trimmed(record):
                        yield number, record
        except (InvalidFileException, SyntaxError, DefusedXmlException, zipfile.BadZipFile, zlib.error) as error:
            # SyntaxError: what the standard library and lxml both call XML that is not well-formed.
            raise ListError(f"{self.path.name} is damaged: {error}") from error
        except (ValueError, KeyError, TypeError, IndexError, AttributeError) as error:
            # openpyxl has no error of its own for a part that is not as the standard has it.
            raise ListError(f"{self.path.name} is not a sound workbook: {error!r}") from error
        finally:
            for book in books:
                book.close()


def _xlsx_sheets(path: Path) -> dict[str, Iterable[Record]]:
    with Package(path) as package:
        return {
            sheet.name: _XlsxSheet(path, sheet.name, sheet.part)
            for sheet in package.sheets
            if sheet.kind == "worksheet"
        }


def _xlsx_value(cell: object, formula: object = None) -> Value:
    value = getattr(cell, "value", None)
    if isinstance(value, str):
        return str(unescape(value))  # the standard writes a return as _x000D_
    if value is None and getattr(formula, "data_type", "") == "f" and getattr(cell, "data_type", "") != "str":
        return UNSTORED
    if value is None:
        return ""
    if isinstance(value, (int, float)):
        return shown(value, _number_format(cell))
    return value if isinstance(value, (datetime.date, datetime.time, datetime.timedelta)) else str(value)


def _number_format(cell: object) -> str:
    """The cell's number format; the plain one where the workbook's styles are damaged, as for any other cell there."""
    try:
        return str(getattr(cell, "number_format", "General"))
    except IndexError:  # openpyxl's, for a style that the workbook does not have
        return "General"
