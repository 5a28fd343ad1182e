"""The README's day in ten lines, done on a copy of the demo yard: each line holds what the sheets then show.

Lists and tickets go in by the commands that do the same as the menu; what is chosen and typed goes into a LibreOffice
without our extension, a line after the other in one workbook.
"""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import openpyxl
import pytest
from openpyxl.worksheet.worksheet import Worksheet

from tarelot.addin.command_line.main import main
from tarelot.workbook_templates.hauling.quote import entries as quote
from tarelot.workbook_templates.hauling.what_if import aboard, rows
from tests.engines.office import Office, Value

ROOT = Path(__file__).parents[2]
QUOTED = quote.places()
BESIDE = aboard.band_row(1)
"""The row above the first item that is also aboard."""


def told() -> list[str]:
    """The ten lines, each in one line."""
    text = (
        (ROOT / "README.md").read_text(encoding="utf-8").partition("### A day in ten lines")[2].partition("\n### ")[0]
    )
    found = re.split(r"^[0-9]+\. ", text, flags=re.MULTILINE)[1:]
    return [" ".join(line.replace("*", "").split()) for line in found]


def says(number: int, *words: str) -> None:
    """Whether a line says it so."""
    line = told()[number - 1]
    assert [said for said in words if said not in line] == [], line


@pytest.fixture(scope="module")
def desk(demo_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("desk")
    shutil.copytree(demo_folder, folder, dirs_exist_ok=True)
    return folder / "tarelot-demo.xlsx"


@pytest.fixture(scope="module")
def lot(desk: Path) -> Path:
    """The lot with the new truckload."""
    assert main(["import", str(desk), str(desk.with_name("new-truckload.csv")), "--yes"]) == 1  # a row is refused
    return desk


def column(sheet: Worksheet, heading: str, row: int) -> str:
    """The letter of a heading."""
    return next(cell.column_letter for cell in sheet[row] if cell.value == heading)


def test_there_are_ten_lines() -> None:
    assert len(told()) == 10


def test_the_truckload_start_and_what_is_wrong(lot: Path) -> None:
    book = openpyxl.load_workbook(lot, data_only=True)
    start, sheet = book["Start"], book["Lot"]
    assert lot.with_name("new-truckload refused.csv").read_text(encoding="utf-8-sig").count("\n1128") == 1
    says(1, "4 new trailers and 1 refused, 1128")
    says(
        2, f"counts {start['B5'].value} trailers, {start['D5'].value} with conflicts and {start['E5'].value} not fully"
    )
    shown = {row[0].value: row for row in start["B41:F90"]}
    on_lot, old = shown["on lot"], shown["more than 180 days"]
    says(
        2, f"{on_lot[1].value} on the lot for {on_lot[2].value:,.0f} together, {old[1].value} of them for more than 180"
    )
    most = [name for name, row in shown.items() if str(row[3].value).startswith("most conflicts")]
    says(2, f"{most[0]} as the check with the most conflicts, {shown[most[0]][1].value}")
    words = column(sheet, "What conflicts", 4)
    row = next(cell.row for cell in sheet["A"] if str(cell.value) == "1106")
    says(3, f'for 1106 it says "{sheet[f"{words}{row}"].value}"')


MATCH_ROWS = range(12, 12 + 28)


def on_match(values: list[Value]) -> tuple[list[Value], list[Value]]:
    """Stock numbers in sight and their verdicts."""
    return values[: len(MATCH_ROWS)], values[len(MATCH_ROWS) : 2 * len(MATCH_ROWS)]


def test_match_compare_what_if_quote_and_card(lot: Path, office: Office) -> None:
    choices = rows.CHOICE_CELLS
    machine: dict[str, Value] = {"Match!C4": "Wheel loader 9", "Match!C5": "Tandem dump 58"}
    item: dict[str, Value] = {
        f"What-if!H{BESIDE + number}": value
        for number, value in enumerate(("Plate compactor", "deck", 900.0, 20.0, 48.0, 30.0), 1)
    }
    chosen = dict(zip(choices.values(), ("1106", "Wheel loader 9", "Tandem dump 58"), strict=True))
    rounds: list[dict[str, Value]] = [
        machine,
        {"Match!C6": "YES and not sold", "Match!C7": "lowest price"},
        {"Compare!B7": "1105", "Compare!C7": "1106", "Compare!D7": None, "Compare!E7": None},
        {f"What-if!{cell.replace('$', '')}": name for cell, name in chosen.items()},
        item,
        {f"What-if!H{BESIDE + 7}": 40.0},
        {
            f"Quote!{QUOTED[quote.VALID].replace('$', '')}": 46_387.0,  # 12/31/2026: 46,023 is 2026-01-01
            f"Quote!{QUOTED[quote.OWN_LINES[0][0]].replace('$', '')}": "Delivery",
            f"Quote!{QUOTED[quote.OWN_LINES[0][1]].replace('$', '')}": 350.0,
        },
    ]
    reads = [f"Match!B{row}" for row in MATCH_ROWS] + [f"Match!E{row}" for row in MATCH_ROWS]
    compared = [f"Compare!F{row}" for row in range(9, 40)]
    quoted = [f"Quote!{letter}{row}" for row in range(4, 45) for letter in "BCDE"]
    reads += ["What-if!B8", *compared, *quoted]
    seen = office.edit_and_read_often(lot, rounds, reads)
    _, words = on_match(seen[0])
    counts = {word: words.count(word) for word in ("YES", "NO", "NOT SURE")}
    says(4, f"{counts['YES']} YES, {counts['NO']} NO, {counts['NOT SURE']} NOT SURE")
    stocks = [stock for stock in on_match(seen[1])[0] if stock not in ("", None)]
    assert (len(stocks), stocks[0]) == (7, "1105")
    says(4, "leave seven rows, 1105 first")
    told_there = {str(one) for one in seen[2][len(MATCH_ROWS) * 2 + 1 :][: len(compared)]}
    quotes = re.findall(r'"([^"]+)"', told()[4])
    assert len(quotes) == 2
    assert set(quotes) <= told_there
    verdicts = [values[len(MATCH_ROWS) * 2] for values in seen[3:6]]
    assert verdicts == ["YES", "NOT SURE", "YES"]
    says(6, "choose 1106 and the wheel loader: YES.", "NOT SURE while a figure lacks, then YES again")
    (priced,) = re.findall(r'"(from [^"]+)"', told()[6])
    assert priced in {str(one) for one in seen[6][-len(quoted) :]}
