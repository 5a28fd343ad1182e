"""Rows of the lot -> their results: the expressions of the columns, worked out row by row."""

from __future__ import annotations

import datetime
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from tarelot.calc.cells.expression import Expression, value
from tarelot.calc.cells.straight import MANY_ROWS
from tarelot.calc.cells.worked_out import WorkedOut
from tarelot.workbook_templates.basis.day_numbers import day_number
from tarelot.workbook_templates.basis.limits import Typed, limit_values
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.lot.columns import inputs, results
from tarelot.workbook_templates.lot.expressions import expressions, figures_of_law, written_out

Value = float | str
OptionList = Sequence[tuple[object, ...]]
"""Name, weight, and who fits it; the maker where that is not said."""
FITTED_PLACE = 2
UNLISTED, ADDED = "unlisted", "added"
"""The results that look through the Options sheet for each option named; many trailers name the same."""
REPEATED = "repeated"
"""The result that looks at all rows."""
Row = Mapping[str, object]


class Numbers(NamedTuple):
    """How often each stock number and each VIN stands: as texts in lower case, a blank one as ``""``."""

    stock: Counter[str]
    vin: Counter[str]


def lot_results(
    rows: Sequence[Row],
    options: OptionList,
    units: Units,
    limits: Typed | None = None,
    *,
    only: str = "",
    numbers: Numbers | None = None,
    asks_repeated: bool = True,
) -> list[dict[str, Value]]:
    """Results of each row by heading; blank as an empty text.

    Args:
        rows: Inputs by heading.
        options: Names and weights of the Options sheet, and who fits each.
        units: The workbook's units.
        limits: What the yard typed on its Limits sheet; without it ours are used.
        only: The heading of the one result that is asked for; it may read no other check.
        numbers: The stock numbers and VINs among which one may stand twice; those of the rows if left out.
        asks_repeated: Whether they are asked for at all; else that check stands among those not made.
    """
    headings = {column.key: units.heading(column.heading) for column in results() if only in ("", column.heading)}
    shown = expressions(units) if len(rows) < MANY_ROWS else written_out(units)
    around: dict[str, object] = {
        **figures_of_law(units),
        **limit_values(units, limits),
        "option_names": [as_in_cell(option[0]) for option in options],
        "option_weights": [as_in_cell(option[1]) for option in options],
        "option_fitted": [option[2] if len(option) > FITTED_PLACE else None for option in options],
    }
    entries = _entries(rows, units)
    around["stock_column"], around["vin_column"] = numbers or _counted(entries, shown)
    checks = [column.key for column in results() if column.kind.startswith("check")]
    looked_up: dict[object, object] = {}
    found = []
    for row in entries:
        cells = WorkedOut({**around, **row}, shown)
        named = (type(row["options"]), row["options"])
        rated = isinstance(row["gvwr"], float) and row["gvwr"] > 0
        for result, place in ((UNLISTED, (UNLISTED, named)), (ADDED, (ADDED, named, rated))):
            if place not in looked_up:
                looked_up[place] = cells[result]
            cells[result] = looked_up[place]
        if not asks_repeated:
            cells[REPEATED] = ""
        if not only:
            cells["check_values"] = [cells[key] for key in checks]
        found.append({heading: cells[key] for key, heading in headings.items()})
    return found  # type: ignore[return-value]


def numbers_of(rows: Sequence[Row], units: Units) -> Numbers:
    """How often each stock number and each VIN stands among rows, inputs by heading."""
    return _counted(_entries(rows, units), expressions(units))


def _counted(entries: Sequence[Row], shown: Mapping[str, Expression]) -> Numbers:
    """The same of rows by key."""
    return Numbers(
        *(
            Counter(str(value(shown[f"{key}_text"], {key: row[key]})).lower() for row in entries)
            for key in Numbers._fields
        )
    )


def _entries(rows: Iterable[Row], units: Units) -> list[dict[str, object]]:
    """Inputs by key, as cells hold them."""
    typed = {column.key: units.heading(column.heading) for column in inputs()}
    return [{key: as_in_cell(row.get(heading)) for key, heading in typed.items()} for row in rows]


def as_in_cell(typed: object) -> object:
    """A value as a cell holds it: a date is a number of days."""
    if typed is None or typed.__class__ in (str, float):  # by far the most
        return typed
    if isinstance(typed, int) and not isinstance(typed, bool):
        return float(typed)
    if isinstance(typed, (datetime.date, datetime.time, datetime.timedelta)):
        return day_number(typed)
    return typed
