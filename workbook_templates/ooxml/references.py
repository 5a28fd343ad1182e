"""What formulas, names, charts, rules and pivot tables of a workbook say of the rows of one of its sheets."""

from __future__ import annotations

import re
from collections.abc import Iterator

from tarelot.calc.columns import column_letters
from tarelot.workbook_templates.ooxml.reading import Package
from tarelot.workbook_templates.ooxml.sheet_xml import Row, SheetXml
from tarelot.workbook_templates.ooxml.splice import element_tree

_ROWS = re.compile(rb"[A-Za-z]\$?([0-9]+):\$?[A-Za-z]{1,3}\$?([0-9]+)")
"""Cells from one row to another, or what looks like them."""
_MAYBE = re.compile(rb":\$?[A-Za-z]")
"""Without it there are none; it begins with one sign, which is found at once in the many rows of a large lot."""
_SAYS = {
    "conditionalFormatting": {"formula", "f"},
    "dataValidation": {"formula1", "formula2", "f"},
    "sparkline": {"f"},
}
"""What of a sheet reads cells without standing in one, by the name of its element, and where it says which."""
_GROUP = re.compile(rb"""\bsi=["']([0-9]+)["']""")


def ranges_of(package: Package, about: str) -> Iterator[tuple[str, str, str]]:
    """What may speak of several rows of a sheet: its sheet, its cell and its text.

    A name has no sheet. What stands in no cell has the name of its element instead, such as ``dataValidation``, or that
    of the kind of its part: ``chart``, ``chartEx``, ``pivotTable``.

    Args:
        package: The workbook.
        about: The sheet.
    """
    root = element_tree(package.read(package.workbook_part), package.workbook_part)
    names = root.child("definedNames")
    for sheet in package.sheets:
        if sheet.kind == "worksheet":
            xml = SheetXml(package.text(sheet.part), sheet.name)
            yield from _formulas(xml, about)
            yield from (one for one in _beside_cells(xml) if _is_of(one[2], sheet.name, about))
    for name in names.children if names else ():
        stated = name.attributes.get("name", "")
        if _speaks(name.text, about):
            yield "", stated, name.text
    for sheet in package.sheets:
        for kind, text in (*_series(package, sheet.part), *_pivots(package, sheet.part)):
            if _speaks(text, about):
                yield sheet.name, kind, text


def _beside_cells(sheet: SheetXml) -> Iterator[tuple[str, str, str]]:
    """What the coloring, the entry rules and the small charts in cells of a sheet say."""
    for element in sheet.root.walk():
        for one in element.walk() if element.name in _SAYS else ():
            if one.name in _SAYS[element.name]:
                yield sheet.name, element.name, one.text


def _series(package: Package, sheet_part: str) -> Iterator[tuple[str, str]]:
    """The ranges that the charts of a sheet show."""
    for drawing in (link for link in package.relationships(sheet_part) if link.kind == "drawing"):
        for chart in (link for link in package.relationships(drawing.part) if link.kind in ("chart", "chartEx")):
            if package.find(chart.part):
                tree = element_tree(package.read(chart.part), chart.part)
                yield from ((chart.kind, one.text) for one in tree.walk() if one.name == "f")


def _pivots(package: Package, sheet_part: str) -> Iterator[tuple[str, str]]:
    """The ranges that the pivot tables of a sheet are made from."""
    for table in (link for link in package.relationships(sheet_part) if link.kind == "pivotTable"):
        for cache in (link for link in package.relationships(table.part) if link.kind == "pivotCacheDefinition"):
            if package.find(cache.part):
                tree = element_tree(package.read(cache.part), cache.part)
                stated = (one.attributes for one in tree.walk() if one.name == "worksheetSource")
                yield from (
                    (table.kind, f"'{one['sheet']}'!{one['ref']}") for one in stated if {"sheet", "ref"} <= {*one}
                )


def _formulas(sheet: SheetXml, about: str) -> Iterator[tuple[str, str, str]]:
    """The formulas of a sheet; a row is looked at only where its text shows that there is something to find."""
    groups = {number for number, (text, _) in sheet.shared_formulas.items() if _is_of(text, sheet.name, about)}
    for row in sheet.rows.values():
        if not _has_any(sheet, row, groups):
            continue
        for cell in sheet.cells(row):
            place = f"{column_letters(cell.column)}{row.number}"
            text = sheet.whole_formula(cell, place)
            if text and _is_of(text, sheet.name, about):
                yield sheet.name, place, text


def _has_any(sheet: SheetXml, row: Row, groups: set[bytes]) -> bool:
    """Whether something in a row reads several rows, or shares a formula that does."""
    written = sheet.data[row.open_end : row.content_end]
    return _several_rows(written) or bool(groups and any(found[1] in groups for found in _GROUP.finditer(written)))


def _is_of(text: str, sheet: str, about: str) -> bool:
    """Whether what a sheet says may be of several rows of another, or of its own."""
    return _several_rows(text.encode()) and (sheet.casefold() == about.casefold() or _speaks(text, about))


def _several_rows(text: bytes) -> bool:
    return bool(_MAYBE.search(text)) and any(found[1] != found[2] for found in _ROWS.finditer(text))


def _speaks(text: str, about: str) -> bool:
    """Whether a text names a sheet."""
    name, text = about.replace("'", "''").casefold(), text.casefold()
    return f"{name}!" in text or f"{name}'!" in text
