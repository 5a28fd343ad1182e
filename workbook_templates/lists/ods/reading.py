"""Reads the sheets of an ODS file.

Here and not by a library: those there are lose its error cells, and set aside memory for every repeated cell that a
file claims to have.
"""

from __future__ import annotations

import datetime
import zipfile
import zlib
from collections.abc import Iterator
from pathlib import Path
from typing import IO
from xml.etree.ElementTree import Element, ParseError

from defusedxml.common import DefusedXmlException
from defusedxml.ElementTree import iterparse

from tarelot.workbook_templates.lists.number_formats import shown
from tarelot.workbook_templates.lists.ods.formats import Formats
from tarelot.workbook_templates.lists.quantities import Value, is_blank
from tarelot.workbook_templates.lists.rows import ERRORS, MOST_CELLS, MOST_COLUMNS, UNSTORED, ListError, Record
from tarelot.workbook_templates.ooxml.cell_xml import LAST_ROW
from tarelot.workbook_templates.ooxml.reading import LARGEST_RATIO, LARGEST_WHOLE, RATIO_COUNTS_FROM
from tarelot.workbook_templates.ooxml.splice import DEEPEST

_OFFICE = "{urn:oasis:names:tc:opendocument:xmlns:office:1.0}"
_TABLE = "{urn:oasis:names:tc:opendocument:xmlns:table:1.0}"
_TEXT = "{urn:oasis:names:tc:opendocument:xmlns:text:1.0}"
_CELL_STYLE = f"{_TABLE}style-name"
_DEFAULT_STYLE = f"{_TABLE}default-cell-style-name"
_SHEET, _ROW, _COLUMN = f"{_TABLE}table", f"{_TABLE}table-row", f"{_TABLE}table-column"
STYLES, CONTENT = "styles.xml", "content.xml"
_CALCEXT = "{urn:org:documentfoundation:names:experimental:calc:xmlns:calcext:1.0}"


class OdsRows(list[Record]):
    """A sheet's rows that are not blank."""

    def __init__(self) -> None:
        super().__init__()
        self.hidden: set[int] = set()

    def add(self, above: int, repeat: int, cells: list[Value], row: Element, name: str) -> None:
        """Add a row, if it is not blank, as often as it repeats.

        Raises:
            ListError: It stands beyond the last row that there can be.
        """
        if not cells:
            return
        if above + repeat > LAST_ROW:
            raise ListError(f"{name} is damaged: it has a row {above + repeat}")
        self.extend((above + place, list(cells)) for place in range(1, repeat + 1))
        if row.get(f"{_TABLE}visibility", "visible") != "visible":
            self.hidden.update(range(above + 1, above + repeat + 1))


def ods_sheets(path: Path) -> dict[str, OdsRows]:
    """Each sheet's rows by its name.

    Raises:
        ListError: It cannot be read safely; the message says why.
    """
    try:
        with zipfile.ZipFile(path) as archive:
            if "META-INF/manifest.xml" in archive.namelist() and b"encryption-data" in archive.read(
                "META-INF/manifest.xml"
            ):
                raise ListError(f"{path.name} is protected by a password: save it without one")
            formats = Formats()
            if STYLES in archive.namelist():
                with _opened(archive, STYLES, path.name) as stream:
                    for event, element in _elements(stream, path.name):
                        if event == "end":
                            formats.note(element)
            with _opened(archive, CONTENT, path.name) as stream:
                return _ods_tables(stream, path.name, formats)
    except (zipfile.BadZipFile, zlib.error, NotImplementedError, RuntimeError) as error:
        raise ListError(f"{path.name} is damaged: {error}") from error
    except (ParseError, DefusedXmlException, ValueError) as error:
        if isinstance(error, ListError):
            raise
        raise ListError(f"{path.name} is not a sound workbook: {error}") from error


def _opened(archive: zipfile.ZipFile, part: str, name: str) -> IO[bytes]:
    """A part to be read.

    Raises:
        ListError: It unpacks to too much.
    """
    info = archive.getinfo(part)
    ratio = info.file_size / max(info.compress_size, 1)
    if info.file_size > LARGEST_WHOLE or (info.file_size > RATIO_COUNTS_FROM and ratio > LARGEST_RATIO):
        raise ListError(f"{name} unpacks to more than a list can hold")
    return archive.open(info)


