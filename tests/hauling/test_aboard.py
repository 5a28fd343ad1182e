"""Also aboard, on the sheets: as a person types it, drawn to scale, on the Card, on Match, and kept by an update."""

from __future__ import annotations

import random
from collections import Counter
from pathlib import Path

import openpyxl
import pytest
from shapely.geometry import Polygon, box

from tarelot.calc.rules import aboard as rules
from tarelot.calc.rules.aboard.items import ALONE, NUMBERS, SIZES, alone, of
from tarelot.calc.rules.hauling_figures import FIGURES
from tarelot.workbook_templates import workbook
from tarelot.workbook_templates.basis.units import US
from tarelot.workbook_templates.hauling import asked, upkeep
from tarelot.workbook_templates.hauling.results import DEMO_YARD, Hauling, worked_out
from tarelot.workbook_templates.hauling.side_view.lines import lines, point_key
from tarelot.workbook_templates.hauling.side_view.measures import LETTER
from tarelot.workbook_templates.hauling.what_if import aboard
from tarelot.workbook_templates.sheets import demo_yard, machines, trucks
from tests.engines import gnumeric
from tests.engines.office import Office
from tests.engines.stored_results import differing_everywhere
from tests.hauling import yards
from tests.hauling.what_if_live import Live
from tests.updates.updated_lots import updated

CHOICES = ("1109", "Wheel loader 9", "Tandem dump 58")
PLATE = {"name": "Plate compactor", "weight": 250.0, "center": 1.5, "length": 34.0, "width": 20.0, "height": 42.0}
FORKS = {"name": "Pallet forks", "on": "machine", "weight": 450.0, "center": -2.5}
FORKS |= {"length": 12.0, "width": 48.0, "height": 40.0}
ROLLER = {"name": "Roller 54", "center": 17.0}
LETTER_HIGH = 1.7
"""As in ``test_drive_on_view.py``."""
Typed = dict[str, float | str | bool]


def typed(*items: dict[str, float | str]) -> Typed:
    """Items as they are typed on What-if, by key."""
    return {of(number, what).key: value for number, item in enumerate(items, 1) for what, value in item.items()}


def hauling(*items: dict[str, float | str]) -> Hauling:
    return Hauling(machines.demo_rows(), trucks.demo_rows(), CHOICES, typed(*items), card=DEMO_YARD)


def write(path: Path, *items: dict[str, float | str]) -> Path:
    workbook.write(path, demo_yard.trailers(), demo_yard.options(), US, hauling=hauling(*items))
    return path


def test_what_if_says_what_the_rules_say() -> None:
    demo, chance = yards.demo(), random.Random(12)
    seen: Counter[str] = Counter()
    names = [str(row["Machine"]) for row in machines.demo_rows()]
    trailers = [str(row["Stock no."]) for row in demo.lot_rows]
    for _ in range(60):
        items: list[dict[str, float | str]] = []
        for _ in range(chance.randint(1, 3)):
            item = dict(chance.choice((PLATE, FORKS))) | {"weight": chance.choice((100.0, 400.0))}
            if item["name"] == "Plate compactor":
                item["center"] = chance.uniform(1, 20)
            items.append(item)
        if chance.random() < 0.3:
            del items[0][chance.choice((*SIZES, "center"))]
        choices = (chance.choice(trailers), chance.choice(names), "Tandem dump 58")
        cells = worked_out(demo.lot_rows, Hauling(demo.machines, demo.trucks, choices, typed(*items)), US)
        given = {figure.key: cells[alone(figure.key) if figure.key in ALONE else figure.key] for figure in FIGURES}
        given |= {key: cells[key] for key in ("trailer_doubt", "machine_doubt", "truck_doubt")}
        given["place"] = None  # used is the proposed one
        found = rules.judge(given, items, asked.measures(US)).cells
        keys = ("verdict", "broken", "missing", "cautions", "ties", "center_from", "center_to", "pin", "gross")
        assert [cells[key] for key in keys] == [found[key] for key in keys], (choices, items)
        seen[str(cells["verdict"])] += 1
    assert min(seen[word] for word in asked.WORDS) >= 3, seen


