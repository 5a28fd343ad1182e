"""The drawing of Where to measure as a PNG: drawn by poppler out of our own PDF, with few colors, and stamped.

python -m tarelot.addin.pictures           write it; part of ``make pictures``
python -m tarelot.addin.pictures FILE      write What-if of the demo yard with more aboard, for its picture

Another release of poppler or of its fonts may draw a dot otherwise, so it is not made by ``make generate``. Its stamp
is the SHA-256 of the PDF, by which a test knows when the picture is older than the drawing.
"""

from __future__ import annotations

import hashlib
import struct
import subprocess
import sys
import zlib
from collections import Counter
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory

from tarelot.calc.rules.aboard.items import of
from tarelot.workbook_templates.basis.units import US
from tarelot.workbook_templates.hauling.results import demo_hauling
from tarelot.workbook_templates.hauling.what_if import rows as what_if
from tarelot.workbook_templates.sheets import demo_yard
from tarelot.workbook_templates.sheets.measuring.drawing import pdf
from tarelot.workbook_templates.sheets.measuring.sheet import PICTURE
from tarelot.workbook_templates.workbook import write

DOTS_AN_INCH = 108
KEYWORD = b"Drawing"
"""Of the stamp, a text of the PNG (ISO/IEC 15948, 11.3.4.3)."""
MOST = 256
"""Colors that a PNG's palette holds."""
ABOARD: tuple[dict[str, float | str], ...] = (
    dict(name="Plate compactor", weight=250.0, center=1.5, length=34.0, width=20.0, height=42.0),
    dict(name="Pallet forks", on="machine", weight=450.0, center=-2.5, length=12.0, width=48.0, height=40.0),
)
"""What is also aboard in the picture of that."""
HEAD = b"\x89PNG\r\n\x1a\n"


def stamp() -> bytes:
    """What the picture of today's drawing is stamped with."""
    return hashlib.sha256(pdf()).hexdigest().encode()


def png(wide: int, high: int, dots: bytes) -> bytes:
    """A PNG with a palette, out of red, green and blue bytes; what is not among its colors gets the nearest."""
    pixels = [dots[place : place + 3] for place in range(0, len(dots), 3)]
    counted = Counter(pixels)
    kept = sorted(sorted(counted, key=lambda color: (-counted[color], color))[:MOST])
    numbers = {color: kept.index(min(kept, key=lambda near: _apart(color, near))) for color in counted}
    lines = bytes(numbers[pixel] for pixel in pixels)
    raw = b"".join(b"\0" + lines[start : start + wide] for start in range(0, wide * high, wide))
    chunks = (
        (b"IHDR", struct.pack(">IIBBBBB", wide, high, 8, 3, 0, 0, 0)),
        (b"PLTE", b"".join(kept)),
        (b"tEXt", KEYWORD + b"\0" + stamp()),
        (b"IDAT", zlib.compress(raw, 9)),
        (b"IEND", b""),
    )
    return HEAD + b"".join(_chunk(kind, content) for kind, content in chunks)


def _apart(one: bytes, other: bytes) -> int:
    """How far apart two colors are."""
    return sum((a - b) ** 2 for a, b in zip(one, other, strict=True))


def _chunk(kind: bytes, content: bytes) -> bytes:
    return struct.pack(">I", len(content)) + kind + content + struct.pack(">I", zlib.crc32(kind + content))


def drawn() -> tuple[int, int, bytes]:
    """Width, height and the red, green and blue bytes of the drawing as poppler draws it.

    Raises:
        subprocess.CalledProcessError: Poppler cannot draw it.
    """
    with TemporaryDirectory() as folder:
        page, image = Path(folder, "drawing.pdf"), Path(folder, "drawing")
        page.write_bytes(pdf())
        options = ("-singlefile", "-r", str(DOTS_AN_INCH))
        subprocess.run(["pdftoppm", *options, page, image], check=True)  # noqa: S603, S607  # on a file of our own
        kind, size, _, dots = image.with_suffix(".ppm").read_bytes().split(b"\n", 3)
    assert kind == b"P6", kind
    wide, high = map(int, size.split())
    return wide, high, dots


def write_aboard(path: Path) -> None:
    """Write the demo yard's What-if with a plate compactor on the deck and pallet forks on the machine."""
    choices = ("1109", "Wheel loader 9", "Tandem dump 58")
    typed = {of(number, what).key: held for number, item in enumerate(ABOARD, 1) for what, held in item.items()}
    hauling = replace(demo_hauling(), choices=choices, typed=typed)
    write(path, demo_yard.trailers(), demo_yard.options(), US, hauling=hauling, only=what_if.SHEET)


def main() -> int:
    """Write the picture, or the workbook of one."""
    if len(sys.argv) > 1:
        write_aboard(Path(sys.argv[1]))
        return 0
    PICTURE.write_bytes(png(*drawn()))
    print(f"written: {PICTURE.name}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
