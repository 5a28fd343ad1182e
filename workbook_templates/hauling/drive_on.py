"""The Drive-on sheet: the machine swept over ground, ramp, tail and deck by plain formulas, a position a row.

The model is that of ``calc/drive_on.py``. The rear contact stands where either contact meets a break, and at
``STEPS`` even steps between two such places: between them every gap changes smoothly, so that the least of the rows is
within 0.1 in of the exact least gap, and never below it.
"""

from __future__ import annotations

from openpyxl.worksheet.worksheet import Worksheet

from tarelot.workbook_templates.basis import style
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling.what_if import rows as what_if_rows

SHEET = "Drive-on"
STEPS = 40
KNOTS = 6
ROWS = (KNOTS - 1) * STEPS + 1
FIRST_ROW = 6
LAST_ROW = FIRST_ROW + ROWS - 1
PARTS = ("belly", "front overhang", "rear overhang")
PLACES = ("the ramp's foot", "the ramp's top", "the tail's top")
HEADINGS = (
    "position",
    "rear x",
    "rear y",
    "rear piece",
    "front piece",
    "front x",
    "front y",
    "cos tilt",
    "sin tilt",
    "foot along",
    "foot up",
    "ramp top along",
    "ramp top up",
    "tail top along",
    "tail top up",
    "front tip piece",
    "rear tip piece",
    "belly gap",
    "front gap",
    "rear gap",
    "least gap",
    "off balance",
)
LETTERS = dict(zip(HEADINGS, "DEFGHIJKLMNOPQRSTUVWXY", strict=True))
SMALL = style.font(size=9)
FAR = "9E+99"
"""Stands for no gap at all."""
NUMBER = '[>1000000000]"none";0.###'


class Values:
    """Named values down the columns A (what) and B (formula) of the sheet."""

    def __init__(self) -> None:
        self.formulas: dict[str, str] = {}

    def add(self, name: str, formula: str) -> str:
        """Add a value; its absolute cell on this sheet."""
        self.formulas[name] = formula
        return self.cell(name)

    def cell(self, name: str) -> str:
        """The cell of a value on this sheet."""
        return f"$B${FIRST_ROW + list(self.formulas).index(name)}"

    def elsewhere(self, name: str) -> str:
        """The cell of a value as other sheets refer to it."""
        return f"'{SHEET}'!{self.cell(name)}"


def span(heading: str) -> str:
    """All positions of a column."""
    letter = LETTERS[heading]
    return f"${letter}${FIRST_ROW}:${letter}${LAST_ROW}"


def profile_values(values: Values) -> None:
    """Add the figures swept, harmless ones where they are not there yet, and the profile's breaks and slopes."""
    u = what_if_rows.used_elsewhere()
    stated = ",".join(f"ISNUMBER({u[key]})" for key in ("deck_height", "ramp_length", "wheelbase", "clearance"))
    rise = f"{u['deck_height']}-N({u['tail_drop']})"
    sound = (
        f"N({u['tail_drop']})<={u['deck_height']},OR(N({u['tail_drop']})=0,N({u['tail_drop']})<N({u['tail_length']})),"
        f"{rise}<{u['ramp_length']},OR(N({u['front_overhang']})=0,N({u['front_clearance']})>0),"
        f"OR(N({u['rear_overhang']})=0,N({u['rear_clearance']})>0),MIN({u['wheelbase']},{u['clearance']})>0"
    )
    ready = values.add("ready", f"IF(AND({stated}),IF(AND({sound}),1,0),0)")
    for name, key, instead in (
        ("deck height", "deck_height", "1"),
        ("tail drop", "tail_drop", "0"),
        ("tail length", "tail_length", "0"),
        ("ramp length", "ramp_length", "2"),
        ("wheelbase", "wheelbase", "1"),
        ("clearance", "clearance", "1"),
        ("front overhang", "front_overhang", "0"),
        ("front clearance", "front_clearance", "0"),
        ("rear overhang", "rear_overhang", "0"),
        ("rear clearance", "rear_clearance", "0"),
    ):
        values.add(name, f"IF({ready}=1,N({u[key]}),{instead})")
    c = values.cell
    values.add("ramp sine", f"({c('deck height')}-{c('tail drop')})/{c('ramp length')}")
    values.add("ramp cosine", f"SQRT(1-{c('ramp sine')}^2)")
    values.add("tail sine", f"IF({c('tail length')}>0,{c('tail drop')}/{c('tail length')},0)")
    values.add("tail cosine", f"SQRT(1-{c('tail sine')}^2)")
    values.add("ramp top x", f"{c('ramp length')}*{c('ramp cosine')}")
    values.add("ramp top y", f"{c('deck height')}-{c('tail drop')}")
    values.add("tips at", f"IF(2*ASIN({c('tail sine')})>ASIN({c('ramp sine')}),3,2)")
    values.add("tail top x", f"{c('ramp top x')}+{c('tail length')}*{c('tail cosine')}")
    _knot_values(values)


