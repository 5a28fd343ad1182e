"""The parts of tests/bench.py about hauling: Match over a whole lot in LibreOffice, and the exact gap of a drive-on."""

from __future__ import annotations

import random
import time
from dataclasses import dataclass

import openpyxl
from openpyxl import Workbook

from tarelot.calc.cells.expression import Registered
from tarelot.calc.cells.worked_out import WorkedOut
from tarelot.calc.clearance import ramp_clearance
from tarelot.workbook_templates import workbook
from tarelot.workbook_templates.basis.units import US
from tarelot.workbook_templates.hauling.drive_on import sheet as drive_on
from tarelot.workbook_templates.hauling.drive_on.sweep import positions
from tarelot.workbook_templates.hauling.match import columns as match_columns
from tarelot.workbook_templates.hauling.match.expressions import row_expressions
from tarelot.workbook_templates.hauling.results import demo_hauling
from tarelot.workbook_templates.hauling.what_if.rows import MACHINE, TRAILER, TRUCK, figure_rows
from tarelot.workbook_templates.hauling.what_if.sheet import CHOICE_CELLS
from tarelot.workbook_templates.sheets import demo_yard
from tests.bench.files import trailers
from tests.engines.expressions import nodes
from tests.engines.office import Office
from tests.hauling.drive_on_cases import random_case as drive_on_case
from tests.validation.test_drive_on_shapely import least_gap, machine_cells, random_case

MATCH_ROWS, MATCH_ROUNDS = 500, 7
CALLS, CALL_ROUNDS = 400, 9
SWEPT = 30
SHEET_SEED = 3
FIRST_SEED = 1_000
"""The validation's own cases begin at 0; these are others."""


@dataclass(frozen=True)
class MatchTimes:
    """Seconds of a recalculation of the whole workbook and of the same without Match, a round each, and the counts.

    ``cells`` are formulas on Match, ``others`` those elsewhere, ``calls`` the worksheet functions written out in Match.
    """

    whole: list[float]
    without: list[float]
    cells: int
    others: int
    calls: int


def match_times(office: Office) -> MatchTimes:
    """Recalculate a lot of ``MATCH_ROWS`` trailers, each judged against a machine and a truck."""
    paths = [office.folder / name for name in ("match.xlsx", "without.xlsx")]
    hauling, rows = demo_hauling(), trailers(MATCH_ROWS)
    workbook.write(paths[0], rows, demo_yard.options(), US, hauling=hauling, match_choices=workbook.DEMO_MATCH)
    book = openpyxl.load_workbook(paths[0])
    everything, cells = _formulas(book), _formulas(book, match_columns.SHEET)
    del book[match_columns.SHEET]
    book.save(paths[1])
    seconds, _ = office.time_alternately(paths, {}, {}, MATCH_ROUNDS)
    whole, without = (list(column) for column in zip(*seconds, strict=True))
    lines = MATCH_ROWS + match_columns.SPARE_ROWS
    return MatchTimes(whole, without, cells, everything - cells, lines * _calls_a_row())


def what_if_seconds(office: Office) -> list[float]:
    """Seconds from a change on What-if of a lot of ``MATCH_ROWS`` trailers to its verdict, words and drawing.

    Trailers, machines and trucks are chosen in turn, and a weight is typed over.
    """
    path, rows, hauling = office.folder / "what-if.xlsx", trailers(MATCH_ROWS), demo_hauling()
    workbook.write(path, rows, demo_yard.options(), US, hauling=hauling, match_choices=workbook.DEMO_MATCH)
    chosen = {
        CHOICE_CELLS[TRAILER]: [row["Stock no."] for row in rows[::97]],
        CHOICE_CELLS[MACHINE]: [row["Machine"] for row in hauling.machines[:6]],
        CHOICE_CELLS[TRUCK]: [row["Truck"] for row in hauling.trucks[:4]],
        f"H{figure_rows()['weight']}": [9_000 + 500 * number for number in range(6)],
    }
    rounds = [{f"What-if!{cell}": value} for cell, values in chosen.items() for value in values]
    reads = [*(f"What-if!B{row}" for row in range(8, 13)), "Card!B11", *(f"Drive-on!B{row}" for row in range(5, 60))]
    return [seconds for seconds, *_ in office.time_changes(path, rounds, reads)]


def _formulas(book: Workbook, *names: str) -> int:
    """Cells with a formula on some sheets, or on all."""
    sheets = [book[name] for name in names or book.sheetnames]
    return sum(cell.data_type == "f" for sheet in sheets for row in sheet.iter_rows() for cell in row)


def _calls_a_row() -> int:
    """Worksheet functions whose formulas stand in a row of Match."""
    said = row_expressions(US).values()
    return sum(isinstance(node, Registered) for expression in said for node in nodes(expression))


def clearance_seconds() -> list[float]:
    """Processor time of a call of the exact gap in Python, a figure a round, on random cases with every part."""
    cells = [(*trailer, *machine_cells(machine)) for trailer, machine in map(random_case, range(CALLS))]
    rounds = []
    for _ in range(CALL_ROUNDS):
        start = time.process_time()
        for values in cells:
            ramp_clearance(*values)
        rounds.append((time.process_time() - start) / len(cells))
    return rounds


def sheet_seconds() -> list[float]:
    """Processor time of working out every place of the Drive-on sheet, a figure a round, on one case."""
    figures = {**drive_on_case(random.Random(SHEET_SEED), US), "direction": "backward"}
    expressions = drive_on.expressions(US)
    rounds = []
    for _ in range(CALL_ROUNDS):
        cells = WorkedOut(figures, expressions)
        start = time.process_time()
        for key in positions():
            cells[key]
        rounds.append(time.process_time() - start)
    return rounds


def clearance_errors() -> list[float]:
    """The exact gap less the least that shapely finds in steps of 0.1 in, in inches, on random cases."""
    found = []
    for trailer, machine in map(random_case, range(FIRST_SEED, FIRST_SEED + SWEPT)):
        swept, _ = least_gap(trailer, machine)
        found.append(ramp_clearance(*trailer, *machine_cells(machine)) - swept)
    return found
