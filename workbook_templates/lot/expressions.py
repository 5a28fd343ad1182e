"""What each result column of the Lot shows, in a workbook's units, and its formula in a row of the sheet."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from tarelot.calc.cells.expression import Constant, Expression, formula
from tarelot.calc.cells.owned import CalledByName
from tarelot.calc.cells.straight import straight
from tarelot.calc.columns import column_letters, column_number
from tarelot.calc.law import EXCISE_FREE_GVWR_LB
from tarelot.calc.rules.lot import FIGURES, PLACARD_GVWR_LB, PLACARD_WEIGHT_LB
from tarelot.workbook_templates.basis.limits import limit_places, limit_values
from tarelot.workbook_templates.basis.references import row_reference, row_span, table_column
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.lot.column import Result
from tarelot.workbook_templates.lot.columns import COLUMNS, TABLE, check_headings, results
from tarelot.workbook_templates.lot.entries import entry_expressions, entry_figures
from tarelot.workbook_templates.lot.written import CHECK_VALUES, row_expressions, verdict

ROW = "\0"
"""Stands for the row's number in a formula that names the cells of its row."""


@cache
def expressions(units: Units) -> dict[str, Expression]:
    """The expression of every result column, by key."""
    found = {**FIGURES, **entry_expressions(units), **row_expressions(units)}
    return {column.key: found[column.key] for column in results()}


@cache
def written_out(units: Units) -> dict[str, Expression]:
    """The same expressions as functions written out, for a lot of many rows."""
    return straight(expressions(units))


@cache
def figures_of_law(units: Units) -> dict[str, float]:
    """Figures that neither a column nor the Limits sheet holds."""
    return {
        "placard_gvwr": round(PLACARD_GVWR_LB * units.weight_per_pound, 6),
        "placard_weight": round(PLACARD_WEIGHT_LB * units.weight_per_pound, 6),
        "excise_from": float(f"{EXCISE_FREE_GVWR_LB * units.weight_per_pound:.15g}"),
        **entry_figures(units),
    }


@cache
def result_formulas(units: Units, *, by_name: bool = False) -> dict[str, str]:
    """The formula of each result column by heading, without ``=``; ``ROW`` stands for the row's number.

    Columns stand where the template has them.
    """
    letters = {units.heading(c.heading): column_letters(place) for place, c in enumerate(COLUMNS, 1)}
    return formulas_in(letters, units, by_name=by_name)


def formulas_in(
    letters: Mapping[str, str], units: Units, *, by_name: bool = False, has_limits: bool = True
) -> dict[str, str]:
    """The same for a table whose columns stand elsewhere; without those that read a column that it lacks.

    Args:
        letters: The column letters of the headings.
        units: The workbook's units.
        by_name: Whether the add-in's functions are to be called.
        has_limits: Whether there is a Limits sheet; else ours are written as numbers.
    """
    found = {}
    stretches = check_stretches(letters, units)
    for column in results():
        places = _places(column, letters, stretches, units, by_name=by_name, has_limits=has_limits)
        expression = expressions(units)[column.key]
        if column.key == "conflicts" and len(stretches) > 1:
            expression = verdict(*(f"{CHECK_VALUES} {number}" for number in range(len(stretches))))
        if units.heading(column.heading) in letters and expression.keys() <= places.keys():
            found[units.heading(column.heading)] = formula(expression, places)
    return found


def check_stretches(letters: Mapping[str, str], units: Units) -> list[tuple[str, str]]:
    """The first and the last heading of each stretch of checks that stand beside each other, from left to right.

    None where one of the checks is missing.
    """
    checks = check_headings(units)
    if not letters.keys() >= set(checks):
        return []
    at = {column_number(letters[heading].encode()): heading for heading in checks}
    starts, ends = ([at[place] for place in sorted(at) if place + step not in at] for step in (-1, 1))
    return list(zip(starts, ends, strict=True))


def in_row(text: str, number: int) -> str:
    """A formula of :func:`result_formulas` as it reads in a row."""
    return text.replace(ROW, str(number))


def _places(
    column: Result,
    letters: Mapping[str, str],
    stretches: list[tuple[str, str]],
    units: Units,
    *,
    by_name: bool,
    has_limits: bool,
) -> dict[str, str]:
    """What stands in a column's formula for each key."""
    headings = {c.key: units.heading(c.heading) for c in COLUMNS}
    numbers = figures_of_law(units) if has_limits else figures_of_law(units) | limit_values(units)
    named = {
        "option_names": "Options[Option]",
        "option_weights": units.heading("Options[Weight ({weight})]"),
        "option_fitted": "Options[Fitted by]",
        "stock_column": table_column(TABLE, headings["stock_text"]),
        "vin_column": table_column(TABLE, headings["vin_text"]),
        **(limit_places(units) if has_limits else {}),
        **{key: Constant(value).text({}) for key, value in numbers.items()},
    }
    if column.is_plain:
        cells = {key: f"{letters[heading]}{ROW}" for key, heading in headings.items() if heading in letters}
        spans = [f"{letters[first]}{ROW}:{letters[last]}{ROW}" for first, last in stretches]
    else:
        cells = {key: row_reference(heading) for key, heading in headings.items() if heading in letters}
        spans = [row_span(TABLE, first, last) for first, last in stretches]
    names = [CHECK_VALUES] if len(spans) == 1 else [f"{CHECK_VALUES} {number}" for number in range(len(spans))]
    cells |= dict(zip(names, spans, strict=True))
    return CalledByName(named | cells) if by_name else named | cells
