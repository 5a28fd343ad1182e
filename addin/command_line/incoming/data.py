"""An import as plain data, for a program that carries it out in a workbook that is open in it."""

from __future__ import annotations

import datetime
from dataclasses import asdict
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tarelot.workbook_templates.lot.reading import LotSheet
    from tarelot.workbook_templates.updates.apply import Applied
    from tarelot.workbook_templates.updates.plan import Plan, RowPlan

Data = dict[str, object]


def import_data(planned: Plan[LotSheet], done: Applied | None) -> Data:
    """What importing a list does, and where each value belongs.

    Args:
        planned: The plan.
        done: What was done; None after a dry run.

    Returns:
        The sheet, the table's first and last row, the column letter of each input and of each result by heading, and
        each row of the list with the sheet's row of its trailer. A value is a number, a text, null for a blank, or
        ``{"date": "2026-09-14"}``. ``ends_before_new_rows`` has who reads fixed rows of the Lot that end before the new
        ones, the range as it is written and the one that would include them.
    """
    from tarelot.workbook_templates.lot.columns import results
    from tarelot.workbook_templates.updates.plan import sheet_rows

    lot = planned.lot
    rows = sheet_rows(planned)
    calculated = [lot.units.heading(column.heading) for column in results()]
    return {
        "list": planned.table.source,
        "key": planned.key,
        "totals": planned.totals,
        "ignored": planned.ignored,
        "notes": planned.notes,
        "sheet": lot.sheet,
        "table": {"name": lot.table.name, "first_row": lot.table.first_row, "last_row": lot.table.last_row},
        "inputs": {heading: lot.columns[heading] for heading in lot.inputs()},
        "results": {heading: lot.columns[heading] for heading in calculated if heading in lot.columns},
        "rows": [_row(row, rows.get(row.number)) for row in planned.rows],
        "ends_before_new_rows": [asdict(one) for one in done.short] if done else [],
        "side_file": str(done.side_file) if done and done.side_file else None,
    }


def _row(row: RowPlan, sheet_row: int | None) -> Data:
    return {
        "number": row.number,
        "key": row.key,
        "status": row.status,
        "sheet_row": sheet_row,
        "reason": row.reason,
        "changes": [{"heading": c.heading, "old": _value(c.old), "new": _value(c.new)} for c in row.changes],
    }


def _value(value: object) -> object:
    return {"date": value.isoformat()} if isinstance(value, datetime.date) else value
