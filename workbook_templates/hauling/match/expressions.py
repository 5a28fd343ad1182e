"""What the cells of Match say: the machine and truck above, each row's figures and rules, the words above the table."""

from __future__ import annotations

from functools import cache

from tarelot.calc.cells.expression import Cell, Expression, Range, lift
from tarelot.calc.cells.spreadsheet import COUNTIF, IF, IFERROR, INDEX, INT, ISNUMBER, MAX, OR, ROWS, SUM, TRIM, joined
from tarelot.calc.cells.straight import straight
from tarelot.calc.rules.hauling import CHOSEN, DOUBTS_OF, EXPRESSIONS
from tarelot.workbook_templates.basis.references import column_key
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling import asked, followed
from tarelot.workbook_templates.hauling.asked import WRONG
from tarelot.workbook_templates.hauling.match import order
from tarelot.workbook_templates.hauling.match.columns import (
    ANSWER,
    CHOICE_KEYS,
    FOUND,
    LIMITS_READ,
    LISTED,
    MACHINE_FIGURES,
    OF_MACHINE_AND_TRUCK,
    OF_TRAILER,
    ROOM,
    TRAILER_FIGURES,
    TRUCK_FIGURES,
)
from tarelot.workbook_templates.hauling.what_if.rows import (
    MACHINE,
    TRAILER,
    TRUCK,
    Figure,
    choice_key,
    doubt,
    from_list,
    keeps_0,
    no_choice,
    row_of_choice,
)
from tarelot.workbook_templates.hauling.words import thousands
from tarelot.workbook_templates.lot import columns
from tarelot.workbook_templates.sheets import machines, trucks

C = Cell
STOCK = Range(column_key(columns.TABLE, columns.KEY))
LISTED_ON_LOT = {"stock": columns.KEY, "status": "Status", "price": "Price"}
LOST = "?"
"""Stands for what came to an error on the Lot."""
SAID = {"word": "verdict", "why": "broken", "enough_said": "enough", "lacking": "missing", "minded": "cautions"}
"""What a row shows of the rules' cells, where it is asked."""


@cache
def top_expressions(units: Units) -> dict[str, Expression]:
    """The chosen machine and truck, by key."""
    found: dict[str, Expression] = {}
    for group, figures in ((MACHINE, MACHINE_FIGURES), (TRUCK, TRUCK_FIGURES)):
        row = C(f"row of {group}")
        found[row.key] = row_of_choice(group)
        found |= {figure.key: from_list(figure, row, units) for figure in figures}
        found[DOUBTS_OF[group.lower()]] = doubt(group, row, units)
        found[CHOSEN[group.lower()]] = IF(ISNUMBER(row), 1, "")
        found[choice_key(group)] = followed.choice(group)
    found |= {key: C(key) for key in LIMITS_READ}
    found |= {key: lift("") for key in CHOICE_KEYS}  # a blank cell with a look of its own is 0 in some programs
    return found | {key: EXPRESSIONS[key] for key in OF_MACHINE_AND_TRUCK}


@cache
def row_expressions(units: Units) -> dict[str, Expression]:
    """A row's columns by key: the figures and verdict of one row of the Lot, and whose turn it is to be in sight."""
    row = C("row")
    found = order.row_expressions()
    found["row"] = IF(C("line") <= ROWS(STOCK), C("line"), "")
    known = [Figure(key, TRAILER, heading, kind="text") for key, heading in LISTED_ON_LOT.items()]
    found |= {figure.key: _pulled(figure, row, units) for figure in (*known, *TRAILER_FIGURES)}
    make, model = (_pulled(Figure(h, TRAILER, h, kind="text"), row, units) for h in ("Make", "Model"))
    found |= {key: IFERROR(found[key], LOST) for key in LISTED_ON_LOT}
    found["trailer_doubt"] = doubt(TRAILER, row, units)
    found["trailer"] = IFERROR(TRIM(make & " " & model), LOST)
    found["there"] = IF(IFERROR(OR(C("stock").differs(""), C("gvwr").differs("")), True), 1, 0)
    found["asked"] = IF(ISNUMBER(C("row of Machine")), C("there"), 0)
    found["trailer_chosen"] = IF(C("asked").equals(1), 1, "")
    # Rounded down, as the words round up what is short: the two read the same.
    found["spare"] = IFERROR(INT(asked.spare()), "")
    found |= {key: IF(C("asked").equals(1), C(cell), "") for key, cell in SAID.items()}
    return found | OF_TRAILER


def _pulled(figure: Figure, row: Expression, units: Units) -> Expression:
    """As :func:`from_list`, asked shorter: an empty text is not 0, and stays what it is."""
    if keeps_0(figure):
        return from_list(figure, row, units)
    value = INDEX(Range(column_key(columns.TABLE, units.heading(figure.heading))), row)
    return IF(ISNUMBER(row), IF(value.equals(0), "", value), "")


@cache
def rows_written_out(units: Units) -> dict[str, Expression]:
    """Those of :func:`row_expressions` as functions written out, for a lot of many rows."""
    return straight(row_expressions(units))


@cache
def shown_expressions() -> dict[str, Expression]:
    """The columns in sight by key, which read those of :func:`row_expressions`."""
    return order.shown_expressions(column.key for column in LISTED if column.key != "line")


@cache
def head_expressions(units: Units) -> dict[str, Expression]:
    """The words above the table by cell: what was chosen, how many carry, which are in sight, which are not here."""
    found: dict[str, Expression] = {}
    for group, source in ((MACHINE, machines.TABLE), (TRUCK, trucks.TABLE)):
        row = C(f"row of {group}")
        maker = INDEX(Range(column_key(source, "Maker")), row) & ""
        what = maker & ", " & C("runs_on") & ", " & thousands(C("weight")) & f" {units.weight}"
        nothing = "choose from the list" if group == MACHINE else "none chosen: no trailer gets a YES"
        chosen = IF(ISNUMBER(row), what if group == MACHINE else maker, f"▲ not on the {source} sheet")
        said = followed.as_on_what_if(group) & chosen
        found[FOUND[group]] = IFERROR(IF(no_choice(group), nothing, said), asked.UNREADABLE)
    counts = [COUNTIF(order.every("word"), word) & f" {word}" for word in asked.WORDS]
    count = joined([part for pair in zip(counts, (", ", ", ", " of "), strict=True) for part in pair])
    own = IF(asked.LIMITS_CHANGED.equals(""), "", " By the yard's own limits: see Limits.")
    asked_of = SUM(order.every("asked"))
    count = count & asked_of & IF(asked_of.equals(1), " trailer.", " trailers.") & own
    found[ANSWER] = IF(ISNUMBER(C("row of Machine")), count, "Choose a machine in the cream cell, and a truck.")
    lines = MAX(order.every("line"))
    more = f"{WRONG} Rows of the Lot from " & lines + 1 & " on are not here: copy the last row of this table down."
    found[ROOM] = IF(ROWS(STOCK) > lines, more, order.words(SUM(order.every("there"))))
    return found
