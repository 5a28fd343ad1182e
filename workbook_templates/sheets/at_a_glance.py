"""The lot at a glance, below what Start explains: trailers and prices by status, days on the lot, what is wrong most.

Days are counted to a date that is typed, else to the latest one under Received: no cell of ours changes by itself from
one day to the next.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache

from openpyxl.chart import BarChart, Reference
from openpyxl.chart.shapes import GraphicalProperties
from openpyxl.drawing.line import LineProperties
from openpyxl.drawing.text import CharacterProperties, ParagraphProperties
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.hyperlink import Hyperlink
from openpyxl.worksheet.pagebreak import Break
from openpyxl.worksheet.worksheet import Worksheet

from tarelot.calc.cells.expression import Cell, Expression, Range, formula, lift
from tarelot.calc.cells.spreadsheet import COUNTIF, IF, IFERROR, INT, MAX, SUM, SUMPRODUCT, N
from tarelot.calc.cells.worked_out import WorkedOut
from tarelot.calc.checks import split_unit
from tarelot.workbook_templates.basis import style
from tarelot.workbook_templates.basis.asked_of_programs import LastWhere
from tarelot.workbook_templates.basis.references import Places, table_column
from tarelot.workbook_templates.basis.units import US, Units
from tarelot.workbook_templates.lot.columns import COLUMNS, ON_LOT, STATUSES, TABLE, check_headings
from tarelot.workbook_templates.lot.entries import FIRST_DAY
from tarelot.workbook_templates.lot.results import as_in_cell
from tarelot.workbook_templates.lot.written import CONFLICT
from tarelot.workbook_templates.sheets import start

FIRST_ROW = 41
"""Of the heading; a person's own formulas may read the cells below it."""
DATE = f"$C${FIRST_ROW + 1}"
STATUS_ROW, AGE_ROW, CHECK_ROW = FIRST_ROW + 4, FIRST_ROW + 12, FIRST_ROW + 21
"""The first rows of the three tables, below their headings."""
COUNTED_TO = f"C{FIRST_ROW + 2}"
"""Where the day is shown to which days are counted; blank where there is none."""
NOTICE = f"D{FIRST_ROW + 2}"
"""Where it is said what is wrong with the day."""
HELPER = "N"
"""Hidden: the day counted to and the search for the earliest date on the lot, a row a halving."""
HALVINGS = 16
DAY_BEFORE_ANY = FIRST_DAY - 1
"""No date of a trailer is earlier than the day after."""
AGES = (
    ("up to 30 days", 0, 31),
    ("31 to 90 days", 31, 91),
    ("91 to 180 days", 91, 181),
    ("more than 180 days", 181, 9e9),
)
"""How long, from so many days on and below so many."""
UNREADABLE = "?"
"""Where a cell of the Lot holds an error: Entry check names it."""
_STATUS, _PRICE, _RECEIVED = Range("status"), Range("price"), Range("received")
_AS_OF, _OLDEST = Cell("as_of"), Cell("oldest")


def _has(status: str) -> Expression:
    return _STATUS.equals(status)


def _came(least: Expression | float, below: Expression | float) -> Expression:
    """Which are on the lot and were received from one day on and before another."""
    return _has(ON_LOT) * (least <= _RECEIVED) * (below > _RECEIVED) * (_RECEIVED > DAY_BEFORE_ANY)


def _since(least: Expression | float, below: Expression | float) -> Expression:
    """How many of those there are."""
    return SUMPRODUCT(_came(least, below))


def checks() -> list[str]:
    """The name of each check of the Lot."""
    return [split_unit(heading)[0] for heading in check_headings(US)]


@cache
def expressions() -> dict[str, Expression]:
    """What each cell says by its place, over columns of the Lot and other cells of these by key."""
    found = {**_of_statuses(), **_of_day(), **_of_ages(), **_of_checks()}
    return {key: IFERROR(said, UNREADABLE) for key, said in found.items()}


def _of_statuses() -> dict[str, Expression]:
    """How many trailers of each status, and their prices together; 1 is none: LibreOffice makes it of TRUE."""
    found: dict[str, Expression] = {}
    for row, status in enumerate(STATUSES, STATUS_ROW):
        found[f"C{row}"] = COUNTIF(_STATUS, status)
        found[f"D{row}"] = SUMPRODUCT(_has(status) * (_PRICE > 0) * _PRICE.differs(1), _PRICE)
    others = COUNTIF(Range("stock_text"), "?*") - SUM(*(Cell(key) for key in found if key[0] == "C"))
    return found | {f"C{STATUS_ROW + len(STATUSES)}": others}


