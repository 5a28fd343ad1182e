"""One answer of What-if: a figure, a verdict in a word, and what it means in words."""

from __future__ import annotations

from dataclasses import dataclass, field

from tarelot.calc.cells.expression import Cell, Expression, Given, lift
from tarelot.calc.cells.spreadsheet import IF, IFERROR, OR
from tarelot.workbook_templates.hauling.questions import WRONG
from tarelot.workbook_templates.hauling.what_if.values import CHECK, OK

OPEN = "needs more figures"
UNPLACED = "No place for its center: see above."
REFUSED = "A figure on the right is out of range."


@dataclass(frozen=True)
class Answer:
    """One row.

    Attributes:
        key: Its name.
        label: What the sheet says, with units to be filled in.
        figure: What it comes to; blank while a figure is missing.
        verdict: The word beside it.
        note: The words beside that.
        kind: Number format by name.
        needs_place: Whether it needs a place for its center, not only figures.
    """

    key: str
    label: str
    figure: Expression
    verdict: Given = ""
    note: Given = field(default="", kw_only=True)
    kind: str = field(default="figure", kw_only=True)
    needs_place: bool = field(default=False, kw_only=True)

    def expressions(self) -> dict[str, Expression]:
        """The row's cells by key."""
        at, band = answer(self.key), Cell("band")
        lacking: Given = OPEN
        if self.needs_place:
            lacking = IF(OR(band.equals(""), band.equals(OK), band.equals(CHECK)), OPEN, UNPLACED)
        return {
            at.key: self.figure,
            verdict(self.key).key: IFERROR(IF(at.equals(""), "", self.verdict), f"{WRONG} {CHECK}"),
            note(self.key).key: IFERROR(IF(at.equals(""), lacking, lift(self.note)), REFUSED),
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
