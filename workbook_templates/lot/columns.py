"""COLUMNS: the whole definition of the Lot sheet, one literal row a column.

Writing the template, storing results, reviewing and bulk update all read this table. An input says what may be typed; a
result says which function is called with which columns. ``{weight}``, ``{short}`` and ``{long}`` in a heading stand for
the workbook's units.
"""

from __future__ import annotations

from collections.abc import Iterator

from tarelot.calc.cells.formulas import Call, Cell
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.lot.column import Column, Input, Result

TABLE = "Lot"
KEY = "Stock no."
HITCHES = ("pintle", "ball", "gooseneck")
STATUSES = ("on order", "on lot", "reserved", "sold")
BODIES = ("deckover", "low deck", "tilt", "gooseneck deck", "lowbed")

# Groups, in the order of the sheet; the first two are printed.
TRAILER, GLANCE = "Trailer", "At a glance"
WEIGHTS, GEAR, HITCH_END, DECK, TIES = "Weights", "Running gear", "Hitch end", "Deck and ramps", "Tie-down"
FIGURES, CHECKS = "Further figures", "Checks"

_GVWR = Cell("GVWR ({weight})")
_EMPTY = Cell("Empty weight ({weight})")
_LOW, _HIGH = Cell("Low share used"), Cell("High share used")
_LIMIT = Cell("Gross limit ({weight})")
_AXLES, _AXLE = Cell("Axles"), Cell("Axle rating ({weight})")
_TIRES = Cell("Tires per axle")
_GEAR = (
    _AXLES,
    _AXLE,
    Cell("Suspension rating ({weight})"),
    _TIRES,
    Cell("Tire rating ({weight})"),
    Cell("Wheel rating ({weight})"),
)
_RATINGS = (
    _GVWR,
    Cell("Axle group ({weight})"),
    Cell("Coupler rating ({weight})"),
    Cell("Coupler vertical ({weight})"),
    _LOW,
    _HIGH,
)
_WINDOW = (
    _EMPTY,
    Cell("Empty pin ({weight})"),
    Cell("Coupler to axles ({long})"),
    Cell("Safe payload ({weight})"),
    _LOW,
    _HIGH,
)
# The ratings of axle group and coupler vertical are not asked for again: at the gross limit the shares keep both.
_TO_DECK = Cell("Coupler to deck ({long})")
_PIN_AT_GVWR = Call("LOT_PIN_WEIGHT", (_GVWR, _HIGH))

