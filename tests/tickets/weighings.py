"""Weighings with what they come to, by hand or as published; the lot that they are of; and how they are written.

- Newspaper: Orlando Sentinel, 2021-04-02 (second-hand): truck 5,000 lb, 5,600 lb hitched, pin 600 lb.
- Textbook: Vector Mechanics for Engineers: Statics, problem 6.95, and 6.72 with the bars of an equalizing hitch;
  weights and texts read, distances from memory, axle loads worked: see ``tests/validation/test_scale_tickets.py``.
- Axle scales: a procedure for weighing a road train (globaltech.fi, read), in kilograms: tractor 7,300, hitched 8,550,
  all 13,700, trailer 6,400.
- Owners' forum (community.goodsam.com, read): of a pin of 500 lb tight bars leave 150 lb on the rear axle of the truck
  and 100 lb on its front axle, and put 250 lb on the trailer's axles. Truck and trailer are chosen here.

Limits are those of ``calc/rules/limits.py``: tickets 160 lb apart, the Lot 200 lb apart; each is asked on both sides.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.lot import columns as lot_columns
from tarelot.workbook_templates.sheets.tickets.columns import COLUMNS

Entries = Mapping[str, Any]
TRAILERS: list[dict[str, Any]] = [
    # Tires 2 x 2 x 1,700 = 6,800 lb set the axle group; a ball has pin shares from 10 to 15 %.
    {"stock": "A1", "hitch": "ball", "gvwr": 7_000, "base": 2_400, "empty_pin": 440, "axles": 2, "axle_rating": 3_500}
    | {"tires": 2, "tire_rating": 1_700, "coupler": 6_900, "vertical": 900},
    {"stock": "A2", "hitch": "ball", "gvwr": 7_000, "base": 2_000, "scale": 2_400},
    {"stock": "twice", "base": 2_000},
    {"stock": "twice", "base": 3_000},
    {"stock": 1107, "base": 2_400},
]
"""The lot: its stock numbers as texts and as a number, one of them twice."""


def named(columns: tuple[Any, ...], rows: list[Entries], units: Units) -> list[dict[str, Any]]:
    """Rows by heading, of rows by key."""
    headings = {column.key: units.heading(column.heading) for column in columns}
    return [{headings[key]: value for key, value in row.items()} for row in rows]


def lot_rows(units: Units) -> list[dict[str, Any]]:
    return named(lot_columns.COLUMNS, TRAILERS, units)


def ticket_rows(rows: list[Entries], units: Units) -> list[dict[str, Any]]:
    return named(COLUMNS, rows, units)


def tickets(alone: tuple[float, float], hitched: tuple[float, float, float], **more: Any) -> dict[str, Any]:
    """Three tickets: steer and drive alone; steer, drive and trailer axles hitched."""
    return {
        **{"stock": "A1", "load": "empty", "bars": "none"},
        **dict(zip(("alone_steer", "alone_drive"), alone, strict=True)),
        **dict(zip(("hitched_steer", "hitched_drive", "hitched_axles"), hitched, strict=True)),
        **more,
    }


ALONE, SLACK, TIGHT = (1_611.1, 1_288.9), (1_465.7, 1_870.7, 1_963.6), (1_740.8, 1_418.6, 2_140.5)
"""The textbook's truck alone, with the trailer on slack bars, and on tight ones."""
TRUE_PIN, APPARENT_PIN = 436.4, 259.4
"""2,400 x 2 / 11, and what tight bars leave of it: 1,740.8 + 1,418.6 - 2,900."""
WARNED = (
    "bars tight: the true pin is more than this one, weigh with the bars slack; "
    "the trailer's weight is right all the same"
)
FORUM_TRUCK = (2_800.0, 2_200.0)
FORUM_SLACK, FORUM_TIGHT = (2_650, 2_850, 4_500), (2_900, 2_350, 4_750)
"""5,000 lb with 500 lb on the hitch: on slack bars the truck gains all 500, on tight ones 100 in front, 150 behind."""

