"""``match``: which trailers carry a machine, and what is wrong where not."""

from __future__ import annotations

import argparse
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from tarelot.addin.command_line import lots
from tarelot.addin.command_line.command import Parser, command
from tarelot.addin.command_line.output import CAUTION, FINE, UNSURE, WRONG, Column, amount, clean, print_rows, say
from tarelot.workbook_templates.basis.counts import so_many

if TYPE_CHECKING:
    from rich.text import Text

Row = Mapping[str, float | str | bool]
YES, NO, NOT_SURE = "YES", "NO", "NOT SURE"
LOOKS = {YES: (FINE, "bold dark_cyan"), NO: (WRONG, "bold dark_orange3"), NOT_SURE: (UNSURE, "")}
"""Mark and color of each verdict."""
PRINTED = {
    "stock": "stock",
    "trailer": "trailer",
    "status": "status",
    "verdict": "word",
    "broken": "why",
    "enough": "enough_said",
    "missing": "lacking",
    "cautions": "minded",
    "spare": "spare",
}
"""What is printed for machines, and the column of Match that it is."""
REASONS = (("", "why"), ("enough: ", "enough_said"), ("missing: ", "lacking"), ("mind: ", "minded"))
"""What stands behind a verdict, and the words before it."""


def add_parsers(commands: argparse._SubParsersAction[Parser]) -> None:
    """Add the command to the command line."""
    match = command(
        commands,
        "match",
        "say of every trailer whether it carries a machine, and what is wrong where not",
        'tarelot match lot.xlsx --machine "Wheel loader 9" --truck "Tandem dump 58"',
    )
    lots.add_argument(match)
    match.add_argument("--machine", required=True, help="name of the machine on the Machines sheet")
    match.add_argument("--truck", help="name of the truck on the Trucks sheet; left out: no truck is checked")
    match.add_argument("--json", action="store_true", help="print data for machines")
    match.set_defaults(run=run)


@dataclass(frozen=True)
class Matched:
    """The trailers of a lot that were asked for a machine, weights in its unit.

    Attributes:
        weight_unit: The unit.
        own_limits: What the yard changed on its Limits sheet, in words.
        rows: Each trailer's columns of Match by key.
    """

    weight_unit: str
    own_limits: str
    rows: Sequence[Row]

    @property
    def totals(self) -> dict[str, int]:
        """How many trailers, and how many of each verdict."""
        verdicts = [row["word"] for row in self.rows]
        return {"trailers": len(verdicts)} | {word: verdicts.count(word) for word in (YES, NO, NOT_SURE)}

    def as_data(self) -> dict[str, object]:
        """Unit, own limits, trailers and totals, for machines."""
        trailers = [{name: row[key] for name, key in PRINTED.items()} for row in self.rows]
        own = {"weight_unit": self.weight_unit, "own_limits": self.own_limits}
        return {**own, "trailers": trailers, "totals": self.totals}


def matched(path: Path, machine: str, truck: str | None) -> Matched:
    """A lot asked for a machine, and for a truck where one is named."""
    from tarelot.workbook_templates.hauling.asked import limits_changed
    from tarelot.workbook_templates.hauling.match.reading import match_lot
    from tarelot.workbook_templates.lot.reading import read_lot

    lot = read_lot(path)
    rows = [row for row in match_lot(lot, machine, truck) if row["asked"] == 1]
    return Matched(lot.units.weight, limits_changed(lot.units, lot.limits), rows)


def run(chosen: argparse.Namespace) -> int:
    """Print a verdict for every trailer of a lot, or of several; 2 when one of those cannot be read."""
    path = lots.only_one(chosen.file)
    if path is None:
        return _run_several(chosen)
    found = matched(path, chosen.machine, chosen.truck)
    if chosen.json:
        print(json.dumps({**_asked(chosen), **found.as_data()}, indent=2))
        return 0
    print_rows(_columns(found.weight_unit), [_row(row) for row in found.rows])
    say(f"{_counts(found.totals)} {_for(chosen)}.", CAUTION, *_own_limits(found, ""))
    return 0


def _run_several(chosen: argparse.Namespace) -> int:
    """Print a verdict for every trailer, with its lot; each lot is asked with its own figures of machine and truck."""
    outcome = lots.work_out(chosen.file, partial(matched, machine=chosen.machine, truck=chosen.truck))
    totals = lots.summed(found.totals for _, found in outcome.done)
    outcome.say_left()
    if chosen.json:
        data = outcome.lots_as_data(Matched.as_data)
        print(json.dumps({**_asked(chosen), "lots": data, "totals": totals, **outcome.left_as_data()}, indent=2))
    elif outcome.done:
        unit = lots.common_unit(found.weight_unit for _, found in outcome.done)
        rows = [
            (lot.name, *_row(row, "" if unit else found.weight_unit))
            for lot, found in outcome.done
            for row in found.rows
        ]
        print_rows((Column("Lot", "name"), *_columns(unit)), rows)
        for lot, found in outcome.done:
            say(f"{lot.name}: {_counts(found.totals)}.", *_own_limits(found, f" in {lot.name}"))
        say(*lots.unit_words({lot.name: found.weight_unit for lot, found in outcome.done}))
        say(*outcome.passed_over_words(), "Machine and truck: by the figures of each trailer's own lot.")
        say(f"{outcome.counted()}: {_counts(totals)} {_for(chosen)}.", CAUTION)
    return lots.NOT_READ if outcome.not_read else 0


def _asked(chosen: argparse.Namespace) -> dict[str, str | None]:
    return {"machine": chosen.machine, "truck": chosen.truck}


def _columns(unit: str) -> tuple[Column, ...]:
    return (
        Column("Stock no.", "name"),
        Column("Trailer", "name"),
        Column("Status", "fact"),
        Column("Spare", "figure", unit),
        Column("Carries it?", "name"),
        Column("Why, or what to mind", "words"),
    )


def _counts(totals: Mapping[str, int]) -> str:
    counts = ", ".join(f"{totals[word]:,} {word}" for word in (YES, NO, NOT_SURE))
    return f"{counts} of {so_many(totals['trailers'], 'trailer')}"


def _for(chosen: argparse.Namespace) -> str:
    behind = f" behind {chosen.truck}" if chosen.truck else "; no truck was chosen, so none gets a YES"
    return f"for {chosen.machine}{behind}"


def _own_limits(found: Matched, where: str) -> list[str]:
    return [f"By the yard's own limits{where}: {found.own_limits}."] if found.own_limits else []


def _row(row: Row, unit: str = "") -> tuple[str | Text, ...]:
    """One trailer; a mark and words go with the color. Where columns name no unit, it stands in the cells."""
    from rich.text import Text

    word = str(row["word"])
    mark, style = LOOKS[word]
    names = (clean(row[key]) for key in ("stock", "trailer", "status"))
    said = [f"{name}{row[key]}" for name, key in REASONS if row[key] != ""]
    return (*names, amount(row["spare"], unit), Text(f"{mark} {word}", style=style), clean("; ".join(said)))
