"""The cells of the Quote: where each stands and what it says."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache

from tarelot.calc.cells.expression import Cell, Expression, Range
from tarelot.calc.cells.spreadsheet import AND, IF, IFERROR, INDEX, ISNUMBER, LEFT, LEN, TRIM, is_blank
from tarelot.calc.cells.worked_out import WorkedOut
from tarelot.workbook_templates.basis.references import column_key
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling import followed
from tarelot.workbook_templates.hauling.asked import UNREADABLE, WRONG
from tarelot.workbook_templates.hauling.card import figures, letterhead
from tarelot.workbook_templates.hauling.card.cells import CHECK, NOT_STATED, is_listed, name
from tarelot.workbook_templates.hauling.match.stored import Columns
from tarelot.workbook_templates.hauling.quote import entries, on_pin, prices
from tarelot.workbook_templates.hauling.quote.prices import option_key, own_key
from tarelot.workbook_templates.hauling.what_if.rows import (
    TRAILER,
    choice_key,
    is_listed_twice,
    no_choice,
    row_of_choice,
)
from tarelot.workbook_templates.lot import options
from tarelot.workbook_templates.lot.columns import COLUMNS, TABLE
from tarelot.workbook_templates.lot.expressions import figures_of_law
from tarelot.workbook_templates.sheets import yard

SHEET = "Quote"
C = Cell
HELPERS = "JKL"
"""Hidden columns: what the page is made of."""
TILES = (
    ("gvwr", "GVWR, from the certification label"),
    ("empty", "Empty weight"),
    ("payload", "Payload by the label"),
    ("safe_payload", "Safe payload, by every part"),
)
"""The weights that stand large, by the Lot's key."""
ROW = {"title": 4, "tiles": 7, "band": 10, "trailer": 11, "options": 12}
ROW["said"] = ROW["options"] + len(prices.PLACES)
ROW |= {"options_total": ROW["said"] + 1, "own": ROW["said"] + 2}
ROW["total"] = ROW["own"] + len(entries.OWN_LINES)
ROW |= {"lacking": ROW["total"] + 2, "excise": ROW["total"] + 3, "valid": ROW["total"] + 4}
ROW |= {"cautions": ROW["valid"] + 2, "signed": ROW["valid"] + 8}
"""Rows by what begins there."""
STANDS_TWICE = f"{WRONG} stands on the Lot twice: leave only one of them"
EXCISE = "Federal excise tax may be due (26 USC 4051): ask a tax adviser. It is not in the total."
NO_EXCISE = "Whether federal excise tax (26 USC 4051) may be due is not known: the GVWR is not stated."
NO_OPTIONS = "No options are named for this trailer."

_COUNTED = ("unsettled_options", "unsettled", "sum", "to_axles")


@cache
def cells() -> dict[str, str]:
    """The cell of each expression, by key."""
    row = ROW
    found = {"name": "B1", "date": "E1", "address": "B2", "line": "B3"}
    found |= {"title": f"B{row['title']}", "subtitle": f"B{row['title'] + 1}"}
    found |= {"large": f"D{row['title']}", "below_large": f"D{row['title'] + 1}", "heading": f"D{row['band']}"}
    found |= {f"tile {key}": f"{letter}{row['tiles']}" for letter, (key, _) in zip("BCDE", TILES, strict=True)}
    found |= {"trailer_words": f"B{row['trailer']}", "trailer_price": f"D{row['trailer']}"}
    for place in prices.PLACES:
        at = row["options"] + place
        letters = {"name": "B", "fitter": "C", "price": "D", "row": HELPERS[0], "pin": HELPERS[2]}
        found |= {option_key(place, what): f"{letter}{at}" for what, letter in letters.items()}
    found |= {"said_of_options": f"B{row['said']}"}
    found |= {"options_total_words": f"B{row['options_total']}", "options_total": f"D{row['options_total']}"}
    for place in range(len(entries.OWN_LINES)):
        found |= {own_key(place, what): f"{at}{row['own'] + place}" for what, at in (("words", "B"), ("amount", "D"))}
    found |= {"total_words": f"B{row['total']}", "total": f"D{row['total']}", "lacking": f"B{row['lacking']}"}
    found |= {"excise": f"B{row['excise']}", "valid_words": f"B{row['valid']}", "valid": f"C{row['valid']}"}
    found |= {"found": entries.FOUND}
    found |= on_pin.CELLS
    behind = (choice_key(TRAILER), f"row of {TRAILER}", "options", "options_said", "parted", "missing", *_COUNTED)
    found |= {key: f"{HELPERS[1]}{number}" for number, key in enumerate(behind, 1)}
    return {key: f"${cell[0]}${cell[1:]}" if "$" not in cell else cell for key, cell in found.items()}


@cache
def expressions(units: Units) -> dict[str, Expression]:
    """What the cells say, by key."""
    found: dict[str, Expression] = {
        choice_key(TRAILER): IFERROR(followed.choice(TRAILER), UNREADABLE),
        f"row of {TRAILER}": IFERROR(
            IF(no_choice(TRAILER), "", IF(is_listed_twice(TRAILER), "twice", row_of_choice(TRAILER))), UNREADABLE
        ),
        "found": _found(),
        "name": letterhead.name(),
        "date": letterhead.date(),
        "address": letterhead.address(),
        "line": letterhead.own_line(),
        "title": _title(units),
        "subtitle": IF(is_listed(TRAILER), figures.subtitle(units), IF(no_choice(TRAILER), _CHOOSE, "")),
        "large": _large(),
        "below_large": _below_large(),
        "heading": _heading(),
        **{f"tile {key}": _weight(key, units) for key, _ in TILES},
        "trailer_words": _where_listed("Trailer, without the options below"),
        **prices.expressions(units),
        **on_pin.expressions(units),
        "said_of_options": IF(
            is_listed(TRAILER), IF(C("options").equals(""), NO_OPTIONS, prices.said_of_options()), ""
        ),
        "options_total_words": IF(C("options").equals(""), "", "Options together"),
        "total_words": _where_listed("Total"),
        "lacking": _where_listed(_said_of_total()),
        "excise": _excise(units),
        "valid_words": _valid(IF(_is_over(), OVER, "This quote is valid to")),
        "valid": _valid(C(entries.VALID)),
    }
    return {key: IFERROR(said, CHECK) for key, said in found.items()}


