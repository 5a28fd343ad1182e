"""Random expressions over random cells, the same in every run, typed enough that most of them are no errors.

A world is one sheet of cells, each under its own address as key: column A holds figures, B words, C anything that a
cell can hold, D figures and blanks for ranges, E words for ranges, F anything but errors.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator, Mapping

from tarelot.calc.cells import spreadsheet as s
from tarelot.calc.cells import working
from tarelot.calc.cells.boundary import ERROR_VALUES, CellError
from tarelot.calc.cells.expression import Cell, Cells, Constant, Expression, Infix, Range, Registered, lift
from tarelot.calc.cells.values import Values

ROWS = 24
WORDS = ("deck", "Deck", "DECK height", "gooseneck", "ball", "Pintle", "a*b", "wh?t", "~x", "  two  words ", "ok", "é")
DIGITS = ("12", "-3.5", "007", "1e3", " 8 ", ".5")
TAME = (0.0, 1.0, 2.0, 3.0, -1.0, -2.0, 0.5, 0.25, 10.0, 12.0, 100.0, 8.5, 102.0, 96.0, 13.5, 24_000.0, 1234.5, -7.25)
EXTREME = (1e300, -1e300, 1e-300, 1e13, -0.0, 45_992.0, 45_992.75, 1e-9, 123_456_789.0)
SIGNS = ("", "=", "<>", "<", "<=", ">", ">=")
REGISTERED = ("LOT_PAYLOAD", "LOT_SHORTFALL", "LOT_TOTAL", "LOT_GRADE", "LOT_EMPTY_WEIGHT")

Make = Callable[["Maker", int], Expression]


class World(Mapping[str, object]):
    """The cells of a sheet by address, and the ranges of them that expressions name."""

    def __init__(self, seed: int) -> None:
        chance = random.Random(f"world {seed}")
        anything: list[Callable[[], object]] = [
            lambda: None,
            lambda: "",
            lambda: chance.choice(WORDS),
            lambda: chance.choice(DIGITS),
            lambda: chance.choice((True, False)),
            lambda: chance.choice(EXTREME),
            lambda: _figure(chance),
        ]
        error = lambda: chance.choice(ERROR_VALUES)  # noqa: E731
        columns: dict[str, list[Callable[[], object]]] = {
            "A": [lambda: _figure(chance)],
            "B": [lambda: chance.choice(WORDS)] * 4 + [lambda: chance.choice(DIGITS)],
            "C": [*anything, error],
            "D": [lambda: _figure(chance)] * 5 + [lambda: None],
            "E": [lambda: chance.choice(WORDS)] * 5 + [lambda: None],
            "F": anything,
        }
        self.cells: dict[str, object] = {
            f"{column}{row}": chance.choice(kinds)() for column, kinds in columns.items() for row in range(1, ROWS + 1)
        }

    def __getitem__(self, key: str) -> object:
        """The value of a cell, or the list of values of a range of one column."""
        if ":" not in key:
            return self.cells[key]
        first, last = key.split(":")
        return [self.cells[f"{first[0]}{row}"] for row in range(int(first[1:]), int(last[1:]) + 1)]

    def __iter__(self) -> Iterator[str]:
        return iter(self.cells)

    def __len__(self) -> int:
        return len(self.cells)


def _figure(chance: random.Random) -> float:
    return chance.choice((chance.choice(TAME), float(chance.randint(-20, 400)), chance.randint(-4000, 90_000) / 8))


class Maker:
    """Makes expressions of a wanted kind."""

    def __init__(self, seed: int) -> None:
        self.chance = random.Random(f"expressions {seed}")

    def cell(self, column: str) -> Expression:
        return Cell(f"{column}{self.chance.randint(1, ROWS)}")

    def range(self, columns: str, length: int = 0) -> Expression:
        length = length or self.chance.randint(1, 6)
        top = self.chance.randint(1, ROWS - length + 1)
        column = self.chance.choice(columns)
        return Range(f"{column}{top}:{column}{top + length - 1}")

    def any(self, depth: int) -> Expression:
        return self.chance.choice((self.number, self.number, self.text, self.truth))(depth)

    def number(self, depth: int) -> Expression:
        return self._made(NUMBERS, lambda: self.chance.choice((self.cell("A"), self._constant())), depth)

    def text(self, depth: int) -> Expression:
        return self._made(TEXTS, lambda: self.chance.choice((self.cell("B"), Constant(self.word()))), depth)

    def truth(self, depth: int) -> Expression:
        return self._made(TRUTHS, lambda: _comparison(self, 0), depth)

    def _made(self, kinds: tuple[Make, ...], leaf: Callable[[], Expression], depth: int) -> Expression:
        odd = self.chance.random()
        if odd < 0.03:
            return self.cell("C")
        if odd < 0.06:
            return self.cell("F")
        if odd < 0.08 and depth > 0:
            return self.any(depth - 1)
        return self.chance.choice(kinds)(self, depth - 1) if depth > 0 else leaf()

    def _constant(self) -> Expression:
        return Constant(self.chance.choice((*TAME, 45_992.75, 0.1)))

    def word(self) -> str:
        return self.chance.choice((*WORDS, *DIGITS, 'say "x"', "", "e", "c", " "))

    def count(self, least: int, greatest: int) -> Expression:
        """A small whole number, now and then a fraction or a cell."""
        odd = self.chance.random()
        if odd < 0.05:
            return self.cell("A")
        whole = self.chance.randint(least, greatest)
        return Constant(whole + 0.5 if odd < 0.1 else float(whole))


def _comparison(make: Maker, depth: int) -> Expression:
    kind = make.chance.choice((make.number, make.number, make.text, make.any))
    other = kind if make.chance.random() < 0.9 else make.any
    return Infix(make.chance.choice(("=", "<>", "<", "<=", ">", ">=")), kind(depth), other(depth))


def _arithmetic(make: Maker, depth: int) -> Expression:
    sign = make.chance.choice(("+", "+", "-", "-", "*", "/"))
    return Infix(sign, make.number(depth), make.number(depth))


def _several(make: Maker, depth: int) -> list[Expression]:
    """Arguments of MIN, SUM and their like: cells, ranges and calculations."""
    parts = (
        lambda: make.cell("A"),
        lambda: make.cell("F"),
        lambda: make.range("DDDF"),
        lambda: make.range("C", 2),
        lambda: make.number(depth),
        lambda: make.number(depth),
    )
    weights = (3, 2, 3, 0.3, 3, 3)
    return [part() for part in make.chance.choices(parts, weights, k=make.chance.randint(1, 3))]


def _questions(make: Maker, depth: int) -> list[Expression]:
    """Arguments of AND and OR."""
    parts = (
        lambda: make.truth(depth),
        lambda: make.truth(depth),
        lambda: make.cell("F"),
        lambda: make.range("DF"),
        lambda: make.number(depth),
    )
    return [part() for part in make.chance.choices(parts, (5, 5, 1, 1, 1), k=make.chance.randint(1, 3))]


def _sum_product(make: Maker, depth: int) -> Expression:
    """Products of ranges, and the sum over a question asked of each place of a range."""
    length = make.chance.randint(1, 6)
    if make.chance.random() < 0.4:
        return s.SUMPRODUCT(*(make.range("DDDF", length) for _ in range(make.chance.randint(1, 3))))
    column = make.chance.choice("DEF")
    sought = make.number(0) if column == "D" else make.text(0)
    asked = Infix(make.chance.choice(("=", "<>", ">", "<=")), make.range(column, length), sought)
    lifted = make.chance.choice(
        (
            lambda: asked * make.range("DDF", length),
            lambda: asked * asked,
            lambda: asked * 1,
            lambda: s.ISNUMBER(make.range("DEF", length)) * make.range("D", length),
            lambda: s.ABS(make.range("D", length)) + s.LEN(make.range("E", length)),
        )
    )
    return s.SUMPRODUCT(lifted())


def _registered(make: Maker, depth: int) -> Expression:
    name = make.chance.choice(REGISTERED)
    many = 3 if name == "LOT_EMPTY_WEIGHT" else 1 if name == "LOT_GRADE" else 2
    given: list[Expression | None] = [
        make.chance.choice((make.cell("A"), make.cell("A"), make.cell("D"), make.cell("C"), lift(12.0)))
        for _ in range(many)
    ]
    if name in ("LOT_SHORTFALL", "LOT_PAYLOAD") and make.chance.random() < 0.3:
        given[0] = make.cell("A") * 3 + 5
    return Registered(name, *given)


def _if(kind: str) -> Make:
    return lambda make, depth: s.IF(make.truth(depth), getattr(make, kind)(depth), getattr(make, kind)(depth))


def _choose(kind: str) -> Make:
    def made(make: Maker, depth: int) -> Expression:
        many = make.chance.randint(1, 4)
        return s.CHOOSE(make.count(1, many), *(getattr(make, kind)(depth) for _ in range(many)))

    return made


def _if_error(kind: str) -> Make:
    return lambda make, depth: s.IFERROR(make.any(depth), getattr(make, kind)(depth))


def _of_one(function: s.Function, kind: str) -> Make:
    return lambda make, depth: function(getattr(make, kind)(depth))


def _in_a_case(make: Maker, depth: int) -> Expression:
    """In small letters or capitals, by turns, without a draw."""
    text = make.text(depth)
    return (s.UPPER if len(list(nodes(text))) % 2 == 0 else s.LOWER)(text)


def _of_several(function: s.Function) -> Make:
    return lambda make, depth: function(*_several(make, depth))


def _share(make: Maker, depth: int) -> Expression:
    """A figure of moderate size, where sine and its like are well conditioned."""
    return make.chance.choice((make.count(-1, 3) / 4, s.ROUND(s.MOD(make.number(depth), 1), 4), make.number(0) / 64))


def _angle(function: s.Function) -> Make:
    return lambda make, depth: function(_share(make, depth))


NUMBERS: tuple[Make, ...] = (
    *[_arithmetic] * 5,
    lambda make, depth: Infix("^", make.number(depth), make.count(-1, 3)),
    *(_if("number"), _choose("number"), _if_error("number"), _registered, _sum_product),
    *(_of_several(function) for function in (s.MIN, s.MAX, s.SUM, s.COUNT)),
    *(_of_one(function, "number") for function in (s.ABS, s.INT, s.N, s.SQRT, s.RADIANS, s.DEGREES)),
    *(_angle(function) for function in (s.SIN, s.COS, s.TAN, s.ASIN, s.ACOS, s.ATAN)),
    lambda make, depth: s.MOD(make.number(depth), make.count(-3, 9)),
    lambda make, depth: s.ROUND(make.number(depth), make.count(-2, 3)),
    lambda make, depth: s.ROUNDUP(make.number(depth), make.count(-2, 3)),
    lambda make, depth: s.VALUE(make.chance.choice((Constant(make.chance.choice(DIGITS)), make.text(depth)))),
    _of_one(s.LEN, "text"),
    lambda make, depth: s.FIND(Constant(make.word()), make.text(depth)),
    lambda make, depth: s.FIND(Constant(make.word()), make.text(depth), make.count(1, 3)),
    lambda make, depth: s.SEARCH(Constant(make.word()), make.text(depth)),
    lambda make, depth: s.INDEX(make.range("DDDCF"), make.count(1, 6)),
    lambda make, depth: s.MATCH(make.number(0), make.range("DF"), 0),
    lambda make, depth: s.MATCH(make.cell("D"), make.range("D", 12), 0),
    lambda make, depth: s.MATCH(make.text(0), make.range("EF"), 0),
    lambda make, depth: s.COUNTIF(make.range("DF"), make.chance.choice((make.number(0), make.cell("D")))),
    lambda make, depth: s.COUNTIF(make.range("EF"), make.text(0)),
    lambda make, depth: s.COUNTIF(make.range("DEFF"), lift(make.chance.choice(SIGNS)) & make.number(0)),
    lambda make, depth: s.SMALL(make.range("DDDF"), make.count(1, 3)),
    lambda make, depth: s.ROWS(make.range("DE")),
)
TEXTS: tuple[Make, ...] = (
    *[lambda make, depth: make.text(depth) & make.text(depth)] * 3,
    lambda make, depth: make.text(depth) & make.number(0),
    *(_if("text"), _choose("text"), _if_error("text"), _of_one(s.TRIM, "text"), _in_a_case),
    lambda make, depth: s.T(make.any(depth)),
    lambda make, depth: s.LEFT(make.text(depth), make.count(0, 5)),
    lambda make, depth: s.RIGHT(make.text(depth), make.count(0, 5)),
    lambda make, depth: s.LEFT(make.text(depth)),
    lambda make, depth: s.MID(make.text(depth), make.count(1, 4), make.count(0, 5)),
    lambda make, depth: s.SUBSTITUTE(make.text(depth), make.word(), make.word()),
    lambda make, depth: s.REPT(make.text(depth), make.count(0, 3)),
    lambda make, depth: s.SUBSTITUTE(make.text(depth), make.word()[:1], make.word(), make.count(1, 2)),
    lambda make, depth: s.INDEX(make.range("EEF"), make.count(1, 6)),
    lambda make, depth: s.FIXED(make.number(depth), make.count(0, 3)),
    lambda make, depth: s.FIXED(make.number(depth), make.count(-2, 3), make.chance.choice((True, False))),
    lambda make, depth: s.FIXED(make.number(depth)),
)
TRUTHS: tuple[Make, ...] = (
    *[_comparison] * 5,
    lambda make, depth: s.AND(*_questions(make, depth)),
    lambda make, depth: s.OR(*_questions(make, depth)),
    _of_one(s.NOT, "truth"),
    *(_of_one(function, "any") for function in (s.ISERROR, s.ISNA, s.ISNUMBER, s.ISTEXT, s.ISLOGICAL)),
    lambda make, depth: s.ISBLANK(make.cell(make.chance.choice("ACDF"))),
    lambda make, depth: s.ISLOGICAL(make.cell(make.chance.choice("CF"))),
    _if("truth"),
    lambda make, depth: s.IF(make.truth(depth), make.truth(depth)),
    lambda make, depth: Constant(make.chance.choice((True, False))),
)


def expressions(seed: int, count: int) -> list[Expression]:
    """So many expressions, three quarters of them two or three deep."""
    make = Maker(seed)
    return [make.any(make.chance.choice((1, 2, 2, 3))) for _ in range(count)]


def children(node: Expression) -> tuple[Expression, ...]:
    """The parts of a node."""
    if isinstance(node, Infix):
        return node.left, node.right
    if isinstance(node, working.Applied):
        return node.arguments
    if isinstance(node, Registered):
        return tuple(argument for argument in node.arguments if argument is not None)
    return ()


def nodes(node: Expression) -> Iterator[Expression]:
    """A node and all below it."""
    yield node
    for child in children(node):
        yield from nodes(child)


def name(node: Expression) -> str:
    """A function's name, an operator, or the kind of node."""
    if isinstance(node, Infix):
        return node.sign
    return node.name if isinstance(node, working.Applied) else type(node).__name__


def found(node: Expression, cells: Cells) -> Values | CellError:
    """What a node shows, or its error."""
    try:
        return node.work_out(cells)
    except CellError as error:
        return error
