"""The options of a list, as the Lot names them: each as often as it is fitted."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Sequence

from tarelot.calc.ratings import MOST_OPTIONS

_COUNTED = re.compile(r"(?P<name>.*\S)(?:\s+[x×]|\s*×)\s*(?P<times>[0-9]{1,2})", re.IGNORECASE)
_COUNTED_BEFORE = re.compile(r"(?P<times>[0-9]{1,2})\s*[x×]\s+(?P<name>\S.*)", re.IGNORECASE)
_COUNTED_SURELY = re.compile(r"(?P<name>.*[^\s0-9])\s+x(?P<times>[0-9]{1,2})", re.IGNORECASE)
"""So written it is a number of options, whatever the Options sheet holds."""


def listed_names(options: Iterable[Sequence[object]]) -> set[str]:
    """The names on the Options sheet, whose rows these are, as two are compared."""
    return {str(name).strip().casefold() for name, *_ in options if name is not None}


def named_each_time(text: str, listed: Collection[str]) -> str:
    """The options with each that is fitted several times named so often; as they stand where that would be too many.

    What stands so on the Options sheet, as a set of four may, is that option. Of one that is not there with its number
    taken off either only ``NAME x4`` is read so; ``4 x 4 deck`` or ``Deck 8 x 10`` may be all name.

    Args:
        text: Options with ``;`` between them.
        listed: The names on the Options sheet, as :func:`listed_names` has them.

    >>> named_each_time("D-ring x3; Spare tire", {"d-ring", "spare tire"})
    'D-ring; D-ring; D-ring; Spare tire'
    >>> named_each_time("; 2 x D-ring; ", {"d-ring"}), named_each_time("D-ring x2", {"d-ring", "d-ring x2"})
    ('D-ring; D-ring', 'D-ring x2')
    >>> named_each_time("Winch x2", {"d-ring"}), named_each_time("D-ring x13", {"d-ring"})
    ('Winch; Winch', 'D-ring x13')
    >>> named_each_time("4 x 4 deck", []), named_each_time("Deck 8 x 10", []), named_each_time("Deck 8 x10", [])
    ('4 x 4 deck', 'Deck 8 x 10', 'Deck 8 x10')
    """
    pieces = [piece for piece in map(str.strip, text.split(";")) if piece]
    found = [name for piece in pieces for name in _each(piece, listed)]
    return "; ".join(found) if found != pieces and len(found) <= MOST_OPTIONS else text


def _each(piece: str, listed: Collection[str]) -> list[str]:
    """One of the options, as often as it is fitted."""
    match = _COUNTED.fullmatch(piece) or _COUNTED_BEFORE.fullmatch(piece)
    if not match or match["name"].casefold() not in listed:
        match = _COUNTED_SURELY.fullmatch(piece)
    if not match or piece.casefold() in listed:
        return [piece]
    return [match["name"]] * int(match["times"]) or [piece]


def not_listed(texts: Iterable[str], listed: Collection[str]) -> list[str]:
    """The options named that the Options sheet does not have, each once."""
    names = (part.strip() for text in texts for part in text.split(";"))
    return list(dict.fromkeys(name for name in names if name and name.casefold() not in listed))
