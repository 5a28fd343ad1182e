"""FIGURES: what one weighing comes to, over its entries and over the Lot's figures of the same trailer.

An entry that is refused or not likely leaves every figure of its row blank: which ticket is wrong cannot be told. A
figure of the Lot that is not stated is 0. A truck weighed as a whole stands under its drive axles, its steer axle
blank, alone and hitched alike: else what the steer axle lost would be taken for a part of the pin.
"""

from __future__ import annotations

from ...cells.expression import Cell, Expression, Range
from ...cells.owned import Owned
from ...cells.spreadsheet import (
    AND,
    IF,
    IFERROR,
    INDEX,
    LOWER,
    MATCH,
    MAX,
    NOT,
    OR,
    ROUND,
    SUBSTITUTE,
    SUM,
    SUMPRODUCT,
    TRIM,
    is_blank,
)

EMPTY, LOADED = "empty", "loaded"
TIGHT, SLACK, NONE = "tight", "slack", "none"
"""What the bars of a weight-distributing hitch were while weighing."""
PLACES = 9
"""Decimal places of a weight: what binary arithmetic leaves behind them is none."""
OF_TRUCK = ("alone_steer", "alone_drive", "hitched_steer", "hitched_drive")
OF_TRAILER = ("hitched_axles", "trailer_alone", "pin_scale")
WEIGHTS = (*OF_TRUCK, *OF_TRAILER)
"""The entries that are weights, by key."""
LOT_STOCKS = Range("lot_stocks")
"""The stock numbers of the Lot as texts without outer spaces."""
FROM_LOT = ("empty", "scale", "empty_pin", "gvwr", "coupler", "vertical", "axle_group", "low_share", "high_share")
"""Figures of the Lot that a weighing is held against, by their key there; ``lot_`` before it here."""

doubt, stock, stock_text, lot_row = (Cell(key) for key in ("doubt", "stock", "stock_text", "lot_row"))
alone_steer, alone_drive, hitched_steer, hitched_drive = (Cell(key) for key in OF_TRUCK)
hitched_axles, trailer_alone, pin_scale = (Cell(key) for key in OF_TRAILER)
alone, hitched, by_tickets, by_pin = (Cell(key) for key in ("alone", "hitched", "by_tickets", "by_pin"))
weight, pin, pin_share, axle_load = (Cell(key) for key in ("weight", "pin", "pin_share", "axle_load"))
lot_empty, weakest = Cell("lot_empty"), Cell("lot_weakest_part")


def column_of_lot(key: str) -> Range:
    """A column of the Lot."""
    return Range(f"column {key}")


def stated(cell: Cell) -> Expression:
    """Whether an entry is a number above 0; SUM passes over blanks and texts, an error is none."""
    return IFERROR(SUM(cell), 0) > 0


def is_word(cell: Cell, word: str) -> Expression:
    """Whether a choice is this word; an error is none."""
    return IFERROR(LOWER(TRIM(cell)).equals(word), False)


def is_tight() -> Expression:
    """Whether the bars pulled while weighing."""
    return is_word(Cell("bars"), TIGHT)


def is_apparent() -> Expression:
    """Whether the pin is the apparent one: the bars hid a part of it, and no scale stood under the pin."""
    return AND(is_tight(), NOT(stated(pin_scale)))


def steer_differs() -> Expression:
    """Whether the steer axle is stated on one ticket of the truck only."""
    return (stated(alone_steer) + stated(hitched_steer)).equals(1)


def _truck(steer: Cell, drive: Cell) -> Expression:
    lacking = OR(doubt.differs(""), NOT(stated(drive)), steer_differs())
    return IF(lacking, "", ROUND(SUM(steer, drive), PLACES))


def _by_tickets() -> Expression:
    """The trailer's weight by three tickets; 0 where the truck alone is as heavy as the whole rig."""
    total = Owned(ROUND(hitched + hitched_axles - alone, PLACES), "LOT_TICKET_TRAILER", alone, hitched, hitched_axles)
    known = AND(doubt.equals(""), alone.differs(""), hitched.differs(""), stated(hitched_axles))
    return IF(known, IF(hitched + hitched_axles <= alone, 0, total), "")


def _by_pin() -> Expression:
    """The pin out of both tickets of the trailer, else of the truck."""
    by_trailer, by_truck = ROUND(trailer_alone - hitched_axles, PLACES), ROUND(hitched - alone, PLACES)
    of_truck = IF(OR(alone.equals(""), hitched.equals("")), "", by_truck)
    written = IF(AND(stated(trailer_alone), stated(hitched_axles)), by_trailer, of_truck)
    return IF(doubt.equals(""), Owned(written, "LOT_TICKET_PIN", alone, hitched, hitched_axles, trailer_alone), "")


def _weight() -> Expression:
    """The trailer alone on the scale, else the three tickets, else its axles and a scale under the pin."""
    on_pin = IF(AND(stated(pin_scale), stated(hitched_axles), NOT(is_tight())), pin_scale + hitched_axles, "")
    by_three = IF(by_tickets.equals(""), on_pin, IF(by_tickets > 0, by_tickets, ""))
    return IF(doubt.equals(""), IF(stated(trailer_alone), trailer_alone, by_three), "")


def _axle_load() -> Expression:
    left = IF(OR(weight.equals(""), pin.equals("")), "", ROUND(weight - pin, PLACES))
    return IF(doubt.equals(""), IF(stated(hitched_axles), hitched_axles, left), "")


def _lot_row() -> Expression:
    """The row on the Lot, blank where the number stands there not at all or more than once."""
    literal = SUBSTITUTE(SUBSTITUTE(SUBSTITUTE(stock_text, "~", "~~"), "*", "~*"), "?", "~?")
    once = IF(stock_text.equals(""), False, SUMPRODUCT(LOT_STOCKS.equals(stock_text) * 1).equals(1))
    return IFERROR(IF(once, MATCH(literal, LOT_STOCKS, 0), ""), "")


def _from_lot(key: str) -> Expression:
    """A figure of the Lot; 0 where it is not stated, for MAX passes over what is no number."""
    return IF(lot_row.equals(""), 0, IFERROR(MAX(0, INDEX(column_of_lot(key), lot_row)), 0))


def _stock_text() -> Expression:
    return IFERROR(IF(is_blank(stock), "", TRIM(stock & "")), "")


FIGURES: dict[str, Expression] = {
    "weight": _weight(),
    "pin": IF(doubt.equals(""), IF(stated(pin_scale), pin_scale, by_pin), ""),
    "pin_share": IFERROR(
        IF(
            OR(weight.equals(""), pin.equals("")),
            "",
            IF(pin < 0, "", Owned(pin / weight, "LOT_PIN_SHARE", pin, weight)),
        ),
        "",
    ),
    "axle_load": _axle_load(),
    "load_aboard": IF(
        AND(is_word(Cell("load"), LOADED), weight.differs(""), lot_empty > 0, weight > lot_empty),
        ROUND(weight - lot_empty, PLACES),
        "",
    ),
    "true_pin": IF(is_apparent(), "", pin),
    "stock_text": _stock_text(),
    "lot_row": _lot_row(),
    "alone": _truck(alone_steer, alone_drive),
    "hitched": _truck(hitched_steer, hitched_drive),
    "by_tickets": _by_tickets(),
    "by_pin": _by_pin(),
    **{f"lot_{key}": _from_lot(key) for key in FROM_LOT},
    "lot_weakest_part": IF(
        lot_row.equals(""), "", IFERROR(TRIM(INDEX(column_of_lot("weakest_part"), lot_row) & ""), "")
    ),
}
"""Each figure by its key."""
