"""A table that holds a person's rows, brought up to date in its place: headings, results, formulas for new rows.

Columns that it lacks are added at its right end, in today's order. Nowhere else could they go: a column put in between
would move all behind it, and with them what fixed references of a person's own sheets, charts and names point at.
Cells are written only where they differ; each keeps its look.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from openpyxl.utils import get_column_letter

from tarelot.workbook_templates.lot.expressions import in_row
from tarelot.workbook_templates.ooxml.cell_xml import LONGEST_FORMULA, Area, Formula, Result, escaped
from tarelot.workbook_templates.ooxml.joining.parts import Parts
from tarelot.workbook_templates.ooxml.sheet_edits import SheetEdit, StoredResult, Write
from tarelot.workbook_templates.ooxml.sheet_xml import Cell, SheetXml
from tarelot.workbook_templates.ooxml.splice import Element, PackageError, element_tree, with_attribute
from tarelot.workbook_templates.ooxml.table_rows import Table
from tarelot.workbook_templates.updates.form.forms import BROKEN, SheetForms, relative_form
from tarelot.workbook_templates.updates.results import same_result

Letters = Mapping[str, str]
Formulas = Callable[[Letters], Mapping[str, str]]
"""The formula of each result by heading, ``ROW`` in place of the row's number, for the letters of the columns."""


@dataclass(frozen=True)
class Wanted:
    """What a table is to be.

    Attributes:
        headings: Its headings in today's order.
        renamed: What each heading that has another name now is called.
        formulas: The formulas that are ours; the first ones are written, the others left where they stand.
        results: What each result comes to, by heading, one a row.
        stored: What is stored of them, in the same order.
    """

    headings: Sequence[str]
    renamed: Mapping[str, str]
    formulas: Sequence[Formulas]
    results: Mapping[str, Sequence[Result]]
    stored: Mapping[str, Sequence[object]]


@dataclass(frozen=True)
class Overwritten:
    """A result that a person wrote over: where, in which column, and what stands there now."""

    place: str
    heading: str
    shown: str


@dataclass
class TableChange:
    """What a table lacks, and what was written over in it.

    Attributes:
        table: The table as it is.
        renamed: Headings that get another name.
        added: Headings that it lacks.
        overwritten: Results that a person wrote over.
        written: Cells that get a formula, ours of another format or one that was missing.
        columns: Result columns whose formula for new rows is stated anew.
        own: Headings of the person's own.
    """

    table: Table
    renamed: dict[str, str] = field(default_factory=dict)
    added: list[str] = field(default_factory=list)
    overwritten: list[Overwritten] = field(default_factory=list)
    written: int = 0
    columns: list[str] = field(default_factory=list)
    own: list[str] = field(default_factory=list)

    @property
    def is_needed(self) -> bool:
        """Whether anything is to be done."""
        return bool(self.renamed or self.added or self.overwritten or self.written or self.columns)


