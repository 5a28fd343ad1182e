"""The sheets that the workbook fills by itself: written new as a whole where they are of another format or gone.

On them only the cream cells are a person's, and those are read by their meaning: what was chosen and typed over on
What-if, Match and Compare, on the Quote and on Limits; single ones, such as the yard's name, by the label beside them.
What else a person wrote on such a sheet, formulas too, keeps its cell, or, where that is taken now, gets one below; its
notes, and pictures and charts of the person's own, stay on it.

A sheet of today's format stays as it is but for formulas that were written over.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property, partial

from openpyxl.utils import coordinate_to_tuple, get_column_letter

from tarelot.workbook_templates.basis import limits as limit_cells
from tarelot.workbook_templates.hauling import one_trailer
from tarelot.workbook_templates.hauling.card import letterhead
from tarelot.workbook_templates.hauling.card import sheet as card
from tarelot.workbook_templates.hauling.compare import sheet as compare
from tarelot.workbook_templates.hauling.match import columns as match
from tarelot.workbook_templates.hauling.quote import entries as quote_entries
from tarelot.workbook_templates.hauling.quote import page as quote
from tarelot.workbook_templates.hauling.what_if import rows as what_if
from tarelot.workbook_templates.lot.reading import Value
from tarelot.workbook_templates.ooxml.cell_xml import LAST_ROW, Formula
from tarelot.workbook_templates.ooxml.sheet_xml import Cell, SheetXml
from tarelot.workbook_templates.sheets import at_a_glance, start, yard
from tarelot.workbook_templates.updates.form.forms import BROKEN, SheetForms, relative_form
from tarelot.workbook_templates.updates.form.own_cells import Content, own_cells, own_formulas
from tarelot.workbook_templates.updates.form.tables import Overwritten

Adapted = Callable[[str], str]
Held = Mapping[tuple[int, int], Value]
Forms = Mapping[tuple[int, int], str]
"""The form of each formula of a sheet, by row and column."""


@dataclass
class SheetChange:
    """What is to become of one sheet of ours.

    Attributes:
        name: The sheet.
        why: Why it is written new: ``missing``, ``older``, ``broken`` or ``too short``; empty where it stays.
        overwritten: Formulas that a person wrote over; they are put back.
        carried: What a person wrote on it, by the cell where it stands, with the cell where it will.
        cells: Formulas to put back on a sheet that stays, by row and column.
    """

    name: str
    why: str = ""
    overwritten: list[Overwritten] = field(default_factory=list)
    carried: dict[str, tuple[str, Content]] = field(default_factory=dict)
    cells: dict[tuple[int, int], Formula] = field(default_factory=dict)

    @property
    def is_needed(self) -> bool:
        """Whether anything is to be done."""
        return bool(self.why or self.cells)

    @property
    def carried_formulas(self) -> list[str]:
        """Where the formulas that a person wrote on it will stand."""
        return [to for to, content in self.carried.values() if isinstance(content, Formula)]


def typed_cells(name: str) -> set[str]:
    """Cells of a sheet of any format that are typed into and read by their meaning."""
    if name == what_if.SHEET:
        column = {f"H{row}" for row in range(1, 400)}
        return column | {cell.replace("$", "") for cell in what_if.CHOICE_CELLS.values()}
    if name == match.SHEET:
        return {cell.replace("$", "") for cell in match.CHOICES.values()}
    if name == compare.SHEET:
        return {cell.replace("$", "") for cell in compare.CHOICES}
    if name == quote.SHEET:
        return {cell.replace("$", "") for cell in quote_entries.places().values()}
    if name == limit_cells.SHEET:
        return {f"{letter}{row}" for letter in (limit_cells.TYPED, limit_cells.SWITCH) for row in range(1, 400)}
    return set()


def labelled_cells(name: str) -> set[str]:
    """Cells of a sheet that are typed into, and mean what stands left of them."""
    cells = {
        start.SHEET: [*yard.places().values(), at_a_glance.DATE],
        card.SHEET: [letterhead.places()[key] for key in letterhead.TYPED_ROWS],
        match.SHEET: [match.SHOW_CELL, match.ORDER_CELL],
        one_trailer.SHEET: [one_trailer.CHOICE],
    }
    return {cell.split("!")[-1].replace("$", "") for cell in cells.get(name, [])}


def left_open(name: str, filled: Collection[str], formulas: Iterable[tuple[int, int]]) -> list[tuple[int, int]]:
    """The formulas of a sheet whose results hang on what is typed beside a label: a program is to work them out.

    What is typed for the Card's head is known, see ``entries.py``.

    Args:
        name: The sheet.
        filled: The cells of :func:`labelled_cells` in which something is typed.
        formulas: The places of its formulas.
    """
    if name in (match.SHEET, one_trailer.SHEET) and filled:
        return list(formulas)
    if name == start.SHEET and at_a_glance.DATE.replace("$", "") in filled:
        hang_on_it = {coordinate_to_tuple(cell.replace("$", "")) for cell in at_a_glance.cells().values()}
        return [place for place in formulas if place in hang_on_it]
    return []


@dataclass(frozen=True)
class New:
    """A sheet of ours as it is written new.

    Attributes:
        sheet: The sheet.
        said: What its cells hold, by row and column; those of formulas what they come to.
        adapted: Says in a formula where our tables stand in the person's workbook.
        last_row: The row down to which it is compared.
    """

    sheet: SheetXml
    said: Held
    adapted: Adapted
    last_row: int = LAST_ROW

    def result(self, place: tuple[int, int]) -> Value:
        """What a formula of the person's sheet comes to."""
        return self.said.get(place, "")

    @cached_property
    def forms(self) -> dict[tuple[int, int], str]:
        """The form of each formula, by row and column, as it is to read in the person's workbook."""
        found = _forms_of(self.sheet, self.adapted)
        return {(row, cell.column): form for row, cell, form in found if row <= self.last_row}


