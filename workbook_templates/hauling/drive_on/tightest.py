"""The place of the drive-on that is spoken of: how much, where in words, and the position that is drawn.

For a machine on wheels that is the least gap under belly and overhangs. A tracked machine has none: it is looked at
where one of its ends strikes, if the rules say that one does, and else where it tips over the sharpest break. ``where``
and the position drawn are of the same moment.
"""

from __future__ import annotations

from tarelot.calc.cells.expression import Cell, Expression, Given
from tarelot.calc.cells.spreadsheet import ABS, AND, CHOOSE, IF, INDEX, MATCH, MAX, MIN, OR, SQRT, N
from tarelot.calc.rules.hauling_figures import over
from tarelot.workbook_templates.hauling.drive_on.profile import (
    CLEARANCE,
    HAIR_LENGTH,
    IS_BACKWARD,
    LEADING_CLEARANCE,
    LEADING_OVERHANG,
    RAMP_COSINE,
    RAMP_LENGTH,
    RAMP_SINE,
    RAMP_TOP,
    READY,
    TAIL_COSINE,
    TAIL_SINE,
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


STRIKES, TILTED, ON_TAIL = map(Cell, ("strikes", "tilted", "tilted_on_tail"))
"""Which end of a tracked machine strikes, 0 for none; whether it is its trailing one; whether on the tail."""
PART_GAP = Cell("part_gap")
FRONT_OVER, REAR_OVER = Cell(over("front_strikes")), Cell(over("rear_strikes"))
"""How far the rules say that the leading end is too low, and the trailing one."""


def tightest() -> dict[str, Expression]:
    """The least gaps, the row of the sweep that is spoken of, and its figures, by key."""
    on_wheels = IF(IS_ON_LEVEL.equals(1), 1, _first_least("rounded gap"))
    on_tracks = IF(STRIKES.equals(LEADING), _first_least("leading gap"), _first_least("off balance"))
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
        "strikes": _strikes(),
        "row": IF(WHEELS.equals(1), on_wheels, on_tracks),
        **{f"at_{heading.replace(' ', '_')}": INDEX(every(heading), Cell("row")) for heading in HEADINGS[:-2]},
        **_tilted(),
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


def _strikes() -> Expression:
    """The end of a tracked machine that strikes, the one that is farther too low; wheels have their least gap."""
    front, rear = N(FRONT_OVER), N(REAR_OVER)
    worse = IF(MAX(front, rear) > 0, IF(rear > front, TRAILING, LEADING), 0)
    return IF(WHEELS.equals(1), 0, worse)


def _tilted() -> dict[str, Expression]:
    """The moment that is drawn: a row of the sweep, or a tracked machine whose trailing end strikes.

    That one lies on the ramp's top with its trailing contact still on the ground, until its center is over the top,
    ``r`` behind: sin p = H / r, and r is at least the ramp's length; where the tail is steeper than the ramp by more
    than that, it lies on the tail with its trailing contact at the ramp's top.
    """
    (top_x, top_y) = RAMP_TOP
    reach, sine, cosine = Cell("tilted_reach"), Cell("tilted_sine"), Cell("tilted_cosine")
    behind = TAIL_SINE * RAMP_COSINE - TAIL_COSINE * RAMP_SINE
    is_tilted, on_tail = TILTED.equals(1), ON_TAIL.equals(1)

    def moment(on_the_tail: Given, on_the_top: Given, swept: str) -> Expression:
        return IF(is_tilted, IF(on_tail, on_the_tail, on_the_top), Cell(f"at_{swept}"))

    return {
        "tilted": IF(STRIKES.equals(TRAILING), 1, 0),
        "tilted_reach": MAX(WHEELBASE - Cell("leading_to_center"), RAMP_LENGTH),
        "tilted_sine": top_y / reach,
        "tilted_cosine": SQRT(1 - sine**2),
        "tilted_on_tail": IF(behind > sine, 1, 0),
        "drawn_x": moment(top_x, top_x - reach * cosine, "trailing_x"),
        "drawn_y": moment(top_y, 0, "trailing_y"),
        "drawn_cosine": moment(TAIL_COSINE, cosine, "cos_tilt"),
        "drawn_sine": moment(TAIL_SINE, sine, "sin_tilt"),
        "tilted_up": 0 - TRAILING_REACH * IF(on_tail, behind / SQRT(1 - behind**2), sine / cosine),
    }


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
        "part": IF(STRIKES > 0, STRIKES, IF(IS_ON_LEVEL.equals(1), on_level, in_sweep)),
        "part_gap": IF(STRIKES.equals(LEADING), Cell("at_leading_gap"), Cell("at_least_gap")),
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
    """1 where a break is under the part, and as close to it as the gap says."""
    along, up = (Cell(f"at_{place.replace(' ', '_')}_{what}") for what in ("along", "up"))
    under = AND(along >= Cell("part_from") - HAIR_LENGTH, along <= Cell("part_to") + HAIR_LENGTH)
    return IF(AND(under, ABS(Cell("part_clearance") - up - PART_GAP) <= HAIR_LENGTH), 1, 0)


def _spot() -> dict[str, Expression]:
    """The point of the way that is spoken of, along the line through the contacts and above it."""
    alongs, ups = ([Cell(f"at_{place.replace(' ', '_')}_{what}") for place in BREAKS] for what in ("along", "up"))
    at_tip = CHOOSE(PART, 0, LEADING_REACH, TRAILING_REACH)
    at_break = IF(Cell("tip").equals(1), at_tip, CHOOSE(Cell("break"), *alongs))
    level = AND(WHEELS.equals(1), IS_ON_LEVEL.equals(1))
    along = IF(level, (Cell("part_from") + Cell("part_to")) / 2, at_break)
    up = IF(level, 0, Cell("part_clearance") - PART_GAP)
    tips_at, tips = Cell("tips_at"), AND(WHEELS.equals(0), STRIKES.equals(0))
    return {
        "spot_along": IF(tips, CHOOSE(tips_at, *alongs), IF(TILTED.equals(1), TRAILING_REACH, along)),
        "spot_up": IF(tips, CHOOSE(tips_at, *ups), IF(TILTED.equals(1), Cell("tilted_up"), up)),
    }


def _where() -> Expression:
    """The tightest place in words; the machine's ends by their own names."""
    leading, trailing = IF(IS_BACKWARD.equals(1), "rear", "front"), IF(IS_BACKWARD.equals(1), "front", "rear")
    part = CHOOSE(PART, "belly", leading & " overhang", trailing & " overhang")
    tips = CHOOSE(Cell("tips_at") - 1, *(f"tips over {place}" for place in PLACES[1:]))
    at_break = IF(TILTED.equals(1), 1 + ON_TAIL, Cell("break"))
    on_level = AND(WHEELS.equals(1), IS_ON_LEVEL.equals(1))
    touching = part & IF(on_level, ON_LEVEL, " at " & CHOOSE(at_break, *PLACES))
    return _once_swept(IF(OR(WHEELS.equals(1), STRIKES > 0), touching, tips))
