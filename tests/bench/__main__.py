"""Speed, as ratios measured side by side in one run: what is compared is taken in turn, under the same load.

    python -m tests.bench                    # every section, about ten minutes
    python -m tests.bench office startup     # some of them

A ratio is printed as its least / median / greatest over the rounds: the spread is the machine's noise. Nothing here
passes or fails; a goal that is missed is said.
"""

from __future__ import annotations

import json
import os
import resource
import shutil
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Callable, Sequence
from pathlib import Path

from rich.console import Console
from rich.table import Table

from tests.bench import hauling as bench_hauling
from tests.bench import office as bench_office
from tests.bench import opening as bench_opening
from tests.engines.office import Office

ROOT = Path(__file__).parents[2]
JOBS = "tests.bench.files"
START_ROUNDS = 7
FILE_ROUNDS = 2
LOTS, LOT_TRAILERS, LOT_ROUNDS = 20, 500, 3
TRAILERS, MANY_TRAILERS = 10_000, 100_000
ANSWERED = 0.2
"""Seconds in which What-if answers a change."""
KINDS = ("ours", "openpyxl", "wolfxl", "unzip and zip")
Figures = dict[str, float]

console = Console(width=118, highlight=False)


def spread(figures: Sequence[float], form: str = ".2f") -> str:
    """Least / median / greatest."""
    return " / ".join(f"{figure:{form}}" for figure in (min(figures), statistics.median(figures), max(figures)))


def ratios(some: Sequence[float], others: Sequence[float]) -> list[float]:
    """Round by round, some over others."""
    return [one / other for one, other in zip(some, others, strict=True)]


def table(title: str, *columns: str) -> Table:
    """An empty table, words to the left and figures to the right; its title is printed at once."""
    console.print(f"[bold]{title}[/bold]")
    made = Table(box=None, pad_edge=False)
    for place, column in enumerate(columns):
        made.add_column(column, justify="right" if place else "left", no_wrap=place == 0)
    return made


def job(name: str, *arguments: object) -> Figures:
    """Seconds and megabytes of one job in a process of its own."""
    done = subprocess.run(
        [sys.executable, "-m", JOBS, name, *map(str, arguments)], cwd=ROOT, capture_output=True, text=True, check=False
    )
    if done.returncode != 0:
        raise SystemExit(f"the job {name} failed:\n{done.stderr}")
    return dict(json.loads(done.stdout.splitlines()[-1]))


def office() -> None:
    """Every worksheet function: add-in, native formula, plain formula, Basic macro."""
    made = table(
        f"office: one cell's recalculation in LibreOffice, µs (median of {bench_office.ROUNDS} rounds taken in turn)",
        *("function", "cells", "=A-B", "plain", "add-in", "Basic", "add-in / =A-B", "add-in / Basic", "same result"),
    )
    missed: list[str] = []
    differing: list[str] = []
    with bench_office.office_with_addin() as running:
        for times in bench_office.function_times(running):
            each = [times.native, times.plain, times.addin, times.macro]
            medians = [f"{statistics.median(s) / times.cells * 1e6:.1f}" if s else "none" for s in each]
            to_macro = ratios(times.addin, times.macro)
            if statistics.median(to_macro) > 0.5:
                missed.append(f"{times.name} {statistics.median(to_macro):.2f}")
            if times.agree < times.cells and times.name not in bench_office.SWEEPS:
                differing.append(f"{times.name} in {times.cells - times.agree} of {times.cells} cells")
            made.add_row(
                times.name.removeprefix("LOT_"),
                str(times.cells),
                *medians,
                f"{statistics.median(ratios(times.addin, times.native)):.1f}",
                spread(to_macro),
                f"{times.agree} of {times.cells}",
            )
    console.print(made)
    console.print(
        "=A-B: a native difference of two cells. plain: the function's own formula as the workbook holds it.\n"
        "Basic: the same arithmetic as a document macro without range checks; for RAMP_CLEARANCE and RAMP_TOUCH a\n"
        "sweep in 100 steps, so that its result is near and not the same. Each figure holds its share of the\n"
        "whole sheet's recalculation, and each round recalculates the four sheets one after the other."
    )
    verdict = f"missed by {', '.join(missed)}" if missed else "met by every function"
    console.print(f"Goal, add-in at most 0.50 of Basic in the median: {verdict}")
    swept = " and ".join(bench_office.SWEEPS)
    agreed = f"no: {', '.join(differing)}" if differing else "yes, in every cell of every function"
    console.print(f"Basic and add-in give the same result, {swept} aside: {agreed}\n")


