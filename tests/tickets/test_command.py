"""``tarelot tickets``: what it shows, what it fills, and what it leaves alone and why."""

from __future__ import annotations

import json
import shutil
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from tarelot.workbook_templates import workbook
from tarelot.workbook_templates.basis.units import METRIC, US
from tarelot.workbook_templates.lot.reading import read_lot
from tarelot.workbook_templates.updates.tickets import WEIGHT_ONLY
from tests.command_line.running import in_terminal, shown, tarelot
from tests.engines.office import Office
from tests.tickets.weighings import ALONE, BESIDE, IN_KILOGRAMS, PUBLISHED, SLACK, TIGHT, lot_rows, ticket_rows, tickets

NAMES = {"verdict": "ticket", "between": "tickets_disagree", "against": "lot_and_ratings"}
FIGURES = ("weight", "pin", "pin_share", "axle_load", "load_aboard")


@pytest.fixture
def demo(demo_workbook: Path, tmp_path: Path) -> Path:
    return Path(shutil.copy(demo_workbook, tmp_path / "lot.xlsx"))


def weighed(path: Path, *rows: dict[str, Any]) -> Path:
    """A lot with weighings, each of a row of the sheet from row 5 on."""
    workbook.write(path, lot_rows(US), [], US, tickets=ticket_rows(list(rows), US))
    return path


def data(*arguments: str | Path) -> dict[str, Any]:
    done = tarelot("tickets", *arguments, "--json")
    assert done.stderr == ""
    return dict(json.loads(done.stdout))


def filled(path: Path) -> dict[str, tuple[object, object]]:
    """Scale weight and empty pin of each trailer that has one."""
    rows = [row.values for row in read_lot(path).rows]
    return {
        str(row["Stock no."]).removesuffix(".0"): (row["Scale weight (lb)"], row["Empty pin (lb)"])
        for row in rows
        if row["Scale weight (lb)"] or row["Empty pin (lb)"]
    }


def test_published_weighings(tmp_path: Path) -> None:
    path = weighed(tmp_path / "lot.xlsx", *(dict(entries) for _, entries, _ in PUBLISHED))
    found = data(path)["weighings"]
    assert len(found) == len(PUBLISHED)
    for one, (name, _, wanted) in zip(found, PUBLISHED, strict=True):
        for key in wanted.keys() & {*FIGURES}:
            expected = None if wanted[key] == "" else pytest.approx(wanted[key], abs=1e-6)
            assert one[key] == expected, name
        for key in wanted.keys() & {"cautions", *NAMES}:
            assert one[NAMES.get(key, key)] == wanted[key], name


def test_kilograms(tmp_path: Path) -> None:
    path = tmp_path / "lot.xlsx"
    workbook.write(path, lot_rows(METRIC), [], METRIC, tickets=ticket_rows([IN_KILOGRAMS[0]], METRIC))
    [one] = data(path)["weighings"]
    assert (one["weight"], one["pin"], one["axle_load"]) == (6_400, 1_250, 5_150)
    assert "Weight kg" in tarelot("tickets", path).stdout


def test_every_weighing_beside_a_limit(tmp_path: Path) -> None:
    rows = [(name, dict(entries), wanted) for name, entries, wanted in BESIDE if entries]
    path = weighed(tmp_path / "lot.xlsx", *(entries for _, entries, _ in rows))
    for one, (name, _, wanted) in zip(data(path)["weighings"], rows, strict=True):
        for key in wanted.keys() & {"entry_check", *NAMES}:
            assert one[NAMES.get(key, key)] == wanted[key], name


def test_shows_the_demos(demo: Path) -> None:
    done = tarelot("tickets", demo)
    assert done.returncode == 1  # one disagrees: 6,440 alone, 15,000 + 5,600 - 13,700 = 6,900 hitched
    said = " ".join(done.stdout.replace("│", " ").split())
    assert "Trailer alone 460 lb less than the hitched tickets say" in said
    assert "6 weighings, 1 of them to be looked at." in said
    assert "Weigh on a certified scale." in said
    assert data(demo)["weighings"][1]["date"] == "2026-02-24"


def test_a_lot_whose_tickets_agree_ends_well(tmp_path: Path) -> None:
    path = weighed(tmp_path / "lot.xlsx", tickets(ALONE, SLACK))
    assert tarelot("tickets", path).returncode == 0


