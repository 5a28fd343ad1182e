"""Every other byte stays: one edit on the whole corpus, checked by a reader of its own (zipfile, lxml, openpyxl).

What counts as unchanged comes from the zip format (PKWARE APPNOTE, 4.3.7: local header, name, extra field, data) and
from canonical XML (W3C xml-c14n); what a value is from openpyxl and from LibreOffice.
"""

from __future__ import annotations

import datetime
import re
import warnings
import zipfile
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import ironcalc
import openpyxl
import pytest
from lxml import etree
from openpyxl.utils import column_index_from_string, get_column_letter, range_boundaries

from tarelot.workbook_templates.ooxml.package import Formula, edit, tables
from tests.ooxml.package_corpus import Book, make_corpus, saved_by_libreoffice
from tests.ooxml.package_parts.by_hand import HEADINGS, LAST, PAYLOAD

CHANGES = {"Lot": {"B3": "=1+1", "C4": 15_999.5, "D5": None, "J4": "@beside"}}
NEW_ROWS = [
    {
        "Stock no.": f"T-20{number}",
        "Make": make,
        "GVWR (lb)": 12_000 + number,
        "Base weight (lb)": 3_000,
        "Payload (lb)": Formula(PAYLOAD, 9_000 + number),
        "Received": datetime.date(2024, 6, 10 + number),
    }
    for number, make in enumerate(["Oxbow", "-5", " +lead, \ttab "])
]
END = LAST + len(NEW_ROWS)
TOUCHED_CELLS = {(3, 2), (4, 3), (5, 4), (4, 10)}
OPENPYXL_CANNOT_READ = {"the strict namespaces"}
IRONCALC_CANNOT_READ = {"the strict namespaces", "notes and a link", "cells and rows without references"}
"""It knows one namespace of links, wants notes where Excel keeps them, and a reference in each cell."""


@dataclass(frozen=True)
class Edited:
    """A workbook of the corpus before and after the edit."""

    book: Book
    after: Path

    @property
    def label(self) -> str:
        return f"{self.book.path.name} ({self.book.origin}: {self.book.holds})"


@pytest.fixture(scope="module")
def corpus(tmp_path_factory: pytest.TempPathFactory) -> list[Edited]:
    folder = tmp_path_factory.mktemp("corpus")
    (folder / "edited").mkdir()
    edited = []
    for book in make_corpus(folder):
        edited.append(Edited(book, folder / "edited" / book.path.name))
        edit(book.path, edited[-1].after, CHANGES, {"Lot": NEW_ROWS})
    return edited


def record(path: Path, info: zipfile.ZipInfo) -> bytes:
    """A member as it is packed: local header, name, extra field and data."""
    data = path.read_bytes()
    start = info.header_offset
    name, extra = (int.from_bytes(data[start + at : start + at + 2], "little") for at in (26, 28))
    return data[start : start + 30 + name + extra + info.compress_size]


def described(info: zipfile.ZipInfo) -> tuple[object, ...]:
    """What the directory of the archive says of a member, but for its place and size."""
    return (info.filename, info.date_time, info.compress_type, info.comment, info.create_system, info.external_attr)


def parts_of_lot(package: zipfile.ZipFile) -> tuple[str, str]:
    """The parts of the sheet and the table ``Lot``, by following the package's links."""
    book = etree.fromstring(package.read("xl/workbook.xml"))
    sheet = next(element for element in book.iter("{*}sheet") if element.get("name") == "Lot")
    link = next(value for key, value in sheet.attrib.items() if key.endswith("}id"))
    links = etree.fromstring(package.read("xl/_rels/workbook.xml.rels"))
    target = next(one.get("Target") for one in links if one.get("Id") == link)
    part = target.lstrip("/") if target.startswith("/") else f"xl/{target}"
    links = etree.fromstring(package.read(part.replace("worksheets/", "worksheets/_rels/") + ".rels"))
    table = next(one.get("Target") for one in links if one.get("Type").endswith("/table"))
    return part, table.lstrip("/") if table.startswith("/") else table.replace("..", "xl")


def cells_of(sheet: bytes) -> Iterator[tuple[int, int, etree._Element]]:
    """Every cell with its row and column, stated or counted on."""
    number = 0
    for row in etree.fromstring(sheet).iterfind("{*}sheetData/{*}row"):
        number = int(row.get("r", number + 1))
        column = 0
        for cell in row.iterfind("{*}c"):
            stated = re.match(r"[A-Z]+", cell.get("r", ""))
            column = column_index_from_string(stated[0]) if stated else column + 1
            yield number, column, cell


def canonical(sheet: bytes) -> dict[tuple[int, int], bytes]:
    return {(row, column): etree.tostring(cell, method="c14n") for row, column, cell in cells_of(sheet)}


def is_new(place: tuple[int, int]) -> bool:
    """Whether the cell is in the rows added to the table."""
    return LAST < place[0] <= END and place[1] <= len(HEADINGS)


