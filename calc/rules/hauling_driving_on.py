"""Driving on: the slope, the ramps, what touches, and what the machine over the tail's end lifts."""

from __future__ import annotations

from ..cells.expression import Expression, Registered, lift
from ..cells.spreadsheet import AND, ASIN, COS, FIXED, IF, MAX, MIN, RADIANS, SIN, SQRT, TAN
from .hauling_figures import (
    FULL_WIDTH,
    TRACKS,
    TWO_RAMPS,
    WHEELS,
    YES_WORD,
    C,
    by_length,
    by_weight,
    is_word,
    usable,
    where_known,
)
from .hauling_rule import CAUTION, Rule

GEOMETRY, MOMENTS = "plane geometry", "equilibrium of moments"
PRACTICE = "common practice, no source"
_RISE = C("deck_height") - C("tail_drop")
_WAY = ("deck_height", "tail_drop", "tail_length", "ramp_length")
_MACHINE = ("wheelbase", "clearance", "lead_overhang", "lead_gap", "trail_overhang", "trail_gap")
_WHEELS, _TRACKS = is_word("runs_on", WHEELS), is_word("runs_on", TRACKS)
_UPRIGHT = 90.0
"""The slope of a ramp that does not reach up to the tail's end, in degrees: steeper than every limit."""


def _break(place: str) -> Expression:
    return IF(C("ramp_length") <= _RISE, _UPRIGHT, Registered("LOT_BREAK_ANGLE", *map(C, _WAY), place, guarded=False))


def _foot_lift() -> Expression:
    """How far the ramp's top comes up into the belly with the rear contact at the ramp's foot, at least.

    For a machine longer between its contacts than the ramp, which other bounds leave out: R sin(r - p), with the tilt
    p at most where the front contact stands on the deck, sin p = H / L, or on the tail's line, by the law of sines.
    """
    turn, length, wheelbase = RADIANS(C("ramp_top")), C("ramp_length"), C("wheelbase")
    to_deck = RADIANS(C("foot")) - ASIN(MIN(1, C("deck_height") / wheelbase))
    to_tail = turn - ASIN(length * SIN(turn) / wheelbase)
    return IF(length < wheelbase, length * SIN(MAX(0, to_deck, to_tail)), 0)


_NEARLY_UPRIGHT = 89.0
"""Degrees up to which a tangent is taken; steeper ramps are refused by their slope."""

_AXLES = ("weight", "wheelbase", "to_center", "ramp_length")
_ONE_AXLE = AND(_WHEELS, C("wheelbase") >= C("ramp_length"))
"""Whether the ramps never carry more than one axle at once."""
_HEAVIER_AXLE = MAX(C("to_center"), C("wheelbase") - C("to_center")) / C("wheelbase")
_LOWER_AXLE = MIN(
    1,
    COS(RADIANS(C("foot"))) * _HEAVIER_AXLE + SIN(RADIANS(C("foot"))) * C("machine_height") / 2 / C("wheelbase"),
)
"""The greatest share of its weight on its lower axle, square to the ramp, with the center at half its height.

(a cos r + h sin r) / L, moments about the upper axle; that it is no higher is common practice, no source.
"""

DRIVEN: dict[str, Expression] = {
    **{place.replace(" ", "_"): where_known(_WAY, _break(place)) for place in ("foot", "ramp top", "tail top")},
    "steepest": where_known(("foot", "tail_top"), MAX(C("foot"), C("tail_top"))),
    "at_least": where_known(
        (*_WAY, *_MACHINE), Registered("LOT_CLEARANCE_AT_LEAST", *map(C, (*_WAY, *_MACHINE)), guarded=False)
    ),
    "foot_lift": where_known(("deck_height", "ramp_length", "foot", "ramp_top", "wheelbase"), _foot_lift()),
    "at_most": where_known(
        (*_WAY, *_MACHINE, "foot_lift"),
        MIN(
            Registered("LOT_CLEARANCE_AT_MOST", *map(C, (*_WAY, *_MACHINE)), guarded=False),
            C("clearance") - C("foot_lift"),
        ),
    ),
    "ramp_load": where_known(("runs_on", *_AXLES), IF(_ONE_AXLE, C("weight") * _HEAVIER_AXLE, C("weight"))),
    "ramp_load_on_slope": where_known(
        ("runs_on", *_AXLES, "machine_height", "foot"), IF(_ONE_AXLE, C("weight") * _LOWER_AXLE, C("weight"))
    ),
    "to_tail": where_known(
        ("to_deck", "deck_length", "tail_run"), C("to_deck") + C("deck_length") + C("tail_run") / C("per_long")
    ),
    "loading_pin": where_known(
        ("empty", "empty_pin", "to_axles", "weight", "to_tail"),
        Registered("LOT_LOADING_PIN", *map(C, ("empty", "empty_pin", "to_axles", "weight", "to_tail")), guarded=False),
    ),
    "loading_axles": where_known(("empty", "weight", "loading_pin"), C("empty") + C("weight") - C("loading_pin")),
    "loading_rear": where_known(
        ("loading_pin", "rear_empty", "truck_wheelbase", "hitch_overhang"),
        C("rear_empty")
        + Registered(
            "LOT_REAR_AXLE_CHANGE", C("loading_pin"), C("truck_wheelbase"), C("hitch_overhang"), guarded=False
        ),
    ),
}
"""The way up, the gaps, what rests on the ramps, and the axles of both with the machine over the tail's end.

A track may rest on a ramp with all of its weight while it tips over the break, and so do both axles on a long ramp.
"""

