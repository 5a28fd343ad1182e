"""An empty cell with a format is empty, though IronCalc's own reader takes it for 0."""

from __future__ import annotations

from pathlib import Path

import openpyxl
from openpyxl.styles import PatternFill

from tests.engines import ironcalc_model


def test_an_empty_cell_with_a_color_is_empty(tmp_path: Path) -> None:
    path = tmp_path / "book.xlsx"
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    sheet["A1"].fill = PatternFill("solid", fgColor="FFF7E0")
    sheet["B1"], sheet["C1"] = '=IF(A1="","blank",A1)', "=ISBLANK(A1)"
    book.save(path)
    found = []
    for load in (ironcalc_model.load, ironcalc_model.load_as_it_is):
        model = load(path)
        model.evaluate()
        found.append([model.get_cell_value(0, 1, column) for column in (2, 3)])
    assert found == [["blank", True], [0.0, False]]
