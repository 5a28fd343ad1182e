"""Random lists with faults: every row and every field is imported, same or refused; nothing vanishes, nothing appears.

A list is made together with what each of its cells means, so that what must come out is known without our reading of
it. The lot that comes out is read by openpyxl.
"""

from __future__ import annotations

import csv
import datetime
import random
import tempfile
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path

import openpyxl
import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from tarelot.workbook_templates.lists.reading import read_list
from tarelot.workbook_templates.lot.reading import read_lot
from tarelot.workbook_templates.updates.apply import apply
from tarelot.workbook_templates.updates.plan import Plan, plan
from tests.lot.small_lot import write_small_lot

POUNDS_PER_KILOGRAM = 1 / 0.45359237  # NIST SP 811, exact
OWN = ["Stock no.", "Make", "Hitch", "Axles", "Price", "GVWR (lb)", "Received"]
HEADINGS = [*OWN, "Salesman"]
NAMES = {  # our heading -> what the list may call it
    "Stock no.": ["Stock no.", "Stk #", "unit number"],
    "Make": ["Make", "Manufacturer"],
    "Hitch": ["Hitch", "coupler type"],
    "Axles": ["Axles", "No. of axles"],
    "Price": ["Price", "MSRP"],
    "GVWR (lb)": ["GVWR", "gross vehicle weight rating, lbs"],
    "Received": ["Received", "Date in"],
}
FAULTS = {
    "Make": ["x" * 201],
    "Hitch": ["towbar", "7", "ball pintle"],
    "Axles": ["0", "21", "2.5", "two", "-2", "2 lb"],
    "Price": ["-1", "cheap", "EUR 5", "1-2"],
    "GVWR (lb)": ["0", "-7000", "9 ton", "heavy", "7 ft", "1e999"],
    "Received": ["soon", "2026-02-30", "4/5/2026", "1979-12-31"],
}
LETTERS = "=+-@,;|\t\"'Az09 \u00e9\u00df_x.%$"

Values = dict[str, object]


@dataclass
class Made:
    """A list, and for each of its rows its key, what its cells mean (None: blank), and whether it has a fault."""

    headings: list[str]
    columns: list[str]
    rows: list[list[str]] = field(default_factory=list)
    meanings: list[tuple[str, Values, bool]] = field(default_factory=list)


def cell(chance: random.Random, heading: str) -> tuple[str, object]:
    """A cell's text and what it means."""
    if heading == "Make":
        text = "".join(chance.choice(LETTERS) for _ in range(chance.randint(1, 12)))
        return text, text.strip() or None
    if heading == "Hitch":
        word = chance.choice(["pintle", "ball", "gooseneck"])
        return chance.choice([word, word.upper(), f" {word} "]), word
    if heading == "Received":
        day = datetime.date(1981, 1, 1) + datetime.timedelta(chance.randint(0, 20_000))
        return chance.choice([day.isoformat(), f"{day:%d %b %Y}"]), day
    number = chance.randint(1, 20) if heading == "Axles" else chance.randint(1, 99_999)
    if heading == "GVWR (lb)" and chance.random() < 0.3:
        return f"{number:,} kg", number * POUNDS_PER_KILOGRAM
    unit = chance.choice(["", " lb", "#"]) if heading == "GVWR (lb)" else ""
    sign = chance.choice(["", "$"]) if heading == "Price" else ""
    return f"{sign}{chance.choice([f'{number:,}', str(number), f'{number}.0'])}{unit}", number


def make_list(chance: random.Random, lot: list[Values], count: int, faults: float, repeats: float) -> Made:
    """A list of some columns in some order, with new trailers and with some of the lot's."""
    columns = ["Stock no.", *chance.sample(OWN[1:], chance.randint(1, len(OWN) - 1))]
    chance.shuffle(columns)
    columns.insert(chance.randint(0, len(columns)), "")  # one that nobody knows
    made = Made([chance.choice(NAMES[c]) if c else "Paint" for c in columns], columns)
    keys = [str(row["Stock no."]) for row in lot]
    chance.shuffle(keys)
    for number in range(count):
        if made.rows and chance.random() < repeats:
            key = chance.choice(made.meanings)[0]
        elif chance.random() < repeats / 2:
            key = ""
        else:
            key = keys.pop() if keys and chance.random() < 0.6 else f"N{number}"
        made.rows.append(make_row(chance, made, key, faults))
    return made


def make_row(chance: random.Random, made: Made, key: str, faults: float) -> list[str]:
    """One row, whose meaning is noted in the list."""
    bad = chance.choice([c for c in made.columns if c in FAULTS]) if chance.random() < faults else None
    cells: list[str] = []
    meant: Values = {}
    for column in made.columns:
        text, meaning = cell(chance, column) if column in FAULTS else ("red", None)
        if column == "Stock no.":
            text = chance.choice([key, f" {key} ", key if key.startswith("N") else key.lower()])
        elif column == bad:
            text = chance.choice(FAULTS[column])
        elif column and chance.random() < 0.25:
            text, meaning = "", None
        if column in FAULTS:
            meant[column] = meaning
        cells.append(text)
    made.meanings.append((key, meant, bad is not None))
    return cells


def close(a: object, b: object) -> bool:
    return a == b or (isinstance(a, float | int) and isinstance(b, float | int) and a == pytest.approx(b, rel=1e-12))


