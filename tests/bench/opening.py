"""Opening a lot in LibreOffice beside a sheet that a person would have made by hand."""

from __future__ import annotations

import time
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from openpyxl import Workbook
from openpyxl.utils import get_column_letter

from tarelot.workbook_templates import workbook
from tarelot.workbook_templates.basis.units import US
from tarelot.workbook_templates.hauling.results import demo_hauling
from tarelot.workbook_templates.lot.column import Column, Input
from tarelot.workbook_templates.lot.columns import COLUMNS
from tarelot.workbook_templates.sheets import demo_yard
from tests.bench.files import Rows, trailers
from tests.engines.office import Office

TRAILERS, ROUNDS = 500, 7
LETTERS = {column.key: get_column_letter(place) for place, column in enumerate(COLUMNS, 1)}
ONE_LINERS = {
    "check": "=MAX(0,{gvwr}{row}-{axles}{row}*{axle_rating}{row})",
    "check text": '=IF(LEN({vin}{row})=17,"ok","VIN")',
    "verdict": '=IF({axles_short}{row}>0,"axles","none")',
    "text": '=IF({gvwr}{row}>{coupler}{row},"coupler","GVWR")',
}
"""What a person would type into a result column of a kind."""
MOST_TIME, MOST_SIZE, AIM = 5.5, 6, 4
"""Half of what the first edition took, as a multiple of the sheet made by hand, and what is aimed at."""
ELSE = "={gvwr}{row}-{base}{row}"


@dataclass(frozen=True)
class Opening:
    """Seconds of opening and closing each of two workbooks, taken in turn, and their sizes in bytes."""

    ours: list[float]
    by_hand: list[float]
    our_size: int
    size_by_hand: int


def opening_times(office: Office) -> Opening:
    """Open a whole lot workbook, with Match and all other sheets, and the sheet made by hand."""
    ours, rows = office.folder / "ours.xlsx", trailers(TRAILERS)
    workbook.write(ours, rows, demo_yard.options(), US, hauling=demo_hauling(), match_choices=workbook.DEMO_MATCH)
    by_hand = _made_by_hand(office, rows)
    paths = (ours, by_hand)
    for path in paths:
        office.formulas(path, [])  # the first opening loads libraries
    seconds = [[_seconds(office, path) for path in paths] for _ in range(ROUNDS)]
    one, other = (list(column) for column in zip(*seconds, strict=True))
    return Opening(one, other, *(path.stat().st_size for path in paths))


def _made_by_hand(office: Office, rows: Rows) -> Path:
    """The Lot's columns with the same entries, a short formula in each result column; saved by LibreOffice."""
    book = Workbook()
    sheet = book.active
    sheet.title = "Lot"
    sheet.append([US.heading(column.heading) for column in COLUMNS])
    for number, row in enumerate(rows, 2):
        sheet.append([_typed_by_hand(column, row, number) for column in COLUMNS])
    path = office.folder / "typed.xlsx"
    book.save(path)
    return office.save_as(path, office.folder / "by_hand.xlsx")


def _typed_by_hand(column: Column, row: Mapping[str, object], number: int) -> object:
    if isinstance(column, Input):
        return row.get(US.heading(column.heading))
    return ONE_LINERS.get(column.kind, ELSE).format(**LETTERS, row=number)


def _seconds(office: Office, path: Path) -> float:
    start = time.perf_counter()
    office.formulas(path, [])
    return time.perf_counter() - start
