"""The Incoming sheet: an empty place to paste a list into, with its headings, for bulk update to read."""

from __future__ import annotations

from openpyxl.worksheet.worksheet import Worksheet

from tarelot.workbook_templates.basis import style
from tarelot.workbook_templates.basis.units import Units

SHEET = "Incoming"


def write(sheet: Worksheet, units: Units) -> None:
    """Write the sheet; every cell below the hint takes what is pasted as it is."""
    style.title(
        sheet,
        "Incoming",
        "Paste a list here, with its headings; then Tarelot > Import a list, or save and tarelot import.",
    )
    sheet.sheet_view.showGridLines = True
    style.print_on(sheet, paper=units.paper, landscape=True)
