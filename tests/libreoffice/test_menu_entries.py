"""The menu Tarelot in LibreOffice: each entry but the imports, dispatched on an open workbook, and taken back.

The outside sources are LibreOffice itself, whose undo and recalculation say what stands in the workbook, and the lists
of the demo yard, whose figures are read here with csv alone.
"""

from __future__ import annotations

from pathlib import Path
from xml.etree import ElementTree

import openpyxl
import pytest
from openpyxl.utils import range_boundaries

from tarelot.addin.libreoffice.build import build, members
from tarelot.addin.libreoffice.menu.names import ADD_ROWS, ENTRIES, IMPORT, PROTOCOL, RECALCULATE, REVIEW
from tests.engines.office import ERROR_VALUES, Office
from tests.libreoffice.choices import FAILURE, HEADING_ROW, NOT_SAVED, SUCCESS, UNDO, choose, lot, type_stock


class TestParts:
    def test_same_bytes_every_time(self, tmp_path: Path) -> None:
        assert build(tmp_path / "a.oxt").read_bytes() == build(tmp_path / "b.oxt").read_bytes()

    def test_menu_of_calc_alone(self) -> None:
        tree = ElementTree.fromstring(members()["Addons.xcu"])
        values = [value.text for value in tree.iter("value")]
        assert values.count("com.sun.star.sheet.SpreadsheetDocument") == 1
        assert [value for value in values if str(value).startswith(PROTOCOL)] == [PROTOCOL + name for name in ENTRIES]


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
