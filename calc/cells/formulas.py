"""Plain spreadsheet formulas and workbook names, rendered from the registry.

A rendered formula asks, in this order: is a required value blank (then blank), is something of the wrong kind
(#VALUE!), is a number out of range (#NUM!), is a word not among the choices (#N/A); then it calculates. Errors in any
cell pass through the first question, since it is a sum: every program evaluates all of its terms, while some stop early
inside OR. Text compares above every number in a spreadsheet, so the question of kind comes before that of range.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from ..registry import BY_NAME
from ..spec import LARGEST, Function, Parameter

TOKEN = re.compile(r'"(?:[^"]|"")*"|STATED\(([a-z_]+)\)|[a-z][a-z_]*')
LONGEST_FORMULA = 8192
"""Characters that a cell's formula may have."""


@dataclass(frozen=True)
class Cell:
    """A reference as it stands in a formula, such as ``B2`` or ``Lot[[#This Row],[GVWR (lb)]]``."""

    reference: str


@dataclass(frozen=True)
class Call:
    """A function called with cells, constants (numbers, text), other calls, or None for what is left out."""

    function: str
    arguments: tuple[Cell | Call | float | str | None, ...]


Leaf = tuple[str, Parameter]
"""A value as a formula writes it, with the parameter that it is given for."""


def cell_formula(call: Call) -> str:
    """The formula of a cell, without the leading ``=``, that calculates a call with plain spreadsheet functions.

    A call inside a call takes the place of a required value; its own guards are asked together with the outer ones.

    Raises:
        ValueError: The function has no plain formula, or a call stands where it may not.
    """
    leaves: dict[Leaf, None] = {}
    body = _body(call, leaves)
    return _guarded(body, list(leaves), in_cells=True)


def unguarded_formula(call: Call) -> str:
    """The same without any question about its cells, for where another formula has asked all of them."""
    return _body(call, {})


def name_formula(function: Function) -> str:
    """The text of a workbook name: the same calculation as a LAMBDA, as it is written into a file.

    No program is known to take a parameter that may be left out before one that may not: an optional value that stands
    before a required one has to be given there, and a blank cell says that it is not stated.

    Raises:
        ValueError: The function has no plain formula.
    """
    last_required = max((at for at, p in enumerate(function.parameters) if p.required), default=-1)
    left_out = {p.name for p in function.parameters[last_required + 1 :]}
    expressions = {p.name: _lambda_expression(p.name, may_be_left_out=p.name in left_out) for p in function.parameters}
    body = _expand(_template(function), {p.name: p for p in function.parameters}, expressions)
    guarded = _guarded(body, [(expressions[p.name], p) for p in function.parameters], in_cells=False)
    declared = ",".join(f"{'_xlop' if p.name in left_out else '_xlpm'}.{p.name}" for p in function.parameters)
    return f"_xlfn.LAMBDA({declared},{guarded})"


def call_formula(call: Call) -> str:
    """The formula that calls the functions by name, for a program with the add-in, without the leading ``=``."""
    parameters = BY_NAME[call.function].parameters
    rendered = [_argument(argument, parameter) for argument, parameter in zip(call.arguments, parameters, strict=False)]
    while rendered and rendered[-1] == "":
        rendered.pop()
    return f"{call.function}({','.join(rendered)})"


def _argument(argument: Cell | Call | float | str | None, parameter: Parameter) -> str:
    """One argument of a call by name. Calc hands a blank cell over as 0, so that blank is asked for where 0 counts."""
    if isinstance(argument, Call):
        return call_formula(argument)
    if not isinstance(argument, Cell):
        return _constant(argument)
    reference = argument.reference
    return f'IF({reference}="","",{reference})' if parameter.zero_is_value else reference


def text(value: str) -> str:
    """A text constant of a formula.

    >>> text('1/2" chain')
    '"1/2"" chain"'
    """
    doubled = value.replace('"', '""')
    return f'"{doubled}"'


def _constant(value: float | str | None) -> str:
    """A number, a text or nothing, as a formula writes it."""
    if value is None:
        return ""
    return text(value) if isinstance(value, str) else f"{value:.15g}"


