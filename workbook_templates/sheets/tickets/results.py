"""What each result of a weighing shows: its expression, its formula in a row of the sheet, and its value."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache

from tarelot.calc.cells.expression import Constant, Expression, formula
from tarelot.calc.cells.owned import CalledByName
from tarelot.calc.cells.worked_out import WorkedOut
from tarelot.calc.columns import column_letters
from tarelot.calc.rules.weighing.figures import FIGURES, FROM_LOT, LOT_STOCKS, column_of_lot
from tarelot.calc.rules.weighing.findings import WEIGHING, findings
from tarelot.workbook_templates.basis.limits import Typed, limit_places, limit_values
from tarelot.workbook_templates.basis.references import table_column
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.lot import columns as lot
from tarelot.workbook_templates.lot.entries import entry_figures, list_doubt, words
from tarelot.workbook_templates.lot.expressions import ROW
from tarelot.workbook_templates.lot.results import as_in_cell
from tarelot.workbook_templates.sheets.tickets.columns import COLUMNS, inputs, results

Row = Mapping[str, object]
Value = float | str | bool


@cache
def expressions(units: Units) -> dict[str, Expression]:
    """The expression of every result column, by key."""
    doubt = list_doubt((column for column in inputs() if column.key != "stock"), WEIGHING, units)
    found = {**FIGURES, **findings(words(units)), "doubt": doubt}
    return {column.key: found[column.key] for column in results()}


@cache
def _lot_headings(units: Units) -> dict[str, str]:
    """The heading of each column of the Lot that is read, by the key of the range."""
    by_key = {column.key: units.heading(column.heading) for column in lot.COLUMNS}
    read = {column_of_lot(key).key: by_key[key] for key in (*FROM_LOT, "weakest_part")}
    return {LOT_STOCKS.key: by_key["stock_text"], **read}


@cache
def result_formulas(units: Units, *, by_name: bool = False) -> dict[str, str]:
    """The formula of each result by heading, without ``=``, ``ROW`` for the row's number; columns as we write them."""
    letters = {units.heading(column.heading): column_letters(place) for place, column in enumerate(COLUMNS, 1)}
    return formulas_in(letters, units, by_name=by_name)


def formulas_in(letters: Mapping[str, str], units: Units, *, by_name: bool = False) -> dict[str, str]:
    """The same for a table whose columns stand elsewhere; without those that read a column that it lacks."""
    numbers = {key: Constant(amount).text({}) for key, amount in entry_figures(units).items()}
    ranges = {key: table_column(lot.TABLE, heading) for key, heading in _lot_headings(units).items()}
    headings = {column.key: units.heading(column.heading) for column in COLUMNS}
    cells = {key: f"{letters[heading]}{ROW}" for key, heading in headings.items() if heading in letters}
    places = {**limit_places(units), **numbers, **ranges, **cells}
    if by_name:
        places = CalledByName(places)
    return {
        headings[key]: formula(expression, places)
        for key, expression in expressions(units).items()
        if headings[key] in letters and expression.keys() <= places.keys()
    }


def ticket_results(
    rows: Sequence[Row], lot_rows: Sequence[Row], units: Units, limits: Typed | None = None
) -> list[dict[str, Value]]:
    """The results of each weighing by key; blank as an empty text.

    Args:
        rows: Inputs by heading.
        lot_rows: Inputs and results of the lot by heading, in the table's order.
        units: The workbook's units.
        limits: What the yard typed on its Limits sheet; without it ours are used.
    """
    around: dict[str, object] = {**limit_values(units, limits), **entry_figures(units)}
    for key, heading in _lot_headings(units).items():
        around[key] = [as_in_cell(row.get(heading)) for row in lot_rows]
    shown = expressions(units)
    typed = {column.key: units.heading(column.heading) for column in inputs()}
    found = []
    for row in rows:
        given = {key: as_in_cell(row.get(heading)) for key, heading in typed.items()}
        cells = WorkedOut(given, shown, around)
        found.append({key: cells[key] for key in shown})
    return found  # type: ignore[return-value]
