"""Functions that only a spreadsheet program works out: whether a cell holds a formula no value tells."""

from __future__ import annotations

from tarelot.calc.cells.boundary import CellError
from tarelot.calc.cells.values import WRONG_KIND, Value, Values
from tarelot.calc.cells.working import Function, of_values


def _unknown(*_: Values) -> Value:
    message = "only a spreadsheet program can tell a formula from a figure"
    raise CellError(WRONG_KIND, message)


IS_FORMULA = Function("_xlfn.ISFORMULA", of_values(_unknown))
"""Newer than the other functions, of 2013: where a program lacks it, Start says so."""
LOOKUP = Function("LOOKUP", of_values(_unknown))
"""The last of the numbers not above the first argument, which passes errors over, and what stands beside it."""
