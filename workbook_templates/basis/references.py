"""References into a table, always in the long form: the short one with ``@`` fails in some programs."""

from __future__ import annotations

import re

SPECIAL = re.compile(r"(['\[\]#])")
LOWEST_ROW = 20_000
"""Row down to which formulas of ours look where a table may grow, or where something may stand below it."""


def escaped(heading: str) -> str:
    """A heading as a reference writes it: ``'`` before each character that has a meaning there.

    >>> escaped("Lot #")
    "Lot '#"
    """
    return SPECIAL.sub(r"'\1", heading)


def row_reference(heading: str, table: str = "Lot") -> str:
    """The cell of a column in the formula's own row.

    >>> row_reference("GVWR (lb)")
    'Lot[[#This Row],[GVWR (lb)]]'
    """
    return f"{table}[[#This Row],[{escaped(heading)}]]"


def row_span(table: str, first: str, last: str) -> str:
    """The cells from one column to another in the formula's own row."""
    return f"{table}[[#This Row],[{escaped(first)}]:[{escaped(last)}]]"


def table_column(table: str, heading: str) -> str:
    """All cells of a column."""
    return f"{table}[{escaped(heading)}]"


def column_key(table: str, heading: str) -> str:
    """The key under which expressions read all cells of a column."""
    return f"{table}[{heading}]"


class Places(dict[str, str]):
    """References by key; a column of a table needs none, since its key says where it is.

    >>> Places()["Lot[GVWR (lb)]"]
    'Lot[GVWR (lb)]'
    """

    def __missing__(self, key: str) -> str:
        table, bracket, heading = key.partition("[")
        if not bracket:
            raise KeyError(key)
        return table_column(table, heading[:-1])
