"""Numbers that people type into a list, read as values: quantities with units, counts, money.

Nothing typed is ever evaluated. Text must be numbers and known unit words by the patterns below. Numbers and factors
stay exact fractions until the last step, so a result is the float nearest to the true value.
"""

from __future__ import annotations

import datetime
import math
import re
from fractions import Fraction
from functools import lru_cache
from typing import Literal

Decimal = Literal[".", ","]
Value = str | float | datetime.date | datetime.time | datetime.timedelta | None

LONGEST_TEXT = 80  # characters of anything but free text; keeps every pattern below quick and every message short

# Unit word -> the unit's name. Signs and abbreviations of the trade: common practice, no source. A bare "ton" is left
# out on purpose: short, long and metric tons differ by 12 percent. "lbf" is marked on chains and jacks, and is a weight
# there. "M" for a thousand (12M) is left out: others read it as a million, or meters.
UNIT_WORDS: dict[str, str] = {
    **dict.fromkeys(("lb", "lbs", "pound", "pounds", "#", "lbm", "lbf"), "lb"),
    **dict.fromkeys(("kg", "kgs", "kilo", "kilos", "kilogram", "kilograms", "kilogramme", "kilogrammes"), "kg"),
    **dict.fromkeys(("short ton", "short tons", "us ton", "us tons"), "short_ton"),
    **dict.fromkeys(("t", "tonne", "tonnes", "metric ton", "metric tons"), "metric_ton"),
    **dict.fromkeys(("in", "ins", "inch", "inches", '"', "''"), "in"),
    **dict.fromkeys(("ft", "foot", "feet", "'"), "ft"),
    **dict.fromkeys(("mm", "millimeter", "millimeters", "millimetre", "millimetres"), "mm"),
    **dict.fromkeys(("cm", "centimeter", "centimeters", "centimetre", "centimetres"), "cm"),
    **dict.fromkeys(("m", "meter", "meters", "metre", "metres"), "m"),
    **dict.fromkeys(("psi", "lb/in\u00b2", "lbs/in\u00b2"), "psi"),
    "kpa": "kPa",
    "bar": "bar",
    **dict.fromkeys(("%", "percent", "pct"), "percent"),
}

# What a unit measures, and how many kilograms, meters, kilopascals or ones it is. All exact: NIST SP 811 (2008), B.8;
# psi is a pound by standard gravity, 9.80665 m/s2, on a square inch. A library of units is not asked, for LibreOffice's
# own Python has none: the tests hold the table against one.
_POUND, _INCH = Fraction("0.45359237"), Fraction("0.0254")
SIZES: dict[str, tuple[str, Fraction]] = {
    "lb": ("weight", _POUND),
    "kg": ("weight", Fraction(1)),
    "short_ton": ("weight", 2000 * _POUND),
    "metric_ton": ("weight", Fraction(1000)),
    "in": ("length", _INCH),
    "ft": ("length", 12 * _INCH),
    "mm": ("length", Fraction(1, 1000)),
    "cm": ("length", Fraction(1, 100)),
    "m": ("length", Fraction(1)),
    "psi": ("pressure", _POUND * Fraction("9.80665") / _INCH**2 / 1000),
    "kPa": ("pressure", Fraction(1)),
    "bar": ("pressure", Fraction(100)),
    "percent": ("number", Fraction(1, 100)),
    "": ("number", Fraction(1)),
}

# The units a column may have, and what its cells are asked to hold.
EXPECTED: dict[str, str] = {
    "lb": "a weight in lb",
    "kg": "a weight in kg",
    "in": "a length in in",
    "ft": "a length in ft",
    "mm": "a length in mm",
    "m": "a length in m",
    "psi": "a pressure in psi",
    "": "a number",
}

LOOKALIKES = str.maketrans(
    {
        **dict.fromkeys("\u2212\u2010\u2011\u2012\u2013\u2014\u2015", "-"),
        **dict.fromkeys("\u2018\u2019\u201b\u2032\u02b9\u02bc\u00b4`", "'"),
        **dict.fromkeys("\u201c\u201d\u201e\u201f\u2033\u02ba", '"'),
        "\u2044": "/",
        "\u00bd": " 1/2",
        "\u00bc": " 1/4",
        "\u00be": " 3/4",
        "\u215b": " 1/8",
        "\u215c": " 3/8",
        "\u215d": " 5/8",
        "\u215e": " 7/8",
    }
)

