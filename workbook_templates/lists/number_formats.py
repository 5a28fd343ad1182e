"""What a cell's number format adds to its number: leading zeros, a unit, a currency. A person reads both as one."""

from __future__ import annotations

import re
from functools import lru_cache

_SIGNS = re.compile(r'"([^"]*)"|\\(.)|_.|\*.|\[\$([^\]-]*)[^\]]*\]|\[[^\]]*\]')
"""What is no digit: quoted text, a quoted character, room, a filling, a currency, a condition."""
_DIGITS = re.compile(r"[#0?][#0?,. /]*")
_MEANS = re.compile(r"[^\W\d_]|['\"#$\u20ac\u00a3\u00a5\u00b0%]")
"""What of a format's own text is more than decoration: letters, units and currencies."""
_LITERAL = "\ue000"
"""Stands before each character that a format quotes, so that it is not taken for a placeholder."""


def shown(value: float, number_format: str) -> str | float:
    """The number, or the text that a person reads where the format has digits or words of its own.

    >>> shown(1107, "00000"), shown(14, '0"K lb"'), shown(12000, "#,##0 [$\u20ac-407]"), shown(0.12, "0.0%")
    ('01107', '14K lb', '12000 \u20ac', 0.12)
    """
    if isinstance(value, bool) or number_format in ("General", "0", "0.00", "#,##0", "#,##0.00"):
        return value
    sections = _sections(number_format)
    section = sections[1] if value < 0 and len(sections) > 1 else sections[0]
    before, after, least, thousands = _parts(section)
    if not before and not after and least < 2:
        return value
    amount = value / 1000**thousands if before or after else value
    if value < 0 and len(sections) > 1:
        amount = abs(amount)
    whole = amount == int(amount)
    digits = f"{int(amount):0{least}d}" if whole else f"{amount:.15g}"
    return f"{before}{digits}{after}"


@lru_cache(maxsize=1024)
def _sections(number_format: str) -> tuple[str, ...]:
    """The format's parts for numbers above and below 0, each quoted character marked."""
    plain = _SIGNS.sub(lambda found: _marked("".join(filter(None, found.groups()))), number_format)
    return tuple(re.split(rf"(?<!{_LITERAL});", plain))


def _marked(text: str) -> str:
    return "".join(_LITERAL + sign for sign in text)


@lru_cache(maxsize=1024)
def _parts(section: str) -> tuple[str, str, int, int]:
    """The text before and behind the digits, how many digits are the fewest, and by how many thousands it is scaled."""
    section = section.replace("General", "0")
    placed = re.search(rf"(?<!{_LITERAL}){_DIGITS.pattern}", section)
    if placed is None:
        return "", "", 1, 0
    pattern = placed[0].rstrip(" ")
    between = placed[0][len(pattern) :]
    before, after = section[: placed.start()], between + section[placed.end() :]
    if re.search(rf"(?<!{_LITERAL})[%E]", after):
        return "", "", 1, 0  # a share, or a power of ten: the number is what is meant
    whole = pattern.partition(".")[0]
    texts = [text.replace(_LITERAL, "") for text in (before, after)]
    texts = [text if _MEANS.search(text) else "" for text in texts]
    return texts[0].lstrip(), texts[1].rstrip(), whole.count("0"), len(pattern) - len(pattern.rstrip(","))
