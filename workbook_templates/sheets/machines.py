"""The Machines sheet: what customers haul, one row a machine, in one table named Machines."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from openpyxl.worksheet.worksheet import Worksheet

from tarelot.calc.rules.entries import MACHINE as ASKED
from tarelot.workbook_templates.basis.limits import Typed
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.lot.column import Input, given
from tarelot.workbook_templates.sheets import demo_yard, list_sheet
from tarelot.workbook_templates.sheets.list_sheet import check_results, read_demo, write_table

SHEET = TABLE = "Machines"
KEY = "Machine"
FIRST_ROW = list_sheet.FIRST_ROW
WHEELS, TRACKS = "wheels", "tracks"
BLANK_ROWS = 60
HINT = "One row a machine, figures from its data plate and the maker's sheet. Type in the cream cells."

COLUMNS: tuple[Input, ...] = (
    given("machine", KEY, "", "key", "A name of your own, each only once.", width=26, greatest=60),
    given("maker", "Maker", "", "text", "Maker of the machine.", width=13, greatest=60),
    given("runs_on", "Runs on", "", "text", "wheels or tracks.", (WHEELS, TRACKS), width=9),
    given(
        "weight",
        "Weight ({weight})",
        "",
        "number",
        "Working weight with attachments, fuel and water, best from a scale.",
    ),
    given(
        "wheelbase",
        "Wheelbase ({short})",
        "",
        "number",
        "From the front to the rear wheels' contacts; for tracks the length that lies on the ground.",
    ),
    given(
        "to_center",
        "Front contact to center ({short})",
        "",
        "number",
        "From the front wheels (the tracks' front end) back to the center of gravity.",
        width=14,
    ),
    given("clearance", "Ground clearance ({short})", "", "number", "Least clearance between the contacts."),
    given(
        "front_overhang",
        "Front overhang ({short})",
        "",
        "from zero",
        "How far it reaches ahead of the front contact; 0 for none.",
    ),
    given(
        "front_clearance",
        "Front clearance ({short})",
        "",
        "from zero",
        "Least clearance of the front overhang, attachment carried low.",
    ),
    given(
        "rear_overhang",
        "Rear overhang ({short})",
        "",
        "from zero",
        "How far it reaches behind the rear contact; 0 for none.",
    ),
    given("rear_clearance", "Rear clearance ({short})", "", "from zero", "Least clearance of the rear overhang."),
    given("machine_width", "Width ({short})", "", "number", "Greatest width."),
    given("machine_height", "Height ({short})", "", "number", "Greatest height as hauled."),
    given(
        "tread_outside",
        "Outside of tires or tracks ({short})",
        "",
        "number",
        "From the outside of the left ones to the outside of the right ones.",
        width=13,
    ),
    given(
        "shoe_width",
        "Tire or track width ({short})",
        "",
        "number",
        "Width of one tire or track on the ground; for a drum, half its width.",
        width=12,
    ),
    given("climb", "Greatest slope (deg)", "", "number", "Steepest slope that the maker lets it climb, in degrees."),
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
    """The demo yard's invented machines, by heading."""
    return read_demo("machines.csv", COLUMNS)
