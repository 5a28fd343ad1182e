"""Headings of lists matched to ours. Which words mean which rating is common practice, no source."""

from __future__ import annotations

from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tarelot.workbook_templates.basis.units import METRIC, SYSTEMS, US, Units
from tarelot.workbook_templates.lists.headings import (
    ABBREVIATIONS,
    AMBIGUOUS,
    REASON,
    SYNONYMS,
    Doubled,
    Found,
    could_be,
    known,
    match_headings,
    split_unit,
)
from tarelot.workbook_templates.lot.column import Input
from tarelot.workbook_templates.lot.columns import COLUMNS

INPUTS = [column.heading for column in COLUMNS if isinstance(column, Input)]
RESULTS = [column.heading for column in COLUMNS if not isinstance(column, Input)]


def in_units(headings: list[str], units: Units = US) -> list[str]:
    return [units.heading(heading) for heading in headings]


@pytest.mark.parametrize("units", SYSTEMS.values(), ids=SYSTEMS)
def test_every_input_of_the_lot_has_its_row_and_matches_itself(units: Units) -> None:
    ours = in_units(INPUTS, units)
    headings = {split_unit(heading)[0] for heading in ours}
    assert headings - set(SYNONYMS) == set(), "no words for it in SYNONYMS of workbook_templates/lists/headings.py"
    assert set(SYNONYMS) - headings == set(), "words for what is no input of the Lot"
    matched = match_headings(ours, ours)
    assert list(matched.columns) == ours
    assert not matched.unknown
    assert not matched.doubled
    for place, heading in enumerate(ours):
        unit = heading.partition("(")[2].rstrip(")") or None
        assert matched.columns[heading] == Found(place, unit)


@pytest.mark.parametrize("units", SYSTEMS.values(), ids=SYSTEMS)
def test_a_copy_of_the_whole_lot_matches_itself(units: Units) -> None:
    """`Payload` is a synonym of `Stated payload` in a maker's list, but a result in ours."""
    ours = in_units(INPUTS + RESULTS, units)
    matched = match_headings(ours, ours)
    assert list(matched.columns) == ours
    assert (matched.unknown, matched.doubled) == ([], [])


def test_a_copy_of_the_lot_is_never_read_by_synonyms_alone() -> None:
    """A caller who asks for inputs only is told of two claims to `Stated payload`, and not given either."""
    matched = match_headings(in_units(INPUTS + RESULTS), in_units(INPUTS))
    assert [double.ours for double in matched.doubled] == ["Stated payload (lb)"]
    assert "Stated payload (lb)" not in matched.columns


def test_no_word_means_two_headings() -> None:
    counts = Counter(known(word) is not None and word for words in SYNONYMS.values() for word in words)
    assert [word for word, count in counts.items() if count > 1] == []
    for ours, words in SYNONYMS.items():
        assert [word for word in words if known(word) != ours] == []
    assert [word for word in AMBIGUOUS if known(word)] == []
    assert {ours for many in AMBIGUOUS.values() for ours in many} <= set(SYNONYMS)
    assert not set(ABBREVIATIONS) & set(ABBREVIATIONS.values())


@given(
    st.sampled_from([(ours, word) for ours, words in SYNONYMS.items() for word in (ours, *words)]),
    st.sampled_from([str.upper, str.title, str.lower, str.capitalize]),
    st.sampled_from(["", " ", "  ", "\n", "\u00a0", "*", ":"]),
    st.sampled_from([" ", "_", "-", " - ", ".", "\n"]),
)
def test_case_spacing_and_punctuation_do_not_matter(
    pair: tuple[str, str], case: object, end: str, between: str
) -> None:
    ours, word = pair
    typed = between.join(case(word).replace("-", " ").split()) + end  # type: ignore[operator]
    assert known(typed) == ours


WEIGHT_UNITS = {"kg": "kg", "KG": "kg", "lbs.": "lb", "#": "lb", "pounds": "lb", "metric tons": "metric_ton"}
LENGTH_UNITS = {"mm": "mm", "in.": "in", '"': "in", "ft": "ft", "feet": "ft", "M": "m", "cm": "cm", "\u2033": "in"}
PATTERNS = (
    "{0} ({1})",
    "{0} [{1}]",
    "{0}({1})",
    "{0} {1}",
    "{0}, {1}",
    "{0} - {1}",
    "{0}_{1}",
    "{0} / {1}",
    "{0}\n({1})",
)


