"""The Match sheet: every trailer of the lot against one machine and one truck, a verdict a row. Plain formulas only.

``COLUMNS`` holds the row's results in the order in which they read each other; ``match_results`` calculates the same in
Python. The drive-on is judged by bounds that never call a hang-up safe; between them What-if decides.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from openpyxl.formatting.rule import Rule
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.table import Table
from openpyxl.worksheet.worksheet import Worksheet

from addin.formulas import Call, Cell, cell_formula, text

from . import columns, lot, machines, style, trucks, what_if_rows
from .references import table_column
from .units import Units
from .what_if_answers import TALL_IN, TIGHT_IN
from .what_if_rows import CHOICE_CELLS, MACHINE, TRAILER, TRUCK, Figure

SHEET = TABLE = "Match"
CHOICES = {MACHINE: "$C$4", TRUCK: "$C$5"}
FOUND = {MACHINE: "$E$4", TRUCK: "$E$5"}
ANSWER, ROOM = "$C$6", "$C$7"
BAND_ROW, HEADING_ROW, FIRST_ROW = 10, 11, 12
SPARE_ROWS = 20
OUT_OF_RANGE = "a figure is out of range: see its Lot row"
CARRIES, MISSING, CHECK = "carries", "figures missing: ", "check on What-if"
NO_PLACE, NOT_LISTED = "no place", "not listed"
CAUTIONS = (
    "Weigh truck, trailer and machine on a certified scale; the certification labels and the makers' instructions "
    "govern; check every rating.",
    "carries: the figures typed in allow it, its centre in the middle of its band. Look at it on What-if; drive on "
    "slowly.",
)
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
    Column("band_from", "Centre from ({long})", "place"),
    Column("band_to", "Centre to ({long})", "place"),
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
EXTRA = {MACHINE: ("missing", "tie_downs"), TRUCK: ("missing", "empty")}


@cache
def top_cells() -> dict[str, str]:
    """The cells of the chosen machine and truck, by the figure's key; ``row of``, ``missing`` and others by group."""
    cells: dict[str, str] = {}
    for group, figures in ((MACHINE, MACHINE_FIGURES), (TRUCK, TRUCK_FIGURES)):
        keys = [f"row of {group}", *(figure.key for figure in figures), *(f"{group} {name}" for name in EXTRA[group])]
        cells |= {
            key: f"${get_column_letter(place)}${GROUP_ROWS[group]}" for place, key in enumerate(keys, FIRST_FIGURE)
        }
    return cells


def per_long(units: Units) -> float:
    """Short lengths in a long one: inches in a foot, millimetres in a metre."""
    return 12.0 if units.name == "us" else 1000.0


def tallest(units: Units) -> float:
    """Greatest loaded height in the short unit."""
    return round(TALL_IN * units.short_per_inch, 6)


def tight(units: Units) -> float:
    """The gap below which a drive-on is called tight, in the short unit."""
    return round(TIGHT_IN * units.short_per_inch, 6)


def label(figure: Figure) -> str:
    """A figure's name in a list of what is missing."""
    name = figure.heading.partition(" (")[0]
    if figure.group == TRAILER:
        return name
    return f"{figure.group.lower()}'s {name if name.isupper() else name[0].lower() + name[1:]}"


def top_formulas(units: Units) -> dict[str, str]:
    """Formulas of the chosen machine and truck, by cell key, without ``=``."""
    t = top_cells()
    formulas = {}
    for group, figures in ((MACHINE, MACHINE_FIGURES), (TRUCK, TRUCK_FIGURES)):
        row = t[f"row of {group}"]
        found = what_if_rows.row_of_choice(group).replace(CHOICE_CELLS[group], CHOICES[group])
        formulas[f"row of {group}"] = f'IF(ISERROR({found}),"{NOT_LISTED}",{found})'
        formulas |= {figure.key: what_if_rows.from_list(figure, row, units) for figure in figures}
        parts = [_missing(t[f.key], label(f)) for f in figures if not f.blank_is_none]
        if group == MACHINE:
            for end in ("front", "rear"):
                gap = f'({t[f"{end}_clearance"]}="")*({t[f"{end}_overhang"]}<>"")>0'
                parts.append(f'IF({gap},"; machine\'s {end} clearance","")')
        formulas[f"{group} missing"] = f'IF(ISNUMBER({row}),{"&".join(parts)},"")'
    pounds, feet = f"{units.weight_per_pound:.15g}", f"{12 * units.short_per_inch:.15g}"
    length = f"({t['wheelbase']}+N({t['front_overhang']})+N({t['rear_overhang']}))/{feet}"
    ties = cell_formula(Call("LOT_TIEDOWN_COUNT", (Cell(f"({t['weight']}/{pounds})"), Cell(length), None, "machine")))
    formulas["Machine tie_downs"] = f'IF(({t["weight"]}="")+({t["wheelbase"]}="")>0,"",{ties})'
    front, rear = t["front_empty"], t["rear_empty"]
    formulas["Truck empty"] = f'IF(({front}="")+({rear}="")>0,"",{front}+{rear})'
    return formulas


