"""Lists of every common form, read cell by cell and written back; the files are made by other programs."""

from __future__ import annotations

import csv
import datetime
import io
import re
import subprocess
import sys
import tempfile
import zipfile
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import openpyxl
import pandas as pd
import pytest
import xlsxwriter
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st
from odf.office import Annotation
from odf.opendocument import OpenDocumentSpreadsheet
from odf.table import Table, TableCell, TableRow
from odf.text import LineBreak, P, S, Tab

from tarelot.workbook_templates.lists.quantities import Value
from tarelot.workbook_templates.lists.reading import read_list
from tarelot.workbook_templates.lists.rows import ListError, defused
from tarelot.workbook_templates.lists.table import Form, ListTable, table_from_rows
from tarelot.workbook_templates.lists.writing import write_list
from tests.engines.office import Office

HEADINGS = ["Stock no.", "Make", "GVWR (lb)", "Colour"]
FORMULA_LOOKALIKES = ["=1+1", "+1", "-1", "@x", "\t=1", "\r=1", "'=1", "=HYPERLINK(A1)", "|x", "%0A"]


def saved(folder: Path, data: bytes | str, name: str = "list.csv") -> Path:
    path = folder / name
    path.write_bytes(data if isinstance(data, bytes) else data.encode())
    return path


def refusal(path: Path, **named: Any) -> str:
    """The one line that says why a list cannot be read."""
    with pytest.raises(ListError) as raised:
        read_list(path, **named)
    message = str(raised.value)
    assert "\n" not in message
    assert path.name in message
    return message


# ---------------------------------------------------------------- delimited text


def test_every_cell_is_kept_as_it_was_typed(tmp_path: Path) -> None:
    cells = ["0042", "NA", "1E5", " null "]
    path = saved(tmp_path, ",".join(HEADINGS) + "\n" + ",".join(cells) + "\n")
    table = read_list(path)
    assert (table.headings, table.rows, table.row_numbers) == (HEADINGS, [cells], [2])
    assert table.source == "list.csv, comma-separated"
    assert (table.refused, table.notes) == ({}, [])


CELL = st.text(
    st.characters(codec="utf-8", exclude_categories=("Cc", "Cs"), exclude_characters="\ufffe\uffff\ufeff")
    | st.sampled_from("\t\r\n\"',;|=+-@#"),
    max_size=8,
)
ROWS = st.lists(st.lists(CELL, min_size=4, max_size=4), max_size=6)


def written(rows: Sequence[Sequence[str]], delimiter: str, line_end: str, quoting: int) -> str:
    """A list by the standard library's writer, as spreadsheets write: a cell with a break is quoted."""
    out = io.StringIO(newline="")
    for row in [HEADINGS, *rows]:
        breaks = any("\r" in cell or "\n" in cell for cell in row)
        writer = csv.writer(
            out, delimiter=delimiter, lineterminator=line_end, quoting=csv.QUOTE_ALL if breaks else quoting
        )  # type: ignore[arg-type]
        writer.writerow(row)
    return out.getvalue()


@given(
    ROWS,
    st.sampled_from(",;\t|"),
    st.sampled_from(["utf-8", "utf-8-sig", "utf-16", "cp1252"]),
    st.sampled_from(["\r\n", "\n", "\r"]),
    st.sampled_from([csv.QUOTE_MINIMAL, csv.QUOTE_ALL]),
)
def test_any_rows_with_any_delimiter_and_encoding_read_back_as_they_were(
    rows: list[list[str]], delimiter: str, encoding: str, line_end: str, quoting: int
) -> None:
    text = written(rows, delimiter, line_end, quoting)
    try:
        data = text.encode(encoding)
    except UnicodeEncodeError:
        assume(False)
    if encoding == "cp1252" and not text.isascii():
        try:  # bytes that are sound UTF-8 by chance are read as UTF-8: no reader can know better
            data.decode("utf-8")
        except UnicodeDecodeError:
            pass
        else:
            assume(False)
    expected = {number: row for number, row in enumerate(rows, 2) if "".join(row).strip()}
    with tempfile.TemporaryDirectory() as folder:
        path = saved(Path(folder), data)
        named = encoding if encoding == "cp1252" and not text.isascii() else None  # which is asked for, if unusual
        table = read_list(path, encoding=named)
        assert table.headings == HEADINGS
        assert dict(zip(table.row_numbers, table.rows, strict=True)) == expected
        # and once more through a side file that refuses every row
        side = Path(folder) / f"side{table.form.suffix}"
        write_list(side, table, dict.fromkeys(expected, 'a "reason"; of, two | parts'))
        again = read_list(side, encoding=named)
        assert again.headings == [*HEADINGS, "Reason"]
        assert [row[:-1] for row in again.rows] == list(expected.values())
        assert {row[-1] for row in again.rows} <= {'a "reason"; of, two | parts'}
        assert (again.form.bom, again.form.line_end) == (table.form.bom, table.form.line_end)


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
def test_pandas_reads_the_side_file_as_we_do(tmp_path: Path, delimiter: str) -> None:
    """pandas is the reader from outside, for text with every delimiter in it."""
    rows = [["A,1", "b;c", "d|e", "f\tg"], ["1", "", "NA", 'h"i']]
    table = read_list(saved(tmp_path, written(rows, delimiter, "\r\n", csv.QUOTE_MINIMAL)))
    write_list(tmp_path / "side.csv", table, {2: "one", 3: "two"})
    frame = pd.read_csv(tmp_path / "side.csv", sep=delimiter, dtype=str, keep_default_na=False)
    assert list(frame.columns) == [*HEADINGS, "Reason"]
    assert frame.to_numpy().tolist() == [[*rows[0], "one"], [*rows[1], "two"]]


