"""``update``: shows what brings an older lot up to date, or mends one, asks, and does it."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from tarelot.addin.command_line.command import Parser, as_typed, command
from tarelot.addin.command_line.output import agreed, clean, progress, say, say_whole
from tarelot.workbook_templates.basis.counts import so_many

if TYPE_CHECKING:
    from tarelot.workbook_templates.updates.form.derived import SheetChange
    from tarelot.workbook_templates.updates.form.plan import FormPlan
    from tarelot.workbook_templates.updates.form.tables import TableChange

STEPS = 5
MOST_CELLS = 40
"""Cells that are named one by one unasked."""
_KEPT = "written new; what you typed there is kept, colors and widths of your own are not"
WHY = {
    "missing": "missing, written new",
    "older": f"of an older format, {_KEPT}",
    "broken": f"formulas broken, {_KEPT}",
    "too short": f"fewer rows than the Lot, {_KEPT}",
}
"""What is said of sheets that the workbook fills by itself."""


def add_parsers(commands: argparse._SubParsersAction[Parser]) -> None:
    """Add the command to the command line."""
    update = command(
        commands,
        "update",
        "bring an older lot up to date in place, or put back formulas, headings and sheets of ours; shows first "
        "what it does",
        "tarelot update lot.xlsx --dry-run",
        reads=("lot",),
        changes=lambda chosen: [] if chosen.dry_run else [chosen.lot],
    )
    update.add_argument("lot", type=Path, help="lot workbook")
    update.add_argument("--keep", action="store_true", help="leave what was typed over results as it is")
    update.add_argument("--all", action="store_true", help="name every cell that was typed over, of many too")
    asked = update.add_mutually_exclusive_group()
    asked.add_argument("--dry-run", action="store_true", help="show what would be done, and do nothing")
    asked.add_argument("--yes", action="store_true", help="do not ask before writing")
    update.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Show what would be done, ask, and do it."""
    from tarelot.workbook_templates import workbook
    from tarelot.workbook_templates.ooxml.safe_file import refuse_if_open, remove_leftovers_of
    from tarelot.workbook_templates.updates.form.plan import carry_out, planned

    if not chosen.dry_run:
        refuse_if_open(chosen.lot)
        remove_leftovers_of(chosen.lot.resolve())
    with progress(STEPS) as step, planned(chosen.lot, workbook.write, keep=chosen.keep, step=step) as plan:
        if not plan.is_needed:
            say(f"{chosen.lot} is already up to date.")
            return 0
        say(*words(plan, every_cell=chosen.all))
        if chosen.dry_run:
            say("Nothing was written: this was a dry run.")
            return 0
        if not (chosen.yes or agreed(f"Bring {chosen.lot.name} up to date?", "to write, or --dry-run to look only")):
            say("Nothing was written.")
            return 0
        backup = carry_out(plan, step=step)
    say(f"{chosen.lot} is up to date.")
    typed = as_typed(chosen.lot)
    say_whole(f"To take it back: tarelot undo {typed if clean(typed) == typed else 'with the name of the workbook'}")
    say_whole(f"The version before: {backup}")
    return 0


def words(plan: FormPlan, *, every_cell: bool) -> Iterator[str]:
    """What would be done, a line each.

    Args:
        plan: The plan.
        every_cell: Whether every cell that was typed over is named.
    """
    from tarelot.workbook_templates.basis.format_number import FORMAT

    of = f"is of format {plan.format}, today's is {FORMAT}" if plan.format != FORMAT else "is to be mended"
    yield f"{plan.path.name} {of}. What is done:"
    for table in plan.tables:
        yield from _of_table(table)
        if table.added and table.own and plan.format == FORMAT:
            others = " or ".join(table.own)
            yield (
                f"{table.table.sheet}: if {others} is one of these under another name, give it its name back first: "
                "its entries are not taken over"
            )
    for why, said in WHY.items():
        if names := [sheet.name for sheet in plan.sheets if sheet.why == why]:
            yield f"{', '.join(names)}: {said}"
    for sheet in plan.sheets:
        yield from _moved(sheet)
    yield from _overwritten(plan, every_cell=every_cell)
    for label, content in plan.not_placed.items():
        yield f"What-if: {content} typed over {label} has no place any more and goes"
    if plan.names:
        yield f"Names of worksheet functions put right: {plan.names:,}"
    for place, said in plan.to_look_at.items():
        yield f"Look at your formula in {place}: {said}"
    if plan.own_formulas:
        yield (
            f"Kept: {so_many(plan.own_formulas, 'formula')} of your own, calculated by Excel when it next opens the "
            "workbook, by LibreOffice at Ctrl+Shift+F9"
        )


def _of_table(table: TableChange) -> Iterator[str]:
    name = table.table.sheet
    for old, new in table.renamed.items():
        yield f"{name}: the heading {old} is now {new}"
    if table.added:
        yield f"{name}: columns added at its right end: {', '.join(table.added)}"
    if table.written:
        yield f"{name}: formulas written: {table.written:,}"
    if table.columns:
        yield f"{name}: formulas for new rows put right in {so_many(len(table.columns), 'column')}"


def _moved(sheet: SheetChange) -> Iterator[str]:
    from tarelot.workbook_templates.ooxml.cell_xml import Formula

    for place, (to, content) in sheet.carried.items():
        if place != to:
            said = f"formula in {place}" if isinstance(content, Formula) else f"entry in {place}"
            shown = f"={content.text.removeprefix('=')}" if isinstance(content, Formula) else content
            yield f"{sheet.name}: your {said} moves to {to}: {shown}"


def _overwritten(plan: FormPlan, *, every_cell: bool) -> Iterator[str]:
    """What was typed over results, which goes or stays."""
    found = plan.overwritten
    shown = found if every_cell else found[:MOST_CELLS]
    done = "stays" if plan.keep else "goes, the formula is put back"
    for one in shown:
        yield f"{' '.join((one.place, one.heading)).rstrip()}: typed over: {one.shown}: {done}"
    if len(shown) < len(found):
        yield f"... and {so_many(len(found) - len(shown), 'more cell')} typed over: --all names every one"
