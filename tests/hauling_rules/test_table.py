"""Each mistake that must not pass for a yes, as one change of a set that fits.

The fitting set by hand, in lb, in and ft:
  gross 6,000 + 9,000 = 15,000; wanted on the pin 10 to 15 %: 1,500 to 2,250; in the middle 1,875, axles 13,125 of
  2 x 10,000. Center behind the coupler 17 x (700 + 9,000 - 1,875) / 9,000 = 14.7806 ft, 9.2806 ft behind the deck's
  front edge; front contact 46 in ahead of it, rear contact 40 in behind it: both on the 20 ft of deck.
  Truck: rear 9,000 + 1,875 x 260 / 200 = 11,437.5 of 21,000; front 8,500 - 1,875 x 60 / 200 = 7,937.5 of 12,000, 41 %
  of 19,375; truck 17,500 + 1,875 of 33,000; both 32,500 of 60,000.
  Tail's end behind the coupler 5.5 + 20 + sqrt(60^2 - 12^2) / 12 = 30.3990 ft: 700 + 9,000 x (17 - 30.3990) / 17 =
  -6,393.6 on the hitch, -6,393.6 x 1.3 = -8,311.7 on the rear axle of 9,000: it stays down.
  Ramp asin(22 / 72) = 17.79 deg, tail asin(12 / 60) = 11.54 deg. Front strikes: 40 x tan 17.79 deg = 12.8 of 24 in.
  Ties: 86 + 40 + 36 = 162 in = 13.5 ft: 3 of 8; 8 x 5,000 / 2 = 20,000 of the 4,500 wanted.
  Ramps: outside 84 of 92; inside 84 - 36 = 48 of 92 - 48 = 44. Height 34 + 104 = 138 of 162.
  License: 33,000 + 24,000 with more than 10,000 towed: group A, a caution.
"""

from __future__ import annotations

import math

import pytest

from tarelot.calc.rules.hauling import RULES, judge, ours
from tarelot.calc.rules.hauling_doubts import ENTERED
from tarelot.calc.rules.hauling_rule import NO, NOT_SURE, YES
from tests.hauling_rules.fitting import FITTING, METRIC, NECK, PUBLISHED, TANDEM, TRUCK, US, judged

Changes = dict[str, object]
SURGE: Changes = {"brakes": "hydraulic surge", "brake_controls": "none"}
TRACKS: Changes = {"runs_on": "tracks", "clearance": None}


def ramp(degrees: float) -> Changes:
    """Ramps of another angle: the rise is 22 in."""
    return {"ramp_length": 22 / math.sin(math.radians(degrees))}


