"""The trailer's own ratings, those of its tie-downs too, against what it carries with this machine in its place."""

from __future__ import annotations

from ..cells.expression import Expression, Registered, lift
from ..cells.spreadsheet import IF
from .hauling_figures import GOOSENECK, C, by_weight, usable, where_known, word
from .hauling_rule import AT_LEAST, AT_MOST, Bound, Rule


def _axle_rule(key: str, needs: tuple[str, ...], carries: Expression, source: str) -> Rule:
    """What carries the axle load; the lighter the pin, the heavier that is."""
    return Rule(
        key,
        f"Do its {key} carry the load on them?" if key != "suspension" else "Does its suspension carry the load on it?",
        ("axle_load", *needs),
        C("axle_load") - carries,
        lift(f"trailer's {key} overloaded") & by_weight(key),
        source,
        bounds=(Bound(AT_LEAST, ("gross", *needs), C("gross") - carries, f"the {key}"),),
    )


_OF_AXLES = C("axles") * C("tires")

WEIGHT_RULES: tuple[Rule, ...] = (
    Rule(
        "gvwr",
        "Does the label allow the gross weight?",
        ("gross", "gvwr"),
        C("gross") - C("gvwr"),
        lift("above the trailer's GVWR") & by_weight("gvwr"),
        "49 CFR 567.4(g)(3)",
    ),
    _axle_rule("axles", ("axles", "axle_rating"), C("axles") * C("axle_rating"), "49 CFR 571.3 (GAWR)"),
    _axle_rule(
        "suspension", ("axles", "suspension"), C("axles") * C("suspension"), "49 CFR 571.3 (GAWR at the ground)"
    ),
    _axle_rule(
        "tires", ("axles", "tires", "tire_rating"), _OF_AXLES * C("tire_rating"), "49 CFR 571.120 S5.1.2, 393.75(f)"
    ),
    _axle_rule("wheels", ("axles", "tires", "wheel_rating"), _OF_AXLES * C("wheel_rating"), "49 CFR 571.3 (GAWR)"),
    Rule(
        "coupler",
        "Is the coupler rated for the gross weight?",
        ("gross", "coupler"),
        C("gross") - C("coupler"),
        lift("coupler overloaded") & by_weight("coupler"),
        "49 CFR 393.70; the rating stamped on it",
    ),
    Rule(
        "coupler_vertical",
        "Is the coupler rated for the weight on it?",
        ("pin", "coupler_vertical"),
        C("pin") - C("coupler_vertical"),
        lift("coupler's vertical rating passed") & by_weight("coupler_vertical"),
        "the rating stamped on it",
        bounds=(Bound(AT_MOST, ("coupler_vertical",), C("coupler_vertical"), "the coupler's vertical rating"),),
    ),
    Rule(
        "chains",
        "Do the safety chains hold the gross weight?",
        ("gross", "chains"),
        C("gross") * C("limit_chain_factor") - C("chains"),
        lift("safety chains short") & by_weight("chains"),
        "49 CFR 393.70(d); states leave goosenecks out (37 TAC 21.5)",
        applies=word("hitch").differs(GOOSENECK),
    ),
    Rule(
        "jacks",
        "Do the jacks hold the weight on the hitch?",
        ("pin", "jacks_hold"),
        C("pin") * C("limit_jack_factor") - C("jacks_hold"),
        lift("jacks short") & by_weight("jacks"),
        "common practice, no source",
        bounds=(
            Bound(
                AT_MOST,
                ("jacks_hold",),
                C("jacks_hold") / C("limit_jack_factor"),
                "the jacks",
            ),
        ),
    ),
)

INCHES_IN_A_FOOT = 12.0

HELD: dict[str, Expression] = {
    "jacks_hold": where_known(
        ("jacks",),
        IF(C("jacks").equals(0), 0, IF(usable(("jack_rating",)), C("jacks") * C("jack_rating"), "")),
    ),
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
        "Does the trailer have enough tie-down points?",
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
