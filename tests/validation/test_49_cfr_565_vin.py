"""Check digit and model year of a VIN against 49 CFR 565.15 and against the library vininfo.

The figures were read in copies that quote the regulation's Tables III to V and its sample calculation.
"""

from __future__ import annotations

import random

import pytest
from vininfo import Vin

from tarelot.calc.errors import NotInTable
from tarelot.calc.vin import CHECK_DIGITS, LETTERS, WEIGHTS, vin_check, vin_year

USED = "ABCDEFGHJKLMNPRSTUVWXYZ0123456789"
TABLE_III = dict(
    zip("ABCDEFGHJKLMNPRSTUVWXYZ", (1, 2, 3, 4, 5, 6, 7, 8, 1, 2, 3, 4, 5, 7, 9, 2, 3, 4, 5, 6, 7, 8, 9), strict=True)
)
TABLE_IV = (8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)
TABLE_VII = {
    **{"A": 1980, "B": 1981, "C": 1982, "D": 1983, "E": 1984, "F": 1985, "G": 1986, "H": 1987, "J": 1988, "K": 1989},
    **{"L": 1990, "M": 1991, "N": 1992, "P": 1993, "R": 1994, "S": 1995, "T": 1996, "V": 1997, "W": 1998, "X": 1999},
    **{"Y": 2000, "1": 2001, "2": 2002, "3": 2003, "4": 2004, "5": 2005, "6": 2006, "7": 2007, "8": 2008, "9": 2009},
}


def random_vins(count: int, seed: str) -> list[str]:
    """VINs whose characters are drawn evenly from those in use, the last four from the digits."""
    chance = random.Random(seed)
    return ["".join(chance.choices(USED, k=13) + chance.choices("0123456789", k=4)) for _ in range(count)]


def with_check_digit(vin: str, digit: str) -> str:
    return vin[:8] + digit + vin[9:]


class TestTables:
    def test_values_of_letters(self) -> None:
        assert {letter: LETTERS.index(letter) % 10 for letter in TABLE_III} == TABLE_III
        assert [LETTERS.index(digit) % 10 for digit in "0123456789"] == list(range(10))

    def test_letters_never_used(self) -> None:
        assert not set("IOQ") & set(LETTERS)

    def test_weights(self) -> None:
        assert WEIGHTS == TABLE_IV


class TestSampleCalculation:
    """565.15: 1G4AH59H?5G118341, products 8 49 24 5 32 15 18 80 0 45 56 7 6 40 12 12 2, sum 411, check digit 4."""

    PRODUCTS = (8, 49, 24, 5, 32, 15, 18, 80, 0, 45, 56, 7, 6, 40, 12, 12, 2)

    def test_products(self) -> None:
        values = [LETTERS.index(letter) % 10 for letter in "1G4AH59H05G118341"]
        assert tuple(value * weight for value, weight in zip(values, WEIGHTS, strict=True)) == self.PRODUCTS
        assert sum(self.PRODUCTS) == 411 == 37 * 11 + 4

    def test_only_4_is_right(self) -> None:
        answers = {digit: vin_check(f"1G4AH59H{digit}5G118341") for digit in CHECK_DIGITS}
        assert [digit for digit, answer in answers.items() if answer == "ok"] == ["4"]


class TestAgainstVininfo:
    @pytest.mark.parametrize("vin", random_vins(300, "check digit"))
    def test_every_check_digit(self, vin: str) -> None:
        """Exactly one of the eleven is right, and it is the library's."""
        candidates = [with_check_digit(vin, digit) for digit in CHECK_DIGITS]
        library = [Vin(candidate).verify_checksum(check_year=False) for candidate in candidates]
        assert sum(library) == 1
        assert [vin_check(candidate) == "ok" for candidate in candidates] == library

    @pytest.mark.parametrize("vin", random_vins(200, "model year"))
    def test_model_year(self, vin: str) -> None:
        """The library lists the years that the letter can mean up to now; ours is one of the same cycle."""
        years = Vin(vin).years
        if not years:
            with pytest.raises(NotInTable):
                vin_year(vin)
            return
        assert [int(vin_year(vin, year)) for year in years] == years
        assert (vin_year(vin) - years[0]) % 30 == 0


class TestLastFour:
    """565.15(d), CFR of 2015: the last four characters are numeric on a trailer."""

    @pytest.mark.parametrize(("place", "numeric"), [(12, False), (13, True), (14, True), (15, True), (16, True)])
    def test_a_letter_among_them(self, place: int, numeric: bool) -> None:
        lettered = "1M8GDM9A0KP042788"[:place] + "A" + "1M8GDM9A0KP042788"[place + 1 :]
        answers = {vin_check(with_check_digit(lettered, digit)) for digit in CHECK_DIGITS}
        assert ("does not end in 4 digits" in answers) == numeric
        assert ("ok" in answers) != numeric


class TestModelYear:
    @pytest.mark.parametrize(("letter", "year"), TABLE_VII.items())
    def test_table_vii_and_the_next_cycles(self, letter: str, year: int) -> None:
        vin = f"1M8GDM9A0{letter}P042788"
        assert vin_year(vin, year) == year
        assert vin_year(vin, year + 29) == year
        assert vin_year(vin, year + 30) == year + 30
        assert vin_year(vin) == year + 30  # 2039 where no latest year is stated

    @pytest.mark.parametrize("letter", "UZ0IOQ")
    def test_what_stands_for_no_year(self, letter: str) -> None:
        with pytest.raises(NotInTable):
            vin_year(f"1M8GDM9A0{letter}P042788")
