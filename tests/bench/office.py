"""The parts of tests/bench.py that run in a headless LibreOffice with our extension."""

from __future__ import annotations

import random
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from tarelot.addin.libreoffice.build import build
from tarelot.calc.cells.boundary import ERROR_VALUES
from tarelot.calc.cells.formulas import Call, Cell, call_formula, cell_formula
from tarelot.calc.registry import FUNCTIONS
from tarelot.calc.spec import Function
from tarelot.workbook_templates import workbook
from tarelot.workbook_templates.basis.units import US
from tarelot.workbook_templates.sheets import demo_yard
from tests.bench.files import trailers
from tests.bench.macros import modules_for
from tests.engines.cases import _usual
from tests.engines.faces import Case, Sheet, in_python, write
from tests.engines.office import Office, Value

CELLS, ROUNDS = 300, 9
SWEEPS = {"LOT_RAMP_CLEARANCE": 20, "LOT_RAMP_TOUCH": 20}
"""Cells of the functions whose macro takes milliseconds."""
SAME_WITHIN = 1e-9
LOT_ROWS, LOT_ROUNDS = 1_000, 5
Round = list[float]


@dataclass(frozen=True)
class FunctionTimes:
    """One function's seconds, a round each, for all its cells: native formula, plain formula, add-in, macro.

    The plain formula's are empty where the function has none. ``agree`` counts the cells in which macro and add-in
    show the same.
    """

    name: str
    cells: int
    native: Round
    plain: Round
    addin: Round
    macro: Round
    agree: int


@contextmanager
def office_with_addin() -> Iterator[Office]:
    """A LibreOffice with our extension, built from the sources."""
    with tempfile.TemporaryDirectory() as folder:
        extension = Path(folder) / "tarelot.oxt"
        build(extension)
        with Office(extension) as running:
            yield running


def function_times(office: Office) -> Iterator[FunctionTimes]:
    """The times of every function of the registry, taken in turn within each round."""
    for function in FUNCTIONS:
        yield _times(office, function, usual_cases(function, SWEEPS.get(function.name, CELLS)))


def usual_cases(function: Function, count: int) -> list[Case]:
    """Cases as a person of the trade would enter them, without those that end in an error or lack what is required."""
    chance = random.Random(function.name)
    found: list[Case] = []
    while len(found) < count:
        case = Case(function.name, tuple(_usual(function, chance)))
        given = zip(function.parameters, case.arguments, strict=False)
        is_whole = not any(parameter.required and parameter.is_blank(value) for parameter, value in given)
        if is_whole and in_python([case])[0] not in ERROR_VALUES:
            found.append(case)
    return found


def _times(office: Office, function: Function, cases: Sequence[Case]) -> FunctionTimes:
    numbers = [Case("LOT_PAYLOAD", (30_000 + row, 5_000)) for row in range(len(cases))]
    books = {"native": _book(office, "native", numbers, _difference)}
    if function.formula is not None:
        books["plain"] = _book(office, "plain", cases, cell_formula)
    books["addin"] = _book(office, "addin", cases, call_formula)
    books["macro"] = _book(office, "macro", cases, lambda _: "0")
    sheet = Sheet(cases, call_formula)
    macro = function.name.replace("LOT_", "MACRO_")
    formulas = {
        f"A{row}": "=" + formula.replace(function.name, macro).replace(",", ";")
        for row, formula in zip(sheet.formula_rows, sheet.formulas, strict=True)
    }
    seconds, values = office.time_alternately([*books.values()], modules_for(macro), formulas, ROUNDS)
    columns = dict(zip(books, zip(*seconds, strict=True), strict=True))
    shown = dict(zip(books, values, strict=True))
    agree = sum(_same(shown["addin"][row - 1], shown["macro"][row - 1]) for row in sheet.formula_rows)
    for path in books.values():
        path.unlink()
    return FunctionTimes(
        function.name,
        len(cases),
        *(list(columns.get(kind, ())) for kind in ("native", "plain", "addin", "macro")),
        agree,
    )


def _book(office: Office, kind: str, cases: Sequence[Case], render: object) -> Path:
    path = write(Sheet(cases, render), [], office.folder)  # type: ignore[arg-type]
    return path.rename(path.with_name(f"{kind}.xlsx"))


def _difference(call: Call) -> str:
    """A formula such as ``B1-C1``."""
    return "-".join(cell.reference for cell in call.arguments if isinstance(cell, Cell))


def _same(one: Value, other: Value) -> bool:
    if isinstance(one, float) and isinstance(other, float):
        return abs(one - other) <= SAME_WITHIN * max(1.0, abs(one))
    return one == other


def lot_times(office: Office) -> tuple[Round, Round]:
    """Seconds of recalculations of a lot with plain formulas and of the same lot with the add-in, in turn."""
    paths = [office.folder / "plain.xlsx", office.folder / "by_name.xlsx"]
    rows = trailers(LOT_ROWS)
    for path, by_name in zip(paths, (False, True), strict=True):
        workbook.write(path, rows, demo_yard.options(), US, by_name=by_name)
    seconds, _ = office.time_alternately(paths, {}, {}, LOT_ROUNDS)
    plain, by_name_seconds = zip(*seconds, strict=True)
    return list(plain), list(by_name_seconds)
