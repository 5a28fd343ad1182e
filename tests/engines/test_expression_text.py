"""The printed formula says the tree: read by other rules than ours it gives the same tree again.

The reader splits the text with openpyxl's Tokenizer and climbs precedence as Excel documents it ("Calculation operators
and precedence"): minus before a number, then ^, then * and /, then + and -, then &, then comparisons, each from the
left.
"""

from __future__ import annotations

import pytest
from openpyxl.formula import Tokenizer
from openpyxl.formula.tokenizer import Token

from tarelot.calc.cells import spreadsheet as s
from tarelot.calc.cells import working
from tarelot.calc.cells.expression import (
    LONGEST_TEXT,
    Cell,
    Constant,
    Expression,
    Infix,
    Range,
    Registered,
    formula,
    lift,
    value,
)
from tests.engines.expressions import REGISTERED, expressions, name, nodes

BINDS = {"^": 5, "*": 4, "/": 4, "+": 3, "-": 3, "&": 2, "=": 1, "<>": 1, "<": 1, "<=": 1, ">": 1, ">=": 1}
Tree = tuple[object, ...]

A, B, C = Cell("A1"), Cell("B1"), Cell("C1")


class Reader:
    """Reads a formula into a tree of tuples."""

    def __init__(self, text: str) -> None:
        self._tokens = [token for token in Tokenizer(f"={text}").items if token.type != Token.WSPACE]
        self._place = 0

    def read(self) -> Tree:
        tree = self._infix(0)
        assert self._place == len(self._tokens), self._tokens[self._place :]
        return tree

    def _next(self) -> Token | None:
        return self._tokens[self._place] if self._place < len(self._tokens) else None

    def _take(self) -> Token:
        self._place += 1
        return self._tokens[self._place - 1]

    def _infix(self, least: int) -> Tree:
        left = self._operand()
        while (token := self._next()) and token.type == Token.OP_IN and BINDS[token.value] > least:
            self._take()
            left = (token.value, left, self._infix(BINDS[token.value]))
        return left

    def _operand(self) -> Tree:
        token = self._take()
        if token.type == Token.OP_PRE:
            kind, number = self._operand()
            assert (token.value, kind) == ("-", "number")
            return "number", -float(str(number))
        if token.type == Token.PAREN:
            inner = self._infix(0)
            assert self._take().subtype == Token.CLOSE
            return inner
        if token.type == Token.FUNC:
            return (token.value[:-1], *self._arguments())
        assert token.type == Token.OPERAND, token.value
        if token.subtype == Token.NUMBER:
            return "number", float(token.value)
        if token.subtype == Token.TEXT:
            return "text", token.value[1:-1].replace('""', '"')
        if token.subtype == Token.LOGICAL:
            return "truth", token.value == "TRUE"
        assert token.subtype in (Token.RANGE, Token.ERROR), token.value
        return "cell" if token.subtype == Token.RANGE else "error", token.value

    def _arguments(self) -> list[Tree]:
        found: list[Tree] = []
        while self._tokens[self._place].subtype != Token.CLOSE:
            found.append(self._infix(0))
            if self._tokens[self._place].type == Token.SEP:
                self._take()
        self._take()
        return found


def tree(node: Expression) -> Tree:
    """The tree that was meant."""
    if isinstance(node, Constant):
        kind = {str: "text", bool: "truth", float: "number"}[type(node.constant)]
        return kind, node.constant
    if isinstance(node, Cell):
        return "cell", node.key
    if isinstance(node, Infix):
        return node.sign, tree(node.left), tree(node.right)
    assert isinstance(node, working.Applied), node
    return (node.name, *map(tree, node.arguments))


def places(node: Expression) -> dict[str, str]:
    return {key: key for key in node.keys()}  # noqa: SIM118 - it is no dict


def printed(node: Expression) -> str:
    return formula(node, places(node))


class TestRoundTrip:
    def test_random_expressions(self) -> None:
        """None with a registered function, whose formula is the registry's own writing."""
        chosen = [
            one
            for world in range(5)
            for one in expressions(world, 2000)
            if not any(isinstance(node, Registered) for node in nodes(one))
        ]
        assert len(chosen) > 8000
        assert {name(node) for one in chosen for node in nodes(one)} >= set(BINDS)
        assert [printed(one) for one in chosen if Reader(printed(one)).read() != tree(one)] == []

    @pytest.mark.parametrize("outer", BINDS)
    @pytest.mark.parametrize("inner", BINDS)
    def test_every_operator_beside_every_other(self, outer: str, inner: str) -> None:
        for node in (Infix(outer, Infix(inner, A, B), C), Infix(outer, A, Infix(inner, B, C))):
            assert Reader(printed(node)).read() == tree(node)

    @pytest.mark.parametrize("sign", BINDS)
    def test_negative_constants_beside_every_operator(self, sign: str) -> None:
        for node in (Infix(sign, lift(-2), A), Infix(sign, A, lift(-2)), Infix(sign, lift(-2), lift(-0.5))):
            assert Reader(printed(node)).read() == tree(node)

    def test_no_brackets_where_none_are_needed(self) -> None:
        assert printed(A + B + C) == "A1+B1+C1"
        assert printed(A + B * C**2) == "A1+B1*C1^2"
        assert printed((A + 1) & (B + 2)) == "A1+1&B1+2"
        assert printed(s.IF((A + B) > C, A & "x", -1)) == 'IF(A1+B1>C1,A1&"x",-1)'


