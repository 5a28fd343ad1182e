"""What the Quote says and adds: the trailer's price, its options, the yard's own lines, the totals.

Nothing is left out of a total without a word: where a price is not stated the total says from what it is, and where an
entry cannot be an amount there is none.
"""

from __future__ import annotations

from tarelot.calc.cells.expression import Cell, Expression, Range
from tarelot.calc.cells.spreadsheet import (
    AND,
    COUNTIF,
    IF,
    IFERROR,
    INDEX,
    ISNUMBER,
    ISTEXT,
    LEFT,
    MATCH,
    OR,
    ROUND,
    SUBSTITUTE,
    SUM,
    SUMPRODUCT,
    is_blank,
)
from tarelot.calc.ratings import MOST_OPTIONS
from tarelot.calc.rules.lot import TOO_MANY_OPTIONS, option_piece, parted_options
from tarelot.workbook_templates.basis.references import column_key
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling.asked import UNREADABLE, WRONG
from tarelot.workbook_templates.hauling.card import letterhead
from tarelot.workbook_templates.hauling.card.cells import is_listed
from tarelot.workbook_templates.hauling.drive_on.block import Block
from tarelot.workbook_templates.hauling.quote.entries import OWN_LINES, PRICE
from tarelot.workbook_templates.hauling.what_if.rows import TRAILER
from tarelot.workbook_templates.lot import options
from tarelot.workbook_templates.lot.columns import TABLE

C = Cell
NOT_STATED, NOT_LISTED = "price not stated", f"{WRONG} not on Options"
TWICE, UNUSABLE = f"{WRONG} stands on Options twice", f"{WRONG} price cannot be used"
NAMED_TWICE = (
    f"{WRONG} An option is named more than once on the Lot, and added each time: is it fitted that many times?"
)
AMOUNT_NOT_STATED, AMOUNT_UNUSABLE = f"{WRONG} amount not stated", f"{WRONG} amount cannot be used"
UNNAMED_LINE = "Other"
PLACES = range(MOST_OPTIONS)
_NAMES, _PRICES, _FITTED = (
    Range(column_key(options.TABLE, heading)) for heading in (options.NAME, options.PRICE, options.FITTED)
)


def option_key(place: int, what: str) -> str:
    """The key of an option's name, row on Options, fitter or price."""
    return f"{what} of option {place + 1}"


def own_key(place: int, what: str) -> str:
    """The key of the words or the amount of a line of the yard's own, as the page says it."""
    return f"{what} of own line {place + 1}"


def expressions(units: Units) -> dict[str, Expression]:
    """All that is priced, by key.

    Args:
        units: The workbook's units; prices have none.
    """
    found: dict[str, Expression] = {
        "trailer_price": _trailer_price(units),
        "options": _options(units),
        "options_said": _options_said(),
        "parted": IF(C("options_said").equals(""), parted_options(), ""),
    }
    for place in PLACES:
        found |= _option(place)
    for place, (words, amount) in enumerate(OWN_LINES):
        found[own_key(place, "words")] = _own_words(C(words), C(amount))
        found[own_key(place, "amount")] = _own_amount(C(words), C(amount))
    return found | _totals()


def _on_lot(heading: str, units: Units) -> Expression:
    return INDEX(Range(column_key(TABLE, units.heading(heading))), C(f"row of {TRAILER}"))


def _amount(found: Expression, otherwise: str) -> Expression:
    """An amount of an option, 0 or more; 1 is refused, since LibreOffice makes it of TRUE."""
    return IF(AND(ISNUMBER(found), found >= 0, found.differs(1)), found, otherwise)


def _trailer_price(units: Units) -> Expression:
    """What is typed on the sheet, an amount or words; else the Lot's price. 0 is none, as a blank, here as on the
    Card and on Compare.
    """
    on_lot, here = _on_lot("Price", units), C(PRICE)
    listed = IF(is_blank(on_lot), NOT_STATED, IF(letterhead.is_price(on_lot), on_lot, UNUSABLE))
    typed = IF(OR(ISTEXT(here), letterhead.is_price(here)), here, UNUSABLE)
    return IF(is_listed(TRAILER), IFERROR(IF(is_blank(here), listed, typed), UNREADABLE), "")


def _options(units: Units) -> Expression:
    """The Lot's text; 0 is typed for none, and some programs read a blank as 0."""
    found = _on_lot("Options", units)
    return IF(is_listed(TRAILER), IFERROR(IF(is_blank(found), "", found), UNREADABLE), "")


def _options_said() -> Expression:
    """What is wrong with that text as a whole."""
    many = IF(TOO_MANY_OPTIONS, f"{WRONG} more than {MOST_OPTIONS} options on the Lot, or too long a text", "")
    read = IF(C("options").equals(UNREADABLE), f"{WRONG} the Lot's Options hold an error", many)
    return IF(C("options").equals(""), "", IF(ISTEXT(C("options")), read, f"{WRONG} the Lot's Options are no text"))


