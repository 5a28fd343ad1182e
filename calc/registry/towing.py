"""TOWING: the worksheet functions of towing, one row each."""

from __future__ import annotations

from .. import glossary as g
from .. import towing
from ..spec import Function
from .sources import MOMENTS

_TRUCK = (
    g.TRUCK_GVWR,
    g.TRUCK_EMPTY,
    g.PIN_SHARE,
    g.GCWR.optional,
    g.HITCH_RATING.optional,
    g.HITCH_VERTICAL.optional,
    g.REAR_AXLE_RATING.optional,
    g.REAR_AXLE_EMPTY.optional,
    g.TRUCK_WHEELBASE.optional,
    g.HITCH_OVERHANG_IF_ANY,
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

TOWING: tuple[Function, ...] = (
    Function(
        "LOT_LICENSE_GROUP",
        towing.license_group,
        (g.TRUCK_GVWR_LB, g.TRAILER_GVWR_LB, g.LABEL_GCWR_LB, g.ACTUAL_GROSS_LB, g.CARRIES),
        "A, B, C or none",
        "Group of commercial license by weight and what is carried; ask the state's licensing office.",
        "A: combination from 26,001 lb with over 10,000 lb towed; B: truck from 26,001 lb; "
        "C: neither, placards or 16 persons",
        "49 CFR 383.91(a), 383.5",
        "IF(AND(trailer_gvwr_lb>10000,MAX(truck_gvwr_lb+trailer_gvwr_lb,N(label_gcwr_lb),N(actual_gross_lb))>=26001),"
        '"A",IF(truck_gvwr_lb>=26001,"B",IF(STATED(carries),"C","none")))',
    ),
    Function(
        "LOT_BRIDGE_LIMIT",
        towing.bridge_limit,
        (g.AXLES, g.SPAN_FT, g.TANDEMS),
        "Weight on the group, pounds",
        "Greatest weight on a group of axles on the Interstate: bridge formula, single 20,000, tandem 34,000, "
        "two tandems 68,000 from 36 ft, 80,000 lb in all.",
        "500 × (span × axles / (axles - 1) + 12 × axles + 36), to the nearest 500, a half down; "
        "span above 8 and below 9 ft counts 8",
        "23 USC 127; 23 CFR 658.5, 658.17",
        "IF(AND(STATED(tandems),axles<4),#NUM!,IF(OR(axles=1,ROUND(span_ft,9)<=40/12),20000,"
        "IF(ROUND(span_ft,9)<=8,34000,MIN(80000,20000*axles,MAX(IF(AND(STATED(tandems),ROUND(span_ft,9)>=36),68000,0),"
        "500*(-INT(0.5-(IF(ROUND(span_ft,9)<9,8,INT(ROUND(span_ft,9)+0.5))*axles/(axles-1)+12*axles+36))))))))",
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
