"""The trailer: from the side, from behind, and the front of a gooseneck. Sizes are an example, in inches."""

from __future__ import annotations

import math

from tarelot.workbook_templates.sheets.measuring.sketch import DARK_BODY, GROUND, LIGHT, TIRE, View

DECK, FRAME = 34.0, 25.0
"""Height of the deck, and of the frame's lower edge."""
DECK_FRONT, DECK_END = 66.0, 276.0
TAIL_DROP, TAIL_RUN, RAMP_RUN = 15.0, 62.0, 62.0
TAIL_END, TAIL_UP = DECK_END + TAIL_RUN, DECK - TAIL_DROP
FOOT = TAIL_END + RAMP_RUN
AXLES, WHEEL = (178.0, 222.0), 15.0
ASIDE = 30.0
"""How far above tail and ramp their arrows stand."""
BESIDE = 10.0
"""How much farther right than the ramp's foot the tail's drop stands."""


def side(view: View) -> None:
    """From the side: front to the left."""
    middle = sum(AXLES) / 2
    view.level(-14, FOOT + 30)
    view.shape((-4, 17), (48, 17), (DECK_FRONT, FRAME), (DECK_FRONT, DECK), (48, 23), (-4, 23), fill=DARK_BODY)
    view.box((14, 0), (22, 2), DARK_BODY)
    view.box((16.5, 2), (19.5, 22))
    view.shape((-9, 15), (0, 15), (0, 25), (-9, 25), fill=DARK_BODY)
    view.box((DECK_FRONT, FRAME), (DECK_END, DECK))
    view.shape((DECK_END, DECK), (TAIL_END, TAIL_UP), (TAIL_END, TAIL_UP - 5), (DECK_END, FRAME))
    view.shape((TAIL_END, TAIL_UP), (FOOT, 0), (FOOT - 7, 0), (TAIL_END, TAIL_UP - 6), fill=DARK_BODY)
    for axle in AXLES:
        view.wheel((axle, WHEEL), WHEEL)
    view.front((-9, 66))
    view.name((0, 30), "coupler")
    view.name(((DECK_FRONT + DECK_END) / 2 - 30, DECK - 7.2), "deck")
    view.line((DECK_END, DECK), (FOOT + BESIDE, DECK), color=GROUND, dash="5 4", width=1.2)
    view.line((TAIL_END, TAIL_UP), (FOOT + BESIDE, TAIL_UP), color=GROUND, dash="5 4", width=1.2)
    view.length("deck_length", (DECK_FRONT, DECK), (DECK_END, DECK), (0, -34))
    view.length("deck_height", (DECK_FRONT + 34, 0), (DECK_FRONT + 34, DECK), (0, 0), at=0.36)
    for key, start, end in (
        ("tail_length", (DECK_END, DECK), (TAIL_END, TAIL_UP)),
        ("ramp_length", (TAIL_END, TAIL_UP), (FOOT, 0.0)),
    ):
        run, rise = end[0] - start[0], start[1] - end[1]
        size = math.hypot(run, rise)
        view.length(key, start, end, (ASIDE * rise / size, -ASIDE * run / size))
    view.length("tail_drop", (FOOT + BESIDE, DECK), (FOOT + BESIDE, TAIL_UP), (0, 0), at=0)
    view.length("axle_spread", (AXLES[0], 0), (AXLES[1], 0), (0, 26))
    view.length("to_deck", (0, 0), (DECK_FRONT, 0), (0, 26))
    view.length("to_axles", (0, 0), (middle, 0), (0, 58))


def behind(view: View) -> None:
    """From behind: deck between fenders, wheels outside of it, two ramps down."""
    over_all, deck, outside, ramp = 102.0, 82.0, 78.0, 18.0
    half = over_all / 2
    view.level(-half - 8, half + 8)
    for sign in (-1, 1):
        view.box((sign * (half - 8), 0), (sign * (half - 2), 30), TIRE)
        view.shape(
            (sign * half, 26), (sign * half, 34), (sign * (half - 10), 34), (sign * (half - 10), 31), (sign * half, 26)
        )
    view.box((-deck / 2, FRAME), (deck / 2, DECK))
    view.name((0, FRAME + 2.2), "deck")
    for sign in (-1, 1):
        inner, outer = sorted((sign * outside / 2, sign * (outside / 2 - ramp)))
        view.box((inner, 0), (outer, FRAME), DARK_BODY)
        for rung in range(1, 5):
            view.line((inner, rung * 5), (outer, rung * 5), width=1)
    view.name((0, 10), "ramps")
    view.length("deck_width", (-deck / 2, DECK), (deck / 2, DECK), (0, -28))
    view.length("width", (-half, DECK), (half, DECK), (0, -60))
    view.length("ramps_outside", (-outside / 2, 0), (outside / 2, 0), (0, 58))
    view.length("ramp_width", (outside / 2 - ramp, 0), (outside / 2, 0), (0, 26), at=0)


def neck(view: View) -> None:
    """The front of a gooseneck: a machine may reach past the deck's front edge, as far as the neck lets it."""
    front, neck, thick = 84.0, 60.0, 10.0
    view.level(-14, 210)
    view.shape(
        *((-5, 46), (5, 46), (5, 70), (neck - thick, 70), (neck - thick, FRAME), (front, FRAME), (front, DECK)),
        *((neck, DECK), (neck, 80), (-5, 80)),
        fill=DARK_BODY,
    )
    view.box((front, FRAME), (200, DECK))
    view.shape((neck + 3, 44), (97, 44), (108, 56), (108, 68), (neck + 12, 66), fill=LIGHT)
    view.shape((108, 50), (190, 42), (190, 76), (108, 68), fill=LIGHT)
    view.wheel((136, DECK + 17), 17)
    view.line((front, DECK), (front, 98), color=GROUND, width=1.2, dash="5 4")
    view.name((22, 85), "coupler")
    view.name((168, FRAME + 1.6), "deck")
    view.length("neck_clearance", (neck, 80), (front, 80), (0, -16), at=1)