def opening() -> None:
    """A lot workbook opened in LibreOffice beside a sheet made by hand."""
    with Office() as running:
        found = bench_opening.opening_times(running)
    made = table(
        f"opening: {bench_opening.TRAILERS} trailers in LibreOffice ({len(found.ours)} rounds in turn)",
        *("workbook", "seconds", "kB"),
    )
    made.add_row("ours, every sheet", spread(found.ours), f"{found.our_size / 1000:,.0f}")
    made.add_row("made by hand: the Lot's columns", spread(found.by_hand), f"{found.size_by_hand / 1000:,.0f}")
    times, size = ratios(found.ours, found.by_hand), found.our_size / found.size_by_hand
    made.add_row("ours / made by hand", spread(times), f"{size:.1f}")
    console.print(made)
    met = statistics.median(times) <= bench_opening.MOST_TIME and size <= bench_opening.MOST_SIZE
    console.print(
        f"Goal, at most {bench_opening.MOST_TIME} times in time and {bench_opening.MOST_SIZE} in size: "
        f"{'met' if met else 'missed'}; aim, {bench_opening.AIM} in both\n"
    )


def lot() -> None:
    """Recalculation of a lot with plain formulas and with the add-in."""
    with bench_office.office_with_addin() as running:
        plain, by_name = bench_office.lot_times(running)
    made = table(
        f"lot: hard recalculation of {bench_office.LOT_ROWS:,} trailers in LibreOffice ({len(plain)} rounds in turn)",
        *("workbook", "seconds", "add-in / plain"),
    )
    made.add_row("plain formulas", spread(plain), "")
    made.add_row("cells that call the add-in", spread(by_name), spread(ratios(by_name, plain)))
    console.print(made, "")


def match() -> None:
    """Match over a lot: every trailer against a machine and a truck, all plain formulas."""
    with bench_office.office_with_addin() as running:
        times = bench_hauling.match_times(running)
    made = table(
        f"match: hard recalculation of {bench_hauling.MATCH_ROWS} trailers in LibreOffice ({len(times.whole)} rounds "
        "in turn)",
        *("workbook", "seconds", "formulas"),
    )
    made.add_row("whole, Match with it", spread(times.whole), f"{times.cells + times.others:,}")
    made.add_row("without Match", spread(times.without), f"{times.others:,}")
    each = [one - other for one, other in zip(times.whole, times.without, strict=True)]
    made.add_row("Match, the difference", spread(each), f"{times.cells:,}")
    console.print(made)
    whole = statistics.median(times.whole)
    console.print(
        f"Match holds {times.calls:,} calls of worksheet functions, written out as plain formulas.\n"
        f"Goal, the whole recalculation under 1 s in the median: {'met' if whole < 1 else 'missed'}\n"
    )


def what_if() -> None:
    """A change on What-if of a full lot, from the cell typed to the verdict."""
    with bench_office.office_with_addin() as running:
        seconds = bench_hauling.what_if_seconds(running)
    middle = statistics.median(seconds)
    console.print(
        f"what-if: {len(seconds)} changes in a lot of {bench_hauling.MATCH_ROWS} trailers in LibreOffice, seconds to "
        f"the verdict: {spread(seconds)}\nGoal, under 0.2 s in the median: {'met' if middle < ANSWERED else 'missed'}\n"
    )


def ramp() -> None:
    """LOT_RAMP_CLEARANCE in Python: time of a call, and its error against a fine sweep by shapely."""
    micros = [second * 1e6 for second in bench_hauling.clearance_seconds()]
    sheet = [second * 1e3 for second in bench_hauling.sheet_seconds()]
    errors = bench_hauling.clearance_errors()
    made = table(
        "ramp: LOT_RAMP_CLEARANCE, random trailers and machines", *("", "least / median / greatest", "goal", "")
    )
    quick, greatest = statistics.median(micros) < 300, max(map(abs, errors))
    made.add_row(
        f"µs of processor time a call, {bench_hauling.CALLS} cases",
        spread(micros, ".0f"),
        "under 300",
        "met" if quick else "missed",
    )
    made.add_row(
        "ms of processor time, the Drive-on sheet worked out",
        spread(sheet, ".0f"),
        "under 60",
        "met" if min(sheet) < 60 else "missed",
    )
    made.add_row(
        f"in, less shapely's sweep, {len(errors)} cases",
        spread(errors, ".4f"),
        "within 0.05",
        "met" if greatest < 0.05 else "missed",
    )
    console.print(made, "")


