"""``tarelot update`` brings the Tickets sheet into an older lot, keeps its rows, and mends it."""

from __future__ import annotations

import shutil
from pathlib import Path

import openpyxl
import pytest

from tarelot.workbook_templates import workbook
from tarelot.workbook_templates.updates.form.plan import carry_out, planned
from tests.engines.office import Office
from tests.engines.stored_results import differing_in_libreoffice
from tests.updates.updated_lots import LOTS, updated


def test_an_older_lot_gets_the_sheet_in_its_place(tmp_path: Path) -> None:
    lot = updated(LOTS / "demo-customized.xlsx", tmp_path / "lot.xlsx")
    book = openpyxl.load_workbook(lot)
    names = book.sheetnames
    assert names.index("Tickets") == names.index("Quote") + 1
    assert book["Tickets"].tables["Tickets"].ref.startswith("A4:")
    assert len(book["Tickets"].data_validations.dataValidation) >= 11


def test_its_stored_results_are_libreoffices(tmp_path: Path, office: Office) -> None:
    lot = updated(LOTS / "demo-customized.xlsx", tmp_path / "lot.xlsx")
    book = openpyxl.load_workbook(lot)
    page = book["Tickets"]
    page["B5"], page["C5"], page["J5"] = "1105", "empty", 5_980
    book.save(tmp_path / "typed.xlsx")
    shown = office.recalculate(tmp_path / "typed.xlsx")["Tickets"][4]
    assert shown[12] == 5_980
    assert shown[11] == "? pin: Hitched trailer axles; or Pin on a scale"
    assert differing_in_libreoffice(lot, "Tickets", office) == []


def test_a_stock_number_may_be_typed_as_a_number_or_a_text(demo_workbook: Path) -> None:
    """LibreOffice's window refuses 1101 typed as a number where the Lot has it as a text, and the reverse (seen on
    25.2): so it is typed as a text, and where the Lot has a number, the person is asked and not refused."""
    page = openpyxl.load_workbook(demo_workbook)["Tickets"]
    [rule] = [rule for rule in page.data_validations.dataValidation if "B5" in str(rule.sqref)]
    assert (rule.type, rule.errorStyle, bool(rule.showErrorMessage)) == ("list", "information", True)
    assert page["B11"].number_format == "@"


@pytest.fixture
def demo(demo_workbook: Path, tmp_path: Path) -> Path:
    return Path(shutil.copy(demo_workbook, tmp_path / "lot.xlsx"))


def test_a_lot_of_today_needs_nothing(demo: Path) -> None:
    with planned(demo, workbook.write) as plan:
        assert not plan.is_needed


def test_a_result_typed_over_is_put_back_and_rows_stay(demo: Path) -> None:
    book = openpyxl.load_workbook(demo)
    page = book["Tickets"]
    formula = page["M6"].value
    page["M6"], page["K7"], page["A12"] = 9_999, 480, None
    page["B11"] = "1101"
    book.save(demo)
    with planned(demo, workbook.write) as plan:
        assert "Tickets!M6" in [one.place for one in plan.overwritten]
        assert carry_out(plan) is not None
    after = openpyxl.load_workbook(demo)["Tickets"]
    assert after["M6"].value == formula
    assert (after["K7"].value, after["B11"].value, after["B6"].value) == (480, "1101", "1105")
    assert openpyxl.load_workbook(demo, data_only=True)["Tickets"]["N7"].value == 480


def test_a_sheet_that_is_gone_comes_back_empty(demo: Path) -> None:
    book = openpyxl.load_workbook(demo)
    del book["Tickets"]
    book.save(demo)
    with planned(demo, workbook.write) as plan:
        assert carry_out(plan) is not None
    page = openpyxl.load_workbook(demo)["Tickets"]
    assert page.tables["Tickets"].ref.startswith("A4:")
    assert page["B5"].value is None
