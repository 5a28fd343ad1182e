"""FUNCTIONS -> lot_functions.py, the module of worksheet functions that xlwings puts into Excel.

    python -m tarelot.addin.excel.render           writes it
    python -m tarelot.addin.excel.render --check   says whether it is up to date (exit 1 if not)

xlwings turns each function into a VBA one with the same name and parameters, so VBA's reserved words must not name a
parameter: those get a trailing underscore, as Python has it for its own.
"""

from __future__ import annotations

import keyword
import sys
from collections.abc import Sequence
from pathlib import Path

from tarelot.calc.registry import FUNCTIONS
from tarelot.calc.spec import Function, Parameter

TARGET = Path(__file__).with_name("lot_functions.py")
CATEGORY = "Tarelot"
LONGEST_LINE = 120
LONGEST_TEXT = 255
"""Characters of a description that Excel keeps."""

MS_VBAL_WORDS = """
call case close const declare defbool defbyte defcur defdate defdbl defint deflng deflnglng deflngptr defobj defsng
defstr defvar dim do else elseif end endif enum erase event exit for friend function get global gosub goto if
implements input let lock loop lset next on open option print private public put raiseevent redim resume return
rset seek select set static stop sub type unlock wend while with write
rem any as byref byval each in new shared until withevents optional paramarray preserve spc tab then to
addressof and eqv imp is like mod not or typeof xor
abs cbool cbyte ccur cdate cdbl cdec cint clng clnglng clngptr csng cstr cvar cverr date debug doevents fix int len
lenb me pset scale sgn string array circle inputb lbound ubound
boolean byte currency double integer long longlong longptr single variant
true false nothing empty null attribute lineinput cdecl decimal defdec
"""
"""MS-VBAL, VBA Language Specification, 3.3.5.2 Reserved Identifiers."""
RESERVED = frozenset((*MS_VBAL_WORDS.split(), "caller"))
"""Names no parameter may have: VBA's words, and the one that xlwings keeps for itself."""

HEADER = '''"""The worksheet functions of Excel, one each; xlwings reads the decorators.

Rendered from calc/registry/ by `python -m tarelot.addin.excel.render`: change them there.
"""
# ruff: noqa: E501, N802

import xlwings as xw

from tarelot.addin.excel.cells import Cell, answer
'''


def rendered() -> str:
    """The module's text."""
    return "\n\n".join([HEADER, *map(_function, FUNCTIONS)])


def parameter_name(parameter: Parameter) -> str:
    """A parameter's name, fit for VBA and Python.

    >>> from tarelot.calc.glossary import EACH, GROSS
    >>> parameter_name(GROSS), parameter_name(EACH)
    ('gross', 'each_')
    """
    reserved = parameter.name.lower() in RESERVED or keyword.iskeyword(parameter.name)
    return f"{parameter.name}_" if reserved else parameter.name


def description(parameter: Parameter) -> str:
    """What Excel's function wizard says of a parameter.

    >>> from tarelot.calc.glossary import RAMP_ANGLE
    >>> description(RAMP_ANGLE)
    'Angle of the ramp to the ground; degrees; above 0 to below 90'
    """
    allowed = parameter.allowed if parameter.kind == "number" else ""
    optional = "" if parameter.required else "may be left out"
    return "; ".join(part for part in (parameter.meaning, parameter.unit, allowed, optional) if part)


def _function(function: Function) -> str:
    """One function with its decorators.

    Raises:
        ValueError: A text is longer than Excel keeps.
    """
    for text in (function.help, *map(description, function.parameters)):
        if len(text) > LONGEST_TEXT:
            raise ValueError(f"{function.name}: longer than {LONGEST_TEXT} characters: {text}")
    names = [parameter_name(p) for p in function.parameters]
    lines = [
        f'@xw.func(category="{CATEGORY}")',
        *map(_decorator, function.parameters),
        _wrapped(f"def {function.name}(", _signature(function), ") -> Cell:"),
        f'    """{function.help}"""',
        _wrapped("    return answer(", [f'"{function.name}"', *names], ")"),
        "",
    ]
    return "\n".join(lines)


def _decorator(parameter: Parameter) -> str:
    """What xlwings must know of a parameter; without err_to_str it would hand over an error as a blank."""
    shape = ["ndim=2"] if parameter.kind == "range" else []
    options = [f'"{parameter_name(parameter)}"', f'doc="{description(parameter)}"', *shape, "err_to_str=True"]
    return _wrapped("@xw.arg(", options, ")")


def _signature(function: Function) -> list[str]:
    """The parameters; only trailing optional ones can have a default, an earlier one is left out by a bare comma."""
    declared: list[str] = []
    trailing = True
    for parameter in reversed(function.parameters):
        trailing = trailing and not parameter.required
        declared.insert(0, f"{parameter_name(parameter)}: Cell{' = None' if trailing else ''}")
    return declared


def _wrapped(opening: str, items: Sequence[str], closing: str) -> str:
    """A call or signature on one line, or with one item a line where that is too long."""
    line = f"{opening}{', '.join(items)}{closing}"
    if len(line) <= LONGEST_LINE:
        return line
    indent = " " * (len(opening) - len(opening.lstrip()))
    return "\n".join([opening, *(f"{indent}    {item}," for item in items), f"{indent}{closing}"])


def main(arguments: Sequence[str]) -> int:
    """Write the module, or with ``--check`` compare it; the exit code."""
    if list(arguments) == ["--check"]:
        current = TARGET.read_text(encoding="utf-8") if TARGET.exists() else ""
        if current != rendered():
            print(f"{TARGET.name} is out of date: run python -m tarelot.addin.excel.render", file=sys.stderr)
            return 1
        return 0
    if arguments:
        print("usage: python -m tarelot.addin.excel.render [--check]", file=sys.stderr)
        return 2
    TARGET.write_text(rendered(), encoding="utf-8", newline="\n")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