def said_of_options() -> Expression:
    """What is wrong with the options as a whole, or that one of them is named twice and so is added twice."""
    keys = [option_key(place, "row") for place in PLACES]
    again = (IF(ISNUMBER(C(key)), (COUNTIF(Block(keys), C(key)) > 1) * 1, 0) for key in keys)
    return IF(C("options_said").differs(""), C("options_said"), IF(SUM(*again) > 0, NAMED_TWICE, ""))


def _option(place: int) -> dict[str, Expression]:
    """An option: its name, its row on Options, who fits it, its price or why there is none."""
    name, row = C(option_key(place, "name")), C(option_key(place, "row"))
    literal = SUBSTITUTE(SUBSTITUTE(SUBSTITUTE(name, "~", "~~"), "*", "~*"), "?", "~?")
    fitter, price = INDEX(_FITTED, row), INDEX(_PRICES, row)
    known = IF(price.equals(""), NOT_STATED, _amount(price, UNUSABLE))
    once = IF(SUMPRODUCT(_NAMES.equals(name) * 1) > 1, TWICE, IF(ISNUMBER(row), known, NOT_LISTED))
    return {
        name.key: IFERROR(option_piece(place), ""),
        row.key: IF(name.equals(""), "", IFERROR(MATCH(literal, _NAMES, 0), "")),
        option_key(place, "fitter"): IFERROR(
            IF(ISNUMBER(row), IF(is_blank(fitter), options.FITTERS[0], fitter), ""), UNREADABLE
        ),
        option_key(place, "price"): IF(name.equals(""), "", IFERROR(once, UNREADABLE)),
    }


def _own_words(words: Expression, amount: Expression) -> Expression:
    """The words of a line of the yard's own; an amount without words has a line too."""
    return IF(is_listed(TRAILER), IFERROR(IF(words.equals(""), _if_typed(amount, UNNAMED_LINE), words), UNREADABLE), "")


def _if_typed(amount: Expression, said: str) -> Expression:
    return IFERROR(IF(amount.equals(""), "", said), said)


def _own_amount(words: Expression, amount: Expression) -> Expression:
    blank = IFERROR(IF(words.equals(""), "", AMOUNT_NOT_STATED), AMOUNT_NOT_STATED)
    typed = IF(AND(ISNUMBER(amount), amount.differs(1)), amount, AMOUNT_UNUSABLE)
    return IF(is_listed(TRAILER), IFERROR(IF(amount.equals(""), blank, typed), UNREADABLE), "")


def option_prices() -> Block:
    """The prices of the options, one below the other."""
    return Block([option_key(place, "price") for place in PLACES])


def own_amounts() -> Block:
    """The amounts of the yard's own lines, one below the other."""
    return Block([own_key(place, "amount") for place in range(len(OWN_LINES))])


def _totals() -> dict[str, Expression]:
    """How many prices lack, how many entries are to be settled, and the sums or why there is none."""
    prices, own, price = option_prices(), own_amounts(), C("trailer_price")
    some_of_own = SUM(*(COUNTIF(own, word) for word in (AMOUNT_NOT_STATED, AMOUNT_UNUSABLE, UNREADABLE)))
    of_options = SUM(*(COUNTIF(prices, word) for word in (TWICE, UNUSABLE, UNREADABLE)))
    whole = _said_of(C("sum"), C("unsettled"))
    in_words = IF(LEFT(price, 1).equals(WRONG), "cannot be used", "is said in words")
    why = "not known: the trailer's price " & IF(price.equals(NOT_STATED), "is not stated", in_words)
    return {
        "missing": COUNTIF(prices, NOT_STATED) + COUNTIF(prices, NOT_LISTED),
        "unsettled_options": of_options + IF(C("options_said").equals(""), 0, 1),
        "unsettled": C("unsettled_options") + some_of_own,
        "sum": IF(ISNUMBER(price), ROUND(SUM(price) + SUM(prices) + SUM(own), 2), ""),
        "options_total": IF(C("options").equals(""), "", _said_of(ROUND(SUM(prices), 2), C("unsettled_options"))),
        "total": IF(is_listed(TRAILER), IF(ISNUMBER(price), whole, why), ""),
    }


def _said_of(amount: Expression, unsettled: Expression) -> Expression:
    """A sum, from what it is at least, or why there is none."""
    settle = "not known: " & unsettled & f" to be settled, marked {WRONG}"
    least = "from " & letterhead.figure(amount) & ", " & missing_said()
    return IF(unsettled > 0, settle, IF(C("missing") > 0, least, amount))


def missing_said() -> Expression:
    """How many prices are not stated."""
    return C("missing") & IF(C("missing").equals(1), " price not stated", " prices not stated")
