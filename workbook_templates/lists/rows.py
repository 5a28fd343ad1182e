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

Record = tuple[int, list[Value]]  # row number as a person sees it, cells


class ListError(ValueError):
    """A list cannot be read, or its refused rows not written. The message is one line."""
