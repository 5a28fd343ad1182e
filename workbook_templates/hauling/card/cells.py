"""What the Card's formulas are made of: cells of What-if, Drive-on and the lot, and whether they hold something."""

from __future__ import annotations

from tarelot.calc.cells.expression import formula
from tarelot.workbook_templates.basis.references import table_column
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling.questions import WRONG
from tarelot.workbook_templates.hauling.what_if.rows import (
    CHOICE_CELLS,
    FIRST_ROW,
    MACHINE,
    MARK_COLUMN,
    TABLES,
    TRAILER,
    TRUCK,
    choice_key,
    figure_rows,
    no_choice,
    used_elsewhere,
)
from tarelot.workbook_templates.hauling.what_if.sheet import SHEET, WORDS, Shown

NOT_STATED, CHECK = "not stated", "check figures"
CONFLICTS, NOT_CHECKED_THERE, ENTRIES = "What conflicts", "Not checked", "Entry check"
LOAD_CENTRE = ("Load center from ({long})", "Load center to ({long})")
LOT_COLUMNS = (
    *("Model year", "VIN", "Scale weight ({weight})", "Low pin share", "High pin share"),
    *(CONFLICTS, NOT_CHECKED_THERE, ENTRIES, *LOAD_CENTRE),
)
"""Columns of the lot that the Card reads beside those of What-if."""


class CardCells:
    """The cells that the formulas of one workbook's Card read; formulas are without ``=``.

    A formula gives words where a figure lacks or is refused, never an error value.
    """

    def __init__(self, shown: Shown, units: Units) -> None:
        self.shown, self.units, self.used = shown, units, used_elsewhere()
        self.value = shown.values.elsewhere

    def there(self, group: str) -> str:
        """Whether a trailer, machine or truck is chosen or typed."""
        key = {TRAILER: "gvwr", MACHINE: "weight", TRUCK: "truck_gvwr"}[group]
        return f"OR(ISNUMBER({self.value(f'row of {group}')}),ISNUMBER({self.used[key]}))"

    def listed(self, group: str, heading: str) -> str:
        """A cell of the chosen row, blank where it is."""
        row, table = self.value(f"row of {group}"), TABLES[group][0]
        found = f"INDEX({table_column(table, self.units.heading(heading))},{row})"
        return f'IF(ISNUMBER({row}),IF(OR({found}="",{found}=0),"",{found}),"")'

    def said(self, formula: str, *, is_text: bool = False) -> str:
        """A figure, or in words that it lacks or is refused; text where a number belongs is refused."""
        lacking = f'IF({self.there(TRAILER)},"{NOT_STATED}","")'
        if is_text:
            return f'IFERROR(IF({formula}="",{lacking},{formula}),"{CHECK}")'
        return f'IF(ISNUMBER({formula}),{formula},IFERROR(IF({formula}="",{lacking},"{CHECK}"),"{CHECK}"))'

    def name(self, group: str) -> str:
        """What is chosen: the name of a machine or truck; a trailer's make and model, else its number."""
        row, (_, key) = self.value(f"row of {group}"), TABLES[group]
        parts = [self.listed(group, heading) for heading in WORDS[group][:2]]
        name = "TRIM(" + '&" "&'.join(parts) + ")" if group == TRAILER else self.listed(group, key)
        if group == TRAILER:
            name = f'IF({name}="","Trailer "&{self.listed(group, key)},{name})'
        choice = self.choice(group)
        return (
            f'IF({self.none(group)},"a {group.lower()} as typed",IF(ISNUMBER({row}),IFERROR({name},"{CHECK}"),'
            f'{choice}&" {WRONG} not on the {TABLES[group][0]} sheet"))'
        )

    def choice(self, group: str) -> str:
        """The cell of a choice on What-if."""
        return f"'{SHEET}'!{CHOICE_CELLS[group]}"

    def none(self, group: str) -> str:
        """Whether nothing is chosen there."""
        return formula(no_choice(group), {choice_key(group): self.choice(group)})

    def at(self, key: str, letter: str) -> str:
        """A cell of an answer's row on What-if."""
        return f"'{SHEET}'!${letter}${self.shown.rows[key]}"

    def is_typed(self, key: str) -> str:
        """Whether a figure is typed over."""
        return f"'{SHEET}'!${MARK_COLUMN}${figure_rows()[key]}=\"TYPED\""

    def marks(self) -> str:
        """The marks beside the figures on What-if."""
        return f"'{SHEET}'!${MARK_COLUMN}${FIRST_ROW}:${MARK_COLUMN}${max(figure_rows().values())}"

    def typed_count(self) -> str:
        """How many figures are typed over."""
        return f'COUNTIF({self.marks()},"TYPED")'
