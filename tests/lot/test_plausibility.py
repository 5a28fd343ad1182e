"""What is not likely is in doubt, on both sides of each bound, in Python and in LibreOffice; the Limits sheet moves it.

The bounds are common practice, no source, typed here once more by hand; the arithmetic stands beside each row.
"""

from __future__ import annotations

import shutil
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from tarelot.calc.rules import entries
from tarelot.calc.rules.entries import doubts as doubts_of
from tarelot.calc.rules.limits import BY_KEY, LIMITS, PLAUSIBLE
from tarelot.workbook_templates import workbook
from tarelot.workbook_templates.basis import limits as places
from tarelot.workbook_templates.basis.units import METRIC, US
from tarelot.workbook_templates.hauling.results import Hauling
from tarelot.workbook_templates.lot import sheet as lot
from tarelot.workbook_templates.lot.columns import headings
from tarelot.workbook_templates.lot.entries import words
from tarelot.workbook_templates.lot.reading import read_lot
from tarelot.workbook_templates.lot.results import lot_results
from tarelot.workbook_templates.sheets import demo_yard, limits, list_sheet, machines, trucks
from tarelot.workbook_templates.sheets.tickets.results import expressions as ticket_expressions
from tests.engines.office import Office
from tests.lot.beside_bounds import FINE, MACHINES, TRAILERS, TRUCKS, Changed

Grid = Sequence[Sequence[Any]]

TRUE_ROWS = ({"Coupler rating (lb)": True}, {"Jacks": True})


def trailer_rows() -> list[dict[str, Any]]:
    base = {**demo_yard.trailers()[4], "VIN": None}
    changes = [*(changed for changed, _ in TRAILERS), *TRUE_ROWS]
    return [{**base, "Stock no.": f"P{place}", **changed} for place, changed in enumerate(changes)]


def list_rows(
    demo: Sequence[Mapping[str, Any]], place: int, asked: Sequence[tuple[Changed, str]]
) -> list[dict[str, Any]]:
    first = next(iter(demo[place]))
    return [{**demo[place], first: f"P{number}", **changed} for number, (changed, _) in enumerate(asked)]


def machine_rows() -> list[dict[str, Any]]:
    return list_rows(machines.demo_rows(), 1, MACHINES)


def truck_rows() -> list[dict[str, Any]]:
    return list_rows(trucks.demo_rows(), 2, TRUCKS)


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("doubt") / "doubt.xlsx"
    hauling = Hauling(machine_rows(), truck_rows())
    workbook.write(path, trailer_rows(), demo_yard.options(), US, hauling=hauling)
    return path


@pytest.fixture(scope="module")
def grids(book: Path, office: Office) -> dict[str, Grid]:
    return office.recalculate(book)


def test_every_bound_is_asked_on_both_sides() -> None:
    asked: set[str] = set()
    for doubts, rows in ((entries.TRAILER, TRAILERS), (entries.MACHINE, MACHINES), (entries.TRUCK, TRUCKS)):
        said = [words for _, words in rows]
        for row in (*doubts.likely, *doubts.together):
            begin = row.name if isinstance(row, entries.Likely) else row.words.partition("{}")[0].strip()
            for slip in filter(None, (row.below, row.above)):
                assert any(w.startswith(f"{begin} ") and w.endswith(slip.format_map(words(US))) for w in said), (
                    begin,
                    slip,
                    "no row in tests/lot/beside_bounds.py is on this side of the bound",
                )
        for expression in doubts_of(doubts, words(US)):
            read = expression.keys()
            asked |= {key for key in read if key.startswith("limit_")}
    read_by_tickets = set().union(*(one.keys() for one in ticket_expressions(US).values()))
    asked |= {key for key in read_by_tickets if "_plaus_ticket" in key}  # their rows: tests/tickets/weighings.py
    bounds = {f"limit_{key}" for key in BY_KEY if key.startswith("plaus_")}
    assert {key.removeprefix("limit_plaus_").rpartition("_")[0] for key in bounds} == {row.key for row in PLAUSIBLE}
    assert asked == bounds | {"limit_ramp_angle_greatest"}


@pytest.mark.parametrize("place", range(len(TRAILERS)))
def test_a_trailers_figure(place: int, grids: dict[str, Grid]) -> None:
    _, said = TRAILERS[place]
    (found,) = lot_results([trailer_rows()[place]], demo_yard.options(), US)
    assert found["Entries in doubt"] == said
    shown = dict(zip(headings(US), grids["Lot"][lot.FIRST_ROW - 1 + place], strict=False))
    assert shown["Entries in doubt"] == said
    assert said in shown["Entry check"]
    assert shown["Entry check"] == found["Entry check"]


