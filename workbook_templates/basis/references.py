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


def kept_in_place(cell: str, beside: str) -> str:
    """A typed cell as formulas read it, so that they go on reading that place whatever is moved.

    Where a person cuts what is typed and pastes it elsewhere, programs take references to that one cell along; a whole
    column stays. The row is told by a cell beside it that no one types in, so that rows put in above do no harm.

    Args:
        cell: The cell. No formula that hangs on it may stand in its column.
        beside: The cell beside it.

    >>> kept_in_place("'What-if'!$H$76", "'What-if'!$G$76")
    "INDEX('What-if'!$H:$H,ROW('What-if'!$G$76))"
    """
    column = cell.rstrip("0123456789").removesuffix("$")
    return f"INDEX({column}:{column.rpartition('!')[2]},ROW({beside}))"


def kept_in_row(row: str, above: str, first: str) -> str:
    """The same of a cell in a row: its column is told by a cell above it that no one types in.

    Args:
        row: The cells of the row, whose ends are not typed in. No formula that hangs on the cell may stand in it.
        above: The cell above it.
        first: The cell above the first of the row.

    >>> kept_in_row("$A$7:$F$7", "B$6", "$A$6")
    'INDEX($A$7:$F$7,1,COLUMN(B$6)-COLUMN($A$6)+1)'
    """
    return f"INDEX({row},1,COLUMN({above})-COLUMN({first})+1)"


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
