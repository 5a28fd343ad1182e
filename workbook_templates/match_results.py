"""Match in Python: the same tests and verdicts as the sheet's formulas, and the exact sweep where the bounds leave off.

A row's columns are filled in the order in which they read each other; a column whose calculation meets an error value
holds that value, as a cell would, and what reads it holds the same.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence

from addin.boundary import ERROR_VALUES, CellError, call
from calc.registry import BY_NAME

from . import match
from .columns import KEY
from .match import (
    CARRIES,
    CHECK,
    MACHINE_FIGURES,
    MISSING,
    NO_PLACE,
    OUT_OF_RANGE,
    TESTS,
    TRAILER_FIGURES,
    TRUCK_FIGURES,
)
from .units import Units
from .what_if_rows import MACHINE, TRUCK, Figure

Value = float | str
Row = Mapping[str, object]
SMALL = 1e-6
"""What is left of a figure by rounding."""
TRAILER_PROFILE = ("deck_height", "tail_drop_or_0", "tail_length_or_0", "ramp_length")
MACHINE_UNDERSIDE = (
    "wheelbase",
    "clearance",
    "front_overhang",
    "front_clearance",
    "rear_overhang",
    "rear_clearance",
)


class Values:
    """Values by key. Reading an error value raises it, so that it passes on as in a spreadsheet."""

    def __init__(self, cells: Mapping[str, Value]) -> None:
        self.cells = dict(cells)

    def __getitem__(self, key: str) -> Value:
        value = self.cells[key]
        if value in ERROR_VALUES:
            raise CellError(str(value), f"{key} holds {value}")
        return value

    def number(self, key: str) -> float:
        """A value that is calculated with; a text there is #VALUE!."""
        value = self[key]
        if isinstance(value, str):
            raise CellError("#VALUE!", f"{key} is not a number")
        return value

    def blank(self, *keys: str) -> bool:
        """Whether any of the values is blank."""
        return any([self[key] == "" for key in keys])

    def put(self, key: str, calculate: Callable[[], Value]) -> None:
        """Fill a column, with the error value where there is one."""
        try:
            self.cells[key] = calculate()
        except CellError as error:
            self.cells[key] = error.code

    def ask(self, function: str, *keys: str | float | None) -> Value:
        """A worksheet function of values by key; a number or None stands for itself."""
        return call(BY_NAME[function], [self.cells[k] if isinstance(k, str) else k for k in keys])


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
        found.cells[f"row of {group}"] = "" if none else match.NOT_LISTED if place is None else float(place + 1)
        row = {} if place is None else rows[place]
        found.cells |= {figure.key: _listed(row, figure, units) for figure in figures}
        maker = row.get("Maker")
        found.cells[f"maker of {group}"] = maker if isinstance(maker, str) else ""
        lacking = [match.label(f) for f in figures if not f.blank_is_none and found.cells[f.key] == ""]
        if group == MACHINE:
            for end in ("front", "rear"):
                if found.cells[f"{end}_clearance"] == "" and found.cells[f"{end}_overhang"] != "":
                    lacking.append(f"machine's {end} clearance")
        found.cells[f"{group} missing"] = "" if place is None else "".join(f"; {name}" for name in lacking)
    found.put("Machine tie_downs", lambda: _tie_downs(found, units))
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
    pulled = {figure.key: _listed(row, figure, units) for figure in (*TRAILER_FIGURES, match.LIMIT)}
    v = Values({**above.cells, **pulled, "line": float(number), "row": float(number)})
    for key, heading in (("stock", KEY), ("status", "Status"), ("make", "Make"), ("model", "Model")):
        v.cells[key] = _listed(row, Figure(key, "", heading, kind="text"), units)
    v.put("trailer", lambda: " ".join(" ".join(_shown(v[key]) for key in ("make", "model")).split()))
    known = isinstance(v.cells["row of Machine"], float) and v.cells["row of Truck"] != match.NOT_LISTED
    v.put("asked", lambda: float(known and (v["stock"] != "" or v["gvwr"] != "")) if known else 0.0)
    for key, calculate in _columns(v, units):
        v.put(key, calculate)
    if exact and v.cells["drive_on"] == "check" and v.cells["runs_on"] == "wheels":
        v.put("drive_on", lambda: _swept(v, units))
    v.put("missing", lambda: _lacking(v))
    v.cells["verdict"] = _verdict(v)
    return {column.key: v.cells[column.key] for column in match.COLUMNS}


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
    factor, on_deck = match.per_long(units), v.number(end) - v.number("to_deck")
    centre = v.number("to_centre")
    if end == "foremost":
        return max(on_deck, centre / factor)
    return min(on_deck, v.number("deck_length") - (v.number("wheelbase") - centre) / factor)


