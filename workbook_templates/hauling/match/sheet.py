"""The Match sheet: every trailer of the lot against one machine and one truck, a verdict a row. Plain formulas only.

``columns`` names its columns, ``expressions`` say what they hold, ``stored`` works them out. The rules are those of
What-if and Card.
"""

from __future__ import annotations

from collections.abc import Mapping

from openpyxl.formatting.rule import Rule
from openpyxl.styles import Alignment
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.table import Table
from openpyxl.worksheet.worksheet import Worksheet

from tarelot.calc.cells.expression import Cell, Expression, formula
from tarelot.workbook_templates.basis import style
from tarelot.workbook_templates.basis.asked_of_programs import typed_over
from tarelot.workbook_templates.basis.filled_down import fill_down
from tarelot.workbook_templates.basis.limits import limit_places
from tarelot.workbook_templates.basis.number_texts import keep_as_texts, whole_column
from tarelot.workbook_templates.basis.references import Places
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling import asked, followed
from tarelot.workbook_templates.hauling.match import columns as match_columns
from tarelot.workbook_templates.hauling.match import order
from tarelot.workbook_templates.hauling.match.columns import (
    ANSWER,
    BAND_ROW,
    CHOICES,
    COLUMNS,
    FIRST_ROW,
    FORMATS,
    FURTHEST_ROW,
    HEADING_ROW,
    LETTERS,
    LIMITS_READ,
    MACHINE_FIGURES,
    ORDER_CELL,
    RANGES,
    ROOM,
    SHOW_CELL,
    SHOWN,
    SPARE_ROWS,
    TABLE,
    TRUCK_FIGURES,
    WRITTEN_IN,
    shown,
    top_cells,
)
from tarelot.workbook_templates.hauling.match.expressions import (
    head_expressions,
    row_expressions,
    shown_expressions,
    top_expressions,
)
from tarelot.workbook_templates.hauling.what_if.rows import MACHINE, TRUCK
from tarelot.workbook_templates.lot.expressions import ROW, in_row
from tarelot.workbook_templates.sheets import machines, trucks

SHEET = match_columns.SHEET
SHRUNK = Alignment(horizontal="left", vertical="center", indent=1, shrink_to_fit=True)
"""A verdict that is wider than its column is written smaller and not cut."""
STOCK_AREAS = [
    whole_column(place, FIRST_ROW) for place, column in enumerate(COLUMNS, 1) if column.key in ("stock", shown("stock"))
]
ALIGNED = {"text": SHRUNK, "words": Alignment(horizontal="left", vertical="top", wrap_text=True, indent=1)}
CAUTIONS = (
    "Weigh truck, trailer and machine on a certified scale; the certification labels and the makers' instructions "
    "govern; check every rating.",
    "YES: every rule was asked and none is broken by the figures typed in, its center where proposed. Look at it on "
    "What-if; drive on slowly.",
)


def write(sheet: Worksheet, count: int, choices: tuple[object, object], units: Units) -> None:
    """Write the sheet.

    Args:
        sheet: The empty sheet named Match.
        count: Rows of the Lot table; the sheet has ``SPARE_ROWS`` more.
        choices: Machine and truck chosen at first; None for none.
        units: The workbook's units.
    """
    count += SPARE_ROWS
    style.title(sheet, SHEET, "Which trailer carries it? Choose a machine and a truck; every trailer gets a verdict.")
    _write_choices(sheet, choices)
    keep_as_texts(sheet, [*CHOICES.values(), *STOCK_AREAS])
    places = _places(units)
    for cell, said in head_expressions(units).items():
        target = sheet[cell.replace("$", "")]
        target.value, target.alignment = f"={formula(said, places)}", style.LEFT
        target.font = (
            style.font(size=12, bold=True, color=style.GLANCE_BAND.band)
            if cell == ANSWER
            else style.font(color=style.QUIET)
        )
    for number, line in enumerate(CAUTIONS, 8):
        mark, words = sheet.cell(number, 4, "▲"), sheet.cell(number, 5, line)  # Enter behind Order leads to C8, blank
        mark.font, words.font = style.font(bold=True, color=style.CONFLICT_INK), style.font()
        mark.alignment, words.alignment = style.RIGHT, style.LEFT
    _write_top(sheet, units)
    _write_table(sheet, count, units)
    _set_up_page(sheet, count, units)


def _places(units: Units) -> Places:
    """Where the cells above the table stand, and the constants."""
    chosen = followed.places(CHOICES)
    orders = {order.SHOW.key: SHOW_CELL, order.ORDER.key: ORDER_CELL}
    return Places(asked.written(units) | top_cells() | chosen | orders)


def _write_choices(sheet: Worksheet, choices: tuple[object, object]) -> None:
    """What is chosen: machine and truck, which trailers are in sight, and in what order."""
    for (group, source), choice in zip(((MACHINE, machines.SHEET), (TRUCK, trucks.SHEET)), choices, strict=True):
        words = (group, f"Choose from the {source} sheet. Left blank, it is the one on What-if.")
        listed = f"{source}!$A${machines.FIRST_ROW}:$A$500"
        _write_choice(sheet, CHOICES[group], words, listed, choice)
    for name, cell, words_of, hint in (
        ("Show", SHOW_CELL, tuple(order.SHOWS), "Which trailers are in sight. Left blank, all are."),
        ("Order", ORDER_CELL, order.ORDERS, "Which come first. Left blank, they stand as on the Lot."),
    ):
        _write_choice(sheet, cell, (name, hint), order.written(words_of))
    for cell, name in ((ANSWER, "Answer"), (ROOM, "Trailers")):
        label = sheet.cell(sheet[cell.replace("$", "")].row, 4, name)
        label.font, label.alignment = style.font(bold=True), style.LEFT


