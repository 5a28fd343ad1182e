"""Stored results of a sheet against what LibreOffice, IronCalc and Gnumeric make of its formulas."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from pathlib import Path

import openpyxl
from openpyxl.utils import coordinate_to_tuple
from openpyxl.utils.datetime import to_excel

from tests.engines import ironcalc_model
from tests.engines.office import Office

TOLERANCE = 1e-9  # two programs may add in another order; nothing else may differ

LEAST_FORMULAS = 4_500
"""What a whole workbook has at least."""
Grids = Mapping[str, Sequence[Sequence[object]]]
"""The values of each sheet, row by row from its first cell on."""


def stored(path: Path, sheet: str) -> dict[str, object]:
    """The stored result of each formula of a sheet, by cell."""
    formulas, values = (openpyxl.load_workbook(path, data_only=only)[sheet] for only in (False, True))
    cells = [cell.coordinate for row in formulas.iter_rows() for cell in row if cell.data_type == "f"]
    return {cell: values[cell].value for cell in cells}


def differing_in_libreoffice(path: Path, sheet: str, office: Office) -> list[tuple[str, object, object]]:
    """Cells whose stored result LibreOffice does not come to, with both."""
    grid = office.recalculate(path)[sheet]

    def read(row: int, column: int) -> object:
        return grid[row - 1][column - 1] if row <= len(grid) and column <= len(grid[row - 1]) else ""

    return _differing(path, sheet, read)


def differing_everywhere(path: Path, grids: Grids) -> list[tuple[str, str, object, object]]:
    """The same over every sheet of what an engine made of the workbook, each cell with its sheet."""
    formulas, values = (openpyxl.load_workbook(path, data_only=only) for only in (False, True))
    found = []
    for sheet in formulas:
        grid = grids[sheet.title]
        for row in sheet.iter_rows():
            for cell in (cell for cell in row if cell.data_type == "f"):
                here = grid[cell.row - 1] if cell.row <= len(grid) else []
                theirs = here[cell.column - 1] if cell.column <= len(here) else ""
                found.append((sheet.title, cell.coordinate, values[sheet.title][cell.coordinate].value, theirs))
    assert len(found) > LEAST_FORMULAS
    return [one for one in found if not same(*one[2:])]


def differing_in_ironcalc(path: Path, sheet: str) -> list[tuple[str, object, object]]:
    """Cells whose stored result IronCalc does not come to, with both."""
    model = ironcalc_model.load(path)
    model.evaluate()
    index = openpyxl.load_workbook(path, read_only=True).sheetnames.index(sheet)
    return _differing(path, sheet, lambda row, column: model.get_cell_value(index, row, column))


def _differing(path: Path, sheet: str, read: Callable[[int, int], object]) -> list[tuple[str, object, object]]:
    found = [(cell, value, read(*coordinate_to_tuple(cell))) for cell, value in stored(path, sheet).items()]
    return [one for one in found if not same(*one[1:])]


def same(a: object, b: object) -> bool:
    """Whether two results are the same to what adding in another order may change; a blank is an empty text.

    A day is its serial number, as engines say it where openpyxl reads a day.
    """
    a, b = ("" if value is None else to_excel(value) if isinstance(value, date) else value for value in (a, b))
    if isinstance(a, int | float) and isinstance(b, int | float):
        return abs(a - b) <= TOLERANCE * max(1.0, abs(a), abs(b))
    return bool(a == b)
