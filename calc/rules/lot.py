"""FIGURES: what the Lot makes of a trailer's entries, figure by figure and check by check.

An entry that is refused counts as missing: text or TRUE where a number belongs, a number below 0, a share that is not
below 1, a number of parts that is not whole, an error, a word that is none of the choices. COUNT and SUM of a cell pass
over all that is no number, so that ``SUM(x) > 0`` asks at once whether a figure is stated and usable. A figure that
another column needed is not asked about again: where the gross limit stands, the GVWR is a number above 0; where the
axle group's rating stands, so are axles and axle rating.

A figure that cannot be found is blank, never an error value.
"""

from __future__ import annotations

from ..cells.expression import Cell, Expression, Given, Places, Range, Registered, lift
from ..cells.owned import LookedUp, Owned
from ..cells.spreadsheet import (
    AND,
    ASIN,
    COUNT,
    COUNTIF,
    DEGREES,
    IF,
    IFERROR,
    INT,
    ISTEXT,
    LEN,
    MAX,
    MID,
    MIN,
    OR,
    REPT,
    ROUND,
    SUBSTITUTE,
    SUM,
    SUMPRODUCT,
    TRIM,
    N,
    joined,
)
from ..checks import PASSED
from ..law import EXCISE_RATE
from ..ratings import LONGEST_OPTIONS, MOST_OPTIONS
from ..spec import ROUNDING
from ..vin import USUAL_LATEST_YEAR

Expressions = dict[str, Expression]
PLACARD_GVWR_LB, PLACARD_WEIGHT_LB, PLACARD_SHARE = 10_000, 100, 0.015
"""49 CFR 571.110 S10: up to which GVWR, and what may be added without correcting the placard: the lesser of the two."""
PLACES = 9
"""Decimal places of a shortfall: what binary arithmetic leaves behind them is none."""


def _cells(*keys: str) -> tuple[Cell, ...]:
    return tuple(Cell(key) for key in keys)


def _blank_if(condition: Expression, otherwise: Expression) -> Expression:
    """Blank where the condition holds, or where an entry that is read holds an error."""
    return IFERROR(IF(condition, "", otherwise), "")


def _where_known(keys: tuple[Cell, ...], otherwise: Expression) -> Expression:
    """Blank where one of these is no number."""
    return IF(COUNT(*keys) < len(keys), "", otherwise)


def _unstated(keys: tuple[Cell, ...], whole: Cell) -> tuple[Expression, ...]:
    """Whether one of these is not a number above 0, or the number of parts is not whole."""
    return COUNT(*keys) < len(keys), MIN(*keys) <= 0, whole.differs(INT(whole))


def _usable(cell: Cell) -> Expression:
    return SUM(cell) > 0


def _shortfall(needed: Expression, rated: Expression) -> Expression:
    return Owned(ROUND(MAX(0, needed - rated), PLACES), "LOT_SHORTFALL", needed, rated)


EQUAL = lift(1 + ROUNDING)
gvwr, base, options, scale, stated_payload, empty_pin = _cells(
    "gvwr", "base", "options", "scale", "stated_payload", "empty_pin"
)
axles, axle_rating, suspension, tires, tire_rating, wheel_rating = _cells(
    "axles", "axle_rating", "suspension", "tires", "tire_rating", "wheel_rating"
)
coupler, vertical, chains, jacks, jack_rating = _cells("coupler", "vertical", "chains", "jacks", "jack_rating")
hitch, stated_low, stated_high, model_year = _cells("hitch", "stated_low", "stated_high", "model_year")
vin, vin_text = _cells("vin", "vin_text")
width, deck_height, tail_length, tail_drop, ramp_length = _cells(
    "width", "deck_height", "tail_length", "tail_drop", "ramp_length"
)
to_axles, to_deck, points, point_rating = _cells("to_axles", "to_deck", "points", "point_rating")
options_weight, unlisted, empty, payload, safe, limit, pin, low, high, group, axle_load = _cells(
    *("options_weight", "unlisted", "empty", "payload", "safe_payload", "gross_limit", "pin_weight"),
    *("low_share", "high_share", "axle_group", "axle_load"),
)
sticker_pin, load_from, excise_from = _cells("sticker_pin", "load_from", "excise_from")
parted, added, stated_over, placard_gvwr, placard_weight = _cells(
    "parted", "added", "stated_over", "placard_gvwr", "placard_weight"
)
NAMES, WEIGHTS, FITTED = Range("option_names"), Range("option_weights"), Range("option_fitted")
UNUSABLE_OPTION = "one is below 0, or 1 (TRUE?)"
YARD = "yard"
"""Who fits an option that the maker does not."""


# Weights


