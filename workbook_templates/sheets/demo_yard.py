"""The demo yard: invented trailers of invented makers, in ``demo/*.csv``.

Every VIN has a right check digit (but one, mistyped on purpose) and is impossible all the same: it begins with 0, which
the allotment of world manufacturer identifiers gives to no region (from memory), so that no real trailer can have it.
"""

from __future__ import annotations

import csv
import datetime
from pathlib import Path

from tarelot.workbook_templates.basis.units import US
from tarelot.workbook_templates.lot.column import Input
from tarelot.workbook_templates.lot.columns import inputs

FOLDER = Path(__file__).parents[1] / "demo"
LISTS = Path(__file__).parents[1] / "demo_lists"
Typed = str | int | float | datetime.date | None


def typed(column: Input, text: str) -> Typed:
    """A cell of the yard's own files as the value that belongs in the column."""
    if text == "":
        return None
    if column.kind == "date":
        return datetime.date.fromisoformat(text)
    if column.kind == "whole":
        return int(text)
    return text if column.kind == "text" else float(text)


def trailers() -> list[dict[str, Typed]]:
    """The yard's trailers, by heading.

    Raises:
        ValueError: The file lacks a column of the Lot's inputs.
    """
    with (FOLDER / "lot.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    lacking = [name for name in (c.heading.partition(" (")[0] for c in inputs()) if name not in rows[0]]
    if lacking:
        raise ValueError(f"workbook_templates/demo/lot.csv has no column {', '.join(lacking)}: add it there")
    return [{US.heading(c.heading): typed(c, row[c.heading.partition(" (")[0]]) for c in inputs()} for row in rows]


def _stated(text: str) -> float | None:
    return float(text) if text else None


def options() -> list[tuple[str, float, str, float | None, float | None]]:
    """The yard's options: weight in pounds, who fits it, price, feet behind coupler; None for what is not stated."""
    with (FOLDER / "options.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    return [
        (
            row["Option"],
            float(row["Weight"]),
            row["Fitted by"],
            _stated(row["Price"]),
            _stated(row["Center behind coupler"]),
        )
        for row in rows
    ]


def copy_lists(folder: Path) -> list[Path]:
    """Write the yard's own lists (a truckload, prices, scale tickets) into a folder, to try bulk update with."""
    copies = []
    for source in sorted(LISTS.glob("*.csv")):
        target = folder / source.name
        target.write_bytes(source.read_bytes())
        copies.append(target)
    return copies
