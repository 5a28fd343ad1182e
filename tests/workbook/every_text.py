"""Every text that a person can meet in the workbook, for the list to be read as a whole; each at its first sheet.

    python -m tests.workbook.every_text

writes ``every_text.txt`` anew, and ``make generate`` does. Words that formulas put together stand there as the pieces
that they are made of.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory

import openpyxl
from openpyxl.workbook import Workbook
from openpyxl.worksheet.worksheet import Worksheet

from tarelot.workbook_templates import workbook
from tarelot.workbook_templates.basis.units import US

LISTED = Path(__file__).with_suffix(".txt")
PIECE = re.compile(r'"((?:[^"]|"")*)"')
"""A text in a formula, as in a number's format."""
WORD = re.compile(r"[A-Za-z]{2}")
"""What holds no word needs no reading."""


def written() -> str:
    """The list, a text a line."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "new.xlsx"
        workbook.write(path, [{}], [(None, None)], US)
        book = openpyxl.load_workbook(path)
    return "".join(f"{line}\n" for line in _lines(book))


def _lines(book: Workbook) -> Iterator[str]:
    listed: set[str] = set()
    for sheet in book:
        yield f"== {sheet.title}"
        for text in _texts(sheet):
            line = " / ".join(text.split("\n"))
            if WORD.search(line) and line not in listed:
                listed.add(line)
                yield line
        yield ""
    yield "== Names"
    yield from (f"{name}: {defined.comment}" for name, defined in book.defined_names.items())


def _texts(sheet: Worksheet) -> Iterator[str]:
    """What stands in cells, then in notes, in links, in entry rules, in charts, and at the foot of a page."""
    cells = [cell for row in sheet for cell in row if cell.value is not None or cell.comment or cell.hyperlink]
    for cell in cells:
        if cell.data_type == "f":
            yield from _pieces(str(cell.value))
        elif isinstance(cell.value, str):
            yield cell.value
        yield from _pieces(cell.number_format)
    yield from (f"note: {cell.comment.text}" for cell in cells if cell.comment)
    yield from (f"link: {cell.hyperlink.tooltip}" for cell in cells if cell.hyperlink)
    for rule in sheet.data_validations.dataValidation:
        yield from (f"asks: {text}" for text in (rule.promptTitle, rule.prompt) if text)
        yield from (f"refuses: {text}" for text in (rule.errorTitle, rule.error) if text)
        yield from (f"list: {text}" for text in _pieces(str(rule.formula1)) if rule.type == "list")
    for chart in sheet._charts:
        yield from (f"chart: {run.t}" for title in _titles(chart) for run in title)
    yield f"foot: {sheet.oddFooter.left.text}" if sheet.oddFooter.left.text else ""


def _titles(chart: object) -> Iterator[list[object]]:
    """The runs of a chart's title and of its axes'."""
    for holder in (chart, getattr(chart, "x_axis", None), getattr(chart, "y_axis", None)):
        title = getattr(holder, "title", None)
        if title is not None and title.tx is not None and title.tx.rich is not None:
            yield from (paragraph.r or [] for paragraph in title.tx.rich.p)


def _pieces(text: str) -> list[str]:
    return [piece.replace('""', '"') for piece in PIECE.findall(text)]


if __name__ == "__main__":
    LISTED.write_text(written(), encoding="utf-8")
