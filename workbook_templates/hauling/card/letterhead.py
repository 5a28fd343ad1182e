"""The head of the Card: the yard, the date, and the price as the person likes it."""

from __future__ import annotations

from collections.abc import Mapping

from openpyxl.styles import Alignment
from openpyxl.worksheet.worksheet import Worksheet

from tarelot.calc.cells.expression import Cell, Expression
from tarelot.calc.cells.spreadsheet import (
    AND,
    FIND,
    FIXED,
    IF,
    IFERROR,
    INT,
    ISERROR,
    ISNUMBER,
    ISTEXT,
    OR,
    RIGHT,
    is_blank,
)
from tarelot.workbook_templates.basis import style
from tarelot.workbook_templates.basis.fractions import show_fractions
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling.card.cells import CHECK, listed
from tarelot.workbook_templates.hauling.what_if.rows import TRAILER
from tarelot.workbook_templates.sheets import yard

C = Cell
DATE, PRICE = "card_date", "card_price"
"""Keys of what is typed on the Card itself."""
KEYS = (*(entry.key for entry in yard.ENTRIES), DATE, PRICE)
LABELS, TYPED = "I", "J"
TYPED_ROWS = {DATE: 2, PRICE: 3}
TYPED_LABELS = ("Date", "Price")
SHRUNK = Alignment(horizontal="left", vertical="center", shrink_to_fit=True)
CLOSE_SIGNS = " $€£¥"
"""What a price may follow without a space: any other word or sign is set apart from it."""
HINT = "Blank: no date, and the price as Start says. This side is not printed."


def places() -> dict[str, str]:
    """The cells that are typed for the head, by key."""
    return {**yard.places(), **{key: f"${TYPED}${row}" for key, row in TYPED_ROWS.items()}}


def name() -> Expression:
    """The yard's name."""
    return _shown("yard_name")


def date() -> Expression:
    """The date, or the words typed in its place."""
    return _shown(DATE)


def address() -> Expression:
    """Address and phone in a line."""
    address, phone = _shown("yard_address"), _shown("yard_phone")
    between = IF(OR(address.equals(""), phone.equals("")), "", "  ·  ")
    return address & between & phone


def own_line() -> Expression:
    """The yard's own line."""
    return _shown("yard_line")


def price(units: Units) -> Expression:
    """What is typed on the Card, an amount or words; else the Lot's price, where Start asks for it. A number stands
    behind its words; what is no price is said to be looked at.
    """
    typed = C(PRICE)
    from_lot = IF(C("yard_price").equals(yard.FROM_LOT), listed(TRAILER, "Price", units), "")
    amount = IF(is_blank(typed), from_lot, typed)
    otherwise = IF(amount.equals(""), "", IF(ISTEXT(typed), typed, CHECK))
    return IFERROR(IF(is_price(amount), in_words(amount), otherwise), CHECK)


def is_price(amount: Expression) -> Expression:
    """Whether it is a trailer's price: a number above 0; 1 is refused, since LibreOffice makes it of TRUE."""
    return AND(ISNUMBER(amount), amount > 0, amount.differs(1))


def in_words(amount: Expression) -> Expression:
    """An amount behind the yard's words for a price, with cents where it has some."""
    words = C("yard_price_words")
    apart = IF(ISERROR(FIND(RIGHT(words, 1), CLOSE_SIGNS)), words & " ", words)
    return IF(is_blank(words), figure(amount), apart & figure(amount))


def figure(amount: Expression) -> Expression:
    """An amount as a text, with cents where it has some."""
    return IF(amount.equals(INT(amount)), FIXED(amount, 0), FIXED(amount, 2))


def price_label(units: Units) -> Expression:
    """The word below the price, where there is one."""
    return IF(price(units).equals(""), "", "Price")


def _shown(key: str) -> Expression:
    """What is typed in a cell, blank where nothing is."""
    return IFERROR(IF(is_blank(C(key)), "", C(key)), CHECK)


def write_typed(sheet: Worksheet, typed: Mapping[str, object], units: Units) -> None:
    """Write the cells that are typed on the Card, right of its page.

    Args:
        sheet: The Card.
        typed: What is typed at first, by key.
        units: The workbook's units.
    """
    for letter, width in (("H", 3), (LABELS, 10), (TYPED, 26)):
        sheet.column_dimensions[letter].width = width
    heading, hint = sheet[f"{LABELS}1"], sheet[f"{LABELS}4"]
    heading.value, heading.font = "For this page", style.font(size=11, bold=True)
    hint.value, hint.font, hint.alignment = HINT, style.font(size=9, color=style.QUIET), style.WRAP
    sheet.merge_cells(f"{LABELS}4:{TYPED}4")
    formats = {DATE: date_format(units), PRICE: style.FIGURE}
    for (key, row), label in zip(TYPED_ROWS.items(), TYPED_LABELS, strict=True):
        sheet[f"{LABELS}{row}"], cell = label, sheet[f"{TYPED}{row}"]
        sheet[f"{LABELS}{row}"].font = cell.font = style.font()
        cell.value, cell.number_format, cell.alignment = typed.get(key), formats[key], style.LEFT  # type: ignore[assignment]
    area = f"{TYPED}{min(TYPED_ROWS.values())}:{TYPED}{max(TYPED_ROWS.values())}"
    style.cream(sheet, area)
    show_fractions(sheet, [f"{TYPED}{TYPED_ROWS[PRICE]}"])


def write_head(sheet: Worksheet, units: Units, date: str, last: str, at: Alignment) -> None:
    """Give the head of a page its look: the yard's name and the date, its address and phone, its own line.

    Args:
        sheet: The page.
        units: The workbook's units.
        date: The column of the date.
        last: The page's last column.
        at: How the date stands.
    """
    for row, size, color, height in (
        (1, 15, style.GLANCE_BAND.band, 22),
        (2, 10, style.INK, 15),
        (3, 10, style.QUIET, 17),
    ):
        cell = sheet[f"B{row}"]
        cell.font, cell.alignment = style.font(size=size, bold=row == 1, italic=row == 3, color=color), SHRUNK
        sheet.merge_cells(f"B{row}:{'D' if row == 1 else last}{row}")
        sheet.row_dimensions[row].height = height
    day = sheet[f"{date}1"]
    day.font, day.alignment, day.number_format = style.font(), at, date_format(units)


def date_format(units: Units) -> str:
    """How the date is shown: month, day and year in the US."""
    return "mmmm d, yyyy" if units.name == "us" else style.DATE
