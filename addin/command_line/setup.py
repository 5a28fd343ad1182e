"""``setup``: puts the functions into a spreadsheet program, or says what is there and what is missing."""

from __future__ import annotations

import argparse
from pathlib import Path
from tempfile import TemporaryDirectory

from tarelot.addin.command_line.command import Parser, command
from tarelot.addin.command_line.files import refuse_no_folder
from tarelot.addin.command_line.output import say
from tarelot.addin.excel import button
from tarelot.addin.excel import setup as excel_setup
from tarelot.addin.libreoffice import build, install

HOW_TO_CHECK = "Start LibreOffice Calc and type =LOT_PAYLOAD(15000,8600) into a cell: it must show 6400."


def add_parsers(commands: argparse._SubParsersAction[Parser]) -> None:
    """Add the command to the command line."""
    setup = command(commands, "setup", "install the functions, or check what is installed", "tarelot setup check")
    parts = setup.add_subparsers(title="parts", metavar="PART", required=True)

    calc = command(
        parts, "libreoffice", "install the functions in LibreOffice, for you alone", "tarelot setup libreoffice"
    )
    calc.add_argument("--remove", action="store_true", help="take the functions out again")
    calc.set_defaults(run=lambda chosen: _print(libreoffice(remove=chosen.remove)))

    excel_part = command(
        parts,
        "excel",
        "write what Excel needs, and print the steps that only you may do; with a lot, for the button that imports",
        "tarelot setup excel --out tarelot-excel",
        reads=("lot",),
        changes=lambda chosen: [chosen.lot.with_suffix(".py") if chosen.lot else chosen.out / excel_setup.ADD_IN],
    )
    excel_part.add_argument("lot", type=Path, nargs="?", help="lot workbook that the button Run main is to import into")
    excel_part.add_argument("--out", type=Path, default=Path("tarelot-excel"), help="folder for the Excel files")
    excel_part.set_defaults(run=lambda chosen: _print(excel_button(chosen.lot) if chosen.lot else excel(chosen.out)))

    look = command(parts, "check", "say what is installed, what is missing, and what to do", "tarelot setup check")
    look.set_defaults(run=lambda _: _print(check()))


def _print(lines: list[str]) -> int:
    say(*lines)
    return 0


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
        build.build(extension)
        install.install(extension)
    return [f"Installed in LibreOffice: version {install.check()}.", HOW_TO_CHECK]


def excel(folder: Path) -> list[str]:
    """Write what Excel on Windows needs; the steps that only a person may do, numbered.

    Raises:
        SetupError: xlwings is missing, or the folder cannot be written.
    """
    refuse_no_folder(folder)
    steps = excel_setup.write(folder)
    return _what_follows(folder / excel_setup.ADD_IN, excel_setup.check(), steps)


def excel_button(lot: Path) -> list[str]:
    """Write the module that xlwings' button runs beside a lot; the steps that only a person may do, numbered.

    Raises:
        SetupError: The workbook's name cannot be a module's, or the module cannot be written.
    """
    return _what_follows(button.write(lot), button.check(), button.steps(lot))


def _what_follows(written: Path, findings: list[excel_setup.Finding], steps: list[str]) -> list[str]:
    return [
        f"Tarelot {excel_setup.installed()}",
        *(f"{finding.state:<9}{finding.line}" for finding in findings),
        f"Written: {written}. What follows only you may do:",
        *(f"{number}. {step}" for number, step in enumerate(steps, 1)),
    ]


def check() -> list[str]:
    """What is installed, what is missing and what to do, a line each about one thing."""
    found = [
        ("ok", f"Tarelot {excel_setup.installed()}"),
        ("ok", "plain formulas: every workbook works with nothing installed"),
        *_libreoffice(),
        *((finding.state, f"Excel: {finding.line}") for finding in (*excel_setup.check(), *button.check())),
    ]
    return [f"{state:<9}{line}" for state, line in found]


def _libreoffice() -> list[tuple[str, str]]:
    """The program, and where it is there, the functions in it."""
    try:
        office = install.find_office()
    except install.InstallError as missing:
        return [("missing", f"LibreOffice: {missing}")]
    program = ("ok", f"LibreOffice {'.'.join(map(str, office.version))}")
    try:
        return [program, ("ok", f"functions in LibreOffice: version {install.check()}")]
    except install.NotInstalled as missing:
        return [program, ("missing", f"functions in LibreOffice: {missing}: run tarelot setup libreoffice")]
    except install.InstallError as unknown:
        return [program, ("unknown", f"functions in LibreOffice: {unknown}")]
