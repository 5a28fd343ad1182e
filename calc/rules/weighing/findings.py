"""FINDINGS: what a weighing says in words: what disagrees, what to mind, what is missing, and its verdict.

Between the tickets a difference is no more than scales may be apart; against the Lot no more than a yard allows. Both
are limits. Every rating is asked of every weighing: what stood on the scale rolled there.
"""

from __future__ import annotations

from collections.abc import Iterator

from ...cells.expression import Cell, Expression, lift
from ...cells.spreadsheet import (
    ABS,
    AND,
    COUNT,
    FIXED,
    IF,
    IFERROR,
    LEFT,
    LONGEST_LIST,
    LOWER,
    MID,
    NOT,
    OR,
    ROUND,
    ROUNDUP,
    SUM,
    SUMPRODUCT,
    TRIM,
    UPPER,
    is_blank,
    joined,
    listing,
)
from ..entries import TOO_FEW, TOO_MANY, Doubts, Likely, Words
from .figures import (
    EMPTY,
    LOADED,
    LOT_STOCKS,
    PLACES,
    WEIGHTS,
    alone,
    alone_steer,
    axle_load,
    by_pin,
    by_tickets,
    doubt,
    hitched,
    hitched_steer,
    is_apparent,
    is_tight,
    is_word,
    lot_empty,
    lot_row,
    pin,
    pin_scale,
    pin_share,
    stated,
    steer_differs,
    stock_text,
    trailer_alone,
    weakest,
    weight,
)

WRONG, OPEN, OK = "▲", "?", "ok"
"""How a verdict begins: something does not go together; something is missing; neither."""
APPARENT = (
    "; bars tight: the true pin is more than this one, weigh with the bars slack; "
    "the trailer's weight is right all the same"
)
AS_A_WHOLE = "; no steer axle typed: Drive is taken for the whole truck"
_SLIP = (f"TRUE, tons, or {TOO_FEW}", TOO_MANY)
NAMES = {
    "alone_steer": "Truck alone steer",
    "alone_drive": "Truck alone drive",
    "hitched_steer": "Hitched steer",
    "hitched_drive": "Hitched drive",
    "hitched_axles": "Hitched trailer axles",
    "trailer_alone": "Trailer alone",
    "pin_scale": "Pin on a scale",
}
"""What people read of each weight."""
LATEST_YEAR = Cell("limit_plaus_model_year_greatest")
date, load = Cell("date"), Cell("load")


def _too_late() -> Expression:
    """A day after the latest year that anything here is likely to be of; no cell tells which day today is.

    A spreadsheet counts 1900-01-01 as day 1 and 1900 as a leap year, so that from 1901 to 2099 the first day of a year
    is the days before it, rounded up, and one.
    """
    after = date >= ROUNDUP((LATEST_YEAR - 1899) * 365.25, 0) + 1
    words = lift("; Date after ") & LATEST_YEAR & ": a slip in the year?"
    return IF(COUNT(date), IF(after, words, ""), "")


WEIGHING = Doubts(
    likely=tuple(
        Likely(key, NAMES[key], "weight", *_SLIP, "ticket_pin" if key == "pin_scale" else "ticket") for key in WEIGHTS
    ),
    together=(),
    not_above=(),
    more=(_too_late(),),
)


def _amount(figure: Expression) -> Expression:
    return FIXED(ABS(figure), 0)


def _percent(share: Expression) -> Expression:
    return FIXED(share * 100, 1) & "%"


def _apart(one: Expression, other: Expression, limit: str) -> Expression:
    """Whether two weights are further apart than a limit."""
    return ROUND(ABS(one - other), PLACES) > Cell(f"limit_{limit}")


def _more_or_less(one: Expression, other: Expression, unit: str) -> Expression:
    return _amount(one - other) & f" {unit} " & IF(one > other, "more", "less")


def _said(asked: Expression, words: Expression | str) -> Expression:
    """Words where something is asked and found; nothing where a figure is blank, which compares as no number does."""
    return IFERROR(IF(asked, words, ""), "")


