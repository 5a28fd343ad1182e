"""Entry check: what is wrong with what was typed in a row, in words, and what is not likely.

Refused, so that results go without it: a number, share, date or word that is none, an error, an option that the Options
sheet does not hold, and lengths and years of ``LIKELY`` marked so, where nothing but a slip explains the figure.
Named, but used all the same: other figures outside ``LIKELY``, and two figures that do not go together. Which of the
two is wrong cannot be told, and the checks that they fail are not to be hidden.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from tarelot.calc.cells.expression import Cell, Cells, Expression, Places, lift
from tarelot.calc.cells.spreadsheet import (
    AND,
    COUNT,
    FIND,
    FIXED,
    IF,
    IFERROR,
    INT,
    ISERROR,
    ISTEXT,
    LOWER,
    MAX,
    MID,
    OR,
    SUM,
    TRIM,
)
from tarelot.calc.cells.values import Values
from tarelot.calc.vin import USUAL_LATEST_YEAR
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.lot.column import Input
from tarelot.workbook_templates.lot.columns import inputs

LONGEST = 9_999
REFUSED = "Not a number above 0, or not what belongs there"
FIRST_DAY = 29_221
"""1980-01-01 as a spreadsheet counts days."""
MOST_WEIGHT_LB = 1_000_000


@dataclass(frozen=True)
class Likely:
    """What a figure is on any trailer.

    Attributes:
        key: The figure.
        least, greatest: Its bounds in US units.
        unit: ``weight``, ``short``, ``long``, or empty for a bare number.
        below, above: What has likely happened to a figure beyond them.
        refused: Whether results go without such a figure.
    """

    key: str
    least: float
    greatest: float
    unit: Literal["weight", "short", "long", ""]
    below: str
    above: str
    refused: bool = False


@dataclass(frozen=True)
class Together:
    """What share of another figure a figure is on any trailer, and what has likely happened beyond it."""

    words: str
    figure: Expression
    other: Expression
    known: tuple[str, ...]
    least: float
    greatest: float
    below: str
    above: str


# Common practice, no source: from what trailers of the trade look like. The latest year is the last that the letters
# of a VIN tell apart today: "next year" would need a function that calculates anew on every opening.
LIKELY = (
    Likely("deck_length", 8, 60, "long", "a digit missing?", "{short}?", refused=True),
    Likely("deck_height", 10, 60, "short", "{long}?", "a digit too many?", refused=True),
    Likely("ramp_length", 24, 180, "short", "{long}?", "a digit too many?", refused=True),
    Likely("width", 60, 144, "short", "{long}?", "a digit too many?"),
    Likely("axle_rating", 2_000, 30_000, "weight", "a digit missing?", "all axles together?"),
    Likely("model_year", 1950, USUAL_LATEST_YEAR, "", "two digits?", "a digit too many?", refused=True),
)
_OF_AXLES = Cell("axles") * Cell("axle_rating")
_OF_TIRES = Cell("tires") * Cell("tire_rating")
TOGETHER = (
    Together(
        "Empty weight {} % of GVWR",
        *(Cell("empty"), Cell("gvwr"), ("gross_limit", "empty"), 0.15, 0.6),
        *("a digit missing?", "GVWR too low?"),
    ),
    Together(
        "Empty pin {} % of the empty weight",
        *(Cell("empty_pin"), Cell("empty"), ("empty_pin", "empty"), 0.05, 0.4),
        *("a digit missing?", "a digit too many?"),
    ),
    Together(
        "GVWR {} % of the axles",
        *(Cell("gvwr"), _OF_AXLES, ("gross_limit", "axle_group"), 0.85, 1.35),
        *("all axles typed for one?", "an axle missing?"),
    ),
    Together(
        "Tires {} % of the axle rating",
        *(_OF_TIRES, Cell("axle_rating"), ("axle_group", "tires", "tire_rating"), 0.7, 2),
        *("tires missing?", "all tires typed for one?"),
    ),
)
WORDS = {"{short}": {"in": "inches", "mm": "millimeters"}, "{long}": {"ft": "feet", "m": "meters"}}


class OfOneCell(Expression):
    """An expression over one cell that remembers what it came to: trailers of a lot share most of their figures."""

    __slots__ = ("_found", "expression", "key")
    most = 5_000

    def __init__(self, key: str, expression: Expression) -> None:
        self.key, self.expression = key, expression
        self._found: dict[tuple[type, object], Values] = {}

    def text(self, places: Places) -> str:
        """The expression's."""
        return self.expression.text(places)

    def work_out(self, cells: Cells) -> Values:
        """The expression's value; it raises nothing, whatever the cell holds."""
        cell = cells[self.key]
        known = type(cell), cell
        if known not in self._found:
            if len(self._found) >= self.most:
                self._found.clear()
            self._found[known] = self.expression.work_out(cells)
        return self._found[known]

    def keys(self) -> set[str]:
        """The expression's."""
        return self.expression.keys()


