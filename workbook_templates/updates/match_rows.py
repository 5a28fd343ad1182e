"""The Match sheet grows with the Lot: it has a row for every trailer, whatever the size and the format of the lot."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

from openpyxl.utils import get_column_letter

from tarelot.workbook_templates.basis.filled_down import can_be_shared
from tarelot.workbook_templates.hauling.match.columns import SPARE_ROWS, TABLE
from tarelot.workbook_templates.ooxml.cell_xml import CellValue, Formula
from tarelot.workbook_templates.ooxml.joining.parts import Parts
from tarelot.workbook_templates.ooxml.joining.workbook_part import WorkbookPart
from tarelot.workbook_templates.ooxml.package import tables
from tarelot.workbook_templates.ooxml.reading import Package
from tarelot.workbook_templates.ooxml.sheet_xml import SheetXml
from tarelot.workbook_templates.ooxml.splice import attributes
from tarelot.workbook_templates.ooxml.table_rows import Table

_NOT_REFERENCES = r'("(?:[^"]|"")*"|\[[^\[\]]*\])'


@dataclass(frozen=True)
class Growth:
    """What lets Match grow: cells above its table, and rows below it by heading."""

    sheet: str = ""
    changes: dict[str, CellValue] = field(default_factory=dict)
    rows: list[Mapping[str, CellValue]] = field(default_factory=list)


def match_growth(path: Path, count: int) -> Growth:
    """What Match needs so that it has a row for each of ``count`` rows of the Lot, and some to spare."""
    table = next((one for one in tables(path) if one.name.casefold() == TABLE.casefold()), None)
    if table is None or table.last_row - table.first_row + 1 >= count:
        return Growth()
    end = table.first_row + count + SPARE_ROWS - 1
    with Package(path) as package:
        sheet = SheetXml(package.text(package.sheet(table.sheet).part), table.sheet)
        return Growth(table.sheet, dict(_above(sheet, table, end)), list(_rows(sheet, table, end)))


def grow_print_area(source: Path, target: Path, sheet: str) -> None:
    """Write a copy of a workbook in which what is printed of Match reaches its last row."""
    table = next(one for one in tables(source) if one.name.casefold() == TABLE.casefold())
    with Package(source) as package:
        parts = Parts(package)
        book = WorkbookPart(parts)
        here = book.sheet_names().index(sheet)
        grown = [
            replace(name, text=re.sub(r"[0-9]+$", str(table.last_row), name.text))
            for name in book.names()
            if name.sheet == here and name.name == "_xlnm.Print_Area" and "," not in name.text
        ]
        book.set_names(grown)
        parts.store(target)


def _above(sheet: SheetXml, table: Table, end: int) -> Iterator[tuple[str, CellValue]]:
    """The cells above the table that read it down to its last row, reading down to its new one."""
    down = re.compile(rf"(\${table.first_row}:\$[A-Z]{{1,3}}\$){table.last_row}(?![0-9])")
    for number, row in sheet.rows.items():
        for cell in sheet.cells(row) if number < table.area.first_row else ():
            place = f"{get_column_letter(cell.column)}{number}"
            text = sheet.whole_formula(cell, place)
            grown = down.sub(lambda found: f"{found[1]}{end}", text)
            if grown != text:
                yield place, Formula(grown)


def _rows(sheet: SheetXml, table: Table, end: int) -> Iterator[Mapping[str, CellValue]]:
    """The new rows: the last row's formulas filled down, its number counted on."""
    last, first = table.last_row, table.last_row + 1
    row = sheet.rows.get(last)
    cells = {cell.column: cell for cell in sheet.cells(row)} if row else {}
    group = _free_group(sheet)
    made: dict[str, Callable[[int], CellValue]] = {}
    for column, heading in enumerate(table.columns, table.area.first_column):
        letter = get_column_letter(column)
        cell = cells.get(column)
        text = sheet.whole_formula(cell, f"{letter}{last}") if cell else ""
        if text:
            made[heading] = _filled(text, last, first, f"{letter}{first}:{letter}{end}", group)
            group += 1
        elif cell and (stored := sheet.stored(cell)) and attributes(cell.tag).get(b"t", b"n") == b"n":
            made[heading] = _counted(float(stored), last)
    for number in range(first, end + 1):
        yield {heading: value(number) for heading, value in made.items()}


def _filled(text: str, last: int, first: int, area: str, group: int) -> Callable[[int], CellValue]:
    """A formula of the last row in each new row; one that programs share is written once."""
    own = re.compile(rf"{_NOT_REFERENCES}|(?<![\w.])(\$?[A-Z]{{1,3}}){last}(?![\w.(!])", re.IGNORECASE)

    def in_row(number: int) -> str:
        return own.sub(lambda found: found[1] or f"{found[2]}{number}", text)

    if not can_be_shared(text):
        return lambda number: Formula(in_row(number))
    return lambda number: Formula(in_row(number) if number == first else "", group=group, area=area)


def _counted(value: float, last: int) -> Callable[[int], CellValue]:
    return lambda number: value + number - last


def _free_group(sheet: SheetXml) -> int:
    """A number that no formula shared on the sheet has."""
    return max((int(number or b"0") for number in sheet.shared_formulas), default=-1) + 1
