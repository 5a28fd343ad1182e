"""The Drive-on sheet: each cell as worked out in Python against two spreadsheet engines, and the tightest place.

The least gap is compared with the exact one of ``calc.clearance``, which shapely proves in ``tests/validation``.
"""

from __future__ import annotations

import random
from pathlib import Path
from typing import Any

import pytest
from openpyxl import Workbook
from openpyxl.utils import coordinate_to_tuple, get_column_letter

from tarelot.calc.cells.worked_out import WorkedOut
from tarelot.calc.clearance import break_angle, ramp_clearance, ramp_touch
from tarelot.calc.rules.hauling_figures import over
from tarelot.workbook_templates.basis.units import METRIC, US, Units
from tarelot.workbook_templates.hauling.drive_on import sheet as drive_on
from tarelot.workbook_templates.hauling.drive_on.sweep import positions
from tests.engines import ironcalc_model
from tests.engines.office import Office
from tests.engines.stored_results import same
from tests.hauling.drive_on_cases import STRIKES, Figures, random_case

CASES = 16  # 300 were compared once, with another start of the random numbers: a few seconds for each ten
SWEEP_TOLERANCE_IN = 0.1  # what the sheet promises


def worked_out(figures: Figures, units: Units = US) -> WorkedOut:
    return WorkedOut(figures, drive_on.expressions(units))


def write_cases(path: Path, cases: list[Figures], units: Units) -> None:
    """A workbook of figures, a column a case, and a Drive-on sheet for each."""
    book = Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.title = "Figures"
    for column, case in enumerate(cases, 1):
        places = {}
        for row, (key, value) in enumerate(case.items(), 1):
            sheet.cell(row, column, '=""' if value == "" else value)
            places[key] = f"Figures!${get_column_letter(column)}${row}"
        drive_on.write(book.create_sheet(f"Drive {column}"), places, units)
    book.save(path)


@pytest.mark.parametrize("units", [US, METRIC], ids=lambda units: units.name)
def test_every_cell_is_what_libreoffice_and_ironcalc_make_of_its_formula(
    units: Units, tmp_path: Path, office: Office
) -> None:
    chance = random.Random(f"drive-on {units.name}")
    cases = [random_case(chance, units) for _ in range(CASES)]
    path = tmp_path / "cases.xlsx"
    write_cases(path, cases, units)
    grids = office.recalculate(path)
    model = ironcalc_model.load(path)
    model.evaluate()
    differing, count = [], 0
    for number, case in enumerate(cases, 1):
        grid = grids[f"Drive {number}"]
        for cell, value in drive_on.stored(worked_out(case, units), units).items():
            row, column = coordinate_to_tuple(cell)
            others = grid[row - 1][column - 1], model.get_cell_value(number, row, column)
            count += 1
            if not all(same(value, other) for other in others) or (isinstance(value, str) and value.startswith("#")):
                differing.append((number, cell, value, others))
    assert count > 5_000 * CASES
    assert differing == []


def exact_arguments(figures: Figures, *, backward: bool) -> Any:
    """Arguments of ``ramp_clearance``; to back a machine on, its docstring says, front and rear change places."""
    ahead, behind = ("rear", "front") if backward else ("front", "rear")
    keys = ("deck_height", "tail_drop", "tail_length", "ramp_length", "wheelbase", "clearance")
    ends = [figures[f"{end}_{what}"] or None for end in (ahead, behind) for what in ("overhang", "clearance")]
    return [*(figures[key] or 0 for key in keys), *ends]


@pytest.mark.parametrize("direction", ["forward", "backward"])
def test_the_least_gap_is_the_exact_one_to_a_tenth_of_an_inch_and_never_below(direction: str) -> None:
    chance = random.Random(f"gaps {direction}")
    places = set()
    for _ in range(300):
        figures = {**random_case(chance, US), "direction": direction, "runs_on": "wheels"}
        cells = worked_out(figures)
        if cells["ready"] != 1:
            assert cells["least_gap"] == cells["where"] == ""
            continue
        arguments = exact_arguments(figures, backward=direction == "backward")
        exact, found = ramp_clearance(*arguments), cells["least_gap"]
        assert isinstance(found, float)
        assert -1e-6 <= found - exact <= SWEEP_TOLERANCE_IN, figures
        touch = ramp_touch(*arguments)
        if direction == "backward":  # the words name the machine's own ends
            touch = swapped(touch)
        places.add(touch)
        if cells["where"] != touch:  # only where the exact least gap of the part named is as small
            part = str(cells["where"]).split(" at ")[0].split(" on ")[0].split(" ")[0]
            assert abs(float(str(cells[f"least_{part}_gap"])) - exact) <= SWEEP_TOLERANCE_IN, figures
    assert len(places) >= 6


def swapped(touch: str) -> str:
    """The same with front for rear and rear for front."""
    end, rest = touch.split(" ", 1)
    return {"front": "rear", "rear": "front"}.get(end, end) + " " + rest


def test_backing_on_is_driving_on_with_the_ends_exchanged() -> None:
    chance = random.Random(12)
    for _ in range(20):
        figures = {**random_case(chance, US), "direction": "backward"}
        if figures["wheelbase"] == "":
            continue
        turned = {**figures, "direction": "forward"}
        for what in ("overhang", "clearance"):
            turned[f"front_{what}"], turned[f"rear_{what}"] = figures[f"rear_{what}"], figures[f"front_{what}"]
        if figures["to_center"] != "":
            turned["to_center"] = figures["wheelbase"] - figures["to_center"]
        backed, driven = worked_out(figures), worked_out(turned)
        differing = [key for key in positions() if not same(backed[key], driven[key])]
        assert differing == [], figures
        assert same(backed["least_front_gap"], driven["least_rear_gap"])
        assert same(backed["least_gap"], driven["least_gap"])


