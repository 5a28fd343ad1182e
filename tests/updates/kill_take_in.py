"""Kills a process that changes a workbook, at random instants, and looks at what is left.

    python -m tests.kill_take_in 500

The process adds a row to a 2,000-row table, over and over, each time as a new version put in place, and reports each
one that is done. Whenever it is killed the workbook must be whole and hold every row reported, or one more: the one
that was in place but not yet reported. So must each backup that has its name. Only POSIX can fork and kill like this.
"""

from __future__ import annotations

import os
import random
import signal
import sys
import tempfile
import time
import zipfile
from collections.abc import Callable
from functools import partial
from pathlib import Path

import xlsxwriter
from python_calamine import CalamineWorkbook

from tarelot.workbook_templates.ooxml.package import edit, tables
from tarelot.workbook_templates.ooxml.safe_file import backups, replace_file

ROWS = 2_000
LONGEST_LIFE = 0.4
"""Seconds; one version takes about a quarter of that, so that the instants fall on every step of it."""


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


def keep_adding(path: Path, report: int) -> None:
    """Add one row after another for ever, and report each that is in place."""
    number = tables(path)[0].last_row - 1
    os.write(report, b"%d\n" % number)
    while True:
        number += 1
        row = {"Number": number, "Stock no.": f"T-{number}", "GVWR (lb)": number * 10.5}
        write = partial(edit, path, changes={"Lot": {"C2": float(number)}}, appended={"Lot": [row]})
        replace_file(path, write, "a row")
        os.write(report, b"%d\n" % number)


def killed(work: Callable[[int], None], instant: float) -> int:
    """Let a process work for ``instant`` seconds from its first report, kill it, and return the last it reported."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            os.close(reading)
            work(writing)
        finally:
            os._exit(1)
    os.close(writing)
    with open(reading, "rb", buffering=0) as pipe:
        reports = pipe.read(64)
        time.sleep(instant)
        os.kill(child, signal.SIGKILL)
        _, status = os.waitpid(child, 0)
        assert os.WIFSIGNALED(status), "the process ended by itself"
        while more := pipe.read(4096):
            reports += more
    return int(reports.split()[-1])


def run(kills: int, seed: int, folder: Path) -> dict[str, int]:
    """Kill ``kills`` times and count what was found."""
    path = folder / "lot.xlsx"
    make(path)
    chance = random.Random(seed)
    found = {"kills": 0, "in place but not reported": 0, "rows added": 0, "half-written files left beside": 0}
    for _ in range(kills):
        reported = killed(lambda report: keep_adding(path, report), chance.uniform(0, LONGEST_LIFE))
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


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as scratch:
        print(run(int(sys.argv[1]), seed=int(sys.argv[2]) if len(sys.argv) > 2 else 1, folder=Path(scratch)))
