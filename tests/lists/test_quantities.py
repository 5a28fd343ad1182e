"""What people type, read as values. Conversions are checked against scipy.constants and NIST SP 811, appendix B.8."""

from __future__ import annotations

import datetime
from fractions import Fraction
from typing import Any

import pint
import pytest
import scipy.constants
from hypothesis import given
from hypothesis import strategies as st

from tarelot.workbook_templates.lists.cells import CHOICE_SYNONYMS, read_choice, read_text, read_value
from tarelot.workbook_templates.lists.dates import date_order, read_date
from tarelot.workbook_templates.lists.quantities import (
    EXPECTED,
    SIZES,
    UNIT_WORDS,
    QuantityError,
    UnitError,
    Value,
    conversion,
    is_blank,
    read_money,
    read_quantity,
    read_whole,
)

REGISTRY = pint.UnitRegistry()

# NIST SP 811 (2008), B.8: the factors printed in bold there are exact. psi follows from the exact pound, inch and
# standard gravity 9.80665 m/s2: 0.45359237 x 9.80665 / 0.0254^2.
KG_PER_LB = Fraction("0.45359237")
EXACT = [
    ("lb", "kg", KG_PER_LB),
    ("short_ton", "kg", 2000 * KG_PER_LB),
    ("metric_ton", "kg", Fraction(1000)),
    ("in", "mm", Fraction("25.4")),
    ("ft", "m", Fraction("0.3048")),
    ("ft", "in", Fraction(12)),
    ("m", "mm", Fraction(1000)),
    ("cm", "mm", Fraction(10)),
    ("psi", "kPa", KG_PER_LB * Fraction("9.80665") / Fraction("0.0254") ** 2 / 1000),
    ("bar", "kPa", Fraction(100)),
    ("percent", "", Fraction(1, 100)),
]


@pytest.mark.parametrize(("unit", "to", "factor"), EXACT)
def test_factors_are_the_exact_ones_of_nist(unit: str, to: str, factor: Fraction) -> None:
    assert conversion(unit, to) == factor
    assert conversion(to, unit) == 1 / factor


EXACT_REGISTRY: pint.UnitRegistry[Any] = pint.UnitRegistry(non_int_type=Fraction)


@pytest.mark.parametrize("to", sorted(SIZES))
@pytest.mark.parametrize("unit", sorted(SIZES))
def test_the_table_of_sizes_is_pint_s(unit: str, to: str) -> None:
    """Every pair of units, in exact fractions; and where pint sees two different things, so does the table."""
    try:
        expected = EXACT_REGISTRY.Quantity(Fraction(1), unit).to(to).magnitude
    except pint.DimensionalityError:
        with pytest.raises(UnitError):
            conversion(unit, to)
    else:
        assert conversion(unit, to) == expected


def test_every_unit_that_is_read_or_asked_for_has_a_size() -> None:
    assert {*UNIT_WORDS.values(), *EXPECTED} <= SIZES.keys()


SI = {
    "lb": scipy.constants.pound,
    "kg": 1.0,
    "short_ton": scipy.constants.short_ton,
    "metric_ton": scipy.constants.metric_ton,
    "in": scipy.constants.inch,
    "ft": scipy.constants.foot,
    "mm": scipy.constants.milli,
    "cm": scipy.constants.centi,
    "m": 1.0,
    "psi": scipy.constants.psi,
    "kPa": scipy.constants.kilo,
    "bar": scipy.constants.bar,
    "percent": scipy.constants.centi,
    "": 1.0,
}
KINDS = ({"lb", "kg", "short_ton", "metric_ton"}, {"in", "ft", "mm", "cm", "m"}, {"psi", "kPa", "bar"}, {"percent", ""})


