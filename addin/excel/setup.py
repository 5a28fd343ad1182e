"""What Excel on Windows needs for our worksheet functions, with the open-source part of xlwings.

    for step in write(Path("excel")):
        print(step)

xlwings ships an empty Excel add-in that holds its VBA code and one hidden sheet of settings. A copy of it, with the
settings filled in, is all that must be written: Excel then starts this Python, which has our functions. The last steps
are the person's, since they loosen or use Excel's own guards. The menus named are those of xlwings' documentation
(Custom Add-ins, User Defined Functions); nothing here was run in Excel.
"""

from __future__ import annotations

import contextlib
import importlib.metadata
import importlib.util
import io
import json
import os
import re
import sys
import zipfile
from pathlib import Path
from typing import NamedTuple
from urllib.parse import urlsplit
from urllib.request import url2pathname
from xml.sax.saxutils import escape

ADD_IN = "tarelot.xlam"
MODULE = "tarelot.addin.excel.lot_functions"
EXTRA = "[excel]"  # the part of pyproject.toml that names xlwings
TRIAL = "type =LOT_PAYLOAD(15000,8600) into a cell: it shows 6400"

CURRENT_EXCEL = r"Excel.Application\CurVer"  # among the programs that Windows' registry knows
LEAST_XLWINGS = (0, 33)
"""As pyproject.toml asks for it."""
LIBRARIES = ("xlwings32", "xlwings64")
"""The libraries for VBA: that of an Excel with 32 bits, and of one with 64."""
TEMPLATE = "quickstart_addin.xlam"
INTERPRETER, SETTINGS_SHEET = "Interpreter_Win", "myaddin.conf"
OF_ANOTHER_SYSTEM = "python"
"""What an add-in names that was not written on Windows."""
WRITE_ANEW = "-m tarelot.addin.command_line setup excel"
OPTIONS = r"Software\Microsoft\Office\{version}.0\Excel\Options"
"""Where Excel keeps which add-ins it opens, among the user's settings: from memory, not tried in Excel."""
OPENED = re.compile('(?:/[A-Z] )?"?([^"]+)"?')
"""Such a value, as ``/R "C:\\Yard\\tarelot.xlam"``."""
SETTINGS_OFF = 'name="_myaddin.conf"'  # xlwings reads the sheet only under the name without the underscore
SETTINGS_ON = 'name="myaddin.conf"'


class SetupError(RuntimeError):
    """What is needed is not there or cannot be written; the text is one line for the user."""


class Finding(NamedTuple):
    """One thing that Excel needs; ``found`` is None where it cannot be told on this computer."""

    found: bool | None
    line: str

    @property
    def state(self) -> str:
        """In a word."""
        return {True: "ok", False: "missing", None: "note"}[self.found]


def source() -> Path | None:
    """The folder or the wheel that Tarelot was installed from, as pip recorded it; None where it is not there."""
    record = importlib.metadata.distribution("tarelot").read_text("direct_url.json")
    url = urlsplit(json.loads(record)["url"] if record else "")
    if url.scheme != "file":
        return None
    path = Path(url2pathname(f"//{url.netloc}{url.path}" if url.netloc else url.path))
    return path if path.exists() else None


def installed() -> str:
    """Version of Tarelot, and the folder or wheel that it runs from."""
    origin = source() or Path(__file__).parents[2]
    return f"{importlib.metadata.version('tarelot')}, from {origin}"


def how_to_install() -> str:
    """What to type so that this Python has xlwings too."""
    origin = source()
    what = "xlwings" if origin is None else f"{origin}{EXTRA}"
    editable = "--editable " if origin is not None and origin.is_dir() else ""
    return f'{python()} -m pip install {editable}"{what}"'


def python() -> str:
    """This Python, as it is typed."""
    return f'"{sys.executable}"' if " " in sys.executable else sys.executable


def write(folder: Path) -> list[str]:
    """Write the Excel add-in into a folder, over an older one; the steps that only a person may do, in order.

    Args:
        folder: Where the add-in stays; Excel opens it from there. It is made if it is not there.

    Raises:
        SetupError: xlwings is missing or not laid out as expected, or the add-in cannot be written.
    """
    target = folder.resolve() / ADD_IN
    content = _add_in()
    unfinished = target.with_name(f"{ADD_IN}.new")
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        unfinished.write_bytes(content)
        os.replace(unfinished, target)
    except OSError as error:
        with contextlib.suppress(OSError):
            unfinished.unlink()
        why = error.strerror or str(error)
        raise SetupError(f"cannot write {target} ({why}): choose another folder, or close Excel") from error
    return _steps(target)


