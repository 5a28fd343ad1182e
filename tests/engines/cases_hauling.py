"""Values of the hauling functions as a person of the trade would enter them: trailers, machines and trucks that fit."""

from __future__ import annotations

import random
from collections.abc import Callable

Arguments = list[object]


def trailer(chance: random.Random) -> Arguments:
    """Deck height, tail drop, tail length and ramp length in inches; a third of the trailers have no tail."""
    height = round(chance.uniform(18, 44), 1)
    length = chance.choice((0, round(chance.uniform(24, 84), 1), round(chance.uniform(24, 84), 1)))
    drop = round(length * chance.uniform(0, 0.3), 1)
    rise = height - drop
    return [height, drop, length, round(max(rise, 1) * chance.uniform(1.2, 7), 1)]


def machine(chance: random.Random) -> Arguments:
    """Wheelbase, ground clearance, and now and then overhangs with their clearances, in inches."""
    sizes: Arguments = [round(chance.uniform(40, 200), 1), round(chance.uniform(4, 22), 1)]
    for _ in range(2):
        fitted = chance.random() < 0.7
        sizes += [round(chance.uniform(4, 90), 1), round(chance.uniform(6, 40), 1)] if fitted else [None, None]
    return sizes


def _drive_on(chance: random.Random) -> Arguments:
    return [*trailer(chance), *machine(chance)]


def _break(chance: random.Random) -> Arguments:
    return [*trailer(chance), chance.choice(("foot", "Ramp top", " TAIL TOP "))]


def beam(chance: random.Random) -> Arguments:
    """Empty weight, empty pin, coupler to axles in feet, and load in pounds."""
    empty = chance.randrange(40, 200) * 50
    return [
        empty,
        round(empty * chance.uniform(0, 0.3)),
        round(chance.uniform(10, 40), 2),
        chance.randrange(20, 500) * 100,
    ]


def _placed(chance: random.Random) -> Arguments:
    return [*beam(chance), round(chance.uniform(0, 45), 2)]


def _window(chance: random.Random) -> Arguments:
    values = beam(chance)
    low = chance.choice((0.05, 0.1, 0.15, 0.2))
    gross = sum(part for part in (values[0], values[3]) if isinstance(part, int))
    axles = chance.choice((None, None, round(gross * chance.uniform(0.7, 1.1)), 24_000))
    vertical = chance.choice((None, None, round(gross * chance.uniform(0.1, 0.3)), 6_000))
    return [*values, low, round(low + chance.choice((0, 0.05, 0.1)), 2), axles, vertical]


def _hitch(chance: random.Random) -> Arguments:
    pin = chance.choice((0, chance.randrange(500, 8_000), -chance.randrange(1, 2_000)))
    return [pin, round(chance.uniform(120, 260), 1), round(chance.uniform(-60, 90), 1)]


def _truck(chance: random.Random) -> Arguments:
    empty = chance.randrange(60, 300) * 50
    rear = round(empty * chance.uniform(0.35, 0.6))
    stated: Arguments = [
        round(empty * chance.uniform(1.2, 4)),
        chance.randrange(5, 60) * 1000,
        chance.randrange(5, 60) * 200,
        round(rear * chance.uniform(1.1, 3)),
        rear,
        round(chance.uniform(120, 260), 1),
        round(chance.uniform(-60, 90), 1),
    ]
    kept = [value if chance.random() < 0.8 else None for value in stated]
    share = chance.choice((0.1, 0.15, 0.2, 0.25, round(chance.uniform(0.02, 0.9), 3)))
    return [round(empty * chance.uniform(1.05, 3)), empty, share, *kept]


def _chain(chance: random.Random) -> Arguments:
    size = chance.choice(("1/4", "5/16", "3/8", "7/16", "1/2", "5/8", "3/8 in", "1/2  IN", "10 mm", "16 MM", "3/16"))
    padded = " " * chance.randint(0, 3) + size + " " * chance.randint(0, 3)
    return [padded, chance.choice((30, 43, 70, 80, 100, 100, 50))]


