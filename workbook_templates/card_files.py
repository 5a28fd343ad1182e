"""Cards as PDF files, made by LibreOffice: one file a trailer."""

from __future__ import annotations

import re
import shutil
import subprocess
from collections.abc import Callable, Sequence
from pathlib import Path
from tempfile import TemporaryDirectory

from addin.libreoffice.install import find_office

from .card import write_card
from .columns import KEY
from .lot_reading import LotError, LotSheet
from .results import lot_results

SECONDS = 180
"""Time that LibreOffice has for one page."""


def chosen_rows(lot: LotSheet, stocks: Sequence[str]) -> list[dict[str, object]]:
    """Inputs and results of the trailers with these stock numbers, of all without any.

    Raises:
        LotError: A stock number is not on the lot or stands there twice, or the lot is empty.
    """
    rows = [row.values for row in lot.rows]
    found = lot_results(rows, lot.options, lot.units)
    filled: list[dict[str, object]] = [{**row, **more} for row, more in zip(rows, found, strict=True)]
    if not stocks:
        if not filled:
            raise LotError(f"{lot.path.name}: the lot is empty")
        return filled
    chosen = []
    for stock in stocks:
        same = [row for row in filled if _stock(row).lower() == stock.lower()]
        if len(same) != 1:
            how = "is not on the lot" if not same else f"stands on the lot {len(same)} times: make it single first"
            raise LotError(f"stock no. {stock} {how}")
        chosen += same
    return chosen


def write_cards(lot: LotSheet, rows: Sequence[dict[str, object]], out: Path, step: Callable[[str], None]) -> list[Path]:
    """Write the PDF of each trailer into a folder, never over a file that is there; ``step`` is told each name.

    Raises:
        InstallError: LibreOffice is missing or too old.
        LotError: A file is there already, or LibreOffice made none.
    """
    office = find_office()
    targets = [out / f"{name}.pdf" for name in _names(rows)]
    there = [target.name for target in targets if target.exists()]
    if there:
        raise LotError(f"{out} holds {', '.join(there)} already: choose another folder, or move them away")
    out.mkdir(parents=True, exist_ok=True)
    with TemporaryDirectory() as folder:
        for row, target in zip(rows, targets, strict=True):
            step(target.name)
            page = Path(folder) / f"{target.stem}.xlsx"
            write_card(page, row, lot.units)
            _convert(office.soffice, page, Path(folder))
            shutil.copyfile(page.with_suffix(".pdf"), target)
    return targets


def _convert(soffice: Path, page: Path, folder: Path) -> None:
    """Have LibreOffice make the PDF beside the page, with settings of its own so that an open one is not disturbed."""
    profile = (folder / "profile").as_uri()
    command: list[Path | str] = [
        soffice,
        f"-env:UserInstallation={profile}",
        "--headless",
        "--convert-to",
        "pdf",
        "--outdir",
        folder,
    ]
    try:
        done = subprocess.run(  # noqa: S603  # LibreOffice on a file of our own making
            [*command, page], capture_output=True, text=True, timeout=SECONDS, check=False
        )
    except subprocess.TimeoutExpired as error:
        raise LotError(f"LibreOffice did not finish {page.stem} within {SECONDS} seconds") from error
    if not page.with_suffix(".pdf").exists():
        raise LotError(f"LibreOffice made no PDF of {page.stem}: {done.stderr.strip() or done.stdout.strip()}")


def _names(rows: Sequence[dict[str, object]]) -> list[str]:
    """A file name a trailer, from its stock number; numbered where two would be the same."""
    names: list[str] = []
    for row in rows:
        name = "card-" + (re.sub(r"[^\w-]+", "_", _stock(row)).strip("_") or "trailer")
        same = sum(re.fullmatch(rf"{re.escape(name.lower())}(-\d+)?", other.lower()) is not None for other in names)
        names.append(f"{name}-{same + 1}" if same else name)
    return names


def _stock(row: dict[str, object]) -> str:
    value = row.get(KEY)
    return f"{value:g}" if isinstance(value, float) else "" if value is None else str(value)
