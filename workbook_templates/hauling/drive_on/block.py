"""Cells of several keys that stand below each other, as one range."""

from __future__ import annotations

from collections.abc import Sequence

from tarelot.calc.cells.expression import Cells, Places, Range
from tarelot.calc.cells.values import Values


class Block(Range):
    """The figures of some keys in the order in which they stand down a column."""

    __slots__ = ("_keys",)

    def __init__(self, keys: Sequence[str]) -> None:
        super().__init__(f"{keys[0]}:{keys[-1]}")
        self._keys = tuple(keys)

    def text(self, places: Places) -> str:
        """From the first key's cell to the last one's; the sheet is named once."""
        return f"{places[self._keys[0]]}:{places[self._keys[-1]].rpartition('!')[2]}"

    def work_out(self, cells: Cells) -> Values:
        """The values in this order."""
        return [cells[key] for key in self._keys]  # type: ignore[misc]

    def keys(self) -> set[str]:
        """The keys of all its cells."""
        return set(self._keys)
