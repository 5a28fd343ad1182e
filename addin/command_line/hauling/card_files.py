"""Cards and quotes as PDF files: that sheet of a workbook of one trailer, printed by LibreOffice, one file a page."""

from __future__ import annotations

import datetime
import re
import subprocess
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from tempfile import TemporaryDirectory

from openpyxl.utils.datetime import to_excel

from tarelot.addin.command_line.files import out_folder, write_new_bytes
from tarelot.addin.libreoffice.install import find_office
from tarelot.workbook_templates.hauling.card import letterhead
from tarelot.workbook_templates.hauling.card import sheet as card
from tarelot.workbook_templates.hauling.match.reading import read_choice
from tarelot.workbook_templates.hauling.quote import entries
from tarelot.workbook_templates.hauling.quote import sheet as quote
from tarelot.workbook_templates.hauling.results import Hauling
from tarelot.workbook_templates.hauling.what_if.rows import MACHINE, TABLES, TRUCK
from tarelot.workbook_templates.lot.columns import KEY
from tarelot.workbook_templates.lot.reading import LotError, LotSheet
from tarelot.workbook_templates.sheets import yard
from tarelot.workbook_templates.workbook import write

UNNAMED = "without a number"
"""Stands for the stock number of a trailer that has none, so that it can be chosen."""
SECONDS = 180
"""Time that LibreOffice has for one page."""
AT_ONCE = 8
"""Pages that one start of LibreOffice prints: starting takes it longer than printing."""


@dataclass(frozen=True)
class Load:
    """What the cards are about beside the trailer.

    Attributes:
        machine: The machine's row, or none.
        truck: The truck's row, or none.
        head: What stands at the head of each page, by key: the yard as Start has it, the date, a price typed.
        quote: What is typed on each quote, by key; None where no quotes are asked for.
    """

    machine: Mapping[str, object] | None = None
    truck: Mapping[str, object] | None = None
    head: Mapping[str, object] = field(default_factory=dict)
    quote: Mapping[str, object] | None = None

    @property
    def sheets(self) -> tuple[str, ...]:
        """The sheets that are printed of each trailer."""
        return (card.SHEET,) if self.quote is None else (card.SHEET, quote.SHEET)


def chosen_load(
    lot: LotSheet,
    machine: str | None,
    truck: str | None,
    date: datetime.date,
    price: str | None = None,
    *,
    with_quote: bool = False,
    valid_to: datetime.date | None = None,
) -> Load:
    """The machine and the truck of these names, without a name none, and what stands at the head of the page.

    Args:
        lot: The lot.
        machine: Name of the machine.
        truck: Name of the truck.
        date: The date of the page.
        price: The price in words, in place of what Start says of it, and on a quote in place of the Lot's.
        with_quote: Whether a quote is made beside each card.
        valid_to: The last day on which the quote stands.

    Raises:
        LotError: The workbook has none of that name, or more than one, or cannot be read.
    """
    head = {**yard.read(lot.path), letterhead.DATE: float(to_excel(date)), letterhead.PRICE: price}
    found = _single(lot.path, MACHINE, machine), _single(lot.path, TRUCK, truck)
    if not with_quote:
        return Load(*found, head)
    typed = {entries.DATE: head[letterhead.DATE], entries.PRICE: _amount(price)}
    return Load(*found, head, typed | {entries.VALID: None if valid_to is None else float(to_excel(valid_to))})


def _amount(price: str | None) -> str | float | None:
    """A price as the quote adds it: a plain number as one, any other words as they are."""
    return float(price) if price and re.fullmatch(r"[0-9]+(\.[0-9]+)?", price) else price


def _single(path: Path, group: str, name: str | None) -> Mapping[str, object] | None:
    """The row of a name; a card holds no other row that would say that it stands twice."""
    rows, found = read_choice(path, group, name)
    if found is not None:
        table, key = TABLES[group]
        same = [row for row in rows if str(row[key]).lower() == str(found[key]).lower()]
        if len(same) > 1:
            raise LotError(f"{key.lower()} {name} stands on {table} {len(same)} times: leave only one of them")
    return found


def chosen_rows(lot: LotSheet, stocks: Sequence[str]) -> list[dict[str, object]]:
    """Inputs of the trailers with these stock numbers, of all without any.

    Raises:
        LotError: A stock number is not on the lot or stands there twice, or the lot is empty.
    """
    rows: list[dict[str, object]] = [dict(row.values) for row in lot.rows]
    if stocks:
        return named_rows(rows, stocks)
    if not rows:
        raise LotError(f"{lot.path.name}: the lot is empty")
    return rows


