"""Results of formulas that are not the lot's own, calculated by a spreadsheet engine (IronCalc).

The engine is given the workbook with the lot's results as values, so that it calculates only what is asked for. What it
cannot read or does not know stays uncalculated: a spreadsheet program calculates it on opening.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from pathlib import Path
from string import ascii_uppercase
from tempfile import TemporaryDirectory

import ironcalc
from openpyxl.utils import column_index_from_string, get_column_letter

from tarelot.workbook_templates.ooxml.cell_xml import Result
from tarelot.workbook_templates.ooxml.package import store_results
from tarelot.workbook_templates.ooxml.packed_text import spliced
from tarelot.workbook_templates.ooxml.reading import Package
from tarelot.workbook_templates.ooxml.sheet_xml import SheetXml
from tarelot.workbook_templates.ooxml.splice import Splice

UNKNOWN = ("#N/IMPL!", "#NAME?", "#ERROR!", "#CIRC!", "#SPILL!", "#CALC!")
"""Errors that tell of the engine and not of the figures."""


def calculated(path: Path, lot_sheet: str, wanted: Mapping[str, Collection[str]]) -> dict[str, dict[str, Result]]:
    """Results of the formulas in ``wanted``, cells by sheet; what the engine cannot calculate is left out."""
    with TemporaryDirectory() as folder:
        filled, lighter = (Path(folder) / f"{name}{path.suffix}" for name in ("filled", "lighter"))
        # The engine complains, on the terminal, of each formula that has no result yet.
        store_results(path, filled, {name: dict.fromkeys(cells, 0.0) for name, cells in wanted.items()})
        with Package(filled) as package:
            part = package.sheet(lot_sheet).part
            sheet = SheetXml(package.text(part), lot_sheet)
            member = package.find(part) or part
            splices = formulas_out(sheet, keep=set(wanted.get(lot_sheet, ())))
            package.write(lighter, {member: spliced(sheet.data, splices)} if splices else {})
        try:
            model = ironcalc.load_from_xlsx(str(lighter), "en", "UTC", "en")
            model.evaluate()
        except ironcalc.WorkbookError:
            return {}
    places = {sheet["name"]: index for index, sheet in enumerate(model.get_worksheets_properties())}
    found: dict[str, dict[str, Result]] = {}
    for name, cells in wanted.items():
        for cell in cells if name in places else ():
            letters = cell.rstrip("0123456789")
            row, column = int(cell[len(letters) :]), column_index_from_string(letters)
            value = model.get_cell_value(places[name], row, column)
            if value is not None and value not in UNKNOWN:
                found.setdefault(name, {})[cell] = value
    return found


def formulas_out(sheet: SheetXml, keep: Collection[str] = ()) -> list[Splice]:
    """Splices that take the formulas of a sheet out, save those of the cells in ``keep``; their results stay."""
    splices: list[Splice] = []
    kept_rows = {int(cell.lstrip(ascii_uppercase)) for cell in keep}
    for row in sheet.rows.values():
        if row.number not in kept_rows:
            splices += [(start, end, b"") for start, end in sheet.formula_places(row)]
            continue
        for cell in sheet.cells(row):
            formula = sheet.formula(cell)
            if formula is not None and f"{get_column_letter(cell.column)}{row.number}" not in keep:
                start = cell.start + len(cell.tag) + cell.content.index(formula)
                splices.append((start, start + len(formula), b""))
    return splices
