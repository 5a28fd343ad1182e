"""What holds for every row of the registry, so that each face can be rendered from it.

Outside sources: the reserved identifiers of UNO's IDL (its grammar) and of VBA (MS-VBAL 3.3.5.2), the worksheet
functions of the first Office Open XML standard (ECMA-376 part 1, 18.17.7), and Excel's published limits and rules for
names: 8,192 characters a formula, 255 a description, no name that reads as a cell.
"""

from __future__ import annotations

import inspect
import keyword
import re

import pytest

from tarelot.addin.excel.render import RESERVED, parameter_name
from tarelot.calc import tables
from tarelot.calc.cells.formulas import LONGEST_FORMULA, TOKEN, Call, Cell, cell_formula, name_formula
from tarelot.calc.registry import FUNCTIONS
from tarelot.calc.spec import LARGEST, Function, Parameter
from tarelot.workbook_templates.basis.units import SYSTEMS
from tarelot.workbook_templates.lot.columns import TABLE, headings

IDL_WORDS = """
any attribute bound boolean byte case char const constants constrained constructor context default double enum exception
false fixed float get hyper in inout interface ellipsis long maybeambiguous maybedefault maybevoid module native needs
object observes oneway optional out property published raises readonly removable sequence service set short singleton
string struct switch transient true type typedef typemodes union unsigned void where
"""
IDL_RESERVED = frozenset(IDL_WORDS.split())
STANDARD_FUNCTIONS = """
AND ASIN ATAN COLUMNS COS COUNT DEGREES FIND IF IFERROR INDEX INT ISNUMBER ISTEXT LEN LOWER MATCH MAX MID MIN MOD N NOT
OR RADIANS REPT ROUND ROUNDUP ROWS SIN SQRT SUBSTITUTE SUMPRODUCT T TAN TRIM UPPER
"""
WORKSHEET_FUNCTIONS = frozenset(STANDARD_FUNCTIONS.split())
"""Those that our formulas need, each in ECMA-376 part 1, 18.17.7 (2006), so that no program since then lacks one."""
WITHOUT_TEXTS = re.compile(r'"(?:[^"]|"")*"')
CELL_LIKE = re.compile(r"[a-z]{1,3}[0-9]+|r[0-9]*c?[0-9]*|c[0-9]*", re.IGNORECASE)
UNUSED = {"LOT_WEAKEST_PART": {"axles"}}
"""Parameters that change nothing but refusals: which part of an axle is weakest does not depend on how many there are,
yet the call is that of LOT_AXLE_GROUP_RATING."""
every_function = pytest.mark.parametrize("function", FUNCTIONS, ids=lambda function: function.name)
every_formula = pytest.mark.parametrize(
    "function", [function for function in FUNCTIONS if function.formula], ids=lambda function: function.name
)


def formula_of(function: Function) -> str:
    """The function's formula, which is there."""
    assert function.formula is not None
    return function.formula


class TestNames:
    def test_once(self) -> None:
        names = [function.name for function in FUNCTIONS]
        assert len(set(names)) == len(names)
        assert len({function.python for function in FUNCTIONS}) == len(names)

    @every_function
    def test_function(self, function: Function) -> None:
        assert re.fullmatch(r"LOT(_[A-Z]+)+", function.name)
        assert function.name.removeprefix("LOT_").lower() == function.python.__name__

    @every_function
    def test_parameters(self, function: Function) -> None:
        names = [parameter.name for parameter in function.parameters]
        assert len(set(names)) == len(names)
        for name in names:
            assert re.fullmatch(r"[a-z]+(_[a-z]+)*", name), name
            assert name not in IDL_RESERVED | set(keyword.kwlist), name
            assert not CELL_LIKE.fullmatch(name), name

    @every_function
    def test_parameters_in_visual_basic(self, function: Function) -> None:
        """A word that VBA keeps for itself is written with an underscore there: test_excel_module.py."""
        for parameter in function.parameters:
            assert parameter_name(parameter).lower() not in RESERVED

    @every_function
    def test_optional_parameters_of_a_call_can_be_left_out_at_its_end(self, function: Function) -> None:
        """A required one after an optional one would force a typed formula to hold two commas in a row, unless every
        cell is given anyway because the rest are blocks."""
        places = [parameter.required for parameter in function.parameters]
        first_optional = places.index(False) if False in places else len(places)
        assert all(p.kind == "range" for p in function.parameters[first_optional:] if p.required)


