"""What-if's answers about the load on its trailer: does it carry it, and where may it sit."""

from __future__ import annotations

from collections.abc import Iterator

from tarelot.calc.cells.expression import Cell, Expression, Range
from tarelot.calc.cells.spreadsheet import AND, IF, IFERROR, INDEX, ISNUMBER, N
from tarelot.workbook_templates.basis.references import column_key
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling import questions as q
from tarelot.workbook_templates.hauling.placed import NO_PLACE
from tarelot.workbook_templates.hauling.questions import CAUTION, WRONG, judged
from tarelot.workbook_templates.hauling.what_if.answer import Answer
from tarelot.workbook_templates.hauling.what_if.rows import TABLES, TRAILER
from tarelot.workbook_templates.hauling.what_if.values import CHECK, OFF, OK, SHORT
from tarelot.workbook_templates.hauling.words import cut, distance, percent, thousands

C = Cell
MOST_WORDS = 75
"""Characters of a note that one line of the sheet holds."""


def weights(units: Units) -> Iterator[Answer]:
    """Whether trailer, hitch and axles carry it."""
    w, rating = units.weight, C("axle_group")
    gross = "Gross " & thousands(C("gross")) & " of " & thousands(C("gross_limit")) & f" {w}, limited by "
    yield Answer(
        "spare",
        "Weight to spare ({weight})",
        C("spare"),
        judged(q.WEIGHT, "too heavy"),
        note=gross & C("limited_by") & ".",
    )
    wanted = percent(C("low_share")) & " to " & percent(C("high_share")) & " is wanted"
    vertical = ", coupler vertical " & thousands(C("coupler_vertical")) & f" {w}"
    heavy = judged(q.PIN_HEAVY, "too heavy", judged(q.PIN_OVER_RATING, "too heavy"))
    yield Answer(
        "pin",
        "Pin weight ({weight})",
        C("pin"),
        judged(q.PIN_LIGHT, "too light", heavy),
        note=percent(C("pin_share"))
        & " of the gross; "
        & wanted
        & IF(N(C("coupler_vertical")) > 0, vertical, "")
        & ".",
        needs_place=True,
    )
    rated = "Axle group rated " & thousands(rating) & f" {w}."
    yield Answer(
        "axle_load",
        "Weight on its axles ({weight})",
        C("axle_load"),
        judged(q.AXLES_HEAVY, "too heavy"),
        note=IF(N(rating).equals(0), "The axle group has no rating stated.", rated),
        needs_place=True,
    )
    yield _conflicts()


def _conflicts() -> Answer:
    """What the Lot's own checks of the chosen trailer found: a caution, since some of them limit nothing here."""
    row = C(f"row of {TRAILER}")
    count, words = (_of_lot(heading) for heading in ("Conflicts", "What conflicts"))
    agree, refused = (
        "Sticker and parts agree, as far as they are stated.",
        "A figure of the trailer is out of range: see the Lot.",
    )
    found = IF(words.equals(""), agree, cut(words, MOST_WORDS, " ... see the Lot"))
    verdict = IFERROR(IF(words.equals(""), OK, CAUTION), f"{WRONG} {CHECK}")
    return Answer(
        "conflicts",
        "Conflicts on the Lot",
        IF(ISNUMBER(row), IFERROR(count, WRONG), "-"),
        IF(ISNUMBER(row), verdict, ""),
        note=IF(ISNUMBER(row), IFERROR(found, refused), "No trailer of the Lot is chosen."),
        kind="text",
    )


def _of_lot(heading: str) -> Expression:
    """A result of the chosen trailer."""
    return INDEX(Range(column_key(TABLES[TRAILER][0], heading)), C(f"row of {TRAILER}"))


def places(units: Units) -> Iterator[Answer]:
    """Where its center, and so its front contact, may stand; then where it sits, as proposed or as typed."""
    band, front = C("band"), C("to_center") / units.short_per_long

    def said(end: Expression) -> Expression:
        found = IF(ISNUMBER(C("band_from")), distance(end, units), "-")
        return IF(band.equals(""), "", found)

    state = IF(band.equals(OK), OK, IF(band.equals(CHECK), f"{WRONG} {CHECK}", f"{WRONG} no place"))
    why = _why()
    yield Answer("center_from", "Center from", said(C("band_from")), state, note=why, kind="text")
    rear_end = "At the rear end of the band."
    yield Answer("center_to", "Center to", said(C("band_to")), note=rear_end, kind="text")
    contact, marked = "Where the front contact stands then, from the deck's front edge.", " Mark it on the deck."
    front_from, front_to = said(C("band_from") - front), said(C("band_to") - front)
    yield Answer("front_from", "Front wheels or tracks from", front_from, note=contact, kind="text")
    yield Answer("front_to", "Front wheels or tracks to", front_to, note=rear_end + marked, kind="text")
    yield _seat(units)
    yield _front_end(units)


def _why() -> Expression:
    """What the band goes by, or why there is none."""
    reasons = {
        OK: "Center of gravity, from the deck's front edge, by pin, axles and the deck's ends.",
        SHORT: "The deck is shorter than its wheelbase or tracks.",
        OFF: "By pin and axles it would stand off the level deck.",
        NO_PLACE: "No place meets pin share, pin rating and axle rating together.",
    }
    found = "A weight or share is out of range."
    said: Expression | str = found
    for state, reason in reversed(reasons.items()):
        said = IF(C("band").equals(state), reason, said)
    assert isinstance(said, Expression)
    return said


def _seat(units: Units) -> Answer:
    center = C("center")
    inside = judged(q.AHEAD_OF_BAND, "outside", judged(q.BEHIND_BAND, "outside"))
    proposed = center.equals(C("proposed"))
    return Answer(
        "sits",
        "Center sits at",
        IF(ISNUMBER(center), distance(center, units), ""),
        IF(ISNUMBER(C("band_from")), inside, f"{WRONG} no band"),
        note=IF(proposed, "Proposed: the middle of the band.", "As typed under Where it sits."),
        kind="text",
        needs_place=True,
    )


def _front_end(units: Units) -> Answer:
    ahead = (C("to_center") + N(C("front_overhang"))) / units.short_per_long
    known = AND(ISNUMBER(C("center")), ISNUMBER(C("to_center")))
    over = "Reaches over the deck's front edge: mind drawbar and truck in a turn."
    return Answer(
        "front_end",
        "Its front end then at",
        IF(known, distance(C("center") - ahead, units), ""),
        judged(q.OVER_FRONT_EDGE, ""),
        note=IF(q.exceeds(q.OVER_FRONT_EDGE), over, "Behind the deck's front edge."),
        kind="text",
        needs_place=True,
    )
