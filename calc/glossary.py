"""The words of the trade: every parameter of every function, defined once.

A function's signature, its range checks, the spreadsheet guards and the wizard texts all come from here. Weights go in
any one unit throughout a call, lengths likewise; where a law fixes a figure the name says the unit.
"""

from __future__ import annotations

from dataclasses import replace

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
LIFT_ANGLE = replace(
    SLOPE_ANGLE,
    meaning="Angle of the ramp to level; level, where it is heaviest, if not stated",
    greatest_excluded=False,
    zero_is_value=False,
    required=False,
)
RAMP_WEIGHT = Parameter("ramp_weight", "Weight of the one ramp that is lifted", WEIGHT)
HINGE_TO_CENTER = Parameter("hinge_to_center", "From the hinge to the ramp's center of gravity", LENGTH)
SPRING_MOMENT = Parameter(
    "spring_moment", "Moment of the ramp's springs about the hinge, at that angle", "weight times length, as the others"
).optional
CLEARANCE = Parameter("clearance", "Ground clearance halfway between the wheels", LENGTH)
WHEELBASE = Parameter("wheelbase", "Distance between the wheel contacts", LENGTH)

# Scale tickets
TRUCK_ALONE = Parameter("truck_alone", "Ticket of the truck without the trailer; driver and fuel as hitched", WEIGHT)
TRUCK_HITCHED = Parameter(
    "truck_hitched", "Ticket of the truck's axles, trailer coupled and its axles off the scale", WEIGHT
)
TRAILER_HITCHED = Parameter("trailer_hitched", "Ticket of the trailer's axles, coupled", WEIGHT)
TRAILER_ALONE = Parameter("trailer_alone", "Ticket of the whole trailer, uncoupled", WEIGHT)
FRONT_WEIGHT = Parameter("front_weight", "Ticket of the machine's front axle", WEIGHT)
REAR_WEIGHT = Parameter("rear_weight", "Ticket of the machine's rear axle", WEIGHT)

# Deck boards
DECK_LENGTH = Parameter("deck_length", "Length of the wooden deck", "feet (meters for kg)")
DECK_WIDTH = Parameter("deck_width", "Width of the wooden deck", "inches (millimeters for kg)")
BOARD_THICKNESS = Parameter(
    "board_thickness", "Actual thickness of the boards: nominal 2 in is 1.5 in", "inches (millimeters for kg)"
)
SPECIFIC_GRAVITY = Parameter(
    "specific_gravity",
    "Specific gravity: oven-dry weight, volume at the moisture; at 12% shortleaf pine 0.51, slash pine 0.59, "
    "Douglas-fir 0.48, red oak 0.63, white oak 0.68, apitong 0.64 to 0.72",
    greatest=1.5,
)
MOISTURE = Parameter(
    "moisture",
    "Moisture as a share of the oven-dry weight, such as 0.15 or 15%; 0.12 (air-dry) where not stated",
    "share",
    greatest=3,
).optional

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

# Placing the load
EMPTY_PIN = Parameter(
    "empty_pin", "Weight of the empty trailer on the hitch", WEIGHT, least_excluded=False, zero_is_value=True
)
COUPLER_TO_AXLES = Parameter("coupler_to_axles", "From the coupler back to the middle of the axle group", LENGTH)
LOAD_WEIGHT = Parameter("load_weight", "Weight of the machine or other load", WEIGHT)
COUPLER_TO_LOAD = Parameter(
    "coupler_to_load",
    "From the coupler back to the load's center of gravity",
    LENGTH,
    least_excluded=False,
    zero_is_value=True,
)
COUPLER_TO_DECK = Parameter("coupler_to_deck", "From the coupler back to the deck's front edge", LENGTH)
COUPLER_TO_TAIL = Parameter("coupler_to_tail", "From the coupler back to the tail's end, ramps aside", LENGTH)

# The truck
PIN = Parameter(
    "pin",
    "Weight on the hitch; negative where it lifts",
    WEIGHT,
    least=-LARGEST,
    least_excluded=False,
    zero_is_value=True,
)
TRUCK_WHEELBASE = Parameter("wheelbase", "From the truck's front axle to the middle of its rear axles", LENGTH)
HITCH_OVERHANG = Parameter(
    "hitch_overhang",
    "From the middle of the rear axles back to the hitch; negative ahead of them",
    LENGTH,
    least=-LARGEST,
    least_excluded=False,
    zero_is_value=True,
)
HITCH_OVERHANG_IF_ANY = replace(
    HITCH_OVERHANG, meaning=f"{HITCH_OVERHANG.meaning}; over them where not stated", zero_is_value=False, required=False
)
TRUCK_GVWR = Parameter("truck_gvwr", "Gross vehicle weight rating of the truck", WEIGHT)
TRUCK_EMPTY = Parameter("truck_empty", "Weight of the truck with driver, fuel and tools, no trailer", WEIGHT)
GCWR = Parameter("gcwr", "Gross combination weight rating of the truck", WEIGHT)
HITCH_RATING = Parameter("hitch_rating", "Greatest trailer gross that the truck's hitch is rated for", WEIGHT)
HITCH_VERTICAL = Parameter("hitch_vertical", "Greatest downward load that the truck's hitch is rated for", WEIGHT)
REAR_AXLE_RATING = Parameter("rear_axle_rating", "Rating of the truck's rear axles together", WEIGHT)
REAR_AXLE_EMPTY = Parameter("rear_axle_empty", "Weight on the rear axles with driver and fuel, no trailer", WEIGHT)

