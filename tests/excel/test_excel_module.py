"""The Excel face: the rendered module through xlwings' own path, and what is written for Windows.

Nothing here was run in Excel or on Windows: tests/xlwings_stand_in.py says what is stood in for and what is xlwings'
own. Outside sources: xlwings' reading and writing of cells, its argument checks, its VBA text and its settings' names;
XlCVError of Excel's object model for the error codes; Pygments' list of Visual Basic's words; python-calamine, which
reads the workbook written. That the functions' values are right is the matter of the golden rows.
"""

from __future__ import annotations

import contextlib
import datetime
import importlib.metadata
import importlib.util
import json
import re
import sys
import types
import zipfile
from collections.abc import Mapping
from decimal import Decimal
from importlib.machinery import ModuleSpec
from pathlib import Path

import pytest
from pygments.lexers import VbNetLexer  # type: ignore[import-untyped]
from pygments.token import Name  # type: ignore[import-untyped]
from python_calamine import CalamineWorkbook

from tarelot.addin.excel import render, setup
from tarelot.addin.excel.cells import NEWER_ERRORS
from tarelot.calc.cells.boundary import ERROR_VALUES, CellError, call
from tarelot.calc.registry import BY_NAME, FUNCTIONS
from tests.engines.cases import cases
from tests.excel.xlwings_stand_in import ERROR_CODES, MISSING, ComCode, UdfModule, load_udf_module

NAMES = list(BY_NAME)
XLWINGS = Path(str(importlib.util.find_spec("xlwings").origin)).parent  # type: ignore[union-attr]
LONGEST_VBA_LINE = 1023  # Microsoft's Office VBA reference, "Line too long"
MOST_CONTINUATIONS = 24  # the same, "Too many line continuations"


@pytest.fixture(scope="module")
def functions() -> UdfModule:
    return load_udf_module()


def as_cell(value: object) -> object:
    """A value as any cell hands it over: numbers are doubles, an empty text is a blank."""
    if isinstance(value, list):
        return [[as_cell(inner) for inner in row] for row in value]
    return float(value) if isinstance(value, int) and not isinstance(value, bool) else value


def expected(name: str, cells: list[object]) -> object:
    """What the one boundary of all faces answers, as Excel shows it."""
    try:
        return call(BY_NAME[name], [as_cell(cell) for cell in cells])
    except CellError as error:
        return f"Check: {error.reason}"


# The call path


@pytest.mark.parametrize("typed", [False, True], ids=["cells", "typed"])
@pytest.mark.parametrize("name", NAMES)
def test_a_call_returns_what_the_boundary_returns(functions: UdfModule, name: str, typed: bool) -> None:
    seen = set()
    for case in cases(name, 150):
        result = functions.call(name, list(case.arguments), typed=typed)
        assert result == expected(name, list(case.arguments)), case
        assert isinstance(result, float | int | str)
        seen.add(isinstance(result, str) and result.startswith("Check: "))
    assert seen == {True, False}, "the cases must hold results and refusals"


@pytest.mark.parametrize(
    ("cells", "shown"),
    [
        ([15_000, 8_600], 15_000 - 8_600),
        ([None, 8_600], ""),
        (["", 8_600], ""),
        ([0, 8_600], ""),
        ([15_000, MISSING], ""),
        ([15_000, None], ""),
        (["abc", 8_600], "Check: gross is 'abc': a number is needed"),
        (["15000", 8_600], "Check: gross is '15000': a number is needed"),
        ([True, 8_600], "Check: gross is True: a number is needed"),
        ([False, 8_600], "Check: gross is False: a number is needed"),
        ([-1, 8_600], "Check: gross is -1 (any weight unit, the same throughout): allowed is above 0"),
        ([float("nan"), 1], "Check: gross is nan (any weight unit, the same throughout): allowed is above 0"),
        ([float("inf"), 1], "Check: gross is inf (any weight unit, the same throughout): allowed is above 0"),
        ([datetime.datetime(2026, 3, 1), 1], "Check: gross is in a cell formatted as a date: format it as a number"),
        ([Decimal("15000.0000"), 1], "Check: gross is in a cell formatted as money: format it as a number"),
        ([[[15_000, 14_000]], 8_600], "Check: gross is a block of cells: one cell is needed"),
    ],
)
def test_the_contract(functions: UdfModule, cells: list[object], shown: object) -> None:
    assert functions.call("LOT_PAYLOAD", cells) == shown


