"""Taking lists in: what the file then holds, and that two other engines calculate the same."""

from __future__ import annotations

import gc
import re
import resource
import shutil
import signal
import subprocess
import sys
import zipfile
from pathlib import Path

import openpyxl
import pytest
from openpyxl.utils import column_index_from_string, get_column_letter
from python_calamine import CalamineWorkbook

from tarelot.addin.command_line.main import main
from tarelot.calc.cells.formulas import name_formula
from tarelot.calc.registry import BY_NAME
from tarelot.workbook_templates import workbook
from tarelot.workbook_templates.basis.units import US
from tarelot.workbook_templates.lists.reading import read_list
from tarelot.workbook_templates.lists.rows import ListError
from tarelot.workbook_templates.lot.columns import COLUMNS, results
from tarelot.workbook_templates.lot.reading import read_lot
from tarelot.workbook_templates.ooxml.package import Formula, defined_names, edit
from tarelot.workbook_templates.ooxml.safe_file import FileError, backups, undo
from tarelot.workbook_templates.ooxml.splice import PackageError
from tarelot.workbook_templates.sheets import demo_yard
from tarelot.workbook_templates.updates import apply as apply_module
from tarelot.workbook_templates.updates.apply import Applied, apply
from tarelot.workbook_templates.updates.plan import Plan, UpdateError, plan
from tarelot.workbook_templates.updates.results import plain_form, result_update
from tarelot.workbook_templates.updates.values_copy import copy_values, recalculate
from tests.engines import ironcalc_model
from tests.engines.office import Office
from tests.lot.small_lot import list_of, write_small_lot

HEADINGS = ["Stock no.", "VIN", "Make", "Hitch", "Received", "Price", "GVWR (lb)", "Model year", "Options"]


@pytest.fixture
def demo(demo_workbook: Path, tmp_path: Path) -> Path:
    return Path(shutil.copy(demo_workbook, tmp_path / "demo.xlsx"))


def import_list(path: Path, list_path: Path, **options: object) -> tuple[Plan, Applied]:
    made = plan(read_lot(path), read_list(list_path), **options)  # type: ignore[arg-type]
    return made, apply(made, list_path)


def sheet_xml(path: Path, number: int = 2) -> str:
    with zipfile.ZipFile(path) as package:
        return package.read(f"xl/worksheets/sheet{number}.xml").decode()


def test_blank_rows_are_filled_first_and_rows_added_below(demo: Path, tmp_path: Path) -> None:
    lines = [
        "Stock no.,Make,GVWR,Base weight",
        *(f"N{n},=HYPERLINK({n}),{n}000,500" for n in range(1, 10)),
        "N10,x,no,1",
    ]
    made, done = import_list(demo, list_of(tmp_path, *lines))
    assert made.totals == {"new": 9, "changed": 0, "same": 0, "refused": 1}
    lot = read_lot(demo)
    assert (len(lot.rows), lot.blank_rows, lot.table.ref) == (33, [], f"A4:{get_column_letter(len(COLUMNS))}37")
    assert [row.values["Stock no."] for row in lot.rows[24:]] == [f"N{n}" for n in range(1, 10)]
    book = openpyxl.load_workbook(demo)
    for number in range(29, 38):
        assert book["Lot"][f"C{number}"].data_type == "s"
        assert book["Lot"][f"C{number}"].value == f"=HYPERLINK({number - 28})"
    stored = openpyxl.load_workbook(demo, data_only=True)
    payload = lot.columns["Payload (lb)"]
    assert [stored["Lot"][f"{payload}{n}"].value for n in (29, 37)] == [1000 - 500, 9000 - 500]  # GVWR less base weight
    assert stored["Start"]["B5"].value == 33
    assert result_update(lot).count == 0
    assert done.side_file == tmp_path / "list refused.csv"
    assert done.side_file.read_text(encoding="utf-8").splitlines() == [
        "Stock no.,Make,GVWR,Base weight,Reason",
        'N10,x,no,1,"GVWR (lb): ""no"" is not a number; a weight in lb is expected"',
    ]


