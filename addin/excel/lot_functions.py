"""The worksheet functions of Excel, one each; xlwings reads the decorators.

Rendered from calc/registry/ by `python -m tarelot.addin.excel.render`: change them there.
"""
# ruff: noqa: E501, N802

import xlwings as xw

from tarelot.addin.excel.cells import Cell, answer


@xw.func(category="Tarelot")
@xw.arg(
    "base_weight",
    doc="Weight of the trailer as listed, without options; any weight unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
@xw.arg(
    "options_weight",
    doc="Weight of the options fitted; any weight unit, the same throughout; any number; may be left out",
    err_to_str=True,
)
@xw.arg(
    "scale_weight",
    doc="Weight of the empty trailer on a certified scale; any weight unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
def LOT_EMPTY_WEIGHT(base_weight: Cell = None, options_weight: Cell = None, scale_weight: Cell = None) -> Cell:
    """Weight of the trailer ready to work: the scale's where there is one, else the listed weight and options."""
    return answer("LOT_EMPTY_WEIGHT", base_weight, options_weight, scale_weight)


@xw.func(category="Tarelot")
@xw.arg("options", doc="Options fitted, with ; between them; may be left out", err_to_str=True)
@xw.arg("names", doc="The cells that name the options", ndim=2, err_to_str=True)
@xw.arg("weights", doc="The cells with the options' weights, in the same order", ndim=2, err_to_str=True)
def LOT_OPTIONS_WEIGHT(options: Cell, names: Cell, weights: Cell) -> Cell:
    """Weight of the options fitted, each looked up by name in a list of options; at most 12 options."""
    return answer("LOT_OPTIONS_WEIGHT", options, names, weights)


@xw.func(category="Tarelot")
@xw.arg(
    "gross",
    doc="Weight of the trailer with its load; any weight unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "empty_weight",
    doc="Weight of the trailer ready to work, without load; any weight unit, the same throughout; above 0",
    err_to_str=True,
)
def LOT_PAYLOAD(gross: Cell, empty_weight: Cell) -> Cell:
    """Weight of load that makes up the gross weight or rating."""
    return answer("LOT_PAYLOAD", gross, empty_weight)


@xw.func(category="Tarelot")
@xw.arg(
    "gross",
    doc="Weight of the trailer with its load; any weight unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "pin_share",
    doc="Share of the gross weight on the hitch, such as 0.15 or 15%; share; above 0 to below 1",
    err_to_str=True,
)
def LOT_PIN_WEIGHT(gross: Cell, pin_share: Cell) -> Cell:
    """Weight that rests on the hitch at a share of the gross weight."""
    return answer("LOT_PIN_WEIGHT", gross, pin_share)


@xw.func(category="Tarelot")
@xw.arg(
    "pin_weight",
    doc="Weight that rests on the hitch; any weight unit, the same throughout; from 0",
    err_to_str=True,
)
@xw.arg(
    "gross",
    doc="Weight of the trailer with its load; any weight unit, the same throughout; above 0",
    err_to_str=True,
)
def LOT_PIN_SHARE(pin_weight: Cell, gross: Cell) -> Cell:
    """Share of the gross weight that rests on the hitch."""
    return answer("LOT_PIN_SHARE", pin_weight, gross)


@xw.func(category="Tarelot")
@xw.arg(
    "gvwr",
    doc="Gross vehicle weight rating on the certification label; any weight unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg("axles", doc="Number of axles; a whole number from 1 to 20", err_to_str=True)
@xw.arg("axle_rating", doc="Rating of one axle; any weight unit, the same throughout; above 0", err_to_str=True)
def LOT_STICKER_PIN(gvwr: Cell, axles: Cell, axle_rating: Cell) -> Cell:
    """What the label counts on the hitch to carry: the part of the GVWR above the sum of the axle ratings."""
    return answer("LOT_STICKER_PIN", gvwr, axles, axle_rating)


@xw.func(category="Tarelot")
@xw.arg("hitch", doc="Hitch: pintle, ball or gooseneck; may be left out", err_to_str=True)
@xw.arg(
    "stated_share",
    doc="Share stated for this trailer, used instead of the usual one; share; above 0 to below 1; may be left out",
    err_to_str=True,
)
def LOT_LOW_PIN_SHARE(hitch: Cell = None, stated_share: Cell = None) -> Cell:
    """Least share of the gross to plan for on the hitch: the stated one, else the usual one of the hitch."""
    return answer("LOT_LOW_PIN_SHARE", hitch, stated_share)


@xw.func(category="Tarelot")
@xw.arg("hitch", doc="Hitch: pintle, ball or gooseneck; may be left out", err_to_str=True)
@xw.arg(
    "stated_share",
    doc="Share stated for this trailer, used instead of the usual one; share; above 0 to below 1; may be left out",
    err_to_str=True,
)
def LOT_HIGH_PIN_SHARE(hitch: Cell = None, stated_share: Cell = None) -> Cell:
    """Greatest share of the gross to plan for on the hitch: the stated one, else the usual one of the hitch."""
    return answer("LOT_HIGH_PIN_SHARE", hitch, stated_share)


@xw.func(category="Tarelot")
@xw.arg(
    "gross",
    doc="Weight of the trailer with its load; any weight unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "pin_share",
    doc="Share of the gross weight on the hitch, such as 0.15 or 15%; share; above 0 to below 1",
    err_to_str=True,
)
def LOT_AXLE_LOAD(gross: Cell, pin_share: Cell) -> Cell:
    """Weight that rests on the axles when the hitch carries a share of the gross weight."""
    return answer("LOT_AXLE_LOAD", gross, pin_share)


@xw.func(category="Tarelot")
@xw.arg("axles", doc="Number of axles; a whole number from 1 to 20", err_to_str=True)
@xw.arg("axle_rating", doc="Rating of one axle; any weight unit, the same throughout; above 0", err_to_str=True)
@xw.arg(
    "suspension_rating",
    doc="Rating of one axle's suspension; any weight unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
@xw.arg(
    "tires_per_axle",
    doc="Number of tires on one axle; a whole number above 0 to 16; may be left out",
    err_to_str=True,
)
@xw.arg(
    "tire_rating",
    doc="Load one tire may carry, single or dual as fitted; any weight unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
@xw.arg(
    "wheel_rating",
    doc="Load one wheel may carry; any weight unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
def LOT_AXLE_GROUP_RATING(
    axles: Cell,
    axle_rating: Cell,
    suspension_rating: Cell = None,
    tires_per_axle: Cell = None,
    tire_rating: Cell = None,
    wheel_rating: Cell = None,
) -> Cell:
    """Rating of the axle group: axles times the least of axle, suspension, tires and wheels, over those stated."""
    return answer(
        "LOT_AXLE_GROUP_RATING",
        axles,
        axle_rating,
        suspension_rating,
        tires_per_axle,
        tire_rating,
        wheel_rating,
    )


@xw.func(category="Tarelot")
@xw.arg("axles", doc="Number of axles; a whole number from 1 to 20", err_to_str=True)
@xw.arg("axle_rating", doc="Rating of one axle; any weight unit, the same throughout; above 0", err_to_str=True)
@xw.arg(
    "suspension_rating",
    doc="Rating of one axle's suspension; any weight unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
@xw.arg(
    "tires_per_axle",
    doc="Number of tires on one axle; a whole number above 0 to 16; may be left out",
    err_to_str=True,
)
@xw.arg(
    "tire_rating",
    doc="Load one tire may carry, single or dual as fitted; any weight unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
@xw.arg(
    "wheel_rating",
    doc="Load one wheel may carry; any weight unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
def LOT_WEAKEST_PART(
    axles: Cell,
    axle_rating: Cell,
    suspension_rating: Cell = None,
    tires_per_axle: Cell = None,
    tire_rating: Cell = None,
    wheel_rating: Cell = None,
) -> Cell:
    """Which part sets the axle group's rating; the first of axles, suspension, tires, wheels where equal."""
    return answer("LOT_WEAKEST_PART", axles, axle_rating, suspension_rating, tires_per_axle, tire_rating, wheel_rating)


@xw.func(category="Tarelot")
@xw.arg(
    "gvwr",
    doc="Gross vehicle weight rating on the certification label; any weight unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "axle_group_rating",
    doc="Rating of all axles with suspension, tires and wheels; any weight unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
@xw.arg(
    "coupler_rating",
    doc="Greatest gross weight that the coupler is rated for; any weight unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
@xw.arg(
    "coupler_vertical",
    doc="Greatest downward load that the coupler is rated for; any weight unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
@xw.arg(
    "low_pin_share",
    doc="Least share of the gross on the hitch; 0.10 where not stated; share; above 0 to below 1; may be left out",
    err_to_str=True,
)
@xw.arg(
    "high_pin_share",
    doc="Greatest share of the gross on the hitch; 0.15 where not stated; share; above 0 to below 1; may be left out",
    err_to_str=True,
)
def LOT_GROSS_LIMIT(
    gvwr: Cell,
    axle_group_rating: Cell = None,
    coupler_rating: Cell = None,
    coupler_vertical: Cell = None,
    low_pin_share: Cell = None,
    high_pin_share: Cell = None,
) -> Cell:
    """Heaviest gross weight that every stated rating allows; a share not stated counts as 0.10 low, 0.15 high."""
    return answer(
        "LOT_GROSS_LIMIT",
        gvwr,
        axle_group_rating,
        coupler_rating,
        coupler_vertical,
        low_pin_share,
        high_pin_share,
    )


@xw.func(category="Tarelot")
@xw.arg(
    "gvwr",
    doc="Gross vehicle weight rating on the certification label; any weight unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "axle_group_rating",
    doc="Rating of all axles with suspension, tires and wheels; any weight unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
@xw.arg(
    "coupler_rating",
    doc="Greatest gross weight that the coupler is rated for; any weight unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
@xw.arg(
    "coupler_vertical",
    doc="Greatest downward load that the coupler is rated for; any weight unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
@xw.arg(
    "low_pin_share",
    doc="Least share of the gross on the hitch; 0.10 where not stated; share; above 0 to below 1; may be left out",
    err_to_str=True,
)
@xw.arg(
    "high_pin_share",
    doc="Greatest share of the gross on the hitch; 0.15 where not stated; share; above 0 to below 1; may be left out",
    err_to_str=True,
)
def LOT_LIMITED_BY(
    gvwr: Cell,
    axle_group_rating: Cell = None,
    coupler_rating: Cell = None,
    coupler_vertical: Cell = None,
    low_pin_share: Cell = None,
    high_pin_share: Cell = None,
) -> Cell:
    """Which rating sets the gross limit; the first of GVWR, axle group, coupler, coupler vertical where equal."""
    return answer(
        "LOT_LIMITED_BY",
        gvwr,
        axle_group_rating,
        coupler_rating,
        coupler_vertical,
        low_pin_share,
        high_pin_share,
    )


@xw.func(category="Tarelot")
@xw.arg("count", doc="How many; a whole number from 1 to 1,000", err_to_str=True)
@xw.arg("each_", doc="Rating of one; any weight unit, the same throughout; above 0", err_to_str=True)
def LOT_TOTAL(count: Cell, each_: Cell) -> Cell:
    """What a number of equal parts is rated for together."""
    return answer("LOT_TOTAL", count, each_)


@xw.func(category="Tarelot")
@xw.arg("needed", doc="What is needed; any unit, the same throughout; above 0", err_to_str=True)
@xw.arg("rated", doc="What is rated; any unit, the same throughout; above 0", err_to_str=True)
def LOT_SHORTFALL(needed: Cell, rated: Cell) -> Cell:
    """How much a rating falls short of what is needed."""
    return answer("LOT_SHORTFALL", needed, rated)


@xw.func(category="Tarelot")
@xw.arg("deck_length", doc="Length of the wooden deck; feet (meters for kg); above 0", err_to_str=True)
@xw.arg("deck_width", doc="Width of the wooden deck; inches (millimeters for kg); above 0", err_to_str=True)
@xw.arg(
    "board_thickness",
    doc="Actual thickness of the boards: nominal 2 in is 1.5 in; inches (millimeters for kg); above 0",
    err_to_str=True,
)
@xw.arg(
    "specific_gravity",
    doc="Specific gravity: oven-dry weight, volume at the moisture; at 12% shortleaf pine 0.51, slash pine 0.59, Douglas-fir 0.48, red oak 0.63, white oak 0.68, apitong 0.64 to 0.72; above 0 to 1.5",
    err_to_str=True,
)
@xw.arg(
    "moisture",
    doc="Moisture as a share of the oven-dry weight, such as 0.15 or 15%; 0.12 (air-dry) where not stated; share; above 0 to 3; may be left out",
    err_to_str=True,
)
@xw.arg("unit", doc="Unit of the weight: lb (as when left out) or kg; may be left out", err_to_str=True)
def LOT_DECK_WEIGHT(
    deck_length: Cell,
    deck_width: Cell,
    board_thickness: Cell,
    specific_gravity: Cell,
    moisture: Cell = None,
    unit: Cell = None,
) -> Cell:
    """Weight of a wooden deck: length in feet, width and thickness in inches; for kg meters and millimeters."""
    return answer("LOT_DECK_WEIGHT", deck_length, deck_width, board_thickness, specific_gravity, moisture, unit)


@xw.func(category="Tarelot")
@xw.arg(
    "deck_height",
    doc="Height of the deck above ground; any length unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "tail_drop",
    doc="How far the tail's end lies below the deck; any length unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
def LOT_RAMP_RISE(deck_height: Cell, tail_drop: Cell = None) -> Cell:
    """Height that the ramp climbs from the ground to the tail's end."""
    return answer("LOT_RAMP_RISE", deck_height, tail_drop)


@xw.func(category="Tarelot")
@xw.arg(
    "rise",
    doc="Height from ground to the ramp's top; any length unit, the same throughout; from 0",
    err_to_str=True,
)
@xw.arg(
    "ramp_length",
    doc="Length of the ramp along its slope; any length unit, the same throughout; above 0",
    err_to_str=True,
)
def LOT_RAMP_ANGLE(rise: Cell, ramp_length: Cell) -> Cell:
    """Angle of a ramp to level ground."""
    return answer("LOT_RAMP_ANGLE", rise, ramp_length)


@xw.func(category="Tarelot")
@xw.arg(
    "rise",
    doc="Height from ground to the ramp's top; any length unit, the same throughout; from 0",
    err_to_str=True,
)
@xw.arg("angle", doc="Angle of the ramp to the ground; degrees; above 0 to below 90", err_to_str=True)
def LOT_RAMP_LENGTH(rise: Cell, angle: Cell) -> Cell:
    """Length of ramp that brings it to an angle."""
    return answer("LOT_RAMP_LENGTH", rise, angle)


@xw.func(category="Tarelot")
@xw.arg("angle", doc="Angle of the slope to level; degrees; from 0 to below 90", err_to_str=True)
def LOT_GRADE(angle: Cell) -> Cell:
    """Grade of a slope: rise over level run."""
    return answer("LOT_GRADE", angle)


@xw.func(category="Tarelot")
@xw.arg(
    "clearance",
    doc="Ground clearance halfway between the wheels; any length unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "wheelbase",
    doc="Distance between the wheel contacts; any length unit, the same throughout; above 0",
    err_to_str=True,
)
def LOT_BREAKOVER_ANGLE(clearance: Cell, wheelbase: Cell) -> Cell:
    """Sharpest break that a machine crosses without touching, its lowest point halfway between the wheels."""
    return answer("LOT_BREAKOVER_ANGLE", clearance, wheelbase)


@xw.func(category="Tarelot")
@xw.arg(
    "ramp_weight",
    doc="Weight of the one ramp that is lifted; any weight unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "ramp_length",
    doc="Length of the ramp along its slope; any length unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "hinge_to_center",
    doc="From the hinge to the ramp's center of gravity; any length unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "spring_moment",
    doc="Moment of the ramp's springs about the hinge, at that angle; weight times length, as the others; above 0; may be left out",
    err_to_str=True,
)
@xw.arg(
    "angle",
    doc="Angle of the ramp to level; level, where it is heaviest, if not stated; degrees; from 0 to 90; may be left out",
    err_to_str=True,
)
def LOT_RAMP_FORCE(
    ramp_weight: Cell,
    ramp_length: Cell,
    hinge_to_center: Cell,
    spring_moment: Cell = None,
    angle: Cell = None,
) -> Cell:
    """Hand force at the free end that lifts a hinged ramp, with the help of its springs; never below 0."""
    return answer("LOT_RAMP_FORCE", ramp_weight, ramp_length, hinge_to_center, spring_moment, angle)


@xw.func(category="Tarelot")
@xw.arg("load_index", doc="Load index on the sidewall; a whole number from 0 to 150", err_to_str=True)
@xw.arg("unit", doc="Unit of the weight: lb (as when left out) or kg; may be left out", err_to_str=True)
def LOT_TIRE_LOAD(load_index: Cell, unit: Cell = None) -> Cell:
    """Load that one tire may carry by the load index on its sidewall."""
    return answer("LOT_TIRE_LOAD", load_index, unit)


@xw.func(category="Tarelot")
@xw.arg("vin", doc="Vehicle identification number, 17 characters", err_to_str=True)
def LOT_VIN_CHECK(vin: Cell) -> Cell:
    """Whether a trailer's VIN has the right length, characters, check digit and four digits at its end."""
    return answer("LOT_VIN_CHECK", vin)


@xw.func(category="Tarelot")
@xw.arg("vin", doc="Vehicle identification number, 17 characters", err_to_str=True)
@xw.arg(
    "latest_year",
    doc="Latest model year that can be meant; 2039 where not stated; a whole number from 1,980 to 2,200; may be left out",
    err_to_str=True,
)
def LOT_VIN_YEAR(vin: Cell, latest_year: Cell = None) -> Cell:
    """Model year by position 10 of a VIN: the latest of its 30-year cycle not after a year."""
    return answer("LOT_VIN_YEAR", vin, latest_year)


@xw.func(category="Tarelot")
@xw.arg(
    "gvwr",
    doc="Gross vehicle weight rating on the certification label; any weight unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg("unit", doc="Unit of the weight: lb (as when left out) or kg; may be left out", err_to_str=True)
def LOT_EXCISE_RATE(gvwr: Cell, unit: Cell = None) -> Cell:
    """Federal excise tax on the first retail sale: 12% above 26,000 lb GVWR, else none. Ask a tax adviser."""
    return answer("LOT_EXCISE_RATE", gvwr, unit)


@xw.func(category="Tarelot")
@xw.arg("headings", doc="The headings of the checks", ndim=2, err_to_str=True)
@xw.arg("values", doc="The results of the checks, in the same order", ndim=2, err_to_str=True)
def LOT_CONFLICTS(headings: Cell, values: Cell) -> Cell:
    """Each check that found something, with its amount, one after the other."""
    return answer("LOT_CONFLICTS", headings, values)


@xw.func(category="Tarelot")
@xw.arg("values", doc="The results of the checks, in the same order", ndim=2, err_to_str=True)
def LOT_CONFLICT_COUNT(values: Cell) -> Cell:
    """How many checks found something: numbers above 0 and texts other than ok."""
    return answer("LOT_CONFLICT_COUNT", values)


@xw.func(category="Tarelot")
@xw.arg("headings", doc="The headings of the checks", ndim=2, err_to_str=True)
@xw.arg("values", doc="The results of the checks, in the same order", ndim=2, err_to_str=True)
def LOT_NOT_CHECKED(headings: Cell, values: Cell) -> Cell:
    """Headings of the checks that found no figures to work with."""
    return answer("LOT_NOT_CHECKED", headings, values)


@xw.func(category="Tarelot")
@xw.arg(
    "empty_weight",
    doc="Weight of the trailer ready to work, without load; any weight unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "empty_pin",
    doc="Weight of the empty trailer on the hitch; any weight unit, the same throughout; from 0",
    err_to_str=True,
)
@xw.arg(
    "coupler_to_axles",
    doc="From the coupler back to the middle of the axle group; any length unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "load_weight",
    doc="Weight of the machine or other load; any weight unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "coupler_to_load",
    doc="From the coupler back to the load's center of gravity; any length unit, the same throughout; from 0",
    err_to_str=True,
)
def LOT_PIN_AT(
    empty_weight: Cell,
    empty_pin: Cell,
    coupler_to_axles: Cell,
    load_weight: Cell,
    coupler_to_load: Cell,
) -> Cell:
    """Weight on the hitch with the load's center of gravity at a distance behind the coupler."""
    return answer("LOT_PIN_AT", empty_weight, empty_pin, coupler_to_axles, load_weight, coupler_to_load)


@xw.func(category="Tarelot")
@xw.arg(
    "empty_weight",
    doc="Weight of the trailer ready to work, without load; any weight unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "empty_pin",
    doc="Weight of the empty trailer on the hitch; any weight unit, the same throughout; from 0",
    err_to_str=True,
)
@xw.arg(
    "coupler_to_axles",
    doc="From the coupler back to the middle of the axle group; any length unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "load_weight",
    doc="Weight of the machine or other load; any weight unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "coupler_to_load",
    doc="From the coupler back to the load's center of gravity; any length unit, the same throughout; from 0",
    err_to_str=True,
)
def LOT_AXLES_AT(
    empty_weight: Cell,
    empty_pin: Cell,
    coupler_to_axles: Cell,
    load_weight: Cell,
    coupler_to_load: Cell,
) -> Cell:
    """Weight on the trailer's axles with the load's center of gravity at a distance behind the coupler."""
    return answer("LOT_AXLES_AT", empty_weight, empty_pin, coupler_to_axles, load_weight, coupler_to_load)


@xw.func(category="Tarelot")
@xw.arg(
    "empty_weight",
    doc="Weight of the trailer ready to work, without load; any weight unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "empty_pin",
    doc="Weight of the empty trailer on the hitch; any weight unit, the same throughout; from 0",
    err_to_str=True,
)
@xw.arg(
    "coupler_to_axles",
    doc="From the coupler back to the middle of the axle group; any length unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "load_weight",
    doc="Weight of the machine or other load; any weight unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "low_pin_share",
    doc="Least share of the gross on the hitch, such as 0.10; share; above 0 to below 1",
    err_to_str=True,
)
@xw.arg(
    "high_pin_share",
    doc="Greatest share of the gross on the hitch, such as 0.15; share; above 0 to below 1",
    err_to_str=True,
)
@xw.arg(
    "axle_group_rating",
    doc="Rating of all axles with suspension, tires and wheels; any weight unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
@xw.arg(
    "coupler_vertical",
    doc="Greatest downward load that the coupler is rated for; any weight unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
def LOT_FOREMOST(
    empty_weight: Cell,
    empty_pin: Cell,
    coupler_to_axles: Cell,
    load_weight: Cell,
    low_pin_share: Cell,
    high_pin_share: Cell,
    axle_group_rating: Cell = None,
    coupler_vertical: Cell = None,
) -> Cell:
    """Foremost place of the load's center: the pin share not above the high one, the pin not above its rating. #N/A where no place meets every limit."""
    return answer(
        "LOT_FOREMOST",
        empty_weight,
        empty_pin,
        coupler_to_axles,
        load_weight,
        low_pin_share,
        high_pin_share,
        axle_group_rating,
        coupler_vertical,
    )


@xw.func(category="Tarelot")
@xw.arg(
    "empty_weight",
    doc="Weight of the trailer ready to work, without load; any weight unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "empty_pin",
    doc="Weight of the empty trailer on the hitch; any weight unit, the same throughout; from 0",
    err_to_str=True,
)
@xw.arg(
    "coupler_to_axles",
    doc="From the coupler back to the middle of the axle group; any length unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "load_weight",
    doc="Weight of the machine or other load; any weight unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "low_pin_share",
    doc="Least share of the gross on the hitch, such as 0.10; share; above 0 to below 1",
    err_to_str=True,
)
@xw.arg(
    "high_pin_share",
    doc="Greatest share of the gross on the hitch, such as 0.15; share; above 0 to below 1",
    err_to_str=True,
)
@xw.arg(
    "axle_group_rating",
    doc="Rating of all axles with suspension, tires and wheels; any weight unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
@xw.arg(
    "coupler_vertical",
    doc="Greatest downward load that the coupler is rated for; any weight unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
def LOT_REARMOST(
    empty_weight: Cell,
    empty_pin: Cell,
    coupler_to_axles: Cell,
    load_weight: Cell,
    low_pin_share: Cell,
    high_pin_share: Cell,
    axle_group_rating: Cell = None,
    coupler_vertical: Cell = None,
) -> Cell:
    """Rearmost place of the load's center: the pin share not below the low one, the axles not above their rating. #N/A where no place meets every limit."""
    return answer(
        "LOT_REARMOST",
        empty_weight,
        empty_pin,
        coupler_to_axles,
        load_weight,
        low_pin_share,
        high_pin_share,
        axle_group_rating,
        coupler_vertical,
    )


@xw.func(category="Tarelot")
@xw.arg(
    "coupler_to_load",
    doc="From the coupler back to the load's center of gravity; any length unit, the same throughout; from 0",
    err_to_str=True,
)
@xw.arg(
    "coupler_to_deck",
    doc="From the coupler back to the deck's front edge; any length unit, the same throughout; above 0",
    err_to_str=True,
)
def LOT_FROM_DECK(coupler_to_load: Cell, coupler_to_deck: Cell) -> Cell:
    """Where the load's center stands on the deck, measured from the deck's front edge back."""
    return answer("LOT_FROM_DECK", coupler_to_load, coupler_to_deck)


@xw.func(category="Tarelot")
@xw.arg(
    "empty_weight",
    doc="Weight of the trailer ready to work, without load; any weight unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "empty_pin",
    doc="Weight of the empty trailer on the hitch; any weight unit, the same throughout; from 0",
    err_to_str=True,
)
@xw.arg(
    "coupler_to_axles",
    doc="From the coupler back to the middle of the axle group; any length unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "load_weight",
    doc="Weight of the machine or other load; any weight unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "coupler_to_tail",
    doc="From the coupler back to the tail's end, ramps aside; any length unit, the same throughout; above 0",
    err_to_str=True,
)
def LOT_LOADING_PIN(
    empty_weight: Cell,
    empty_pin: Cell,
    coupler_to_axles: Cell,
    load_weight: Cell,
    coupler_to_tail: Cell,
) -> Cell:
    """Weight on the hitch with the whole load over the tail's end while it drives on; negative lifts the truck."""
    return answer("LOT_LOADING_PIN", empty_weight, empty_pin, coupler_to_axles, load_weight, coupler_to_tail)


@xw.func(category="Tarelot")
@xw.arg(
    "pin",
    doc="Weight on the hitch; negative where it lifts; any weight unit, the same throughout; any number",
    err_to_str=True,
)
@xw.arg(
    "wheelbase",
    doc="From the truck's front axle to the middle of its rear axles; any length unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "hitch_overhang",
    doc="From the middle of the rear axles back to the hitch; negative ahead of them; any length unit, the same throughout; any number",
    err_to_str=True,
)
def LOT_REAR_AXLE_CHANGE(pin: Cell, wheelbase: Cell, hitch_overhang: Cell) -> Cell:
    """What the weight on the hitch adds to the truck's rear axles."""
    return answer("LOT_REAR_AXLE_CHANGE", pin, wheelbase, hitch_overhang)


@xw.func(category="Tarelot")
@xw.arg(
    "pin",
    doc="Weight on the hitch; negative where it lifts; any weight unit, the same throughout; any number",
    err_to_str=True,
)
@xw.arg(
    "wheelbase",
    doc="From the truck's front axle to the middle of its rear axles; any length unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "hitch_overhang",
    doc="From the middle of the rear axles back to the hitch; negative ahead of them; any length unit, the same throughout; any number",
    err_to_str=True,
)
def LOT_FRONT_AXLE_CHANGE(pin: Cell, wheelbase: Cell, hitch_overhang: Cell) -> Cell:
    """What the weight on the hitch adds to the truck's front axle; negative takes weight off."""
    return answer("LOT_FRONT_AXLE_CHANGE", pin, wheelbase, hitch_overhang)


@xw.func(category="Tarelot")
@xw.arg(
    "deck_height",
    doc="Height of the deck above ground; any length unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "tail_drop",
    doc="How far the tail's end lies below the deck; 0 without a tail; any length unit, the same throughout; from 0",
    err_to_str=True,
)
@xw.arg(
    "tail_length",
    doc="Length of the sloping tail along its slope; 0 for none; any length unit, the same throughout; from 0",
    err_to_str=True,
)
@xw.arg(
    "ramp_length",
    doc="Length of the ramp along its slope; any length unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "wheelbase",
    doc="Distance between the wheel contacts; any length unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "ground_clearance",
    doc="Least ground clearance between the wheel contacts; any length unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "front_overhang",
    doc="How far the machine reaches ahead of its front contact; any length unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
@xw.arg(
    "front_clearance",
    doc="Least ground clearance of that overhang; any length unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
@xw.arg(
    "rear_overhang",
    doc="How far the machine reaches behind its rear contact; any length unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
@xw.arg(
    "rear_clearance",
    doc="Least ground clearance of that overhang; any length unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
def LOT_RAMP_CLEARANCE(
    deck_height: Cell,
    tail_drop: Cell,
    tail_length: Cell,
    ramp_length: Cell,
    wheelbase: Cell,
    ground_clearance: Cell,
    front_overhang: Cell = None,
    front_clearance: Cell = None,
    rear_overhang: Cell = None,
    rear_clearance: Cell = None,
) -> Cell:
    """Least gap under a wheeled machine's belly and overhangs while it drives on forward; negative touches."""
    return answer(
        "LOT_RAMP_CLEARANCE",
        deck_height,
        tail_drop,
        tail_length,
        ramp_length,
        wheelbase,
        ground_clearance,
        front_overhang,
        front_clearance,
        rear_overhang,
        rear_clearance,
    )


@xw.func(category="Tarelot")
@xw.arg(
    "deck_height",
    doc="Height of the deck above ground; any length unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "tail_drop",
    doc="How far the tail's end lies below the deck; 0 without a tail; any length unit, the same throughout; from 0",
    err_to_str=True,
)
@xw.arg(
    "tail_length",
    doc="Length of the sloping tail along its slope; 0 for none; any length unit, the same throughout; from 0",
    err_to_str=True,
)
@xw.arg(
    "ramp_length",
    doc="Length of the ramp along its slope; any length unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "wheelbase",
    doc="Distance between the wheel contacts; any length unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "ground_clearance",
    doc="Least ground clearance between the wheel contacts; any length unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "front_overhang",
    doc="How far the machine reaches ahead of its front contact; any length unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
@xw.arg(
    "front_clearance",
    doc="Least ground clearance of that overhang; any length unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
@xw.arg(
    "rear_overhang",
    doc="How far the machine reaches behind its rear contact; any length unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
@xw.arg(
    "rear_clearance",
    doc="Least ground clearance of that overhang; any length unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
def LOT_RAMP_TOUCH(
    deck_height: Cell,
    tail_drop: Cell,
    tail_length: Cell,
    ramp_length: Cell,
    wheelbase: Cell,
    ground_clearance: Cell,
    front_overhang: Cell = None,
    front_clearance: Cell = None,
    rear_overhang: Cell = None,
    rear_clearance: Cell = None,
) -> Cell:
    """Where the least gap of the drive-on is: which part of the machine, at which break."""
    return answer(
        "LOT_RAMP_TOUCH",
        deck_height,
        tail_drop,
        tail_length,
        ramp_length,
        wheelbase,
        ground_clearance,
        front_overhang,
        front_clearance,
        rear_overhang,
        rear_clearance,
    )


@xw.func(category="Tarelot")
@xw.arg(
    "deck_height",
    doc="Height of the deck above ground; any length unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "tail_drop",
    doc="How far the tail's end lies below the deck; 0 without a tail; any length unit, the same throughout; from 0",
    err_to_str=True,
)
@xw.arg(
    "tail_length",
    doc="Length of the sloping tail along its slope; 0 for none; any length unit, the same throughout; from 0",
    err_to_str=True,
)
@xw.arg(
    "ramp_length",
    doc="Length of the ramp along its slope; any length unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "wheelbase",
    doc="Distance between the wheel contacts; any length unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "ground_clearance",
    doc="Least ground clearance between the wheel contacts; any length unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "front_overhang",
    doc="How far the machine reaches ahead of its front contact; any length unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
@xw.arg(
    "front_clearance",
    doc="Least ground clearance of that overhang; any length unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
@xw.arg(
    "rear_overhang",
    doc="How far the machine reaches behind its rear contact; any length unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
@xw.arg(
    "rear_clearance",
    doc="Least ground clearance of that overhang; any length unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
def LOT_CLEARANCE_AT_LEAST(
    deck_height: Cell,
    tail_drop: Cell,
    tail_length: Cell,
    ramp_length: Cell,
    wheelbase: Cell,
    ground_clearance: Cell,
    front_overhang: Cell = None,
    front_clearance: Cell = None,
    rear_overhang: Cell = None,
    rear_clearance: Cell = None,
) -> Cell:
    """A gap that a wheeled machine surely keeps while it drives on forward, by closed forms; below 0 look closer."""
    return answer(
        "LOT_CLEARANCE_AT_LEAST",
        deck_height,
        tail_drop,
        tail_length,
        ramp_length,
        wheelbase,
        ground_clearance,
        front_overhang,
        front_clearance,
        rear_overhang,
        rear_clearance,
    )


@xw.func(category="Tarelot")
@xw.arg(
    "deck_height",
    doc="Height of the deck above ground; any length unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "tail_drop",
    doc="How far the tail's end lies below the deck; 0 without a tail; any length unit, the same throughout; from 0",
    err_to_str=True,
)
@xw.arg(
    "tail_length",
    doc="Length of the sloping tail along its slope; 0 for none; any length unit, the same throughout; from 0",
    err_to_str=True,
)
@xw.arg(
    "ramp_length",
    doc="Length of the ramp along its slope; any length unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "wheelbase",
    doc="Distance between the wheel contacts; any length unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "ground_clearance",
    doc="Least ground clearance between the wheel contacts; any length unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "front_overhang",
    doc="How far the machine reaches ahead of its front contact; any length unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
@xw.arg(
    "front_clearance",
    doc="Least ground clearance of that overhang; any length unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
@xw.arg(
    "rear_overhang",
    doc="How far the machine reaches behind its rear contact; any length unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
@xw.arg(
    "rear_clearance",
    doc="Least ground clearance of that overhang; any length unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
def LOT_CLEARANCE_AT_MOST(
    deck_height: Cell,
    tail_drop: Cell,
    tail_length: Cell,
    ramp_length: Cell,
    wheelbase: Cell,
    ground_clearance: Cell,
    front_overhang: Cell = None,
    front_clearance: Cell = None,
    rear_overhang: Cell = None,
    rear_clearance: Cell = None,
) -> Cell:
    """A gap that a wheeled machine surely comes down to while it drives on forward, by closed forms."""
    return answer(
        "LOT_CLEARANCE_AT_MOST",
        deck_height,
        tail_drop,
        tail_length,
        ramp_length,
        wheelbase,
        ground_clearance,
        front_overhang,
        front_clearance,
        rear_overhang,
        rear_clearance,
    )


@xw.func(category="Tarelot")
@xw.arg(
    "deck_height",
    doc="Height of the deck above ground; any length unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "tail_drop",
    doc="How far the tail's end lies below the deck; 0 without a tail; any length unit, the same throughout; from 0",
    err_to_str=True,
)
@xw.arg(
    "tail_length",
    doc="Length of the sloping tail along its slope; 0 for none; any length unit, the same throughout; from 0",
    err_to_str=True,
)
@xw.arg(
    "ramp_length",
    doc="Length of the ramp along its slope; any length unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg("place", doc="Which break: foot, ramp top or tail top", err_to_str=True)
def LOT_BREAK_ANGLE(deck_height: Cell, tail_drop: Cell, tail_length: Cell, ramp_length: Cell, place: Cell) -> Cell:
    """Change of slope at the ramp's foot, the ramp's top or the tail's top; a tracked machine tips over it."""
    return answer("LOT_BREAK_ANGLE", deck_height, tail_drop, tail_length, ramp_length, place)


@xw.func(category="Tarelot")
@xw.arg("weight_lb", doc="Weight of the article; pounds; above 0", err_to_str=True)
@xw.arg("length_ft", doc="Length of the article; feet; above 0", err_to_str=True)
@xw.arg(
    "blocked",
    doc="The word blocked where something keeps it from moving forward; may be left out",
    err_to_str=True,
)
@xw.arg("machine", doc="The word machine for wheeled or tracked machinery; may be left out", err_to_str=True)
def LOT_TIEDOWN_COUNT(weight_lb: Cell, length_ft: Cell, blocked: Cell = None, machine: Cell = None) -> Cell:
    """Least number of tie-downs by length and weight; a machine of 10,000 lb or more needs at least four."""
    return answer("LOT_TIEDOWN_COUNT", weight_lb, length_ft, blocked, machine)


@xw.func(category="Tarelot")
@xw.arg("weight", doc="Weight of the article; any weight unit, the same throughout; above 0", err_to_str=True)
@xw.arg("count", doc="How many; a whole number from 1 to 1,000", err_to_str=True)
@xw.arg(
    "tiedown",
    doc="direct (vehicle to article or back to the same side; as when left out) or indirect (across to the other side); may be left out",
    err_to_str=True,
)
def LOT_TIEDOWN_WLL(weight: Cell, count: Cell, tiedown: Cell = None) -> Cell:
    """Rating that each tie-down needs, so that together they hold half the weight; a direct one counts half."""
    return answer("LOT_TIEDOWN_WLL", weight, count, tiedown)


@xw.func(category="Tarelot")
@xw.arg(
    "size",
    doc="Chain size as text, such as 3/8 or 10 mm; type '3/8 with the apostrophe, or the cell turns it into a date",
    err_to_str=True,
)
@xw.arg(
    "grade",
    doc="Grade marked on the chain: 30, 43, 70, 80 or 100; unmarked counts as 30; above 0",
    err_to_str=True,
)
def LOT_CHAIN_WLL(size: Cell, grade: Cell) -> Cell:
    """Working load limit of a chain by size (as text) and grade; a limit marked on the chain governs."""
    return answer("LOT_CHAIN_WLL", size, grade)


@xw.func(category="Tarelot")
@xw.arg(
    "truck_gvwr_lb",
    doc="Gross vehicle weight rating of the truck, or its actual weight if greater; pounds; above 0",
    err_to_str=True,
)
@xw.arg(
    "trailer_gvwr_lb",
    doc="Gross vehicle weight rating of the trailer, or its actual weight if greater; 0 for none; pounds; from 0",
    err_to_str=True,
)
@xw.arg(
    "label_gcwr_lb",
    doc="Combination rating on the truck's certification label; 0 or blank for none there; pounds; above 0; may be left out",
    err_to_str=True,
)
@xw.arg(
    "actual_gross_lb",
    doc="Actual weight of truck and trailer together; pounds; above 0; may be left out",
    err_to_str=True,
)
@xw.arg(
    "carries",
    doc="placarded (hazardous goods) or passengers (16 or more with the driver); blank for neither; may be left out",
    err_to_str=True,
)
def LOT_LICENSE_GROUP(
    truck_gvwr_lb: Cell,
    trailer_gvwr_lb: Cell,
    label_gcwr_lb: Cell = None,
    actual_gross_lb: Cell = None,
    carries: Cell = None,
) -> Cell:
    """Group of commercial license by weight and what is carried; ask the state's licensing office."""
    return answer("LOT_LICENSE_GROUP", truck_gvwr_lb, trailer_gvwr_lb, label_gcwr_lb, actual_gross_lb, carries)


@xw.func(category="Tarelot")
@xw.arg("axles", doc="Number of axles; a whole number from 1 to 20", err_to_str=True)
@xw.arg("span_ft", doc="From the first to the last axle of the group; feet; from 0", err_to_str=True)
@xw.arg("tandems", doc="The word tandems where the axles are two tandems; may be left out", err_to_str=True)
def LOT_BRIDGE_LIMIT(axles: Cell, span_ft: Cell, tandems: Cell = None) -> Cell:
    """Greatest weight on a group of axles on the Interstate: bridge formula, single 20,000, tandem 34,000, two tandems 68,000 from 36 ft, 80,000 lb in all."""
    return answer("LOT_BRIDGE_LIMIT", axles, span_ft, tandems)


@xw.func(category="Tarelot")
@xw.arg(
    "truck_gvwr",
    doc="Gross vehicle weight rating of the truck; any weight unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "truck_empty",
    doc="Weight of the truck with driver, fuel and tools, no trailer; any weight unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "pin_share",
    doc="Share of the gross weight on the hitch, such as 0.15 or 15%; share; above 0 to below 1",
    err_to_str=True,
)
@xw.arg(
    "gcwr",
    doc="Gross combination weight rating of the truck; any weight unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
@xw.arg(
    "hitch_rating",
    doc="Greatest trailer gross that the truck's hitch is rated for; any weight unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
@xw.arg(
    "hitch_vertical",
    doc="Greatest downward load that the truck's hitch is rated for; any weight unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
@xw.arg(
    "rear_axle_rating",
    doc="Rating of the truck's rear axles together; any weight unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
@xw.arg(
    "rear_axle_empty",
    doc="Weight on the rear axles with driver and fuel, no trailer; any weight unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
@xw.arg(
    "wheelbase",
    doc="From the truck's front axle to the middle of its rear axles; any length unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
@xw.arg(
    "hitch_overhang",
    doc="From the middle of the rear axles back to the hitch; negative ahead of them; over them where not stated; any length unit, the same throughout; any number; may be left out",
    err_to_str=True,
)
def LOT_TRUCK_LIMIT(
    truck_gvwr: Cell,
    truck_empty: Cell,
    pin_share: Cell,
    gcwr: Cell = None,
    hitch_rating: Cell = None,
    hitch_vertical: Cell = None,
    rear_axle_rating: Cell = None,
    rear_axle_empty: Cell = None,
    wheelbase: Cell = None,
    hitch_overhang: Cell = None,
) -> Cell:
    """Heaviest trailer gross that every stated rating of the truck allows."""
    return answer(
        "LOT_TRUCK_LIMIT",
        truck_gvwr,
        truck_empty,
        pin_share,
        gcwr,
        hitch_rating,
        hitch_vertical,
        rear_axle_rating,
        rear_axle_empty,
        wheelbase,
        hitch_overhang,
    )


@xw.func(category="Tarelot")
@xw.arg(
    "truck_gvwr",
    doc="Gross vehicle weight rating of the truck; any weight unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "truck_empty",
    doc="Weight of the truck with driver, fuel and tools, no trailer; any weight unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "pin_share",
    doc="Share of the gross weight on the hitch, such as 0.15 or 15%; share; above 0 to below 1",
    err_to_str=True,
)
@xw.arg(
    "gcwr",
    doc="Gross combination weight rating of the truck; any weight unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
@xw.arg(
    "hitch_rating",
    doc="Greatest trailer gross that the truck's hitch is rated for; any weight unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
@xw.arg(
    "hitch_vertical",
    doc="Greatest downward load that the truck's hitch is rated for; any weight unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
@xw.arg(
    "rear_axle_rating",
    doc="Rating of the truck's rear axles together; any weight unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
@xw.arg(
    "rear_axle_empty",
    doc="Weight on the rear axles with driver and fuel, no trailer; any weight unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
@xw.arg(
    "wheelbase",
    doc="From the truck's front axle to the middle of its rear axles; any length unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
@xw.arg(
    "hitch_overhang",
    doc="From the middle of the rear axles back to the hitch; negative ahead of them; over them where not stated; any length unit, the same throughout; any number; may be left out",
    err_to_str=True,
)
def LOT_TRUCK_LIMITED_BY(
    truck_gvwr: Cell,
    truck_empty: Cell,
    pin_share: Cell,
    gcwr: Cell = None,
    hitch_rating: Cell = None,
    hitch_vertical: Cell = None,
    rear_axle_rating: Cell = None,
    rear_axle_empty: Cell = None,
    wheelbase: Cell = None,
    hitch_overhang: Cell = None,
) -> Cell:
    """Which rating of the truck sets the limit; the first of those words where equal."""
    return answer(
        "LOT_TRUCK_LIMITED_BY",
        truck_gvwr,
        truck_empty,
        pin_share,
        gcwr,
        hitch_rating,
        hitch_vertical,
        rear_axle_rating,
        rear_axle_empty,
        wheelbase,
        hitch_overhang,
    )


@xw.func(category="Tarelot")
@xw.arg("gross_lb", doc="Weight of the trailer with its load; pounds; above 0", err_to_str=True)
@xw.arg("axle_load_lb", doc="Weight that the trailer's axles carry; pounds; above 0", err_to_str=True)
@xw.arg("truck_axles_lb", doc="Weight that the truck's axles carry together, coupled; pounds; above 0", err_to_str=True)
def LOT_BRAKES_NEEDED(gross_lb: Cell, axle_load_lb: Cell, truck_axles_lb: Cell) -> Cell:
    """Whether a trailer must have brakes on all wheels, and with them a breakaway device; states ask for more."""
    return answer("LOT_BRAKES_NEEDED", gross_lb, axle_load_lb, truck_axles_lb)


@xw.func(category="Tarelot")
@xw.arg(
    "truck_gvwr_lb",
    doc="Gross vehicle weight rating of the truck, or its actual weight if greater; pounds; above 0",
    err_to_str=True,
)
def LOT_SURGE_BRAKE_LIMIT(truck_gvwr_lb: Cell) -> Cell:
    """Greatest rating of a trailer with surge brakes that a truck may pull; none above 20,000 lb."""
    return answer("LOT_SURGE_BRAKE_LIMIT", truck_gvwr_lb)


@xw.func(category="Tarelot")
@xw.arg(
    "gross",
    doc="Weight of the trailer with its load; any weight unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg("count", doc="How many; a whole number from 1 to 1,000", err_to_str=True)
@xw.arg("hitch", doc="Hitch: pintle, ball or gooseneck; may be left out", err_to_str=True)
@xw.arg(
    "chain_rule",
    doc="together (federal, as when left out) or each (some states): which chains must hold the whole weight; may be left out",
    err_to_str=True,
)
def LOT_CHAIN_STRENGTH(gross: Cell, count: Cell, hitch: Cell = None, chain_rule: Cell = None) -> Cell:
    """Breaking strength that each safety chain needs; 0 behind a gooseneck. Some states ask it of each chain."""
    return answer("LOT_CHAIN_STRENGTH", gross, count, hitch, chain_rule)


@xw.func(category="Tarelot")
@xw.arg("rear_overhang_in", doc="How far the load reaches behind the trailer; inches; from 0", err_to_str=True)
@xw.arg(
    "side_overhang_in",
    doc="How far the load reaches beyond the side, the greater of both; inches; from 0",
    err_to_str=True,
)
@xw.arg("load_width_in", doc="Width of what reaches beyond; inches; above 0", err_to_str=True)
def LOT_OVERHANG_FLAGS(rear_overhang_in: Cell, side_overhang_in: Cell, load_width_in: Cell) -> Cell:
    """How many flags a load needs that reaches beyond the trailer; some states ask from 48 in on."""
    return answer("LOT_OVERHANG_FLAGS", rear_overhang_in, side_overhang_in, load_width_in)


@xw.func(category="Tarelot")
@xw.arg("gvwr_lb", doc="Gross vehicle weight rating of the trailer; pounds; above 0", err_to_str=True)
def LOT_LABEL_STANDARD(gvwr_lb: Cell) -> Cell:
    """Which federal standard rules a trailer's tires, rims and labels."""
    return answer("LOT_LABEL_STANDARD", gvwr_lb)


@xw.func(category="Tarelot")
@xw.arg("gvwr_lb", doc="Gross vehicle weight rating of the trailer; pounds; above 0", err_to_str=True)
def LOT_PLACARD_LIMIT(gvwr_lb: Cell) -> Cell:
    """Weight that may be added before the first sale without correcting the cargo placard."""
    return answer("LOT_PLACARD_LIMIT", gvwr_lb)


@xw.func(category="Tarelot")
@xw.arg(
    "truck_alone",
    doc="Ticket of the truck without the trailer; driver and fuel as hitched; any weight unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
@xw.arg(
    "truck_hitched",
    doc="Ticket of the truck's axles, trailer coupled and its axles off the scale; any weight unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
@xw.arg(
    "trailer_hitched",
    doc="Ticket of the trailer's axles, coupled; any weight unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
@xw.arg(
    "trailer_alone",
    doc="Ticket of the whole trailer, uncoupled; any weight unit, the same throughout; above 0; may be left out",
    err_to_str=True,
)
def LOT_TICKET_PIN(
    truck_alone: Cell = None,
    truck_hitched: Cell = None,
    trailer_hitched: Cell = None,
    trailer_alone: Cell = None,
) -> Cell:
    """Weight on the hitch from both tickets of the trailer, else of the truck; weigh with the bars of a weight-distributing hitch slack, since they move load to the trailer's axles and hide part of it."""
    return answer("LOT_TICKET_PIN", truck_alone, truck_hitched, trailer_hitched, trailer_alone)


@xw.func(category="Tarelot")
@xw.arg(
    "truck_alone",
    doc="Ticket of the truck without the trailer; driver and fuel as hitched; any weight unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "truck_hitched",
    doc="Ticket of the truck's axles, trailer coupled and its axles off the scale; any weight unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "trailer_hitched",
    doc="Ticket of the trailer's axles, coupled; any weight unit, the same throughout; above 0",
    err_to_str=True,
)
def LOT_TICKET_TRAILER(truck_alone: Cell, truck_hitched: Cell, trailer_hitched: Cell) -> Cell:
    """Weight of the trailer from three scale tickets, right with a weight-distributing hitch too."""
    return answer("LOT_TICKET_TRAILER", truck_alone, truck_hitched, trailer_hitched)


@xw.func(category="Tarelot")
@xw.arg(
    "front_weight",
    doc="Ticket of the machine's front axle; any weight unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "rear_weight",
    doc="Ticket of the machine's rear axle; any weight unit, the same throughout; above 0",
    err_to_str=True,
)
@xw.arg(
    "wheelbase",
    doc="Distance between the wheel contacts; any length unit, the same throughout; above 0",
    err_to_str=True,
)
def LOT_CENTER_FROM_AXLES(front_weight: Cell, rear_weight: Cell, wheelbase: Cell) -> Cell:
    """From a machine's front axle back to its center of gravity, from the weight on each axle."""
    return answer("LOT_CENTER_FROM_AXLES", front_weight, rear_weight, wheelbase)
