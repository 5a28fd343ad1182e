"""What a person should know of an import before it is written: entries not likely, options not listed, rows gone past.

What is not likely by the lot's limits the sheet says afterwards too, in its column Entry check.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence

from tarelot.workbook_templates.basis.counts import so_many
from tarelot.workbook_templates.lot.held.lot import Lot
from tarelot.workbook_templates.lot.results import lot_results
from tarelot.workbook_templates.updates.options import listed_names, not_listed

NOT_LIKELY = "Entries not likely"
"""The part of Entry check that an import does not refuse by itself."""
MOST_SHOWN = 10
"""Rows of a list whose doubts are said one by one."""
GO_PAST = "new trailers go past "
"""How the note begins that says which rows of the Lot stay as they are between the trailers."""
MOST_ROWS = 10
"""Rows of it that are named; more are counted."""

Entries = Mapping[str, object]


def entry_doubts(lot: Lot, trailers: Sequence[tuple[str, Entries, Entries]]) -> list[str]:
    """What Entry check would call not likely that it does not now, a line each; the first few, and how many.

    Args:
        lot: The lot, for its units, options and limits.
        trailers: What a trailer is called in the list, what the lot holds of it, and what it would hold.
    """
    before, after = (
        [
            str(result[NOT_LIKELY])
            for result in lot_results(entries, lot.options, lot.units, lot.limits, only=NOT_LIKELY)
        ]
        for entries in ([held for _, held, _ in trailers], [new for _, _, new in trailers])
    )
    doubts = [
        f"{name}: {now}" for (name, _, _), was, now in zip(trailers, before, after, strict=True) if now not in ("", was)
    ]
    if len(doubts) > MOST_SHOWN:
        more = so_many(len(doubts) - MOST_SHOWN, "more trailer has", "more trailers have")
        return [*doubts[:MOST_SHOWN], f"{more} entries that are not likely"]
    return doubts


def options_lacking(lot: Lot, named: Iterable[object]) -> list[str]:
    """Options named that the Options sheet does not have: the workbook cannot weigh them.

    Args:
        lot: The lot.
        named: What the fields of options would hold.
    """
    lacking = not_listed((text for text in named if isinstance(text, str)), listed_names(lot.options))
    if not lacking:
        return []
    return [
        "not on the Options sheet yet; until they are, Entry check names them and their trailers' listed weights "
        f"stay blank: {', '.join(lacking)}"
    ]


def passed_over(lot: Lot, new: Collection[int]) -> list[str]:
    """Which rows between the trailers stay as they are, since a person's own note stands there and no trailer.

    Args:
        lot: The lot.
        new: The sheet's rows of the new trailers.
    """
    last = max((row.number for row in lot.rows), default=lot.first_row - 1)
    end = min(max(new, default=0), lot.last_row)
    noted = sorted({*range(last + 1, end + 1)} - {*lot.blank_rows, *new})
    if not noted:
        return []
    shown, more = noted[:MOST_ROWS], len(noted) - MOST_ROWS
    rows = ", ".join(map(str, shown)) + (f" and {more:,} more" if more > 0 else "")
    hold = "holds" if len(noted) == 1 else "hold"
    return [f"{GO_PAST}{so_many(len(noted), 'row')} of {lot.sheet} that {hold} only what you noted there: {rows}"]
