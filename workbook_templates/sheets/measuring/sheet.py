"""The sheet Where to measure: the drawing, and beside it what each letter is, in the very headings of the lists."""

from __future__ import annotations

import struct
from collections.abc import Iterator, Sequence
from functools import cache
from pathlib import Path

from openpyxl.drawing.fill import Blip
from openpyxl.drawing.geometry import PresetGeometry2D
from openpyxl.drawing.image import Image
from openpyxl.drawing.picture import PictureFrame
from openpyxl.drawing.spreadsheet_drawing import OneCellAnchor
from openpyxl.styles import Alignment
from openpyxl.utils.units import pixels_to_EMU
from openpyxl.worksheet.worksheet import Worksheet

from tarelot.workbook_templates.basis import style
from tarelot.workbook_templates.basis.lettered import LETTERS, LOT, MACHINES, TRUCKS, WHERE_TO_MEASURE
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.lot import columns as lot_columns
from tarelot.workbook_templates.lot.column import Input
from tarelot.workbook_templates.sheets import machines, trucks

SHEET = WHERE_TO_MEASURE
PICTURE = Path(__file__).parents[2] / "pictures" / "where-to-measure.png"
SHOWN_WIDE = 800
"""Width of the picture on the sheet, in pixels of the screen."""
SAID = "A trailer, a machine and a truck; every length that is asked for has a letter, and they are listed beside it."
"""What is read aloud in place of the picture."""
THINGS = {LOT: "Trailer", MACHINES: "Machine", TRUCKS: "Truck"}
FIRST_ROW = 3
COLUMNS = (("A", 108.0), ("B", 4.5), ("C", 30.0), ("D", 49.0))
"""Widths: under the picture, of the letters, the headings, how it is measured."""
ROW_HEIGHT, TWO_LINES, GAP, LINE = 14.4, 22.0, 6.0, 72
"""Heights of rows, and letters of the small type that a line of the last column holds."""


class Picture(Image):  # type: ignore[misc]  # openpyxl is untyped
    """A PNG as it stands in its file; openpyxl's own needs a library to look into it."""

    def __init__(self, path: Path, wide: int, said: str) -> None:
        self.content = path.read_bytes()
        self.format = "png"
        # The header's width and height, 4 bytes each behind the first 16 (PNG, ISO/IEC 15948, 11.2.2).
        own_wide, own_high = struct.unpack(">II", self.content[16:24])
        self.width, self.height = wide, round(wide * own_high / own_wide)
        self.anchor = OneCellAnchor()
        self.anchor.ext.width, self.anchor.ext.height = map(pixels_to_EMU, (self.width, self.height))
        self.anchor.pic = _frame(said)

    def _data(self) -> bytes:
        """The file's bytes, as openpyxl asks for them."""
        return self.content


def _frame(said: str) -> PictureFrame:
    """What holds the picture, with the words that stand for it."""
    frame = PictureFrame()
    about = frame.nvPicPr.cNvPr
    about.id, about.name, about.descr = 1, SHEET, said
    frame.blipFill.blip = Blip()
    frame.spPr.prstGeom = PresetGeometry2D(prst="rect")
    frame.spPr.ln = None
    return frame


@cache
def inputs(sheet: str) -> tuple[Input, ...]:
    """The columns that a person fills on one of the three sheets."""
    return {LOT: tuple(lot_columns.inputs()), MACHINES: machines.COLUMNS, TRUCKS: trucks.COLUMNS}[sheet]


def legend(sheet: str) -> Iterator[tuple[str, Input]]:
    """The letters of one of the three sheets, each with its column."""
    by_key = {column.key: column for column in inputs(sheet)}
    return ((letter, by_key[key]) for key, letter in LETTERS[sheet].items())


def legend_table() -> str:
    """The letters as a table for the README, with headings without units."""
    names = [[f"**{letter}** {column.heading.partition(' (')[0]}" for letter, column in legend(one)] for one in THINGS]
    lines = [" | ".join(THINGS.values()), "|".join(["---"] * len(THINGS))]
    longest = max(map(len, names))
    for row in zip(*(one + [""] * (longest - len(one)) for one in names), strict=True):
        lines.append(" | ".join(row))
    return "\n".join(f"| {line} |" for line in lines)


def write(sheet: Worksheet, units: Units) -> None:
    """Write the sheet."""
    style.title(
        sheet, SHEET, "Every length that is asked for. A heading's note on Lot, Machines and Trucks names its letter."
    )
    for letter, width in COLUMNS:
        sheet.column_dimensions[letter].width = width
    picture = Picture(PICTURE, SHOWN_WIDE, SAID)
    picture.anchor._from.row, picture.anchor._from.col = FIRST_ROW - 1, 0
    sheet._images.append(picture)
    row = FIRST_ROW
    for one in THINGS:
        row = _write_legend(sheet, row, one, units)
        sheet.row_dimensions[row].height = GAP
        row += 1
    sheet.sheet_view.showGridLines = False
    style.print_on(sheet, paper=units.paper, landscape=True)
    sheet.page_setup.fitToHeight = 1


def _write_legend(sheet: Worksheet, row: int, one: str, units: Units) -> int:
    """The letters of one thing below its band; the row after them."""
    for letter in "BCD":
        sheet[f"{letter}{row}"].fill = style.fill(style.GIVEN_BAND.band)
    band = sheet[f"B{row}"]
    band.value, band.font = THINGS[one], style.font(size=11, bold=True)
    style.link(sheet, f"D{row}", f"Type them on {one}", one)
    for number, (letter, column) in enumerate(legend(one), row + 1):
        _write_length(sheet, number, (letter, units.heading(column.heading), column.message))
    return row + len(LETTERS[one]) + 1


def _write_length(sheet: Worksheet, row: int, words: Sequence[str]) -> None:
    """One length: letter, heading, how it is measured."""
    for place, text in zip("BCD", words, strict=True):
        cell = sheet[f"{place}{row}"]
        cell.value, cell.border = text, style.HAIRLINE
        cell.font = style.font(size=8 if place == "D" else 10, bold=place != "D")
        cell.alignment = Alignment(
            horizontal="center" if place == "B" else "left", vertical="center", wrap_text=place == "D"
        )
    letter = sheet[f"B{row}"]
    letter.fill = style.fill(style.GLANCE_BAND.band)
    letter.font = style.font(bold=True, color=style.GLANCE_BAND.band_ink)
    sheet.row_dimensions[row].height = TWO_LINES if len(words[-1]) > LINE else ROW_HEIGHT
