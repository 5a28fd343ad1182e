"""Small lot workbooks: one of a few cells, so that a test can say what stands where, and the demo yard's lot alone."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from openpyxl import Workbook
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.table import Table

from tarelot.workbook_templates import workbook
from tarelot.workbook_templates.basis.units import US
from tarelot.workbook_templates.lot import options
from tarelot.workbook_templates.lot import sheet as lot
from tarelot.workbook_templates.sheets import demo_yard, incoming, limits
from tarelot.workbook_templates.sheets import options as options_sheet

OPTIONS = (("Spare tire", 120), ("Tool box", 110))


def write_small_lot(
    path: Path,
    headings: Sequence[str],
    rows: Sequence[Mapping[str, object]],
    *,
    at: tuple[int, int] = (3, 2),
    sheet: str = "Yard",
    weight: str = "Weight (lb)",
) -> Path:
    """A workbook with a table Lot whose heading row begins at the row and column ``at``, and a table Options."""
    book = Workbook()
    page = book.active
    assert page is not None
    page.title = sheet
    top, left = at
    for place, heading in enumerate(headings, left):
        page.cell(top, place, heading)
        for number, row in enumerate(rows, top + 1):
            cell = page.cell(number, place, row.get(heading))
            if isinstance(cell.value, str) and cell.value.startswith("text="):
                cell.value, cell.data_type = cell.value.removeprefix("text"), "s"
    last = f"{get_column_letter(left + len(headings) - 1)}{top + len(rows)}"
    page.add_table(Table(displayName="Lot", ref=f"{get_column_letter(left)}{top}:{last}"))
    other = book.create_sheet("Extras")
    for row in (("Option", weight), *OPTIONS):
        other.append(row)
    other.add_table(Table(displayName="Options", ref=f"A1:B{1 + len(OPTIONS)}"))
    book.save(path)
    return path


def list_of(tmp_path: Path, *lines: str) -> Path:
    """A list of these lines, as a CSV."""
    path = tmp_path / "list.csv"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def write_demo_lot(path: Path, trailers: Sequence[Mapping[str, demo_yard.Typed]] = ()) -> Path:
    """The demo yard's Lot, Options, Limits and Incoming alone, as the workbook has them, without its heavy sheets.

    Args:
        path: The new file.
        trailers: Other trailers than the yard's.
    """
    book = Workbook()
    book.remove(book.active)
    lot.write(
        book.create_sheet(lot.SHEET),
        [*(trailers or demo_yard.trailers()), *[{}] * workbook.SPARE_ROWS],
        US,
        by_name=False,
    )
    options_sheet.write(book.create_sheet(options.SHEET), demo_yard.options(), US)
    limits.write(book.create_sheet(limits.SHEET), US)
    incoming.write(book.create_sheet(incoming.SHEET), US)
    book.save(path)
    return path
