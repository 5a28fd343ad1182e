"""What the law allows on the road: height, width, axle weights; with a permit the weights are cautions.

The federal axle limits hold on the Interstate; states have their own beside them.
"""

from __future__ import annotations

from ..cells.expression import Expression, Given, Registered, lift
from ..cells.spreadsheet import AND, FIXED, IF, INT, MAX, MIN, ROUND
from ..towing import SINGLE_AXLE_FT, TANDEM_FT, TWO_TANDEMS_FT
from .hauling_figures import PLACES, YES_WORD, C, by_length, by_weight, is_word, where_known
from .hauling_rule import AT_LEAST, AT_MOST, CAUTION, FREE, Bound, Rule

AXLES = "23 CFR 658.17; 23 USC 127"
_PERMIT = is_word("permit", YES_WORD)
_FOOT = 12 * C("per_inch")
_SINGLE, _TANDEM = 12 * SINGLE_AXLE_FT * C("per_inch"), 12 * TANDEM_FT * C("per_inch")
HAIR = 1e-6
"""A spread that no axles have, so that none divides by 0."""
_TAKEN = C("taken")
_GROUP = ("rear_axles", "rear_spread", "axles", "axle_spread")
_FROM_REAR = ("hitch_overhang", "to_axles", "axle_spread")


def _at_once(axles: str, spread: str, reach: Expression) -> Expression:
    """How many of evenly spaced axles stand within a length."""
    return MIN(C(axles), 1 + INT(ROUND(reach * (C(axles) - 1) / MAX(C(spread), HAIR), PLACES)))


def _group(axles: str, spread: str) -> Expression:
    """What a group of axles may carry, from its count and the spread of its outer axles.

    Those of them within 40 in may carry a single axle's weight, those within 96 in a tandem's, each its even share.
    """
    formula = Registered("LOT_BRIDGE_LIMIT", C(axles), C(spread) / _FOOT, guarded=False) * C("per_pound")
    single = C("limit_single_axle") * C(axles) / _at_once(axles, spread, _SINGLE)
    tandem = C("limit_tandem") * C(axles) / _at_once(axles, spread, _TANDEM)
    whole = IF(C(spread) <= _TANDEM, tandem, MIN(tandem, formula))
    return where_known((axles, spread), IF(C(axles).equals(1), C("limit_single_axle"), MIN(single, whole)))


def _is_tandem(axles: str, spread: str) -> list[Expression]:
    return [
        C(axles).equals(2),
        C(spread) > _SINGLE,
        C(spread) <= _TANDEM,
    ]


def _bridge(axles: Expression, span: str) -> Expression:
    """What axles in a row may carry by the bridge formula, never more than the limit of the whole."""
    formula = Registered("LOT_BRIDGE_LIMIT", axles, C(span) / _FOOT, guarded=False) * C("per_pound")
    return MIN(C("limit_gross_federal"), formula)


_TWO_TANDEMS = AND(
    *_is_tandem("rear_axles", "rear_spread"),
    *_is_tandem("axles", "axle_spread"),
    C("inner_span") >= TWO_TANDEMS_FT * _FOOT,
)
_INNER = _bridge(C("rear_axles") + C("axles"), "inner_span")

LAWFUL: dict[str, Expression] = {
    "trailer_axles_allowed": _group("axles", "axle_spread"),
    "rear_axles_allowed": _group("rear_axles", "rear_spread"),
    "inner_span": where_known(
        (*_FROM_REAR, "rear_spread"),
        C("rear_spread") / 2 + C("hitch_overhang") + C("to_axles") * C("per_long") + C("axle_spread") / 2,
    ),
    "outer_span": where_known(
        (*_FROM_REAR, "truck_wheelbase"),
        C("truck_wheelbase") + C("hitch_overhang") + C("to_axles") * C("per_long") + C("axle_spread") / 2,
    ),
    "inner_allowed": where_known(("inner_span", *_GROUP), IF(_TWO_TANDEMS, MAX(2 * C("limit_tandem"), _INNER), _INNER)),
    "truck_span": where_known(("truck_wheelbase", "rear_spread"), C("truck_wheelbase") + C("rear_spread") / 2),
    "truck_allowed": where_known(("truck_span", "rear_axles"), _bridge(1 + C("rear_axles"), "truck_span")),
    "outer_allowed": where_known(
        ("outer_span", "rear_axles", "axles"), _bridge(1 + C("rear_axles") + C("axles"), "outer_span")
    ),
    "loaded_height": where_known(("deck_height", "machine_height"), C("deck_height") + C("machine_height")),
    "loaded_width": where_known(("machine_width", "trailer_width"), MAX(C("machine_width"), C("trailer_width"))),
}


def _weight_rule(
    key: str, asks: str, load: Given, allowed: str, needs: tuple[str, ...], words: str, *bounds: Bound
) -> Rule:
    """A legal weight: no without a permit."""
    return Rule(
        key,
        asks,
        (*needs, allowed) if not allowed.startswith("limit_") else needs,
        lift(load) - C(allowed),
        lift(words) & by_weight(key),
        AXLES,
        eased=_PERMIT,
        bounds=bounds,
    )


