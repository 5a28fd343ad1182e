"""Puts a new version of a file in place so that nothing is ever lost: checked, synced, backed up, in one step.

A kill or a power cut at any instant leaves the old file or the new one, whole. The file it replaces is kept in a
folder beside it, ``NAME backups``, the last ten of them.
"""

from __future__ import annotations

import contextlib
import datetime
import errno
import hashlib
import os
import re
import shutil
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from tarelot.workbook_templates.ooxml.leftovers import HIDDEN, own_folder, owned, remove_leftovers

BACKUPS_KEPT = 10
UNDO = "undo"
WRITTEN = ".written"
"""In the folder of the backups: the check sums of what was put in place."""

BACKUPS_END = " backups"
"""How the name of a folder of backups ends, behind the file's own."""

_REASON = re.compile(r"[^\w ,-]+")
_BACKUP = re.compile(r"(?P<number>[0-9]{6}) (?P<when>[0-9-]{10} [0-9.]{8}) before (?P<reason>.*)")


class FileError(ValueError):
    """A file that cannot be replaced safely; the message is one line for a person."""


@dataclass(frozen=True)
class Backup:
    """A kept version of a file: its place, its number (the highest is the newest) and what it was replaced for."""

    path: Path
    number: int
    reason: str


def backup_folder(path: Path) -> Path:
    """The folder that holds the backups of a file."""
    real = path.resolve()
    return real.with_name(f"{real.name}{BACKUPS_END}")


def is_backup(path: Path) -> bool:
    """Whether a file bears the name of a backup, wherever it lies.

    >>> is_backup(Path("000001 2026-03-05 10.11.12 before import.xlsx")), is_backup(Path("lot.xlsx"))
    (True, False)
    """
    return _BACKUP.fullmatch(path.stem) is not None


def backups(path: Path) -> list[Backup]:
    """The backups of a file, the newest first."""
    folder = backup_folder(path)
    found = []
    for kept in folder.iterdir() if folder.is_dir() else ():
        named = _BACKUP.fullmatch(kept.name.removesuffix(path.resolve().suffix))
        if named:
            found.append(Backup(kept, int(named["number"]), named["reason"]))
    return sorted(found, key=lambda backup: (backup.number, backup.path.name), reverse=True)


def refuse_if_open(path: Path) -> None:
    """Refuse a file that is missing, open in a spreadsheet program, or not to be written.

    Raises:
        FileError: With the reason, in one line.
    """
    if not path.exists():
        raise FileError(f"{path} does not exist")
    if not path.is_file():
        raise FileError(f"{path} is not a file")
    for one in {path, path.resolve()}:
        for lock, program in ((f".~lock.{one.name}#", "LibreOffice"), (f"~${one.name}", "Excel")):
            if one.with_name(lock).exists():
                raise FileError(
                    f"{path.name} is open in {program}: close it there first "
                    f"(if it is not open, delete the file {lock} beside it)"
                )
    try:
        # Where a program holds the file without a lock beside it, opening it for writing fails.
        with path.open("r+b"):
            pass
    except OSError as error:
        raise FileError(f"{path.name} cannot be written: {error.strerror}") from error
    if not os.access(path.resolve().parent, os.W_OK):
        raise FileError(f"{path.name} cannot be replaced: its folder cannot be written")


def replace_file(path: Path, write: Callable[[Path], None], reason: str) -> Path:
    """Replace a file by what ``write`` makes, and return where the version it replaced is kept.

    Args:
        path: The file; a link is followed.
        write: Called once with the place, beside the file, where the new version is to be written.
        reason: One or two words for the backup's name, such as ``import``.

    Raises:
        FileError: The file is open elsewhere, cannot be written, or was changed meanwhile. It is then as it was,
            as it is when ``write`` raises.
    """
    refuse_if_open(path)
    real = path.resolve()
    remove_leftovers_of(real)
    before = _fingerprint(real)
    with _beside(real, real.parent) as new:
        write(new)
        _sync(new)
        shutil.copymode(real, new)
        kept = _keep(real, reason)
        _note_written(real, new)
        try:
            _put_in_place(new, path, before)
        except FileError:
            kept.unlink(missing_ok=True)
            raise
    _sync_folder(real.parent)
    _drop_oldest(real)
    return kept


def new_file(path: Path, write: Callable[[Path], object]) -> None:
    """Put a file in place that is not there yet: whole and synced before it gets its name.

    Args:
        path: The file.
        write: Called once with the place, beside the file and of the same name, where it is to be written.

    Raises:
        FileExistsError: The name is taken; what has it is left.
        OSError: The file cannot be written.
    """
    with own_folder(path.parent) as folder:
        made = folder / path.name
        write(made)
        _sync(made)
        if not _named(made, path):
            raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), str(path))
    _sync_folder(path.parent)


def to_undo(path: Path, *, further: bool = False) -> Backup:
    """The backup that ``undo`` puts back: the newest that differs from the file.

    Args:
        path: The file.
        further: Pass over what an undo kept, to go further back than the last undo, and not forward again.

    Raises:
        FileError: There is none.
    """
    refuse_if_open(path)
    current = path.read_bytes()
    for backup in backups(path):
        # A kill between keeping and replacing leaves a backup of what the file still holds: it is no step back.
        if not (further and backup.reason == UNDO) and backup.path.read_bytes() != current:
            return backup
    raise FileError(f"{path.name} has no backup to go back to")


