"""Notes on the headings of a table that was brought up to date: today's words on ours, a person's notes as they are."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from tarelot.workbook_templates.ooxml.cell_xml import area
from tarelot.workbook_templates.ooxml.joining.parts import OFFICE, Link, Parts
from tarelot.workbook_templates.ooxml.joining.styles import with_namespace
from tarelot.workbook_templates.ooxml.packed_text import spliced
from tarelot.workbook_templates.ooxml.sheet_edits import SheetEdit
from tarelot.workbook_templates.ooxml.splice import Element, Splice, element_tree, with_attribute
from tarelot.workbook_templates.updates.form.rules import insertion

AUTHOR = "Tarelot"
_SHAPE = re.compile(rb"<(?:\w+:)?shape\s.*?</(?:\w+:)?shape>", re.DOTALL)
_SHAPE_ID = re.compile(rb'\bid="([^"]*)"')
_ROW, _COLUMN = (re.compile(rb"(<(?:\w+:)?%b>\s*)([0-9]+)" % name) for name in (b"Row", b"Column"))
_ANCHOR = re.compile(rb"<(?:\w+:)?Anchor>.*?</(?:\w+:)?Anchor>", re.DOTALL)
_COMMENTS = "application/vnd.openxmlformats-officedocument.spreadsheetml.comments+xml"
_VML = "application/vnd.openxmlformats-officedocument.vmlDrawing"


class Notes:
    """The notes of a sheet: the part with their words and the one with their boxes."""

    def __init__(self, parts: Parts, sheet_part: str) -> None:
        self.parts = parts
        links = {link.kind: link for link in parts.links(sheet_part)}
        self.words: Link | None = links.get("comments")
        self.boxes: Link | None = links.get("vmlDrawing")

    def tree(self) -> Element | None:
        """The part with the words; None where there is none."""
        return element_tree(self.parts.read(self.words.part), self.words.part) if self.words else None

    def by_cell(self) -> dict[str, tuple[Element, str]]:
        """Each note's element and its author by the cell."""
        tree = self.tree()
        authors, notes = (tree.child("authors"), tree.child("commentList")) if tree else (None, None)
        names = [author.text for author in authors.children] if authors else []
        found = {}
        for note in notes.children if notes else ():
            number = int(note.attributes.get("authorId", "0"))
            found[note.attributes.get("ref", "")] = note, names[number] if number < len(names) else ""
        return found


def said(note: Element) -> str:
    """The words of a note."""
    return "".join(part.text for part in note.walk() if part.name == "t")


def renew_notes(
    edit: SheetEdit, own: Notes, sheet_part: str, new: Notes, headings: Mapping[str, str], added: Iterable[str]
) -> None:
    """Let our notes on headings say what they say today, and give those to the columns that were added.

    Args:
        edit: The edit of the sheet.
        own: The notes of the sheet.
        sheet_part: The sheet's part.
        new: The notes of the sheet as it is written new.
        headings: Cell of each heading of the person's table by its cell on the new sheet.
        added: Cells of the headings that were added.
    """
    theirs = new.by_cell()
    moved = {headings[cell]: note for cell, (note, _) in theirs.items() if cell in headings}
    if own.words is None or own.boxes is None:
        _begin(edit, own, sheet_part, new)
    _renew_words(own, new, moved, set(added))
    if own.boxes is not None:
        _add_boxes(own, new, [cell for cell in added if cell in moved])


def _begin(edit: SheetEdit, own: Notes, sheet_part: str, new: Notes) -> None:
    """Give a sheet that has no notes the parts for them."""
    tree = new.tree()
    if tree is None or new.boxes is None or own.words is not None or own.boxes is not None:
        return
    words, boxes = (own.parts.free_name(link.part) for link in (new.words, new.boxes) if link)
    empty = b'<comments xmlns="%b"><authors><author>%b</author></authors><commentList></commentList></comments>'
    own.parts.write(words, empty % (tree.namespace.encode(), AUTHOR.encode()))
    own.parts.write(boxes, _SHAPE.sub(b"", new.parts.read(new.boxes.part)))
    own.parts.state_type(words, _COMMENTS)
    own.parts.state_type(boxes, _VML)
    own.parts.link(sheet_part, f"{OFFICE}/comments", words)
    id_ = own.parts.link(sheet_part, f"{OFFICE}/vmlDrawing", boxes)
    at = edit.sheet.place(insertion(edit.sheet.root, "legacyDrawing"))
    tag = b'<%blegacyDrawing xmlns:r="%b" r:id="%b"/>' % (edit.sheet.prefix, OFFICE.encode(), id_.encode())
    edit.splices.append((at, at, tag))
    found = Notes(own.parts, sheet_part)
    own.words, own.boxes = found.words, found.boxes


def _renew_words(own: Notes, new: Notes, moved: Mapping[str, Element], added: set[str]) -> None:
    tree = own.tree()
    authors, notes = (tree.child("authors"), tree.child("commentList")) if tree else (None, None)
    if own.words is None or new.words is None or tree is None or authors is None or notes is None:
        return
    data, theirs = own.parts.read(own.words.part), new.parts.read(new.words.part)
    names = [author.text for author in authors.children]
    splices: list[Splice] = []
    if AUTHOR not in names:
        name = data[authors.start + 1 : authors.open_end].split()[0].rstrip(b">")[: -len(b"authors")]
        entry = b"<%bauthor>%b</%bauthor>" % (name, AUTHOR.encode(), name)
        splices.append((authors.content_end, authors.content_end, entry))
        names.append(AUTHOR)
    number = b"%d" % names.index(AUTHOR)
    held = own.by_cell()
    fresh = b""
    for cell, note in moved.items():
        tag = with_attribute(theirs[note.start : note.open_end], b"ref", cell.encode())
        raw = with_attribute(tag, b"authorId", number) + theirs[note.open_end : note.end]
        raw = with_namespace(raw, tree.namespace) if b":" in data[tree.start : tree.open_end].split()[0] else raw
        if cell not in held:
            fresh += raw if cell in added else b""
            continue
        there, author = held[cell]
        if author == AUTHOR and said(there) != said(note):
            splices.append((there.start, there.end, raw))
    splices.append((notes.content_end, notes.content_end, fresh))
    own.parts.write(own.words.part, b"".join(spliced(data, sorted(splices))))


def _add_boxes(own: Notes, new: Notes, cells: Iterable[str]) -> None:
    """A box for each note that was added, made after the first of the new sheet."""
    if own.boxes is None or new.boxes is None:
        return
    data = own.parts.read(own.boxes.part)
    model = _SHAPE.search(new.parts.read(new.boxes.part))
    if model is None:
        return
    taken = [int(found[1]) for found in re.finditer(rb"_s([0-9]+)\"", data)]
    number = max([1024, *taken])
    shapes = b""
    for cell in cells:
        number += 1
        block = area(cell)
        shape = _SHAPE_ID.sub(b'id="_x0000_s%d"' % number, model[0], count=1)
        for pattern, place in ((_ROW, block.first_row - 1), (_COLUMN, block.first_column - 1)):
            shape = pattern.sub(rb"\g<1>%d" % place, shape)
        shapes += _ANCHOR.sub(b"", shape)
    end = data.rindex(b"</")
    own.parts.write(own.boxes.part, data[:end] + shapes + data[end:])
