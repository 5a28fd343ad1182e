"""A lot open in Excel, stood in for, as a person at a desk uses it: pastes, types, presses the button, reads.

desk = found(Path("lot.xlsx"))
desk.press()    # the lines on the preview sheet
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tarelot.addin.excel import run_main
from tests.excel.workbook_stand_in import Workbook, open_in_excel


@dataclass
class Desk:
    """A lot open in Excel, in a folder of its own."""

    path: Path
    book: Any
    excel: Workbook

    def press(self) -> list[str]:
        """Press the button; the lines on the preview sheet."""
        run_main.press(self.book)
        return self.said()

    def said(self) -> list[str]:
        rows = self.excel.behind["Import preview"].iter_rows(values_only=True)
        return ["|".join(str(cell) for cell in row if cell is not None) for row in rows]

    def answer(self, text: object) -> None:
        self.excel.behind["Import preview"]["C4"] = text

    def paste(self, *rows: tuple[object, ...]) -> None:
        """A list on the sheet Incoming, from row 4 on."""
        for number, row in enumerate(rows, 4):
            for column, value in enumerate(row, 1):
                self.excel.behind["Incoming"].cell(number, column, value)

    def cells(self, *sheets: str) -> dict[tuple[str, str], object]:
        return cells_of(self.excel.behind, *sheets)

    @property
    def backups(self) -> list[Path]:
        return sorted(self.path.parent.glob("lot.xlsx backups/*.xlsx"))


def cells_of(book: Any, *sheets: str) -> dict[tuple[str, str], object]:
    """What is typed into the cells of sheets: formulas as their texts, blanks left out."""
    return {
        (sheet, cell.coordinate): cell.value
        for sheet in sheets
        for row in book[sheet].iter_rows()
        for cell in row
        if cell.value is not None
    }


def found(path: Path) -> Desk:
    book, excel = open_in_excel(path)
    return Desk(path, book, excel)
