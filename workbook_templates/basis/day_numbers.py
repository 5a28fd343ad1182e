"""Dates and times as a cell holds them: numbers of days."""

from __future__ import annotations

import datetime

FIRST_DAY = datetime.date(1899, 12, 30)
"""Day 0 of the usual count; the other one begins on 1904-01-01 (ECMA-376 part 1, 18.17.4.1)."""
LEAP_DAY_THAT_NEVER_WAS = 60
"""The usual count has a February 29 in 1900: days before it are numbered one lower than from ``FIRST_DAY``."""
SECONDS_PER_DAY = 86_400


def day_number(moment: datetime.date | datetime.time | datetime.timedelta) -> float:
    """The number of days that a cell holds for a date, a time of day or a duration.

    >>> day_number(datetime.date(2026, 3, 5)), day_number(datetime.time(18)), day_number(datetime.date(1900, 1, 1))
    (46086.0, 0.75, 1.0)
    """
    if isinstance(moment, datetime.timedelta):
        return moment.total_seconds() / SECONDS_PER_DAY
    if isinstance(moment, datetime.time):
        return _share_of_day(moment)
    days = moment.toordinal() - FIRST_DAY.toordinal()
    if 0 < days <= LEAP_DAY_THAT_NEVER_WAS:
        days -= 1
    return days + (_share_of_day(moment) if isinstance(moment, datetime.datetime) else 0.0)


def _share_of_day(clock: datetime.time | datetime.datetime) -> float:
    return (clock.hour * 3600 + clock.minute * 60 + clock.second + clock.microsecond / 1e6) / SECONDS_PER_DAY