class _Styles:
    """The number formats of a sheet's cells: their own, or that of their column or row."""

    def __init__(self, formats: Formats) -> None:
        self._formats = formats
        self._row = ""
        self._columns: list[tuple[int, str]] = []  # the place behind some columns, and their style

    def note(self, event: str, element: Element) -> None:
        """Remember what an element says of the styles of cells that follow."""
        if event == "end":
            self._formats.note(element)
        elif element.tag == _SHEET:
            self._columns = []
        elif element.tag == _ROW:
            self._row = element.get(_DEFAULT_STYLE, "")
        elif element.tag == _COLUMN:
            before = self._columns[-1][0] if self._columns else 0
            repeat = int(element.get(f"{_TABLE}number-columns-repeated", "1"))
            self._columns.append((before + repeat, element.get(_DEFAULT_STYLE, "")))

    def shown(self, value: Value, cell: Element, place: int) -> Value:
        """A cell's value; a text that a person reads for a number where its format, or its currency, says more.

        Args:
            value: The value.
            cell: The cell.
            place: Its column, counted from 0.
        """
        if not isinstance(value, float):
            return value
        column = next((style for end, style in self._columns if place < end), "")
        seen = shown(value, self._formats.code(cell.get(_CELL_STYLE) or self._row or column))
        currency = cell.get(f"{_OFFICE}currency", "USD")
        return f"{value:.15g} {currency}" if seen == value and currency != "USD" else seen


def _ods_tables(stream: IO[bytes], name: str, formats: Formats) -> dict[str, OdsRows]:
    """Every sheet's rows that are not blank. Blank cells and rows are counted, not kept, however often they repeat."""
    sheets: dict[str, OdsRows] = {}
    rows = OdsRows()
    cells: list[Value] = []
    blanks = number = kept = 0
    styles = _Styles(formats)
    for event, element in _elements(stream, name):
        styles.note(event, element)
        if event == "start" and element.tag == _SHEET:
            sheets[element.get(f"{_TABLE}name", "")] = rows = OdsRows()
            number = 0
        elif event == "start" and element.tag == _ROW:
            cells, blanks = [], 0
        elif event == "end" and element.tag in (f"{_TABLE}table-cell", f"{_TABLE}covered-table-cell"):
            value = styles.shown(_ods_value(element), element, len(cells) + blanks)
            repeat = int(element.get(f"{_TABLE}number-columns-repeated", "1"))
            if is_blank(value):
                blanks += repeat
                continue
            if len(cells) + blanks + repeat > MOST_COLUMNS:
                raise ListError(f"{name} has more than {MOST_COLUMNS:,} columns")
            cells += [""] * blanks + [value] * repeat
            blanks = 0
        elif event == "end" and element.tag == _ROW:
            repeat = int(element.get(f"{_TABLE}number-rows-repeated", "1"))
            kept += len(cells) * repeat
            if kept > MOST_CELLS:
                raise ListError(f"{name} has more than {MOST_CELLS:,} cells")
            rows.add(number, repeat, cells, element, name)
            number += repeat
            element.clear()
    return sheets


def _elements(stream: IO[bytes], name: str) -> Iterator[tuple[str, Element]]:
    """The starts and ends of the elements; too many inside each other crash whoever looks into them."""
    depth = 0
    for event, element in iterparse(stream, events=("start", "end")):
        depth += 1 if event == "start" else -1
        if depth > DEEPEST:
            raise ListError(f"{name} holds more than {DEEPEST} elements inside each other: not a real workbook")
        yield event, element


def _ods_value(cell: Element) -> Value:
    kind = cell.get(f"{_OFFICE}value-type", "")
    shown = "\n".join(_ods_text(paragraph) for paragraph in cell.findall(f"{_TEXT}p"))
    if cell.get(f"{_CALCEXT}value-type") == "error":
        return shown if ERRORS.fullmatch(shown) else "#VALUE!"
    if kind in {"float", "percentage", "currency"}:
        return float(cell.get(f"{_OFFICE}value", ""))
    if kind == "date":
        date = datetime.datetime.fromisoformat(cell.get(f"{_OFFICE}date-value", ""))
        return date if date.time() != datetime.time() else date.date()
    if kind == "boolean":
        return cell.get(f"{_OFFICE}boolean-value") == "true"
    if not kind and cell.get(f"{_TABLE}formula") and cell.find(f"{_TEXT}p") is None:
        return UNSTORED  # a result that is empty text has an empty paragraph
    return cell.get(f"{_OFFICE}string-value") or shown


def _ods_text(paragraph: Element) -> str:
    """The text of a paragraph, in which runs of spaces, tabs and line breaks are elements."""
    text = paragraph.text or ""
    for part in paragraph:
        if part.tag == f"{_TEXT}s":
            text += " " * min(int(part.get(f"{_TEXT}c", "1")), 1000)
        elif part.tag == f"{_TEXT}tab":
            text += "\t"
        elif part.tag == f"{_TEXT}line-break":
            text += "\n"
        elif part.tag != f"{_OFFICE}annotation":
            text += _ods_text(part)
        text += part.tail or ""
    return text