@pytest.mark.parametrize("word", sorted(UNIT_WORDS))
@pytest.mark.parametrize("unit", sorted(EXPECTED))
def test_every_unit_word_in_every_column(word: str, unit: str) -> None:
    """scipy.constants knows nothing of pint; a word of another kind is refused."""
    name = UNIT_WORDS[word]
    if any({name, unit} <= kind for kind in KINDS):
        assert read_quantity(f"7.5 {word}", unit) == pytest.approx(7.5 * SI[name] / SI[unit], rel=1e-12)
        assert read_quantity(f"7.5{word.upper()}", unit) == read_quantity(f"7.5 {word}", unit)
        assert read_quantity(7.5, unit, bare_unit=name) == read_quantity(f"7.5 {word}", unit)
    else:
        with pytest.raises(QuantityError, match=f'^"7.5 .*" is in {name}; {EXPECTED[unit]} is expected$'):
            read_quantity(f"7.5 {word}", unit)


# Text, column unit, value worked out by hand (exact fractions, one rounding).
TYPED = [
    ("3,175 kg", "lb", float(3175 / KG_PER_LB)),
    ("7'-6\"", "in", 90.0),
    ("7'-6\"", "ft", 7.5),
    ("7' 6\"", "in", 90.0),
    ("7'6\"", "in", 90.0),
    ("7'6", "in", 90.0),
    ("7 ft 6 in", "in", 90.0),
    ("7 ft. 6 in.", "in", 90.0),
    ("7 feet, 6 inches", "in", 90.0),
    ("7'-6 1/2\"", "in", 90.5),
    ("7'-6-1/2\"", "in", 90.5),
    ("25 ft 6 in", "ft", 25.5),
    ("25 ft 6.75 in", "ft", 25.5625),
    ("25'", "ft", 25.0),
    ("7\u2032-6\u2033", "in", 90.0),
    ("7\u2019 6\u201d", "in", 90.0),
    ("7' 6''", "in", 90.0),
    ("102 in", "in", 102.0),
    ('102"', "in", 102.0),
    ('102"', "ft", 8.5),
    ("102\u201d", "mm", 2590.8),
    ("8.5 ft", "in", 102.0),
    ("8.5", "ft", 8.5),
    ("1/2 in", "in", 0.5),
    ('6 1/2"', "in", 6.5),
    ('6-1/2"', "in", 6.5),
    ("6\u00bd in", "in", 6.5),
    ("6 \u00be\u2033", "in", 6.75),
    ("6 1\u20442 in", "in", 6.5),
    ("12K", "lb", 12000.0),
    ("12 k", "lb", 12000.0),
    ("12k lb", "lb", 12000.0),
    ("12.5K lbs", "lb", 12500.0),
    ("12k#", "lb", 12000.0),
    ("7,000 lbs", "lb", 7000.0),
    ("7,000 LBS.", "lb", 7000.0),
    ("7000#", "lb", 7000.0),
    ("7\u202f000\u202fkg", "kg", 7000.0),
    ("14\u2009000", "lb", 14000.0),
    ("14\u00a0000 lb", "lb", 14000.0),
    ("14,000", "lb", 14000.0),
    ("1,234,567.5", "lb", 1234567.5),
    ("80 psi", "psi", 80.0),
    ("-5", "in", -5.0),
    ("\u22125 in", "in", -5.0),
    ("-7'-6\"", "in", -90.0),
    ("+5", "in", 5.0),
    (" 5 ", "in", 5.0),
    (".5", "in", 0.5),
    ("5.", "in", 5.0),
    ("0.125", "", 0.125),
    ("12.5 %", "", 0.125),
    ("1.5E3", "lb", 1500.0),
    ("2 t", "kg", 2000.0),
    ("2 short tons", "lb", 4000.0),
    ("26,000 lbf", "lb", 26000.0),
]


@pytest.mark.parametrize(("text", "unit", "value"), TYPED)
def test_typed_quantities(text: str, unit: str, value: float) -> None:
    assert read_quantity(text, unit) == value
    assert read_quantity(text, unit, decimal=".") == value


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        ("14.000,5", "kg", 14000.5),
        ("12,5", "kg", 12.5),
        ("1,234", "kg", 1.234),
        ("1.234", "kg", 1234.0),
        ("14 000,25", "kg", 14000.25),
        ("2,59 m", "mm", 2590.0),
        ("7' 6,5\"", "in", 90.5),
        ("12,5k", "lb", 12500.0),
    ],
)
def test_a_decimal_comma_when_it_is_said(text: str, unit: str, value: float) -> None:
    assert read_quantity(text, unit, decimal=",") == value


