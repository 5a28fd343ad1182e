"""Writes down what the sheets of a format's own workbooks say, for ``update`` to tell a person's words and formulas.

    python -m tests.lots.known_words 1 tests/lots/1/tarelot-*.xlsx

Run once for a format, before the next one is begun, on its ready workbooks.
"""

from __future__ import annotations

import csv
import sys
from collections.abc import Collection, Iterator
from itertools import count
from pathlib import Path

import openpyxl
from openpyxl.utils import get_column_letter

from tarelot.workbook_templates.ooxml.reading import Package
from tarelot.workbook_templates.ooxml.sheet_xml import SheetXml
from tarelot.workbook_templates.updates.form.forms import SheetForms
from tarelot.workbook_templates.updates.form.own_cells import FOLDER, FORMULA, SHEETS, form_mark


def areas(cells: Collection[tuple[int, int]]) -> Iterator[str]:
    """The stretches of cells below each other."""
    for row, column in sorted(cells):
        if (row - 1, column) not in cells:
            last = next(number for number in count(row) if (number + 1, column) not in cells)
            letter = get_column_letter(column)
            yield f"{letter}{row}:{letter}{last}"


def words(paths: list[Path]) -> list[tuple[str, str, str]]:
    """Sheet, cell and content of each cell that holds no formula; texts once a sheet, without their cell."""
    found: dict[tuple[str, str, str], None] = {}
    for path in paths:
        for page in openpyxl.load_workbook(path):
            for cell in (cell for row in page for cell in row if page.title in SHEETS):
                if isinstance(cell.value, str) and cell.data_type != "f":
                    found[page.title, "", cell.value] = None
                elif isinstance(cell.value, int | float):
                    found[page.title, cell.coordinate, f"{cell.value:g}"] = None
    return list(found)


def forms(paths: list[Path]) -> list[tuple[str, str, str]]:
    """Sheet and mark of each form of a formula, once a sheet; sheet and area of each stretch of formulas."""
    found: dict[tuple[str, str, str], None] = {}
    for path in paths:
        with Package(path) as package:
            for sheet in (sheet for sheet in package.sheets if sheet.name in SHEETS):
                xml = SheetXml(package.text(sheet.part), sheet.name)
                by_place = SheetForms(xml).by_place()
                found |= {(sheet.name, FORMULA, form_mark(form)): None for form in by_place.values()}
                found |= {(sheet.name, area, FORMULA): None for area in areas(by_place)}
    return list(found)


if __name__ == "__main__":
    with (FOLDER / f"format_{sys.argv[1]}.csv").open("w", encoding="utf-8", newline="") as file:
        written = [Path(name) for name in sys.argv[2:]]
        csv.writer(file, lineterminator="\n").writerows([*words(written), *forms(written)])
