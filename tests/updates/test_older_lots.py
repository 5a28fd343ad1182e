"""Lists into lots of an older form, as people have them: `tests/lots/1` says what is in each.

The reader from outside is openpyxl.
"""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import openpyxl
import pytest
from openpyxl.formula.translate import Translator

from tarelot.addin.command_line.main import main
from tests.lot.small_lot import list_of

LOTS = Path(__file__).parents[1] / "lots" / "1"
DEMOS = ("tarelot-demo", "demo-customized", "demo-customized-libreoffice")
EMPTY = ("tarelot-lot-us", "tarelot-lot-metric")
FIRST_ROW = 5


def older(name: str, tmp_path: Path) -> Path:
    return Path(shutil.copy(LOTS / f"{name}.xlsx", tmp_path / "lot.xlsx"))


def formulas(path: Path) -> dict[str, dict[str, object]]:
    """What the cells of each sheet hold, formulas as formulas."""
    book = openpyxl.load_workbook(path)
    return {
        page.title: {cell.coordinate: getattr(cell.value, "text", cell.value) for row in page for cell in row}
        for page in book.worksheets
    }


@pytest.mark.parametrize("name", DEMOS)
def test_a_price_comes_in_and_nothing_else_changes(
    name: str, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    lot = older(name, tmp_path)
    before = formulas(lot)
    page = openpyxl.load_workbook(lot)["Lot"]
    (price,) = (cell.column_letter for cell in page[FIRST_ROW - 1] if cell.value == "Price")
    (row,) = (cell.row for cell in page["A"] if cell.value == "1104")
    assert main(["import", str(lot), str(list_of(tmp_path, "Stock no.,Price", "1104,4321")), "--yes"]) == 0
    shown, complaints = capfd.readouterr()
    assert complaints == ""
    assert "holds a formula of your own" in shown
    after = formulas(lot)
    changed = [(page, place) for page in before for place in before[page] if before[page][place] != after[page][place]]
    assert changed == [("Lot", f"{price}{row}")]
    assert after["Lot"][f"{price}{row}"] == 4321


@pytest.mark.parametrize("name", EMPTY)
def test_first_trailers_get_the_lots_own_formulas(name: str, tmp_path: Path) -> None:
    lot = older(name, tmp_path)
    assert main(["import", str(lot), str(list_of(tmp_path, "Stock no.,Price", "N1,1", "N2,2")), "--yes"]) == 0
    page = openpyxl.load_workbook(lot)["Lot"]
    for cell in page[FIRST_ROW]:
        held, below = cell.value, page.cell(FIRST_ROW + 1, cell.column).value
        if isinstance(held, str) and held.startswith("="):
            assert below == Translator(held, cell.coordinate).translate_formula(row_delta=1), cell.coordinate
    heads = {cell.value: cell.column for cell in page[4]}
    assert str(page.cell(FIRST_ROW, heads["Conflicts"]).value).startswith("=")


def test_more_new_trailers_than_rows_that_have_formulas(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """LibreOffice's table states no formulas: a new row's verdict would be blank, which reads as sound."""
    lot = older("demo-customized-libreoffice", tmp_path)
    new = list_of(tmp_path, "Stock no.,Price", *(f"N{n},1" for n in range(9)))
    before, there = lot.read_bytes(), sorted(tmp_path.iterdir())
    assert main(["import", str(lot), str(new), "--yes"]) == 2
    complaint = capfd.readouterr().err
    assert re.fullmatch(
        r"tarelot: lot\.xlsx is of an older form: [^\n]*Conflicts[^\n]*Nothing was changed\.\n", complaint
    )
    assert (lot.read_bytes(), sorted(tmp_path.iterdir())) == (before, there)