def test_a_decimal_point_when_it_is_said() -> None:
    assert read_quantity("1.234", "kg", decimal=".") == 1.234


REFUSED = [
    ("12,5", "lb", "--decimal ,"),
    ("0,125", "lb", "--decimal ,"),
    ("14.000,5", "lb", "--decimal ,"),
    ("1.500.000", "lb", "--decimal ,"),
    ("1.234", "lb", "--decimal"),
    ("102.375 in", "in", "--decimal"),
    ("1,23,456", "lb", "misplaced"),
    ("12,34", "lb", "--decimal ,"),
    ("1,234,56", "lb", "misplaced"),
    ("0,123,456", "lb", "misplaced"),
    ("7-8 ft", "ft", "range"),
    ("7\u20138 ft", "ft", "range"),
    ("7 to 8 ft", "ft", "range"),
    ("7 or 8 ft", "ft", "range"),
    ("102 x 96", "in", "x 96"),
    ("nan", "lb", "not a number"),
    ("inf", "lb", "not a number"),
    ("-inf", "lb", "not a number"),
    ("1e999", "lb", "known"),
    ("9" * 400, "lb", "too long"),
    ("about 5", "lb", "not a number"),
    ("TBD", "lb", "not a number"),
    ("-", "lb", "not a number"),
    ("lb", "lb", "not a number"),
    ("7 ton", "lb", "short ton or tonne"),
    ("7 stone", "lb", '"stone"'),
    ("12M", "lb", "is in m"),
    ("7' 14\"", "in", "12 inches"),
    ("14'000", "ft", "12 inches"),
    ("7.5' 6\"", "in", "not"),
    ("3/2 in", "in", "fraction"),
    ("1/0 in", "in", "fraction"),
    ("5 lb 3 oz", "lb", '"lb 3 oz"'),
    ("__import__('os')", "lb", "not a number"),
    ("5 * 3", "lb", '"\\* 3"'),
    ("2**99", "lb", '"\\*\\*99"'),
    ("5 degC", "lb", '"degc"'),
    ("5 lb/in", "lb", '"lb/in"'),
    ("=5", "lb", "not a number"),
    ("\u0665", "lb", "not a number"),
    ("10\u00b2", "lb", "not known"),
    ("", "lb", "blank"),
    ("  ", "lb", "blank"),
    (None, "lb", "blank"),
    (True, "lb", "is a bool"),
    (datetime.date(2024, 5, 3), "lb", "is a date"),
    (float("nan"), "lb", "not a number"),
    (float("inf"), "lb", "not a number"),
    ("7 ft", "lb", "is in ft"),
    ("7 lb", "ft", "is in lb"),
    ("80 psi", "lb", "is in psi"),
    ("7 lb", "", "is in lb"),
]


@pytest.mark.parametrize(("text", "unit", "why"), REFUSED)
def test_refusals_say_the_text_why_and_what_is_expected(text: Value, unit: str, why: str) -> None:
    with pytest.raises(QuantityError, match=why) as raised:
        read_quantity(text, unit)
    message = str(raised.value)
    assert message.endswith(f"; {EXPECTED[unit]} is expected")
    assert "\n" not in message
    assert len(message) < 300


def test_a_number_too_large_for_a_float_is_refused() -> None:
    with pytest.raises(QuantityError, match="too large"):
        read_quantity(1.7e308, "in", bare_unit="m")


def test_a_column_of_a_unit_nobody_has_is_the_programs_fault_not_the_lists() -> None:
    with pytest.raises(KeyError):
        read_quantity("5", "furlong")


@given(st.floats(-1e9, 1e9), st.sampled_from(["lb", "kg", "in", "ft", "mm", "m", "psi"]))
def test_numbers_of_a_spreadsheet_come_through_unchanged(number: float, unit: str) -> None:
    assert read_quantity(number, unit) == number


