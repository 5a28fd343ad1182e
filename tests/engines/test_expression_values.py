"""Cell values by themselves: comparison is an order, rounding is decimal, numbers are written as Python writes them."""

from __future__ import annotations

import math
from decimal import ROUND_HALF_UP, ROUND_UP, Decimal, localcontext

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from tarelot.calc.cells import values
from tarelot.calc.cells.boundary import ERROR_VALUES, CellError
from tarelot.calc.cells.values import Value

LARGEST = 9.99999999999999e307
"""The largest number that may be typed into a cell, by Excel's documentation."""
FLOATS = st.floats(-LARGEST, LARGEST)
NUMBERS = st.one_of(
    st.integers(-(10**6), 10**6).map(float),
    FLOATS,
    st.decimals(-10_000, 10_000, places=3).map(float),
    st.sampled_from((0.0, -0.0, 0.1 + 0.2, 0.3, 1e300, 5e-324)),
)
TEXTS = st.text(alphabet="abcXYZ019 .-é", max_size=6)
VALUES = st.one_of(NUMBERS, TEXTS, st.booleans(), st.none())
DECIMALS = st.decimals(Decimal("-99999999"), Decimal("99999999"), places=5)
"""With at most 13 digits, so that a number of 15 says exactly what was written."""


class TestCompare:
    @given(VALUES, VALUES)
    def test_antisymmetric(self, one: Value, other: Value) -> None:
        assert values.compare(one, other) == -values.compare(other, one)

    @given(VALUES)
    def test_each_is_like_itself(self, one: Value) -> None:
        assert values.compare(one, one) == 0

    @given(st.lists(st.one_of(NUMBERS, TEXTS, st.booleans()), min_size=3, max_size=3))
    def test_an_order_where_nothing_is_blank(self, three: list[Value]) -> None:
        """A blank is like 0, like "" and like FALSE, which are not like each other."""
        for one in three:
            for middle in three:
                for last in three:
                    if values.compare(one, middle) <= 0 and values.compare(middle, last) <= 0:
                        assert values.compare(one, last) <= 0

    @given(NUMBERS, TEXTS, st.booleans())
    def test_numbers_before_texts_before_truth_values(self, number: float, text: str, truth: bool) -> None:
        """Excel's documented order for sorting: numbers, texts, FALSE, TRUE."""
        assert values.compare(number, text) == values.compare(text, truth) == values.compare(number, truth) == -1
        assert values.compare(False, True) == -1

    @given(TEXTS)
    def test_case_does_not_matter(self, text: str) -> None:
        assert values.compare(text.upper(), text.lower()) == 0

    @given(NUMBERS, NUMBERS)
    @example(0.1 + 0.2, 0.3)
    @example(1.0, 1.00000000000001)
    def test_numbers_by_their_first_15_digits(self, one: float, other: float) -> None:
        """Written out by the decimal module, which knows nothing of binary fractions."""
        with localcontext() as context:
            context.prec, context.Emin, context.Emax = 15, -400, 400
            first, second = +Decimal(one), +Decimal(other)
        assert values.compare(one, other) == (first > second) - (first < second)


class TestRounded:
    @given(DECIMALS, st.integers(-4, 6))
    @example(Decimal("1.005"), 2)
    @example(Decimal("2.5"), 0)
    @example(Decimal("-2.5"), 0)
    @example(Decimal("-150"), -2)
    def test_as_the_decimal_module_rounds_what_is_written(self, written: Decimal, places: int) -> None:
        for rounding in (ROUND_HALF_UP, ROUND_UP):
            expected = written.quantize(Decimal(1).scaleb(-places), rounding=rounding)
            assert values.rounded(float(written), places, rounding) == float(expected)

    @given(FLOATS, st.integers(-300, 1000))
    def test_any_number_at_any_place_has_a_result(self, number: float, places: int) -> None:
        """Half of a unit of the place at most, besides the 15 digits that are kept."""
        unit = 10.0 ** max(-places, -330)
        assert abs(values.rounded(number, places) - number) <= unit / 2 + abs(number) * 1e-14

    @given(st.floats(-1e9, 1e9), st.integers(-3, 6))
    def test_rounding_twice_changes_nothing(self, number: float, places: int) -> None:
        once = values.rounded(number, places)
        assert values.rounded(once, places) == once


