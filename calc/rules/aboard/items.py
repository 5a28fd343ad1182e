"""What stands aboard besides the machine: each item's figures, and trailer and machine as they are with all of them.

An item stands on the deck, its place measured from the deck's front edge; or it is carried on the machine, as a bucket
is, its place measured from the machine's front contact, ahead of that below 0, so that it moves with the machine.

With items on its deck a trailer is one that weighs more, empty, with another pin: the rules are asked as they are, with
``empty`` and ``empty_pin`` of the trailer with its items. A machine with items on it weighs more, has its center and
its ends elsewhere. What either has alone stands under ``<key>_alone``. Without items all are as they are alone.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

from ...cells.expression import Cell, Expression, Given, Registered
from ...cells.spreadsheet import (
    AND,
    COUNT,
    IF,
    IFERROR,
    INT,
    ISNUMBER,
    MAX,
    MID,
    MIN,
    OR,
    ROUND,
    SUM,
    N,
    joined,
    listing,
)
from ..entries import Renamed
from ..hauling import EXPRESSIONS
from ..hauling_figures import PLACES, C, added, is_word, usable
from ..hauling_weights import INCHES_IN_A_FOOT

MOST = 4
NUMBERS = range(1, MOST + 1)
ON_DECK, ON_MACHINE = "deck", "machine"
"""Where an item stands."""
SIZES = ("weight", "length", "width", "height")
"""Figures of an item that are above 0."""
FIGURES = ("name", "on", *SIZES, "center", "doubt")
"""What is asked of an item: names of its cells. ``doubt`` is what the list that it is from says of its entries."""
ALONE = (
    *("empty", "empty_pin", "weight", "to_center"),
    *("front_overhang", "rear_overhang", "front_clearance", "rear_clearance"),
)
"""Figures of trailer and machine that items change."""
ENDS = ("front", "rear")
MEASURED = "{end}_clearance_measured"
"""The clearance of an end as it was measured with what is on the machine; blank where it was not."""


def of(number: int, what: str) -> Cell:
    """A cell of an item."""
    return Cell(f"item_{number}_{what}")


def every(what: str) -> list[Cell]:
    """That cell of all items."""
    return [of(number, what) for number in NUMBERS]


def alone(key: str) -> str:
    """The key of a figure without the items."""
    return f"{key}_alone"


AS_ALONE = {key: alone(key) for key in ALONE}


def usable_alone(*keys: str) -> Expression:
    """Whether these figures can be used, of trailer and machine without the items."""
    return Renamed(usable(keys), AS_ALONE)


def _stated(number: int, *figures: str) -> Expression:
    """Whether an item's figures are numbers, and above 0 where they have to be."""
    cells = [of(number, figure) for figure in figures]
    numbers = COUNT(*cells).equals(len(cells))
    sizes = [cell for cell, figure in zip(cells, figures, strict=True) if figure in SIZES]
    return AND(numbers, MIN(*sizes) > 0) if sizes else numbers


def _where(number: int, place: str, figures: Iterable[str], amount: Given, elsewhere: Given = 0) -> Expression:
    """An amount of an item that stands there; blank where that, or a figure of it, is not known."""
    here = of(number, place)
    known = IF(here.equals(1), IF(_stated(number, *figures), amount, ""), elsewhere)
    return IFERROR(IF(ISNUMBER(here), known, ""), "")


def of_each(what: str, amount: Callable[[int], Expression]) -> dict[str, Expression]:
    """That cell of all items, by key."""
    return {of(number, what).key: amount(number) for number in NUMBERS}


def names_of(is_meant: Callable[[int], Expression]) -> Expression:
    """The names of the items of which something is so, ``; `` between."""
    return listing(IF(is_meant(number), "; " & of(number, "called"), "") for number in NUMBERS)


def _total(what: str) -> Expression:
    """The sum over the items, blank where one is not known."""
    return IF(COUNT(*every(what)).equals(MOST), SUM(*every(what)), "")


def _greatest(what: str, count: str, otherwise: Given = "") -> Expression:
    """The greatest of the items that have one, blank unless it is known of so many."""
    cells = every(what)
    return IF(N(C(count)) > 0, IF(COUNT(*cells).equals(C(count)), MAX(*cells), ""), otherwise)


def _is_on(number: int, place: str, other: str) -> Expression:
    word = f"item_{number}_on"
    named = IF(is_word(word, place), 1, IF(is_word(word, other), 0, ""))
    return IF(of(number, "there").equals(1), named, 0)


def _pin(number: int) -> Expression:
    """What an item on the deck puts on the hitch: the pin with it, less the empty pin."""
    beam = (C(alone("empty")), C(alone("empty_pin")), C("to_axles"))
    place = C("to_deck") + of(number, "center")
    with_it = Registered("LOT_PIN_AT", *beam, of(number, "weight"), place, guarded=False)
    known = AND(usable_alone("empty", "empty_pin"), usable(("to_axles", "to_deck")), place >= 0)
    return IF(known, with_it - C(alone("empty_pin")), "")