def test_typed_as_a_person_types_it(tmp_path: Path) -> None:
    live, rows, said = Live(write(tmp_path / "lot.xlsx")), aboard.rows(), aboard.said_rows()
    shown = aboard.SUMMARY.replace("$", "")
    assert (live.read("What-if", "B8"), live.read("What-if", shown)) == ("YES", aboard.NOTHING)

    def type_item(number: int, item: dict[str, float | str]) -> None:
        live.type({f"H{rows[of(number, what).key]}": value for what, value in item.items()})

    def of_item(number: int, what: str) -> object:
        return live.read("What-if", f"G{said[of(number, what).key]}")

    type_item(1, {"name": "Plate compactor"})
    assert live.read("What-if", "B8") == "NOT SURE"
    assert of_item(1, "wrong") == "needs weight, center, length, width, height"
    type_item(1, PLATE)
    assert live.read("What-if", "B8") == "YES"
    # its center 1.5 ft = 18 in behind the deck's front, 17 in to each side
    assert (of_item(1, "stands"), of_item(1, "points"), of_item(1, "wrong")) == (
        "0 ft 1 in to 2 ft 11 in",
        1,
        "nothing",
    )
    type_item(2, FORKS)
    assert of_item(2, "stands") == "on the machine"
    assert live.read("What-if", shown) == "Plate compactor; Pallet forks: 700 lb more, counted in every answer."
    assert live.read("What-if", "B8") == "YES"
    # a machine of the list brings its weight, length, width and height: 13,600 lb, and the trailer's GVWR is 30,000
    type_item(3, {"name": "Roller 54", "center": 13})
    row = next(row for row in machines.demo_rows() if row["Machine"] == "Roller 54")
    length = sum(float(str(row[f"{part} (in)"])) for part in ("Wheelbase", "Front overhang", "Rear overhang"))
    found = [live.read("What-if", f"I{rows[of(3, what).key]}") for what in SIZES]
    assert found == [row["Weight (lb)"], length, row["Width (in)"], row["Height (in)"]]
    assert live.read("What-if", "B8") == "NO"
    assert "above the trailer's GVWR" in str(live.read("What-if", "B9"))
    type_item(3, {"weight": 500})
    assert "above the trailer's GVWR" not in str(live.read("What-if", "B9"))
    live.type({f"H{row}": None for row in rows.values()})
    assert (live.read("What-if", "B8"), live.read("What-if", shown)) == ("YES", aboard.NOTHING)


@pytest.mark.parametrize("what", ["weight", "length", "width"])
def test_true_in_a_cell_of_an_item_is_no_yes(what: str, tmp_path: Path, office: Office) -> None:
    """LibreOffice takes it for 1, another program for no number."""
    cell = f"What-if!H{aboard.rows()[of(1, what).key]}"
    assert office.edit_and_read(write(tmp_path / "lot.xlsx", PLATE), {cell: True}, ["What-if!B8"]) == ["NOT SURE"]


def test_card_names_it_and_match_says_that_it_asks_for_the_machine_alone(tmp_path: Path) -> None:
    book = openpyxl.load_workbook(write(tmp_path / "with.xlsx", PLATE, FORKS), data_only=True)
    words = [str(cell.value) for row in book["Card"].iter_rows() for cell in row if cell.value is not None]
    assert "With Wheel loader 9 behind Tandem dump 58; also aboard: Plate compactor; Pallet forks" in words
    assert any("Purple: also aboard, counted in every answer with the machine" in one for one in words)
    top = [str(cell.value) for row in book["Match"].iter_rows(max_row=8) for cell in row]
    assert any("without what is also aboard there" in one for one in top)
    # the Card's figures of the trailer are of the trailer alone: 1109 weighs what it weighs
    bare = openpyxl.load_workbook(write(tmp_path / "without.xlsx"), data_only=True)
    tiles = [f"{letter}7" for letter in "BCFG"]
    assert [book["Card"][tile].value for tile in tiles] == [bare["Card"][tile].value for tile in tiles]
    without = [str(cell.value) for row in bare["Match"].iter_rows(max_row=8) for cell in row]
    assert not any("also aboard" in one for one in without)


