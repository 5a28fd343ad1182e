"""The result columns that speak of the whole row or the whole table: what its checks found, and what stands twice."""

from __future__ import annotations

from collections import Counter
from functools import reduce
from operator import add

from tarelot.calc.cells.expression import Cell, Cells, Expression, Places, Range, Registered, lift
from tarelot.calc.cells.spreadsheet import AND, FIXED, IF, IFERROR, OR, SUMPRODUCT, TRIM, UPPER, N, is_blank, listing
from tarelot.calc.checks import PASSED, SINGLE_DIGITS, split_unit
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.lot.columns import results
from tarelot.workbook_templates.lot.entries import STOCK_TWICE

CONFLICT, OPEN, NONE = "▲", "?", "none"
"""How a verdict begins: conflicts; none found, but not everything was looked at; all looked at, nothing found."""
CHECK_VALUES = "check_values"
"""The key of all checks of a row."""


class Occurrences(Expression):
    """How often a text stands in a column of texts; worked out from a count of all of them, not row by row."""

    __slots__ = ("cell", "column")
    is_single = True

    def __init__(self, column: str, cell: str) -> None:
        self.column, self.cell = Range(column), Cell(cell)

    def text(self, places: Places) -> str:
        """The cells that are the same, case aside, counted."""
        return SUMPRODUCT(self.column.equals(self.cell) * 1).text(places)

    def work_out(self, cells: Cells) -> float:
        """The count; texts are counted in lower case."""
        counts = cells[self.column.key]
        if not isinstance(counts, Counter):
            message = f"{self.column.key} is not counted"
            raise TypeError(message)
        return float(counts[str(self.cell.work_out(cells)).lower()])

    def keys(self) -> set[str]:
        """The column and the cell."""
        return {self.column.key, self.cell.key}


def row_expressions(units: Units) -> dict[str, Expression]:
    """Conflicts, What conflicts, Not checked, Duplicate and their parts, by key."""
    checks = [(column.key, units.heading(column.heading)) for column in results() if column.kind.startswith("check")]
    return {
        "conflicts": verdict(CHECK_VALUES),
        "what_conflicts": listing(_conflict(key, heading) for key, heading in checks),
        "not_checked": _unless_blank(listing(_missing(key, heading) for key, heading in checks)),
        "stock_text": _as_text("stock"),
        "vin_text": UPPER(_as_text("vin")),
        "repeated": _repeated(),
    }


def _unless_blank(otherwise: Expression) -> Expression:
    """Blank where the row holds no trailer: no stock number, no VIN, no GVWR, and nothing wrong."""
    return IF(_all_told("stock_text", "vin_text", "gross_limit", "entry_check").equals(""), "", otherwise)


def _all_told(*keys: str) -> Expression:
    """What some cells say, one behind the other."""
    told: Expression = Cell(keys[0])
    for key in keys[1:]:
        told = told & Cell(key)
    return told


def verdict(*stretches: str) -> Expression:
    """Never "none" where a check lacked figures or an entry was refused.

    Args:
        stretches: Keys of the cells of the checks, one for each stretch of them: in an older lot that was brought up
            to date, and where a person moved columns, they do not all stand beside each other.
    """
    found, blank = (
        reduce(add, parts)
        for parts in (
            [Registered("LOT_CONFLICT_COUNT", Range(key), guarded=False) for key in stretches],
            [SUMPRODUCT(Range(key).equals("") * 1) for key in stretches],
        )
    )
    refused = (Cell("refused") & Cell("refused_words")).differs("") + Cell("unlisted").differs("")
    lacking = blank + refused
    some_lack = _all_told("not_checked", "refused", "refused_words", "unlisted").differs("")
    otherwise = IF(some_lack, f"{OPEN} " & lacking & " not checked", NONE)
    return _unless_blank(IF(Cell("what_conflicts").equals(""), otherwise, f"{CONFLICT} " & found))


def _conflict(key: str, heading: str) -> Expression:
    """One check's share of What conflicts: nothing, or its amount in words."""
    cell, (name, unit) = Cell(key), split_unit(heading)
    if not unit:
        return IF(OR(cell.equals(""), cell.equals(PASSED)), "", f"; {name}: " & cell)
    return IF(N(cell) > 0, f"; {name} by " & FIXED(cell, cell < SINGLE_DIGITS) & f" {unit}", "")


def _missing(key: str, heading: str) -> Expression:
    """One check's share of Not checked."""
    return IF(Cell(key).equals(""), f"; {split_unit(heading)[0]}", "")


def _as_text(key: str) -> Expression:
    """A number or text as a text; an error counts as blank, which Entry check names."""
    cell = Cell(key)
    return IFERROR(IF(is_blank(cell), "", TRIM(cell & "")), "")


def _repeated() -> Expression:
    """Whether the stock number or the VIN stands twice in its column."""
    stock, vin = Cell("stock_text"), Cell("vin_text")
    stock_twice, vin_twice = (
        AND(cell.differs(""), Occurrences(column, cell.key) > 1)
        for column, cell in (("stock_column", stock), ("vin_column", vin))
    )
    and_vin = IF(vin_twice, " and VIN", "")
    found = IF(stock_twice, lift(STOCK_TWICE) & and_vin, IF(vin_twice, "VIN", PASSED))
    return IF((stock & vin).equals(""), "", found)