def _center(number: int) -> Expression:
    """The place of an item's center, in the short unit."""
    return of(number, "center") * C("per_long")


def _half(number: int) -> Expression:
    return of(number, "length") / 2


def _along(place: str, number: int, end: Expression) -> Expression:
    """An end of an item that stands there; blank elsewhere."""
    return _where(number, place, ("center", "length"), end, "")


def _behind_contacts(number: int) -> Expression:
    """How far an item on the machine reaches behind the machine's contacts."""
    return IF(usable(("wheelbase",)), _center(number) + _half(number) - C("wheelbase"), "")


def _ties(number: int) -> Expression:
    """How many of the trailer's points an item takes; one where it is carried on the machine (393.130(b))."""
    count = Registered(
        "LOT_TIEDOWN_COUNT",
        of(number, "weight") / C("per_pound"),
        of(number, "length") / (INCHES_IN_A_FOOT * C("per_inch")),
        None,
        "machine",
        guarded=False,
    )
    taken = MAX(count, strong_enough(of(number, "weight")))
    return _where(number, "on_deck", ("weight", "length"), taken, N(of(number, "there")))


def strong_enough(weight: Expression) -> Expression:
    """How many points hold a weight by their rating: a direct tie counts half, half the weight is needed."""
    return IF(usable(("point_rating",)), 0 - INT(0 - ROUND(weight / C("point_rating"), PLACES)), 0)


_NAMED = ("name", *SIZES, "center")

ITEMS: dict[str, Expression] = {
    **of_each("there", lambda number: IF(OR(*(of(number, what).differs("") for what in _NAMED)), 1, 0)),
    **of_each("called", lambda number: IF(of(number, "name").equals(""), f"item {number}", of(number, "name"))),
    **of_each("on_deck", lambda number: _is_on(number, ON_DECK, ON_MACHINE)),
    **of_each("on_machine", lambda number: _is_on(number, ON_MACHINE, ON_DECK)),
    **of_each("deck_weight", lambda number: _where(number, "on_deck", ("weight",), of(number, "weight"))),
    **of_each("machine_weight", lambda number: _where(number, "on_machine", ("weight",), of(number, "weight"))),
    **of_each("pin", lambda number: _where(number, "on_deck", ("weight", "center"), _pin(number))),
    **of_each(
        "moment",
        lambda number: _where(number, "on_machine", ("weight", "center"), of(number, "weight") * _center(number)),
    ),
    **of_each("front", lambda number: _along("on_deck", number, _center(number) - _half(number))),
    **of_each("rear", lambda number: _along("on_deck", number, _center(number) + _half(number))),
    **of_each("front_reach", lambda number: _along("on_machine", number, _half(number) - _center(number))),
    **of_each("rear_reach", lambda number: _along("on_machine", number, _behind_contacts(number))),
    **of_each("wide", lambda number: _where(number, "there", ("width",), of(number, "width"), "")),
    **of_each("deck_wide", lambda number: _where(number, "on_deck", ("width",), of(number, "width"), "")),
    **of_each("high", lambda number: _where(number, "there", ("height",), of(number, "height"), "")),
    **of_each("ties", _ties),
    "items": SUM(*every("there")),
    "deck_items": _total("on_deck"),
    "machine_items": _total("on_machine"),
    "items_weight": _total("deck_weight"),
    "items_on_machine": _total("machine_weight"),
    "items_pin": _total("pin"),
}
"""Each item by itself, in the short unit where it is a length: whether there is one, its weight where it stands, what
it puts on the hitch, its ends, how far it reaches past the machine's contacts, the points that it takes; and sums."""


def _unless_none(count: str, as_alone: Given, with_them: Expression) -> Expression:
    """As it is alone where there are none of these items."""
    return IF(C(count).equals(0), as_alone, with_them)


def _numbers(*keys: str) -> Expression:
    return COUNT(*map(C, keys)).equals(len(keys))


def _with(key: str, more: str, count: str = "items") -> Expression:
    """A figure with what the items add to it."""
    known = AND(usable_alone(key), _numbers(more))
    return _unless_none(count, C(alone(key)), IF(known, C(alone(key)) + C(more), ""))


def _overhang(end: str) -> Expression:
    own, reach = alone(f"{end}_overhang"), f"{end}_reach"
    known = AND(usable_alone(f"{end}_overhang"), _numbers(reach))
    return _unless_none("machine_items", C(own), IF(known, MAX(C(own), C(reach)), ""))


def is_lengthened(end: str) -> Expression:
    """Whether an item reaches past the machine's own end."""
    own, reach = C(alone(f"{end}_overhang")), C(f"{end}_reach")
    return IF(COUNT(own, reach).equals(2), ROUND(reach - own, PLACES) > 0, False)


