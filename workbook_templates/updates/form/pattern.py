"""The same entries written as a new workbook: what a lot brought up to date has to say in every cell of ours."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from tarelot.calc.rules import entries as asked
from tarelot.calc.rules.entries import Doubts
from tarelot.workbook_templates.lot import columns as lot_columns
from tarelot.workbook_templates.lot.column import Input
from tarelot.workbook_templates.lot.expressions import ROW, formulas_in
from tarelot.workbook_templates.lot.options import TABLE as OPTIONS
from tarelot.workbook_templates.lot.reading import Value, read_sheet, read_table
from tarelot.workbook_templates.ooxml.cell_xml import Result
from tarelot.workbook_templates.ooxml.joining.sheets import Source
from tarelot.workbook_templates.ooxml.reading import Package
from tarelot.workbook_templates.ooxml.sheet_xml import SheetXml
from tarelot.workbook_templates.ooxml.table_rows import Table, all_tables
from tarelot.workbook_templates.sheets import list_sheet, machines, trucks
from tarelot.workbook_templates.sheets.tickets import columns as tickets
from tarelot.workbook_templates.sheets.tickets.results import formulas_in as ticket_formulas
from tarelot.workbook_templates.updates.form.entries import RENAMED, Entries
from tarelot.workbook_templates.updates.form.tables import Formulas, Wanted

TABLES = (lot_columns.TABLE, tickets.TABLE, OPTIONS, machines.TABLE, trucks.TABLE)
"""Tables that hold a person's rows: they are changed in their place."""
KEYS = {lot_columns.TABLE: lot_columns.KEY, machines.TABLE: machines.KEY, trucks.TABLE: trucks.KEY}
"""The columns that other sheets name by their cells."""
_LISTS: Mapping[str, tuple[tuple[Input, ...], Doubts]] = {
    machines.TABLE: (machines.COLUMNS, asked.MACHINE),
    trucks.TABLE: (trucks.COLUMNS, asked.TRUCK),
}
_OWN_CELL = re.compile(rf"(?<![\w.$!'])([A-Z]{{1,3}}){ROW}")


Writer = Callable[..., None]
"""``workbook.write``, which stands a floor above and is handed down."""


def write_pattern(entries: Entries, path: Path, write: Writer) -> None:
    """Write the entries as a new workbook."""
    write(
        path,
        entries.rows,
        entries.pairs,
        entries.units,
        by_name=entries.lot.by_name,
        hauling=entries.hauling,
        match_choices=entries.match_choices,
        typed=entries.lot.limits,
        tickets=entries.tickets,
    )


@dataclass(frozen=True)
class Pattern:
    """The new workbook, opened for reading."""

    path: Path
    source: Source
    tables: Mapping[str, Table]

    @classmethod
    def of(cls, package: Package) -> Pattern:
        """The new workbook in a package."""
        return cls(package.path, Source.of(package), {table.name: table for table in all_tables(package)})

    def sheet(self, name: str) -> SheetXml:
        """One of its sheets."""
        package = self.source.package
        return SheetXml(package.text(package.sheet(name).part), name)

    def said(self, name: str) -> dict[tuple[int, int], Value]:
        """What the cells of one of its sheets hold."""
        return read_sheet(self.path, name)

    def words(self, name: str) -> dict[tuple[int, int], Value]:
        """What the cells of one of its sheets hold that have no formula."""
        sheet = self.sheet(name)
        plain = {
            (number, cell.column)
            for number, row in sheet.rows.items()
            for cell in sheet.cells(row)
            if sheet.formula(cell) is None
        }
        return {place: said for place, said in self.said(name).items() if place in plain}

    def wanted(self, name: str, entries: Entries) -> Wanted:
        """What a person's table of that name is to be."""
        table, units = self.tables[name], entries.units
        rows = read_table(self.path, name)
        by_name = entries.lot.by_name
        formulas: list[Formulas] = [lambda _: {}]
        if name == lot_columns.TABLE:
            formulas = [
                partial(formulas_in, units=units, by_name=named, has_limits=True) for named in (by_name, not by_name)
            ]
        elif name == tickets.TABLE:
            formulas = [partial(ticket_formulas, units=units, by_name=named) for named in (by_name, not by_name)]
        elif name in _LISTS:
            formulas = [self._list_formulas(name, entries)]
        renamed = {units.heading(old): units.heading(new) for old, new in RENAMED.get(name, {}).items()}
        computed = formulas[0]({heading: "A" for heading in table.columns})
        held = read_table(entries.lot.path, name)
        was = {new: old for old, new in renamed.items()}
        results: dict[str, list[Result]] = {
            heading: [_result(row[heading]) for row in rows] for heading in table.columns if heading in computed
        }
        stored = {
            heading: [row.get(heading, row.get(was.get(heading, ""))) for row in held]
            for heading in results
            if any(one in entries.tables[name].columns for one in (heading, was.get(heading)))
        }
        return Wanted(table.columns, renamed, formulas, results, stored)

    @staticmethod
    def _list_formulas(name: str, entries: Entries) -> Formulas:
        """The entry check of a list; its cells are named by the letters of the columns."""
        columns, doubts = _LISTS[name]
        units = entries.units
        text = list_sheet.check_formula(name, columns, doubts, units)
        headings = {letter: units.heading(column.heading) for letter, column in zip(_letters(), columns, strict=False)}

        def formulas(letters: Mapping[str, str]) -> Mapping[str, str]:
            def placed(found: re.Match[str]) -> str:
                return f"{letters[headings[found[1]]]}{ROW}"

            return {list_sheet.CHECK.heading: _OWN_CELL.sub(placed, text)}

        return formulas


def _letters() -> list[str]:
    return [chr(code) for code in range(ord("A"), ord("Z") + 1)]


def _result(value: Value) -> Result:
    return "" if value is None else value  # type: ignore[return-value]
