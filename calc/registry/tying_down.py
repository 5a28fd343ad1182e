"""TYING_DOWN: the worksheet functions of tying down, one row each."""

from __future__ import annotations

from .. import glossary as g
from .. import tiedowns
from ..spec import Function

# Chains: row of the size among the choices, in inches, with "in", in millimeters; column of the grade
_SIZES = ",".join(f'"{choice}"' for choice in g.CHAIN_SIZE.choices)
_SIZE = f"MOD(MATCH(LOWER(TRIM(size)),{{{_SIZES}}},0)-1,{len(g.CHAIN_INCHES)})"
_GRADE = f"MATCH(grade,{{{','.join(f'{grade:g}' for grade in tiedowns.CHAIN_GRADES)}}},0)"
_LIMIT = (
    f"INDEX({{{','.join(f'{limit or 0:g}' for row in tiedowns.CHAIN_WLL_LB for limit in row)}}},1,{_SIZE}*5+{_GRADE})"
)

TYING_DOWN: tuple[Function, ...] = (
    Function(
        "LOT_TIEDOWN_COUNT",
        tiedowns.tiedown_count,
        (g.WEIGHT_LB, g.LENGTH_FT, g.BLOCKED, g.MACHINE),
        "Number of tie-downs",
        "Least number of tie-downs by length and weight; a machine of 10,000 lb or more needs at least four.",
        "1 to 5 ft and 1,100 lb, 2 to 10 ft, 1 more per 10 ft; blocked: 1 per 10 ft; heavy machine: 4",
        "49 CFR 393.110, 393.130",
        "MAX(IF(STATED(blocked),MAX(1,ROUNDUP(ROUND(length_ft/10,9),0)),IF(AND(length_ft<=5,weight_lb<=1100),1,"
        "2+MAX(0,ROUNDUP(ROUND((length_ft-10)/10,9),0)))),IF(AND(STATED(machine),weight_lb>=10000),4,1))",
    ),
    Function(
        "LOT_TIEDOWN_WLL",
        tiedowns.tiedown_wll,
        (g.ARTICLE_WEIGHT, g.COUNT, g.TIEDOWN),
        "Working load limit of each, in the unit given",
        "Rating that each tie-down needs, so that together they hold half the weight; a direct one counts half.",
        "weight / count, direct; weight / (2 × count), indirect",
        "49 CFR 393.106(d)",
        'weight/count/IF(LOWER(TRIM(tiedown))="indirect",2,1)',
    ),
    Function(
        "LOT_CHAIN_WLL",
        tiedowns.chain_wll,
        (g.CHAIN_SIZE, g.CHAIN_GRADE),
        "Working load limit, pounds",
        "Working load limit of a chain by size (as text) and grade; a limit marked on the chain governs.",
        "table of the rule",
        "49 CFR 393.108",
        f"IF({_LIMIT}=0,#N/A,{_LIMIT})",
    ),
)
