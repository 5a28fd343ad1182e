"""Cell values as the XML of one cell, and references such as ``B12`` as numbers."""

from __future__ import annotations

import datetime
import math
import re
from dataclasses import dataclass
from typing import TypeAlias
from xml.sax.saxutils import escape

from openpyxl.formula.tokenizer import TokenizerError
from openpyxl.formula.translate import Translator
from openpyxl.utils.datetime import CALENDAR_MAC_1904, CALENDAR_WINDOWS_1900, to_excel

from tarelot.calc.columns import LAST_COLUMN, column_letters, column_number
from tarelot.workbook_templates.ooxml.splice import ATTRIBUTES_PATTERN, PackageError, refuse_depth

Result: TypeAlias = float | str | bool | None
"""What a formula came to. Text that is an error code, ``#NUM!``, is stored as that error; None is "not calculated"."""

LAST_ROW = 1_048_576
LONGEST_TEXT = 32_767
LONGEST_FORMULA = 8_192

ERROR_CODES = frozenset(
    {"#NULL!", "#DIV/0!", "#VALUE!", "#REF!", "#NAME?", "#NUM!", "#N/A", "#GETTING_DATA", "#SPILL!", "#CALC!"}
)
"""The error values of ECMA-376 part 1, 18.17.3, and two that newer programs store."""

_REFERENCE = re.compile(r"([A-Z]{1,3})([1-9][0-9]{0,6})")
_ESCAPED_FORM = re.compile(r"_(?=x[0-9A-Fa-f]{4}_)")
_FORBIDDEN = re.compile("[\x00-\x08\x0b-\x1f\ufffe\uffff]")
_SURROGATE = re.compile("[\ud800-\udfff]")
_ESCAPE = re.compile(r"_x([0-9A-Fa-f]{4})_")


SPARSE_FROM = 4_000_000
"""Cells from A1 to the last one from which on most must be there: some readers set aside room for them all."""
LEAST_FILLED = 10
"""One cell in so many."""
ROW_COSTS = 8
"""Cells that a row takes the room of, however few it holds."""

_LETTERS, _DIGITS = b"ABCDEFGHIJKLMNOPQRSTUVWXYZ", b"0123456789"
# Cells as nearly every program writes them: nothing in them is deep.
_FLAT = re.compile(
    rb"(?:\s*<c[^<>/]*(?:/>|>(?:<f[^<>/]*(?:/>|>[^<]*</f>))?(?:<v[^<>/]*(?:/>|>[^<]*</v>))?"
    rb"(?:<is><t[^<>/]*>[^<]*</t></is>)?</c>))*+\s*"
)
_PLAIN_NAME = re.compile(rb'<c r="([A-Z]+[0-9]+)"')
_TAG = re.compile(rb"<(/)?[^\s/>]+%b(/)?>" % ATTRIBUTES_PATTERN)
# By any prefix, as some readers go by the rest of a tag's name.
_CELL_START = re.compile(rb"<(?:[\w.-]+:)?c[\s/>]")
_CELL_NAME = re.compile(
    rb"""<(?:[\w.-]+:)?c(?:\s+(?!r\s*=)[^\s=>]+\s*=\s*(?:"[^"]*"|'[^']*'))*\s+r\s*=\s*["']([^"']*)["']"""
)


@dataclass(frozen=True)
class Formula:
    """A formula as the file holds it (``_xlfn.`` marks and all, with or without the leading ``=``) and its result.

    ``group`` is the number of a formula that the cells of ``area`` share: its first cell has the text, others none.
    """

    text: str
    result: Result = None
    group: int | None = None
    area: str = ""


CellValue: TypeAlias = None | int | float | str | bool | datetime.date | datetime.datetime | Formula
"""What a cell can be given. None empties it; text stays text, whatever it begins with."""


@dataclass(frozen=True)
class Area:
    """A block of cells by its outer columns and rows, counted from 1."""

    first_column: int
    first_row: int
    last_column: int
    last_row: int

    def __str__(self) -> str:
        first = reference(self.first_row, self.first_column)
        last = reference(self.last_row, self.last_column)
        return first if first == last else f"{first}:{last}"

    def meets(self, other: Area) -> bool:
        """Whether the two share a cell."""
        return (
            self.first_column <= other.last_column
            and other.first_column <= self.last_column
            and self.first_row <= other.last_row
            and other.first_row <= self.last_row
        )

    def holds(self, row: int, column: int) -> bool:
        """Whether the cell is inside."""
        return self.first_row <= row <= self.last_row and self.first_column <= column <= self.last_column

    def joined(self, other: Area) -> Area:
        """The smallest block around both."""
        return Area(
            min(self.first_column, other.first_column),
            min(self.first_row, other.first_row),
            max(self.last_column, other.last_column),
            max(self.last_row, other.last_row),
        )


