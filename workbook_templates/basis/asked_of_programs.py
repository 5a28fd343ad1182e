"""Functions that only a spreadsheet program is asked: whether a cell holds a formula no value tells."""

from __future__ import annotations

from openpyxl.formatting.rule import Rule

from tarelot.calc.cells.boundary import CellError
from tarelot.calc.cells.expression import Cell, formula
from tarelot.calc.cells.spreadsheet import NOT
from tarelot.calc.cells.values import WRONG_KIND, Value, Values
from tarelot.calc.cells.working import Function, of_values
from tarelot.workbook_templates.basis import style


def _unknown(*_: Values) -> Value:
    message = "only a spreadsheet program can tell a formula from a figure"
    raise CellError(WRONG_KIND, message)


IS_FORMULA = Function("_xlfn.ISFORMULA", of_values(_unknown))
"""Newer than the other functions, of 2013: where a program lacks it, Start says so."""
LOOKUP = Function("LOOKUP", of_values(_unknown))
"""The last of the numbers not above the first argument, which passes errors over, and what stands beside it."""
SUMIF = Function("SUMIF", of_values(_unknown))
"""The sum of the numbers that pass a test, which passes errors over."""


def typed_over(first: str) -> Rule:
    """A look of its own for a result that is no formula any more; Start says the same in words.

    Args:
        first: The first cell of the results.
    """
    result = Cell("result")
    return Rule(type="expression", dxf=style.TYPED_OVER, formula=[formula(NOT(IS_FORMULA(result)), {"result": first})])
