"""What each weighing on the Tickets sheet comes to, and which of them fill Scale weight and Empty pin of the Lot.

Filled is from the latest empty weighing of each stock number up to today, and from no older one where that one cannot
be used. How is planned as an import of a list is: the same plan, the same backup, the same undo.
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
_STOCK_TEXT, _EMPTY_WEIGHT = "Stock no. as text", "Empty weight ({weight})"
FILLED = ("scale", "empty_pin")
"""The columns of the Lot that are filled, by key."""
WEIGHT_ONLY = "fills the weight only"
MOST_APART = 0.10
"""Share of the Lot's empty weight by which a weighing may differ from it and be used; common practice, no source.

More is a slip of one or the other, and which is for a person to say.
"""


@dataclass(frozen=True)
class Weighing:
    """One row of Tickets in which something stands.

    Attributes:
        row: Its number on the sheet.
        entries: What is typed, by heading.
        found: What it comes to, by key.
        lot_empty: What the Lot has as the trailer's empty weight; None where it has none.
    """

    row: int
    entries: Mapping[str, object]
    found: Mapping[str, Value]
    lot_empty: float | None = None

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
    empty_of = {str(row[_STOCK_TEXT]).casefold(): row[lot.units.heading(_EMPTY_WEIGHT)] for row in filled}
    return [
        Weighing(number, entries, result, _number(empty_of.get(str(result["stock_text"]).casefold())))
        for (number, entries), result in zip(numbered, results, strict=True)
        if result["is_begun"]
    ]


def _number(held: object) -> float | None:
    return held if isinstance(held, float) else None


def use(lot: AnyLot, found: Sequence[Weighing], today: datetime.date) -> Use[AnyLot]:
    """What filling the Lot from its tickets would do. Nothing is written here.

    Args:
        lot: The lot as it stands.
        found: Its weighings.
        today: The day on which it is asked: no weighing is of a later one.

    Raises:
        UpdateError: The lot has no column for it.
    """
    empty: dict[str, list[Weighing]] = {}
    left = {one.row: _to_come(one, today) for one in found if _day_number(one) > today.toordinal()}
    there = [one for one in found if one.row not in left]
    for one in sorted((one for one in there if one.load == EMPTY and one.stock), key=_later):
        empty.setdefault(one.stock.casefold(), []).append(one)
    left |= {one.row: why for one in there if (why := _not_used(one, empty.get(one.stock.casefold(), [])))}
    used = [one for one in found if one.row not in left]
    left |= {one.row: why for one in used if (why := _pin_not_used(one))}
    planned = plan(lot, _as_list(used, lot.units, lot.name), key=lot_columns.KEY)
    left |= planned.refused
    apart = {one.row: str(one.found["against"]) for one in used}
    taken = [
        replace(row, look=apart[row.number] if row.status == "changed" else "")
        for row in planned.rows
        if row.status != "refused"
    ]
    left = dict(sorted(left.items()))
    said = [
        f"row {row} of {SHEET} {why if why.startswith(WEIGHT_ONLY) else f'is not used: {why}'}"
        for row, why in left.items()
    ]
    return Use(replace(planned, rows=taken, notes=[*planned.notes, *said]), left)


def _later(one: Weighing) -> tuple[int, int]:
    """What orders weighings by their days, and of one day the lower row later."""
    return _day_number(one), one.row


def _day_number(one: Weighing) -> int:
    """Its day as a number, and its time left out; 0 without one."""
    return one.day.toordinal() if one.day else 0


def _to_come(one: Weighing, today: datetime.date) -> str:
    return f"its date {one.day:%Y-%m-%d} is after today, {today:%Y-%m-%d}: correct it"


def _not_used(one: Weighing, of_trailer: Sequence[Weighing]) -> str:
    """Why a weighing fills nothing; empty where it does.

    Args:
        one: The weighing.
        of_trailer: The empty weighings of its stock number, by their days.
    """
    said = one.found
    if one.load == LOADED:
        return "of a loaded trailer: it tells no empty weight"
    if not one.stock or one.load != EMPTY:
        return f"lacks {said['missing']}" if said["missing"] else str(said["entry_check"])
    dateless = [other.row for other in of_trailer if other.day is None]
    if dateless and len(of_trailer) > 1:
        return f"which weighing is the latest is not known: row {dateless[0]} has no date that can be read"
    if one is not of_trailer[-1]:
        latest = of_trailer[-1]
        if _day_number(one) == _day_number(latest):
            return f"of the same day as row {latest.row}: the lower row is used"
        return f"older than the weighing in row {latest.row}"
    if said["entry_check"]:
        return f"look at its entries: {said['entry_check']}"
    if said["between"]:
        return f"its tickets disagree: {said['between']}"
    weight = said["weight"]
    if not isinstance(weight, float):
        return f"lacks {said['missing']}"
    if one.lot_empty is not None and abs(weight - one.lot_empty) > MOST_APART * one.lot_empty:
        apart = said["against"] or f"{weight:,.0f}"
        return f"too far from the Lot's {one.lot_empty:,.0f}: {apart}; if it is right, type it on the Lot"
    return ""


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
