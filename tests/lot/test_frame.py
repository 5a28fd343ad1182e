"""`read_lot` as a DataFrame against openpyxl's own reading of the same cells."""

from __future__ import annotations

import datetime
import subprocess
import sys
from pathlib import Path

import openpyxl
import pandas as pd
import pytest

from tarelot.workbook_templates import workbook
from tarelot.workbook_templates.basis.units import METRIC
from tarelot.workbook_templates.frame import read_lot
from tarelot.workbook_templates.lot.reading import LotError

HEADING_ROW = 4


def cells(path: Path) -> dict[int, dict[str, object]]:
    """Row number -> heading -> value of the trailers, as openpyxl reads what is stored."""
    sheet = openpyxl.load_workbook(path, data_only=True)["Lot"]
    headings = [cell.value for cell in sheet[HEADING_ROW]]
    found = {
        number: dict(zip(headings, row, strict=True))
        for number, row in enumerate(sheet.iter_rows(HEADING_ROW + 1, values_only=True), HEADING_ROW + 1)
    }
    return {number: row for number, row in found.items() if row["Stock no."] is not None}


def test_every_cell_is_as_openpyxl_reads_it(demo_workbook: Path) -> None:
    frame, wanted = read_lot(demo_workbook), cells(demo_workbook)
    assert list(frame.index) == list(wanted)
    headings = frame.attrs["headings"]
    assert list(headings) == list(frame.columns)
    assert list(headings.values()) == [heading for heading in wanted[HEADING_ROW + 1] if heading]
    compared = 0
    for key, heading in headings.items():
        for number, row in wanted.items():
            held, cell = frame.loc[number, key], row[heading]
            if isinstance(cell, datetime.datetime):
                cell = cell.date()
            if cell is None:
                assert pd.isna(held), (key, number)
            else:
                assert held == (pytest.approx(cell, rel=1e-12) if isinstance(cell, float) else cell), (key, number)
                compared += 1
    assert compared > 24 * 30


def test_keys_units_and_types(demo_workbook: Path) -> None:
    frame = read_lot(str(demo_workbook))
    assert {"stock_no", "gvwr", "payload", "deck_length", "tie_down_points", "low_pin_share"} <= set(frame.columns)
    units = frame.attrs["units"]
    assert (units["gvwr"], units["deck_length"], units["width"], units["ramp_angle"]) == ("lb", "ft", "in", "deg")
    assert "axles" not in units
    assert frame["gvwr"].dtype == frame["safe_payload"].dtype == "float64"
    # Stock no. 1105 by hand: 20,000 lb GVWR less 5,960 lb on the scale.
    assert frame.set_index("stock_no").loc["1105", "payload"] == 14_040


def test_what_a_person_typed_counts_and_not_what_was_stored(demo_workbook: Path, tmp_path: Path) -> None:
    book = openpyxl.load_workbook(demo_workbook)
    sheet = book["Lot"]
    column = next(cell.column for cell in sheet[HEADING_ROW] if cell.value == "GVWR (lb)")
    row = next(cell.row for cell in sheet["A"] if cell.value == "1105")
    sheet.cell(row, column, 21_000)
    book.save(tmp_path / "changed.xlsx")  # openpyxl keeps no stored result
    frame = read_lot(tmp_path / "changed.xlsx").set_index("stock_no")
    assert frame.loc["1105", "payload"] == 15_040  # 21,000 less 5,960


def test_an_empty_metric_lot(tmp_path: Path) -> None:
    workbook.write_new(tmp_path / "lot.xlsx", METRIC)
    frame = read_lot(tmp_path / "lot.xlsx")
    assert frame.empty
    assert (frame.attrs["units"]["gvwr"], frame.attrs["units"]["width"]) == ("kg", "mm")
    assert frame["gvwr"].dtype == "float64"


def test_no_lot(tmp_path: Path) -> None:
    openpyxl.Workbook().save(tmp_path / "other.xlsx")
    with pytest.raises(LotError, match="no table named Lot"):
        read_lot(tmp_path / "other.xlsx")


def test_without_pandas_one_line_says_so(demo_workbook: Path) -> None:
    """A Python in which pandas cannot be found; everything else of the module is there without it."""
    code = (
        "import sys; sys.modules['pandas'] = None\n"
        "from tarelot.workbook_templates.frame import read_lot\n"
        f"try: read_lot({str(demo_workbook)!r})\n"
        "except ImportError as error: print(error)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert done.stdout == "read_lot needs pandas: pip install pandas, or Tarelot with its part [pandas]\n", done.stderr
