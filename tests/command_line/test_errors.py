"""Every error is one line on standard error with status 2, and says truly what became of the files.

The system itself raises the errors: names and folders that it refuses, a limit on the size of files, a device that is
always full. What a line claims is compared with the files' own bytes.
"""

from __future__ import annotations

import errno
import os
import resource
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import openpyxl
import pytest

from tarelot.addin.command_line import new
from tarelot.addin.command_line.hauling import card_files
from tarelot.addin.command_line.main import main
from tests.command_line.running import COMMAND, environment, tarelot

NOTHING = "Nothing was changed.\n"
MACHINE = ("--machine", "Backhoe 15")


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory, demo_folder: Path) -> Path:
    """The demo yard; nothing may write there."""
    folder = tmp_path_factory.mktemp("made")
    shutil.copytree(demo_folder, folder / "yard")
    openpyxl.load_workbook(folder / LOT).save(folder / "stale.xlsx")  # without stored results
    (folder / PAGE).write_bytes(b"a page printed before")
    return folder


@pytest.fixture
def place(made: Path, tmp_path: Path) -> Path:
    """A copy of it for one test, as the folder in which commands run."""
    return Path(shutil.copytree(made, tmp_path / "place"))


def contents(folder: Path) -> dict[str, bytes]:
    """Every file with its bytes, every folder with none."""
    found = {path.relative_to(folder): path for path in sorted(folder.rglob("*"))}
    return {str(name): path.read_bytes() if path.is_file() else b"" for name, path in found.items()}


