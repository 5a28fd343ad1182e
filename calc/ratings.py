"""Weights and ratings of a trailer: what it weighs, what it may carry, which part sets the limit."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from .errors import NotInTable, NotStated, OutOfRange, WrongKind
from .glossary import (
    AXLE_GROUP_RATING,
    AXLE_RATING,
    AXLES,
    BASE_WEIGHT,
    COUNT,
    COUPLER_RATING,
    COUPLER_VERTICAL,
    EACH,
    EMPTY_WEIGHT,
    GROSS,
    GVWR,
    HIGH_PIN_SHARE,
    LOW_PIN_SHARE,
    NEEDED,
    OPTIONS,
    OPTIONS_WEIGHT,
    RATED,
    SCALE_WEIGHT,
    SUSPENSION_RATING,
    TIRE_RATING,
    TIRES_PER_AXLE,
    WHEEL_RATING,
)
from .spec import ROUNDING, Parameter, trim

MOST_OPTIONS = 12
"""Options one trailer may list: the plain formula is written out option by option."""
LONGEST_OPTIONS = 500
"""Characters that the list of options may have, for the same reason."""
USUAL_LOW_SHARE, USUAL_HIGH_SHARE = 0.10, 0.15
"""Shares of the gross on the hitch where none is stated (common practice, no source)."""


def check_stated(*pairs: tuple[Parameter, float | None]) -> None:
    """Check each value that is stated against its parameter.

    Raises:
        WrongKind, OutOfRange: As :meth:`Parameter.check`.
    """
    for parameter, value in pairs:
        if value is not None:
            parameter.check(value)


def empty_weight(
    base_weight: float | None, options_weight: float | None = None, scale_weight: float | None = None
) -> float:
    """Weight of the trailer ready to work without load, in the unit of its parameters.

    The scale's figure where there is one, else E = B + O.

    Args:
        base_weight: Weight as listed, above 0; may be absent where the scale's figure is there.
        options_weight: Weight of the options fitted; absent counts as none.
        scale_weight: Weight of the empty trailer on a certified scale, above 0.

    Raises:
        NotStated: Neither a listed nor a scale weight.
        OutOfRange: A value outside those ranges, or options that take off more than the trailer weighs.

    >>> empty_weight(6_500, 540)
    7040.0
    >>> empty_weight(6_500, 540, 7_120)
    7120.0
    """
    check_stated((BASE_WEIGHT, base_weight), (OPTIONS_WEIGHT, options_weight), (SCALE_WEIGHT, scale_weight))
    if scale_weight is not None:
        return float(scale_weight)
    if base_weight is None:
        message = "neither base_weight nor scale_weight is stated"
        raise NotStated(message)
    weight = float(base_weight) + (options_weight or 0.0)
    if weight <= 0:
        raise OutOfRange(EMPTY_WEIGHT.refusal(weight))
    return weight


def options_weight(options: str | None, names: Sequence[object], weights: Sequence[object]) -> float:
    """Weight of the options fitted: the sum over the ``;``-separated options, each looked up by name.

    Args:
        options: Options with ``;`` between them, any case, outer spaces ignored; at most 12 and 500 characters.
        names: Names in the list of options.
        weights: Their weights, in the same order, any one unit, 0 or more; what is no such number counts as none.

    Raises:
        WrongKind: ``options`` is not text, or the two lists differ in length.
        OutOfRange: More options or characters than allowed.
        NotInTable: An option that the list does not name exactly once with a weight.

    >>> options_weight("Spare tire; winch mount", ["Spare tire", "Winch mount"], [180, 60])
    240.0
    """
    if options is None:
        return 0.0
    OPTIONS.check(options)
    if len(options) > LONGEST_OPTIONS or options.count(";") >= MOST_OPTIONS:
        message = f"options lists more than {MOST_OPTIONS} options or {LONGEST_OPTIONS} characters"
        raise OutOfRange(message)
    if len(names) != len(weights):
        message = f"names has {len(names)} cells, weights has {len(weights)}: the same number is needed"
        raise WrongKind(message)
    listed: dict[str, list[float]] = {}
    for name, weight in zip(names, weights, strict=True):
        is_number = type(weight) in (float, int)  # no truth value, which is an int too
        if isinstance(name, str) and is_number and weight >= 0:  # type: ignore[operator]
            listed.setdefault(name.lower(), []).append(float(weight))  # type: ignore[arg-type]
    total = 0.0
    for option in filter(None, map(trim, options.split(";"))):
        found = listed.get(option.lower(), [])
        if len(found) != 1:
            message = f"option {option!r} is not named exactly once, with a weight, in the list of options"
            raise NotInTable(message)
        total += found[0]
    return total


def first_of_the_least(figures: Mapping[str, float]) -> str:
    """The name of the least figure; the first where figures are equal but for rounding.

    >>> first_of_the_least({"axles": 8_000.1, "tires": 3 * 2_666.7})
    'axles'
    """
    limit = min(figures.values()) * (1 + ROUNDING)
    return next(name for name, figure in figures.items() if figure <= limit)


def payload(gross: float, empty_weight: float) -> float:
    """Weight of load that makes up the gross weight, in the unit of ``gross``.

    L = W - E; on a label rated cargo plus unloaded weight is at most the GVWR (49 CFR 567.4(g)(3), no seats).

    Args:
        gross: Gross weight or rating, above 0.
        empty_weight: Weight without load, above 0, not above ``gross``.

    Raises:
        OutOfRange: A value outside those ranges, NaN included.

    >>> payload(15_000, 8_600)
    6400.0
    """
    GROSS.check(gross)
    EMPTY_WEIGHT.check(empty_weight)
    if empty_weight > gross:
        message = f"empty_weight is {empty_weight:,.15g}: allowed is up to gross, {gross:,.15g}"
        raise OutOfRange(message)
    return float(gross) - empty_weight


def axle_parts(
    axle_rating: float,
    suspension_rating: float | None = None,
    tires_per_axle: float | None = None,
    tire_rating: float | None = None,
    wheel_rating: float | None = None,
) -> dict[str, float]:
    """What each stated part of one axle may carry, by the part's name, in the order of the sum."""
    parts: dict[str, float] = {"axles": float(axle_rating)}
    if suspension_rating is not None:
        parts["suspension"] = float(suspension_rating)
    if tires_per_axle is not None and tire_rating is not None:
        parts["tires"] = tires_per_axle * float(tire_rating)
    if tires_per_axle is not None and wheel_rating is not None:
        parts["wheels"] = tires_per_axle * float(wheel_rating)
    return parts