def expected(lot: list[Values], made: Made) -> tuple[list[str], list[Values]]:
    """What must become of each row, and the lot that must come out."""
    out = [dict(row) for row in lot]
    by_key = {str(row["Stock no."]).casefold(): row for row in out}
    before = {key: dict(row) for key, row in by_key.items()}
    seen: set[str] = set()
    statuses = []
    for key, meant, is_bad in made.meanings:
        name, given = key.casefold(), {h: v for h, v in meant.items() if v is not None}
        doubled = name in seen
        seen.add(name)
        if not name or doubled or is_bad or (name not in by_key and not given):  # a new name alone may be a note
            statuses.append("refused")
        elif name not in by_key:
            statuses.append("new")
            out.append({"Stock no.": key, **given})
        else:
            same = all(close(before[name].get(h), v) for h, v in given.items())
            statuses.append("same" if same else "changed")
            by_key[name].update({h: v for h, v in given.items() if not close(before[name].get(h), v)})
    return statuses, out


def lot_in(path: Path) -> list[Values]:
    """The lot's rows as openpyxl reads them."""
    book = openpyxl.load_workbook(path, data_only=True)
    sheet = book["Yard"]
    area = sheet[sheet.tables["Lot"].ref]
    found = []
    for row in area[1:]:
        values = {
            h: c.value.date() if isinstance(c.value, datetime.datetime) else c.value
            for h, c in zip(HEADINGS, row, strict=True)
        }
        assert all(c.data_type != "f" for c in row)
        found.append({h: v for h, v in values.items() if v is not None})
    return found


def assert_same_lot(found: list[Values], wanted: list[Values]) -> None:
    assert len(found) == len(wanted)
    for here, there in zip(found, wanted, strict=True):
        assert here.keys() == there.keys()
        for heading in here:
            if heading == "Received":  # an ISO date, or a serial where the cell's style is not that of a date
                assert here[heading] in (there[heading], serial(there[heading]))
            else:
                assert close(here[heading], there[heading]), (heading, here, there)


def serial(value: object) -> int:
    assert isinstance(value, datetime.date)
    return (value - datetime.date(1899, 12, 30)).days


def assert_accounts_for_everything(made: Made, planned: Plan, statuses: list[str]) -> None:
    assert [row.status for row in planned.rows] == statuses
    assert planned.totals == {s: Counter(statuses)[s] for s in ("new", "changed", "same", "refused")}
    assert sum(planned.totals.values()) == len(made.rows)
    assert planned.ignored == {"Paint": "not a column of ours"}
    assert set(planned.refused) == {number for number, s in enumerate(statuses, 2) if s == "refused"}
    for row, cells in zip(planned.rows, made.rows, strict=True):
        if row.status == "refused":
            assert row.reason
            assert not row.changes
            continue
        fields = [c.heading for c in row.changes] + [*row.same, *row.blank]
        assert sorted(fields) == sorted(c for c in made.columns if c)
        assert set(row.blank) == {c for c, text in zip(made.columns, cells, strict=True) if c and not text.strip()}


def run(chance: random.Random, folder: Path, *, on_lot: int, count: int, faults: float, repeats: float) -> Plan:
    """Make a lot and a list, take it in twice, and hold both to what must come out."""
    lot: list[Values] = []
    for number in range(on_lot):
        values = {h: cell(chance, h)[1] for h in OWN[1:] if chance.random() < 0.7}
        if isinstance(values.get("Make"), str):
            values["Make"] = str(values["Make"]).lstrip("=") or "x"
        lot.append(
            {"Stock no.": f"T{number}", "Salesman": f"s{number}", **{h: v for h, v in values.items() if v is not None}}
        )
    path = write_small_lot(folder / "lot.xlsx", HEADINGS, lot)
    made = make_list(chance, lot, count, faults, repeats)
    list_path = folder / "list.csv"
    with list_path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows([made.headings, *made.rows])
    statuses, wanted = expected(lot, made)
    planned = plan(read_lot(path), read_list(list_path))
    assert_accounts_for_everything(made, planned, statuses)
    done = apply(planned, list_path)
    assert_same_lot(lot_in(path), wanted)
    if planned.refused:
        assert done.side_file is not None
        side = read_list(done.side_file)  # what starts a formula is marked in the file, and is read as it was
        held = [side.headings, *side.rows]
        refused = [cells for cells, status in zip(made.rows, statuses, strict=True) if status == "refused"]
        assert [cells[:-1] for cells in held] == [made.headings, *refused]
        assert all(cells[-1] for cells in held)
        done.side_file.unlink()
    again = plan(read_lot(path), read_list(list_path))
    assert [row.status for row in again.rows] == ["refused" if s == "refused" else "same" for s in statuses]
    return planned


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@example(262538, 1, 4, 0.125, 0.0)  # a row whose one figure is that of a single row above it, which is no sum
@given(st.integers(0, 2**32), st.integers(1, 8), st.integers(1, 12), st.floats(0, 1), st.floats(0, 0.5))
def test_nothing_vanishes_and_nothing_is_invented(
    seed: int, on_lot: int, count: int, faults: float, repeats: float
) -> None:
    with tempfile.TemporaryDirectory() as folder:
        run(random.Random(seed), Path(folder), on_lot=on_lot, count=count, faults=faults, repeats=repeats)


def test_five_thousand_rows_with_a_tenth_faulty(tmp_path: Path) -> None:
    planned = run(random.Random(5), tmp_path, on_lot=2_000, count=5_000, faults=0.08, repeats=0.02)
    assert 400 < planned.totals["refused"] < 650
    assert planned.totals["new"] > 2_000
    assert planned.totals["changed"] > 1_000
