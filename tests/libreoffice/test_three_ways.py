"""A list of 500 by the command, by LibreOffice's menu and by Excel's button makes the same Lot, cell by cell.

The menu asks a person, who chooses the file in its picker, looks at the preview and presses the button in its box; one
step of the undo then takes it back. Three readers and three writers stand against each other: LibreOffice for the
menu; xlwings' own code, with Excel's objects stood in, for the button; our edits inside the package for the command.
openpyxl reads what came out.
"""

from __future__ import annotations

import csv
import datetime
import math
import shutil
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import openpyxl
import pytest
import xlsxwriter
from openpyxl.utils.datetime import to_excel
from openpyxl.worksheet.table import TableColumn

from tarelot.addin.command_line.main import main
from tarelot.addin.excel import open_workbook
from tarelot.addin.libreoffice.build import build
from tests.bench.files import trailers
from tests.engines.office import Office
from tests.excel.desk import found
from tests.libreoffice.choices import OK, UNDO, YES, by_boxes
from tests.lot.small_lot import write_demo_lot

TRAILERS = 260
HEADINGS = ("Stk #", "Make", "Model", "GVWR kg", "Price", "Date in", "Hitch", "Options", "Notes", "Color")
CHANGED, SAME, NEW, REFUSED = 180, 60, 220, 40
SALESMAN, HALF = "Salesman", "Half of the price"
NOTED, NOTE = TRAILERS + 2, "ask about a deposit"
"""The second of the prepared rows, which holds a person's own note and no trailer."""
PASSED = f"New trailers go past 1 row of Lot that holds only what you noted there: {NOTED + 4}."
"""As each way says it; the headings stand in row 4."""
MENU, BUTTON, COMMAND = "menu", "button", "command"
LotCells = dict[tuple[int, str], object]
FORMULA = "a formula"


@pytest.fixture(scope="module")
def office_alone(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Office]:
    with Office(build(tmp_path_factory.mktemp("three") / "tarelot.oxt"), with_boxes=True) as running:
        yield running


def write_lot(path: Path) -> None:
    """A lot with a person's own columns at its right, one typed and one calculated."""
    write_demo_lot(path, trailers(TRAILERS))
    book = openpyxl.load_workbook(path)
    sheet = book["Lot"]
    table = sheet.tables["Lot"]
    (top, *rows) = sheet[table.ref]
    price = next(cell.column_letter for cell in top if cell.value == "Price")
    for place, heading in enumerate((SALESMAN, HALF), len(top) + 1):
        sheet.cell(top[0].row, place, heading)
        table.tableColumns.append(TableColumn(id=place, name=heading))
    for number, row in enumerate(rows):
        line = row[0].row
        if number < TRAILERS:
            sheet.cell(line, len(top) + 1, f"person {number % 4}")
        elif number + 1 == NOTED:
            sheet.cell(line, len(top) + 1, NOTE)
        sheet.cell(line, len(top) + 2, f'=IF({price}{line}="","",{price}{line}/2)')
    end = sheet.cell(rows[-1][0].row, len(top) + 2).coordinate
    table.ref = f"{table.ref.partition(':')[0]}:{end}"
    if table.autoFilter is not None:
        table.autoFilter.ref = table.ref
    book.save(path)


def list_rows() -> list[tuple[object, ...]]:
    """Rows of each class; more new ones than the lot has blank rows for."""
    on_lot = trailers(TRAILERS)
    rows: list[tuple[object, ...]] = []
    for number, trailer in enumerate(on_lot[:CHANGED]):
        day = datetime.date(2026, 3, 1) + datetime.timedelta(number)
        rows.append(
            (trailer["Stock no."], "Corvane", f"00{number}", 5_000.5 + number, 10_000 + number, day, "GN", "", "", "x")
        )
    for trailer in on_lot[CHANGED : CHANGED + SAME]:
        rows.append((trailer["Stock no."], trailer["Make"], trailer["Model"], "", trailer["Price"], "", "", "", "", ""))
    for number in range(NEW):
        day = datetime.date(2026, 4, 1) + datetime.timedelta(number)
        note = ("=1+1", "3-5", "1E5", "'quoted", "two\nlines")[number % 5]
        rows.append(
            (f"0{7000 + number}", "Brenmoor", "T", 3_000 + number, 9_000.25, day, "pintle", "Spare tire", note, "red")
        )
    faults = ("heavy", "7 ft", -5, "12 ton", 0, "1-2")
    for number in range(REFUSED):
        rows.append((f"R{number}", "X", "", faults[number % len(faults)], 1, "", "", "", "", ""))
    return rows


