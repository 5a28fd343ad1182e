"""The Lot's figures and checks: golden rows worked out by hand, and each shorter writing against its function."""

from __future__ import annotations

import random
from collections.abc import Iterator

import pytest

from tarelot.calc.cells.boundary import CellError, call
from tarelot.calc.cells.expression import Expression, value
from tarelot.calc.cells.owned import Owned
from tarelot.calc.cells.worked_out import WorkedOut
from tarelot.calc.cells.working import Applied
from tarelot.calc.registry import BY_NAME
from tarelot.calc.rules.lot import FIGURES
from tarelot.workbook_templates.basis.limits import limit_values
from tarelot.workbook_templates.basis.units import US
from tarelot.workbook_templates.lot.column import Input, Result
from tarelot.workbook_templates.lot.expressions import figures_of_law

# A two-axle gooseneck of 24,000 lb: 2 axles of 10,000, suspensions 9,500, 4 tires of 2,600 and wheels of 2,300 each.
TRAILER: dict[str, object] = {
    **{"gvwr": 24_000.0, "base": 6_000.0, "options": None, "scale": None, "stated_payload": 18_100.0},
    **{"axles": 2.0, "axle_rating": 10_000.0, "suspension": 9_500.0, "tires": 4.0, "tire_rating": 2_600.0},
    **{"wheel_rating": 2_300.0, "coupler": 23_500.0, "vertical": 5_000.0, "chains": 20_000.0, "jacks": 2.0},
    **{"jack_rating": 2_500.0, "hitch": "gooseneck", "stated_low": None, "stated_high": None, "empty_pin": 1_500.0},
    **{"width": 103.5, "deck_height": 36.0, "tail_length": 60.0, "tail_drop": 12.0, "ramp_length": 48.0},
    **{"to_axles": 25.0, "to_deck": 8.0, "points": 8.0, "point_rating": 2_000.0, "vin": None, "model_year": None},
    **{"option_names": [], "option_weights": [], "option_fitted": []},
}
# Wheels carry 4 x 2,300 = 9,200 an axle: the least. Two axles: 18,400. By axles 18,400 / (1 - 0.15) = 21,647.06; by the
# coupler's vertical 5,000 / 0.25 = 20,000: the limit. Safe 20,000 - 6,000 = 14,000; pin 0.25 x 20,000 = 5,000.
# Load: 25 x (1,500 + 14,000 - 5,000) / 14,000 - 8 = 10.75; low pin 0.15 x 20,000 = 3,000: 25 x 12,500 / 14,000 - 8 =
# 14.321 429. Sticker pin 24,000 - 20,000 = 4,000, 1/6 of the GVWR. Tail: sin = 12 / 60 = 0.2, 11.536 959 deg (sine
# tables); ramp: (36 - 12) / 48 = 0.5, 30 deg.
GOLDEN = {
    **{"options_weight": 0.0, "empty": 6_000.0, "payload": 18_000.0, "safe_payload": 14_000.0, "gross_limit": 20_000.0},
    **{"limited_by": "coupler vertical", "pin_weight": 5_000.0, "low_share": 0.15, "high_share": 0.25},
    **{"axle_group": 18_400.0, "weakest_part": "wheels", "sticker_pin": 4_000.0, "sticker_share": 1 / 6},
    **{"axle_load": 17_000.0, "load_from": 10.75, "load_to": 14.321428571428571, "tail_angle": 11.536959032815488},
    **{"ramp_angle": 30.0, "vin_year": "", "excise_rate": 0.0, "unlisted": "", "vin_check": ""},
    # 24,000 x 0.85 = 20,400 on axles of 20,000; axle 10,000 against 9,500, 4 x 2,600 = 10,400 and 9,200
    **{"axles_short": 400.0, "suspension_short": 500.0, "tires_short": 0.0, "wheels_short": 800.0},
    # 24,000 against 23,500 and 20,000; pin 0.25 x 24,000 = 6,000 against 5,000 and jacks 2 x 2,500
    **{"coupler_short": 500.0, "vertical_short": 1_000.0, "chains_short": 4_000.0, "jacks_short": 1_000.0},
    # 18,000 against 8 x 2,000; 18,100 promised; 103.5 in against 102
    **{
        "ties_short": 2_000.0,
        "stated_over": 100.0,
        "empty_over": 0.0,
        "width_over": 1.5,
        "added": 0.0,
        "placard": "ok",
        "parted": "",
    },
}


AROUND = {**figures_of_law(US), **limit_values(US)}
RELABEL = "correct its cargo weight before the sale"


def worked_out(**changed: object) -> WorkedOut:
    return WorkedOut({**TRAILER, **changed}, FIGURES, AROUND)


@pytest.mark.parametrize("key", FIGURES)
def test_a_trailer_worked_out_by_hand(key: str) -> None:
    found, wanted = worked_out()[key], GOLDEN[key]
    assert found == (pytest.approx(wanted, rel=1e-12) if isinstance(wanted, float) else wanted)


