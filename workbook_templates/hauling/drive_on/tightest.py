"""The tightest place of the sweep: how much, where in words, and the position that is drawn.

For a machine on wheels that is the least gap under belly and overhangs; a tracked machine has none, and is looked at
where it tips over the sharpest break. ``where`` and the position drawn are of the same row of the sweep.
"""

from __future__ import annotations

from tarelot.calc.cells.expression import Cell, Expression
from tarelot.calc.cells.spreadsheet import ABS, AND, CHOOSE, IF, INDEX, MATCH, MIN, OR
from tarelot.workbook_templates.hauling.drive_on.profile import (
    CLEARANCE,
    HAIR_LENGTH,
    IS_BACKWARD,
    LEADING_CLEARANCE,
    LEADING_OVERHANG,
    READY,
    TRAILING_CLEARANCE,
    TRAILING_OVERHANG,
    WHEELBASE,
)
from tarelot.workbook_templates.hauling.drive_on.sweep import (
    BREAKS,
    FAR,
    HEADINGS,
    LEADING_REACH,
    TRAILING_REACH,
    every,
)

PLACES = ("the ramp's foot", "the ramp's top", "the tail's top")
ON_LEVEL = " on level ground"
TRACKS = "tracks"
BELLY, LEADING, TRAILING = 1, 2, 3
"""Numbers of the machine's parts."""
LEAST, LEAST_ON_LEVEL, IS_ON_LEVEL, WHEELS, PART = map(
    Cell, ("least_in_sweep", "least_on_level", "is_on_level", "wheels", "part")
)


def tightest() -> dict[str, Expression]:
    """The least gaps, the row of the sweep that they are of, and its figures, by key."""
    on_wheels = IF(IS_ON_LEVEL.equals(1), 1, _first_least("rounded gap"))
    return {
        "least_in_sweep": MIN(every("least gap")),
        "least_on_level": MIN(
            CLEARANCE,
            IF(LEADING_OVERHANG > 0, LEADING_CLEARANCE, FAR),
            IF(TRAILING_OVERHANG > 0, TRAILING_CLEARANCE, FAR),
        ),
        "least_gap": _once_swept(MIN(LEAST, LEAST_ON_LEVEL)),
        "least_belly_gap": _once_swept(MIN(every("belly gap"))),
        "least_front_gap": _of_front("trailing gap", "leading gap"),
        "least_rear_gap": _of_front("leading gap", "trailing gap"),
        "is_on_level": IF(LEAST < LEAST_ON_LEVEL - HAIR_LENGTH, 0, 1),
        "wheels": IF(Cell("runs_on").equals(TRACKS), 0, 1),
        "row": IF(WHEELS.equals(1), on_wheels, _first_least("off balance")),
        **{f"at_{heading.replace(' ', '_')}": INDEX(every(heading), Cell("row")) for heading in HEADINGS[:-2]},
        **_part(),
        **_spot(),
        "where": _where(),
    }


def _of_front(backward: str, forward: str) -> Expression:
    """The least gap under an end of the machine, whichever way it goes."""
    found = IF(IS_BACKWARD.equals(1), MIN(every(backward)), MIN(every(forward)))
    return _once_swept(IF(found >= FAR, "", found))


def _once_swept(figure: Expression) -> Expression:
    """A figure that other sheets read: blank where the sweep cannot be made."""
    return IF(READY.equals(1), figure, "")


def _first_least(heading: str) -> Expression:
    """The first row where a figure is least."""
    return MATCH(MIN(every(heading)), every(heading), 0)


def _part() -> dict[str, Expression]:
    """Which part of the machine comes closest, its clearance, and at which break it does so."""
    at_least = Cell("at_least_gap") + HAIR_LENGTH
    on_level = IF(
        CLEARANCE.equals(LEAST_ON_LEVEL),
        BELLY,
        IF(AND(LEADING_OVERHANG > 0, LEADING_CLEARANCE.equals(LEAST_ON_LEVEL)), LEADING, TRAILING),
    )
    in_sweep = IF(Cell("at_belly_gap") <= at_least, BELLY, IF(Cell("at_leading_gap") <= at_least, LEADING, TRAILING))
    tip = IF(PART.equals(LEADING), Cell("at_leading_tip_piece"), Cell("at_trailing_tip_piece") + 1)
    return {
        "part": IF(IS_ON_LEVEL.equals(1), on_level, in_sweep),
        "part_clearance": CHOOSE(PART, CLEARANCE, LEADING_CLEARANCE, TRAILING_CLEARANCE),
        "part_from": CHOOSE(PART, 0, WHEELBASE, TRAILING_REACH),
        "part_to": CHOOSE(PART, WHEELBASE, LEADING_REACH, 0),
        **{f"touches_{place.replace(' ', '_')}": _touches(place) for place in BREAKS},
        "break": IF(
            Cell("touches_foot").equals(1),
            1,
            IF(Cell("touches_ramp_top").equals(1), 2, IF(Cell("touches_tail_top").equals(1), 3, tip)),
        ),
        "tip": IF(OR(*(Cell(f"touches_{place.replace(' ', '_')}").equals(1) for place in BREAKS)), 0, 1),
    }


def _touches(place: str) -> Expression:
    """1 where a break is under the part, and as close to it as the least gap says."""
    along, up = (Cell(f"at_{place.replace(' ', '_')}_{what}") for what in ("along", "up"))
    under = AND(along >= Cell("part_from") - HAIR_LENGTH, along <= Cell("part_to") + HAIR_LENGTH)
    return IF(AND(under, ABS(Cell("part_clearance") - up - Cell("at_least_gap")) <= HAIR_LENGTH), 1, 0)


def _spot() -> dict[str, Expression]:
    """The point of the way that is spoken of, along the line through the contacts and above it."""
    alongs, ups = ([Cell(f"at_{place.replace(' ', '_')}_{what}") for place in BREAKS] for what in ("along", "up"))
    at_tip = CHOOSE(PART, 0, LEADING_REACH, TRAILING_REACH)
    at_break = IF(Cell("tip").equals(1), at_tip, CHOOSE(Cell("break"), *alongs))
    on_wheels = IF(IS_ON_LEVEL.equals(1), (Cell("part_from") + Cell("part_to")) / 2, at_break)
    up_on_wheels = IF(IS_ON_LEVEL.equals(1), 0, Cell("part_clearance") - Cell("at_least_gap"))
    tips_at = Cell("tips_at")
    return {
        "spot_along": IF(WHEELS.equals(1), on_wheels, CHOOSE(tips_at, *alongs)),
        "spot_up": IF(WHEELS.equals(1), up_on_wheels, CHOOSE(tips_at, *ups)),
    }


def _where() -> Expression:
    """The tightest place in words; the machine's ends by their own names."""
    leading, trailing = IF(IS_BACKWARD.equals(1), "rear", "front"), IF(IS_BACKWARD.equals(1), "front", "rear")
    part = CHOOSE(PART, "belly", leading & " overhang", trailing & " overhang")
    tips = CHOOSE(Cell("tips_at") - 1, *(f"tips over {place}" for place in PLACES[1:]))
    on_wheels = part & IF(IS_ON_LEVEL.equals(1), ON_LEVEL, " at " & CHOOSE(Cell("break"), *PLACES))
    return _once_swept(IF(WHEELS.equals(1), on_wheels, tips))