def compared(name: str, there: Forms, held: Held, new: New, *, is_older: bool) -> SheetChange:
    """What a sheet of ours that is there needs.

    Args:
        name: The sheet.
        there: The forms of its formulas as it is.
        held: What its cells hold.
        new: It as it is written new.
        is_older: Whether the workbook is of an older format.
    """
    change = SheetChange(name)
    wanted = new.forms
    unlike = [place for place, form in wanted.items() if there.get(place) != form]
    if is_older and (unlike or _says_other(name, held, new, wanted)):
        change.why = "older"
    elif 2 * len(unlike) > len(wanted):
        change.why = "broken"
    else:
        _put_back(change, unlike, there, held, new)
    return change


def _says_other(name: str, held: Held, new: New, formulas: Mapping[tuple[int, int], str]) -> bool:
    """Whether the words of a sheet are not today's."""
    typed = typed_cells(name)
    said = (place for place in new.said if place not in formulas)
    return any(
        held.get(place) != new.said[place] for place in said if f"{get_column_letter(place[1])}{place[0]}" not in typed
    )


def _put_back(
    change: SheetChange, unlike: Sequence[tuple[int, int]], there: Mapping[tuple[int, int], str], held: Held, new: New
) -> None:
    """Plan the formulas that were written over."""
    texts = _formula_texts(new.sheet, unlike, new.adapted)
    for row, column in unlike:
        place, stood = f"{get_column_letter(column)}{row}", held.get((row, column))
        shown = "blank" if stood is None else f"{stood:g}" if isinstance(stood, float) else str(stood)
        if (row, column) in there:
            lost = BROKEN in there[row, column]
            shown = "a formula that lost what it read" if lost else f"another formula, which came to {shown}"
        change.overwritten.append(Overwritten(f"{change.name}!{place}", "", shown))
        result = new.result((row, column))
        change.cells[row, column] = Formula(texts[row, column], result)  # type: ignore[arg-type]


def _forms_of(new: SheetXml, adapted: Adapted) -> Iterator[tuple[int, Cell, str]]:
    """The formulas of the new sheet, as they are to read in the workbook."""
    forms = SheetForms(new)
    for row, cell, form in forms.all():
        text = new.formula_text(cell)
        changed = adapted(text) if text else ""
        yield row, cell, relative_form(changed, row, cell.column) if changed != text else form


def _formula_texts(new: SheetXml, places: Sequence[tuple[int, int]], adapted: Adapted) -> dict[tuple[int, int], str]:
    found = {}
    wanted = set(places)
    for row in new.rows.values():
        for cell in new.cells(row):
            if (row.number, cell.column) in wanted:
                name = f"{get_column_letter(cell.column)}{row.number}"
                found[row.number, cell.column] = adapted(new.whole_formula(cell, name))
    return found


def to_carry(old: SheetXml, there: Forms, held: Held, new: New) -> dict[str, tuple[str, Content]]:
    """What a person wrote on a sheet that is written new, by cell, with the cell where it is to stand."""
    contents = {place: value for place, value in held.items() if isinstance(value, str | int | float | bool)}
    labelled = labelled_cells(old.name)
    found = own_cells(old, contents, list(new.said.values()), typed_cells(old.name), labelled)
    found |= own_formulas(old, there, contents, new.forms)
    sheet = new.sheet
    taken = {
        (row.number, cell.column)
        for row in sheet.rows.values()
        for cell in sheet.cells(row)
        if not sheet.is_empty(cell)
    }
    taken |= {
        (row, column)
        for area in sheet.merged
        for row in range(area.first_row, area.last_row + 1)
        for column in range(area.first_column, area.last_column + 1)
    }
    of_labels = {coordinate_to_tuple(place) for place in labelled}
    taken |= {(row, column) for row, column in of_labels if not _same_label(row, column, held, new)}
    carried: dict[str, tuple[str, Content]] = {}
    for place, content in found.items():
        row, column = coordinate_to_tuple(place)
        if (row, column) in taken:
            row = 2 + max(taken_row for taken_row, taken_column in taken if taken_column == column)
        taken.add((row, column))
        carried[place] = f"{get_column_letter(column)}{row}", content
    return carried


def _same_label(row: int, column: int, held: Held, new: New) -> bool:
    """Whether what stands left of a cell is called the same on the sheet and on the new one."""
    return held.get((row, column - 1)) == new.said.get((row, column - 1))


def _at(first: str, to: str, found: re.Match[str]) -> str:
    """A reference that begins elsewhere; where it names a last row, down to that."""
    return first + (to + found[2] if found[1] else "")


def adapting(tables: Mapping[str, tuple[str, str, int]], ours: Mapping[str, tuple[str, str, int]]) -> Adapted:
    """What says in a formula where tables stand in this workbook.

    Args:
        tables: Sheet, letter of the first heading's column and first row of each table there.
        ours: The same as a new workbook has it.
    """
    moved = {ours[name]: tables[name] for name in ours if name in tables and tables[name] != ours[name]}
    patterns = [
        (re.compile(rf"(?<![\w.'])'?{re.escape(sheet)}'?!\$?{letter}\$?{row}(:\$?{letter}\$?([0-9]+))?(?![0-9])"), to)
        for (sheet, letter, row), to in moved.items()
    ]

    def adapted(text: str) -> str:
        for pattern, (sheet, letter, row) in patterns:
            name = sheet if re.fullmatch(r"[A-Za-z_]\w*", sheet) else "'" + sheet.replace("'", "''") + "'"
            text = pattern.sub(partial(_at, f"{name}!${letter}${row}", f":${letter}$"), text)
        return text

    return adapted
