"""Where each limit stands on the Limits sheet, what ours is in a workbook's units, and which value is used.

The sheet is written by ``sheets/limits.py``; the Lot below it reads it too, which is why its places are said here.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import cache

from tarelot.calc.cells.expression import Cell, Expression, lift, value
from tarelot.calc.cells.spreadsheet import AND, COUNT, IF, IFERROR, LOWER, OR, TRIM
from tarelot.calc.rules.limits import BY_KEY, LIMITS, Limit
from tarelot.workbook_templates.basis.units import US, Units

SHEET = "Limits"
FIRST_ROW = 7
NAME, TYPED, UNIT, OURS, USED, SWITCH, LEAST, GREATEST, DONE, SOURCE, NOTE = "ABCDEFGHIJK"
"""Columns."""
NAME_HEADING, TYPED_HEADING, SWITCH_HEADING = "Limit", "Yours", "Switched off"
NOT_TAKEN = "▲ not taken, ours is used"
NOT_A_SWITCH = "▲ only off is taken under Switched off"
NO_SWITCH = "▲ cannot be switched off"
CHANGED = "$B$4"
"""The cell that says in words what the yard changed or switched off; blank where nothing."""
OFF = "off"
NO_LIMIT = 1e12
"""What is used in place of a limit that is switched off: nothing goes beyond it."""
SIGNIFICANT = 3
Typed = Mapping[str, tuple[object, object]]
"""By key what the yard typed for a limit, and what it typed under Switched off."""

_TYPED, _OURS, _LEAST, _GREATEST, _SWITCH = (Cell(key) for key in ("typed", "ours", "least", "greatest", "switch"))
_IN_BOUNDS = IFERROR(AND(COUNT(_TYPED).equals(1), _TYPED >= _LEAST, _TYPED <= _GREATEST, _TYPED.differs(0)), False)
"""No limit may be put at 0."""
_IS_BLANK = IFERROR(_TYPED.equals(""), False)
_NO_SWITCH_TYPED = IFERROR(OR(TRIM(_SWITCH).equals(""), _SWITCH.equals(0)), False)
IS_OFF = IFERROR(LOWER(TRIM(_SWITCH)).equals(OFF), False)


def row_of(key: str) -> int:
    """The row of a limit."""
    return FIRST_ROW + list(BY_KEY).index(key)


def limit_places(units: Units) -> dict[str, str]:  # noqa: ARG001 - the places are the same in either system
    """The cell of each limit's used value as formulas elsewhere refer to it, by ``limit_<key>``.

    >>> limit_places(US)["limit_legal_width"]
    'Limits!$E$7'
    """
    cells = {f"limit_{limit.key}": f"{SHEET}!${USED}${row}" for row, limit in enumerate(LIMITS, FIRST_ROW)}
    return {**cells, "limits_changed": f"{SHEET}!{CHANGED}"}


def in_units(limit: Limit, amount: float, units: Units) -> float:
    """An amount of a limit's kind in a workbook's units: one of what is likely to three digits, another to tenths."""
    factor = {
        "weight": units.weight_per_pound,
        "short": units.short_per_inch,
        "long": 12 * units.short_per_inch / units.short_per_long,
    }.get(limit.unit, 1.0)
    if units is US or factor == 1 or amount == 0:
        return float(amount)
    if limit.key.startswith("plaus_"):
        return float(f"{amount * factor:.{SIGNIFICANT}g}")
    return math.floor(round(amount * factor * 10, 6)) / 10


def ours(limit: Limit, units: Units) -> float:
    """Our value of a limit in a workbook's units."""
    return in_units(limit, limit.value, units)


def unit_name(limit: Limit, units: Units) -> str:
    """The unit of a limit as the sheet says it."""
    return {
        "weight": units.weight,
        "short": units.short,
        "long": units.long,
        "degrees": "deg",
        "share": "share",
        "none": "",
    }[limit.unit]


def used_expression(limit: Limit) -> Expression:
    """The value used: the yard's where it is a number within its bounds, else ours; none where it is switched off."""
    used = IF(_IN_BOUNDS, _TYPED, _OURS)
    return IF(IS_OFF, NO_LIMIT, used) if limit.may_switch_off else used


def done_expression(limit: Limit, units: Units) -> Expression:
    """What the yard did with a limit, in words; blank where it did nothing."""
    unit = "" if limit.unit == "share" else f" {unit_name(limit, units)}".rstrip()
    changed = IF(_TYPED.equals(_OURS), "", _TYPED & f"{unit} instead of " & _OURS & unit)
    typed = IF(_IS_BLANK, "", IF(_IN_BOUNDS, changed, NOT_TAKEN))
    refused = NOT_A_SWITCH if limit.may_switch_off else NO_SWITCH
    between = IF(typed.equals(""), "", ", ")
    said = IF(_NO_SWITCH_TYPED, typed, lift(refused) & between & typed)
    return IF(IS_OFF, "switched off", said) if limit.may_switch_off else said


def cells_of(limit: Limit, units: Units, typed: object = None, switch: object = None) -> dict[str, object]:
    """What the expressions of a limit's row read."""
    least, greatest = (in_units(limit, amount, units) for amount in (limit.least, limit.greatest))
    return {
        "typed": typed,
        "ours": ours(limit, units),
        "least": least,
        "greatest": greatest,
        "switch": switch,
    }


def limit_values(units: Units, typed: Typed | None = None) -> dict[str, float]:
    """The value used of each limit, by ``limit_<key>``, in a workbook's units.

    Args:
        units: The workbook's units.
        typed: What the yard typed; without it ours.
    """
    return dict(_ours(units)) if not typed else _used(units, typed)


@cache
def _ours(units: Units) -> dict[str, float]:
    return {f"limit_{limit.key}": ours(limit, units) for limit in LIMITS}


def _used(units: Units, typed: Typed) -> dict[str, float]:
    found = dict(_ours(units))
    for key, (number, switch) in typed.items():
        cells = cells_of(BY_KEY[key], units, number, switch)
        found[f"limit_{key}"] = float(value(used_expression(BY_KEY[key]), cells))
    return found
