"""Rows of a list as every form of file gives them, and what is too much of them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Protocol

from tarelot.workbook_templates.lists.quantities import Value

MOST_CELLS = 20_000_000  # of one sheet; a lot of 100,000 trailers has 4 million
MOST_COLUMNS = 16_384  # what spreadsheets have
UNSTORED = "#FORMULA?"  # stands for a formula whose result is not in the file
ERRORS = re.compile(
    r"#(?:NULL!|DIV/0!|VALUE!|REF!|NAME\?|NUM!|N/A|SPILL!|CALC!|GETTING_DATA|FORMULA\?)|Err:[0-9]{3}|#{3,}"
)

# Where spreadsheet programs may see a formula begin: OWASP, "CSV Injection", which names the signs, the separators and
# the quotation marks before them, and a tab or a line's end at the beginning; and the wide forms of the signs, that
# programs read likewise. A program that takes another sign for the separator than the file's sees a cell begin inside
# one of ours. Behind a blank a lone sign is a dash.
_SIGN = r"[=+\-@\uff1d\uff0b\uff0d\uff20]"
_SEPARATOR = re.compile(r"[,;|:~^\t\r\n]")
_BETWEEN = r'[,;|:~^\s"]'
_FORMULA = re.compile(rf"(^{_BETWEEN}*|(?<!{_BETWEEN}){_BETWEEN}+)('*)(?={_SIGN}(\s?))")
_BROKEN = re.compile(r"'*[\t\r\n]")
MARK = "'"

Record = tuple[int, list[Value]]  # row number as a person sees it, cells


class Rows(Protocol):
    """The rows of a sheet that are not blank; once they were gone through, `hidden` has the numbers of those hidden."""

    @property
    def hidden(self) -> set[int]:
        """Numbers of the rows that a person does not see, by a filter or by hiding them."""

    def __iter__(self) -> Iterator[Record]:
        """The rows, anew each time."""


def defused(text: str) -> str:
    """A text that starts no formula in a spreadsheet program that opens it out of a CSV, whatever splits cells there.

    A mark is put before each sign that might; `restored` takes them away.

    >>> defused("=1+1"), defused("-5"), defused("'=1"), defused("1-5"), defused("7'-6"), defused("call - ask")
    ("'=1+1", "'-5", "''=1", '1-5', "7'-6", 'call - ask')
    >>> defused("wide;=1+1"), defused("wide | @x"), defused("wide =1+1")
    ("wide;'=1+1", "wide | '@x", "wide '=1+1")
    """
    marked = _FORMULA.sub(lambda found: found[1] + MARK * _begins(found) + found[2], text)
    return MARK + marked if _BROKEN.match(marked) else marked


def restored(text: str) -> str:
    """The text that `defused` was given.

    >>> [restored(defused(text)) for text in ("=1+1", "'=1", "'tis", "", "wide;'=1 -x")]
    ['=1+1', "'=1", "'tis", '', "wide;'=1 -x"]
    """
    marked = text.removeprefix(MARK) if _BROKEN.match(text) else text
    return _FORMULA.sub(lambda found: found[1] + found[2][_begins(found) :], marked)


def _begins(found: re.Match[str]) -> bool:
    """Whether a program may see a cell begin at a sign: at the start, behind a separator, behind a blank if no dash."""
    between = found[1]
    return not found.start() or bool(_SEPARATOR.search(between)) or (not found[3] and between.strip('"') != "")


class ListError(ValueError):
    """A list cannot be read, or its refused rows not written. The message is one line."""
