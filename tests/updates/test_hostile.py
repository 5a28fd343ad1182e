"""Hostile files, as the list and as the lot: one line, the lot as it was, little time and memory.

Each runs in a process of its own, whose memory and processor time the system measures: some would end the tests
themselves.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from tests.command_line.running import COMMAND, environment
from tests.updates import hostile

MOST_MEMORY = 500 << 20
MOST_SECONDS = 5
"""Of the processor's time, the start of Python included: how much else the machine does is not in it."""
HANGS = 300
"""Seconds after which a case that does not end fails."""
SHEET, TABLE = "xl/worksheets/sheet2.xml", "xl/tables/table1.xml"
LISTS, LOTS = hostile.cases(SHEET), hostile.cases(SHEET, TABLE)
CONTENT = "content.xml"
PEAK = """
import os, resource, sys
child = os.spawnv(os.P_WAIT, sys.argv[1], sys.argv[1:])
used = resource.getrusage(resource.RUSAGE_CHILDREN)
print(f"\\n{child} {used.ru_maxrss * 1024} {used.ru_utime + used.ru_stime}")
"""


def refused(lot: Path, list_path: Path, *options: str) -> str:
    """What an import says that is refused, once it is proven to have cost little and to have changed nothing."""
    return said_no(lot, "import", lot, list_path, "--yes", *options)


def said_no(lot: Path, *arguments: str | Path) -> str:
    """The same of any command."""
    before, there = lot.read_bytes(), sorted(lot.parent.iterdir())
    command = [sys.executable, "-c", PEAK, *COMMAND, *arguments]
    done = subprocess.run(command, capture_output=True, text=True, env=environment(), timeout=HANGS)
    status, memory, seconds = map(float, done.stdout.splitlines()[-1].split())
    assert status == 2, done.stderr
    assert memory < MOST_MEMORY
    assert seconds < MOST_SECONDS
    assert done.stderr.startswith("tarelot: ")
    assert done.stderr.endswith("Nothing was changed.\n")
    assert done.stderr.count("\n") == 1
    assert (lot.read_bytes(), sorted(lot.parent.iterdir())) == (before, there)
    return done.stderr


@pytest.mark.parametrize("case", LISTS)
def test_a_hostile_list(demo_workbook: Path, tmp_path: Path, case: str) -> None:
    lot, (changes, wrong_sum) = Path(shutil.copy(demo_workbook, tmp_path / "lot.xlsx")), LISTS[case]
    bad = hostile.remade(demo_workbook, tmp_path / "bad.xlsx", changes, wrong_sum=wrong_sum)
    assert "bad.xlsx" in refused(lot, bad, "--sheet", "Lot")


@pytest.mark.parametrize("case", LOTS)
def test_a_hostile_lot(demo_workbook: Path, tmp_path: Path, case: str) -> None:
    changes, wrong_sum = LOTS[case]
    lot = hostile.remade(demo_workbook, tmp_path / "lot.xlsx", changes, wrong_sum=wrong_sum)
    plain = tmp_path / "list.csv"
    plain.write_text("Stock no.,Price\n1101,5000\n", encoding="utf-8")
    assert "lot.xlsx" in refused(lot, plain)


ODS_CASES = {
    "nested texts": b"<text:p>" + b"<text:span>" * 100_000 + b"</text:span>" * 100_000 + b"</text:p>",
    "nested cells": b"<text:a>" * 200_000 + b"</text:a>" * 200_000,
}


@pytest.mark.parametrize("case", [*ODS_CASES, "wrong sum", "a row beyond the last"])
def test_a_hostile_ods_list(demo_workbook: Path, tmp_path: Path, case: str) -> None:
    """Names and elements are those of OpenDocument 1.3, part 3, 9.1 and 19.675."""
    lot, bad = Path(shutil.copy(demo_workbook, tmp_path / "lot.xlsx")), tmp_path / "bad.ods"
    spaces = b"".join(
        b' xmlns:%b="urn:oasis:names:tc:opendocument:xmlns:%b:1.0"' % (name, name)
        for name in (b"office", b"table", b"text")
    )
    repeated = b' table:number-rows-repeated="99999999"' if case == "a row beyond the last" else b""
    cells = b"".join(
        b'<table:table-cell office:value-type="string"><text:p>%b</text:p></table:table-cell>' % text
        for text in (b"Stock no.", b"Price")
    )
    content = (
        b"<office:document-content%b><office:body><office:spreadsheet><table:table table:name='May'>"
        b"<table:table-row>%b</table:table-row><table:table-row%b><table:table-cell/></table:table-row>"
        b"<table:table-row>%b<table:table-cell office:value-type='string'>%b</table:table-cell></table:table-row>"
        b"</table:table></office:spreadsheet></office:body></office:document-content>"
    ) % (spaces, cells, repeated, cells, ODS_CASES.get(case, b""))
    with zipfile.ZipFile(bad, "w") as package:
        package.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        package.writestr(CONTENT, content)
    if case == "wrong sum":
        hostile.remade(bad, bad.with_name("worse.ods"), {}, wrong_sum=CONTENT)
        os.replace(bad.with_name("worse.ods"), bad)
    assert "bad.ods" in refused(lot, bad)


MACHINES = "xl/worksheets/sheet11.xml"


@pytest.mark.parametrize("case", hostile.cases(MACHINES))
def test_a_hostile_sheet_of_machines(demo_workbook: Path, tmp_path: Path, case: str) -> None:
    """Match and Card read that sheet beside the lot."""
    changes, wrong_sum = hostile.cases(MACHINES)[case]
    lot = hostile.remade(demo_workbook, tmp_path / "lot.xlsx", changes, wrong_sum=wrong_sum)
    assert "lot.xlsx" in said_no(lot, "match", lot, "--machine", "Wheel loader 9")


def test_one_blank_in_a_far_row_of_a_full_sheet_is_no_harm(demo_workbook: Path, tmp_path: Path) -> None:
    """A note 10,000 rows below the table is a person's right."""
    lot = hostile.remade(demo_workbook, tmp_path / "lot.xlsx", {SHEET: hostile.far_cell("A10000")})
    plain = tmp_path / "list.csv"
    plain.write_text("Stock no.,Price\n1101,5000\n", encoding="utf-8")
    command = [*COMMAND, "import", lot, plain, "--yes"]
    done = subprocess.run(command, capture_output=True, text=True, env=environment())
    assert (done.returncode, done.stderr) == (0, "")
