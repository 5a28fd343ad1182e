"""The truck: what it may pull and carry, hitch and brakes that fit, and the license that it asks for."""

from __future__ import annotations

from ..brakes import UNBRAKED_LB, UNBRAKED_SHARE_PERCENT
from ..cells.expression import Expression, Registered, lift
from ..cells.spreadsheet import AND, FIXED, IF, MAX, OR
from .hauling_figures import (
    AIR,
    BALL,
    ELECTRIC,
    GOOSENECK,
    NO_BRAKES,
    PINTLE,
    SURGE,
    C,
    by_weight,
    is_word,
    listed,
    where_known,
    word,
)
from .hauling_rule import AT_LEAST, AT_MOST, CAUTION, FREE, Bound, Rule

_UNBRAKED_SHARE = UNBRAKED_SHARE_PERCENT / 100
NOTHING = 1.0
"""A front axle with less than one pound or kilogram on it counts as lifted."""
MOMENTS = "equilibrium of moments"
_TRUCK = ("truck_wheelbase", "hitch_overhang")
_CHANGES = tuple(map(C, _TRUCK))
_TAKEN = C("taken")
_LOADED_FRONT = ("taken", "front_empty")

PULLED: dict[str, Expression] = {
    "taken": where_known(
        _TRUCK,
        IF(C("hitch_overhang") > 0 - C("truck_wheelbase"), C("hitch_overhang") / C("truck_wheelbase"), ""),
    ),
    "truck_empty": where_known(("front_empty", "rear_empty"), C("front_empty") + C("rear_empty")),
    "truck_loaded": where_known(("truck_empty", "pin"), C("truck_empty") + C("pin")),
    "combination": where_known(("truck_empty", "gross"), C("truck_empty") + C("gross")),
    "rear_change": where_known(
        ("pin", *_TRUCK), Registered("LOT_REAR_AXLE_CHANGE", C("pin"), *_CHANGES, guarded=False)
    ),
    "front_change": where_known(
        ("pin", *_TRUCK), Registered("LOT_FRONT_AXLE_CHANGE", C("pin"), *_CHANGES, guarded=False)
    ),
    "rear_load": where_known(("rear_empty", "rear_change"), C("rear_empty") + C("rear_change")),
    "front_load": where_known(("front_empty", "front_change"), C("front_empty") + C("front_change")),
    "braked_weight": where_known(("gvwr", "gross"), MAX(C("gvwr"), C("gross")) / C("per_pound")),
    "license": where_known(
        ("truck_gvwr", "gvwr", "gross", "truck_empty", "label_gcwr"),
        Registered(
            "LOT_LICENSE_GROUP",
            C("truck_gvwr") / C("per_pound"),
            MAX(C("gvwr"), C("gross")) / C("per_pound"),
            C("label_gcwr") / C("per_pound"),
            C("combination") / C("per_pound"),
            guarded=False,
        ),
    ),
}
"""What pin and trailer put on the truck; ``taken`` is the share of the pin that it takes off the front axle."""


def _off_front(weight: Expression) -> Expression:
    """The pin that takes so much off the front axle; none does with a hitch over or ahead of the rear axles."""
    return IF(_TAKEN > 0, weight / _TAKEN, FREE)


def _onto_front(weight: Expression) -> Expression:
    """The pin that puts so much onto the front axle; only with a hitch ahead of the rear axles does one."""
    return IF(_TAKEN < 0, weight / (0 - _TAKEN), FREE)


def _axle(end: str, bound: Expression, needs: tuple[str, ...]) -> Rule:
    key = f"{end}_axle"
    word = "truck's front axle" if end == "front" else "truck's rear axles"
    return Rule(
        key,
        f"Does the {word} carry the load?" if end == "front" else f"Do the {word} carry the load?",
        (f"{end}_load", f"{end}_rating"),
        C(f"{end}_load") - C(f"{end}_rating"),
        lift(f"{word} overloaded") & by_weight(key),
        f"49 CFR 571.3 (GAWR); {MOMENTS}",
        bounds=(Bound(AT_MOST, needs, bound, f"the {word}"),),
    )


