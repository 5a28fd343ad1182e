"""What Start says of a workbook that a person has worked in: rows below a table, lost headings, results typed over.

Hidden columns of Start ask each table and each column of results; three cells say what they found, in words.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from openpyxl.utils import get_column_letter, range_boundaries
from openpyxl.worksheet.worksheet import Worksheet

from tarelot.calc.cells.expression import Cell, Expression, Range, formula, lift
from tarelot.calc.cells.spreadsheet import (
    COUNTIF,
    IF,
    IFERROR,
    ISBLANK,
    ISERROR,
    LONGEST_LIST,
    MAX,
    MID,
    ROWS,
    SUMPRODUCT,
    joined,
)
from tarelot.workbook_templates.basis import style
from tarelot.workbook_templates.basis.asked_of_programs import IS_FORMULA, SUMIF, LastWhere
from tarelot.workbook_templates.basis.limits import DONE
from tarelot.workbook_templates.basis.references import LOWEST_ROW, Places, column_key, escaped, table_column
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling.asked import WRONG
from tarelot.workbook_templates.hauling.drive_on import sheet as drive_on
from tarelot.workbook_templates.hauling.match import columns as match
from tarelot.workbook_templates.hauling.what_if import rows as what_if
from tarelot.workbook_templates.lot import columns as lot
from tarelot.workbook_templates.lot import options
from tarelot.workbook_templates.lot import sheet as lot_sheet
from tarelot.workbook_templates.sheets import limits, list_sheet, machines, trucks
from tarelot.workbook_templates.sheets.tickets import columns as tickets

SHEET = "Start"
BELOW, LOST, TYPED_OVER = "B7", "B8", "B9"
"""Where it is said what is not counted, what is gone, and what is no formula any more."""
CELLS = (BELOW, LOST, TYPED_OVER)
COUNT_COLUMN, WORDS_COLUMN, SAID_COLUMN, FIRST_ROW = "L", "M", "O", 2
COLUMNS = (COUNT_COLUMN, WORDS_COLUMN, SAID_COLUMN)
"""Hidden: how much each line found, its words, and the same where they can be read, from this row on.

LibreOffice saves a deleted table's name as ``#NAME?``, which no function of the same formula takes.
"""
RESTORED = ". To put back: the command tarelot update."
READ_BY_OTHERS = (what_if.SHEET, match.SHEET, limits.SHEET, drive_on.SHEET)
"""Sheets without a list, of which others read cells: what stands there is lost with them."""
COUNT_CELL = "\0"
"""Stands for the cell of a line's count."""
UNKNOWN = "?"
"""What is typed over is not known: a program from before 2013, and some others, cannot tell a formula from what was
typed, and no program where its sheet is gone."""


@dataclass(frozen=True)
class Filled:
    """A table that a person fills: its sheet, its name, its headings, its first row, and what any row of it states."""

    sheet: str
    name: str
    headings: Sequence[str]
    first_row: int
    headings_of_any_row: Sequence[str]


def filled(units: Units) -> tuple[Filled, ...]:
    """The tables that a person fills."""
    of_any = ("Stock no.", "Make", "Model")
    found = [Filled(lot_sheet.SHEET, lot.TABLE, lot.headings(units), lot_sheet.FIRST_ROW, of_any)]
    for name, columns in ((machines.SHEET, machines.COLUMNS), (trucks.SHEET, trucks.COLUMNS)):
        headings = [units.heading(heading) for heading in (*(one.heading for one in columns), list_sheet.CHECK.heading)]
        found.append(Filled(name, name, headings, list_sheet.FIRST_ROW, headings[:2]))
    weighed = tickets.headings(units)
    found.append(Filled(tickets.SHEET, tickets.TABLE, weighed, lot_sheet.FIRST_ROW, (tickets.DATE, tickets.KEY)))
    headings = [units.heading(heading) for heading, _ in options.COLUMNS]
    return (*found, Filled(options.SHEET, options.TABLE, headings, options.FIRST_ROW, headings[:2]))


