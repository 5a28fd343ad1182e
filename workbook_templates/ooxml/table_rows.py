"""Tables of a workbook: where they stand, and what it takes to add rows below one."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from tarelot.workbook_templates.ooxml.cell_xml import (
    LAST_ROW,
    Area,
    CellValue,
    Formula,
    area,
    moved_formula,
    reference,
    unescaped,
)
from tarelot.workbook_templates.ooxml.reading import Package
from tarelot.workbook_templates.ooxml.sheet_edits import SheetEdit, Write
from tarelot.workbook_templates.ooxml.sheet_xml import Cell, SheetXml
from tarelot.workbook_templates.ooxml.splice import (
    Element,
    PackageError,
    Splice,
    attributes,
    element_tree,
    whole_number,
    with_attribute,
)

_COPIED_ROW_ATTRIBUTES = (b"s", b"customFormat", b"ht", b"customHeight", b"thickTop", b"thickBot")
"""Of a table's last row, what its new rows take over; that it is hidden or grouped they do not."""
_BLOCK = re.compile(r"\$?[A-Z]+\$?[0-9]+(?::\$?[A-Z]+\$?[0-9]+)?")
_RULES = ("conditionalFormatting", "dataValidation")


@dataclass(frozen=True)
class Table:
    """A table: its name in formulas, its sheet, all its cells with the heading row, and its headings in order.

    ``formulas`` holds the calculated columns' formulas as the file has them. ``waiting`` says that the table has no
    rows yet and its one empty row waits for the first.
    """

    name: str
    sheet: str
    ref: str
    columns: tuple[str, ...]
    header_rows: int
    totals_rows: int
    formulas: Mapping[str, str]
    waiting: bool
    part: str

    @property
    def area(self) -> Area:
        """All cells of the table, heading and totals rows included."""
        return area(self.ref)

    @property
    def first_row(self) -> int:
        """The number of the first row below the headings."""
        return self.area.first_row + self.header_rows

    @property
    def last_row(self) -> int:
        """The number of the last row that is not a totals row."""
        return self.area.last_row - self.totals_rows


def sheet_tables(package: Package, sheet_part: str, sheet_name: str) -> list[Table]:
    """The tables of one sheet."""
    links = package.relationships(sheet_part)
    return [_table(package, link.part, sheet_name) for link in links if link.kind == "table"]


def all_tables(package: Package) -> list[Table]:
    """The tables of the workbook, sheet by sheet."""
    return [table for sheet in package.sheets for table in sheet_tables(package, sheet.part, sheet.name)]


def _table(package: Package, part: str, sheet_name: str) -> Table:
    root = element_tree(package.read(part), part)
    stated = root.attributes
    columns = root.child("tableColumns")
    headings, formulas = [], {}
    for column in columns.children if columns else ():
        heading = unescaped(column.attributes.get("name", ""))
        headings.append(heading)
        calculated = column.child("calculatedColumnFormula")
        if calculated is not None:
            formulas[heading] = unescaped(calculated.text)
    table = Table(
        name=stated.get("displayName") or stated.get("name", ""),
        sheet=sheet_name,
        ref=stated.get("ref", ""),
        columns=tuple(headings),
        header_rows=whole_number(stated.get("headerRowCount", "1"), part),
        totals_rows=whole_number(stated.get("totalsRowCount", "0"), part),
        formulas=formulas,
        waiting=stated.get("insertRow") in ("1", "true"),
        part=part,
    )
    if table.area.last_column - table.area.first_column + 1 != len(headings):
        raise PackageError(f"the table {table.name} is damaged: it has {len(headings)} headings over {table.ref}")
    return table


def append_rows(
    edit: SheetEdit, table: Table, others: Sequence[Table], rows: Sequence[Mapping[str, CellValue]]
) -> Area:
    """Plan ``rows`` below the table's last row, and all that grows with it; the table's new area is returned."""
    if table.totals_rows:
        raise PackageError(f"the table {table.name} has a totals row: switch it off before rows are added")
    unknown = {heading for row in rows for heading in row if heading not in table.columns}
    if unknown:
        raise PackageError(f"the table {table.name} has no column {', '.join(sorted(map(repr, unknown)))}")
    old = table.area
    start = old.last_row if table.waiting else old.last_row + 1
    end = start + len(rows) - 1
    if end > LAST_ROW:
        raise PackageError(f"the table {table.name} would reach past the last row of the sheet, {LAST_ROW:,}")
    _refuse_what_stands_below(edit.sheet, table, others, Area(old.first_column, start, old.last_column, end))
    model = edit.sheet.rows.get(old.last_row) if old.last_row >= table.first_row else None
    cells = {cell.column: cell for cell in edit.sheet.cells(model)} if model else {}
    styles = [_style(edit.sheet, cells, column, model is not None) for column in _columns(old)]
    row_tag = _row_attributes(edit.sheet.data[model.start : model.open_end]) if model else b""
    fillers = {
        heading: _filler(edit.sheet, table, heading, cells, column)
        for column, heading in zip(_columns(old), table.columns, strict=True)
        if any(heading not in row for row in rows)
        and (heading in table.formulas or _calculates(edit.sheet, cells, column))
    }
    for number, row in enumerate(rows, start):
        edit.new_row_tags[number] = row_tag
        for column, heading, style in zip(_columns(old), table.columns, styles, strict=True):
            value = row[heading] if heading in row else fillers[heading](number) if heading in fillers else None
            edit.add(number, column, Write(value, style))
    _grow_rules(edit, old, end)
    return Area(old.first_column, old.first_row, old.last_column, end)


