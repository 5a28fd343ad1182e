"""Writes down what the sheets of a format's own workbooks say, for ``update`` to tell a person's words from them.

    python -m tests.lots.known_words 1 tests/lots/1/tarelot-*.xlsx

Run once for a format, before the next one is begun, on its ready workbooks.
"""

from __future__ import annotations

import csv
import sys
from pathlib import Path

import openpyxl

from tarelot.workbook_templates.updates.form.own_cells import FOLDER, SHEETS


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


if __name__ == "__main__":
    with (FOLDER / f"format_{sys.argv[1]}.csv").open("w", encoding="utf-8", newline="") as file:
        csv.writer(file, lineterminator="\n").writerows(words([Path(name) for name in sys.argv[2:]]))