_GROUP = ("axles", "axle_rating", "suspension", "tires", "tire_rating", "wheel_rating")
_NO_STANDS = is_word("stands", YES_WORD).equals(False)

LIFT_RULES: tuple[Rule, ...] = (
    Rule(
        "lift",
        "Do the truck's rear axles stay down while it drives on?",
        ("loading_rear",),
        0 - C("loading_rear"),
        lift("lifts the truck's rear axles while it drives on") & by_weight("lift") & ": set stands or block the tail",
        MOMENTS,
        applies=_NO_STANDS,
    ),
    Rule(
        "lift_hitch",
        "Does the hitch stay down while it drives on?",
        ("loading_pin",),
        0 - C("loading_pin"),
        lift("lifts the hitch while it drives on") & by_weight("lift_hitch") & ": set stands or block the tail",
        MOMENTS,
        CAUTION,
        applies=_NO_STANDS,
    ),
    Rule(
        "loading_axles",
        "Do the trailer's axles carry it while it drives on?",
        ("loading_axles", *_GROUP),
        C("loading_axles") - Registered("LOT_AXLE_GROUP_RATING", *map(C, _GROUP), guarded=False),
        lift("trailer's axles overloaded while it drives on") & by_weight("loading_axles") & ": set stands first",
        MOMENTS,
        CAUTION,
        applies=_NO_STANDS,
    ),
)

SLOPE_RULES: tuple[Rule, ...] = (
    Rule(
        "ramp_steep",
        "Is the way up less steep than any machine should climb?",
        ("steepest",),
        C("steepest") - C("limit_ramp_angle_greatest"),
        lift("ramp too steep: ") & FIXED(C("steepest"), 1) & " deg",
        PRACTICE,
    ),
    Rule(
        "climb",
        "Does the machine climb the ramp?",
        ("steepest",),
        IF(usable(("climb",)), C("steepest") - C("climb"), 0),
        lift("steeper than it climbs: ") & FIXED(C("steepest"), 1) & " deg, it climbs " & FIXED(C("climb"), 1),
        "the machine's maker; sure without: MIL-S-62294B 3.7.4, 18 deg",
        unsure=IF(usable(("climb",)), False, C("steepest") > C("limit_ramp_angle_sure")),
    ),
    Rule(
        "slope",
        "Is the way up no steeper than is sure for any machine?",
        ("steepest",),
        C("steepest") - C("limit_ramp_angle_sure"),
        lift("steep: ") & FIXED(C("steepest"), 1) & " deg",
        "MIL-S-62294B 3.7.4, 18 deg",
        CAUTION,
    ),
    Rule(
        "ramp_rating",
        "Do the ramps carry it?",
        ("ramp_load", "ramp_rating"),
        C("ramp_load") - C("ramp_rating"),
        lift("ramps overloaded") & by_weight("ramp_rating"),
        f"the ramps' maker; {MOMENTS}",
        unsure=AND(C("ramp_load") <= C("ramp_rating"), C("ramp_load_on_slope") > C("ramp_rating")),
        reason="whether the ramps carry its lower axle on the slope: ask how high its center is",
    ),
    Rule(
        "ramp_lift",
        "Does one person lift a ramp?",
        ("ramp_lift",),
        C("ramp_lift") - C("limit_ramp_lift"),
        lift("a ramp takes more to lift than one person should") & by_weight("ramp_lift") & ": get help, or springs",
        "NIOSH 94-110, of loose objects: a guide",
        CAUTION,
        applies=usable(("ramp_lift",)),
    ),
)


_TAIL_SLOPE = C("foot") - C("ramp_top")


def _climbed(distance: Expression, rise: Expression, angle: Expression) -> Expression:
    """How high a slope comes up in a level distance, to its rise at most."""
    return MIN(rise, distance * TAN(RADIANS(MIN(angle, _NEARLY_UPRIGHT))))


def _leading_end_meets() -> Expression:
    """How high the way comes up below the leading end.

    With the foremost contact at the ramp's foot, the ramp and the tail beyond it; on the ramp, a tail that is steeper.
    """
    run = SQRT(MAX(0, C("ramp_length") ** 2 - _RISE**2))
    beyond = MAX(0, C("lead_overhang") - run)
    from_ground = _climbed(C("lead_overhang"), _RISE, C("foot")) + _climbed(beyond, C("tail_drop"), _TAIL_SLOPE)
    return MAX(from_ground, _climbed(C("lead_overhang"), C("tail_drop"), 0 - C("ramp_top")))


