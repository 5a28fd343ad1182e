"""The formulas of the Match sheet: the machine and truck above, each row's figures, tests and verdict, the words.

``questions`` holds the tests; what is said where one fails stands here and, word for word, in ``match_results``.
"""

from __future__ import annotations

from tarelot.calc.cells.formulas import Call, Cell, cell_formula, text
from tarelot.workbook_templates.basis.references import table_column
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling import questions as q
from tarelot.workbook_templates.hauling.match.columns import (
    ANSWER,
    CARRIES,
    CHECK,
    CHOICES,
    FIRST_ROW,
    FOUND,
    HEADING_ROW,
    LETTERS,
    LIMIT,
    MACHINE_FIGURES,
    MISSING,
    NAMED,
    NO_PLACE,
    NOT_LISTED,
    OK,
    OUT_OF_RANGE,
    ROOM,
    TESTS,
    TRAILER_FIGURES,
    TRUCK_FIGURES,
    label,
    top_cells,
)
from tarelot.workbook_templates.hauling.what_if import rows as what_if_rows
from tarelot.workbook_templates.hauling.what_if.rows import CHOICE_CELLS, MACHINE, TRAILER, TRUCK, Figure
from tarelot.workbook_templates.lot import columns
from tarelot.workbook_templates.sheets import machines, trucks


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
    formulas["tie_downs"] = f'IF(({t["weight"]}="")+({t["wheelbase"]}="")>0,"",{ties})'
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
    t = top_cells()
    trailer = tuple(Cell(c[k]) for k in ("deck_height", "tail_drop_or_0", "tail_length_or_0", "ramp_length"))
    ends = ("front_overhang", "front_clearance", "rear_overhang", "rear_clearance")
    drive_on = (*trailer, *(Cell(t[k]) for k in ("wheelbase", "clearance", *ends)))
    found = {
        "tail_drop_or_0": f'IF({c["tail_drop"]}="",0,{c["tail_drop"]})',
        "tail_length_or_0": f'IF({c["tail_length"]}="",0,{c["tail_length"]})',
        "at_least": cell_formula(Call("LOT_CLEARANCE_AT_LEAST", drive_on)),
        "at_most": cell_formula(Call("LOT_CLEARANCE_AT_MOST", drive_on)),
    }
    for key in ("foot", "ramp_top", "tail_top"):
        found[key] = cell_formula(Call("LOT_BREAK_ANGLE", (*trailer, key.replace("_", " "))))
    return found | _placed(c, units) | _pulled(c)


def _placed(c: dict[str, str], units: Units) -> dict[str, str]:
    """The band of the load's centre, its middle, and the pin there."""
    t, factor = top_cells(), f"{units.short_per_long:g}"
    beam = tuple(Cell(cell) for cell in (c["empty"], c["empty_pin"], c["to_axles"], t["weight"]))
    limits = (*beam, *(Cell(c[key]) for key in ("low_share", "high_share", "axle_group", "coupler_vertical")))
    foremost, rearmost = (cell_formula(Call(name, limits)) for name in ("LOT_FOREMOST", "LOT_REARMOST"))
    centre, length = f"{t['to_centre']}/{factor}", f"{c['deck_length']}-({t['wheelbase']}-{t['to_centre']})/{factor}"
    needed = (c["foremost"], c["to_deck"], c["deck_length"], t["wheelbase"], t["to_centre"])
    low = f'IF({c["foremost"]}="{NO_PLACE}","",MAX({c["foremost"]}-{c["to_deck"]},{centre}))'
    high = f'IF({c["rearmost"]}="{NO_PLACE}","",MIN({c["rearmost"]}-{c["to_deck"]},{length}))'
    ends = (c["band_from"], c["band_to"])
    off_deck = q.is_over(q.OFF_DECK, c, units)
    pin = cell_formula(Call("LOT_PIN_AT", (*beam, Cell(f"({c['centre']}+{c['to_deck']})"))))
    return {
        "foremost": f'IF(ISNA({foremost}),"{NO_PLACE}",{foremost})',
        "rearmost": f'IF(ISNA({rearmost}),"{NO_PLACE}",{rearmost})',
        "band_from": _unless_blank(needed, low),
        "band_to": _unless_blank(needed, high),
        "centre": _unless_blank(ends, f'IF({off_deck},"",({ends[0]}+{ends[1]})/2)'),
        "pin": _unless_blank((c["centre"],), pin),
        "pin_share": _unless_blank((c["pin"],), f"{c['pin']}/({c['empty']}+{t['weight']})"),
    }


