"""The truck from the side. Sizes are an example, in inches."""

from __future__ import annotations

from tarelot.workbook_templates.sheets.measuring.sketch import DARK_BODY, LIGHT, View

FRONT_AXLE, REAR_AXLES, WHEEL = 44.0, (206.0, 258.0), 20.0
HITCH, HITCH_UP = 312.0, 30.0


def side(view: View) -> None:
    """A dump truck with two rear axles: front to the left."""
    middle = sum(REAR_AXLES) / 2
    view.level(-4, HITCH + 30)
    view.box((20, 26), (298, 37), DARK_BODY)
    view.shape((8, 30), (8, 58), (14, 66), (56, 70), (70, 104), (112, 104), (112, 34), (66, 34), (66, 30))
    view.shape((66, 74), (77, 98), (104, 98), (104, 72), fill=LIGHT)
    view.shape((122, 42), (296, 42), (302, 88), (122, 88))
    view.shape((112, 88), (124, 98), (302, 98), (302, 88), (122, 88), fill=DARK_BODY)
    view.box((298, HITCH_UP - 5), (HITCH - 4, HITCH_UP + 5), DARK_BODY)
    view.shape(
        (HITCH - 6, HITCH_UP - 2), (HITCH + 5, HITCH_UP - 2), (HITCH + 5, HITCH_UP + 2), (HITCH - 6, HITCH_UP + 2)
    )
    for axle in (FRONT_AXLE, *REAR_AXLES):
        view.wheel((axle, WHEEL), WHEEL)
    view.front((-16, 86))
    view.name((HITCH + 10, HITCH_UP - 4), "hitch", middle=False)
    view.length("rear_spread", (REAR_AXLES[0], 0), (REAR_AXLES[1], 0), (0, 26))
    view.length("truck_wheelbase", (FRONT_AXLE, 0), (middle, 0), (0, 58))
    view.length("hitch_overhang", (middle, 0), (HITCH, 0), (0, 58))
