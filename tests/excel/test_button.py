"""The module beside a lot that the button runs, and what is said of a computer that lacks something.

Outside sources: Python's own import of the module under the statement that xlwings' VBA makes; the names of xlwings'
files, settings and functions, read in its own sources. Nothing here was run in Excel, on Windows or on macOS.
"""

from __future__ import annotations

import importlib.metadata
import importlib.util
import keyword
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tarelot.addin.excel import button
from tarelot.addin.excel.setup import SetupError
from tests.command_line.running import tarelot

XLWINGS = Path(str(importlib.util.find_spec("xlwings").origin)).parent  # type: ignore[union-attr]
DEMO = Path(__file__).parents[2] / "workbook_templates" / "ready" / "tarelot-demo.xlsx"


def test_the_statement_of_the_button_finds_main_beside_the_workbook(tmp_path: Path) -> None:
    """As xlwings' VBA says it, with the workbook's folder first in the search path."""
    vba = (XLWINGS / "addin" / "RibbonXlwings.bas").read_text()
    (said,) = re.findall(r'RunPython "import " & mymodule & "(;)" & mymodule & "(\.main\(\))"', vba)
    button.write(tmp_path / "lot.xlsx")
    (tmp_path / "calc.py").write_text("raise RuntimeError('not ours')")
    line = f"import lot{said[0]}lot{said[1]}"
    code = f"import sys; sys.path.insert(0, {str(tmp_path)!r}); {line}"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert "run_main.py" in done.stderr
    assert ", in caller" in done.stderr, "our main asked xlwings for the workbook; there is none here"


@pytest.mark.parametrize(
    ("name", "why", "proposed"),
    [
        ("my lot.xlsx", "no digit first", "my_lot.xlsx"),
        ("tarelot-demo.xlsx", "no digit first", "tarelot_demo.xlsx"),
        ("2026.xlsx", "no digit first", "lot_2026.xlsx"),
        ("lot.2026.xlsx", "no digit first", "lot_2026.xlsx"),
        ("café.xlsx", "no digit first", "cafe.xlsx"),
        ("class.xlsx", "a word of the Python language", "lot_class.xlsx"),
        ("json.xlsx", "another module of that name", "lot_json.xlsx"),
        ("xlwings.xlsx", "another module of that name", "lot_xlwings.xlsx"),
        ("OpenPyXL.xlsx", "another module of that name", "lot_OpenPyXL.xlsx"),
        ("tarelot.xlsm", "another module of that name", "lot_tarelot.xlsm"),
        ("pythoncom.xlsx", "another module of that name", "lot_pythoncom.xlsx"),
        ("__main__.xlsx", "another module of that name", "main.xlsx"),
    ],
)
def test_a_name_that_no_module_can_have_is_refused_with_another(
    tmp_path: Path, name: str, why: str, proposed: str
) -> None:
    with pytest.raises(SetupError, match=re.escape(why)) as refused:
        button.write(tmp_path / name)
    assert str(refused.value).endswith(f"for one to {proposed}")
    assert list(tmp_path.iterdir()) == []
    assert button.write(tmp_path / proposed).name == f"{Path(proposed).stem}.py"


def test_every_module_of_python_and_every_word_is_refused(tmp_path: Path) -> None:
    taken = [*sys.stdlib_module_names, *keyword.kwlist, *importlib.metadata.packages_distributions()]
    for name in taken:
        with pytest.raises(SetupError):
            button.refuse_name(tmp_path / f"{name}.xlsx")


def test_a_file_of_a_persons_own_is_let_be(tmp_path: Path) -> None:
    theirs = tmp_path / "lot.py"
    theirs.write_text("print('mine')")
    with pytest.raises(SetupError, match="is there and is not ours"):
        button.write(tmp_path / "lot.xlsx")
    assert theirs.read_text() == "print('mine')"


def test_it_is_written_again_over_an_older_one(tmp_path: Path) -> None:
    older = button.write(tmp_path / "lot.xlsx")
    older.write_text(f"{button.FIRST_LINE}\nolder = True\n")
    assert button.write(tmp_path / "lot.xlsx").read_text() == button.TEXT
    assert button.write(tmp_path / "lot.xlsx").read_text() == button.TEXT, "its own module does not take the name"