@given(
    st.decimals(0, 10**9, allow_nan=False, allow_infinity=False, places=2),
    st.sampled_from(["lb", "kg", "short ton", "tonne"]),
    st.sampled_from(["lb", "kg"]),
    st.sampled_from([".", ","]),
)
def test_grouped_numbers_round_trip(number: object, word: str, unit: str, decimal: str) -> None:
    """Python's own grouping writes the number; pint's default registry, in floats, converts it."""
    text = f"{number:,}" if decimal == "." else f"{number:,}".translate(str.maketrans(",.", ".,"))
    assert read_quantity(f"{text} {word}", unit, decimal=decimal) == pytest.approx(  # type: ignore[arg-type]
        REGISTRY.Quantity(float(str(number)), word.replace(" ", "_")).to(unit).magnitude, rel=1e-12
    )


@given(
    st.integers(0, 999), st.integers(0, 11), st.integers(0, 15), st.sampled_from(["'", " ft", "'-", " ft. ", " feet, "])
)
def test_feet_and_inches_round_trip(feet: int, inches: int, sixteenths: int, between: str) -> None:
    part = f" {sixteenths}/16" if sixteenths else ""
    text = f"{feet}{between} {inches}{part} in"
    assert read_quantity(text, "in") == 12 * feet + inches + sixteenths / 16


# Text of the characters that quantities are made of gets much further than any text.
NEARLY = st.text("0123456789.,'\" -/+#%eKk\u00bd\u2033lbkginftm", max_size=12)


@given(st.text(max_size=90) | NEARLY, st.sampled_from(sorted(EXPECTED)))
def test_any_text_is_a_finite_number_or_a_clear_refusal(text: str, unit: str) -> None:
    message = ""
    try:
        number = read_quantity(text, unit)
    except QuantityError as error:
        message = str(error)
    if message:
        assert message.endswith(f"; {EXPECTED[unit]} is expected")
        assert len(message.splitlines()) == 1
    else:
        assert abs(number) < float("inf")
        assert any(mark in "0123456789\u00bd\u00bc\u00be\u215b\u215c\u215d\u215e" for mark in text)


@pytest.mark.parametrize(
    ("value", "whole"), [("2", 2), ("2.0", 2), (2.0, 2), ("1,200", 1200), (2024, 2024), (" 3 ", 3), ("-1", -1)]
)
def test_whole_numbers(value: Value, whole: int) -> None:
    assert read_whole(value) == whole
    assert isinstance(read_whole(value), int)


@pytest.mark.parametrize("value", ["2.5", 2.5, "two", "200%", "2 axles", "'24", "2-3", "", None, True, float("nan")])
def test_what_is_no_whole_number(value: Value) -> None:
    with pytest.raises(QuantityError, match="a whole number is expected"):
        read_whole(value)


@pytest.mark.parametrize(
    ("value", "dollars"),
    [
        ("$12,500.00", 12500.0),
        ("$ 12,500", 12500.0),
        ("12500", 12500.0),
        ("12,500.00 USD", 12500.0),
        ("US$12,500", 12500.0),
        ("12.5K", 12500.0),
        ("12500 dollars", 12500.0),
        ("-$500", -500.0),
        ("$-500", -500.0),
        ("$ 1,234,567.89", 1234567.89),
        (12500.5, 12500.5),
    ],
)
def test_money(value: Value, dollars: float) -> None:
    assert read_money(value) == dollars


def test_money_with_a_decimal_comma() -> None:
    assert read_money("$12.500,00", decimal=",") == 12500.0


@pytest.mark.parametrize(
    "value",
    ["\u20ac12,500", "CAD 12,500", "12,500 GBP", "call", "$", "10%", "$12,5", "1-2", "--5", "", None, "12,500 lb"],
)
def test_what_is_no_price_in_dollars(value: Value) -> None:
    with pytest.raises(QuantityError, match="a price in dollars is expected"):
        read_money(value)