def _write_choice(sheet: Worksheet, place: str, words: tuple[str, str], listed: str, choice: object = None) -> None:
    """A cell in which one of a list is chosen, behind its name."""
    name = sheet.cell(sheet[place.replace("$", "")].row, 2, words[0])
    name.font, name.alignment = style.font(bold=True), style.LEFT
    style.choice(sheet, place, listed, words, choice)


def _write_top(sheet: Worksheet, units: Units) -> None:
    """The figures of machine and truck, above the worked columns."""
    names = {figure.key: units.heading(figure.heading) for figure in (*MACHINE_FIGURES, *TRUCK_FIGURES)}
    places, said, of_limits = _places(units), top_expressions(units), limit_places(units)
    for key, place in top_cells().items():
        cell = sheet[place.replace("$", "")]
        above = sheet.cell(cell.row - 1, cell.column, names.get(key, key.replace("_", " ")))
        above.font, above.alignment = style.font(size=8, color=style.QUIET), style.HEADING
        cell.value, cell.font = (
            f"={formula(said[key], of_limits if key in LIMITS_READ else places)}",
            style.font(size=9),
        )
        cell.fill = style.fill(style.FILLED)


def _write_table(sheet: Worksheet, count: int, units: Units) -> None:
    """Headings and rows, the table named Match, and the highlight of what is wrong."""
    for place, column in enumerate(COLUMNS, 1):
        cell = sheet.cell(HEADING_ROW, place, units.heading(column.heading))
        band = style.GLANCE_BAND if place <= len(SHOWN) else style.FIGURES_BAND
        cell.font, cell.fill = style.font(size=9, bold=True), style.fill(band.heading)
        cell.alignment, cell.border = style.HEADING, style.HEADING_LINE
        over = sheet.cell(BAND_ROW, place)
        over.fill, over.font = style.fill(band.band), style.font(bold=True, color=band.band_ink)
        over.alignment = style.LEFT
        dimension = sheet.column_dimensions[get_column_letter(place)]
        dimension.width = column.width
        if place > len(SHOWN) + 1:
            dimension.outlineLevel, dimension.hidden = 1, True
    sheet.cell(BAND_ROW, 1, "Every trailer of the lot")
    sheet.cell(BAND_ROW, len(SHOWN) + 1, "Figures behind it: unfold at the + above")
    said, numbers = row_expressions(units) | shown_expressions(), range(FIRST_ROW, FIRST_ROW + count)
    places = _places_in_row(said, units)
    for place, column in enumerate(COLUMNS, 1):
        cells = [sheet.cell(row, place) for row in numbers]
        written = formula(said[column.key], places)
        fill_down(cells, [in_row(written, row) for row in numbers], place)
        style.give_look(
            cells,
            font=style.font(
                bold=column.key in (shown("stock"), shown("word")), size=8 if column.kind == "words" else 10
            ),
            number_format=FORMATS[column.kind],
            alignment=ALIGNED.get(column.kind, style.RIGHT),
            **({"fill": style.fill(style.FILLED), "border": style.HAIRLINE} if place > len(SHOWN) else {}),
        )
    area = f"A{HEADING_ROW}:{get_column_letter(len(COLUMNS))}{HEADING_ROW + count}"
    table = Table(displayName=TABLE, name=TABLE, ref=area)
    table._initialise_columns()
    table.autoFilter = None  # Show and Order do it, in every program and with every choice anew
    for member, column in zip(table.tableColumns, COLUMNS, strict=True):
        member.name = units.heading(column.heading)
    sheet.add_table(table)
    first = f"E{FIRST_ROW}"
    wrong = asked.says_no(Cell("verdict"))
    rule = Rule(type="expression", dxf=style.CONFLICT, formula=[formula(wrong, {"verdict": first})])
    sheet.conditional_formatting.add(f"{first}:E{HEADING_ROW + count}", rule)
    in_sight = f"A{FIRST_ROW}:{get_column_letter(len(SHOWN))}{HEADING_ROW + count}"
    sheet.conditional_formatting.add(in_sight, typed_over(f"A{FIRST_ROW}"))
    is_filled = formula(Cell("stock").differs(""), {"stock": f"$B{FIRST_ROW}"})  # no lines on paper for rows in reserve
    sheet.conditional_formatting.add(in_sight, Rule(type="expression", dxf=style.FILLED_ROW, formula=[is_filled]))


def _places_in_row(said: Mapping[str, Expression], units: Units) -> Places:
    """Where the formulas of a row find what they read; what has no column is written out in brackets."""
    places = _places(units)
    places.update({key: f"${letter}{ROW}" for key, letter in LETTERS.items()})
    places[order.LINES_BEFORE.key] = f"$A${FIRST_ROW}:$A{ROW}"
    for key in RANGES:
        places[order.every(key).key] = f"${LETTERS[key]}${FIRST_ROW}:${LETTERS[key]}${FURTHEST_ROW}"
    for key in WRITTEN_IN:
        places[key] = f"({formula(said[key], places)})"
    return places


def _set_up_page(sheet: Worksheet, count: int, units: Units) -> None:
    """Frozen panes and printing."""
    sheet.row_dimensions[HEADING_ROW].height = 34
    sheet.sheet_properties.outlinePr.summaryRight = False
    sheet.freeze_panes = sheet.cell(FIRST_ROW, 4)
    sheet.sheet_view.showGridLines = False
    style.print_on(sheet, paper=units.paper, landscape=True)
    sheet.print_area = f"A1:{LETTERS[shown('why')]}{HEADING_ROW + count}"
    sheet.print_title_rows = f"{HEADING_ROW}:{HEADING_ROW}"