PUBLISHED: list[tuple[str, Entries, dict[str, Any]]] = [
    (
        "newspaper, no bars",
        {"stock": "A1", "load": "empty", "alone_drive": 5_000, "hitched_drive": 5_600},
        {"pin": 600, "weight": "", "missing": "weight: Hitched trailer axles; or Trailer alone"},
    ),
    (
        "textbook, bars slack",
        tickets(ALONE, SLACK, bars="slack"),
        {"weight": 2_400.0, "pin": TRUE_PIN, "pin_share": TRUE_PIN / 2_400, "axle_load": 1_963.6}
        | {"verdict": "ok", "cautions": "", "true_pin": TRUE_PIN},
    ),
    (
        "textbook, bars tight",
        tickets(ALONE, TIGHT, bars="tight"),
        {"weight": 2_399.9, "pin": APPARENT_PIN, "axle_load": 2_140.5, "cautions": WARNED, "true_pin": ""}
        | {"verdict": "ok, mind the cautions"},
    ),
    (
        "textbook, bars tight, trailer alone",
        tickets(ALONE, TIGHT, bars="tight", trailer_alone=2_400),
        {"weight": 2_400, "pin": 259.5, "cautions": WARNED, "between": ""},  # 2,400 - 2,140.5
    ),
    (
        "textbook, bars tight, a scale under the pin",
        tickets(ALONE, TIGHT, bars="Tight", pin_scale=TRUE_PIN),
        {"weight": 2_399.9, "pin": TRUE_PIN, "true_pin": TRUE_PIN, "between": ""}
        | {"cautions": "the tight bars take 177 lb off the hitch"},  # 436.4 - 259.4
    ),
    (
        "forum, bars slack",
        tickets(FORUM_TRUCK, FORUM_SLACK, bars="slack"),
        {"weight": 5_000, "pin": 500, "pin_share": 0.1, "axle_load": 4_500, "cautions": ""},
    ),
    (
        "forum, bars tight",
        tickets(FORUM_TRUCK, FORUM_TIGHT, bars="tight"),
        {"weight": 5_000, "pin": 250, "axle_load": 4_750, "cautions": WARNED, "true_pin": ""},
    ),
]
IN_KILOGRAMS: tuple[Entries, dict[str, Any]] = (
    {"stock": "A1", "load": "empty", "alone_drive": 7_300, "hitched_drive": 8_550, "hitched_axles": 13_700 - 8_550},
    {"weight": 6_400, "pin": 1_250, "axle_load": 5_150, "pin_share": 1_250 / 6_400}  # 8,550 - 7,300
    | {"cautions": "no steer axle typed: Drive is taken for the whole truck"},
)

