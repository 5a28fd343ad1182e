"""Bringing a lot up to date: what would be done, to be shown first, and the doing of it. Start reading here.

Two ways lead there: editing inside the package sheet by sheet, and writing a new lot with the same entries and carrying
the person's own parts over. This is both, each where it is the safer one. The same entries are written as a new
workbook, the pattern (``pattern``). Sheets that the workbook fills by itself hold nothing of a person's but choices and
figures typed over: they are taken from the pattern as a whole (``derived``). Lot, Tickets, Options, Machines and Trucks
hold the person's rows, in their order, with columns, colors, notes and rules of their own: they are edited in their
place (``tables``, ``rules``, ``notes``), and every part that is not ours stays byte for byte. Columns that are new
stand at the table's right end, so that nothing moves that a person's formulas, charts and names point at. ``work``
finds out what is needed, ``carry_out`` does it.
"""

from __future__ import annotations

import zipfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from tarelot.workbook_templates.basis.format_number import FORMAT
from tarelot.workbook_templates.lot.reading import LotError, Value, file_stamp, read_sheet
from tarelot.workbook_templates.ooxml.cell_xml import reference
from tarelot.workbook_templates.ooxml.leftovers import own_folder
from tarelot.workbook_templates.ooxml.reading import Package
from tarelot.workbook_templates.ooxml.safe_file import refuse_if_open, replace_file
from tarelot.workbook_templates.updates.form.carry_out import own_formulas, write_updated
from tarelot.workbook_templates.updates.form.derived import SheetChange
from tarelot.workbook_templates.updates.form.entries import OTHER_KIND, Entries, read_entries
from tarelot.workbook_templates.updates.form.own_cells import SHEETS, known
from tarelot.workbook_templates.updates.form.pattern import Pattern, Writer, write_pattern
from tarelot.workbook_templates.updates.form.tables import Overwritten, TableChange
from tarelot.workbook_templates.updates.form.work import Work
from tarelot.workbook_templates.updates.plan import UpdateError

Step = Callable[[str], None]
MOVED = "its sheet is written new, the cells that it reads may stand elsewhere"


@dataclass(frozen=True)
class FormPlan:
    """What bringing a lot up to date does.

    Attributes:
        path: The lot.
        format: The number of the format that it is of.
        tables: What is done in the tables of the person's rows.
        sheets: What is done on the sheets that the workbook fills by itself.
        names: How many names of ours are put right.
        not_placed: What was typed over on What-if beside a figure that is there no more, by label.
        own_formulas: How many formulas of the person's own a spreadsheet program calculates at the next opening.
        to_look_at: Cells with a formula of the person's own that may read something else now, and why.
        keep: Whether what a person wrote over results stays.
    """

    path: Path
    entries: Entries
    pattern: Path
    tables: list[TableChange]
    sheets: list[SheetChange]
    names: int
    own_formulas: int
    to_look_at: dict[str, str]
    keep: bool
    overwritten: list[Overwritten] = field(default_factory=list)

    @property
    def format(self) -> int:
        """The number of the format that the lot is of."""
        return self.entries.format

    @property
    def not_placed(self) -> dict[str, Value]:
        """What was typed over on What-if beside a figure that is there no more, by label."""
        return dict(self.entries.not_placed)

    @property
    def is_needed(self) -> bool:
        """Whether anything is to be done."""
        if self.format != FORMAT or self.names:
            return True
        tables = any(t.renamed or t.added or t.written or t.columns for t in self.tables)
        return tables or any(sheet.why for sheet in self.sheets) or (bool(self.overwritten) and not self.keep)


def _refuse_names_of_ours(path: Path, number: int) -> None:
    """Refuse a lot of an older format in which a person's own sheet has the name of one that was added since.

    Raises:
        LotError: There are some; the message names each.
    """
    with Package(path) as package:
        names = [sheet.name for sheet in package.sheets if sheet.name in SHEETS and not known(sheet.name, str(number))]
    own = [name for name in names if read_sheet(path, name).get((1, 1)) != name]
    if own:
        sheets = "a sheet of your own" if len(own) == 1 else "sheets of your own"
        raise LotError(f"{path.name} has {sheets} named {', '.join(own)}, as Tarelot's are: rename yours first")


