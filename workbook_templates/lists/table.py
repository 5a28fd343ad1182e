"""A list as a table: which of its rows are headings, which are trailers, and which cannot be taken in.

Whoever read its cells, a library from a file or LibreOffice from an open sheet, hands them over as rows of values.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from tarelot.calc.columns import column_letters
from tarelot.workbook_templates.basis.counts import so_many
from tarelot.workbook_templates.lists.heading_rows import HEADING_WITHIN, heading_row, headings_again, headings_at
from tarelot.workbook_templates.lists.headings import REASON
from tarelot.workbook_templates.lists.quantities import Decimal, Value, is_blank
from tarelot.workbook_templates.lists.rows import ERRORS, UNSTORED, ListError, Record, Rows

MOST_HEADINGS = 8
"""Of a list without headings that we know, so many are shown."""
LONGEST_HEADING = 30


REFUSED = " refused"
"""Behind a list's name in that of the file of its refused rows."""


@dataclass(frozen=True)
class Form:
    """How a list is written, so that its refused rows can be written likewise."""

    suffix: str  # of a file in this form; an ODS list's rows are written as .xlsx
    sheet: str = ""  # of a workbook; a CSV has none
    delimiter: str = ","
    encoding: str = "utf-8"
    bom: bytes = b""
    line_end: str = "\r\n"
    names_delimiter: bool = False  # first line `sep=;`, as some spreadsheet programs write it


@dataclass(frozen=True)
class ListTable:
    """A list as it stands: text exactly as typed in a CSV; numbers, text, dates and stored results of a workbook.

    Every row below the heading row that is not blank is in `rows`. A blank cell is "". Rows are as wide as the heading
    row, save refused ones that hold more cells than that.
    """

    headings: list[str]
    rows: list[list[Value]]
    row_numbers: list[int]  # as a person sees them in a spreadsheet, counted from 1
    source: str  # "prices.csv, semicolon-separated" or "prices.xlsx, sheet May"
    form: Form
    decimal: Decimal | None = None
    refused: dict[int, str] = field(default_factory=dict)  # row number -> why the row cannot be taken in
    notes: list[str] = field(default_factory=list)  # what a person should know of the whole list


class SheetsError(ListError):
    """Which sheet of a workbook holds the list is not certain; ``sheets`` are those to choose from."""

    def __init__(self, said: str, sheets: tuple[str, ...]) -> None:
        super().__init__(said)
        self.sheets = sheets


def table_from_rows(
    rows: Iterable[Sequence[Value]], source: str, *, form: Form | None = None, decimal: Decimal | None = None
) -> ListTable:
    """The list in rows of cells that are already values, such as the cells of an open sheet from its first row on."""
    records: list[Record] = [
        (number, ["" if cell is None else cell for cell in row]) for number, row in enumerate(rows, 1)
    ]
    return list_table(records, source, form or Form(".xlsx"), decimal)


def trimmed(cells: list[Value], width: int = 0) -> list[Value]:
    """Without the blank cells to the right of `width`."""
    end = len(cells)
    while end > width and is_blank(cells[end - 1]):
        end -= 1
    return cells[:end]


def list_table(records: list[Record], source: str, form: Form, decimal: Decimal | None) -> ListTable:
    """The list in records.

    Args:
        records: Row numbers and cells.
        source: What the list is called in messages.
        form: How it is written.
        decimal: Its decimal mark, where a person names it.

    Raises:
        ListError: It is empty, or no row holds two headings that we know.
    """
    place, _ = heading_row(records)
    if place < 0:
        if not any(trimmed(cells) for _, cells in records):
            raise ListError(f"{source} is empty")
        within = f"the first {HEADING_WITHIN} rows" if len(records) > HEADING_WITHIN else "its rows"
        raise ListError(
            f"{source}: none of {within} holds two headings that are known, such as Stock no. and GVWR (lb); "
            f"it has {_headings_there(records)}"
        )
    headings, lines = headings_at(records, place)
    first = [[str(cell) for cell in cells] for _, cells in records[place : place + lines]]
    table = ListTable(headings, [], [], source, form, decimal)
    short = []
    others = 0  # row of headings that are not the list's
    for number, cells in records[place + lines :]:
        if not trimmed(cells):
            continue
        if len(cells) < len(headings):
            short.append(number)
        cells = trimmed(cells, len(headings))
        cells += [""] * (len(headings) - len(cells))
        table.rows.append(cells)
        table.row_numbers.append(number)
        again = headings_again(cells, first)
        others = number if again == "other" else others
        if others:
            table.refused[number] = (
                f"stands below other headings, in row {others}: import that part as a list of its own"
                if number != others
                else "holds other headings than the list's"
            )
        elif why := "the headings once more" if again else _why_refused(cells, headings):
            table.refused[number] = why
    if short and not form.sheet:
        rows = so_many(len(short), "row has", "rows have")
        table.notes.append(f"{rows} fewer cells than the heading row, the first is row {short[0]}: read as blank")
    return table


