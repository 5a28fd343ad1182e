"""The sweep: the machine in so many positions, a row each, as expressions over the figures and the way.

The model is that of ``calc/drive_on.py``. The trailing contact stands where either contact meets a break, and at
``STEPS`` even steps between two such places: between them every gap changes smoothly, so that the least of the rows is
within 0.1 in of the exact least gap, and never below it.

Where a piece of the way begins and ends is asked with a hair's room, so that every program answers alike in the
positions in which a contact stands on a break but for rounding.
"""

from __future__ import annotations

from functools import cache

from tarelot.calc.cells.expression import Cell, Expression, Given
from tarelot.calc.cells.spreadsheet import ABS, AND, CHOOSE, IF, MAX, MIN, OR, ROUND, SQRT
from tarelot.workbook_templates.hauling.drive_on.block import Block
from tarelot.workbook_templates.hauling.drive_on.profile import (
    CLEARANCE,
    DECK_HEIGHT,
    HAIR_LENGTH,
    KNOTS,
    LEADING_CLEARANCE,
    LEADING_OVERHANG,
    RAMP_COSINE,
    RAMP_SINE,
    RAMP_SLOPE,
    RAMP_TOP,
    TAIL_COSINE,
    TAIL_SINE,
    TAIL_SLOPE,
    TAIL_TOP,
    TRAILING_CLEARANCE,
    TRAILING_OVERHANG,
    WHEELBASE,
)

STEPS = 40
POSITIONS = (len(KNOTS) - 1) * STEPS + 1
BREAKS = ("foot", "ramp top", "tail top")
CORNERS: tuple[tuple[Given, Given], ...] = ((0, 0), RAMP_TOP, TAIL_TOP)
"""Where they are."""
HEADINGS = (
    "trailing x",
    "trailing piece",
    "trailing y",
    "leading piece",
    "along",
    "across",
    "reach",
    "leading x",
    "leading y",
    "cos tilt",
    "sin tilt",
    *(f"{place} {what}" for place in BREAKS for what in ("along", "up")),
    "leading tip piece",
    "trailing tip piece",
    "belly gap",
    "leading gap",
    "trailing gap",
    "least gap",
    "rounded gap",
    "off balance",
)
FAR = 9e99
"""Stands for no gap at all."""
ROUNDED_TO = 6
"""Decimal places of what a position is chosen by, so that of equally tight ones every program takes the first."""

LEADING_REACH, TRAILING_REACH = Cell("leading_reach"), Cell("trailing_reach")
Position = dict[str, Cell]
"""The cells of a position by heading."""


def key(heading: str, position: int) -> str:
    """The key of a position's figure.

    >>> key("trailing x", 17)
    'trailing x@17'
    """
    return f"{heading}@{position}"


def every(heading: str) -> Block:
    """A figure at all positions."""
    return Block([key(heading, position) for position in range(POSITIONS)])


def reaches() -> dict[str, Expression]:
    """How far the machine's ends reach from the trailing contact, and when the leading one is past a break, by key."""
    return {
        "leading_reach": WHEELBASE + LEADING_OVERHANG,
        "trailing_reach": 0 - TRAILING_OVERHANG,
        "near_squared": (WHEELBASE - HAIR_LENGTH) ** 2,
    }


@cache
def positions() -> dict[str, Expression]:
    """Every figure of every position by key."""
    return {key(h, n): figure for n in range(POSITIONS) for h, figure in sweep(n).items()}


def sweep(position: int) -> dict[str, Expression]:
    """The figures of one position by heading, in the order of ``HEADINGS``."""
    at = {heading: Cell(key(heading, position)) for heading in HEADINGS}
    found = {
        "trailing x": _trailing_x(position),
        **_contacts(at),
        "cos tilt": (at["leading x"] - at["trailing x"]) / WHEELBASE,
        "sin tilt": (at["leading y"] - at["trailing y"]) / WHEELBASE,
        **_breaks(at),
        **_gaps(at),
    }
    return {heading: found[heading] for heading in HEADINGS}


def _trailing_x(position: int) -> Expression:
    """Where the trailing contact stands."""
    knot, step = divmod(position, STEPS)
    start = Cell(f"place_{knot + 1}")
    if step == 0:
        return start
    return start + (Cell(f"place_{knot + 2}") - start) * step / STEPS


