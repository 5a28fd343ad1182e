"""Values by key of a row of Match in Python, which pass an error on as the cells of a spreadsheet do."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from tarelot.calc.cells.boundary import ERROR_VALUES, CellError, call
from tarelot.calc.registry import BY_NAME

Value = float | str


class Values:
    """Values by key. Reading an error value raises it, so that it passes on as in a spreadsheet."""

    def __init__(self, cells: Mapping[str, Value]) -> None:
        self.cells = dict(cells)

    def __getitem__(self, key: str) -> Value:
        value = self.cells[key]
        if value in ERROR_VALUES:
            raise CellError(str(value), f"{key} holds {value}")
        return value

    def number(self, key: str) -> float:
        """A value that is calculated with; a text there is #VALUE!."""
        value = self[key]
        if isinstance(value, str):
            raise CellError("#VALUE!", f"{key} is not a number")
        return value

    def or_zero(self, key: str) -> float:
        """A value that the formulas read through N: 0 where it is blank or a text."""
        value = self[key]
        return 0.0 if isinstance(value, str) else value

    def words(self, key: str) -> str:
        """A value as text."""
        return str(self[key])

    def blank(self, *keys: str) -> bool:
        """Whether any of the values is blank."""
        return any([self[key] == "" for key in keys])

    def put(self, key: str, calculate: Callable[[], Value]) -> None:
        """Fill a column, with the error value where there is one."""
        try:
            self.cells[key] = calculate()
        except CellError as error:
            self.cells[key] = error.code

    def ask(self, function: str, *keys: str | float | None) -> Value:
        """A worksheet function of values by key; a number or None stands for itself."""
        return call(BY_NAME[function], [self.cells[k] if isinstance(k, str) else k for k in keys])
