"""What stands on each side of each bound, for the tests of what is likely: what is changed, and what is said of it.

The bounds are common practice, no source, typed here once more by hand; the arithmetic stands beside each row.
"""

from __future__ import annotations

from collections.abc import Mapping

Changed = Mapping[str, object]
FINE = ""

# Stock no. 1105: GVWR 20,000 lb, scale 5,960, empty pin 760, 2 axles of 10,000, 4 tires of 2,778, width 102 in, deck 35
# in high and 21 ft long, tail 60 in with a drop of 12, ramp 60, coupler to axles 18.3 ft and to deck 5.4 ft.
LIGHT = {"GVWR (lb)": 4_000, "Scale weight (lb)": 1_000, "Empty pin (lb)": 150, "Tire rating (lb)": 600} | {
    "Coupler rating (lb)": 5_000
}
HEAVY = {"GVWR (lb)": 60_000, "Scale weight (lb)": 15_000, "Empty pin (lb)": 2_000, "Tire rating (lb)": 7_500}
TRAILERS: tuple[tuple[Changed, str], ...] = (
    ({}, FINE),
    ({"Deck length (ft)": 8}, FINE),
    ({"Deck length (ft)": 7.9, "Coupler to axles (ft)": 15}, "Deck length 7.9 ft: a digit missing?"),
    ({"Deck length (ft)": 60}, FINE),
    ({"Deck length (ft)": 60.1}, "Deck length 60.1 ft: inches?"),
    ({"Deck height (in)": 10}, FINE),
    ({"Deck height (in)": 9.9}, "Deck height 9.9 in: feet?"),
    ({"Deck height (in)": 60, "Ramp length (in)": 150}, FINE),  # (60 - 12) / 150: 18.7 deg
    ({"Deck height (in)": 60.1, "Ramp length (in)": 150}, "Deck height 60.1 in: a digit too many?"),
    ({"Ramp length (in)": 24, "Deck height (in)": 20}, FINE),  # (20 - 12) / 24: 19.5 deg
    ({"Ramp length (in)": 23.9, "Deck height (in)": 20}, "Ramp length 23.9 in: feet?"),
    ({"Ramp length (in)": 180}, FINE),
    ({"Ramp length (in)": 180.1}, "Ramp length 180.1 in: a digit too many?"),
    ({"Deck height (in)": 42}, FINE),  # (42 - 12) / 60 = 0.5: 30 deg
    ({"Deck height (in)": 42.5}, "Ramp angle 31 deg: Ramp length or Deck height?"),  # 0.5083: 30.55 deg
    ({"Width (in)": 60, "Deck width (in)": None}, FINE),
    ({"Width (in)": 59.9, "Deck width (in)": None}, "Width 59.9 in: feet?"),
    ({"Width (in)": 144}, FINE),
    ({"Width (in)": 144.1}, "Width 144.1 in: a digit too many?"),
    ({"Deck width (in)": 48}, FINE),
    ({"Deck width (in)": 47.9}, "Deck width 47.9 in: feet?"),
    ({"Deck width (in)": 144, "Width (in)": 144}, FINE),
    ({"Deck width (in)": 144.1, "Width (in)": None}, "Deck width 144.1 in: a digit too many?"),
    ({"Deck width (in)": 102.1}, "Deck width above Width"),
    ({"Axle spread (in)": 20}, FINE),
    ({"Axle spread (in)": 19.9}, "Axle spread 19.9 in: feet?"),
    ({"Axle spread (in)": 240}, FINE),
    ({"Axle spread (in)": 240.1}, "Axle spread 240.1 in: a digit too many?"),
    ({"Axles": 1, "GVWR (lb)": 10_000, "Axle spread (in)": 0}, FINE),  # 5,960 / 10,000: 59.6 %
    ({"Axles": 1, "GVWR (lb)": 10_000}, "Axle spread with one axle"),
    ({**LIGHT, "Axle rating (lb)": 2_000}, FINE),  # 4,000 / 4,000; 1,000 / 4,000; 150 / 1,000; 2,400 / 2,000
    ({**LIGHT, "Axle rating (lb)": 1_999}, "Axle rating 1999 lb: kg, or a digit missing?"),
    ({**HEAVY, "Axle rating (lb)": 30_000}, FINE),  # 60,000 / 60,000; 25 %; 13.3 %; 30,000 / 30,000
    ({**HEAVY, "Axle rating (lb)": 30_001}, "Axle rating 30001 lb: all axles together?"),
    ({"Model year": 1950}, FINE),
    ({"Model year": 1949}, "Model year 1949: two digits?"),
    ({"Model year": 2039}, FINE),
    ({"Model year": 2040}, "Model year 2040: a digit too many?"),
    ({"Scale weight (lb)": 3_000}, FINE),  # 15 %
    ({"Scale weight (lb)": 2_800}, "Empty weight 14% of GVWR: kg, or a digit missing?"),
    ({"Scale weight (lb)": 12_000}, FINE),  # 60 %
    ({"Scale weight (lb)": 12_200}, "Empty weight 61% of GVWR: GVWR too low?"),
    ({"Empty pin (lb)": 298}, FINE),  # 5% of 5,960
    ({"Empty pin (lb)": 238}, "Empty pin 4% of the empty weight: a digit missing?"),  # 3.99 %
    ({"Empty pin (lb)": 2_384}, FINE),  # 40 %
    ({"Empty pin (lb)": 2_444}, "Empty pin 41% of the empty weight: a digit too many?"),  # 41.007 %
    ({"GVWR (lb)": 17_000}, FINE),  # 85% of 2 x 10,000
    ({"GVWR (lb)": 16_800}, "GVWR 84% of the axles: all axles typed for one?"),
    ({"GVWR (lb)": 27_000}, FINE),  # 135 %
    ({"GVWR (lb)": 27_200}, "GVWR 136% of the axles: an axle missing?"),
    ({"Tire rating (lb)": 1_750}, FINE),  # 4 x 1,750 = 7,000: 70% of 10,000
    ({"Tire rating (lb)": 1_725}, "Tires 69% of the axle rating: tires missing?"),
    ({"Tire rating (lb)": 5_000}, FINE),  # 200 %
    ({"Tire rating (lb)": 5_025}, "Tires 201% of the axle rating: all tires typed for one?"),
    ({"Coupler to axles (ft)": 5.4}, FINE),
    ({"Coupler to axles (ft)": 5.3}, "Axles ahead of the deck?"),
    ({"Coupler to axles (ft)": 31, "Coupler to deck (ft)": 5}, FINE),  # 5 + 21 + 60 / 12
    ({"Coupler to axles (ft)": 31.1, "Coupler to deck (ft)": 5}, "Axles behind the deck?"),
    ({"Chain strength (lb)": 1_000_000}, FINE),
    ({"Chain strength (lb)": 1_000_001}, "a weight above 1,000,000 lb: a digit too many?"),
    ({"Low pin share": 0.05}, FINE),
    ({"Low pin share": 0.049}, "Low pin share 0.049: decimal point?"),
    ({"Low pin share": 0.25, "High pin share": 0.25}, FINE),
    ({"Low pin share": 0.26, "High pin share": 0.3}, "Low pin share 0.26: decimal point?"),
    ({"Low pin share": 0.05, "High pin share": 0.08}, FINE),
    ({"Low pin share": 0.05, "High pin share": 0.079}, "High pin share 0.079: decimal point?"),
    ({"High pin share": 0.35}, FINE),
    ({"High pin share": 0.351}, "High pin share 0.351: decimal point?"),
    ({"Empty pin (lb)": 0}, "Empty pin 0% of the empty weight: a digit missing?"),
    ({"Ramps, outside to outside (in)": 60}, FINE),  # two of 30
    ({"Ramps, outside to outside (in)": 30, "Width of one ramp (in)": 15}, FINE),
    (
        {"Ramps, outside to outside (in)": 29.9, "Width of one ramp (in)": 8},
        "Ramps, outside to outside 29.9 in: feet, or a digit?",
    ),
    ({"Ramps, outside to outside (in)": 120}, FINE),
    ({"Ramps, outside to outside (in)": 120.1}, "Ramps, outside to outside 120.1 in: feet, or a digit?"),
    ({"Width of one ramp (in)": 6}, FINE),
    ({"Width of one ramp (in)": 5.9}, "Width of one ramp 5.9 in: feet?"),
    ({"Width of one ramp (in)": 49}, FINE),  # 2 x 49 = 98, the outside of both
    ({"Width of one ramp (in)": 49.1}, "Ramps wider than their outside"),
    ({"Width of one ramp (in)": 98, "Ramp kind": "full width"}, FINE),
    ({"Coupler rating (lb)": 100_000}, FINE),  # 5 x 20,000
    ({"Coupler rating (lb)": 100_001}, "Coupler far above GVWR"),
    ({"Tail length (in)": 8}, "Tail drop above Tail length"),  # the drop is 12
    ({"Jack rating (lb)": 1}, "a weight of 1: TRUE, or a digit missing?"),
    ({"Coupler rating (lb)": "30k"}, "Not a number above 0, or not what belongs there: Coupler rating"),
    ({"Brakes": "elektric"}, "Not a number above 0, or not what belongs there: Brakes: not one of the choices"),
    ({"Neck clearance (in)": 0}, FINE),
    ({"Price": "ask"}, FINE),  # named in Entry check, and no doubt of what it carries
)
# Wheel loader 9: wheelbase 86 in, center at 50, clearance 16, 80 in wide over its tires of 16, 104 high, climbs 30 deg
MACHINES: tuple[tuple[Changed, str], ...] = (
    ({}, FINE),
    ({"Width (in)": 30, "Outside of tires or tracks (in)": 30, "Tire or track width (in)": 8}, FINE),
    (
        {"Width (in)": 29.9, "Outside of tires or tracks (in)": 29, "Tire or track width (in)": 8},
        "Width 29.9 in: feet?",
    ),
    ({"Width (in)": 180}, FINE),
    ({"Width (in)": 180.1}, "Width 180.1 in: a digit too many?"),
    ({"Height (in)": 30}, FINE),
    ({"Height (in)": 29.9}, "Height 29.9 in: feet?"),
    ({"Height (in)": 180}, FINE),
    ({"Height (in)": 180.1}, "Height 180.1 in: a digit too many?"),
    ({"Ground clearance (in)": 2}, FINE),
    ({"Ground clearance (in)": 1.9}, "Ground clearance 1.9 in: feet?"),
    ({"Ground clearance (in)": 40}, FINE),
    ({"Ground clearance (in)": 40.1}, "Ground clearance 40.1 in: a digit too many?"),
    ({"Greatest slope (deg)": 5}, FINE),
    ({"Greatest slope (deg)": 4.9}, "Greatest slope 4.9 deg: a share?"),
    ({"Greatest slope (deg)": 45}, FINE),
    ({"Greatest slope (deg)": 58}, "Greatest slope 58 deg: percent?"),
    ({"Front contact to center (in)": 86}, FINE),
    (
        {"Front contact to center (in)": 86.9},  # 101.05 %
        "Front contact to center 101% of the wheelbase: a digit too many?",
    ),
    ({"Front contact to center (in)": 8.6}, FINE),  # 10 %
    ({"Front contact to center (in)": 4.2}, "Front contact to center 5% of the wheelbase: feet?"),  # 4.9 %
    ({"Outside of tires or tracks (in)": 80.1}, "Outside of tires or tracks above Width"),
    ({"Outside of tires or tracks (in)": 20, "Tire or track width (in)": 10}, FINE),
    (
        {"Outside of tires or tracks (in)": 19.9, "Tire or track width (in)": 9},
        "Outside of tires or tracks 19.9 in: feet?",
    ),
    ({"Outside of tires or tracks (in)": 160, "Width (in)": 160}, FINE),
    (
        {"Outside of tires or tracks (in)": 160.1, "Width (in)": 170},
        "Outside of tires or tracks 160.1 in: a digit too many?",
    ),
    ({"Tire or track width (in)": 3}, FINE),
    ({"Tire or track width (in)": 2.9}, "Tire or track width 2.9 in: feet?"),
    ({"Tire or track width (in)": 60, "Outside of tires or tracks (in)": 130, "Width (in)": 130}, FINE),
    (
        {"Tire or track width (in)": 60.1, "Outside of tires or tracks (in)": 130, "Width (in)": 130},
        "Tire or track width 60.1 in: a digit too many?",
    ),
    ({"Tire or track width (in)": 40}, FINE),  # 2 x 40 = 80, the outside of both
    ({"Tire or track width (in)": 40.1}, "Two tires or tracks above Outside of tires or tracks"),
    ({"Wheelbase (in)": 20, "Front contact to center (in)": 10}, FINE),
    ({"Wheelbase (in)": 19.9, "Front contact to center (in)": 10}, "Wheelbase 19.9 in: feet?"),
    ({"Wheelbase (in)": 400}, FINE),
    ({"Wheelbase (in)": 400.1}, "Wheelbase 400.1 in: a digit too many?"),
    ({"Front overhang (in)": 8}, FINE),
    ({"Front overhang (in)": 7.9}, "Front overhang 7.9 in: feet?"),
    ({"Front overhang (in)": 400}, FINE),
    ({"Front overhang (in)": 400.1}, "Front overhang 400.1 in: a digit too many?"),
    ({"Rear overhang (in)": 8}, FINE),
    ({"Rear overhang (in)": 7.9}, "Rear overhang 7.9 in: feet?"),
    ({"Rear overhang (in)": 400}, FINE),
    ({"Rear overhang (in)": 400.1}, "Rear overhang 400.1 in: a digit too many?"),
    ({"Front clearance (in)": 120}, FINE),
    ({"Front clearance (in)": 120.1}, "Front clearance 120.1 in: a digit too many?"),
    ({"Rear clearance (in)": 120}, FINE),
    ({"Rear clearance (in)": 120.1}, "Rear clearance 120.1 in: a digit too many?"),
    ({"Weight (lb)": 400}, FINE),
    ({"Weight (lb)": 399}, "Weight 399 lb: TRUE, tons, or a digit missing?"),
    ({"Weight (lb)": 150_000}, FINE),
    ({"Weight (lb)": 150_001}, "Weight 150001 lb: a digit too many?"),
    ({"Weight (lb)": "12k"}, "Not a number above 0, or not what belongs there: Weight"),
    (
        {"Weight (lb)": -12_800},
        "Not a number above 0, or not what belongs there: Weight; Weight -12800 lb: TRUE, tons, or a digit missing?",
    ),
    ({"Weight (lb)": 1}, "Weight 1 lb: TRUE, tons, or a digit missing?"),
    ({"Runs on": "skids"}, "Not a number above 0, or not what belongs there: Runs on: not one of the choices"),
    ({"Front overhang (in)": 0}, FINE),
    ({"Rear overhang (in)": 0}, FINE),
    ({"Rear overhang (in)": 1e-9}, "Rear overhang 0.000000001 in: feet?"),
)
# Dump truck 26: GVWR 26,000 lb, GCWR 46,000, empty 6,900 + 6,800 = 13,700 (52.7 %), wheelbase 175 in, overhang 70
TRUCKS: tuple[tuple[Changed, str], ...] = (
    ({}, FINE),
    ({"Wheelbase (in)": 100}, FINE),
    ({"Wheelbase (in)": 99.9}, "Wheelbase 99.9 in: feet?"),
    ({"Wheelbase (in)": 300}, FINE),
    ({"Wheelbase (in)": 300.1}, "Wheelbase 300.1 in: a digit too many?"),
    ({"Hitch overhang (in)": -60, "Hitches": "gooseneck"}, FINE),
    ({"Hitch overhang (in)": -60.1}, "Hitch overhang -60.1 in: sign?"),
    ({"Hitch overhang (in)": 130}, FINE),
    ({"Hitch overhang (in)": 130.1}, "Hitch overhang 130.1 in: a digit too many?"),
    ({"Hitch overhang (in)": 12}, FINE),  # of its pintle
    ({"Hitch overhang (in)": 11.9}, "Hitch overhang 11.9 in: feet, or sign?"),
    ({"Hitch overhang (in)": 5.8}, "Hitch overhang 5.8 in: feet, or sign?"),  # 70 in are 5.8 ft
    ({"Hitch overhang (in)": 0, "Hitches": "Ball"}, "Hitch overhang 0 in: feet, or sign?"),
    ({"Hitch overhang (in)": -4}, "Hitch overhang -4 in: feet, or sign?"),
    ({"Hitch overhang (in)": 0, "Hitches": "gooseneck"}, FINE),
    ({"Hitch overhang (in)": 4, "Hitches": "gooseneck"}, "Gooseneck behind the rear axles: sign?"),
    # whose overhang it is is asked by the rule of the hitches
    ({"Hitch overhang (in)": 4, "Hitches": "gooseneck, ball"}, FINE),
    ({"Hitch overhang (in)": -4, "Hitches": "gooseneck, ball"}, FINE),
    ({"Rear axle empty (lb)": 900}, FINE),  # 7,800 of 26,000: 30 %
    ({"Rear axle empty (lb)": 640}, "Empty truck 29% of GVWR: kg, or a digit missing?"),  # 7,540
    ({"Rear axle empty (lb)": 15_200}, FINE),  # 22,100: 85 %
    ({"Rear axle empty (lb)": 15_460}, "Empty truck 86% of GVWR: GVWR too low?"),  # 22,360
    ({"GCWR (lb)": 26_000}, FINE),
    ({"GCWR (lb)": 25_999}, "GVWR above GCWR"),
    ({"GCWR on label (lb)": 26_000}, FINE),
    ({"GCWR on label (lb)": 25_999}, "GVWR above GCWR on label"),
    ({"Rear axles": 2, "Rear axle spread (in)": 52}, FINE),
    ({"Rear axles": 3, "Rear axle spread (in)": 240}, FINE),
    ({"Rear axles": 2, "Rear axle spread (in)": 240.1}, "Rear axle spread 240.1 in: a digit too many?"),
    ({"Rear axles": 2, "Rear axle spread (in)": 20}, FINE),
    ({"Rear axles": 2, "Rear axle spread (in)": 19.9}, "Rear axle spread 19.9 in: feet?"),
    ({"Rear axles": 4, "Rear axle spread (in)": 100}, "Rear axles 4: a digit too many?"),
    ({"Front axle rating (lb)": 26_000}, FINE),
    ({"Front axle rating (lb)": 26_001}, "Front axle rating above GVWR"),
    ({"Rear axle rating (lb)": 26_000}, FINE),
    ({"Rear axle rating (lb)": 26_001}, "Rear axle rating above GVWR"),
    ({"Hitch vertical (lb)": 40_000}, FINE),  # the hitch rating
    ({"Hitch vertical (lb)": 40_001}, "Hitch vertical above Hitch rating"),
    ({"Rear axles": 1, "Rear axle spread (in)": 52}, "Rear axle spread with one axle"),
    ({"Rear axles": "one"}, "Not a number above 0, or not what belongs there: Rear axles: not whole"),
    ({"Hitch overhang (in)": "70 in"}, "Not a number above 0, or not what belongs there: Hitch overhang"),
    ({"GCWR (lb)": 1_000_001}, "a weight above 1,000,000 lb: a digit too many?"),
)
