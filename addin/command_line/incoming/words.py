"""What an import does and did, in words."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import TYPE_CHECKING

from tarelot.addin.command_line.command import as_typed
from tarelot.addin.command_line.output import REFUSED, WRONG, Column, clean, print_rows, say, say_whole
from tarelot.addin.command_line.stored import say_uncalculated
from tarelot.workbook_templates.basis.counts import so_many

if TYPE_CHECKING:
    from rich.text import Text

    from tarelot.workbook_templates.lot.reading import LotSheet
    from tarelot.workbook_templates.updates.apply import Applied
    from tarelot.workbook_templates.updates.plan import Change, Plan, RowPlan

MARKS = {"new": "+", "changed": "~", "refused": REFUSED}
COLORS = {"new": "bold dark_cyan", "changed": "bold", "refused": "bold dark_orange3"}
MOST_ROWS = 100
"""Rows of a list that are shown one by one unasked."""
SAMPLE = 10
"""Rows of each kind that stand for a longer list."""


def say_plan(planned: Plan[LotSheet], *, every_row: bool) -> None:
    """What would be done, trailer by trailer or in sum, then what is left out, then totals."""
    rows = [row for row in planned.rows if row.status != "same"]
    shown = rows if every_row or len(rows) <= MOST_ROWS else _sample(rows)
    if shown:
        columns = (
            Column("", "name"),
            Column("List row", "figure"),
            Column(planned.key, "name"),
            Column("What", "words"),
        )
        print_rows(columns, [_row(row, planned.key) for row in shown])
    if len(shown) < len(rows):
        say(f"... and {so_many(len(rows) - len(shown), 'more row')}: --all shows every one.")
        say(*_sums(rows, planned.key))
    for heading, why in planned.ignored.items():
        say(f"Column not imported: {heading} ({why})")
    for note in planned.notes:
        say(f"Note: {note}")
    counts = ", ".join(f"{count:,} {status}" for status, count in planned.totals.items())
    say(f"{planned.table.source}: {so_many(len(planned.rows), 'row')}: {counts}.")


def _sample(rows: Sequence[RowPlan]) -> list[RowPlan]:
    """The first rows of each kind; the refused come first, since they need the person most."""
    return [row for kind in reversed(MARKS) for row in [row for row in rows if row.status == kind][:SAMPLE]]


def _sums(rows: Sequence[RowPlan], key: str) -> list[str]:
    """How many trailers each column changes, the most first."""
    lines = []
    for status, words in (("changed", "Changed"), ("new", "Filled in new trailers")):
        changes = (change.heading for row in rows if row.status == status for change in row.changes)
        counted = Counter(heading for heading in changes if heading != key).most_common()
        if counted:
            lines.append(f"{words}: {'; '.join(f'{heading} {count:,}' for heading, count in counted)}.")
    return lines


def _row(row: RowPlan, key: str) -> tuple[str | Text, ...]:
    from rich.text import Text

    words = row.reason or "; ".join(_change(change) for change in row.changes if change.heading != key)
    if row.look:
        words += f"\n{WRONG} {row.look}"
    return Text(f"{MARKS[row.status]} {row.status}", style=COLORS[row.status]), str(row.number), row.key, words


def _change(change: Change) -> str:
    """A field's old and new value in words."""
    from tarelot.workbook_templates.updates.fields import in_words

    new, formula = in_words(change.new), " (a formula of yours)" if change.is_formula else ""
    if change.old is None and not formula:
        return f"{change.heading} {new}"
    return f"{change.heading} {in_words(change.old)}{formula} -> {new}"


def say_done(planned: Plan[LotSheet], done: Applied) -> None:
    """The end lines: what was done and where things are."""
    from tarelot.workbook_templates.updates.fixed_ranges import lines
    from tarelot.workbook_templates.updates.words import new_and_changed

    path = planned.lot.path
    if done.update is not None:
        say_uncalculated(done.update)
    if done.side_file is not None:
        say_whole(f"Refused rows, to be corrected and imported again: {done.side_file}")
    if done.backup is None:
        say(f"{path}: nothing to write.")
        return
    for line in lines(done.short):
        say(f"Look at this: {line}")
    say(f"{path}: {new_and_changed(planned.totals)} written.")
    # A name that cannot be printed as it is cannot be typed from the screen either.
    typed = as_typed(path)
    say_whole(f"To take it back: tarelot undo {typed if clean(typed) == typed else 'with the name of the workbook'}")
    say_whole(f"The version before: {done.backup}")
