"""The XML of one sheet: where its rows, cells and other elements stand, found without building a tree of its cells."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from functools import cached_property, lru_cache
from itertools import chain
from typing import NamedTuple

from tarelot.calc.columns import LAST_COLUMN, column_number
from tarelot.workbook_templates.ooxml.cell_xml import (
    LAST_ROW,
    Area,
    RowProof,
    area,
    moved_formula,
    reference,
    unescaped,
)
from tarelot.workbook_templates.ooxml.packed_text import Text, pieces, whole
from tarelot.workbook_templates.ooxml.reading import MAIN_NAMESPACES
from tarelot.workbook_templates.ooxml.splice import (
    ATTRIBUTES_PATTERN,
    Check,
    Element,
    HiddenText,
    PackageError,
    attributes,
    element_tree,
    whole_number,
    without_hidden_text,
)

LONGEST_PART = 32 << 20
"""Of a row, or of what stands before the first: a row as wide as a sheet can be has a few million bytes."""

_ROW_PLACE = re.compile(rb"[A-Z]{1,3}([0-9]+)")
_MARKUP = re.compile(rb"[&<\r]")
"""What a text with it says is not what stands there."""


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
    """The XML of one sheet and where its rows, cells and other elements stand.

    Args:
        data: The text.
        name: What the sheet is called.
        prove: Whether to refuse what harms other readers too; once for a sheet that one of them is let at.

    Attributes:
        data: The text as it stands.
        rows: The rows in order, by number; a row without one follows the row before it.
        arrays: The blocks of cells that one array formula or data table fills.
        has_shared_formulas: Whether cells share a formula.
    """

    def __init__(self, data: Text, name: str, *, prove: bool = False) -> None:
        self.name = name
        self._proves = prove
        try:
            self._read(data, data)
        except HiddenText:
            text = whole(data)
            self._read(text, without_hidden_text(text))
        except PackageError:
            for _ in pieces(data):
                pass  # a part that fails its check sum says so, and not what the damage looks like
            raise

    def _read(self, data: Text, scan: Text) -> None:
        """Find everything in one walk through ``scan``."""
        self.data, self._scan = data, scan
        self._proof = RowProof(self.name) if self._proves else None
        self.rows: dict[int, Row] = {}
        self.arrays: list[Area] = []
        self.has_shared_formulas = False
        check = Check(f"the sheet {self.name}")
        walk = check.passing(pieces(scan))
        head = self._find_cell_data(walk, check)
        self.empty = head[self.open_end - 2 : self.open_end] == b"/>"
        self.content_end, self.end = self.open_end, self.open_end
        declared = set(check.namespaces)
        if not self.empty:
            self._find_rows(chain([head[self.open_end :]], walk))
        for _ in walk:
            pass  # to its end, so that the rest is proven too
        if self._proof:
            self._proof.end(next(reversed(self.rows), 0))
            self.root  # noqa: B018  # which is too deep, or is not
        later = [(prefix, uri) for prefix, uri in check.namespaces if (prefix, uri) not in declared]
        own = self.prefix.decode().removesuffix(":")
        if any(prefix == own or uri in MAIN_NAMESPACES for prefix, uri in later):
            _main_prefix(check.namespaces, whole(scan), self.name)

    def _find_cell_data(self, walk: Iterable[bytes | memoryview], check: Check) -> bytes:
        """Find prefix and start tag of the cell data; what was read for that."""
        head = b""
        for piece in walk:
            head += piece
            if not check.has_root:
                continue
            self.prefix = _main_prefix(check.namespaces, head, self.name)
            self._patterns = _Patterns(self.prefix)
            found = self._patterns.sheet_data.search(head)
            if found:
                self.open_start, self.open_end = found.span()
                return head
            self._refuse_endless(head)
        raise PackageError(f"the sheet {self.name} is damaged: it has no cell data")

    def _find_rows(self, walk: Iterable[bytes | memoryview]) -> None:
        """Fill ``rows``, ``arrays`` and ``has_shared_formulas``; note where the cell data ends."""
        rest, at = b"", self.open_end
        for piece in walk:
            text = rest + piece
            done, opened, formulas = 0, None, []
            for found in self._patterns.landmark.finditer(text):
                kind = found.lastgroup
                if kind == "formula":
                    formulas.append(found[0])
                elif kind == "end":
                    self._refuse_between(text[done : found.start()])
                    self.content_end, self.end = at + found.start(), at + found.end()
                    return
                elif kind == "row" and opened:
                    raise PackageError(f"the sheet {self.name} is damaged: a row inside a row")
                elif kind == "row" and not found[0].endswith(b"/>"):
                    opened = found
                else:
                    self._refuse_between(text[done : (opened or found).start()])
                    self._note_row(opened or found, found, at)
                    if self._proof:
                        self._proof.row(next(reversed(self.rows)), text[(opened or found).end() : found.start()])
                    self._note_formulas(formulas)
                    done, opened, formulas = found.end(), None, []
            done = opened.start() if opened else done
            rest, at = text[done:], at + done
            self._refuse_endless(rest)
        raise PackageError(f"the sheet {self.name} is damaged: its cell data has no end")

    def _note_row(self, opening: re.Match[bytes], closing: re.Match[bytes], at: int) -> None:
        """Add a row; the two are the same where it is one tag."""
        before = next(reversed(self.rows), 0)
        stated = attributes(opening[0]).get(b"r")
        number = self._number(stated.decode()) if stated else before + 1
        if number > LAST_ROW:
            raise PackageError(f"the sheet {self.name} is damaged: it has a row {number}")
        if number <= before:
            raise PackageError(f"the sheet {self.name} is damaged: row {number} comes after row {before}")
        open_end, end = at + opening.end(), at + closing.end()
        content_end = open_end if opening is closing else at + closing.start()
        self.rows[number] = Row(number, at + opening.start(), open_end, content_end, end)

    def _refuse_endless(self, text: bytes) -> None:
        if len(text) > LONGEST_PART:
            raise PackageError(
                f"the sheet {self.name} is damaged: a row or its head has more than {LONGEST_PART:,} bytes"
            )

    def _refuse_between(self, text: bytes) -> None:
        """Refuse what stands between rows: to some readers it is rows too."""
        if text.strip():
            raise PackageError(f"the sheet {self.name} is damaged: its cell data holds more than rows")

    def _note_formulas(self, tags: Iterable[bytes]) -> None:
        """Note what a row's formulas fill beside their own cells."""
        for tag in tags:
            kind = _formula_kind(tag)
            if kind in (b"array", b"dataTable"):
                self.arrays.append(area(attributes(tag).get(b"ref", b"").decode()))
            self.has_shared_formulas = self.has_shared_formulas or kind == b"shared"

    @cached_property
    def root(self) -> Element:
        """The sheet's elements outside the cell data, which are placed as if the cell data were empty."""
        frame = self.data[: self.open_start] + b"<%bsheetData/>" % self.prefix + self.data[self.end :]
        return element_tree(frame, f"the sheet {self.name}")

    def place(self, at: int) -> int:
        """Where a place in ``root`` is in ``data``."""
        frame_end = self.open_start + len(b"<%bsheetData/>" % self.prefix)
        return at if at <= self.open_start else at + self.end - frame_end

    def _number(self, text: str) -> int:
        return whole_number(text, f"the sheet {self.name}")

    def cells(self, row: Row) -> Iterator[Cell]:
        """The cells of a row in order; a cell without a reference follows the cell before it."""
        text = self.data[row.start : row.end]
        scan = text if self._scan is self.data else self._scan[row.start : row.end]
        base, column, number = row.start, 0, str(row.number).encode()
        for found in self._patterns.cell.finditer(scan, row.open_end - base, row.content_end - base):
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
                yield Cell(column, base + start, base + end, text[start:end], b"", b"")
            else:
                inside, inside_end = found.span(4)
                yield Cell(column, base + start, base + end, text[start:inside], text[inside:inside_end], plain)

    def _slow_place(self, tag: bytes, before: int, number: bytes) -> tuple[int, bytes]:
        stated = attributes(tag).get(b"r")
        if stated is None:
            return before + 1, number
        found = _ROW_PLACE.fullmatch(stated)
        if not found:
            raise PackageError(f"the sheet {self.name} is damaged: a cell is named {stated!r}")
        return column_number(stated[: found.start(1)]), found[1]

    def finds(self, pattern: re.Pattern[bytes], row: Row) -> bool:
        """Whether a pattern stands anywhere in a row, found without looking at its cells."""
        return bool(pattern.search(self._scan[row.open_end : row.content_end]))

    def formula_places(self, row: Row) -> list[tuple[int, int]]:
        """Where the formula elements of a row stand, found without looking at its cells."""
        text = self._scan[row.open_end : row.content_end]
        found = (match.span() for match in self._patterns.formula.finditer(text))
        return [(row.open_end + start, row.open_end + end) for start, end in found]

    def formula(self, cell: Cell) -> bytes | None:
        """The formula element of a cell as it stands, or None."""
        found = self._patterns.formula.search(cell.plain)
        return cell.content[found.start() : found.end()] if found else None

    def formula_text(self, cell: Cell) -> str:
        """The formula of a cell as a person reads it, without ``=``; empty where there is none."""
        found = self._patterns.formula.search(cell.plain)
        if not found or not found[1]:
            return ""
        inside = cell.content[found.start(1) : found.end(1)]
        if inside.isascii() and not _MARKUP.search(inside):
            return unescaped(inside.decode())
        return unescaped(element_tree(b"<f>" + inside + b"</f>", f"a formula in the sheet {self.name}").text)

    @cached_property
    def shared_formulas(self) -> dict[bytes, tuple[str, str]]:
        """The text of each formula that cells share, by its number, and the cell in which it reads so."""
        found: dict[bytes, tuple[str, str]] = {}
        for row in self.rows.values() if self.has_shared_formulas else ():
            if b"ref" not in self.data[row.start : row.end]:  # most rows have none that others share
                continue
            for cell in self.cells(row):
                stated = attributes(self.formula(cell) or b"")
                if stated.get(b"t") == b"shared" and b"ref" in stated:
                    found[stated.get(b"si", b"")] = self.formula_text(cell), reference(row.number, cell.column)
        return found

    def whole_formula(self, cell: Cell, place: str) -> str:
        """The formula of a cell, that of the first of its group where it shares one; empty where there is none."""
        own = self.formula_text(cell)
        stated = attributes(self.formula(cell) or b"")
        if own or stated.get(b"t") != b"shared":
            return own
        text, first = self.shared_formulas.get(stated.get(b"si", b""), ("", place))
        return moved_formula(text, first, place) if text else ""

    def stored(self, cell: Cell) -> bytes | None:
        """The value stored in a cell, as it is written; None for none and for an empty text."""
        found = self._patterns.stored.search(cell.plain)
        return found[1] if found else None

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


