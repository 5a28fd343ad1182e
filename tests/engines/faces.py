"""The faces of a worksheet function, each as one call: many cases in, their values out.

A case is a function with cell values, None for a blank cell; a range is a list of rows. What is left out at the end of
a case's arguments is left out of the formula too. Every face returns a float, a text, `""` for a blank or the name of
an error value such as `"#NUM!"`.

The cases of one `Book` stand in one sheet of one workbook, the plain formula and the call beside each other. It is
written once and calculated once by each engine, and each face reads its column.
"""

from __future__ import annotations

import functools
import tempfile
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeAlias

import ironcalc
from openpyxl import Workbook
from openpyxl.utils import get_column_letter
from openpyxl.workbook.defined_name import DefinedName

from tarelot.calc.cells.boundary import ERROR_VALUES, CellError, call
from tarelot.calc.cells.formulas import Call, Cell, call_formula, cell_formula, name_formula
from tarelot.calc.registry import BY_NAME
from tests.engines import gnumeric
from tests.engines.office import Office
from tests.excel.xlwings_stand_in import UdfModule, load_udf_module

SHEET = "Scratch"
PLAIN, CALL = 1, 2
"""The columns of a book's formulas."""
CHECK = "Check: "
"""How the text begins that a cell shows in place of an error, where xlwings calculates."""

Value = float | str
Argument: TypeAlias = Any
"""A number, a text, None for a blank cell, a list of rows for a range, or a Case inside a case."""


@dataclass(frozen=True)
class Case:
    """A worksheet function with the values of the cells that it is called with."""

    function: str
    arguments: tuple[Argument, ...]


Render = Callable[[Call], str]


class Book:
    """Cases in one workbook: the plain formula in column A, the call in column B, the workbook's names that it calls.

    A function that has no plain formula, and so no name made of it, has only the call.
    """

    def __init__(self, cases: Sequence[Case]) -> None:
        self._cases = cases
        self._folder = tempfile.TemporaryDirectory()

    @functools.cached_property
    def sheet(self) -> Sheet:
        """Where the cases stand."""
        return Sheet(self._cases, _plain_formula, call_formula)

    @functools.cached_property
    def path(self) -> Path:
        """The workbook's file."""
        return write(self.sheet, _with_formula(self._cases), Path(self._folder.name))

    @functools.cached_property
    def model(self) -> Any:
        """The workbook as IronCalc calculates it."""
        model = ironcalc.load_from_xlsx(str(self.path), "en", "UTC", "en")
        model.evaluate()
        return model

    def in_python(self) -> list[Value]:
        """The Python functions behind the one boundary that all add-ins share."""
        return in_python(self._cases)

    def plain_in_ironcalc(self) -> list[Value]:
        """The plain formula in IronCalc."""
        self._refuse_without_formula()
        return self._in_ironcalc(PLAIN)

    def name_in_ironcalc(self) -> list[Value]:
        """The workbook's own name, a LAMBDA, called by the cell in IronCalc."""
        self._refuse_without_formula()
        return self._in_ironcalc(CALL)

    def plain_in_office(self, office: Office) -> list[Value]:
        """The plain formula in LibreOffice."""
        self._refuse_without_formula()
        return self._in_office(office, PLAIN)

    def plain_in_gnumeric(self) -> list[Value]:
        """The plain formula in Gnumeric, which has no LAMBDA."""
        self._refuse_without_formula()
        rows = gnumeric.recalculated(self.path, Path(self._folder.name))[SHEET]
        return [_result(rows[row - 1][PLAIN - 1]) for row in self.sheet.formula_rows]

    def addin_in_office(self, office: Office) -> list[Value]:
        """Our extension's function, called by the cell in LibreOffice, which cannot run a LAMBDA."""
        return self._in_office(office, CALL)

    def excel_call_path(self) -> list[Value]:
        """xlwings' own path from a cell's formula to our Excel function and back; no Excel takes part."""
        functions = udf_module()
        return [_result(functions.call(case.function, case.arguments)) for case in self._cases]

    def _refuse_without_formula(self) -> None:
        """Raise the ValueError of a function of which no plain formula can be made."""
        for name in {case.function for case in _with_inner(self._cases)}:
            name_formula(BY_NAME[name])

    def _in_ironcalc(self, column: int) -> list[Value]:
        return [_result(self.model.get_cell_value(0, row, column)) for row in self.sheet.formula_rows]

    def _in_office(self, office: Office, column: int) -> list[Value]:
        values = office.column(self.path, SHEET, get_column_letter(column), self.sheet.formula_rows[-1])
        return [_result(values[row - 1]) for row in self.sheet.formula_rows]


