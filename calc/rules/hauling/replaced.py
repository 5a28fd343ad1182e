"""Replaced: an expression that is asked anew with other figures in the place of some of its cells."""

from __future__ import annotations

from collections.abc import Mapping

from ...cells.expression import Cells, Expression, Places
from ...cells.values import Values


class Replaced(Expression):
    """An expression with other expressions in the place of some of its cells."""

    __slots__ = ("_by", "expression")

    def __init__(self, expression: Expression, by: Mapping[str, Expression]) -> None:
        self.expression, self._by = expression, dict(by)

    def text(self, places: Places) -> str:
        """The expression's, with theirs in brackets."""
        return self.expression.text({**places, **{key: f"({one.text(places)})" for key, one in self._by.items()}})

    def work_out(self, cells: Cells) -> Values:
        """The expression's value over theirs."""
        read = {key: cells[key] for key in self.expression.keys() - self._by.keys()}
        return self.expression.work_out({**read, **{key: one.work_out(cells) for key, one in self._by.items()}})

    def keys(self) -> set[str]:
        """What remains of the expression's, and theirs."""
        return (self.expression.keys() - self._by.keys()).union(*(one.keys() for one in self._by.values()))
