"""What the functions of texts do with plain texts and whole numbers.

Each raises a ``CellError`` where a text has no such part.
"""

from __future__ import annotations

from . import values
from .boundary import CellError

LONGEST = 32_767
"""Characters that a cell can hold."""


def middle(text: str, start: int, length: int) -> str:
    """So many characters from a place on, which is counted from 1."""
    if start < 1 or length < 0:
        raise CellError(values.WRONG_KIND, "a text has no such part")
    return text[start - 1 : start - 1 + length]


def left(text: str, length: int = 1) -> str:
    """The first characters."""
    return middle(text, 1, length)


def right(text: str, length: int = 1) -> str:
    """The last characters."""
    return middle(text, max(0, len(text) - length) + 1, length)


def find(what: str, text: str, start: int = 1) -> float:
    """The place of a text in another one, looked for from a place on; case matters."""
    place = text.find(what, start - 1)
    if place < 0 or not 1 <= start <= len(text):
        raise CellError(values.WRONG_KIND, f"{what!r} is not in {text!r}")
    return float(place + 1)


def search(what: str, text: str) -> float:
    """The same for a text with wild letters; case does not matter."""
    begins = values.pattern(what).match
    for place in range(len(text)):
        if begins(text, place):
            return float(place + 1)
    raise CellError(values.WRONG_KIND, f"{what!r} is not in {text!r}")


def substitute(text: str, old: str, new: str, which: int | None = None) -> str:
    """A text with another one in place of every occurrence of a part, or of one occurrence counted from 1."""
    if which is not None and which < 1:
        raise CellError(values.WRONG_KIND, f"there is no occurrence {which}")
    if not old:
        return text
    if which is None:
        return text.replace(old, new)
    parts = text.split(old)
    if which >= len(parts):
        return text
    return old.join(parts[:which]) + new + old.join(parts[which:])


def repeated(text: str, times: int) -> str:
    """A text so many times over."""
    if times < 0 or times * len(text) > LONGEST:
        raise CellError(values.WRONG_KIND, f"no cell holds a text {times} times over")
    return text * times


def trim(text: str) -> str:
    """A text without outer spaces and with single inner ones."""
    return " ".join(filter(None, text.split(" ")))
