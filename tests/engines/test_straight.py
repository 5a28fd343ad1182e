"""Expressions written out as functions give what the nodes give by themselves, to the last bit.

The nodes themselves are held against two engines by ``test_expression.py``.

Random expressions over random cells are worked out both ways, and so are a lot in which entries are replaced at random
and Match over it.
"""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence

import pytest

from tarelot.calc.cells.boundary import ERROR_VALUES, CellError
from tarelot.calc.cells.expression import Cell, Constant, Expression, Range, lift, value
from tarelot.calc.cells.spreadsheet import COUNT, IF, IFERROR, MAX, MIN, SUM
from tarelot.calc.cells.straight import MANY_ROWS, straight
from tarelot.calc.cells.worked_out import WorkedOut
from tarelot.workbook_templates.basis.units import US
from tarelot.workbook_templates.hauling.match import stored
from tarelot.workbook_templates.hauling.match.reading import matched
from tarelot.workbook_templates.hauling.results import demo_hauling
from tarelot.workbook_templates.lot import results
from tarelot.workbook_templates.sheets import demo_yard
from tests.engines.expressions import World, expressions

Rows = list[dict[str, object]]
ODD = (None, "", " ", "12", "x", True, False, 0.0, -0.0, -5.0, 1.0, 1e6, 1e-9, 0.1 + 0.2, "#N/A", "#DIV/0!", 0.25, 12.5)


def exact(found: object) -> tuple[type, str]:
    """A value to its last bit, -0 and 0 apart."""
    return type(found), repr(found)


def both(asked: Mapping[str, Expression], cells: Mapping[str, object]) -> list[str]:
    """The formulas that come out otherwise when they are written out."""
    written = straight(asked)
    found = {key: (exact(value(asked[key], cells)), exact(value(written[key], cells))) for key in asked}
    return [f"{key}: {one} by itself, {other} written out" for key, (one, other) in found.items() if one != other]


@pytest.mark.parametrize("world", range(4))
def test_random_expressions(world: int) -> None:
    asked = {f"{number}": one for number, one in enumerate(expressions(world, 2500))}
    assert both(asked, World(world)) == []


def test_cells_of_every_kind_beside_each_constant() -> None:
    """The lines written for the common case are left for each other kind of value, on each side."""
    chance = random.Random("kinds")
    cells = {
        f"k{number}": odd for number, odd in enumerate((*ODD, *ERROR_VALUES, "gooseneck", 1 + 1e-15, 1e308, -1e308))
    }
    keys = sorted(cells)
    asked: dict[str, Expression] = {}
    for key in keys:
        one, other = Cell(key), Cell(chance.choice(keys))
        for constant in map(lift, (0, 1, 0.3, "", "GOOSENECK", "12", True)):
            pairs = ((one, constant), (constant, one), (one, other), (one < constant, other > constant))
            for left, right in pairs:
                made = (left + right, left - right, left * right, left / right, left**right, left & right)
                compared = (left < right, left <= right, left > right, left >= right, left.equals(right))
                most = (MIN(left, right), MAX(left), SUM(left), SUM(left, right), COUNT(left, right), COUNT(left))
                for node in (*made, *compared, left.differs(right), *most, IF(left, right, one), IFERROR(left, right)):
                    asked[f"{len(asked)}"] = node
    assert both(asked, cells) == []


@pytest.fixture(scope="module")
def odd_lot() -> Rows:
    """The demo yard over and over, with entries replaced at random."""
    chance, yard = random.Random("odd entries"), demo_yard.trailers()
    rows: Rows = [dict(yard[number % len(yard)]) for number in range(MANY_ROWS)]
    for row in rows:
        for heading in chance.sample(sorted(row), chance.choice((0, 1, 2, 5, 20, len(row)))):
            row[heading] = chance.choice(ODD)
    return rows


def different(some: Sequence[Mapping[str, object]], others: Sequence[Mapping[str, object]]) -> list[str]:
    """What two ways to work rows out do not agree on."""
    return [
        f"{key} of row {number}"
        for number, (one, other) in enumerate(zip(some, others, strict=True))
        for key in one
        if exact(one[key]) != exact(other[key])
    ]


def test_a_lot_whose_entries_are_replaced_at_random(odd_lot: Rows, monkeypatch: pytest.MonkeyPatch) -> None:
    written_out = results.lot_results(odd_lot, demo_yard.options(), US)
    monkeypatch.setattr(results, "MANY_ROWS", len(odd_lot) + 1)
    by_themselves = results.lot_results(odd_lot, demo_yard.options(), US)
    assert different(written_out, by_themselves) == []
    assert len({str(row) for row in by_themselves}) > len(odd_lot) / 2


@pytest.mark.parametrize(("machine", "truck"), [("Wheel loader 9", "Tandem dump 58"), ("Paver 8", None)])
def test_match_over_a_lot_whose_entries_are_replaced_at_random(
    odd_lot: Rows, monkeypatch: pytest.MonkeyPatch, machine: str, truck: str | None
) -> None:
    shown = results.lot_results(odd_lot, demo_yard.options(), US)
    filled = [{**row, **more} for row, more in zip(odd_lot, shown, strict=True)]
    hauling = demo_hauling()
    asked = (filled, hauling.machines, hauling.trucks, (machine, truck), US)
    written_out = matched(*asked)
    monkeypatch.setattr(stored, "MANY_ROWS", len(odd_lot) + 1)
    by_themselves = matched(*asked)
    assert different(written_out, by_themselves) == []
    assert len({str(row) for row in by_themselves}) > len(odd_lot) / 2


def test_a_cell_is_asked_for_only_where_it_is_needed() -> None:
    """As by themselves: IF asks for the part that it shows, so that what goes round only in the other is no circle."""
    asked = straight({"a": IF(Cell("typed") > 0, Cell("typed"), Cell("a")), "b": IFERROR(Cell("c"), Cell("typed"))})
    cells = WorkedOut({"typed": 4.0, "c": "#N/A"}, asked)
    assert (cells["a"], cells["b"]) == (4.0, 4.0)


def test_an_error_is_the_same_and_says_why() -> None:
    with pytest.raises(CellError, match="gross holds #N/A") as raised:
        straight({"a": Cell("gross") + 1})["a"].work_out({"gross": "#N/A"})
    assert raised.value.code == "#N/A"


@pytest.mark.parametrize("held", [[1.0], object()], ids=["a range", "what no cell can"])
def test_what_no_cell_holds_is_refused(held: object) -> None:
    for node in (Cell("a") + 1, COUNT(Cell("a")), SUM(Cell("a"), Constant(1.0))):
        with pytest.raises(TypeError, match="no cell can"):
            straight({"b": node})["b"].work_out({"a": held})


def test_a_range_is_left_to_its_own_way() -> None:
    asked = {"sum": SUM(Range("block")) * 2 + 1, "count": COUNT(Range("block"), Cell("a"))}
    assert both(asked, {"block": [1.0, None, "x", [2.0]], "a": 3.0}) == []
