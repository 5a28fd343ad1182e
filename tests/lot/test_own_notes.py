"""A row with nothing but a person's own text is no trailer: not to the workbook's formulas, and not to what reads it.

What the formulas count is LibreOffice's own calculation; openpyxl writes the notes and reads them back.
"""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import openpyxl
import pytest

from tarelot.addin.command_line.main import main
from tarelot.workbook_templates.lot.reading import read_lot
from tests.engines.office import Office
from tests.lot.own_column import add_own_column

TRAILERS, FIRST_BLANK = 24, 29  # of the demo yard
NOTES = {30: "ask about a deposit", 31: "  two spaces, kept  ", 33: 0}
SHARE = "Share"


@pytest.fixture
def noted(demo_workbook: Path, tmp_path: Path) -> Path:
    """The demo yard with a person's own notes in three of its six prepared rows."""
    path = Path(shutil.copy(demo_workbook, tmp_path / "noted.xlsx"))
    add_own_column(path, "Notes of mine", NOTES)
    return path


def test_the_formulas_count_no_trailer_for_a_note(noted: Path, office: Office) -> None:
    lot = read_lot(noted)
    assert (len(lot.rows), lot.blank_rows) == (TRAILERS, [29, 32, 34])
    counted = office.recalculate(noted)["Start"]
    place = next(
        (row, column) for row, cells in enumerate(counted) for column, c in enumerate(cells) if c == "trailers"
    )
    assert counted[place[0] - 1][place[1]] == len(lot.rows) == TRAILERS


def test_the_review_counts_none_either(noted: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["review", str(noted), "--json"]) in (0, 1)
    said = json.loads(capsys.readouterr().out)
    assert said["totals"]["trailers"] == len(said["trailers"]) == TRAILERS


def test_an_import_passes_over_the_rows_with_notes(noted: Path, tmp_path: Path) -> None:
    before = openpyxl.load_workbook(noted)["Lot"]
    column = before.max_column
    listed = tmp_path / "list.csv"
    listed.write_text("Stock no.,Make,GVWR\n" + "".join(f"N{n},x,{n}000\n" for n in range(1, 6)), encoding="utf-8")
    assert main(["import", str(noted), str(listed), "--yes"]) == 0
    after = openpyxl.load_workbook(noted)["Lot"]
    # Three blank rows, then two below the table, which ended in row 34.
    stocks = {number: after[f"A{number}"].value for number in range(FIRST_BLANK, 37)}
    assert stocks == {29: "N1", 30: None, 31: None, 32: "N2", 33: None, 34: "N3", 35: "N4", 36: "N5"}
    for number in range(1, 37):
        assert after.cell(number, column).value == before.cell(number, column).value
    for number, note in NOTES.items():
        assert after.cell(number, column).value == note
    assert len(read_lot(noted).rows) == TRAILERS + 5


def test_a_formula_of_ones_own_is_no_note(demo_workbook: Path, tmp_path: Path, office: Office) -> None:
    """Filled down over the prepared rows it comes to 0 there, where nobody typed anything."""
    path = Path(shutil.copy(demo_workbook, tmp_path / "share.xlsx"))
    add_own_column(path, SHARE, {number: f"=N(K{number})*0.1" for number in range(5, 35)})
    lot = read_lot(office.save_as(path, tmp_path / "calculated.xlsx"))
    assert (len(lot.rows), lot.blank_rows) == (TRAILERS, [29, 30, 31, 32, 33, 34])
