"""Which trailers Match shows and in what order: blank rows last, whatever is chosen, and nothing stays hidden.

Expected orders come from Python's own sorting of what the sheet shows in the Lot's order.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import openpyxl
import pytest

from tarelot.calc.rules.hauling_rule import NO, NOT_SURE, YES
from tarelot.workbook_templates import workbook
from tarelot.workbook_templates.basis.units import US
from tarelot.workbook_templates.hauling.match import columns as match
from tarelot.workbook_templates.hauling.match import order
from tarelot.workbook_templates.hauling.results import Hauling
from tarelot.workbook_templates.sheets import demo_yard, machines, trucks
from tests.engines.office import Office
from tests.hauling.what_if_live import Live

SHOW, ORDER = "C6", "C7"
ROWS = 50
"""Rows of the demo's Match: 24 trailers, the Lot's 6 rows to fill, and 20 more."""
Row = dict[str, object]


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo with a gap on its Lot, a sold trailer that carries the machine, and one without a price."""
    path = tmp_path_factory.mktemp("order") / "demo.xlsx"
    trailers: list[Row] = [dict(row) for row in demo_yard.trailers()]
    trailers[8]["Status"] = "sold"
    trailers[3]["Price"] = None
    trailers.insert(5, {})
    hauling = Hauling(machines.demo_rows(), trucks.demo_rows(), ("1108", "Excavator 14", "Tandem dump 58"))
    choices = ("Backhoe 15", "Tandem dump 58")
    rows = [*trailers, *[{}] * 5]
    workbook.write(path, rows, demo_yard.options(), US, hauling=hauling, match_choices=choices)
    return path


def cells(*keys: str) -> list[str]:
    letters = [match.LETTERS[match.shown(key)] for key in keys]
    return [f"{letter}{row}" for row in range(match.FIRST_ROW, match.FIRST_ROW + ROWS) for letter in letters]


KEYS = ("line", "stock", "status", "word", "spare")


def in_libreoffice(office: Office, path: Path, **edits: str) -> list[Row]:
    reads = [f"Match!{cell}" for cell in cells(*KEYS)]
    found = office.edit_and_read(path, {f"Match!{cell}": text for cell, text in edits.items()}, reads)
    return [dict(zip(KEYS, found[at : at + len(KEYS)], strict=True)) for at in range(0, len(found), len(KEYS))]


def in_ironcalc(path: Path, **edits: str) -> list[Row]:
    live = Live(path)
    for cell, text in edits.items():
        live.set("Match", cell, text)
    live.model.evaluate()
    found = [live.read("Match", cell) for cell in cells(*KEYS)]
    return [dict(zip(KEYS, found[at : at + len(KEYS)], strict=True)) for at in range(0, len(found), len(KEYS))]


def spare(row: Row) -> float:
    return row["spare"] if isinstance(row["spare"], float) else 0.0


def last_without(sign: int) -> Callable[[Row], object]:
    return lambda row: sign * spare(row) if isinstance(row["spare"], float) else float("inf")


SORTED: dict[str, Callable[[Row], object]] = {
    order.AS_ON_THE_LOT: lambda row: row["line"],
    order.BEST: lambda row: ([YES, NOT_SURE, NO].index(str(row["word"])), -spare(row)),
    order.MOST: last_without(-1),
    order.LEAST: last_without(1),
    order.CHEAPEST: lambda row: PRICES[int(str(row["line"]).partition(".")[0])] or float("inf"),
}
PRICES: dict[int, float] = {}


@pytest.fixture(scope="module")
def plain(demo: Path, office: Office) -> list[Row]:
    """Every trailer in the Lot's order."""
    for line, row in enumerate(demo_yard.trailers(), 1):
        price = row.get("Price")
        PRICES[line if line <= 5 else line + 1] = float(str(price)) if price is not None and line != 4 else 0.0
    return in_libreoffice(office, demo)


def test_without_a_choice_they_stand_as_on_the_lot_without_its_gap(plain: list[Row]) -> None:
    lines = [row["line"] for row in plain]
    assert lines == [*map(float, [1, 2, 3, 4, 5, *range(7, 26)]), *[""] * 26]
    assert {row["word"] for row in plain[:24]} == {YES, NO, NOT_SURE}


@pytest.mark.parametrize("chosen", order.ORDERS)
def test_each_order_puts_blank_rows_last(demo: Path, office: Office, plain: list[Row], chosen: str) -> None:
    expected = sorted(plain[:24], key=SORTED[chosen])  # type: ignore[arg-type]
    for found in (in_libreoffice(office, demo, C7=chosen), in_ironcalc(demo, C7=chosen)):
        assert found[:24] == expected
        assert all(set(row.values()) == {""} for row in found[24:])


