"""What a person wrote on a sheet that the workbook fills by itself, told from the sheet's own words and formulas.

Those of each older format's sheets are kept beside this file, ``format_1.csv`` and so on, and ``format_2a.csv``
for those of format 2 before Match's rows named their own sheet only; today's are the new sheet's own.
"""

from __future__ import annotations

import csv
import hashlib
from collections.abc import Collection, Mapping
from functools import cache
from pathlib import Path

from openpyxl.utils import get_column_letter

from tarelot.workbook_templates.hauling import one_trailer
from tarelot.workbook_templates.hauling.card import sheet as card
from tarelot.workbook_templates.hauling.drive_on import sheet as drive_on
from tarelot.workbook_templates.hauling.match import sheet as match
from tarelot.workbook_templates.hauling.what_if import sheet as what_if
from tarelot.workbook_templates.ooxml.cell_xml import Formula
from tarelot.workbook_templates.ooxml.sheet_xml import SheetXml
from tarelot.workbook_templates.sheets import limits, sources, start
from tarelot.workbook_templates.sheets.measuring import sheet as measuring
from tarelot.workbook_templates.updates.form.forms import BROKEN, SheetForms

FOLDER = Path(__file__).parent
SHEETS = (
    start.SHEET,
    one_trailer.SHEET,
    what_if.SHEET,
    match.SHEET,
    card.SHEET,
    limits.SHEET,
    measuring.SHEET,
    sources.SHEET,
    drive_on.SHEET,
)
"""Sheets that are written anew as a whole; Lot, Options, Machines and Trucks hold a person's rows, Incoming a list."""
Content = str | float | bool | Formula
FORMULA = "="
"""Stands in the place of a cell before the mark of a formula's form."""


@cache
def known(sheet: str) -> frozenset[tuple[str, str]]:
    """Cell and content of what sheets of older formats say; texts, which may have moved, without their cell."""
    found = set()
    for path in sorted(FOLDER.glob("format_*.csv")):
        with path.open(encoding="utf-8", newline="") as file:
            found |= {(cell, content) for name, cell, content in csv.reader(file) if name == sheet}
    return frozenset(found)


def form_mark(form: str) -> str:
    """What stands for the form of a formula, which may be thousands of letters long."""
    return hashlib.sha256(form.encode()).hexdigest()[:12]


def own_formulas(
    sheet: SheetXml, held: Mapping[tuple[int, int], Content], new: Mapping[tuple[int, int], str]
) -> dict[str, Formula]:
    """The formulas that a person wrote into a sheet of ours, by cell, each with what it came to.

    A formula of ours that lost what it refers to is still ours, where the new sheet has one in its cell.

    Args:
        sheet: The sheet as it is.
        held: What its cells hold, by row and column.
        new: The forms of the new sheet's formulas, by row and column.
    """
    said, forms = known(sheet.name), set(new.values())
    found: dict[str, Formula] = {}
    for number, cell, form in SheetForms(sheet).all():
        at = number, cell.column
        if form in forms or (FORMULA, form_mark(form)) in said or (BROKEN in form and at in new):
            continue
        place = f"{get_column_letter(cell.column)}{number}"
        result = held.get(at)
        found[place] = Formula(sheet.whole_formula(cell, place), None if isinstance(result, Formula) else result)
    return found


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
    for number, row in sheet.rows.items():
        for cell in sheet.cells(row):
            content = held.get((number, cell.column))
            place = f"{get_column_letter(cell.column)}{number}"
            if content is None or content == "" or place in typed or sheet.formula(cell) is not None:
                continue
            is_ours = ("", content) in said or content in words if isinstance(content, str) else False
            if isinstance(content, int | float):
                is_ours = (place, f"{content:g}") in said or content in new
            if place in labelled or not is_ours:
                found[place] = content
    return found
