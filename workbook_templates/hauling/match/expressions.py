"""What the cells of Match say: the machine and truck above, each row's figures and place, the words above the table.

``verdict.py`` holds the tests and the verdict; ``questions`` how far each limit is passed.
"""

from __future__ import annotations

from functools import cache

from tarelot.calc.cells.expression import Cell, Expression, Range, Registered
from tarelot.calc.cells.spreadsheet import (
    AND,
    COUNTIF,
    IF,
    INDEX,
    ISNUMBER,
    MAX,
    OR,
    ROWS,
    SUM,
    TRIM,
    joined,
)
from tarelot.workbook_templates.basis.references import column_key
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling import placed
from tarelot.workbook_templates.hauling import questions as q
from tarelot.workbook_templates.hauling.match.columns import (
    ANSWER,
    CARRIES,
    CHECK,
    FOUND,
    LIMIT,
    MACHINE_FIGURES,
    MISSING,
    ROOM,
    TRAILER_FIGURES,
    TRUCK_FIGURES,
    label,
)
from tarelot.workbook_templates.hauling.match.verdict import verdict
from tarelot.workbook_templates.hauling.what_if.rows import (
    MACHINE,
    NOT_LISTED,
    TRAILER,
    TRUCK,
    Figure,
    from_list,
    no_choice,
    row_of_choice,
)
from tarelot.workbook_templates.hauling.words import thousands
from tarelot.workbook_templates.lot import columns
from tarelot.workbook_templates.sheets import machines, trucks

C = Cell
STOCK = Range(column_key(columns.TABLE, columns.KEY))


@cache
def top_expressions(units: Units) -> dict[str, Expression]:
    """The chosen machine and truck, by key."""
    found: dict[str, Expression] = {}
    for group, figures in ((MACHINE, MACHINE_FIGURES), (TRUCK, TRUCK_FIGURES)):
        row = C(f"row of {group}")
        found[row.key] = row_of_choice(group)
        found |= {figure.key: from_list(figure, row, units) for figure in figures}
        lacking = [q.missing(f.key, label(f)) for f in figures if not f.blank_is_none]
        if group == MACHINE:
            for end in ("front", "rear"):
                gap = C(f"{end}_clearance").equals("") * C(f"{end}_overhang").differs("") > 0
                lacking.append(IF(gap, f"; machine's {end} clearance", ""))
        found[f"{group} missing"] = IF(ISNUMBER(row), joined(lacking), "")
    found["tie_downs"] = placed.tie_downs(units)
    found["truck_empty"] = placed.truck_empty()
    return found


@cache
def row_expressions(units: Units) -> dict[str, Expression]:
    """A row's columns by key; the line number is typed."""
    row = C("row")
    found = {"row": IF(C("line") <= ROWS(STOCK), C("line"), "")}
    words = (Figure("stock", TRAILER, columns.KEY, kind="text"), Figure("status", TRAILER, "Status", kind="text"))
    found |= {figure.key: from_list(figure, row, units) for figure in (*words, *TRAILER_FIGURES, LIMIT)}
    make, model = (from_list(Figure(h, TRAILER, h, kind="text"), row, units) for h in ("Make", "Model"))
    found["trailer"] = TRIM(make & " " & model)
    known = AND(ISNUMBER(C("row of Machine")), C("row of Truck").differs(NOT_LISTED))
    found["asked"] = IF(known, IF(OR(C("stock").differs(""), C("gvwr").differs("")), 1, 0), 0)
    found |= _drive_on() | placed.band(units) | {"center": placed.middle()} | placed.pin()
    return found | placed.pulled(C("pin_share")) | verdict(units)


def _drive_on() -> dict[str, Expression]:
    """The breaks of the way up, and the two bounds of the gap."""
    trailer = (C("deck_height"), C("tail_drop_or_0"), C("tail_length_or_0"), C("ramp_length"))
    ends = ("front_overhang", "front_clearance", "rear_overhang", "rear_clearance")
    machine = tuple(map(C, ("wheelbase", "clearance", *ends)))
    found: dict[str, Expression] = {
        f"{key}_or_0": IF(C(key).equals(""), 0, C(key)) for key in ("tail_drop", "tail_length")
    }
    found["at_least"] = Registered("LOT_CLEARANCE_AT_LEAST", *trailer, *machine)
    found["at_most"] = Registered("LOT_CLEARANCE_AT_MOST", *trailer, *machine)
    for key in ("foot", "ramp_top", "tail_top"):
        found[key] = Registered("LOT_BREAK_ANGLE", *trailer, key.replace("_", " "))
    return found


@cache
def head_expressions(units: Units) -> dict[str, Expression]:
    """The words above the table by cell: what was chosen, how many carry, whether the lot has more rows.

    ``verdicts``, ``all asked`` and ``lines`` are the columns of the table below.
    """
    found: dict[str, Expression] = {}
    for group, source in ((MACHINE, machines.TABLE), (TRUCK, trucks.TABLE)):
        row = C(f"row of {group}")
        maker = INDEX(Range(column_key(source, "Maker")), row) & ""
        what = maker & ", " & C("runs_on") & ", " & thousands(C("weight")) & f" {units.weight}"
        nothing = "choose from the list" if group == MACHINE else "none chosen: no truck is checked"
        chosen = IF(ISNUMBER(row), what if group == MACHINE else maker, f"▲ not on the {source} sheet")
        found[FOUND[group]] = IF(no_choice(group), nothing, chosen)
    count = (
        COUNTIF(Range("verdicts"), CARRIES) & " of " & SUM(Range("all asked")) & " carry it; ",
        COUNTIF(Range("verdicts"), f"{CHECK}*") & " to check on What-if; ",
        COUNTIF(Range("verdicts"), f"{MISSING}*") & " lack figures.",
    )
    found[ANSWER] = IF(ISNUMBER(C("row of Machine")), joined(count), "Choose a machine in the cream cell, and a truck.")
    more = ROWS(STOCK) - MAX(Range("lines"))
    found[ROOM] = IF(
        more > 0,
        "▲ " & more & " rows of the Lot are not shown: copy the last row down and count Lot row on.",
        "The first "
        & MAX(Range("lines"))
        & " rows of the Lot. Filter and sort by the headings; Lot row says which row it is.",
    )
    return found
