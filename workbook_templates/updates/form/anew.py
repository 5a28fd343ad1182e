"""Every result of a workbook of today's format worked out anew, those of the sheets that follow choices too.

The same entries are written as a new workbook (``pattern``). Where a sheet has our formulas in our cells, and so has
every sheet that it reads, its results are those of the new one. What is not so, or hangs on something that the new
workbook does not have, is left to the program that opens the workbook: no old result stays stored there.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from openpyxl.utils import column_index_from_string, coordinate_to_tuple

from tarelot.workbook_templates.basis.format_number import FORMAT
from tarelot.workbook_templates.basis.limits import DONE
from tarelot.workbook_templates.hauling import one_trailer
from tarelot.workbook_templates.hauling.asked import WRONG
from tarelot.workbook_templates.hauling.match import columns as match
from tarelot.workbook_templates.lot.columns import TABLE
from tarelot.workbook_templates.lot.reading import LotError, LotSheet, Value, read_sheet
from tarelot.workbook_templates.ooxml.cell_xml import reference
from tarelot.workbook_templates.ooxml.leftovers import own_folder
from tarelot.workbook_templates.ooxml.packed_text import whole
from tarelot.workbook_templates.ooxml.reading import Package
from tarelot.workbook_templates.ooxml.sheet_xml import Cell
from tarelot.workbook_templates.ooxml.splice import PackageError
from tarelot.workbook_templates.sheets import at_a_glance, limits, start
from tarelot.workbook_templates.updates.form.derived import labelled_cells, left_open, typed_cells
from tarelot.workbook_templates.updates.form.entries import read_entries
from tarelot.workbook_templates.updates.form.forms import SheetForms
from tarelot.workbook_templates.updates.form.pattern import Pattern, Writer, write_pattern
from tarelot.workbook_templates.updates.form.tables import TableForm
from tarelot.workbook_templates.updates.form.work import Work
from tarelot.workbook_templates.updates.results import ResultUpdate, has_result, result_update, same_result

Place = tuple[int, int]
MISSING = "it is missing"
NEVER = "was never calculated"
NOT_OURS = "not every formula there is as Tarelot writes it, see tarelot update"
FOLLOWS = {
    match.SHEET: "they follow which trailers are shown there, and in which order",
    one_trailer.SHEET: "they follow the trailer chosen there",
}
"""Why the results of a sheet hang on what a person typed there and the new workbook does not have."""
_FORMULA = re.compile(rb"<(?:\w+:)?f[ >][^<]*<")


def update_anew(lot: LotSheet, write: Writer) -> ResultUpdate:
    """What has to be stored, and what taken away, so that no stored result of the workbook is an old one.

    Args:
        lot: The lot as its file holds it now.
        write: ``workbook.write``, which writes a lot new.
    """
    update = result_update(lot, anew=True)
    if lot.formulas:
        update.entries[lot.sheet] = len(lot.formulas)
    try:
        found = _sheets(lot, update, write)
    except (LotError, PackageError) as error:
        update.why = dict.fromkeys(update.own_formulas, str(error))
        return update
    for sheet in found:
        _add(update, sheet)
    update.own_formulas = +update.own_formulas
    update.store = {name: cells for name, cells in update.store.items() if cells}
    return update


def _sheets(lot: LotSheet, update: ResultUpdate, write: Writer) -> list[_Sheet]:
    """What the formulas of our sheets come to.

    Raises:
        LotError: It cannot be had of any.
        PackageError: The same.
    """
    entries = read_entries(lot.path)
    if entries.format != FORMAT:
        raise LotError(f"the workbook is of format {entries.format}, today's is {FORMAT}, see tarelot update")
    with own_folder() as folder:
        pattern = folder / "pattern.xlsx"
        write_pattern(entries, pattern, write)
        with Package(lot.path) as package, Package(pattern) as new:
            return _Anew(Work(package, entries, Pattern.of(new)), update).sheets()


@dataclass
class _Sheet:
    """A sheet of ours in the person's workbook.

    Attributes:
        name: What it is called there.
        results: What each of our formulas comes to.
        entries: Formulas that stand where something is to be typed.
        formulas: Every formula, with its cell.
        held: What its cells hold.
        why: Why its results cannot be had; empty where they can.
    """

    name: str
    results: dict[Place, Value]
    entries: set[Place]
    formulas: dict[Place, Cell]
    held: Mapping[Place, Value]
    why: str = ""


def _add(update: ResultUpdate, sheet: _Sheet) -> None:
    """Let an update store what a sheet's formulas come to, and take away what is not worked out."""
    ours, cells = sheet.results.keys() & sheet.formulas.keys(), update.store.setdefault(sheet.name, {})
    for place in ours | sheet.entries:
        cells.pop(reference(*place), None)
    if sheet.entries:
        update.entries[sheet.name] += len(sheet.entries)
    others = sheet.formulas.keys() - ours - sheet.entries
    if sheet.name == start.SHEET:
        others -= {coordinate_to_tuple(cell) for cell in _worked_out_on_start()}
    update.own_formulas[sheet.name] = len(others)
    if sheet.why and ours:
        update.why[sheet.name] = sheet.why
        update.own_formulas[sheet.name] += len(ours)
        cells |= {reference(*place): None for place in ours if has_result(sheet.formulas[place])}
        return
    for place in ours:
        result = sheet.results[place]
        if not same_result(sheet.held.get(place), result):  # type: ignore[arg-type]
            cells[reference(*place)] = result  # type: ignore[assignment]


