"""Expressions written out as Python functions, for tables of many rows: each node becomes a line or two.

A node worked out by itself costs a call or more; written out, it costs what its calculation does. The values, the
order and the errors are those of ``work_out``, and ``tests/engines/test_straight.py`` holds the two against each other.
A line answers for the common case, which is two numbers; all else is handed to the node's own way or to its operator.
Writing out takes as long as working some hundred rows out: it is for tables of ``MANY_ROWS``.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

from . import values
from .boundary import CellError
from .expression import Cell, Cells, Constant, Expression, Infix, Registered, held
from .operators import OPERATORS
from .spreadsheet import plain_number
from .values import Values
from .working import Applied, is_number

FLOAT, COUNTED, TRUTH, TEXT = "a number", "a small number, not below 0", "TRUE or FALSE", "a text"
HELD, ANY = "what a cell holds, or a number", "anything"
"""What is known of a value when its line is written."""
MANY_ROWS = 200
"""From so many on writing out takes less time than it saves."""
DEEPEST = 15
"""Blocks within each other; Python takes 20."""
SIGNS = {"=": "==", "<>": "!=", "<": "<", "<=": "<=", ">": ">", ">=": ">="}
OF_NUMBERS = {"MIN": "min({})", "MAX": "max({})", "SUM": "fsum(({},))"}
_NAMES: dict[str, object] = {
    **{"held": held, "truth": values.truth, "text_of": values.text, "CellError": CellError, "fsum": math.fsum},
    **{
        "NEAR": values.NEAR,
        "INF": math.inf,
        "ERRORS": values.ERRORS,
        "is_number": is_number,
        "plain_number": plain_number,
    },
}
Operand = tuple[str, str]
"""A name or a constant as Python writes it, and what is known of it."""


class Straight(Expression):
    """An expression that is worked out by a function written for it."""

    __slots__ = ("expression", "work_out")
    work_out: Callable[[Cells], Values]  # type: ignore[assignment]

    def __init__(self, expression: Expression, work_out: Callable[[Cells], Values]) -> None:
        self.expression, self.work_out = expression, work_out

    def text(self, places: Mapping[str, str]) -> str:
        """The expression's."""
        return self.expression.text(places)

    def keys(self) -> set[str]:
        """The expression's."""
        return self.expression.keys()


def straight(expressions: Mapping[str, Expression]) -> dict[str, Expression]:
    """The same expressions by the same keys, written out."""
    writer = _Writer()
    for number, expression in enumerate(expressions.values()):
        writer.write_function(f"function_{number}", expression)
    # The text is this module's own: of keys and constants nothing but their repr stands in it.
    exec("\n".join(writer.lines), writer.names)  # noqa: S102
    return {
        key: Straight(expression, writer.names[f"function_{number}"])  # type: ignore[arg-type]
        for number, (key, expression) in enumerate(expressions.items())
    }


def is_single(node: Expression) -> bool:
    """Whether a node is written out: no part of it may be a range."""
    node = node.written_out()
    if isinstance(node, Infix):
        return is_single(node.left) and is_single(node.right)
    if isinstance(node, Applied):
        known = node.name in ("IF", "IFERROR", "COUNT", "AND", "OR", *OF_NUMBERS) or node.calculate is not None
        return known and all(map(is_single, node.arguments))
    return type(node) in (Cell, Constant) or isinstance(node, Registered) or node.is_single


