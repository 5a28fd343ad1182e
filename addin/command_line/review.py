"""``review``: every trailer with its figures and what conflicts."""

from __future__ import annotations

import argparse
import json
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from tarelot.addin.command_line import lots
from tarelot.addin.command_line.command import Parser, command
from tarelot.addin.command_line.output import CAUTION, WRONG, Column, amount, clean, print_rows, say
from tarelot.workbook_templates.basis.counts import so_many

if TYPE_CHECKING:
    from rich.text import Text

    from tarelot.workbook_templates.lot.review import Review, Reviewed

CONFLICTS_FOUND = 1


def add_parsers(commands: argparse._SubParsersAction[Parser]) -> None:
    """Add the command to the command line."""
    look = command(
        commands,
        "review",
        "list trailers and conflicts; exit 1 when there are any",
        "tarelot review lot.xlsx",
    )
    lots.add_argument(look)
    look.add_argument("--json", action="store_true", help="print data for machines")
    look.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Print the review of a workbook, or of several; 1 when there are conflicts, 2 when one cannot be read."""
    path = lots.only_one(chosen.file)
    if path is None:
        return _run_several(chosen.file, as_json=chosen.json)
    found = print_review(path, as_json=chosen.json)
    return CONFLICTS_FOUND if found.with_conflicts else 0


def reviewed(path: Path) -> Review:
    """The review of a workbook."""
    from tarelot.workbook_templates.lot.reading import read_lot
    from tarelot.workbook_templates.lot.review import review

    return review(read_lot(path))


def print_review(path: Path, *, as_json: bool = False) -> Review:
    """Read a workbook, print its review and return it."""
    found = reviewed(path)
    if as_json:
        print(json.dumps(found.as_data(), indent=2))
        return found
    print_rows(_columns(found.weight_unit), [_row(trailer) for trailer in found.trailers])
    say(f"{_counts(found.totals)}.", CAUTION)
    return found


def _run_several(named: Sequence[Path], *, as_json: bool) -> int:
    """Print the review of several lots, each trailer with its lot."""
    outcome = lots.work_out(named, reviewed)
    totals = lots.summed(found.totals for _, found in outcome.done)
    outcome.say_left()
    status = lots.NOT_READ if outcome.not_read else CONFLICTS_FOUND if totals.get("with_conflicts") else 0
    if as_json:
        data = outcome.lots_as_data(lambda found: found.as_data())
        print(json.dumps({"lots": data, "totals": totals, **outcome.left_as_data()}, indent=2))
    elif outcome.done:
        _print_several(outcome, totals)
    return status


def _print_several(outcome: lots.Outcome[Review], totals: Mapping[str, int]) -> None:
    """One table, each weight in its lot's own unit, then the counts of each lot and of all."""
    unit = lots.common_unit(found.weight_unit for _, found in outcome.done)
    rows = [
        (lot.name, *_row(trailer, "" if unit else found.weight_unit))
        for lot, found in outcome.done
        for trailer in found.trailers
    ]
    print_rows((Column("Lot", "name"), *_columns(unit)), rows)
    say(*(f"{lot.name}: {_counts(found.totals)}." for lot, found in outcome.done))
    say(*lots.unit_words({lot.name: found.weight_unit for lot, found in outcome.done}), *outcome.passed_over_words())
    say(f"{outcome.counted()}: {_counts(totals)}.", CAUTION)


def _columns(unit: str) -> tuple[Column, ...]:
    return (
        Column("Stock no.", "name"),
        Column("Trailer", "name"),
        Column("Payload", "figure", unit),
        Column("Safe", "figure", unit),
        Column("Limited by", "fact"),
        Column("Pin", "figure", unit),
        Column("Conflicts, and what could not be checked", "words"),
    )


def _counts(totals: Mapping[str, int]) -> str:
    return (
        f"{so_many(totals['trailers'], 'trailer')}, {totals['with_conflicts']:,} with conflicts, "
        f"{totals['not_fully_checked']:,} not fully checked, {totals['entries_to_look_at']:,} with entries to look at"
    )


def _row(trailer: Reviewed, unit: str = "") -> tuple[str | Text, ...]:
    """One trailer; a mark and words go with the color. Where columns name no unit, it stands in the cells."""
    from rich.text import Text

    words = Text(f"{WRONG} {clean(trailer.what_conflicts)}" if trailer.conflicts else "", style="bold dark_orange3")
    if trailer.entry_check:
        words.append(f"{chr(10) if words else ''}look at: {clean(str(trailer.entry_check))}", style="bold")
    if trailer.not_checked:
        unchecked = f"not checked: {clean(trailer.not_checked)}"
        words.append(f"\n{unchecked}" if words else unchecked, style="not bold grey50")
    return (
        trailer.stock,
        trailer.trailer,
        amount(trailer.payload, unit),
        amount(trailer.safe_payload, unit),
        str(trailer.limited_by),
        amount(trailer.pin_weight, unit),
        words or Text("ok"),
    )
