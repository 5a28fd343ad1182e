"""RULES: whether this trailer carries this machine behind this truck, each rule once, the worst first.

``EXPRESSIONS`` holds every cell of the rules by its key, over the figures of ``hauling_figures.FIGURES``; what would
be enough where a rule says no stands in ``enough``. The certification labels, the scale and the law in force govern:
check every rating.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass

from ...cells.expression import Cell, Expression, lift
from ...cells.spreadsheet import IF, IFERROR, joined, listing
from ...cells.worked_out import WorkedOut
from .. import hauling_figures as figures
from .. import limits
from ..hauling_doubts import DOUBTS
from ..hauling_driving_on import DRIVEN, GAP_RULES, LIFT_RULES, SLOPE_RULES, WIDTH_RULES
from ..hauling_figures import FIGURES, C, Measures, added, over, usable
from ..hauling_legal import LAWFUL, SIZE_RULES, WEIGHT_LAWS
from ..hauling_placing import LOADED, NO_PLACE, SEAT, SEAT_RULES, SHARE_RULES, band
from ..hauling_rule import NO, NOT_SURE, YES, Rule, caution_when, cell, most_passed, no_when, state, worked_out
from ..hauling_towing import COUPLING_RULES, LICENSE, PULLED, TRUCK_RULES
from ..hauling_weights import HELD, TIE_RULES, WEIGHT_RULES
from .enough import enough

RULES: tuple[Rule, ...] = (
    *LIFT_RULES,
    *SLOPE_RULES,
    *WIDTH_RULES,
    *GAP_RULES,
    *WEIGHT_RULES,
    *SEAT_RULES,
    NO_PLACE,
    *SHARE_RULES,
    *COUPLING_RULES,
    *TRUCK_RULES,
    *TIE_RULES,
    *SIZE_RULES,
    *WEIGHT_LAWS,
    LICENSE,
    *DOUBTS,
)
BY_KEY = {rule.key: rule for rule in RULES}
CHOSEN = {"trailer": "trailer_chosen", "machine": "machine_chosen", "truck": "truck_chosen"}
"""Cells that hold 1 where one of the group is chosen or typed."""
DOUBTS_OF = {group: f"{group}_doubt" for group in CHOSEN}
"""What the entry check of each list says of the chosen row; blank where nothing."""
WORDS_AT_ONCE = 12
"""Rules whose words stand in one cell, so that no formula is long."""


def _words(rules: Iterable[Rule], when: str) -> Expression:
    """The words of rules where they are broken, or cautions, each behind ``; ``."""
    ask = no_when if when == "broken" else caution_when
    parts = []
    for rule in rules:
        condition = ask(rule)
        if condition is not None:
            parts.append(IFERROR(IF(condition, lift("; ") & rule.words, ""), "; " + rule.asks))
    return joined(parts) if parts else lift("")


def _listed(name: str, rules: tuple[Rule, ...]) -> dict[str, Expression]:
    """The words of all rules that are broken, or cautions: in several cells, and joined in one."""
    ask = no_when if name == "broken" else caution_when
    asked = [rule for rule in rules if ask(rule) is not None]
    parts = [asked[start : start + WORDS_AT_ONCE] for start in range(0, len(asked), WORDS_AT_ONCE)]
    found = {f"{name}_{number}": _words(part, name) for number, part in enumerate(parts, 1)}
    return found | {name: listing(map(Cell, found))}


def _missing(rules: tuple[Rule, ...]) -> dict[str, Expression]:
    """What is missing: figures by group, or that none is chosen, and why rules could not be answered."""
    found: dict[str, Expression] = {}
    for group, chosen in CHOSEN.items():
        names = [figures.missing(figure) for figure in FIGURES if figure.group == group]
        half = (len(names) + 1) // 2
        for number, part in enumerate((names[:half], names[half:]), 1):
            none = f"; {group} not chosen" if number == 1 else ""
            found[f"missing_{group}_{number}"] = IF(C(chosen).equals(1), joined(part), none)
    reasons = []
    for rule in rules:
        if rule.unsure is not None and rule.reason != "":
            said = IF(rule.unsure, lift("; ") & rule.reason, "")
            if rule.needs:
                said = IF(usable(rule.needs), said, "")
            reasons.append(IFERROR(IF(cell(rule).equals(""), said, ""), ""))
    half = (len(reasons) + 1) // 2
    found |= {"missing_reasons_1": joined(reasons[:half]), "missing_reasons_2": joined(reasons[half:])}
    every = joined(map(Cell, found))
    unexplained = IF(C("verdict").equals(NOT_SURE), "a figure that cannot be used: see what is not asked", "")
    return found | {
        "missing_all": every,
        "missing": IF(C("missing_all").equals(""), unexplained, listing([C("missing_all")])),
    }


def _verdict(rules: tuple[Rule, ...]) -> dict[str, Expression]:
    not_asked = [cell(rule).equals("") for rule in rules]
    not_chosen = [C(chosen).differs(1) for chosen in CHOSEN.values()]
    return {
        "broken_most": most_passed(rules),
        "not_asked": added(not_asked) + added(not_chosen),
        "verdict": IFERROR(IF(C("broken_most") > 0, NO, IF(C("not_asked") > 0, NOT_SURE, YES)), NOT_SURE),
    }


def asked(rules: tuple[Rule, ...]) -> dict[str, Expression]:
    """Every cell of some rules by its key, without what would be enough.

    Args:
        rules: All rules, those of :data:`RULES` among them.
    """
    return {
        **SEAT,
        **band(rules),
        **LOADED,
        **PULLED,
        **DRIVEN,
        **HELD,
        **LAWFUL,
        **{over(rule.key): worked_out(rule) for rule in rules},
        **{f"state_{rule.key}": state(rule) for rule in rules},
        **_verdict(rules),
        **_listed("broken", rules),
        **_listed("cautions", rules),
        **_missing(rules),
    }


EXPRESSIONS: dict[str, Expression] = asked(RULES)
EXPRESSIONS |= enough(RULES, EXPRESSIONS)
"""Every cell by its key:

    over_<rule>     how far a rule's limit is passed: 0 kept, blank not asked, ``-`` not applied
    state_<rule>    the same in a word
    verdict         NO: a rule is broken; NOT SURE: none is, but one could not be asked; YES: all asked, none broken
    broken          what is broken, in words, worst first; ``cautions`` what is to be minded beside any verdict
    missing         what is missing for a full answer
    enough          what would be enough, figure by figure, each for the rules that it mends
    center, proposed, pin, axle_load, rear_load, front_load, ...  what rests where
