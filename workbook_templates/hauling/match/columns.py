"""The columns and cells of the Match sheet, which its formulas and its results in Python both name."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache

from openpyxl.utils import get_column_letter

from tarelot.calc.rules.hauling import behind, without_trailer
from tarelot.workbook_templates.basis import style
from tarelot.workbook_templates.basis.references import LOWEST_ROW
from tarelot.workbook_templates.hauling import asked
from tarelot.workbook_templates.hauling.what_if import rows as what_if_rows
from tarelot.workbook_templates.hauling.what_if.rows import MACHINE, TRAILER, TRUCK, choice_key

SHEET = TABLE = "Match"
CHOICES = {MACHINE: "$C$4", TRUCK: "$C$5"}
FOUND = {MACHINE: "$E$4", TRUCK: "$E$5"}
SHOW_CELL, ORDER_CELL = "$C$6", "$C$7"
ANSWER, ROOM = "$E$6", "$E$7"
BAND_ROW, HEADING_ROW, FIRST_ROW = 10, 11, 12
SPARE_ROWS = 20
FURTHEST_ROW = LOWEST_ROW
"""Down to which the columns in sight look, so that the table may grow; they name cells of their own sheet only, since
programs write a formula that names a table out in every cell, and take long to read all of them."""
TRAILER_FIGURES = tuple(what_if_rows.members(TRAILER))
MACHINE_FIGURES, TRUCK_FIGURES = (tuple(what_if_rows.members(group)) for group in (MACHINE, TRUCK))


@dataclass(frozen=True)
class Column:
    """A column: its key in the formulas, its heading, its number format by name and its width."""

    key: str
    heading: str
    kind: str = "text"
    width: float = 10


LISTED = (
    Column("line", "Lot row", "whole", 9),
    Column("stock", "Stock no.", width=10),
    Column("trailer", "Trailer", width=22),
    Column("status", "Status", width=10),
    Column("word", "Carries it?", width=12),
    Column("spare", "Spare weight ({weight})", "figure", 10),
    Column("why", "Why not", "words", 90),
    Column("enough_said", "What would be enough", "words", 60),
    Column("lacking", "Missing", "words", 60),
    Column("minded", "Cautions", "words", 60),
)


def shown(key: str) -> str:
    """The key of the column in sight that shows this one, in the order asked for."""
    return f"shown {key}"


SHOWN = tuple(replace(column, key=shown(column.key)) for column in LISTED)
"""The columns in sight: trailers that are asked for, in the order asked for."""
FOUND_IN_ROW = tuple(
    replace(column, heading=f"{column.key} of row", width=10, kind=column.kind.replace("words", "text"))
    for column in LISTED
)
"""The same of each row of the Lot, in its order, with the figures behind them."""
CHOICE_KEYS = ("place", "stands", "direction", "permit", "ramp_lift")
"""Cells above the table that are blank: Match asks for the proposed place, forward, without stands and permit."""
OF_MACHINE_AND_TRUCK = tuple(without_trailer(*asked.SAID))
"""Cells of the rules that are the same for every trailer."""
OF_TRAILER = {key: said for key, said in behind(*asked.SAID).items() if key not in OF_MACHINE_AND_TRUCK}
WRITTEN_IN = (
    "trailer_chosen",
    "broken_most",
    "not_asked",
    "pin_greatest_by",
    "pin_least_by",
    "broken_5",
    "broken_6",
    "broken",
    "missing_machine_2",
    "missing_trailer_2",
    "missing_truck_1",
    "missing",
    "cautions_1",
    "cautions_2",
    "cautions",
)
"""Cells of a row without a column: the one formula or the few that read them hold theirs. Each stands behind those that
it reads. What MIN, MAX and COUNT read has a column: they take a text in a cell otherwise than one worked out."""
WORKED = tuple(Column(key, f"{key.replace('_', ' ')} of row", "number") for key in OF_TRAILER if key not in WRITTEN_IN)
"""No heading is that of a column in sight, in any case of letters: programs refuse a table with two of one name."""
READ = set().union(*(expression.keys() for expression in OF_TRAILER.values()))
"""Keys that the rules read in each row."""
LIMITS_READ = tuple(sorted(key for key in READ if key.startswith("limit_")))
"""Limits of the Limits sheet that stand above the table too, for the same reason as :data:`FURTHEST_ROW`."""
PULLED = tuple(
    Column(figure.key, figure.heading, {"text": "text", "share": "share"}.get(figure.kind, "number"))
    for figure in TRAILER_FIGURES
    if figure.key in READ
)
ASKED = (
    Column("row", "Row on the Lot", "whole"),
    Column("there", "Filled", "whole"),
    Column("price", "Price of row", "number"),
    Column("sort_figure", "sort figure", "number"),
    Column("asked", "Asked", "whole"),
    Column("trailer_doubt", "Entry check of the Lot"),
)
COLUMNS = (*SHOWN, *FOUND_IN_ROW, *ASKED, *PULLED, *WORKED)
RANGES = (*(column.key for column in LISTED), "asked", "there", "sort_figure")
"""Columns that are read as a whole."""
LETTERS = {column.key: get_column_letter(place) for place, column in enumerate(COLUMNS, 1)}
FORMATS = {
    "text": "General",
    "words": "General",
    "whole": "0",
    "figure": style.FIGURE,
    "share": style.SHARE,
    "number": style.FIGURE,
}
# The chosen machine and truck, each a row of cells above the worked columns: labels, and below them the figures.
GROUP_ROWS = {MACHINE: 4, TRUCK: 8}
FIRST_FIGURE = len(SHOWN) + 1
EXTRA = {
    MACHINE: (choice_key(MACHINE), "machine_doubt", "machine_chosen", *CHOICE_KEYS, *LIMITS_READ),
    TRUCK: (choice_key(TRUCK), "truck_doubt", "truck_chosen", *OF_MACHINE_AND_TRUCK),
}


@cache
def top_cells() -> dict[str, str]:
    """The cells of the chosen machine and truck, by the figure's key; ``row of``, ``missing`` and others by group."""
    cells: dict[str, str] = {}
    for group, figures in ((MACHINE, MACHINE_FIGURES), (TRUCK, TRUCK_FIGURES)):
        keys = [f"row of {group}", *(figure.key for figure in figures), *EXTRA[group]]
        cells |= {
            key: f"${get_column_letter(place)}${GROUP_ROWS[group]}" for place, key in enumerate(keys, FIRST_FIGURE)
        }
    return cells


def heading_of(key: str) -> str:
    """The heading of a column that holds no unit."""
    return next(column.heading for column in COLUMNS if column.key == key)
