"""Older lots brought up to date, and a lot written new with the same entries, which openpyxl reads out of the old one.

What was chosen and typed over in the kept lots stands in ``tests/lots/1/README.md``; it is named here once more.
"""

from __future__ import annotations

import shutil
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

import openpyxl
from openpyxl import Workbook
from openpyxl.utils import range_boundaries
from openpyxl.worksheet.worksheet import Worksheet

from tarelot.workbook_templates import workbook
from tarelot.workbook_templates.basis.units import METRIC, US, Units
from tarelot.workbook_templates.hauling.results import Hauling
from tarelot.workbook_templates.lot.columns import headings, inputs
from tarelot.workbook_templates.sheets import machines, trucks, yard
from tarelot.workbook_templates.updates.form.plan import carry_out, planned

LOTS = Path(__file__).parents[1] / "lots" / "1"
OLD_NAMES = {"Front contact to centre (in)": "Front contact to center (in)"} | {
    "Front contact to centre (mm)": "Front contact to center (mm)"
}
DERIVED = (
    *("Start", "Trailer", "What-if", "Match", "Compare", "Card", "Quote", "Where to measure", "Limits", "Sources"),
    "Drive-on",
)


@dataclass(frozen=True)
class Choices:
    """What a kept lot shows: on What-if, typed over there by the figure's key, on Match."""

    what_if: tuple[object, object, object] = (None, None, None)
    typed: Mapping[str, float] = field(default_factory=dict)
    match: tuple[object, object] = (None, None)
    units: Units = US


KEPT = {
    "tarelot-demo": Choices(("1108", "Paver 8", "Tandem dump 58"), {}, ("Backhoe 15", "Tandem dump 58")),
    "tarelot-lot-us": Choices(),
    "tarelot-lot-metric": Choices(units=METRIC),
    "../2/tarelot-demo": Choices(("1108", "Paver 8", "Tandem dump 58"), {}, ("Backhoe 15", "Tandem dump 58")),
    "../2/tarelot-lot-us": Choices(),
    "demo-customized": Choices(
        ("1110", "Trencher 12", "Service truck 33"),
        {"ramp_length": 84, "weight": 12_450},
        ("Excavator 8", "Tandem dump 58"),
    ),
    "demo-customized-libreoffice": Choices(
        ("1111", "Excavator 8", "Road tractor 52"), {"high_share": 0.22}, ("Wheel loader 9", "Tandem dump 58")
    ),
}


def rows_of(page: Worksheet, table: str, wanted: Sequence[str]) -> list[dict[str, object]]:
    """The rows of a table by today's headings, those wanted; a blank is left out."""
    left, top, right, bottom = range_boundaries(page.tables[table].ref)
    names = [OLD_NAMES.get(str(cell.value), str(cell.value)) for cell in page[top][left - 1 : right]]
    rows = []
    for number in range(top + 1, bottom + 1):
        cells = [page.cell(number, column).value for column in range(left, right + 1)]
        row = dict(zip(names, cells, strict=True))
        rows.append({heading: row[heading] for heading in wanted if row.get(heading) is not None})
    return rows


def written_new(old: Path, chosen: Choices, target: Path) -> Path:
    """The entries of an older lot as a new workbook."""
    book = openpyxl.load_workbook(old, data_only=True)
    units = chosen.units
    typed = [units.heading(column.heading) for column in inputs()]
    rows = rows_of(book["Lot"], "Lot", typed)
    for row in rows:
        if "Received" in row:
            row["Received"] = row["Received"].date()  # type: ignore[attr-defined]
    lists = [
        rows_of(book[sheet.SHEET], sheet.TABLE, [units.heading(column.heading) for column in sheet.COLUMNS])
        for sheet in (machines, trucks)
    ]
    options = ["Option", units.heading("Weight ({weight})"), "Fitted by"]
    has_fitters = "Fitted by" in [cell.value for row in book["Options"].iter_rows(max_row=10) for cell in row]
    named = options if has_fitters else options[:2]
    pairs = [tuple(row.get(heading) for heading in named) for row in rows_of(book["Options"], "Options", options)]
    hauling = Hauling(lists[0], lists[1], chosen.what_if, chosen.typed, card=yard.read(old))
    workbook.write(target, rows, pairs, units, hauling=hauling, match_choices=chosen.match)  # type: ignore[arg-type]
    return target


def updated(old: Path, target: Path) -> Path:
    """A copy of a lot brought up to date."""
    shutil.copy(old, target)
    with planned(target, workbook.write) as plan:
        assert carry_out(plan) is not None
    return target


def letters(book: Workbook, table: str) -> dict[str, int]:
    """The column of each heading of a table."""
    page = next(page for page in book.worksheets if table in page.tables)
    left, top, right, _ = range_boundaries(page.tables[table].ref)
    return {str(page.cell(top, column).value): column for column in range(left, right + 1)}


Grids = Mapping[str, Sequence[Sequence[object]]]


def at(grids: Grids, sheet: str, row: int, column: int) -> object:
    """A value of a workbook as an engine has it; a blank is an empty text."""
    grid = grids[sheet]
    found = grid[row - 1][column - 1] if row <= len(grid) and column <= len(grid[row - 1]) else ""
    return "" if found is None else found


def pairs(new: Path, old: Path) -> list[tuple[str, tuple[int, int], tuple[int, int]]]:
    """Each cell of ours: its sheet, its place in the lot written new, its place in the one brought up to date.

    Every cell of the tables by heading, and every cell of the other sheets of ours by its place.
    """
    book, older = openpyxl.load_workbook(new), openpyxl.load_workbook(old)
    found = []
    for table in ("Lot", "Tickets", "Options", "Machines", "Trucks"):
        there, here = letters(book, table), letters(older, table)
        page = book[table]
        _, top, _, bottom = range_boundaries(page.tables[table].ref)
        for heading, column in there.items():
            found += [(table, (row, column), (row, here[heading])) for row in range(top, bottom + 1)]
    for name in DERIVED:
        filled = (cell for row in book[name].iter_rows() for cell in row if cell.value is not None)
        found += [(name, (cell.row, cell.column), (cell.row, cell.column)) for cell in filled]
    return found


__all__ = ["KEPT", "LOTS", "at", "headings", "pairs", "updated", "written_new"]
