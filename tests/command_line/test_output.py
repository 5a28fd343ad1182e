"""What is printed on terminals, into pipes and in encodings that lack a character.

Outside sources: the bytes are decoded with Python's own codecs in the strictest way, and the figures looked for are
read from the workbook by calamine.
"""

from __future__ import annotations

import csv
import re
import shutil
import sys
from collections.abc import Iterable
from pathlib import Path

import openpyxl
import pytest
from python_calamine import CalamineWorkbook

from tarelot.addin.command_line.command import as_typed
from tarelot.addin.command_line.output import Column, print_rows
from tests.command_line.running import in_pipe, in_terminal, shown, tarelot

HEADING_ROW = 4
MACHINE = ("--machine", "Backhoe 15", "--truck", "Tandem dump 58")
COLOR = re.compile(rb"\x1b\[[0-9;]*\b(3[0-8]|4[0-8]|9[0-7]|10[0-7])[0-9;]*m")
"""ECMA-48, 8.3.117, SGR: foreground and background colors; 90 and 100 on are the bright ones of every terminal."""


@pytest.fixture
def yard(demo_folder: Path, tmp_path: Path) -> Path:
    """A copy of it for one test."""
    return Path(shutil.copytree(demo_folder, tmp_path / "yard"))


def commands(yard: Path) -> dict[str, tuple[str | Path, ...]]:
    """The commands that print most, as a person runs them on the demo yard."""
    lot = yard / "tarelot-demo.xlsx"
    return {
        "demo": ("demo", "--out", yard / "again"),
        "review": ("review", lot),
        "match": ("match", lot, *MACHINE),
        "compare": ("compare", lot, "1102", "1123", *MACHINE),
        "import": ("import", lot, yard / "new-truckload.csv", "--dry-run"),
    }


