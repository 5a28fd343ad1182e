"""What the checks of a row found, in words.

A check's result is a conflict when it is a number above 0 or a text other than ``ok``; blank is "not checked".
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from .errors import WrongKind

PASSED = "ok"
SINGLE_DIGITS = 9.95
"""Amounts below it are shown with one decimal, since 0.4 in too wide must not read 0."""


def is_conflict(value: object) -> bool:
    """Whether a check's result tells of a conflict.

    >>> is_conflict(250.0), is_conflict(0), is_conflict("ok"), is_conflict("has 16 characters, not 17")
    (True, False, False, True)
    """
    if isinstance(value, str):
        return value.lower() not in ("", PASSED)
    return isinstance(value, int | float) and value > 0


def amount_in_words(amount: float) -> str:
    """An amount as the spreadsheet formats ``#,##0`` and, when small, ``0.0`` show it: halves go up.

    >>> amount_in_words(1750), amount_in_words(0.45), amount_in_words(12.5)
    ('1,750', '0.5', '13')
    """
    if amount < SINGLE_DIGITS:
        return f"{math.floor(amount * 10 + 0.5) / 10:.1f}"
    return f"{math.floor(amount + 0.5):,}"


def conflict_in_words(heading: str, value: float | str) -> str:
    """One conflict: the heading, then the amount with the heading's unit, or the text.

    >>> conflict_in_words("Axles short (lb)", 1750.0), conflict_in_words("VIN check", "has 16 characters, not 17")
    ('Axles short by 1,750 lb', 'VIN check: has 16 characters, not 17')
    """
    if isinstance(value, str):
        return f"{heading}: {value}"
    name, unit = split_unit(heading)
    return f"{name} by {amount_in_words(value)} {unit}" if unit else f"{name} {amount_in_words(value)}"


def split_unit(heading: str) -> tuple[str, str]:
    """A heading's name and the unit in brackets at its end, or an empty unit.

    >>> split_unit("Deck length (ft)"), split_unit("Repeated")
    (('Deck length', 'ft'), ('Repeated', ''))
    """
    if heading.endswith(")") and " (" in heading:
        name, _, unit = heading[:-1].rpartition(" (")
        return name, unit
    return heading, ""


def conflicts(headings: Sequence[object], values: Sequence[object]) -> str:
    """Each check that found something, as ``heading amount``, joined with ``; ``; empty where none did.

    Args:
        headings: The checks' headings, a unit in brackets at the end.
        values: Their results, in the same order.

    Raises:
        WrongKind: The two lists differ in length.

    >>> conflicts(["Axles short (lb)", "VIN check", "Jacks short (lb)"], [1750.0, "ok", ""])
    'Axles short by 1,750 lb'
    """
    found = [(_shown(heading), value) for heading, value in _pairs(headings, values) if is_conflict(value)]
    return "; ".join(conflict_in_words(heading, value) for heading, value in found)  # type: ignore[arg-type]


def conflict_count(values: Sequence[object]) -> float:
    """How many checks found something.

    Args:
        values: The checks' results.

    >>> conflict_count([1750.0, "ok", "", 0])
    1.0
    """
    return float(sum(map(is_conflict, values)))


def not_checked(headings: Sequence[object], values: Sequence[object]) -> str:
    """Headings of the checks without a result, joined with ``; ``: figures for them are missing.

    Args:
        headings: The checks' headings; the unit in brackets is left out.
        values: Their results, in the same order.

    Raises:
        WrongKind: The two lists differ in length.

    >>> not_checked(["Axles short (lb)", "VIN check"], ["", "ok"])
    'Axles short'
    """
    return "; ".join(split_unit(_shown(h))[0] for h, v in _pairs(headings, values) if v is None or v == "")


def _pairs(headings: Sequence[object], values: Sequence[object]) -> Iterator[tuple[object, object]]:
    """Headings with their values."""
    if len(headings) != len(values):
        message = f"headings has {len(headings)} cells, values has {len(values)}: the same number is needed"
        raise WrongKind(message)
    return zip(headings, values, strict=True)


def _shown(heading: object) -> str:
    """A heading's cell as a text: a blank one is empty, a number without needless places."""
    if heading is None:
        return ""
    return f"{heading:.15g}" if isinstance(heading, int | float) else str(heading)
