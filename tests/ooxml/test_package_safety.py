"""Packages that are broken or hostile get one clear line and are never changed.

The attacks are the well-known ones: zip slip and zip bombs (CWE-22, CWE-409), entity expansion and external entities in
XML (CWE-776, CWE-611).
"""

from __future__ import annotations

import contextlib
import struct
import tracemalloc
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest

from tarelot.workbook_templates.ooxml import reading as package_reading
from tarelot.workbook_templates.ooxml.package import PackageError, edit, tables
from tests.ooxml.package_corpus import write_xlsxwriter
from tests.ooxml.package_parts.by_hand import BOOK, SHEET, TABLE, Made, remade

CHANGE = {"Lot": {"C3": 1.0}}


@pytest.fixture
def plain(tmp_path: Path) -> Path:
    path = tmp_path / "plain.xlsx"
    write_xlsxwriter(path, lambda wb, lot, other: None)
    return path


def refused(path: Path, reason: str) -> None:
    """The edit is refused for that reason, in one line, and leaves nothing behind."""
    before, target = path.read_bytes(), path.with_name("never.xlsx")
    with pytest.raises(PackageError, match=reason) as caught:
        edit(path, target, CHANGE)
    assert "\n" not in str(caught.value)
    assert path.read_bytes() == before
    assert not target.exists()


def with_member(plain: Path, name: str, data: bytes = b"x") -> Path:
    path = plain.with_name("with member.xlsx")
    path.write_bytes(plain.read_bytes())
    twice = pytest.warns(UserWarning, match="Duplicate") if name == SHEET else contextlib.nullcontext()
    with twice, zipfile.ZipFile(path, "a", zipfile.ZIP_DEFLATED) as package:
        package.writestr(zipfile.ZipInfo(name, (2024, 1, 1, 0, 0, 0)), data, zipfile.ZIP_DEFLATED)
    return path


@pytest.mark.parametrize(
    "name", ["../evil.xml", "xl/../../evil.xml", "/etc/evil", "C:/evil.xml", "xl\\evil.xml", "a/.."]
)
def test_path_tricks(plain: Path, name: str) -> None:
    refused(with_member(plain, name), "unsafe path")


@pytest.mark.parametrize("name", [SHEET, "XL/Worksheets/SHEET1.xml"])
def test_members_twice(plain: Path, name: str) -> None:
    refused(with_member(plain, name), "twice")


def test_a_name_in_an_unknown_alphabet(plain: Path) -> None:
    path = with_member(plain, "xl/mxdia.xml")
    path.write_bytes(path.read_bytes().replace(b"mxdia", b"m\x82dia"))
    refused(path, "unknown alphabet")


def test_too_many_members(plain: Path) -> None:
    path = plain.with_name("many.xlsx")
    path.write_bytes(plain.read_bytes())
    with zipfile.ZipFile(path, "a") as package:
        for number in range(package_reading.MOST_MEMBERS):
            package.writestr(f"n/{number}", b"")
    refused(path, "members; at most 10,000")


def test_a_bomb(plain: Path) -> None:
    refused(with_member(plain, "xl/bomb.xml", bytes(20 << 20)), "packed more than 300 to 1")


@pytest.mark.parametrize(
    ("limit", "value", "reason"),
    [
        ("LARGEST_MEMBER", 1 << 10, "a member that unpacks"),
        ("LARGEST_TOTAL", 1 << 12, "unpacks to"),
        ("LARGEST_WHOLE", 1 << 8, "too large: _rels/.rels unpacks to"),
    ],
)
def test_too_large(plain: Path, monkeypatch: pytest.MonkeyPatch, limit: str, value: int, reason: str) -> None:
    """The limits themselves, lowered, since files of 1 and 8 GiB have no place in a test."""
    monkeypatch.setattr(package_reading, limit, value)
    refused(plain, reason)


def test_a_size_that_lies(plain: Path) -> None:
    """The directory says 10 bytes, the packed data hold more: never more than stated is unpacked."""
    with zipfile.ZipFile(plain) as package:
        info = package.getinfo(SHEET)
        at = package.start_dir
    data = bytearray(plain.read_bytes())
    entry = data.index(SHEET.encode(), at) - 46
    assert struct.unpack("<I", data[entry + 24 : entry + 28])[0] == info.file_size
    data[entry + 24 : entry + 28] = struct.pack("<I", 10)
    plain.write_bytes(data)
    refused(plain, "damaged")


def test_members_that_overlap(plain: Path) -> None:
    """Two entries of the directory for one stretch of packed data, as in the densest known bombs."""
    data = bytearray(plain.read_bytes())
    with zipfile.ZipFile(plain) as package:
        at = package.start_dir
    entries = [data.index(name.encode(), at) - 46 for name in (SHEET, "xl/worksheets/sheet2.xml")]
    data[entries[1] + 42 : entries[1] + 46] = data[entries[0] + 42 : entries[0] + 46]
    plain.write_bytes(data)
    refused(plain, "overlap")