def _knot_values(values: Values) -> None:
    """Add the rear contact's places where it, or the front contact, meets a break; then the six in order."""
    c = values.cell
    length = c("wheelbase")
    values.add("front on foot", f"-{length}")
    back = f"SQRT({length}^2-{c('ramp top y')}^2)"
    values.add(
        "front on ramp top",
        f"IF({c('ramp length')}>={length},{c('ramp top x')}-{length}*{c('ramp cosine')},{c('ramp top x')}-{back})",
    )
    to_foot = f"SQRT({c('tail top x')}^2+{c('deck height')}^2)"
    on_ramp = (
        f"({c('tail top x')}*{c('ramp cosine')}+{c('deck height')}*{c('ramp sine')}-SQRT(MAX(0,{length}^2"
        f"-({c('deck height')}*{c('ramp cosine')}-{c('tail top x')}*{c('ramp sine')})^2)))*{c('ramp cosine')}"
    )
    values.add(
        "front on tail top",
        f"IF({c('tail length')}>={length},{c('tail top x')}-{length}*{c('tail cosine')},IF({to_foot}>={length},"
        f"{on_ramp},{c('tail top x')}-SQRT(MAX(0,{length}^2-{c('deck height')}^2))))",
    )
    values.add("rear on foot", "0")
    values.add("rear on ramp top", c("ramp top x"))
    values.add("rear on tail top", c("tail top x"))
    first, last = c("front on foot"), c("rear on tail top")
    for number in range(1, KNOTS + 1):
        values.add(f"place {number}", f"SMALL({first}:{last},{number})")


def sweep_formulas(values: Values, row: int) -> dict[str, str]:
    """The formulas of one position."""
    at = {heading: f"${letter}{row}" for heading, letter in LETTERS.items()}
    found = _rear_contact(values, row, at) | _front_contact(values, at)
    found["cos tilt"] = f"({at['front x']}-{at['rear x']})/{values.cell('wheelbase')}"
    found["sin tilt"] = f"({at['front y']}-{at['rear y']})/{values.cell('wheelbase')}"
    return found | _breaks(values, at) | _gaps(values, at)


def _break_points(values: Values) -> dict[str, tuple[str, str]]:
    """Where the slope changes, from the foot of the ramp up."""
    c = values.cell
    return {
        "foot": ("0", "0"),
        "ramp top": (c("ramp top x"), c("ramp top y")),
        "tail top": (c("tail top x"), c("deck height")),
    }


