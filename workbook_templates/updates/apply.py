"""Applies a plan: writes the lot's new version beside the old one, verifies it, and puts it in place in one step.

The new version is read back before it takes the old one's place: every field of the plan must be in it, and every other
input as it was.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from tarelot.calc.cells.formulas import name_formula
from tarelot.calc.registry import FUNCTIONS
from tarelot.workbook_templates.hauling.match import columns as match
from tarelot.workbook_templates.lists.table import free_side_file
from tarelot.workbook_templates.lists.writing import write_list
from tarelot.workbook_templates.lot.columns import results
from tarelot.workbook_templates.lot.reading import LotSheet, Value, file_stamp, read_lot
from tarelot.workbook_templates.ooxml.leftovers import HIDDEN, own_folder, remove_leftovers
from tarelot.workbook_templates.ooxml.package import (
    CellValue,
    Formula,
    defined_names,
    edit,
    replace_defined_names,
    store_results,
    tables,
)
from tarelot.workbook_templates.ooxml.reading import Package
from tarelot.workbook_templates.ooxml.references import ranges_of
from tarelot.workbook_templates.ooxml.safe_file import refuse_if_open, replace_file
from tarelot.workbook_templates.updates.fields import is_same
from tarelot.workbook_templates.updates.fixed_ranges import (
    CHART,
    COLORING,
    ENTRY_RULE,
    PIVOT,
    SPARKLINE,
    Short,
    grown,
    short_ranges,
)
from tarelot.workbook_templates.updates.match_rows import grow_print_area, match_growth
from tarelot.workbook_templates.updates.plan import Plan, UpdateError, sheet_rows
from tarelot.workbook_templates.updates.results import ResultUpdate, result_formulas, result_update

IN_FILE = {
    "chart": CHART,
    "chartEx": CHART,
    "conditionalFormatting": COLORING,
    "dataValidation": ENTRY_RULE,
    "sparkline": SPARKLINE,
    "pivotTable": PIVOT,
}
"""What reads cells without standing in one, as a file calls it."""
Step = Callable[[str], None]
"""Told what is being done, for a progress display."""


@dataclass(frozen=True)
class Applied:
    """What was done.

    Attributes:
        backup: The version that was replaced; None where nothing changed.
        side_file: The refused rows; None where there are none.
        update: The results that were stored; None where nothing changed.
        short: Who reads fixed rows of the Lot that end before the new ones.
    """

    backup: Path | None
    side_file: Path | None
    update: ResultUpdate | None
    short: Sequence[Short] = ()


def apply(plan: Plan[LotSheet], list_path: Path, *, step: Step = lambda _: None) -> Applied:
    """Import a list as planned.

    Args:
        plan: The plan.
        list_path: The list's file; refused rows go to a new file beside it.
        step: Called with what is being done.

    Raises:
        FileError: The workbook is open elsewhere or cannot be replaced.
        UpdateError: The workbook changed since it was read.
        ListError: The refused rows cannot be written.
        PackageError: Something stands in the way inside the workbook. In each case nothing was changed.
    """
    path = plan.lot.path
    refuse_if_open(path)
    remove_leftovers(list_path.parent, f"{HIDDEN}*")
    side_file = free_side_file(list_path, plan.table.form.suffix) if plan.refused else None
    if side_file:
        step("writing the refused rows")
        write_list(side_file, plan.table, plan.refused)
    updates: list[ResultUpdate] = []
    short: list[Short] = []

    def write(new: Path) -> None:
        updates.append(write_applied(plan, new, step))
        short.extend(left_short(plan, new))

    try:
        backup = replace_file(path, write, "import") if plan.changes_lot else None
    except BaseException:
        if side_file:
            side_file.unlink()
        raise
    return Applied(backup, side_file, updates[0] if updates else None, short)


def left_short(plan: Plan[LotSheet], new: Path) -> list[Short]:
    """Who reads fixed rows of the Lot that end before the new ones, in the lot's new version."""
    table = grown(plan)
    if table is None:
        return []
    with Package(new) as package:
        said = ((sheet, IN_FILE.get(place, place), text) for sheet, place, text in ranges_of(package, table.sheet))
        return short_ranges(said, table)


def write_applied(plan: Plan[LotSheet], target: Path, step: Step = lambda _: None) -> ResultUpdate:
    """Write the lot with the plan applied to ``target``; the lot itself stays as it is.

    Raises:
        UpdateError: The lot is not as it was when it was planned for.
    """
    with own_folder() as folder:
        typed = folder / f"typed{plan.lot.path.suffix}"
        step("writing the trailers")
        if file_stamp(plan.lot.path) != plan.lot.stamp:
            raise UpdateError(f"{plan.lot.path.name} was changed since it was read: nothing was done, try again")
        rows, new = sheet_rows(plan), writes(plan)
        edit(plan.lot.path, typed, new.cells, new.rows)
        if new.match_sheet:
            typed, before = folder / f"grown{plan.lot.path.suffix}", typed
            grow_print_area(before, typed, new.match_sheet)
        step("reading them back")
        after = read_lot(typed, proven=True)
        verify(plan, after, rows)
        step("calculating")
        touched = {rows[row.number] for row in plan.rows if row.changes}
        update = result_update(after, touched)
        write_results(after, update, target)
    return update


