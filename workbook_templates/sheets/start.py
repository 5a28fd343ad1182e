"""The Start sheet: what the workbook is, how to use it, the cautions, what the colors mean, and the lot in figures."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from openpyxl.cell import Cell
from openpyxl.worksheet.hyperlink import Hyperlink
from openpyxl.worksheet.worksheet import Worksheet

from tarelot.calc.cells.expression import Expression, Range, formula, value
from tarelot.calc.cells.spreadsheet import COUNTIF
from tarelot.workbook_templates.basis import style
from tarelot.workbook_templates.basis.references import table_column
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.lot.columns import COLUMNS, ON_LOT, TABLE
from tarelot.workbook_templates.lot.written import CONFLICT

SHEET = "Start"
FIGURES_ROW = 5
NOTICES = 3
"""Rows below the figures in which it is said what is out of order."""

STEPS = (
    ("Lot", "Type each trailer on the Lot sheet, one row each: the cream cells. The gray cells fill themselves."),
    ("Options", "List what options weigh on the Options sheet, then name them on the Lot sheet with ; between them."),
    (
        "Limits",
        "Limits lists the figures that checks compare yours with; type your own there, and answers say so.",
    ),
    (
        "Tickets",
        "Type scale tickets on Tickets, or the scale's figure on Lot: it is used instead of the listed weight.",
    ),
    (
        "Lot",
        "Leave blank what you do not know. Not checked names what checks lack, Entry check what to look at.",
    ),
    (
        "Lot",
        "More rows: in Excel type below the last; in LibreOffice Tarelot > Add rows, or insert some above it and copy "
        "a row in.",
    ),
    (
        "Incoming",
        "Paste a list with its headings on Incoming; Tarelot > Import a list, Excel's Run main or the command takes it "
        "in.",
    ),
    ("What-if", "Can this trailer carry this machine behind this truck? What-if answers, and says why."),
    (
        "Match",
        "Which trailer carries it? Match asks the whole lot, and shows those you ask for in the order you like.",
    ),
    ("Compare", "Compare sets up to four of them side by side, and says in words where they differ."),
    ("Card", "Card prints the answer of What-if on one page; Quote prints what it costs with its options."),
    (
        "Lot",
        "Add columns, move and sort as you like; keep our headings and sheets. To add a sheet, unprotect the workbook "
        "(no password).",
    ),
    (
        "",
        "A mistake: Tarelot > Undo import, or the command undo. Results typed over, an older lot: the command update.",
    ),
)
"""What to do, and the sheet on which, if on one."""
CAUTIONS = (
    "Weigh on a certified scale, empty and loaded: figures from lists are often low.",
    "The certification label on the trailer governs. Nothing here raises a rating.",
    "Check every rating on the part itself: axle, tire, wheel, coupler, chains, jacks, tie-down points.",
    "The maker's instructions, local codes and licensed practice come before this workbook.",
    "Usual pin shares are common practice, not a rule: weigh the hitch where it matters.",
)


def _rows_with(key: str, found: str) -> Expression:
    """How many rows have such a text in a column; errors that a person typed or pasted are passed over."""
    return COUNTIF(Range(key), found)


FIGURES: tuple[tuple[str, Expression], ...] = (
    ("trailers", _rows_with("stock_text", "?*")),
    ("on the lot", _rows_with("status", ON_LOT)),
    ("with conflicts", _rows_with("conflicts", f"{CONFLICT}*")),
    ("not fully checked", _rows_with("not_checked", "?*")),
    ("entries to look at", _rows_with("entry_check", "?*")),
)
"""The lot in figures: what each is, and its expression over columns of the Lot by key."""


def figures() -> tuple[tuple[str, str], ...]:
    """What each figure is, and its formula without ``=``."""
    places = {column.key: table_column(TABLE, column.heading) for column in COLUMNS}
    return tuple((label, formula(expression, places)) for label, expression in FIGURES)


def figure_results(rows: Sequence[Mapping[str, object]]) -> list[float]:
    """What the figures come to, from inputs and results together by heading."""
    headings = {column.key: column.heading for column in COLUMNS}
    found = []
    for _, expression in FIGURES:
        columns = {key: [row.get(headings[key]) for row in rows] for key in sorted(expression.keys())}
        found.append(float(value(expression, columns)))
    return found


def figure_cells() -> list[str]:
    """Where the figures stand."""
    return [f"{column}{FIGURES_ROW}" for column in "BCDEF"]


def write(sheet: Worksheet, units: Units) -> None:
    """Write the sheet."""
    for column, width in zip("ABCDEFG", (5, 22, 22, 22, 22, 22, 12), strict=True):
        sheet.column_dimensions[column].width = width
    for row in range(1, 4):
        for place in range(1, 8):
            sheet.cell(row, place).fill = style.fill(style.GLANCE_BAND.band)
    sheet["B1"], sheet["B2"] = (
        "Tarelot",
        "The lot: what every trailer weighs, may carry, and where its ratings disagree",
    )
    sheet["B1"].font, sheet["B2"].font = (
        style.font(size=24, bold=True, color=style.PAPER),
        style.font(size=12, color="D2E4EA"),
    )
    sheet["B3"] = f"Weights: {units.weight}. Lengths: {units.short} and {units.long}."
    sheet["B3"].font = style.font(size=9, color="D2E4EA")
    sheet.row_dimensions[1].height, sheet.row_dimensions[3].height = 36, 20
    for cell, (label, counted) in zip(figure_cells(), figures(), strict=True):
        _write_figure(sheet, cell, label, counted)
    sheet.row_dimensions[FIGURES_ROW].height = 34
    row = _write_list(sheet, FIGURES_ROW + 3 + NOTICES, "How to use it", [line for _, line in STEPS], numbered=True)
    _link(sheet, row - len(STEPS))
    row = _write_colors(sheet, row + 1)
    row = _write_list(sheet, row + 1, "Before anyone hauls", CAUTIONS, numbered=False)
    sheet.sheet_view.showGridLines = False
    style.print_on(sheet, paper=units.paper, landscape=False)
    sheet.print_area = f"A1:G{row}"


def _link(sheet: Worksheet, row: int) -> None:
    """Beside each step a link to its sheet."""
    for number, (name, _) in enumerate(STEPS, row):
        if name:
            write_link(sheet.cell(number, 7), name)


def write_link(cell: Cell, name: str) -> None:
    """Make a cell one that leads to a sheet."""
    cell.value = f"{name} ›"
    cell.hyperlink = Hyperlink(cell.coordinate, location=f"'{name}'!A1", tooltip=f"Go to {name}")
    cell.font, cell.alignment = style.font(bold=True, color=style.GLANCE_BAND.band), style.LEFT


def _write_figure(sheet: Worksheet, place: str, label: str, counted: str) -> None:
    """One large figure with its label below."""
    cell = sheet[place]
    cell.value, cell.number_format = f"={counted}", "0"
    cell.font, cell.alignment = style.font(size=24, bold=True, color=style.GLANCE_BAND.band), style.LEFT
    below = cell.offset(1, 0)
    below.value, below.font, below.alignment = label, style.font(size=10, color=style.QUIET), style.LEFT


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


def _write_colors(sheet: Worksheet, row: int) -> int:
    """What the colors mean, each with its mark or word; returns the row after them."""
    sheet.cell(row, 2, "What the colors mean").font = style.font(size=13, bold=True, color=style.GLANCE_BAND.band)
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
        (
            "? 3 not checked",
            style.FILLED,
            style.INK,
            "No conflict found, but three checks lack figures or an entry is refused.",
        ),
        ("99,999", style.TYPED, style.INK, "A result that was typed over, underlined: it no longer fills itself."),
    )
    for number, (sample, back, ink, meaning) in enumerate(samples, row + 1):
        cell = sheet.cell(number, 2, sample)
        cell.fill, cell.font = style.fill(back), style.font(size=11, bold=back == style.CONFLICT_FILL, color=ink)
        cell.border, cell.alignment = style.HAIRLINE, style.CENTER
        text = sheet.cell(number, 3, meaning)
        text.font, text.alignment = style.font(size=11), style.LEFT
        sheet.row_dimensions[number].height = 18
    return row + len(samples) + 1
