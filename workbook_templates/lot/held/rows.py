"""The cells of the tables Lot and Options and of the sheet Limits, made into what a lot holds."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterable, Sequence

from tarelot.calc.rules.limits import LIMITS
from tarelot.workbook_templates.basis import limits
from tarelot.workbook_templates.basis.units import SYSTEMS, Units
from tarelot.workbook_templates.lot import options as options_sheet
from tarelot.workbook_templates.lot.column import Input
from tarelot.workbook_templates.lot.columns import COLUMNS, TABLE, inputs, results
from tarelot.workbook_templates.lot.held.lot import LotError, LotRow, Value

Row = tuple[int, Sequence[object]]
"""A row's number on the sheet, and its cells as the reader has them, one for each heading."""
Read = Callable[[int, str, object, Input | None], Value]
"""What a cell holds: given its row's number, its heading, the cell, and our column where it is an input."""

_UNIT = re.compile(r"\{(weight|short|long)\}")


def units_of(found: Sequence[str], name: str) -> Units:
    """The system whose headings these are.

    Args:
        found: The headings of the tables Lot and Options.
        name: The workbook's name, for messages.

    Raises:
        LotError: They state no unit, or units of both systems.
    """
    patterns = [column.heading for column in COLUMNS if _UNIT.search(column.heading)] + [options_sheet.WEIGHT]
    fits = {
        units.name: [units.heading(pattern) for pattern in patterns if units.heading(pattern) in found]
        for units in SYSTEMS.values()
    }
    stated = {name: headings for name, headings in fits.items() if headings}
    if len(stated) > 1:
        examples = " and ".join(headings[0] for headings in stated.values())
        raise LotError(f"{name} mixes units: it has the headings {examples}")
    if not stated:
        raise LotError(f"{name}: no heading of its table {TABLE} states a unit, such as GVWR (lb)")
    return SYSTEMS[next(iter(stated))]


def missing_of(columns: Collection[str], units: Units) -> list[str]:
    """Headings of ours that the table Lot does not have."""
    ours = (units.heading(column.heading) for column in COLUMNS)
    return [heading for heading in ours if heading not in columns]


def trailers(
    below: Iterable[Row], columns: Sequence[str], units: Units, formulas: Collection[tuple[int, str]], read: Read
) -> tuple[list[LotRow], list[int]]:
    """The trailers, and the numbers of the rows in which nothing is typed.

    A trailer has something in one of our inputs, as the workbook's formulas count it. A row with nothing but what a
    person typed in columns of their own is no trailer, and no blank row for one either: it stays as it is.

    Args:
        below: The rows below the headings.
        columns: The headings, a person's own ones too.
        units: The workbook's units.
        formulas: Row and heading of the cells of a person's own columns that calculate: nothing is typed there.
        read: What a cell holds.
    """
    known = {units.heading(column.heading): column for column in inputs()}
    ours = {units.heading(column.heading) for column in results()}
    rows, blank_rows = [], []
    for number, found in below:
        values: dict[str, Value] = {}
        stored: dict[str, Value] = {}
        is_trailer = is_noted = False
        for heading, cell in zip(columns, found, strict=True):
            column = known.get(heading)
            value = read(number, heading, cell, column)
            if column is not None:
                values[heading] = value
                is_trailer = is_trailer or value is not None
            elif heading in ours:
                stored[heading] = value
            elif value is not None and (number, heading) not in formulas:
                is_noted = True
        if is_trailer:
            rows.append(LotRow(number, values, stored))
        elif not is_noted:
            blank_rows.append(number)
    return rows, blank_rows


def options_of(
    below: Iterable[Row], columns: Sequence[str], units: Units, read: Read, *, lenient: bool = False
) -> list[tuple[Value, ...]]:
    """Name, weight, who fits it, price and place, as the cells hold them; rows without name and weight are left out.

    A table without the later columns, as an older lot's, gives none of these.

    Args:
        below: The rows below the headings of the table Options.
        columns: Its headings.
        units: The workbook's units.
        read: What a cell holds.
        lenient: Whether a missing column is left blank.

    Raises:
        LotError: The column of names or of weights is missing.
    """
    wanted = (options_sheet.NAME, units.heading(options_sheet.WEIGHT))
    for heading in wanted:
        if heading not in columns and not lenient:
            raise LotError(f"the table {options_sheet.TABLE} has no column {heading}")
    later = [units.heading(heading) for heading in (options_sheet.PRICE, options_sheet.PLACE)]
    headings = (*wanted, options_sheet.FITTED, *(heading for heading in later if heading in columns))
    options = []
    for number, found in below:
        row = dict(zip(columns, found, strict=True))
        name, weight, *more = (read(number, heading, row.get(heading), None) for heading in headings)
        if name is not None or weight is not None:
            options.append((name, weight, *more))
    return options  # what a person typed is passed on, for the functions to judge


def limits_of(rows: Iterable[Sequence[object]], read: Callable[[object], Value]) -> limits.Typed:
    """What is typed on the Limits sheet, by key; rows are known by the limit's name, columns by their headings."""
    keys = {limit.name: limit.key for limit in LIMITS}
    wanted = (limits.NAME_HEADING, limits.TYPED_HEADING, limits.SWITCH_HEADING)
    places: list[int] = []
    found = {}
    for row in rows:
        if all(heading in row for heading in wanted):
            places = [list(row).index(heading) for heading in wanted]
        elif places and (key := keys.get(str(row[places[0]]))):
            typed, switch = (read(row[place]) for place in places[1:])
            if typed is not None or switch is not None:
                found[key] = typed, switch
    return found
