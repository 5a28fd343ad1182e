"""A list as delimited text, read and written.

Its encoding is certain, or usual and said so, or asked for; it is never guessed. Rows are read by the standard
library's own reader in its strict mode: one is never dropped, joined or guessed at.
"""

from __future__ import annotations

import codecs
import csv
import io
import re
import zipfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Literal

from tarelot.workbook_templates.lists.heading_rows import heading_row
from tarelot.workbook_templates.lists.headings import REASON
from tarelot.workbook_templates.lists.quantities import Decimal, Value
from tarelot.workbook_templates.lists.rows import ListError, Record, defused, restored
from tarelot.workbook_templates.lists.table import Form, ListTable, list_table

DELIMITERS = {",": "comma", ";": "semicolon", "\t": "tab", "|": "bar"}

_BOMS = (
    (codecs.BOM_UTF32_LE, "utf-32-le"),  # it begins as that of UTF-16 does
    (codecs.BOM_UTF32_BE, "utf-32-be"),
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF16_LE, "utf-16-le"),
    (codecs.BOM_UTF16_BE, "utf-16-be"),
)
_FILE_END = re.compile(r"[\x1a\x00]+\Z")
"""What older programs put behind the end of a text, and fill its last block with."""
_NO_TEXT = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\ufffe\uffff]")
USUAL = "cp1252"
"""What spreadsheet programs in the US write where it is not UTF-8 (common practice, no source)."""
_USUAL_SIGNS = set(
    "\u20ac\u2026\u2018\u2019\u201c\u201d\u2022\u2013\u2014\u2122"  # the marks among its bytes 80 to 9F
    "\xa0\xa1\xa2\xa3\xa9\xab\xae\xb0\xb1\xb2\xb3\xb4\xb7\xba\xbb\xbc\xbd\xbe\xbf\xd7"
    "ÀÁÂÄÇÈÉÊËÍÎÏÑÓÔÖÙÚÛÜßàáâäçèéêëíîïñóôöùúûü"
)
"""Letters of English, French, Spanish and German, and the signs of a price list; other ones are asked about."""
_WORD = re.compile(r"[^\s,;|\"]*[^\x00-\x7f\s,;|\"][^\s,;|\"]*")
_CONTROLS = re.compile(r"[\x80-\x9f\u2028\u2029]")
MOST_READINGS = 3
MOST_CONTROLS = 100
"""Control characters of a text that a person may take out; with more it is something else."""
SHOWN = 24
"""Characters of a word that are shown."""

Likely = Callable[[bytes], list[str]]
"""Encodings that bytes may be text in, to show a person how their words look; none is ever chosen."""


_SIGNATURES = {
    b"%PDF": "a PDF",
    b"\x89PNG": "a picture",
    b"\xff\xd8\xff": "a picture",
    b"{\\rtf": "a text document",
    b"\xd0\xcf\x11\xe0": "an old .xls file or protected by a password: save it as .xlsx without a password",
}
_MARKUP = re.compile(rb"(?:\xef\xbb\xbf)?\s*<(?:!doctype\s+html|html|head|table|meta|\?xml)\b", re.IGNORECASE)


def file_kind(path: Path) -> Literal["workbook", "text"]:
    """Whether a list's file is a workbook or delimited text, told apart by content, not by name.

    Raises:
        ListError: It is empty, damaged, or something else that says so in its first bytes.
        OSError: It cannot be read.
    """
    with path.open("rb") as file:
        start = file.read(64)
        is_package = start.startswith(b"PK") and zipfile.is_zipfile(file)
    for signature, what in _SIGNATURES.items():
        if start.startswith(signature):
            raise ListError(f"{path.name} is {what}")
    if not start:
        raise ListError(f"{path.name} is empty")
    if _MARKUP.match(start):
        raise ListError(f"{path.name} is a web page, whatever its name says: open it and save it as .xlsx or .csv")
    if start.startswith(b"PK\x03\x04") and not is_package:
        raise ListError(f"{path.name} is damaged: it ends too early")
    return "workbook" if is_package else "text"


