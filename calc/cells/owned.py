"""A registered function inside a sheet whose other cells have answered the function's questions."""

from __future__ import annotations

from . import formulas
from .expression import Cells, Expression, Given, Places, Registered
from .values import Values


class CalledByName(dict[str, str]):
    """Places of a workbook whose cells call the add-in's functions by name."""


class Owned(Registered):
    """A registered function, written shorter where the cells around it have answered its questions.

    The tests prove that both come to the same. In a workbook that calls functions by name, the call is written.
    """

    __slots__ = ("written",)

    def __init__(self, written: Expression, function: str, *arguments: Given | None) -> None:
        super().__init__(function, *arguments, guarded=False)
        self.written = written

    def text(self, places: Places) -> str:
        """The shorter writing, or the call."""
        if isinstance(places, CalledByName):
            return formulas.call_formula(self._call(places))
        return self.written.text(places)

    def work_out(self, cells: Cells) -> Values:
        """The value of the shorter writing."""
        return self.written.work_out(cells)

    def written_out(self) -> Expression:
        """The shorter writing."""
        return self.written

    def keys(self) -> set[str]:
        """The keys of all cells that either reads."""
        return self.written.keys() | super().keys()


class LookedUp(Owned):
    """The same, worked out by the function itself: a table is looked through once instead of once for each name."""

    __slots__ = ()

    def work_out(self, cells: Cells) -> Values:
        """What the function gives."""
        return Registered.work_out(self, cells)

    def written_out(self) -> Expression:
        """Itself."""
        return self