@pytest.mark.parametrize(
    ("encoding", "named"),
    [
        ("utf-8", "utf-8"),
        ("utf-8-sig", "utf-8"),
        ("utf-16", "utf-16-le"),
        ("utf-16-le", "utf-16-le"),
        ("utf-16-be", "utf-16-be"),
        ("cp1252", "cp1252"),
    ],
)
def test_encodings(tmp_path: Path, encoding: str, named: str) -> None:
    text = "Stock no.;Make;GVWR (lb)\r\n0042;Caf\u00e9 \u2013 \u201cX\u201d;14,000\r\n"
    table = read_list(saved(tmp_path, text.encode(encoding)))
    assert table.rows == [["0042", "Caf\u00e9 \u2013 \u201cX\u201d", "14,000"]]
    assert table.form.encoding == named
    write_list(tmp_path / "side.csv", table, {2: "why"})
    expected = text.replace("(lb)", "(lb);Reason").replace("14,000", "14,000;why")
    assert (tmp_path / "side.csv").read_bytes() == expected.encode(encoding)


def test_a_big_endian_byte_order_mark_is_kept(tmp_path: Path) -> None:
    data = b"\xfe\xff" + "VIN,Make\n1,x\n".encode("utf-16-be")
    table = read_list(saved(tmp_path, data))
    write_list(tmp_path / "side.csv", table, {2: "why"})
    assert (tmp_path / "side.csv").read_bytes() == b"\xfe\xff" + "VIN,Make,Reason\n1,x,why\n".encode("utf-16-be")


def test_titles_blank_lines_and_line_breaks_keep_the_rows_numbers(tmp_path: Path) -> None:
    """Row numbers are those a spreadsheet shows: a break within a cell begins no row, a blank line is one."""
    text = 'Truckload of May, all new\n\nVIN,Make,"GVWR\n(lb)"\n1,"two\nlines",3\n\n4,x,6\n,,\n , ,\n7,y,9\n\n,,\n'
    path = saved(tmp_path, text)
    table = read_list(path)
    assert table.headings == ["VIN", "Make", "GVWR\n(lb)"]
    assert dict(zip(table.row_numbers, table.rows, strict=True)) == {
        4: ["1", "two\nlines", "3"],
        6: ["4", "x", "6"],
        9: ["7", "y", "9"],
    }


def test_the_delimiter_is_the_one_under_which_the_headings_are_known(tmp_path: Path) -> None:
    text = "VIN, Make and Model; sent, as agreed\nStock no.;Make;GVWR (kg);Price\n1;a,b,c;3,5;4\n"
    table = read_list(saved(tmp_path, text))
    assert table.headings == ["Stock no.", "Make", "GVWR (kg)", "Price"]
    assert table.rows == [["1", "a,b,c", "3,5", "4"]]


def test_a_line_that_names_the_delimiter(tmp_path: Path) -> None:
    table = read_list(saved(tmp_path, "sep=;\r\nVIN;Make\r\n1;x\r\n"))
    assert (table.headings, table.rows, table.row_numbers) == (["VIN", "Make"], [["1", "x"]], [2])
    write_list(tmp_path / "side.csv", table, {2: "why"})
    assert (tmp_path / "side.csv").read_text() == "sep=;\nVIN;Make;Reason\n1;x;why\n"


def test_ragged_rows_are_kept_and_reported(tmp_path: Path) -> None:
    path = saved(tmp_path, "VIN,Make,GVWR (lb)\n1,x\n2,y,14,000 lb\n3,z,5,,\n4\n")
    table = read_list(path)
    assert table.rows == [["1", "x", ""], ["2", "y", "14", "000 lb"], ["3", "z", "5"], ["4", "", ""]]
    assert list(table.refused) == [3]
    assert table.refused[3].startswith("has 4 cells but the heading row only 3")
    assert table.notes == ["2 rows have fewer cells than the heading row, the first is row 2: read as blank"]
    write_list(tmp_path / "side.csv", table, table.refused)
    assert list(read_list(tmp_path / "side.csv").refused) == [2]  # until it is mended


