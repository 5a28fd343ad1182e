"""What an edit writes and what it refuses; openpyxl is the independent reader."""

from __future__ import annotations

import datetime
import re
import zipfile
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from openpyxl.styles import Font
from openpyxl.utils import get_column_letter
from openpyxl.utils.escape import unescape

from tarelot.workbook_templates.ooxml.package import CellValue, Formula, PackageError, edit, store_results
from tests.ooxml.package_corpus import write_openpyxl, write_xlsxwriter
from tests.ooxml.package_parts.by_hand import BY_HAND, LAST, PAYLOAD, SHEET, Made, remade
from tests.ooxml.package_parts.reading import by_hand, lot, part, with_sheet


@pytest.fixture
def plain(tmp_path: Path) -> Path:
    path = tmp_path / "plain.xlsx"
    write_xlsxwriter(path, lambda wb, lot, other: None)
    return path


@pytest.fixture
def after(tmp_path: Path) -> Path:
    return tmp_path / "after.xlsx"


# ---------------------------------------------------------------- values


@pytest.mark.parametrize(
    "text",
    [
        "=1+1",
        "+1",
        "-1",
        "@now",
        "\tx",
        "\rx",
        "\n=x",
        "=cmd|' /C x'!A0",
        " both ",
        "a<b>&\"'",
        "\x00\x07\x1f",
        "_x0041_",
    ]
    + ["_x005F_", "\ufffe\uffff", "🚚", "#N/A", "TRUE", "1e5", "]]>", "", "a\r\nb", "x" * 32_767],
)
def test_text_stays_text(plain: Path, after: Path, text: str) -> None:
    """Never a formula, a number or an error, and read back as it was (ECMA-376 part 1, 22.9.2.19 for ``_xHHHH_``)."""
    edit(plain, after, {"Lot": {"B3": text, "H30": text}})
    for name in ("B3", "H30"):
        cell = lot(after)[name]
        assert cell.data_type == "s"
        assert unescape(cell.value) == text
    assert "<f>" not in "".join(re.findall(r'<c r="(?:B3|H30)".*?</c>', part(after), re.DOTALL))


@pytest.mark.parametrize(
    ("value", "expected"),
    [(0, 0), (-5, -5), (0.1, 0.1), (1e300, 1e300), (-1.5e-300, -1.5e-300), (2**70, float(2**70)), (True, True)]
    + [(False, False), (14_000.0, 14_000), (datetime.date(2024, 2, 29), datetime.datetime(2024, 2, 29))]
    + [(datetime.datetime(2024, 2, 29, 18, 0), datetime.datetime(2024, 2, 29, 18, 0)), (None, None)],
)
def test_values_read_back(plain: Path, after: Path, value: CellValue, expected: object) -> None:
    """F3 has a date format, so that openpyxl reads dates there; for the rest the cell C3 beside it is read."""
    name = "F3" if isinstance(value, datetime.date) else "C3"
    edit(plain, after, {"Lot": {name: value}})
    cell, before = lot(after)[name], lot(plain)[name]
    assert cell.value == expected
    assert type(cell.value) is type(expected)
    assert (cell.number_format, repr(cell.font), repr(cell.fill)) == (
        before.number_format,
        repr(before.font),
        repr(before.fill),
    )


def test_dates_by_the_1904_calendar(tmp_path: Path, after: Path) -> None:
    """2024-02-29 is 45351 days after 1899-12-30 and 43889 after 1904-01-01 (45351 - 1462)."""
    path = tmp_path / "mac.xlsx"
    write_xlsxwriter(path, lambda wb, lot, other: None, {"date_1904": True})
    edit(path, after, {"Lot": {"F3": datetime.date(2024, 2, 29)}})
    assert "<v>43889</v>" in part(after)
    assert lot(after)["F3"].value == datetime.datetime(2024, 2, 29)


