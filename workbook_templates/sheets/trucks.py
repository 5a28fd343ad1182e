"""The Trucks sheet: what pulls, one row a truck, in one table named Trucks."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from openpyxl.worksheet.worksheet import Worksheet

from tarelot.calc.rules.entries import TRUCK as ASKED
from tarelot.workbook_templates.basis.limits import Typed
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.lot.column import Input, given
from tarelot.workbook_templates.sheets import demo_yard
from tarelot.workbook_templates.sheets.list_sheet import check_results, read_demo, write_table

SHEET = TABLE = "Trucks"
KEY = "Truck"
BLANK_ROWS = 60
HINT = "One row a truck, ratings from its certification label and hitch, weights from a scale with driver and fuel."

COLUMNS: tuple[Input, ...] = (
    given("truck", KEY, "", "key", "A name of your own, each only once.", width=26, greatest=60),
    given("maker", "Maker", "", "text", "Maker of the truck.", width=13, greatest=60),
    given(
        "hitches",
        "Hitches",
        "",
        "text",
        "Which it has: pintle, ball, gooseneck, with commas between them.",
        width=22,
        greatest=60,
    ),
    given(
        "coupler_sizes",
        "Coupler sizes",
        "",
        "text",
        "Each ball, eye or kingpin that fits, as the Lot's Coupler size says it, with ; between them.",
        width=24,
        greatest=120,
    ),
    given(
        "brake_controls",
        "Brake controls",
        "",
        "text",
        "electric, air, with ; between them. Surge brakes need none; type none where there is none.",
        width=15,
        greatest=60,
    ),
    given("truck_gvwr", "GVWR ({weight})", "", "number", "Gross vehicle weight rating on the certification label."),
    given("gcwr", "GCWR ({weight})", "", "number", "Gross combination weight rating stated by the maker."),
    given(
        "label_gcwr",
        "GCWR on label ({weight})",
        "",
        "from zero",
        "GCWR on the certification label (49 CFR 383.5); 0 where the label states none.",
    ),
    given("front_rating", "Front axle rating ({weight})", "", "number", "Rating of the front axle (GAWR)."),
    given("rear_rating", "Rear axle rating ({weight})", "", "number", "Rating of the rear axles together (GAWR)."),
    given("rear_axles", "Rear axles", "", "whole", "Number of rear axles: 1, 2 or 3.", width=7, greatest=3),
    given(
        "rear_spread",
        "Rear axle spread ({short})",
        "",
        "from zero",
        "From the center of the first rear axle to that of the last; 0 for one axle.",
    ),
    given(
        "front_empty",
        "Front axle empty ({weight})",
        "",
        "number",
        "Weight on the front axle, no trailer, from a scale.",
    ),
    given(
        "rear_empty", "Rear axle empty ({weight})", "", "number", "Weight on the rear axles, no trailer, from a scale."
    ),
    given("hitch_rating", "Hitch rating ({weight})", "", "number", "Greatest trailer gross for the hitch."),
    given("hitch_vertical", "Hitch vertical ({weight})", "", "number", "Greatest downward load on the hitch."),
    given(
        "truck_wheelbase", "Wheelbase ({short})", "", "number", "From the front axle to the middle of the rear axles."
    ),
    given(
        "hitch_overhang",
        "Hitch overhang ({short})",
        "",
        "offset",
        "From there back to the hitch; negative ahead of the rear axles.",
    ),
)


def write(sheet: Worksheet, rows: Sequence[Mapping[str, object]], units: Units) -> None:
    """Write the sheet; empty mappings are rows to be filled later."""
    write_table(sheet, TABLE, COLUMNS, ASKED, rows, units, HINT)


def doubts(rows: Sequence[Mapping[str, object]], units: Units, typed: Typed | None = None) -> list[str]:
    """The entry check of each row; blank where nothing is in doubt.

    Args:
        rows: Values by heading.
        units: The workbook's units.
        typed: What the yard typed on its Limits sheet.
    """
    return check_results(TABLE, COLUMNS, ASKED, rows, units, typed)


def demo_rows() -> list[dict[str, demo_yard.Typed]]:
    """The demo yard's invented trucks, by heading."""
    return read_demo("trucks.csv", COLUMNS)