def _missing(cell: str, name: str) -> str:
    return f'IF({cell}="",{text(f"; {name}")},"")'


def _up(amount: str, unit: str = "") -> str:
    """Formula: an amount as text, to the next whole number."""
    return f'TEXT(-INT(-ROUND({amount},6)),"#,##0")&" {unit}"' if unit else f'TEXT(-INT(-ROUND({amount},6)),"#,##0")'


def _unless_blank(cells: tuple[str, ...], formula: str) -> str:
    """A formula where every cell is filled, else blank; errors pass."""
    # The 0 first makes a number of a single TRUE or FALSE, which count above every number.
    blank = "+".join(f'({cell}="")' for cell in cells)
    return f'IF(0+{blank}>0,"",{formula})'


def row_formulas(row: int, units: Units) -> dict[str, str]:
    """The formulas of one row by column key, without ``=``; the line number is typed."""
    c = {key: f"${letter}{row}" for key, letter in LETTERS.items()}
    stock = table_column(columns.TABLE, columns.KEY)
    formulas = {"row": f'IF({c["line"]}<=ROWS({stock}),{c["line"]},"")'}
    pulled = [Figure("stock", TRAILER, columns.KEY, kind="text"), Figure("status", TRAILER, "Status", kind="text")]
    formulas |= {f.key: what_if_rows.from_list(f, c["row"], units) for f in (*pulled, *TRAILER_FIGURES, LIMIT)}
    make, model = (
        what_if_rows.from_list(Figure(h, TRAILER, h, kind="text"), c["row"], units) for h in ("Make", "Model")
    )
    formulas["trailer"] = f'TRIM({make}&" "&{model})'
    t = top_cells()
    known = f"AND(ISNUMBER({t['row of Machine']}),{t['row of Truck']}<>{text(NOT_LISTED)})"
    formulas["asked"] = f'IF({known},IF(OR({c["stock"]}<>"",{c["gvwr"]}<>""),1,0),0)'
    return formulas | _worked(c, units) | _tests(c, units) | _verdict(c)