class TestFixed:
    @given(DECIMALS, st.integers(0, 6))
    @example(Decimal("-0.2"), 0)
    @example(Decimal("0.5"), 0)
    def test_as_python_formats_the_rounded_decimal(self, written: Decimal, places: int) -> None:
        shown = written.quantize(Decimal(1).scaleb(-places), rounding=ROUND_HALF_UP)
        unsigned = shown if shown else abs(shown)
        assert values.fixed(float(written), places) == f"{unsigned:,.{places}f}"
        assert values.fixed(float(written), places, no_commas=True) == f"{unsigned:.{places}f}"

    @given(st.integers(-(10**9), 10**9), st.integers(1, 5))
    def test_places_left_of_the_point(self, number: int, places: int) -> None:
        """Whole arithmetic: halves away from 0."""
        unit = 10**places
        whole = (abs(number) + unit // 2) // unit * unit * (1 if number > 0 else -1)
        assert values.fixed(float(number), -places) == f"{whole:,}"

    def test_more_places_than_programs_offer(self) -> None:
        assert len(values.fixed(1.0, 127)) == 129
        with pytest.raises(CellError, match="#VALUE!"):
            values.fixed(1.0, 128)


class TestNumber:
    @given(NUMBERS)
    def test_what_python_writes_reads_as_the_number(self, number: float) -> None:
        assert values.number(repr(number)) == number

    @given(st.integers(-(10**12), 10**12), st.integers(0, 4))
    def test_thousands_in_groups(self, number: int, spaces: int) -> None:
        assert values.number(" " * spaces + f"{number:,}") == number

    @pytest.mark.parametrize(
        "text",
        [
            "",
            " ",
            "abc",
            "1,23",
            "1 2",
            "--1",
            "1e",
            ".",
            "+",
            "1.2.3",
            "0x10",
            "1_000",
            "nan",
            "inf",
            "1e999",
            "٣",
            "²",
        ],
    )
    def test_other_texts_are_refused(self, text: str) -> None:
        """The two engines refuse them too (asked by hand)."""
        with pytest.raises(CellError, match="#VALUE!"):
            values.number(text)

    @given(NUMBERS)
    @example(1e-5)
    @example(-0.0)
    def test_a_number_written_reads_back_to_15_digits(self, number: float) -> None:
        written = values.text(number)
        assert not written.startswith("-0") or float(written) != 0
        assert math.isclose(values.number(written), number, rel_tol=1e-14, abs_tol=5e-324)

    @given(st.decimals(Decimal("-99999999"), Decimal("99999999"), places=6))
    def test_moderate_numbers_are_written_out(self, number: Decimal) -> None:
        written = f"{number:f}".rstrip("0").rstrip(".")
        assert values.text(float(number)) == ("0" if not number else written)


class TestPattern:
    @given(st.text(alphabet="aB*?~.[", max_size=6))
    def test_every_text_finds_itself_when_its_wild_letters_are_marked(self, text: str) -> None:
        """As Excel documents it: ~ before *, ? or ~ takes the letter itself."""
        marked = "".join(f"~{letter}" if letter in "*?~" else letter for letter in text)
        assert values.pattern(marked).fullmatch(text.swapcase())

    @given(st.text(max_size=8), st.text(max_size=8))
    def test_wild_letters(self, first: str, last: str) -> None:
        assert values.pattern("*").fullmatch(first)
        assert (values.pattern("?").fullmatch(first) is not None) == (len(first) == 1)


class TestEach:
    @given(st.lists(st.one_of(NUMBERS, st.sampled_from(ERROR_VALUES)), min_size=1, max_size=5))
    def test_an_error_stays_at_its_place(self, column: list[Value]) -> None:
        found = values.each(lambda one: 1.0, column)
        assert found == [one if isinstance(one, str) else 1.0 for one in column]

    def test_ranges_of_two_lengths(self) -> None:
        with pytest.raises(CellError, match="#N/A"):
            values.each(lambda one, other: 1.0, [1.0, 2.0], [1.0])