@pytest.mark.parametrize(
    "error", ["#N/A", "#VALUE!", "#REF!", "#DIV/0!", "#NAME?", "#NUM!", "#NULL!", "Err:502", "###"]
)
def test_errors_that_a_spreadsheet_wrote_are_refused(tmp_path: Path, error: str) -> None:
    table = read_list(saved(tmp_path, f"VIN,GVWR (lb)\n1,{error}\n2,7000#\n3,NA\n"))
    assert table.refused == {2: f"GVWR (lb) holds the error {error}"}
    assert len(table.rows) == 3


@pytest.mark.parametrize("text", FORMULA_LOOKALIKES)
def test_text_is_always_text(tmp_path: Path, text: str) -> None:
    table = read_list(saved(tmp_path, written([["1", text, "x", "y"]], ",", "\r\n", csv.QUOTE_MINIMAL)))
    assert table.rows == [["1", text, "x", "y"]]
    write_list(tmp_path / "side.csv", table, {2: "why"})
    assert read_list(tmp_path / "side.csv").rows == [["1", text, "x", "y", "why"]]


@pytest.mark.parametrize(
    ("data", "why"),
    [
        (b"", "empty"),
        (b"\n\n", "empty"),
        (b"\xef\xbb\xbf", "empty"),
        (b"Colour,Size\n1,2\n", "none of its rows holds two headings that are known"),
        (b"VIN\n1\n", "none of its rows"),
        (b"a,b\n" * 60 + b"VIN,Make\n", "none of the first 50 rows"),
        (b'VIN,Make\n1,"open\n2,y\n', "row 2 cannot be read"),
        (b'"VIN,Make\n1,2\n', "row 1 cannot be read"),
        (b'VIN,Make\n1,x\n"2"x,y\n', "row 3 cannot be read"),
        (b"VIN,Make\n1," + b"x" * 200_000, "row 2 cannot be read"),
        (bytes(range(256)) * 8, "not a list"),
        (b"VIN,Make\n1,\x07\n", "not a list"),
        (b"\x81\x8d\x8f", "not a list"),
        (b"\xff\xfeV", "not a list"),
        (b"%PDF-1.7\n", "a PDF"),
        (b"\x89PNG\r\n\x1a\n", "a picture"),
        (b"{\\rtf1 VIN}", "a text document"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "save it as .xlsx"),
        (b"PK\x03\x04" + b"\0" * 40, "damaged"),
    ],
)
def test_what_cannot_be_read_says_so_in_one_line(tmp_path: Path, data: bytes, why: str) -> None:
    assert why in refusal(saved(tmp_path, data))


def test_no_file_no_folder_no_sheet(tmp_path: Path) -> None:
    assert "cannot be read: No such file" in refusal(tmp_path / "none.csv")
    assert "cannot be read: Is a directory" in refusal(tmp_path)
    assert "has no sheets" in refusal(saved(tmp_path, b"VIN,Make\n"), sheet="May")


def test_a_list_of_headings_alone_has_no_rows(tmp_path: Path) -> None:
    assert read_list(saved(tmp_path, b"VIN,Make\n")).rows == []


@given(st.binary(max_size=300) | st.text(max_size=200).map(str.encode))
def test_any_bytes_are_a_list_or_a_one_line_error(data: bytes) -> None:
    with tempfile.TemporaryDirectory() as folder:
        try:
            table = read_list(saved(Path(folder), data))
        except ListError as error:
            table = None
            message = str(error)
        if table is None:
            assert message.startswith("list.csv")
            assert len(message.splitlines()) == 1
        else:
            assert len(table.rows) == len(table.row_numbers)


# ---------------------------------------------------------------- workbooks

MAY_3 = datetime.date(2024, 5, 3)
VALUES: list[tuple[Any, Value]] = [
    (14000, 14000),
    (-5, -5),
    (0.15, 0.15),
    ("007", "007"),
    ("1E5", "1E5"),
    ("NA", "NA"),
    ("two\nlines", "two\nlines"),
    (" ends ", " ends "),
    ("7'-6\"", "7'-6\""),
    ("\u2033\u00e9\u00a0", "\u2033\u00e9\u00a0"),
]


def same(found: Value, expected: Value) -> bool:
    if isinstance(expected, datetime.date):
        date = found.date() if isinstance(found, datetime.datetime) else found
        return date == (expected.date() if isinstance(expected, datetime.datetime) else expected)
    if isinstance(found, float) and isinstance(expected, float):
        return found == pytest.approx(expected, rel=1e-15, abs=0)  # XlsxWriter writes 16 digits
    return found == expected and isinstance(found, str) == isinstance(expected, str)


