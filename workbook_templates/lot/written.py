"""The few result columns that no single worksheet function gives: each as a plain formula and in Python.

They speak of the whole row or the whole table, so that they are written out here, cell by cell and without arrays.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence

from tarelot.calc.cells.boundary import CellError, call
from tarelot.calc.cells.formulas import Call, Cell, call_formula, cell_formula, text
from tarelot.calc.checks import PASSED, SMALL, split_unit
from tarelot.calc.registry import BY_NAME
from tarelot.workbook_templates.basis.references import row_reference, row_span, table_column
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.lot.columns import KEY, TABLE, check_headings

Row = Mapping[str, object]
FILLED_BY = (KEY, "VIN", "GVWR ({weight})")
"""A row counts as filled when one of these is."""
REPEATED = (KEY, "VIN")


def is_filled(row: Row, units: Units) -> bool:
    """Whether a row holds a trailer."""
    return any(row.get(units.heading(heading)) not in (None, "", 0) for heading in FILLED_BY)


def formula(heading: str, units: Units, *, by_name: bool = False) -> str:
    """The formula of a written-out column, without ``=``; ``by_name`` where the add-in's functions are to be called."""
    if heading == "Repeated":
        return _repeated_formula()
    blank = ",".join(_blank(row_reference(units.heading(h))) for h in FILLED_BY)
    return f'IF(AND({blank}),"",{_row_formula(heading, units, by_name)})'


def _blank(cell: str) -> str:
    """Whether a cell is empty; some programs read an empty cell that has a colour as 0."""
    return f'({cell}="")+({cell}=0)'


def _row_formula(heading: str, units: Units, by_name: bool) -> str:
    """What a column says of a filled row."""
    checks = check_headings(units)
    values = Cell(row_span(TABLE, checks[0], checks[-1]))
    headings = Cell(f"{TABLE}[[#Headers],[{checks[0]}]:[{checks[-1]}]]")
    if heading == "Conflicts":
        count = Call("LOT_CONFLICT_COUNT", (values,))
        return call_formula(count) if by_name else cell_formula(count)
    if by_name:
        name = "LOT_CONFLICTS" if heading == "What conflicts" else "LOT_NOT_CHECKED"
        return call_formula(Call(name, (headings, values)))
    part = _conflict_part if heading == "What conflicts" else _missing_part
    return f"MID({'&'.join(map(part, checks))},3,9999)"


def _conflict_part(heading: str) -> str:
    """One check's share of What conflicts: nothing, or its amount in words."""
    cell = row_reference(heading)
    name, unit = split_unit(heading)
    if not unit:
        return f'IF(OR({cell}="",{cell}="{PASSED}"),"",{text(f"; {name}: ")}&{cell})'
    # FIXED, since a program reads the places of a TEXT in its own language; it rounds as amount_in_words does
    return f'IF(N({cell})>0,{text(f"; {name} ")}&FIXED({cell},({cell}<{SMALL})*1)&{text(f" {unit}")},"")'


def _missing_part(heading: str) -> str:
    """One check's share of Not checked."""
    return f'IF({row_reference(heading)}="",{text(f"; {split_unit(heading)[0]}")},"")'


def _repeated_formula() -> str:
    """Whether the stock number or the VIN stands twice in its column."""
    stock, vin = map(row_reference, REPEATED)
    twice = [f"SUMPRODUCT(({table_column(TABLE, h)}={c})*1)>1" for h, c in zip(REPEATED, (stock, vin), strict=True)]
    found = [f"IF({_blank(c)},FALSE,{t})" for c, t in zip((stock, vin), twice, strict=True)]
    return (
        f'IF(AND({_blank(stock)},{_blank(vin)}),"",IF({found[0]},IF({found[1]},"stock no. and VIN","stock no."),'
        f'IF({found[1]},"VIN","{PASSED}")))'
    )


def repeated(row: Row, seen: Mapping[str, Counter[object]]) -> str:
    """The same as the formula of Repeated: ``seen`` counts the values of each column."""
    values = [_same(row.get(heading)) for heading in REPEATED]
    if all(value == "" for value in values):
        return ""
    twice = [v != "" and seen[h][v] > 1 for h, v in zip(REPEATED, values, strict=True)]
    words = [word for word, found in zip(("stock no.", "VIN"), twice, strict=True) if found]
    return " and ".join(words) or PASSED


def count_values(rows: Sequence[Row]) -> dict[str, Counter[object]]:
    """How often each stock number and VIN stands on the lot; texts in any case, as a spreadsheet compares them."""
    return {heading: Counter(_same(row.get(heading)) for row in rows) for heading in REPEATED}


def _same(value: object) -> object:
    """A value as ``=`` compares it in a spreadsheet."""
    return "" if value in (None, 0) else value.lower() if isinstance(value, str) else value


def verdicts(row: Row, units: Units) -> dict[str, object]:
    """Conflicts, What conflicts and Not checked of a row whose checks are there."""
    if not is_filled(row, units):
        return dict.fromkeys(("Conflicts", "What conflicts", "Not checked"), "")
    headings = check_headings(units)
    values = [row.get(heading, "") for heading in headings]
    return {
        "Conflicts": or_error(lambda: call(BY_NAME["LOT_CONFLICT_COUNT"], [values])),
        "What conflicts": or_error(lambda: call(BY_NAME["LOT_CONFLICTS"], [headings, values])),
        "Not checked": or_error(lambda: call(BY_NAME["LOT_NOT_CHECKED"], [headings, values])),
    }


def or_error(calculate: Callable[[], float | str]) -> float | str:
    """A result, or the error value that the cell shows instead."""
    try:
        return calculate()
    except CellError as error:
        return error.code
