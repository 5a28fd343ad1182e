"""What is in doubt of the figures that What-if uses: as the lists ask it of theirs, where one is typed over."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from tarelot.calc.cells.expression import Cell, Expression, Given
from tarelot.calc.cells.spreadsheet import COUNTIF, IF, joined, listing
from tarelot.calc.rules import entries
from tarelot.calc.rules.aboard.items import AS_ALONE
from tarelot.calc.rules.entries import Renamed
from tarelot.calc.rules.hauling import DOUBTS_OF
from tarelot.calc.rules.lot import FIGURES as LOT_FIGURES
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling.what_if.rows import (
    FOLLOWING,
    MACHINE,
    NOT_USED,
    TABLES,
    TRAILER,
    TRUCK,
    TYPED,
    Figure,
    doubt,
    from_list,
    is_typed,
    mark,
    marks,
    members,
    twice,
)
from tarelot.workbook_templates.lot.column import Input, given
from tarelot.workbook_templates.lot.columns import inputs
from tarelot.workbook_templates.lot.entries import (
    OF_NO_LOAD,
    PLAIN_TEXT,
    REFUSED,
    UNLISTED,
    refused,
    with_weights,
    words,
)
from tarelot.workbook_templates.sheets import list_sheet, machines, trucks

BEHIND_EMPTY = ("base", "options", "scale")
"""Entries of the Lot that stand behind the empty weight; they do not matter where it is typed over."""
OF_THE_LOT_ALONE = ("stated_payload", "model_year", *OF_NO_LOAD)
"""Entries of the Lot that no rule reads."""
NAMES = {
    "width": "trailer_width",
    "vertical": "coupler_vertical",
    "stated_low": "low_share",
    "stated_high": "high_share",
    **{key: f"{key} listed" for key in BEHIND_EMPTY},
    **AS_ALONE,
}
"""What the Lot's entries are called here, where they are called otherwise."""
EMPTY = given("empty", "Empty weight ({weight})", "", "number", "")
"""A result of the Lot that may be typed over."""
INSTEAD = {"axle_group": "Axle group is not typed over: type over axles, suspension, tires or wheels"}
"""What is said where one of ``FOLLOWING`` is typed over all the same."""
AT_ONCE = 10
"""Questions in one cell, so that no formula is long."""
C = Cell


def doubts(units: Units) -> dict[str, Expression]:
    """The cells by key: for each group its parts, and the doubt that the rules read."""
    found = dict(_behind_empty(units))
    for group in (TRAILER, MACHINE, TRUCK):
        found |= _of_group(group, units)
    return found


def _of_group(group: str, units: Units) -> dict[str, Expression]:
    columns, asked = _asked(group)
    wrong = _parts(f"{group} refused", [Renamed(refused(column), NAMES) for column in columns])
    unlikely = _parts(f"{group} unlikely", [Renamed(one, NAMES) for one in entries.doubts(asked, words(units))])
    all_wrong = C(f"{group} refused")
    told: list[Given] = [IF(all_wrong.equals(""), "", f"; {REFUSED}: " & all_wrong), *map(C, unlikely)]
    if group == TRAILER:
        told.append(IF(C("unlisted listed").equals(""), "", f"; {UNLISTED}" & C("unlisted listed")))
        told += [IF(mark(key).equals(NOT_USED), f"; {INSTEAD[key]}", "") for key in FOLLOWING]
    used = listing([*told, twice(group), *_spaced(group, units)])
    any_typed = COUNTIF(marks(group), TYPED) + COUNTIF(marks(group), NOT_USED) > 0
    return {
        **wrong,
        all_wrong.key: listing(map(C, wrong)),
        **unlikely,
        f"{group} in doubt": used,
        DOUBTS_OF[group.lower()]: IF(any_typed, C(f"{group} in doubt"), doubt(group, C(f"row of {group}"), units)),
    }


def _spaced(group: str, units: Units) -> Iterator[Expression]:
    """What the list says of the chosen name where it stands there with spaces around it; the Lot takes them off."""
    if group != TRAILER:
        _, key = TABLES[group]
        yield list_sheet.spaced(from_list(Figure("name", group, key, kind="text"), C(f"row of {group}"), units), key)


def _asked(group: str) -> tuple[Sequence[Input], entries.Doubts]:
    """The entries that may be refused, and what is asked of their likelihood."""
    if group == MACHINE:
        return [column for column in machines.COLUMNS if _is_read(column)], entries.MACHINE
    if group == TRUCK:
        return [column for column in trucks.COLUMNS if _is_read(column)], entries.TRUCK
    columns = [column for column in inputs() if column.key not in OF_THE_LOT_ALONE]
    known = {figure.key for figure in members(TRAILER)} | set(BEHIND_EMPTY)
    unknown = [column.key for column in columns if NAMES.get(column.key, column.key) not in known | set(NAMES.values())]
    if unknown:
        message = (
            f"{', '.join(unknown)}: no figure of What-if (what_if/rows.py); an entry that no rule reads is named in "
            "OF_NO_LOAD (lot/entries.py) or OF_THE_LOT_ALONE (what_if/doubts.py)"
        )
        raise ValueError(message)
    asked = with_weights(figure.key for figure in members(TRAILER) if "{weight}" in figure.heading)
    return [*columns, EMPTY], replace(
        asked, likely=tuple(row for row in asked.likely if row.key not in OF_THE_LOT_ALONE)
    )


def _is_read(column: Input) -> bool:
    return column.kind != "key" and column.key not in PLAIN_TEXT


def _parts(name: str, asked: Sequence[Expression]) -> dict[str, Expression]:
    """So many questions in one cell."""
    starts = range(0, len(asked), AT_ONCE)
    return {f"{name} {number}": joined(asked[at : at + AT_ONCE]) for number, at in enumerate(starts, 1)}


def _behind_empty(units: Units) -> Iterator[tuple[str, Expression]]:
    """What the Lot says of the weights behind the empty one, and the slope that its figures give."""
    headings = {column.key: column.heading for column in inputs()} | {"unlisted": "Options not listed"}
    for key in (*BEHIND_EMPTY, "unlisted"):
        listed = from_list(Figure(key, TRAILER, headings[key]), C(f"row of {TRAILER}"), units)
        yield f"{key} listed", IF(is_typed("empty"), "", listed)
    yield "ramp_angle", LOT_FIGURES["ramp_angle"]