def in_python(cases: Sequence[Case]) -> list[Value]:
    """The Python functions behind the one boundary that all add-ins share."""
    return [_value_in_python(case) for case in cases]


def _value_in_python(case: Case) -> Value:
    cells = [_value_in_python(a) if isinstance(a, Case) else a for a in case.arguments]
    try:
        return call(BY_NAME[case.function], cells)
    except CellError as error:
        return error.code


@functools.cache
def udf_module() -> UdfModule:
    """Our Excel functions, loaded once."""
    return load_udf_module()


def _with_inner(cases: Iterable[Argument]) -> list[Case]:
    """The cases and those inside them."""
    return [c for case in cases if isinstance(case, Case) for c in (case, *_with_inner(case.arguments))]


def _with_formula(cases: Sequence[Case]) -> set[str]:
    """Names of the functions in some cases that have a plain formula."""
    return {name for name in {case.function for case in _with_inner(cases)} if BY_NAME[name].formula is not None}


def _plain_formula(call: Call) -> str:
    """The plain formula of a call, or an empty text where it has none."""
    return cell_formula(call) if BY_NAME[call.function].formula is not None else ""


def _result(value: object) -> Value:
    assert isinstance(value, float | int | str), f"a cell shows {value!r}"
    assert not isinstance(value, bool), f"a cell shows {value!r}"
    return value


class Sheet:
    """Where the cases stand: formulas in the first columns, one for each rendering, the cells that they read to the
    right, a block of rows a case."""

    def __init__(self, cases: Sequence[Case], *renders: Render) -> None:
        self.inputs: list[tuple[int, int, Argument]] = []
        self.columns: list[list[str]] = [[] for _ in renders]
        self.formula_rows: list[int] = []
        self._row, self._column, self._height = 1, 1 + len(renders), 1
        for case in cases:
            placed = self._placed(case)
            for column, render in zip(self.columns, renders, strict=True):
                column.append(render(placed))
            self.formula_rows.append(self._row)
            self._row, self._column, self._height = self._row + self._height, 1 + len(renders), 1

    @property
    def formulas(self) -> list[str]:
        """The formulas of the first column."""
        return self.columns[0]

    def _placed(self, case: Case) -> Call:
        """The case with references to its cells."""
        return Call(
            case.function, tuple(self._placed(a) if isinstance(a, Case) else self._cells(a) for a in case.arguments)
        )

    def _cells(self, value: Argument) -> Cell:
        """One cell or a block of cells for a value, and the reference to it."""
        rows = value if isinstance(value, list) else [[value]]
        top, left = self._row, self._column
        self.inputs += [(top + r, left + c, v) for r, row in enumerate(rows) for c, v in enumerate(row)]
        self._column += len(rows[0])
        self._height = max(self._height, len(rows))
        first = f"{get_column_letter(left)}{top}"
        if not isinstance(value, list):
            return Cell(first)
        return Cell(f"{first}:{get_column_letter(self._column - 1)}{top + len(rows) - 1}")


def write(sheet: Sheet, names: Iterable[str], folder: Path) -> Path:
    """A workbook with the cases in one sheet and the functions named as its own names."""
    book = Workbook()
    page = book.active
    assert page is not None
    page.title = SHEET
    for column, formulas in enumerate(sheet.columns, start=1):
        for row, formula in zip(sheet.formula_rows, formulas, strict=True):
            if formula:
                page.cell(row, column, f"={formula}")
    for row, column, value in sheet.inputs:
        if value is None:
            continue
        cell = page.cell(row, column, '=""' if value == "" else value)
        if value in ERROR_VALUES:
            cell.data_type = "e"
        elif isinstance(value, str) and value:
            cell.data_type = "s"
    for name in names:
        book.defined_names[name] = DefinedName(name, attr_text=name_formula(BY_NAME[name]))
    path = folder / "cases.xlsx"
    book.save(path)
    return path
