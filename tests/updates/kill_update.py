"""Kills a process that brings an older lot up to date, at random instants, and looks at what is left.

    python -m tests.updates.kill_update 50

The process takes the customized lot of format 1 and brings it up to date, over and over: read, written new, compared,
merged, read back, put in place; then the older one is put back as ``undo`` does. Whenever it is killed the lot must be
the old one or the new one, byte for byte, and so must each backup; what else is left must be gone after the next run.
"""

from __future__ import annotations

import random
import shutil
import sys
import tempfile
import time
import zipfile
from pathlib import Path

from tarelot.workbook_templates.ooxml.leftovers import own_folder
from tarelot.workbook_templates.ooxml.safe_file import backups, undo
from tarelot.workbook_templates.updates.form.plan import carry_out, planned
from tests.updates.kill_import import TEMPORARY, left_over, own_temporary_folder
from tests.updates.kill_replacing import killed, main, report
from tests.updates.updated_lots import LOTS

OLD = LOTS / "demo-customized.xlsx"


def bring_up_to_date(path: Path) -> None:
    """Bring the lot up to date."""
    with planned(path) as plan:
        carry_out(plan)


def keep_updating(path: Path) -> None:
    """Bring the lot up to date and put the older version back, for ever; each step is reported.

    What libraries write for a while goes into a folder of the process's own, as where the command is run.
    """
    with own_folder() as folder:
        tempfile.tempdir = str(folder)
        _keep_updating(path)


def _keep_updating(path: Path) -> None:
    is_new = path.read_bytes() != OLD.read_bytes()
    number = int(is_new)
    report(number)
    while True:
        if is_new:
            undo(path, further=True)
        else:
            bring_up_to_date(path)
        is_new, number = not is_new, number + 1
        report(number)


def run(kills: int, seed: int, folder: Path) -> dict[str, float]:
    """Kill ``kills`` times and count what was found."""
    with own_temporary_folder(folder / TEMPORARY):
        return _run(kills, seed, folder)


def _run(kills: int, seed: int, folder: Path) -> dict[str, float]:
    """The same, with a folder for temporary files of its own."""
    path = folder / "lot.xlsx"
    shutil.copy(OLD, path)
    start = time.perf_counter()
    bring_up_to_date(path)
    longest_life = 1.5 * (time.perf_counter() - start)
    old, new = OLD.read_bytes(), path.read_bytes()
    shutil.copy(OLD, path)
    chance = random.Random(seed)
    found: dict[str, float] = {"kills": 0, "old": 0, "new": 0, "killed runs that left something": 0}
    for _ in range(kills):
        killed(["tests.updates.kill_update", "work", path], chance.uniform(0, longest_life))
        held = path.read_bytes()
        assert held in (old, new), f"{path} is neither the old nor the new lot"
        for backup in backups(path):
            assert backup.path.read_bytes() in (old, new), f"{backup.path} is neither the old nor the new lot"
        with zipfile.ZipFile(path) as package:
            assert package.testzip() is None
        found["kills"] += 1
        found["new" if held == new else "old"] += 1
        found["killed runs that left something"] += bool(left_over(folder))
        if found["kills"] % 10 == 0:
            print(found, file=sys.stderr, flush=True)
    shutil.copy(OLD, path)
    bring_up_to_date(path)
    found["left over after the next run"] = len(left_over(folder))
    found["longest life, s"] = round(longest_life, 2)
    return found


if __name__ == "__main__":
    main(run, keep_updating)
