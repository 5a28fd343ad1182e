"""The Start sheet: what the workbook is, how to use it, the cautions, what the colours mean, and the lot in figures."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from openpyxl.worksheet.worksheet import Worksheet

from tarelot.workbook_templates.basis import style
from tarelot.workbook_templates.basis.references import table_column
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.lot.columns import KEY, TABLE

SHEET = "Start"
FIGURES_ROW = 5

STEPS = (
    "Type each trailer on the Lot sheet, one row each: the cream cells. The grey cells fill themselves.",
    "List what options weigh on the Options sheet, then name them on the Lot sheet with ; between them.",
    "Enter the scale's figure when you have it: it is used instead of the listed weight.",
    "Leave blank what you do not know. The last column, Not checked, says which checks still lack figures.",
    "In Excel, type in the row under the last one and the table grows. Elsewhere, copy the last row down first.",
    "Paste a whole list, with its headings, on the Incoming sheet: the tarelot command takes it in.",
    "Can it carry a machine? What-if answers for one trailer, Match for the whole lot; Card prints the answer.",
    "Add columns of your own, move and sort as you like. Do not rename the headings.",
)
CAUTIONS = (
    "Weigh on a certified scale, empty and loaded: figures from lists are often low.",
    "The certification label on the trailer governs. Nothing here raises a rating.",
    "Check every rating on the part itself: axle, tire, wheel, coupler, chains, jacks, tie-down points.",
    "The maker's instructions, local codes and licensed practice come before this workbook.",
    "Usual pin shares are common practice, not a rule: weigh the hitch where it matters.",
)


def figures() -> tuple[tuple[str, str], ...]:
    """The lot in figures: what each is, and its formula without ``=``."""
    conflicts, missing = table_column(TABLE, "Conflicts"), table_column(TABLE, "Not checked")
    keys, status = table_column(TABLE, KEY), table_column(TABLE, "Status")
    return (
        ("trailers", f'SUMPRODUCT(({keys}<>"")*({keys}<>0))'),
        ("on the lot", f'SUMPRODUCT(({status}="on lot")*1)'),
        ("with conflicts", f'SUMPRODUCT(({conflicts}<>"")*({conflicts}<>0))'),
        ("not fully checked", f'SUMPRODUCT(({missing}<>"")*1)'),
    )


def figure_results(rows: Sequence[Mapping[str, object]]) -> list[float]:
    """The same figures in Python, from inputs and results together."""
    return [
        float(sum(row.get(KEY) not in (None, "", 0) for row in rows)),
        float(sum(str(row.get("Status") or "").lower() == "on lot" for row in rows)),
        float(sum(row["Conflicts"] not in ("", 0) for row in rows)),
        float(sum(row["Not checked"] != "" for row in rows)),
    ]


def figure_cells() -> list[str]:
    """Where the figures stand."""
    return [f"{column}{FIGURES_ROW}" for column in "BCDE"]


def write(sheet: Worksheet, units: Units) -> None:
    """Write the sheet."""
    for column, width in zip("ABCDEF", (5, 22, 22, 22, 22, 22), strict=True):
        sheet.column_dimensions[column].width = width
    for row in range(1, 4):
        for place in range(1, 7):
            sheet.cell(row, place).fill = style.fill(style.GLANCE_BAND.band)
    sheet["B1"], sheet["B2"] = (
        "Tarelot",
        "The lot: what every trailer weighs, may carry, and where its ratings disagree",
    )
    sheet["B1"].font, sheet["B2"].font = (
        style.font(size=24, bold=True, color=style.PAPER),
        style.font(size=12, color="D2E4EA"),
    )
    sheet["B3"] = f"Weights in {units.weight}, lengths in {units.short} and {units.long}"
    sheet["B3"].font = style.font(size=9, color="D2E4EA")
    sheet.row_dimensions[1].height, sheet.row_dimensions[3].height = 36, 20
    for cell, (label, formula) in zip(figure_cells(), figures(), strict=True):
        _write_figure(sheet, cell, label, formula)
    sheet.row_dimensions[FIGURES_ROW].height = 34
    row = _write_list(sheet, FIGURES_ROW + 3, "How to use it", STEPS, numbered=True)
    row = _write_colours(sheet, row + 1)
    _write_list(sheet, row + 1, "Before anyone hauls", CAUTIONS, numbered=False)
    sheet.sheet_view.showGridLines = False
    style.print_on(sheet, paper=units.paper, landscape=False)


def _write_figure(sheet: Worksheet, place: str, label: str, formula: str) -> None:
    """One large figure with its label below."""
    cell = sheet[place]
    cell.value, cell.number_format = f"={formula}", "0"
    cell.font, cell.alignment = style.font(size=24, bold=True, color=style.GLANCE_BAND.band), style.LEFT
    below = cell.offset(1, 0)
    below.value, below.font = label, style.font(size=10, color=style.QUIET)


def _write_list(sheet: Worksheet, row: int, heading: str, lines: Sequence[str], *, numbered: bool) -> int:
    """A heading and its lines; returns the row after them."""
    sheet.cell(row, 2, heading).font = style.font(size=13, bold=True, color=style.GLANCE_BAND.band)
    for number, line in enumerate(lines, 1):
        mark = sheet.cell(row + number, 1, number if numbered else "▲")
        mark.font = style.font(bold=True, color=style.GLANCE_BAND.band if numbered else style.CONFLICT_INK)
        mark.alignment = style.CENTER
        text = sheet.cell(row + number, 2, line)
        text.font, text.alignment = style.font(size=11), style.LEFT
        sheet.row_dimensions[row + number].height = 18
    return row + len(lines) + 1


def _write_colours(sheet: Worksheet, row: int) -> int:
    """What the colours mean, each with its mark or word; returns the row after them."""
    sheet.cell(row, 2, "What the colours mean").font = style.font(size=13, bold=True, color=style.GLANCE_BAND.band)
    samples = (
        ("you type", style.TYPED, style.INK, "A figure from the label, the part or the scale."),
        ("fills itself", style.FILLED, style.INK, "A result. Its heading's note says how it comes about."),
        ("ok", style.FILLED, style.INK, "A check with all its figures that found nothing."),
        (
            "▲ 1,600",
            style.CONFLICT_FILL,
            style.CONFLICT_INK,
            "A conflict: by how much a part falls short, or what is wrong in words.",
        ),
    )
    for number, (sample, back, ink, meaning) in enumerate(samples, row + 1):
        cell = sheet.cell(number, 2, sample)
        cell.fill, cell.font = style.fill(back), style.font(size=11, bold=back == style.CONFLICT_FILL, color=ink)
        cell.border, cell.alignment = style.HAIRLINE, style.CENTER
        text = sheet.cell(number, 3, meaning)
        text.font, text.alignment = style.font(size=11), style.LEFT
        sheet.row_dimensions[number].height = 18
    return row + len(samples) + 1
