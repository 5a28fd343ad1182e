"""No cell of ours carries Excel's mark for a number that is stored as a text: stock numbers are texts on purpose.

The element that says so: ignoredError, ECMA-376 Part 1, 18.3.1.51. That Excel marks typed cells whose text reads as a
number, and heeds the element, is from memory; no Excel has opened these files.
"""

from __future__ import annotations

import shutil
import zipfile
from pathlib import Path
from xml.etree.ElementTree import fromstring

import openpyxl
import pytest
from openpyxl.worksheet.cell_range import MultiCellRange

from tarelot.workbook_templates.hauling.what_if import aboard
from tarelot.workbook_templates.lists.reading import read_list
from tarelot.workbook_templates.lot.reading import read_lot
from tarelot.workbook_templates.updates.apply import apply
from tarelot.workbook_templates.updates.plan import plan

MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
SHEETS = {"Lot": 1, "Trailer": 2, "What-if": 3, "Match": 4, "Compare": 5, "Quote": 7, "Tickets": 8, "Options": 9}
SHEETS |= {"Machines": 10, "Trucks": 11}
"""Sheets where names and numbers of things are typed or shown, by their place."""
BEHIND = ("smartTags", "drawing", "legacyDrawing", "tableParts", "extLst")
"""What may follow the element: CT_Worksheet, ECMA-376 Part 1, annex A.2, those that these sheets have."""


def kept(path: Path) -> dict[str, MultiCellRange]:
    """The cells of each sheet whose numbers may be texts, as the file says it."""
    found = {}
    with zipfile.ZipFile(path) as package:
        for sheet, place in SHEETS.items():
            members = list(fromstring(package.read(f"xl/worksheets/sheet{place + 1}.xml")))  # noqa: S314  our own
            names = [member.tag.removeprefix(MAIN) for member in members]
            assert names.count("ignoredErrors") == 1
            at = names.index("ignoredErrors")
            assert set(names[at + 1 :]) <= set(BEHIND)
            [one] = members[at]
            assert one.attrib["numberStoredAsText"] == "1"
            found[sheet] = MultiCellRange(one.attrib["sqref"])
    return found


def numbers_as_texts(path: Path) -> dict[str, list[str]]:
    """The typed cells of each sheet whose text reads as a number."""
    book = openpyxl.load_workbook(path)
    return {
        sheet.title: [
            cell.coordinate
            for row in sheet.iter_rows()
            for cell in row
            if cell.data_type == "s" and cell.value.replace(".", "", 1).isdigit()
        ]
        for sheet in book
    }


def assert_not_marked(path: Path) -> None:
    """Every typed number that is a text stands where it may."""
    areas = kept(path)
    for sheet, cells in numbers_as_texts(path).items():
        assert [cell for cell in cells if cell not in areas.get(sheet, ())] == [], sheet


@pytest.mark.slow
def test_the_demo(demo_workbook: Path) -> None:
    found = numbers_as_texts(demo_workbook)
    assert {sheet: len(cells) for sheet, cells in found.items() if cells}.items() >= {
        ("Lot", 24),
        ("What-if", 1),
        ("Compare", 4),
    }
    assert_not_marked(demo_workbook)


def test_every_sheet_keeps_the_column_that_names_its_rows(demo_workbook: Path) -> None:
    areas = kept(demo_workbook)
    of_names = {"Lot": "A5", "Match": "B13", "Tickets": "B5", "Options": "A5", "Machines": "A5", "Trucks": "A5"}
    for sheet, cell in of_names.items():
        assert cell in areas[sheet], sheet
    assert all(cell in areas["What-if"] for cell in ("B5", "B6", "B7", *aboard.name_cells()))
    assert "C9" not in areas["Match"]
    assert "A4" not in areas["Lot"]


@pytest.mark.slow
def test_trailers_that_an_import_added(demo_workbook: Path, tmp_path: Path) -> None:
    path = Path(shutil.copy(demo_workbook, tmp_path / "lot.xlsx"))
    rows = [f"{number},{number}1,12000" for number in range(20_000, 20_040)]
    listed = tmp_path / "list.csv"
    listed.write_text("\n".join(["Stock no.,Model,GVWR (lb)", *rows]), encoding="utf-8")
    apply(plan(read_lot(path), read_list(listed)), listed)
    assert len(numbers_as_texts(path)["Lot"]) == 24 + 2 * len(rows)
    assert_not_marked(path)


def test_it_can_fail(demo_workbook: Path, tmp_path: Path) -> None:
    path = tmp_path / "elsewhere.xlsx"
    with zipfile.ZipFile(demo_workbook) as whole, zipfile.ZipFile(path, "w") as other:
        for part in whole.namelist():
            other.writestr(part, whole.read(part).replace(b'<ignoredError sqref="A5', b'<ignoredError sqref="A50'))
    with pytest.raises(AssertionError, match="A5"):
        assert_not_marked(path)
