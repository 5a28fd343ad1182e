"""A whole workbook, written the same byte for byte each time: sheets, names, stored results."""

from __future__ import annotations

import io
from collections.abc import Mapping, Sequence
from pathlib import Path
from tempfile import TemporaryDirectory

from openpyxl import Workbook
from openpyxl.packaging.custom import IntProperty
from openpyxl.utils import get_column_letter
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.workbook.properties import CalcProperties
from openpyxl.workbook.protection import WorkbookProtection
from openpyxl.worksheet.worksheet import Worksheet

from tarelot.calc.cells.formulas import name_formula
from tarelot.calc.registry import FUNCTIONS
from tarelot.workbook_templates.basis import style
from tarelot.workbook_templates.basis.format_number import FORMAT, PROPERTY
from tarelot.workbook_templates.basis.limits import Typed
from tarelot.workbook_templates.basis.units import US, Units
from tarelot.workbook_templates.hauling import one_trailer, upkeep
from tarelot.workbook_templates.hauling.card import sheet as card
from tarelot.workbook_templates.hauling.compare import sheet as compare
from tarelot.workbook_templates.hauling.compare import stored as compare_stored
from tarelot.workbook_templates.hauling.drive_on import sheet as drive_on_sheet
from tarelot.workbook_templates.hauling.match import sheet as match
from tarelot.workbook_templates.hauling.match import stored as match_stored
from tarelot.workbook_templates.hauling.quote import sheet as quote
from tarelot.workbook_templates.hauling.results import Hauling, demo_hauling, what_if_results
from tarelot.workbook_templates.hauling.what_if import aboard
from tarelot.workbook_templates.hauling.what_if import sheet as what_if
from tarelot.workbook_templates.lot import options
from tarelot.workbook_templates.lot import sheet as lot
from tarelot.workbook_templates.lot.column import Input
from tarelot.workbook_templates.lot.columns import headings, results
from tarelot.workbook_templates.lot.results import lot_results
from tarelot.workbook_templates.ooxml.package import store_results
from tarelot.workbook_templates.ooxml.tidy import WRITTEN, repack
from tarelot.workbook_templates.sheets import (
    at_a_glance,
    demo_yard,
    incoming,
    limits,
    list_sheet,
    machines,
    sources,
    start,
    trucks,
    yard,
)
from tarelot.workbook_templates.sheets import options as options_sheet
from tarelot.workbook_templates.sheets.measuring import sheet as measuring
from tarelot.workbook_templates.sheets.tickets import columns as ticket_columns
from tarelot.workbook_templates.sheets.tickets import sheet as tickets_sheet

CALCULATION_ID = 191029
"""Of a current program, so that none calculates anew on opening: the stored results stand."""
BLANK_TRAILERS = 200
SPARE_ROWS = 6
"""Rows left to fill below the demo yard."""
DEMO_MATCH = ("Backhoe 15", "Tandem dump 58")
"""Machine and truck that the demo's Match shows at first: some trailers carry it, some lack this or that."""

Rows = Sequence[Mapping[str, object]]
Pairs = Sequence[tuple[object, ...]]


def write_new(path: Path, units: Units = US, *, by_name: bool = False) -> None:
    """Write an empty lot workbook."""
    write(path, [{}] * BLANK_TRAILERS, [(None, None)] * options.BLANK_ROWS, units, by_name=by_name)


def write_demo(path: Path, *, by_name: bool = False) -> None:
    """Write the demo yard's workbook."""
    rows = [*demo_yard.trailers(), *[{}] * SPARE_ROWS]
    pairs: Pairs = [*demo_yard.options(), *[(None, None)] * SPARE_ROWS]
    weighed = [*tickets_sheet.demo_rows(), *[{}] * SPARE_ROWS]
    write(path, rows, pairs, US, by_name=by_name, hauling=demo_hauling(), match_choices=DEMO_MATCH, tickets=weighed)


