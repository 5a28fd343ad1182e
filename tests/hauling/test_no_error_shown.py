"""No cell that a person reads shows an error, whatever stands in the lists and in the choices.

Each entry once in LibreOffice, on the demo; every formula of What-if's left side, of Card, Compare and Trailer, and of
Match above its table and in its first row is looked at.
"""

from __future__ import annotations

from pathlib import Path

import openpyxl
import pytest

from tests.engines.office import Office

ENTRIES: tuple[tuple[str, float | str], ...] = (
    *((f"Trucks!{column}8", content) for column in "FGJOPQR" for content in ("word", "12,5", -4)),
    ("Trucks!G8", 2.5),
    *((f"Machines!{column}7", "=1/0") for column in "BDEFJM"),
    ("Machines!E7", 1e308),
    ("Machines!E7", 1e-300),
    *((f"What-if!{cell}", "=1/0") for cell in ("B5", "B6", "B7", "H94", "H98", "H103")),
    *((f"Match!{cell}", "=1/0") for cell in ("C4", "C5")),
    *((f"Lot!{column}10", "=1/0") for column in "CDEK"),
    ("Trailer!B4", "=1/0"),
    *((f"Compare!{cell}", "=1/0") for cell in ("B7", "E7")),
)


@pytest.fixture(scope="module")
def shown(demo_workbook: Path) -> list[str]:
    """The cells that are looked at."""
    book = openpyxl.load_workbook(demo_workbook)
    areas = {"What-if": "A1:D157", "Card": "A1:G74", "Trailer": "A1:K40", "Match": "A1:I12", "Compare": "A3:F31"}
    return [
        f"{sheet}!{cell.coordinate}"
        for sheet, area in areas.items()
        for row in book[sheet][area]
        for cell in row
        if cell.data_type == "f"
    ]


def test_no_cell_shows_an_error(demo_workbook: Path, office: Office, shown: list[str]) -> None:
    choices: dict[str, float | str | bool | None] = {"What-if!B6": "Backhoe 15", "What-if!B7": "Tandem dump 58"}
    rounds = [{**choices, "What-if!B5": "1106", cell: content} for cell, content in ENTRIES]
    answers = office.edit_and_read_often(demo_workbook, rounds, shown)
    found = [
        (entry, cell, value)
        for entry, values in zip(ENTRIES, answers, strict=True)
        for cell, value in zip(shown, values, strict=True)
        if str(value).startswith(("#", "Err:"))
    ]
    assert found == []