def test_an_update_keeps_it(tmp_path: Path) -> None:
    old = write(tmp_path / "old.xlsx", PLATE, FORKS, ROLLER)
    book = openpyxl.load_workbook(old)
    for line in book["What-if"].iter_rows():
        for cell in line:
            if cell.data_type == "f":
                cell.value = None  # so that the sheet is written anew
    book.save(old)
    new = openpyxl.load_workbook(updated(old, tmp_path / "new.xlsx"))["What-if"]
    assert new["B8"].data_type == "f"
    rows = aboard.rows()
    for key, value in typed(PLATE, FORKS, ROLLER).items():
        assert new[f"H{rows[key]}"].value == value, key
    assert [new[f"H{rows[of(4, what).key]}"].value for what in ("name", "on", *SIZES)] == [None] * 6


@pytest.mark.slow
def test_every_stored_result_equals_gnumeric(tmp_path: Path) -> None:
    path = write(tmp_path / "lot.xlsx", PLATE, FORKS, ROLLER, {"name": "Odd", "on": "roof", "weight": "heavy"})
    (tmp_path / "gnumeric").mkdir()
    found = differing_everywhere(path, gnumeric.recalculated(path, tmp_path / "gnumeric"))
    assert {sheet for sheet, *_ in found} == {upkeep.SHEET}  # as ``tests/engines/test_gnumeric.py`` says


@pytest.mark.parametrize("direction", ["forward", "backward"])
def test_each_is_drawn_to_scale_with_its_number_in_or_above_it(direction: str) -> None:
    demo, chance = yards.demo(), random.Random(direction)
    count = 0
    for _ in range(25):
        plate = PLATE | {"center": chance.uniform(2, 15), "length": chance.uniform(10, 60)}
        plate |= {"height": chance.uniform(8, 80)}
        small = PLATE | {"center": 19.5, "length": 8.0, "height": 6.0}
        entries = typed(plate, FORKS, small) | {"direction": direction}
        cells = worked_out(demo.lot_rows, Hauling(demo.machines, demo.trucks, CHOICES, entries), US)
        scale = float(str(cells["scale"]))
        drawn = {}
        for line in lines(US):
            places = [(cells[point_key(line, "x", n)], cells[point_key(line, "y", n)]) for n in range(len(line.points))]
            if isinstance(places[0][0], float) and places[0][0] >= 0:
                drawn[line.key] = places
        assert "item 4" not in drawn
        deck = drawn["deck and tail"][0]
        for number, item in ((1, plate), (3, small)):
            low, left, high, right = _edges(drawn[f"item {number}"])
            assert right - left == pytest.approx(float(item["length"]) * scale)
            assert high - low == pytest.approx(float(item["height"]) * scale)
            assert low == pytest.approx(deck[1])
            assert (left + right) / 2 == pytest.approx(deck[0] + float(item["center"]) * 12 * scale)
            ((x, y),) = drawn[f"label item {number}"]
            label = box(x - LETTER / 2, y - LETTER_HIGH / 2, x + LETTER / 2, y + LETTER_HIGH / 2)
            outline = Polygon(drawn[f"item {number}"])
            assert outline.contains(label) or not outline.intersects(label)
            count += 1
        # the forks reach from 36 to 24 in ahead of the machine's own front contact, on the side where its front is
        _, left, _, right = _edges(drawn["item 2"])
        wheel = drawn["front wheel, rest"]
        contact = (max(x for x, _ in wheel) + min(x for x, _ in wheel)) / 2
        ends = sorted(abs(x - contact) / scale for x in (left, right))
        assert ends == pytest.approx([24, 36])
        assert (left < contact) == (direction == "forward")
        assert "label item 2" not in drawn
    assert count == 50


def _edges(places: list[tuple[float, float]]) -> tuple[float, float, float, float]:
    """Lowest, leftmost, highest, rightmost."""
    xs, ys = [x for x, _ in places], [y for _, y in places]
    return min(ys), min(xs), max(ys), max(xs)


def test_the_block_is_reached_from_beside_the_choices(tmp_path: Path) -> None:
    sheet = openpyxl.load_workbook(write(tmp_path / "lot.xlsx"))["What-if"]
    link = sheet[aboard.LINK.replace("$", "")].hyperlink
    assert link.location == f"'What-if'!F{aboard.BLOCK_ROW}"
    assert str(sheet[f"F{aboard.BLOCK_ROW}"].value).startswith("Also aboard")
    named = [sheet[f"F{aboard.band_row(number)}"].value for number in NUMBERS]
    assert named == [f"Also aboard {number}" for number in (1, 2, 3, 4)]
