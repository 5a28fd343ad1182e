"""Reads a lot workbook back, whatever a person added, moved, sorted or deleted in it.

The table named Lot is found wherever it stands, its columns by their headings, its units from the headings.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from openpyxl.utils.datetime import CALENDAR_MAC_1904, CALENDAR_WINDOWS_1900, from_excel, to_excel
from python_calamine import CalamineError, CalamineWorkbook

from tarelot.calc.columns import column_letters
from tarelot.workbook_templates.basis import limits
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.lot import options as options_sheet
from tarelot.workbook_templates.lot.column import Input
from tarelot.workbook_templates.lot.columns import COLUMNS, TABLE, inputs
from tarelot.workbook_templates.lot.held.lot import Lot, LotError, NoLot, Value
from tarelot.workbook_templates.lot.held.rows import (
    Read,
    limits_of,
    missing_of,
    options_of,
    trailers,
    units_of,
)
from tarelot.workbook_templates.ooxml.reading import Package
from tarelot.workbook_templates.ooxml.sheet_xml import Row, SheetXml
from tarelot.workbook_templates.ooxml.splice import PackageError
from tarelot.workbook_templates.ooxml.table_rows import Table, all_tables

__all__ = ["LotError", "LotSheet", "NoLot", "Value", "file_stamp", "read_lot", "read_sheet", "read_table"]

Errors = dict[tuple[int, str], str]
"""Error values by row and heading."""

# An error, or a number's formula without a stored result: calamine gives both as blanks.
_HIDDEN = re.compile(
    rb"<(?:\w+:)?c\s[^>]*\bt=[\"']e|<(?:\w+:)?c\s(?![^>]*\bt=[\"'][^n])[^>]*>\s*<(?:\w+:)?f(?:[^<]*</(?:\w+:)?f>|[^>]*/>)\s*"
    rb"(?:<(?:\w+:)?v[^>]*/>|<(?:\w+:)?v[^>]*></(?:\w+:)?v>)?\s*</(?:\w+:)?c>"
)
# A cell with a formula, and its column's letters if it says them.
_FORMULA_CELL = re.compile(rb"<(?:\w+:)?c\b(?:\s[^>]*?\br=\"([A-Z]+)[0-9]+\")?[^>]*>\s*<(?:\w+:)?f[\s>/]")
_CALL_BY_NAME = b"LOT_PAYLOAD("


@dataclass(frozen=True, kw_only=True)
class LotSheet(Lot):
    """The lot as a workbook's file holds it.

    Attributes:
        path: The workbook.
        table: The table.
        stamp: The file's time and size when it was read.
        by_name: Whether its cells call the add-in's functions by name.
    """

    path: Path
    table: Table
    stamp: tuple[int, int]
    by_name: bool = False


def read_lot(path: Path, *, proven: bool = False, lenient: bool = False) -> LotSheet:
    """Read a lot workbook, ``.xlsx`` or ``.xlsm``.

    Args:
        path: The workbook.
        proven: Whether it was just made here out of one that was read: what harms readers is not looked for again.
        lenient: Whether one whose table Options, or a column of it, is gone is read too, to be mended.

    Raises:
        LotError: It cannot be read, has no table named Lot or Options, its units are not certain, or a cell that a
            result needs holds a formula whose result was never stored.
    """
    if path.suffix.lower() == ".ods":
        raise LotError(f"{path.name} is an .ods file: save it as .xlsx")
    stamp = file_stamp(path)
    with _named_errors(path), Package(path) as package:
        if not proven:
            package.prove()
        tables = all_tables(package)
        lot = _named(tables, TABLE, path)
        is_there = any(table.name.casefold() == options_sheet.TABLE.casefold() for table in tables)
        options = _named(tables, options_sheet.TABLE, path) if is_there or not lenient else None
        units = units_of([*lot.columns, *(options.columns if options else ())], path.name)
        has_limits = any(sheet.name == limits.SHEET for sheet in package.sheets)
        if has_limits:
            SheetXml(package.text(package.sheet(limits.SHEET).part), limits.SHEET, prove=not proven)
        found = [
            _looked_through(
                _sheet(package, table, prove=not proven), table, _typed(table, units), _own(table, units), path
            )
            for table in (lot, options)
            if table
        ]
        # Only now is all that it reads proven.
        cells = _Cells(path, package.from_1904)
    errors, formulas, by_name = found[0]
    rows, blank_rows = trailers(cells.below(lot), lot.columns, units, formulas, cells.reader(errors))
    typed = _typed(lot, units)
    first = lot.area.first_column
    return LotSheet(
        name=path.name,
        path=path,
        units=units,
        rows=rows,
        options=options_of(cells.below(options), options.columns, units, cells.reader(found[1][0]), lenient=lenient)
        if options
        else [],
        limits=limits_of(cells.whole_sheet(limits.SHEET), lambda cell: cells.value(cell, None)) if has_limits else None,
        sheet=lot.sheet,
        columns={heading: column_letters(place) for place, heading in enumerate(lot.columns, first)},
        missing=missing_of(lot.columns, units),
        blank_rows=blank_rows,
        first_row=lot.first_row,
        last_row=lot.last_row,
        waits=lot.waiting,
        table=lot,
        stamp=stamp,
        formulas=frozenset((number, heading) for number, heading in formulas if heading in typed),
        by_name=by_name,
    )


def read_table(path: Path, name: str, known: Mapping[str, Input] | None = None) -> list[dict[str, Value]]:
    """The rows of a table of a workbook, by heading; an error is its name, and what was never calculated a blank.

    Args:
        path: The workbook.
        name: The table.
        known: Our inputs in it by heading, where a date is to be one.

    Raises:
        LotError: The workbook cannot be read, or has no such table.
    """
    with _named_errors(path), Package(path) as package:
        package.prove()
        table = next((one for one in all_tables(package) if one.name.casefold() == name.casefold()), None)
        if table is None:
            raise LotError(f"{path.name} has no table named {name}: was it made by an older version?")
        errors, _, _ = _looked_through(_sheet(package, table, prove=True), table, (), (), path)
        cells = _Cells(path, package.from_1904)
    rows = []
    for number, found in cells.below(table):
        row = dict(zip(table.columns, found, strict=True))
        rows.append(
            {
                heading: errors.get((number, heading)) or cells.value(row[heading], (known or {}).get(heading))
                for heading in row
            }
        )
    return rows


def read_sheet(path: Path, name: str) -> dict[tuple[int, int], Value]:
    """What the cells of a sheet hold, by row and column; those of formulas what they came to, blanks left out.

    Raises:
        LotError: The sheet cannot be read.
    """
    with _named_errors(path), Package(path) as package:
        cells = _Cells(path, package.from_1904)
    return {
        (row, place): cells.value(cell, None)
        for row, found in enumerate(cells.whole_sheet(name), 1)
        for place, cell in enumerate(found, 1)
        if cell not in ("", None)
    }


@contextmanager
def _named_errors(path: Path) -> Iterator[None]:
    """What cannot be read of the workbook, as an error of a lot that names it."""
    try:
        yield
    except PackageError as error:
        said = str(error)
        raise LotError(said if path.name in said else f"{path.name}: {said}") from error


def file_stamp(path: Path) -> tuple[int, int]:
    """A file's time and size."""
    try:
        state = path.stat()
    except OSError as error:
        raise LotError(f"{path.name} cannot be read: {error.strerror}") from error
    return state.st_mtime_ns, state.st_size


