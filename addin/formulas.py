"""Plain spreadsheet formulas and workbook names, rendered from the registry.

A rendered formula asks, in this order: is a required value blank (then blank), is something of the wrong kind
(#VALUE!), is a number out of range (#NUM!), is a word not among the choices (#N/A); then it calculates. Errors in any
cell pass through the first question, since it is a sum: every program evaluates all of its terms, while some stop early
inside OR. Text compares above every number in a spreadsheet, so the question of kind comes before that of range.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from calc.registry import BY_NAME
from calc.spec import LARGEST, Function, Parameter

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


def cell_formula(call: Call) -> str:
    """The formula of a cell, without the leading ``=``, that calculates a call with plain spreadsheet functions.

    A call inside a call takes the place of a required value; its own guards are asked together with the outer ones.

    Raises:
        ValueError: The function has no plain formula, or a call stands where it may not.
    """
    leaves: dict[tuple[str, Parameter], None] = {}
    body = _body(call, leaves)
    return _guarded(body, list(leaves))


def name_formula(function: Function) -> str:
    """The text of a workbook name: the same calculation as a LAMBDA, as it is written into a file.

    Raises:
        ValueError: The function has no plain formula.
    """
    expressions = {p.name: _lambda_expression(p) for p in function.parameters}
    body = _expand(_template(function), {p.name: p for p in function.parameters}, expressions)
    guarded = _guarded(body, [(expressions[p.name], p) for p in function.parameters])
    declared = ",".join(f"{'_xlpm' if p.required else '_xlop'}.{p.name}" for p in function.parameters)
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


def _body(call: Call, leaves: dict[tuple[str, Parameter], None]) -> str:
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
    """The question whether an optional value is there."""
    if expression == '""':
        return "FALSE"
    if parameter.zero_is_value:
        return f'{expression}<>""'
    return f'AND({expression}<>"",{expression}<>0)'


def _lambda_expression(parameter: Parameter) -> str:
    """A LAMBDA's parameter inside its body; an omitted one reads as an empty text."""
    name = f"_xlpm.{parameter.name}"
    return name if parameter.required else f'IF(_xlfn.ISOMITTED({name}),"",{name})'


def _guarded(body: str, leaves: Iterable[tuple[str, Parameter]]) -> str:
    """The body behind the four questions, each only where it can be answered with yes."""
    leaves = list(leaves)
    asked = [(e, p) for e, p in leaves if p.kind != "range"]
    steps = (
        ("+".join(_once(_blank_terms(e, p) for e, p in leaves)), '""'),
        (_any_of(_once(_kind_test(e, p) for e, p in asked)), "#VALUE!"),
        (_any_of(_once(test for e, p in asked for test in _range_tests(e, p))), "#NUM!"),
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
        return f"({expression}<>{expression})"
    if parameter.zero_is_value:
        return f'({expression}="")'
    return f'({expression}="")+({expression}=0)'


def _kind_test(expression: str, parameter: Parameter) -> str:
    """Whether a stated value is text where a number belongs, or the reverse."""
    is_kind = "ISNUMBER" if parameter.kind == "number" else "ISTEXT"
    wrong = f"NOT({is_kind}({expression}))"
    if parameter.required:
        return wrong
    stated = f'{expression}<>""' if parameter.kind == "number" else f'{expression}<>"",{expression}<>0'
    return f"AND({stated},{wrong})"


def _range_tests(expression: str, parameter: Parameter) -> list[str]:
    """Whether a number lies below, above or between the whole numbers allowed."""
    if parameter.kind != "number":
        return []
    value = expression if parameter.required else f"N({expression})"
    zero_is_out = parameter.least_excluded and parameter.least == 0 and parameter.zero_is_value
    below = (
        f"{value}{'<=' if zero_is_out or (parameter.least_excluded and parameter.least) else '<'}{parameter.least:.15g}"
    )
    if not parameter.required and parameter.least > 0:
        below = f"AND({_stated(parameter, expression)},{below})"
    tests = [below, f"{value}{'>=' if parameter.greatest_excluded else '>'}{_limit(parameter.greatest)}"]
    if parameter.whole:
        tests.append(f"{value}<>INT({value})")
    return tests


def _limit(value: float) -> str:
    """An upper bound, short for the one that stands for "any"."""
    return "1E+12" if value == LARGEST else f"{value:.15g}"


def _choice_test(expression: str, parameter: Parameter) -> str:
    """Whether a word is none of the choices."""
    differs = ",".join(f"LOWER(TRIM({expression}))<>{text(choice)}" for choice in parameter.choices)
    stated = "" if parameter.required else f'{expression}<>"",{expression}<>0,'
    return f"AND({stated}{differs})"
