"""How many of a thing, in words."""

from __future__ import annotations


def so_many(count: int, thing: str, several: str = "") -> str:
    """The count and what is counted: one, or several of it.

    >>> so_many(1, "trailer"), so_many(2_000, "trailer"), so_many(0, "entry", "entries")
    ('1 trailer', '2,000 trailers', '0 entries')
    """
    return f"{count:,} {thing if count == 1 else several or f'{thing}s'}"