LOADED = {"stock": "A1", "load": "loaded", "bars": "none"}
BESIDE: list[tuple[str, Entries, dict[str, Any]]] = [
    # Between the tickets: three say 2,400 (3,336.4 + 1,963.6 - 2,900); the pin by the trailer is alone - 1,963.6.
    ("160 apart", tickets(ALONE, SLACK, trailer_alone=2_560), {"between": "", "weight": 2_560, "pin": 596.4}),
    (
        "161 apart",
        tickets(ALONE, SLACK, trailer_alone=2_561),
        {
            "between": "Trailer alone 161 lb more than the hitched tickets say (pin by truck 436, by trailer 597)",
            "verdict": "▲ disagrees",
        },
    ),
    (
        "161 less",
        tickets(ALONE, SLACK, trailer_alone=2_239),
        {"between": "Trailer alone 161 lb less than the hitched tickets say (pin by truck 436, by trailer 275)"},
    ),
    ("pin 160 apart", tickets(ALONE, SLACK, pin_scale=596.4), {"between": "", "pin": 596.4}),
    (
        "pin 161 apart",
        tickets(ALONE, SLACK, pin_scale=597.4),
        {"between": "Pin on a scale 161 lb more than by the tickets"},
    ),
    ("tight bars hide 160 more", tickets(ALONE, TIGHT, bars="tight", pin_scale=900), {"between": ""}),
    ("tight bars, 160 less", tickets(ALONE, TIGHT, bars="tight", pin_scale=99.4), {"between": ""}),
    (
        "tight bars, 161 less",
        tickets(ALONE, TIGHT, bars="tight", pin_scale=98.4),
        {"between": "Pin on a scale 161 lb less than by the tickets"},
    ),
    ("pin of 0", tickets((2_000, 1_000), (2_000, 1_000, 2_400)), {"between": "", "pin": 0, "pin_share": 0}),
    (
        "lifts",
        tickets((2_000, 1_000), (2_000, 999, 2_400)),
        {"pin": -1, "pin_share": "", "weight": 2_399}
        | {"between": "pin below 0: the trailer lifts the hitch, or two tickets are swapped"},
    ),
    (
        "as heavy as the rig",  # 2,000 + 600 = 2,600
        tickets((1_600, 1_000), (1_100, 900, 600)),
        {
            "weight": "",
            "between": "truck alone as heavy as the whole rig: tickets swapped?; "
            "pin below 0: the trailer lifts the hitch, or two tickets are swapped; "
            "truck hitched 77% of the truck alone: a digit, or another truck?",
        },
    ),
    ("hitched 80 %", tickets((2_000, 1_000), (1_400, 1_000, 3_000)), {"pin": -600, "weight": 2_400}),
    (
        "hitched 79.9 %",
        tickets((2_000, 1_000), (1_397, 1_000, 3_003)),
        {
            "between": "pin below 0: the trailer lifts the hitch, or two tickets are swapped; "
            "truck hitched 80% of the truck alone: a digit, or another truck?"
        },
    ),
    ("hitched 250 %", tickets((600, 400), (500, 2_000, 6_000)), {"between": "", "pin": 1_500}),
    (
        "hitched 250.1 %",
        tickets((600, 400), (500, 2_001, 6_000)),
        {"between": "truck hitched 250% of the truck alone: a digit, or another truck?"},
    ),
    ("pin 40 %", {"stock": "A1", "load": "empty", "trailer_alone": 2_400, "pin_scale": 960}, {"between": ""}),
    (
        "pin above 40 %",
        {"stock": "A1", "load": "empty", "trailer_alone": 2_400, "pin_scale": 962},
        {"between": "pin 40.1% of the trailer's weight: tickets swapped?"},
    ),
    # Against the Lot: A1 has 2,400 listed and a pin of 440, A2 a Scale weight of 2,400.
    ("listed 200 apart", {"stock": "A1", "load": "empty", "trailer_alone": 2_600}, {"against": ""}),
    (
        "listed 201 apart",
        {"stock": "A1", "load": "empty", "trailer_alone": 2_601},
        {"against": "201 lb more than the listed empty weight on the Lot", "between": ""},
    ),
    ("scale 200 apart", {"stock": "a2 ", "load": "empty", "trailer_alone": 2_200}, {"against": ""}),
    (
        "scale 201 apart",
        {"stock": "A2", "load": "empty", "trailer_alone": 2_199},
        {"against": "201 lb less than Scale weight on the Lot"},
    ),
    (
        "pin 200 from the Lot",
        {"stock": "A1", "load": "empty", "trailer_alone": 2_400, "pin_scale": 640},
        {"against": ""},
    ),
    (
        "pin 201 from the Lot",
        {"stock": "A1", "load": "empty", "trailer_alone": 2_400, "pin_scale": 641},
        {"against": "pin 201 lb more than Empty pin on the Lot"},
    ),
    ("loaded 200 lighter", {**LOADED, "trailer_alone": 2_200}, {"against": "", "load_aboard": ""}),
    (
        "loaded 201 lighter",
        {**LOADED, "trailer_alone": 2_199},
        {"against": "201 lb lighter than empty on the Lot: loaded?"},
    ),
    # Ratings of A1: GVWR 7,000, tires 6,800, coupler 6,900, its vertical 900, pin shares 10 to 15 %.
    ("coupler kept", {**LOADED, "trailer_alone": 6_900}, {"against": "", "load_aboard": 4_500}),  # 6,900 - 2,400
    ("coupler passed", {**LOADED, "trailer_alone": 6_901}, {"against": "Coupler over by 1 lb"}),
    ("GVWR kept", {**LOADED, "trailer_alone": 7_000}, {"against": "Coupler over by 100 lb"}),
    ("GVWR passed", {**LOADED, "trailer_alone": 7_001}, {"against": "GVWR over by 1 lb; Coupler over by 101 lb"}),
    ("tires kept", {**LOADED, "hitched_axles": 6_800}, {"against": "", "axle_load": 6_800}),
    ("tires passed", {**LOADED, "hitched_axles": 6_801}, {"against": "Tires over by 1 lb"}),
    ("vertical kept", {**LOADED, "trailer_alone": 6_500, "pin_scale": 900}, {"against": "", "axle_load": 5_600}),
    (
        "vertical passed",
        {**LOADED, "trailer_alone": 6_500, "pin_scale": 901},
        {"against": "Coupler vertical over by 1 lb"},
    ),
    ("low share kept", {**LOADED, "trailer_alone": 5_000, "pin_scale": 500}, {"against": "", "pin_share": 0.1}),
    (
        "low share passed",  # 495 / 5,000 = 9.9 %
        {**LOADED, "trailer_alone": 5_000, "pin_scale": 495},
        {"against": "pin 9.9% of the weight, below 10.0%: it may sway"},
    ),
    ("high share kept", {**LOADED, "trailer_alone": 5_000, "pin_scale": 750}, {"against": "", "pin_share": 0.15}),
    (
        "high share passed",  # 755 / 5,000 = 15.1 %
        {**LOADED, "trailer_alone": 5_000, "pin_scale": 755},
        {"against": "pin 15.1% of the weight, above 15.0%"},
    ),
    (
        "low share of an apparent pin is not asked",
        tickets(FORUM_TRUCK, FORUM_TIGHT, load="loaded", bars="tight"),
        {"against": "", "pin_share": 0.05, "load_aboard": 2_600},
    ),
    # Entries: bounds 200 and 150,000 lb, of the pin 20 and 40,000.
    ("least", {"stock": "A1", "load": "empty", "trailer_alone": 200}, {"entry_check": "", "weight": 200}),
    (
        "below the least",
        {"stock": "A1", "load": "empty", "trailer_alone": 199},
        {"entry_check": "Trailer alone 199 lb: TRUE, tons, or a digit missing?", "weight": "", "pin": ""},
    ),
    ("greatest", {"stock": "A1", "load": "empty", "trailer_alone": 150_000}, {"entry_check": "", "weight": 150_000}),
    (
        "above the greatest",
        {"stock": "A1", "load": "empty", "trailer_alone": 150_001},
        {"entry_check": "Trailer alone 150001 lb: a digit too many?", "weight": ""},
    ),
    ("least pin", {"stock": "A1", "load": "empty", "pin_scale": 20}, {"entry_check": "", "pin": 20}),
    (
        "below the least pin",
        {"stock": "A1", "load": "empty", "pin_scale": 19},
        {"entry_check": "Pin on a scale 19 lb: TRUE, tons, or a digit missing?", "pin": ""},
    ),
    ("greatest pin", {"stock": "A1", "load": "empty", "pin_scale": 40_000}, {"entry_check": "", "pin": 40_000}),
    (
        "above the greatest pin",
        {"stock": "A1", "load": "empty", "pin_scale": 40_001},
        {"entry_check": "Pin on a scale 40001 lb: a digit too many?", "pin": ""},
    ),
    (
        "a text",
        tickets(ALONE, SLACK, hitched_drive="1,870.7 lb"),
        {"weight": "", "pin": "", "pin_share": "", "axle_load": ""}
        | {"entry_check": "Not a number above 0, or not what belongs there: Hitched drive", "missing": ""},
    ),
    (
        "below 0, and another word",
        tickets(ALONE, SLACK, hitched_axles=-5, load="half"),
        {"weight": ""}
        | {
            "entry_check": "Not a number above 0, or not what belongs there: Weighed: not one of the choices; "
            "Hitched trailer axles; Hitched trailer axles -5 lb: TRUE, tons, or a digit missing?",
        },
    ),
    ("unknown", tickets(ALONE, SLACK, stock="A9"), {"weight": 2_400, "entry_check": "stock no. A9 is not on the Lot"}),
    ("wild letters", tickets(ALONE, SLACK, stock="A?"), {"entry_check": "stock no. A? is not on the Lot"}),
    ("twice", tickets(ALONE, SLACK, stock="twice"), {"entry_check": "stock no. twice stands on the Lot twice"}),
    ("a number", tickets(ALONE, SLACK, stock=1107), {"entry_check": "", "verdict": "ok", "against": ""}),
    ("a number as a text", tickets(ALONE, SLACK, stock="1107"), {"entry_check": "", "verdict": "ok", "against": ""}),
    # Days as a spreadsheet counts them: 46,023 is 2026-01-01, and 14 years and 4 leap days later, 46,023 + 5,114 - 1
    # = 51,136, is 2040-01-01. The greatest model year of Limits is 2039.
    ("last likely day", tickets(ALONE, SLACK, date=51_135), {"entry_check": "", "weight": 2_400}),
    ("its evening", tickets(ALONE, SLACK, date=51_135.9), {"entry_check": "", "weight": 2_400}),
    (
        "a year mistyped",
        tickets(ALONE, SLACK, date=51_136),
        {"entry_check": "Date after 2039: a slip in the year?", "weight": "", "verdict": "▲ see Entry check"},
    ),
    # Only the Lot disagrees: 2,400 listed.
    (
        "differs from the Lot",
        tickets(ALONE, SLACK, trailer_alone=2_601, hitched_axles=2_164.6),
        {"between": "", "verdict": "▲ differs from Lot or ratings"},
    ),
    # Missing.
    ("blank", {}, {"verdict": "", "missing": "", "weight": "", "entry_check": "", "is_begun": ""}),
    (
        "only a day",
        {"date": 46_000},
        {
            "verdict": "? stock no.; empty or loaded; "
            "weight: Hitched trailer axles, Truck alone drive, Hitched drive; or Trailer alone; "
            "pin: Truck alone drive, Hitched drive; or Pin on a scale"
        },
    ),
    (
        "steer on one ticket",
        tickets((1_600, 1_300), (1_500, 1_900, 1_900)) | {"alone_steer": None},
        {"weight": "", "pin": "", "axle_load": 1_900}
        | {
            "missing": "weight: steer axle on both tickets of the truck; or Trailer alone; "
            "pin: steer axle on both tickets of the truck; or Pin on a scale"
        },
    ),
    (
        "trailer alone",
        {"stock": "A1", "load": "empty", "trailer_alone": 2_400},
        {"weight": 2_400, "verdict": "? pin: Hitched trailer axles; or Pin on a scale"},
    ),
    (
        "axles and a scale under the pin",
        {"stock": "A1", "load": "empty", "hitched_axles": 1_960, "pin_scale": 440},
        {"weight": 2_400, "pin": 440, "axle_load": 1_960, "verdict": "ok"},
    ),
    (
        "the same with tight bars: its axles carry what the bars put on them",
        {"stock": "A1", "load": "empty", "bars": "tight", "hitched_axles": 1_960, "pin_scale": 440},
        {"weight": "", "pin": 440},
    ),
]
ROWS = [*PUBLISHED, *BESIDE]
