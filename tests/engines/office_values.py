"""Cells of an open workbook as the tests name them; used by office_server.py under LibreOffice's own Python."""

from __future__ import annotations

from typing import Any

from com.sun.star.sheet.DataPilotFieldOrientation import ROW
from com.sun.star.sheet.FormulaResult import ERROR as ERROR_RESULT

ERRORS = "Errors asked for"

# com.sun.star.sheet.XCell.getError: the codes that have a name of their own in a cell. Every other code is an internal
# one (a parse error, a circular reference) and is reported as Calc shows it, such as `Err:522`.
ERROR_NAMES = {
    502: "Err:502",
    503: "#NUM!",
    519: "#VALUE!",
    521: "#NULL!",
    524: "#REF!",
    525: "#NAME?",
    532: "#DIV/0!",
    32767: "#N/A",
}


def error_name(code: int) -> str:
    """How Calc shows an error of this code."""
    return ERROR_NAMES.get(code, f"Err:{code}")


def range_values(cells: Any) -> list[list[Any]]:
    """Values of a range of cells: numbers, text, `""` for an empty one and errors by their name."""
    values = [list(row) for row in cells.getDataArray()]
    for row, column in error_places(cells):
        values[row][column] = error_name(cells.getCellByPosition(column, row).getError())
    return values


def error_places(cells: Any) -> list[tuple[int, int]]:
    """Row and column, within a range, of each of its cells that shows an error."""
    origin = cells.getRangeAddress()
    return [
        (row - origin.StartRow, column - origin.StartColumn)
        for area in cells.queryFormulaCells(ERROR_RESULT).getRangeAddresses()
        for row in range(area.StartRow, area.EndRow + 1)
        for column in range(area.StartColumn, area.EndColumn + 1)
    ]


def range_values_at_once(document: Any, cells: Any) -> list[list[Any]]:
    """As `range_values`, in few calls whatever the number of errors: a call for each takes a millisecond or two.

    Calc itself is asked: ERRORTYPE, which gives the code of `getError`, of each cell that shows an error, on a sheet
    put in for it. For documents that are not stored afterwards and whose steps nobody undoes.
    """
    values = [list(row) for row in cells.getDataArray()]
    places = error_places(cells)
    if not places:
        return values
    origin = cells.getRangeAddress()
    sheet = cells.Spreadsheet.Name.replace("'", "''")
    names = [f"{column_letters(origin.StartColumn + c)}{origin.StartRow + r + 1}" for r, c in places]
    document.Sheets.insertNewByName(ERRORS, document.Sheets.Count)
    asked = document.Sheets.getByName(ERRORS).getCellRangeByPosition(0, 0, 0, len(places) - 1)
    asked.setFormulaArray([[f"=ERRORTYPE($'{sheet}'.{name})"] for name in names])
    for (row, column), [code] in zip(places, asked.getDataArray(), strict=True):
        values[row][column] = error_name(int(code))
    document.Sheets.removeByName(ERRORS)
    return values


def column_letters(index: int) -> str:
    """The letters of a column, of which the first has the index 0."""
    letters = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


def cell_place(address: str) -> tuple[int, int]:
    """Row and column of a cell such as `$B$12`, from 0 on."""
    name = address.replace("$", "")
    letters = name.rstrip("0123456789")
    column = 0
    for letter in letters:
        column = 26 * column + ord(letter) - ord("A") + 1
    return int(name[len(letters) :]) - 1, column - 1


def used_cells(sheet: Any) -> Any:
    """The range from A1 to the last used cell of a sheet."""
    cursor = sheet.createCursor()
    cursor.gotoEndOfUsedArea(False)
    end = cursor.getRangeAddress()
    return sheet.getCellRangeByPosition(0, 0, end.EndColumn, end.EndRow)


def set_cell(cell: Any, value: Any) -> None:
    """Put a value as a person would type it: None clears, text that begins with `=` is a formula in Calc's syntax."""
    if value is None:
        cell.setFormula("")
    elif isinstance(value, str) and value.startswith("="):
        cell.setFormula(value)
    elif isinstance(value, str):
        cell.setString(value)
    elif isinstance(value, bool):
        cell.setFormula("=TRUE()" if value else "=FALSE()")
    else:
        cell.setValue(value)


def values_of(document: Any, reads: list[str]) -> list[Any]:
    """Values of some cells, sheet by sheet: a call for each cell takes most of a test's time."""
    found: dict[str, Any] = {}
    for name in dict.fromkeys(address.rpartition("!")[0] for address in reads):
        sheet = document.Sheets.getByName(name)
        wanted = [address for address in reads if address.rpartition("!")[0] == name]
        places = {address: cell_place(address.rpartition("!")[2]) for address in wanted}
        rows, columns = ([place[side] for place in places.values()] for side in (0, 1))
        box = sheet.getCellRangeByPosition(min(columns), min(rows), max(columns), max(rows))
        data, errors = box.getDataArray(), set(error_places(box))
        for address, place in places.items():
            row, column = place[0] - min(rows), place[1] - min(columns)
            is_error = (row, column) in errors
            code = box.getCellByPosition(column, row).getError() if is_error else 0
            found[address] = error_name(code) if is_error else data[row][column]
    return [found[address] for address in reads]


def add_pivot(source: Any, target: Any) -> None:
    """Count the rows of a range by its first column, in a pivot table that stands from a cell on."""
    tables = target.Spreadsheet.DataPilotTables
    made = tables.createDataPilotDescriptor()
    made.setSourceRange(source.getRangeAddress())
    made.DataPilotFields.getByIndex(0).Orientation = ROW
    tables.insertNewByName("Pivot", target.getCellAddress(), made)


def move(source: Any, target: Any) -> None:
    """Cut some cells and paste them from another one on."""
    source.Spreadsheet.moveRange(target.getCellAddress(), source.getRangeAddress())


FROM_TO = {"pivot": add_pivot, "move": move}
"""What is done with a range and a first cell."""
