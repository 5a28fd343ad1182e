"""Published tables, read from ``data/*.csv``: the first line of each names its source."""

from __future__ import annotations

import csv
from pathlib import Path

DATA = Path(__file__).parent / "data"


def rows(name: str) -> list[dict[str, str]]:
    """Rows of one table as printed, by column name; the first line, which names the source, is left out."""
    with (DATA / name).open(encoding="utf-8", newline="") as file:
        next(file)
        return list(csv.DictReader(file))


LOAD_INDEX_KG: tuple[float, ...] = tuple(float(row["kilograms"]) for row in rows("load_index.csv"))
"""Kilograms a tire may carry, by load index from 0."""