@pytest.fixture
def by_xlsxwriter(tmp_path: Path) -> Path:
    """A workbook by XlsxWriter: a title, a blank row, headings in B3, values of every kind, a second sheet."""
    path = tmp_path / "list.xlsx"
    with xlsxwriter.Workbook(path) as book:
        cover = book.add_worksheet("Cover")
        cover.write("A1", "Prices of May")
        page = book.add_worksheet("May")
        page.write("B1", "A title")
        page.write_row("B3", ["Stock no.", "Received", "GVWR (kg)"])
        date = book.add_format({"num_format": "m/d/yyyy"})
        for row, (value, _) in enumerate(VALUES, 3):
            write = page.write_string if isinstance(value, str) else page.write_number
            write(row, 1, value)
            page.write_datetime(row, 2, datetime.datetime(2024, 5, 3), date)
        page.write_formula("D4", "=1+1", None, 2)
        page.write_formula("D5", '=""', None, "")  # which XlsxWriter writes as a number without a value
        page.write_formula("D6", "=NA()", None, "#N/A")
        page.write_formula("D7", '="a"&"b"', None, "ab")
        page.write_boolean("D8", True)
        for row, text in enumerate(FORMULA_LOOKALIKES, 20):
            page.write_string(row, 1, text)
    return path


def test_a_workbook_by_xlsxwriter(by_xlsxwriter: Path) -> None:
    table = read_list(by_xlsxwriter)
    assert table.source == "list.xlsx, sheet May"
    assert table.headings == ["", "Stock no.", "Received", "GVWR (kg)"]
    for number, row, (_, expected) in zip(table.row_numbers, table.rows, VALUES, strict=False):
        assert same(row[1], expected), (number, row, expected)
        assert same(row[2], MAY_3)
    assert table.row_numbers[: len(VALUES)] == list(range(4, 4 + len(VALUES)))
    assert [row[3] for row in table.rows[:5]] == [2, "#FORMULA?", "#N/A", "ab", True]
    assert table.refused == {
        5: "GVWR (kg) holds a formula whose result was never stored: open and save the list",
        6: "GVWR (kg) holds the error #N/A",
    }
    assert [row[1] for row in table.rows[len(VALUES) :]] == FORMULA_LOOKALIKES


def test_the_side_file_of_a_workbook(by_xlsxwriter: Path, tmp_path: Path) -> None:
    """openpyxl is the reader from outside: no cell of the side file is a formula, and each has its own type."""
    table = read_list(by_xlsxwriter)
    side = tmp_path / f"side{table.form.suffix}"
    write_list(side, table, dict.fromkeys(table.row_numbers, "=why not"))
    page = openpyxl.load_workbook(side)["May"]
    assert {cell.data_type for row in page.iter_rows() for cell in row} <= {"s", "n", "d", "b"}
    again = read_list(side)
    assert again.headings == [*table.headings, "Reason"]
    assert [row[:-1] for row in again.rows] == table.rows
    assert {row[-1] for row in again.rows} == {"=why not"}
    assert list(again.refused) == [3, 4]  # the errors are errors still, until they are mended


def test_formulas_without_a_stored_result_are_refused_and_not_read_as_blank(tmp_path: Path) -> None:
    """openpyxl writes formulas without results."""
    book = openpyxl.Workbook()
    page = book.active
    for row in (["VIN", "GVWR (lb)"], ["1", "=2*7000"], ["2", 7000]):
        page.append(row)
    book.save(tmp_path / "list.xlsx")
    table = read_list(tmp_path / "list.xlsx")
    assert table.refused == {2: "GVWR (lb) holds a formula whose result was never stored: open and save the list"}


def test_the_1904_calendar(tmp_path: Path) -> None:
    with xlsxwriter.Workbook(tmp_path / "list.xlsx", {"date_1904": True}) as book:
        page = book.add_worksheet()
        page.write_row(0, 0, ["VIN", "Received"])
        page.write_string(1, 0, "1")
        page.write_datetime(1, 1, datetime.datetime(2024, 5, 3), book.add_format({"num_format": "yyyy-mm-dd"}))
    assert same(read_list(tmp_path / "list.xlsx").rows[0][1], MAY_3)


@pytest.mark.parametrize("engine", ["openpyxl", "xlsxwriter", "odf"])
def test_workbooks_by_pandas(tmp_path: Path, engine: Any) -> None:
    path = tmp_path / ("list.ods" if engine == "odf" else "list.xlsx")
    frame = pd.DataFrame({"Stock no.": ["0042", "A1"], "GVWR (lb)": [14000, 7000.5], "Received": [MAY_3, MAY_3]})
    frame.to_excel(path, engine=engine, index=False, sheet_name="May")
    table = read_list(path)
    assert table.headings == list(frame.columns)
    assert [row[:2] for row in table.rows] == [["0042", 14000], ["A1", 7000.5]]
    assert all(same(row[2], MAY_3) for row in table.rows)


