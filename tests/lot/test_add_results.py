"""`add_results` on a frame, whole and cut into parts, held against the workbook's own results and hand calculations.

What the workbook says is read by openpyxl from the results stored in it, which other tests hold against three
spreadsheet engines. Partitions are what pandas itself cuts, as mapInPandas of Spark and map_partitions of Dask hand
them over: one DataFrame after the other, some without rows.
"""

from __future__ import annotations

import datetime
from decimal import Decimal
from functools import partial
from pathlib import Path

import numpy
import openpyxl
import pandas as pd
import pytest
from pandas.testing import assert_frame_equal

from tarelot.workbook_templates import workbook
from tarelot.workbook_templates.basis.units import METRIC
from tarelot.workbook_templates.frame import ENTRIES, RESULTS, add_results, read_lot, stock_numbers
from tarelot.workbook_templates.lot.results import Numbers

HEADING_ROW = 4
COPIES = 12
"""Of the demo yard's 24 trailers: more than the rows from which expressions are written out as functions."""
TELL_OF_DUPLICATES = ["conflicts", "what_conflicts", "entry_check", "duplicate"]


@pytest.fixture(scope="module")
def lot(demo_workbook: Path) -> pd.DataFrame:
    return read_lot(demo_workbook)


@pytest.fixture(scope="module")
def asked(lot: pd.DataFrame) -> partial[pd.DataFrame]:
    return partial(add_results, units="us", options=lot.attrs["options"], limits=lot.attrs["limits"])


@pytest.fixture(scope="module")
def many(lot: pd.DataFrame) -> pd.DataFrame:
    """Entries of many trailers; each copy of the yard has stock numbers and VINs of its own, but for every fourth."""
    copies = []
    for number in range(COPIES):
        copy = lot[list(ENTRIES)].copy()
        if number % 4:
            copy["stock_no"] = [f"{number}-{stock}" for stock in copy["stock_no"]]
            copy["vin"] = None
        copies.append(copy)
    return pd.concat(copies, ignore_index=True)


def parts(frame: pd.DataFrame, count: int) -> list[pd.DataFrame]:
    """The frame cut into parts of unequal lengths, one behind the other."""
    ends = [round(len(frame) * (place / count) ** 2) for place in range(count + 1)]
    return [frame.iloc[start:end] for start, end in zip(ends, ends[1:], strict=False)]


def entry(**typed: object) -> pd.DataFrame:
    """One trailer of which only this is known."""
    return pd.DataFrame({key: pd.Series([typed.get(key)], dtype=object) for key in ENTRIES})


def test_the_results_are_those_that_the_workbook_holds(
    lot: pd.DataFrame, asked: partial[pd.DataFrame], demo_workbook: Path
) -> None:
    made = asked(lot[list(ENTRIES)])
    assert list(made.columns) == [*ENTRIES, *RESULTS]
    sheet = openpyxl.load_workbook(demo_workbook, data_only=True)["Lot"]
    places = {cell.value: cell.column for cell in sheet[HEADING_ROW]}
    compared = 0
    for key in RESULTS:
        for number, held in made[key].items():
            cell = sheet.cell(number, places[made.attrs["headings"][key]]).value
            if cell in (None, ""):
                assert pd.isna(held), (key, number)
            else:
                assert held == (pytest.approx(cell, rel=1e-12) if isinstance(cell, float) else cell), (key, number)
                compared += 1
    assert compared > 24 * 20
    assert made.attrs["units"]["payload"] == "lb"


def test_over_a_lot_that_was_read_nothing_changes(lot: pd.DataFrame, asked: partial[pd.DataFrame]) -> None:
    before = lot.copy()
    assert_frame_equal(asked(lot), lot)
    assert_frame_equal(lot, before)


@pytest.mark.parametrize("count", [1, 2, 7])
def test_parts_give_the_same_as_the_whole(count: int, many: pd.DataFrame, asked: partial[pd.DataFrame]) -> None:
    whole = asked(many)
    cut = parts(many, count)
    assert len(cut) == count
    known = stock_numbers(many)
    assert_frame_equal(pd.concat([asked(part, known=known) for part in cut]), whole)
    assert {"ok", "stock number", "stock number and VIN"} <= set(whole["duplicate"])
    # Without the numbers of all rows, all else is the same still.
    alone = pd.concat([asked(part) for part in cut])
    assert_frame_equal(alone.drop(columns=TELL_OF_DUPLICATES), whole.drop(columns=TELL_OF_DUPLICATES))
    assert (count == 1) == alone["duplicate"].equals(whole["duplicate"])


