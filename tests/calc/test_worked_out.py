"""Cells that are worked out when they are first asked for, each once."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from tarelot.calc.cells.expression import Cell, Expression, Range
from tarelot.calc.cells.spreadsheet import IF, ISERROR, SUM
from tarelot.calc.cells.values import Values
from tarelot.calc.cells.worked_out import WorkedOut


class Counted(Expression):
    """Counts how often it is worked out."""

    def __init__(self) -> None:
        self.times = 0

    def work_out(self, cells: Mapping[str, object]) -> Values:
        self.times += 1
        return 7.0


def test_a_cell_reads_other_cells_whatever_their_order() -> None:
    cells = WorkedOut({"weight": 3.0}, {"last": Cell("middle") + 1, "middle": Cell("weight") * 2})
    assert cells["last"] == 7.0  # 3 x 2 + 1


def test_each_is_worked_out_once_and_only_when_asked_for() -> None:
    counted, never = Counted(), Counted()
    cells = WorkedOut({}, {"counted": counted, "never": never, "twice": Cell("counted") + Cell("counted")})
    assert (cells["twice"], cells["counted"]) == (14.0, 7.0)
    assert (counted.times, never.times) == (1, 0)


def test_an_error_is_a_value_that_passes_on_and_can_be_asked_for() -> None:
    """Division by 0 is #DIV/0! in every spreadsheet program, and so is what is reckoned from it."""
    cells = WorkedOut(
        {"none": 0.0}, {"share": 1 / Cell("none"), "more": Cell("share") + 1, "asked": ISERROR(Cell("more"))}
    )
    assert [cells[key] for key in ("share", "more", "asked")] == ["#DIV/0!", "#DIV/0!", True]


def test_what_is_typed_stands_before_what_would_be_worked_out() -> None:
    """As a person overwrites a formula: the cells that read it read what is typed."""
    cells = WorkedOut({"gross": 5.0}, {"gross": Cell("base") + 1, "double": Cell("gross") * 2})
    assert cells["double"] == 10.0


def test_a_blank_that_is_typed_is_a_blank() -> None:
    cells = WorkedOut({"gross": None}, {"gross": Cell("base") + 1, "blank": Cell("gross").equals("")}, {"gross": 9.0})
    assert cells["gross"] is None
    assert cells["blank"] is True


def test_cells_around_are_looked_into_last() -> None:
    around = WorkedOut({"limit": 8.0, "own": 1.0}, {"twice": Cell("limit") * 2})
    cells = WorkedOut({"own": 2.0}, {"sum": Cell("twice") + Cell("own")}, around)
    assert cells["sum"] == 18.0  # 8 x 2 + 2


def test_a_range_may_be_given_or_be_around() -> None:
    cells = WorkedOut(
        {"given": [1.0, None, "x"]}, {"sum": SUM(Range("given"), Range("around"))}, {"around": [[2.0], [3.0]]}
    )
    assert cells["sum"] == 6.0


@pytest.mark.parametrize(
    "expressions",
    [
        {"a": Cell("a") + 1},
        {"a": Cell("b") + 1, "b": Cell("c") + 1, "c": Cell("a") + 1},
    ],
    ids=["itself", "by way of others"],
)
def test_a_circle_is_refused_by_name(expressions: dict[str, Expression]) -> None:
    with pytest.raises(ValueError, match="a reads itself"):
        WorkedOut({}, expressions)["a"]


def test_a_circle_that_no_value_goes_round_is_none() -> None:
    """IF works out only the part that it shows."""
    cells = WorkedOut({"typed": 4.0}, {"a": IF(Cell("typed") > 0, Cell("typed"), Cell("a"))})
    assert cells["a"] == 4.0


def test_a_failure_is_the_same_when_asked_again() -> None:
    """A key that nothing gives is a fault of the sheet's tables, not a circle."""
    cells = WorkedOut({}, {"a": Cell("nowhere") + 1})
    for _ in range(2):
        with pytest.raises(KeyError, match="nowhere"):
            cells["a"]


def test_it_is_a_mapping_of_all_keys_once() -> None:
    cells = WorkedOut({"a": 1.0}, {"b": Cell("a") + 1}, {"a": 5.0, "c": 3.0})
    assert len(cells) == 3
    assert dict(cells) == {"a": 1.0, "b": 2.0, "c": 3.0}
