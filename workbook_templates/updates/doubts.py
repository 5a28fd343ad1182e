"""What is not likely of the entries that an import would write, by the lot's limits, before it writes them.

The sheet says the same afterwards, in its column Entry check.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from tarelot.workbook_templates.basis.counts import so_many
from tarelot.workbook_templates.lot.held.lot import Lot
from tarelot.workbook_templates.lot.results import lot_results

NOT_LIKELY = "Entries not likely"
"""The part of Entry check that an import does not refuse by itself."""
MOST_SHOWN = 10
"""Rows of a list whose doubts are said one by one."""

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