def _of_day() -> dict[str, Expression]:
    """The day to which days are counted, what is wrong with it, and the earliest date of a trailer on the lot."""
    typed = Cell("typed_date")
    later = _since(_AS_OF + 1, 9e9)
    found = {
        "as_of": IF(N(typed) > DAY_BEFORE_ANY, N(typed), MAX(_RECEIVED)),
        COUNTED_TO: IF(_AS_OF > DAY_BEFORE_ANY, _AS_OF, ""),
        NOTICE: IF(
            typed.differs("") * (N(typed) <= DAY_BEFORE_ANY) > 0,
            f"{CONFLICT} this is not a date: the latest one under Received is used",
            IF(later > 0, f"{CONFLICT} received after that day, and left out: " & later, ""),
        ),
    }
    place: Expression = lift(DAY_BEFORE_ANY)
    for number in range(HALVINGS):
        step = 2 ** (HALVINGS - 1 - number)
        none = _since(0, place + step + 1).equals(0)
        found[f"halving {number}"] = place + IF(none, step, 0)
        place = Cell(f"halving {number}")
    return found | {"oldest": IF(_since(0, 9e9) > 0, place + 1, "")}


def _of_ages() -> dict[str, Expression]:
    """How many stand on the lot how long, on average, and the longest."""
    dated, counted = _since(0, 9e9), _since(0, _AS_OF + 1)
    found = {
        f"C{row}": _since(_AS_OF - (below - 1), _AS_OF - (least - 1))
        for row, (_, least, below) in enumerate(AGES, AGE_ROW)
    }
    row = AGE_ROW + len(AGES)
    days = SUMPRODUCT(_has(ON_LOT) * (_RECEIVED > DAY_BEFORE_ANY) * (_RECEIVED < _AS_OF + 1), _RECEIVED)
    return found | {
        f"C{row}": COUNTIF(_STATUS, ON_LOT) - dated,
        f"C{row + 1}": IF(counted > 0, INT(_AS_OF - days / counted), ""),
        f"C{row + 2}": IF(counted > 0, _AS_OF - _OLDEST, ""),
        f"D{row + 2}": IF(counted > 0, _OLDEST, ""),
        f"E{row + 2}": IF(counted > 0, _named_oldest(), ""),
    }


def _named_oldest() -> Expression:
    """The stock number of the trailer that stands longest, and how many came on that very day too."""
    that_day = (_OLDEST, _OLDEST + 1)
    more = _since(*that_day) - 1
    stock = LastWhere(_came(*that_day), Range("stock_text"))
    return (
        lift("stock no. ")
        & IF(stock.equals(""), "not stated", stock)
        & IF(more > 0, lift(" and ") & more & " more", "")
    )


def _of_checks() -> dict[str, Expression]:
    """For each check how many trailers fail it, how many cannot be asked, and which of them is the most frequent."""
    found: dict[str, Expression] = {}
    rows = range(CHECK_ROW, CHECK_ROW + len(checks()))
    for row, name in zip(rows, checks(), strict=True):
        found[f"C{row}"] = COUNTIF(Range("what_conflicts"), f"*{name}*")
        found[f"D{row}"] = COUNTIF(Range("not_checked"), f"*{name}*")
    for letter in "CD":
        found[f"most {letter}"] = MAX(1, *(Cell(f"{letter}{row}") for row in rows))
    for row in rows:
        conflicts, missing = (Cell(f"{letter}{row}").equals(Cell(f"most {letter}")) for letter in "CD")
        both = IF(missing, "most conflicts, missing most", "most conflicts")
        found[f"E{row}"] = IF(conflicts, both, IF(missing, "missing most", ""))
    return found


def _helpers() -> dict[str, str]:
    """The hidden cells by key."""
    keys = ("as_of", *(f"halving {number}" for number in range(HALVINGS)), "oldest", "most C", "most D")
    return {key: f"${HELPER}${row}" for row, key in enumerate(keys, FIRST_ROW)}


@cache
def cells() -> dict[str, str]:
    """The cell of each result, by key."""
    helpers = _helpers()
    return {key: helpers.get(key, f"${key[0]}${key[1:]}") for key in expressions()}


@cache
def formulas(units: Units) -> dict[str, str]:
    """The formula of each cell, without ``=``."""
    columns = {column.key: table_column(TABLE, units.heading(column.heading)) for column in COLUMNS}
    places = Places(columns | cells() | {"typed_date": DATE})
    return {cells()[key].replace("$", ""): formula(said, places) for key, said in expressions().items()}


def stored(rows: Sequence[Mapping[str, object]], units: Units, date: object = None) -> dict[str, float | str]:
    """What each cell comes to, from inputs and results of the Lot together by heading.

    Args:
        rows: The rows of the Lot.
        units: The workbook's units.
        date: The date typed, as a spreadsheet's number of the day.
    """
    read: set[str] = set().union(*(said.keys() for said in expressions().values()))
    headings = {column.key: units.heading(column.heading) for column in COLUMNS if column.key in read}
    columns = {key: [as_in_cell(row.get(heading)) for row in rows] for key, heading in headings.items()}
    found = WorkedOut({**columns, "typed_date": date}, expressions())
    return {cells()[key].replace("$", ""): found[key] for key in expressions()}  # type: ignore[misc]