def _named(tables: Sequence[Table], name: str, path: Path) -> Table:
    for table in tables:
        if table.name.casefold() == name.casefold():
            return table
    kind = NoLot if name == TABLE else LotError
    raise kind(f"{path.name} has no table named {name}: is it a workbook made by tarelot new or tarelot demo?")


def _typed(table: Table, units: Units) -> list[str]:
    """Headings whose cells results are made from."""
    if table.name.casefold() == TABLE.casefold():
        ours = {units.heading(column.heading) for column in inputs()}
        return [heading for heading in table.columns if heading in ours]
    return [
        heading for heading in table.columns if heading in map(units.heading, (h for h, _ in options_sheet.COLUMNS))
    ]


def _own(table: Table, units: Units) -> list[str]:
    """Headings of the Lot's columns that are a person's own."""
    if table.name.casefold() != TABLE.casefold():
        return []
    ours = {units.heading(column.heading) for column in COLUMNS}
    return [heading for heading in table.columns if heading not in ours]


class _Cells:
    """The workbook's values, a sheet at a time."""

    def __init__(self, path: Path, from_1904: bool) -> None:
        self.epoch = CALENDAR_MAC_1904 if from_1904 else CALENDAR_WINDOWS_1900
        self._path = path
        try:
            self._book = CalamineWorkbook.from_path(path)
        except CalamineError as error:
            raise LotError(f"{path.name} cannot be read: {error}") from error

    def below(self, table: Table) -> Iterator[tuple[int, list[object]]]:
        """Row numbers and cells of the rows below a table's headings."""
        rows = self.whole_sheet(table.sheet)
        first, width = table.area.first_column - 1, len(table.columns)
        for number in range(table.first_row, table.last_row + 1):
            cells: list[object] = list(rows[number - 1][first : first + width]) if number <= len(rows) else []
            yield number, cells + [""] * (width - len(cells))

    def whole_sheet(self, name: str) -> list[list[object]]:
        """All cells of a sheet, row by row."""
        try:
            return self._book.get_sheet_by_name(name).to_python(skip_empty_area=False)  # type: ignore[return-value]
        except CalamineError as error:
            raise LotError(f"{self._path.name}: the sheet {name} cannot be read: {error}") from error

    def reader(self, errors: Errors) -> Read:
        """What the cells of a table hold that has these errors."""
        return lambda number, heading, cell, column: errors.get((number, heading)) or self.value(cell, column)

    def value(self, cell: object, column: Input | None) -> Value:
        """A cell as the spreadsheet calculates with it: a date is a date only in a column of dates."""
        if cell == "" or cell is None:
            return None
        if isinstance(cell, str | bool):
            return cell
        if column is not None and column.kind == "date":
            return self._date(cell)
        if isinstance(cell, datetime.date | datetime.time | datetime.timedelta):
            return self._serial(cell)
        if isinstance(cell, int | float):
            return cell
        raise LotError(f"{self._path.name}: a cell holds {cell!r}, which is not known")

    def _serial(self, cell: datetime.date | datetime.time | datetime.timedelta) -> float:
        return float(to_excel(cell, self.epoch))  # type: ignore[no-untyped-call]

    def _date(self, cell: object) -> Value:
        if isinstance(cell, datetime.datetime):
            return cell.date() if cell.time() == datetime.time() else cell
        if isinstance(cell, int | float) and 1 <= cell < 2_958_466:  # 9999-12-31
            found = from_excel(cell, self.epoch)
            return self._date(found) if isinstance(found, datetime.datetime) else float(cell)
        if isinstance(cell, datetime.time | datetime.timedelta):
            return self._serial(cell)
        return cell if isinstance(cell, datetime.date | int | float) else None


