"""Right of the steps on Start: cream cells for what the yard says of itself on every page for a customer, and links.

They stand at fixed places, so that the Card finds them; a person's file is read by their labels, wherever they stand.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.worksheet import Worksheet
from python_calamine import CalamineError, CalamineWorkbook

from tarelot.workbook_templates.basis import style
from tarelot.workbook_templates.basis.number_texts import keep_as_texts
from tarelot.workbook_templates.lot.reading import LotError
from tarelot.workbook_templates.sheets import start

LABELS, TYPED = "I", "J"
"""Columns."""
HEADING_ROW = 11
WIDTHS = {"H": 3, LABELS: 24, TYPED: 44}
LINKS_ROW = 20
"""Of the heading above the links to every sheet."""
FROM_LOT, NOT_SHOWN = "from the Lot", "not shown"


@dataclass(frozen=True)
class Entry:
    """One cell to type in.

    Attributes:
        key: What the Card's expressions call it.
        label: What stands beside it.
        asks: What to type, shown when the cell is chosen.
        greatest: Most letters, as the Card's line holds them.
        choices: The words allowed, for one that is chosen.
    """

    key: str
    label: str
    asks: str
    greatest: int = 60
    choices: tuple[str, ...] = ()


ENTRIES = (
    Entry("yard_name", "Yard's name", "As it should appear at the top of the Card."),
    Entry("yard_address", "Yard's address", "In one line.", 80),
    Entry("yard_phone", "Yard's phone", "As it should appear.", 40),
    Entry("yard_line", "A line of the yard's own", "Hours, a web page, a greeting: anything you like.", 110),
    Entry("yard_price", "Price on the Card", "Whether the Card shows the Lot's price.", choices=(FROM_LOT, NOT_SHOWN)),
    Entry("yard_price_words", "Words before the price", "Such as a currency's sign.", 20),
)
BY_LABEL = {entry.label: entry for entry in ENTRIES}


def row_of(entry: Entry) -> int:
    """The row of an entry."""
    return HEADING_ROW + 1 + ENTRIES.index(entry)


def places() -> dict[str, str]:
    """The cell of each entry as other sheets refer to it, by key.

    >>> places()["yard_name"]
    'Start!$J$12'
    """
    return {entry.key: f"{start.SHEET}!${TYPED}${row_of(entry)}" for entry in ENTRIES}


def write(sheet: Worksheet, typed: Mapping[str, object]) -> None:
    """Write the cells onto Start; they are not printed with it.

    Args:
        sheet: The sheet Start, else finished.
        typed: What is typed at first, by key.
    """
    for letter, width in WIDTHS.items():
        sheet.column_dimensions[letter].width = width
    heading = sheet[f"{LABELS}{HEADING_ROW}"]
    heading.value = "Your yard, as the Card shows it"
    heading.font = style.font(size=13, bold=True, color=style.GLANCE_BAND.band)
    for entry in ENTRIES:
        label, cell = (sheet[f"{letter}{row_of(entry)}"] for letter in (LABELS, TYPED))
        label.value, label.font, label.alignment = entry.label, style.font(size=11), style.LEFT
        cell.value, cell.number_format = typed.get(entry.key), "@"  # type: ignore[assignment]
        cell.font, cell.alignment = style.font(size=11), style.LEFT
        _add_rule(sheet, entry, cell.coordinate)
    last = row_of(ENTRIES[-1])
    area = f"{TYPED}{HEADING_ROW + 1}:{TYPED}{last}"
    style.cream(sheet, area)
    keep_as_texts(sheet, [area])
    hint = sheet[f"{LABELS}{last + 1}"]
    hint.value = "A blank cell shows nothing; a price typed on the Card wins."
    hint.font, hint.alignment = style.font(size=9, color=style.QUIET), style.LEFT


def write_links(sheet: Worksheet, names: Sequence[str]) -> None:
    """Write a link to every other sheet onto Start, in the order of their tabs, in two columns.

    Args:
        sheet: The sheet Start.
        names: The workbook's sheets.
    """
    heading = sheet[f"{LABELS}{LINKS_ROW}"]
    heading.value = "Every sheet"
    heading.font = style.font(size=13, bold=True, color=style.GLANCE_BAND.band)
    others = [name for name in names if name != start.SHEET]
    half = (len(others) + 1) // 2
    for number, name in enumerate(others):
        letter = LABELS if number < half else TYPED
        start.write_link(sheet[f"{letter}{LINKS_ROW + 1 + number % half}"], name)


def _add_rule(sheet: Worksheet, entry: Entry, cell: str) -> None:
    """What may be typed."""
    if entry.choices:
        rule = DataValidation(type="list", formula1=f'"{",".join(entry.choices)}"', allow_blank=True)
        error = "Choose from the list."
    else:
        bounds = {"operator": "between", "formula1": "1", "formula2": str(entry.greatest)}
        rule = DataValidation(type="textLength", allow_blank=True, **bounds)
        error = f"At most {entry.greatest} characters: the Card's line holds no more."
    style.entry_rule(sheet, rule, cell, error, (entry.label, entry.asks))


def read(path: Path) -> dict[str, str]:
    """What is typed on a workbook's Start sheet, by key; nothing of a workbook without these cells.

    Raises:
        LotError: The workbook cannot be read.
    """
    try:
        book = CalamineWorkbook.from_path(path)
        rows = book.get_sheet_by_name(start.SHEET).to_python() if start.SHEET in book.sheet_names else []
    except CalamineError as error:
        raise LotError(f"{path.name} cannot be read: {error}") from error
    found = {}
    for row in rows:
        for label, beside in zip(row, row[1:], strict=False):
            entry = BY_LABEL.get(str(label))
            if entry and beside not in ("", None):
                found[entry.key] = f"{beside:.15g}" if isinstance(beside, float) else str(beside)
    return found