@pytest.mark.parametrize("typed", [False, True], ids=["cells", "typed"])
@pytest.mark.parametrize("error", ERROR_CODES)
def test_each_error_value_passes_through_as_text(functions: UdfModule, error: str, typed: bool) -> None:
    assert functions.call("LOT_PAYLOAD", [15_000, error], typed=typed) == f"Check: a cell it reads holds {error}"


def test_the_error_codes_are_those_of_xlwings_and_of_excel(functions: UdfModule) -> None:
    known = sys.modules["xlwings"]._xlwindows.cell_errors
    assert {name: ERROR_CODES[name] for name in ERROR_VALUES} == {name: code for code, name in known.items()}
    assert set(ERROR_CODES) == {*ERROR_VALUES, *NEWER_ERRORS.values()}


def test_an_error_that_nobody_knew_is_no_number(functions: UdfModule) -> None:
    unheard_of = ComCode(0x800A0000 + 2077 - 2**32)
    assert functions.call("LOT_PAYLOAD", [15_000, unheard_of]) == "Check: a cell it reads holds error 2077"
    assert functions.call("LOT_PAYLOAD", [15_000, unheard_of], typed=True) == "Check: a cell it reads holds error 2077"


@pytest.mark.parametrize("error", ["#N/A", "#SPILL!"])
@pytest.mark.parametrize("name", NAMES)
def test_an_error_in_any_cell_of_any_function_is_told(functions: UdfModule, name: str, error: str) -> None:
    for place, parameter in enumerate(BY_NAME[name].parameters):
        cells: list[object] = [[[1], [2]] if p.kind == "range" else None for p in BY_NAME[name].parameters]
        cells[place] = [[1], [error]] if parameter.kind == "range" else error
        assert functions.call(name, cells) == f"Check: a cell it reads holds {error}", parameter.name


def test_a_refusal_is_told_again_by_the_function_that_reads_it(functions: UdfModule) -> None:
    refusal = functions.call("LOT_PAYLOAD", [8_600, 15_000])
    assert str(refusal).startswith("Check: ")
    assert functions.call("LOT_TOTAL", [2, refusal]) == refusal
    assert functions.call("LOT_CONFLICT_COUNT", [[[0], [refusal]]]) == refusal


def test_a_reason_stays_short_whatever_the_cell_holds(functions: UdfModule) -> None:
    shown = str(functions.call("LOT_PAYLOAD", ["x" * 32_767, 1]))
    assert shown.startswith("Check: gross is 'xxx")
    assert len(shown) == len("Check: ") + 255


@pytest.mark.parametrize(
    "block",
    [[[0, 250, "ok"]], [[0], [250], ["ok"]], [[0, None], [250, ""]], [[250]], 250],
    ids=["row", "column", "rows and columns", "one cell", "bare cell"],
)
@pytest.mark.parametrize("typed", [False, True], ids=["cells", "typed"])
def test_a_block_of_any_shape_counts_one_conflict(functions: UdfModule, block: object, typed: bool) -> None:
    assert functions.call("LOT_CONFLICT_COUNT", [block], typed=typed) == 1


def test_an_optional_argument_before_required_ones_is_left_out_by_a_comma(functions: UdfModule) -> None:
    names, weights = [["Winch"], ["Toolbox"]], [[120], [80]]
    assert functions.call("LOT_OPTIONS_WEIGHT", [MISSING, names, weights]) == 0
    assert functions.call("LOT_OPTIONS_WEIGHT", ["winch; Toolbox", names, weights]) == 120 + 80


