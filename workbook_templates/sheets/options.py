"""The Options sheet, written: one table named Options."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from openpyxl.utils import get_column_letter
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.table import Table
from openpyxl.worksheet.worksheet import Worksheet

from tarelot.calc.cells.expression import formula
from tarelot.workbook_templates.basis import style
from tarelot.workbook_templates.basis.fractions import show_fractions
from tarelot.workbook_templates.basis.number_texts import keep_as_texts, whole_column
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.lot.options import (
    COLUMNS,
    FIRST_ROW,
    FITTERS,
    HEADING_ROW,
    NAME_FITS,
    PLACE,
    PLACE_FITS,
    PRICE,
    PRICE_FITS,
    REACH,
    TABLE,
    WEIGHT,
    WEIGHT_FITS,
)

FORMATS = {WEIGHT: style.FIGURE, PRICE: style.FIGURE, PLACE: style.FIGURE}
"""Number formats of the columns that hold numbers."""


def write(sheet: Worksheet, options: Sequence[tuple[object, ...]], units: Units) -> None:
    """Write the sheet; rows of None are to be filled later. A table has one at least."""
    options = options or [(None,) * len(COLUMNS)]
    told = "Name each option once. On the Lot sheet list them with ; between them, each as often as it is fitted."
    style.title(sheet, "Options", told)
    for place, (heading, width) in enumerate(COLUMNS, 1):
        cell = sheet.cell(HEADING_ROW, place, units.heading(heading))
        cell.font, cell.fill, cell.border = (
            style.font(size=9, bold=True),
            style.fill(style.GIVEN_BAND.heading),
            style.HEADING_LINE,
        )
        cell.alignment = style.HEADING
        sheet.column_dimensions[cell.column_letter].width = width
    for place, (heading, _) in enumerate(COLUMNS, 1):
        typed = [option[place - 1] if place <= len(option) else None for option in options]
        style.give_look(
            [sheet.cell(number, place, value) for number, value in enumerate(typed, FIRST_ROW)],  # type: ignore[arg-type]
            font=style.font(),
            fill=style.fill(style.TYPED),
            border=style.HAIRLINE,
            alignment=style.RIGHT if heading in FORMATS else style.LEFT,
            number_format=FORMATS.get(heading, "@"),
        )
        if heading in (PRICE, PLACE):
            letter = get_column_letter(place)
            show_fractions(sheet, [f"{letter}{FIRST_ROW}:{letter}{FIRST_ROW + len(options) - 1}"])
    sheet.row_dimensions[HEADING_ROW].height = 32
    last = get_column_letter(len(COLUMNS))
    sheet.add_table(Table(displayName=TABLE, name=TABLE, ref=f"A{HEADING_ROW}:{last}{HEADING_ROW + len(options)}"))
    _add_rules(sheet, FIRST_ROW + len(options) - 1)
    keep_as_texts(sheet, [whole_column(1, FIRST_ROW)])
    sheet.freeze_panes = sheet.cell(FIRST_ROW, 1)
    sheet.sheet_view.showGridLines = False
    style.print_on(sheet, paper=units.paper, landscape=False)


def _add_rules(sheet: Worksheet, last: int) -> None:
    """Entry rules to the last row."""
    for column, allowed, error, asks in _rules():
        rule = DataValidation(allow_blank=True, **allowed)
        style.entry_rule(sheet, rule, f"{column}{FIRST_ROW}:{column}{last}", error, asks)


def _rules() -> Iterator[tuple[str, dict[str, str], str, tuple[str, str]]]:
    """What each column takes, what is said of anything else, and what it asks for."""
    name_fits = formula(NAME_FITS, {"name": f"A{FIRST_ROW}", "names": f"A${FIRST_ROW}:A${REACH}"})
    yield (
        "A",
        {"type": "custom", "formula1": name_fits},
        "Each option stands once, without ; and without spaces before or after it.",
        ("Option", "A name of your own, each only once."),
    )
    yield (
        "B",
        {"type": "custom", "formula1": formula(WEIGHT_FITS, {"weight": f"B{FIRST_ROW}"})},
        "A weight is needed, 0 or more; 1 is not taken, since some programs make it of TRUE.",
        ("Weight", "What the option adds to the empty weight."),
    )
    yield (
        "C",
        {"type": "list", "formula1": f'"{",".join(FITTERS)}"'},
        "maker or yard is needed.",
        (
            "Fitted by",
            "yard, if you add it before the sale: its weight counts under Added by yard. Blank is the maker.",
        ),
    )
    yield (
        "D",
        {"type": "custom", "formula1": formula(PRICE_FITS, {"price": f"D{FIRST_ROW}"})},
        "A price is needed, 0 or more; 1 is not taken, since some programs make it of TRUE.",
        ("Price", "What the option costs, as the Quote adds it. 0 is no charge; blank is not stated."),
    )
    yield (
        "E",
        {"type": "custom", "formula1": formula(PLACE_FITS, {"place": f"E{FIRST_ROW}"})},
        "A number is needed; 1 is not taken, since some programs make it of TRUE.",
        (
            "Center behind coupler",
            "For the estimate of the empty pin on the Quote. May be blank; ahead of the coupler below 0.",
        ),
    )
