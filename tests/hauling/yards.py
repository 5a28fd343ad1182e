"""Whole yards for the tests of one verdict: the demo's, and one of its trailers, machines and trucks changed by chance.

What a yard's verdicts must be comes from the rules themselves, without any sheet; the places of the sheets' cells that
show them stand here too.
"""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import product
from pathlib import Path

from tarelot.calc.rules.hauling import judge
from tarelot.calc.rules.hauling_figures import FIGURES
from tarelot.calc.rules.hauling_rule import YES
from tarelot.workbook_templates import workbook
from tarelot.workbook_templates.basis.units import US
from tarelot.workbook_templates.hauling import asked
from tarelot.workbook_templates.hauling.match import columns as match
from tarelot.workbook_templates.hauling.results import Hauling
from tarelot.workbook_templates.hauling.what_if import rows as what_if_rows
from tarelot.workbook_templates.hauling.what_if.answers import CHOICE_CELLS, SUMMARY, WORDS
from tarelot.workbook_templates.lot.results import lot_results
from tarelot.workbook_templates.sheets import demo_yard, machines, trucks

Row = dict[str, object]
Choice = tuple[int, str, str]
"""Place of the trailer on the lot, the machine, the truck."""
Said = tuple[str, ...]
"""Verdict, what is broken, what would be enough, what is missing, what is to be minded."""
GROUPS = (what_if_rows.TRAILER, what_if_rows.MACHINE, what_if_rows.TRUCK)
CARD_VERDICT = "Card!B11"
WHAT_IF_CELLS = [f"What-if!{cell.replace('$', '')}" for cell in (SUMMARY, *(WORDS[key][1] for key in asked.SAID[1:]))]


@dataclass(frozen=True)
class Yard:
    """Inputs of a lot, machines and trucks, by heading."""

    trailers: Sequence[Row]
    machines: Sequence[Row]
    trucks: Sequence[Row]

    @cached_property
    def lot_rows(self) -> list[Row]:
        """The trailers with their results."""
        found = lot_results(self.trailers, demo_yard.options(), US)
        return [{**row, **more} for row, more in zip(self.trailers, found, strict=True)]

    def stock(self, place: int) -> str:
        """The stock number of a trailer."""
        return str(self.trailers[place]["Stock no."])

    def write(self, path: Path) -> None:
        """The yard as a workbook; nothing is chosen on its sheets."""
        workbook.write(path, self.trailers, demo_yard.options(), US, hauling=Hauling(self.machines, self.trucks))

    def pairs(self) -> list[tuple[str, str]]:
        """Every machine with every truck, by name."""
        return [(str(m["Machine"]), str(t["Truck"])) for m, t in product(self.machines, self.trucks)]

    @cached_property
    def given(self) -> list[dict[object, Row]]:
        """What the rules read of each trailer, machine and truck, by place or name."""
        lists = (self.lot_rows, self.machines, self.trucks)
        checks = (
            [str(row["Entry check"]) for row in self.lot_rows],
            machines.doubts(self.machines, US),
            trucks.doubts(self.trucks, US),
        )
        names: tuple[Sequence[object], ...] = (
            range(len(self.trailers)),
            [str(row["Machine"]) for row in self.machines],
            [str(row["Truck"]) for row in self.trucks],
        )
        return [
            {
                name: figures(group, row) | {f"{group.lower()}_doubt": doubt, f"{group.lower()}_chosen": 1}
                for name, row, doubt in zip(of_group, rows, doubts, strict=True)
            }
            for group, of_group, rows, doubts in zip(GROUPS, names, lists, checks, strict=True)
        ]

    def read_of(self, choice: Choice) -> Row:
        """What the rules read of a choice."""
        read: Row = {}
        for rows, name in zip(self.given, choice, strict=True):
            read |= rows[name]
        return read

    def said(self, choice: Choice, typed: Mapping[str, object] | None = None) -> Said:
        """What the rules themselves say of a choice, with figures typed over."""
        verdict = judge({**self.read_of(choice), **(typed or {})}, asked.measures(US))
        return verdict.word, verdict.broken, verdict.enough, verdict.missing, verdict.cautions

    @cached_property
    def verdicts(self) -> dict[Choice, Said]:
        """What they say of every choice."""
        choices = product(range(len(self.trailers)), self.pairs())
        return {(place, *pair): self.said((place, *pair)) for place, pair in choices}


