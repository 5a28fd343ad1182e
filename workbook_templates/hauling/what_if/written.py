"""The questions as formula text, for the answers of What-if that are still written as text."""

from __future__ import annotations

from collections.abc import Mapping

from tarelot.calc.cells.expression import Cells, Expression, Places, formula
from tarelot.calc.cells.values import Values
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling import questions as q


class Written(Expression):
    """A formula that is text already."""

    __slots__ = ("_formula",)

    def __init__(self, written: str) -> None:
        self._formula = written

    def text(self, places: Places) -> str:
        """The formula."""
        return self._formula

    def work_out(self, cells: Cells) -> Values:
        """It cannot be worked out."""
        raise NotImplementedError


def over(question: q.Question, cells: Mapping[str, str], units: Units) -> str:
    """How far something goes beyond its limit, where the figures that it needs are there."""
    return formula(question.excess, {**cells, **q.written(units)})


def is_over(question: q.Question, cells: Mapping[str, str], units: Units) -> str:
    """Whether something goes beyond its limit; FALSE where a figure that it needs is blank."""
    return formula(q.exceeds(question), {**cells, **q.written(units)})


def answer(question: q.Question, word: str, cells: Mapping[str, str], units: Units, otherwise: str = '"ok"') -> str:
    """The word with its mark, what is said otherwise, or that it is not checked."""
    return formula(q.judged(question, word, Written(otherwise)), {**cells, **q.written(units)})


def gap_answer(at_least: str, at_most: str, said: tuple[str, str, str, str], units: Units) -> str:
    """What is said of a gap known between two bounds."""
    touches, is_tight, is_clear, unsure = map(Written, said)
    judged = q.judged_gap(Written(at_least), Written(at_most), (touches, is_tight, is_clear, unsure), units)
    return formula(judged, {})