TOO_MANY_OPTIONS = OR(LEN(options) > LONGEST_OPTIONS, LEN(options) - LEN(SUBSTITUTE(options, ";", "")) >= MOST_OPTIONS)


def parted_options() -> Expression:
    """The options with each ; widened to as many spaces as they may have letters, so that one can be cut out."""
    wide = SUBSTITUTE(options, ";", REPT(" ", LONGEST_OPTIONS))
    return IFERROR(IF(ISTEXT(options), IF(TOO_MANY_OPTIONS, "", wide), ""), "")


def option_piece(place: int) -> Expression:
    """One of the options."""
    return TRIM(MID(parted, LONGEST_OPTIONS * place + 1, LONGEST_OPTIONS))


def _added(parts: list[Expression]) -> Expression:
    found = parts[0]
    for part in parts[1:]:
        found = found + part
    return found


def _unlisted() -> Expression:
    """The options that do not stand once, with a weight, on the Options sheet; a number is below every text."""
    pieces = map(option_piece, range(MOST_OPTIONS))
    found = joined(IF(SUMPRODUCT(NAMES.equals(p) * (WEIGHTS < "")).equals(1), "", "; " & p) for p in pieces) & "; |"
    for _ in range(4):  # each time half of the twelve that may be empty
        found = SUBSTITUTE(found, "; ; ", "; ")
    named = MID(SUBSTITUTE(found, "; |", ""), 3, LONGEST_OPTIONS)
    # whichever option it is: a person mends it there, and LibreOffice makes a 1 of TRUE
    unusable = (MIN(WEIGHTS) < 0) + COUNTIF(WEIGHTS, 1) > 0
    listed = IF(TOO_MANY_OPTIONS, f"more than {MOST_OPTIONS} options", IF(unusable, UNUSABLE_OPTION, named))
    return IF(ISTEXT(options), IFERROR(listed, "an error on the Options sheet"), "")


def _sum_of_options(counted: Expression | None) -> Expression:
    """The weights of the options named, one named twice counting twice; only those rows that count."""
    times = _added([NAMES.equals(p) for p in map(option_piece, range(MOST_OPTIONS))])
    each = times * NAMES.differs("")
    return SUMPRODUCT(each if counted is None else each * counted, WEIGHTS)


def _added_by_yard() -> Expression:
    """What the options weigh that the yard fits before the sale; 0 where no option is named."""
    by_yard = _sum_of_options(FITTED.equals(YARD))
    known = AND(limit.differs(""), unlisted.equals(""), N(options).equals(0))
    return IFERROR(IF(known, IF(ISTEXT(options), by_yard, 0), ""), "")


def _placard() -> Expression:
    """49 CFR 571.110 S10: up to 10,000 lb GVWR the placard is to be corrected where more than the lesser of 1.5 % of
    the GVWR and 100 lb is added before the first sale; it is where it promises no more than the trailer now has left.
    """
    much = AND(gvwr <= placard_gvwr, added > MIN(gvwr * PLACARD_SHARE, placard_weight), stated_over.differs(0))
    return IF(OR(limit.equals(""), added.equals("")), "", IF(much, "correct its cargo weight before the sale", PASSED))


def _options_weight() -> Expression:
    fitted = LookedUp(_sum_of_options(None), "LOT_OPTIONS_WEIGHT", options, NAMES, WEIGHTS)
    none = IF(OR(N(options).differs(0), SUM(base) <= 0), "", 0)
    return IFERROR(IF(ISTEXT(options), IF(unlisted.equals(""), fitted, ""), none), "")


def _empty() -> Expression:
    """The scale's weight, whatever is wrong with the listed one; that is not known without each option's weight."""
    listed = IF(OR(SUM(base) <= 0, options_weight.equals("")), "", base + options_weight)
    return IFERROR(IF(_usable(scale), scale, listed), "")


def _payload(gross: Cell) -> Expression:
    left = Owned(gross - empty, "LOT_PAYLOAD", gross, empty)
    return _where_known((gross, empty), IF(gross < empty, "", left))


# Ratings


def _per_axle(each: Cell) -> Expression:
    """What the tires or wheels of an axle carry, its own rating where they are not stated."""
    known = AND(MIN(SUM(tires), SUM(each)) > 0, tires.equals(INT(SUM(tires))))
    return IF(known, tires * each, axle_rating)


_GEAR = (axles, axle_rating, suspension, tires, tire_rating, wheel_rating)
_LOW_OR_USUAL = IF(_usable(low), low, Cell("limit_pin_low_other"))
_HIGH_OR_USUAL = IF(_usable(high), high, Cell("limit_pin_high_other"))
_RATINGS = (gvwr, group, coupler, vertical, _LOW_OR_USUAL, _HIGH_OR_USUAL)


