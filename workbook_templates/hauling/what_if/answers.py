"""What every cell of What-if says: figures, answers, the answer in a line; and where each stands."""

from __future__ import annotations

from functools import cache

from tarelot.calc.cells.expression import Cell, Expression, Given, Range
from tarelot.calc.cells.spreadsheet import COUNTIF, IF, INDEX, ISNUMBER, MATCH, OR, SUMPRODUCT, joined
from tarelot.workbook_templates.basis.references import column_key
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling.drive_on.block import Block
from tarelot.workbook_templates.hauling.questions import NOT_CHECKED, WRONG
from tarelot.workbook_templates.hauling.what_if import load_answers, way_answers
from tarelot.workbook_templates.hauling.what_if.answer import OPEN, Answer, Section, answer, label, note, verdict
from tarelot.workbook_templates.hauling.what_if.rows import (
    CHOICE_CELLS,
    FIRST_ROW,
    MACHINE,
    MISSING,
    SHEET,
    TABLES,
    TRAILER,
    TRUCK,
    choice_key,
    figure_expressions,
    figure_places,
    marks,
    no_choice,
)
from tarelot.workbook_templates.hauling.words import plural
from tarelot.workbook_templates.lot import sheet as lot
from tarelot.workbook_templates.sheets import machines, trucks

C = Cell
SOURCES = {TRAILER: lot.SHEET, MACHINE: machines.SHEET, TRUCK: trucks.SHEET}
"""The sheet on which each is listed."""
NAMED_BY = {TRAILER: ("Make", "Model", "Body"), MACHINE: ("Maker",), TRUCK: ("Maker",)}
"""Columns that say what was chosen."""
SUMMARY, CAPTIONS = "$B$8", {"caption_band": "$A$28", "caption_tight": "$A$29"}
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
    found |= {"summary": SUMMARY} | {f"shown {key}": cell for key, cell in CAPTIONS.items()}
    return {key: f"'{SHEET}'!{cell}" for key, cell in found.items()} if elsewhere else found


@cache
def expressions(units: Units) -> dict[str, Expression]:
    """Every cell of the sheet by key, over ``values.values`` and ``drive_on.sheet.expressions``."""
    found = {f"found {group}": _found(group) for group in SOURCES} | figure_expressions(units)
    for one in answers(units).values():
        found |= one.expressions()
    return found | {"summary": _summary(units)} | {f"shown {key}": C(key) for key in CAPTIONS}


def _found(group: str) -> Expression:
    """What was chosen, in words."""
    row, (table, key) = C(f"row of {group}"), TABLES[group]
    words: list[Given] = []
    for heading in NAMED_BY[group]:
        words += [" ", INDEX(Range(column_key(table, heading)), row)]
    same = SUMPRODUCT(Range(column_key(table, key)).equals(C(choice_key(group))) * 1)
    twice = IF(same > 1, "; stands there twice: the first is used", "")
    found = IF(ISNUMBER(row), joined([*words[1:], twice]), f"{WRONG} not on the {SOURCES[group]} sheet")
    return IF(no_choice(group), "choose from the list", found)


class Column:
    """A column of the answers, to count and look up in."""

    def __init__(self, units: Units) -> None:
        keys = list(answer_rows(units))
        self.labels, self.verdicts, self.notes = (Block([part(k).key for k in keys]) for part in (label, verdict, note))

    def wrong(self) -> Expression:
        """How many answers say no."""
        return COUNTIF(self.verdicts, f"{WRONG}*")

    def open(self) -> Expression:
        """How many are not known."""
        return COUNTIF(self.notes, OPEN) + COUNTIF(self.verdicts, NOT_CHECKED)

    def first_wrong(self) -> tuple[Expression, Expression, Expression]:
        """Label, verdict and note of the first that says no."""
        row = MATCH(f"{WRONG}*", self.verdicts, 0)
        return INDEX(self.labels, row), INDEX(self.verdicts, row), INDEX(self.notes, row)


def missing_figures() -> Expression:
    """How many figures are missing."""
    return COUNTIF(marks(), MISSING)


def _summary(units: Units) -> Expression:
    """The answer in one line."""
    column, missing = Column(units), missing_figures()
    wrong, is_open = column.wrong(), column.open()
    name, word, why = column.first_wrong()
    unknown = "Not known: nothing wrong found, but "
    lacking = unknown & plural(missing, "figure is", "figures are") & " missing, marked on the right."
    opened = unknown & plural(is_open, "answer is", "answers are") & " open."
    said = IF(is_open > 0, opened, "YES: nothing wrong found. Mind the cautions below.")
    said = IF(missing > 0, lacking, said)
    no = "NO: " & plural(wrong, "thing is", "things are") & " wrong. " & name & ": " & word & ". " & why
    choose = OR(*(no_choice(group) for group in CHOICE_CELLS))
    return IF(choose, "Choose a trailer, a machine and a truck.", IF(wrong > 0, no, said))