@pytest.mark.parametrize("place", range(len(MACHINES)))
def test_a_machines_figure(place: int, grids: dict[str, Grid]) -> None:
    assert machines.doubts(machine_rows(), US)[place] == MACHINES[place][1]
    assert grids["Machines"][list_sheet.FIRST_ROW - 1 + place][len(machines.COLUMNS)] == MACHINES[place][1]


@pytest.mark.parametrize("place", range(len(TRUCKS)))
def test_a_trucks_figure(place: int, grids: dict[str, Grid]) -> None:
    assert trucks.doubts(truck_rows(), US)[place] == TRUCKS[place][1]
    assert grids["Trucks"][list_sheet.FIRST_ROW - 1 + place][len(trucks.COLUMNS)] == TRUCKS[place][1]


def test_true_is_named_but_for_counts_in_libreoffice(grids: dict[str, Grid]) -> None:
    """LibreOffice reads TRUE in a cell with a number's format as a typed 1; of one jack nothing is to be said."""
    first = len(TRAILERS)
    found = [row["Entries in doubt"] for row in lot_results(trailer_rows()[first:], demo_yard.options(), US)]
    place = headings(US).index("Entries in doubt")
    shown = [grids["Lot"][lot.FIRST_ROW - 1 + row][place] for row in (first, first + 1)]
    wrong = "Not a number above 0, or not what belongs there"
    assert found == [f"{wrong}: Coupler rating", f"{wrong}: Jacks: not whole"]
    assert shown == ["a weight of 1: TRUE, or a digit missing?", ""]


def test_an_empty_row_is_in_no_doubt() -> None:
    assert machines.doubts([{}], US) == trucks.doubts([{}], METRIC) == [""]


def test_the_demo_yard_is_in_doubt_once() -> None:
    """Stock no. 1121, whose GVWR lacks a digit."""
    rows = demo_yard.trailers()
    found = lot_results(rows, demo_yard.options(), US)
    in_doubt = [row["Stock no."] for row, result in zip(rows, found, strict=True) if result["Entries in doubt"]]
    assert in_doubt == ["1121"]
    assert {*machines.doubts(machines.demo_rows(), US), *trucks.doubts(trucks.demo_rows(), US)} == {""}


# The Limits sheet


def cell(column: str, key: str) -> str:
    return f"{limits.SHEET}!{column}{places.row_of(key)}"


def lot_cell(heading: str, place: int = 0) -> str:
    letter = openpyxl.utils.get_column_letter(headings(US).index(heading) + 1)
    return f"Lot!{letter}{lot.FIRST_ROW + place}"


CHANGED = f"{limits.SHEET}!{limits.CHANGED_CELL}"
LIMIT_CASES: tuple[tuple[dict[str, object], dict[str, object]], ...] = (
    # ours: the trailer is 102 in wide, its deck 35 in high, its pin share 0.10 to 0.15
    ({}, {CHANGED: "", lot_cell("Width over (in)"): 0, lot_cell("High share used"): 0.15}),
    (
        {cell(places.TYPED, "legal_width"): 96.0},
        {CHANGED: "Legal width: 96 in instead of 102 in", lot_cell("Width over (in)"): 6},
    ),
    (
        {cell(places.TYPED, "legal_width"): 96.0, cell(places.SWITCH, "legal_width"): "off"},
        {CHANGED: "Legal width: switched off", lot_cell("Width over (in)"): 0},
    ),
    # text, and 50 in where 96 to 108 may be typed
    (
        {cell(places.TYPED, "legal_width"): "96 in"},
        {CHANGED: "Legal width: ▲ not taken, ours is used", lot_cell("Width over (in)"): 0},
    ),
    (
        {cell(places.TYPED, "legal_width"): 50.0},
        {CHANGED: "Legal width: ▲ not taken, ours is used", cell(places.USED, "legal_width"): 102},
    ),
    (
        {cell(places.TYPED, "legal_width"): 0.0},
        {CHANGED: "Legal width: ▲ not taken, ours is used", cell(places.USED, "legal_width"): 102},
    ),
    # off is typed where the rule guards life, and misspelt where it does not: it is not taken, and said
    (
        {cell(places.SWITCH, "chain_factor"): "off"},
        {
            CHANGED: "Chain strength for each unit of GVWR: ▲ cannot be switched off",
            cell(places.USED, "chain_factor"): 1,
        },
    ),
    (
        {cell(places.SWITCH, "legal_width"): "of", cell(places.TYPED, "legal_width"): 96.0},
        {
            CHANGED: "Legal width: ▲ only off is taken under Switched off, 96 in instead of 102 in",
            cell(places.USED, "legal_width"): 96,
        },
    ),
    # chains of 40,000 at a GVWR of 20,000: 3 x 20,000 - 40,000
    (
        {cell(places.TYPED, "chain_factor"): 3.0, cell(places.TYPED, "pin_high_other"): 0.2},
        {
            CHANGED: "Usual high pin share, pintle or ball: 0.2 instead of 0.15; "
            "Chain strength for each unit of GVWR: 3 instead of 1",
            lot_cell("Chains short (lb)"): 20_000,
            lot_cell("High share used"): 0.2,
            lot_cell("Pin weight (lb)"): 4_000,
        },
    ),
    (
        {cell(places.TYPED, "plaus_width_greatest"): 120.0, cell(places.TYPED, "plaus_width_least"): 101.0},
        {lot_cell("Entries in doubt"): FINE, lot_cell("Entries in doubt", 1): "Width 144 in: a digit too many?"},
    ),
)


