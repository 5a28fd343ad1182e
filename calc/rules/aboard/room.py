"""The deck's room with items on it: where the machine may stand between them, and what may not be.

All stand one behind the other: what stands side by side is one item. Of the free stretches of deck the machine is given
the one that leaves its center most room within the limits of weight; where its place is typed, the one around it.
"""

from __future__ import annotations

from ...cells.expression import Expression, Given, lift
from ...cells.spreadsheet import AND, COUNT, IF, ISNUMBER, MAX, MIN, OR, ROUND, N
from ..hauling import RULES
from ..hauling_figures import PLACES, YES_WORD, C, by_length, is_word, usable, where_known, whole_up
from ..hauling_placing import GEOMETRY, MOMENTS, band, center_of, pin_at
from ..hauling_rule import AT_LEAST, AT_MOST, CAUTION, FREE, Bound, Rule
from .items import ENDS, MEASURED, NUMBERS, every, names_of, of, of_each

_LONG = C("per_long")
_ALONE = ("pin_greatest", "pin_least")
_AHEAD = (C("lead_to_center") + C("lead_overhang")) / _LONG
"""From the machine's leading end back to its center, in the long unit."""
_BEHIND = (C("wheelbase") - C("lead_to_center") + C("trail_overhang")) / _LONG
_PLACED = ("empty", "empty_pin", "to_axles", "to_deck", "weight")
_MACHINE = ("lead_to_center", "lead_overhang", "trail_overhang", "wheelbase")
STRETCHES = (0, *NUMBERS)
"""The stretch ahead of all items, and that behind each."""


def _ends(number: int) -> tuple[Expression, Expression]:
    """Where a stretch of deck begins and ends, in the short unit; one without an end goes on."""
    if number == 0:
        return lift(-FREE), MIN(FREE, *every("front"))
    rear = of(number, "rear")
    beyond = [IF(ISNUMBER(front), IF(ROUND(front - rear, PLACES) >= 0, front, FREE), FREE) for front in every("front")]
    return rear, MIN(*beyond)


def _stretch(number: int) -> dict[str, Expression]:
    """Where the machine's center may be in a stretch, from and to, and how much room that is."""
    start, end = _ends(number)
    low, high, room = (f"stretch_{number}_{what}" for what in ("from", "to", "room"))
    known = ("alone_from", "alone_to", *_MACHINE)
    there = lift(True) if number == 0 else ISNUMBER(of(number, "rear"))
    return {
        low: where_known(known, IF(there, MAX(C("alone_from"), start / _LONG + _AHEAD), "")),
        high: where_known(known, IF(there, MIN(C("alone_to"), end / _LONG - _BEHIND), "")),
        room: where_known((low, high), C(high) - C(low)),
    }


def _middle_of_widest() -> Expression:
    """The middle of the stretch with the most room."""
    rooms = [C(f"stretch_{number}_room") for number in STRETCHES]
    found: Given = ""
    for number, room in reversed(list(zip(STRETCHES, rooms, strict=True))):
        middle = (C(f"stretch_{number}_from") + C(f"stretch_{number}_to")) / 2
        found = IF(room.equals(MAX(*rooms)), middle, found)
    return IF(COUNT(*rooms) > 0, found, "")


def _sides() -> dict[str, Expression]:
    """Of each item on the deck its rear end where it is ahead of the machine, its front end where it is behind."""
    found: dict[str, Expression] = {}
    known = C("machine_at")
    for number in NUMBERS:
        is_ahead = of(number, "center") <= known
        for key, end, side in (("ahead", "rear", True), ("behind", "front", False)):
            place = of(number, end)
            mine = IF(is_ahead, place, "") if side else IF(is_ahead, "", place)
            found[of(number, key).key] = IF(COUNT(place, known).equals(2), mine, "")
    ends_known = AND(ISNUMBER(known), COUNT(*every("rear")).equals(C("deck_items")))
    for key, pick in (("ahead", MAX), ("behind", MIN)):
        cells = every(key)
        found[f"items_{key}"] = IF(C("deck_items").equals(0), 0, IF(ends_known, COUNT(*cells), ""))
        found[f"edge_{key}"] = IF(COUNT(*cells) > 0, pick(*cells), "")
    return found


