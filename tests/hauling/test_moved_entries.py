"""What is typed, cut and pasted elsewhere on What-if: each figure goes on reading its own place.

LibreOffice moves the cells, as it does where a person cuts and pastes them. By hand: 1106 holds 16,930 lb by its label
and carries the wheel loader of 12,800 lb; one of 30,000 lb is above that, whatever was moved before it was typed.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from tarelot.workbook_templates.basis.units import US
from tarelot.workbook_templates.hauling.quote import entries, page
from tarelot.workbook_templates.hauling.what_if.answers import places
from tarelot.workbook_templates.hauling.what_if.rows import typed, used
from tests.engines.office import Office
from tests.hauling.yards import what_if_edits

PLACES = {key: place.replace("$", "").replace("'", "") for key, place in places(US, elsewhere=True).items()}
CHOSEN: dict[str, Any] = {"type": what_if_edits("1106", "Wheel loader 9", "Tandem dump 58")}
WEIGHT, GVWR = PLACES[typed("weight").key], PLACES[typed("gvwr").key]


def value(done: dict[str, Any], step: int, place: str) -> object:
    """What a cell shows after a step."""
    sheet, _, cell = place.partition("!")
    column, row = ord(cell[0]) - ord("A"), int(cell[1:]) - 1
    return done["values"][step][sheet][row][column]


def test_a_weight_typed_after_the_first_was_moved_away_counts(demo_workbook: Path, office: Office) -> None:
    done = office.dispatch(
        demo_workbook,
        [
            CHOSEN,
            {"type": {WEIGHT: 8_000.0}},
            {"move": [WEIGHT, GVWR]},
            {"type": {WEIGHT: 30_000.0}},
            {"type": {WEIGHT: None, GVWR: None}},
        ],
    )
    verdict, weight, gvwr = (PLACES[key] for key in ("summary", used("weight").key, used("gvwr").key))
    assert [value(done, step, verdict) for step in (0, 1)] == ["YES", "YES"]
    assert (value(done, 2, weight), value(done, 2, gvwr)) == (12_800, 8_000)
    assert (value(done, 3, weight), value(done, 3, verdict)) == (30_000, "NO")
    assert (value(done, 4, weight), value(done, 4, gvwr), value(done, 4, verdict)) == (12_800, 24_000, "YES")


def test_a_weight_moved_to_another_item_aboard_is_that_items(demo_workbook: Path, office: Office) -> None:
    first, second = (PLACES[f"item_{number}_weight as typed"] for number in (1, 2))
    done = office.dispatch(
        demo_workbook,
        [CHOSEN, {"type": {first: 900.0}}, {"move": [first, second]}, {"type": {first: 8_000.0}}],
    )
    read = [PLACES[f"item_{number}_weight"] for number in (1, 2)]
    assert [value(done, 3, place) for place in read] == [8_000, 900]


def test_rows_and_a_column_put_in_before_do_no_harm(demo_workbook: Path, tmp_path: Path, office: Office) -> None:
    target = tmp_path / "moved.xlsx"
    moved = office.moved_sheet(demo_workbook, "What-if", "What-if", columns=1, rows=2, target=target)

    def there(place: str) -> str:
        """One column to the right, two rows down."""
        cell = place.partition("!")[2]
        return f"What-if!{chr(ord(cell[0]) + 1)}{int(cell[1:]) + 2}"

    cells: dict[str, Any] = {there(place): name for place, name in CHOSEN["type"].items()}
    reads = [there(PLACES[key]) for key in (used("weight").key, "summary")]
    assert office.edit_and_read(moved, cells, reads) == [12_800, "YES"]
    assert office.edit_and_read(moved, {**cells, there(WEIGHT): 30_000.0}, reads) == [30_000, "NO"]


def test_an_amount_of_the_quote_moved_to_the_other_line_is_that_lines(demo_workbook: Path, office: Office) -> None:
    """1108 costs 19,950 on the Lot, its options 6,690: 26,640. The price typed for the page counts instead."""
    cells = {key: f"Quote!{place.replace('$', '')}" for key, place in entries.places().items()}
    price, (words, amount) = cells[entries.PRICE], (cells[key] for key in entries.OWN_LINES[0])
    total = f"Quote!{page.cells()['total'].replace('$', '')}"
    done = office.dispatch(
        demo_workbook,
        [
            {"type": {cells[entries.CHOICE]: "1108"}},
            {"type": {price: 350.0}},
            {"move": [price, amount]},
            {"type": {price: 20_000.0, words: "Delivery"}},
        ],
    )
    # 350 + 6,690, then 19,950 + 6,690 + 350, then 20,000 + 6,690 + 350
    assert [value(done, step, total) for step in range(4)] == [26_640, 7_040, 26_990, 27_040]


def test_a_stock_number_moved_on_compare_leaves_its_column_to_the_next(demo_workbook: Path, office: Office) -> None:
    """1105 and 1106 side by side; the second moved to the fourth column, then 1108 typed in its place."""
    chosen = {f"Compare!{letter}7": stock for letter, stock in zip("BCDE", ("1105", "1106", None, None), strict=True)}
    done = office.dispatch(
        demo_workbook, [{"type": chosen}, {"move": ["Compare!C7", "Compare!E7"]}, {"type": {"Compare!C7": "1108"}}]
    )
    names = [value(done, 2, f"Compare!{letter}9") for letter in "BCDE"]
    assert names == ["Brenmoor Deck 20", "Tindrel Hauler 25", "", "Brenmoor Deck 24"]
