"""The preview of an import: a sheet in a window of its own, a line for each trailer or field, to scroll and filter."""

from __future__ import annotations

import re
from typing import Any

from com.sun.star.awt.FontWeight import BOLD  # type: ignore[import-not-found]
from com.sun.star.i18n.NumberFormatIndex import NUMBER_1000DEC2  # type: ignore[import-not-found]
from com.sun.star.lang import Locale  # type: ignore[import-not-found]
from com.sun.star.table.CellHoriJustify import CENTER  # type: ignore[import-not-found]
from com.sun.star.table.CellVertJustify2 import TOP  # type: ignore[import-not-found]

from tarelot.addin.libreoffice.menu.lists import properties
from tarelot.workbook_templates.basis.counts import so_many
from tarelot.workbook_templates.lot.held.lot import Lot
from tarelot.workbook_templates.updates.plan import Plan
from tarelot.workbook_templates.updates.words import (
    COLORS,
    HEADING_COLOR,
    HEADINGS,
    amounts,
    in_words_with,
    notes,
    preview_rows,
    summary,
)

SHEET = "Preview"
TITLE = "What importing this list would do"
NOT_YET = "Nothing is written yet."
WIDTHS = (2100, 2600, 2100, 4200, 3000, 13000)
"""Of each column, in 1/100 mm."""
MOST_NOTES = 8
"""Above the rows; what stands there is always in sight, and would leave no room for them."""


def show(desktop: Any, plan: Plan[Lot], title: str = TITLE) -> Any:
    """Show the preview in a window of its own; its document, which nobody is asked to save."""
    document = desktop.loadComponentFromURL("private:factory/scalc", "_blank", 0, properties())
    document.lockControllers()
    try:
        _fill(document, plan, title)
    finally:
        document.unlockControllers()
    document.setTitle(f"{plan.table.source.split(',')[0]} - preview")
    document.setModified(False)
    return document


def _fill(document: Any, plan: Plan[Lot], title: str) -> None:
    sheet = document.Sheets.getByIndex(0)
    sheet.setName(SHEET)
    said = notes(plan)
    above, below = [title, f"{summary(plan)} {NOT_YET}", *said[:MOST_NOTES]], said[MOST_NOTES:]
    if below:
        above.append(f"{so_many(len(below), 'more note stands', 'more notes stand')} below the last row.")
    said_of = in_words_with(*_signs(document, sheet.getCellByPosition(0, 0)), amounts(plan.lot))
    rows = preview_rows(plan, said_of)
    heading_row = len(above) + 1
    for number, line in enumerate(above):
        sheet.getCellByPosition(0, number).setString(line)
    block = sheet.getCellRangeByPosition(0, heading_row, len(HEADINGS) - 1, heading_row + len(rows))
    block.setDataArray((HEADINGS, *rows))
    for number, line in enumerate(below, heading_row + len(rows) + 2):
        sheet.getCellByPosition(0, number).setString(line)
    _format(document, sheet, block, heading_row, [str(row[2]) for row in rows])
    document.getCurrentController().freezeAtPosition(0, heading_row + 1)


def _signs(document: Any, cell: Any) -> tuple[str, str]:
    """The decimal sign and the one between thousands that LibreOffice is set to, asked of a blank cell."""
    general = cell.NumberFormat
    cell.setValue(1234.5)
    cell.NumberFormat = document.getNumberFormats().getFormatIndex(NUMBER_1000DEC2, Locale())
    shown = re.fullmatch(r"1(\D?)234(\D)50", cell.getString())
    cell.setString("")
    cell.NumberFormat = general
    return (shown[2], shown[1]) if shown else (".", ",")  # digits that are not ours go with our signs


def _format(document: Any, sheet: Any, block: Any, heading_row: int, statuses: list[str]) -> None:
    """Headings that stand out, each kind in a color of its own, long texts wrapped, a filter on the headings."""
    width = len(HEADINGS) - 1
    for column, wide in enumerate(WIDTHS):
        sheet.getColumns().getByIndex(column).Width = wide
    sheet.getCellByPosition(0, 0).CharWeight, sheet.getCellByPosition(0, 0).CharHeight = BOLD, 14
    heading = sheet.getCellRangeByPosition(0, heading_row, width, heading_row)
    heading.CharWeight, heading.CellBackColor = BOLD, int(HEADING_COLOR, 16)
    block.IsTextWrapped, block.VertJustify = True, TOP
    sheet.getCellRangeByPosition(0, heading_row, 0, block.getRangeAddress().EndRow).HoriJustify = CENTER
    for status, color in COLORS.items():
        if status in statuses:
            first, count = statuses.index(status) + heading_row + 1, statuses.count(status)
            sheet.getCellRangeByPosition(0, first, width, first + count - 1).CellBackColor = int(color, 16)
    document.DatabaseRanges.addNewByName(SHEET, block.getRangeAddress())
    document.DatabaseRanges.getByName(SHEET).AutoFilter = True
    block.getRows().OptimalHeight = True