@pytest.mark.parametrize(
    ("value", "reason"),
    [(float("nan"), "cannot hold"), (float("inf"), "cannot hold"), (10**400, "cannot hold"), ("x" * 32_768, "at most")]
    + [("\ud800", "half a character"), (Formula(""), "empty"), (Formula("=" + "1+" * 4_096 + "1"), "at most 8,192")]
    + [(Formula("1", float("nan")), "cannot hold"), (datetime.date(1800, 1, 1), "before")]
    + [(datetime.datetime(2024, 1, 1, tzinfo=datetime.timezone.utc), "time zone"), ([1], "cannot hold")],
)
def test_values_that_no_cell_holds(plain: Path, after: Path, value: Any, reason: str) -> None:
    with pytest.raises(PackageError, match=f"Lot!C3.*{reason}"):
        edit(plain, after, {"Lot": {"C3": value}})
    assert not after.exists()


def test_formulas_with_their_results(plain: Path, after: Path) -> None:
    formulas = {
        "H2": Formula("=C2*2", 28_000),
        "H3": Formula('IF(B3<>"","a & b",1)', "a & b"),
        "H4": Formula("NA()", "#N/A"),
    }
    formulas |= {
        "H5": Formula("C2>1", True),
        "H6": Formula("H1", ""),
        "C2": Formula("7*2000", 14_000),
        "H7": Formula("1"),
    }
    edit(plain, after, {"Lot": formulas})
    sheet, results = lot(after), lot(after, results=True)
    for name, formula in formulas.items():
        assert sheet[name].value == "=" + formula.text.removeprefix("=")
    assert [results[f"H{row}"].value for row in range(2, 8)] == [28_000, "a & b", "#N/A", True, None, None]
    assert results["H4"].data_type == "e"


def test_rows_and_cells_that_are_not_there(plain: Path, after: Path) -> None:
    """New cells stand in order among those that are there, in rows before, between and after."""
    source = with_sheet(plain, lambda text: re.sub(r'<row r="4".*?</row>', "", text).replace('r="7"', 'r="9"', 0))
    edit(source, after, {"Lot": {"H1": 1, "G1": 2, "B4": 3, "A4": 4, "XFD1048576": 5, "Z20": 6, "J20": 7}})
    sheet = lot(after)
    values = [sheet[name].value for name in ("H1", "G1", "B4", "A4", "Z20", "J20")]
    assert values == [1, 2, 3, 4, 6, 7]
    numbers = [int(number) for number in re.findall(r'<row r="(\d+)"', part(after))]
    assert numbers == sorted(numbers) == [1, 2, 3, 4, 5, 6, 7, 20, 1_048_576]
    assert '<c r="XFD1048576"><v>5</v></c>' in part(after)
    assert '<dimension ref="A1:XFD1048576"/>' in part(after)


def test_new_cells_take_the_style_of_their_row_or_column(tmp_path: Path, after: Path) -> None:
    def styled(wb: Any, lot: Any, other: Any) -> None:
        lot.set_row(19, None, wb.add_format({"bold": True}))
        lot.set_column("J:K", None, wb.add_format({"italic": True}))

    path = tmp_path / "styled.xlsx"
    write_xlsxwriter(path, styled)
    edit(path, after, {"Lot": {"J20": 1, "J21": 1, "L20": 1, "L21": 1}})
    sheet = lot(after)
    assert [(sheet[n].font.bold, sheet[n].font.italic) for n in ("J20", "J21", "L20", "L21")] == [
        (True, False), (False, True), (True, False), (False, False)
    ]  # fmt: skip


@pytest.mark.parametrize(
    "data", ["<sheetData/>", "<sheetData />", "<sheetData></sheetData>", "<sheetData> </sheetData >"]
)
def test_an_empty_sheet_is_filled(tmp_path: Path, after: Path, data: str) -> None:
    written, path = tmp_path / "written.xlsx", tmp_path / "empty.xlsx"
    book = openpyxl.Workbook()
    book.active.title = "Lot"
    book.save(written)
    remade(
        written, path, Made(changed={SHEET: lambda text: re.sub("<sheetData ?/>|<sheetData></sheetData>", data, text)})
    )
    assert data in part(path)
    edit(path, after, {"Lot": {"B2": "x", "A9": 1}})
    assert [row for row in lot(after).iter_rows(min_row=2, max_row=2, values_only=True)] == [(None, "x")]
    assert lot(after)["A9"].value == 1


