"""23 CFR 658.5, 658.17 and 23 USC 127: what groups of axles may carry together."""

from __future__ import annotations

import pytest

from tests.hauling_rules.fitting import TANDEM, judged


@pytest.mark.parametrize(("feet", "allowed"), [(35.9, 66_000), (36, 68_000), (38, 68_000), (39, 68_000), (45, 72_000)])
def test_two_tandems_far_apart(feet: float, allowed: float) -> None:
    """23 USC 127: 68,000 from 36 ft; by the formula 66,000, 66,000, 67,500, 68,000, 72,000 (45 ft)."""
    # rear spread 52 in, hitch 60 in behind the rear axles' middle, axle spread 49 in
    found = judged(TANDEM, to_axles=(feet * 12 - 26 - 60 - 24.5) / 12)
    assert found.cells["inner_allowed"] == allowed


@pytest.mark.parametrize(
    ("axles", "spread", "allowed"),
    [
        (1, 0, 20_000),
        (2, 40, 20_000),
        (2, 41, 34_000),
        (3, 96, 34_000),
        (3, 70, 30_000),  # 35 in apart: two of the three within 40 in, 20,000 x 3/2
        (3, 80, 30_000),
        (3, 81, 34_000),
        (4, 41, 80_000 / 3),  # three of the four within 40 in
        (4, 97, 40_000),  # two of the four within 40 in
        (3, 97, 42_000),
        (2, 97, 38_000),
        (3, 108, 42_500),
    ],
)
def test_groups_of_axles(axles: int, spread: float, allowed: float) -> None:
    """Rows of the federal table (23 CFR 658.5, 658.17): 40 in, 96 in, a tie at 9 ft that goes down to 42,500."""
    assert judged(axles=axles, axle_spread=spread).cells["trailer_axles_allowed"] == pytest.approx(allowed)
