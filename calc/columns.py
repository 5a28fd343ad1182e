"""The letters of a sheet's columns."""

from __future__ import annotations

from functools import lru_cache

LAST_COLUMN = 16_384
"""The last column of a sheet, XFD ("Excel specifications and limits")."""


@lru_cache(maxsize=LAST_COLUMN)
def column_number(letters: bytes) -> int:
    """The number of a column, 1 for ``A``.

    >>> column_number(b"AA")
    27
    """
    number = 0
    for letter in letters:
        number = number * 26 + letter - 64
    return number


@lru_cache(maxsize=LAST_COLUMN)
def column_letters(number: int) -> str:
    """The letters of a column, ``A`` for 1.

    >>> column_letters(16384)
    'XFD'
    """
    letters = ""
    while number:
        number, digit = divmod(number - 1, 26)
        letters = chr(65 + digit) + letters
    return letters
