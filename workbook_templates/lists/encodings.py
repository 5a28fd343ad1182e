"""The text of a delimited file: its encoding is certain, or usual and said so, or asked for. It is never guessed."""

from __future__ import annotations

import codecs
import re

from charset_normalizer import from_bytes

from tarelot.workbook_templates.lists.rows import ListError

_BOMS = ((codecs.BOM_UTF8, "utf-8"), (codecs.BOM_UTF16_LE, "utf-16-le"), (codecs.BOM_UTF16_BE, "utf-16-be"))
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
SHOWN = 24
"""Characters of a word that are shown."""


def decoded(data: bytes, name: str, encoding: str | None = None) -> tuple[str, str, bytes, list[str]]:
    """The text, its encoding, its byte-order mark, and what a person should know of it.

    Args:
        data: The file.
        name: Its name, for messages.
        encoding: What a person says it is; the mark at the file's start wins.

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
        return text, USUAL, bom, [f"read as {USUAL}: {words}; where that is wrong, say --encoding"] if words else []
    readings = _readings(body) if re.search(rb"[A-Za-z]{2}", body) else []  # our headings are English
    if not readings:
        raise ListError(f"{name} is not a list: neither a workbook nor text in a common encoding")
    raise ListError(f"{name} does not say its encoding: {'; '.join(readings)}. Name it with --encoding")


def _as_named(body: bytes, encoding: str, name: str) -> str:
    try:
        codecs.lookup(encoding)
    except LookupError:
        raise ListError(f"{name}: no encoding is called {encoding}, such as utf-8, cp1252 or mac_roman") from None
    text = _tried(body, encoding)
    if text is None:
        raise ListError(f"{name} is not a list: it is not text in {encoding}")
    return text


def _tried(body: bytes, encoding: str) -> str | None:
    """The text, where the bytes are text in that encoding."""
    try:
        text = body.decode(encoding)
    except (UnicodeDecodeError, LookupError):  # LookupError: a codec that makes no text of bytes
        return None
    return None if _NO_TEXT.search(text) else text


def _readings(body: bytes) -> list[str]:
    """How the words look in the encodings that are likely, each look once."""
    likely = [USUAL, *(match.encoding for match in from_bytes(body)), "mac_roman", "iso8859_2"]
    looks: dict[str, str] = {}
    for encoding in likely:
        text = _tried(body, encoding)
        if text is not None and not _CONTROLS.search(text) and (words := _words(text)):
            looks.setdefault(words, encoding)
    return [f"{words} in {encoding}" for words, encoding in looks.items()][:MOST_READINGS]


def _words(text: str) -> str:
    """The first words with a letter beyond ASCII."""
    found = list(dict.fromkeys(_WORD.findall(text)))[:MOST_READINGS]
    return ", ".join(f'"{word[:SHOWN]}"' for word in found)
