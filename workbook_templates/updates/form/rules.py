"""Entry rules, highlights and widths of a table that was brought up to date: today's for our columns, a person's kept.

Ours are known by what they say: an entry rule by its title, a highlight by its formula.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass

from tarelot.workbook_templates.ooxml.cell_xml import area, escaped, moved_formula
from tarelot.workbook_templates.ooxml.joining.styles import Styles, with_namespace
from tarelot.workbook_templates.ooxml.sheet_edits import SheetEdit
from tarelot.workbook_templates.ooxml.sheet_xml import SheetXml
from tarelot.workbook_templates.ooxml.splice import Element, element_tree, with_attribute
from tarelot.workbook_templates.ooxml.table_rows import Table
from tarelot.workbook_templates.updates.results import plain_form

OUR_TITLE = "Not taken"
"""Of every entry rule that we ever wrote."""
OLD_HIGHLIGHTS = ('AND({cell}<>"",{cell}<>"ok",{cell}<>0)',)
"""Formulas of the highlights of older formats; today's are those of the new sheet."""
ORDER = (
    "sheetData",
    "sheetCalcPr",
    "sheetProtection",
    "protectedRanges",
    "scenarios",
    "autoFilter",
    "sortState",
    "dataConsolidate",
    "customSheetViews",
    "mergeCells",
    "phoneticPr",
    "conditionalFormatting",
    "dataValidations",
    "hyperlinks",
    "printOptions",
    "pageMargins",
    "pageSetup",
    "headerFooter",
    "rowBreaks",
    "colBreaks",
    "customProperties",
    "cellWatches",
    "ignoredErrors",
    "smartTags",
    "drawing",
    "legacyDrawing",
    "legacyDrawingHF",
    "drawingHF",
    "picture",
    "oleObjects",
    "controls",
    "webPublishItems",
    "tableParts",
    "extLst",
)
"""The elements of a sheet in the schema's order (CT_Worksheet, ECMA-376 Part 1, A.2)."""


@dataclass(frozen=True)
class Model:
    """The sheet as it is written new: its text, its table, and where each of its columns now stands.

    Attributes:
        sheet: The new sheet.
        table: The new sheet's table.
        letters: The letters of the columns in the person's table.
        target: The person's table.
    """

    sheet: SheetXml
    table: Table
    letters: Mapping[str, str]
    target: Table

    def moved(self, first_cell: str) -> str | None:
        """Where the first row's cell of a column stands in the person's table; None for a cell elsewhere."""
        block = area(first_cell)
        place = block.first_column - self.table.area.first_column
        if block.first_row != self.table.first_row or not 0 <= place < len(self.table.columns):
            return None
        letter = self.letters.get(self.table.columns[place])
        return f"{letter}{self.target.first_row}" if letter else None

    def column_area(self, cell: str) -> str:
        """The rows of the person's table in a cell's column."""
        letter = cell.rstrip("0123456789")
        return f"{letter}{self.target.first_row}:{letter}{self.target.last_row}"


def insertion(root: Element, name: str) -> int:
    """Where in a sheet's frame an element of a name is to be put in, behind others of its name."""
    later = ORDER[ORDER.index(name) + 1 :]
    first = next((child for child in root.children if child.name in later), None)
    return first.start if first else root.content_end


def renew_rules(edit: SheetEdit, model: Model, styles: Styles) -> None:
    """Plan today's entry rules and highlights for our columns in place of those that the sheet has of ours."""
    _renew_validations(edit, model)
    _renew_highlights(edit, model, styles)


def _in_frame(edit: SheetEdit, at: int, end: int, put: bytes) -> None:
    edit.splices.append((edit.sheet.place(at), edit.sheet.place(end), put))