def write_list(path: Path) -> Path:
    if path.suffix == ".csv":
        with path.open("w", encoding="utf-8", newline="") as file:
            csv.writer(file).writerows([HEADINGS, *list_rows()])
        return path
    with xlsxwriter.Workbook(path) as book:
        page = book.add_worksheet("May")
        page.write_row(0, 0, ["Trailers of May"])
        page.write_row(2, 0, HEADINGS)
        day = book.add_format({"num_format": "yyyy-mm-dd"})
        for line, cells in enumerate(list_rows(), 3):
            for column, cell in enumerate(cells):
                if isinstance(cell, datetime.date):
                    page.write_datetime(line, column, datetime.datetime.combine(cell, datetime.time()), day)
                elif isinstance(cell, str):
                    page.write_string(line, column, cell)
                elif cell is not None:
                    page.write(line, column, cell)
    return path


def cells_of_lot(book: openpyxl.Workbook) -> LotCells:
    """What every cell of the table holds, by row of the table and heading; of a formula only that it is one."""
    sheet = book["Lot"]
    top, *rows = sheet[sheet.tables["Lot"].ref]
    headings = [str(cell.value) for cell in top]
    assert len(set(headings)) == len(headings)
    return {
        (number, heading): FORMULA if cell.data_type == "f" else _plain(cell.value)
        for number, row in enumerate(rows, 1)
        for heading, cell in zip(headings, row, strict=True)
    }


def _plain(value: object) -> object:
    """A value as a cell holds it: a day is its number; LibreOffice writes an empty text for a blank."""
    if isinstance(value, datetime.date):
        return float(to_excel(value))
    if isinstance(value, int) and not isinstance(value, bool):
        return float(value)
    return None if value == "" else value


def is_same(one: object, other: object) -> bool:
    """LibreOffice writes 15 digits of a number."""
    if isinstance(one, float) and isinstance(other, float):
        return math.isclose(one, other, rel_tol=1e-14)
    return one == other


def by_command(folder: Path, list_path: Path, capsys: pytest.CaptureFixture[str]) -> LotCells:
    assert main(["import", str(folder / "lot.xlsx"), str(list_path), "--yes"]) == 1, "rows are refused"
    assert f"Note: n{PASSED[1:-1]}" in " ".join(capsys.readouterr().out.split())
    return cells_of_lot(openpyxl.load_workbook(folder / "lot.xlsx"))


def by_menu(folder: Path, list_path: Path, office: Office) -> LotCells:
    saved, counts = folder / "saved.xlsx", f"{NEW} new, {CHANGED} changed, {SAME} same, {REFUSED} refused"
    calls = [{"type": {}}, by_boxes(list_path, YES, OK), {"store": str(saved)}, UNDO]
    done = office.dispatch(folder / "lot.xlsx", calls)
    _, asked, said = done["boxes"][1]
    assert f"{list_path.name}" in asked
    assert counts in asked
    assert "Import this into lot.xlsx?" in asked
    assert counts in said
    assert PASSED in said
    ((title, preview),) = done["beside"][1].items()
    assert title == f"{list_path.name} - preview"
    rows = {(row[0], row[2]) for row in preview if isinstance(row[0], float)}  # of a changed trailer a line each field
    assert Counter(what for _, what in rows) == {"new": NEW, "changed": CHANGED, "same": SAME, "refused": REFUSED}
    before, taken, _, undone = done["values"]
    assert taken["Lot"] != before["Lot"]
    assert undone == before, "one step of the undo takes all of it back, on every sheet"
    assert done["undo"][3] == done["undo"][0] == []
    return cells_of_lot(openpyxl.load_workbook(saved))


