"""One lot beside the same entries written new: what each of its sheets needs, and the parts in which that is done."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from openpyxl.utils import get_column_letter

from tarelot.calc.cells.formulas import name_formula
from tarelot.calc.registry import FUNCTIONS
from tarelot.workbook_templates.basis.format_number import FORMAT
from tarelot.workbook_templates.hauling.drive_on import sheet as drive_on
from tarelot.workbook_templates.hauling.match import columns as match
from tarelot.workbook_templates.lot.columns import TABLE
from tarelot.workbook_templates.lot.reading import Value, read_sheet
from tarelot.workbook_templates.ooxml.joining.parts import Parts
from tarelot.workbook_templates.ooxml.joining.sheets import style_part
from tarelot.workbook_templates.ooxml.joining.styles import Styles
from tarelot.workbook_templates.ooxml.joining.workbook_part import Name, WorkbookPart
from tarelot.workbook_templates.ooxml.reading import Package, Sheet
from tarelot.workbook_templates.ooxml.sheet_edits import SheetEdit
from tarelot.workbook_templates.ooxml.splice import PackageError
from tarelot.workbook_templates.ooxml.table_rows import Table
from tarelot.workbook_templates.sheets import incoming
from tarelot.workbook_templates.updates.form.derived import Adapted, New, SheetChange, adapting, compared, to_carry
from tarelot.workbook_templates.updates.form.entries import Entries
from tarelot.workbook_templates.updates.form.forms import SheetForms
from tarelot.workbook_templates.updates.form.pattern import KEYS, TABLES, Pattern
from tarelot.workbook_templates.updates.form.tables import TableForm, sheet_edit

DRIVE_ON_MARKS = tuple(f"{drive_on.SHEET}{quote}!".encode() for quote in ("", "'", "&apos;", "&#39;"))
"""What charts of ours have in their references, as programs write them."""


class Work:
    """A lot and its pattern, both open, looked through.

    Args:
        package: The lot.
        entries: What was typed into it.
        pattern: The same entries as a new workbook.
        changes: What the sheets need, where it was found out before.

    Attributes:
        forms: Our tables that are there, by name.
        missing: Sheets of ours that are gone, in the order of the tabs; those of tables among them.
        changes: What each sheet that the workbook fills by itself needs.
        names: Names of ours that are missing, or that some program wrote in another form.
    """

    def __init__(
        self, package: Package, entries: Entries, pattern: Pattern, changes: Sequence[SheetChange] | None = None
    ) -> None:
        self.package, self.entries, self.pattern = package, entries, pattern
        self.parts = Parts(package)
        self.book = WorkbookPart(self.parts)
        self.styles = Styles(self.parts.read(style_part(self.parts)), pattern.source.styles())
        self.sheets = {sheet.name: sheet for sheet in package.sheets}
        self.edits: dict[str, SheetEdit] = {}
        self.held: dict[str, dict[tuple[int, int], Value]] = {}
        self._new: dict[str, New] = {}
        self.forms = {name: self._form(name) for name in TABLES if name in entries.tables}
        self.adapted = self._adapted()
        self.changes: list[SheetChange] = []
        self._compare(changes)
        self.names = self._names()

    @property
    def renamed(self) -> dict[str, str]:
        """What stands in formulas for each heading that gets another name, and what is to stand there."""
        return {f"[{old}]": f"[{new}]" for form in self.forms.values() for old, new in form.change.renamed.items()}

    @property
    def is_older(self) -> bool:
        """Whether the lot is of an older format."""
        return self.entries.format < FORMAT

    def edit(self, sheet: str) -> SheetEdit:
        """The edit of a sheet, begun at the first call."""
        if sheet not in self.edits:
            self.edits[sheet] = sheet_edit(self.parts, self.sheets[sheet].part, sheet)
        return self.edits[sheet]

    def _form(self, name: str) -> TableForm:
        table = self.entries.tables[name]
        if table.sheet in self.edits:
            raise PackageError(f"two tables of ours stand on the sheet {table.sheet}: move one to a sheet of its own")
        return TableForm(self.parts, table, self.edit(table.sheet), self.pattern.wanted(name, self.entries))

    def _adapted(self) -> Adapted:
        """Says in a formula of a new sheet where our tables stand here."""

        def place(table: Table, letters: Mapping[str, str]) -> tuple[str, str, int]:
            return table.sheet, letters[KEYS[table.name]], table.first_row

        ours = {name: place(table, self._letters(table)) for name, table in self.pattern.tables.items() if name in KEYS}
        here = {name: place(form.table, form.letters) for name, form in self.forms.items() if name in KEYS}
        return adapting(here, ours)

    @staticmethod
    def _letters(table: Table) -> dict[str, str]:
        first = table.area.first_column
        return {heading: get_column_letter(place) for place, heading in enumerate(table.columns, first)}

    def _compare(self, known: Sequence[SheetChange] | None) -> None:
        table_sheets = {self.pattern.tables[name].sheet: name for name in TABLES}
        ours = [(sheet, table_sheets.get(sheet.name)) for sheet in self.pattern.source.package.sheets]
        asked = [(sheet, name) for sheet, name in ours if name not in self.forms and name != TABLE]
        if known is None and (found := [said for sheet, name in asked if (said := self._in_the_way(sheet.name, name))]):
            raise PackageError("; ".join(found))
        for sheet, _ in asked:
            if sheet.name in self.sheets and sheet.name != incoming.SHEET:
                self.held[sheet.name] = read_sheet(self.package.path, sheet.name)
                self.edit(sheet.name)
        changes = known if known is not None else [self._change(sheet, is_table=bool(name)) for sheet, name in asked]
        self.changes.extend(change for change in changes if change.is_needed)

    def _in_the_way(self, name: str, table: str | None) -> str:
        """What is wrong where a sheet of the person's own has the name that one of ours needs."""
        there = self.sheets.get(name)
        if there is None:
            called = self._called_otherwise(name)
            return f"the sheet {name} is called {called} here: give it its name back first" if called else ""
        if table is not None:
            return f"the sheet {name} has no table {table} any more: give the sheet another name first"
        is_of_cells = there.kind == "worksheet"
        return "" if is_of_cells else f"{name} is a {there.kind} and no sheet of cells: give it another name first"

    def _called_otherwise(self, name: str) -> str:
        """The name of a sheet of the person's own that says what one of ours does; none where there is none."""
        ours = {sheet.name for sheet in self.pattern.source.package.sheets}
        words = {place: said for place, said in self.pattern.words(name).items() if isinstance(said, str)}
        for sheet in self.package.sheets:
            if sheet.kind == "worksheet" and sheet.name not in ours and words:
                held = read_sheet(self.package.path, sheet.name)
                if 2 * sum(held.get(place) == said for place, said in words.items()) > len(words):
                    return sheet.name
        return ""

    def _change(self, sheet: Sheet, *, is_table: bool) -> SheetChange:
        """What a sheet of ours that the workbook fills by itself needs."""
        name = sheet.name
        there = self.sheets.get(name)
        if there is None or is_table:
            return SheetChange(name, "missing")
        if name == incoming.SHEET:
            return SheetChange(name)
        old, held, new = self.edit(name).sheet, self.held[name], self.new(name)
        forms = SheetForms(old).by_place()
        change = SheetChange(name)
        if name == match.SHEET and (why := self._trouble_of_match()):
            change.why = why
        else:
            change = compared(name, forms, held, new, is_older=self.is_older)
        if change.why:
            change.carried = to_carry(old, forms, held, new)
        return change

    def new(self, name: str) -> New:
        """A sheet of ours as it is written new, to be compared with the person's."""
        if name not in self._new:
            self._new[name] = self._written_new(name)
        return self._new[name]

    def _written_new(self, name: str) -> New:
        sheet, said = self.pattern.sheet(name), self.pattern.said(name)
        table = self.entries.tables.get(match.TABLE)
        if name != match.SHEET or table is None or self._trouble_of_match():
            return New(sheet, said, self.adapted)
        return New(sheet, said, self.adapted, table.last_row)

    def _trouble_of_match(self) -> str:
        """Why Match cannot stay: it is gone, or has fewer rows than the Lot."""
        table = self.entries.tables.get(match.TABLE)
        if table is None or table.sheet != match.SHEET:
            return "broken"
        return "too short" if table.last_row - table.first_row + 1 < len(self.entries.rows) else ""

    def _names(self) -> list[Name]:
        """Names of ours that are missing or that a program wrote in a form that another may not read."""
        if self.entries.lot.by_name:
            return []
        held = {name.name: name.text for name in self.book.names() if name.sheet is None}
        wanted = [
            Name(function.name, name_formula(function), None, function.help)
            for function in FUNCTIONS
            if function.formula is not None
        ]
        return [name for name in wanted if held.get(name.name) != name.text]

    def pattern_names(self) -> list[Name]:
        """The names of the new workbook."""
        return WorkbookPart(self.pattern.source.parts).names()
