"""The Quote: totals by hand, options that are named twice or lack a price, bad entries, and three engines.

Prices of the demo, typed here once more from ``demo/options.csv``: Spare tire 290, Ladder ramps 875, Winch plate 185,
Beacon kit 149.50, Side rails 460; Deck wood, oak has none.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import openpyxl
import pytest

from tarelot.workbook_templates import workbook
from tarelot.workbook_templates.basis.units import US
from tarelot.workbook_templates.hauling.quote import entries, page, prices
from tarelot.workbook_templates.hauling.quote import sheet as quote
from tarelot.workbook_templates.hauling.results import Hauling
from tarelot.workbook_templates.sheets import demo_yard
from tests.engines import stored_results
from tests.engines.office import Office

TITLE, LARGE, BELOW = "B4", "D4", "D5"
TRAILER, FIRST_OPTION, SAID, OPTIONS, OWN, TOTAL, LACKING, EXCISE = 11, 12, "B24", "D25", 26, "D28", "B30", "B31"
SERIAL = 46_387.0  # days from 1899-12-30 to 2026-12-31: 46,022 to 2026-01-01, and 365
EMPTY = ("", "", "")


def trailer(**changed: object) -> dict[str, object]:
    """The fifth trailer of the demo, with other entries."""
    row: dict[str, object] = {**demo_yard.trailers()[4]}
    assert (row["Stock no."], row["Price"]) == ("1105", 14_900)
    assert row["Options"] == "Spare tire; Ladder ramps; Winch plate"
    return row | {heading.replace("_", " "): value for heading, value in changed.items()}


def write(
    path: Path,
    row: Mapping[str, object],
    typed: Mapping[str, object] | None = None,
    options: list[tuple[object, ...]] | None = None,
    choice: object = "1105",
) -> dict[str, object]:
    """A lot of one trailer and its Quote's stored results, blank texts for blanks."""
    listed = options if options is not None else [*demo_yard.options()]
    hauling = Hauling([{}, {}], [{}, {}], (choice, None, None), card={"yard_price_words": "$"}, quote=typed or {})  # type: ignore[arg-type]
    workbook.write(path, [row, {}], [*listed, (None, None)], US, hauling=hauling)
    return {cell: "" if value is None else value for cell, value in stored_results.stored(path, quote.SHEET).items()}


def lines(cells: Mapping[str, object]) -> list[tuple[object, object, object]]:
    """The lines of the options that say something."""
    found = [
        (cells[f"B{row}"], cells[f"C{row}"], cells[f"D{row}"])
        for row in range(FIRST_OPTION, FIRST_OPTION + len(prices.PLACES))
    ]
    return [line for line in found if line != EMPTY]


def total(cells: Mapping[str, object]) -> tuple[object, ...]:
    """The total in the table, large, and the words below."""
    return cells[TOTAL], cells[LARGE], cells[BELOW]


def test_price_and_options_are_added(tmp_path: Path) -> None:
    cells = write(tmp_path / "lot.xlsx", trailer())
    assert lines(cells) == [
        ("Spare tire", "yard", 290),
        ("Ladder ramps", "maker", 875),
        ("Winch plate", "yard", 185),
    ]
    assert cells[f"D{TRAILER}"] == 14_900
    assert cells[OPTIONS] == 1_350  # 290 + 875 + 185
    assert total(cells) == (16_250, "$16,250", "Total")  # 14,900 + 1,350
    assert (cells[EXCISE], cells[LACKING], cells[SAID]) == ("", "", "")
    # GVWR 20,000, weighed 5,960: 14,040 by the label; the sticker's own figures are tests/lot's
    assert [cells[f"{letter}7"] for letter in "BCD"] == [20_000, 5_960, 14_040]


def test_an_option_named_twice_is_sold_twice_and_cents_are_kept(tmp_path: Path) -> None:
    cells = write(tmp_path / "lot.xlsx", trailer(Options="Beacon kit; side rails; Beacon kit ;"))
    assert [line[2] for line in lines(cells)] == [149.5, 460, 149.5]
    assert lines(cells)[1][0] == "side rails"
    assert cells[OPTIONS] == 759  # 149.50 + 460 + 149.50
    assert cells[TOTAL] == 15_659
    cells = write(tmp_path / "cents.xlsx", trailer(Options="Beacon kit"))
    assert total(cells) == (15_049.5, "$15,049.50", "Total")


def test_twelve_options_have_a_line_each_and_thirteen_are_said(tmp_path: Path) -> None:
    cells = write(tmp_path / "twelve.xlsx", trailer(Options="; ".join(["Spare tire"] * 12)))
    assert len(lines(cells)) == 12
    assert cells[TOTAL] == 18_380  # 14,900 + 12 x 290
    cells = write(tmp_path / "many.xlsx", trailer(Options="; ".join(["Spare tire"] * 13)))
    assert lines(cells) == []
    assert cells[SAID] == "▲ more than 12 options on the Lot, or too long a text"
    assert total(cells) == ("not known: 1 to be settled, marked ▲", "", "Total not known: see below")


