"""Tie-downs, 49 CFR 393 subpart I."""

from __future__ import annotations

from ..cells.expression import Expression, Registered, lift
from .hauling_figures import C, by_weight, where_known
from .hauling_rule import Rule

INCHES_IN_A_FOOT = 12.0

TIED: dict[str, Expression] = {
    "ties": where_known(
        ("weight", "machine_length"),
        Registered(
            "LOT_TIEDOWN_COUNT",
            C("weight") / C("per_pound"),
            C("machine_length") / (INCHES_IN_A_FOOT * C("per_inch")),
            None,
            "machine",
            guarded=False,
        ),
    ),
}

TIE_RULES: tuple[Rule, ...] = (
    Rule(
        "ties_few",
        "Has the trailer enough tie-down points?",
        ("ties", "points"),
        C("ties") - C("points"),
        lift("tie-down points: ") & C("points") & " of " & C("ties"),
        "49 CFR 393.110, 393.130",
    ),
    Rule(
        "ties_weak",
        "Do the tie-down points hold it?",
        ("weight", "points", "point_rating"),
        C("weight") - C("points") * C("point_rating"),
        lift("tie-down points short together") & by_weight("ties_weak"),
        "49 CFR 393.106(d): a direct tie counts half, half the weight is needed",
    ),
)