def _worked_out_on_start() -> set[str]:
    """The cells of Start that ``results`` works out."""
    return {*start.figure_cells(), *(cell.replace("$", "") for cell in at_a_glance.cells().values())}


class _Anew:
    """The sheets of ours in a workbook but the Lot, each with what its formulas come to."""

    def __init__(self, work: Work, update: ResultUpdate) -> None:
        self.work, self.update = work, update
        self.tabs = {work.pattern.tables[name].sheet: form.table.sheet for name, form in work.forms.items()}

    def sheets(self) -> list[_Sheet]:
        """Every one that is there."""
        work, found = self.work, []
        for name, form in work.forms.items():
            if name != TABLE:
                found.append(self._table(form))
        found += [self._single(name) for name in work.held]
        why = {sheet.name: sheet.why for sheet in found if sheet.why}
        why |= {change.name: MISSING for change in work.changes if change.name not in work.sheets}
        why |= self._why_lot()
        why |= self._why_start(found, why)
        self._spread(why)
        self._blank_rows_of_lot()
        for sheet in found:
            sheet.why = why.get(sheet.name, "")
        return found

    def _formulas(self, name: str) -> dict[Place, Cell]:
        xml = self.work.edit(name).sheet
        rows = (row for row in xml.rows.values() if xml.formula_places(row))
        return {(row.number, c.column): c for row in rows for c in xml.cells(row) if xml.formula(c) is not None}

    def _table(self, form: TableForm) -> _Sheet:
        """A table that holds a person's rows."""
        table, formulas = form.table, self._formulas(form.table.sheet)
        rows = range(table.first_row, table.last_row + 1)
        results: dict[Place, Value] = {
            (number, form.places[heading]): found[number - table.first_row]
            for heading, found in form.wanted.results.items()
            for number in rows
        }
        typed = {form.places[heading] for heading in form.wanted.headings if heading not in form.wanted.results}
        entries = {place for place in formulas if place[0] in rows and place[1] in typed}
        held = read_sheet(self.work.package.path, table.sheet)
        why = NOT_OURS if form.change.is_needed else _never_calculated(entries, held)
        return _Sheet(table.sheet, results, entries, formulas, held, why)

    def _single(self, name: str) -> _Sheet:
        """A sheet that the workbook fills by itself."""
        work, held = self.work, self.work.held[name]
        new, formulas = work.new(name), self._formulas(name)
        typed = {coordinate_to_tuple(cell) for cell in typed_cells(name) | labelled_cells(name)}
        entries = (formulas.keys() - new.forms.keys()) & typed
        results = {place: new.result(place) for place in new.forms}
        if name == start.SHEET:
            results = {
                place: said for place, said in results.items() if reference(*place) not in _worked_out_on_start()
            }
        if name == match.SHEET:
            results |= {place: "" for place in self._more_rows(new.forms)}
        filled = [cell for cell in labelled_cells(name) if held.get(coordinate_to_tuple(cell)) not in (None, "")]
        why = NOT_OURS if any(change.name == name for change in work.changes) else _never_calculated(entries, held)
        if not why and name in FOLLOWS and left_open(name, filled, results):
            why = FOLLOWS[name]
        return _Sheet(name, results, entries, formulas, held, why)

    def _more_rows(self, ours: Mapping[Place, str]) -> Iterator[Place]:
        """The cells of Match in rows that it has more than the Lot has trailers: blank ones."""
        table = self.work.entries.tables.get(match.TABLE)
        if table is None:
            return
        sheet = self.work.edit(match.SHEET).sheet
        forms, last = SheetForms(sheet), max((row for row, _ in ours), default=0)
        for number in range(max(last, table.first_row) + 1, table.last_row + 1):
            for cell in sheet.cells(sheet.rows[number]) if number in sheet.rows else ():
                form = forms.of(number, cell)
                if form and form == ours.get((table.first_row, cell.column)):
                    yield number, cell.column

    def _why_lot(self) -> dict[str, str]:
        """Why nothing that reads the Lot can be had."""
        form = self.work.forms[TABLE]
        is_other = self.update.left_alone or form.change.added or form.change.renamed
        return {form.table.sheet: "results of the Lot are not Tarelot's"} if is_other else {}

    def _why_start(self, found: list[_Sheet], why: Mapping[str, str]) -> dict[str, str]:
        """Why what Start says of the whole workbook cannot be had: the new one has nothing that it would warn of."""
        if why:
            return {}  # it reads every sheet
        for form in self.work.forms.values():
            sheet = form.edit.sheet
            below = (row for number, row in sheet.rows.items() if number > form.table.area.last_row)
            if any(not sheet.is_empty(cell) for row in below for cell in sheet.cells(row)):
                return {start.SHEET: f"something stands below the table on {form.table.sheet}"}
        done = column_index_from_string(DONE)
        for one in (one for one in found if one.name == limits.SHEET):
            said = (str(result) for (_, column), result in one.results.items() if column == done)
            if any(words.startswith(WRONG) for words in said):
                return {start.SHEET: f"a limit of yours is not taken, see {limits.SHEET}"}
        return {}

    def _blank_rows_of_lot(self) -> None:
        """The results of rows to fill, which ``results`` does not look at."""
        form, name = self.work.forms[TABLE], self.work.forms[TABLE].table.sheet
        cells, formulas = self.update.store.setdefault(name, {}), self._formulas(name)
        filled = {row.number for row in self.work.entries.lot.rows}
        for number in set(range(form.table.first_row, form.table.last_row + 1)) - filled:
            for heading, results in form.wanted.results.items():
                place, index = (number, form.places[heading]), number - form.table.first_row
                is_ours, held = (number, heading) not in form.unlike, form.wanted.stored.get(heading)
                if place not in formulas or held is None:
                    continue
                if not is_ours:
                    self.update.own_formulas[name] += 1
                    cells |= {reference(*place): None} if has_result(formulas[place]) else {}
                elif not same_result(held[index], results[index]):  # type: ignore[arg-type]
                    cells[reference(*place)] = results[index]

    def _spread(self, why: dict[str, str]) -> None:
        """Find the sheets that read one that cannot be had; of Start they read what is typed there only."""
        texts = {sheet.name: self._formula_text(sheet.name) for sheet in self.work.pattern.source.package.sheets}
        tables = {table.sheet: name for name, table in self.work.pattern.tables.items()}
        is_more = True
        while is_more:
            is_more = False
            for name, text in texts.items():
                here = self.tabs.get(name, name)
                for other in texts if here not in why else ():
                    if other == start.SHEET and not why.get(other, "").endswith((MISSING, NEVER)):
                        continue
                    marks = [f"{other}!", f"{other}'!", *([f"{tables[other]}["] if other in tables else [])]
                    if other != name and self.tabs.get(other, other) in why and any(m.encode() in text for m in marks):
                        why[here] = f"they read {self.tabs.get(other, other)}"
                        is_more = True
                        break

    def _formula_text(self, name: str) -> bytes:
        return b"\n".join(_FORMULA.findall(whole(self.work.pattern.sheet(name).data))).replace(b"&apos;", b"'")


def _never_calculated(entries: set[Place], held: Mapping[Place, Value]) -> str:
    """Why a sheet cannot be worked out where a formula among what is typed there never was."""
    waiting = sorted(entries - held.keys())
    return f"your formula in {reference(*waiting[0])}, among the entries, {NEVER}" if waiting else ""
