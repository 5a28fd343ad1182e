"""Make ``demo-customized-libreoffice.xlsx``: format 1's demo as a person has it who works in LibreOffice Calc.

It ran once, at commit cf1242a, on LibreOffice 25.2; the lot it made is kept and never made again. Everything is done in
the program itself, headless, over UNO, and stored by it as "Calc MS Excel 2007 XML", with whatever that does to the
file. README.md beside it lists the changes. Run it with a Python that can import uno, LibreOffice's or the system's:

    /usr/bin/python3 tests/lots/1/make_customized_libreoffice.py
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
import uuid
from pathlib import Path
from typing import Any

import uno
from com.sun.star.awt import Rectangle
from com.sun.star.beans import PropertyValue
from com.sun.star.connection import NoConnectException
from com.sun.star.table import CellRangeAddress, TableSortField

HERE = Path(__file__).parent
DEMO, TARGET = HERE / "tarelot-demo.xlsx", HERE / "demo-customized-libreoffice.xlsx"
OWN_SHEET = "Sales board"
OWN_AT = 11  # the own column stands after Price, counted from 0
FIRST, LAST_TRAILER = 5, 28  # the demo's rows of trailers
DELETED = ("1107", "1115", "1123")
YELLOW, GREEN = 0xFFF2A8, 0xD5E8D4

TYPED: dict[str, dict[str, Any]] = {
    "Lot": {
        "L5": "front row",
        "L9": "by the gate",
        "L14": "front row",
        "A26": "1140",
        "C26": "Corvane",
        "D26": "Ridge 20",
        "E26": 2026,
        "I26": "on order",
        "T26": 20_000,
        "U26": 5_350,
        "A27": 1141,
        "C27": "Ashgarth",
        "D27": "Longline 26",
        "G27": "gooseneck",
        "T27": 26_000,
    },
    "What-if": {"B5": "1111", "B6": "Excavator 8", "B7": "Road tractor 52", "H42": 0.22},
    "Match": {"C4": "Wheel loader 9", "C5": "Tandem dump 58"},
    "Options": {"B8": 345, "A15": "Light bar", "B15": 18},
    "Machines": dict(
        zip(
            (f"{letter}15" for letter in "ABCDEFGHIJKLM"),
            ("Trencher 12", "Marrstead", "wheels", 11_900, 88, 47, 12, 44, 20, 60, 14, 84, 98),
            strict=True,
        )
    ),
    "Trucks": {"A10": "Yard truck", "B10": "Pellaway", "C10": "pintle", "D10": 33_000, "E10": 56_000},
    "Incoming": {
        f"{letter}{row}": value
        for row, values in enumerate(
            (("Stock no.", "Make", "Price"), ("1104", "Brenmoor", 12_600), ("1142", "Tindrel", 17_300)), start=4
        )
        for letter, value in zip("ABC", values, strict=True)
    },
    OWN_SHEET: {
        "A1": "Sales board",
        "A3": "Status",
        "B3": "Trailers",
        "C3": "Asking",
        **{f"A{row}": status for row, status in enumerate(("on lot", "on order", "reserved", "sold"), start=4)},
        **{f"B{row}": f"=COUNTIF(Lot[Status];A{row})" for row in range(4, 8)},
        **{f"C{row}": f"=SUMIF(Lot[Status];A{row};Lot[Price])" for row in range(4, 8)},
        "A9": "Average payload",
        "B9": "=AVERAGE(Lot[Payload (lb)])",
        "A10": "Heaviest GVWR",
        "B10": "=MAX($Lot.$T$5:$T$31)",
        "A11": "First on the list",
        "B11": "=$Lot.A5",
        "A12": "With our discount",
        "B12": "=SUM(Lot[Price])*(1-Discount)",
        "D12": 0.03,
    },
}


def main() -> int:
    """Make the lot, never over one that is there."""
    if TARGET.exists():
        print(f"{TARGET.name} is kept as it is and never made again", file=sys.stderr)
        return 2
    pipe = f"kept-lot-{uuid.uuid4().hex}"
    with tempfile.TemporaryDirectory() as profile:
        office = subprocess.Popen(
            ["soffice", "--headless", "--norestore", "--nologo", f"--accept=pipe,name={pipe};urp;"]
            + [f"-env:UserInstallation={Path(profile).as_uri()}"]
        )
        try:
            desktop = connect(pipe)
            book = desktop.loadComponentFromURL(DEMO.as_uri(), "_blank", 0, properties(Hidden=True))
            change(book)
            book.calculateAll()
            book.storeToURL(TARGET.as_uri(), properties(FilterName="Calc MS Excel 2007 XML"))
            book.close(True)
            desktop.terminate()
        finally:
            office.wait(60)
    return 0


def properties(**values: Any) -> tuple[Any, ...]:
    """The values as UNO property values."""
    return tuple(PropertyValue(name, 0, value, 0) for name, value in values.items())


def connect(pipe: str) -> Any:
    """The desktop of the office that listens there, when it is up."""
    context = uno.getComponentContext()
    resolver = context.ServiceManager.createInstanceWithContext("com.sun.star.bridge.UnoUrlResolver", context)
    for _ in range(600):
        try:
            remote = resolver.resolve(f"uno:pipe,name={pipe};urp;StarOffice.ComponentContext")
        except NoConnectException:
            time.sleep(0.1)
            continue
        return remote.ServiceManager.createInstanceWithContext("com.sun.star.frame.Desktop", remote)
    raise TimeoutError("LibreOffice did not start")


def change(book: Any) -> None:
    """All changes, in the order in which the person made them."""
    lot = book.Sheets.getByName("Lot")
    insert_column(lot)
    delete_trailers(lot)
    sort(lot)
    book.Sheets.insertNewByName(OWN_SHEET, 2)
    discount(book)
    for name, cells in TYPED.items():
        for cell, value in cells.items():
            enter(book.Sheets.getByName(name).getCellRangeByName(cell), value)
    lot.getCellRangeByName("N8").setValue(15_000)  # a payload typed over
    add_notes(lot)
    change_looks(book, lot)
    add_chart(book.Sheets.getByName(OWN_SHEET))


def enter(cell: Any, value: Any) -> None:
    """Type a value or, in Calc's own syntax, a formula."""
    if isinstance(value, str) and value.startswith("="):
        cell.setFormula(value)
    elif isinstance(value, str):
        cell.setString(value)
    else:
        cell.setValue(value)


