"""Excel's own rules for formulas hold in every workbook that we write, and the linter that says so can fail."""

from __future__ import annotations

import zipfile
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import ClassVar

import openpyxl
import pytest
import xlsxwriter
from openpyxl.utils.formulas import FORMULAE
from openpyxl.workbook.defined_name import DefinedName

from tarelot.calc.registry import BY_NAME
from tarelot.workbook_templates import workbook
from tarelot.workbook_templates.basis.units import SYSTEMS
from tests.engines.office import Office
from tests.excel_rules.formula_tree import Unreadable, parse
from tests.excel_rules.linter import Finding, broken_rules, findings, looks_like_a_cell
from tests.excel_rules.parameters import TAKES
from tests.excel_rules.workbook_formulas import Kind, workbook_formulas

READY = Path(workbook.__file__).parent / "ready"
BY_NAME_TOO: dict[str, Callable[[Path], None]] = {
    "new us": partial(workbook.write_new, units=SYSTEMS["us"], by_name=True),
    "new metric": partial(workbook.write_new, units=SYSTEMS["metric"], by_name=True),
    "demo": partial(workbook.write_demo, by_name=True),
}
SUMS = "+".join(["1"] * 5_000)
DEEP = "ABS(" * 65 + "A1" + ")" * 65
WIDE = f"MAX({','.join(['A1'] * 256)})"
LONG_TEXT = f'A1&"{"x" * 256}"'

BROKEN: list[tuple[str, str]] = [
    # A function or an operator over several cells, where one value is wanted: Excel takes the cell of its own row.
    ("cut", 'IF(A1:A3>0,"some","none")'),
    ("cut", "IF(A1:A3,1,0)"),
    ("cut", "IF(B1,A1:A3*2,0)"),
    ("cut", 'CHOOSE(A1:A3,"a","b","c")'),
    ("cut", "SUM(A1:A3*B1:B3)"),
    ("cut", "MAX(ABS(A1:A3))"),
    ("cut", 'MIN(IF(A1:A3="x",B1:B3))'),
    ("cut", "AND(A1:A3>0)"),
    ("cut", 'OR(A1:A3="x",B1)'),
    ("cut", "COUNT(LEN(A1:A3))"),
    ("cut", "LEN(A1:A3)"),
    ("cut", "-A1:A3"),
    ("cut", "A1:A3%"),
    ("cut", "N(A1:A3)"),
    ("cut", "IFERROR(A1:A3,0)"),
    ("cut", "MATCH(1,(A1:A3=1)*(B1:B3=2),0)"),
    ("cut", "MATCH(A1:A3,B1:B3,0)"),
    ("cut", 'COUNTIF(A1:A3,B1:B3)&""'),
    ("cut", "ROWS(A1:A3*1)"),
    ("cut", "SMALL(A1:A3*1,1)"),
    ("cut", "SUM({1,2}*A1)"),
    ("cut", "A1:A3"),
    ("cut", "INDEX(A1:C3,0,1)"),
    ("cut", "INDEX(A1:C3,1,)"),
    ("cut", "IF(B1,A1:A3,B1:B3)"),
    ("cut", "LEN(Lot[Stock no.])"),
    ("cut", "LEN('What-if'!$A$1:$A$3)"),
    ("cut", "LEN(Lot[[#This Row],[a]:[b]])"),
    ("cut", "INDEX((A1:A3=1)*1,2)"),
    ("cut", "LOT_PAYLOAD(A1:A3,B1)"),
    ("cut", "LEN(no_such_name)"),
    # Not lifted even inside SUMPRODUCT: the condition of IF and IFERROR, what CHOOSE chooses by, the place of INDEX.
    ("cut", "SUMPRODUCT(IF(A1:A3>0,1,0))"),
    ("cut", "SUMPRODUCT(IF(B1,A1:A3*2,0))"),
    ("cut", "SUMPRODUCT(IFERROR(A1:A3*2,0))"),
    ("cut", "SUMPRODUCT(CHOOSE(A1:A3,1,2))"),
    ("cut", "SUMPRODUCT(N(A1:A3))"),
    ("cut", "SUMPRODUCT(INDEX(A1:A3,B1:B3))"),
    ("newer than 2010", "TEXTJOIN(A1,TRUE,A2)"),
    ("newer than 2010", "_xlfn.IFS(A1,1)"),
    ("newer than 2010", "_xlfn.XLOOKUP(A1,B1:B3,C1:C3)"),
    ("newer than 2010", "ISFORMULA(A1)"),
    ("newer than 2010", "_xlfn.ISOMITTED(A1)"),
    ("parameters not known", "DSUM(A1:B3,1,C1:C2)"),
    ("pattern of a language", 'TEXT(A1,"0.##")'),
    ("one place in a row", "INDEX({1,2,3},A1)"),
    ("text too long", LONG_TEXT),
    ("formula too long", SUMS),
    ("nested too deep", DEEP),
    ("too many arguments", WIDE),
    ("lost reference", "A1+#REF!"),
    ("unreadable", "A1 B1"),
    ("unreadable", "SUM(A1"),
    ("unreadable", "1+*2"),
    ("unreadable", "INDEX(A1:A3,1):INDEX(A1:A3,2)B1"),
]
SOUND = [
    "SUM(A1:A3)",
    "SUM(IF(B1,A1:A3,B1:B3))",
    "SUMPRODUCT((A1:A3>0)*LEN(B1:B3))",
    "SUMPRODUCT(MAX((A1:A3>0)*B1:B3))",
    'SUMPRODUCT({1,2,3}*1)&""',
    "INDEX(A1:C3,2,1)",
    "INDEX({1,2,3},1,A1)",
    "MATCH(A1,{1,2,3},0)+SUM({1,2})",
    "SUMPRODUCT(INDEX((A1:A3=1)*1,2))",
    "LOOKUP(2,1/(A1:A3=1),B1:B3)",
    "IF(A1:A1>0,1,0)",
    "COUNTIF(A1:A3,B1)",
    "OR(A1>0,Lot[[#This Row],[GVWR (lb)]]=1)",
    "COUNT(Lot[[#This Row],[a]:[b]])",
    'LOT_OPTIONS_WEIGHT(A1,B1:B3,C1:C3)&LEN("don""t")',
    "ABS(" * 64 + "A1" + ")" * 64,
    f"MAX({','.join(['A1'] * 255)})",
    f'A1&"{"x" * 255}"',
    f'A1&"{chr(34) * 2 * 255}"',
    "A1" + "+1" * 4_094 + "0",  # 2 + 8,188 + 1 characters, and the sign of equality: 8,192
]
"""The limits themselves, and arrays where Excel lifts them."""


