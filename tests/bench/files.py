"""One job of tests/bench.py in a process of its own, so that its time and its peak memory are its own.

    python tests/bench_files.py edit 10000.xlsx out.xlsx

Prints one JSON line: seconds of the work itself by the clock and of the processor, without imports and making of data,
and the process's peak memory.
"""

from __future__ import annotations

import csv
import json
import re
import shutil
import sys
import time
import zipfile
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path
from typing import Any

from tarelot.addin.command_line import lots
from tarelot.addin.command_line.hauling.match import matched
from tarelot.calc.columns import column_letters
from tarelot.calc.vin import CHECK_DIGITS, LETTERS, WEIGHTS
from tarelot.workbook_templates import workbook
from tarelot.workbook_templates.basis.units import US
from tarelot.workbook_templates.hauling.results import demo_hauling
from tarelot.workbook_templates.lot import sheet as lot
from tarelot.workbook_templates.lot.columns import KEY, TABLE, headings
from tarelot.workbook_templates.lot.reading import read_lot
from tarelot.workbook_templates.lot.results import lot_results
from tarelot.workbook_templates.ooxml.package import edit
from tarelot.workbook_templates.sheets import demo_yard

CHANGED, NEW = 1_000, 500
COPY_BYTES = 1 << 20
Rows = list[dict[str, demo_yard.Typed]]


def trailers(count: int, first: int = 0) -> Rows:
    """The demo yard's trailers over and over, each with a stock number and a VIN of its own."""
    yard = demo_yard.trailers()
    return [_renumbered(yard[number % len(yard)], number) for number in range(first, first + count)]


def _renumbered(trailer: dict[str, demo_yard.Typed], number: int) -> dict[str, demo_yard.Typed]:
    vin = str(trailer["VIN"] or "")
    return {**trailer, "Stock no.": f"B{number:06d}", "VIN": _vin(vin, number) if len(vin) == len(WEIGHTS) else None}


def _vin(vin: str, number: int) -> str:
    """The VIN with another serial number and the check digit that goes with it."""
    letters = f"{vin[:11]}{number:06d}"
    total = sum(weight * (LETTERS.find(letter) % 10) for weight, letter in zip(WEIGHTS, letters, strict=True))
    return letters[:8] + CHECK_DIGITS[total % 11] + letters[9:]


