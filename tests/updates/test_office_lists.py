"""Lists as an office gets them, each whole, with the class of every row written down by hand.

A letter a row: n new, c changed, s same, r refused; what its fields come to stands beside it. What lists look like is
common practice, no source. Weights: 1 lb = 0.45359237 kg; lengths: 1 ft = 0.3048 m, 1 in = 25.4 mm (NIST SP 811).
"""

from __future__ import annotations

import datetime
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

import pytest
import xlsxwriter

from tarelot.workbook_templates.lists.reading import read_list
from tarelot.workbook_templates.lists.rows import ListError
from tarelot.workbook_templates.lot.reading import LotSheet, read_lot
from tarelot.workbook_templates.updates.plan import Plan, UpdateError, plan
from tests.engines.office import Office
from tests.lot.small_lot import write_small_lot

HEADINGS = [
    *("Stock no.", "VIN", "Make", "Model", "Hitch", "Received", "Price", "GVWR (lb)", "Axles", "Options"),
    *("Deck length (ft)", "Width (in)", "High pin share"),
]
ROWS: list[dict[str, object]] = [
    {"Stock no.": 1105, "Make": "Corvane", "GVWR (lb)": 20_000, "Price": 14_900},
    {"Stock no.": "1106", "Make": "Corvane", "GVWR (lb)": 24_000, "Price": 18_700},
    {"Stock no.": "0420", "Make": "Brenmoor", "GVWR (lb)": 7_000, "Price": 5_950},
]
CLASSES = {"n": "new", "c": "changed", "s": "same", "r": "refused"}
KG = 1 / 0.45359237


@pytest.fixture(scope="module")
def lot(tmp_path_factory: pytest.TempPathFactory) -> LotSheet:
    return read_lot(write_small_lot(tmp_path_factory.mktemp("lot") / "lot.xlsx", HEADINGS, ROWS))


@dataclass(frozen=True)
class Case:
    """A list's text, the class of each row, and fields that some rows must come to, by row and heading."""

    text: str | bytes
    classes: str
    fields: Mapping[tuple[int, str], object] = field(default_factory=dict)
    decimal: str | None = None
    key: str | None = None
    says: Mapping[int, str] = field(default_factory=dict)