def _worked(c: dict[str, str], units: Units) -> dict[str, str]:
    """Place, pin, truck and drive-on in figures."""
    t, factor = top_cells(), f"{per_long(units):g}"
    keys = ("empty", "empty_pin", "to_axles", "", "low_share", "high_share", "axle_group", "coupler_vertical")
    limits = tuple(Cell(c[key] if key else t["weight"]) for key in keys)
    foremost, rearmost = (cell_formula(Call(name, limits)) for name in ("LOT_FOREMOST", "LOT_REARMOST"))
    centre, length = f"{t['to_centre']}/{factor}", f"{c['deck_length']}-({t['wheelbase']}-{t['to_centre']})/{factor}"
    needed = (c["foremost"], c["to_deck"], c["deck_length"], t["wheelbase"], t["to_centre"])
    low = f'IF({c["foremost"]}="{NO_PLACE}","",MAX({c["foremost"]}-{c["to_deck"]},{centre}))'
    high = f'IF({c["rearmost"]}="{NO_PLACE}","",MIN({c["rearmost"]}-{c["to_deck"]},{length}))'
    middle = f"({c['band_from']}+{c['band_to']})/2+{c['to_deck']}"
    pin = cell_formula(Call("LOT_PIN_AT", (*limits[:4], Cell(f"({middle})"))))
    pair = (t["Truck empty"], c["pin_share"])
    truck = (
        Cell(t["truck_gvwr"]),
        *map(Cell, pair),
        *(Cell(t[k]) for k in ("gcwr", "hitch_rating", "hitch_vertical", "rear_rating", "rear_empty")),
        Cell(t["truck_wheelbase"]),
        Cell(t["hitch_overhang"]),
    )
    change = (Cell(c["pin"]), Cell(t["truck_wheelbase"]), Cell(t["hitch_overhang"]))
    trailer = tuple(Cell(c[k]) for k in ("deck_height", "tail_drop_or_0", "tail_length_or_0", "ramp_length"))
    ends = ("front_overhang", "front_clearance", "rear_overhang", "rear_clearance")
    machine = tuple(Cell(t[k]) for k in ("wheelbase", "clearance", *ends))
    empty_band = f"{c['band_from']}>{c['band_to']}"
    return {
        "tail_drop_or_0": f'IF({c["tail_drop"]}="",0,{c["tail_drop"]})',
        "tail_length_or_0": f'IF({c["tail_length"]}="",0,{c["tail_length"]})',
        "foremost": f'IF(ISNA({foremost}),"{NO_PLACE}",{foremost})',
        "rearmost": f'IF(ISNA({rearmost}),"{NO_PLACE}",{rearmost})',
        "band_from": _unless_blank(needed, low),
        "band_to": _unless_blank(needed, high),
        "pin": _unless_blank((c["band_from"], c["band_to"]), f'IF({empty_band},"",{pin})'),
        "pin_share": _unless_blank((c["pin"],), f"{c['pin']}/({c['empty']}+{t['weight']})"),
        "truck_limit": cell_formula(Call("LOT_TRUCK_LIMIT", truck)),
        "truck_by": cell_formula(Call("LOT_TRUCK_LIMITED_BY", truck)),
        "front_change": cell_formula(Call("LOT_FRONT_AXLE_CHANGE", change)),
        "foot": cell_formula(Call("LOT_BREAK_ANGLE", (*trailer, "foot"))),
        "ramp_top": cell_formula(Call("LOT_BREAK_ANGLE", (*trailer, "ramp top"))),
        "tail_top": cell_formula(Call("LOT_BREAK_ANGLE", (*trailer, "tail top"))),
        "at_least": cell_formula(Call("LOT_CLEARANCE_AT_LEAST", (*trailer, *machine))),
        "at_most": cell_formula(Call("LOT_CLEARANCE_AT_MOST", (*trailer, *machine))),
    }


def _tests(c: dict[str, str], units: Units) -> dict[str, str]:
    """Each test in a word: ``ok``, what is wrong, what to check, or blank where a figure is missing."""
    t, short, weight = top_cells(), units.short, units.weight
    over_deck = f"{t['wheelbase']}-{c['deck_length']}*{per_long(units):g}"
    band = (c["foremost"], c["band_from"], c["band_to"])
    too_long = f'IF(({t["wheelbase"]}="")+({c["deck_length"]}="")>0,0,{over_deck})'
    place = (
        f'IF({c["foremost"]}="{NO_PLACE}","no place for its centre by pin and axles",'
        f'IF({too_long}>0.000001,"deck too short by "&{_up(over_deck, short)},'
        + _unless_blank(band, f'IF({c["band_from"]}>{c["band_to"]},"no place on the deck for its centre","ok")')
        + "))"
    )
    wider, height = f"{t['machine_width']}-{c['trailer_width']}", f"{c['deck_height']}+{t['machine_height']}"
    widths, heights = (t["machine_width"], c["trailer_width"]), (c["deck_height"], t["machine_height"])
    blank = {pair: "+".join(f'({cell}="")' for cell in pair) for pair in (widths, heights)}
    size = (
        f'IF(IF({blank[widths]}>0,0,{wider})>0,"wider than the trailer by "&{_up(wider, short)},'
        f'IF(IF({blank[heights]}>0,0,{height})>{tallest(units):g},"too high loaded: "&{_up(height, short)},'
        f'IF({blank[widths]}+{blank[heights]}>0,"","ok")))'
    )
    points, rating, count = c["points"], c["point_rating"], t["Machine tie_downs"]
    lacking, short_by = f"({t['weight']}-{points}*{rating})", f"(0-{c['spare']})"
    ties = (
        f'IF({points}-{count}<0,"tie-downs short: "&{points}&" of "&{count},IF({points}*{rating}-{t["weight"]}<0,'
        f'"tie-downs short "&{_up(lacking, weight)},"ok"))'
    )
    spare = f"ROUND({c['gross_limit']}-{c['empty']}-{t['weight']},6)"
    return {
        "spare": _unless_blank((c["gross_limit"], c["empty"], t["weight"]), spare),
        "payload": _unless_blank((c["spare"],), f'IF({c["spare"]}<0,"payload short "&{_up(short_by, weight)},"ok")'),
        "place": place,
        "size": size,
        "drive_on": _drive_on(c, units),
        "ties": _unless_blank((points, rating, count), ties),
        "truck": _truck(c, units),
    }


