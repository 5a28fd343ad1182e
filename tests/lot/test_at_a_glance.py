"""The lot at a glance on Start: counted by hand, in LibreOffice, and after an import."""

from __future__ import annotations

import datetime
from pathlib import Path

import openpyxl
import pytest

from tarelot.addin.command_line.main import main
from tarelot.workbook_templates import workbook
from tarelot.workbook_templates.basis.units import US
from tarelot.workbook_templates.lot.results import as_in_cell, lot_results
from tarelot.workbook_templates.sheets import at_a_glance as glance
from tests.engines.office import Office

DATES = ((2026, 1, 10), (2026, 3, 1), (2026, 4, 30), (2026, 4, 1))
ROWS = [
    {
        "Stock no.": f"{number}",
        "Status": "on lot",
        "Received": datetime.date(*date),
        "Price": 10_000.0 * number,
        "GVWR (lb)": 20_000.0,
        "Base weight (lb)": 5_000.0,
        "Coupler rating (lb)": 19_000.0,
    }
    for number, date in enumerate(DATES, 1)
]
ROWS += [
    {"Stock no.": "5", "Status": "on lot", "Price": "ask"},
    {"Stock no.": "6", "Status": "sold", "Received": datetime.date(2025, 1, 1), "Price": 500.5},
    {"Stock no.": "7", "Received": datetime.date(2024, 1, 1)},
    {},
]


def said(date: object = None) -> dict[str, float | str]:
    rows = [{**row, **result} for row, result in zip(ROWS, lot_results(ROWS, [], US), strict=True)]
    return glance.stored(rows, US, date)


def column(found: dict[str, float | str], letter: str, first: int, count: int) -> list[float | str]:
    return [found[f"{letter}{row}"] for row in range(first, first + count)]


def test_counted_by_hand() -> None:
    # to 2026-04-30, the latest date of all: 110, 60, 0 and 29 days, together 199 over 4 = 49.75
    found = said()
    assert column(found, "C", glance.STATUS_ROW, 5) == [0, 5, 0, 1, 1]
    assert column(found, "D", glance.STATUS_ROW, 4) == [0, 100_000, 0, 500.5]
    assert column(found, "C", glance.AGE_ROW, 7) == [2, 1, 1, 0, 1, 49, 110]
    assert found[f"D{glance.AGE_ROW + 6}"] == 46_032  # 2026-01-10; 2026-01-01 is day 46,023
    assert found[f"E{glance.AGE_ROW + 6}"] == "stock no. 1"


def test_the_oldest_is_named_and_those_of_the_same_day_counted() -> None:
    # 1 and 3 came on 2026-01-10; 6 and 7 earlier, and neither is on the lot
    rows = [*ROWS, {**ROWS[2], "Received": ROWS[0]["Received"]}]
    rows[2] = {}
    found = glance.stored([{**row, **of} for row, of in zip(rows, lot_results(rows, [], US), strict=True)], US)
    assert found[f"E{glance.AGE_ROW + 6}"] == "stock no. 3 and 1 more"
    gone = [{**row, "Status": "sold"} for row in ROWS]
    found = glance.stored([{**row, **of} for row, of in zip(gone, lot_results(gone, [], US), strict=True)], US)
    assert found[f"E{glance.AGE_ROW + 6}"] == ""


def test_days_are_counted_to_the_date_typed() -> None:
    # 2026-07-29 is 90 days after 2026-04-30: 200, 150, 90 and 119 days
    found = said(46_142 + 90)
    assert column(found, "C", glance.AGE_ROW, 7) == [0, 1, 2, 1, 1, 139, 200]


@pytest.mark.parametrize(
    ("date", "notice", "ages"),
    [
        (46_082.0, "▲ received after that day, and left out: 2", [1, 1, 0, 0, 1, 25, 50]),  # 2026-03-01: 50 and 0 days
        ("2026-09-01", "▲ this is not a date", [2, 1, 1, 0, 1, 49, 110]),
        (1.0, "▲ this is not a date", [2, 1, 1, 0, 1, 49, 110]),
        (46_142.0, "", [2, 1, 1, 0, 1, 49, 110]),
    ],
)
def test_a_day_that_is_none_or_too_early_is_said(date: object, notice: str, ages: list[float]) -> None:
    found = said(date)
    assert str(found[glance.NOTICE]).startswith(notice)
    assert bool(found[glance.NOTICE]) == bool(notice)
    assert column(found, "C", glance.AGE_ROW, 7) == ages