def changes(count: int) -> dict[str, dict[str, float]]:
    """New price, scale weight and deck height for every so-manieth trailer of a lot, by heading and row."""
    rows = range(lot.FIRST_ROW, lot.FIRST_ROW + count, count // CHANGED)[:CHANGED]
    return {
        heading: {str(row): start + row / 8 for row in rows}
        for heading, start in (("Price", 20_000), ("Scale weight (lb)", 7_000), ("Deck height (in)", 34))
    }


def _by_cell(count: int) -> dict[str, float]:
    """The same changes by cell."""
    from openpyxl.utils import get_column_letter

    letters = {heading: get_column_letter(place) for place, heading in enumerate(headings(US), 1)}
    return {f"{letters[heading]}{row}": v for heading, rows in changes(count).items() for row, v in rows.items()}


def make(count: int, target: Path, by_name: str) -> Callable[[], object]:
    """Write a lot of so many trailers: the yard's workbook with its rows, results stored, over and over."""
    yard = demo_yard.trailers()
    small = target.with_suffix(".small.xlsx")
    workbook.write(small, yard, demo_yard.options(), US, by_name=by_name == "by name")
    ends = tuple(lot.FIRST_ROW + rows - 1 for rows in (len(yard), count))

    def work() -> None:
        with zipfile.ZipFile(small) as old, zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as new:
            for member in old.namelist():
                with new.open(member, "w", force_zip64=True) as writer:
                    writer.writelines(_longer(old.read(member), *ends))
        small.unlink()

    return work


def _longer(part: bytes, end: int, new_end: int) -> Iterator[bytes]:
    """A part of the workbook, the Lot sheet's rows and its table's reference grown from one last row to another."""
    if b' displayName="%b"' % TABLE.encode() in part:
        yield re.sub(
            rb' ref="A%d:([A-Z]+)%d"' % (lot.HEADING_ROW, end),
            rb' ref="A%d:\g<1>%d"' % (lot.HEADING_ROW, new_end),
            part,
        )
        return
    rows = [row for row in re.finditer(rb'<row r="(\d+)".*?</row>', part, re.DOTALL) if int(row[1]) >= lot.FIRST_ROW]
    if b"<f>" not in part or len(rows) != end - lot.FIRST_ROW + 1:
        yield part
        return
    models = [re.sub(rb' r="([A-Z]*)%b"' % row[1], rb' r="\1@@"', row[0]) for row in rows]
    yield re.sub(rb'<dimension ref="[^"]*"/>', b"", part[: rows[0].start()])
    yield re.sub(rb'(<f t="shared" ref="[A-Z]+\d+:[A-Z]+)%d"' % (end - 1), rb'\g<1>%d"' % new_end, rows[0][0])
    models[0] = re.sub(rb'<f t="shared" ref="[^"]*" si="(\d+)">[^<]*</f>', rb'<f t="shared" si="\1"/>', models[0])
    for number in range(lot.FIRST_ROW + 1, new_end):
        yield models[(number - lot.FIRST_ROW) % len(models)].replace(b"@@", b"%d" % number)
    yield models[-1].replace(b"@@", b"%d" % new_end)  # with formulas of its own, after which new rows are made
    yield part[rows[-1].end() :]


def take_in(source: Path, target: Path, count: int) -> Callable[[], object]:
    """Our own file work of a bulk update."""
    cells, new = _by_cell(count), trailers(NEW, count)
    return lambda: edit(source, target, {lot.SHEET: cells}, {TABLE: new}, recalculate=True)


def number(source: Path, target: Path, count: int) -> Callable[[], object]:
    """Give each trailer of a lot a stock number of its own."""
    letter = column_letters(headings(US).index(KEY) + 1)
    cells = {f"{letter}{lot.FIRST_ROW + place}": f"B{place:06d}" for place in range(count)}
    return lambda: edit(source, target, {lot.SHEET: cells})


def write_list(target: Path, count: int) -> Callable[[], object]:
    """Write a list for a lot of so many trailers: the same changes and new trailers as a CSV."""
    fields, new = changes(count), trailers(NEW, count)

    def work() -> None:
        rows = [{KEY: f"B{int(row) - lot.FIRST_ROW:06d}"} for row in next(iter(fields.values()))]
        for heading, values in fields.items():
            for row, value in zip(rows, values.values(), strict=True):
                row[heading] = f"{value:.2f}"  # of three places the mark would not be certain
        with target.open("w", encoding="utf-8", newline="") as file:
            writer = csv.DictWriter(file, list(new[0]), restval="")
            writer.writeheader()
            writer.writerows([*rows, *new])

    return work


def openpyxl_round_trip(source: Path, target: Path, count: int) -> Callable[[], object]:
    """The same with openpyxl: load, set, save."""
    import openpyxl

    return _object_model(lambda: openpyxl.load_workbook(source), target, count)


def wolfxl_modify_mode(source: Path, target: Path, count: int) -> Callable[[], object]:
    """The same with wolfxl in modify mode."""
    import wolfxl

    return _object_model(lambda: wolfxl.load_workbook(str(source), modify=True), target, count)


def plain_reading(lot_path: Path, list_path: Path) -> Callable[[], object]:
    """Every cell of the sheet Lot with openpyxl, row after row, and every line of a list with csv."""
    import csv

    import openpyxl

    def work() -> None:
        book = openpyxl.load_workbook(lot_path, read_only=True)
        for _ in book[lot.SHEET].iter_rows(values_only=True):
            pass
        with list_path.open(encoding="utf-8", newline="") as file:
            for _ in csv.reader(file):
                pass

    return work


def _object_model(load: Callable[[], Any], target: Path, count: int) -> Callable[[], object]:
    """Load, set the changed cells, write the new rows with the last row's formulas, save."""
    cells, new, order = _by_cell(count), trailers(NEW, count), headings(US)

    def work() -> None:
        book = load()
        sheet = book[lot.SHEET]
        for name, value in cells.items():
            sheet[name] = value
        last = lot.FIRST_ROW + count - 1
        model = [sheet.cell(last, place).value for place in range(1, len(order) + 1)]
        for row, trailer in enumerate(new, last + 1):
            for place, heading in enumerate(order, 1):
                value = trailer[heading] if heading in trailer else model[place - 1]
                if value is not None:
                    sheet.cell(row, place).value = value
        table = sheet.tables[TABLE]
        table.ref = table.ref.replace(str(last), str(last + NEW))
        book.save(str(target))

    return work


def unzip_and_zip(source: Path, target: Path, _count: int) -> Callable[[], object]:
    """The floor: every member unpacked and packed again as it is, a megabyte at a time."""

    def work() -> None:
        with zipfile.ZipFile(source) as old, zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as new:
            for member in old.infolist():
                with old.open(member) as reader, new.open(member.filename, "w", force_zip64=True) as writer:
                    shutil.copyfileobj(reader, writer, COPY_BYTES)

    return work


def read(source: Path) -> Callable[[], object]:
    """Read a lot workbook back."""
    return lambda: read_lot(source)


def review(count: int) -> Callable[[], object]:
    """Every result of so many trailers."""
    rows, options = trailers(count), demo_yard.options()
    return lambda: lot_results(rows, options, US)


def make_lots(folder: Path, lots_count: int, count: int) -> Callable[[], object]:
    """Write a folder of lots, each of so many trailers, with the demo yard's machines and trucks."""

    def work() -> None:
        first = folder / "lot 1.xlsx"
        workbook.write(first, trailers(count), demo_yard.options(), US, hauling=demo_hauling())
        for number in range(2, lots_count + 1):
            shutil.copy(first, folder / f"lot {number}.xlsx")

    return work


def match_lots(folder: Path, processes: int) -> Callable[[], object]:
    """Match every lot of a folder, as the command does, in so many processes."""
    asked = partial(matched, machine="Wheel loader 9", truck="Tandem dump 58")

    def work() -> None:
        outcome = lots.work_out([folder], asked, processes=processes)
        assert len(outcome.done) == len(list(folder.iterdir()))

    return work


JOBS: dict[str, Callable[..., Callable[[], object]]] = {
    "make": lambda count, target, by_name: make(int(count), Path(target), by_name),
    "number": lambda source, target, count: number(Path(source), Path(target), int(count)),
    "list": lambda target, count: write_list(Path(target), int(count)),
    "ours": lambda source, target, count: take_in(Path(source), Path(target), int(count)),
    "openpyxl": lambda source, target, count: openpyxl_round_trip(Path(source), Path(target), int(count)),
    "plain reading": lambda lot_path, list_path: plain_reading(Path(lot_path), Path(list_path)),
    "wolfxl": lambda source, target, count: wolfxl_modify_mode(Path(source), Path(target), int(count)),
    "unzip and zip": lambda source, target, count: unzip_and_zip(Path(source), Path(target), int(count)),
    "read": lambda source: read(Path(source)),
    "make lots": lambda folder, lots_count, count: make_lots(Path(folder), int(lots_count), int(count)),
    "match lots": lambda folder, processes: match_lots(Path(folder), int(processes)),
    "review": lambda count: review(int(count)),
}


def main() -> None:
    """Do the job and print its figures."""
    name, *arguments = sys.argv[1:]
    work = JOBS[name](*arguments)
    start, cpu_start = time.perf_counter(), time.process_time()
    work()
    seconds, cpu = time.perf_counter() - start, time.process_time() - cpu_start
    print(json.dumps({"seconds": seconds, "cpu": cpu, "megabytes": _peak_megabytes()}))


def _peak_megabytes() -> float:
    """The most memory that this program held: the figure of getrusage begins at that of the process that started it."""
    status = Path("/proc/self/status").read_text(encoding="ascii")
    return int(re.findall(r"VmHWM:\s+(\d+) kB", status)[0]) / 1024


if __name__ == "__main__":
    main()
