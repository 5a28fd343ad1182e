"""DRIVING_ON: the worksheet functions of driving on, one row each."""

from __future__ import annotations

from .. import clearance
from .. import glossary as g
from ..spec import Function
from .sources import GEOMETRY

_SWEEP = "a sweep over many positions; the What-if sheet makes it on a helper sheet, a position a row"

_TRAILER = (g.DECK_HEIGHT, g.TAIL_DROP_OR_NONE, g.TAIL_LENGTH, g.RAMP_LENGTH)
_DRIVE_ON = (
    *_TRAILER,
    g.WHEELBASE,
    g.GROUND_CLEARANCE,
    g.FRONT_OVERHANG,
    g.FRONT_CLEARANCE,
    g.REAR_OVERHANG,
    g.REAR_CLEARANCE,
)

# Driving on: sines of ramp and tail, what is refused, the turn at a break
_RAMP = "((deck_height-tail_drop)/ramp_length)"
_TAIL = "(tail_drop/MAX(tail_length,1E-99))"
_TRAILER_WRONG = "OR(tail_drop>deck_height,AND(tail_drop>0,tail_drop>=tail_length),deck_height-tail_drop>=ramp_length)"
_CLEARANCE_MISSING = (
    "OR(AND(STATED(front_overhang),NOT(STATED(front_clearance))),"
    "AND(STATED(rear_overhang),NOT(STATED(rear_clearance))))"
)
_TURN_AT_RAMP = f"(ASIN{_RAMP}-ASIN(tail_drop/MAX(wheelbase,tail_length)))"
_TURN_AT_TAIL = (
    f"ASIN(MIN(1,MAX({_TAIL},IF(tail_length<wheelbase,"
    f"(tail_drop+(wheelbase-tail_length*SQRT(1-{_RAMP}^2))*{_RAMP})/wheelbase,0))))"
)


def _bound(belly: str, front: str, rear: str) -> str:
    """The least of what is left under the belly and under the overhangs that there are."""
    return (
        f'IF({_TRAILER_WRONG},#NUM!,IF({_CLEARANCE_MISSING},"",MIN(ground_clearance-{belly},'
        f"IF(STATED(front_overhang),front_clearance-{front},9E+99),"
        f"IF(STATED(rear_overhang),rear_clearance-{rear},9E+99))))"
    )


def _lift(turn: str, room: str) -> str:
    """How far a break comes up between contacts equally far from it, if there is room for the rear one."""
    return f"IF({room}>=wheelbase/2/COS({turn}/2),wheelbase/2*TAN({turn}/2),0)"


_AT_LEAST = _bound(
    f"wheelbase/2*MAX(0,TAN({_TURN_AT_RAMP}/2),TAN({_TURN_AT_TAIL}/2))",
    f"MIN(deck_height,front_overhang*TAN(ASIN(MAX({_RAMP},{_TAIL}))))",
    f"rear_overhang*TAN(ASIN(MIN(deck_height/wheelbase,MAX({_RAMP},{_TAIL}))))",
)
_AT_MOST = _bound(
    f"MAX(0,{_lift(f'(ASIN{_RAMP}-ASIN{_TAIL})', 'ramp_length')},"
    f"{_lift(f'ASIN{_TAIL}', f'IF({_TAIL}<={_RAMP},deck_height/MAX({_TAIL},1E-99),tail_length)')},"
    f"{_lift(f'ASIN{_RAMP}', f'(ramp_length+tail_drop/MAX({_RAMP},1E-99))')}-tail_drop/2/COS(ASIN{_RAMP}/2))",
    f"MIN(deck_height-tail_drop,front_overhang*TAN(ASIN{_RAMP}))",
    "rear_overhang*TAN(ASIN((deck_height-tail_drop)/MAX(wheelbase,ramp_length)))",
)

DRIVING_ON: tuple[Function, ...] = (
    Function(
        "LOT_RAMP_CLEARANCE",
        clearance.ramp_clearance,
        _DRIVE_ON,
        "Gap, in the unit given; negative touches",
        "Least gap under a wheeled machine's belly and overhangs while it drives on forward; negative touches.",
        "exact least over the whole drive-on",
        GEOMETRY,
        None,
        _SWEEP,
    ),
    Function(
        "LOT_RAMP_TOUCH",
        clearance.ramp_touch,
        _DRIVE_ON,
        "Text, such as belly at the ramp's top",
        "Where the least gap of the drive-on is: which part of the machine, at which break.",
        "place of the least gap",
        GEOMETRY,
        None,
        _SWEEP,
    ),
    Function(
        "LOT_CLEARANCE_AT_LEAST",
        clearance.clearance_at_least,
        _DRIVE_ON,
        "Gap, in the unit given; from 0 up it does not touch",
        "A gap that a wheeled machine surely keeps while it drives on forward, by closed forms; below 0 look closer.",
        "clearances less the most that breaks and slopes can take away",
        GEOMETRY,
        _AT_LEAST,
    ),
    Function(
        "LOT_CLEARANCE_AT_MOST",
        clearance.clearance_at_most,
        _DRIVE_ON,
        "Gap, in the unit given; below 0 it touches",
        "A gap that a wheeled machine surely comes down to while it drives on forward, by closed forms.",
        "clearances less what breaks and slopes take away in known stances",
        GEOMETRY,
        _AT_MOST,
    ),
    Function(
        "LOT_BREAK_ANGLE",
        clearance.break_angle,
        (*_TRAILER, g.PLACE),
        "Degrees; negative where the way on is steeper",
        "Change of slope at the ramp's foot, the ramp's top or the tail's top; a tracked machine tips over it.",
        "ramp angle; ramp angle - tail angle; tail angle",
        GEOMETRY,
        f'IF({_TRAILER_WRONG},#NUM!,DEGREES(IF(LOWER(TRIM(place))="tail top",0,ASIN{_RAMP})'
        f'-IF(LOWER(TRIM(place))="foot",0,IF(LOWER(TRIM(place))="tail top",-1,1)*ASIN{_TAIL})))',
    ),
)
