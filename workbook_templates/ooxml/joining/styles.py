"""The looks of cells of one workbook brought into another: what is needed is added, and numbers are mapped.

Nothing that is there changes its number, so that every cell of the other sheets looks as it did.
"""

from __future__ import annotations

import re
from collections.abc import Callable

from tarelot.workbook_templates.ooxml.packed_text import spliced
from tarelot.workbook_templates.ooxml.reading import MAIN_NAMESPACES
from tarelot.workbook_templates.ooxml.splice import Element, PackageError, Splice, element_tree, with_attribute

ORDER = ("numFmts", "fonts", "fills", "borders", "cellStyleXfs", "cellXfs", "cellStyles", "dxfs")
"""The lists of a style sheet in the schema's order (CT_Stylesheet, ECMA-376 Part 1, A.2)."""
FIRST_OWN_FORMAT = 164
"""Number formats below are built in (ECMA-376 Part 1, 18.8.30)."""
_NUMBERS = {"numFmtId": "numFmts", "fontId": "fonts", "fillId": "fills", "borderId": "borders"}


class Styles:
    """A workbook's style sheet that grows by what another's cells need.

    Args:
        ours: The style sheet that grows.
        theirs: The one whose looks are brought in.
    """

    def __init__(self, ours: bytes, theirs: bytes) -> None:
        self._data, self._root = ours, element_tree(ours, "the style sheet")
        if self._root.namespace not in MAIN_NAMESPACES:
            raise PackageError("the workbook's style sheet is damaged")
        self._theirs, self._their_root = theirs, element_tree(theirs, "the style sheet")
        self._held = {kind: self._raw(self._data, self._root, kind) for kind in ORDER}
        self._before = {kind: len(held) for kind, held in self._held.items()}
        self._brought = {kind: self._raw(self._theirs, self._their_root, kind) for kind in ORDER}
        self._maps: dict[str, dict[int, int]] = {kind: {} for kind in ORDER}
        self._formats = {code: number for number, code in _codes(self._root).items()}
        self._their_formats = _codes(self._their_root)

    @staticmethod
    def _raw(data: bytes, root: Element, kind: str) -> list[bytes]:
        found = root.child(kind)
        return [data[child.start : child.end] for child in found.children] if found else []

    def cell(self, number: int) -> int:
        """The number here of the other's look of cells."""
        return self._mapped("cellXfs", number, self._cell_format)

    def highlight(self, number: int) -> int:
        """The number here of the other's look of a highlight."""
        return self._mapped("dxfs", number, lambda raw: raw)

    def _mapped(self, kind: str, number: int, made: Callable[[bytes], bytes]) -> int:
        known = self._maps[kind]
        if number not in known:
            known[number] = self._place(kind, made(self._brought[kind][number]))
        return known[number]

    def _place(self, kind: str, raw: bytes) -> int:
        """The number of an element in its list, to which it is added where it is not there."""
        if b":" in self._data[self._root.start : self._root.open_end].split()[0]:
            raw = with_namespace(raw, self._root.namespace)
        held = self._held[kind]
        if raw not in held:
            held.append(raw)
        return held.index(raw)

    def _cell_format(self, raw: bytes) -> bytes:
        """A cell's look with its font, fill, border and number format as they are numbered here."""
        root = element_tree(raw, "the style sheet")
        tag = raw[: root.open_end]
        for name, kind in _NUMBERS.items():
            number = int(root.attributes.get(name, "0"))
            new = self._format(number) if kind == "numFmts" else self._mapped(kind, number, lambda raw: raw)
            tag = with_attribute(tag, name.encode(), b"%d" % new)
        # Some programs go by these and not by what the numbers say.
        for name in ("applyNumberFormat", "applyFont", "applyFill", "applyBorder"):
            tag = with_attribute(tag, name.encode(), b"1")
        return with_attribute(tag, b"xfId", b"0") + raw[root.open_end :]

    def _format(self, number: int) -> int:
        if number < FIRST_OWN_FORMAT:
            return number
        code = self._their_formats[number]
        if code not in self._formats:
            new = max([FIRST_OWN_FORMAT - 1, *self._formats.values()]) + 1
            self._formats[code] = new
            written = next(raw for raw in self._brought["numFmts"] if re.search(rb'numFmtId="%d"' % number, raw))
            self._place("numFmts", with_attribute(written, b"numFmtId", b"%d" % new))
        return self._formats[code]

    def data(self) -> bytes:
        """The style sheet with all that was asked for."""
        splices: list[Splice] = []
        for kind in ORDER:
            added = self._held[kind][self._before[kind] :]
            if added:
                splices.append(self._grown(kind, added))
        return b"".join(spliced(self._data, sorted(splices)))

    def _grown(self, kind: str, added: list[bytes]) -> Splice:
        found, count = self._root.child(kind), b"%d" % len(self._held[kind])
        if found is None:
            later = ORDER[ORDER.index(kind) + 1 :]
            before = [child for child in self._root.children if child.name in ORDER and child.name not in later]
            at = before[-1].end if before else self._root.open_end
            start = with_namespace(b"<%b>" % kind.encode(), self._root.namespace)
            return at, at, with_attribute(start, b"count", count) + b"".join(added) + b"</%b>" % kind.encode()
        tag = with_attribute(self._data[found.start : found.open_end], b"count", count)
        if not tag.endswith(b"/>"):
            inside = self._data[found.open_end : found.content_end]
            return found.start, found.content_end, tag + inside + b"".join(added)
        name = tag[1:].split()[0].rstrip(b"/>")
        return found.start, found.end, tag[:-2] + b">" + b"".join(added) + b"</" + name + b">"


def with_namespace(raw: bytes, namespace: str) -> bytes:
    """An element that names its namespace itself, for a place where another prefix is the usual one.

    >>> with_namespace(b'<b val="1"/>', "urn:x")
    b'<b xmlns="urn:x" val="1"/>'
    """
    return re.sub(rb"^<([^\s/>]+)", lambda found: b'<%b xmlns="%b"' % (found[1], namespace.encode()), raw, count=1)


def _codes(root: Element) -> dict[int, str]:
    found = root.child("numFmts")
    children = found.children if found else []
    return {int(c.attributes.get("numFmtId", "0")): c.attributes.get("formatCode", "") for c in children}