HITCHES = ("pintle", "ball", "gooseneck")
STATUSES = ("on order", "on lot", "reserved", "sold")


@pytest.mark.parametrize(
    ("text", "choices", "chosen"),
    [
        ("Gooseneck", HITCHES, "gooseneck"),
        ("GN", HITCHES, "gooseneck"),
        ("goose-neck", HITCHES, "gooseneck"),
        (" bumper  pull ", HITCHES, "ball"),
        ("Bumper-Pull", HITCHES, "ball"),
        ('2-5/16" ball', HITCHES, "ball"),
        ("2 5/16\u2033 Ball", HITCHES, "ball"),
        ("Pintle Eye", HITCHES, "pintle"),
        ("lunette", HITCHES, "pintle"),
        ("ON LOT", STATUSES, "on lot"),
        ("on-order", STATUSES, "on order"),
        ("in stock", STATUSES, "on lot"),
        ("Lowboy", ("deckover", "lowbed"), "lowbed"),
        ("Deck-over", ("deckover", "lowbed"), "deckover"),
    ],
)
def test_choices(text: str, choices: tuple[str, ...], chosen: str) -> None:
    assert read_choice(text, choices) == chosen


@pytest.mark.parametrize(
    ("value", "choices"),
    [("fifth wheel", HITCHES), ("gn", STATUSES), ("", HITCHES), (1.0, HITCHES), ("ball, gn", HITCHES)],
)
def test_a_choice_that_is_not_offered(value: Value, choices: tuple[str, ...]) -> None:
    with pytest.raises(QuantityError, match=f"one of {', '.join(choices)} is expected"):
        read_choice(value, choices)


def test_choice_synonyms_are_of_the_lots_own_choices() -> None:
    from tarelot.workbook_templates.lot.columns import COLUMNS

    allowed = {choice for column in COLUMNS for choice in getattr(column, "choices", ())}
    assert set(CHOICE_SYNONYMS.values()) <= allowed
    assert not set(CHOICE_SYNONYMS) & allowed


@pytest.mark.parametrize(
    ("value", "text"),
    [
        ("0042", "0042"),
        (" A-1 ", "A-1"),
        (1042.0, "1042"),
        (1042, "1042"),
        (10.5, "10.5"),
        ("=1+1", "=1+1"),
        ("1E5", "1E5"),
        ("NA", "NA"),
        (True, "TRUE"),
        (-5.0, "-5"),
    ],
)
def test_text(value: Value, text: str) -> None:
    assert read_text(value) == text


@pytest.mark.parametrize(
    "value", [datetime.date(2024, 5, 10), datetime.time(5, 10), 12345678901234567.0, float("inf"), None]
)
def test_what_a_spreadsheet_has_already_changed_is_not_text(value: Value) -> None:
    with pytest.raises(QuantityError, match="text is expected"):
        read_text(value)


MAY_3 = datetime.date(2024, 5, 3)
MAY_13 = datetime.date(2024, 5, 13)


@pytest.mark.parametrize(
    ("value", "date"),
    [
        ("2024-05-03", MAY_3),
        ("2024/5/3", MAY_3),
        ("20240503", MAY_3),
        ("2024-05-03T14:30:00Z", MAY_3),
        ("2024-05-03 00:00:00", MAY_3),
        ("5/13/2024", MAY_13),
        ("13/5/2024", MAY_13),
        ("13.05.2024", MAY_13),
        ("5/13/24", MAY_13),
        ("5/13/2024 12:00:00 AM", MAY_13),
        ("5/5/2024", datetime.date(2024, 5, 5)),
        ("3 May 2024", MAY_3),
        ("03-May-24", MAY_3),
        ("May 3, 2024", MAY_3),
        ("Sept. 9th 2024", datetime.date(2024, 9, 9)),
        ("29 Feb 2024", datetime.date(2024, 2, 29)),
        ("5/13/98", datetime.date(1998, 5, 13)),
        (MAY_3, MAY_3),
        (datetime.datetime(2024, 5, 3, 14, 30), MAY_3),
    ],
)
def test_dates(value: Value, date: datetime.date) -> None:
    assert read_date(value) == date