def test_fills_after_a_question_and_undo_takes_it_back(demo: Path) -> None:
    before = demo.read_bytes()
    status, sent = in_terminal("tickets", demo, "--use", columns=120, typed=b"n\n")
    assert (status, demo.read_bytes()) == (1, before)
    lines = " ".join(shown(sent))
    assert "Scale weight (lb) 5960 -> 5980" in lines
    assert "Nothing was written." in lines
    status, sent = in_terminal("tickets", demo, "--use", columns=120, typed=b"y\n")
    assert status == 1
    # 1105 the trailer alone; else hitched + axles - truck alone: see test_menu.py, which wants the same
    assert filled(demo)["1105"] == (5_980, 780)
    assert filled(demo)["1103"] == (3_900, 480)  # tight bars: the pin stays
    assert filled(demo)["1106"] == (7_100, 920)
    assert filled(demo)["1107"] == (None, 830)  # its tickets disagree
    assert filled(demo)["1110"] == (7_560, 1_740)
    assert "tarelot undo" in " ".join(shown(sent))
    assert tarelot("undo", demo).returncode == 0
    assert demo.read_bytes() == before


def test_the_second_time_there_is_nothing_to_write(demo: Path) -> None:
    assert tarelot("tickets", demo, "--use", "--yes").returncode == 1
    after = demo.read_bytes()
    done = tarelot("tickets", demo, "--use", "--yes")
    assert "0 changed, 4 same" in done.stdout
    assert demo.read_bytes() == after


def test_what_is_not_used_says_why(tmp_path: Path) -> None:
    path = weighed(
        tmp_path / "lot.xlsx",
        tickets(ALONE, SLACK, date=date(2026, 3, 1)),
        tickets(ALONE, TIGHT, bars="tight", date=date(2026, 3, 2)),  # row 6: the latest of A1
        tickets(ALONE, SLACK, load="loaded", date=date(2026, 3, 3)),
        tickets(ALONE, SLACK, stock="A2", date=date(2026, 3, 1)),
        tickets(ALONE, SLACK, stock="A2", trailer_alone=2_561),  # no day
        tickets(ALONE, SLACK, stock="A2", trailer_alone=2_561, date=date(2026, 3, 1)),  # row 10: the later row
        tickets(ALONE, SLACK, stock="nowhere"),
        tickets(ALONE, SLACK, stock="twice"),
        {"stock": "1107", "load": "empty", "trailer_alone": 2_420},
        {"stock": "1107", "trailer_alone": 2_420},
    )
    found = data(path, "--use", "--yes")
    assert {int(row): why for row, why in found["left"].items()} == {
        5: "older than the weighing in row 6",
        6: "fills the weight only: the bars were tight and hide a part of the pin",
        7: "of a loaded trailer: it tells no empty weight",
        8: "which weighing is the latest is not known: row 9 has no date that can be read",
        9: "which weighing is the latest is not known: row 9 has no date that can be read",
        10: "which weighing is the latest is not known: row 9 has no date that can be read",
        11: "look at its entries: stock no. nowhere is not on the Lot",
        12: "look at its entries: stock no. twice stands on the Lot twice",
        13: "fills the weight only: it lacks pin: Hitched trailer axles; or Pin on a scale",
        14: "lacks empty or loaded; pin: Hitched trailer axles; or Pin on a scale",
    }
    # A2 keeps its 2,400: no older weighing stands in for the latest
    assert filled(path) == {"A1": (pytest.approx(2_399.9), 440), "A2": (2_400, None), "1107": (2_420, None)}


def test_a_weighing_of_a_day_to_come_is_refused_and_the_next_older_one_used(tmp_path: Path) -> None:
    """The day after today, and a mistyped year, beside a true one; today counts."""
    today = date.today()
    path = weighed(
        tmp_path / "lot.xlsx",
        {"stock": "A2", "load": "empty", "trailer_alone": 2_500, "date": date(2119, 1, 11)},
        {"stock": "A2", "load": "empty", "trailer_alone": 2_410, "date": today},
        {"stock": "A2", "load": "empty", "trailer_alone": 2_500, "date": today + timedelta(days=1)},
        {"stock": "A2", "load": "empty", "trailer_alone": 2_500, "date": date(2026, 1, 1)},
    )
    found = data(path, "--use", "--yes")
    assert found["left"] == {
        "5": f"its date 2119-01-11 is after today, {today}: correct it",
        "6": "fills the weight only: it lacks pin: Hitched trailer axles; or Pin on a scale",
        "7": f"its date {today + timedelta(days=1)} is after today, {today}: correct it",
        "8": "older than the weighing in row 6",
    }
    assert filled(path)["A2"] == (2_410, None)
    assert "row 5 of Tickets is not used: its date 2119-01-11 is after today" in " ".join(found["use"]["notes"])


def test_of_two_weighings_of_a_day_the_lower_row_is_used(tmp_path: Path) -> None:
    one = {"stock": "A2", "load": "empty", "date": date(2026, 3, 1)}
    path = weighed(tmp_path / "lot.xlsx", {**one, "trailer_alone": 2_420}, {**one, "trailer_alone": 2_410})
    assert data(path, "--use", "--yes")["left"]["5"] == "of the same day as row 6: the lower row is used"
    assert filled(path)["A2"] == (2_410, None)


