"""Rows that a person adds where no table counts them, as LibreOffice and IronCalc see them.

Outside sources: LibreOffice's own tables, which grow by rows inserted inside them and not by what is typed below them.
"""

from __future__ import annotations

import re
from pathlib import Path

import openpyxl
import pytest

from tarelot.workbook_templates import workbook
from tarelot.workbook_templates.basis.units import US
from tarelot.workbook_templates.hauling import upkeep
from tests.engines.office import Office
from tests.hauling.what_if_live import Live

ROWS = 3
BELOW = 5 + ROWS
"""The row below the prepared ones."""


@pytest.fixture(scope="module")
def lot(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("rows") / "lot.xlsx"
    workbook.write(path, [{"Stock no.": "1"}, *[{}] * (ROWS - 1)], [(None, None)], US)
    return path


def test_rows_below_a_table_are_said(lot: Path, office: Office) -> None:
    reads = [f"Start!{upkeep.BELOW}", "Start!B5"]
    assert office.edit_and_read(lot, {}, reads) == ["", 1.0]
    said, counted = office.edit_and_read(lot, {f"Lot!A{BELOW}": "2", f"Lot!A{BELOW + 1}": 3}, reads)
    assert said == "2 filled below the table on Lot, not counted: see step 6"
    assert counted == 1.0
    machines = {"Machines!A65": "Loader", "Trucks!A65": "Dump"}
    assert office.edit_and_read(lot, dict(machines), reads)[0] == (
        "1 filled below the table on Machines, not counted: see step 6; "
        "1 filled below the table on Trucks, not counted: see step 6"
    )


def test_an_error_or_a_row_without_a_number_below_a_table_silences_nothing(lot: Path, office: Office) -> None:
    """A lookup of the person's own that came to an error; a trailer of which only the make is known."""
    reads = [f"Start!{upkeep.BELOW}"]
    edits: dict[str, float | str | bool | None] = {f"Lot!A{BELOW}": "=NA()", f"Lot!A{BELOW + 1}": "3"}
    assert office.edit_and_read(lot, edits, reads) == ["2 filled below the table on Lot, not counted: see step 6"]
    make = {str(cell.value): cell.column_letter for cell in openpyxl.load_workbook(lot)["Lot"][4]}["Make"]
    edits = {f"Lot!{make}{BELOW + 2}": "Corvane"}
    assert office.edit_and_read(lot, edits, reads) == ["1 filled below the table on Lot, not counted: see step 6"]


def test_rows_below_a_table_are_said_in_ironcalc(lot: Path) -> None:
    live = Live(lot)
    live.set("Lot", f"A{BELOW}", "2")
    live.model.evaluate()
    assert live.read("Start", upkeep.BELOW) == "1 filled below the table on Lot, not counted: see step 6"


def test_rules_and_highlights_end_with_their_table(lot: Path) -> None:
    """Some programs take cells with a rule for filled ones: cleared filters let a table reach down to row 20,000."""
    book = openpyxl.load_workbook(lot)
    for name in ("Lot", "Match", "Machines", "Trucks", "Options"):
        sheet = book[name]
        (table,) = sheet.tables.values()
        last = int(re.findall(r"\d+$", table.ref)[0])
        areas = [str(rule.sqref) for rule in sheet.data_validations.dataValidation]
        areas += [str(found.sqref) for found in sheet.conditional_formatting]
        assert areas
        assert max(int(row) for area in areas for row in re.findall(r"\d+", area)) <= last, name


def act(name: str) -> dict[str, object]:
    return {"url": f".uno:{name}", "arguments": {}}


def test_a_row_inserted_as_start_says_is_counted(lot: Path, office: Office) -> None:
    """Step 6 for LibreOffice: rows inserted above the last one, a row copied into them, typed over."""
    headings = {cell.value: cell.column_letter for cell in openpyxl.load_workbook(lot)["Lot"][4]}
    *_, last = headings.values()
    gvwr, scale, payload = (headings[name] for name in ("GVWR (lb)", "Scale weight (lb)", "Payload (lb)"))
    new = BELOW - 1
    calls: list[dict[str, object]] = [
        {"select": f"Lot!A{new}"},
        act("InsertRowsBefore"),
        {"select": f"Lot!A5:{last}5"},
        act("Copy"),
        {"select": f"Lot!A{new}"},
        act("Paste"),
        {"type": {f"Lot!A{new}": "41", f"Lot!{gvwr}{new}": 10_000, f"Lot!{scale}{new}": 3_000, f"Lot!A{BELOW}": "42"}},
    ]
    shown = office.dispatch(lot, calls)["values"][-1]
    assert [shown["Start"][row][1] for row in (4, 6)] == [3.0, ""]
    assert {"1", "41", "42"} <= {str(row[1]) for row in shown["Match"][11:]}
    place = openpyxl.utils.column_index_from_string(payload) - 1
    assert shown["Lot"][new - 1][place] == 7_000.0


def test_sorted_and_filtered_a_table_keeps_its_rows(lot: Path, office: Office, tmp_path: Path) -> None:
    """Sorted by stock number and back, filtered, the filter cleared, and saved by LibreOffice."""
    saved = tmp_path / "saved.xlsx"
    several = tmp_path / "lot.xlsx"
    gvwrs = {"2": 9_000.0, "3": 8_000.0, "1": 7_000.0}
    rows = [{"Stock no.": number, "GVWR (lb)": gvwr, "Scale weight (lb)": 2_000.0} for number, gvwr in gvwrs.items()]
    workbook.write(several, [*rows, {}, {}], [(None, None)], US)
    calls: list[dict[str, object]] = [
        {"select": "Lot!A5"},
        act("SortAscending"),
        {"filter": ["Lot", 0, "2"]},
        act("DataFilterRemoveFilter"),
        {"store": str(saved)},
    ]
    answer = office.dispatch(several, calls)
    kept = [[row[0] for row in shown["Lot"][4:9]] for shown in answer["values"]]
    assert kept[0] == ["2", "3", "1", "", ""]
    assert kept[1] == kept[-1] == ["1", "2", "3", "", ""]
    before, after = openpyxl.load_workbook(several), openpyxl.load_workbook(saved)
    assert [after[name].tables[name].ref for name in ("Lot", "Match")] == [
        before[name].tables[name].ref for name in ("Lot", "Match")
    ]
    assert not any(row.hidden for row in after["Lot"].row_dimensions.values())
    payload = next(cell.column for cell in after["Lot"][4] if cell.value == "Payload (lb)")
    # GVWR less 2,000 lb, in the new order
    assert [row[payload - 1] for row in office.recalculate(saved)["Lot"][4:7]] == [5_000.0, 7_000.0, 6_000.0]
