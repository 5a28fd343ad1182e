"""What the Compare sheet shows of each trailer, a literal row a line, and what is said where trailers differ."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from tarelot.calc.rules.hauling_rule import NO, NOT_SURE, YES
from tarelot.workbook_templates.hauling.match.columns import LISTED
from tarelot.workbook_templates.lot.columns import COLUMNS, STATUSES

COUNT = 4
"""How many trailers stand side by side."""
End = Literal["least", "most"]
LEAST: End = "least"
MOST: End = "most"
GVWR, NO_CONFLICT = "GVWR", "none"
"""Words that the Lot says: what limits, and that nothing conflicts."""
Unit = Literal["", "weight", "short", "long", "degrees"]


@dataclass(frozen=True)
class Amount:
    """How figures differ: which trailer is foremost, and by how much against the other end.

    Attributes:
        words: What the foremost is.
        more: How it differs from the last.
        unit: Of the figures.
        foremost: Whether the least figure is the foremost, or the most.
    """

    words: str
    more: str = "more"
    unit: Unit = "weight"
    foremost: End = MOST


@dataclass(frozen=True)
class Sorted:
    """How words differ: which trailers say what.

    Attributes:
        said: A word of the line, and what is said before the trailers that say so.
        of_all: What is said where all say so, in the same order.
        otherwise: What is said where none says any of these words, and each says another.
        are_all: Whether these are all the words there are, so that another one tells nothing.
    """

    said: dict[str, str]
    of_all: tuple[str, ...]
    otherwise: str = ""
    are_all: bool = False


@dataclass(frozen=True)
class Line:
    """A line of the sheet.

    Attributes:
        key: That of a column of the Lot, or of Match.
        label: What it is called, with units to be filled in.
        kind: Of what it shows, as the Lot has it; ``words`` are wrapped.
        differs: What is said where trailers differ.
        most: Letters of words that have room; what is longer stands on Match.
    """

    key: str
    label: str
    kind: str
    differs: Amount | Sorted | None = None
    most: int = 0


_COLUMNS = {column.key: column for column in COLUMNS}


def _of_lot(key: str, differs: Amount | Sorted | None = None) -> Line:
    return Line(key, _COLUMNS[key].heading, _COLUMNS[key].kind, differs)


def _of_match(key: str, differs: Amount | Sorted | None = None, most: int = 0) -> Line:
    column = next(column for column in LISTED if column.key == key)
    return Line(key, column.heading, column.kind, differs, most)


LINES: tuple[Line, ...] = (
    Line("trailer", "Trailer", "text"),
    _of_lot(
        "status",
        Sorted(
            dict(zip(STATUSES, ("on order: ", "on the lot now: ", "reserved: ", "sold: "), strict=True)),
            ("all on order", "all on the lot now", "all reserved", "all sold"),
            are_all=True,
        ),
    ),
    _of_lot("price", Amount("lowest price: ", "less", "", LEAST)),
    _of_match(
        "word",
        Sorted(
            {YES: "carries it: ", NOT_SURE: "not sure: ", NO: "does not: "},
            ("all carry it", "not sure of any", "none carries it"),
        ),
    ),
    _of_match("spare", Amount("most to spare: ")),
    _of_lot("gvwr", Amount("highest GVWR: ")),
    _of_lot("empty", Amount("lightest empty: ", "less", "weight", LEAST)),
    _of_lot("payload", Amount("most payload: ")),
    _of_lot("safe_payload", Amount("safely carries most: ")),
    _of_lot(
        "limited_by",
        Sorted({GVWR: "by the GVWR: "}, ("by the GVWR on all",), "by a part weaker than the GVWR on each"),
    ),
    _of_lot("pin_weight", Amount("least on the hitch: ", "less", "weight", LEAST)),
    _of_lot("axle_group", Amount("strongest axles: ")),
    _of_lot("deck_length", Amount("longest deck: ", "more", "long")),
    _of_lot("deck_width", Amount("widest deck: ", "more", "short")),
    _of_lot("deck_height", Amount("lowest deck: ", "lower", "short", LEAST)),
    _of_lot("ramp_length", Amount("longest ramp: ", "more", "short")),
    _of_lot("ramp_angle", Amount("gentlest ramp: ", "less", "degrees", LEAST)),
    _of_lot("points", Amount("most tie-downs: ", "more", "")),
    _of_lot(
        "conflicts",
        Sorted({NO_CONFLICT: "no conflict: "}, ("no conflict on any",), "something to look at on each"),
    ),
    _of_match("why", most=300),
    _of_match("enough_said", most=240),
    _of_match("lacking", most=240),
    _of_match("minded", most=270),
)
FROM_MATCH = ("word", "spare", "why", "enough_said", "lacking", "minded")
"""Lines whose column is Match's "... of row"."""
WORDS = tuple(line for line in LINES if line.kind == "words")
RANKED = tuple(line for line in LINES if isinstance(line.differs, Amount))
OF_ANY = "price"
"""The ranked line that stands by itself: what the entry check doubts of a trailer's figures says nothing of it."""
FACTS = tuple(line for line in LINES if line.kind != "words")
