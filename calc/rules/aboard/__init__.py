"""Also aboard: the rules of ``calc/rules/hauling/`` asked of a trailer with up to four more items on it.

``items`` says what each does to trailer and machine, ``room`` where they may stand. What-if alone has items; without
any every cell is what it is without this room.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from ...cells.expression import Expression, Given
from ...cells.spreadsheet import AND, IF, MAX, OR, N
from ...cells.worked_out import WorkedOut
from ..entries import Renamed
from ..hauling import EXPRESSIONS as WITHOUT
from ..hauling import RULES as RULES_WITHOUT
from ..hauling import Verdict, asked, cells_given
from ..hauling.enough import NAMES, OTHERWISE, Otherwise, enough
from ..hauling_figures import C, Measures, over
from ..hauling_rule import Rule
from .items import ALONE, AS_ALONE, ENDS, FIGURES, ITEMS, LOADED, MEASURED, MISSING, NUMBERS, ON_DECK, alone, of
from .room import ABOARD_RULES, AHEAD, BEHIND, ROOM

RULES: tuple[Rule, ...] = (*RULES_WITHOUT, *ABOARD_RULES)
BY_KEY = {rule.key: rule for rule in RULES}
_LEAST_PIN = {"empty_pin": "loading_empty_pin"}
_SEATS = ("aboard_deck", "aboard_apart", "aboard_ahead", "aboard_behind")
_MOVED = "what is also aboard moved, or left off"
_IN_THE_WAY = OR(C("pin_greatest_by").equals(AHEAD), C("pin_least_by").equals(BEHIND))
_APART: tuple[Otherwise, ...] = (
    Otherwise("", _SEATS, "", _MOVED),
    Otherwise("", ("no_place",), "", _MOVED, AND(_IN_THE_WAY, MAX(*(C(over(seat)) for seat in _SEATS)).equals(0))),
)
_WHOLE = IF(C("machine_items") > 0, "weight of the machine with what is on it", NAMES["weight"])
_ITEM_TOO_HIGH = C("deck_height") + N(C("items_high")) > C("limit_legal_height")
_HEIGHT = IF(_ITEM_TOO_HIGH, "height of machine and all also aboard", NAMES["machine_height"])


def _renamed() -> dict[str, Expression]:
    """Cells that read other figures than without items.

    While the machine drives on, the items that lighten the hitch may be aboard and the others not yet; the axles are
    asked with all. What is highest and widest may be an item. What is missing is asked of trailer and machine alone.
    """
    found = asked(RULES)
    names: dict[str, Mapping[str, str]] = {
        "loading_pin": _LEAST_PIN,
        "loading_axles": {"loading_pin": "loading_pin_with_all"},
        "loaded_height": {"machine_height": "tallest"},
        **dict.fromkeys(("loaded_width", "over_wider", "over_side_flags"), {"machine_width": "widest"}),
        "over_empty_pin": AS_ALONE,
        **{key: AS_ALONE for key in found if key.startswith("missing_")},
    }
    found |= {"loading_pin_with_all": found["loading_pin"]}
    return found | {key: Renamed(found[key], by) for key, by in names.items()}


def _said_enough(known: Mapping[str, Expression]) -> dict[str, Expression]:
    """What would be enough; the machine's greatest weight is asked by the least pin while it drives on."""
    names: dict[str, Given] = {**NAMES, "weight": _WHOLE, "machine_height": _HEIGHT}
    found = enough(RULES, known, names, (*OTHERWISE, *_APART))
    return found | {"weight_enough": Renamed(found["weight_enough"], _LEAST_PIN)}


_COMMON = _renamed() | LOADED
EXPRESSIONS: dict[str, Expression] = {**ITEMS, **_COMMON, **ROOM, **MISSING, **_said_enough(_COMMON)}
"""Every cell by its key, over the figures of ``hauling_figures.FIGURES``, those of ``ALONE`` under ``<key>_alone``, and
those of each item, ``item_<number>_<figure>``."""


def judge(
    given: Mapping[str, object],
    items: Sequence[Mapping[str, object]],
    measures: Measures,
    changed: Mapping[str, float] | None = None,
    measured: Mapping[str, object] | None = None,
) -> Verdict:
    """The verdict with items aboard, as What-if works it out.

    Args:
        given: Figures and choices by key, of trailer and machine without the items.
        items: Figures of each item by name (``items.FIGURES``): weights and sizes as those of machines, ``center`` in
            the long unit; a figure left out is blank, ``on`` is the deck where it is.
        measures: The units of the figures.
        changed: Limits that a yard has changed, see ``hauling.judge``.
        measured: By end, front or rear, the clearance below it as measured with what is on the machine.

    Raises:
        KeyError: A figure that no rule reads.
        ValueError: More items than there may be.
    """
    cells = cells_given(given, measures, changed)
    if len(items) > len(NUMBERS):
        message = f"{len(items)} items: there may be {len(NUMBERS)}"
        raise ValueError(message)
    cells |= {alone(key): _or_blank(cells.pop(key)) for key in ALONE}
    cells |= {MEASURED.format(end=end): _or_blank((measured or {}).get(end)) for end in ENDS}
    for number in NUMBERS:
        item = items[number - 1] if number <= len(items) else {}
        if unknown := sorted(set(item) - set(FIGURES)):
            raise KeyError(", ".join(unknown))
        cells |= {of(number, what).key: _or_blank(item.get(what)) for what in FIGURES}
        cells[of(number, "on").key] = item.get("on") or ON_DECK
    return Verdict(WorkedOut(cells, EXPRESSIONS))


def _or_blank(given: object) -> object:
    """What a cell with a formula shows of a blank one."""
    return "" if given is None else given


__all__ = ["ABOARD_RULES", "BY_KEY", "EXPRESSIONS", "RULES", "WITHOUT", "judge"]
