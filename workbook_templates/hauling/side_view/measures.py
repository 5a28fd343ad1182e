"""What the side view is drawn by: lengths in the short unit, the scale, where trailer, machine and labels stand.

x is how far behind the coupler a point lies and y how high above the ground, until ``placed`` brings both onto the
canvas: the chart's axes, 4 to 1 as its plot area is, so that the drawing is to scale both ways alike. Labels have rows
of their own above and below the drawing.
"""

from __future__ import annotations

from tarelot.calc.cells.expression import Cell, Expression, Given
from tarelot.calc.cells.spreadsheet import (
    ABS,
    AND,
    ASIN,
    COUNT,
    DEGREES,
    FIXED,
    IF,
    IFERROR,
    ISNUMBER,
    MAX,
    MIN,
    SQRT,
    N,
)
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling.drive_on.profile import IS_BACKWARD, READY, of_end
from tarelot.workbook_templates.hauling.drive_on.tightest import FRONT_OVER, LEADING, REAR_OVER, STRIKES, WHEELS
from tarelot.workbook_templates.hauling.side_view import items

Point = tuple[Expression, Expression]

WIDE, HIGH = 112.0, 28.0
"""The axes' ends."""
GROUND, TOP, SIDE = 6.0, 25.2, 2.0
"""Where the ground lies, how high the drawing may reach, and the margin left and right of it."""
TOP_ROW, BAND_ROW, BOTTOM_ROW = 26.8, 4.4, 1.6
"""The rows of the labels: above the drawing, just below the ground, and at the foot."""
LOWEST = 2.8
"""How deep the machine is seen to sink into the ground; the rest is cut off, above the labels at the foot."""
LETTER = 0.95
"""Width of a label's letter on the smaller of the two charts."""
ARROW, NEXT_TO = 6.0, 0.8
"""Length of the arrows in the upper row; room between a label and what it stands beside."""
WAYS = ("drives on:", "backs on:")
"""What the machine does, by its direction."""
TOUCHES, TIGHTEST, STRIKES_THERE, TIPS = "touches", "tightest", "strikes", "tips over"
"""What it does at the place that is shown."""
WAY_WIDE = LETTER * max(map(len, WAYS))
TIGHT_WIDE = LETTER * max(map(len, (TOUCHES, TIGHTEST, STRIKES_THERE, TIPS)))
TIGHT_HALF = (ARROW + WAY_WIDE + TIGHT_WIDE) / 2 + NEXT_TO
"""Half of what the arrow of the way on and its words take, at most: two labels, since some programs part long ones."""

SCALE, LEFT = Cell("scale"), Cell("left_x")
DRAW, DRAW_MACHINE, DRAW_DRIVE_ON = Cell("draw"), Cell("draw_machine"), Cell("draw_drive_on")
DECK_X, DECK_UP, DECK_END_X = Cell("deck_front_x"), Cell("deck_up"), Cell("deck_end_x")
TAIL_X, TAIL_UP, FOOT_X = Cell("tail_end_x"), Cell("tail_end_up"), Cell("foot_x")
LENGTH, ROOF, BODY, GEAR = Cell("drawn_length"), Cell("drawn_height"), Cell("body_height"), Cell("gear_radius")
NECK_TOP, NECK_BOTTOM = Cell("neck_top"), Cell("neck_bottom")
CENTER_X, REST_X = Cell("center_x"), Cell("rest_trailing_x")
SPOT_X = Cell("spot_x")
TILT_X, TILT_Y, COS, SIN = map(Cell, ("drawn_x", "drawn_y", "drawn_cosine", "drawn_sine"))


def across(x: Given) -> Expression:
    """A place behind the coupler, on the canvas."""
    return SIDE + SCALE * (x - LEFT)


def placed(x: Given, y: Given) -> Point:
    """A point behind the coupler and above the ground, on the canvas."""
    return across(x), GROUND + SCALE * y


def resting(along: Expression, up: Given) -> tuple[Expression, Given]:
    """A point of the machine on the deck; ``along`` and ``up`` from its trailing contact."""
    return REST_X - along, DECK_UP + up


def tilted(along: Given, up: Given) -> tuple[Expression, Expression]:
    """A point of the machine in its tightest position."""
    return FOOT_X - (TILT_X + along * COS - up * SIN), TILT_Y + along * SIN + up * COS


def measures(units: Units) -> dict[str, Expression]:
    """Everything by key, after what the sweep found."""
    parts = (_trailer(units), _machine(units), items.measures(), _canvas(units), _labels(units), _captions(units))
    return {key: measure for part in parts for key, measure in part.items()}


