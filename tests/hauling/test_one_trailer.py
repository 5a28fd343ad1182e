"""The Trailer sheet shows of one trailer what stands on the Lot, in two engines."""

from __future__ import annotations

from pathlib import Path

import openpyxl
import pytest

from tarelot.workbook_templates import workbook
from tarelot.workbook_templates.basis.units import US
from tarelot.workbook_templates.hauling import one_trailer
from tarelot.workbook_templates.lot.column import HELPERS
from tarelot.workbook_templates.lot.columns import COLUMNS
from tests.engines.office import Office
from tests.engines.stored_results import differing_in_ironcalc, differing_in_libreoffice
from tests.hauling.what_if_live import Live

CHOICE = "Trailer!B4"


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("trailer") / "demo.xlsx"
    workbook.write_demo(path)
    return path


def test_stored_results_equal_both_engines(demo: Path, office: Office) -> None:
    assert differing_in_libreoffice(demo, one_trailer.SHEET, office) == []
    assert differing_in_ironcalc(demo, one_trailer.SHEET) == []


def test_every_column_of_the_lot_but_parts_of_checks_stands_there() -> None:
    shown = {*one_trailer.lines(), *one_trailer.IN_WORDS, "stock"}
    assert {column.key for column in COLUMNS if column.group != HELPERS} <= shown


@pytest.mark.parametrize("place", [0, 12, 23])
def test_it_shows_the_row_that_is_chosen(demo: Path, office: Office, place: int) -> None:
    """Against the Lot's own row, cell by cell. The last trailer has the stock number of another: the first is shown."""
    row = 5 + place
    headings = {str(cell.value): cell.column_letter for cell in openpyxl.load_workbook(demo)["Lot"][4]}
    columns = [c for c in COLUMNS if c.key in one_trailer.lines() or c.key in one_trailer.IN_WORDS]
    on_lot = [f"Lot!{headings[US.heading(column.heading)]}{row}" for column in columns]
    here = [f"Trailer!{one_trailer.cells()[column.key].replace('$', '')}" for column in columns]
    stock = str(openpyxl.load_workbook(demo)["Lot"][f"A{row}"].value)
    found = office.edit_and_read(demo, {CHOICE: stock}, [*on_lot, *here])
    same = found[: len(columns)] == found[len(columns) :]
    assert same == (place != 23)
    assert len(columns) > 80


def test_a_choice_that_is_not_there_is_said(demo: Path, office: Office) -> None:
    reads = ["Trailer!C4", "Trailer!B13"]
    assert office.edit_and_read(demo, {CHOICE: "9999"}, reads) == ["▲ not on the Lot sheet", ""]
    twice = office.edit_and_read(demo, {CHOICE: "1120"}, reads)
    assert twice == ["▲ stands on the Lot twice: this is the first", "Brenmoor"]
    assert office.edit_and_read(demo, {"What-if!B5": ""}, reads) == ["choose a stock number", ""]
    live = Live(demo)
    live.set("What-if", "B5", "1103")
    live.model.evaluate()
    assert live.read("Trailer", "C4") == "as on What-if: 1103"
