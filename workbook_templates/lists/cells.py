"""Cells of a list, read as the lot's columns hold them: by the column's kind, words and text among them."""

from __future__ import annotations

import datetime
import math
import re
from collections.abc import Callable, Sequence

from tarelot.workbook_templates.lists.dates import DateOrder, read_date
from tarelot.workbook_templates.lists.quantities import (
    Decimal,
    QuantityError,
    Value,
    read_money,
    read_quantity,
    read_whole,
    tidy,
)

# Other ways to write an allowed value. Terms of the trade: common practice, no source.
CHOICE_SYNONYMS: dict[str, str] = {
    **dict.fromkeys(("gn", "goose neck", "gooseneck hitch", "gooseneck coupler"), "gooseneck"),
    **dict.fromkeys(("bp", "bumper pull", "bumper", "ball coupler", "ball hitch", "2 5 16 ball"), "ball"),
    **dict.fromkeys(("pintle eye", "pintle ring", "pintle hitch", "pintle hook"), "pintle"),
    **dict.fromkeys(("lunette", "lunette eye", "lunette ring"), "pintle"),
    "deck over": "deckover",
    "lowdeck": "low deck",
    **dict.fromkeys(("tilt deck", "tilt bed", "tiltbed"), "tilt"),
    **dict.fromkeys(("low bed", "lowboy", "low boy"), "lowbed"),
    "ordered": "on order",
    **dict.fromkeys(("in stock", "stock"), "on lot"),
    **dict.fromkeys(("on hold", "hold"), "reserved"),
}


def read_choice(value: Value, choices: Sequence[str]) -> str:
    """The one of `choices` that is meant: itself in any case, spacing and hyphens, or a synonym of the trade.

    Raises:
        QuantityError: None of them.

    >>> read_choice("GN", ["pintle", "ball", "gooseneck"]), read_choice("On-Lot", ["on order", "on lot"])
    ('gooseneck', 'on lot')
    """
    expected = f"one of {', '.join(choices)}"
    words = _words(tidy(value, expected))
    by_words = {_words(choice.lower()): choice for choice in choices}
    chosen = by_words.get(words) or by_words.get(CHOICE_SYNONYMS.get(words, ""))
    if chosen is None:
        raise QuantityError(value, "is not known", expected)
    return chosen


def read_value(
    value: Value,
    kind: str,
    *,
    unit: str = "",
    choices: Sequence[str] = (),
    decimal: Decimal | None = None,
    bare_unit: str | None = None,
    order: DateOrder | None = None,
) -> str | float | datetime.date:
    """A cell as a column of the lot holds it; a blank cell is for the caller (`is_blank`).

    Args:
        value: The cell.
        kind: The column's kind: ``text``, ``whole``, ``number``, ``from zero``, ``share``, ``date`` or ``money``.
        unit: Its unit, for a number.
        choices: The words allowed, for a text.
        decimal: The list's decimal mark, if it is known.
        bare_unit: The unit in the list's heading, if it names one.
        order: Which of day and month comes first in the list, if it is known.

    Raises:
        QuantityError: The cell does not hold such a value.
        KeyError: No such kind.
    """
    readers: dict[str, Callable[[], str | float | datetime.date]] = {
        "text": lambda: read_choice(value, choices) if choices else read_text(value),
        "whole": lambda: read_whole(value, decimal=decimal),
        **dict.fromkeys(
            ("number", "from zero"), lambda: read_quantity(value, unit, decimal=decimal, bare_unit=bare_unit)
        ),
        "share": lambda: read_quantity(value, "", decimal=decimal, bare_unit=bare_unit),
        "date": lambda: read_date(value, order=order),
        "money": lambda: read_money(value, decimal=decimal),
    }
    return readers[kind]()


def _words(text: str) -> str:
    return " ".join(re.findall(r"\w+", text))


def read_text(value: Value) -> str:
    """A cell of a text column, as a person sees it: numbers without a needless `.0`, text as it stands, ends trimmed.

    Raises:
        QuantityError: A date or time (a spreadsheet program may have made it out of text such as 5-10), or a number of
            so many digits that the spreadsheet has already lost some.

    >>> read_text(1042.0), read_text("0042"), read_text("=1+1")
    ('1042', '0042', '=1+1')
    """
    if isinstance(value, str):
        return value.strip()
    if isinstance(value, bool):
        return str(value).upper()
    if isinstance(value, (int, float)) and math.isfinite(value):
        if abs(value) >= 1e15:  # spreadsheets keep 15 digits
            raise QuantityError(value, "is a number too long for a spreadsheet, its last digits are lost", "text")
        return str(int(value)) if value == int(value) else repr(float(value))
    raise QuantityError(value, f"is a {type(value).__name__}", "text")