@lru_cache(maxsize=1024)
def _formula_kind(tag: bytes) -> bytes | None:
    """The kind of a formula by its tag; a lot has hundreds of tags, in each of its rows again."""
    return attributes(tag).get(b"t")


class _Patterns:
    """The tags of a sheet. They are sound on well-formed text whose comments and CDATA are blanked."""

    def __init__(self, prefix: bytes) -> None:
        p, inside = re.escape(prefix), ATTRIBUTES_PATTERN
        self.sheet_data = re.compile(rb"<%bsheetData(?=[\s/>])%b/?>" % (p, inside))
        self.landmark = re.compile(
            rb"<(?:(?P<row>%brow(?=[\s/>])%b/?>)|(?P<row_end>/%brow\s*>)|(?P<formula>%bf\s%b/?>)|(?P<end>/%bsheetData\s*>))"
            % (p, inside, p, p, inside, p)
        )
        self.cell = re.compile(
            rb"<%bc(?=[\s/>])(?:\s+r=\"([A-Z]{1,3})([0-9]+)\")?(%b)(?:/>|>([^<]*(?:<(?!/%bc[\s>])[^<]*)*)</%bc\s*>)"
            % (p, inside, p, p)
        )
        self.formula = re.compile(rb"<%bf(?=[\s/>])%b(?:/>|>([^<]*)</%bf\s*>)" % (p, inside, p))
        self.stored = re.compile(rb"<%bv[^>]*>([^<]+)</" % p)
        self.filled = re.compile(rb"<%b(?:f|v|is)[\s/>]" % p)
        self.extension = re.compile(rb"<%bextLst[\s/>].*" % p, re.DOTALL)


def _main_prefix(declared: Sequence[tuple[str, str]], data: bytes, name: str) -> bytes:
    """The prefix, with its colon, that the sheet's own elements carry."""
    place = f"the sheet {name}"
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
