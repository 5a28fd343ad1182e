"""Reads an ``.xlsx`` or ``.xlsm`` package safely, and writes it again with a few parts replaced, the rest as it was."""

from __future__ import annotations

import copy
import io
import posixpath
import shutil
import zipfile
import zlib
from collections import deque
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType
from typing import IO

from zlib_ng import zlib_ng

from tarelot.workbook_templates.ooxml.packed_text import PackedText, Text, pieces
from tarelot.workbook_templates.ooxml.splice import Check, PackageError, element_tree, whole_number

MOST_MEMBERS = 10_000
LARGEST_MEMBER = 8 << 30
LARGEST_TOTAL = 8 << 30
LARGEST_WHOLE = 1 << 30
"""Of a part that is held in memory as a whole; sheets are not."""
LARGEST_RATIO = 300
"""Deflate reaches about 1,000; real sheets reach about 50."""
RATIO_COUNTS_FROM = 1 << 20
LARGE_PART = 8 << 20
"""From this size on zlib-ng packs a part at level 3: a lot's sheet in a fraction of zlib's time, a quarter larger.

Smaller ones come out of zlib at its level 9, the same on every machine, so that the workbooks in the tree do too.
"""

MAIN_NAMESPACES = (
    "http://schemas.openxmlformats.org/spreadsheetml/2006/main",
    "http://purl.oclc.org/ooxml/spreadsheetml/main",
)
_FOREIGN = "customxml/"
"""Where other programs keep parts of their own, in any alphabet, that no reader of cells looks at."""
_COMPOUND_FILE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_COPY_CHUNK = 1 << 20
_EARLIEST = (1980, 1, 1, 0, 0, 0)
"""What a member that is new is dated, so that the same change gives the same bytes."""
_LOCAL_HEADER = 30
_UTF_8_NAME = 0x800
_DESCRIPTOR_LENGTHS = (12, 16, 20, 24)


@dataclass(frozen=True)
class Relationship:
    """A link from one part to another; ``kind`` is the last word of its type."""

    id: str
    kind: str
    part: str


@dataclass(frozen=True)
class Sheet:
    """A sheet of the workbook: its name, the part that holds it, its id in the calculation chain."""

    name: str
    part: str
    sheet_id: int
    kind: str


