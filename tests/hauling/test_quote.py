"""The Quote: totals by hand, options that are named twice or lack a price, bad entries, and two engines.

Prices of the demo, typed here once more from ``demo/options.csv``: Spare tire 290, Ladder ramps 875, Winch plate 185,
Beacon kit 149.50, Side rails 460; Deck wood, oak has none.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import openpyxl
import pytest

from tarelot.calc.placement import pin_at
from tarelot.workbook_templates import workbook
from tarelot.workbook_templates.basis.units import US
from tarelot.workbook_templates.hauling.quote import entries, on_pin, page, prices
from tarelot.workbook_templates.hauling.quote import sheet as quote
from tarelot.workbook_templates.hauling.results import Hauling
from tarelot.workbook_templates.lot.results import lot_results
from tarelot.workbook_templates.sheets import demo_yard
from tests.engines import stored_results
from tests.engines.office import Office
from tests.hauling.what_if_live import Live

TITLE, LARGE, BELOW = "B4", "D4", "D5"
FIRST_OPTION, SAID, OPTIONS, TOTAL, LACKING, EXCISE = 12, "B24", "D25", "D28", "B30", "B31"
SERIAL = 46_387.0  # days from 1899-12-30 to 2026-12-31: 46,022 to 2026-01-01, and 365
EMPTY = ("", "", "")
SETTLE = "not known: 1 to be settled, marked ▲"
ODD_OPTIONS: list[tuple[object, ...]] = [
    *demo_yard.options(),
    *(("Tarp", 10, None, 50), ("TARP", 10, None, 60), ("Free wash", 5, None, 0), ("Wild * card?", 5, "yard", 20)),
    *(("In words", 5, None, "100"), ("Below", 5, None, -3), ("One", 5, None, 1), ("Short row", 5)),
    *(("Rear box", 100, "yard", 80, 33), ("Place in words", 5, None, 5, "front"), ("Weight in words", "5", None, 5, 9)),
]
SOLD = "Spare tire; Ladder ramps; Winch plate"
Cells = Mapping[str, object]


def trailer(**changed: object) -> dict[str, object]:
    """The fifth trailer of the demo, with other entries."""
    row: dict[str, object] = {**demo_yard.trailers()[4]}
    assert (row["Stock no."], row["Price"], row["Options"]) == ("1105", 14_900, SOLD)
    return row | changed


def said(*rows: dict[str, object], typed: Cells | None = None, choice: object = "1105") -> dict[str, object]:
    """What the Quote of a lot says, by cell, as it is stored."""
    found = lot_results(rows, ODD_OPTIONS, US)
    filled = [{**row, **result} for row, result in zip(rows, found, strict=True)]
    cells = quote.stored(filled, ODD_OPTIONS, choice, {"yard_price_words": "$", **(typed or {})}, US)
    return {cell: "" if value is None else value for cell, value in cells.items()}


def lines(cells: Cells) -> list[tuple[object, object, object]]:
    """The lines of the options that say something."""
    rows = range(FIRST_OPTION, FIRST_OPTION + len(prices.PLACES))
    found = [(cells[f"B{row}"], cells[f"C{row}"], cells[f"D{row}"]) for row in rows]
    return [line for line in found if line != EMPTY]


def total(cells: Cells) -> tuple[object, ...]:
    """The total in the table, large, and the words below."""
    return cells[TOTAL], cells[LARGE], cells[BELOW]


def test_price_and_options_are_added() -> None:
    cells = said(trailer())
    assert lines(cells) == [("Spare tire", "yard", 290), ("Ladder ramps", "maker", 875), ("Winch plate", "yard", 185)]
    assert cells["D11"] == 14_900
    assert cells[OPTIONS] == 1_350  # 290 + 875 + 185
    assert total(cells) == (16_250, "$16,250", "Total")  # 14,900 + 1,350
    assert (cells[EXCISE], cells[LACKING], cells[SAID]) == ("", "", "")
    assert [cells[f"{letter}7"] for letter in "BCD"] == [20_000, 5_960, 14_040]  # GVWR, weighed, and what is left


def test_an_option_named_twice_is_sold_twice_and_cents_are_kept() -> None:
    cells = said(trailer(Options="Beacon kit; side rails; Beacon kit ;"))
    assert lines(cells) == [
        ("Beacon kit", "yard", 149.5),
        ("side rails", "maker", 460),
        ("Beacon kit", "yard", 149.5),
    ]
    assert (cells[OPTIONS], cells[TOTAL]) == (759, 15_659)  # 149.50 + 460 + 149.50
    named = "▲ An option is named more than once on the Lot, and added each time: is it fitted that many times?"
    assert cells[SAID] == named
    assert total(said(trailer(Options="Beacon kit"))) == (15_049.5, "$15,049.50", "Total")


def test_twelve_options_have_a_line_each_and_thirteen_are_said() -> None:
    cells = said(trailer(Options="; ".join(["Spare tire"] * 12)))
    assert (len(lines(cells)), cells[TOTAL]) == (12, 18_380)  # 14,900 + 12 x 290
    cells = said(trailer(Options="; ".join(["Spare tire"] * 13)))
    assert lines(cells) == []
    assert cells[SAID] == "▲ more than 12 options on the Lot, or too long a text"
    assert total(cells) == (SETTLE, "", "Total not known: see below")


def test_a_price_that_is_not_stated_is_counted_and_said() -> None:
    cells = said(trailer(Options="Spare tire; Deck wood, oak"))
    assert lines(cells)[1] == ("Deck wood, oak", "maker", "price not stated")
    # 14,900 + 290
    assert total(cells) == ("from 15,190, 1 price not stated", "from $15,190", "Total, 1 price not stated")
    assert cells[OPTIONS] == "from 290, 1 price not stated"
    assert cells[LACKING] == "Not in the total: prices of options that are not stated."
    cells = said(trailer(Options="Deck wood, oak; Spare tire; Sun roof"))
    assert lines(cells)[2] == ("Sun roof", "", "▲ not on Options")


@pytest.mark.parametrize(
    ("option", "words"),
    [(name, "▲ price cannot be used") for name in ("In words", "Below", "One")]
    + [("Tarp", "▲ stands on Options twice")],
)
def test_an_option_whose_price_is_no_amount_leaves_no_total(option: str, words: str) -> None:
    cells = said(trailer(Options=option))
    assert lines(cells) == [(option, "maker", words)]
    assert cells[TOTAL] == SETTLE


def test_what_options_add_to_the_empty_pin_by_hand() -> None:
    """Moments about the axles: 120 x (1 - 4 / 30) = 104 lb, and 60 x (1 - 7.5 / 30) = 45 lb; the ramps have none."""
    axles = {"Coupler to axles (ft)": 30}
    change, counted = (on_pin.CELLS[key] for key in ("pin_change", "pin_counted"))
    cells = said(trailer(**axles))
    assert cells[change] == pytest.approx(149)
    assert cells[counted] == "from 2 of 3 options"
    twice = said(trailer(Options="Spare tire; spare tire", **axles))
    assert (twice[change], twice[counted]) == (pytest.approx(208), "from 2 of 2 options")
    # behind the axles it takes weight off: 100 x (1 - 33 / 30) = -10
    assert said(trailer(Options="Rear box", **axles))[change] == pytest.approx(-10)
    assert said(trailer(Options="Ladder ramps", **axles))[change] == on_pin.NO_PLACES
    # 33 ft is more than twice 16 ft behind the coupler: inches for feet would show a pin that no trailer has
    assert said(trailer(Options="Rear box", **{"Coupler to axles (ft)": 16}))[change] == on_pin.NO_PLACES
    far = said(trailer(Options="Rear box; Spare tire", **{"Coupler to axles (ft)": 16}))
    assert (far[change], far[counted]) == (pytest.approx(90), "from 1 of 2 options")  # 120 x (1 - 4 / 16)
    assert said(trailer(Options="Rear box", **{"Coupler to axles (ft)": 16.5}))[change] == pytest.approx(-100)
    assert said(trailer(**{"Coupler to axles (ft)": None}))[change] == on_pin.NO_AXLES
    for option in ("Tarp", "Place in words", "Weight in words"):  # which of two, where and how heavy is not known
        assert said(trailer(Options=option, **axles))[change] == on_pin.NO_PLACES
    none = said(trailer(Options=None, **axles))
    assert (none[change], none[counted]) == ("", "")


def test_the_change_of_the_pin_is_that_of_the_function_for_a_place() -> None:
    """The same moments by the function that asks where a load sits, on a trailer without an empty pin."""
    axles = float(str(trailer()["Coupler to axles (ft)"]))
    by_function = sum(pin_at(3_000.0, 0.0, axles, weight, place) for weight, place in ((120.0, 4.0), (60.0, 7.5)))
    assert said(trailer())[on_pin.CELLS["pin_change"]] == pytest.approx(by_function)


LINES = {"first_words": "Delivery", "first_amount": 350, "second_words": "Trade-in", "second_amount": -4000}
CASES: tuple[tuple[dict[str, object], dict[str, object], object], ...] = (
    ({}, {}, 16_250),
    ({"Options": "Deck wood, oak; Spare tire; Sun roof"}, {}, "from 15,190, 2 prices not stated"),
    ({"Options": "Short row"}, {}, "from 14,900, 1 price not stated"),
    ({"Options": "Free wash; Wild * card?"}, {}, 14_920),  # 0 is a price of an option: 14,900 + 0 + 20
    ({"Price": 0}, {}, "not known: the trailer's price is not stated"),
    ({"Price": 1}, {}, "not known: the trailer's price cannot be used"),  # TRUE in LibreOffice
    ({}, {entries.PRICE: 1}, "not known: the trailer's price cannot be used"),
    ({}, {entries.PRICE: 0}, 16_250),  # the Lot's
    ({"Options": "Tarp"}, {}, SETTLE),
    ({"Options": "Rear box; Place in words"}, {}, 14_985),  # 14,900 + 80 + 5
    ({"Options": "In words; Below"}, {}, "not known: 2 to be settled, marked ▲"),
    ({"Price": None}, {}, "not known: the trailer's price is not stated"),
    ({"Price": "call"}, {}, "not known: the trailer's price cannot be used"),
    ({"Price": -5}, {}, "not known: the trailer's price cannot be used"),
    ({}, {entries.PRICE: "on request"}, "not known: the trailer's price is said in words"),
    ({}, {entries.PRICE: 12_000}, 13_350),  # in place of 14,900: 12,000 + 1,350
    ({"Price": None}, {entries.PRICE: 0}, "not known: the trailer's price is not stated"),
    ({}, {entries.PRICE: -1}, "not known: the trailer's price cannot be used"),
    ({"Options": 7}, {}, SETTLE),
    ({"Options": None}, {}, 14_900),
    ({"Options": 0}, {}, 14_900),
    ({}, LINES, 12_600),  # 16,250 + 350 for delivery - 4,000 for what is traded in
    ({}, {"second_amount": -250.25}, 15_999.75),
    ({}, {"first_words": "Delivery"}, SETTLE),
    ({}, {"first_words": "Delivery", "first_amount": "350 or so"}, SETTLE),
    ({"Options": "Deck wood, oak"}, {"first_words": "x", "first_amount": -100}, "from 14,800, 1 price not stated"),
    ({"Options": "Beacon kit; Spare tire; beacon kit"}, {}, 15_489),  # 14,900 + 149.50 + 290 + 149.50
    ({}, {"first_words": "Trade-in", "first_amount": -20_000}, -3_750),
    ({}, {entries.DATE: SERIAL, entries.VALID: SERIAL - 1}, 16_250),
    ({"GVWR (lb)": 26_000}, {}, 16_250),
    ({"GVWR (lb)": 26_001}, {}, 16_250),
    ({"GVWR (lb)": None}, {}, 16_250),
)
"""Entries of the Lot, what is typed on the Quote, and the total."""


@pytest.mark.parametrize(("row", "typed", "expected"), CASES)
def test_what_is_typed_wins_and_what_cannot_be_added_is_said(
    row: dict[str, object], typed: dict[str, object], expected: object
) -> None:
    assert said(trailer(**row), typed=typed)[TOTAL] == expected


def test_a_total_below_0_and_a_last_day_before_the_date_are_said() -> None:
    below = said(trailer(), typed={"first_words": "Trade-in", "first_amount": -20_000})
    assert (below[TOTAL], below[LACKING]) == (-3_750, page.BELOW_0)  # 16,250 - 20,000
    assert below[LARGE] == "-$3,750"
    assert said(trailer(), typed={"first_words": "Trade-in", "first_amount": -16_250})[LACKING] == ""  # 0
    for date, valid, words in (
        (SERIAL, SERIAL - 1, page.OVER),
        (SERIAL, SERIAL, "This quote is valid to"),
        (None, SERIAL, "This quote is valid to"),
        ("today", SERIAL, "This quote is valid to"),
        (SERIAL, "as long as it stands here", "This quote is valid to"),
        (SERIAL, None, ""),
    ):
        assert said(trailer(), typed={entries.DATE: date, entries.VALID: valid})["B32"] == words


@pytest.mark.parametrize(
    ("gvwr", "words"),
    [(26_000, ""), (26_001, page.EXCISE), (None, page.NO_EXCISE)],  # 26 USC 4051(a)(3): over 26,000 pounds
)
def test_the_excise_reminder_adds_nothing(gvwr: object, words: str) -> None:
    cells = said(trailer() | {"GVWR (lb)": gvwr})
    assert (cells[EXCISE], cells[TOTAL], cells["B7"]) == (words, 16_250, gvwr or "not stated")
    assert "26 USC 4051" in page.EXCISE
    assert "26 USC 4051" in page.NO_EXCISE


def test_a_stock_number_that_is_not_there_or_twice_is_said() -> None:
    for choice, rows, words in (
        ("9999", 1, "9999 ▲ not on the Lot sheet"),
        (None, 1, "No trailer chosen"),
        ("1105", 2, "1105 ▲ stands on the Lot twice: leave only one of them"),
    ):
        cells = said(*[trailer()] * rows, choice=choice)
        assert cells[TITLE] == words
        assert {cells[cell] for cell in (TOTAL, LARGE, BELOW, "B7", "D11", "B12", OPTIONS, EXCISE)} == {""}


def test_its_own_choice_wins_over_the_one_on_what_if() -> None:
    typed = {entries.CHOICE: "1105", entries.VALID: SERIAL}
    cells = said(trailer(), typed=typed, choice="9999")
    assert (cells[TITLE], cells[TOTAL]) == ("Brenmoor Deck 20", 16_250)
    assert (cells["B32"], cells["C32"]) == ("This quote is valid to", SERIAL)


@pytest.fixture(scope="module")
def odd_lot(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, list[dict[str, object]]]:
    """Every case as a trailer of its own, the last number twice; the workbook, and the rows."""
    rows = [trailer(**{"Stock no.": f"Q{number}", **row}) for number, (row, _, _) in enumerate(CASES)]
    rows += [trailer(**{"Stock no.": "twice"})] * 2
    path = tmp_path_factory.mktemp("quote") / "lot.xlsx"
    hauling = Hauling([{}, {}], [{}, {}], ("Q0", None, None), card={"yard_price_words": "$"})
    workbook.write(path, rows, ODD_OPTIONS, US, hauling=hauling)
    return path, rows


def rounds(rows: list[dict[str, object]]) -> list[tuple[str, dict[str, object], dict[str, object]]]:
    """What is chosen, what is typed by cell, blanks too, and what the Quote says then."""
    chosen = [(f"Q{number}", typed) for number, (_, typed, _) in enumerate(CASES)]
    found = []
    for choice, typed in [*chosen, ("twice", {}), ("nowhere", {})]:
        cells = {cell.replace("$", ""): typed.get(key) for key, cell in entries.places().items()}
        found.append((choice, cells, said(*rows, typed=typed, choice=choice)))
    return found


def test_libreoffice_says_the_same(odd_lot: tuple[Path, list[dict[str, object]]], office: Office) -> None:
    path, rows = odd_lot
    assert stored_results.differing_in_libreoffice(path, quote.SHEET, office) == []
    asked = rounds(rows)
    shown = sorted(asked[0][2])
    edits = [{"What-if!B5": choice, **{f"Quote!{c}": v for c, v in cells.items()}} for choice, cells, _ in asked]
    answers = office.edit_and_read_often(path, edits, [f"Quote!{cell}" for cell in shown])  # type: ignore[arg-type]
    for (choice, _, expected), answer in zip(asked, answers, strict=True):
        differing = [
            (cell, expected[cell], value)
            for cell, value in zip(shown, answer, strict=True)
            if not stored_results.same(expected[cell], value)
        ]
        assert differing == [], choice


def test_ironcalc_says_the_same(odd_lot: tuple[Path, list[dict[str, object]]]) -> None:
    path, rows = odd_lot
    live = Live(path)
    for choice, cells, expected in rounds(rows):
        live.set("What-if", "B5", choice)
        for cell, value in cells.items():
            live.set(quote.SHEET, cell, "" if value is None else str(value))
        live.model.evaluate()
        found = {cell: live.read(quote.SHEET, cell) for cell in expected}
        differing = [(c, expected[c], found[c]) for c in expected if not stored_results.same(expected[c], found[c])]
        assert differing == [], choice


ERRORS = (
    *("Lot!K9", "Lot!V9", "Lot!T9", "Options!A6", "Options!C5", "Options!D5", "What-if!B5"),
    *(f"Quote!H{row}" for row in (11, 13, 14, 15, 16, 17)),
)


def test_an_error_in_a_cell_is_said_and_leaves_no_wrong_total(demo_workbook: Path, office: Office) -> None:
    """Stock no. 1105, in row 9, without anything wrong comes to 16,250."""
    book = openpyxl.load_workbook(demo_workbook)
    assert [book["Lot"][f"{letter}4"].value for letter in "KTV"] == ["Price", "GVWR (lb)", "Options"]
    shown = [f"Quote!{one.coordinate}" for row in book["Quote"]["A1:H42"] for one in row if one.data_type == "f"]
    right = {cell: book[cell.partition("!")[0]][cell.partition("!")[2]].value for cell in ERRORS}
    edits = [{**right, "What-if!B5": "1105", cell: "=1/0"} for cell in ERRORS]
    for cell, answer in zip(ERRORS, office.edit_and_read_often(demo_workbook, edits, shown), strict=True):  # type: ignore[arg-type]
        found = dict(zip(shown, answer, strict=True))
        assert [one for one in found.items() if str(one[1]).startswith(("#", "Err:"))] == [], cell
        money, title = found[f"Quote!{TOTAL}"], str(found[f"Quote!{TITLE}"])
        if cell in ("Quote!H11", "What-if!B5"):
            assert money == "", cell
            assert "▲" in title, cell
        elif cell in ("Lot!K9", "Lot!V9", "Options!A6", "Options!D5", "Quote!H15", "Quote!H17"):
            assert str(money).startswith("not known: "), cell
        else:
            assert money in (16_250, SETTLE), cell
