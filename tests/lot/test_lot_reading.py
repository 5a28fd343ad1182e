"""Reading a lot workbook back: whatever a person moved, added, sorted, deleted, or saved with another program."""

from __future__ import annotations

import csv
import datetime
from pathlib import Path

import openpyxl
import pytest

from tarelot.workbook_templates import workbook
from tarelot.workbook_templates.basis.units import METRIC, US
from tarelot.workbook_templates.lot.reading import LotError, read_lot
from tarelot.workbook_templates.sheets import demo_yard
from tests.engines.office import Office
from tests.lot.small_lot import write_small_lot

HEADINGS = ["Make", "Salesman", "GVWR (lb)", "Stock no.", "Received"]


def assert_holds_the_demo_yard(path: Path) -> None:
    """The yard's own CSV files, read by the standard library, against what was read from the workbook."""
    with (demo_yard.FOLDER / "lot.csv").open(encoding="utf-8", newline="") as file:
        typed = list(csv.DictReader(file))
    lot = read_lot(path)
    assert len(lot.rows) == len(typed) == 24
    for row, wanted in zip(lot.rows, typed, strict=True):
        for heading, value in row.values.items():
            text = wanted[heading.partition(" (")[0]]
            if isinstance(value, float):
                assert value == float(text), (row.number, heading)
            elif isinstance(value, datetime.date):
                assert value.isoformat() == text
            else:
                assert (value or "") == text, (row.number, heading)
    with (demo_yard.FOLDER / "options.csv").open(encoding="utf-8", newline="") as file:
        assert lot.options == [
            (
                row["Option"],
                float(row["Weight"]),
                row["Fitted by"],
                *(float(row[key]) if row[key] else None for key in ("Price", "Center behind coupler")),
            )
            for row in csv.DictReader(file)
        ]


def test_the_demo_yard_reads_back(demo_workbook: Path) -> None:
    assert_holds_the_demo_yard(demo_workbook)
    lot = read_lot(demo_workbook)
    assert (lot.units, lot.sheet, lot.missing) == (US, "Lot", [])
    assert [row.number for row in lot.rows] == list(range(5, 29))
    assert lot.blank_rows == [29, 30, 31, 32, 33, 34]
    assert lot.columns["Stock no."] == "A"


def test_a_lot_saved_by_libreoffice_reads_back(demo_workbook: Path, tmp_path: Path, office: Office) -> None:
    assert_holds_the_demo_yard(office.save_as(demo_workbook, tmp_path / "saved.xlsx"))


def test_an_empty_metric_workbook(tmp_path: Path) -> None:
    workbook.write_new(tmp_path / "new.xlsx", METRIC)
    lot = read_lot(tmp_path / "new.xlsx")
    assert lot.units == METRIC
    assert lot.rows == []
    assert len(lot.blank_rows) == workbook.BLANK_TRAILERS


def test_a_moved_table_with_columns_deleted_added_and_in_another_order(tmp_path: Path) -> None:
    day = datetime.date(2026, 3, 2)
    rows = [
        {"Make": "Corvane", "Salesman": "A", "GVWR (lb)": 7000, "Stock no.": "B-2", "Received": day},
        {},
        {"Salesman": "only a note"},
        {"Make": "Brenmoor", "GVWR (lb)": 0.1, "Stock no.": 1101},
    ]
    lot = read_lot(write_small_lot(tmp_path / "lot.xlsx", HEADINGS, rows, at=(7, 4), sheet="It's mine"))
    assert lot.sheet == "It's mine"
    assert lot.columns == {"Make": "D", "Salesman": "E", "GVWR (lb)": "F", "Stock no.": "G", "Received": "H"}
    assert [row.number for row in lot.rows] == [8, 11]
    assert lot.blank_rows == [9]  # row 10, with a note of the person's own alone, is no trailer and no room for one
    assert lot.rows[0].values == {"Make": "Corvane", "GVWR (lb)": 7000, "Stock no.": "B-2", "Received": day}
    assert lot.rows[1].values == {"Make": "Brenmoor", "GVWR (lb)": 0.1, "Stock no.": 1101, "Received": None}
    assert "VIN" in lot.missing
    assert "Stock no." not in lot.missing
    assert lot.options == [("Spare tire", 120, None), ("Tool box", 110, None)]


@pytest.mark.parametrize(
    "epoch", [openpyxl.utils.datetime.CALENDAR_WINDOWS_1900, openpyxl.utils.datetime.CALENDAR_MAC_1904]
)
def test_dates_by_either_calendar_and_cells_formatted_as_something_else(
    tmp_path: Path, epoch: datetime.datetime
) -> None:
    path = write_small_lot(tmp_path / "lot.xlsx", HEADINGS, [{"Stock no.": "1", "GVWR (lb)": 7000, "Received": 1}])
    book = openpyxl.load_workbook(path)
    book.epoch = epoch
    sheet = book["Yard"]
    sheet["F4"] = datetime.date(2026, 3, 2)
    sheet["F4"].number_format = "0.00"  # a date shown as a plain number is still a date
    sheet["D4"].number_format = "yyyy-mm-dd"  # and a weight shown as a date is still a weight
    book.save(path)
    (row,) = read_lot(path).rows
    assert row.values["Received"] == datetime.date(2026, 3, 2)
    assert row.values["GVWR (lb)"] == 7000


def test_errors_and_formulas_in_inputs(tmp_path: Path) -> None:
    path = write_small_lot(tmp_path / "lot.xlsx", HEADINGS, [{"Stock no.": "1", "Make": "#N/A"}])
    assert read_lot(path).rows[0].values["Make"] == "#N/A"  # openpyxl writes it as an error cell
    book = openpyxl.load_workbook(path)
    book["Yard"]["D4"] = "=7000*2"
    book.save(path)
    with pytest.raises(LotError, match=r"lot\.xlsx: Yard!D4 holds a formula without a stored result"):
        read_lot(path)


@pytest.mark.parametrize(
    ("headings", "weight", "message"),
    [
        (["Stock no.", "GVWR (lb)", "Base weight (kg)"], "Weight (lb)", "mixes units: it has the headings"),
        (["Stock no.", "GVWR (kg)"], "Weight (lb)", "mixes units"),
        (["Stock no.", "Make"], "Weight", "no heading of its table Lot states a unit"),
    ],
)
def test_units_that_are_not_certain(tmp_path: Path, headings: list[str], weight: str, message: str) -> None:
    path = write_small_lot(tmp_path / "lot.xlsx", headings, [{"Stock no.": "1"}], weight=weight)
    with pytest.raises(LotError, match=message):
        read_lot(path)


def test_what_is_not_a_lot_gets_one_line(tmp_path: Path) -> None:
    plain = tmp_path / "plain.xlsx"
    openpyxl.Workbook().save(plain)
    text, ods = tmp_path / "text.xlsx", tmp_path / "lot.ods"
    text.write_text("no workbook")
    ods.write_text("")
    for path, message in (
        (plain, "plain.xlsx has no table named Lot"),
        (text, "text.xlsx is damaged or not a workbook"),
        (ods, "save it as .xlsx"),
        (tmp_path / "none.xlsx", "none.xlsx cannot be read"),
    ):
        with pytest.raises(LotError, match=message) as caught:
            read_lot(path)
        assert "\n" not in str(caught.value)
