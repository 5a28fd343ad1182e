"""An independent judge of whether a trailer carries a machine behind a truck: plain arithmetic, in its own words.

It uses none of the product's functions or rules. Weights on supports come from solving the two equations of balance
with numpy; what touches on the way up from moving the machine along the profile in small steps. Sources stand beside
each limit. US units: lb, in; deck length, coupler to axles and coupler to deck in ft.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from tests.hauling_rules.judge_driving_on import ends_of, evenly, steepest, way_up
from tests.hauling_rules.judge_figures import NOISE, Figures, Set, number

# What is lacking

TRAILER_NUMBERS = ("gvwr", "empty", "axles", "axle_rating", "suspension", "tires", "tire_rating", "wheel_rating")
TRAILER_NUMBERS += (
    "coupler",
    "coupler_vertical",
    "low_share",
    "high_share",
    "deck_height",
    "deck_length",
    "deck_width",
)
TRAILER_NUMBERS += ("trailer_width", "ramp_length", "ramp_rating", "ramps_outside", "to_axles", "to_deck")
MACHINE_NUMBERS = ("weight", "wheelbase", "to_center", "machine_width", "machine_height", "tread_outside")
TRUCK_NUMBERS = ("truck_gvwr", "gcwr", "front_rating", "rear_rating", "front_empty", "rear_empty", "rear_axles")
TRUCK_NUMBERS += ("hitch_rating", "hitch_vertical", "truck_wheelbase")
NUMBERS_ABOVE_0 = TRAILER_NUMBERS + MACHINE_NUMBERS + TRUCK_NUMBERS
NUMBERS_FROM_0 = ("empty_pin", "axle_spread", "jacks", "tail_length", "tail_drop", "points", "rear_spread")
NUMBERS_FROM_0 += ("front_overhang", "rear_overhang", "label_gcwr")
TEXTS = ("hitch", "coupler_size", "brakes", "ramp_kind", "runs_on", "hitches", "coupler_sizes")
WORDS = {
    "hitch": {"pintle", "ball", "gooseneck"},
    "brakes": {"electric", "hydraulic surge", "air", "none"},
    "ramp_kind": {"two ramps", "full width"},
    "runs_on": {"wheels", "tracks"},
}


def lacking(given: Set) -> set[str]:
    """Names of figures that are needed and not usable, and of words that are not known."""

    def above_0(name: str) -> bool:
        return number(given.get(name)) and given[name] > 0  # type: ignore[operator]

    f = Figures(given)
    found = {name for name in NUMBERS_ABOVE_0 if not above_0(name)}
    found |= {n for n in NUMBERS_FROM_0 if not (number(given.get(n)) and given[n] >= 0)}  # type: ignore[operator]
    found |= {name for name in TEXTS if not f.says(name)}
    found |= {name for name, words in WORDS.items() if f.says(name) not in words}
    if not number(given.get("hitch_overhang")):
        found.add("hitch_overhang")
    needed = {
        "chains": f.says("hitch") != "gooseneck",
        "neck_clearance": f.says("hitch") == "gooseneck",
        "clearance": f.says("runs_on") == "wheels",
        "ramp_width": f.says("ramp_kind") == "two ramps",
        "shoe_width": f.says("ramp_kind") == "two ramps",
    }
    for name, count in (("jack_rating", "jacks"), ("point_rating", "points")):
        needed[name] = given.get(count) != 0
    for end in ("front", "rear"):
        needed[f"{end}_clearance"] = given.get(f"{end}_overhang") != 0
    zero_counts = ("chains", "neck_clearance")
    for name, is_needed in needed.items():
        there = number(given.get(name)) and given[name] >= 0 if name in zero_counts else above_0(name)  # type: ignore[operator]
        if is_needed and not there:
            found.add(name)
    if f.says("brakes") in ("electric", "air") and not f.says("brake_controls"):
        found.add("brake_controls")
    ramp = ("deck_height", "tail_drop", "tail_length", "ramp_length")
    if not found & set(ramp) and not above_0("climb") and steepest(f) > 18:  # MIL-S-62294B 3.7.4
        found.add("climb")
    found |= {f"{group}_doubt" for group in ("trailer", "machine", "truck") if f.says(f"{group}_doubt")}
    return found


# Weights on supports


def trailer_supports(f: Figures, x: float) -> tuple[float, float]:
    """Hitch and axles with the load x ft behind the coupler: forces, and moments about the coupler."""
    own = f.empty - f.empty_pin
    pin, axles = np.linalg.solve([[1, 1], [0, f.to_axles]], [f.empty + f.weight, own * f.to_axles + f.weight * x])
    return float(pin), float(axles)


def truck_supports(f: Figures, pin: float) -> tuple[float, float]:
    """Front and rear axles of the truck: forces, and moments about the front axle."""
    w = f.truck_wheelbase
    front, rear = np.linalg.solve(
        [[1, 1], [0, w]], [f.front_empty + f.rear_empty + pin, f.rear_empty * w + pin * (w + f.hitch_overhang)]
    )
    return float(front), float(rear)


def group_limit(axles: float, spread: float) -> float:
    """23 CFR 658.5, 658.17: 20,000 on what stands within 40 in, 34,000 within 96 in; beyond it the bridge formula.

    The axles are evenly spaced and carry alike: each run of so many of them carries its part of the whole.
    """
    if axles == 1:
        return 20_000
    count, limits = int(axles), []
    for run in range(1, count + 1):
        length = spread / (count - 1) * (run - 1)
        if length <= 40 + NOISE:
            limits.append(20_000 * count / run)
        elif length <= 96 + NOISE:
            limits.append(34_000 * count / run)
    if spread > 96:
        limits.append(formula(axles, spread / 12))
    return min(limits)


def formula(axles: float, feet: float) -> float:
    """23 USC 127, in pounds: to the nearest 500, a tie goes down."""
    whole = math.floor(feet + 0.5)
    raw = 500 * (whole * axles / (axles - 1) + 12 * axles + 36)
    down = raw // 500 * 500
    return min(80_000, 20_000 * axles, down + (500 if raw - down > 250 else 0))


def bridge(axles: float, feet: float) -> float:
    return 20_000 if feet <= 40 / 12 else 34_000 if feet <= 8 else formula(axles, feet)


# What is broken


def anywhere(given: Set) -> Iterator[str]:
    """What is broken wherever the load sits."""
    f = Figures(given)
    gross, both = f.empty + f.weight, f.front_empty + f.rear_empty + f.empty + f.weight
    no_chains = f.says("hitch") == "gooseneck"  # 49 CFR 393.70(d), 37 TAC 21.5
    for name, amount, limit in (
        ("gvwr", gross, f.gvwr),
        ("coupler", gross, f.coupler),
        ("chains", 0 if no_chains else gross, 0 if no_chains else f.chains),
        ("hitch rating", gross, f.hitch_rating),
        ("gcwr", both, f.gcwr),
        ("front axle empty", f.front_empty, f.front_rating),
        ("deck short", f.wheelbase, f.deck_length * 12),
        ("height", f.deck_height + f.machine_height, 162),  # 13 ft 6 in, most states
    ):
        if amount > limit + NOISE:
            yield name
    if f.to_center >= f.wheelbase:
        yield "center"
    if f.says("permit") != "yes":
        span = f.truck_wheelbase + f.hitch_overhang + f.to_axles * 12 + f.axle_spread / 2
        if both > min(80_000, bridge(1 + f.rear_axles + f.axles, span / 12)) + NOISE:
            yield "law: both"
        if max(f.machine_width, f.trailer_width) > 102 + NOISE:  # 23 CFR 658.15
            yield "law: width"
    yield from coupling(f, gross)
    yield from widths(f)
    yield from ties(f)
    yield from way_up(f)
    if f.says("stands") != "yes" and lifts_the_truck(f):
        yield "lifts the truck"


def coupling(f: Figures, gross: float) -> Iterator[str]:
    """Hitch, its size and the brakes."""
    hitch, brakes, heavier = f.says("hitch"), f.says("brakes"), max(f.gvwr, gross)
    if hitch not in f.items("hitches"):
        yield "hitch"
    if f.says("coupler_size") not in f.items("coupler_sizes"):
        yield "coupler size"
    if brakes in ("electric", "air") and brakes not in f.items("brake_controls"):
        yield "brake control"
    times = 1.75 if heavier <= 12_000 else 1.25 if heavier <= 20_000 else 0  # 49 CFR 393.48(d)
    if brakes == "hydraulic surge" and heavier > times * f.truck_gvwr + NOISE:
        yield "surge"
    if brakes == "none" and gross > 3_000 + NOISE:  # 49 CFR 393.42(b)(3)
        yield "no brakes"


def widths(f: Figures) -> Iterator[str]:
    if f.tread_outside > f.deck_width + NOISE:
        yield "deck width"
    if f.tread_outside > f.ramps_outside + NOISE:
        yield "ramps outside"
    if f.says("ramp_kind") == "two ramps":
        inner_tire, inner_ramp = f.tread_outside / 2 - f.shoe_width, f.ramps_outside / 2 - f.ramp_width
        if inner_tire < inner_ramp - NOISE:
            yield "ramps inside"


def ties(f: Figures) -> Iterator[str]:
    """49 CFR 393.110, 393.130, 393.106(d)."""
    feet = (f.wheelbase + f.front_overhang + f.rear_overhang) / 12
    count = 1 if feet <= 5 and f.weight <= 1_100 else 2 + max(0, math.ceil(round((feet - 10) / 10, 9)))
    if f.weight >= 10_000:
        count = max(count, 4)
    if f.points < count:
        yield "points"
    if f.points and f.points * f.point_rating / 2 < f.weight / 2 - NOISE:
        yield "tie strength"


def lifts_the_truck(f: Figures) -> bool:
    """Whether the machine over the tail's end takes all weight off the truck's rear axles."""
    tail_end = f.to_deck + f.deck_length + math.sqrt(max(0, f.tail_length**2 - f.tail_drop**2)) / 12
    return truck_supports(f, trailer_supports(f, tail_end)[0])[1] < -NOISE


def at_place(given: Set, place: float) -> Iterator[str]:
    """What is broken with the center so many ft behind the deck's front edge."""
    f = Figures(given)
    pin, axles = trailer_supports(f, f.to_deck + place)
    front, rear = truck_supports(f, pin)
    own_axles = f.front_empty + f.rear_empty
    for name, amount, limit in (
        ("axles", axles, f.axles * f.axle_rating),
        ("suspension", axles, f.axles * f.suspension),
        ("tires", axles, f.axles * f.tires * f.tire_rating),
        ("wheels", axles, f.axles * f.tires * f.wheel_rating),
        ("coupler vertical", pin, f.coupler_vertical),
        ("hitch vertical", pin, f.hitch_vertical),
        ("jacks", pin, f.jacks * f.jack_rating if f.jacks else 0),
        ("truck gvwr", own_axles + pin, f.truck_gvwr),
        ("pin light", f.low_share * (f.empty + f.weight), pin),
        ("front axle", front, f.front_rating),
        ("rear axle", rear, f.rear_rating),
        ("front lifted", 1, front),
        ("no brakes, share", axles if f.says("brakes") == "none" else 0, 0.4 * own_axles),  # 49 CFR 393.42(b)(3)
    ):
        if amount > limit + NOISE:
            yield name
    yield from on_the_deck(f, place)
    if f.says("permit") != "yes":
        yield from unlawful(f, front, rear, axles)


