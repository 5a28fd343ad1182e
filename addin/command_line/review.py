"""``review``: every trailer with its figures and what conflicts."""

from __future__ import annotations

import argparse
import json
from pathlib import Path
from typing import TYPE_CHECKING

from tarelot.addin.command_line.command import Parser, command
from tarelot.addin.command_line.output import CAUTION, WRONG, Column, clean, print_rows, say

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
        reads=("file",),
    )
    look.add_argument("file", type=Path, help="lot workbook")
    look.add_argument("--json", action="store_true", help="print data for machines")
    look.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Print the review of a workbook; 1 when there are conflicts."""
    found = print_review(chosen.file, as_json=chosen.json)
    return CONFLICTS_FOUND if found.with_conflicts else 0


def print_review(path: Path, *, as_json: bool = False) -> Review:
    """Read a workbook, print its review and return it."""
    from tarelot.workbook_templates.lot.reading import read_lot
    from tarelot.workbook_templates.lot.review import review

    found = review(read_lot(path))
    if as_json:
        print(json.dumps(found.as_data(), indent=2))
        return found
    unit = found.weight_unit
    columns = (
        Column("Stock no.", "name"),
        Column("Trailer", "name"),
        Column("Payload", "figure", unit),
        Column("Safe", "figure", unit),
        Column("Limited by", "fact"),
        Column("Pin", "figure", unit),
        Column("Conflicts, and what could not be checked", "words"),
    )
    print_rows(columns, [_row(trailer) for trailer in found.trailers])
    say(
        f"{len(found.trailers):,} trailers, {found.with_conflicts:,} with conflicts, "
        f"{found.not_fully_checked:,} not fully checked, {found.with_entries_to_look_at:,} with entries to look at.",
        CAUTION,
    )
    return found


def _row(trailer: Reviewed) -> tuple[str | Text, ...]:
    """One trailer; a mark and words go with the color."""
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
        _amount(trailer.payload),
        _amount(trailer.safe_payload),
        str(trailer.limited_by),
        _amount(trailer.pin_weight),
        words or Text("ok"),
    )


def _amount(value: float | str) -> str:
    """A weight with thousands; blank and error values as they are."""
    return f"{value:,.0f}" if isinstance(value, float) else value
