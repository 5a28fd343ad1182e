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


def chosen(stock: str) -> dict[str, Value]:
    """What-if's choices: the trailer, and the machine and truck of the day."""
    names = (stock, "Wheel loader 9", "Tandem dump 58")
    return {
        f"What-if!{cell.replace('$', '')}": name for cell, name in zip(rows.CHOICE_CELLS.values(), names, strict=True)
    }


def aboard_of(stock: str) -> dict[str, Value]:
    """The same with the plate compactor, its height last."""
    says(6, "Plate compactor", "900 lb, its center 20 ft from the deck's front, 48 by 30 by 40 in")
    typed = ("Plate compactor", "deck", 900.0, 20.0, 48.0, 30.0, 40.0)
    return chosen(stock) | {f"What-if!H{BESIDE + number}": value for number, value in enumerate(typed, 1)}


MATCH_ROWS = range(12, 12 + 28)


def on_match(values: list[Value]) -> tuple[list[Value], list[Value]]:
    """Stock numbers in sight and their verdicts."""
    return values[: len(MATCH_ROWS)], values[len(MATCH_ROWS) : 2 * len(MATCH_ROWS)]


def test_match_compare_what_if_quote_and_card(lot: Path, office: Office) -> None:
    machine: dict[str, Value] = {"Match!C4": "Wheel loader 9", "Match!C5": "Tandem dump 58"}
    rounds: list[dict[str, Value]] = [
        machine,
        {"Match!C6": "YES and not sold", "Match!C7": "lowest price"},
        {"Compare!B7": "1105", "Compare!C7": "1106", "Compare!D7": None, "Compare!E7": None},
        chosen("1106"),
        dict(list(aboard_of("1106").items())[:-1]),
        aboard_of("1106"),
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


def test_back_from_the_scale_and_the_card(
    lot: Path, office: Office, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    weighed = tmp_path / "weighed.xlsx"
    row = next(cell.row for cell in openpyxl.load_workbook(lot)["Tickets"]["B"][4:] if cell.value is None)
    ticket = ("1124", "empty", "none", 11_200.0, 15_300.0, 10_820.0, 16_600.0, 6_230.0)
    says(8, "for 1124: empty, bars none, truck alone 11,200 and 15,300, hitched 10,820 and 16,600, trailer axles 6,230")
    edits: dict[str, Value] = {
        f"Tickets!{letter}{row}": value for letter, value in zip("BCDEFGHI", ticket, strict=True)
    }
    edits |= aboard_of("1106")
    trailer, pin = office.edit_and_read(lot, edits, [f"Tickets!M{row}", f"Tickets!N{row}"], weighed)
    # 10,820 + 16,600 + 6,230 - 11,200 - 15,300 = 7,150; 10,820 + 16,600 - 11,200 - 15,300 = 920
    assert (trailer, pin) == (7_150, 920)
    says(8, f"It comes to {trailer:,.0f} lb, with {pin:,.0f} lb on the pin.")
    capsys.readouterr()
    assert main(["tickets", str(weighed), "--use", "--yes"]) in (0, 1)  # 1 where tickets disagree
    shown = capsys.readouterr().out
    says(8, "shows what it writes for 5 trailers and which 2 weighings it does not use")
    book = openpyxl.load_workbook(weighed)["Lot"]
    stocks = [str(cell.value) for cell in book["A"]]
    scale = {stock: book[f"{column(book, 'Scale weight (lb)', 4)}{at}"].value for at, stock in enumerate(stocks, 1)}
    assert scale["1124"] == 7_150, shown
    cells = [f"Card!{letter}{line}" for line in range(1, 60) for letter in "BCDEFG"]
    card = office.edit_and_read(weighed, {}, cells)
    says(9, f"It shows 1106 as weighed, {scale['1106']:,} lb empty, 3,200 lb to spare with both aboard.")
    assert scale["1106"] in card
    assert [one for one in card if one == 3_200 or "3,200" in str(one)]