LIKE_ESCAPES = ["x005F_", "ax005F_b", "_x000D_", "_x005F_", "a_x0041_", "_x000D", "x000D_"]
"""Texts that look like the standard's way to write a sign that XML cannot hold, ECMA-376 part 1, 22.9.2.19."""
CELLS = st.text(
    st.characters(codec="utf-8", exclude_categories=("Cc", "Cs"), exclude_characters="\ufffe\uffff") | st.just("\n"),
    min_size=1,
    max_size=8,
) | st.sampled_from(LIKE_ESCAPES)


def test_texts_that_look_like_escapes_stay_as_they_were_typed(tmp_path: Path) -> None:
    """XlsxWriter writes ``_x000D_`` that was typed as ``_x005F_x000D_``; openpyxl by itself drops letters of both."""
    path = tmp_path / "list.xlsx"
    with xlsxwriter.Workbook(path) as book:
        page = book.add_worksheet()
        for at, text in enumerate(["Make", *LIKE_ESCAPES, "two\r\nlines"]):
            page.write_row(at, 0, ["VIN" if at == 0 else str(at), text])
    assert [row[1] for row in read_list(path).rows] == [*LIKE_ESCAPES, "two\r\nlines"]
    assert openpyxl.load_workbook(path).active["B3"].value == "ab"


@pytest.mark.slow
@given(
    st.lists(st.lists(CELLS | st.floats(-1e9, 1e9) | st.integers(-(10**9), 10**9), min_size=3, max_size=3), max_size=4)
)
def test_any_cells_of_a_workbook_read_back_as_they_were(rows: list[list[Value]]) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "list.xlsx"
        with xlsxwriter.Workbook(path) as book:
            page = book.add_worksheet()
            page.write_row(0, 0, HEADINGS[:3])
            for at, row in enumerate(rows, 1):
                for column, cell in enumerate(row):
                    write = page.write_string if isinstance(cell, str) else page.write_number
                    write(at, column, cell)
        table = read_list(path)
        expected = {n: row for n, row in enumerate(rows, 2) if any(not isinstance(c, str) or c.strip() for c in row)}
        assert table.row_numbers == list(expected)
        for found, wanted in zip(table.rows, expected.values(), strict=True):
            assert all(map(same, found, wanted))
        write_list(Path(folder) / "side.xlsx", table, dict.fromkeys(expected, "why"))
        assert [row[:-1] for row in read_list(Path(folder) / "side.xlsx").rows] == table.rows


def ods(path: Path, *sheets: tuple[str, list[TableRow]]) -> Path:
    document = OpenDocumentSpreadsheet()
    for name, rows in sheets:
        table = Table(name=name)
        for row in rows:
            table.addElement(row)
        document.spreadsheet.addElement(table)
    document.save(path)
    return path


def ods_row(*cells: object, **attributes: object) -> TableRow:
    row = TableRow(**attributes)
    for cell in cells:
        if isinstance(cell, str):
            text, cell = cell, TableCell(valuetype="string")
            cell.addElement(P(text=text))
        row.addElement(cell)
    return row


def test_an_ods_by_odfpy(tmp_path: Path) -> None:
    noted = TableCell(valuetype="string")
    note = Annotation()
    note.addElement(P(text="a note is no part of the cell"))
    spaced = P(text="a")
    for part in (S(c=3), Tab(), LineBreak()):
        spaced.addElement(part)
    spaced.addText("b")
    for part in (note, spaced, P(text="c")):
        noted.addElement(part)
    path = ods(
        tmp_path / "list.ods",
        (
            "May",
            [
                ods_row(TableCell(numbercolumnsrepeated=16384), numberrowsrepeated=3),
                ods_row(TableCell(), "VIN", "Received", "GVWR (lb)", "Low pin share"),
                ods_row(
                    TableCell(),
                    noted,
                    TableCell(valuetype="date", datevalue="2024-05-03"),
                    TableCell(valuetype="float", value="14000"),
                    TableCell(valuetype="percentage", value="0.15"),
                ),
                ods_row(TableCell(numbercolumnsrepeated=5), numberrowsrepeated=2),
                ods_row(
                    "",
                    "same",
                    "",
                    TableCell(valuetype="currency", value="5", numbercolumnsrepeated=2),
                    numberrowsrepeated=2,
                ),
                ods_row("", "unstored", "", TableCell(formula="of:=1+1")),
                ods_row(TableCell(numbercolumnsrepeated=16384), numberrowsrepeated=1000000),
            ],
        ),
    )
    table = read_list(path)
    assert table.headings == ["", "VIN", "Received", "GVWR (lb)", "Low pin share"]
    assert dict(zip(table.row_numbers, table.rows, strict=True)) == {
        5: ["", "a   \t\nb\nc", MAY_3, 14000.0, 0.15],
        8: ["", "same", "", 5.0, 5.0],
        9: ["", "same", "", 5.0, 5.0],
        10: ["", "unstored", "", "#FORMULA?", ""],
    }
    assert list(table.refused) == [10]
    assert table.form.suffix == ".xlsx"


