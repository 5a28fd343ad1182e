"""Machines, Trucks, What-if and Drive-on: stored results, the sweep against the exact gap, and a beam by hand."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from openpyxl.chart import ScatterChart
from openpyxl.workbook import Workbook

from tarelot.calc.cells.formulas import LONGEST_FORMULA
from tarelot.workbook_templates import workbook
from tarelot.workbook_templates.basis.units import METRIC, US
from tarelot.workbook_templates.hauling.drive_on import sheet as drive_on_sheet
from tarelot.workbook_templates.hauling.results import SHEETS, demo_hauling
from tarelot.workbook_templates.hauling.side_view.chart import CHART_CM
from tarelot.workbook_templates.hauling.side_view.lines import OUTSIDE
from tarelot.workbook_templates.hauling.side_view.measures import HIGH, WIDE
from tarelot.workbook_templates.sheets import machines, trucks
from tests.engines.office import Office
from tests.engines.stored_results import same
from tests.hauling.what_if_live import Live, answer_cell, place

SINCE_2007 = frozenset(
    re.findall(
        "[A-Z]+",
        "ABS AND ASIN ATAN CHOOSE COS COUNT COUNTIF DEGREES FIND FIXED IF IFERROR INDEX INT ISERROR ISNA ISNUMBER "
        "ISTEXT LEFT LEN LOWER MATCH MAX MID MIN MOD N NOT OR PI RADIANS REPT RIGHT ROUND ROUNDUP ROW SEARCH SIN "
        "SMALL SQRT SUBSTITUTE SUM SUMPRODUCT T TAN TEXT TRIM VALUE",
    )
)
"""Functions that every program has that reads an .xlsx."""


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("what_if") / "demo.xlsx"
    workbook.write_demo(path)
    return path


@pytest.fixture(scope="module")
def book(demo: Path) -> Workbook:
    return openpyxl.load_workbook(demo)


def formulas(book: Workbook) -> Iterator[tuple[str, str, str]]:
    for sheet in SHEETS:
        for row in book[sheet].iter_rows():
            for cell in row:
                if cell.data_type == "f":
                    yield sheet, cell.coordinate, str(cell.value)


def assert_stored(demo: Path, book: Workbook, read: Callable[[str, str], object]) -> None:
    stored = openpyxl.load_workbook(demo, data_only=True)
    cells = [(sheet, cell) for sheet, cell, _ in formulas(book)]
    assert len(cells) > 4_500
    assert sum(stored[sheet][cell].value not in (None, "") for sheet, cell in cells) > 4_500
    differing = [
        (sheet, cell, stored[sheet][cell].value, read(sheet, cell))
        for sheet, cell in cells
        if not same(stored[sheet][cell].value, read(sheet, cell))
    ]
    assert differing == []


def test_stored_results_equal_libreoffice(demo: Path, book: Workbook, office: Office) -> None:
    grids = office.recalculate(demo)

    def read(sheet: str, cell: str) -> object:
        row, column = place(cell)
        grid = grids[sheet]
        return grid[row - 1][column - 1] if row <= len(grid) and column <= len(grid[row - 1]) else ""

    assert_stored(demo, book, read)


def test_stored_results_equal_ironcalc_on_the_whole_workbook(demo: Path, book: Workbook) -> None:
    # The results were made from the few columns that the sheets read; here the lot's own formulas are calculated too.
    whole = Live(demo)
    whole.model.evaluate()
    assert_stored(demo, book, whole.read)


def chart_points(book: Workbook) -> list[str]:
    """Every cell that the chart draws."""
    (chart,) = book["What-if"]._charts
    assert isinstance(chart, ScatterChart)
    cells = []
    for series in chart.series:
        for source in (series.xVal.numRef.f, series.yVal.numRef.f):
            sheet, area = source.rsplit("!", 1)
            assert sheet.strip("'") == drive_on_sheet.SHEET
            block = book[drive_on_sheet.SHEET][area.replace("$", "")]
            cells += [cell.coordinate for row in (block if isinstance(block, tuple) else ((block,),)) for cell in row]
    return cells


def test_changing_the_machine_changes_results_and_chart_in_libreoffice(
    demo: Path, book: Workbook, office: Office
) -> None:
    points = [f"Drive-on!{cell}" for cell in chart_points(book)]
    labels = (
        "Weight to spare (lb)",
        "Pin weight (lb)",
        "Weight on its axles (lb)",
        "Rating each, direct (lb)",
        "Tightest gap (in)",
    )
    answers = [f"What-if!{answer_cell(book, label)}" for label in labels]
    verdict = f"What-if!{answer_cell(book, 'Tightest gap (in)', 'C')}"
    reads = [*answers, verdict, "What-if!B8", *points]
    seen = {
        name: office.edit_and_read(demo, {"What-if!B6": name}, reads)
        for name in ("Paver 8", "Roller 54", "Wheel loader 9", "Excavator 8")
    }
    count = len(answers)
    names = list(seen)
    for first, second in zip(names, names[1:], strict=False):
        pairs = list(zip(seen[first], seen[second], strict=True))
        assert all(a != b for a, b in pairs[:count]), pairs[:count]
        assert sum(a != b for a, b in pairs[count + 2 :]) > 100
    assert seen["Paver 8"][count] == "▲ touches"
    assert seen["Wheel loader 9"][count] == "ok"
    assert seen["Excavator 8"][count] == "-"  # tracks have no gap
    assert seen["Paver 8"][count + 1] == "NO"
    for values in seen.values():
        drawn = values[count + 2 :]
        assert all(isinstance(value, float) for value in drawn if value != ""), values
        seen_points = [value for value in drawn if value not in ("", OUTSIDE)]
        assert all(0 <= value <= WIDE for value in seen_points), values
        assert len(seen_points) > 300


def test_the_drawing_is_to_scale(book: Workbook) -> None:
    (chart,) = book["What-if"]._charts
    inner = chart.layout.manualLayout
    assert (chart.x_axis.scaling.min, chart.x_axis.scaling.max) == (0, WIDE)
    assert (chart.y_axis.scaling.min, chart.y_axis.scaling.max) == (0, HIGH)
    wide, high = inner.w * CHART_CM[0], inner.h * CHART_CM[1]
    assert wide / WIDE == pytest.approx(high / HIGH, rel=1e-6)
    assert inner.y + inner.h <= 1


def test_cautions_stand_on_the_sheet(book: Workbook) -> None:
    words = " ".join(str(cell.value) for cell in book["What-if"]["A"] if cell.value)
    for needed in (
        "certified scale",
        "certification labels",
        "every rating",
        "licensed practice",
        "makers' instructions",
    ):
        assert needed in words


def test_formulas_are_short_and_old_enough(book: Workbook, tmp_path: Path) -> None:
    path = tmp_path / "metric.xlsx"
    workbook.write_new(path, METRIC)
    for one in (book, openpyxl.load_workbook(path)):
        found = list(formulas(one))
        assert max(len(formula) for _, _, formula in found) < LONGEST_FORMULA
        used = {name for _, _, f in found for name in re.findall(r"([A-Z][A-Z0-9.]*)\(", re.sub(r'"[^"]*"', "", f))}
        assert used <= SINCE_2007


@pytest.mark.parametrize("units", [US, METRIC], ids=lambda units: units.name)
def test_an_empty_workbook_asks_and_shows_no_error(units: object, tmp_path: Path) -> None:
    path = tmp_path / "new.xlsx"
    workbook.write_new(path, units)  # type: ignore[arg-type]
    stored = openpyxl.load_workbook(path, data_only=True)
    values = [cell for sheet in SHEETS for row in stored[sheet].iter_rows(values_only=True) for cell in row]
    assert not [value for value in values if isinstance(value, str) and value.startswith("#")]
    assert stored["What-if"]["B8"].value == "NOT SURE"
    for group in ("trailer", "machine", "truck"):
        assert f"{group} not chosen" in stored["What-if"]["B10"].value


def test_the_demo_holds_what_it_is_to_show() -> None:
    rows: Any = machines.demo_rows()
    pulling: Any = trucks.demo_rows()
    assert len(rows) == 11
    assert len(pulling) == 5
    assert {row["Runs on"] for row in rows} == {"wheels", "tracks"}
    paver = next(row for row in rows if str(row["Machine"]).startswith("Paver"))
    assert paver["Ground clearance (in)"] == min(row["Ground clearance (in)"] for row in rows)
    assert paver["Rear overhang (in)"] == max(row["Rear overhang (in)"] for row in rows)
    for row in rows:
        # the center of gravity lies between the contacts, or it would fall over
        assert 0 < row["Front contact to center (in)"] < row["Wheelbase (in)"]
    for truck in pulling:
        assert truck["Front axle empty (lb)"] + truck["Rear axle empty (lb)"] < truck["GVWR (lb)"] <= truck["GCWR (lb)"]
    assert demo_hauling().choices[1] == paver["Machine"]


def test_entry_rules_reject(book: Workbook) -> None:
    for name, columns in ((machines.SHEET, machines.COLUMNS), (trucks.SHEET, trucks.COLUMNS)):
        rules = book[name].data_validations.dataValidation
        assert len(rules) == len(columns)
        assert all(rule.showErrorMessage and rule.errorStyle == "stop" and rule.error for rule in rules)
    for cell in ("B5", "B6", "B7"):
        (rule,) = (r for r in book["What-if"].data_validations.dataValidation if cell in r.sqref)
        assert rule.type == "list"
        assert rule.showErrorMessage