# ---------------------------------------------------------------- stored results


def test_results_are_stored_beside_formulas_of_every_form(tmp_path: Path, after: Path) -> None:
    """Plain, shared and array formulas keep their text; openpyxl, which stores no results, is the writer."""
    path, shared = tmp_path / "array.xlsx", tmp_path / "shared.xlsx"
    write_openpyxl(
        path, lambda wb, lot: lot.__setitem__("K2", openpyxl.worksheet.formula.ArrayFormula("K2:K4", "=C2:C4*2"))
    )
    formula = f"<f>{PAYLOAD}</f>"
    remade(path, shared, Made(changed={SHEET: lambda text: text.replace(formula, '<f t="shared" si="0"/>')
        .replace('<f t="shared" si="0"/>', f'<f t="shared" ref="E2:E{LAST}" si="0">C2-D2</f>', 1)}))  # fmt: skip
    results = {f"E{row}": 100.5 + row for row in range(2, LAST + 1)} | {
        "K2": 28_000.0,
        "E3": "#NUM!",
        "E4": "",
        "E5": True,
    }
    store_results(shared, after, {"Lot": results, "Other": {"A1": "twice"}})
    read = lot(after, results=True)
    assert [read[name].value for name in results] == [102.5, "#NUM!", None, True, 106.5, 107.5, 28_000]
    assert read["E3"].data_type == "e"
    assert openpyxl.load_workbook(after, data_only=True)["Other"]["A1"].value == "twice"
    formulas = re.compile(r"<f[ >].*?</f>|<f[^>]*/>")
    assert formulas.findall(part(after)) == formulas.findall(part(shared))
    assert '<c r="E4" t="str"><f t="shared" si="0"/><v></v></c>' in part(after).replace(' s="2"', "")


def test_storing_the_same_results_again_changes_nothing(plain: Path, after: Path) -> None:
    results = {"Lot": {"E2": 1.5, "E3": "ok", "E4": None}}
    store_results(plain, after, results)
    again = after.with_name("again.xlsx")
    store_results(after, again, results)
    assert again.read_bytes() == after.read_bytes()


@pytest.mark.parametrize("name", ["C3", "Z99", "G3"])
def test_a_result_needs_a_formula(plain: Path, after: Path, name: str) -> None:
    with pytest.raises(PackageError, match=f"Lot!{name} has no formula"):
        store_results(plain, after, {"Lot": {name: 1.0}})
    assert not after.exists()


# ---------------------------------------------------------------- formulas that others depend on


def test_a_shared_formula_is_handed_on(plain: Path, after: Path) -> None:
    """With the first cell of the group written over, the rest keep their meaning: row r holds C{r}-D{r}."""
    source = by_hand(plain, BY_HAND["shared formulas"])
    edit(source, after, {"Lot": {"E2": 5, "E4": "x"}})
    sheet = lot(after)  # openpyxl writes shared formulas out
    assert [sheet[f"E{row}"].value for row in range(2, LAST + 1)] == [5, "=C3-D3", "x", "=C5-D5", "=C6-D6", "=C7-D7"]
    assert f'<f t="shared" ref="E3:E{LAST}" si="0">C3-D3</f>' in part(after)


def test_the_calculation_chain_loses_what_is_no_formula_any_more(plain: Path, after: Path) -> None:
    source = by_hand(plain, BY_HAND["calculation chain"])
    edit(source, after, {"Lot": {"E2": 1, "E3": None, "E4": Formula("1+1", 2)}})
    entries = re.findall(r"<c [^>]*>", part(after, "xl/calcChain.xml"))
    assert entries == ['<c r="E4" i="1"/>', '<c r="E5"/>', '<c r="E6"/>', '<c r="E7"/>', '<c r="A2" i="2" l="1"/>']


def test_an_empty_calculation_chain_goes_with_its_entries(plain: Path, after: Path) -> None:
    source = by_hand(plain, BY_HAND["calculation chain"])
    edit(source, after, {"Lot": {f"E{row}": 1 for row in range(2, LAST + 1)}, "Other": {"A2": 6}})
    with zipfile.ZipFile(after) as package:
        assert "xl/calcChain.xml" not in package.namelist()
        for name in ("[Content_Types].xml", "xl/_rels/workbook.xml.rels"):
            with zipfile.ZipFile(plain) as before:
                assert package.read(name) == before.read(name)


