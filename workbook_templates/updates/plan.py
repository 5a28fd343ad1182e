"""What importing a list would do to a lot: a plan, row by row and field by field. Nothing is written here.

Every row of the list is new, changed, same or refused with a reason; a row with one bad field is refused as a whole, so
that it can be mended and imported again.
"""

from __future__ import annotations

import datetime
from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Generic, Literal, TypeVar

from tarelot.workbook_templates.basis.counts import so_many
from tarelot.workbook_templates.lists.headings import Found, Matched, could_be, known, match_headings, split_unit
from tarelot.workbook_templates.lists.quantities import QuantityError, is_blank
from tarelot.workbook_templates.lists.slips import Sums, names_total, near
from tarelot.workbook_templates.lists.table import ListTable, error_in
from tarelot.workbook_templates.lot.column import Input
from tarelot.workbook_templates.lot.columns import inputs, results
from tarelot.workbook_templates.lot.held.lot import Lot, LotRow, Value
from tarelot.workbook_templates.updates.doubts import Entries, entry_doubts, options_lacking, passed_over
from tarelot.workbook_templates.updates.fields import (
    KEYS,
    OPTIONS,
    PRICE,
    FieldReader,
    Typed,
    as_key,
    is_same,
    name_of,
)
from tarelot.workbook_templates.updates.options import listed_names

Status = Literal["new", "changed", "same", "refused"]
AnyLot = TypeVar("AnyLot", bound=Lot)


class UpdateError(ValueError):
    """A list cannot be imported as a whole, or not as planned; the message is one line."""


@dataclass(frozen=True)
class Change:
    """One field's old and new value; None is blank. ``is_formula`` where the old one came from a person's formula."""

    heading: str
    old: Value
    new: Typed | None
    is_formula: bool = False


@dataclass(frozen=True)
class RowPlan:
    """What becomes of one row of the list.

    Attributes:
        number: The list's row number.
        key: What the trailer is called in the key column, as the list has it.
        status: ``new``, ``changed``, ``same`` or ``refused``.
        lot_row: The sheet's row of the trailer, where it is on the lot.
        changes: Fields to be written; for a new trailer all that the list fills.
        same: Headings of the fields that the lot already holds.
        blank: Headings of the fields that the list leaves blank and that stay as they are.
        reason: Why it is refused.
        look: What a person should look at before it is changed.
    """

    number: int
    key: str
    status: Status
    lot_row: int | None = None
    changes: tuple[Change, ...] = ()
    same: tuple[str, ...] = ()
    blank: tuple[str, ...] = ()
    reason: str = ""
    look: str = ""


@dataclass(frozen=True)
class Plan(Generic[AnyLot]):
    """What importing a list would do.

    Attributes:
        lot: The lot.
        table: The list.
        key: Heading by which trailers are told apart.
        columns: Our heading of each list heading that is imported.
        ignored: The list's other headings, each with why it is not imported.
        rows: One for each row of the list, in its order.
        notes: What a person should know of the whole.
    """

    lot: AnyLot
    table: ListTable
    key: str
    columns: dict[str, str]
    ignored: dict[str, str]
    rows: list[RowPlan]
    notes: list[str] = field(default_factory=list)

    @property
    def totals(self) -> dict[Status, int]:
        """How many rows of the list are new, changed, same and refused."""
        count = Counter(row.status for row in self.rows)
        return {"new": count["new"], "changed": count["changed"], "same": count["same"], "refused": count["refused"]}

    @property
    def changes_lot(self) -> bool:
        """Whether anything would be written."""
        return any(row.changes for row in self.rows)

    @property
    def refused(self) -> dict[int, str]:
        """Row number of the list -> why it is refused."""
        return {row.number: row.reason for row in self.rows if row.status == "refused"}