STATUS = {"demo": 0, "review": 1, "match": 0, "compare": 0, "import": 1}
MARK = {"demo": "▲", "review": "▲", "match": "▲", "compare": "▲", "import": "✗"}
PLAIN_MARK = {"▲": "!", "✗": "x"}
ENCODINGS = {
    "cp1252": ({"PYTHONIOENCODING": "cp1252"}, "cp1252"),
    "ascii": ({"PYTHONIOENCODING": "ascii"}, "ascii"),
    "LC_ALL=C": ({"LC_ALL": "C"}, "utf-8"),  # Python's own UTF-8 mode, PEP 540
    "utf-8": ({"LC_ALL": "C.UTF-8"}, "utf-8"),
    "LC_ALL=C as it was": ({"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}, "ascii"),
}
TERMINALS: dict[str, dict[str, str]] = {"NO_COLOR": {"NO_COLOR": "1"}, "dumb": {"TERM": "dumb"}, "color": {}}


def of_every_command(kinds: Iterable[str | int]) -> pytest.MarkDecorator:
    """Each command with each kind; demo with the last: it writes the workbook first, and prints as review does."""
    *others, last = kinds
    each = [pytest.param(name, kind) for kind in (*others, last) for name in STATUS if name != "demo"]
    return pytest.mark.parametrize(("name", "kind"), [*each, pytest.param("demo", last, marks=pytest.mark.slow)])


@pytest.fixture(scope="module")
def figures(demo_folder: Path) -> list[str]:
    """The payloads that the workbook holds, as a person reads them."""
    rows = CalamineWorkbook.from_path(demo_folder / "tarelot-demo.xlsx").get_sheet_by_name("Lot").to_python()
    place = rows[HEADING_ROW - 1].index("Payload (lb)")
    found = [f"{row[place]:,.0f}" for row in rows[HEADING_ROW:] if isinstance(row[place], int | float)]
    assert len(found) >= 20
    return found


@of_every_command(ENCODINGS)
def test_every_encoding(name: str, kind: str, yard: Path, figures: list[str]) -> None:
    settings, encoding = ENCODINGS[kind]
    done = in_pipe(*commands(yard)[name], **settings)
    assert (done.returncode, done.stderr) == (STATUS[name], b"")
    text = done.stdout.decode(encoding, "strict")
    assert (MARK[name] if encoding == "utf-8" else f"{PLAIN_MARK[MARK[name]]} ") in text
    if name == "review":
        assert all(figure in text for figure in figures)


@pytest.mark.slow
def test_what_an_encoding_lacks_has_a_plain_form(yard: Path) -> None:
    path = type_into_lot(yard, "Model", "Żuk ½ → 20° Ж")
    ascii_only = in_pipe("review", path, PYTHONIOENCODING="ascii").stdout.decode("ascii")
    assert "Zuk 1/2 -> 20 deg ?" in ascii_only
    assert "?uk" not in ascii_only
    assert "Zuk ½ -> 20° ?" in in_pipe("review", path, PYTHONIOENCODING="cp1252").stdout.decode("cp1252")
    missing = in_pipe("review", yard / "▲.xlsx", PYTHONIOENCODING="ascii")
    assert (missing.returncode, missing.stderr.decode("ascii").count("\n")) == (2, 1)
    assert "!.xlsx is not there" in missing.stderr.decode("ascii")


@of_every_command(TERMINALS)
def test_a_terminal_of_60_columns(name: str, kind: str, yard: Path, figures: list[str]) -> None:
    settings = TERMINALS[kind]
    status, sent = in_terminal(*commands(yard)[name], columns=60, **settings)
    assert status == STATUS[name]
    assert bool(COLOR.search(sent)) == (not settings)
    if settings.get("TERM") == "dumb":
        assert b"\x1b" not in sent
        return  # such a terminal does not say how wide it is
    lines = shown(sent)
    paths = [line for line in lines if str(yard) in line or line.startswith(("| ", "/ ", "- ", "\\ "))]
    assert max(len(line) for line in lines if line not in paths) <= 60
    text = "\n".join(lines)
    assert MARK[name] in text
    assert "…" not in text
    if name in ("demo", "review"):
        assert re.findall(r"Payload (\S+) lb", text) == figures


@of_every_command((109, 110))
def test_figures_are_whole_on_every_terminal(name: str, kind: int, yard: Path, figures: list[str]) -> None:
    status, sent = in_terminal(*commands(yard)[name], columns=kind)
    assert status == STATUS[name]
    text = "\n".join(shown(sent))
    assert "…" not in text
    assert ("│" in text) == (kind >= 110)
    if name in ("demo", "review"):
        found = re.findall(r"[-\d][\d,]*", text)
        assert [figure for figure in figures if figure not in found] == []


def type_into_lot(yard: Path, heading: str, *values: object) -> Path:
    """The demo lot with cells of its first trailers typed over, from the first one down."""
    path = yard / "tarelot-demo.xlsx"
    book = openpyxl.load_workbook(path)
    sheet = book["Lot"]
    place = next(cell.column for cell in sheet[HEADING_ROW] if cell.value == heading)
    for number, value in enumerate(values, HEADING_ROW + 1):
        sheet.cell(number, place, value)
    book.save(path)
    return path


@pytest.mark.slow
def test_text_from_cells_is_never_markup(yard: Path) -> None:
    texts = ("Tilt [/] 20", "Deck [used]", "[bold]Deck[/bold]", ":warning: 20", r"a\[b")
    path = type_into_lot(yard, "Make", *texts)
    for columns in (60, 150):
        for arguments in (("review", path), ("match", path, *MACHINE)):
            status, sent = in_terminal(*arguments, columns=columns)
            assert status in (0, 1)
            assert [text for text in texts if text not in "\n".join(shown(sent))] == []


@pytest.mark.slow
def test_control_and_direction_characters_are_lost(yard: Path) -> None:
    path = type_into_lot(yard, "Make", "A\u202eB\u200bC\u2066D\x85E\u2028F")
    assert "ABCD E F" in tarelot("review", path).stdout
    listed = yard / "list.csv"
    listed.write_text('Stock no.,Make\nN\u202e1,"A\u200fB\nC"\n', encoding="utf-8")
    done = tarelot("import", path, listed, "--dry-run")
    assert not re.search("[\x00-\x09\x0b-\x1f\x7f-\x9f\u200f\u202e]", done.stdout)
    assert "N1 " in done.stdout
    assert "AB C" in done.stdout


def test_a_figure_too_long_for_any_table_is_whole(capsys: pytest.CaptureFixture[str]) -> None:
    figure = f"{10**150:,}"  # longer than the line of a pipe
    columns = (Column("Stock no.", "name"), Column("Payload", "figure", "lb"), Column("What", "words"))
    print_rows(columns, [("1", figure, "ok"), ("2", "5", "ok")])
    assert capsys.readouterr().out.splitlines() == [
        "1",
        f"  Payload {figure} lb",
        "  ok",
        "2",
        "  Payload 5 lb",
        "  ok",
    ]


def long_list(yard: Path, rows: int) -> Path:
    """A list of new trailers, the last of which is refused."""
    path = yard / "long.csv"
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(("Stock no.", "GVWR", "Price"))
        writer.writerows((f"L{number}", 14_000, number) for number in range(1, rows))
        writer.writerow(("L0", "heavy", 1))
    return path


def test_a_long_import_is_summed_up(yard: Path) -> None:
    lot, listed = yard / "tarelot-demo.xlsx", long_list(yard, 10_000)
    done = tarelot("import", lot, listed, "--dry-run")
    assert done.returncode == 1
    lines = done.stdout.splitlines()
    assert len(lines) < 40
    assert "10,000 rows: 9,999 new, 0 changed, 0 same, 1 refused." in done.stdout
    assert "L0" in done.stdout  # what is refused is always among those shown
    assert "and 9,989 more rows: --all shows every one." in done.stdout  # ten new ones and the refused one are shown
    assert "Filled in new trailers: GVWR (lb) 9,999; Price 9,999." in done.stdout
    every = tarelot("import", lot, listed, "--dry-run", "--all")
    assert all(f" L{number} " in every.stdout for number in range(10_000))


def test_a_list_of_a_hundred_is_shown_whole(yard: Path) -> None:
    done = tarelot("import", yard / "tarelot-demo.xlsx", long_list(yard, 100), "--dry-run")
    assert all(f" L{number} " in done.stdout for number in range(100))
    assert "--all" not in done.stdout


@pytest.mark.parametrize("name", ["my lot.xlsx", "it's.xlsx", "a&b;c.xlsx", "-lot.xlsx", "$HOME.xlsx", "a[1] (2).xlsx"])
def test_the_undo_hint_can_be_typed_as_it_is(name: str, yard: Path) -> None:
    import subprocess

    (yard / "tarelot-demo.xlsx").rename(yard / name)
    before = (yard / name).read_bytes()
    done = tarelot("import", f"./{name}", "price-list.csv", "--yes", cwd=yard)
    assert (yard / name).read_bytes() != before, done.stderr
    (hint,) = re.findall(r"^To take it back: tarelot (undo .*)$", done.stdout, re.MULTILINE)
    command = f"{sys.executable} -m tarelot.addin.command_line {hint}"
    undone = subprocess.run(["/bin/sh", "-c", command], cwd=yard, capture_output=True, text=True)
    assert undone.returncode == 0, undone.stderr
    assert (yard / name).read_bytes() == before


def test_the_undo_hint_on_windows(monkeypatch: pytest.MonkeyPatch) -> None:
    from subprocess import list2cmdline

    monkeypatch.setattr(sys, "platform", "win32")
    for name in ("lot.xlsx", "my lot.xlsx", r"C:\yard\my lot.xlsx"):
        assert as_typed(Path(name)) == list2cmdline([name])
    assert as_typed(Path("a&b.xlsx")) == '"a&b.xlsx"'  # which list2cmdline leaves to cmd's own reading


def test_no_and_the_end_of_input_write_nothing(yard: Path) -> None:
    lot = yard / "tarelot-demo.xlsx"
    before = lot.read_bytes()
    for typed in (b"n\n", b"\n", b"\x04"):
        status, sent = in_terminal("import", lot, yard / "price-list.csv", columns=100, typed=typed)
        assert status == 1  # a row is refused
        assert "Nothing was written." in "\n".join(shown(sent))
        assert lot.read_bytes() == before


def test_yes_writes(yard: Path) -> None:
    lot = yard / "tarelot-demo.xlsx"
    before = lot.read_bytes()
    _, sent = in_terminal("import", lot, yard / "price-list.csv", columns=100, typed=b"y\n")
    assert "5 changed trailers written." in " ".join(shown(sent))
    assert lot.read_bytes() != before
