"""Layers only look downward: command line, workbooks, add-ins, the trade."""

from __future__ import annotations

import ast
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
LAYERS = ("calc", "addin", "workbook_templates")
COMMAND_LINE = ("addin.command_line", "addin.commands", "addin.take_in_data")
"""How the names of the modules begin that a person's commands live in: they alone look down on the workbooks."""
TRAVELLING = ("addin/boundary.py", "addin/libreoffice/component.py", "addin/libreoffice/names.py")
"""What LibreOffice's own Python runs, beside calc."""
SOURCES = [path for layer in LAYERS for path in sorted((ROOT / layer).rglob("*.py"))]


def module_name(path: Path) -> str:
    """The module of a file."""
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def imported(path: Path) -> Iterator[str]:
    """Names of the modules that a file imports, wherever in it; relative ones made absolute."""
    package = list(path.relative_to(ROOT).parent.parts)
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = package[: len(package) - node.level + 1] if node.level else []
            module = ".".join([*base, *([node.module] if node.module else [])])
            yield from (f"{module}.{alias.name}" for alias in node.names)


def ours(path: Path) -> list[str]:
    """The project's own modules, or names in them, that a file imports."""
    return [name for name in imported(path) if name.split(".")[0] in LAYERS]


def is_command_line(name: str) -> bool:
    return name.startswith(COMMAND_LINE)


every_source = pytest.mark.parametrize("path", SOURCES, ids=lambda path: str(path.relative_to(ROOT)))


@every_source
def test_looks_downward_only(path: Path) -> None:
    layer = module_name(path).split(".")[0]
    below = LAYERS if is_command_line(module_name(path)) else LAYERS[: LAYERS.index(layer) + 1]
    upward = [name for name in ours(path) if name.split(".")[0] not in below]
    assert upward == []


@every_source
def test_only_the_command_line_imports_the_command_line(path: Path) -> None:
    if not is_command_line(module_name(path)):
        assert [name for name in ours(path) if is_command_line(name)] == []


@every_source
def test_tests_are_not_imported(path: Path) -> None:
    assert [name for name in imported(path) if name.split(".")[0] == "tests"] == []


CALC = [path for path in SOURCES if module_name(path).split(".")[0] == "calc"]
every_calc = pytest.mark.parametrize("path", CALC, ids=lambda path: path.stem)


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
        if (isinstance(node, ast.ImportFrom) and node.level == 0 and (node.module or "").split(".")[0] in LAYERS)
        or (isinstance(node, ast.Import) and any(alias.name.split(".")[0] in LAYERS for alias in node.names))
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
    carried = ("calc.", "addin.boundary.", "addin.libreoffice.names.")
    assert [module for module in ours(ROOT / name) if not module.startswith(carried)] == []
