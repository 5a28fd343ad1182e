"""What slips into lists: totals that are no trailers, names in another writing, words for a blank."""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Mapping

from tarelot.workbook_templates.lists.quantities import Value, is_blank

_WHICH, _WORDS = r"(?:(?:grand|sub|lot|page)[ -]?)?", r"(?:totals?|sums?|counts?|averages?|avg|mean)"
_TOTAL = re.compile(rf"{_WHICH}{_WORDS}\b.*")
_WHOLE_TOTAL = re.compile(rf"{_WHICH}{_WORDS}(?: of .*)?:?")
_NO_VALUE = {"n/a", "na", "n.a.", "tbd", "tba", "t.b.d.", "-", "--", "---", "call", "call us", "?", "none given"}
_DASHES = str.maketrans(dict.fromkeys("\u2010\u2011\u2012\u2013\u2014\u2212", "-"))
LEAST_SUMMED = 3
"""Figures above a sum; of two, a third trailer may well have the weight of both, and of one the same."""
SAME_SUM = 1e-9
"""A sum's rounding, relative."""


def names_total(key: Value, first: Value) -> bool:
    """Whether the row's name or its first cell says that it is a sum, a count or an average.

    >>> names_total("TOTAL (4 trailers)", ""), names_total("", "Average:"), names_total("1105", "Summit")
    (True, True, False)
    """
    name, first_text = (cell.strip().casefold() if isinstance(cell, str) else "" for cell in (key, first))
    return bool(_TOTAL.fullmatch(name) or _WHOLE_TOTAL.fullmatch(first_text))


class Sums:
    """What the figures of a list's rows come to, column by column, to know a row of sums by."""

    def __init__(self) -> None:
        self._counts: dict[str, int] = {}
        self._sums: dict[str, float] = {}

    def are(self, figures: Mapping[str, float]) -> bool:
        """Whether every figure of a row is the sum of those above it in its column, one of them of several."""
        if max((self._counts.get(name, 0) for name in figures), default=0) < LEAST_SUMMED:
            return False
        return all(math.isclose(figure, self._sums.get(name, 0), rel_tol=SAME_SUM) for name, figure in figures.items())

    def add(self, figures: Mapping[str, float]) -> None:
        """Count a trailer's figures."""
        for name, figure in figures.items():
            self._counts[name] = self._counts.get(name, 0) + 1
            self._sums[name] = self._sums.get(name, 0) + figure


def near(name: str) -> str:
    r"""A stock number or VIN without what people and programs put before, into and behind it.

    Case, spaces of every kind, an apostrophe or ``#`` before it, zeros before it, and ``.0`` behind it.

    >>> near(" 1105"), near("'1105"), near("#1107"), near("01108"), near("1106.0"), near("a 12\u200b")
    ('1105', '1105', '1107', '1108', '1106', 'a12')
    """
    shown = unicodedata.normalize("NFKC", name)
    bare = "".join(sign for sign in shown if not sign.isspace() and unicodedata.category(sign) not in ("Cf", "Cc"))
    bare = bare.casefold().lstrip("'\u2018\u2019`#")
    bare = re.sub(r"^no\.(?=\d)", "", bare)
    bare = re.sub(r"(?<=\d)\.0+$", "", bare)
    return bare.lstrip("0") or bare[-1:]


def says_no_value(cell: Value) -> bool:
    r"""Whether a cell says in a word that there is nothing to say.

    >>> says_no_value("N/A"), says_no_value("TBD"), says_no_value("\u2014"), says_no_value("0")
    (True, True, True, False)
    """
    if is_blank(cell) or not isinstance(cell, str):
        return False
    return " ".join(cell.translate(_DASHES).casefold().split()) in _NO_VALUE
