"""What the cells of Match say: the machine and truck above, each row's figures and place, the words above the table.

``tests.py`` holds the tests and the verdict; ``questions`` how far each limit is passed.
"""

from __future__ import annotations

from functools import cache

from tarelot.calc.cells.expression import Cell, Expression, Given, Range, Registered, lift
from tarelot.calc.cells.spreadsheet import (
    AND,
    COUNTIF,
    FIXED,
    IF,
    INDEX,
    ISERROR,
    ISNA,
    ISNUMBER,
    MAX,
    MIN,
    OR,
    ROWS,
    SUM,
    TRIM,
    N,
)
from tarelot.workbook_templates.basis.references import column_key
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling import questions as q
from tarelot.workbook_templates.hauling.match.columns import (
    ANSWER,
    CARRIES,
    CHECK,
    FOUND,
    LIMIT,
    MACHINE_FIGURES,
    MISSING,
    NO_PLACE,
    NOT_LISTED,
    ROOM,
    TRAILER_FIGURES,
    TRUCK_FIGURES,
    label,
)
from tarelot.workbook_templates.hauling.match.verdict import verdict
from tarelot.workbook_templates.hauling.what_if.rows import (
    MACHINE,
    TRAILER,
    TRUCK,
    Figure,
    from_list,
    no_choice,
    row_of_choice,
)
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
        found[row.key] = IF(ISERROR(row_of_choice(group)), NOT_LISTED, row_of_choice(group))
        found |= {figure.key: from_list(figure, row, units) for figure in figures}
        lacking = [missing(C(f.key), label(f)) for f in figures if not f.blank_is_none]
        if group == MACHINE:
            for end in ("front", "rear"):
                gap = C(f"{end}_clearance").equals("") * C(f"{end}_overhang").differs("") > 0
                lacking.append(IF(gap, f"; machine's {end} clearance", ""))
        found[f"{group} missing"] = IF(ISNUMBER(row), joined(lacking), "")
    length = (C("wheelbase") + N(C("front_overhang")) + N(C("rear_overhang"))) / (12 * units.short_per_inch)
    pounds = C("weight") / units.weight_per_pound
    ties = Registered("LOT_TIEDOWN_COUNT", pounds, length, None, "machine")
    found["tie_downs"] = q.unless_blank(("weight", "wheelbase"), ties)
    found["Truck empty"] = q.unless_blank(("front_empty", "rear_empty"), C("front_empty") + C("rear_empty"))
    return found


def missing(cell: Expression, name: str) -> Expression:
    """A name in the list of what is missing, where its cell is blank."""
    return IF(cell.equals(""), f"; {name}", "")


def joined(parts: list[Expression]) -> Expression:
    """Texts one after the other."""
    found = parts[0]
    for part in parts[1:]:
        found = found & part
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
    return found | _drive_on() | _placed(units) | _pulled() | verdict(units)


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


def _placed(units: Units) -> dict[str, Expression]:
    """The band of the load's center, its middle, and the pin there."""
    factor = units.short_per_long
    beam = tuple(map(C, ("empty", "empty_pin", "to_axles", "weight")))
    limits = (*beam, *map(C, ("low_share", "high_share", "axle_group", "coupler_vertical")))
    needed = ("foremost", "to_deck", "deck_length", "wheelbase", "to_centre")
    behind = C("deck_length") - (C("wheelbase") - C("to_centre")) / factor
    middle = IF(q.exceeds(q.OFF_DECK), "", (C("band_from") + C("band_to")) / 2)
    pin = Registered("LOT_PIN_AT", *beam, C("centre") + C("to_deck"))
    return {
        "foremost": _or_no_place(Registered("LOT_FOREMOST", *limits)),
        "rearmost": _or_no_place(Registered("LOT_REARMOST", *limits)),
        "band_from": q.unless_blank(
            needed, _on_deck("foremost", MAX(C("foremost") - C("to_deck"), C("to_centre") / factor))
        ),
        "band_to": q.unless_blank(needed, _on_deck("rearmost", MIN(C("rearmost") - C("to_deck"), behind))),
        "centre": q.unless_blank(("band_from", "band_to"), middle),
        "pin": q.unless_blank(("centre",), pin),
        "pin_share": q.unless_blank(("pin",), C("pin") / (C("empty") + C("weight"))),
    }


def _or_no_place(end: Expression) -> Expression:
    """An end of the band, or the word that there is none."""
    return IF(ISNA(end), NO_PLACE, end)


def _on_deck(end: str, place: Expression) -> Expression:
    return IF(C(end).equals(NO_PLACE), "", place)


def _pulled() -> dict[str, Expression]:
    """What the truck may pull, and what the pin does to its front axle."""
    ratings = ("gcwr", "hitch_rating", "hitch_vertical", "rear_rating", "rear_empty")
    lengths = (C("truck_wheelbase"), C("hitch_overhang"))
    truck = (C("truck_gvwr"), C("Truck empty"), C("pin_share"), *map(C, ratings), *lengths)
    return {
        "truck_limit": Registered("LOT_TRUCK_LIMIT", *truck),
        "truck_by": Registered("LOT_TRUCK_LIMITED_BY", *truck),
        "front_change": Registered("LOT_FRONT_AXLE_CHANGE", C("pin"), *lengths),
    }


@cache
def head_expressions(units: Units) -> dict[str, Expression]:
    """The words above the table by cell: what was chosen, how many carry, whether the lot has more rows.

    ``verdicts``, ``all asked`` and ``lines`` are the columns of the table below.
    """
    found: dict[str, Expression] = {}
    for group, source in ((MACHINE, machines.TABLE), (TRUCK, trucks.TABLE)):
        row = C(f"row of {group}")
        maker = INDEX(Range(column_key(source, "Maker")), row) & ""
        what = maker & ", " & C("runs_on") & ", " & _thousands(C("weight")) & f" {units.weight}"
        nothing = "choose from the list" if group == MACHINE else "none chosen: no truck is checked"
        chosen = IF(ISNUMBER(row), what if group == MACHINE else maker, f"▲ not on the {source} sheet")
        found[FOUND[group]] = IF(no_choice(group), nothing, chosen)
    count = (
        COUNTIF(Range("verdicts"), CARRIES) & " of " & SUM(Range("all asked")) & " carry it; ",
        COUNTIF(Range("verdicts"), f"{CHECK}*") & " to check on What-if; ",
        COUNTIF(Range("verdicts"), f"{MISSING}*") & " lack figures.",
    )
    found[ANSWER] = IF(
        ISNUMBER(C("row of Machine")), joined(list(count)), "Choose a machine in the cream cell, and a truck."
    )
    more = ROWS(STOCK) - MAX(Range("lines"))
    found[ROOM] = IF(
        more > 0,
        "▲ " & more & " rows of the Lot are not shown: copy the last row down and count Lot row on.",
        "The first "
        & MAX(Range("lines"))
        & " rows of the Lot. Filter and sort by the headings; Lot row says which row it is.",
    )
    return found


def _thousands(amount: Given) -> Expression:
    """A number with thousands; a text as it is, where a person typed one."""
    return IF(ISNUMBER(lift(amount)), FIXED(lift(amount), 0), lift(amount))
