"""The LibreOffice extension: how it is built, installed, described, called and stored.

That every function's result is right is the matter of the golden rows and of the comparison of all faces; here is what
belongs to LibreOffice alone. The outside source is LibreOffice itself: its own function catalogue, its reading and
writing of .xlsx and .ods, its error values, its tool unopkg.
"""

from __future__ import annotations

import ast
import functools
import subprocess
import sys
import zipfile
from pathlib import Path
from xml.etree import ElementTree

import openpyxl
import pytest
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.table import Table

from tarelot.addin.libreoffice.build import PARTS, argument_help, build, members
from tarelot.addin.libreoffice.names import SERVICE, method_name
from tarelot.calc.cells.formulas import call_formula
from tarelot.calc.registry import BY_NAME, FUNCTIONS
from tests.engines.cases import cases
from tests.engines.faces import Case, Sheet, in_python
from tests.engines.office import ERROR_VALUES, Office, Value, office_python

NAMES = [function.name for function in FUNCTIONS]


@functools.cache
def telling_case(name: str) -> Case:
    """The first of a function's cases whose result is a number or text, not a blank and not an error.

    No block of a single cell: LibreOffice writes `B2:B2` into an .xlsx as `B2`.
    """
    found = (case for case in cases(name, 400) if not any(map(is_single_cell_block, case.arguments)))
    return next(case for case in found if in_python([case])[0] not in ("", *ERROR_VALUES))


def is_single_cell_block(argument: object) -> bool:
    """Whether an argument of a case is a block of one cell."""
    return isinstance(argument, list) and len(argument) == len(argument[0]) == 1


def calls_of_all(office: Office) -> tuple[Path, list[str], list[Value]]:
    """A workbook that calls every function once, its formulas, and the values of the Python functions."""
    telling = [telling_case(name) for name in NAMES]
    sheet = Sheet(telling, call_formula)
    inputs: dict[str, Value] = {f"{get_column_letter(c)}{r}": v for r, c, v in sheet.inputs}  # type: ignore[misc]
    return office.scratch(sheet.formulas, inputs), sheet.formulas, list(in_python(telling))


def written_formulas(path: Path, count: int) -> list[str]:
    """The formulas of a workbook from `Office.scratch`, as they stand in the file."""
    sheet = openpyxl.load_workbook(path)["Scratch"]
    return [sheet[f"ZZ{row}"].value.removeprefix("=") for row in range(1, count + 1)]


def calculated(office: Office, path: Path, count: int) -> list[Value]:
    """The values of those formulas after LibreOffice's recalculation."""
    return [row[-1] for row in office.recalculate(path)["Scratch"][:count]]


def about(values: list[Value]) -> list[object]:
    """The values, the numbers among them to within what a file's 15 digits lose."""
    return [pytest.approx(value, rel=1e-14) if isinstance(value, float) else value for value in values]