def test_a_block_left_out_is_a_blank_cell(functions: UdfModule) -> None:
    for name in ("LOT_CONFLICT_COUNT", "LOT_OPTIONS_WEIGHT"):
        cells: list[object] = [MISSING] * len(BY_NAME[name].parameters)
        blanks: list[object] = [[[None]] if p.kind == "range" else None for p in BY_NAME[name].parameters]
        assert functions.call(name, cells) == functions.call(name, blanks) == 0


# The VBA text


def signatures(vba: str) -> dict[str, list[str]]:
    """The parameters of each VBA function, by name."""
    found = re.findall(r"^Function (\w+)\((.*)\)$", vba.replace(" _\n", ""), flags=re.MULTILINE)
    return {name: [p.removeprefix("Optional ") for p in inside.split(", ")] for name, inside in found}


def test_every_function_is_in_the_vba_text(functions: UdfModule) -> None:
    vba = functions.vba()
    assert sorted(signatures(vba)) == sorted(NAMES)
    assert vba.count(f'XLPy.CallUDF("{setup.MODULE}", ') == 2 * len(NAMES)
    assert all(len(signatures(vba)[f.name]) == len(f.parameters) <= 60 for f in FUNCTIONS)


def test_required_parameters_do_not_follow_optional_ones(functions: UdfModule) -> None:
    for line in re.findall(r"^Function .*$", functions.vba().replace(" _\n", ""), flags=re.MULTILINE):
        optional = [part.strip().startswith("Optional ") for part in line.partition("(")[2].split(",")]
        assert optional == sorted(optional), line


def test_no_name_is_a_word_of_visual_basic_or_a_cell(functions: UdfModule) -> None:
    lexer = VbNetLexer()
    assert next(iter(lexer.get_tokens("each")))[0] not in Name, "the list of words must be asked"
    for function, parameters in signatures(functions.vba()).items():
        for name in (function, *parameters):
            assert next(iter(lexer.get_tokens(name)))[0] in Name, f"{function}: {name}"
            assert name.lower() not in render.RESERVED
            assert not re.fullmatch(r"[a-z]{1,3}\d+|r\d*c\d*|[rc]", name, flags=re.IGNORECASE), name
            assert len(name) <= 255


def test_lines_are_no_longer_than_vba_allows(functions: UdfModule) -> None:
    vba = functions.vba()
    assert max(map(len, vba.splitlines())) <= LONGEST_VBA_LINE
    assert all(run.count(" _\n") <= MOST_CONTINUATIONS for run in re.findall(r"(?:.* _\n)+", vba))


def test_an_add_in_works_for_the_active_workbook(functions: UdfModule) -> None:
    assert "ThisWorkbook" not in functions.vba(setup.ADD_IN)
    assert functions.vba(setup.ADD_IN).count("ActiveWorkbook") == len(NAMES)


def test_importing_tells_excel_what_each_function_and_argument_is(functions: UdfModule) -> None:
    book = functions.import_into_workbook()
    (text,) = book.VBProject.VBComponents.imported
    assert sorted(signatures(text)) == sorted(NAMES)
    told = book.Application.descriptions
    assert list(told) == [f"'lot.xlsm'!{name}" for name in sorted(NAMES)]
    for function in FUNCTIONS:
        options = told[f"'lot.xlsm'!{function.name}"]
        assert options["Description"] == function.help
        assert options["Category"] == "Tarelot"
        assert len(options["ArgumentDescriptions"]) == len(function.parameters)
        for parameter, words in zip(function.parameters, options["ArgumentDescriptions"], strict=True):
            assert words.startswith(parameter.meaning)
            assert parameter.unit in words
            assert ("may be left out" in words) is not parameter.required


# The rendering


def test_the_committed_module_is_the_rendered_one(capsys: pytest.CaptureFixture[str]) -> None:
    assert render.main(["--check"]) == 0, capsys.readouterr().err


def test_a_stale_module_is_told_and_rendered_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    stale = tmp_path / "lot_functions.py"
    monkeypatch.setattr(render, "TARGET", stale)
    assert render.main(["--check"]) == 1
    stale.write_text(render.rendered().replace("LOT_PAYLOAD", "LOT_PAY"))
    assert render.main(["--check"]) == 1
    assert "python -m tarelot.addin.excel.render" in capsys.readouterr().err
    assert render.main([]) == 0
    assert render.main(["--check"]) == 0
    assert render.main(["--wrong"]) == 2


