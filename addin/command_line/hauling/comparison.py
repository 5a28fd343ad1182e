"""Trailers of a lot side by side: what Compare says of them, worked out, and its sheet printed by LibreOffice."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from tarelot.addin.command_line.command import CommandError
from tarelot.addin.command_line.files import write_new_bytes
from tarelot.addin.command_line.hauling.card_files import convert, named_rows, stock_of
from tarelot.addin.libreoffice.install import find_office
from tarelot.workbook_templates.hauling.asked import limits_changed
from tarelot.workbook_templates.hauling.compare import sheet
from tarelot.workbook_templates.hauling.compare.expressions import PLACES, differs, shown
from tarelot.workbook_templates.hauling.compare.lines import LINES, WORDS, Line
from tarelot.workbook_templates.hauling.compare.stored import compared
from tarelot.workbook_templates.hauling.match.reading import filled, matched, read_choices
from tarelot.workbook_templates.hauling.results import Hauling
from tarelot.workbook_templates.lot.reading import LotSheet, read_lot
from tarelot.workbook_templates.workbook import write

Row = Mapping[str, object]


@dataclass(frozen=True)
class Comparison:
    """Trailers side by side.

    Attributes:
        lot: The lot.
        machine: Name of the machine.
        truck: Name of the truck, or none.
        stocks: The stock numbers as the lot has them.
        trailers: What each line says of each trailer, by the line's key; words whole.
        differences: Where they differ in words, by the line's key.
        own_limits: What the yard changed on its Limits sheet, in words.
        lines: The lines, in order.
    """

    lot: LotSheet
    machine: str
    truck: str | None
    stocks: list[str]
    trailers: list[dict[str, object]]
    differences: dict[str, str]
    own_limits: str
    lines: Sequence[Line] = LINES


def compare_lot(path: Path, stocks: Sequence[str], machine: str, truck: str | None) -> Comparison:
    """The trailers of a lot with these stock numbers side by side.

    Raises:
        CommandError: A trailer is named twice.
        LotError: The workbook cannot be read, or has no such trailer, machine or truck.
    """
    lot = read_lot(path)
    rows = named_rows(filled(lot), stocks)
    names = [stock_of(row) for row in rows]
    again = [name for place, name in enumerate(names) if name in names[:place]]
    if again:
        raise CommandError(f"stock no. {again[0]} is named twice: name each trailer once")
    machines, trucks, choices = read_choices(path, machine, truck)
    on_match = matched(rows, machines, trucks, choices, lot.units, lot.limits)
    cells = compared(rows, on_match, names, lot.units)
    trailers: list[dict[str, object]] = [
        {line.key: cells[shown(line, place).key] if line not in WORDS else said[line.key] for line in LINES}
        for place, said in zip(PLACES, on_match, strict=False)
    ]
    words = {line.key: str(cells[differs(line).key]) for line in LINES if line.differs}
    return Comparison(lot, machine, truck, names, trailers, words, limits_changed(lot.units, lot.limits))


def write_page(found: Comparison, target: Path) -> None:
    """Write the Compare sheet as PDF, never over a file that is there.

    Raises:
        InstallError: LibreOffice is missing or too old.
        LotError: LibreOffice made no PDF.
    """
    office = find_office()
    lot = found.lot
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