def test_choosing_a_sheet(tmp_path: Path) -> None:
    rows = [["VIN", "Make"], ["1", "x"]]
    path = tmp_path / "list.xlsx"
    with xlsxwriter.Workbook(path) as book:
        for name, cells in (("Notes", [["hello"]]), ("May", rows), ("June", rows)):
            page = book.add_worksheet(name)
            for at, row in enumerate(cells):
                page.write_row(at, 0, row)
        chart = book.add_chart({"type": "bar"})
        chart.add_series({"values": "=May!$A$2:$A$3"})
        book.add_chartsheet("Chart").set_chart(chart)
    assert "more than one sheet with a list (May, June); name one of Notes, May, June with --sheet" in refusal(path)
    assert "has no sheet July; it has Notes, May, June" in refusal(path, sheet="July")
    assert "none of its rows" in refusal(path, sheet="Notes")
    assert read_list(path, "june").rows == [["1", "x"]]
    empty = tmp_path / "empty.xlsx"
    openpyxl.Workbook().save(empty)
    assert "empty" in refusal(empty)


def test_lists_that_libreoffice_writes(office: Office, tmp_path: Path, by_xlsxwriter: Path) -> None:
    """The same workbook through LibreOffice into each form it writes: the same cells, errors still errors."""
    ours = read_list(by_xlsxwriter)
    for suffix in ("xlsx", "ods"):
        (tmp_path / suffix).mkdir()
        table = read_list(office.convert(by_xlsxwriter, tmp_path / suffix, suffix))
        assert (table.headings, table.row_numbers) == (ours.headings, ours.row_numbers)
        assert table.refused == {6: ours.refused[6]}
        assert table.rows[1][3] == ""  # LibreOffice stores the result of ="", and as text
        for found, expected in zip(table.rows, ours.rows, strict=True):
            for one, other in zip(found, expected, strict=True):
                assert same(one, "" if other == "#FORMULA?" else other), (suffix, one, other)


def test_libreoffice_reads_the_side_file_with_no_formula_in_it(office: Office, tmp_path: Path) -> None:
    rows = [["VIN", "Make"], *([str(number), text] for number, text in enumerate(FORMULA_LOOKALIKES))]
    table = table_from_rows(rows, "the open sheet")
    write_list(tmp_path / "side.xlsx", table, dict.fromkeys(table.row_numbers, "=1+1"))
    cells = office.recalculate(tmp_path / "side.xlsx")["Refused"]
    assert [row[1] for row in cells[1:]] == FORMULA_LOOKALIKES
    assert {row[2] for row in cells[1:]} == {"=1+1"}


# ---------------------------------------------------------------- hostile files


def packed(path: Path, members: dict[str, bytes | str]) -> Path:
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in members.items():
            archive.writestr(name, data)
    return path


ODS_HEAD = (
    '<?xml version="1.0"?>{doctype}<office:document-content '
    'xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0" '
    'xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0" '
    'xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0"><office:body><office:spreadsheet>'
    '<table:table table:name="S">{rows}</table:table></office:spreadsheet></office:body></office:document-content>'
)


def ods_text(rows: str, doctype: str = "") -> str:
    return ODS_HEAD.format(rows=rows, doctype=doctype)


CELL_X = '<table:table-cell office:value-type="string"{0}><text:p>x</text:p></table:table-cell>'


@pytest.mark.parametrize(
    ("content", "why"),
    [
        (
            ods_text(
                "<table:table-row>" + CELL_X.format(' table:number-columns-repeated="99999999"') + "</table:table-row>"
            ),
            "16,384 columns",
        ),
        (
            ods_text(
                '<table:table-row table:number-rows-repeated="99999999">' + CELL_X.format("") * 3 + "</table:table-row>"
            ),
            "20,000,000 cells",
        ),
        (
            ods_text("<table:table-row>" + CELL_X.format(' table:number-columns-repeated="x"') + "</table:table-row>"),
            "not a sound",
        ),
        (ods_text("&e;", '<!DOCTYPE d [<!ENTITY e SYSTEM "file:///etc/passwd">]>'), "not a sound"),
        (ods_text("&b;", '<!DOCTYPE d [<!ENTITY a "xxxx"><!ENTITY b "&a;&a;&a;">]>'), "not a sound"),
        (ods_text("<table:table-row>"), "not a sound"),
        (ods_text(" " * 5_000_000), "unpacks to more"),
    ],
    ids=["wide", "tall", "no number", "outside entity", "entity", "cut off", "ratio"],
)
def test_ods_files_made_to_harm(tmp_path: Path, content: str, why: str) -> None:
    content = content.replace("<table:table-row></table", "<table:table-row></nothing></table")
    assert why in refusal(packed(tmp_path / "list.ods", {"content.xml": content}))