def test_what_entry_check_refuses_is_not_added_up() -> None:
    rows = [{**ROWS[0], "Price": -100.0, "Received": 9_558.0}, ROWS[1], {**ROWS[0], "Price": 1.0}]
    results = lot_results(rows, [], US)
    found = glance.stored([{**row, **result} for row, result in zip(rows, results, strict=True)], US)
    assert found[f"D{glance.STATUS_ROW + 1}"] == 20_000  # 1 is TRUE in LibreOffice
    # to 2026-03-01: its own day, and the 50 days from 2026-01-10
    assert column(found, "C", glance.AGE_ROW, 7) == [1, 1, 0, 0, 1, 25, 50]


def test_checks_are_counted_and_the_most_frequent_named() -> None:
    found = said()
    names = glance.checks()
    row = glance.CHECK_ROW + names.index("Coupler short")
    # four trailers with a coupler of 19,000 lb below a GVWR of 20,000; rows 5 to 7 have neither
    assert (found[f"C{row}"], found[f"D{row}"], found[f"E{row}"]) == (4, 3, "most conflicts")
    assert [found[f"D{glance.CHECK_ROW + names.index(name)}"] for name in ("Axles short", "Tires short")] == [7, 7]
    assert found[f"E{glance.CHECK_ROW + names.index('Axles short')}"] == "missing most"


def test_libreoffice_says_the_same_and_no_error_of_the_lot_stops_the_rest(tmp_path: Path, office: Office) -> None:
    path = tmp_path / "lot.xlsx"
    workbook.write(path, ROWS, [], US)
    places = [place for place in glance.cells().values()]
    cells = [f"Start!{place.replace('$', '')}" for place in places]
    before, after = office.edit_and_read_often(path, [{}, {"Lot!J8": "=1/0"}], cells)
    own = openpyxl.load_workbook(path, data_only=True)["Start"]
    stored = [own[place.replace("$", "")].value for place in places]
    stored = [as_in_cell(one) if one is not None else "" for one in stored]
    assert [one if one != "" else "" for one in before] == stored
    assert not [one for one in after if str(one).startswith(("#", "Err:"))]


def test_it_stands_below_what_start_explains(tmp_path: Path) -> None:
    path = tmp_path / "lot.xlsx"
    workbook.write(path, ROWS, [], US)
    sheet = openpyxl.load_workbook(path)["Start"]
    above = [cell.value for cell in sheet[glance.FIRST_ROW - 1][:7]]
    assert above == [None] * 7
    assert sheet.cell(glance.FIRST_ROW, 2).value == "The lot at a glance"
    assert str(sheet.cell(glance.FIRST_ROW - 2, 2).value or sheet.cell(glance.FIRST_ROW - 3, 2).value).startswith(
        "Usual"
    )


def test_an_import_and_recalculate_keep_it_right(tmp_path: Path) -> None:
    path, more = tmp_path / "lot.xlsx", tmp_path / "more.csv"
    workbook.write(path, ROWS, [], US)
    more.write_text("Stock no.,Status,Price,GVWR (lb)\n8,sold,900,9000\n", encoding="utf-8")
    assert main(["import", str(path), str(more), "--yes"]) == 0
    sheet = openpyxl.load_workbook(path, data_only=True)["Start"]
    row = glance.STATUS_ROW + 3
    assert (sheet[f"C{row}"].value, sheet[f"D{row}"].value) == (2, 1400.5)
    assert main(["recalculate", str(path)]) == 0
    sheet = openpyxl.load_workbook(path, data_only=True)["Start"]
    assert (sheet[f"C{row}"].value, sheet[f"D{row}"].value) == (2, 1400.5)
