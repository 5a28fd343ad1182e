"""The What-if sheet to type into, for the tests: the whole workbook in IronCalc, and where things stand on it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import openpyxl
from openpyxl.workbook import Workbook

from tarelot.workbook_templates.hauling.what_if import rows as what_if_rows
from tests.engines import ironcalc_model

FIGURE_ROWS = what_if_rows.figure_rows()


class Live:
    """The whole workbook in IronCalc, to type into."""

    def __init__(self, path: Path) -> None:
        self.model = ironcalc_model.load(path)
        names = openpyxl.load_workbook(path, read_only=True).sheetnames
        self.index = {name: place for place, name in enumerate(names)}

    def type(self, cells: dict[str, object]) -> None:
        for cell, value in cells.items():
            self.set("What-if", cell, "" if value is None else str(value))
        self.model.evaluate()

    def set(self, sheet: str, cell: str, text: str) -> None:
        """Type into a cell; nothing is worked out yet."""
        self.model.set_user_input(self.index[sheet], *place(cell), text)

    def read(self, sheet: str, cell: str) -> Any:
        return self.model.get_cell_value(self.index[sheet], *place(cell))


def place(cell: str) -> tuple[int, int]:
    row, column = openpyxl.utils.cell.coordinate_to_tuple(cell)
    return row, column


def typed_cell(key: str) -> str:
    return f"H{FIGURE_ROWS[key]}"


def answer_cell(book: Workbook, label: str, column: str = "B") -> str:
    rows = [cell.row for cell in book["What-if"]["A"] if cell.value == label]
    assert len(rows) == 1, label
    return f"{column}{rows[0]}"


def value_cell(book: Workbook, name: str) -> str:
    """The cell of a named value on Drive-on."""
    rows = [cell.row for cell in book["Drive-on"]["A"] if cell.value == name]
    assert len(rows) == 1, name
    return f"B{rows[0]}"
