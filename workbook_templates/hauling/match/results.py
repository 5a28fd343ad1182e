"""Match in Python: the same tests and verdicts as the sheet's formulas, and the exact sweep where the bounds leave off.

A row's columns are filled in the order in which they read each other; a column whose calculation meets an error value
holds that value, as a cell would, and what reads it holds the same.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence

from tarelot.calc.cells.boundary import ERROR_VALUES, CellError, call
from tarelot.calc.registry import BY_NAME
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling import questions as q
from tarelot.workbook_templates.hauling.match import columns as m
from tarelot.workbook_templates.hauling.match.columns import (
    CARRIES,
    CHECK,
    MACHINE_FIGURES,
    MISSING,
    NAMED,
    NO_PLACE,
    OK,
    OUT_OF_RANGE,
    TESTS,
    TRAILER_FIGURES,
    TRUCK_FIGURES,
)
from tarelot.workbook_templates.hauling.match.values import Value, Values
from tarelot.workbook_templates.hauling.what_if.rows import MACHINE, TRUCK, Figure
from tarelot.workbook_templates.lot.columns import KEY
from tarelot.workbook_templates.sheets.machines import WHEELS

Row = Mapping[str, object]
TRAILER_PROFILE = ("deck_height", "tail_drop_or_0", "tail_length_or_0", "ramp_length")
MACHINE_UNDERSIDE = (
    "wheelbase",
    "clearance",
    "front_overhang",
    "front_clearance",
    "rear_overhang",
    "rear_clearance",
)


def find(rows: Sequence[Row], key: str, chosen: object) -> int | None:
    """Index of the first row that a choice names, in any case as a spreadsheet looks; None where there is none."""
    if chosen in (None, "", 0):
        return None
    return next((place for place, row in enumerate(rows) if _same(row.get(key)) == _same(chosen)), None)


def _same(value: object) -> object:
    return value.lower() if isinstance(value, str) else value


def _listed(row: Row, figure: Figure, units: Units) -> Value:
    """A cell as the formulas read it: blank where it is empty or, but for an offset, 0."""
    value = row.get(units.heading(figure.heading))
    if value is None or value == "" or (value == 0 and figure.kind != "offset"):
        return ""
    return value if isinstance(value, str) else float(value)  # type: ignore[arg-type]


def top(machine_rows: Sequence[Row], truck_rows: Sequence[Row], choices: tuple[object, object], units: Units) -> Values:
    """The cells of the chosen machine and truck."""
    found = Values({})
    lists = ((MACHINE, machine_rows, MACHINE_FIGURES, "Machine"), (TRUCK, truck_rows, TRUCK_FIGURES, "Truck"))
    for (group, rows, figures, key), choice in zip(lists, choices, strict=True):
        place = find(rows, key, choice)
        none = choice in (None, "", 0)
        found.cells[f"row of {group}"] = "" if none else m.NOT_LISTED if place is None else float(place + 1)
        row = {} if place is None else rows[place]
        found.cells |= {figure.key: _listed(row, figure, units) for figure in figures}
        maker = row.get("Maker")
        found.cells[f"maker of {group}"] = maker if isinstance(maker, str) else ""
        lacking = [m.label(f) for f in figures if not f.blank_is_none and found.cells[f.key] == ""]
        if group == MACHINE:
            for end in ("front", "rear"):
                if found.cells[f"{end}_clearance"] == "" and found.cells[f"{end}_overhang"] != "":
                    lacking.append(f"machine's {end} clearance")
        found.cells[f"{group} missing"] = "" if place is None else "".join(f"; {name}" for name in lacking)
    found.put("tie_downs", lambda: _tie_downs(found, units))
    ends = ("front_empty", "rear_empty")
    found.put("Truck empty", lambda: "" if found.blank(*ends) else sum(map(found.number, ends)))
    return found


def _tie_downs(t: Values, units: Units) -> Value:
    if t.blank("weight", "wheelbase"):
        return ""
    ends = [t[key] for key in ("front_overhang", "rear_overhang")]
    length = t.number("wheelbase") + sum(end for end in ends if isinstance(end, float))
    weight, feet = t.number("weight") / units.weight_per_pound, length / (12 * units.short_per_inch)
    return call(BY_NAME["LOT_TIEDOWN_COUNT"], [weight, feet, None, "machine"])


def results(lot_rows: Sequence[Row], above: Values, units: Units, *, exact: bool = False) -> list[dict[str, Value]]:
    """The columns of each trailer by key.

    Args:
        lot_rows: Inputs and results of the lot by heading, one mapping a row, in the table's order.
        above: The chosen machine and truck, from :func:`top`.
        units: The workbook's units.
        exact: Whether the exact sweep decides what the bounds leave open, for a machine on wheels.
    """
    return [_row(number, row, above, units, exact=exact) for number, row in enumerate(lot_rows, 1)]


def _row(number: int, row: Row, above: Values, units: Units, *, exact: bool) -> dict[str, Value]:
    pulled = {figure.key: _listed(row, figure, units) for figure in (*TRAILER_FIGURES, m.LIMIT)}
    v = Values({**above.cells, **pulled, "line": float(number), "row": float(number)})
    for key, heading in (("stock", KEY), ("status", "Status"), ("make", "Make"), ("model", "Model")):
        v.cells[key] = _listed(row, Figure(key, "", heading, kind="text"), units)
    v.put("trailer", lambda: " ".join(" ".join(_shown(v[key]) for key in ("make", "model")).split()))
    known = isinstance(v.cells["row of Machine"], float) and v.cells["row of Truck"] != m.NOT_LISTED
    v.put("asked", lambda: float(known and (v["stock"] != "" or v["gvwr"] != "")) if known else 0.0)
    for key, calculate in _columns(v, units):
        v.put(key, calculate)
    if exact and v.cells["drive_on"] == q.CHECK:
        v.put("drive_on", lambda: _swept(v, units))
    v.put("missing", lambda: _lacking(v))
    v.cells["verdict"] = _verdict(v)
    return {column.key: v.cells[column.key] for column in m.COLUMNS}


def _columns(v: Values, units: Units) -> Iterator[tuple[str, Callable[[], Value]]]:
    """Each worked column and test with its calculation, after those that it reads."""
    limits = ("empty", "empty_pin", "to_axles", "weight", "low_share", "high_share", "axle_group", "coupler_vertical")
    profile, underside = TRAILER_PROFILE, MACHINE_UNDERSIDE
    ratings = ("gcwr", "hitch_rating", "hitch_vertical", "rear_rating", "rear_empty")
    truck = ("truck_gvwr", "Truck empty", "pin_share", *ratings, "truck_wheelbase", "hitch_overhang")
    change = ("pin", "truck_wheelbase", "hitch_overhang")
    yield "tail_drop_or_0", lambda: 0.0 if v["tail_drop"] == "" else v["tail_drop"]
    yield "tail_length_or_0", lambda: 0.0 if v["tail_length"] == "" else v["tail_length"]
    yield "foremost", lambda: _or_no_place(v, "LOT_FOREMOST", limits)
    yield "rearmost", lambda: _or_no_place(v, "LOT_REARMOST", limits)
    yield "band_from", lambda: _band(v, units, "foremost")
    yield "band_to", lambda: _band(v, units, "rearmost")
    yield "centre", lambda: _middle(v, units)
    yield "pin", lambda: _pin(v)
    yield "pin_share", lambda: "" if v.blank("pin") else v.number("pin") / (v.number("empty") + v.number("weight"))
    yield "truck_limit", lambda: v.ask("LOT_TRUCK_LIMIT", *truck)
    yield "truck_by", lambda: v.ask("LOT_TRUCK_LIMITED_BY", *truck)
    yield "front_change", lambda: v.ask("LOT_FRONT_AXLE_CHANGE", *change)
    for key, place in (("foot", "foot"), ("ramp_top", "ramp top"), ("tail_top", "tail top")):
        yield key, lambda place=place: _break(v, place)  # type: ignore[misc]
    yield "at_least", lambda: v.ask("LOT_CLEARANCE_AT_LEAST", *profile, *underside)
    yield "at_most", lambda: v.ask("LOT_CLEARANCE_AT_MOST", *profile, *underside)
    yield "spare", lambda: _spare(v)
    yield "payload", lambda: _payload(v, units)
    yield "place", lambda: _place(v, units)
    yield "size", lambda: _size(v, units)
    yield "drive_on", lambda: _drive_on(v, units)
    yield "ties", lambda: _ties(v, units)
    yield "truck", lambda: _truck(v, units)


def _or_no_place(v: Values, function: str, keys: Sequence[str]) -> Value:
    try:
        return v.ask(function, *keys)
    except CellError as error:
        if error.code == "#N/A":
            return NO_PLACE
        raise


def _break(v: Values, place: str) -> Value:
    return call(BY_NAME["LOT_BREAK_ANGLE"], [*(v.cells[key] for key in TRAILER_PROFILE), place])


def _band(v: Values, units: Units, end: str) -> Value:
    """An end of the band of the load's centre, from the deck's front edge."""
    if v.blank("foremost", "to_deck", "deck_length", "wheelbase", "to_centre"):
        return ""
    if v[end] == NO_PLACE:
        return ""
    factor, on_deck = units.short_per_long, v.number(end) - v.number("to_deck")
    centre = v.number("to_centre")
    if end == "foremost":
        return max(on_deck, centre / factor)
    return min(on_deck, v.number("deck_length") - (v.number("wheelbase") - centre) / factor)


def _middle(v: Values, units: Units) -> Value:
    """The middle of the band."""
    if v.blank("band_from", "band_to") or q.amount_over(q.OFF_DECK, v, units) > 0:
        return ""
    return (v.number("band_from") + v.number("band_to")) / 2


def _pin(v: Values) -> Value:
    """Weight on the hitch with the centre there."""
    if v.blank("centre"):
        return ""
    return v.ask("LOT_PIN_AT", "empty", "empty_pin", "to_axles", "weight", v.number("centre") + v.number("to_deck"))


def _spare(v: Values) -> Value:
    if v.blank("gross_limit", "empty", "weight"):
        return ""
    return float(math.floor(round(v.number("gross_limit") - v.number("empty") - v.number("weight"), 6)))


def _judged(v: Values, units: Units, *asked: tuple[q.Question, Callable[[float], str]]) -> Value:
    """What is said of the first question that goes over; else ``ok``, or blank where one is not answered."""
    for question, said in asked:
        amount = 0.0 if v.blank(*question.needs) else q.amount_over(question, v, units)
        if amount > 0:
            return said(amount)
    return "" if v.blank(*(key for question, _ in asked for key in question.needs)) else OK


def _payload(v: Values, units: Units) -> Value:
    return _judged(v, units, (q.WEIGHT, lambda over: f"payload short {_up(over)} {units.weight}"))


def _place(v: Values, units: Units) -> Value:
    if v["foremost"] == NO_PLACE:
        return "no place for its centre by pin and axles"
    return _judged(
        v,
        units,
        (q.DECK_SHORT, lambda over: f"deck too short by {_up(over)} {units.short}"),
        (q.OFF_DECK, lambda _: "no place on the deck for its centre"),
        (q.OVER_FRONT_EDGE, lambda _: f"{q.CAUTION}: reaches over the deck's front edge"),
    )


def _size(v: Values, units: Units) -> Value:
    def height(_: float) -> str:
        return f"too high loaded: {_up(v.number('deck_height') + v.number('machine_height'))} {units.short}"

    def width(_: float) -> str:
        widest = max(v.number("machine_width"), v.number("trailer_width"))
        return f"{q.CAUTION}: {_up(widest)} {units.short} wide needs a permit"

    wider = (q.WIDER, lambda over: f"wider than the trailer by {_up(over)} {units.short}")
    return _judged(v, units, wider, (q.TALL, height), (q.WIDE, width))


GAP_WORDS = ("touches on the drive-on", "tight on the drive-on", OK, q.CHECK)


def _drive_on(v: Values, units: Units) -> Value:
    if v.blank("runs_on", "at_least"):
        return ""
    for question, end in ((q.FRONT_STRIKES, "front"), (q.REAR_STRIKES, "rear")):
        if not v.blank(*question.needs) and q.amount_over(question, v, units) > 0:
            return f"ramp too steep for its {end}: {v.number('foot'):.1f} deg"
    if v.words("runs_on").lower() != WHEELS:
        return f"{q.CHECK}: tips over {max(v.number('ramp_top'), v.number('tail_top')):.1f} deg"
    return q.judged_gap(v.number("at_least"), v.number("at_most"), GAP_WORDS, units)


def _swept(v: Values, units: Units) -> Value:
    """The drive-on by the exact sweep, with where it is tightest."""
    keys = (*TRAILER_PROFILE, *MACHINE_UNDERSIDE)
    gap, where = v.ask("LOT_RAMP_CLEARANCE", *keys), v.ask("LOT_RAMP_TOUCH", *keys)
    if isinstance(gap, str):
        return gap
    touches, tight, clear, unsure = GAP_WORDS
    words = (f"{touches}: {where}", f"{tight}: {where}", clear, f"{unsure}: {gap:.1f} {units.short}, {where}")
    return q.judged_gap(gap, gap, words, units)


def _ties(v: Values, units: Units) -> Value:
    def few(_: float) -> str:
        return f"tie-downs short: {v.number('points'):g} of {v.number('tie_downs'):g}"

    weak = (q.TIES_WEAK, lambda over: f"tie-downs short {_up(over)} {units.weight}")
    return _judged(v, units, (q.TIES_FEW, few), weak)


def _truck(v: Values, units: Units) -> Value:
    if not isinstance(v.cells["row of Truck"], float):
        return ""
    return _judged(
        v,
        units,
        (q.HITCH_DIFFERS, lambda _: f"hitch differs: {v['hitch']}"),
        (q.TRUCK_LIGHT, lambda over: f"truck too light by {_up(over)} {units.weight} ({v['truck_by']})"),
        (q.FRONT_AXLE, lambda over: f"truck's front axle over by {_up(over)} {units.weight}"),
    )


def _lacking(v: Values) -> Value:
    if v["asked"] != 1:
        return ""
    names = [m.label(f) for f in TRAILER_FIGURES if not f.blank_is_none and v[f.key] == ""]
    return ("".join(f"; {name}" for name in names) + str(v["Machine missing"]) + str(v["Truck missing"]))[2:]


def _verdict(v: Values) -> str:
    """An error, the first thing that is wrong, what is missing, what to check, or carries."""
    if any(v.cells[key] in ERROR_VALUES for key in ("asked", *TESTS, "missing")):
        return OUT_OF_RANGE
    if v.cells["asked"] != 1:
        return ""
    drive_on = str(v.cells["drive_on"])
    for key in TESTS:
        if v.cells[key] not in ("", OK) and not str(v.cells[key]).startswith((q.CAUTION, q.CHECK)):
            return str(v.cells[key])
    if v.cells["missing"] != "":
        names = str(v.cells["missing"]).split("; ")
        more = f" and {len(names) - NAMED} more" if len(names) > NAMED else ""
        return f"{MISSING}{'; '.join(names[:NAMED])}{more}"
    return f"{CHECK}{drive_on.removeprefix(q.CHECK)}" if drive_on.startswith(q.CHECK) else CARRIES


def _up(amount: float) -> str:
    """An amount as text, to the next whole number."""
    return f"{math.ceil(round(amount, 6)):,}"


def _shown(value: object) -> str:
    return f"{value:.15g}" if isinstance(value, int | float) else str(value)


def head_results(
    found: Sequence[Mapping[str, Value]], lot_count: int, above: Values, choices: tuple[object, object], units: Units
) -> dict[str, str]:
    """The words above the table, by cell."""
    words = {}
    for group, source, choice in ((MACHINE, "Machines", choices[0]), (TRUCK, "Trucks", choices[1])):
        row, maker = above.cells[f"row of {group}"], str(above.cells[f"maker of {group}"])
        weight = above.cells["weight"]
        amount = f"{weight:,.0f}" if isinstance(weight, float) else weight
        what = f"{maker}, {above.cells['runs_on']}, {amount} {units.weight}" if group == MACHINE else maker
        nothing = "choose from the list" if group == MACHINE else "none chosen: no truck is checked"
        is_none = choice in (None, "", 0)
        words[m.FOUND[group]] = nothing if is_none else what if row != m.NOT_LISTED else f"▲ not on the {source} sheet"
    verdicts = [str(row["verdict"]) for row in found]
    asked = sum(row["asked"] == 1 for row in found)
    words[m.ANSWER] = (
        f"{verdicts.count(CARRIES)} of {asked} carry it; {sum(x.startswith(CHECK) for x in verdicts)} to check on "
        f"What-if; {sum(x.startswith(MISSING) for x in verdicts)} lack figures."
        if isinstance(above.cells["row of Machine"], float)
        else "Choose a machine in the cream cell, and a truck."
    )
    words[m.ROOM] = (
        f"The first {lot_count + m.SPARE_ROWS} rows of the Lot. Filter and sort by the headings; Lot row says "
        "which row it is."
    )
    return words


def stored(
    lot_rows: Sequence[Row],
    machine_rows: Sequence[Row],
    truck_rows: Sequence[Row],
    choices: tuple[object, object],
    units: Units,
) -> dict[str, float | str | bool | None]:
    """The result of every formula of the Match sheet, by cell."""
    above = top(machine_rows, truck_rows, choices, units)
    spare: list[Row] = [{}] * m.SPARE_ROWS
    found = results([*lot_rows, *spare], above, units)
    for row in found[len(lot_rows) :]:
        row["row"] = ""
    cells: dict[str, float | str | bool | None] = {
        f"{m.LETTERS[key]}{number}": value
        for number, row in enumerate(found, m.FIRST_ROW)
        for key, value in row.items()
        if key != "line"
    }
    cells |= {place.replace("$", ""): above.cells[key] for key, place in m.top_cells().items()}
    words = head_results(found, len(lot_rows), above, choices, units)
    return cells | {place.replace("$", ""): word for place, word in words.items()}
