"""What is swept: the figures of trailer and machine, the way that the wheels take, and where the sweep stops for sure.

The end of the machine that goes first is its leading end: its front when it drives on forward, its rear when it is
backed on. From here on only the leading and the trailing end are spoken of, so that both directions are one sweep.
"""

from __future__ import annotations

from typing import Literal

from tarelot.calc.cells.expression import Cell, Constant, Expression, Given
from tarelot.calc.cells.spreadsheet import AND, ASIN, COUNT, IF, ISNUMBER, MAX, MIN, OR, SMALL, SQRT, N
from tarelot.calc.rules.hauling_figures import BACKWARD, is_word
from tarelot.workbook_templates.hauling.drive_on.block import Block

NEEDED = ("deck_height", "ramp_length", "wheelbase", "clearance")
"""Figures without which there is no sweep."""
STEEPEST = 0.9999
"""Greatest sine of a ramp or tail that is swept: beyond, 89 degrees, its run would be lost in rounding."""
HAIR = 1e-9
"""Share of the wheelbase by which two places count as the same, above what rounding makes of them in any program."""

WHEELBASE, CLEARANCE = Cell("swept_wheelbase"), Cell("swept_clearance")
DECK_HEIGHT, TAIL_DROP, TAIL_LENGTH, RAMP_LENGTH = (
    Cell(f"swept_{key}") for key in ("deck_height", "tail_drop", "tail_length", "ramp_length")
)
LEADING_OVERHANG, LEADING_CLEARANCE = Cell("leading_overhang"), Cell("leading_clearance")
TRAILING_OVERHANG, TRAILING_CLEARANCE = Cell("trailing_overhang"), Cell("trailing_clearance")
READY, IS_BACKWARD, HAIR_LENGTH = Cell("ready"), Cell("is_backward"), Cell("hair")
RAMP_SINE, RAMP_COSINE, RAMP_SLOPE = (Cell(f"ramp_{what}") for what in ("sine", "cosine", "slope"))
TAIL_SINE, TAIL_COSINE, TAIL_SLOPE = (Cell(f"tail_{what}") for what in ("sine", "cosine", "slope"))
RAMP_TOP, TAIL_TOP = (Cell("ramp_top_x"), Cell("ramp_top_y")), (Cell("tail_top_x"), DECK_HEIGHT)
MEETINGS = ("foot", "ramp_top", "tail_top")
"""The breaks of the way, from the ground up: a contact that meets one is a place of the sweep."""
KNOTS = tuple(f"{end}_on_{place}" for end in ("leading", "trailing") for place in MEETINGS)


def figures() -> dict[str, Expression]:
    """The figures swept by key, harmless ones where the sweep cannot be made."""

    def swept(stated: Given, instead: float = 0) -> Expression:
        return IF(READY.equals(1), stated, instead)

    return {
        "ready": _ready(),
        "is_backward": IF(is_word("direction", BACKWARD), 1, 0),
        "swept_deck_height": swept(Cell("deck_height"), 1),
        "swept_tail_drop": swept(N(Cell("tail_drop"))),
        "swept_tail_length": swept(N(Cell("tail_length"))),
        "swept_ramp_length": swept(Cell("ramp_length"), 2),
        "swept_wheelbase": swept(Cell("wheelbase"), 1),
        "swept_clearance": swept(Cell("clearance"), 1),
        "leading_overhang": swept(of_end("leading", "overhang")),
        "leading_clearance": swept(of_end("leading", "clearance")),
        "trailing_overhang": swept(of_end("trailing", "overhang")),
        "trailing_clearance": swept(of_end("trailing", "clearance")),
        "leading_to_center": _leading_to_center(),
        "hair": HAIR * WHEELBASE,
    }


def _ready() -> Expression:
    """Whether trailer and machine can be swept: what is needed is there and each figure suits the others."""
    height, drop, tail, ramp = Cell("deck_height"), N(Cell("tail_drop")), N(Cell("tail_length")), Cell("ramp_length")
    ends = [OR(N(Cell(f"{end}_overhang")).equals(0), N(Cell(f"{end}_clearance")) > 0) for end in ("front", "rear")]
    sound = AND(
        MIN(height, Cell("wheelbase"), Cell("clearance")) > 0,
        drop <= height,
        OR(drop.equals(0), drop <= STEEPEST * tail),
        height - drop <= STEEPEST * ramp,
        *ends,
    )
    return IF(COUNT(*map(Cell, NEEDED)).equals(len(NEEDED)), IF(sound, 1, 0), 0)


def of_end(end: Literal["leading", "trailing"], what: Literal["overhang", "clearance"]) -> Expression:
    """A figure of the end that goes first or last: this is where a machine that is backed on changes ends."""
    forward, backward = ("front", "rear") if end == "leading" else ("rear", "front")
    return IF(IS_BACKWARD.equals(1), N(Cell(f"{backward}_{what}")), N(Cell(f"{forward}_{what}")))


def _leading_to_center() -> Expression:
    """From the leading contact back to the center of gravity; half the wheelbase where it is not stated."""
    stated, length = Cell("to_center"), N(Cell("wheelbase"))
    return IF(ISNUMBER(stated), IF(IS_BACKWARD.equals(1), length - stated, stated), length / 2)


def way() -> dict[str, Expression]:
    """Breaks and slopes of the way by key; x is 0 at the ramp's foot and grows toward the deck."""
    return {
        "ramp_sine": (DECK_HEIGHT - TAIL_DROP) / RAMP_LENGTH,
        "ramp_cosine": SQRT(1 - RAMP_SINE**2),
        "ramp_slope": RAMP_SINE / RAMP_COSINE,
        "tail_sine": IF(TAIL_LENGTH > 0, TAIL_DROP / TAIL_LENGTH, 0),
        "tail_cosine": SQRT(1 - TAIL_SINE**2),
        "tail_slope": TAIL_SINE / TAIL_COSINE,
        "ramp_top_x": RAMP_LENGTH * RAMP_COSINE,
        "ramp_top_y": DECK_HEIGHT - TAIL_DROP,
        "tail_top_x": RAMP_TOP[0] + TAIL_LENGTH * TAIL_COSINE,
        "tips_at": IF(2 * ASIN(TAIL_SINE) > ASIN(RAMP_SINE) + HAIR, 3, 2),
    }


def knots() -> dict[str, Expression]:
    """Where the trailing contact stands when either contact meets a break, by key; then the six in order."""
    length, (top_x, top_y), (end_x, end_y) = WHEELBASE, RAMP_TOP, TAIL_TOP
    to_end = SQRT(end_x**2 + end_y**2)
    across = end_y * RAMP_COSINE - end_x * RAMP_SINE
    on_ramp = (end_x * RAMP_COSINE + end_y * RAMP_SINE - SQRT(MAX(0, length**2 - across**2))) * RAMP_COSINE
    on_ground = end_x - SQRT(MAX(0, length**2 - end_y**2))
    met: dict[str, Expression] = {
        "leading_on_foot": 0 - length,
        "leading_on_ramp_top": IF(
            length <= RAMP_LENGTH, top_x - length * RAMP_COSINE, top_x - SQRT(MAX(0, length**2 - top_y**2))
        ),
        "leading_on_tail_top": IF(
            length <= TAIL_LENGTH, end_x - length * TAIL_COSINE, IF(to_end >= length, on_ramp, on_ground)
        ),
        "trailing_on_foot": Constant(0),
        "trailing_on_ramp_top": top_x,
        "trailing_on_tail_top": end_x,
    }
    return met | {f"place_{number}": SMALL(Block(KNOTS), number) for number in range(1, len(KNOTS) + 1)}
