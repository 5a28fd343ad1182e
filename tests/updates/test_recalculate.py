"""``recalculate``: no old result stays stored on any sheet, and what was not worked out is said.

The outside reference is LibreOffice's hard recalculation of the same workbook.
"""

from __future__ import annotations

import shutil
import zipfile
from pathlib import Path

import openpyxl
import pytest

from tarelot.addin.command_line.main import main
from tarelot.workbook_templates.ooxml.cell_xml import Formula
from tarelot.workbook_templates.ooxml.package import edit, store_results
from tests.engines.office import Office
from tests.engines.stored_results import differing_everywhere

LOTS = Path(__file__).parents[1] / "lots" / "1"
pytestmark = pytest.mark.slow
OLD = "an old result"
ORDER, OWN, CHOICE = "C7", "Z90", "B5"
MADE = ('"11"&"08"', "1108")
"""A formula that chooses the trailer that the demo's What-if shows."""
WITH_RESULTS = (
    *("Start", "Lot", "Trailer", "What-if", "Match", "Compare", "Card", "Quote"),
    *("Tickets", "Machines", "Trucks", "Limits", "Drive-on"),
)


def formula_cells(path: Path) -> dict[str, list[str]]:
    """The cells of each sheet that hold a formula."""
    book = openpyxl.load_workbook(path)
    return {
        sheet.title: [cell.coordinate for row in sheet.iter_rows() for cell in row if cell.data_type == "f"]
        for sheet in book
    }


def planted(path: Path, target: Path) -> dict[str, list[str]]:
    """A workbook with an old result in the first, a middle and the last formula of each sheet; their cells."""
    cells = {
        name: sorted({found[0], found[len(found) // 2], found[-1]} - {CHOICE})
        for name, found in formula_cells(path).items()
        if found
    }
    store_results(path, target, {name: dict.fromkeys(found, OLD) for name, found in cells.items()})
    return cells


def results(path: Path, cells: dict[str, list[str]]) -> dict[str, list[object]]:
    """What is stored in cells."""
    book = openpyxl.load_workbook(path, data_only=True)
    return {name: [book[name][cell].value for cell in found] for name, found in cells.items()}


def parts(path: Path) -> dict[str, bytes]:
    """What each part of a workbook holds."""
    with zipfile.ZipFile(path) as package:
        return {name: package.read(name) for name in package.namelist()}


def test_an_old_result_on_any_sheet_is_put_right_and_nothing_else_changes(
    demo_workbook: Path, tmp_path: Path, office: Office, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "lot.xlsx"
    cells = planted(demo_workbook, path)
    assert set(cells) == set(WITH_RESULTS)
    assert main(["recalculate", str(path)]) == 0
    count = sum(map(len, cells.values()))
    assert f"{count} results stored." in capsys.readouterr().out
    assert results(path, cells) == results(demo_workbook, cells)
    assert parts(path) == parts(demo_workbook)
    assert differing_everywhere(path, office.recalculate(path)) == []
    assert main(["recalculate", str(path)]) == 0
    assert "every result is stored as it should be; nothing was written" in capsys.readouterr().out


def test_what_is_not_worked_out_is_taken_away_and_said(
    demo_workbook: Path, tmp_path: Path, office: Office, capsys: pytest.CaptureFixture[str]
) -> None:
    """Match in an order of its own, a formula of a person's own on the Card, and one that makes a choice."""
    typed, path = tmp_path / "typed.xlsx", tmp_path / "lot.xlsx"
    own = {"Match": {ORDER: "most spare weight"}, "Card": {OWN: Formula("1+1", 2)}, "What-if": {CHOICE: Formula(*MADE)}}
    edit(demo_workbook, typed, own)
    planted(typed, path)
    assert main(["recalculate", str(path)]) == 0
    said = " ".join(capsys.readouterr().out.split())
    everywhere = formula_cells(path)
    left = {name: len(everywhere[name]) for name in ("Match", "Compare")}
    assert f"Match {left['Match']:,} (they follow which trailers are shown there, and in which order)" in said
    assert f"Compare {left['Compare']:,} (they read Match)" in said
    assert "Card 1," in said
    assert "among the entries, taken as they last came to: What-if 1 " in said
    assert "every result" not in said
    after = results(path, everywhere)
    for name in left:
        assert set(after[name]) == {None}
    assert OLD not in {value for values in after.values() for value in values}
    grids = office.recalculate(path)
    waiting = {*left, "Start"}
    assert [one for one in differing_everywhere(path, grids) if one[0] not in waiting and one[1] != OWN] == []
    assert main(["recalculate", str(path)]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "nothing was written" in said
    assert "every result" not in said
    assert f"Match {left['Match']:,}" in said


def test_an_older_lot_keeps_no_old_result_on_the_sheets_that_follow_choices(
    tmp_path: Path, office: Office, capsys: pytest.CaptureFixture[str]
) -> None:
    path = Path(shutil.copy(LOTS / "tarelot-demo.xlsx", tmp_path / "lot.xlsx"))
    before = office.recalculate(path)
    assert main(["recalculate", str(path)]) == 0
    said = " ".join(capsys.readouterr().out.split())
    cells = formula_cells(path)["What-if"]
    assert f"What-if {len(cells):,} (the workbook is of format 1, today's is 3, see tarelot update)" in said
    assert "every result" not in said
    assert set(results(path, {"What-if": cells})["What-if"]) == {None}
    assert office.recalculate(path) == before
