"""Choices from the menu Tarelot, and what tests of it read of the lot."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import openpyxl
from openpyxl.utils import range_boundaries

from tarelot.addin.libreoffice.menu.names import IMPORT, PROTOCOL

FAILURE, SUCCESS = 0, 1  # com.sun.star.frame.DispatchResultState
HEADING_ROW = 4  # of the demo lot
YES, NO, OK = "Yes, import", "No", "OK"
"""Buttons of the boxes that the menu opens."""
UNDO, REDO = {"undo": True}, {"redo": True}
NOT_SAVED = "Nothing is saved yet. To keep this, save as usual. To take it back, undo once (Ctrl+Z)."


def choose(action: str, **arguments: Any) -> dict[str, Any]:
    """A choice from the menu with nobody to be asked."""
    return {"url": PROTOCOL + action, "arguments": {"Quiet": True, **arguments}}


def by_boxes(list_path: Path, *buttons: str) -> dict[str, Any]:
    """Import a list as a person does: the picker, in which its name is typed, then a button in each box that opens."""
    picked = {"press": "Open", "typed": {"File name:": str(list_path)}}
    return {"url": PROTOCOL + IMPORT, "answers": [picked, *({"press": button} for button in buttons)]}


def lot(values: dict[str, Any]) -> dict[str, dict[str, Any]]:
    """Trailers by stock number, each by heading."""
    headings = values["Lot"][HEADING_ROW - 1]
    rows = (dict(zip(headings, row, strict=True)) for row in values["Lot"][HEADING_ROW:])
    return {str(row["Stock no."]): row for row in rows if row["Stock no."] != ""}


def type_stock(path: Path) -> dict[str, dict[str, str]]:
    """A step that types a stock number into every blank row of the demo's table, so that new trailers go below it."""
    sheet = openpyxl.load_workbook(path)["Lot"]
    *_, last = range_boundaries(sheet.tables["Lot"].ref)
    blank = [row for row in range(HEADING_ROW + 1, last + 1) if sheet.cell(row, 1).value is None]
    return {"type": {f"Lot!A{row}": f"F{row}" for row in blank}}