def on_the_deck(f: Figures, place: float) -> Iterator[str]:
    """Whether its contacts stand on the deck and its front keeps clear of a gooseneck."""
    ahead = f.wheelbase - f.to_center if f.says("direction") == "backward" else f.to_center
    if place * 12 < ahead - NOISE:
        yield "off the front"
    if place * 12 + f.wheelbase - ahead > f.deck_length * 12 + NOISE:
        yield "off the rear"
    if f.says("hitch") != "gooseneck" and ahead + ends_of(f)[0] - (place + f.to_deck) * 12 > NOISE:
        yield "past the coupler"
    if f.says("hitch") == "gooseneck" and ahead + ends_of(f)[0] - place * 12 > f.neck_clearance + NOISE:
        yield "neck"


def unlawful(f: Figures, front: float, rear: float, axles: float) -> Iterator[str]:
    """23 CFR 658.17, 23 USC 127."""
    if front > 20_000 + NOISE:
        yield "law: front axle"
    if rear > group_limit(f.rear_axles, f.rear_spread) + NOISE:
        yield "law: rear axles"
    if axles > group_limit(f.axles, f.axle_spread) + NOISE:
        yield "law: trailer axles"
    if front + rear > bridge(1 + f.rear_axles, (f.truck_wheelbase + f.rear_spread / 2) / 12) + NOISE:
        yield "law: truck"
    span = (f.rear_spread + f.axle_spread) / 2 + f.hitch_overhang + f.to_axles * 12
    allowed = bridge(f.rear_axles + f.axles, span / 12)
    tandems = f.rear_axles == f.axles == 2 and all(40 < spread <= 96 for spread in (f.rear_spread, f.axle_spread))
    if tandems and span >= 36 * 12:
        allowed = max(allowed, 68_000)
    if rear + axles > allowed + NOISE:
        yield "law: rear to last"


def somewhere(given: Set, places: int = 400) -> bool:
    """Whether some place on the deck breaks nothing."""
    f = Figures(given)
    return any(not any(at_place(given, x)) for x in evenly(0, f.deck_length, places))
