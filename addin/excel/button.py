"""What the button *Run main* of xlwings' own add-in needs beside a lot: a small Python module of the workbook's name.

    refuse_name(Path("my lot.xlsx"))    # raises: the button imports the name, and my lot is no module's
    write(Path("lot.xlsx"))             # lot.py beside it

The button does `import NAME; NAME.main()` with the workbook's folder first in Python's search path (xlwings' VBA,
RunMain; its utils.prepare_sys_path). The workbook stays an .xlsx without macros. Nothing here was run in Excel; where
its start folders are on Windows and macOS is from memory.
"""

from __future__ import annotations

import csv
import filecmp
import importlib.metadata
import importlib.util
import keyword
import os
import re
import sys
import unicodedata
from collections.abc import Collection
from functools import cache
from pathlib import Path

from tarelot.addin.excel.setup import EXTRA, Finding, SetupError, python, source, xlwings_finding, xlwings_folder

SUFFIXES = (".xlsx", ".xlsm")
ADD_IN = "xlwings.xlam"
FIRST_LINE = '"""Written by tarelot setup excel: xlwings\' button Run main runs main() of this file."""'
TEXT = f"{FIRST_LINE}\n\nfrom tarelot.addin.excel.run_main import main  # noqa: F401\n"
OF_OTHER_SYSTEMS = "aem appscript osax psutil pythoncom pywintypes win32api win32com win32con win32gui win32process"
"""What xlwings imports on Windows or on macOS, where the lot may be taken to; installed there, not here."""
WINDOWS_START = Path("Microsoft", "Excel", "XLSTART")
MAC_START = Path("Library/Group Containers/UBF8T346G9.Office/User Content.localized/Startup.localized/Excel")
MAC_SCRIPTS = Path("Library/Application Scripts/com.microsoft.Excel")
MAC_SETTINGS = Path("Library/Containers/com.microsoft.Excel/Data/xlwings.conf")
WINDOWS_SETTINGS = Path(".xlwings/xlwings.conf")


def refuse_name(lot: Path) -> None:
    """Refuse a workbook whose name cannot be a module's.

    Raises:
        SetupError: With the reason, and a name that can be.
    """
    if lot.suffix.lower() not in SUFFIXES:
        raise SetupError(f"{lot.name} is no workbook that the button reads: save it as .xlsx")
    why = _why_not(lot.stem, lot.parent)
    if why:
        raise SetupError(f"{lot.name}: {why}; rename the workbook, for one to {proposal(lot.stem)}{lot.suffix}")


def proposal(name: str) -> str:
    """A name near this one that a module can have.

    >>> proposal("my lot-2026"), proposal("2026"), proposal("json"), proposal("Café"), proposal("class")
    ('my_lot_2026', 'lot_2026', 'lot_json', 'Cafe', 'lot_class')
    """
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode()
    found = re.sub(r"[^A-Za-z0-9]+", "_", plain).strip("_") or "yard"
    return f"lot_{found}" if _why_not(found, None) else found


def write(lot: Path) -> Path:
    """Write the module beside a lot, over an older one of ours; where it is.

    Raises:
        SetupError: The workbook's name cannot be a module's, a file of another's has the name, or it cannot be written.
    """
    refuse_name(lot)
    target = lot.with_name(f"{lot.stem}.py")
    try:
        if target.exists() and not target.read_text(encoding="utf-8", errors="replace").startswith(FIRST_LINE):
            raise SetupError(f"{target} is there and is not ours: rename the workbook, or that file")
        target.write_text(TEXT, encoding="utf-8")
    except OSError as error:
        raise SetupError(f"cannot write {target} ({error.strerror or error})") from error
    return target


def steps(lot: Path) -> list[str]:
    """What the person does after the module is written."""
    return [
        *([] if sys.platform in ("win32", "darwin") else [_elsewhere(lot)]),
        f"Close Excel and type: {_install()}. It puts xlwings' own add-in into Excel's start folder.",
        f"Open {lot.name} in Excel: the ribbon has a tab xlwings. Leave Add workbook to PYTHONPATH ticked there, "
        f"and keep {lot.stem}.py beside the workbook; where you rename one, set it up again.",
        "Paste a list into the sheet Incoming, headings and all (on Windows you may leave it empty: a file is asked "
        "for; on macOS save the workbook), and press Run main.",
        "Read the sheet Import preview. Where a question stands there, answer yes or no beside it and press Run main "
        "again. To write it into the lot type yes into the cream cell (on macOS save again) "
        "and press Run main again. Then look, and save the workbook.",
    ]