_NUMBER = r"(?:[0-9]{1,3}(?: [0-9]{3})+[0-9.,]*|[0-9][0-9.,]*|[.,][0-9]+)(?:e[+-]?[0-9]{1,2})?"
_FRACTION = r"(?:[0-9]+[ -])?[0-9]{1,2}/[0-9]{1,2}"
_SINGLE = re.compile(
    rf"(?P<sign>[+-]?) ?(?:(?P<fraction>{_FRACTION})|(?P<number>{_NUMBER})(?P<thousand> ?k(?![a-z]))?)"
    r" ?(?P<unit>[^0-9\s+-].*)?"
)
_FEET_INCHES = re.compile(
    rf"(?P<sign>[+-]?) ?(?P<feet>[0-9]+) ?(?:'|(?:ft|foot|feet)\.?) ?[,-]? ?"
    rf"(?:(?P<fraction>{_FRACTION})|(?P<number>{_NUMBER})) ?(?:\"|''|(?:in|ins|inch|inches)\.?)?"
)
_RANGE = re.compile(r"[0-9][^0-9]*(?:-|/| to | or )[^0-9]*[0-9]")


def _number_pattern(group: str, mark: str) -> re.Pattern[str]:
    """A number whose thousands, if parted at all, are parted in threes, and never behind a leading zero."""
    whole = rf"[0-9]+|[1-9][0-9]{{0,2}}(?:{group}[0-9]{{3}})+|[1-9][0-9]{{0,2}}(?: [0-9]{{3}})+"
    return re.compile(rf"(?:(?:{whole})(?:{mark}[0-9]*)?|{mark}[0-9]+)(?:e[+-]?[0-9]+)?")


_BY_DECIMAL = {".": _number_pattern(",", r"\."), ",": _number_pattern(r"\.", ",")}
_POINT_OR_GROUP = re.compile(r"[1-9][0-9]{0,2}\.[0-9]{3}")

_CURRENCY = r"(?:us ?\$|usd|\$)"
_MONEY = re.compile(rf"(?P<sign>-?) ?{_CURRENCY}? ?(?P<number>[-0-9., ek]*[0-9.k]) ?(?:{_CURRENCY}|dollars)?")


class QuantityError(ValueError):
    """A cell does not hold what its column asks for. The message is one line: the text, why, and what is expected."""

    def __init__(self, value: Value, why: str, expected: str) -> None:
        text = " ".join(str(value).split())
        shown = text if len(text) <= LONGEST_TEXT else text[: LONGEST_TEXT - 3] + "..."
        super().__init__(f'"{shown}" {why}; {expected} is expected')


def is_blank(value: Value) -> bool:
    """True for an empty cell and for one that holds nothing but white space."""
    return value is None or (isinstance(value, str) and not value.strip())


def tidy(value: Value, expected: str) -> str:
    """Text in lower case with single plain spaces and typewriter quotes, short enough to be one value."""
    if not isinstance(value, str) or is_blank(value):
        raise QuantityError(value, "is blank" if is_blank(value) else f"is a {type(value).__name__}", expected)
    if len(value) > LONGEST_TEXT:
        raise QuantityError(value, "is too long", expected)
    # str.split knows every Unicode space: thin and no-break ones part thousands, and stand before units.
    return " ".join(value.translate(LOOKALIKES).lower().split())


class UnitError(ValueError):
    """Two units measure different things."""


def conversion(unit: str, to: str) -> Fraction:
    """Exact number of `to` in one `unit`, both names in `SIZES`; "" is a plain number.

    Raises:
        UnitError: The two measure different things.

    >>> conversion("ft", "in")
    Fraction(12, 1)
    """
    (kind, size), (asked, one) = SIZES[unit], SIZES[to]
    if kind != asked:
        raise UnitError(f"{unit or 'a plain number'} is a {kind}, {to or 'a plain number'} a {asked}")
    return size / one


def unit_named(word: str) -> str | None:
    """Our name of the unit that a person calls `word`, or None.

    >>> unit_named("Lbs."), unit_named("ton")
    ('lb', None)
    """
    return UNIT_WORDS.get(" ".join(word.translate(LOOKALIKES).lower().replace(".", " ").split()))


def _exact(digits: str, decimal: Decimal | None, value: Value, expected: str) -> Fraction:
    """The number in `digits`, its thousands and decimal marks read by `decimal`, or by US custom where that is sure."""
    if decimal is None and _POINT_OR_GROUP.fullmatch(digits):
        raise QuantityError(value, "may be a decimal or a thousands point (say which with --decimal)", expected)
    mark = decimal or "."
    if not _BY_DECIMAL[mark].fullmatch(digits):
        other = "," if mark == "." else "."
        if _BY_DECIMAL[other].fullmatch(digits):
            hint = f"say so with --decimal {other}" if decimal is None else f"--decimal {decimal} was given"
            raise QuantityError(value, f'seems to have a decimal "{other}" ({hint})', expected)
        raise QuantityError(value, "has misplaced commas or points", expected)
    group = "," if mark == "." else "."
    return Fraction(digits.replace(" ", "").replace(group, "").replace(mark, ".").replace(".e", "e").rstrip("."))


