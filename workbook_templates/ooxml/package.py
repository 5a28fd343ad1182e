"""Changes inside an ``.xlsx`` or ``.xlsm`` workbook that leave every other byte alone.

Charts, images, pivot tables, sparklines, notes, macros and all else that a workbook may hold survive, because their
parts are copied as they are packed and a changed sheet is written anew only in the cells that change.

Start reading here; ``table_rows`` adds rows to tables, ``sheet_edits`` changes cells, ``sheet_xml`` finds them,
``cell_xml`` writes one, ``package_reading`` opens and writes the package, ``packed_text`` unpacks a sheet piece by
piece and puts changes in, ``xml_splice`` finds places in XML.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from itertools import chain
from pathlib import Path

from tarelot.workbook_templates.ooxml.cell_xml import CellValue, Formula, Result, cell_place, escaped
from tarelot.workbook_templates.ooxml.packed_text import spliced
from tarelot.workbook_templates.ooxml.reading import Package, Relationship, Sheet, links_part
from tarelot.workbook_templates.ooxml.sheet_edits import SheetEdit, StoredResult, Write
from tarelot.workbook_templates.ooxml.sheet_xml import SheetXml
from tarelot.workbook_templates.ooxml.splice import (
    ATTRIBUTES_PATTERN,
    Element,
    PackageError,
    Splice,
    attributes,
    element_tree,
    whole_number,
    with_attribute,
    without_hidden_text,
)
from tarelot.workbook_templates.ooxml.table_rows import Table, all_tables, append_rows, grown_table

__all__ = [
    "CellValue",
    "Formula",
    "PackageError",
    "Result",
    "Table",
    "defined_names",
    "edit",
    "replace_defined_names",
    "store_results",
    "tables",
]

_CHAIN_ENTRY = re.compile(rb"<(?:[\w.-]+:)?c(?=[\s/>])%b(?:/>|>.*?</[^>]*>)" % ATTRIBUTES_PATTERN, re.DOTALL)


def tables(path: Path) -> list[Table]:
    """The tables of a workbook, sheet by sheet."""
    with Package(path) as package:
        return all_tables(package)


def store_results(source: Path, target: Path, results: Mapping[str, Mapping[str, Result]]) -> None:
    """Write a copy of ``source`` in which each named cell's formula has that result stored beside it.

    The formulas stay as they are. Text that is an error code such as ``#NUM!`` is stored as that error; None takes
    the stored result away.

    Args:
        source: The workbook, ``.xlsx`` or ``.xlsm``.
        target: Where the copy goes; not ``source`` itself (see ``safe_file.replace_file``).
        results: Sheet name to cell, such as ``B12``, to result.

    Raises:
        PackageError: The workbook cannot be read safely, or a cell named holds no formula.
    """
    with Package(source) as package:
        edits = _Edits(package)
        for sheet_name, cells in results.items():
            sheet_edit = edits.of(sheet_name)
            for name, result in cells.items():
                sheet_edit.add(*cell_place(name), StoredResult(result))
        edits.write(target)


def edit(
    source: Path,
    target: Path,
    changes: Mapping[str, Mapping[str, CellValue]],
    appended: Mapping[str, Sequence[Mapping[str, CellValue]]] | None = None,
    *,
    recalculate: bool = False,
) -> None:
    """Write a copy of ``source`` with cells set and rows added below tables, in one pass.

    A cell keeps its style. A new row takes the styles and the height of its table's last row; a calculated column
    that the row does not give gets its formula without a result. The table, its filter, and the entry rules and
    highlights that cover its last row grow with it.

    Args:
        source: The workbook, ``.xlsx`` or ``.xlsm``.
        target: Where the copy goes; not ``source`` itself (see ``safe_file.replace_file``).
        changes: Sheet name to cell, such as ``B12``, to value; None empties the cell. Text is always text.
        appended: Table name to its new rows, each heading to value.
        recalculate: Ask spreadsheet programs to calculate the whole workbook when they next open it.

    Raises:
        PackageError: The workbook cannot be read safely, a name in ``changes`` or ``appended`` is unknown, a value
            cannot be held by a cell, or something stands in the way; the message names the place.
    """
    with Package(source) as package:
        edits = _Edits(package)
        known = all_tables(package) if changes or appended else []
        for sheet_name, cells in changes.items():
            _plan_cells(edits.of(sheet_name), cells, known)
        for table_name, rows in (appended or {}).items():
            table = _named(known, table_name, source)
            if rows:
                sheet_edit = edits.of(table.sheet)
                others = [other for other in known if other.sheet == table.sheet]
                area = append_rows(sheet_edit, table, others, rows)
                data = package.read(table.part)
                edits.replace(table.part, spliced(data, grown_table(data, table.part, area)))
        if recalculate:
            edits.ask_to_recalculate()
        edits.write(target)


def defined_names(path: Path) -> dict[str, str]:
    """The names that hold in the whole workbook, with what each stands for as the file has it."""
    with Package(path) as package:
        root = element_tree(package.read(package.workbook_part), package.workbook_part)
        return {name.attributes.get("name", ""): name.text for name in _names(root)}


def replace_defined_names(source: Path, target: Path, names: Mapping[str, str]) -> None:
    """Write a copy of ``source`` in which each of these names stands for the text given.

    Raises:
        PackageError: The workbook cannot be read safely, or has no such name.
    """
    with Package(source) as package:
        data = package.read(package.workbook_part)
        waiting = dict(names)
        splices: list[Splice] = []
        for element in _names(element_tree(data, package.workbook_part)):
            text = waiting.pop(element.attributes.get("name", ""), None)
            if text is not None and text != element.text:
                splices.append(_with_text(data, element, text))
        if waiting:
            raise PackageError(f"{source.name} has no name {', '.join(sorted(waiting))}")
        edits = _Edits(package)
        if splices:
            edits.replace(package.workbook_part, spliced(data, splices))
        edits.write(target)


def _names(workbook: Element) -> list[Element]:
    names = workbook.child("definedNames")
    return [name for name in names.children if "localSheetId" not in name.attributes] if names else []


def _with_text(data: bytes, element: Element, text: str) -> Splice:
    written = escaped(text.removeprefix("="), most=1 << 20)
    tag = data[element.start : element.open_end]
    if not tag.endswith(b"/>"):
        return element.open_end, element.content_end, written
    name = re.match(rb"<([^\s/>]+)", tag)
    if name is None:
        raise AssertionError("an element without a name")
    return element.start, element.open_end, tag[:-2] + b">" + written + b"</" + name[1] + b">"


def _named(known: Iterable[Table], name: str, source: Path) -> Table:
    for table in known:
        if table.name.casefold() == name.casefold():
            return table
    raise PackageError(f"{source.name} has no table {name}")


def _plan_cells(sheet_edit: SheetEdit, cells: Mapping[str, CellValue], known: Iterable[Table]) -> None:
    headed = [table for table in known if table.sheet == sheet_edit.sheet.name and table.header_rows]
    for name, value in cells.items():
        row, column = cell_place(name)
        for table in headed:
            if row == table.area.first_row and table.area.holds(row, column):
                raise PackageError(f"{table.sheet}!{name} is a heading of the table {table.name} and cannot be changed")
        sheet_edit.add(row, column, Write(value))


class _Edits:
    """The parts of one package that are to be written anew."""

    def __init__(self, package: Package) -> None:
        self._package = package
        self._sheets: dict[str, tuple[Sheet, SheetEdit]] = {}
        self._replaced: dict[str, Iterable[bytes | memoryview]] = {}
        self._removed: list[str] = []

    def of(self, sheet_name: str) -> SheetEdit:
        """The edit of that sheet, begun at the first call."""
        sheet = self._package.sheet(sheet_name)
        if sheet.part not in self._sheets:
            xml = SheetXml(self._package.text(sheet.part), sheet.name)
            self._sheets[sheet.part] = sheet, SheetEdit(xml, self._package.from_1904)
        return self._sheets[sheet.part][1]

    def replace(self, part: str, pieces: Iterable[bytes | memoryview]) -> None:
        """Let the part be written anew."""
        member = self._package.find(part)
        if member is None:
            raise PackageError(f"{self._package.path.name} is damaged: its part {part} is missing")
        self._replaced[member] = pieces

    def ask_to_recalculate(self) -> None:
        """Set the mark that makes spreadsheet programs calculate everything when they open the workbook."""
        part = self._package.workbook_part
        data = self._package.read(part)
        root = element_tree(data, part)
        settings = root.child("calcPr")
        if settings is None:
            raise PackageError(f"{self._package.path.name} states no calculation settings")
        tag = with_attribute(data[settings.start : settings.open_end], b"fullCalcOnLoad", b"1")
        self.replace(part, spliced(data, [(settings.start, settings.open_end, tag)]))

    def write(self, target: Path) -> None:
        """Finish every sheet and write the package."""
        workbook = self._package.workbook_part
        links = self._package.relationships(workbook)
        order = next((link for link in links if link.kind == "calcChain" and self._package.find(link.part)), None)
        gone: set[tuple[int, str]] = set()
        for part, (sheet, sheet_edit) in self._sheets.items():
            splices = sheet_edit.finish()
            if order:
                # Which cells leave the calculation chain is known only when all are made.
                splices = iter(list(splices))
                gone.update((sheet.sheet_id, name) for name in sheet_edit.formulas_gone)
            first = next(splices, None)
            if first is not None:
                self.replace(part, spliced(sheet_edit.sheet.data, chain([first], splices)))
        if order and gone:
            self._shorten_chain(order, gone)
        self._package.write(target, self._replaced, self._removed)

    def _shorten_chain(self, order: Relationship, gone: set[tuple[int, str]]) -> None:
        """Take cells that are no longer formulas out of the calculation chain."""
        data = self._package.read(order.part)
        splices, left = _chain_splices(data, gone)
        if left:
            if splices:
                self.replace(order.part, spliced(data, splices))
            return
        member = self._package.find(order.part)
        self._removed += [member] if member else []
        self._drop(links_part(self._package.workbook_part), "Id", order.id)
        self._drop("[Content_Types].xml", "PartName", f"/{order.part}")

    def _drop(self, part: str, key: str, value: str) -> None:
        """Take the one entry out of a list part."""
        data = self._package.read(part)
        for entry in element_tree(data, part).children:
            if entry.attributes.get(key, "").lower() == value.lower():
                self.replace(part, spliced(data, [(entry.start, entry.end, b"")]))


def _chain_splices(data: bytes, gone: set[tuple[int, str]]) -> tuple[list[Splice], int]:
    """The splices that take those cells out of a calculation chain, and how many entries are left.

    An entry that does not state its sheet is on the sheet of the entry before it, so the first one left after those
    taken out is made to state it.
    """
    splices: list[Splice] = []
    sheet = written = left = 0
    for found in _CHAIN_ENTRY.finditer(without_hidden_text(data)):
        stated = attributes(found[0])
        sheet = whole_number(stated[b"i"].decode(), "the calculation chain") if b"i" in stated else sheet
        if (sheet, stated.get(b"r", b"").decode()) in gone:
            splices.append((found.start(), found.end(), b""))
            continue
        left += 1
        if b"i" not in stated and sheet != written:
            splices.append((found.start(), found.end(), with_attribute(found[0], b"i", b"%d" % sheet)))
        written = sheet
    return splices, left
