"""What the Card says about machine and truck: What-if's answers, and the words around the side view."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from tarelot.calc.cells.expression import Cell, Expression, Given, lift
from tarelot.calc.cells.spreadsheet import AND, FIXED, IF, IFERROR, OR
from tarelot.calc.rules.hauling_rule import NO, NOT_SURE, YES
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling.asked import NOT_CHECKED, WRONG
from tarelot.workbook_templates.hauling.card.cells import CHECK, name
from tarelot.workbook_templates.hauling.drive_on.tightest import WHEELS
from tarelot.workbook_templates.hauling.what_if import aboard
from tarelot.workbook_templates.hauling.what_if.answer import answer, note, verdict
from tarelot.workbook_templates.hauling.what_if.answers import answers
from tarelot.workbook_templates.hauling.what_if.rows import MACHINE, SHEET, TRAILER, TRUCK, choice_key, no_choice
from tarelot.workbook_templates.hauling.what_if.sheet import FORMATS
from tarelot.workbook_templates.hauling.what_if.values import there
from tarelot.workbook_templates.hauling.words import cut

C = Cell
NOT_DRAWN = "Not drawn:"
REASON_LINES = {"broken": 5, "enough": 3, "missing": 2, "cautions": 3}
"""Lines of the page that hold what is broken, missing or to be minded."""
MOST_NAMES = 60
"""Letters of the names of what is also aboard that the line above the side view holds."""
LINE_LETTERS = 160
"""Letters that each of these lines holds, the name before them reckoned in."""
REASON_NAMES = {
    "broken": "What does not fit",
    "enough": "What would be enough, each for its part",
    "missing": "Missing",
    "cautions": "To watch for",
}
MEANINGS = {
    NO: "Something does not fit: by how much, and what would be enough, stands below.",
    NOT_SURE: "Nothing was found that does not fit, but not everything could be asked: see what is missing.",
    YES: "Everything was asked, and it fits as far as these figures are right.",
}
"""What each verdict means, for a customer."""


@dataclass(frozen=True)
class Line:
    """A line about the machine or the truck."""

    label: Expression
    figure: Expression
    verdict: Expression
    note: Expression
    number_format: str = "General"


def heading(units: Units) -> Expression:
    """What stands above the side view."""
    behind = IF(there(TRUCK), " behind " & name(TRUCK, units), "")
    also = IF(C("items") > 0, "; also aboard: " & cut(aboard.names(), MOST_NAMES, " ..."), "")
    return IF(there(MACHINE), "With " & name(MACHINE, units) & behind & also, "Seen from the side")


def verdict_word() -> Expression:
    """The verdict in its word."""
    return IF(AND(there(TRAILER), there(MACHINE)), C("verdict"), "")


def verdict_meaning() -> Expression:
    """What the verdict means; without a machine that there is none."""
    alone = "No machine was chosen: the figures are those of the trailer alone."
    lost = IF(no_choice(MACHINE), alone, C(choice_key(MACHINE)) & f" {WRONG} not on the Machines sheet.")
    said: Given = ""
    for word, meaning in MEANINGS.items():
        said = IF(C("verdict").equals(word), meaning, said)
    return IF(there(TRAILER), IF(there(MACHINE), said, lost), "")


def reasons() -> tuple[Expression, ...]:
    """What does not fit, what would be enough, what is missing and what is to be minded, a line each."""
    return tuple(
        IF(AND(there(TRAILER), there(MACHINE)), f"{REASON_NAMES[key]}: " & _reason(key, lines), "")
        for key, lines in REASON_LINES.items()
    )


def _reason(key: str, lines: int) -> Expression:
    """What is said, or nothing; cut where the lines hold no more. The yard's own limits have a line of their own."""
    more = f" ... and more: see {SHEET}"
    most = lines * LINE_LETTERS - len(REASON_NAMES[key]) - len(more)
    return IF(C(key).equals(""), "nothing", cut(C(key), most, more))