def axle_group_rating(
    axles: float,
    axle_rating: float,
    suspension_rating: float | None = None,
    tires_per_axle: float | None = None,
    tire_rating: float | None = None,
    wheel_rating: float | None = None,
) -> float:
    """Rating of the axle group, in the unit of ``axle_rating``.

    R = n min(a, s, m t, m w) over the parts stated: axle a, suspension s, m tires of t, m wheels of w. An axle system
    is rated at the tire-ground interfaces, so that every part counts (49 CFR 571.3, GAWR; 571.120 S5.1.2 for tires).

    Args:
        axles: Number of axles, whole, 1 to 20.
        axle_rating: Rating of one axle, above 0.
        suspension_rating: Rating of one axle's suspension, above 0.
        tires_per_axle: Number of tires, and wheels, on one axle, whole, up to 16.
        tire_rating: Load one tire may carry as fitted, above 0.
        wheel_rating: Load one wheel may carry, above 0.

    Raises:
        OutOfRange: A value outside those ranges, NaN included.

    >>> axle_group_rating(2, 12_000, tires_per_axle=4, tire_rating=3_042)
    24000.0
    """
    parts = _checked_parts(axles, axle_rating, suspension_rating, tires_per_axle, tire_rating, wheel_rating)
    return axles * min(parts.values())


def weakest_part(
    axles: float,
    axle_rating: float,
    suspension_rating: float | None = None,
    tires_per_axle: float | None = None,
    tire_rating: float | None = None,
    wheel_rating: float | None = None,
) -> str:
    """Which part sets the axle group's rating: ``axles``, ``suspension``, ``tires`` or ``wheels``.

    The first in that order where two are equal. Parameters and errors as :func:`axle_group_rating`.

    >>> weakest_part(2, 12_000, tires_per_axle=4, tire_rating=2_778)
    'tires'
    """
    parts = _checked_parts(axles, axle_rating, suspension_rating, tires_per_axle, tire_rating, wheel_rating)
    return first_of_the_least(parts)


def _checked_parts(
    axles: float,
    axle_rating: float,
    suspension_rating: float | None,
    tires_per_axle: float | None,
    tire_rating: float | None,
    wheel_rating: float | None,
) -> dict[str, float]:
    """The parts of one axle after the range checks that rating and weakest part share."""
    check_stated(
        (AXLES, axles),
        (AXLE_RATING, axle_rating),
        (SUSPENSION_RATING, suspension_rating),
        (TIRES_PER_AXLE, tires_per_axle),
        (TIRE_RATING, tire_rating),
        (WHEEL_RATING, wheel_rating),
    )
    return axle_parts(axle_rating, suspension_rating, tires_per_axle, tire_rating, wheel_rating)


