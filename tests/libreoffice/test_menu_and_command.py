"""The same list by the menu and by the command gives the same lot, cell by cell; and what the menu needs for it.

Two readers stand against each other: LibreOffice, which the menu asks, and openpyxl and calamine, which the command
asks. What the menu did is saved by LibreOffice and read back like any lot.
"""

from __future__ import annotations

import datetime
import shutil
import subprocess
import zipfile
from collections.abc import Iterator
from pathlib import Path

import openpyxl
import pytest

from tarelot.addin.command_line.main import main
from tarelot.addin.libreoffice.build import build
from tarelot.addin.libreoffice.menu.names import IMPORT, PROTOCOL
from tarelot.workbook_templates.lot.reading import LotSheet, read_lot
from tarelot.workbook_templates.lot.results import lot_results
from tarelot.workbook_templates.sheets import demo_yard
from tarelot.workbook_templates.updates.words import without_options
from tests.engines.office import Office, office_python
from tests.lot.small_lot import write_demo_lot

SUCCESS = 1


@pytest.fixture(scope="module", params=["en-US", "de-DE"])
def office_alone(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    """A LibreOffice with a new profile and the extension, and nothing else of ours; one with decimal commas too."""
    with pytest.MonkeyPatch.context() as patch:
        patch.delenv("PYTHONPATH", raising=False)
        patch.setenv("PATH", "/usr/bin:/bin")
        with Office(build(tmp_path_factory.mktemp("alone") / "tarelot.oxt"), locale=request.param) as running:
            yield running


def typed_list(path: Path) -> Path:
    """A workbook with what a list may hold: numbers with zeros and units of their format, dates, texts, an error."""
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.append(["Prices and arrivals"])
    sheet.append(["Stk #", "Make", "Model", "GVWR lbs", "Price", "Date received", "Axles", "High pin share", "Width"])
    rows = [
        [1101, "Brenmoor", "=1+1", 14, 18_900.5, datetime.date(2026, 3, 5), 2, 0.25, "8'-6\""],
        [1102, "Corvane", "007", "7,000 lb", "$9,950", "2026-03-06", 3, "20%", 102],
        [42, "Ashgarth ", 24.0, 10_000, None, None, None, None, "2.5 m"],
        ["n-7", "Tindrel", True, 12_000, 5_000, datetime.datetime(2026, 4, 1, 8, 30), 2, None, None],
        [1103, "Marrowby", None, "heavy", None, None, None, None, None],
        [1104, "Marrowby", None, "#N/A", None, None, None, None, None],
    ]
    for row in rows:
        sheet.append(row)
    sheet["C3"].data_type = "s"
    sheet["A5"].number_format, sheet["D3"].number_format, sheet["H3"].number_format = "00000", '0"K lb"', "0.0%"
    book.save(path)
    return path


def held(path: Path) -> tuple[LotSheet, list[dict[str, object]], list[dict[str, object]]]:
    """A lot as its file holds it: the entries of each trailer, and what they come to."""
    lot = read_lot(path)
    entries = [dict(row.values) for row in lot.rows]
    return lot, entries, lot_results(entries, lot.options, lot.units, lot.limits)  # type: ignore[return-value]


@pytest.mark.parametrize(
    "form", ["new-truckload.csv", "price-list.csv", "scale-tickets.csv", "typed.xlsx", "typed.ods"]
)
def test_the_same_lot_cell_by_cell(office_alone: Office, tmp_path: Path, form: str) -> None:
    for place in ("menu", "command"):
        folder = tmp_path / place
        folder.mkdir()
        write_demo_lot(folder / "lot.xlsx")
        demo_yard.copy_lists(folder)
    typed = typed_list(tmp_path / "typed.xlsx")
    office_alone.save_as(typed, tmp_path / "typed.ods")
    for place in ("menu", "command"):
        for path in (typed, tmp_path / "typed.ods"):
            shutil.copy(path, tmp_path / place)
    by_menu, by_command = tmp_path / "menu", tmp_path / "command"
    call = {"url": f"{PROTOCOL}{IMPORT}", "arguments": {"Quiet": True, "List": str(by_menu / form)}}
    saved = by_menu / "saved.xlsx"
    done = office_alone.dispatch(by_menu / "lot.xlsx", [call, {"store": str(saved)}])
    assert done["said"][0][0] == SUCCESS, done["said"]
    assert main(["import", str(by_command / "lot.xlsx"), str(by_command / form), "--yes"]) in (0, 1)
    assert held(saved)[0].columns == held(by_command / "lot.xlsx")[0].columns
    (_, entries, results), (_, expected, expected_results) = held(saved), held(by_command / "lot.xlsx")
    assert len(entries) == len(expected) > 20
    for found, wanted in zip(entries, expected, strict=True):
        assert {h: pytest.approx(v, rel=1e-14) if isinstance(v, float) else v for h, v in wanted.items()} == found
    assert [r["Conflicts"] for r in results] == [r["Conflicts"] for r in expected_results]
    refused = [sorted(path.name for path in place.glob("* refused*")) for place in (by_menu, by_command)]
    assert refused[0] == refused[1]
    if form.endswith(".csv"):
        for name in refused[0]:
            assert (by_menu / name).read_bytes() == (by_command / name).read_bytes()


def test_the_preview_shows_numbers_as_the_program_does(office_alone: Office, tmp_path: Path) -> None:
    """CLDR: a point and commas in English of the US, a comma and points in German."""
    write_demo_lot(tmp_path / "lot.xlsx")
    (tmp_path / "list.csv").write_text("Stock no.,Price,Width\nN-1,5000.5,102.25\n1101,4321,\n", encoding="utf-8")
    arguments = {"Quiet": True, "List": str(tmp_path / "list.csv"), "Preview": True}
    done = office_alone.dispatch(tmp_path / "lot.xlsx", [{"url": f"{PROTOCOL}{IMPORT}", "arguments": arguments}])
    (shown,) = done["beside"][0].values()
    changed = next(row for row in shown if row[2] == "changed")
    new = next(row[5] for row in shown if row[2] == "new")
    is_german = office_alone.locale == "de-DE"
    assert changed[5] == ("4.321" if is_german else "4,321")
    assert f"Price {'5.000,50' if is_german else '5,000.50'}; " in f"{new}; "
    assert ("102,25" if is_german else "102.25") in new


def test_what_is_carried_runs_without_a_library(office: Office, extension: Path, tmp_path: Path) -> None:
    """LibreOffice's own Python, without the folder of its libraries (-S): all that asks no window is imported."""
    with zipfile.ZipFile(extension) as package:
        package.extractall(tmp_path)
    root = tmp_path / "pythonpath"
    names = [".".join(path.relative_to(root).with_suffix("").parts) for path in sorted(root.rglob("*.py"))]
    pure = [name for name in names if ".menu." not in name or name.endswith((".names", ".words"))]
    assert "tarelot_addin.workbook_templates.updates.plan" in pure
    program = (
        f"import importlib, sys; sys.path.insert(0, {str(root)!r})\n"
        f"for name in {pure!r}: importlib.import_module(name)\n"
        "print(sorted({'openpyxl', 'pint', 'pandas', 'tarelot', 'python_calamine'} & set(sys.modules)))"
    )
    python = office_python(office.installation.program)
    done = subprocess.run([python, "-I", "-S", "-c", program], capture_output=True, text=True, cwd=tmp_path)
    assert (done.stdout.strip(), done.stderr) == ("[]", "")


def test_examples_of_the_menu(office: Office, extension: Path, tmp_path: Path) -> None:
    """They import uno, so that LibreOffice's own Python runs them, with the extension alone."""
    with zipfile.ZipFile(extension) as package:
        package.extractall(tmp_path)
    root = tmp_path / "pythonpath"
    menu = sorted(path for path in root.rglob("*.py") if path.parent.name == "menu" and path.stem != "component")
    names = [".".join(path.relative_to(root).with_suffix("").parts) for path in menu]
    program = (
        f"import doctest, importlib, sys, uno; sys.path.insert(0, {str(root)!r})\n"
        f"found = [doctest.testmod(importlib.import_module(name)) for name in {names!r}]\n"
        "print(sum(one.failed for one in found), sum(one.attempted for one in found))"
    )
    python = office_python(office.installation.program)
    done = subprocess.run([python, "-c", program], capture_output=True, text=True, cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    failed, attempted = map(int, done.stdout.split()[-2:])
    assert (failed, attempted >= 5) == (0, True), done.stdout


def test_cancel_at_the_decimal_mark_and_a_lot_that_was_closed(office: Office, extension: Path, tmp_path: Path) -> None:
    """Nobody can be asked in a dispatch: a person who answers comma, then one who cancels, stands in for the boxes."""
    with zipfile.ZipFile(extension) as package:
        package.extractall(tmp_path)
    program = f"""
import sys, uno; sys.path[:0] = {[str(tmp_path), str(tmp_path / "pythonpath")]!r}
from contextlib import nullcontext
from types import SimpleNamespace as Stand
from com.sun.star.lang import DisposedException
from menu import Work, _outcome
row = Stand(reason='"1.234" may be a decimal or a thousands point (say which with --decimal)')
for answer in (",", None):
    dialogs = Stand(progress=lambda text, steps: nullcontext(), decimal=lambda example: answer)
    chosen = Stand(planned=lambda: Stand(rows=[row]))
    print(Work._planned(None, dialogs, chosen) is None)
def yes_after_the_lot_was_closed():
    raise DisposedException("Frame disposed", None)
print(*_outcome(yes_after_the_lot_was_closed))
"""
    python = office_python(office.installation.program)
    done = subprocess.run([python, "-c", program], capture_output=True, text=True, cwd=tmp_path)
    said = "0 The workbook was closed meanwhile. Nothing was done. Open it, and choose from the menu again."
    assert done.stdout.splitlines() == ["False", "True", said], done.stderr


@pytest.mark.parametrize(
    "said",
    [
        '"1.234" may be a decimal or a thousands point (say which with --decimal); a weight in lb is expected',
        '"7,5" seems to have a decimal "," (say so with --decimal ,); a number is expected',
        '"7.5" seems to have a decimal "." (--decimal , was given); a number is expected',
        'Stock no. "01" is nearly "1" in row 5 of the lot: write it as there, or say --same-key where such names are '
        "the same trailer",
        'read as Western text (cp1252): "Caf\u00e9"; where that is wrong, say --encoding',
        'a.csv does not say its encoding: "x" in mac_roman. Name it with --encoding',
        "a.xlsx has more than one sheet with a list (A, B); name one of A, B with --sheet",
    ],
)
def test_no_word_of_a_command_line_in_the_menu(said: str) -> None:
    shown = without_options(said)
    assert "--" not in shown
    assert shown.split('"')[0].split("(")[0].split(";")[0] == said.split('"')[0].split("(")[0].split(";")[0]
