"""The columns and cells of the Match sheet, which its formulas and its results in Python both name."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from openpyxl.utils import get_column_letter

from tarelot.workbook_templates.basis import style
from tarelot.workbook_templates.hauling.what_if import rows as what_if_rows
from tarelot.workbook_templates.hauling.what_if.rows import MACHINE, TRAILER, TRUCK, Figure

SHEET = TABLE = "Match"
CHOICES = {MACHINE: "$C$4", TRUCK: "$C$5"}
FOUND = {MACHINE: "$E$4", TRUCK: "$E$5"}
ANSWER, ROOM = "$C$6", "$C$7"
BAND_ROW, HEADING_ROW, FIRST_ROW = 10, 11, 12
SPARE_ROWS = 20
OUT_OF_RANGE = "a figure is out of range: see its Lot row"
CARRIES, MISSING, CHECK = "carries", "figures missing: ", "check on What-if"
OK = "ok"
NAMED = 2
"""How many missing figures a verdict names; the column of those missing names them all."""
TRAILER_FIGURES = tuple(what_if_rows.members(TRAILER))
MACHINE_FIGURES, TRUCK_FIGURES = (tuple(what_if_rows.members(group)) for group in (MACHINE, TRUCK))
LIMIT = Figure("gross_limit", TRAILER, "Gross limit ({weight})")


@dataclass(frozen=True)
class Column:
    """A column: its key in the formulas, its heading, its number format by name and its width."""

    key: str
    heading: str
    kind: str = "text"
    width: float = 10


SHOWN = (
    Column("line", "Lot row", "whole", 6),
    Column("stock", "Stock no.", width=10),
    Column("trailer", "Trailer", width=22),
    Column("status", "Status", width=10),
    Column("verdict", "Verdict", width=58),
    Column("spare", "Spare weight ({weight})", "figure", 10),
    Column("payload", "Payload", width=22),
    Column("place", "Where it sits", width=38),
    Column("size", "Size", width=32),
    Column("drive_on", "Drive-on", width=34),
    Column("ties", "Tie-downs", width=26),
    Column("truck", "Truck", width=34),
    Column("missing", "Figures missing", width=40),
)
BELOW = {"verdicts": "verdict", "all asked": "asked", "lines": "line"}
"""Columns that the words above the table count, by the key under which they are read."""
TESTS = ("payload", "place", "size", "drive_on", "ties", "truck")
PULLED = tuple(
    Column(figure.key, figure.heading, {"text": "text", "share": "share"}.get(figure.kind, "number"))
    for figure in (*TRAILER_FIGURES, LIMIT)
)
WORKED = (
    Column("tail_drop_or_0", "Tail drop or 0", "number"),
    Column("tail_length_or_0", "Tail length or 0", "number"),
    Column("foremost", "Foremost from coupler ({long})", "place"),
    Column("rearmost", "Rearmost from coupler ({long})", "place"),
    Column("band_from", "Center from ({long})", "place"),
    Column("band_to", "Center to ({long})", "place"),
    Column("center", "Center at, mid band ({long})", "place"),
    Column("pin", "Pin weight, mid band ({weight})", "figure"),
    Column("pin_share", "Pin share", "share"),
    Column("truck_limit", "Truck may pull ({weight})", "figure"),
    Column("truck_by", "Truck limited by"),
    Column("front_change", "Front axle change ({weight})", "figure"),
    Column("foot", "Angle at the foot (deg)", "angle"),
    Column("ramp_top", "Break at ramp top (deg)", "angle"),
    Column("tail_top", "Break at tail top (deg)", "angle"),
    Column("at_least", "Gap at least ({short})", "gap"),
    Column("at_most", "Gap at most ({short})", "gap"),
)
ASKED = (Column("row", "Row on the Lot", "whole"), Column("asked", "Asked", "whole"))
COLUMNS = (*SHOWN, *ASKED, *PULLED, *WORKED)
LETTERS = {column.key: get_column_letter(place) for place, column in enumerate(COLUMNS, 1)}
FORMATS = {
    "text": "General",
    "whole": "0",
    "figure": style.FIGURE,
    "share": style.SHARE,
    "number": style.FIGURE,
    "place": "0.00",
    "angle": style.ANGLE,
    "gap": "0.0",
}
# The chosen machine and truck, each a row of cells above the worked columns: labels, and below them the figures.
GROUP_ROWS = {MACHINE: 4, TRUCK: 8}
FIRST_FIGURE = len(SHOWN) + 1
EXTRA = {MACHINE: ("Machine missing", "tie_downs"), TRUCK: ("Truck missing", "truck_empty")}


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


def label(figure: Figure) -> str:
    """A figure's name in a list of what is missing."""
    name = figure.heading.partition(" (")[0]
    if figure.group == TRAILER:
        return name
    return f"{figure.group.lower()}'s {name if name.isupper() else name[0].lower() + name[1:]}"
