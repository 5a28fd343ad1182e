"""Which results of a lot workbook are not stored as its inputs have them, and which cells are ours to store them in.

A result cell that a person typed over, or whose formula a person changed, is left alone and reported. Formulas
elsewhere in the workbook are not calculated here: where any of them reads the lot, and the lot changed, all lose their
stored results, so that every program calculates them on opening instead of showing old figures. ``form.anew`` works
out those of our other sheets too.
"""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property, partial

from openpyxl.utils import get_column_letter
from openpyxl.utils.cell import coordinate_from_string

from tarelot.workbook_templates.hauling import upkeep
from tarelot.workbook_templates.lot import options as options_sheet
from tarelot.workbook_templates.lot.columns import TABLE
from tarelot.workbook_templates.lot.expressions import ROW, formulas_in, in_row
from tarelot.workbook_templates.lot.reading import LotSheet, Value
from tarelot.workbook_templates.lot.results import lot_results
from tarelot.workbook_templates.ooxml.cell_xml import Result, escaped, moved_formula, number_text
from tarelot.workbook_templates.ooxml.package import defined_names
from tarelot.workbook_templates.ooxml.reading import Package
from tarelot.workbook_templates.ooxml.sheet_xml import Cell, Row, SheetXml
from tarelot.workbook_templates.ooxml.splice import attributes
from tarelot.workbook_templates.sheets import at_a_glance, start
from tarelot.workbook_templates.updates.fields import SAME_WITHIN

LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
OWN_FORMULA = "holds a formula of your own"
NO_FORMULA = "has no formula, and columns that ours reads are not in the lot"

_TOKEN = re.compile(
    r'"(?:[^"]|"")*"|\[[^\[\]]*\]|\b(?:true|false)\(\)|(?<![\w.])(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?|\s+', re.IGNORECASE
)
_VALUE = re.compile(rb"<(?:[\w.-]+:)?v[\s>/]")
"""Something stored in a cell; an empty text too."""


@dataclass
class ResultUpdate:
    """What is to be stored.

    Attributes:
        store: Sheet to cell to result, for cells whose formula stays; None takes a stored result away.
        formulas: Cell of the lot's sheet to the formula that it lacks.
        left_alone: Cells that are not ours to fill, each with why.
        own_formulas: How many formulas outside the lot's results are left to the spreadsheet program, by sheet.
        why: Why those of a sheet of ours are, by sheet, where that is known.
        entries: How many formulas stand where something is to be typed, by sheet; results are made of what they last
            came to.
    """

    store: dict[str, dict[str, Result]] = field(default_factory=dict)
    formulas: dict[str, tuple[str, Result]] = field(default_factory=dict)
    left_alone: dict[str, str] = field(default_factory=dict)
    own_formulas: Counter[str] = field(default_factory=Counter)
    why: dict[str, str] = field(default_factory=dict)
    entries: Counter[str] = field(default_factory=Counter)

    @property
    def taken_away(self) -> int:
        """How many stored results are to be taken away."""
        return sum(value is None for cells in self.store.values() for value in cells.values())

    @property
    def count(self) -> int:
        """How many results are to be stored."""
        ours = sum(value is not None for cells in self.store.values() for value in cells.values())
        return ours + len(self.formulas)


def result_formulas(lot: LotSheet, *, by_name: bool) -> dict[str, Callable[[int], str]]:
    """The formula of each result column that the table has, by heading, for a row's number: the table's own if stated.

    Without those that read a column which the table lacks, as that of an older lot may: they are a person's own.

    One that names cells of its row is stated for the first row below the headings, and moves along.
    """
    first, has_limits = lot.table.first_row, lot.limits is not None
    found: dict[str, Callable[[int], str]] = {}
    for heading, text in formulas_in(lot.columns, lot.units, by_name=by_name, has_limits=has_limits).items():
        stated = lot.table.formulas.get(heading)
        if stated is None or plain_form(stated) == plain_form(in_row(text, first)):
            found[heading] = partial(in_row, text)
        else:
            found[heading] = partial(_moved, stated, lot.columns[heading], first)
    return found


def _moved(stated: str, letter: str, first: int, number: int) -> str:
    """The table's own formula of a column, which reads so in the first row, as it reads in another."""
    return moved_formula(stated, f"{letter}{first}", f"{letter}{number}")


