"""Workbooks that were made to harm whoever reads them: a sound one with one thing put in, part by part.

Places of cells are those of ISO/IEC 29500-1, 18.3.1.4, as programs have them: the last column is XFD, the last row
1,048,576.
"""

from __future__ import annotations

import random
import re
import zipfile
from collections.abc import Callable
from pathlib import Path

LAST_ROW = 1_048_576
NESTED = 200_000
NESTED_TEXTS = 100_000
STRINGS, STYLES, BOOK, LINKS = "xl/sharedStrings.xml", "xl/styles.xml", "xl/workbook.xml", "xl/_rels/workbook.xml.rels"

Change = Callable[[bytes], bytes]


def _nest(name: bytes, inside: bytes, count: int) -> bytes:
    """Elements inside each other, each with a figure by chance: what packs too well is refused for that alone."""
    chance = random.Random(count)
    opened = b"".join(b'<%b n="%x">' % (name, chance.getrandbits(32)) for _ in range(count))
    return opened + inside + (b"</%b>" % name) * count


def far_cell(name: str) -> Change:
    """Puts one more cell, of that name, at the end of a sheet's data, in a row of its own."""
    number = name.lstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ")
    cell = f'<row r="{number}"><c r="{name}"><v>1</v></c></row></sheetData>'.encode()
    return lambda text: text.replace(b"</sheetData>", cell, 1)


def cell_in_first_row(name: str) -> Change:
    """Puts one more cell, of that name, at the end of the sheet's first row, whatever row the name says."""
    return lambda text: text.replace(b"</row>", f'<c r="{name}"><v>1</v></c></row>'.encode(), 1)


def deep(last_tag: bytes, name: bytes = b"a", count: int = NESTED) -> Change:
    """Puts that many elements inside each other before the last end tag."""
    nest = _nest(name, b"", count)

    def change(text: bytes) -> bytes:
        before, tag, after = text.rpartition(b"</%b>" % last_tag)
        return before + nest + tag + after

    return change


def deep_texts(text: bytes) -> bytes:
    """Puts runs of text inside each other into the first shared string, as the standard has them side by side."""
    nest = _nest(b"r", b"<t>x</t>", NESTED_TEXTS)
    return re.sub(rb"<si>.*?</si>", lambda found: b"<si>" + nest + b"</si>", text, count=1, flags=re.DOTALL)


def deep_inline_text(text: bytes) -> bytes:
    """The same inside a cell of the sheet."""
    nest = _nest(b"r", b"<t>x</t>", NESTED_TEXTS)
    row = b'<row><c t="inlineStr"><is>' + nest + b"</is></c></row></sheetData>"
    return text.replace(b"</sheetData>", row, 1)


def moved_down(by: int) -> Change:
    """Moves every row from the fourth on down, as a sheet's data and a table say where they stand."""

    def cell(found: re.Match[bytes]) -> bytes:
        number = int(found[2])
        return found[1] + (b"%d" % (number + by) if number >= 4 else found[2])

    def change(text: bytes) -> bytes:
        head, tag, data = text.partition(b"<sheetData")
        data, end, rest = data.partition(b"</sheetData>")
        if not tag:
            return re.sub(rb'(?<=ref=")([A-Z]+)([0-9]+):([A-Z]+)([0-9]+)', lambda f: _area(f, by), text)
        data = re.sub(rb'(<row [^>]*?\br=")([0-9]+)', cell, data)
        return head + tag + re.sub(rb'(<c [^>]*?\br="[A-Z]+)([0-9]+)', cell, data) + end + rest

    return change


def _area(found: re.Match[bytes], by: int) -> bytes:
    return b"%b%d:%b%d" % (found[1], int(found[2]) + by, found[3], int(found[4]) + by)


def remade(source: Path, target: Path, changes: dict[str, Change], *, wrong_sum: str = "") -> Path:
    """``target``, in which these parts are changed and the check sum of one is wrong."""
    with zipfile.ZipFile(source) as old, zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as new:
        for info in old.infolist():
            data = old.read(info)
            new.writestr(info.filename, changes[info.filename](data) if info.filename in changes else data)
        offsets = {info.filename: (info.header_offset, info.CRC) for info in new.infolist()}
    if wrong_sum:
        at, crc = offsets[wrong_sum]
        written, held = bytearray(target.read_bytes()), crc.to_bytes(4, "little")
        wrong = (crc ^ 1).to_bytes(4, "little")
        written[at + 14 : at + 18] = wrong
        name = wrong_sum.encode()
        entry = written.rindex(b"PK\x01\x02", 0, written.rindex(name))
        assert written[entry + 16 : entry + 20] == held
        written[entry + 16 : entry + 20] = wrong
        target.write_bytes(written)
    return target


def cases(sheet: str, table: str = "", own: str = "sheetData") -> dict[str, tuple[dict[str, Change], str]]:
    """What is changed, and the part whose check sum is wrong, by the name of the case.

    Args:
        sheet: The part of the sheet that is read.
        table: The part of its table, where it has one.
        own: Where in the sheet elements are nested.
    """
    made: dict[str, tuple[dict[str, Change], str]] = {
        "value at XFD1048576": ({sheet: far_cell("XFD1048576")}, ""),
        "value at A1048576": ({sheet: far_cell("A1048576")}, ""),
        "cell named A99999999": ({sheet: far_cell("A99999999")}, ""),
        "cell named A99999999 in row 1": ({sheet: cell_in_first_row("A99999999")}, ""),
        "cell named XFD1048576 in row 1": ({sheet: cell_in_first_row("XFD1048576")}, ""),
        "cell named ZZZZZZZ1": ({sheet: cell_in_first_row("ZZZZZZZ1")}, ""),
        "nested in the sheet": ({sheet: deep(b"worksheet")}, ""),
        "nested in the sheet's data": ({sheet: deep(own.encode())}, ""),
        "nested in the styles": ({STYLES: deep(b"styleSheet")}, ""),
        "nested in the strings": ({STRINGS: deep(b"sst")}, ""),
        "nested in the workbook": ({BOOK: deep(b"workbook")}, ""),
        "nested in the links": ({LINKS: deep(b"Relationships")}, ""),
        "nested in the properties": ({"docProps/core.xml": deep(b"cp:coreProperties")}, ""),
        "nested in the types": ({"[Content_Types].xml": deep(b"Types")}, ""),
        "nested texts": ({STRINGS: deep_texts}, ""),
        "nested texts in a cell": ({sheet: deep_inline_text}, ""),
        **{f"wrong sum of {part}": ({}, part) for part in (sheet, STRINGS, STYLES, BOOK, LINKS)},
    }
    if table:
        down = moved_down(LAST_ROW - 60)
        made["table at the sheet's end"] = {sheet: down, table: down}, ""
        made["nested in the table"] = {table: deep(b"table")}, ""
        made[f"wrong sum of {table}"] = {}, table
    return made
