"""Several lots in one command: which files are meant, what is found in each, side by side, and what became of the rest.

What a command does with one lot is a function of its path. It is called in processes of its own, which Windows and
macOS begin by importing this module anew: the function stands in a module, and what it gives can be pickled.
"""

from __future__ import annotations

import os
import signal
import sys
import threading
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass
from multiprocessing import get_context, parent_process
from pathlib import Path
from typing import Generic, TypeVar

from tarelot.addin.command_line.command import CommandError, Parser, reason, refuse_no_file, unchanged
from tarelot.addin.command_line.output import clean, progress
from tarelot.workbook_templates.basis.counts import so_many

Found = TypeVar("Found")
NOT_READ = 2
"""The exit status where a file that was named could not be read."""
SUFFIXES = (".xlsx", ".xlsm")
MOST_PROCESSES = 61
"""More cannot be waited for on Windows."""
ENDED = "the process that worked it out ended early: is there too little memory?"


@dataclass(frozen=True)
class LotFile:
    """A file to be read: what it is called on every line, its path, and whether a folder led to it."""

    name: str
    path: Path
    is_from_folder: bool = False


@dataclass(frozen=True)
class Left:
    """A file, or a folder, of which nothing is shown, and why."""

    path: Path
    why: str

    def __str__(self) -> str:
        """In one line that begins with the path, also where the reason names the file itself."""
        if self.why.startswith(str(self.path)):
            return self.why
        said = self.why.removeprefix(self.path.name)
        return f"{self.path}{said}" if said != self.why else f"{self.path}: {self.why}"

    def as_data(self) -> dict[str, str]:
        """For machines."""
        return {"path": str(self.path), "why": self.why}


@dataclass(frozen=True)
class Outcome(Generic[Found]):
    """What became of several lots.

    Attributes:
        done: Each lot that was worked out, with what was found, in the order named.
        not_read: What could not be read.
        passed_over: What is no lot, was named twice, or lacks what is asked for.
    """

    done: tuple[tuple[LotFile, Found], ...]
    not_read: tuple[Left, ...]
    passed_over: tuple[Left, ...]

    def lots_as_data(self, data: Callable[[Found], Mapping[str, object]]) -> list[dict[str, object]]:
        """Each lot with what was found, for machines."""
        return [{"lot": lot.name, "path": str(lot.path), **data(found)} for lot, found in self.done]

    def say_left(self) -> None:
        """Say on standard error what could not be read; where nothing else is left, also what was passed over."""
        for left in self.not_read + (() if self.done else self.passed_over):
            said = str(left).rstrip(".")
            print(f"tarelot: {clean(said)}{'' if said.endswith('?') else '.'} {unchanged({})}", file=sys.stderr)

    def passed_over_words(self) -> list[str]:
        """The line about what was passed over; none where nothing was."""
        return [f"Passed over: {_grouped(self.passed_over)}."] if self.passed_over else []

    def left_as_data(self) -> dict[str, list[dict[str, str]]]:
        """For machines."""
        return {
            "not_read": [left.as_data() for left in self.not_read],
            "passed_over": [left.as_data() for left in self.passed_over],
        }

    def counted(self) -> str:
        """How many lots the totals are of.

        >>> north, south = LotFile("north", Path("north.xlsx")), Left(Path("south.xlsx"), "is not there")
        >>> Outcome(((north, 0),), (south,), ()).counted()
        '1 lot, and 1 that could not be read'
        """
        count, unread = len(self.done), len(self.not_read)
        said = so_many(count, "lot")
        return f"{said}, and {unread:,} that could not be read" if unread else said


def add_argument(to: Parser) -> None:
    """The lots that a command is given."""
    to.add_argument("file", type=Path, nargs="+", help="lot workbook; or several, or folders with lots")


def only_one(named: Sequence[Path]) -> Path | None:
    """The one file where one is named, and None where several or a folder are.

    Raises:
        CommandError: It is not there.
    """
    if len(named) > 1 or named[0].is_dir():
        return None
    refuse_no_file(named[0])
    return named[0]


def work_out(
    named: Sequence[Path], work: Callable[[Path], Found], *, processes: int = 0, method: str | None = None
) -> Outcome[Found]:
    """What a function finds in each lot, on all cores.

    Args:
        named: Files, and folders, each of which stands for the lots that lie in it.
        work: Gives what is found in a lot; it stands in a module, and what it gives can be pickled.
        processes: How many at most; one for each core if left out.
        method: How a process is begun, by its name in ``multiprocessing``; the system's own way if left out.

    Raises:
        CommandError: Nothing went wrong, and yet no lot is left: each was passed over, and the message says why.
    """
    from tarelot.workbook_templates.hauling.match.reading import NoSuchName
    from tarelot.workbook_templates.lot.reading import NoLot

    files, not_read, passed_over = _files(named)
    done = []
    for file, (found, error) in zip(files, _side_by_side(files, work, processes or _cores(), method), strict=True):
        if error is None:
            done.append((file, found))
        elif issubclass(error[0], NoSuchName) or (issubclass(error[0], NoLot) and file.is_from_folder):
            passed_over.append(Left(file.path, "no lot" if issubclass(error[0], NoLot) else error[1]))
        else:
            not_read.append(Left(file.path, error[1]))
    if not done and not not_read:
        raise CommandError(f"no lot is left: {_grouped(passed_over)}")
    return Outcome(tuple(done), tuple(not_read), tuple(passed_over))  # type: ignore[arg-type]