CASES: dict[str, Case] = {
    "a factory's order sheet": Case(
        "Order sheet,,,\nOrdered by the office,,,\n,,,\nStk #,Make,GVWR lbs,Price\n3001,Corvane,14000,9000\n"
        "1105,Corvane,20000,14900\n1106,Corvane,24000,18800\n",
        "nsc",
        {(5, "GVWR (lb)"): 14_000, (7, "Price"): 18_800},
    ),
    "headings in two lines": Case(
        "Stock,,Gross,Deck\nno.,Make,weight rating,length\n3001,Corvane,14000,20\n", "n", {(3, "GVWR (lb)"): 14_000}
    ),
    "units in a line of their own": Case(
        "Stock no.,Make,GVWR,Deck length,Width\n,,(kg),(m),(mm)\n3001,Corvane,5000,6,2500\n",
        "n",
        {(3, "GVWR (lb)"): 5000 * KG, (3, "Deck length (ft)"): 6 / 0.3048, (3, "Width (in)"): 2500 / 25.4},
    ),
    "units with a number sign": Case(
        "Stock no.,Make,GVWR\n#,,kg\n3001,Corvane,5000\n", "n", {(3, "GVWR (lb)"): 5000 * KG}
    ),
    "a line that groups the headings": Case(
        "Axles,,Brakes,\nStock no.,Make,GVWR,Price\n3001,Corvane,14000,9000\n", "n", {(3, "Price"): 9_000}
    ),
    "a ditto mark is no unit": Case('Stock no.,Make,Price\n,"""",\n3001,Corvane,9000\n', "rn"),
    "headings again on each page": Case(
        "Stock no.,Make,Price\n3001,Corvane,9000\nPage 1 of 2,,\nSTOCK NO.,MAKE,PRICE\n3002,Corvane,9100\nPage 2,,\n",
        "nrrnr",
        says={4: "the headings once more", 6: "nothing but its Stock no."},
    ),
    "headings again in a list of words": Case("Stock no.,Make\n3001,Corvane\nStock no.,Make\n3002,Corvane\n", "nrn"),
    "headings in two lines, again": Case(
        "Stock,,Gross\nno.,Make,weight rating\n3001,Corvane,14000\nStock,,Gross\nno.,Make,weight rating\n3002,X,7000\n",
        "nrrn",
    ),
    "a second table with its columns in another order": Case(
        "Stock no.,Make,Price,GVWR\n3001,Corvane,9000,14000\nStock no.,Make,GVWR,Price\n3002,Corvane,15000,9100\n",
        "nrr",
        says={3: "other headings", 4: "below other headings, in row 3"},
    ),
    "notes under the table": Case(
        "Stock no.,Make,Price\n3001,Corvane,9000\n\nAll prices FOB factory,,\n* plus freight,,\nPrinted 2026-03-04,,\n"
        "Prices valid until 2026-06-30,and later,\n",
        "nrrrr",
        says={7: "is a sentence"},
    ),
    "notes under a table that begins with another column": Case(
        "Make,Stock no.,Price\nCorvane,3001,9000\nAll prices FOB factory,,\n", "nr"
    ),
    "groups by make, with subtotals": Case(
        "Stock no.,Make,Price\nCorvane,,\n3001,Corvane,9000\n3002,Corvane,9100\nCorvane Total,,18100\nBrenmoor,,\n"
        "3003,Brenmoor,5000\nTotal Brenmoor:,,5000\nGRAND TOTAL,,23100\n",
        "rnnrrnrr",
    ),
    "subtotals in the first column": Case(
        "Make,Stock no.,Price\nCorvane,3001,9000\nCorvane,3002,9100\nCorvane total,2,18100\nGrand total,2,18100\n",
        "nnrr",
    ),
    "a total named in the second column": Case(
        "Stock no.,Make,Price\n3001,Corvane,9000\n3002,Corvane,9100\n2,Total,18100\n", "nnr"
    ),
    "sums of each group without a word": Case(
        # 9,000 + 9,100 + 9,200 = 27,300; 5,000 + 5,100 + 5,250 = 15,350; 27,300 + 15,350 = 42,650
        "Stock no.,GVWR,Price\n3001,14000,9000\n3002,14000,9100\n3003,14000,9200\nS1,42000,27300\n3004,7000,5000\n"
        "3005,7000,5100\n3006,7000,5250\nS2,21000,15350\nS3,63000,42650\n",
        "nnnrnnnrr",
    ),
    "a sum of prices beside weights that are none": Case(
        "Stock no.,GVWR,Price\n3001,14000,9000\n3002,14000,9100\n3003,14000,9200\nAll of them,14000,27300\n", "nnnr"
    ),
    "a weight that is a sum by chance": Case(
        "Stock no.,GVWR,Price\n3001,7000,9000\n3002,7000,9100\n3003,10000,9200\n3004,24000,9300\n", "nnnn"
    ),
    "words of accounts": Case(
        "Stock no.,Make,Price\n3001,Corvane,9000\nBrought forward,,9000\nCarried forward,,9000\nBalance,,9000\nB/F,,9\n"
        "Ttl,,9000\nAve.,,9000\nMax,,9000\nMin:,,9000\n\u00d8,,9000\n\u03a3,,9000\nTrailers: 3,,9000\n"
        "Number of units 3,,9000\n",
        "n" + "r" * 12,
    ),
    "totals in French and Spanish": Case(
        "Stock no.,Make,Price\n3001,Corvane,9000\nSous-total,,9000\nTotal g\u00e9n\u00e9ral,,9000\nMoyenne,,9000\n"
        "Suma,,9000\nPromedio:,,9000\n",
        "nrrrrr",
    ),
    "the same trailer thrice": Case(
        "Stock no.,Make,Price\n3001,Corvane,9000\n3001,Corvane,9000\n 3001 ,Corvane,9100\n1105,Corvane,1\n"
        "1105,Corvane,2\n1105,Corvane,3\n",
        "nrrcrr",
    ),
    "numbers that a program cut": Case(
        "Stock no.,Make,Price\n1.1E+03,Corvane,9000\n2.02603E+11,Corvane,9000\n1.105E+03,Corvane,9\n1E5,Corvane,9000\n"
        "1E+05,Corvane,9\n",
        "rrrnr",
    ),
    "VINs that a program cut": Case("VIN,Make,Price\n1.23E+16,Corvane,9000\n", "r"),
    "texts that keep their zeros as formulas": Case(
        'Stock no.,Make,Price\n"=""0420""",Brenmoor,5950\n"=""00777""",Corvane,"=""9000"""\n',
        "sn",
        {(3, "Stock no."): "00777", (3, "Price"): 9_000},
    ),
    "formulas as texts": Case(
        "Stock no.,Make,Price\n=A2+1,Corvane,9000\n3002,=1+1,9000\n3003,Corvane,=1+1\n",
        "rnr",
        {(3, "Make"): "=1+1"},
    ),
    "names that are none": Case(
        "Stock no.,Make,Price\nTRUE,Corvane,9000\n0,Corvane,9000\n000,Corvane,9000\nfalse,Corvane,9\n?,Corvane,9\n",
        "rrrrr",
    ),
    "names alone": Case("Stock no.,Make,Price\n3001,,\n1105,,\n", "rs"),
    "signs around a name on the lot": Case(
        'Stock no.,Price\n1105*,1\n[1105],1\n1105.,1\nStk #1105,1\nUnit 1105,1\n"1105,",1\n',
        "rrrrrr",
        says={2: 'nearly "1105"'},
    ),
    "prices as people write them": Case(
        'Stock no.,Price\n3001,USD 12500\n3002,"$12,500.00"\n3003,"12,500 dollars"\n3004,12.5k\n3005,12500 CAD\n'
        '3006,C$12500\n3007,\u20ac12500\n3008,($500)\n3009,-500\n3010,500-\n3011,"12,500 OBO"\n3012,SOLD\n'
        '3013,"$12,500 / $11,900"\n3014,12500 + tax\n3015,10%\n3016,12.500\n',
        "nnnnrrrrrrrrrrrr",
        {(2, "Price"): 12_500, (3, "Price"): 12_500, (4, "Price"): 12_500, (5, "Price"): 12_500},
    ),
    "prices that are asked for": Case(
        "Stock no.,Make,Price\n3001,Corvane,POA\n3002,Corvane,Call for price\n3003,Corvane,on request\n", "nnn"
    ),
    "a comma as the decimal mark, not said": Case(
        "Stock no.;GVWR kg;Deck length m;Price\n3001;5.000;6,50;12.500,00\n3002;5 000;6,5;12 500,00\n", "rr"
    ),
    "a comma as the decimal mark, said": Case(
        "Stock no.;GVWR kg;Deck length m;Price\n3001;5.000;6,50;12.500,00\n3002;5 000;6,5;12 500,00\n",
        "nn",
        {(2, "GVWR (lb)"): 5000 * KG, (3, "Deck length (ft)"): 6.5 / 0.3048, (3, "Price"): 12_500},
        decimal=",",
    ),
    "thousands parted otherwise": Case(
        "Stock no.;GVWR;Price\n3001;14\u202f000;12\u00a0500\n3002;14'000;1\n3003;14\u2019000;1\n3004;14_000;1\n"
        "3005;1,400,0;1\n3006;14,00;1\n3007;14.000;1\n",
        "nrrrrrr",
        {(2, "GVWR (lb)"): 14_000, (2, "Price"): 12_500},
    ),
    "lengths in feet and inches": Case(
        "Stock no.|Deck length|Width\n3001|20'6\"|8'6\"\n3002|20ft 6in|102 in\n3003|20.5'|102\"\n3004|20-6|96\n"
        "3005|20+5|96\n3006|20' + 5'|96\n3007|20'13\"|96\n",
        "nnnrrrr",
        {(2, "Deck length (ft)"): 20.5, (2, "Width (in)"): 102, (4, "Deck length (ft)"): 20.5},
    ),
    "weights as people write them": Case(
        "Stock no.,GVWR,Price\n3001,14k,1\n3002,14K lb,1\n3003,6350kg,1\n3004,6.35 t,1\n3005,14M,1\n3006,2x7000,1\n"
        '3007,~14000,1\n3008,14000+,1\n3009,7 ton,1\n3010,"14,000 lb (6,350 kg)",1\n3011,14000 lbs GVWR,1\n',
        "nnnnrrrrrrr",
        {(2, "GVWR (lb)"): 14_000, (4, "GVWR (lb)"): 6350 * KG, (5, "GVWR (lb)"): 6350 * KG},
    ),
    "dates as texts": Case(
        "Stock no.,Received\n3001,46086\n3002,20260305\n3003,3/5/2026\n3004,5-Mar-26\n3005,March 2026\n3006,Q1\n"
        "3007,2026-03-05T10:00:00Z\n3008,2026-02-30\n",
        "rnrnrrnr",
        {(3, "Received"): datetime.date(2026, 3, 5), (5, "Received"): datetime.date(2026, 3, 5)},
    ),
    "dates whose order others show": Case(
        "Stock no.,Received\n3001,3/5/2026\n3002,3/25/2026\n",
        "nn",
        {(2, "Received"): datetime.date(2026, 3, 5)},
    ),
    "shares": Case(
        "Stock no.,High pin share\n3001,15%\n3002,0.15\n3003,15\n3004,15-25%\n3005,150%\n",
        "nnrrr",
        {(2, "High pin share"): 0.15},
    ),
    "errors of a program": Case(
        "Stock no.,Make,Price,Color\n#REF!,Corvane,9\n3002,#N/A,9\n3003,x,#DIV/0!\n#####,x,9\n3005,x,#ERROR!\n"
        "3006,x,Err:508\n3007,x,9,#N/A\n",
        "rrrrrrn",
    ),
    "truth values": Case("Stock no.,Make,Axles\n3001,x,TRUE\n3002,x,yes\n3003,TRUE,2\n", "rrn"),
    "delimiters at the ends": Case("Stock no.,Make,Price,,,\n3001,Corvane,9000,,,\n3002,Corvane,9000\n", "nn"),
    "delimiters at the ends of rows alone": Case("Stock no.,Make,Price\n3001,Corvane,9000,\n3002,X,1,,,\n", "nn"),
    "a delimiter within a price": Case("Stock no.,Make,Price\n3001,Corvane,9,000\n3002,Corvane,9000\n", "rn"),
    "rows cut short": Case("Stock no.,Make,Price\n3001\n3002,Corvane\n3003,Corvane,9000\n", "rnn"),
    "line breaks in cells": Case(
        'Stock no.,Make,Model\n3001,Corvane,"deck over\nwith ramps"\n3002,Corvane,"a\r\nb"\n',
        "nn",
        {(2, "Model"): "deck over\nwith ramps"},
    ),
    "a line break in a name": Case('Stock no.,Make\n"1105\n",Corvane\n"11\n05",Corvane\n', "sr"),
    "returns alone at the ends of lines": Case(b"Stock no.,Make,Price\r3001,Corvane,9000\r3002,X,1\r", "nn"),
    "ends of lines of every kind": Case(b"Stock no.,Make,Price\r\n3001,X,9\n3002,X,9\r3003,x,9\r\n", "nnn"),
    "a byte-order mark": Case("\ufeffStock no.,Make,Price\n0420,Brenmoor,5950\n", "s"),
    "UTF-16": Case("Stock no.\tMake\tPrice\n3001\tCorvane\t9000\n".encode("utf-16"), "n"),
    "UTF-32": Case("Stock no.,Make,Price\n3001,Corvane,9000\n".encode("utf-32"), "n"),
    "an end mark of older programs": Case(b"Stock no.,Make,Price\n3001,Corvane,9000\n\x1a\x00\x00", "n"),
    "very long texts": Case(
        f"Stock no.,Make,Price\n{'3' * 300},Corvane,9\n3002,{'x' * 300},9\n3003,x,{'9' * 90}\n", "rrr"
    ),
    "headings in another case and unit": Case(
        "STOCK NO,MAKE,gvwr KGS,DECK LENGTH IN INCHES,width (FT)\n3001,Corvane,5000,240,8.5\n",
        "n",
        {(2, "GVWR (lb)"): 5000 * KG, (2, "Deck length (ft)"): 20, (2, "Width (in)"): 102},
    ),
    "inches without quotation": Case('Stock no.,Make,Width\n3001,Corvane,102"\n3002,Corvane,8\'6"\n', "nn"),
    "both names, one of another trailer": Case(
        "Stock no.,VIN,Price\n3001,0HWTA2C7XSL004200,1\n3002,0HWT A2C7X SL004200,1\n1105,0HWTA2C7XSL004201,1\n", "nrc"
    ),
}