def _proper_fraction(text: str, value: Value, expected: str) -> Fraction:
    """6 1/2, 6-1/2 or 1/2."""
    *whole, part = re.split("[ -]", text)
    numerator, denominator = map(int, part.split("/"))
    if not 0 < numerator < denominator:
        raise QuantityError(value, "has a fraction that is not below one", expected)
    return (int(whole[0]) if whole else 0) + Fraction(numerator, denominator)


def _magnitude(match: re.Match[str], decimal: Decimal | None, value: Value, expected: str) -> Fraction:
    if match["fraction"]:
        return _proper_fraction(match["fraction"], value, expected)
    return _exact(match["number"], decimal, value, expected)


def _finite(number: Fraction, value: Value, expected: str) -> float:
    try:
        return float(number)
    except OverflowError:
        raise QuantityError(value, "is too large", expected) from None


def _from_number(value: float, expected: str) -> Fraction:
    if not math.isfinite(value):
        raise QuantityError(value, "is not a number", expected)
    return Fraction(value)


@lru_cache(maxsize=16_384)  # the same few ratings stand in a list's rows over and over
def _typed(value: Value, decimal: Decimal | None, expected: str) -> tuple[Fraction, str | None]:
    """The number, and the name of the unit beside it, if any."""
    text = tidy(value, expected)
    if match := _FEET_INCHES.fullmatch(text):
        inches = _magnitude(match, decimal, value, expected)
        if inches >= 12 or re.match("0[0-9]{2}", match["number"] or ""):
            raise QuantityError(value, "has 12 inches or more beside its feet", expected)
        feet = int(match["feet"]) + inches / 12
        return (-feet if match["sign"] == "-" else feet), "ft"
    match = _SINGLE.fullmatch(text)
    if match is None or (match["unit"] and not unit_named(match["unit"])):
        if _RANGE.search(text):
            raise QuantityError(value, "may be a range, or more than one value", expected)
        if match is None:
            raise QuantityError(value, "is not a number", expected)
        unsure = " (write short ton or tonne)" if match["unit"].rstrip(".") in {"ton", "tons"} else ""
        raise QuantityError(value, f'has a unit that is not known, "{match["unit"]}"{unsure}', expected)
    number = _magnitude(match, decimal, value, expected) * (1000 if match["thousand"] else 1)
    return (-number if match["sign"] == "-" else number), match["unit"] and unit_named(match["unit"])


def read_quantity(
    value: Value,
    unit: str,
    *,
    decimal: Decimal | None = None,
    bare_unit: str | None = None,
    expected: str | None = None,
) -> float:
    r"""The quantity in a cell, in its column's unit.

    Args:
        value: A number, or text such as `3,175 kg`, `7'-6"`, `25 ft 6 in`, `6 1/2"`, `12K`, `7000#` or `15%`.
        unit: The column's unit, a key of `EXPECTED` ("" for a plain number).
        decimal: The list's decimal mark. None: US custom, and whatever could also be meant otherwise is refused.
        bare_unit: Unit of a number that names none, if not the column's (the list's heading said so).
        expected: What the message asks for, if not the column unit's usual words.

    Raises:
        QuantityError: Not one finite number with a unit of the column's kind, or its decimal mark is not certain.

    >>> read_quantity("3,175 kg", "lb"), read_quantity("7'-6\"", "in"), read_quantity("12K", "lb")
    (6999.676824369863, 90.0, 12000.0)
    """
    asked = expected or EXPECTED[unit]
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        number, stated = _from_number(value, asked), None
    else:
        number, stated = _typed(value, decimal, asked)
    try:
        return _finite(number * conversion(stated or bare_unit or unit, unit), value, asked)
    except UnitError:
        raise QuantityError(value, f"is in {stated or bare_unit or 'no unit'}", asked) from None


def read_whole(value: Value, *, decimal: Decimal | None = None) -> int:
    """A whole number, such as a count or a year.

    Raises:
        QuantityError: No number, a fraction, or a number with a unit.

    >>> read_whole("2"), read_whole(2024.0)
    (2, 2024)
    """
    expected = "a whole number"
    number = read_quantity(value, "", decimal=decimal, expected=expected)
    if not number.is_integer() or (isinstance(value, str) and unit_named(value.strip("0123456789.,+- ")) == "percent"):
        raise QuantityError(value, "is not whole", expected)
    return int(number)


def read_money(value: Value, *, decimal: Decimal | None = None) -> float:
    """A price in dollars.

    Raises:
        QuantityError: No number, or another currency.

    >>> read_money("$12,500.00"), read_money("12.5K USD")
    (12500.0, 12500.0)
    """
    expected = "a price in dollars"
    if not isinstance(value, str) or is_blank(value):
        return read_quantity(value, "", expected=expected)
    match = _MONEY.fullmatch(tidy(value, expected))
    if match is None:
        raise QuantityError(value, "is not a number of dollars", expected)
    return read_quantity(match["sign"] + match["number"], "", decimal=decimal, expected=expected)
