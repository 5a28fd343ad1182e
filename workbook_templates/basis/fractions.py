"""Figures that are whole in most rows: a number format that shows places would leave a trailing point behind these."""

from __future__ import annotations

from collections.abc import Sequence

from openpyxl.formatting.rule import Rule
from openpyxl.styles.differential import DifferentialStyle
from openpyxl.styles.numbers import NumberFormat
from openpyxl.worksheet.worksheet import Worksheet

from tarelot.calc.cells.expression import Cell, formula
from tarelot.calc.cells.spreadsheet import INT
from tarelot.workbook_templates.basis import style

FORMAT_ID = 190
"""Beyond those that programs have built in, and those of the cells."""


def show_fractions(sheet: Worksheet, areas: Sequence[str]) -> None:
    """Let a figure that is not whole show its places, in cells whose number format shows none.

    Args:
        sheet: The sheet.
        areas: Areas of cells, the foremost first.
    """
    shown = Cell("shown")
    asked = formula(shown.differs(INT(shown)), {shown.key: areas[0].partition(":")[0]})
    look = DifferentialStyle(numFmt=NumberFormat(numFmtId=FORMAT_ID, formatCode=style.DECIMAL))
    sheet.conditional_formatting.add(" ".join(areas), Rule(type="expression", dxf=look, formula=[asked]))
