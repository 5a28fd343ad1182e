"""A file is replaced whole or not at all, and every version it replaced can be had back.

How many kills: the environment variable TARELOT_KILLS, 25 if it is not set.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from tarelot.workbook_templates.ooxml import safe_file
from tarelot.workbook_templates.ooxml.safe_file import (
    FileError,
    backup_folder,
    backups,
    refuse_if_open,
    replace_file,
    undo,
)
from tests.updates import kill_import, kill_replacing

KILLS = int(os.environ.get("TARELOT_KILLS", "25"))


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "lot [1].xlsx"
    path.write_text("version 0")
    return path


def writer(text: str) -> Callable[[Path], None]:
    return lambda new: None if new.write_text(text) else None


def folder_holds(path: Path) -> set[str]:
    return {one.name for one in path.parent.iterdir()}


def test_a_new_version_and_its_backup(file: Path) -> None:
    file.chmod(0o640)
    kept = replace_file(file, writer("version 1"), "import")
    assert file.read_text() == "version 1"
    assert file.stat().st_mode & 0o777 == 0o640
    assert kept.read_text() == "version 0"
    assert kept.parent == file.with_name("lot [1].xlsx backups") == backup_folder(file)
    assert (kept.suffix, kept.stem.endswith("before import")) == (".xlsx", True)
    assert folder_holds(file) == {file.name, kept.parent.name}


def test_many_versions_in_one_second_keep_the_last_ten(file: Path) -> None:
    for number in range(1, 15):
        replace_file(file, writer(f"version {number}"), "import")
    assert [backup.path.read_text() for backup in backups(file)] == [f"version {number}" for number in range(13, 3, -1)]
    assert [backup.number for backup in backups(file)] == list(range(14, 4, -1))


def test_what_is_not_a_backup_is_left_alone(file: Path) -> None:
    backup_folder(file).mkdir()
    for name in ("mine.xlsx", "000001 before.xlsx", "notes.txt"):
        (backup_folder(file) / name).write_text("mine")
    for number in range(1, 15):
        replace_file(file, writer(f"version {number}"), "import")
    assert {"mine.xlsx", "000001 before.xlsx", "notes.txt"} < {one.name for one in backup_folder(file).iterdir()}


def test_undo_goes_back_step_by_step(file: Path) -> None:
    for number in (1, 2, 3):
        replace_file(file, writer(f"version {number}"), "import")
    newest = backups(file)[0].path
    assert undo(file) == newest
    assert file.read_text() == "version 2"
    undo(file)
    assert file.read_text() == "version 3"
    undo(file)
    assert file.read_text() == "version 2"
    undo(file, further=True)
    assert file.read_text() == "version 1"
    undo(file, further=True)
    assert file.read_text() == "version 0"
    with pytest.raises(FileError, match="no backup to go back to"):
        undo(file, further=True)
    assert file.read_text() == "version 0"
    # Nothing is lost by undoing: what was undone is still there.
    assert {backup.path.read_text() for backup in backups(file)} == {"version 1", "version 2", "version 3"}


def test_undo_after_a_kill_that_left_a_backup_of_the_file_itself(file: Path) -> None:
    replace_file(file, writer("version 1"), "import")
    safe_file._keep(file, "import")
    undo(file)
    assert file.read_text() == "version 0"


def test_a_new_take_in_after_an_undo(file: Path) -> None:
    replace_file(file, writer("version 1"), "import")
    undo(file)
    replace_file(file, writer("version 2"), "import")
    undo(file)
    assert file.read_text() == "version 0"


@pytest.mark.parametrize("error", [ValueError("refused"), OSError(28, "No space left on device"), KeyboardInterrupt()])
def test_a_writer_that_fails_changes_nothing(file: Path, error: BaseException) -> None:
    def fail(new: Path) -> None:
        new.write_text("half a vers")
        raise error

    with pytest.raises(type(error)):
        replace_file(file, fail, "import")
    assert file.read_text() == "version 0"
    assert folder_holds(file) == {file.name}


def test_a_change_by_another_program_meanwhile_is_kept(file: Path) -> None:
    def write(new: Path) -> None:
        new.write_text("version 1")
        file.write_text("a colleague's version")

    with pytest.raises(FileError, match="changed by another program meanwhile"):
        replace_file(file, write, "import")
    assert file.read_text() == "a colleague's version"
    assert backups(file) == []


@pytest.mark.parametrize(("lock", "program"), [(".~lock.lot [1].xlsx#", "LibreOffice"), ("~$lot [1].xlsx", "Excel")])
def test_a_file_open_elsewhere_is_refused(file: Path, lock: str, program: str) -> None:
    """The names of the lock files as both programs make them beside the file (LibreOffice's is also made below)."""
    refuse_if_open(file)
    file.with_name(lock).write_text("")
    for act in (refuse_if_open, undo, lambda path: replace_file(path, writer("x"), "import")):
        with pytest.raises(FileError, match=f"is open in {program}") as caught:
            act(file)
        assert "\n" not in str(caught.value)
    assert file.read_text() == "version 0"
    file.with_name(lock).unlink()
    refuse_if_open(file)


def test_a_file_opened_while_the_new_version_is_written_is_refused(file: Path) -> None:
    def write(new: Path) -> None:
        new.write_text("version 1")
        file.with_name(f"~${file.name}").write_text("")

    with pytest.raises(FileError, match="is open in Excel"):
        replace_file(file, write, "import")
    assert file.read_text() == "version 0"
    assert backups(file) == []


@pytest.mark.slow
def test_libreoffice_makes_the_lock_file_that_is_looked_for(tmp_path: Path) -> None:
    path = tmp_path / "lot.xlsx"
    kill_replacing.make(path)
    with tempfile.TemporaryDirectory() as profile:
        command = ["soffice", f"-env:UserInstallation=file://{profile}", "--headless", "--norestore", str(path)]
        office = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True)
        try:
            until = time.monotonic() + 60
            while not path.with_name(".~lock.lot.xlsx#").exists():
                assert time.monotonic() < until, "LibreOffice made no lock file within a minute"
                time.sleep(0.1)
            with pytest.raises(FileError, match=r"lot.xlsx is open in LibreOffice"):
                refuse_if_open(path)
        finally:
            os.killpg(office.pid, 9)
            office.wait()


