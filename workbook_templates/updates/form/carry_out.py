"""Writes a lot brought up to date: the parts of :class:`Work` with all changes made in them."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import replace
from pathlib import Path

from openpyxl.utils import coordinate_to_tuple

from tarelot.workbook_templates.basis.format_number import FORMAT, PROPERTY
from tarelot.workbook_templates.lot.columns import TABLE
from tarelot.workbook_templates.ooxml.cell_xml import Formula, reference
from tarelot.workbook_templates.ooxml.joining.drawings import exchange, has_own, with_link
from tarelot.workbook_templates.ooxml.joining.parts import OFFICE, Link
from tarelot.workbook_templates.ooxml.joining.sheets import (
    bring_part,
    brought,
    drop_links,
    remove_unlinked,
    style_part,
)
from tarelot.workbook_templates.ooxml.joining.workbook_part import Name, set_custom_number
from tarelot.workbook_templates.ooxml.packed_text import spliced
from tarelot.workbook_templates.ooxml.sheet_edits import SheetEdit, StoredResult, Write
from tarelot.workbook_templates.ooxml.sheet_xml import Cell, SheetXml
from tarelot.workbook_templates.updates.form.derived import SheetChange, labelled_cells, left_open
from tarelot.workbook_templates.updates.form.forms import SheetForms
from tarelot.workbook_templates.updates.form.notes import Notes, renew_notes
from tarelot.workbook_templates.updates.form.rules import Model, looks, renew_rules, style_of, widen
from tarelot.workbook_templates.updates.form.tables import TableForm
from tarelot.workbook_templates.updates.form.work import DRIVE_ON_MARKS, Work
from tarelot.workbook_templates.updates.results import same_result

NOTES = ("comments", "vmlDrawing", "threadedComment")
_LATER = "legacyDrawingHF|drawingHF|picture|oleObjects|controls|webPublishItems|tableParts|extLst"
_WORKSHEET = "application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"


def write_updated(work: Work, target: Path, *, keep: bool) -> None:
    """Write the lot brought up to date to ``target``.

    Args:
        work: The lot and its pattern.
        target: Where to.
        keep: Whether what a person wrote over results stays.
    """
    _rename_in_formulas(work)
    for form in work.forms.values():
        _write_table(work, form, keep=keep)
    whole = [change for change in work.changes if change.why]
    for change in whole:
        _write_sheet(work, change)
    written = {change.name for change in whole}
    for sheet in work.held:
        if sheet not in written:
            _store_results(work, sheet, keep=keep)
    work.book.set_names(work.names)
    for name, edit in work.edits.items():
        if name not in written:
            splices = list(edit.finish())
            if splices:
                member = work.package.find(work.sheets[name].part)
                work.parts.streamed[member or ""] = spliced(edit.sheet.data, splices)
    work.parts.write(style_part(work.parts), work.styles.data())
    set_custom_number(work.parts, PROPERTY, FORMAT)
    if next(own_formulas(work), None) or any(change.carried_formulas for change in whole):
        work.book.ask_to_recalculate()
    work.parts.drop_calculation_chain()
    work.parts.store(target)


def _write_table(work: Work, form: TableForm, *, keep: bool) -> None:
    """One table of the person's rows, changed in its place."""
    table = form.table
    new = work.pattern.tables[table.name]
    model = Model(work.pattern.sheet(new.sheet), new, form.letters, table)
    added = form.change.added
    form.write_cells(keep, looks(model, added, work.styles))
    if form.change.is_needed:
        form.write_table(work.renamed)
    if not (work.is_older or added):
        return
    edit = form.edit
    renew_rules(edit, model, work.styles)
    widen(edit, model, added)
    if table.name == TABLE:
        _write_bands(work, form, model)
    part = work.sheets[table.sheet].part
    new_part = work.pattern.source.package.sheet(new.sheet).part
    row, new_row = table.area.first_row, new.area.first_row
    cells = {
        reference(new_row, place): f"{form.letters[heading]}{row}"
        for place, heading in enumerate(new.columns, new.area.first_column)
    }
    top = [f"{form.letters[heading]}{row}" for heading in added]
    renew_notes(edit, Notes(work.parts, part), part, Notes(work.pattern.source.parts, new_part), cells, top)