def _machine_ends() -> dict[str, Expression]:
    """Where the machine's ends stand, in the short unit, and how far it and the items reach into each other."""
    known = ("center", *_MACHINE)
    return {
        "machine_front": where_known(known, (C("center") - _AHEAD) * _LONG),
        "machine_rear": where_known(known, (C("center") + _BEHIND) * _LONG),
    }


def _shared(number: int, other: int) -> Expression:
    """How much of the deck's length two items take both; below 0 where they stand apart."""
    front, rear = of(number, "front"), of(number, "rear")
    both = MIN(rear, of(other, "rear")) - MAX(front, of(other, "front"))
    return IF(COUNT(front, rear, of(other, "front"), of(other, "rear")).equals(4), both, 0)


def _off_deck(number: int) -> Expression:
    front, rear = of(number, "front"), of(number, "rear")
    past = MAX(0 - front, rear - C("deck_length") * _LONG)
    return IF(AND(ISNUMBER(front), usable(("deck_length",))), ROUND(MAX(0, past), PLACES), "")


def _too_wide(number: int) -> Expression:
    wide = of(number, "deck_wide")
    return IF(AND(ISNUMBER(wide), usable(("deck_width",))), ROUND(MAX(0, wide - C("deck_width")), PLACES), "")


def _in_machine(number: int) -> Expression:
    """How far machine and item reach into each other, whichever is ahead."""
    front, rear = of(number, "front"), of(number, "rear")
    both = MIN(rear, C("machine_rear")) - MAX(front, C("machine_front"))
    return IF(COUNT(front, rear, C("machine_front"), C("machine_rear")).equals(4), ROUND(MAX(0, both), PLACES), "")


def _in_other(number: int) -> Expression:
    """The most that it and another item take both."""
    both = MAX(0, *(_shared(number, other) for other in NUMBERS if other != number))
    return IF(ISNUMBER(of(number, "front")), ROUND(both, PLACES), "")


def _worst(what: str, of_all: str) -> Expression:
    """The greatest over the items on the deck, blank unless it is known of all of them."""
    return IF(COUNT(*every(what)).equals(C(of_all)), MAX(0, *every(what)), "")


ROOM: dict[str, Expression] = {
    **of_each("off_deck", _off_deck),
    **of_each("too_wide", _too_wide),
    **of_each("in_other", _in_other),
    **of_each("in_machine", _in_machine),
    **{f"items_{what}": _worst(what, "deck_items") for what in ("off_deck", "too_wide", "in_other")},
    **{f"{key}_alone": found for key, found in band(RULES).items() if key in _ALONE},
    "alone_from": where_known(("pin_greatest_alone", *_PLACED), center_of(C("pin_greatest_alone"))),
    "alone_to": where_known(("pin_least_alone", *_PLACED), center_of(C("pin_least_alone"))),
    **{key: found for number in STRETCHES for key, found in _stretch(number).items()},
    "machine_at": IF(usable(("place",)), C("place"), _middle_of_widest()),
    **_sides(),
    **_machine_ends(),
}
"""How far items reach off the deck, past its sides, into each other and into the machine, in the short unit; the free
stretches of deck and the room of each for the machine's center, in the long one; and what is next to the machine.

``alone_from`` and ``alone_to`` are the ends of where its center may be if the items had weight and took no room.
"""


def _by(rule: str, words: str, named: Expression) -> Expression:
    """What a rule says: words, by how much, and of which items."""
    return words & by_length(rule) & ": " & named


def _named(what: str) -> Expression:
    """The names of the items that have such an amount, above 0."""
    return names_of(lambda number: N(of(number, what)) > 0)


def _beside(end: str, place: str) -> Expression:
    """The name of the item whose end is next to the machine."""
    return names_of(lambda number: of(number, end).equals(C(place)))


AHEAD, BEHIND = "what is aboard ahead of it", "what is aboard behind it"
"""What sets an end of the machine's place."""
_STANDS = is_word("stands", YES_WORD)
_ANY, _ON_DECK, _ON_MACHINE = C("items") > 0, C("deck_items") > 0, C("machine_items") > 0

