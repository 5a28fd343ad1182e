"""The figures of What-if: from which list each comes, and where it stands. ``what_if.py`` writes the sheet."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from tarelot.calc.cells.expression import Cell, Expression, Range
from tarelot.calc.cells.spreadsheet import IF, IFERROR, INDEX, ISNUMBER, MATCH, OR, SUBSTITUTE, VALUE
from tarelot.workbook_templates.basis.references import Places, column_key
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.lot import columns
from tarelot.workbook_templates.sheets import machines, trucks

SHEET = "What-if"
TRAILER, MACHINE, TRUCK, PLACE = "Trailer", "Machine", "Truck", "Where it sits"
CHOICE_CELLS = {TRAILER: "$B$5", MACHINE: "$B$6", TRUCK: "$B$7"}
TABLES = {
    TRAILER: (columns.TABLE, columns.KEY),
    MACHINE: (machines.TABLE, machines.KEY),
    TRUCK: (trucks.TABLE, trucks.KEY),
}
FIRST_ROW = 32
"""Row of the first band below the side view."""
LIST_COLUMN, TYPED_COLUMN, USED_COLUMN, MARK_COLUMN = "G", "H", "I", "J"


@dataclass(frozen=True)
class Figure:
    """A figure of a chosen trailer, machine or truck.

    Attributes:
        key: Its name in the formulas.
        group: Trailer, Machine, Truck or Where it sits.
        heading: The column of the group's table; empty where the workbook proposes the figure itself.
        label: What the sheet says, with units to be filled in.
        kind: ``number``, ``share``, ``text`` or ``offset``.
        blank_is_none: Whether leaving it out is an answer (no tail, no overhang) and not a lack.
    """

    key: str
    group: str
    heading: str
    label: str = ""
    kind: str = "number"
    blank_is_none: bool = False


FIGURES: tuple[Figure, ...] = (
    Figure("hitch", TRAILER, "Hitch", kind="text"),
    Figure("gvwr", TRAILER, "GVWR ({weight})"),
    Figure("empty", TRAILER, "Empty weight ({weight})"),
    Figure("empty_pin", TRAILER, "Empty pin ({weight})"),
    Figure("axles", TRAILER, "Axles", kind="whole"),
    Figure("axle_group", TRAILER, "Axle group ({weight})"),
    Figure("coupler", TRAILER, "Coupler rating ({weight})"),
    Figure("coupler_vertical", TRAILER, "Coupler vertical ({weight})"),
    Figure("low_share", TRAILER, "Low share used", "Low pin share", "share"),
    Figure("high_share", TRAILER, "High share used", "High pin share", "share"),
    Figure("deck_height", TRAILER, "Deck height ({short})"),
    Figure("deck_length", TRAILER, "Deck length ({long})"),
    Figure("tail_length", TRAILER, "Tail length ({short})", blank_is_none=True),
    Figure("tail_drop", TRAILER, "Tail drop ({short})", blank_is_none=True),
    Figure("ramp_length", TRAILER, "Ramp length ({short})"),
    Figure("to_axles", TRAILER, "Coupler to axles ({long})"),
    Figure("to_deck", TRAILER, "Coupler to deck ({long})"),
    Figure("trailer_width", TRAILER, "Width ({short})"),
    Figure("points", TRAILER, "Tie-down points", kind="whole"),
    Figure("point_rating", TRAILER, "Tie-down rating ({weight})"),
    Figure("runs_on", MACHINE, "Runs on", kind="text"),
    Figure("weight", MACHINE, "Weight ({weight})"),
    Figure("wheelbase", MACHINE, "Wheelbase ({short})", "Wheelbase, or track on ground ({short})"),
    Figure("to_centre", MACHINE, "Front contact to center ({short})"),
    Figure("clearance", MACHINE, "Ground clearance ({short})"),
    Figure("front_overhang", MACHINE, "Front overhang ({short})", blank_is_none=True),
    Figure("front_clearance", MACHINE, "Front clearance ({short})", blank_is_none=True),
    Figure("rear_overhang", MACHINE, "Rear overhang ({short})", blank_is_none=True),
    Figure("rear_clearance", MACHINE, "Rear clearance ({short})", blank_is_none=True),
    Figure("machine_width", MACHINE, "Width ({short})"),
    Figure("machine_height", MACHINE, "Height ({short})"),
    Figure("hitches", TRUCK, "Hitches", kind="text"),
    Figure("truck_gvwr", TRUCK, "GVWR ({weight})"),
    Figure("gcwr", TRUCK, "GCWR ({weight})"),
    Figure("front_rating", TRUCK, "Front axle rating ({weight})"),
    Figure("rear_rating", TRUCK, "Rear axle rating ({weight})"),
    Figure("front_empty", TRUCK, "Front axle empty ({weight})"),
    Figure("rear_empty", TRUCK, "Rear axle empty ({weight})"),
    Figure("hitch_rating", TRUCK, "Hitch rating ({weight})"),
    Figure("hitch_vertical", TRUCK, "Hitch vertical ({weight})"),
    Figure("truck_wheelbase", TRUCK, "Wheelbase ({short})"),
    Figure("hitch_overhang", TRUCK, "Hitch overhang ({short})", kind="offset"),
    Figure("place", PLACE, "", "Centre from the deck's front ({long})"),
)
GROUPS = (TRAILER, MACHINE, TRUCK, PLACE)


def figure_rows() -> dict[str, int]:
    """The row of each figure; each group has a band row above it and an empty row below."""
    rows, row = {}, FIRST_ROW
    for group in GROUPS:
        for figure in members(group):
            row += 1
            rows[figure.key] = row
        row += 2
    return rows


def members(group: str) -> Iterator[Figure]:
    """The figures of a group."""
    return (figure for figure in FIGURES if figure.group == group)


def used() -> dict[str, str]:
    """The cell of each figure as it is used, on the sheet itself."""
    return {key: f"${USED_COLUMN}${row}" for key, row in figure_rows().items()}


def used_elsewhere() -> dict[str, str]:
    """The same as other sheets refer to it."""
    return {key: f"'{SHEET}'!{cell}" for key, cell in used().items()}


def choice_key(group: str) -> str:
    """The key of the cell in which one of a group is chosen."""
    return f"choice of {group}"


def choice_places() -> Places:
    """Where the choices stand on What-if."""
    return Places({choice_key(group): cell for group, cell in CHOICE_CELLS.items()})


def row_of_choice(group: str) -> Expression:
    """Which row of the group's table is chosen; blank without a choice, an error where there is no such row.

    A text is looked for as it stands (``*``, ``?`` and ``~`` have no other meaning), then as the number it may be,
    since stock numbers are typed as either.
    """
    chosen, keys = Cell(choice_key(group)), Range(column_key(*TABLES[group]))
    literal = SUBSTITUTE(SUBSTITUTE(SUBSTITUTE(chosen, "~", "~~"), "*", "~*"), "?", "~?")
    return IF(no_choice(group), "", IFERROR(MATCH(literal, keys, 0), MATCH(VALUE(chosen), keys, 0)))


def from_list(figure: Figure, row: Expression, units: Units) -> Expression:
    """The figure of the chosen row, blank where its cell is."""
    table, _ = TABLES[figure.group]
    value = INDEX(Range(column_key(table, units.heading(figure.heading))), row)
    empty = value.equals("") if figure.kind == "offset" else OR(value.equals(""), value.equals(0))
    return IF(ISNUMBER(row), IF(empty, "", value), "")


def no_choice(group: str) -> Expression:
    """Whether nothing is chosen; some programs read an empty cell that has a color as 0."""
    chosen = Cell(choice_key(group))
    return OR(chosen.equals(""), chosen.equals(0))