BARE: Changes = {
    "front_overhang": 0,
    "rear_overhang": 0,
    "front_clearance": None,
    "rear_clearance": None,
    "clearance": 40,
}
"""A machine without overhangs, high above the ground: only the slope itself can stop it."""
HERE: Changes = {"place": 9.0}
LIGHT: Changes = {"brakes": "none", "gvwr": 3_500, "empty": 1_000, "empty_pin": 120, "weight": 1_800}
BIG_TRUCK: Changes = {"rear_rating": 70_000, "truck_gvwr": 90_000, "gcwr": 90_000}
LOADED_TRUCK: Changes = {"rear_axles": 2, "rear_spread": 54, "truck_wheelbase": 170, "stands": "yes"}
LOADED_TRUCK |= {"front_empty": 17_500, "front_rating": 20_000, "rear_empty": 29_500, "hitch_overhang": 0}
CLOSE_AXLES: Changes = {"axle_spread": 40, "empty": 15_000, "empty_pin": 1_700, "gvwr": 30_000}
CLOSE_AXLES |= {"axle_rating": 12_000, "suspension": 12_000}
HEAVY: Changes = {"weight": 20_000, "empty": 18_000, "empty_pin": 2_500, "gvwr": 40_000, "stands": "yes"}
HEAVY |= {"axle_rating": 20_000, "suspension": 20_000, "tire_rating": 5_000, "wheel_rating": 5_000, "chains": 50_000}
HEAVY |= {"coupler": 50_000, "coupler_vertical": 10_000, "hitch_rating": 50_000, "hitch_vertical": 10_000}
HEAVY |= {"ramp_rating": 30_000, "gcwr": 90_000, "rear_empty": 25_000} | TANDEM
ROWS: tuple[tuple[Changes, str, str], ...] = (
    ({}, YES, ""),
    (NECK, YES, ""),
    (TRACKS, YES, ""),
    # The way up
    (BARE | ramp(17), YES, ""),
    (BARE | ramp(20), YES, ""),  # the machine is said to climb 25 deg
    (BARE | ramp(27), NO, "steeper than it climbs: 27.0 deg, it climbs 25.0"),
    (BARE | ramp(20) | {"climb": 19}, NO, "steeper than it climbs: 20.0 deg"),
    (BARE | ramp(20) | {"climb": None}, NOT_SURE, "machine's greatest slope"),
    (BARE | ramp(17) | {"climb": None}, YES, ""),
    (BARE | ramp(17) | {"climb": 16}, NO, "steeper than it climbs"),
    (BARE | ramp(30.1) | {"climb": 60}, NO, "ramp too steep: 30.1 deg"),
    (BARE | ramp(50) | {"climb": 60}, NO, "ramp too steep: 50.0 deg"),
    (BARE | {"ramp_length": 22}, NO, "ramp too steep: 90.0 deg"),
    (BARE | {"ramp_length": 15, "climb": None}, NO, "ramp too steep: 90.0 deg"),
    ({"clearance": 4}, NO, "touches on the way up"),  # 86/2 tan(11.54/2 deg) = 4.3 at the tail's top
    ({"clearance": 5}, NOT_SURE, "gap not sure"),
    ({"front_clearance": 12.7}, NO, "its leading end strikes the ramp or tail by 0.1 in"),
    (TRACKS | {"front_clearance": 12.7}, NO, "its leading end strikes the ramp or tail by 0.1 in"),
    (
        TRACKS | {"rear_clearance": 11.45},
        NO,
        "its trailing end strikes the ground by 0.1 in",
    ),  # its center is 40 in from its rear end, less than the ramp: it lies on it. 36 tan asin(22/72) = 11.55
    (TRACKS | {"rear_clearance": 11.6}, YES, ""),
    (  # 80 in behind its center, more than the ramp: it tips at asin(22/80) = 15.96 deg. 36 tan = 10.30
        TRACKS | {"wheelbase": 126, "rear_clearance": 10.2, "place": 8.0},
        NO,
        "its trailing end strikes the ground by 0.1 in",
    ),
    # rear at the foot, front 14.07 in along the tail: 22 + 14.07 x 0.2 = 24.81 up. 36 tan asin(24.81/86) = 10.85
    ({"rear_clearance": 10.75}, NO, "its trailing end strikes the ground by 0.1 in"),
    (  # 90 in ahead of the foot: up the ramp 22 in a run of 68.56, then 21.44 along a tail of 11.54 deg: 26.38
        TRACKS | {"front_overhang": 90, "front_clearance": 26.3, "place": 10.9},
        NO,
        "its leading end strikes the ramp or tail by 0.1 in",
    ),
    ({"front_overhang": 8, "front_clearance": 5, "direction": "backward"}, YES, ""),
    (
        # 22 + (70 - 68.56) x 12 / sqrt(60^2-12^2) = 22.29
        {"rear_overhang": 70, "rear_clearance": 22.2, "direction": "backward"},
        NO,
        "leading end strikes the ramp or tail by 0.1 in",
    ),
    (  # tail asin(20/40) = 30 deg, ramp asin(14/72) = 11.2: 40 x tan 18.8 deg = 13.6 above 40 x tan 11.2 deg = 7.9
        TRACKS | {"tail_length": 40, "tail_drop": 20, "climb": 40, "front_clearance": 13.5},
        NO,
        "its leading end strikes the ramp or tail by 0.1 in",
    ),
    ({"clearance": None}, NOT_SURE, "machine's ground clearance"),
    ({"front_overhang": None}, NOT_SURE, "machine's front overhang"),
    ({"rear_overhang": None, "rear_clearance": None}, NOT_SURE, "machine's rear overhang"),
    ({"front_clearance": None}, NOT_SURE, "machine's front clearance"),
    ({"front_overhang": 0, "front_clearance": None}, YES, ""),
    # Ramps and deck
    ({"ramp_rating": 4_800}, NO, "ramps overloaded by 14 lb"),  # 9,000 x 46 / 86 = 4,813.95
    ({"ramp_rating": 4_814}, NOT_SURE, "whether the ramps carry its lower axle on the slope"),
    # asin(22/72) = 17.79 deg; (46 cos + 52 sin) / 86 x 9,000 = 6,246.6 with the center 52 in high
    ({"ramp_rating": 6_246}, NOT_SURE, "whether the ramps carry its lower axle on the slope"),
    ({"ramp_rating": 6_247}, YES, ""),
    ({"ramp_length": 87, "ramp_rating": 8_999}, NO, "ramps overloaded by 1 lb"),  # both axles of 86 in on them
    ({"ramp_length": 87, "ramp_rating": 9_000}, YES, ""),
    (TRACKS | {"ramp_rating": 8_999}, NO, "ramps overloaded by 1 lb"),
    ({"tread_outside": 98, "deck_width": 82, "ramps_outside": 102}, NO, "wider than the deck by 16.0 in"),
    ({"tread_outside": 93}, NO, "wider than the ramps by 1.0 in"),
    ({"tread_outside": 93, "ramp_kind": "full width"}, NO, "wider than the ramps by 1.0 in"),
    ({"tread_outside": 79}, NO, "beside the ramps, inside by 1.0 in"),  # 79 - 36 = 43 of 44
    ({"tread_outside": 60, "ramp_kind": "full width", "ramp_width": None, "shoe_width": None}, YES, ""),
    ({"ramp_kind": "folding"}, NOT_SURE, "ramp kind not known: folding"),
    ({"machine_width": 103}, NO, "103.0 in wide needs a permit"),
    ({"tail_drop": 0, "climb": 29}, NOT_SURE, "tail length and drop: both or neither"),
    ({"tail_length": 0}, NOT_SURE, "tail length and drop: both or neither"),
    ({"tail_length": None, "tail_drop": None}, NOT_SURE, "tail length; tail drop"),
    # Driving on lifts the truck
    ({"weight": 20_000}, NO, "lifts the truck's rear axles"),
    ({"rear_empty": 8_300}, NO, "lifts the truck's rear axles while it drives on by 12 lb"),
    ({"rear_empty": 8_300, "stands": "yes"}, YES, ""),
    ({"rear_empty": 3_500, "front_empty": 4_000}, NO, "lifts the truck's rear axles"),
    ({"front_overhang": 140, "front_clearance": 60} | HERE, NO, "past the coupler, where the truck is, by 12.0 in"),
    ({"front_overhang": 127, "front_clearance": 60} | HERE, YES, ""),  # 46 + 127 - 108 = 65 of 66 in to the coupler
    # The trailer's ratings, and parts of them that are not stated
    *(
        ({key: None}, NOT_SURE, name)
        for key, name in (
            ("tire_rating", "tire rating"),
            ("wheel_rating", "wheel rating"),
            ("suspension", "suspension rating"),
            ("tires", "tires per axle"),
            ("chains", "chain strength"),
            ("jacks", "jacks"),
            ("jack_rating", "jack rating"),
            ("axle_rating", "axle rating"),
            ("coupler", "coupler rating"),
            ("hitch", "hitch"),
            ("coupler_vertical", "coupler vertical"),
            ("points", "tie-down points"),
            ("brakes", "brakes"),
        )
    ),
    ({"gvwr": 14_999}, NO, "above the trailer's GVWR by 1 lb"),
    ({"coupler": 14_900}, NO, "coupler overloaded by 100 lb"),
    ({"chains": 14_999}, NO, "safety chains short by 1 lb"),
    (NECK | {"chains": 1}, YES, ""),
    ({"axle_rating": 5_000}, NO, "at least 5,000 lb must rest on the hitch for the axles"),
    ({"suspension": 5_100}, NO, "at most 4,758 lb for the deck's front edge"),
    ({"tire_rating": 1_200}, NO, "for the tires"),  # 8 x 1,200 = 9,600: 5,400 on the pin
    ({"wheel_rating": 1_200}, NO, "for the wheels"),
    ({"tires": 1}, NO, "for the tires"),
    ({"jack_rating": 1_400}, NO, "at most 1,400 lb for the jacks"),
    ({"jacks": 0, "jack_rating": None}, NO, "at most 0 lb for the jacks"),
    ({"coupler_vertical": 1_499}, NO, "for the coupler's vertical rating"),
    ({"place": 3.0}, NO, "its foremost contact stands ahead of the deck by 10.0 in"),
    ({"place": 17.0}, NO, "its rearmost contact stands behind the level deck by 4.0 in"),
    ({"place": 10.0}, NO, "too light on the hitch by 6 lb"),  # 700 + 9,000 x 1.5 / 17 = 1,494.1
    ({"place": 8.0}, YES, ""),  # 700 + 9,000 x 3.5 / 17 = 2,552.9: above 15 %, a caution
    ({"place": "front"}, NOT_SURE, "place of its center as typed"),
    ({"deck_length": 7}, NO, "deck too short for its wheelbase or tracks by 2.0 in"),
    ({"to_center": 86}, NO, "its center of gravity does not lie between its contacts"),
    ({"to_center": None}, NOT_SURE, "machine's front contact to center"),
    (NECK | {"neck_clearance": None}, NOT_SURE, "neck clearance"),
    (NECK | {"place": 4.6}, NO, "stands past the neck clearance by 0.8 in"),  # 46 + 40 - 55.2 - 30
    # Hitch and brakes
    ({"hitches": "no ball, pintle", "hitch": "ball"}, NO, "truck has no ball hitch (truck: no ball, pintle)"),
    ({"hitches": "Ball ;  PINTLE"}, YES, ""),
    ({"hitches": "Gooseneck ;  PINTLE"}, NOT_SURE, "which of the truck's hitches"),
    (NECK | {"hitches": "ball, gooseneck"}, NOT_SURE, "which of the truck's hitches"),
    ({"hitches": "ball, gooseneck"}, NO, "truck has no pintle hitch"),
    ({"hitches": "pintles"}, NO, "truck has no pintle hitch (truck: pintles)"),
    ({"hitch": "pint"}, NO, "truck has no pint hitch"),
    ({"hitch": "lunette", "hitches": "lunette"}, NOT_SURE, "hitch not known: lunette"),
    ({"coupler_sizes": "2-5/16 ball"}, NO, "coupler size differs"),
    ({"coupler_sizes": "13 in eye"}, NO, "coupler size differs"),
    ({"coupler_size": None}, NOT_SURE, "coupler size"),
    ({"brakes": "air", "brake_controls": "electric"}, NO, "truck cannot work the trailer's brakes: air"),
    ({"brake_controls": "air"}, NO, "truck cannot work the trailer's brakes: electric"),
    ({"brake_controls": None}, NOT_SURE, "truck's brake controls"),
    (SURGE, NO, "surge brakes are not allowed"),  # rated 24,000, above 20,000
    (SURGE | {"gvwr": 20_000}, YES, ""),  # 1.25 x 33,000
    (SURGE | {"gvwr": 20_000, "truck_gvwr": 15_999}, NO, "surge brakes are not allowed"),
    ({"brakes": "none"}, NO, "too heavy to have no brakes by 12,000 lb"),
    ({"brakes": "drum"}, NOT_SURE, "kind of brakes not known: drum"),
    # The truck
    (dict.fromkeys(TRUCK), NOT_SURE, "truck not chosen"),
    ({"hitch_overhang": None}, NOT_SURE, "truck's hitch overhang"),
    ({"hitch_overhang": -200}, NOT_SURE, "the hitch is not behind the truck's front axle"),
    ({"gcwr": 32_499}, NO, "above the truck's GCWR by 1 lb"),
    ({"gcwr": 0}, NOT_SURE, "truck's GCWR"),
    ({"truck_gvwr": 18_900}, NO, "at most 1,400 lb for the truck's GVWR"),
    ({"rear_rating": 10_900}, NO, "at most 1,461 lb for the truck's rear axles"),  # 1,900 / 1.3
    ({"hitch_rating": 14_999}, NO, "truck's hitch overloaded by 1 lb"),
    ({"hitch_vertical": 1_400}, NO, "at most 1,400 lb for the truck hitch's vertical rating"),
    ({"front_empty": 500, "place": 8.0}, NO, "the hitch lifts the truck's front axle"),  # 500 - 2,552.9 x 0.3 < 0
    ({"front_empty": 400}, NO, "for the truck's front axle, lifted"),
    # The law
    ({"machine_height": 128.1}, NO, "too high loaded by 0.1 in"),
    ({"machine_height": 0}, NOT_SURE, "machine's height"),
    ({"axle_spread": None}, NOT_SURE, "axle spread"),
    ({"rear_axles": None}, NOT_SURE, "truck's rear axles"),
    (
        {"rear_empty": 19_000, "rear_rating": 30_000, "truck_gvwr": 60_000},
        NO,
        "for the legal weight on the truck's rear",
    ),
    ({"rear_empty": 19_000, "rear_rating": 30_000, "truck_gvwr": 60_000, "permit": "yes"}, YES, ""),
    (
        {"front_empty": 20_900, "front_rating": 22_000, "truck_gvwr": 60_000},
        NO,
        "legal weight on the truck's front axle",
    ),
    # At a typed place of 9 ft: pin 700 + 9,000 x 2.5 / 17 = 2,023.5, axles 12,976.5, rear 11,630.6, front 7,892.9
    (HERE | {"axle_rating": 6_000}, NO, "trailer's axles overloaded by 977 lb"),
    (HERE | {"suspension": 6_000}, NO, "trailer's suspension overloaded by 977 lb"),
    (HERE | {"tire_rating": 1_500}, NO, "trailer's tires overloaded by 977 lb"),
    (HERE | {"wheel_rating": 1_500}, NO, "trailer's wheels overloaded by 977 lb"),
    (HERE | {"jack_rating": 2_000}, NO, "jacks short by 24 lb"),
    (HERE | {"coupler_vertical": 2_000}, NO, "coupler's vertical rating passed by 24 lb"),
    (HERE | {"hitch_vertical": 2_000}, NO, "truck's hitch vertical rating passed by 24 lb"),
    (HERE | {"truck_gvwr": 19_500}, NO, "above the truck's GVWR by 24 lb"),
    (HERE | {"rear_rating": 11_600}, NO, "truck's rear axles overloaded by 31 lb"),
    (HERE | {"hitch_overhang": -40, "front_rating": 8_900}, NO, "truck's front axle overloaded by 5 lb"),  # 8,904.7
    (HERE | {"front_rating": 8_400}, NO, "truck's front axle overloaded without a trailer by 100 lb"),
    (HERE | LIGHT | {"front_empty": 3_000, "rear_empty": 3_000}, NO, "beside the truck to have no brakes by 16 lb"),
    (HERE | LIGHT | {"weight": 2_100}, NO, "too heavy to have no brakes by 100 lb"),
    (HERE | LIGHT, YES, ""),  # axles 2,800 - 120 - 1,800 x 2.5 / 17 = 2,415.3; 40 % of 6,000, of 17,500
    (HERE | BIG_TRUCK | {"rear_empty": 19_000}, NO, "legal weight on the truck's rear axles by 1,631 lb"),
    (HERE | BIG_TRUCK | {"rear_empty": 60_000}, NO, "above the legal gross weight of both by 3,500 lb"),
    # four axles over 488.5 in: 500 (41 x 4 / 3 + 48 + 36) = 69,333, to the nearest 69,500; here 70,100
    (HERE | BIG_TRUCK | {"rear_empty": 46_600}, NO, "above the bridge formula, first to last axle, by 600 lb"),
    # three over 288.5 in: 500 (24 x 3 / 2 + 36 + 36) = 54,000; here 70,100 - 7,892.9
    (HERE | BIG_TRUCK | {"rear_empty": 46_600}, NO, "truck's rear axles to the last, by 8,208 lb"),
    # pin 2,500 + 20,000 x 2.5 / 17 = 5,441.2, front 8,500 - 1,632.4; behind it 71,500 - 6,867.6 = 64,632.4;
    # four axles over 314.5 in: 500 (26 x 4 / 3 + 48 + 36) = 59,333, to the nearest 59,500; each tandem below 34,000
    (HERE | HEAVY, NO, "truck's rear axles to the last, by 5,133 lb"),
    (HERE | HEAVY | {"permit": "yes"}, YES, ""),
    # two axles within 40 in count as one: 24,000 - 1,700 - 9,000 x 2.5 / 17 = 20,976.5
    # 17,500 + 29,500 + 2,024; 3 axles over 170 + 27 = 197 in, 16 ft: 500 (16 x 3/2 + 36 + 36) = 48,000
    (HERE | BIG_TRUCK | LOADED_TRUCK, NO, "the truck's first to last axle, by 1,024 lb"),
    (HERE | BIG_TRUCK | LOADED_TRUCK | {"front_empty": 16_476}, YES, ""),
    (HERE | CLOSE_AXLES, NO, "above the legal weight on the trailer's axles by 977 lb"),
    (HERE | CLOSE_AXLES | {"axle_spread": 41}, YES, ""),
    # 23 CFR 658.15: 102 in at most, without a permit
    ({"machine_width": 102}, YES, ""),
    ({"machine_width": 102.1}, NO, "102.1 in wide needs a permit"),
    ({"machine_width": 102.1, "permit": "yes"}, YES, ""),
    ({"trailer_width": 103}, NO, "103.0 in wide needs a permit"),
    # Entries in doubt
    ({"runs_on": "skids"}, NOT_SURE, "machine's wheels or tracks not known: skids"),
    ({"empty_pin": 6_100}, NOT_SURE, "empty pin above the empty weight"),
    ({"rear_axles": 1.5, "rear_spread": 50}, NOT_SURE, "truck's rear axles not whole"),
    ({"axle_spread": 0}, NOT_SURE, "axle spread: 0 for one axle, above 0 for more"),
    ({"trailer_doubt": "Deck length 240 ft: inches?"}, NOT_SURE, "trailer's entries: Deck length 240 ft: inches?"),
    ({"machine_doubt": "Weight"}, NOT_SURE, "machine's entries: Weight"),
    ({"truck_doubt": "GVWR"}, NOT_SURE, "truck's entries: GVWR"),
    ({"gvwr": "heavy"}, NOT_SURE, "GVWR"),
    ({"weight": "#NUM!"}, NOT_SURE, "machine's weight"),
    ({"axles": 2.5}, NOT_SURE, "axles, tires, jacks or points not whole"),
    ({"low_share": 0.2}, NOT_SURE, "the low pin share is above the high one"),
    ({"points": 2}, NO, "tie-down points: 2 of 3"),
    ({"point_rating": 1_100}, NO, "tie-down points short together by 200 lb"),
)


