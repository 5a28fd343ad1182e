"""The lengths that are asked for, each with the letter by which the drawing on Where to measure shows it.

Letters begin anew in each drawing and stand in the order of the sheet's columns; I and O are left out, since they look
like 1 and 0.
"""

from __future__ import annotations

WHERE_TO_MEASURE = "Where to measure"
"""The sheet with the drawing."""

LOT, MACHINES, TRUCKS = "Lot", "Machines", "Trucks"
LETTERS: dict[str, dict[str, str]] = {
    LOT: {
        "axle_spread": "A",
        "width": "B",
        "deck_width": "C",
        "deck_height": "D",
        "deck_length": "E",
        "neck_clearance": "F",
        "tail_length": "G",
        "tail_drop": "H",
        "ramp_length": "J",
        "ramps_outside": "K",
        "ramp_width": "L",
        "to_axles": "M",
        "to_deck": "N",
    },
    MACHINES: {
        "wheelbase": "A",
        "to_center": "B",
        "clearance": "C",
        "front_overhang": "D",
        "front_clearance": "E",
        "rear_overhang": "F",
        "rear_clearance": "G",
        "machine_width": "H",
        "machine_height": "J",
        "tread_outside": "K",
        "shoe_width": "L",
    },
    TRUCKS: {"rear_spread": "A", "truck_wheelbase": "B", "hitch_overhang": "C"},
}
"""Letters by the sheet on which a length is typed, and by the key of its column."""


def noted(sheet: str, key: str, words: str) -> str:
    """The note of a heading; behind it the letter of the drawing, where it shows the length.

    >>> noted(TRUCKS, "rear_spread", "0 for one axle.")
    '0 for one axle. A in the drawing on Where to measure.'
    >>> noted(LOT, "gvwr", "On the label.")
    'On the label.'
    """
    letter = LETTERS[sheet].get(key)
    return f"{words} {letter} in the drawing on {WHERE_TO_MEASURE}." if letter else words
