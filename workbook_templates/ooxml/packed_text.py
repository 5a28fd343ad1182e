"""The text of a packed part, unpacked block by block where it is looked at: a large sheet is never whole in memory."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import IO, NamedTuple, Protocol, TypeAlias

from zlib_ng import zlib_ng

from tarelot.workbook_templates.ooxml.splice import PackageError, Splice

BLOCK = 1 << 20
MARK_EVERY = 16
"""Blocks from one place to the next at which unpacking can be taken up again; each place keeps about 50 kB."""
KEPT = 3
"""Blocks kept unpacked, since what is looked at next is mostly near."""
_READ_AT_ONCE = 1 << 18


class _Engine(Protocol):
    """What zlib and its like unpack with; the type hints of zlib_ng leave ``copy`` out."""

    eof: bool
    unconsumed_tail: bytes

    def decompress(self, data: bytes, max_length: int, /) -> bytes: ...

    def copy(self) -> _Engine: ...


class _Mark(NamedTuple):
    """Where unpacking stands before a block: the next packed byte, the engine, and what it has not taken yet."""

    at: int
    engine: _Engine
    waiting: bytes


class PackedText:
    """The text of one member packed by deflate, read by slices like bytes.

    The first walk through ``blocks`` proves length and check sum.

    Args:
        file: The archive; it must stay open.
        start: Where the packed bytes begin.
        packed_size: How many they are.
        size: How many bytes they unpack to.
        crc: The check sum of those.
        place: What to call the part in an error.
    """

    def __init__(self, file: IO[bytes], start: int, packed_size: int, size: int, crc: int, place: str) -> None:
        self._file, self._end, self._size, self._crc, self._place = file, start + packed_size, size, crc, place
        engine: _Engine = zlib_ng.decompressobj(-zlib_ng.MAX_WBITS)  # type: ignore[assignment]
        self._marks = {0: _Mark(start, engine, b"")}
        self._next, self._now = 0, self._copied(self._marks[0])
        self._kept: dict[int, bytes] = {}
        self._proven = False

    def __len__(self) -> int:
        return self._size

    def __getitem__(self, part: slice) -> bytes:
        start, end, _ = part.indices(self._size)
        return b"".join(self.pieces(start, end))

    def pieces(self, start: int, end: int) -> Iterator[memoryview]:
        """The text from ``start`` to ``end``, a block or less at a time."""
        while start < end:
            number, first = divmod(start, BLOCK)
            piece = memoryview(self._block(number))[first : first + end - start]
            start += len(piece)
            yield piece

    def blocks(self) -> Iterator[bytes]:
        """The whole text, a block at a time."""
        crc = 0
        for number in range(-(-self._size // BLOCK)):
            block = self._block(number)
            crc = crc if self._proven else zlib_ng.crc32(block, crc)
            yield block
        if not self._proven and crc != self._crc:
            raise self._damaged("its check sum differs")
        self._proven = True

    def _block(self, number: int) -> bytes:
        found = self._kept.get(number)
        if found is None:
            if number < self._next or number - self._next > MARK_EVERY:
                self._next = max(mark for mark in self._marks if mark <= number)
                self._now = self._copied(self._marks[self._next])
            while self._next <= number:
                found = self._unpack()
            if found is None:
                raise AssertionError("a block that is neither kept nor ahead")
        return found

    def _unpack(self) -> bytes:
        """Unpack the next block, and keep it."""
        number, (at, engine, waiting) = self._next, self._now
        if number % MARK_EVERY == 0 and number not in self._marks:
            self._marks[number] = self._copied(self._now)
        wanted = min(BLOCK, self._size - number * BLOCK)
        found: list[bytes] = []
        while wanted:
            if not waiting:
                self._file.seek(at)
                waiting = self._file.read(min(_READ_AT_ONCE, self._end - at))
                at += len(waiting)
            try:
                piece = engine.decompress(waiting, wanted)
            except zlib_ng.error as error:  # type: ignore[misc]
                raise self._damaged(str(error)) from error
            if not piece and (not waiting or engine.eof):
                raise self._damaged("it is cut off")
            waiting = engine.unconsumed_tail
            found.append(piece)
            wanted -= len(piece)
        if (number + 1) * BLOCK >= self._size and not self._is_at_end(engine, waiting, at):
            raise self._damaged("it is longer than it says")
        block = b"".join(found)
        self._kept[number] = block
        self._kept.pop(next(iter(self._kept))) if len(self._kept) > KEPT else None
        self._next, self._now = number + 1, _Mark(at, engine, waiting)
        return block

    def _is_at_end(self, engine: _Engine, waiting: bytes, at: int) -> bool:
        """Whether nothing but the end mark is left; looked for in a copy."""
        self._file.seek(at)
        rest = waiting + self._file.read(min(_READ_AT_ONCE, self._end - at))
        return engine.eof or not engine.copy().decompress(rest, 1)

    @staticmethod
    def _copied(mark: _Mark) -> _Mark:
        return mark._replace(engine=mark.engine.copy())

    def _damaged(self, why: str) -> PackageError:
        return PackageError(f"{self._place} cannot be unpacked: {why}")


Text: TypeAlias = bytes | PackedText
"""A part's text; both kinds are read by slices."""


def pieces(text: Text, start: int = 0, end: int | None = None) -> Iterator[bytes | memoryview]:
    """The text from ``start`` to ``end``, piece by piece."""
    end = len(text) if end is None else end
    if isinstance(text, PackedText):
        yield from text.blocks() if (start, end) == (0, len(text)) else text.pieces(start, end)
    else:
        yield memoryview(text)[start:end]


def whole(text: Text) -> bytes:
    """The text in one."""
    return text if isinstance(text, bytes) else text[:]


def spliced(text: Text, splices: Iterable[Splice]) -> Iterator[bytes | memoryview]:
    """``text`` with the splices put in, piece by piece; they come in order and may not overlap."""
    at = 0
    for start, end, put in splices:
        if start < at:
            raise AssertionError("splices overlap, or are out of order")
        yield from pieces(text, at, start)
        yield put
        at = end
    yield from pieces(text, at)
