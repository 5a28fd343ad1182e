"""The words of hauling a machine: placing, driving on, tying down, towing. As ``glossary.py``, for those functions."""

from __future__ import annotations

from dataclasses import replace

from .glossary import LENGTH, TAIL_DROP, WEIGHT
from .spec import LARGEST, Parameter

# Placing the load
EMPTY_PIN = Parameter(
    "empty_pin", "Weight of the empty trailer on the hitch", WEIGHT, least_excluded=False, zero_is_value=True
)
COUPLER_TO_AXLES = Parameter("coupler_to_axles", "From the coupler back to the middle of the axle group", LENGTH)
LOAD_WEIGHT = Parameter("load_weight", "Weight of the machine or other load", WEIGHT)
COUPLER_TO_LOAD = Parameter(
    "coupler_to_load",
    "From the coupler back to the load's centre of gravity",
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
CHAIN_MILLIMETRES = ("7 mm", "8 mm", "10 mm", "11 mm", "13 mm", "16 mm")
CHAIN_SIZE = Parameter(
    "size",
    "Chain size as text, such as 3/8 or 10 mm; type '3/8 with the apostrophe, or the cell turns it into a date",
    kind="text",
    choices=(*CHAIN_INCHES, *(f"{size} in" for size in CHAIN_INCHES), *CHAIN_MILLIMETRES),
)
CHAIN_GRADE = Parameter("grade", "Grade marked on the chain: 30, 43, 70, 80 or 100; unmarked counts as 30")

# Driving on the road
TRUCK_GVWR_LB = Parameter("truck_gvwr_lb", "Gross vehicle weight rating of the truck", "pounds")
TRAILER_GVWR_LB = Parameter(
    "trailer_gvwr_lb",
    "Gross vehicle weight rating of the trailer, or its actual weight if greater; 0 for none",
    "pounds",
    least_excluded=False,
    zero_is_value=True,
)
STATED_GCWR_LB = Parameter("stated_gcwr_lb", "Combination rating on the truck's certification label", "pounds").optional
ACTUAL_GROSS_LB = Parameter("actual_gross_lb", "Actual weight of truck and trailer together", "pounds").optional
SPAN_FT = Parameter(
    "span_ft", "From the first to the last axle of the group", "feet", least_excluded=False, zero_is_value=True
)
