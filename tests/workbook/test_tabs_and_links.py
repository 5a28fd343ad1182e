"""Tabs are colored by use, and every link on Start leads where it says: in the file, and as LibreOffice reads it.

The sheets of each use are written out by hand here.
"""

from __future__ import annotations

import re
from pathlib import Path
from zipfile import ZipFile

import openpyxl
from openpyxl.utils.cell import coordinate_to_tuple
from openpyxl.worksheet.worksheet import Worksheet

from tarelot.workbook_templates import workbook
from tarelot.workbook_templates.basis.units import METRIC
from tests.engines.office import Office

USES = (
    {"Start", "Trailer", "What-if", "Match", "Compare", "Card", "Quote"},  # answers
    {"Lot", "Tickets", "Options", "Machines", "Trucks", "Limits", "Incoming"},  # a person types
    {"Where to measure", "Sources", "Drive-on"},  # what stands behind both
)
TARGET = re.compile(r"#?\$?'?([^'!]+?)'?[!.]\$?([A-Z]+)\$?([0-9]+)")
"""A sheet and a cell, as Excel writes them (``'What-if'!A1``) and as LibreOffice does (``#'What-if'.A1``)."""


def target(location: str) -> tuple[str, str]:
    found = TARGET.fullmatch(location)
    assert found, location
    return found[1], f"{found[2]}{found[3]}"


def links(sheet: Worksheet) -> dict[str, tuple[str, str]]:
    """The sheet and cell that each link of a sheet leads to, by the link's cell."""
    cells = [cell for row in sheet for cell in row if cell.hyperlink]
    return {cell.coordinate: target(str(cell.hyperlink.location)) for cell in cells}


def test_tabs_are_colored_by_use(demo_workbook: Path) -> None:
    book = openpyxl.load_workbook(demo_workbook)
    assert set().union(*USES) == set(book.sheetnames)
    colors = [{book[name].sheet_properties.tabColor.rgb for name in use} for use in USES]
    assert [len(of_use) for of_use in colors] == [1, 1, 1]
    assert len(set().union(*colors)) == 3


def test_every_link_leads_to_a_sheet_that_is_there(demo_workbook: Path) -> None:
    book = openpyxl.load_workbook(demo_workbook)
    assert {"Start", "Lot", "What-if"} <= {sheet.title for sheet in book if links(sheet)}
    for sheet in book:
        for place, (name, cell) in links(sheet).items():
            assert name in book.sheetnames, f"{sheet.title}!{place}"
            row, column = coordinate_to_tuple(cell)
            assert row <= book[name].max_row, f"{sheet.title}!{place}"
            assert column <= book[name].max_column, f"{sheet.title}!{place}"


def test_start_leads_to_every_sheet_and_says_to_which(tmp_path: Path) -> None:
    path = tmp_path / "metric.xlsx"
    workbook.write_new(path, METRIC)
    book = openpyxl.load_workbook(path)
    start = book["Start"]
    found = links(start)
    assert {name for name, _ in found.values()} == set(book.sheetnames)  # Start itself: the lot at a glance
    for place, (name, cell) in found.items():
        said = str(start[place].value).removesuffix(" ›")
        assert said == ("At a glance" if name == "Start" else name)
        if name == "Start":
            assert start[cell].value == "The lot at a glance"


def test_libreoffice_reads_the_same_links(demo_workbook: Path, tmp_path: Path, office: Office) -> None:
    start = openpyxl.load_workbook(demo_workbook)["Start"]
    written = [(str(start[place].value), to) for place, to in links(start).items()]
    with ZipFile(office.save_as(demo_workbook, tmp_path / "demo.ods")) as saved:
        content = saved.read("content.xml").decode()
    own = content.split('<table:table table:name="Start"')[1].split("</table:table>")[0]
    read = re.findall(r'<text:a xlink:href="([^"]*)"[^>]*>([^<]*)</text:a>', own.replace("&apos;", "'"))
    assert sorted((words, target(href)) for href, words in read) == sorted(written)