def test_a_price_that_is_not_stated_is_counted_and_said(tmp_path: Path) -> None:
    cells = write(tmp_path / "one.xlsx", trailer(Options="Spare tire; Deck wood, oak"))
    assert lines(cells)[1] == ("Deck wood, oak", "maker", "price not stated")
    # 14,900 + 290
    assert total(cells) == ("from 15,190, 1 price not stated", "from $15,190", "Total, 1 price not stated")
    assert cells[OPTIONS] == "from 290, 1 price not stated"
    assert cells[LACKING] == "Not in the total: prices of options that are not stated."
    cells = write(tmp_path / "two.xlsx", trailer(Options="Deck wood, oak; Spare tire; Sun roof"))
    assert lines(cells)[2] == ("Sun roof", "", "▲ not on Options")
    assert cells[TOTAL] == "from 15,190, 2 prices not stated"


def test_a_price_of_0_is_a_price(tmp_path: Path) -> None:
    options: list[tuple[object, ...]] = [("Tarp", 10, None, 0), ("Wild * card?", 5, "yard", 20)]
    cells = write(tmp_path / "lot.xlsx", trailer(Options="Tarp; Wild * card?", Price=0), options=options)
    assert lines(cells) == [("Tarp", "maker", 0), ("Wild * card?", "yard", 20)]
    assert cells[TOTAL] == 20


def test_rows_without_a_price_column_are_read(tmp_path: Path) -> None:
    cells = write(tmp_path / "lot.xlsx", trailer(), options=[("Spare tire", 120), ("Ladder ramps", 320, "maker")])
    assert cells[TOTAL] == "from 14,900, 3 prices not stated"


@pytest.mark.parametrize(
    ("row", "typed", "expected"),
    [
        ({"Price": None}, {}, "not known: the trailer's price is not stated"),
        ({"Price": "call"}, {}, "not known: the trailer's price cannot be used"),
        ({"Price": -5}, {}, "not known: the trailer's price cannot be used"),
        ({}, {entries.PRICE: "on request"}, "not known: the trailer's price is said in words"),
        ({}, {entries.PRICE: 12_000}, 13_350),  # in place of 14,900: 12,000 + 1,350
        ({"Price": None}, {entries.PRICE: 0}, 1_350),
        ({}, {entries.PRICE: -1}, "not known: the trailer's price cannot be used"),
        ({"Options": 7}, {}, "not known: 1 to be settled, marked ▲"),
        ({"Options": None}, {}, 14_900),
        ({"Options": 0}, {}, 14_900),
        # 16,250 + 350 for delivery - 4,000 for what is traded in
        (
            {},
            {"first_words": "Delivery", "first_amount": 350, "second_words": "Trade-in", "second_amount": -4000},
            12_600,
        ),
        ({}, {"second_amount": -250.25}, 15_999.75),
        ({}, {"first_words": "Delivery"}, "not known: 1 to be settled, marked ▲"),
        ({}, {"first_words": "Delivery", "first_amount": "350 or so"}, "not known: 1 to be settled, marked ▲"),
        ({"Options": "Deck wood, oak"}, {"first_words": "x", "first_amount": -100}, "from 14,800, 1 price not stated"),
    ],
)
def test_what_is_typed_wins_and_what_cannot_be_added_is_said(
    row: dict[str, object], typed: dict[str, object], expected: object, tmp_path: Path, office: Office
) -> None:
    path = tmp_path / "lot.xlsx"
    assert write(path, trailer(**row), typed)[TOTAL] == expected
    assert differing(path, office) == []


@pytest.mark.parametrize(
    ("price", "said"),
    [("100", "▲ price cannot be used"), (-3, "▲ price cannot be used"), (1, "▲ price cannot be used")],
)
def test_an_option_whose_price_is_no_amount_leaves_no_total(
    price: object, said: str, tmp_path: Path, office: Office
) -> None:
    path = tmp_path / "lot.xlsx"
    cells = write(path, trailer(Options="Tarp"), options=[("Tarp", 10, None, price)])
    assert lines(cells) == [("Tarp", "maker", said)]
    assert cells[TOTAL] == "not known: 1 to be settled, marked ▲"
    assert differing(path, office) == []


def test_an_option_listed_twice_leaves_no_total(tmp_path: Path, office: Office) -> None:
    path = tmp_path / "lot.xlsx"
    cells = write(path, trailer(Options="Tarp"), options=[("Tarp", 10, None, 50), ("TARP", 10, None, 60)])
    assert lines(cells) == [("Tarp", "maker", "▲ stands on Options twice")]
    assert cells[TOTAL] == "not known: 1 to be settled, marked ▲"
    assert differing(path, office) == []


