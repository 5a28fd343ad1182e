"""One verdict: the rules, Match, What-if, the command and the Card say the same of every trailer, machine and truck."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Mapping
from itertools import product
from pathlib import Path

import pytest

from tarelot.calc.rules.aboard import BY_KEY, RULES
from tarelot.workbook_templates.basis.units import US
from tarelot.workbook_templates.hauling import asked
from tarelot.workbook_templates.hauling.match.reading import matched
from tarelot.workbook_templates.hauling.results import Hauling, worked_out
from tarelot.workbook_templates.hauling.what_if.answers import answers
from tarelot.workbook_templates.sheets import demo_yard
from tests.engines.office import Office, Value
from tests.hauling import yards
from tests.hauling.what_if_live import Live
from tests.hauling.yards import CARD_VERDICT, WHAT_IF_CELLS, Choice, Said, Yard

DOUBLE = "1120"  # stands twice in the demo yard; What-if takes the first
SAMPLE = 40
FEWEST = 17
"""Trailers of the demo yard that carry some machine behind some truck: most of its 24."""


@pytest.fixture(scope="module")
def demo() -> Yard:
    return yards.demo()


@pytest.fixture(scope="module")
def by_rules(demo: Yard) -> dict[Choice, Said]:
    return demo.verdicts


def test_match_says_what_the_rules_say(demo: Yard, by_rules: dict[Choice, Said]) -> None:
    lot_rows, machine_rows, truck_rows = demo.lot_rows, demo.machines, demo.trucks
    seen: Counter[str] = Counter()
    carried = set()
    for machine, truck in product(machine_rows, truck_rows):
        names = (str(machine["Machine"]), str(truck["Truck"]))
        rows = matched(lot_rows, machine_rows, truck_rows, names, US)
        for place, row in enumerate(rows):
            said = tuple(row[key] for key in ("word", "why", "enough_said", "lacking", "minded"))
            assert said == by_rules[(place, *names)], (place, *names)
            seen[str(row["word"])] += 1
            if row["word"] == "YES":
                carried.add(place)
    assert sum(seen.values()) == len(by_rules) == 24 * 11 * 5
    assert min(seen[word] for word in ("YES", "NO", "NOT SURE")) >= 40, seen
    assert len(carried) >= FEWEST, carried


def test_what_if_says_what_the_rules_say(demo: Yard, by_rules: dict[Choice, Said]) -> None:
    lot_rows, machine_rows, truck_rows = demo.lot_rows, demo.machines, demo.trucks
    compared = 0
    for (place, machine, truck), verdict in by_rules.items():
        stock = lot_rows[place]["Stock no."]
        if stock == DOUBLE and lot_rows[place] is not next(row for row in lot_rows if row["Stock no."] == DOUBLE):
            continue
        cells = worked_out(lot_rows, Hauling(machine_rows, truck_rows, (stock, machine, truck)), US)
        assert tuple(cells[key] for key in asked.SAID) == verdict, (stock, machine, truck)
        compared += 1
    assert compared == 23 * 11 * 5


def test_what_if_says_what_the_rules_say_of_a_yard_made_by_chance() -> None:
    """With blanks and faults in its lists: where a place is proposed though something is missing, as no demo set is."""
    yard = yards.changed_by_chance(500)
    for (place, machine, truck), verdict in yard.verdicts.items():
        hauling = Hauling(yard.machines, yard.trucks, (yard.stock(place), machine, truck))
        cells = worked_out(yard.lot_rows, hauling, US)
        assert tuple(cells[key] for key in asked.SAID) == verdict, (place, machine, truck)
    assert len(yard.verdicts) == 500


def test_a_place_or_a_way_typed_on_what_if_is_what_the_rules_take(demo: Yard) -> None:
    chance = random.Random(915)
    words: Counter[str] = Counter()
    for choice in chance.sample(sorted(demo.verdicts), 150):
        if demo.stock(choice[0]) == DOUBLE:
            continue
        typed: dict[str, float | str] = {"place": round(chance.uniform(1, 24), 2)} if chance.random() < 0.7 else {}
        typed |= {"direction": "backward"} if chance.random() < 0.4 else {}
        typed |= {"stands": "yes"} if chance.random() < 0.3 else {}
        hauling = Hauling(demo.machines, demo.trucks, (demo.stock(choice[0]), *choice[1:]), typed=typed)
        cells = worked_out(demo.lot_rows, hauling, US)
        assert tuple(cells[key] for key in asked.SAID) == demo.said(choice, typed), (choice, typed)
        words["elsewhere"] += "center of gravity" in str(cells["enough"])
        words[str(cells["verdict"])] += 1
    assert words["NO"] > 50, words
    assert words["elsewhere"] > 5, words


def test_no_answer_says_ok_where_its_rule_is_not_kept(demo: Yard, by_rules: dict[Choice, Said]) -> None:
    lot_rows, machine_rows, truck_rows = demo.lot_rows, demo.machines, demo.trucks
    chance = random.Random(77)
    words = Counter()
    for place, machine, truck in chance.sample(sorted(by_rules), 150):
        stock = lot_rows[place]["Stock no."]
        cells = worked_out(lot_rows, Hauling(machine_rows, truck_rows, (stock, machine, truck)), US)
        for key, answer in answers(US).items():
            states = {str(cells[f"state_{rule}"]) for rule in answer.rules}
            word = str(cells[f"{key} verdict"])
            words[word] += 1
            if not answer.rules:
                assert word == ""
            elif word == asked.OK:
                assert states <= {"ok", "-"}, (stock, machine, truck, key, states)
            elif word == asked.NOT_CHECKED:
                assert "not asked" in states
                assert "broken" not in states
            elif word == asked.CAUTION:
                assert "caution" in states
                assert not states & {"broken", "not asked"}
            elif word == asked.NOT_APPLIED:
                assert states == {"-"}
            else:
                assert word.startswith(asked.WRONG)
                assert "broken" in states
    assert len(words) >= 8, words


def test_every_rule_stands_beside_one_answer() -> None:
    named = Counter(rule for answer in answers(US).values() for rule in answer.rules)
    assert set(named) == set(BY_KEY), "a rule is named beside one answer in load_answers.py or way_answers.py"
    assert set(named.values()) == {1}
    assert len(RULES) == len(BY_KEY)


def test_without_a_truck_nothing_is_a_yes(demo: Yard) -> None:
    lot_rows, machine_rows, truck_rows = demo.lot_rows, demo.machines, demo.trucks
    for machine in machine_rows:
        rows = matched(lot_rows, machine_rows, truck_rows, (machine["Machine"], None), US)
        assert "YES" not in {row["word"] for row in rows}
        assert all("truck not chosen" in str(row["lacking"]) for row in rows)


def sample(by_rules: Mapping[Choice, Said]) -> list[Choice]:
    """Choices of each verdict alike, none of the trailers that stands twice."""
    chance = random.Random(40)
    stocks = [row["Stock no."] for row in demo_yard.trailers()]
    found = []
    for word, count in (("YES", 14), ("NO", 13), ("NOT SURE", 13)):
        keys = sorted(key for key, said in by_rules.items() if said[0] == word and stocks[key[0]] != DOUBLE)
        found += chance.sample(keys, count)
    assert len(found) == SAMPLE
    return found


READS = [*WHAT_IF_CELLS, CARD_VERDICT]
EACH = len(asked.SAID)


def assert_said(found: list[object], place: int, verdict: Said) -> None:
    """Match's cells of the trailer, then What-if's and the Card's."""
    assert tuple(cell or "" for cell in found[:EACH]) == verdict
    yards.assert_on_what_if(found[EACH:], verdict, place)