@pytest.mark.parametrize("pattern", PATTERNS)
@pytest.mark.parametrize(
    ("name", "word", "unit"),
    [("GVWR", word, unit) for word, unit in WEIGHT_UNITS.items()]
    + [("Deck Length", word, unit) for word, unit in LENGTH_UNITS.items()]
    + [("overall width", word, unit) for word, unit in LENGTH_UNITS.items()],
)
def test_a_unit_in_the_heading(pattern: str, name: str, word: str, unit: str) -> None:
    ours = {"GVWR": "GVWR (lb)", "Deck Length": "Deck length (ft)", "overall width": "Width (in)"}[name]
    found = pattern.format(name, word)
    assert match_headings([found], [ours]).columns == {ours: Found(0, unit)}


@pytest.mark.parametrize(
    ("heading", "ours", "unit"),
    [
        ("Stock #", "Stock no.", None),
        ("Stk. No.", "Stock no.", None),
        ("VIN #", "VIN", None),
        ("Serial Number", "VIN", None),
        ("Model Yr", "Model year", None),
        ("Mfr.", "Make", None),
        ("Date in", "Received", None),
        ("MSRP ($)", "Price", None),
        ("Price USD", "Price", None),
        ("GVWR#", "GVWR", "lb"),
        ("GVWR in lbs", "GVWR", "lb"),
        ("# of Axles", "Axles", None),
        ("Axle Qty", "Axles", None),
        ("GAWR (each)", "Axle rating", None),
        ("Tyres per axle", "Tires per axle", None),
        ("Tires (per axle)", "Tires per axle", None),
        ("Susp. Rating", "Suspension rating", None),
        ("Max. Payload Cap. (kg)", None, "kg"),
        ("Payload Cap. (kg)", "Stated payload", "kg"),
        ("Deck Ht. in", "Deck height", "in"),
        ("Width in in", "Width", "in"),
        ('Width"', "Width", "in"),
        ("Deck length (ft-in)", "Deck length", "ft"),
        ("Deck length feet & inches", "Deck length", "ft"),
        ("Dove-Tail Length", "Tail length", None),
        ("Low pin share (%)", "Low pin share", "percent"),
        ("High pin %", "High pin share", "percent"),
        ("D-Ring Qty", "Tie-down points", None),
        ("Colour", None, None),
        ("", None, None),
        ("(lb)", None, "lb"),
        ("Price (EUR)", None, None),
        ("GVWR (ton)", None, None),
        ("GVWR of tow vehicle", None, None),
        ("Make offer", None, None),
    ],
)
def test_headings_as_lists_have_them(heading: str, ours: str | None, unit: str | None) -> None:
    assert known(heading) == ours
    assert split_unit(heading)[1] == unit


def test_two_columns_for_one_of_ours_are_reported_and_neither_is_chosen() -> None:
    matched = match_headings(["GVWR (lb)", "VIN", "GVWR kg", "GVWR (lb)"], ["VIN", "GVWR (lb)"])
    assert matched.columns == {"VIN": Found(1)}
    assert matched.doubled == [Doubled("GVWR (lb)", ("GVWR (lb)", "GVWR kg", "GVWR (lb)"), (0, 2, 3))]


def test_what_is_nobodys_is_reported() -> None:
    matched = match_headings(
        ["VIN", "Colour", "", "GVWR (ft)", "Axles (lb)", "Tare", "Make"], ["VIN", "GVWR (lb)", "Axles"]
    )
    assert matched.columns == {"VIN": Found(0)}
    assert matched.unknown == ["Colour", "column 3, which has no heading", "GVWR (ft)", "Axles (lb)", "Tare", "Make"]
    assert could_be("Tare wt. (lb)") == ("Base weight", "Scale weight")
    assert could_be("Colour") == ()


def test_the_reason_column_of_a_refused_list_is_left_out() -> None:
    matched = match_headings(["VIN", REASON, "reason"], ["VIN"])
    assert (matched.columns, matched.unknown, matched.doubled) == ({"VIN": Found(0)}, [], [])


def test_a_list_in_pounds_for_a_metric_workbook() -> None:
    ours = in_units(INPUTS, METRIC)
    matched = match_headings(["Width (in)", "GVWR lbs", "Deck length"], ours)
    assert matched.columns == {"Width (mm)": Found(0, "in"), "GVWR (kg)": Found(1, "lb"), "Deck length (m)": Found(2)}


@given(st.lists(st.sampled_from(in_units(INPUTS + RESULTS)) | st.text(max_size=12), max_size=12))
def test_every_heading_found_is_in_exactly_one_place(found: list[str]) -> None:
    ours = in_units(INPUTS + RESULTS)
    matched = match_headings(found, ours)
    reasons = sum(heading.strip().casefold().strip(".:_- ") == "reason" for heading in found)
    placed = len(matched.columns) + len(matched.unknown) + sum(len(double.indexes) for double in matched.doubled)
    assert placed + reasons == len(found)
    places = [place.index for place in matched.columns.values()] + [i for d in matched.doubled for i in d.indexes]
    assert len(set(places)) == len(places)
