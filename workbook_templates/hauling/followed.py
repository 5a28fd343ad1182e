"""A choice on another sheet than What-if: what is chosen there, or else what is chosen on What-if."""

from __future__ import annotations

from collections.abc import Mapping

from tarelot.calc.cells.expression import Cell, Expression
from tarelot.calc.cells.spreadsheet import IF, is_blank
from tarelot.workbook_templates.hauling.what_if.aboard import NOTHING, SUMMARY
from tarelot.workbook_templates.hauling.what_if.rows import CHOICE_CELLS, MACHINE, SHEET, choice_key

ALSO_ABOARD = Cell("also aboard on What-if")
"""What What-if says of what is aboard besides the machine, which no other sheet asks about."""


def typed_choice(group: str) -> str:
    """The key of the cell in which one of a group is chosen on the sheet itself."""
    return f"{choice_key(group)} as typed"


def choice_on_what_if(group: str) -> str:
    """The key of the cell in which it is chosen on What-if."""
    return f"{choice_key(group)} on What-if"


def choice(group: str) -> Expression:
    """What is chosen: the value of the cell of :func:`choice_key`."""
    here, there = Cell(typed_choice(group)), Cell(choice_on_what_if(group))
    return IF(is_blank(here), IF(is_blank(there), "", there), here)


def as_on_what_if(group: str) -> Expression:
    """That the choice is that of What-if, where it is, and that a machine is asked about alone."""
    said = "as on What-if: " & Cell(choice_key(group)) & ", "
    if group == MACHINE:
        said = said & IF(ALSO_ABOARD.equals(NOTHING), "", "without what is also aboard there, ")
    return IF(is_blank(Cell(typed_choice(group))), said, "")


def places(cells: Mapping[str, str]) -> dict[str, str]:
    """Where the choices stand: here, by group, and on What-if."""
    here = {typed_choice(group): cell for group, cell in cells.items()}
    there = {choice_on_what_if(group): f"'{SHEET}'!{CHOICE_CELLS[group]}" for group in cells}
    return here | there | {ALSO_ABOARD.key: f"'{SHEET}'!{SUMMARY}"}


def given(here: Mapping[str, object], on_what_if: Mapping[str, object]) -> dict[str, object]:
    """What is chosen, by group, as the cells of :func:`places`."""
    typed = {typed_choice(group): chosen for group, chosen in here.items()}
    return typed | {choice_on_what_if(group): chosen for group, chosen in on_what_if.items()}
