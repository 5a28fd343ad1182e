"""The extension's component: LibreOffice creates it when a cell first calls one of the worksheet functions.

It runs inside LibreOffice, in LibreOffice's own Python. The build carries it into the .oxt together with `calc` and
`addin.boundary`, all under one package name (see build.py).

What Calc hands over, and what it takes back:

- An error in a single value never arrives: Calc shows it without asking. A block of cells arrives as its range, whose
  errors are looked for here.
- TRUE and FALSE arrive as 1 and 0. An argument that is left out arrives as None.
- A blank cell given as a single value arrives as 0, in every form that also takes literals. That matters only where 0
  is a figure; ``IF(A1="","",A1)`` tells it apart, and so does ``A1:A1``, which an .xlsx does not keep.
- A number that is not a number, with an error's code in its low word, is shown as that error.
"""

from __future__ import annotations

import struct
from collections.abc import Callable, Sequence
from typing import Any

import unohelper  # type: ignore[import-not-found]
from com.sun.star.lang import XServiceInfo, XServiceName  # type: ignore[import-not-found]
from org.tarelot import XFunctions  # type: ignore[import-not-found]

from tarelot.addin.libreoffice.names import CODES, IMPLEMENTATION, SERVICE, Named, method_name
from tarelot.calc.cells.boundary import CellError, call
from tarelot.calc.registry import FUNCTIONS
from tarelot.calc.spec import Function

QUIET_NAN = 0x7FF8000000000000
LONG_RANGE = 10_000
"""Rows from which a range is cut at the last used row: reading a whole column takes seconds."""


def error_value(code: int) -> float:
    """The number that Calc shows as the error of this code."""
    return float(struct.unpack("<d", struct.pack("<Q", QUIET_NAN | code))[0])


def single(cell: Any) -> Any:
    """A single value: Calc hands over a block of one cell as rows of columns."""
    return cell[0][0] if isinstance(cell, tuple) and len(cell) == 1 and len(cell[0]) == 1 else cell


def first_error(cells: Any, rows: Sequence[tuple[Any, ...]]) -> int | None:
    """The code of the first error in a range of cells with these values, row by row."""
    for row, values in enumerate(rows):
        if None in values:
            return int(cells.getCellByPosition(values.index(None), row).getError())
    return None


def last_used_row(cells: Any) -> int:
    """The number of the last used row of the sheet that a range is on."""
    cursor = cells.getSpreadsheet().createCursor()
    cursor.gotoEndOfUsedArea(False)
    return int(cursor.getRangeAddress().EndRow)


def may_be_long(cells: Any) -> bool:
    """Whether a range may have so many rows, by its name: to ask for its address takes several times as long."""
    first, _, last = cells.AbsoluteName.rpartition(".")[2].partition(":")
    top, bottom = (corner.rpartition("$")[2] for corner in (first, last or first))
    return not (top.isdecimal() and bottom.isdecimal() and int(bottom) - int(top) < LONG_RANGE)


def cut_long(ranges: list[Any]) -> list[Any]:
    """Ranges, the long ones among them without the rows that no sheet of theirs uses: all to the same row."""
    if not any(map(may_be_long, ranges)):
        return ranges
    addresses = [cells.getRangeAddress() for cells in ranges]
    last = max(last_used_row(cells) for cells in ranges)
    return [
        cells.getCellRangeByPosition(0, 0, a.EndColumn - a.StartColumn, max(0, min(a.EndRow, last) - a.StartRow))
        for cells, a in zip(ranges, addresses, strict=True)
    ]


def shown(function: Function, cells: list[Any]) -> float | str:
    """What the cell shows: the function's result, or the error's number."""
    try:
        result = call(function, cells)
    except CellError as error:
        return error_value(CODES[error.code])
    return result if isinstance(result, str) else float(result)


def shown_of_ranges(function: Function, is_range: list[bool], arguments: tuple[Any, ...]) -> float | str:
    """The same where there are blocks of cells among the arguments."""
    ranges = cut_long([argument for argument, block in zip(arguments, is_range, strict=True) if block])
    blocks = [cells.DataArray for cells in ranges]  # as a property: a method is looked up first, which takes as long
    for code in map(first_error, ranges, blocks):
        if code is not None:
            return error_value(code)
    values = iter(blocks)
    cells = [next(values) if block else single(argument) for argument, block in zip(arguments, is_range, strict=True)]
    return shown(function, cells)


def method(function: Function) -> Callable[..., float | str]:
    """The interface's method for a worksheet function."""
    is_range = [parameter.kind == "range" for parameter in function.parameters]
    if any(is_range):
        return lambda _self, *arguments: shown_of_ranges(function, is_range, arguments)
    return lambda _self, *arguments: shown(function, [single(argument) for argument in arguments])


class Service(Named, unohelper.Base, XServiceName, XServiceInfo):  # type: ignore[misc]
    """What every component answers about itself."""

    IMPLEMENTATION, SERVICE = IMPLEMENTATION, SERVICE

    def __init__(self, context: Any, *_arguments: Any) -> None:
        self.context = context

    def getServiceName(self) -> str:  # noqa: N802
        """The service under which Calc knows the functions."""
        return SERVICE


Functions = type(
    "Functions", (Service, XFunctions), {method_name(function.name): method(function) for function in FUNCTIONS}
)

# pythonloader.py looks for this very name
g_ImplementationHelper = unohelper.ImplementationHelper()  # noqa: N816
g_ImplementationHelper.addImplementation(Functions, IMPLEMENTATION, (SERVICE,))
