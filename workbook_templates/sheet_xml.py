"""The XML of one sheet: where its rows, cells and other elements stand, found without building a tree of its cells."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cached_property
from typing import NamedTuple

from workbook_templates.cell_xml import LAST_COLUMN, Area, area, column_number, unescaped
from workbook_templates.package_reading import MAIN_NAMESPACES
from workbook_templates.xml_splice import (
    ATTRIBUTES_PATTERN,
    Element,
    PackageError,
    attributes,
    element_tree,
    namespaces,
    whole_number,
    without_hidden_text,
)

_ROW_PLACE = re.compile(rb"[A-Z]{1,3}([0-9]+)")


class Row(NamedTuple):
    """Where a row stands: its start tag ends at ``open_end``; ``end`` is after its end tag."""

    number: int
    start: int
    open_end: int
    content_end: int
    end: int


class Cell(NamedTuple):
    """A cell as it stands in the sheet: its start tag, what is inside (and with comments blanked), and where."""

    column: int
    start: int
    end: int
    tag: bytes
    content: bytes
    plain: bytes


class SheetXml:
    """The XML of one sheet and where its rows, cells and other elements stand."""

    def __init__(self, data: bytes, name: str) -> None:
        self.data, self.name = data, name
        self.prefix = _main_prefix(data, name)
        self._scan = without_hidden_text(data)
        self._patterns = _Patterns(self.prefix)
        found = self._patterns.sheet_data.search(self._scan)
        if found is None:
            raise PackageError(f"the sheet {name} is damaged: it has no cell data")
        self.open_start, self.open_end = found.span()
        self.empty = found[0].endswith(b"/>")
        closing = None if self.empty else self._patterns.sheet_data_end.search(self._scan, self.open_end)
        self.content_end, self.end = closing.span() if closing else (self.open_end, self.open_end)

    @cached_property
    def root(self) -> Element:
        """The sheet's elements outside the cell data, which are placed as if the cell data were empty."""
        frame = self.data[: self.open_start] + b"<%bsheetData/>" % self.prefix + self.data[self.end :]
        return element_tree(frame, f"the sheet {self.name}")

    def place(self, at: int) -> int:
        """Where a place in ``root`` is in ``data``."""
        frame_end = self.open_start + len(b"<%bsheetData/>" % self.prefix)
        return at if at <= self.open_start else at + self.end - frame_end

    @cached_property
    def rows(self) -> dict[int, Row]:
        """The rows in order, by number; a row without one follows the row before it."""
        rows: dict[int, Row] = {}
        number = at = 0
        for found in self._patterns.row.finditer(self._scan, self.open_end, self.content_end):
            if found.start() < at:
                raise PackageError(f"the sheet {self.name} is damaged: a row inside a row")
            stated = attributes(found[0]).get(b"r")
            before, number = number, self._number(stated.decode()) if stated else number + 1
            if number <= before:
                raise PackageError(f"the sheet {self.name} is damaged: row {number} comes after row {before}")
            open_end = content_end = at = found.end()
            if not found[0].endswith(b"/>"):
                closing = self._patterns.row_end.search(self._scan, open_end, self.content_end)
                if closing is None:
                    raise PackageError(f"the sheet {self.name} is damaged: row {number} has no end")
                content_end, at = closing.span()
            rows[number] = Row(number, found.start(), open_end, content_end, at)
        return rows

    def _number(self, text: str) -> int:
        return whole_number(text, f"the sheet {self.name}")

    def cells(self, row: Row) -> Iterator[Cell]:
        """The cells of a row in order; a cell without a reference follows the cell before it."""
        data, column = self.data, 0
        number = str(row.number).encode()
        for found in self._patterns.cell.finditer(self._scan, row.open_end, row.content_end):
            letters, stated_row, _, plain = found.groups()
            before = column
            if letters is None:
                column, stated_row = self._slow_place(found[0], before, number)
            else:
                column = column_number(letters)
            if column <= before or stated_row != number or column > LAST_COLUMN:
                raise PackageError(f"the sheet {self.name} is damaged: the cells of row {row.number} are out of order")
            start, end = found.span()
            if plain is None:
                yield Cell(column, start, end, data[start:end], b"", b"")
            else:
                inside, inside_end = found.span(4)
                yield Cell(column, start, end, data[start:inside], data[inside:inside_end], plain)

    def _slow_place(self, tag: bytes, before: int, number: bytes) -> tuple[int, bytes]:
        stated = attributes(tag).get(b"r")
        if stated is None:
            return before + 1, number
        found = _ROW_PLACE.fullmatch(stated)
        if not found:
            raise PackageError(f"the sheet {self.name} is damaged: a cell is named {stated!r}")
        return column_number(stated[: found.start(1)]), found[1]

    def formula(self, cell: Cell) -> bytes | None:
        """The formula element of a cell as it stands, or None."""
        found = self._patterns.formula.search(cell.plain)
        return cell.content[found.start() : found.end()] if found else None

    def formula_text(self, cell: Cell) -> str:
        """The formula of a cell as a person reads it, without ``=``; empty where there is none."""
        found = self._patterns.formula.search(cell.plain)
        if not found or found[1] is None:
            return ""
        inside = cell.content[found.start(1) : found.end(1)]
        return unescaped(element_tree(b"<f>" + inside + b"</f>", f"a formula in the sheet {self.name}").text)

    def is_empty(self, cell: Cell) -> bool:
        """Whether the cell holds neither a value nor a formula."""
        return not self._patterns.filled.search(cell.plain)

    def extension(self, cell: Cell) -> bytes:
        """What a cell holds beside formula and value, as it stands."""
        found = self._patterns.extension.search(cell.plain)
        return cell.content[found.start() : found.end()] if found else b""

    @cached_property
    def merged(self) -> list[Area]:
        """The merged cells."""
        found = self.root.child("mergeCells")
        return [area(child.attributes.get("ref", "")) for child in found.children] if found else []

    @cached_property
    def arrays(self) -> list[Area]:
        """The blocks of cells that one array formula or data table fills."""
        if b'"array"' not in self.data and b"'array'" not in self.data and b"dataTable" not in self.data:
            return []
        found = (attributes(match[0]) for match in self._patterns.formula_tag.finditer(self._scan))
        return [area(tag.get(b"ref", b"").decode()) for tag in found if tag.get(b"t") in (b"array", b"dataTable")]

    @cached_property
    def column_styles(self) -> list[tuple[int, int, bytes]]:
        """First column, last column and style id of each stretch of columns that has a style."""
        cols = self.root.child("cols")
        stretches = [child.attributes for child in cols.children] if cols else []
        return [
            (self._number(col.get("min", "")), self._number(col.get("max", "")), col["style"].encode())
            for col in stretches
            if "style" in col
        ]

    def inherited_style(self, row: Row | None, column: int) -> bytes | None:
        """The style id that a new cell takes from its row or column; None for the plain style."""
        if row is not None:
            tag = attributes(self.data[row.start : row.open_end])
            if tag.get(b"customFormat") in (b"1", b"true"):
                return tag.get(b"s")
        return next((style for first, last, style in self.column_styles if first <= column <= last), None)


