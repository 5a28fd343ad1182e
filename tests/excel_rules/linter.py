"""Excel's own rules for formulas, asked of a workbook that no Excel has opened.

What Excel did before formulas spilled is asked of every formula: a function that wants one value and is given several
takes one of them by where the formula stands, without a word. Limits: "Excel specifications and limits" of Microsoft's
support pages (8,192 characters, 64 levels, 255 arguments). From memory, no page looked up: a text in a formula has at
most 255 characters, a name may not be the address of a cell in either form, a highlight or an entry rule may hold
neither the name of a table nor an array constant. XlsxWriter refuses the first two as well.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from functools import cache
from pathlib import Path

from openpyxl.utils.cell import column_index_from_string
from openpyxl.utils.formulas import FORMULAE

from tarelot.calc.registry import BY_NAME
from tests.excel_rules.formula_tree import ArrayConstant, Call, Node, Operand, Operation, Unreadable, parse
from tests.excel_rules.parameters import TAKES, taken
from tests.excel_rules.workbook_formulas import Kind, workbook_formulas

LONGEST_FORMULA, LONGEST_TEXT, MOST_LEVELS, MOST_ARGUMENTS = 8192, 255, 64, 255
LAST_ROW, LAST_COLUMN = 1_048_576, 16_384
LAMBDA = "_xlfn.LAMBDA"
IN_NAMES_ONLY = (LAMBDA, "_xlfn.ISOMITTED")
"""Newer than 2010: a person with Excel 2024 calls such a name, and no cell that we write does."""
ASKED_OF = "_xlfn.ISFORMULA"
"""Of 2013: whether a result was typed over no older function tells. Start says so where a program lacks it."""
REQUIRED, OPTIONAL = "_xlpm.", "_xlop."
BUILT_IN = "_xlnm."
WANT_ONE_VALUE = ("cell", "column", "highlight", "entry rule")


class Shape(Enum):
    """What an expression comes to."""

    ONE = "one value"
    CELLS = "several cells"
    ARRAY = "several values"


@dataclass(frozen=True)
class Finding:
    """A rule that a formula or a name breaks."""

    place: str
    rule: str
    detail: str


def findings(path: Path) -> list[Finding]:
    """What Excel would refuse or cut in a workbook."""
    workbook = workbook_formulas(path)
    named = tuple(formula.place for formula in workbook.formulas if formula.kind == "name")
    found = [Finding(name, "looks like a cell", name) for name in (*named, *workbook.tables) if looks_like_a_cell(name)]
    for formula in workbook.formulas:
        if not (formula.kind == "name" and formula.place.startswith(BUILT_IN)):
            found += [Finding(formula.place, rule, detail) for rule, detail in broken_rules(formula.kind, formula.text)]
    return found


@cache
def broken_rules(kind: Kind, text: str) -> tuple[tuple[str, str], ...]:
    """The rules that a formula breaks, each with the part that breaks it; workbooks have most formulas in common."""
    return tuple(_broken_rules(kind, text))


def _broken_rules(kind: Kind, text: str) -> Iterator[tuple[str, str]]:
    """The same, found one by one."""
    if len(text) + 1 > LONGEST_FORMULA:
        yield "formula too long", f"{len(text) + 1} characters"
    if kind == "array formula":
        yield "array formula", text[:80]
        return
    try:
        tree = parse(text)
    except Unreadable as error:
        yield "unreadable", str(error)[:200]
        return
    yield from _broken_by(tree, kind)
    if kind == "name" and isinstance(tree, Call) and tree.function == LAMBDA:
        yield from _broken_by_lambda(tree)
        return
    evaluation = Evaluation()
    shape = evaluation.shape(tree, lifts=False)
    yield from (("cut", detail) for detail in evaluation.cut)
    if shape is Shape.ARRAY or (shape is Shape.CELLS and kind in WANT_ONE_VALUE):
        yield "cut", f"the whole comes to {shape.value}"


def _broken_by(tree: Node, kind: str) -> Iterator[tuple[str, str]]:
    """The rules about single parts of a formula."""
    for node, level in _walk(tree, 0):
        if level > MOST_LEVELS:
            yield "nested too deep", f"{level} levels"
        yield from _broken_by_call(node, kind) if isinstance(node, Call) else _broken_by_value(node, kind)


def _broken_by_call(call: Call, kind: str) -> Iterator[tuple[str, str]]:
    """The rules about one function."""
    name, count = call.function, len(call.arguments)
    if count > MOST_ARGUMENTS:
        yield "too many arguments", f"{name}: {count}"
    if name == "INDEX" and count == 2 and isinstance(call.arguments[0], ArrayConstant):
        yield "one place in a row", "INDEX of an array constant: Gnumeric wants row and column"
    if name == "TEXT":
        yield "pattern of a language", "TEXT: its signs and letters are the person's; FIXED has none"
        return
    if not (name in FORMULAE or name in BY_NAME or name == ASKED_OF or (name in IN_NAMES_ONLY and kind == "name")):
        yield "newer than 2010", name
    elif name not in TAKES and name != LAMBDA:
        yield "parameters not known", name


def _broken_by_value(node: Node, kind: str) -> Iterator[tuple[str, str]]:
    """The rules about one constant, reference or name."""
    asks_about_cells = kind in ("highlight", "entry rule", "list")
    match node:
        case Operand(value, "TEXT") if len(value[1:-1].replace('""', '"')) > LONGEST_TEXT:
            yield "text too long", value[:40]
        case Operand("#REF!", _):
            yield "lost reference", "#REF!"
        case Operand(value, "RANGE") if "[" in value and asks_about_cells:
            yield "table named where only cells may be", value
        case ArrayConstant() if asks_about_cells:
            yield "array constant where none may be", kind


def _walk(node: Node, level: int) -> Iterator[tuple[Node, int]]:
    """Every part of a tree with the number of functions around it, its own counted."""
    level += isinstance(node, Call)
    yield node, level
    for below in node.operands if isinstance(node, Operation) else node.arguments if isinstance(node, Call) else ():
        if below is not None:
            yield from _walk(below, level)


def _broken_by_lambda(tree: Call) -> Iterator[tuple[str, str]]:
    """The rules about a LAMBDA's parameters. What stands inside is lifted by every program that has LAMBDA."""
    optional_seen = ""
    for argument in tree.arguments[:-1]:
        declared = argument.value if isinstance(argument, Operand) else ""
        if not declared.startswith((REQUIRED, OPTIONAL)):
            yield "parameter not declared", str(argument)
        if declared.startswith(OPTIONAL):
            optional_seen = declared
        elif optional_seen:
            yield "optional before required", f"{optional_seen} before {declared}"
        if looks_like_a_cell(declared.removeprefix(REQUIRED).removeprefix(OPTIONAL)):
            yield "looks like a cell", declared


