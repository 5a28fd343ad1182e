"""Every verdict of whole yards on every face, in both engines: too long for each run of the tests, some 15 minutes.

    python -m tests.hauling.whole_cross

The demo's every trailer, machine and truck, and 500 sets made of the demo by chance: Match, What-if and Card in
LibreOffice and in IronCalc, and ``tarelot match --json``, against what the rules say without any sheet. A difference
ends it with the choice that differs.
"""

from __future__ import annotations

import contextlib
import io
import json
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path

from tarelot.addin.command_line.main import main as tarelot
from tarelot.workbook_templates.hauling import asked
from tests.engines.office import Office, Value
from tests.hauling import yards
from tests.hauling.what_if_live import Live
from tests.hauling.yards import CARD_VERDICT, WHAT_IF_CELLS, Yard

SEED = 500
BATCH = 60
READS = [*WHAT_IF_CELLS, CARD_VERDICT]
EACH = len(asked.SAID)


def said_on_match(yard: Yard, machine: str, truck: str, found: list[object]) -> int:
    """Hold Match's rows against the rules; how many."""
    for place in range(len(yard.trailers)):
        said = tuple(str(cell or "") for cell in found[EACH * place : EACH * (place + 1)])
        assert said == yard.verdicts[place, machine, truck], (place, machine, truck, said)
    return len(yard.trailers)


def places(yard: Yard) -> list[int]:
    """The trailers that What-if can choose: of those with one stock number the first."""
    stocks = [yard.stock(place) for place in range(len(yard.trailers))]
    return [place for place, stock in enumerate(stocks) if stocks.index(stock) == place]


def in_libreoffice(yard: Yard, path: Path) -> Iterator[int]:
    """Match, What-if and Card in LibreOffice."""
    cells = [cell for place in range(len(yard.trailers)) for cell in yards.on_match(place)]
    with Office() as office:
        for machine, truck in yard.pairs():
            rounds: list[dict[str, Value]] = [dict(yards.match_edits(machine, truck))]
            yield said_on_match(yard, machine, truck, list(office.edit_and_read_often(path, rounds, cells)[0]))
        choices = [(place, *pair) for place in places(yard) for pair in yard.pairs()]
        for start in range(0, len(choices), BATCH):
            batch = choices[start : start + BATCH]
            edits: list[dict[str, Value]] = [
                dict(yards.what_if_edits(yard.stock(place), *pair)) for place, *pair in batch
            ]
            for choice, found in zip(batch, office.edit_and_read_often(path, edits, READS), strict=True):
                yards.assert_on_what_if(found, yard.verdicts[choice], choice)
            yield len(batch)


def in_ironcalc(yard: Yard, path: Path) -> Iterator[int]:
    """The same in IronCalc."""
    live = Live(path)

    def choose(edits: dict[str, str], cells: list[str]) -> list[object]:
        for cell, text in edits.items():
            live.set(*cell.split("!"), text)
        live.model.evaluate()
        return [live.read(*cell.split("!")) for cell in cells]

    on_match = [cell for place in range(len(yard.trailers)) for cell in yards.on_match(place)]
    for machine, truck in yard.pairs():
        yield said_on_match(yard, machine, truck, choose(yards.match_edits(machine, truck), on_match))
        for place in places(yard):
            found = choose(yards.what_if_edits(yard.stock(place), machine, truck), READS)
            yards.assert_on_what_if(found, yard.verdicts[place, machine, truck], (place, machine, truck))
            yield 1


def by_command(yard: Yard, path: Path) -> Iterator[int]:
    """``tarelot match --json``."""
    for machine, truck in yard.pairs():
        printed = io.StringIO()
        with contextlib.redirect_stdout(printed):
            assert tarelot(["match", str(path), "--machine", machine, "--truck", truck, "--json"]) in (0, 1)
        rows = json.loads(printed.getvalue())["trailers"]
        assert len(rows) == len(yard.trailers)
        for place, row in enumerate(rows):
            said = tuple(row[key] for key in asked.SAID)
            assert said == yard.verdicts[place, machine, truck], (place, machine, truck, said)
        yield len(rows)


FACES: dict[str, Callable[[Yard, Path], Iterator[int]]] = {
    "match --json": by_command,
    "IronCalc": in_ironcalc,
    "LibreOffice": in_libreoffice,
}


def run() -> None:
    """Hold every face of both yards against the rules."""
    with tempfile.TemporaryDirectory() as folder:
        for name, yard in (("demo", yards.demo()), ("by chance", yards.changed_by_chance(SEED))):
            path = Path(folder) / f"{name}.xlsx"
            yard.write(path)
            words = Counter(said[0] for said in yard.verdicts.values())
            print(f"{name}: {len(yard.verdicts)} sets, {dict(words)}", flush=True)
            for face, held in FACES.items():
                begun = time.monotonic()
                count = sum(held(yard, path))
                print(f"  {face}: {count} verdicts the same, {time.monotonic() - begun:.0f} s", flush=True)


if __name__ == "__main__":
    sys.exit(run())