class Package:
    """A workbook's zip package, opened for reading and checked; use it in a ``with`` block."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self._file = _open_checked(path)
        try:
            self._zip = zipfile.ZipFile(self._file)
            self._parts = _checked_members(self._zip, path.name)
            self.from_1904 = False
            self.workbook_part, self.sheets = self._read_workbook()
        except (zipfile.BadZipFile, NotImplementedError) as error:
            self._file.close()
            raise PackageError(f"{path.name} is damaged or not a workbook: {error}") from error
        except BaseException:
            self._file.close()
            raise

    def __enter__(self) -> Package:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, at: TracebackType | None) -> None:
        self._file.close()

    def find(self, part: str) -> str | None:
        """The member's exact name for a part name (part names ignore case), or None."""
        found = self._parts.get(part.lower())
        return found.filename if found else None

    def read(self, part: str) -> bytes:
        """The content of a part, unpacked."""
        info = self._parts.get(part.lower())
        if info is None:
            raise PackageError(f"{self.path.name} is damaged: its part {part} is missing")
        if info.file_size > LARGEST_WHOLE:
            raise PackageError(f"{self.path.name} is too large: {part} unpacks to more than {LARGEST_WHOLE >> 30} GiB")
        try:
            with self._zip.open(info) as member:
                content = io.BytesIO()
                shutil.copyfileobj(member, content, _COPY_CHUNK)
                return content.getvalue()
        except (zipfile.BadZipFile, NotImplementedError, EOFError, OSError, zlib.error) as error:
            raise PackageError(f"{self.path.name} is damaged: {part} cannot be unpacked: {error}") from error

    def text(self, part: str) -> Text:
        """The content of a part, to be read by slices; a packed one is unpacked piece by piece."""
        info = self._parts.get(part.lower())
        if info is None or info.compress_type != zipfile.ZIP_DEFLATED:
            return self.read(part)
        start = info.header_offset + _header_length(self._file, info)
        place = f"{self.path.name} is damaged: {part}"
        return PackedText(self._file, start, info.compress_size, info.file_size, info.CRC, place)

    def prove(self) -> None:
        """Prove each part beside the sheets, before another library is let at the package.

        Those libraries find parts in ways of their own, stop reading before a check sum is known, and crash on what is
        too deep. Sheets are proven where they are walked through, by ``SheetXml``.

        Raises:
            PackageError: A part is damaged, declares entities or is too deep.
        """
        sheets = {sheet.part.lower() for sheet in self.sheets if sheet.kind == "worksheet"}
        for name, info in self._parts.items():
            if name.endswith((".xml", ".rels")) and name not in sheets and not name.startswith(_FOREIGN):
                walk = Check(f"{self.path.name}: {info.filename}", seeks_tags=False).passing(pieces(self.text(name)))
                deque(walk, maxlen=0)

    def relationships(self, part: str) -> list[Relationship]:
        """The links of a part to parts inside the package; links to the outside are left out."""
        links = self.find(links_part(part))
        if links is None:
            return []
        folder = posixpath.dirname(part)
        found = []
        for link in element_tree(self.read(links), links).children:
            stated = link.attributes
            if stated.get("TargetMode") != "External":
                target = posixpath.normpath(posixpath.join("/", folder, stated.get("Target", "")))
                kind = stated.get("Type", "").rpartition("/")[2]
                found.append(Relationship(stated.get("Id", ""), kind, target.lstrip("/")))
        return found

    def sheet(self, name: str) -> Sheet:
        """The worksheet of that name (names of sheets ignore case)."""
        for sheet in self.sheets:
            if sheet.name.casefold() == name.casefold():
                if sheet.kind != "worksheet":
                    raise PackageError(f"{name} is a {sheet.kind}, which has no cells")
                return sheet
        raise PackageError(f"{self.path.name} has no sheet {name}")

    def _read_workbook(self) -> tuple[str, list[Sheet]]:
        workbook = next((link.part for link in self.relationships("") if link.kind == "officeDocument"), None)
        if workbook is None or self.find(workbook) is None:
            raise PackageError(f"{self.path.name} is not a workbook")
        root = element_tree(self.read(workbook), workbook)
        if root.name != "workbook" or root.namespace not in MAIN_NAMESPACES:
            raise PackageError(f"{self.path.name} is not a workbook")
        settings, entries = root.child("workbookPr"), root.child("sheets")
        self.from_1904 = settings is not None and settings.attributes.get("date1904") in ("1", "true")
        links = {link.id: link for link in self.relationships(workbook)}
        sheets = []
        for entry in entries.children if entries else ():
            stated = entry.attributes
            name, id_ = stated.get("name", ""), next((stated[key] for key in stated if key.endswith(" id")), "")
            if id_ not in links:
                raise PackageError(f"{self.path.name} is damaged: the sheet {name} has no part")
            sheets.append(
                Sheet(name, links[id_].part, whole_number(stated.get("sheetId", "0"), workbook), links[id_].kind)
            )
        return workbook, sheets

    def write(
        self,
        target: Path,
        replaced: Mapping[str, Iterable[bytes | memoryview]],
        removed: Collection[str] = (),
        added: Mapping[str, bytes] | None = None,
    ) -> None:
        """Write the package to ``target``: the parts in ``replaced`` anew, every other member byte for byte, in order.

        Only the members' places in the archive can differ; those in ``added`` come last. On any error ``target`` is
        removed.
        """
        if target.exists() and target.samefile(self.path):
            raise PackageError(f"{self.path.name} cannot be written over itself")
        try:
            with zipfile.ZipFile(target, "w") as out:
                self._write_members(out, replaced, removed)
                for name, content in (added or {}).items():
                    new = zipfile.ZipInfo(name, _EARLIEST)
                    new.compress_type = zipfile.ZIP_DEFLATED
                    out.writestr(new, content)
        except BaseException:
            target.unlink(missing_ok=True)
            raise

    def _write_members(
        self, out: zipfile.ZipFile, replaced: Mapping[str, Iterable[bytes | memoryview]], removed: Collection[str]
    ) -> None:
        members = self._zip.infolist()
        by_offset = sorted(members, key=lambda info: info.header_offset)
        ends = [info.header_offset for info in by_offset[1:]] + [self._zip.start_dir]
        order = {info.filename: number for number, info in enumerate(members)}
        for info, end in zip(by_offset, ends, strict=True):
            if info.filename in removed:
                continue
            if info.filename in replaced:
                _write_member(out, info, replaced[info.filename])
            else:
                _copy_member(out, self._file, info, end)
        out.filelist.sort(key=lambda info: order[info.filename])
        out.comment = self._zip.comment