def reference(row: int, column: int) -> str:
    """The cell's name, ``B12`` for row 12, column 2."""
    return f"{column_letters(column)}{row}"


def cell_place(name: str) -> tuple[int, int]:
    """Row and column of a cell's name.

    >>> cell_place("B12")
    (12, 2)
    """
    found = _REFERENCE.fullmatch(name)
    if not found:
        raise PackageError(f"{name!r} is not a cell, such as B12")
    row, column = int(found[2]), column_number(found[1].encode())
    if row > LAST_ROW or column > LAST_COLUMN:
        raise PackageError(f"{name} is outside the sheet, which ends at {reference(LAST_ROW, LAST_COLUMN)}")
    return row, column


def area(text: str) -> Area:
    """The block of cells that ``A1:C9`` or ``A1`` names; ``$`` marks are passed over."""
    first, _, last = text.replace("$", "").partition(":")
    row, column = cell_place(first)
    last_row, last_column = cell_place(last or first)
    return Area(column, row, last_column, last_row)


class RowProof:
    """Proves a sheet's rows harmless to readers that go by less than the whole of a cell: row by row, then the end.

    Args:
        name: What the sheet is called.

    Raises:
        PackageError: A cell stands in another row than it says, far from all others, or holds what is too deep.
    """

    def __init__(self, name: str) -> None:
        self._name = name
        self._columns: set[bytes] = set()
        self._most = self._cells = self._last = 0

    def row(self, number: int, inside: bytes) -> None:
        """Prove the cells of a row.

        Args:
            number: The row's.
            inside: What stands between its tags; well-formed.
        """
        count, names = inside.count(b"<c"), _PLAIN_NAME.findall(inside)
        if not _FLAT.fullmatch(inside):
            self._refuse_deep(inside)
            count = -1
        if count != len(names):
            count, names = len(_CELL_START.findall(inside)), _CELL_NAME.findall(inside)
        if not count:
            return  # an empty row, such as some programs write at the sheet's end
        self._cells, self._most, self._last = self._cells + count, max(self._most, count), number
        # All at once: a name is letters and the row's number, so that without the number only letters are left.
        letters = (b'"'.join(names) + b'"').replace(b'%d"' % number, b'"').split(b'"')[:-1]
        together = b"".join(letters)
        if names and not (all(letters) and together.isalpha() and together.isupper()):
            self._refuse_stray(number, names)
        self._columns.update(letters)

    def end(self, last: int) -> None:
        """Refuse a sheet with a cell so far from the others that a reader would fill the memory with blanks."""
        column = max(map(column_number, self._columns), default=1)
        if column > LAST_COLUMN:
            raise PackageError(f"the sheet {self._name} is damaged: it has a column {column}")
        width = max(column, self._most)
        if self._last * max(width, ROW_COSTS) > max(SPARSE_FROM, LEAST_FILLED * self._cells):
            raise PackageError(
                f"the sheet {self._name} reaches to {reference(self._last, min(width, LAST_COLUMN))} but has only "
                f"{self._cells:,} cells: delete the rows and columns far from the rest"
            )

    def _refuse_deep(self, inside: bytes) -> None:
        depth = 0
        for found in _TAG.finditer(inside):
            depth += -1 if found[1] else 0 if found[2] else 1
            refuse_depth(depth, f"the sheet {self._name}")

    def _refuse_stray(self, number: int, names: list[bytes]) -> None:
        stray = next((name for name in names if name.lstrip(_LETTERS) != b"%d" % number), b"")
        shown = stray[:40].decode(errors="replace")
        raise PackageError(
            f"the sheet {self._name} is damaged: the cells of row {number} are out of order, one is named {shown}"
        )


def escaped(text: str, most: int = LONGEST_TEXT) -> bytes:
    """``text`` for a part: characters that XML cannot hold as ``_xHHHH_`` (ECMA-376 part 1, 22.9.2.19, ST_Xstring).

    >>> escaped("a<b" + chr(7) + "_x0041_")
    b'a&lt;b_x0007__x005F_x0041_'
    """
    if len(text.encode("utf-16-le", "surrogatepass")) > 2 * most:
        raise PackageError(f"a cell holds at most {most:,} characters; this text has {len(text):,}: {text[:40]!r}...")
    if _SURROGATE.search(text):
        raise PackageError(f"this text holds half a character and cannot be stored: {text[:40]!r}")
    return escape(with_escapes(text)).encode()