def plan(
    lot: AnyLot, table: ListTable, *, key: str | None = None, blank_erases: bool = False, same_key: bool = False
) -> Plan[AnyLot]:
    """What importing ``table`` would do to ``lot``.

    Args:
        lot: The lot as it stands.
        table: The list; its decimal mark is used where it is known.
        key: ``Stock no.`` or ``VIN``; by default the first of them that the list has.
        blank_erases: Whether a field left blank in the list empties a filled one.
        same_key: Whether a name that differs only in signs, zeros or spaces before or behind it is the same trailer.

    Raises:
        UpdateError: The list has no key column, two columns that are the same one of ours, or nothing to import.
    """
    fields = lot.inputs()
    matched = _matched(lot, table)
    for doubled in matched.doubled:
        raise UpdateError(
            f"{table.source}: the columns {' and '.join(map(repr, doubled.found))} would both be {doubled.ours}: "
            "rename or delete one"
        )
    key = _key(key, matched, lot, table)
    columns = {ours: found for ours, found in matched.columns.items() if ours in fields}
    if len(columns) < 2:
        raise UpdateError(f"{table.source} has nothing to import beside {key}")
    reader = FieldReader(fields, columns, table, listed_names(lot.options))
    planner = _Planner(lot, key, reader, blank_erases=blank_erases, same_key=same_key)
    calculated = [found.index for ours, found in matched.columns.items() if ours not in fields]
    rows, nothing = [], 0
    for number, cells in _numbered(table):
        if all(is_blank(cell) for place, cell in enumerate(cells) if place not in calculated):
            nothing += 1
        else:
            rows.append(planner.row(number, cells, _refused(table, columns, number, cells)))
    options = (change.new for row in rows for change in row.changes if change.heading == OPTIONS)
    notes = [*table.notes, *options_lacking(lot, options), *reader.notes(), *entry_doubts(lot, _trailers(lot, rows))]
    if nothing:
        notes.append(f"{so_many(nothing, 'row holds', 'rows hold')} nothing but what the workbook calculates")
    planned = Plan(
        lot=lot,
        table=table,
        key=key,
        columns={table.headings[found.index]: ours for ours, found in columns.items()},
        ignored=_ignored(lot, table, matched, fields),
        rows=rows,
        notes=notes,
    )
    places = sheet_rows(planned)
    notes += passed_over(lot, {places[row.number] for row in rows if row.status == "new"})
    return planned


def sheet_rows(plan: Plan[AnyLot]) -> dict[int, int]:
    """The sheet's row of each row of the list that is not refused, once the plan is carried out.

    New trailers go into the blank rows below the last trailer first, then below the table.
    """
    lot = plan.lot
    last = max((row.number for row in lot.rows), default=0)
    # A table that waits for its first row has one blank row, which is filled as if it stood below the table.
    free = [] if lot.waits else [number for number in lot.blank_rows if number > last]
    below = lot.last_row - lot.waits
    rows: dict[int, int] = {}
    for row in plan.rows:
        if row.status == "refused":
            continue
        if row.lot_row is None and not free:
            below += 1
        rows[row.number] = row.lot_row or (free.pop(0) if free else below)
    return rows


def _refused(table: ListTable, columns: Mapping[str, Found], number: int, cells: Sequence[Value]) -> str | None:
    """Why the list's reader refuses a row; an error in a column that is not imported does not matter."""
    why = table.refused.get(number)
    if why is None or len(cells) > len(table.headings) or why != error_in(cells, table.headings):
        return why
    places = [found.index for found in columns.values()]
    return error_in([cells[place] for place in places], [table.headings[place] for place in places]) or None


def _numbered(table: ListTable) -> zip[tuple[int, list[str | float | datetime.date]]]:
    return zip(table.row_numbers, table.rows, strict=True)  # type: ignore[arg-type]


def _matched(lot: Lot, table: ListTable) -> Matched:
    """The list's columns matched to our inputs, and to our results where the list is a copy of a lot.

    A heading such as Payload is a result of ours and the trade's word for an input. The list is taken for a copy of a
    lot only if it has a result's heading that the trade does not use otherwise.
    """
    ours = [lot.units.heading(column.heading) for column in inputs()]
    calculated = [lot.units.heading(column.heading) for column in results()]
    ours_alone = {split_unit(h)[0].casefold() for h in calculated if known(h) is None and not could_be(h)}
    if any(split_unit(heading)[0].casefold() in ours_alone for heading in table.headings):
        ours += calculated
    return match_headings(table.headings, ours)


