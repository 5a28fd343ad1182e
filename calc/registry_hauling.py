"""HAULING: the worksheet functions of hauling a machine, one row each, as in ``registry.py``, which holds them too."""

from __future__ import annotations

from dataclasses import replace

from . import clearance, placement, tiedowns, towing
from . import glossary as g
from . import glossary_hauling as h
from .spec import Function

MOMENTS = "equilibrium of moments"
GEOMETRY = "plane geometry"
_SWEEP = "a sweep over many positions; the What-if sheet makes it on a helper sheet, a position a row"

_BEAM = (h.EMPTY_PIN, h.COUPLER_TO_AXLES, h.LOAD_WEIGHT)
_PLACED = (g.EMPTY_WEIGHT, *_BEAM, h.COUPLER_TO_LOAD)
_WINDOW = (
    g.EMPTY_WEIGHT,
    *_BEAM,
    replace(g.LOW_PIN_SHARE, meaning="Least share of the gross on the hitch, such as 0.10"),
    replace(g.HIGH_PIN_SHARE, meaning="Greatest share of the gross on the hitch, such as 0.15"),
    g.AXLE_GROUP_RATING.optional,
    g.COUPLER_VERTICAL.optional,
)
_TRAILER = (g.DECK_HEIGHT, h.TAIL_DROP_OR_NONE, h.TAIL_LENGTH, g.RAMP_LENGTH)
_DRIVE_ON = (
    *_TRAILER,
    g.WHEELBASE,
    h.GROUND_CLEARANCE,
    h.FRONT_OVERHANG,
    h.FRONT_CLEARANCE,
    h.REAR_OVERHANG,
    h.REAR_CLEARANCE,
)
_TRUCK = (
    h.TRUCK_GVWR,
    h.TRUCK_EMPTY,
    g.PIN_SHARE,
    h.GCWR.optional,
    h.HITCH_RATING.optional,
    h.HITCH_VERTICAL.optional,
    h.REAR_AXLE_RATING.optional,
    h.REAR_AXLE_EMPTY.optional,
    h.TRUCK_WHEELBASE.optional,
    h.HITCH_OVERHANG_IF_ANY,
)

# Placing: the least and greatest pin that the limits allow
_LEAST = (
    "MAX(low_pin_share*(empty_weight+load_weight),"
    "IF(STATED(axle_group_rating),empty_weight+load_weight-axle_group_rating,0))"
)
_HIGHEST = "MIN(high_pin_share*(empty_weight+load_weight),IF(STATED(coupler_vertical),coupler_vertical,9E+99))"
_GREATEST = f"MIN(empty_pin+load_weight,{_HIGHEST})"
_NO_PLACE = (
    "IF(OR(empty_pin>empty_weight,low_pin_share>high_pin_share),#NUM!,"
    f"IF({_LEAST}-{_GREATEST}>{placement.ROUNDING:G}*(empty_weight+load_weight),#N/A,"
)
_BEHIND_FRONT_AXLE = "IF(hitch_overhang<=-wheelbase,#NUM!,"

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

# Chains: row of the size among the choices, in inches, with "in", in millimetres; column of the grade
_SIZES = ",".join(f'"{choice}"' for choice in h.CHAIN_SIZE.choices)
_SIZE = f"MOD(MATCH(LOWER(TRIM(size)),{{{_SIZES}}},0)-1,{len(h.CHAIN_INCHES)})"
_GRADE = f"MATCH(grade,{{{','.join(f'{grade:g}' for grade in tiedowns.CHAIN_GRADES)}}},0)"
_LIMIT = (
    f"INDEX({{{','.join(f'{limit or 0:g}' for row in tiedowns.CHAIN_WLL_LB for limit in row)}}},{_SIZE}*5+{_GRADE})"
)

# Towing: what each rating of the truck allows
_GVWR = "(truck_gvwr-truck_empty)/pin_share"
_GCWR = "IF(STATED(gcwr),gcwr-truck_empty,9E+99)"
_HITCH = "IF(STATED(hitch_rating),hitch_rating,9E+99)"
_VERTICAL = "IF(STATED(hitch_vertical),hitch_vertical/pin_share,9E+99)"
_REAR = (
    "IF(AND(STATED(rear_axle_rating),STATED(rear_axle_empty),OR(STATED(wheelbase),NOT(STATED(hitch_overhang)))),"
    "(rear_axle_rating-rear_axle_empty)/(pin_share*(1+IF(STATED(hitch_overhang),hitch_overhang/wheelbase,0))),9E+99)"
)
_TRUCK_WRONG = (
    "IF(OR(truck_empty>truck_gvwr,IF(STATED(gcwr),truck_empty>gcwr,FALSE),"
    "IF(AND(STATED(rear_axle_rating),STATED(rear_axle_empty)),rear_axle_empty>rear_axle_rating,FALSE),"
    "IF(AND(STATED(hitch_overhang),STATED(wheelbase)),hitch_overhang<=-wheelbase,FALSE)),#NUM!,"
)

