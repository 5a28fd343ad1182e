"""What the tests' LibreOffice reports of cells that show an error, read one by one and all at once.

Names of errors: ECMA-376 part 1, 18.17.3. Calc's own codes: its help, "Error Codes in LibreOffice Calc".
"""

from __future__ import annotations

from tests.engines.office import Office

SHOWN = {
    "=1/0": "#DIV/0!",
    "=NA()": "#N/A",
    "=NOSUCHNAME": "#NAME?",
    "=10^999": "#NUM!",
    "=SQRT(-1)": "Err:502",  # invalid argument
    '="a"+1': "#VALUE!",
    "=INDEX(A1:B2,5,5)": "#REF!",
    "=ZZ1": "#DIV/0!",
    "=1/0+1": "#DIV/0!",
    "=ZZ10": "Err:522",  # refers to itself
    "=1+1": 2.0,
    '="#N/A"': "#N/A",  # a text
    '=""': "",
}


def test_errors_read_at_once_are_those_of_each_cell(office: Office) -> None:
    formulas = list(SHOWN)
    one_by_one = office.edit_and_read(
        office.scratch(formulas), {}, [f"Scratch!ZZ{row + 1}" for row in range(len(SHOWN))]
    )
    assert office.evaluate(formulas) == one_by_one == list(SHOWN.values())


def test_a_range_that_begins_elsewhere(office: Office) -> None:
    path = office.scratch(["=1+1"], {"C4": "=1/0", "AB5": "#N/A", "B2": 7})
    rows = office.recalculate(path)["Scratch"]
    found = {(r, c): value for r, row in enumerate(rows, 1) for c, value in enumerate(row, 1) if value != ""}
    assert found == {(1, 702): 2.0, (2, 2): 7.0, (4, 3): "#DIV/0!", (5, 28): "#N/A"}