@pytest.mark.parametrize(
    ("chosen", "kept"),
    [
        ("all", lambda row: True),
        ("not sold", lambda row: row["status"] != "sold"),
        ("YES", lambda row: row["word"] == YES),
        ("YES and not sold", lambda row: row["word"] == YES and row["status"] != "sold"),
        ("YES or NOT SURE", lambda row: row["word"] in (YES, NOT_SURE)),
        ("NO", lambda row: row["word"] == NO),
    ],
)
def test_each_choice_of_trailers(
    demo: Path, office: Office, plain: list[Row], chosen: str, kept: Callable[[Row], bool]
) -> None:
    expected = [row for row in plain[:24] if kept(row)]
    assert 0 < len(expected) <= 24
    for found in (in_libreoffice(office, demo, C6=chosen), in_ironcalc(demo, C6=chosen)):
        assert found[: len(expected)] == expected
        assert all(set(row.values()) == {""} for row in found[len(expected) :])


def test_what_is_in_sight_is_said(demo: Path, office: Office, plain: list[Row]) -> None:
    yes = sum(row["word"] == YES for row in plain)
    said = [
        office.edit_and_read(demo, edits, ["Match!E7"])[0]
        for edits in (
            {},
            {"Match!C6": "YES", "Match!C7": order.MOST},
            {"Match!C6": "yse"},
            {"Match!C7": "chepest"},
            {"Match!C6": "=NA()"},
            {"Match!C7": "=1/0"},
        )
    ]
    assert said == [
        "In sight: 24 of 24; as on the Lot.",
        f"In sight: {yes} of 24, YES; most spare weight.",
        "▲ Show: choose from the list",
        "▲ Order: choose from the list",
        "▲ Show and Order: choose from the list",
        "▲ Show and Order: choose from the list",
    ]


@pytest.mark.parametrize("heading", ["Status", "Price", "Stock no."])
def test_an_error_on_the_lot_hides_no_trailer(demo: Path, office: Office, plain: list[Row], heading: str) -> None:
    place = {str(cell.value): cell.column_letter for cell in openpyxl.load_workbook(demo)["Lot"][4]}[heading]
    edits: dict[str, float | str | bool | None] = {f"Lot!{place}6": "=1/0", "Match!C7": order.CHEAPEST}
    found = office.edit_and_read(demo, edits, [f"Match!{cell}" for cell in cells(*KEYS)])
    lines = {value for value in found[:: len(KEYS)] if value != ""}
    assert lines == {row["line"] for row in plain if row["line"] != ""}
    assert not [value for value in found if str(value).startswith(("#", "Err:"))]


def test_another_machine_is_asked_of_every_trailer_again(demo: Path, office: Office) -> None:
    """A program's own filter would go on hiding what it hid for the machine before."""
    heavy = in_libreoffice(office, demo, C4="Excavator 14")
    expected = [row for row in heavy if row["word"] == NO]
    assert len(expected) > 10
    assert in_libreoffice(office, demo, C4="Excavator 14", C6="NO")[: len(expected)] == expected


def test_left_blank_it_follows_what_if(demo: Path, office: Office) -> None:
    typed = in_libreoffice(office, demo, C4="Excavator 14", C5="Tandem dump 58")
    assert in_libreoffice(office, demo, C4="", C5="") == typed
    reads = ["Match!E4", "Match!E5", "Match!E6"]
    blank: dict[str, float | str | bool | None] = {"Match!C4": "", "Match!C5": ""}
    machine, truck, _ = office.edit_and_read(demo, blank, reads)
    assert str(machine).startswith("as on What-if: Excavator 14, ")
    assert str(truck).startswith("as on What-if: Tandem dump 58, ")
    nothing = office.edit_and_read(demo, {**blank, "What-if!B6": "", "What-if!B7": ""}, reads)
    assert nothing == [
        "choose from the list",
        "none chosen: no trailer gets a YES",
        "Choose a machine in the cream cell, and a truck.",
    ]


@pytest.mark.parametrize("chosen", order.ORDERS)
def test_trailers_that_are_alike_are_all_shown_once(tmp_path: Path, office: Office, chosen: str) -> None:
    """LibreOffice takes numbers for the same that differ by 2^-48 of themselves; prices may be anything."""
    alike = [{**demo_yard.trailers()[3], "Stock no.": f"N{number}"} for number in range(6)]
    odd = [
        {**demo_yard.trailers()[5], "Stock no.": f"P{n}", "Price": 5_551_234_567.0 if n < 3 else 1e300}
        for n in range(6)
    ]
    path = tmp_path / "lot.xlsx"
    hauling = Hauling(machines.demo_rows(), trucks.demo_rows(), (None, "Backhoe 15", "Tandem dump 58"))
    workbook.write(path, [*alike, *odd, *demo_yard.trailers()], demo_yard.options(), US, hauling=hauling)
    for found in (in_libreoffice(office, path, C7=chosen), in_ironcalc(path, C7=chosen)):
        assert sorted(str(row["stock"]) for row in found if row["stock"] != "") == sorted(
            str(row["Stock no."]) for row in [*alike, *odd, *demo_yard.trailers()]
        )