# What is written for Windows


def test_the_add_in_is_that_of_xlwings_with_our_settings(tmp_path: Path) -> None:
    setup.write(tmp_path / "new folder")
    written = zipfile.ZipFile(tmp_path / "new folder" / setup.ADD_IN)
    original = zipfile.ZipFile(XLWINGS / setup.TEMPLATE)
    assert written.testzip() is None
    assert written.namelist() == original.namelist()
    changed = {name for name in written.namelist() if written.read(name) != original.read(name)}
    assert changed == {"xl/workbook.xml", "xl/worksheets/sheet1.xml"}
    with (tmp_path / "new folder" / setup.ADD_IN).open("rb") as file:
        book = CalamineWorkbook.from_filelike(file)
        assert book.sheet_names == ["myaddin.conf"]
        rows = book.get_sheet_by_index(0).to_python()
    assert rows == [
        ["Interpreter_Win", "python"],
        ["UDF Modules", "tarelot.addin.excel.lot_functions"],
        ["ADD_WORKBOOK_TO_PYTHONPATH", "false"],
    ]


def test_the_settings_and_the_macro_are_those_that_the_add_ins_vba_knows() -> None:
    vba = (XLWINGS / "xlwings_custom_addin.bas").read_text()
    assert 'PROJECT_NAME As String = "myaddin"' in vba
    assert 'sht = wb.Sheets(PROJECT_NAME & ".conf")' in vba
    assert all(f'GetConfig("{name.upper()}"' in vba for name in setup.settings())
    assert "\nSub ImportPythonUDFsToAddin()" in vba
    assert any("Sub ImportPythonUDFsToAddin" in step for step in setup._steps(Path("tarelot.xlam")))