def rules(text: str, kind: Kind = "cell") -> set[str]:
    """The rules that a formula breaks."""
    return {rule for rule, _ in broken_rules(kind, text)}


class TestWorkbooks:
    @pytest.mark.slow
    @pytest.mark.parametrize("path", sorted(READY.glob("*.xlsx")), ids=lambda path: path.stem)
    def test_ready(self, path: Path) -> None:
        assert findings(path) == []

    @pytest.mark.slow
    @pytest.mark.parametrize("written", BY_NAME_TOO)
    def test_cells_that_call_the_functions(self, written: str, tmp_path: Path) -> None:
        path = tmp_path / "lot.xlsx"
        BY_NAME_TOO[written](path)
        assert findings(path) == []

    @pytest.mark.parametrize("path", sorted(READY.glob("*.xlsx")), ids=lambda path: path.stem)
    def test_no_table_has_two_headings_of_one_name(self, path: Path) -> None:
        """Excel takes names in any case of letters for the same, and repairs a table with two (ECMA-376, 18.5.1.3)."""
        for sheet in openpyxl.load_workbook(path):
            for table in sheet.tables.values():
                names = [column.name.casefold() for column in table.tableColumns]
                assert [name for name in names if names.count(name) > 1] == [], table.name

    def test_every_kind_of_place_is_read(self) -> None:
        """As many formulas as openpyxl sees, apart from those that cells share; and the charts, which it does not."""
        path = READY / "tarelot-demo.xlsx"
        read = workbook_formulas(path)
        kinds = {kind: [one for one in read.formulas if one.kind == kind] for kind in ("cell", "highlight", "name")}
        book = openpyxl.load_workbook(path)
        cells = [cell.value for sheet in book for row in sheet.iter_rows() for cell in row if cell.data_type == "f"]
        assert {f"={one.text}" for one in kinds["cell"]} <= set(cells)
        assert len(cells) > len(kinds["cell"]) > 5_000
        with zipfile.ZipFile(path) as package:
            sheets = [package.read(name) for name in package.namelist() if name.startswith("xl/worksheets/sheet")]
        shared = sum(sheet.count(b'<f t="shared"') for sheet in sheets)
        masters = sum(sheet.count(b'<f t="shared" ref') for sheet in sheets)
        assert len(cells) == len(kinds["cell"]) + shared - masters
        rules_of_sheets = (rule for sheet in book for area in sheet.conditional_formatting for rule in area.rules)
        assert len(kinds["highlight"]) == sum(len(rule.formula) for rule in rules_of_sheets)
        assert set(book.defined_names) <= {one.place for one in kinds["name"]}
        assert set(read.tables) == {table for sheet in book for table in sheet.tables}