def _pin(v: Values) -> Value:
    """Weight on the hitch with the centre in the middle of its band."""
    if v.blank("band_from", "band_to"):
        return ""
    low, high = v.number("band_from"), v.number("band_to")
    if low > high:
        return ""
    middle = (low + high) / 2 + v.number("to_deck")
    return v.ask("LOT_PIN_AT", "empty", "empty_pin", "to_axles", "weight", middle)


def _spare(v: Values) -> Value:
    if v.blank("gross_limit", "empty", "weight"):
        return ""
    return round(v.number("gross_limit") - v.number("empty") - v.number("weight"), 6)


def _payload(v: Values, units: Units) -> Value:
    if v.blank("spare"):
        return ""
    spare = v.number("spare")
    return f"payload short {_up(-spare)} {units.weight}" if spare < 0 else "ok"


def _place(v: Values, units: Units) -> Value:
    if v["foremost"] == NO_PLACE:
        return "no place for its centre by pin and axles"
    if not v.blank("wheelbase", "deck_length"):
        over = v.number("wheelbase") - v.number("deck_length") * match.per_long(units)
        if over > SMALL:
            return f"deck too short by {_up(over)} {units.short}"
    if v.blank("foremost", "band_from", "band_to"):
        return ""
    return "no place on the deck for its centre" if v.number("band_from") > v.number("band_to") else "ok"


def _size(v: Values, units: Units) -> Value:
    no_width, no_height = v.blank("machine_width", "trailer_width"), v.blank("deck_height", "machine_height")
    wider = 0.0 if no_width else v.number("machine_width") - v.number("trailer_width")
    if wider > 0:
        return f"wider than the trailer by {_up(wider)} {units.short}"
    height = 0.0 if no_height else v.number("deck_height") + v.number("machine_height")
    if height > match.tallest(units):
        return f"too high loaded: {_up(height)} {units.short}"
    return "" if no_width or no_height else "ok"


def _drive_on(v: Values, units: Units) -> Value:
    if v.blank("runs_on", "at_least"):
        return ""
    foot = v.number("foot")
    rise = v.number("deck_height") - v.number("tail_drop_or_0")
    touches = 0.0
    if v["front_overhang"] != "":
        reached = min(rise, v.number("front_overhang") * math.tan(math.radians(foot)))
        touches = reached - v.number("front_clearance")
    if str(v["runs_on"]).lower() != "wheels":
        tips = max(v.number("ramp_top"), v.number("tail_top"))
        return f"check: {'ramp steep for its front, ' if touches > SMALL else ''}tips over {tips:.1f} deg"
    if touches > SMALL:
        return f"ramp too steep for its front: {foot:.1f} deg"
    if v.number("at_most") < match.tight(units):
        return "touches on the drive-on" if v.number("at_most") < 0 else "tight on the drive-on"
    return "ok" if v.number("at_least") >= match.tight(units) else "check"


def _swept(v: Values, units: Units) -> Value:
    """The drive-on by the exact sweep, with where it is tightest."""
    keys = (*TRAILER_PROFILE, *MACHINE_UNDERSIDE)
    gap, where = v.ask("LOT_RAMP_CLEARANCE", *keys), v.ask("LOT_RAMP_TOUCH", *keys)
    if isinstance(gap, str):
        return gap
    if gap < match.tight(units):
        return f"{'touches' if gap < 0 else 'tight'} on the drive-on: {where}"
    return "ok"


