"""What each weighing on the Tickets sheet comes to, and which of them fill Scale weight and Empty pin of the Lot.

Filled is from the latest empty weighing of each stock number, and from no older one where that one cannot be used. How
is planned as an import of a list is: the same plan, the same backup, the same undo.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Generic

from tarelot.calc.rules.weighing.figures import EMPTY, LOADED
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.lists.table import Form, ListTable
from tarelot.workbook_templates.lot import columns as lot_columns
from tarelot.workbook_templates.lot.column import Input
from tarelot.workbook_templates.lot.held.lot import Lot
from tarelot.workbook_templates.lot.results import lot_results
from tarelot.workbook_templates.sheets.tickets.columns import DATE, LOAD, SHEET, inputs
from tarelot.workbook_templates.sheets.tickets.results import Value, ticket_results
from tarelot.workbook_templates.updates.plan import AnyLot, Plan, plan

Numbered = tuple[int, Mapping[str, object]]
"""A row's number on the sheet, and its entries by heading."""
FILLED = ("scale", "empty_pin")
"""The columns of the Lot that are filled, by key."""
WEIGHT_ONLY = "fills the weight only"


@dataclass(frozen=True)
class Weighing:
    """One row of Tickets in which something stands.

    Attributes:
        row: Its number on the sheet.
        entries: What is typed, by heading.
        found: What it comes to, by key.
    """

    row: int
    entries: Mapping[str, object]
    found: Mapping[str, Value]

    @property
    def stock(self) -> str:
        """The stock number as a text."""
        return str(self.found["stock_text"])

    @property
    def load(self) -> str:
        """``empty``, ``loaded``, or what else is typed there."""
        return str(self.entries.get(LOAD) or "").strip().lower()

    @property
    def day(self) -> datetime.date | None:
        """Its day; None without one."""
        typed = self.entries.get(DATE)
        return typed if isinstance(typed, datetime.date) else None

    @property
    def disagrees(self) -> bool:
        """Whether something disagrees, or an entry is to be looked at."""
        return any(self.found[key] for key in ("between", "against", "entry_check"))


@dataclass(frozen=True)
class Use(Generic[AnyLot]):
    """What filling the Lot from its tickets does.

    Attributes:
        plan: The plan.
        left: By the row of a weighing why it, or its pin, is not used.
    """

    plan: Plan[AnyLot]
    left: dict[int, str]


def weighings(lot: Lot, rows: Iterable[Numbered]) -> list[Weighing]:
    """What each weighing comes to, in the order of the sheet; rows to fill are left out."""
    found = lot_results([row.values for row in lot.rows], lot.options, lot.units, lot.limits)
    filled = [{**row.values, **result} for row, result in zip(lot.rows, found, strict=True)]
    numbered = list(rows)
    results = ticket_results([entries for _, entries in numbered], filled, lot.units, lot.limits)
    return [
        Weighing(number, entries, result)
        for (number, entries), result in zip(numbered, results, strict=True)
        if result["is_begun"]
    ]


def use(lot: AnyLot, found: Sequence[Weighing]) -> Use[AnyLot]:
    """What filling the Lot from its tickets would do. Nothing is written here.

    Args:
        lot: The lot as it stands.
        found: Its weighings.

    Raises:
        UpdateError: The lot has no column for it.
    """
    latest: dict[str, Weighing] = {}
    for one in sorted((one for one in found if one.load == EMPTY and one.stock), key=_later):
        latest[one.stock.casefold()] = one
    left = {one.row: why for one in found if (why := _not_used(one, latest.get(one.stock.casefold())))}
    used = [one for one in found if one.row not in left]
    left |= {one.row: why for one in used if (why := _pin_not_used(one))}
    planned = plan(lot, _as_list(used, lot.units, lot.name), key=lot_columns.KEY)
    left |= planned.refused
    taken = [row for row in planned.rows if row.status != "refused"]
    left = dict(sorted(left.items()))
    said = [
        f"row {row} of {SHEET} {why if why.startswith(WEIGHT_ONLY) else f'is not used: {why}'}"
        for row, why in left.items()
    ]
    return Use(replace(planned, rows=taken, notes=[*planned.notes, *said]), left)


def _later(one: Weighing) -> tuple[int, int]:
    """What orders weighings by their days; one without a day is older than any, and of one day the lower row later."""
    return one.day.toordinal() if one.day else 0, one.row


def _not_used(one: Weighing, latest: Weighing | None) -> str:
    """Why a weighing fills nothing; empty where it does."""
    said = one.found
    if one.load == LOADED:
        return "of a loaded trailer: it tells no empty weight"
    if not one.stock or one.load != EMPTY:
        return f"lacks {said['missing']}" if said["missing"] else str(said["entry_check"])
    if one is not latest and latest is not None:
        return f"older than the weighing in row {latest.row}"
    if said["entry_check"]:
        return f"look at its entries: {said['entry_check']}"
    if said["between"]:
        return f"its tickets disagree: {said['between']}"
    return f"lacks {said['missing']}" if said["weight"] == "" else ""


def _pin_not_used(one: Weighing) -> str:
    """Why a weighing that is used does not fill the pin; empty where it does."""
    if one.found["pin"] == "":
        return f"{WEIGHT_ONLY}: it lacks {one.found['missing']}"
    return f"{WEIGHT_ONLY}: the bars were tight and hide a part of the pin" if one.found["true_pin"] == "" else ""


def _as_list(used: Sequence[Weighing], units: Units, name: str) -> ListTable:
    """The weighings that are used, as a list of trailers whose rows have the numbers of the sheet."""
    by_key = {column.key: units.heading(column.heading) for column in lot_columns.inputs()}
    return ListTable(
        [lot_columns.KEY, *(by_key[key] for key in FILLED)],
        [[one.stock, one.found["weight"], one.found["true_pin"]] for one in used],
        [one.row for one in used],
        f"{SHEET} of {name}",
        Form(".xlsx", SHEET),
    )


def inputs_of(units: Units) -> dict[str, Input]:
    """The inputs of the sheet by heading."""
    return {units.heading(column.heading): column for column in inputs()}