def below_lines(units: Units) -> Iterator[tuple[str, str]]:
    """The formulas of the count and of the words about what counts for nothing: rows below a table, limits refused."""
    for table in filled(units):
        places: dict[str, str] = {}
        under: list[Expression] = []
        for heading in table.headings_of_any_row:
            inside, down = Range(f"{heading} inside"), Range(f"{heading} down")
            letter = get_column_letter(table.headings.index(heading) + 1)
            places[inside.key] = table_column(table.name, heading)
            places[down.key] = f"{table.sheet}!${letter}${table.first_row}:${letter}${LOWEST_ROW}"
            under.append(_count_filled(down) - _count_filled(inside))
        yield _counted(MAX(*under), f" filled below the table on {table.sheet}, not counted: see step 6", places)
    refused = Range("what became of it")
    area = f"{limits.SHEET}!${DONE}${limits.HEADING_ROW + 1}:${DONE}${limits.LAST_ROW}"
    words = " of your limits not taken: see Limits"
    yield _counted(COUNTIF(refused, f"{WRONG}*"), words, {refused.key: area})


def _counted(count: Expression, words: str, places: Mapping[str, str]) -> tuple[str, str]:
    """The formulas of a line: how many were found, and that in words, with ``COUNT_CELL`` in them."""
    counted = Cell("count")
    said = IF(counted > 0, lift("; ") & counted & words, "")
    return formula(IFERROR(count, 0), places), formula(said, {counted.key: COUNT_CELL})


def _count_filled(cells: Range) -> Expression:
    """How many cells hold something; where one holds an error, those that show nothing are among them."""
    return IFERROR(SUMPRODUCT(cells.differs("") * 1), ROWS(cells) - SUMPRODUCT(ISBLANK(cells) * 1))


def lost_lines(units: Units, sheets: Sequence[str]) -> Iterator[tuple[str, str]]:
    """The formulas of the words about what is gone, a sheet, a table, or a heading of one; and the words where the
    formula cannot be read any more.

    LibreOffice's undo brings a deleted sheet back, and not what other sheets read of it: that is asked apart.

    Args:
        units: The workbook's units.
        sheets: The names of its sheets.
    """
    tables = filled(units)
    for sheet in sheets:
        if sheet not in (SHEET, *(table.sheet for table in tables)):
            yield _asked_of(sheet, Cell("top"), {"top": _top_of(sheet)})
    for table in tables:
        headings = Range("headings")
        places = {headings.key: f"{table.name}[#Headers]"}
        column = Range("column")
        yield _asked_of(table.name, ROWS(column), {column.key: table_column(table.name, table.headings[0])})
        gone = f"; {table.name}: the sheet or its table is gone"
        yield formula(IFERROR(IF(ROWS(headings) > 0, "", ""), gone), places), ""
        for heading in table.headings:
            words = f"; {table.name} has no heading {heading}"
            yield formula(IFERROR(IF(COUNTIF(headings, heading) > 0, "", words), ""), places), ""


def _top_of(sheet: str) -> str:
    """A cell by which is asked whether a sheet is there."""
    return f"'{sheet}'!$A$1"


def _asked_of(name: str, asked: Expression, places: Mapping[str, str]) -> tuple[str, str]:
    """The words where a sheet or a table can be read no more, deleted or brought back: their formula, and they."""
    is_read = name in READ_BY_OTHERS or "top" not in places
    gone = f"; {name} was deleted" + (", and what reads it is lost" if is_read else "")
    return formula(IF(ISERROR(asked), gone, ""), places), gone