@contextmanager
def planned(path: Path, write: Writer, *, keep: bool = False, step: Step = lambda _: None) -> Iterator[FormPlan]:
    """What bringing a lot up to date would do; the plan can be carried out while the context lasts.

    Args:
        path: The lot.
        write: ``workbook.write``, which writes a lot new.
        keep: Whether what a person wrote over results stays.
        step: Called with what is being done.

    Raises:
        LotError: It is no lot, cannot be read, or is of a format of a newer program.
        PackageError: Something stands in the way inside the workbook.
    """
    step("reading the lot")
    entries = read_entries(path)
    if entries.format > FORMAT:
        raise LotError(
            f"{path.name} is of format {entries.format}, made by a newer Tarelot; this one knows up to format {FORMAT}"
        )
    if entries.format < FORMAT:
        _refuse_names_of_ours(path, entries.format)
    with own_folder() as folder:
        pattern = folder / "pattern.xlsx"
        step("writing its entries new")
        write_pattern(entries, pattern, write)
        step("comparing")
        with Package(path) as package, Package(pattern) as new:
            work = Work(package, entries, Pattern.of(new))
            tables = [form.change for form in work.forms.values() if form.change.is_needed]
            overwritten = [one for change in tables for one in change.overwritten]
            overwritten += [one for change in work.changes for one in change.overwritten]
            plan = FormPlan(
                path,
                entries,
                pattern,
                tables,
                work.changes,
                len(work.names),
                sum(1 for _ in own_formulas(work)) + sum(len(change.carried_formulas) for change in work.changes),
                _to_look_at(work),
                keep,
                overwritten,
            )
        yield plan


def _to_look_at(work: Work) -> dict[str, str]:
    """Cells with a formula of the person's own that may read something else now, and why."""
    changed = {said: words for (number, said), words in OTHER_KIND.items() if work.entries.format <= number}
    found = {f"{change.name}!{place}": MOVED for change in work.changes for place in change.carried_formulas}
    for sheet, number, cell in own_formulas(work) if changed else ():
        place = reference(number, cell.column)
        text = work.edit(sheet).sheet.whole_formula(cell, place)
        found |= {f"{sheet}!{place}": words for said, words in changed.items() if said in text}
    return found


def carry_out(plan: FormPlan, *, step: Step = lambda _: None) -> Path | None:
    """Bring the lot up to date as planned, and return where the version before is kept; None where nothing was to do.

    Raises:
        FileError: The workbook is open elsewhere or cannot be replaced.
        UpdateError: It changed since it was read, or did not come out right. In each case nothing was changed.
    """
    refuse_if_open(plan.path)
    return replace_file(plan.path, lambda new: _write(plan, new, step), "update") if plan.is_needed else None


def _write(plan: FormPlan, target: Path, step: Step) -> None:
    if file_stamp(plan.path) != plan.entries.lot.stamp:
        raise UpdateError(f"{plan.path.name} was changed since it was read: nothing was done, try again")
    step("writing")
    with own_folder() as folder:
        made = folder / f"made{plan.path.suffix}"
        with Package(plan.path) as package, Package(plan.pattern) as new:
            work = Work(package, plan.entries, Pattern.of(new), plan.sheets)
            write_updated(work, made, keep=plan.keep)
        step("reading it back")
        verify(plan.entries, made)
        target.write_bytes(made.read_bytes())


def verify(before: Entries, made: Path) -> None:
    """Refuse a new version that does not hold every entry as it was, or whose parts are damaged.

    Raises:
        UpdateError: With the first place that differs.
    """
    with zipfile.ZipFile(made) as package:
        damaged = package.testzip()
    if damaged:
        raise UpdateError(f"{damaged} came out damaged: nothing was done")
    after = read_entries(made)
    for number, (old, new) in enumerate(zip(before.rows, after.rows, strict=True), before.lot.table.first_row):
        for heading in old.keys() | new.keys():
            if old.get(heading) != new.get(heading):
                said = f"{old.get(heading)!r} instead of {new.get(heading)!r}"
                raise UpdateError(f"{heading} in row {number} of the Lot came out as {said}: nothing was done")
    kept = {
        "Options": (before.pairs, after.pairs),
        "Machines": (list(before.hauling.machines), list(after.hauling.machines)),
        "Trucks": (list(before.hauling.trucks), list(after.hauling.trucks)),
        "Tickets": (before.tickets, after.tickets),
        "What-if's choices": (before.hauling.choices, after.hauling.choices),
        "What-if": (dict(before.hauling.typed), dict(after.hauling.typed)),
        "Match": (before.match_choices, after.match_choices),
        "Compare": (before.hauling.compared, after.hauling.compared),
        "Limits": (before.lot.limits or {}, after.lot.limits or {}),
    }
    for name, (first, second) in kept.items():
        if first != second:
            raise UpdateError(f"the entries of {name} did not come out as they were: nothing was done")
