"""Charts and pictures of a person's own on a sheet that is written new: they stay, and only ours are exchanged."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from tarelot.workbook_templates.ooxml.joining.parts import OFFICE, Link, Parts
from tarelot.workbook_templates.ooxml.joining.sheets import Source, bring_part
from tarelot.workbook_templates.ooxml.joining.styles import with_namespace
from tarelot.workbook_templates.ooxml.packed_text import spliced
from tarelot.workbook_templates.ooxml.splice import Element, PackageError, Splice, element_tree

_LINKED = re.compile(rb'(:(?:id|embed|link)=")([^"]*)(")')


def has_own(parts: Parts, drawing: Link, marks: tuple[bytes, ...]) -> bool:
    """Whether a drawing holds more than charts of ours, which have one of the marks in their references."""
    tree = element_tree(parts.read(drawing.part), drawing.part)
    return any(not shown for _, shown in _anchors(parts, drawing, tree, marks))


def exchange(
    parts: Parts, drawing: Link, marks: tuple[bytes, ...], source: Source, new: str, names: Mapping[str, str]
) -> list[Link]:
    """Put our charts of a new sheet into a person's drawing in place of those that it has of ours.

    Args:
        parts: The workbook.
        drawing: The link to the person's drawing.
        marks: What charts of ours have in their references.
        source: The workbook that the new sheet comes from.
        new: The new sheet's drawing there; empty for none.
        names: Names of sheets that charts speak of, where they differ.

    Returns:
        Links that are gone.
    """
    data = parts.read(drawing.part)
    tree = element_tree(data, drawing.part)
    gone: list[Link] = []
    splices: list[Splice] = []
    for anchor, shown in _anchors(parts, drawing, tree, marks):
        if shown:
            splices.append((anchor.start, anchor.end, b""))
            gone += shown
    for link in gone:
        parts.unlink(drawing.part, link.id)
    fresh = b"".join(_brought(parts, drawing.part, source, new, names)) if new else b""
    splices.append((tree.content_end, tree.content_end, fresh))
    parts.write(drawing.part, b"".join(spliced(data, splices)))
    return gone


def _anchors(
    parts: Parts, drawing: Link, tree: Element, marks: tuple[bytes, ...]
) -> Iterator[tuple[Element, list[Link]]]:
    """Each anchor of a drawing with the links to charts of ours that it shows."""
    charts = {link.id: link for link in parts.links(drawing.part) if link.kind == "chart"}
    for anchor in tree.children:
        ids = {value for one in anchor.walk() for key, value in one.attributes.items() if key.endswith(" id")}
        shown = [charts[id_] for id_ in sorted(ids) if id_ in charts]
        yield anchor, [link for link in shown if any(mark in parts.read(link.part) for mark in marks)]


def _brought(parts: Parts, to: str, source: Source, new: str, names: Mapping[str, str]) -> Iterator[bytes]:
    """The anchors of a new sheet's drawing with the ids that they have in the other."""
    data = source.parts.read(new)
    links = {link.id: link for link in source.parts.links(new)}
    ids: dict[bytes, bytes] = {}
    for link in links.values():
        part = bring_part(source, link.part, parts, names)
        ids[link.id.encode()] = parts.link(to, link.type, part).encode()
    tree = element_tree(data, new)
    for anchor in tree.children:
        raw = with_namespace(data[anchor.start : anchor.end], tree.namespace)
        yield _LINKED.sub(lambda found: found[1] + ids.get(found[2], found[2]) + found[3], raw)


def with_link(data: bytes, sheet: str, name: str, id_: str, before: str) -> bytes:
    """A sheet with an element that leads to its drawing or to the boxes of its notes, or with its id changed.

    Args:
        data: The sheet.
        sheet: What it is called.
        name: ``drawing`` or ``legacyDrawing``.
        id_: The link.
        before: Names of the elements that come later, with ``|`` between them.
    """
    tag = b'<%b xmlns:r="%b" r:id="%b"/>' % (name.encode(), OFFICE.encode(), id_.encode())
    held = re.search(rb"<%b [^>]*/>" % name.encode(), data)
    if held:
        return data[: held.start()] + tag + data[held.end() :]
    end = re.search(rb"<(?:%b)[ />]|</worksheet>" % before.encode(), data[data.rindex(b"</sheetData>") :])
    if end is None:
        raise PackageError(f"the sheet {sheet} is damaged: it has no end")
    at = data.rindex(b"</sheetData>") + end.start()
    return data[:at] + tag + data[at:]