def with_escapes(text: str) -> str:
    r"""``text`` with ``_xHHHH_`` for what XML cannot hold, and for what looks like it.

    >>> with_escapes("a\r_x0041_")
    'a_x000D__x005F_x0041_'
    """
    text = _ESCAPED_FORM.sub("_x005F_", text)
    return _FORBIDDEN.sub(lambda found: f"_x{ord(found[0]):04X}_", text)


def unescaped(text: str) -> str:
    r"""``text`` of a part with its ``_xHHHH_`` forms read back.

    >>> unescaped("Deck_x000a_height")
    'Deck\nheight'
    """
    return _ESCAPE.sub(lambda found: chr(int(found[1], 16)), text)


def number_text(value: float) -> bytes:
    """The number in the shortest form that reads back as the same number."""
    try:
        number = float(value)
    except (TypeError, ValueError, OverflowError) as error:
        raise PackageError(f"a cell cannot hold {value!r}") from error
    if not math.isfinite(number):
        raise PackageError(f"a cell cannot hold {value!r}")
    # The shortest text that reads back as the same number; whole numbers without the ".0".
    return b"%d" % number if number.is_integer() and abs(number) < 1e15 else repr(number).encode()


def stored_result(prefix: bytes, result: Result) -> tuple[bytes | None, bytes]:
    """The cell type (None for a number) and the value element of a formula's result."""
    if result is None:
        return None, b""
    kind: bytes | None = None
    if isinstance(result, bool):
        kind, text = b"b", str(int(result)).encode()
    elif isinstance(result, str):
        kind, text = (b"e" if result in ERROR_CODES else b"str"), escaped(result)
    else:
        text = number_text(result)
    space = b' xml:space="preserve"' if isinstance(result, str) and result != result.strip() else b""
    return kind, b"<%bv%b>%b</%bv>" % (prefix, space, text, prefix)


def cell_content(prefix: bytes, value: CellValue, from_1904: bool) -> tuple[bytes | None, bytes]:
    """The cell type (None for a number or nothing) and the elements inside a cell that holds ``value``."""
    if value is None:
        return None, b""
    if isinstance(value, Formula):
        kind, stored = stored_result(prefix, value.result)
        return kind, _formula(prefix, value) + stored
    if isinstance(value, str):
        space = b' xml:space="preserve"' if value != value.strip() else b""
        p = prefix
        return b"inlineStr", b"<%bis><%bt%b>%b</%bt></%bis>" % (p, p, space, escaped(value), p, p)
    if isinstance(value, bool):
        return b"b", b"<%bv>%d</%bv>" % (prefix, value, prefix)
    if isinstance(value, datetime.date):
        value = serial_date(value, from_1904)
    return None, b"<%bv>%b</%bv>" % (prefix, number_text(value), prefix)


def _formula(prefix: bytes, value: Formula) -> bytes:
    """The formula element of a cell."""
    text = value.text.removeprefix("=")
    if value.group is not None and not text:
        return b'<%bf t="shared" si="%d"/>' % (prefix, value.group)
    if not text.strip():
        raise PackageError("a formula is empty")
    shared = b"" if value.group is None else b' t="shared" ref="%b" si="%d"' % (value.area.encode(), value.group)
    return b"<%bf%b>%b</%bf>" % (prefix, shared, escaped(text, LONGEST_FORMULA), prefix)


def serial_date(value: datetime.date, from_1904: bool) -> float:
    """The number that stands for a date, by the workbook's calendar."""
    if isinstance(value, datetime.datetime) and value.tzinfo is not None:
        raise PackageError(f"{value.isoformat()} has a time zone, which a cell cannot hold")
    serial = to_excel(value, CALENDAR_MAC_1904 if from_1904 else CALENDAR_WINDOWS_1900)
    if serial is None or serial < 0:
        raise PackageError(f"{value.isoformat()} is before the workbook's calendar begins")
    return float(serial)


def moved_formula(text: str, origin: str, to: str) -> str:
    """The formula of the cell ``origin`` as it reads in the cell ``to``: relative references move along.

    >>> moved_formula("C2*$D$1", "E2", "E9")
    'C9*$D$1'
    """
    try:
        return str(Translator(f"={text}", origin).translate_formula(to)).removeprefix("=")
    except (TokenizerError, IndexError) as error:  # IndexError: a bracket closed that was never opened
        raise PackageError(f"the formula in {origin} cannot be read: {text[:60]}") from error