@pytest.mark.parametrize(("changes", "word", "said"), ROWS, ids=[str(row[0])[:60] for row in ROWS])
def test_a_change_of_the_fitting_set(changes: Changes, word: str, said: str) -> None:
    found = judged(changes)
    assert (found.word, said in {NO: found.broken, NOT_SURE: found.missing, YES: ""}[word]) == (word, True), (
        found.broken,
        found.missing,
    )


CAUTIONS: tuple[tuple[Changes, str], ...] = (
    ({}, "lifts the hitch while it drives on by 6,394 lb"),
    ({}, "commercial license, group A"),
    ({"place": 8.0}, "heavier on the hitch than usual by 303 lb"),  # 2,552.9 - 2,250
    ({"place": 6.0}, "reaches over the deck's front edge by 14.0 in"),  # 46 + 40 - 72
    ({"machine_width": 103, "permit": "yes"}, "wider than the trailer by 1.0 in"),
    ({"machine_width": 103, "permit": "yes"}, "103.0 in wide needs a permit"),
    (BARE | ramp(20), "steep: 20.0 deg"),
    ({"machine_width": 111, "permit": "yes"}, "reaches past the trailer's sides by 4.5 in: flags and lamps"),
    (TRACKS, "tips over 11.5 deg"),
    ({"front_empty": 3_000, "place": 8.0}, "light on the truck's front axle: 15% of its weight"),  # 2,234 of 14,553
    ({"rear_overhang": 210, "rear_clearance": 100}, "reaches past the tail's end by 63 in"),
    ({"clearance": 6.5}, "tight on the way up"),
    # 240 lb, 60 in, center at 30, springs of 2,700 lb in: (240 x 30 - 2,700) / 60 = 75; 75 - 51 = 24
    ({"ramp_lift": 75}, "a ramp takes more to lift than one person should by 24 lb"),
    (
        {"rear_empty": 19_000, "rear_rating": 30_000, "truck_gvwr": 60_000, "permit": "yes"},
        "above the legal weight on the truck's rear axles by 1,438 lb",  # 19,000 + 1,875 x 1.3 - 20,000
    ),
    # the tail ends 5.5 + 20 + 4.9 = 30.4 ft behind the coupler: 5,300 + 9,000 x 30.4 / 17 = 21,394 on two of 10,000
    ({}, "trailer's axles overloaded while it drives on by 1,394 lb"),
)


