"""The least ramp length that is enough: the rules that it decides, asked anew of one length after the other.

The range between the ramp that is too short and the longest one that the Limits sheet takes for likely is halved, each
time keeping an end that fails and one that does not. No closed form holds for all of them together.
"""

from __future__ import annotations

from ...cells.expression import Expression, Registered, lift
from ...cells.spreadsheet import AND, ASIN, DEGREES, IF, IFERROR, ISNUMBER, MAX, MIN, OR, ROUND, N
from ..hauling_driving_on import GAP_RULES
from ..hauling_figures import PLACES, WHEELS, C, is_word, usable, where_known
from .replaced import Replaced

HALVINGS = 9
"""How often the range is halved: down to a third of an inch."""
RAMPS_FIXED_BY_LENGTH = ("ramp_steep", "climb", "gap", "front_strikes", "rear_strikes")


_WAY = ("deck_height", "tail_drop", "tail_length", "ramp_length")
_MACHINE = ("wheelbase", "clearance", "lead_overhang", "lead_gap", "trail_overhang", "trail_gap")
_KNOWN = (*_WAY, "runs_on", "lead_to_center", *(key for key in _MACHINE if key != "clearance"))
_TAIL = C("ramp_tail")
"""The slope of the tail, which no ramp changes."""


def _fails(length: Expression) -> Expression:
    """1 where ramps of this length are refused by one of the rules that their length decides, else 0."""
    foot = DEGREES(ASIN(MIN(1, (C("deck_height") - C("tail_drop")) / length)))
    by = {"ramp_length": length, "foot": foot, "ramp_top": foot - _TAIL}
    sure = MIN(C("limit_ramp_angle_greatest"), IF(usable(("climb",)), C("climb"), C("limit_ramp_angle_sure")))
    gap = Replaced(Registered("LOT_CLEARANCE_AT_LEAST", *map(C, (*_WAY, *_MACHINE)), guarded=False), by)
    excesses = [Replaced(lift(rule.excess), by) for rule in GAP_RULES if rule.key in ("front_strikes", "rear_strikes")]
    strikes = [ROUND(excess, PLACES) > 0 for excess in excesses]
    touches = IF(is_word("runs_on", WHEELS), gap < 0, False)
    return IFERROR(IF(OR(ROUND(MAX(foot, _TAIL) - sure, PLACES) > 0, touches, *strikes), 1, 0), 1)


def ramp_cells() -> dict[str, Expression]:
    """The lengths that are tried, whether each fails, and the one that is enough; blank where none is asked for."""
    longest, shortest = C("limit_plaus_ramp_length_greatest"), C("ramp_length")
    refused = [C(f"over_{key}").equals("") for key in RAMPS_FIXED_BY_LENGTH]
    refused += [N(C(f"over_{key}")) > 0 for key in RAMPS_FIXED_BY_LENGTH]
    has_clearance = IF(is_word("runs_on", WHEELS), usable(("clearance",)), True)
    asked = AND(longest > shortest, has_clearance, OR(*refused))
    slope = IF(C("tail_drop") > 0, DEGREES(ASIN(C("tail_drop") / C("tail_length"))), 0)
    is_looked_for = C("ramp_longest_fails").equals(0)
    found = {
        "ramp_tail": where_known(_KNOWN, IF(asked, slope, "")),
        "ramp_longest_fails": IF(ISNUMBER(_TAIL), _fails(longest), ""),
    }
    step = (longest - shortest) / 2
    tried: Expression = (longest + shortest) / 2
    for number in range(1, HALVINGS + 1):
        found[f"ramp_try_{number}"] = IF(is_looked_for, tried, "")
        last, fails = C(f"ramp_try_{number}"), C(f"ramp_fails_{number}")
        found[fails.key] = IF(is_looked_for, _fails(last), "")
        step = step / 2
        tried = last + IF(fails.equals(1), step, 0 - step)
    passing = last + IF(fails.equals(1), step * 2, 0)
    return found | {"ramp_enough": IF(is_looked_for, passing, "")}
