"""Lists as they come, each with the class of every row written down by hand: no row lost, none misread."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import pytest
import xlsxwriter

from tarelot.workbook_templates.lists.reading import read_list
from tarelot.workbook_templates.lists.rows import ListError
from tarelot.workbook_templates.lot.reading import LotSheet, read_lot
from tarelot.workbook_templates.updates.plan import Plan, plan
from tests.lot.small_lot import list_of, write_small_lot

HEADINGS = ["Stock no.", "VIN", "Make", "Model", "Hitch", "Received", "Price", "GVWR (lb)", "Axles", "Options"]
ROWS: list[dict[str, object]] = [
    {"Stock no.": 1105, "GVWR (lb)": 20_000, "Price": 14_900},
    {"Stock no.": "1106", "GVWR (lb)": 24_000, "Price": 18_700},
    {"Stock no.": "1107", "VIN": "0HWTA2C7XSL004200", "GVWR (lb)": 22_000, "Price": 16_200},
    {"Stock no.": "0420", "GVWR (lb)": 7_000, "Price": 5_950},
    {"Stock no.": "A12", "GVWR (lb)": 9_990, "Price": 7_250},
]


@pytest.fixture(scope="module")
def lot(tmp_path_factory: pytest.TempPathFactory) -> LotSheet:
    return read_lot(write_small_lot(tmp_path_factory.mktemp("lot") / "lot.xlsx", HEADINGS, ROWS))


def classes(made: Plan) -> list[str]:
    """The class of each row; every row of the list has one."""
    assert sum(made.totals.values()) == len(made.rows) == len(made.table.rows)
    return [row.status for row in made.rows]


def dirty(lot: LotSheet, folder: Path, *lines: str, same_key: bool = False) -> Plan:
    return plan(lot, read_list(list_of(folder, *lines)), same_key=same_key)


OTHER_WRITING = [
    *("'1105", "\u20181105", "\u20191105", "#1105", "# 1105", "01105", "0001105", "1105.0", "1105.00", "11 05"),
    *("1105\u200b", "\ufeff1105", "11\u00ad05", "\uff11\uff11\uff10\uff15", "no.1105", "1 105", "11\u206005"),
    *("#0420", "420", "00420", "420.0", "'420", "'0420", "a 12", "#A12", "0A12", "A\u200b12", "A\u00a012"),
]
"""A name on the lot, as lists write it that went through another program."""
SAME_WRITING = ["1105", " 1105", "1105 ", "\u00a01105\u2003", "\t1105", "0420", " 0420", "a12", "A12 "]
DIFFERENT = ["1115", "11050", "1105A", "1105-1", "1105.5", "4200", "A13", "A120", "B12"]


@pytest.mark.parametrize("name", OTHER_WRITING)
def test_another_writing_of_a_name_is_refused_with_both_shown_or_taken_as_the_same(
    lot: LotSheet, tmp_path: Path, name: str
) -> None:
    lines = ("Stock no.,Make,Price", f'"{name}",Corvane,6000')
    asked = dirty(lot, tmp_path, *lines)
    assert classes(asked) == ["refused"]
    assert "is nearly" in asked.rows[0].reason
    assert "of the lot" in asked.rows[0].reason
    same = dirty(lot, tmp_path, *lines, same_key=True)
    assert classes(same) == ["changed"]
    assert "Stock no." not in [change.heading for change in same.rows[0].changes]


@pytest.mark.parametrize("name", SAME_WRITING)
def test_the_same_writing_is_the_same_trailer(lot: LotSheet, tmp_path: Path, name: str) -> None:
    assert classes(dirty(lot, tmp_path, "Stock no.,Make,Price", f'"{name}",Corvane,6000')) == ["changed"]


@pytest.mark.parametrize("name", DIFFERENT)
def test_another_name_is_another_trailer(lot: LotSheet, tmp_path: Path, name: str) -> None:
    for same_key in (False, True):
        made = dirty(lot, tmp_path, "Stock no.,Make,Price", f"{name},Corvane,6000", same_key=same_key)
        assert classes(made) == ["new"]


def test_two_writings_within_a_list(lot: LotSheet, tmp_path: Path) -> None:
    lines = ("Stock no.,Price", "2200,1", "#2200,2", "02201,3", "2201,4", "2202,5")
    assert classes(dirty(lot, tmp_path, *lines)) == ["new", "refused", "new", "refused", "new"]
    assert classes(dirty(lot, tmp_path, *lines, same_key=True)) == ["new", "refused", "new", "refused", "new"]


TOTALS = [
    *("TOTAL", "Total", "total:", "Totals", "TOTAL (5)", "Total 5 trailers", "Grand total", "Sub-total", "Subtotal"),
    *("SUM", "Sum:", "Count", "COUNT 5", "Average", "AVG", "Avg:", "Mean", "Lot total", "Page total"),
]


@pytest.mark.parametrize("word", TOTALS)
def test_rows_of_totals_are_refused_in_the_key_or_the_first_cell(lot: LotSheet, tmp_path: Path, word: str) -> None:
    by_key = dirty(lot, tmp_path, "Make,Stock no.,GVWR,Price", "Corvane,3001,14000,9000", f",{word},42000,27000")
    assert classes(by_key) == ["new", "refused"]
    assert by_key.rows[1].reason == "a row of totals and no trailer"
    first = dirty(lot, tmp_path, "Make,Stock no.,GVWR,Price", "Corvane,3001,14000,9000", f"{word},3,42000,27000")
    assert classes(first)[1] == ("refused" if word not in ("TOTAL (5)", "Total 5 trailers", "COUNT 5") else "new")


@pytest.mark.parametrize("make", ["Summit", "Counter", "Totaline", "Averagewood", "Meander", "Summa"])
def test_a_maker_whose_name_begins_like_a_total_is_one(lot: LotSheet, tmp_path: Path, make: str) -> None:
    assert classes(dirty(lot, tmp_path, "Make,Stock no.,Price", f"{make},3001,9000")) == ["new"]


def test_a_row_of_sums_without_a_word(lot: LotSheet, tmp_path: Path) -> None:
    """14,000 + 7,000 + 21,000 = 42,000 lb and 9,000 + 6,000 + 15,000 = 30,000 dollars."""
    rows = ("3001,14000,9000", "3002,7000,6000", "3003,21000,15000")
    made = dirty(lot, tmp_path, "Stock no.,GVWR,Price", *rows, "ALL,42000,30000", "3004,42000,30001")
    assert classes(made) == ["new", "new", "new", "refused", "new"]
    assert "sum of those above" in made.rows[3].reason
    # the third trailer of a list may weigh what the first two do
    assert classes(made)[2] == "new"


NO_VALUE = ["N/A", "n/a", "NA", "TBD", "tba", "-", "--", "\u2014", "call", "Call us", "?"]


@pytest.mark.parametrize("heading", ["VIN", "Hitch", "Received", "Price", "GVWR (lb)", "Axles", "Options"])
@pytest.mark.parametrize("word", NO_VALUE)
def test_a_word_for_nothing_is_a_blank_and_is_noted(lot: LotSheet, tmp_path: Path, heading: str, word: str) -> None:
    made = dirty(lot, tmp_path, f"Stock no.,{heading},Make", f"1105,{word},Corvane", f"3001,{word},Corvane")
    assert classes(made) == ["changed", "new"]
    assert all(heading not in [change.heading for change in row.changes] for row in made.rows)
    assert any(note.startswith(f"{heading}: 2 read as blank ({word})") for note in made.notes)


def test_in_a_free_text_such_a_word_is_text_and_as_a_name_it_is_none(lot: LotSheet, tmp_path: Path) -> None:
    made = dirty(lot, tmp_path, "Stock no.,Model", "1105,call", "N/A,x", "-,y")
    assert classes(made) == ["changed", "refused", "refused"]
    assert [change.new for change in made.rows[0].changes] == ["call"]
    assert {row.reason for row in made.rows[1:]} == {"Stock no. is blank"}


def test_a_vin_with_spaces(lot: LotSheet, tmp_path: Path) -> None:
    made = dirty(lot, tmp_path, "VIN,Price", "0HWT A2C7X SL004200 ,5000", "0HWT A2C7X\u00a0SL004201,5000")
    assert classes(made) == ["changed", "new"]
    assert [change.new for change in made.rows[1].changes] == ["0HWTA2C7XSL004201", 5000]


FORMATS: Sequence[tuple[str, float, str, object]] = [
    # heading, number in the cell, its format, what a person sees and the lot shall hold (None: refused)
    ("Stock no.", 420, "0000", "0420"),
    ("Stock no.", 7, "00000", "00007"),
    ("Stock no.", 12, '"T-"000', "T-012"),
    ("Stock no.", 3001, "0", "3001"),
    ("Stock no.", 3001, "General", "3001"),
    ("GVWR (lb)", 14, '0"K lb"', 14_000),
    ("GVWR (lb)", 14_000, '0,"K lb"', 14_000),
    ("GVWR (lb)", 14_000, '#,##0" lb"', 14_000),
    ("GVWR (lb)", 14_000, "#,##0 \\l\\b", 14_000),
    ("GVWR (lb)", 14_000, "#,##0_);(#,##0)", 14_000),
    ("GVWR (lb)", 14_000, "[Red]#,##0.0", 14_000),
    # NIST SP 811: 1 lb = 0.45359237 kg
    ("GVWR (lb)", 4536, '0" kg"', 4536 / 0.45359237),
    ("GVWR (lb)", 7, '0" ton"', None),
    ("Price", 12_000, '"$"#,##0', 12_000),
    ("Price", 12_000, "[$$-409]#,##0.00", 12_000),
    ("Price", 12_000, '_($* #,##0_);_($* (#,##0);_($* "-"_);_(@_)', 12_000),
    ("Price", 12_000, "#,##0 [$\u20ac-407]", None),
    ("Price", 12_000, '"\u00a3"#,##0', None),
    ("Axles", 2, '0" axles"', None),
    ("Axles", 2, "00", 2),
]


@pytest.mark.parametrize(("heading", "number", "form", "expected"), FORMATS)
def test_what_a_number_format_shows_is_read(
    lot: LotSheet, tmp_path: Path, heading: str, number: float, form: str, expected: object
) -> None:
    path = tmp_path / "list.xlsx"
    with xlsxwriter.Workbook(path) as book:
        page = book.add_worksheet()
        page.write_row(0, 0, ["Make", heading] if heading == "Stock no." else ["Make", "Stock no.", heading])
        page.write_row(1, 0, ["Corvane"] if heading == "Stock no." else ["Corvane", "3001"])
        page.write_number(1, 1 if heading == "Stock no." else 2, number, book.add_format({"num_format": form}))
    (row,) = plan(lot, read_list(path)).rows
    if expected is None:
        assert row.status == "refused"
        assert heading in row.reason
    elif heading == "Stock no.":
        assert row.key == expected
    else:
        assert {change.heading: change.new for change in row.changes}[heading] == pytest.approx(expected, rel=1e-12)


ENCODED = [
    ("cp1252", "Remorque Qu\u00e9bec", True),
    ("cp1252", "\u201cas new\u201d \u2013 3\u00bd ft", True),
    ("utf-8", "\u30c8\u30ec\u30fc\u30e9\u30fc", True),
    ("mac_roman", "\u00e9t\u00e9 \u00abneuf\u00bb", False),
    ("iso8859_2", "P\u0159\u00edv\u011bs \u017elut\u00fd", False),
    ("cp1250", "Przyczepa \u015bwie\u017ca", False),
    ("shift_jis", "\u30c8\u30ec\u30fc\u30e9\u30fc", False),
    ("cp1251", "\u043f\u0440\u0438\u0446\u0435\u043f", False),
]


@pytest.mark.parametrize(("encoding", "make", "is_usual"), ENCODED)
def test_an_encoding_is_usual_and_said_or_it_is_asked_for(
    lot: LotSheet, tmp_path: Path, encoding: str, make: str, is_usual: bool
) -> None:
    path = tmp_path / "list.csv"
    path.write_bytes(f"Stock no.,Make,Price\n3001,{make},9000\n".encode(encoding))
    if is_usual:
        table = read_list(path)
        assert bool(table.notes) == (encoding == "cp1252")
    else:
        with pytest.raises(ListError, match=r"does not say its encoding: .* Name it with --encoding$"):
            read_list(path)
        table = read_list(path, encoding=encoding)
    (row,) = plan(lot, table).rows
    assert {change.heading: change.new for change in row.changes}["Make"] == make


def test_an_encoding_that_is_none_or_another(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    path.write_bytes("Stock no.,Make\n1,\u00e9\n".encode("cp1252"))
    with pytest.raises(ListError, match="no encoding is called latin-99"):
        read_list(path, encoding="latin-99")
    with pytest.raises(ListError, match="not text in utf-8"):
        read_list(path, encoding="utf-8")


@pytest.mark.parametrize(
    "start", ["<html><table>", "<!DOCTYPE html>\n", "  \n<TABLE border=1>", "\ufeff<html>", '<?xml version="1.0"?>']
)
def test_a_web_page_named_as_a_workbook_says_what_it_is(tmp_path: Path, start: str) -> None:
    path = tmp_path / "list.xls"
    path.write_text(f"{start}<tr><td>Stock no.</td></tr>", encoding="utf-8")
    with pytest.raises(ListError, match=r"list\.xls is a web page"):
        read_list(path)


def test_a_list_without_known_headings_shows_those_it_has(tmp_path: Path) -> None:
    with pytest.raises(ListError, match="it has Nummer, Farbe, Marke$"):
        read_list(list_of(tmp_path, "Nummer,Farbe,Marke", "1,rot,Corvane"))


def test_what_is_not_likely_is_shown_before_it_is_written(tmp_path: Path) -> None:
    """240 in a column of feet is inches; what the lot said already is not said again. Bounds: the Limits sheet's."""
    headings = ["Stock no.", "Make", "Deck length (ft)", "Price"]
    rows = [{"Stock no.": "1105", "Deck length (ft)": 20}, {"Stock no.": "1106", "Deck length (ft)": 300}]
    lot = read_lot(write_small_lot(tmp_path / "lot.xlsx", headings, rows))
    lines = ["1105,240,9000", "1106,300,9000", "3001,20,9000", "3002,192,9000", "3003,19,1"]
    made = dirty(lot, tmp_path, "Stock no.,Deck length,Price", *lines)
    assert classes(made) == ["changed", "changed", "new", "new", "new"]
    said = [note for note in made.notes if note.startswith("row ")]
    assert [note.partition(":")[0] for note in said] == ["row 2, 1105", "row 5, 3002"]
    assert all("Deck length" in note and "inches?" in note for note in said)
    many = dirty(lot, tmp_path, "Stock no.,Deck length", *(f"4{n:03},240" for n in range(25)))
    said = [note for note in many.notes if "inches?" in note or "not likely" in note]
    assert (len(said), said[-1]) == (11, "15 more trailers have entries that are not likely")