def test_row_by_row_and_in_any_order(many: pd.DataFrame, asked: partial[pd.DataFrame]) -> None:
    known, whole = stock_numbers(many), asked(many)
    shuffled = many.sample(frac=1, random_state=7)
    assert_frame_equal(asked(shuffled, known=known), whole.loc[shuffled.index])
    single = pd.concat([asked(many.iloc[place : place + 1], known=known) for place in range(0, len(many), 9)])
    assert_frame_equal(single, whole.iloc[::9])


def test_counts_of_parts_add_up(many: pd.DataFrame) -> None:
    first, second = map(stock_numbers, parts(many, 2))
    assert Numbers(first.stock + second.stock, first.vin + second.vin) == stock_numbers(many)


@pytest.mark.parametrize("count", [1, 2, 7])
def test_duplicate_left_out(count: int, many: pd.DataFrame, asked: partial[pd.DataFrame]) -> None:
    made = pd.concat([asked(part, duplicates=False) for part in parts(many, count)])
    assert_frame_equal(made, asked(many, duplicates=False))
    assert made["duplicate"].isna().all()
    assert made["not_checked"].str.contains("Duplicate").all()
    assert not (made["conflicts"] == "none").any()  # never "none" where something was not looked at
    assert not made["entry_check"].fillna("").str.contains("twice").any()


def test_dtypes_are_the_same_without_rows(many: pd.DataFrame, asked: partial[pd.DataFrame]) -> None:
    whole, empty = asked(many), asked(many.iloc[:0])
    assert len(empty) == 0
    assert list(empty.columns) == list(whole.columns)
    assert empty.dtypes.to_dict() == whole.dtypes.to_dict()
    assert {key: str(whole[key].dtype) for key in RESULTS} == RESULTS
    assert set(RESULTS.values()) == {"float64", "object"}
    blank = asked(entry())
    assert {key: str(blank[key].dtype) for key in RESULTS} == RESULTS
    assert blank[list(RESULTS)].isna().all(axis=None)


def test_columns_of_ones_own_and_any_index_stay(lot: pd.DataFrame, asked: partial[pd.DataFrame]) -> None:
    frame = lot[list(ENTRIES)].assign(yard="north", payload="old")
    frame.index = pd.Index(["same"] * len(frame), name="id")
    made = asked(frame)
    assert list(made.columns) == [*ENTRIES, "yard", "payload", *(key for key in RESULTS if key != "payload")]
    assert list(made.index) == ["same"] * len(lot)
    assert made["payload"].tolist() == pytest.approx(lot["payload"].tolist(), nan_ok=True)
    assert (made["yard"] == "north").all()


def test_a_metric_row_by_hand(tmp_path: Path) -> None:
    typed = {"stock_no": "W1", "gvwr": 9_000, "scale_weight": 2_500, "coupler_rating": 8_000}
    (row,) = add_results(entry(**typed), units="metric").to_dict("records")
    assert (row["payload"], row["coupler_short"]) == (6_500, 1_000)  # 9,000 - 2,500 and 9,000 - 8,000 kg
    workbook.write_new(tmp_path / "lot.xlsx", METRIC)
    frame = read_lot(tmp_path / "lot.xlsx")
    with pytest.raises(ValueError, match="read from a lot in metric units, not us"):
        add_results(frame, units="us")


def test_limits_and_options_by_hand() -> None:
    typed = {"stock_no": "1", "gvwr": 14_000, "base_weight": 4_000, "options": "Winch", "width": 100}
    ask = partial(add_results, entry(**typed), units="us", options=[("Winch", 150)])
    assert ask()[["empty_weight", "payload", "width_over"]].iloc[0].tolist() == [4_150, 9_850, 0]
    assert ask(limits={"legal_width": 96})["width_over"].tolist() == [4]  # 100 - 96 in
    assert ask(limits={"legal_width": (96, None)})["width_over"].tolist() == [4]
    with pytest.warns(UserWarning, match="limit legal_width: not taken, ours is used"):
        assert ask(limits={"legal_width": 1e9})["width_over"].tolist() == [0]
    with pytest.raises(ValueError, match="no limit is named legal_wdth: there are legal_width, "):
        ask(limits={"legal_wdth": 96})


