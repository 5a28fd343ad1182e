"""Match: stored results against two engines, verdicts by hand, and no hang-up ever called safe."""

from __future__ import annotations

import io
import json
import random
from collections.abc import Mapping
from contextlib import redirect_stdout
from pathlib import Path

import ironcalc
import openpyxl
import pytest
import scipy.constants
from openpyxl.utils import coordinate_to_tuple

from addin.command_line import main
from addin.formulas import LONGEST_FORMULA
from calc.clearance import ramp_clearance
from tests.office import Office
from workbook_templates import (
    demo_yard,
    lot,
    machines,
    match_results,
    questions,
    trucks,
    workbook,
)
from workbook_templates import (
    match_columns as match,
)
from workbook_templates.results import lot_results
from workbook_templates.units import METRIC, US, Units
from workbook_templates.what_if_results import Hauling

TOLERANCE = 1e-9  # two programs may add in another order
# One trailer, machine and truck on which everything can be reckoned by hand.
TRAILER = {
    "Stock no.": "T1",
    "Make": "Brenmoor",
    "Model": "Hand",
    "Hitch": "pintle",
    "GVWR (lb)": 24_000.0,
    "Base weight (lb)": 6_000.0,
    "Empty pin (lb)": 800.0,
    "Axles": 2,
    "Axle rating (lb)": 12_000.0,
    "Coupler rating (lb)": 30_000.0,
    "Coupler vertical (lb)": 4_500.0,
    "Deck height (in)": 35.0,
    "Deck length (ft)": 20.0,
    "Ramp length (in)": 140.0,
    "Coupler to axles (ft)": 20.0,
    "Coupler to deck (ft)": 5.0,
    "Width (in)": 102.0,
    "Tie-down points": 8,
    "Tie-down rating (lb)": 5_000.0,
}
MACHINE = {
    "Machine": "Hand loader",
    "Maker": "Quellmoor",
    "Runs on": "wheels",
    "Weight (lb)": 14_000.0,
    "Wheelbase (in)": 80.0,
    "Front contact to centre (in)": 40.0,
    "Ground clearance (in)": 20.0,
    "Width (in)": 90.0,
    "Height (in)": 100.0,
}
TRUCK = {
    "Truck": "Hand dump",
    "Maker": "Gravenor",
    "Hitches": "pintle",
    "GVWR (lb)": 58_000.0,
    "GCWR (lb)": 80_000.0,
    "Front axle rating (lb)": 18_000.0,
    "Rear axle rating (lb)": 40_000.0,
    "Front axle empty (lb)": 11_000.0,
    "Rear axle empty (lb)": 15_000.0,
    "Hitch rating (lb)": 60_000.0,
    "Hitch vertical (lb)": 10_000.0,
    "Wheelbase (in)": 215.0,
    "Hitch overhang (in)": 84.0,
}
Row = Mapping[str, object]


def filled(rows: list[Row], units: Units = US) -> list[dict[str, object]]:
    return [{**row, **found} for row, found in zip(rows, lot_results(rows, [], units), strict=True)]


def verdict(trailer: Row, machine: Row, truck: Row | None = TRUCK, *, exact: bool = False) -> str:
    chosen = (machine["Machine"], truck["Truck"] if truck else None)
    above = match_results.top([machine], [truck] if truck else [], chosen, US)
    return str(match_results.results(filled([trailer]), above, US, exact=exact)[0]["verdict"])