def test_protected_ods(tmp_path: Path) -> None:
    members = {"content.xml": b"\x01\x02", "META-INF/manifest.xml": "<manifest:encryption-data/>"}
    assert "protected by a password" in refusal(packed(tmp_path / "list.ods", members))


def test_packages_that_are_no_workbook(tmp_path: Path) -> None:
    assert "not a workbook" in refusal(packed(tmp_path / "list.xlsx", {"a.txt": "VIN,Make"}))
    assert "unsafe path" in refusal(packed(tmp_path / "path.xlsx", {"../a.txt": "x"}))


# Styles only say which numbers are dates.
STILL_SOUND = {("xl/styles.xml", damage) for damage in ("gone", "nonsense")}


@pytest.mark.parametrize(
    "part", ["xl/worksheets/sheet1.xml", "xl/sharedStrings.xml", "xl/styles.xml", "xl/workbook.xml"]
)
@pytest.mark.parametrize("damage", ["cut", "gone", "entity", "nonsense"])
def test_damaged_workbooks_are_one_line_or_sound(tmp_path: Path, by_xlsxwriter: Path, part: str, damage: str) -> None:
    with zipfile.ZipFile(by_xlsxwriter) as archive:
        members: dict[str, bytes | str] = {name: archive.read(name) for name in archive.namelist()}
    if part.endswith("sheet1.xml"):
        part = "xl/worksheets/sheet2.xml"  # the one that holds the list
    data = members.pop(part)
    assert isinstance(data, bytes)
    if damage == "cut":
        members[part] = data[: len(data) // 2]
    elif damage == "entity":
        members[part] = data.replace(b"?>", b'?><!DOCTYPE d [<!ENTITY e SYSTEM "file:///etc/passwd">]>', 1)
    elif damage == "nonsense":
        members[part] = b"<nonsense/>"
    path = packed(tmp_path / "damaged.xlsx", members)
    if (part, damage) not in STILL_SOUND:
        assert refusal(path).startswith("damaged.xlsx")
        return
    sound = read_list(by_xlsxwriter)
    for found, wanted in zip(read_list(path).rows, sound.rows, strict=True):
        # Without styles a date is a number, which a date column refuses; every other cell is as it was.
        pairs = zip(found, wanted, strict=True)
        assert all(same(one, two) for one, two in pairs if not isinstance(two, datetime.datetime))


@pytest.mark.slow
def test_a_sheet_that_claims_the_last_cell_takes_no_memory_for_the_rest(tmp_path: Path) -> None:
    """A reader that sets the whole rectangle aside would need hundreds of gigabytes: it is refused in 1.5 GB."""
    book = openpyxl.Workbook()
    book.active.append(["VIN", "Make"])
    book.active["XFD1048576"] = "x"
    book.save(tmp_path / "list.xlsx")
    limit = "import resource; resource.setrlimit(resource.RLIMIT_AS, (1_500_000_000,) * 2)\n"
    code = f"""{limit}
from pathlib import Path
from tarelot.workbook_templates.lists.reading import read_list
from tarelot.workbook_templates.lists.rows import ListError, defused
try:
    read_list(Path({str(tmp_path / "list.xlsx")!r}))
except ListError as error:
    print(error)"""
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=120)
    assert "reaches to XFD1048576 but has only 3 cells" in done.stdout, done.stderr


# ---------------------------------------------------------------- writing


# Beginnings that OWASP's "CSV Injection" names, with their wide forms, and what must not be touched.
BEGINNINGS = ["=1+1", "+1", "-5", "@SUM(1)", "\t=1", "\r=1", "\n=1", " =1", "'=1", "''-1", "\uff1d1", "\uff20x"]
HARMLESS = ["'tis", "1-5", "x=1", "'", ""]


def test_no_refused_cell_starts_a_formula_and_each_comes_back(tmp_path: Path) -> None:
    """Looked at as a spreadsheet program splits it: by the standard library's own reader."""
    rows = [["VIN", "Make", "=Own"], *([str(n), text, text] for n, text in enumerate([*BEGINNINGS, *HARMLESS]))]
    table = table_from_rows(rows, "list.csv", form=Form(".csv"))
    side = tmp_path / "side.csv"
    write_list(side, table, dict.fromkeys(table.row_numbers, "-why"))
    with side.open(newline="", encoding="utf-8") as file:
        written = list(csv.reader(file))
    assert not [cell for row in written for cell in row if re.match(r" *[=+@\t\r\n\uff1d\uff20-]", cell)]
    assert [row[1] for row in written[1:]][len(BEGINNINGS) :] == HARMLESS
    again = read_list(side)
    assert [row[:3] for row in again.rows] == rows[1:]
    assert again.headings == [*rows[0], "Reason"]