def _pulled(c: dict[str, str]) -> dict[str, str]:
    """What the truck may pull, and what the pin does to its front axle."""
    t = top_cells()
    ratings = ("gcwr", "hitch_rating", "hitch_vertical", "rear_rating", "rear_empty")
    lengths = (Cell(t["truck_wheelbase"]), Cell(t["hitch_overhang"]))
    weights = (Cell(t["truck_gvwr"]), Cell(t["Truck empty"]), Cell(c["pin_share"]))
    truck = (*weights, *(Cell(t[key]) for key in ratings), *lengths)
    return {
        "truck_limit": cell_formula(Call("LOT_TRUCK_LIMIT", truck)),
        "truck_by": cell_formula(Call("LOT_TRUCK_LIMITED_BY", truck)),
        "front_change": cell_formula(Call("LOT_FRONT_AXLE_CHANGE", (Cell(c["pin"]), *lengths))),
    }


def _tests(c: dict[str, str], units: Units) -> dict[str, str]:
    """Each test in a word: ``ok``, what is wrong, a caution, what to check, or blank where a figure is missing."""
    t = top_cells()
    # Rounded down, as the verdict's shortage is rounded up: the two read the same.
    spare = f"INT(ROUND({c['gross_limit']}-{c['empty']}-{t['weight']},6))"
    cells = t | c
    place = _place_test(cells, units)
    return {
        "spare": _unless_blank((c["gross_limit"], c["empty"], t["weight"]), spare),
        "payload": _judged([(q.WEIGHT, _amount(q.WEIGHT, "payload short ", units.weight, cells, units))], cells, units),
        "place": f'IF({c["foremost"]}="{NO_PLACE}","no place for its centre by pin and axles",{place})',
        "size": _size_test(cells, units),
        "drive_on": _drive_on_test(cells, units),
        "ties": _ties_test(cells, units),
        "truck": f'IF(ISNUMBER({t["row of Truck"]}),{_truck_test(cells, units)},"")',
    }


Asked = list[tuple[q.Question, str]]


def _judged(asked: Asked, cells: q.Cells, units: Units) -> str:
    """Formula: what is said of the first question that goes over; else ``ok``, or blank where one is not answered."""
    needed = tuple(dict.fromkeys(cells[key] for question, _ in asked for key in question.needs))
    formula = _unless_blank(needed, f'"{OK}"')
    for question, said in reversed(asked):
        formula = f"IF({q.is_over(question, cells, units)},{said},{formula})"
    return formula


def _amount(question: q.Question, words: str, unit: str, cells: q.Cells, units: Units) -> str:
    """Formula: words and how far it goes over."""
    return f"{text(words)}&{_up(f'({q.over(question, cells, units)})', unit)}"


def _place_test(cells: q.Cells, units: Units) -> str:
    return _judged(
        [
            (q.DECK_SHORT, _amount(q.DECK_SHORT, "deck too short by ", units.short, cells, units)),
            (q.OFF_DECK, text("no place on the deck for its centre")),
            (q.OVER_FRONT_EDGE, text(f"{q.CAUTION}: reaches over the deck's front edge")),
        ],
        cells,
        units,
    )


