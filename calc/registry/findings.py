"""FINDINGS: the worksheet functions of what the checks of a row found, one row each."""

from __future__ import annotations

from .. import checks
from .. import glossary as g
from ..spec import Function
from .sources import ARITHMETIC

FINDINGS: tuple[Function, ...] = (
    Function(
        "LOT_CONFLICTS",
        checks.conflicts,
        (g.HEADINGS, g.VALUES),
        "Text, empty where nothing was found",
        "Each check that found something, with its amount, one after the other.",
        "heading and amount of each check above 0",
        ARITHMETIC,
        None,
        "joins a varying number of texts; the Lot sheet writes it out check by check",
    ),
    Function(
        "LOT_CONFLICT_COUNT",
        checks.conflict_count,
        (g.VALUES,),
        "Number of conflicts",
        "How many checks found something: numbers above 0 and texts other than ok.",
        "count of checks above 0",
        ARITHMETIC,
        'SUMPRODUCT((values>0)*(values<>"")*(values<>"ok"))',
    ),
    Function(
        "LOT_NOT_CHECKED",
        checks.not_checked,
        (g.HEADINGS, g.VALUES),
        "Text, empty where everything was checked",
        "Headings of the checks that found no figures to work with.",
        "headings of blank checks",
        ARITHMETIC,
        None,
        "joins a varying number of texts; the Lot sheet writes it out check by check",
    ),
)
