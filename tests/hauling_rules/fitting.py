"""A trailer, a machine and a truck that fit together, checked by hand in ``test_table.py``; limits and units."""

from __future__ import annotations

from tarelot.calc.rules.hauling import Verdict, judge
from tarelot.calc.rules.hauling_figures import Measures

US = Measures(12.0, 1.0, 1.0, "lb", "in", "ft")
METRIC = Measures(1000.0, 25.4, 0.45359237, "kg", "mm", "m")
PUBLISHED: dict[str, float] = {
    "legal_width": 102,  # 23 CFR 658.15
    "legal_height": 162,  # most states, 13 ft 6 in
    "ramp_angle_sure": 18,  # MIL-S-62294B 3.7.4
    "ramp_angle_greatest": 30,  # common practice, no source
    "gap_tight": 2,  # common practice, no source
    "ramp_lift": 51,  # NIOSH 94-110, load constant
    "single_axle": 20_000,  # 23 CFR 658.17
    "tandem": 34_000,  # 23 CFR 658.17
    "gross_federal": 80_000,  # 23 CFR 658.17
    "front_share": 0.20,  # EU 1230/2012 Annex I
    "rear_overhang": 48,  # 49 CFR 393.87
    "jack_factor": 1.0,  # common practice, no source
    "chain_factor": 1.0,  # 49 CFR 393.70(d)
    "side_overhang": 4,  # 49 CFR 393.87
    "plaus_machine_height_least": 30,  # common practice, no source: no lower machine is offered as enough
    "plaus_deck_height_least": 10,  # common practice, no source: nor deck
    "plaus_ramp_length_greatest": 180,  # common practice, no source: no longer ramp is offered as enough
}
"""What the expected values in these tests were worked out with."""
TRAILER: dict[str, object] = {
    "hitch": "pintle",
    "gvwr": 24_000,
    "empty": 6_000,
    "empty_pin": 700,
    "axles": 2,
    "axle_rating": 10_000,
    "suspension": 10_000,
    "tires": 4,
    "tire_rating": 2_700,
    "wheel_rating": 2_900,
    "axle_spread": 49,
    "coupler": 30_000,
    "coupler_vertical": 5_000,
    "coupler_size": "3 in eye",
    "chains": 48_000,
    "brakes": "electric",
    "jacks": 1,
    "jack_rating": 10_000,
    "low_share": 0.10,
    "high_share": 0.15,
    "deck_height": 34,
    "deck_length": 20,
    "deck_width": 102,
    "trailer_width": 102,
    "tail_length": 60,
    "tail_drop": 12,
    "ramp_length": 72,
    "ramp_rating": 20_000,
    "ramp_kind": "two ramps",
    "ramps_outside": 92,
    "ramp_width": 24,
    "to_axles": 17,
    "to_deck": 5.5,
    "points": 8,
    "point_rating": 5_000,
}
MACHINE: dict[str, object] = {
    "runs_on": "wheels",
    "weight": 9_000,
    "wheelbase": 86,
    "to_center": 46,
    "clearance": 16,
    "front_overhang": 40,
    "front_clearance": 24,
    "rear_overhang": 36,
    "rear_clearance": 22,
    "machine_width": 90,
    "machine_height": 104,
    "tread_outside": 84,
    "shoe_width": 18,
    "climb": 25,
}
TRUCK: dict[str, object] = {
    "hitches": "pintle",
    "coupler_sizes": "2-5/16 ball; 3 in eye",
    "brake_controls": "electric; air",
    "truck_gvwr": 33_000,
    "gcwr": 60_000,
    "label_gcwr": 0,
    "front_rating": 12_000,
    "rear_rating": 21_000,
    "front_empty": 8_500,
    "rear_empty": 9_000,
    "rear_axles": 1,
    "rear_spread": 0,
    "hitch_rating": 30_000,
    "hitch_vertical": 5_000,
    "truck_wheelbase": 200,
    "hitch_overhang": 60,
}
FITTING = TRAILER | MACHINE | TRUCK
TANDEM: dict[str, object] = {"rear_axles": 2, "rear_spread": 52, "rear_rating": 40_000, "truck_gvwr": 50_000}
NECK: dict[str, object] = {
    "hitch": "gooseneck",
    "hitches": "gooseneck",
    "chains": None,
    "neck_clearance": 30,
    "low_share": 0.15,
    "high_share": 0.25,
    "hitch_overhang": -4,
    "to_axles": 24,
    "to_deck": 9,
    "empty_pin": 1_400,
}
"""What changes with a gooseneck; chains are left out with it."""


def judged(changes: dict[str, object] | None = None, **more: object) -> Verdict:
    """The verdict of the fitting set with some figures changed."""
    return judge(FITTING | (changes or {}) | more, US)