def result_update(lot: LotSheet, touched: Collection[int] = (), *, anew: bool = False) -> ResultUpdate:
    """What has to be stored so that every result of the workbook is that of its inputs.

    Args:
        lot: The lot as its file holds it now.
        touched: Rows of the sheet whose inputs were just changed.
        anew: Whether every result that is not worked out here is taken away, the lot changed or not.
    """
    names = defined_names(lot.path)
    with Package(lot.path) as package:
        return _Search(lot, package, names, touched, anew=anew).run()


def plain_form(formula: str) -> str:
    """A formula without what programs change when they save it: case, spaces, how a number or TRUE is written.

    >>> plain_form("IF(A1 >1E+12,1)") == plain_form("if(A1>1000000000000,1.0)")
    True
    >>> plain_form("IF(A1=FALSE,1)") == plain_form("IF(A1=FALSE(),1)")
    True
    """

    def plain(match: re.Match[str]) -> str:
        token = match[0]
        if token[0] in '"[':
            return token
        if token[-1] == ")":
            return token[:-2]
        return repr(float(token)) if token.strip() else ""

    return _TOKEN.sub(plain, formula.removeprefix("=").replace("\r\n", "\n")).casefold()


class _Search:
    """One search through a workbook."""

    def __init__(
        self, lot: LotSheet, package: Package, names: Mapping[str, str], touched: Collection[int], *, anew: bool
    ) -> None:
        self.lot, self.package, self.names, self.touched, self.anew = lot, package, names, touched, anew
        self.update = ResultUpdate()
        self.sheet = SheetXml(package.text(package.sheet(lot.sheet).part), lot.sheet)
        self.plain_forms: dict[str, str] = {}
        self.shared_forms: dict[bytes, str] = {}
        self.formulas = result_formulas(lot, by_name=lot.by_name)
        self.expected: dict[str, set[str]] = {heading: set() for heading in self.formulas}
        for by_name in (False, True):
            ours = formulas_in(lot.columns, lot.units, by_name=by_name, has_limits=lot.limits is not None)
            for heading, text in ours.items():
                self.expected[heading].add(plain_form(text))

    def run(self) -> ResultUpdate:
        """The whole search."""
        found = lot_results([row.values for row in self.lot.rows], self.lot.options, self.lot.units, self.lot.limits)
        cells: dict[str, Result] = {}
        for row, computed in zip(self.lot.rows, found, strict=True):
            here = {h: value for h, value in computed.items() if h in self.lot.columns}
            if any(not same_result(row.stored.get(h), value) for h, value in here.items()):
                cells |= self._row(row.number, here, row.stored)
        self.update.store[self.lot.sheet] = cells
        is_changed = bool(self.anew or self.touched or cells or self.update.formulas)
        filled: list[dict[str, object]] = [
            {**row.values, **computed} for row, computed in zip(self.lot.rows, found, strict=True)
        ]
        ours = self._start(filled, is_changed=is_changed)
        if is_changed:
            self._own_formulas(ours)
        self.update.store = {sheet: stored for sheet, stored in self.update.store.items() if stored}
        return self.update

    def _row(self, number: int, computed: Mapping[str, Result], stored: Mapping[str, Value]) -> dict[str, Result]:
        """The results to store in one row that has at least one that differs.

        Where a person put something of their own into a result cell, the others may read it: they are left to the
        spreadsheet program if the row was touched, and else as they are.
        """
        row = self.sheet.rows.get(number)
        here = {get_column_letter(cell.column): cell for cell in (self.sheet.cells(row) if row else ())}
        cells: dict[str, Result] = {}
        lacking: dict[str, tuple[str, Result]] = {}
        is_troubled = False
        for heading, value in computed.items():
            place, cell = f"{self.lot.columns[heading]}{number}", here.get(self.lot.columns[heading])
            if cell is None or self.sheet.is_empty(cell):
                if heading in self.formulas:
                    lacking[place] = self.formulas[heading](number), value
                else:
                    is_troubled = True
                    self.update.left_alone[f"{self.lot.sheet}!{place}"] = f"{heading} {NO_FORMULA}"
            elif self.sheet.formula(cell) is None:
                if not same_result(stored.get(heading), value):
                    is_troubled = True
                    self.update.left_alone[f"{self.lot.sheet}!{place}"] = f"{heading} is typed over"
            elif self._plain_form(cell, number) not in self.expected.get(heading, ()):
                is_troubled = True
                self.update.left_alone[f"{self.lot.sheet}!{place}"] = f"{heading} {OWN_FORMULA}"
            elif not same_result(stored.get(heading), value):
                cells[place] = value
        if not is_troubled:
            self.update.formulas |= lacking
            return cells
        if number not in self.touched and not self.anew:
            return {}
        self.update.formulas |= {place: (formula, None) for place, (formula, _) in lacking.items()}
        return {f"{self.lot.columns[h]}{number}": None for h in computed if self._has_result(here, h)}

    def _plain_form(self, cell: Cell, number: int) -> str:
        """The plain form of a cell's formula, ``ROW`` in place of its row's number; found once for each writing."""
        written = self.sheet.formula(cell) or b""
        if written in self.shared_forms:
            return self.shared_forms[written]
        text = self.sheet.formula_text(cell)
        is_shared = not text
        if is_shared:
            text, first = self.sheet.shared_formulas.get(attributes(written).get(b"si", b""), ("", "A0"))
            number = int(first.lstrip(LETTERS))
        if text not in self.plain_forms:
            self.plain_forms[text] = plain_form(_of_any_row(text, number))
        if is_shared:  # written alike in every row but the first
            self.shared_forms[written] = self.plain_forms[text]
        return self.plain_forms[text]

    def _has_result(self, here: Mapping[str, Cell], heading: str) -> bool:
        """Whether a formula stands there that has a result stored."""
        cell = here.get(self.lot.columns[heading])
        return cell is not None and self.sheet.formula(cell) is not None and has_result(cell)

    def _start(self, rows: list[dict[str, object]], *, is_changed: bool) -> set[str]:
        """The figures of the Start sheet, where they still stand in their places; which cells are ours there.

        Those of a lot with results of a person's own are what a program made of them, until something changes.
        """
        names = {sheet.name for sheet in self.package.sheets if sheet.kind == "worksheet"}
        if start.SHEET not in names:
            return set()
        sheet = SheetXml(self.package.text(self.package.sheet(start.SHEET).part), start.SHEET)
        found = {place: cell for row in sheet.rows.values() for place, cell in _formula_cells(sheet, row)}
        ours: set[str] = set()
        cells: dict[str, Result] = {}
        for place, formula, figure in self._on_start(rows, found, sheet):
            cell = found.get(place)
            if cell is None or plain_form(sheet.formula_text(cell)) != plain_form(formula):
                continue
            ours.add(place)
            if self.update.left_alone:
                cells |= {place: None} if is_changed and has_result(cell) else {}
            elif (sheet.stored(cell) or b"") != _as_stored(figure):
                cells[place] = figure
        self.update.store[start.SHEET] = cells
        # What is gone, typed over or below a table is no business of an import, which refuses what it would break.
        ours |= {cell for cell in found if cell in upkeep.CELLS or cell.rstrip("0123456789") in upkeep.COLUMNS}
        return ours

    def _on_start(
        self, rows: list[dict[str, object]], found: Mapping[str, Cell], sheet: SheetXml
    ) -> Iterator[tuple[str, str, Result]]:
        """The cell, the formula and the result of each figure of Start."""
        figures = zip(start.figure_cells(), start.figures(), start.figure_results(rows), strict=True)
        yield from ((place, formula, figure) for place, (_, formula), figure in figures)
        formulas = at_a_glance.formulas(self.lot.units)
        if formulas.keys() <= found.keys():
            results = at_a_glance.stored(rows, self.lot.units, _typed_number(sheet, at_a_glance.DATE.replace("$", "")))
            yield from ((place, text, results[place]) for place, text in formulas.items())

    def _own_formulas(self, ours_on_start: Collection[str]) -> None:
        """Take the stored results of a person's own formulas away where any of them reads the lot."""
        own: dict[str, list[str]] = {}
        count: Counter[str] = Counter()
        is_read = self.anew or any(
            self._reads_lot(text) for name, text in self.names.items() if not name.startswith("LOT_")
        )
        for sheet in self.package.sheets:
            if sheet.kind != "worksheet":
                continue
            is_lot = sheet.name == self.lot.sheet
            xml = self.sheet if is_lot else SheetXml(self.package.text(sheet.part), sheet.name)
            if is_lot and _formula_count(xml) == self._expected_count():
                continue
            for row in xml.rows.values():
                if is_read and sheet.name not in (self.lot.sheet, start.SHEET) and not xml.finds(_VALUE, row):
                    count[sheet.name] += len(xml.formula_places(row))  # nothing there to take away
                    continue
                for place, cell in self._not_ours(xml, row, ours_on_start):
                    count[sheet.name] += 1
                    if has_result(cell):
                        own.setdefault(sheet.name, []).append(place)
                    is_read = is_read or is_lot or self._reads_lot(xml.formula_text(cell))
        count = +count  # without the sheets that hold none
        if not count or not is_read:
            return
        self.update.own_formulas = count
        for name, places in own.items():
            self.update.store.setdefault(name, {}).update(dict.fromkeys(places))

    def _not_ours(self, sheet: SheetXml, row: Row, ours_on_start: Collection[str]) -> Iterator[tuple[str, Cell]]:
        """The cells of a row that hold a formula which is no figure of ours."""
        for place, cell in _formula_cells(sheet, row):
            is_ours = sheet.name == self.lot.sheet and self._is_ours(cell, place)
            if not is_ours and not (sheet.name == start.SHEET and place in ours_on_start):
                yield place, cell

    @cached_property
    def _letters(self) -> set[str]:
        """The columns of our results and inputs."""
        return {self.lot.columns[heading] for heading in (*self.formulas, *self.lot.inputs())}

    def _expected_count(self) -> int:
        table = self.lot.table
        return len(self.formulas) * (table.last_row - table.first_row + 1)

    def _is_ours(self, cell: Cell, place: str) -> bool:
        """Whether a cell is a result of ours, or an input: what a formula there came to is what results are made of."""
        table, number = self.lot.table, int(place.lstrip(LETTERS))
        return table.first_row <= number <= table.last_row and get_column_letter(cell.column) in self._letters

    def _reads_lot(self, formula: str) -> bool:
        """Whether a formula reads the lot, or may do so."""
        sheets = (self.lot.sheet.replace("'", "''"), start.SHEET)
        words = [
            f"{TABLE}[",
            f"{options_sheet.TABLE}[",
            "INDIRECT(",
            *(f"{s}!" for s in sheets),
            *(f"{s}'!" for s in sheets),
        ]
        return any(word.casefold() in formula.casefold() for word in words)