def write(sheet: Worksheet, units: Units) -> None:
    """Write the tables onto Start, below what it explains."""
    heading = sheet.cell(FIRST_ROW, 2, "The lot at a glance")
    heading.font = style.font(size=13, bold=True, color=style.GLANCE_BAND.band)
    link = sheet["G5"]
    link.value = "At a glance ›"
    link.hyperlink = Hyperlink(
        link.coordinate, location=f"'{start.SHEET}'!B{FIRST_ROW}", tooltip="Further down this sheet"
    )
    link.font, link.alignment = style.font(bold=True, color=style.GLANCE_BAND.band), style.LEFT
    _write_date(sheet)
    _write_table(sheet, STATUS_ROW, ("Status", "Trailers", "Total price"), (*STATUSES, "another, or none"))
    ages = (*(name for name, _, _ in AGES), "no date received", "average days", "oldest: days, and since")
    _write_table(sheet, AGE_ROW, ("On the lot for", "Trailers", ""), ages)
    _write_table(sheet, CHECK_ROW, ("Check", "Conflicts", "Not checked", ""), checks())
    for place, text in formulas(units).items():
        sheet[place] = f"={text}"
    for row in range(STATUS_ROW, STATUS_ROW + len(STATUSES)):
        sheet[f"D{row}"].number_format = "#,##0"
    since, named = (sheet[f"{letter}{AGE_ROW + len(AGES) + 2}"] for letter in "DE")
    since.number_format, named.font, named.alignment = style.DATE, style.font(size=10), style.LEFT
    sheet.column_dimensions[HELPER].hidden = True
    _add_chart(sheet)
    last = CHECK_ROW + len(checks())
    sheet.print_area = f"A1:G{last}"
    sheet.row_breaks.append(Break(id=FIRST_ROW - 1))


def _write_date(sheet: Worksheet) -> None:
    """The cell for the date to which days are counted."""
    label, cell, hint = sheet.cell(FIRST_ROW + 1, 2), sheet[DATE.replace("$", "")], sheet.cell(FIRST_ROW + 1, 4)
    label.value, label.font, label.alignment = "Days are counted to", style.font(size=11), style.LEFT
    cell.number_format, cell.alignment, cell.font = style.DATE, style.LEFT, style.font(size=11)
    hint.value = "Type today's date; left blank, it is the latest date under Received."
    hint.font, hint.alignment = style.font(size=9, color=style.QUIET), style.LEFT
    counted, day, notice = sheet.cell(FIRST_ROW + 2, 2), sheet[COUNTED_TO], sheet[NOTICE]
    counted.value, counted.font, counted.alignment = "that is", style.font(size=9, color=style.QUIET), style.LEFT
    day.number_format, day.alignment, day.font = style.DATE, style.LEFT, style.font(size=9, color=style.QUIET)
    notice.font, notice.alignment = style.font(size=9, bold=True, color=style.CONFLICT_INK), style.LEFT
    style.cream(sheet, cell.coordinate)
    rule = DataValidation(type="date", operator="greaterThan", formula1=str(DAY_BEFORE_ANY), allow_blank=True)
    asks = ("Date", "The day to which days on the lot are counted.")
    style.entry_rule(sheet, rule, cell.coordinate, "A date from 1980 on is needed.", asks)


def _write_table(sheet: Worksheet, first: int, headings: Sequence[str], names: Sequence[str]) -> None:
    """One table: its headings and the names of its rows."""
    for place, text in enumerate(headings, 2):
        cell = sheet.cell(first - 1, place, text or None)
        cell.fill, cell.font = style.fill(style.GLANCE_BAND.heading), style.font(size=10, bold=True)
        cell.alignment = style.LEFT if place == 2 else style.RIGHT
    for row, name in enumerate(names, first):
        for place in range(2, 2 + len(headings)):
            cell = sheet.cell(row, place, name if place == 2 else None)
            cell.font, cell.border = style.font(size=10), style.HAIRLINE
            cell.alignment = style.LEFT if place in (2, 5) else style.RIGHT


def _add_chart(sheet: Worksheet) -> None:
    """How long those on the lot stand there."""
    chart = BarChart()
    chart.type, chart.style, chart.legend = "bar", 10, None
    chart.title = "Trailers on the lot, by days"
    size = CharacterProperties(sz=1100, b=True)
    chart.title.tx.rich.p[0].pPr = ParagraphProperties(defRPr=size)
    chart.title.tx.rich.p[0].r[0].rPr = size
    chart.graphical_properties = GraphicalProperties(ln=LineProperties(noFill=True))
    chart.add_data(Reference(sheet, min_col=3, min_row=AGE_ROW, max_row=AGE_ROW + len(AGES) - 1))
    chart.set_categories(Reference(sheet, min_col=2, min_row=AGE_ROW, max_row=AGE_ROW + len(AGES) - 1))
    chart.series[0].graphicalProperties.solidFill = style.GLANCE_BAND.band
    chart.y_axis.delete = chart.x_axis.delete = False
    chart.y_axis.majorGridlines, chart.y_axis.number_format = None, "0"
    chart.x_axis.scaling.orientation = "maxMin"
    chart.width, chart.height = 10.8, 6.8
    sheet.add_chart(chart, f"E{STATUS_ROW - 1}")