@pytest.mark.parametrize("name", ["K2", "K3"])
def test_a_part_of_an_array_formula_is_refused(tmp_path: Path, after: Path, name: str) -> None:
    path = tmp_path / "array.xlsx"
    write_xlsxwriter(path, lambda wb, lot, other: lot.write_array_formula("K2:K4", "{=C2:C4*2}", None, 1))
    with pytest.raises(PackageError, match=f"Lot!{name} is part of the array formula in K2:K4"):
        edit(path, after, {"Lot": {name: 1}})


def test_a_dynamic_array_can_be_written_over(tmp_path: Path, after: Path) -> None:
    path = tmp_path / "array.xlsx"
    formula = "=_xlfn.UNIQUE(B2:B7)"
    write_xlsxwriter(path, lambda wb, lot, other: lot.write_dynamic_array_formula("M2", formula, None, "Oxbow"))
    assert '<c r="M2" cm="1"' in part(path)
    edit(path, after, {"Lot": {"M2": 7}})
    assert '<c r="M2"><v>7</v></c>' in part(after)


# ---------------------------------------------------------------- random edits

TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=30)
NUMBERS = st.integers(-(2**53), 2**53) | st.floats(allow_nan=False, allow_infinity=False)
VALUES = st.one_of(st.none(), st.booleans(), NUMBERS, TEXT, st.sampled_from(["=A1", "+1", "-1", "@x", "\t1", "\r1"]))
PLACES = st.tuples(st.integers(1, 14), st.integers(1, 9))


@pytest.fixture(scope="module")
def gappy(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A sheet with gaps, styles and a table in B2:D5."""
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.title = "Lot"
    for place in ("A1", "F2", "A4", "H4", "C9", "A12", "I12"):
        sheet[place] = f"at {place}"
        sheet[place].font = Font(italic=True)
    for number, values in enumerate([["Key", "Size", "Note"], ["a", 1, None], ["b", 2.5, "x"], ["c", None, "y"]], 2):
        for column, value in enumerate(values, 2):
            sheet.cell(number, column, value).font = Font(bold=column == 3)
    sheet.add_table(openpyxl.worksheet.table.Table(displayName="Sizes", ref="B2:D5"))
    path = tmp_path_factory.mktemp("gappy") / "gappy.xlsx"
    book.save(path)
    return path


@pytest.mark.slow
@settings(max_examples=120, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    changes=st.dictionaries(PLACES.filter(lambda place: not (place[0] in (2, 6, 7, 8) and 2 <= place[1] <= 4)), VALUES),
    rows=st.lists(st.fixed_dictionaries({}, optional={"Key": VALUES, "Size": VALUES, "Note": VALUES}), max_size=3),
)
def test_random_edits_read_back(
    gappy: Path, after: Path, changes: dict[tuple[int, int], CellValue], rows: list[dict[str, CellValue]]
) -> None:
    """Every cell given has its value, every other its old one, and every style is as it was."""
    edit(
        gappy,
        after,
        {"Lot": {f"{get_column_letter(c)}{r}": value for (r, c), value in changes.items()}},
        {"Sizes": rows},
    )
    before, now = lot(gappy), lot(after)
    expected = dict(changes)
    for number, given_row in enumerate(rows, 6):
        expected |= {(number, column): given_row.get(name) for column, name in enumerate(["Key", "Size", "Note"], 2)}
    for r in range(1, 16):
        for c in range(1, 11):
            old, new = before.cell(r, c), now.cell(r, c)
            value = expected.get((r, c), old.value)
            read = unescape(new.value) if isinstance(new.value, str) else new.value
            assert read == value, (r, c)
            assert isinstance(read, bool) == isinstance(value, bool)
            assert new.data_type != "f"
            model = before.cell(5, c) if 6 <= r < 6 + len(rows) and 2 <= c <= 4 else old
            assert new.font.b == model.font.b
    assert now.tables["Sizes"].ref == f"B2:D{5 + len(rows)}"
