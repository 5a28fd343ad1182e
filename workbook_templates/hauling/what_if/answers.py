"""What every cell of What-if says: figures, answers, the answer in a line; and where each stands."""

from __future__ import annotations

from functools import cache

from tarelot.calc.cells.expression import Cell, Expression, Given, Range
from tarelot.calc.cells.spreadsheet import IF, IFERROR, INDEX, ISNUMBER, joined
from tarelot.calc.rules.aboard import RULES
from tarelot.workbook_templates.basis.references import column_key
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling import asked
from tarelot.workbook_templates.hauling.asked import UNREADABLE, WRONG, state_key
from tarelot.workbook_templates.hauling.what_if import aboard, load_answers, way_answers
from tarelot.workbook_templates.hauling.what_if.answer import Answer, Section, answer, label, note, verdict
from tarelot.workbook_templates.hauling.what_if.rows import (
    CHOICE_CELLS,
    FIRST_ROW,
    MACHINE,
    SHEET,
    TABLES,
    TRAILER,
    TRUCK,
    choice_key,
    figure_expressions,
    figure_places,
    is_listed_twice,
    no_choice,
)
from tarelot.workbook_templates.hauling.words import cut
from tarelot.workbook_templates.lot import sheet as lot
from tarelot.workbook_templates.sheets import machines, trucks

C = Cell
SOURCES = {TRAILER: lot.SHEET, MACHINE: machines.SHEET, TRUCK: trucks.SHEET}
"""The sheet on which each is listed."""
NAMED_BY = {TRAILER: ("Make", "Model", "Body"), MACHINE: ("Maker",), TRUCK: ("Maker",)}
"""Columns that say what was chosen."""
SUMMARY, CAPTIONS = "$B$8", {"caption_band": "$A$31", "caption_tight": "$A$32"}
WORDS = {
    "broken": ("Why not", "$B$9"),
    "missing": ("Missing", "$B$10"),
    "cautions": ("Cautions", "$B$11"),
    "enough": ("What would be enough", "$B$12"),
}
"""What stands below the verdict: label and cell."""
MOST_WORDS = 500
"""Letters of these that three lines of the sheet hold; each rule has its own line below."""
RULE_GAP = 9
"""Rows from the last answer to the band above the rules; the cautions that always hold stand between."""
FOUND = {group: cell.replace("B", "D") for group, cell in CHOICE_CELLS.items()}
"""Where it is said what was chosen."""


@cache
def sections(units: Units) -> tuple[Section, ...]:
    """Every answer in the order of the sheet."""
    return (
        Section("Does it carry it", tuple(load_answers.weights(units))),
        Section("Where it may sit", tuple(load_answers.places(units))),
        Section("Driving on", tuple(way_answers.driving_on(units))),
        Section("Tying down", tuple(way_answers.ties(units))),
        Section("Truck and driver", tuple(way_answers.truck(units))),
        Section("On the road", tuple(way_answers.road(units))),
    )


def answers(units: Units) -> dict[str, Answer]:
    """Every answer by key."""
    return {one.key: one for section in sections(units) for one in section.answers}


@cache
def answer_rows(units: Units) -> dict[str, int]:
    """The row of each answer; each section has a band row above it."""
    rows, row = {}, FIRST_ROW
    for section in sections(units):
        for one in section.answers:
            row += 1
            rows[one.key] = row
        row += 1
    return rows


def labels(units: Units) -> dict[str, str]:
    """What each answer is called, by the key of its cell."""
    return {label(key).key: units.heading(one.label) for key, one in answers(units).items()}


def places(units: Units, *, elsewhere: bool = False) -> dict[str, str]:
    """The cell of every key; ``elsewhere`` as other sheets refer to it."""
    found = figure_places() | {choice_key(group): cell for group, cell in CHOICE_CELLS.items()}
    for key, row in answer_rows(units).items():
        parts = zip("ABCD", (label, answer, verdict, note), strict=True)
        found |= {part(key).key: f"${letter}${row}" for letter, part in parts}
    found |= {f"found {group}": cell for group, cell in FOUND.items()}
    found |= aboard.places() | {"summary": SUMMARY} | {f"shown {key}": cell for key, cell in CAPTIONS.items()}
    found |= {f"shown {key}": cell for key, (_, cell) in WORDS.items()}
    states = (f"shown {state_key(rule.key)}" for rule in RULES)
    found |= {key: f"$C${row}" for row, key in enumerate(states, rules_row(units) + 1)}
    return {key: f"'{SHEET}'!{cell}" for key, cell in found.items()} if elsewhere else found


@cache
def expressions(units: Units) -> dict[str, Expression]:
    """Every cell of the sheet by key, over ``values.values`` and ``drive_on.sheet.expressions``."""
    found = {f"found {group}": _found(group) for group in SOURCES} | figure_expressions(units)
    found |= aboard.expressions(units)
    for one in answers(units).values():
        found |= one.expressions()
    found |= {"summary": C("verdict")} | {f"shown {key}": IFERROR(C(key), "") for key in CAPTIONS}
    below = {"enough": "ask again with these"}
    found |= {f"shown {key}": words(key, below=below.get(key, "each rule stands below")) for key in WORDS}
    return found | {f"shown {state_key(rule.key)}": C(state_key(rule.key)) for rule in RULES}


def rules_row(units: Units) -> int:
    """The row of the band above every rule with its state."""
    return max(answer_rows(units).values()) + RULE_GAP


def words(key: str, most: int = MOST_WORDS, *, below: str = "each rule stands below") -> Expression:
    """What is broken, missing or to be minded: nothing, or as much as the lines hold."""
    said = asked.minded() if key == "cautions" else C(key)
    return IF(said.equals(""), "nothing", cut(said, most, f" ... and more: {below}"))


def _found(group: str) -> Expression:
    """What was chosen, in words."""
    row, (table, _) = C(f"row of {group}"), TABLES[group]
    words: list[Given] = []
    for heading in NAMED_BY[group]:
        words += [" ", INDEX(Range(column_key(table, heading)), row)]
    twice = IF(is_listed_twice(group), "; stands there twice: which one is not known", "")
    found = IF(ISNUMBER(row), joined([*words[1:], twice]), f"{WRONG} not on the {SOURCES[group]} sheet")
    return IFERROR(IF(no_choice(group), "choose from the list", found), UNREADABLE)