def _license(chance: random.Random) -> Arguments:
    near = (26_000, 26_001, 26_000.5, 10_000, 10_001, 16_000, 16_001)
    weights = [chance.choice((*near, chance.randrange(3_000, 60_000))) for _ in range(4)]
    return [
        weights[0],
        chance.choice((0, weights[1])),
        chance.choice((None, weights[2])),
        chance.choice((None, weights[3])),
        chance.choice((None, None, "placarded", " Passengers ")),
    ]


def _group(chance: random.Random) -> Arguments:
    span = chance.choice(
        (
            chance.randint(0, 60),
            round(chance.uniform(0, 60), 2),
            chance.randint(0, 60) + 0.5,
            8.01,
            8.99,
            35.9,
            36,
            96 / 12,
        )
    )
    axles = chance.choice((1, 2, 2, 3, 3, 4, 4, 5, 6, 7, 9))
    return [axles, span, chance.choice((None, None, "tandems", " TANDEMS "))]


def _article(chance: random.Random) -> Arguments:
    length = chance.choice((chance.randint(1, 53), 10 * chance.randint(1, 5), round(chance.uniform(0.5, 53), 2), 5))
    return [
        chance.choice((chance.randrange(100, 80_000), 1_100, 1_101, 9_999, 10_000, 10_001)),
        length,
        chance.choice((None, "blocked", " Blocked ")),
        chance.choice((None, "machine", "MACHINE")),
    ]


def _light_trailer(chance: random.Random) -> Arguments:
    axles = chance.choice((1_200, 2_600, 2_700, chance.randrange(500, 4_000)))
    return [chance.choice((3_000, 3_001, 2_000, 9_000)), axles, chance.choice((axles * 2.5, 6_750, 5_000, 9_001))]


def _rated(chance: random.Random) -> Arguments:
    """A rating on either side of the limits of brakes, tires and placards."""
    return [chance.choice((10_000, 10_001, 6_857, 6_858, 9_600, 9_601, 16_000, 16_001, chance.randrange(900, 30_000)))]


def _overhang(chance: random.Random) -> Arguments:
    return [chance.choice((0, 48, 48.5, 49, 60)), chance.choice((0, 4, 4.1, 6)), chance.choice((12, 24, 24.5, 102))]


HAULING_CASES: dict[str, Callable[[random.Random], Arguments]] = {
    "LOT_PIN_AT": _placed,
    "LOT_AXLES_AT": _placed,
    "LOT_LOADING_PIN": lambda chance: [*beam(chance), round(chance.uniform(5, 60), 2)],
    "LOT_FOREMOST": _window,
    "LOT_REARMOST": _window,
    "LOT_FROM_DECK": lambda chance: [round(chance.uniform(0, 40), 2), round(chance.uniform(2, 15), 2)],
    "LOT_REAR_AXLE_CHANGE": _hitch,
    "LOT_FRONT_AXLE_CHANGE": _hitch,
    "LOT_RAMP_CLEARANCE": _drive_on,
    "LOT_RAMP_TOUCH": _drive_on,
    "LOT_CLEARANCE_AT_LEAST": _drive_on,
    "LOT_CLEARANCE_AT_MOST": _drive_on,
    "LOT_BREAK_ANGLE": _break,
    "LOT_TIEDOWN_COUNT": _article,
    "LOT_CHAIN_WLL": _chain,
    "LOT_LICENSE_GROUP": _license,
    "LOT_BRIDGE_LIMIT": _group,
    "LOT_BRAKES_NEEDED": _light_trailer,
    "LOT_SURGE_BRAKE_LIMIT": _rated,
    "LOT_LABEL_STANDARD": _rated,
    "LOT_PLACARD_LIMIT": _rated,
    "LOT_OVERHANG_FLAGS": _overhang,
    "LOT_TRUCK_LIMIT": _truck,
    "LOT_TRUCK_LIMITED_BY": _truck,
}