@pytest.mark.parametrize(("changes", "said"), CAUTIONS, ids=[row[1] for row in CAUTIONS])
def test_a_caution_beside_a_yes(changes: Changes, said: str) -> None:
    found = judged(changes)
    assert (found.word, found.broken, said in found.cautions) == (YES, "", True), (found.missing, found.cautions)


def test_no_license_without_the_label() -> None:
    """383.5: a rating in a brochure does not count, one on the label does; standards: 11,500 + 10,001."""
    small: Changes = {"truck_gvwr": 11_500, "gvwr": 10_001, "weight": 3_000, "front_empty": 4_000, "rear_empty": 4_000}
    assert "license" not in judged(small, empty=4_000).cautions
    assert "group A" in judged(small, empty=4_000, label_gcwr=30_000).cautions
    assert judged(small, empty=4_000, label_gcwr=None).word != YES


def test_worst_first() -> None:
    found = judged(weight=30_000, hitch="ball").broken.split("; ")
    assert found[0].startswith("lifts the truck's rear axles")
    assert [part.split(" by ")[0] for part in found[1:3]] == ["above the trailer's GVWR", "coupler overloaded"]


def test_the_same_verdict_in_metric() -> None:
    kinds = {"per_long": 0.3048, "short": 25.4, "weight": 0.45359237}
    long = {"deck_length", "to_axles", "to_deck"}
    counts = {"axles", "tires", "jacks", "points", "low_share", "high_share", "climb", "rear_axles"}
    weights = {"weight", "gvwr", "gcwr", "empty", "coupler", "chains", "suspension"}

    def converted(key: str, value: object) -> object:
        if isinstance(value, str) or value is None or key in counts:
            return value
        if key in long:
            return float(value) * kinds["per_long"]  # type: ignore[arg-type]
        heavy = key in weights or key.endswith(("rating", "_pin", "_gvwr", "_gcwr", "_empty", "vertical"))
        return float(value) * kinds["weight" if heavy else "short"]  # type: ignore[arg-type]

    for changes in (
        {},
        {"weight": 20_000},
        {"coupler_vertical": 1_499},
        {"tread_outside": 79},
        {"machine_height": 128.1},
    ):
        us, metric = (
            judged(changes),
            judge({key: converted(key, value) for key, value in (FITTING | changes).items()}, METRIC),
        )
        assert us.states == metric.states


def test_every_rule_is_listed_once_with_source_and_question() -> None:
    assert len({rule.key for rule in RULES}) == len(RULES)
    assert all(rule.source and rule.asks.endswith("?") for rule in RULES)
    assert set(ours(US)) == set(PUBLISHED)


def test_our_limits_are_those_published() -> None:
    assert ours(US) == PUBLISHED


def test_a_yard_may_change_a_limit() -> None:
    assert judge(FITTING, US, {"ramp_angle_greatest": 15}).broken.startswith("ramp too steep: 17.8 deg")
    assert judge(FITTING, US, {"chain_factor": 4}).broken == "safety chains short by 12,000 lb"  # 60,000 of 48,000


def test_every_rule_is_broken_in_the_table() -> None:
    """A rule that no row breaks is one that no test would miss."""
    states = [judged(changes).states for changes, *_ in (*ROWS, *CAUTIONS)]
    asked = [rule for rule in RULES if rule.source != ENTERED]
    for rule in asked:
        assert any(state[rule.key] in ("broken", "caution") for state in states), (
            f"{rule.key}: no row of ROWS or CAUTIONS"
        )
    for rule in set(RULES) - set(asked):
        assert any(state[rule.key] == "not asked" for state in states), rule.key
