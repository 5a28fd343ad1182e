"""What-if's answers about the way: driving on, tying down, truck and driver, on the road."""

from __future__ import annotations

from collections.abc import Iterator

from tarelot.calc.cells.expression import Cell
from tarelot.calc.cells.spreadsheet import ABS, AND, FIXED, IF, INT, ISNUMBER, MAX, OR, RADIANS, ROUND, TAN, N
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling.asked import is_state, unless_blank
from tarelot.workbook_templates.hauling.drive_on.profile import READY
from tarelot.workbook_templates.hauling.drive_on.tightest import (
    FRONT_OVER,
    LEADING,
    PART,
    REAR_OVER,
    TRACKS,
    TRAILING,
    WHEELS,
)
from tarelot.workbook_templates.hauling.what_if.answer import Answer, answer
from tarelot.workbook_templates.hauling.words import percent, thousands

C = Cell
ON_WHEELS = WHEELS.equals(1)


def driving_on(units: Units) -> Iterator[Answer]:
    """The ramp's angle, what rests on it, the two breaks, the tightest gap, the lift on the hitch."""
    yield _ramp()
    yield Answer(
        "ramp_load",
        "On the ramps at once ({weight})",
        C("ramp_load"),
        ("ramp_rating",),
        word="too heavy",
        note=unless_blank(("ramp_rating",), "Ramp pair rated " & thousands(C("ramp_rating")) & f" {units.weight}."),
    )
    yield Answer(
        "ramp_lift",
        "Ramp lifted by hand ({weight})",
        C("ramp_lift"),
        ("ramp_lift",),
        note="One person lifts up to " & thousands(C("limit_ramp_lift")) & f" {units.weight}, a guide.",
        lacking="Not asked. Type the force on the right, from a spring scale.",
    )
    yield _tread()
    yield _break("ramp_top", "Break at the ramp's top", ("tips",))
    yield _break("tail_top", "Break at the tail's top", ())
    yield _gap()
    pin = answer("lift")
    lifts = "Lifts the hitch by that much over the tail's end: set stands or block the tail first."
    yield Answer(
        "lift",
        "Pin while loading ({weight})",
        C("loading_pin"),
        ("lift", "lift_hitch", "loading_axles", "aboard_lifts"),
        word="lifts the truck",
        note=IF(pin < 0, lifts, "Stays down on the hitch."),
    )


def _ramp() -> Answer:
    """The ramp's angle against what the machine climbs and what its ends clear."""
    said = "A grade of " & percent(TAN(RADIANS(C("foot"))), 0) & "."
    rear = "Its trailing end strikes the ground: longer ramps or blocks."
    front = "Its leading end strikes the ramp: carry it higher, or longer ramps."
    fronts, rears = (is_state(rule, "broken") for rule in ("front_strikes", "rear_strikes"))
    worse = IF(N(REAR_OVER) > N(FRONT_OVER), TRAILING, LEADING)
    named = IF(OR(PART.equals(LEADING), PART.equals(TRAILING)), PART, worse)
    end = IF(AND(fronts, rears), IF(READY.equals(1), named, worse), IF(fronts, LEADING, TRAILING))
    not_drawn = IF(AND(READY.equals(1), PART.differs(end)), " Drawn: the gap below.", "")
    strikes = IF(end.equals(LEADING), front, rear) & not_drawn
    too_steep = OR(*(is_state(rule, "broken") for rule in ("ramp_steep", "climb")))
    return Answer(
        "ramp_angle",
        "Ramp angle, as at its foot",
        C("foot"),
        ("ramp_steep", "climb", "slope", "front_strikes", "rear_strikes", "tail", "aboard_low"),
        word=IF(too_steep, "too steep", "strikes"),
        note=IF(OR(fronts, rears), strikes, said),
        kind="angle",
    )


def _tread() -> Answer:
    """Tires or tracks on deck and ramps."""
    ramps = "Deck " & thousands(C("deck_width")) & ", ramps outside to outside " & thousands(C("ramps_outside")) & "."
    return Answer(
        "tread",
        "Outside of tires or tracks ({short})",
        C("tread_outside"),
        ("tread_deck", "tread_ramps", "tread_between"),
        word="does not fit",
        note=unless_blank(("deck_width", "ramps_outside"), ramps),
        kind="gap",
    )


def _break(key: str, label: str, rules: tuple[str, ...]) -> Answer:
    """The change of slope at a break."""
    tips = "Tracks lie on the break and tip over it: slowly, boom low, nobody near."
    return Answer(key, label, C(key), rules, note=IF(ON_WHEELS, "See the tightest gap, below.", tips), kind="angle")


def _gap() -> Answer:
    """The tightest gap of the sweep; tracks have none."""
    unsure = IF(is_state("gap", "not asked"), ": not sure, see Missing above.", ".")
    soft = IF(is_state("gap_tight", "caution"), ": springs and soft ground can take that.", unsure)
    found = C("where") & IF(answer("gap") < 0, ": needs longer ramps, a lower tail or blocks.", soft)
    return Answer(
        "gap",
        "Tightest gap ({short})",
        IF(READY.equals(1), IF(ON_WHEELS, ROUND(C("least_gap"), 9), TRACKS), ""),
        ("gap", "gap_tight"),
        word="touches",
        note=IF(ON_WHEELS, found, "A gap has no meaning on tracks; look at the two breaks above."),
        kind="gap",
    )


