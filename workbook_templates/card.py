"""The card: one page for the customer about one trailer, its figures, what was assumed, and the cautions."""

from __future__ import annotations

import io
from collections.abc import Mapping
from pathlib import Path

from openpyxl import Workbook
from openpyxl.worksheet.worksheet import Worksheet

from . import style
from .columns import KEY
from .results import Value
from .tidy import repack
from .units import Units

SHEET = "Card"
SECTIONS: tuple[tuple[str, tuple[tuple[str, str, str], ...]], ...] = (
    (
        "The trailer",
        (
            ("Stock no.", KEY, "General"),
            ("Model year", "Model year", "0"),
            ("Body", "Body", "General"),
            ("Hitch", "Hitch", "General"),
            ("VIN", "VIN", "General"),
        ),
    ),
    (
        "What it weighs and may carry",
        (
            ("GVWR, from the certification label ({weight})", "GVWR ({weight})", style.FIGURE),
            ("Empty weight ({weight})", "Empty weight ({weight})", style.FIGURE),
            ("Payload by the label: GVWR less empty ({weight})", "Payload ({weight})", style.FIGURE),
            ("Safe payload: by every part stated ({weight})", "Safe payload ({weight})", style.FIGURE),
            ("Limited by", "Limited by", "General"),
            ("Pin weight at that gross ({weight})", "Pin weight ({weight})", style.FIGURE),
        ),
    ),
    (
        "Deck and ramps",
        (
            ("Deck length, without tail ({long})", "Deck length ({long})", style.DECIMAL),
            ("Deck height, empty ({short})", "Deck height ({short})", style.DECIMAL),
            ("Width over all ({short})", "Width ({short})", style.DECIMAL),
            ("Tail length ({short})", "Tail length ({short})", style.DECIMAL),
            ("Ramp length ({short})", "Ramp length ({short})", style.DECIMAL),
            ("Ramp angle", "Ramp angle (deg)", style.ANGLE),
            ("Tie-down points", "Tie-down points", "0"),
            ("Working load limit of each ({weight})", "Tie-down rating ({weight})", style.FIGURE),
        ),
    ),
)
CAUTIONS = (
    "Weigh truck, trailer and load on a certified scale, empty and loaded.",
    "The certification labels of trailer and truck govern. Nothing on this page raises a rating.",
    "Check every rating on the part itself: axle, tire, wheel, coupler, chains, jacks, tie-down points.",
    "The makers' instructions, local codes and licensed practice come before this page.",
    "Drive on slowly and straight, tail on stands or blocks, someone watching from the side.",
)
NOT_STATED, MARK = "not stated", "▲"


def assumptions(row: Mapping[str, object], units: Units) -> list[str]:
    """What the figures rest on, in words."""
    scale = row.get(units.heading("Scale weight ({weight})"))
    weighed = "weighed on a scale" if scale not in (None, "", 0) else "as listed, with its options; not weighed"
    found = [f"Empty weight: {weighed}."]
    shares = [row.get(f"{end} share used") for end in ("Low", "High")]
    stated = [row.get(f"{end} pin share") not in (None, "", 0) for end in ("Low", "High")]
    if all(isinstance(share, float) for share in shares):
        rule = "as stated for the trailer" if all(stated) else "common practice where not stated, not a rule"
        found.append(f"Share of the gross on the hitch: {shares[0]:.1%} to {shares[1]:.1%}, {rule}.")
    found.append("The load's centre stands where the pin share is kept; level ground at the ramp.")
    conflicts, missing = row.get("What conflicts"), row.get("Not checked")
    if conflicts not in (None, ""):
        found.append(f"{MARK} Ratings that do not agree, to be settled first: {conflicts}.")
    if missing not in (None, ""):
        found.append(f"Not checked, for want of figures: {missing}.")
    return found


def write_card(path: Path, row: Mapping[str, object], units: Units) -> None:
    """Write a workbook of one page.

    Args:
        path: Where to.
        row: Inputs and results of one trailer by heading.
        units: The lot's units.
    """
    book = Workbook()
    sheet: Worksheet = book.active  # type: ignore[assignment]
    sheet.title = SHEET
    for letter, width in zip("ABC", (3, 54, 40), strict=True):
        sheet.column_dimensions[letter].width = width
    name = " ".join(str(row[key]) for key in ("Make", "Model") if row.get(key) not in (None, ""))
    sheet["B1"] = name or f"Trailer {row.get(KEY)}"
    sheet["B1"].data_type = "s"
    for place in ("A1", "B1", "C1"):
        sheet[place].fill = style.fill(style.GLANCE_BAND.band)
    sheet["B1"].font = style.font(size=22, bold=True, color=style.PAPER)
    sheet.row_dimensions[1].height = 40
    at = 3
    for heading, lines in SECTIONS:
        at = _band(sheet, at, heading)
        for label, source, number_format in lines:
            _write_line(sheet, at, units.heading(label), row.get(units.heading(source)), number_format)
            at += 1
        at += 1
    at = _write_words(sheet, at, "What was assumed", "·", assumptions(row, units))
    _write_words(sheet, at, "Before anyone hauls", MARK, list(CAUTIONS))
    sheet.sheet_view.showGridLines = False
    style.print_on(sheet, paper=1 if units.name == "us" else 9, landscape=False)
    sheet.page_setup.fitToHeight = 1
    buffer = io.BytesIO()
    book.save(buffer)
    repack(buffer, path)


def _band(sheet: Worksheet, row: int, text: str) -> int:
    for letter in "ABC":
        sheet[f"{letter}{row}"].fill = style.fill(style.GIVEN_BAND.band)
    cell = sheet[f"B{row}"]
    cell.value, cell.font = text, style.font(size=12, bold=True)
    return row + 1


def _write_line(sheet: Worksheet, row: int, label: str, value: object | Value, number_format: str) -> None:
    """A figure with its label; one that is missing or refused says so."""
    name, cell = sheet.cell(row, 2, label), sheet.cell(row, 3)
    stated = value not in (None, "") and not str(value).startswith("#")
    cell.value = value if stated else NOT_STATED  # type: ignore[assignment]
    if isinstance(cell.value, str):
        cell.data_type = "s"
    else:
        whole = isinstance(value, int | float) and float(value).is_integer()
        cell.number_format = style.FIGURE if number_format == style.DECIMAL and whole else number_format
    name.font, cell.font = style.font(size=11), style.font(size=11, bold=stated)
    name.border = cell.border = style.HAIRLINE
    name.alignment, cell.alignment = style.LEFT, style.RIGHT
    sheet.row_dimensions[row].height = 17


def _write_words(sheet: Worksheet, row: int, heading: str, mark: str, lines: list[str]) -> int:
    """Lines of text over both columns; the row after them."""
    row = _band(sheet, row, heading)
    for line in lines:
        sign, cell = sheet.cell(row, 1, mark), sheet.cell(row, 2, line)
        cell.data_type = "s"
        sign.font, cell.font = style.font(bold=True, color=style.CONFLICT_INK), style.font(size=10)
        sign.alignment, cell.alignment = style.CENTER, style.WRAP
        sheet.merge_cells(start_row=row, start_column=2, end_row=row, end_column=3)
        sheet.row_dimensions[row].height = 15 * (1 + len(line) // 100)
        row += 1
    return row + 1