def captions() -> tuple[Expression, Expression, Expression]:
    """The words below the side view: of the band, of the tightest place, of the drawing."""
    is_drawn = C("draw_machine").equals(1)
    scale = lift("To scale, both ways alike; drawbar, wheels and outline sketched.")
    counted = IF(C("items") > 0, " Purple: also aboard, counted in every answer with the machine.", "")
    not_drawn = f"{NOT_DRAWN} deck height, deck length or the place of the deck behind the coupler is not stated."
    return (
        IF(is_drawn, C("caption_band"), ""),
        IF(is_drawn, C("caption_tight"), ""),
        IF(there(TRAILER), IF(C("draw").equals(1), scale & counted, not_drawn), ""),
    )


def lines(units: Units) -> Iterator[Line]:
    """The lines about machine and truck."""
    yield _of_answer("spare", units)
    yield _span("Its center may sit", "center_from", "center_to")
    yield _span("Leading wheels or tracks then", "front_from", "front_to")
    for key in ("pin", "axle_load", "ramp_angle", "ramp_load", "tread"):
        yield _of_answer(key, units)
    yield _gap(units)
    for key in ("ties", "tie_rating"):
        yield _of_answer(key, units)
    yield _truck_line(units)
    for key in ("brakes", "truck_spare", "rear_axle", "front_axle", "combination", "license"):
        yield _of_answer(key, units, TRUCK)


def _when(group: str, words: Given) -> Expression:
    """Words about a machine, or about a truck behind which it is hauled."""
    known = there(MACHINE) if group == MACHINE else AND(there(MACHINE), there(group))
    return IF(known, IFERROR(lift(words), CHECK), "")


def _of_answer(key: str, units: Units, group: str = MACHINE) -> Line:
    """A line that is What-if's."""
    shown, figure = answers(units)[key], answer(key)
    return Line(
        _when(group, units.heading(shown.label)),
        _when(group, IF(figure.equals(""), "-", figure)),
        _when(group, verdict(key)),
        _when(group, note(key)),
        FORMATS[shown.kind],
    )


def _span(label: str, low: str, high: str) -> Line:
    """A line from one answer to another."""
    start, none = answer(low), OR(answer(low).equals(""), answer(low).equals("-"))
    return Line(
        _when(MACHINE, label),
        _when(MACHINE, IF(none, "-", start & " to " & answer(high))),
        _when(MACHINE, verdict(low)),
        _when(MACHINE, note(low)),
    )


def _gap(units: Units) -> Line:
    """The tightest gap; on tracks the break that the machine tips over."""
    wheels, gap = WHEELS.equals(1), answer("gap")
    tips = IF(C("tips_at").equals(3), C("tail_top"), C("ramp_top"))
    tipping = IF(tips.equals(""), "-", FIXED(tips, 1) & "°")
    tightest = IF(gap.equals(""), "-", FIXED(gap, 1) & f" {units.short}")
    return Line(
        _when(MACHINE, IF(wheels, "Tightest gap on the drive-on", "Tips over, on the drive-on")),
        _when(MACHINE, IF(wheels, tightest, tipping)),
        _when(MACHINE, IF(wheels, verdict("gap"), verdict("ramp_top"))),
        _when(MACHINE, IF(wheels, note("gap"), note("ramp_top"))),
    )


def _truck_line(units: Units) -> Line:
    """The hitch of the truck, or that none was checked."""
    line = _of_answer("hitch", units, TRUCK)
    none = IF(no_choice(TRUCK), "none chosen", f"{WRONG} not on the Trucks sheet")

    def instead(shown: Expression, words: Given) -> Expression:
        return IF(there(MACHINE), IF(there(TRUCK), shown, words), "")

    return Line(
        instead(line.label, "Truck"),
        instead(line.figure, none),
        instead(line.verdict, NOT_CHECKED),
        instead(line.note, "Hitch, ratings of the truck and the driver's license are still to be checked."),
    )
