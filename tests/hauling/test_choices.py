"""A trailer, machine or truck is found whether its name is a text or a number, where it stands and where it is chosen.

LibreOffice's window refused 1101 typed as a text where the Lot holds the number (seen on 25.2), so that a choice asks.
It refused without a word, too, what a list lacks where the list's rule shows no words at all (seen on 25.2): "Plate
compactor", typed as an item also aboard, was gone.
"""

from __future__ import annotations

from itertools import combinations
from pathlib import Path

import openpyxl
import pytest

from tarelot.workbook_templates.hauling.what_if import aboard
from tests.engines.office import Office, Value

CHOICES = {
    "What-if": ("B5", "B6", "B7", *aboard.name_cells()),
    "Match": ("C4", "C5"),
    "Compare": ("B7", "C7", "D7", "E7"),
    "Trailer": ("B4",),
    "Quote": ("H11",),
}
"""Where one of another sheet is chosen; Card follows What-if."""


def test_a_name_that_its_sheet_lacks_is_asked_about_and_words_of_our_own_are_refused(demo_workbook: Path) -> None:
    book = openpyxl.load_workbook(demo_workbook)
    for name, cells in CHOICES.items():
        rules = {str(rule.sqref): rule for rule in book[name].data_validations.dataValidation}
        for cell in cells:
            assert (rules[cell].errorStyle, rules[cell].showErrorMessage) == ("information", True), (name, cell)
            assert len(rules[cell].error) <= 225  # what Excel takes, from memory: 255 in the file format, 225 shown
            assert book[name][cell].number_format == "@"
    match = {str(rule.sqref): rule.errorStyle for rule in book["Match"].data_validations.dataValidation}
    assert (match["C6"], match["C7"]) == ("stop", "stop")


def test_a_cell_stands_in_one_entry_rule_that_says_what_it_refuses(demo_workbook: Path) -> None:
    """Excel's window puts one rule on a cell (from memory); of two, LibreOffice takes one."""
    book = openpyxl.load_workbook(demo_workbook)
    for sheet in book.worksheets:
        rules = sheet.data_validations.dataValidation
        areas = [area for rule in rules for area in rule.sqref.ranges]
        twice = [(one, other) for one, other in combinations(areas, 2) if not one.isdisjoint(other)]
        assert twice == [], sheet.title
        assert [rule.sqref for rule in rules if not (rule.showErrorMessage and rule.error)] == [], sheet.title


@pytest.mark.parametrize("stands", [1101.0, "1101"])
@pytest.mark.parametrize("chosen", [1101.0, "1101"])
def test_it_is_found_as_a_number_and_as_a_text(
    demo_workbook: Path, office: Office, stands: Value, chosen: Value
) -> None:
    typed: dict[str, Value] = {"Lot!A5": stands, "Machines!A5": stands, "Trucks!A5": stands}
    typed |= {f"{name}!{cells[0]}": chosen for name, cells in CHOICES.items()}
    item = aboard.name_cells()[0]
    typed |= {"What-if!B6": chosen, "What-if!B7": chosen, "Match!C5": chosen, f"What-if!{item}": chosen}
    said = ["What-if!D5", "What-if!D6", "What-if!D7", "Match!E4", "Match!E5", "Trailer!C4", "Quote!H12"]
    said.append(f"What-if!G{int(item[1:]) + 2}")
    found = office.edit_and_read(demo_workbook, typed, [*said, "Compare!B8", "Compare!B9"])
    assert found[-3] == 6900  # the listed weight of the first machine of demo data, machines.csv
    assert [words for words in found if "▲" in str(words) or "choose" in str(words)] == []
    assert found[-2:] == ["", "Hallowick Carry 7"]  # the first row of the demo's list


def test_a_stock_number_typed_on_the_lot_stays_as_it_was_typed(demo_workbook: Path, office: Office) -> None:
    """Else 007 becomes 7, 1E5 becomes 100000 and 3-4 a day in March."""
    calls = []
    for row, typed in enumerate(("007", "1E5", "3-4", "1101"), 5):
        calls += [{"select": f"Lot!A{row}"}, {"url": ".uno:EnterString", "arguments": {"StringName": typed}}]
    shown = office.dispatch(demo_workbook, calls)["values"][-1]["Lot"]
    assert [row[0] for row in shown[4:8]] == ["007", "1E5", "3-4", "1101"]