def _front_at_foot() -> Expression:
    """How high a wheeled machine's front contact stands with its rear one at the ramp's foot: on ramp, tail or deck.

    On the tail it stands u along it, |ramp's top + u (cos t, sin t)| = L.
    """
    ramp, slope, tail = C("ramp_length"), RADIANS(C("foot")), RADIANS(_TAIL_SLOPE)
    along = ramp * COS(slope - tail)
    beyond = SQRT(MAX(0, along**2 + C("wheelbase") ** 2 - ramp**2)) - along
    on_tail = MIN(C("deck_height"), _RISE + beyond * SIN(tail))
    return IF(C("wheelbase") <= ramp, C("wheelbase") * SIN(slope), on_tail)


def _trailing_tilt() -> Expression:
    """The greatest tilt, in radians, with the rearmost contact on the ground.

    A wheeled machine has that with it at the ramp's foot; a tracked one lies on the ramp's top until its center is over
    it: sin p = H / a, with a from the rearmost contact to the center, and on the ramp below a tail that is steeper.
    """
    to_center = C("wheelbase") - C("lead_to_center")
    on_top = ASIN(MIN(1, _RISE / MAX(to_center, C("ramp_length"))))
    tracked = MAX(on_top, RADIANS(MIN(0 - C("ramp_top"), _NEARLY_UPRIGHT)))
    return IF(_TRACKS, tracked, ASIN(MIN(1, _front_at_foot() / C("wheelbase"))))


GAP_RULES: tuple[Rule, ...] = (
    Rule(
        "gap",
        "Does its underside stay clear on the way up?",
        ("at_least", "at_most"),
        0 - C("at_most"),
        "touches on the way up",
        GEOMETRY,
        applies=_WHEELS,
        unsure=AND(C("at_most") >= 0, C("at_least") < 0),
        reason="gap not sure: see the drive-on sweep on What-if",
    ),
    Rule(
        "front_strikes",
        "Does its leading end clear ramp and tail?",
        ("deck_height", "tail_drop", "ramp_length", "foot", "ramp_top", "lead_overhang", "lead_gap"),
        _leading_end_meets() - C("lead_gap"),
        lift("its leading end strikes the ramp or tail") & by_length("front_strikes"),
        GEOMETRY,
    ),
    Rule(
        "rear_strikes",
        "Does its trailing end clear the ground?",
        ("runs_on", "deck_height", "tail_drop", "ramp_length", "foot", "ramp_top", "wheelbase", "lead_to_center")
        + ("trail_overhang", "trail_gap"),
        C("trail_overhang") * TAN(_trailing_tilt()) - C("trail_gap"),
        lift("its trailing end strikes the ground") & by_length("rear_strikes"),
        GEOMETRY,
    ),
    Rule(
        "gap_tight",
        "Is there room to spare below it?",
        ("at_least",),
        C("limit_gap_tight") - C("at_least"),
        lift("tight on the way up: springs and soft ground can take it"),
        PRACTICE,
        CAUTION,
        applies=_WHEELS,
    ),
    Rule(
        "tips",
        "Do its tracks stay on the slope without tipping?",
        ("ramp_top", "tail_top"),
        MAX(C("ramp_top"), C("tail_top")),
        lift("tips over ") & FIXED(C("over_tips"), 1) & " deg: slowly, boom low, nobody near",
        GEOMETRY,
        CAUTION,
        applies=_TRACKS,
    ),
)

_BETWEEN_TIRES = C("tread_outside") - 2 * C("shoe_width")
_BETWEEN_RAMPS = C("ramps_outside") - 2 * C("ramp_width")

WIDTH_RULES: tuple[Rule, ...] = (
    Rule(
        "tread_deck",
        "Do its tires or tracks stand on the deck?",
        ("tread_outside", "deck_width"),
        C("tread_outside") - C("deck_width"),
        lift("its tires or tracks are wider than the deck") & by_length("tread_deck"),
        GEOMETRY,
    ),
    Rule(
        "tread_ramps",
        "Do its tires or tracks stand on the ramps, outside?",
        ("tread_outside", "ramps_outside"),
        C("tread_outside") - C("ramps_outside"),
        lift("its tires or tracks are wider than the ramps") & by_length("tread_ramps"),
        GEOMETRY,
        applies=is_word("ramp_kind", TWO_RAMPS, FULL_WIDTH),
    ),
    Rule(
        "tread_between",
        "Do its tires or tracks stand on the ramps, inside?",
        ("tread_outside", "shoe_width", "ramps_outside", "ramp_width"),
        _BETWEEN_RAMPS - _BETWEEN_TIRES,
        lift("its tires or tracks stand beside the ramps, inside") & by_length("tread_between"),
        GEOMETRY,
        applies=is_word("ramp_kind", TWO_RAMPS),
    ),
)