def test_missing_and_not_a_file(tmp_path: Path) -> None:
    with pytest.raises(FileError, match="does not exist"):
        refuse_if_open(tmp_path / "none.xlsx")
    with pytest.raises(FileError, match="is not a file"):
        refuse_if_open(tmp_path)


ASKING = """
import os, sys
from pathlib import Path
from tarelot.workbook_templates.ooxml.safe_file import FileError, refuse_if_open
if os.geteuid() == 0:  # after the imports: a checkout in root's home is closed to others
    os.setgroups([])
    os.setgid(65534)
    os.setuid(65534)
try:
    refuse_if_open(Path(sys.argv[1]))
except FileError as error:
    print(error, end="")
"""


def said_to_an_ordinary_user(file: Path) -> str:
    """What ``refuse_if_open`` says in a process of an ordinary user, since root may write anywhere."""
    asked = subprocess.run([sys.executable, "-c", ASKING, file], capture_output=True, text=True)
    assert (asked.returncode, asked.stderr) == (0, "")
    return asked.stdout


@pytest.mark.parametrize(
    ("mode", "folder_mode", "said"),
    [
        (0o444, 0o777, "lot.xlsx cannot be written: Permission denied"),
        (0o666, 0o555, "lot.xlsx cannot be replaced: its folder cannot be written"),
        (0o666, 0o777, ""),
    ],
)
def test_not_writable(mode: int, folder_mode: int, said: str) -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name) / "yard"
        folder.mkdir()
        Path(name).chmod(0o755)
        file = folder / "lot.xlsx"
        file.write_text("version 0")
        file.chmod(mode)
        folder.chmod(folder_mode)
        assert said_to_an_ordinary_user(file) == said
        folder.chmod(0o777)


def test_a_link_is_followed(file: Path, tmp_path: Path) -> None:
    link = tmp_path / "elsewhere" / "link.xlsx"
    link.parent.mkdir()
    link.symlink_to(file)
    replace_file(link, writer("version 1"), "import")
    assert link.is_symlink()
    assert file.read_text() == "version 1"
    undo(link)
    assert file.read_text() == "version 0"


def test_leftovers_of_a_killed_run_are_removed_in_time(file: Path) -> None:
    old, young = file.with_name(".lot [1].new-abc.xlsx"), file.with_name(".lot [1].new-def.xlsx")
    for left in (old, young):
        left.write_text("half")
    os.utime(old, (time.time() - 7200,) * 2)
    replace_file(file, writer("version 1"), "import")
    assert not old.exists()
    assert young.exists()


def test_file_systems_without_hard_links(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object) -> None:
        raise OSError(1, "Operation not permitted")

    monkeypatch.setattr(os, "link", refuse)
    for number in (1, 2):
        replace_file(file, writer(f"version {number}"), "import")
    assert [backup.path.read_text() for backup in backups(file)] == ["version 1", "version 0"]


def test_the_order_is_sync_then_backup_then_place(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What makes a power cut harmless: the new version and the backup are on the disk before the names change."""
    steps: list[str] = []
    fsync, replace, link = os.fsync, os.replace, os.link

    def noted(step: str, call: Callable[..., None]) -> Callable[..., None]:
        return lambda *given: (steps.append(step), call(*given))[1]

    monkeypatch.setattr(os, "fsync", noted("sync", fsync))
    monkeypatch.setattr(os, "replace", noted("place", replace))
    monkeypatch.setattr(os, "link", noted("backup", link))
    replace_file(file, writer("version 1"), "import")
    assert steps == ["sync", "sync", "backup", "sync", "sync", "place", "sync"]


@pytest.mark.slow
def test_a_kill_at_any_instant_leaves_a_whole_workbook(tmp_path: Path) -> None:
    found = kill_replacing.run(KILLS, seed=os.getpid(), folder=tmp_path)
    assert found["kills"] == KILLS
    assert found["rows added"] > 0


@pytest.mark.slow
def test_an_import_killed_at_any_instant_leaves_a_whole_lot(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The whole of it, on two yards' trailers; ``python -m tests.updates.kill_import`` does more of them on 2,000."""
    monkeypatch.setattr(kill_import, "TRAILERS", 48)
    found = kill_import.run(8, seed=os.getpid(), folder=tmp_path)
    assert found["kills"] == 8
    assert found["trailers added"] >= 2