class _Writer:
    """Writes functions line by line.

    Attributes:
        lines: Written so far.
        names: What the lines call.
    """

    def __init__(self) -> None:
        self.lines: list[str] = []
        self.names = dict(_NAMES)
        self._depth = self._count = 0
        self._read: dict[str, str] = {}

    def write_function(self, name: str, expression: Expression) -> None:
        """The function of one expression."""
        self._count, self._read = 0, {}
        self._line(f"def {name}(cells):")
        self._block(expression, "return ")

    def _line(self, text: str) -> None:
        self.lines.append(" " * self._depth + text)

    def _set(self, calculation: str, known: str = ANY) -> Operand:
        """A line that gives a new name to what is calculated."""
        self._count += 1
        self._line(f"v{self._count} = {calculation}")
        return f"v{self._count}", known

    def _own_way(self, node: Expression) -> str:
        """A call of the node's own way."""
        name = f"own_{len(self.names)}"
        self.names[name] = node.work_out
        return f"{name}(cells)"

    def _block(self, node: Expression, before: str) -> str:
        """A node one block further in, with its value given or returned; cells read there are not known outside."""
        read = dict(self._read)
        self._depth += 1
        operand, known = self.put(node, bare=True)
        self._line(f"{before}{operand}")
        self._depth -= 1
        self._read = read
        return known

    def put(self, node: Expression, *, bare: bool = False) -> Operand:
        """The lines of a node; a constant has none where it may stand bare."""
        node = node.written_out()
        if isinstance(node, Constant):
            known = {float: FLOAT, str: TEXT, bool: TRUTH}[node.constant.__class__]  # type: ignore[index]
            return (f"({node.constant!r})", known) if bare else self._set(repr(node.constant), known)
        if type(node) is Cell:
            return self._cell(node)
        if not is_single(node) or self._depth > DEEPEST:
            return self._set(self._own_way(node))
        if isinstance(node, Infix):
            return self._joined(node) if node.sign == "&" else self._infix(node)
        return self._applied(node) if isinstance(node, Applied) else self._set(self._own_way(node))

    def _cell(self, cell: Cell) -> Operand:
        """A cell is read once."""
        if cell.key not in self._read:
            name, _ = self._set(f"cells[{cell.key!r}]")
            plain = f"{name}.__class__ is float or {name} is None or ({name}.__class__ is str and {name} not in ERRORS)"
            self._line(f"if not ({plain}): {name} = held({name}, {cell.key!r})")
            self._read[cell.key] = name
        return self._read[cell.key], HELD

    def _infix(self, node: Infix) -> Operand:
        (one, known), (other, other_known) = self.put(node.left), self.put(node.right, bare=True)
        slow = f"calculate_{list(OPERATORS).index(node.sign)}"
        self.names[slow] = calculate = OPERATORS[node.sign]
        if node.sign not in SIGNS:
            return self._arithmetic(node.sign, (one, known), (other, other_known), slow)
        if isinstance(node.right, Constant) and node.right.constant == "" and node.sign in ("=", "<>"):
            no = "" if node.sign == "=" else "not "
            return self._set(f"{no}({one} is None or {one} == '')", TRUTH)
        if isinstance(node.right, Constant) and other_known == TEXT:
            of_number, of_blank = calculate(0.0, node.right.constant), calculate(None, node.right.constant)
            of_text = (
                f"{one}.lower() {SIGNS[node.sign]} {str(node.right.constant).lower()!r} if {one}.__class__ is str else "
            )
            settled = f"{of_text}{of_number} if {one}.__class__ is float else {of_blank} if {one} is None else "
            return self._set(f"{settled}{slow}({one}, {other})", TRUTH)
        quick, asked = f"{one} {SIGNS[node.sign]} {other}", _are_floats((one, known), (other, other_known))
        if other != "(0.0)":  # all but 0 differ from 0
            asked += f" and ({one} == {other} or abs({one} - {other}) > abs({one}) * NEAR)"
        blank = (
            f"{calculate(None, node.right.constant)} if {one} is None else " if isinstance(node.right, Constant) else ""
        )
        return self._set(f"{quick} if {asked} else {blank}{slow}({one}, {other})", TRUTH)

    def _arithmetic(self, sign: str, left: Operand, right: Operand, slow: str) -> Operand:
        """Where the result is a plain number it is that; beside 0 the operator itself says what it is."""
        (one, known), (other, other_known) = map(_as_number, (left, right))
        if known == other_known == COUNTED and sign in "+*":
            return self._set(f"{one} {sign} {other}", COUNTED)
        least = {
            "+": f"abs({one}) * NEAR < abs(w)",
            "-": f"abs({one}) * NEAR < abs(w)",
            "*": "-INF < w",
            "/": "-INF < w",
        }
        if sign not in least:
            return self._set(f"{slow}({one}, {other})", FLOAT)
        named = least[sign].replace("w", f"(w := {one} {sign} {other})")
        asked = _are_floats((one, known), (other, other_known)) + (f" and {other}" if sign == "/" else "")
        return self._set(f"w if {asked} and {named} < INF else {slow}({one}, {other})", FLOAT)

    def _joined(self, node: Infix) -> Operand:
        """All that ``&`` stands between at once."""
        parts: list[Expression] = []
        left: Expression = node
        while isinstance(left, Infix) and left.sign == "&":
            parts.append(left.right)
            left = left.left
        operands = [self.put(part, bare=True) for part in (left, *reversed(parts))]
        texts = [one if k == TEXT else f"({one} if {one}.__class__ is str else text_of({one}))" for one, k in operands]
        return self._set(f"''.join(({', '.join(texts)}))", TEXT)

    def _applied(self, node: Applied) -> Operand:
        if node.name == "IF":
            return self._if(node)
        if node.name == "IFERROR":
            self._count += 1
            name = f"v{self._count}"
            self._line("try:")
            known = self._block(node.arguments[0], f"{name} = ")
            self._line("except CellError:")
            return name, _common(known, self._block(node.arguments[1], f"{name} = "))
        if node.name == "COUNT":
            return self._counted(node)
        lines, read = len(self.lines), dict(self._read)
        operands = [self.put(argument) for argument in node.arguments]
        if node.calculate is None and any(known in (TEXT, ANY) for _, known in operands[:-1]):
            del self.lines[lines:]  # one that is refused before the next is asked for
            self._read = read
            return self._set(self._own_way(node))
        given = ", ".join(one for one, _ in operands)
        if node.name in OF_NUMBERS:
            of_one = f"{given} + 0.0" if node.name == "SUM" else given  # a sum is 0 and never -0
            quick = OF_NUMBERS[node.name].format(given) if len(operands) > 1 else of_one
            asked = f"w if {_are_floats(*operands)} and -INF < (w := {quick}) < INF else "
            if len(operands) == 1 and type(node.arguments[0]) is Cell:
                asked += f"0.0 if {given} is None or {given}.__class__ is str else "
            return self._set(asked + self._own_way(node), FLOAT)
        if node.name in ("AND", "OR"):
            unsure = [f"{one}.__class__ is bool" for one, known in operands if known != TRUTH]
            quick = f" {node.name.lower()} ".join(one for one, _ in operands)
            other = f" if {' and '.join(unsure)} else {self._own_way(node)}" if unsure else ""
            return self._set(f"({quick}){other}", TRUTH)
        name = f"function_of_{node.name}"
        self.names[name] = node.calculate
        if node.name == "N":
            return self._set(f"{given} if {given}.__class__ is float else plain_number({given})", FLOAT)
        return self._set(f"{name}({given})")

    def _if(self, node: Applied) -> Operand:
        asked, known = self.put(node.arguments[0])
        self._count += 1
        name = f"v{self._count}"
        plain = known in (TRUTH, FLOAT, COUNTED)
        self._line(f"if {asked}:" if plain else f"if {asked} is True or ({asked} is not False and truth({asked})):")
        shown = self._block(node.arguments[1], f"{name} = ")
        self._line("else:")
        otherwise = node.arguments[2] if len(node.arguments) > 2 else Constant(False)
        return name, _common(shown, self._block(otherwise, f"{name} = "))

    def _counted(self, node: Applied) -> Operand:
        """COUNT of cells; an error in one of them is no number."""
        if any(type(argument) is not Cell for argument in node.arguments):
            return self._set(self._own_way(node), FLOAT)
        numbers = []
        for argument in node.arguments:
            key = argument.key  # type: ignore[attr-defined]
            one = self._read.get(key) or self._set(f"cells[{key!r}]")[0]
            numbers.append(
                f"({one}.__class__ is float or not ({one} is None or {one}.__class__ is str)"
                f" and is_number(held({one}, {key!r})))"
            )
        return self._set(f"0.0 + {' + '.join(numbers)}", COUNTED)


def _are_floats(*operands: Operand) -> str:
    """The question whether all operands are numbers."""
    unsure = [f"{one}.__class__" for one, known in operands if known not in (FLOAT, COUNTED)]
    return f"{' is '.join(unsure)} is float" if unsure else "True"


def _as_number(operand: Operand) -> Operand:
    one, known = operand
    return (f"(1.0 if {one} else 0.0)", COUNTED) if known == TRUTH else operand


def _common(one: str, other: str) -> str:
    """What is known of a value that is one or the other."""
    both = {one, other}
    return one if one == other else FLOAT if both == {FLOAT, COUNTED} else ANY if both & {TEXT, ANY} else HELD