def named_rows(rows: Sequence[dict[str, object]], stocks: Sequence[str]) -> list[dict[str, object]]:
    """The rows with these stock numbers.

    Raises:
        LotError: A stock number is not among them, or stands there twice.
    """
    chosen = []
    for stock in stocks:
        same = [row for row in rows if is_stock(row, stock)]
        if len(same) != 1:
            how = "is not on the lot" if not same else f"stands on the lot {len(same)} times: leave only one of them"
            raise LotError(f"stock no. {stock} {how}")
        chosen += same
    return chosen


def write_cards(
    lot: LotSheet, rows: Sequence[dict[str, object]], load: Load, out: Path, step: Callable[[str], None]
) -> list[Path]:
    """Write the PDFs of each trailer into a folder, never over a file that is there; ``step`` is told each name.

    Raises:
        InstallError: LibreOffice is missing or too old.
        LotError: A file is there already, or LibreOffice made none.
    """
    office = find_office()
    names = _names(rows)
    wanted = [(name, row, sheet) for name, row in zip(names, rows, strict=True) for sheet in load.sheets]
    targets = [out / f"{sheet.lower()}-{name}.pdf" for name, _, sheet in wanted]
    there = [target.name for target in targets if target.exists()]
    if there:
        raise LotError(f"{out} holds {', '.join(there)} already: choose another folder, or move them away")
    with out_folder(out), _all_or_none() as written, TemporaryDirectory() as folder:
        for start in range(0, len(targets), AT_ONCE):
            pages = []
            for (_, row, sheet), target in zip(wanted[start : start + AT_ONCE], targets[start:], strict=False):
                step(target.name)
                pages.append(Path(folder) / f"{target.stem}.xlsx")
                write_page(pages[-1], lot, row, load, sheet)
            convert(office.soffice, pages, Path(folder))
            for page, target in zip(pages, targets[start:], strict=False):
                write_new_bytes(target, page.with_suffix(".pdf").read_bytes())
                written.append(target)
    return written


@contextmanager
def _all_or_none() -> Iterator[list[Path]]:
    """A list of what is written, which is taken away again where the rest fails."""
    written: list[Path] = []
    try:
        yield written
    except BaseException:
        for path in written:
            path.unlink(missing_ok=True)
        raise


def write_page(path: Path, lot: LotSheet, row: Mapping[str, object], load: Load, sheet: str = card.SHEET) -> None:
    """Write a workbook of which only the Card, or the Quote, of one trailer is to be seen."""
    stock = row.get(KEY)
    single = {**row, KEY: UNNAMED if stock in (None, "") else stock}
    machine, truck = load.machine or {}, load.truck or {}
    choices = (single[KEY], machine.get(TABLES[MACHINE][1]), truck.get(TABLES[TRUCK][1]))
    # Every table gets a second row: some programs look for nothing in a table of one.
    hauling = Hauling([machine, {}], [truck, {}], choices, card=load.head, quote=load.quote or {})
    options = [*lot.options, (None, None)]
    write(path, [single, {}], options, lot.units, hauling=hauling, only=sheet, typed=lot.limits)


def convert(soffice: Path, pages: Sequence[Path], folder: Path) -> None:
    """Have LibreOffice make the PDFs beside the pages, with settings of its own: an open one is not disturbed.

    Raises:
        LotError: It made none, or took too long.
    """
    profile = (folder / "profile").as_uri()
    to_pdf: tuple[Path | str, ...] = ("--headless", "--convert-to", "pdf", "--outdir", folder)
    seconds = SECONDS * len(pages)
    try:
        done = subprocess.run(  # noqa: S603  # LibreOffice on files of our own making
            [soffice, f"-env:UserInstallation={profile}", *to_pdf, *pages],
            capture_output=True,
            text=True,
            timeout=seconds,
            check=False,
        )
    except subprocess.TimeoutExpired as error:
        raise LotError(f"LibreOffice did not finish {pages[0].stem} within {seconds} seconds") from error
    missing = [page.stem for page in pages if not page.with_suffix(".pdf").exists()]
    if missing:
        raise LotError(f"LibreOffice made no PDF of {missing[0]}: {done.stderr.strip() or done.stdout.strip()}")


def _names(rows: Sequence[dict[str, object]]) -> list[str]:
    """What ends a trailer's file names, from its stock number; numbered where two would be the same."""
    names: list[str] = []
    for row in rows:
        name = re.sub(r"[^\w-]+", "_", stock_of(row)).strip("_") or "trailer"
        same = sum(re.fullmatch(rf"{re.escape(name.lower())}(-\d+)?", other.lower()) is not None for other in names)
        names.append(f"{name}-{same + 1}" if same else name)
    return names


def is_stock(row: Mapping[str, object], stock: str) -> bool:
    """Whether a row has a stock number, as a person may type it."""
    return stock_of(row).lower() == stock.strip().lower()


def stock_of(row: Mapping[str, object]) -> str:
    """The stock number of a row as a person types it; blank where it has none."""
    value = row.get(KEY)
    return f"{value:g}" if isinstance(value, float) else "" if value is None else str(value).strip()
