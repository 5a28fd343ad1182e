"""Results of What-if, Drive-on and Card to be stored: their own expressions, worked out over the lists."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from tarelot.calc.cells.expression import value
from tarelot.calc.cells.worked_out import WorkedOut
from tarelot.workbook_templates.basis.limits import Typed
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling import asked
from tarelot.workbook_templates.hauling.card import letterhead
from tarelot.workbook_templates.hauling.card import sheet as card
from tarelot.workbook_templates.hauling.drive_on import sheet as drive_on_sheet
from tarelot.workbook_templates.hauling.match.stored import Columns, with_checks
from tarelot.workbook_templates.hauling.what_if import aboard, answers
from tarelot.workbook_templates.hauling.what_if import sheet as what_if
from tarelot.workbook_templates.hauling.what_if.rows import FIGURES, TABLES, choice_key, typed
from tarelot.workbook_templates.hauling.what_if.values import values
from tarelot.workbook_templates.sheets import machines, trucks, yard

Rows = Sequence[Mapping[str, object]]
NO_CHOICE: what_if.Choices = (None, None, None)


@dataclass(frozen=True)
class Hauling:
    """What is hauled and by what: rows of Machines and of Trucks, and what What-if shows at first.

    Attributes:
        machines: Rows of Machines.
        trucks: Rows of Trucks.
        choices: Stock number, machine and truck; None for none.
        typed: What is typed over on What-if, by the figure's key.
        card: What is typed for the Card's head, there and on Start, by key.
        compared: Stock numbers that Compare shows at first, four at most.
        quote: What is typed on the Quote, by key.
        head_kept: What a lot that is brought up to date has typed for the head of its pages, by key: results reckon
            with it, and it is not written, since it keeps its own cells.
    """

    machines: Rows = field(default_factory=lambda: [{}] * machines.BLANK_ROWS)
    trucks: Rows = field(default_factory=lambda: [{}] * trucks.BLANK_ROWS)
    choices: what_if.Choices = NO_CHOICE
    typed: Mapping[str, what_if.Typed] = field(default_factory=dict)
    card: Mapping[str, object] = field(default_factory=dict)
    compared: Sequence[object] = ()
    quote: Mapping[str, object] = field(default_factory=dict)
    head_kept: Mapping[str, object] = field(default_factory=dict)

    @property
    def head(self) -> dict[str, object]:
        """What the head of a page reads, by key."""
        return {**self.card, **self.head_kept}

    @property
    def on_quote(self) -> dict[str, object]:
        """What the Quote reads of what is typed: its own cells, and the yard as Start has it."""
        return {**{entry.key: self.head.get(entry.key) for entry in yard.ENTRIES}, **self.quote}


Stored = dict[str, dict[str, float | str | bool | None]]
SPARE_ROWS = 6
DEMO_YARD = {
    "yard_name": "Ostrel Flats Trailer Yard",
    "yard_address": "At the old grain elevator, Ostrel Flats",
    "yard_phone": "phone to be typed on Start",
    "yard_line": "An invented yard: nothing here is for sale.",
    "yard_price": yard.FROM_LOT,
    "yard_price_words": "$",
}
"""What the demo's Card says of its yard."""
SHEETS = (what_if.SHEET, drive_on_sheet.SHEET, card.SHEET)


def demo_hauling() -> Hauling:
    """The demo yard's, with a paver that hangs up on the trailer chosen."""
    return Hauling(
        [*machines.demo_rows(), *[{}] * SPARE_ROWS],
        [*trucks.demo_rows(), *[{}] * SPARE_ROWS],
        ("1108", "Paver 8", "Tandem dump 58"),
        card=DEMO_YARD,
        compared=("1105", "1106", "1108", "1109"),
    )


def what_if_results(lot_rows: Rows, hauling: Hauling, units: Units, limits: Typed | None = None) -> Stored:
    """The result of every formula, by sheet and cell.

    Args:
        lot_rows: Inputs and results of the lot, by heading.
        hauling: Machines, trucks and what is chosen at first.
        units: The workbook's units.
        limits: What the yard typed on its Limits sheet.
    """
    cells = worked_out(lot_rows, hauling, units, limits)
    places, shown = answers.places(units), answers.expressions(units)
    return {
        what_if.SHEET: {places[key].replace("$", ""): cells[key] for key in shown},  # type: ignore[misc]
        drive_on_sheet.SHEET: drive_on_sheet.stored(cells, units, values(units)),
        card.SHEET: {cell: value(words, cells) for cell, words in card.expressions(units).items()},
    }


def worked_out(lot_rows: Rows, hauling: Hauling, units: Units, limits: Typed | None = None) -> WorkedOut:
    """Every cell of What-if and Drive-on by key."""
    lists = with_checks(hauling.machines, hauling.trucks, units, limits)
    rows = dict(zip(TABLES, (lot_rows, *lists), strict=True))
    columns = Columns({table: rows[group] for group, (table, _) in TABLES.items()})
    given = {
        **asked.constants(units, limits),
        **answers.labels(units),
        **{typed(figure.key).key: hauling.typed.get(figure.key) for figure in (*FIGURES, *aboard.FIGURES)},
        **dict(zip(map(choice_key, TABLES), hauling.choices, strict=True)),
        **{key: hauling.head.get(key) for key in letterhead.KEYS},
    }
    expressions = {**drive_on_sheet.expressions(units), **values(units), **answers.expressions(units)}
    return WorkedOut(given, expressions, columns)
