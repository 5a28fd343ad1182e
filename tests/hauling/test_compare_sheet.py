"""The Compare sheet: stored results against two engines, against Lot and Match, and what it says of each choice.

Gnumeric is asked of every sheet of the demo in ``tests/engines/test_gnumeric.py``.
"""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path

import openpyxl
import pytest

from tarelot.addin.command_line.hauling.comparison import compare_lot
from tarelot.calc.cells.formulas import LONGEST_FORMULA
from tarelot.workbook_templates import workbook
from tarelot.workbook_templates.basis.units import METRIC, US, Units
from tarelot.workbook_templates.hauling.compare import sheet as compare
from tarelot.workbook_templates.hauling.compare.expressions import told
from tarelot.workbook_templates.hauling.compare.lines import FROM_MATCH, LINES, WORDS
from tarelot.workbook_templates.hauling.match import columns as match
from tarelot.workbook_templates.hauling.results import Hauling, demo_hauling
from tarelot.workbook_templates.lists.reading import read_list
from tarelot.workbook_templates.lot import sheet as lot
from tarelot.workbook_templates.lot.columns import COLUMNS
from tarelot.workbook_templates.lot.reading import read_lot
from tarelot.workbook_templates.sheets import demo_yard, machines, trucks
from tarelot.workbook_templates.updates.apply import apply
from tarelot.workbook_templates.updates.plan import plan
from tests.engines.office import Office
from tests.engines.stored_results import differing_in_ironcalc, differing_in_libreoffice, stored
from tests.hauling.test_match_sheet import write_variants
from tests.hauling.what_if_live import Live

HEADINGS = {column.key: column.heading for column in COLUMNS}
TOLD = [f"Compare!{letter}{compare.TOLD_ROW}" for letter in "BCDE"]
SAID = {line.key: f"Compare!F{compare.ROWS[line.key]}" for line in LINES if line.differs}
Row = Mapping[str, object]


def write_yard(
    path: Path,
    stocks: Sequence[object],
    choices: tuple[object, object] = workbook.DEMO_MATCH,
    rows: Sequence[Row] | None = None,
    units: Units = US,
) -> Path:
    """The demo yard, or other trailers, with these chosen on Compare; nothing is chosen on What-if."""
    hauling = replace(demo_hauling(), compared=stocks, choices=(None, None, None))
    trailers = [*(demo_yard.trailers() if rows is None else rows), {}]
    workbook.write(path, trailers, [*demo_yard.options(), (None, None)], units, hauling=hauling, match_choices=choices)
    return path


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("compare") / "demo.xlsx"
    workbook.write_demo(path)
    return path


