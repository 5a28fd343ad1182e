"""What the answers of What-if are made of, as named values on the Drive-on sheet: weights, band, truck, angles."""

from __future__ import annotations

from tarelot.calc.cells.expression import Expression
from tarelot.calc.cells.formulas import Call, Cell, cell_formula
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling.drive_on import sheet as drive_on_sheet
from tarelot.workbook_templates.hauling.questions import DECK_SHORT, OFF_DECK
from tarelot.workbook_templates.hauling.what_if.rows import used_elsewhere
from tarelot.workbook_templates.hauling.what_if.written import Written, is_over

SWEPT = ("deck height", "tail drop", "tail length", "ramp length")


class Values:
    """Named values on the Drive-on sheet: its own, and those added below them."""

    def __init__(self, units: Units) -> None:
        self._units = units
        self.more: dict[str, Expression] = {}

    def add(self, name: str, formula: str) -> str:
        """Add a value; its absolute cell on the Drive-on sheet."""
        self.more[name.replace(" ", "_")] = Written(formula)
        return self.cell(name)

    def cell(self, name: str) -> str:
        """The cell of a value on the Drive-on sheet."""
        key = ("swept " + name if name in SWEPT else name).replace(" ", "_")
        return drive_on_sheet.places(self._units, self.more)[key]

    def elsewhere(self, name: str) -> str:
        """The cell of a value as other sheets refer to it."""
        return f"'{drive_on_sheet.SHEET}'!{self.cell(name)}"


def window_values(values: Values, units: Units) -> None:
    """Add what the answers are made of: weights, the band of the load's centre, truck, rules, angles."""
    u = used_elsewhere()
    refs = {key: Cell(cell) for key, cell in u.items()}
    ratings = tuple(refs[k] for k in ("gvwr", "axle_group", "coupler", "coupler_vertical", "low_share", "high_share"))
    values.add("gross limit", cell_formula(Call("LOT_GROSS_LIMIT", ratings)))
    values.add("limited by", cell_formula(Call("LOT_LIMITED_BY", ratings)))
    both = f"AND(ISNUMBER({u['empty']}),ISNUMBER({u['weight']}))"
    values.add("gross", f'IF({both},{u["empty"]}+{u["weight"]},"")')
    _band_values(values, units)
    values.add(
        "coupler to load", f'IF(AND(ISNUMBER({u["place"]}),ISNUMBER({u["to_deck"]})),{u["place"]}+{u["to_deck"]},"")'
    )
    _load_values(values, units)
    _truck_values(values)
    _rule_values(values, units)
    _angle_values(values)


def _band_values(values: Values, units: Units) -> None:
    """Add the allowed band of the load's centre, long unit from the deck's front."""
    u, c = used_elsewhere(), values.cell
    factor = f"{units.short_per_long:g}"
    beam = ("empty", "empty_pin", "to_axles", "weight")
    limits = tuple(Cell(u[k]) for k in (*beam, "low_share", "high_share", "axle_group", "coupler_vertical"))
    values.add("foremost", cell_formula(Call("LOT_FOREMOST", limits)))
    values.add("rearmost", cell_formula(Call("LOT_REARMOST", limits)))
    lengths = ",".join(f"ISNUMBER({u[k]})" for k in ("to_deck", "deck_length", "wheelbase", "to_centre"))
    known = f"IF(ISNUMBER({c('foremost')}),AND({lengths}),FALSE)"
    low = f"MAX({c('foremost')}-{u['to_deck']},{u['to_centre']}/{factor})"
    high = f"MIN({c('rearmost')}-{u['to_deck']},{u['deck_length']}-({u['wheelbase']}-{u['to_centre']})/{factor})"
    values.add("band from", f'IF({known},{low},"")')
    values.add("band to", f'IF({known},{high},"")')
    cells = u | {"band_from": c("band from"), "band_to": c("band to")}
    short, off = (is_over(question, cells, units) for question in (DECK_SHORT, OFF_DECK))
    values.add(
        "band",
        f'IF(ISNA({c("foremost")}),"no place",IF(ISERROR({c("foremost")}),"check",IF({short},"short",'
        f'IF(ISNUMBER({c("band from")}),IF({off},"off the deck","ok"),""))))',
    )
    values.add("proposed", f'IF({c("band")}="ok",({c("band from")}+{c("band to")})/2,"")')