class Evaluation:
    """What becomes of several values in a formula; ``cut`` holds where all but one of them are lost."""

    def __init__(self) -> None:
        self.cut: list[str] = []

    def shape(self, node: Node | None, *, lifts: bool) -> Shape:
        """What a part comes to, with all that is cut inside it noted."""
        match node:
            case Operand(value, "RANGE"):
                return Shape.CELLS if self.names_several(value) else Shape.ONE
            case ArrayConstant():
                return Shape.ARRAY
            case Operation(operators, operands):
                shapes = [self.shape(operand, lifts=lifts) for operand in operands]
                return self.lifted(shapes, f"operators {' '.join(operators)}", lifts=lifts)
            case Call():
                return self.shape_of_call(node, lifts=lifts)
        return Shape.ONE

    def lifted(self, shapes: list[Shape], what: str, *, lifts: bool) -> Shape:
        """What comes out where one value is wanted of each."""
        if all(shape is Shape.ONE for shape in shapes):
            return Shape.ONE
        if lifts:
            return Shape.ARRAY
        self.cut.append(what)
        return Shape.ONE

    def shape_of_call(self, call: Call, *, lifts: bool) -> Shape:
        """What a function comes to."""
        if call.function not in TAKES:
            return Shape.ONE  # found already
        values, passed = [], []
        for place, argument in enumerate(call.arguments):
            how = taken(call.function, place)
            shape = self.shape(argument, lifts=how == "a" or (lifts and how in "vs"))
            what = f"{call.function}, argument {place + 1}"
            if how == "v":
                values.append(self.lifted([shape], what, lifts=lifts))
            elif how == "b":
                passed.append(shape)
            if (
                (how == "1" and shape is not Shape.ONE)
                or (how in "br" and shape is Shape.ARRAY)
                or (how == "s" and shape is Shape.ARRAY and not lifts and not isinstance(argument, ArrayConstant))
            ):
                self.cut.append(what)
        if Shape.ARRAY in values:
            return Shape.ARRAY
        whole_row = call.function == "INDEX" and any(
            a is None or a == Operand("0", "NUMBER") for a in call.arguments[1:]
        )
        return Shape.CELLS if Shape.CELLS in passed or whole_row else Shape.ONE

    def names_several(self, reference: str) -> bool:
        """Whether a reference names more than one cell."""
        if reference.endswith("]"):
            row = "[#This Row]" in reference or "[#Headers]" in reference
            return "]:[" in reference or not row
        cells = reference.rpartition("!")[2].replace("$", "")
        first, colon, last = cells.partition(":")
        if not colon and not looks_like_a_cell(cells):
            self.cut.append(f"no cell, no column of a table: {reference}")
        return bool(colon) and first != last


def looks_like_a_cell(name: str) -> bool:
    """Whether a name is the address of a cell, a row or a column, as ``LOT12``, ``R1C1``, ``R``, ``C5``.

    >>> [looks_like_a_cell(name) for name in ("XFD1048576", "rc", "R2C", "XFE1", "LOT_1", "A0", "rate")]
    [True, True, True, False, False, False, False]
    """
    letters = name.rstrip("0123456789")
    row = name[len(letters) :]
    if letters.isascii() and letters.isalpha() and len(letters) <= 3 and row and 1 <= int(row) <= LAST_ROW:
        return column_index_from_string(letters) <= LAST_COLUMN
    rest = name.upper()
    for axis in "RC":
        if rest.startswith(axis):
            rest = rest[1:].lstrip("0123456789")
    return bool(name) and not rest
