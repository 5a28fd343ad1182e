"""Card: stored results against two engines; it follows What-if; the PDF is one page with figures and cautions."""

from __future__ import annotations

import subprocess
from collections.abc import Mapping, Sequence
from pathlib import Path

import openpyxl
import pytest
import scipy.constants
from openpyxl.chart import ScatterChart
from openpyxl.utils import coordinate_to_tuple

from tarelot.addin.command_line.main import main
from tarelot.addin.libreoffice import install
from tarelot.workbook_templates import workbook
from tarelot.workbook_templates.basis.units import METRIC, US
from tarelot.workbook_templates.hauling.card import sheet as card
from tarelot.workbook_templates.hauling.card.cells import CHECK, NOT_STATED
from tarelot.workbook_templates.hauling.compare import sheet as compare
from tarelot.workbook_templates.hauling.results import Hauling
from tarelot.workbook_templates.hauling.what_if import rows as what_if_rows
from tarelot.workbook_templates.lot import columns
from tarelot.workbook_templates.lot.column import Input
from tarelot.workbook_templates.sheets import demo_yard, machines, trucks
from tests.engines import stored_results
from tests.engines.office import Office

FIGURE_ROWS = what_if_rows.figure_rows()
ERRORS = ("#", "Err:")
VERDICT, BROKEN, MISSING = (f"B{card.VIEW_ROW + line}" for line in (1, 2, 4))
MEANING = f"C{card.VIEW_ROW + 1}"
TITLE, SUBTITLE = (f"B{card.TITLE_ROW + line}" for line in (0, 1))
TILES = [f"{letter}{card.TILE_ROW}" for letter in "BCFG"]
PER = {"{weight}": scipy.constants.pound, "{short}": 25.4, "{long}": scipy.constants.foot}
"""Kilograms, millimeters and meters in a pound, an inch and a foot."""


def in_metric(rows: Sequence[Mapping[str, object]], inputs: Sequence[Input]) -> list[dict[str, object]]:
    """Rows of the demo yard in kilograms, millimeters and meters."""
    found: list[dict[str, object]] = []
    for row in rows:
        metric: dict[str, object] = {}
        for column in inputs:
            value = row.get(US.heading(column.heading))
            factor = next((per for mark, per in PER.items() if mark in column.heading), None)
            metric[METRIC.heading(column.heading)] = (
                value * factor if factor is not None and isinstance(value, int | float) else value
            )
        found.append(metric)
    return found


def write_metric(path: Path) -> None:
    """The demo yard in metric units, with a tracked machine and no truck."""
    hauling = Hauling(
        in_metric(machines.demo_rows(), machines.COLUMNS),
        in_metric(trucks.demo_rows(), trucks.COLUMNS),
        ("1109", "Excavator 8", None),
    )
    rows = in_metric(demo_yard.trailers(), list(columns.inputs()))
    pairs = [(name, weight * scipy.constants.pound) for name, weight, *_ in demo_yard.options()]
    workbook.write(path, rows, pairs, METRIC, hauling=hauling)


def write_broken(path: Path) -> None:
    """A trailer whose figures the lot refuses: words for a weight and a length, a share above 1."""
    refused = {"Base weight (lb)": "heavy", "Scale weight (lb)": None, "Low pin share": 1.5, "Deck height (in)": "low"}
    row = {**demo_yard.trailers()[4], **refused}
    hauling = Hauling([*machines.demo_rows()], [*trucks.demo_rows()], (row["Stock no."], "Backhoe 15", "Flatbed 55"))
    workbook.write(path, [row, {}], [*demo_yard.options()], US, hauling=hauling)


WRITERS = {
    "demo": workbook.write_demo,
    "new": workbook.write_new,
    "new metric": lambda path: workbook.write_new(path, METRIC),
    "metric": write_metric,
    "broken": write_broken,
}


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("card") / "demo.xlsx"
    workbook.write_demo(path)
    return path


