"""What a person does to rows in LibreOffice: formulas that name cells of their own row keep to it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from openpyxl.utils import get_column_letter

from tarelot.workbook_templates.basis.units import US
from tarelot.workbook_templates.lot import sheet as lot
from tarelot.workbook_templates.lot.columns import headings
from tests.engines.office import Office
from tests.lot.small_lot import write_demo_lot

SORT = {"ByRows": True, "HasHeader": False, "CaseSensitive": False, "IncludeAttribs": True, "UserDefIndex": 0}
TRAILERS = 24


def by_vin(grid: list[list[Any]]) -> dict[str, dict[str, Any]]:
    order = headings(US)
    rows = [dict(zip(order, row, strict=False)) for row in grid[lot.FIRST_ROW - 1 :]]
    return {row["VIN"]: row for row in rows if row.get("VIN")}


def test_sorted_and_inserted_rows_say_the_same(tmp_path: Path, office: Office) -> None:
    path = write_demo_lot(tmp_path / "lot.xlsx")
    last = get_column_letter(len(headings(US)))
    rows = f"$Lot.$A${lot.FIRST_ROW}:${last}${lot.FIRST_ROW + TRAILERS - 1}"
    calls: list[dict[str, Any]] = [
        {"url": ".uno:GoToCell", "arguments": {"ToPoint": rows}},
        {"url": ".uno:DataSort", "arguments": {**SORT, "Col1": 1, "Ascending1": False}},
        {"url": ".uno:GoToCell", "arguments": {"ToPoint": "$Lot.$A$8"}},
        {"url": ".uno:InsertRows", "arguments": {}},
    ]
    before, is_sorted, _, inserted = (values["Lot"] for values in office.dispatch(path, calls)["values"])
    first = lot.FIRST_ROW - 1
    assert [grid[first][0] for grid in (before, is_sorted)] == ["1101", "1123"]
    assert [grid[first + 3][0] for grid in (is_sorted, inserted)] == ["1120", ""]
    said = by_vin(before)
    assert len(said) == TRAILERS
    assert sum(row["What conflicts"] != "" for row in said.values()) == 17
    assert by_vin(is_sorted) == by_vin(inserted) == said
