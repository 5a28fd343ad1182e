"""What-if and Match ask the same questions: neither says yes where the other says no, nor the reverse."""

from __future__ import annotations

import io
import random
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from pathlib import Path

import ironcalc
import openpyxl
import pytest
import scipy.constants
from openpyxl import Workbook
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.table import Table

from tarelot.workbook_templates import workbook
from tarelot.workbook_templates.basis.units import METRIC, US, Units
from tarelot.workbook_templates.hauling.drive_on import sheet as drive_on_sheet
from tarelot.workbook_templates.hauling.match import columns as match_columns
from tarelot.workbook_templates.hauling.match.reading import matched
from tarelot.workbook_templates.hauling.what_if import sheet as what_if
from tarelot.workbook_templates.lot import columns
from tarelot.workbook_templates.lot import sheet as lot
from tarelot.workbook_templates.lot.column import Input
from tarelot.workbook_templates.lot.results import lot_results
from tarelot.workbook_templates.ooxml.tidy import repack
from tarelot.workbook_templates.sheets import demo_yard, machines, trucks
from tests.engines.office import Office

Row = Mapping[str, object]
Rows = list[dict[str, object]]
Seen = Counter[tuple[str, str]]
LONG_PER_FOOT = {"ft": 1.0, "m": scipy.constants.foot}
FACTORS = {"Height": (0.9, 1.6), "Tie-down rating": (0.1, 1.0), "Front axle rating": (0.7, 1.0)}
"""Between what a figure is changed, where not between 0.7 and 1.4."""
HEAVY_LB = 22_000  # so that not every machine is too heavy
DOUBLE = "1120"  # stands twice in the demo yard; What-if takes the first
YES, NO, NOT_KNOWN, NO_ANSWER = "YES:", "NO:", "Not known:", "Choose"


@dataclass
class Yard:
    """What is compared: the lot with its results, machines, trucks."""

    lot_rows: Rows
    machine_rows: Rows
    truck_rows: Rows
    units: Units


def demo() -> Yard:
    rows: Rows = [dict(row) for row in demo_yard.trailers()]
    doubles = [row for row in rows if str(row["Stock no."]) == DOUBLE]
    assert len(doubles) == 2
    doubles[1]["Stock no."] = f"{DOUBLE} again"
    found = lot_results(rows, demo_yard.options(), US)
    filled: Rows = [{**row, **more} for row, more in zip(rows, found, strict=True)]
    return Yard(filled, list(map(dict, machines.demo_rows())), list(map(dict, trucks.demo_rows())), US)


def changed(row: Row, key: str, number: int, chance: random.Random, units: Units) -> dict[str, object]:
    """The row under a name of its own, some of its figures other ones, now and then one missing."""
    factors = {"(lb)": units.weight_per_pound, "(in)": units.short_per_inch, "(ft)": LONG_PER_FOOT[units.long]}
    names = {"(lb)": units.weight, "(in)": units.short, "(ft)": units.long}
    found: dict[str, object] = {}
    for heading, value in row.items():
        name, _, unit = heading.partition(" (")
        unit = f"({unit}"
        if isinstance(value, int | float) and unit in factors:
            factor = chance.uniform(*FACTORS.get(name, (0.7, 1.4))) if chance.random() < 0.15 else 1.0
            value = float(value) * factors[unit] * factor
            value = value if chance.random() > 0.003 else None
        elif chance.random() < 0.2:
            value = {"Tie-down points": 3, "Hitches": "pintle, ball, gooseneck"}.get(name, value)
        found[f"{name} ({names[unit]})" if unit in factors else heading] = value
    return {**found, key: f"Changed {number}"}


