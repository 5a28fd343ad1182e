"""Rows of the lot -> their results, by calling the worksheet functions in the order in which they need each other."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache

from tarelot.calc.cells.boundary import ERROR_VALUES, call
from tarelot.calc.cells.formulas import Call, Cell
from tarelot.calc.registry import BY_NAME
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.lot import written
from tarelot.workbook_templates.lot.column import Result, in_units
from tarelot.workbook_templates.lot.columns import results

Value = float | str
OptionList = Sequence[tuple[object, object]]


@cache
def _ordered(units: Units) -> tuple[tuple[str, Result, Call], ...]:
    """Heading, column and call of each result that a function gives, each after those it reads."""
    waiting = {units.heading(c.heading): (c, in_units(c.call, units)) for c in results() if c.call is not None}
    ordered = []
    while waiting:
        ready = [h for h, (_, call) in waiting.items() if not _reads(call) & waiting.keys()]
        if not ready:
            message = f"these columns read each other in a circle: {', '.join(waiting)}"
            raise ValueError(message)
        ordered += [(heading, *waiting.pop(heading)) for heading in ready]
    return tuple(ordered)


def _reads(call: Call) -> set[str]:
    """Headings that a call reads."""
    found: set[str] = set()
    for argument in call.arguments:
        if isinstance(argument, Cell):
            found.add(argument.reference)
        elif isinstance(argument, Call):
            found |= _reads(argument)
    return found


def lot_results(rows: Sequence[Mapping[str, object]], options: OptionList, units: Units) -> list[dict[str, Value]]:
    """Results of each row by heading; an error as its value, such as ``#NUM!``, a blank as an empty text.

    Args:
        rows: Inputs by heading.
        options: Names and weights of the Options sheet.
        units: The workbook's units.
    """
    seen = written.count_values(rows)
    names, weights = [name for name, _ in options], [weight for _, weight in options]
    lists: dict[str, object] = {"Options[Option]": names, units.heading("Options[Weight ({weight})]"): weights}
    headings = [units.heading(column.heading) for column in results()]
    found = []
    for row in rows:
        values: dict[str, object] = {**row, **lists}
        for heading, column, column_call in _ordered(units):
            values[heading] = _result(column, column_call, values, units)
        values["Repeated"] = written.repeated(row, seen)
        values |= written.verdicts(values, units)
        found.append({heading: values[heading] for heading in headings})
    return found  # type: ignore[return-value]


def _result(column: Result, column_call: Call, values: Mapping[str, object], units: Units) -> Value:
    """One result, blank where the column says that the call would refuse."""
    if column.unless_above:
        compared = [values.get(units.heading(heading)) for heading in column.unless_above]
        error = next((value for value in compared if value in ERROR_VALUES), None)
        if error:
            return str(error)
        above, limit = map(_number, compared)
        if above > limit:
            return ""
    return evaluate(column_call, values)


def _number(value: object) -> float:
    """What the spreadsheet function N makes of a value."""
    return float(value) if isinstance(value, int | float) else 0.0


def evaluate(column_call: Call, values: Mapping[str, object]) -> Value:
    """A call's result, or the error value the cell shows; calls inside it are evaluated first."""
    arguments = [
        values.get(argument.reference)
        if isinstance(argument, Cell)
        else evaluate(argument, values)
        if isinstance(argument, Call)
        else argument
        for argument in column_call.arguments
    ]
    return written.or_error(lambda: call(BY_NAME[column_call.function], arguments))
