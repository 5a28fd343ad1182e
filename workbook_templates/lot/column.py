"""What a column of a sheet is: an input that a person fills, or a result that the workbook fills."""

from __future__ import annotations

from dataclasses import dataclass

from tarelot.calc.cells.formulas import Call, Cell
from tarelot.workbook_templates.basis.units import Units


@dataclass(frozen=True)
class Input:
    """A column that a person fills.

    Attributes:
        heading: Heading, with the unit in brackets.
        group: Band it stands under.
        kind: ``text``, ``whole``, ``number``, ``share``, ``date`` or ``money``.
        message: What to type, shown when the cell is chosen.
        choices: The words allowed, for a text.
        width: Column width in characters.
        greatest: Largest whole number, or most characters of a text.
    """

    heading: str
    group: str
    kind: str
    message: str
    choices: tuple[str, ...] = ()
    width: float = 11
    greatest: float = 200


@dataclass(frozen=True)
class Result:
    """A column that the workbook fills.

    Attributes:
        heading: Heading, with the unit in brackets.
        group: Band it stands under.
        call: The function with the headings it reads; None for the few columns written out in ``written.py``.
        kind: ``figure``, ``share``, ``angle``, ``distance``, ``text``, ``check`` (an amount) or ``check text``.
        note: What it is and by which rule, shown as a note on the heading.
        alike: A column whose call has the same arguments and refusals: the formula need not ask about them again.
        unless_above: Blank where the first of these two columns exceeds the second, since the call would refuse.
        width: Column width in characters.
    """

    heading: str
    group: str
    call: Call | None
    kind: str
    note: str
    alike: str | None = None
    unless_above: tuple[str, str] | None = None
    width: float = 11


Column = Input | Result


def in_units(call: Call, units: Units) -> Call:
    """A column's call with headings and constants in a workbook's units."""

    def convert(argument: Cell | Call | float | str | None) -> Cell | Call | float | str | None:
        if isinstance(argument, Cell):
            return Cell(units.heading(argument.reference))
        if isinstance(argument, Call):
            return in_units(argument, units)
        if argument == "{legal_width}":
            return units.legal_width
        return units.heading(argument) if isinstance(argument, str) else argument

    return Call(call.function, tuple(map(convert, call.arguments)))
