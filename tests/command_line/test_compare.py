"""The command ``compare``: against ``match`` and the sheet, in its three forms."""

from __future__ import annotations

import json
import re
import subprocess
from pathlib import Path

import pytest

from tarelot.workbook_templates.hauling.compare import sheet as compare
from tarelot.workbook_templates.hauling.compare.lines import LINES, WORDS
from tests.command_line.running import tarelot
from tests.engines.stored_results import stored

CHOSEN = ("--machine", "Backhoe 15", "--truck", "Tandem dump 58")
STOCKS = ("1105", "1106", "1108", "1109")
"""What the demo's Compare shows at first, for that machine and truck."""


def said(*arguments: str | Path) -> str:
    done = tarelot(*arguments)
    assert (done.returncode, done.stderr) == (0, "")
    return done.stdout


def test_the_data_say_what_match_says(demo_workbook: Path) -> None:
    """Also of one trailer with much missing, and of 1104, which stands on the lot as ``1104``, typed with a space."""
    for stocks in (("1123",), (" 1104 ", "1102", "1110")):
        data = json.loads(said("compare", demo_workbook, *stocks, *CHOSEN, "--json"))
        matched = json.loads(said("match", demo_workbook, *CHOSEN, "--json"))
        by_stock = {trailer["stock"]: trailer for trailer in matched["trailers"]}
        assert [trailer["stock"] for trailer in data["trailers"]] == [stock.strip() for stock in stocks]
        for trailer in data["trailers"]:
            there = by_stock[trailer["stock"]]
            assert {name: trailer[name] for name in there} == there
        assert [data[name] for name in ("machine", "truck", "weight_unit")] == ["Backhoe 15", "Tandem dump 58", "lb"]
    assert set(json.loads(said("compare", demo_workbook, "1105", *CHOSEN, "--json"))["differences"].values()) == {""}


def test_the_data_say_what_the_sheet_says(demo_workbook: Path) -> None:
    data = json.loads(said("compare", demo_workbook, *STOCKS, *CHOSEN, "--json"))
    cells = stored(demo_workbook, compare.SHEET)
    names = {"word": "verdict", "why": "broken", "enough_said": "enough", "lacking": "missing", "minded": "cautions"}
    for line in LINES:
        name = names.get(line.key, line.key)
        here = [cells[f"{letter}{compare.ROWS[line.key]}"] for letter in "BCDE"]
        assert [trailer[name] for trailer in data["trailers"]] == ["" if one is None else one for one in here], name
        if line.differs:
            assert data["differences"][name] == cells[f"F{compare.ROWS[line.key]}"]


def test_the_text_holds_every_line_and_the_cautions(demo_workbook: Path) -> None:
    text = said("compare", demo_workbook, "1105", "1108", *CHOSEN)
    assert all(line.label.partition(" (")[0] in text for line in LINES if line not in WORDS)
    # By hand from ``demo/lot.csv``: 19,950 - 14,900 and 24,500 - 20,000.
    assert "lowest price: 1105, 5,050 less than 1108" in text
    assert "highest GVWR: 1108, 4,500 lb more than 1105" in text
    assert "1108, why not: above the trailer's GVWR by 280 lb" in text
    assert "For Backhoe 15 behind Tandem dump 58." in text
    assert "certified scale" in text
    without = said("compare", demo_workbook, "1105", "--machine", "Backhoe 15")
    assert "For Backhoe 15; no truck was chosen, so none gets a YES." in without


@pytest.mark.slow
def test_the_page(demo_workbook: Path, tmp_path: Path) -> None:
    """One page that says what the data say; a second time it is refused."""
    target = tmp_path / "two trailers.pdf"
    assert "certified scale" in said("compare", demo_workbook, "1105", "1102", *CHOSEN, "--pdf", target)
    text = subprocess.run(["pdftotext", "-layout", target, "-"], capture_output=True, text=True, check=True).stdout
    assert text.count("\f") == 1
    data = json.loads(said("compare", demo_workbook, "1105", "1102", *CHOSEN, "--json"))
    words = " ".join(text.split())
    assert [said_of for said_of in data["differences"].values() if said_of not in words] == []
    assert all(trailer["trailer"] in words for trailer in data["trailers"])
    assert re.search(r"Conflicts none ▲ ?1 no conflict: 1105", words)  # pdftotext may lose the space behind a mark
    assert "as on Match: Backhoe 15, Quellmoor, wheels, 16,400 lb" in words
    before = target.read_bytes()
    again = tarelot("compare", demo_workbook, "1105", *CHOSEN, "--pdf", target)
    assert (again.returncode, target.read_bytes()) == (2, before)


def test_a_page_whose_name_is_no_pdf_is_refused(demo_workbook: Path, tmp_path: Path) -> None:
    for name in ("two trailers", "two.txt"):
        done = tarelot("compare", demo_workbook, "1105", *CHOSEN, "--pdf", tmp_path / name)
        assert done.returncode != 0
        assert "let its name end in .pdf" in done.stderr
    assert list(tmp_path.iterdir()) == []