def _key(key: str | None, matched: Matched, lot: Lot, table: ListTable) -> str:
    if key is not None and key not in KEYS:
        raise UpdateError(f"trailers are told apart by {' or '.join(KEYS)}, not by {key}")
    for candidate in (key,) if key else KEYS:
        if candidate in matched.columns and candidate in lot.columns:
            return candidate
    wanted = key or " or ".join(KEYS)
    if any(candidate in matched.columns for candidate in ((key,) if key else KEYS)):
        raise UpdateError(f"{lot.name} has no column {wanted} any more")
    raise UpdateError(f"{table.source} has no column {wanted}, by which trailers are told apart")


def _ignored(lot: Lot, table: ListTable, matched: Matched, fields: Mapping[str, Input]) -> dict[str, str]:
    """The list's columns that are not imported, and why."""
    calculated = {lot.units.heading(column.heading) for column in results()}
    found = {}
    for ours, place in matched.columns.items():
        if ours in calculated:
            found[table.headings[place.index]] = "the workbook calculates it"
        elif ours not in fields:
            found[table.headings[place.index]] = f"{lot.name} has no column {ours} any more"
    for heading in matched.unknown:
        could = could_be(heading)
        means = known(heading)
        if could:
            found[heading] = f"may mean {' or '.join(could)}: name it so"
        elif means:
            found[heading] = f"its unit does not fit {means}"
        else:
            found[heading] = "not a column of ours"
    return found


def _trailers(lot: Lot, rows: Sequence[RowPlan]) -> list[tuple[str, Entries, Entries]]:
    """Each trailer that would be written: what it is called, what the lot holds of it, and what it would hold."""
    held = {row.number: row.values for row in lot.rows}
    found: list[tuple[str, Entries, Entries]] = []
    for row in rows:
        if row.changes:
            old = held.get(row.lot_row or 0, {})
            found.append((f"row {row.number}, {row.key}", old, {**old, **{c.heading: c.new for c in row.changes}}))
    return found


