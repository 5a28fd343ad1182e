"""The parts of a package with what is to become of them: read as they will be, put anew, added, linked, taken out."""

from __future__ import annotations

import posixpath
import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path

from tarelot.workbook_templates.ooxml.cell_xml import escaped
from tarelot.workbook_templates.ooxml.packed_text import spliced
from tarelot.workbook_templates.ooxml.reading import Package, links_part
from tarelot.workbook_templates.ooxml.splice import PackageError, Splice, element_tree

TYPES = "[Content_Types].xml"
OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_LINKS = b"http://schemas.openxmlformats.org/package/2006/relationships"
_EMPTY_LINKS = b'<Relationships xmlns="' + _LINKS + b'"></Relationships>'
_NUMBERED = re.compile(r"(.*?)[0-9]*(\.[a-z]+)")


@dataclass(frozen=True)
class Link:
    """A relationship as its list has it; ``part`` is where it leads, empty for one to the outside of the package."""

    id: str
    type: str
    target: str
    part: str

    @property
    def kind(self) -> str:
        """The last word of its type."""
        return self.type.rpartition("/")[2]


@dataclass
class Parts:
    """A package and the changes that it is to get.

    Attributes:
        package: The package, open for reading.
        put: New contents by the exact name of the member.
        removed: Members that are taken out.
    """

    package: Package
    put: dict[str, bytes] = field(default_factory=dict)
    streamed: dict[str, Iterable[bytes | memoryview]] = field(default_factory=dict)
    removed: set[str] = field(default_factory=set)

    def find(self, part: str) -> str | None:
        """The exact name of a part that is there, or will be."""
        lower = part.lower()
        new = next((name for name in self.put if name.lower() == lower), None)
        if new:
            return new
        member = self.package.find(part)
        return member if member and member not in self.removed else None

    def read(self, part: str) -> bytes:
        """The content of a part as it will be."""
        name = self.find(part)
        if name is None:
            raise PackageError(f"{self.package.path.name} is damaged: its part {part} is missing")
        return self.put[name] if name in self.put else self.package.read(name)

    def write(self, part: str, content: bytes) -> None:
        """Let a part be there with this content, in place of what it held if it was there."""
        name = self.find(part) or part
        self.removed.discard(name)
        if self.package.find(name) == name and name not in self.put and self.package.read(name) == content:
            return
        self.put[name] = content

    def remove(self, part: str) -> None:
        """Take a part out, with its list of links and its content type."""
        for name in (self.find(part), self.find(links_part(part))):
            if name is not None:
                self.put.pop(name, None)
                if self.package.find(name) == name:
                    self.removed.add(name)
        self._edit_entries(TYPES, "PartName", f"/{part}")

    def free_name(self, like: str) -> str:
        """A name for a new part in the manner of ``xl/charts/chart1.xml`` that no part has."""
        found = _NUMBERED.fullmatch(like)
        stem, ending = (found[1], found[2]) if found else (like, "")
        number = 1
        while self._is_taken(f"{stem}{number}{ending}"):
            number += 1
        return f"{stem}{number}{ending}"

    def _is_taken(self, name: str) -> bool:
        return self.find(name) is not None or self.package.find(name) is not None

    def links(self, part: str) -> list[Link]:
        """The links of a part; those of the package itself for ``""``."""
        where = self.find(links_part(part))
        if where is None:
            return []
        found = []
        for entry in element_tree(self.read(where), where).children:
            stated = entry.attributes
            target = stated.get("Target", "")
            is_outside = stated.get("TargetMode") == "External"
            inside = posixpath.normpath(posixpath.join("/", posixpath.dirname(part), target)).lstrip("/")
            found.append(Link(stated.get("Id", ""), stated.get("Type", ""), target, "" if is_outside else inside))
        return found

    def link(self, part: str, type_: str, to: str, wanted: str = "") -> str:
        """Link a part to another, and return the link's id.

        From folder to folder, as programs write it: some readers find no notes by a path from the package's root.
        """
        where = self.find(links_part(part)) or links_part(part)
        data = self.read(where) if self.find(where) else _EMPTY_LINKS
        taken = {entry.id for entry in self.links(part)}
        id_, number = wanted, 1
        while not id_ or id_ in taken:
            id_, number = f"rId{number}", number + 1
        target = posixpath.relpath(f"/{to}", f"/{posixpath.dirname(part)}")
        entry = b'<Relationship Id="%b" Type="%b" Target="%b"/>' % (id_.encode(), type_.encode(), _attribute(target))
        self.write(where, _with_child(data, where, entry))
        return id_

    def unlink(self, part: str, id_: str) -> None:
        """Take one link of a part out."""
        self._edit_entries(links_part(part), "Id", id_)

    def content_type(self, part: str) -> str:
        """What the package says the part is."""
        defaults = ""
        for entry in element_tree(self.read(TYPES), TYPES).children:
            stated = entry.attributes
            if stated.get("PartName", "").lower() == f"/{part}".lower():
                return stated.get("ContentType", "")
            if entry.name == "Default" and part.lower().endswith(f".{stated.get('Extension', '').lower()}"):
                defaults = stated.get("ContentType", "")
        return defaults

    def state_type(self, part: str, type_: str) -> None:
        """Say what a part is, unless that is said already."""
        if self.content_type(part) != type_:
            entry = b'<Override PartName="/%b" ContentType="%b"/>' % (_attribute(part), _attribute(type_))
            self.write(TYPES, _with_child(self.read(TYPES), TYPES, entry))

    def drop_calculation_chain(self) -> None:
        """Take the calculation chain out: programs make it anew; one that names a cell without formula is an error."""
        workbook = self.package.workbook_part
        for entry in self.links(workbook):
            if entry.kind == "calcChain":
                self.unlink(workbook, entry.id)
                self.remove(entry.part)

    def store(self, target: Path) -> None:
        """Write the package with all changes to ``target``."""
        there = {name for name in self.put if self.package.find(name) == name}
        replaced: dict[str, Iterable[bytes | memoryview]] = {name: [self.put[name]] for name in there}
        added = {name: content for name, content in self.put.items() if name not in there}
        self.package.write(target, {**replaced, **self.streamed}, self.removed - there, added)

    def _edit_entries(self, part: str, key: str, value: str) -> None:
        """Take the entry of a list part out, where there is one."""
        where = self.find(part)
        if where is None:
            return
        data = self.read(where)
        entries = element_tree(data, where).children
        gone: list[Splice] = [
            (e.start, e.end, b"") for e in entries if e.attributes.get(key, "").lower() == value.lower()
        ]
        if gone:
            self.write(where, b"".join(spliced(data, gone)))


def _attribute(text: str) -> bytes:
    return escaped(text).replace(b'"', b"&quot;")


def _with_child(data: bytes, place: str, child: bytes) -> bytes:
    """``data`` with an element added as the root's last."""
    root = element_tree(data, place)
    if root.content_end == root.open_end and data[root.open_end - 2 : root.open_end] == b"/>":
        name = data[root.start + 1 : root.open_end].split()[0]
        return data[: root.open_end - 2] + b">" + child + b"</" + name + b">" + data[root.end :]
    return data[: root.content_end] + child + data[root.content_end :]