class TestItCanFail:
    @pytest.mark.parametrize(("rule", "text"), BROKEN, ids=lambda part: part[:40])
    def test_a_broken_formula_of_each_kind(self, rule: str, text: str) -> None:
        assert rules(text) == {rule}

    @pytest.mark.parametrize("text", SOUND, ids=lambda text: text[:40])
    def test_a_sound_one(self, text: str) -> None:
        assert rules(text) == set()

    def test_an_array_formula(self) -> None:
        assert rules("SUM(A1:A3)", "array formula") == {"array formula"}

    @pytest.mark.parametrize("kind", ["highlight", "entry rule", "list"])
    def test_what_no_highlight_or_entry_rule_may_hold(self, kind: Kind) -> None:
        assert rules("COUNT(Lot[GVWR])", kind) == {"table named where only cells may be"}
        assert rules("SUMPRODUCT({1,2})", kind) == {"array constant where none may be"}

    def test_several_cells_may_be_listed_and_named(self) -> None:
        assert rules("Options!$A$2:$A$9", "list") == rules("Options!$A$2:$A$9", "name") == set()
        assert rules("Options!$A$2:$A$9*2", "list") == {"cut"}

    def test_parameters_of_a_lambda(self) -> None:
        swapped = "_xlfn.LAMBDA(_xlop.a,_xlpm.b,_xlpm.a+_xlpm.b)"
        assert rules(swapped, "name") == {"optional before required"}
        assert rules("_xlfn.LAMBDA(_xlpm.b,_xlop.a,_xlpm.a+_xlpm.b)", "name") == set()
        assert rules("_xlfn.LAMBDA(_xlpm.a1,_xlpm.a1)", "name") == {"looks like a cell"}
        assert rules("_xlfn.LAMBDA(a,a)", "name") == {"parameter not declared"}
        assert rules("_xlfn.LAMBDA(_xlpm.a,_xlpm.a)") >= {"newer than 2010"}
        assert rules("_xlfn.LAMBDA(_xlpm.a,_xlfn.TEXTJOIN(_xlpm.a))", "name") == {"newer than 2010"}

    @pytest.mark.parametrize("name", ["A1", "lot12", "XFD1048576", "R1C1", "r", "C", "RC", "R5", "C7", "rc12"])
    def test_names_that_are_cells(self, name: str) -> None:
        assert looks_like_a_cell(name)

    @pytest.mark.parametrize("name", ["XFE1", "A1048577", "LOT_1", "A0", "Lot", "RCR", "ABCD1", "R1C1x"])
    def test_names_that_are_none(self, name: str) -> None:
        assert not looks_like_a_cell(name)

    def test_wherever_it_stands(self, tmp_path: Path) -> None:
        """One broken formula in each place of a workbook that holds formulas."""
        path, broken = tmp_path / "broken.xlsx", "LEN($A$1:$A$9)"
        book = xlsxwriter.Workbook(path)
        sheet = book.add_worksheet("One")
        sheet.write_formula("B2", broken)
        sheet.write_array_formula("C2", "SUM(A1:A3*2)")
        column = {"header": "Length", "formula": f"={broken}", "total_function": "sum"}
        sheet.add_table("E1:E3", {"name": "Fine", "columns": [column]})
        sheet.conditional_format("G1:G3", {"type": "formula", "criteria": f"={broken}", "format": book.add_format()})
        sheet.data_validation("H1", {"validate": "custom", "value": f"={broken}"})
        sheet.data_validation("I1", {"validate": "list", "source": f"={broken}"})
        book.close()
        with_name = openpyxl.load_workbook(path)
        with_name.defined_names["LOT12"] = DefinedName("LOT12", attr_text=broken)
        with_name["One"].tables["Fine"].displayName = "R1C1"
        with_name.save(path)
        cut = "LEN, argument 1"
        assert set(findings(path)) == {
            Finding("sheet1 B2", "cut", cut),
            Finding("sheet1 C2", "array formula", "SUM(A1:A3*2)"),
            Finding("sheet1 E2", "cut", cut),
            Finding("sheet1 E3", "cut", cut),
            Finding("table1 Length", "cut", cut),
            Finding("sheet1 G1:G3", "cut", cut),
            Finding("sheet1 H1", "cut", cut),
            Finding("sheet1 I1", "cut", cut),
            Finding("LOT12", "cut", cut),
            Finding("LOT12", "looks like a cell", "LOT12"),
            Finding("R1C1", "looks like a cell", "R1C1"),
        }