def _renew_validations(edit: SheetEdit, model: Model) -> None:
    held = edit.sheet.root.child("dataValidations")
    ours = [child for child in held.children if child.attributes.get("errorTitle") == OUR_TITLE] if held else []
    new = list(_validations(edit, model))
    if held is None:
        if new:
            tag = _named(edit, b"<dataValidations/>")[:-2] + b' count="%d">' % len(new)
            written = tag + b"".join(new) + b"</%bdataValidations>" % edit.sheet.prefix
            at = insertion(edit.sheet.root, "dataValidations")
            _in_frame(edit, at, at, written)
        return
    count = len(held.children) - len(ours) + len(new)
    edit.set_attribute(held, "count", str(count))
    for child in ours:
        _in_frame(edit, child.start, child.end, b"")
    _in_frame(edit, held.content_end, held.content_end, b"".join(new))


def _validations(edit: SheetEdit, model: Model) -> Iterator[bytes]:
    """Today's entry rules for the columns of the person's table."""
    sheet = model.sheet
    held = sheet.root.child("dataValidations")
    for child in held.children if held else ():
        origin = child.attributes.get("sqref", "").partition(":")[0]
        cell = model.moved(origin)
        if cell is None:
            continue
        raw = _text(sheet, child)
        formulas = {c.name: c.text for c in child.children}
        for name, text in formulas.items():
            moved = text if text.startswith('"') else moved_formula(text, origin, cell)
            raw = re.sub(rb"(<%b>).*?(</%b>)" % (name.encode(), name.encode()), _between(moved), raw, flags=re.DOTALL)
        yield _named(edit, with_attribute_of(raw, b"sqref", model.column_area(cell).encode()))


def _between(text: str) -> Callable[[re.Match[bytes]], bytes]:
    written = escaped(text)
    return lambda found: found[1] + written + found[2]


def with_attribute_of(raw: bytes, name: bytes, value: bytes) -> bytes:
    """An element with an attribute of its start tag set."""
    root = element_tree(raw, "an element")
    return with_attribute(raw[: root.open_end], name, value) + raw[root.open_end :]


def _renew_highlights(edit: SheetEdit, model: Model, styles: Styles) -> None:
    ours = set(model.letters.values())
    most = 0
    for element in edit.sheet.root.children:
        if element.name != "conditionalFormatting":
            continue
        cell = element.attributes.get("sqref", "").partition(":")[0].partition(" ")[0]
        known = {plain_form(form) for form in _forms(cell, model)} if cell.rstrip("0123456789") in ours else set()
        rules = [child for child in element.children if child.name == "cfRule"]
        gone = [rule for rule in rules if any(plain_form(child.text) in known for child in rule.children)]
        most = max([most, *(int(rule.attributes.get("priority", "0")) for rule in rules if rule not in gone)])
        for one in [element] if len(gone) == len(rules) and rules else gone:
            _in_frame(edit, one.start, one.end, b"")
    new = b""
    for number, (raw, cell) in enumerate(_highlights(model), most + 1):
        rule = re.sub(rb'dxfId="([0-9]+)"', lambda found: b'dxfId="%d"' % styles.highlight(int(found[1])), raw)
        rule = re.sub(rb'priority="[0-9]+"', b'priority="%d"' % number, rule)
        new += _named(edit, b'<conditionalFormatting sqref="%b">' % model.column_area(cell).encode(), rule)
    at = insertion(edit.sheet.root, "conditionalFormatting")
    if new:
        _in_frame(edit, at, at, new)


def _forms(cell: str, model: Model) -> Iterator[str]:
    """The formulas of our highlights, of any format, as they read for a cell."""
    yield from (form.format(cell=cell) for form in OLD_HIGHLIGHTS)
    for _, origin, text in _model_highlights(model):
        yield moved_formula(text, origin, cell)


def _model_highlights(model: Model) -> Iterator[tuple[Element, str, str]]:
    """Each highlight of the new sheet: its rule, the first cell, the formula."""
    for element in model.sheet.root.children:
        if element.name == "conditionalFormatting":
            origin = element.attributes.get("sqref", "").partition(":")[0]
            for rule in element.children:
                for child in rule.children:
                    yield rule, origin, child.text