def _drive_on(c: dict[str, str], units: Units) -> str:
    """The drive-on by its bounds."""
    t, least = top_cells(), f"{tight(units):g}"
    rise = f"({c['deck_height']}-{c['tail_drop_or_0']})"
    over, gap = t["front_overhang"], t["front_clearance"]
    touches = f'IF({over}="",0,MIN({rise},{over}*TAN(RADIANS({c["foot"]})))-{gap})'
    tips = f"MAX({c['ramp_top']},{c['tail_top']})"
    wheels = (
        f'IF({c["at_most"]}<0,"touches on the drive-on",IF({c["at_most"]}<{least},"tight on the drive-on",'
        f'IF({c["at_least"]}>={least},"ok","check")))'
    )
    steep = f'"ramp too steep for its front: "&TEXT({c["foot"]},"0.0")&" deg"'
    tracks = f'"check: "&IF({touches}>0.000001,"ramp steep for its front, ","")&"tips over "&TEXT({tips},"0.0")&" deg"'
    found = f'IF({t["runs_on"]}="wheels",IF({touches}>0.000001,{steep},{wheels}),{tracks})'
    return _unless_blank((t["runs_on"], c["at_least"]), found)


def _truck(c: dict[str, str], units: Units) -> str:
    """The truck, where one is chosen."""
    t, weight = top_cells(), units.weight
    lacking = f"({c['empty']}+{t['weight']}-{c['truck_limit']})"
    cells = (t["front_empty"], t["front_rating"], c["front_change"])
    front = f"({t['front_empty']}+{c['front_change']}-{t['front_rating']})"
    blank = "+".join(f'({cell}="")' for cell in cells)
    pulls = (
        f'IF({lacking}>0.000001,"truck too light by "&{_up(lacking, weight)}&" ("&{c["truck_by"]}&")",'
        f'IF(IF({blank}>0,0,{front})>0.000001,"truck\'s front axle over by "&{_up(front, weight)},'
        f'IF({blank}>0,"","ok")))'
    )
    pulls = _unless_blank((c["truck_limit"],), pulls)
    hitch = f'IF(ISNUMBER(SEARCH({c["hitch"]},{t["hitches"]})),{pulls},"hitch differs: "&{c["hitch"]})'
    chosen = _unless_blank((c["hitch"], t["hitches"]), hitch)
    return f'IF(ISNUMBER({t["row of Truck"]}),{chosen},"")'


def _verdict(c: dict[str, str]) -> dict[str, str]:
    """What is missing, and the verdict: an error, the first thing wrong, what is missing, what to check, or carries."""
    t = top_cells()
    lacking = "&".join(_missing(c[f.key], label(f)) for f in TRAILER_FIGURES if not f.blank_is_none)
    missing = f'IF({c["asked"]}=1,MID({lacking}&{t["Machine missing"]}&{t["Truck missing"]},3,999),"")'
    answer = (
        f'IF({c["missing"]}<>"","{MISSING}"&{c["missing"]},'
        f'IF(LEFT({c["drive_on"]},5)="check","{CHECK}"&MID({c["drive_on"]},6,99),"{CARRIES}"))'
    )
    for key in reversed(TESTS):
        fine = f'{c[key]}="",{c[key]}="ok"' + (f',LEFT({c[key]},5)="check"' if key == "drive_on" else "")
        answer = f"IF(OR({fine}),{answer},{c[key]})"
    everything = "&".join(c[key] for key in ("asked", *TESTS, "missing"))
    return {
        "missing": missing,
        "verdict": f'IF(ISERROR({everything}),"{OUT_OF_RANGE}",IF({c["asked"]}<>1,"",{answer}))',
    }


