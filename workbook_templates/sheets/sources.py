"""The Sources sheet: every worksheet function with what it gives, how, and by which rule."""

from __future__ import annotations

from openpyxl.worksheet.worksheet import Worksheet

from tarelot.calc.registry import FUNCTIONS
from tarelot.workbook_templates.basis import style
from tarelot.workbook_templates.basis.units import Units

SHEET = "Sources"
HEADINGS = (("Function", 30), ("Parameters", 46), ("What it gives", 52), ("In words", 46), ("Source", 40))
HEADING_ROW = 4
CHARACTERS_TO_HEIGHT = 13.5
NOT_INSIDE = ", ".join(function.name for function in FUNCTIONS if function.formula is None)
"""Functions that no formula of a workbook can stand for."""
HINT = f"In Excel 365 and 2024, or with the add-in, type any of these in a cell; {NOT_INSIDE} need the add-in."


def write(sheet: Worksheet, units: Units) -> None:
    """Write the sheet from the list of functions."""
    style.title(
        sheet,
        "Sources",
        f"{HINT} One unit throughout a call.",
    )
    for place, (heading, width) in enumerate(HEADINGS, 1):
        cell = sheet.cell(HEADING_ROW, place, heading)
        cell.font, cell.fill, cell.border = (
            style.font(bold=True),
            style.fill(style.GIVEN_BAND.heading),
            style.HEADING_LINE,
        )
        sheet.column_dimensions[cell.column_letter].width = width
    for number, function in enumerate(FUNCTIONS, HEADING_ROW + 1):
        parameters = ", ".join(p.name if p.required else f"[{p.name}]" for p in function.parameters)
        values = (function.name, parameters, function.help, function.words, function.source)
        for place, value in enumerate(values, 1):
            cell = sheet.cell(number, place, value)
            cell.font = style.font(size=9, bold=place == 1)
            cell.alignment, cell.border = style.WRAP, style.HAIRLINE
        lines = max(-(-len(value) // (width + 2)) for value, (_, width) in zip(values, HEADINGS, strict=True))
        sheet.row_dimensions[number].height = CHARACTERS_TO_HEIGHT * lines
    sheet.freeze_panes = sheet.cell(HEADING_ROW + 1, 2)
    sheet.sheet_view.showGridLines = False
    style.print_on(sheet, paper=units.paper, landscape=True)
    sheet.print_title_rows = f"{HEADING_ROW}:{HEADING_ROW}"
