"""Lengthens a table of the open workbook: new rows look and calculate as the last one, and Match has one for each.

What a person typed below a table, where nothing counts it, stands in the table afterwards. Who reads fixed rows of a
table that has grown, which LibreOffice does not widen, is found here too.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from com.sun.star.table.CellContentType import FORMULA, TEXT  # type: ignore[import-not-found]
from com.sun.star.uno import Exception as OfficeException  # type: ignore[import-not-found]

from tarelot.addin.libreoffice.menu.cells import FORMULAS, used_cells
from tarelot.addin.libreoffice.menu.lot import lot_range
from tarelot.addin.libreoffice.menu.names import MenuError
from tarelot.addin.libreoffice.menu.workbook import MATCH, TO_KEEP, OneStep, filled_below, grow, grow_match
from tarelot.calc.columns import column_letters
from tarelot.workbook_templates.basis.counts import so_many
from tarelot.workbook_templates.updates.fixed_ranges import (
    CHART,
    COLORING,
    ENTRY_RULE,
    PIVOT,
    Grown,
    Said,
    lines,
    short_ranges,
)

TABLES = ("Lot", "Tickets", "Options", "Machines", "Trucks")
VALUES = 1 | 2 | 4
"""com.sun.star.sheet.CellFlags: numbers, dates and texts."""
CONDITION = 0
"""com.sun.star.sheet.ConditionEntryType"""
ADDED = 50
"""Rows to fill that a table gets, below what was typed there."""


def add_rows(document: Any, name: str = "") -> str:
    """Lengthen a table; what was done, in a line.

    Args:
        document: The workbook.
        name: The table; without one that of the sheet in sight.

    Raises:
        MenuError: There is no such table there, the sheet is protected, or a result's place below the table is taken.
    """
    table = name or document.getCurrentController().getActiveSheet().getName()
    if table not in TABLES:
        raise MenuError(f"Go to one of these sheets first: {', '.join(TABLES)}.")
    area = lot_range(document, table).getDataArea()
    sheet = document.Sheets.getByIndex(area.Sheet)
    if sheet.isProtected():
        raise MenuError(f"The sheet {sheet.getName()} is protected: take the protection off first.")
    below, reached = _typed_below(sheet, area), _last_typed(sheet, area)
    last = max([area.EndRow, *(row for row, _ in below)]) + ADDED
    with OneStep(document, f"Add rows to {table}"):
        kept = [(cell, _content(cell)) for _, cell in below]
        grow(document, sheet, table, area.EndRow + 1, last + 1, set())
        for cell, (kind, content) in kept:
            if kind == FORMULA:
                cell.setFormula(content)
            elif kind == TEXT:
                cell.setString(content)
            else:
                cell.setValue(content)
        if table == "Lot":
            grow_match(document, last - area.StartRow)
    taken = len({row for row, _ in below})
    said = f"{table} has {so_many(last - area.EndRow, 'more row')}"
    said = f"{said}, {taken} of them typed below it before." if taken else f"{said}."
    columns = range(area.StartColumn + 1, area.EndColumn + 2)
    longer = Grown(sheet.getName(), columns, area.StartRow + 2, reached, last + 1, last + 1)
    return "\n\n".join([said, *left_short(document, longer), TO_KEEP])


def _last_typed(sheet: Any, area: Any) -> int:
    """The number of the last row of a table in which something is typed; that of its first where nothing is."""
    first = area.StartRow + 1
    cells = sheet.getCellRangeByPosition(area.StartColumn, first, area.EndColumn, area.EndRow)
    found = [first, *(block.EndRow for block in cells.queryContentCells(VALUES).getRangeAddresses())]
    return int(max(found)) + 1


def _typed_below(sheet: Any, area: Any) -> list[tuple[int, Any]]:
    """The cells that hold something below a table, in its columns, with their rows.

    Raises:
        MenuError: One stands where a result will.
    """
    found = []
    for row, cell in filled_below(sheet, area):
        if sheet.getCellByPosition(cell.getCellAddress().Column, area.EndRow).getType() == FORMULA:
            if cell.getType() == FORMULA:
                continue
            where = cell.AbsoluteName.replace("$", "")
            raise MenuError(f"{where} stands where the table will have a result: move it first. Nothing was done.")
        found.append((row, cell))
    return found


def _content(cell: Any) -> tuple[Any, Any]:
    """What a cell holds, with its kind."""
    kind = cell.getType()
    return kind, cell.getFormula() if kind == FORMULA else cell.getString() if kind == TEXT else cell.getValue()


def left_short(document: Any, table: Grown | None) -> list[str]:
    """Who reads fixed rows of a table that end before its new rows, in one paragraph, a line each; none where none.

    LibreOffice widens no range where a table grows over the rows below it.

    Args:
        document: The workbook, after the rows were added.
        table: The table; None where it has no new rows.
    """
    if table is None:
        return []
    try:
        found = lines(short_ranges(_said(document, table), table))
    except OfficeException as error:  # the rows stand there by now: that they do is to be said all the same
        return [
            f"What reads fixed rows of {table.sheet} could not be looked for: look at yours. {error.Message}".strip()
        ]
    return ["\n".join(f"- {line}" for line in found)] if found else []


def _said(document: Any, table: Grown) -> Iterator[Said]:
    sheets = [document.Sheets.getByIndex(number) for number in range(document.Sheets.getCount())]
    for sheet in sheets:
        yield from _formulas(document, sheet, table)
    for names in (document.NamedRanges, *(sheet.NamedRanges for sheet in sheets)):
        for name in names.ElementNames:
            yield "", name, names.getByName(name).getContent()
    for sheet in sheets:
        for name in sheet.Charts.ElementNames:
            yield from ((sheet.getName(), CHART, text) for text in _series(sheet.Charts.getByName(name)))
        yield from ((sheet.getName(), COLORING, text) for text in _colorings(sheet))
        yield from ((sheet.getName(), ENTRY_RULE, text) for text in _entry_rules(sheet))
        for name in sheet.DataPilotTables.ElementNames:
            source = sheet.DataPilotTables.getByName(name).getSourceRange()
            yield sheet.getName(), PIVOT, _area_of(document, source)


def _formulas(document: Any, sheet: Any, table: Grown) -> Iterator[Said]:
    name = sheet.getName()
    names = document.DatabaseRanges
    match = names.getByName(MATCH).getDataArea() if MATCH in names.ElementNames else None
    for block in used_cells(sheet).queryContentCells(FORMULAS).getRangeAddresses():
        letters = [column_letters(column + 1) for column in range(block.StartColumn, block.EndColumn + 1)]
        if match is not None and block.Sheet == match.Sheet and _is_filled(block, match):
            continue
        if name == table.sheet and table.ours.issuperset(letters):
            continue
        cells = sheet.getCellRangeByPosition(block.StartColumn, block.StartRow, block.EndColumn, block.EndRow)
        for number, row in enumerate(cells.getFormulaArray(), block.StartRow + 1):
            yield from ((name, f"{letter}{number}", text) for letter, text in zip(letters, row, strict=True))


def _is_filled(block: Any, area: Any) -> bool:
    """Whether a block of cells stands in a table that fills itself, where most of a large lot's formulas are."""
    in_rows = area.StartRow <= block.StartRow and block.EndRow <= area.EndRow
    return bool(in_rows and area.StartColumn <= block.StartColumn and block.EndColumn <= area.EndColumn)


