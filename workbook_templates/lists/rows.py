"""Rows of a list as every form of file gives them, and what is too much of them."""

from __future__ import annotations

import re

from tarelot.workbook_templates.lists.quantities import Value

MOST_CELLS = 20_000_000  # of one sheet; a lot of 100,000 trailers has 4 million
MOST_COLUMNS = 16_384  # what spreadsheets have
UNSTORED = "#FORMULA?"  # stands for a formula whose result is not in the file
ERRORS = re.compile(
    r"#(?:NULL!|DIV/0!|VALUE!|REF!|NAME\?|NUM!|N/A|SPILL!|CALC!|GETTING_DATA|FORMULA\?)|Err:[0-9]{3}|#{3,}"
)

# What spreadsheet programs take for a formula's beginning: OWASP, "CSV Injection", with the wide forms that programs
# read likewise. Blanks before it are passed over by some. Behind marks of our own it must be told from them.
_FORMULA = re.compile(r"'*(?:[\t\r\n]|\s*[=+\-@\uff1d\uff0b\uff0d\uff20])")
MARK = "'"

Record = tuple[int, list[Value]]  # row number as a person sees it, cells


def defused(text: str) -> str:
    """A text that starts no formula in a spreadsheet program that opens it out of a CSV; `restored` takes it back.

    >>> defused("=1+1"), defused("-5"), defused("'=1"), defused("1-5"), defused("'tis")
    ("'=1+1", "'-5", "''=1", '1-5', "'tis")
    """
    return MARK + text if _FORMULA.match(text) else text


def restored(text: str) -> str:
    """The text that `defused` was given.

    >>> [restored(defused(text)) for text in ("=1+1", "'=1", "'tis", "")]
    ['=1+1', "'=1", "'tis", '']
    """
    return text.removeprefix(MARK) if _FORMULA.match(text) else text


class ListError(ValueError):
    """A list cannot be read, or its refused rows not written. The message is one line."""
