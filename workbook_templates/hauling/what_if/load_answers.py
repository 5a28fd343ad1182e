"""What-if's answers about the load on its trailer: does it carry it, and where may it sit."""

from __future__ import annotations

from collections.abc import Iterator

from tarelot.calc.cells.expression import Cell, Expression, Range
from tarelot.calc.cells.spreadsheet import AND, IF, IFERROR, INDEX, ISNUMBER, OR, N
from tarelot.workbook_templates.basis.references import column_key
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling.asked import WRONG, is_state, unless_blank
from tarelot.workbook_templates.hauling.what_if.answer import Answer
from tarelot.workbook_templates.hauling.what_if.rows import TABLES, TRAILER
from tarelot.workbook_templates.hauling.words import cut, distance, percent, thousands

C = Cell
MOST_WORDS = 75
"""Characters of a note that one line of the sheet holds."""


def weights(units: Units) -> Iterator[Answer]:
    """Whether trailer, hitch and axles carry it."""
    w, rating = units.weight, C("axle_group")
    most = thousands(C("gross") + C("spare"))
    gross = "Gross " & thousands(C("gross")) & " of " & most & f" {w}, by "
    yield Answer(
        "spare",
        "Weight to spare ({weight})",
        C("spare"),
        ("gvwr", "coupler", "chains"),
        word="too heavy",
        note=gross & C("spare_by") & ".",
    )
    vertical = ", coupler vertical " & thousands(C("coupler_vertical")) & f" {w}"
    usual = percent(C("low_share")) & " to " & percent(C("high_share")) & " is wanted"
    share = percent(C("pin_share")) & " of the gross; " & usual
    yield Answer(
        "pin",
        "Pin weight ({weight})",
        C("pin"),
        ("pin_light", "pin_heavy", "coupler_vertical", "jacks", "shares"),
        word="not right",
        note=share & IF(N(C("coupler_vertical")) > 0, vertical, "") & ".",
        needs_place=True,
    )
    rated = "Axle group rated " & thousands(rating) & f" {w}: axles, suspension, tires and wheels."
    yield Answer(
        "axle_load",
        "Weight on its axles ({weight})",
        C("axle_load"),
        ("axles", "suspension", "tires", "wheels"),
        word="too heavy",
        note=IF(N(rating).equals(0), "The axle group has no rating stated.", rated),
        needs_place=True,
    )
    yield _entries()
    yield _conflicts()


def _entries() -> Answer:
    """Whether the figures themselves can be relied on."""
    words = ("hitch_word", "brakes_word", "ramp_kind_word", "runs_on_word")
    whole = ("whole_trailer", "whole_truck", "spreads", "empty_pin")
    return Answer(
        "entries",
        "Entries of the three",
        IF(C("missing").equals(""), "complete", "not complete"),
        ("trailer_entries", "machine_entries", "truck_entries", "aboard_entries", *words, *whole),
        note="By the entry checks of Lot, Machines and Trucks; Missing, above, says which.",
        kind="text",
    )


def _conflicts() -> Answer:
    """What the Lot's own checks of the chosen trailer found; some of them limit nothing here."""
    row = C(f"row of {TRAILER}")
    count, words = (_of_lot(heading) for heading in ("Conflicts", "What conflicts"))
    refused = "A figure of the trailer is out of range: see the Lot."
    agree = "Sticker and parts agree, as far as they are stated."
    found = IF(words.equals(""), agree, cut(words, MOST_WORDS, " ... see the Lot"))
    return Answer(
        "conflicts",
        "Conflicts on the Lot",
        IF(ISNUMBER(row), IFERROR(count, WRONG), "-"),
        note=IF(ISNUMBER(row), IFERROR(found, refused), "No trailer of the Lot is chosen."),
        kind="text",
    )


def _of_lot(heading: str) -> Expression:
    """A result of the chosen trailer."""
    return INDEX(Range(column_key(TABLES[TRAILER][0], heading)), C(f"row of {TRAILER}"))


def places(units: Units) -> Iterator[Answer]:
    """Where its center, and so its front contact, may stand; then where it sits, as proposed or as typed."""
    front = C("lead_to_center") / units.short_per_long
    from_front = "From the deck's front edge, set by "
    by_front, by_rear = from_front & C("pin_greatest_by") & ".", "The rear end, set by " & C("pin_least_by") & "."
    yield Answer(
        "center_from",
        "Center from",
        _said(C("center_from"), "center_from", units),
        ("no_place", "deck_short", "center_between", "aboard_deck", "aboard_wide", "aboard_apart", "aboard_tips"),
        word="no place",
        note=by_front,
        kind="text",
        needs_place=True,
    )
    rear = _said(C("center_to"), "center_to", units)
    yield Answer("center_to", "Center to", rear, note=by_rear, kind="text", needs_place=True)
    contact = "Where its leading contact stands then."
    ends = {"from": contact, "to": "At the rear end. Mark it on the deck."}
    for end, words in ends.items():
        stands = _said(C(f"center_{end}") - front, f"center_{end}", units)
        label = f"Leading wheels or tracks {end}"
        yield Answer(f"front_{end}", label, stands, note=words, kind="text", needs_place=True)
    yield _seat(units)
    yield _front_end(units)


def _said(length: Expression, known: str, units: Units) -> Expression:
    """A distance, blank where there is none."""
    return IF(ISNUMBER(C(known)), distance(length, units), "")


def _seat(units: Units) -> Answer:
    proposed = C("place mark").differs("TYPED")
    in_the_way = OR(is_state("aboard_ahead", "broken"), is_state("aboard_behind", "broken"))
    return Answer(
        "sits",
        "Center sits at",
        _said(C("center"), "center", units),
        ("front_contact", "rear_contact", "choices", "aboard_ahead", "aboard_behind"),
        word=IF(in_the_way, "in the way", "off the deck"),
        note=IF(proposed, "Proposed: within the band.", "As typed on the right."),
        kind="text",
        needs_place=True,
    )


def _front_end(units: Units) -> Answer:
    ahead = (C("lead_to_center") + C("lead_overhang")) / units.short_per_long
    known = unless_blank(("lead_to_center", "lead_overhang"), distance(C("center") - ahead, units))
    over = "Reaches over the deck's front edge: watch drawbar and truck in a turn."
    past = "Reaches past the tail's end: flags and lamps."
    behind = IF(C("center") < ahead, "Ahead of the deck's front edge, over the neck.", "Behind the deck's front edge.")
    return Answer(
        "front_end",
        "Its leading end then at",
        IF(AND(ISNUMBER(C("center"))), known, ""),
        ("front_edge", "coupler_end", "neck", "rear_past"),
        word="too far ahead",
        note=IF(is_state("front_edge", "caution"), over, IF(is_state("rear_past", "caution"), past, behind)),
        kind="text",
        needs_place=True,
    )