def _axle_group() -> Expression:
    least = MIN(
        axle_rating, IF(_usable(suspension), suspension, axle_rating), _per_axle(tire_rating), _per_axle(wheel_rating)
    )
    rated = Owned(axles * least, "LOT_AXLE_GROUP_RATING", *_GEAR)
    return _blank_if(OR(*_unstated((axles, axle_rating), axles)), rated)


def _sets(rating: Expression, limit_of_all: Expression, word: str, otherwise: Given) -> Expression:
    """The word where this rating is stated and the least."""
    return IF(AND(rating > 0, rating <= limit_of_all * EQUAL), word, otherwise)


def _weakest() -> Expression:
    by_tires = _sets(SUM(tires) * SUM(tire_rating), group / axles, "tires", "wheels")
    by_suspension = _sets(SUM(suspension), group / axles, "suspension", by_tires)
    found = IF(axle_rating * axles <= group * EQUAL, "axles", by_suspension)
    return _blank_if(group.equals(""), Owned(found, "LOT_WEAKEST_PART", *_GEAR))


def _gross_limit() -> Expression:
    found = MIN(
        gvwr,
        IF(_usable(group), group / (1 - _LOW_OR_USUAL), gvwr),
        IF(_usable(coupler), coupler, gvwr),
        IF(_usable(vertical), vertical / _HIGH_OR_USUAL, gvwr),
    )
    return _blank_if(SUM(gvwr) <= 0, Owned(found, "LOT_GROSS_LIMIT", *_RATINGS))


def _limited_by() -> Expression:
    by_coupler = _sets(SUM(coupler), limit, "coupler", "coupler vertical")
    by_axles = _sets(SUM(group) / (1 - _LOW_OR_USUAL), limit, "axle group", by_coupler)
    found = IF(gvwr <= limit * EQUAL, "GVWR", by_axles)
    return _blank_if(limit.equals(""), Owned(found, "LOT_LIMITED_BY", *_RATINGS))


def _share(stated: Cell, end: str) -> Expression:
    """The stated share, else the usual one of the hitch, which the yard may have changed."""
    gooseneck, other = Cell(f"limit_pin_{end}_gooseneck"), Cell(f"limit_pin_{end}_other")
    usual = IF(
        TRIM(hitch).equals("gooseneck"),
        gooseneck,
        IF(OR(TRIM(hitch).equals("pintle"), TRIM(hitch).equals("ball")), other, ""),
    )
    return IFERROR(IF(AND(SUM(stated) > 0, SUM(stated) < 1), stated, usual), "")


# Where the load may stand: moments about the axles. At the gross limit the shares keep the axles and the coupler too.


def _from_deck(function: str, place: Expression) -> Expression:
    window = Registered(function, empty, empty_pin, to_axles, safe, low, high)
    return Owned(place - to_deck, "LOT_FROM_DECK", window, to_deck)


def _load_from() -> Expression:
    known = (empty_pin, to_axles, to_deck, safe, pin, low)
    place = to_axles * MAX(0, empty_pin + safe - pin) / safe
    too_much = limit * low > (empty_pin + safe) * EQUAL
    nowhere = OR(MIN(to_axles, to_deck, safe) <= 0, empty_pin < 0, empty_pin > empty, low > high, too_much)
    return IFERROR(_where_known(known, IF(nowhere, "", _from_deck("LOT_FOREMOST", place))), "")


def _load_to() -> Expression:
    place = MAX(0, to_axles * (empty_pin + safe - limit * low) / safe)
    return _blank_if(load_from.equals(""), _from_deck("LOT_REARMOST", place))


# Angles, label


def _tail_angle() -> Expression:
    slope = Owned(DEGREES(ASIN(tail_drop / tail_length)), "LOT_RAMP_ANGLE", tail_drop, tail_length)
    return _where_known((tail_drop, tail_length), IF(OR(tail_drop < 0, tail_drop >= tail_length), "", slope))


def _ramp_angle() -> Expression:
    """Of a deck height and a ramp that are plausible: a slip of the unit is not to come out as a slope."""
    rise = deck_height - MAX(0, tail_drop)
    least_height, most_height, least_ramp, most_ramp = (
        Cell(f"limit_plaus_{figure}_{end}")
        for figure in ("deck_height", "ramp_length")
        for end in ("least", "greatest")
    )
    refused = OR(
        *(deck_height < least_height, deck_height > most_height, ramp_length < least_ramp, ramp_length > most_ramp),
        *(rise < 0, rise >= ramp_length),
    )
    written = DEGREES(ASIN(rise / ramp_length))
    slope = Owned(written, "LOT_RAMP_ANGLE", Registered("LOT_RAMP_RISE", deck_height, tail_drop), ramp_length)
    return IFERROR(_where_known((deck_height, ramp_length), IF(refused, "", slope)), "")


