"""What the figures of the Card rest on, in words."""

from __future__ import annotations

from collections.abc import Iterator

from tarelot.calc.cells.expression import Cell, Expression
from tarelot.calc.cells.spreadsheet import AND, IF, IFERROR, ISNUMBER, OR, joined
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling import asked
from tarelot.workbook_templates.hauling.asked import WRONG
from tarelot.workbook_templates.hauling.card.cells import is_listed, listed, typed_count
from tarelot.workbook_templates.hauling.what_if import aboard
from tarelot.workbook_templates.hauling.what_if.answer import answer
from tarelot.workbook_templates.hauling.what_if.rows import FIGURES, MACHINE, PLACE, SHEET, TRAILER, is_typed
from tarelot.workbook_templates.hauling.what_if.values import there
from tarelot.workbook_templates.hauling.words import cut, distance, percent

C = Cell
LONGEST_WORDS = 205
"""Letters of a free text that two lines of the page hold."""
MOST_NAMED = 4
"""Typed figures that a line of the page names."""
Assumption = tuple[Expression, Expression]
"""The mark before a line, and its words."""


def assumptions(units: Units) -> Iterator[Assumption]:
    """What the figures rest on; the last three lines are of the lot's own checks and of the yard's own limits."""
    typed = _typed_over() & IF(C("items") > 0, " Also aboard, " & aboard.weighs(units) & f": as on {SHEET}.", "")
    for words in (_empty_weight(units), _pin_share(units), _load_place(units), typed):
        yield _line(IF(there(TRAILER), "·", ""), words)
    conflicts, lacking, entries = (
        listed(TRAILER, heading, units) for heading in ("What conflicts", "Not checked", "Entry check")
    )
    agree = "Checks of the trailer: sticker and parts agree, as far as they are stated."
    settle = "Found by the checks of the trailer, to be settled first: " & _shortened(conflicts) & "."
    yield _line(_mark(conflicts), IF(is_listed(TRAILER), IF(conflicts.equals(""), agree, settle), ""))
    full = "Every check of the ratings had its figures."
    checked = IF(lacking.equals(""), full, "Not checked, since figures are missing: " & _shortened(lacking) & ".")
    settle = "Entries of the trailer to be settled first: " & _shortened(entries)
    yield _line(_mark(entries), IF(is_listed(TRAILER), IF(entries.equals(""), checked, settle), ""))
    changed = asked.LIMITS_CHANGED
    own = IF(changed.equals(""), "", "Asked with the yard's own limits: " & _shortened(changed, "Limits") & ".")
    yield _line(IF(changed.equals(""), "", IF(there(TRAILER), "·", "")), own)


def _line(mark: Expression, words: Expression) -> Assumption:
    return mark, IF(there(TRAILER), words, "")


def _mark(found: Expression) -> Expression:
    """The mark of a line that is to be settled, where something was found."""
    return IF(there(TRAILER), IFERROR(IF(found.equals(""), "·", WRONG), WRONG), "")


def _empty_weight(units: Units) -> Expression:
    weighed = listed(TRAILER, "Scale weight ({weight})", units).differs("")
    by_list = "Empty weight: as listed, with its options; not weighed."
    found = IF(weighed, "Empty weight: weighed on a scale.", by_list)
    return IF(is_typed("empty"), f"Empty weight: as typed on {SHEET}.", found)


def _pin_share(units: Units) -> Expression:
    shares = {"low_share": "Low pin share", "high_share": "High pin share"}
    stated = (OR(listed(TRAILER, heading, units).differs(""), is_typed(key)) for key, heading in shares.items())
    rule = IF(AND(*stated), "as stated for the trailer", "common practice where not stated, not a rule")
    known = percent(C("low_share")) & " to " & percent(C("high_share")) & ", " & rule & "."
    what, unknown = "Share of the gross on the hitch: ", "not known, since the kind of hitch is not stated."
    return what & IF(AND(*(ISNUMBER(C(key)) for key in shares)), known, unknown)


def _load_place(units: Units) -> Expression:
    sits = answer("sits")
    how = IF(is_typed("place"), "as typed", "as proposed within where it may")
    machine = "The machine's center sits at " & sits & " from the deck's front edge, " & how
    machine = machine & "; it drives on " & C("direction") & ", on level ground, nothing springing."
    low, high = (listed(TRAILER, f"Load center {end} ({{long}})", units) for end in ("from", "to"))
    known = AND(ISNUMBER(low), ISNUMBER(high), typed_count().equals(0))
    ends = distance(low, units) & " to " & distance(high, units)
    full = "A load of the safe payload keeps the share on the hitch with its center " & ends
    full = full & " from the deck's front edge; level ground at the ramp."
    alone = "The load's center sits where the share on the hitch is kept; level ground at the ramp."
    return IF(AND(there(MACHINE), sits.differs("")), machine, IF(known, full, alone))


def _typed_over() -> Expression:
    """The figures that are not the lists' own."""
    count = typed_count()
    names = [IF(is_typed(f.key), f"; {_owned(f.group, f.heading or f.label)}", "") for f in FIGURES]
    named = f"Typed over on {SHEET} for this page" & joined(names) & "."
    many = count & f" figures are typed over on {SHEET} for this page, and marked there."
    return IF(count.equals(0), "Every figure is as listed in the workbook.", IF(count > MOST_NAMED, many, named))


def _owned(group: str, heading: str) -> str:
    """A figure's name with whose it is."""
    name = heading.partition(" (")[0]
    return name if group in (TRAILER, PLACE) else f"{group.lower()}'s {name}"


def _shortened(text: Expression, sheet: str = "the Lot") -> Expression:
    """A text, cut with a word about it where two lines do not hold it."""
    return cut(text, LONGEST_WORDS, f" ... and more on {sheet}")
