"""The lot as a pandas DataFrame, for those who ask it questions of their own. Needs ``tarelot[pandas]``."""

from __future__ import annotations

import datetime
import math
import numbers
import re
import warnings
from collections.abc import Collection, Hashable, Mapping, Sequence
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING

from tarelot.calc.cells.expression import value
from tarelot.calc.rules.limits import BY_KEY
from tarelot.workbook_templates.basis.limits import OFF, Typed, cells_of, done_expression
from tarelot.workbook_templates.basis.units import SYSTEMS, Units
from tarelot.workbook_templates.lot import reading
from tarelot.workbook_templates.lot.columns import COLUMNS, inputs, results
from tarelot.workbook_templates.lot.results import Numbers, OptionList, lot_results, numbers_of
from tarelot.workbook_templates.lot.written import CONFLICT

if TYPE_CHECKING:
    import pandas

ROW = "row"
"""Name of the index: the sheet's row of each trailer."""
TEXT = ("text", "verdict", "check text", "date")
"""Kinds of columns whose cells are no numbers."""
NUMBER_TYPE, TEXT_TYPE = "float64", "object"
NO_NUMBER = "#NUM!"
"""What a cell shows in place of a number that it cannot hold."""


def _parted(heading: str) -> tuple[str, str]:
    """A heading without its unit, and the unit.

    >>> _parted("Deck length (ft)"), _parted("Axles")
    (('Deck length', 'ft'), ('Axles', ''))
    """
    name, _, unit = heading.partition(" (")
    return name, unit.removesuffix(")")


def _key(heading: str) -> str:
    """The key of a column.

    >>> _key("Tie-down points"), _key("Stock no."), _key("GVWR (lb)")
    ('tie_down_points', 'stock_no', 'gvwr')
    """
    return re.sub(r"\W+", "_", _parted(heading)[0].lower()).strip("_")


ENTRIES: tuple[str, ...] = tuple(_key(column.heading) for column in inputs())
"""Keys of what a person types, in the order of the sheet."""
RESULTS: dict[str, str] = {
    _key(column.heading): TEXT_TYPE if column.kind in TEXT else NUMBER_TYPE for column in results()
}
"""Keys of the results in the order of the sheet, each with its dtype, whatever rows there are."""


def read_lot(path: Path | str) -> pandas.DataFrame:
    """A lot workbook's trailers, a row each: what a person typed, and the results calculated anew from it.

    Args:
        path: The workbook, ``.xlsx`` or ``.xlsm``.

    Returns:
        Columns by key, such as ``gvwr``, those that the workbook still has; the index is the sheet's row. A blank is
        missing, a number a float, a day a ``datetime.date``, an error value its text, such as ``#NUM!``. ``attrs``
        holds ``units``, the unit of each key that has one, and ``headings``, the heading of each key; and, for
        :func:`add_results`, ``system``, ``options`` and ``limits``.

    Raises:
        ImportError: pandas is not installed.
        LotError: The workbook cannot be read, or is no lot.
    """
    import_pandas("read_lot")
    import pandas

    lot = reading.read_lot(Path(path))
    found = lot_results([row.values for row in lot.rows], lot.options, lot.units, lot.limits)
    rows = [{**row.values, **result} for row, result in zip(lot.rows, found, strict=True)]
    columns = {}
    for column in COLUMNS:
        heading = lot.units.heading(column.heading)
        if heading in lot.columns:
            key, values = _key(heading), [_missing_as_none(row.get(heading)) for row in rows]
            kind = RESULTS.get(key) or _type_of(values, is_text=column.kind in TEXT)
            columns[key] = pandas.Series(values, dtype=kind)  # type: ignore[call-overload]
    frame = pandas.DataFrame(columns)
    frame.index = pandas.Index([row.number for row in lot.rows], name=ROW)
    frame.attrs = {**_said_of(columns, lot.units), "options": lot.options, "limits": lot.limits}
    return frame


