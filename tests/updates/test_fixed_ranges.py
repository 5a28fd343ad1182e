"""Who reads fixed rows of the Lot that end before new ones: found, said, and left as it is."""

from __future__ import annotations

import json
import shutil
import zipfile
from pathlib import Path

import openpyxl
import pytest

from tarelot.addin.command_line.main import main
from tarelot.workbook_templates.updates.fixed_ranges import MOST_LINES, Grown, Short, lines, short_ranges
from tests.engines.office import Office
from tests.lot.own_column import add_own_column
from tests.lot.small_lot import list_of
from tests.updates.own_readers import CELLS, SALES, add_own_readers, add_own_rules, findings

LOT = Grown("Lot", range(1, 21), first_row=5, reached=28, added=36, last_row=40, ours=frozenset({"T"}))
"""Columns A to T; trailers stood down to row 28, the new ones down to row 36."""


@pytest.fixture
def yard(demo_workbook: Path, tmp_path: Path) -> Path:
    path = Path(shutil.copy(demo_workbook, tmp_path / "yard.xlsx"))
    add_own_readers(path)
    return path


def new_trailers(folder: Path, count: int) -> Path:
    return list_of(folder, "Stock no.,Make,GVWR", *(f"N{n},x,7000" for n in range(1, count + 1)))


def said(text: str) -> list[str]:
    """What the command says of it, whatever the width of the terminal."""
    return [line.removeprefix("Look at this: ") for line in text.splitlines() if line.startswith("Look at this: ")]


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("SUM(Lot!K5:K28)", ["K5:K40"]),
        ("SUM(lot!k5:k28)", ["k5:k40"]),
        ("SUM($Lot.$K$5:$K$28)", ["$K$5:$K$40"]),  # as LibreOffice writes it
        ("SUM('Lot'!A1:T35)*2+MAX(Lot!B2:C28)", ["A1:T40", "B2:C40"]),
        ("SUM(Lot!K5:K27)", []),  # it ends before the last trailer that there was
        ("SUM(Lot!K5:K36)", []),  # it has the new ones
        ("SUM(Lot!U5:U28)", []),  # beside the table
        ("SUM(Lot!S5:V28)", ["S5:V40"]),
        ("Lot!K28+Lot!A28:T28", []),  # one row
        ("SUM(Lots!K5:K28,'My Lot'!K5:K28,My.Lot!K5:K28)", []),
        ("SUM([2]Lot!K5:K28,'[other.xlsx]Lot'!K5:K28)", []),  # another workbook
        ("SUM('file:///other.ods'#$Lot.K5:K28)", []),
        ('SUM(Lot[Price],Lot!K:K,Lot!5:28)&"Lot!K5:K28"', []),
        ("SUM(Lot[[#Data],[K5:K28]])", []),
        ("COUNTA(Lot!$A$5:$A$20000)", []),
    ],
)
def test_what_one_formula_reads(text: str, wanted: list[str]) -> None:
    assert [one.wanted for one in short_ranges([("Sales", "B2", text)], LOT)] == wanted


def test_a_formula_on_the_lot_needs_no_sheet_and_may_go_on_with_its_rows() -> None:
    found = short_ranges(
        [
            ("Lot", "B2", "SUM(K5:K28)"),  # above the table
            ("Lot", "S28", "SUM(K$5:K28)"),  # a running sum, down to its own row
            ("Lot", "S28", "RANK(K28,K$5:K$28)"),
            ("Lot", "T28", "RANK(K28,K$5:K$28)"),  # of the workbook's own
            ("Other", "B2", "SUM(K5:K28)"),
        ],
        LOT,
    )
    assert [(one.reader, one.written) for one in found] == [
        ("Sheet Lot, B2", "K5:K28"),
        ("Sheet Lot, S28", "K$5:K$28"),
    ]


def test_a_table_of_which_a_large_lot_has_20000_rows() -> None:
    """Formulas of ours look down to row 20,000: they are not a person's, and what is a person's has other ends."""
    large = Grown("Lot", range(1, 21), 5, 19_990, 20_100, 20_100)
    found = short_ranges([("Start", "L2", "COUNTA(Lot!$A$5:$A$20000)"), ("S", "A1", "SUM(Lot!A5:A19990)")], large)
    assert [one.written for one in found] == ["Lot!A5:A19990"]


