"""Sheets, names, a chart and rules of a person's own that read the Lot, some by fixed rows: made with openpyxl."""

from __future__ import annotations

from pathlib import Path

import openpyxl
from openpyxl.chart import BarChart, Reference
from openpyxl.formatting.rule import FormulaRule
from openpyxl.styles import PatternFill
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.datavalidation import DataValidation

SALES = "Sales of '26"
CELLS = {
    "B2": "=SUM(Lot!K5:K28)",  # down to the last trailer of the demo yard
    "B3": "=SUM(Lot!$K$5:$K$34)+1",  # down to the last prepared row
    "B4": "=SUM(Lot[Price])",  # these five grow by themselves, are no rows of the Lot, or mean a part of them
    "B5": "=SUM(Lot!K:K)",
    "B6": '="Lot!K5:K28"',
    "B7": "=SUM(K5:K28)",
    "B8": "=SUM(Lot!K5:K10)",
    "B9": "=SUM(Lot!K5:K4000)",
    **{f"C{row}": f"=RANK(Lot!K{row},Lot!K$5:K$28)" for row in range(5, 29)},
}


def add_own_readers(path: Path) -> None:
    """Add the sheet with its formulas, the names Prices and Makes, and a chart of the prices."""
    book = openpyxl.load_workbook(path)
    sheet = book.create_sheet(SALES)
    for place, text in CELLS.items():
        sheet[place] = text
    book.defined_names["Prices"] = DefinedName("Prices", attr_text="Lot!$K$5:$K$28")
    book.defined_names["Makes"] = DefinedName("Makes", attr_text="Lot!$C:$C")
    chart = BarChart()
    chart.add_data(Reference(book["Lot"], min_col=11, min_row=5, max_row=28))
    sheet.add_chart(chart, "E2")
    book.save(path)


def add_own_rules(path: Path) -> None:
    """Add the sheet Own with a coloring and an entry rule that read down to the last trailer, row 28, and others that
    grow or end above it.
    """
    book = openpyxl.load_workbook(path)
    sheet = book.create_sheet("Own")
    for ends, text in (("A1", "Lot!$K$5:$K$28"), ("A2", "Lot!$K:$K"), ("A3", "Lot!$K$5:$K$20")):
        sheet[ends] = 1
        sheet.conditional_formatting.add(
            ends, FormulaRule([f"{ends}>AVERAGE({text})"], fill=PatternFill("solid", bgColor="FF0000"))
        )
        rule = DataValidation("custom", formula1=f"COUNTIF({text.replace('K', 'C')},{ends})=0")
        rule.add(ends)
        sheet.add_data_validation(rule)
    book.save(path)


def findings(last: int) -> list[str]:
    """What is listed once trailers stand in rows after 34, as a file writes ranges; by hand from what stands above.

    Args:
        last: The last row of the table then.
    """
    return [
        f"Sheet {SALES}, B2 reads Lot!K5:K28, which ends before the new rows: K5:K{last} would include them",
        f"Sheet {SALES}, B3 reads Lot!$K$5:$K$34, which ends before the new rows: $K$5:$K${last} would include them",
        f"Sheet {SALES}, C5:C28 reads Lot!K$5:K$28, which ends before the new rows: K$5:K${last} would include them",
        f"The name Prices reads Lot!$K$5:$K$28, which ends before the new rows: $K$5:$K${last} would include them",
        f"A chart on the sheet {SALES} reads 'Lot'!$K$5:$K$28, which ends before the new rows: "
        f"$K$5:$K${last} would include them",
    ]
