"""Several lots in one command: every line says which lot, what cannot be read is named, and the rest go on.

The demo yard stands as north and south; west is a metric lot. What each lot comes to is held against the command on
that lot alone, and west's figures against a hand calculation.
"""

from __future__ import annotations

import json
import os
import re
import shutil
import signal
import subprocess
import time
from functools import partial
from pathlib import Path

import openpyxl
import pytest

from tarelot.addin.command_line import lots
from tarelot.addin.command_line.hauling.match import matched
from tarelot.addin.command_line.review import reviewed
from tarelot.workbook_templates import workbook
from tarelot.workbook_templates.basis.units import METRIC
from tarelot.workbook_templates.hauling.results import Hauling
from tests.command_line.running import COMMAND, environment, in_terminal, shown, tarelot

MACHINE = ("--machine", "Wheel loader 9")
TRUCK = ("--truck", "Tandem dump 58")
# By hand: 9,000 kg GVWR less 2,500 kg on the scale leaves 6,500 kg; the coupler is 1,000 kg short of the GVWR.
WEST = {"Stock no.": "W1", "GVWR (kg)": 9_000.0, "Scale weight (kg)": 2_500.0, "Coupler rating (kg)": 8_000.0}


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory, demo_workbook: Path) -> Path:
    """Three lots, two of them in a folder with what is none; nothing may write there."""
    folder = tmp_path_factory.mktemp("several")
    yards = folder / "yards"
    yards.mkdir()
    shutil.copy(demo_workbook, folder / "south.xlsx")
    shutil.copy(demo_workbook, yards / "North.xlsx")
    hauling = Hauling([{"Machine": "Wheel loader 9", "Weight (kg)": 5_000.0}], [{}])
    workbook.write(yards / "west.xlsx", [dict(WEST)], [(None, None)], METRIC, hauling=hauling)
    (yards / "broken.xlsx").write_bytes(demo_workbook.read_bytes()[:5_000])
    openpyxl.Workbook().save(yards / "prices.xlsx")
    (yards / "~$north.xlsx").write_bytes(b"a name")
    (yards / "notes.txt").write_text("a note", encoding="utf-8")
    backup = "000001 2026-03-05 10.11.12 before import.xlsx"
    shutil.copy(demo_workbook, yards / backup)
    (yards / "North.xlsx backups").mkdir()
    shutil.copy(demo_workbook, yards / "North.xlsx backups" / backup)
    return folder


def alone(*arguments: str | Path, cwd: Path) -> dict[str, object]:
    """What a command says of one lot, for machines."""
    return dict(json.loads(tarelot(*arguments, "--json", cwd=cwd).stdout))


def test_two_lots_are_what_each_is_alone(made: Path) -> None:
    named = ("south.xlsx", "yards/west.xlsx")
    done = tarelot("review", *named, "--json", cwd=made)
    assert (done.returncode, done.stderr) == (1, "")
    data = json.loads(done.stdout)
    assert [(lot.pop("lot"), lot.pop("path")) for lot in data["lots"]] == [("south", named[0]), ("west", named[1])]
    assert data["lots"] == [alone("review", name, cwd=made) for name in named]
    each = [lot["totals"] for lot in data["lots"]]
    assert data["totals"] == {name: each[0][name] + each[1][name] for name in each[0]}
    assert data["totals"]["trailers"] == 24 + 1
    assert (data["not_read"], data["passed_over"]) == ([], [])


def test_a_folder_with_a_broken_file_and_one_that_is_no_lot(made: Path) -> None:
    done = tarelot("review", "yards", cwd=made)
    assert done.returncode == 2
    assert done.stderr.startswith("tarelot: yards/broken.xlsx is damaged or not a workbook: ")
    assert (done.stderr.count("\n"), done.stderr[-21:]) == (1, "Nothing was changed.\n")
    assert "Passed over: yards/prices.xlsx: no lot.\n" in done.stdout
    assert not re.search("notes|before import|~", done.stdout + done.stderr)
    assert "north: " not in done.stdout  # names are as the files'
    assert "\nNorth: 24 trailers, 17 with conflicts, " in done.stdout
    assert "\nwest: 1 trailer, 1 with conflicts, " in done.stdout
    assert "2 lots, and 1 that could not be read: 25 trailers, 18 with conflicts, " in done.stdout


def test_each_line_has_its_lot_and_its_lots_own_unit(made: Path) -> None:
    done = tarelot("review", "south.xlsx", "yards/west.xlsx", cwd=made)
    rows = [[cell.strip() for cell in line.split("│")[1:-1]] for line in done.stdout.splitlines() if "│" in line]
    named = [row for row in rows if row[0] in ("south", "west")]
    assert [row[0] for row in named] == ["south"] * 24 + ["west"]
    assert named[-1][1:4] == ["W1", "", "6,500 kg"]
    assert {row[3][-3:] for row in named[:-1] if row[3]} == {" lb"}
    assert "Coupler short by 1,000 kg" in done.stdout
    assert "Weights are in each lot's own unit: lb in south; kg in west.\n" in done.stdout
    assert not re.search(r"^\d.*lots?:.*\b(lb|kg)\b", done.stdout, re.MULTILINE)  # nothing in two units is added
    same = tarelot("review", "south.xlsx", "yards/North.xlsx", cwd=made).stdout
    assert "own unit" not in same
    assert re.search(r"┃ +Payload lb ┃", same)


