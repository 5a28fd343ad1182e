"""Random and edge cases for every worksheet function, the same in every run."""

from __future__ import annotations

import random
from collections.abc import Callable

from tarelot.calc.cells.boundary import ERROR_VALUES
from tarelot.calc.registry import BY_NAME
from tarelot.calc.spec import LARGEST, Function, Parameter
from tarelot.calc.vin import CHECK_DIGITS
from tests.engines.cases_hauling import HAULING_CASES
from tests.engines.faces import Argument, Case

BLANKS: tuple[Argument, ...] = (None, "", 0)
WRONG_TEXT: tuple[Argument, ...] = ("abc", "12", " ", "#", "-5", "1e3", "ok", "0")
BAD_NUMBERS: tuple[Argument, ...] = (-1, -0.5, -1e300, 1e13, 1e300, 0.5, 1.5, 1e-9)
USUAL_SHARES = (0.1, 0.15, 0.25)
SMALLEST_TIE = 1e-6
"""IronCalc takes what lies below 1e-15 for 0."""
VIN_LETTERS = "ABCDEFGHJKLMNPRSTUVWXYZ0123456789"
ODD_TEXTS = (
    "",
    " ",
    "abc",
    "PINTLE",
    " ball ",
    "Goose neck",
    "é",
    "İ",
    'say "x"',
    "1M8GDM9AXKP042788",
    "lb",
    "KG",
    " Kg ",
    "oz",
)
OPTION_NAMES = (
    "Spare tire",
    "winch mount",
    "Ramps 5 ft",
    "D-rings",
    "Toolbox",
    "LED lights",
    "a*b",
    "Pop-up; center",
    "~x",
    "?",
)


def cases(name: str, count: int) -> list[Case]:
    """So many cases of one function: first each edge of each parameter, then random ones mixed with edges."""
    function = BY_NAME[name]
    chance = random.Random(name)
    found: dict[str, Case] = {}
    for case in _edge_cases(function, chance):
        found[repr(case)] = case
    while len(found) < count:
        case = _random_case(function, chance)
        found[repr(case)] = case
    return list(found.values())


def _edge_cases(function: Function, chance: random.Random) -> list[Case]:
    """Every edge of every parameter among otherwise usual values, and every length of the argument list."""
    made = []
    for place, parameter in enumerate(function.parameters):
        for edge in edges(parameter):
            arguments = _usual(function, chance)
            arguments[place] = edge
            made.append(Case(function.name, tuple(arguments)))
        if not any(later.required for later in function.parameters[place:]):
            made.append(Case(function.name, tuple(_usual(function, chance)[:place])))
    return made


def _random_case(function: Function, chance: random.Random) -> Case:
    """Usual values with some edges, some ties and some that are left out at the end; of many values fewer each."""
    arguments = _usual(function, chance)
    many = max(1, len(arguments) / 5)
    for place, parameter in enumerate(function.parameters):
        draw = chance.random() * many
        if draw < 0.12:
            arguments[place] = chance.choice(edges(parameter))
        elif draw < 0.2 and not parameter.required:
            arguments[place] = chance.choice(BLANKS)
        elif draw < 0.27 and parameter.kind == "number":
            arguments[place] = chance.choice([a for a in arguments if not isinstance(a, list)])
    if chance.random() < 0.25:
        place = chance.randrange(len(arguments))
        if function.parameters[place].kind == "number":
            arguments[place] = _tie(arguments, chance)
    last = len(arguments)
    while last > 1 and not function.parameters[last - 1].required and chance.random() < 0.15:
        last -= 1
    return Case(function.name, tuple(arguments[:last]))


def _tie(arguments: list[Argument], chance: random.Random) -> Argument:
    """A figure that others of the case make up: what one rating allows then equals what another does."""
    numbers = [a for a in arguments if isinstance(a, int | float) and SMALLEST_TIE < abs(a) < LARGEST]
    one, other = (chance.choice([*numbers, *USUAL_SHARES]) for _ in range(2))
    made = [-one, one * other, one / other, *([one / (1 - other)] if other != 1 else [])]
    return float(f"{chance.choice([m for m in made if abs(m) > SMALLEST_TIE] or [1]):.12g}")


def edges(parameter: Parameter) -> list[Argument]:
    """Values at and beyond what a parameter allows, blanks, the wrong kind and errors."""
    if parameter.kind == "range":
        return [[[edge]] for edge in (*BLANKS, "abc", -1, "#N/A")]
    common: list[Argument] = [*BLANKS, *ERROR_VALUES]
    if parameter.kind == "text":
        return [*common, 5, -1, 1e300, *ODD_TEXTS]
    bounds: list[Argument] = [parameter.least, parameter.greatest]
    step = 1 if parameter.whole else 1e-6 * max(1.0, abs(parameter.greatest))
    beyond: list[Argument] = [
        bound + side * step for bound in (parameter.least, parameter.greatest) for side in (-1, 1)
    ]
    return [*common, *WRONG_TEXT, *BAD_NUMBERS, *bounds, *beyond]