def test_refused_rows_are_mended_and_imported_again(demo: Path, tmp_path: Path) -> None:
    _, done = import_list(demo, list_of(tmp_path, "Stock no.,Price", "1101,cheap", "1102,1"))
    assert done.side_file is not None
    again, second = import_list(demo, done.side_file)
    assert again.totals == {"new": 0, "changed": 0, "same": 0, "refused": 1}
    assert second.side_file == tmp_path / "list refused 2.csv"
    second.side_file.write_text(second.side_file.read_text(encoding="utf-8").replace("cheap", "6000"), encoding="utf-8")
    mended, third = import_list(demo, second.side_file)
    assert mended.totals == {"new": 0, "changed": 1, "same": 0, "refused": 0}
    assert mended.ignored == {}
    assert third.side_file is None


# What openpyxl left open fails once more when it is given up; the command says nothing of that.
@pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning")
@pytest.mark.parametrize(("kind", "count"), [("list.csv", 400), ("list.xlsx", 1), ("list.xlsx", 400)])
def test_a_full_disk_leaves_no_half_of_the_refused_rows(demo: Path, tmp_path: Path, kind: str, count: int) -> None:
    """No file may grow beyond 3,000 bytes, as the system itself can say it to a process.

    A CSV of 400 rows has more; an XLSX of one row too, whose sheet alone, which is first written into the folder for
    temporary files, has less; of 400 rows it has more.
    """
    headings, rows = ["Stock no.", "Price"], [[f"F{n}", "cheap"] for n in range(count)]
    path = tmp_path / kind
    if path.suffix == ".csv":
        list_of(tmp_path, *(",".join(row) for row in (headings, *rows)))
    else:
        book = openpyxl.Workbook()
        for row in (headings, *rows):
            book.active.append(row)  # type: ignore[union-attr]
        book.save(path)
    planned = plan(read_lot(demo), read_list(path))
    before, there = demo.read_bytes(), sorted(tmp_path.iterdir())
    usual = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (3000, usual[1]))
    try:
        with pytest.raises(ListError, match=r"list refused\.(csv|xlsx) cannot be written: (File too large|no room)"):
            apply(planned, path)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, usual)
        gc.collect()
    assert (demo.read_bytes(), sorted(tmp_path.iterdir())) == (before, there)


KILLED = """
import os, signal, sys
from pathlib import Path
from tarelot.workbook_templates.ooxml import safe_file
safe_file._named = lambda *_: os.kill(os.getpid(), signal.SIGKILL)
from tarelot.addin.command_line.main import main
main(["import", sys.argv[1], sys.argv[2], "--yes"])
"""


def test_a_kill_while_refused_rows_are_written_leaves_none_of_them(demo: Path, tmp_path: Path) -> None:
    """Killed at the last instant before the file has its name; the lists stand in another folder than the lot."""
    folder = tmp_path / "lists"
    folder.mkdir()
    path, before = list_of(folder, "Stock no.,Price", "1101,cheap"), demo.read_bytes()
    done = subprocess.run([sys.executable, "-c", KILLED, demo, path])
    assert done.returncode == -signal.SIGKILL
    assert demo.read_bytes() == before
    (left,) = set(folder.iterdir()) - {path}
    assert left.name.startswith(".tarelot-")
    path.write_text("Stock no.,Price\n1101,5950\n")  # nothing refused and nothing new: another run all the same
    assert main(["import", str(demo), str(path), "--yes"]) == 0
    assert list(folder.iterdir()) == [path]


