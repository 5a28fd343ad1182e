"""What is said of an import where there is no command line: in LibreOffice's menu and on Excel's preview sheet."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Mapping, Sequence

from tarelot.workbook_templates.basis.counts import so_many
from tarelot.workbook_templates.lot.column import InputKind
from tarelot.workbook_templates.lot.held.lot import Lot
from tarelot.workbook_templates.updates.fields import in_words
from tarelot.workbook_templates.updates.plan import AnyLot, Change, Plan, RowPlan, Status

HEADINGS = ("List row", "Trailer", "What", "Column", "On the lot", "From the list, or why not")
HEADING_COLOR = "D9E2E4"
COLORS = {"refused": "FBE3CF", "changed": "FFF6D6", "new": "E3F0E3"}
"""Of a preview's headings, and of what needs to be looked at."""
ORDER = ("refused", "changed", "new", "same")
"""What needs the person most comes first."""
UNCERTAIN_DECIMAL, NEARLY_THE_SAME = "--decimal)", "--same-key"
"""What a reason for refusing holds that a person's answer may take away."""

LOOK = "▲"
"""Stands before what a person should look at."""
DECIMAL_QUESTION, IF_POINT = "Is the decimal mark of this list a comma, as in 7,5?", "No: it is a point."
SAME_QUESTION = "Are trailers with such names the same trailer?"

_OTHERWISE = (
    (re.compile(r" \(say (?:which|so) with --decimal[^)]*\)"), ""),
    (re.compile(r" \(--decimal (.) was given\)"), r' (you said that the decimal mark is "\1")'),
    (re.compile(r", or say --same-key where such names are the same trailer"), ""),
    (re.compile(r"; where that is wrong, say --encoding"), "; where that is wrong, save the list as .xlsx"),
    (re.compile(r"\. Name it with --encoding"), ". Save it as .xlsx"),
    (re.compile(r" with --sheet"), ""),
)

PreviewRow = tuple[str | float, ...]
Words = Callable[[str, object], str]
AMOUNTS: tuple[InputKind, ...] = ("number", "from zero", "money", "offset")
"""What thousands are told apart in: not a year, a count or a name."""


def without_options(text: str) -> str:
    """A message of the lists' or the plan's without what only a command line can be told.

    >>> said = '"1.234" may be a decimal or a thousands point (say which with --decimal); a weight is expected'
    >>> without_options(said)
    '"1.234" may be a decimal or a thousands point; a weight is expected'
    """
    for pattern, words in _OTHERWISE:
        text = pattern.sub(words, text)
    return text


def totals_in_words(totals: Mapping[Status, int]) -> str:
    """How many rows of the list are new, changed, same and refused.

    >>> totals_in_words({"new": 4, "changed": 0, "same": 0, "refused": 1})
    '4 new, 0 changed, 0 same, 1 refused'
    """
    return ", ".join(f"{count:,} {status}" for status, count in totals.items())


def new_and_changed(totals: Mapping[Status, int]) -> str:
    """How many trailers are new and changed, without those that are none.

    >>> [new_and_changed({"new": new, "changed": changed}) for new, changed in ((1, 0), (4, 1), (0, 2), (0, 0))]
    ['1 new trailer', '4 new trailers and 1 changed trailer', '2 changed trailers', 'no trailer']
    """
    kinds: tuple[Status, ...] = ("new", "changed")
    counted = [so_many(totals[kind], f"{kind} trailer") for kind in kinds if totals[kind]]
    return " and ".join(counted) or "no trailer"


def summary(plan: Plan[AnyLot]) -> str:
    """The list and its totals in a line."""
    return without_options(f"{plan.table.source}: {totals_in_words(plan.totals)}.")


def notes(plan: Plan[AnyLot]) -> list[str]:
    """What a person should know of the whole list, a line each."""
    left_out = [f"Column not imported: {heading} ({why})" for heading, why in plan.ignored.items()]
    return [without_options(line) for line in (*left_out, *(f"Note: {note}" for note in plan.notes))]


def with_signs(text: str, decimal: str, thousands: str) -> str:
    """A number's text with the signs of the program that shows it.

    >>> with_signs("12,500.75", ",", "."), with_signs("12,500.75", ".", ",")
    ('12.500,75', '12,500.75')
    """
    return text.translate({ord("."): decimal, ord(","): thousands})


def in_words_with(decimal: str, thousands: str, amounts: Collection[str]) -> Words:
    """How a preview says a field: a value as a person reads it, with the signs of the program that shows it.

    Args:
        decimal: The program's decimal sign.
        thousands: What it tells thousands apart by.
        amounts: The headings whose values are told so from 1,000 up.

    >>> said = in_words_with(",", ".", ["Price"])
    >>> said("Price", 4321.5), said("Model year", 2026), said("Axles (lb)", 7000.5), said("Model", "12.5")
    ('4.321,50', '2026', '7000,5', '12.5')
    """

    def said(heading: str, value: object) -> str:
        if isinstance(value, bool) or not isinstance(value, int | float):
            return in_words(value)
        is_amount = heading in amounts and abs(value) >= 1_000
        text = f"{value:,.2f}".removesuffix(".00") if is_amount else in_words(value)
        return with_signs(text, decimal, thousands)

    return said


def amounts(lot: Lot) -> set[str]:
    """The headings of a lot's amounts, which it shows with thousands: not those of a year, a count or a name."""
    return {heading for heading, column in lot.inputs().items() if column.kind in AMOUNTS}


def preview_rows(plan: Plan[AnyLot], said: Words) -> list[PreviewRow]:
    """What importing the list would do: a line for each trailer, for each field of those that change.

    Args:
        plan: The plan.
        said: How a field is said, from its heading and value.
    """
    rows: list[PreviewRow] = []
    for row in sorted(plan.rows, key=lambda row: ORDER.index(row.status)):
        if row.status == "changed":
            rows += [_line(row, c.heading, _old(c, said), said(c.heading, c.new)) for c in row.changes]
            if row.look:
                rows.append(_line(row, "", "", f"{LOOK} {row.look}"))
        elif row.status == "new":
            fields = (f"{c.heading} {said(c.heading, c.new)}" for c in row.changes if c.heading != plan.key)
            rows.append(_line(row, "", "", "; ".join(fields)))
        else:
            rows.append(_line(row, "", "", without_options(row.reason)))
    return rows


def says(plan: Plan[AnyLot], words: str) -> Sequence[str]:
    """The reasons for refusing that hold some words."""
    return [row.reason for row in plan.rows if words in row.reason]


def _line(row: RowPlan, column: str, old: str, new: str) -> PreviewRow:
    return float(row.number), row.key, row.status, column, old, new


def _old(change: Change, said: Words) -> str:
    old = said(change.heading, change.old)
    return f"{old} (a formula of yours)" if change.is_formula else old
