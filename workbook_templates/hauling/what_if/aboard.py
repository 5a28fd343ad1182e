"""Also aboard, on What-if: up to four more items, each with its figures, and what is said of it.

A figure has the four cells of any other: as Machines has it, typed over, used, and a mark that says which it is. The
block stands below the other figures, so that choices and verdict stay in sight above it.
"""

from __future__ import annotations

from functools import cache

from tarelot.calc.cells.expression import Cell, Expression, Given, lift
from tarelot.calc.cells.spreadsheet import COUNT, FIXED, IF, IFERROR, ISNUMBER, MID, N, joined, listing
from tarelot.calc.rules.aboard.items import (
    ENDS,
    MEASURED,
    MOST_LACKS,
    NUMBERS,
    ON_DECK,
    ON_MACHINE,
    SIZES,
    names_of,
    of,
)
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling.what_if.rows import (
    MACHINE,
    MISSING,
    TYPED,
    Figure,
    doubt,
    figure_rows,
    from_list,
    is_listed_twice,
    listed,
    mark,
    places_in,
    row_of_choice,
    typed,
)
from tarelot.workbook_templates.hauling.words import distance, thousands

C = Cell
GROUP = "Also aboard"
STANDS_ON = (ON_DECK, ON_MACHINE)
BLOCK_ROW = max(figure_rows().values()) + 2
"""The row of the band above the block; rows of words stand below it."""
HINT_ROWS = 3
FIRST_ROW = BLOCK_ROW + HINT_ROWS + 1
SUMMARY, SUMMARY_BAND, LINK = "$F$6", "$F$4", "$F$5"
"""Beside the choices: what is also aboard in words, and what leads to the block."""
NOTHING = "nothing"
"""What is said where nothing is aboard besides, or nothing is wrong."""
SAID = ("stands", "points", "wrong")
"""What is said of an item below its figures."""
LABELS = {"stands": "From the deck's front", "points": "Tie-down points", "wrong": "What is wrong or missing"}
_ROWS = {
    "name": ("Item", "text"),
    "on": ("Stands on", "text"),
    "weight": ("Weight ({weight})", "number"),
    "center": ("Center from the front ({long})", "offset"),
    "length": ("Length ({short})", "number"),
    "width": ("Width ({short})", "number"),
    "height": ("Height ({short})", "number"),
}
_OF_MACHINES = {"weight": "Weight ({weight})", "width": "Width ({short})", "height": "Height ({short})"}
_LENGTH = (
    ("wheelbase", "Wheelbase ({short})"),
    ("front_overhang", "Front overhang ({short})"),
    ("rear_overhang", "Rear overhang ({short})"),
)
"""The columns of Machines that make its length."""
WRONG_ROWS = 2
"""Rows that hold what is wrong with an item, the last of what is said of it."""
EACH = len(_ROWS) + len(SAID) - 1 + WRONG_ROWS + 2
"""Rows of an item with its band and the empty row below."""


def group(number: int) -> str:
    """What the band of an item says."""
    return f"{GROUP} {number}"


def members(number: int) -> list[Figure]:
    """The figures of an item; the heading is empty where Machines has none of that kind."""
    return [Figure(of(number, what).key, group(number), "", label, kind) for what, (label, kind) in _ROWS.items()]


FIGURES: tuple[Figure, ...] = tuple(figure for number in NUMBERS for figure in members(number))
GROUPS = tuple(map(group, NUMBERS))


def band_row(number: int) -> int:
    """The row of an item's band."""
    return FIRST_ROW + (number - 1) * EACH


@cache
def rows() -> dict[str, int]:
    """The row of each figure of each item, by its key."""
    found = {}
    for number in NUMBERS:
        for row, figure in enumerate(members(number), band_row(number) + 1):
            found[figure.key] = row
    return found


def name_cells() -> list[str]:
    """The cells in which items are chosen or named."""
    return [f"H{rows()[of(number, 'name').key]}" for number in NUMBERS]


@cache
def said_rows() -> dict[str, int]:
    """The rows of what is said of each item, by key."""
    return {
        of(number, what).key: band_row(number) + 1 + len(_ROWS) + place
        for number in NUMBERS
        for place, what in enumerate(SAID)
    }


def last_row() -> int:
    """The last row of the block."""
    return max(said_rows().values()) + WRONG_ROWS - 1


def places() -> dict[str, str]:
    """The cell of every key of the block, on the sheet itself."""
    found = places_in(rows()) | {key: f"$G${row}" for key, row in said_rows().items()}
    return found | {"aboard summary": SUMMARY}


def _name(number: int) -> Cell:
    """The cell in which an item is chosen or named."""
    return typed(of(number, "name").key)