def _size_test(cells: q.Cells, units: Units) -> str:
    height = f"{cells['deck_height']}+{cells['machine_height']}"
    width = f"MAX({cells['machine_width']},{cells['trailer_width']})"
    return _judged(
        [
            (q.WIDER, _amount(q.WIDER, "wider than the trailer by ", units.short, cells, units)),
            (q.TALL, f'"too high loaded: "&{_up(height, units.short)}'),
            (q.WIDE, f'"{q.CAUTION}: "&{_up(width, units.short)}&" wide needs a permit"'),
        ],
        cells,
        units,
    )


def _ties_test(cells: q.Cells, units: Units) -> str:
    few = f'"tie-downs short: "&{cells["points"]}&" of "&{cells["tie_downs"]}'
    return _judged(
        [(q.TIES_FEW, few), (q.TIES_WEAK, _amount(q.TIES_WEAK, "tie-downs short ", units.weight, cells, units))],
        cells,
        units,
    )


def _drive_on_test(cells: q.Cells, units: Units) -> str:
    """The drive-on by its bounds; on tracks the machine tips over the breaks, which only a person can judge."""
    steep = f'"&TEXT({cells["foot"]},"0.0")&" deg"'
    said = ('"touches on the drive-on"', '"tight on the drive-on"', f'"{OK}"', f'"{q.CHECK}"')
    wheels = q.gap_answer(cells["at_least"], cells["at_most"], said, units)
    tips = f'"{q.CHECK}: tips over "&TEXT(MAX({cells["ramp_top"]},{cells["tail_top"]}),"0.0")&" deg"'
    found = f'IF({cells["runs_on"]}="{machines.WHEELS}",{wheels},{tips})'
    for question, end in ((q.REAR_STRIKES, "rear"), (q.FRONT_STRIKES, "front")):
        found = f'IF({q.is_over(question, cells, units)},"ramp too steep for its {end}: {steep},{found})'
    return _unless_blank((cells["runs_on"], cells["at_least"]), found)


def _truck_test(cells: q.Cells, units: Units) -> str:
    lacking = _amount(q.TRUCK_LIGHT, "truck too light by ", units.weight, cells, units)
    return _judged(
        [
            (q.HITCH_DIFFERS, f'"hitch differs: "&{cells["hitch"]}'),
            (q.TRUCK_LIGHT, f'{lacking}&" ("&{cells["truck_by"]}&")"'),
            (q.FRONT_AXLE, _amount(q.FRONT_AXLE, "truck's front axle over by ", units.weight, cells, units)),
        ],
        cells,
        units,
    )


def _verdict(c: dict[str, str]) -> dict[str, str]:
    """What is missing, and the verdict: an error, the first thing wrong, what is missing, what to check, or carries."""
    t = top_cells()
    lacking = "&".join(_missing(c[f.key], label(f)) for f in TRAILER_FIGURES if not f.blank_is_none)
    missing = f'IF({c["asked"]}=1,MID({lacking}&{t["Machine missing"]}&{t["Truck missing"]},3,999),"")'
    more = f'LEN({c["missing"]})-LEN(SUBSTITUTE({c["missing"]},";",""))+1-{NAMED}'
    first = f'LEFT({c["missing"]},FIND("|",SUBSTITUTE({c["missing"]},";","|",{NAMED}))-1)'
    named = f'IF({more}>0,{first}&" and "&({more})&" more",{c["missing"]})'
    answer = (
        f'IF({c["missing"]}<>"","{MISSING}"&{named},'
        f'IF(LEFT({c["drive_on"]},{len(q.CHECK)})="{q.CHECK}",'
        f'"{CHECK}"&MID({c["drive_on"]},{len(q.CHECK) + 1},99),"{CARRIES}"))'
    )
    softer = {"place": q.CAUTION, "size": q.CAUTION, "drive_on": q.CHECK}
    for key in reversed(TESTS):
        fine = f'{c[key]}="",{c[key]}="{OK}"'
        if key in softer:
            fine += f',LEFT({c[key]},{len(softer[key])})="{softer[key]}"'
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