class _OfTrimmed(Registered):
    """A function of the VIN, written for a cell that holds it trimmed and in capitals."""

    __slots__ = ()

    def text(self, places: Places) -> str:
        vin = places[vin_text.key]
        return super().text(places).replace(f"UPPER(TRIM({vin}))", vin).replace(f"TRIM({vin})", vin)


def _vin(function: str, *more: Expression) -> Expression:
    written = _OfTrimmed(function, vin_text, *more, guarded=False)
    return IF(ISTEXT(vin), IFERROR(Owned(written, function, vin_text, *more), ""), "")


# Checks


def _checks() -> Expressions:
    """How far each rating falls short; 0 where it suffices, blank where it cannot be asked."""
    at_gvwr = gvwr * high
    return {
        "axles_short": _blank_if(
            OR(limit.equals(""), group.equals(""), low.equals("")),
            _shortfall(gvwr * (1 - low), axles * axle_rating),
        ),
        "suspension_short": _where_known(
            (axle_rating, suspension),
            IF(MIN(axle_rating, suspension) <= 0, "", _shortfall(axle_rating, suspension)),
        ),
        "tires_short": _blank_if(
            OR(*_unstated((axle_rating, tires, tire_rating), tires)), _shortfall(axle_rating, tires * tire_rating)
        ),
        "wheels_short": _blank_if(
            OR(*_unstated((axle_rating, tires, wheel_rating), tires)), _shortfall(axle_rating, tires * wheel_rating)
        ),
        "coupler_short": _blank_if(OR(limit.equals(""), SUM(coupler) <= 0), _shortfall(gvwr, coupler)),
        "vertical_short": _blank_if(OR(pin.equals(""), SUM(vertical) <= 0), _shortfall(at_gvwr, vertical)),
        "chains_short": _blank_if(
            OR(limit.equals(""), SUM(chains) <= 0), _shortfall(gvwr * Cell("limit_chain_factor"), chains)
        ),
        "jacks_short": _blank_if(
            OR(pin.equals(""), *_unstated((jacks, jack_rating), jacks)),
            _shortfall(at_gvwr * Cell("limit_jack_factor"), jacks * jack_rating),
        ),
        "ties_short": _blank_if(
            OR(payload.equals(""), *_unstated((points, point_rating), points)),
            _shortfall(payload, points * point_rating),
        ),
        "stated_over": _blank_if(OR(payload.equals(""), SUM(stated_payload) <= 0), _shortfall(stated_payload, payload)),
        "empty_over": _blank_if(OR(limit.equals(""), empty.equals("")), _shortfall(empty, gvwr)),
        "width_over": _blank_if(SUM(width) <= 0, _shortfall(width, Cell("limit_legal_width"))),
        "placard": _placard(),
        "vin_check": _vin("LOT_VIN_CHECK"),
    }


FIGURES: Expressions = {
    "parted": parted_options(),
    "unlisted": _unlisted(),
    "options_weight": _options_weight(),
    "added": _added_by_yard(),
    "empty": _empty(),
    "payload": _payload(gvwr),
    "safe_payload": _payload(limit),
    "gross_limit": _gross_limit(),
    "limited_by": _limited_by(),
    "pin_weight": _where_known((limit, high), Owned(limit * high, "LOT_PIN_WEIGHT", limit, high)),
    "low_share": _share(stated_low, "low"),
    "high_share": _share(stated_high, "high"),
    "axle_group": _axle_group(),
    "weakest_part": _weakest(),
    "sticker_pin": _blank_if(
        OR(group.equals(""), limit.equals("")),
        Owned(MAX(0, gvwr - axles * axle_rating), "LOT_STICKER_PIN", gvwr, axles, axle_rating),
    ),
    "sticker_share": IF(sticker_pin.equals(""), "", Owned(sticker_pin / gvwr, "LOT_PIN_SHARE", sticker_pin, gvwr)),
    "axle_load": _where_known((limit, low), Owned(limit * (1 - low), "LOT_AXLE_LOAD", limit, low)),
    "load_from": _load_from(),
    "load_to": _load_to(),
    "tail_angle": _tail_angle(),
    "ramp_angle": _ramp_angle(),
    "vin_year": _vin("LOT_VIN_YEAR", MIN(USUAL_LATEST_YEAR, N(model_year))),
    "excise_rate": IF(limit.equals(""), "", IF(gvwr > excise_from, EXCISE_RATE, 0)),
    **_checks(),
}
"""Each figure by its key, over entries and other figures by theirs."""
