"""The menu Tarelot in LibreOffice: each entry dispatched on an open workbook, and taken back by its own undo.

The outside sources are LibreOffice itself, whose undo and recalculation say what stands in the workbook, and the lists
of the demo yard, whose figures are read here with csv alone.
"""

from __future__ import annotations

import csv
import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import openpyxl
import pytest
from openpyxl.utils import range_boundaries

from tarelot.addin.command_line.main import main
from tarelot.addin.libreoffice.build import build, members
from tarelot.addin.libreoffice.menu.names import ADD_ROWS, ENTRIES, IMPORT, PROTOCOL, RECALCULATE, REVIEW, UNDO_IMPORT
from tarelot.workbook_templates.sheets import demo_yard
from tests.engines.office import ERROR_VALUES, Office
from tests.lot.small_lot import write_demo_lot

FAILURE, SUCCESS = 0, 1  # com.sun.star.frame.DispatchResultState
HEADING_ROW = 4  # of the demo lot
UNDO, REDO = {"undo": True}, {"redo": True}
NOT_SAVED = "Nothing is saved yet. To keep this, save as usual. To take it back, undo once (Ctrl+Z)."


@pytest.fixture(scope="module")
def office_with_menu(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    """A LibreOffice with the extension alone: nothing of ours, and no library, can be imported there."""
    with Office(build(tmp_path_factory.mktemp("menu") / "tarelot.oxt")) as running:
        yield running


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo yard's lot with its lists beside it; nothing may write there."""
    folder = tmp_path_factory.mktemp("demo")
    write_demo_lot(folder / "lot.xlsx")
    demo_yard.copy_lists(folder)
    return folder


@pytest.fixture
def yard(demo: Path, tmp_path: Path) -> Path:
    """A copy of it for one test."""
    return Path(shutil.copytree(demo, tmp_path / "yard"))


@pytest.fixture
def whole_yard(yard: Path, demo_workbook: Path) -> Path:
    """The same with every sheet of the workbook, for what the sheets beside the lot might upset."""
    shutil.copy(demo_workbook, yard / "lot.xlsx")
    return yard


def choose(action: str, **arguments: Any) -> dict[str, Any]:
    """A choice from the menu with nobody to be asked."""
    return {"url": PROTOCOL + action, "arguments": {"Quiet": True, **arguments}}


def lot(values: dict[str, Any]) -> dict[str, dict[str, Any]]:
    """Trailers by stock number, each by heading."""
    headings = values["Lot"][HEADING_ROW - 1]
    rows = (dict(zip(headings, row, strict=True)) for row in values["Lot"][HEADING_ROW:])
    return {str(row["Stock no."]): row for row in rows if row["Stock no."] != ""}


def type_stock(path: Path) -> dict[str, dict[str, str]]:
    """A step that types a stock number into every blank row of the demo's table, so that new trailers go below it."""
    sheet = openpyxl.load_workbook(path)["Lot"]
    *_, last = range_boundaries(sheet.tables["Lot"].ref)
    blank = [row for row in range(HEADING_ROW + 1, last + 1) if sheet.cell(row, 1).value is None]
    return {"type": {f"Lot!A{row}": f"F{row}" for row in blank}}


class TestParts:
    def test_same_bytes_every_time(self, tmp_path: Path) -> None:
        assert build(tmp_path / "a.oxt").read_bytes() == build(tmp_path / "b.oxt").read_bytes()

    def test_menu_of_calc_alone(self) -> None:
        tree = ElementTree.fromstring(members()["Addons.xcu"])
        values = [value.text for value in tree.iter("value")]
        assert values.count("com.sun.star.sheet.SpreadsheetDocument") == 1
        assert [value for value in values if str(value).startswith(PROTOCOL)] == [PROTOCOL + name for name in ENTRIES]


class TestImport:
    def test_new_trailers_in_blank_rows_and_one_step_back(self, office_with_menu: Office, whole_yard: Path) -> None:
        path, listed = whole_yard / "lot.xlsx", whole_yard / "new-truckload.csv"
        before = path.read_bytes()
        nothing = {"type": {}}
        done = office_with_menu.dispatch(path, [nothing, choose(IMPORT, List=str(listed)), UNDO, REDO])
        first, taken, undone, redone = done["values"]
        assert done["said"][1][0] == SUCCESS
        assert "4 new, 0 changed, 0 same, 1 refused" in done["said"][1][1]
        assert NOT_SAVED in done["said"][1][1]
        assert done["undo"] == [[], ["Import new-truckload.csv"], [], ["Import new-truckload.csv"]]
        assert undone == first
        assert redone == taken
        with listed.open(encoding="utf-8", newline="") as file:
            rows = {row["Stk #"]: row for row in csv.DictReader(file)}
        added = lot(taken).keys() - lot(first).keys()
        assert len(added) == 4
        assert added < rows.keys()
        for stock in added:
            trailer, row = lot(taken)[stock], rows[stock]
            assert trailer["VIN"] == row["VIN"]
            assert trailer["GVWR (lb)"] == float(row["GVWR"].removesuffix(" lb").replace(",", ""))
            # what a trailer without options may carry is its GVWR less its weight: the results calculate
            weight = trailer["Base weight (lb)"] + trailer["Options weight (lb)"]
            assert trailer["Payload (lb)"] == pytest.approx(trailer["GVWR (lb)"] - weight)
        refused = whole_yard / "new-truckload refused.csv"
        assert (rows.keys() - added).pop() in refused.read_text(encoding="utf-8")
        assert str(refused) in done["said"][1][1]
        assert path.read_bytes() == before  # only the window changed

    def test_rows_added_below_the_table(self, office_with_menu: Office, yard: Path) -> None:
        path = yard / "lot.xlsx"
        last = HEADING_ROW + 30
        reads = [f"Lot!B{row}" for row in range(last - 1, last + 6)]
        calls = [type_stock(path), choose(IMPORT, List=str(yard / "new-truckload.csv")), UNDO, REDO]
        done = office_with_menu.dispatch(path, calls, reads)
        full, taken, undone, redone = done["values"]
        assert done["said"][1][0] == SUCCESS, done["said"]
        assert undone == full
        assert redone == taken
        assert len(lot(taken)) == len(lot(full)) + 4
        assert [text != "" for text in done["formulas"][0]] == [True] * 2 + [False] * 5
        assert [text != "" for text in done["formulas"][1]] == [True] * 6 + [False]
        assert done["formulas"][2] == done["formulas"][0]
        for stock in lot(taken).keys() - lot(full).keys():
            trailer = lot(taken)[stock]
            weight = trailer["Base weight (lb)"] + trailer["Options weight (lb)"]
            assert trailer["Payload (lb)"] == pytest.approx(trailer["GVWR (lb)"] - weight)
            assert trailer["Duplicate"] in ("", "ok")

    def test_added_rows_belong_to_the_table(self, office_with_menu: Office, yard: Path) -> None:
        # The VIN of an added trailer typed again: both rows say so, for the formulas look through the whole table.
        path = yard / "lot.xlsx"
        calls = [type_stock(path), choose(IMPORT, List=str(yard / "new-truckload.csv"))]
        taken = lot(office_with_menu.dispatch(path, calls)["values"][1])
        vin = taken["1124"]["VIN"]
        vin_column = openpyxl.utils.get_column_letter(list(taken["1124"]).index("VIN") + 1)
        again = office_with_menu.dispatch(path, [*calls, {"type": {f"Lot!{vin_column}{HEADING_ROW + 1}": vin}}])
        assert lot(again["values"][2])["1124"]["Duplicate"] == "VIN"
        assert lot(again["values"][1])["1124"]["Duplicate"] in ("", "ok")

    def test_changed_prices_and_twice(self, office_with_menu: Office, yard: Path) -> None:
        call = choose(IMPORT, List=str(yard / "price-list.csv"))
        done = office_with_menu.dispatch(yard / "lot.xlsx", [{"type": {}}, call, call, UNDO])
        first, once, twice, undone = done["values"]
        with (yard / "price-list.csv").open(encoding="utf-8", newline="") as file:
            prices = {row[0]: row[3] for row in csv.reader(file) if len(row) > 3 and row[3][:1].isdigit()}
        assert len(prices) > 2
        refused = (yard / "price-list refused.csv").read_text(encoding="utf-8")
        taken = [stock for stock in prices if not re.search(rf"^{stock},", refused, re.MULTILINE)]
        assert f"{len(prices) - len(taken)} refused" in done["said"][1][1]
        assert len(taken) > 2
        price = next(heading for heading in lot(first)[taken[0]] if heading.startswith("Price"))
        for stock in taken:
            assert lot(once)[stock][price] == float(prices[stock].replace(",", ""))
        assert twice == once
        assert " 0 new, 0 changed" in done["said"][2][1]
        assert "The lot is as it was." in done["said"][2][1]
        assert "saved" not in done["said"][2][1]
        assert done["undo"][2] == done["undo"][1]  # nothing changed: no empty step
        assert undone == first

    def test_rows_that_are_hidden_are_written_and_counted(self, office_with_menu: Office, yard: Path) -> None:
        # By hand from the list and the demo: 1104, 1105, 1107, 1108 and 1121 change; all but 1104 are hidden.
        book = openpyxl.load_workbook(yard / "lot.xlsx")
        sheet = book["Lot"]
        for row in range(HEADING_ROW + 1, HEADING_ROW + 31):
            sheet.row_dimensions[row].hidden = str(sheet.cell(row, 1).value) != "1104"
        book.save(yard / "lot.xlsx")
        calls = [{"type": {}}, choose(IMPORT, List=str(yard / "price-list.csv")), UNDO]
        done = office_with_menu.dispatch(yard / "lot.xlsx", calls)
        assert "0 new, 5 changed" in done["said"][1][1]
        assert "Not in sight on Lot, by a filter or hidden: 4 of the rows written." in done["said"][1][1]
        taken = lot(done["values"][1])
        price = next(heading for heading in taken["1104"] if heading.startswith("Price"))
        assert [taken[stock][price] for stock in ("1104", "1105", "1121")] == [13_250, 15_350, 15_500]
        assert done["values"][2] == done["values"][0]

    def test_earlier_work_stays_and_is_taken_in_too(self, office_with_menu: Office, yard: Path) -> None:
        # What stands in the window counts, not what is in the file; and one step back leaves it alone.
        typed = {"type": {"Lot!A5": "K-77"}}
        (yard / "one.csv").write_text("Stock no.,GVWR (lb)\nK-77,6543\n", encoding="utf-8")
        done = office_with_menu.dispatch(
            yard / "lot.xlsx", [typed, choose(IMPORT, List=str(yard / "one.csv")), UNDO, UNDO]
        )
        assert lot(done["values"][1])["K-77"]["GVWR (lb)"] == 6543
        assert done["values"][2] == done["values"][0]
        assert "K-77" not in lot(done["values"][3])

    def test_text_stays_text_and_dates_are_dates(self, office_with_menu: Office, yard: Path) -> None:
        rows = 'Stock no.,Model,Date received\nX-1,"=1+1",2026-03-05\nX-2,007,2026-03-06\n'
        (yard / "odd.csv").write_text(rows, encoding="utf-8")
        calls = [choose(IMPORT, List=str(yard / "odd.csv"))]
        done = office_with_menu.dispatch(yard / "lot.xlsx", calls)
        trailers = lot(done["values"][0])
        assert [trailers[name]["Model"] for name in ("X-1", "X-2")] == ["=1+1", "007"]
        # days since 1899-12-30: 2 to the new year, 126 years of 365, 31 leap days, 31 + 28 + 4 in 2026
        received = next(heading for heading in trailers["X-1"] if "eceived" in heading)
        assert [trailers[name][received] for name in ("X-1", "X-2")] == [46_086, 46_087]

    def test_what_is_pasted_into_incoming(self, office_with_menu: Office, yard: Path) -> None:
        cells = {"A4": "Stock no.", "B4": "GVWR (lb)", "A5": "1101", "B5": 7_100, "A6": "1102", "B6": "heavy"}
        pasted = {"type": {f"Incoming!{address}": value for address, value in cells.items()}}
        done = office_with_menu.dispatch(yard / "lot.xlsx", [pasted, choose(IMPORT), UNDO])
        assert done["said"][1][0] == SUCCESS, done["said"]
        assert lot(done["values"][1])["1101"]["GVWR (lb)"] == 7_100
        assert done["values"][2] == done["values"][0]
        (side_file,) = yard.glob("*refused*")  # beside the workbook, not beside the copy that is gone
        assert str(side_file) in done["said"][1][1]

    @pytest.mark.parametrize(
        ("content", "said"),
        [("Model,GVWR\nA,1\n", "has no column Stock no. or VIN"), (None, "cannot be read|No such file|not there")],
    )
    def test_refusals_change_nothing(
        self, office_with_menu: Office, yard: Path, content: str | None, said: str
    ) -> None:
        if content:
            (yard / "bad.csv").write_text(content, encoding="utf-8")
        calls = [{"type": {}}, choose(IMPORT, List=str(yard / "bad.csv"))]
        done = office_with_menu.dispatch(yard / "lot.xlsx", calls)
        state, words = done["said"][1]
        assert state == FAILURE
        assert re.search(said, words), words
        assert done["values"][1] == done["values"][0]
        assert done["undo"] == [[], []]

    def test_protected_sheet(self, office_with_menu: Office, yard: Path) -> None:
        book = openpyxl.load_workbook(yard / "lot.xlsx")
        book["Lot"].protection.sheet = True
        book.save(yard / "lot.xlsx")
        calls = [{"type": {}}, choose(IMPORT, List=str(yard / "price-list.csv"))]
        done = office_with_menu.dispatch(yard / "lot.xlsx", calls)
        state, words = done["said"][1]
        assert (state, "protected" in words) == (FAILURE, True), words
        assert done["values"][1] == done["values"][0]

    def test_a_workbook_that_is_no_lot(self, office_with_menu: Office, tmp_path: Path) -> None:
        openpyxl.Workbook().save(tmp_path / "other.xlsx")
        calls = [choose(action, List="x.csv", Table="Lot") for action in ENTRIES]
        done = office_with_menu.dispatch(tmp_path / "other.xlsx", calls)
        assert [state for state, _ in done["said"]] == [FAILURE] * len(ENTRIES)
        assert all("no table named Lot" in words for _, words in done["said"])


class TestUndoImport:
    def test_with_what_was_done_later(self, office_with_menu: Office, yard: Path) -> None:
        calls = [
            {"type": {}},
            choose(IMPORT, List=str(yard / "new-truckload.csv")),
            {"type": {"Lot!C5": "Corvane"}},
            choose(UNDO_IMPORT),
            choose(UNDO_IMPORT, LaterToo=True),
            choose(UNDO_IMPORT),
            REDO,
            REDO,
        ]
        done = office_with_menu.dispatch(yard / "lot.xlsx", calls)
        assert done["said"][3] == [
            FAILURE,
            "1 later step would be taken back with the import of new-truckload.csv. Nothing was done.",
        ]
        assert done["values"][3] == done["values"][2]
        state, said = done["said"][4]
        assert state == SUCCESS
        assert said.startswith("The import of new-truckload.csv was taken back, and 1 later step with it.\n")
        assert "Nothing is saved yet" in said
        assert "redo 2 times" in said
        assert done["values"][4] == done["values"][0]
        state, said = done["said"][5]
        assert (state, "There is no import to take back" in said) == (FAILURE, True)
        assert done["values"][7] == done["values"][2]  # as often as it said

    def test_the_version_before_is_kept_and_named_once_the_workbook_was_reopened(
        self, office_with_menu: Office, yard: Path
    ) -> None:
        """What was typed and not saved is in it; the command's ``undo`` puts it back once the workbook is saved."""
        path = yard / "lot.xlsx"
        calls = [
            {"type": {"Lot!C5": "Corvane X"}},
            choose(IMPORT, List=str(yard / "new-truckload.csv")),
            {"store": str(yard / "saved.xlsx")},
        ]
        done = office_with_menu.dispatch(path, calls)
        first, taken, *_ = done["values"]
        (kept,) = (yard / "lot.xlsx backups").glob("*before import.xlsx")
        assert f"The version before: {kept}." in done["said"][1][1]
        assert lot(taken).keys() - lot(first).keys()
        assert lot(office_with_menu.recalculate(kept)).keys() == lot(first).keys()
        assert openpyxl.load_workbook(kept)["Lot"]["C5"].value == "Corvane X"
        (yard / "saved.xlsx").replace(path)
        (state, said), *_ = office_with_menu.dispatch(path, [choose(UNDO_IMPORT)])["said"]
        assert state == FAILURE
        assert f"it is in {kept}: open that, and save it under this name." in said
        assert main(["undo", str(path), "--yes"]) == 0
        assert openpyxl.load_workbook(path)["Lot"]["C5"].value == "Corvane X"
        assert lot(office_with_menu.recalculate(path)).keys() == lot(first).keys()


class TestPreview:
    def test_every_trailer_with_what_becomes_of_it(self, office_with_menu: Office, yard: Path) -> None:
        first = lot(office_with_menu.recalculate(yard / "lot.xlsx"))
        price = next(heading for heading in first["1101"] if heading.startswith("Price"))
        rows = [f"Stock no.,{price},Paint", "1101,4321,red", f"1102,{first['1102'][price]:.0f},blue", "N-1,5000,"]
        (yard / "mixed.csv").write_text("\n".join([*rows, "1103,dear,"]) + "\n", encoding="utf-8")
        call = choose(IMPORT, List=str(yard / "mixed.csv"), Preview=True)
        done = office_with_menu.dispatch(yard / "lot.xlsx", [{"type": {}}, call])
        assert done["said"][1][0] == SUCCESS
        assert done["values"][1] == done["values"][0]
        assert done["undo"][1] == []
        ((title, shown),) = done["beside"][1].items()
        assert title == "mixed.csv - preview"
        text = "\n".join(str(row[0]) for row in shown[:4])
        assert "1 new, 1 changed, 1 same, 1 refused. Nothing is written yet." in text
        assert "Column not imported: Paint" in text
        start = next(number for number, row in enumerate(shown) if row[0] == "List row") + 1
        body = shown[start:]
        assert [row[:3] for row in body] == [
            [5, "1103", "refused"],
            [2, "1101", "changed"],
            [4, "N-1", "new"],
            [3, "1102", "same"],
        ]
        assert '"dear" is not a number' in body[0][5]
        assert body[1][3:] == [price, f"{first['1101'][price]:,.0f}", "4,321"]
        assert "5,000" in body[2][5]

    def test_many_notes_leave_room_for_the_rows(self, office_with_menu: Office, yard: Path) -> None:
        odd = [f"Odd {number}" for number in range(30)]
        rows = [["Stock no.", "Price", *odd], ["1101", "6000", *"x" * 30]]
        (yard / "odd.csv").write_text("\n".join(map(",".join, rows)) + "\n", encoding="utf-8")
        done = office_with_menu.dispatch(yard / "lot.xlsx", [choose(IMPORT, List=str(yard / "odd.csv"), Preview=True)])
        (shown,) = done["beside"][0].values()
        start = next(number for number, row in enumerate(shown) if row[0] == "List row")
        assert start < 15
        assert shown[start - 2][0] == "22 more notes stand below the last row."  # 30 - 8
        assert shown[start + 1][:3] == [2, "1101", "changed"]
        said = "\n".join(str(row[0]) for row in shown)
        assert all(f"Column not imported: {heading} (" in said for heading in odd)


class TestRefusals:
    def test_a_file_that_may_only_be_read(self, office_with_menu: Office, yard: Path) -> None:
        calls = [
            {"type": {}},
            choose(IMPORT, List=str(yard / "price-list.csv")),
            choose(REVIEW),
            choose(ADD_ROWS, Table="Lot"),
        ]
        done = office_with_menu.dispatch(yard / "lot.xlsx", calls, read_only=True)
        for state, words in done["said"][1:]:
            assert (state, "may only be read" in words) == (FAILURE, True)
        assert done["values"][3] == done["values"][0]
        assert not list(yard.glob("*refused*"))

    def test_nothing_below_the_table_is_written_over(self, office_with_menu: Office, yard: Path) -> None:
        path = yard / "lot.xlsx"
        below = {"type": {**type_stock(path)["type"], f"Lot!C{HEADING_ROW + 32}": "call back"}}
        done = office_with_menu.dispatch(path, [below, choose(IMPORT, List=str(yard / "new-truckload.csv"))])
        state, words = done["said"][1]
        assert (state, "choose Add rows first" in words) == (FAILURE, True), words
        assert done["values"][1] == done["values"][0]

    def test_a_list_with_two_sheets_is_asked_for(self, office_with_menu: Office, yard: Path) -> None:
        book = openpyxl.Workbook()
        for sheet, price in ((book.active, 4_000), (book.create_sheet("May"), 5_000)):
            for row in (["Stock no.", "Price"], ["1101", price]):
                sheet.append(row)
        book.save(yard / "two.xlsx")
        listed = {"List": str(yard / "two.xlsx")}
        done = office_with_menu.dispatch(
            yard / "lot.xlsx", [choose(IMPORT, **listed), choose(IMPORT, Sheet="May", **listed)]
        )
        state, words = done["said"][0]
        assert (state, "more than one sheet with a list" in words, "--" in words) == (FAILURE, True, False)
        price = next(heading for heading in lot(done["values"][1])["1101"] if heading.startswith("Price"))
        assert lot(done["values"][1])["1101"][price] == 5_000


class TestReview:
    def test_sheet_and_one_step_back(self, office_with_menu: Office, yard: Path) -> None:
        path = yard / "lot.xlsx"
        done = office_with_menu.dispatch(path, [{"type": {}}, choose(REVIEW), UNDO])
        first, reviewed, undone = done["values"]
        assert done["said"][1][0] == SUCCESS, done["said"]
        assert NOT_SAVED in done["said"][1][1]
        assert done["undo"] == [[], ["Review"], []]
        assert undone == first
        assert "Review" not in first
        rows = reviewed["Review"]
        headings = next(row for row in rows if row[0] == "Stock no.")
        start = rows.index(headings) + 1
        # LibreOffice's own results of the workbook's formulas say the same of each; one stock number stands there twice
        own_headings, *own_rows = first["Lot"][HEADING_ROW - 1 :]
        names = ("Stock no.", "Payload (lb)", "What conflicts")
        own = [dict(zip(own_headings, row, strict=True)) for row in own_rows if row[0] != ""]
        listed = [dict(zip(headings, row, strict=True)) for row in rows[start : start + len(own)]]
        said = [[row[name] for name in names] for row in listed]
        expected = [[row["Stock no."], row["Payload (lb)"], row["What conflicts"] or row["Conflicts"]] for row in own]
        assert [
            [stock, payload if payload == "" else pytest.approx(payload), words]
            for stock, payload, words in sorted(expected, key=str)
        ] == sorted(said, key=str)
        with_conflicts = [not row["What conflicts"].startswith(("none", "?")) for row in listed]
        assert with_conflicts == sorted(with_conflicts, reverse=True)
        assert 0 < sum(with_conflicts) < len(listed)
        foot = " ".join(str(row[0]) for row in rows[start + len(listed) :])
        assert "Weigh on a certified scale. The certification label governs. Check every rating." in foot

    def test_again_after_a_change(self, office_with_menu: Office, yard: Path) -> None:
        column = list(lot(office_with_menu.recalculate(yard / "lot.xlsx")).values())[0]
        letter = openpyxl.utils.get_column_letter(list(column).index("GVWR (lb)") + 1)
        calls = [choose(REVIEW), {"type": {f"Lot!{letter}5": 9_000}}, choose(REVIEW), UNDO]
        done = office_with_menu.dispatch(yard / "lot.xlsx", calls)
        first, _, second, undone = (values["Review"] for values in done["values"])
        stock = done["values"][0]["Lot"][HEADING_ROW][0]
        old, new = (next(row for row in rows if row[0] == stock) for rows in (first, second))
        assert new[2] == lot(done["values"][2])[stock]["Payload (lb)"] != old[2]
        assert undone == first
        assert len(second) == len(first)

    def test_a_sheet_of_that_name_that_is_not_ours(self, office_with_menu: Office, yard: Path) -> None:
        book = openpyxl.load_workbook(yard / "lot.xlsx")
        book.create_sheet("Review")["A1"] = "a colleague's own"
        book.save(yard / "lot.xlsx")
        done = office_with_menu.dispatch(yard / "lot.xlsx", [choose(REVIEW)])
        ((state, words),) = done["said"]
        assert (state, "rename it first" in words) == (FAILURE, True)
        assert done["values"][0]["Review"] == [["a colleague's own"]]


class TestRecalculate:
    def test_nothing_is_saved(self, office_with_menu: Office, whole_yard: Path) -> None:
        path = whole_yard / "lot.xlsx"
        before = path.read_bytes()
        done = office_with_menu.dispatch(path, [{"type": {"Lot!A5": "K-77"}}, choose(RECALCULATE)])
        errors = sum(value in ERROR_VALUES for row in done["values"][1]["Lot"][HEADING_ROW:] for value in row)
        assert done["said"][1][0] == SUCCESS
        said = {0: "no result is an error", 1: "1 result is an error"}.get(errors, f"{errors} results are errors")
        assert done["said"][1][1] == f"Calculated anew: {said}. Nothing is saved yet."
        assert path.read_bytes() == before

    def test_errors_are_counted(self, office_with_menu: Office, yard: Path) -> None:
        # A bad entry leaves no error, a formula that a person types over a result may; how many, the cells say.
        row = lot(office_with_menu.recalculate(yard / "lot.xlsx"))["1101"]
        letter = openpyxl.utils.get_column_letter(list(row).index("Payload (lb)") + 1)
        done = office_with_menu.dispatch(
            yard / "lot.xlsx", [{"type": {f"Lot!{letter}{n}": "=1/0" for n in (5, 6)}}, choose(RECALCULATE)]
        )
        shown = [value for row in done["values"][1]["Lot"][HEADING_ROW:] for value in row if value in ERROR_VALUES]
        assert len(shown) > 1
        assert f" {len(shown)} results are errors." in done["said"][1][1]


class TestAddRows:
    """Rows that a person typed below a table are taken in, and others to fill come behind them."""

    def test_the_lot_and_match_grow_in_one_step(self, whole_yard: Path, office_with_menu: Office) -> None:
        sheet = openpyxl.load_workbook(whole_yard / "lot.xlsx")["Lot"]
        *_, last = range_boundaries(sheet.tables["Lot"].ref)
        letters = {cell.value: cell.column_letter for cell in sheet[HEADING_ROW]}
        typed = {
            f"Lot!A{last + 1}": "0041",
            f"Lot!{letters['GVWR (lb)']}{last + 1}": 10_000.0,
            f"Lot!{letters['Scale weight (lb)']}{last + 1}": 3_000.0,
        }
        calls = [{"type": typed}, choose(ADD_ROWS, Table="Lot"), UNDO]
        answer = office_with_menu.dispatch(whole_yard / "lot.xlsx", calls)
        said = f"Lot has 51 more rows, 1 of them typed below it before.\n\n{NOT_SAVED}"
        assert answer["said"][1] == [SUCCESS, said]
        before, after, undone = answer["values"]
        assert [values["Start"][4][1] for values in (before, after, undone)] == [24.0, 25.0, 24.0]
        assert str(before["Start"][6][1]).startswith("1 filled below the table on Lot")
        assert after["Start"][6][1] == ""
        assert lot(after)["0041"]["Payload (lb)"] == 7_000.0  # 10,000 - 3,000
        assert "0041" in {row[1] for row in after["Match"]}
        assert len(after["Match"]) - len(before["Match"]) == last + 51 - HEADING_ROW - (len(before["Match"]) - 11)
        assert undone["Lot"][last][0] == "0041"
        assert [answer["undo"][1][0], len(answer["undo"][2])] == ["Add rows to Lot", len(answer["undo"][0])]

    def test_a_list_grows_too(self, whole_yard: Path, office_with_menu: Office) -> None:
        answer = office_with_menu.dispatch(whole_yard / "lot.xlsx", [choose(ADD_ROWS, Table="Trucks")])
        assert answer["said"] == [[SUCCESS, f"Trucks has 50 more rows.\n\n{NOT_SAVED}"]]

    def test_nothing_is_written_over(self, whole_yard: Path, office_with_menu: Office) -> None:
        sheet = openpyxl.load_workbook(whole_yard / "lot.xlsx")["Lot"]
        *_, last = range_boundaries(sheet.tables["Lot"].ref)
        payload = next(cell.column_letter for cell in sheet[HEADING_ROW] if cell.value == "Payload (lb)")
        note = {"type": {f"Lot!{payload}{last + 3}": "call back"}}
        answer = office_with_menu.dispatch(whole_yard / "lot.xlsx", [note, choose(ADD_ROWS, Table="Lot")])
        state, said = answer["said"][1]
        assert state == FAILURE
        assert "stands where the table will have a result: move it first. Nothing was done." in said
        assert answer["values"][0] == answer["values"][1]

    def test_no_table_has_formulas_of_ours_that_end_before_new_rows(
        self, whole_yard: Path, office_with_menu: Office
    ) -> None:
        tables = ("Lot", "Tickets", "Options", "Machines", "Trucks")
        answer = office_with_menu.dispatch(whole_yard / "lot.xlsx", [choose(ADD_ROWS, Table=name) for name in tables])
        assert answer["said"] == [[SUCCESS, f"{name} has 50 more rows.\n\n{NOT_SAVED}"] for name in tables]

    def test_elsewhere_it_says_where_to_go(self, whole_yard: Path, office_with_menu: Office) -> None:
        select = {"select": "Card!A1"}
        answer = office_with_menu.dispatch(whole_yard / "lot.xlsx", [select, choose(ADD_ROWS)])
        assert answer["said"][1] == [
            FAILURE,
            "Go to one of these sheets first: Lot, Tickets, Options, Machines, Trucks.",
        ]
