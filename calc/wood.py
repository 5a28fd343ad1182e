"""What a wooden deck weighs."""

from __future__ import annotations

from .glossary import BOARD_THICKNESS, DECK_LENGTH, DECK_WIDTH, MOISTURE, SPECIFIC_GRAVITY
from .law import is_kilograms
from .ratings import check_stated

WATER_LB_PER_CUBIC_FOOT, WATER_KG_PER_CUBIC_METER = 62.43, 1000.0
"""What the handbook multiplies the specific gravity by."""
SQUARE_INCHES_PER_SQUARE_FOOT, SQUARE_MILLIMETERS_PER_SQUARE_METER = 144.0, 1e6
AIR_DRY = 0.12
"""Moisture where none is stated: the handbook's tables give wood green and at 12 %."""


def deck_weight(
    deck_length: float,
    deck_width: float,
    board_thickness: float,
    specific_gravity: float,
    moisture: float | None = None,
    unit: str | None = None,
) -> float:
    """Weight of a wooden deck in pounds, or in kilograms where asked for: l w t times the density 62.43 G (1 + M).

    The density is in lb/ft3, G the oven-dry weight over the volume at the moisture M, so that G and M go together.
    G green and at 12 %: shortleaf pine 0.47, 0.51; slash pine 0.54, 0.59; Douglas-fir at 12 % 0.48. From memory:
    loblolly pine 0.47, 0.51; northern red oak 0.56, 0.63; white oak 0.60, 0.68. Apitong weighs 45 to 50 lb/ft3
    air-dry, which is 0.64 to 0.72 at 12 %. Lots are rarely more than 10 % off at 12 %, 20 % green. A wet deck is
    heavier; gaps between boards, bolts and steel under them are not looked at.

    Args:
        deck_length: Length l of the boards' area in feet (meters for kg), above 0.
        deck_width: Width w of that area in inches (millimeters for kg), above 0.
        board_thickness: Actual thickness t in inches (millimeters for kg), above 0: a nominal 2 in board has 1.5.
        specific_gravity: G, above 0 to 1.5.
        moisture: M, water as a share of the oven-dry weight, above 0 to 3; absent counts as 0.12.
        unit: ``lb`` (where absent) or ``kg``.

    Raises:
        OutOfRange: A value outside those ranges, NaN included; 12 for 12 % is one.
        NotInTable: Another unit.

    Source: USDA Wood Handbook FPL-GTR-190, chapter 4; FPL Technical Note 218 for the spread.

    >>> round(deck_weight(20, 82, 1.5, 0.68)), round(deck_weight(6, 2_100, 38, 0.68, unit="kg"))
    (812, 365)
    """
    DECK_LENGTH.check(deck_length)
    DECK_WIDTH.check(deck_width)
    BOARD_THICKNESS.check(board_thickness)
    SPECIFIC_GRAVITY.check(specific_gravity)
    check_stated((MOISTURE, moisture))
    wet = specific_gravity * (1 + (AIR_DRY if moisture is None else moisture))
    boards = float(deck_length) * deck_width * board_thickness
    if is_kilograms(unit):
        return boards * wet * (WATER_KG_PER_CUBIC_METER / SQUARE_MILLIMETERS_PER_SQUARE_METER)
    return boards * wet * (WATER_LB_PER_CUBIC_FOOT / SQUARE_INCHES_PER_SQUARE_FOOT)
