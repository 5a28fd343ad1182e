"""What rests on a machine's lower axle on the ramps, against a frame solved by a structural-analysis library.

TM 5-3805-293-10, "Slope operation", has the heaviest end uphill: the lower axle then bears least. Which end that is on
the ramps is not asked, so that what counts is the worse way, the heavier end downhill.
"""

from __future__ import annotations

import math

import pytest
from anastruct import SystemElements

from tests.hauling_rules.fitting import judged

WEIGHT, WHEELBASE, HEIGHT = 9_000.0, 100.0, 80.0
RAMP_LENGTH = 96.0
"""Shorter than the machine from axle to axle, so that the ramps never carry more than one."""


def lower_axle(slope: float, up_to_center: float) -> float:
    """Reaction square to the slope at the lower axle: a frame on two contacts, its center at half the height.

    Args:
        slope: Of the ramps, in degrees.
        up_to_center: From the lower axle up the slope to the center of gravity.
    """
    frame = SystemElements()  # along the slope and square to it, so that it is the weight that leans
    frame.add_element([[0, 0], [up_to_center, 0]])
    frame.add_element([[up_to_center, 0], [WHEELBASE, 0]])
    frame.add_element([[up_to_center, 0], [up_to_center, HEIGHT / 2]])
    frame.add_support_hinged(1)
    frame.add_support_roll(3)
    frame.point_load(4, Fx=-WEIGHT * math.sin(math.radians(slope)), Fy=-WEIGHT * math.cos(math.radians(slope)))
    frame.solve()
    return -float(frame.reaction_forces[1].Fy)


def on_the_ramps(rise: float, to_center: float) -> float:
    """The share of the rules, in which the machine stands anywhere between the axles."""
    changes = {"weight": WEIGHT, "wheelbase": WHEELBASE, "machine_height": HEIGHT, "ramp_length": RAMP_LENGTH}
    found = judged(changes, to_center=to_center, deck_height=rise, tail_drop=0, tail_length=0, runs_on="wheels")
    return float(found.cells["ramp_load_on_slope"])  # type: ignore[arg-type]


@pytest.mark.parametrize("to_center", [30.0, 50.0, 65.0])
@pytest.mark.parametrize("slope", [5.71, 10.0, 18.0])
def test_the_worse_way_counts(slope: float, to_center: float) -> None:
    """1 in 10, ten degrees, and the 18 degrees of MIL-S-62294B for a loading ramp."""
    rise = RAMP_LENGTH * math.sin(math.radians(slope))
    both = [lower_axle(slope, to_center), lower_axle(slope, WHEELBASE - to_center)]
    assert on_the_ramps(rise, to_center) == pytest.approx(max(both), rel=1e-6)


def test_the_heaviest_end_uphill_leaves_least_on_the_lower_axle() -> None:
    """9,000 lb on a slope of 18 degrees by hand, moments about the upper axle, center 40 in above the ground.

    30 in from it (the heavier end uphill): 0.95106 x 30 + 0.30902 x 40 = 40.892 in of 100: 3,680.3 lb.
    70 in from it (downhill): 0.95106 x 70 + 0.30902 x 40 = 78.935 in: 7,104.1 lb.
    """
    assert lower_axle(18, 70) == pytest.approx(3_680.3, abs=0.1)
    assert lower_axle(18, 30) == pytest.approx(7_104.1, abs=0.1)