def summed(totals: Iterable[Mapping[str, int]]) -> dict[str, int]:
    """Counts of several lots, one by one added.

    >>> summed([{"trailers": 2, "YES": 1}, {"trailers": 3, "YES": 0}])
    {'trailers': 5, 'YES': 1}
    """
    found: dict[str, int] = {}
    for counts in totals:
        for name, count in counts.items():
            found[name] = found.get(name, 0) + count
    return found


def common_unit(units: Iterable[str]) -> str:
    """The unit for the headings where all lots have the same; none where they differ, so that it stands in the cells.

    >>> common_unit(["lb", "lb"]), common_unit(["lb", "kg"])
    ('lb', '')
    """
    found = set(units)
    return found.pop() if len(found) == 1 else ""


def unit_words(units: Mapping[str, str]) -> list[str]:
    """The line about weights where not every lot has the same unit, by the lot's name; none where each has."""
    if len(set(units.values())) < 2:
        return []
    lots = {unit: ", ".join(name for name, its in units.items() if its == unit) for unit in units.values()}
    in_each = "; ".join(f"{unit} in {names}" for unit, names in lots.items())
    return [f"Weights are in each lot's own unit: {in_each}."]


def _grouped(left: Iterable[Left]) -> str:
    """Paths and reasons, each reason once."""
    paths: dict[str, list[str]] = {}
    for one in left:
        paths.setdefault(one.why, []).append(str(one.path))
    return "; ".join(f"{', '.join(found)}: {why}" for why, found in paths.items())


def _files(named: Sequence[Path]) -> tuple[list[LotFile], list[Left], list[Left]]:
    """The files to be read, what cannot be, and what is passed over before anything is read."""
    found: dict[Path, tuple[Path, bool]] = {}
    not_read, passed_over = [], []
    for path in named:
        try:
            is_folder = path.is_dir()
            inside = _inside(path) if is_folder else [path]
            if not is_folder:
                refuse_no_file(path)
        except (CommandError, OSError) as error:
            not_read.append(Left(path, reason(error)))
            continue
        for file in inside:
            if file.resolve() in found:
                passed_over.append(Left(file, "named twice, read once"))
            else:
                found[file.resolve()] = (file, is_folder)
    stems = Counter(path.stem.lower() for path, _ in found.values())
    files = [
        LotFile(path.stem if stems[path.stem.lower()] == 1 else str(path), path, is_from_folder)
        for path, is_from_folder in found.values()
    ]
    return files, not_read, passed_over


def _inside(folder: Path) -> list[Path]:
    """The workbooks in a folder, without backups and without what a program keeps there while it has one open.

    Raises:
        CommandError: It holds backups, or no workbook.
    """
    from tarelot.workbook_templates.ooxml.safe_file import BACKUPS_END, is_backup

    if folder.resolve().name.endswith(tuple(f"{suffix}{BACKUPS_END}" for suffix in SUFFIXES)):
        raise CommandError(f"{folder} is a folder of backups")
    found = [
        path
        for path in folder.iterdir()
        if path.suffix.lower() in SUFFIXES
        and not path.name.startswith(("~$", "."))
        and not is_backup(path)
        and path.is_file()
    ]
    if not found:
        raise CommandError(f"{folder} holds no .xlsx file")
    return sorted(found, key=lambda path: path.name.lower())


Tried = tuple[Found | None, tuple[type[Exception], str] | None]
"""What was found, or the kind of error and what it says."""


def _tried(work: Callable[[Path], Found], path: Path) -> Tried[Found]:
    """Work a lot out; an error is handed back, so that it stops no other lot."""
    try:
        return work(path), None
    except (ValueError, OSError, RuntimeError) as error:
        return None, (type(error), reason(error))


def _cores() -> int:
    """The cores that this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def _side_by_side(
    files: Sequence[LotFile], work: Callable[[Path], Found], processes: int, method: str | None
) -> Iterator[Tried[Found]]:
    """Each lot worked out, in their order."""
    processes = min(processes, len(files), MOST_PROCESSES)
    if processes < 2:
        yield from (_tried(work, file.path) for file in files)
        return
    with ProcessPoolExecutor(processes, get_context(method), initializer=_begin) as pool:
        # All are handed in before the bar begins, which has a thread of its own: no process is forked beside one.
        handed_in = [pool.submit(_tried, work, file.path) for file in files]
        try:
            with progress(len(files)) as step:
                for file, future in zip(files, handed_in, strict=True):
                    step(file.name)
                    yield _result(future, work, file, method)
        finally:
            pool.shutdown(cancel_futures=True)


def _result(
    future: Future[Tried[Found]], work: Callable[[Path], Found], file: LotFile, method: str | None
) -> Tried[Found]:
    """A lot's result. Where a process ended, all that wait fail: each is tried again in a process of its own."""
    try:
        return future.result()
    except BrokenProcessPool:
        pass
    # The bar's thread is there by now, so this one is not forked.
    with ProcessPoolExecutor(1, get_context(method or "spawn"), initializer=_begin) as alone:
        try:
            return alone.submit(_tried, work, file.path).result()
        except BrokenProcessPool as error:
            return None, (type(error), ENDED)


def _begin() -> None:
    """In a process that works lots out: the first process alone is told of Ctrl+C, and none outlives it."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    parent = parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)