def _load_values(values: Values, units: Units) -> None:
    """Add pin and axles with the load in its place, and how far the tail is behind the coupler."""
    u, c = used_elsewhere(), values.cell
    factor = f"{units.short_per_long:g}"
    placed = (*(Cell(u[k]) for k in ("empty", "empty_pin", "to_axles", "weight")), Cell(c("coupler to load")))
    values.add("pin", cell_formula(Call("LOT_PIN_AT", placed)))
    values.add("axle load", cell_formula(Call("LOT_AXLES_AT", placed)))
    values.add("pin share", f'IF(ISNUMBER({c("pin")}),{c("pin")}/{c("gross")},"")')
    values.add(
        "tail from coupler",
        f'IF(AND(ISNUMBER({u["to_deck"]}),ISNUMBER({u["deck_length"]})),{c("tail end x")}/{factor},"")',
    )


def _truck_values(values: Values) -> None:
    """Add what the truck may pull, and what the pin does to its axles."""
    u, c = used_elsewhere(), values.cell
    refs = {key: Cell(cell) for key, cell in u.items()}
    values.add(
        "truck empty",
        f'IF(AND(ISNUMBER({u["front_empty"]}),ISNUMBER({u["rear_empty"]})),{u["front_empty"]}+{u["rear_empty"]},"")',
    )
    values.add(
        "share for truck",
        f'IF(ISNUMBER({c("pin share")}),IF(AND({c("pin share")}>0,{c("pin share")}<1),{c("pin share")},""),"")',
    )
    truck = (
        refs["truck_gvwr"],
        Cell(c("truck empty")),
        Cell(c("share for truck")),
        *(refs[k] for k in ("gcwr", "hitch_rating", "hitch_vertical", "rear_rating", "rear_empty")),
        refs["truck_wheelbase"],
        refs["hitch_overhang"],
    )
    values.add("truck limit", cell_formula(Call("LOT_TRUCK_LIMIT", truck)))
    values.add("truck limited by", cell_formula(Call("LOT_TRUCK_LIMITED_BY", truck)))
    change = (Cell(c("pin")), refs["truck_wheelbase"], refs["hitch_overhang"])
    values.add("rear change", cell_formula(Call("LOT_REAR_AXLE_CHANGE", change)))
    values.add("front change", cell_formula(Call("LOT_FRONT_AXLE_CHANGE", change)))


def _rule_values(values: Values, units: Units) -> None:
    """Add weights in pounds and the length in feet, as the federal rules state their limits."""
    u, c = used_elsewhere(), values.cell
    pounds, feet = f"{units.weight_per_pound:.15g}", f"{12 * units.short_per_inch:.15g}"
    length = f"({u['wheelbase']}+N({u['front_overhang']})+N({u['rear_overhang']}))"
    values.add("weight in lb", f'IF(ISNUMBER({u["weight"]}),{u["weight"]}/{pounds},"")')
    values.add("length in ft", f'IF(ISNUMBER({u["wheelbase"]}),{length}/{feet},"")')
    for name, key in (
        ("truck GVWR in lb", "truck_gvwr"),
        ("trailer GVWR or gross in lb", "gvwr"),
        ("GCWR in lb", "gcwr"),
    ):
        heaviest = f"MAX({u[key]},N({c('gross')}))" if key == "gvwr" else u[key]
        values.add(name, f'IF(ISNUMBER({u[key]}),{heaviest}/{pounds},"")')
    values.add(
        "actual gross in lb",
        f'IF(AND(ISNUMBER({c("gross")}),ISNUMBER({c("truck empty")})),({c("gross")}+{c("truck empty")})/{pounds},"")',
    )


def _angle_values(values: Values) -> None:
    """Add the breaks of the drive-on, and the angles that the machine clears."""
    u, c = used_elsewhere(), values.cell
    trailer = tuple(Cell(c(n)) for n in ("deck height", "tail drop", "tail length", "ramp length"))
    for place in ("foot", "ramp top", "tail top"):
        angle = cell_formula(Call("LOT_BREAK_ANGLE", (*trailer, place)))
        values.add(f"break at {place}", f'IF({c("ready")}=1,{angle},"")')
    values.add("break-over", cell_formula(Call("LOT_BREAKOVER_ANGLE", (Cell(u["clearance"]), Cell(u["wheelbase"])))))
    for part in ("front", "rear"):
        over, gap = u[f"{part}_overhang"], u[f"{part}_clearance"]
        values.add(
            f"{part} angle",
            f"IF(AND(N({over})>0,N({gap})>0),DEGREES(ATAN({gap}/{over})),90)",
        )
