"""COLUMNS: the whole definition of the Tickets sheet, one literal row a column."""

from __future__ import annotations

from collections.abc import Iterator

from tarelot.calc.rules.weighing.figures import EMPTY, LOADED, NONE, SLACK, TIGHT
from tarelot.calc.rules.weighing.findings import NAMES
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.lot.column import CHECKS, GLANCE, HELPERS, Column, Input, Result, found, given

SHEET = TABLE = "Tickets"
KEY, DATE, LOAD = "Stock no.", "Date", "Weighed"
WEIGHING, TRUCK_ALONE, HITCHED, APART = "Weighing", "Truck alone", "Hitched", "Trailer alone"
BLANK_ROWS = 60
WHOLE = "Steer left blank on both tickets of the truck: the whole truck stands under Drive."


def _ticket(key: str, group: str, message: str) -> Input:
    """The input of one weight."""
    return given(key, f"{NAMES[key]} ({{weight}})", group, "number", message)


COLUMNS: tuple[Column, ...] = (
    given(
        "date",
        DATE,
        WEIGHING,
        "date",
        "Day of the weighing; the latest up to today counts for Use tickets, of one day the lower row.",
        width=12,
    ),
    given("stock", KEY, WEIGHING, "text", "Whose weighing it is: a stock number on the Lot.", width=10),
    given(
        "load",
        LOAD,
        WEIGHING,
        "text",
        "empty: nothing on the deck. loaded: a machine or load aboard.",
        (EMPTY, LOADED),
        width=10,
    ),
    given(
        "bars",
        "Bars",
        WEIGHING,
        "text",
        "Weight-distributing bars while weighing: slack, or tight. none, or blank, where there are none.",
        (NONE, SLACK, TIGHT),
        width=9,
    ),
    _ticket(
        "alone_steer", TRUCK_ALONE, f"Truck without the trailer, its steer axle; fuel and driver as hitched. {WHOLE}"
    ),
    _ticket("alone_drive", TRUCK_ALONE, f"Truck without the trailer, its drive axles. {WHOLE}"),
    _ticket("hitched_steer", HITCHED, "Steer axle with the trailer coupled and level."),
    _ticket("hitched_drive", HITCHED, "Drive axles with the trailer coupled, its axles off that scale."),
    _ticket("hitched_axles", HITCHED, "The trailer's axles, coupled and level."),
    _ticket("trailer_alone", APART, "The whole trailer uncoupled, loaded as when hitched."),
    _ticket("pin_scale", APART, "A scale under the pin or coupler, at its towing height."),
    found(
        "verdict",
        "Ticket",
        GLANCE,
        "verdict",
        "▲ disagrees: the tickets among themselves; such a row is not used. ▲ differs from Lot or ratings: it may be. "
        "? what is missing, else ok.",
        width=26,
    ),
    found(
        "weight",
        "Trailer weight ({weight})",
        GLANCE,
        "figure",
        "Trailer alone, else truck hitched + trailer axles - truck alone; right with tight bars too.",
        is_plain=False,
    ),
    found(
        "pin",
        "Pin ({weight})",
        GLANCE,
        "figure",
        "Pin on a scale, else trailer alone - trailer axles, else truck hitched - truck alone. "
        "Less than the true pin where bars were tight.",
        is_plain=False,
    ),
    found("pin_share", "Pin share", GLANCE, "share", "Pin of the trailer's weight.", width=8),
    found(
        "axle_load",
        "Axle load ({weight})",
        GLANCE,
        "figure",
        "The trailer axles' ticket, else trailer weight - pin.",
    ),
    found(
        "load_aboard",
        "Load aboard ({weight})",
        GLANCE,
        "figure",
        "Of a loaded weighing: trailer weight less the empty weight on the Lot.",
    ),
    found(
        "between",
        "Tickets disagree",
        CHECKS,
        "check text",
        "What does not go together in this row, beyond the limit Scale tickets apart. Such a row is not used.",
        width=30,
    ),
    found(
        "against",
        "Lot and ratings",
        CHECKS,
        "check text",
        "Where an empty weighing is not what the Lot says, beyond its limit; ratings passed; pin share out of range.",
        width=30,
    ),
    found("cautions", "Cautions", CHECKS, "text", "What to mind when this row is read.", width=30),
    found(
        "entry_check",
        "Entry check",
        CHECKS,
        "check text",
        "What is wrong with what was typed in this row, or not likely; a stock number that the Lot lacks.",
        width=30,
    ),
    found("missing", "Missing", HELPERS, "text", "Part of Ticket: what the row lacks.", width=30),
    found(
        "doubt", "Entries in doubt", HELPERS, "text", "Part of Entry check; figures go without such a row.", width=20
    ),
    found("is_begun", "Begun", HELPERS, "year", "1 where anything is typed.", width=7),
    found("stock_text", "Stock no. as text", HELPERS, "text", "The number as a text.", width=12),
    found("lot_row", "Row on the Lot", HELPERS, "year", "Where the trailer stands in the table Lot.", width=8),
    found("alone", "Truck alone ({weight})", HELPERS, "figure", "Steer and drive."),
    found("hitched", "Truck hitched ({weight})", HELPERS, "figure", "Steer and drive."),
    found("by_tickets", "By three tickets ({weight})", HELPERS, "figure", "The trailer's weight by them."),
    found("by_pin", "Pin by tickets ({weight})", HELPERS, "figure", "The pin without a scale under it."),
    found("true_pin", "True pin ({weight})", HELPERS, "figure", "The pin where no bars hide a part of it."),
    found("lot_empty", "Empty on Lot ({weight})", HELPERS, "weight or nothing", "Empty weight on the Lot."),
    found("lot_scale", "Scale weight on Lot ({weight})", HELPERS, "weight or nothing", "Scale weight on the Lot."),
    found("lot_empty_pin", "Empty pin on Lot ({weight})", HELPERS, "weight or nothing", "Empty pin on the Lot."),
    found("lot_gvwr", "GVWR ({weight})", HELPERS, "weight or nothing", "GVWR on the Lot."),
    found("lot_coupler", "Coupler rating ({weight})", HELPERS, "weight or nothing", "Coupler rating on the Lot."),
    found("lot_vertical", "Coupler vertical ({weight})", HELPERS, "weight or nothing", "Coupler vertical on the Lot."),
    found(
        "lot_axle_group",
        "Axle group ({weight})",
        HELPERS,
        "weight or nothing",
        "Axles times the least of axle, suspension, tires and wheels, on the Lot.",
    ),
    found("lot_weakest_part", "Weakest part", HELPERS, "text", "The part that sets it.", width=11),
    found("lot_low_share", "Low pin share", HELPERS, "share", "Low share used on the Lot.", width=8),
    found("lot_high_share", "High pin share", HELPERS, "share", "High share used on the Lot.", width=8),
)


def inputs() -> Iterator[Input]:
    """The columns that a person fills."""
    return (column for column in COLUMNS if isinstance(column, Input))


def results() -> Iterator[Result]:
    """The columns that the workbook fills."""
    return (column for column in COLUMNS if isinstance(column, Result))


def headings(units: Units) -> list[str]:
    """Every heading in the order of the sheet."""
    return [units.heading(column.heading) for column in COLUMNS]