def gross_limits(
    gvwr: float,
    axle_group_rating: float | None = None,
    coupler_rating: float | None = None,
    coupler_vertical: float | None = None,
    low_pin_share: float | None = None,
    high_pin_share: float | None = None,
) -> dict[str, float]:
    """The gross weight that each stated rating allows, by the rating's name, in the order of the sum.

    Parameters and errors as :func:`gross_limit`.
    """
    check_stated(
        (GVWR, gvwr),
        (AXLE_GROUP_RATING, axle_group_rating),
        (COUPLER_RATING, coupler_rating),
        (COUPLER_VERTICAL, coupler_vertical),
        (LOW_PIN_SHARE, low_pin_share),
        (HIGH_PIN_SHARE, high_pin_share),
    )
    limits = {"GVWR": float(gvwr)}
    if axle_group_rating is not None:
        limits["axle group"] = axle_group_rating / (1 - (low_pin_share or USUAL_LOW_SHARE))
    if coupler_rating is not None:
        limits["coupler"] = float(coupler_rating)
    if coupler_vertical is not None:
        limits["coupler vertical"] = coupler_vertical / (high_pin_share or USUAL_HIGH_SHARE)
    return limits


def gross_limit(
    gvwr: float,
    axle_group_rating: float | None = None,
    coupler_rating: float | None = None,
    coupler_vertical: float | None = None,
    low_pin_share: float | None = None,
    high_pin_share: float | None = None,
) -> float:
    """Heaviest gross weight that every stated rating allows, in the unit of ``gvwr``.

    W = min(GVWR, A / (1 - low), C, V / high): the axles carry most when the pin carries least, and the reverse.

    Args:
        gvwr: Rating on the certification label, above 0.
        axle_group_rating: Rating A of the axle group, above 0.
        coupler_rating: Greatest gross C for the coupler, above 0.
        coupler_vertical: Greatest downward load V on the coupler, above 0.
        low_pin_share: Least share of the gross on the hitch, above 0 and below 1; 0.10 where absent.
        high_pin_share: Greatest share, above 0 and below 1; 0.15 where absent.

    Raises:
        OutOfRange: A value outside those ranges, NaN included.

    >>> gross_limit(30_000, axle_group_rating=24_000, low_pin_share=0.2)
    30000.0
    """
    return min(
        gross_limits(gvwr, axle_group_rating, coupler_rating, coupler_vertical, low_pin_share, high_pin_share).values()
    )


def limited_by(
    gvwr: float,
    axle_group_rating: float | None = None,
    coupler_rating: float | None = None,
    coupler_vertical: float | None = None,
    low_pin_share: float | None = None,
    high_pin_share: float | None = None,
) -> str:
    """Which rating sets the gross limit: ``GVWR``, ``axle group``, ``coupler`` or ``coupler vertical``.

    The first in that order where two are equal. Parameters and errors as :func:`gross_limit`.

    >>> limited_by(30_000, coupler_rating=25_000)
    'coupler'
    """
    limits = gross_limits(gvwr, axle_group_rating, coupler_rating, coupler_vertical, low_pin_share, high_pin_share)
    return first_of_the_least(limits)


def total(count: float, each: float) -> float:
    """What ``count`` equal parts are rated for together, in the unit of ``each``: T = n r.

    Args:
        count: How many, whole, 1 to 1,000.
        each: Rating of one, above 0.

    Raises:
        OutOfRange: A value outside those ranges, NaN included.

    >>> total(2, 12_000)
    24000.0
    """
    COUNT.check(count)
    EACH.check(each)
    return count * float(each)


def shortfall(needed: float, rated: float) -> float:
    """How much the rating falls short of what is needed, 0 where it suffices: max(0, needed - rated).

    A shortfall of less than a billionth of the rating is the arithmetic's own and counts as none.

    Args:
        needed: What is needed, above 0, any unit.
        rated: What is rated, above 0, the same unit.

    Raises:
        OutOfRange: A value outside those ranges, NaN included.

    >>> shortfall(25_000, 24_000)
    1000.0
    """
    NEEDED.check(needed)
    RATED.check(rated)
    return float(needed) - rated if needed > rated * (1 + ROUNDING) else 0.0