COLUMNS: tuple[Column, ...] = (
    Input(KEY, TRAILER, "text", "Your own number for the trailer; each only once.", width=10),
    Result(
        "Conflicts",
        TRAILER,
        None,
        "count",
        "How many checks found something. The words stand under What conflicts.",
        width=9,
    ),
    Input("Make", TRAILER, "text", "Maker of the trailer.", width=12),
    Input("Model", TRAILER, "text", "Model as on the label.", width=12),
    Input("Model year", TRAILER, "whole", "Model year, four digits.", width=7, greatest=2200),
    Input("Body", TRAILER, "text", "Kind of body.", BODIES, width=16),
    Input("Hitch", TRAILER, "text", "pintle, ball or gooseneck.", HITCHES, width=12),
    Input("VIN", TRAILER, "text", "17 characters; I, O and Q are never used.", width=22, greatest=17),
    Input("Status", TRAILER, "text", "on order, on lot, reserved or sold.", STATUSES, width=11),
    Input("Received", TRAILER, "date", "Day it came onto the lot.", width=12),
    Input("Price", TRAILER, "money", "Asking price before tax.", width=12),
    Result(
        "Empty weight ({weight})",
        GLANCE,
        Call(
            "LOT_EMPTY_WEIGHT",
            (Cell("Base weight ({weight})"), Cell("Options weight ({weight})"), Cell("Scale weight ({weight})")),
        ),
        "figure",
        "The scale's figure where there is one, else base weight and options. Weigh on a certified scale.",
    ),
    Result(
        "Payload ({weight})",
        GLANCE,
        Call("LOT_PAYLOAD", (_GVWR, _EMPTY)),
        "figure",
        "GVWR less empty weight: what the label leaves for load (49 CFR 567.4(g)(3)).",
        unless_above=(_EMPTY.reference, _GVWR.reference),
    ),
    Result(
        "Safe payload ({weight})",
        GLANCE,
        Call("LOT_PAYLOAD", (_LIMIT, _EMPTY)),
        "figure",
        "Gross limit less empty weight: what every stated part allows.",
        unless_above=(_EMPTY.reference, _LIMIT.reference),
    ),
    Result(
        "Gross limit ({weight})",
        GLANCE,
        Call("LOT_GROSS_LIMIT", _RATINGS),
        "figure",
        "Heaviest gross that GVWR, axle group, coupler and coupler vertical all allow.",
    ),
    Result(
        "Limited by",
        GLANCE,
        Call("LOT_LIMITED_BY", _RATINGS),
        "text",
        "The rating that sets the gross limit.",
        _LIMIT.reference,
        width=17,
    ),
    Result(
        "Pin weight ({weight})",
        GLANCE,
        Call("LOT_PIN_WEIGHT", (_LIMIT, _HIGH)),
        "figure",
        "Weight on the hitch at the gross limit and the high share.",
    ),
    Result("What conflicts", GLANCE, None, "text", "Each check that found something, with its amount.", width=64),
    Input("GVWR ({weight})", WEIGHTS, "number", "Gross vehicle weight rating on the certification label."),
    Input("Base weight ({weight})", WEIGHTS, "number", "Weight as listed, without options."),
    Input(
        "Options",
        WEIGHTS,
        "text",
        "Names from the Options sheet, with ; between them; at most 12.",
        width=30,
        greatest=500,
    ),
    Input(
        "Scale weight ({weight})",
        WEIGHTS,
        "number",
        "Empty weight from a certified scale; used instead of base and options.",
    ),
    Input("Stated payload ({weight})", WEIGHTS, "number", "Payload that the label or the listing promises."),
    Input("Empty pin ({weight})", WEIGHTS, "number", "Weight on the hitch of the empty trailer, from a scale."),
    Input("Axles", GEAR, "whole", "Number of axles.", width=7, greatest=20),
    Input("Axle rating ({weight})", GEAR, "number", "Rating of one axle."),
    Input("Suspension rating ({weight})", GEAR, "number", "Rating of the suspension of one axle.", width=11),
    Input("Tires per axle", GEAR, "whole", "2 for single, 4 for dual tires.", width=8, greatest=16),
    Input("Tire rating ({weight})", GEAR, "number", "Load of one tire as fitted, single or dual, from its sidewall."),
    Input("Wheel rating ({weight})", GEAR, "number", "Load of one wheel, stamped on it."),
    Input("Coupler rating ({weight})", HITCH_END, "number", "Greatest gross weight for the coupler."),
    Input("Coupler vertical ({weight})", HITCH_END, "number", "Greatest downward load on the coupler."),
    Input("Chain strength ({weight})", HITCH_END, "number", "Breaking strength of all safety chains together."),
    Input("Jacks", HITCH_END, "whole", "Number of jacks.", width=7),
    Input("Jack rating ({weight})", HITCH_END, "number", "Rating of one jack."),
    Input(
        "Low pin share",
        HITCH_END,
        "share",
        "Least share on the hitch, only where it differs from the usual one.",
        width=8,
    ),
    Input(
        "High pin share",
        HITCH_END,
        "share",
        "Greatest share on the hitch, only where it differs from the usual one.",
        width=8,
    ),
    Input("Width ({short})", DECK, "number", "Greatest width over all.", width=9),
    Input("Deck height ({short})", DECK, "number", "Height of the deck above ground, empty.", width=9),
    Input("Deck length ({long})", DECK, "number", "Length of the deck, without the tail.", width=9),
    Input("Tail length ({short})", DECK, "number", "Length of the sloping tail; blank where there is none.", width=9),
    Input("Tail drop ({short})", DECK, "number", "How far the tail's end lies below the deck.", width=9),
    Input("Ramp length ({short})", DECK, "number", "Length of the ramp along its slope.", width=9),
    Input("Coupler to axles ({long})", DECK, "number", "From the coupler to the middle of the axle group.", width=9),
    Input("Coupler to deck ({long})", DECK, "number", "From the coupler to the deck's front edge.", width=9),
    Input("Tie-down points", TIES, "whole", "Number of tie-down points on the trailer.", width=9),
    Input("Tie-down rating ({weight})", TIES, "number", "Working load limit of one point."),
    Result(
        "Options weight ({weight})",
        FIGURES,
        Call("LOT_OPTIONS_WEIGHT", (Cell("Options"), Cell("Options[Option]"), Cell("Options[Weight ({weight})]"))),
        "weight or nothing",
        "Sum of the options' weights on the Options sheet.",
    ),
    Result(
        "Low share used",
        FIGURES,
        Call("LOT_LOW_PIN_SHARE", (Cell("Hitch"), Cell("Low pin share"))),
        "share",
        "Least share of the gross on the hitch: the stated one, else the usual one (common practice).",
        width=8,
    ),
    Result(
        "High share used",
        FIGURES,
        Call("LOT_HIGH_PIN_SHARE", (Cell("Hitch"), Cell("High pin share"))),
        "share",
        "Greatest share of the gross on the hitch: the stated one, else the usual one (common practice).",
        width=8,
    ),
    Result(
        "Axle group ({weight})",
        FIGURES,
        Call("LOT_AXLE_GROUP_RATING", _GEAR),
        "figure",
        "Axles times the least of axle, suspension, tires and wheels.",
    ),
    Result(
        "Weakest part",
        FIGURES,
        Call("LOT_WEAKEST_PART", _GEAR),
        "text",
        "The part that sets the axle group's rating.",
        "Axle group ({weight})",
        width=11,
    ),
    Result(
        "Sticker pin ({weight})",
        FIGURES,
        Call("LOT_STICKER_PIN", (_GVWR, _AXLES, _AXLE)),
        "figure",
        "What the label counts on the hitch to carry: GVWR above the sum of the axle ratings.",
    ),
    Result(
        "Sticker pin share",
        FIGURES,
        Call("LOT_PIN_SHARE", (Cell("Sticker pin ({weight})"), _GVWR)),
        "share",
        "That as a share of the GVWR.",
        width=8,
    ),
    Result(
        "Axle load ({weight})",
        FIGURES,
        Call("LOT_AXLE_LOAD", (_LIMIT, _LOW)),
        "figure",
        "Weight on the axles at the gross limit and the low share.",
    ),
    Result(
        "Load centre from ({long})",
        FIGURES,
        Call("LOT_FROM_DECK", (Call("LOT_FOREMOST", _WINDOW), _TO_DECK)),
        "distance",
        "Foremost place for the centre of gravity of a load of the safe payload, from the deck's front edge; "
        "below 0 it is ahead of the deck.",
        width=9,
    ),
    Result(
        "Load centre to ({long})",
        FIGURES,
        Call("LOT_FROM_DECK", (Call("LOT_REARMOST", _WINDOW), _TO_DECK)),
        "distance",
        "Rearmost place for the centre of gravity of such a load, from the deck's front edge.",
        "Load centre from ({long})",
        width=9,
    ),
    Result(
        "Tail angle (deg)",
        FIGURES,
        Call("LOT_RAMP_ANGLE", (Cell("Tail drop ({short})"), Cell("Tail length ({short})"))),
        "angle",
        "Slope of the tail.",
        width=8,
    ),
    Result(
        "Ramp angle (deg)",
        FIGURES,
        Call(
            "LOT_RAMP_ANGLE",
            (
                Call("LOT_RAMP_RISE", (Cell("Deck height ({short})"), Cell("Tail drop ({short})"))),
                Cell("Ramp length ({short})"),
            ),
        ),
        "angle",
        "Slope of the ramp: it rises from the ground to the tail's end.",
        width=8,
    ),
    Result(
        "Model year by VIN",
        FIGURES,
        Call("LOT_VIN_YEAR", (Cell("VIN"), Cell("Model year"))),
        "year",
        "Position 10 of the VIN, the latest year not after the model year (49 CFR 565.15).",
        width=9,
    ),
    Result(
        "Excise tax rate",
        FIGURES,
        Call("LOT_EXCISE_RATE", (_GVWR, "{weight}")),
        "share",
        "Federal excise tax on the first retail sale (26 USC 4051). Ask a tax adviser.",
        width=8,
    ),
    Result(
        "Axles short ({weight})",
        CHECKS,
        Call("LOT_SHORTFALL", (Call("LOT_AXLE_LOAD", (_GVWR, _LOW)), Call("LOT_TOTAL", (_AXLES, _AXLE)))),
        "check",
        "GVWR at the low share against the axles' ratings together.",
    ),
    Result(
        "Suspension short ({weight})",
        CHECKS,
        Call("LOT_SHORTFALL", (_AXLE, Cell("Suspension rating ({weight})"))),
        "check",
        "Axle rating against the suspension, per axle.",
        width=11,
    ),
    Result(
        "Tires short ({weight})",
        CHECKS,
        Call("LOT_SHORTFALL", (_AXLE, Call("LOT_TOTAL", (_TIRES, Cell("Tire rating ({weight})"))))),
        "check",
        "Axle rating against its tires together (49 CFR 571.120 S5.1.2).",
    ),
    Result(
        "Wheels short ({weight})",
        CHECKS,
        Call("LOT_SHORTFALL", (_AXLE, Call("LOT_TOTAL", (_TIRES, Cell("Wheel rating ({weight})"))))),
        "check",
        "Axle rating against its wheels together.",
    ),
    Result(
        "Coupler short ({weight})",
        CHECKS,
        Call("LOT_SHORTFALL", (_GVWR, Cell("Coupler rating ({weight})"))),
        "check",
        "GVWR against the coupler.",
    ),
    Result(
        "Vertical short ({weight})",
        CHECKS,
        Call("LOT_SHORTFALL", (_PIN_AT_GVWR, Cell("Coupler vertical ({weight})"))),
        "check",
        "Pin weight at GVWR and the high share against the coupler's downward load.",
    ),
    Result(
        "Chains short ({weight})",
        CHECKS,
        Call("LOT_SHORTFALL", (_GVWR, Cell("Chain strength ({weight})"))),
        "check",
        "GVWR against the chains' breaking strength together (49 CFR 393.70(d) and state rules).",
    ),
    Result(
        "Jacks short ({weight})",
        CHECKS,
        Call("LOT_SHORTFALL", (_PIN_AT_GVWR, Call("LOT_TOTAL", (Cell("Jacks"), Cell("Jack rating ({weight})"))))),
        "check",
        "Pin weight at GVWR and the high share against the jacks together (common practice).",
    ),
    Result(
        "Tie-downs short ({weight})",
        CHECKS,
        Call(
            "LOT_SHORTFALL",
            (
                Cell("Payload ({weight})"),
                Call("LOT_TOTAL", (Cell("Tie-down points"), Cell("Tie-down rating ({weight})"))),
            ),
        ),
        "check",
        "Payload against the tie-down points: a direct tie counts half, half the weight is needed (49 CFR 393.106(d)).",
    ),
    Result(
        "Stated payload over ({weight})",
        CHECKS,
        Call("LOT_SHORTFALL", (Cell("Stated payload ({weight})"), Cell("Payload ({weight})"))),
        "check",
        "Promised payload above GVWR less empty weight (49 CFR 567.4(g)(3)).",
        width=11,
    ),
    Result(
        "Empty over GVWR ({weight})",
        CHECKS,
        Call("LOT_SHORTFALL", (_EMPTY, _GVWR)),
        "check",
        "Empty weight above the GVWR: one of the figures is wrong.",
        width=11,
    ),
    Result(
        "Width over ({short})",
        CHECKS,
        Call("LOT_SHORTFALL", (Cell("Width ({short})"), "{legal_width}")),
        "check",
        "Width above 102 in (23 CFR 658.15); wider needs a permit.",
    ),
    Result(
        "VIN check",
        CHECKS,
        Call("LOT_VIN_CHECK", (Cell("VIN"),)),
        "check text",
        "ok, or what is wrong with the VIN (49 CFR 565.15).",
        width=24,
    ),
    Result("Repeated", CHECKS, None, "check text", "Stock number or VIN that stands on the lot twice.", width=12),
    Result("Not checked", CHECKS, None, "text", "Checks that lack figures: fill them in for a full answer.", width=44),
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
