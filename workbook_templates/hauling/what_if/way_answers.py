"""What-if's answers about the way: driving on, tying down, truck and driver, on the road."""

from __future__ import annotations

from collections.abc import Iterator

from tarelot.calc.cells.expression import Cell, Expression
from tarelot.calc.cells.spreadsheet import ABS, AND, FIXED, IF, INT, MAX, MIN, RADIANS, ROUND, TAN, N
from tarelot.workbook_templates.basis.units import LEGAL_WIDTH_IN, Units
from tarelot.workbook_templates.hauling import questions as q
from tarelot.workbook_templates.hauling.drive_on.profile import READY
from tarelot.workbook_templates.hauling.drive_on.tightest import TRACKS, WHEELS
from tarelot.workbook_templates.hauling.questions import CAUTION, WRONG, judged, unless_blank
from tarelot.workbook_templates.hauling.what_if.answer import Answer, answer
from tarelot.workbook_templates.hauling.what_if.values import OK
from tarelot.workbook_templates.hauling.words import percent, thousands

C = Cell
ON_WHEELS = WHEELS.equals(1)
SEE_GAP, STEEP = "see the gap", "too steep"
TALLEST = f"{q.TALL_IN // 12:g} ft {q.TALL_IN % 12:g} in"


def driving_on(units: Units) -> Iterator[Answer]:
    """The ramp's angle, the two breaks, the tightest gap, the lift on the hitch."""
    yield _ramp()
    yield _break("ramp_top", "Break at the ramp's top")
    yield _break("tail_top", "Break at the tail's top")
    yield _gap(units)
    pin = answer("lift")
    yield Answer(
        "lift",
        "Pin while loading ({weight})",
        C("loading_pin"),
        IF(pin < 0, CAUTION, OK),
        note=IF(
            pin < 0,
            "Lifts the hitch by that much over the tail's end: set stands or block the tail first.",
            "Stays down on the hitch.",
        ),
    )


def _ramp() -> Answer:
    """The ramp's angle against the machine's ends."""
    foot, ends = C("foot"), MIN(C("front_angle"), C("rear_angle"))
    steep = IF(foot > ends, IF(ON_WHEELS, SEE_GAP, CAUTION), OK)
    clears = IF(ends < 90, "; the machine's ends clear " & FIXED(ends, 1) & "°.", ".")
    said = "A grade of " & percent(TAN(RADIANS(foot)), 0) & clears
    rear = "Its rear strikes the ground: longer ramps, a lower tail or blocks."
    front = "Its front strikes the ramp: carry it higher and type that clearance, or longer ramps."
    return Answer(
        "ramp_angle",
        "Ramp angle, as at its foot",
        foot,
        judged(q.FRONT_STRIKES, STEEP, judged(q.REAR_STRIKES, STEEP, steep)),
        note=IF(q.exceeds(q.FRONT_STRIKES), front, IF(q.exceeds(q.REAR_STRIKES), rear, said)),
        kind="angle",
    )


def _break(key: str, label: str) -> Answer:
    """The change of slope at a break."""
    angle, over = C(key), C("break_over")
    tips = "Tracks lie on the break and tip over it: slowly, boom low, nobody near."
    return Answer(
        key,
        label,
        angle,
        IF(ON_WHEELS, IF(angle > over, SEE_GAP, OK), IF(angle > 0, CAUTION, OK)),
        note=IF(ON_WHEELS, "The machine's break-over angle is " & _degrees(over) & ".", tips),
        kind="angle",
    )


def _degrees(angle: Expression) -> Expression:
    return thousands(angle, 1) & "°"


def _gap(units: Units) -> Answer:
    """The tightest gap; tracks have none."""
    gap = answer("gap")
    said = (f"{WRONG} touches", f"{WRONG} tight", "clears", f"{WRONG} tight")
    soft = IF(gap < q.clear(units), ": springs and soft ground can take that.", ".")
    found = C("where") & IF(gap < 0, ": needs longer ramps, a lower tail or blocks.", soft)
    return Answer(
        "gap",
        "Tightest gap ({short})",
        IF(READY.equals(1), IF(ON_WHEELS, ROUND(C("least_gap"), 9), TRACKS), ""),
        IF(ON_WHEELS, q.judged_gap(gap, gap, said, units), CAUTION),
        note=IF(ON_WHEELS, found, "A gap has no meaning on tracks; look at the two breaks above."),
        kind="gap",
    )