@pytest.mark.parametrize(
    ("gvwr", "said"),
    [(26_000, ""), (26_001, page.EXCISE), (None, page.NO_EXCISE)],  # 26 USC 4051(a)(3): over 26,000 pounds
)
def test_the_excise_reminder_adds_nothing(gvwr: object, said: str, tmp_path: Path) -> None:
    row = trailer() | {"GVWR (lb)": gvwr}
    cells = write(tmp_path / "lot.xlsx", row)
    assert (cells[EXCISE], cells[TOTAL]) == (said, 16_250)
    assert "26 USC 4051" in page.EXCISE
    assert cells["B7"] == (gvwr or "not stated")


def test_a_stock_number_that_is_not_there_or_twice_is_said(tmp_path: Path, office: Office) -> None:
    path = tmp_path / "lot.xlsx"
    cells = write(path, trailer(), choice="9999")
    assert cells[TITLE] == "9999 ▲ not on the Lot sheet"
    assert {cells[cell] for cell in (TOTAL, LARGE, BELOW, "B7", "D11", "B12", OPTIONS, EXCISE)} == {""}
    assert differing(path, office) == []
    cells = write(path, trailer(), choice=None)
    assert (cells[TITLE], cells[TOTAL]) == ("No trailer chosen", "")
    twice = tmp_path / "twice.xlsx"
    hauling = Hauling([{}, {}], [{}, {}], ("1105", None, None))
    workbook.write(twice, [trailer(), trailer()], [*demo_yard.options()], US, hauling=hauling)
    found = stored_results.stored(twice, quote.SHEET)
    assert found[TITLE] == "1105 ▲ stands on the Lot twice: make it single first"
    assert not found[TOTAL]
    assert differing(twice, office) == []


def test_its_own_choice_wins_over_the_one_on_what_if(tmp_path: Path) -> None:
    path = tmp_path / "lot.xlsx"
    hauling = Hauling([{}, {}], [{}, {}], ("1101", None, None), quote={entries.CHOICE: "1105", entries.VALID: SERIAL})
    workbook.write(path, demo_yard.trailers(), [*demo_yard.options()], US, hauling=hauling)
    cells = stored_results.stored(path, quote.SHEET)
    assert (cells[TITLE], cells[TOTAL]) == ("Brenmoor Deck 20", 16_250)
    assert cells["B32"] == "This quote is valid to"
    assert str(cells["C32"]).startswith("2026-12-31")


def differing(path: Path, office: Office) -> list[tuple[str, object, object]]:
    """Cells that LibreOffice, calculating all anew, or IronCalc find otherwise than stored."""
    return [
        *stored_results.differing_in_libreoffice(path, quote.SHEET, office),
        *stored_results.differing_in_ironcalc(path, quote.SHEET),
    ]


def test_the_demo_is_the_same_in_two_engines(demo_workbook: Path, office: Office) -> None:
    assert differing(demo_workbook, office) == []


@pytest.mark.parametrize(
    "cell",
    ["Lot!J9", "Lot!M9", "Lot!K9", "Options!A6", "Options!C5", "Options!D5", "Quote!H2", "Quote!H5", "Quote!H6"]
    + ["Quote!H7", "Quote!H8", "Quote!H4", "What-if!B5"],
)
def test_an_error_in_a_cell_is_said_and_leaves_no_wrong_total(cell: str, demo_workbook: Path, office: Office) -> None:
    """Stock no. 1105, in row 9, without anything wrong comes to 16,250."""
    book = openpyxl.load_workbook(demo_workbook)
    assert [book["Lot"][f"{letter}4"].value for letter in "JKM"] == ["Price", "GVWR (lb)", "Options"]
    shown = [f"Quote!{one.coordinate}" for row in book["Quote"]["A1:H42"] for one in row if one.data_type == "f"]
    found = dict(
        zip(shown, office.edit_and_read(demo_workbook, {"What-if!B5": "1105", cell: "=1/0"}, shown), strict=True)
    )
    assert [one for one in found.items() if str(one[1]).startswith(("#", "Err:"))] == []
    of_money = {"Lot!J9", "Lot!M9", "Options!A6", "Options!D5", "Quote!H6", "Quote!H8"}
    if cell in of_money:
        assert str(found[f"Quote!{TOTAL}"]).startswith("not known: ")
    elif cell in ("Quote!H2", "What-if!B5"):
        assert found[f"Quote!{TOTAL}"] == ""
        assert "▲" in str(found[f"Quote!{TITLE}"])
    else:
        assert found[f"Quote!{TOTAL}"] in (16_250, "not known: 1 to be settled, marked ▲")