def _sheet(package: Package, table: Table, *, prove: bool) -> SheetXml:
    return SheetXml(package.text(package.sheet(table.sheet).part), table.sheet, prove=prove)


def _looked_through(
    sheet: SheetXml, table: Table, typed: Sequence[str], own: Sequence[str], path: Path
) -> tuple[Errors, frozenset[tuple[int, str]], bool]:
    """By row and heading of a table: its cells' errors, what is typed or own and a formula; whether it calls by name.

    A cell is looked at only where its row's text shows that there is something to find.
    """
    first = table.area.first_column
    places = dict(enumerate(table.columns, first))
    letters = {column_letters(column).encode() for column, heading in places.items() if heading in typed}
    own_letters = {column_letters(column).encode(): heading for column, heading in places.items() if heading in own}
    looked_at = {*typed, *own}
    errors: Errors = {}
    formulas: set[tuple[int, str]] = set()
    by_name = False
    for number, row in sheet.rows.items():
        if not table.first_row <= number <= table.last_row:
            continue
        written = sheet.data[row.start : row.end]
        by_name = by_name or _CALL_BY_NAME in written
        if _HIDDEN.search(written):
            errors |= {(number, heading): error for heading, error in _hidden(sheet, row, places, typed, path)}
        calculated = [found[1] for found in _FORMULA_CELL.finditer(written)]
        formulas.update((number, own_letters[letter]) for letter in calculated if letter in own_letters)
        if any(letter is None or letter in letters for letter in calculated):
            cells = (cell for cell in sheet.cells(row) if places.get(cell.column) in looked_at)
            formulas.update((number, places[cell.column]) for cell in cells if sheet.formula(cell) is not None)
    return errors, frozenset(formulas), by_name


def _hidden(
    sheet: SheetXml, row: Row, places: Mapping[int, str], typed: Sequence[str], path: Path
) -> Iterator[tuple[str, str]]:
    """The errors in a row's cells, by heading. A formula never calculated is refused where it is an input."""
    for cell in sheet.cells(row):
        heading = places.get(cell.column)
        if heading is None or not _HIDDEN.search(sheet.data[cell.start : cell.end]):
            continue
        stored = sheet.stored(cell)
        if stored is not None:
            yield heading, stored.decode()
        elif heading in typed:
            place = f"{sheet.name}!{column_letters(cell.column)}{row.number}"
            raise LotError(f"{path.name}: {place} holds a formula without a stored result: open and save the file")
