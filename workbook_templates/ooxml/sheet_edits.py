"""Changes in the cells of one sheet: only the cells named are written anew, every other byte stays as it was."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from tarelot.workbook_templates.ooxml.cell_xml import (
    Area,
    CellValue,
    Formula,
    Result,
    area,
    cell_content,
    escaped,
    moved_formula,
    reference,
    stored_result,
)
from tarelot.workbook_templates.ooxml.sheet_xml import Cell, Row, SheetXml
from tarelot.workbook_templates.ooxml.splice import Element, PackageError, Splice, attributes, with_attribute


@dataclass(frozen=True)
class Write:
    """A value for a cell; ``style`` is a style id to set, or None to keep the cell's own."""

    value: CellValue
    style: bytes | None = None


@dataclass(frozen=True)
class StoredResult:
    """A result for a cell that has a formula, which stays as it is."""

    result: Result


@dataclass(frozen=True)
class SharedFormula:
    """A formula that becomes the first of a shared group, because the one that was first is written over."""

    text: str
    area: Area
    index: bytes


Change = Write | StoredResult | SharedFormula


@dataclass
class SheetEdit:
    """The changes that one sheet is to get, gathered first and then made in one pass."""

    sheet: SheetXml
    from_1904: bool = False
    changes: dict[int, dict[int, Change]] = field(default_factory=dict)
    new_row_tags: dict[int, bytes] = field(default_factory=dict)
    splices: list[Splice] = field(default_factory=list)
    formulas_gone: list[str] = field(default_factory=list)

    def add(self, row: int, column: int, change: Change) -> None:
        """Plan a change; two for one cell are refused."""
        columns = self.changes.setdefault(row, {})
        if column in columns:
            raise PackageError(f"{self.sheet.name}!{reference(row, column)} is given two values")
        columns[column] = change

    def set_attribute(self, element: Element, name: str, value: str) -> None:
        """Plan a new value for an attribute outside the cells."""
        start, end = self.sheet.place(element.start), self.sheet.place(element.open_end)
        tag = with_attribute(self.sheet.data[start:end], name.encode(), value.encode())
        self.splices.append((start, end, tag))

    def finish(self) -> Iterator[Splice]:
        """The splices of the sheet in order, each made when it is asked for, since all together are large.

        With the last one ``formulas_gone`` holds every cell that stops being a formula.
        """
        if self.changes:
            self._refuse_parts_of_blocks()
            self._hand_on_shared_formulas()
            self._grow_dimension()
        outside = sorted(self.splices)
        yield from (splice for splice in outside if splice[0] < self.sheet.open_end)
        yield from self._opened() if self.sheet.empty else self._rows()
        yield from (splice for splice in outside if splice[0] >= self.sheet.open_end)

    def _rows(self) -> Iterator[Splice]:
        """The splices of the rows."""
        numbers = list(self.sheet.rows)
        for number in sorted(self.changes):
            row = self.sheet.rows.get(number)
            if row is not None:
                yield row.start, row.end, self._changed_row(row, self.changes[number])
                continue
            text = self._new_row(number)
            if text:
                after = bisect_right(numbers, number)
                at = self.sheet.rows[numbers[after]].start if after < len(numbers) else self._rows_end(numbers)
                yield at, at, text

    def _opened(self) -> Iterator[Splice]:
        """An empty ``<sheetData/>`` opened up to hold its first rows."""
        rows = b"".join(self._new_row(number) for number in sorted(self.changes))
        if rows:
            start, end = self.sheet.open_start, self.sheet.open_end
            yield start, end, self.sheet.data[start:end][:-2] + b">" + rows + b"</%bsheetData>" % self.sheet.prefix

    def _rows_end(self, numbers: list[int]) -> int:
        return self.sheet.rows[numbers[-1]].end if numbers else self.sheet.open_end

    def _changed_row(self, row: Row, changes: Mapping[int, Change]) -> bytes:
        sheet, base = self.sheet, row.start
        data = sheet.data[row.start : row.end]
        waiting = sorted(changes, reverse=True)
        pieces: list[bytes] = []
        at = cells_end = row.open_end - base
        for cell in sheet.cells(row):
            start, end = cell.start - base, cell.end - base
            while waiting and waiting[-1] < cell.column:
                column = waiting.pop()
                pieces += data[at:start], self._new_cell(row.number, column, changes[column], row)
                at = start
            if not waiting:
                break
            if waiting[-1] == cell.column:
                pieces += data[at:start], self._changed_cell(row.number, cell, changes[waiting.pop()])
                at = end
            cells_end = end
        if waiting:
            pieces.append(data[at:cells_end])
            at = cells_end
            pieces += [self._new_cell(row.number, column, changes[column], row) for column in reversed(waiting)]
        tag = self._spanning(data[: row.open_end - base], changes)
        if not tag.endswith(b"/>"):
            return b"".join((tag, *pieces, data[at:]))
        inside = b"".join(pieces)
        return tag[:-2] + b">" + inside + b"</%brow>" % sheet.prefix if inside else tag

    def _spanning(self, tag: bytes, changes: Mapping[int, Change]) -> bytes:
        """The row's tag with its ``spans``, a hint which columns are used, reaching the changed cells."""
        first, colon, last = attributes(tag).get(b"spans", b"").partition(b":")
        if not colon or not first.isdigit() or not last.isdigit():
            return tag
        low, high = min(int(first), min(changes)), max(int(last), max(changes))
        return tag if (low, high) == (int(first), int(last)) else with_attribute(tag, b"spans", b"%d:%d" % (low, high))

    def _new_row(self, number: int) -> bytes:
        cells = b"".join(
            self._new_cell(number, column, change, None) for column, change in sorted(self.changes[number].items())
        )
        if not cells:
            return b""
        p = self.sheet.prefix
        return b'<%brow r="%d"%b>%b</%brow>' % (p, number, self.new_row_tags.get(number, b""), cells, p)

    def _new_cell(self, row: int, column: int, change: Change, existing: Row | None) -> bytes:
        if not isinstance(change, Write):
            raise PackageError(f"{self.sheet.name}!{reference(row, column)} has no formula to store a result for")
        style = change.style
        if style is None:
            if change.value is None:
                return b""
            style = self.sheet.inherited_style(existing, column)
        p = self.sheet.prefix
        kind, content = self._content(row, column, change.value)
        tag = b'<%bc r="%b"' % (p, reference(row, column).encode())
        if style not in (None, b"0"):
            tag += b' s="%b"' % style
        if kind:
            tag += b' t="%b"' % kind
        return tag + (b">%b</%bc>" % (content, p) if content else b"/>")

    def _content(self, row: int, column: int, value: CellValue) -> tuple[bytes | None, bytes]:
        try:
            return cell_content(self.sheet.prefix, value, self.from_1904)
        except PackageError as error:
            raise PackageError(f"{self.sheet.name}!{reference(row, column)}: {error}") from error

    def _changed_cell(self, row: int, cell: Cell, change: Change) -> bytes:
        sheet, p = self.sheet, self.sheet.prefix
        formula = sheet.formula(cell)
        if isinstance(change, SharedFormula):
            text = b'<%bf t="shared" ref="%b" si="%b">%b</%bf>' % (
                p, str(change.area).encode(), change.index, escaped(change.text), p
            )  # fmt: skip
            return sheet.data[cell.start : cell.end].replace(formula or b"", text, 1)
        tag = cell.tag
        if isinstance(change, StoredResult):
            if formula is None and not any(block.holds(row, cell.column) for block in sheet.arrays):
                raise PackageError(f"{sheet.name}!{reference(row, cell.column)} has no formula to store a result for")
            kind, value = stored_result(p, change.result)
            content = (formula or b"") + value
        else:
            kind, content = self._content(row, cell.column, change.value)
            if formula is not None and not isinstance(change.value, Formula):
                self.formulas_gone.append(reference(row, cell.column))
            # Marks of a dynamic array belong to the formula that was here.
            tag = with_attribute(tag, b"cm", None) if b"cm" in tag else tag
            tag = with_attribute(tag, b"s", change.style) if change.style is not None else tag
        if kind is not None or b"t" in tag:
            tag = with_attribute(tag, b"t", kind)
        tag = with_attribute(tag, b"vm", None) if b"vm" in tag else tag
        content += sheet.extension(cell) if b"extLst" in cell.plain else b""
        if tag.endswith(b"/>"):
            return tag[:-2] + b">%b</%bc>" % (content, p) if content else tag
        return tag + content + sheet.data[cell.start + len(cell.tag) + len(cell.content) : cell.end]

    def _refuse_parts_of_blocks(self) -> None:
        """Refuse a value for a cell hidden in merged cells, or for a part of an array formula."""
        for merged, blocks in ((True, self.sheet.merged), (False, self.sheet.arrays)):
            for block in blocks:
                rows = range(block.first_row, block.last_row + 1)
                touched = (number for number in (rows if len(rows) < len(self.changes) else self.changes))
                for number in touched:
                    for column, change in self.changes.get(number, {}).items():
                        if block.holds(number, column) and isinstance(change, Write):
                            self._refuse_part(block, number, column, change, merged)

    def _refuse_part(self, block: Area, row: int, column: int, change: Write, merged: bool) -> None:
        place = f"{self.sheet.name}!{reference(row, column)}"
        if merged and change.value is not None and (row, column) != (block.first_row, block.first_column):
            raise PackageError(f"{place} is hidden inside the merged cells {block}")
        if not merged and (block.first_row, block.first_column) != (block.last_row, block.last_column):
            raise PackageError(f"{place} is part of the array formula in {block}, which can only be changed as a whole")

    def _hand_on_shared_formulas(self) -> None:
        """Where the first cell of a shared formula is written over, make the next cell of the group the first."""
        sheet = self.sheet
        if not sheet.has_shared_formulas:
            return
        heirs: list[tuple[int, int, SharedFormula]] = []
        for number, changes in self.changes.items():
            written = {column for column, change in changes.items() if isinstance(change, Write)}
            row = sheet.rows.get(number) if written else None
            for cell in sheet.cells(row) if row else ():
                if cell.column not in written:
                    continue
                formula = attributes(sheet.formula(cell) or b"")
                if formula.get(b"t") == b"shared" and b"ref" in formula:
                    heirs += self._heir(number, cell, formula)
        for number, column, shared in heirs:
            self.changes.setdefault(number, {})[column] = shared

    def _heir(self, number: int, first: Cell, formula: Mapping[bytes, bytes]) -> list[tuple[int, int, SharedFormula]]:
        sheet, group = self.sheet, area(formula[b"ref"].decode())
        left: list[tuple[int, int]] = []
        for row in (sheet.rows[n] for n in sheet.rows if group.first_row <= n <= group.last_row):
            for cell in sheet.cells(row):
                own = attributes(sheet.formula(cell) or b"")
                follows = own.get(b"t") == b"shared" and own.get(b"si") == formula.get(b"si")
                if follows and not isinstance(self.changes.get(row.number, {}).get(cell.column), Write):
                    left.append((row.number, cell.column))
        if not left:
            return []
        origin, heir = reference(number, first.column), reference(*left[0])
        text = moved_formula(sheet.formula_text(first), origin, heir)
        around = Area(
            min(c for _, c in left), min(r for r, _ in left), max(c for _, c in left), max(r for r, _ in left)
        )
        return [(*left[0], SharedFormula(text, around, formula.get(b"si", b"0")))]

    def _grow_dimension(self) -> None:
        """Let the sheet's stated area reach every cell that now holds something."""
        stated = self.sheet.root.child("dimension")
        places = [
            (row, column)
            for row, columns in self.changes.items()
            for column, change in columns.items()
            if isinstance(change, Write) and (change.value is not None or change.style is not None)
        ]
        if stated is None or not places or "ref" not in stated.attributes:
            return
        rows, columns = [row for row, _ in places], [column for _, column in places]
        before = area(stated.attributes["ref"])
        after = before.joined(Area(min(columns), min(rows), max(columns), max(rows)))
        if after != before:
            self.set_attribute(stated, "ref", str(after))
