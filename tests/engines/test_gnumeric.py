"""Every stored result of the demo workbook, worked out by Gnumeric: an engine that shares no code with the other two.

What its reader has to be told first is done in ``gnumeric.py``; here each such thing is shown to be needed, in the
smallest workbook that shows it.
"""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
import xlsxwriter

from tarelot.workbook_templates.hauling import upkeep
from tests.engines import gnumeric
from tests.engines.office import Office
from tests.engines.stored_results import differing_everywhere

pytestmark = pytest.mark.slow


def test_stored_results(demo_workbook: Path, tmp_path: Path) -> None:
    """Every cell, but for whether results were typed over: Gnumeric asks one cell alone whether it holds a formula."""
    differing = differing_everywhere(demo_workbook, gnumeric.recalculated(demo_workbook, tmp_path))
    assert {sheet for sheet, *_ in differing} == {upkeep.SHEET}
    said = {cell: theirs for _, cell, _, theirs in differing}
    assert said.pop(upkeep.TYPED_OVER) == "This program cannot tell results that were typed over."
    assert {cell[:1] for cell in said} == {upkeep.COUNT_COLUMN}
    assert set(said.values()) == {upkeep.UNKNOWN}


def small_workbook(path: Path, formulas: list[str], stored: object = "stored") -> Path:
    """A table named Yard with 3 and 4 in its one column, B1 empty, and formulas from D1 down with a stored result."""
    with xlsxwriter.Workbook(path) as book:
        sheet = book.add_worksheet("One & only")
        sheet.add_table("A1:A3", {"name": "Yard", "data": [[3], [4]], "columns": [{"header": "Weight (lb) #"}]})
        for row, formula in enumerate(formulas):
            sheet.write_formula(row, 3, formula, None, stored)
    return path


def results(sheets: dict[str, list[tuple[object, ...]]], formulas: list[str]) -> list[object]:
    """What came out of the formulas."""
    return [row[3] for row in sheets["One & only"][: len(formulas)]]


def test_what_is_stored_is_not_what_is_read(tmp_path: Path) -> None:
    """By hand: 3 + 4; twice the 3 of the own row; a text with signs that XML writes otherwise and a table's name."""
    formulas = [
        "SUM(Yard[Weight (lb) '#])",
        "Yard[[#This Row],[Weight (lb) '#]]*2",
        '"a<b & Yard[c]"',
        'IF(N(B1)=0,"none",N(B1))',
    ]
    path = small_workbook(tmp_path / "small.xlsx", formulas)
    assert results(gnumeric.recalculated(path, tmp_path), formulas) == [7.0, 6.0, "a<b & Yard[c]", "none"]


class TestFaultsOfGnumeric:
    """Without what ``gnumeric.py`` does; seen in 1.12.55. Where one is mended, this test says so: then take it out."""

    def as_it_is(self, tmp_path: Path, formulas: list[str], stored: object = 0) -> list[object]:
        path = small_workbook(tmp_path / "small.xlsx", formulas, stored)
        gnumeric.run(path, tmp_path / "out.xlsx")
        return results(gnumeric.values(tmp_path / "out.xlsx"), formulas)

    def test_it_reads_no_reference_into_a_table(self, tmp_path: Path) -> None:
        [shown] = self.as_it_is(tmp_path, ["SUM(Yard[Weight (lb) '#])"])
        assert str(shown).startswith("#")

    def test_the_number_of_an_empty_cell_is_an_error(self, tmp_path: Path, office: Office) -> None:
        """0 by the table on Microsoft's support page for N ("Anything else: 0", from memory), and in LibreOffice."""
        assert office.evaluate(["N(B1)", 'N("")', "N(7)"]) == [0.0, 0.0, 7.0]
        assert self.as_it_is(tmp_path, ["N(B1)", 'N("")', "N(7)"]) == ["#NUM!", 0.0, 7.0]

    def test_one_place_in_a_row_is_an_error(self, tmp_path: Path, office: Office) -> None:
        """The second, by Microsoft's page on INDEX: of one row the row number may be left out (from memory)."""
        formulas = ["INDEX({5,6,7},2)", "INDEX({5,6,7},1,2)"]
        assert office.evaluate(formulas) == [6.0, 6.0]
        assert self.as_it_is(tmp_path, formulas) == ["#REF!", 6.0]


def test_where_it_is_missing_the_command_that_brings_it_is_said(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(shutil, "which", lambda _: None)
    with pytest.raises(gnumeric.GnumericError, match=r"bash \.ci/install-office"):
        gnumeric.run(tmp_path / "a.xlsx", tmp_path / "b.xlsx")