def _highlights(model: Model) -> Iterator[tuple[bytes, str]]:
    """Today's highlights for the person's table: each rule as written, and its first cell."""
    for rule, origin, text in _model_highlights(model):
        cell = model.moved(origin)
        if cell is not None:
            moved = _between(moved_formula(text, origin, cell))
            yield re.sub(rb"(<formula>).*?(</formula>)", moved, _text(model.sheet, rule)), cell


def _text(sheet: SheetXml, element: Element) -> bytes:
    """An element outside the cell data as it is written."""
    return bytes(sheet.data[sheet.place(element.start) : sheet.place(element.end)])


def _named(edit: SheetEdit, raw: bytes, inside: bytes = b"") -> bytes:
    """An element for a sheet whose own elements may have a prefix."""
    if inside:
        raw = raw + inside + b"</conditionalFormatting>"
    return with_namespace(raw, edit.sheet.root.namespace) if edit.sheet.prefix else raw


def widen(edit: SheetEdit, model: Model, added: Iterable[str]) -> None:
    """Plan the widths and folds of the columns that were added; those that are there keep theirs."""
    own = _stretches(edit.sheet)
    theirs = _stretches(model.sheet)
    new: dict[int, dict[str, str]] = {}
    for heading in added:
        place = model.table.area.first_column + model.table.columns.index(heading)
        stated = next((held for first, last, held in theirs if first <= place <= last), None)
        if stated:
            at = area(f"{model.letters[heading]}1").first_column
            kept = ("width", "customWidth", "outlineLevel", "hidden", "collapsed")
            new[at] = {name: value for name, value in stated.items() if name in kept}
    if not new:
        return
    parted = list(_parted(own, new))
    in_order = sorted(parted, key=lambda one: one[:2])
    written = b"".join(_column(edit, first, last, held) for first, last, held in in_order)
    cols = edit.sheet.root.child("cols")
    tag = b"%bcols" % edit.sheet.prefix
    put = b"<%b>%b</%b>" % (tag, written, tag)
    cells = edit.sheet.root.child("sheetData")
    if cells is None:
        raise AssertionError("a sheet without cell data was read")
    _in_frame(edit, cols.start if cols else cells.start, cols.end if cols else cells.start, put)


def _stretches(sheet: SheetXml) -> list[tuple[int, int, dict[str, str]]]:
    """First and last column of each stretch that is described, and how."""
    cols = sheet.root.child("cols")
    stated = [dict(child.attributes) for child in cols.children] if cols else []
    return [(int(one["min"]), int(one["max"]), one) for one in stated]


def _parted(
    own: list[tuple[int, int, dict[str, str]]], new: Mapping[int, dict[str, str]]
) -> Iterator[tuple[int, int, dict[str, str]]]:
    """The stretches with room made for the new columns."""
    for first, last, held in own:
        start = first
        for place in sorted(place for place in new if first <= place <= last):
            if start < place:
                yield start, place - 1, held
            start = place + 1
        if start <= last:
            yield start, last, held
    for place, stated in new.items():
        yield place, place, stated


def _column(edit: SheetEdit, first: int, last: int, stated: Mapping[str, str]) -> bytes:
    tag = b"<%bcol/>" % edit.sheet.prefix
    for name, value in {**stated, "min": str(first), "max": str(last)}.items():
        tag = with_attribute(tag, name.encode(), escaped(value))
    return tag


def looks(model: Model, added: Iterable[str], styles: Styles) -> dict[str, tuple[bytes, bytes]]:
    """The style ids here of heading and first row of each column that is added."""
    found = {}
    for heading in added:
        place = model.table.area.first_column + model.table.columns.index(heading)
        top, first = (
            b"%d" % styles.cell(style_of(model.sheet, row, place))
            for row in (model.table.area.first_row, model.table.first_row)
        )
        found[heading] = top, first
    return found


def style_of(sheet: SheetXml, number: int, column: int) -> int:
    """The style id of a cell of a sheet."""
    row = sheet.rows.get(number)
    for cell in sheet.cells(row) if row else ():
        if cell.column == column:
            return int(re.search(rb' s="([0-9]+)"', cell.tag)[1]) if b' s="' in cell.tag else 0  # type: ignore[index]
    return 0
