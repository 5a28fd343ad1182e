"""Find LibreOffice on this computer."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

MINIMUM_VERSION = (25, 2)  # older ones do not resolve an add-in's names in an .xlsx
VERSION_SECONDS = 60


class InstallError(Exception):
    """LibreOffice, or the extension in it, is not as it must be; the text is one line for the user."""


@dataclass(frozen=True)
class Office:
    """A LibreOffice on this computer."""

    program: Path  # the folder that holds soffice and unopkg
    version: tuple[int, ...]

    @property
    def soffice(self) -> Path:
        """The program itself, in the form that writes to the console."""
        return self.program / _executable("soffice")

    @property
    def unopkg(self) -> Path:
        """LibreOffice's own tool for extensions."""
        return self.program / _executable("unopkg")


def _executable(name: str) -> str:
    """File name of a program: on Windows only the `.com` form waits and writes to the console."""
    return f"{name}.com" if sys.platform == "win32" else name


def _program_folders() -> list[Path]:
    """Where soffice may be, the likeliest first."""
    folders = []
    on_path = shutil.which("soffice") or shutil.which("libreoffice")
    if on_path is not None:
        folders.append(Path(on_path).resolve().parent)
    if sys.platform == "win32":
        roots = [os.environ.get(name) for name in ("ProgramFiles", "ProgramW6432", "ProgramFiles(x86)")]
        folders.extend(Path(root) / "LibreOffice" / "program" for root in roots if root)
    elif sys.platform == "darwin":
        application = Path("Applications/LibreOffice.app/Contents/MacOS")
        folders.extend([Path("/") / application, Path.home() / application])
    else:
        folders.extend([Path("/usr/lib/libreoffice/program"), Path("/usr/lib64/libreoffice/program")])
        folders.extend(sorted(Path("/opt").glob("libreoffice*/program"), reverse=True))
    return folders


def find_office() -> Office:
    """The LibreOffice of this computer.

    Raises:
        InstallError: There is none, it does not say its version, or it is too old.
    """
    program = next((folder for folder in _program_folders() if (folder / _executable("soffice")).exists()), None)
    if program is None:
        raise InstallError("LibreOffice is not installed, or not where it usually is: install version 25.2 or later")
    soffice = program / _executable("soffice")
    done = subprocess.run(  # noqa: S603 - a program found above, fixed arguments
        [soffice, "--version"], capture_output=True, text=True, timeout=VERSION_SECONDS, check=False
    )
    found = re.search(r"LibreOffice (\d+(?:\.\d+)+)", done.stdout)
    if found is None:
        raise InstallError(f"{soffice} does not say which version of LibreOffice it is")
    version = tuple(int(part) for part in found[1].split("."))
    if version < MINIMUM_VERSION:
        raise InstallError(f"LibreOffice {found[1]} is too old: version 25.2 or later is needed")
    return Office(program, version)
