"""One formula in many cells below each other, written once, as spreadsheet programs write what was filled down."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from openpyxl.cell.cell import Cell
from openpyxl.worksheet.formula import ArrayFormula

APART = re.compile(r"\[|(?<!#VALUE)(?<!#NUM)(?<!#DIV/0)(?<!#REF)(?<!#NULL)!")
"""What a formula has that names a table or another sheet: programs write it out in every cell."""


class SharedFormula(ArrayFormula):  # type: ignore[misc]
    """A formula that several cells share: the first has its text and says which cells, the others only its number."""

    t = "shared"

    def __init__(self, number: int, ref: str = "", text: str = "=") -> None:
        super().__init__(ref, text)
        self.number = number

    def __iter__(self) -> Iterator[tuple[str, str]]:
        """The attributes of the formula in the file."""
        yield "t", self.t
        if self.ref:
            yield "ref", self.ref
        yield "si", str(self.number)


def can_be_shared(formula: str) -> bool:
    """Whether programs share a formula that was filled down.

    >>> [can_be_shared(formula) for formula in ("$Z12*$Q$4", "IF(A1,#NUM!,2)", "Lot[Axles]", "Options!A3")]
    [True, True, False, False]
    """
    return APART.search(formula) is None


def fill_down(cells: Sequence[Cell], formulas: Sequence[str], number: int) -> None:
    """Write the formulas of a column; those that are the same but for the row are shared.

    Args:
        cells: Cells below each other.
        formulas: The formula of each, without ``=``: the first one's, filled down.
        number: Of the shared formula on its sheet; each has its own.
    """
    shared = len(cells) if len(cells) > 1 and can_be_shared(formulas[0]) else 0
    for place, (cell, formula) in enumerate(zip(cells, formulas, strict=True)):
        if place >= shared:
            cell.value = f"={formula}"
        elif place == 0:
            area = f"{cells[0].coordinate}:{cells[shared - 1].coordinate}"
            cell.value = SharedFormula(number, area, f"={formula}")  # type: ignore[assignment]
        else:
            cell.value = SharedFormula(number)  # type: ignore[assignment]