def check() -> list[Finding]:
    """What Excel needs on this computer, found or missing, each with a line that says what to do."""
    if sys.platform != "win32":
        text = "worksheet functions in Excel need Windows: here the workbook's own formulas work without them"
        return [Finding(None, text)]
    import winreg

    places: list[Path] = []
    try:
        current = winreg.QueryValue(winreg.HKEY_CLASSES_ROOT, CURRENT_EXCEL)
        excel = Finding(True, f"{current} is installed")
        places = _opened_by_excel(current.rpartition(".")[2])
    except OSError:
        excel = Finding(False, "Excel is not installed; the functions need the Windows program, not Excel on the web")
    not_yet = Finding(None, f"Excel opens no {ADD_IN} yet: the steps that {WRITE_ANEW} prints add it")
    add_ins = [_add_in_finding(place) for place in places] or [not_yet]
    return [excel, *_libraries(), *add_ins, Finding(None, f"to see whether it has the functions, {TRIAL}")]


def _opened_by_excel(version: str) -> list[Path]:
    """Where the add-ins of our name lie that Excel opens when it starts: its values OPEN, OPEN1 and so on."""
    if sys.platform != "win32":
        return []
    import winreg

    try:
        with winreg.OpenKey(winreg.HKEY_CURRENT_USER, OPTIONS.format(version=version)) as key:
            values = [winreg.EnumValue(key, number) for number in range(winreg.QueryInfoKey(key)[1])]
    except FileNotFoundError:  # an Excel that was never started has no options
        return []
    opened = [OPENED.fullmatch(str(value)) for name, value, _ in values if re.fullmatch("OPEN[0-9]*", name)]
    named = [said[1] for said in opened if said and re.split(r"[\\/]", said[1])[-1].lower() == ADD_IN]
    # One in Excel's own folder of add-ins is named without it; a full path stands for itself.
    return [Path(os.environ.get("APPDATA", ""), "Microsoft", "AddIns", name) for name in named]


def _add_in_finding(place: Path) -> Finding:
    """Whether an add-in that Excel opens is there and names this Python."""
    from python_calamine import CalamineError  # here, since every command reads this module when it starts

    anew = f'write it anew with {python()} {WRITE_ANEW} --out "{place.parent}" and do the steps that it prints'
    try:
        named = _interpreter(place)
    except FileNotFoundError:
        return Finding(False, f"{place}, which Excel opens, is not there: {anew}")
    except (OSError, CalamineError) as error:
        return Finding(False, f"{place}, which Excel opens, cannot be read ({error}): {anew}")
    if os.path.normcase(named) == os.path.normcase(sys.executable):
        return Finding(True, f"{place} starts this Python")
    if named == OF_ANOTHER_SYSTEM:
        why = f"names no Python of this computer but plain {named}, as one written on another system does"
    else:
        why = f"starts another Python, {named}" if named else "names no Python"
    return Finding(False, f"{place} {why}: {anew}")


def _interpreter(place: Path) -> str:
    """The Python that an add-in starts, as its sheet of settings has it; empty where it has none.

    Raises:
        OSError: The file cannot be read.
        CalamineError: It is no workbook, or has no such sheet.
    """
    from python_calamine import CalamineWorkbook

    with place.open("rb") as file:
        rows = CalamineWorkbook.from_filelike(file).get_sheet_by_name(SETTINGS_SHEET).to_python()
    return next((str(row[1]) for row in rows if len(row) > 1 and row[0] == INTERPRETER), "")


def settings() -> dict[str, str]:
    """The rows of the add-in's sheet of settings, by xlwings' names for them.

    The workbook's folder is kept out of Python's search path, since a file there could stand before ours.
    """
    interpreter = sys.executable if sys.platform == "win32" else OF_ANOTHER_SYSTEM
    return {INTERPRETER: interpreter, "UDF Modules": MODULE, "ADD_WORKBOOK_TO_PYTHONPATH": "false"}


def _steps(target: Path) -> list[str]:
    """What the person does after the add-in is written."""
    here = sys.platform == "win32"
    place = str(target) if here else f"the {ADD_IN} written there"
    return [
        *([] if here else _elsewhere()),
        "In Excel: File > Options > Trust Center > Trust Center Settings > Macro Settings, "
        'tick "Trust access to the VBA project object model".',
        f"Open {place} with a double click, enable its macros, and add an empty workbook with Ctrl+N.",
        f"Press Alt+F11. Under myaddin ({ADD_IN}) > Modules open xlwings, click into "
        "Sub ImportPythonUDFsToAddin near its end and press F5: it imports the functions.",
        "In the same window press Ctrl+S: it saves the add-in with the functions.",
        f"In Excel: File > Options > Add-ins > Manage: Excel Add-ins > Go > Browse, and choose {place}.",
        "Untick the trust setting again: only importing needs it.",
        f"To check, {TRIAL}.",
    ]