def _template(function: Function) -> str:
    """The function's formula over its parameter names."""
    if function.formula is None:
        message = f"{function.name} has no plain formula: {function.why_no_formula}"
        raise ValueError(message)
    return function.formula


def _body(call: Call, leaves: dict[Leaf, None]) -> str:
    """The expression of a call; cells met on the way are added to ``leaves``, in order and once."""
    function = BY_NAME[call.function]
    arguments = [*call.arguments, *[None] * (len(function.parameters) - len(call.arguments))]
    expressions: dict[str, str] = {}
    for parameter, argument in zip(function.parameters, arguments, strict=True):
        if isinstance(argument, Cell):
            leaves[argument.reference, parameter] = None
            expressions[parameter.name] = argument.reference
        elif isinstance(argument, Call):
            if not parameter.required:
                message = f"{argument.function} inside {call.function}: {parameter.name} is optional, give it a cell"
                raise ValueError(message)
            expressions[parameter.name] = f"({_body(argument, leaves)})"
        elif argument is None:
            expressions[parameter.name] = '""'
        else:
            parameter.check(argument)
            expressions[parameter.name] = _constant(argument)
    return _expand(_template(function), {p.name: p for p in function.parameters}, expressions)


def _expand(template: str, parameters: Mapping[str, Parameter], expressions: Mapping[str, str]) -> str:
    """``template`` with expressions in place of the parameter names and of STATED."""

    def replacement(match: re.Match[str]) -> str:
        token, asked = match.group(0), match.group(1)
        if asked:
            return _stated(parameters[asked], expressions[asked])
        return expressions.get(token, token)

    return TOKEN.sub(replacement, template)


def _stated(parameter: Parameter, expression: str) -> str:
    """The question whether an optional value is there, asked where its kind is right: a number other than 0 is true."""
    if expression == '""':
        return "FALSE"
    if parameter.zero_is_value:
        return f'{expression}<>""'
    return f"N({expression})" if parameter.kind == "number" else f'T({expression})<>""'


def _lambda_expression(parameter: str, *, may_be_left_out: bool) -> str:
    """A LAMBDA's parameter inside its body; an omitted one reads as an empty text."""
    name = f"_xlpm.{parameter}"
    return f'IF(_xlfn.ISOMITTED({name}),"",{name})' if may_be_left_out else name


def _guarded(body: str, leaves: Sequence[Leaf], *, in_cells: bool) -> str:
    """The body behind the four questions, each only where it can be answered with yes.

    In cells several figures are asked about at once: COUNT, MIN and MAX pass over the texts, blanks and truth values
    of cells, yet not over those that a name is called with.
    """
    asked = [(e, p) for e, p in leaves if p.kind != "range"]
    numbers = [(e, p) for e, p in asked if p.kind == "number"]
    kinds = [_count_test(numbers)] if in_cells and numbers else [_kind_test(e, p) for e, p in numbers]
    ranges = _range_tests_at_once(numbers) if in_cells else [test for e, p in numbers for test in _range_tests(e, p)]
    steps = (
        ("+".join(_once(_blank_terms(e, p) for e, p in leaves)), '""'),
        (_any_of(_once([*kinds, *(_kind_test(e, p) for e, p in asked if p.kind == "text")])), "#VALUE!"),
        (_any_of(_once(ranges)), "#NUM!"),
        (_any_of(_once(_choice_test(e, p) for e, p in asked if p.choices)), "#N/A"),
    )
    formula = body
    for question, answer in reversed(steps):
        if question:
            formula = f"IF({question},{answer},{formula})"
    return formula


def _once(tests: Iterable[str]) -> list[str]:
    """Each test once, in order."""
    return list(dict.fromkeys(tests))


def _any_of(tests: list[str]) -> str:
    """One question out of several."""
    return tests[0] if len(tests) == 1 else f"OR({','.join(tests)})" if tests else ""


