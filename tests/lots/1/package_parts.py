"""The parts of an .xlsx as trees that ``make_customized.py`` edits, and the few pieces that a spreadsheet program adds.

Written for format 1's demo: it relies on how that workbook is laid out (one `col` a column, no merged cells on the
Lot, notes in ``comments1``), and is not a general tool.
"""

from __future__ import annotations

import copy
import re
import zipfile
from collections.abc import Callable
from pathlib import Path

from lxml import etree
from openpyxl.utils import column_index_from_string, get_column_letter

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
LINKS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
LINK_LIST = "http://schemas.openxmlformats.org/package/2006/relationships"
TYPE_LIST = "http://schemas.openxmlformats.org/package/2006/content-types"
SHEET_ML = "application/vnd.openxmlformats-officedocument.spreadsheetml"
REFERENCE = re.compile(r"(\$?)([A-Z]{1,3})(\$?)([0-9]+)")
SAVED = (2026, 10, 12, 16, 30, 0)

Node = etree._Element


def tag(name: str) -> str:
    """The full name of an element of the main namespace."""
    return f"{{{MAIN}}}{name}"


def node(text: str) -> Node:
    """An element of the main namespace, written out."""
    return etree.fromstring(f'<_ xmlns="{MAIN}" xmlns:r="{LINKS}">{text}</_>')[0]


class Parts:
    """The parts of a package; those asked for as trees are written anew, all others byte for byte as they were."""

    def __init__(self, path: Path) -> None:
        with zipfile.ZipFile(path) as package:
            self._bytes = {name: package.read(name) for name in package.namelist()}
        self._trees: dict[str, Node] = {}

    def tree(self, part: str) -> Node:
        """The tree of a part, to be changed in place."""
        if part not in self._trees:
            self._trees[part] = etree.fromstring(self._bytes[part])
        return self._trees[part]

    def add(self, part: str, text: str, content_type: str = "") -> None:
        """Add a part; a content type where the package has no default for its name's ending."""
        self._bytes[part] = b'<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n' + text.encode()
        if content_type:
            types = self.tree("[Content_Types].xml")
            etree.SubElement(types, f"{{{TYPE_LIST}}}Override", PartName=f"/{part}", ContentType=content_type)

    def link(self, list_part: str, link_id: str, kind: str, target: str) -> None:
        """Add a relationship to a list of them that is there."""
        attributes = {"Id": link_id, "Type": f"{LINKS}/{kind}", "Target": target}
        etree.SubElement(self.tree(list_part), f"{{{LINK_LIST}}}Relationship", attributes)

    def sheet_parts(self) -> dict[str, tuple[str, str]]:
        """Of each sheet in order of the tabs its part and its sheetId, by name."""
        links = {link.get("Id"): link.get("Target") for link in self.tree("xl/_rels/workbook.xml.rels")}
        found = {}
        for sheet in self.tree("xl/workbook.xml").find(tag("sheets")):
            target = str(links[sheet.get(f"{{{LINKS}}}id")])
            found[str(sheet.get("name"))] = (f"xl/{target.removeprefix('/xl/')}", str(sheet.get("sheetId")))
        return found

    def formula_cells(self) -> dict[str, list[str]]:
        """The cells with a formula, by sheet."""
        return {
            name: [str(cell.getparent().get("r")) for cell in self.tree(part).iter(tag("f"))]
            for name, (part, _) in self.sheet_parts().items()
        }

    def add_calculation_chain(self) -> None:
        """The list of formula cells that a desktop program keeps in the file."""
        ids = {name: sheet_id for name, (_, sheet_id) in self.sheet_parts().items()}
        entries = [f'<c r="{cell}" i="{ids[name]}"/>' for name, cells in self.formula_cells().items() for cell in cells]
        chain = f'<calcChain xmlns="{MAIN}">{"".join(entries)}</calcChain>'
        self.add("xl/calcChain.xml", chain, f"{SHEET_ML}.calcChain+xml")
        self.link("xl/_rels/workbook.xml.rels", "chain", "calcChain", "calcChain.xml")

    def write(self, path: Path) -> None:
        """Write the package."""
        with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as package:
            for name, data in self._bytes.items():
                if name in self._trees:
                    data = etree.tostring(self._trees[name], xml_declaration=True, encoding="UTF-8", standalone=True)
                info = zipfile.ZipInfo(name, SAVED)
                info.compress_type = zipfile.ZIP_DEFLATED
                package.writestr(info, data)


class Styles:
    """Styles of a person's own, each an existing one with something changed."""

    def __init__(self, root: Node) -> None:
        self._root = root

    def number_format(self, code: str) -> str:
        """A new number format's id."""
        formats = self._root.find(tag("numFmts"))
        new_id = str(1 + max(int(one.get("numFmtId")) for one in formats))
        etree.SubElement(formats, tag("numFmt"), numFmtId=new_id, formatCode=code)
        return new_id

    def _append(self, group: str, element: Node) -> str:
        place = self._root.find(tag(group))
        place.append(element)
        place.set("count", str(len(place)))
        return str(len(place) - 1)

    def fill(self, color: str) -> str:
        """A new solid fill's index."""
        solid = f'<patternFill patternType="solid"><fgColor rgb="FF{color}"/><bgColor indexed="64"/></patternFill>'
        return self._append("fills", node(f"<fill>{solid}</fill>"))

    def bold(self) -> str:
        """A new bold font's index."""
        return self._append("fonts", node('<font><b/><sz val="11"/><name val="Calibri"/><family val="2"/></font>'))

    def highlight(self, color: str) -> str:
        """A new highlight's index among the differential formats."""
        return self._append(
            "dxfs", node(f'<dxf><fill><patternFill><bgColor rgb="FF{color}"/></patternFill></fill></dxf>')
        )

    def like(self, base: str, **changes: str) -> str:
        """The index of a new cell format that is ``base`` with these attributes, such as ``fillId``, set."""
        new = copy.deepcopy(self._root.find(tag("cellXfs"))[int(base)])
        for name, value in changes.items():
            new.set(name, value)
        return self._append("cellXfs", new)


def moved(text: str, column: Callable[[int], int], row: Callable[[int], int]) -> str:
    """The text of references with every cell's column and row moved."""

    def one(found: re.Match[str]) -> str:
        letters = get_column_letter(column(column_index_from_string(found[2])))
        return f"{found[1]}{letters}{found[3]}{row(int(found[4]))}"

    return REFERENCE.sub(one, text)


def set_cell(row: Node, reference: str, style: str, content: str = "", kind: str | None = None) -> None:
    """Put a cell into a row, in its place, instead of the one that is there."""
    cell = node(f'<c r="{reference}" s="{style}">{content}</c>')
    if kind:
        cell.set("t", kind)
    place = _column(reference)
    for other in list(row):
        if _column(str(other.get("r"))) == place:
            row.remove(other)
    row.insert(sum(_column(str(other.get("r"))) < place for other in row), cell)


def _column(reference: str) -> int:
    found = REFERENCE.fullmatch(reference)
    assert found is not None
    return column_index_from_string(found[2])