def test_a_sample_in_ironcalc(demo: Yard, tmp_path: Path) -> None:
    path = tmp_path / "demo.xlsx"
    demo.write(path)
    live = Live(path)
    for place, machine, truck in sample(demo.verdicts):
        edits = yards.match_edits(machine, truck) | yards.what_if_edits(demo.stock(place), machine, truck)
        for cell, text in edits.items():
            live.set(*cell.split("!"), text)
        live.model.evaluate()
        found = [live.read(*cell.split("!")) for cell in (*yards.on_match(place), *READS)]
        assert_said(found, place, demo.verdicts[place, machine, truck])


def test_a_sample_in_libreoffice(demo: Yard, tmp_path: Path, office: Office) -> None:
    path = tmp_path / "demo.xlsx"
    demo.write(path)
    choices = sample(demo.verdicts)
    every = [cell for place, *_ in choices for cell in yards.on_match(place)]
    rounds: list[dict[str, Value]] = [
        {**yards.match_edits(machine, truck), **yards.what_if_edits(demo.stock(place), machine, truck)}
        for place, machine, truck in choices
    ]
    answers_of_rounds = office.edit_and_read_often(path, rounds, [*every, *READS])
    for number, (choice, found) in enumerate(zip(choices, answers_of_rounds, strict=True)):
        assert_said(
            [*found[EACH * number : EACH * (number + 1)], *found[len(every) :]], choice[0], demo.verdicts[choice]
        )
