"""What commands share: how one is added, what it may change, and how an error is said."""

from __future__ import annotations

import argparse
import errno
import os
import re
import shlex
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import NoReturn

WORDS = {
    errno.ENOSPC: "the disk is full",
    getattr(errno, "EDQUOT", -1): "the space that you may use is full",
    errno.EFBIG: "the file would be larger than may be written here",
    errno.ENAMETOOLONG: "the name is too long",
    errno.EACCES: "permission is denied",
    errno.EPERM: "permission is denied",
    errno.EROFS: "it can only be read, not written",
    errno.ENOENT: "it is not there",
    errno.EISDIR: "it is a folder",
}
"""What the commonest errors of the system mean to a person."""


Changes = Callable[[argparse.Namespace], Sequence[Path]]
State = dict[Path, tuple[int, int, int] | None]


class CommandError(ValueError):
    """A command cannot do what was asked; the text is one line for the person."""


class Parser(argparse.ArgumentParser):
    """Refuses what it does not understand in one line, like every other error."""

    def error(self, message: str) -> NoReturn:
        """Raise the refusal, for ``main`` to print."""
        raise CommandError(f"{message} (see {self.prog} --help)")


def command(
    commands: argparse._SubParsersAction[Parser],
    name: str,
    summary: str,
    example: str,
    *,
    reads: Sequence[str] = (),
    changes: Changes = lambda _: (),
) -> Parser:
    """Add one command; its help ends with an example.

    Args:
        commands: The commands so far.
        name: What a person types.
        summary: What it does.
        example: One call.
        reads: Names of its arguments that are files, which must be there before it starts.
        changes: The files that it changes or writes, by its arguments; an error says what became of them.
    """
    added = commands.add_parser(
        name, help=summary, description=summary, epilog=f"Example: {example}", allow_abbrev=False
    )
    added.set_defaults(reads=reads, changes=changes)
    return added


def refuse_missing(chosen: argparse.Namespace) -> None:
    """Refuse a file to be read that is not there, or is a folder.

    Raises:
        CommandError: With the file's name.
    """
    for name in getattr(chosen, "reads", ()):
        path: Path | None = getattr(chosen, name)
        if path is not None:
            refuse_no_file(path)


def refuse_no_file(path: Path) -> None:
    """Refuse a path that is no file.

    Raises:
        CommandError: With the file's name.
    """
    if not path.is_file():
        raise CommandError(f"{path} is {'a folder, not a file' if path.is_dir() else 'not there'}")


def reason(error: Exception) -> str:
    """An error in one line, in words where the system gives a number."""
    if not isinstance(error, OSError) or not error.strerror:
        return " ".join(str(error).split())
    words = WORDS.get(error.errno or 0, error.strerror)
    if not isinstance(error.filename, str):
        return words
    place = Path(error.filename)
    # A file that is only ours until it is whole has a name that says nothing to a person.
    return f"{place.parent if place.name.startswith('.') else place}: {words}"


def state(chosen: argparse.Namespace) -> State:
    """The files that a command may change, as they stand: time, size and number; None where there is none."""
    return {path: _stamp(path) for path in chosen.changes(chosen)}


def _stamp(path: Path) -> tuple[int, int, int] | None:
    try:
        found = path.stat()
        # What was half written into a folder and taken away again leaves its time changed, and nothing else.
        return (0, len(os.listdir(path)), 0) if path.is_dir() else (found.st_mtime_ns, found.st_size, found.st_ino)
    except OSError:  # whatever keeps us from looking kept us from writing
        return None


def unchanged(before: State) -> str:
    """What became of the files that a command was to change: looked at, not assumed."""
    said = []
    for path, stamp in before.items():
        now = _stamp(path)
        if stamp is None and now is not None:
            said.append(f"{path.name} is written all the same.")
        elif now != stamp:
            said.append(f"{path.name} was changed before that. To take it back: tarelot undo {as_typed(path)}")
    return " ".join(said) or "Nothing was changed."


def as_typed(path: Path) -> str:
    """A path as a person types it after a command's name, in quotes where the shell needs them.

    >>> as_typed(Path("lot.xlsx"))
    'lot.xlsx'
    """
    text = str(path)
    if text.startswith("-"):
        text = os.path.join(os.curdir, text)
    if sys.platform != "win32":
        return shlex.quote(text)
    # No Windows name holds a quotation mark, and in quotes both of its shells read every other character as it is.
    return text if re.fullmatch(r"[\w.:\\/-]+", text) else f'"{text}"'
