"""A band's title is in sight wherever a person scrolled to, and its figures stand in line."""

from __future__ import annotations

from pathlib import Path

import openpyxl
import pytest
from openpyxl.utils import get_column_letter

from tarelot.workbook_templates.sheets import limits as limits_sheet

BAND_ROW = 3
IN_SIGHT = 110.0
"""Width of columns that a window half as wide as a screen of 1600 shows: 800 pixels, at 7 a character."""


@pytest.mark.parametrize(("name", "columns"), [("Lot", 96), ("Tickets", 25)])
def test_no_stretch_of_a_band_lacks_its_title(demo_workbook: Path, name: str, columns: int) -> None:
    sheet = openpyxl.load_workbook(demo_workbook)[name]
    assert sheet.max_column >= columns
    title, color, since = "", "", 0.0
    for place in range(1, columns + 1):
        cell = sheet.cell(BAND_ROW, place)
        if cell.value:
            title, color, since = str(cell.value), str(cell.fill.start_color.rgb), 0.0
        assert title, f"no title before {cell.coordinate}"
        assert cell.fill.start_color.rgb == color, f"{cell.coordinate} has another color than {title}"
        since += sheet.column_dimensions[get_column_letter(place)].width
        assert since <= IN_SIGHT, f"{title} is not in sight at {cell.coordinate}"
    assert not sheet.merged_cells.ranges


def test_figures_of_limits_stand_in_line(demo_workbook: Path) -> None:
    sheet = openpyxl.load_workbook(demo_workbook)["Limits"]
    cells = [cell for letter in "DEGH" for cell in sheet[letter][limits_sheet.HEADING_ROW :] if cell.value is not None]
    assert len(cells) > 100
    # an indent is lost in LibreOffice beside some neighbors: seen in its window, "12" stood right of "24,000"
    assert {(cell.alignment.horizontal, cell.alignment.indent) for cell in cells} == {("right", 0.0)}
