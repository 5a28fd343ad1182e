"""The commands that change a lot workbook from a list: ``take-in``, ``undo``, ``results`` and ``copy``."""

from __future__ import annotations

import argparse
import datetime
import json
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING

from tarelot.addin.command_line.command import command, plain
from tarelot.addin.command_line.incoming_data import take_in_data

if TYPE_CHECKING:
    from rich.console import Console
    from rich.table import Table

    from tarelot.workbook_templates.updates.carrying_out import Done
    from tarelot.workbook_templates.updates.plan import Change, Plan, RowPlan
    from tarelot.workbook_templates.updates.results import Fresh

INCOMING = "Incoming"
"""The workbook's own sheet for a list: headings in one of its first 50 rows, trailers below."""
ROWS_REFUSED = 1
STEPS = 6
MOST_LEFT_ALONE = 20
"""Cells named one by one; a lot with more has a formula of its own in a whole column."""
MARKS = {"new": "+", "changed": "~", "refused": "✗"}
COLOURS = {"new": "bold dark_cyan", "changed": "bold", "refused": "bold dark_orange3"}


def add_parsers(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the commands to the command line."""
    take = command(
        commands,
        "take-in",
        "take a list of trailers into the lot, showing first what it does; exit 1 when rows are refused",
        "tarelot take-in lot.xlsx truckload.csv --dry-run",
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
    take.add_argument("--blank-erases", action="store_true", help="let a blank field of the list empty a filled one")
    take.add_argument("--dry-run", action="store_true", help="show what would be done, and do nothing")
    take.add_argument("--yes", action="store_true", help="do not ask before writing")
    take.add_argument("--json", action="store_true", help="print data for machines; with --yes or --dry-run")
    take.set_defaults(run=run_take_in)

    undo = command(commands, "undo", "put the version before the last change back", "tarelot undo lot.xlsx")
    undo.add_argument("file", type=Path, help="lot workbook")
    undo.set_defaults(run=run_undo)

    store = command(commands, "results", "calculate every result anew and store it", "tarelot results lot.xlsx")
    store.add_argument("file", type=Path, help="lot workbook")
    store.set_defaults(run=run_results)

    copy = command(
        commands, "copy", "write a copy with figures instead of formulas", "tarelot copy lot.xlsx figures.xlsx"
    )
    copy.add_argument("file", type=Path, help="lot workbook")
    copy.add_argument("out", type=Path, help="the copy; it must not be there yet")
    copy.set_defaults(run=run_copy)


def run_take_in(chosen: argparse.Namespace) -> int:
    """Show what a list would do to the lot, ask, and do it."""
    from tarelot.workbook_templates.lists.reading import read_list
    from tarelot.workbook_templates.lot.reading import read_lot
    from tarelot.workbook_templates.ooxml.safe_file import refuse_if_open
    from tarelot.workbook_templates.updates.carrying_out import carry_out
    from tarelot.workbook_templates.updates.plan import plan

    list_path: Path = chosen.list or chosen.lot
    sheet = chosen.sheet if chosen.list else chosen.sheet or INCOMING
    console = _console()
    if chosen.json and not (chosen.yes or chosen.dry_run):
        raise ValueError("--json asks nothing: say --yes to write, or --dry-run to look only")
    if not chosen.dry_run:
        refuse_if_open(chosen.lot)
    with _progress() as step:
        step("reading the lot")
        lot = read_lot(chosen.lot)
        step("reading the list")
        table = read_list(list_path, sheet, decimal=chosen.decimal)
        step("comparing")
        planned = plan(lot, table, key=chosen.key, blank_erases=chosen.blank_erases)
    status = ROWS_REFUSED if planned.refused else 0
    if chosen.json:
        done = None if chosen.dry_run else carry_out(planned, list_path)
        print(json.dumps(take_in_data(planned, done)))
        return status
    _print_plan(console, planned)
    if chosen.dry_run:
        console.print("Nothing was written: this was a dry run.")
        return status
    if not planned.changes_lot:
        done = carry_out(planned, list_path)
    elif not (chosen.yes or _agreed(planned)):
        console.print("Nothing was written.")
        return status
    else:
        with _progress() as step:
            done = carry_out(planned, list_path, step=step)
    _print_done(console, planned, done)
    return status


def run_undo(chosen: argparse.Namespace) -> int:
    """Put the newest backup back."""
    from tarelot.workbook_templates.ooxml.safe_file import undo

    kept = undo(chosen.file)
    print(f"{chosen.file} is again as it was kept in: {kept.name}")
    print("What it held before this is kept beside the other backups.")
    return 0


def run_results(chosen: argparse.Namespace) -> int:
    """Calculate and store the results."""
    from tarelot.workbook_templates.updates.values_copy import store_fresh_results

    with _progress() as step:
        step("calculating")
        fresh, backup = store_fresh_results(chosen.file)
    _print_fresh(fresh)
    if backup is None:
        print(f"{chosen.file}: every result is stored as it should be; nothing was written")
    else:
        print(f"{chosen.file}: {fresh.count:,} results stored. The version before: {backup}")
    return 0


def run_copy(chosen: argparse.Namespace) -> int:
    """Write a copy with values only."""
    from tarelot.workbook_templates.updates.values_copy import copy_values

    with _progress() as step:
        step("copying")
        count = copy_values(chosen.file, chosen.out)
    print(f"Written: {chosen.out}, with {count:,} figures instead of formulas")
    return 0


def _console() -> Console:
    from rich.console import Console

    return Console(width=None if sys.stdout.isatty() else 150, highlight=False)


@contextmanager
def _progress() -> Iterator[Callable[[str], None]]:
    """A bar on stderr that is gone at the end; the function it gives is told each step as it begins."""
    from rich.console import Console
    from rich.progress import BarColumn, Progress, SpinnerColumn, TextColumn, TimeElapsedColumn

    columns = (SpinnerColumn(), TextColumn("{task.description}"), BarColumn(), TimeElapsedColumn())
    with Progress(*columns, console=Console(stderr=True), transient=True, disable=not sys.stderr.isatty()) as bar:
        task = bar.add_task("", total=STEPS)

        def step(what: str) -> None:
            bar.update(task, description=what, advance=1)

        yield step


def _agreed(planned: Plan) -> bool:
    """Whether the person says yes."""
    from rich.prompt import Confirm

    if not sys.stdin.isatty():
        raise ValueError("nobody is there to be asked: say --yes to write, or --dry-run to look only")
    totals = planned.totals
    question = f"Write {totals['new']} new and {totals['changed']} changed trailers into {planned.lot.path.name}?"
    return Confirm.ask(question, default=False)


def _print_plan(console: Console, planned: Plan) -> None:
    """What would be done, trailer by trailer, then what is left out, then totals."""
    shown = [row for row in planned.rows if row.status != "same"]
    if shown:
        console.print(_plan_table(planned, shown))
    for heading, why in planned.ignored.items():
        console.print(f"Column not taken in: {plain(heading)} ({plain(why)})", markup=False)
    for note in planned.notes:
        console.print(f"Note: {plain(note)}", markup=False)
    counts = ", ".join(f"{count:,} {status}" for status, count in planned.totals.items())
    console.print(f"{plain(planned.table.source)}: {len(planned.rows):,} rows: {counts}.", markup=False)


def _plan_table(planned: Plan, rows: list[RowPlan]) -> Table:
    from rich.table import Table
    from rich.text import Text

    table = Table(header_style="bold", pad_edge=False)
    table.add_column("")
    table.add_column("List row", justify="right")
    table.add_column(planned.key, no_wrap=True)
    table.add_column("What", ratio=1)
    for row in rows:
        words = row.reason or "; ".join(_change(change) for change in row.changes if change.heading != planned.key)
        mark = Text(f"{MARKS[row.status]} {row.status}", style=COLOURS[row.status])
        table.add_row(mark, str(row.number), Text(plain(row.key)), Text(plain(words)))
    return table


def _change(change: Change) -> str:
    """A field's old and new value in words."""
    new, formula = _shown(change.new), " (a formula of yours)" if change.is_formula else ""
    if change.old is None and not formula:
        return f"{change.heading} {new}"
    return f"{change.heading} {_shown(change.old)}{formula} -> {new}"


def _shown(value: object) -> str:
    """A value as a person reads it."""
    if value is None:
        return "blank"
    if isinstance(value, datetime.date):
        return value.isoformat()
    if isinstance(value, int | float):
        # A year or a count has no thousands mark to be told by; from five digits on a figure does.
        return f"{value:.2f}".rstrip("0").rstrip(".") if abs(value) < 10_000 else f"{value:,.2f}".removesuffix(".00")
    return str(value)


def _print_fresh(fresh: Fresh) -> None:
    """What was not ours to calculate."""
    for place, why in islice(fresh.left_alone.items(), MOST_LEFT_ALONE):
        print(f"Left alone: {place}: {plain(why)}")
    if len(fresh.left_alone) > MOST_LEFT_ALONE:
        print(f"Left alone: {len(fresh.left_alone) - MOST_LEFT_ALONE:,} more cells that hold what is not Tarelot's")
    if fresh.own_formulas:
        print(f"{fresh.own_formulas:,} formulas on other sheets are calculated when the workbook is next opened")


def _print_done(console: Console, planned: Plan, done: Done) -> None:
    """The end lines: what was done and where things are."""
    if done.fresh is not None:
        _print_fresh(done.fresh)
    if done.side_file is not None:
        console.print(f"Refused rows, to be mended and taken in again: {done.side_file}", markup=False, soft_wrap=True)
    if done.backup is None:
        console.print(f"{planned.lot.path}: nothing to write.", markup=False, soft_wrap=True)
        return
    totals = planned.totals
    console.print(
        f"{planned.lot.path}: {totals['new']:,} new and {totals['changed']:,} changed trailers written. "
        f"To take it back: tarelot undo {planned.lot.path}",
        markup=False,
        soft_wrap=True,
    )
    console.print(f"The version before: {done.backup}", markup=False, soft_wrap=True)