def test_a_file_put_there_meanwhile_is_left(demo: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = list_of(tmp_path, "Stock no.,Price", "1101,cheap")
    other = tmp_path / "list refused.csv"
    other.write_text("another's")
    monkeypatch.setattr(apply_module, "free_side_file", lambda *_: other)
    with pytest.raises(ListError, match="exists already"):
        apply(plan(read_lot(demo), read_list(path)), path)
    assert other.read_text() == "another's"


def test_the_same_list_twice_changes_nothing_the_second_time(demo: Path, tmp_path: Path) -> None:
    source = demo_yard.LISTS / "new-truckload.csv"
    first, _ = import_list(demo, Path(shutil.copy(source, tmp_path)))
    after = demo.read_bytes()
    second, done = import_list(demo, tmp_path / source.name)
    assert first.totals == {"new": 4, "changed": 0, "same": 0, "refused": 1}
    assert second.totals == {"new": 0, "changed": 0, "same": 4, "refused": 1}
    assert (demo.read_bytes(), done.backup) == (after, None)


def test_an_import_is_undone_byte_for_byte(demo: Path, tmp_path: Path) -> None:
    before = demo.read_bytes()
    _, done = import_list(demo, list_of(tmp_path, "Stock no.,Price", "1101,1"))
    assert done.backup is not None
    assert demo.read_bytes() != before
    assert undo(demo) == done.backup
    assert demo.read_bytes() == before


def test_a_workbook_that_is_open_or_changed_meanwhile_is_left_alone(demo: Path, tmp_path: Path) -> None:
    list_path = list_of(tmp_path, "Stock no.,Price", "1101,1", "1102,no")
    made = plan(read_lot(demo), read_list(list_path))
    lock = demo.with_name(f".~lock.{demo.name}#")
    lock.write_text("")
    before = demo.read_bytes()
    with pytest.raises(FileError, match="open in LibreOffice"):
        apply(made, list_path)
    lock.unlink()
    undone = demo.with_name("other.xlsx")
    import_list(Path(shutil.copy(demo, undone)), list_of(tmp_path, "Stock no.,Price", "1103,7"))
    shutil.copy(undone, demo)
    changed = demo.read_bytes()
    with pytest.raises(UpdateError, match="was changed since it was read"):
        apply(made, list_path)
    assert demo.read_bytes() == changed != before
    assert backups(demo) == []
    assert not list(tmp_path.glob("*refused*"))


def test_only_the_cells_named_change_in_the_sheet(demo: Path, tmp_path: Path) -> None:
    before = cells(demo)
    made, _ = import_list(demo, list_of(tmp_path, "Stock no.,Price", "1101,1"))
    after = cells(demo)
    place = f"{made.lot.columns['Price']}5"
    assert {name for name in before | after if before.get(name) != after.get(name)} == {place}


def cells(path: Path) -> dict[str, str]:
    return {m[1]: m[0] for m in re.finditer(r'<c r="([A-Z]+[0-9]+)".*?(?:</c>|/>)', sheet_xml(path))}


# Formulas and figures of a person's own


def with_own_formulas(path: Path) -> None:
    """A sheet that sums the lot's prices, a sheet that reads that one, and a result that a person typed over."""
    book = openpyxl.load_workbook(path)
    page = book.create_sheet("Sums")
    page["A1"], page["A2"] = "=SUM(Lot[Price])", "=A1*2"
    book["Lot"]["M6"] = 12_345
    book.save(path)


def test_a_persons_own_formulas_show_no_old_figures(demo: Path, tmp_path: Path, office: Office) -> None:
    prices = [row["Price"] for row in demo_yard.trailers() if row["Price"] is not None]
    with_own_formulas(demo)
    office.save_as(demo, tmp_path / "saved.xlsx")  # stores a result beside each formula
    path = tmp_path / "saved.xlsx"
    sums = CalamineWorkbook.from_path(path).get_sheet_by_name("Sums").to_python()
    assert sums == [[sum(prices)], [2 * sum(prices)]]
    _, done = import_list(path, list_of(tmp_path, "Stock no.,Price", "1101,105950", "1102,7250"))
    assert done.update is not None
    # 1101 cost 5,950: 100,000 more
    stored = openpyxl.load_workbook(path, data_only=True)["Sums"]
    assert [stored["A1"].value, stored["A2"].value] == [None, None]  # left to the program that opens it
    now = office.edit_and_read(path, {}, ["Sums!A1", "Sums!A2", "Lot!M6"])
    assert now == [sum(prices) + 100_000, 2 * sum(prices) + 200_000, 12_345]
    assert done.update.own_formulas.total() > 2


def test_a_result_that_was_typed_over_is_left_alone_and_named(demo: Path, tmp_path: Path) -> None:
    with_own_formulas(demo)
    _, done = import_list(demo, list_of(tmp_path, "Stock no.,GVWR", "1102,10000"))
    assert done.update is not None
    assert done.update.left_alone == {"Lot!M6": "Payload (lb) is typed over"}
    stored = openpyxl.load_workbook(demo, data_only=True)["Lot"]
    assert stored["M6"].value == 12_345
    assert stored["O6"].value is None  # other results of that row may read the typed figure: left to the program
    assert openpyxl.load_workbook(demo)["Lot"]["O6"].data_type == "f"


def test_a_whole_column_of_a_persons_own_is_named_in_a_few_lines(
    demo: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    changed = demo.with_name("changed.xlsx")
    edit(demo, changed, {"Lot": {f"M{row}": 12_345 for row in range(5, 29)}})  # all 24 payloads typed over
    assert main(["recalculate", str(changed)]) == 0
    printed = capsys.readouterr().out.splitlines()
    assert sum(line.startswith("Left alone: Lot!M") for line in printed) == 20
    assert "Left alone: 4 more cells with what is not Tarelot's" in printed


def test_a_formula_in_an_input_is_named_before_a_list_replaces_it(
    demo: Path, tmp_path: Path, office: Office, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "saved.xlsx"
    office.edit_and_read(demo, {"Lot!K6": "=7000+250", "Lot!K7": "=100*2"}, [], path)
    assert read_lot(path).formulas == {(6, "Price"), (7, "Price")}
    list_path = list_of(tmp_path, "Stock no.,Price", "1102,7251", "1103,200")
    assert main(["import", str(path), str(list_path), "--yes"]) == 0
    assert "Price 7250 (a formula of yours) -> 7251" in capsys.readouterr().out
    sheet = openpyxl.load_workbook(path)["Lot"]
    assert (sheet["K6"].value, sheet["K7"].value) == (7251, "=100*2")


def test_a_formula_in_an_input_is_seen_beside_a_result_that_was_typed_over(demo: Path) -> None:
    """As many formulas in the row as ours alone would be."""
    changed = demo.with_name("changed.xlsx")
    edit(demo, changed, {"Lot": {"K6": Formula("7000+250", 7250), "M6": 1}})
    assert read_lot(changed).formulas == {(6, "Price")}


def test_formulas_that_are_missing_are_put_back(demo: Path, office: Office) -> None:
    place = "M7"
    wanted = openpyxl.load_workbook(demo)["Lot"][place].value
    edit(Path(shutil.copy(demo, demo.with_name("whole.xlsx"))), demo, {"Lot": {place: None}})
    recalculate(demo, workbook.write)
    assert openpyxl.load_workbook(demo)["Lot"][place].value == wanted
    assert result_update(read_lot(demo)).count == 0
    assert_engines_agree(demo, office)


def test_how_a_program_writes_a_formula_makes_no_difference() -> None:
    assert plain_form('IF(A1>1E+12, "a B",Lot[[#This Row],[Price 1.0]])') == plain_form(
        'if(A1>1000000000000,"a B",Lot[[#This Row],[Price 1.0]])'
    )
    assert plain_form("A1+1") != plain_form("A1+2")
    assert plain_form("A1+1") != plain_form("A2+1")


def test_names_are_put_right_after_libreoffice(demo: Path, tmp_path: Path, office: Office) -> None:
    path = office.save_as(demo, tmp_path / "saved.xlsx")
    assert "_xlfn.lambda" in defined_names(path)["LOT_PAYLOAD"]  # as LibreOffice writes it
    recalculate(path, workbook.write)
    assert defined_names(path)["LOT_PAYLOAD"] == name_formula(BY_NAME["LOT_PAYLOAD"])
    update, backup = recalculate(path, workbook.write)
    assert (update.count, backup) == (0, None)


def test_formulas_as_libreoffice_writes_them_are_ours(demo: Path, tmp_path: Path, office: Office) -> None:
    """It writes FALSE() for FALSE: a lot that it saved has no formula of a person's own for that."""
    path = office.save_as(demo, tmp_path / "saved.xlsx")
    _, done = import_list(path, list_of(tmp_path, "Stock no.,Price", "1104,12345"))
    assert done.update is not None
    assert done.update.left_alone == {}
    (row,) = (row for row in read_lot(path).rows if str(row.values["Stock no."]) == "1104")
    assert row.stored["Payload (lb)"]


# Other engines


def assert_engines_agree(path: Path, office: Office) -> None:
    """LibreOffice and IronCalc calculate every result cell anew and come to what is stored."""
    lot = read_lot(path)
    stored = openpyxl.load_workbook(path, data_only=True)["Lot"]
    grid = office.recalculate(path)["Lot"]
    model = ironcalc_model.load(path)
    model.evaluate()
    wanted = {US.heading(column.heading) for column in results()}
    compared = 0
    for heading, letter in lot.columns.items():
        place = column_index_from_string(letter)
        for number in range(lot.table.first_row, lot.table.last_row + 1) if heading in wanted else ():
            held = stored.cell(number, place).value
            for value in (grid[number - 1][place - 1], model.get_cell_value(1, number, place)):
                assert (value or "") == (held or "") or value == pytest.approx(held, rel=1e-9), (heading, number)
                compared += 1
    assert compared == 2 * len(wanted) * (lot.table.last_row - lot.table.first_row + 1)


def test_libreoffice_and_ironcalc_calculate_the_stored_figures(demo: Path, tmp_path: Path, office: Office) -> None:
    for source, decimal in (("new-truckload", None), ("price-list", None), ("scale-tickets", ",")):
        list_path = Path(shutil.copy(demo_yard.LISTS / f"{source}.csv", tmp_path))
        made = plan(read_lot(demo), read_list(list_path, decimal=decimal))  # type: ignore[arg-type]
        apply(made, list_path)
    _, done = import_list(demo, list_of(tmp_path, "Stock no.,GVWR", *(f"M{n},{n}000" for n in range(1, 6))))
    assert done.update is not None
    assert read_lot(demo).table.last_row == 37
    assert_engines_agree(demo, office)


def test_a_copy_holds_the_same_figures_and_no_formula(demo: Path, tmp_path: Path, office: Office) -> None:
    with_own_formulas(demo)
    path = office.save_as(demo, tmp_path / "saved.xlsx")
    out = tmp_path / "figures.xlsx"
    count = copy_values(path, out, workbook.write)
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(out) as new:
        sheets = [name for name in old.namelist() if name.startswith("xl/worksheets/sheet")]
        assert sum(len(re.findall(rb"<f[ >/]", old.read(name))) for name in sheets) == count > 1000
        assert not [name for name in new.namelist() if re.search(rb"<f[ >/]|calculatedColumnFormula", new.read(name))]
    assert defined_names(out).keys() == {n for n in defined_names(path) if not n.startswith("LOT_")}
    for sheet in ("Start", "Lot", "Options", "Sums"):
        books = [CalamineWorkbook.from_path(one).get_sheet_by_name(sheet).to_python() for one in (path, out)]
        assert books[0] == books[1]
    grids = [office.recalculate(one) for one in (path, out)]
    for rows in zip(grids[0]["Lot"], grids[1]["Lot"], strict=True):
        for values in zip(*rows, strict=True):
            # LibreOffice writes 15 digits of what it calculated
            assert values[0] == values[1] or values[0] == pytest.approx(values[1], rel=1e-12)
    with pytest.raises(ValueError, match="exists already"):
        copy_values(path, out, workbook.write)


def test_an_empty_table_a_totals_row_and_what_stands_below(tmp_path: Path) -> None:
    path = write_small_lot(tmp_path / "lot.xlsx", HEADINGS, [{}])
    import_list(path, list_of(tmp_path, "Stock no.,Price", "N1,1", "N2,2"))
    assert [row.values["Stock no."] for row in read_lot(path).rows] == ["N1", "N2"]
    book = openpyxl.load_workbook(path)
    book["Yard"]["C6"] = "a note of mine"  # right below the table
    book.save(path)
    before = path.read_bytes()
    with pytest.raises(PackageError, match=r"cannot grow to row 6: Yard!C6 is not empty"):
        import_list(path, list_of(tmp_path, "Stock no.,Price", "N3,1", "N4,cheap"))
    assert path.read_bytes() == before
    assert not list(tmp_path.glob("*refused*"))


# The commands


def test_dry_run_writes_nothing(demo: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = demo.read_bytes()
    list_path = list_of(tmp_path, "Stock no.,Price", "1101,1", "1102,no", "N1,2")
    files = sorted(tmp_path.iterdir())
    assert main(["import", str(demo), str(list_path), "--dry-run"]) == 1
    shown = capsys.readouterr().out
    for words in ("~ changed", "+ new", "✗ refused", "Price 5950 -> 1", "3 rows: 1 new, 1 changed, 0 same, 1 refused"):
        assert words in shown
    assert demo.read_bytes() == before
    assert sorted(tmp_path.iterdir()) == files


def test_import_and_undo(demo: Path, tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    before = demo.read_bytes()
    list_path = list_of(tmp_path, "Stock no.,Price", "1101,1")
    assert main(["import", str(demo), str(list_path)]) == 2  # nobody there to be asked
    assert demo.read_bytes() == before
    assert "say --yes" in capfd.readouterr().err
    assert main(["import", str(demo), str(list_path), "--yes"]) == 0
    shown, complaints = capfd.readouterr()
    assert complaints == ""
    assert "1 changed trailer written" in shown
    assert "backups" in shown
    assert read_lot(demo).rows[0].values["Price"] == 1
    assert main(["undo", str(demo)]) == 0
    assert demo.read_bytes() == before
    assert main(["undo", str(demo)]) == 0  # forward again
    assert read_lot(demo).rows[0].values["Price"] == 1


def test_undo_shows_what_a_person_typed_since_and_asks(
    demo: Path, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    before = demo.read_bytes()
    assert main(["import", str(demo), str(list_of(tmp_path, "Stock no.,Price", "1101,1")), "--yes"]) == 0
    lot = read_lot(demo)
    edited = demo.with_name("edited.xlsx")
    make = f"{lot.columns['Make']}{lot.rows[1].number}"
    edit(demo, edited, {lot.sheet: {make: "Typed by hand"}})
    edited.replace(demo)
    typed = demo.read_bytes()
    capfd.readouterr()
    assert main(["undo", str(demo)]) == 2  # nobody there to be asked
    shown, complaints = capfd.readouterr()
    assert "1101: Price 1 -> 5950" in shown
    assert "1102: Make Typed by hand -> Hallowick" in shown
    assert "say --yes" in complaints
    assert demo.read_bytes() == typed
    assert main(["undo", str(demo), "--yes"]) == 0
    assert demo.read_bytes() == before
    assert main(["undo", str(demo)]) == 0  # forward again, unasked: nothing was typed since
    assert demo.read_bytes() == typed


def test_the_workbooks_own_sheet_incoming(demo: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["import", str(demo), "--dry-run"]) == 2  # nothing pasted yet
    assert "sheet Incoming" in capsys.readouterr().err
    book = openpyxl.load_workbook(demo)
    page = book["Incoming"]
    for row in ((), ("Stk #", "Price"), ("1101", 1), ("1102", "no")):
        page.append(row)
    book.save(demo)
    assert main(["import", str(demo), "--yes"]) == 1
    assert read_lot(demo).rows[0].values["Price"] == 1
    refused = openpyxl.load_workbook(demo.with_name("demo refused.xlsx"))["Incoming"]
    assert [cell.value for cell in refused[2]][:2] == ["1102", "no"]
    assert main(["import", str(demo), "--dry-run", "--sheet", "Nowhere"]) == 2
    assert "has no sheet Nowhere" in capsys.readouterr().err


def test_recalculate_and_values(demo: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["recalculate", str(demo)]) == 0
    assert "nothing was written" in capsys.readouterr().out
    assert main(["values", str(demo), str(tmp_path / "figures.xlsx")]) == 0
    assert main(["values", str(demo), str(tmp_path / "figures.xlsx")]) == 2
    book = openpyxl.load_workbook(demo)
    book.save(demo)  # openpyxl drops every stored result
    assert main(["recalculate", str(demo)]) == 0
    assert "results stored" in capsys.readouterr().out
    assert result_update(read_lot(demo)).count == 0