def wild(units: Units) -> Yard:
    """The demo's rows with figures changed by chance, so that every question is met near its limit too."""
    chance, start = random.Random(1), demo()
    patterns = {US.heading(column.heading) for column in columns.COLUMNS if isinstance(column, Input)}
    complete = [
        {heading: None if heading == "Options" else value for heading, value in row.items() if heading in patterns}
        for row in start.lot_rows[3:18]
        if float(str(row["GVWR (lb)"])) > HEAVY_LB
    ]
    lots = [changed(chance.choice(complete), columns.KEY, n, chance, units) for n in range(60)]
    # Chance meets these too seldom: weak tie-down points, a deck that ends before the place by pin and axles, and a
    # front axle that is over even without a trailer.
    for trailer in lots[:6]:
        trailer[f"Tie-down rating ({units.weight})"] = 1_000.0 * units.weight_per_pound
    for trailer in lots[6:12]:
        trailer[f"Deck length ({units.long})"] = 15.0 * LONG_PER_FOOT[units.long]
    found = lot_results(lots, [], units)
    hauled, pulling = (
        [changed(chance.choice(rows), key, number, chance, units) for number in range(count)]
        for rows, key, count in ((start.machine_rows, "Machine", 30), (start.truck_rows, "Truck", 12))
    )
    for truck in pulling[:3]:
        truck[f"Front axle rating ({units.weight})"] = 5_000.0 * units.weight_per_pound
        truck["Hitches"] = "pintle, ball, gooseneck"
    return Yard([{**row, **more} for row, more in zip(lots, found, strict=True)], hauled, pulling, units)


class WhatIf:
    """What-if over a yard in IronCalc, the lot as values."""

    def __init__(self, yard: Yard, folder: Path) -> None:
        book = Workbook()
        book.remove(book.active)
        names = (what_if.SHEET, drive_on_sheet.SHEET, lot.SHEET, machines.SHEET, trucks.SHEET)
        sheets = [book.create_sheet(name) for name in names]
        what_if.write(sheets[0], sheets[1], (None, None, None), yard.units)
        headings = list(yard.lot_rows[0])
        sheets[2].append(headings)
        for row in yard.lot_rows:
            sheets[2].append([None if row[heading] == "" else row[heading] for heading in headings])
        area = f"A1:{get_column_letter(len(headings))}{len(yard.lot_rows) + 1}"
        sheets[2].add_table(Table(displayName=columns.TABLE, name=columns.TABLE, ref=area))
        machines.write(sheets[3], yard.machine_rows, yard.units)
        trucks.write(sheets[4], yard.truck_rows, yard.units)
        buffer, path = io.BytesIO(), folder / "what_if.xlsx"
        book.save(buffer)
        repack(buffer, path)
        self.model = ironcalc.load_from_xlsx(str(path), "en", "UTC", "en")

    def answer(self, trailer: object, machine: object, truck: object) -> str:
        for row, value in enumerate((trailer, machine, truck), 5):
            self.model.set_user_input(0, row, 2, str(value))
        self.model.evaluate()
        return str(self.model.get_cell_value(0, what_if.ANSWER_ROW, 2))


def match_verdicts(
    yard: Yard, rows: Sequence[Row], machine: object, truck: object, *, exact: bool = False
) -> list[str]:
    found = matched(rows, yard.machine_rows, yard.truck_rows, (machine, truck), yard.units, exact=exact)
    return [str(row["verdict"]) for row in found]


def kind(verdict: str) -> str:
    """What a verdict of Match comes to."""
    if verdict == match_columns.CARRIES:
        return "carries"
    if verdict.startswith(match_columns.CHECK):
        return "check"
    if verdict.startswith(match_columns.MISSING):
        return "missing"
    if verdict == match_columns.OUT_OF_RANGE:
        return "out of range"
    assert verdict
    return "wrong"


ALLOWED = {
    ("carries", YES),
    ("check", YES),
    ("check", NO),
    ("wrong", NO),
    ("missing", NOT_KNOWN),
    # What-if marks an entry that is out of range as wrong, or cannot sweep the drive-on with it.
    ("out of range", NO),
    ("out of range", NOT_KNOWN),
}


def compared(yard: Yard, choices: Sequence[tuple[object, object]], places: Sequence[int], what: WhatIf) -> Seen:
    """Count the pairs of verdicts, and how those of Match begin, failing at a pair that may not be."""
    seen: Seen = Counter()
    for machine, truck in choices:
        rows = [yard.lot_rows[place] for place in places]
        by_sheet, by_sweep = (match_verdicts(yard, rows, machine, truck, exact=exact) for exact in (False, True))
        for row, *verdicts in zip(rows, by_sheet, by_sweep, strict=True):
            answer = what.answer(row[columns.KEY], machine, truck)
            said = next(said for said in (YES, NO, NOT_KNOWN, NO_ANSWER) if answer.startswith(said))
            for verdict in verdicts:
                assert (kind(verdict), said) in ALLOWED, (row[columns.KEY], machine, truck, verdict, answer)
            seen[kind(verdicts[0]), said] += 1
            seen["begins", " ".join(verdicts[0].split()[:2])] += 1
    return seen