@pytest.mark.parametrize("name", CASES)
def test_each_row_of_a_list_has_its_class(lot: LotSheet, tmp_path: Path, name: str) -> None:
    case = CASES[name]
    path = tmp_path / "list.csv"
    path.write_bytes(case.text if isinstance(case.text, bytes) else case.text.encode())
    made = plan(lot, read_list(path, decimal=case.decimal))  # type: ignore[arg-type]
    assert_classes(made, case.classes)
    for (number, heading), wanted in case.fields.items():
        assert field_of(made, number, heading) == (
            pytest.approx(wanted, rel=1e-12) if isinstance(wanted, float) else wanted
        )
    reasons = made.refused
    for number, words in case.says.items():
        assert words in reasons[number]


def assert_classes(made: Plan[LotSheet], classes: str) -> None:
    found = [row.status for row in made.rows]
    assert found == [CLASSES[one] for one in classes], [(row.number, row.status, row.reason) for row in made.rows]
    assert len(made.rows) == len(made.table.rows)
    assert all(row.reason for row in made.rows if row.status == "refused")


def field_of(made: Plan[LotSheet], number: int, heading: str) -> object:
    (row,) = (row for row in made.rows if row.number == number)
    return {change.heading: change.new for change in row.changes}[heading]


WHOLE: dict[str, tuple[str | bytes, type[Exception], str]] = {
    "two columns of one name": ("Stock no.,Price,Price\n1,2,3\n", UpdateError, "'Price' and 'Price' would both be"),
    "two columns of names": ("Stock no.,Make,Stock #\n1,x,1\n", UpdateError, "would both be Stock no."),
    "no delimiter": ("Stock no.  Make  Price\n3001  Corvane  9000\n", ListError, "holds two headings that are known"),
    "whole lines in quotation marks": ('"Stock no.,Make"\n"3001,Corvane"\n', ListError, "two headings that are known"),
    "a quotation mark left open": ('Stock no.,Make\n3001,"Corvane\n3002,X\n', ListError, "row 2 cannot be read"),
    "a vertical tab": (b"Stock no.,Make\n3001,Cor\x0bvane\n", ListError, "line 2 holds the control character U+000B"),
    "a null": (b"Stock no.,Make\n3001,Cor\x00vane\n", ListError, "line 2 holds the control character U+0000"),
    "a form feed": (b"Stock no.,Make\n3001,X\n\x0c3002,X\n", ListError, "line 3 holds the control character U+000C"),
    "no name at all": ("Make,Price\nCorvane,9000\n", UpdateError, "has no column Stock no. or VIN"),
    "names alone": ("Stock no.,Color,Size\n", ListError, "two headings that are known"),
}


