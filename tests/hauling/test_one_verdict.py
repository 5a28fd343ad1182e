"""One verdict: the rules, Match, What-if, the command and the Card say the same of every trailer, machine and truck."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Mapping
from itertools import product
from pathlib import Path

import openpyxl
import pytest

from tarelot.calc.rules.hauling import BY_KEY, RULES, judge
from tarelot.calc.rules.hauling_figures import FIGURES
from tarelot.workbook_templates import workbook
from tarelot.workbook_templates.basis.units import US
from tarelot.workbook_templates.hauling import asked
from tarelot.workbook_templates.hauling.match import columns as match
from tarelot.workbook_templates.hauling.match.reading import matched
from tarelot.workbook_templates.hauling.results import Hauling, worked_out
from tarelot.workbook_templates.hauling.what_if import rows as what_if_rows
from tarelot.workbook_templates.hauling.what_if.answers import CHOICE_CELLS, SUMMARY, WORDS, answers
from tarelot.workbook_templates.lot.results import lot_results
from tarelot.workbook_templates.sheets import demo_yard, machines, trucks
from tests.engines.office import Office
from tests.hauling.what_if_live import Live

Row = dict[str, object]
DOUBLE = "1120"  # stands twice in the demo yard; What-if takes the first
SAMPLE = 40
FEWEST = 18
"""Trailers of the demo yard that carry some machine behind some truck: most of its 24."""


def yard() -> tuple[list[Row], list[Row], list[Row]]:
    """The demo yard: the lot with its results, machines, trucks."""
    trailers = demo_yard.trailers()
    found = lot_results(trailers, demo_yard.options(), US)
    filled: list[Row] = [{**row, **more} for row, more in zip(trailers, found, strict=True)]
    return filled, list(map(dict, machines.demo_rows())), list(map(dict, trucks.demo_rows()))


def figures(group: str, row: Mapping[str, object]) -> Row:
    """What the rules read of a row of a list, by key: the headings are those of What-if, blanks are left blank."""
    found: Row = {}
    for figure in what_if_rows.members(group):
        if figure.key in {one.key for one in FIGURES}:
            value = row.get(US.heading(figure.heading))
            found[figure.key] = "" if value is None else value  # a formula hands a blank cell on as an empty text
    return found


def expected() -> dict[tuple[int, str, str], tuple[str, str, str, str]]:
    """What the rules themselves say, without any sheet: by place on the lot, machine and truck."""
    lot_rows, machine_rows, truck_rows = yard()
    checks = (
        [str(row["Entry check"]) for row in lot_rows],
        machines.doubts(machine_rows, US),
        trucks.doubts(truck_rows, US),
    )
    groups = (what_if_rows.TRAILER, what_if_rows.MACHINE, what_if_rows.TRUCK)
    given = [
        [
            figures(group, row) | {f"{group.lower()}_doubt": doubt, f"{group.lower()}_chosen": 1}
            for row, doubt in zip(rows, doubts, strict=True)
        ]
        for group, rows, doubts in zip(groups, (lot_rows, machine_rows, truck_rows), checks, strict=True)
    ]
    found = {}
    for (place, trailer), machine, truck in product(
        enumerate(given[0]), zip(machine_rows, given[1], strict=True), zip(truck_rows, given[2], strict=True)
    ):
        verdict = judge({**trailer, **machine[1], **truck[1]}, asked.measures(US))
        key = (place, str(machine[0]["Machine"]), str(truck[0]["Truck"]))
        found[key] = (verdict.word, verdict.broken, verdict.missing, verdict.cautions)
    return found


@pytest.fixture(scope="module")
def by_rules() -> dict[tuple[int, str, str], tuple[str, str, str, str]]:
    return expected()


def test_match_says_what_the_rules_say(by_rules: dict[tuple[int, str, str], tuple[str, str, str, str]]) -> None:
    lot_rows, machine_rows, truck_rows = yard()
    seen: Counter[str] = Counter()
    carried = set()
    for machine, truck in product(machine_rows, truck_rows):
        names = (str(machine["Machine"]), str(truck["Truck"]))
        rows = matched(lot_rows, machine_rows, truck_rows, names, US)
        for place, row in enumerate(rows):
            said = (row["word"], row["why"], row["lacking"], row["minded"])
            assert said == by_rules[(place, *names)], (place, *names)
            seen[str(row["word"])] += 1
            if row["word"] == "YES":
                carried.add(place)
    assert sum(seen.values()) == len(by_rules) == 24 * 11 * 5
    assert min(seen[word] for word in ("YES", "NO", "NOT SURE")) >= 40, seen
    assert len(carried) >= FEWEST, carried


def test_what_if_says_what_the_rules_say(by_rules: dict[tuple[int, str, str], tuple[str, str, str, str]]) -> None:
    lot_rows, machine_rows, truck_rows = yard()
    compared = 0
    for (place, machine, truck), verdict in by_rules.items():
        stock = lot_rows[place]["Stock no."]
        if stock == DOUBLE and lot_rows[place] is not next(row for row in lot_rows if row["Stock no."] == DOUBLE):
            continue
        cells = worked_out(lot_rows, Hauling(machine_rows, truck_rows, (stock, machine, truck)), US)
        assert tuple(cells[key] for key in asked.SAID) == verdict, (stock, machine, truck)
        compared += 1
    assert compared == 23 * 11 * 5


def test_no_answer_says_ok_where_its_rule_is_not_kept(
    by_rules: dict[tuple[int, str, str], tuple[str, str, str, str]],
) -> None:
    lot_rows, machine_rows, truck_rows = yard()
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
    assert set(named) == set(BY_KEY)
    assert set(named.values()) == {1}
    assert len(RULES) == len(BY_KEY)


def test_without_a_truck_nothing_is_a_yes() -> None:
    lot_rows, machine_rows, truck_rows = yard()
    for machine in machine_rows:
        rows = matched(lot_rows, machine_rows, truck_rows, (machine["Machine"], None), US)
        assert "YES" not in {row["word"] for row in rows}
        assert all("truck not chosen" in str(row["lacking"]) for row in rows)


def sample(by_rules: Mapping[tuple[int, str, str], tuple[str, str, str, str]]) -> list[tuple[int, str, str]]:
    """Choices of each verdict alike, none of the trailers that stands twice."""
    chance = random.Random(40)
    stocks = [row["Stock no."] for row in demo_yard.trailers()]
    found = []
    for word, count in (("YES", 14), ("NO", 13), ("NOT SURE", 13)):
        keys = sorted(key for key, said in by_rules.items() if said[0] == word and stocks[key[0]] != DOUBLE)
        found += chance.sample(keys, count)
    assert len(found) == SAMPLE
    return found


WHAT_IF_CELLS = [f"What-if!{cell.replace('$', '')}" for cell in (SUMMARY, *(at for _, at in WORDS.values()))]


def on_match(place: int) -> list[str]:
    """The cells of a trailer on Match."""
    letters = (match.LETTERS[key] for key in ("word", "why", "lacking", "minded"))
    return [f"Match!{letter}{match.FIRST_ROW + place}" for letter in letters]


def reads(place: int) -> list[str]:
    return [*on_match(place), *WHAT_IF_CELLS, "Card!B8"]


def assert_said(found: Mapping[str, object], place: int, verdict: tuple[str, str, str, str]) -> None:
    assert tuple(found[cell] or "" for cell in on_match(place)) == verdict
    word, *shown = (found[cell] for cell in WHAT_IF_CELLS)
    assert word == verdict[0] == found["Card!B8"]
    for text, whole in zip(shown, verdict[1:], strict=True):
        begins, cut, _ = str(text).partition(" ... and more")
        assert whole.startswith(begins) if cut else text == (whole or "nothing")


def test_a_sample_in_ironcalc(by_rules: dict[tuple[int, str, str], tuple[str, str, str, str]], tmp_path: Path) -> None:
    path = tmp_path / "demo.xlsx"
    workbook.write_demo(path)
    live = Live(path)
    stocks = [str(row["Stock no."]) for row in demo_yard.trailers()]
    for place, machine, truck in sample(by_rules):
        for cell, text in (("C4", machine), ("C5", truck)):
            row, column = openpyxl.utils.cell.coordinate_to_tuple(cell)
            live.model.set_user_input(live.index["Match"], row, column, text)
        choices = zip(CHOICE_CELLS.values(), (stocks[place], machine, truck), strict=True)
        live.type({cell.replace("$", ""): text for cell, text in choices})
        found = {cell: live.read(*cell.split("!")) for cell in reads(place)}
        assert_said(found, place, by_rules[place, machine, truck])


def test_a_sample_in_libreoffice(
    by_rules: dict[tuple[int, str, str], tuple[str, str, str, str]], tmp_path: Path, office: Office
) -> None:
    path = tmp_path / "demo.xlsx"
    workbook.write_demo(path)
    stocks = [str(row["Stock no."]) for row in demo_yard.trailers()]
    for place, machine, truck in sample(by_rules):
        choices = zip(CHOICE_CELLS.values(), (stocks[place], machine, truck), strict=True)
        edits: dict[str, float | str | bool | None] = {
            f"What-if!{cell.replace('$', '')}": text for cell, text in choices
        }
        edits |= {"Match!C4": machine, "Match!C5": truck}
        wanted = reads(place)
        found = dict(zip(wanted, office.edit_and_read(path, edits, wanted), strict=True))
        assert_said(found, place, by_rules[place, machine, truck])