@pytest.fixture(scope="module")
def odd(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One that stands twice, one that is not there, a trailer with much missing, and a column left blank."""
    return write_yard(tmp_path_factory.mktemp("odd") / "odd.xlsx", ("1120", "9999", "1123", None))


@pytest.fixture(scope="module")
def variants(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A metric lot with four of the variants of Match chosen."""
    return write_variants(tmp_path_factory.mktemp("variants"), METRIC)


@pytest.mark.parametrize("book", ["demo", "odd", "variants"])
def test_stored_results_equal_libreoffice_and_ironcalc(
    book: str, request: pytest.FixtureRequest, office: Office
) -> None:
    path = request.getfixturevalue(book)
    assert len(stored(path, compare.SHEET)) == len(compare.cells())
    assert differing_in_libreoffice(path, compare.SHEET, office) == []
    assert differing_in_ironcalc(path, compare.SHEET) == []


def chance_trailers(chance: random.Random) -> list[dict[str, object]]:
    """Trailers of the demo with figures of each other, some of them blank."""
    demo = [dict(row) for row in demo_yard.trailers()]
    found = []
    for number in range(12):
        row = dict(chance.choice(demo))
        for heading in chance.sample(list(row), 14):
            other = chance.choice(demo).get(heading)
            row[heading] = None if chance.random() < 0.3 else other
        row |= {"Stock no.": chance.choice((f"C{number}", 500 + number, f"0{number}"))}
        found.append(row)
    return found


@pytest.mark.parametrize("number", [3, 7])
def test_trailers_by_chance_show_what_lot_and_match_show(tmp_path: Path, office: Office, number: int) -> None:
    """Each line of each trailer against the cell of its row there, in LibreOffice: the columns are found by heading."""
    chance = random.Random(number)
    rows = chance_trailers(chance)
    places = chance.sample(range(len(rows)), 4)
    stocks = [str(rows[place]["Stock no."]) for place in places]
    machine, truck = (
        chance.choice(list_.demo_rows())[name] for list_, name in ((machines, "Machine"), (trucks, "Truck"))
    )
    path = write_yard(tmp_path / "yard.xlsx", stocks, (machine, truck), rows)
    assert differing_in_libreoffice(path, compare.SHEET, office) == []
    assert differing_in_ironcalc(path, compare.SHEET) == []
    grid = office.recalculate(path)
    assert_same_as_there(grid, places)


def assert_same_as_there(grid: Mapping[str, Sequence[Sequence[object]]], places: Sequence[int]) -> None:
    """The lines of the trailers in these rows of the Lot, cell by cell."""
    on_lot, on_match = grid["Lot"][lot.FIRST_ROW - 2], grid["Match"][match.HEADING_ROW - 1]
    looked_at = 0
    for column, place in enumerate(places, 1):
        lot_row = dict(zip(on_lot, grid["Lot"][lot.FIRST_ROW - 1 + place], strict=False))
        match_row = dict(zip(on_match, grid["Match"][match.FIRST_ROW - 1 + place], strict=False))
        for line in LINES:
            here = grid["Compare"][compare.ROWS[line.key] - 1][column]
            if line.key == "trailer":
                there: object = f"{lot_row['Make']} {lot_row['Model']}".strip()
            elif line.key in FROM_MATCH:
                there = match_row[f"{line.key} of row"]
            else:
                there = lot_row[US.heading(HEADINGS[line.key])]
            if line in WORDS and len(str(there)) > line.most:
                there = str(there)[: line.most] + " ... more on Match"
            assert here == there, (line.key, place)
            looked_at += 1
    assert looked_at == 4 * len(LINES)


def test_the_demo_shows_what_lot_and_match_show(demo: Path, office: Office) -> None:
    assert_same_as_there(office.recalculate(demo), [4, 5, 7, 8])


def test_differences_by_hand(demo: Path) -> None:
    """The figures of 1105, 1106, 1108 and 1109 in ``demo/lot.csv``, each difference worked out beside it."""
    shown = {key: stored(demo, compare.SHEET)[cell.partition("!")[2]] for key, cell in SAID.items()}
    assert shown["price"] == "lowest price: 1105, 10,400 less than 1109"  # 25,300 - 14,900
    assert shown["gvwr"] == "highest GVWR: 1109, 10,000 lb more than 1105"  # 30,000 - 20,000
    # GVWR less empty weight: 20,000 - 5,960 = 14,040; 30,000 - 9,580 = 20,420.
    assert shown["payload"] == "most payload: 1109, 6,380 lb more than 1105"
    # Spare is payload less the machine's 16,400 here: -2,360 and 4,020.
    assert shown["spare"] == "most to spare: 1109, 6,380 lb more than 1105"
    # Two axles each: 10,000 on 1105 and 1106 against 14,400, twice: 28,800 - 20,000.
    assert shown["axle_group"] == "strongest axles: 1109, 8,800 lb more than 1105 and 1106"
    assert shown["deck_length"] == "longest deck: 1106, 2 ft 0 in more than 1108"  # 22 - 20
    assert shown["deck_width"] == "all the same"  # 102 each
    assert shown["deck_height"] == "lowest deck: 1105 and 1106 and 1108, 1 in lower than 1109"  # 35 against 36
    assert shown["points"] == "most tie-downs: 1109, 2 more than 1105 and 1106 and 1108"  # 14 - 12
    assert shown["status"] == "on order: 1109; on the lot now: 1105 and 1106 and 1108"
    assert shown["word"] == "carries it: 1106 and 1109; does not: 1105 and 1108"
    assert shown["conflicts"] == "no conflict: 1105"


def small(stock: str, **figures: object) -> dict[str, object]:
    """A trailer with few figures."""
    headings = {key: US.heading(heading) for key, heading in HEADINGS.items()}
    return {"Stock no.": stock, **{headings[key]: value for key, value in figures.items()}}


def test_what_is_seen_and_what_is_said_fit(tmp_path: Path, office: Office) -> None:
    """By hand: 20 ft 3 in less 20 ft is 3 in; 80.4 less 80.25, seen as 80.3, is 0.1; 3 of 4 have a price."""
    rows = [
        small("A", deck_length=20.25, deck_width=80.25, deck_height=30.04, price=9_000),
        small("B", deck_length=20, deck_width=80.4, deck_height=30.0, price=8_000.4, status="sold"),
        small("C", price=8_000.0, status="sold"),
        small("D", status="sold"),
    ]
    path = write_yard(tmp_path / "lot.xlsx", ("A", "B", "C", "D"), rows=rows)
    keys = ("deck_length", "deck_width", "deck_height", "price", "status", "gvwr")
    wanted = [
        "longest deck: A, 0 ft 3 in more than B; not known: C and D",
        "widest deck: B, 0.1 in more than A; not known: C and D",
        "the same; not known: C and D",
        "lowest price: B and C, 1,000 less than A; not known: D",
        "sold: B and C and D; not known: A",
        "not known",
    ]
    assert office.edit_and_read(path, {}, [SAID[key] for key in keys]) == wanted
    assert [stored(path, compare.SHEET)[SAID[key].partition("!")[2]] for key in keys] == wanted
    one_known = office.edit_and_read(path, {"Compare!B7": "", "Compare!C7": ""}, [SAID["price"], SAID["status"]])
    assert one_known == ["known only of C", "all sold"]
    assert office.edit_and_read(path, {"Compare!C7": "", "Compare!D7": "", "Compare!E7": ""}, [*SAID.values()]) == [
        ""
    ] * len(SAID)


def test_every_choice_that_cannot_be_shown_is_said(demo: Path, office: Office) -> None:
    edits: dict[str, float | str | bool | None] = {
        "Compare!B7": "1120",
        "Compare!C7": "9999",
        "Compare!D7": "",
        "Compare!E7": " 1120 ",
    }
    trailers = [f"Compare!{letter}{compare.ROWS['trailer']}" for letter in "BCDE"]
    found = office.edit_and_read(demo, edits, [*TOLD, *trailers])
    assert found == [
        "▲ stands on the Lot twice: leave only one of them",
        "▲ not on the Lot sheet",
        "none chosen",
        "▲ stands on the Lot twice: leave only one of them",
        "",
        "",
        "",
        "",
    ]
    number = office.edit_and_read(demo, {"Compare!B7": 1106, "Compare!C7": "110?", "Compare!D7": "1106"}, TOLD[:3])
    assert number == ["", "▲ not on the Lot sheet", "▲ chosen in a column before"]


def test_the_same_choices_in_ironcalc(demo: Path) -> None:
    live = Live(demo)
    for cell, typed in {"B7": "9999", "C7": "1106", "D7": "", "E7": "1106"}.items():
        live.set("Compare", cell, typed)
    live.model.evaluate()
    assert [live.read("Compare", cell.partition("!")[2]) for cell in TOLD] == [
        "▲ not on the Lot sheet",
        "",
        "none chosen",
        "▲ chosen in a column before",
    ]


def test_which_machine_and_truck_they_are(demo: Path, office: Office) -> None:
    reads = ["Compare!B3", "Compare!B4", f"Compare!B{compare.ROWS['word']}", SAID["word"]]
    here = office.edit_and_read(demo, {}, reads[:2])
    assert here == ["as on Match: Backhoe 15, Quellmoor, wheels, 16,400 lb", "as on Match: Tandem dump 58, Gravenor"]
    followed = office.edit_and_read(demo, {"Match!C4": "", "Match!C5": ""}, reads[:2])
    assert str(followed[0]).startswith("as on What-if: Paver 8, ")
    assert str(followed[1]).startswith("as on What-if: Tandem dump 58, ")
    none = office.edit_and_read(demo, {"Match!C4": "", "Match!C5": "", "What-if!B6": "", "What-if!B7": ""}, reads)
    assert none == [
        "▲ none chosen: choose one on Match, or on What-if",
        "none chosen: no trailer gets a YES",
        "no machine",
        "",
    ]
    unknown = office.edit_and_read(demo, {"Match!C4": "Walking house"}, reads[:1])
    assert unknown == ["as on Match: Walking house, ▲ not on the Machines sheet"]


def test_a_row_that_match_does_not_have_is_said(tmp_path: Path, office: Office) -> None:
    """Two rows, the twenty spare ones of Match, and 21 put in between: the last trailer is row 23."""
    path = tmp_path / "lot.xlsx"
    rows: list[Row] = [{"Stock no.": "1", "Model": "First"}, {"Stock no.": "2", "Model": "Last"}]
    workbook.write(path, rows, [(None, None)], US, hauling=Hauling(compared=("2", "1")))
    select = {"select": f"Lot!A{lot.FIRST_ROW + 1}:A{lot.FIRST_ROW + 21}"}
    shown = office.dispatch(path, [select, {"url": ".uno:InsertRowsBefore", "arguments": {}}])["values"][-1]
    grid = shown[compare.SHEET]
    assert grid[compare.TOLD_ROW - 1][1:3] == ["▲ not on Match: copy its last row down", ""]
    assert grid[compare.ROWS["trailer"] - 1][1:3] == ["Last", "First"]
    assert grid[compare.ROWS["word"] - 1][1:3] == ["", "no machine"]


def test_the_page_is_one_and_its_formulas_are_short_enough(demo: Path) -> None:
    book = openpyxl.load_workbook(demo)
    names = book.sheetnames
    assert names[names.index("Match") + 1 : names.index("Match") + 3] == ["Compare", "Card"]
    page = book[compare.SHEET]
    assert (page.page_setup.orientation, page.page_setup.fitToWidth, page.page_setup.fitToHeight) == ("landscape", 1, 1)
    assert (
        max(len(str(cell.value)) for row in page.iter_rows() for cell in row if cell.data_type == "f") < LONGEST_FORMULA
    )
    rules = {str(rule.sqref): rule.formula1 for rule in page.data_validations.dataValidation}
    assert [rules[cell.replace("$", "")] for cell in compare.CHOICES] == ["Lot!$A$5:$A$20000"] * 4
    assert compare.cells()[told(1).key] == f"$B${compare.TOLD_ROW}"


def test_trailers_that_an_import_added_can_be_chosen(tmp_path: Path, office: Office) -> None:
    """Thirty new ones after a lot of three rows: Match grows with it, and the last one is compared with the first."""
    path = tmp_path / "lot.xlsx"
    rows: list[Row] = [{"Stock no.": "1", "GVWR (lb)": 9_000.0, "Base weight (lb)": 2_000.0}, {}, {}]
    workbook.write(path, rows, [(None, None)], US, hauling=replace(demo_hauling(), compared=("1",)))
    listed = tmp_path / "list.csv"
    new = [f"N{number},{20_000 + number},5000" for number in range(30)]
    listed.write_text("\n".join(["Stock no.,GVWR (lb),Base weight (lb)", *new]), encoding="utf-8")
    apply(plan(read_lot(path), read_list(listed)), listed)
    reads = ["Compare!C8", f"Compare!C{compare.ROWS['word']}", SAID["payload"]]
    found = office.edit_and_read(path, {"Compare!C7": "N29"}, reads)
    # 20,029 - 5,000 is 15,029, and 9,000 - 2,000 is 7,000. What the demo's What-if asks of it lacks figures.
    assert found[0] == ""
    assert found[1] in ("NO", "NOT SURE")
    assert found[2] == "most payload: N29, 8,029 lb more than 1"


def test_what_the_entry_check_refuses_is_compared_with_none(
    demo_workbook: Path, tmp_path: Path, office: Office
) -> None:
    """Prices of -100, TRUE and words; TRUE as a GVWR; a width of -5. The demo's price of 1108 is 19,950.

    What is doubted of a trailer's figures leaves its price as it is: of the others 24,500 - 24,000 is 500.
    """
    book = openpyxl.load_workbook(demo_workbook)
    lot, page = book["Lot"], book[compare.SHEET]
    at = {lot.cell(4, column).value: column for column in range(1, lot.max_column + 1)}
    assert [lot.cell(row, 1).value for row in (9, 10, 12, 13)] == ["1105", "1106", "1108", "1109"]
    typed = {("Price", 9): -100, ("Price", 10): True, ("Price", 13): "call", ("GVWR (lb)", 9): True}
    for (heading, row), entry in {**typed, ("Deck width (in)", 13): -5}.items():
        lot.cell(row, at[heading]).value = entry
    assert [page[cell.replace("$", "")].value for cell in compare.CHOICES] == ["1105", "1106", "1108", "1109"]
    path = tmp_path / "odd.xlsx"
    book.save(path)
    shown = office.recalculate(path)[compare.SHEET]
    look = "check figures"
    for key, expected in (
        ("price", [look, look, 19_950, look, "known only of 1108"]),
        ("gvwr", [look, 24_000, 24_500, 30_000, "highest GVWR: 1108, 500 lb more than 1106; in doubt: 1105 and 1109"]),
        ("deck_width", [102, 102, 102, look, "the same; in doubt: 1105 and 1109"]),
    ):
        assert shown[compare.ROWS[key] - 1][1:6] == expected, key
    _, by_hand = compare_lot(path, ["1105", "1106", "1108", "1109"], "Backhoe 15", None)
    assert [trailer["price"] for trailer in by_hand.trailers] == [look, look, 19_950, look]


@pytest.mark.parametrize(
    ("column", "typed", "key", "rest"),
    [
        # Of 1105, 1108 and 1109 of the demo: 5,960 against 9,580 empty; decks of 21, 20 and 21 ft.
        ("Scale weight (lb)", 1, "empty", "lightest empty: 1105, 3,620 lb less than 1109"),
        ("Deck length (ft)", 220, "deck_length", "longest deck: 1105 and 1109, 1 ft 0 in more than 1108"),
        ("Tie-down points", 500, "points", "most tie-downs: 1109, 2 more than 1105 and 1108"),
    ],
)
def test_a_figure_in_doubt_is_not_ranked(
    demo: Path, office: Office, column: str, typed: float, key: str, rest: str
) -> None:
    headings = {str(cell.value): cell.column_letter for cell in openpyxl.load_workbook(demo)["Lot"][4]}
    edits: dict[str, float | str | bool | None] = {f"Lot!{headings[column]}10": typed}  # row 10 holds 1106
    shown = f"Compare!C{compare.ROWS[key]}"
    assert office.edit_and_read(demo, edits, [SAID[key], shown]) == [f"{rest}; in doubt: 1106", typed]
    # Where all are in doubt, and where the one that is left is known alone.
    alone = office.edit_and_read(demo, edits | {"Compare!B7": "", "Compare!E7": ""}, [SAID[key], SAID["price"]])
    assert alone[0] == "known only of 1108; in doubt: 1106"
    assert "in doubt" not in str(alone[1])


def test_a_status_that_is_none_of_the_choices_is_not_known(demo: Path, office: Office) -> None:
    headings = {str(cell.value): cell.column_letter for cell in openpyxl.load_workbook(demo)["Lot"][4]}
    edits: dict[str, float | str | bool | None] = {f"Lot!{headings['Status']}10": "on tour"}
    said = office.edit_and_read(demo, edits, [SAID["status"]])
    assert said == ["on order: 1109; on the lot now: 1105 and 1108; not known: 1106"]