LOT = "yard/tarelot-demo.xlsx"
LIST = "yard/price-list.csv"
PAGE = "yard/page.pdf"


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["review", "nowhere.xlsx"], "nowhere.xlsx is not there."),
        (["review", "made"], "made is not there."),
        (["review", LIST], "price-list.csv"),
        (["new", "lot.ods"], "lot.ods: the name must end in .xlsx."),
        (["new", "."], ".: the name must end in .xlsx."),
        (["new", LOT], f"{LOT} is there already: choose another name."),
        (["new", "nowhere/lot.xlsx"], "there is no folder nowhere: make it first."),
        (["new", f"{LOT}/lot.xlsx"], f"there is no folder {LOT}: make it first."),
        (["new", f"{'n' * 300}.xlsx"], "the name is too long."),
        (["new", "/sys/lot.xlsx"], "/sys/lot.xlsx cannot be written: "),
        (["demo", "--out", LOT], f"{LOT} is a file: --out needs a folder."),
        (["demo", "--out", f"made/{'n' * 300}"], "the name is too long."),
        (["demo", "--out", "/sys/made"], "/sys/made: "),
        (["import", ".", LIST], ". is a folder, not a file."),
        (["import", LOT, "."], ". is a folder, not a file."),
        (["import", LOT, "nowhere.csv"], "nowhere.csv is not there."),
        (["import", LOT, LIST, "--json"], "--json asks nothing"),
        (["import", LOT, LIST, "--yes", "--dry-run"], "not allowed with"),
        (["import", LOT, LIST, "--dry-run", "--json", "--all"], "not allowed with"),
        (["update", "."], ". is a folder, not a file."),
        (["update", "nowhere.xlsx"], "nowhere.xlsx is not there."),
        (["update", LOT, "--yes", "--dry-run"], "not allowed with"),
        (["undo", "."], ". is a folder, not a file."),
        (["undo", LOT], "tarelot-demo.xlsx has no backup to go back to."),
        (["recalculate", "."], ". is a folder, not a file."),
        (["values", LOT, "."], ". is a folder: give a file's name."),
        (["values", LOT, LIST], f"{LIST} is there already: choose another name."),
        (["values", LOT, "nowhere/figures.xlsx"], "there is no folder nowhere: make it first."),
        (["values", LOT, "/sys/figures.xlsx"], "/sys/figures.xlsx cannot be written: "),
        (["match", "made", *MACHINE], "made is not there."),
        (["match", LOT, "--machine", "none such"], "no machine named none such"),
        (["match", LOT], "--machine"),
        (["card", LOT, "1105", "--out", LOT], f"{LOT} is a file: --out needs a folder."),
        (["card", LOT, "--out", "cards"], "no stock number is named: name one or more behind the lot, or --all"),
        (["match", LOT, "--machine", ""], "no machine named nothing: the Machines sheet has"),
        (["compare", LOT, "--machine", "Backhoe 15"], "required: stock"),
        (["compare", LOT, "1105", "9999", *MACHINE], "stock no. 9999 is not on the lot."),
        (["compare", LOT, "1105", "1120", *MACHINE], "stock no. 1120 stands on the lot 2 times"),
        (["compare", LOT, "1105", "1108", " 1105", *MACHINE], "stock no. 1105 is named twice"),
        (["compare", LOT, "1", "2", "3", "4", "5", *MACHINE], "4 trailers stand side by side at most: 5 are named."),
        (["compare", LOT, "1105", "--machine", "none such"], "no machine named none such"),
        (["compare", LOT, "1105", *MACHINE, "--truck", "none such"], "no truck named none such"),
        (["compare", LOT, "1105", *MACHINE, "--json", "--pdf", "one.pdf"], "say one of them."),
        (["compare", LOT, "1105", *MACHINE, "--pdf", LIST], f"{LIST}: the page is a PDF; let its name end in .pdf."),
        (["compare", LOT, "1105", *MACHINE, "--pdf", PAGE], f"{PAGE} is there already: choose another name."),
        (["compare", LOT, "1105", *MACHINE, "--pdf", "nowhere/one.pdf"], "there is no folder nowhere: make it first."),
        (["card", LOT, "1105", "--all", "--out", "cards"], "not both."),
        (["card", LOT, "1105", "--truck", "Tandem dump 58", "--out", "cards"], "--truck needs --machine"),
        (["setup", "excel", "--out", LOT], f"{LOT} is a file: --out needs a folder."),
        (["setup", "check", "--remove"], "unrecognized arguments: --remove"),
        (["setup", "excel", "--remove"], "unrecognized arguments: --remove"),
        (["setup", "libreoffice", "--out", "x"], "unrecognized arguments: --out x"),
        (["setup"], "required: PART"),
        (["functions", "LOT_PAYLOAD"], "unrecognized arguments: LOT_PAYLOAD"),
        (["review", LOT, "--js"], "unrecognized arguments: --js"),
        (["take-in", LOT, LIST], "invalid choice: 'take-in'"),
    ],
)
def test_one_line_that_says_that_nothing_was_changed(arguments: list[str], said: str, place: Path) -> None:
    before = contents(place)
    done = tarelot(*arguments, cwd=place)
    assert done.returncode == 2
    assert done.stdout == ""
    assert done.stderr.startswith("tarelot: ")
    assert done.stderr.count("\n") == 1
    assert said in done.stderr
    assert done.stderr.endswith(f" {NOTHING}")
    assert contents(place) == before


def run_limited(*arguments: str, cwd: Path, size: int) -> subprocess.CompletedProcess[str]:
    """Run the command where no file may be longer than this; the system then refuses as it does on a full disk."""

    def limit() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (size, size))

    return subprocess.run(
        [*COMMAND, *arguments], capture_output=True, text=True, cwd=cwd, env=environment(), preexec_fn=limit
    )


@pytest.mark.slow
@pytest.mark.parametrize("size", [0, 100, 20_000])
@pytest.mark.parametrize(
    "arguments",
    [
        ["new", "lot.xlsx"],
        ["demo", "--out", "made"],
        ["import", LOT, "yard/new-truckload.csv", "--yes"],
        ["recalculate", "stale.xlsx"],
        ["values", LOT, "figures.xlsx"],
    ],
    ids=lambda arguments: arguments[0],
)
def test_files_that_may_not_grow(arguments: list[str], size: int, place: Path) -> None:
    before = contents(place)
    done = run_limited(*arguments, cwd=place, size=size)
    assert (done.returncode, done.stderr.count("\n")) == (2, 1), done.stderr
    assert done.stderr.endswith(f" {NOTHING}")
    after = contents(place)
    # Of an import's refused rows a part may be left, in a file of its own; and an empty folder for backups.
    spare = {"yard/new-truckload refused.csv", "yard/tarelot-demo.xlsx backups", "stale.xlsx backups"}
    assert {name: after[name] for name in after.keys() - spare} == before