def _rear_contact(values: Values, row: int, at: dict[str, str]) -> dict[str, str]:
    """Where the rear wheels stand at this position, and on which piece of the way."""
    c, rear_x = values.cell, at["rear x"]
    knot, step = divmod(row - FIRST_ROW, STEPS)
    start, end = c(f"place {knot + 1}"), c(f"place {min(KNOTS, knot + 2)}")
    return {
        "position": str(row - FIRST_ROW),
        "rear x": f"{start}+({end}-{start})*{step}/{STEPS}" if step else start,
        "rear piece": f"({rear_x}>=0)+({rear_x}>={c('ramp top x')})+({rear_x}>={c('tail top x')})",
        "rear y": (
            f"CHOOSE(1+{at['rear piece']},0,{rear_x}*{c('ramp sine')}/{c('ramp cosine')},"
            f"{c('ramp top y')}+({rear_x}-{c('ramp top x')})*{c('tail sine')}/{c('tail cosine')},{c('deck height')})"
        ),
    }


def _front_contact(values: Values, at: dict[str, str]) -> dict[str, str]:
    """Where the front wheels stand, a wheelbase ahead in a straight line."""
    length, rear_x, rear_y, piece = values.cell("wheelbase"), at["rear x"], at["rear y"], at["front piece"]
    reached = [
        f"IF(OR({rear_x}>={x},({rear_x}-{x})^2+({rear_y}-{y})^2<{length}^2),1,0)"
        for x, y in _break_points(values).values()
    ]
    anchor_x, anchor_y = _anchor(values, piece)
    cosine, sine = _direction(values, piece)
    right, up = f"({rear_x}-{anchor_x})", f"({rear_y}-{anchor_y})"
    along = f"({right}*{cosine}+{up}*{sine})"
    reach = f"({along}+SQRT(MAX(0,{along}^2-{right}^2-{up}^2+{length}^2)))"
    return {
        "front piece": f"IF({reached[2]}=1,3,IF({reached[1]}=1,2,{reached[0]}))",
        "front x": f"{anchor_x}+{reach}*{cosine}",
        "front y": f"{anchor_y}+{reach}*{sine}",
    }


def _breaks(values: Values, at: dict[str, str]) -> dict[str, str]:
    """Each break as the machine sees it: how far along the line through its contacts, and how far above it."""
    rear_x, rear_y = at["rear x"], at["rear y"]
    found = {}
    for name, (x, y) in _break_points(values).items():
        found[f"{name} along"] = f"({x}-{rear_x})*{at['cos tilt']}+({y}-{rear_y})*{at['sin tilt']}"
        found[f"{name} up"] = f"({y}-{rear_y})*{at['cos tilt']}-({x}-{rear_x})*{at['sin tilt']}"
    return found


def _gaps(values: Values, at: dict[str, str]) -> dict[str, str]:
    """The gaps under belly and overhangs, the least of them, and how far the machine is from tipping over."""
    c, length = values.cell, values.cell("wheelbase")
    alongs, ups = ([at[f"{name} {what}"] for name in _break_points(values)] for what in ("along", "up"))
    far, tail = f"({length}+{c('front overhang')})", f"-{c('rear overhang')}"
    found = {
        "front tip piece": "+".join(f"({a}<={far})" for a in alongs),
        "rear tip piece": "+".join(f"({a}<{tail})" for a in alongs),
    }
    highest = [f"IF(AND({a}>=0,{a}<={length}),{h},-{FAR})" for a, h in zip(alongs, ups, strict=True)]
    found["belly gap"] = f"{c('clearance')}-MAX(0,{','.join(highest)})"
    for part, tip, inside in (
        ("front", far, f"AND({{a}}>{length},{{a}}<={far})"),
        ("rear", tail, f"AND({{a}}<0,{{a}}>={tail})"),
    ):
        overhang, clearance = c(f"{part} overhang"), c(f"{part} clearance")
        under = [f"IF({inside.format(a=a)},{h},-{FAR})" for a, h in zip(alongs, ups, strict=True)]
        at_tip = _height_at(values, at, alongs, ups, f"{part} tip piece", tip)
        found[f"{part} gap"] = f"IF({overhang}>0,{clearance}-MAX({at_tip},{','.join(under)}),{FAR})"
    found["least gap"] = f"MIN({at['belly gap']},{at['front gap']},{at['rear gap']})"
    centre = f"({length}-N({what_if_rows.used_elsewhere()['to_centre']}))"
    tips = f"IF({c('tips at')}=3,{at['tail top along']},{at['ramp top along']})"
    found["off balance"] = f"ABS({tips}-{centre})"
    return found