def is_as_written(path: Path) -> bool:
    """Whether a file holds what was last put in place here, or once was: nobody edited it since."""
    noted = backup_folder(path) / WRITTEN
    return noted.is_file() and _digest(path) in noted.read_text(encoding="ascii", errors="replace").split()


def undo(path: Path, *, further: bool = False) -> Path:
    """Put the newest backup back, and return the name it had.

    What the file held is kept as a backup too, marked ``undo``; the backup put back is taken away. So a second undo
    goes forward again, and one ``further`` goes one step further back.

    Raises:
        FileError: There is no backup, or the file cannot be replaced.
    """
    backup = to_undo(path, further=further)

    def write(new: Path) -> None:
        shutil.copyfile(backup.path, new)

    replace_file(path, write, UNDO)
    backup.path.unlink(missing_ok=True)
    return backup.path


def _note_written(real: Path, new: Path) -> None:
    """Note what is about to be put in place, for ``is_as_written``; where that is lost, a person is asked once more."""
    noted = backup_folder(real) / WRITTEN
    before = noted.read_text(encoding="ascii", errors="replace").split() if noted.is_file() else []
    noted.write_text("\n".join([*before[-BACKUPS_KEPT:], _digest(new)]), encoding="ascii")


def _digest(path: Path) -> str:
    found = hashlib.sha256()
    with path.open("rb") as file:
        while block := file.read(1 << 20):
            found.update(block)
    return found.hexdigest()


def _put_in_place(new: Path, path: Path, before: tuple[int, int, int]) -> None:
    """The one step that changes the file, once it is sure that nobody else has it or changed it meanwhile."""
    refuse_if_open(path)
    if _fingerprint(path.resolve()) != before:
        raise FileError(f"{path.name} was changed by another program meanwhile: nothing was done, try again")
    try:
        os.replace(new, path.resolve())
    except OSError as error:
        raise FileError(f"{path.name} cannot be replaced: {error.strerror}") from error


def _fingerprint(path: Path) -> tuple[int, int, int]:
    state = path.stat()
    return state.st_mtime_ns, state.st_size, state.st_ino


@contextlib.contextmanager
def _beside(real: Path, folder: Path) -> Iterator[Path]:
    """A new empty file in ``folder`` with the same ending; removed at the end if it is still there."""
    handle, name = tempfile.mkstemp(prefix=owned(f".{real.stem}.new-"), suffix=real.suffix, dir=folder)
    os.close(handle)
    new = Path(name)
    try:
        yield new
    finally:
        new.unlink(missing_ok=True)


def keep(path: Path, version: Path, reason: str) -> Path:
    """Keep a version of a file among its backups, and return where: for a program that has the file open.

    Args:
        path: The file; a link is followed.
        version: A copy of what the program holds, with what was not saved yet.
        reason: One or two words for the backup's name.

    Raises:
        OSError: The folder of the backups cannot be written.
    """
    real = path.resolve()
    kept = _keep(real, reason, version)
    _drop_oldest(real)
    return kept


def _drop_oldest(real: Path) -> None:
    for old in backups(real)[BACKUPS_KEPT:]:
        old.path.unlink(missing_ok=True)


def _keep(real: Path, reason: str, version: Path | None = None) -> Path:
    """Copy the file, or a version of it, into its backup folder, whole and synced before it gets its name there."""
    folder = backup_folder(real)
    folder.mkdir(exist_ok=True)
    with _beside(real, folder) as copy:
        shutil.copyfile(version or real, copy)
        shutil.copymode(real, copy)
        _sync(copy)
        number = next((backup.number for backup in backups(real)), 0) + 1
        while True:
            when = datetime.datetime.now().strftime("%Y-%m-%d %H.%M.%S")
            kept = folder / f"{number:06d} {when} before {_REASON.sub(' ', reason).strip() or 'change'}{real.suffix}"
            if _named(copy, kept):
                break
            number += 1
    _sync_folder(folder)
    _sync_folder(real.parent)
    return kept


def _named(copy: Path, name: Path) -> bool:
    """Give the copy its name unless that is taken, in one step."""
    try:
        os.link(copy, name)
    except FileExistsError:
        return False
    except OSError:
        # File systems of memory sticks and some network folders have no second names.
        if os.path.lexists(name):
            return False
        copy.rename(name)
    return True


def remove_leftovers_of(real: Path) -> None:
    """Remove what a killed run left half written."""
    for folder in (real.parent, backup_folder(real)):
        remove_leftovers(folder, f".{_plain(real.stem)}.new-*{_plain(real.suffix)}")
        remove_leftovers(folder, f"{HIDDEN}*")


def _plain(text: str) -> str:
    """``text`` with its wildcards made plain."""
    return re.sub(r"([*?[])", r"[\1]", text)


def _sync(path: Path) -> None:
    with path.open("rb+") as file:
        os.fsync(file.fileno())


def _sync_folder(folder: Path) -> None:
    """Make the names in a folder last; Windows has no such call and needs none."""
    if os.name == "nt":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