def _row(number: int) -> Cell:
    """Its row of Machines; blank, or words, where it is not of them."""
    return Cell(f"row of item {number}")


@cache
def values(units: Units) -> dict[str, Expression]:
    """What stands behind the block, by key: rows of Machines, doubts of their entries, clearances typed over."""
    found: dict[str, Expression] = {}
    for number in NUMBERS:
        found[_row(number).key] = row_of_choice(MACHINE, _name(number))
        found[of(number, "doubt").key] = _doubt(number, units)
    over = {MEASURED.format(end=end): typed(f"{end}_clearance") for end in ENDS}
    return found | {key: IF(ISNUMBER(clearance), clearance, "") for key, clearance in over.items()}


def _doubt(number: int, units: Units) -> Expression:
    """What the list says of its entries, where a figure is taken from there."""
    own = [typed(of(number, size).key) for size in SIZES]
    twice = IF(is_listed_twice(MACHINE, _name(number)), "stands on Machines twice", doubt(MACHINE, _row(number), units))
    return IF(ISNUMBER(_row(number)), IF(COUNT(*own).equals(len(own)), "", twice), "")


@cache
def expressions(units: Units) -> dict[str, Expression]:
    """What the cells of the block say, by key; what is typed is typed."""
    found: dict[str, Expression] = {}
    for number in NUMBERS:
        for what in _ROWS:
            key = of(number, what).key
            found[listed(key).key] = _listed(number, what, units)
            found[key] = IF(typed(key).differs(""), typed(key), listed(key))
            stands = IF(listed(key).differs(""), "proposed" if what == "on" else "list", _lacking(number, what))
            found[mark(key).key] = IF(typed(key).differs(""), TYPED, stands)
        found[of(number, "stands").key] = _stands(number, units)
        found[of(number, "points").key] = _if_there(number, of(number, "ties"))
        found[of(number, "wrong").key] = _if_there(number, _wrong(number, units))
    return found | {"aboard summary": _summary(units)}


def _if_there(number: int, said: Given) -> Expression:
    return IFERROR(IF(of(number, "there").equals(1), said, ""), "check figures")


def _listed(number: int, what: str, units: Units) -> Expression:
    """A figure as Machines has it; its length from end to end."""
    row = _row(number)
    if what == "on":
        return lift(ON_DECK)
    if what in _OF_MACHINES:
        return from_list(Figure(what, MACHINE, _OF_MACHINES[what]), row, units)
    if what == "length":
        between, ahead, behind = (from_list(Figure(key, MACHINE, heading), row, units) for key, heading in _LENGTH)
        return IFERROR(between + ahead + behind, "")
    return lift("")


def _lacking(number: int, what: str) -> Given:
    return "" if what == "name" else IF(of(number, "there").equals(1), MISSING, "")


def _stands(number: int, units: Units) -> Expression:
    """Where its ends stand on the deck."""
    front, rear = (distance(of(number, end) / units.short_per_long, units) for end in ("front", "rear"))
    on_deck = IF(ISNUMBER(of(number, "rear")), front & " to " & rear, "")
    return _if_there(number, IF(of(number, "on_machine").equals(1), "on the machine", on_deck))


def _by(number: int, what: str, words: str, units: Units) -> Expression:
    """Words about an amount that is above 0."""
    amount = of(number, what)
    return IF(N(amount) > 0, f"; {words} by " & FIXED(amount, 1) & f" {units.short}", "")


def _wrong(number: int, units: Units) -> Expression:
    """What is wrong with its place, and what it needs."""
    lacks = of(number, "lacks")
    said = listing(
        [
            _by(number, "off_deck", "off the level deck", units),
            _by(number, "too_wide", "wider than the deck", units),
            _by(number, "in_other", "where another stands,", units),
            _by(number, "in_machine", "in the machine's way", units),
            IF(lacks.equals(""), "", "; needs " & MID(lacks, 3, MOST_LACKS)),
        ]
    )
    return IF(said.equals(""), NOTHING, said)


def _summary(units: Units) -> Expression:
    """What is also aboard, and how much more it weighs."""
    weight = IF(weighs(units).equals(""), "not all known: see there", weighs(units) & " more, counted in every answer")
    return IFERROR(IF(C("items").equals(0), NOTHING, joined([names(), ": ", weight, "."])), "check figures")


def names() -> Expression:
    """The names of what is also aboard, ``; `` between."""
    return names_of(lambda number: of(number, "there").equals(1))


def weighs(units: Units) -> Expression:
    """What all of it weighs, blank where that is not known."""
    on_deck, on_machine = C("items_weight"), C("items_on_machine")
    known = COUNT(on_deck, on_machine).equals(2)
    return IF(known, thousands(on_deck + on_machine) & f" {units.weight}", "")
