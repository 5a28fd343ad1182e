"""``tickets``: shows what the weighings on the Tickets sheet come to; ``--use`` fills the Lot from them."""

from __future__ import annotations

import argparse
import datetime
import json
from pathlib import Path
from typing import TYPE_CHECKING

from tarelot.addin.command_line.command import CommandError, Parser, command
from tarelot.addin.command_line.incoming.data import import_data
from tarelot.addin.command_line.incoming.words import say_done, say_plan
from tarelot.addin.command_line.output import CAUTION, REFUSED, WRONG, Column, agreed, clean, print_rows, progress, say
from tarelot.workbook_templates.basis.counts import so_many

if TYPE_CHECKING:
    from rich.text import Text

    from tarelot.workbook_templates.lot.reading import LotSheet
    from tarelot.workbook_templates.updates.tickets import Use, Weighing

DISAGREES = 1
STEPS = 6
FIGURES = ("weight", "pin", "pin_share", "axle_load", "load_aboard")
WORDS = {
    "verdict": "ticket",
    "between": "tickets_disagree",
    "against": "lot_and_ratings",
    "cautions": "cautions",
    "entry_check": "entry_check",
}
"""What the columns of words are called in the data for machines, by key."""


def add_parsers(commands: argparse._SubParsersAction[Parser]) -> None:
    """Add the command to the command line."""
    look = command(
        commands,
        "tickets",
        "show what scale tickets come to, and fill the lot from them with --use; exit 1 where something disagrees",
        "tarelot tickets lot.xlsx --use",
        reads=("lot",),
        changes=lambda chosen: [chosen.lot] if chosen.use and not chosen.dry_run else [],
    )
    look.add_argument("lot", type=Path, help="lot workbook")
    look.add_argument(
        "--use",
        action="store_true",
        help="fill Scale weight and Empty pin from the latest empty weighing of each trailer; shows first what it does",
    )
    asked = look.add_mutually_exclusive_group()
    asked.add_argument("--dry-run", action="store_true", help="with --use: show what would be done, and do nothing")
    asked.add_argument("--yes", action="store_true", help="with --use: do not ask before writing")
    look.add_argument("--json", action="store_true", help="print data for machines; of --use with --yes or --dry-run")
    look.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Show the weighings; fill the lot from them if that is asked for; 1 where something disagrees."""
    from tarelot.workbook_templates.updates.apply import apply
    from tarelot.workbook_templates.updates.tickets import use

    if chosen.json and chosen.use and not (chosen.yes or chosen.dry_run):
        raise CommandError("--json asks nothing: say --yes to write, or --dry-run to look only")
    if (chosen.yes or chosen.dry_run) and not chosen.use:
        raise CommandError("--yes and --dry-run say how to --use the tickets: say --use too")
    lot, found = _read(chosen)
    status = DISAGREES if any(one.disagrees for one in found) else 0
    used = use(lot, found, datetime.date.today()) if chosen.use else None
    is_written = used is not None and not chosen.dry_run
    if chosen.json:
        done = apply(used.plan, chosen.lot) if used and is_written else None
        print(json.dumps(_data(found, used, import_data(used.plan, done) if used else None), indent=2))
        return status
    _say_weighings(found, lot.units.weight)
    if used is None:
        return status
    say_plan(used.plan, every_row=True)
    if not is_written:
        say("Nothing was written: this was a dry run.")
    elif used.plan.changes_lot and not (chosen.yes or _agreed(used)):
        say("Nothing was written.")
    else:
        with progress(STEPS) as step:
            done = apply(used.plan, chosen.lot, step=step)
        say_done(used.plan, done)
    return status


def _read(chosen: argparse.Namespace) -> tuple[LotSheet, list[Weighing]]:
    """The lot and its weighings.

    Raises:
        LotError: The workbook is no lot, or has no Tickets.
        FileError: It is open elsewhere and is to be written.
    """
    from tarelot.workbook_templates.lot.reading import read_lot, read_table
    from tarelot.workbook_templates.ooxml.package import tables
    from tarelot.workbook_templates.ooxml.safe_file import refuse_if_open
    from tarelot.workbook_templates.sheets.tickets.columns import TABLE
    from tarelot.workbook_templates.updates.tickets import inputs_of, weighings

    if chosen.use and not chosen.dry_run:
        refuse_if_open(chosen.lot)
    lot = read_lot(chosen.lot)
    rows = read_table(chosen.lot, TABLE, inputs_of(lot.units))
    first = next(table.first_row for table in tables(chosen.lot) if table.name.casefold() == TABLE.casefold())
    return lot, weighings(lot, enumerate(rows, first))


def _agreed(used: Use[LotSheet]) -> bool:
    changed = used.plan.totals["changed"]
    question = f"Write the scale's figures of {so_many(changed, 'trailer')} into {used.plan.lot.path.name}?"
    return agreed(question, "to write, or --dry-run to look only")


def _say_weighings(found: list[Weighing], unit: str) -> None:
    columns = (
        Column("Row", "name"),
        Column("Stock no.", "name"),
        Column("Date", "name"),
        Column("Weighed", "fact"),
        Column("Weight", "figure", unit),
        Column("Pin", "figure", unit),
        Column("Share", "figure"),
        Column("Axles", "figure", unit),
        Column("What disagrees, what is missing, and what to mind", "words"),
    )
    print_rows(columns, [_row(one) for one in found])
    wrong = sum(one.disagrees for one in found)
    say(f"{so_many(len(found), 'weighing')}, {wrong:,} of them to be looked at.", CAUTION)


def _row(one: Weighing) -> tuple[str | Text, ...]:
    """One weighing; a mark and words go with the color."""
    from rich.text import Text

    said = one.found
    words = Text()
    for key, mark, style in (
        ("entry_check", REFUSED, "bold dark_orange3"),
        ("between", WRONG, "bold dark_orange3"),
        ("against", WRONG, "bold dark_orange3"),
        ("missing", "?", "not bold grey50"),
        ("cautions", "·", "not bold"),
    ):
        if said[key]:
            words.append(f"{chr(10) if words else ''}{mark} {clean(str(said[key]))}", style=style)
    weight, pin, axles = (_amount(said[key]) for key in ("weight", "pin", "axle_load"))
    share = said["pin_share"]
    shown = f"{share:.1%}" if isinstance(share, float) else ""
    return str(one.row), one.stock, _day(one) or "", one.load, weight, pin, shown, axles, words or Text("ok")


def _amount(figure: object) -> str:
    return f"{figure:,.0f}" if isinstance(figure, float) else ""


def _day(one: Weighing) -> str | None:
    """The day as 2026-03-05; None where there is none."""
    return f"{one.day:%Y-%m-%d}" if one.day else None


def _data(found: list[Weighing], used: Use[LotSheet] | None, written: object) -> dict[str, object]:
    """All as plain data; a blank is null."""
    rows = [
        {
            "row": one.row,
            "stock": one.stock,
            "date": _day(one),
            "weighed": one.load,
            **{key: None if one.found[key] == "" else one.found[key] for key in FIGURES},
            **{name: one.found[key] for key, name in WORDS.items()},
        }
        for one in found
    ]
    return {"weighings": rows, "use": written, "left": used.left if used else None}