def ties(units: Units) -> Iterator[Answer]:
    """How many tie-downs, and how strong."""
    count, own, points, rating, weight = map(C, ("ties", "machine_ties", "points", "point_rating", "weight"))
    many = IF(points.equals(1), " point", " points")
    of_points = "Of the trailer's " & points & many
    lowered = "; attachments lowered and tied too (393.110, 393.130)."
    of_them = IF(points.equals(""), "", "Of " & points & many & ", ")  # the Card has no room for longer words
    with_items = of_them & own & " for the machine; lower and tie attachments (393.110, 393.130)."
    alone = IF(points.equals(""), lowered[2:], of_points & lowered)
    yield Answer(
        "ties",
        "Tie-downs needed",
        count,
        ("ties_few",),
        word="too few",
        note=IF(C("items") > 0, with_items, alone),
        kind="whole",
    )
    more = 0 - INT(0 - ROUND(weight / MAX(rating, 0.000001), 9))
    use = IF(N(rating) * own >= weight, "", "Use " & more & " points. ")
    stated = use & "Trailer's points: " & thousands(rating) & f" {units.weight} each; check chain, hooks, binders "
    yield Answer(
        "tie_rating",
        "Rating each, direct ({weight})",
        unless_blank(("machine_ties", "weight"), weight / own),
        ("ties_weak",),
        word="too weak",
        note=IF(rating.equals(""), "The points have no rating stated.", stated & "(393.106(d))."),
    )


def truck(units: Units) -> Iterator[Answer]:
    """Hitch, brakes, what the truck may pull, its axles, the driver's license."""
    size = IF(C("coupler_size").equals(""), "", ", " & C("coupler_size"))
    sizes = size & "; the truck has: " & C("hitches") & "; " & C("coupler_sizes") & "."
    yield Answer(
        "hitch",
        "Trailer's hitch",
        unless_blank(("hitch", "hitches"), C("hitch")),
        ("hitch", "coupler_size", "hitch_place"),
        word="differs",
        note=C("hitch") & sizes,
        kind="text",
    )
    yield Answer(
        "brakes",
        "Trailer's brakes",
        C("brakes"),
        ("brake_control", "surge", "unbraked", "unbraked_share"),
        word="not allowed",
        note="The truck works: " & IF(C("brake_controls").equals(""), "not stated", C("brake_controls")) & ".",
        kind="text",
    )
    limit = "It may pull " & thousands(C("truck_limit")) & f" {units.weight} at this pin share, limited by "
    yield Answer(
        "truck_spare",
        "Truck's remaining capacity ({weight})",
        C("truck_spare"),
        ("truck_gvwr", "gcwr", "hitch_rating", "hitch_vertical"),
        word="too heavy",
        note=limit & C("truck_by") & ".",
        needs_place=True,
    )
    yield _axle("rear", "Rear axles loaded ({weight})", ("rear_axle",), units)
    front = ("front_axle", "front_axle_empty", "front_lifted", "front_share")
    yield _axle("front", "Front axle loaded ({weight})", front, units)
    group = C("license")
    none, some = "No commercial license by weight alone", "Commercial license, group " & group
    asks = IF(group.equals("none"), none, some) & " (49 CFR 383.91). Ask the state's office."
    yield Answer("license", "License group by weight", group, ("license",), note=asks, kind="text")


def _axle(end: str, label: str, rules: tuple[str, ...], units: Units) -> Answer:
    """An axle of the truck with the pin on its hitch."""
    change, rating, w = C(f"{end}_change"), C(f"{end}_rating"), f" {units.weight}"
    changed = IF(change < 0, "The trailer takes off ", "The trailer adds ") & thousands(ABS(change)) & w
    rated = IF(N(rating).equals(0), "not stated", thousands(rating) & w)
    return Answer(
        f"{end}_axle",
        label,
        C(f"{end}_load"),
        rules,
        word="not right",
        note=changed & "; rated " & rated & ".",
        needs_place=True,
    )


def road(units: Units) -> Iterator[Answer]:
    """Height, width and weight of trailer and machine together against the law."""
    tallest, widest = (C(f"limit_legal_{size}") for size in ("height", "width"))
    yield Answer(
        "height",
        "Loaded height ({short})",
        C("loaded_height"),
        ("tall",),
        word="too high",
        note="Allowed here: " & FIXED(tallest, 0) & f" {units.short}; measure it loaded, know the bridges on the way.",
    )
    wider = IF(is_state("wider", "caution"), "Wider than the trailer. ", "")
    yield Answer(
        "width",
        "Loaded width ({short})",
        C("loaded_width"),
        ("wide", "wider", "side_flags"),
        word="too wide",
        note=wider & "Above " & FIXED(widest, 0) & f" {units.short} it needs a permit (23 CFR 658.15).",
    )
    axles = ("legal_trailer_axles", "legal_rear_axles", "legal_steer")
    known = IF(ISNUMBER(C("combination")), C("combination"), "")
    yield Answer(
        "combination",
        "Truck and trailer together ({weight})",
        known,
        ("legal_gross", "bridge_truck", "bridge_outer", "bridge_inner", *axles),
        word="above the law",
        note="Axles, gross, bridge formula (23 CFR 658.17); look out for posted roads.",
    )