@pytest.mark.parametrize(
    ("number", "words"),
    [(errno.ENOSPC, "the disk is full"), (errno.EACCES, "permission is denied"), (errno.EROFS, "only be read")],
)
def test_what_the_system_says_in_words(
    number: int, words: str, place: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    from tarelot.workbook_templates import workbook

    def write(path: Path, *_: object, **__: object) -> None:
        path.write_bytes(b"half")
        raise OSError(number, os.strerror(number), str(path))

    monkeypatch.setattr(workbook, "write_new", write)
    before = contents(place)
    target = place / "lot.xlsx"
    assert main(["new", str(target)]) == 2
    said = capsys.readouterr().err
    assert words in said
    assert str(target) in said
    assert ".tarelot-" not in said  # a name of ours that the person never sees
    assert contents(place) == before


@pytest.mark.slow
def test_a_change_that_was_made_before_the_error_is_told(place: Path) -> None:
    """Standard output is full: what was written stays written, and the line says so."""
    with Path("/dev/full").open("w") as full:

        def run(*arguments: str) -> tuple[int, str]:
            done = subprocess.run(
                [*COMMAND, *arguments], stdout=full, stderr=subprocess.PIPE, text=True, cwd=place, env=environment()
            )
            return done.returncode, done.stderr

        assert run("new", "lot.xlsx") == (2, "tarelot: the disk is full. lot.xlsx is written all the same.\n")
        assert (place / "lot.xlsx").is_file()
        assert run("review", LOT) == (2, f"tarelot: the disk is full. {NOTHING}")
        before = (place / LOT).read_bytes()
        status, said = run("import", LOT, LIST, "--yes", "--json")
    changed = (place / LOT).read_bytes() != before
    assert (status, changed) == (2, True)
    assert said.endswith(f"tarelot-demo.xlsx was changed before that. To take it back: tarelot undo {LOT}\n")


def test_a_reader_that_leaves_early_is_no_error(place: Path) -> None:
    command = f"{' '.join(COMMAND)} review {LOT} --json | head -c 1"
    done = subprocess.run(["/bin/sh", "-c", command], capture_output=True, text=True, cwd=place, env=environment())
    assert (done.stdout, done.stderr) == ("{", "")


@pytest.mark.slow
def test_a_demo_that_a_person_changed_is_kept(place: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(place)
    (place / LOT).write_bytes((place / LIST).read_bytes())
    mine = (place / LIST).read_bytes() + b"\n9,9\n"
    (place / LIST).write_bytes(mine)
    assert main(["demo", "--out", "yard"]) == 0
    (kept,) = (place / "yard" / "price-list.csv backups").glob("0*")
    assert kept.read_bytes() == mine
    assert len(list((place / "yard" / "tarelot-demo.xlsx backups").glob("0*"))) == 1
    assert not (place / "yard" / "scale-tickets.csv backups").exists()  # it was as we write it


@pytest.mark.slow
def test_cards_are_written_all_or_none(
    place: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The second batch fails: the first one's files are taken away again, and so is the folder."""
    batches = []

    def convert(_: Path, pages: list[Path], __: Path) -> None:
        batches.append(len(pages))
        if len(batches) == 2:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        for page in pages:
            page.with_suffix(".pdf").write_bytes(b"%PDF")

    monkeypatch.setattr(card_files, "convert", convert)
    monkeypatch.setattr(card_files, "AT_ONCE", 2)  # a page takes seconds to write
    before = contents(place)
    assert main(["card", str(place / LOT), "--all", "--out", str(place / "cards" / "of today")]) == 2
    assert batches == [2, 2]
    assert capsys.readouterr().err == f"tarelot: the disk is full. {NOTHING}"
    assert contents(place) == before


def test_stopped_by_the_person(
    place: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def stop(_: Path) -> Callable[[], None]:
        raise KeyboardInterrupt

    monkeypatch.setattr(new, "write_new", lambda *_: stop(place))
    assert main(["new", str(place / "lot.xlsx")]) == 2
    assert capsys.readouterr().err == f"tarelot: stopped. {NOTHING}"
