"""Match for a lot that was read from a workbook: what the command ``tarelot match`` prints."""

from __future__ import annotations

from pathlib import Path

from openpyxl import load_workbook

from tarelot.workbook_templates.hauling.match.results import find, results, top
from tarelot.workbook_templates.hauling.match.values import Value
from tarelot.workbook_templates.hauling.what_if.rows import MACHINE, TABLES, TRUCK
from tarelot.workbook_templates.lot.reading import LotError, LotSheet
from tarelot.workbook_templates.lot.results import lot_results


def match_lot(lot: LotSheet, machine: str, truck: str | None) -> list[dict[str, Value]]:
    """The columns of each trailer of a lot that was read from a workbook, the exact sweep deciding the drive-on.

    Raises:
        LotError: The workbook has no such machine or truck; the message names those it has.
    """
    (machines, asked), (trucks, behind) = (
        read_choice(lot.path, group, name) for group, name in ((MACHINE, machine), (TRUCK, truck))
    )
    names = tuple(row and row[TABLES[group][1]] for group, row in ((MACHINE, asked), (TRUCK, behind)))
    rows = [row.values for row in lot.rows]
    filled = [{**row, **more} for row, more in zip(rows, lot_results(rows, lot.options, lot.units), strict=True)]
    above = top(machines, trucks, (names[0], names[1]), lot.units)
    return results(filled, above, lot.units, exact=True)


def read_choice(path: Path, group: str, name: str | None) -> tuple[list[dict[str, object]], dict[str, object] | None]:
    """The rows of the Machines or Trucks table of a workbook, and the one of that name; None without a name.

    Raises:
        LotError: There is no such table, or no such row in it; the message names those it has.
    """
    table, key = TABLES[group]
    rows = read_table(path, table)
    if name is None:
        return rows, None
    place = find(rows, key, name)
    if place is None and name.replace(".", "", 1).isdecimal():
        place = find(rows, key, float(name))  # a name of digits alone is a number in its cell
    if place is None:
        names = ", ".join(str(row[key]) for row in rows if row.get(key) not in (None, ""))
        raise LotError(f"no {key.lower()} named {name}: the {table} sheet has {names or 'none yet'}")
    return rows, rows[place]


def read_table(path: Path, name: str) -> list[dict[str, object]]:
    """The rows of a table of a workbook, by heading.

    Raises:
        LotError: There is no such table.
    """
    for sheet in load_workbook(path, data_only=True):
        for table in sheet.tables.values():
            if table.name.casefold() == name.casefold():
                headings, *rows = [[cell.value for cell in row] for row in sheet[table.ref]]
                return [dict(zip(map(str, headings), row, strict=True)) for row in rows]
    raise LotError(f"{path.name} has no table named {name}: was it made by an older version?")
