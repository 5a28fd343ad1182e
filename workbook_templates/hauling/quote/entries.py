"""What is typed on the Quote itself: cream cells right of its page, each known by the label beside it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.worksheet import Worksheet

from tarelot.calc.cells.expression import Cell, Expression, formula
from tarelot.calc.cells.spreadsheet import AND, COUNT, ISTEXT, LEN, OR
from tarelot.workbook_templates.basis import style
from tarelot.workbook_templates.basis.fractions import show_fractions
from tarelot.workbook_templates.basis.number_texts import keep_as_texts
from tarelot.workbook_templates.basis.references import kept_in_place
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling import followed
from tarelot.workbook_templates.hauling.card import letterhead
from tarelot.workbook_templates.hauling.what_if.rows import TRAILER
from tarelot.workbook_templates.lot import sheet as lot
from tarelot.workbook_templates.lot.columns import KEY

LABELS, TYPED = "G", "H"
HEADING_ROW, FOUND = 10, "$H$12"
"""The heading of these cells, beside rows of even height; what was found of the stock number."""
CHOICE, DATE, VALID, PRICE = followed.typed_choice(TRAILER), letterhead.DATE, "quote_valid", "quote_price"
OWN_LINES = (("first_words", "first_amount"), ("second_words", "second_amount"))
"""The words and the amount of each line of the yard's own, by key."""
LONGEST_WORDS = 50
_TYPED = Cell("typed")
_AMOUNT = AND(COUNT(_TYPED).equals(1), _TYPED.differs(1))
_PRICE = OR(ISTEXT(_TYPED), AND(_AMOUNT, _TYPED >= 0))
_WORDS = LEN(_TYPED) <= LONGEST_WORDS
_NOT_1 = "1 is not taken, since some programs make it of TRUE."
HINTS = (
    "Blank: the trailer on What-if, its price on the Lot, no line.",
    "The options are added to the price. This side is not printed.",
)


@dataclass(frozen=True)
class Entry:
    """A cell to type in: its key, its row, its label, what it asks for; what it takes, and what is said else."""

    key: str
    row: int
    label: str
    asks: str
    takes: Expression | None = None
    error: str = ""


ENTRIES = (
    Entry(CHOICE, 11, KEY, "Choose from the Lot sheet. Left blank, it is the one on What-if."),
    Entry(DATE, 13, "Date", "The day of the quote."),
    Entry(VALID, 14, "Valid to", "The last day on which this quote stands."),
    Entry(
        PRICE,
        15,
        "Price of the trailer",
        "An amount, or words. Left blank, it is the Lot's price.",
        _PRICE,
        f"An amount, 0 or more, or words. {_NOT_1}",
    ),
    *(
        entry
        for number, (name, (words, amount)) in enumerate(zip(("First", "Second"), OWN_LINES, strict=True))
        for entry in (
            Entry(
                words,
                16 + 2 * number,
                f"{name} line: words",
                "Such as delivery, or a trade-in.",
                _WORDS,
                f"At most {LONGEST_WORDS} characters: the line holds no more.",
            ),
            Entry(
                amount,
                17 + 2 * number,
                f"{name} line: amount",
                "Below 0 for what is taken off, such as a trade-in.",
                _AMOUNT,
                f"An amount is needed; {_NOT_1}",
            ),
        )
    ),
)
KEYS = tuple(entry.key for entry in ENTRIES)
AMOUNTS = (PRICE, *(amount for _, amount in OWN_LINES))


def places() -> dict[str, str]:
    """The cell of each entry on the sheet, by key.

    >>> places()["quote_valid"]
    '$H$14'
    """
    return {entry.key: f"${TYPED}${entry.row}" for entry in ENTRIES}


def read_places() -> dict[str, str]:
    """The same as formulas read them, but for the choice, on which a cell of this column hangs.

    >>> read_places()["quote_valid"]
    'INDEX($H:$H,ROW($G$14))'
    """
    rows = {entry.key: entry.row for entry in ENTRIES if entry.key != CHOICE}
    return {key: kept_in_place(f"${TYPED}${row}", f"${LABELS}${row}") for key, row in rows.items()}


def write(sheet: Worksheet, typed: Mapping[str, object], units: Units) -> None:
    """Write the cells.

    Args:
        sheet: The sheet named Quote.
        typed: What is typed at first, by key.
        units: The workbook's units.
    """
    for letter, width in (("F", 3), (LABELS, 22), (TYPED, 34)):
        sheet.column_dimensions[letter].width = width
    heading, found = sheet[f"{LABELS}{HEADING_ROW}"], sheet[FOUND.replace("$", "")]
    heading.value, heading.font = "For this quote", style.font(size=11, bold=True)
    found.font, found.alignment = style.font(size=9, color=style.QUIET), style.LEFT
    formats = {DATE: letterhead.date_format(units), VALID: letterhead.date_format(units)}
    for entry in ENTRIES:
        label, cell = sheet[f"{LABELS}{entry.row}"], sheet[f"{TYPED}{entry.row}"]
        label.value, label.font, label.alignment = entry.label, style.font(), style.LEFT
        if entry.key == CHOICE:
            asks = entry.label, entry.asks
            style.choice(sheet, cell.coordinate, lot.STOCK_NUMBERS, asks, typed.get(entry.key))
            continue
        cell.value, cell.font, cell.alignment = typed.get(entry.key), style.font(), style.LEFT  # type: ignore[assignment]
        cell.number_format = formats.get(entry.key, style.FIGURE)
        if entry.takes is not None:
            takes = formula(entry.takes, {_TYPED.key: cell.coordinate})
            rule = DataValidation(type="custom", formula1=takes, allow_blank=True)
            style.entry_rule(sheet, rule, cell.coordinate, entry.error, (entry.label, entry.asks))
    area = f"{TYPED}{ENTRIES[1].row}:{TYPED}{ENTRIES[-1].row}"
    style.cream(sheet, area)
    show_fractions(sheet, [f"{TYPED}{entry.row}" for entry in ENTRIES if entry.key in AMOUNTS])
    keep_as_texts(sheet, [f"{TYPED}{ENTRIES[0].row}"])
    for row, words in enumerate(HINTS, ENTRIES[-1].row + 1):
        hint = sheet[f"{LABELS}{row}"]
        hint.value, hint.font = words, style.font(size=9, color=style.QUIET)