def links_part(part: str) -> str:
    """The part that lists the links of a part; those of the package itself for ``""``."""
    folder, name = posixpath.split(part)
    return posixpath.join(folder, "_rels", f"{name}.rels")


def _open_checked(path: Path) -> IO[bytes]:
    try:
        file = path.open("rb")
    except OSError as error:
        raise PackageError(f"{path.name} cannot be read: {error.strerror}") from error
    start = file.read(8)
    if start == _COMPOUND_FILE:
        file.close()
        raise PackageError(
            f"{path.name} is protected by a password or an old .xls file: save it as .xlsx without a password"
        )
    return file


def _checked_members(archive: zipfile.ZipFile, name: str) -> dict[str, zipfile.ZipInfo]:
    """The members by lower-case name, once names, sizes and places are proven harmless."""
    members = archive.infolist()
    if len(members) > MOST_MEMBERS:
        raise PackageError(f"{name} holds {len(members):,} members; at most {MOST_MEMBERS:,} are read")
    if sum(info.file_size for info in members) > LARGEST_TOTAL:
        raise PackageError(f"{name} unpacks to more than {LARGEST_TOTAL >> 30} GiB")
    parts: dict[str, zipfile.ZipInfo] = {}
    for info in members:
        _check_name(info, name)
        _check_size(info, name)
        if info.filename.lower() in parts:
            raise PackageError(f"{name} holds the member {info.filename!r} twice")
        parts[info.filename.lower()] = info
    at = 0
    for info in sorted(members, key=lambda info: info.header_offset):
        if info.header_offset < at:
            raise PackageError(f"{name} holds members that overlap")
        at = info.header_offset + _LOCAL_HEADER + info.compress_size
    if at > archive.start_dir:
        raise PackageError(f"{name} is damaged: a member reaches past the end")
    return parts


def _check_name(info: zipfile.ZipInfo, name: str) -> None:
    # zipfile turns the backslash into a slash on Windows: look at the name as it was written.
    written = info.orig_filename
    steps = written.split("/")
    if "\\" in written or ":" in steps[0] or written.startswith("/") or ".." in steps or "\0" in written:
        raise PackageError(f"{name} holds a member with an unsafe path: {written!r}")
    if not written.isascii() and not info.flag_bits & _UTF_8_NAME:
        raise PackageError(f"{name} holds a member whose name is in an unknown alphabet: {written!r}")


def _check_size(info: zipfile.ZipInfo, name: str) -> None:
    if info.flag_bits & 0x1:
        raise PackageError(f"{name} is encrypted: save it without a password")
    if info.file_size > LARGEST_MEMBER:
        raise PackageError(f"{name} holds a member that unpacks to more than {LARGEST_MEMBER >> 30} GiB")
    if info.file_size > RATIO_COUNTS_FROM and info.file_size > LARGEST_RATIO * max(info.compress_size, 1):
        raise PackageError(
            f"{name} holds {info.filename!r}, packed more than {LARGEST_RATIO} to 1: not a real workbook"
        )


