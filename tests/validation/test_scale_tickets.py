"""Weights and centers out of scale tickets, against published weighings and statics.

- Orlando Sentinel, 2021-04-02 (second-hand): a truck of 5,000 lb, 5,600 lb hitched.
- Statics textbook (Vector Mechanics for Engineers: Statics), problem 6.95 and, with an equalizing hitch, 6.72: a truck
  of 2,900 lb, its wheelbase 9 ft, its center 4 ft behind its front axle, the ball 3 ft behind its rear axle; a trailer
  of 2,400 lb, its center 2 ft ahead of its axle, the ball 11 ft ahead of it; chains 1.7 ft behind the ball. Weights and
  texts were read, distances and printed answers are from memory; every ticket below is worked from them and closes.
- FAA-H-8083-1 chapter 10: nose wheel 340 lb of 2,006 lb, 78 in ahead of the main wheels: center 13.2 in ahead of them.
- Two exercises whose axle loads follow from their center: a truck of 9,155 kg (jiskha.com: center 0.63 m ahead of the
  rear axle, 2.3 m behind the front one) and a pickup of 3,020 lb (university exercise: 45 in, wheelbase 112 in).
"""

from __future__ import annotations

import pytest

from tarelot.calc.placement import front_axle_change, rear_axle_change
from tarelot.calc.tickets import center_from_axles, ticket_pin, ticket_trailer

TRUCK, TRAILER = 2_900.0, 2_400.0
HITCHED, AXLE = 1_465.7 + 1_870.7, 1_963.6
"""Bars slack: front and rear axle of the truck, and the trailer's axle."""
HITCHED_BARS, AXLE_BARS = 1_740.8 + 1_418.6, 2_140.5
CHAIN, BALL_TO_CHAINS, BALL_TO_AXLE = 572.0, 1.7, 11.0
TENTH = 0.15
"""Sums of figures that are printed to a tenth of a pound."""
PER_CHAIN = 0.5
"""The chains' pull is printed to a pound each: two of them, half a pound off, over 11 / 1.7 make less than this."""


class TestThreeTickets:
    def test_newspaper(self) -> None:
        assert ticket_pin(5_000, 5_600) == 600

    def test_slack_bars(self) -> None:
        """True pin: 2,400 lb x 2 ft / 11 ft = 436.4 lb, by either pair of tickets."""
        true = TRAILER * 2 / BALL_TO_AXLE
        assert ticket_pin(TRUCK, HITCHED) == pytest.approx(true, abs=TENTH)
        assert ticket_pin(None, None, AXLE, TRAILER) == pytest.approx(true, abs=TENTH)
        assert ticket_trailer(TRUCK, HITCHED, AXLE) == pytest.approx(TRAILER, abs=TENTH)

    def test_the_true_pin_moves_the_axles_as_the_tickets_say(self) -> None:
        """Truck alone 1,611.1 and 1,288.9; hitched 1,465.7 and 1,870.7: other functions of ours from the pin."""
        pin = ticket_pin(None, None, AXLE, TRAILER)
        assert 1_611.1 + front_axle_change(pin, 9, 3) == pytest.approx(1_465.7, abs=TENTH)
        assert 1_288.9 + rear_axle_change(pin, 9, 3) == pytest.approx(1_870.7, abs=TENTH)

    def test_tight_bars_hide_part_of_the_pin(self) -> None:
        """Apparent 259.5 lb: less than the true one by both chains' pull times 1.7 / 11."""
        apparent = ticket_pin(TRUCK, HITCHED_BARS)
        assert apparent == pytest.approx(259.5, abs=TENTH)
        assert ticket_pin(None, None, AXLE_BARS, TRAILER) == pytest.approx(259.5, abs=TENTH)
        true = ticket_pin(TRUCK, HITCHED)
        assert apparent == pytest.approx(true - 2 * CHAIN * BALL_TO_CHAINS / BALL_TO_AXLE, abs=TENTH + PER_CHAIN)

    def test_tight_bars_leave_the_trailer_its_weight(self) -> None:
        assert ticket_trailer(TRUCK, HITCHED_BARS, AXLE_BARS) == pytest.approx(TRAILER, abs=TENTH)


class TestCenterFromAxles:
    def test_handbook(self) -> None:
        """Printed to a tenth of an inch."""
        assert 78 - center_from_axles(340, 2_006 - 340, 78) == pytest.approx(13.2, abs=0.05)

    def test_textbook_truck(self) -> None:
        assert center_from_axles(1_611.1, 1_288.9, 9) == pytest.approx(4, abs=0.001)

    def test_exercises(self) -> None:
        """Axle loads in newtons and pounds; the first two are rounded to a newton."""
        assert center_from_axles(19_291, 70_428, 2.3 + 0.63) == pytest.approx(2.3, abs=1e-4)
        assert center_from_axles(3_020 * 67 / 112, 3_020 * 45 / 112, 112) == pytest.approx(45, rel=1e-12)