def test_only_a_workbook_that_can_be_read_gets_one(tmp_path: Path) -> None:
    with pytest.raises(SetupError, match=r"save it as \.xlsx"):
        button.write(tmp_path / "lot.ods")


def test_the_command_writes_it_and_prints_the_steps(tmp_path: Path) -> None:
    shutil.copy(DEMO, tmp_path / "lot.xlsx")
    done = tarelot("setup", "excel", tmp_path / "lot.xlsx")
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "lot.py").read_text() == button.TEXT
    first, *_, last = done.stdout.splitlines()
    assert first.startswith(f"Tarelot {importlib.metadata.version('tarelot')}, from /")
    assert "Import preview" in last
    assert "There is no Excel for this system" in done.stdout


def test_the_command_refuses_a_name_and_a_missing_workbook(tmp_path: Path) -> None:
    shutil.copy(DEMO, tmp_path / "my lot.xlsx")
    refused = tarelot("setup", "excel", tmp_path / "my lot.xlsx")
    assert refused.returncode == 2
    assert "my_lot.xlsx. Nothing was changed." in refused.stderr
    missing = tarelot("setup", "excel", tmp_path / "none.xlsx")
    assert missing.returncode == 2
    assert [path.name for path in tmp_path.iterdir()] == ["my lot.xlsx"]


def test_elsewhere_the_check_says_what_the_button_needs() -> None:
    (finding,) = button.check()
    assert (finding.state, finding.line) == ("note", "the button Run main needs Excel on Windows or macOS")


@pytest.fixture(params=["win32", "darwin"])
def computer(request: pytest.FixtureRequest, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    monkeypatch.setattr(sys, "platform", request.param)
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("APPDATA", str(tmp_path / "roaming"))
    return str(request.param)


def test_the_check_says_what_is_missing(computer: str) -> None:
    missing = [finding.line for finding in button.check() if finding.state == "missing"]
    assert len(missing) == {"win32": 2, "darwin": 3}[computer]
    assert any("-m xlwings.cli addin install" in line for line in missing)
    assert "names no Python" in missing[-1]


def test_the_check_finds_what_xlwings_installs(computer: str, tmp_path: Path) -> None:
    """Put where xlwings' command line puts it, its settings as its config_create writes them."""
    start = tmp_path / ("roaming/Microsoft/Excel/XLSTART" if computer == "win32" else button.MAC_START)
    start.mkdir(parents=True)
    shutil.copy(XLWINGS / "addin" / "xlwings.xlam", start)
    scripts = tmp_path / "Library/Application Scripts/com.microsoft.Excel"
    scripts.mkdir(parents=True)
    shutil.copy(XLWINGS / f"xlwings-{importlib.metadata.version('xlwings')}.applescript", scripts)
    settings = tmp_path / (button.WINDOWS_SETTINGS if computer == "win32" else button.MAC_SETTINGS)
    settings.parent.mkdir(parents=True)
    settings.write_text(f'"INTERPRETER_{"WIN" if computer == "win32" else "MAC"}","{sys.executable}"\n')
    assert {finding.state for finding in button.check()} == {"ok"}
    settings.write_text('"INTERPRETER_WIN","C:\\Other\\python.exe"\n"INTERPRETER_MAC","/other/python"\n')
    (start / "xlwings.xlam").write_bytes(b"older")
    wrong = [finding.line for finding in button.check() if finding.state == "missing"]
    assert len(wrong) == 2
    assert "another version of xlwings" in wrong[0]
    assert "ther" in wrong[1]
    assert sys.executable in wrong[1]


def test_the_places_are_those_of_xlwings() -> None:
    cli, package = (XLWINGS / "cli.py").read_text(), (XLWINGS / "__init__.py").read_text()
    assert "/Library/Application Scripts/com.microsoft.Excel" in cli
    assert 'os.path.join(this_dir, "addin", "xlwings.xlam")' in cli
    assert '".xlwings", "xlwings.conf"' in package
    assert all(f'"{part}"' in package for part in button.MAC_SETTINGS.parts)
