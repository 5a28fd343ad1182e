"""Hand force on a hinged panel with springs, against a physics exercise, and a published lifting limit as yardstick.

- math.techqa.club 4661792: a uniform hatch of 400 kg, 1.2 m, springs 2,000 N m when level, falling evenly to 300 N m
  when upright: 295 N open it, it balances at 76.2 deg. Upright the springs alone push it (250 N to close it, worked).
- NIOSH 94-110, recommended weight limit 51 lb x 10/H x (1 - 0.0075 |V - 30|) x (0.82 + 1.8/D) x coupling: H 20, V 6,
  D 16 in, fair coupling 0.95: 18.4 lb printed (second-hand, wizedu.com); its manual's job 1, H 23, V 15, D 49 in:
  16.3 lb printed with rounded multipliers (from memory). It is made for loose objects: for a ramp only a guide.
"""

from __future__ import annotations

import pytest
from scipy.constants import g as standard_gravity

from tarelot.calc.ramps import ramp_force

GRAVITY = 9.81
"""As the exercise takes it."""
WEIGHT, LENGTH, CENTER = 400 * GRAVITY, 1.2, 0.6


def hatch(angle: float) -> float:
    """Force on the hatch in newtons at an angle, its springs as slack as they are there."""
    return ramp_force(WEIGHT, LENGTH, CENTER, 2_000 - 1_700 * angle / 90, angle)


class TestHatch:
    def test_opens(self) -> None:
        """Printed to a newton."""
        assert hatch(0) == pytest.approx(295, abs=0.5)

    def test_balances(self) -> None:
        """At 76.2 deg, printed to a tenth: still a force a twentieth below it, none a twentieth above."""
        assert hatch(76.15) > 0
        assert hatch(76.25) == 0

    def test_upright_the_springs_outdo_it(self) -> None:
        assert hatch(90) == 0

    def test_in_kilograms(self) -> None:
        """The same hatch by mass: the springs' newton meters over standard gravity, the force in kilograms."""
        force = ramp_force(400, LENGTH, CENTER, 2_000 / standard_gravity)
        assert force * standard_gravity == pytest.approx(400 * standard_gravity * CENTER / LENGTH - 2_000 / LENGTH)


@pytest.mark.parametrize(
    ("reach", "height", "lift", "coupling", "printed"),
    [(20, 6, 16, 0.95, 18.4), (23, 15, 49, 0.95, 16.3)],
    ids=["published example", "manual job 1"],
)
def test_springs_that_leave_the_recommended_limit(
    reach: float, height: float, lift: float, coupling: float, printed: float
) -> None:
    """A ramp of 240 lb, 60 in, uniform, with springs of 240 x 30 - limit x 60 lb in leaves just the limit to the hand.

    The printed limits have rounded multipliers: 2 %.
    """
    limit = 51 * 10 / reach * (1 - 0.0075 * abs(height - 30)) * (0.82 + 1.8 / lift) * coupling
    assert limit == pytest.approx(printed, rel=0.02)
    assert ramp_force(240, 60, 30, 240 * 30 - printed * 60) == pytest.approx(printed, rel=1e-12)
