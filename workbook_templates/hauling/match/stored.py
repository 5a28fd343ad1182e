"""Match worked out in Python: the cells of its expressions, from the rows of the lot, of Machines and of Trucks."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from tarelot.calc.cells.straight import MANY_ROWS
from tarelot.calc.cells.worked_out import WorkedOut
from tarelot.workbook_templates.basis.limits import Typed
from tarelot.workbook_templates.basis.references import column_key
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling import asked
from tarelot.workbook_templates.hauling.followed import ALSO_ABOARD
from tarelot.workbook_templates.hauling.followed import given as given_choices
from tarelot.workbook_templates.hauling.match import columns as m
from tarelot.workbook_templates.hauling.match import order
from tarelot.workbook_templates.hauling.match.expressions import (
    head_expressions,
    row_expressions,
    rows_written_out,
    shown_expressions,
    top_expressions,
)
from tarelot.workbook_templates.hauling.what_if.aboard import NOTHING
from tarelot.workbook_templates.hauling.what_if.rows import ENTRY_CHECK, MACHINE, TABLES, TRAILER, TRUCK
from tarelot.workbook_templates.sheets import machines, trucks

Row = Mapping[str, object]
Rows = Sequence[Row]
Cells = dict[str, object]
Choices = tuple[object, object]
NONE: Choices = (None, None)
Stored = dict[str, float | str | bool | None]


def table_cells(table: str, rows: Rows) -> Cells:
    """The columns of a table, as expressions read them."""
    headings = dict.fromkeys(heading for row in rows for heading in row)
    return {column_key(table, heading): [row.get(heading) for row in rows] for heading in headings}


class Columns(dict[str, object]):
    """Columns of tables by key; a column that no row has is blank in every one."""

    def __init__(self, rows: Mapping[str, Rows]) -> None:
        super().__init__()
        self._counts = {table: len(found) for table, found in rows.items()}
        for table, found in rows.items():
            self.update(table_cells(table, found))

    def __missing__(self, key: str) -> object:
        table, bracket, _ = key.partition("[")
        if not bracket:
            raise KeyError(key)
        return [None] * self._counts[table]


def with_checks(
    machine_rows: Rows, truck_rows: Rows, units: Units, limits: Typed | None = None
) -> tuple[list[Cells], list[Cells]]:
    """Rows of Machines and of Trucks with what their entry checks say.

    Args:
        machine_rows: Rows of Machines.
        truck_rows: Rows of Trucks.
        units: The workbook's units.
        limits: What the yard typed on its Limits sheet.
    """
    of_machines, of_trucks = (
        [{**row, ENTRY_CHECK: doubt} for row, doubt in zip(rows, doubts(rows, units, limits), strict=True)]
        for rows, doubts in ((machine_rows, machines.doubts), (truck_rows, trucks.doubts))
    )
    return of_machines, of_trucks


def top(
    lot_rows: Rows,
    machine_rows: Rows,
    truck_rows: Rows,
    choices: Choices,
    units: Units,
    limits: Typed | None = None,
    on_what_if: Choices = NONE,
) -> WorkedOut:
    """The chosen machine and truck, over the three lists.

    Args:
        lot_rows: Inputs and results of the lot by heading, one mapping a row, in the table's order.
        machine_rows: Rows of Machines.
        truck_rows: Rows of Trucks.
        choices: Name of the machine and of the truck; None for none.
        units: The workbook's units.
        limits: What the yard typed on its Limits sheet.
        on_what_if: What is chosen on What-if, for what is not chosen here.
    """
    lists = with_checks(machine_rows, truck_rows, units, limits)
    tables = zip((TRAILER, MACHINE, TRUCK), (lot_rows, *lists), strict=True)
    columns = Columns({TABLES[group][0]: rows for group, rows in tables})
    given = {
        **asked.constants(units, limits),
        **given_choices(*(dict(zip((MACHINE, TRUCK), chosen, strict=True)) for chosen in (choices, on_what_if))),
        **dict.fromkeys((order.SHOW.key, order.ORDER.key)),
    }
    return WorkedOut(given, top_expressions(units), columns)


def rows(above: WorkedOut, count: int, units: Units) -> Iterator[WorkedOut]:
    """Each row of the sheet, as many as asked for; without the columns in sight."""
    expressions = row_expressions(units) if count < MANY_ROWS else rows_written_out(units)
    for line in range(1, count + 1):
        yield WorkedOut({"line": float(line)}, expressions, above)


def stored(
    lot_rows: Rows,
    machine_rows: Rows,
    truck_rows: Rows,
    choices: Choices,
    units: Units,
    limits: Typed | None = None,
    on_what_if: Choices = NONE,
    also_aboard: object = NOTHING,
) -> Stored:
    """The result of every formula of the Match sheet, by cell; ``also_aboard`` is what What-if says of that."""
    above = top(lot_rows, machine_rows, truck_rows, choices, units, limits, on_what_if)
    found = list(rows(above, len(lot_rows) + m.SPARE_ROWS, units))
    below = WorkedOut({order.every(key).key: [row[key] for row in found] for key in m.RANGES}, {}, above)
    cells, shown = {}, shown_expressions()
    for number, row in enumerate(found, m.FIRST_ROW):
        in_sight = WorkedOut({"line": row["line"]}, shown, below)
        for column in m.COLUMNS:
            cells[f"{m.LETTERS[column.key]}{number}"] = (in_sight if column.key in shown else row)[column.key]
    cells |= {place.replace("$", ""): above[key] for key, place in m.top_cells().items()}
    head = WorkedOut({ALSO_ABOARD.key: also_aboard}, head_expressions(units), below)
    return cells | {place.replace("$", ""): head[place] for place in head_expressions(units)}  # type: ignore[return-value]
