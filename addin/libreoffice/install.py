"""Puts the extension into the current user's LibreOffice, takes it out again, and says whether it is there.

Works through unopkg, LibreOffice's own tool for extensions. Each function either does the whole of what it says or
raises InstallError with one line that a person can act on.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

from tarelot.addin.libreoffice.names import EXTENSION

MINIMUM_VERSION = (25, 2)  # older ones do not resolve an add-in's names in an .xlsx
NOT_THERE = "no such extension deployed"  # as unopkg says it
TOOL_SECONDS = 180  # a first start on a slow disk included


class InstallError(RuntimeError):
    """LibreOffice, or the extension in it, is not as it must be; the text is one line for the user."""


class NotInstalled(InstallError):
    """LibreOffice is there, the extension is not in it or is switched off."""


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
    done = _run([soffice, "--version"])
    found = re.search(r"LibreOffice (\d+(?:\.\d+)+)", done.stdout)
    if found is None:
        raise InstallError(f"{soffice} does not say which version of LibreOffice it is")
    version = tuple(int(part) for part in found[1].split("."))
    if version < MINIMUM_VERSION:
        raise InstallError(f"LibreOffice {found[1]} is too old: version 25.2 or later is needed")
    return Office(program, version)


def default_profile() -> Path:
    """The folder of the current user's LibreOffice settings."""
    if sys.platform == "win32":
        return Path(os.environ["APPDATA"]) / "LibreOffice" / "4"
    if sys.platform == "darwin":
        return Path.home() / "Library" / "Application Support" / "LibreOffice" / "4"
    return Path(os.environ.get("XDG_CONFIG_HOME") or Path.home() / ".config") / "libreoffice" / "4"


def install(extension: Path, profile: Path | None = None) -> None:
    """Add the extension, or put this version in place of an older one. LibreOffice has it from its next start on.

    Args:
        extension: The .oxt that `build` wrote.
        profile: Another folder of LibreOffice settings than the current user's.

    Raises:
        InstallError: LibreOffice is missing, too old or open, the user is root, or LibreOffice refuses the file.
    """
    _unopkg(["add", "--force", str(extension)], profile)


def uninstall(profile: Path | None = None) -> None:
    """Remove the extension.

    Raises:
        InstallError: As for `install`, or the extension is not there.
    """
    _unopkg(["remove", EXTENSION], profile)


def check(profile: Path | None = None) -> str:
    """The version of the extension that is installed and switched on.

    Raises:
        NotInstalled: The extension is not there or switched off.
        InstallError: As for `install`.
    """
    listing = _unopkg(["list", EXTENSION], profile)
    found = re.search(r"Version: (\S+)", listing)
    if found is None:
        raise NotInstalled("LibreOffice does not say which version of the extension it has: install it again")
    if "is registered: yes" not in listing or "is registered: no" in listing:
        raise NotInstalled("the extension is installed but switched off: install it again")
    return found[1]


def _unopkg(arguments: list[str], profile: Path | None) -> str:
    """What unopkg prints; InstallError with its own reason where it refuses."""
    office = find_office()
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        raise InstallError("LibreOffice has no extensions for root: run this as the user who works in LibreOffice")
    folder = profile or default_profile()
    if (folder / ".lock").exists():  # unopkg would hand the work to the open program, which keeps the old state
        raise InstallError(
            "LibreOffice is open: close it and run this again (after a crash, open and close it once more first)"
        )
    choice = [] if profile is None else [f"-env:UserInstallation={profile.resolve().as_uri()}"]
    done = _run([office.unopkg, *arguments, *choice])
    if done.returncode != 0:
        output = done.stderr + done.stdout
        raise (NotInstalled if NOT_THERE in output else InstallError)(_reason(output))
    return done.stdout


def _reason(output: str) -> str:
    """The line of unopkg's output that says what is wrong, in our words where we know it."""
    if NOT_THERE in output:
        return "the extension is not installed in LibreOffice"
    lines = [line.removeprefix("ERROR: ").strip() for line in output.splitlines() if line.startswith("ERROR:")]
    return f"LibreOffice refused: {lines[0]}" if lines else "LibreOffice refused and gave no reason"


def _run(command: list[Path | str]) -> subprocess.CompletedProcess[str]:
    """Run one of LibreOffice's programs to its end and keep what it prints."""
    try:
        return subprocess.run(  # noqa: S603 - a program found by us, arguments of our own, no shell
            command,
            capture_output=True,
            text=True,
            errors="replace",
            timeout=TOOL_SECONDS,
            check=False,
            env={**os.environ, "LC_ALL": "C.UTF-8"},
        )
    except subprocess.TimeoutExpired as error:
        raise InstallError(f"{command[0]} did not end within {TOOL_SECONDS} seconds") from error
    except OSError as error:
        raise InstallError(f"{command[0]} cannot be run: {error.strerror}") from error