def insert_column(lot: Any) -> None:
    """An own column inside the Lot's table."""
    lot.Columns.insertByIndex(OWN_AT, 1)
    lot.getCellByPosition(OWN_AT, 3).setString("Where it stands")
    lot.Columns.getByIndex(OWN_AT).Width = 3_000  # 1/100 mm


def delete_trailers(lot: Any) -> None:
    """Delete three trailers' rows."""
    for row in range(LAST_TRAILER, FIRST - 1, -1):
        if lot.getCellRangeByName(f"A{row}").getString() in DELETED:
            lot.Rows.removeByIndex(row - 1, 1)


def sort(lot: Any) -> None:
    """Sort the trailers by make, then by model, as Data, Sort does."""
    block = lot.getCellRangeByName(f"A{FIRST}:BY{LAST_TRAILER - len(DELETED)}")
    keys = tuple(TableSortField(Field=at, IsAscending=True, IsCaseSensitive=False) for at in (2, 3))
    fields = uno.Any("[]com.sun.star.table.TableSortField", keys)
    block.sort(properties(SortFields=fields, ContainsHeader=False, IsSortColumns=False))


def discount(book: Any) -> None:
    """A name of the person's own."""
    sheet = book.Sheets.getByName(OWN_SHEET)
    origin = sheet.getCellRangeByName("A1").getCellAddress()
    book.NamedRanges.addNewByName("Discount", f"$'{OWN_SHEET}'.$D$12", origin, 0)


def add_notes(lot: Any) -> None:
    """Two comments on cells of the Lot."""
    for cell, text in (("A9", "Needs a new jack before it goes."), ("K12", "Price agreed on the phone.")):
        lot.Annotations.insertNew(lot.getCellRangeByName(cell).getCellAddress(), text)


def change_looks(book: Any, lot: Any) -> None:
    """Colors, a number format, widths and what is printed."""
    for cell, color in (("A9", YELLOW), ("D9", YELLOW), ("I14", GREEN), ("N8", YELLOW)):
        lot.getCellRangeByName(cell).CellBackColor = color
    dollars = book.NumberFormats.addNew('"$"#,##0', uno.createUnoStruct("com.sun.star.lang.Locale", "en", "US", ""))
    lot.getCellRangeByName("K5:K31").NumberFormat = dollars
    lot.Columns.getByName("D").Width = 3_600
    lot.Rows.getByIndex(8).Height = 900
    lot.setPrintAreas((CellRangeAddress(lot.RangeAddress.Sheet, 0, 0, 13, 30),))
    page = book.StyleFamilies.getByName("PageStyles").getByName(lot.PageStyle)
    page.LeftMargin = 600


def add_chart(sheet: Any) -> None:
    """A column chart of the asking prices."""
    block = sheet.getCellRangeByName("A3:A7").RangeAddress, sheet.getCellRangeByName("C3:C7").RangeAddress
    sheet.Charts.addNewByName("Asking", Rectangle(500, 7_000, 12_000, 7_000), block, True, True)


if __name__ == "__main__":
    sys.exit(main())