def add_results(
    frame: pandas.DataFrame,
    *,
    units: str,
    options: OptionList = (),
    limits: Mapping[str, object] | None = None,
    known: Numbers | None = None,
    duplicates: bool = True,
) -> pandas.DataFrame:
    """The Lot's results for the trailers of a DataFrame, a row each, as the workbook has them.

    Each row's results come from that row alone, so that a frame may be cut into any parts and worked out part by part,
    except for ``duplicate``: whether a stock number or VIN stands twice is asked of all rows. Of one part it is asked
    rightly with ``known``, the numbers of all parts; without them it is asked of the rows of this frame alone. With
    ``duplicates=False`` it is not asked, and stands under ``not_checked``; ``conflicts``, ``what_conflicts`` and
    ``entry_check``, which tell of it, then do so no more.

    Args:
        frame: The trailers, such as ``read_lot`` gives them: every column of ``ENTRIES`` is there. A blank is None,
            NaN, NA or ``""``; what the sheet would refuse is refused in ``entry_check``. Others stay as they are.
        units: ``us`` (lb, in, ft) or ``metric`` (kg, mm, m), never guessed: kg taken for lb would make a wrong rating.
        options: Rows of the Options sheet: name, weight, and who fits it (``maker`` if left out).
        limits: By key of ``calc/rules/limits.py`` a number in these units, ``off``, or both cells of the Limits sheet,
            as ``read_lot(...).attrs["limits"]`` has them; ours where left out.
        known: What :func:`stock_numbers` says of all rows, those of this frame among them.
        duplicates: Whether to ask for numbers that stand twice.

    Returns:
        A new frame with the same index. The frame's columns stand as they were; results that it lacks come behind them
        in the order of ``RESULTS``, and those that it has are replaced. Their dtypes are those of ``RESULTS``, also
        without any row: float64 with NaN for a blank, or object with texts and None for a blank.

    Raises:
        ImportError: pandas is not installed.
        TypeError: This is no DataFrame, options are no such rows, or a cell holds what no sheet's cell can, such as a
            list.
        ValueError: Columns are missing or stand twice; units or a limit that are not known; ``known`` lacks a number
            of this frame.

    Warns:
        UserWarning: A limit is not within its bounds, so that ours is used, as on the sheet.
    """
    import_pandas("add_results")
    import pandas

    system = _system(units, frame)
    rows = _rows(frame, ENTRIES, system)
    if known is not None:
        _refuse_unknown_numbers(known, rows, system, is_asked=duplicates)
    found = lot_results(
        rows,
        _options(options),
        system,
        _limits(limits, system),
        numbers=known,
        asks_repeated=duplicates,
    )
    headings = {key: heading for key, heading in _headings(system).items() if key in RESULTS}
    worked_out = pandas.DataFrame(
        {
            key: pandas.Series([_missing_as_none(row[heading]) for row in found], frame.index, dtype=RESULTS[key])
            for key, heading in headings.items()
        },
        index=frame.index,
    )
    kept = frame.drop(columns=[key for key in RESULTS if key in frame.columns])
    order = [*frame.columns, *(key for key in RESULTS if key not in frame.columns)]
    made = pandas.concat([kept, worked_out], axis="columns")[order]
    made.attrs = {**frame.attrs, **_said_of(order, system)}
    return made


def stock_numbers(frame: pandas.DataFrame) -> Numbers:
    """How often each stock number and VIN stands in a frame with the columns ``stock_no`` and ``vin``.

    Of all rows together, for :func:`add_results` of one part of them; counts of parts may be added
    (``Numbers(a.stock + b.stock, a.vin + b.vin)``).

    Raises:
        ImportError: pandas is not installed.
        TypeError: This is no DataFrame, or a cell holds what no sheet's cell can.
        ValueError: A column is missing or stands twice.
    """
    import_pandas("stock_numbers")
    system = SYSTEMS["us"]  # numbers have no unit
    return numbers_of(_rows(frame, ("stock_no", "vin"), system), system)


def import_pandas(asked: str) -> None:
    """Refuse in one line what needs pandas where it is not installed."""
    try:
        import pandas  # noqa: F401 - only whether it is there
    except ModuleNotFoundError as error:
        if error.name != "pandas":
            raise
        raise ImportError(f"{asked} needs pandas: pip install pandas, or Tarelot with its part [pandas]") from error


def _headings(units: Units) -> dict[str, str]:
    """The heading of each key."""
    return {_key(column.heading): units.heading(column.heading) for column in COLUMNS}


def _said_of(keys: Collection[object], units: Units) -> dict[Hashable, object]:
    """What a frame's ``attrs`` say of its columns."""
    headings = {key: heading for key, heading in _headings(units).items() if key in keys}
    stated = {key: _parted(heading)[1] for key, heading in headings.items()}
    return {"system": units.name, "units": {key: unit for key, unit in stated.items() if unit}, "headings": headings}


def _missing_as_none(held: object) -> object:
    return None if held == "" else held


def _type_of(values: Sequence[object], *, is_text: bool) -> str:
    """The dtype that holds what a person typed: floats where all are numbers."""
    is_number = not is_text and all(value is None or isinstance(value, int | float) for value in values)
    return NUMBER_TYPE if is_number else TEXT_TYPE


def _system(units: str, frame: pandas.DataFrame) -> Units:
    """The units of a frame."""
    import pandas

    if not isinstance(frame, pandas.DataFrame):
        raise TypeError(f"a pandas DataFrame is wanted, not {type(frame).__name__}")
    if units not in SYSTEMS:
        raise ValueError(f"units are {' or '.join(SYSTEMS)}, not {units!r}")
    read = frame.attrs.get("system", units)
    if read != units:
        raise ValueError(f"the frame was read from a lot in {read} units, not {units}")
    return SYSTEMS[units]