def _trailer(units: Units) -> dict[str, Expression]:
    """The trailer with its tail and ramp down."""
    factor, inch = units.short_per_long, units.short_per_inch
    drop = N(Cell("tail_drop"))
    return {
        "draw": IF(COUNT(Cell("deck_height"), Cell("deck_length"), Cell("to_deck")).equals(3), 1, 0),
        "deck_front_x": N(Cell("to_deck")) * factor,
        "deck_end_x": DECK_X + N(Cell("deck_length")) * factor,
        "deck_up": N(Cell("deck_height")),
        "tail_end_up": MAX(0, DECK_UP - drop),
        "tail_end_x": DECK_END_X + SQRT(MAX(0, N(Cell("tail_length")) ** 2 - drop**2)),
        "foot_x": TAIL_X + SQRT(MAX(0, N(Cell("ramp_length")) ** 2 - TAIL_UP**2)),
        "trailer_wheel": MIN(0.42 * DECK_UP, 17 * inch),
        "draw_tail": IF(AND(DRAW.equals(1), N(Cell("tail_length")) > 0), 1, 0),
        "draw_ramp": IF(AND(DRAW.equals(1), N(Cell("ramp_length")) > TAIL_UP), 1, 0),
        "neck": IF(Cell("hitch").equals("gooseneck"), 1, 0),
        "neck_bottom": MAX(54 * inch, DECK_UP + 14 * inch),
        "neck_top": NECK_BOTTOM + 11 * inch,
    }


def _machine(units: Units) -> dict[str, Expression]:
    """The machine's sketched height and gear, and where it rests on the deck."""
    stated, factor = N(Cell("machine_height")), units.short_per_long
    middle = N(Cell("deck_length")) / 2
    return {
        "draw_machine": IF(AND(DRAW.equals(1), ISNUMBER(Cell("wheelbase"))), 1, 0),
        "draw_drive_on": IF(AND(DRAW_MACHINE.equals(1), READY.equals(1)), 1, 0),
        "drawn_length": N(Cell("wheelbase")),
        "drawn_height": IF(stated > 0, stated, LENGTH),
        "body_height": MAX(0.55 * ROOF, 1.3 * N(Cell("clearance")), N(Cell("front_clearance"))),
        "wheel_radius": MIN(0.3 * LENGTH, MAX(1.3 * N(Cell("clearance")), 0.2 * ROOF)),
        "gear_radius": IF(WHEELS.equals(1), Cell("wheel_radius"), MIN(0.15 * LENGTH, 0.15 * ROOF)),
        "center_x": DECK_X + factor * IF(ISNUMBER(Cell("center")), Cell("center"), middle),
        "rest_trailing_x": CENTER_X + (LENGTH - Cell("leading_to_center")),
        "faces": IF(IS_BACKWARD.equals(1), -1, 1),
        "faces_from": IF(IS_BACKWARD.equals(1), LENGTH, 0),
        "leading_end": LENGTH + MAX(of_end("leading", "overhang"), GEAR),
        "trailing_end": 0 - MAX(of_end("trailing", "overhang"), GEAR),
    }


def _canvas(units: Units) -> dict[str, Expression]:
    """How far the drawing reaches, and the scale at which it fits."""
    lead, trail = Cell("leading_end"), Cell("trailing_end")
    corners = [tilted(lead, BODY), tilted(trail, BODY), tilted(0.3 * LENGTH, ROOF), tilted(0.7 * LENGTH, ROOF)]
    is_drawn, is_driving = DRAW_MACHINE.equals(1), DRAW_DRIVE_ON.equals(1)
    are_axles, axles = ISNUMBER(Cell("to_axles")), N(Cell("to_axles")) * units.short_per_long
    around = 3.3 * Cell("trailer_wheel")
    neck = IF(Cell("neck").equals(1), NECK_TOP, 0)
    return {
        "spot_x": tilted(Cell("spot_along"), Cell("spot_up"))[0],
        "left_x": MIN(
            0,
            IF(are_axles, axles - around, 0),
            IF(is_drawn, REST_X - lead, 0),
            IF(is_driving, MIN(corners[0][0], tilted(lead, 0)[0]), 0),
            Cell("items_left_x"),
        ),
        "right_x": MAX(
            FOOT_X + 12 * units.short_per_inch,
            IF(are_axles, axles + around, 0),
            IF(is_drawn, REST_X - trail, 0),
            IF(is_driving, MAX(corners[1][0], tilted(trail, 0)[0], SPOT_X), 0),
            Cell("items_right_x"),
        ),
        "top_y": MAX(
            DECK_UP,
            neck,
            IF(is_drawn, DECK_UP + MAX(ROOF, BODY), 0),
            IF(is_driving, MAX(*(corner[1] for corner in corners)), 0),
            Cell("items_top"),
        ),
        "scale": IF(
            DRAW.equals(1),
            MIN((WIDE - 2 * SIDE) / (Cell("right_x") - LEFT), (TOP - GROUND) / Cell("top_y")),
            0,
        ),
    }


