"""Which of our modules the extension carries: its components, and whatever they import.

A module that needs a library can thereby not slip in unseen: the tests look through all that is carried.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).parents[2]
OURS = "tarelot"
COMPONENTS = {"component.py": "addin/libreoffice/component.py", "menu.py": "addin/libreoffice/menu/component.py"}
"""The files that LibreOffice runs, by their name in the extension."""
WHOLE = "calc"
"""The trade travels whole, with its tables."""


def carried_files() -> list[Path]:
    """The files of the private package, from our three folders, in order."""
    found = {path for path in (ROOT / WHOLE).rglob("*") if path.suffix in (".py", ".csv")}
    waiting = [ROOT / source for source in COMPONENTS.values()]
    seen = set(waiting)
    while waiting:
        for path in imported_files(waiting.pop()):
            if path not in seen:
                seen.add(path)
                waiting.append(path)
    found |= seen - {ROOT / source for source in COMPONENTS.values()}
    return sorted(found)


def imported_files(source: Path) -> Iterator[Path]:
    """The files of ours that a module imports, wherever in it, and the packages that they are in."""
    for node in ast.walk(ast.parse(source.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.level == 0 and f"{node.module}.".startswith(f"{OURS}."):
            parts = str(node.module).split(".")[1:]
            for name in (alias.name for alias in node.names):
                yield from _files([*parts, name])


def _files(parts: list[str]) -> Iterator[Path]:
    """The file of a module, or of the one that a name is in, and of each package on the way."""
    for length in range(1, len(parts) + 1):
        place = ROOT.joinpath(*parts[:length])
        if place.is_dir():
            yield place / "__init__.py"
        elif place.with_suffix(".py").is_file():
            yield place.with_suffix(".py")
