"""The house: rooms that look downward only, none of them crowded, each saying what lives there."""

from __future__ import annotations

import ast
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
FLOORS = (  # from the top down; rooms on one floor do not look at each other
    ("addin",),
    ("addin.command_line",),
    ("addin.excel", "addin.libreoffice"),
    ("workbook_templates",),
    ("workbook_templates.updates",),
    ("workbook_templates.hauling",),
    ("workbook_templates.sheets",),
    ("workbook_templates.lot", "workbook_templates.lists"),
    ("workbook_templates.ooxml", "workbook_templates.basis"),
    ("calc.rules.aboard",),
    ("calc.rules.hauling",),
    ("calc.rules",),
    ("calc.cells",),
    ("calc.registry",),
    ("calc",),
)
FLOOR = {room: floor for floor, rooms in enumerate(FLOORS) for room in rooms}
TOP = ("addin", "calc", "workbook_templates")
TRAVELLING = ("addin/libreoffice/component.py", "addin/libreoffice/names.py")
"""What LibreOffice's own Python runs, beside calc."""
ENGINE = "ironcalc"
MOST_MODULES = 12
MOST_LINES = 400
RENDERED = ("addin/excel/lot_functions.py",)
STILL_LONG = (  # to be parted: no file is added here
)
SOURCES = [path for top in TOP for path in sorted((ROOT / top).rglob("*.py"))]
every_source = pytest.mark.parametrize("path", SOURCES, ids=lambda path: str(path.relative_to(ROOT)))


def module_name(path: Path) -> str:
    """The module of a file."""
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def imported(path: Path) -> Iterator[str]:
    """Names of the modules that a file imports, wherever in it; relative ones made absolute, ours without tarelot."""
    package = list(path.relative_to(ROOT).parent.parts)
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name.removeprefix("tarelot.") for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = package[: len(package) - node.level + 1] if node.level else []
            module = ".".join([*base, *([node.module] if node.module else [])])
            yield from (f"{module}.{alias.name}".removeprefix("tarelot.") for alias in node.names)


def room(name: str) -> str:
    """The room in which a module or a name stands: the longest of ours that it begins with."""
    return max((known for known in FLOOR if f"{name}.".startswith(f"{known}.")), key=len)


def ours(path: Path) -> list[str]:
    """The project's own modules, or names in them, that a file imports."""
    return [name for name in imported(path) if name.split(".")[0] in TOP]


@every_source
def test_looks_downward_only(path: Path) -> None:
    mine = room(module_name(path))
    upward = [name for name in ours(path) if room(name) != mine and FLOOR[room(name)] <= FLOOR[mine]]
    assert upward == []


@every_source
def test_tests_are_not_imported(path: Path) -> None:
    assert [name for name in imported(path) if name.split(".")[0] == "tests"] == []


@every_source
def test_only_tests_ask_another_engine(path: Path) -> None:
    """An engine that the product calculated with could not prove it."""
    assert [name for name in imported(path) if name.split(".")[0] == ENGINE] == []


@every_source
def test_no_file_is_long(path: Path) -> None:
    if str(path.relative_to(ROOT)) not in RENDERED + STILL_LONG:
        assert len(path.read_text(encoding="utf-8").splitlines()) <= MOST_LINES


FOLDERS = sorted({path.parent for path in SOURCES})
every_folder = pytest.mark.parametrize("folder", FOLDERS, ids=lambda folder: str(folder.relative_to(ROOT)))


@every_folder
def test_no_room_is_crowded(folder: Path) -> None:
    """The topics of the trade may be many; elsewhere a folder of more than a dozen is several rooms."""
    modules = [path for path in folder.glob("*.py") if path.name != "__init__.py"]
    assert len(modules) <= MOST_MODULES or folder == ROOT / "calc"


@every_folder
def test_every_room_says_what_lives_there(folder: Path) -> None:
    words = ast.get_docstring(ast.parse((folder / "__init__.py").read_text(encoding="utf-8")))
    assert words
    assert len(words.splitlines()) <= 8


def test_every_room_is_installed() -> None:
    import tomllib

    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    named = set(project["tool"]["setuptools"]["packages"])
    assert named == {f"tarelot.{module_name(folder / '__init__.py')}" for folder in FOLDERS}


CALC = [path for path in SOURCES if module_name(path).split(".")[0] == "calc"]
every_calc = pytest.mark.parametrize("path", CALC, ids=lambda path: str(path.relative_to(ROOT)))


@every_calc
def test_the_trade_needs_nothing_but_the_standard_library(path: Path) -> None:
    foreign = {name.split(".")[0] for name in imported(path)} - {"calc"} - sys.stdlib_module_names
    assert foreign == set()


@every_calc
def test_the_trade_imports_itself_only_relatively(path: Path) -> None:
    """The LibreOffice extension carries it under a name of its own."""
    absolute = [
        node
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if (isinstance(node, ast.ImportFrom) and node.level == 0 and (node.module or "").split(".")[0] == "tarelot")
        or (isinstance(node, ast.Import) and any(alias.name.split(".")[0] == "tarelot" for alias in node.names))
    ]
    assert absolute == []


@every_calc
def test_the_trade_can_be_read_by_python_3_10(path: Path) -> None:
    ast.parse(path.read_text(encoding="utf-8"), feature_version=(3, 10))


@pytest.mark.parametrize("name", TRAVELLING)
def test_what_runs_in_libreoffice_needs_nothing_else(name: str) -> None:
    office = {"uno", "unohelper", "com", "org"}
    foreign = {module.split(".")[0] for module in imported(ROOT / name)} - {"calc", "addin"} - sys.stdlib_module_names
    assert foreign <= office
    carried = ("calc.", "addin.libreoffice.names.")
    assert [module for module in ours(ROOT / name) if not module.startswith(carried)] == []