class _Patterns:
    """The tags of a sheet. They are sound on well-formed text whose comments and CDATA are blanked."""

    def __init__(self, prefix: bytes) -> None:
        p, inside = re.escape(prefix), ATTRIBUTES_PATTERN
        self.sheet_data = re.compile(rb"<%bsheetData(?=[\s/>])%b/?>" % (p, inside))
        self.sheet_data_end = re.compile(rb"</%bsheetData\s*>" % p)
        self.row = re.compile(rb"<%brow(?=[\s/>])%b/?>" % (p, inside))
        self.row_end = re.compile(rb"</%brow\s*>" % p)
        self.cell = re.compile(
            rb"<%bc(?=[\s/>])(?:\s+r=\"([A-Z]{1,3})([0-9]+)\")?(%b)(?:/>|>(.*?)</%bc\s*>)" % (p, inside, p), re.DOTALL
        )
        self.formula = re.compile(rb"<%bf(?=[\s/>])%b(?:/>|>(.*?)</%bf\s*>)" % (p, inside, p), re.DOTALL)
        self.formula_tag = re.compile(rb"<%bf(?=[\s/>])%b/?>" % (p, inside))
        self.filled = re.compile(rb"<%b(?:f|v|is)[\s/>]" % p)
        self.extension = re.compile(rb"<%bextLst[\s/>].*" % p, re.DOTALL)


def _main_prefix(data: bytes, name: str) -> bytes:
    """The prefix, with its colon, that the sheet's own elements carry."""
    place = f"the sheet {name}"
    declared = namespaces(data, place)
    prefixes = {prefix for prefix, namespace in declared if namespace in MAIN_NAMESPACES}
    used = {prefix for prefix in prefixes if len(prefixes) == 1 or _is_used(prefix, data)}
    if not used:
        raise PackageError(f"{place} is not a worksheet")
    if len(used) > 1 or any(uri not in MAIN_NAMESPACES for prefix, uri in declared if prefix in used):
        raise PackageError(f"{place} names its elements in two ways, which is not supported")
    return _tag_start(used.pop())


def _tag_start(prefix: str) -> bytes:
    return f"{prefix}:".encode() if prefix else b""


def _is_used(prefix: str, data: bytes) -> bool:
    return re.search(rb"<%b[A-Za-z_][\w.-]*[\s/>]" % re.escape(_tag_start(prefix)), data) is not None