"""
_READ = set().union(*(expression.keys() for expression in EXPRESSIONS.values()))
LIMIT_KEYS = frozenset(key.removeprefix("limit_") for key in _READ if key.startswith("limit_"))
"""The limits that the rules read."""


@dataclass(frozen=True)
class Verdict:
    """What the rules say of one trailer, machine and truck; each cell is worked out when it is asked for.

    Attributes:
        cells: Every cell by its key, the figures among them.
    """

    cells: Mapping[str, object]

    @property
    def word(self) -> str:
        """``NO``, ``NOT SURE`` or ``YES``."""
        return str(self.cells["verdict"])

    @property
    def broken(self) -> str:
        """What is broken, the worst first, ``; `` between."""
        return str(self.cells["broken"])

    @property
    def cautions(self) -> str:
        """What is to be minded, ``; `` between."""
        return str(self.cells["cautions"])

    @property
    def enough(self) -> str:
        """What would be enough, each figure by itself for what it names, ``; `` between."""
        return str(self.cells["enough"])

    @property
    def missing(self) -> str:
        """What is missing for a full answer, ``; `` between."""
        return str(self.cells["missing"])

    @property
    def states(self) -> dict[str, str]:
        """The state of each rule by its key."""
        return {rule.key: str(self.cells[f"state_{rule.key}"]) for rule in RULES}


def ours(measures: Measures) -> dict[str, float]:
    """Our limits that the rules read, by key without ``limit_``, in these units."""
    units = {"weight": measures.per_pound, "short": measures.per_inch}
    return {key: limits.BY_KEY[key].value * units.get(limits.BY_KEY[key].unit, 1.0) for key in sorted(LIMIT_KEYS)}


def judge(given: Mapping[str, object], measures: Measures, changed: Mapping[str, float] | None = None) -> Verdict:
    """The verdict for figures by key, as the sheets work it out; a figure left out is blank.

    Args:
        given: Figures and choices by key; ``truck_chosen`` and its like, where left out, are 1 where the group has a
            figure.
        measures: The units of the figures.
        changed: Limits that a yard has changed, by key without ``limit_``, in those units; the others are ours.

    Raises:
        KeyError: A figure or a limit that no rule reads.
    """
    return Verdict(WorkedOut(cells_given(given, measures, changed), EXPRESSIONS))


def cells_given(
    given: Mapping[str, object], measures: Measures, changed: Mapping[str, float] | None = None
) -> dict[str, object]:
    """What the rules read, by key, as :func:`judge` is given it: blank where nothing is."""
    known = {figure.key for figure in FIGURES} | set(DOUBTS_OF.values()) | set(CHOSEN.values())
    if unknown := sorted(set(given) - known | set(changed or {}) - LIMIT_KEYS):
        message = f"no rule reads {', '.join(unknown)}"
        raise KeyError(message)
    cells: dict[str, object] = dict.fromkeys(known)
    for group, chosen in CHOSEN.items():
        stated = (given.get(figure.key) for figure in FIGURES if figure.group == group)
        cells[chosen] = 1.0 if any(one not in (None, "") for one in stated) else None
    held = ours(measures) | dict(changed or {})
    return cells | asdict(measures) | {f"limit_{key}": limit for key, limit in held.items()} | dict(given)


def behind(*keys: str) -> dict[str, Expression]:
    """The expressions of these cells and of all that they read, in the order in which they can be worked out."""
    found: dict[str, Expression] = {}

    def visit(key: str) -> None:
        if key in EXPRESSIONS and key not in found:
            for one in sorted(EXPRESSIONS[key].keys()):
                visit(one)
            found[key] = EXPRESSIONS[key]

    for key in keys:
        visit(key)
    return found


def inputs_of(key: str) -> frozenset[str]:
    """The keys of all figures, choices, limits and units that a cell goes back to."""
    cells = behind(key)
    read = set().union(*(expression.keys() for expression in cells.values())) if cells else {key}
    return frozenset(read - set(cells))


def without_trailer(*keys: str) -> dict[str, Expression]:
    """Those of :func:`behind` that read nothing of a trailer: with one machine and truck they stand once for a lot."""
    trailer = {figure.key for figure in FIGURES if figure.group == "trailer"} | {"trailer_chosen", "trailer_doubt"}
    return {key: found for key, found in behind(*keys).items() if not inputs_of(key) & trailer}
