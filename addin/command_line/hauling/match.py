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
    from tarelot.workbook_templates.hauling.match.reading import match_lot
    from tarelot.workbook_templates.lot.reading import read_lot

    lot = read_lot(chosen.file)
    found = match_lot(lot, chosen.machine, chosen.truck)
    shown = [row for row in found if row["asked"] == 1 or row["verdict"] != ""]
    totals = _totals(shown)
    unit = lot.units.weight
    if chosen.json:
        keys = ("stock", "trailer", "status", "verdict", "missing", "spare")
        trailers = [{key: row[key] for key in keys} | {"carries": row["verdict"] == "carries"} for row in shown]
        data = {"machine": chosen.machine, "truck": chosen.truck, "weight_unit": unit}
        print(json.dumps({**data, "trailers": trailers, "totals": totals}, indent=2))
        return 0
    columns = (
        Column("Stock no.", "name"),
        Column("Trailer", "name"),
        Column("Status", "fact"),
        Column("Spare", "figure", unit),
        Column("Verdict", "words"),
    )
    print_rows(columns, [_row(row) for row in shown])
    behind = f" behind {chosen.truck}" if chosen.truck else "; no truck was checked"
    say(
        f"{totals['carry']:,} of {totals['trailers']:,} carry {chosen.machine}{behind}; {totals['to_check']:,} to "
        f"check on What-if, {totals['lack_figures']:,} lack figures.",
        CAUTION,
    )
    return 0


def _totals(rows: Sequence[Mapping[str, float | str]]) -> dict[str, int]:
    """How many carry, are to be checked, lack figures."""
    verdicts = [str(row["verdict"]) for row in rows]
    return {
        "trailers": len(verdicts),
        "carry": verdicts.count("carries"),
        "to_check": sum(verdict.startswith("check") for verdict in verdicts),
        "lack_figures": sum(verdict.startswith("figures missing") for verdict in verdicts),
    }


def _row(row: Mapping[str, float | str]) -> tuple[str | Text, ...]:
    """One trailer; a mark and words go with the color."""
    from rich.text import Text

    verdict, spare = str(row["verdict"]), row["spare"]
    mark, style = WRONG, "bold dark_orange3"
    if verdict == "carries":
        mark, style = FINE, "bold dark_cyan"
    elif verdict.startswith(("check", "figures missing")):
        mark, style = UNSURE, ""
    amount = f"{spare:,.0f}" if isinstance(spare, float) else spare
    names = (clean(row[key]) for key in ("stock", "trailer", "status"))
    return (*names, amount, Text(f"{mark} {clean(verdict)}", style=style))