def _blank_terms(expression: str, parameter: Parameter) -> str:
    """A sum that is above 0 where a required value is blank, and an error where the cell holds one."""
    if parameter.kind == "range":
        return f"SUMPRODUCT(({expression}<>{expression})*1)"
    if not parameter.required:
        return f"N({expression})*0"
    if parameter.zero_is_value:
        return f'({expression}="")'
    return f'({expression}="")+({expression}=0)'


def _count_test(leaves: Sequence[Leaf]) -> str:
    """Whether any of these cells holds something other than a number, or than a blank where it is optional."""
    required = {expression for expression, parameter in leaves if parameter.required}
    cells = _once(expression for expression, _ in leaves)
    blanks = "".join(f'+({cell}="")' for cell in cells if cell not in required)
    return f"COUNT({','.join(cells)}){blanks}<{len(cells)}"


def _kind_test(expression: str, parameter: Parameter) -> str:
    """Whether a stated value is text where a number belongs, or the reverse."""
    is_kind = "ISNUMBER" if parameter.kind == "number" else "ISTEXT"
    wrong = f"NOT({is_kind}({expression}))"
    if parameter.required:
        return wrong
    stated = f'{expression}<>""' if parameter.kind == "number" else f'{expression}<>"",{expression}<>0'
    return f"AND({stated},{wrong})"


def _range_tests_at_once(leaves: Sequence[Leaf]) -> list[str]:
    """The tests of :func:`_range_tests` over cells: those against one bound in one."""
    beyond: dict[str, dict[str, str]] = {}
    others = []
    for expression, parameter in leaves:
        value, (below, above) = _number(expression, parameter), _bounds(parameter)
        if parameter.required or parameter.least <= 0:
            beyond.setdefault(below, {})[expression] = value
        else:
            others.append(_below(expression, parameter))
        beyond.setdefault(above, {})[expression] = value
        others += _whole_test(expression, parameter)
    at_once = [
        next(iter(values.values())) + bound
        if len(values) == 1
        else f"{'MIN' if bound.startswith('<') else 'MAX'}({','.join(values)}){bound}"
        for bound, values in beyond.items()
    ]
    return at_once + others


def _range_tests(expression: str, parameter: Parameter) -> list[str]:
    """Whether a number lies below, above or between the whole numbers allowed."""
    _, above = _bounds(parameter)
    return [
        _below(expression, parameter),
        _number(expression, parameter) + above,
        *_whole_test(expression, parameter),
    ]


def _below(expression: str, parameter: Parameter) -> str:
    """Whether a number lies below what is allowed, where it is stated."""
    below = _number(expression, parameter) + _bounds(parameter)[0]
    if not parameter.required and parameter.least > 0:
        return f"AND({_stated(parameter, expression)},{below})"
    return below


def _whole_test(expression: str, parameter: Parameter) -> list[str]:
    """Whether a number that must be whole is not."""
    return [f"MOD({_number(expression, parameter)},1)>0"] if parameter.whole else []


def _bounds(parameter: Parameter) -> tuple[str, str]:
    """What is too low and what is too high for a number, such as ``<0`` and ``>1E+12``."""
    zero_is_out = parameter.least_excluded and parameter.least == 0 and parameter.zero_is_value
    least_is_out = zero_is_out or (parameter.least_excluded and parameter.least)
    return (
        ("<=" if least_is_out else "<") + _limit(parameter.least),
        (">=" if parameter.greatest_excluded else ">") + _limit(parameter.greatest),
    )


def _number(expression: str, parameter: Parameter) -> str:
    """A number, 0 where an optional one is blank."""
    return expression if parameter.required else f"N({expression})"


def _limit(value: float) -> str:
    """A bound, short for the one that stands for "any"."""
    return "1E+12" if value == LARGEST else "-1E+12" if value == -LARGEST else f"{value:.15g}"


def _choice_test(expression: str, parameter: Parameter) -> str:
    """Whether a word is none of the choices."""
    differs = ",".join(f"LOWER(TRIM({expression}))<>{text(choice)}" for choice in parameter.choices)
    stated = "" if parameter.required else f"{_stated(parameter, expression)},"
    return f"AND({stated}{differs})"
