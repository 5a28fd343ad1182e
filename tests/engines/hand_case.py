"""One trailer, machine and truck on which everything can be reckoned by hand."""

from __future__ import annotations

TRAILER = {
    "Stock no.": "T1",
    "Make": "Brenmoor",
    "Model": "Hand",
    "Hitch": "pintle",
    "GVWR (lb)": 24_000.0,
    "Base weight (lb)": 6_000.0,
    "Empty pin (lb)": 800.0,
    "Axles": 2,
    "Axle rating (lb)": 12_000.0,
    "Coupler rating (lb)": 30_000.0,
    "Coupler vertical (lb)": 4_500.0,
    "Deck height (in)": 35.0,
    "Deck length (ft)": 20.0,
    "Ramp length (in)": 140.0,
    "Coupler to axles (ft)": 20.0,
    "Coupler to deck (ft)": 5.0,
    "Width (in)": 102.0,
    "Tie-down points": 8,
    "Tie-down rating (lb)": 5_000.0,
}
MACHINE = {
    "Machine": "Hand loader",
    "Maker": "Quellmoor",
    "Runs on": "wheels",
    "Weight (lb)": 14_000.0,
    "Wheelbase (in)": 80.0,
    "Front contact to center (in)": 40.0,
    "Ground clearance (in)": 20.0,
    "Width (in)": 90.0,
    "Height (in)": 100.0,
}
TRUCK = {
    "Truck": "Hand dump",
    "Maker": "Gravenor",
    "Hitches": "pintle",
    "GVWR (lb)": 58_000.0,
    "GCWR (lb)": 80_000.0,
    "Front axle rating (lb)": 18_000.0,
    "Rear axle rating (lb)": 40_000.0,
    "Front axle empty (lb)": 11_000.0,
    "Rear axle empty (lb)": 15_000.0,
    "Hitch rating (lb)": 60_000.0,
    "Hitch vertical (lb)": 10_000.0,
    "Wheelbase (in)": 215.0,
    "Hitch overhang (in)": 84.0,
}
