"""Gnumeric, the third spreadsheet engine, asked through its own ``ssconvert``.

It reads no references into tables, so these become ranges first, and no LAMBDA, so the names that hold one are left
out. The stored results are left out too: what stands in a cell afterwards is what Gnumeric worked out.
"""

from __future__ import annotations

import re
import shutil
import subprocess
import warnings
import zipfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from html import unescape
from pathlib import Path
from xml.sax.saxutils import escape

from openpyxl import load_workbook
from openpyxl.utils import get_column_letter

from tarelot.workbook_templates.ooxml.reading import Package
from tarelot.workbook_templates.ooxml.table_rows import all_tables

PROGRAM = "ssconvert"
SECONDS = 120
CELL = re.compile(r'<c r="[A-Z]+([0-9]+)"( s="[0-9]+")?[^>]*>(<f[^>]*/>|<f[^>]*>[^<]*</f>)(?:<v>[^<]*</v>|<v ?/>)?</c>')
FORMULA = re.compile(r"(?<=>)[^<]+(?=</f>)")
COLUMN_NAME = r"((?:[^\[\]#']|'.)*)"
REFERENCE = re.compile(
    rf"\b([A-Za-z]\w*)(?:\[{COLUMN_NAME}\]|\[\[#This Row\],\[{COLUMN_NAME}\](?::\[{COLUMN_NAME}\])?\])"
)
HEADINGS = re.compile(r"\b([A-Za-z]\w*)\[#Headers\]")
SPAN = re.compile(rf"\b([A-Za-z]\w*)\[\[{COLUMN_NAME}\]:\[{COLUMN_NAME}\]\]")
NUMBER_OF_A_CELL = re.compile(r"\bN\(((?:'[^']+'!)?\$?[A-Z]+\$?[0-9]+)\)")
TEXT = re.compile(r'("(?:[^"]|"")*")')
LAMBDA_NAME = re.compile(r"<definedName [^>]*>_xlfn\.LAMBDA.*?</definedName>")


class GnumericError(Exception):
    """Gnumeric is not there, or did not work a workbook out; the text says why."""


@dataclass(frozen=True)
class TablePlace:
    """Where a table's rows stand: the sheet, the first and the last row, and each column's letter by heading."""

    sheet: str
    first_row: int
    last_row: int
    letters: Mapping[str, str]


def table_places(path: Path) -> dict[str, TablePlace]:
    """The tables of a workbook by name."""
    with Package(path) as package:
        return {
            table.name: TablePlace(
                table.sheet,
                table.first_row,
                table.last_row,
                {name: get_column_letter(table.area.first_column + at) for at, name in enumerate(table.columns)},
            )
            for table in all_tables(package)
        }


def plain(formula: str, row: int, tables: Mapping[str, TablePlace]) -> str:
    """A formula with ranges in place of references into tables; what stands in quotes is left alone.

    >>> tables = {"Lot": TablePlace("My lot", 5, 9, {"GVWR (lb)": "C", "No. #": "D"})}
    >>> plain('Lot[[#This Row],[GVWR (lb)]]+SUM(Lot[No. \\'#])&"Lot[x]"', 7, tables)
    '\\'My lot\\'!$C7+SUM(\\'My lot\\'!$D$5:$D$9)&"Lot[x]"'
    >>> plain("COUNT(Lot[[#This Row],[GVWR (lb)]:[No. '#]])", 7, tables)
    "COUNT('My lot'!$C7:$D7)"
    >>> plain("COUNTA(Lot[#Headers])+COUNT(Lot[[GVWR (lb)]:[No. '#]])", 7, tables)
    "COUNTA('My lot'!$C$4:$D$4)+COUNT('My lot'!$C$5:$D$9)"
    """

    def block(table: TablePlace, names: Sequence[str], first: int, last: int) -> str:
        left, right = (table.letters[re.sub("'(.)", r"\1", name)] for name in (names[0], names[-1]))
        return f"'{table.sheet}'!${left}${first}:${right}${last}"

    def headings(found: re.Match[str]) -> str:
        table = tables[found[1]]
        names = [re.sub("(['#])", r"'\1", name) for name in table.letters]
        return block(table, names, table.first_row - 1, table.first_row - 1)

    def span(found: re.Match[str]) -> str:
        table = tables[found[1]]
        return block(table, found.groups()[1:], table.first_row, table.last_row)

    def place(found: re.Match[str]) -> str:
        table = tables[found[1]]
        letters = [table.letters[re.sub("'(.)", r"\1", name)] for name in found.groups()[1:] if name is not None]
        cells = (
            f"${letters[0]}${table.first_row}:${letters[0]}${table.last_row}"
            if found[2] is not None
            else ":".join(f"${letter}{row}" for letter in letters)
        )
        return f"'{table.sheet}'!{cells}"

    def without_tables(part: str) -> str:
        return REFERENCE.sub(place, SPAN.sub(span, HEADINGS.sub(headings, part)))

    return "".join(
        part if part.startswith('"') else NUMBER_OF_A_CELL.sub(r"IF(ISBLANK(\1),0,N(\1))", without_tables(part))
        for part in TEXT.split(formula)
    )


