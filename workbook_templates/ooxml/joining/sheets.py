"""A sheet of a workbook that was just written here, brought into another: cells, looks, tables, notes, charts.

The sheet comes from this program's own writer, whose way of writing is relied upon: cells without prefixes, texts in
the shared table. They are written into the cells, so that the other workbook's own table stays as it is.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from tarelot.workbook_templates.ooxml.joining.parts import Link, Parts
from tarelot.workbook_templates.ooxml.joining.styles import Styles
from tarelot.workbook_templates.ooxml.packed_text import whole
from tarelot.workbook_templates.ooxml.reading import Package
from tarelot.workbook_templates.ooxml.splice import element_tree

_STYLED = re.compile(rb"<(?:c|row) [^>]*>")
_COLUMN = re.compile(rb"<col [^>]*>")
_STYLE = re.compile(rb' (s|style)="([0-9]+)"')
_HIGHLIGHT = re.compile(rb'dxfId="([0-9]+)"')
_SHARED = re.compile(rb' t="s"([^>]*)><v>([0-9]+)</v>')
_STRING = re.compile(rb"<si>(.*?)</si>|<si/>", re.DOTALL)
_FORMULA = re.compile(rb"(<(?:f|formula[12]?)(?: [^>]*)?>)([^<]+)(?=</)")


@dataclass(frozen=True)
class Source:
    """The workbook that sheets come from."""

    package: Package
    parts: Parts
    texts: tuple[bytes, ...]

    @classmethod
    def of(cls, package: Package) -> Source:
        """The workbook of a package."""
        parts = Parts(package)
        texts: tuple[bytes, ...] = ()
        for link in parts.links(package.workbook_part):
            if link.kind == "sharedStrings":
                texts = tuple(found[1] or b"" for found in _STRING.finditer(parts.read(link.part)))
        return cls(package, parts, texts)

    def styles(self) -> bytes:
        """Its style sheet."""
        return self.parts.read(style_part(self.parts))


def style_part(parts: Parts) -> str:
    """The part that holds the looks of cells."""
    return next(link.part for link in parts.links(parts.package.workbook_part) if link.kind == "styles")


def brought(source: Source, name: str, styles: Styles, formulas: Callable[[bytes], bytes] = lambda text: text) -> bytes:
    """The text of a sheet as it is to stand in another workbook.

    Args:
        source: The workbook it comes from.
        name: The sheet.
        styles: The other workbook's looks, which grow by what the sheet needs.
        formulas: Changes each formula, as written in XML.
    """
    data = whole(source.package.text(source.package.sheet(name).part))

    def restyled(tag: re.Match[bytes]) -> bytes:
        return _STYLE.sub(lambda found: b' %b="%d"' % (found[1], styles.cell(int(found[2]))), tag[0])

    def shared(found: re.Match[bytes]) -> bytes:
        return b' t="inlineStr"%b><is>%b</is>' % (found[1], source.texts[int(found[2])])

    data = _COLUMN.sub(restyled, _STYLED.sub(restyled, data))
    data = _HIGHLIGHT.sub(lambda found: b'dxfId="%d"' % styles.highlight(int(found[1])), data)
    data = _SHARED.sub(shared, data)
    return _FORMULA.sub(lambda found: found[1] + formulas(found[2]), data)


def bring_part(source: Source, part: str, parts: Parts, names: Mapping[str, str]) -> str:
    """Bring a part under a name that is free, with all that it links to, and return the name.

    Args:
        source: The workbook it comes from.
        part: Its name there.
        parts: The other workbook.
        names: Names of sheets that charts speak of, where they differ, as they stand in a formula.
    """
    new = parts.free_name(part)
    content = source.parts.read(part)
    type_ = source.parts.content_type(part)
    if type_.endswith("table+xml"):
        content = _renumbered_table(parts, content)
    for old, name in names.items():
        content = content.replace(old.encode(), name.encode()) if type_.endswith("chart+xml") else content
    parts.write(new, content)
    if parts.content_type(new) != type_:
        parts.state_type(new, type_)
    for link in source.parts.links(part):
        parts.link(new, link.type, bring_part(source, link.part, parts, names), link.id)
    return new


def _renumbered_table(parts: Parts, content: bytes) -> bytes:
    """A table with a number that no table of the workbook has."""
    taken = {0}
    for sheet in parts.package.sheets:
        for link in parts.links(sheet.part):
            if link.kind == "table" and parts.find(link.part):
                taken.add(int(element_tree(parts.read(link.part), link.part).attributes.get("id", "0")))
    for name, data in parts.put.items():
        if re.search(rb"<table [^>]*displayName=", data) and name.endswith(".xml"):
            taken.add(int(element_tree(data, name).attributes.get("id", "0")))
    return re.sub(rb'(<table [^>]*?)\bid="[0-9]+"', rb'\g<1>id="%d"' % (max(taken) + 1), content, count=1)


def drop_links(parts: Parts, part: str) -> list[Link]:
    """Take the links of a part away; what they led to stays for now, and the links are returned."""
    found = parts.links(part)
    for link in found:
        parts.unlink(part, link.id)
    return found


def remove_unlinked(parts: Parts, links: Iterable[Link], owners: Iterable[str]) -> None:
    """Take out the parts that links led to, and what hangs on them, where nothing else links to them.

    Args:
        parts: The workbook.
        links: Links that are gone.
        owners: The parts that may still link to the same: all sheets.
    """
    held = list(owners)
    for link in links:
        if not link.part or parts.find(link.part) is None:
            continue
        if any(other.part == link.part for owner in held for other in parts.links(owner)):
            continue
        below = drop_links(parts, link.part)
        parts.remove(link.part)
        remove_unlinked(parts, below, held)
