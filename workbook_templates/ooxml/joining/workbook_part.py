"""The workbook part: its sheets, its names, its settings; and the one property of a workbook that we state."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from tarelot.workbook_templates.ooxml.cell_xml import escaped
from tarelot.workbook_templates.ooxml.joining.parts import OFFICE, Parts
from tarelot.workbook_templates.ooxml.packed_text import spliced
from tarelot.workbook_templates.ooxml.splice import Element, Splice, element_tree, with_attribute

CUSTOM = "docProps/custom.xml"
_CUSTOM_TYPE = "application/vnd.openxmlformats-officedocument.custom-properties+xml"
_CUSTOM_SPACE = b"http://schemas.openxmlformats.org/officeDocument/2006/custom-properties"
_VALUE_SPACE = b"http://schemas.openxmlformats.org/officeDocument/2006/docPropsVTypes"
_FORMAT_ID = "{D5CDD505-2E9C-101B-9397-08002B2CF9AE}"
"""Of properties that a person names (MS-OSHARED 2.3.3.2.1, as the standard's examples have it)."""
_BEFORE_NAMES = ("workbookPr", "workbookProtection", "bookViews", "sheets", "functionGroups", "externalReferences")
LONGEST_NAME = 1 << 20


@dataclass(frozen=True)
class Name:
    """A defined name: what it stands for, and the sheet in which alone it holds, if any."""

    name: str
    text: str
    sheet: int | None = None
    comment: str = ""


class WorkbookPart:
    """The workbook part of a package, to be changed; ``store`` puts it back."""

    def __init__(self, parts: Parts) -> None:
        self._parts = parts
        self._part = parts.package.workbook_part

    @property
    def _data(self) -> bytes:
        return self._parts.read(self._part)

    def _tree(self) -> Element:
        return element_tree(self._data, self._part)

    def _splice(self, splices: Iterable[Splice]) -> None:
        found = sorted(splices)
        if found:
            self._parts.write(self._part, b"".join(spliced(self._data, found)))

    def sheet_names(self) -> list[str]:
        """The names of all sheets in the order of their tabs."""
        sheets = self._tree().child("sheets")
        return [child.attributes.get("name", "") for child in sheets.children] if sheets else []

    def add_sheet(self, name: str, link: str, place: int) -> None:
        """Add a sheet at a place among the tabs; names that hold in one sheet alone move along."""
        root = self._tree()
        sheets = root.child("sheets")
        if sheets is None:
            raise AssertionError("a workbook without sheets was read")
        prefix = _prefix(self._data, sheets)
        number = 1 + max(int(child.attributes.get("sheetId", "0")) for child in sheets.children)
        entry = b'<%bsheet xmlns:r="%b" name="%b" sheetId="%d" r:id="%b"/>' % (
            prefix, OFFICE.encode(), escaped(name), number, link.encode()
        )  # fmt: skip
        at = sheets.children[place].start if place < len(sheets.children) else sheets.content_end
        splices: list[Splice] = [(at, at, entry)]
        for element, keys in self._counted(root):
            tag = self._data[element.start : element.open_end]
            for key in keys:
                stated = element.attributes.get(key)
                if stated is not None and int(stated) >= place:
                    tag = with_attribute(tag, key.encode(), b"%d" % (int(stated) + 1))
            splices.append((element.start, element.open_end, tag))
        self._splice(splices)

    @staticmethod
    def _counted(root: Element) -> Iterable[tuple[Element, tuple[str, ...]]]:
        """What names sheets by their place."""
        names, views = root.child("definedNames"), root.child("bookViews")
        for name in names.children if names else ():
            yield name, ("localSheetId",)
        for view in views.children if views else ():
            yield view, ("activeTab", "firstSheet")

    def names(self) -> list[Name]:
        """All defined names."""
        found = self._tree().child("definedNames")
        return [_name(child) for child in found.children] if found else []

    def set_names(self, wanted: Iterable[Name], gone: Iterable[tuple[str, int]] = ()) -> None:
        """Let names stand for what they should, and take those out that hold in one sheet alone.

        Args:
            wanted: Names to be there; one that is there is changed in its place.
            gone: Name and place of the sheet; those in ``wanted`` are added again.
        """
        root = self._tree()
        held, waiting = root.child("definedNames"), {(n.name.casefold(), n.sheet): n for n in wanted}
        leaving = {(name.casefold(), sheet) for name, sheet in gone}
        splices: list[Splice] = []
        for child in held.children if held else ():
            name = _name(child)
            key = name.name.casefold(), name.sheet
            if key in leaving:
                splices.append((child.start, child.end, b""))
                continue
            new = waiting.pop(key, None)
            if new is not None and new.text != name.text:
                splices.append((child.start, child.end, self._written(new, root)))
        added = b"".join(self._written(name, root) for name in waiting.values())
        if added:
            splices.append(self._added(root, held, added))
        self._splice(splices)

    def _added(self, root: Element, held: Element | None, added: bytes) -> Splice:
        if held is not None and held.end != held.open_end:
            return held.content_end, held.content_end, added
        tag = b"%bdefinedNames" % _prefix(self._data, root)
        written = b"<%b>%b</%b>" % (tag, added, tag)
        if held is not None:
            return held.start, held.end, written
        at = max(child.end for child in root.children if child.name in _BEFORE_NAMES)
        return at, at, written

    def _written(self, name: Name, root: Element) -> bytes:
        tag = b"%bdefinedName" % _prefix(self._data, root)
        local = b"" if name.sheet is None else b' localSheetId="%d"' % name.sheet
        comment = b' comment="%b"' % escaped(name.comment).replace(b'"', b"&quot;") if name.comment else b""
        text = escaped(name.text, most=LONGEST_NAME)
        return b'<%b name="%b"%b%b>%b</%b>' % (tag, escaped(name.name), local, comment, text, tag)

    def ask_to_recalculate(self) -> None:
        """Let spreadsheet programs calculate everything when they next open the workbook."""
        root = self._tree()
        settings = root.child("calcPr")
        if settings is not None:
            tag = self._data[settings.start : settings.open_end]
            self._splice([(settings.start, settings.open_end, with_attribute(tag, b"fullCalcOnLoad", b"1"))])
            return
        names = root.child("definedNames")
        at = names.end if names else max(child.end for child in root.children if child.name in _BEFORE_NAMES)
        self._splice([(at, at, b'<%bcalcPr fullCalcOnLoad="1"/>' % _prefix(self._data, root))])


def _name(element: Element) -> Name:
    stated = element.attributes
    local = stated.get("localSheetId")
    return Name(stated.get("name", ""), element.text, int(local) if local else None, stated.get("comment", ""))


def _prefix(data: bytes, element: Element) -> bytes:
    """The prefix, with its colon, of an element's own name."""
    name = re.match(rb"<([^\s/>]+)", data[element.start :])
    before, colon, _ = name[1].rpartition(b":") if name else (b"", b"", b"")
    return before + colon


def custom_properties(parts: Parts) -> Mapping[str, str]:
    """The properties of a workbook that a person or program named, as texts."""
    where = _custom_part(parts)
    if where is None:
        return {}
    entries = element_tree(parts.read(where), where).children
    return {e.attributes.get("name", ""): "".join(child.text for child in e.children) for e in entries}


def set_custom_number(parts: Parts, name: str, number: int) -> None:
    """State a whole number as a property of the workbook."""
    where = _custom_part(parts)
    if where is None:
        where = CUSTOM
        parts.write(where, b'<Properties xmlns="%b"></Properties>' % _CUSTOM_SPACE)
        parts.link("", f"{OFFICE}/custom-properties", where)
        parts.state_type(where, _CUSTOM_TYPE)
    data = parts.read(where)
    root = element_tree(data, where)
    taken = [int(entry.attributes.get("pid", "1")) for entry in root.children]
    entry = b'<property xmlns="%b" fmtid="%b" pid="%d" name="%b"><vt:i4 xmlns:vt="%b">%d</vt:i4></property>' % (
        _CUSTOM_SPACE, _FORMAT_ID.encode(), max([1, *taken]) + 1, escaped(name), _VALUE_SPACE, number
    )  # fmt: skip
    splices: list[Splice] = [(e.start, e.end, b"") for e in root.children if e.attributes.get("name") == name]
    if root.end == root.open_end:
        tag = data[root.start : root.open_end]
        closing = b"</" + tag[1:].split()[0] + b">"
        splices.append((root.start, root.end, tag[:-2] + b">" + entry + closing))
    else:
        splices.append((root.content_end, root.content_end, entry))
    parts.write(where, b"".join(spliced(data, splices)))


def _custom_part(parts: Parts) -> str | None:
    return next((parts.find(link.part) for link in parts.links("") if link.kind == "custom-properties"), None)
