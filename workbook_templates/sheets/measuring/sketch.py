"""What the drawing is made of: shapes in inches, and lengths with their letters, on a sheet of paper.

``paper`` writes the marks.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from tarelot.workbook_templates.basis import style
from tarelot.workbook_templates.basis.lettered import LETTERS
from tarelot.workbook_templates.sheets.measuring.paper import Paper, Point

INK, PAPER, LIGHT, BODY, DARK_BODY = style.INK, style.PAPER, style.FILLED, "DCE6EC", "B7C7D0"
TIRE, GROUND = "4A5963", "8FA0AB"
LENGTH = style.GLANCE_BAND.band
"""Color of lengths and their letters."""
RADIUS, LETTER_SIZE, WORD_SIZE = 11.0, 14, 14
HEAD = 9.0
"""Length of an arrow's head."""
BEYOND = 5.0
"""How far a thin line goes on beyond the length that it brings out."""
OUTSIDE = 46.0
"""Lengths shorter than that have arrows and letter outside."""


@dataclass(frozen=True)
class View:
    """One view of one thing: inches, x to the right and y up from the ground, onto the paper.

    Attributes:
        paper: Where it is drawn.
        sheet: The sheet that asks for its lengths.
        left: Where x = 0 lies on the paper.
        ground: Where y = 0 lies on the paper.
        scale: Paper units to the inch.
    """

    paper: Paper
    sheet: str
    left: float
    ground: float
    scale: float

    def on_paper(self, point: Point) -> Point:
        """A point on the paper."""
        return self.left + self.scale * point[0], self.ground - self.scale * point[1]

    def shape(self, *points: Point, fill: str = BODY, width: float = 1.6) -> None:
        """A closed, filled outline."""
        self.paper.polygon([self.on_paper(point) for point in points], fill, width)

    def box(self, low: Point, high: Point, fill: str = BODY) -> None:
        """A filled box between two corners."""
        (x1, y1), (x2, y2) = low, high
        self.shape((x1, y1), (x2, y1), (x2, y2), (x1, y2), fill=fill)

    def line(self, *points: Point, color: str = INK, width: float = 1.6, dash: str = "") -> None:
        """An open line."""
        self.paper.line([self.on_paper(point) for point in points], color, width, dash)

    def wheel(self, center: Point, radius: float) -> None:
        """A tire with its rim."""
        for share, fill in ((1.0, TIRE), (0.55, BODY), (0.14, TIRE)):
            self.paper.circle(self.on_paper(center), radius * share * self.scale, fill, INK, 1.2)

    def level(self, start: float, end: float) -> None:
        """The ground."""
        self.line((start, 0), (end, 0), color=GROUND, width=2.2)

    def name(self, at: Point, text: str, *, middle: bool = True) -> None:
        """A word beside a part; its middle, or its beginning, stands there."""
        self.paper.words(self.on_paper(at), text, WORD_SIZE, middle=middle)

    def front(self, at: Point) -> None:
        """An arrow to the left with the word front."""
        x, y = self.on_paper(at)
        self.paper.line([(x + 52, y), (x + HEAD, y)], INK, 1.8)
        self._head((x, y), (-1, 0), INK)
        self.paper.words((x + 58, y + 5), "front", WORD_SIZE, bold=True)

    def length(self, key: str, start: Point, end: Point, off: Point, at: float = 0.5) -> None:
        """A length with its letter: from one point to another, its arrow moved aside by so many paper units.

        Args:
            key: Key of its column.
            start: Where it is measured from.
            end: Where to.
            off: How far right and down on the paper the arrow stands beside it.
            at: Where the letter stands along the arrow, from 0 to 1; of a short one it stands outside, at the nearer
                end.

        Raises:
            KeyError: The sheet asks for no such length.
        """
        letter = LETTERS[self.sheet][key]
        self.paper.lengths.setdefault(self.sheet, []).append(key)
        ends = [self.on_paper(start), self.on_paper(end)]
        tips = [(x + off[0], y + off[1]) for x, y in ends]
        reach = math.hypot(*off)
        if reach:
            for (x, y), (tip_x, tip_y) in zip(ends, tips, strict=True):
                more = 1 + BEYOND / reach
                self.paper.line([(x, y), (x + (tip_x - x) * more, y + (tip_y - y) * more)], LENGTH, 0.8)
        (x1, y1), (x2, y2) = tips
        size = math.hypot(x2 - x1, y2 - y1)
        along = ((x2 - x1) / size, (y2 - y1) / size)
        is_short = size < OUTSIDE
        turn = -1 if is_short else 1
        for tip, sign in ((tips[0], -turn), (tips[1], turn)):
            self._head(tip, (along[0] * sign, along[1] * sign), LENGTH)
        tail = HEAD + 8 if is_short else 0
        place = (x1 + (x2 - x1) * at, y1 + (y2 - y1) * at)
        if is_short:
            place = self._beside(tips, along, at, tail)
        from_x, from_y, to_x, to_y = (
            x1 - along[0] * tail,
            y1 - along[1] * tail,
            x2 + along[0] * tail,
            y2 + along[1] * tail,
        )
        self.paper.line([(from_x, from_y), (to_x, to_y)], LENGTH, 1.4)
        self._letter(place, letter)

    @staticmethod
    def _beside(tips: Sequence[Point], along: Point, at: float, tail: float) -> Point:
        """Where the letter of a short length stands: outside, beyond the arrow at its end or its start."""
        far = tail + RADIUS
        (x1, y1), (x2, y2) = tips
        return (x2 + along[0] * far, y2 + along[1] * far) if at > 0.5 else (x1 - along[0] * far, y1 - along[1] * far)

    def _letter(self, at: Point, letter: str) -> None:
        self.paper.circle(at, RADIUS, LENGTH, PAPER, 2)
        self.paper.words((at[0], at[1] + 5), letter, LETTER_SIZE, bold=True, middle=True, color=PAPER)

    def _head(self, tip: Point, along: Point, color: str) -> None:
        """An arrow's head at its tip."""
        (x, y), (right, down) = tip, along
        back = (x - right * HEAD, y - down * HEAD)
        corners = [tip, *((back[0] + side * down * HEAD / 3, back[1] - side * right * HEAD / 3) for side in (1, -1))]
        self.paper.polygon(corners, color)