@pytest.mark.parametrize(
    ("changed", "key", "wanted"),
    [
        ({"scale": "#N/A"}, "empty", ""),
        ({"scale": 6_400.0, "options": "Wynch"}, "empty", 6_400.0),
        ({"options": "Wynch"}, "empty", ""),
        ({"options": 5.0}, "empty", ""),
        # 250 + 2 x 120 on 6,000
        ({"options": " winch;Spare ; spare", "option_names": ["Winch", "Spare"], "option_weights": [250.0, 120.0]},
         "empty", 6_490.0),
        # only what the yard fits counts: 2 x 120
        ({"options": "Winch;Spare;spare", "option_names": ["Winch", "Spare"], "option_weights": [250.0, 120.0],
          "option_fitted": ["maker", "Yard"]}, "added", 240.0),
        ({"options": "Wynch"}, "added", ""),
        # 49 CFR 571.110 S10: to 10,000 lb the lesser of 1.5 % and 100 lb; 1.5 % of 6,000 = 90, of 9,990 = 149.85
        ({"gvwr": 9_990.0, "added": 100.0}, "placard", "ok"),
        ({"gvwr": 9_990.0, "added": 101.0, "stated_payload": None}, "placard", RELABEL),
        ({"gvwr": 6_000.0, "base": 2_000.0, "added": 90.0}, "placard", "ok"),
        ({"gvwr": 6_000.0, "base": 2_000.0, "added": 91.0, "stated_payload": None}, "placard", RELABEL),
        ({"gvwr": 10_000.0, "added": 101.0, "stated_payload": None}, "placard", RELABEL),
        ({"gvwr": 10_001.0, "added": 101.0, "stated_payload": None}, "placard", "ok"),
        # the placard as corrected: 9,990 - 6,000 = 3,990
        ({"gvwr": 9_990.0, "added": 101.0, "stated_payload": 3_990.0}, "placard", "ok"),
        ({"gvwr": 9_990.0, "added": 101.0, "stated_payload": 4_091.0}, "placard", RELABEL),
        ({"option_names": [None], "option_weights": [99.0], "options": "a;"}, "options_weight", ""),
        ({"suspension": "strong"}, "axle_group", 18_400.0),  # the wheels are still the least
        ({"wheel_rating": -1.0}, "axle_group", 19_000.0),  # then the suspension, 2 x 9,500
        ({"wheel_rating": -1.0}, "weakest_part", "suspension"),
        ({"axles": 2.5}, "axle_group", ""),
        ({"vertical": None}, "limited_by", "axle group"),
        ({"vertical": None, "axles": None}, "limited_by", "coupler"),
        ({"gvwr": 5_000.0, "vertical": None}, "payload", ""),
        ({"gvwr": 5_000.0}, "empty_over", 1_000.0),
        ({"hitch": " Ball"}, "high_share", 0.15),
        ({"hitch": "bumper"}, "high_share", ""),
        ({"stated_high": 15.0}, "high_share", 0.25),
        ({"deck_height": 3.0}, "ramp_angle", ""),  # feet
        ({"empty_pin": 6_500.0}, "load_from", ""),  # above the empty weight
        ({"stated_low": 0.3}, "load_from", ""),  # above the high share
    ],
)  # fmt: skip
def test_what_lacks_or_is_refused(changed: dict[str, object], key: str, wanted: object) -> None:
    found = worked_out(**changed)[key]
    assert found == (pytest.approx(wanted, rel=1e-12) if isinstance(wanted, float) else wanted)


def owned(expression: Expression) -> Iterator[Owned]:
    """Every registered function in an expression that is written shorter."""
    if isinstance(expression, Owned):
        yield expression
    elif isinstance(expression, Applied):
        for argument in expression.arguments:
            yield from owned(argument)


def by_function(node: Owned, cells: WorkedOut) -> object:
    """What the registered functions make of the same cells; the inner ones first."""
    try:
        given = [None if a is None else a.work_out(cells) for a in node.arguments]
        return call(BY_NAME[node.function], given)
    except CellError as error:
        return error.code


def random_trailer(chance: random.Random) -> dict[str, object]:
    row = dict(TRAILER)
    for key, typed in TRAILER.items():
        if isinstance(typed, float):
            whole = key in ("axles", "tires", "jacks", "points")
            row[key] = chance.choice(
                (typed, None, float(chance.randint(1, 4)) if whole else typed * chance.uniform(0.3, 2))
            )
    row["hitch"] = chance.choice(("gooseneck", "ball", "pintle", None))
    row["stated_low"], row["stated_high"] = chance.choice(((None, None), (0.12, 0.2), (None, 0.3)))
    return row


WRITTEN = [(key, node) for key, expression in FIGURES.items() for node in owned(expression)]


@pytest.mark.parametrize(("key", "node"), WRITTEN, ids=[f"{key} {node.function}" for key, node in WRITTEN])
def test_the_shorter_writing_comes_to_what_its_function_says(key: str, node: Owned) -> None:
    chance, asked = random.Random(key), 0
    for _ in range(400):
        cells = WorkedOut(random_trailer(chance), FIGURES, AROUND)
        shown = cells[key]
        if shown == "" or (key == "empty" and cells["scale"]):
            continue
        found, wanted = value(node, cells), by_function(node, cells)
        asked += 1
        # a shortfall is rounded to 9 places
        assert found == (pytest.approx(wanted, rel=1e-9, abs=1e-8) if isinstance(wanted, float) else wanted)
    assert asked > 10 or key in ("vin_check", "vin_year", "options_weight")


def test_a_kind_that_is_none_is_refused() -> None:
    with pytest.raises(ValueError, match="Deck is of kind 'numbr'"):
        Input("Deck", "", "numbr", "")  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="is of kind 'figur'"):
        Result("Payload", "", "figur", "")  # type: ignore[arg-type]