def write_results(lot: LotSheet, update: ResultUpdate, target: Path) -> None:
    """Write a lot with its results stored and our names put right to ``target``."""
    with own_folder() as folder:
        stages = [folder / f"{number}{lot.path.suffix}" for number in range(2)]
        formulas: dict[str, CellValue] = {place: Formula(*formula) for place, formula in update.formulas.items()}
        left_to_program = bool(update.own_formulas or update.left_alone) and _states_calculation(lot.path)
        edit(lot.path, stages[0], {lot.sheet: formulas} if formulas else {}, recalculate=left_to_program)
        store_results(stages[0], stages[1], update.store)
        replace_defined_names(stages[1], target, stale_names(lot.path))


def stale_names(path: Path) -> dict[str, str]:
    """Our names that a program wrote in a form that another may not read, with the text that they should have."""
    held = defined_names(path)
    ours = {function.name: name_formula(function) for function in FUNCTIONS if function.formula is not None}
    return {name: text for name, text in ours.items() if name in held and held[name] != text}


def _states_calculation(path: Path) -> bool:
    """Whether the workbook has calculation settings; without them a program calculates on opening anyway."""
    with Package(path) as package:
        return b"calcPr" in package.read(package.workbook_part)


@dataclass(frozen=True)
class Writes:
    """What carrying out a plan writes.

    Attributes:
        cells: Sheet to cell to value.
        rows: Table to the rows that are added below it, by heading.
        match_sheet: The sheet of Match, where it grows with the Lot.
    """

    cells: dict[str, dict[str, CellValue]]
    rows: dict[str, list[Mapping[str, CellValue]]]
    match_sheet: str = ""


def writes(plan: Plan[LotSheet]) -> Writes:
    """The cells to write and the rows to add: to the Lot, and to Match so that it has a row for each trailer.

    Raises:
        UpdateError: A result of a new trailer would stay blank for good.
    """
    changes, appended = _lot_writes(plan)
    table = plan.lot.table
    more = sum(len(new) for new in appended.values())
    grown = match_growth(plan.lot.path, table.last_row - table.first_row + 1 + more)
    if not grown.rows:
        return Writes({plan.lot.sheet: changes}, appended)
    return Writes(
        {plan.lot.sheet: changes, grown.sheet: grown.changes}, {**appended, match.TABLE: grown.rows}, grown.sheet
    )


def _lot_writes(plan: Plan[LotSheet]) -> tuple[dict[str, CellValue], dict[str, list[Mapping[str, CellValue]]]]:
    """Cells of the Lot to write, and rows to add below it."""
    lot = plan.lot
    cells: dict[str, CellValue] = {}
    appended: list[Mapping[str, CellValue]] = []
    formulas = result_formulas(lot, by_name=lot.by_name)
    rows = sheet_rows(plan)
    for row in plan.rows:
        if row.status == "refused":
            continue
        number = rows[row.number]
        values: dict[str, CellValue] = {change.heading: change.new for change in row.changes}
        # Where a table waits for its first row, the package's own way of adding rows fills that one first.
        if number > lot.last_row - lot.waits:
            _refuse_without_formula(lot, formulas)
            blank = dict.fromkeys(lot.inputs())  # a formula of the last row's is not for another trailer
            ours = {heading: Formula(text(number), "") for heading, text in formulas.items()}
            appended.append({**blank, **ours, **values})
        else:
            cells |= {f"{lot.columns[heading]}{number}": value for heading, value in values.items()}
    return cells, {lot.table.name: appended} if appended else {}


def _refuse_without_formula(lot: LotSheet, formulas: Collection[str]) -> None:
    """Refuse a new row in which a result would be blank for good."""
    ours = [lot.units.heading(column.heading) for column in results()]
    without = [h for h in ours if h in lot.columns and h not in formulas and h not in lot.table.formulas]
    if without:
        raise UpdateError(
            f"{lot.path.name} is of an older form: its Lot lacks columns that {', '.join(without)} of a new trailer "
            "would be made from; copy the last row down once for each new trailer, then import"
        )


def verify(plan: Plan[LotSheet], after: LotSheet, rows: Mapping[int, int]) -> None:
    """Refuse a new version that does not hold every field planned, and every other input as it was."""
    expected: dict[int, dict[str, Value]] = {row.number: dict(row.values) for row in plan.lot.rows}
    for row in plan.rows:
        if row.changes:
            expected.setdefault(rows[row.number], {}).update({c.heading: c.new for c in row.changes})
    found = {row.number: row.values for row in after.rows}
    columns = plan.lot.inputs()
    for number in expected.keys() | found.keys():
        wanted, held = expected.get(number, {}), found.get(number, {})
        for heading, column in columns.items():
            new, old = wanted.get(heading), held.get(heading)
            if new != old and (isinstance(new, bool) or new is None or not is_same(column, old, new)):
                place = f"{after.sheet}!{plan.lot.columns[heading]}{number}"
                raise UpdateError(f"{place} came out as {old!r} instead of {new!r}: nothing was done")
    if len(tables(after.path)) != len(tables(plan.lot.path)):
        raise UpdateError("a table was lost: nothing was done")
