"""ON_THE_ROAD: the worksheet functions of brakes, chains, flags and the labels' standards, one row each."""

from __future__ import annotations

from .. import brakes, law
from .. import glossary as g
from ..spec import Function

ON_THE_ROAD: tuple[Function, ...] = (
    Function(
        "LOT_BRAKES_NEEDED",
        brakes.brakes_needed,
        (g.GROSS_LB, g.AXLE_LOAD_LB, g.TRUCK_AXLES_LB),
        "yes or no",
        "Whether a trailer must have brakes on all wheels, and with them a breakaway device; states ask for more.",
        "no up to 3,000 lb with at most 40% of the truck's axle weights on its axles",
        "49 CFR 393.42(b)(3), 393.43(d)",
        'IF(AND(gross_lb<=3000,100*axle_load_lb<=40*truck_axles_lb),"no","yes")',
    ),
    Function(
        "LOT_SURGE_BRAKE_LIMIT",
        brakes.surge_brake_limit,
        (g.TRUCK_GVWR_LB,),
        "GVWR of the trailer, pounds",
        "Greatest rating of a trailer with surge brakes that a truck may pull; none above 20,000 lb.",
        "1.75 × truck to 12,000 lb, 1.25 × truck above it, to 20,000 lb",
        "49 CFR 393.48(d)",
        "MAX(MIN(12000,1.75*truck_gvwr_lb),MIN(20000,1.25*truck_gvwr_lb))",
    ),
    Function(
        "LOT_CHAIN_STRENGTH",
        brakes.chain_strength,
        (g.GROSS, g.COUNT, g.HITCH.optional, g.CHAIN_RULE),
        "Breaking strength of each chain, in the unit given",
        "Breaking strength that each safety chain needs; 0 behind a gooseneck. Some states ask it of each chain.",
        "weight / count; weight, where each must hold it",
        "49 CFR 393.70(d), guidance question 2; NH RSA 266:63; 37 TAC 21.5",
        'IF(LOWER(TRIM(hitch))="gooseneck",0,gross/IF(LOWER(TRIM(chain_rule))="each",1,count))',
    ),
    Function(
        "LOT_OVERHANG_FLAGS",
        law.overhang_flags,
        (g.REAR_OVERHANG_IN, g.SIDE_OVERHANG_IN, g.LOAD_WIDTH_IN),
        "Number of flags",
        "How many flags a load needs that reaches beyond the trailer; some states ask from 48 in on.",
        "none to 48 in behind and 4 in beside; else 1 to 24 in wide, 2 above",
        "49 CFR 393.87",
        "IF(AND(rear_overhang_in<=48,side_overhang_in<=4),0,IF(load_width_in<=24,1,2))",
    ),
    Function(
        "LOT_LABEL_STANDARD",
        law.label_standard,
        (g.GVWR_LB,),
        "571.110 or 571.120, as text",
        "Which federal standard rules a trailer's tires, rims and labels.",
        "571.110 to 10,000 lb GVWR, 571.120 above",
        "49 CFR 571.110, 571.120",
        'IF(gvwr_lb<=10000,"571.110","571.120")',
    ),
    Function(
        "LOT_PLACARD_LIMIT",
        law.placard_limit,
        (g.GVWR_LB,),
        "Pounds, or none",
        "Weight that may be added before the first sale without correcting the cargo placard.",
        "lesser of 1.5% of GVWR and 100 lb; none above 10,000 lb",
        "49 CFR 571.110 S10",
        'IF(gvwr_lb>10000,"none",MIN(1.5*gvwr_lb/100,100))',
    ),
)