def head_formulas(count: int, units: Units) -> dict[str, str]:
    """The words above the table by cell: what was chosen, how many carry, whether the lot has more rows."""
    t, last = top_cells(), HEADING_ROW + count
    formulas = {}
    for group, source in ((MACHINE, machines.TABLE), (TRUCK, trucks.TABLE)):
        row, cell = t[f"row of {group}"], CHOICES[group]
        maker = f'INDEX({table_column(source, "Maker")},{row})&""'
        what = f'{maker}&", "&{t["runs_on"]}&", "&TEXT({t["weight"]},"#,##0")&" {units.weight}"'
        nothing = "choose from the list" if group == MACHINE else "none chosen: no truck is checked"
        blank = what_if_rows.no_choice(group).replace(CHOICE_CELLS[group], cell)
        formulas[FOUND[group]] = (
            f'IF({blank},"{nothing}",IF(ISNUMBER({row}),{what if group == MACHINE else maker},'
            f'"▲ not on the {source} sheet"))'
        )
    verdicts = f"$E${FIRST_ROW}:$E${last}"
    asked = f"SUM(${LETTERS['asked']}${FIRST_ROW}:${LETTERS['asked']}${last})"
    formulas[ANSWER] = (
        f'IF(ISNUMBER({t["row of Machine"]}),COUNTIF({verdicts},"{CARRIES}")&" of "&{asked}&" carry it; "&'
        f'COUNTIF({verdicts},"{CHECK}*")&" to check on What-if; "&COUNTIF({verdicts},"{MISSING}*")&" lack figures."'
        ',"Choose a machine in the cream cell, and a truck.")'
    )
    lines = f"$A${FIRST_ROW}:$A${last}"
    more = f"ROWS({table_column(columns.TABLE, columns.KEY)})-MAX({lines})"
    formulas[ROOM] = (
        f'IF({more}>0,"▲ "&{more}&" rows of the Lot are not shown: copy the last row down and count Lot row on.",'
        f'"The first "&MAX({lines})&" rows of the Lot. Filter and sort by the headings; Lot row says which row it is.")'
    )
    return formulas


def write(sheet: Worksheet, count: int, choices: tuple[object, object], units: Units) -> None:
    """Write the sheet.

    Args:
        sheet: The empty sheet named Match.
        count: Rows of the Lot table; the sheet has ``SPARE_ROWS`` more.
        choices: Machine and truck chosen at first; None for none.
        units: The workbook's units.
    """
    count += SPARE_ROWS
    style.title(sheet, SHEET, "Which trailer carries it? Choose a machine and a truck; every trailer gets a verdict.")
    _write_choices(sheet, choices)
    for cell, formula in head_formulas(count, units).items():
        target = sheet[cell.replace("$", "")]
        target.value, target.alignment = f"={formula}", style.LEFT
        target.font = (
            style.font(size=12, bold=True, color=style.GLANCE_BAND.band)
            if cell == ANSWER
            else style.font(color=style.QUIET)
        )
    for number, line in enumerate(CAUTIONS, 8):
        mark, words = sheet.cell(number, 2, "▲"), sheet.cell(number, 3, line)
        mark.font, words.font = style.font(bold=True, color=style.CONFLICT_INK), style.font()
        mark.alignment, words.alignment = style.RIGHT, style.LEFT
    _write_top(sheet, units)
    _write_table(sheet, count, units)
    _set_up_page(sheet, count, units)


def _write_choices(sheet: Worksheet, choices: tuple[object, object]) -> None:
    """The two choices with their lists."""
    for (group, source), choice in zip(((MACHINE, machines.SHEET), (TRUCK, trucks.SHEET)), choices, strict=True):
        cell = sheet[CHOICES[group].replace("$", "")]
        name = sheet.cell(cell.row, 2, group)
        name.font, name.alignment = style.font(bold=True), style.LEFT
        cell.value = choice  # type: ignore[assignment]
        if isinstance(choice, str):
            cell.data_type = "s"
        cell.font, cell.fill, cell.alignment = style.font(size=11, bold=True), style.fill(style.TYPED), style.LEFT
        cell.number_format, cell.border = "@", style.HAIRLINE
        rule = DataValidation(type="list", formula1=f"{source}!$A${machines.FIRST_ROW}:$A$500", allow_blank=True)
        rule.errorStyle, rule.showErrorMessage, rule.showInputMessage = "stop", True, True
        rule.errorTitle, rule.error = "Not taken", f"Choose one that stands on the {source} sheet."
        rule.promptTitle, rule.prompt = group, f"Choose from the {source} sheet."
        rule.add(cell.coordinate)
        sheet.add_data_validation(rule)
    name = sheet.cell(6, 2, "Answer")
    name.font, name.alignment = style.font(bold=True), style.LEFT