def between(words: Words) -> Iterator[Expression]:
    """What disagrees between the tickets of one weighing, each blank or behind ``; ``."""
    unit = words["weight"]
    both = AND(SUM(by_tickets) > 0, stated(trailer_alone))
    pins = (
        " than the hitched tickets say (pin by truck "
        & FIXED(hitched - alone, 0)
        & ", by trailer "
        & FIXED(by_pin, 0)
        & ")"
    )
    yield _said(
        IF(both, _apart(trailer_alone, by_tickets, "ticket_apart"), False),
        lift("; Trailer alone ") & _more_or_less(trailer_alone, by_tickets, unit) & pins,
    )
    pins_apart = AND(_apart(pin_scale, by_pin, "ticket_apart"), OR(NOT(is_tight()), pin_scale < by_pin))
    yield _said(
        IF(AND(stated(pin_scale), by_pin.differs("")), pins_apart, False),
        lift("; Pin on a scale ") & _more_or_less(pin_scale, by_pin, unit) & " than by the tickets",
    )
    swapped = "; truck alone as heavy as the whole rig: tickets swapped?"
    yield _said(IF(by_tickets.equals(""), False, by_tickets.equals(0)), swapped)
    lifts = "; pin below 0: the trailer lifts the hitch, or two tickets are swapped"
    yield _said(IF(pin.equals(""), False, pin < 0), lifts)
    yield _said(
        IF(pin_share.equals(""), False, pin_share > Cell("limit_plaus_pin_share_greatest")),
        lift("; pin ") & _percent(pin_share) & " of the trailer's weight: tickets swapped?",
    )
    of_truck = hitched / alone
    least, greatest = (Cell(f"limit_plaus_ticket_hitched_{end}") for end in ("least", "greatest"))
    yield _said(
        IF(OR(alone.equals(""), hitched.equals("")), False, OR(of_truck < least, of_truck > greatest)),
        lift("; truck hitched ") & FIXED(of_truck * 100, 0) & "% of the truck alone: a digit, or another truck?",
    )


def _against_lot(words: Words) -> Iterator[Expression]:
    unit, scale, empty_pin = words["weight"], Cell("lot_scale"), Cell("lot_empty_pin")
    is_empty = is_word(load, EMPTY)
    known = IF(scale > 0, scale, lot_empty)
    which = IF(scale > 0, "Scale weight", "the listed empty weight")
    yield _said(
        IF(AND(is_empty, weight.differs(""), lot_empty > 0), _apart(weight, known, "ticket_lot"), False),
        lift("; ") & _more_or_less(weight, known, unit) & " than " & which & " on the Lot",
    )
    yield _said(
        IF(AND(is_empty, Cell("true_pin").differs(""), empty_pin > 0), _apart(pin, empty_pin, "ticket_lot"), False),
        lift("; pin ") & _more_or_less(pin, empty_pin, unit) & " than Empty pin on the Lot",
    )
    lighter = AND(
        is_word(load, LOADED), weight.differs(""), weight < lot_empty, _apart(weight, lot_empty, "ticket_lot")
    )
    yield _said(lighter, lift("; ") & _amount(lot_empty - weight) & f" {unit} lighter than empty on the Lot: loaded?")


def _over(name: Expression | str, needed: Cell, rated: Cell, unit: str) -> Expression:
    """By how much a rating is passed, in words."""
    passed = IF(AND(needed.differs(""), rated > 0), ROUND(needed - rated, PLACES) > 0, False)
    return _said(passed, lift("; ") & name & " over by " & _amount(needed - rated) & f" {unit}")


def against(words: Words) -> Iterator[Expression]:
    """What disagrees with the Lot's figures and ratings, each blank or behind ``; ``."""
    unit = words["weight"]
    yield from _against_lot(words)
    part = IF(weakest.equals(""), "Axle group", UPPER(LEFT(weakest, 1)) & MID(weakest, 2, LONGEST_LIST))
    yield _over("GVWR", weight, Cell("lot_gvwr"), unit)
    yield _over(part, axle_load, Cell("lot_axle_group"), unit)
    yield _over("Coupler", weight, Cell("lot_coupler"), unit)
    yield _over("Coupler vertical", pin, Cell("lot_vertical"), unit)
    low, high = Cell("lot_low_share"), Cell("lot_high_share")
    is_loaded = AND(is_word(load, LOADED), pin_share.differs(""))
    yield _said(
        IF(AND(is_loaded, NOT(is_apparent())), ROUND(low - pin_share, PLACES) > 0, False),
        lift("; pin ") & _percent(pin_share) & " of the weight, below " & _percent(low) & ": it may sway",
    )
    yield _said(
        IF(AND(is_loaded, high > 0), ROUND(pin_share - high, PLACES) > 0, False),
        lift("; pin ") & _percent(pin_share) & " of the weight, above " & _percent(high),
    )