@pytest.fixture(scope="module")
def two_trailers(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("limits") / "limits.xlsx"
    base = {**demo_yard.trailers()[4], "VIN": None}
    rows = [base, {**base, "Stock no.": "W1", "Width (in)": 144}]
    workbook.write(path, rows, demo_yard.options(), US)
    return path


@pytest.mark.parametrize("place", range(len(LIMIT_CASES)))
def test_what_the_yard_types_moves_the_checks(place: int, two_trailers: Path, tmp_path: Path, office: Office) -> None:
    typed, wanted = LIMIT_CASES[place]
    path = Path(shutil.copy(two_trailers, tmp_path))
    shown = office.edit_and_read(path, typed, list(wanted))
    assert dict(zip(wanted, shown, strict=True)) == {
        key: pytest.approx(value) if isinstance(value, float) else value for key, value in wanted.items()
    }
    # and the same in Python, from the file as a program saved it
    book = openpyxl.load_workbook(path)
    for reference, value in typed.items():
        sheet, _, coordinate = reference.partition("!")
        book[sheet][coordinate] = value
    book.save(path)
    read = read_lot(path)
    found = lot_results([row.values for row in read.rows], read.options, US, read.limits)
    for reference, value in wanted.items():
        sheet, _, coordinate = reference.partition("!")
        if sheet == limits.SHEET:
            assert limits.stored(US, read.limits)[coordinate] == value
        else:
            column, row = openpyxl.utils.cell.coordinate_from_string(coordinate)
            heading = headings(US)[openpyxl.utils.column_index_from_string(column) - 1]
            assert found[row - lot.FIRST_ROW][heading] == (pytest.approx(value) if isinstance(value, float) else value)


def test_the_sheet_holds_every_limit_and_stores_what_libreoffice_finds(book: Path, grids: dict[str, Grid]) -> None:
    stored = openpyxl.load_workbook(book, data_only=True)[limits.SHEET]
    for row, limit in enumerate(LIMITS, places.FIRST_ROW):
        shown = grids[limits.SHEET][row - 1]
        assert shown[0] == limit.name
        assert shown[4] == stored.cell(row, 5).value == limit.value
    assert stored[limits.CHANGED_CELL].value in (None, "")


def test_what_guards_life_cannot_be_switched_off() -> None:
    switched_off = {limit.key for limit in LIMITS if limit.may_switch_off}
    assert switched_off == {"legal_width", "front_overhang", "rear_overhang", "side_overhang"}
    assert not any(BY_KEY[key].guards_life for key in switched_off)
    assert all(limit.least <= limit.value <= limit.greatest for limit in LIMITS)
    two_sided = [row for row in PLAUSIBLE if row.least is not None and row.greatest is not None]
    assert len(two_sided) > 20
    assert all(BY_KEY[f"plaus_{p.key}_least"].greatest <= BY_KEY[f"plaus_{p.key}_greatest"].least for p in two_sided)


def test_metric_limits_are_those_of_us_units() -> None:
    # 102 in = 2,590.8 mm; 20,000 lb = 9,071.847 kg; 60 ft = 18.288 m, to three digits (NIST SP 811)
    found = places.limit_values(METRIC)
    assert (found["limit_legal_width"], found["limit_single_axle"]) == (2_590.8, 9_071.8)
    assert (found["limit_plaus_deck_length_greatest"], found["limit_front_share"]) == (18.3, 0.2)