def review() -> None:
    """Results of many trailers, and reading a lot back."""
    made = table("review: every result of a lot, µs of processor time a trailer", "trailers", "µs", "MB", "many / few")
    _scaled(made, "results", lambda count: ("review", count))
    console.print(made)
    with tempfile.TemporaryDirectory() as folder:
        for kind in ("plain", "by name"):
            path = Path(folder) / f"{kind}.xlsx"
            job("make", TRAILERS, path, kind)
            figures = job("read", path)
            console.print(
                f"Reading a workbook of {TRAILERS:,} trailers, {kind}: {figures['seconds']:.1f} s, "
                f"{figures['seconds'] / TRAILERS * 1e6:.0f} µs a trailer, {figures['megabytes']:.0f} MB"
            )
    console.print()


def _scaled(made: Table, name: str, arguments: Callable[[int], tuple[object, ...]]) -> None:
    """Add rows for a job on few trailers, on many, and on few again, a trailer each; 1.00 is linear."""
    runs = [(count, job(*map(str, arguments(count)))) for count in (TRAILERS, MANY_TRAILERS, TRAILERS)]
    each = [figures["cpu"] / count * 1e6 for count, figures in runs]
    for place, (count, figures) in enumerate(runs):
        ratio = spread([each[1] / each[0], each[1] / each[2]]) if place == 1 else ""
        made.add_row(f"{count:,} {name}", f"{each[place]:.0f}", f"{figures['megabytes']:.0f}", ratio)


def startup() -> None:
    """Whole processes from start to end, user time."""
    commands = {
        "python -c pass": [sys.executable, "-c", "pass"],
        "import tarelot.calc.registry": [sys.executable, "-c", "import tarelot.calc.registry"],
        "tarelot --help": [str(Path(sys.executable).with_name("tarelot")), "--help"],
    }
    taken: dict[str, list[float]] = {name: [] for name in commands}
    for command in commands.values():
        _user_seconds(command)  # writes the bytecode files
    for _ in range(START_ROUNDS):
        for name, command in commands.items():
            taken[name].append(_user_seconds(command) * 1000)
    made = table(
        f"startup: user time of a whole process, ms ({START_ROUNDS} rounds in turn)", "command", "ms", "goal", ""
    )
    bare = statistics.median(taken["python -c pass"])
    above = statistics.median(taken["import tarelot.calc.registry"]) - bare
    whole = statistics.median(taken["tarelot --help"])
    made.add_row("python -c pass", spread(taken["python -c pass"], ".0f"), "", "")
    made.add_row(
        "import tarelot.calc.registry",
        spread(taken["import tarelot.calc.registry"], ".0f"),
        "under 50 above bare",
        f"{above:.0f} above: {'met' if above < 50 else 'missed'}",
    )
    made.add_row(
        "tarelot --help", spread(taken["tarelot --help"], ".0f"), "under 300", "met" if whole < 300 else "missed"
    )
    console.print(made, "")


def _user_seconds(command: Sequence[str]) -> float:
    """User time of a process."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN).ru_utime
    subprocess.run(command, cwd=ROOT, stdout=subprocess.DEVNULL, check=True, env={**os.environ, "TERM": "dumb"})
    return resource.getrusage(resource.RUSAGE_CHILDREN).ru_utime - before


def files() -> None:
    """Bulk update's file work on a workbook of plain formulas, as ``tarelot new`` writes it."""
    _files("plain", "plain formulas", ("ours",))


def files_by_name() -> None:
    """The same on a workbook whose cells call the add-in."""
    _files("by name", "cells that call the add-in", ("ours", "unzip and zip"))


def _files(kind: str, formulas: str, scaled: Sequence[str]) -> None:
    with tempfile.TemporaryDirectory() as folder:
        lot_of = {count: Path(folder) / f"{count}.xlsx" for count in (TRAILERS, MANY_TRAILERS)}
        for count, path in lot_of.items():
            job("make", count, path, kind)
        _side_by_side(lot_of[TRAILERS], formulas, FILE_ROUNDS)
        out = Path(folder) / "out.xlsx"
        made = table("files: the same changes, µs of processor time a trailer", "trailers", "µs", "MB", "many / few")
        for name in scaled:
            _scaled(made, name, lambda count, name=name: (name, lot_of[count], out, count))
        console.print(made, "")


