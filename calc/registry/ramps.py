"""RAMPS: the worksheet functions of ramps and slopes, one row each."""

from __future__ import annotations

from .. import glossary as g
from .. import ramps
from ..spec import Function
from .sources import ARITHMETIC, MOMENTS

RAMPS: tuple[Function, ...] = (
    Function(
        "LOT_RAMP_RISE",
        ramps.ramp_rise,
        (g.DECK_HEIGHT, g.TAIL_DROP.optional),
        "Height, in the unit given",
        "Height that the ramp climbs from the ground to the tail's end.",
        "deck height - tail drop",
        ARITHMETIC,
        "IF(N(tail_drop)>deck_height,#NUM!,deck_height-N(tail_drop))",
    ),
    Function(
        "LOT_RAMP_ANGLE",
        ramps.ramp_angle,
        (g.RISE, g.RAMP_LENGTH),
        "Degrees",
        "Angle of a ramp to level ground.",
        "arcsine of rise / ramp length",
        "trigonometry",
        "IF(rise>=ramp_length,#NUM!,DEGREES(ASIN(rise/ramp_length)))",
    ),
    Function(
        "LOT_RAMP_LENGTH",
        ramps.ramp_length,
        (g.RISE, g.RAMP_ANGLE),
        "Length along the slope, in the unit of the rise",
        "Length of ramp that brings it to an angle.",
        "rise / sine of angle",
        "trigonometry",
        "rise/SIN(RADIANS(angle))",
    ),
    Function(
        "LOT_GRADE",
        ramps.grade,
        (g.SLOPE_ANGLE,),
        "Share, shown as per cent",
        "Grade of a slope: rise over level run.",
        "tangent of angle",
        "trigonometry",
        "TAN(RADIANS(angle))",
    ),
    Function(
        "LOT_BREAKOVER_ANGLE",
        ramps.breakover_angle,
        (g.CLEARANCE, g.WHEELBASE),
        "Degrees",
        "Sharpest break that a machine crosses without touching, its lowest point halfway between the wheels.",
        "2 × arctangent of 2 × clearance / wheelbase",
        "49 CFR 523.2, breakover angle; trigonometry",
        "2*DEGREES(ATAN(2*clearance/wheelbase))",
    ),
    Function(
        "LOT_RAMP_FORCE",
        ramps.ramp_force,
        (g.RAMP_WEIGHT, g.RAMP_LENGTH, g.HINGE_TO_CENTER, g.SPRING_MOMENT, g.LIFT_ANGLE),
        "Force at the free end, in the unit of the weight; 0 where the springs lift it alone, so stand clear",
        "Hand force at the free end that lifts a hinged ramp, with the help of its springs; never below 0.",
        "(weight × hinge to center × cosine of angle - spring moment) / length, at least 0",
        MOMENTS,
        "IF(hinge_to_center>ramp_length,#NUM!,"
        "MAX(0,(ramp_weight*hinge_to_center*COS(RADIANS(N(angle)))-N(spring_moment))/ramp_length))",
    ),
)
