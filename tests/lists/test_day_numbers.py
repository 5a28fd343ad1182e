"""Days and columns as cells count them, against openpyxl."""

from __future__ import annotations

import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl.utils import column_index_from_string, get_column_letter
from openpyxl.utils.datetime import to_excel

from tarelot.calc.columns import LAST_COLUMN, column_letters, column_number
from tarelot.workbook_templates.basis.day_numbers import day_number

MOMENTS = (
    st.dates(min_value=datetime.date(1899, 12, 31))
    | st.datetimes(min_value=datetime.datetime(1899, 12, 31))
    | st.times()
    | st.timedeltas(min_value=datetime.timedelta(0), max_value=datetime.timedelta(days=400))
)


@given(MOMENTS)
def test_day_numbers(moment: datetime.date | datetime.time | datetime.timedelta) -> None:
    assert day_number(moment) == pytest.approx(to_excel(moment), rel=1e-15, abs=1e-15)


@pytest.mark.parametrize("day", ["1899-12-31", "1900-01-01", "1900-02-28", "1900-03-01", "1900-03-02", "9999-12-31"])
def test_days_about_the_leap_day_that_never_was(day: str) -> None:
    date = datetime.date.fromisoformat(day)
    assert day_number(date) == to_excel(date)


def test_every_column() -> None:
    for number in range(1, LAST_COLUMN + 1):
        letters = get_column_letter(number)
        assert column_letters(number) == letters
        assert column_number(letters.encode()) == column_index_from_string(letters) == number
