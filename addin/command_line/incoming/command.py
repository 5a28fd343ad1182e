"""``import``: shows what a list would do to the lot, asks, and does it."""

from __future__ import annotations

import argparse
import json
from pathlib import Path
from typing import TYPE_CHECKING

from tarelot.addin.command_line.command import CommandError, Parser, command
from tarelot.addin.command_line.incoming.data import import_data
from tarelot.addin.command_line.incoming.words import say_done, say_plan
from tarelot.addin.command_line.output import agreed, progress, say

if TYPE_CHECKING:
    from tarelot.workbook_templates.lot.reading import LotSheet
    from tarelot.workbook_templates.updates.plan import Plan

INCOMING = "Incoming"
"""The workbook's own sheet for a list: headings in one of its first 50 rows, trailers below."""
ROWS_REFUSED = 1
STEPS = 6


def add_parsers(commands: argparse._SubParsersAction[Parser]) -> None:
    """Add the command to the command line."""
    take = command(
        commands,
        "import",
        "import a list of trailers into the lot, showing first what it does; exit 1 when rows are refused",
        "tarelot import lot.xlsx truckload.csv --dry-run",
        reads=("lot", "list"),
        changes=lambda chosen: [] if chosen.dry_run else [chosen.lot],
    )
    take.add_argument("lot", type=Path, help="lot workbook")
    take.add_argument(
        "list", type=Path, nargs="?", help=f"CSV, XLSX, XLSM or ODS; left out: the workbook's own sheet {INCOMING}"
    )
    take.add_argument("--sheet", help="sheet of the list, where the file has several")
    take.add_argument(
        "--key", choices=("Stock no.", "VIN"), help="what tells trailers apart (default: as the list has)"
    )
    take.add_argument("--decimal", choices=(".", ","), help="decimal mark of the list, where it is not certain")
    take.add_argument("--encoding", help="encoding of a text file, such as cp1252 or mac_roman")
    take.add_argument(
        "--same-key",
        action="store_true",
        help="take #1107, 01107 and 1107.0 for the same trailer as 1107 (otherwise such rows are refused)",
    )
    take.add_argument("--blank-erases", action="store_true", help="let a blank field of the list empty a filled one")
    asked = take.add_mutually_exclusive_group()
    asked.add_argument("--dry-run", action="store_true", help="show what would be done, and do nothing")
    asked.add_argument("--yes", action="store_true", help="do not ask before writing")
    shown = take.add_mutually_exclusive_group()
    shown.add_argument("--all", action="store_true", help="show every row, of a long list too")
    shown.add_argument("--json", action="store_true", help="print data for machines; with --yes or --dry-run")
    take.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Show what a list would do to the lot, ask, and do it."""
    from tarelot.workbook_templates.updates.apply import apply

    if chosen.json and not (chosen.yes or chosen.dry_run):
        raise CommandError("--json asks nothing: say --yes to write, or --dry-run to look only")
    list_path: Path = chosen.list or chosen.lot
    planned = _planned(chosen, list_path)
    status = ROWS_REFUSED if planned.refused else 0
    if chosen.json:
        done = None if chosen.dry_run else apply(planned, list_path)
        print(json.dumps(import_data(planned, done)))
        return status
    say_plan(planned, every_row=chosen.all)
    if chosen.dry_run:
        say("Nothing was written: this was a dry run.")
        return status
    if planned.changes_lot and not (chosen.yes or _agreed(planned)):
        say("Nothing was written.")
        return status
    with progress(STEPS) as step:
        done = apply(planned, list_path, step=step)
    say_done(planned, done)
    return status


def _planned(chosen: argparse.Namespace, list_path: Path) -> Plan[LotSheet]:
    """What the list would do to the lot."""
    from tarelot.workbook_templates.lists.reading import read_list
    from tarelot.workbook_templates.lot.reading import read_lot
    from tarelot.workbook_templates.ooxml.safe_file import refuse_if_open
    from tarelot.workbook_templates.updates.plan import plan

    if not chosen.dry_run:
        refuse_if_open(chosen.lot)
    with progress(STEPS) as step:
        step("reading the lot")
        lot = read_lot(chosen.lot)
        step("reading the list")
        sheet = chosen.sheet if chosen.list else chosen.sheet or INCOMING
        table = read_list(list_path, sheet, decimal=chosen.decimal, encoding=chosen.encoding)
        step("comparing")
        return plan(lot, table, key=chosen.key, blank_erases=chosen.blank_erases, same_key=chosen.same_key)


def _agreed(planned: Plan[LotSheet]) -> bool:
    """Whether the person says yes."""
    from tarelot.workbook_templates.updates.words import new_and_changed

    question = f"Write {new_and_changed(planned.totals)} into {planned.lot.path.name}?"
    return agreed(question, "to write, or --dry-run to look only")
