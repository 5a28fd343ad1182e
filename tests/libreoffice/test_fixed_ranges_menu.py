"""Who reads fixed rows of the Lot that end before new ones, as LibreOffice's menu finds it in the open workbook.

What ranges LibreOffice widens by itself is LibreOffice's own doing: its formulas are read after each step.
"""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from tarelot.addin.libreoffice.build import build
from tarelot.addin.libreoffice.menu.names import ADD_ROWS, IMPORT, PROTOCOL
from tests.engines.office import Office
from tests.lot.small_lot import list_of
from tests.updates.own_readers import CELLS, SALES, add_own_readers, add_own_rules, findings

SUCCESS = 1  # com.sun.star.frame.DispatchResultState
READ = [f"{SALES}!{place}" for place in ("B2", "B3", "C28")]
UNDO = {"undo": True}


@pytest.fixture(scope="module")
def office_with_menu(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with Office(build(tmp_path_factory.mktemp("fixed") / "tarelot.oxt")) as running:
        yield running


@pytest.fixture
def yard(demo_workbook: Path, tmp_path: Path) -> Path:
    path = Path(shutil.copy(demo_workbook, tmp_path / "yard.xlsx"))
    add_own_readers(path)
    return path


def choose(action: str, **arguments: Any) -> dict[str, Any]:
    return {"url": PROTOCOL + action, "arguments": {"Quiet": True, **arguments}}


def in_calc(line: str) -> str:
    """A finding with its range as Calc writes it."""
    return re.sub(r"reads '?Lot'?!", "reads $Lot.", line)


def test_after_an_import_and_nothing_changed(yard: Path, tmp_path: Path, office_with_menu: Office) -> None:
    listed = list_of(tmp_path, "Stock no.,Make,GVWR", *(f"N{n},x,7000" for n in range(1, 9)))
    calls = [{"type": {}}, choose(IMPORT, List=str(listed)), {"store": str(tmp_path / "saved.xlsx")}]
    done = office_with_menu.dispatch(yard, calls, reads=READ)
    state, said = done["said"][1]
    first, found, to_keep, _ = said.split("\n\n")
    assert (state, first.startswith("list.csv"), "Nothing is saved yet" in to_keep) == (SUCCESS, True, True)
    assert found.splitlines() == [in_calc(f"- {line}") for line in findings(last=36)]
    assert done["formulas"][0] == done["formulas"][1]
    assert done["formulas"][1][:2] == ["=SUM($Lot.K5:K28)", "=SUM($Lot.$K$5:$K$34)+1"]
    assert openpyxl.load_workbook(tmp_path / "saved.xlsx")[SALES]["B2"].value == CELLS["B2"]


def test_after_add_rows(yard: Path, office_with_menu: Office) -> None:
    """50 rows below row 34, to be filled: what ends at the last trailer, or with the table, lacks them."""
    done = office_with_menu.dispatch(yard, [{"type": {}}, choose(ADD_ROWS, Table="Lot"), UNDO], reads=READ)
    state, said = done["said"][1]
    first, found, _ = said.split("\n\n")
    assert (state, first) == (SUCCESS, "Lot has 50 more rows.")
    assert found.splitlines() == [in_calc(f"- {line}") for line in findings(last=84)]
    assert done["formulas"][0] == done["formulas"][1] == done["formulas"][2]


def test_rules_and_pivot_tables_are_looked_through_too(
    demo_workbook: Path, tmp_path: Path, office_with_menu: Office
) -> None:
    """Made with openpyxl: one of each kind ends at the last trailer, row 28; the others grow or end above.

    The pivot table LibreOffice makes itself.
    """
    path = Path(shutil.copy(demo_workbook, tmp_path / "rules.xlsx"))
    add_own_rules(path)
    listed = list_of(tmp_path, "Stock no.,Make,GVWR", *(f"N{n},x,7000" for n in range(1, 9)))
    done = office_with_menu.dispatch(path, [{"pivot": ["Lot!A4:C28", "Own!H3"]}, choose(IMPORT, List=str(listed))])
    _, found, *_ = done["said"][1][1].split("\n\n")
    assert found.splitlines() == [
        "- A conditional format on the sheet Own reads $Lot.$K$5:$K$28, which ends before the new rows: $K$5:$K$36 "
        "would include them",
        "- An entry rule (validity) on the sheet Own reads $Lot.$C$5:$C$28, which ends before the new rows: "
        "$C$5:$C$36 would include them",
        "- A pivot table on the sheet Own reads $Lot.$A$4:$C$28, which ends before the new rows: $A$4:$C$36 "
        "would include them",
    ]