@pytest.mark.parametrize(
    ("trailer", "machine", "truck", "expected"),
    [
        # Gross 20,000 of 24,000. Pin 2,000 to 3,000 (10 to 15 %): centre at 20 x (800 + 14,000 - P) / 14,000
        # = 16.86 to 18.29 ft from the coupler, 11.86 to 13.29 from the deck's front; wheels 3.33 ft each way fit.
        # Slope asin(35/140) = 14.48 deg lifts 40 x tan(7.24 deg) = 5.08 in into 20 in. 8 points, 40,000 lb.
        # Pin mid band 2,500: 12.5 %. Truck by GCWR 80,000 - 26,000 = 54,000.
        ({}, {}, {}, "carries"),
        ({"GVWR (lb)": 19_000.0}, {}, {}, "payload short 1,000 lb"),  # 19,000 - 6,000 - 14,000
        # The vertical rating of 3,000 lb holds 15,000 lb at 20 %.
        (
            {"Low pin share": 0.18, "High pin share": 0.2, "Coupler vertical (lb)": 3_000.0, "GVWR (lb)": 40_000.0},
            {},
            {},
            "payload short 5,000 lb",
        ),
        # Two axles of 8,800 hold 17,600 / 0.90 = 19,555.6 at the low share; 20,000 is 444.4 more.
        (
            {"Axle rating (lb)": 8_800.0, "Low pin share": 0.10, "High pin share": 0.11, "GVWR (lb)": 20_000.0},
            {},
            {},
            "payload short 445 lb",
        ),
        # 500 lb on a trailer with 1 lb on its hitch: at most 501 lb there, and 10 % of 6,500 is 650.
        ({"Empty pin (lb)": 1.0}, {"Weight (lb)": 500.0}, {}, "no place for its centre by pin and axles"),
        ({"Deck length (ft)": 6.0}, {}, {}, "deck too short by 8 in"),  # 80 - 72
        # Centre 11.86 ft or more from the front, 3.33 ft behind it on a deck of 15 ft: 15.19.
        ({"Deck length (ft)": 15.0}, {}, {}, "no place on the deck for its centre"),
        ({}, {"Width (in)": 105.5}, {}, "wider than the trailer by 4 in"),
        ({}, {"Height (in)": 130.0}, {}, "too high loaded: 165 in"),  # 35 + 130, over 162
        # asin(35/40) = 61.04 deg; 40 x tan(30.52 deg) = 23.6 in into 20 in.  The ramp has no room for both wheels
        # (40 in, half a wheelbase over cos 30.52 deg is 46.4), so that the closed form cannot say it touches.
        ({"Ramp length (in)": 40.0}, {}, {}, "check on What-if"),
        # Half the wheelbase 40 in, the turn 30 deg (35 of 70): 40 x tan(15 deg) = 10.72 in into 10 in.
        ({"Ramp length (in)": 70.0}, {"Ground clearance (in)": 10.0}, {}, "touches on the drive-on"),
        # 12 - 10.72 = 1.28 in is left, below 2 in.
        ({"Ramp length (in)": 70.0}, {"Ground clearance (in)": 12.0}, {}, "tight on the drive-on"),
        # 30 in ahead on 30 deg is 17.3 in up; it clears 10 in.
        (
            {"Ramp length (in)": 70.0},
            {"Front overhang (in)": 30.0, "Front clearance (in)": 10.0},
            {},
            "ramp too steep for its front: 30.0 deg",
        ),
        # 40 x tan(7.24 deg) = 5.08: a gap of 2.05 in is less than 2 in and what the sweep of What-if may overlook.
        ({}, {"Ground clearance (in)": 7.13}, {}, "check on What-if"),
        # Rear wheels at the foot, front ones on the ramp: tilted by 14.48 deg, 60 x tan of it = 15.5 in down.
        (
            {},
            {"Rear overhang (in)": 60.0, "Rear clearance (in)": 15.0},
            {},
            "ramp too steep for its rear: 14.5 deg",
        ),
        ({}, {"Runs on": "tracks"}, {}, "check on What-if: tips over 14.5 deg"),
        # A front carried 15 in up strikes that slope on tracks as on wheels.
        (
            {},
            {"Runs on": "tracks", "Front overhang (in)": 60.0, "Front clearance (in)": 15.0},
            {},
            "ramp too steep for its front: 14.5 deg",
        ),
        # What is wrong is said though another figure of the same question is missing.
        ({"Tie-down points": 3, "Tie-down rating (lb)": None}, {}, {}, "tie-downs short: 3 of 4"),
        ({"Deck length (ft)": 6.0, "Empty pin (lb)": None}, {}, {}, "deck too short by 8 in"),
        # A machine of 14,000 lb needs 4 (49 CFR 393.130).
        ({"Tie-down points": 3}, {}, {}, "tie-downs short: 3 of 4"),
        ({"Tie-down rating (lb)": 1_500.0}, {}, {}, "tie-downs short 2,000 lb"),  # 14,000 - 8 x 1,500
        ({"Hitch": "ball"}, {}, {}, "hitch differs: ball"),
        # 42,000 - 26,000 = 16,000 against 20,000.
        ({}, {}, {"GCWR (lb)": 42_000.0}, "truck too light by 4,000 lb (GCWR)"),
        # Hitch ahead of the rear axles by 100 of 215 in: 2,500 x 100 / 215 = 1,162.8 on the front, 11,000 empty.
        (
            {},
            {},
            {"Hitch overhang (in)": -100.0, "Front axle rating (lb)": 12_000.0},
            "truck's front axle over by 163 lb",
        ),
        ({"Empty pin (lb)": None}, {}, {}, "figures missing: Empty pin"),
        ({}, {"Height (in)": None}, {"GCWR (lb)": None}, "figures missing: machine's height; truck's GCWR"),
        (
            {"Empty pin (lb)": None, "Coupler to axles (ft)": None, "Coupler to deck (ft)": None, "GVWR (lb)": None},
            {},
            {},
            "figures missing: GVWR; Empty pin and 2 more",  # four are left out
        ),
        ({"Empty pin (lb)": 7_000.0}, {}, {}, match.OUT_OF_RANGE),  # above the empty weight
    ],
)
def test_verdicts_by_hand(trailer: Row, machine: Row, truck: Row, expected: str) -> None:
    assert verdict({**TRAILER, **trailer}, {**MACHINE, **machine}, {**TRUCK, **truck}) == expected


