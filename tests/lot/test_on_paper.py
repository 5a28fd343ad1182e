"""What is printed: long words stand whole, rows in reserve leave no lines on Match, no filled row is left out."""

from __future__ import annotations

import subprocess
from pathlib import Path

import openpyxl
import pytest
from openpyxl.utils import range_boundaries

from tarelot.workbook_templates.hauling.match.columns import SHOWN
from tarelot.workbook_templates.hauling.quote import entries
from tests.engines.office import Office

TYPED_FOR_ONE = 25
"""The demo's row whose entry check is the longest: 115 letters, in a column that is 44 wide."""


@pytest.mark.parametrize(("name", "tall", "usual"), [("Lot", TYPED_FOR_ONE, 5), ("Machines", 5, 6)])
def test_a_row_grows_with_what_its_entry_check_says(
    demo_workbook: Path, tmp_path: Path, office: Office, name: str, tall: int, usual: int
) -> None:
    """115 letters take two lines at least of a column for 44; LibreOffice says how tall each row is."""
    book = openpyxl.load_workbook(demo_workbook)
    assert not any(book[name].row_dimensions[row].customHeight for row in (tall, usual))
    if name == "Machines":
        for column in (4, 5, 6, 7, 12, 13):  # weight and lengths that are not likely
            book[name].cell(tall, column).value = 9_999_999
    book.save(tmp_path / "typed.xlsx")
    (tmp_path / "kept").mkdir()
    shown = openpyxl.load_workbook(office.save_as(tmp_path / "typed.xlsx", tmp_path / "kept" / "lot.xlsx"))[name]
    heights = [shown.row_dimensions[row].height for row in (tall, usual)]
    assert heights[0] > 1.5 * heights[1]


@pytest.mark.parametrize("name", ["Lot", "Tickets", "Options", "Machines", "Trucks"])
def test_every_row_of_a_table_is_printed(demo_workbook: Path, name: str) -> None:
    sheet = openpyxl.load_workbook(demo_workbook)[name]
    last = range_boundaries(sheet.tables[name].ref)[3]
    if sheet.print_area:
        assert range_boundaries(sheet.print_area.partition("!")[2].replace("$", ""))[3] >= last


def test_lines_in_reserve_on_match_have_no_look_of_their_own(demo_workbook: Path) -> None:
    sheet = openpyxl.load_workbook(demo_workbook)["Match"]
    for cell in sheet[61][: len(SHOWN)]:  # the last of 50 lines for 24 trailers
        assert (cell.fill.fill_type, cell.border.bottom.style) == (None, None)
    rules = {str(area.sqref): area.rules for area in sheet.conditional_formatting}
    assert [rule.formula for rule in rules["A12:J61"] if rule.dxf.fill and rule.dxf.border] == [['$B12<>""']]


def test_what_is_typed_for_a_quote_stands_in_rows_of_a_height_to_read_it(demo_workbook: Path) -> None:
    sheet = openpyxl.load_workbook(demo_workbook)["Quote"]
    for entry in entries.ENTRIES:
        assert (sheet.row_dimensions[entry.row].height or 15) >= 15, entry.label


def test_a_picture_is_cut_from_the_page_whose_foot_names_its_sheet(
    demo_workbook: Path, tmp_path: Path, office: Office
) -> None:
    """Start takes two pages, so that Options is no page of its own number; poppler reads what LibreOffice prints."""
    pdf = office.convert(demo_workbook, tmp_path, "pdf")
    cut = Path(__file__).parents[2] / ".ci" / "picture"
    for sheet, status, said in (("Options", 0, ""), ("Nowhere", 1, "names the sheet Nowhere")):
        done = subprocess.run(
            [cut, pdf, sheet, tmp_path / f"{sheet}.png", "50", "0", "0", "100", "100"], capture_output=True, text=True
        )
        assert (done.returncode, said in done.stderr) == (status, True)
    assert (tmp_path / "Options.png").read_bytes()[:4] == b"\x89PNG"
    assert not (tmp_path / "Nowhere.png").exists()
