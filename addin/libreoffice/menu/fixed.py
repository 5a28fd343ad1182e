"""What formulas, names and charts of the open workbook say of fixed rows of a table that has grown."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from tarelot.addin.libreoffice.menu.cells import FORMULAS, used_cells
from tarelot.calc.columns import column_letters
from tarelot.workbook_templates.updates.fixed_ranges import Grown, Said, lines, short_ranges

MATCH = "Match"
"""A table that fills itself, every cell of it."""
OF_PROGRAMS = "_xlnm."
"""How names begin that programs keep: what is printed, what is filtered."""


def left_short(document: Any, table: Grown | None) -> list[str]:
    """Who reads fixed rows of a table that end before its new rows, a line each.

    LibreOffice widens no range where a table grows over the rows below it.

    Args:
        document: The workbook, after the rows were added.
        table: The table; None where it has no new rows.
    """
    return lines(short_ranges(_said(document, table), table)) if table else []


def _said(document: Any, table: Grown) -> Iterator[Said]:
    sheets = [document.Sheets.getByIndex(number) for number in range(document.Sheets.getCount())]
    for sheet in sheets:
        yield from _formulas(document, sheet, table)
    for names in (document.NamedRanges, *(sheet.NamedRanges for sheet in sheets)):
        for name in names.ElementNames:
            if not name.startswith(OF_PROGRAMS):
                yield "", name, names.getByName(name).getContent()
    for sheet in sheets:
        for name in sheet.Charts.ElementNames:
            yield from ((sheet.getName(), "", text) for text in _series(sheet.Charts.getByName(name)))


def _formulas(document: Any, sheet: Any, table: Grown) -> Iterator[Said]:
    name = sheet.getName()
    filled = _filled(document, name, table)
    for block in used_cells(sheet).queryContentCells(FORMULAS).getRangeAddresses():
        letters = [column_letters(column + 1) for column in range(block.StartColumn, block.EndColumn + 1)]
        if filled(block, letters):
            continue
        cells = sheet.getCellRangeByPosition(block.StartColumn, block.StartRow, block.EndColumn, block.EndRow)
        for number, row in enumerate(cells.getFormulaArray(), block.StartRow + 1):
            yield from ((name, f"{letter}{number}", text) for letter, text in zip(letters, row, strict=True))


def _filled(document: Any, sheet: str, table: Grown) -> Any:
    """Whether a block of cells on a sheet is filled by the workbook alone: in a large lot most of all formulas are."""
    match = None
    if MATCH in document.DatabaseRanges.ElementNames:
        area = document.DatabaseRanges.getByName(MATCH).getDataArea()
        match = area if document.Sheets.getByIndex(area.Sheet).getName() == sheet else None

    def is_filled(block: Any, letters: list[str]) -> bool:
        if sheet == table.sheet and table.ours.issuperset(letters):
            return table.first_row <= block.StartRow + 1 and block.EndRow < table.last_row
        return match is not None and (
            match.StartRow <= block.StartRow
            and block.EndRow <= match.EndRow
            and match.StartColumn <= block.StartColumn
            and block.EndColumn <= match.EndColumn
        )

    return is_filled


def _series(chart: Any) -> Iterator[str]:
    """The ranges that a chart shows."""
    for sequence in chart.getEmbeddedObject().getUsedData().getDataSequences():
        for one in (sequence.getValues(), sequence.getLabel()):
            if one is not None:
                yield one.getSourceRangeRepresentation()
