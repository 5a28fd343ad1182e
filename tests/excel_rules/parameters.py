"""How a spreadsheet function takes its parameters, where formulas are not entered as arrays.

A letter a parameter, the last one again for all that follow:

- ``v`` one value; several are lifted only where the whole call stands where arrays are lifted
- ``1`` one value, wherever the call stands
- ``b`` one of several answers: cells pass through, an array is never lifted
- ``s`` cells or an array constant as they are; a worked-out array only where the whole call stands where arrays are
  lifted
- ``r`` cells as they are, never an array
- ``a`` an array: whatever stands inside is lifted

Source: the parameter classes of the file format's formula tokens, as LibreOffice lists them for its own import and
export of Excel files in sc/source/filter/oox/formulabase.cxx: VR is ``v`` here, VO and VV are ``1``, RX and RR are
``s``, RA and VA are ``a``. RO is ``b`` where the result may be a reference, ``r`` where the function looks at cells,
and ``1`` for N and T, which look at the first cell alone. INDEX has RA for its first there, and pages on Excel before
2019 say that it lifts what stands in it; LibreOffice 25.2 lifts nothing there, as test_excel_rules.py sees. A workbook
is for every program, so it is ``s`` here: INDEX over an array is refused unless SUMPRODUCT or LOOKUP stands around it.
ROW and COLUMN have RO and give a place for each cell: they are ``1``, of one cell alone.
"""

from __future__ import annotations

from tarelot.calc.registry import BY_NAME

TAKES: dict[str, str] = {
    **dict.fromkeys(("ABS", "INT", "MOD", "ROUND", "ROUNDUP", "SQRT", "VALUE"), "v"),
    **dict.fromkeys(("ASIN", "ATAN", "COS", "DEGREES", "RADIANS", "SIN", "TAN"), "v"),
    **dict.fromkeys(("ISBLANK", "ISERROR", "ISNA", "ISNUMBER", "ISTEXT", "NOT", "_xlfn.ISFORMULA"), "v"),
    **dict.fromkeys(
        ("FIND", "FIXED", "LEFT", "LEN", "LOWER", "MID", "REPT", "RIGHT", "SEARCH", "SUBSTITUTE", "TRIM", "UPPER"), "v"
    ),
    **dict.fromkeys(("AND", "COUNT", "COUNTA", "MAX", "MIN", "OR", "SUM"), "s"),
    **dict.fromkeys(("IF", "CHOOSE", "IFERROR"), "1b"),
    **dict.fromkeys(("ROWS", "COLUMNS"), "r"),
    **dict.fromkeys(("N", "T", "ROW", "COLUMN", "_xlfn.ISOMITTED"), "1"),
    **dict.fromkeys(("SMALL", "LARGE"), "sv"),
    "COUNTIF": "rv",
    "SUMIF": "rv",
    "INDEX": "s1",
    "LOOKUP": "va",
    "MATCH": "vsv",
    "SUMPRODUCT": "a",
    **{name: "".join("r" if p.kind == "range" else "1" for p in row.parameters) for name, row in BY_NAME.items()},
}
"""The functions that our workbooks use, and those of the add-in: another one is to be looked up and written here."""


def taken(function: str, place: int) -> str:
    """How a function takes the parameter in a place, counted from 0.

    Raises:
        KeyError: A function that is not listed.
    """
    letters = TAKES[function]
    return letters[min(place, len(letters) - 1)]