class TestAgainstLibreOffice:
    """Below the data there is no cell of a formula's own row, so that what is cut comes to an error."""

    CELLS: ClassVar = {f"{letter}{row}": row for letter in "ABC" for row in (1, 2, 3)}
    BELOW: ClassVar = ["1"] * len(CELLS)
    NOT_AN_ERROR = ("IFERROR(A1:A3,0)", "COUNT(LEN(A1:A3))", "SUM({1,2}*A1)")
    """The first two pass over the error; a constant in braces is lifted there."""

    def test_what_is_cut(self, office: Office) -> None:
        """SUMPRODUCT lifts all there, IF too, which Excel does not: those are left out."""
        asked = [text for rule, text in BROKEN if rule == "cut" and not text.startswith(("SUMPRODUCT", "LOT_"))]
        asked = [text for text in asked if not any(other in text for other in ("Lot[", "What-if", "no_such_name"))]
        values = office.evaluate([*self.BELOW, *asked], dict(self.CELLS))[len(self.BELOW) :]
        passed = {text for text, value in zip(asked, values, strict=True) if value not in ("#VALUE!", "#N/A")}
        assert passed == set(self.NOT_AN_ERROR)
        assert len(asked) > 20

    def test_what_is_lifted(self, office: Office) -> None:
        """By hand, with 1, 2, 3 in each column."""
        expected = {
            "SUM(A1:A3)": 6.0,
            "SUM(IF(B1,A1:A3,B1:B3))": 6.0,
            "SUMPRODUCT((A1:A3>0)*LEN(B1:B3))": 3.0,
            "SUMPRODUCT(MAX((A1:A3>0)*B1:B3))": 3.0,
            "INDEX(A1:C3,2,1)": 2.0,
            "LOOKUP(2,1/(A1:A3=1),B1:B3)": 1.0,
            "COUNTIF(A1:A3,B1)": 1.0,
        }
        assert set(expected) <= set(SOUND)
        assert office.evaluate([*self.BELOW, *expected], dict(self.CELLS))[len(self.BELOW) :] == list(expected.values())


class TestSources:
    def test_no_function_taken_for_old_is_a_future_function(self, tmp_path: Path) -> None:
        """Two lists that know nothing of each other: openpyxl's is that of ECMA-376 Part 1, 18.17.7 (Excel 2007);
        XlsxWriter's is that of the functions that later Excels mark with `_xlfn.` ([MS-XLSX] 2.2.2)."""
        path = tmp_path / "functions.xlsx"
        used = sorted(name for name in TAKES if name in FORMULAE)
        with xlsxwriter.Workbook(path, {"use_future_functions": True}) as book:
            sheet = book.add_worksheet()
            for row, name in enumerate((*used, "ISFORMULA", "TEXTJOIN")):
                sheet.write_formula(row, 0, f"{name}()")
        written = [one.text for one in workbook_formulas(path).formulas]
        assert written == [*(f"{name}()" for name in used), "_xlfn.ISFORMULA()", "_xlfn.TEXTJOIN()"]

    def test_every_function_whose_parameters_are_listed_is_known_as_old_or_ours(self) -> None:
        assert {name for name in TAKES if name not in FORMULAE} == {*BY_NAME, "_xlfn.ISOMITTED", "_xlfn.ISFORMULA"}


def test_an_empty_formula_is_unreadable() -> None:
    with pytest.raises(Unreadable):
        parse("")
