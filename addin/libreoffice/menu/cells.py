"""What cells of an open sheet hold, as Python values: errors by their name, TRUE as True, dates as dates if asked."""

from __future__ import annotations

import datetime
import math
from collections.abc import Iterator, Sequence
from typing import Any

from com.sun.star.lang import Locale  # type: ignore[import-not-found]

from tarelot.addin.libreoffice.menu.names import MenuError
from tarelot.addin.libreoffice.names import CODES
from tarelot.workbook_templates.basis.day_numbers import day_number
from tarelot.workbook_templates.lists.number_formats import shown
from tarelot.workbook_templates.updates.fields import SAME_WITHIN

ERROR_RESULT = 4
"""com.sun.star.sheet.FormulaResult.ERROR"""
DATE, TIME, LOGICAL = 2, 4, 1024
"""com.sun.star.util.NumberFormat"""
FORMULAS = 16
"""com.sun.star.sheet.CellFlags.FORMULA"""
ISO_DATE = 84
"""com.sun.star.i18n.NumberFormatIndex.DATE_DIN_YYYYMMDD"""
CONTENTS = 1 | 2 | 4 | 16
"""com.sun.star.sheet.CellFlags: numbers, dates, texts and formulas; notes and the look of a cell stay."""
NAMES = {code: name for name, code in CODES.items()}
OTHER_ERROR = "#VALUE!"
"""What the errors that only LibreOffice has, as Err:502, are called in other programs."""

Cell = tuple[int, int]
"""Row and column within a range, counted from 0."""


def used_cells(sheet: Any) -> Any:
    """The range from A1 to the last used cell of a sheet."""
    cursor = sheet.createCursor()
    cursor.gotoEndOfUsedArea(False)
    end = cursor.getRangeAddress()
    return sheet.getCellRangeByPosition(0, 0, end.EndColumn, end.EndRow)


def cell_values(document: Any, cells: Any) -> list[list[Any]]:
    """The values of a range, row by row: numbers, texts, truths, an empty text for a blank, errors as their names."""
    values = [list(row) for row in cells.getDataArray()]
    for row, column in error_cells(cells):
        values[row][column] = NAMES.get(cells.getCellByPosition(column, row).getError(), OTHER_ERROR)
    for form, places in _formats(document, cells):
        if form.Type & LOGICAL:
            for row, column in places:
                if isinstance(values[row][column], float):
                    values[row][column] = bool(values[row][column])
    return values


def list_values(document: Any, cells: Any) -> list[list[Any]]:
    """The same with dates and times for numbers that are shown so, and texts for those as 01107 or 14K lb.

    Args:
        document: The document, which says what day its numbers count from.
        cells: The range.
    """
    values = cell_values(document, cells)
    first_day = first_day_of(document)
    for form, places in _formats(document, cells):
        pattern = _pattern(document, form) if not form.Type & (DATE | TIME | LOGICAL) else ""
        for row, column in places:
            value = values[row][column]
            if not isinstance(value, float):
                continue
            if form.Type & (DATE | TIME):
                values[row][column] = _moment(value, first_day, has_date=bool(form.Type & DATE))
            elif pattern:
                values[row][column] = shown(value, pattern)
    return values


def first_day_of(document: Any) -> datetime.date:
    """The day from which a document's numbers of days count."""
    null = document.getPropertyValue("NullDate")
    return datetime.date(null.Year, null.Month, null.Day)


def date_of(number: float, first_day: datetime.date) -> datetime.date | float:
    """The date that a number of days is, with its time of day where it has one; the number where it is no date."""
    try:
        moment = datetime.datetime.combine(first_day, datetime.time()) + datetime.timedelta(
            days=int(number), milliseconds=round(number % 1 * 86_400_000)
        )
    except OverflowError:
        return number
    return moment.date() if moment.time() == datetime.time() else moment