@pytest.mark.parametrize("name", WHOLE)
def test_a_list_that_is_refused_whole_says_why(lot: LotSheet, tmp_path: Path, name: str) -> None:
    text, kind, words = WHOLE[name]
    path = tmp_path / "list.csv"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    with pytest.raises(kind, match=words.replace("+", r"\+").replace("(", r"\(")):
        plan(lot, read_list(path))


Cell = str | float | bool | datetime.date | None
Change = Callable[[xlsxwriter.Workbook, xlsxwriter.worksheet.Worksheet], None]


@dataclass(frozen=True)
class Sheet:
    """A sheet's rows, number formats of some cells, what is done to it, and the class of each row of the list."""

    rows: Sequence[Sequence[Cell]]
    classes: str
    formats: Mapping[tuple[int, int], str] = field(default_factory=dict)
    change: Change = lambda _book, _page: None
    fields: Mapping[tuple[int, str], object] = field(default_factory=dict)


HEAD = ("Stock no.", "Make", "GVWR (lb)", "Price", "Received")


def hide_rows(_book: xlsxwriter.Workbook, page: xlsxwriter.worksheet.Worksheet) -> None:
    page.set_row(2, None, None, {"hidden": True})
    page.set_column(3, 3, None, None, {"hidden": True})


def filter_rows(_book: xlsxwriter.Workbook, page: xlsxwriter.worksheet.Worksheet) -> None:
    """As a filter on the make leaves it: the rows that it takes away are hidden."""
    page.autofilter(0, 0, 3, 4)
    page.filter_column(1, "x == Corvane")
    page.set_row(2, None, None, {"hidden": True})


