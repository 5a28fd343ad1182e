"""The command as a person runs it: what it prints, its exit status, one line for each error."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import openpyxl
import pytest

from tarelot.addin.command_line.main import main
from tarelot.calc.registry import FUNCTIONS


def tarelot(*arguments: str | Path, cwd: Path | None = None) -> subprocess.CompletedProcess[str]:
    """Run the command in a process of its own."""
    command = [sys.executable, "-m", "tarelot.addin.command_line", *map(str, arguments)]
    environment = {**os.environ, "COLUMNS": "160"}
    return subprocess.run(command, capture_output=True, text=True, cwd=cwd, env=environment)


def test_demo_writes_the_workbook_and_prints_the_review(tmp_path: Path) -> None:
    done = tarelot("demo", "--out", tmp_path / "yard")
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "yard" / "tarelot-demo.xlsx").exists()
    assert "24 trailers, 16 with conflicts, 10 not fully checked." in done.stdout
    assert "Coupler short 1,990 lb" in done.stdout
    assert "certified scale" in done.stdout


def test_review_ends_with_1_when_there_are_conflicts_and_0_when_there_are_none(tmp_path: Path) -> None:
    path = tmp_path / "lot.xlsx"
    assert main(["new", str(path)]) == 0
    assert main(["review", str(path)]) == 0
    book = openpyxl.load_workbook(path)
    sheet = book["Lot"]
    places = {cell.value: cell.column for cell in sheet[4]}
    for heading, value in (("Stock no.", "7"), ("GVWR (lb)", 9_000), ("Coupler rating (lb)", 7_500)):
        sheet.cell(5, places[heading], value)
    book.save(path)
    assert main(["review", str(path)]) == 1


def test_review_as_data_holds_every_trailer(tmp_path: Path) -> None:
    main(["demo", "--out", str(tmp_path)])
    done = tarelot("review", tmp_path / "tarelot-demo.xlsx", "--json")
    data = json.loads(done.stdout)
    assert done.returncode == 1
    assert data["totals"] == {
        "trailers": 24,
        "with_conflicts": 16,
        "not_fully_checked": 10,
        "entries_to_look_at": 1,
    }
    # Stock no. 1105 by hand: 20,000 lb GVWR less 5,960 lb on the scale.
    assert next(t for t in data["trailers"] if t["stock"] == "1105")["payload"] == 14_040


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["review", "nowhere.xlsx"], "nowhere.xlsx"),
        (["new", "lot.ods"], "must end in .xlsx"),
        (["review", "text.xlsx"], "text.xlsx"),
    ],
)
def test_an_error_is_one_line_and_status_2(arguments: list[str], said: str, tmp_path: Path) -> None:
    (tmp_path / "text.xlsx").write_text("not a workbook")
    done = tarelot(*arguments, cwd=tmp_path)
    assert done.returncode == 2
    assert said in done.stderr
    assert done.stderr.startswith("tarelot: ")
    assert done.stderr.count("\n") == 1
    assert done.stdout == ""


def test_new_never_writes_over_a_file(tmp_path: Path) -> None:
    path = tmp_path / "lot.xlsx"
    path.write_bytes(b"mine")
    assert main(["new", str(path)]) == 2
    assert path.read_bytes() == b"mine"


def test_functions_lists_them_all() -> None:
    done = tarelot("functions")
    assert done.returncode == 0
    assert all(function.name in done.stdout for function in FUNCTIONS)


def test_setup_check_says_what_is_there() -> None:
    done = tarelot("setup", "check")
    assert done.returncode == 0
    assert "plain formulas" in done.stdout
    assert "LibreOffice" in done.stdout
    assert "Excel" in done.stdout


def test_setup_excel_writes_the_add_in_and_prints_the_steps(tmp_path: Path) -> None:
    done = tarelot("setup", "excel", "--out", tmp_path / "excel")
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "excel" / "tarelot.xlam").exists()
    assert "1. " in done.stdout
    assert "=LOT_PAYLOAD(15000,8600)" in done.stdout


def test_every_command_shows_an_example() -> None:
    overview = tarelot("--help").stdout
    for command in ("demo", "new", "review", "functions", "setup", "take-in", "undo", "copy", "results"):
        assert command in overview
        assert f"Example: tarelot {command}" in tarelot(command, "--help").stdout
