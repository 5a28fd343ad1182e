"""A workbook with figures instead of formulas, and a workbook with every result calculated and stored anew."""

from __future__ import annotations

import re
from collections.abc import Iterable
from pathlib import Path

from tarelot.calc.registry import BY_NAME
from tarelot.workbook_templates.lot.reading import read_lot
from tarelot.workbook_templates.ooxml.leftovers import own_folder
from tarelot.workbook_templates.ooxml.packed_text import spliced
from tarelot.workbook_templates.ooxml.reading import Package
from tarelot.workbook_templates.ooxml.safe_file import refuse_if_open, replace_file
from tarelot.workbook_templates.ooxml.sheet_xml import SheetXml
from tarelot.workbook_templates.ooxml.splice import PackageError, Splice, element_tree
from tarelot.workbook_templates.updates.apply import stale_names, write_results
from tarelot.workbook_templates.updates.form.anew import update_anew
from tarelot.workbook_templates.updates.form.pattern import Writer
from tarelot.workbook_templates.updates.results import ResultUpdate

_STORED = re.compile(rb"<(?:[\w.-]+:)?v[\s>/]")


def recalculate(path: Path, write: Writer) -> tuple[ResultUpdate, Path | None]:
    """Calculate a lot workbook's results from its entries, store those that differ, and put our names right.

    Results that are not worked out here are taken away, so that no program shows an old one.

    Args:
        path: The workbook.
        write: ``workbook.write``, which writes a lot new.

    Returns:
        What was stored, and where the version before is kept; None where nothing had to be stored.

    Raises:
        LotError: The workbook cannot be read.
        FileError: It is open elsewhere or cannot be replaced.
    """
    refuse_if_open(path)
    lot = read_lot(path)
    update = update_anew(lot, write)
    if not update.store and not update.formulas and not stale_names(path):
        return update, None
    return update, replace_file(path, lambda new: write_results(lot, update, new), "recalculate")


def copy_values(path: Path, out: Path, write: Writer) -> int:
    """Write a copy of a lot workbook that holds values only, and return how many formulas became values.

    Results are calculated anew first. Styles, charts, notes and
    all else stay.

    Args:
        path: The workbook.
        out: The copy.
        write: ``workbook.write``, which writes a lot new.

    Raises:
        LotError: The workbook cannot be read.
        PackageError: The copy exists already or cannot be written, or a formula was never calculated.
    """
    if out.exists():
        raise PackageError(f"{out} exists already: choose another name")
    if out.suffix.lower() != path.suffix.lower():
        raise PackageError(f"the copy's name must end in {path.suffix}")
    lot = read_lot(path)
    update = update_anew(lot, write)
    if not update.count:  # what is not worked out here was made of the same results
        update.store = {}
    with own_folder() as folder:
        current = folder / f"current{path.suffix}"
        write_results(lot, update, current)
        with Package(current) as package:
            return _write_without_formulas(package, out)


def _write_without_formulas(package: Package, out: Path) -> int:
    """The package with every formula taken out and its result left standing."""
    replaced: dict[str, Iterable[bytes | memoryview]] = {}
    removed: list[str] = []
    count = 0
    for sheet in package.sheets:
        if sheet.kind != "worksheet":
            continue
        xml = SheetXml(package.text(sheet.part), sheet.name)
        _refuse_uncalculated(xml)
        splices = _formulas_out(xml)
        count += len(splices)
        _replace(package, replaced, sheet.part, splices)
        for link in package.relationships(sheet.part):
            if link.kind == "table":
                _replace(package, replaced, link.part, _calculated_columns(package.read(link.part), link.part))
    workbook = package.workbook_part
    _replace(package, replaced, workbook, _our_names(package.read(workbook), workbook))
    for link in package.relationships(workbook):
        member = package.find(link.part)
        if link.kind == "calcChain" and member:
            removed.append(member)
            folder, _, name = workbook.rpartition("/")
            for part, key, value in (
                (f"{folder}/_rels/{name}.rels".lstrip("/"), "Id", link.id),
                ("[Content_Types].xml", "PartName", f"/{link.part}"),
            ):
                _replace(package, replaced, part, _entry(package.read(part), part, key, value))
    try:
        package.write(out, replaced, removed)
    except OSError as error:
        raise PackageError(f"{out} cannot be written: {error.strerror}") from error
    return count


def _formulas_out(sheet: SheetXml) -> list[Splice]:
    """Splices that take the formulas of a sheet out; their results stay."""
    places = (place for row in sheet.rows.values() for place in sheet.formula_places(row))
    return [(start, end, b"") for start, end in places]


def _replace(
    package: Package, replaced: dict[str, Iterable[bytes | memoryview]], part: str, splices: list[Splice]
) -> None:
    member = package.find(part)
    if member and splices:
        replaced[member] = spliced(package.text(part), splices)


def _refuse_uncalculated(sheet: SheetXml) -> None:
    """Refuse a sheet with a formula whose result is not stored: the copy would show nothing there."""
    for row in sheet.rows.values():
        for cell in sheet.cells(row):
            if sheet.formula(cell) is not None and not _STORED.search(cell.plain):
                raise PackageError(
                    f"the sheet {sheet.name} holds a formula in row {row.number} that was never calculated: "
                    "open and save the workbook"
                )


def _calculated_columns(data: bytes, part: str) -> list[Splice]:
    """Splices that take the formulas for new rows out of a table."""
    return [
        (element.start, element.end, b"")
        for element in element_tree(data, part).walk()
        if element.name in ("calculatedColumnFormula", "totalsRowFormula")
    ]


def _our_names(data: bytes, part: str) -> list[Splice]:
    """Splices that take our functions' names out of the workbook; the whole list where it holds no others."""
    names = element_tree(data, part).child("definedNames")
    if names is None:
        return []
    ours = [name for name in names.children if name.attributes.get("name", "") in BY_NAME]
    if ours and len(ours) == len(names.children):
        return [(names.start, names.end, b"")]
    return [(name.start, name.end, b"") for name in ours]


def _entry(data: bytes, part: str, key: str, value: str) -> list[Splice]:
    """The splice that takes one entry out of a list part."""
    entries = element_tree(data, part).children
    return [(e.start, e.end, b"") for e in entries if e.attributes.get(key, "").lower() == value.lower()]