def merge_makes(_book: xlsxwriter.Workbook, page: xlsxwriter.worksheet.Worksheet) -> None:
    page.merge_range(1, 1, 3, 1, "Corvane")


def merge_names(_book: xlsxwriter.Workbook, page: xlsxwriter.worksheet.Worksheet) -> None:
    page.merge_range(1, 0, 2, 0, "3001")


def merge_headings(_book: xlsxwriter.Workbook, page: xlsxwriter.worksheet.Worksheet) -> None:
    page.merge_range(0, 0, 0, 4, "Trailers of May")
    page.merge_range(1, 2, 1, 3, "Weights")


SHEETS: dict[str, Sheet] = {
    "numbers as texts": Sheet(
        [HEAD, ("3001", "Corvane", "14000", "9000", "2026-03-05"), (1105.0, "Corvane", "20,000", "$14,900", None)], "ns"
    ),
    "names as numbers": Sheet(
        [HEAD, (3001, "Corvane", 1, 1, None), (420, "X", 1, 1, None), (1106, "X", 1, 1, None)], "nrc"
    ),
    "names whose zeros a format adds": Sheet(
        [HEAD, (420, "Brenmoor", 7_000, 5_950, None), (77, "X", 1, 1, None)],
        "sn",
        {(1, 0): "0000", (2, 0): "00000"},
        fields={(3, "Stock no."): "00077"},
    ),
    "units in formats": Sheet(
        [HEAD, ("3001", "X", 14, 9_000, None), ("3002", "X", 4536, 9_000, None), ("3003", "X", 7, 9_000, None)],
        "nnr",
        {(1, 2): '0"K lb"', (2, 2): '0" kg"', (3, 2): '0" ton"'},
        fields={(2, "GVWR (lb)"): 14_000, (3, "GVWR (lb)"): 4536 * KG},
    ),
    "currencies in formats": Sheet(
        [HEAD, ("3001", "X", 1, 9_000, None), ("3002", "X", 1, 9_000, None), ("3003", "X", 1, 9_000, None)],
        "nrr",
        {(1, 3): '"$"#,##0', (2, 3): "#,##0 [$\u20ac-407]", (3, 3): '"\u00a3"#,##0'},
    ),
    "units in square brackets of a format": Sheet(  # which are no part of the format
        [HEAD, ("3001", "X", 4536, 1, None)], "r", {(1, 2): '0" [kg]"'}
    ),
    "a long name in powers of ten": Sheet(
        [HEAD, (202603051234.0, "X", 1, 1, None)], "n", {(1, 0): "0.00E+00"}, fields={(2, "Stock no."): "202603051234"}
    ),
    "dates, and numbers of days that are shown as numbers": Sheet(
        [HEAD, ("3001", "X", 1, 1, datetime.date(2026, 3, 5)), ("3002", "X", 1, 1, 46_086)],
        "nr",
        fields={(2, "Received"): datetime.date(2026, 3, 5)},
    ),
    "a name that became a date": Sheet([HEAD, (datetime.date(2026, 5, 10), "X", 1, 1, None)], "r"),
    "a name that became a truth": Sheet([HEAD, (True, "X", 1, 1, None)], "r"),
    "texts that begin as formulas": Sheet([HEAD, ("3001", "=1+1", 1, 1, None), ("=A1", "X", 1, 1, None)], "nr"),
    "a title, merged, and a line of groups": Sheet(
        [(), ("", "", ""), HEAD, ("3001", "X", 14_000, 1, None)], "n", change=merge_headings
    ),
    "makes merged over their trailers": Sheet(
        [HEAD, ("3001", None, 1, 1, None), ("3002", None, 1, 1, None), ("3003", None, 1, 1, None)],
        "nnn",
        change=merge_makes,
    ),
    "a name merged over two rows": Sheet(
        [HEAD, (None, "X", 1, 1, None), (None, "Y", 1, 1, None)], "nr", change=merge_names
    ),
    "a row and a column that are hidden": Sheet(
        [HEAD, ("3001", "X", 1, 9, None), ("3002", "X", 1, 9, None), ("3003", "X", 1, 9, None)],
        "nrn",
        change=hide_rows,
        fields={(2, "Price"): 9},
    ),
    "a list that is filtered": Sheet(
        [HEAD, ("3001", "Corvane", 1, 9, None), ("3002", "X", 1, 9, None), ("3003", "Corvane", 1, 9, None)],
        "nrn",
        change=filter_rows,
    ),
    "a line of totals of a table": Sheet([HEAD, ("3001", "X", 1, 9, None), ("Total", None, None, 9, None)], "nr"),
    "letters that look like escapes": Sheet(
        [HEAD, ("_x000D_1", "x005F_", 1, 9, None)], "n", fields={(2, "Stock no."): "_x000D_1", (2, "Make"): "x005F_"}
    ),
}


