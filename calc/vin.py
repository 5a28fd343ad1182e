"""Check digit and model year of a vehicle identification number, 49 CFR 565.15."""

from __future__ import annotations

from .errors import NotInTable
from .glossary import LATEST_YEAR, VIN
from .spec import trim

LENGTH, LAST_DIGITS = 17, 4
LETTERS = "0123456789iABCDEFGHiiJKLMNiPiRiiSTUVWXYZ"
"""Position in this text modulo 10 is a character's value (Table III); ``i`` holds the places no character takes."""
WEIGHTS = (8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)
"""Weight of each position (Table IV)."""
CHECK_DIGITS = "0123456789X"
"""The check digit by remainder (Table V)."""
YEARS = "ABCDEFGHJKLMNPRSTVWXY123456789"
"""Letters of the model years 1980 to 2009, used again every 30 years (Table VII)."""
FIRST_YEAR, CYCLE = 1980, 30
USUAL_LATEST_YEAR = 2039


def vin_check(vin: str) -> str:
    """``ok``, or what is wrong with a trailer's VIN in words: length, a character never used, check digit, end.

    The sum of value times weight over the 17 positions, modulo 11, is the check digit, 10 being X. The last
    four characters are digits on anything but a car or light truck, where five are.

    Args:
        vin: 17 characters, any case, outer spaces ignored.

    Raises:
        WrongKind: Not text.

    Source: 49 CFR 565.15(c), Tables III to V; (d), last four.

    >>> vin_check("1M8GDM9AXKP042788"), vin_check("1M8GDM9AXKP04278A")
    ('ok', 'check digit is X, expected 7')
    """
    VIN.check(vin)
    letters = _characters(vin)
    if len(letters) != LENGTH:
        return f"has {len(letters)} characters, not {LENGTH}"
    places = [LETTERS.find(letter) for letter in letters]
    if -1 in places:
        return "has a character that no VIN uses"
    remainder = sum(weight * (place % 10) for weight, place in zip(WEIGHTS, places, strict=True)) % 11
    expected = CHECK_DIGITS[remainder]
    if letters[8] != expected:
        return f"check digit is {letters[8]}, expected {expected}"
    return "ok" if letters[-LAST_DIGITS:].isdecimal() else f"does not end in {LAST_DIGITS} digits"


def vin_year(vin: str, latest_year: float | None = None) -> float:
    """Model year by position 10: the latest year of its 30-year cycle that is not after ``latest_year``.

    A trailer's VIN does not tell the cycle, so that the answer is one of two or more.

    Args:
        vin: 17 characters, any case, outer spaces ignored.
        latest_year: Latest model year that can be meant, whole, 1980 to 2200; 2039 where absent.

    Raises:
        WrongKind: Not text.
        NotInTable: Not 17 characters, a letter that stands for no year (I, O, Q, U, Z, 0), or a year before 1980.
        OutOfRange: A year outside its range.

    Source: 49 CFR 565.15(d)(1), Table VII.

    >>> vin_year("1M8GDM9AXKP042788", 2026)
    2019.0
    """
    VIN.check(vin)
    latest = USUAL_LATEST_YEAR if latest_year is None else latest_year
    LATEST_YEAR.check(latest)
    letters = _characters(vin)
    if len(letters) != LENGTH or letters[9] not in YEARS:
        message = f"vin is {vin!r}: position 10 of 17 must be a letter or digit that stands for a model year"
        raise NotInTable(message)
    first = FIRST_YEAR + YEARS.index(letters[9])
    if latest < first:
        message = f"vin is {vin!r}: its letter stands for {first} and later, the latest year allowed is {latest:g}"
        raise NotInTable(message)
    return float(first + CYCLE * ((latest - first) // CYCLE))


def _characters(vin: str) -> str:
    """The characters without outer spaces, in upper case; a foreign letter stays one character, as it is.

    >>> _characters(" 1m8gß ")
    '1M8Gß'
    """
    return "".join(letter.upper() if letter.isascii() else letter for letter in trim(vin))


def _check_sum_formula() -> str:
    """The check sum as a spreadsheet expression over ``vin``, written out position by position."""
    terms = (
        f'{weight}*MOD(FIND(MID(UPPER(TRIM(vin)),{place},1),"{LETTERS}")-1,10)'
        for place, weight in enumerate(WEIGHTS, 1)
    )
    return "+".join(terms)


# A character outside the table must be found at position 9 too, where the weight is 0: its term stays in the sum.
_EXPECTED = f'MID("{CHECK_DIGITS}",MOD({_check_sum_formula()},11)+1,1)'
_LETTER = "MID(UPPER(TRIM(vin)),9,1)"
# All 17 characters have been found by then: digits and letters of the table alone, and digits come before letters.
_LAST = ",".join(f'MID(TRIM(vin),{place},1)<"A"' for place in range(LENGTH - LAST_DIGITS + 1, LENGTH + 1))
_OK = f'IF(AND({_LAST}),"ok","does not end in {LAST_DIGITS} digits")'
# What the sum is goes into the formula once: words that expect the very letter that stands there become ok.
VIN_CHECK_FORMULA = (
    f'IF(LEN(TRIM(vin))<>{LENGTH},"has "&LEN(TRIM(vin))&" characters, not {LENGTH}",'
    f'IFERROR(SUBSTITUTE("check digit is "&{_LETTER}&", expected "&{_EXPECTED},'
    f'"check digit is "&{_LETTER}&", expected "&{_LETTER},{_OK}),'
    '"has a character that no VIN uses"))'
)
_LATEST = f"IF(STATED(latest_year),latest_year,{USUAL_LATEST_YEAR})"
_FIRST = f'({FIRST_YEAR - 1}+FIND(MID(UPPER(TRIM(vin)),10,1),"{YEARS}"))'
VIN_YEAR_FORMULA = (
    f"IF(LEN(TRIM(vin))<>{LENGTH},#N/A,IFERROR(IF({_LATEST}<{_FIRST},#N/A,"
    f"{_FIRST}+{CYCLE}*INT(({_LATEST}-{_FIRST})/{CYCLE})),#N/A))"
)
