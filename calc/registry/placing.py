"""PLACING: the worksheet functions of placing the load, one row each."""

from __future__ import annotations

from dataclasses import replace

from .. import glossary as g
from .. import placement
from ..spec import Function
from .sources import MOMENTS

_BEAM = (g.EMPTY_PIN, g.COUPLER_TO_AXLES, g.LOAD_WEIGHT)
_PLACED = (g.EMPTY_WEIGHT, *_BEAM, g.COUPLER_TO_LOAD)
_WINDOW = (
    g.EMPTY_WEIGHT,
    *_BEAM,
    replace(g.LOW_PIN_SHARE, meaning="Least share of the gross on the hitch, such as 0.10"),
    replace(g.HIGH_PIN_SHARE, meaning="Greatest share of the gross on the hitch, such as 0.15"),
    g.AXLE_GROUP_RATING.optional,
    g.COUPLER_VERTICAL.optional,
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

PLACING: tuple[Function, ...] = (
    Function(
        "LOT_PIN_AT",
        placement.pin_at,
        _PLACED,
        "Weight on the hitch, in the unit given; negative lifts it",
        "Weight on the hitch with the load's center of gravity at a distance behind the coupler.",
        "empty pin + load × (coupler to axles - coupler to load) / coupler to axles",
        MOMENTS,
        "IF(empty_pin>empty_weight,#NUM!,empty_pin+load_weight*(coupler_to_axles-coupler_to_load)/coupler_to_axles)",
    ),
    Function(
        "LOT_AXLES_AT",
        placement.axles_at,
        _PLACED,
        "Weight on the axle group, in the unit given",
        "Weight on the trailer's axles with the load's center of gravity at a distance behind the coupler.",
        "empty weight - empty pin + load × coupler to load / coupler to axles",
        MOMENTS,
        "IF(empty_pin>empty_weight,#NUM!,empty_weight-empty_pin+load_weight*coupler_to_load/coupler_to_axles)",
    ),
    Function(
        "LOT_FOREMOST",
        placement.foremost,
        _WINDOW,
        "Distance behind the coupler, in the unit given",
        "Foremost place of the load's center: the pin share not above the high one, the pin not above its rating. "
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
        "Rearmost place of the load's center: the pin share not below the low one, the axles not above their rating. "
        "#N/A where no place meets every limit.",
        "coupler to axles × (empty pin + load - least pin) / load",
        MOMENTS,
        f"{_NO_PLACE}MAX(0,coupler_to_axles*(empty_pin+load_weight-{_LEAST})/load_weight)))",
    ),
    Function(
        "LOT_FROM_DECK",
        placement.from_deck,
        (g.COUPLER_TO_LOAD, g.COUPLER_TO_DECK),
        "Distance behind the deck's front edge, in the unit given; negative ahead of it",
        "Where the load's center stands on the deck, measured from the deck's front edge back.",
        "coupler to load - coupler to deck",
        "arithmetic",
        "coupler_to_load-coupler_to_deck",
    ),
    Function(
        "LOT_LOADING_PIN",
        placement.loading_pin,
        (g.EMPTY_WEIGHT, *_BEAM, g.COUPLER_TO_TAIL),
        "Weight on the hitch, in the unit given; negative lifts the truck",
        "Weight on the hitch with the whole load over the tail's end while it drives on; negative lifts the truck.",
        "empty pin + load × (coupler to axles - coupler to tail) / coupler to axles",
        MOMENTS,
        "IF(empty_pin>empty_weight,#NUM!,empty_pin+load_weight*(coupler_to_axles-coupler_to_tail)/coupler_to_axles)",
    ),
    Function(
        "LOT_REAR_AXLE_CHANGE",
        placement.rear_axle_change,
        (g.PIN, g.TRUCK_WHEELBASE, g.HITCH_OVERHANG),
        "Weight added, in the unit given",
        "What the weight on the hitch adds to the truck's rear axles.",
        "pin × (1 + overhang / wheelbase)",
        MOMENTS,
        f"{_BEHIND_FRONT_AXLE}pin*(1+hitch_overhang/wheelbase))",
    ),
    Function(
        "LOT_FRONT_AXLE_CHANGE",
        placement.front_axle_change,
        (g.PIN, g.TRUCK_WHEELBASE, g.HITCH_OVERHANG),
        "Weight added, in the unit given; negative takes weight off the steering",
        "What the weight on the hitch adds to the truck's front axle; negative takes weight off.",
        "- pin × overhang / wheelbase",
        MOMENTS,
        f"{_BEHIND_FRONT_AXLE}0-pin*hitch_overhang/wheelbase)",
    ),
)
