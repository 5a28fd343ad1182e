"""Kills a process that brings an older lot up to date, at random instants, and looks at what is left.

    python -m tests.updates.kill_update 50

The process takes the customized lot of format 1 and brings it up to date: read, written new, compared, merged, read
back, put in place. Whenever it is killed the lot must be the old one or the new one, byte for byte, the new one where
that was reported, and each backup one of the two; what else is left must be gone after the next run.
"""

from __future__ import annotations

import random
import shutil
import sys
import tempfile
import time
import zipfile
from pathlib import Path

from tarelot.workbook_templates import workbook
from tarelot.workbook_templates.ooxml.leftovers import own_folder
from tarelot.workbook_templates.ooxml.safe_file import backups
from tarelot.workbook_templates.updates.form.plan import carry_out, planned
from tests.updates.kill_import import TEMPORARY, left_over, own_temporary_folder
from tests.updates.kill_replacing import killed, main, report
from tests.updates.updated_lots import LOTS

OLD = LOTS / "demo-customized.xlsx"
LIVES = 1.3
"""Times an update's processor time that a process may live at most: some are killed before it is done, some after."""


def bring_up_to_date(path: Path) -> None:
    """Bring the lot up to date."""
    with planned(path, workbook.write) as plan:
        carry_out(plan)


def update_once(path: Path) -> None:
    """Bring the lot up to date, report that it is in place, and be busy until killed.

    What libraries write for a while goes into a folder of the process's own, as where the command is run.
    """
    with own_folder() as folder:
        tempfile.tempdir = str(folder)
        report(0)
        bring_up_to_date(path)
        report(1)
        while True:
            pass


def run(kills: int, seed: int, folder: Path) -> dict[str, float]:
    """Kill ``kills`` times and count what was found."""
    with own_temporary_folder(folder / TEMPORARY):
        return _run(kills, seed, folder)


def _run(kills: int, seed: int, folder: Path) -> dict[str, float]:
    """The same, with a folder for temporary files of its own."""
    path = folder / "lot.xlsx"
    shutil.copy(OLD, path)
    start = time.process_time()
    bring_up_to_date(path)
    longest_life = LIVES * (time.process_time() - start)
    old, new = OLD.read_bytes(), path.read_bytes()
    chance = random.Random(seed)
    found: dict[str, float] = {"kills": 0, "old": 0, "new": 0, "in place but not reported": 0}
    found |= {"killed runs that left something": 0}
    for _ in range(kills):
        shutil.copy(OLD, path)
        reported = killed(["tests.updates.kill_update", "work", path], chance.uniform(0, longest_life))
        held = path.read_bytes()
        assert held == new or (held == old and not reported), f"{path} is not as reported: {reported}"
        found["in place but not reported"] += held == new and not reported
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
    main(run, update_once)
