"""The machine: from the side and from ahead. Sizes are an example, in inches."""

from __future__ import annotations

import math

from tarelot.workbook_templates.sheets.measuring.sketch import DARK_BODY, INK, LIGHT, PAPER, TIRE, WORD_SIZE, View

FRONT, REAR = 70.0, 162.0
"""The contacts."""
LEADING, TRAILING = 4.0, 206.0
"""The ends."""
CLEARANCE, FRONT_UP, REAR_UP = 15.0, 7.0, 19.0
CENTER = 122.0
WHEEL, HEIGHT = 23.0, 104.0


def side(view: View) -> None:
    """A wheel loader from the side: front to the left."""
    view.level(LEADING - 12, TRAILING + 26)
    view.shape((92, 48), (136, 48), (136, HEIGHT - 4), (104, HEIGHT - 4), (92, 64))
    view.box((88, HEIGHT - 4), (140, HEIGHT), DARK_BODY)
    view.shape((102, 62), (131, 62), (131, 95), (109, 95), (102, 72), fill=LIGHT)
    view.shape((136, 36), (136, 66), (196, 60), (TRAILING, 50), (TRAILING, REAR_UP), (182, REAR_UP), (176, 30))
    view.shape((90, CLEARANCE), (142, CLEARANCE), (152, 34), (136, 48), (58, 48), (58, 38), (80, 30))
    view.shape((78, 50), (70, 44), (30, 16), (26, 24), (62, 54), fill=DARK_BODY)
    view.shape((LEADING, FRONT_UP), (36, FRONT_UP), (38, 14), (28, 34), (20, 34), (12, 14), fill=DARK_BODY)
    for contact in (FRONT, REAR):
        view.wheel((contact, WHEEL), WHEEL)
    view.front((LEADING, 84))
    _center_mark(view)
    view.length("wheelbase", (FRONT, 0), (REAR, 0), (0, 58), at=0.7)
    view.length("to_center", (FRONT, 0), (CENTER, 0), (0, 26))
    view.length("front_overhang", (LEADING, 0), (FRONT, 0), (0, 58))
    view.length("rear_overhang", (REAR, 0), (TRAILING, 0), (0, 58))
    view.length("clearance", (105, 0), (105, CLEARANCE), (0, 0), at=1)
    view.length("front_clearance", (LEADING, 0), (LEADING, FRONT_UP), (-12, 0), at=1)
    view.length("rear_clearance", (TRAILING, 0), (TRAILING, REAR_UP), (14, 0), at=1)
    view.length("machine_height", (TRAILING, 0), (TRAILING, HEIGHT), (52, 0))


def _center_mark(view: View) -> None:
    """The center of gravity: a quartered circle."""
    x, y = view.on_paper((CENTER, 42))
    view.line((CENTER, 42), (CENTER, 0), width=1, dash="4 3")
    view.paper.circle((x, y), 7, PAPER, INK, 1.6)
    for quarter in (0, 2):
        turns = [math.pi / 2 * (quarter + step / 6) for step in range(7)]
        view.paper.polygon([(x, y), *((x + 7 * math.cos(turn), y + 7 * math.sin(turn)) for turn in turns)], INK)
    view.paper.words((x + 6, view.ground + 31), "center", WORD_SIZE)


def ahead(view: View) -> None:
    """From ahead: what stands on the ground, and how wide and high it is."""
    tread, tire, over_all = 78.0, 18.0, 84.0
    view.level(-over_all / 2 - 8, over_all / 2 + 8)
    for sign in (-1, 1):
        inner, outer = sorted((sign * tread / 2, sign * (tread / 2 - tire)))
        view.box((inner, 0), (outer, 2 * WHEEL), TIRE)
    view.box((-tread / 2 + tire, CLEARANCE + 4), (tread / 2 - tire, 46), DARK_BODY)
    view.shape((-29, 48), (29, 48), (25, HEIGHT - 4), (-25, HEIGHT - 4))
    view.shape((-23, 60), (23, 60), (20, 95), (-20, 95), fill=LIGHT)
    view.box((-28, HEIGHT - 4), (28, HEIGHT), DARK_BODY)
    view.box((-over_all / 2, FRONT_UP), (over_all / 2, 34), DARK_BODY)
    view.length("tread_outside", (-tread / 2, 0), (tread / 2, 0), (0, 58))
    view.length("shoe_width", (tread / 2 - tire, 0), (tread / 2, 0), (0, 26), at=0)
    view.length("machine_width", (-over_all / 2, FRONT_UP), (over_all / 2, FRONT_UP), (0, 90 + FRONT_UP * view.scale))