def test_a_paver_by_hand() -> None:
    # Deck 34 in high, no tail, ramp 68 in long: sine 1/2, so 30 degrees. Wheelbase 40 in, rear overhang 30 in at 9 in.
    # With the rear contact at the ramp's foot and the front one on the ramp, the overhang's tip reaches
    # 30 tan 30 = 17.3205 in below the line through the contacts: 9 - 17.3205 = -8.3205 in, the least of all places.
    figures = {"deck_height": 34.0, "tail_drop": "", "tail_length": "", "ramp_length": 68.0, "wheelbase": 40.0}
    figures |= {"clearance": 10.0, "front_overhang": "", "front_clearance": "", "rear_overhang": 30.0}
    figures |= {"rear_clearance": 9.0, "to_center": 20.0, "runs_on": "wheels", "direction": "forward"}
    cells = worked_out(figures)
    assert cells["least_gap"] == pytest.approx(9 - 30 / 3**0.5)
    assert cells["where"] == "rear overhang at the ramp's foot"
    assert (cells["at_trailing_x"], cells["least_front_gap"]) == (pytest.approx(0, abs=1e-9), "")
    # Backed on, that overhang leads: with its contact at the ramp's foot and the machine level the tip is over the
    # ramp at 30 in, 17.3205 in high.
    cells = worked_out({**figures, "direction": "backward"})
    assert cells["least_gap"] == pytest.approx(9 - 30 / 3**0.5)
    assert (cells["where"], cells["row"]) == ("rear overhang at the ramp's foot", 1)


def test_what_is_missing_or_does_not_suit_is_not_swept() -> None:
    sound = {**random_case(random.Random(3), US), "tail_drop": 8.0, "tail_length": 40.0, "deck_height": 30.0}
    sound |= {"ramp_length": 60.0, "wheelbase": 80.0, "clearance": 10.0, "front_overhang": 20.0, "front_clearance": 9.0}
    assert worked_out(sound)["ready"] == 1
    for wrong in (
        {"deck_height": ""},
        {"ramp_length": ""},
        {"wheelbase": ""},
        {"clearance": ""},
        {"ramp_length": 22.0},  # no longer than it rises
        {"tail_drop": 31.0},  # below the ground
        {"tail_length": ""},
        {"tail_length": 8.0},  # no longer than it drops
        {"front_clearance": ""},
    ):
        cells = worked_out({**sound, **wrong})
        assert [cells[key] for key in ("ready", "least_gap", "where", "draw_drive_on")] == [0, "", "", 0], wrong


def test_tracks_are_looked_at_where_they_tip_over_the_sharper_break() -> None:
    chance = random.Random(8)
    seen = set()
    for _ in range(40):
        figures = {**random_case(chance, US), "runs_on": "tracks", **dict.fromkeys(map(over, STRIKES), 0.0)}
        cells = worked_out(figures)
        if cells["ready"] != 1:
            continue
        trailer = [figures[key] or 0 for key in ("deck_height", "tail_drop", "tail_length", "ramp_length")]
        angles = {place: break_angle(*trailer, place) for place in ("ramp top", "tail top")}
        place = max(angles, key=lambda name: round(angles[name], 6))
        seen.add(place)
        assert cells["where"] == f"tips over the {place.split(' ')[0]}'s top"
        assert cells["tips_degrees"] == pytest.approx(angles[place], abs=1e-6)
        center = figures["to_center"] if figures["to_center"] != "" else figures["wheelbase"] / 2
        leading = figures["wheelbase"] - center if figures["direction"] == "backward" else center
        # its center stands over the break to the sweep's own steps
        step = (cells["place_6"] - cells["place_1"]) / 40  # type: ignore[operator]
        assert abs(float(str(cells["spot_along"])) - (figures["wheelbase"] - leading)) <= step
    assert len(seen) == 2


def test_a_tracked_machine_whose_rear_strikes_by_hand() -> None:
    # Deck 34 in, ramp 68 in: sine 1/2. A track of 100 in on the ground, its center 90 in ahead of its rear end, lies on
    # the ramp's top, 68 cos 30 = 58.8897 in from the foot and 34 in up, until the center is over it: sin p = 34 / 90,
    # cos p = sqrt(90^2 - 34^2) / 90 = 83.3307 / 90. Its rear contact is then 83.3307 - 58.8897 = 24.4410 in before the
    # foot, and the tip of 30 in of overhang 30 x 34 / 83.3307 = 12.2404 in below the line through the contacts.
    figures = {"deck_height": 34.0, "tail_drop": "", "tail_length": "", "ramp_length": 68.0, "wheelbase": 100.0}
    figures |= {"clearance": 10.0, "front_overhang": "", "front_clearance": "", "rear_overhang": 30.0}
    figures |= {"rear_clearance": 9.0, "to_center": 10.0, "runs_on": "tracks", "direction": "forward"}
    cells = worked_out({**figures, over("front_strikes"): 0.0, over("rear_strikes"): 3.24})
    assert cells["where"] == "rear overhang at the ramp's foot"
    drawn = [cells[f"drawn_{key}"] for key in ("x", "y", "sine", "cosine")]
    assert drawn == pytest.approx([-24.4410, 0, 34 / 90, 83.3307 / 90], abs=1e-4)
    assert (cells["spot_along"], cells["spot_up"]) == (-30, pytest.approx(12.2404, abs=1e-4))