class _Planner:
    """Plans row after row; remembers which trailers the list named before."""

    def __init__(self, lot: Lot, key: str, reader: FieldReader, *, blank_erases: bool, same_key: bool) -> None:
        self.key, self.reader, self.blank_erases, self.same_key = key, reader, blank_erases, same_key
        self.sums = Sums()
        self.formulas = lot.formulas
        self.on_lot: dict[str, dict[str, list[LotRow]]] = {heading: defaultdict(list) for heading in KEYS}
        for row in lot.rows:
            for heading in KEYS:
                if row.values.get(heading) is not None:
                    self.on_lot[heading][as_key(row.values[heading])].append(row)
        self.in_list: dict[str, dict[str, int]] = {heading: {} for heading in KEYS}
        self.near_on_lot: dict[str, list[LotRow]] = defaultdict(list)
        for name, rows in self.on_lot[key].items():
            self.near_on_lot[near(name)] += rows
        self.near_in_list: dict[str, tuple[int, str]] = {}

    def row(self, number: int, cells: Sequence[Value], refused: str | None) -> RowPlan:
        """The plan for one row of the list."""
        if refused:
            # Where a row has too many cells, nobody knows which of them is the key.
            return RowPlan(number, "", "refused", reason=refused)
        if names_total(cells[self.reader.columns[self.key].index], cells):
            self.sums.end_group()
            return RowPlan(number, "", "refused", reason="a row of totals and no trailer")
        name, reasons = self._name(cells)
        on_lot = self._found(name, number, reasons) if name else []
        if len(on_lot) > 1:
            places = " and ".join(str(row.number) for row in on_lot)
            reasons.append(f"{self.key} {name} stands on the lot twice, in rows {places}: mend that first")
        target = on_lot[0] if on_lot else None
        changes, same, blank = self._fields(cells, target, reasons)
        if len(on_lot) <= 1:
            reasons += self._taken_elsewhere(number, changes, target)
        lot_row = target.number if target and len(on_lot) == 1 else None
        figures = {c.heading: float(c.new) for c in changes if isinstance(c.new, int | float)}
        if target is None and self.sums.are(figures, PRICE):
            reasons.append("each figure, or its price, is the sum of those above it: a row of totals and no trailer")
            self.sums.end_group()
        else:
            self.sums.add(figures)
        if target is None and not reasons and {change.heading for change in changes} == {self.key}:
            reasons.append(
                f"it holds nothing but its {self.key}: a note or a heading, or a trailer that needs one field more"
            )
        if reasons:
            return RowPlan(number, name, "refused", lot_row, reason="; ".join(reasons))
        status: Status = "new" if target is None else "changed" if changes else "same"
        return RowPlan(number, name, status, lot_row, tuple(changes), tuple(same), tuple(blank))

    def _found(self, name: str, number: int, reasons: list[str]) -> list[LotRow]:
        """The trailer's rows on the lot; why it may not be taken in for its name is added to ``reasons``."""
        exact, bare = as_key(name), near(name)
        first = self.in_list[self.key].setdefault(bare if self.same_key else exact, number)
        if first != number:
            reasons.append(f"{self.key} {name} stands in row {first} of the list already")
        earlier, written = self.near_in_list.setdefault(bare, (number, name))
        on_lot, alike = self.on_lot[self.key].get(exact, []), self.near_on_lot.get(bare, [])
        if self.same_key:
            return on_lot or alike
        others = [] if on_lot else [(f"row {row.number} of the lot", name_of(row.values[self.key])) for row in alike]
        if as_key(written) != exact:
            others.append((f"row {earlier} of the list", written))
        if others:
            place, other = others[0]
            reasons.append(
                f'{self.key} "{name}" is nearly "{other}" in {place}: write it as there, or say --same-key '
                "where such names are the same trailer"
            )
        return on_lot

    def _name(self, cells: Sequence[Value]) -> tuple[str, list[str]]:
        """The trailer's name in the key column, and what is wrong with it."""
        cell = cells[self.reader.columns[self.key].index]
        if self.reader.is_blank(self.key, cell):
            return "", [f"{self.key} is blank"]
        try:
            return str(self.reader.value(self.key, cell)), []
        except QuantityError as error:
            return "", [f"{self.key}: {error}"]

    def _fields(
        self, cells: Sequence[Value], target: LotRow | None, reasons: list[str]
    ) -> tuple[list[Change], list[str], list[str]]:
        """Fields that change, that are the same, and that the list leaves blank; bad ones are added to ``reasons``."""
        changes: list[Change] = []
        same: list[str] = []
        blank: list[str] = []
        for heading, found in self.reader.columns.items():
            cell = cells[found.index]
            old = target.values.get(heading) if target else None
            is_formula = target is not None and (target.number, heading) in self.formulas
            if self.reader.is_blank(heading, cell):
                if self.blank_erases and old is not None and heading != self.key:
                    changes.append(Change(heading, old, None, is_formula))
                else:
                    blank.append(heading)
                continue
            try:
                new = self.reader.value(heading, cell)
            except QuantityError as error:
                if heading != self.key:  # said already
                    reasons.append(f"{heading}: {error}")
                continue
            if target is not None and (heading == self.key or is_same(self.reader.fields[heading], old, new)):
                same.append(heading)
            else:
                changes.append(Change(heading, old, new, is_formula))
        return changes, same, blank

    def _taken_elsewhere(self, number: int, changes: Sequence[Change], target: LotRow | None) -> list[str]:
        """Whether a trailer would get the stock number or VIN of another."""
        reasons = []
        for change in changes:
            if change.heading not in KEYS or change.heading == self.key or change.new is None:
                continue
            name = as_key(change.new)
            others = [row.number for row in self.on_lot[change.heading].get(name, []) if row is not target]
            first = self.in_list[change.heading].setdefault(name, number)
            if others:
                reasons.append(
                    f"{change.heading} {change.new} is that of another trailer, in row {others[0]} of the lot"
                )
            elif first != number:
                reasons.append(f"{change.heading} {change.new} stands in row {first} of the list already")
        return reasons
