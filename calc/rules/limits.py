"""LIMITS: the figures that rules hold others against, each of which a yard may change on its Limits sheet.

A rule reads one as ``Cell("limit_<key>")``, in the workbook's units. Ratings are no limits: they stand with the
trailer, the machine or the truck.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from ..vin import USUAL_LATEST_YEAR

UnitKind = Literal["weight", "short", "long", "degrees", "share", "none"]
PRACTICE = "common practice, no source"


@dataclass(frozen=True)
class Limit:
    """One figure that the yard may change.

    Attributes:
        key: What expressions call it, after ``limit_``.
        name: What people read.
        value: Ours, in pounds, inches, feet, degrees, as a share, or bare.
        unit: Of which kind the value is.
        least, greatest: Between which bounds a yard may put it, in the same unit. Beyond them ours is used: a rule that
            guards life is not to be lifted by a large number.
        source: Where ours is from.
        note: What is asked with it.
        guards_life: Whether somebody may be hurt where the rule is broken.
        may_switch_off: Whether the yard may switch the rule off; never where it guards life.
    """

    key: str
    name: str
    value: float
    unit: UnitKind
    least: float
    greatest: float
    source: str
    note: str
    guards_life: bool = True
    may_switch_off: bool = False


@dataclass(frozen=True)
class Plausible:
    """Between which bounds a figure lies on anything of the trade; beyond them it is in doubt and no base of a YES.

    ``least`` is None where no figure is too small, ``greatest`` where none is too large or another rule asks.
    """

    key: str
    name: str
    least: float | None
    greatest: float | None
    unit: UnitKind


SIZES = (
    Limit(
        *("legal_width", "Legal width", 102, "short", 96, 108),
        "23 CFR 658.15 (108 in Hawaii)",
        "Wider needs a permit, load and trailer alike.",
        guards_life=False,
        may_switch_off=True,
    ),
    Limit(
        *("legal_height", "Legal height, loaded", 162, "short", 150, 174),
        "no federal rule; states have 13 ft 6 in to 14 ft (FHWA)",
        "Look it up for each state on the way; the lowest bridge counts.",
    ),
    Limit(
        *("front_overhang", "Overhang ahead without permit", 36, "short", 1, 120),
        "3 ft in several states (KS 8-1905, MS 63-5-23); each state has its own",
        "Load that reaches past the front of the vehicle.",
        guards_life=False,
        may_switch_off=True,
    ),
    Limit(
        *("rear_overhang", "Overhang behind without flag", 48, "short", 1, 120),
        "49 CFR 393.87: more than 4 ft needs flags, some states from 4 ft on",
        "Load that reaches past the rear end of the trailer.",
        guards_life=False,
        may_switch_off=True,
    ),
    Limit(
        *("side_overhang", "Overhang to a side without flag", 4, "short", 0.5, 12),
        "49 CFR 393.87: more than 4 in needs flags",
        "Load that reaches past the side of the trailer.",
        guards_life=False,
        may_switch_off=True,
    ),
)
WEIGHTS = (
    Limit(
        *("single_axle", "Single axle on the road", 20_000, "weight", 10_000, 24_000),
        "23 CFR 658.17(b), Interstate System; states differ elsewhere",
        "Weight that one axle may bring onto the road without a permit.",
    ),
    Limit(
        *("tandem", "Tandem axle on the road", 34_000, "weight", 20_000, 40_000),
        "23 CFR 658.17(d), axles more than 40 and up to 96 in apart",
        "Weight that axles so close together may bring onto the road without a permit.",
    ),
    Limit(
        *("gross_federal", "Gross weight of truck and trailer", 80_000, "weight", 40_000, 164_000),
        "23 CFR 658.17(b), Interstate System; states differ elsewhere",
        "Weight of the whole combination without a permit.",
    ),
    Limit(
        *("front_share", "Least share on the steering axle", 0.20, "share", 0.10, 0.40),
        "EU 1230/2012 Annex I, as a guide: no US figure is known",
        "Share of the loaded truck's weight that its front axle is to keep.",
    ),
)
HITCH_END = (
    Limit(
        *("pin_low_gooseneck", "Usual low pin share, gooseneck", 0.15, "share", 0.05, 0.20),
        PRACTICE,
        "Least share of the gross on the hitch, where the trailer states none.",
    ),
    Limit(
        *("pin_high_gooseneck", "Usual high pin share, gooseneck", 0.25, "share", 0.20, 0.40),
        PRACTICE,
        "Greatest share of the gross on the hitch, where the trailer states none.",
    ),
    Limit(
        *("pin_low_other", "Usual low pin share, pintle or ball", 0.10, "share", 0.05, 0.12),
        PRACTICE,
        "Least share of the gross on the hitch, where the trailer states none.",
    ),
    Limit(
        *("pin_high_other", "Usual high pin share, pintle or ball", 0.15, "share", 0.12, 0.25),
        PRACTICE,
        "Greatest share of the gross on the hitch, where the trailer states none.",
    ),
    Limit(
        *("chain_factor", "Chain strength for each unit of GVWR", 1, "none", 1, 4),
        "49 CFR 393.70(d), chains together; some states ask it of each chain",
        "Breaking strength that all chains together are to have; 2 asks the whole weight of each of two chains.",
    ),
    Limit(
        *("jack_factor", "Jack rating for each unit of pin weight", 1, "none", 1, 4),
        PRACTICE,
        "Rating that all jacks together are to have.",
    ),
)
DRIVE_ON = (
    Limit(
        *("ramp_angle_sure", "Ramp angle that is sure", 18, "degrees", 5, 25),
        "MIL-S-62294B 3.7.4, rear loading ramp",
        "A steeper ramp is a caution, up to what the machine is stated to climb.",
    ),
    Limit(
        *("ramp_angle_greatest", "Greatest ramp angle", 30, "degrees", 10, 35),
        PRACTICE,
        "A steeper ramp is refused, whatever the machine climbs, and is in doubt on the Lot.",
    ),
    Limit(
        *("gap_tight", "Least gap under the machine", 2, "short", 0.5, 12),
        PRACTICE,
        "A smaller gap is called tight: springs, tires and soft ground take as much.",
    ),
    Limit(
        *("ramp_lift", "Force to lift a ramp by hand", 51, "weight", 20, 75),
        "NIOSH 94-110, load constant, of loose objects held close: a guide",
        "A greater force, typed on What-if, is a caution. LOT_RAMP_FORCE works it out; a spring scale measures it.",
    ),
)
TICKETS = (
    Limit(
        *("ticket_apart", "Scale tickets apart", 160, "weight", 20, 1_000),
        "NIST Handbook 44, class III L, four readings 40 lb off each (from memory)",
        "How far tickets of one weighing may be apart before they are said to disagree.",
    ),
    Limit(
        *("ticket_lot", "Scale tickets and the Lot apart", 200, "weight", 20, 5_000),
        PRACTICE,
        "How far an empty weighing may be from Scale weight, listed weight or Empty pin on the Lot.",
    ),
)

# Bounds of what is likely: common practice, no source, from what the trade's equipment looks like. The latest model
# year is the last that the letters of a VIN tell apart today: "next year" would need a function that calculates anew on
# every opening. A yard may type the year.
PLAUSIBLE = (
    Plausible("deck_length", "Deck length", 8, 60, "long"),
    Plausible("deck_height", "Deck height", 10, 60, "short"),
    Plausible("width", "Trailer width", 60, 144, "short"),
    Plausible("deck_width", "Deck width", 48, 144, "short"),
    Plausible("ramp_length", "Ramp length", 24, 180, "short"),
    Plausible("axle_spread", "Axle spread", 20, 240, "short"),
    Plausible("axle_rating", "Axle rating", 2_000, 30_000, "weight"),
    Plausible("empty_share", "Empty weight of the GVWR", 0.15, 0.60, "share"),
    Plausible("pin_share", "Empty pin of the empty weight", 0.05, 0.40, "share"),
    Plausible("gvwr_share", "GVWR of the axles together", 0.85, 1.35, "share"),
    Plausible("tire_share", "Tires of the axle rating", 0.7, 2, "share"),
    Plausible("model_year", "Model year", 1950, USUAL_LATEST_YEAR, "none"),
    Plausible("machine_width", "Machine width", 30, 180, "short"),
    Plausible("machine_height", "Machine height", 30, 180, "short"),
    Plausible("clearance", "Ground clearance", 2, 40, "short"),
    Plausible("climb", "Greatest slope of a machine", 5, 45, "degrees"),
    Plausible("truck_wheelbase", "Truck wheelbase", 100, 300, "short"),
    Plausible("hitch_overhang", "Hitch overhang", -60, 130, "short"),
    Plausible("hitch_behind", "Overhang of a pintle or ball hitch", 12, None, "short"),
    Plausible("truck_share", "Empty truck of its GVWR", 0.30, 0.85, "share"),
    Plausible("low_share", "Low pin share", 0.05, 0.25, "share"),
    Plausible("high_share", "High pin share", 0.08, 0.35, "share"),
    Plausible("coupler_share", "Coupler rating of the GVWR", None, 5, "share"),
    Plausible("ramps_outside", "Ramps, outside to outside", 30, 120, "short"),
    Plausible("ramp_width", "Width of one ramp", 6, None, "short"),
    Plausible("machine_weight", "Machine weight", 400, 150_000, "weight"),
    Plausible("wheelbase", "Machine wheelbase", 20, 400, "short"),
    Plausible("center_share", "Front contact to center of the wheelbase", 0.1, 1, "share"),
    Plausible("rear_axles", "Rear axles of a truck", None, 3, "none"),
    Plausible("overhang", "Machine overhang", 8, 400, "short"),
    Plausible("end_clearance", "Clearance of an overhang", None, 120, "short"),
    Plausible("tread_outside", "Outside of tires or tracks", 20, 160, "short"),
    Plausible("shoe_width", "Tire or track width", 3, 60, "short"),
    Plausible("ticket", "Weight on a scale ticket", 200, 150_000, "weight"),
    Plausible("ticket_pin", "Pin on a scale", 20, 40_000, "weight"),
    Plausible("ticket_hitched", "Truck hitched of the truck alone", 0.8, 2.5, "share"),
)
"""The ramp angle's bound is ``ramp_angle_greatest``; what needs no figure (the axles under the deck, GCWR at least
GVWR) is asked by the rules."""


def _bounds(row: Plausible) -> Iterator[Limit]:
    """The limits of a plausible figure; a yard may move each, but not past the middle, so that they never cross."""
    least = row.greatest / 10 if row.least is None and row.greatest else row.least or 0
    greatest = row.greatest or least * 10
    middle = (least + greatest) / 2
    lowest, highest = least / 2 if least > 0 else least * 2, greatest * 2
    if row.key == "model_year":
        lowest, highest = 1900, 2100
    ends = (
        ("least", row.least, lowest, middle, "smaller"),
        ("greatest", row.greatest, middle, highest, "greater"),
    )
    for end, value, first, last, compared in ends:
        if value is not None:
            yield Limit(
                *(f"plaus_{row.key}_{end}", f"{row.name}, {end}", value, row.unit, first, last, PRACTICE),
                f"A {compared} figure is in doubt, and never leads to a YES.",
            )


LIMITS: tuple[Limit, ...] = (
    *SIZES,
    *WEIGHTS,
    *HITCH_END,
    *DRIVE_ON,
    *(limit for row in PLAUSIBLE for limit in _bounds(row)),
    *TICKETS,
)
BY_KEY = {limit.key: limit for limit in LIMITS}