def _anchor(values: Values, piece: str) -> tuple[str, str]:
    """The break at which a piece begins; for the ground the ramp's foot, at which it ends."""
    c = values.cell
    return (
        f"CHOOSE(1+{piece},0,0,{c('ramp top x')},{c('tail top x')})",
        f"CHOOSE(1+{piece},0,0,{c('ramp top y')},{c('deck height')})",
    )


def _direction(values: Values, piece: str) -> tuple[str, str]:
    """Cosine and sine of a piece's slope."""
    c = values.cell
    return (
        f"CHOOSE(1+{piece},1,{c('ramp cosine')},{c('tail cosine')},1)",
        f"CHOOSE(1+{piece},0,{c('ramp sine')},{c('tail sine')},0)",
    )


def _height_at(
    values: Values, at: dict[str, str], alongs: list[str], ups: list[str], piece_heading: str, reach: str
) -> str:
    """Height of the profile above the line through the contacts, ``reach`` along it from the rear contact."""
    piece = at[piece_heading]
    cosine, sine = _direction(values, piece)
    along = f"CHOOSE(1+{piece},{alongs[0]},{','.join(alongs)})"
    up = f"CHOOSE(1+{piece},{ups[0]},{','.join(ups)})"
    slope = f"({sine}*{at['cos tilt']}-{cosine}*{at['sin tilt']})/({cosine}*{at['cos tilt']}+{sine}*{at['sin tilt']})"
    return f"({up}+({reach}-{along})*{slope})"


def result_values(values: Values) -> None:
    """Add the least gap, where it is in words, and the position drawn."""
    c = values.cell
    u = what_if_rows.used_elsewhere()
    values.add("least in sweep", f"MIN({span('least gap')})")
    level = (
        f"MIN({c('clearance')},IF({c('front overhang')}>0,{c('front clearance')},{FAR}),"
        f"IF({c('rear overhang')}>0,{c('rear clearance')},{FAR}))"
    )
    values.add("least on level", level)
    values.add("least gap", f"MIN({c('least on level')},{c('least in sweep')})")
    values.add("wheels", f'IF({u["runs_on"]}="tracks",0,1)')
    values.add(
        "row",
        f"IF({c('wheels')}=1,MATCH({c('least in sweep')},{span('least gap')},0),"
        f"MATCH(MIN({span('off balance')}),{span('off balance')},0))",
    )
    for heading in HEADINGS[1:-1]:
        values.add(f"at {heading}", f"INDEX({span(heading)},{c('row')})")
    for name in ("along", "up"):
        ends = c(f"at tail top {name}"), c(f"at ramp top {name}")
        values.add(f"tips {name}", f"IF({c('tips at')}=3,{ends[0]},{ends[1]})")
    belly, front, least = (c(f"at {name}") for name in ("belly gap", "front gap", "least gap"))
    values.add("part", f"IF({belly}={least},1,IF({front}={least},2,3))")
    _break_values(values)
    words = [f'"{part}"' for part in PARTS]
    places = [f'"{place}"' for place in PLACES]
    at_break = f'CHOOSE({c("part")},{",".join(words)})&" at "&CHOOSE(MAX(1,{c("break")}),{",".join(places)})'
    on_level = (
        f'IF({c("clearance")}={c("least on level")},"belly",IF(AND({c("front overhang")}>0,'
        f'{c("front clearance")}={c("least on level")}),"front overhang","rear overhang"))&" on level ground"'
    )
    same = f"1E-9*{c('wheelbase')}"
    values.add("where", f"IF({c('least in sweep')}<{c('least on level')}-{same},{at_break},{on_level})")