def put(document: Any, cell: Any, value: Any) -> None:
    """Put a value into a cell as it is: a text never becomes a formula or a number, a date is shown as one."""
    if value is None:
        cell.clearContents(CONTENTS)
    elif isinstance(value, str):
        cell.setString(value)
    elif isinstance(value, bool):
        cell.setFormula("=TRUE()" if value else "=FALSE()")
    elif isinstance(value, (datetime.date, datetime.time)):
        kind = TIME if isinstance(value, datetime.time) else DATE
        share = 0 if type(value) is datetime.date else day_number(value) % 1
        days = 0 if kind == TIME else value.toordinal() - first_day_of(document).toordinal()  # type: ignore[union-attr]
        cell.setValue(days + share)
        formats = document.getNumberFormats()
        if not formats.getByKey(cell.NumberFormat).Type & kind:
            is_day = type(value) is datetime.date
            locale = cell.CharLocale
            cell.NumberFormat = (
                formats.getFormatIndex(ISO_DATE, locale)
                if is_day
                else formats.getStandardFormat(kind if kind == TIME else DATE | TIME, locale)
            )
    else:
        cell.setValue(value)


def put_below(document: Any, cells: Any, values: Sequence[Any], *, one_by_one: bool) -> None:
    """Put values into the cells of one column, and look whether the cells hold them.

    At once where it can be, for each write is a part of the step of the undo, and LibreOffice takes thousands of them
    back for minutes. What was blank before a write of several cells is not blank after its undo, though.

    Args:
        document: The document.
        cells: The cells.
        values: Their new values.
        one_by_one: Whether one was blank that an undo must leave blank.

    Raises:
        MenuError: A cell does not take its value.
    """
    first_day = first_day_of(document)
    days = [v.toordinal() - first_day.toordinal() if isinstance(v, datetime.date) else v for v in values]
    wanted = ["" if v is None else float(v) if isinstance(v, int) else v for v in days]
    if one_by_one:
        for place, value in enumerate(values):
            put(document, cells.getCellByPosition(0, place), value)
    else:
        cells.setDataArray(tuple((value,) for value in wanted))
    for place, (value, (held,)) in enumerate(zip(wanted, cells.getDataArray(), strict=True)):
        is_same = held == value or (
            isinstance(value, float) and isinstance(held, float) and math.isclose(held, value, rel_tol=SAME_WITHIN)
        )
        if not is_same:
            name = cells.getCellByPosition(0, place).AbsoluteName.replace("$", "")
            raise MenuError(f"{name} does not take {value!r}: nothing was done.")
    if any(isinstance(value, datetime.date) for value in values):
        formats = document.getNumberFormats()
        groups = cells.getUniqueCellFormatRanges()
        for group in (groups.getByIndex(place) for place in range(groups.getCount())):
            if not formats.getByKey(group.NumberFormat).Type & DATE:
                group.NumberFormat = formats.getFormatIndex(ISO_DATE, group.CharLocale)


def error_cells(cells: Any) -> Iterator[Cell]:
    """Where in a range errors stand."""
    return _cells_in(cells, cells.queryFormulaCells(ERROR_RESULT).getRangeAddresses())


def formula_cells(cells: Any) -> Iterator[Cell]:
    """Where in a range formulas stand."""
    return _cells_in(cells, cells.queryContentCells(FORMULAS).getRangeAddresses())


def _moment(number: float, first_day: datetime.date, *, has_date: bool) -> Any:
    if not has_date and 0 <= number < 1:
        return (datetime.datetime.min + datetime.timedelta(milliseconds=round(number * 86_400_000))).time()
    return date_of(number, first_day) if number >= 1 else number


def _cells_in(cells: Any, addresses: Any) -> Iterator[Cell]:
    """The cells of a range that stand in some blocks of its sheet."""
    whole = cells.getRangeAddress()
    for block in addresses:
        for row in range(max(block.StartRow, whole.StartRow), min(block.EndRow, whole.EndRow) + 1):
            for column in range(max(block.StartColumn, whole.StartColumn), min(block.EndColumn, whole.EndColumn) + 1):
                yield row - whole.StartRow, column - whole.StartColumn


def _formats(document: Any, cells: Any) -> Iterator[tuple[Any, Iterator[Cell]]]:
    """The number formats of a range, each with the cells that have it."""
    formats = document.getNumberFormats()
    groups = cells.getUniqueCellFormatRanges()
    for place in range(groups.getCount()):
        group = groups.getByIndex(place)
        yield formats.getByKey(group.NumberFormat), _cells_in(cells, group.getRangeAddresses())


def _pattern(document: Any, form: Any) -> str:
    """A number format's text as files hold it, whatever language it was made in."""
    if form.Locale.Language in ("", "en"):
        return str(form.FormatString)
    formats = document.getNumberFormats()
    key = formats.addNewConverted(form.FormatString, form.Locale, Locale("en", "US", ""))
    return str(formats.getByKey(key).FormatString)
