"""The Trucks sheet: what pulls, one row a truck, in one table named Trucks."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from openpyxl.worksheet.worksheet import Worksheet

from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.lot.column import Input
from tarelot.workbook_templates.sheets import demo_yard
from tarelot.workbook_templates.sheets.machines import read_demo, write_table

SHEET = TABLE = "Trucks"
KEY = "Truck"
BLANK_ROWS = 10
HINT = "One row a truck, ratings from its certification label and hitch, weights from a scale with driver and fuel."

COLUMNS: tuple[Input, ...] = (
    Input(KEY, "", "key", "A name of your own, each only once.", width=26, greatest=60),
    Input("Maker", "", "text", "Maker of the truck.", width=13, greatest=60),
    Input("Hitches", "", "text", "Which it has: pintle, ball, gooseneck; commas between.", width=22, greatest=60),
    Input("GVWR ({weight})", "", "number", "Gross vehicle weight rating on the certification label."),
    Input("GCWR ({weight})", "", "number", "Gross combination weight rating stated by the maker."),
    Input("Front axle rating ({weight})", "", "number", "Rating of the front axle (GAWR)."),
    Input("Rear axle rating ({weight})", "", "number", "Rating of the rear axles together (GAWR)."),
    Input("Front axle empty ({weight})", "", "number", "Weight on the front axle, no trailer, from a scale."),
    Input("Rear axle empty ({weight})", "", "number", "Weight on the rear axles, no trailer, from a scale."),
    Input("Hitch rating ({weight})", "", "number", "Greatest trailer gross for the hitch."),
    Input("Hitch vertical ({weight})", "", "number", "Greatest downward load on the hitch."),
    Input("Wheelbase ({short})", "", "number", "From the front axle to the middle of the rear axles."),
    Input("Hitch overhang ({short})", "", "offset", "From there back to the hitch; negative ahead of the rear axles."),
)


def write(sheet: Worksheet, rows: Sequence[Mapping[str, object]], units: Units) -> None:
    """Write the sheet; empty mappings are rows to be filled later."""
    write_table(sheet, TABLE, COLUMNS, rows, units, HINT)


def demo_rows() -> list[dict[str, demo_yard.Typed]]:
    """The demo yard's invented trucks, by heading."""
    return read_demo("trucks.csv", COLUMNS)
