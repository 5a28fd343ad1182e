"""What xlwings hands over for a cell, and what a cell shows: the one helper behind every function of `lot_functions`.

xlwings gives a blank as None, a number as float, and with ``err_to_str`` one of the seven old error values as its
name; a newer one stays a bare COM number. It cannot return an error value to the cell: the cell then shows the text
``Check: `` and the reason, and a function that reads such a cell shows the same text.
"""

from __future__ import annotations

import datetime
from decimal import Decimal
from typing import Any, TypeAlias

from tarelot.calc.cells.boundary import CellError, call
from tarelot.calc.registry import BY_NAME
from tarelot.calc.spec import Parameter

Cell: TypeAlias = Any
"""A cell's value; xlwings reads an annotation as the type to convert to, and Any as "leave it"."""

REFUSED = "Check: "
LONGEST_REASON = 255
"""Characters; a cell's own text may be repeated in a reason, and Excel shows no text above 32,767."""

COM_ERRORS = -2146828288
"""0x800A0000 as a signed number: an error value is this plus its number in Excel's XlCVError."""
NEWER_ERRORS = {
    2043: "#GETTING_DATA",
    2045: "#SPILL!",
    2046: "#CONNECT!",
    2047: "#BLOCKED!",
    2048: "#UNKNOWN!",
    2049: "#FIELD!",
    2050: "#CALC!",
}
"""Those of XlCVError that xlwings has no name for."""


def answer(name: str, *cells: Cell) -> float | str:
    """The result of a worksheet function, an empty text for a blank, or ``Check: `` and the reason.

    Args:
        name: Worksheet name.
        cells: A value a parameter; a range is a list of rows.

    >>> answer("LOT_PAYLOAD", 15_000.0, 8_600.0)
    6400.0
    >>> answer("LOT_PAYLOAD", -1.0, 8_600.0)
    'Check: gross is -1 (any weight unit, the same throughout): allowed is above 0'
    """
    function = BY_NAME[name]
    try:
        return call(function, [_argument(p, cell) for p, cell in zip(function.parameters, cells, strict=True)])
    except CellError as error:
        reason = error.reason
        return REFUSED + (reason if len(reason) <= LONGEST_REASON else f"{reason[: LONGEST_REASON - 1]}…")


def _argument(parameter: Parameter, cell: Cell) -> object:
    """A parameter's value as the boundary takes it.

    Raises:
        CellError: An error in a cell, several cells where one belongs, or a figure that Excel may have changed.
    """
    if parameter.kind == "range":
        rows = cell if isinstance(cell, list) else [[cell]]  # an argument left out is no list
        return [[_value(parameter, value) for value in row] for row in rows]
    if isinstance(cell, list):
        raise CellError("#VALUE!", f"{parameter.name} is a block of cells: one cell is needed")
    return _value(parameter, cell)


def _value(parameter: Parameter, value: Cell) -> object:
    """One cell's value.

    A date or an amount of money is refused: for a cell of that format Excel hands over no plain number, but a date by
    the workbook's own calendar or an amount cut to four decimals.
    """
    if isinstance(value, str) and value.startswith(REFUSED):
        raise CellError("#VALUE!", value.removeprefix(REFUSED))
    if isinstance(value, int) and not isinstance(value, bool):
        number = value - COM_ERRORS
        if 2000 <= number < 3000:
            raise CellError("#VALUE!", f"a cell it reads holds {NEWER_ERRORS.get(number, f'error {number}')}")
        return float(value)
    if isinstance(value, datetime.date | Decimal):
        kind = "money" if isinstance(value, Decimal) else "a date"
        raise CellError("#VALUE!", f"{parameter.name} is in a cell formatted as {kind}: format it as a number")
    return value