def _clearance(end: str) -> Expression:
    """The machine's own, unless something reaches past that end: then what was measured with it."""
    own = C(alone(f"{end}_clearance"))
    return _unless_none("machine_items", own, IF(is_lengthened(end), C(MEASURED.format(end=end)), own))


_MOMENT = C(alone("weight")) * C(alone("to_center")) + SUM(*every("moment"))

LOADED: dict[str, Expression] = {
    "empty": _with("empty", "items_weight"),
    "empty_pin": _with("empty_pin", "items_pin"),
    "items_lift": IF(COUNT(*every("pin")).equals(MOST), added(MIN(0, one) for one in every("pin")), ""),
    "loading_empty_pin": _with("empty_pin", "items_lift"),
    "weight": _with("weight", "items_on_machine", "machine_items"),
    "items_center": IF(
        AND(usable_alone("weight", "to_center"), COUNT(*every("moment")).equals(MOST), _numbers("weight")),
        _MOMENT / C("weight"),
        "",
    ),
    "to_center": _unless_none("machine_items", C(alone("to_center")), C("items_center")),
    **{f"{end}_reach": _greatest(f"{end}_reach", "machine_items") for end in ENDS},
    **{f"{end}_overhang": _overhang(end) for end in ENDS},
    **{f"{end}_clearance": _clearance(end) for end in ENDS},
    "tallest": _unless_none(
        "items",
        C("machine_height"),
        IF(AND(usable(("machine_height",)), _numbers("items_high")), MAX(C("machine_height"), C("items_high")), ""),
    ),
    "widest": _unless_none(
        "items",
        C("machine_width"),
        IF(AND(usable(("machine_width",)), _numbers("items_wide")), MAX(C("machine_width"), C("items_wide")), ""),
    ),
    "items_high": _greatest("high", "items"),
    "items_wide": _greatest("wide", "items"),
    "machine_ties": EXPRESSIONS["ties"],
    "ties": _unless_none(
        "items",
        C("machine_ties"),
        IF(
            AND(usable(("machine_ties", "weight")), COUNT(*every("ties")).equals(MOST)),
            MAX(C("machine_ties"), strong_enough(C("weight"))) + SUM(*every("ties")),
            "",
        ),
    ),
}
"""Trailer and machine with what is aboard, by the keys by which the rules read them, and what these come from.

``empty`` and ``empty_pin`` are the trailer's with its items, equilibrium of moments; ``loading_empty_pin`` is the least
pin in any order in which machine and items come aboard: with only those of them that lighten the hitch.
``to_center`` is the weighted mean of machine and items on it; ``ties`` are points for machine and items together.
"""

MOST_LACKS = 400
"""Letters of what is said to be missing of an item."""
_LACKS = {"weight": "weight", "center": "center", "length": "length", "width": "width", "height": "height"}
LEAST = {"weight": 10, "length": 6, "width": 2, "height": 2}
"""Below these an item's figure is asked about, in lb and in or kg and mm: it may be tons or feet, or the 1 that
LibreOffice makes of TRUE (seen on 25.2). Common practice, no source; a steel plate that is lower is stated with
its blocks."""


def _look(number: int, figure: str) -> Expression:
    """The question about a figure that is very small."""
    asks = f", a look at its {figure}, below {LEAST[figure]} (another unit, or TRUE?)"
    return IF(of(number, figure) < LEAST[figure], asks, "")


def _lacking(number: int) -> Expression:
    """What is missing of an item, each behind ``, ``."""
    where = IF(ISNUMBER(of(number, "on_deck")), "", ", deck or machine")
    parts: list[Given] = [where]
    for figure, name in _LACKS.items():
        look: Given = _look(number, figure) if figure in LEAST else ""
        stated = IF(_stated(number, figure), look, f", {name}")
        parts.append(IFERROR(stated, f", {name}"))
    for end in ENDS:
        reaches = IF(is_lengthened(end), of(number, f"{end}_reach").equals(C(f"{end}_reach")), False)
        known = ISNUMBER(C(MEASURED.format(end=end)))
        words = f", the machine's {end} clearance with it on, typed over"
        parts.append(IFERROR(IF(reaches, IF(known, "", words), ""), ""))
    doubt = of(number, "doubt")
    parts.append(IF(doubt.equals(""), "", ", entries in doubt: " & doubt))
    return IFERROR(IF(of(number, "there").equals(1), joined(parts), ""), ", a figure that holds an error")


MISSING: dict[str, Expression] = {
    **of_each("lacks", _lacking),
    "items_missing": listing(
        IF(
            of(number, "lacks").equals(""),
            "",
            "; " & of(number, "called") & ": needs " & MID(of(number, "lacks"), 3, MOST_LACKS),
        )
        for number in NUMBERS
    ),
}
"""What each item needs for an answer, in words; blank where nothing."""