def check() -> list[Finding]:
    """What the button needs on this computer, found or missing."""
    if sys.platform not in ("win32", "darwin"):
        return [Finding(None, "the button Run main needs Excel on Windows or macOS")]
    version = xlwings_finding()
    if not version.found:
        return [version]
    start = _windows_start() if sys.platform == "win32" else Path.home() / MAC_START
    findings = [] if sys.platform == "win32" else [version, _mac_script()]
    return [*findings, _add_in(start / ADD_IN), _interpreter()]


def _why_not(name: str, folder: Path | None) -> str:
    """Why a name cannot be the module's of a workbook in a folder; empty where it can."""
    if not re.fullmatch(r"[A-Za-z_][A-Za-z0-9_]*", name):
        return "the button asks Python for a module of this name, which has A to Z, 0 to 9 and _ alone, no digit first"
    if keyword.iskeyword(name):
        return f"{name} is a word of the Python language"
    if _is_taken(name, folder):
        return f"Python would take {name}.py for another module of that name"
    return ""


@cache
def _of_packages() -> Collection[str]:
    """The modules of all packages that are installed: each one's list of files is read for that."""
    return importlib.metadata.packages_distributions().keys()


def _is_taken(name: str, folder: Path | None) -> bool:
    """Whether Python or a package that is installed has a module of this name, in any case of letters."""
    known = {*sys.stdlib_module_names, *_of_packages(), *OF_OTHER_SYSTEMS.split(), "tarelot", "xlwings"}
    if name.startswith("__") or name.casefold() in map(str.casefold, known):
        return True
    found = importlib.util.find_spec(name)
    return found is not None and (folder is None or Path(found.origin or "").parent != folder.resolve())


def _install() -> str:
    here = sys.platform in ("win32", "darwin")
    return f"{python() if here else 'python'} -m xlwings.cli addin install"


def _elsewhere(lot: Path) -> str:
    """How the lot and the module come to a computer with Excel."""
    origin = source()
    what = f'"{origin.name}{EXTRA}"' if origin and origin.is_file() else f'".{EXTRA}"'
    return (
        f"There is no Excel for this system: take {lot.name}, {lot.stem}.py and {origin or 'the folder of Tarelot'} to "
        f"the computer with Excel and type there: python -m pip install {what}; then set the workbook up there again, "
        "so that all names that follow are that computer's."
    )


def _windows_start() -> Path:
    return Path(os.environ.get("APPDATA", str(Path.home() / "AppData/Roaming"))) / WINDOWS_START


def _add_in(place: Path) -> Finding:
    if not place.exists():
        return Finding(False, f"xlwings' add-in is not in {place.parent}: close Excel and run {_install()}")
    if not filecmp.cmp(place, xlwings_folder() / "addin" / ADD_IN, shallow=False):
        return Finding(False, f"{place} is of another version of xlwings: close Excel and run {_install()}")
    return Finding(True, f"{place} is there")


def _mac_script() -> Finding:
    """The script through which Excel on macOS starts Python."""
    place = Path.home() / MAC_SCRIPTS / f"xlwings-{importlib.metadata.version('xlwings')}.applescript"
    if place.exists():
        return Finding(True, f"{place} is there")
    return Finding(False, f"{place} is missing: run {python()} -m xlwings.cli runpython install")


def _interpreter() -> Finding:
    """Whether xlwings' settings name this Python; installing its add-in leaves older settings as they are."""
    on_windows = sys.platform == "win32"
    place = Path.home() / (WINDOWS_SETTINGS if on_windows else MAC_SETTINGS)
    key = "INTERPRETER_WIN" if on_windows else "INTERPRETER_MAC"
    try:
        with place.open(encoding="utf-8", newline="") as file:
            found = {row[0]: row[1] for row in csv.reader(file) if len(row) == 2}.get(key, "")
    except OSError:
        found = ""
    if found == sys.executable:
        return Finding(True, f"the button starts {found}")
    now = f'"{found}"' if found else "no Python"
    return Finding(False, f"{place} names {now}: on the ribbon's tab xlwings type {sys.executable} as the Interpreter")
