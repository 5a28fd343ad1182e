"""What What-if, Match and Card ask: the rules of ``calc/rules/hauling/``, each in the same words and states.

No sheet has a question of its own: each gives the rules its cells, and shows what they say.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict

from tarelot.calc.cells.expression import Cell, Expression, Given, formula, lift
from tarelot.calc.cells.spreadsheet import IF, LEFT, MIN, OR, ROUND, joined
from tarelot.calc.rules import hauling_rule as rule_states
from tarelot.calc.rules.aboard import BY_KEY
from tarelot.calc.rules.hauling_figures import Measures, added, where_known
from tarelot.calc.rules.hauling_rule import NO, NOT_SURE, YES
from tarelot.workbook_templates.basis import limits
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.lot.entries import entry_figures
from tarelot.workbook_templates.sheets import limits as limits_sheet

WRONG = "▲"
"""How what is broken is marked."""
UNREADABLE = f"{WRONG} holds an error"
"""What is said of a choice, or of what it leads to, that came to an error."""
CAUTION, NOT_CHECKED, OK, NOT_APPLIED = "caution", "not checked", "ok", rule_states.NOT_APPLIED
WORDS = (YES, NO, NOT_SURE)
"""The verdicts."""
SAID = ("verdict", "broken", "enough", "missing", "cautions")
"""The cells that every face shows."""
LIMITS_CHANGED = Cell("limits_changed")
"""What the yard changed or switched off on its Limits sheet, in words; blank where nothing."""
OVERLOOKED_IN = 0.1
"""What the sweep of the Drive-on sheet may overlook of a gap."""


def state_key(rule: str) -> str:
    """The key of a rule's state; a misspelt rule is a KeyError."""
    return f"state_{BY_KEY[rule].key}"


def measures(units: Units) -> Measures:
    """A workbook's units, as the rules read them."""
    return Measures(
        units.short_per_long, units.short_per_inch, units.weight_per_pound, units.weight, units.short, units.long
    )


def constants(units: Units, typed: limits.Typed | None = None) -> dict[str, object]:
    """What the rules read besides figures, by key: units, and the limits used.

    Args:
        units: The workbook's units.
        typed: What the yard typed on its Limits sheet.
    """
    changed = {LIMITS_CHANGED.key: limits_changed(units, typed)}
    return {**asdict(measures(units)), **entry_figures(units), **limits.limit_values(units, typed), **changed}


def limits_changed(units: Units, typed: limits.Typed | None = None) -> str:
    """What the yard changed or switched off on its Limits sheet, in words; blank where nothing.

    Args:
        units: The workbook's units.
        typed: What the yard typed on its Limits sheet.
    """
    return str(limits_sheet.stored(units, typed)[limits_sheet.CHANGED_CELL]) if typed else ""


def written(units: Units) -> dict[str, str]:
    """The same as a formula writes them."""
    bare = asdict(measures(units)) | entry_figures(units)
    return {key: formula(one, {}) for key, one in bare.items()} | limits.limit_places(units)


def judged(rules: Sequence[str], word: Given) -> Expression:
    """The worst state of some rules: what is broken by its word, not checked, a caution, ok, or none applies."""
    states = [Cell(state_key(rule)) for rule in rules]

    def some(state: str) -> Expression:
        return added([one.equals(state) for one in states]) > 0

    kept = IF(some(rule_states.KEPT), OK, NOT_APPLIED)
    asked = IF(some(rule_states.NOT_ASKED), NOT_CHECKED, IF(some(rule_states.CAUTIONED), CAUTION, kept))
    return IF(some(rule_states.BROKEN), lift(f"{WRONG} ") & word, asked)


def minded() -> Expression:
    """What is to be minded, behind what the yard changed on its Limits sheet."""
    changed, cautions = LIMITS_CHANGED, Cell("cautions")
    between = IF(OR(changed.equals(""), cautions.equals("")), "", "; ")
    return joined([IF(changed.equals(""), "", "the yard's own limits: " & changed), between, cautions])


def is_state(rule: str, state: str) -> Expression:
    """Whether a rule has this state."""
    return Cell(state_key(rule)).equals(state)


def is_marked(verdict: Expression) -> Expression:
    """Whether a word is to be colored: something is broken, or a caution."""
    return OR(LEFT(verdict, len(WRONG)).equals(WRONG), verdict.equals(CAUTION))


def says_no(answer: Expression) -> Expression:
    """Whether a verdict says no."""
    return answer.equals(NO)


def unless_blank(keys: Sequence[str], said: Given) -> Expression:
    """What is said where every figure is there, else blank; errors pass."""
    return IF(added([Cell(key).equals("") for key in keys]) > 0, "", said)


def spare() -> Expression:
    """What the gross weight leaves of the lesser of label and coupler rating; what the place decides is not in it."""
    left = ROUND(MIN(Cell("gvwr"), Cell("coupler")) - Cell("gross"), 6)
    return where_known(("gvwr", "coupler", "gross"), left)


def spare_by() -> Expression:
    """Which of the two it is."""
    return where_known(("gvwr", "coupler"), IF(Cell("gvwr") <= Cell("coupler"), "GVWR", "coupler rating"))
