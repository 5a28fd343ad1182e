"""A sheet of a workbook that was just written here, brought into another: cells, looks, tables, notes, charts.

The sheet comes from this program's own writer, whose way of writing is relied upon: cells without prefixes, texts in
the shared table. They are written into the cells, so that the other workbook's own table stays as it is.
"""

from __future__ import annotations

import posixpath
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from tarelot.workbook_templates.ooxml.joining.parts import Link, Parts
from tarelot.workbook_templates.ooxml.joining.styles import Styles
from tarelot.workbook_templates.ooxml.packed_text import whole
from tarelot.workbook_templates.ooxml.reading import Package, links_part
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


def brought(
    source: Source, name: str, styles: Styles, formulas: Callable[[bytes], bytes] = lambda text: text
) -> bytes:
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


def bring_links(source: Source, from_part: str, parts: Parts, to_part: str, names: Mapping[str, str]) -> None:
    """Bring what a sheet or drawing links to, each under a name that is free, and all that hangs on that.

    Args:
        source: The workbook it comes from.
        from_part: The sheet or drawing there.
        parts: The other workbook.
        to_part: The sheet or drawing there.
        names: Names of sheets that charts speak of, where they differ, as they stand in a formula.
    """
    entries = []
    for link in source.parts.links(from_part):
        part = parts.free_name(link.part)
        content = source.parts.read(link.part)
        if link.kind == "table":
            content = _renumbered_table(parts, content)
        for old, new in names.items():
            content = content.replace(old.encode(), new.encode()) if link.kind == "chart" else content
        parts.write(part, content)
        if not link.part.endswith(".vml"):
            parts.state_type(part, source.parts.content_type(link.part))
        bring_links(source, link.part, parts, part, names)
        entries.append((link, part))
    if entries:
        _write_links(parts, to_part, entries)


def _write_links(parts: Parts, part: str, entries: list[tuple[Link, str]]) -> None:
    """The list of links of a new part, with the ids that it names them by."""
    where = links_part(part)
    if where in parts.removed or parts.find(where):
        parts.put.pop(where, None)
        parts.removed.discard(where)
        parts.put[where] = b'<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"/>'
    for link, to in entries:
        parts.link(part, link.type, to, link.id)
    for link, to in entries:
        if to.endswith(".vml") and not parts.content_type(to):
            parts.state_type(to, "application/vnd.openxmlformats-officedocument.vmlDrawing")


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


def remove_links(parts: Parts, part: str, keep: Callable[[Link], bool] = lambda _: False) -> list[Link]:
    """Take out what a sheet links to, and all that hangs on that alone; those kept are returned.

    A part that something else links to stays.
    """
    kept = []
    for link in parts.links(part):
        if not link.part or keep(link):
            kept.append(link)
            continue
        parts.unlink(part, link.id)
        if parts.find(link.part) and not _is_linked(parts, link.part):
            remove_links(parts, link.part)
            parts.remove(link.part)
    return kept


def _is_linked(parts: Parts, part: str) -> bool:
    """Whether any sheet still links to a part."""
    sheets = [sheet.part for sheet in parts.package.sheets]
    hanging = [link.part for sheet in sheets for link in parts.links(sheet) if link.kind == "drawing"]
    return any(link.part == part for owner in (*sheets, *hanging) for link in parts.links(owner))


def directory(part: str) -> str:
    """The folder of a part."""
    return posixpath.dirname(part)
