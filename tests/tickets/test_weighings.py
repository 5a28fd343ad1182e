"""What each weighing comes to: published cases, hand calculations on both sides of each limit, in four calculations.

Ours, and LibreOffice, IronCalc and Gnumeric over the formulas of the sheet.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import openpyxl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tarelot.calc.errors import OutOfRange
from tarelot.calc.rules.limits import BY_KEY
from tarelot.calc.rules.weighing.figures import WEIGHTS
from tarelot.calc.tickets import ticket_pin, ticket_trailer
from tarelot.workbook_templates import workbook
from tarelot.workbook_templates.basis.units import METRIC, US, Units
from tarelot.workbook_templates.lot.results import lot_results
from tarelot.workbook_templates.sheets.tickets.columns import SHEET
from tarelot.workbook_templates.sheets.tickets.results import expressions, result_formulas, ticket_results
from tests.engines import gnumeric
from tests.engines.office import Office
from tests.engines.stored_results import differing_in_ironcalc, differing_in_libreoffice, same, stored
from tests.tickets.weighings import BESIDE, IN_KILOGRAMS, PUBLISHED, ROWS, Entries, lot_rows, ticket_rows, tickets

TYPED = (*WEIGHTS, "date", "stock", "load", "bars")
SPOILED = [
    {**tickets((3_000, 3_000), (2_900, 3_500, 4_000), trailer_alone=4_400, pin_scale=400), key: value}
    for key in TYPED
    for value in ("x", " ", -5, 0)
]
"""Weighings of which one entry is not what belongs there."""
LONGEST = 4_000
"""Characters that a formula of ours may have, by the design."""


def results(rows: list[Entries], units: Units = US) -> list[dict[str, Any]]:
    typed = lot_rows(units)
    filled = [{**row, **result} for row, result in zip(typed, lot_results(typed, (), units), strict=True)]
    return ticket_results(ticket_rows(rows, units), filled, units)


def check(found: dict[str, Any], wanted: dict[str, Any]) -> None:
    for key, value in wanted.items():
        assert found[key] == (value if isinstance(value, str) else pytest.approx(value, abs=1e-6)), key


@pytest.mark.parametrize(("entries", "wanted"), [row[1:] for row in ROWS], ids=[row[0] for row in ROWS])
def test_a_weighing(entries: Entries, wanted: dict[str, Any]) -> None:
    [found] = results([entries])
    check(found, wanted)


def test_kilograms() -> None:
    [found] = results([IN_KILOGRAMS[0]], METRIC)
    check(found, IN_KILOGRAMS[1])


def test_no_result_is_ever_an_error() -> None:
    strange = ["", " ", "x", "#VALUE!", "#N/A", True, False, -5, 0, 1e12, None]
    rows = [{**tickets((1, 2), (3, 4, 5)), key: value} for key in TYPED for value in strange]
    for row, found in zip(rows, results(rows), strict=True):
        assert not [value for value in found.values() if str(value).startswith("#")], row


POUNDS = st.floats(200, 40_000).map(lambda weight: round(weight, 1))


@given(st.tuples(POUNDS, POUNDS), st.tuples(POUNDS, POUNDS, POUNDS), st.none() | POUNDS)
def test_the_same_relations_as_the_worksheet_functions(
    alone: tuple[float, float], hitched: tuple[float, float, float], apart: float | None
) -> None:
    """LOT_TICKET_TRAILER and LOT_TICKET_PIN, which published weighings prove in ``tests/validation``."""
    [found] = results([tickets(alone, hitched, trailer_alone=apart)])
    truck, rig = sum(alone), sum(hitched[:2])
    assert found["by_pin"] == pytest.approx(ticket_pin(truck, rig, hitched[2], apart), abs=1e-6)
    try:
        wanted = ticket_trailer(truck, rig, hitched[2])
    except OutOfRange:
        wanted = 0
    assert found["by_tickets"] == pytest.approx(wanted, abs=1e-6)


def test_limits_are_those_of_these_rows() -> None:
    ours = {key: limit.value for key, limit in BY_KEY.items() if "ticket" in key}
    assert ours == {"ticket_apart": 160, "ticket_lot": 200} | {
        **{"plaus_ticket_least": 200, "plaus_ticket_greatest": 150_000, "plaus_ticket_pin_least": 20},
        **{
            "plaus_ticket_pin_greatest": 40_000,
            "plaus_ticket_hitched_least": 0.8,
            "plaus_ticket_hitched_greatest": 2.5,
        },
    }


@pytest.mark.parametrize("units", [US, METRIC], ids=["us", "metric"])
def test_formulas_are_short(units: Units) -> None:
    formulas = result_formulas(units)
    assert formulas.keys() == {units.heading(h) for h in formulas}
    assert max(map(len, formulas.values())) < LONGEST


@pytest.fixture(scope="module", params=[US, METRIC], ids=["us", "metric"])
def book(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A workbook of all these weighings."""
    path = tmp_path_factory.mktemp("tickets") / "tickets.xlsx"
    rows = ticket_rows([*(entries for _, entries, _ in ROWS), *SPOILED], request.param)
    workbook.write(path, lot_rows(request.param), [], request.param, tickets=rows)
    return path


def test_libreoffice(book: Path, office: Office) -> None:
    assert len(stored(book, SHEET)) == (len(ROWS) + len(SPOILED)) * len(expressions(US))
    assert differing_in_libreoffice(book, SHEET, office) == []


def test_ironcalc(book: Path) -> None:
    assert differing_in_ironcalc(book, SHEET) == []


def test_gnumeric(book: Path, tmp_path: Path) -> None:
    grid = gnumeric.recalculated(book, tmp_path)[SHEET]
    cells = stored(book, SHEET)
    differing = []
    for cell, value in cells.items():
        row, column = openpyxl.utils.cell.coordinate_to_tuple(cell)
        here = grid[row - 1]
        if not same(value, here[column - 1] if column <= len(here) else ""):
            differing.append((cell, value, here[column - 1]))
    assert differing == []


def test_these_rows_reach_every_word() -> None:
    """Published ones have bars tight and slack; each column of words says something, and nothing, somewhere."""
    found = results([entries for _, entries, _ in ROWS])
    for key in ("verdict", "between", "against", "cautions", "entry_check", "missing"):
        assert {bool(row[key]) for row in found} == {True, False}, key
    assert {str(entries.get("bars")).lower() for _, entries, _ in PUBLISHED} >= {"tight", "slack"}
    assert len(BESIDE) > 50
