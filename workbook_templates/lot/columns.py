"""COLUMNS: the whole definition of the Lot sheet, one literal row a column.

Writing the template, storing results, reviewing and bulk update all read this table. An input says what may be typed; a
result shows the expression of its key, by which others read it too. ``{weight}``, ``{short}`` and ``{long}`` in a
heading stand for the workbook's units.
"""

from __future__ import annotations

from collections.abc import Iterator

from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.lot.column import Column, Input, InputKind, Result, ResultKind

TABLE = "Lot"
KEY = "Stock no."
HITCHES = ("pintle", "ball", "gooseneck")
STATUSES = ("on order", "on lot", "reserved", "sold")
BODIES = ("deckover", "low deck", "tilt", "gooseneck deck", "lowbed")

# Groups, in the order of the sheet; the first two are printed.
TRAILER, GLANCE = "Trailer", "At a glance"
WEIGHTS, GEAR, HITCH_END, DECK, TIES = "Weights", "Running gear", "Hitch end", "Deck and ramps", "Tie-down"
FIGURES, CHECKS, HELPERS = "Further figures", "Checks", "Parts of checks"


def _input(
    key: str,
    heading: str,
    group: str,
    kind: InputKind,
    message: str,
    choices: tuple[str, ...] = (),
    width: float = 11,
    greatest: float = 200,
) -> Input:
    return Input(heading, group, kind, message, choices, width, greatest, key)


def _result(
    key: str, heading: str, group: str, kind: ResultKind, note: str, width: float = 11, *, is_plain: bool = True
) -> Result:
    return Result(heading, group, kind, note, width, key, is_plain)


