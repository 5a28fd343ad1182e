"""What putting an older version of a lot back would take away, in words."""

from __future__ import annotations

import zipfile
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

from tarelot.workbook_templates.lot.reading import LotError, LotSheet, Value, read_lot
from tarelot.workbook_templates.updates.plan import UpdateError

KEY = "Stock no."
Trailer = tuple[str, int]
"""Its stock number, and which of those that share it, from the top."""


def lost(path: Path, older: Path) -> list[str]:
    """What the lot holds that an older version of it does not, a line each.

    Args:
        path: The lot.
        older: The version that would be put back.

    Raises:
        UpdateError: One of the two cannot be read as a lot; the message says which.
    """
    try:
        now, then = _trailers(read_lot(path)), _trailers(read_lot(older))
    except LotError as error:
        raise UpdateError(f"the two versions cannot be compared: {error}") from error
    lines = [f"{_name(key)}: this trailer would be gone" for key in now if key not in then]
    lines += [f"{_name(key)}: this trailer would be back" for key in then if key not in now]
    for key in now:
        if key in then:
            lines += _fields(key, now[key], then[key])
    beside = _other_parts(path, older)
    return lines + ([f"Beside the trailers differ: {', '.join(beside)}"] if beside and not lines else [])


def _trailers(lot: LotSheet) -> dict[Trailer, dict[str, Value]]:
    found: dict[Trailer, dict[str, Value]] = {}
    seen: Counter[str] = Counter()
    for row in lot.rows:
        key = str(row.values.get(KEY) or f"row {row.number}")
        found[key, seen[key]] = row.values
        seen[key] += 1
    return found


def _name(key: Trailer) -> str:
    return key[0] if not key[1] else f"{key[0]} (number {key[1] + 1} of that name)"


def _fields(key: Trailer, now: dict[str, Value], then: dict[str, Value]) -> Iterator[str]:
    for heading in {**now, **then}:
        held, older = now.get(heading), then.get(heading)
        if held != older:
            yield f"{_name(key)}: {heading} {_shown(held)} -> {_shown(older)}"


def _shown(value: Value) -> str:
    return "blank" if value is None else f"{value:.12g}" if isinstance(value, float) else str(value)


def _other_parts(path: Path, older: Path) -> list[str]:
    """The parts of the package that differ; by their check sums."""
    sums = []
    for one in (path, older):
        with zipfile.ZipFile(one) as package:
            sums.append({info.filename: info.CRC for info in package.infolist()})
    return sorted(name for name in sums[0].keys() | sums[1].keys() if sums[0].get(name) != sums[1].get(name))
