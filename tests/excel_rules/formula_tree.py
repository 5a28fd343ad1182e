"""A formula as a tree, built over the tokens of openpyxl's Tokenizer.

Which operator binds first is left out: no rule asked of the tree depends on it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from openpyxl.formula import Tokenizer
from openpyxl.formula.tokenizer import Token, TokenizerError

END = Token("", "END")


class Unreadable(ValueError):
    """A formula whose tokens do not make a tree."""


@dataclass(frozen=True)
class Operand:
    """A number, text, truth value, error, reference or name."""

    value: str
    subtype: str


@dataclass(frozen=True)
class ArrayConstant:
    """Such as ``{1,2;3,4}``."""

    elements: int


@dataclass(frozen=True)
class Operation:
    """Operands with operators before, between or behind them."""

    operators: tuple[str, ...]
    operands: tuple[Node, ...]


@dataclass(frozen=True)
class Call:
    """A function with its arguments, None for one that is left empty."""

    function: str
    arguments: tuple[Node | None, ...]


Node = Operand | ArrayConstant | Operation | Call


def parse(formula: str) -> Node:
    """The tree of a formula, given without its leading ``=``.

    Raises:
        Unreadable: No formula.
    """
    try:
        tokens = Tokenizer(f"={formula}").items
    except TokenizerError as error:
        raise Unreadable(str(error)) from error
    reader = _Reader(token for token in tokens if token.type != Token.WSPACE)
    tree = reader.expression()
    if tree is None or reader.token is not END:
        raise Unreadable(f"{reader.token.value!r} is not expected in {formula}")
    return tree


class _Reader:
    """Reads tokens from left to right, one ahead."""

    def __init__(self, tokens: Iterator[Token]) -> None:
        self.tokens = tokens
        self.token = next(tokens, END)

    def taken(self) -> Token:
        """The next token, which is passed."""
        token, self.token = self.token, next(self.tokens, END)
        return token

    def expression(self) -> Node | None:
        """What stands up to the next separator or closing mark; None where that is nothing."""
        operators: list[str] = []
        operands: list[Node] = []
        expects_operand = True
        while self.token.type not in (Token.SEP, END.type) and self.token.subtype != Token.CLOSE:
            token = self.taken()
            if token.type == Token.OP_IN:
                if expects_operand:
                    raise Unreadable(f"an operand is missing before {token.value!r}")
                operators.append(token.value)
                expects_operand = True
            elif token.type in (Token.OP_PRE, Token.OP_POST):
                operators.append(token.value)
            elif expects_operand:
                operands.append(self.operand(token))
                expects_operand = False
            else:
                raise Unreadable(f"no operator before {token.value!r}")
        if operators and expects_operand:
            raise Unreadable(f"an operand is missing after {operators[-1]!r}")
        if not operands:
            return None
        return Operation(tuple(operators), tuple(operands)) if operators else operands[0]

    def operand(self, token: Token) -> Node:
        """The operand that begins with a token."""
        if token.type == Token.OPERAND:
            return Operand(token.value, token.subtype)
        if token.type == Token.FUNC:
            return Call(token.value[:-1], self.arguments(Token.FUNC))
        if token.type == Token.ARRAY:
            return ArrayConstant(len(self.arguments(Token.ARRAY)))
        if token.type == Token.PAREN:
            inside = self.arguments(Token.PAREN)
            if len(inside) == 1 and inside[0] is not None:
                return inside[0]
        raise Unreadable(f"{token.value!r} is not expected")

    def arguments(self, kind: str) -> tuple[Node | None, ...]:
        """What stands between separators up to the closing mark of a kind, which is passed."""
        found = [self.expression()]
        while self.token.type == Token.SEP:
            self.taken()
            found.append(self.expression())
        if self.taken().type != kind:
            raise Unreadable("a closing mark is missing")
        return () if found == [None] else tuple(found)
