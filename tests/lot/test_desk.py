"""What a person does at the desk with a lot, in a real LibreOffice: each of these once went wrong.

Rows inserted, sorted, filtered and typed below a table stand in test_rows_outside.py, results typed over and headings
gone in test_upkeep.py, the order of Match in tests/hauling/test_match_order.py, pictures that say what the words say in
tests/hauling/test_words_and_picture.py, decimal commas in tests/engines/test_locales.py.
"""

from __future__ import annotations

import re
from pathlib import Path

import openpyxl
import pytest

from tarelot.workbook_templates import workbook
from tarelot.workbook_templates.basis.units import US
from tests.engines.office import Office


@pytest.fixture(scope="module")
def lot(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("desk") / "lot.xlsx"
    workbook.write(path, [{}, {}, {}, {}], [("Spare tire", 60.0, "yard"), (None, None)], US)
    return path


def letters(path: Path) -> dict[str, str]:
    return {str(cell.value): cell.column_letter for cell in openpyxl.load_workbook(path)["Lot"][4]}


def test_a_stock_number_alone_is_not_called_free_of_conflicts(lot: Path, office: Office) -> None:
    said = office.edit_and_read(lot, {"Lot!A5": "1101"}, [f"Lot!{letters(lot)['Conflicts']}5"])[0]
    assert re.fullmatch(r"\? \d+ not checked", str(said))


def test_a_stock_number_as_a_text_and_as_a_number_is_the_same(lot: Path, office: Office) -> None:
    at = letters(lot)
    reads = [f"Lot!{at['Duplicate']}{row}" for row in (5, 6, 7)]
    found = office.edit_and_read(lot, {"Lot!A5": "1101", "Lot!A6": 1101.0, "Lot!A7": "1102"}, reads)
    assert found[:2] == ["stock number", "stock number"]
    assert "stock number" not in str(found[2])


@pytest.mark.parametrize("last_choice", ["Match!C7", "Trailer!B4"])
def test_enter_behind_the_last_choice_leads_to_an_empty_cell(lot: Path, last_choice: str) -> None:
    sheet, cell = last_choice.split("!")
    below = openpyxl.load_workbook(lot)[sheet][cell].offset(1, 0)
    assert below.value is None


@pytest.mark.parametrize(("sheet", "below"), [("What-if", "B8:B12"), ("Compare", "B8")])
def test_where_enter_leads_to_a_result_nothing_that_is_typed_is_taken(lot: Path, sheet: str, below: str) -> None:
    page = openpyxl.load_workbook(lot)[sheet]
    results = [cell for row in page[below] for cell in row] if ":" in below else [page[below]]
    for cell in results:
        assert cell.data_type == "f"
        (rule,) = (one for one in page.data_validations.dataValidation if cell.coordinate in one.sqref)
        assert (rule.type, rule.formula1, rule.errorStyle, rule.showErrorMessage) == ("custom", "FALSE", "stop", True)