ABOARD_RULES: tuple[Rule, ...] = (
    Rule(
        "aboard_deck",
        "Does all that is also aboard stand on the level deck?",
        ("items_off_deck",),
        C("items_off_deck"),
        _by("aboard_deck", "also aboard, off the level deck", _named("off_deck")),
        GEOMETRY,
        applies=_ON_DECK,
    ),
    Rule(
        "aboard_wide",
        "Is none of it wider than the deck?",
        ("items_too_wide",),
        C("items_too_wide"),
        _by("aboard_wide", "also aboard, wider than the deck", _named("too_wide")),
        GEOMETRY,
        applies=_ON_DECK,
    ),
    Rule(
        "aboard_apart",
        "Does nothing aboard stand where another does?",
        ("items_in_other",),
        C("items_in_other"),
        _by("aboard_apart", "also aboard, one where the other stands", _named("in_other")),
        GEOMETRY,
        applies=C("deck_items") > 1,
    ),
    Rule(
        "aboard_ahead",
        "Does the machine keep clear of what is ahead of it?",
        ("edge_ahead", "machine_front"),
        C("edge_ahead") - C("machine_front"),
        _by("aboard_ahead", "the machine reaches into what is ahead of it", _beside("ahead", "edge_ahead")),
        GEOMETRY,
        applies=C("items_ahead") > 0,
        bounds=(
            Bound(
                AT_MOST,
                (*_PLACED, "edge_ahead", "lead_to_center", "lead_overhang"),
                pin_at(MAX(0 - C("to_deck"), C("edge_ahead") / _LONG + _AHEAD)),
                AHEAD,
            ),
        ),
    ),
    Rule(
        "aboard_behind",
        "Does the machine keep clear of what is behind it?",
        ("edge_behind", "machine_rear"),
        C("machine_rear") - C("edge_behind"),
        _by("aboard_behind", "the machine reaches into what is behind it", _beside("behind", "edge_behind")),
        GEOMETRY,
        applies=C("items_behind") > 0,
        bounds=(
            Bound(
                AT_LEAST,
                (*_PLACED, "edge_behind", "wheelbase", "lead_to_center", "trail_overhang"),
                pin_at(MAX(0 - C("to_deck"), C("edge_behind") / _LONG - _BEHIND)),
                BEHIND,
            ),
        ),
    ),
    Rule(
        "aboard_tips",
        "Is the machine's center behind its front contact with what is on it?",
        ("items_center",),
        IF(C("items_center") > 0, 0, 1),
        "with what is on it the machine's center lies ahead of its front contact: it tips",
        MOMENTS,
        applies=_ON_MACHINE,
    ),
    Rule(
        "aboard_low",
        "Was it measured how high its ends hang with what is on it?",
        tuple(f"{end}_reach" for end in ENDS),
        OR(*(AND(C(f"{end}_reach") > 0, C(MEASURED.format(end=end)).equals("")) for end in ENDS)) * 1,
        "what is on the machine may hang lower than its ends are listed: type their clearance over",
        GEOMETRY,
        CAUTION,
        applies=_ON_MACHINE,
    ),
    Rule(
        "aboard_lifts",
        "Does the hitch stay down with what is also aboard?",
        ("loading_empty_pin",),
        0,
        "",
        MOMENTS,
        applies=_ON_DECK,
        unsure=IF(_STANDS, C("empty_pin"), C("loading_empty_pin")) < 0,
        reason="what is also aboard lifts the hitch by "
        & whole_up(0 - C("loading_empty_pin"))
        & " "
        & C("weight_unit")
        & " before the machine is on: choose what stands behind the axles as the machine",
    ),
    Rule(
        "aboard_entries",
        "Is all known of what is also aboard?",
        (),
        0,
        "",
        "the figures themselves",
        applies=_ANY,
        unsure=C("items_missing").differs(""),
        reason=C("items_missing"),
    ),
)
"""What is asked besides where there are items; the machine's place is bounded by those next to it."""