class TableForm:
    """A table on its sheet, looked through, to be changed.

    Args:
        parts: The workbook.
        table: The table.
        edit: The edit of its sheet.
        wanted: What it is to be.
    """

    def __init__(self, parts: Parts, table: Table, edit: SheetEdit, wanted: Wanted) -> None:
        self.parts, self.table, self.edit, self.wanted = parts, table, edit, wanted
        self.change = TableChange(table)
        held = set(table.columns)
        self.change.renamed = {
            old: new
            for old, new in wanted.renamed.items()
            if old in held and new not in held and new in wanted.headings
        }
        self.columns = [self.change.renamed.get(heading, heading) for heading in table.columns]
        self.change.added = [heading for heading in wanted.headings if heading not in self.columns]
        self.change.own = [heading for heading in self.columns if heading not in wanted.headings]
        self.columns += self.change.added
        first = table.area.first_column
        self.letters = {heading: get_column_letter(place) for place, heading in enumerate(self.columns, first)}
        self.places = {heading: place for place, heading in enumerate(self.columns, first)}
        self.formulas, *others = (found(self.letters) for found in wanted.formulas)
        self._accepted = {
            heading: {self._form(found[heading], heading) for found in (self.formulas, *others) if heading in found}
            for heading in self.formulas
        }
        if self.change.added:
            self._refuse_what_stands_beside()
        self.unlike: dict[tuple[int, str], str] = {}
        self._look()

    def _form(self, text: str, heading: str) -> str:
        return relative_form(in_row(text, self.table.first_row), self.table.first_row, self.places[heading])

    def _look(self) -> None:
        """Find the results that hold something else than our formulas."""
        forms = SheetForms(self.edit.sheet)
        seen: dict[str, Counter[str]] = {heading: Counter() for heading in self.formulas}
        there = {self.places[h]: h for h in self.formulas if h not in self.change.added}
        for number in range(self.table.first_row, self.table.last_row + 1):
            row = self.edit.sheet.rows.get(number)
            cells = {c.column: c for c in self.edit.sheet.cells(row)} if row else {}
            for place, heading in there.items():
                cell = cells.get(place)
                form = self._what_stands(number, cell, forms)
                seen[heading][form] += form not in ("", "=")
                if form not in self._accepted[heading]:
                    self.unlike[number, heading] = form
        olds = {heading: self._older(heading, seen[heading]) for heading in there.values()}
        for (number, heading), form in self.unlike.items():
            if form == "" or form in olds[heading] or BROKEN in form:
                self.change.written += 1
            else:
                self.change.overwritten.append(self._overwritten(number, heading, form))
        calculated = self.table.formulas
        was = {new: old for old, new in self.change.renamed.items()}
        for heading in there.values():
            stated = calculated.get(was.get(heading, heading), "")
            form = relative_form(stated, self.table.first_row, self.places[heading]) if stated else ""
            if form not in self._accepted[heading]:
                self.change.columns.append(heading)

    def _what_stands(self, number: int, cell: Cell | None, forms: SheetForms) -> str:
        """The form of a result's formula; ``=`` where something else stands there, empty where nothing does."""
        if cell is None or self.edit.sheet.is_empty(cell):
            return ""
        return forms.of(number, cell) or "="

    def _older(self, heading: str, seen: Counter[str]) -> set[str]:
        """The forms that are our own of another format: the table's own, and what stands in most cells."""
        found = set()
        was = {new: old for old, new in self.change.renamed.items()}
        stated = self.table.formulas.get(was.get(heading, heading))
        if stated:
            found.add(relative_form(stated, self.table.first_row, self.places[heading]))
        form, count = seen.most_common(1)[0] if seen else ("", 0)
        if 2 * count > sum(seen.values()):
            found.add(form)
        return found

    def _overwritten(self, number: int, heading: str, form: str) -> Overwritten:
        letter = self.letters[heading]
        held = self.wanted.stored.get(heading, ())
        value = held[number - self.table.first_row] if held else None
        shown = f"{value:g}" if isinstance(value, float) else str(value)
        if form != "=":
            shown = f"a formula of your own, which came to {'blank' if value is None else shown}"
        return Overwritten(f"{self.table.sheet}!{letter}{number}", heading, shown)

    def _refuse_what_stands_beside(self) -> None:
        """Refuse to write over what a person put beside the table."""
        old = self.table.area
        last = old.last_column + len(self.change.added)
        wanted = Area(old.last_column + 1, old.first_row, last, old.last_row)
        sheet = self.edit.sheet
        for number in range(old.first_row, old.last_row + 1):
            row = sheet.rows.get(number)
            for cell in sheet.cells(row) if row else ():
                if wanted.holds(number, cell.column) and not sheet.is_empty(cell):
                    place = f"{sheet.name}!{get_column_letter(cell.column)}{number}"
                    raise PackageError(
                        f"{place} is in the way of columns that the table {self.table.name} needs: move what stands "
                        "there to another sheet first"
                    )
        for merged in sheet.merged:
            if merged.meets(wanted):
                raise PackageError(f"merged cells {sheet.name}!{merged} are in the way of new columns: part them first")

    def write_cells(self, keep: bool, looks: Mapping[str, tuple[bytes, bytes]]) -> None:
        """Plan the cells: headings, formulas, results.

        Args:
            keep: Whether what a person wrote over results stays.
            looks: The style ids of heading and rows of each column that is added.
        """
        kept = {one.place for one in self.change.overwritten} if keep else set()
        top = self.table.area.first_row
        for new in self.change.renamed.values():
            self.edit.add(top, self.places[new], Write(new))
        for heading in self.change.added:
            self.edit.add(top, self.places[heading], Write(heading, looks[heading][0]))
        for number in range(self.table.first_row, self.table.last_row + 1):
            for heading in self.columns:
                style = looks[heading][1] if heading in self.change.added else None
                if heading in self.formulas:
                    if f"{self.table.sheet}!{self.letters[heading]}{number}" not in kept:
                        self._write_result(number, heading, style)
                elif style is not None:
                    self.edit.add(number, self.places[heading], Write(None, style))

    def _write_result(self, number: int, heading: str, style: bytes | None) -> None:
        index, place = number - self.table.first_row, self.places[heading]
        result = self.wanted.results[heading][index]
        if style is not None or (number, heading) in self.unlike:
            self.edit.add(number, place, Write(Formula(in_row(self.formulas[heading], number), result), style))
            return
        held = self.wanted.stored.get(heading, ())
        if not held or not same_result(held[index], result):  # type: ignore[arg-type]
            self.edit.add(number, place, StoredResult(result))

    def write_table(self, renamed: Mapping[str, str]) -> None:
        """Let the table's own part say its columns and their formulas.

        Args:
            renamed: What formulas of the person's own columns say, and what they are to say instead.
        """
        part = self.table.part
        data = self.parts.read(part)
        root = element_tree(data, part)
        columns = root.child("tableColumns")
        if columns is None:
            raise PackageError(f"the table {self.table.name} is damaged: it has no columns")
        prefix = data[columns.start + 1 : columns.open_end].split()[0][: -len(b"tableColumns")].rstrip(b"/>")
        held = zip(columns.children, self.table.columns, strict=True)
        inside = [self._column(data, child, heading, prefix, renamed) for child, heading in held]
        number = max(int(child.attributes.get("id", "0")) for child in columns.children)
        for heading in self.change.added:
            number += 1
            inside.append(self._new_column(heading, number, prefix))
        tag = with_attribute(data[columns.start : columns.open_end], b"count", b"%d" % len(inside))
        old = self.table.area
        area = str(Area(old.first_column, old.first_row, old.last_column + len(self.change.added), old.last_row))
        splices = [(columns.start, columns.content_end, tag + b"".join(inside))]
        for element in (root, root.child("autoFilter")):
            if element is not None:
                start, end = element.start, element.open_end
                ref = area if element is root else self._filter_area(element)
                splices.append((start, end, with_attribute(data[start:end], b"ref", ref.encode())))
        new = data
        for start, end, put in sorted(splices, reverse=True):
            new = new[:start] + put + new[end:]
        self.parts.write(part, new)

    def _filter_area(self, element: Element) -> str:
        """The filter's area, as wide as the table; a totals row is outside."""
        old = self.table.area
        last = old.last_row - self.table.totals_rows
        return str(Area(old.first_column, old.first_row, old.last_column + len(self.change.added), last))

    def _column(self, data: bytes, child: Element, before: str, prefix: bytes, renamed: Mapping[str, str]) -> bytes:
        """A column that is there, with its name and its formula."""
        heading = self.change.renamed.get(before, before)
        tag = data[child.start : child.open_end]
        if heading != before:
            tag = with_attribute(tag, b"name", _attribute(heading))
        if heading not in self.formulas:  # an input, or a column of the person's own
            own = data[child.open_end : child.end]
            for old, new in renamed.items():
                own = own.replace(old.encode(), new.encode())
            return tag + own
        rest = b"".join(data[c.start : c.end] for c in child.children if c.name != "calculatedColumnFormula")
        return self._with_formula(tag, heading, prefix, rest)

    def _new_column(self, heading: str, number: int, prefix: bytes) -> bytes:
        tag = b'<%btableColumn id="%d" name="%b"/>' % (prefix, number, _attribute(heading))
        return self._with_formula(tag, heading, prefix, b"") if heading in self.formulas else tag

    def _with_formula(self, tag: bytes, heading: str, prefix: bytes, rest: bytes) -> bytes:
        text = escaped(in_row(self.formulas[heading], self.table.first_row), LONGEST_FORMULA)
        opened = tag[:-2] + b">" if tag.endswith(b"/>") else tag
        name = b"%bcalculatedColumnFormula" % prefix
        return opened + b"<%b>%b</%b>" % (name, text, name) + rest + b"</%btableColumn>" % prefix


def _attribute(text: str) -> bytes:
    return escaped(text).replace(b'"', b"&quot;").replace(b"\n", b"&#10;")


def sheet_edit(parts: Parts, sheet_part: str, name: str) -> SheetEdit:
    """The edit of a sheet as its file has it."""
    return SheetEdit(SheetXml(parts.package.text(sheet_part), name), parts.package.from_1904)