def test_a_caution_stands_in_its_column_and_does_not_say_no() -> None:
    # 103 in needs a permit (23 CFR 658.15: 102 in). The band is 11.86 to 13.29 ft: its middle 12.57 ft, 150.9 in, from
    # the deck's front edge; 40 in to the front wheels and 112 in of boom reach over it.
    boom = {"Front overhang (in)": 112.0, "Front clearance (in)": 60.0}
    above = match_results.top([{**MACHINE, **boom}], [TRUCK], (MACHINE["Machine"], TRUCK["Truck"]), US)
    (row,) = match_results.results(filled([{**TRAILER, "Width (in)": 103.0}]), above, US)
    assert row["size"] == "caution: 103 in wide needs a permit"
    assert row["place"] == "caution: reaches over the deck's front edge"
    assert row["verdict"] == "carries"


def test_without_a_truck_the_trailer_alone_is_judged() -> None:
    assert verdict({**TRAILER, "Hitch": "ball"}, MACHINE, None) == "carries"


def test_the_exact_sweep_decides_what_the_sheet_leaves_open() -> None:
    # By the sheet "check on What-if" above; the sweep knows.
    steep = {**TRAILER, "Ramp length (in)": 40.0}
    gap = ramp_clearance(35, 0, 0, 40, 80, 20)
    assert gap < 0
    assert verdict(steep, MACHINE, exact=True) == "touches on the drive-on: belly at the ramp's top"


def test_the_sheet_never_says_carries_where_the_sweep_touches() -> None:
    chance = random.Random(20261)
    said: dict[str, int] = {"carries": 0, "touches": 0, "check": 0}
    for _ in range(1500):
        tail = chance.choice((0.0, chance.uniform(20, 100)))
        drop = chance.uniform(0.1, 0.5) * min(tail, 30) if tail else 0.0
        height = chance.uniform(20, 45)
        ramp = (height - drop) * chance.uniform(1.05, 6)
        trailer = {
            **TRAILER,
            "Deck height (in)": height,
            "Tail length (in)": tail or None,
            "Tail drop (in)": drop or None,
            "Ramp length (in)": ramp,
        }
        ends = [chance.choice((None, chance.uniform(10, 90))) for _ in range(2)]
        gaps = [chance.uniform(8, 40) if end else None for end in ends]
        sizes = (chance.uniform(40, 130), chance.uniform(6, 25), ends[0], gaps[0], ends[1], gaps[1])
        names = (
            "Wheelbase",
            "Ground clearance",
            "Front overhang",
            "Front clearance",
            "Rear overhang",
            "Rear clearance",
        )
        machine = {**MACHINE, **{f"{name} (in)": size for name, size in zip(names, sizes, strict=True)}}
        machine["Front contact to centre (in)"] = sizes[0] / 2
        answer = verdict(trailer, machine)
        gap = ramp_clearance(height, drop, tail, ramp, *sizes)
        said[answer.split()[0]] = said.get(answer.split()[0], 0) + 1
        if answer == "carries":
            assert gap >= questions.tight(US) - 1e-9, (trailer, machine)
        elif answer.startswith(("touches", "ramp too steep")):
            assert gap < 1e-6, (trailer, machine)
        elif answer.startswith("tight"):
            assert gap < questions.tight(US), (trailer, machine)
    assert min(said["carries"], said["touches"], said["check"]) > 30, said


def same(a: object, b: object) -> bool:
    a, b = ("" if value is None else value for value in (a, b))
    if isinstance(a, int | float) and isinstance(b, int | float):
        return abs(a - b) <= TOLERANCE * max(1.0, abs(a), abs(b))
    return bool(a == b)


