"""Use tickets in LibreOffice's menu: what the command does too, as one step that LibreOffice's own undo takes back."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from tarelot.addin.command_line.main import main
from tarelot.addin.libreoffice.build import build
from tarelot.addin.libreoffice.menu.names import PROTOCOL, UNDO_IMPORT, USE_TICKETS
from tarelot.workbook_templates.lot.reading import read_lot
from tests.engines.office import Office

SUCCESS = 1  # com.sun.star.frame.DispatchResultState
SCALE, PIN = "Scale weight (lb)", "Empty pin (lb)"
WANTED = {"1103": (3_900, 480), "1105": (5_980, 780), "1106": (7_100, 920), "1107": ("", 830), "1110": (7_560, 1_740)}
"""The demo's weighings by hand, hitched + trailer axles - truck alone; 1105 the trailer alone: 10,120 + 3,580 - 9,800;
27,420 + 6,180 - 26,500; 9,940 + 5,820 - 8,200; pins 5,980 - 5,200; 27,420 - 26,500; 9,940 - 8,200. The pin of 1103,
weighed with tight bars, stays as it was; 1107, whose tickets disagree, too."""


@pytest.fixture(scope="module")
def office_with_menu(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    """A LibreOffice with the extension alone: nothing of ours, and no library, can be imported there."""
    with Office(build(tmp_path_factory.mktemp("menu") / "tarelot.oxt")) as running:
        yield running


def choose(action: str) -> dict[str, Any]:
    """A choice from the menu with nobody to be asked."""
    return {"url": PROTOCOL + action, "arguments": {"Quiet": True}}


def figures(values: dict[str, Any]) -> dict[str, tuple[object, object]]:
    """Scale weight and empty pin of the trailers that were weighed."""
    headings, *rows = values["Lot"][3:]
    named = [dict(zip(headings, row, strict=True)) for row in rows]
    return {str(row["Stock no."]): (row[SCALE], row[PIN]) for row in named if str(row["Stock no."]) in WANTED}


def test_fills_the_lot_in_one_step(office_with_menu: Office, demo_workbook: Path, tmp_path: Path) -> None:
    path = Path(shutil.copy(demo_workbook, tmp_path / "lot.xlsx"))
    before = path.read_bytes()
    steps = [{"type": {}}, choose(USE_TICKETS), {"undo": True}, {"redo": True}, choose(UNDO_IMPORT)]
    done = office_with_menu.dispatch(path, steps)
    first, used, undone, redone, back = done["values"]
    state, said = done["said"][1]
    assert state == SUCCESS, said
    assert "4 changed" in said
    assert "Nothing is saved yet. To keep this, save as usual. To take it back, undo once (Ctrl+Z)." in said
    assert "row 5 of Tickets is not used: its tickets disagree" in said
    assert "row 7 of Tickets fills the weight only" in said
    assert figures(used) == WANTED
    assert figures(first) == {"1103": ("", 480), "1105": (5_960, 760), "1106": ("", 900), "1107": ("", 830)} | {
        "1110": ("", 1_720)
    }
    assert undone == first == back
    assert redone == used
    assert len(done["undo"][1]) == 1
    assert path.read_bytes() == before  # only the window changed


def test_a_second_time_there_is_nothing_to_do(office_with_menu: Office, demo_workbook: Path, tmp_path: Path) -> None:
    path = Path(shutil.copy(demo_workbook, tmp_path / "lot.xlsx"))
    done = office_with_menu.dispatch(path, [choose(USE_TICKETS), choose(USE_TICKETS)])
    assert "0 changed, 4 same" in done["said"][1][1]
    assert "The lot is as it was." in done["said"][1][1]
    assert done["undo"][0] == done["undo"][1]


def test_follows_what_is_typed_in_the_window(office_with_menu: Office, demo_workbook: Path, tmp_path: Path) -> None:
    """1107's trailer alone set to what the hitched tickets say, 15,000 + 5,600 - 13,700 = 6,900: now it is used."""
    path = Path(shutil.copy(demo_workbook, tmp_path / "lot.xlsx"))
    done = office_with_menu.dispatch(path, [{"type": {"Tickets!J5": 6_900}}, choose(USE_TICKETS)])
    assert "5 changed" in done["said"][1][1]
    assert figures(done["values"][1])["1107"] == (6_900, 1_300)  # 6,900 - 5,600


def test_a_workbook_without_tickets_says_so(office_with_menu: Office, tmp_path: Path) -> None:
    old = Path(__file__).parents[1] / "lots" / "1" / "tarelot-demo.xlsx"
    path = Path(shutil.copy(old, tmp_path / "lot.xlsx"))
    state, said = office_with_menu.dispatch(path, [choose(USE_TICKETS)])["said"][0]
    assert state != SUCCESS
    assert "no table named Tickets" in said


def test_the_version_before_is_kept_for_the_commands_undo(
    office_with_menu: Office, demo_workbook: Path, tmp_path: Path
) -> None:
    """What was typed and not saved is in it, as before an import; using the same tickets again keeps no further one."""
    path = Path(shutil.copy(demo_workbook, tmp_path / "lot.xlsx"))
    typed = {"type": {"Lot!C5": "Corvane X"}}
    calls = [typed, choose(USE_TICKETS), choose(USE_TICKETS), {"store": str(tmp_path / "saved.xlsx")}]
    done = office_with_menu.dispatch(path, calls)
    (kept,) = (tmp_path / "lot.xlsx backups").glob("*before import.xlsx")
    assert f"The version before: {kept}." in done["said"][1][1]
    assert "The version before" not in done["said"][2][1]
    (tmp_path / "saved.xlsx").replace(path)
    held = {str(row.values["Stock no."]): row.values for row in read_lot(path).rows}
    assert {stock: tuple(held[stock][heading] or "" for heading in (SCALE, PIN)) for stock in WANTED} == WANTED
    assert main(["undo", str(path), "--yes"]) == 0
    back = {str(row.values["Stock no."]): row.values for row in read_lot(path).rows}
    assert [back["1105"][SCALE], back["1105"][PIN]] == [5_960, 760]
    assert openpyxl.load_workbook(path)["Lot"]["C5"].value == "Corvane X"