def test_on_windows_excel_is_told_to_start_this_python(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    elsewhere = setup.write(tmp_path)
    monkeypatch.setattr(sys, "platform", "win32")
    monkeypatch.setattr(sys, "executable", r"C:\Tools & more\python.exe")
    steps = setup.write(tmp_path)
    assert len(elsewhere) == len(steps) + 2
    assert "not Windows" in elsewhere[0]
    assert "setup excel" in elsewhere[1], "the add-in is written anew there, with that computer's Python"
    assert not any(str(tmp_path) in step for step in elsewhere), "the one written here is of no use there"
    assert sum(str(tmp_path / setup.ADD_IN) in step for step in steps) == 2
    with (tmp_path / setup.ADD_IN).open("rb") as file:
        rows = CalamineWorkbook.from_filelike(file).get_sheet_by_index(0).to_python()
    assert rows[0] == ["Interpreter_Win", r"C:\Tools & more\python.exe"]


def test_an_older_add_in_is_replaced_and_nothing_else_left(tmp_path: Path) -> None:
    (tmp_path / setup.ADD_IN).write_bytes(b"older")
    setup.write(tmp_path)
    assert zipfile.is_zipfile(tmp_path / setup.ADD_IN)
    assert [path.name for path in tmp_path.iterdir()] == [setup.ADD_IN]


def test_a_folder_that_cannot_be_made_is_told(tmp_path: Path) -> None:
    taken = tmp_path / "taken"
    taken.write_text("a file")
    with pytest.raises(setup.SetupError, match="choose another folder"):
        setup.write(taken)
    assert taken.read_text() == "a file"


def test_an_add_in_that_cannot_be_replaced_stays(tmp_path: Path) -> None:
    (tmp_path / setup.ADD_IN).mkdir()  # os.replace refuses it, as Windows refuses a file that Excel has open
    with pytest.raises(setup.SetupError, match="close Excel"):
        setup.write(tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == [setup.ADD_IN]


def test_a_missing_xlwings_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(importlib.util, "find_spec", lambda name: None)
    with pytest.raises(setup.SetupError, match=r'-m pip install .*"(/.*\[excel\]|xlwings)"$'):
        setup.write(tmp_path / "never made")
    assert not (tmp_path / "never made").exists()


def record(monkeypatch: pytest.MonkeyPatch, url: str | None) -> None:
    """Installed from here, as pip records it (PEP 610)."""
    text = None if url is None else json.dumps({"url": url})
    distribution = types.SimpleNamespace(read_text=lambda name: text if name == "direct_url.json" else None)
    monkeypatch.setattr(importlib.metadata, "distribution", lambda name: distribution)


def test_what_to_type_names_the_folder_or_the_wheel(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = tmp_path / "my yard"
    folder.mkdir()
    wheel = folder / "tarelot-1-py3-none-any.whl"
    wheel.touch()
    monkeypatch.setattr(sys, "executable", "/a b/python")
    record(monkeypatch, folder.as_uri())
    assert setup.how_to_install() == f'"/a b/python" -m pip install --editable "{folder}[excel]"'
    assert f"the folder {folder} to the Windows computer" in setup.write(tmp_path / "out")[0]
    record(monkeypatch, wheel.as_uri())
    assert setup.how_to_install() == f'"/a b/python" -m pip install "{wheel}[excel]"'
    assert setup.write(tmp_path / "out")[0].endswith(f'python -m pip install "{wheel.name}[excel]"')


@pytest.mark.parametrize("url", [None, "file:///nowhere/tarelot.whl", "https://example.org/tarelot.whl"])
def test_what_to_type_names_nothing_that_is_not_there(url: str | None, monkeypatch: pytest.MonkeyPatch) -> None:
    record(monkeypatch, url)
    assert setup.how_to_install().endswith('-m pip install "xlwings"')


@pytest.mark.parametrize("content", [None, b"no package", "another layout"])
def test_an_unexpected_xlwings_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, content: object) -> None:
    template = tmp_path / "library" / setup.TEMPLATE
    template.parent.mkdir()
    if isinstance(content, bytes):
        template.write_bytes(content)
    elif isinstance(content, str):
        with zipfile.ZipFile(template, "w") as package:
            package.writestr("xl/workbook.xml", "<workbook/>")
    monkeypatch.setattr(setup, "xlwings_folder", lambda: template.parent)
    with pytest.raises(setup.SetupError, match="install"):
        setup.write(tmp_path / "never made")
    assert not (tmp_path / "never made").exists()


def test_elsewhere_than_on_windows_the_check_says_so() -> None:
    (finding,) = setup.check()
    assert finding.state == "note"
    assert "need Windows" in finding.line


def pretend_windows(
    monkeypatch: pytest.MonkeyPatch,
    prefix: Path,
    *,
    excel: bool,
    pywin32: bool,
    options: Mapping[str, str] | None = None,
) -> None:
    """Windows as far as the check asks: its registry, with what Excel keeps there, pywin32 and the folder of Python."""

    def query(root: object, key: str) -> str:
        if not excel:
            raise FileNotFoundError(key)
        return "Excel.Application.16"

    find_spec = importlib.util.find_spec
    pythoncom = ModuleSpec("pythoncom", None) if pywin32 else None
    monkeypatch.setattr(importlib.util, "find_spec", lambda name: pythoncom if name == "pythoncom" else find_spec(name))

    def opened(key: object, name: str) -> contextlib.AbstractContextManager[Mapping[str, str]]:
        if key != "user" or name != r"Software\Microsoft\Office\16.0\Excel\Options":
            raise FileNotFoundError
        return contextlib.nullcontext(options or {})

    registry = types.SimpleNamespace(
        QueryValue=query,
        HKEY_CLASSES_ROOT=0,
        HKEY_CURRENT_USER="user",
        OpenKey=opened,
        QueryInfoKey=lambda key: (0, len(key), 0),
        EnumValue=lambda key, number: (*list(key.items())[number], 1),
    )
    monkeypatch.setitem(sys.modules, "winreg", registry)
    monkeypatch.setattr(sys, "platform", "win32")
    monkeypatch.setattr(sys, "prefix", str(prefix))


def test_on_windows_the_check_finds_what_is_there(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    version = importlib.metadata.version("xlwings")
    for library in ("xlwings32", "xlwings64"):
        (tmp_path / f"{library}-{version}.dll").touch()
    pretend_windows(monkeypatch, tmp_path, excel=True, pywin32=True)
    findings = setup.check()
    assert [finding.state for finding in findings] == ["ok"] * 5 + ["note", "note"]
    assert [line.split()[0] for _, line in findings[:3]] == ["Excel.Application.16", "xlwings", "pywin32"]
    assert "it shows 6400" in findings[-1].line


def test_on_windows_the_check_reads_the_add_ins_that_excel_opens(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each where it lies, by its values OPEN; one that names this Python is right, and no other."""
    places = [tmp_path / name / setup.ADD_IN for name in ("elsewhere", "here", "older", "gone", "damaged")]
    elsewhere, here, older, gone, damaged = places
    setup.write(elsewhere.parent)
    monkeypatch.setenv("APPDATA", str(tmp_path))
    options = {"OPEN": f'/R "{elsewhere}"', "OPEN1": str(here), "OPEN2": f'"{older}"', "OPEN3": f'/R "{gone}"'}
    options |= {"OPEN4": f'/R "{damaged}"', "OPEN5": '/R "C:\\other.xlam"', "Font": str(gone), "OPEN6": setup.ADD_IN}
    pretend_windows(monkeypatch, tmp_path, excel=True, pywin32=True, options=options)
    setup.write(here.parent)
    with monkeypatch.context() as before:
        before.setattr(sys, "executable", r"C:\Python 3.11\python.exe")
        setup.write(older.parent)
    damaged.parent.mkdir()
    damaged.write_bytes(b"no add-in")
    found = {str(place): one for place in places for one in setup.check() if one.line.startswith(str(place))}
    assert [found[str(place)].state for place in places] == ["missing", "ok", *["missing"] * 3]
    lines = [found[str(place)].line for place in places]
    assert "names no Python of this computer but plain python, as one written on another system does: write" in lines[0]
    assert f'setup excel --out "{elsewhere.parent}" and do the steps' in lines[0]
    assert r"starts another Python, C:\Python 3.11\python.exe: write it anew" in lines[2]
    assert "is not there: write it anew" in lines[3]
    assert "cannot be read (" in lines[4]
    own_folder = tmp_path / "Microsoft" / "AddIns" / setup.ADD_IN
    assert sum(one.line.startswith(str(own_folder)) for one in setup.check()) == 1
    assert not any("other.xlam" in one.line for one in setup.check())
    setup.write(elsewhere.parent)  # as the line says
    assert any(one.line == f"{elsewhere} starts this Python" for one in setup.check())


def test_on_windows_the_check_says_what_is_missing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    pretend_windows(monkeypatch, tmp_path, excel=False, pywin32=False)
    missing = [finding.line for finding in setup.check() if finding.state == "missing"]
    assert len(missing) == 4
    assert "Excel is not installed" in missing[0]
    assert missing[1].endswith("-m pip install pywin32")
    assert all(".dll is missing" in line for line in missing[2:])


def test_an_older_xlwings_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The least version is that of pyproject.toml."""
    import tomllib

    project = tomllib.loads((Path(__file__).parents[2] / "pyproject.toml").read_text())
    (asked,) = project["project"]["optional-dependencies"]["excel"]
    assert asked == f"xlwings>={'.'.join(map(str, setup.LEAST_XLWINGS))}"
    monkeypatch.setattr(importlib.metadata, "version", lambda name: "0.32.9")
    assert setup.xlwings_finding().state == "missing"
    assert "0.32.9 is older than 0.33" in setup.xlwings_finding().line


def test_the_libraries_are_those_that_the_add_ins_vba_loads() -> None:
    vba = (XLWINGS / "addin" / "Main.bas").read_text()
    assert set(re.findall(r'Lib "(xlwings\d+)-dev\.dll"', vba)) == set(setup.LIBRARIES)