def decoded(
    data: bytes, name: str, encoding: str | None = None, likely: Likely = lambda _: []
) -> tuple[str, str, bytes, list[str]]:
    """The text, its encoding, its byte-order mark, and what a person should know of it.

    Args:
        data: The file.
        name: Its name, for messages.
        encoding: What a person says it is; the mark at the file's start wins.
        likely: What else it may be, for the message.

    Raises:
        ListError: It is no text, not in the encoding that is named, or in one that a person has to name.
    """
    bom, marked = next(((bom, named) for bom, named in _BOMS if data.startswith(bom)), (b"", ""))
    if not marked and not encoding and b"\0" in data[:2]:
        marked = "utf-16-be" if data[0] == 0 else "utf-16-le"
    body = data[len(bom) :]
    if marked or encoding:
        return _as_named(body, marked or str(encoding), name), marked or str(encoding), bom, []
    text = _tried(body, "utf-8")
    if text is not None:
        return text, "utf-8", bom, []
    text = _tried(body, USUAL)
    if text is not None and {sign for sign in text if sign > "\x7f"} <= _USUAL_SIGNS:
        words = _words(text)
        note = f"read as Western text ({USUAL}): {words}; where that is wrong, say --encoding"
        return text, USUAL, bom, [note] if words else []
    readings = _readings(body, likely(body)) if re.search(rb"[A-Za-z]{2}", body) else []  # our headings are English
    if not readings:
        raise ListError(
            f"{name} is not a list: {_why_no_text(body) or 'neither a workbook nor text in a common encoding'}"
        )
    raise ListError(f"{name} does not say its encoding: {'; '.join(readings)}. Name it with --encoding")


def _as_named(body: bytes, encoding: str, name: str) -> str:
    try:
        codecs.lookup(encoding)
    except LookupError:
        raise ListError(f"{name}: no encoding is called {encoding}, such as utf-8, cp1252 or mac_roman") from None
    text = _tried(body, encoding)
    if text is None:
        raise ListError(f"{name} is not a list: {_why_no_text(body, encoding) or f'it is not text in {encoding}'}")
    return text


def _why_no_text(body: bytes, encoding: str = "utf-8") -> str:
    """Where a control character makes no list of what is text else; empty where something else does."""
    text = _unpacked(body, encoding)
    found = _NO_TEXT.search(text) if text else None
    if not text or not found or len(_NO_TEXT.findall(text)) > MOST_CONTROLS:
        return ""
    line = len(re.findall(r"\r\n|\n|\r", text[: found.start()])) + 1
    return f"line {line:,} holds the control character U+{ord(found[0]):04X}: take it out"


def _tried(body: bytes, encoding: str) -> str | None:
    """The text, where the bytes are text in that encoding."""
    text = _unpacked(body, encoding)
    return None if text is None or _NO_TEXT.search(text) else text


def _unpacked(body: bytes, encoding: str) -> str | None:
    """The text up to its end mark, control characters and all; None where the bytes are none in that encoding."""
    try:
        return _FILE_END.sub("", body.decode(encoding))
    except (UnicodeDecodeError, LookupError):  # LookupError: a codec that makes no text of bytes
        return None


def _readings(body: bytes, likely: list[str]) -> list[str]:
    """How the words look in the encodings that are likely, each look once."""
    looks: dict[str, str] = {}
    for encoding in (USUAL, *likely, "mac_roman", "iso8859_2"):
        text = _tried(body, encoding)
        if text is not None and not _CONTROLS.search(text) and (words := _words(text)):
            looks.setdefault(words, encoding)
    return [f"{words} in {encoding}" for words, encoding in looks.items()][:MOST_READINGS]