_CHOOSE = "Choose a trailer on the What-if sheet, or right of this page."
OVER = f"{WRONG} Valid to a day before its date:"
BELOW_0 = f"{WRONG} The total is below 0: look at the amounts."
_LACKING = "Not in the total: prices of options that are not stated."


def _where_listed(said: str | Expression) -> Expression:
    return IF(is_listed(TRAILER), said, "")


def _is_over() -> Expression:
    """Whether the last day stands before the quote's date, where both are days."""
    date, valid = C(entries.DATE), C(entries.VALID)
    return IFERROR(AND(ISNUMBER(date), ISNUMBER(valid), valid < date, valid > 0), False)


def _said_of_total() -> Expression:
    """What the total lacks, or that it is no price."""
    lacking = IF(C("missing") > 0, _LACKING, "")
    is_known = AND(ISNUMBER(C("sum")), C("unsettled").equals(0))
    return IF(is_known, IF(C("sum") < 0, BELOW_0, lacking), lacking)


def _found() -> Expression:
    """Which trailer it is, beside the choice."""
    stands = IF(is_blank(Cell(entries.CHOICE)), "as on What-if: " & C(choice_key(TRAILER)), "")
    lost = IF(C(f"row of {TRAILER}").equals("twice"), STANDS_TWICE, f"{WRONG} not on the Lot sheet")
    return IFERROR(IF(no_choice(TRAILER), "choose a stock number", IF(is_listed(TRAILER), stands, lost)), UNREADABLE)


def _title(units: Units) -> Expression:
    twice = C(choice_key(TRAILER)) & f" {STANDS_TWICE}"
    named = IF(C(f"row of {TRAILER}").equals("twice"), twice, name(TRAILER, units))
    return IF(no_choice(TRAILER), "No trailer chosen", named)


def _large() -> Expression:
    """The total as it stands large: behind the yard's words for a price, a minus before a currency's sign; blank where
    it is not known.
    """
    amount = letterhead.in_words(C("sum"))
    words = IF(LEFT(C("yard_price_words"), 4).equals("from"), amount, "from " & amount)
    least = IF(AND(ISNUMBER(C("sum")), C("unsettled").equals(0)), words, "")
    taken_off = AND(C("total") < 0, LEN(TRIM(C("yard_price_words"))).equals(1))
    total = IF(taken_off, "-" & letterhead.in_words(0 - C("total")), letterhead.in_words(C("total")))
    return IF(ISNUMBER(C("total")), total, IF(is_listed(TRAILER), least, ""))


def _below_large() -> Expression:
    known = IF(C("large").equals(""), "Total not known: see below", "Total, " & prices.missing_said())
    return _where_listed(IF(ISNUMBER(C("total")), "Total", known))


def _heading() -> Expression:
    """The heading of the amounts, with a currency's sign where the yard's words for a price are one."""
    words = TRIM(C("yard_price_words"))
    return IFERROR(IF(LEN(words).equals(1), IF(words.equals("0"), "Price", "Price (" & words & ")"), "Price"), "Price")


def _weight(key: str, units: Units) -> Expression:
    """A weight of the Lot, or in words that it lacks."""
    heading = next(column.heading for column in COLUMNS if column.key == key)
    found = INDEX(Range(column_key(TABLE, units.heading(heading))), C(f"row of {TRAILER}"))
    lacking = is_blank(found) if key == "gvwr" else found.equals("")
    return _where_listed(IFERROR(IF(lacking, NOT_STATED, IF(ISNUMBER(found), found, CHECK)), CHECK))


def _excise(units: Units) -> Expression:
    """The reminder above the weight that the law names."""
    gvwr, most = C("tile gvwr"), figures_of_law(units)["excise_from"]
    return _where_listed(IF(ISNUMBER(gvwr), IF(gvwr > most, EXCISE, ""), NO_EXCISE))


def _valid(said: str | Expression) -> Expression:
    blank = IFERROR(C(entries.VALID).equals(""), False)
    return _where_listed(IF(blank, "", said))


def worked_out(
    lot_rows: Sequence[Mapping[str, object]],
    pairs: Sequence[tuple[object, ...]],
    on_what_if: object,
    typed: Mapping[str, object],
    units: Units,
) -> WorkedOut:
    """Every cell of the Quote by key.

    Args:
        lot_rows: Inputs and results of the lot, by heading.
        pairs: The rows of Options.
        on_what_if: The stock number that is chosen on What-if; None for none.
        typed: What is typed on Start for the head of a page, and on the Quote, by key.
        units: The workbook's units.
    """
    given = followed.given({TRAILER: typed.get(entries.CHOICE)}, {TRAILER: on_what_if})
    given |= {key: typed.get(key) for key in (*(entry.key for entry in yard.ENTRIES), *entries.KEYS)}
    headings = [units.heading(heading) for heading, _ in options.COLUMNS]
    listed = [dict(zip(headings, pair, strict=False)) for pair in pairs]
    return WorkedOut(given, expressions(units), Columns({TABLE: lot_rows, options.TABLE: listed}))
