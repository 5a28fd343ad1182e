"""Match's tests of a row in a word each, what is missing, and the verdict."""

from __future__ import annotations

from collections.abc import Sequence

from tarelot.calc.cells.expression import Cell, Expression, Given
from tarelot.calc.cells.spreadsheet import (
    FIND,
    FIXED,
    IF,
    INT,
    ISERROR,
    ISNUMBER,
    LEFT,
    LEN,
    MAX,
    MID,
    OR,
    ROUND,
    SUBSTITUTE,
    joined,
)
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling import questions as q
from tarelot.workbook_templates.hauling.match.columns import (
    CARRIES,
    CHECK,
    MISSING,
    NAMED,
    OK,
    OUT_OF_RANGE,
    TESTS,
    TRAILER_FIGURES,
    label,
)
from tarelot.workbook_templates.hauling.placed import is_nowhere
from tarelot.workbook_templates.sheets import machines

C = Cell
NOWHERE, NOT_ON_DECK = "no place for its center by pin and axles", "no place on the deck for its center"
Asked = Sequence[tuple[q.Question, Given]]


def verdict(units: Units) -> dict[str, Expression]:
    """The tests, what is missing and the verdict, by key."""
    return _tests(units) | _verdict()


def _tests(units: Units) -> dict[str, Expression]:
    """Each test in a word: ``ok``, what is wrong, a caution, what to check, or blank where a figure is missing."""
    # Rounded down, as the verdict's shortage is rounded up: the two read the same.
    spare = INT(ROUND(C("gross_limit") - C("empty") - C("weight"), 6))
    return {
        "spare": q.unless_blank(("gross_limit", "empty", "weight"), spare),
        "payload": _judged([(q.WEIGHT, "payload short " & _excess(q.WEIGHT, units.weight))]),
        "place": IF(is_nowhere(), NOWHERE, _place(units)),
        "size": _size(units),
        "drive_on": _drive_on(units),
        "ties": _ties(units),
        "truck": IF(ISNUMBER(C("row of Truck")), _truck(units), ""),
    }


def _judged(asked: Asked) -> Expression:
    """What is said of the first question that goes over; else ``ok``, or blank where one is not answered."""
    needed = tuple(dict.fromkeys(key for question, _ in asked for key in question.needs))
    found = q.unless_blank(needed, OK)
    for question, said in reversed(asked):
        found = IF(q.exceeds(question), said, found)
    return found


def _up(amount: Expression) -> Expression:
    """An amount as text, to the next whole number."""
    return FIXED(0 - INT(0 - ROUND(amount, 6)), 0)


def _excess(question: q.Question, unit: str) -> Expression:
    """How far a question goes over, as text."""
    return _up(question.excess) & f" {unit}"


def _place(units: Units) -> Expression:
    return _judged(
        [
            (q.DECK_SHORT, "deck too short by " & _excess(q.DECK_SHORT, units.short)),
            (q.OFF_DECK, NOT_ON_DECK),
            (q.OVER_FRONT_EDGE, f"{q.CAUTION}: reaches over the deck's front edge"),
        ]
    )


def _size(units: Units) -> Expression:
    height, width = C("deck_height") + C("machine_height"), MAX(C("machine_width"), C("trailer_width"))
    return _judged(
        [
            (q.WIDER, "wider than the trailer by " & _excess(q.WIDER, units.short)),
            (q.TALL, "too high loaded: " & _up(height) & f" {units.short}"),
            (q.WIDE, f"{q.CAUTION}: " & _up(width) & f" {units.short} wide needs a permit"),
        ]
    )


def _drive_on(units: Units) -> Expression:
    """The drive-on by its bounds; on tracks the machine tips over the breaks, which only a person can judge."""
    said = ("touches on the drive-on", "tight on the drive-on", OK, q.CHECK)
    wheels = q.judged_gap(C("at_least"), C("at_most"), said, units)
    tips = f"{q.CHECK}: tips over " & FIXED(MAX(C("ramp_top"), C("tail_top")), 1) & " deg"
    found = IF(C("runs_on").equals(machines.WHEELS), wheels, tips)
    for question, end in ((q.REAR_STRIKES, "rear"), (q.FRONT_STRIKES, "front")):
        steep = f"ramp too steep for its {end}: " & FIXED(C("foot"), 1) & " deg"
        found = IF(q.exceeds(question), steep, found)
    return q.unless_blank(("runs_on", "at_least"), found)


def _ties(units: Units) -> Expression:
    few = "tie-downs short: " & C("points") & " of " & C("tie_downs")
    return _judged([(q.TIES_FEW, few), (q.TIES_WEAK, "tie-downs short " & _excess(q.TIES_WEAK, units.weight))])


def _truck(units: Units) -> Expression:
    light = "truck too light by " & _excess(q.TRUCK_LIGHT, units.weight) & " (" & C("truck_by") & ")"
    return _judged(
        [
            (q.HITCH_DIFFERS, "hitch differs: " & C("hitch")),
            (q.TRUCK_LIGHT, light),
            (q.FRONT_AXLE, "truck's front axle over by " & _excess(q.FRONT_AXLE, units.weight)),
        ]
    )


def _verdict() -> dict[str, Expression]:
    """What is missing, and the verdict: an error, the first thing wrong, what is missing, what to check, or carries."""
    lacking = [q.missing(figure.key, label(figure)) for figure in TRAILER_FIGURES if not figure.blank_is_none]
    named = MID(joined([*lacking, C("Machine missing"), C("Truck missing")]), 3, 999)
    missing = IF(C("asked").equals(1), named, "")
    more = LEN(C("missing")) - LEN(SUBSTITUTE(C("missing"), ";", "")) + 1 - NAMED
    first = LEFT(C("missing"), FIND("|", SUBSTITUTE(C("missing"), ";", "|", NAMED), 1) - 1)
    lacks = MISSING & IF(more > 0, first & " and " & more & " more", C("missing"))
    checks = LEFT(C("drive_on"), len(q.CHECK)).equals(q.CHECK)
    answer = IF(C("missing").differs(""), lacks, IF(checks, CHECK & MID(C("drive_on"), len(q.CHECK) + 1, 99), CARRIES))
    softer = {"place": q.CAUTION, "size": q.CAUTION, "drive_on": q.CHECK}
    for key in reversed(TESTS):
        fine = [C(key).equals(""), C(key).equals(OK)]
        if key in softer:
            fine.append(LEFT(C(key), len(softer[key])).equals(softer[key]))
        answer = IF(OR(*fine), answer, C(key))
    everything = joined([C(key) for key in ("asked", *TESTS, "missing")])
    return {
        "missing": missing,
        "verdict": IF(ISERROR(everything), OUT_OF_RANGE, IF(C("asked").differs(1), "", answer)),
    }