def test_a_sheet_whose_name_has_a_mark() -> None:
    table = Grown("It's mine", range(1, 21), 5, 28, 36, 40)
    (found,) = short_ranges([("S", "A1", "SUM('It''s mine'!K5:K28)")], table)
    assert found.wanted == "K5:K40"


def test_many_are_counted() -> None:
    found = [Short(f"The name N{number}", "Lot!K5:K28", "K5:K40") for number in range(MOST_LINES + 3)]
    assert len(lines(found)) == MOST_LINES + 1
    assert lines(found)[-1] == "... and 3 more that read fixed rows of the table"
    assert len(lines(found[:MOST_LINES])) == MOST_LINES


def test_the_command_lists_them_and_changes_none(
    yard: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "400")
    before = openpyxl.load_workbook(yard)
    parts = chart_parts(yard)
    assert main(["import", str(yard), str(new_trailers(tmp_path, 8)), "--yes"]) == 0
    assert said(capsys.readouterr().out) == findings(last=36)
    after = openpyxl.load_workbook(yard)
    assert {place: after[SALES][place].value for place in CELLS} == CELLS
    for name in ("Prices", "Makes"):
        assert after.defined_names[name].attr_text == before.defined_names[name].attr_text
    assert chart_parts(yard) == parts


def test_the_command_looks_through_rules_too(
    demo_workbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "400")
    path = Path(shutil.copy(demo_workbook, tmp_path / "rules.xlsx"))
    add_own_rules(path)
    assert main(["import", str(path), str(new_trailers(tmp_path, 8)), "--yes"]) == 0
    assert said(capsys.readouterr().out) == [
        "A conditional format on the sheet Own reads Lot!$K$5:$K$28, which ends before the new rows: $K$5:$K$36 "
        "would include them",
        "An entry rule (validity) on the sheet Own reads Lot!$C$5:$C$28, which ends before the new rows: $C$5:$C$36 "
        "would include them",
    ]


def chart_parts(path: Path) -> dict[str, bytes]:
    with zipfile.ZipFile(path) as package:
        return {name: package.read(name) for name in package.namelist() if "/charts/" in name}


def test_prepared_rows_are_new_rows_too(
    yard: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Two trailers go into rows 29 and 30: what ends at row 28 lacks them, what ends at row 34 does not."""
    monkeypatch.setenv("COLUMNS", "400")
    assert main(["import", str(yard), str(new_trailers(tmp_path, 2)), "--yes"]) == 0
    assert said(capsys.readouterr().out) == [line for line in findings(last=34) if ", B3 reads" not in line]


def test_nothing_is_listed_where_no_row_is_new(
    yard: Path, demo_workbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    stock = openpyxl.load_workbook(yard)["Lot"]["A5"].value
    listed = list_of(tmp_path, "Stock no.,Price", f"{stock},12345")
    assert main(["import", str(yard), str(listed), "--yes"]) == 0
    assert said(capsys.readouterr().out) == []
    plain = Path(shutil.copy(demo_workbook, tmp_path / "plain.xlsx"))  # nothing of a person's own in it
    assert main(["import", str(plain), str(new_trailers(tmp_path, 30)), "--yes"]) == 0
    assert said(capsys.readouterr().out) == []


def test_data_for_machines(yard: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["import", str(yard), str(new_trailers(tmp_path, 8)), "--yes", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)["ends_before_new_rows"]
    assert found[0] == {"reader": f"Sheet {SALES}, B2", "written": "Lot!K5:K28", "wanted": "K5:K36"}
    assert len(found) == len(findings(last=36))


def test_a_column_of_ones_own_that_ranks_and_a_lot_saved_by_libreoffice(
    yard: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, office: Office
) -> None:
    """LibreOffice writes formulas that rows share once, and our own in its own way: none of ours is listed."""
    monkeypatch.setenv("COLUMNS", "400")
    letter = add_own_column(yard, "Rank", {row: f"=RANK(K{row},K$5:K$34)" for row in range(5, 35)})
    saved = office.save_as(yard, tmp_path / "saved.xlsx")
    assert main(["import", str(saved), str(new_trailers(tmp_path, 8)), "--yes"]) == 0
    ranks = (
        f"Sheet Lot, {letter}5:{letter}36 reads K$5:K$34, which ends before the new rows: K$5:K$36 would include them"
    )
    wanted = [ranks, *(line.replace("'Lot'!", "Lot!") for line in findings(last=36))]
    assert sorted(said(capsys.readouterr().out)) == sorted(wanted)
