"""One answer of What-if: a figure, the state of the rules that it is about in a word, and what it means in words."""

from __future__ import annotations

from dataclasses import dataclass, field

from tarelot.calc.cells.expression import Cell, Expression, Given, lift
from tarelot.calc.cells.spreadsheet import IF, IFERROR
from tarelot.workbook_templates.hauling import asked

OPEN = "needs more figures"
OUT_OF_RANGE = "?"
"""Stands for a figure that is none."""
REFUSED = "A figure on the right is out of range."


@dataclass(frozen=True)
class Answer:
    """One row.

    Attributes:
        key: Its name.
        label: What the sheet says, with units to be filled in.
        figure: What it comes to; blank while a figure is missing.
        rules: Keys of the rules whose worst state stands beside it; none for a figure that nothing asks about.
        note: The words beside that.
        word: What is said where one of the rules is broken.
        kind: Number format by name.
        needs_place: Whether it needs a place for its center, not only figures.
        lacking: What is said where it comes to nothing.
    """

    key: str
    label: str
    figure: Expression
    rules: tuple[str, ...] = ()
    note: Given = field(default="", kw_only=True)
    word: Given = field(default="broken", kw_only=True)
    kind: str = field(default="figure", kw_only=True)
    needs_place: bool = field(default=False, kw_only=True)
    lacking: Given = field(default=OPEN, kw_only=True)

    def expressions(self) -> dict[str, Expression]:
        """The row's cells by key."""
        at = answer(self.key)
        lacking = self.lacking
        if self.needs_place:
            nowhere = asked.is_state("no_place", "broken")
            lacking = IF(nowhere, "No place for its center: see Why not, above.", lacking)
        return {
            at.key: IFERROR(self.figure, OUT_OF_RANGE),
            verdict(self.key).key: asked.judged(self.rules, self.word) if self.rules else lift(""),
            note(self.key).key: IFERROR(
                IF(at.equals(OUT_OF_RANGE), REFUSED, IF(at.equals(""), lacking, lift(self.note))), REFUSED
            ),
        }


@dataclass(frozen=True)
class Section:
    """A band with its answers."""

    heading: str
    answers: tuple[Answer, ...]


def label(key: str) -> Cell:
    """What an answer is called."""
    return Cell(f"{key} label")


def answer(key: str) -> Cell:
    """The figure of an answer."""
    return Cell(f"{key} answer")


def verdict(key: str) -> Cell:
    """Its verdict."""
    return Cell(f"{key} verdict")


def note(key: str) -> Cell:
    """Its note."""
    return Cell(f"{key} note")