class TestTexts:
    @every_function
    def test_one_sentence_in_the_wizard(self, function: Function) -> None:
        assert 0 < len(function.help) <= 255
        assert function.help.endswith(".")
        assert function.result
        assert function.words
        assert function.source

    @every_function
    def test_each_parameter_says_what_it_is(self, function: Function) -> None:
        for parameter in function.parameters:
            assert 0 < len(parameter.meaning) <= 255
            assert parameter.kind in ("number", "text", "range")
            assert parameter.kind == "number" or not parameter.unit

    @every_function
    def test_reason_where_there_is_no_formula(self, function: Function) -> None:
        assert bool(function.formula) != bool(function.why_no_formula)

    @every_function
    def test_docstring_names_every_parameter(self, function: Function) -> None:
        """Itself or, as it says, in the function that it refers to."""
        text = inspect.getdoc(function.python) or ""
        module = inspect.getmodule(function.python)
        for referred in re.findall(r":func:`([a-z_]+)`", text):
            text += inspect.getdoc(getattr(module, referred)) or ""
        missing = [p.name for p in function.parameters if not re.search(rf"^\s*{p.name}\b.*:", text, re.MULTILINE)]
        assert missing == []

    @every_function
    def test_docstring_tells_errors_and_an_example(self, function: Function) -> None:
        text = " ".join((inspect.getdoc(function.python) or "").split())
        assert ">>> " in text
        if any(parameter.kind == "number" for parameter in function.parameters):
            assert "Raises:" in text or " as :func:" in text


class TestSignatures:
    @every_function
    def test_same_names_in_the_same_order(self, function: Function) -> None:
        given = list(inspect.signature(function.python).parameters)
        assert given == [parameter.name for parameter in function.parameters]

    @every_function
    def test_absent_values_can_be_given(self, function: Function) -> None:
        signature = inspect.signature(function.python).parameters
        for parameter in function.parameters:
            assert ("None" in str(signature[parameter.name].annotation)) != parameter.required, parameter.name

    @every_function
    def test_ranges_are_sane(self, function: Function) -> None:
        for parameter in function.parameters:
            assert -LARGEST <= parameter.least < parameter.greatest <= LARGEST
            assert all(choice == choice.strip().lower() for choice in parameter.choices)

    def test_one_meaning_a_name(self) -> None:
        """A parameter of one name has one kind and one unit wherever it stands."""
        seen: dict[str, Parameter] = {}
        for parameter in (p for function in FUNCTIONS for p in function.parameters):
            first = seen.setdefault(parameter.name, parameter)
            assert (parameter.kind, parameter.unit) == (first.kind, first.unit), parameter.name


class TestFormulas:
    @every_formula
    def test_only_parameters_and_functions_that_every_program_has(self, function: Function) -> None:
        cells = tuple(Cell(f"{chr(ord('A') + place)}1") for place in range(len(function.parameters)))
        rendered = WITHOUT_TEXTS.sub('""', cell_formula(Call(function.name, cells)))
        assert set(re.findall(r"[A-Z][A-Z0-9.]*(?=\()", rendered)) <= WORKSHEET_FUNCTIONS
        bare = WITHOUT_TEXTS.sub('""', formula_of(function))
        names = {match.group(0) for match in TOKEN.finditer(bare) if match.group(0)[0].islower()}
        assert names <= {parameter.name for parameter in function.parameters}

    @every_formula
    def test_every_parameter_is_used(self, function: Function) -> None:
        used = {match.group(1) or match.group(0) for match in TOKEN.finditer(formula_of(function))}
        given = {parameter.name for parameter in function.parameters}
        assert given - used == UNUSED.get(function.name, set())

    @every_formula
    def test_only_optional_parameters_are_asked_for(self, function: Function) -> None:
        optional = {parameter.name for parameter in function.parameters if not parameter.required}
        assert set(re.findall(r"STATED\(([a-z_]+)\)", formula_of(function))) <= optional

    @every_formula
    def test_fits_a_cell_with_the_longest_references(self, function: Function) -> None:
        longest = max((heading for units in SYSTEMS.values() for heading in headings(units)), key=len)
        single, block = f"{TABLE}[[#This Row],[{longest[:-2]}", "Options[Weight (lb)"
        cells = [
            Cell(f"{block}{place:02}]" if parameter.kind == "range" else f"{single}{place:02}]]")
            for place, parameter in enumerate(function.parameters)
        ]
        assert len(cell_formula(Call(function.name, tuple(cells)))) < LONGEST_FORMULA

    @every_formula
    def test_name_fits_too(self, function: Function) -> None:
        assert len(name_formula(function)) < LONGEST_FORMULA


def test_load_index_grows_with_every_step() -> None:
    kilograms = tables.LOAD_INDEX_KG
    assert len(kilograms) == 151
    assert all(lighter < heavier for lighter, heavier in zip(kilograms, kilograms[1:], strict=False))