COLUMNS: tuple[Column, ...] = (
    _input("stock", KEY, TRAILER, "text", "Your own number for the trailer; each only once.", width=10),
    _result(
        "conflicts",
        "Conflicts",
        TRAILER,
        "verdict",
        "How many checks found something, as ▲ 2; else how many lacked figures, as ? 3 not checked; else none.",
        width=15,
    ),
    _input("make", "Make", TRAILER, "text", "Maker of the trailer.", width=12),
    _input("model", "Model", TRAILER, "text", "Model as on the label.", width=12),
    _input("model_year", "Model year", TRAILER, "whole", "Model year, four digits.", width=7, greatest=2200),
    _input("body", "Body", TRAILER, "text", "Kind of body.", BODIES, width=16),
    _input("hitch", "Hitch", TRAILER, "text", "pintle, ball or gooseneck.", HITCHES, width=12),
    _input("vin", "VIN", TRAILER, "text", "17 characters; I, O and Q are never used.", width=22, greatest=17),
    _input("status", "Status", TRAILER, "text", "on order, on lot, reserved or sold.", STATUSES),
    _input("received", "Received", TRAILER, "date", "Day it came onto the lot.", width=12),
    _input("price", "Price", TRAILER, "money", "Asking price before tax.", width=12),
    _result(
        "empty",
        "Empty weight ({weight})",
        GLANCE,
        "figure",
        "The scale's figure where there is one, else base weight and options. Weigh on a certified scale.",
        is_plain=False,
    ),
    _result(
        "payload",
        "Payload ({weight})",
        GLANCE,
        "figure",
        "GVWR less empty weight: what the label leaves for load (49 CFR 567.4(g)(3)).",
        is_plain=False,
    ),
    _result(
        "safe_payload",
        "Safe payload ({weight})",
        GLANCE,
        "figure",
        "Gross limit less empty weight: what every stated part allows.",
        is_plain=False,
    ),
    _result(
        "gross_limit",
        "Gross limit ({weight})",
        GLANCE,
        "figure",
        "Heaviest gross that GVWR, axle group, coupler and coupler vertical all allow.",
        is_plain=False,
    ),
    _result(
        "limited_by", "Limited by", GLANCE, "text", "The rating that sets the gross limit.", width=17, is_plain=False
    ),
    _result(
        "pin_weight",
        "Pin weight ({weight})",
        GLANCE,
        "figure",
        "Weight on the hitch at the gross limit and the high share.",
        is_plain=False,
    ),
    _result(
        "what_conflicts",
        "What conflicts",
        GLANCE,
        "text",
        "Each check that found something, with its amount.",
        width=56,
    ),
    _result(
        "entry_check",
        "Entry check",
        GLANCE,
        "text",
        "What is wrong with what was typed in this row, or not likely. A figure that is refused counts as missing.",
        width=56,
    ),
    _input("gvwr", "GVWR ({weight})", WEIGHTS, "number", "Gross vehicle weight rating on the certification label."),
    _input("base", "Base weight ({weight})", WEIGHTS, "number", "Weight as listed, without options."),
    _input(
        "options",
        "Options",
        WEIGHTS,
        "text",
        "Names from the Options sheet, with ; between them; at most 12.",
        width=30,
        greatest=500,
    ),
    _input(
        "scale",
        "Scale weight ({weight})",
        WEIGHTS,
        "number",
        "Empty weight from a certified scale; used instead of base and options.",
    ),
    _input(
        "stated_payload",
        "Stated payload ({weight})",
        WEIGHTS,
        "number",
        "Payload that the label or the listing promises.",
    ),
    _input(
        "empty_pin",
        "Empty pin ({weight})",
        WEIGHTS,
        "number",
        "Weight on the hitch of the empty trailer, from a scale.",
    ),
    _input("axles", "Axles", GEAR, "whole", "Number of axles.", width=7, greatest=20),
    _input("axle_rating", "Axle rating ({weight})", GEAR, "number", "Rating of one axle."),
    _input("suspension", "Suspension rating ({weight})", GEAR, "number", "Rating of the suspension of one axle."),
    _input("tires", "Tires per axle", GEAR, "whole", "2 for single, 4 for dual tires.", width=8, greatest=16),
    _input(
        "tire_rating",
        "Tire rating ({weight})",
        GEAR,
        "number",
        "Load of one tire as fitted, single or dual, from its sidewall.",
    ),
    _input("wheel_rating", "Wheel rating ({weight})", GEAR, "number", "Load of one wheel, stamped on it."),
    _input("coupler", "Coupler rating ({weight})", HITCH_END, "number", "Greatest gross weight for the coupler."),
    _input("vertical", "Coupler vertical ({weight})", HITCH_END, "number", "Greatest downward load on the coupler."),
    _input(
        "chains", "Chain strength ({weight})", HITCH_END, "number", "Breaking strength of all safety chains together."
    ),
    _input("jacks", "Jacks", HITCH_END, "whole", "Number of jacks.", width=7),
    _input("jack_rating", "Jack rating ({weight})", HITCH_END, "number", "Rating of one jack."),
    _input(
        "stated_low",
        "Low pin share",
        HITCH_END,
        "share",
        "Least share on the hitch, only where it differs from the usual one.",
        width=8,
    ),
    _input(
        "stated_high",
        "High pin share",
        HITCH_END,
        "share",
        "Greatest share on the hitch, only where it differs from the usual one.",
        width=8,
    ),
    _input("width", "Width ({short})", DECK, "number", "Greatest width over all.", width=9),
    _input("deck_height", "Deck height ({short})", DECK, "number", "Height of the deck above ground, empty.", width=9),
    _input("deck_length", "Deck length ({long})", DECK, "number", "Length of the deck, without the tail.", width=9),
    _input(
        "tail_length",
        "Tail length ({short})",
        DECK,
        "number",
        "Length of the sloping tail; blank where there is none.",
        width=9,
    ),
    _input("tail_drop", "Tail drop ({short})", DECK, "number", "How far the tail's end lies below the deck.", width=9),
    _input("ramp_length", "Ramp length ({short})", DECK, "number", "Length of the ramp along its slope.", width=9),
    _input(
        "to_axles",
        "Coupler to axles ({long})",
        DECK,
        "number",
        "From the coupler to the middle of the axle group.",
        width=9,
    ),
    _input(
        "to_deck", "Coupler to deck ({long})", DECK, "number", "From the coupler to the deck's front edge.", width=9
    ),
    _input("points", "Tie-down points", TIES, "whole", "Number of tie-down points on the trailer.", width=9),
    _input("point_rating", "Tie-down rating ({weight})", TIES, "number", "Working load limit of one point."),
    _result(
        "options_weight",
        "Options weight ({weight})",
        FIGURES,
        "weight or nothing",
        "Sum of the options' weights on the Options sheet.",
    ),
    _result(
        "low_share",
        "Low share used",
        FIGURES,
        "share",
        "Least share of the gross on the hitch: the stated one, else the usual one (common practice).",
        width=8,
    ),
    _result(
        "high_share",
        "High share used",
        FIGURES,
        "share",
        "Greatest share of the gross on the hitch: the stated one, else the usual one (common practice).",
        width=8,
    ),
    _result(
        "axle_group",
        "Axle group ({weight})",
        FIGURES,
        "figure",
        "Axles times the least of axle, suspension, tires and wheels.",
    ),
    _result("weakest_part", "Weakest part", FIGURES, "text", "The part that sets the axle group's rating."),
    _result(
        "sticker_pin",
        "Sticker pin ({weight})",
        FIGURES,
        "figure",
        "What the label counts on the hitch to carry: GVWR above the sum of the axle ratings.",
    ),
    _result("sticker_share", "Sticker pin share", FIGURES, "share", "That as a share of the GVWR.", width=8),
    _result(
        "axle_load",
        "Axle load ({weight})",
        FIGURES,
        "figure",
        "Weight on the axles at the gross limit and the low share.",
    ),
    _result(
        "load_from",
        "Load center from ({long})",
        FIGURES,
        "distance",
        "Foremost place for the center of gravity of a load of the safe payload, from the deck's front edge; "
        "below 0 it is ahead of the deck.",
        width=9,
    ),
    _result(
        "load_to",
        "Load center to ({long})",
        FIGURES,
        "distance",
        "Rearmost place for the center of gravity of such a load, from the deck's front edge.",
        width=9,
    ),
    _result("tail_angle", "Tail angle (deg)", FIGURES, "angle", "Slope of the tail.", width=8),
    _result(
        "ramp_angle",
        "Ramp angle (deg)",
        FIGURES,
        "angle",
        "Slope of the ramp: it rises from the ground to the tail's end.",
        width=8,
    ),
    _result(
        "vin_year",
        "Model year by VIN",
        FIGURES,
        "year",
        "Position 10 of the VIN, the latest year not after the model year (49 CFR 565.15).",
        width=9,
    ),
    _result(
        "excise_rate",
        "Excise tax rate",
        FIGURES,
        "share",
        "Federal excise tax on the first retail sale (26 USC 4051). Ask a tax adviser.",
        width=8,
    ),
    _result(
        "axles_short",
        "Axles short ({weight})",
        CHECKS,
        "check",
        "GVWR at the low share against the axles' ratings together.",
    ),
    _result(
        "suspension_short",
        "Suspension short ({weight})",
        CHECKS,
        "check",
        "Axle rating against the suspension, per axle.",
    ),
    _result(
        "tires_short",
        "Tires short ({weight})",
        CHECKS,
        "check",
        "Axle rating against its tires together (49 CFR 571.120 S5.1.2).",
    ),
    _result("wheels_short", "Wheels short ({weight})", CHECKS, "check", "Axle rating against its wheels together."),
    _result("coupler_short", "Coupler short ({weight})", CHECKS, "check", "GVWR against the coupler."),
    _result(
        "vertical_short",
        "Vertical short ({weight})",
        CHECKS,
        "check",
        "Pin weight at GVWR and the high share against the coupler's downward load.",
    ),
    _result(
        "chains_short",
        "Chains short ({weight})",
        CHECKS,
        "check",
        "GVWR against the chains' breaking strength together (49 CFR 393.70(d) and state rules).",
    ),
    _result(
        "jacks_short",
        "Jacks short ({weight})",
        CHECKS,
        "check",
        "Pin weight at GVWR and the high share against the jacks together (common practice).",
    ),
    _result(
        "ties_short",
        "Tie-downs short ({weight})",
        CHECKS,
        "check",
        "Payload against the tie-down points: a direct tie counts half, half the weight is needed (49 CFR 393.106(d)).",
    ),
    _result(
        "stated_over",
        "Stated payload over ({weight})",
        CHECKS,
        "check",
        "Promised payload above GVWR less empty weight (49 CFR 567.4(g)(3)).",
    ),
    _result(
        "empty_over",
        "Empty over GVWR ({weight})",
        CHECKS,
        "check",
        "Empty weight above the GVWR: one of the figures is wrong.",
    ),
    _result(
        "width_over",
        "Width over ({short})",
        CHECKS,
        "check",
        "Width above 102 in (23 CFR 658.15); wider needs a permit.",
    ),
    _result(
        "vin_check", "VIN check", CHECKS, "check text", "ok, or what is wrong with the VIN (49 CFR 565.15).", width=24
    ),
    _result(
        "repeated", "Repeated", CHECKS, "check text", "Stock number or VIN that stands on the lot twice.", width=12
    ),
    _result(
        "not_checked",
        "Not checked",
        CHECKS,
        "text",
        "Checks that lack figures: fill them in for a full answer.",
        width=44,
    ),
    _result(
        "refused",
        "Entries refused",
        HELPERS,
        "text",
        "Part of Entry check: entries of the wrong kind or out of range.",
        width=20,
    ),
    _result(
        "unlisted",
        "Options not listed",
        HELPERS,
        "text",
        "Part of Entry check: options that do not stand once, with a weight, on the Options sheet.",
        width=20,
    ),
    _result(
        "doubtful",
        "Entries not likely",
        HELPERS,
        "text",
        "Part of Entry check: figures outside what trailers have.",
        width=20,
    ),
    _result("stock_text", "Stock no. as text", HELPERS, "text", "Part of Repeated: the number as a text.", width=12),
    _result("vin_text", "VIN as text", HELPERS, "text", "Part of Repeated: the VIN as a text.", width=22),
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
