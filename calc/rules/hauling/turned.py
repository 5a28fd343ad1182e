"""The other way round: whether a machine that does not fit forward would, backed on, and the reverse.

Of the rules only the gaps, the ends that strike and the place depend on which end goes up first; a place between the
bounds on the pin keeps every rule that has one. All other rules are as they are.
"""

from __future__ import annotations

from collections.abc import Mapping

from ...cells.expression import Cell, Expression
from ...cells.spreadsheet import AND, COUNT, IF, IFERROR, ISNUMBER, ROUND
from ..entries import Renamed
from ..hauling_figures import BACKWARD, FORWARD, PLACES, WHEELS, C, added, is_word, usable
from ..hauling_rule import AT_LEAST, AT_MOST, CAUTION, Rule, bound_key, cell, most_passed, sided
from .replaced import Replaced

ENDS = ("lead_overhang", "trail_overhang", "lead_gap", "trail_gap", "lead_to_center")
"""The machine's ends by which goes up first."""
STRIKES = ("over_front_strikes", "over_rear_strikes")
GAP = "gap"


def _turned(key: str) -> str:
    return f"turned_{key}"


def turned(rules: tuple[Rule, ...], known: Mapping[str, Expression]) -> dict[str, Expression]:
    """The cells by key: ``turned_fits`` is 1 where the other way round is a YES, else 0; blank if a place is typed.

    Args:
        rules: All rules.
        known: Every cell of the rules by its key.
    """
    by: dict[str, Expression] = {"direction": IF(is_word("direction", BACKWARD), FORWARD, BACKWARD)}
    found: dict[str, Expression] = {_turned(key): Replaced(known[key], by) for key in ENDS}
    seats = [
        bound_key(rule, side)
        for side in (AT_MOST, AT_LEAST)
        for rule, _ in sided(rules, side)
        if rule.severity != CAUTION and known[bound_key(rule, side)].keys() & {*ENDS}
    ]
    for key in (*seats, "pin_greatest", "pin_least", "at_least", *STRIKES):
        names = {read: _turned(read) for read in sorted(known[key].keys()) if _turned(read) in found}
        found[_turned(key)] = Renamed(known[key], names)
    least, greatest = C(_turned("pin_least")), C(_turned("pin_greatest"))
    has_place = IF(COUNT(least, greatest).equals(2), ROUND(least - greatest, PLACES) <= 0, False)
    at_least = C(_turned("at_least"))
    clear = IF(is_word("runs_on", WHEELS), IF(ISNUMBER(at_least), at_least >= 0, False), True)
    strikes = [C(_turned(key)).equals(0) for key in STRIKES]
    fits = IF(AND(has_place, clear, *strikes, *_others_kept(rules)), 1, 0)
    return found | {"turned_fits": IF(usable(("place",)), "", IFERROR(fits, 0))}


def _others_kept(rules: tuple[Rule, ...]) -> list[Expression]:
    """Whether every rule that the ends do not decide was asked and is not broken; a bound stands for its rule."""
    free = [
        rule
        for rule in rules
        if not rule.bounds and rule.key not in ("no_place", GAP) and f"over_{rule.key}" not in STRIKES
    ]
    asked = [rule for rule in free if "center" not in rule.needs]
    placed = [key for rule in free for key in rule.needs if "center" in rule.needs and key != "center"]
    blank = added([cell(rule).equals("") for rule in asked])
    chosen = [C(f"{group}_chosen").equals(1) for group in ("trailer", "machine", "truck")]
    bounded = [Cell(bound_key(rule, bound.side)).equals("") for rule in rules for bound in rule.bounds]
    return [most_passed(asked).equals(0), blank.equals(0), added(bounded).equals(0), usable(placed), *chosen]
