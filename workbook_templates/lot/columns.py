"""COLUMNS: the whole definition of the Lot sheet, one literal row a column.

Writing the template, storing results, reviewing and bulk update all read this table. An input says what may be typed; a
result shows the expression of its key, by which others read it too. ``{weight}``, ``{short}`` and ``{long}`` in a
heading stand for the workbook's units.
"""

from __future__ import annotations

from collections.abc import Iterator

from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.lot.column import GLANCE, TRAILER, Column, Input, Result, found, given
from tarelot.workbook_templates.lot.findings import FINDINGS
from tarelot.workbook_templates.lot.walk_round import WALK_ROUND

TABLE = "Lot"
KEY = "Stock no."
HITCHES = ("pintle", "ball", "gooseneck")
ON_LOT, SOLD = "on lot", "sold"
STATUSES = ("on order", ON_LOT, "reserved", SOLD)
BODIES = ("deckover", "low deck", "tilt", "gooseneck deck", "lowbed")

COLUMNS: tuple[Column, ...] = (
    given("stock", KEY, TRAILER, "text", "Your own number for the trailer; each only once.", width=10),
    found(
        "conflicts",
        "Conflicts",
        TRAILER,
        "verdict",
        "How many checks found something, as ▲ 2; else how many lacked figures, as ? 3 not checked; else none.",
        width=15,
    ),
    given("make", "Make", TRAILER, "text", "Maker of the trailer.", width=12),
    given("model", "Model", TRAILER, "text", "Model as on the label.", width=12),
    given("model_year", "Model year", TRAILER, "whole", "Model year, four digits.", width=7, greatest=2200),
    given("body", "Body", TRAILER, "text", "Kind of body.", BODIES, width=16),
    given("hitch", "Hitch", TRAILER, "text", "pintle, ball or gooseneck.", HITCHES, width=12),
    given("vin", "VIN", TRAILER, "text", "17 characters; I, O and Q are never used.", width=22, greatest=17),
    given("status", "Status", TRAILER, "text", "on order, on lot, reserved or sold.", STATUSES),
    given("received", "Received", TRAILER, "date", "Day it came onto the lot.", width=12),
    given("price", "Price", TRAILER, "money", "Asking price before tax.", width=12),
    found(
        "empty",
        "Empty weight ({weight})",
        GLANCE,
        "figure",
        "The scale's figure where there is one, else base weight and options. Weigh on a certified scale.",
        is_plain=False,
    ),
    found(
        "payload",
        "Payload ({weight})",
        GLANCE,
        "figure",
        "GVWR less empty weight: what the label leaves for load (49 CFR 567.4(g)(3)).",
        is_plain=False,
    ),
    found(
        "safe_payload",
        "Safe payload ({weight})",
        GLANCE,
        "figure",
        "Gross limit less empty weight: what every stated part allows.",
    ),
    found(
        "gross_limit",
        "Gross limit ({weight})",
        GLANCE,
        "figure",
        "Heaviest gross that GVWR, axle group, coupler and coupler vertical all allow.",
    ),
    found("limited_by", "Limited by", GLANCE, "text", "The rating that sets the gross limit.", width=17),
    found(
        "pin_weight",
        "Pin weight ({weight})",
        GLANCE,
        "figure",
        "Weight on the hitch at the gross limit and the high share.",
    ),
    found(
        "what_conflicts",
        "What conflicts",
        GLANCE,
        "text",
        "Each check that found something, with its amount.",
        width=44,
    ),
    found(
        "entry_check",
        "Entry check",
        GLANCE,
        "text",
        "What is wrong with what was typed in this row, or not likely. A figure that is refused counts as missing.",
        width=44,
    ),
    *WALK_ROUND,
    *FINDINGS,
)


def headings(units: Units) -> list[str]:
    """Every heading in the order of the sheet."""
    return [units.heading(column.heading) for column in COLUMNS]


def inputs() -> Iterator[Input]:
    """The columns that a person fills."""
    return (column for column in COLUMNS if isinstance(column, Input))


def results() -> Iterator[Result]:
    """The columns that the workbook fills."""
    return (column for column in COLUMNS if isinstance(column, Result))


def check_headings(units: Units) -> list[str]:
    """Headings of the checks, in order."""
    return [units.heading(column.heading) for column in results() if column.kind.startswith("check")]