def _write_bands(work: Work, form: TableForm, model: Model) -> None:
    """The band above the headings that were added: its color, and its title where a group begins."""
    row = form.table.area.first_row - 1
    top = model.table.area.first_row - 1
    if row < 1:
        return
    said = work.pattern.said(model.table.sheet)
    held = (
        {cell.column: cell for cell in form.edit.sheet.cells(form.edit.sheet.rows[row])}
        if row in form.edit.sheet.rows
        else {}
    )
    before = ""
    for heading in form.change.added:
        place = model.table.area.first_column + model.table.columns.index(heading)
        title = next((said[top, at] for at in range(place, 0, -1) if (top, at) in said), "")
        at = form.places[heading]
        if at not in held or form.edit.sheet.is_empty(held[at]):
            style = b"%d" % work.styles.cell(style_of(model.sheet, top, place))
            form.edit.add(row, at, Write(str(title) if title and title != before else None, style))
        before = str(title)


def _write_sheet(work: Work, change: SheetChange) -> None:
    """A sheet that is written new as a whole, in the place of what has its name or as one more."""
    source, parts, name = work.pattern.source, work.parts, change.name
    there = work.sheets.get(name)
    old_part = source.package.sheet(name).part
    data = brought(source, name, work.styles, _in_xml(work))
    part = there.part if there else parts.free_name(old_part)
    gone: list[Link] = drop_links(parts, part) if there else []
    if not there:
        parts.write(part, data)
        parts.state_type(part, _WORKSHEET)
    data, kept = _with_own(work, part, gone, old_part, data)
    if change.carried:
        data = _carried(work, change, data)
    parts.write(part, data)
    if not there:
        place = _place(work, name)
        work.book.add_sheet(name, parts.link(parts.package.workbook_part, f"{OFFICE}/worksheet", part), place)
    remove_unlinked(parts, [link for link in gone if link not in kept], [s.part for s in parts.package.sheets])
    _write_print_names(work, name)


def _in_xml(work: Work) -> Callable[[bytes], bytes]:
    """Adapts formulas as they are written in XML."""

    def adapted(text: bytes) -> bytes:
        return work.adapted(text.decode()).encode()

    return adapted


def _with_own(work: Work, part: str, gone: list[Link], new_part: str, data: bytes) -> tuple[bytes, list[Link]]:
    """The new sheet linked to its drawing and table, and to the notes and drawings of the person's own that it had."""
    source, parts = work.pattern.source, work.parts
    new = {link.kind: link for link in source.parts.links(new_part)}
    drawn = [link for link in gone if link.kind == "drawing" and has_own(parts, link, DRIVE_ON_MARKS)]
    kept = drawn + [link for link in gone if link.kind in NOTES and "comments" not in new]
    ours = new.pop("drawing", None) if drawn else None
    for link in new.values():
        parts.link(part, link.type, bring_part(source, link.part, parts, {}), link.id)
    for link in drawn:
        charts = exchange(parts, link, DRIVE_ON_MARKS, source, ours.part if ours else "", {})
        remove_unlinked(parts, charts, [])
    for link in kept:
        id_ = parts.link(part, link.type, link.part)
        if link.kind == "drawing":
            data = with_link(data, part, "drawing", id_, f"legacyDrawing|{_LATER}")
        elif link.kind == "vmlDrawing":
            data = with_link(data, part, "legacyDrawing", id_, _LATER)
    return data, kept


def _carried(work: Work, change: SheetChange, data: bytes) -> bytes:
    """A new sheet with what a person wrote on the old one."""
    edit = SheetEdit(SheetXml(data, change.name), work.package.from_1904)
    old = work.edits[change.name].sheet
    for place, (to, content) in change.carried.items():
        style = style_of(old, *coordinate_to_tuple(place))
        row, column = coordinate_to_tuple(to)
        if isinstance(content, Formula):
            content = replace(content, text=_renamed(content.text, work.renamed))
        edit.add(row, column, Write(content, b"%d" % style))
    carried = {to for to, _ in change.carried.values()}
    formulas = [(number, cell.column) for number, cell, _ in SheetForms(edit.sheet).all()]
    for row, column in left_open(change.name, carried & labelled_cells(change.name), formulas):
        edit.add(row, column, StoredResult(None))
    return b"".join(spliced(data, edit.finish()))


