"""The words of the trade: every parameter of every function, defined once.

A function's signature, its range checks, the spreadsheet guards and the wizard texts all come from here. Weights go in
any one unit throughout a call, lengths likewise; where a law fixes a figure the name says the unit.
"""

from __future__ import annotations

from .spec import LARGEST, Parameter

WEIGHT = "any weight unit, the same throughout"
LENGTH = "any length unit, the same throughout"

# Weights of the trailer
BASE_WEIGHT = Parameter("base_weight", "Weight of the trailer as listed, without options", WEIGHT)
OPTIONS_WEIGHT = Parameter(
    "options_weight", "Weight of the options fitted", WEIGHT, least=-LARGEST, least_excluded=False
)
SCALE_WEIGHT = Parameter("scale_weight", "Weight of the empty trailer on a certified scale", WEIGHT)
EMPTY_WEIGHT = Parameter("empty_weight", "Weight of the trailer ready to work, without load", WEIGHT)
GROSS = Parameter("gross", "Weight of the trailer with its load", WEIGHT)
GVWR = Parameter("gvwr", "Gross vehicle weight rating on the certification label", WEIGHT)

# Hitch end
PIN_SHARE = Parameter(
    "pin_share",
    "Share of the gross weight on the hitch, such as 0.15 or 15%",
    "share",
    greatest=1,
    greatest_excluded=True,
)
PIN_WEIGHT = Parameter("pin_weight", "Weight that rests on the hitch", WEIGHT, least_excluded=False, zero_is_value=True)
HITCH = Parameter("hitch", "Hitch: pintle, ball or gooseneck", kind="text", choices=("pintle", "ball", "gooseneck"))
STATED_SHARE = Parameter(
    "stated_share",
    "Share stated for this trailer, used instead of the usual one",
    "share",
    greatest=1,
    greatest_excluded=True,
).optional
LOW_PIN_SHARE = Parameter(
    "low_pin_share",
    "Least share of the gross on the hitch; 0.10 where not stated",
    "share",
    greatest=1,
    greatest_excluded=True,
)
HIGH_PIN_SHARE = Parameter(
    "high_pin_share",
    "Greatest share of the gross on the hitch; 0.15 where not stated",
    "share",
    greatest=1,
    greatest_excluded=True,
)
COUPLER_RATING = Parameter("coupler_rating", "Greatest gross weight that the coupler is rated for", WEIGHT)
COUPLER_VERTICAL = Parameter("coupler_vertical", "Greatest downward load that the coupler is rated for", WEIGHT)

# Running gear
AXLES = Parameter("axles", "Number of axles", least=1, least_excluded=False, greatest=20, whole=True)
AXLE_RATING = Parameter("axle_rating", "Rating of one axle", WEIGHT)
SUSPENSION_RATING = Parameter("suspension_rating", "Rating of one axle's suspension", WEIGHT)
TIRES_PER_AXLE = Parameter("tires_per_axle", "Number of tires on one axle", greatest=16, whole=True)
TIRE_RATING = Parameter("tire_rating", "Load one tire may carry, single or dual as fitted", WEIGHT)
WHEEL_RATING = Parameter("wheel_rating", "Load one wheel may carry", WEIGHT)
AXLE_GROUP_RATING = Parameter("axle_group_rating", "Rating of all axles with suspension, tires and wheels", WEIGHT)
LOAD_INDEX = Parameter(
    "load_index", "Load index on the sidewall", least_excluded=False, greatest=150, whole=True, zero_is_value=True
)

# Counting and comparing
COUNT = Parameter("count", "How many", least=1, least_excluded=False, greatest=1000, whole=True)
EACH = Parameter("each", "Rating of one", WEIGHT)
NEEDED = Parameter("needed", "What is needed", "any unit, the same throughout")
RATED = Parameter("rated", "What is rated", "any unit, the same throughout")

# Deck and ramps
DECK_HEIGHT = Parameter("deck_height", "Height of the deck above ground", LENGTH)
TAIL_DROP = Parameter("tail_drop", "How far the tail's end lies below the deck", LENGTH)
RISE = Parameter("rise", "Height from ground to the ramp's top", LENGTH, least_excluded=False, zero_is_value=True)
RAMP_LENGTH = Parameter("ramp_length", "Length of the ramp along its slope", LENGTH)
RAMP_ANGLE = Parameter("angle", "Angle of the ramp to the ground", "degrees", greatest=90, greatest_excluded=True)
SLOPE_ANGLE = Parameter(
    "angle",
    "Angle of the slope to level",
    "degrees",
    least_excluded=False,
    greatest=90,
    greatest_excluded=True,
    zero_is_value=True,
)
CLEARANCE = Parameter("clearance", "Ground clearance half way between the wheels", LENGTH)
WHEELBASE = Parameter("wheelbase", "Distance between the wheel contacts", LENGTH)

# Identity
VIN = Parameter("vin", "Vehicle identification number, 17 characters", kind="text")
LATEST_YEAR = Parameter(
    "latest_year",
    "Latest model year that can be meant; 2039 where not stated",
    least=1980,
    least_excluded=False,
    greatest=2200,
    whole=True,
).optional
UNIT = Parameter("unit", "Unit of the weight: lb (as when left out) or kg", kind="text", choices=("lb", "kg")).optional

# Texts and ranges
OPTIONS = Parameter("options", "Options fitted, with ; between them", kind="text").optional
OPTION_NAMES = Parameter("names", "The cells that name the options", kind="range")
OPTION_WEIGHTS = Parameter("weights", "The cells with the options' weights, in the same order", kind="range")
HEADINGS = Parameter("headings", "The headings of the checks", kind="range")
VALUES = Parameter("values", "The results of the checks, in the same order", kind="range")
