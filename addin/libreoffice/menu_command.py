"""Asks the installed command ``tarelot`` for data. LibreOffice's own Python lacks the libraries that it needs."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from itertools import dropwhile
from pathlib import Path
from typing import Any

from tarelot.addin.libreoffice.menu_names import COMMAND_FILE

SECONDS = 600
REFUSED = 2
OFFICE_S_OWN = ("PYTHONHOME", "PYTHONPATH", "LD_LIBRARY_PATH", "DYLD_LIBRARY_PATH")
"""What LibreOffice sets for its own Python, and what would lead another Python astray."""
SET_UP = "close LibreOffice, run: tarelot setup libreoffice, and start it again"


class MenuError(Exception):
    """An entry of the menu cannot do its work; the text is one line for the person."""


def read_command(folder: Path) -> list[str]:
    """The command that was recorded when the extension was set up.

    Args:
        folder: Where LibreOffice unpacked the extension.

    Raises:
        MenuError: None was recorded.
    """
    try:
        command = json.loads((folder / COMMAND_FILE).read_text(encoding="utf-8"))
    except FileNotFoundError as error:
        raise MenuError(f"This menu does not know where the command tarelot is: {SET_UP}.") from error
    return [str(part) for part in command]


def ask(command: list[str], *arguments: str | Path, folder: Path) -> Any:
    """What the command prints as data.

    Args:
        command: How to start it.
        arguments: What it shall do.
        folder: Where it works.

    Raises:
        MenuError: It cannot be started, refuses, or takes longer than ten minutes.
    """
    environment = {name: value for name, value in os.environ.items() if name not in OFFICE_S_OWN}
    try:
        done = subprocess.run(  # noqa: S603 - the command recorded by our own setup, without a shell
            [*command, *map(str, arguments)],
            capture_output=True,
            encoding="utf-8",
            errors="replace",
            env={**environment, "PYTHONUTF8": "1"},
            cwd=folder,
            stdin=subprocess.DEVNULL,
            timeout=SECONDS,
            creationflags=getattr(subprocess, "CREATE_NO_WINDOW", 0) if sys.platform == "win32" else 0,
        )
    except OSError as error:
        raise MenuError(f"The command tarelot does not start ({error.strerror}): {SET_UP}.") from error
    except subprocess.TimeoutExpired as error:
        raise MenuError("The command tarelot took longer than ten minutes: nothing was changed.") from error
    if done.returncode not in (0, 1):
        raise MenuError(_reason(done))
    try:
        # A library that the command works with may print lines of its own before the data.
        return json.loads("".join(dropwhile(lambda line: line[0] not in "{[", done.stdout.splitlines(keepends=True))))
    except ValueError as error:
        raise MenuError(_reason(done)) from error


def _reason(done: subprocess.CompletedProcess[str]) -> str:
    """The command's own last line, or what to do where it did not get as far as that."""
    lines = [line for line in done.stderr.splitlines() if line.strip()]
    if done.returncode == REFUSED and lines and lines[-1].startswith("tarelot: "):
        return lines[-1].removeprefix("tarelot: ")
    return f"The command tarelot failed ({lines[-1] if lines else f'status {done.returncode}'}): {SET_UP}."