SIGNS = "=+-@\uff1d\uff0b\uff0d\uff20"
SEPARATORS = ",;\t|:~^ "
BURIED = [
    "wide;=1+1",
    "wide,=1+1",
    "x\t@SUM(1)",
    "x|-1",
    "x\n=1",
    'x;"=1',
    "x ; '=1",
    "x: +1",
    "x =1+1",
    "x,;-1",
    '"";=1',
]
UNTOUCHED = ["7'-6\"", "call - ask", "5-10", "a=b", '12" - 14"']
made_up = st.text(st.sampled_from(SIGNS + SEPARATORS + "'\"\r\nax1"), max_size=12)


def split_by_others(text: str) -> list[str]:
    """The cells that a program sees which takes another sign for the separator, with quotation marks or without."""
    found = []
    for delimiter in SEPARATORS:
        for quoting in (csv.QUOTE_MINIMAL, csv.QUOTE_NONE):
            reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, quoting=quoting)
            found += [cell for row in reader for cell in row]
    return found


def starts_formula(cell: str) -> bool:
    """Whether a program may take the cell for a formula; a sign alone is none, and with a blank behind it a dash."""
    return re.match(rf'[\s"]*[{re.escape(SIGNS)}]\S', cell) is not None


@pytest.mark.parametrize("delimiter", ",;\t|")
@settings(deadline=None, max_examples=150)
@given(texts=st.lists(made_up, min_size=1, max_size=4))
@example(texts=BURIED)
@example(texts=UNTOUCHED)
def test_no_refused_cell_starts_a_formula_whatever_splits_the_file(delimiter: str, texts: list[str]) -> None:
    """Looked at by the standard library's own reader, which splits as a program with another separator does."""
    rows = [["VIN", "Make"], *([str(number), text] for number, text in enumerate(texts))]
    with tempfile.TemporaryDirectory() as folder:
        table = table_from_rows(rows, "list.csv", form=Form(".csv", delimiter=delimiter))
        side = Path(folder) / "side.csv"
        write_list(side, table, dict.fromkeys(table.row_numbers, "why; =1"))
        text = side.read_bytes().decode()
        assert not [cell for cell in split_by_others(text) if starts_formula(cell)]
        assert [row[:2] for row in read_list(side).rows] == rows[1:]


@pytest.mark.parametrize("text", UNTOUCHED)
def test_what_starts_no_formula_is_written_as_it_stands(text: str) -> None:
    assert defused(text) == text


@pytest.fixture
def small() -> ListTable:
    return table_from_rows([["VIN", "Make"], ["1", "x"], ["2", None]], "the open sheet")


def test_rows_of_an_open_sheet(small: ListTable) -> None:
    assert (small.headings, small.rows, small.row_numbers) == (["VIN", "Make"], [["1", "x"], ["2", ""]], [2, 3])


def test_a_side_file_never_replaces_another(small: ListTable, tmp_path: Path) -> None:
    for suffix in (".xlsx", ".csv"):
        side = saved(tmp_path, b"mended by hand", f"side{suffix}")
        with pytest.raises(ListError, match="exists already"):
            write_list(side, small, {2: "why"})
        assert side.read_bytes() == b"mended by hand"


def test_a_side_file_that_cannot_be_written(small: ListTable, tmp_path: Path) -> None:
    with pytest.raises(ListError, match="cannot be written: No such file"):
        write_list(tmp_path / "none" / "side.xlsx", small, {2: "why"})
    with pytest.raises(ListError, match="has no row 9"):
        write_list(tmp_path / "side.xlsx", small, {9: "why"})
    assert not (tmp_path / "side.xlsx").exists()


def test_a_control_character_of_an_open_sheet_is_kept_in_the_side_file(tmp_path: Path) -> None:
    bell = table_from_rows([["VIN", "Make"], ["1", "a\x07b\r"]], "the open sheet")
    write_list(tmp_path / "side.xlsx", bell, {2: "why"})
    assert read_list(tmp_path / "side.xlsx").rows == [["1", "a\x07b\r", "why"]]


def test_only_the_refused_rows_are_written_and_one_reason_column(tmp_path: Path) -> None:
    table = read_list(saved(tmp_path, "VIN,Reason,Make\n1,old,x\n2,older,y\n3,,z\n"))
    write_list(tmp_path / "side.csv", table, {2: "new\nin two lines", 4: "too"})
    assert (tmp_path / "side.csv").read_text() == "VIN,Make,Reason\n1,x,new in two lines\n3,z,too\n"


def test_a_reason_that_the_lists_encoding_lacks(tmp_path: Path) -> None:
    table = read_list(saved(tmp_path, "VIN,Make\n1,Caf\u00e9\n".encode("cp1252")))
    write_list(tmp_path / "side.csv", table, {2: "7\u2032"})
    assert (tmp_path / "side.csv").read_bytes() == "VIN,Make,Reason\n1,Caf\u00e9,7\\u2032\n".encode("cp1252")