TRUCK_RULES: tuple[Rule, ...] = (
    Rule(
        "front_lifted",
        "Does weight stay on the truck's front axle?",
        ("front_load",),
        NOTHING - C("front_load"),
        "the hitch lifts the truck's front axle: it does not steer",
        MOMENTS,
        bounds=(
            Bound(AT_MOST, _LOADED_FRONT, _off_front(C("front_empty") - NOTHING), "the truck's front axle, lifted"),
        ),
    ),
    Rule(
        "truck_gvwr",
        "Does the truck's label allow its weight with the pin?",
        ("truck_loaded", "truck_gvwr"),
        C("truck_loaded") - C("truck_gvwr"),
        lift("above the truck's GVWR") & by_weight("truck_gvwr"),
        "49 CFR 571.3 (GVWR)",
        bounds=(Bound(AT_MOST, ("truck_empty", "truck_gvwr"), C("truck_gvwr") - C("truck_empty"), "the truck's GVWR"),),
    ),
    Rule(
        "gcwr",
        "Does the truck's combination rating allow both?",
        ("combination", "gcwr"),
        C("combination") - C("gcwr"),
        lift("above the truck's GCWR") & by_weight("gcwr"),
        "49 CFR 571.3 (GCWR)",
    ),
    Rule(
        "hitch_rating",
        "Is the truck's hitch rated for the gross weight?",
        ("gross", "hitch_rating"),
        C("gross") - C("hitch_rating"),
        lift("truck's hitch overloaded") & by_weight("hitch_rating"),
        "the rating stamped on it",
    ),
    Rule(
        "hitch_vertical",
        "Is the truck's hitch rated for the weight on it?",
        ("pin", "hitch_vertical"),
        C("pin") - C("hitch_vertical"),
        lift("truck's hitch vertical rating passed") & by_weight("hitch_vertical"),
        "the rating stamped on it",
        bounds=(Bound(AT_MOST, ("hitch_vertical",), C("hitch_vertical"), "the truck hitch's vertical rating"),),
    ),
    _axle(
        "rear",
        (C("rear_rating") - C("rear_empty")) / (1 + _TAKEN),
        ("taken", "rear_rating", "rear_empty"),
    ),
    _axle("front", _onto_front(C("front_rating") - C("front_empty")), (*_LOADED_FRONT, "front_rating")),
    Rule(
        "front_axle_empty",
        "Is the truck's front axle within its rating without a trailer?",
        ("front_empty", "front_rating"),
        C("front_empty") - C("front_rating"),
        lift("truck's front axle overloaded without a trailer") & by_weight("front_axle_empty"),
        "49 CFR 571.3 (GAWR)",
    ),
    Rule(
        "front_share",
        "Does enough weight stay on the truck's front axle to steer?",
        ("front_load", "truck_loaded"),
        C("truck_loaded") * C("limit_front_share") - C("front_load"),
        lift("light on the truck's front axle")
        & ": "
        & FIXED(C("front_load") / C("truck_loaded") * 100, 0)
        & "% of its weight",
        "EU 1230/2012 Annex I, 20% of the laden mass; no US figure found",
        CAUTION,
        bounds=(
            Bound(
                AT_MOST,
                (*_LOADED_FRONT, "truck_empty"),
                IF(
                    C("limit_front_share") + _TAKEN > 0,
                    (C("front_empty") - C("limit_front_share") * C("truck_empty")) / (C("limit_front_share") + _TAKEN),
                    FREE,
                ),
                "",
            ),
        ),
    ),
)

_BEHIND = [listed("hitches", kind) for kind in (PINTLE, BALL)]
"""Whether the truck has a hitch behind it; a gooseneck's is over its rear axles, and rated for other weights."""
_BRAKES_FIT = "49 CFR 393.40, 393.43"
COUPLING_RULES: tuple[Rule, ...] = (
    Rule(
        "hitch",
        "Does the truck have the trailer's kind of hitch?",
        ("hitch", "hitches"),
        IF(listed("hitches", C("hitch")), 0, 1),
        lift("truck has no ") & C("hitch") & " hitch (truck: " & C("hitches") & ")",
        "49 CFR 393.70",
        unsure=AND(listed("hitches", C("hitch")), listed("hitches", GOOSENECK), OR(*_BEHIND)),
        reason="which of the truck's hitches its overhang and ratings are for: give a gooseneck's a row of its own",
    ),
    Rule(
        "coupler_size",
        "Does the truck have the trailer's coupler size?",
        ("coupler_size", "coupler_sizes"),
        IF(listed("coupler_sizes", C("coupler_size")), 0, 1),
        lift("coupler size differs: trailer ") & C("coupler_size") & ", truck " & C("coupler_sizes"),
        "49 CFR 393.70; the size stamped on ball and coupler",
    ),
    Rule(
        "brake_control",
        "Can the truck work the trailer's brakes?",
        ("brakes", "brake_controls"),
        IF(listed("brake_controls", C("brakes")), 0, 1),
        lift("truck cannot work the trailer's brakes: ") & word("brakes"),
        _BRAKES_FIT,
        applies=is_word("brakes", ELECTRIC, AIR),
    ),
    Rule(
        "surge",
        "Are surge brakes allowed at this weight behind this truck?",
        ("braked_weight", "truck_gvwr"),
        C("braked_weight") - Registered("LOT_SURGE_BRAKE_LIMIT", C("truck_gvwr") / C("per_pound"), guarded=False),
        "surge brakes are not allowed at this weight behind this truck (49 CFR 393.48(d))",
        "49 CFR 393.48(d)",
        applies=is_word("brakes", SURGE),
    ),
    Rule(
        "unbraked",
        "Is the trailer light enough to have no brakes?",
        ("gross",),
        C("gross") - UNBRAKED_LB * C("per_pound"),
        lift("too heavy to have no brakes") & by_weight("unbraked") & " (49 CFR 393.42)",
        "49 CFR 393.42(b)(3)",
        applies=is_word("brakes", NO_BRAKES),
    ),
    Rule(
        "unbraked_share",
        "Are its axles light enough beside the truck's to have no brakes?",
        ("axle_load", "truck_empty"),
        C("axle_load") - _UNBRAKED_SHARE * C("truck_empty"),
        lift("too heavy beside the truck to have no brakes") & by_weight("unbraked_share") & " (49 CFR 393.42)",
        "49 CFR 393.42(b)(3)",
        applies=is_word("brakes", NO_BRAKES),
        bounds=(
            Bound(
                AT_LEAST,
                ("gross", "truck_empty"),
                C("gross") - _UNBRAKED_SHARE * C("truck_empty"),
                "no brakes beside this truck",
            ),
        ),
    ),
)

LICENSE = Rule(
    "license",
    "Does it need a commercial license?",
    ("license",),
    IF(C("license").equals("none"), 0, 1),
    lift("commercial license, group ") & C("license") & ", by weight (49 CFR 383.91)",
    "49 CFR 383.91(a), 383.5",
    CAUTION,
)