def _labels(units: Units) -> dict[str, Expression]:
    """The words of the drawing, and where each stands on the canvas; a blank one is not drawn."""
    front_end = IF(IS_BACKWARD.equals(1), Cell("trailing_end"), Cell("leading_end"))
    tip, faces, spot = Cell("front_tip"), Cell("faces"), Cell("spot_canvas_x")
    beside = max(ARROW, LETTER * len("front") + NEXT_TO) + NEXT_TO + TIGHT_HALF
    near = Cell("tight_near")
    low, high = (across(DECK_X + units.short_per_long * IFERROR(N(Cell(f"center_{end}")), 0)) for end in ("from", "to"))
    allowed = NEXT_TO + LETTER * len("allowed") / 2
    center, bar = across(CENTER_X), SCALE * bar_length(units)
    bar_label = NEXT_TO + LETTER * len(bar_words(units)) / 2
    way = IF(IS_BACKWARD.equals(1), WAYS[1], WAYS[0])
    on_tracks = IF(STRIKES.equals(0), TIPS, STRIKES_THERE)
    what = IF(WHEELS.equals(1), IF(Cell("least_gap") < 0, TOUCHES, TIGHTEST), on_tracks)
    return {
        "draw_band": IF(
            AND(DRAW_MACHINE.equals(1), COUNT(Cell("center_from"), Cell("center_to")).equals(2)),
            IF(Cell("center_from") <= Cell("center_to"), 1, 0),
            0,
        ),
        "front_tip": MAX(7, MIN(WIDE - 7, across(REST_X - front_end))),
        "front_label_x": tip - faces * (NEXT_TO + LETTER * len("front") / 2),
        "spot_canvas_x": across(SPOT_X),
        "tight_near": MAX(TIGHT_HALF, MIN(WIDE - TIGHT_HALF, spot)),
        "tight_x": IF(
            ABS(near - tip) >= beside, near, IF(tip + beside <= WIDE - TIGHT_HALF, tip + beside, tip - beside)
        ),
        "way_label_x": Cell("tight_x") - TIGHT_HALF + ARROW + NEXT_TO + WAY_WIDE / 2,
        "tight_label_x": Cell("tight_x") + TIGHT_HALF - TIGHT_WIDE / 2,
        "band_label_x": allowed + IF(center > high, IF(low > 2 * allowed, low - 2 * allowed, center), high),
        "bar_x": IF(center > WIDE - SIDE - bar - 10, SIDE, WIDE - SIDE - bar - 2 * bar_label),
        "bar_label_x": Cell("bar_x") + bar + bar_label,
        "label_front": IF(DRAW_MACHINE.equals(1), "front", ""),
        "label_way": IF(DRAW_DRIVE_ON.equals(1), way, ""),
        "label_tight": IFERROR(IF(DRAW_DRIVE_ON.equals(1), what, ""), ""),
        "label_band": IF(Cell("draw_band").equals(1), "allowed", ""),
        "label_center": IF(DRAW_MACHINE.equals(1), "center", ""),
        "label_scale": IF(DRAW.equals(1), bar_words(units), ""),
    }


def _captions(units: Units) -> dict[str, Expression]:
    """What stands below the drawing about the place that it shows."""
    ramp, tail = ASIN(Cell("ramp_sine")), ASIN(Cell("tail_sine"))
    gap, where = Cell("least_gap"), Cell("where")
    how = IF(IS_BACKWARD.equals(1), ", backed on.", ", driven on forward.")
    on_wheels = IF(gap < 0, "Orange, touches by ", "Orange, tightest: ") & FIXED(ABS(gap), 1) & f" {units.short}, "
    tips = "Orange: " & where & ", " & FIXED(Cell("tips_degrees"), 1) & "°"
    over = IF(STRIKES.equals(LEADING), FRONT_OVER, REAR_OVER)
    on_tracks = IF(STRIKES.equals(0), tips, "Orange, strikes by " & FIXED(N(over), 1) & f" {units.short}, " & where)
    why = "a figure is missing, or the ramp is no longer than it rises (a tilting deck)."
    return {
        "tips_degrees": DEGREES(IF(Cell("tips_at").equals(3), tail, ramp - tail)),
        "caption_tight": IFERROR(
            IF(
                READY.equals(1),
                IF(WHEELS.equals(1), on_wheels & where, on_tracks) & how,
                IF(DRAW_MACHINE.equals(1), f"The drive-on cannot be drawn: {why}", ""),
            ),
            "The drive-on cannot be drawn: a figure is out of range.",
        ),
    }


def bar_length(units: Units) -> float:
    """Length of the bar that shows the scale, in the short unit."""
    return 120.0 if units.name == "us" else 3000.0


def bar_words(units: Units) -> str:
    """What stands beside it."""
    return "10 ft" if units.name == "us" else "3 m"
