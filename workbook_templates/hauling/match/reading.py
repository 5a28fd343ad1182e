"""Match for a lot that was read from a workbook: what the command ``tarelot match`` prints."""

from __future__ import annotations

from pathlib import Path

from openpyxl import load_workbook

from tarelot.calc.cells.boundary import CellError, call
from tarelot.calc.cells.worked_out import WorkedOut
from tarelot.calc.registry import BY_NAME
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling import questions as q
from tarelot.workbook_templates.hauling.match import columns as m
from tarelot.workbook_templates.hauling.match.expressions import row_expressions
from tarelot.workbook_templates.hauling.match.stored import Choices, Rows, rows, top
from tarelot.workbook_templates.hauling.what_if.rows import MACHINE, TABLES, TRUCK
from tarelot.workbook_templates.lot.reading import LotError, LotSheet
from tarelot.workbook_templates.lot.results import lot_results

UNDERSIDE = ("wheelbase", "clearance", "front_overhang", "front_clearance", "rear_overhang", "rear_clearance")
PROFILE = ("deck_height", "tail_drop_or_0", "tail_length_or_0", "ramp_length")
Value = float | str | bool


def match_lot(lot: LotSheet, machine: str, truck: str | None) -> list[dict[str, Value]]:
    """The columns of each trailer of a lot that was read from a workbook, the exact sweep deciding the drive-on.

    Raises:
        LotError: The workbook has no such machine or truck; the message names those it has.
    """
    (machines, asked), (trucks, behind) = (
        read_choice(lot.path, group, name) for group, name in ((MACHINE, machine), (TRUCK, truck))
    )
    names = tuple(row and row[TABLES[group][1]] for group, row in ((MACHINE, asked), (TRUCK, behind)))
    typed = [row.values for row in lot.rows]
    filled = [{**row, **more} for row, more in zip(typed, lot_results(typed, lot.options, lot.units), strict=True)]
    return matched(filled, machines, trucks, (names[0], names[1]), lot.units, exact=True)


def matched(
    lot_rows: Rows, machine_rows: Rows, truck_rows: Rows, choices: Choices, units: Units, *, exact: bool = False
) -> list[dict[str, Value]]:
    """The columns of each trailer by key.

    Args:
        lot_rows: Inputs and results of the lot by heading, one mapping a row, in the table's order.
        machine_rows: Rows of Machines.
        truck_rows: Rows of Trucks.
        choices: Name of the machine and of the truck; None for none.
        units: The workbook's units.
        exact: Whether the exact sweep decides what the bounds leave open, for a machine on wheels.
    """
    above = top(lot_rows, machine_rows, truck_rows, choices, units)
    found = []
    for row in rows(above, len(lot_rows), units):
        swept = _swept(row, above, units) if exact and row["drive_on"] == q.CHECK else {}
        found.append({column.key: row[column.key] for column in m.COLUMNS} | swept)
    return found  # type: ignore[return-value]


def _swept(row: WorkedOut, above: WorkedOut, units: Units) -> dict[str, object]:
    """What changes in a row where the gap is known exactly: its bounds, the drive-on, the verdict with the place."""
    gap, where = (_asked(name, row) for name in ("LOT_RAMP_CLEARANCE", "LOT_RAMP_TOUCH"))
    known = {"line": row["line"], "at_least": gap, "at_most": gap}
    decided = WorkedOut(known, row_expressions(units), above)
    drive_on, verdict = str(decided["drive_on"]), str(decided["verdict"])
    if drive_on == q.CHECK and verdict == m.CHECK:
        verdict = f"{verdict}: {gap:.1f} {units.short}, {where}"
    elif verdict == drive_on != m.OK:
        verdict = f"{verdict}: {where}"
    return {**known, "drive_on": drive_on, "verdict": verdict}


def _asked(function: str, row: WorkedOut) -> float | str:
    """A function of the drive-on, or the error value that a cell would show."""
    try:
        return call(BY_NAME[function], [row[key] for key in (*PROFILE, *UNDERSIDE)])
    except CellError as error:
        return error.code


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


def find(rows: Rows, key: str, chosen: object) -> int | None:
    """Index of the first row of a name, in any case as a spreadsheet looks; None where there is none."""
    same = [place for place, row in enumerate(rows) if _lower(row.get(key)) == _lower(chosen)]
    return same[0] if same else None


def _lower(value: object) -> object:
    return value.lower() if isinstance(value, str) else value


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
