"""What slips into lists: totals that are no trailers, names in another writing, words for a blank."""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Mapping, Sequence

from tarelot.workbook_templates.lists.quantities import Value, is_blank

_WHICH = r"(?:(?:grand|sub|lot|page|list|report|sous)[ -]?)?"
_WORDS = r"(?:totals?|totaux|sums?|somme|suma|counts?|averages?|avg|mean|moyenne|promedio)"
_CARRIED = r"(?:(?:carried|brought) forward|carry forward|balance(?: forward)?|[bc][/.]?f\.?)"
_SHORT = r"(?:ttls?|ave|max(?:imum)?|min(?:imum)?|median|[\u00f8\u03c3\u2211])"
_TOTAL = re.compile(
    rf"{_WHICH}{_WORDS}\b.*|.*\b(?:sub-?)?totals?\W*|(?:{_CARRIED}|{_SHORT})\W*"
    r"|(?:(?:no\.?|number) of )?(?:trailers|units|items|records|rows) ?[:=]? ?[0-9]+"
)
"""Of a name: sums and counts in the languages of North America, and what accounts and programs write short."""
_WHOLE_TOTAL = re.compile(rf"{_WHICH}{_WORDS}(?: of .*)?\W*|.*\b(?:sub-?)?totals?\W*")
_ANY_TOTAL = re.compile(r"(?:grand |sub-?|page )?totals?:?")
_NO_VALUE = {
    *("n/a", "na", "n.a.", "not available", "tbd", "tba", "tbc", "t.b.d.", "-", "--", "---", "?", "none given"),
    *("call", "call us", "call for price", "call for pricing", "price on request", "on request", "poa", "unknown"),
}
_CALLED = re.compile(r"^(?:stock|stk|unit|no|nr|number|[.#:])+(?=\W*\d)")
"""What a number is called by, before it."""
_AROUND = re.compile(r"^[\W_]+|[\W_]+$")
"""Quotation marks, brackets and what points to a note."""
_TEXT_FORMULA = re.compile(r'="([^"]*)"')
_POWER_OF_TEN = re.compile(r"[0-9](?:[.,][0-9]+)?[eE]\+[0-9]+")
"""As spreadsheet programs show long numbers."""
_DASHES = str.maketrans(dict.fromkeys("\u2010\u2011\u2012\u2013\u2014\u2212", "-"))
MOST_WORDS = 3
"""Of a name; a line of prose in its column has more."""
LEAST_SUMMED = 3
"""Figures above a sum; of two, a third trailer may well have the weight of both, and of one the same."""
SAME_SUM = 1e-9
"""A sum's rounding, relative."""


def names_total(key: Value, cells: Sequence[Value]) -> bool:
    """Whether the row's name, or a cell of it, says that it is a sum, a count or an average.

    >>> names_total("TOTAL (4 trailers)", []), names_total("", ["Average:"]), names_total("1105", ["Summit"])
    (True, True, False)
    >>> names_total("Corvane Total", []), names_total("2", ["", "Total"]), names_total("1105", ["Max Trailers"])
    (True, True, False)
    """
    if isinstance(key, str) and _TOTAL.fullmatch(" ".join(key.casefold().split())):
        return True
    first = next((cell for cell in cells if not is_blank(cell)), "")
    if isinstance(first, str) and _WHOLE_TOTAL.fullmatch(first.strip().casefold()):
        return True
    return any(_ANY_TOTAL.fullmatch(cell.strip().casefold()) for cell in cells if isinstance(cell, str))


class Sums:
    """What the figures of a list's rows come to, column by column, to know a row of sums by.

    Of all trailers, and of those since the last sum, for lists that have one below each group.
    """

    def __init__(self) -> None:
        self._whole: dict[str, tuple[int, float]] = {}
        self._group: dict[str, tuple[int, float]] = {}

    def are(self, figures: Mapping[str, float], price: str) -> bool:
        """Whether a row holds the sums of those above it, and is no trailer.

        Args:
            figures: The row's figures by heading.
            price: The heading of prices. They are odd enough that one which is the sum of those above is no chance; of
                weights and counts every one has to be.
        """
        for above in (self._group, self._whole):
            matching = {
                name for name in figures if math.isclose(figures[name], above.get(name, (0, 0.0))[1], rel_tol=SAME_SUM)
            }
            summed = {name for name in matching if above.get(name, (0, 0.0))[0] >= LEAST_SUMMED}
            if summed and (len(matching) == len(figures) or price in summed):
                return True
        return False

    def add(self, figures: Mapping[str, float]) -> None:
        """Count a trailer's figures."""
        for sums in (self._whole, self._group):
            for name, figure in figures.items():
                count, total = sums.get(name, (0, 0.0))
                sums[name] = count + 1, total + figure

    def end_group(self) -> None:
        """Begin a new group: a sum stands here."""
        self._group = {}


def near(name: str) -> str:
    r"""A stock number or VIN without what people and programs put before, into and behind it.

    Case, spaces of every kind, signs around it, the words that it is called by and zeros before it, ``.0`` behind it.

    >>> near(" 1105"), near("'1105"), near("#1107"), near("01108"), near("1106.0"), near("a 12\u200b")
    ('1105', '1105', '1107', '1108', '1106', 'a12')
    >>> near("Stk #1105"), near("[1105]*"), near("1105."), near("1105-2"), near("stock")
    ('1105', '1105', '1105', '1105-2', 'stock')
    """
    shown = unicodedata.normalize("NFKC", name)
    bare = "".join(sign for sign in shown if not sign.isspace() and unicodedata.category(sign) not in ("Cf", "Cc"))
    bare = _CALLED.sub("", bare.casefold())
    bare = _AROUND.sub("", bare) or bare
    bare = re.sub(r"(?<=\d)\.0+$", "", bare)
    return bare.lstrip("0") or bare[-1:]


def unwrapped(cell: Value) -> Value:
    """The text in a formula that is nothing but a text: programs write ="0420" so that others keep the zero.

    >>> unwrapped('="0420"'), unwrapped("=1+1"), unwrapped(5.0)
    ('0420', '=1+1', 5.0)
    """
    found = _TEXT_FORMULA.fullmatch(cell.strip()) if isinstance(cell, str) else None
    return found[1] if found else cell


def no_name(cell: Value) -> str:
    """Why a cell is no stock number or VIN, though it is filled; empty where it may be one.

    >>> no_name("1.1E+03"), no_name("=A2"), no_name("1E5"), no_name("1105")
    ('is a number whose digits were cut off (format the column as text)', 'is a formula', '', '')
    """
    if isinstance(cell, bool) or (isinstance(cell, str) and cell.strip().casefold() in ("true", "false")):
        return "is a truth value"
    if isinstance(cell, str) and _POWER_OF_TEN.fullmatch(cell.strip()):
        return "is a number whose digits were cut off (format the column as text)"
    if isinstance(cell, str) and cell.strip().startswith("="):
        return "is a formula"
    if len(str(cell).split()) > MOST_WORDS:
        return "is a sentence"
    return "is zero" if not str(cell).strip(" 0.") else ""


def says_no_value(cell: Value) -> bool:
    r"""Whether a cell says in a word that there is nothing to say.

    >>> says_no_value("N/A"), says_no_value("TBD"), says_no_value("\u2014"), says_no_value("0")
    (True, True, True, False)
    """
    if is_blank(cell) or not isinstance(cell, str):
        return False
    return " ".join(cell.translate(_DASHES).casefold().split()) in _NO_VALUE
