"""What a spreadsheet program is asked in its own way: whether a cell holds a formula, which no value tells."""

from __future__ import annotations

from collections.abc import Mapping

from openpyxl.formatting.rule import Rule

from tarelot.calc.cells.boundary import CellError
from tarelot.calc.cells.expression import Cell, Cells, Expression, Range, formula, lift
from tarelot.calc.cells.spreadsheet import NOT
from tarelot.calc.cells.values import NOT_THERE, WRONG_KIND, Value, Values, flat
from tarelot.calc.cells.working import Function, of_values
from tarelot.workbook_templates.basis import style


def _unknown(*_: Values) -> Value:
    message = "only a spreadsheet program can tell a formula from a figure"
    raise CellError(WRONG_KIND, message)


IS_FORMULA = Function("_xlfn.ISFORMULA", of_values(_unknown))
"""Newer than the other functions, of 2013: where a program lacks it, Start says so."""
_LOOKUP = Function("LOOKUP", of_values(_unknown))
"""The last of the numbers not above the first argument, which passes errors over, and what stands beside it."""
SUMIF = Function("SUMIF", of_values(_unknown))
"""The sum of the numbers that pass a test, which passes errors over."""


class LastWhere(Expression):
    """The last of the names where a condition is met; ``#N/A`` where it is nowhere."""

    __slots__ = ("condition", "names")
    is_single = True

    def __init__(self, condition: Expression, names: Range) -> None:
        self.condition, self.names = condition, names

    def text(self, places: Mapping[str, str]) -> str:
        """One over the condition is 1, or an error, which LOOKUP passes over."""
        return _LOOKUP(2, lift(1) / self.condition, self.names).text(places)

    def work_out(self, cells: Cells) -> Value:
        """The name beside the last that is met."""
        met = flat(self.condition.work_out(cells))
        found = [name for is_met, name in zip(met, flat(self.names.work_out(cells)), strict=True) if is_met]
        if not found:
            message = "none is met"
            raise CellError(NOT_THERE, message)
        return found[-1]

    def keys(self) -> set[str]:
        """Those of the condition and the names."""
        return self.condition.keys() | self.names.keys()


def typed_over(first: str) -> Rule:
    """A look of its own for a result that is no formula any more; Start says the same in words.

    Args:
        first: The first cell of the results.
    """
    result = Cell("result")
    return Rule(type="expression", dxf=style.TYPED_OVER, formula=[formula(NOT(IS_FORMULA(result)), {"result": first})])
