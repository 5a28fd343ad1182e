"""What people typed into a lot of any format: all that a new workbook needs to show the same."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from openpyxl.utils import column_index_from_string, coordinate_to_tuple

from tarelot.workbook_templates.basis.format_number import PROPERTY
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling.card import letterhead
from tarelot.workbook_templates.hauling.card import sheet as card
from tarelot.workbook_templates.hauling.compare import sheet as compare
from tarelot.workbook_templates.hauling.match import columns as match
from tarelot.workbook_templates.hauling.quote import entries as quote_entries
from tarelot.workbook_templates.hauling.quote import page as quote
from tarelot.workbook_templates.hauling.results import Hauling
from tarelot.workbook_templates.hauling.what_if import aboard
from tarelot.workbook_templates.hauling.what_if import rows as what_if
from tarelot.workbook_templates.lot import options
from tarelot.workbook_templates.lot.column import Input
from tarelot.workbook_templates.lot.reading import LotError, LotSheet, Value, read_lot, read_sheet, read_table
from tarelot.workbook_templates.ooxml.joining.parts import Parts
from tarelot.workbook_templates.ooxml.joining.workbook_part import custom_properties
from tarelot.workbook_templates.ooxml.reading import Package
from tarelot.workbook_templates.ooxml.table_rows import Table, all_tables
from tarelot.workbook_templates.sheets import machines, trucks, yard
from tarelot.workbook_templates.sheets.tickets import columns as tickets

RENAMED: Mapping[str, Mapping[str, str]] = {
    "Lot": {
        "Load centre from ({long})": "Load center from ({long})",
        "Load centre to ({long})": "Load center to ({long})",
        "Vertical short ({weight})": "Coupler vertical short ({weight})",
        "Repeated": "Duplicate",
    },
    machines.TABLE: {"Front contact to centre ({short})": "Front contact to center ({short})"},
    what_if.SHEET: {
        "Where it sits": what_if.PLACE,
        "Front contact to centre ({short})": "Front contact to center ({short})",
        "Centre from the deck's front ({long})": "Center from the deck's front ({long})",
    },
}
"""Headings and labels of older formats and what they are called now, by table or sheet."""
OTHER_KIND: Mapping[tuple[int, str], str] = {
    (1, "Lot[Conflicts]"): "Conflicts holds words now, such as ▲ 2, where it held a number",
}
"""Columns that hold something else than in an older format, by its number and as formulas name them."""
_LABEL, _TYPED = 6, 8
"""Columns of What-if: what a figure is called, and what is typed over it; the same in every format."""


@dataclass(frozen=True)
class Entries:
    """What people typed into a lot.

    Attributes:
        lot: The lot as it was read.
        format: The number of its format.
        tables: Its tables that are ours, by name.
        rows: The inputs of each row of the Lot's table, blank rows too, by today's headings.
        pairs: The rows of Options.
        hauling: The rows of Machines and Trucks, what is chosen and typed over on What-if, what is typed on the Quote.
        match_choices: Machine and truck chosen on Match.
        not_placed: What was typed over on What-if beside a figure that is there no more, by label.
        tickets: The rows of Tickets.
    """

    lot: LotSheet
    format: int
    tables: Mapping[str, Table]
    rows: list[dict[str, object]]
    pairs: list[tuple[Value, ...]]
    hauling: Hauling
    match_choices: tuple[Value, Value]
    not_placed: Mapping[str, Value]
    tickets: list[dict[str, Value]]

    @property
    def units(self) -> Units:
        """The units of its headings."""
        return self.lot.units


def read_entries(path: Path) -> Entries:
    """Read what people typed into a lot of any format.

    Raises:
        LotError: It is no lot, or cannot be read.
    """
    lot = read_lot(path, lenient=True)
    with Package(path) as package:
        tables = {table.name: table for table in all_tables(package)}
        sheets = {sheet.name for sheet in package.sheets if sheet.kind == "worksheet"}
        stated = custom_properties(Parts(package)).get(PROPERTY, "1")
    if not stated.isdecimal():
        raise LotError(f"{path.name}: its property {PROPERTY} is {stated[:20]!r}, which is no number")
    filled = {row.number: dict(row.values) for row in lot.rows}
    asked = read_sheet(path, what_if.SHEET) if what_if.SHEET in sheets else {}
    matched = read_sheet(path, match.SHEET) if match.SHEET in sheets else {}
    beside = read_sheet(path, compare.SHEET) if compare.SHEET in sheets else {}
    typed, not_placed = _typed(asked, lot.units)
    hauling = Hauling(
        _rows(path, tables, machines.TABLE, machines.COLUMNS, lot.units, machines.BLANK_ROWS),
        _rows(path, tables, trucks.TABLE, trucks.COLUMNS, lot.units, trucks.BLANK_ROWS),
        tuple(_at(asked, cell) for cell in what_if.CHOICE_CELLS.values()),  # type: ignore[arg-type]
        typed,
        compared=tuple(_at(beside, cell) for cell in compare.CHOICES),
        quote=_on_quote(read_sheet(path, quote.SHEET)) if quote.SHEET in sheets else {},
        head_kept={**yard.read(path), **_on_card(read_sheet(path, card.SHEET) if card.SHEET in sheets else {})},
    )
    return Entries(
        lot=lot,
        format=int(stated),
        tables=tables,
        rows=[dict(filled.get(number, {})) for number in range(lot.table.first_row, lot.table.last_row + 1)],
        pairs=_pairs(path, tables, lot.units),
        hauling=hauling,
        match_choices=tuple(_at(matched, cell) for cell in match.CHOICES.values()),  # type: ignore[arg-type]
        not_placed=not_placed,
        tickets=_rows(path, tables, tickets.TABLE, tuple(tickets.inputs()), lot.units, tickets.BLANK_ROWS),
    )


def today(table: str, heading: str, units: Units) -> str:
    """What a heading or label is called now.

    >>> from tarelot.workbook_templates.basis.units import US
    >>> today("Machines", "Front contact to centre (in)", US)
    'Front contact to center (in)'
    """
    renamed = {units.heading(old): units.heading(new) for old, new in RENAMED.get(table, {}).items()}
    return renamed.get(heading, heading)


def _rows(
    path: Path, tables: Mapping[str, Table], table: str, columns: tuple[Input, ...], units: Units, blank: int
) -> list[dict[str, Value]]:
    """The rows of a list by today's headings; blank ones where the list is gone."""
    if table not in tables:
        return [{} for _ in range(blank)]
    ours = {units.heading(column.heading) for column in columns}
    rows: list[dict[str, Value]] = []
    for row in read_table(path, table):
        named = {today(table, heading, units): cell for heading, cell in row.items()}
        rows.append({heading: cell for heading, cell in named.items() if heading in ours and cell is not None})
    return rows


