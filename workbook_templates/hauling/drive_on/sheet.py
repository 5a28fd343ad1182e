"""The Drive-on sheet: named values down its columns A and B, the sweep beside them, then the drawing's points.

``expressions`` are all its cells by key, over the figures of What-if; ``places`` says where each stands. Other values
that What-if works with may stand below the named values: they are given as ``more``.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache

from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from tarelot.calc.cells.expression import Expression, formula
from tarelot.workbook_templates.basis import style
from tarelot.workbook_templates.basis.references import Places
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling.drive_on.profile import figures, knots, way
from tarelot.workbook_templates.hauling.drive_on.sweep import (
    HEADINGS,
    POSITIONS,
    STEPS,
    key,
    positions,
    reaches,
)
from tarelot.workbook_templates.hauling.drive_on.tightest import tightest
from tarelot.workbook_templates.hauling.side_view.lines import Line, lines, point_key, points
from tarelot.workbook_templates.hauling.side_view.measures import measures

SHEET = "Drive-on"
FIRST_ROW = 6
LAST_ROW = FIRST_ROW + POSITIONS - 1
SWEEP_COLUMN = 4
POINTS_COLUMN = SWEEP_COLUMN + len(HEADINGS) + 2
FINE_PRINT = style.font(size=9)
NUMBER = '[>1000000000]"none";0.###'
Stored = float | str | bool | None
NOTHING: Mapping[str, Expression] = {}


@cache
def named_values(units: Units) -> dict[str, Expression]:
    """The named values by key, in the order of the sheet."""
    return {**figures(), **way(), **knots(), **reaches(), **tightest(), **measures(units)}


@cache
def expressions(units: Units) -> dict[str, Expression]:
    """Every cell of the sheet by key: named values, sweep, points of the drawing.

    They read figures of What-if by key, and ``center_from`` and ``center_to``, the ends of the band of its center.
    """
    return {**named_values(units), **positions(), **points(units)}


def places(units: Units, more: Iterable[str] = (), *, elsewhere: bool = False) -> dict[str, str]:
    """The cell of every key.

    Args:
        units: The workbook's units.
        more: Keys of the further values, in order.
        elsewhere: Whether other sheets refer to it.
    """
    names = [*named_values(units), *more]
    found = {name: f"$B${row}" for row, name in enumerate(names, FIRST_ROW)}
    for column, heading in enumerate(HEADINGS, SWEEP_COLUMN):
        letter = get_column_letter(column)
        found |= {key(heading, n): f"{letter}{FIRST_ROW + n}" for n in range(POSITIONS)}
    for line in lines(units):
        for axis, letter in zip(("x", "y"), columns_of(line, units), strict=True):
            found |= {
                point_key(line, axis, n): f"{letter}{FIRST_ROW + n}"  # type: ignore[arg-type]
                for n in range(len(line.points))
            }
    return {name: f"'{SHEET}'!{cell}" for name, cell in found.items()} if elsewhere else found


def columns_of(line: Line, units: Units) -> tuple[str, str]:
    """Letters of the columns that hold a line's points."""
    first = POINTS_COLUMN + 2 * lines(units).index(line)
    return get_column_letter(first), get_column_letter(first + 1)


def stored(cells: Mapping[str, object], units: Units, more: Iterable[str] = ()) -> dict[str, Stored]:
    """The result of every formula of the sheet, by cell.

    Args:
        cells: What every key of the sheet shows: figures of What-if worked out with ``expressions`` and more.
        units: The workbook's units.
        more: Keys of the further values, in order.
    """
    return {place.replace("$", ""): cells[name] for name, place in places(units, more).items()}  # type: ignore[misc]


def write(
    sheet: Worksheet, figure_places: Mapping[str, str], units: Units, more: Mapping[str, Expression] = NOTHING
) -> None:
    """Write the sheet.

    Args:
        sheet: The empty sheet.
        figure_places: The cells of the figures that its values read, as other sheets refer to them.
        units: The workbook's units.
        more: Further values by key.
    """
    style.title(
        sheet,
        "Drive-on",
        f"The machine swept onto the trailer in {POSITIONS} positions: wherever a wheel meets a break, and {STEPS} "
        "even steps between. Leading is the end that goes first. The least gap is within 0.1 in (3 mm) of the exact "
        f"one. Nothing to type here. Lengths in {units.short}.",
    )
    cells = places(units, more)
    read = Places({**figure_places, **cells})
    for place, (heading, width) in enumerate((("Value", 24), ("", 14)), 1):
        _heading(sheet, place, heading, width)
    for row, name in enumerate((*named_values(units), *more), FIRST_ROW):
        sheet.cell(row, 1, name.replace("_", " ")).font = FINE_PRINT
    for place, heading in enumerate(HEADINGS, SWEEP_COLUMN):
        _heading(sheet, place, heading, 9)
    for name, expression in {**expressions(units), **more}.items():
        cell = sheet[cells[name].replace("$", "")]
        cell.value, cell.font, cell.number_format = f"={formula(expression, read)}", FINE_PRINT, NUMBER
    for line in lines(units):
        for axis, letter in zip("xy", columns_of(line, units), strict=True):
            cell = sheet[f"{letter}{FIRST_ROW - 1}"]
            cell.value, cell.font, cell.alignment = f"{line.key} {axis}", style.font(size=8, bold=True), style.HEADING
            cell.fill = style.fill(style.GLANCE_BAND.heading)
    _set_up_page(sheet, units)


def _heading(sheet: Worksheet, place: int, text: str, width: float) -> None:
    cell = sheet.cell(FIRST_ROW - 1, place, text)
    cell.font, cell.fill = style.font(size=9, bold=True), style.fill(style.FIGURES_BAND.heading)
    cell.alignment, cell.border = style.HEADING, style.HEADING_LINE
    sheet.column_dimensions[cell.column_letter].width = width


def _set_up_page(sheet: Worksheet, units: Units) -> None:
    """Frozen headings, and what is printed: values and sweep."""
    sheet.row_dimensions[FIRST_ROW - 1].height = 30
    sheet.freeze_panes = sheet.cell(FIRST_ROW, SWEEP_COLUMN + 1)
    sheet.sheet_view.showGridLines = False
    style.print_on(sheet, paper=units.paper, landscape=True)
    sheet.print_area = f"A1:{get_column_letter(SWEEP_COLUMN + len(HEADINGS) - 1)}{LAST_ROW}"
    sheet.print_title_rows = f"{FIRST_ROW - 1}:{FIRST_ROW - 1}"
