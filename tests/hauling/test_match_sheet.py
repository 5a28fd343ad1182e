"""The Match sheet: stored results against two engines, its command, and what a person does with it."""

from __future__ import annotations

import io
import json
from collections.abc import Mapping
from contextlib import redirect_stdout
from pathlib import Path

import openpyxl
import pytest
import scipy.constants

from tarelot.addin.command_line.main import main
from tarelot.calc.cells.formulas import LONGEST_FORMULA
from tarelot.workbook_templates import workbook
from tarelot.workbook_templates.basis.units import METRIC, US, Units
from tarelot.workbook_templates.hauling.match import columns as match
from tarelot.workbook_templates.hauling.match.reading import read_table
from tarelot.workbook_templates.hauling.results import Hauling
from tarelot.workbook_templates.lot import sheet as lot
from tarelot.workbook_templates.ooxml.package import edit
from tarelot.workbook_templates.sheets import demo_yard, machines, trucks
from tests.engines.hand_case import MACHINE, TRAILER, TRUCK
from tests.engines.office import Office
from tests.engines.stored_results import differing_in_ironcalc, differing_in_libreoffice, stored

Row = Mapping[str, object]


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
        compared=("T0", "T3", "T9", "T11"),
    )
    path = folder / f"{units.name}.xlsx"
    choices = (MACHINE["Machine"], TRUCK["Truck"])
    workbook.write(path, rows, [("Spare tire", 50.0)], units, hauling=hauling, match_choices=choices)
    return path


def lot_headings(units: Units) -> list[str]:
    from tarelot.workbook_templates.lot.columns import COLUMNS

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
    assert len(stored(book, match.SHEET)) > 1000
    assert differing_in_libreoffice(book, match.SHEET, office) == []


def test_stored_results_equal_ironcalc(book: Path) -> None:
    assert differing_in_ironcalc(book, match.SHEET) == []


def test_both_systems_of_units_come_to_the_same_kinds_of_verdicts(tmp_path: Path) -> None:
    found = []
    for units in (US, METRIC):
        cells = stored(write_variants(tmp_path, units), match.SHEET)
        found.append([str(cells[f"E{match.FIRST_ROW + number}"]) for number in range(12)])
    assert found[0] == found[1]
    assert found[0][0] == "YES"
    assert set(found[0]) == {"YES", "NO", "NOT SURE"}


def test_choosing_another_machine_changes_the_verdicts(demo: Path, office: Office) -> None:
    # Stock no. 1109, ninth row: the telehandler of 17,800 lb; the 30,900 lb excavator is above its GVWR of 30,000.
    reads = [f"Match!E{match.FIRST_ROW + 8}", "Match!E6"]
    light, heavy = (office.edit_and_read(demo, {"Match!C4": name}, reads) for name in ("Backhoe 15", "Excavator 14"))
    assert (light[0], heavy[0]) == ("YES", "NO")
    unknown = office.edit_and_read(demo, {"Match!C4": "Walking house"}, [*reads, "Match!E4"])
    assert unknown == ["", "Choose a machine in the cream cell, and a truck.", "▲ not on the Machines sheet"]


def test_a_lot_that_outgrows_the_sheet_says_so(tmp_path: Path, office: Office) -> None:
    # Three prepared rows and the twenty spare ones of Match; 21 rows are put into the Lot's table, before its last row.
    path = tmp_path / "lot.xlsx"
    workbook.write(path, [{"Stock no.": "1"}, {}, {}], [(None, None)], US)
    select = {"select": f"Lot!A{lot.FIRST_ROW + 2}:A{lot.FIRST_ROW + 22}"}
    insert = {"url": ".uno:InsertRowsBefore", "arguments": {}}
    shown = office.dispatch(path, [select, insert])["values"][-1]
    said = str(shown["Match"][6][4])
    assert said.startswith("▲ Rows of the Lot from 24 on are not here")


def test_formulas_stay_under_the_limit_and_no_filter_hides_a_row(demo: Path) -> None:
    sheet = openpyxl.load_workbook(demo)[match.SHEET]
    lengths = [len(str(cell.value)) for row in sheet.iter_rows() for cell in row if cell.data_type == "f"]
    assert max(lengths) < LONGEST_FORMULA
    table = sheet.tables["Match"]
    assert table.autoFilter is None
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
    cells = stored(demo, match.SHEET)
    sheet = [str(cells[f"E{match.FIRST_ROW + place}"]) for place in range(24)]
    assert data["totals"]["trailers"] == 24
    for trailer, shown in zip(data["trailers"], sheet, strict=True):
        assert trailer["verdict"] == shown
    for word in ("YES", "NO", "NOT SURE"):
        assert data["totals"][word] == sheet.count(word) > 0
    for key, column in (("broken", "why"), ("missing", "lacking"), ("cautions", "minded")):
        shown_words = [
            cells[f"{match.LETTERS[match.shown(column)]}{match.FIRST_ROW + place}"] or "" for place in range(24)
        ]
        assert [trailer[key] for trailer in data["trailers"]] == shown_words
    status, text = run("match", str(demo), "--machine", "Backhoe 15")
    assert status == 0
    assert "for Backhoe 15; no truck was chosen, so none gets a YES" in text
    assert text.count("YES") == 2  # in the counts: 0 YES, and in these words
    assert "certified scale" in text


def test_a_machine_whose_name_is_a_number_is_found(demo: Path, tmp_path: Path) -> None:
    numbered = tmp_path / "numbered.xlsx"
    names = [row["Machine"] for row in read_table(demo, "Machines")]
    place = f"A{machines.FIRST_ROW + names.index('Backhoe 15')}"
    edit(demo, numbered, {machines.SHEET: {place: 320}})
    said = [
        json.loads(run("match", str(path), "--machine", name, "--truck", "Tandem dump 58", "--json")[1])
        for path, name in ((demo, "Backhoe 15"), (numbered, "320"))
    ]
    assert said[0]["trailers"] == said[1]["trailers"]
    assert any(trailer["missing"] for trailer in said[0]["trailers"])


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
    cells = stored(demo, match.SHEET)
    assert {cells[f"E{match.FIRST_ROW + place}"] for place in range(24)} == {"YES", "NO", "NOT SURE"}
    assert lot.FIRST_ROW == 5


def test_rows_name_another_sheet_only_where_they_read_the_lot(tmp_path: Path) -> None:
    """A formula that names a sheet or a table is written out in every row: few may. Common practice, no source."""
    path = write_variants(tmp_path, US)
    row = openpyxl.load_workbook(path)[match.SHEET][match.FIRST_ROW]
    texts = [str(getattr(cell.value, "text", cell.value)) for cell in row]
    assert [text for text in texts if "!" in text.replace("#NUM!", "") or f"{match.TABLE}[" in text] == []
    apart = [text for text in texts if "[" in text]
    assert len(texts) == len(match.COLUMNS)
    assert len(apart) < len(texts) / 4
    assert all("Lot[" in text for text in apart)