def written(path: Path, sheet: Sheet) -> Path:
    with xlsxwriter.Workbook(path) as book:
        page = book.add_worksheet()
        day = book.add_format({"num_format": "yyyy-mm-dd"})
        for row, cells in enumerate(sheet.rows):
            for column, cell in enumerate(cells):
                code = sheet.formats.get((row, column))
                form = book.add_format({"num_format": code}) if code else None
                if isinstance(cell, bool):
                    page.write_boolean(row, column, cell)
                elif isinstance(cell, str):
                    page.write_string(row, column, cell)
                elif isinstance(cell, datetime.date):
                    page.write_datetime(row, column, datetime.datetime.combine(cell, datetime.time()), day)
                elif cell is not None:
                    page.write_number(row, column, cell, form)
        sheet.change(book, page)
    return path


@pytest.mark.parametrize("name", SHEETS)
def test_each_row_of_a_workbook_has_its_class(lot: LotSheet, tmp_path: Path, name: str) -> None:
    assert_as_written(plan(lot, read_list(written(tmp_path / "list.xlsx", SHEETS[name]))), SHEETS[name])


@pytest.mark.parametrize("name", SHEETS)
def test_the_same_workbooks_as_libreoffice_writes_them_in_its_own_form(
    office: Office, lot: LotSheet, tmp_path: Path, name: str
) -> None:
    (tmp_path / "ods").mkdir()
    path = office.convert(written(tmp_path / "list.xlsx", SHEETS[name]), tmp_path / "ods", "ods")
    assert_as_written(plan(lot, read_list(path)), SHEETS[name])


def assert_as_written(made: Plan[LotSheet], sheet: Sheet) -> None:
    assert_classes(made, sheet.classes)
    for (number, heading), wanted in sheet.fields.items():
        found = field_of(made, number, heading)
        assert found == (pytest.approx(wanted, rel=1e-12) if isinstance(wanted, float) else wanted)