def _place(work: Work, name: str) -> int:
    """Where among the tabs a sheet of ours belongs: behind the last of those before it."""
    order = [sheet.name for sheet in work.pattern.source.package.sheets]
    renamed = {form.table.sheet: work.pattern.tables[table].sheet for table, form in work.forms.items()}
    tabs = [renamed.get(tab, tab) for tab in work.book.sheet_names()]
    before = [tabs.index(one) for one in order[: order.index(name)] if one in tabs]
    return max(before, default=-1) + 1


def _write_print_names(work: Work, name: str) -> None:
    """What is printed of a sheet that was written new."""
    new = work.pattern.source
    place = [sheet.name for sheet in new.package.sheets].index(name)
    here = work.book.sheet_names().index(name)
    from_new = work.pattern_names()
    wanted = [Name(one.name, one.text, here) for one in from_new if one.sheet == place]
    held = [one for one in work.book.names() if one.sheet == here and one.name.startswith("_xlnm.Print_")]
    keep = {one.name for one in wanted}
    work.book.set_names(wanted, [(one.name, here) for one in held if one.name not in keep])


def _store_results(work: Work, name: str, *, keep: bool) -> None:
    """The results of a sheet of ours that stays, and formulas put back on it."""
    edit, held = work.edits[name], work.held[name]
    change = next((one for one in work.changes if one.name == name), SheetChange(name))
    new = work.new(name)
    filled = [cell for cell in labelled_cells(name) if held.get(coordinate_to_tuple(cell)) not in (None, "")]
    formulas = [(number, cell.column) for number, cell, _ in SheetForms(edit.sheet).all()]
    stays = {*left_open(name, filled, [*formulas, *change.cells])}
    for place in formulas:
        if place in stays or place not in new.forms:  # one of the person's own, which no one calculates here
            continue
        result = new.result(place)
        if place not in change.cells and not same_result(held.get(place), result):  # type: ignore[arg-type]
            edit.add(*place, StoredResult(result))  # type: ignore[arg-type]
    if not keep:
        for place, formula in change.cells.items():
            edit.add(*place, Write(replace(formula, result=None) if place in stays else formula))


def _rename_in_formulas(work: Work) -> bool:
    """Let formulas and names of the person's own say the new name of a heading of ours; whether any did."""
    renamed = work.renamed
    tables = {form.table.sheet for form in work.forms.values()}
    found = False
    for sheet, number, cell in own_formulas(work):
        xml = work.edit(sheet).sheet
        text = xml.whole_formula(cell, reference(number, cell.column))
        new = _renamed(text, renamed)
        if new != text:
            found = True
            if sheet in tables:
                work.edit(sheet).add(number, cell.column, Write(Formula(new)))
    if found:
        _rename_on_own_sheets(work, renamed, tables)
    names = [replace(name, text=_renamed(name.text, renamed)) for name in work.book.names()]
    work.book.set_names(name for name in names if any(new in name.text for new in renamed.values()))
    return found


def _rename_on_own_sheets(work: Work, renamed: Mapping[str, str], tables: Collection[str]) -> None:
    """The same on sheets that are the person's own: only in their formulas, every other byte stays."""

    def in_formula(found: re.Match[bytes]) -> bytes:
        return _renamed(found[0].decode(), renamed).encode()

    ours = {sheet.name for sheet in work.pattern.source.package.sheets} | set(tables)
    for sheet in work.package.sheets:
        if sheet.kind == "worksheet" and sheet.name not in ours:
            data = work.parts.read(sheet.part)
            work.parts.write(sheet.part, re.sub(rb"<(?:\w+:)?f[ >][^<]*<", in_formula, data))


def _renamed(text: str, renamed: Mapping[str, str]) -> str:
    for old, new in renamed.items():
        text = text.replace(old, new)
    return text


def own_formulas(work: Work) -> Iterator[tuple[str, int, Cell]]:
    """Sheet, row and cell of each formula that is not ours, which no one calculates here."""
    ours = {sheet.name for sheet in work.pattern.source.package.sheets}
    tables = {form.table.sheet: form for form in work.forms.values()}
    for sheet in work.package.sheets:
        if sheet.kind != "worksheet" or (sheet.name in ours and sheet.name not in tables):
            continue
        xml = work.edit(sheet.name).sheet
        form = tables.get(sheet.name)
        columns = {form.places[heading] for heading in form.formulas} if form else set()
        for row in xml.rows.values():
            if xml.formula_places(row):
                for cell in xml.cells(row):
                    if cell.column not in columns and xml.formula(cell) is not None:
                        yield sheet.name, row.number, cell
