"""License groups against 49 CFR 383.91, the combination rating of 383.5 and the agency's printed guidance."""

from __future__ import annotations

import pytest

from tarelot.calc.towing import license_group


@pytest.mark.parametrize(
    ("truck", "trailer", "group"),
    [
        (26_001, 10_000, "B"),  # 383.91(a)(2): such a vehicle towing one not above 10,000 lb
        (26_001, 10_001, "A"),  # 383.91(a)(1)
        (26_001, 0, "B"),  # 383.91(a)(2): a single vehicle
        (26_000, 10_000, "none"),  # neither: 36,000 lb together, but the towed vehicle is not above 10,000 lb
        (26_000, 10_001, "A"),
        (16_000, 10_001, "A"),  # 26,001 lb together
        (15_999, 10_001, "none"),  # 26,000 lb together
        (14_000, 12_000, "none"),  # guidance, question 2: below 26,001 lb together with a trailer above 10,000 lb
        (33_000, 40_000, "A"),
        (80_000, 0, "B"),
    ],
)
def test_by_ratings(truck: float, trailer: float, group: str) -> None:
    assert license_group(truck, trailer) == group


@pytest.mark.parametrize(
    ("stated", "actual", "group"),
    [
        (None, None, "none"),  # 14,000 + 11,000
        (26_001, None, "A"),  # the label's combination rating is greater
        (26_000, None, "none"),
        (None, 26_001, "A"),  # the actual weight is greater
        (None, 26_000, "none"),
        (20_000, 22_000, "none"),  # both smaller than the ratings together: the greatest counts
        (20_000, 27_000, "A"),
    ],
)
def test_combination_rating_is_the_greatest(stated: float | None, actual: float | None, group: str) -> None:
    """383.5: the label's figure, or the ratings or actual weights together, whichever is highest (79 FR 15245)."""
    assert license_group(14_000, 11_000, stated, actual) == group


@pytest.mark.parametrize("stated", [None, 26_001, 60_000])
def test_a_light_trailer_never_makes_it_a(stated: float | None) -> None:
    """Both tests are needed: the combination's rating alone does not make group A."""
    assert license_group(14_000, 10_000, stated) == "none"
    assert license_group(26_001, 10_000, stated) == "B"