def figures(group: str, row: Mapping[str, object]) -> Row:
    """What the rules read of a row of a list, by key: the headings are those of What-if, blanks are left blank."""
    found: Row = {}
    for figure in what_if_rows.members(group):
        if figure.key in {one.key for one in FIGURES}:
            value = row.get(US.heading(figure.heading))
            found[figure.key] = "" if value is None else value  # a formula hands a blank cell on as an empty text
    return found


def demo() -> Yard:
    """The demo yard."""
    return Yard(
        list(map(dict, demo_yard.trailers())),
        list(map(dict, machines.demo_rows())),
        list(map(dict, trucks.demo_rows())),
    )


def changed_by_chance(seed: int, counts: tuple[int, int, int] = (25, 5, 4)) -> Yard:
    """So many trailers, machines and trucks of the demo with up to two figures of each made more, less, 0 or blank.

    They are drawn among those of the demo that get a yes, each as often as it gets one, or nearly all would be a no.
    """
    chance = random.Random(seed)
    whole = demo()
    yes = [choice for choice, said in whole.verdicts.items() if said[0] == YES]
    names, yard = ("Stock no.", "Machine", "Truck"), (whole.trailers, whole.machines, whole.trucks)
    lists = []
    for part, (group, name, rows, count) in enumerate(zip(GROUPS, names, yard, counts, strict=True)):
        by_name = {row[name]: row for row in rows}
        drawn = [rows[one[0]] if part == 0 else by_name[one[part]] for one in chance.choices(yes, k=count)]
        changed = [_changed(row, _read_by_rules(group, row), chance) for row in drawn]
        lists.append([{**row, name: f"{name[0]}{number:02}"} for number, row in enumerate(changed, 1)])
    return Yard(*lists)


def _changed(row: Row, read: Sequence[str], chance: random.Random) -> Row:
    found = dict(row)
    for heading in chance.sample(read, chance.choice((0, 0, 1, 1, 2))):
        value = found.get(heading)
        if isinstance(value, (int, float)) and chance.random() < 0.8:
            more = value * chance.choice((0.0, 0.6, 0.9, 0.95, 1.05, 1.1, 1.6))
            found[heading] = round(more) if isinstance(value, int) else round(more, 1)
        else:
            found[heading] = None
    return found


def _read_by_rules(group: str, row: Row) -> list[str]:
    headings = {US.heading(figure.heading) for figure in what_if_rows.members(group)}
    return [heading for heading in row if heading in headings]


def on_match(place: int) -> list[str]:
    """The cells of a trailer on Match, where all are in sight in the Lot's order."""
    letters = (match.LETTERS[match.shown(key)] for key in ("word", "why", "enough_said", "lacking", "minded"))
    return [f"Match!{letter}{match.FIRST_ROW + place}" for letter in letters]


def what_if_edits(stock: str, machine: str, truck: str) -> dict[str, str]:
    """What is typed to choose these on What-if."""
    choices = zip(CHOICE_CELLS.values(), (stock, machine, truck), strict=True)
    return {f"What-if!{cell.replace('$', '')}": text for cell, text in choices}


def match_edits(machine: str, truck: str) -> dict[str, str]:
    """What is typed to choose these on Match."""
    choices = zip(match.CHOICES.values(), (machine, truck), strict=True)
    return {f"Match!{cell.replace('$', '')}": text for cell, text in choices}


def assert_on_what_if(found: Sequence[object], verdict: Said, choice: object) -> None:
    """What-if's cells and the Card's show this verdict; long lists are cut and say so."""
    word, *shown, card = found
    assert word == verdict[0] == card, choice
    for text, whole in zip(shown, verdict[1:], strict=True):
        begins, cut, _ = str(text).partition(" ... and more")
        assert whole.startswith(begins) if cut else text == (whole or "nothing"), choice
