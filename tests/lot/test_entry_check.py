"""Entries checked once: what nobody should type is named, and leaves no error value in any cell of Lot and Start.

LibreOffice calculates for real; what is to be named is said here by hand, from the design's list of what may go wrong.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from tarelot.calc.cells.boundary import ERROR_VALUES
from tarelot.workbook_templates import workbook
from tarelot.workbook_templates.basis.units import METRIC, US, Units
from tarelot.workbook_templates.lot import sheet as lot
from tarelot.workbook_templates.lot.columns import headings
from tarelot.workbook_templates.lot.reading import read_lot
from tarelot.workbook_templates.lot.results import lot_results
from tarelot.workbook_templates.sheets import demo_yard, start
from tests.engines.office import Office
from tests.engines.stored_results import same

Grid = list[list[Any]]
REFUSED = "Not a number above 0, or not what belongs there: "
# Kind of mistake, heading, what is typed, what Entry check says; stock no. 1105 of the demo yard is right in all else.
BAD: tuple[tuple[str, str, object, str], ...] = (
    ("text for a weight", "GVWR (lb)", "20k", f"{REFUSED}GVWR"),
    ("digits as text", "GVWR (lb)", "20000", f"{REFUSED}GVWR"),
    ("below 0", "Base weight (lb)", -5, f"{REFUSED}Base weight"),
    ("error for a weight", "Scale weight (lb)", "#N/A", f"{REFUSED}Scale weight"),
    ("error for a number of parts", "Axles", "#DIV/0!", f"{REFUSED}Axles"),
    ("part of an axle", "Axles", 2.5, f"{REFUSED}Axles: not whole"),
    ("text for a number of parts", "Jacks", "two", f"{REFUSED}Jacks: not whole"),
    ("share in percent", "Low pin share", 12, f"{REFUSED}Low pin share: not below 1"),
    ("text for a share", "High pin share", "15 %", f"{REFUSED}High pin share: not below 1"),
    ("hitch of no kind", "Hitch", "bumper", f"{REFUSED}Hitch: not one of the choices"),
    ("number for a word", "Hitch", 5, f"{REFUSED}Hitch: not one of the choices"),
    ("status misspelt", "Status", "on lott", f"{REFUSED}Status: not one of the choices"),
    ("body of no kind", "Body", "deck over", f"{REFUSED}Body: not one of the choices"),
    (
        "option misspelt",
        "Options",
        "Tool box; Wynch plate",
        "Options (12 at most, once on Options, with a weight): Wynch plate",
    ),
    ("number for options", "Options", 3, f"{REFUSED}Options: not a text"),
    (
        "too many options",
        "Options",
        "Tool box;" * 12,
        "Options (12 at most, once on Options, with a weight): more than 12",
    ),
    ("number for a VIN", "VIN", 12345, f"{REFUSED}VIN: not a text"),
    ("error for a VIN", "VIN", "#VALUE!", f"{REFUSED}VIN: not a text"),
    ("error for a stock number", "Stock no.", "#REF!", f"{REFUSED}Stock no."),
    ("error for a maker", "Make", "#NAME?", f"{REFUSED}Make"),
    ("text for a price", "Price", "ask", f"{REFUSED}Price"),
    ("text for a date", "Received", "last week", f"{REFUSED}Received: not a date from 1980 on"),
    ("error for a status", "Status", "#N/A", f"{REFUSED}Status: not one of the choices"),
    ("deck length in inches", "Deck length (ft)", 240, "Deck length 240 ft: inches?"),
    ("deck height in feet", "Deck height (in)", 2.8, "Deck height 2.8 in: feet?"),
    ("ramp length in feet", "Ramp length (in)", 5, "Ramp length 5 in: feet?"),
    ("width in feet", "Width (in)", 8.5, "Width 8.5 in: feet?"),
    ("year of two digits", "Model year", 25, "Model year 25: two digits?"),
    # 20,000 lb on 2 axles of 20,000: 20,000 / 40,000 = 50 %, below 85 %
    (
        "group's rating as the axle's",
        "Axle rating (lb)",
        20_000,
        "GVWR 50% of the axles: all axles typed for one?",
    ),
    # scale 596 lb of 20,000: 2.98 %, below 15 %; and 760 lb on the pin is 127.5 % of it
    ("digit lost on the scale", "Scale weight (lb)", 596, "Empty weight 3% of GVWR: kg, or a digit missing?"),
    ("digit lost on the scale, pin", "Scale weight (lb)", 596, "Empty pin 128% of the empty weight"),
    # 4 tires of 14,000 on an axle of 10,000: 560 %, above 200 %
    (
        "all tires' load as one's",
        "Tire rating (lb)",
        14_000,
        "Tires 560% of the axle rating: all tires typed for one?",
    ),
    ("digits too many", "Chain strength (lb)", 2e12, "a weight above 1,000,000 lb: a digit too many?"),
    # whose products are beyond what a cell can hold
    ("nearly the greatest number", "GVWR (lb)", 1.7e308, "a weight above 1,000,000 lb: a digit too many?"),
    ("nearly the greatest number, tires", "Tires per axle", 1e308, "over 99 axles, tires, jacks or points"),
    ("nearly the greatest number, points", "Tie-down points", 1.7e308, "over 99 axles, tires, jacks or points"),
    ("a part more than is likely", "Jacks", 100, "over 99 axles, tires, jacks or points"),
)
GOOD_ROW = 1
"""Rows before the bad ones."""


def good() -> dict[str, Any]:
    return dict(demo_yard.trailers()[4])


def bad_rows() -> list[dict[str, Any]]:
    rows = [{**good(), "Stock no.": f"E{place}", "VIN": None} for place in range(len(BAD))]
    for row, (_, heading, typed, _) in zip(rows, BAD, strict=True):
        assert heading in row
        row[heading] = typed
    return rows


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory, office: Office) -> tuple[Path, dict[str, Grid]]:
    path = tmp_path_factory.mktemp("bad") / "bad.xlsx"
    workbook.write(path, [good(), *bad_rows(), {}], demo_yard.options(), US)
    made = openpyxl.load_workbook(path)
    for row in made["Lot"].iter_rows(min_row=lot.FIRST_ROW):
        for cell in row:
            if cell.value in ERROR_VALUES:
                cell.data_type = "e"
    made.save(path)
    return path, office.recalculate(path)


def row_of(grid: Grid, place: int) -> Mapping[str, Any]:
    return dict(zip(headings(US), grid[lot.FIRST_ROW - 1 + place], strict=False))


def test_the_list_has_twenty_kinds() -> None:
    assert len({kind for kind, *_ in BAD}) == len(BAD) >= 20


@pytest.mark.parametrize("place", range(len(BAD)), ids=[kind for kind, *_ in BAD])
def test_a_bad_entry_is_named_and_leaves_no_error(book: tuple[Path, dict[str, Grid]], place: int) -> None:
    path, grids = book
    _, heading, typed, said = BAD[place]
    shown = row_of(grids["Lot"], place + GOOD_ROW)
    assert said in shown["Entry check"]
    results = {h: value for h, value in shown.items() if h != heading}
    assert [h for h, value in results.items() if value in ERROR_VALUES] == []
    rows, options = [row.values for row in read_lot(path).rows], read_lot(path).options
    computed = lot_results(rows, options, US)[place + GOOD_ROW]
    assert [(h, v, shown[h]) for h, v in computed.items() if not same(v, shown[h])] == []
    assert shown["Conflicts"] != "none" or typed in (240, 2.8, 5, 8.5, 25)


def test_start_counts_in_spite_of_them(book: tuple[Path, dict[str, Grid]]) -> None:
    figures = book[1]["Start"][start.FIGURES_ROW - 1][1:6]
    assert all(isinstance(figure, float) for figure in figures)
    # one stock number is an error; two statuses are none of the words
    assert figures[:2] == [len(BAD), len(BAD) - 1]
    assert figures[4] == len(BAD)


def test_a_good_row_says_nothing_and_a_blank_one_stays_blank(book: tuple[Path, dict[str, Grid]]) -> None:
    assert row_of(book[1]["Lot"], 0)["Entry check"] == ""
    assert set(row_of(book[1]["Lot"], GOOD_ROW + len(BAD)).values()) <= {"", None}


def test_a_misspelt_option_hides_nothing_and_the_scale_is_used() -> None:
    # 1105: scale 5,960; without it base and options, of which one is not known
    row = {**good(), "Options": "Wynch plate", "Coupler rating (lb)": 19_000}
    (weighed,), (listed,) = (
        lot_results([{**row, "Scale weight (lb)": scale}], demo_yard.options(), US) for scale in (5960, None)
    )
    assert (weighed["Empty weight (lb)"], weighed["Payload (lb)"]) == (5960, 14040)
    assert (listed["Empty weight (lb)"], listed["Payload (lb)"]) == ("", "")
    # 20,000 - 19,000
    assert weighed["What conflicts"] == listed["What conflicts"] == "Coupler short by 1,000 lb"
    assert weighed["Conflicts"] == listed["Conflicts"] != "none"


def test_the_verdict_is_never_none_where_nothing_was_looked_at() -> None:
    full = {**good(), "Stated payload (lb)": 14_000}
    rows = [full, {**full, "Stock no.": "P", "VIN": None, "Price": "ask"}, {"Stock no.": "X1"}, {"Make": "Corvane"}]
    found = lot_results(rows, demo_yard.options(), US)
    # P lacks the VIN check, and its price is refused; of the 15 checks of X1 only Duplicate could be asked
    assert [row["Conflicts"] for row in found] == ["none", "? 2 not checked", "? 14 not checked", ""]


def test_a_number_and_a_text_that_read_the_same_are_duplicates() -> None:
    rows = [{"Stock no.": "1101"}, {"Stock no.": 1101}, {"Stock no.": "x1 "}, {"Stock no.": "X1"}, {"Stock no.": 7}]
    found = lot_results(rows, [], US)
    assert [row["Duplicate"] for row in found] == ["stock number"] * 4 + ["ok"]


@pytest.mark.parametrize("units", [US, METRIC], ids=lambda units: units.name)
def test_an_empty_workbook_shows_no_error_with_options_blank(tmp_path: Path, office: Office, units: Units) -> None:
    path = tmp_path / "new.xlsx"
    workbook.write_new(path, units)
    grids = office.recalculate(path)
    assert [value for grid in grids.values() for row in grid for value in row if value in ERROR_VALUES] == []
    first = dict(zip(headings(units), grids["Lot"][lot.FIRST_ROW - 1], strict=False))
    assert set(first.values()) <= {"", None}


def test_true_is_no_figure() -> None:
    # LibreOffice is not asked: in a cell with a number's format it reads TRUE as a typed 1 (seen on 25.2)
    (found,) = lot_results([{**good(), "Coupler rating (lb)": True}], demo_yard.options(), US)
    assert found["Entry check"] == f"{REFUSED}Coupler rating"
    assert found["Coupler short (lb)"] == ""


def test_metric_bounds_are_those_of_us_units() -> None:
    # 8 to 60 ft are 2.44 to 18.29 m; 10 to 60 in 254 to 1,524 mm (1 in = 25.4 mm, NIST SP 811)
    row = {"Stock no.": "M1", "Deck length (m)": 6_100, "Deck height (mm)": 250, "Width (mm)": 2_590}
    (found,) = lot_results([row], [], METRIC)
    assert found["Entry check"] == "Deck length 6100 m: millimeters?; Deck height 250 mm: meters?"
