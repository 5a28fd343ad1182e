"""Ratings of a trailer by 49 CFR 567.4(g)(3), 571.3 and 571.120: the regulations, and the agency's letters on them."""

from __future__ import annotations

import pytest

from tarelot.calc.errors import OutOfRange
from tarelot.calc.hitch import sticker_pin
from tarelot.calc.law import excise_rate
from tarelot.calc.ratings import axle_group_rating, gross_limit, limited_by, payload, shortfall, total, weakest_part
from tarelot.calc.tires import tire_load


class TestRatedCargo:
    """567.4(g)(3): GVWR is not less than unloaded weight + rated cargo + 150 lb a seat; a trailer has no seats."""

    @pytest.mark.parametrize(("gvwr", "unloaded", "cargo"), [(15_000, 8_600, 6_400), (10_000, 2_900, 7_100)])
    def test_largest_cargo(self, gvwr: float, unloaded: float, cargo: float) -> None:
        """The first pair of figures is that of an agency letter (aiam1673); the second is worked by the same rule."""
        assert payload(gvwr, unloaded) == cargo
        assert unloaded + payload(gvwr, unloaded) <= gvwr

    def test_a_trailer_heavier_than_its_label_has_no_payload(self) -> None:
        with pytest.raises(OutOfRange, match="empty_weight is 15,001"):
            payload(15_000, 15_001)

    def test_stated_cargo_over_what_the_label_leaves(self) -> None:
        assert shortfall(6_500, payload(15_000, 8_600)) == 100
        assert shortfall(6_400, payload(15_000, 8_600)) == 0


class TestTireRule:
    """571.120 S5.1.2: the tires of an axle together carry its GAWR; a passenger-car tire counts its load / 1.10."""

    PASSENGER_TIRE = 2_200 / 1.10

    def test_two_passenger_tires(self) -> None:
        assert total(2, self.PASSENGER_TIRE) == pytest.approx(4_000, rel=1e-12)
        assert shortfall(4_000, total(2, self.PASSENGER_TIRE)) == 0
        assert shortfall(4_001, total(2, self.PASSENGER_TIRE)) == pytest.approx(1, rel=1e-9)

    def test_the_agency_refused_95_per_cent(self) -> None:
        """Letter 77-3.29: tires for 95 % of the rating do not do."""
        assert shortfall(6_000, total(2, 0.95 * 3_000)) == pytest.approx(300, rel=1e-12)
        assert weakest_part(1, 6_000, None, 2, 0.95 * 3_000) == "tires"

    @pytest.mark.parametrize(("each", "axle", "weakest"), [(3_042, 12_000, "axles"), (2_778, 12_000, "tires")])
    def test_single_and_dual_load(self, each: float, axle: float, weakest: str) -> None:
        """LT235/85R16 E at 80 psi: 3,042 lb single, 5,556 a dual pair (coach maker's tire table)."""
        assert weakest_part(2, axle, None, 4, each) == weakest
        assert axle_group_rating(2, axle, None, 4, each) == 2 * min(axle, 4 * each)

    def test_dual_pair(self) -> None:
        assert total(2, 2_778) == 5_556

    def test_load_index_gives_the_sidewall_load(self) -> None:
        """LT265/75R16 E, load index 123 and 120: 3,415 and 3,085 lb, 1,549 and 1,399 kg in print."""
        assert tire_load(123) == pytest.approx(3_415, abs=3)
        assert tire_load(120) == pytest.approx(3_085, abs=3)
        assert (tire_load(123, "kg"), tire_load(120, "kg")) == pytest.approx((1_549, 1_399), abs=1)


class TestAxleRating:
    """571.3: GAWR is measured where the tires meet the ground: tires, wheels, axles and suspension all count."""

    @pytest.mark.parametrize(
        ("parts", "weakest"),
        [
            ((7_000, 8_000, 4, 2_000, 2_000), "axles"),
            ((7_000, 6_000, 4, 2_000, 2_000), "suspension"),
            ((7_000, 8_000, 4, 1_500, 2_000), "tires"),
            ((7_000, 8_000, 4, 2_000, 1_500), "wheels"),
        ],
    )
    def test_each_part_can_govern(self, parts: tuple[float, ...], weakest: str) -> None:
        axle, suspension, tires, tire, wheel = parts
        assert weakest_part(2, *parts) == weakest
        assert axle_group_rating(2, *parts) == 2 * min(axle, suspension, tires * tire, tires * wheel)


class TestTrailerGvwr:
    """Letter of 1976-01-15: a trailer's GVWR counts what the tow vehicle carries, so the GAWRs may add up to less; but
    an axle loaded beyond its GAWR when coupled at GVWR is a safety defect."""

    def test_the_label_counts_on_the_hitch(self) -> None:
        assert sticker_pin(16_000, 2, 7_000) == 2_000

    def test_gvwr_equal_to_the_axles_counts_on_nothing(self) -> None:
        """Letters of 1971 and 1974: as a rule the GVWR does not exceed the sum of the GAWRs."""
        assert sticker_pin(14_000, 2, 7_000) == 0

    def test_axles_within_gawr_only_while_the_hitch_carries_its_part(self) -> None:
        """2,000 of 16,000 is 12.5 %: at that share all of the GVWR may be used, at 10 % only 14,000 / 0.9."""
        assert gross_limit(16_000, 14_000, low_pin_share=0.125) == 16_000
        assert limited_by(16_000, 14_000, low_pin_share=0.125) == "GVWR"
        assert gross_limit(16_000, 14_000, low_pin_share=0.10) == pytest.approx(15_555.56, abs=0.005)
        assert limited_by(16_000, 14_000, low_pin_share=0.10) == "axle group"


class TestExciseTax:
    """26 USC 4051(a)(3): trailers of a gross weight of 26,000 lb or less are not taxed; above, 12 %."""

    @pytest.mark.parametrize(("gvwr", "rate"), [(7_000, 0), (26_000, 0), (26_001, 0.12), (60_000, 0.12)])
    def test_pounds(self, gvwr: float, rate: float) -> None:
        assert excise_rate(gvwr) == rate

    @pytest.mark.parametrize(("gvwr", "rate"), [(11_793, 0), (11_794, 0.12)])
    def test_kilograms(self, gvwr: float, rate: float) -> None:
        """The regulations print 26,001 lb as 11,794 kg (49 CFR 383.91)."""
        assert excise_rate(gvwr, "kg") == rate
