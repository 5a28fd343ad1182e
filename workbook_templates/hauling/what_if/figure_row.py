"""How a figure's row on What-if looks: from the list, typed over, used, and which it is; and a band across columns."""

from __future__ import annotations

from openpyxl.formatting.rule import Rule
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.worksheet import Worksheet

from tarelot.calc.cells.expression import Expression, formula
from tarelot.calc.rules import hauling_figures
from tarelot.calc.rules.aboard.items import NUMBERS, of
from tarelot.workbook_templates.basis import style
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling.what_if import aboard
from tarelot.workbook_templates.hauling.what_if.rows import Figure
from tarelot.workbook_templates.lot import columns
from tarelot.workbook_templates.sheets import machines

_FIGURE_NEEDED = "A figure in the unit of its row is needed, or nothing."
_FOLLOWS = "It follows from axles, suspension, tires and wheels above: type over those."
LISTS = {
    "hitch": columns.HITCHES,
    "runs_on": (machines.WHEELS, machines.TRACKS),
    "brakes": (hauling_figures.ELECTRIC, hauling_figures.SURGE, hauling_figures.AIR, hauling_figures.NO_BRAKES),
    "ramp_kind": (hauling_figures.TWO_RAMPS, hauling_figures.FULL_WIDTH),
    "stands": ("yes", "no"),
    "direction": (hauling_figures.FORWARD, hauling_figures.BACKWARD),
    "permit": ("yes", "no"),
    **{of(number, "on").key: aboard.STANDS_ON for number in NUMBERS},
}
"""Words that may be typed over a figure."""
CENTERS = [of(number, "center").key for number in NUMBERS]
NAMES = [of(number, "name").key for number in NUMBERS]
"""Chosen from the machines or typed, by a rule of the block's own: of two rules for a cell, programs take one."""


def write_heads(sheet: Worksheet, row: int, name: str, source: str) -> None:
    """The band above a group of figures, with what its columns are."""
    band(sheet, row, "F", "J", name)
    for letter, text in zip("GHI", (source, "typed over", "used"), strict=True):
        cell = sheet[f"{letter}{row}"]
        cell.value, cell.font, cell.alignment = text, style.font(size=9, bold=True), style.RIGHT


def write_figure(sheet: Worksheet, figure: Figure, row: int, units: Units) -> None:
    """One figure's row."""
    label = sheet.cell(row, 6, units.heading(figure.label or figure.heading))
    label.font, label.border, label.alignment = style.font(), style.HAIRLINE, style.LEFT
    listed, typed, used, mark = (sheet[f"{letter}{row}"] for letter in "GHIJ")
    for cell in (listed, used, typed) if figure.kind == "derived" else (listed, used):
        cell.number_format = _number_format(figure)
        cell.fill = style.fill(style.FILLED)
        cell.font, cell.alignment, cell.border = style.font(bold=cell is used), style.RIGHT, style.HAIRLINE
    mark.font, mark.alignment = style.font(size=9, color=style.QUIET), style.LEFT
    if figure.key not in NAMES:
        _add_typed_rule(sheet, figure, typed.coordinate)


def _number_format(figure: Figure) -> str:
    """How a figure is shown."""
    if figure.key == "place" or figure.key in CENTERS:
        return "0.00"
    if "{long}" in figure.heading:
        return "#,##0.0"
    return {"share": style.SHARE, "whole": "0", "count": "0", "text": "General"}.get(figure.kind, style.FIGURE)


def _add_typed_rule(sheet: Worksheet, figure: Figure, cell: str) -> None:
    """What may be typed over a figure."""
    limits = {
        "number": {"type": "decimal", "operator": "greaterThanOrEqual", "formula1": "0"},
        "whole": {"type": "whole", "operator": "between", "formula1": "1", "formula2": "200"},
        "count": {"type": "whole", "operator": "between", "formula1": "0", "formula2": "200"},
        "share": {"type": "decimal", "operator": "between", "formula1": "0.001", "formula2": "0.999"},
        "offset": {"type": "decimal", "operator": "between", "formula1": "-100000", "formula2": "100000"},
        "text": {"type": "textLength", "operator": "between", "formula1": "1", "formula2": "120"},
        "derived": {"type": "textLength", "operator": "lessThan", "formula1": "1"},
    }[figure.kind]
    rule = DataValidation(allow_blank=True, **limits)  # type: ignore[arg-type]
    error = {"text": "At most 120 characters.", "derived": _FOLLOWS}.get(figure.kind, _FIGURE_NEEDED)
    if figure.key in LISTS:
        rule = DataValidation(type="list", formula1=f'"{",".join(LISTS[figure.key])}"', allow_blank=True)
        error = "Choose from the list."
    style.entry_rule(sheet, rule, cell, error)


def highlight(sheet: Worksheet, area: str, wrong: Expression) -> None:
    """The highlight of what is wrong, by a test of the first cell of an area, ``first``."""
    place = "$" + area.partition(":")[0]
    sheet.conditional_formatting.add(
        area, Rule(type="expression", dxf=style.CONFLICT, formula=[formula(wrong, {"first": place})])
    )


def band(sheet: Worksheet, row: int, first: str, last: str, text: str) -> None:
    """A band across some columns."""
    for place in range(ord(first), ord(last) + 1):
        cell = sheet[f"{chr(place)}{row}"]
        cell.fill, cell.font = style.fill(style.GIVEN_BAND.band), style.font(bold=True)
        cell.alignment = style.LEFT
    sheet[f"{first}{row}"] = text