# Driving on
TAIL_DROP_OR_NONE = replace(
    TAIL_DROP, meaning=f"{TAIL_DROP.meaning}; 0 without a tail", least_excluded=False, zero_is_value=True
)
TAIL_LENGTH = Parameter(
    "tail_length",
    "Length of the sloping tail along its slope; 0 for none",
    LENGTH,
    least_excluded=False,
    zero_is_value=True,
)
GROUND_CLEARANCE = Parameter("ground_clearance", "Least ground clearance between the wheel contacts", LENGTH)
FRONT_OVERHANG = Parameter("front_overhang", "How far the machine reaches ahead of its front contact", LENGTH).optional
FRONT_CLEARANCE = Parameter("front_clearance", "Least ground clearance of that overhang", LENGTH).optional
REAR_OVERHANG = Parameter("rear_overhang", "How far the machine reaches behind its rear contact", LENGTH).optional
REAR_CLEARANCE = Parameter("rear_clearance", "Least ground clearance of that overhang", LENGTH).optional
PLACE = Parameter(
    "place", "Which break: foot, ramp top or tail top", kind="text", choices=("foot", "ramp top", "tail top")
)

# Tying down
WEIGHT_LB = Parameter("weight_lb", "Weight of the article", "pounds")
LENGTH_FT = Parameter("length_ft", "Length of the article", "feet")
BLOCKED = Parameter(
    "blocked", "The word blocked where something keeps it from moving forward", kind="text", choices=("blocked",)
).optional
MACHINE = Parameter(
    "machine", "The word machine for wheeled or tracked machinery", kind="text", choices=("machine",)
).optional
ARTICLE_WEIGHT = Parameter("weight", "Weight of the article", WEIGHT)
TIEDOWN = Parameter(
    "tiedown",
    "direct (vehicle to article or back to the same side; as when left out) or indirect (across to the other side)",
    kind="text",
    choices=("direct", "indirect"),
).optional
CHAIN_INCHES = ("1/4", "5/16", "3/8", "7/16", "1/2", "5/8")
CHAIN_MILLIMETERS = ("7 mm", "8 mm", "10 mm", "11 mm", "13 mm", "16 mm")
CHAIN_SIZE = Parameter(
    "size",
    "Chain size as text, such as 3/8 or 10 mm; type '3/8 with the apostrophe, or the cell turns it into a date",
    kind="text",
    choices=(*CHAIN_INCHES, *(f"{size} in" for size in CHAIN_INCHES), *CHAIN_MILLIMETERS),
)
CHAIN_GRADE = Parameter("grade", "Grade marked on the chain: 30, 43, 70, 80 or 100; unmarked counts as 30")

# Driving on the road
TRUCK_GVWR_LB = Parameter(
    "truck_gvwr_lb", "Gross vehicle weight rating of the truck, or its actual weight if greater", "pounds"
)
TRAILER_GVWR_LB = Parameter(
    "trailer_gvwr_lb",
    "Gross vehicle weight rating of the trailer, or its actual weight if greater; 0 for none",
    "pounds",
    least_excluded=False,
    zero_is_value=True,
)
LABEL_GCWR_LB = Parameter(
    "label_gcwr_lb", "Combination rating on the truck's certification label; 0 or blank for none there", "pounds"
).optional
ACTUAL_GROSS_LB = Parameter("actual_gross_lb", "Actual weight of truck and trailer together", "pounds").optional
SPAN_FT = Parameter(
    "span_ft", "From the first to the last axle of the group", "feet", least_excluded=False, zero_is_value=True
)
CARRIES = Parameter(
    "carries",
    "placarded (hazardous goods) or passengers (16 or more with the driver); blank for neither",
    kind="text",
    choices=("placarded", "passengers"),
).optional
TANDEMS = Parameter(
    "tandems", "The word tandems where the axles are two tandems", kind="text", choices=("tandems",)
).optional

# Brakes, chains and labels by law
GROSS_LB = Parameter("gross_lb", "Weight of the trailer with its load", "pounds")
AXLE_LOAD_LB = Parameter("axle_load_lb", "Weight that the trailer's axles carry", "pounds")
TRUCK_AXLES_LB = Parameter("truck_axles_lb", "Weight that the truck's axles carry together, coupled", "pounds")
CHAIN_RULE = Parameter(
    "chain_rule",
    "together (federal, as when left out) or each (some states): which chains must hold the whole weight",
    kind="text",
    choices=("together", "each"),
).optional
GVWR_LB = Parameter("gvwr_lb", "Gross vehicle weight rating of the trailer", "pounds")
REAR_OVERHANG_IN = Parameter(
    "rear_overhang_in",
    "How far the load reaches behind the trailer",
    "inches",
    least_excluded=False,
    zero_is_value=True,
)
SIDE_OVERHANG_IN = Parameter(
    "side_overhang_in",
    "How far the load reaches beyond the side, the greater of both",
    "inches",
    least_excluded=False,
    zero_is_value=True,
)
LOAD_WIDTH_IN = Parameter("load_width_in", "Width of what reaches beyond", "inches")