def _rows(frame: pandas.DataFrame, keys: Sequence[str], units: Units) -> list[dict[str, object]]:
    """Inputs by heading, as cells hold them, a mapping for each row."""
    import pandas

    if not isinstance(frame, pandas.DataFrame):
        raise TypeError(f"a pandas DataFrame is wanted, not {type(frame).__name__}")
    if not frame.columns.is_unique:
        raise ValueError(f"columns stand twice: {', '.join(map(str, frame.columns[frame.columns.duplicated()]))}")
    if lacking := [key for key in keys if key not in frame.columns]:
        raise ValueError(f"columns are missing: {', '.join(lacking)}; add those without figures as blank ones")
    headings = _headings(units)
    columns = {headings[key]: _held_in(frame[key], key) for key in keys}
    return [dict(zip(columns, row, strict=True)) for row in zip(*columns.values(), strict=True)]


def _held_in(column: pandas.Series, key: str) -> list[object]:
    """A column's values as cells hold them."""
    held = []
    for place, found in zip(column.index, column.tolist(), strict=True):
        try:
            held.append(_held(found))
        except TypeError as error:
            raise TypeError(f"{key}, row {place}: {error}") from None
    return held


def _held(found: object) -> object:
    """A value as a cell holds it; a whole number too great for a float, and infinity, is an error there."""
    import numpy
    import pandas

    if found is None or found is pandas.NA or found is pandas.NaT:
        return None
    if isinstance(found, str):
        return str(found) or None
    if isinstance(found, numpy.bool_ | numpy.number):
        return _held(found.item())
    if isinstance(found, bool):
        return found
    if isinstance(found, numbers.Real | Decimal):
        return _number(found)
    if isinstance(found, pandas.Timestamp):
        found = found.to_pydatetime()
    if isinstance(found, datetime.datetime):
        return found.date() if found.time() == datetime.time() else found
    if isinstance(found, datetime.date | datetime.time | datetime.timedelta):
        return found
    raise TypeError(f"{type(found).__name__} is nothing that a cell holds")


def _number(found: numbers.Real | Decimal) -> float | str | None:
    """A number, None for none, or what a cell shows where it is too great."""
    try:
        as_float = float(found)
    except OverflowError:
        return NO_NUMBER
    if math.isnan(as_float):
        return None
    return NO_NUMBER if math.isinf(as_float) else as_float


def _options(options: OptionList) -> list[tuple[object, ...]]:
    """Rows of the Options sheet as cells hold them."""
    wanted = (
        "options are rows of a name, a weight, who fits it, its price and place, such as (('Spare tire', 120, 'yard'),)"
    )
    if isinstance(options, str) or not isinstance(options, Sequence):
        raise TypeError(f"{wanted}, not {type(options).__name__}")
    for row in options:
        if isinstance(row, str) or not isinstance(row, Sequence) or len(row) not in range(2, 6):
            raise TypeError(f"{wanted}, not {row!r}")
    return [tuple(map(_held, row)) for row in options]


def _limits(limits: Mapping[str, object] | None, units: Units) -> Typed | None:
    """What is typed on the Limits sheet, with a warning of what the sheet would not take."""
    typed: dict[str, tuple[object, object]] = {}
    for key, given in (limits or {}).items():
        if key not in BY_KEY:
            raise ValueError(f"no limit is named {key}: there are {', '.join(BY_KEY)}")
        if isinstance(given, tuple | list) and len(given) == 2:
            typed[key] = _held(given[0]), _held(given[1])
        else:
            typed[key] = (None, OFF) if given == OFF else (_held(given), None)
        said = str(value(done_expression(BY_KEY[key], units), cells_of(BY_KEY[key], units, *typed[key])))
        if said.startswith(CONFLICT):
            warnings.warn(f"limit {key}: {said.removeprefix(CONFLICT).strip()}", UserWarning, stacklevel=3)
    return typed or None


def _refuse_unknown_numbers(
    known: Numbers, rows: Sequence[Mapping[str, object]], units: Units, *, is_asked: bool
) -> None:
    """Refuse counts that cannot be those of all rows."""
    if not is_asked:
        raise ValueError("known is what duplicates are looked for in, and duplicates=False asks for none")
    for name, own, all_of_them in zip(("stock number", "VIN"), numbers_of(rows, units), known, strict=True):
        lacking = next((text for text, count in own.items() if text and all_of_them[text] < count), None)
        if lacking is not None:
            raise ValueError(
                f"known lacks the {name} {lacking} of this frame: it is to be the stock_numbers of all rows, these too"
            )
