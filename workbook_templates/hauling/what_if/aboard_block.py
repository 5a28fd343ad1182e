"""How the block Also aboard of What-if looks, and what leads to it from beside the choices."""

from __future__ import annotations

from openpyxl.styles import Alignment, Font
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.hyperlink import Hyperlink
from openpyxl.worksheet.worksheet import Worksheet

from tarelot.calc.cells.expression import Cell
from tarelot.calc.rules.aboard.items import NUMBERS, of
from tarelot.workbook_templates.basis import style
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling.what_if import aboard
from tarelot.workbook_templates.hauling.what_if.figure_row import band, highlight, write_figure, write_heads
from tarelot.workbook_templates.hauling.what_if.rows import MISSING, SHEET
from tarelot.workbook_templates.sheets import machines

HINT = (
    "One behind the other: what stands side by side is one item. On the machine, as a bucket is: its place is from the "
    "machine's front contact, ahead of it below 0. Match asks for the machine alone."
)
SHRUNK = Alignment(horizontal="right", vertical="center", shrink_to_fit=True)
WRAPPED = Alignment(horizontal="left", vertical="top", wrap_text=True, indent=1)
LINK = "A bucket, a plate compactor, a second machine: type it below"


def write(sheet: Worksheet, units: Units) -> None:
    """Write the block, the link to it and what it comes to beside the choices."""
    _write_beside_choices(sheet)
    band(sheet, aboard.BLOCK_ROW, "F", "J", f"{aboard.GROUP}: up to {len(NUMBERS)} more")
    first, last = aboard.BLOCK_ROW + 1, aboard.BLOCK_ROW + aboard.HINT_ROWS
    hint = sheet.cell(first, 6, HINT)
    hint.font, hint.alignment = style.font(size=9, color=style.QUIET), WRAPPED
    sheet.merge_cells(start_row=first, start_column=6, end_row=last, end_column=10)
    rows, said = aboard.rows(), aboard.said_rows()
    for number in NUMBERS:
        write_heads(sheet, aboard.band_row(number), aboard.group(number), f"from {machines.SHEET}")
        figures = aboard.members(number)
        for figure in figures:
            write_figure(sheet, figure, rows[figure.key], units)
        style.cream(sheet, f"H{rows[figures[0].key]}:H{rows[figures[-1].key]}")
        for what in aboard.SAID:
            _write_said(sheet, said[of(number, what).key], what)
    for name in aboard.name_cells():
        _let_choose(sheet, name)
        sheet[name].number_format = "@"
        for cell in (sheet[name], sheet[name.replace("H", "I")]):
            cell.alignment = SHRUNK
    highlight(sheet, f"J{aboard.FIRST_ROW}:J{aboard.last_row()}", Cell("first").equals(MISSING))


def _write_beside_choices(sheet: Worksheet) -> None:
    """The link to the block, and what it comes to in words."""
    band(sheet, 4, "F", "J", aboard.GROUP)
    link = sheet[aboard.LINK.replace("$", "")]
    link.value = LINK
    to = f"'{SHEET}'!F{aboard.BLOCK_ROW}"
    link.hyperlink = Hyperlink(ref=link.coordinate, location=to, tooltip=f"Go to {aboard.GROUP}")
    link.font = Font(name=style.FACE, size=9, underline="single", color=style.GLANCE_BAND.band)
    link.alignment = style.LEFT
    summary = sheet[aboard.SUMMARY.replace("$", "")]
    summary.font, summary.alignment = style.font(size=9), WRAPPED
    sheet.merge_cells(start_row=summary.row, start_column=6, end_row=summary.row + 1, end_column=10)


def _write_said(sheet: Worksheet, row: int, what: str) -> None:
    """A row of what is said of an item: its label, and words across the other columns."""
    is_wrong = what == "wrong"
    last = row + (aboard.WRONG_ROWS - 1 if is_wrong else 0)
    label, words = sheet.cell(row, 6, aboard.LABELS[what]), sheet.cell(row, 7)
    label.font, words.font = style.font(), style.font(size=9, bold=not is_wrong)
    label.alignment = words.alignment = WRAPPED if is_wrong else style.LEFT
    label.border, words.fill = style.HAIRLINE, style.fill(style.FILLED)
    sheet.merge_cells(start_row=row, start_column=7, end_row=last, end_column=10)


def _let_choose(sheet: Worksheet, place: str) -> None:
    """Offer the machines, and take any other name as well."""
    listed = f"{machines.SHEET}!$A${machines.FIRST_ROW}:$A$500"
    rule = DataValidation(type="list", formula1=listed, allow_blank=True)
    asks = ("Item", f"Choose from the {machines.SHEET} sheet, or type any other name.")
    other = f"It is not like this on the {machines.SHEET} sheet. OK takes the name: type its figures below it."
    style.entry_rule(sheet, rule, place, other, asks)
    style.ask_only(rule)  # LibreOffice 25.2 refuses without a word what a list lacks, where no words are to be shown
