"""What changes a workbook without a list: ``undo``, ``recalculate``, and ``values``, a copy without formulas."""

from __future__ import annotations

import argparse
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING

from tarelot.addin.command_line.command import Parser, command
from tarelot.addin.command_line.files import refuse_existing
from tarelot.addin.command_line.output import agreed, progress, say, say_whole
from tarelot.workbook_templates.basis.counts import so_many

if TYPE_CHECKING:
    from tarelot.workbook_templates.updates.results import ResultUpdate

MOST_LOST = 40
"""Lines of what an undo takes away that are shown."""
MOST_LEFT_ALONE = 20
"""Cells named one by one; a lot with more has a formula of its own in a whole column."""


def add_parsers(commands: argparse._SubParsersAction[Parser]) -> None:
    """Add the commands to the command line."""
    undo = command(
        commands,
        "undo",
        "restore the previous version; done twice it goes forward again",
        "tarelot undo lot.xlsx",
        reads=("file",),
        changes=lambda chosen: [chosen.file],
    )
    undo.add_argument("file", type=Path, help="lot workbook")
    undo.add_argument("--further", action="store_true", help="go back further than the last undo, not forward again")
    undo.add_argument("--yes", action="store_true", help="do not ask where the workbook was edited by hand since")
    undo.set_defaults(run=run_undo)

    store = command(
        commands,
        "recalculate",
        "recalculate all results and store them",
        "tarelot recalculate lot.xlsx",
        reads=("file",),
        changes=lambda chosen: [chosen.file],
    )
    store.add_argument("file", type=Path, help="lot workbook")
    store.set_defaults(run=run_recalculate)

    values = command(
        commands,
        "values",
        "write a copy with figures instead of formulas",
        "tarelot values lot.xlsx figures.xlsx",
        reads=("file",),
        changes=lambda chosen: [chosen.out],
    )
    values.add_argument("file", type=Path, help="lot workbook")
    values.add_argument("out", type=Path, help="the copy; it must not be there yet")
    values.set_defaults(run=run_values)


def run_undo(chosen: argparse.Namespace) -> int:
    """Put the newest backup back, asking first where that takes away what a person typed."""
    from tarelot.workbook_templates.ooxml.safe_file import is_as_written, to_undo, undo

    backup = to_undo(chosen.file, further=chosen.further)
    if not is_as_written(chosen.file):
        _say_lost(chosen.file, backup.path)
        question = f"Put back {backup.path.name} all the same?"
        if not (chosen.yes or agreed(question, "to put it back")):
            say("Nothing was changed.")
            return 0
    kept = undo(chosen.file, further=chosen.further)
    say(
        f"{chosen.file} is again as it was kept in: {kept.name}",
        "What it held before this is kept beside the other backups.",
    )
    return 0


def _say_lost(path: Path, older: Path) -> None:
    """Say what is in an edited workbook that would be so no more."""
    from tarelot.workbook_templates.updates.lost import lost
    from tarelot.workbook_templates.updates.plan import UpdateError

    say(f"{path} was edited after Tarelot last wrote it. Putting the older version back would change:")
    try:
        lines = lost(path, older)
    except UpdateError as error:
        lines = [f"not known: {error}"]
    say(*lines[:MOST_LOST])
    if len(lines) > MOST_LOST:
        say(f"... and {len(lines) - MOST_LOST:,} more")


def run_recalculate(chosen: argparse.Namespace) -> int:
    """Calculate and store the results."""
    from tarelot.workbook_templates import workbook
    from tarelot.workbook_templates.updates.values_copy import recalculate

    with progress(1) as step:
        step("calculating")
        update, backup = recalculate(chosen.file, workbook.write)
    say_uncalculated(update)
    is_every = not (update.left_alone or update.own_formulas or update.entries)
    if backup is None:
        results = "every result is stored as it should be" if is_every else "all others are stored as they should be"
        say(f"{chosen.file}: {results}; nothing was written")
    else:
        gone = f"; {update.taken_away:,} old ones taken away" if update.taken_away else ""
        say(f"{chosen.file}: {so_many(update.count, 'result')} stored{gone}.")
        say_whole(f"The version before: {backup}")
    return 0


def run_values(chosen: argparse.Namespace) -> int:
    """Write a copy with values only."""
    from tarelot.workbook_templates import workbook
    from tarelot.workbook_templates.updates.values_copy import copy_values

    refuse_existing(chosen.out)
    with progress(1) as step:
        step("copying")
        count = copy_values(chosen.file, chosen.out, workbook.write)
    say_whole(f"Written: {chosen.out}, with {count:,} figures instead of formulas")
    return 0


def say_uncalculated(update: ResultUpdate) -> None:
    """Say what was not ours to calculate."""
    for place, why in islice(update.left_alone.items(), MOST_LEFT_ALONE):
        say(f"Left alone: {place}: {why}")
    if len(update.left_alone) > MOST_LEFT_ALONE:
        more = so_many(len(update.left_alone) - MOST_LEFT_ALONE, "more cell")
        say(f"Left alone: {more} with what is not Tarelot's")
    if update.own_formulas:
        waiting = ", ".join(
            f"{name} {count:,}" + (f" ({update.why[name]})" if name in update.why else "")
            for name, count in update.own_formulas.items()
        )
        say(f"Formulas that follow choices or are your own, calculated when the workbook is next opened: {waiting}")
    if update.entries:
        typed = ", ".join(f"{name} {count:,}" for name, count in update.entries.items())
        say(f"Formulas of your own among the entries, taken as they last came to: {typed}")
