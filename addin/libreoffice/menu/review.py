"""The sheet Review in the open workbook: conflicts first, in words, with the usual cautions at the foot."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from com.sun.star.awt.FontWeight import BOLD  # type: ignore[import-not-found]
from com.sun.star.table.CellHoriJustify import LEFT, RIGHT  # type: ignore[import-not-found]
from com.sun.star.table.CellVertJustify2 import TOP  # type: ignore[import-not-found]

from tarelot.addin.libreoffice.menu.names import MenuError
from tarelot.addin.libreoffice.menu.workbook import TO_KEEP, OneStep
from tarelot.workbook_templates.basis.counts import so_many

SHEET = "Review"
TITLE = "Review of the lot"
CAUTIONS = (
    "Weigh on a certified scale. The certification label governs. Check every rating.",
    "The maker's ratings, the law of the place and a licensed practitioner's word come before this sheet.",
    "These figures are of the moment of the review: choose Review in the menu Tarelot again after a change.",
)
WIDTHS = (2000, 4400, 2600, 2900, 3000, 3000, 7500, 6300, 5000)
"""Of each column, in 1/100 mm."""
ALL_CONTENT = 1023
"""com.sun.star.sheet.CellFlags, every one: contents and look."""
WEIGHTS, BESIDE_WEIGHTS = (2, 3, 5), (4, 6)
"""Columns of numbers, which stand at the right, and of the texts that follow them."""
INDENT = 250
"""Room between the two, in 1/100 mm."""
HEADING_COLOR, CONFLICT_COLOR = 0xD9E2E4, 0xB65A00

Row = tuple[str | float, ...]


def rows_of(data: Any) -> tuple[list[Row], int]:
    """The sheet's rows from top to bottom, and how many trailers at the top of the list have a conflict.

    >>> trailer = dict.fromkeys(("stock", "trailer", "payload", "safe_payload", "limited_by", "pin_weight"), "")
    >>> fine = {**trailer, "stock": "1", "conflicts": 0, "verdict": "none", "what_conflicts": "", "not_checked": "",
    ...         "entry_check": ""}
    >>> bad = {**fine, "stock": "2", "conflicts": 1, "verdict": "▲ 1", "what_conflicts": "Axles short 90 lb"}
    >>> totals = {"trailers": 2, "with_conflicts": 1, "not_fully_checked": 0}
    >>> rows, conflicts = rows_of({"weight_unit": "lb", "totals": totals, "trailers": [fine, bad]})
    >>> [row[0] for row in rows[4:6]], conflicts
    (['2', '1'], 1)
    """
    unit, totals = data["weight_unit"], data["totals"]
    trailers = sorted(data["trailers"], key=lambda trailer: trailer["conflicts"] == 0)
    headings = (
        "Stock no.",
        "Trailer",
        f"Payload ({unit})",
        f"Safe payload ({unit})",
        "Limited by",
        f"Pin weight ({unit})",
        "What conflicts",
        "Not checked",
        "Entries to look at",
    )
    counts = (
        f"{so_many(totals['trailers'], 'trailer')}, {totals['with_conflicts']:,} with conflicts, "
        f"{totals['not_fully_checked']:,} not fully checked"
    )
    listed = [_trailer(trailer) for trailer in trailers]
    rows = [(TITLE,), (counts,), (), headings, *listed, (), *((caution,) for caution in CAUTIONS)]
    width = len(headings)
    return [(*row, *("",) * (width - len(row))) for row in rows], totals["with_conflicts"]


def _trailer(trailer: Any) -> Row:
    conflicts = trailer["what_conflicts"] if trailer["conflicts"] else trailer["verdict"]
    names = ("stock", "trailer", "payload", "safe_payload", "limited_by", "pin_weight")
    return (*(trailer[name] for name in names), conflicts, trailer["not_checked"], trailer["entry_check"])


def write_review(document: Any, data: Any) -> str:
    """Write the review into the workbook's sheet Review, made new or filled anew; what was found, in a line.

    Args:
        document: The open workbook.
        data: The review, from ``tarelot review --json``.

    Raises:
        MenuError: The workbook has a sheet of that name that is not ours, or a protected one.
    """
    sheets = document.Sheets
    is_there = sheets.hasByName(SHEET)
    if is_there:
        sheet = sheets.getByName(SHEET)
        if sheet.getCellByPosition(0, 0).getString() != TITLE:
            raise MenuError(f"The workbook has a sheet {SHEET} of its own: rename it first.")
        if sheet.isProtected():
            raise MenuError(f"The sheet {SHEET} is protected: take the protection off first.")
    elif document.isProtected():
        raise MenuError("The workbook takes no new sheet: take its protection off first.")
    rows, conflicts = rows_of(data)
    with OneStep(document, "Review"):
        if not is_there:
            sheets.insertNewByName(SHEET, sheets.getCount())
            sheet = sheets.getByName(SHEET)
            sheet.getCellRangeByPosition(0, 0, len(rows[0]) - 1, len(rows) - 1).setDataArray(tuple(rows))
        else:
            _clear(sheet)
            _fill(sheet, rows)
        _format(document, sheet, rows, conflicts)
    document.getCurrentController().setActiveSheet(sheet)
    return f"{rows[1][0]}. The sheet {SHEET} shows each.\n\n{TO_KEEP}"


def _clear(sheet: Any) -> None:
    """Empty what an earlier review left."""
    cursor = sheet.createCursor()
    cursor.gotoEndOfUsedArea(False)
    end = cursor.getRangeAddress()
    sheet.getCellRangeByPosition(0, 0, end.EndColumn, end.EndRow).clearContents(ALL_CONTENT)


def _fill(sheet: Any, rows: Sequence[Row]) -> None:
    """Write cell by cell: the undo of a whole block does not empty again what was empty before."""
    for number, row in enumerate(rows):
        for column, value in enumerate(row):
            cell = sheet.getCellByPosition(column, number)
            if isinstance(value, str):
                if value:
                    cell.setString(value)
            else:
                cell.setValue(value)


def _format(document: Any, sheet: Any, rows: Sequence[Row], conflicts: int) -> None:
    """Headings that stand out, whole weights with thousands, long texts wrapped, conflicts bold."""
    width, first, last = len(rows[0]), 4, len(rows) - len(CAUTIONS) - 2
    for column, wide in enumerate(WIDTHS):
        sheet.getColumns().getByIndex(column).Width = wide
    sheet.getCellByPosition(0, 0).CharWeight = BOLD
    sheet.getCellByPosition(0, 0).CharHeight = 14
    heading = sheet.getCellRangeByPosition(0, 3, width - 1, 3)
    heading.CharWeight, heading.CellBackColor, heading.IsTextWrapped = BOLD, HEADING_COLOR, True
    for column in WEIGHTS:
        sheet.getCellByPosition(column, 3).HoriJustify = RIGHT
    for column in BESIDE_WEIGHTS:
        texts = sheet.getCellRangeByPosition(column, 3, column, max(last, 3))
        texts.HoriJustify, texts.ParaIndent = LEFT, INDENT
    if last < first:
        return
    block = sheet.getCellRangeByPosition(0, first, width - 1, last)
    block.IsTextWrapped, block.VertJustify = True, TOP
    formats = document.getNumberFormats()
    locale = sheet.getCellByPosition(0, 0).CharLocale
    thousands = formats.queryKey("#,##0", locale, False)
    for column in WEIGHTS:
        weights = sheet.getCellRangeByPosition(column, first, column, last)
        weights.NumberFormat = thousands if thousands >= 0 else formats.addNew("#,##0", locale)
    if conflicts:
        bad = sheet.getCellRangeByPosition(6, first, 6, first + conflicts - 1)
        bad.CharWeight, bad.CharColor = BOLD, CONFLICT_COLOR
    block.getRows().OptimalHeight = True
