"""Dates that people type into a list, read where they can mean one day only."""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterable
from typing import Literal

from tarelot.workbook_templates.lists.quantities import LONGEST_TEXT, QuantityError, Value, tidy

DateOrder = Literal["mdy", "dmy"]

_MONTHS = (
    *("january", "february", "march", "april", "may", "june"),
    *("july", "august", "september", "october", "november", "december"),
)
_MONTH_NUMBERS = {word: n for n, name in enumerate(_MONTHS, 1) for word in (name, name[:3])} | {"sept": 9}
_TIME = r"(?:[t ] ?[0-9]{1,2}:[0-9]{2}(?::[0-9]{2}(?:\.[0-9]+)?)?(?: ?[ap]m)?(?: ?z|[+-][0-9]{2}:?[0-9]{2})?)?"
_YEAR_FIRST = re.compile(rf"([0-9]{{4}})([-/.]?)([0-9]{{1,2}})\2([0-9]{{1,2}}){_TIME}")
_NUMERIC_DATE = re.compile(rf"([0-9]{{1,2}})([-/.])([0-9]{{1,2}})\2([0-9]{{4}}|[0-9]{{2}}){_TIME}")
_DAY_MONTH = re.compile(rf"(?P<day>[0-9]{{1,2}})[ .-]*(?P<month>[a-z]+)\.?[ ,-]*(?P<year>[0-9]{{4}}|[0-9]{{2}}){_TIME}")
_MONTH_DAY = re.compile(rf"(?P<month>[a-z]+)\.? ?(?P<day>[0-9]{{1,2}})(?:st|nd|rd|th)?,? (?P<year>[0-9]{{4}}){_TIME}")


def _year(digits: str) -> int:
    """Two digits are read as POSIX strptime does: 69 to 99 are 1969 to 1999, the others 2000 to 2068."""
    return int(digits) + (0 if len(digits) == 4 else 1900 if int(digits) >= 69 else 2000)


def _date(year: int, month: int, day: int) -> datetime.date | None:
    try:
        return datetime.date(year, month, day)
    except ValueError:
        return None


def _readings(text: str) -> dict[str, datetime.date]:
    """Every date that `text` can mean, by the order of its parts."""
    if match := _YEAR_FIRST.fullmatch(text):
        found = {"": _date(int(match[1]), int(match[3]), int(match[4]))}
    elif match := _NUMERIC_DATE.fullmatch(text):
        first, second, last = match[1], match[3], match[4]
        found = {
            "mdy": _date(_year(last), int(first), int(second)),
            "dmy": _date(_year(last), int(second), int(first)),
        }
        if len(first) == len(last) == 2:
            found["ymd"] = _date(_year(first), int(second), int(last))
    elif (match := _DAY_MONTH.fullmatch(text) or _MONTH_DAY.fullmatch(text)) and match["month"] in _MONTH_NUMBERS:
        found = {"": _date(_year(match["year"]), _MONTH_NUMBERS[match["month"]], int(match["day"]))}
    else:
        found = {}
    return {order: date for order, date in found.items() if date is not None}


def date_order(values: Iterable[Value]) -> DateOrder | None:
    """The order of day and month that the unmistakable dates of a column show, or None if they show none or both."""
    readings = [
        _readings(tidy(v, "a date")) for v in values if isinstance(v, str) and 0 < len(v.strip()) <= LONGEST_TEXT
    ]
    shown = {order for found in readings if len(found) == 1 for order in found}
    if shown == {"mdy"}:
        return "mdy"
    return "dmy" if shown == {"dmy"} else None


def read_date(value: Value, *, order: DateOrder | None = None) -> datetime.date:
    """A date: a spreadsheet's date, ISO 8601, a date with the month in words, or numbers whose order is certain.

    Args:
        value: The cell; a time of day is dropped.
        order: Which of day and month comes first where both readings are possible, if that is known.

    Raises:
        QuantityError: No date, or one that can be read in two ways.

    >>> read_date("2024-05-03"), read_date("5/13/2024"), read_date("3 May 2024").month
    (datetime.date(2024, 5, 3), datetime.date(2024, 5, 13), 5)
    """
    expected = "a date such as 2024-05-31"
    if isinstance(value, datetime.datetime):
        return value.date()
    if isinstance(value, datetime.date):
        return value
    if isinstance(value, (int, float)):
        raise QuantityError(value, "is a plain number (format the cell as a date)", expected)
    readings = _readings(tidy(value, expected))
    if order in readings:
        return readings[order]
    dates = sorted(set(readings.values()))
    if not dates:
        raise QuantityError(value, "is not a date", expected)
    if len(dates) > 1:
        raise QuantityError(value, f"may mean {' or '.join(map(str, dates))}", expected)
    return dates[0]
