"""Reads a list of trailers out of a file, whatever it came in, without losing or changing a cell.

XLSX is read by openpyxl because it keeps error cells, which the faster readers give as blanks; ODS by ``ods/``.
"""

from __future__ import annotations

import datetime
import re
import warnings
import zipfile
import zlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from charset_normalizer import from_bytes
from defusedxml.common import DefusedXmlException
from openpyxl.cell.text import Text
from openpyxl.reader.excel import ExcelReader
from openpyxl.utils.exceptions import InvalidFileException
from openpyxl.workbook import Workbook
from openpyxl.xml.constants import SHARED_STRINGS, SHEET_MAIN_NS
from openpyxl.xml.functions import iterparse

from tarelot.workbook_templates.lists.delimited import file_kind, read_delimited
from tarelot.workbook_templates.lists.number_formats import shown
from tarelot.workbook_templates.lists.ods.reading import ods_sheets
from tarelot.workbook_templates.lists.quantities import Decimal, Value
from tarelot.workbook_templates.lists.rows import UNSTORED, ListError, Record, Rows
from tarelot.workbook_templates.lists.table import ListTable, table_of_sheets, trimmed
from tarelot.workbook_templates.ooxml.cell_xml import unescaped
from tarelot.workbook_templates.ooxml.reading import Package
from tarelot.workbook_templates.ooxml.sheet_xml import SheetXml
from tarelot.workbook_templates.ooxml.splice import PackageError

_HIDDEN_ROW = re.compile(rb"<(?:\w+:)?row\b[^>]*?\shidden=[\"'](?:1|true)")
_FORMULA_TAG = re.compile(rb"<(?:\w+:)?f[\s/>]")


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
        if file_kind(path) == "workbook":
            with zipfile.ZipFile(path) as archive:
                names = set(archive.namelist())
            sheets: Mapping[str, Rows] = ods_sheets(path) if "content.xml" in names else _xlsx_sheets(path)
            return table_of_sheets(sheets, path.name, sheet, decimal)
        if sheet is not None:
            raise ListError(f"{path.name} is not a workbook and has no sheets")
        return read_delimited(path, decimal=decimal, encoding=encoding, likely=_likely_encodings)
    except OSError as error:
        raise ListError(f"{path.name} cannot be read: {error.strerror or error}") from error
    except PackageError as error:
        said = str(error)
        raise ListError(said if said.startswith(path.name) else f"{path.name}: {said}") from error


def _likely_encodings(body: bytes) -> list[str]:
    return [match.encoding for match in from_bytes(body)]


@dataclass(frozen=True)
class _XlsxSheet:
    """The rows of a worksheet, read anew by each iteration."""

    path: Path
    name: str
    part: str
    hidden: set[int] = field(default_factory=set)

    def __iter__(self) -> Iterator[Record]:
        with Package(self.path) as package:
            package.prove()
            data = package.read(self.part)
            sheet = SheetXml(data, self.name, prove=True)
            if _HIDDEN_ROW.search(data):
                tags = ((number, data[row.start : row.open_end]) for number, row in sheet.rows.items())
                self.hidden.update(number for number, tag in tags if _HIDDEN_ROW.match(tag))
            has_formulas = _FORMULA_TAG.search(data)
        books = []
        try:
            with warnings.catch_warnings():
                # openpyxl warns of what it does not keep when it saves; we only read.
                warnings.filterwarnings("ignore", module="openpyxl")
                for data_only in (True, False) if has_formulas else (True,):
                    books.append(_loaded(self.path, data_only=data_only))
                for book in books:
                    book[self.name].reset_dimensions()  # what a file says of its size is not always true
                for number, rows in enumerate(zip(*(book[self.name].iter_rows() for book in books), strict=True), 1):
                    record = [_xlsx_value(*cells) for cells in zip(*rows, strict=True)]
                    if trimmed(record):
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


class _Reader(ExcelReader):  # type: ignore[misc]
    """openpyxl's reader, whose own way takes ``x005F_`` out of every shared text, also where it is no mark."""

    def read_strings(self) -> None:
        """Read the shared texts as they stand in the file."""
        found = self.package.find(SHARED_STRINGS)
        if found is None:
            return
        with self.archive.open(found.PartName.lstrip("/")) as source:
            for _, node in iterparse(source):
                if node.tag == f"{{{SHEET_MAIN_NS}}}si":
                    self.shared_strings.append(Text.from_tree(node).content)
                    node.clear()


def _loaded(path: Path, *, data_only: bool) -> Workbook:
    """A workbook, to be read row by row: results or formulas."""
    reader = _Reader(path, read_only=True, data_only=data_only, keep_links=False)
    reader.read()
    return reader.wb


def _xlsx_sheets(path: Path) -> dict[str, _XlsxSheet]:
    with Package(path) as package:
        return {
            sheet.name: _XlsxSheet(path, sheet.name, sheet.part)
            for sheet in package.sheets
            if sheet.kind == "worksheet"
        }


def _xlsx_value(cell: object, formula: object = None) -> Value:
    value = getattr(cell, "value", None)
    if isinstance(value, str):
        return unescaped(value)  # the standard writes a return as _x000D_
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