def for_gnumeric(source: Path, target: Path) -> None:
    """Write a workbook with formulas that Gnumeric reads, and with none of their results.

    Raises:
        ValueError: A formula cell stands in the file in a form that is not known here.
    """
    tables = table_places(source)
    with zipfile.ZipFile(source) as old, zipfile.ZipFile(target, "w", zipfile.ZIP_STORED) as new:
        for name in old.namelist():
            text = old.read(name)
            if name == "xl/workbook.xml":
                text = LAMBDA_NAME.sub("", text.decode()).encode()
            elif name.startswith("xl/worksheets/sheet"):
                text = _sheet(text.decode(), tables).encode()
            new.writestr(name, text)


def _sheet(text: str, tables: Mapping[str, TablePlace]) -> str:
    """The same of one sheet's XML."""

    def cell(found: re.Match[str]) -> str:
        row = int(found[1])
        formula = FORMULA.sub(lambda old: escape(plain(unescape(old[0]), row, tables)), found[3])
        return found[0][: found.start(1) - found.start()] + f'{row}"{found[2] or ""}>{formula}</c>'

    done, count = CELL.subn(cell, text)
    if count != len(re.findall(r"<f[ >/]", text)):
        raise ValueError("a formula cell in a form that is not known")
    return done


def recalculated(path: Path, folder: Path) -> dict[str, list[tuple[object, ...]]]:
    """Every value of a workbook as Gnumeric works it out: for each sheet its rows, from A1 on."""
    prepared, result = folder / "prepared.xlsx", folder / "recalculated.xlsx"
    for_gnumeric(path, prepared)
    run(prepared, result)
    return values(result)


def values(path: Path) -> dict[str, list[tuple[object, ...]]]:
    """Every stored value of a workbook, errors by their names: for each sheet its rows, from A1 on."""
    with warnings.catch_warnings():
        warnings.filterwarnings("ignore", "Workbook contains no default style")
        book = load_workbook(path, read_only=True, data_only=True)
    return {sheet.title: list(sheet.iter_rows(min_row=1, min_col=1, values_only=True)) for sheet in book.worksheets}


def run(source: Path, target: Path) -> None:
    """Let ssconvert work out a workbook; what it says of parts that it does not know (notes, rules, tables) is let be.

    Raises:
        GnumericError: It is not there, or it failed.
    """
    program = shutil.which(PROGRAM)
    if program is None:
        raise GnumericError("Gnumeric is missing: bash .ci/install-office brings it (or apt-get install gnumeric)")
    done = subprocess.run(  # noqa: S603  a program of the system
        [program, "--recalc", str(source), str(target)], capture_output=True, text=True, timeout=SECONDS, check=False
    )
    if done.returncode or not target.exists():
        raise GnumericError(f"ssconvert ended with {done.returncode}: {done.stderr.strip()[:2_000]}")
