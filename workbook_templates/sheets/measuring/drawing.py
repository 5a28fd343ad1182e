"""The whole drawing: its views on the paper."""

from __future__ import annotations

from functools import cache

from tarelot.workbook_templates.basis.lettered import LOT, MACHINES, TRUCKS
from tarelot.workbook_templates.sheets.measuring import machine, trailer, truck
from tarelot.workbook_templates.sheets.measuring.paper import Paper
from tarelot.workbook_templates.sheets.measuring.sketch import View

WIDE, HIGH = 1240, 890
"""The paper."""
TITLE_SIZE, WORD_SIZE = 19, 16
TITLES = (
    ((20, 32), "Trailer"),
    ((950, 32), "Trailer from behind"),
    ((20, 328), "Trailer with a gooseneck"),
    ((390, 328), "Machine"),
    ((950, 328), "Machine from ahead"),
    ((20, 650), "Truck"),
    ((650, 680), "How it stands while you measure"),
)
STANDS = (
    "The trailer empty, on level ground, its coupler as high as the truck holds it,",
    "tail and ramps down.",
    "The machine as it is hauled, its attachment carried low.",
    "The truck empty, on level ground.",
    "",
    "Letters begin anew for each of the three. What has no letter is not asked for.",
)


@cache
def drawing() -> Paper:
    """The drawing with every view."""
    paper = Paper(WIDE, HIGH)
    for at, title in TITLES:
        paper.words(at, title, TITLE_SIZE, bold=True)
    for number, line in enumerate(STANDS):
        paper.words((650, 714 + 24 * number), line, WORD_SIZE)
    trailer.side(View(paper, LOT, 60, 210, 2.0))
    trailer.behind(View(paper, LOT, 1075, 210, 2.0))
    trailer.neck(View(paper, LOT, 50, 508, 1.4))
    machine.side(View(paper, MACHINES, 430, 508, 1.6))
    machine.ahead(View(paper, MACHINES, 1075, 508, 1.6))
    truck.side(View(paper, TRUCKS, 50, 812, 1.35))
    return paper


def pdf() -> bytes:
    """The drawing as a PDF of one page, the same byte for byte each time."""
    return drawing().pdf()
