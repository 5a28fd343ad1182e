"""Two frozen records: a parameter with its allowed range, and a worksheet function with its parameters."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

from .errors import NotInTable, OutOfRange, WrongKind

LARGEST = 1e12
"""No weight or length of the trade comes near it; above it a figure is a slip of the keyboard."""

ROUNDING = 1e-9
"""Figures that differ by less, as a share, count as equal: the rest is what binary arithmetic rounds off."""


def trim(text: str) -> str:
    """``text`` without outer spaces and with single inner ones, as the spreadsheet function TRIM does it.

    >>> trim("  winch   mount ")
    'winch mount'
    """
    return " ".join(filter(None, text.split(" ")))


@dataclass(frozen=True)
class Parameter:
    """One parameter of a worksheet function: what it is, in which unit, and what it may be.

    Attributes:
        name: Name in Python and in the spreadsheet, in full words.
        meaning: What it is, as the function wizard shows it.
        unit: Its unit in words, such as ``any weight``, or empty for a bare number or text.
        kind: ``number``, ``text`` or ``range`` (a block of cells).
        least, greatest: Bounds of a number.
        least_excluded, greatest_excluded: Whether a bound itself is refused.
        whole: Whether only whole numbers are allowed.
        zero_is_value: Whether 0 is a figure; otherwise 0 means "not stated".
        required: Whether the function stays blank without it.
        choices: The words allowed, in lower case; empty for any text.
    """

    name: str
    meaning: str
    unit: str = ""
    kind: str = "number"
    least: float = 0.0
    greatest: float = LARGEST
    least_excluded: bool = True
    greatest_excluded: bool = False
    whole: bool = False
    zero_is_value: bool = False
    required: bool = True
    choices: tuple[str, ...] = ()

    @property
    def optional(self) -> Parameter:
        """The same parameter, not required."""
        return replace(self, required=False)

    @property
    def allowed(self) -> str:
        """What is allowed, in words.

        >>> Parameter("pin_share", "", least_excluded=False, greatest=1, greatest_excluded=True).allowed
        'from 0 to below 1'
        """
        if self.kind != "number":
            return " or ".join(self.choices) or self.kind
        if self.least == -LARGEST:
            return "any number"
        low = f"above {self.least:,g}" if self.least_excluded else f"from {self.least:,g}"
        high = (
            "" if self.greatest == LARGEST else f" {'to below' if self.greatest_excluded else 'to'} {self.greatest:,g}"
        )
        return f"{'a whole number ' if self.whole else ''}{low}{high}"

    def is_blank(self, value: object) -> bool:
        """Whether a value means "not stated" for this parameter."""
        if value is None or value == "":
            return True
        return not self.zero_is_value and not isinstance(value, bool) and value == 0

    def check_kind(self, value: object) -> None:
        """Refuse text where a number belongs, and the reverse.

        Raises:
            WrongKind: Naming the parameter and the value.
        """
        if self.kind == "number" and (isinstance(value, bool) or not isinstance(value, int | float)):
            message = f"{self.name} is {value!r}: a number is needed"
            raise WrongKind(message)
        if self.kind == "text" and not isinstance(value, str):
            message = f"{self.name} is {value!r}: text is needed"
            raise WrongKind(message)

    def check_range(self, value: object) -> None:
        """Refuse a number outside the range, NaN included.

        Raises:
            OutOfRange: Naming the parameter, the value, its unit and what is allowed.
        """
        if self.kind != "number":
            return
        number = float(value)  # type: ignore[arg-type]
        within = (number > self.least or (not self.least_excluded and number == self.least)) and (
            number < self.greatest or (not self.greatest_excluded and number == self.greatest)
        )
        if not within or (self.whole and not number.is_integer()):
            raise OutOfRange(self.refusal(number))

    def check_choice(self, value: object) -> None:
        """Refuse a word that is not among the choices.

        Raises:
            NotInTable: Naming the parameter, the value and the choices.
        """
        if self.choices and trim(str(value)).lower() not in self.choices:
            raise NotInTable(self.refusal(value))

    def check(self, value: object) -> None:
        """Refuse whatever the parameter does not allow.

        Raises:
            WrongKind, OutOfRange, NotInTable: As the three checks above.
        """
        if self.kind == "number" and type(value) in (float, int):  # by far the most: well inside the range
            number: float = value  # type: ignore[assignment]
            if self.least < number < self.greatest and not (self.whole and number % 1):
                return
        self.check_kind(value)
        self.check_range(value)
        self.check_choice(value)

    def refusal(self, value: object) -> str:
        """One line that says the parameter, the value, the unit and what is allowed."""
        figure = f"{value:,.15g}" if isinstance(value, float) and math.isfinite(value) else repr(value)
        unit = f" ({self.unit})" if self.unit else ""
        return f"{self.name} is {figure}{unit}: allowed is {self.allowed}"


@dataclass(frozen=True)
class Function:
    """One worksheet function, as every face renders it.

    Attributes:
        name: Worksheet name, ``LOT_`` and words.
        python: The function that calculates; called with a value a parameter, None for an absent one.
        parameters: In worksheet order.
        result: What the result is, with its unit.
        help: One sentence for the function wizard, at most 255 characters.
        words: The calculation in words, for the Sources sheet.
        source: Where the rule comes from.
        formula: The same calculation as one spreadsheet expression over the parameter names, where
            ``STATED(name)`` asks whether an optional value is there; None where no expression is sensible.
        why_no_formula: The reason, where ``formula`` is None.
    """

    name: str
    python: Callable[..., float | str]
    parameters: tuple[Parameter, ...]
    result: str
    help: str
    words: str
    source: str
    formula: str | None
    why_no_formula: str = ""
