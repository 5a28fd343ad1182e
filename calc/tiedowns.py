"""How many tie-downs a load needs and what each must be rated for, 49 CFR 393 subpart I.

The rules in force govern; states and provinces can ask for more. Accessory equipment is lowered and tied too, the
parking brake set, articulation locked (393.130); check every part, since an assembly is as good as its weakest.
"""

from __future__ import annotations

import math

from .errors import NotInTable
from .glossary import (
    ARTICLE_WEIGHT,
    BLOCKED,
    CHAIN_GRADE,
    CHAIN_MILLIMETERS,
    CHAIN_SIZE,
    COUNT,
    LENGTH_FT,
    MACHINE,
    TIEDOWN,
    WEIGHT_LB,
)
from .spec import trim
from .tables import rows

SHORT_FT, LIGHT_LB = 5.0, 1_100.0
"""Up to both, an article that is not blocked needs one tie-down (393.110(b))."""
SECTION_FT = 10.0
"""A further tie-down for each such length or part of it (393.110)."""
HEAVY_MACHINE_LB, MACHINE_TIEDOWNS = 10_000.0, 4
"""A machine of that weight or more needs at least so many (393.130(a), (c), CFR of 2015)."""
CHAIN_GRADES = (30.0, 43.0, 70.0, 80.0, 100.0)
CHAIN_WLL_LB: tuple[tuple[float | None, ...], ...] = tuple(
    tuple(float(row[f"{grade:g}"]) if row[f"{grade:g}"] else None for grade in CHAIN_GRADES)
    for row in rows("chain_wll.csv")
)
"""Working load limit by size, smallest first, and by grade; None where the rule has none."""


def tiedown_count(weight_lb: float, length_ft: float, blocked: str | None = None, machine: str | None = None) -> float:
    """Least number of tie-downs by length and weight, 49 CFR 393.110; a heavy machine at least four (393.130).

    Not blocked forward: 1 up to 5 ft and 1,100 lb, else 2 up to 10 ft, else 2 and 1 for every further 10 ft or part.
    Blocked: 1 for every 10 ft or part. Their ratings together must also suffice, see :func:`tiedown_wll`. Lengths are
    taken to a billionth, so that a sum of inches over 12 does not ask for one more.

    Args:
        weight_lb: Weight of the article in pounds, above 0.
        length_ft: Its length in feet, above 0.
        blocked: ``blocked`` where a headerboard, bulkhead or other cargo keeps it from moving forward.
        machine: ``machine`` for wheeled or tracked machinery; from 10,000 lb on it needs at least 4.

    Raises:
        OutOfRange: A value outside those ranges, NaN included.
        NotInTable: Another word.

    >>> tiedown_count(900, 4), tiedown_count(1_200, 4), tiedown_count(20_000, 22), tiedown_count(20_000, 22, "blocked")
    (1.0, 2.0, 4.0, 3.0)
    >>> tiedown_count(9_999, 10, machine="machine"), tiedown_count(10_000, 10, machine="machine")
    (2.0, 4.0)
    """
    WEIGHT_LB.check(weight_lb)
    LENGTH_FT.check(length_ft)
    if blocked is not None:
        BLOCKED.check(blocked)
        count = math.ceil(round(length_ft / SECTION_FT, 9))
    elif length_ft <= SHORT_FT and weight_lb <= LIGHT_LB:
        count = 1
    else:
        count = 2 + max(0, math.ceil(round((length_ft - SECTION_FT) / SECTION_FT, 9)))
    if machine is not None:
        MACHINE.check(machine)
        if weight_lb >= HEAVY_MACHINE_LB:
            count = max(count, MACHINE_TIEDOWNS)
    return float(max(1, count))


def tiedown_wll(weight: float, count: float, tiedown: str | None = None) -> float:
    """Working load limit that each of some equal tie-downs needs, in the unit of ``weight``.

    Together they must be rated for half the weight (393.106(d)). A direct one, from the vehicle to the article or back
    to the same side, counts half its rating: r = W / n. An indirect one, across to the other side, counts in full:
    r = W / (2 n).

    Args:
        weight: Weight W of the article, above 0.
        count: Number n of tie-downs, whole, 1 to 1,000.
        tiedown: ``direct`` (where absent) or ``indirect``.

    Raises:
        OutOfRange: A value outside those ranges, NaN included.
        NotInTable: Another word.

    >>> tiedown_wll(24_000, 4), tiedown_wll(24_000, 4, "indirect")
    (6000.0, 3000.0)
    """
    ARTICLE_WEIGHT.check(weight)
    COUNT.check(count)
    if tiedown is None:
        return weight / count
    TIEDOWN.check(tiedown)
    return weight / count / (2 if trim(tiedown).lower() == "indirect" else 1)


def chain_wll(size: str, grade: float) -> float:
    """Working load limit of a chain in pounds by its size and the grade marked on it, 49 CFR 393.108.

    A limit marked on the chain itself governs; a chain without a mark counts as grade 30. Hooks, binders and anchors
    limit the assembly too. A size typed into a cell as 3/8 turns into a date, which is refused: format the cell as
    text or type an apostrophe first.

    Args:
        size: 1/4, 5/16, 3/8, 7/16, 1/2 or 5/8, with or without ``in``; or 7, 8, 10, 11, 13 or 16 ``mm``.
        grade: 30, 43, 70, 80 or 100.

    Raises:
        WrongKind: The size is not text.
        OutOfRange: A grade that is not above 0.
        NotInTable: A size or grade, or the two together, that the rule does not list.

    >>> chain_wll("3/8", 70), chain_wll("10 mm", 70)
    (6600.0, 6600.0)
    """
    CHAIN_SIZE.check(size)
    CHAIN_GRADE.check(grade)
    limits = CHAIN_WLL_LB[CHAIN_SIZE.choices.index(trim(size).lower()) % len(CHAIN_MILLIMETERS)]
    limit = limits[CHAIN_GRADES.index(grade)] if grade in CHAIN_GRADES else None
    if limit is None:
        message = f"49 CFR 393.108 lists no chain of size {size} and grade {grade:.15g}"
        raise NotInTable(message)
    return limit