def _pairs(path: Path, tables: Mapping[str, Table], units: Units) -> list[tuple[Value, ...]]:
    headings = [units.heading(heading) for heading, _ in options.COLUMNS]
    if options.TABLE not in tables:
        return [(None,) * len(options.COLUMNS)] * options.BLANK_ROWS
    return [tuple(row.get(heading) for heading in headings) for row in read_table(path, options.TABLE)]


def _at(held: Mapping[tuple[int, int], Value], cell: str) -> Value:
    return held.get(coordinate_to_tuple(cell.replace("$", "")))


def _on_card(held: Mapping[tuple[int, int], Value]) -> dict[str, Value]:
    """What is typed for the head on the Card itself, by key."""
    column = column_index_from_string(letterhead.LABELS)
    rows = zip(letterhead.TYPED_ROWS.items(), letterhead.TYPED_LABELS, strict=True)
    found = {key: held.get((row, column + 1)) for (key, row), label in rows if held.get((row, column)) == label}
    return {key: typed for key, typed in found.items() if typed is not None}


def _on_quote(held: Mapping[tuple[int, int], Value]) -> dict[str, Value]:
    """What is typed on the Quote, by key: right of the entry's label."""
    column = column_index_from_string(quote_entries.LABELS)
    keys = {entry.label: entry.key for entry in quote_entries.ENTRIES}
    labels = {row: keys[said] for (row, at), said in held.items() if at == column and said in keys}  # type: ignore[index]
    return {key: held[row, column + 1] for row, key in labels.items() if (row, column + 1) in held}


def _typed(
    held: Mapping[tuple[int, int], Value], units: Units
) -> tuple[dict[str, float | str | bool], dict[str, Value]]:
    """What is typed over on What-if: by the figure's key, and by label what no figure is called."""
    figures = (*what_if.FIGURES, *aboard.FIGURES)
    keys = {(f.group, units.heading(f.label or f.heading)): f.key for f in figures}
    groups = (*what_if.GROUPS, *aboard.GROUPS)
    typed: dict[str, float | str | bool] = {}
    lost: dict[str, Value] = {}
    group = ""
    for row in range(1, max((row for row, _ in held), default=0) + 1):
        label = held.get((row, _LABEL))
        if not isinstance(label, str):
            continue
        label = today(what_if.SHEET, label, units)
        if label in groups and (group, label) not in keys:
            group = label
            continue
        content = held.get((row, _TYPED))
        if content is None or not group:
            continue
        if (group, label) in keys and isinstance(content, float | int | str | bool):
            typed[keys[group, label]] = content
        else:
            lost[label] = content
    return typed, lost