def _formula_count(sheet: SheetXml) -> int:
    return sum(len(sheet.formula_places(row)) for row in sheet.rows.values())


def _formula_cells(sheet: SheetXml, row: Row) -> Iterator[tuple[str, Cell]]:
    """The cells of a row that hold a formula."""
    for cell in sheet.cells(row):
        if sheet.formula(cell) is not None:
            yield f"{get_column_letter(cell.column)}{row.number}", cell


def _of_any_row(text: str, number: int) -> str:
    """A formula with ``ROW`` in place of its row's number in references such as AB5, outside of texts and brackets."""
    own = re.compile(rf'("(?:[^"]|"")*"|\[[^\[\]]*\])|(?<![\w.$!])([A-Z]{{1,3}}){number}(?![\w.(!])', re.IGNORECASE)
    return own.sub(lambda match: match[1] or match[2] + ROW, text)


def has_result(cell: Cell) -> bool:
    """Whether something is stored in a cell, an empty text too."""
    return bool(_VALUE.search(cell.plain))


def same_result(stored: Value, computed: Result) -> bool:
    """Whether a stored result is the computed one."""
    if stored is None or isinstance(stored, str):
        return (stored or "") == computed
    if isinstance(stored, bool) or not isinstance(stored, int | float) or not isinstance(computed, int | float):
        return False
    return math.isclose(stored, computed, rel_tol=SAME_WITHIN, abs_tol=SAME_WITHIN)


def _as_stored(result: Result) -> bytes:
    """A result as its cell holds it; nothing for an empty text."""
    if isinstance(result, (bool, int, float)):
        return number_text(float(result))
    return escaped(result or "")


def _typed_number(sheet: SheetXml, place: str) -> float | None:
    """The number typed in a cell; None for none, a text or a formula."""
    letters, number = coordinate_from_string(place)
    row = sheet.rows.get(number)
    for cell in sheet.cells(row) if row else ():
        is_number = attributes(cell.tag).get(b"t", b"n") == b"n" and sheet.formula(cell) is None
        if get_column_letter(cell.column) == letters and is_number and (text := sheet.stored(cell)):
            return float(text)
    return None
