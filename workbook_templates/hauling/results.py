"""Results of What-if, Drive-on and Card to be stored: their own formulas, calculated by IronCalc.

These sheets are formulas over formulas, a few thousand of them, so that a spreadsheet engine calculates them here
rather than a second writing of each in Python; the tests compare with LibreOffice and with ``calc``. The engine is
given only the sheets that they read, the lot's results already as values.
"""

from __future__ import annotations

import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from tempfile import TemporaryDirectory

import ironcalc
from openpyxl import Workbook
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.table import Table
from openpyxl.worksheet.worksheet import Worksheet

from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling.card import cells as card_cells
from tarelot.workbook_templates.hauling.card import sheet as card
from tarelot.workbook_templates.hauling.drive_on import sheet as drive_on_sheet
from tarelot.workbook_templates.hauling.what_if import sheet as what_if
from tarelot.workbook_templates.hauling.what_if.answers import CONFLICTS
from tarelot.workbook_templates.hauling.what_if.rows import FIGURES, TRAILER
from tarelot.workbook_templates.lot import columns
from tarelot.workbook_templates.lot import sheet as lot
from tarelot.workbook_templates.ooxml.cell_xml import ERROR_CODES
from tarelot.workbook_templates.ooxml.tidy import repack
from tarelot.workbook_templates.sheets import machines, trucks

Rows = Sequence[Mapping[str, object]]
NO_CHOICE: what_if.Choices = (None, None, None)


@dataclass(frozen=True)
class Hauling:
    """What is hauled and by what: rows of Machines and of Trucks, and what What-if shows at first."""

    machines: Rows = field(default_factory=lambda: [{}] * machines.BLANK_ROWS)
    trucks: Rows = field(default_factory=lambda: [{}] * trucks.BLANK_ROWS)
    choices: what_if.Choices = NO_CHOICE


Stored = dict[str, dict[str, float | str | bool | None]]
SPARE_ROWS = 6
SHEETS = (what_if.SHEET, drive_on_sheet.SHEET, card.SHEET)


def demo_hauling() -> Hauling:
    """The demo yard's, with a paver that hangs up on the trailer chosen."""
    return Hauling(
        [*machines.demo_rows(), *[{}] * SPARE_ROWS],
        [*trucks.demo_rows(), *[{}] * SPARE_ROWS],
        ("1108", "Paver 8", "Tandem dump 58"),
    )


def what_if_results(lot_rows: Rows, hauling: Hauling, units: Units) -> Stored:
    """The result of every formula, by sheet and cell.

    Args:
        lot_rows: Inputs and results of the lot, by heading.
        hauling: Machines, trucks and what is chosen at first.
        units: The workbook's units.
    """
    book = Workbook()
    book.remove(book.active)
    _write_lot(book.create_sheet(lot.SHEET), lot_rows, units)
    sheets = [book.create_sheet(name) for name in SHEETS]
    shown = what_if.write(sheets[0], sheets[1], hauling.choices, units)
    card.write(sheets[2], sheets[1], shown, units)
    machines.write(book.create_sheet(machines.SHEET), hauling.machines, units)
    trucks.write(book.create_sheet(trucks.SHEET), hauling.trucks, units)
    buffer = io.BytesIO()
    book.save(buffer)
    with TemporaryDirectory() as folder:
        path = Path(folder) / "what_if.xlsx"
        repack(buffer, path)
        model = ironcalc.load_from_xlsx(str(path), "en", "UTC", "en")
    model.evaluate()
    return {
        sheet.title: {
            cell.coordinate: model.get_cell_value(place, cell.row, cell.column)
            for row in sheet.iter_rows()
            for cell in row
            if cell.data_type == "f"
        }
        for place, sheet in enumerate(sheets, 1)
    }


def _write_lot(sheet: Worksheet, rows: Rows, units: Units) -> None:
    """The lot as values, only the columns that What-if and Card read."""
    read = {columns.KEY, *what_if.WORDS[TRAILER], *(f.heading for f in FIGURES if f.group == TRAILER)}
    read |= {*card_cells.LOT_COLUMNS, *CONFLICTS}
    headings = [units.heading(c.heading) for c in columns.COLUMNS if c.heading in read]
    calculated = {units.heading(column.heading) for column in columns.results()}
    for place, heading in enumerate(headings, 1):
        sheet.cell(lot.HEADING_ROW, place, heading)
        for number, row in enumerate(rows, lot.FIRST_ROW):
            value = row.get(heading)
            if value in (None, ""):
                continue
            cell = sheet.cell(number, place, value)  # type: ignore[arg-type]
            if isinstance(value, str):
                cell.data_type = "e" if value in ERROR_CODES and heading in calculated else "s"
    area = f"A{lot.HEADING_ROW}:{get_column_letter(len(headings))}{lot.HEADING_ROW + len(rows)}"
    sheet.add_table(Table(displayName=columns.TABLE, name=columns.TABLE, ref=area))
