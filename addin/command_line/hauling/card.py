"""``card``: a page for the customer about each trailer, and a quote beside it, as PDF."""

from __future__ import annotations

import argparse
import datetime
from pathlib import Path

from tarelot.addin.command_line.command import CommandError, Parser, command
from tarelot.addin.command_line.files import refuse_no_folder
from tarelot.addin.command_line.output import CAUTION, progress, say
from tarelot.workbook_templates.basis.counts import so_many


def add_parsers(commands: argparse._SubParsersAction[Parser]) -> None:
    """Add the command to the command line."""
    card = command(
        commands,
        "card",
        "make a page for the customer about trailers, as PDF through LibreOffice",
        'tarelot card lot.xlsx 1105 1106 --machine "Backhoe 15" --out cards',
        reads=("file",),
        changes=lambda chosen: [chosen.out],
    )
    card.add_argument("file", type=Path, help="lot workbook")
    card.add_argument("stock", nargs="*", help="stock numbers")
    card.add_argument("--all", action="store_true", help="every trailer of the lot")
    card.add_argument("--machine", help="name of the machine on the Machines sheet; left out: the trailer alone")
    card.add_argument("--truck", help="name of the truck on the Trucks sheet; left out: no truck is checked")
    card.add_argument("--price", help="price of a single trailer in your words; left out: as the Start sheet says")
    card.add_argument("--quote", action="store_true", help="a quote beside each card: price, options and their total")
    card.add_argument(
        "--valid-to", type=_day, metavar="DAY", help="last day on which the quotes stand, such as 2026-12-31"
    )
    card.add_argument("--out", type=Path, required=True, help="folder for the PDF files")
    card.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Write the PDF files, with progress."""
    from tarelot.addin.command_line.hauling.card_files import chosen_load, chosen_rows, write_cards
    from tarelot.workbook_templates.lot.reading import read_lot

    if chosen.stock and chosen.all:
        raise CommandError("name stock numbers, or --all for every trailer, not both")
    if not (chosen.stock or chosen.all):
        raise CommandError("no stock number is named: name one or more behind the lot, or --all for every trailer")
    if chosen.truck and not chosen.machine:
        raise CommandError("--truck needs --machine: a truck is checked with what the trailer carries")
    if chosen.price and len(chosen.stock) != 1:
        raise CommandError("--price is of a single trailer: name one stock number")
    if chosen.valid_to and not chosen.quote:
        raise CommandError("--valid-to needs --quote: a card has no last day")
    refuse_no_folder(chosen.out)
    lot = read_lot(chosen.file)
    today = datetime.date.today()
    if chosen.valid_to and chosen.valid_to < today:
        raise CommandError(f"--valid-to {chosen.valid_to} is over: name a day that is to come")
    load = chosen_load(
        *(lot, chosen.machine, chosen.truck, today, chosen.price), with_quote=chosen.quote, valid_to=chosen.valid_to
    )
    rows = chosen_rows(lot, chosen.stock)
    with progress(len(rows) * len(load.sheets) + 1) as step:
        written = write_cards(lot, rows, load, chosen.out, step)
    each = len(written) // len(load.sheets)
    made = so_many(each, "card")
    if chosen.quote:
        made += f" and {so_many(each, 'quote')}"
    say(f"Written: {made} in {chosen.out}", CAUTION)
    return 0


def _day(text: str) -> datetime.date:
    """A day as year-month-day."""
    try:
        return datetime.date.fromisoformat(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(f"{text!r} is no day: write it as 2026-12-31") from error