def outside_cells(sheet: bytes) -> tuple[bytes, bytes]:
    """What stands before and after the cell data."""
    found = re.search(rb"<(?:x:)?sheetData[^>]*>.*</(?:x:)?sheetData>", sheet, re.DOTALL)
    assert found
    return sheet[: found.start()], sheet[found.end() :]


def with_grown_ranges(text: bytes) -> bytes:
    """What the text outside the cells must become: the stated area, the entry rules and the highlights grow."""

    def grown(ranges: bytes) -> bytes:
        out = []
        for one in ranges.decode().split():
            first_column, first_row, last_column, last_row = range_boundaries(one)
            if first_column <= len(HEADINGS) and first_row <= LAST <= last_row < END:
                one = f"{get_column_letter(first_column)}{first_row}:{get_column_letter(last_column)}{END}"
            out.append(one)
        return " ".join(out).encode()

    def area(found: re.Match[bytes]) -> bytes:
        _, _, last_column, last_row = range_boundaries(found[2].decode())
        return b"%bA1:%b%d%b" % (
            found[1],
            get_column_letter(max(last_column, 10)).encode(),
            max(last_row, END),
            found[3],
        )

    text = re.sub(rb'(<(?:x:)?dimension ref=")A1:([A-Z]+[0-9]+)(")', area, text)
    rules = rb'(<(?:x:)?(?:conditionalFormatting|dataValidation)\s[^>]*?sqref=")([^"]*)(")'
    text = re.sub(rules, lambda found: found[1] + grown(found[2]) + found[3], text)
    return re.sub(rb"(<xm:sqref>)([^<]*)(<)", lambda found: found[1] + grown(found[2]) + found[3], text)


def fragments(sheet: bytes) -> Counter[bytes]:
    """The text of every cell and every row's start tag, as written."""
    cells = re.findall(rb"<(?:x:)?c\s[^>]*?(?:/>|(?<!/)>.*?</(?:x:)?c\s*>)", sheet, re.DOTALL)
    return Counter(cells + re.findall(rb"<(?:x:)?row\b[^>]*>", sheet))


def test_the_corpus_is_wide_enough(corpus: list[Edited], capsys: pytest.CaptureFixture[str]) -> None:
    """At least 40 workbooks and every kind of part that the task names; the table of files and parts is printed."""
    seen: set[str] = set()
    lines = []
    for one in corpus:
        with zipfile.ZipFile(one.book.path) as package:
            names = package.namelist()
            texts = b"".join(package.read(name) for name in names if name.startswith("xl/worksheets/sheet"))
        seen.update(re.sub(r"[0-9]+", "", name).rpartition("/")[2] for name in names)
        seen.update(word for word in ("sparklineGroup", "x14:dataValidation", "x14:cfRule") if word.encode() in texts)
        lines.append(f"{one.book.path.name:12} {one.book.origin:14} {one.book.holds:44} {len(names):3} parts")
    with capsys.disabled():
        print("", *lines, sep="\n")
    assert len(corpus) >= 40
    assert {one.book.origin for one in corpus} >= {"XlsxWriter", "openpyxl", "LibreOffice", "xlwings", "parts by hand"}
    wanted = {"chart.xml", "image.png", "pivotTable.xml", "pivotCacheDefinition.xml", "sparklineGroup", "x14:cfRule"}
    wanted |= {
        "x14:dataValidation",
        "threadedComment.xml",
        "ctrlProp.xml",
        "vbaProject.bin",
        "item.xml",
        "vmlDrawing.vml",
    }
    wanted |= {"printerSettings.bin", "comments.xml", "calcChain.xml", "metadata.xml", "drawing.xml"}
    assert seen >= wanted, wanted - seen


def test_every_untouched_member_is_the_same_bytes_in_the_same_place(corpus: list[Edited]) -> None:
    for one in corpus:
        with zipfile.ZipFile(one.book.path) as before, zipfile.ZipFile(one.after) as after:
            assert after.testzip() is None, one.label
            touched = set(parts_of_lot(before))
            assert after.comment == before.comment, one.label
            assert [described(info) for info in after.infolist()] == [described(info) for info in before.infolist()]
            for old, new in zip(before.infolist(), after.infolist(), strict=True):
                if old.filename not in touched:
                    assert record(one.after, new) == record(one.book.path, old), (one.label, old.filename)


def test_every_untouched_cell_is_the_same_xml(corpus: list[Edited]) -> None:
    for one in corpus:
        with zipfile.ZipFile(one.book.path) as before, zipfile.ZipFile(one.after) as after:
            part, _ = parts_of_lot(before)
            old, new = before.read(part), after.read(part)
        cells, cells_after = canonical(old), canonical(new)
        assert {place: xml for place, xml in cells.items() if place not in TOUCHED_CELLS} == {
            place: xml for place, xml in cells_after.items() if place not in TOUCHED_CELLS and not is_new(place)
        }, one.label
        lost = fragments(old) - fragments(new)
        # Three cells are written over; row 4, when it states its columns, gets one more.
        assert sum(lost.values()) - sum(1 for text in lost if b"row" in text[:7] and b"spans" in text) == 3, one.label