def _write_member(out: zipfile.ZipFile, info: zipfile.ZipInfo, pieces: Iterable[bytes | memoryview]) -> None:
    """Pack ``pieces`` as the member ``info`` describes: same name, date and attributes."""
    fresh = zipfile.ZipInfo(info.filename, info.date_time)
    fresh.compress_type, fresh.comment = info.compress_type, info.comment
    fresh.create_system, fresh.create_version = info.create_system, info.create_version
    fresh.external_attr, fresh.internal_attr = info.external_attr, info.internal_attr
    if info.compress_type != zipfile.ZIP_DEFLATED:
        out.writestr(fresh, b"".join(pieces))
        return
    file = _begin_member(out, fresh)
    fresh.CRC = fresh.compress_size = fresh.file_size = 0
    # The sizes stand before the data and are known after it: the header is written twice.
    needs_zip64 = info.file_size > zipfile.ZIP64_LIMIT // 2
    file.write(fresh.FileHeader(zip64=needs_zip64))
    start = file.tell()
    is_large = info.file_size >= LARGE_PART
    engine = zlib_ng.compressobj(3, wbits=-zlib.MAX_WBITS) if is_large else zlib.compressobj(9, wbits=-zlib.MAX_WBITS)
    for piece in pieces:
        fresh.CRC = zlib_ng.crc32(piece, fresh.CRC)
        fresh.file_size += len(piece)
        file.write(engine.compress(piece))
    file.write(engine.flush())
    end = file.tell()
    fresh.compress_size = end - start
    file.seek(fresh.header_offset)
    file.write(fresh.FileHeader(zip64=needs_zip64))
    file.seek(end)
    _end_member(out, fresh)


def _begin_member(out: zipfile.ZipFile, info: zipfile.ZipInfo) -> IO[bytes]:
    """Place a member at the archive's end; the file that its header and data are to be written to."""
    if out.fp is None:
        raise AssertionError("the archive is closed")
    info.header_offset = out.fp.tell()
    return out.fp


def _end_member(out: zipfile.ZipFile, info: zipfile.ZipInfo) -> None:
    """Enter a written member into the archive's directory."""
    out.filelist.append(info)
    out.NameToInfo[info.filename] = info
    out.start_dir = out.fp.tell() if out.fp else 0


def _header_length(source: IO[bytes], info: zipfile.ZipInfo) -> int:
    """The length of the header before a member's packed bytes."""
    source.seek(info.header_offset)
    header = source.read(_LOCAL_HEADER)
    if header[:4] != b"PK\x03\x04":
        raise PackageError(f"the package is damaged at the member {info.filename!r}")
    return _LOCAL_HEADER + int.from_bytes(header[26:28], "little") + int.from_bytes(header[28:30], "little")


def _copy_member(out: zipfile.ZipFile, source: IO[bytes], info: zipfile.ZipInfo, end: int) -> None:
    """Copy header, packed bytes and data descriptor as they stand; the archive's own directory entry moves along."""
    length = _header_length(source, info) + info.compress_size
    gap = end - info.header_offset - length
    if gap < 0:
        raise PackageError(f"the package is damaged: the member {info.filename!r} overlaps the next one")
    if gap in _DESCRIPTOR_LENGTHS:
        length += gap
    moved = copy.copy(info)
    file = _begin_member(out, moved)
    source.seek(info.header_offset)
    while length:
        chunk = source.read(min(length, _COPY_CHUNK))
        if not chunk:
            raise PackageError(f"the package is damaged: the member {info.filename!r} is cut off")
        file.write(chunk)
        length -= len(chunk)
    _end_member(out, moved)
