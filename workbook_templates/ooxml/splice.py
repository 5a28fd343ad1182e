"""Places of elements in XML text, as byte offsets, so that a change can be spliced in and every other byte stays.

Every part is read here. Document types, entities and with them anything from outside the part are refused.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import TypeAlias
from xml.parsers import expat


class PackageError(ValueError):
    """A workbook that cannot be read or changed safely; the message is one line for a person."""


ATTRIBUTES_PATTERN = rb"""[^>"'/]*(?:"[^"]*"[^>"'/]*|'[^']*'[^>"'/]*)*"""
"""The inside of a start tag: a quoted value may hold ``>`` and ``/``, the rest may not."""

DEEPEST = 256
"""Elements inside each other that are read; real parts, drawings among them, hold a few dozen.

Beyond thousands of levels readers take minutes or crash.
"""

_ATTRIBUTE = re.compile(rb"""(\s+)([^\s=>/"']+)\s*=\s*("[^"]*"|'[^']*')""")
_START_TAG = re.compile(rb"<[^\s/>]+" + ATTRIBUTES_PATTERN + rb"/?>")
_XML_DECLARATION = re.compile(rb"""^(?:\xef\xbb\xbf)?\s*<\?xml\s[^>]*?encoding\s*=\s*["']([^"']+)["']""")
_HIDDEN = re.compile(rb"<!--.*?-->|<!\[CDATA\[.*?\]\]>|<\?.*?\?>", re.DOTALL)

Splice: TypeAlias = tuple[int, int, bytes]
"""Start, end and what stands there instead."""


@dataclass
class Element:
    """An element and where it stands: ``data[start:open_end]`` is its start tag.

    An attribute with a prefix is found under its namespace, a space and its local name.
    """

    namespace: str
    name: str
    attributes: Mapping[str, str]
    start: int
    open_end: int
    content_end: int = 0
    end: int = 0
    children: list[Element] = field(default_factory=list)
    text: str = ""

    def child(self, name: str) -> Element | None:
        """The first child of that local name, or None."""
        return next((child for child in self.children if child.name == name), None)

    def walk(self) -> Iterator[Element]:
        """This element and all below it, in the order of the text."""
        yield self
        for child in self.children:
            yield from child.walk()


def _parser(place: str, head: bytes) -> expat.XMLParserType:
    declared = _XML_DECLARATION.match(head[:200])
    if head[:2] in (b"\xff\xfe", b"\xfe\xff") or (declared and declared[1].lower() not in (b"utf-8", b"us-ascii")):
        raise PackageError(f"{place} is not written in UTF-8")

    def refuse(*_: object) -> None:
        raise PackageError(f"{place} declares a document type or entities, which a workbook never needs")

    parser = expat.ParserCreate(None, " ")
    parser.StartDoctypeDeclHandler = refuse
    parser.EntityDeclHandler = refuse
    return parser


def refuse_depth(depth: int, place: str) -> None:
    """Refuse so many elements inside each other.

    Raises:
        PackageError: They are too many.
    """
    if depth > DEEPEST:
        raise PackageError(f"{place} holds more than {DEEPEST} elements inside each other: not a real workbook")


def _parse(parser: expat.XMLParserType, data: bytes, place: str) -> None:
    try:
        parser.Parse(data, True)
    except expat.ExpatError as error:
        raise PackageError(f"{place} is damaged: {error}") from error


class HiddenText(Exception):  # noqa: N818  # found, and no error
    """A text holds comments, CDATA or instructions, in which something may look like a tag."""


class Check:
    """Proves a text well-formed and free of entities, piece by piece.

    Args:
        place: What to call the text in an error.
        seeks_tags: Whether hidden text ends the walk, for a reader that looks for tags; such a one sees for itself how
            deep they are. Otherwise what is too deep is refused here, element by element, which takes its time.

    Attributes:
        namespaces: Each (prefix, namespace) declared so far.
        has_root: Whether the root element's start tag was read.
    """

    def __init__(self, place: str, *, seeks_tags: bool = True) -> None:
        self._seeks_tags = seeks_tags
        self.namespaces: list[tuple[str, str]] = []
        self.has_root = False
        self._place = place

    def passing(self, pieces: Iterable[bytes | memoryview]) -> Iterator[bytes | memoryview]:
        """The pieces, each handed on once it is read; after the last one the whole text is proven.

        Raises:
            HiddenText: Before the first piece that holds some.
            PackageError: The text is damaged, or declares what it should not.
        """
        parser: expat.XMLParserType | None = None
        try:
            for piece in pieces:
                parser = parser or self._begun(bytes(piece[:200]))
                parser.Parse(piece, False)
                yield piece
            if parser is None:
                raise PackageError(f"{self._place} is damaged: it is empty")
            parser.Parse(b"", True)
        except expat.ExpatError as error:
            raise PackageError(f"{self._place} is damaged: {error}") from error

    def _begun(self, head: bytes) -> expat.XMLParserType:
        parser = _parser(self._place, head)
        parser.StartNamespaceDeclHandler = self._note_namespace
        if not self._seeks_tags:
            self._measure(parser)
            return parser

        def note_root(*_: object) -> None:
            self.has_root = True
            parser.StartElementHandler = None

        parser.StartElementHandler = note_root
        parser.CommentHandler = parser.StartCdataSectionHandler = parser.ProcessingInstructionHandler = _hidden_text
        return parser

    def _measure(self, parser: expat.XMLParserType) -> None:
        """Let the parser refuse what is too deep."""
        depth = 0

        def start(*_: object) -> None:
            nonlocal depth
            depth += 1
            refuse_depth(depth, self._place)

        def end(_: str) -> None:
            nonlocal depth
            depth -= 1

        parser.StartElementHandler, parser.EndElementHandler = start, end

    def _note_namespace(self, prefix: str | None, uri: str | None) -> None:
        self.namespaces.append((prefix or "", uri or ""))


def _hidden_text(*_: object) -> None:
    raise HiddenText


def element_tree(data: bytes, place: str) -> Element:
    """The root element of ``data`` with the places of all elements."""
    parser = _parser(place, data)
    top = Element("", "", {}, 0, 0)
    stack = [top]

    def start(full_name: str, attributes: dict[str, str]) -> None:
        namespace, _, name = full_name.rpartition(" ")
        at = parser.CurrentByteIndex
        tag = _START_TAG.match(data, at)
        if tag is None:
            raise PackageError(f"{place} is damaged near byte {at}")
        element = Element(namespace, name, attributes, at, tag.end())
        stack[-1].children.append(element)
        stack.append(element)
        refuse_depth(len(stack) - 1, place)

    def end(_: str) -> None:
        element = stack.pop()
        if data[element.open_end - 2 : element.open_end] == b"/>":
            element.content_end = element.end = element.open_end
        else:
            element.content_end = parser.CurrentByteIndex
            element.end = data.index(b">", element.content_end) + 1

    def text(found: str) -> None:
        stack[-1].text += found

    parser.buffer_text = True
    parser.StartElementHandler = start
    parser.EndElementHandler = end
    parser.CharacterDataHandler = text
    _parse(parser, data, place)
    return top.children[0]


def whole_number(text: str, place: str) -> int:
    """The number that an attribute states."""
    if not re.fullmatch(r"[0-9]{1,10}", text):
        raise PackageError(f"{place} is damaged: {text[:40]!r} is not a whole number")
    return int(text)


def without_hidden_text(data: bytes) -> bytes:
    """``data`` with comments, CDATA and instructions blanked to the same length: each ``<`` left is a tag's."""
    first_tag = data.find(b"?>") + 2 if data[:64].lstrip(b"\xef\xbb\xbf \r\n\t").startswith(b"<?xml") else 0
    if data.find(b"<!", first_tag) < 0 and data.find(b"<?", first_tag) < 0:
        return data
    return _HIDDEN.sub(lambda found: b" " * len(found[0]), data)


def attributes(tag: bytes) -> dict[bytes, bytes]:
    """The attributes of a start tag (what follows it is passed over) as written: name to value without quotes."""
    whole = _START_TAG.match(tag)
    return {found[2]: found[3][1:-1] for found in _ATTRIBUTE.finditer(whole[0])} if whole else {}


def with_attribute(tag: bytes, name: bytes, value: bytes | None) -> bytes:
    """``tag`` with that attribute set in its place, added last, or with None taken out."""
    for found in _ATTRIBUTE.finditer(tag):
        if found[2] == name:
            written = b"" if value is None else found[1] + name + b'="' + value + b'"'
            return tag[: found.start()] + written + tag[found.end() :]
    if value is None:
        return tag
    close = b"/>" if tag.endswith(b"/>") else b">"
    return tag[: -len(close)].rstrip() + b" " + name + b'="' + value + b'"' + close