_INNER_LOAD = C("combination") - C("front_load")
_INSIDE = ("combination", "front_empty", "taken", "inner_allowed")
_ROOM_INSIDE = C("inner_allowed") - C("combination") + C("front_empty")
"""What the pin may take off the front axle until the axles behind it carry too much together."""

WEIGHT_LAWS: tuple[Rule, ...] = (
    _weight_rule(
        "legal_trailer_axles",
        "Does the law allow the weight on the trailer's axles?",
        C("axle_load"),
        "trailer_axles_allowed",
        ("axle_load",),
        "above the legal weight on the trailer's axles",
        Bound(
            AT_LEAST,
            ("gross", "trailer_axles_allowed"),
            C("gross") - C("trailer_axles_allowed"),
            "the legal weight on the trailer's axles",
        ),
    ),
    _weight_rule(
        "legal_rear_axles",
        "Does the law allow the weight on the truck's rear axles?",
        C("rear_load"),
        "rear_axles_allowed",
        ("rear_load",),
        "above the legal weight on the truck's rear axles",
        Bound(
            AT_MOST,
            ("rear_empty", "taken", "rear_axles_allowed"),
            (C("rear_axles_allowed") - C("rear_empty")) / (1 + _TAKEN),
            "the legal weight on the truck's rear axles",
        ),
    ),
    _weight_rule(
        "legal_steer",
        "Does the law allow the weight on the truck's front axle?",
        C("front_load"),
        "limit_single_axle",
        ("front_load",),
        "above the legal weight on the truck's front axle",
        Bound(
            AT_MOST,
            ("front_empty", "taken"),
            IF(_TAKEN < 0, (C("limit_single_axle") - C("front_empty")) / (0 - _TAKEN), FREE),
            "the legal weight on the truck's front axle",
        ),
    ),
    _weight_rule(
        "legal_gross",
        "Does the law allow the weight of both?",
        C("combination"),
        "limit_gross_federal",
        ("combination",),
        "above the legal gross weight of both",
    ),
    _weight_rule(
        "bridge_truck",
        "Does the bridge formula allow the truck's own axles?",
        C("truck_loaded"),
        "truck_allowed",
        ("truck_loaded",),
        "above the bridge formula, the truck's first to last axle,",
        Bound(
            AT_MOST,
            ("truck_empty", "truck_allowed"),
            C("truck_allowed") - C("truck_empty"),
            "the bridge formula of the truck",
        ),
    ),
    _weight_rule(
        "bridge_outer",
        "Does the bridge formula allow the weight of both?",
        C("combination"),
        "outer_allowed",
        ("combination",),
        "above the bridge formula, first to last axle,",
    ),
    _weight_rule(
        "bridge_inner",
        "Does the bridge formula allow the axles behind the front one?",
        _INNER_LOAD,
        "inner_allowed",
        ("combination", "front_load"),
        "above the bridge formula, truck's rear axles to the last,",
        Bound(AT_MOST, _INSIDE, IF(_TAKEN > 0, _ROOM_INSIDE / _TAKEN, FREE), "the bridge formula"),
        Bound(AT_LEAST, _INSIDE, IF(_TAKEN < 0, _ROOM_INSIDE / _TAKEN, -FREE), "the bridge formula"),
    ),
)

SIZE_RULES: tuple[Rule, ...] = (
    Rule(
        "tall",
        "Does it pass under the legal height?",
        ("loaded_height",),
        C("loaded_height") - C("limit_legal_height"),
        lift("too high loaded") & by_length("tall"),
        "states: 13 ft 6 in to 14 ft; no federal rule (FHWA)",
    ),
    Rule(
        "wider",
        "Is it no wider than the trailer?",
        ("machine_width", "trailer_width"),
        C("machine_width") - C("trailer_width"),
        lift("wider than the trailer") & by_length("wider"),
        "common practice, no source",
        CAUTION,
    ),
    Rule(
        "side_flags",
        "Does it reach little past the trailer's sides?",
        ("machine_width", "trailer_width"),
        (C("machine_width") - C("trailer_width")) / 2 - C("limit_side_overhang"),
        lift("reaches past the trailer's sides by ")
        & FIXED(C("over_side_flags") + C("limit_side_overhang"), 1)
        & " "
        & C("short_unit")
        & ": flags and lamps (49 CFR 393.87, 393.11)",
        "49 CFR 393.87",
        CAUTION,
    ),
    Rule(
        "wide",
        "Is it within the legal width?",
        ("loaded_width",),
        C("loaded_width") - C("limit_legal_width"),
        FIXED(C("loaded_width"), 1) & " " & C("short_unit") & " wide needs a permit",
        "23 CFR 658.15",
        eased=_PERMIT,
    ),
)