def test_one_lot_is_printed_as_ever_and_a_folder_of_one_is_not(made: Path, tmp_path: Path) -> None:
    assert "Lot" not in tarelot("review", "south.xlsx", cwd=made).stdout.splitlines()[1]
    assert "lots" not in alone("review", "south.xlsx", cwd=made)
    assert "lots" not in alone("match", "south.xlsx", *MACHINE, cwd=made)
    (tmp_path / "one").mkdir()
    shutil.copy(made / "south.xlsx", tmp_path / "one" / "A.XLSX")
    assert [lot["lot"] for lot in alone("review", "one", cwd=tmp_path)["lots"]] == ["A"]  # type: ignore[attr-defined]


def test_the_same_file_twice_is_read_once(made: Path) -> None:
    found = alone("review", "yards/North.xlsx", "yards", "./yards/North.xlsx", cwd=made)
    assert [lot["lot"] for lot in found["lots"]] == ["North", "west"]  # type: ignore[attr-defined]
    assert found["totals"]["trailers"] == 25  # type: ignore[index]
    why = [left["why"] for left in found["passed_over"]]  # type: ignore[attr-defined]
    assert why == ["named twice, read once", "named twice, read once", "no lot"]


def test_files_of_the_same_name_are_called_by_their_path(made: Path, tmp_path: Path) -> None:
    for folder in ("a", "b"):
        (tmp_path / folder).mkdir()
        shutil.copy(made / "yards" / "west.xlsx", tmp_path / folder / "lot.xlsx")
    found = alone("review", "a", "b/lot.xlsx", cwd=tmp_path)
    assert [lot["lot"] for lot in found["lots"]] == ["a/lot.xlsx", "b/lot.xlsx"]  # type: ignore[attr-defined]


def test_match_over_all(made: Path) -> None:
    named = ("yards/North.xlsx", "yards/west.xlsx", "south.xlsx")
    done = tarelot("match", *named, *MACHINE, "--json", cwd=made)
    assert (done.returncode, done.stderr) == (0, "")
    data = json.loads(done.stdout)
    assert data["machine"] == "Wheel loader 9"
    assert [lot["weight_unit"] for lot in data["lots"]] == ["lb", "kg", "lb"]
    for name, lot in zip(named, data["lots"], strict=True):
        single = alone("match", name, *MACHINE, cwd=made)
        assert {key: lot[key] for key in ("trailers", "totals", "own_limits")} == {
            key: single[key] for key in ("trailers", "totals", "own_limits")
        }
    assert data["totals"]["trailers"] == 24 + 1 + 24
    text = tarelot("match", *named, *MACHINE, cwd=made).stdout
    # By hand: 6,500 kg that it may carry less the 5,000 kg loader; the 8,000 kg coupler leaves 5,500.
    assert re.search(r"│west +│ W1 .* 500 kg │", text)
    assert "Machine and truck: by the figures of each trailer's own lot.\n" in text
    assert re.search(r"^3 lots: 0 YES, \d+ NO, \d+ NOT SURE of 49 trailers for Wheel loader 9; no truck", text, re.M)


def test_a_lot_without_the_machine_or_the_truck_is_passed_over(made: Path) -> None:
    done = tarelot("match", "south.xlsx", "yards/west.xlsx", *MACHINE, *TRUCK, cwd=made)
    assert (done.returncode, done.stderr) == (0, "")
    assert (
        "Passed over: yards/west.xlsx: no truck named Tandem dump 58: the Trucks sheet has none yet.\n" in done.stdout
    )
    assert re.search(r"^1 lot: .* of 24 trailers", done.stdout, re.MULTILINE)


def test_a_machine_that_no_lot_has_is_an_error(made: Path) -> None:
    done = tarelot("match", "south.xlsx", "yards/North.xlsx", "yards/west.xlsx", "--machine", "Wagon", cwd=made)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.startswith(
        "tarelot: no lot is left: south.xlsx, yards/North.xlsx: no machine named Wagon: the Machines sheet has Skid"
    )
    assert "; yards/west.xlsx: no machine named Wagon: the Machines sheet has Wheel loader 9. " in done.stderr
    assert done.stderr.count("\n") == 1


