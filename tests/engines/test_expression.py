"""The language of expressions: random ones over random cells, in Python and in two engines that know nothing of it.

What an engine does otherwise is named in ``gaps.py``. Numbers agree to a billionth, and to a billionth of 1 where
figures cancel out: the engines round the last binary digits of sums, powers and sines apart.
"""

from __future__ import annotations

import functools
import math
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

import ironcalc
import pytest

from tarelot.calc.cells import spreadsheet
from tarelot.calc.cells.boundary import ERROR_VALUES
from tarelot.calc.cells.expression import OPERATORS, Expression, formula, value
from tests.engines.expressions import World, expressions, name, nodes
from tests.engines.gap_questions import parts
from tests.engines.gaps import GAPS, Gap
from tests.engines.office import FORMULA_COLUMN, Office, scratch_workbook
from tests.engines.office import Value as CellValue

WORLDS = range(12)
COUNT = 2500
ENOUGH = 20_000
TOLERANCE = 1e-9
ENGINES = ("LibreOffice", "IronCalc")
LANGUAGE = {f.name for f in vars(spreadsheet).values() if isinstance(f, spreadsheet.Function)} | set(OPERATORS)
LANGUAGE |= {"Cell", "Constant", "Range", "Registered"}


class Addresses(Mapping[str, str]):
    """Keys that are addresses stand for themselves."""

    def __getitem__(self, key: str) -> str:
        return key

    def __iter__(self) -> Iterator[str]:
        raise NotImplementedError

    def __len__(self) -> int:
        raise NotImplementedError


@dataclass(frozen=True)
class Asked:
    """A random expression, what Python gives, and the engines that do otherwise in some part of it."""

    expression: Expression
    value: float | str | bool
    gaps: frozenset[str]


@functools.cache
def asked(world: int) -> tuple[Asked, ...]:
    """The expressions over the cells of one world."""
    cells = World(world)
    found = []
    for expression in expressions(world, COUNT):
        seen = list(parts(expression, cells))
        gaps = frozenset(gap.engine for gap in GAPS if any(map(gap.plays_a_part, seen)))
        found.append(Asked(expression, value(expression, cells), gaps))
    return tuple(found)


def written(expression: Expression) -> str:
    return formula(expression, Addresses())


def in_ironcalc(path: Path, formulas: list[str], cells: Mapping[str, CellValue]) -> list[CellValue]:
    model = ironcalc.load_from_xlsx(str(scratch_workbook(path, formulas, dict(cells))), "en", "UTC", "en")
    model.evaluate()
    return [model.get_cell_value(0, row, FORMULA_COLUMN) for row in range(1, len(formulas) + 1)]


def same(found: CellValue, expected: float | str | bool, engine: str) -> bool:
    """Calc has no truth value: there TRUE is 1."""
    if isinstance(expected, bool) and engine == "LibreOffice":
        expected = float(expected)
    if type(found) is not type(expected):
        return False
    if isinstance(found, float) and isinstance(expected, float):
        return math.isclose(found, expected, rel_tol=TOLERANCE, abs_tol=TOLERANCE)
    return found == expected


def read(expression: Expression, cells: World) -> dict[str, object]:
    return {key: cells[key] for key in sorted(expression.keys())}


def differences(world: int, values: list[CellValue], engine: str) -> list[str]:
    """The formulas that an engine without a gap in them works out otherwise."""
    cells = World(world)
    return [
        f"={written(one.expression)} is {found!r}, in Python {one.value!r}, over {read(one.expression, cells)}"
        for one, found in zip(asked(world), values, strict=True)
        if engine not in one.gaps and not same(found, one.value, engine)
    ]


class TestEngines:
    @pytest.mark.parametrize("world", WORLDS)
    def test_libreoffice(self, world: int, office: Office) -> None:
        values = office.evaluate([written(one.expression) for one in asked(world)], World(world).cells)
        assert differences(world, values, "LibreOffice") == []

    @pytest.mark.parametrize("world", WORLDS)
    def test_ironcalc(self, world: int, tmp_path: Path) -> None:
        formulas = [written(one.expression) for one in asked(world)]
        assert differences(world, in_ironcalc(tmp_path / "world.xlsx", formulas, World(world).cells), "IronCalc") == []


class TestExpressions:
    @pytest.mark.parametrize("engine", ENGINES)
    def test_enough_different_ones_are_asked_of_each_engine(self, engine: str) -> None:
        formulas = {
            (world, written(one.expression)) for world in WORLDS for one in asked(world) if engine not in one.gaps
        }
        assert len(formulas) >= ENOUGH

    @pytest.mark.parametrize("engine", ENGINES)
    def test_every_node_and_function_is_asked_of_each_engine(self, engine: str) -> None:
        """In expressions that show no error, twenty times at least."""
        seen = Counter(
            name(node)
            for world in WORLDS
            for one in asked(world)
            if engine not in one.gaps and one.value not in ERROR_VALUES
            for node in set(nodes(one.expression))
        )
        assert {name for name in LANGUAGE if seen[name] < 20} == set()

    def test_most_show_no_error_and_every_error_is_shown(self) -> None:
        shown = Counter(one.value for world in WORLDS for one in asked(world) if isinstance(one.value, str))
        assert sum(shown[code] for code in ERROR_VALUES) < len(WORLDS) * COUNT / 4
        assert all(shown[code] for code in ERROR_VALUES)


def gap_cells(gap: Gap) -> dict[str, object]:
    """The cells of a gap's formula, and the ranges of column A and B in it."""
    cells = dict(gap.cells)
    ranges = {key for key in gap.shown.keys() if ":" in key}  # noqa: SIM118 - it is no dict
    for key in ranges:
        first, last = key.split(":")
        cells[key] = [cells[f"{first[0]}{row}"] for row in range(int(first[1:]), int(last[1:]) + 1)]
    return cells


class TestGaps:
    @pytest.mark.parametrize("gap", GAPS, ids=lambda gap: f"{gap.engine} {gap.what}")
    def test_each_is_real_and_keeps_its_formula_away(self, gap: Gap, office: Office, tmp_path: Path) -> None:
        cells = gap_cells(gap)
        assert value(gap.shown, cells) == gap.value
        assert any(gap.plays_a_part(part) for part in parts(gap.shown, cells))
        addressed = {key: cell for key, cell in cells.items() if ":" not in key}
        formulas = [written(gap.shown)]
        if gap.engine == "LibreOffice":
            assert office.evaluate(formulas, addressed) == [gap.engine_value]
        else:
            assert in_ironcalc(tmp_path / "gap.xlsx", formulas, addressed) == [gap.engine_value]
