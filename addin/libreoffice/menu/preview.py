"""The preview of an import: a sheet in a window of its own, a line for each trailer or field, to scroll and filter."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from com.sun.star.awt.FontWeight import BOLD  # type: ignore[import-not-found]
from com.sun.star.table.CellHoriJustify import CENTER  # type: ignore[import-not-found]
from com.sun.star.table.CellVertJustify2 import TOP  # type: ignore[import-not-found]

from tarelot.addin.libreoffice.menu.lists import properties
from tarelot.workbook_templates.basis.counts import so_many
from tarelot.workbook_templates.lot.column import InputKind
from tarelot.workbook_templates.lot.held.lot import Lot
from tarelot.workbook_templates.updates.plan import Change, Plan
from tarelot.workbook_templates.updates.words import COLORS, HEADING_COLOR, HEADINGS, notes, preview_rows, summary

SHEET = "Preview"
TITLE = "What importing this list would do"
NOT_YET = "Nothing is written yet."
WIDTHS = (2100, 2600, 2100, 4200, 3000, 13000)
"""Of each column, in 1/100 mm."""
MOST_NOTES = 8
"""Above the rows; what stands there is always in sight, and would leave no room for them."""
AMOUNTS: tuple[InputKind, ...] = ("number", "from zero", "money", "offset")
"""What thousands are told apart in: not a year, a count or a name."""


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
    rows = preview_rows(_with_thousands(plan))
    heading_row = len(above) + 1
    for number, line in enumerate(above):
        sheet.getCellByPosition(0, number).setString(line)
    block = sheet.getCellRangeByPosition(0, heading_row, len(HEADINGS) - 1, heading_row + len(rows))
    block.setDataArray((HEADINGS, *rows))
    for number, line in enumerate(below, heading_row + len(rows) + 2):
        sheet.getCellByPosition(0, number).setString(line)
    _format(document, sheet, block, heading_row, [str(row[2]) for row in rows])
    document.getCurrentController().freezeAtPosition(0, heading_row + 1)


def _with_thousands(plan: Plan[Lot]) -> Plan[Lot]:
    """The plan with each amount from 1,000 up as the text that the Lot shows, to be looked at and not written."""
    amounts = {heading for heading, column in plan.lot.inputs().items() if column.kind in AMOUNTS}

    def shown(change: Change) -> Change:
        if change.heading not in amounts:
            return change
        return replace(change, old=_amount(change.old), new=_amount(change.new))

    return replace(plan, rows=[replace(row, changes=tuple(map(shown, row.changes))) for row in plan.rows])


def _amount(value: Any) -> Any:
    """A value, an amount from 1,000 up as a text with commas.

    >>> [_amount(value) for value in (None, 999.5, 1000.0, 5960.25, "heavy", True)]
    [None, 999.5, '1,000', '5,960.25', 'heavy', True]
    """
    if isinstance(value, bool) or not isinstance(value, int | float) or abs(value) < 1_000:
        return value
    return f"{value:,.2f}".removesuffix(".00")


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
