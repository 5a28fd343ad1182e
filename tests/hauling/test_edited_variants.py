"""The demo and edited workbooks: every stored result of every sheet is what LibreOffice makes of its formula."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

import pytest
import scipy.constants

from tarelot.workbook_templates import workbook
from tarelot.workbook_templates.basis.units import METRIC, US, Units
from tarelot.workbook_templates.hauling import upkeep
from tarelot.workbook_templates.hauling.results import Hauling
from tarelot.workbook_templates.sheets import demo_yard, machines, trucks
from tests.engines.hand_case import MACHINE, TRAILER, TRUCK
from tests.engines.office import Office
from tests.engines.stored_results import differing_everywhere, differing_in_ironcalc

Row = dict[str, object]
PER = {"(lb)": ("(kg)", scipy.constants.pound), "(in)": ("(mm)", 25.4), "(ft)": ("(m)", scipy.constants.foot)}
"""Kilograms, millimeters and meters in a pound, an inch and a foot."""
HAND = ("T1", "Hand loader", "Hand dump")


@dataclass
class Variant:
    """The hand case, some of its figures other ones: columns without unit, choices, what is typed over."""

    trailer: Row = field(default_factory=dict)
    machine: Row = field(default_factory=dict)
    truck: Row = field(default_factory=dict)
    choices: tuple[object, object, object] = HAND
    typed: dict[str, float | str | bool] = field(default_factory=dict)
    units: Units = US

    def write(self, path: Path) -> None:
        trailer, machine, truck = (
            self.in_units({**row, **changed})
            for row, changed in ((TRAILER, self.trailer), (MACHINE, self.machine), (TRUCK, self.truck))
        )
        hauling = Hauling([machine, {}], [truck, {}], self.choices, self.typed)
        workbook.write(path, [trailer, {}], [], self.units, hauling=hauling, match_choices=self.choices[1:])

    def in_units(self, row: Row) -> Row:
        """A row in the variant's units."""
        found: Row = {}
        for heading, value in row.items():
            unit, per = PER.get(heading[-4:], ("", 1.0)) if self.units is METRIC else ("", 1.0)
            number = isinstance(value, int | float) and not isinstance(value, bool)
            found[heading[:-4] + unit if unit else heading] = value * per if number and unit else value  # type: ignore[operator]
        return found


def write_choices(path: Path) -> None:
    """The demo yard with a tracked machine and no truck, where Match asks about another one."""
    hauling = Hauling(machines.demo_rows(), trucks.demo_rows(), ("1120", "Excavator 8", None))
    rows = [row for row in demo_yard.trailers() if row["Stock no."] in ("1120", "1103", "1123")]
    workbook.write(path, rows, demo_yard.options(), US, hauling=hauling, match_choices=("Roller 54", "Road tractor 52"))


