"""What is also aboard, in the side view: a box to scale each, on the deck or, dotted, on the machine that carries it.

A box on the deck is numbered as its rows on What-if are: inside it, or above one that is too small for that.
"""

from __future__ import annotations

from tarelot.calc.cells.expression import Cell, Expression, Given
from tarelot.calc.cells.spreadsheet import AND, COUNT, IF, ISNUMBER, MAX, MIN, N
from tarelot.calc.rules.aboard.items import NUMBERS, of

NUMBER_HIGH, NUMBER_WIDE = 2.4, 2.0
"""The least box, on the canvas, that has room for its number."""
ABOVE = 1.2
"""How far above a smaller one its number stands."""
_DECK_X, _DECK_UP, _SCALE = Cell("deck_front_x"), Cell("deck_up"), Cell("scale")


def switch(number: int) -> Cell:
    """Whether an item is drawn."""
    return of(number, "drawn")


def is_on_deck(number: int) -> Expression:
    """Whether it stands on the deck; else it is on the machine."""
    return ISNUMBER(of(number, "front"))


def measures() -> dict[str, Expression]:
    """Which are drawn, and how far those on the deck reach on the drawing, in the short unit."""
    found: dict[str, Expression] = {}
    for number in NUMBERS:
        on_deck = AND(Cell("draw").equals(1), COUNT(of(number, "front"), of(number, "rear")).equals(2))
        reaches = COUNT(of(number, "front_reach"), of(number, "rear_reach")).equals(2)
        on_machine = AND(Cell("draw_machine").equals(1), reaches)
        found[switch(number).key] = IF(IF(ISNUMBER(of(number, "high")), IF(on_deck, True, on_machine), False), 1, 0)
        found[f"label_item_{number}"] = IF(AND(switch(number).equals(1), is_on_deck(number)), f"{number}", "")
    return found | {
        "items_left_x": MIN(0, *(_if_on_deck(number, _DECK_X + of(number, "front"), 0) for number in NUMBERS)),
        "items_right_x": MAX(0, *(_if_on_deck(number, _DECK_X + of(number, "rear"), 0) for number in NUMBERS)),
        "items_top": MAX(0, *(IF(switch(number).equals(1), _DECK_UP + of(number, "high"), 0) for number in NUMBERS)),
    }


def _if_on_deck(number: int, shown: Given, otherwise: Given) -> Expression:
    return IF(AND(switch(number).equals(1), is_on_deck(number)), shown, otherwise)


def corners(number: int) -> list[tuple[Expression, Expression]]:
    """The corners of its box: behind the coupler, and above the ground."""
    length, faces, faces_from = Cell("drawn_length"), Cell("faces"), Cell("faces_from")
    along = {"front": length + N(of(number, "front_reach")), "rear": 0 - N(of(number, "rear_reach"))}
    front, rear = (
        IF(
            is_on_deck(number),
            _DECK_X + of(number, end),
            Cell("rest_trailing_x") - (faces_from + faces * along[end]),
        )
        for end in ("front", "rear")
    )
    top = _DECK_UP + N(of(number, "high"))
    return [(front, _DECK_UP), (front, top), (rear, top), (rear, _DECK_UP), (front, _DECK_UP)]


def number_place(number: int) -> tuple[Expression, Expression]:
    """Where its number stands: behind the coupler, and above the ground."""
    front, rear, high = (N(of(number, what)) for what in ("front", "rear", "high"))
    has_room = AND(high * _SCALE >= NUMBER_HIGH, (rear - front) * _SCALE >= NUMBER_WIDE)
    up = IF(has_room, high / 2, high + ABOVE / MAX(_SCALE, 1e-9))
    return _DECK_X + (front + rear) / 2, _DECK_UP + up
