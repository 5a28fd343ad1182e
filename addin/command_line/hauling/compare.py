"""``compare``: up to four trailers side by side for one machine and truck."""

from __future__ import annotations

import argparse
import json
from collections.abc import Mapping
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from tarelot.addin.command_line import lots
from tarelot.addin.command_line.command import CommandError, Parser, command
from tarelot.addin.command_line.files import refuse_existing
from tarelot.addin.command_line.hauling.match import LOOKS, PRINTED
from tarelot.addin.command_line.output import CAUTION, Column, clean, print_rows, say, say_whole

if TYPE_CHECKING:
    from rich.text import Text

    from tarelot.addin.command_line.hauling.comparison import Comparison
    from tarelot.workbook_templates.hauling.compare.lines import Line

NAMES = {column: name for name, column in PRINTED.items()}
"""What a column of Match is called for machines, as in ``match``."""
MOST = 4


def add_parsers(commands: argparse._SubParsersAction[Parser]) -> None:
    """Add the command to the command line."""
    compare = command(
        commands,
        "compare",
        "set up to four trailers side by side for a machine, and say where they differ",
        'tarelot compare lot.xlsx 1105 1108 --machine "Backhoe 15" --truck "Tandem dump 58"',
        changes=lambda chosen: [chosen.pdf] if chosen.pdf else [],
    )
    compare.add_argument("file", type=Path, help="lot workbook, or a folder with lots")
    compare.add_argument(
        "stock",
        nargs="+",
        help="stock numbers, one to four, and further lots: what is a file or a folder is a lot. A stock number that "
        "several lots have is written with its lot's name, as north:1105 for the one in north.xlsx",
    )
    compare.add_argument("--machine", required=True, help="name of the machine on the Machines sheet")
    compare.add_argument("--truck", help="name of the truck on the Trucks sheet; left out: no truck is checked")
    compare.add_argument("--json", action="store_true", help="print data for machines")
    compare.add_argument("--pdf", type=Path, metavar="OUT.pdf", help="write one page instead, through LibreOffice")
    compare.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Print the lines side by side, or write them as one page; 2 when one of several lots cannot be read."""
    files = [chosen.file, *(Path(word) for word in chosen.stock if _is_lot(word))]
    stocks = [word for word in chosen.stock if not _is_lot(word)]
    path = lots.only_one(files)
    if not stocks:
        raise CommandError("no stock number is named: name one to four behind the lots")
    if len(stocks) > MOST:
        raise CommandError(f"{MOST} trailers stand side by side at most: {len(stocks)} are named")
    if chosen.json and chosen.pdf:
        raise CommandError("--json prints, --pdf writes a page: say one of them")
    if path is None:
        return _run_several(files, stocks, chosen)
    if chosen.pdf:
        if chosen.pdf.suffix.lower() != ".pdf":
            raise CommandError(f"{chosen.pdf}: the page is a PDF; let its name end in .pdf")
        refuse_existing(chosen.pdf)
    return _run_one(path, stocks, chosen)


def _run_one(path: Path, stocks: list[str], chosen: argparse.Namespace) -> int:
    from tarelot.addin.command_line.hauling.comparison import compare_lot, write_page

    lot, found = compare_lot(path, stocks, chosen.machine, chosen.truck)
    if chosen.pdf:
        write_page(lot, found, chosen.pdf)
        say_whole(f"Written: {chosen.pdf}")
        say(CAUTION)
    elif chosen.json:
        print(json.dumps(_data(found), indent=2))
    else:
        _print(found)
    return 0


def _run_several(files: list[Path], stocks: list[str], chosen: argparse.Namespace) -> int:
    """The same of trailers that several lots have, each asked with its own lot's figures of machine and truck."""
    from tarelot.addin.command_line.hauling.comparison import compare_lots, find_in_lot

    if chosen.pdf:
        raise CommandError("--pdf prints the sheet Compare of one lot: name one lot's file, or leave --pdf out")
    work = partial(find_in_lot, words=stocks, machine=chosen.machine, truck=chosen.truck)
    outcome = lots.work_out(files, work)
    outcome.say_left()
    if outcome.done:
        by_name = {lot.name: found for lot, found in outcome.done}
        found = compare_lots(by_name, stocks, chosen.machine, chosen.truck)
        if chosen.json:
            data = outcome.lots_as_data(lambda one: {"own_limits": one.own_limits})
            print(json.dumps({**_data(found), "lots": data, **outcome.left_as_data()}, indent=2))
        else:
            _print(found)
            say(*outcome.passed_over_words(), "Machine and truck: by the figures of each trailer's own lot.")
    return lots.NOT_READ if outcome.not_read else 0


def _is_lot(word: str) -> bool:
    """Whether a word behind the first is a lot and no stock number."""
    try:
        return word.lower().endswith(lots.SUFFIXES) or Path(word).exists()
    except OSError:  # longer than a name can be
        return False


def _data(found: Comparison) -> dict[str, object]:
    """Trailers and differences for machines, each line by its key; those of Match as ``match --json`` has them."""
    names = {line.key: NAMES.get(line.key, line.key) for line in found.lines}
    units = found.units
    of_lots = [{"lot": name} for name in found.lots] or [{} for _ in found.stocks]
    return {
        "machine": found.machine,
        "truck": found.truck,
        "weight_unit": units.weight,
        "short_unit": units.short,
        "long_unit": units.long,
        "own_limits": found.own_limits,
        "trailers": [
            {**lot, "stock": stock, **{name: values[key] for key, name in names.items()}}
            for lot, stock, values in zip(of_lots, found.stocks, found.trailers, strict=True)
        ],
        "differences": {names[key]: words for key, words in found.differences.items()},
    }


def _print(found: Comparison) -> None:
    """A column a trailer, or on a narrow terminal a block a line; then what is said of each in words."""
    units = found.units
    facts = [line for line in found.lines if line.kind != "words"]
    columns = (
        Column("", "name"),
        *(Column(title, "fact") for title in found.titles),
        Column("Where they differ", "words"),
    )
    rows = [
        (
            units.heading(line.label),
            *(_cell(line, values) for values in found.trailers),
            found.differences.get(line.key, ""),
        )
        for line in facts
    ]
    print_rows(columns, rows)
    for title, values in zip(found.titles, found.trailers, strict=True):
        for line in found.lines:
            if line.kind == "words" and values[line.key] != "":
                say(f"{clean(title)}, {line.label.lower()}: {clean(values[line.key])}")
    behind = f" behind {found.truck}" if found.truck else "; no truck was chosen, so none gets a YES"
    say(f"For {found.machine}{behind}.", CAUTION)
    if found.own_limits:
        say(f"By the yard's own limits: {clean(found.own_limits)}.", CAUTION)


def _cell(line: Line, values: Mapping[str, object]) -> str | Text:
    """What a line says of a trailer, figures as the sheet shows them; a mark goes with the verdict's color."""
    from rich.text import Text

    from tarelot.calc.cells.values import fixed

    value = values[line.key]
    if line.key == "word" and value in LOOKS:
        mark, style = LOOKS[str(value)]
        return Text(f"{mark} {value}", style=style)
    if isinstance(value, float):
        places = {"angle": 1, "number": 2, "from zero": 2}.get(line.kind, 0)
        written = fixed(value, places, False)
        return written.rstrip("0").rstrip(".") if places == 2 else written
    return clean(value)