def by_button(folder: Path, list_path: Path) -> LotCells:
    desk = found(folder / "lot.xlsx")
    desk.excel.Application.chosen = str(list_path)
    said = desk.press()
    assert any(f"{NEW} new, {CHANGED} changed, {SAME} same, {REFUSED} refused" in line for line in said)
    assert f"Note: n{PASSED[1:-1]}" in said
    desk.answer("yes")
    assert desk.press()[1].startswith(f"Done: written into the lot: {NEW} new trailers and {CHANGED} changed trailers.")
    return cells_of_lot(desk.excel.behind)


@pytest.mark.parametrize("form", ["list.csv", "list.xlsx", "list.ods"])
def test_the_lot_is_the_same_three_ways(
    office_alone: Office,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    form: str,
) -> None:
    monkeypatch.setattr(open_workbook, "ON_WINDOWS", True)
    write_lot(tmp_path / "lot.xlsx")
    list_path = write_list(tmp_path / ("list.csv" if form == "list.csv" else "list.xlsx"))
    if form == "list.ods":
        office_alone.save_as(list_path, tmp_path / form)
    before = cells_of_lot(openpyxl.load_workbook(tmp_path / "lot.xlsx"))
    folders = {}
    for way in (COMMAND, MENU, BUTTON):
        folders[way] = tmp_path / way
        folders[way].mkdir()
        for name in ("lot.xlsx", form):
            shutil.copy(tmp_path / name, folders[way] / name)
    lots = {
        COMMAND: by_command(folders[COMMAND], folders[COMMAND] / form, capsys),
        MENU: by_menu(folders[MENU], folders[MENU] / form, office_alone),
        BUTTON: by_button(folders[BUTTON], folders[BUTTON] / form),
    }
    assert_as_the_list_says(before, lots[COMMAND])
    for way in (MENU, BUTTON):
        assert lots[way].keys() == lots[COMMAND].keys(), way
        differing = [
            f"row {row}, {heading}: {way} {lots[way][row, heading]!r}, {COMMAND} {wanted!r}"
            for (row, heading), wanted in lots[COMMAND].items()
            if not is_same(lots[way][row, heading], wanted)
        ]
        assert differing == []


def assert_as_the_list_says(before: LotCells, after: LotCells) -> None:
    """Counted and compared with the list itself: what all three agree on is right as well."""
    last = max(row for row, _ in before)
    changed = {row for (row, heading), value in before.items() if not is_same(after[row, heading], value)}
    grown = {row for row, _ in after if row > last}
    filled = {row for row in changed if before[row, "Stock no."] is None} | grown
    assert (len(filled), len(changed - filled)) == (NEW, CHANGED)
    by_name = {str(after[row, "Stock no."]): row for row, heading in after if heading == "Stock no."}
    for stock, make, model, kilograms, price, day, *_ in (*list_rows()[:CHANGED], *list_rows()[CHANGED + SAME :][:NEW]):
        row = by_name[str(stock)]
        assert [after[row, heading] for heading in ("Make", "Model", "Price")] == [make, model, price]
        assert after[row, "GVWR (lb)"] == pytest.approx(kilograms / 0.45359237, rel=1e-14)  # type: ignore[operator]
        assert after[row, "Received"] == to_excel(day)
        assert after[row, HALF] == FORMULA
    for row, heading in before:
        if heading == SALESMAN:
            assert after[row, heading] == before[row, heading]
    assert (before[NOTED, SALESMAN], after[NOTED - 1, "Stock no."]) == (NOTE, "07000")
    assert {heading: after[NOTED, heading] for heading in ("Stock no.", "Make", "GVWR (lb)", SALESMAN)} == {
        "Stock no.": None,
        "Make": None,
        "GVWR (lb)": None,
        SALESMAN: NOTE,
    }
    assert not {f"R{number}" for number in range(REFUSED)} & by_name.keys()