def _ties(v: Values, units: Units) -> Value:
    if v.blank("points", "point_rating", "Machine tie_downs"):
        return ""
    points, count = v.number("points"), v.number("Machine tie_downs")
    if points < count:
        return f"tie-downs short: {points:g} of {count:g}"
    lacking = v.number("weight") - points * v.number("point_rating")
    return f"tie-downs short {_up(lacking)} {units.weight}" if lacking > 0 else "ok"


def _truck(v: Values, units: Units) -> Value:
    if not isinstance(v.cells["row of Truck"], float) or v.blank("hitch", "hitches"):
        return ""
    if str(v["hitch"]).lower() not in str(v["hitches"]).lower():
        return f"hitch differs: {v['hitch']}"
    if v.blank("truck_limit"):
        return ""
    lacking = v.number("empty") + v.number("weight") - v.number("truck_limit")
    if lacking > SMALL:
        return f"truck too light by {_up(lacking)} {units.weight} ({v['truck_by']})"
    if v.blank("front_empty", "front_rating", "front_change"):
        return ""
    over = v.number("front_empty") + v.number("front_change") - v.number("front_rating")
    return f"truck's front axle over by {_up(over)} {units.weight}" if over > SMALL else "ok"


def _lacking(v: Values) -> Value:
    if v["asked"] != 1:
        return ""
    names = [match.label(f) for f in TRAILER_FIGURES if not f.blank_is_none and v[f.key] == ""]
    return ("".join(f"; {name}" for name in names) + str(v["Machine missing"]) + str(v["Truck missing"]))[2:]


def _verdict(v: Values) -> str:
    """An error, the first thing that is wrong, what is missing, what to check, or carries."""
    if any(v.cells[key] in ERROR_VALUES for key in ("asked", *TESTS, "missing")):
        return OUT_OF_RANGE
    if v.cells["asked"] != 1:
        return ""
    drive_on = str(v.cells["drive_on"])
    for key in TESTS:
        if v.cells[key] not in ("", "ok") and not (key == "drive_on" and drive_on.startswith("check")):
            return str(v.cells[key])
    if v.cells["missing"] != "":
        return f"{MISSING}{v.cells['missing']}"
    return f"{CHECK}{drive_on[5:]}" if drive_on.startswith("check") else CARRIES


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
        words[match.FOUND[group]] = (
            nothing if is_none else what if row != match.NOT_LISTED else f"▲ not on the {source} sheet"
        )
    verdicts = [str(row["verdict"]) for row in found]
    asked = sum(row["asked"] == 1 for row in found)
    words[match.ANSWER] = (
        f"{verdicts.count(CARRIES)} of {asked} carry it; {sum(x.startswith(CHECK) for x in verdicts)} to check on "
        f"What-if; {sum(x.startswith(MISSING) for x in verdicts)} lack figures."
        if isinstance(above.cells["row of Machine"], float)
        else "Choose a machine in the cream cell, and a truck."
    )
    words[match.ROOM] = (
        f"The first {lot_count + match.SPARE_ROWS} rows of the Lot. Filter and sort by the headings; Lot row says "
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
    spare: list[Row] = [{}] * match.SPARE_ROWS
    found = results([*lot_rows, *spare], above, units)
    for row in found[len(lot_rows) :]:
        row["row"] = ""
    cells: dict[str, float | str | bool | None] = {
        f"{match.LETTERS[key]}{number}": value
        for number, row in enumerate(found, match.FIRST_ROW)
        for key, value in row.items()
        if key != "line"
    }
    cells |= {place.replace("$", ""): above.cells[key] for key, place in match.top_cells().items()}
    words = head_results(found, len(lot_rows), above, choices, units)
    return cells | {place.replace("$", ""): word for place, word in words.items()}
