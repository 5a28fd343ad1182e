"""The button's import in the open workbook, through xlwings' own code for Windows; nothing here was run in Excel.

What a list does to a lot is held by the tests of the command `import`, against lists made by hand. Here it is asked
that the button does the same, cell by cell, and that nothing is lost where it does not. Outside sources: xlwings' own
reading and writing of cells; openpyxl, which reads both workbooks. workbook_stand_in.py says what stands in for Excel.
"""

from __future__ import annotations

import importlib.util
import shutil
from collections.abc import Iterator
from pathlib import Path

import openpyxl
import pytest

from tarelot.addin.excel import open_workbook, preview, run_main
from tests.command_line.running import tarelot
from tests.excel.desk import Desk, cells_of, found
from tests.excel.xlwings_stand_in import ComError
from tests.updates.own_readers import SALES, add_own_readers, findings

READY = Path(__file__).parents[2] / "workbook_templates" / "ready"
LISTS = READY.parent / "demo_lists"
HEADINGS = ("Stock no.", "Price", "Notes", "Received")


@pytest.fixture(autouse=True)
def _on_windows(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(open_workbook, "ON_WINDOWS", True)


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    shutil.copy(READY / "tarelot-demo.xlsx", tmp_path / "lot.xlsx")
    return found(tmp_path / "lot.xlsx")


@pytest.fixture
def twin(tmp_path: Path) -> Iterator[Path]:
    """The same lot for the command."""
    folder = tmp_path / "twin"
    folder.mkdir()
    return shutil.copy(READY / "tarelot-demo.xlsx", folder / "lot.xlsx")


def same_as_by_command(desk: Desk, twin: Path, *arguments: object) -> None:
    """The lot and Match are, cell by cell and table by table, what the command makes of them."""
    done = tarelot("import", twin, *arguments, "--yes")
    assert done.returncode in (0, 1), done.stderr
    theirs = openpyxl.load_workbook(twin)
    for name in ("Lot", "Match", "Options"):
        ours = desk.cells(name)
        wanted = cells_of(theirs, name)
        differing = {place: (ours.get(place), value) for place, value in wanted.items() if ours.get(place) != value}
        assert (differing, ours.keys() - wanted.keys()) == ({}, set())
        assert desk.excel.behind[name].tables[name].ref == theirs[name].tables[name].ref
    assert desk.excel.behind["Match"].print_area == theirs["Match"].print_area


def test_a_list_from_a_file_comes_out_as_by_the_command(desk: Desk, twin: Path) -> None:
    """Four new trailers, one refused for its "15 ton": the README's first example."""
    mine = shutil.copy(LISTS / "new-truckload.csv", desk.path.parent / "list.csv")
    desk.excel.Application.chosen = str(mine)
    before = desk.cells("Lot", "Match")
    said = desk.press()
    assert "list.csv, comma-separated: 4 new, 0 changed, 0 same, 1 refused." in said
    assert any(line.startswith('6.0|1128|refused|GVWR (lb): "15 ton" has a unit') for line in said)
    assert said[1].startswith("Nothing is written yet. Type yes into the cream cell")
    assert desk.cells("Lot", "Match") == before
    assert desk.backups == []
    desk.answer("  YES ")
    said = desk.press()
    assert said[1].startswith("Done: written into the lot: 4 new trailers. Nothing is saved yet")
    assert "tarelot undo lot.xlsx" in said[2]
    assert f"The version before: {desk.backups[0]}" in said
    assert any(line.endswith(str(desk.path.parent / "list refused.csv")) for line in said)
    assert "1128" in (desk.path.parent / "list refused.csv").read_text()
    same_as_by_command(desk, twin, mine)
    kept = openpyxl.load_workbook(desk.backups[0])
    assert cells_of(kept, "Lot", "Match") == before, "the backup is the version before"
    assert kept["Import preview"]["C4"].value is None, "put back, it does not answer by itself"


def test_changed_trailers_of_the_price_list_come_out_as_by_the_command(desk: Desk, twin: Path) -> None:
    mine = shutil.copy(LISTS / "price-list.csv", desk.path.parent)
    desk.excel.Application.chosen = str(mine)
    said = desk.press()
    assert sum("|changed|Price|" in line for line in said) == 5  # as the README says
    desk.answer("yes")
    desk.press()
    same_as_by_command(desk, twin, mine)


def test_the_sheet_incoming_and_growing_past_the_tables_end(desk: Desk, twin: Path) -> None:
    """70 new trailers: the Lot has 6 blank rows and Match 50, so that both grow; texts that Excel would change stay."""
    new = [(f"0{2000 + n}", 9_000 + n, "=1+1" if n else "3-5", "2026-03-05") for n in range(70)]
    desk.paste(HEADINGS, *new, ("1101", 12_345.5, None, None))
    theirs = openpyxl.load_workbook(twin)
    for number, row in enumerate((HEADINGS, *new, ("1101", 12_345.5, None, None)), 4):
        for column, value in enumerate(row, 1):
            theirs["Incoming"].cell(number, column, value).data_type = "s" if isinstance(value, str) else "n"
            desk.excel.behind["Incoming"].cell(number, column).data_type = "s" if isinstance(value, str) else "n"
    theirs.save(twin)
    assert "lot.xlsx, sheet Incoming: 70 new, 1 changed, 0 same, 0 refused." in desk.press()
    desk.answer("yes")
    assert desk.press()[1].startswith("Done: written into the lot: 70 new trailers and 1 changed trailer")
    same_as_by_command(desk, twin)
    assert desk.excel.behind["Lot"].tables["Lot"].ref != "A4:CR34"
    assert (desk.excel.Application.Calculation, desk.excel.Application.ScreenUpdating) == (-4105, True)
    assert desk.press()[1] == "Nothing to write: the lot holds what the list says, or every row is refused."


def test_the_first_trailers_of_an_empty_lot(tmp_path: Path) -> None:
    """More than its blank rows, in kilograms, with cells that call the functions by name."""
    lot = tmp_path / "lot.xlsx"
    assert tarelot("new", lot, "--functions", "add-in", "--units", "metric").returncode == 0
    (tmp_path / "twin").mkdir()
    twin = shutil.copy(lot, tmp_path / "twin")
    list_path = tmp_path / "list.csv"
    rows = (f"A{n},{14_000 + n} lb,pintle,2026-03-05,9000" for n in range(60))
    list_path.write_text("\n".join(["Stock no.,GVWR,Hitch,Received,Price", *rows]))
    desk = found(lot)
    desk.excel.Application.chosen = str(list_path)
    assert any("60 new, 0 changed, 0 same, 0 refused." in line for line in desk.press())
    desk.answer("yes")
    assert desk.press()[1].startswith("Done: written into the lot: 60 new trailers.")
    same_as_by_command(desk, twin, list_path)


def test_another_word_than_yes_writes_nothing(desk: Desk) -> None:
    desk.paste(HEADINGS, ("1101", 1, None, None))
    desk.press()
    before = desk.cells("Lot", "Match")
    desk.answer("yes please")
    said = desk.press()
    assert said[1] == 'Nothing was written: "yes please" was typed, not yes.'
    assert said[2].startswith("Nothing is written yet. Type yes")
    assert (desk.cells("Lot", "Match"), desk.backups) == (before, [])
    desk.answer("yes")
    assert desk.press()[1].startswith("Done: written into the lot: 1 changed trailer")


@pytest.mark.parametrize("where", ["lot", "list"])
def test_what_changed_between_the_presses_is_shown_anew(desk: Desk, where: str) -> None:
    desk.paste(HEADINGS, ("1101", 1, None, None))
    desk.press()
    if where == "lot":
        next(
            cell for row in desk.excel.behind["Lot"]["A5:CR20"] for cell in row if cell.value == "1103"
        ).value = "1103b"
    else:
        desk.paste(HEADINGS, ("1101", 2, None, None))
    before = desk.cells("Lot", "Match")
    desk.answer("yes")
    said = desk.press()
    assert said[1] == run_main.ANEW
    assert (desk.cells("Lot", "Match"), desk.backups) == (before, [])
    desk.answer("yes")
    assert desk.press()[1].startswith("Done: written into the lot: 1 changed trailer")


def test_no_list_is_said_and_asked_for_again(desk: Desk) -> None:
    said = desk.press()
    assert said[1] == "Nothing was written: no list was chosen, and the sheet Incoming is empty."
    desk.excel.Application.chosen = str(desk.path.parent / "gone.csv")
    assert "gone.csv" in desk.press()[1]
    (desk.path.parent / "gone.csv").write_text("Color,Wheels\nred,4\n")
    said = desk.press()
    assert said[1].startswith("Nothing was written: gone.csv")
    assert "Color, Wheels" in said[1]


def test_a_workbook_without_a_lot_is_said(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    book.save(tmp_path / "lot.xlsx")
    said = found(tmp_path / "lot.xlsx").press()
    assert said[1].startswith("Nothing was written: ")


@pytest.mark.parametrize("trouble", ["protected", "filtered", "below", "refuses"])
def test_what_stands_in_the_way_is_said_and_nothing_changed(desk: Desk, trouble: str) -> None:
    desk.paste(HEADINGS, *((f"20{n:02}", n + 1, "word", "2026-03-05") for n in range(40)), ("1101", 7, None, None))
    lot, match = desk.excel.behind["Lot"], desk.excel.behind["Match"]
    if trouble == "below":
        lot["C50"] = "mine"
    desk.press()
    before, tables = desk.cells("Lot", "Match", "Options"), (lot.tables["Lot"].ref, match.tables["Match"].ref)
    if trouble == "protected":
        desk.excel.locked.add("Match")
    elif trouble == "filtered":
        desk.excel.filtered.add("Lot")
    elif trouble == "refuses":
        price = next(cell.column_letter for cell in lot[4] if cell.value == "Price")
        desk.excel.refuses.add(f"Lot!{price}40")
    desk.answer("yes")
    said = desk.press()
    assert said[1].startswith("Nothing was written: ")
    words = {"protected": "is protected", "filtered": "is filtered", "below": "Lot!C50", "refuses": "does not take"}
    assert words[trouble] in said[1]
    assert desk.cells("Lot", "Match", "Options") == before
    assert (lot.tables["Lot"].ref, match.tables["Match"].ref) == tables
    assert desk.backups == [], "there is nothing to take back"


def test_what_excel_itself_refuses_is_taken_back_and_told_on(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    """An error of Excel's own, which xlwings shows in a box."""
    desk.paste(HEADINGS, ("2000", 5, "word", None), ("1101", 7, None, None))
    desk.press()
    before = desk.cells("Lot", "Match")
    desk.answer("yes")

    def fails(*_: object) -> bool:
        raise ComError("busy")

    monkeypatch.setattr(open_workbook, "_is_held", fails)
    with pytest.raises(ComError):
        desk.press()
    assert (desk.cells("Lot", "Match"), desk.backups) == (before, [])


def test_the_lock_of_the_sheets_is_put_back(desk: Desk) -> None:
    """Our workbooks lock their sheets against being deleted, without a password."""
    assert desk.excel.ProtectStructure
    desk.press()
    assert "Import preview" in desk.excel.behind.sheetnames
    assert (desk.excel.ProtectStructure, desk.excel.password) == (True, "")


def test_a_lock_with_a_password_is_excels_to_tell(desk: Desk) -> None:
    desk.excel.password = "theirs"
    with pytest.raises(ComError, match="password"):
        run_main.press(desk.book)
    assert "Import preview" not in desk.excel.behind.sheetnames


def test_a_sheet_of_a_persons_own_is_let_be(desk: Desk) -> None:
    desk.excel.behind.create_sheet("import preview")["A1"] = "my notes"
    desk.paste(HEADINGS, ("1101", 1, None, None))
    run_main.press(desk.book)
    assert desk.excel.behind["import preview"]["A1"].value == "my notes"
    assert desk.excel.behind["Import preview 2"]["A1"].value == "Import of a list, by the button Run main"


def test_undo_puts_the_version_before_back(desk: Desk) -> None:
    desk.paste(HEADINGS, ("1101", 1, None, None))
    before = desk.cells("Lot", "Match")
    desk.press()
    desk.answer("yes")
    desk.press()
    desk.excel.SaveCopyAs(str(desk.path))  # saved by the person, and Excel closed
    assert cells_of(openpyxl.load_workbook(desk.path), "Lot", "Match") != before
    done = tarelot("undo", desk.path, "--yes")
    assert done.returncode == 0, done.stderr
    assert cells_of(openpyxl.load_workbook(desk.path), "Lot", "Match") == before


def test_on_macos_the_saved_file_is_read(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    """The properties asked of Excel there are in xlwings' list of its AppleScript words; the rest is as on Windows."""
    words = (Path(str(importlib.util.find_spec("xlwings").origin)).parent / "mac_dict.py").read_text()  # type: ignore[union-attr]
    assert all(f'("{word}", ' in words for word in ("saved", "protect_contents", "protect_structure", "filter_mode"))
    monkeypatch.setattr(open_workbook, "ON_WINDOWS", False)
    assert "the sheet Incoming is empty: paste the list there, save" in desk.press()[1]
    desk.paste(HEADINGS, ("1101", 1, None, None))
    desk.excel.saved.get = lambda: False
    assert "save the workbook (Command+S), then press Run main again" in desk.press()[1]
    save(desk)
    said = desk.press()
    assert "lot.xlsx, sheet Incoming: 0 new, 1 changed, 0 same, 0 refused." in said
    desk.answer("yes")
    desk.excel.saved.get = lambda: False
    assert "save the workbook (Command+S)" in desk.press()[1]
    assert desk.excel.behind["Import preview"]["C4"].value == "yes", "the answer waits until it is saved"
    save(desk)
    assert desk.press()[1].startswith("Done: written into the lot: 1 changed trailer")
    assert desk.backups[0].read_bytes() == desk.path.read_bytes()


def save(desk: Desk) -> None:
    desk.excel.SaveCopyAs(str(desk.path))
    desk.excel.saved.get = lambda: True


UNCERTAIN = (("Stock no.", "GVWR", "Price"), ("2001", "5.000", "12.500"), ("2002", "6.000", "13.500"))
NEARLY = (("Stock no.", "Price"), ("#1101", 12_345), ("2003", 9_000))


def question(desk: Desk, place: str) -> object:
    """What stands beside the cell of an answer."""
    return desk.excel.behind["Import preview"][place.replace("C", "D")].value


@pytest.mark.parametrize(("answer", "gvwr", "price"), [("yes", 5_000, 12_500), (" No", 5, 12.5)])
def test_the_decimal_mark_is_asked_and_answered_on_the_sheet(
    desk: Desk, answer: str, gvwr: float, price: float
) -> None:
    """Every row waits for the answer; the question is the menu's."""
    desk.paste(*UNCERTAIN)
    said = desk.press()
    assert said[1] == preview.TO_ANSWER
    assert "lot.xlsx, sheet Incoming: 0 new, 0 changed, 0 same, 2 refused." in said
    assert question(desk, preview.DECIMAL) == "Is the decimal mark of this list a comma, as in 7,5? No: it is a point."
    assert question(desk, preview.SAME_KEY) is None
    sheet = desk.excel.behind["Import preview"]
    sheet[preview.DECIMAL] = answer
    said = desk.press()
    assert "lot.xlsx, sheet Incoming: 2 new, 0 changed, 0 same, 0 refused." in said
    assert sheet[preview.DECIMAL].value == answer.strip().lower(), "the answer stands for the next press"
    desk.answer("yes")
    assert desk.press()[1].startswith("Done: written into the lot: 2 new trailers")
    lot = desk.excel.behind["Lot"]
    headings = [cell.value for cell in lot[4]]
    (row,) = ([cell.value for cell in row] for row in lot.iter_rows(min_row=5) if row[0].value == "2001")
    assert [row[headings.index(heading)] for heading in ("GVWR (lb)", "Price")] == [gvwr, price]


def test_names_that_are_nearly_the_same_are_asked_and_answered_on_the_sheet(desk: Desk) -> None:
    desk.paste(*NEARLY)
    said = desk.press()
    assert "lot.xlsx, sheet Incoming: 1 new, 0 changed, 0 same, 1 refused." in said
    assert question(desk, preview.SAME_KEY) == "Are trailers with such names the same trailer?"
    sheet = desk.excel.behind["Import preview"]
    sheet[preview.SAME_KEY] = "yes"
    desk.answer("yes")  # both at once: what is written was not shown yet
    said = desk.press()
    assert said[1] == run_main.ANEW
    assert desk.backups == []
    assert "lot.xlsx, sheet Incoming: 1 new, 1 changed, 0 same, 0 refused." in said
    sheet[preview.SAME_KEY] = "no"
    assert "lot.xlsx, sheet Incoming: 1 new, 0 changed, 0 same, 1 refused." in desk.press()
    sheet[preview.SAME_KEY] = "yes"
    desk.press()
    desk.answer("yes")
    assert desk.press()[1].startswith("Done: written into the lot: 1 new trailer and 1 changed trailer")


def test_an_answer_that_is_none_is_said(desk: Desk) -> None:
    desk.paste(*UNCERTAIN)
    desk.press()
    desk.excel.behind["Import preview"][preview.DECIMAL] = "comma"
    said = desk.press()
    assert said[1] == 'Nothing was written: "comma" was typed beside a question, not yes or no.'
    assert said[2] == preview.TO_ANSWER
    assert desk.excel.behind["Import preview"][preview.DECIMAL].value is None


def test_what_reads_fixed_rows_of_the_lot_is_listed(tmp_path: Path, demo_workbook: Path) -> None:
    """By the copy that Excel wrote: whether Excel widens such ranges by itself nobody could look here."""
    add_own_readers(Path(shutil.copy(demo_workbook, tmp_path / "lot.xlsx")))
    desk = found(tmp_path / "lot.xlsx")
    before = desk.cells(SALES)
    desk.paste(("Stock no.", "Make", "GVWR"), *((f"N{n}", "x", 7000) for n in range(1, 9)))
    desk.press()
    desk.answer("yes")
    lines = desk.press()
    assert lines[1].startswith("Done: written into the lot: 8 new trailers.")
    start = "Look at this, unless Excel has widened it by itself: "
    assert [line.removeprefix(start) for line in lines if line.startswith(start)] == findings(last=36)
    assert desk.cells(SALES) == before


def test_numbers_are_shown_with_the_signs_of_excel(desk: Desk) -> None:
    desk.excel.Application.signs = {3: ",", 4: "."}  # of XlApplicationInternational, as in German
    desk.paste(("Stock no.", "Price"), ("N-1", 5_000.5), ("1101", 4_321))
    said = desk.press()
    assert any(line.startswith("6.0|1101|changed|Price|") and line.endswith("|4.321") for line in said), said
    assert any("Price 5.000,50" in line for line in said)