def _break_values(values: Values) -> None:
    """Add at which break the least gap of the sweep is, and how far along the machine."""
    c = values.cell
    names = ("foot", "ramp top", "tail top")
    clearance = f"CHOOSE({c('part')},{c('clearance')},{c('front clearance')},{c('rear clearance')})"
    inside = (
        f"CHOOSE({c('part')},AND({{a}}>=0,{{a}}<={c('wheelbase')}),"
        f"AND({{a}}>{c('wheelbase')},{{a}}<={c('wheelbase')}+{c('front overhang')}),"
        f"AND({{a}}<0,{{a}}>=-{c('rear overhang')}))"
    )
    tests = []
    for name in names:
        along, up = c(f"at {name} along"), c(f"at {name} up")
        gap = f"ABS({clearance}-{up}-{c('at least gap')})<=1E-9*{c('wheelbase')}"
        tests.append(f"AND({inside.format(a=along)},{gap})")
    tip = f"IF({c('part')}=2,{c('at front tip piece')},{c('at rear tip piece')}+1)"
    tip_along = f"CHOOSE({c('part')},0,{c('wheelbase')}+{c('front overhang')},-{c('rear overhang')})"
    alongs = [c(f"at {name} along") for name in names]
    values.add("break", f"IF({tests[0]},1,IF({tests[1]},2,IF({tests[2]},3,{tip})))")
    values.add(
        "along",
        f"IF({tests[0]},{alongs[0]},IF({tests[1]},{alongs[1]},IF({tests[2]},{alongs[2]},{tip_along})))",
    )
    values.add("part clearance", clearance)


def write(sheet: Worksheet, values: Values, units: Units) -> None:
    """Write the sheet: values, then positions; ``values`` holds those of the drawing too."""
    style.title(
        sheet,
        "Drive-on",
        f"The machine swept onto the trailer in {ROWS} positions: wherever a wheel meets a break, and {STEPS} even "
        f"steps between. The least gap is within 0.1 in (3 mm) of the exact one. Nothing to type here. "
        f"Lengths in {units.short}.",
    )
    for place, (heading, width) in enumerate((("Value", 24), ("", 14)), 1):
        _heading(sheet, place, heading, width)
    for row, (name, formula) in enumerate(values.formulas.items(), FIRST_ROW):
        sheet.cell(row, 1, name).font = style.font(size=9)
        _figure(sheet, row, 2, formula)
    for place, heading in enumerate(HEADINGS, 4):
        _heading(sheet, place, heading, 9)
    for row in range(FIRST_ROW, LAST_ROW + 1):
        formulas = sweep_formulas(values, row)
        for place, heading in enumerate(HEADINGS, 4):
            _figure(sheet, row, place, formulas[heading])
    sheet.row_dimensions[FIRST_ROW - 1].height = 30
    sheet.freeze_panes = sheet.cell(FIRST_ROW, 5)
    sheet.sheet_view.showGridLines = False
    style.print_on(sheet, paper=units.paper, landscape=True)
    sheet.print_area = f"A1:{LETTERS[HEADINGS[-1]]}{LAST_ROW}"
    sheet.print_title_rows = f"{FIRST_ROW - 1}:{FIRST_ROW - 1}"


def _heading(sheet: Worksheet, place: int, text: str, width: float) -> None:
    cell = sheet.cell(FIRST_ROW - 1, place, text)
    cell.font, cell.fill = style.font(size=9, bold=True), style.fill(style.FIGURES_BAND.heading)
    cell.alignment, cell.border = style.HEADING, style.HEADING_LINE
    sheet.column_dimensions[cell.column_letter].width = width


def _figure(sheet: Worksheet, row: int, place: int, formula: str) -> None:
    cell = sheet.cell(row, place, f"={formula}")
    cell.font, cell.number_format = SMALL, NUMBER
