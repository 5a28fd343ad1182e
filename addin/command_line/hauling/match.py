"""``match``: which trailers carry a machine, and what is wrong where not."""

from __future__ import annotations

import argparse
import json
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from tarelot.addin.command_line.command import Parser, command
from tarelot.addin.command_line.output import CAUTION, FINE, UNSURE, WRONG, Column, clean, print_rows, say

if TYPE_CHECKING:
    from rich.text import Text

YES, NO, NOT_SURE = "YES", "NO", "NOT SURE"
LOOKS = {YES: (FINE, "bold dark_cyan"), NO: (WRONG, "bold dark_orange3"), NOT_SURE: (UNSURE, "")}
"""Mark and color of each verdict."""
PRINTED = {
    "stock": "stock",
    "trailer": "trailer",
    "status": "status",
    "verdict": "word",
    "broken": "why",
    "enough": "enough_said",
    "missing": "lacking",
    "cautions": "minded",
    "spare": "spare",
}
"""What is printed for machines, and the column of Match that it is."""
REASONS = (("", "why"), ("enough: ", "enough_said"), ("missing: ", "lacking"), ("mind: ", "minded"))
"""What stands behind a verdict, and the words before it."""


def add_parsers(commands: argparse._SubParsersAction[Parser]) -> None:
    """Add the command to the command line."""
    match = command(
        commands,
        "match",
        "say of every trailer whether it carries a machine, and what is wrong where not",
        'tarelot match lot.xlsx --machine "Wheel loader 9" --truck "Tandem dump 58"',
        reads=("file",),
    )
    match.add_argument("file", type=Path, help="lot workbook")
    match.add_argument("--machine", required=True, help="name of the machine on the Machines sheet")
    match.add_argument("--truck", help="name of the truck on the Trucks sheet; left out: no truck is checked")
    match.add_argument("--json", action="store_true", help="print data for machines")
    match.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Print a verdict for every trailer."""
    from tarelot.workbook_templates.hauling.asked import limits_changed
    from tarelot.workbook_templates.hauling.match.reading import match_lot
    from tarelot.workbook_templates.lot.reading import read_lot

    lot = read_lot(chosen.file)
    found = match_lot(lot, chosen.machine, chosen.truck)
    shown = [row for row in found if row["asked"] == 1]
    totals = _totals(shown)
    unit, own_limits = lot.units.weight, limits_changed(lot.units, lot.limits)
    if chosen.json:
        trailers = [{name: row[key] for name, key in PRINTED.items()} for row in shown]
        data = {"machine": chosen.machine, "truck": chosen.truck, "weight_unit": unit, "own_limits": own_limits}
        print(json.dumps({**data, "trailers": trailers, "totals": totals}, indent=2))
        return 0
    columns = (
        Column("Stock no.", "name"),
        Column("Trailer", "name"),
        Column("Status", "fact"),
        Column("Spare", "figure", unit),
        Column("Carries it?", "name"),
        Column("Why, or what to mind", "words"),
    )
    print_rows(columns, [_row(row) for row in shown])
    behind = f" behind {chosen.truck}" if chosen.truck else "; no truck was chosen, so none gets a YES"
    counts = ", ".join(f"{totals[word]:,} {word}" for word in (YES, NO, NOT_SURE))
    say(f"{counts} of {totals['trailers']:,} trailers for {chosen.machine}{behind}.", CAUTION)
    if own_limits:
        say(f"By the yard's own limits: {clean(own_limits)}.", CAUTION)
    return 0


def _totals(rows: Sequence[Mapping[str, float | str | bool]]) -> dict[str, int]:
    """How many trailers, and how many of each verdict."""
    verdicts = [row["word"] for row in rows]
    return {"trailers": len(verdicts)} | {word: verdicts.count(word) for word in (YES, NO, NOT_SURE)}


def _row(row: Mapping[str, float | str | bool]) -> tuple[str | Text, ...]:
    """One trailer; a mark and words go with the color."""
    from rich.text import Text

    word, spare = str(row["word"]), row["spare"]
    mark, style = LOOKS[word]
    amount = f"{spare:,.0f}" if isinstance(spare, float) else str(spare)
    names = (clean(row[key]) for key in ("stock", "trailer", "status"))
    said = [f"{name}{row[key]}" for name, key in REASONS if row[key] != ""]
    return (*names, amount, Text(f"{mark} {word}", style=style), clean("; ".join(said)))