def _columns(block: Area) -> range:
    return range(block.first_column, block.last_column + 1)


def _style(sheet: SheetXml, cells: Mapping[int, Cell], column: int, has_model: bool) -> bytes | None:
    """The style of the table's last row in that column."""
    if column in cells:
        return attributes(cells[column].tag).get(b"s", b"0")
    return None if not has_model else sheet.inherited_style(None, column)


def _row_attributes(tag: bytes) -> bytes:
    stated = attributes(tag)
    kept = [name for name in stated if name in _COPIED_ROW_ATTRIBUTES or name.endswith(b":dyDescent")]
    return b"".join(b' %b="%b"' % (name, stated[name]) for name in kept)


def _filler(
    sheet: SheetXml, table: Table, heading: str, cells: Mapping[int, Cell], column: int
) -> Callable[[int], Formula]:
    """What gives a column its formula in a new row, by the row's number, where the caller gives none.

    Programs forget which columns are calculated: one of which the last row is calculates as that does.
    """
    last, text = reference(table.last_row, column), table.formulas.get(heading)
    if text is not None and moved_formula(text, last, reference(table.last_row + 1, column)) == text:
        return lambda _: Formula(text)
    own = sheet.whole_formula(cells[column], last) if column in cells else ""
    if not own:
        raise PackageError(f"the table {table.name} needs a formula for the column {heading!r} of a new row")
    return lambda number: Formula(moved_formula(own, last, reference(number, column)))


def _calculates(sheet: SheetXml, cells: Mapping[int, Cell], column: int) -> bool:
    """Whether the cell of a column is a formula."""
    return column in cells and sheet.formula(cells[column]) is not None


def _refuse_what_stands_below(sheet: SheetXml, table: Table, others: Sequence[Table], wanted: Area) -> None:
    trouble = f"the table {table.name} cannot grow to row {wanted.last_row}: "
    for other in others:
        if other.part != table.part and other.area.meets(wanted):
            raise PackageError(f"{trouble}the table {other.name} stands in {sheet.name}!{other.ref}")
    for merged in sheet.merged:
        if merged.meets(wanted):
            raise PackageError(f"{trouble}cells are merged in {sheet.name}!{merged}")
    for array in sheet.arrays:
        if array.meets(wanted):
            raise PackageError(f"{trouble}an array formula stands in {sheet.name}!{array}")
    for number in range(wanted.first_row, wanted.last_row + 1):
        row = sheet.rows.get(number)
        for cell in sheet.cells(row) if row else ():
            if wanted.holds(number, cell.column) and not sheet.is_empty(cell):
                raise PackageError(f"{trouble}{sheet.name}!{reference(number, cell.column)} is not empty")


def _grow_rules(edit: SheetEdit, table: Area, end: int) -> None:
    """Let entry rules and highlights that cover the table's last row reach the new last row."""
    for element in edit.sheet.root.walk():
        if element.name not in _RULES:
            continue
        if "sqref" in element.attributes:
            grown = _grown(element.attributes["sqref"], table, end)
            if grown is not None:
                edit.set_attribute(element, "sqref", grown)
        newer = element.child("sqref")
        grown = _grown(newer.text, table, end) if newer else None
        if newer is not None and grown is not None:
            start, stop = edit.sheet.place(newer.open_end), edit.sheet.place(newer.content_end)
            edit.splices.append((start, stop, grown.encode()))


def _grown(ranges: str, table: Area, end: int) -> str | None:
    """The list of ranges with those grown that cover the table's last row; None where none does."""
    last = Area(table.first_column, table.last_row, table.last_column, table.last_row)
    before = ranges.split()
    after = [_grown_range(text, last, end) for text in before]
    return " ".join(after) if after != before else None


def _grown_range(text: str, last: Area, end: int) -> str:
    if not _BLOCK.fullmatch(text):
        return text  # whole columns, which some programs write, reach every row as they are
    block = area(text)
    if not block.meets(last) or block.last_row >= end:
        return text
    return str(Area(block.first_column, block.first_row, block.last_column, end))


def grown_table(data: bytes, part: str, to: Area) -> list[Splice]:
    """The splices that give a table and its filter their new area."""
    root = element_tree(data, part)
    return list(_area_splices(data, root, to))


def _area_splices(data: bytes, root: Element, to: Area) -> Iterator[Splice]:
    tag = with_attribute(data[root.start : root.open_end], b"ref", str(to).encode())
    yield root.start, root.open_end, with_attribute(tag, b"insertRow", None)
    filter_ = root.child("autoFilter")
    if filter_ is not None:
        tag = data[filter_.start : filter_.open_end]
        yield filter_.start, filter_.open_end, with_attribute(tag, b"ref", str(to).encode())
