"""Killed runs leave nothing for good: the next run removes it, only ours, and only what no living process holds."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tarelot.workbook_templates.ooxml.leftovers import own_folder, remove_leftovers
from tarelot.workbook_templates.ooxml.safe_file import replace_file
from tests.command_line.running import COMMAND, environment

HOLDING = """
import sys, time
from pathlib import Path
from tarelot.workbook_templates.ooxml.leftovers import own_folder
with own_folder(Path(sys.argv[1])) as folder:
    (folder / "half").write_text("half")
    print(folder, flush=True)
    time.sleep(600)
"""


def begun(folder: Path) -> tuple[subprocess.Popen[str], Path]:
    """A process that holds a folder of ours in there, and that folder."""
    running = subprocess.Popen([sys.executable, "-c", HOLDING, folder], stdout=subprocess.PIPE, text=True)
    assert running.stdout is not None
    return running, Path(running.stdout.readline().strip())


def ended(running: subprocess.Popen[str]) -> None:
    running.send_signal(signal.SIGKILL)
    running.communicate()


def test_a_killed_process_leaves_its_folder_to_the_next_run_and_a_living_one_keeps_it(tmp_path: Path) -> None:
    running, held = begun(tmp_path)
    with own_folder(tmp_path) as mine:
        assert (held / "half").exists()
    ended(running)
    assert held.exists()
    with own_folder(tmp_path) as mine:
        assert list(tmp_path.iterdir()) == [mine]
    assert list(tmp_path.iterdir()) == []


def test_an_old_folder_that_a_living_process_holds_stays(tmp_path: Path) -> None:
    """Where its number says nothing, as in another container, the lock does."""
    running, held = begun(tmp_path)
    unknown = held.rename(held.with_name(".tarelot-999999999-abcdefgh"))
    os.utime(unknown, (time.time() - 7200,) * 2)
    remove_leftovers(tmp_path, ".tarelot-*")
    assert (unknown / "half").exists()
    ended(running)
    remove_leftovers(tmp_path, ".tarelot-*")
    assert not unknown.exists()


def test_what_is_not_ours_stays(tmp_path: Path) -> None:
    mine = tmp_path / ".tarelot-notes"
    mine.mkdir()
    link = tmp_path / ".tarelot-999999999-abcdefgh"
    link.symlink_to(mine)
    with own_folder(tmp_path):
        pass
    assert sorted(tmp_path.iterdir()) == [link, mine]


def test_a_half_written_version_of_a_dead_process_goes_at_once(tmp_path: Path) -> None:
    file = tmp_path / "lot.xlsx"
    file.write_text("0")
    dead, living = (tmp_path / f".lot.new-{number}-abcdefgh.xlsx" for number in (999_999_999, os.getpid()))
    for left in (dead, living):
        left.write_text("half")
    replace_file(file, lambda new: None if new.write_text("1") else None, "import")
    assert (dead.exists(), living.exists()) == (False, True)


@pytest.mark.slow
def test_an_import_killed_at_some_instants_leaves_nothing_after_the_next(demo_workbook: Path, tmp_path: Path) -> None:
    folder, place = tmp_path / "yard", tmp_path / "temporary"
    folder.mkdir()
    place.mkdir()
    lot, prices = Path(shutil.copy(demo_workbook, folder / "lot.xlsx")), folder / "list.csv"
    variables = environment(TMPDIR=str(place))
    seen = 0
    for number in range(1, 9):
        prices.write_text(f"Stock no.,Price\n1101,{number}\n", encoding="utf-8")
        running = subprocess.Popen([*COMMAND, "import", lot, prices, "--yes"], env=variables, stdout=subprocess.DEVNULL)
        try:
            running.wait(0.4 * number)
        except subprocess.TimeoutExpired:
            running.kill()
            running.wait()
        seen += bool(list(place.iterdir()))
    assert seen > 0, "no kill met a run that had anything to leave"
    prices.write_text("Stock no.,Price\n1101,99\n", encoding="utf-8")
    done = subprocess.run([*COMMAND, "import", lot, prices, "--yes"], env=variables, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    assert list(place.iterdir()) == []
    assert {one.name for one in folder.iterdir()} == {"lot.xlsx", "lot.xlsx backups", "list.csv"}
    assert not list((folder / "lot.xlsx backups").glob(".lot*"))