def write(
    path: Path,
    rows: Rows,
    pairs: Pairs,
    units: Units,
    *,
    by_name: bool = False,
    hauling: Hauling | None = None,
    match_choices: tuple[object, object] = (None, None),
    only: str = "",
    typed: Typed | None = None,
    tickets: Rows | None = None,
) -> None:
    """Write a workbook of trailers and options with every result stored beside its formula.

    Args:
        path: Where to.
        rows: Inputs by heading, one mapping a trailer; empty ones are rows to fill.
        pairs: Names and weights of the options, who fits them, and their prices.
        units: The workbook's units.
        by_name: Whether cells call the add-in's functions instead of plain formulas.
        hauling: Machines, trucks and what What-if shows at first; without it rows to fill.
        match_choices: Machine and truck that Match shows at first.
        typed: What the yard typed on its Limits sheet.
        tickets: Weighings, by heading; without them rows to fill.
        only: Compare, Card or Quote, where every other sheet is hidden, for a workbook that is only to be printed.
    """
    hauling = hauling or Hauling()
    weighed = [{}] * ticket_columns.BLANK_ROWS if tickets is None else tickets
    book = Workbook()
    book.remove(book.active)
    _add_sheets(book, rows, pairs, units, hauling, match_choices, typed, weighed, by_name=by_name)
    calculated = stored(rows, pairs, units, hauling, match_choices, typed, weighed)
    singles = (
        *(one_trailer.SHEET, what_if.SHEET, match.SHEET, compare.SHEET, card.SHEET, quote.SHEET),
        *(limits.SHEET, drive_on_sheet.SHEET, start.SHEET),
    )
    calculated[start.SHEET] |= upkeep.write(book[start.SHEET], units, {name: book[name] for name in singles})
    if only:
        _show_only(book, book[only])
    fitted = {card.SHEET: card, quote.SHEET: quote}
    if only in fitted:
        fitted[only].fit_for_print(book[only], calculated[only])
    _color_tabs(book)
    if not by_name:
        _add_names(book)
    book.security = WorkbookProtection(lockStructure=True)  # so that none is deleted by mistake
    book.calculation = CalcProperties(calcId=CALCULATION_ID, fullCalcOnLoad=False)
    book.properties.creator, book.properties.created = "Tarelot", WRITTEN
    book.custom_doc_props.append(IntProperty(name=PROPERTY, value=FORMAT))
    buffer = io.BytesIO()
    book.save(buffer)
    with TemporaryDirectory() as folder:
        plain = Path(folder) / "plain.xlsx"
        repack(buffer, plain)
        store_results(plain, path, calculated)


def _add_sheets(
    book: Workbook,
    rows: Rows,
    pairs: Pairs,
    units: Units,
    hauling: Hauling,
    match_choices: tuple[object, object],
    typed: Typed | None,
    tickets: Rows,
    *,
    by_name: bool,
) -> None:
    """Every sheet, in the order of its tabs."""
    first = book.create_sheet(start.SHEET)
    start.write(first, units)
    yard.write(first, hauling.card)
    at_a_glance.write(first, units)
    lot.write(book.create_sheet(lot.SHEET), rows, units, by_name=by_name)
    one_trailer.write(book.create_sheet(one_trailer.SHEET), units)
    asked = book.create_sheet(what_if.SHEET)
    match.write(book.create_sheet(match.SHEET), len(rows), match_choices, units)
    compare.write(book.create_sheet(compare.SHEET), hauling.compared, units)
    page = book.create_sheet(card.SHEET)
    quote.write(book.create_sheet(quote.SHEET), units, hauling.quote)
    tickets_sheet.write(book.create_sheet(ticket_columns.SHEET), tickets, units, by_name=by_name)
    options_sheet.write(book.create_sheet(options.SHEET), pairs, units)
    machines.write(book.create_sheet(machines.SHEET), hauling.machines, units)
    trucks.write(book.create_sheet(trucks.SHEET), hauling.trucks, units)
    measuring.write(book.create_sheet(measuring.SHEET), units)
    limits.write(book.create_sheet(limits.SHEET), units, typed)
    incoming.write(book.create_sheet(incoming.SHEET), units)
    sources.write(book.create_sheet(sources.SHEET), units)
    helper = book.create_sheet(drive_on_sheet.SHEET)
    what_if.write(asked, helper, hauling.choices, units, hauling.typed)
    card.write(page, helper, units, hauling.card)
    yard.write_links(first, book.sheetnames)