def test_encrypted_members(plain: Path) -> None:
    with zipfile.ZipFile(plain) as package:
        at = package.start_dir
    data = bytearray(plain.read_bytes())
    data[at + 8] |= 1
    plain.write_bytes(data)
    refused(plain, "is encrypted")


@pytest.mark.parametrize(
    ("data", "reason"),
    [
        (b"", "not a zip file"),
        (b"Stock no.,VIN\nT-1,\n", "not a zip file"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(504), "protected by a password or an old .xls"),
    ],
)
def test_not_a_package(plain: Path, data: bytes, reason: str) -> None:
    plain.write_bytes(data)
    refused(plain, reason)


def test_not_a_workbook(plain: Path) -> None:
    other = plain.with_name("other.xlsx")
    with zipfile.ZipFile(other, "w") as package:
        package.writestr("hello.txt", "hello")
    refused(other, "not a workbook")
    document = plain.with_name("document.xlsx")
    remade(plain, document, Made(changed={BOOK: lambda text: text.replace("workbook", "document")}))
    refused(document, "not a workbook")
    with pytest.raises(PackageError, match="cannot be read: No such file"):
        tables(plain.with_name("missing.xlsx"))


def test_every_cut_is_refused(plain: Path) -> None:
    whole = plain.read_bytes()
    for length in range(0, len(whole) - 22, 997):
        plain.write_bytes(whole[:length])
        refused(plain, "damaged|not a zip file")


def test_flipped_bits_never_pass_unseen(plain: Path) -> None:
    """A bit flipped in the packed sheet is caught by the checksum or the zip reader, wherever it is."""
    whole = plain.read_bytes()
    with zipfile.ZipFile(plain) as package:
        info = package.getinfo(SHEET)
    start = info.header_offset + 30 + len(SHEET)
    for at in range(start, start + info.compress_size, 37):
        plain.write_bytes(whole[:at] + bytes([whole[at] ^ 0x10]) + whole[at + 1 :])
        refused(plain, "damaged")


LAUGHS = '<!DOCTYPE worksheet [<!ENTITY a "lol">' + "".join(
    f'<!ENTITY {new} "{f"&{old};" * 10}">' for old, new in zip("abcdefgh", "bcdefghi", strict=True)
)


@pytest.mark.parametrize(
    "part", [SHEET, TABLE, BOOK, "xl/_rels/workbook.xml.rels", "xl/worksheets/_rels/sheet1.xml.rels"]
)
@pytest.mark.parametrize(
    "doctype",
    [
        LAUGHS + "]>",
        '<!DOCTYPE worksheet [<!ENTITY x SYSTEM "file:///etc/hostname">]>',
        '<!DOCTYPE worksheet SYSTEM "http://127.0.0.1:9/evil.dtd">',
        '<!DOCTYPE worksheet [<!ENTITY % p SYSTEM "http://127.0.0.1:9/evil.dtd">%p;]>',
    ],
    ids=["billion laughs", "external entity", "external subset", "parameter entity"],
)
def test_entities_are_refused_in_every_part(plain: Path, part: str, doctype: str) -> None:
    hostile = plain.with_name("hostile.xlsx")
    use = {"<v>": "<v>&i;", "<tableColumns": "&i;<tableColumns"} if "ENTITY a" in doctype else {}

    def change(text: str) -> str:
        text = text.replace("?>", f"?>{doctype}", 1)
        for old, new in use.items():
            text = text.replace(old, new, 1)
        return text

    remade(plain, hostile, Made(changed={part: change}))
    tracemalloc.start()
    refused(hostile, "document type or entities")
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert peak < 8 << 20


@pytest.mark.parametrize(
    ("change", "reason"),
    [
        (lambda text: text.replace("</row>", "", 1), "damaged"),
        (lambda text: text.replace('<row r="3"', '<row r="2"', 1), "row 2 comes after row 2"),
        (lambda text: text.replace('<c r="C3"', '<c r="A3"', 1), "cells of row 3 are out of order"),
        (lambda text: text.replace('<c r="C3"', '<c r="C9"', 1), "cells of row 3 are out of order"),
        (lambda text: text.replace('encoding="UTF-8"', 'encoding="ISO-8859-1"'), "not written in UTF-8"),
        (lambda text: text.replace("<sheetData>", '<sheetData xmlns="urn:example:other">'), "in two ways"),
        (
            lambda text: text.replace("worksheet", "chartsheet").replace("spreadsheetml/2006", "x/2006"),
            "not a worksheet",
        ),
    ],
)
def test_a_damaged_sheet(plain: Path, change: Callable[[str], str], reason: str) -> None:
    damaged = plain.with_name("damaged.xlsx")
    remade(plain, damaged, Made(changed={SHEET: change}))
    refused(damaged, reason)


def test_a_workbook_is_never_written_over_itself(plain: Path) -> None:
    before = plain.read_bytes()
    with pytest.raises(PackageError, match="over itself"):
        edit(plain, plain, CHANGE)
    assert plain.read_bytes() == before
    link = plain.with_name("link.xlsx")
    link.symlink_to(plain)
    with pytest.raises(PackageError, match="over itself"):
        edit(plain, link, CHANGE)
    assert plain.read_bytes() == before