def write_variants(folder: Path, units: Units) -> Path:
    """A lot with every verdict of the table above in it, in either system of units."""
    changes: list[Row] = [
        {},
        {"GVWR": 19_000.0},
        {"Deck length": 6.0},
        {"Deck length": 15.0},
        {"Ramp length": 40.0},
        {"Ramp length": 70.0},
        {"Tie-down points": 3},
        {"Tie-down rating": 1_500.0},
        {"Hitch": "ball"},
        {"Empty pin": None},
        {"Empty pin": 7_000.0},
        {"Low pin share": 0.2, "High pin share": 0.2, "Axle rating": 7_000.0},
    ]
    rows: list[Row] = []
    for number, change in enumerate(changes):
        row = {heading.partition(" (")[0]: value for heading, value in TRAILER.items()}
        rows.append(in_units({**row, **change, "Stock no.": f"T{number}"}, lot_headings(units), units))
    machine = {heading.partition(" (")[0]: value for heading, value in MACHINE.items()}
    truck = {heading.partition(" (")[0]: value for heading, value in TRUCK.items()}
    hauling = Hauling(
        # A second row, since IronCalc looks for nothing in a table of one row.
        [in_units(machine, [c.heading for c in machines.COLUMNS], units), {}],
        [in_units(truck, [c.heading for c in trucks.COLUMNS], units), {}],
        ("T0", MACHINE["Machine"], TRUCK["Truck"]),
    )
    path = folder / f"{units.name}.xlsx"
    choices = (MACHINE["Machine"], TRUCK["Truck"])
    workbook.write(path, rows, [("Spare tire", 50.0)], units, hauling=hauling, match_choices=choices)
    return path


def lot_headings(units: Units) -> list[str]:
    from workbook_templates.columns import COLUMNS

    return [column.heading for column in COLUMNS]


def in_units(row: Row, patterns: list[str], units: Units) -> dict[str, object]:
    long_per_foot = scipy.constants.foot if units.long == "m" else 1.0
    per = {"{weight}": units.weight_per_pound, "{short}": units.short_per_inch, "{long}": long_per_foot}
    found: dict[str, object] = {}
    for pattern in patterns:
        name, _, unit = pattern.partition(" (")
        if name in row:
            value = row[name]
            factor = per.get(unit.rstrip(")"), 1.0)
            found[units.heading(pattern)] = value * factor if isinstance(value, float) else value
    return found


def stored_cells(path: Path) -> dict[str, object]:
    formulas = openpyxl.load_workbook(path)[match.SHEET]
    values = openpyxl.load_workbook(path, data_only=True)[match.SHEET]
    return {c.coordinate: values[c.coordinate].value for row in formulas.iter_rows() for c in row if c.data_type == "f"}


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("match") / "demo.xlsx"
    workbook.write_demo(path)
    return path