def _usual(function: Function, chance: random.Random) -> list[Argument]:
    """Values as a person of the trade would enter them."""
    if function.name in OWN_CASES:
        return OWN_CASES[function.name](chance)
    return [_usual_value(parameter, chance) for parameter in function.parameters]


def _usual_value(parameter: Parameter, chance: random.Random) -> Argument:
    if parameter.name == "vin":
        return vin(chance)
    if parameter.kind == "text":
        word = chance.choice(parameter.choices)
        return chance.choice((word, word.upper(), f" {word.title()} "))
    if parameter.greatest == LARGEST:
        return chance.choice(
            (chance.randrange(1, 60) * 500, chance.randrange(1, 60_000), round(10 ** chance.uniform(-3, 9), 4))
        )
    if parameter.whole:
        return chance.randint(int(parameter.least), int(parameter.greatest))
    return round(chance.uniform(parameter.least, parameter.greatest), chance.choice((2, 3, 6)))


def vin(chance: random.Random) -> str:
    """A VIN, as often right as not: its check digit, length, letters, case and spaces vary."""
    letters = [chance.choice(VIN_LETTERS) for _ in range(17)]
    letters[8] = chance.choice(CHECK_DIGITS)
    if chance.random() < 0.6:
        letters[13:] = chance.choices("0123456789", k=4)
    if chance.random() < 0.15:
        letters[chance.randrange(17)] = chance.choice("IOQioqé -\"'*?")
    if chance.random() < 0.15:
        letters = letters[: chance.randrange(1, 17)] if chance.random() < 0.5 else [*letters, "1"]
    text = "".join(letters)
    return chance.choice((text, text, text.lower(), f"  {text} "))


def _options(chance: random.Random) -> list[Argument]:
    """A list of options with weights, and a text that names some of them."""
    names: list[Argument] = chance.sample(OPTION_NAMES, chance.randint(1, 8))
    if chance.random() < 0.1:
        names.append(chance.choice((names[0], str(names[0]).upper(), None, "", 7)))
    weights: list[Argument] = [chance.choice((0, 40, 125.5, 600, -30)) for _ in names]
    if chance.random() < 0.1:
        weights[chance.randrange(len(weights))] = chance.choice((None, "", "heavy", "#N/A", 1e12))
    if chance.random() < 0.03:
        weights.append(5)
    chosen = [str(name) for name in chance.choices(names, k=chance.randint(0, 6)) if name]
    if chance.random() < 0.1:
        chosen.append(chance.choice(("Chrome", "7", "Spare", "*", "Spare  tire", "x" * 480, "x" * 501)))
    if chance.random() < 0.05:
        chosen += [chosen[0] if chosen else ""] * 12
    styled = [chance.choice((text, text.upper(), f"  {text} ", text.replace(" ", "  "))) for text in chosen]
    joined = chance.choice((";", "; ", " ;")).join(styled) + chance.choice(("", "", ";"))
    if chance.random() < 0.5:
        return [joined, [[name] for name in names], [[weight] for weight in weights]]
    return [joined, [names], [weights]]


def _findings(chance: random.Random) -> list[Argument]:
    """Results of checks: amounts, texts, ok, blanks and now and then an error."""
    pool: tuple[Argument, ...] = (None, "", 0, "ok", "OK", 1750, 0.4, -3, "has 16 characters, not 17", 9.95, 12.5, 1e9)
    values = [chance.choice(pool) for _ in range(chance.randint(1, 9))]
    if chance.random() < 0.05:
        values[-1] = chance.choice(ERROR_VALUES)
    return values


def _checks(chance: random.Random) -> list[Argument]:
    """Headings with the results under them."""
    values = _findings(chance)
    headings: list[Argument] = [
        chance.choice(("Axles short (lb)", "VIN check", "Width over (in)", "Repeated", "(lb)", None)) for _ in values
    ]
    if chance.random() < 0.05:
        headings.append("one too many")
    return [[headings], [values]]


OWN_CASES: dict[str, Callable[[random.Random], list[Argument]]] = {
    "LOT_OPTIONS_WEIGHT": _options,
    "LOT_CONFLICTS": _checks,
    "LOT_CONFLICT_COUNT": lambda chance: [[_findings(chance)]],
    "LOT_NOT_CHECKED": _checks,
    **HAULING_CASES,
}
