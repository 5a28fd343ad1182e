"""A sheet unpacked piece by piece reads and changes like the same sheet unpacked whole by zipfile."""

from __future__ import annotations

import random
import zipfile
from pathlib import Path

import pytest

from tarelot.workbook_templates.ooxml import packed_text
from tarelot.workbook_templates.ooxml import reading as package_reading
from tarelot.workbook_templates.ooxml.package import edit
from tarelot.workbook_templates.ooxml.packed_text import PackedText
from tarelot.workbook_templates.ooxml.splice import PackageError
from tests.ooxml.package_corpus import make_corpus
from tests.ooxml.test_package import CHANGES, NEW_ROWS

NAME = "sheet.xml"


def packed(path: Path, **other: int) -> tuple[PackedText, bytes]:
    """The one member of an archive, and what zipfile reads from it; ``other`` overrides what is said of it."""
    with zipfile.ZipFile(path) as archive:
        info, content = archive.getinfo(NAME), archive.read(NAME)
    said = {"packed_size": info.compress_size, "size": info.file_size, "crc": info.CRC, **other}
    # The packed bytes begin after 30 bytes and the name (PKWARE APPNOTE 4.3.7; no extra field here).
    return PackedText(path.open("rb"), info.header_offset + 30 + len(NAME), place="the part", **said), content


@pytest.fixture
def archive(tmp_path: Path) -> Path:
    chance = random.Random(7)
    path = tmp_path / "one.zip"
    words = [bytes(chance.choices(b"<cv>0123456789", k=chance.randint(1, 60))) for _ in range(50)]
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as made:
        made.writestr(zipfile.ZipInfo(NAME), b"".join(chance.choices(words, k=4_000)), zipfile.ZIP_DEFLATED)
    return path


@pytest.mark.parametrize("block", [1, 1_000, 65_536, 1 << 20])
def test_every_slice_is_the_same(archive: Path, monkeypatch: pytest.MonkeyPatch, block: int) -> None:
    monkeypatch.setattr(packed_text, "BLOCK", block)
    text, content = packed(archive)
    chance = random.Random(block)
    assert len(text) == len(content) > 100_000
    for _ in range(200):
        start = chance.randrange(-len(content), len(content) + 10)
        end = start + chance.choice((0, 1, 50, 5_000))
        assert text[start:end] == content[start:end]
    assert text[:] == content
    assert b"".join(text.blocks()) == content


@pytest.mark.parametrize("block", [1_000, 1 << 20])
@pytest.mark.parametrize("other", [{"crc": 1}, {"size": 99_000}, {"size": 10_000_000}, {"packed_size": 4_000}])
def test_a_member_that_is_not_what_it_says(
    archive: Path, monkeypatch: pytest.MonkeyPatch, block: int, other: dict[str, int]
) -> None:
    monkeypatch.setattr(packed_text, "BLOCK", block)
    text, _ = packed(archive, **other)
    with pytest.raises(PackageError, match="the part cannot be unpacked: (its|it is|Error)"):
        list(text.blocks())


def test_blocks_that_cut_rows_and_tags_change_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    books = make_corpus(tmp_path)
    whole, cut = tmp_path / "whole.xlsx", tmp_path / "cut.xlsx"
    assert len(books) > 40
    for book in books:
        edit(book.path, whole, CHANGES, {"Lot": NEW_ROWS})
        with monkeypatch.context() as smaller:
            smaller.setattr(packed_text, "BLOCK", 101)
            smaller.setattr(packed_text, "MARK_EVERY", 3)
            edit(book.path, cut, CHANGES, {"Lot": NEW_ROWS})
        assert cut.read_bytes() == whole.read_bytes(), book.holds


def test_large_parts_hold_the_same(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """As a large part is packed: by the other engine, and where sizes may need eight bytes (APPNOTE 4.5.3)."""
    book = make_corpus(tmp_path)[0]
    small, large = tmp_path / "small.xlsx", tmp_path / "large.xlsx"
    edit(book.path, small, CHANGES, {"Lot": NEW_ROWS})
    monkeypatch.setattr(package_reading, "LARGE_PART", 0)
    monkeypatch.setattr(zipfile, "ZIP64_LIMIT", 10)
    edit(book.path, large, CHANGES, {"Lot": NEW_ROWS})
    monkeypatch.undo()
    with zipfile.ZipFile(small) as one, zipfile.ZipFile(large) as other:
        assert other.testzip() is None
        assert {name: one.read(name) for name in one.namelist()} == {
            name: other.read(name) for name in other.namelist()
        }
        sizes = [(info.compress_size, info.extract_version) for info in other.infolist()]
        assert sizes != [(info.compress_size, info.extract_version) for info in one.infolist()]
