"""Match for a lot that was read from a workbook: what the command ``tarelot match`` prints."""

from __future__ import annotations

from pathlib import Path

from tarelot.calc.cells import texts
from tarelot.workbook_templates.basis.limits import Typed
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling.match import columns as m
from tarelot.workbook_templates.hauling.match.stored import Choices, Rows, rows, top
from tarelot.workbook_templates.hauling.what_if.rows import MACHINE, TABLES, TRUCK
from tarelot.workbook_templates.lot.reading import LotError, LotSheet, read_table
from tarelot.workbook_templates.lot.reading import Value as Held
from tarelot.workbook_templates.lot.results import lot_results

Value = float | str | bool
PRINTED = ("asked", *(column.key for column in m.LISTED))


class NoSuchName(LotError):
    """A workbook's list has no machine or truck of that name."""


def match_lot(lot: LotSheet, machine: str, truck: str | None) -> list[dict[str, Value]]:
    """The shown columns of each trailer of a lot that was read from a workbook.

    Raises:
        LotError: Its lists cannot be read.
        NoSuchName: The workbook has no such machine or truck; the message names those it has.
    """
    return matched(filled(lot), *read_choices(lot.path, machine, truck), lot.units, lot.limits)


def filled(lot: LotSheet) -> list[dict[str, object]]:
    """Inputs and results of each trailer of a lot, by heading."""
    typed = [row.values for row in lot.rows]
    results = lot_results(typed, lot.options, lot.units, lot.limits)
    return [{**row, **more} for row, more in zip(typed, results, strict=True)]


def read_choices(
    path: Path, machine: str, truck: str | None
) -> tuple[list[dict[str, Held]], list[dict[str, Held]], Choices]:
    """The rows of Machines and of Trucks of a workbook, and the names there of those chosen.

    Raises:
        LotError: The workbook has no such machine or truck; the message names those it has.
    """
    (machines, asked), (trucks, behind) = (
        read_choice(path, group, name) for group, name in ((MACHINE, machine), (TRUCK, truck))
    )
    names = tuple(row and row[TABLES[group][1]] for group, row in ((MACHINE, asked), (TRUCK, behind)))
    return machines, trucks, (names[0], names[1])


def matched(
    lot_rows: Rows,
    machine_rows: Rows,
    truck_rows: Rows,
    choices: Choices,
    units: Units,
    limits: Typed | None = None,
) -> list[dict[str, Value]]:
    """The shown columns of each trailer by key, and whether it was asked.

    Args:
        lot_rows: Inputs and results of the lot by heading, one mapping a row, in the table's order.
        machine_rows: Rows of Machines.
        truck_rows: Rows of Trucks.
        choices: Name of the machine and of the truck; None for none.
        units: The workbook's units.
        limits: What the yard typed on its Limits sheet.
    """
    above = top(lot_rows, machine_rows, truck_rows, choices, units, limits)
    found = rows(above, len(lot_rows), units)
    return [{key: row[key] for key in PRINTED} for row in found]  # type: ignore[misc]


def read_choice(path: Path, group: str, name: str | None) -> tuple[list[dict[str, Held]], dict[str, Held] | None]:
    """The rows of the Machines or Trucks table of a workbook, and the one of that name; None without a name.

    Raises:
        LotError: There is no such table.
        NoSuchName: There is no such row in it; the message names those it has.
    """
    table, key = TABLES[group]
    rows = read_table(path, table)
    if name is None:
        return rows, None
    place = find(rows, key, name)
    if place is None and name.strip().replace(".", "", 1).isdecimal():
        place = find(rows, key, float(name))  # a name of digits alone is a number in its cell
    if place is None:
        held = (row[key] for row in rows if row.get(key) not in (None, ""))
        names = ", ".join(f"{cell:g}" if isinstance(cell, float) else str(cell) for cell in held)
        asked = name or "nothing"
        raise NoSuchName(f"no {key.lower()} named {asked}: the {table} sheet has {names or 'none yet'}")
    return rows, rows[place]


def find(rows: Rows, key: str, chosen: object) -> int | None:
    """Index of the first row of a name, in any case as a spreadsheet looks; None where there is none.

    Spaces around a name are none of it; where one is listed with and without them, the row without them is meant.
    """
    for plain in (_lower, _trimmed):
        same = [place for place, row in enumerate(rows) if plain(row.get(key)) == plain(chosen)]
        if same:
            return same[0]
    return None


def _lower(value: object) -> object:
    return value.lower() if isinstance(value, str) else value


def _trimmed(value: object) -> object:
    return texts.trim(value).lower() if isinstance(value, str) else value
