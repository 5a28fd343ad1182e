"""What a person wrote on a sheet that the workbook fills by itself, told from the sheet's own words and formulas.

Those of each older format's sheets are kept beside this file, ``format_1.csv`` and so on, and ``format_2a.csv``
for those of format 2 before Match's rows named their own sheet only; today's are the new sheet's own.
"""

from __future__ import annotations

import csv
import hashlib
from collections.abc import Collection, Iterator, Mapping
from functools import cache
from itertools import product
from pathlib import Path

from openpyxl.utils import get_column_letter, range_boundaries

from tarelot.workbook_templates.hauling import one_trailer
from tarelot.workbook_templates.hauling.card import sheet as card
from tarelot.workbook_templates.hauling.compare import sheet as compare
from tarelot.workbook_templates.hauling.drive_on import sheet as drive_on
from tarelot.workbook_templates.hauling.match import sheet as match
from tarelot.workbook_templates.hauling.quote import page as quote
from tarelot.workbook_templates.hauling.what_if import sheet as what_if
from tarelot.workbook_templates.ooxml.cell_xml import Formula
from tarelot.workbook_templates.ooxml.sheet_xml import Cell, SheetXml
from tarelot.workbook_templates.sheets import limits, sources, start
from tarelot.workbook_templates.sheets.measuring import sheet as measuring
from tarelot.workbook_templates.updates.form.forms import BROKEN

FOLDER = Path(__file__).parent
SHEETS = (
    start.SHEET,
    one_trailer.SHEET,
    what_if.SHEET,
    match.SHEET,
    compare.SHEET,
    card.SHEET,
    quote.SHEET,
    limits.SHEET,
    measuring.SHEET,
    sources.SHEET,
    drive_on.SHEET,
)
"""Sheets that are written anew as a whole; Lot, Tickets, Options, Machines and Trucks hold a person's rows, Incoming a
list."""
Content = str | float | bool | Formula
FORMULA = "="
"""Stands in the place of a cell before the mark of a formula's form, and behind an area of formulas."""


@cache
def known(sheet: str, format_number: str = "*") -> frozenset[tuple[str, str]]:
    """Cell and content of what a sheet of older formats says; texts, which may have moved, without their cell.

    Args:
        sheet: The sheet.
        format_number: The format whose sheet it is; any where it is left out.
    """
    found = set()
    for path in sorted(FOLDER.glob(f"format_{format_number}.csv")):
        with path.open(encoding="utf-8", newline="") as file:
            found |= {(cell, content) for name, cell, content in csv.reader(file) if name == sheet}
    return frozenset(found)


def form_mark(form: str) -> str:
    """What stands for the form of a formula, which may be thousands of letters long."""
    return hashlib.sha256(form.encode()).hexdigest()[:12]


def own_formulas(
    sheet: SheetXml,
    there: Mapping[tuple[int, int], str],
    held: Mapping[tuple[int, int], Content],
    new: Mapping[tuple[int, int], str],
) -> dict[str, Formula]:
    """The formulas that a person wrote into a sheet of ours, by cell, each with what it came to.

    A formula of ours that lost what it refers to is still ours, where the new sheet has one in its cell; so is one in
    the cell of one of ours where hardly any is known again, since a program wrote all of them in a way of its own.

    Args:
        sheet: The sheet as it is.
        there: The forms of its formulas, by row and column.
        held: What its cells hold, the same way.
        new: The forms of the new sheet's formulas, the same way.
    """
    said, forms = known(sheet.name), set(new.values())
    strange = {at: f for at, f in there.items() if f not in forms and (FORMULA, form_mark(f)) not in said}
    places = new.keys() | {at for area, content in said if content == FORMULA for at in _inside(area)}
    is_rewritten = 2 * len(strange) > len(there)
    own = {at for at, form in strange.items() if not ((is_rewritten or BROKEN in form) and at in places)}
    found: dict[str, Formula] = {}
    for at, cell in ((at, cell) for at, cell in _cells(sheet) if at in own):
        place = f"{get_column_letter(at[1])}{at[0]}"
        result = held.get(at)
        found[place] = Formula(sheet.whole_formula(cell, place), None if isinstance(result, Formula) else result)
    return found


def _inside(area: str) -> Iterator[tuple[int, int]]:
    left, top, right, bottom = map(int, range_boundaries(area))
    yield from product(range(top, bottom + 1), range(left, right + 1))


def _cells(sheet: SheetXml) -> Iterator[tuple[tuple[int, int], Cell]]:
    """Each cell with its row and column."""
    for number, row in sheet.rows.items():
        for cell in sheet.cells(row):
            yield (number, cell.column), cell


def own_cells(
    sheet: SheetXml,
    held: Mapping[tuple[int, int], Content],
    new: Collection[object],
    typed: Collection[str],
    labelled: Collection[str],
) -> dict[str, Content]:
    """What a person wrote into a sheet of ours, by cell.

    Args:
        sheet: The sheet as it is.
        held: What its cells hold, by row and column.
        new: What the new sheet says.
        typed: Cells that are to be typed into, which are read by their meaning.
        labelled: Those that are known by the label beside them: whatever stands there is the person's.
    """
    said, words = known(sheet.name), {content for content in new if isinstance(content, str)}
    found: dict[str, Content] = {}
    for at, cell in _cells(sheet):
        content = held.get(at)
        place = f"{get_column_letter(at[1])}{at[0]}"
        if content is None or content == "" or place in typed or sheet.formula(cell) is not None:
            continue
        is_ours = ("", content) in said or content in words if isinstance(content, str) else False
        if isinstance(content, int | float):
            is_ours = (place, f"{content:g}") in said or content in new
        if place in labelled or not is_ours:
            found[place] = content
    return found