def _colorings(sheet: Any) -> Iterator[str]:
    """What the conditions of a sheet's conditional formats say."""
    for form in sheet.ConditionalFormats.getConditionalFormats():
        for place in range(form.getCount()):
            entry = form.getByIndex(place)
            if entry.getType() == CONDITION:
                yield from (entry.Formula1, entry.Formula2)


def _entry_rules(sheet: Any) -> Iterator[str]:
    """What the rules say that cells of a sheet have for what is typed there."""
    groups = used_cells(sheet).getUniqueCellFormatRanges()
    for place in range(groups.getCount()):
        rule = groups.getByIndex(place).Validation
        yield from (rule.getFormula1(), rule.getFormula2())


def _area_of(document: Any, area: Any) -> str:
    """A block of cells as a formula names it."""
    sheet = document.Sheets.getByIndex(area.Sheet)
    cells = sheet.getCellRangeByPosition(area.StartColumn, area.StartRow, area.EndColumn, area.EndRow)
    return str(cells.AbsoluteName)


def _series(chart: Any) -> Iterator[str]:
    """The ranges that a chart shows."""
    shown = chart.getEmbeddedObject()
    used = shown.getUsedData() if shown is not None else None
    for sequence in used.getDataSequences() if used is not None else ():
        for one in (sequence.getValues(), sequence.getLabel()):
            if one is not None:
                yield one.getSourceRangeRepresentation()
