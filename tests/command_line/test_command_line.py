"""The command as a person runs it: what it prints, its exit status, one line for each error."""

from __future__ import annotations

import json
from importlib.metadata import version
from pathlib import Path

import openpyxl
import pytest

from tarelot.addin.command_line import setup
from tarelot.addin.command_line.main import main
from tarelot.addin.libreoffice.install import InstallError, NotInstalled
from tarelot.calc.registry import FUNCTIONS
from tests.command_line.running import tarelot

COMMANDS = (
    "demo",
    "new",
    "review",
    "import",
    "tickets",
    "update",
    "undo",
    "recalculate",
    "values",
    "match",
    "compare",
    "card",
    "functions",
    "setup",
    "setup libreoffice",
    "setup excel",
    "setup check",
)


def test_demo_writes_the_workbook_and_prints_the_review(tmp_path: Path) -> None:
    done = tarelot("demo", "--out", tmp_path / "yard")
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "yard" / "tarelot-demo.xlsx").exists()
    assert "24 trailers, 17 with conflicts, 10 not fully checked, " in done.stdout
    assert "Coupler short by 1,990 lb" in done.stdout
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


def test_review_as_data_holds_every_trailer(demo_workbook: Path) -> None:
    done = tarelot("review", demo_workbook, "--json")
    data = json.loads(done.stdout)
    assert done.returncode == 1
    assert data["totals"] == {
        "trailers": 24,
        "with_conflicts": 17,
        "not_fully_checked": 10,
        "entries_to_look_at": 3,  # a mistyped GVWR, and a stock number that stands twice
    }
    # Stock no. 1105 by hand: 20,000 lb GVWR less 5,960 lb on the scale.
    assert next(t for t in data["trailers"] if t["stock"] == "1105")["payload"] == 14_040


def test_new_never_writes_over_a_file(tmp_path: Path) -> None:
    path = tmp_path / "lot.xlsx"
    path.write_bytes(b"mine")
    assert main(["new", str(path)]) == 2
    assert path.read_bytes() == b"mine"


def test_functions_lists_them_all() -> None:
    done = tarelot("functions")
    assert done.returncode == 0
    assert all(function.name in done.stdout for function in FUNCTIONS)


def test_setup_check_says_one_thing_of_each_part() -> None:
    done = tarelot("setup", "check")
    assert done.returncode == 0
    parts = {}
    for line in done.stdout.splitlines():
        state, what = line[:9].strip(), line[9:]
        assert state in ("ok", "missing", "unknown", "note")
        part = next(part for part in PARTS if what.startswith(part))
        assert part not in parts or part == "Excel"
        parts[part] = state
    assert list(parts) == list(PARTS)
    assert parts["Tarelot"] == parts["plain formulas"] == "ok"
    assert str(Path(__file__).parents[2]) in done.stdout  # where it runs from


PARTS = ("Tarelot", "plain formulas", "LibreOffice", "functions in LibreOffice", "Excel")


@pytest.mark.parametrize(
    ("raised", "line"),
    [
        (None, "ok       functions in LibreOffice: version 7"),
        (
            NotInstalled("the extension is not installed in LibreOffice"),
            "missing  functions in LibreOffice: the extension is not installed in LibreOffice: "
            "run tarelot setup libreoffice",
        ),
        (InstallError("LibreOffice is open"), "unknown  functions in LibreOffice: LibreOffice is open"),
    ],
)
def test_setup_check_of_the_functions(
    raised: Exception | None, line: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def check() -> str:
        if raised:
            raise raised
        return "7"

    monkeypatch.setattr(setup.install, "check", check)
    assert main(["setup", "check"]) == 0
    assert line in capsys.readouterr().out.splitlines()


def test_setup_check_without_libreoffice(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    def find_office() -> None:
        raise InstallError("LibreOffice is not installed")

    monkeypatch.setattr(setup.install, "find_office", find_office)
    assert main(["setup", "check"]) == 0
    said = [line for line in capsys.readouterr().out.splitlines() if "LibreOffice" in line]
    assert said == ["missing  LibreOffice: LibreOffice is not installed"]


def test_setup_excel_writes_the_add_in_and_prints_the_steps(tmp_path: Path) -> None:
    done = tarelot("setup", "excel", "--out", tmp_path / "excel")
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "excel" / "tarelot.xlam").exists()
    assert "1. " in done.stdout
    assert "=LOT_PAYLOAD(15000,8600)" in done.stdout


def test_every_command_shows_an_example() -> None:
    overview = tarelot("--help").stdout
    for command in COMMANDS:
        assert command.split()[0] in overview
        assert f"Example: tarelot {command}" in tarelot(*command.split(), "--help").stdout


def test_version(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit, match="^0$"):
        main(["--version"])
    assert capsys.readouterr().out == f"tarelot {version('tarelot')}\n"
