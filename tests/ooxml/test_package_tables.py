"""Rows added below tables, what may stand in the way, and the workbook's own part, read back with openpyxl."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from tarelot.workbook_templates.ooxml.package import (
    CellValue,
    PackageError,
    defined_names,
    edit,
    replace_defined_names,
    tables,
)
from tests.ooxml.package_corpus import write_xlsxwriter
from tests.ooxml.package_parts.by_hand import HEADINGS, LAST, PAYLOAD, SHEET, Made
from tests.ooxml.package_parts.reading import by_hand, lot, part, with_sheet


@pytest.fixture
def plain(tmp_path: Path) -> Path:
    path = tmp_path / "plain.xlsx"
    write_xlsxwriter(path, lambda wb, lot, other: None)
    return path


@pytest.fixture
def after(tmp_path: Path) -> Path:
    return tmp_path / "after.xlsx"


def row(**more: CellValue) -> dict[str, CellValue]:
    return {"Stock no.": "T-900", "GVWR (lb)": 9_000, **more}


def test_tables_are_found(plain: Path) -> None:
    (table,) = tables(plain)
    assert (table.name, table.sheet, table.ref, table.columns) == ("Lot", "Lot", f"A1:F{LAST}", HEADINGS)
    assert (table.first_row, table.last_row, dict(table.formulas)) == (2, LAST, {"Payload (lb)": PAYLOAD})


def test_a_calculated_column_fills_itself(plain: Path, after: Path) -> None:
    edit(plain, after, {}, {"Lot": [row(), row(**{"Payload (lb)": 5})]})
    sheet = lot(after)
    assert [sheet[f"E{number}"].value for number in (LAST + 1, LAST + 2)] == ["=" + PAYLOAD, 5]
    assert sheet[f"B{LAST + 1}"].value is None
    assert sheet.tables["Lot"].ref == f"A1:F{LAST + 2}"
    assert sheet.tables["Lot"].autoFilter.ref == f"A1:F{LAST + 2}"


def test_a_calculated_column_with_cell_references_moves_along(plain: Path, after: Path) -> None:
    change = {SHEET: lambda text: text.replace(f"<f>{PAYLOAD}</f>", "<f>C7-D7</f>")}
    change["xl/tables/table1.xml"] = lambda text: text.replace(PAYLOAD, "C2-D2")
    edit(by_hand(plain, Made(changed=change)), after, {}, {"Lot": [row(), row()]})
    assert [lot(after)[f"E{number}"].value for number in (8, 9)] == ["=C8-D8", "=C9-D9"]


def test_a_last_row_that_shares_its_formula_gives_it_to_new_rows(plain: Path, after: Path) -> None:
    """A column filled down is written so by spreadsheet programs: its text stands in the first cell alone."""

    def shared(text: str) -> str:
        first = f'<f t="shared" ref="E2:E{LAST}" si="0">C2-D2</f>'
        text = text.replace(f"<f>{PAYLOAD}</f>", first, 1)
        return text.replace(f"<f>{PAYLOAD}</f>", '<f t="shared" si="0"/>')

    change = {SHEET: shared, "xl/tables/table1.xml": lambda text: text.replace(PAYLOAD, "C2-D2")}
    edit(by_hand(plain, Made(changed=change)), after, {}, {"Lot": [row(), row()]})
    added = [lot(after)[f"E{number}"].value for number in (LAST + 1, LAST + 2)]
    assert added == [f"=C{LAST + 1}-D{LAST + 1}", f"=C{LAST + 2}-D{LAST + 2}"]


@pytest.mark.parametrize(
    ("below", "reason"),
    [
        (lambda lot: lot.write("C9", "stands here"), r"Lot!C9 is not empty"),
        (lambda lot: lot.write_formula("F10", "=1"), r"Lot!F10 is not empty"),
        (lambda lot: lot.merge_range("E10:H11", "wide"), r"merged in Lot!E10:H11"),
        (lambda lot: lot.add_table("F10:H12", {"name": "Below"}), r"the table Below stands in Lot!F10:H12"),
        (lambda lot: lot.write_array_formula("F9:G12", "{=C2:D5}"), r"array formula stands in Lot!F9:G12"),
    ],
)
def test_what_stands_below_is_never_written_over(
    tmp_path: Path, after: Path, below: Callable[[Any], Any], reason: str
) -> None:
    path = tmp_path / "below.xlsx"
    write_xlsxwriter(path, lambda wb, lot, other: below(lot))
    with pytest.raises(PackageError, match=f"Lot cannot grow to row 10: .*{reason}"):
        edit(path, after, {}, {"Lot": [row()] * 3})
    assert not after.exists()


def test_what_stands_beside_or_further_down_stays(tmp_path: Path, after: Path) -> None:
    def beside(wb: Any, lot: Any, other: Any) -> None:
        lot.write("G8", "beside")
        lot.write("A10", "below")
        lot.write_blank("B9", None, wb.add_format({"bold": True}))
        lot.set_row(8, 39.75)

    path = tmp_path / "beside.xlsx"
    write_xlsxwriter(path, beside)
    edit(path, after, {}, {"Lot": [row(), row()]})
    sheet = lot(after)
    assert [sheet[name].value for name in ("A8", "G8", "A9", "A10", "B10")] == [
        "T-900",
        "beside",
        "T-900",
        "below",
        None,
    ]
    assert (sheet["B9"].font.bold, sheet.row_dimensions[9].height) == (False, 39.75)


def test_a_table_that_waits_for_its_first_row(plain: Path, after: Path) -> None:
    """``insertRow`` marks a table whose one row is only there to be typed into (ECMA-376 part 1, 18.5.1.2)."""
    change = {
        SHEET: lambda text: re.sub(
            r'<row r="[3-7]".*?</row>', "", re.sub(r"<c r=\"[A-F]2\".*</c>(?=</row><row r=\"3\")", "", text)
        ),
        "xl/tables/table1.xml": lambda text: text.replace(f"A1:F{LAST}", "A1:F2").replace(
            "<table ", '<table insertRow="1" '
        ),
    }
    edit(by_hand(plain, Made(changed=change)), after, {}, {"Lot": [row(), row()]})
    assert [lot(after)[f"A{number}"].value for number in (1, 2, 3, 4)] == ["Stock no.", "T-900", "T-900", None]
    assert 'ref="A1:F3"' in part(after, "xl/tables/table1.xml")
    assert "insertRow" not in part(after, "xl/tables/table1.xml")


@pytest.mark.parametrize(
    ("changes", "appended", "reason"),
    [
        ({"Lots": {"A1": 1}}, {}, "no sheet Lots"),
        ({"Lot": {"A0": 1}}, {}, "'A0' is not a cell"),
        ({"Lot": {"a1": 1}}, {}, "'a1' is not a cell"),
        ({"Lot": {"XFE1": 1}}, {}, "XFE1 is outside the sheet"),
        ({"Lot": {"A1048577": 1}}, {}, "A1048577 is outside the sheet"),
        ({"Lot": {"C1": "GVWR"}}, {}, "Lot!C1 is a heading of the table Lot"),
        ({"Lot": {"A8": 1}}, {"Lot": [row()]}, "Lot!A8 is given two values"),
        ({}, {"Lots": [row()]}, "no table Lots"),
        ({}, {"Lot": [{"Stock": "T"}]}, "no column 'Stock'"),
    ],
)
def test_what_is_not_there_is_named(plain: Path, after: Path, changes: Any, appended: Any, reason: str) -> None:
    with pytest.raises(PackageError, match=reason) as caught:
        edit(plain, after, changes, appended)
    assert "\n" not in str(caught.value)
    assert not after.exists()


def test_totals_rows_and_hidden_cells_are_refused(tmp_path: Path, plain: Path, after: Path) -> None:
    totals = {"xl/tables/table1.xml": lambda text: text.replace("totalsRowShown", 'totalsRowCount="1" totalsRowShown')}
    with pytest.raises(PackageError, match="totals row: switch it off"):
        edit(by_hand(plain, Made(changed=totals)), after, {}, {"Lot": [row()]})
    merged = tmp_path / "merged.xlsx"
    write_xlsxwriter(merged, lambda wb, lot, other: lot.merge_range("K2:L3", "x"))
    with pytest.raises(PackageError, match="Lot!L3 is hidden inside the merged cells K2:L3"):
        edit(merged, after, {"Lot": {"L3": 1}})
    edit(merged, after, {"Lot": {"K2": "seen"}})
    assert lot(after)["K2"].value == "seen"


# ---------------------------------------------------------------- the workbook's own part


def test_names_are_put_right(tmp_path: Path, after: Path) -> None:
    path = tmp_path / "names.xlsx"

    def named(wb: Any, lot: Any, other: Any) -> None:
        wb.define_name("LOT_HALF", '=_xlfn.lambda(_xlpm.a,_xlpm.a/2&"<")')
        wb.define_name("Other!Mine", "=Other!$A$1")

    write_xlsxwriter(path, named)
    assert defined_names(path) == {"LOT_HALF": '_xlfn.lambda(_xlpm.a,_xlpm.a/2&"<")'}
    replace_defined_names(path, after, {"LOT_HALF": '_xlfn.LAMBDA(_xlpm.a,_xlpm.a/2&"<")'})
    assert openpyxl.load_workbook(after).defined_names["LOT_HALF"].attr_text == '_xlfn.LAMBDA(_xlpm.a,_xlpm.a/2&"<")'
    assert part(after, "xl/workbook.xml") == part(path, "xl/workbook.xml").replace("_xlfn.lambda", "_xlfn.LAMBDA")
    with pytest.raises(PackageError, match="has no name LOT_WHOLE"):
        replace_defined_names(path, tmp_path / "never.xlsx", {"LOT_WHOLE": "1"})


def test_the_workbook_can_ask_to_be_calculated(plain: Path, after: Path) -> None:
    edit(plain, after, {"Lot": {"C3": 1}}, recalculate=True)
    assert openpyxl.load_workbook(after).calculation.fullCalcOnLoad is True
    edit(plain, after, {"Lot": {"C3": 1}})
    assert part(after, "xl/workbook.xml") == part(plain, "xl/workbook.xml")


def test_rules_over_whole_columns_stay_as_they_are(plain: Path, after: Path) -> None:
    """``A:A`` in a list of ranges is not in the standard, but openpyxl writes it when it is asked to."""
    rule = '<cfRule type="uniqueValues" priority="1"/></conditionalFormatting>'
    rule = f'<conditionalFormatting sqref="A:A B2:B7 $C$2:$C$7">{rule}'
    edit(
        with_sheet(plain, lambda text: text.replace("<pageMargins", rule + "<pageMargins")), after, {}, {"Lot": [row()]}
    )
    assert 'sqref="A:A B2:B8 C2:C8"' in part(after)


def test_a_broken_formula_is_named(plain: Path, after: Path) -> None:
    change = {"xl/tables/table1.xml": lambda text: text.replace(PAYLOAD, "Lot[[#This Row]")}
    with pytest.raises(PackageError, match="formula in E7 cannot be read"):
        edit(by_hand(plain, Made(changed=change)), after, {}, {"Lot": [row()]})