def cautions(words: Words) -> Iterator[Expression]:
    """What to mind, each blank or behind ``; ``."""
    unit = words["weight"]
    yield _said(IF(pin.equals(""), False, is_apparent()), APPARENT)
    taken = AND(is_tight(), stated(pin_scale), by_pin.differs(""))
    yield _said(
        IF(taken, ROUND(pin_scale - by_pin, PLACES) > 0, False),
        lift("; the tight bars take ") & _amount(pin_scale - by_pin) & f" {unit} off the hitch",
    )
    whole = AND(NOT(stated(alone_steer)), NOT(stated(hitched_steer)), alone.differs(""), hitched.differs(""))
    yield _said(whole, AS_A_WHOLE)


def entry_check() -> Iterator[Expression]:
    """What is wrong with the entries, and whose weighing it is if nobody's."""
    yield IF(doubt.equals(""), "", lift("; ") & doubt)
    twice = SUMPRODUCT(LOT_STOCKS.equals(stock_text) * 1) > 0
    where = IF(twice, " stands on the Lot twice", " is not on the Lot")
    said = IFERROR(lift("; stock no. ") & stock_text & where, "; the stock numbers on the Lot cannot be compared")
    yield IF(OR(stock_text.equals(""), lot_row.differs("")), "", said)


def _lacking(*keys: str) -> Expression:
    """The names of those entries that are missing."""
    return joined([IF(stated(Cell(key)), "", f", {NAMES[key]}") for key in keys])


def missing() -> Iterator[Expression]:
    """What a row lacks in which something stands, each blank or behind ``; ``."""
    is_begun = Cell("is_begun").equals(1)
    yield IF(AND(is_begun, stock_text.equals("")), "; stock no.", "")
    said = IFERROR(LOWER(TRIM(load)), "an error, which Entry check names")
    yield IF(AND(is_begun, OR(said.equals(""), said.equals("0"))), "; empty or loaded", "")
    steer = IF(steer_differs(), ", steer axle on both tickets of the truck", "")
    of_pin = joined([_lacking("alone_drive", "hitched_drive"), steer])
    of_weight = _lacking("hitched_axles") & of_pin
    asked = AND(is_begun, doubt.equals(""))
    yield IF(
        AND(asked, weight.equals(""), of_weight.differs("")),
        lift("; weight: ") & MID(of_weight, 3, LONGEST_LIST) & "; or Trailer alone",
        "",
    )
    lacking = IF(stated(trailer_alone), f", {NAMES['hitched_axles']}", of_pin)
    yield IF(
        AND(asked, pin.equals("")),
        lift("; pin: ") & MID(lacking, 3, LONGEST_LIST) & "; or Pin on a scale",
        "",
    )


def _is_begun() -> Expression:
    """1 where anything is typed in the row: a colored empty cell is 0 to some programs."""
    typed = [Cell(key) for key in ("date", *WEIGHTS)]
    chosen = [IF(is_blank(cell), "", "x") for cell in (load, Cell("bars"))]
    words = joined([stock_text, doubt, *chosen])
    return IFERROR(IF(OR(words.differs(""), SUM(*typed) > 0), 1, ""), 1)


def _verdict() -> Expression:
    lacking = IF(Cell("missing").equals(""), "", lift("; ") & OPEN + " " & Cell("missing"))
    disagrees = IF(Cell("between").equals(""), "", f"; {WRONG} disagrees")
    differs = IF(Cell("against").equals(""), "", f"; {WRONG} differs from Lot or ratings")
    wrong = IF(Cell("entry_check").equals(""), "", f"; {WRONG} see Entry check")
    found = MID(joined([wrong, disagrees, differs, lacking]), 3, LONGEST_LIST)
    return IF(
        Cell("is_begun").equals(1),
        IF(found.equals(""), IF(Cell("cautions").equals(""), OK, f"{OK}, mind the cautions"), found),
        "",
    )


def findings(words: Words) -> dict[str, Expression]:
    """Each column of words by its key.

    Args:
        words: The words of a workbook's units, as :mod:`..entries` asks for them.
    """
    return {
        "verdict": _verdict(),
        "between": listing(between(words)),
        "against": listing(against(words)),
        "cautions": listing(cautions(words)),
        "entry_check": listing(entry_check()),
        "missing": listing(missing()),
        "is_begun": _is_begun(),
    }