def _side_by_side(source: Path, formulas: str, rounds: int) -> dict[str, list[Figures]]:
    """Print our file work beside the others'."""
    out = source.with_name("out.xlsx")
    taken: dict[str, list[Figures]] = {kind: [] for kind in KINDS}
    for _ in range(rounds):
        for kind in KINDS:
            taken[kind].append(job(kind, source, out, TRAILERS))
    made = table(
        f"files: {TRAILERS:,} trailers ({formulas}, {source.stat().st_size / 1e6:.0f} MB), 1,000 changed and 500 new "
        f"({rounds} in turn)",
        *("", "s", "MB", "s / ours", "MB / ours"),
    )
    for kind, found in taken.items():
        seconds, memory = ([row[what] for row in found] for what in ("seconds", "megabytes"))
        to_ours = [ratios([r[what] for r in found], [r[what] for r in taken["ours"]]) for what in found[0]]
        made.add_row(kind, spread(seconds, ".1f"), f"{max(memory):.0f}", *map(spread, to_ours))
    console.print(made)
    console.print(
        "Goals: openpyxl at least 5 in time and 2 in memory, ours at most 1.5 of wolfxl (wolfxl at least 0.67)\n"
    )
    return taken


def _import(lot_path: Path, list_path: Path) -> list[str]:
    return [str(Path(sys.executable).with_name("tarelot")), "import", str(lot_path), str(list_path), "--yes"]


def importing() -> None:
    """The whole command ``import``, as a person runs it, in turn with openpyxl and csv, which only read both files."""
    seconds: list[float] = []
    others: list[float] = []
    with tempfile.TemporaryDirectory() as folder:
        made_path, lot_path, list_path, taken = (
            Path(folder) / name for name in ("made.xlsx", "lot.xlsx", "list.csv", "taken.xlsx")
        )
        job("make", TRAILERS, made_path, "plain")
        job("number", made_path, lot_path, TRAILERS)
        # The first import stores the results of the new numbers and gives Match a row for each trailer, as a lot has.
        one = list_path.with_name("one.csv")
        one.write_text("Stock no.,Make,Price\nX1,Corvane,9000\n", encoding="utf-8")
        _user_seconds(_import(lot_path, one))
        job("list", list_path, TRAILERS)
        size = lot_path.stat().st_size / 1e6
        for _ in range(FILE_ROUNDS):
            shutil.copy(lot_path, taken)
            seconds.append(_user_seconds(_import(taken, list_path)))
            others.append(job("plain reading", lot_path, list_path)["cpu"])
    title = f"import: {TRAILERS:,} trailers ({size:.0f} MB), 1,000 changed and 500 new"
    made = table(title, "", "s of processor time", "import / reading")
    made.add_row("tarelot import", spread(seconds, ".1f"), spread(ratios(seconds, others)))
    made.add_row("openpyxl and csv: reading alone", spread(others, ".1f"), "")
    console.print(made, "")


def several_lots() -> None:
    """``match`` over the lots of many yards: side by side against one after the other."""
    taken: dict[int, list[float]] = {1: [], 2: []}
    with tempfile.TemporaryDirectory() as folder:
        job("make lots", folder, LOTS, LOT_TRAILERS)
        for _ in range(LOT_ROUNDS):
            for processes, seconds in taken.items():
                seconds.append(job("match lots", folder, processes)["seconds"])
    found = ratios(taken[2], taken[1])
    made = table(
        f"lots: {LOTS} lots of {LOT_TRAILERS} trailers matched, seconds by the clock ({LOT_ROUNDS} rounds in turn)",
        *("", "seconds", "of one after the other", "goal", ""),
    )
    made.add_row("one after the other", spread(taken[1], ".1f"), "", "", "")
    verdict = "met" if statistics.median(found) <= 0.6 else "missed"
    made.add_row("in two processes", spread(taken[2], ".1f"), spread(found), "at most 0.60", verdict)
    console.print(made)
    load, cores = os.getloadavg()[0], os.cpu_count()
    console.print(f"Two cores are wanted for it alone: load {load:.1f} at the end, on {cores} cores.\n")


SECTIONS: dict[str, Callable[[], None]] = {
    "startup": startup,
    "office": office,
    "opening": opening,
    "lot": lot,
    "match": match,
    "what-if": what_if,
    "ramp": ramp,
    "review": review,
    "lots": several_lots,
    "import": importing,
    "files": files,
    "files-by-name": files_by_name,
}


def main(names: Sequence[str]) -> None:
    """Run the sections named, or all."""
    unknown = [name for name in names if name not in SECTIONS]
    if unknown:
        raise SystemExit(f"no section {', '.join(unknown)}: there are {', '.join(SECTIONS)}")
    for name in names or SECTIONS:
        SECTIONS[name]()


if __name__ == "__main__":
    main(sys.argv[1:])