def typed_over_lines(units: Units, sheets: Mapping[str, Worksheet]) -> Iterator[tuple[str, str]]:
    """The formulas of the count and of the words about each column and sheet of results.

    Args:
        units: The workbook's units.
        sheets: The sheets of single results by name, as written.
    """
    rows_of = {lot.TABLE: lot.KEY, machines.TABLE: machines.KEY, trucks.TABLE: trucks.KEY, tickets.TABLE: tickets.KEY}
    columns = [(lot.TABLE, units.heading(column.heading)) for column in lot.results()]
    columns += [(table, list_sheet.CHECK.heading) for table in (machines.TABLE, trucks.TABLE)]
    columns += [(tickets.TABLE, units.heading(column.heading)) for column in tickets.results()]
    for table, heading in columns:
        cells, names = Range(column_key(table, heading)), Range(column_key(table, rows_of[table]))
        last = LastWhere(lift(1) - IS_FORMULA(cells), names)
        named = IF(last.equals(""), "a row to fill", last)
        yield _line(ROWS(cells) - _formulas(cells), lift(f"; {table}, {heading} of ") & named, {})
    every = Range("every cell of Match")
    area = f"{match.TABLE}[[{escaped(match.SHOWN[0].heading)}]:[{escaped(match.COLUMNS[-1].heading)}]]"
    yield _line(
        ROWS(every) * len(match.COLUMNS) - _formulas(every), lift(f"; {match.SHEET}, in the table"), {every.key: area}
    )
    for name, sheet in sheets.items():
        areas = {f"{name} {number}": area for number, area in enumerate(formula_areas(sheet))}
        top = Cell("top")
        places = {top.key: _top_of(name)} | {key: f"'{name}'!{area}" for key, area in areas.items()}
        count = sum(_cells_in(area) for area in areas.values())
        kept = lift(count)
        for key in areas:
            kept = kept - _formulas(Range(key))
        # Of a sheet that is gone nothing is typed over: no cell of it holds a formula.
        yield _line(IF(ISERROR(top), 0, kept), lift(f"; {name}"), places)


def _formulas(cells: Range) -> Expression:
    return SUMPRODUCT(IS_FORMULA(cells) * 1)


def _line(count: Expression, words: Expression, places: Mapping[str, str]) -> tuple[str, str]:
    """The formulas of a line: how many cells are no formulas, and its words, with ``COUNT_CELL`` in them."""
    counted = Cell("count")
    more = IF(counted > 1, lift(" and ") & counted - 1 & " more", "")
    said = IF(counted.equals(UNKNOWN), "", IF(counted > 0, words & more, ""))
    by_key = Places({**places, counted.key: COUNT_CELL})
    return formula(IFERROR(count, UNKNOWN), by_key), formula(said, by_key)


def formula_areas(sheet: Worksheet) -> list[str]:
    """The areas that hold formulas and nothing else, every formula in one of them that stands above a table."""
    rows: dict[int, list[int]] = {}
    tops = [range_boundaries(table.ref)[1] for table in sheet.tables.values()]
    for line in sheet.iter_rows(max_row=min(tops, default=sheet.max_row + 1) - 1):
        for cell in line:
            if cell.data_type == "f":
                rows.setdefault(cell.column, []).append(cell.row)
    runs: dict[tuple[int, int], list[int]] = {}
    for column, numbers in sorted(rows.items()):
        for first, last in _runs(numbers):
            runs.setdefault((first, last), []).append(column)
    corners = [
        (f"${get_column_letter(left)}${first}", f"${get_column_letter(right)}${last}")
        for (first, last), columns in sorted(runs.items())
        for left, right in _runs(columns)
    ]
    return [first if first == last else f"{first}:{last}" for first, last in corners]  # as programs write it


def _runs(numbers: Sequence[int]) -> Iterator[tuple[int, int]]:
    """The first and the last of each run of numbers that follow each other."""
    first = before = numbers[0]
    for number in (*numbers[1:], None):
        if number != before + 1:
            yield first, before
            first = number  # type: ignore[assignment]
        before = number  # type: ignore[assignment]