def _write_top(sheet: Worksheet, units: Units) -> None:
    """The figures of machine and truck, above the worked columns."""
    names = {figure.key: units.heading(figure.heading) for figure in (*MACHINE_FIGURES, *TRUCK_FIGURES)}
    formulas = top_formulas(units)
    for key, place in top_cells().items():
        cell = sheet[place.replace("$", "")]
        above = sheet.cell(cell.row - 1, cell.column, names.get(key, key))
        above.font, above.alignment = style.font(size=8, color=style.QUIET), style.HEADING
        cell.value, cell.font, cell.fill = f"={formulas[key]}", style.font(size=9), style.fill(style.FILLED)


def _write_table(sheet: Worksheet, count: int, units: Units) -> None:
    """Headings and rows, the table named Match, and the highlight of what is wrong."""
    for place, column in enumerate(COLUMNS, 1):
        cell = sheet.cell(HEADING_ROW, place, units.heading(column.heading))
        band = style.GLANCE_BAND if place <= len(SHOWN) else style.FIGURES_BAND
        cell.font, cell.fill = style.font(size=9, bold=True), style.fill(band.heading)
        cell.alignment, cell.border = style.HEADING, style.HEADING_LINE
        over = sheet.cell(BAND_ROW, place)
        over.fill, over.font = style.fill(band.band), style.font(bold=True, color=band.band_ink)
        dimension = sheet.column_dimensions[get_column_letter(place)]
        dimension.width = column.width
        if place > len(SHOWN) + 1:
            dimension.outlineLevel, dimension.hidden = 1, True
    sheet.cell(BAND_ROW, 1, "Every trailer of the lot")
    sheet.cell(BAND_ROW, len(SHOWN) + 1, "Figures behind it: unfold at the + above")
    for number in range(1, count + 1):
        row = HEADING_ROW + number
        formulas = row_formulas(row, units)
        for place, column in enumerate(COLUMNS, 1):
            cell = sheet.cell(row, place, f"={formulas[column.key]}" if column.key in formulas else number)
            cell.font = style.font(bold=column.key in ("stock", "verdict"))
            cell.fill, cell.border, cell.number_format = style.fill(style.FILLED), style.HAIRLINE, FORMATS[column.kind]
            cell.alignment = style.LEFT if column.kind == "text" else style.RIGHT
        sheet.row_dimensions[row].height = lot.ROW_HEIGHT
    area = f"A{HEADING_ROW}:{get_column_letter(len(COLUMNS))}{HEADING_ROW + count}"
    table = Table(displayName=TABLE, name=TABLE, ref=area)
    table._initialise_columns()
    for member, column in zip(table.tableColumns, COLUMNS, strict=True):
        member.name = units.heading(column.heading)
    sheet.add_table(table)
    first = f"E{FIRST_ROW}"
    wrong = f'AND({first}<>"",{first}<>"{CARRIES}",LEFT({first},5)<>"check",LEFT({first},15)<>"figures missing")'
    rule = Rule(type="expression", dxf=style.CONFLICT, formula=[wrong])
    sheet.conditional_formatting.add(f"{first}:E{lot.REACH}", rule)


def _set_up_page(sheet: Worksheet, count: int, units: Units) -> None:
    """Frozen panes and printing."""
    sheet.row_dimensions[HEADING_ROW].height = 34
    sheet.sheet_properties.outlinePr.summaryRight = False
    sheet.freeze_panes = sheet.cell(FIRST_ROW, 4)
    sheet.sheet_view.showGridLines = False
    style.print_on(sheet, paper=1 if units.name == "us" else 9, landscape=False)
    sheet.print_area = f"A1:{LETTERS['spare']}{HEADING_ROW + count}"
    sheet.print_title_rows = f"{HEADING_ROW}:{HEADING_ROW}"
