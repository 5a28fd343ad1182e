"""A sheet of paper with marks, written as a PDF (ISO 32000-1) of one page: shapes, lines and words, nothing else.

The origin is the upper left corner, y goes down, a unit is a point.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from string import ascii_letters, digits

Point = tuple[float, float]

ROUND = 0.5523
"""How far the two middle points of a curve stand off, of the radius, so that four curves make a circle."""
WIDTHS = {
    **dict.fromkeys("ijl", 278),
    **dict.fromkeys("ft", 333),
    "r": 389,
    " ": 278,
    "J": 556,
    **dict.fromkeys("FL", 611),
    **dict.fromkeys("E", 667),
    **dict.fromkeys("ABCDHKN", 722),
    "G": 778,
    "M": 833,
}
"""Thousandths of the type's size that letters of Helvetica Bold take, by its published metrics, from memory."""
OTHERS = 580
"""The same of the others, about: only the middle of a word is reckoned with it."""


class Paper:
    """Marks on a sheet, what is put on later lying above.

    Attributes:
        lengths: Keys of the lengths drawn, by the sheet that asks for them.
    """

    def __init__(self, wide: int, high: int) -> None:
        self.lengths: dict[str, list[str]] = {}
        self._size = (wide, high)
        self._marks: list[str] = []

    def polygon(self, points: Sequence[Point], fill: str, width: float = 0, edge: str = "1D2B36") -> None:
        """A filled outline, with an edge if it has a width."""
        self._marks += [_fill(fill), _stroke(edge, width), *self._path(points), "h", "B" if width else "f"]

    def line(self, points: Sequence[Point], color: str, width: float, dash: str = "") -> None:
        """An open line, dashed by lengths of strokes and gaps."""
        self._marks += [_stroke(color, width), f"[{dash}] 0 d", *self._path(points), "S [] 0 d"]

    def circle(self, center: Point, radius: float, fill: str, edge: str, width: float) -> None:
        """A filled circle with an edge."""
        x, y = center
        near = ROUND * radius
        turns = ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0), (1.0, 0.0))
        self._marks += [_fill(fill), _stroke(edge, width), f"{self._at((x + radius, y))} m"]
        for (a, b), (c, d) in zip(turns, turns[1:], strict=False):
            out = (x + a * radius + c * near, y + b * radius + d * near)
            back = (x + c * radius + a * near, y + d * radius + b * near)
            end = (x + c * radius, y + d * radius)
            self._marks.append(f"{self._at(out)} {self._at(back)} {self._at(end)} c")
        self._marks.append("h B")

    def words(
        self, at: Point, text: str, size: float, *, bold: bool = False, middle: bool = False, color: str = "1D2B36"
    ) -> None:
        """Words whose base line begins, or has its middle, at a point: letters, digits, spaces, periods and commas.

        Raises:
            ValueError: There is another character, which would mean something in a PDF or not be shown.
        """
        if set(text) - set(f"{ascii_letters}{digits} .,"):
            raise ValueError(f"{text!r} holds more than letters, digits, spaces, periods and commas")
        wide = sum(WIDTHS.get(letter, OTHERS) for letter in text) * size / 1000
        start = (at[0] - wide / 2, at[1]) if middle else at
        font = "B" if bold else "R"
        self._marks.append(f"BT {_fill(color)} /{font} {_number(size)} Tf {self._at(start)} Td ({text}) Tj ET")

    def pdf(self) -> bytes:
        """The page as a PDF, the same byte for byte each time."""
        wide, high = self._size
        marks = "\n".join(["1 j 1 J", *self._marks])
        fonts = " ".join(
            f"/{name} << /Type /Font /Subtype /Type1 /BaseFont /{face} >>"
            for name, face in (("R", "Helvetica"), ("B", "Helvetica-Bold"))
        )
        objects = (
            "<< /Type /Catalog /Pages 2 0 R >>",
            "<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
            f"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 {wide} {high}] /Contents 4 0 R "
            f"/Resources << /Font << {fonts} >> >> >>",
            f"<< /Length {len(marks)} >>\nstream\n{marks}\nendstream",
        )
        written, places = "%PDF-1.4\n", []
        for number, text in enumerate(objects, 1):
            places.append(len(written))
            written += f"{number} 0 obj\n{text}\nendobj\n"
        table = "".join(f"{place:010} 00000 n \n" for place in places)
        end = f"xref\n0 {len(objects) + 1}\n0000000000 65535 f \n{table}trailer\n"
        end += f"<< /Size {len(objects) + 1} /Root 1 0 R >>\nstartxref\n{len(written)}\n%%EOF\n"
        return (written + end).encode("ascii")

    def _path(self, points: Sequence[Point]) -> Iterator[str]:
        for number, point in enumerate(points):
            yield f"{self._at(point)} {'l' if number else 'm'}"

    def _at(self, point: Point) -> str:
        return f"{_number(point[0])} {_number(self._size[1] - point[1])}"


def _fill(color: str) -> str:
    return f"{_color(color)} rg"


def _stroke(color: str, width: float) -> str:
    return f"{_color(color)} RG {_number(width)} w"


def _color(color: str) -> str:
    """A color's three parts from 0 to 1.

    >>> _color("FF8000")
    '1 0.502 0'
    """
    return " ".join(_number(int(color[place : place + 2], 16) / 255, 3) for place in (0, 2, 4))


def _number(value: float, places: int = 2) -> str:
    """A number without a trailing point.

    >>> _number(12.0), _number(1 / 3)
    ('12', '0.33')
    """
    return f"{value:.{places}f}".rstrip("0").rstrip(".")
