"""An update gives an older lot the column of prices and the Quote, and keeps what is typed on a Quote."""

from __future__ import annotations

from pathlib import Path

import openpyxl
import pytest

from tests.engines import stored_results
from tests.engines.office import Office
from tests.updates.updated_lots import LOTS, updated


def test_an_older_lot_gets_the_column_of_prices_and_the_quote(tmp_path: Path) -> None:
    """What-if shows 1108 there: 19,950, with two options, whose prices nobody stated yet."""
    lot = updated(LOTS / "tarelot-demo.xlsx", tmp_path / "lot.xlsx")
    book = openpyxl.load_workbook(lot, data_only=True)
    page = book["Options"]
    headings = ["Option", "Weight (lb)", "Fitted by", "Price", "Center behind coupler (ft)"]
    assert [cell.value for cell in page[4]][:5] == headings
    assert page.tables["Options"].ref.startswith("A4:E")
    assert {cell.value for cell in page["D"][4:]} == {None}
    assert any("D5" in rule.sqref for rule in page.data_validations.dataValidation)
    assert book.sheetnames.index("Quote") == book.sheetnames.index("Card") + 1
    assert book["Quote"]["D28"].value == "from 19,950, 2 prices not stated"
    assert stored_results.differing_in_ironcalc(lot, "Quote") == []


def test_what_is_typed_on_a_quote_stays_and_counts(demo_workbook: Path, tmp_path: Path, office: Office) -> None:
    """1105 with a typed price: 12,000 + 1,350 for its options - 2,000; the formulas were lost."""
    typed = {"H11": "1105", "H14": "as long as it stands here", "H15": 12_000, "H16": "Trade-in", "H17": -2_000}
    book = openpyxl.load_workbook(demo_workbook)
    for cell, content in typed.items():
        book["Quote"][cell] = content
    for line in book["Quote"].iter_rows(min_row=4):  # its formulas
        for cell in line:
            if cell.data_type == "f":
                cell.value = None
    lot = tmp_path / "lot.xlsx"
    book.save(lot)
    after = openpyxl.load_workbook(updated(lot, tmp_path / "new.xlsx"), data_only=True)["Quote"]
    assert {cell: after[cell].value for cell in typed} == typed
    beside = {cell: after[cell].value for cell in (f"H{row}" for row in range(18, 40)) if after[cell].value is not None}
    # 120 x (1 - 4 / 18.3) of the spare tire and 60 x (1 - 7.5 / 18.3) of the winch plate; the ramps have no place
    assert beside == {"H24": pytest.approx(129.18, abs=0.005), "H25": "from 2 of 3 options"}
    assert after["D28"].value == 11_350
    assert (after["B1"].value, after["D4"].value) == ("Ostrel Flats Trailer Yard", "$11,350")
    page = openpyxl.load_workbook(tmp_path / "new.xlsx", data_only=True)["Card"]
    assert page["B1"].value == "Ostrel Flats Trailer Yard"
    assert stored_results.differing_in_libreoffice(tmp_path / "new.xlsx", "Quote", office) == []