@pytest.mark.parametrize(
    ("named", "said"),
    [
        (["nowhere.xlsx", "nowhere"], ["nowhere.xlsx is not there.", "nowhere is not there."]),
        (["yards/prices.xlsx", "nowhere"], ["nowhere is not there.", "yards/prices.xlsx has no table named Lot: "]),
        (["empty"], ["empty holds no .xlsx file."]),
        (["yards/North.xlsx backups"], ["yards/North.xlsx backups is a folder of backups."]),
        (["prices"], ["no lot is left: prices/prices.xlsx: no lot."]),
    ],
)
def test_where_no_lot_is_left(named: list[str], said: list[str], made: Path) -> None:
    (made / "empty").mkdir(exist_ok=True)
    (made / "prices").mkdir(exist_ok=True)
    shutil.copy(made / "yards" / "prices.xlsx", made / "prices")
    done = tarelot("review", *named, cwd=made)
    assert (done.returncode, done.stdout) == (2, "")
    lines = done.stderr.splitlines()
    assert len(lines) == len(said)
    for line, words in zip(lines, said, strict=True):
        assert line.startswith(f"tarelot: {words}")
        assert line.endswith(" Nothing was changed.")


def test_an_unreadable_path_stops_no_other(made: Path, tmp_path: Path) -> None:
    """A link that leads to itself cannot be read by anybody, root neither."""
    (tmp_path / "loop.xlsx").symlink_to("loop.xlsx")
    shutil.copy(made / "yards" / "west.xlsx", tmp_path)
    done = tarelot("review", "loop.xlsx", f"{'n' * 300}.xlsx", "west.xlsx", "--json", cwd=tmp_path)
    assert (done.returncode, done.stderr.count("\n")) == (2, 2)
    data = json.loads(done.stdout)
    assert [lot["lot"] for lot in data["lots"]] == ["west"]
    assert [left["path"] for left in data["not_read"]] == ["loop.xlsx", f"{'n' * 300}.xlsx"]
    assert all(left["why"] for left in data["not_read"])


@pytest.mark.parametrize("arguments", [("review",), ("match", *MACHINE)], ids=["review", "match"])
def test_a_terminal_of_60_columns(arguments: tuple[str, ...], made: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(made)
    status, sent = in_terminal(arguments[0], "south.xlsx", "yards/west.xlsx", *arguments[1:], columns=60)
    assert status == (1 if arguments == ("review",) else 0)
    lines = shown(sent)
    assert max(map(len, lines)) <= 60
    assert sum(line.startswith("south  ") for line in lines) == 24
    assert sum(line.startswith("west  W1") for line in lines) == 1
    assert "…" not in "\n".join(lines)


@pytest.mark.parametrize("method", ["fork", "spawn", "forkserver"])
def test_in_processes_begun_in_any_way(method: str, made: Path) -> None:
    """Windows and macOS spawn; what is found is as in this process."""
    named = [made / "south.xlsx", made / "yards" / "west.xlsx"]
    asked = partial(matched, machine="Wheel loader 9", truck=None)
    for work in (reviewed, asked):
        here = lots.work_out(named, work, processes=1)
        assert lots.work_out(named, work, processes=2, method=method) == here
        assert len(here.done) == 2


def ends_its_process(path: Path) -> int:
    """Stands for a lot that needs more memory than there is: the system ends the process."""
    if path.name == "south.xlsx":
        os.kill(os.getpid(), signal.SIGKILL)
    return len(path.name)


def test_a_lot_that_ends_its_process_stops_no_other(made: Path) -> None:
    named = [made / "south.xlsx", made / "yards" / "North.xlsx", made / "yards" / "west.xlsx"]
    outcome = lots.work_out(named, ends_its_process, processes=2)
    assert [found for _, found in outcome.done] == [len("North.xlsx"), len("west.xlsx")]
    assert [(left.path, left.why) for left in outcome.not_read] == [(named[0], lots.ENDED)]


def processes_of(group: int) -> list[int]:
    """The living processes of a group, by Linux' own account of them (proc(5))."""
    found = []
    for state in Path("/proc").glob("[0-9]*/stat"):
        try:
            fields = state.read_text(encoding="ascii", errors="replace").rpartition(")")[2].split()
        except OSError:  # it has just ended
            continue
        if int(fields[2]) == group and fields[0] != "Z":
            found.append(int(state.parent.name))
    return found


@pytest.mark.slow
@pytest.mark.parametrize("how", [signal.SIGKILL, signal.SIGINT])
def test_no_process_is_left_when_the_command_is_ended(how: signal.Signals, made: Path, tmp_path: Path) -> None:
    for number in range(12):
        shutil.copy(made / "south.xlsx", tmp_path / f"{number}.xlsx")
    running = subprocess.Popen(
        [*COMMAND, "match", str(tmp_path), *MACHINE],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        env=environment(),
        start_new_session=True,
    )
    until = time.monotonic() + 60
    while len(processes_of(running.pid)) < 2 and time.monotonic() < until:
        time.sleep(0.02)
    assert len(processes_of(running.pid)) >= 2, "it worked out nothing side by side"
    running.send_signal(how)
    said = running.communicate(timeout=60)[1].decode()
    while processes_of(running.pid) and time.monotonic() < until:
        time.sleep(0.02)
    assert processes_of(running.pid) == []
    if how == signal.SIGINT:
        assert (running.returncode, said) == (2, "tarelot: stopped. Nothing was changed.\n")
