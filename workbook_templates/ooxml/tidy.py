"""The package that openpyxl writes, made to repeat byte for byte and to follow the schema to the letter.

openpyxl writes the time of day into members and properties, text into the cells instead of the shared table, fonts in
another order than the schema's, and links to notes from the root, which some programs do not follow.
"""

from __future__ import annotations

import datetime
import re
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import BinaryIO

WRITTEN = datetime.datetime(2026, 1, 1)  # noqa: DTZ001  the file's own clock, fixed so that bytes repeat
FONT_ORDER = ("b", "i", "strike", "u", "vertAlign", "sz", "color", "name", "family", "charset", "scheme")
MODIFIED = re.compile(rb"(<dcterms:modified[^>]*>)[^<]*")
INLINE = re.compile(rb' t="inlineStr"><is>(<t[^>]*>[^<]*</t>|<t ?/>)</is>')
FONT = re.compile(rb"<font>(.*?)</font>", re.DOTALL)
FONT_MEMBER = re.compile(rb"<(\w+)[^>]*/>")
SHARED_STRINGS = "xl/sharedStrings.xml"
STRINGS_CONTENT = (
    SHARED_STRINGS.encode(),
    b"application/vnd.openxmlformats-officedocument.spreadsheetml.sharedStrings+xml",
)
STRINGS_LINK = (
    b'<Relationship Id="strings" Target="sharedStrings.xml" '
    b'Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/sharedStrings"/>'
)
MAIN = b"http://schemas.openxmlformats.org/spreadsheetml/2006/main"


def repack(source: BinaryIO, target: Path) -> None:
    """Write the package in ``source`` to ``target``, tidied."""
    strings: dict[bytes, int] = {}
    with zipfile.ZipFile(source) as old:
        members = {name: _tidied(name, old.read(name), strings) for name in old.namelist()}
    members[SHARED_STRINGS] = _string_table(strings)
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as new:
        for name, data in members.items():
            info = zipfile.ZipInfo(name, date_time=WRITTEN.timetuple()[:6])
            info.compress_type = zipfile.ZIP_DEFLATED
            new.writestr(info, data)


def _tidied(name: str, data: bytes, strings: dict[bytes, int]) -> bytes:
    """One member as it is to be; texts met in a sheet are added to ``strings``."""
    if name == "docProps/core.xml":
        return MODIFIED.sub(rb"\g<1>" + f"{WRITTEN:%Y-%m-%dT%H:%M:%SZ}".encode(), data)
    if name == "xl/styles.xml":
        return FONT.sub(_ordered_font, data)
    if name == "[Content_Types].xml":
        return data.replace(b"</Types>", b'<Override PartName="/%b" ContentType="%b"/></Types>' % STRINGS_CONTENT)
    if name == "xl/_rels/workbook.xml.rels":
        return data.replace(b"</Relationships>", STRINGS_LINK + b"</Relationships>")
    if name.startswith("xl/worksheets/_rels/"):
        return data.replace(b'Target="/xl/', b'Target="../')
    return INLINE.sub(_sharing(strings), data) if name.startswith("xl/worksheets/") else data


def _ordered_font(match: re.Match[bytes]) -> bytes:
    """A font with its members in the schema's order."""
    members = sorted(FONT_MEMBER.finditer(match[1]), key=lambda member: FONT_ORDER.index(member[1].decode()))
    return b"<font>" + b"".join(member[0] for member in members) + b"</font>"


def _sharing(strings: dict[bytes, int]) -> Callable[[re.Match[bytes]], bytes]:
    """The replacement of an inline text by its place in the table."""

    def replacement(match: re.Match[bytes]) -> bytes:
        return b' t="s"><v>%d</v>' % strings.setdefault(match[1], len(strings))

    return replacement


def _string_table(strings: dict[bytes, int]) -> bytes:
    """The table of shared texts."""
    items = b"".join(b"<si>" + text + b"</si>" for text in strings)
    return b'<sst xmlns="%b" uniqueCount="%d">%b</sst>' % (MAIN, len(strings), items)