@pytest.mark.parametrize(
    "blank", [None, float("nan"), pd.NA, pd.NaT, "", numpy.float64("nan"), Decimal("NaN")], ids=repr
)
def test_blanks_of_every_kind(blank: object) -> None:
    typed = {"stock_no": "1", "gvwr": 14_000, "scale_weight": 4_000}
    made = add_results(entry(**typed, coupler_rating=blank, received=blank), units="us")
    assert_frame_equal(made[list(RESULTS)], add_results(entry(**typed), units="us")[list(RESULTS)])


@pytest.mark.parametrize("kind", ["Int64", "int32", "Float64", "float32", "uint16", "object"])
def test_numbers_of_every_kind(kind: str) -> None:
    frame = entry(scale_weight=4_000).assign(
        stock_no=pd.Series([1105], dtype=kind), gvwr=pd.Series([14_000], dtype=kind)
    )
    made = add_results(frame, units="us")
    assert made["payload"].tolist() == [10_000]
    assert made["stock_no_as_text"].tolist() == ["1105"]
    assert made["gvwr"].dtype == frame["gvwr"].dtype


def test_texts_and_days_of_every_kind() -> None:
    days = [pd.Timestamp("2026-03-05"), datetime.date(2026, 3, 5), datetime.datetime(2026, 3, 5)]
    for day in (*days, numpy.datetime64("2026-03-05", "ns")):
        made = add_results(entry(stock_no="1", gvwr=9_000).assign(received=[day], hitch=["ball"]), units="us")
        assert made["entry_check"].isna().all(), day
    categories = entry(stock_no="1").assign(hitch=pd.Series(["hook"], dtype="category"))
    assert "Hitch: not one of the choices" in add_results(categories, units="us")["entry_check"][0]


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"gvwr": "heavy"}, "GVWR"),
        ({"gvwr": float("inf")}, "GVWR"),
        ({"gvwr": 10**400}, "GVWR"),
        ({"gvwr": True}, "GVWR"),
        ({"gvwr": -5}, "GVWR"),
        ({"received": "soon"}, "Received: not a date from 1980 on"),
        ({"low_pin_share": 10}, "Low pin share: not below 1: percent?"),
        ({"options": "Winch"}, "Options (12 at most, once on Options, with a weight): Winch"),
        ({"axles": 2.5}, "Axles: not whole"),
    ],
)
def test_what_the_sheet_refuses_is_named_in_entry_check(typed: dict[str, object], said: str) -> None:
    made = add_results(entry(stock_no="1", **typed), units="us")
    assert said in made["entry_check"][0]
    assert made["payload"].isna().all()


@pytest.mark.parametrize(
    ("wrong", "error", "said"),
    [
        (lambda f: add_results([], units="us"), TypeError, "a pandas DataFrame is wanted, not list"),
        (lambda f: add_results(f, units="kg"), ValueError, "units are us or metric, not 'kg'"),
        (lambda f: add_results(f.drop(columns=["gvwr", "vin"]), units="us"), ValueError, "are missing: vin, gvwr; add"),
        (lambda f: add_results(pd.concat([f, f[["vin"]]], axis=1), units="us"), ValueError, "stand twice: vin"),
        (
            lambda f: add_results(f.assign(gvwr=[[1]]), units="us"),
            TypeError,
            "gvwr, row 0: list is nothing that a cell",
        ),
        (lambda f: add_results(f.assign(gvwr=[1j]), units="us"), TypeError, "gvwr, row 0: complex is nothing that a"),
        (lambda f: add_results(f, units="us", options="Winch"), TypeError, "options are rows of a name, a weight, who"),
        (lambda f: add_results(f, units="us", options=["Winch"]), TypeError, "such as .*, not 'Winch'"),
        (lambda f: add_results(f, units="us", options=pd.DataFrame()), TypeError, "options are rows .*, not DataFrame"),
        (lambda f: stock_numbers(f[["vin"]]), ValueError, "columns are missing: stock_no; "),
        (
            lambda f: add_results(f, units="us", known=stock_numbers(f.iloc[:0])),
            ValueError,
            "known lacks the stock number 7 of this frame: it is to be the stock_numbers of all rows",
        ),
        (
            lambda f: add_results(f, units="us", known=stock_numbers(f), duplicates=False),
            ValueError,
            "duplicates=False asks for none",
        ),
    ],
)
def test_bad_input_is_a_clear_error(wrong: object, error: type[Exception], said: str) -> None:
    with pytest.raises(error, match=said):
        wrong(entry(stock_no="7"))  # type: ignore[operator]
