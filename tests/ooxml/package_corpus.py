"""Workbooks of many makings for the package tests, all invented here; each has a sheet ``Lot`` with a table ``Lot``.

XlsxWriter and openpyxl write some, LibreOffice saves some again, xlwings brings one with macros inside its package, and
some get parts written by hand after ECMA-376 and the [MS-XLSX] extensions, since no free library writes those.
"""

from __future__ import annotations

import datetime
import io
import struct
import subprocess
import tempfile
import zipfile
import zlib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import openpyxl
import xlsxwriter
from openpyxl.chart import BarChart, Reference
from openpyxl.comments import Comment
from openpyxl.formatting.rule import CellIsRule, ColorScaleRule, FormulaRule, IconSetRule
from openpyxl.styles import Font, PatternFill
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.formula import ArrayFormula
from openpyxl.worksheet.table import Table, TableColumn, TableFormula

from tests.ooxml.package_parts.by_hand import (
    BY_HAND,
    FORM_CONTROL,
    HEADINGS,
    LAST,
    PAYLOAD,
    QUICKSTART,
    quickstart_with_table,
    remade,
    rezipped,
)

ROWS = [
    ("T-101", "Oxbow", 14_000, 4_100, 9_900, datetime.date(2024, 3, 1)),
    ("T-102", "Oxbow & Sons", 15_950, 4_480, 11_470, datetime.date(2024, 3, 4)),
    ("T-103", "Harrow", 20_000, 6_020, 13_980, datetime.date(2024, 3, 11)),
    ("T-104", "Harrow", 25_900, 6_700, 19_200, datetime.date(2024, 4, 2)),
    ("T-105", " Tamarack ", 40_000, 9_150, 30_850, datetime.date(2024, 4, 9)),
    ("T-106", "Tamarack", 9_990, 2_860, 7_130, datetime.date(2024, 5, 20)),
]


@dataclass(frozen=True)
class Book:
    """A workbook of the corpus: where it is, what wrote it, what it holds."""

    path: Path
    origin: str
    holds: str


