"""Kills a process that imports lists, at random instants, and looks at what is left.

    python -m tests.updates.kill_import 500
    python -m tests.updates.kill_import 200 1 10000

Each list brings one new trailer, changes the price of the one before it and has one row that is refused, into a lot of
2,000 (or as many as are named) in plain formulas: list read, planned, refused rows written, lot written, read back,
calculated, stored, put in place. Whenever the process is killed the lot must be whole and hold every trailer reported,
each at its price, or one more: the one in place but not yet reported. Each file of refused rows that has its name must
be whole, and what else a killed run leaves must be gone after the next.
"""

from __future__ import annotations

import os
import random
import sys
import tempfile
import time
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tarelot.workbook_templates.lists.reading import read_list
from tarelot.workbook_templates.lot.reading import read_lot
from tarelot.workbook_templates.ooxml.safe_file import WRITTEN, backup_folder, backups
from tarelot.workbook_templates.updates.apply import apply
from tarelot.workbook_templates.updates.plan import plan
from tests.bench import files as bench_files
from tests.updates.kill_replacing import killed, main, report

TRAILERS = 2_000
TEMPORARY = "temporary"
LIVES, MEASURED_EVERY = 1.3, 25
"""Times an import's processor time that a process may live at most: some are killed before it is done, some after. It
is measured anew every so many kills, for a machine that others use too is not always as fast.
"""
FIRST_PRICE = 1_000.0
REFUSED_ROW = "K0,cheap,,"
SIDE_FILE = f"Stock no.,GVWR (lb),Base weight (lb),Price,Reason\n{REFUSED_ROW},"


def import_one(path: Path, number: int) -> None:
    """Import trailer ``number``, and a price of its own for the one before it."""
    lines = ["Stock no.,GVWR (lb),Base weight (lb),Price", f"K{number},12000,3000,{FIRST_PRICE:g}"]
    lines += [REFUSED_ROW]
    lines += [f"K{number - 1},,,{FIRST_PRICE + number:g}"] if number > 1 else []
    list_path = path.with_name("list.csv")
    list_path.write_text("\n".join(lines), encoding="utf-8")
    planned = plan(read_lot(path), read_list(list_path))
    if len(planned.refused) != 1:
        raise AssertionError("another row was refused, or none")
    done = apply(planned, list_path)
    if done.side_file is None:
        raise AssertionError("the refused row was not written")
    done.side_file.unlink()


def imported(path: Path) -> int:
    """How many trailers were imported, once the lot is proven whole: every checksum, every trailer and price."""
    with zipfile.ZipFile(path) as package:
        assert package.testzip() is None, f"{path} is damaged"
    rows = read_lot(path).rows
    before = sum(not str(row.values["Stock no."]).startswith("K") for row in rows)
    new = rows[before:]
    assert [row.values["Stock no."] for row in new] == [f"K{number}" for number in range(1, len(new) + 1)]
    prices = [FIRST_PRICE + number + 1 for number in range(1, len(new))] + [FIRST_PRICE] * bool(new)
    assert [row.values["Price"] for row in new] == prices
    return len(new)


def keep_importing(path: Path) -> None:
    """Import one trailer after another for ever, and report each that is in place."""
    number = imported(path)
    report(number)
    while True:
        number += 1
        import_one(path, number)
        report(number)


def side_files(folder: Path) -> int:
    """How many files of refused rows killed runs left, each proven whole; they are taken away."""
    found = list(folder.glob("list refused*.csv"))
    for file in found:
        text = file.read_text(encoding="utf-8")
        assert text.startswith(SIDE_FILE), f"{file} is half written: {text!r}"
        assert text.endswith("\n"), f"{file} is half written: {text!r}"
        file.unlink()
    return len(found)


def left_over(folder: Path) -> list[Path]:
    """What has no place beside a lot, among its backups or in the folder for temporary files."""
    path = folder / "lot.xlsx"
    own = {path, path.with_name("list.csv"), backup_folder(path), backup_folder(path) / WRITTEN, folder / TEMPORARY}
    return sorted({*folder.rglob("*")} - own - {backup.path for backup in backups(path)})


@contextmanager
def own_temporary_folder(place: Path) -> Iterator[None]:
    """A folder for temporary files, made, in place of the usual one, for this process and those that it starts."""
    usual = tempfile.tempdir, os.environ.get("TMPDIR")
    place.mkdir()
    os.environ["TMPDIR"] = tempfile.tempdir = str(place)
    try:
        yield
    finally:
        tempfile.tempdir = usual[0]
        os.environ.pop("TMPDIR")
        os.environ |= {"TMPDIR": usual[1]} if usual[1] else {}


def run(kills: int, seed: int, folder: Path) -> dict[str, float]:
    """Kill ``kills`` times and count what was found."""
    with own_temporary_folder(folder / TEMPORARY):
        return _run(kills, seed, folder)


def _seconds(path: Path, number: int) -> float:
    """Processor time of importing this trailer."""
    start = time.process_time()
    import_one(path, number)
    return time.process_time() - start


def _run(kills: int, seed: int, folder: Path) -> dict[str, float]:
    """The same, with a folder for temporary files of its own."""
    path = folder / "lot.xlsx"
    bench_files.make(TRAILERS, path, "plain")()
    import_one(path, 1)  # stores every result, as the first import of a copied lot does
    longest_life, there = LIVES * _seconds(path, 2), 2
    chance = random.Random(seed)
    found: dict[str, float] = {"kills": 0, "in place": 0, "in place but not reported": 0}
    found |= {"killed runs that left something": 0, "whole files of refused rows": 0}
    for _ in range(kills):
        before = there
        reported = killed(["tests.updates.kill_import", "work", path], chance.uniform(0, longest_life))
        there = imported(path)
        assert there in (reported, reported + 1), f"{reported} trailers were reported, {there} are there"
        found["kills"] += 1
        found["in place"] += there - before
        found["in place but not reported"] += there - reported
        found["whole files of refused rows"] += side_files(folder)
        found["killed runs that left something"] += bool(left_over(folder))
        if found["kills"] % MEASURED_EVERY == 0:
            there += 1
            longest_life = LIVES * _seconds(path, there)
            print(f"{found['kills']} kills, {found['in place']} in place, all there", file=sys.stderr, flush=True)
    assert len(read_lot(path).rows) == TRAILERS + imported(path), "a trailer that was there before is lost"
    assert all(imported(backup.path) <= imported(path) for backup in backups(path))
    import_one(path, imported(path) + 1)
    found["left over after the next run"] = len(left_over(folder))
    found["trailers added"] = imported(path)
    return found


if __name__ == "__main__":
    TRAILERS = int(sys.argv[3]) if len(sys.argv) > 3 else TRAILERS
    main(run, keep_importing)