def _color_tabs(book: Workbook) -> None:
    """Tabs by their use: where answers are, where a person types, and what stands behind both."""
    answers = (start.SHEET, one_trailer.SHEET, what_if.SHEET, match.SHEET, compare.SHEET, card.SHEET, quote.SHEET)
    lists = (lot.SHEET, ticket_columns.SHEET, options.SHEET, machines.SHEET, trucks.SHEET, limits.SHEET, incoming.SHEET)
    for sheet in book.worksheets:
        is_answer, is_typed = sheet.title in answers, sheet.title in lists
        color = style.GLANCE_BAND.band if is_answer else style.CHECKS_BAND.heading if is_typed else style.LINE
        sheet.sheet_properties.tabColor = color


def _add_names(book: Workbook) -> None:
    """The functions as names inside the workbook."""
    for function in FUNCTIONS:
        if function.formula is not None:
            text = name_formula(function)
            book.defined_names[function.name] = DefinedName(function.name, attr_text=text, comment=function.help)


def _show_only(book: Workbook, page: Worksheet) -> None:
    """Hide every other sheet, and take its print area away: LibreOffice prints that of a hidden sheet too."""
    book.active = book.index(page)
    for sheet in book.worksheets:
        sheet.sheet_state = "visible" if sheet is page else "hidden"
        sheet.sheet_view.tabSelected = sheet is page
        if sheet is not page:
            sheet.print_area = None


def stored(
    rows: Rows,
    pairs: Pairs,
    units: Units,
    hauling: Hauling,
    match_choices: tuple[object, object],
    typed: Typed | None = None,
    tickets: Rows = (),
) -> dict[str, dict[str, float | str | bool | None]]:
    """Every result by sheet and cell."""
    found = lot_results(rows, pairs, units, typed)
    order = headings(units)
    places = {units.heading(c.heading): get_column_letter(order.index(units.heading(c.heading)) + 1) for c in results()}
    cells: dict[str, float | str | bool | None] = {
        f"{places[heading]}{number}": value
        for number, row in enumerate(found, lot.FIRST_ROW)
        for heading, value in row.items()
    }
    filled = [{**row, **result} for row, result in zip(rows, found, strict=True)]
    figures: dict[str, float | str | bool | None] = dict(
        zip(start.figure_cells(), start.figure_results(filled), strict=True)
    )
    figures |= at_a_glance.stored(filled, units)
    asked = what_if_results(filled, hauling, units, typed)
    lists = (filled, hauling.machines, hauling.trucks)
    also_aboard = asked[what_if.SHEET][aboard.SUMMARY.replace("$", "")]
    matched = match_stored.stored(*lists, match_choices, units, typed, hauling.choices[1:], also_aboard)
    return {
        lot.SHEET: cells,
        start.SHEET: figures,
        match.SHEET: matched,
        ticket_columns.SHEET: tickets_sheet.stored(tickets, filled, units, typed),
        compare.SHEET: compare_stored.stored(filled, matched, match_choices, hauling.compared, units, typed),
        limits.SHEET: limits.stored(units, typed),
        machines.SHEET: _checks(machines.COLUMNS, machines.doubts(hauling.machines, units, typed)),
        trucks.SHEET: _checks(trucks.COLUMNS, trucks.doubts(hauling.trucks, units, typed)),
        one_trailer.SHEET: one_trailer.stored(filled, hauling.choices[0], units),
        quote.SHEET: quote.stored(filled, pairs, hauling.choices[0], hauling.on_quote, units),
        **asked,
    }


def _checks(columns: Sequence[Input], found: Sequence[str]) -> dict[str, float | str | bool | None]:
    """The entry checks of a list's rows by cell."""
    letter = get_column_letter(len(columns) + 1)
    return {f"{letter}{number}": words for number, words in enumerate(found, list_sheet.FIRST_ROW)}