def _words(text: str) -> str:
    """The first words with a letter beyond ASCII."""
    found = list(dict.fromkeys(_WORD.findall(text)))[:MOST_READINGS]
    return ", ".join(f'"{word[:SHOWN]}"' for word in found)


def _csv_records(text: str, delimiter: str) -> Iterator[Record]:
    """Rows numbered as a spreadsheet numbers them: a line break inside quotes does not begin a row."""
    number = 0
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    try:
        for number, cells in enumerate(reader, 1):
            yield number, list(cells)
    except csv.Error as error:
        raise ListError(f"row {number + 1} cannot be read ({error}): look at its quotation marks") from error


def _restored(records: list[Record]) -> list[Record]:
    """The records as they were before their refused rows were written; those of any other list as they stand."""
    place, _ = heading_row(records)
    if place < 0 or not any(str(cell).strip().casefold() == REASON.casefold() for cell in records[place][1]):
        return records
    return [(number, [restored(cell) for cell in cells if isinstance(cell, str)]) for number, cells in records]


def _best_delimiter(text: str, name: str) -> str:
    """The delimiter under which the heading row holds the most headings we know."""
    best, fault, most = "", None, 0
    for delimiter in DELIMITERS:
        try:
            _, count = heading_row(_csv_records(text, delimiter))
        except ListError as error:
            fault = fault or error
            continue
        if count > most:
            best, most = delimiter, count
    if not best and fault:
        raise ListError(f"{name}: {fault}")
    return best or ","


def read_delimited(
    path: Path, *, decimal: Decimal | None = None, encoding: str | None = None, likely: Likely = lambda _: []
) -> ListTable:
    """The list in a CSV or other delimited text.

    Args:
        path: The file.
        decimal: The list's decimal mark, where a person names it.
        encoding: The encoding, where a person names it.
        likely: What else the encoding may be, for the message.

    Raises:
        ListError: It is no text, its encoding is not certain, or there is no list in it.
        OSError: It cannot be read.
    """
    text, encoding, bom, notes = decoded(path.read_bytes(), path.name, encoding, likely)
    line_end = next(iter(re.findall(r"\r\n|\n|\r", text)), "\r\n")
    named = re.match(r"sep=(.)(?:\r\n|\n|\r)", text, re.IGNORECASE)
    if named:
        text = text[named.end() :]
    delimiter = named[1] if named else _best_delimiter(text, path.name)
    source = f"{path.name}, {DELIMITERS.get(delimiter, delimiter)}-separated"
    suffix = path.suffix if path.suffix.lower() in {".csv", ".tsv", ".tab", ".txt"} else ".csv"
    form = Form(suffix, "", delimiter, encoding, bom, line_end, bool(named))
    try:
        table = list_table(_restored(list(_csv_records(text, delimiter))), source, form, decimal)
    except ListError as error:
        said = str(error)
        raise ListError(said if said.startswith(path.name) else f"{path.name}: {said}") from error
    table.notes[:0] = notes
    return table


def delimited_bytes(rows: list[list[Value]], form: Form) -> bytes:
    """The cells as text in which none starts a formula in a spreadsheet program; read again they are as they stood."""
    out = io.StringIO(newline="")
    if form.names_delimiter:
        out.write(f"sep={form.delimiter}{form.line_end}")
    sparing = csv.writer(out, delimiter=form.delimiter, lineterminator=form.line_end)
    quoting = csv.writer(out, delimiter=form.delimiter, lineterminator=form.line_end, quoting=csv.QUOTE_ALL)
    for given in rows:
        cells = [defused(cell) if isinstance(cell, str) else cell for cell in given]
        # The sparing writer leaves a return bare where lines end otherwise, and a reader takes it for a line's end.
        breaks = any(isinstance(cell, str) and re.search(r"[\r\n]", cell) for cell in cells)
        (quoting if breaks else sparing).writerow(cells)
    return form.bom + out.getvalue().encode(form.encoding, "backslashreplace")