@pytest.fixture(scope="module", params=["demo", "us", "metric"])
def book(request: pytest.FixtureRequest, demo: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    if request.param == "demo":
        return demo
    return write_variants(tmp_path_factory.mktemp("variants"), {"us": US, "metric": METRIC}[request.param])


def test_stored_results_equal_libreoffice(book: Path, office: Office) -> None:
    grid, stored = office.recalculate(book)[match.SHEET], stored_cells(book)
    assert len(stored) > 1000
    differing = []
    for place, value in stored.items():
        row, column = coordinate_to_tuple(place)
        got = grid[row - 1][column - 1] if row <= len(grid) and column <= len(grid[row - 1]) else ""
        if not same(value, got):
            differing.append((place, value, got))
    assert differing == []


def test_stored_results_equal_ironcalc(book: Path) -> None:
    model = ironcalc.load_from_xlsx(str(book), "en", "UTC", "en")
    model.evaluate()
    index = openpyxl.load_workbook(book, read_only=True).sheetnames.index(match.SHEET)
    differing = [
        (place, value, got)
        for place, value in stored_cells(book).items()
        if not same(value, got := model.get_cell_value(index, *coordinate_to_tuple(place)))
    ]
    assert differing == []


def test_both_systems_of_units_come_to_the_same_kinds_of_verdicts(tmp_path: Path) -> None:
    found = []
    for units in (US, METRIC):
        cells = stored_cells(write_variants(tmp_path, units))
        found.append([str(cells[f"E{match.FIRST_ROW + number}"]).rstrip("lbkgmin 0123456789,") for number in range(12)])
    assert found[0] == found[1]
    assert found[0][0] == "carries"
    assert len(set(found[0])) >= 9


def test_choosing_another_machine_changes_the_verdicts(demo: Path, office: Office) -> None:
    # Stock no. 1105, fifth row: payload to spare with the skid loader; the 31,000 lb excavator is far too heavy.
    reads = [f"Match!E{match.FIRST_ROW + 4}", "Match!C6"]
    light, heavy = (
        office.edit_and_read(demo, {"Match!C4": name}, reads) for name in ("Skid loader 65", "Excavator 14")
    )
    assert light[0] == "carries"
    assert str(heavy[0]).startswith("payload short")
    unknown = office.edit_and_read(demo, {"Match!C4": "Walking house"}, [*reads, "Match!E4"])
    assert unknown == ["", "Choose a machine in the cream cell, and a truck.", "▲ not on the Machines sheet"]


def test_a_lot_that_outgrows_the_sheet_says_so(demo: Path, office: Office) -> None:
    # The demo's table has 30 rows and Match 50: with its last line numbers lowered to 1, 29 rows are not shown.
    edits: dict[str, float | str | bool | None] = {}
    edits |= {f"Match!A{row}": 1.0 for row in range(match.FIRST_ROW, match.FIRST_ROW + 50)}
    assert str(office.edit_and_read(demo, edits, ["Match!C7"])[0]).startswith("▲ 29 rows of the Lot are not shown")


def test_sorting_means_moving_line_numbers(demo: Path, office: Office) -> None:
    """Every figure of a row follows its line number, so that the table may be sorted by any column."""
    first = match.FIRST_ROW
    cells = [f"Match!{letter}{{}}" for letter in "BCEF"]
    reads = [cell.format(row) for row in (first, first + 8) for cell in cells]
    before = office.edit_and_read(demo, {}, reads)
    after = office.edit_and_read(demo, {f"Match!A{first}": 9.0, f"Match!A{first + 8}": 1.0}, reads)
    assert before[:4] == after[4:]
    assert before[4:] == after[:4]


def test_formulas_stay_under_the_limit_and_the_table_can_be_filtered(demo: Path) -> None:
    sheet = openpyxl.load_workbook(demo)[match.SHEET]
    lengths = [len(str(cell.value)) for row in sheet.iter_rows() for cell in row if cell.data_type == "f"]
    assert max(lengths) < LONGEST_FORMULA
    table = sheet.tables["Match"]
    assert table.autoFilter.ref == table.ref
    assert table.ref.endswith(str(match.HEADING_ROW + 24 + workbook.SPARE_ROWS + match.SPARE_ROWS))
    words = " ".join(str(cell.value) for row in sheet.iter_rows(max_row=9, max_col=5) for cell in row if cell.value)
    assert "certified scale" in words
    assert "labels" in words


def run(*arguments: str) -> tuple[int, str]:
    out = io.StringIO()
    with redirect_stdout(out):
        status = main(arguments)
    return status, out.getvalue()


def test_the_command_says_what_the_sheet_says(demo: Path) -> None:
    status, text = run("match", str(demo), "--machine", "backhoe 15", "--truck", "Tandem dump 58", "--json")
    assert status == 0
    data = json.loads(text)
    cells = stored_cells(demo)
    sheet = [str(cells[f"E{match.FIRST_ROW + place}"]) for place in range(24)]
    assert data["totals"]["trailers"] == 24
    for trailer, shown in zip(data["trailers"], sheet, strict=True):
        if not shown.startswith("check on What-if"):
            assert trailer["verdict"] == shown
    assert data["totals"]["carry"] == sum(trailer["carries"] for trailer in data["trailers"]) == 5
    status, text = run("match", str(demo), "--machine", "Backhoe 15")
    assert status == 0
    assert "carry Backhoe 15; no truck was checked" in text
    assert "certified scale" in text


@pytest.mark.parametrize("option", ["--machine", "--truck"])
def test_an_unknown_name_is_refused_with_those_there_are(
    demo: Path, capsys: pytest.CaptureFixture[str], option: str
) -> None:
    names = {"--machine": "Backhoe 15", "--truck": "Tandem dump 58", option: "Nobody"}
    assert main(["match", str(demo), *(part for pair in names.items() for part in pair)]) == 2
    error = capsys.readouterr().err
    assert error.count("\n") == 1
    first = machines.demo_rows()[0]["Machine"] if option == "--machine" else trucks.demo_rows()[0]["Truck"]
    assert str(first) in error


def test_the_demo_yard_shows_several_verdicts(demo: Path) -> None:
    assert len(demo_yard.trailers()) == 24
    cells = stored_cells(demo)
    kinds = {" ".join(str(cells[f"E{match.FIRST_ROW + place}"]).split()[:2]) for place in range(24)}
    assert {"carries", "payload short", "hitch differs:", "figures missing:"} <= kinds
    assert lot.FIRST_ROW == 5
