"""Every formula of a workbook, wherever in the package it stands, read from the parts' own XML."""

from __future__ import annotations

import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from typing import Literal
from xml.etree.ElementTree import Element, iterparse

Kind = Literal["cell", "array formula", "column", "highlight", "entry rule", "list", "name", "chart"]
HOLDERS = {"f", "formula", "formula1", "formula2", "calculatedColumnFormula", "totalsRowFormula", "definedName"}
"""Elements that hold a formula, in any name space (ECMA-376 Part 1, 18.3, 18.5 and 21.2; [MS-XLSX] 2.6)."""
OWNERS: dict[str, tuple[tuple[str, ...], str, Kind]] = {
    "c": (("f",), "r", "cell"),
    "tableColumn": (("calculatedColumnFormula", "totalsRowFormula"), "name", "column"),
    "conditionalFormatting": (("formula", "f"), "sqref", "highlight"),
    "dataValidation": (("formula1", "formula2"), "sqref", "entry rule"),
    "definedName": (("definedName",), "name", "name"),
    "chartSpace": (("f",), "", "chart"),
}
"""What such an element belongs to: the elements that hold formulas for it, what tells it from others, and its kind."""


@dataclass(frozen=True)
class Formula:
    """A formula without its leading ``=``, with where it stands and what it is for."""

    place: str
    kind: Kind
    text: str


@dataclass(frozen=True)
class WorkbookFormulas:
    """The formulas of a workbook, and the names of its tables."""

    formulas: tuple[Formula, ...]
    tables: tuple[str, ...]


def workbook_formulas(path: Path) -> WorkbookFormulas:
    """The formulas of a workbook; of a formula that cells share the first cell's.

    Raises:
        ValueError: A formula stands where this reader does not look.
    """
    formulas: list[Formula] = []
    tables: list[str] = []
    with zipfile.ZipFile(path) as package:
        for name in package.namelist():
            if not name.endswith(".xml"):
                continue
            held, found = 0, len(formulas)
            with package.open(name) as part:
                for _, element in iterparse(part):
                    held += _local(element) in HOLDERS and bool(element.text)
                    formulas += _formulas_of(element, PurePosixPath(name).stem)
                    if _local(element) == "table":
                        tables.append(element.attrib["displayName"])
                    elif _local(element) == "row":
                        element.clear()
            if held != len(formulas) - found:
                raise ValueError(f"{name} holds {held} formulas, {len(formulas) - found} were found")
    return WorkbookFormulas(tuple(formulas), tuple(tables))


def _local(element: Element) -> str:
    """An element's name without its name space."""
    return element.tag.rpartition("}")[2]


def _formulas_of(element: Element, part: str) -> Iterator[Formula]:
    """The formulas that an element, read to its end, holds."""
    if _local(element) not in OWNERS:
        return
    holders, key, kind = OWNERS[_local(element)]
    named = element.get(key, "")
    for held in element.iter():
        if _local(held) in holders and held.text:
            yield Formula(
                named if kind == "name" else f"{part} {named}".rstrip(),
                "array formula" if held.get("t") == "array" else "list" if element.get("type") == "list" else kind,
                held.text,
            )