@pytest.fixture(scope="module", params=WRITERS)
def book(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("book") / "lot.xlsx"
    WRITERS[request.param](path)
    return path


def stored(path: Path) -> dict[str, object]:
    """The stored result of each formula of the Card."""
    return stored_results.stored(path, card.SHEET)


def labels(path: Path) -> dict[str, object]:
    """The words that stand on the Card as they are."""
    cells = (cell for row in openpyxl.load_workbook(path)[card.SHEET].iter_rows() for cell in row)
    return {cell.coordinate: cell.value for cell in cells if cell.data_type == "s"}


def test_stored_results_equal_libreoffice(book: Path, office: Office) -> None:
    assert len(stored(book)) > 75
    assert stored_results.differing_in_libreoffice(book, card.SHEET, office) == []


def test_stored_results_equal_ironcalc(book: Path) -> None:
    assert stored_results.differing_in_ironcalc(book, card.SHEET) == []


def test_no_error_value_is_shown(book: Path) -> None:
    assert [value for value in stored(book).values() if isinstance(value, str) and value.startswith(ERRORS)] == []


def test_what_the_lot_refuses_is_said_in_words(tmp_path: Path) -> None:
    path = tmp_path / "broken.xlsx"
    write_broken(path)
    cells = stored(path)
    values = list(cells.values())
    deck_height = next(cell for cell, label in labels(path).items() if label == "Deck height, empty (in)")
    figure = deck_height.replace("F", "G")
    assert cells[TILES[0]] == 20_000  # GVWR
    # The Lot leaves blank what it refuses and names it; a figure that the Card reads as it was typed is looked at here.
    assert [cells[cell] in (CHECK, NOT_STATED) for cell in (*TILES[1:], figure)] == [True] * 4
    assert any(str(value).startswith("Entries of the trailer to be settled first: ") for value in values)
    assert not any(str(value).startswith("YES") for value in values)


def test_a_rating_short_on_the_sticker_is_settled_first_and_one_short_under_the_load_is_a_no(tmp_path: Path) -> None:
    # Stock no. 1109 with the excavator: 28,280 lb gross. Four wheels of 3,600 lb are less than an axle of 15,000 lb;
    # the eight hold 28,800; eight of 2,500 lb hold 20,000 and would leave 8,280 to a coupler of 6,000 lb vertical.
    yard = next(row for row in demo_yard.trailers() if row["Stock no."] == "1109")
    said = {}
    for wheel in (2_500.0, 3_600.0, 3_750.0):
        row = {**yard, "Wheel rating (lb)": wheel}
        choices = ("1109", "Excavator 8", "Tandem dump 58")
        typed = {"stands": "yes", "front_clearance": 30}  # its boom carried higher than on the list
        hauling = Hauling([*machines.demo_rows()], [*trucks.demo_rows()], choices, typed)
        path = tmp_path / f"{wheel:g}.xlsx"
        workbook.write(path, [row, {}], [*demo_yard.options()], US, hauling=hauling)
        cells = stored(path)
        settled = any("by the checks of the trailer, to be settled first: Wheel" in str(one) for one in cells.values())
        said[wheel] = (cells[VERDICT], settled, "wheels" in str(cells[BROKEN]))
    assert said == {2_500.0: ("NO", True, True), 3_600.0: ("YES", True, False), 3_750.0: ("YES", False, False)}


def test_an_empty_workbook_asks(tmp_path: Path) -> None:
    path = tmp_path / "new.xlsx"
    workbook.write_new(path)
    cells = stored(path)
    assert cells[TITLE] == "No trailer chosen"
    assert cells[SUBTITLE] == "Choose a trailer on the What-if sheet."
    assert [value for value in cells.values() if value is not None] == [
        "No trailer chosen",
        "Choose a trailer on the What-if sheet.",
        "Seen from the side",
    ]


def test_it_stands_between_compare_and_quote(demo: Path) -> None:
    names = openpyxl.load_workbook(demo, read_only=True).sheetnames
    place = names.index(card.SHEET)
    assert names[place - 1 : place + 2] == [compare.SHEET, card.SHEET, "Quote"]


def line_of(path: Path, label: str) -> int:
    """The row of a line of the Card."""
    rows = [coordinate_to_tuple(cell)[0] for cell, value in stored(path).items() if value == label]
    assert len(rows) == 1, label
    return rows[0]


def test_it_follows_what_is_chosen(demo: Path, office: Office) -> None:
    # Stock no. 1105: scale 5,960; payload 20,000 - 5,960 = 14,040, of which each machine takes its weight.
    yard = {str(row["Machine"]): row["Weight (lb)"] for row in machines.demo_rows()}
    spare, gap = (line_of(demo, label) for label in ("Weight to spare (lb)", "Tightest gap on the drive-on"))
    above = [TITLE, TILES[0], TILES[2], f"B{card.VIEW_ROW}", VERDICT]
    below = [f"C{spare}", f"B{gap}", f"C{gap}", f"D{gap}", MISSING, MEANING]
    reads = [f"Card!{cell}" for cell in (*above, *below)]

    def read(**typed: str | None) -> list[object]:
        cells = {"trailer": "B5", "machine": "B6", "truck": "B7"}
        edits = {f"What-if!{cells[name]}": value for name, value in typed.items()}
        return list(office.edit_and_read(demo, edits, reads))

    paver = read()
    assert paver[0] == "Tindrel Hauler 25"
    assert paver[3] == "With Paver 8 behind Tandem dump 58"
    assert paver[8] == "▲ touches"
    backhoe = read(trailer="1105", machine="Backhoe 15")
    assert backhoe[:3] == ["Brenmoor Deck 20", 20_000.0, 14_040.0]
    assert backhoe[5] == 14_040 - yard["Backhoe 15"]
    skid = read(trailer="1105", machine="Skid loader 65")
    assert skid[5] == 14_040 - yard["Skid loader 65"]
    assert skid[7] not in (backhoe[7], paver[7])
    tracked = read(machine="Excavator 8", truck=None)
    assert tracked[3] == "With Excavator 8"
    assert tracked[6] == "Tips over, on the drive-on"
    assert tracked[8] == "caution"
    assert tracked[4] == "NO"  # 18,500 on 14,040
    assert tracked[-2] == "Missing: truck not chosen"
    assert str(tracked[-1]).startswith("Something does not fit: ")
    alone = read(machine=None)
    assert alone[3:] == [
        "Seen from the side",
        *[""] * 6,
        "No machine was chosen: the figures are those of the trailer alone.",
    ]
    lost = read(trailer="no such", machine="Walking house", truck="Cart")
    assert lost[0] == "no such ▲ not on the Lot sheet"
    assert not [value for value in lost if str(value).startswith(ERRORS)]
    lost = read(machine="Walking house")
    assert lost[-1] == "Walking house ▲ not on the Machines sheet."


def test_a_figure_typed_over_is_used_and_named(demo: Path, office: Office) -> None:
    # Stock no. 1108: 8,380 lb empty; 20,000 - 8,380 = 11,620.
    words = next(cell for cell, value in stored(demo).items() if value == "Every figure is as listed in the workbook.")
    edits: dict[str, float | str | bool | None] = {f"What-if!H{FIGURE_ROWS['gvwr']}": 20_000}
    edits[f"What-if!H{FIGURE_ROWS['truck_gvwr']}"] = 70_000
    payload, said = office.edit_and_read(demo, edits, [f"Card!{TILES[2]}", f"Card!{words}"])
    assert payload == 11_620
    assert said == "Typed over on What-if for this page; GVWR; truck's GVWR."


def test_the_side_view_is_that_of_what_if(demo: Path) -> None:
    book = openpyxl.load_workbook(demo)
    (ours,), (theirs,) = (book[name]._charts for name in (card.SHEET, what_if_rows.SHEET))
    assert isinstance(ours, ScatterChart)
    points = [[(s.xVal.numRef.f, s.yVal.numRef.f) for s in chart.series] for chart in (ours, theirs)]
    assert points[0] == points[1]
    inner = ours.layout.manualLayout
    wide, high = inner.w * card.CHART_CM[0], inner.h * card.CHART_CM[1]
    scales = [(axis.scaling.max - axis.scaling.min) for axis in (ours.x_axis, ours.y_axis)]
    assert wide / scales[0] == pytest.approx(high / scales[1], rel=1e-6)


def pages(pdf: Path) -> list[str]:
    """The text of each page of a PDF, read by poppler."""
    text = subprocess.run(["pdftotext", "-layout", pdf, "-"], capture_output=True, text=True, check=True).stdout
    return text.split("\f")[:-1]


def flat(text: str) -> str:
    return " ".join(text.split())


def test_a_card_holds_the_figures_and_the_cautions_on_one_page(
    demo: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    # Stock no. 1105 by hand: scale 5,960; payload 20,000 - 5,960 = 14,040; pin 0.15 x 20,000 = 3,000.
    # 760 lb of empty pin, axles 18.3 ft and the deck's front 5.4 ft behind the coupler: the center of 14,040 lb
    # stands at 18.3 (760 + 14,040 - 3,000) / 14,040 = 15.380 ft to 18.3 (760 + 14,040 - 2,000) / 14,040 = 16.684 ft,
    # 9.980 and 11.284 ft from the deck's front: 10 ft 0 in (119.8 in) and 11 ft 3 in (135.4 in).
    # 1123 lacks most of its figures.
    out = tmp_path / "cards"
    assert main(["card", str(demo), "1105", "1123", "--out", str(out)]) == 0
    assert "Written: 2 cards" in capsys.readouterr().out
    assert sorted(file.name for file in out.iterdir()) == ["card-1105.pdf", "card-1123.pdf"]
    (page,) = pages(out / "card-1105.pdf")
    for part in ("Brenmoor Deck 20", "5,960", "14,040", "3,000", "weighed on a scale", "10.0% to 15.0%"):
        assert part in page
    assert "its center 10 ft 0 in to 11 ft 3 in from the deck's front edge" in flat(page)
    for caution in card.CAUTIONS:
        assert flat(caution) in flat(page)
    assert "No machine was chosen" in page
    assert "Weight to spare" not in page
    assert "###" not in page
    (other,) = pages(out / "card-1123.pdf")
    for part in ("not stated", "not weighed", "Not checked", "Not drawn"):
        assert part in other
    assert main(["card", str(demo), "1105", "--out", str(out)]) == 2
    assert "card-1105.pdf already" in capsys.readouterr().err


def test_a_card_with_machine_and_truck_says_what_hangs_up(demo: Path, tmp_path: Path) -> None:
    # Stock no. 1108: 8,380 lb empty and a paver of 15,600 are 23,980 of 24,500: 520 to spare; two axles of 11,000 lb at
    # 10% on the pin hold 22,000 / 0.9 = 24,444. Its tail drags at the ramp's foot (shapely agrees in the tests of the
    # clearance).
    out = tmp_path / "cards"
    chosen = ["--machine", "paver 8", "--truck", "tandem dump 58"]
    assert main(["card", str(demo), "1108", *chosen, "--out", str(out)]) == 0
    (page,) = pages(out / "card-1108.pdf")
    for part in (
        "With Paver 8 behind Tandem dump 58",
        "What does not fit: touches on the way up",
        "520",
        "24,444",
        "▲ touches",
    ):
        assert part in page
    assert "License group by weight" in page
    for caution in card.CAUTIONS:
        assert flat(caution) in flat(page)


def test_a_trailer_without_a_number_has_its_card(tmp_path: Path) -> None:
    path = tmp_path / "lot.xlsx"
    row = {**demo_yard.trailers()[4], "Stock no.": None}
    workbook.write(path, [row, {}], [*demo_yard.options()], US)
    assert main(["card", str(path), "--all", "--out", str(tmp_path / "cards")]) == 0
    (page,) = pages(tmp_path / "cards" / "card-trailer.pdf")
    assert "Brenmoor Deck 20" in page
    assert "14,040" in page


def test_the_whole_workbook_prints_the_card_as_one_page(demo: Path, tmp_path: Path, office: Office) -> None:
    printed = [page for page in pages(office.convert(demo, tmp_path, "pdf")) if "Card, page" in page]
    assert len(printed) == 1
    assert "Tindrel Hauler 25" in printed[0]
    assert flat(card.CAUTIONS[-1]) in flat(printed[0])


@pytest.mark.parametrize(
    ("arguments", "reason"),
    [
        (["9999"], "stock no. 9999 is not on the lot"),
        (["1120"], "stock no. 1120 stands on the lot 2 times"),
        ([], "no stock number is named"),
        (["1105", "--all"], "name stock numbers, or --all"),
        (["1105", "--machine", "Nobody"], "no machine named Nobody: the Machines sheet has Skid loader 65"),
        (["1105", "--machine", "Paver 8", "--truck", "Nobody"], "no truck named Nobody: the Trucks sheet has"),
        (["1105", "--truck", "Flatbed 55"], "--truck needs --machine"),
    ],
)
def test_what_cannot_be_made_is_refused_in_a_line(
    demo: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], arguments: list[str], reason: str
) -> None:
    assert main(["card", str(demo), *arguments, "--out", str(tmp_path / "none")]) == 2
    error = capsys.readouterr().err
    assert reason in error
    assert error.count("\n") == 1
    assert not (tmp_path / "none").exists()


def test_without_libreoffice_one_line_says_so(
    demo: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(install, "_program_folders", lambda: [])
    assert main(["card", str(demo), "1105", "--out", str(tmp_path / "none")]) == 2
    error = capsys.readouterr().err
    assert "LibreOffice is not installed" in error
    assert error.count("\n") == 1
    assert not (tmp_path / "none").exists()
