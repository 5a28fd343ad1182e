"""*Import a list* as a person chooses it: LibreOffice's own picker and boxes, a button pressed in each.

The boxes are worked from outside, as a screen reader works them; LibreOffice's undo and cells say what was done.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import openpyxl
import pytest

from tarelot.addin.libreoffice.build import build
from tarelot.addin.libreoffice.menu.names import IMPORT, PROTOCOL, UNDO_IMPORT
from tests.engines.office import Office
from tests.libreoffice.choices import NO, OK, YES, by_boxes, lot

NOTHING = {"type": {}}
CANCEL = "Cancel"


@pytest.fixture(scope="module")
def asking_office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with Office(build(tmp_path_factory.mktemp("boxes") / "tarelot.oxt"), with_boxes=True) as running:
        yield running


def press(action: str, *buttons: str) -> dict[str, object]:
    return {"url": PROTOCOL + action, "answers": [{"press": button} for button in buttons]}


@pytest.fixture
def listed(yard: Path) -> Path:
    path = yard / "prices.csv"
    path.write_text("Stock no.,Price\n1101,4321\nN-1,5000\n", encoding="utf-8")
    return path


def test_the_picker_opens_beside_the_workbook_and_cancel_does_nothing(asking_office: Office, yard: Path) -> None:
    done = asking_office.dispatch(yard / "lot.xlsx", [NOTHING, press(IMPORT, CANCEL)])
    (picker,) = done["boxes"][1]
    assert str(yard) in picker.splitlines()
    assert done["values"][1] == done["values"][0]
    assert (done["undo"][1], done["beside"][1]) == ([], {})


def test_no_beside_the_preview_does_nothing(asking_office: Office, yard: Path, listed: Path) -> None:
    done = asking_office.dispatch(yard / "lot.xlsx", [NOTHING, by_boxes(listed, NO)])
    _, asked = done["boxes"][1]
    assert "1 new, 1 changed, 0 same, 0 refused" in asked
    assert list(done["beside"][1]) == ["prices.csv - preview"]
    assert done["values"][1] == done["values"][0]
    assert done["undo"][1] == []
    assert not (yard / "lot.xlsx backups").exists()


def test_yes_then_undo_import_by_the_menu(asking_office: Office, yard: Path, listed: Path) -> None:
    later = {"type": {"Lot!C5": "Corvane"}}
    calls = [NOTHING, by_boxes(listed, YES, OK), later, press(UNDO_IMPORT, "No"), press(UNDO_IMPORT, "Yes", OK)]
    done = asking_office.dispatch(yard / "lot.xlsx", calls)
    before, taken, typed, kept, undone = done["values"]
    assert lot(taken)["N-1"]["Price"] == 5_000
    assert "Nothing is saved yet." in done["boxes"][1][2]
    (asked,) = done["boxes"][3]
    assert "What you did after the import of prices.csv is taken back with it: 1 later step." in asked
    assert kept == typed
    assert "The import of prices.csv was taken back" in done["boxes"][4][1]
    assert undone == before


def test_names_that_are_nearly_the_same_are_asked_about(asking_office: Office, yard: Path) -> None:
    path = yard / "signs.csv"
    path.write_text("Stock no.,Price\n#1101,4321\n", encoding="utf-8")
    for answer, rows in (("Yes", "0 new, 1 changed"), ("No", "0 new, 0 changed, 0 same, 1 refused")):
        done = asking_office.dispatch(yard / "lot.xlsx", [NOTHING, by_boxes(path, answer, NO)])
        _, question, shown = done["boxes"][1]
        assert "Are trailers with such names the same trailer?" in question
        assert rows in shown
        assert done["values"][1] == done["values"][0]


def test_a_list_with_two_sheets_is_asked_for(asking_office: Office, yard: Path) -> None:
    book = openpyxl.Workbook()
    for sheet, price in ((book.active, 4_000), (book.create_sheet("May"), 5_000)):
        for row in (["Stock no.", "Price"], ["1101", price]):
            sheet.append(row)
    book.save(yard / "two.xlsx")
    done = asking_office.dispatch(yard / "lot.xlsx", [NOTHING, by_boxes(yard / "two.xlsx", "No", "Yes", YES, OK)])
    assert "Import the sheet Sheet?" in done["boxes"][1][1]
    assert "Import the sheet May?" in done["boxes"][1][2]
    assert lot(done["values"][1])["1101"]["Price"] == 5_000


def test_a_list_that_cannot_be_read_says_why(asking_office: Office, yard: Path) -> None:
    (yard / "bad.csv").write_text("Model,GVWR\nA,1\n", encoding="utf-8")
    done = asking_office.dispatch(yard / "lot.xlsx", [NOTHING, by_boxes(yard / "bad.csv", OK)])
    assert "has no column Stock no. or VIN" in done["boxes"][1][1]
    assert done["values"][1] == done["values"][0]