def ties(units: Units) -> Iterator[Answer]:
    """How many tie-downs, and how strong."""
    count, points, rating, weight = C("tie_downs"), C("points"), C("point_rating"), C("weight")
    attachments = "attachments lowered and tied too (393.110, 393.130)."
    yield Answer(
        "ties",
        "Tie-downs needed",
        count,
        judged(q.TIES_FEW, "too few"),
        note=IF(points.equals(""), "", "Of the trailer's " & points & " points; ") & attachments,
        kind="whole",
    )
    more = 0 - INT(0 - ROUND(weight / MAX(rating, 0.000001), 9))
    enough = IF(rating * count >= weight, OK, "use " & more)
    stated = "Trailer's points: " & thousands(rating) & f" {units.weight} each; check chain, hooks, binders "
    yield Answer(
        "tie_rating",
        "Rating each, direct ({weight})",
        unless_blank(("tie_downs", "weight"), weight / count),
        judged(q.TIES_WEAK, "too weak", enough),
        note=IF(rating.equals(""), "The points have no rating stated.", stated & "(393.106(d))."),
    )


def truck(units: Units) -> Iterator[Answer]:
    """Hitch, what the truck may pull, its axles, the driver's license."""
    yield Answer(
        "hitch",
        "Trailer's hitch",
        unless_blank(("hitch", "hitches"), C("hitch")),
        judged(q.HITCH_DIFFERS, "differs"),
        note="The truck has: " & C("hitches") & ".",
        kind="text",
    )
    limit = "It may pull " & thousands(C("truck_limit")) & f" {units.weight} at this pin share, limited by "
    yield Answer(
        "truck_spare",
        "Truck has to spare ({weight})",
        C("truck_spare"),
        judged(q.TRUCK_LIGHT, "too heavy"),
        note=limit & C("truck_by") & ".",
        needs_place=True,
    )
    yield _axle("rear", "Rear axles loaded ({weight})", q.REAR_AXLE, units)
    yield _axle("front", "Front axle loaded ({weight})", q.FRONT_AXLE, units)
    group = C("license")
    by_group = IF(
        group.equals("none"),
        "No commercial license by weight alone (49 CFR 383.91).",
        "Commercial license, group " & group & " (49 CFR 383.91).",
    )
    office = " Ask the state's office."
    yield Answer("license", "License group by weight", group, note=by_group & office, kind="text")


def _axle(end: str, label: str, question: q.Question, units: Units) -> Answer:
    """An axle of the truck with the pin on its hitch."""
    change, rating, w = C(f"{end}_change"), C(f"{end}_rating"), f" {units.weight}"
    changed = IF(change < 0, "The trailer takes off ", "The trailer adds ") & thousands(ABS(change)) & w
    rated = IF(N(rating).equals(0), "not stated", thousands(rating) & w)
    return Answer(
        f"{end}_axle",
        label,
        C(f"{end}_axle"),
        judged(question, "too heavy"),
        note=changed & "; rated " & rated & ".",
        needs_place=True,
    )


def road(units: Units) -> Iterator[Answer]:
    """Height and width of trailer and machine together."""
    yield Answer(
        "height",
        "Loaded height ({short})",
        unless_blank(("deck_height", "machine_height"), C("deck_height") + C("machine_height")),
        judged(q.TALL, "too high"),
        note=f"Most states allow {TALLEST}; measure it loaded and know the bridges on the way.",
    )
    trailer, machine = C("trailer_width"), C("machine_width")
    permit = f"Above {LEGAL_WIDTH_IN:g} in it needs a permit (23 CFR 658.15)."
    yield Answer(
        "width",
        "Loaded width ({short})",
        IF(AND(N(trailer) > 0, N(machine) > 0), MAX(trailer, machine), ""),
        judged(q.WIDER, "too wide", judged(q.WIDE, "")),
        note=IF(q.exceeds(q.WIDER), "Wider than the trailer. ", "") & permit,
    )
