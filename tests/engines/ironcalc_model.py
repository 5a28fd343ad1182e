"""A workbook in the IronCalc engine, its empty cells empty.

IronCalc's reader takes an empty cell that has a format for the number 0; Excel and LibreOffice leave it empty, and to
us an empty cell is a figure that nobody stated, which 0 is not. So such cells are left out of what it reads, which
loses nothing but their color. ``test_ironcalc_model.py`` holds that the fault is still there.
"""

from __future__ import annotations

import re
import tempfile
import zipfile
from pathlib import Path
from typing import Any

import ironcalc

EMPTY_CELL = re.compile(rb'<c r="[A-Z]+[0-9]+"(?: s="[0-9]+")?(?: t="n")? ?(?:/>|></c>)')


def load(path: Path) -> Any:
    """The workbook at this path as a model."""
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / path.name
        with zipfile.ZipFile(path) as whole, zipfile.ZipFile(copy, "w", zipfile.ZIP_DEFLATED) as stripped:
            for part in whole.infolist():
                content = whole.read(part)
                if part.filename.startswith("xl/worksheets/"):
                    content = EMPTY_CELL.sub(b"", content)
                stripped.writestr(part.filename, content)
        return load_as_it_is(copy)


def load_as_it_is(path: Path) -> Any:
    """The same with the fault."""
    return ironcalc.load_from_xlsx(str(path), "en", "UTC", "en")