def _elsewhere() -> list[str]:
    """How Tarelot comes to the Windows computer, where the add-in is written anew, to name that Python."""
    origin = source()
    take, what = f"the folder {origin}", f".{EXTRA}"
    if origin is None:
        take = "Tarelot's folder"
    elif origin.is_file():
        take, what = str(origin), f"{origin.name}{EXTRA}"
    return [
        f"This is not Windows, and the add-in written here names no Python of another computer. Take {take} to the "
        f'Windows computer and run beside it or in it: python -m pip install "{what}"',
        "There run: python -m tarelot.addin.command_line setup excel, which writes the add-in that is meant below.",
    ]


def xlwings_folder() -> Path:
    """Where xlwings is installed; it is not imported, since on Windows that reaches for Excel."""
    found = importlib.util.find_spec("xlwings")
    if found is None or found.origin is None:
        raise SetupError(f"xlwings is not installed: run {how_to_install()}")
    return Path(found.origin).parent


def _add_in() -> bytes:
    """The empty add-in of xlwings with our settings."""
    template = xlwings_folder() / TEMPLATE
    content = io.BytesIO()
    try:
        with zipfile.ZipFile(template) as source, zipfile.ZipFile(content, "w") as package:
            for member in source.infolist():
                package.writestr(member, _filled_in(member.filename, source.read(member)))
    except (OSError, zipfile.BadZipFile) as error:
        raise SetupError(f"cannot read {template} ({error}): install xlwings again") from error
    return content.getvalue()


def _filled_in(name: str, content: bytes) -> bytes:
    """A part of the add-in: the settings' sheet gets its name and rows, everything else stays as it is."""
    if name == "xl/workbook.xml":
        return _replaced(re.escape(SETTINGS_OFF), SETTINGS_ON, content)
    if name == "xl/worksheets/sheet1.xml":
        rows = "".join(_row(number, *pair) for number, pair in enumerate(settings().items(), start=1))
        return _replaced("<sheetData>.*</sheetData>", f"<sheetData>{rows}</sheetData>", content)
    return content


def _row(number: int, *texts: str) -> str:
    """One row of text cells, from column A on."""
    cells = (
        f'<c r="{column}{number}" t="inlineStr"><is><t>{escape(text)}</t></is></c>'
        for column, text in zip("AB", texts, strict=True)
    )
    return f'<row r="{number}">{"".join(cells)}</row>'


def _replaced(pattern: str, replacement: str, content: bytes) -> bytes:
    """The part with the one place that matches replaced."""
    text, places = re.subn(pattern, lambda _: replacement, content.decode(), flags=re.DOTALL)
    if places != 1:
        raise SetupError(f"xlwings' {TEMPLATE} is not laid out as expected: install another version of xlwings")
    return text.encode()


def xlwings_finding() -> Finding:
    """Whether xlwings is installed, and new enough."""
    try:
        version = importlib.metadata.version("xlwings")
    except importlib.metadata.PackageNotFoundError:
        return Finding(False, f"xlwings is missing: run {how_to_install()}")
    if tuple(map(int, re.findall("[0-9]+", version)[:2])) < LEAST_XLWINGS:
        least = ".".join(map(str, LEAST_XLWINGS))
        return Finding(
            False, f"xlwings {version} is older than {least}: run {python()} -m pip install --upgrade xlwings"
        )
    return Finding(True, f"xlwings {version} is installed")


def _libraries() -> list[Finding]:
    """xlwings, the Windows part that it leans on, and its libraries for VBA."""
    xlwings = xlwings_finding()
    if not xlwings.found:
        return [xlwings]
    pywin32 = Finding(True, "pywin32 is installed")
    if importlib.util.find_spec("pythoncom") is None:
        how = f"run {python()} -m pip install pywin32"
        pywin32 = Finding(False, f"pywin32 is missing, through which Python talks to Excel: {how}")
    version = importlib.metadata.version("xlwings")
    return [xlwings, pywin32, *(_library(Path(sys.prefix) / f"{name}-{version}.dll") for name in LIBRARIES)]


def _library(place: Path) -> Finding:
    if place.exists():
        return Finding(True, f"{place} is there")
    return Finding(False, f"{place} is missing: run {python()} -m pip install --force-reinstall xlwings")
