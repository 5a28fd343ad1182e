"""Trailers of a lot side by side: what Compare says of them, worked out, and its sheet printed by LibreOffice."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import ClassVar

from tarelot.addin.command_line.command import CommandError
from tarelot.addin.command_line.files import write_new_bytes
from tarelot.addin.command_line.hauling.card_files import convert, is_stock, named_rows, stock_of
from tarelot.addin.libreoffice.install import find_office
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling.asked import limits_changed
from tarelot.workbook_templates.hauling.compare import sheet
from tarelot.workbook_templates.hauling.compare.expressions import PLACES, differs, shown
from tarelot.workbook_templates.hauling.compare.lines import LINES, WORDS, Line
from tarelot.workbook_templates.hauling.compare.stored import compared
from tarelot.workbook_templates.hauling.match.reading import Value, filled, matched, read_choices
from tarelot.workbook_templates.hauling.results import Hauling
from tarelot.workbook_templates.hauling.what_if.rows import STOCK_AS_TEXT
from tarelot.workbook_templates.lot.columns import KEY
from tarelot.workbook_templates.lot.reading import LotSheet, read_lot
from tarelot.workbook_templates.workbook import write

Row = Mapping[str, object]


@dataclass(frozen=True)
class Comparison:
    """Trailers side by side.

    Attributes:
        units: The units of their lots.
        machine: Name of the machine.
        truck: Name of the truck, or none.
        stocks: The stock numbers as the lot has them.
        trailers: What each line says of each trailer, by the line's key; words whole.
        differences: Where they differ in words, by the line's key.
        own_limits: What the yard changed on its Limits sheet, in words.
        titles: What each trailer is called; of several lots the lot's name before the stock number.
        lots: The name of each trailer's lot, of several.
    """

    units: Units
    machine: str
    truck: str | None
    stocks: list[str]
    trailers: list[dict[str, object]]
    differences: dict[str, str]
    own_limits: str
    titles: list[str]
    lots: list[str] = field(default_factory=list)
    lines: ClassVar[Sequence[Line]] = LINES


@dataclass(frozen=True)
class Found:
    """The trailers of one of several lots that may be meant.

    Attributes:
        units: The lot's units.
        own_limits: What the yard changed on its Limits sheet, in words.
        rows: What the Lot says of each by heading, and what Match says of it by key.
    """

    units: Units
    own_limits: str
    rows: list[tuple[dict[str, object], dict[str, Value]]]

    def named(self, stock: str) -> list[tuple[dict[str, object], dict[str, Value]]]:
        """Those with a stock number."""
        return [row for row in self.rows if is_stock(row[0], stock)]


def compare_lot(path: Path, stocks: Sequence[str], machine: str, truck: str | None) -> tuple[LotSheet, Comparison]:
    """A lot, and its trailers with these stock numbers side by side.

    Raises:
        CommandError: A trailer is named twice.
        LotError: The workbook cannot be read, or has no such trailer, machine or truck.
    """
    lot = read_lot(path)
    rows = named_rows(filled(lot), stocks)
    names = [stock_of(row) for row in rows]
    _refuse_twice(names)
    machines, trucks, choices = read_choices(path, machine, truck)
    on_match = matched(rows, machines, trucks, choices, lot.units, lot.limits)
    limits = limits_changed(lot.units, lot.limits)
    return lot, Comparison(lot.units, machine, truck, names, *_lines(rows, on_match, names, lot.units), limits, names)


def find_in_lot(path: Path, words: Sequence[str], machine: str, truck: str | None) -> Found:
    """The trailers of one of several lots that may be meant, asked with its own figures of machine and truck.

    Args:
        path: The lot.
        words: Stock numbers as typed; the name of a lot may stand before one.
        machine: Name of the machine.
        truck: Name of the truck, or none.

    Raises:
        LotError: The workbook cannot be read.
        NoSuchName: It has no such machine or truck.
    """
    lot = read_lot(path)
    machines, trucks, choices = read_choices(path, machine, truck)
    meant = [word.split(":", count)[-1] for word in words for count in range(word.count(":") + 1)]
    rows = [row for row in filled(lot) if any(is_stock(row, stock) for stock in meant)]
    on_match = matched(rows, machines, trucks, choices, lot.units, lot.limits)
    return Found(lot.units, limits_changed(lot.units, lot.limits), list(zip(rows, on_match, strict=True)))


def compare_lots(found: Mapping[str, Found], words: Sequence[str], machine: str, truck: str | None) -> Comparison:
    """Trailers of several lots side by side.

    Args:
        found: What was found in each lot, by the lot's name.
        words: Stock numbers as typed; ``LOT:STOCK`` for one that several lots have.
        machine: Name of the machine.
        truck: Name of the truck, or none.

    Raises:
        CommandError: A stock number is in no lot or in several, a trailer is named twice, or the lots of two have not
            the same units.
    """
    chosen = [_single(found, word) for word in words]
    lots = [name for name, _ in chosen]
    names = {found[name].units.weight: name for name in lots}
    if len(names) > 1:
        said = ", ".join(f"{name} is in {unit}" for unit, name in names.items())
        raise CommandError(f"trailers stand side by side in the same units only: {said}")
    stocks = [stock_of(row) for _, (row, _) in chosen]
    titles = [f"{name}:{stock}" for name, stock in zip(lots, stocks, strict=True)]
    _refuse_twice(titles)
    rows = [{**row, KEY: title, STOCK_AS_TEXT: title} for title, (_, (row, _)) in zip(titles, chosen, strict=True)]
    lines = _lines(rows, [said for _, (_, said) in chosen], titles, found[lots[0]].units)
    own = {name: found[name].own_limits for name in lots if found[name].own_limits}
    limits = "; ".join(f"{said} in {name}" for name, said in own.items())
    return Comparison(found[lots[0]].units, machine, truck, stocks, *lines, limits, titles, lots)


def _single(found: Mapping[str, Found], word: str) -> tuple[str, tuple[dict[str, object], dict[str, Value]]]:
    """The one trailer that a word means, and the name of its lot."""
    stock, of = word, dict(found)
    if not any(one.named(word) for one in found.values()):
        for name in found:
            if word.lower().startswith(f"{name.lower()}:"):
                stock, of = word[len(name) + 1 :], {name: found[name]}
    there = {name: rows for name, one in of.items() if (rows := one.named(stock))}
    if not there:
        raise CommandError(f"stock no. {stock} is not on {'the lot' if len(of) == 1 else 'any lot of'} {', '.join(of)}")
    if len(there) > 1:
        either = " or ".join(f"{name}:{stock}" for name in there)
        raise CommandError(f"stock no. {stock} is on several lots, {', '.join(there)}: write {either}")
    ((name, rows),) = there.items()
    if len(rows) > 1:
        raise CommandError(f"stock no. {stock} stands on the lot {name} {len(rows)} times: leave only one of them")
    return name, rows[0]


def _refuse_twice(names: Sequence[str]) -> None:
    again = [name for place, name in enumerate(names) if name in names[:place]]
    if again:
        raise CommandError(f"stock no. {again[0]} is named twice: name each trailer once")


def _lines(
    rows: Sequence[Row], on_match: Sequence[Mapping[str, Value]], names: Sequence[str], units: Units
) -> tuple[list[dict[str, object]], dict[str, str]]:
    """What each line says of each trailer, and where they differ in words."""
    cells = compared(rows, on_match, names, units)
    trailers: list[dict[str, object]] = [
        {line.key: cells[shown(line, place).key] if line not in WORDS else said[line.key] for line in LINES}
        for place, said in zip(PLACES, on_match, strict=False)
    ]
    return trailers, {line.key: str(cells[differs(line).key]) for line in LINES if line.differs}


def write_page(lot: LotSheet, found: Comparison, target: Path) -> None:
    """Write the Compare sheet of a lot as PDF, never over a file that is there.

    Raises:
        InstallError: LibreOffice is missing or too old.
        LotError: LibreOffice made no PDF.
    """
    office = find_office()
    machines, trucks, choices = read_choices(lot.path, found.machine, found.truck)
    hauling = Hauling([*machines, {}], [*trucks, {}], compared=found.stocks)
    with TemporaryDirectory() as folder:
        page = Path(folder) / f"{target.stem}.xlsx"
        rows = [*_with_their_likes(lot, found.stocks), {}]
        pairs = [*lot.options, (None, None)]
        write(
            page,
            rows,
            pairs,
            lot.units,
            hauling=hauling,
            match_choices=choices,
            typed=lot.limits,
            only=sheet.SHEET,
        )
        convert(office.soffice, [page], Path(folder))
        write_new_bytes(target, page.with_suffix(".pdf").read_bytes())


def _with_their_likes(lot: LotSheet, stocks: Sequence[str]) -> list[Row]:
    """The rows of these trailers, and those with a VIN of theirs: the Lot's check of that looks at all of them."""
    rows: list[Row] = [row.values for row in lot.rows]
    vins = {_vin(row) for row in rows if stock_of(row) in stocks} - {""}
    return [row for row in rows if stock_of(row) in stocks or _vin(row) in vins]


def _vin(row: Row) -> str:
    return str(row.get("VIN") or "").strip().lower()
