"""What is in doubt is no base of a YES wherever it is typed: on its list or over it on What-if; nor is a double name.

Stock no. 1106 carries the Backhoe 15 behind the Tandem dump 58 by the demo's figures. Each slip below was a YES once.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path

import pytest

from tarelot.addin.command_line.main import main
from tarelot.calc.rules.hauling_rule import NOT_SURE, YES
from tarelot.workbook_templates import workbook
from tarelot.workbook_templates.basis.units import US
from tarelot.workbook_templates.hauling.match.reading import find, matched
from tarelot.workbook_templates.hauling.results import Hauling, worked_out
from tarelot.workbook_templates.hauling.what_if.answers import CHOICE_CELLS, SUMMARY, WORDS
from tarelot.workbook_templates.hauling.what_if.rows import FIGURES, MACHINE, TRAILER, TRUCK, members
from tarelot.workbook_templates.lot.results import lot_results
from tarelot.workbook_templates.sheets import demo_yard, machines, trucks
from tests.engines.office import Office
from tests.hauling.what_if_live import Live, typed_cell
from tests.hauling.yards import CARD_VERDICT

CHOICES = ("1106", "Backhoe 15", "Tandem dump 58")
Row = dict[str, object]
# What is typed over on What-if, and how the words go on behind the group's name; the bounds are those of Limits.
SLIPS: tuple[tuple[Mapping[str, object], str], ...] = (
    ({"hitch_overhang": -210}, "truck's entries: Hitch overhang -210 in: sign?"),
    ({"hitch_overhang": 7}, "truck's entries: Hitch overhang 7 in: feet, or sign?"),  # 84 in are 7 ft
    ({"hitch_overhang": 0}, "truck's entries: Hitch overhang 0 in: feet, or sign?"),
    ({"front_overhang": 4.2}, "machine's entries: Front overhang 4.2 in: feet?"),  # 50 in are 4.2 ft
    ({"rear_overhang": 5.5}, "machine's entries: Rear overhang 5.5 in: feet?"),  # 66 in are 5.5 ft
    ({"weight": 1}, "machine's entries: Weight 1 lb: TRUE, tons, or a digit missing?"),
    ({"coupler": 1e9}, "trailer's entries: Coupler far above GVWR"),
    ({"coupler": 120_001}, "trailer's entries: Coupler far above GVWR"),  # above 5 x 24,000
    ({"wheelbase": 18, "to_center": 9}, "machine's entries: Wheelbase 18 in: feet?"),
    ({"low_share": 0.001}, "trailer's entries: Low pin share 0.001: decimal point?"),
    ({"empty_pin": 0}, "trailer's entries: Empty pin 0% of the empty weight: a digit missing?"),
    ({"machine_height": 9}, "machine's entries: Height 9 in: feet?"),
    ({"shoe_width": 45}, "machine's entries: Two tires or tracks above Outside of tires or tracks"),  # 2 x 45 > 88
    ({"front_clearance": 260}, "machine's entries: Front clearance 260 in: a digit too many?"),
    ({"ramp_width": 50}, "trailer's entries: Ramps wider than their outside"),  # 2 x 50 > 98
    ({"tail_length": 8}, "trailer's entries: Tail drop above Tail length"),  # the drop is 12
    ({"suspension": 1}, "trailer's entries: a weight of 1: TRUE, or a digit missing?"),
    ({"to_center": 4.2}, "machine's entries: Front contact to center 5% of the wheelbase: feet?"),  # of 86: 4.9 %
    ({"rear_axles": 8}, "truck's entries: Rear axles 8: a digit too many?"),
    ({"rear_axles": 40}, "truck's entries: Rear axles 40: a digit too many?"),
    ({"rear_spread": 500}, "truck's entries: Rear axle spread 500 in: a digit too many?"),
    ({"rear_rating": 90_000}, "truck's entries: Rear axle rating above GVWR"),
    ({"label_gcwr": 10_000}, "truck's entries: GVWR above GCWR on label"),
)
REFUSED = "Not a number above 0, or not what belongs there"
NO_NUMBERS: tuple[tuple[Mapping[str, object], str], ...] = (
    ({"weight": True}, f"machine's entries: {REFUSED}: Weight"),
    ({"coupler": "30k"}, f"trailer's entries: {REFUSED}: Coupler rating"),
    ({"jacks": 1.5}, f"trailer's entries: {REFUSED}: Jacks: not whole"),
    ({"runs_on": "skids"}, f"machine's entries: {REFUSED}: Runs on: not one of the choices"),
    ({"gcwr": "80,000 lb"}, f"truck's entries: {REFUSED}: GCWR"),
)


def lot_rows(changed: Mapping[int, Row] | None = None) -> list[Row]:
    rows = [{**row, **(changed or {}).get(place, {})} for place, row in enumerate(demo_yard.trailers())]
    found = lot_results(rows, demo_yard.options(), US)
    return [{**row, **more} for row, more in zip(rows, found, strict=True)]


@pytest.fixture(scope="module")
def lot() -> list[Row]:
    return lot_rows()


def said(lot: list[Row], typed: Mapping[str, object], **changed: list[Row]) -> tuple[str, str]:
    """Verdict and what is missing on What-if."""
    lists = {"machines": machines.demo_rows(), "trucks": trucks.demo_rows(), **changed}
    cells = worked_out(lot, Hauling(**lists, choices=CHOICES, typed=typed), US)  # type: ignore[arg-type]
    return str(cells["verdict"]), str(cells["missing"])


def test_as_listed_it_is_a_yes(lot: list[Row]) -> None:
    assert said(lot, {}) == (YES, "")


@pytest.mark.parametrize(("typed", "words"), [*SLIPS, *NO_NUMBERS])
def test_a_slip_typed_over_is_no_yes_and_is_named(lot: list[Row], typed: Mapping[str, object], words: str) -> None:
    verdict, missing = said(lot, typed)
    assert verdict != YES
    assert words in missing


@pytest.mark.parametrize("group", [TRAILER, MACHINE, TRUCK])
def test_typing_the_listed_figures_over_changes_nothing(lot: list[Row], group: str) -> None:
    lists = {TRAILER: lot[5], MACHINE: machines.demo_rows()[2], TRUCK: trucks.demo_rows()[3]}
    typed = {one.key: lists[group][US.heading(one.heading)] for one in members(group) if one.kind != "derived"}
    assert len(typed) >= 14
    assert said(lot, {key: value for key, value in typed.items() if value not in (None, "")}) == (YES, "")


def test_a_doubt_of_the_list_stays_until_its_figure_is_typed_over() -> None:
    for heading, wrong, key, right in (
        ("Coupler rating (lb)", 200_000, "coupler", 30_000),
        ("Options", "Wynch plate", "empty", 7_050),  # base 6,350 and options
        ("Scale weight (lb)", "7k", "empty", 7_050),
    ):
        rows = lot_rows({5: {heading: wrong}})
        assert said(rows, {})[0] == said(rows, {"deck_width": 102})[0] == NOT_SURE, heading
        assert said(rows, {key: right}) == (YES, ""), heading


def test_a_name_that_stands_twice_is_no_yes_anywhere(lot: list[Row]) -> None:
    twice = lot_rows({7: {"Stock no.": "1106"}})
    more_machines = [*machines.demo_rows(), {**machines.demo_rows()[0], "Machine": "BACKHOE 15"}]
    more_trucks = [*trucks.demo_rows(), {**trucks.demo_rows()[0], "Truck": "tandem Dump 58"}]
    for rows, changed, words in (
        (twice, {}, "trailer's entries: stock number stands twice"),
        (lot, {"machines": more_machines}, "machine's entries: machine stands twice on Machines"),
        (lot, {"trucks": more_trucks}, "truck's entries: truck stands twice on Trucks"),
    ):
        key = {"t": "deck_height", "m": "machine_height"}[words[0]] if "truck" not in words else "truck_gvwr"
        typed = {"deck_height": 35, "machine_height": 112, "truck_gvwr": 58_000}[key]
        for over in ({}, {key: typed}):
            verdict, missing = said(rows, over, **changed)
            assert (verdict, words in missing) == (NOT_SURE, True), (words, over)
        found = matched(
            rows,
            changed.get("machines", machines.demo_rows()),
            changed.get("trucks", trucks.demo_rows()),
            CHOICES[1:],  # type: ignore[arg-type]
            US,
        )
        assert (found[5]["word"], words in str(found[5]["lacking"])) == (NOT_SURE, True)
    assert [one for one in machines.doubts(more_machines, US) if one] == ["machine stands twice on Machines"] * 2
    assert [one for one in trucks.doubts(more_trucks, US) if one] == ["truck stands twice on Trucks"] * 2


@pytest.mark.parametrize("name", [" Backhoe 15", "backhoe 15 ", "Backhoe  15"])
def test_a_machine_listed_with_a_space_too_many_is_no_yes(lot: list[Row], name: str) -> None:
    more = [*machines.demo_rows(), {**machines.demo_rows()[2], "Machine": name}]
    words = "Machine: a space too many in its name"
    assert machines.doubts(more, US) == [""] * len(machines.demo_rows()) + [words]
    lists: dict[str, object] = {"machines": more, "trucks": trucks.demo_rows()}
    for over in ({}, {"machine_height": 112}):
        chosen = Hauling(**lists, choices=("1106", name, "Tandem dump 58"), typed=over)  # type: ignore[arg-type]
        cells = worked_out(lot, chosen, US)
        assert (cells["verdict"], f"machine's entries: {words}" in str(cells["missing"])) == (NOT_SURE, True)
        assert said(lot, over, machines=more) == (YES, "")  # of the one without
    found = matched(lot, more, trucks.demo_rows(), (name, "Tandem dump 58"), US)
    assert (found[5]["word"], words in str(found[5]["lacking"])) == (NOT_SURE, True)
    truck = {**trucks.demo_rows()[3], "Truck": "Tandem dump 58 "}
    assert trucks.doubts([truck], US) == ["Truck: a space too many in its name"]


def test_a_name_asked_for_with_a_space_is_found() -> None:
    rows = [{"Machine": "Backhoe 15 "}, {"Machine": "Roller 54"}, {"Machine": "backhoe 15"}, {"Machine": 15.0}]
    for asked, place in (
        (" roller 54 ", 1),
        ("Backhoe 15", 2),
        ("Backhoe 15 ", 0),
        ("  Backhoe 15", 0),
        ("Paver 8", None),
    ):
        assert find(rows, "Machine", asked) == place


@pytest.mark.parametrize("typed", [" 1106", "1106 ", 1106])
def test_a_stock_number_with_a_space_is_found(typed: object) -> None:
    rows = lot_rows({5: {"Stock no.": typed}})
    for chosen in ("1106", " 1106", 1106.0):
        hauling = Hauling(machines.demo_rows(), trucks.demo_rows(), (chosen, *CHOICES[1:]))  # type: ignore[arg-type]
        assert worked_out(rows, hauling, US)["verdict"] == YES


def test_an_option_below_0_or_true_is_refused() -> None:
    options = [("Spare tire", 120, "yard"), ("Lift", -4_000, "maker"), ("Plate", True, "yard")]
    row = {**demo_yard.trailers()[5], "Scale weight (lb)": None}
    for named, said_of_it in (("Lift", "one is below 0"), ("Spare tire", "one is below 0")):
        (found,) = lot_results([{**row, "Options": named}], options, US)
        assert said_of_it in str(found["Entry check"])
        assert found["Empty weight (lb)"] == ""
    (found,) = lot_results([{**row, "Options": "Plate"}], [options[0], options[2]], US)
    assert "with a weight): Plate" in str(found["Entry check"])
    assert found["Empty weight (lb)"] == ""


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("entries") / "demo.xlsx"
    hauling = Hauling([*machines.demo_rows()], [*trucks.demo_rows()], CHOICES)
    workbook.write(path, demo_yard.trailers(), demo_yard.options(), US, hauling=hauling, match_choices=CHOICES[1:])
    return path


READ = [f"What-if!{cell.replace('$', '')}" for cell in (SUMMARY, WORDS["missing"][1])] + [CARD_VERDICT]
NOTHING: dict[str, object] = {typed_cell(figure.key): None for figure in FIGURES}


def test_libreoffice_says_the_same(book: Path, office: Office) -> None:
    keys = sorted({key for typed, _ in SLIPS for key in typed})
    rounds: list[dict[str, object]] = [{}]
    for typed, _ in SLIPS:
        rounds.append({f"What-if!{typed_cell(key)}": typed.get(key, "") for key in keys})
    lists = {"Machines!A6": "Backhoe 15"}, {"Machines!A6": "Wheel loader 9", "Lot!A12": "1106"}
    cleared = {f"What-if!{typed_cell(key)}": "" for key in keys}
    found = office.edit_and_read_often(book, [*rounds, {**cleared, **lists[0]}, {**lists[1]}], READ)  # type: ignore[arg-type,list-item]
    assert found[0] == [YES, "nothing", YES]
    for (_, words), (verdict, missing, card) in zip(SLIPS, found[1:], strict=False):
        assert verdict != YES
        assert words in missing
        assert card == verdict
    for words, (verdict, missing, card) in zip(
        ("machine stands twice on Machines", "stock number stands twice"), found[-2:], strict=True
    ):
        assert (verdict, card) == (NOT_SURE, NOT_SURE)
        assert words in missing


def test_ironcalc_says_the_same(book: Path) -> None:
    live = Live(book)
    for typed, words in SLIPS[:9]:
        live.type({**dict.fromkeys(NOTHING), **{typed_cell(key): value for key, value in typed.items()}})
        verdict, missing, card = (live.read(*cell.split("!")) for cell in READ)
        assert verdict == card != YES
        assert words in missing
    assert CHOICE_CELLS[TRAILER] == "$B$5"


def test_the_command_says_it_too(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "twice.xlsx"
    rows = [
        {**row, "Stock no.": "1106" if place == 7 else row["Stock no."]}
        for place, row in enumerate(demo_yard.trailers())
    ]
    workbook.write(path, rows, demo_yard.options(), US, hauling=Hauling([*machines.demo_rows()], [*trucks.demo_rows()]))
    assert main(["match", str(path), "--machine", CHOICES[1], "--truck", CHOICES[2], "--json"]) == 0
    found = [row for row in json.loads(capsys.readouterr().out)["trailers"] if row["stock"] == "1106"]
    assert len(found) == 2
    assert all(row["verdict"] != YES for row in found)
    assert all("stock number stands twice" in str(row) for row in found)


def test_the_card_command_refuses_a_machine_that_stands_twice(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "twice.xlsx"
    listed = [*machines.demo_rows(), {**machines.demo_rows()[0], "Machine": "BACKHOE 15"}]
    workbook.write(path, demo_yard.trailers(), demo_yard.options(), US, hauling=Hauling(listed, [*trucks.demo_rows()]))
    chosen = ["--machine", CHOICES[1], "--truck", CHOICES[2], "--out", str(tmp_path / "none")]
    assert main(["card", str(path), CHOICES[0], *chosen]) == 2
    assert "machine Backhoe 15 stands on Machines 2 times: leave only one of them" in capsys.readouterr().err
    assert not (tmp_path / "none").exists()
