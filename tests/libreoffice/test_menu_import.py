"""*Import a list* and *Undo import* in LibreOffice, dispatched with nobody to be asked, and taken back by its undo.

The outside sources are LibreOffice itself, whose undo and recalculation say what stands in the workbook, and the lists
of the demo yard, whose figures are read here with csv alone.
"""

from __future__ import annotations

import csv
import re
from pathlib import Path

import openpyxl
import pytest

from tarelot.addin.command_line.main import main
from tarelot.addin.libreoffice.menu.names import ENTRIES, IMPORT, UNDO_IMPORT
from tests.engines.office import Office
from tests.libreoffice.choices import FAILURE, HEADING_ROW, NOT_SAVED, REDO, SUCCESS, UNDO, choose, lot, type_stock


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
