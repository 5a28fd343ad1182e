"""What the Card's words are made of: cells of What-if, Drive-on and the lot, and whether they hold something.

The Card shows words where a figure lacks or is refused, never an error value.
"""

from __future__ import annotations

from tarelot.calc.cells.expression import Cell, Expression, Range
from tarelot.calc.cells.spreadsheet import COUNTIF, IF, IFERROR, INDEX, ISNUMBER, TRIM, is_blank
from tarelot.workbook_templates.basis.references import column_key
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling.asked import WRONG
from tarelot.workbook_templates.hauling.what_if.answers import NAMED_BY
from tarelot.workbook_templates.hauling.what_if.rows import (
    TABLES,
    TRAILER,
    TYPED,
    choice_key,
    marks,
    no_choice,
)
from tarelot.workbook_templates.hauling.what_if.values import there

NOT_STATED, CHECK = "not stated", "check figures"


def is_listed(group: str) -> Expression:
    """Whether one was chosen that stands on its list."""
    return ISNUMBER(Cell(f"row of {group}"))


def listed(group: str, heading: str, units: Units) -> Expression:
    """A cell of the chosen row, blank where it is."""
    found = INDEX(Range(column_key(TABLES[group][0], units.heading(heading))), Cell(f"row of {group}"))
    return IF(is_listed(group), IF(is_blank(found), "", found), "")


def said(figure: Expression, *, is_text: bool = False) -> Expression:
    """A figure, or in words that it lacks or is refused; text where a number belongs is refused."""
    lacking = IF(there(TRAILER), NOT_STATED, "")
    if is_text:
        return IFERROR(IF(figure.equals(""), lacking, figure), CHECK)
    return IF(ISNUMBER(figure), figure, IFERROR(IF(figure.equals(""), lacking, CHECK), CHECK))


def name(group: str, units: Units) -> Expression:
    """What is chosen: the name of a machine or truck; a trailer's make and model, else its number."""
    table, key = TABLES[group]
    found = listed(group, key, units)
    if group == TRAILER:
        make, model = (listed(group, heading, units) for heading in NAMED_BY[group][:2])
        made = TRIM(make & " " & model)
        found = IF(made.equals(""), "Trailer " & found, made)
    lost = Cell(choice_key(group)) & f" {WRONG} not on the {table} sheet"
    return IF(no_choice(group), f"a {group.lower()} as typed", IF(is_listed(group), IFERROR(found, CHECK), lost))


def typed_count() -> Expression:
    """How many figures are typed over."""
    return COUNTIF(marks(), TYPED)