def _contacts(at: Position) -> dict[str, Expression]:
    """The piece of the way under each contact, and the contacts, the leading one a wheelbase ahead in a straight line.

    ``along`` and ``across`` are how far the trailing contact lies from where the leading one's piece begins (for the
    ground: from the ramp's foot), along that piece and square to it; ``reach`` is how far along it the leading one is.
    """
    x, y, piece = at["trailing x"], at["trailing y"], at["leading piece"]
    (top_x, top_y), (end_x, end_y) = RAMP_TOP, TAIL_TOP
    from_top, above_top = x - top_x, y - top_y
    reached = [
        OR(x > break_x - HAIR_LENGTH, (x - break_x) ** 2 + (y - break_y) ** 2 < Cell("near_squared"))
        for break_x, break_y in CORNERS
    ]
    return {
        "trailing piece": IF(x > end_x - HAIR_LENGTH, 3, IF(x > top_x - HAIR_LENGTH, 2, IF(x > 0 - HAIR_LENGTH, 1, 0))),
        "trailing y": CHOOSE(1 + at["trailing piece"], 0, x * RAMP_SLOPE, top_y + from_top * TAIL_SLOPE, DECK_HEIGHT),
        "leading piece": IF(reached[2], 3, IF(reached[1], 2, IF(reached[0], 1, 0))),
        "along": CHOOSE(
            1 + piece,
            x,
            x * RAMP_COSINE + y * RAMP_SINE,
            from_top * TAIL_COSINE + above_top * TAIL_SINE,
            x - end_x,
        ),
        "across": CHOOSE(
            1 + piece,
            y,
            y * RAMP_COSINE - x * RAMP_SINE,
            above_top * TAIL_COSINE - from_top * TAIL_SINE,
            y - end_y,
        ),
        "reach": at["along"] + SQRT(MAX(0, WHEELBASE**2 - at["across"] ** 2)),
        "leading x": CHOOSE(
            1 + piece,
            at["reach"],
            at["reach"] * RAMP_COSINE,
            top_x + at["reach"] * TAIL_COSINE,
            end_x + at["reach"],
        ),
        "leading y": CHOOSE(1 + piece, 0, at["reach"] * RAMP_SINE, top_y + at["reach"] * TAIL_SINE, DECK_HEIGHT),
    }


def _breaks(at: Position) -> dict[str, Expression]:
    """Each break as the machine sees it: how far along the line through its contacts, and how far above it."""
    found = {}
    for name, (x, y) in zip(BREAKS, CORNERS, strict=True):
        right, up = x - at["trailing x"], y - at["trailing y"]
        found[f"{name} along"] = right * at["cos tilt"] + up * at["sin tilt"]
        found[f"{name} up"] = up * at["cos tilt"] - right * at["sin tilt"]
    return found


def _gaps(at: Position) -> dict[str, Expression]:
    """The gaps under belly and overhangs, the least of them, and how far a tracked machine is from tipping over."""
    alongs, ups = ([at[f"{name} {what}"] for name in BREAKS] for what in ("along", "up"))
    seen = list(zip(alongs, ups, strict=True))
    belly = [IF(AND(a >= 0, a <= WHEELBASE), up, 0) for a, up in seen]
    ahead = [IF(AND(a > WHEELBASE, a <= LEADING_REACH), up, 0) for a, up in seen]
    behind = [IF(AND(a < 0, a >= TRAILING_REACH), up, 0) for a, up in seen]
    leading_tip = _height_at(at, "leading tip piece", LEADING_REACH)
    trailing_tip = _height_at(at, "trailing tip piece", TRAILING_REACH)
    tips_along = IF(Cell("tips_at").equals(3), at["tail top along"], at["ramp top along"])
    return {
        "leading tip piece": _count([a <= LEADING_REACH + HAIR_LENGTH for a in alongs]),
        "trailing tip piece": _count([a < TRAILING_REACH - HAIR_LENGTH for a in alongs]),
        "belly gap": CLEARANCE - MAX(0, *belly),
        "leading gap": IF(LEADING_OVERHANG > 0, LEADING_CLEARANCE - MAX(0, leading_tip, *ahead), FAR),
        "trailing gap": IF(TRAILING_OVERHANG > 0, TRAILING_CLEARANCE - MAX(0, trailing_tip, *behind), FAR),
        "least gap": MIN(at["belly gap"], at["leading gap"], at["trailing gap"]),
        "rounded gap": ROUND(at["least gap"], ROUNDED_TO),
        "off balance": ROUND(ABS(tips_along - (WHEELBASE - Cell("leading_to_center"))), ROUNDED_TO),
    }


def _count(tests: list[Expression]) -> Expression:
    """How many are true; each is true wherever the one after it is."""
    first, second, third = tests
    return IF(third, 3, IF(second, 2, IF(first, 1, 0)))


def _height_at(at: Position, piece: str, reach: Expression) -> Expression:
    """Height of the way above the line through the contacts, ``reach`` along it from the trailing contact."""
    tilt = at["sin tilt"] / at["cos tilt"]

    def on(name: str, slope: Expression | None) -> Expression:
        turned = 0 - tilt if slope is None else (slope - tilt) / (1 + slope * tilt)
        return at[f"{name} up"] + (reach - at[f"{name} along"]) * turned

    return CHOOSE(
        1 + at[piece],
        on("foot", None),
        on("foot", RAMP_SLOPE),
        on("ramp top", TAIL_SLOPE),
        on("tail top", None),
    )