def test_every_demo_trailer_machine_and_truck(tmp_path: Path) -> None:
    yard = demo()
    what = WhatIf(yard, tmp_path)
    choices = list(product([m["Machine"] for m in yard.machine_rows], [t["Truck"] for t in yard.truck_rows]))
    seen = compared(yard, choices, range(len(yard.lot_rows)), what)
    assert sum(seen[pair] for pair in ALLOWED) == 24 * 11 * 5
    assert seen["carries", YES] >= 10, seen
    assert seen["check", YES] >= 3, seen
    assert seen["wrong", NO] >= 500, seen


@pytest.mark.parametrize("units", [US, METRIC], ids=lambda units: units.name)
def test_figures_changed_by_chance(units: Units, tmp_path: Path) -> None:
    yard = wild(units)
    what = WhatIf(yard, tmp_path)
    chance = random.Random(383)
    seen: Seen = Counter()
    for machine, truck in product(yard.machine_rows, yard.truck_rows):
        places = chance.sample(range(len(yard.lot_rows)), 3)
        seen += compared(yard, [(machine["Machine"], truck["Truck"])], places, what)
    assert seen["carries", YES] >= 5, seen
    assert seen["check", NO] + seen["check", YES] >= 5, seen
    assert seen["wrong", NO] >= 300, seen
    # Each question of both sheets was met by something that fails it alone or first.
    begins = ("payload short", "no place", "wider than", "too high", "ramp too", "tie-downs short:", "tie-downs short")
    for words in (*begins, "hitch differs:", "truck too", "truck's front"):
        assert seen["begins", words] >= 1, (words, seen)


def sample() -> Iterator[tuple[str, str, str, int]]:
    """Trailer, machine, truck, and the trailer's row on Match."""
    stocks = [str(row["Stock no."]) for row in demo_yard.trailers()]
    for stock, machine, truck in (
        ("1105", "Skid loader 65", "Tandem dump 58"),
        ("1108", "Paver 8", "Tandem dump 58"),
        ("1108", "Roller 54", "Tandem dump 58"),
        ("1115", "Excavator 14", "Tandem dump 58"),
        ("1106", "Excavator 8", "Tandem dump 58"),
        ("1101", "Telehandler 8", "Pickup 35"),
        ("1103", "Skid loader 65", "Flatbed 55"),
        ("1122", "Roller 54", "Road tractor 52"),
        ("1116", "Excavator 14", "Road tractor 52"),
    ):
        yield stock, machine, truck, match_columns.FIRST_ROW + stocks.index(stock)


def test_a_sample_in_libreoffice(office: Office, tmp_path: Path) -> None:
    path = tmp_path / "demo.xlsx"
    workbook.write_demo(path)
    verdict = next(cell.column_letter for cell in openpyxl.load_workbook(path)["Match"][11] if cell.value == "Verdict")
    yard, kinds = demo(), set()
    for stock, machine, truck, row in sample():
        edits: dict[str, float | str | bool | None] = {
            "What-if!B5": stock,
            "What-if!B6": machine,
            "What-if!B7": truck,
            "Match!C4": machine,
            "Match!C5": truck,
        }
        answer, said = office.edit_and_read(path, edits, ["What-if!B8", f"Match!{verdict}{row}"])
        opening = next(opening for opening in (YES, NO, NOT_KNOWN) if str(answer).startswith(opening))
        pair = (kind(str(said)), opening)
        assert pair in ALLOWED, (stock, machine, truck, said, answer)
        assert said == match_verdicts(yard, yard.lot_rows, machine, truck)[row - match_columns.FIRST_ROW]
        kinds.add(pair)
    assert len(kinds) >= 4, kinds