def _headings_there(records: list[Record]) -> str:
    """The row that is likest to headings, in words: of the first rows the one with the most texts."""
    texts = [[cell.strip() for cell in cells if isinstance(cell, str) and cell.strip()] for _, cells in records]
    most = max(texts[:HEADING_WITHIN], key=len)
    if not most:
        return "no text there"
    cut = [heading if len(heading) <= LONGEST_HEADING else heading[:LONGEST_HEADING] + "..." for heading in most]
    more = f" and {len(cut) - MOST_HEADINGS} more" if len(cut) > MOST_HEADINGS else ""
    return ", ".join(" ".join(heading.split()) for heading in cut[:MOST_HEADINGS]) + more


def _why_refused(cells: list[Value], headings: list[str]) -> str:
    if len(cells) > len(headings):
        return (
            f"has {len(cells)} cells but the heading row only {len(headings)}: "
            "give the column a heading, or quote the cell that holds a delimiter"
        )
    return error_in(cells, headings)


def error_in(cells: Sequence[Value], headings: Sequence[str]) -> str:
    """Which of a row's cells holds an error of a spreadsheet program, in words; empty if none does."""
    for place, cell in enumerate(cells):
        if isinstance(cell, str) and ERRORS.fullmatch(cell.strip()):
            where = headings[place].strip() or f"column {column_letters(place + 1)}"
            if cell == UNSTORED:
                return f"{where} holds a formula whose result was never stored: open and save the list"
            return f"{where} holds the error {cell.strip()}"
    return ""


def table_of_sheets(sheets: Mapping[str, Rows], name: str, sheet: str | None, decimal: Decimal | None) -> ListTable:
    """The list in one of a workbook's sheets.

    Args:
        sheets: The rows of each sheet by its name.
        name: The workbook's name, for messages.
        sheet: The sheet, where a person names it.
        decimal: The list's decimal mark, where a person names it.

    Raises:
        SheetsError: Not one sheet alone holds a list, or there is none of that name.
        ListError: There is no list in it.
    """
    if sheet is not None:
        chosen = {title: rows for title, rows in sheets.items() if title.casefold() == sheet.casefold()}
        if not chosen:
            raise SheetsError(f"{name} has no sheet {sheet}; it has {', '.join(sheets)}", tuple(sheets))
    elif len(sheets) == 1:
        chosen = dict(sheets)
    else:
        chosen = {title: rows for title, rows in sheets.items() if heading_row(rows)[0] >= 0}
    if len(chosen) != 1:
        which = f"more than one sheet with a list ({', '.join(chosen)})" if chosen else "no sheet with headings we know"
        raise SheetsError(f"{name} has {which}; name one of {', '.join(sheets)} with --sheet", tuple(chosen or sheets))
    ((title, rows),) = chosen.items()
    return sheet_table(rows, f"{name}, sheet {title}", title, decimal)


def sheet_table(rows: Rows, source: str, sheet: str, decimal: Decimal | None) -> ListTable:
    """The list in the rows of a sheet; those that a person does not see are refused, since nobody chose them.

    Args:
        rows: The rows.
        source: What the list is called in messages.
        sheet: The sheet's name.
        decimal: The list's decimal mark, where a person names it.

    Raises:
        ListError: There is no list in it.
    """
    table = list_table(list(rows), source, Form(".xlsx", sheet), decimal)
    for number in rows.hidden.intersection(table.row_numbers):
        table.refused[number] = "is hidden in the list, by a filter or by hand: show it there to import it"
    return table


def refused_rows(table: ListTable, reasons: Mapping[int, str]) -> list[list[Value]]:
    """The rows that `reasons` names, headings first, with a last column `Reason`.

    They can be mended and taken in as a list of their own: headings and cells are the list's, `Reason` is ignored.
    A `Reason` column that the list already has is written anew, so that a list mended twice does not grow a second one.

    Args:
        table: The list.
        reasons: Row number -> why the row was refused.

    Raises:
        ListError: The list has no such row.
    """
    old = [place for place, heading in enumerate(table.headings) if heading.strip().casefold() == REASON.casefold()]
    keep = [place for place in range(len(table.headings)) if place not in old]
    rows: list[list[Value]] = [[*(table.headings[place] for place in keep), REASON]]
    for number, cells in zip(table.row_numbers, table.rows, strict=True):
        if number in reasons:
            extra = cells[len(table.headings) :]
            why = " ".join(reasons[number].split())
            # A row that is too wide keeps its width, or it would be read as sound: the reason stands in its place and
            # the cells that have no heading behind it.
            rows.append([cells[place] for place in keep] + [why] + extra)
    missing = set(reasons) - set(table.row_numbers)
    if missing:
        raise ListError(f"{table.source} has no row {min(missing)}")
    return rows


def free_side_file(list_path: Path, suffix: str) -> Path:
    """A name beside the list that is not taken yet, for its refused rows."""
    stem = list_path.stem
    head, found, tail = stem.rpartition(REFUSED)
    if found and (not tail or tail.strip().isdigit()):
        stem = head
    number = 1
    while True:
        path = list_path.with_name(f"{stem}{REFUSED}{f' {number}' if number > 1 else ''}{suffix}")
        if not path.exists():
            return path
        number += 1
