"""Setting the functions up in a spreadsheet program, and saying what is there and what is missing."""

from __future__ import annotations

import sys
from pathlib import Path
from tempfile import TemporaryDirectory

from tarelot.addin.excel import setup as excel_setup
from tarelot.addin.libreoffice import build, install

COMMAND = (sys.executable, "-m", "tarelot.addin.command_line")
"""How the menu in LibreOffice starts the command."""
HOW_TO_CHECK = "Start LibreOffice Calc and type =LOT_PAYLOAD(15000,8600) into a cell: it must show 6400."


def libreoffice(*, remove: bool = False) -> list[str]:
    """Install the extension for the current user, or remove it; what was done, a line each.

    Raises:
        InstallError: LibreOffice is missing, too old or open, or the user is root.
    """
    if remove:
        install.uninstall()
        return ["Removed from LibreOffice."]
    with TemporaryDirectory() as folder:
        extension = Path(folder) / "tarelot.oxt"
        build.build(extension, COMMAND)
        install.install(extension)
    return [f"Installed in LibreOffice: version {install.check()}.", HOW_TO_CHECK]


def excel(folder: Path) -> list[str]:
    """Write what Excel on Windows needs; the steps that only a person may do, numbered.

    Raises:
        SetupError: xlwings is missing, or the folder cannot be written.
    """
    steps = excel_setup.write(folder)
    return [
        f"Written: {folder / excel_setup.ADD_IN}. What follows only you may do:",
        *(f"{number}. {step}" for number, step in enumerate(steps, 1)),
    ]


def check() -> list[str]:
    """What is installed, what is missing and what to do, a line each."""
    lines = ["ok       plain formulas: every workbook works with nothing installed"]
    try:
        office = install.find_office()
        lines.append(f"ok       LibreOffice {'.'.join(map(str, office.version))}")
        lines.append(f"ok       functions in LibreOffice: version {install.check()}")
    except install.InstallError as missing:
        lines.append(f"missing  LibreOffice: {missing}. Then: tarelot setup libreoffice")
    for finding in excel_setup.check():
        lines.append(f"{'ok      ' if finding.found else 'missing '} Excel: {finding.line}")
    return lines
