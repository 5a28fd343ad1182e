"""Rule: one question of whether this trailer carries this machine behind this truck, and the cell it is worked out in.

A rule's cell, ``over_<key>``, shows how far its limit is passed: 0 where it is kept, a number above 0 where it is
passed, blank where it cannot be asked, ``-`` where it does not apply.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, fields
from typing import Literal

from ..cells.expression import Cell, Expression, Given, lift
from ..cells.spreadsheet import IF, IFERROR, MAX, OR, ROUND, N
from .hauling_figures import CHOICES, PLACES, Measures, over, usable

NO, NOT_SURE, YES = "NO", "NOT SURE", "YES"
"""The verdicts."""
NOT_APPLIED = "-"
Severity = Literal["wrong", "caution"]
WRONG: Severity = "wrong"
CAUTION: Severity = "caution"
Side = Literal["at most", "at least"]
AT_MOST: Side = "at most"
AT_LEAST: Side = "at least"
BROKEN, CAUTIONED, NOT_ASKED, KEPT = "broken", "caution", "not asked", "ok"
"""What a rule's state says; ``-`` where it does not apply."""


@dataclass(frozen=True)
class Bound:
    """The same limit as a bound on the pin, in which every limit of the place is linear.

    Attributes:
        side: Whether the pin may be at most or at least that.
        needs: Keys of the figures that the bound reads.
        pin: The bound; :data:`FREE` where the pin does not matter.
        name: What sets it, in words.
    """

    side: Side
    needs: tuple[str, ...]
    pin: Expression
    name: str


FREE = 9e99
"""A bound that bounds nothing, with a minus where it is one from below."""


@dataclass(frozen=True)
class Rule:
    """One question.

    Attributes:
        key: Its name in the expressions.
        asks: What it asks, for a person.
        needs: Keys of the figures without which it cannot be asked.
        excess: How far its limit is passed, above 0 where it is.
        words: What is said where it is.
        source: Where the limit is from.
        severity: ``wrong`` says no, ``caution`` is said beside a yes.
        applies: Where it is asked at all; None for always. Where a figure of it is missing the rule cannot be asked.
        unsure: Where it cannot be answered though every figure is there, for the reason in ``reason``.
        reason: What is said then in the list of what is missing.
        eased: Where it is a caution only, such as with a permit.
        bounds: Its limit as bounds on the pin, where the place of the load decides; at most one a side.
    """

    key: str
    asks: str
    needs: tuple[str, ...]
    excess: Given
    words: Given
    source: str
    severity: Severity = WRONG
    applies: Expression | None = None
    unsure: Expression | None = None
    reason: Given = ""
    eased: Expression | None = None
    bounds: tuple[Bound, ...] = ()

    @property
    def limits(self) -> tuple[str, ...]:
        """Keys of the limits that it reads, without ``limit_``."""
        parts = [self.excess, self.words, self.applies or 0, self.unsure or 0, *(bound.pin for bound in self.bounds)]
        keys = set().union(*(lift(part).keys() for part in parts))
        return tuple(sorted(key.removeprefix("limit_") for key in keys if key.startswith("limit_")))


def cell(rule: Rule) -> Cell:
    """The rule's cell."""
    return Cell(over(rule.key))


def worked_out(rule: Rule) -> Expression:
    """What the rule's cell shows."""
    found: Expression = MAX(0, ROUND(lift(rule.excess), PLACES))
    if rule.unsure is not None:
        found = IF(rule.unsure, "", found)
    return _asked(rule, rule.needs, found)


def bound_key(rule: Rule, side: Side) -> str:
    """The key of the rule's bound on the pin on this side."""
    return f"pin_{side.replace(' ', '_')}_{rule.key}"


def bounds(rule: Rule) -> dict[str, Expression]:
    """What the cells of its bounds show: blank where one cannot be told, ``-`` where the rule does not apply."""
    return {bound_key(rule, bound.side): _asked(rule, bound.needs, bound.pin) for bound in rule.bounds}


def sided(rules: Iterable[Rule], side: Side) -> list[tuple[Rule, Bound]]:
    """The rules with a bound on this side."""
    return [(rule, bound) for rule in rules for bound in rule.bounds if bound.side == side]


def _asked(rule: Rule, needs: Iterable[str], found: Expression) -> Expression:
    """The answer where every figure is there and the rule applies."""
    if needs := tuple(needs):
        found = IF(usable(needs), found, "")
    if rule.applies is not None:
        found = IF(rule.applies, found, NOT_APPLIED)
        if read := [key for key in sorted(rule.applies.keys()) if key not in GIVEN and not key.startswith("limit_")]:
            found = IF(usable(read), found, "")
    return IFERROR(found, "")


GIVEN = {*(figure.key for figure in CHOICES), *(field.name for field in fields(Measures))}
"""Cells that are not asked for: choices may be left blank, and units are always there."""


def is_passed(rule: Rule) -> Expression:
    """Whether its limit is passed."""
    return N(cell(rule)) > 0


def no_when(rule: Rule) -> Expression | None:
    """Whether it says no; None for one that never does."""
    if rule.severity == CAUTION:
        return None
    return is_passed(rule) if rule.eased is None else IF(rule.eased, False, is_passed(rule))


def says_no(rules: Iterable[Rule]) -> Expression:
    """Whether one of these says no, of which one at least may."""
    asked = [condition for rule in rules if (condition := no_when(rule)) is not None]
    return OR(*asked) if len(asked) > 1 else asked[0]


def most_passed(rules: Iterable[Rule]) -> Expression:
    """How far the limit that is passed most is passed, of those that say no; some of them are eased, all alike."""
    wrong = [rule for rule in rules if rule.severity != CAUTION]
    eased = [rule for rule in wrong if rule.eased is not None]
    assert eased[0].eased is not None
    unless_eased = IF(eased[0].eased, 0, MAX(*map(cell, eased)))
    return MAX(*(cell(rule) for rule in wrong if rule.eased is None), unless_eased)


def caution_when(rule: Rule) -> Expression | None:
    """Whether it is a caution; None for one that never is."""
    if rule.severity == CAUTION:
        return is_passed(rule)
    return None if rule.eased is None else IF(rule.eased, is_passed(rule), False)


def state(rule: Rule) -> Expression:
    """The rule's state in a word: broken, caution, not asked, ok, or ``-`` where it does not apply."""
    passed: Given = CAUTIONED if rule.severity == CAUTION else BROKEN
    if rule.eased is not None:
        passed = IF(rule.eased, CAUTIONED, BROKEN)
    kept = IF(cell(rule).equals(""), NOT_ASKED, IF(cell(rule).equals(NOT_APPLIED), NOT_APPLIED, KEPT))
    return IF(is_passed(rule), passed, kept)
