"""The lot as a pandas DataFrame, for those who ask it questions of their own. Needs ``tarelot[pandas]``."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from tarelot.workbook_templates.lot import reading
from tarelot.workbook_templates.lot.columns import COLUMNS
from tarelot.workbook_templates.lot.results import lot_results

if TYPE_CHECKING:
    import pandas

ROW = "row"
"""Name of the index: the sheet's row of each trailer."""
TEXT = ("text", "check text", "date")
"""Kinds of columns whose cells are no numbers."""


def read_lot(path: Path | str) -> pandas.DataFrame:
    """A lot workbook's trailers, a row each: what a person typed, and the results calculated anew from it.

    Args:
        path: The workbook, ``.xlsx`` or ``.xlsm``.

    Returns:
        Columns by key, such as ``gvwr``, those that the workbook still has; the index is the sheet's row. A blank is
        missing, a number a float, a day a ``datetime.date``, an error value its text, such as ``#NUM!``. ``attrs``
        holds ``units``, the unit of each key that has one, and ``headings``, the heading of each key.

    Raises:
        ImportError: pandas is not installed.
        LotError: The workbook cannot be read, or is no lot.
    """
    try:
        import pandas
    except ModuleNotFoundError as error:
        if error.name != "pandas":
            raise
        raise ImportError("read_lot needs pandas: pip install pandas, or Tarelot with its part [pandas]") from error
    lot = reading.read_lot(Path(path))
    found = lot_results([row.values for row in lot.rows], lot.options, lot.units, lot.limits)
    rows = [{**row.values, **result} for row, result in zip(lot.rows, found, strict=True)]
    columns, units, headings = {}, {}, {}
    for column in COLUMNS:
        heading = lot.units.heading(column.heading)
        if heading in lot.columns:
            name, unit = _parted(heading)
            key = _key(name)
            values = [row.get(heading) for row in rows]
            columns[key] = pandas.Series(*_typed(values, is_text=column.kind in TEXT))
            headings[key] = heading
            if unit:
                units[key] = unit
    frame = pandas.DataFrame(columns)
    frame.index = pandas.Index([row.number for row in lot.rows], name=ROW)
    frame.attrs = {"units": units, "headings": headings}
    return frame


def _parted(heading: str) -> tuple[str, str]:
    """A heading without its unit, and the unit.

    >>> _parted("Deck length (ft)"), _parted("Axles")
    (('Deck length', 'ft'), ('Axles', ''))
    """
    name, _, unit = heading.partition(" (")
    return name, unit.removesuffix(")")


def _key(name: str) -> str:
    """The key of a column.

    >>> _key("Tie-down points"), _key("Stock no.")
    ('tie_down_points', 'stock_no')
    """
    return re.sub(r"\W+", "_", name.lower()).strip("_")


def _typed(values: Sequence[object], *, is_text: bool) -> tuple[list[object], None, str]:
    """Values, no index, and the type that holds them: floats where all are numbers."""
    held = [None if value == "" else value for value in values]
    numbers = not is_text and all(value is None or isinstance(value, int | float) for value in held)
    return held, None, "float64" if numbers else "object"