@pytest.mark.parametrize(
    ("value", "why"),
    [
        ("3/5/2024", "2024-03-05 or 2024-05-03"),
        ("03-05-24", "may mean"),
        ("25/12/11", "2011-12-25 or 2025-12-11"),
        ("2024-02-30", "not a date"),
        ("29 Feb 2023", "not a date"),
        ("13/13/2024", "not a date"),
        ("5/13", "not a date"),
        ("May 2024", "not a date"),
        ("3 Moy 2024", "not a date"),
        ("3/5-2024", "not a date"),
        ("soon", "not a date"),
        ("45415", "not a date"),
        (45415.0, "plain number"),
        ("", "blank"),
        (None, "blank"),
        (datetime.time(5, 3), "is a time"),
    ],
)
def test_dates_refused(value: Value, why: str) -> None:
    with pytest.raises(QuantityError, match=f"{why}.*; a date such as 2024-05-31 is expected"):
        read_date(value)


def test_the_order_of_day_and_month_that_a_column_shows() -> None:
    assert date_order(["3/5/2024", "5/13/2024", "", None, 5.0, "soon"]) == "mdy"
    assert date_order(["3/5/2024", "13/5/2024"]) == "dmy"
    assert date_order(["3/5/2024", "2024-05-03"]) is None
    assert date_order(["13/5/2024", "5/13/2024"]) is None
    assert read_date("3/5/2024", order="mdy") == datetime.date(2024, 3, 5)
    assert read_date("3/5/2024", order="dmy") == MAY_3
    assert read_date("13/5/2024", order="mdy") == MAY_13  # unmistakable, whatever the others are


@given(st.dates(datetime.date(1969, 1, 1), datetime.date(2068, 12, 31)))
def test_dates_round_trip_in_every_common_form(date: datetime.date) -> None:
    """strftime and strptime of the standard library are the other side, two-digit years included (POSIX)."""
    for form in ("%Y-%m-%d", "%Y/%m/%d", "%Y%m%d", "%d %B %Y", "%d-%b-%y", "%B %d, %Y"):
        text = date.strftime(form)
        assert read_date(text) == datetime.datetime.strptime(text, form).date() == date
    assert read_date(date.strftime("%m/%d/%y"), order="mdy") == date
    assert read_date(date.strftime("%d.%m.%Y"), order="dmy") == date


@pytest.mark.parametrize(
    ("value", "kind", "named", "result"),
    [
        ("7000#", "number", {"unit": "lb"}, 7000.0),
        ("2.59", "number", {"unit": "in", "bare_unit": "m"}, float(Fraction("2.59") / Fraction("0.0254"))),
        ("12.5", "share", {"bare_unit": "percent"}, 0.125),
        ("15%", "share", {}, 0.15),
        ("2", "whole", {}, 2),
        ("gn", "text", {"choices": HITCHES}, "gooseneck"),
        ("=A1", "text", {}, "=A1"),
        ("3/5/2024", "date", {"order": "dmy"}, MAY_3),
        ("$5", "money", {}, 5.0),
        ("1,5", "number", {"unit": "m", "decimal": ","}, 1.5),
    ],
)
def test_a_cell_as_its_columns_kind(value: Value, kind: str, named: dict[str, Any], result: object) -> None:
    assert read_value(value, kind, **named) == result


def test_every_kind_of_input_can_be_read() -> None:
    from tarelot.workbook_templates.lot.column import Input
    from tarelot.workbook_templates.lot.columns import COLUMNS

    sample = {"text": "x", "date": "2024-05-03"}
    kinds = {column.kind for column in COLUMNS if isinstance(column, Input)}
    assert {kind: read_value(sample.get(kind, "1"), kind) for kind in kinds}.keys() == kinds


def test_blank() -> None:
    assert all(map(is_blank, ("", " ", "\u00a0", "\n", None)))
    assert not any(map(is_blank, ("0", 0, False, "-")))