NO_FIGURES = {heading: None for row in (MACHINE, TRUCK) for heading in row if heading.endswith(")")}
VARIANTS: dict[str, Callable[[Path], None]] = {
    "demo": workbook.write_demo,
    "other choices": write_choices,
    "hand case": Variant().write,
    "blanks": Variant(
        {"Empty pin (lb)": None, "Tie-down rating (lb)": None, "Hitch": None},
        {"Height (in)": None, "Runs on": None},
        {"GCWR (lb)": None, "Rear axle empty (lb)": None},
    ).write,
    "texts for numbers": Variant(
        {"Deck height (in)": "low", "Coupler to deck (ft)": "5 ft"},
        {"Weight (lb)": "heavy", "Front contact to center (in)": "half"},
        {"GVWR (lb)": "58,000 lb"},
    ).write,
    "text for a length": Variant({}, {"Front contact to center (in)": "half", "Height (in)": "tall"}).write,
    "huge": Variant(
        # Functions go to 1e12, formulas beyond: what they work out must stay below too.
        {"Deck length (ft)": 1e4, "Coupler rating (lb)": 1e12},
        {"Weight (lb)": 9e7, "Height (in)": 1e12},
        {"GVWR (lb)": 5e11},
    ).write,
    "figures deleted": Variant({}, dict(NO_FIGURES), dict(NO_FIGURES)).write,
    "typed over": Variant(
        typed={
            "weight": 15_500.0,
            "front_overhang": 40.0,
            "front_clearance": 30.0,
            "place": 14.5,
            "tail_drop": 8.0,
            "tail_length": 48.0,
            "hitches": "ball, pintle",
            "low_share": 0.12,
            "rear_rating": 17_000.0,
        }
    ).write,
    "nonsense typed over": Variant(
        typed={
            "weight": 15_500.0,
            "deck_length": "long",
            "empty_pin": 9_999.0,
            "high_share": 2.0,
            "runs_on": "tracks",
            "hitches": 4.0,
            "point_rating": "good",
        }
    ).write,
    "also aboard": Variant(
        typed={
            "item_1_name": "Plate compactor",
            **{"item_1_weight": 250.0, "item_1_center": 17.0, "item_1_length": 34.0},
            **{"item_1_width": 20.0, "item_1_height": 42.0, "item_2_on": "machine", "item_2_weight": 400.0},
            **{"item_2_center": -0.5, "item_2_length": 12.0, "item_2_width": 48.0, "item_2_height": 40.0},
            **{"item_3_name": "Hand loader", "item_3_center": 1.0, "item_3_weight": 900.0},
        }
    ).write,
    "nonsense aboard": Variant(
        typed={
            **{"item_1_name": "Hand *", "item_1_weight": "heavy", "item_1_center": -40.0, "item_1_length": 1e6},
            **{"item_2_name": 7.0, "item_2_on": "roof", "item_2_weight": 0.0, "item_2_height": 1.0},
            **{"item_3_weight": 9e9, "item_3_center": 3.0, "item_3_length": 1.0, "item_3_width": 9e9},
            **{"item_4_name": "hand LOADER", "item_4_on": "machine", "item_4_center": "front", "place": 9.0},
        }
    ).write,
    "aboard, metric": Variant(
        units=METRIC,
        typed={
            **{"item_1_name": "Box", "item_1_weight": 120.0, "item_1_center": 5.0, "item_1_length": 600.0},
            **{"item_1_width": 500.0, "item_1_height": 900.0, "item_4_name": "Hand loader", "item_4_center": 1.0},
        },
    ).write,
    "no place": Variant({"Empty pin (lb)": 1.0}, {"Weight (lb)": 500.0}, typed={"place": 10.0}).write,
    "nothing found": Variant(choices=(1105.0, "Hand *", "Cart")).write,
    "metric": Variant(units=METRIC, typed={"ramp_length": 2_000.0}).write,
}


TRUE = Variant(
    {"Body": "deck over", "Coupler to deck (ft)": True, "Tie-down points": True},
    {"Wheelbase (in)": True, "Front contact to center (in)": True},
    {"GCWR (lb)": True},
    typed={"machine_width": True, "place": True},
)
"""LibreOffice has no truth value in a cell and takes it for the number 1 (``tests/engines/gaps.py``)."""


@pytest.mark.parametrize("name", [name for name in VARIANTS if "aboard" in name])
def test_every_stored_result_with_more_aboard_equals_ironcalc(name: str, tmp_path: Path) -> None:
    path = tmp_path / "lot.xlsx"
    VARIANTS[name](path)
    for sheet in ("Match", "What-if", "Drive-on", "Card"):
        assert differing_in_ironcalc(path, sheet) == []


@pytest.mark.parametrize("name", VARIANTS)
def test_every_stored_result_equals_libreoffice(name: str, tmp_path: Path, office: Office) -> None:
    path = tmp_path / "lot.xlsx"
    VARIANTS[name](path)
    assert differing_everywhere(path, office.recalculate(path)) == []


def test_every_stored_result_with_true_in_cells_equals_ironcalc(tmp_path: Path) -> None:
    path = tmp_path / "lot.xlsx"
    TRUE.write(path)
    for sheet in ("Lot", "Trailer", "Match", "Compare", "What-if", "Drive-on", "Card", "Quote"):
        assert differing_in_ironcalc(path, sheet) == []
    # IronCalc asks one cell at a time whether it holds a formula, and Start says that it cannot tell.
    differing = {cell for cell, *_ in differing_in_ironcalc(path, "Start")}
    assert {cell for cell in differing if not cell.startswith(upkeep.COUNT_COLUMN)} == {upkeep.TYPED_OVER}