def test_a_large_change_is_marked_in_the_list_of_changes(tmp_path: Path) -> None:
    """A1 has a pin of 440 on the Lot, 240 lb less than 680; 641 lies 201 apart, 640 no more than the limit of 200."""
    entries = {"stock": "A1", "load": "empty", "trailer_alone": 2_400}
    path = weighed(tmp_path / "far.xlsx", {**entries, "pin_scale": 680})
    said = " ".join(tarelot("tickets", path, "--use", "--dry-run").stdout.replace("│", " ").split())
    assert "Empty pin (lb) 440 -> 680 ▲ pin 240 lb more than Empty pin on the Lot" in said
    path = weighed(tmp_path / "near.xlsx", {**entries, "pin_scale": 640})
    said = " ".join(tarelot("tickets", path, "--use", "--dry-run").stdout.replace("│", " ").split())
    assert "Empty pin (lb) 440 -> 640" in said
    assert "▲" not in said


@pytest.mark.parametrize(("weight", "is_used"), [(2_159, False), (2_161, True), (2_639, True), (2_641, False)])
def test_a_weighing_far_from_the_lots_weight_is_left_to_a_person(tmp_path: Path, weight: int, is_used: bool) -> None:
    """A2 has 2,400 lb on the Lot: 10 % of it are 240 lb."""
    row = {"stock": "A2", "load": "empty", "trailer_alone": weight, "date": date(2026, 3, 1)}
    path = weighed(tmp_path / "far.xlsx", row)
    found = data(path, "--use", "--yes")
    assert found["left"]["5"].startswith(WEIGHT_ONLY if is_used else "too far from the Lot's 2,400: 241 lb ")
    assert filled(path)["A2"] == (weight if is_used else 2_400, None)


def test_a_dry_run_writes_nothing(demo: Path) -> None:
    before = demo.read_bytes()
    assert "this was a dry run" in tarelot("tickets", demo, "--use", "--dry-run").stdout
    assert demo.read_bytes() == before


@pytest.mark.parametrize(
    ("options", "said"),
    [(["--use", "--json"], "--json asks nothing"), (["--yes"], "say --use too"), (["--dry-run"], "say --use too")],
)
def test_options_that_do_not_go_together(demo: Path, options: list[str], said: str) -> None:
    done = tarelot("tickets", demo, *options)
    assert (done.returncode, done.stdout) == (2, "")
    assert said in done.stderr
    assert "Nothing was changed." in done.stderr


def test_a_lot_of_an_older_form(tmp_path: Path) -> None:
    old = Path(__file__).parents[1] / "lots" / "1" / "tarelot-demo.xlsx"
    path = Path(shutil.copy(old, tmp_path / "lot.xlsx"))
    done = tarelot("tickets", path)
    assert done.returncode == 2
    assert "no table named Tickets" in done.stderr
    assert tarelot("update", path, "--yes").returncode == 0
    assert "0 weighings" in tarelot("tickets", path).stdout


def test_imports_beside_it_as_before(demo: Path, demo_folder: Path) -> None:
    """A list goes into the Lot alone; a lot given as a list is asked which sheet is meant, Tickets among them."""
    prices = shutil.copy(demo_folder / "price-list.csv", demo.parent)
    assert tarelot("import", demo, prices, "--yes").returncode == 1
    book = openpyxl.load_workbook(demo)
    assert book["Tickets"]["B6"].value == "1105"
    done = tarelot("import", demo, demo_folder / "tarelot-demo.xlsx", "--dry-run")
    assert done.returncode == 2
    assert "more than one sheet with a list" in done.stderr


def test_stored_results_after_use_are_libreoffices(demo: Path, office: Office, tmp_path: Path) -> None:
    """The Lot's own, stored by the command; Tickets' are taken away, for any program to calculate."""
    assert tarelot("tickets", demo, "--use", "--yes").returncode == 1
    grid = office.recalculate(demo)
    book = openpyxl.load_workbook(demo, data_only=True)
    headings = [cell.value for cell in book["Lot"][4]]
    at = headings.index("Empty weight (lb)")
    assert [row[at] for row in grid["Lot"][4:28]] == [row[at].value or "" for row in book["Lot"].iter_rows(5, 28)]
    assert grid["Tickets"][5][headings_of(book)["Scale weight on Lot (lb)"]] == 5_980


def headings_of(book: openpyxl.Workbook) -> dict[str, int]:
    return {str(cell.value): place for place, cell in enumerate(book["Tickets"][4])}
