"""Files that a command writes: whole or not at all, and never over one that is there."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from tarelot.addin.command_line.command import CommandError, reason
from tarelot.workbook_templates.ooxml.safe_file import new_file


def write_new(target: Path, write: Callable[[Path], object]) -> None:
    """Write a file that is not there yet, by a name of its own until it is whole.

    Args:
        target: The file.
        write: Writes it at the place that it is given.

    Raises:
        CommandError: The file is there already, its folder is not, or it cannot be written.
    """
    refuse_existing(target)
    try:
        new_file(target, write)
    except FileExistsError as error:
        raise CommandError(f"{target} is there already: choose another name") from error
    except OSError as error:
        error.filename = None  # it names a place that a person never sees
        raise CommandError(f"{target} cannot be written: {reason(error)}") from error


def write_new_bytes(target: Path, content: bytes) -> None:
    """Write a file that is not there yet, whole or not at all.

    Raises:
        CommandError: As for ``write_new``.
    """
    write_new(target, lambda new: new.write_bytes(content))


def refuse_existing(target: Path) -> None:
    """Refuse a name that is taken, or in a folder that is not there.

    Raises:
        CommandError: With the name.
    """
    if target.is_dir():
        raise CommandError(f"{target} is a folder: give a file's name")
    if os.path.lexists(target):
        raise CommandError(f"{target} is there already: choose another name")
    if not target.parent.is_dir():
        raise CommandError(f"there is no folder {target.parent}: make it first")


def refuse_no_folder(path: Path) -> None:
    """Refuse a file's name where a folder is to be written into.

    Raises:
        CommandError: With the name.
    """
    if path.exists() and not path.is_dir():
        raise CommandError(f"{path} is a file: --out needs a folder")


@contextmanager
def out_folder(path: Path) -> Iterator[None]:
    """A folder to write into, made where it is not there yet, and taken away again where what is done inside fails.

    Raises:
        CommandError: A file has that name.
    """
    refuse_no_folder(path)
    made = [folder for folder in (path, *path.parents) if not folder.exists()]
    try:
        path.mkdir(parents=True, exist_ok=True)
        yield
    except BaseException:
        for folder in made:
            with suppress(OSError):  # it holds something by now, or was never made
                folder.rmdir()
        raise
