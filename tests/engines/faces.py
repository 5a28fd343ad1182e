"""The faces of a worksheet function, each as one call: many cases in, their values out.

A case is a function with cell values, None for a blank cell; a range is a list of rows. What is left out at the end of
a case's arguments is left out of the formula too. Every face returns a float, a text, `""` for a blank or the name of
an error value such as `"#NUM!"`. The cases of one call stand in one sheet and are calculated at once.
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
from tests.engines.office import Office
from tests.excel.xlwings_stand_in import UdfModule, load_udf_module

SHEET = "Scratch"
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


def in_python(cases: Sequence[Case]) -> list[Value]:
    """The Python functions behind the one boundary that all add-ins share."""
    return [_value_in_python(case) for case in cases]


def _value_in_python(case: Case) -> Value:
    cells = [_value_in_python(a) if isinstance(a, Case) else a for a in case.arguments]
    try:
        return call(BY_NAME[case.function], cells)
    except CellError as error:
        return error.code


def plain_in_ironcalc(cases: Sequence[Case]) -> list[Value]:
    """The plain formula in IronCalc."""
    return _in_ironcalc(cases, cell_formula, [])


def name_in_ironcalc(cases: Sequence[Case]) -> list[Value]:
    """The workbook's own name, a LAMBDA, called by the cell in IronCalc."""
    return _in_ironcalc(cases, call_formula, [case.function for case in _with_inner(cases)])


def plain_in_office(office: Office, cases: Sequence[Case]) -> list[Value]:
    """The plain formula in LibreOffice."""
    return _in_office(office, cases, cell_formula)


def addin_in_office(office: Office, cases: Sequence[Case]) -> list[Value]:
    """Our extension's function, called by the cell in LibreOffice."""
    return _in_office(office, cases, call_formula)


def excel_call_path(cases: Sequence[Case]) -> list[Value]:
    """xlwings' own path from a cell's formula to our Excel function and back; no Excel takes part."""
    functions = udf_module()
    return [_result(functions.call(case.function, case.arguments)) for case in cases]


@functools.cache
def udf_module() -> UdfModule:
    """Our Excel functions, loaded once."""
    return load_udf_module()


def _with_inner(cases: Iterable[Argument]) -> list[Case]:
    """The cases and those inside them."""
    return [c for case in cases if isinstance(case, Case) for c in (case, *_with_inner(case.arguments))]


def _in_ironcalc(cases: Sequence[Case], render: Render, names: Iterable[str]) -> list[Value]:
    with tempfile.TemporaryDirectory() as folder:
        path = _write(cases, render, names, Path(folder))
        model = ironcalc.load_from_xlsx(str(path), "en", "UTC", "en")
    model.evaluate()
    rows = Sheet(cases, render).formula_rows
    return [_result(model.get_cell_value(0, row, 1)) for row in rows]


def _in_office(office: Office, cases: Sequence[Case], render: Render) -> list[Value]:
    sheet = Sheet(cases, render)
    cells = {f"{get_column_letter(column)}{row}": value for row, column, value in sheet.inputs}
    return [_result(value) for value in office.evaluate(sheet.formulas, cells)]


def _result(value: object) -> Value:
    assert isinstance(value, float | int | str), f"a cell shows {value!r}"
    assert not isinstance(value, bool), f"a cell shows {value!r}"
    return value


class Sheet:
    """Where the cases stand: formulas in column A, the cells that they read to the right, a block of rows a case."""

    def __init__(self, cases: Sequence[Case], render: Render) -> None:
        self.inputs: list[tuple[int, int, Argument]] = []
        self.formulas: list[str] = []
        self.formula_rows: list[int] = []
        self._row, self._column, self._height = 1, 2, 1
        for case in cases:
            self.formulas.append(render(self._placed(case)))
            self.formula_rows.append(self._row)
            self._row, self._column, self._height = self._row + self._height, 2, 1

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


def _write(cases: Sequence[Case], render: Render, names: Iterable[str], folder: Path) -> Path:
    """A workbook with the cases in one sheet and the functions named as its own names."""
    sheet = Sheet(cases, render)
    book = Workbook()
    page = book.active
    assert page is not None
    page.title = SHEET
    for row, formula in zip(sheet.formula_rows, sheet.formulas, strict=True):
        page.cell(row, 1, f"={formula}")
    for row, column, value in sheet.inputs:
        if value is None:
            continue
        cell = page.cell(row, column, '=""' if value == "" else value)
        if value in ERROR_VALUES:
            cell.data_type = "e"
        elif isinstance(value, str) and value:
            cell.data_type = "s"
    for name in set(names):
        book.defined_names[name] = DefinedName(name, attr_text=name_formula(BY_NAME[name]))
    path = folder / "cases.xlsx"
    book.save(path)
    return path