HAULING: tuple[Function, ...] = (
    Function(
        "LOT_PIN_AT",
        placement.pin_at,
        _PLACED,
        "Weight on the hitch, in the unit given; negative lifts it",
        "Weight on the hitch with the load's centre of gravity at a distance behind the coupler.",
        "empty pin + load × (coupler to axles - coupler to load) / coupler to axles",
        MOMENTS,
        "IF(empty_pin>empty_weight,#NUM!,empty_pin+load_weight*(coupler_to_axles-coupler_to_load)/coupler_to_axles)",
    ),
    Function(
        "LOT_AXLES_AT",
        placement.axles_at,
        _PLACED,
        "Weight on the axle group, in the unit given",
        "Weight on the trailer's axles with the load's centre of gravity at a distance behind the coupler.",
        "empty weight - empty pin + load × coupler to load / coupler to axles",
        MOMENTS,
        "IF(empty_pin>empty_weight,#NUM!,empty_weight-empty_pin+load_weight*coupler_to_load/coupler_to_axles)",
    ),
    Function(
        "LOT_FOREMOST",
        placement.foremost,
        _WINDOW,
        "Distance behind the coupler, in the unit given",
        "Foremost place of the load's centre: the pin share not above the high one, the pin not above its rating. "
        "#N/A where no place meets every limit.",
        "coupler to axles × (empty pin + load - greatest pin) / load",
        MOMENTS,
        f"{_NO_PLACE}coupler_to_axles*MAX(0,empty_pin+load_weight-{_HIGHEST})/load_weight))",
    ),
    Function(
        "LOT_REARMOST",
        placement.rearmost,
        _WINDOW,
        "Distance behind the coupler, in the unit given",
        "Rearmost place of the load's centre: the pin share not below the low one, the axles not above their rating. "
        "#N/A where no place meets every limit.",
        "coupler to axles × (empty pin + load - least pin) / load",
        MOMENTS,
        f"{_NO_PLACE}MAX(0,coupler_to_axles*(empty_pin+load_weight-{_LEAST})/load_weight)))",
    ),
    Function(
        "LOT_FROM_DECK",
        placement.from_deck,
        (h.COUPLER_TO_LOAD, h.COUPLER_TO_DECK),
        "Distance behind the deck's front edge, in the unit given; negative ahead of it",
        "Where the load's centre stands on the deck, measured from the deck's front edge back.",
        "coupler to load - coupler to deck",
        "arithmetic",
        "coupler_to_load-coupler_to_deck",
    ),
    Function(
        "LOT_LOADING_PIN",
        placement.loading_pin,
        (g.EMPTY_WEIGHT, *_BEAM, h.COUPLER_TO_TAIL),
        "Weight on the hitch, in the unit given; negative lifts the truck",
        "Weight on the hitch with the whole load over the tail's end while it drives on; negative lifts the truck.",
        "empty pin + load × (coupler to axles - coupler to tail) / coupler to axles",
        MOMENTS,
        "IF(empty_pin>empty_weight,#NUM!,empty_pin+load_weight*(coupler_to_axles-coupler_to_tail)/coupler_to_axles)",
    ),
    Function(
        "LOT_REAR_AXLE_CHANGE",
        placement.rear_axle_change,
        (h.PIN, h.TRUCK_WHEELBASE, h.HITCH_OVERHANG),
        "Weight added, in the unit given",
        "What the weight on the hitch adds to the truck's rear axles.",
        "pin × (1 + overhang / wheelbase)",
        MOMENTS,
        f"{_BEHIND_FRONT_AXLE}pin*(1+hitch_overhang/wheelbase))",
    ),
    Function(
        "LOT_FRONT_AXLE_CHANGE",
        placement.front_axle_change,
        (h.PIN, h.TRUCK_WHEELBASE, h.HITCH_OVERHANG),
        "Weight added, in the unit given; negative takes weight off the steering",
        "What the weight on the hitch adds to the truck's front axle; negative takes weight off.",
        "- pin × overhang / wheelbase",
        MOMENTS,
        f"{_BEHIND_FRONT_AXLE}0-pin*hitch_overhang/wheelbase)",
    ),
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
        (*_TRAILER, h.PLACE),
        "Degrees; negative where the way on is steeper",
        "Change of slope at the ramp's foot, the ramp's top or the tail's top; a tracked machine tips over it.",
        "ramp angle; ramp angle - tail angle; tail angle",
        GEOMETRY,
        f'IF({_TRAILER_WRONG},#NUM!,DEGREES(IF(LOWER(TRIM(place))="tail top",0,ASIN{_RAMP})'
        f'-IF(LOWER(TRIM(place))="foot",0,IF(LOWER(TRIM(place))="tail top",-1,1)*ASIN{_TAIL})))',
    ),
    Function(
        "LOT_TIEDOWN_COUNT",
        tiedowns.tiedown_count,
        (h.WEIGHT_LB, h.LENGTH_FT, h.BLOCKED, h.MACHINE),
        "Number of tie-downs",
        "Least number of tie-downs by length and weight; a machine above 10,000 lb needs at least four.",
        "1 to 5 ft and 1,100 lb, 2 to 10 ft, 1 more per 10 ft; blocked: 1 per 10 ft; heavy machine: 4",
        "49 CFR 393.110, 393.130",
        "MAX(IF(STATED(blocked),MAX(1,ROUNDUP(ROUND(length_ft/10,9),0)),IF(AND(length_ft<=5,weight_lb<=1100),1,"
        "2+MAX(0,ROUNDUP(ROUND((length_ft-10)/10,9),0)))),IF(AND(STATED(machine),weight_lb>10000),4,1))",
    ),
    Function(
        "LOT_TIEDOWN_WLL",
        tiedowns.tiedown_wll,
        (h.ARTICLE_WEIGHT, g.COUNT, h.TIEDOWN),
        "Working load limit of each, in the unit given",
        "Rating that each tie-down needs, so that together they hold half the weight; a direct one counts half.",
        "weight / count, direct; weight / (2 × count), indirect",
        "49 CFR 393.106(d)",
        'weight/count/IF(LOWER(TRIM(tiedown))="indirect",2,1)',
    ),
    Function(
        "LOT_CHAIN_WLL",
        tiedowns.chain_wll,
        (h.CHAIN_SIZE, h.CHAIN_GRADE),
        "Working load limit, pounds",
        "Working load limit of a chain by size (as text) and grade; a limit marked on the chain governs.",
        "table of the rule",
        "49 CFR 393.108",
        f"IF({_LIMIT}=0,#N/A,{_LIMIT})",
    ),
    Function(
        "LOT_LICENSE_GROUP",
        towing.license_group,
        (h.TRUCK_GVWR_LB, h.TRAILER_GVWR_LB, h.STATED_GCWR_LB, h.ACTUAL_GROSS_LB),
        "A, B or none",
        "Group of commercial license by weight alone; ask the state's licensing office.",
        "A: combination from 26,001 lb with over 10,000 lb towed; B: truck from 26,001 lb",
        "49 CFR 383.91(a), 383.5",
        "IF(AND(trailer_gvwr_lb>10000,MAX(truck_gvwr_lb+trailer_gvwr_lb,N(stated_gcwr_lb),N(actual_gross_lb))>=26001),"
        '"A",IF(truck_gvwr_lb>=26001,"B","none"))',
    ),
    Function(
        "LOT_BRIDGE_LIMIT",
        towing.bridge_limit,
        (g.AXLES, h.SPAN_FT),
        "Weight on the group, pounds",
        "Greatest weight on a group of axles on the Interstate: bridge formula, single 20,000, tandem 34,000, "
        "80,000 lb in all.",
        "500 × (span × axles / (axles - 1) + 12 × axles + 36), to the nearest 500, a half down",
        "23 USC 127; 23 CFR 658.17",
        "IF(OR(axles=1,span_ft<=40/12),20000,IF(span_ft<=8,34000,"
        "MIN(80000,20000*axles,500*(-INT(0.5-(ROUND(span_ft,0)*axles/(axles-1)+12*axles+36))))))",
    ),
    Function(
        "LOT_TRUCK_LIMIT",
        towing.truck_limit,
        _TRUCK,
        "Gross weight of the trailer, in the unit given",
        "Heaviest trailer gross that every stated rating of the truck allows.",
        "least of (GVWR - empty) / share, GCWR - empty, hitch, vertical / share, "
        "(rear rating - rear empty) / (share × (1 + overhang / wheelbase))",
        "49 CFR 571.3 for GVWR and GAWR; " + MOMENTS,
        f"{_TRUCK_WRONG}MIN({_GVWR},{_GCWR},{_HITCH},{_VERTICAL},{_REAR}))",
    ),
    Function(
        "LOT_TRUCK_LIMITED_BY",
        towing.truck_limited_by,
        _TRUCK,
        "GVWR, GCWR, hitch, hitch vertical or rear axle",
        "Which rating of the truck sets the limit; the first of those words where equal.",
        "the rating with the least gross",
        "49 CFR 571.3 for GVWR and GAWR; " + MOMENTS,
        f'{_TRUCK_WRONG}IF({_REAR}<MIN({_GVWR},{_GCWR},{_HITCH},{_VERTICAL}),"rear axle",'
        f'IF({_VERTICAL}<MIN({_GVWR},{_GCWR},{_HITCH}),"hitch vertical",'
        f'IF({_HITCH}<MIN({_GVWR},{_GCWR}),"hitch",IF({_GCWR}<{_GVWR},"GCWR","GVWR")))))',
    ),
)