def picture() -> bytes:
    """A PNG of two by two points."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    rows = zlib.compress(b"\x00\xff\x00\x00\x00\xff\x00" * 2)
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        (chunk(b"IHDR", struct.pack(">IIBBBBB", 2, 2, 8, 2, 0, 0, 0)), chunk(b"IDAT", rows), chunk(b"IEND", b""))
    )


# ---------------------------------------------------------------- XlsxWriter


def _chart(wb: Any, lot: Any, other: Any) -> None:
    chart = wb.add_chart({"type": "column"})
    chart.add_series({"categories": "=Lot!$A$2:$A$7", "values": "=Lot!$E$2:$E$7"})
    lot.insert_chart("K2", chart)


def _chart_sheet(wb: Any, lot: Any, other: Any) -> None:
    chart = wb.add_chart({"type": "line"})
    chart.add_series({"values": "=Lot!$C$2:$C$7"})
    wb.add_chartsheet("Picture").set_chart(chart)


def _image(wb: Any, lot: Any, other: Any) -> None:
    lot.insert_image("K2", "dot.png", {"image_data": io.BytesIO(picture()), "description": "a dot"})


def _image_in_cell(wb: Any, lot: Any, other: Any) -> None:
    lot.embed_image("K2", "dot.png", {"image_data": io.BytesIO(picture())})


def _background(wb: Any, lot: Any, other: Any) -> None:
    lot.set_background(io.BytesIO(picture()))
    lot.set_header("&L&G", {"image_left": "dot.png", "image_data_left": io.BytesIO(picture())})


def _sparklines(wb: Any, lot: Any, other: Any) -> None:
    for row in range(2, LAST + 1):
        lot.add_sparkline(f"H{row}", {"range": f"Lot!C{row}:E{row}", "markers": True})


def _newer_highlights(wb: Any, lot: Any, other: Any) -> None:
    lot.conditional_format(f"C2:C{LAST}", {"type": "data_bar", "data_bar_2010": True})
    lot.conditional_format(f"D2:D{LAST}", {"type": "data_bar", "bar_solid": True, "bar_negative_color": "#803030"})
    lot.conditional_format("K2:K40", {"type": "data_bar", "data_bar_2010": True})


def _highlights(wb: Any, lot: Any, other: Any) -> None:
    bold = wb.add_format({"bold": True, "bg_color": "#F0E442"})
    lot.conditional_format(f"A2:F{LAST}", {"type": "formula", "criteria": "=$E2<8000", "format": bold})
    lot.conditional_format(
        f"E2:E{LAST}",
        {"type": "cell", "criteria": ">", "value": 9000, "format": bold, "multi_range": f"E2:E{LAST} D2:D4"},
    )
    lot.conditional_format("C2:C99", {"type": "3_color_scale"})
    lot.conditional_format(f"F2:F{LAST}", {"type": "icon_set", "icon_style": "3_traffic_lights"})


def _entry_rules(wb: Any, lot: Any, other: Any) -> None:
    lot.data_validation(f"B2:B{LAST}", {"validate": "list", "source": ["Oxbow", "Harrow", "Tamarack"]})
    lot.data_validation(f"C2:D{LAST}", {"validate": "decimal", "criteria": ">", "value": 0, "error_message": "pounds"})
    lot.data_validation("F2:F500", {"validate": "date", "criteria": ">", "value": datetime.date(2000, 1, 1)})


def _notes(wb: Any, lot: Any, other: Any) -> None:
    lot.write_comment("B3", "ask for the weight slip", {"author": "office"})
    lot.write_comment("K4", "beside the table")


def _button(wb: Any, lot: Any, other: Any) -> None:
    lot.insert_button("K2", {"caption": "Press", "macro": "press"})
    lot.insert_checkbox("K9", True)


def _macros(wb: Any, lot: Any, other: Any) -> None:
    with zipfile.ZipFile(QUICKSTART) as package:
        wb.add_vba_project(io.BytesIO(package.read("xl/vbaProject.bin")), is_stream=True)
    lot.insert_button("K2", {"caption": "Press", "macro": "SampleCall"})


def _shapes_and_links(wb: Any, lot: Any, other: Any) -> None:
    lot.insert_textbox("K2", "mind the grease")
    lot.write_url("K12", "internal:Other!A1", string="over there")
    lot.write_url("K13", "https://example.com/?a=1&b=2")


def _merged_and_grouped(wb: Any, lot: Any, other: Any) -> None:
    lot.merge_range("K2:M3", "two rows, three columns")
    lot.set_column("H:J", 4, None, {"level": 1, "hidden": True})
    lot.set_row(LAST - 1, 31.5)
    lot.freeze_panes(1, 1)


def _arrays(wb: Any, lot: Any, other: Any) -> None:
    lot.write_array_formula("K2:K4", "{=C2:C4*2}", None, 28_000)
    lot.write_dynamic_array_formula("M2", "=_xlfn.UNIQUE(B2:B7)", None, "Oxbow")
    lot.write_formula("N2", "=SUM(C2:C7)", None, 125_840)


def _rich_text(wb: Any, lot: Any, other: Any) -> None:
    bold = wb.add_format({"bold": True})
    lot.write_rich_string("K2", "a ", bold, "bold", " word")
    lot.write("K3", "  spaces kept  ")
    lot.write("K4", 'a<b & "c"')
    lot.write("K5", True)
    lot.write_formula("K6", "=NA()", None, "#N/A")


def _page(wb: Any, lot: Any, other: Any) -> None:
    lot.print_area(f"A1:F{LAST}")
    lot.repeat_rows(0)
    lot.set_landscape()
    lot.set_footer("&CPage &P of &N")
    lot.set_h_pagebreaks([20])
    lot.protect("secret", {"select_locked_cells": True})
    lot.unprotect_range("A2:D7", "entries")
    lot.ignore_errors({"number_stored_as_text": "A2:A7"})
    wb.define_name("Limit", "=26000")
    wb.set_custom_property("Yard", "north")


def _row_styles(wb: Any, lot: Any, other: Any) -> None:
    lot.set_row(LAST - 1, 24, wb.add_format({"bg_color": "#56B4E9"}))
    lot.set_column("J:J", 12, wb.add_format({"num_format": "0.00"}))
    other.autofilter("A1:B3")


XLSXWRITER: Mapping[str, Callable[[Any, Any, Any], None]] = {
    "nothing more": lambda wb, lot, other: None,
    "a chart": _chart,
    "a chart sheet": _chart_sheet,
    "an image": _image,
    "an image in a cell": _image_in_cell,
    "background and header images": _background,
    "sparklines": _sparklines,
    "newer highlights": _newer_highlights,
    "highlights": _highlights,
    "entry rules": _entry_rules,
    "notes": _notes,
    "form buttons and a check box": _button,
    "macros": _macros,
    "a text box and links": _shapes_and_links,
    "merged cells, groups, heights": _merged_and_grouped,
    "array formulas": _arrays,
    "rich text, errors, truth values": _rich_text,
    "page setup, protection, names": _page,
    "row and column styles": _row_styles,
}


def write_xlsxwriter(
    path: Path, add: Callable[[Any, Any, Any], None], options: Mapping[str, Any] | None = None
) -> None:
    """A workbook by XlsxWriter: the lot, whatever ``add`` adds, and a second sheet that counts on the first."""
    wb = xlsxwriter.Workbook(path, {"default_date_format": "yyyy-mm-dd", **(options or {})})
    lot, other = wb.add_worksheet("Lot"), wb.add_worksheet("Other")
    pounds = wb.add_format({"num_format": "#,##0", "locked": False})
    kinds = [None, None, pounds, pounds, pounds, wb.add_format({"num_format": "yyyy-mm-dd"})]
    columns = [{"header": heading, "format": kind} for heading, kind in zip(HEADINGS, kinds, strict=True)]
    columns[4]["formula"] = "=" + PAYLOAD
    lot.add_table(0, 0, len(ROWS), 5, {"name": "Lot", "columns": columns, "data": [list(row) for row in ROWS]})
    for number, row in enumerate(ROWS, 1):
        lot.write_formula(number, 4, "=" + PAYLOAD, pounds, row[4])
    other.write_row("A1", ["Counted", "Of"])
    other.write_formula("A2", "=COUNTA(Lot!A2:A7)", None, 6)
    add(wb, lot, other)
    wb.close()


# ---------------------------------------------------------------- openpyxl


def _openpyxl_book() -> tuple[openpyxl.Workbook, Any]:
    wb = openpyxl.Workbook()
    lot = wb.active
    lot.title = "Lot"
    lot.append(HEADINGS)
    for number, row in enumerate(ROWS, 2):
        lot.append([*row[:4], "=" + PAYLOAD, row[5]])
        lot.cell(number, 3).number_format = "#,##0"
        lot.cell(number, 1).font = Font(bold=True)
    table = Table(displayName="Lot", ref=f"A1:F{LAST}")
    table.tableColumns = [TableColumn(id=n, name=heading) for n, heading in enumerate(HEADINGS, 1)]
    table.tableColumns[4].calculatedColumnFormula = TableFormula(attr_text=PAYLOAD)
    table._initialise_columns = lambda: None
    table.autoFilter = openpyxl.worksheet.filters.AutoFilter(ref=f"A1:F{LAST}")
    lot.add_table(table)
    wb.create_sheet("Other")["A1"] = "=Lot!C2*2"
    return wb, lot


def _openpyxl_rules(wb: openpyxl.Workbook, lot: Any) -> None:
    fill = PatternFill("solid", bgColor="F0E442")
    lot.conditional_formatting.add(f"A2:F{LAST}", FormulaRule(formula=["$C2>26000"], fill=fill))
    lot.conditional_formatting.add(f"E2:E{LAST}", CellIsRule(operator="lessThan", formula=["8000"], fill=fill))
    lot.conditional_formatting.add(f"D2:D{LAST}", ColorScaleRule("min", None, "FFFFFF", "max", None, "0072B2"))
    lot.conditional_formatting.add(f"C2:C{LAST}", IconSetRule("3Arrows", "percent", [0, 33, 67]))
    rule = DataValidation("list", formula1='"Oxbow,Harrow,Tamarack"', showErrorMessage=True)
    rule.add(f"B2:B{LAST}")
    rule.add("K2:K9")
    lot.add_data_validation(rule)


def _openpyxl_chart(wb: openpyxl.Workbook, lot: Any) -> None:
    chart = BarChart()
    chart.add_data(Reference(lot, min_col=3, min_row=1, max_row=LAST), titles_from_data=True)
    lot.add_chart(chart, "K2")


def _openpyxl_notes(wb: openpyxl.Workbook, lot: Any) -> None:
    lot["B3"].comment = Comment("weigh it", "office")
    lot["K2"].hyperlink = "https://example.com/"


def _openpyxl_layout(wb: openpyxl.Workbook, lot: Any) -> None:
    lot.merge_cells("K2:L3")
    lot.row_dimensions[LAST].height = 27
    lot.freeze_panes = "B2"
    lot.print_title_rows = "1:1"
    wb.defined_names["Limit"] = DefinedName("Limit", attr_text="26000")
    wb.epoch = openpyxl.utils.datetime.CALENDAR_MAC_1904


def _openpyxl_array(wb: openpyxl.Workbook, lot: Any) -> None:
    lot["K2"] = ArrayFormula("K2:K4", "=C2:C4*2")
    lot["L2"] = "=SUM(C2:C7)"


OPENPYXL: Mapping[str, Callable[[openpyxl.Workbook, Any], None]] = {
    "nothing more": lambda wb, lot: None,
    "highlights and entry rules": _openpyxl_rules,
    "a chart": _openpyxl_chart,
    "notes and a link": _openpyxl_notes,
    "merged cells, names, 1904 dates": _openpyxl_layout,
    "array formula": _openpyxl_array,
}


def write_openpyxl(path: Path, add: Callable[[openpyxl.Workbook, Any], None]) -> None:
    """A workbook by openpyxl."""
    wb, lot = _openpyxl_book()
    add(wb, lot)
    wb.save(path)


# ---------------------------------------------------------------- LibreOffice


def saved_by_libreoffice(files: Sequence[Path], folder: Path, ending: str = "xlsx") -> list[Path]:
    """Each file as LibreOffice saves it again, all in one run with a profile of its own."""
    folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as profile:
        command = ["soffice", f"-env:UserInstallation=file://{profile}", "--headless", "--convert-to", ending]
        run = subprocess.run(
            [*command, "--outdir", folder, *files], capture_output=True, text=True, timeout=240, check=True
        )
    saved = [folder / f"{file.stem}.{ending.partition(':')[0]}" for file in files]
    missing = [file.name for file in saved if not file.exists()]
    assert not missing, f"LibreOffice did not save {missing}: {run.stderr}"
    return saved


def make_corpus(folder: Path) -> list[Book]:
    """All workbooks, written into ``folder``."""
    books: list[Book] = []

    def new(origin: str, holds: str, ending: str = "xlsx") -> Path:
        books.append(Book(folder / f"book{len(books) + 1:02d}.{ending}", origin, holds))
        return books[-1].path

    for holds, add in XLSXWRITER.items():
        write_xlsxwriter(new("XlsxWriter", holds, "xlsm" if holds == "macros" else "xlsx"), add)
    write_xlsxwriter(new("XlsxWriter", "1904 dates"), _highlights, {"date_1904": True})
    write_xlsxwriter(new("XlsxWriter", "64-bit zip fields"), _notes, {"use_zip64": True})
    originals = [book.path for book in books]
    for holds, write in OPENPYXL.items():
        write_openpyxl(new("openpyxl", holds), write)
    for holds, made in BY_HAND.items():
        remade(originals[0], new("parts by hand", holds), made)
    with_buttons = next(book.path for book in books if book.holds == "form buttons and a check box")
    remade(with_buttons, new("parts by hand", "a form control"), FORM_CONTROL)
    for how in ("streamed", "stored", "odd"):
        rezipped(originals[0], new("zipped again", how), how)
    quickstart_with_table(originals[0], new("xlwings", "quickstart.xlsm with a table", "xlsm"))
    again = [book for book in books if book.path.suffix == ".xlsx" and book.origin in ("XlsxWriter", "parts by hand")]
    again = [book for book in again if book.holds not in ("the strict namespaces", "64-bit zip fields")][::2]
    saved = saved_by_libreoffice([book.path for book in again], folder / "saved")
    for book, path in zip(again, saved, strict=True):
        path.rename(new("LibreOffice", f"{book.holds}, saved again"))
    return books