class TestBuild:
    def test_same_bytes_every_time(self, tmp_path: Path) -> None:
        first = build(tmp_path / "first.oxt").read_bytes()
        assert build(tmp_path / "second.oxt").read_bytes() == first

    def test_nothing_of_this_machine_in_it(self, extension: Path) -> None:
        with zipfile.ZipFile(extension) as package:
            for member in package.infolist():
                assert member.date_time == (1980, 1, 1, 0, 0, 0)
                assert b"/home/" not in package.read(member)
                assert str(Path.cwd()).encode() not in package.read(member)

    def test_parts_are_there_and_well_formed(self) -> None:
        content = members()
        assert set(PARTS) < set(content)
        for name in content:
            if name.endswith((".xml", ".xcu", ".components")):
                ElementTree.fromstring(content[name])

    def test_names_that_files_store(self) -> None:
        # An .ods stores these in every cell that calls a function: a change breaks the files of everybody who has one.
        assert SERVICE == "org.tarelot.Functions"
        assert method_name("LOT_PAYLOAD") == "lotPayload"

    def test_carried_python_imports_only_its_own(self) -> None:
        sources = {name: text.decode() for name, text in members().items() if name.endswith(".py")}
        assert len(sources) > 10
        for name, source in sources.items():
            for node in ast.walk(ast.parse(source, name, feature_version=(3, 10))):
                imported = [node.module] if isinstance(node, ast.ImportFrom) and node.level == 0 else []
                imported += [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
                tops = {str(module).split(".")[0] for module in imported}
                assert not tops & {"tarelot", "calc", "addin", "workbook_templates"}, name
                assert tops <= {*sys.stdlib_module_names, "tarelot_addin", "unohelper", "com", "org"}, name

    def test_carried_python_runs_alone(self, extension: Path, office: Office, tmp_path: Path) -> None:
        with zipfile.ZipFile(extension) as package:
            package.extractall(tmp_path)
        program = (
            f"import sys; sys.path.insert(0, {str(tmp_path / 'pythonpath')!r})\n"
            "from tarelot_addin.calc.cells.boundary import call\n"
            "from tarelot_addin.calc.registry import BY_NAME\n"
            "assert not {'tarelot', 'calc', 'addin'} & set(sys.modules)\n"
            "print(call(BY_NAME['LOT_PAYLOAD'], [14000.0, 4000.0]))"
        )
        python = office_python(office.installation.program)  # not the tests' own: LibreOffice's
        done = subprocess.run([python, "-I", "-c", program], capture_output=True, text=True, cwd=tmp_path)
        assert (done.stdout.strip(), done.stderr) == ("10000.0", "")  # 14,000 - 4,000


class TestFunctionWizard:
    def test_every_function_is_listed_and_no_other(self, office_with_addin: Office) -> None:
        assert sorted(office_with_addin.function_names("LOT_")) == sorted(NAMES)

    @pytest.mark.parametrize("name", NAMES)
    def test_texts(self, office_with_addin: Office, name: str) -> None:
        function = BY_NAME[name]
        (shown,) = office_with_addin.describe([name])
        assert shown["description"] == function.help
        assert 0 < len(function.help) <= 255
        assert [a["name"] for a in shown["arguments"]] == [p.name for p in function.parameters]
        assert [a["description"] for a in shown["arguments"]] == [argument_help(p) for p in function.parameters]
        assert all(p.meaning in argument_help(p) for p in function.parameters)

    def test_without_the_extension_there_are_none(self, office: Office) -> None:
        assert office.function_names("LOT_") == []


class TestFiles:
    def test_xlsx_round_trip_twice(self, office_with_addin: Office, tmp_path: Path) -> None:
        path, formulas, expected = calls_of_all(office_with_addin)
        once = office_with_addin.save_as(path, tmp_path / "once.xlsx")
        twice = office_with_addin.save_as(once, tmp_path / "twice.xlsx")
        for stored in (path, once, twice):
            assert written_formulas(stored, len(formulas)) == formulas
            assert calculated(office_with_addin, stored, len(formulas)) == about(expected)

    def test_ods_and_back(self, office_with_addin: Office, tmp_path: Path) -> None:
        path, formulas, expected = calls_of_all(office_with_addin)
        ods = office_with_addin.save_as(path, tmp_path / "lot.ods")
        back = office_with_addin.save_as(ods, tmp_path / "back.xlsx")
        assert calculated(office_with_addin, ods, len(formulas)) == about(expected)
        assert written_formulas(back, len(formulas)) == formulas

    def test_saved_by_an_office_without_it(self, office: Office, office_with_addin: Office, tmp_path: Path) -> None:
        path, formulas, expected = calls_of_all(office_with_addin)
        assert set(calculated(office, path, len(formulas))) == {"#NAME?"}
        elsewhere = office.save_as(path, tmp_path / "elsewhere.xlsx")
        assert calculated(office_with_addin, elsewhere, len(formulas)) == about(expected)
        again = office_with_addin.save_as(elsewhere, tmp_path / "again.xlsx")
        assert written_formulas(again, len(formulas)) == formulas

    def test_calls_with_table_references(self, office_with_addin: Office, tmp_path: Path) -> None:
        book = openpyxl.Workbook()
        sheet = book["Sheet"]
        sheet.title = "Lot"
        sheet.append(["GVWR (lb)", "Empty weight (lb)", "Payload (lb)", "Axles short (lb)", "VIN check", "Not checked"])
        row = "Lot[[#This Row],[{}]]"
        payload = f"=LOT_PAYLOAD({row.format('GVWR (lb)')},{row.format('Empty weight (lb)')})"
        checks = "Lot[[#Headers],[Axles short (lb)]:[VIN check]],Lot[[#This Row],[Axles short (lb)]:[VIN check]]"
        sheet.append([14_000, 4_000, payload, 250, None, f"=LOT_NOT_CHECKED({checks})"])
        sheet.append([None, 4_000, payload, None, "ok", f"=LOT_CONFLICTS({checks})"])
        sheet.add_table(Table(displayName="Lot", ref="A1:F3"))
        book.save(tmp_path / "lot.xlsx")
        rows = office_with_addin.recalculate(tmp_path / "lot.xlsx")["Lot"]
        assert [row[2] for row in rows[1:]] == [10_000, ""]
        assert [row[5] for row in rows[1:]] == ["VIN check", ""]


# One function of each kind of parameter: formula over the cells below, what the contract says of it.
CELLS: dict[str, Value] = {
    "A1": 14_000,
    "A2": 4_000,
    "A3": None,
    "A4": "",
    "A5": 0,
    "A6": "abc",
    "A7": -1,
    "A8": "#REF!",
    "A9": "#N/A",
    "A10": 1e300,
    "B1": "Spare tire",
    "B2": "Toolbox",
    "C1": 90,
    "C2": 60,
    "D1": "a",
    "D2": "#DIV/0!",
}
CONTRACT: list[tuple[str, Value]] = [
    ("LOT_PAYLOAD(A1,A2)", 10_000.0),
    ("LOT_PAYLOAD(A3,A2)", ""),
    ("LOT_PAYLOAD(A1,A4)", ""),
    ("LOT_PAYLOAD(A1,A5)", ""),
    ("LOT_PAYLOAD(A1)", ""),
    ("LOT_PAYLOAD(A1,A6)", "#VALUE!"),
    ('LOT_PAYLOAD(A1,"4000")', "#VALUE!"),
    ("LOT_PAYLOAD(A1,A7)", "#NUM!"),
    ("LOT_PAYLOAD(A10,A2)", "#NUM!"),
    ("LOT_PAYLOAD(A2,A1)", "#NUM!"),
    ("LOT_PAYLOAD(A1,A8)", "#REF!"),
    ("LOT_PAYLOAD(A9,A2)", "#N/A"),
    ("LOT_PAYLOAD(1/0,A2)", "#DIV/0!"),
    ("LOT_PAYLOAD(SQRT(-1),A2)", "Err:502"),  # LibreOffice's own error for the root of a negative number
    ("LOT_PAYLOAD(A1,A1:A2)", "#VALUE!"),  # a block where a single value belongs
    ("LOT_PAYLOAD(A1:A1,A2:A2)", 10_000.0),
    ("LOT_PAYLOAD(LOT_PAYLOAD(A1,A2),1000)", 9_000.0),
    ("LOT_PAYLOAD(LOT_PAYLOAD(A1,A3),1000)", ""),
    # an optional number: 14,000 of GVWR against a coupler of 4,000
    ("LOT_GROSS_LIMIT(A1,,A2)", 4_000.0),
    ("LOT_GROSS_LIMIT(A1,A3,A4,A5)", 14_000.0),
    ("LOT_GROSS_LIMIT(A1,,A6)", "#VALUE!"),
    ("LOT_GROSS_LIMIT(A1,,A7)", "#NUM!"),
    ("LOT_GROSS_LIMIT(A1,,A8)", "#REF!"),
    # 0 is a value: 0 over 14,000
    ("LOT_PIN_SHARE(A5,A1)", 0.0),
    ("LOT_PIN_SHARE(0,A1)", 0.0),
    ("LOT_PIN_SHARE(A2-A2,A1)", 0.0),
    ("LOT_PIN_SHARE(A4,A1)", ""),
    ("LOT_PIN_SHARE(,A1)", ""),
    ("LOT_PIN_SHARE(A3,A1)", 0.0),  # Calc hands a blank cell over as 0; these forms tell it apart:
    ("LOT_PIN_SHARE(A3:A3,A1)", ""),
    ('LOT_PIN_SHARE(IF(A3="","",A3),A1)', ""),
    ('LOT_PIN_SHARE(IF(A5="","",A5),A1)', 0.0),
    # a text, required and optional; load index 100 is 800 kg in the ISO 4000-1 table
    ("LOT_VIN_CHECK(A3)", ""),
    ("LOT_VIN_CHECK(A1)", "#VALUE!"),
    ("LOT_VIN_CHECK(A8)", "#REF!"),
    ('LOT_TIRE_LOAD(100,"kg")', 800.0),
    ("LOT_TIRE_LOAD(100,A3)", 800 / 0.45359237),
    ("LOT_TIRE_LOAD(100)", 800 / 0.45359237),
    ('LOT_TIRE_LOAD(100,"stone")', "#N/A"),
    ("LOT_TIRE_LOAD(100,A1)", "#VALUE!"),
    # blocks of cells: 90 + 60
    ('LOT_OPTIONS_WEIGHT("toolbox; Spare tire",B1:B2,C1:C2)', 150.0),
    ("LOT_OPTIONS_WEIGHT(A3,B1:B2,C1:C2)", 0.0),
    ('LOT_OPTIONS_WEIGHT("Winch",B1:B2,C1:C2)', "#N/A"),
    ('LOT_OPTIONS_WEIGHT("Toolbox",B1:B2,C1:C1)', "#VALUE!"),
    ('LOT_OPTIONS_WEIGHT("Toolbox",D1:D2,C1:C2)', "#DIV/0!"),
    ('LOT_OPTIONS_WEIGHT("Toolbox",B:B,C:C)', 60.0),
    ("LOT_CONFLICT_COUNT(A3:A7)", 1.0),
    ("LOT_CONFLICT_COUNT(A1:A9)", "#REF!"),  # the first error of the block
]


def test_contract(office_with_addin: Office) -> None:
    values = office_with_addin.evaluate([formula for formula, _ in CONTRACT], CELLS)
    shown = dict(zip((formula for formula, _ in CONTRACT), values, strict=True))
    assert shown == dict(zip(shown, about([value for _, value in CONTRACT]), strict=True))


def test_no_argument_brings_python_s_own_words_into_a_cell(office_with_addin: Office) -> None:
    odd = ["5", '"x"', "TRUE", "A1:D2", "{1;2}", "", "1E308*10", "A1:A50"]
    formulas = [f"{f.name}({','.join([argument] * len(f.parameters))})" for f in FUNCTIONS for argument in odd]
    for formula, value in zip(formulas, office_with_addin.evaluate(formulas, CELLS), strict=True):
        assert isinstance(value, float | str), formula
        assert "Traceback" not in str(value), formula
        assert not str(value).startswith(("#NAME", "Err:5")) or value == "Err:504", formula


def test_whole_columns_on_two_sheets(office_with_addin: Office, tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    names, weights = book["Sheet"], book.create_sheet("Weights")
    names.title = "Names"
    for row, (name, weight) in enumerate({"Spare tire": 90, "Toolbox": 60}.items(), start=1):
        names.cell(row, 1, name)
        weights.cell(row, 1, weight)
    weights["C40"] = "far below the last name"
    names["C1"] = '=LOT_OPTIONS_WEIGHT("Toolbox;Spare tire",A:A,Weights!A:A)'
    book.save(tmp_path / "columns.xlsx")
    assert office_with_addin.recalculate(tmp_path / "columns.xlsx")["Names"][0][2] == 150  # 90 + 60


def test_survives_an_update_of_libreoffice(extension: Path) -> None:
    # At the first start of another build, LibreOffice registers the extensions of a profile anew.
    with Office(extension) as office:
        assert office.evaluate(["LOT_PAYLOAD(14000,4000)"]) == [10_000]
        office.stop()
        (office.profile / "user" / "extensions" / "buildid").write_text("another build")
        office.start()
        assert office.evaluate(["LOT_PAYLOAD(14000,4000)"]) == [10_000]
