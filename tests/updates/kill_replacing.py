"""Kills a process that changes a workbook, at random instants, and looks at what is left.

    python -m tests.updates.kill_replacing 500

The process adds a row to a 2,000-row table, over and over, each time as a new version put in place, and reports each
one that is done. Whenever it is killed the workbook must be whole and hold every row reported, or one more: the one
that was in place but not yet reported. So must each backup that has its name.

Instants are counted in the process's own processor time, so that they fall alike on every step of its work however
busy the machine is. Only Linux can be asked for that of another process.
"""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import tempfile
import time
import zipfile
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path

import xlsxwriter
from python_calamine import CalamineWorkbook

from tarelot.workbook_templates.ooxml.package import edit, tables
from tarelot.workbook_templates.ooxml.safe_file import backups, replace_file

ROOT = Path(__file__).parents[2]
ROWS = 2_000
LONGEST_LIFE = 0.4
"""Seconds of processor time; a version takes about a quarter of that: the instants fall on every step of it."""


def make(path: Path) -> None:
    """A workbook with a table of 2,000 rows, each with its number."""
    wb = xlsxwriter.Workbook(path)
    sheet = wb.add_worksheet("Lot")
    data = [[number, f"T-{number}", number * 10.5] for number in range(1, ROWS + 1)]
    columns = [{"header": "Number"}, {"header": "Stock no."}, {"header": "GVWR (lb)"}]
    sheet.add_table(0, 0, ROWS, 2, {"name": "Lot", "columns": columns, "data": data})
    wb.close()


def rows_of(path: Path) -> int:
    """How many rows the workbook holds, once it is proven whole: every checksum, every row once and in order."""
    with zipfile.ZipFile(path) as package:
        assert package.testzip() is None, f"{path} is damaged"
    rows = CalamineWorkbook.from_path(path).get_sheet_by_name("Lot").to_python()
    numbers = [row[0] for row in rows[1:]]
    assert numbers == list(range(1, len(numbers) + 1)), f"{path} has lost rows"
    (table,) = tables(path)
    assert table.last_row == len(rows), f"{path}: the table ends at {table.last_row}, its rows at {len(rows)}"
    return len(numbers)


def keep_adding(path: Path) -> None:
    """Add one row after another for ever, and report each that is in place."""
    number = tables(path)[0].last_row - 1
    report(number)
    while True:
        number += 1
        row = {"Number": number, "Stock no.": f"T-{number}", "GVWR (lb)": number * 10.5}
        write = partial(edit, path, changes={"Lot": {"C2": float(number)}}, appended={"Lot": [row]})
        replace_file(path, write, "a row")
        report(number)


def report(number: int) -> None:
    """Say on standard output, in one write, what is in place."""
    os.write(sys.stdout.fileno(), b"%d\n" % number)


def processor_time(pid: int) -> float:
    """Seconds that a process has had of the processors: the clock that Linux keeps of each, by its number."""
    return time.clock_gettime(~pid << 3 | 2)


def killed(command: Sequence[str | Path], instant: float) -> int:
    """Let a module work for ``instant`` seconds from its first report, kill it, and return the last it reported."""
    with subprocess.Popen([sys.executable, "-m", *command], cwd=ROOT, stdout=subprocess.PIPE, bufsize=0) as process:
        assert process.stdout is not None
        reports = process.stdout.read(64)
        end = processor_time(process.pid) + instant
        while process.poll() is None and processor_time(process.pid) < end:
            time.sleep(0.003)
        process.kill()
        while more := process.stdout.read(4096):
            reports += more
    assert process.returncode == -signal.SIGKILL, "the process ended by itself"
    return int(reports.split()[-1])


def run(kills: int, seed: int, folder: Path) -> dict[str, int]:
    """Kill ``kills`` times and count what was found."""
    path = folder / "lot.xlsx"
    make(path)
    chance = random.Random(seed)
    found = {"kills": 0, "in place but not reported": 0, "rows added": 0, "half-written files left beside": 0}
    for _ in range(kills):
        reported = killed(["tests.updates.kill_replacing", "work", path], chance.uniform(0, LONGEST_LIFE))
        there = rows_of(path)
        assert there in (reported, reported + 1), f"{reported} rows were reported, {there} are there"
        for backup in backups(path)[:2]:
            assert rows_of(backup.path) <= there
        found["kills"] += 1
        found["in place but not reported"] += there - reported
    assert all(rows_of(backup.path) <= rows_of(path) for backup in backups(path))
    found["rows added"] = rows_of(path) - ROWS
    found["half-written files left beside"] = sum(1 for _ in folder.rglob(".lot.new-*"))
    return found


def main(run: Callable[[int, int, Path], object], work: Callable[[Path], None]) -> None:
    """`COUNT [SEED]` kills so often; `work PATH` is the process that is killed."""
    if sys.argv[1] == "work":
        work(Path(sys.argv[2]))
    with tempfile.TemporaryDirectory() as scratch:
        print(run(int(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 1, Path(scratch)))


if __name__ == "__main__":
    main(run, keep_adding)