class TestOperators:
    """Python's operators make the node that they look like, on either side."""

    def test_a_constant_on_the_left(self) -> None:
        made = [1 + A, 1 - A, 2 * A, 2 / A, "x" & A]
        assert [printed(node) for node in made] == ["1+A1", "1-A1", "2*A1", "2/A1", '"x"&A1']

    def test_a_comparison_turned_round_by_python(self) -> None:
        made = (1 < A, 1 <= A, 1 > A, 1 >= A)  # noqa: SIM300 - this is what is asked
        assert [printed(node) for node in made] == ["A1>1", "A1>=1", "A1<1", "A1<=1"]
        assert [printed(node) for node in (A.equals("x"), A.differs(2))] == ['A1="x"', "A1<>2"]

    def test_a_power_of_a_negative_number(self) -> None:
        """Excel reads -2^2 as 4, other programs as -4; in brackets there is one reading."""
        assert printed(lift(-2) ** 2) == "(-2)^2"
        assert value(lift(-2) ** 2, {}) == 4.0
        assert printed(0 - A**2) == "0-A1^2"
        assert printed(lift(2) ** (lift(3) ** 2)) == "2^(3^2)"


class TestConstants:
    @pytest.mark.parametrize(
        ("constant", "text"),
        [
            (2024, "2024"),
            (2024.0, "2024"),
            (0.1 + 0.2, "0.3"),  # 15 digits, as a program keeps of what is typed
            (1e300, "1E+300"),
            (-1e-7, "-1E-07"),
            (-0.0, "0"),
            (True, "TRUE"),
            (False, "FALSE"),
            ("", '""'),
            ('1/2" chain', '"1/2"" chain"'),
            ('"', '""""'),
            ("=A1", '"=A1"'),
        ],
    )
    def test_as_a_formula_writes_it(self, constant: float | str | bool, text: str) -> None:
        assert printed(lift(constant)) == text
        assert Reader(text).read()[1] == (0.3 if constant == 0.1 + 0.2 else constant)

    def test_a_number_is_worked_out_as_it_is_written(self) -> None:
        assert value(lift(0.1 + 0.2), {}) == 0.3

    def test_a_text_has_at_most_255_characters(self) -> None:
        """Excel's limit for a text inside a formula (its documentation of specifications and limits)."""
        longest = 'x"' * (LONGEST_TEXT // 2) + "x"
        assert LONGEST_TEXT == len(longest) == 255
        assert Reader(printed(lift(longest))).read() == ("text", longest)
        with pytest.raises(ValueError, match="255 characters: .* has 256"):
            lift(longest + "x")

    @pytest.mark.parametrize("odd", [float("nan"), float("inf"), float("-inf")])
    def test_what_no_formula_can_write_is_refused(self, odd: float) -> None:
        with pytest.raises(ValueError, match="a formula has no number"):
            lift(odd)


class TestRegistered:
    """A registered function takes the place of one value, whatever its formula looks like."""

    @pytest.mark.parametrize("sign", BINDS)
    @pytest.mark.parametrize("guarded", [True, False], ids=["guarded", "bare"])
    @pytest.mark.parametrize("arguments", [(A, B), (12, 5)], ids=["of cells", "of constants"])
    @pytest.mark.parametrize("function", [name for name in REGISTERED if name != "LOT_GRADE"])
    def test_inside_a_calculation(
        self, function: str, arguments: tuple[Cell | float, ...], guarded: bool, sign: str
    ) -> None:
        call = Registered(function, *arguments, guarded=guarded)
        alone = Reader(printed(call)).read()
        for node, expected in (
            (Infix(sign, call, C), (sign, alone, ("cell", "C1"))),
            (Infix(sign, C, call), (sign, ("cell", "C1"), alone)),
        ):
            assert Reader(printed(node)).read() == expected

    def test_of_constants_alone(self) -> None:
        """2 x 3 axles: 60 / 6 = 10, not 60 / 2 x 3 = 90."""
        node = 60 / Registered("LOT_TOTAL", 2, 3)
        assert printed(node) == "60/(2*3)"
        assert value(node, {}) == 10.0

    def test_a_calculation_as_an_argument_keeps_together(self) -> None:
        node = Registered("LOT_TOTAL", A, B + C, guarded=False)
        assert Reader(printed(node)).read() == ("*", ("cell", "A1"), ("+", ("cell", "B1"), ("cell", "C1")))

    def test_a_call_inside_a_call(self) -> None:
        node = Registered("LOT_TOTAL", 2, Registered("LOT_TOTAL", 3, A, guarded=False), guarded=False)
        assert Reader(printed(node)).read() == ("*", ("number", 2.0), ("*", ("number", 3.0), ("cell", "A1")))


class TestKeys:
    def test_all_that_it_reads(self) -> None:
        node = s.IF(A > 0, s.SUM(Range("C1:C9"), B), Registered("LOT_TOTAL", Cell("n"), Cell("each"), None))
        assert node.keys() == {"A1", "C1:C9", "B1", "n", "each"}

    def test_a_place_that_is_missing_is_named(self) -> None:
        with pytest.raises(KeyError, match="B1"):
            formula(A + B, {"A1": "C7"})