def _cells_in(area: str) -> int:
    left, top, right, bottom = map(int, range_boundaries(area))
    return (right - left + 1) * (bottom - top + 1)


def write(sheet: Worksheet, units: Units, sheets: Mapping[str, Worksheet]) -> dict[str, float | str]:
    """Write the three cells, and hidden columns behind them; returns what they show in a workbook as we write it.

    In that nothing is gone, below a table, or typed over.

    Args:
        sheet: The sheet named Start.
        units: The workbook's units.
        sheets: The sheets of single results by name, as written.
    """
    lost, under = list(lost_lines(units, sheet.parent.sheetnames)), list(below_lines(units))
    over = list(typed_over_lines(units, sheets))
    for row, (words, unread) in enumerate(lost, FIRST_ROW):
        sheet[f"{WORDS_COLUMN}{row}"] = f"={words}"
        sheet[f"{SAID_COLUMN}{row}"] = _where_read(row, unread)
    first = FIRST_ROW + len(lost)
    second = first + len(under)
    for row, (count, words) in enumerate((*under, *over), first):
        here = f"{COUNT_COLUMN}{row}"
        sheet[here], sheet[f"{WORDS_COLUMN}{row}"] = f"={count}", f"={words.replace(COUNT_CELL, here)}"
        sheet[f"{SAID_COLUMN}{row}"] = _where_read(row, "")
    said = {
        BELOW: _below(first, second),
        LOST: _said(FIRST_ROW, first),
        TYPED_OVER: _typed_over(second, second + len(over)),
    }
    for place, words in said.items():
        sheet[place], sheet[place].font = f"={words}", style.font(bold=True, color=style.CONFLICT_INK)
    for column in COLUMNS:
        sheet.column_dimensions[column].hidden = True
    words_of = range(FIRST_ROW, second + len(over))
    counts = {f"{COUNT_COLUMN}{row}": 0.0 for row in words_of if row >= first}
    blank = (f"{column}{row}" for column in (WORDS_COLUMN, SAID_COLUMN) for row in words_of)
    return {**dict.fromkeys(said, ""), **dict.fromkeys(blank, ""), **counts}


def _where_read(row: int, otherwise: str) -> str:
    """The formula of a line's words, with others where the line cannot be read."""
    words = Cell("words")
    return f"={formula(IFERROR(words, otherwise), {words.key: f'{WORDS_COLUMN}{row}'})}"


def _listed(first: int, end: int) -> tuple[Expression, dict[str, str]]:
    cells = {f"line {row}": f"{SAID_COLUMN}{row}" for row in range(first, end)}
    return joined([Cell(key) for key in cells]), cells


def _below(first: int, end: int) -> str:
    said, places = _listed(first, end)
    return formula(IFERROR(MID(said, 3, LONGEST_LIST), ""), places)


def _said(first: int, end: int) -> str:
    said, places = _listed(first, end)
    words = lift(f"{WRONG} ") & MID(said, 3, LONGEST_LIST) & RESTORED
    return formula(IFERROR(IF(said.equals(""), "", words), f"{WRONG} A sheet of ours is gone" + RESTORED), places)


def _typed_over(first: int, end: int) -> str:
    said, places = _listed(first, end)
    counts = Range("counts")
    places[counts.key] = f"{COUNT_COLUMN}{first}:{COUNT_COLUMN}{end - 1}"
    cannot = "This program cannot tell results that were typed over."
    count = SUMIF(counts, ">0")  # passes over what cannot be asked, as of a sheet that is gone
    words = (
        lift(f"{WRONG} ")
        & count
        & IF(count.equals(1), " result", " results")
        & " typed over: "
        & MID(said, 3, LONGEST_LIST)
        & RESTORED
    )
    # The counts themselves are formulas: where they cannot be asked, nothing can.
    return formula(IF(ISERROR(_formulas(counts)), cannot, IFERROR(IF(count > 0, words, ""), "")), places)
