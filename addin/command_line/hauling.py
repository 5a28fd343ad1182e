"""The commands about hauling: ``match``, which trailers carry a machine, and ``card``, a page for the customer."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path

from tarelot.addin.command_line.command import command, plain

CAUTION = "Weigh on a certified scale. The certification labels govern. Check every rating."


def add_parsers(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the commands to the command line."""
    match = command(
        commands,
        "match",
        "say of every trailer whether it carries a machine, and what is wrong where not",
        'tarelot match lot.xlsx --machine "Wheel loader 9" --truck "Tandem dump 58"',
    )
    match.add_argument("file", type=Path, help="lot workbook")
    match.add_argument("--machine", required=True, help="name of the machine on the Machines sheet")
    match.add_argument("--truck", help="name of the truck on the Trucks sheet; left out: no truck is checked")
    match.add_argument("--json", action="store_true", help="print data for machines")
    match.set_defaults(run=run_match)

    card = command(
        commands,
        "card",
        "make a page for the customer about trailers, as PDF through LibreOffice",
        'tarelot card lot.xlsx 1105 1106 --machine "Backhoe 15" --out cards',
    )
    card.add_argument("file", type=Path, help="lot workbook")
    card.add_argument("stock", nargs="*", help="stock numbers")
    card.add_argument("--all", action="store_true", help="every trailer of the lot")
    card.add_argument("--machine", help="name of the machine on the Machines sheet; left out: the trailer alone")
    card.add_argument("--truck", help="name of the truck on the Trucks sheet; left out: no truck is checked")
    card.add_argument("--out", type=Path, required=True, help="folder for the PDF files")
    card.set_defaults(run=run_card)


def run_match(chosen: argparse.Namespace) -> int:
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
    _print_match(shown, unit)
    behind = f" behind {chosen.truck}" if chosen.truck else "; no truck was checked"
    print(
        f"{totals['carry']} of {totals['trailers']} carry {chosen.machine}{behind}; {totals['to_check']} to check on "
        f"What-if, {totals['lack_figures']} lack figures."
    )
    print(CAUTION)
    return 0


def run_card(chosen: argparse.Namespace) -> int:
    """Write the PDF files, with progress."""
    from rich.console import Console
    from rich.progress import Progress

    from tarelot.addin.command_line.card_files import chosen_load, chosen_rows, write_cards
    from tarelot.workbook_templates.lot.reading import read_lot

    if bool(chosen.stock) == chosen.all:
        raise ValueError("name stock numbers, or --all for every trailer, not both")
    if chosen.truck and not chosen.machine:
        raise ValueError("--truck needs --machine: a truck is checked with what the trailer carries")
    lot = read_lot(chosen.file)
    load = chosen_load(lot, chosen.machine, chosen.truck)
    rows = chosen_rows(lot, chosen.stock)
    with Progress(console=Console(stderr=True), transient=True, disable=not sys.stderr.isatty()) as bar:
        task = bar.add_task("", total=len(rows) + 1)
        written = write_cards(lot, rows, load, chosen.out, lambda name: bar.update(task, description=name, advance=1))
    print(f"Written: {len(written)} {'card' if len(written) == 1 else 'cards'} in {chosen.out}")
    print(CAUTION)
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


def _print_match(rows: Sequence[Mapping[str, float | str]], unit: str) -> None:
    """The table; a mark and words go with the colour."""
    from rich.console import Console
    from rich.table import Table
    from rich.text import Text

    table = Table(header_style="bold", pad_edge=False)
    for heading in ("Stock no.", "Trailer", "Status"):
        table.add_column(heading, no_wrap=True)
    table.add_column(f"Spare {unit}", justify="right")
    table.add_column("Verdict", ratio=1)
    for row in rows:
        verdict, spare = str(row["verdict"]), row["spare"]
        mark, style = ("▲", "bold dark_orange3")
        if verdict == "carries":
            mark, style = ("✓", "bold dark_cyan")
        elif verdict.startswith(("check", "figures missing")):
            mark, style = ("?", "")
        amount = f"{spare:,.0f}" if isinstance(spare, float) else spare
        texts = [plain(str(row[key])) for key in ("stock", "trailer", "status")]
        table.add_row(*map(Text, texts), Text(amount), Text(f"{mark} {plain(verdict)}", style=style))
    Console(width=None if sys.stdout.isatty() else 150, highlight=False).print(table)