def test_outside_the_cells_only_ranges_grow(corpus: list[Edited]) -> None:
    grown = 0
    for one in corpus:
        with zipfile.ZipFile(one.book.path) as before, zipfile.ZipFile(one.after) as after:
            part, table = parts_of_lot(before)
            old, new = before.read(part), after.read(part)
            old_table, new_table = before.read(table), after.read(table)
        head, tail = outside_cells(old)
        assert outside_cells(new) == (with_grown_ranges(head), with_grown_ranges(tail)), one.label
        grown += with_grown_ranges(tail) != tail
        assert new_table == old_table.replace(b'ref="A1:F%d"' % LAST, b'ref="A1:F%d"' % END), one.label
        assert new_table != old_table, one.label
    assert grown >= 6, "too few workbooks have rules over the last row to prove anything"


def test_new_rows_look_like_the_last_row(corpus: list[Edited]) -> None:
    heights = 0
    for one in corpus:
        with zipfile.ZipFile(one.after) as after:
            sheet = after.read(parts_of_lot(after)[0])
        styles = {(row, column): cell.get("s", "0") for row, column, cell in cells_of(sheet)}
        rows = list(etree.fromstring(sheet).iterfind("{*}sheetData/{*}row"))
        for number in range(LAST + 1, END + 1):
            for column in range(1, len(HEADINGS) + 1):
                assert styles[number, column] == styles[LAST, column], (one.label, number, column)
            assert rows[number - 1].get("ht") == rows[LAST - 1].get("ht"), one.label
        heights += rows[LAST - 1].get("ht") is not None
    assert heights >= 3, "too few workbooks state a height to prove anything"


def check_values(label: str, path: Path) -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", UserWarning)  # openpyxl names the extensions it would lose
        lot = openpyxl.load_workbook(path, data_only=True)["Lot"]
    assert (lot["B3"].value, lot["B3"].data_type) == ("=1+1", "s"), label
    assert (lot["C4"].value, lot["D5"].value, lot["J4"].value) == (15_999.5, None, "@beside"), label
    for number, row in enumerate(NEW_ROWS):
        values = [cell.value for cell in lot[LAST + 1 + number][: len(HEADINGS)]]
        expected = [row["Stock no."], row["Make"], row["GVWR (lb)"], 3_000, 9_000 + number]
        assert values[:5] == expected, (label, number)
        serial = (row["Received"] - datetime.date(1899, 12, 30)).days  # type: ignore[operator]
        date = values[5].date() if isinstance(values[5], datetime.datetime) else values[5]
        assert date in (row["Received"], serial), (label, number)


def test_openpyxl_reads_the_new_values(corpus: list[Edited]) -> None:
    read = [one for one in corpus if one.book.holds not in OPENPYXL_CANNOT_READ]
    assert len(corpus) - len(read) == len(OPENPYXL_CANNOT_READ)
    for one in read:
        check_values(one.label, one.after)


def test_libreoffice_opens_and_saves_every_result(corpus: list[Edited], tmp_path: Path) -> None:
    saved = saved_by_libreoffice([one.after for one in corpus if one.after.suffix == ".xlsx"], tmp_path)
    saved += saved_by_libreoffice([one.after for one in corpus if one.after.suffix == ".xlsm"], tmp_path)
    assert len(saved) == len(corpus)
    labels = {one.after.stem: one.label for one in corpus}
    for path in saved:
        check_values(labels[path.stem], path)
        assert [table.ref for table in tables(path)] == [f"A1:F{END}"], labels[path.stem]


def test_ironcalc_calculates_every_result(corpus: list[Edited]) -> None:
    """What it cannot read after the edit it could not read before, for the same reason."""
    unreadable = set()
    for one in corpus:
        try:
            model = ironcalc.load_from_xlsx(str(one.book.path), "en", "UTC", "en")
        except ironcalc.WorkbookError as error:
            unreadable.add(one.book.holds)
            with pytest.raises(ironcalc.WorkbookError, match=re.escape(str(error))):
                ironcalc.load_from_xlsx(str(one.after), "en", "UTC", "en")
            continue
        model = ironcalc.load_from_xlsx(str(one.after), "en", "UTC", "en")
        model.evaluate()
        place = [sheet["name"] for sheet in model.get_worksheets_properties()].index("Lot")
        payloads = {row: model.get_cell_value(place, row, 5) for row in (4, *range(LAST + 1, END + 1))}
        # Row 4: the changed 15,999.5 less its base weight of 6,020; new rows: 12,000 and so on less 3,000.
        assert payloads == {4: 9_979.5} | {LAST + 1 + n: 9_000 + n for n in range(len(NEW_ROWS))}, one.label
    assert unreadable == IRONCALC_CANNOT_READ