def bounds(units: Units) -> dict[str, float]:
    """The bounds of ``LIKELY`` in a workbook's units, by key and end."""
    factor = {"weight": units.weight_per_pound, "short": units.short_per_inch, "": 1.0}
    factor["long"] = 12 * units.short_per_inch / units.short_per_long
    places = {"long": 2}
    return {
        f"{row.key} {end}": round(value * factor[row.unit], places.get(row.unit, 0))
        for row in LIKELY
        for end, value in (("least", row.least), ("greatest", row.greatest))
    }


def entry_expressions(units: Units) -> dict[str, Expression]:
    """The columns of the entry check by key."""
    parts = (
        (Cell("refused"), f"{REFUSED}: "),
        (Cell("unlisted"), "Options not on the Options sheet once, with a weight: "),
        (Cell("doubtful"), ""),
    )
    return {
        "refused": _list(_refused(column) for column in inputs()),
        "doubtful": _list((*_unlikely(units), *map(_apart, TOGETHER), _heavy(units))),
        "entry_check": _list(IF(cell.equals(""), "", f"; {words}" & cell) for cell, words in parts),
    }


def _list(parts: Iterator[Expression] | tuple[Expression, ...]) -> Expression:
    """Texts that begin with ``; ``, without the first one's."""
    first, *more = parts
    for part in more:
        first = first & part
    return MID(first, 3, LONGEST)


def _refused(column: Input) -> Expression:
    """The name of an input whose cell holds what does not belong there; 0 counts as blank."""
    name, cell = column.heading.partition(" (")[0], Cell(column.key)
    test, words = _test(column, cell)
    found = IF(test if column.key in PLAIN_TEXT else IFERROR(test, True), f"; {name}{words}", "")
    return OfOneCell(column.key, found)


PLAIN_TEXT = ("stock", "make", "model")
"""Inputs that take whatever is typed."""


def _test(column: Input, cell: Cell) -> tuple[Expression, str]:
    """Whether an entry does not belong there, and why."""
    if column.key in PLAIN_TEXT:
        return ISERROR(cell), ""
    if column.choices:
        wanted = f"|{'|'.join(column.choices)}|"
        known = ISERROR(FIND("|" & LOWER(TRIM(cell)) & "|", wanted))
        return IF(OR(cell.equals(""), cell.equals(0)), False, known), ": not one of the choices"
    if column.kind == "text":
        return IF(ISTEXT(cell), False, (cell.differs("") * cell.differs(0)) > 0), ": not a text"
    wrong, words = {
        "number": (cell < 0, ""),
        "whole": (OR(cell < 0, cell.differs(INT(cell))), ": not whole"),
        "share": (OR(cell < 0, cell >= 1), ": not below 1"),
        **dict.fromkeys(("from zero", "money"), (cell < 0, "")),
        "date": (AND(cell < FIRST_DAY, cell.differs(0)), ": not a date from 1980 on"),
    }[column.kind]
    return IF(COUNT(cell), wrong, cell.differs("")), words


def _slip(words: str, units: Units) -> str:
    for mark, names in WORDS.items():
        words = words.replace(mark, names.get(units.short, "") or names.get(units.long, ""))
    return words


def _unlikely(units: Units) -> Iterator[Expression]:
    """Each figure outside what trailers have, with the likely slip."""
    names = {column.key: column.heading.partition(" (")[0] for column in inputs()}
    for row in LIKELY:
        cell, least, greatest = (Cell(key) for key in (row.key, f"{row.key} least", f"{row.key} greatest"))
        unit = f" {getattr(units, row.unit)}" if row.unit else ""
        slip = IF(cell < least, _slip(row.below, units), _slip(row.above, units))
        words = f"; {names[row.key]} " & cell & f"{unit}: " & slip
        found = IF(AND(SUM(cell) > 0, OR(cell < least, cell > greatest)), words, "")
        yield OfOneCell(row.key, IFERROR(found, ""))


def _apart(row: Together) -> Expression:
    """Two figures that do not go together, with the likely slip."""
    before, after = row.words.split("{}")
    share = row.figure / row.other
    words = f"; {before}" & FIXED(share * 100, 0, True) & f"{after}: " & IF(share < row.least, row.below, row.above)
    known = COUNT(*map(Cell, row.known)).equals(len(row.known))
    found = IF(OR(share < row.least, share > row.greatest), words, "")
    return IFERROR(IF(AND(known, row.figure > 0), found, ""), "")


def _heavy(units: Units) -> Expression:
    """A weight that no trailer and no part of one has."""
    most = round(MOST_WEIGHT_LB * units.weight_per_pound, -5)
    weights = [Cell(column.key) for column in inputs() if "{weight}" in column.heading]
    words = f"; a weight above {most:,.0f} {units.weight}: a digit too many?"
    return IFERROR(IF(MAX(*weights) > lift(most), words, ""), "")
