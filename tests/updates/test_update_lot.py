"""Lots of format 1 brought up to date: every cell of ours equals a lot written new with the same entries.

Two engines that are not ours calculate both; what stays a person's own is compared part by part.
"""

from __future__ import annotations

import datetime
from functools import cached_property
from pathlib import Path

import openpyxl
import pytest
from openpyxl.utils.datetime import to_excel

from tests.engines import ironcalc_model
from tests.engines.office import Office
from tests.engines.stored_results import same
from tests.updates.updated_lots import KEPT, LOTS, Grids, at, pairs, updated, written_new


class Both:
    """A kept lot, the same brought up to date, and one written new with the same entries."""

    def __init__(self, name: str, folder: Path) -> None:
        self.name, self.old = name, LOTS / f"{name}.xlsx"
        self.updated = updated(self.old, folder / "lot.xlsx")
        self.new = written_new(self.old, KEPT[name], folder / "new.xlsx")

    @cached_property
    def cells(self) -> list[tuple[str, tuple[int, int], tuple[int, int]]]:
        return pairs(self.new, self.updated)

    @cached_property
    def stored_new(self) -> Grids:
        return stored(self.new)


@pytest.fixture(scope="module", params=list(KEPT))
def both(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Both:
    return Both(request.param, tmp_path_factory.mktemp("update"))


def stored(path: Path) -> Grids:
    book = openpyxl.load_workbook(path, data_only=True)
    return {page.title: [[as_number(cell.value) for cell in row] for row in page.iter_rows()] for page in book}


def as_number(value: object) -> object:
    return to_excel(value) if isinstance(value, datetime.date) else value


def in_ironcalc(path: Path) -> Grids:
    model = ironcalc_model.load(path)
    model.evaluate()
    book = openpyxl.load_workbook(path)
    return {
        page.title: [
            [model.get_cell_value(index, row, column) for column in range(1, page.max_column + 1)]
            for row in range(1, page.max_row + 1)
        ]
        for index, page in enumerate(book.worksheets)
    }


def differing(both: Both, new: Grids, old: Grids) -> list[tuple[str, tuple[int, int], object, object]]:
    found = []
    for sheet, there, here in both.cells:
        wanted, got = at(new, sheet, *there), at(old, sheet, *here)
        if not same(wanted, got):
            found.append((sheet, here, wanted, got))
    return found


def test_every_stored_value_is_that_of_a_lot_written_new(both: Both) -> None:
    assert differing(both, both.stored_new, stored(both.updated)) == []


def test_libreoffice_calculates_the_same(both: Both, office: Office) -> None:
    calculated = office.recalculate(both.updated)
    assert differing(both, office.recalculate(both.new), calculated) == []
    assert differing(both, both.stored_new, calculated) == []


def test_ironcalc_calculates_the_same(both: Both) -> None:
    assert differing(both, in_ironcalc(both.new), in_ironcalc(both.updated)) == []
