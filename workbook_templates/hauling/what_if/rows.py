"""The figures of What-if: from which list each comes, where it stands, and what its cells say.

Each has four cells: as listed, as typed over, as used (its own key), and a mark that says which it is.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from tarelot.calc.cells.expression import Cell, Expression, Given, Range, lift
from tarelot.calc.cells.spreadsheet import (
    IF,
    IFERROR,
    INDEX,
    ISNUMBER,
    MATCH,
    SUBSTITUTE,
    SUMPRODUCT,
    TRIM,
    VALUE,
    is_blank,
)
from tarelot.calc.rules import hauling_figures
from tarelot.calc.rules.aboard.items import ALONE, alone
from tarelot.calc.rules.lot import FIGURES as LOT_FIGURES
from tarelot.workbook_templates.basis.references import column_key, kept_in_place
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling.drive_on.block import Block
from tarelot.workbook_templates.lot import columns, entries
from tarelot.workbook_templates.sheets import list_sheet, machines, trucks

SHEET = "What-if"
TRAILER, MACHINE, TRUCK, PLACE = "Trailer", "Machine", "Truck", "How it is loaded"
CHOICE_CELLS = {TRAILER: "$B$5", MACHINE: "$B$6", TRUCK: "$B$7"}
TABLES = {
    TRAILER: (columns.TABLE, columns.KEY),
    MACHINE: (machines.TABLE, machines.KEY),
    TRUCK: (trucks.TABLE, trucks.KEY),
}
FIRST_ROW = 35
"""Row of the first band below the side view."""
TYPED, MISSING, NOT_NEEDED, NOT_USED, FOLLOWS = "TYPED", "missing", "not needed", "NOT USED", "follows"
"""Marks beside a figure."""
NOT_LISTED = "not listed"
TWICE = {
    TRAILER: entries.TWICE,
    MACHINE: list_sheet.twice_words(machines.TABLE, machines.KEY),
    TRUCK: list_sheet.twice_words(trucks.TABLE, trucks.KEY),
}
"""What is said of a name that stands twice."""
STOCK_AS_TEXT = next(column.heading for column in columns.results() if column.key == "stock_text")
ENTRY_CHECK = list_sheet.CHECK.heading
"""The column of the entry check, on each list."""


@dataclass(frozen=True)
class Figure:
    """A figure of a chosen trailer, machine or truck.

    Attributes:
        key: Its name in the formulas.
        group: Trailer, Machine, Truck or Where it sits.
        heading: The column of the group's table; empty where the workbook proposes the figure itself.
        label: What the sheet says, with units to be filled in.
        kind: ``number``, ``share``, ``text``, ``whole``, ``count`` (from 0) or ``offset``; ``derived`` from the figures
            used: no rule reads such a one, so that it is not typed over.
    """

    key: str
    group: str
    heading: str
    label: str = ""
    kind: str = "number"


FIGURES: tuple[Figure, ...] = (
    Figure("hitch", TRAILER, "Hitch", kind="text"),
    Figure("gvwr", TRAILER, "GVWR ({weight})"),
    Figure("empty", TRAILER, "Empty weight ({weight})"),
    Figure("empty_pin", TRAILER, "Empty pin ({weight})"),
    Figure("axles", TRAILER, "Axles", kind="whole"),
    Figure("axle_rating", TRAILER, "Axle rating ({weight})"),
    Figure("suspension", TRAILER, "Suspension rating ({weight})"),
    Figure("tires", TRAILER, "Tires per axle", kind="whole"),
    Figure("tire_rating", TRAILER, "Tire rating ({weight})"),
    Figure("wheel_rating", TRAILER, "Wheel rating ({weight})"),
    Figure("axle_group", TRAILER, "Axle group ({weight})", kind="derived"),
    Figure("axle_spread", TRAILER, "Axle spread ({short})"),
    Figure("coupler", TRAILER, "Coupler rating ({weight})"),
    Figure("coupler_vertical", TRAILER, "Coupler vertical ({weight})"),
    Figure("coupler_size", TRAILER, "Coupler size", kind="text"),
    Figure("chains", TRAILER, "Chain strength ({weight})"),
    Figure("brakes", TRAILER, "Brakes", kind="text"),
    Figure("jacks", TRAILER, "Jacks", kind="count"),
    Figure("jack_rating", TRAILER, "Jack rating ({weight})"),
    Figure("low_share", TRAILER, "Low share used", "Low pin share", "share"),
    Figure("high_share", TRAILER, "High share used", "High pin share", "share"),
    Figure("deck_height", TRAILER, "Deck height ({short})"),
    Figure("deck_length", TRAILER, "Deck length ({long})"),
    Figure("deck_width", TRAILER, "Deck width ({short})"),
    Figure("trailer_width", TRAILER, "Width ({short})"),
    Figure("neck_clearance", TRAILER, "Neck clearance ({short})"),
    Figure("tail_length", TRAILER, "Tail length ({short})"),
    Figure("tail_drop", TRAILER, "Tail drop ({short})"),
    Figure("ramp_length", TRAILER, "Ramp length ({short})"),
    Figure("ramp_kind", TRAILER, "Ramp kind", kind="text"),
    Figure("ramp_rating", TRAILER, "Ramp pair rating ({weight})"),
    Figure("ramps_outside", TRAILER, "Ramps, outside to outside ({short})"),
    Figure("ramp_width", TRAILER, "Width of one ramp ({short})"),
    Figure("to_axles", TRAILER, "Coupler to axles ({long})"),
    Figure("to_deck", TRAILER, "Coupler to deck ({long})"),
    Figure("points", TRAILER, "Tie-down points", kind="count"),
    Figure("point_rating", TRAILER, "Tie-down rating ({weight})"),
    Figure("runs_on", MACHINE, "Runs on", kind="text"),
    Figure("weight", MACHINE, "Weight ({weight})"),
    Figure("wheelbase", MACHINE, "Wheelbase ({short})", "Wheelbase, or track on ground ({short})"),
    Figure("to_center", MACHINE, "Front contact to center ({short})"),
    Figure("clearance", MACHINE, "Ground clearance ({short})"),
    Figure("front_overhang", MACHINE, "Front overhang ({short})"),
    Figure("front_clearance", MACHINE, "Front clearance ({short})"),
    Figure("rear_overhang", MACHINE, "Rear overhang ({short})"),
    Figure("rear_clearance", MACHINE, "Rear clearance ({short})"),
    Figure("machine_width", MACHINE, "Width ({short})"),
    Figure("machine_height", MACHINE, "Height ({short})"),
    Figure("tread_outside", MACHINE, "Outside of tires or tracks ({short})"),
    Figure("shoe_width", MACHINE, "Tire or track width ({short})"),
    Figure("climb", MACHINE, "Greatest slope (deg)"),
    Figure("hitches", TRUCK, "Hitches", kind="text"),
    Figure("coupler_sizes", TRUCK, "Coupler sizes", kind="text"),
    Figure("brake_controls", TRUCK, "Brake controls", kind="text"),
    Figure("truck_gvwr", TRUCK, "GVWR ({weight})"),
    Figure("gcwr", TRUCK, "GCWR ({weight})"),
    Figure("label_gcwr", TRUCK, "GCWR on label ({weight})"),
    Figure("front_rating", TRUCK, "Front axle rating ({weight})"),
    Figure("rear_rating", TRUCK, "Rear axle rating ({weight})"),
    Figure("rear_axles", TRUCK, "Rear axles", kind="whole"),
    Figure("rear_spread", TRUCK, "Rear axle spread ({short})"),
    Figure("front_empty", TRUCK, "Front axle empty ({weight})"),
    Figure("rear_empty", TRUCK, "Rear axle empty ({weight})"),
    Figure("hitch_rating", TRUCK, "Hitch rating ({weight})"),
    Figure("hitch_vertical", TRUCK, "Hitch vertical ({weight})"),
    Figure("truck_wheelbase", TRUCK, "Wheelbase ({short})"),
    Figure("hitch_overhang", TRUCK, "Hitch overhang ({short})", kind="offset"),
    Figure("place", PLACE, "", "Center from the deck's front ({long})"),
    Figure("stands", PLACE, "", "Tail on stands while loading", "text"),
    Figure("direction", PLACE, "", "Drives on", "text"),
    Figure("permit", PLACE, "", "Permit for size and weight", "text"),
    Figure("ramp_lift", PLACE, "", "Force to lift a ramp by hand ({weight})"),
)
PROPOSED: dict[str, Given] = {
    "place": Cell("proposed"),
    "stands": "no",
    "direction": hauling_figures.FORWARD,
    "permit": "no",
    "ramp_lift": "",
}
"""What is used of :data:`PLACE` where nothing is typed."""
FOLLOWING = {"axle_group": LOT_FIGURES["axle_group"]}
"""What a derived figure comes to, of the figures used."""
ASKED = {figure.key: figure for figure in hauling_figures.FIGURES}
"""What the rules ask of each figure."""
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


def listed(key: str) -> Cell:
    """A figure as its list has it, or as proposed."""
    return Cell(f"{key} as listed")


def typed(key: str) -> Cell:
    """What is typed over it."""
    return Cell(f"{key} as typed")


def typed_place() -> Expression:
    """The place that is typed, which the rules read, since they propose one themselves where none is."""
    return IF(typed("place").differs(""), typed("place"), "")


def mark(key: str) -> Cell:
    """Which of both is used."""
    return Cell(f"{key} mark")


def is_typed(key: str) -> Expression:
    """Whether a figure is typed over."""
    return mark(key).equals(TYPED)


def used(key: str) -> Cell:
    """The figure used: of trailer and machine without what is also aboard, which the rules read besides."""
    return Cell("place used" if key == "place" else alone(key) if key in ALONE else key)


def figure_places() -> dict[str, str]:
    """The cell of each figure, as listed, typed, used and marked, on the sheet itself."""
    return places_in(figure_rows())


def places_in(rows: Mapping[str, int]) -> dict[str, str]:
    """The same of figures that stand in these rows."""
    found: dict[str, str] = {}
    for key, row in rows.items():
        found |= {
            listed(key).key: f"$G${row}",
            typed(key).key: f"$H${row}",
            used(key).key: f"$I${row}",
            mark(key).key: f"$J${row}",
        }
    return found


def typed_in(rows: Mapping[str, int], sheet: str = "") -> dict[str, str]:
    """What is typed over figures in these rows, as formulas read it.

    Args:
        rows: The row of each figure.
        sheet: What stands before a cell that is read on another sheet.
    """
    return {typed(key).key: kept_in_place(f"{sheet}$H${row}", f"{sheet}$G${row}") for key, row in rows.items()}


def marks(group: str = "") -> Range:
    """The marks, one below the other: of a group, or all."""
    return Block([mark(figure.key).key for figure in FIGURES if group in ("", figure.group)])


def figure_expressions(units: Units) -> dict[str, Expression]:
    """What the cells of the figures say, by key; what is typed is typed."""
    found: dict[str, Expression] = {}
    for figure in FIGURES:
        key, is_proposed = figure.key, figure.group == PLACE
        found[listed(key).key] = (
            lift(PROPOSED[key]) if is_proposed else from_list(figure, Cell(f"row of {figure.group}"), units)
        )
        if figure.kind == "derived":
            follows = IF(used(key).equals(""), "", FOLLOWS)
            found[used(key).key] = FOLLOWING[key]
            found[mark(key).key] = IFERROR(IF(typed(key).differs(""), NOT_USED, follows), NOT_USED)
            continue
        found[used(key).key] = IF(typed(key).differs(""), typed(key), listed(key))
        otherwise = lift("") if is_proposed else IF(no_choice(figure.group), "", _lacking(figure))
        stands = IF(listed(key).differs(""), "proposed" if is_proposed else "list", otherwise)
        found[mark(key).key] = IF(typed(key).differs(""), TYPED, stands)
    return found


def _lacking(figure: Figure) -> Given:
    """What is said where the figure is neither on the list nor typed."""
    needed = ASKED[figure.key].needed if figure.key in ASKED else None
    return MISSING if needed is None else IFERROR(IF(needed, MISSING, NOT_NEEDED), NOT_NEEDED)


def choice_key(group: str) -> str:
    """The key of the cell in which one of a group is chosen."""
    return f"choice of {group}"


def row_of_choice(group: str, choice: Cell | None = None) -> Expression:
    """Which row of the group's table is chosen; blank without a choice, words where there is no such row.

    A text is looked for as it stands (``*``, ``?`` and ``~`` have no other meaning), then as the number it may be,
    since names are typed as either.

    Args:
        group: Trailer, Machine or Truck.
        choice: The cell in which it is chosen, where that is not the one of :func:`choice_key`.
    """
    chosen, names = _chosen_name(group, choice), _names(group)
    literal = SUBSTITUTE(SUBSTITUTE(SUBSTITUTE(chosen, "~", "~~"), "*", "~*"), "?", "~?")
    found = IFERROR(MATCH(literal, names, 0), IFERROR(MATCH(VALUE(chosen), names, 0), NOT_LISTED))
    return IF(no_choice(group, choice), "", found)


def _names(group: str) -> Range:
    """The names by which one of a group is chosen; stock numbers as texts without outer spaces."""
    table, key = TABLES[group]
    return Range(column_key(table, STOCK_AS_TEXT if group == TRAILER else key))


def _chosen_name(group: str, choice: Cell | None = None) -> Expression:
    """The name that is chosen, as :func:`_names` has it."""
    chosen = choice or Cell(choice_key(group))
    return TRIM(chosen) if group == TRAILER else chosen


def is_listed_twice(group: str, choice: Cell | None = None) -> Expression:
    """Whether the chosen name stands twice in its table, in any case of letters: which row is meant is not known."""
    return SUMPRODUCT(_names(group).equals(_chosen_name(group, choice)) * 1) > 1


def twice(group: str) -> Expression:
    """What the entry check says of that."""
    return IF(no_choice(group), "", IF(is_listed_twice(group), f"; {TWICE[group]}", ""))


def keeps_0(figure: Figure) -> bool:
    """Whether 0 is a figure of this kind, and not one that is missing."""
    return figure.key in ASKED and ASKED[figure.key].kind in (hauling_figures.FROM_0, hauling_figures.ANY)


def from_list(figure: Figure, row: Expression, units: Units) -> Expression:
    """The figure of the chosen row, blank where its cell is; 0 stays where it can be one."""
    table, _ = TABLES[figure.group]
    value = INDEX(Range(column_key(table, units.heading(figure.heading))), row)
    empty = value.equals("") if keeps_0(figure) else is_blank(value)
    return IF(ISNUMBER(row), IF(empty, "", value), "")


def doubt(group: str, row: Expression, units: Units) -> Expression:
    """What the entry check of the list says of a row."""
    return from_list(Figure(f"{group}_doubt", group, ENTRY_CHECK, kind="text"), row, units)


def no_choice(group: str, choice: Cell | None = None) -> Expression:
    """Whether nothing is chosen."""
    return is_blank(choice or Cell(choice_key(group)))
