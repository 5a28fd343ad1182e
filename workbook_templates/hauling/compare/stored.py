"""Compare worked out in Python, from the rows of the lot and what Match says of each."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from tarelot.calc.cells.worked_out import WorkedOut
from tarelot.workbook_templates.basis.limits import Typed
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling import asked, followed
from tarelot.workbook_templates.hauling.compare.expressions import PLACES, choice, expressions
from tarelot.workbook_templates.hauling.compare.lines import FROM_MATCH
from tarelot.workbook_templates.hauling.compare.sheet import GROUP_ROWS, cells, places_on_match
from tarelot.workbook_templates.hauling.match import columns as match
from tarelot.workbook_templates.hauling.match import order
from tarelot.workbook_templates.hauling.match.stored import Columns
from tarelot.workbook_templates.hauling.match.stored import Stored as OfMatch
from tarelot.workbook_templates.hauling.what_if.rows import MACHINE
from tarelot.workbook_templates.lot.columns import TABLE

Rows = Sequence[Mapping[str, object]]
Stored = dict[str, float | str | bool | None]
READ = ("line", *FROM_MATCH)
"""Columns of Match that are read."""


def compared(lot_rows: Rows, match_rows: Rows, stocks: Sequence[object], units: Units) -> WorkedOut:
    """The lines of each trailer and where they differ, by key, for a machine that is chosen.

    Args:
        lot_rows: Inputs and results of the lot, by heading.
        match_rows: What Match says of each, by the key of its column.
        stocks: The stock numbers.
        units: The workbook's units.
    """
    columns = {key: [row[key] for row in match_rows] for key in READ}
    return _worked_out(lot_rows, columns, stocks, units, {f"row of {MACHINE}": 1.0})


def stored(
    lot_rows: Rows,
    on_match: OfMatch,
    match_choices: Sequence[object],
    stocks: Sequence[object],
    units: Units,
    limits: Typed | None = None,
) -> Stored:
    """The result of every formula, by cell.

    Args:
        lot_rows: Inputs and results of the lot, by heading.
        on_match: The results of Match, by cell.
        match_choices: What is typed on Match for machine and truck.
        stocks: The stock numbers chosen.
        units: The workbook's units.
        limits: What the yard typed on its Limits sheet.
    """
    numbers = range(match.FIRST_ROW, match.FIRST_ROW + len(lot_rows) + match.SPARE_ROWS)
    columns = {key: [on_match[f"{match.LETTERS[key]}{number}"] for number in numbers] for key in READ}
    typed = dict(zip(map(followed.typed_choice, GROUP_ROWS), match_choices, strict=True))
    there = {key: cell.replace("$", "") for key, cell in places_on_match().items() if key not in typed}
    around = {key: on_match[cell] for key, cell in there.items()} | typed | asked.constants(units, limits)
    worked = _worked_out(lot_rows, columns, stocks, units, around)
    return {cell.replace("$", ""): worked[key] for key, cell in cells().items()}  # type: ignore[misc]


def _worked_out(
    lot_rows: Rows,
    match_columns: Mapping[str, Sequence[object]],
    stocks: Sequence[object],
    units: Units,
    around: Mapping[str, object],
) -> WorkedOut:
    """The cells of Compare by key."""
    chosen = dict(zip([choice(place).key for place in PLACES], [*stocks, *[None] * len(PLACES)], strict=False))
    of_match = {order.every(key).key: list(values) for key, values in match_columns.items()}
    return WorkedOut({**around, **of_match, **chosen}, expressions(units), Columns({TABLE: lot_rows}))
