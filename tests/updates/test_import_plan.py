"""What taking a list in would do, row by row and field by field, before anything is written."""

from __future__ import annotations

import datetime
import shutil
from collections.abc import Sequence
from pathlib import Path

import openpyxl
import pytest

from tarelot.workbook_templates.basis.units import US
from tarelot.workbook_templates.lists.reading import read_list
from tarelot.workbook_templates.lot.column import Input
from tarelot.workbook_templates.lot.columns import inputs, results
from tarelot.workbook_templates.lot.reading import LotSheet, read_lot
from tarelot.workbook_templates.updates.apply import apply
from tarelot.workbook_templates.updates.fields import entry_refused
from tarelot.workbook_templates.updates.plan import Plan, UpdateError, plan
from tests.lot.small_lot import list_of, write_small_lot

HEADINGS = ["Stock no.", "VIN", "Make", "Hitch", "Received", "Price", "GVWR (lb)", "Model year", "Options"]
ROWS: list[dict[str, object]] = [
    {
        "Stock no.": "A1",
        "VIN": "0HWTA2C7XSL004200",
        "Make": "Hallowick",
        "Hitch": "ball",
        "GVWR (lb)": 7000,
        "Price": 5950,
    },
    {"Stock no.": 1102, "Make": " Corvane ", "Received": datetime.date(2026, 3, 2)},
    {"Stock no.": "Twice"},
    {"Stock no.": "twice"},
]


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> LotSheet:
    return read_lot(write_small_lot(tmp_path_factory.mktemp("small") / "lot.xlsx", HEADINGS, ROWS))


def planned(lot: LotSheet, tmp_path: Path, *lines: str, **options: object) -> Plan:
    return plan(lot, read_list(list_of(tmp_path, *lines)), **options)  # type: ignore[arg-type]


def test_entry_limits_are_those_of_the_sheets_own_entry_rules(demo_workbook: Path) -> None:
    sheet = openpyxl.load_workbook(demo_workbook)["Lot"]
    headings = {cell.column_letter: cell.value for cell in sheet[4]}
    rules = {
        headings[str(rule.sqref).split(":")[0].rstrip("0123456789")]: rule
        for rule in sheet.data_validations.dataValidation
    }
    checked = 0
    for column in inputs():
        rule = rules[US.heading(column.heading)]
        for value, allowed in probes(column, rule.type, rule.operator, rule.formula1, rule.formula2):
            assert (entry_refused(column, value) == "") == allowed, (column.heading, value)
            checked += 1
    assert checked > 100


def probes(
    column: Input, kind: str, operator: str, low: str, high: str | None
) -> Sequence[tuple[str | float | datetime.date, bool]]:
    """Values on both sides of each limit of an entry rule, and whether the rule takes them."""
    if kind == "list":
        words = low.strip('"').split(",")
        return [*((word, True) for word in words), ("bicycle", False)]
    if kind == "date":  # serial 29221 is 1980-01-01 in the calendar that counts 1900-01-01 as 1
        assert (operator, low) == ("greaterThan", "29221")
        return [
            (datetime.date(1980, 1, 1), False),
            (datetime.date(1980, 1, 2), True),
            (datetime.date(1979, 1, 1), False),
        ]
    if kind == "textLength":
        assert high is not None
        return [("x", True), ("x" * int(high), True), ("x" * (int(high) + 1), False)]
    if operator == "between":
        assert high is not None
        return [(float(low), True), (float(high), True), (float(low) - 0.0005, False), (float(high) + 1, False)]
    limit = float(low)
    return [(limit, operator == "greaterThanOrEqual"), (limit + 0.01, True), (limit - 0.01, False)]


def test_new_changed_same_and_refused(small: LotSheet, tmp_path: Path) -> None:
    made = planned(
        small,
        tmp_path,
        "Stk #,Manufacturer,Hitch type,GVWR,List price,Colour",
        'a1,Hallowick,Bumper pull,"3,175 kg",,red',
        "1102,Corvane,,,,",
        "N1,=1+1,GN,12K,$1,blue",
        "N2,Corvane,towbar,9 ton,-1,",
        "n1,Corvane,,,,",
        "Twice,Corvane,,,,",
        ",Corvane,,,,",
    )
    assert made.key == "Stock no."
    assert made.totals == {"new": 1, "changed": 1, "same": 1, "refused": 4}
    assert made.ignored == {"Colour": "not a column of ours"}
    changed, same, new, bad, doubled, twice, nameless = made.rows
    (weight,) = changed.changes
    # 3,175 kg / 0.45359237 kg per lb (NIST SP 811) = 6,999.6768 lb
    assert (weight.heading, weight.old, weight.new) == ("GVWR (lb)", 7000, pytest.approx(3175 / 0.45359237, rel=1e-12))
    assert (changed.lot_row, changed.same, changed.blank) == (4, ("Stock no.", "Make", "Hitch"), ("Price",))
    assert (same.lot_row, same.changes, same.same) == (5, (), ("Stock no.", "Make"))
    assert {c.heading: c.new for c in new.changes} == {
        "Stock no.": "N1", "Make": "=1+1", "Hitch": "gooseneck", "GVWR (lb)": 12_000, "Price": 1,
    }  # fmt: skip
    assert bad.reason.count(";") >= 2
    for part in ('Hitch: "towbar" is not known', 'GVWR (lb): "9 ton"', 'Price: "-1"'):
        assert part in bad.reason
    assert doubled.reason == "Stock no. n1 stands in row 4 of the list already"
    assert twice.reason == "Stock no. Twice stands on the lot twice, in rows 6 and 7: mend that first"
    assert nameless.reason == "Stock no. is blank"


def test_a_blank_field_never_erases_unless_told_to(small: LotSheet, tmp_path: Path) -> None:
    lines = ("Stock no.,Make,Price", "A1,,6000")
    assert [c.heading for c in planned(small, tmp_path, *lines).rows[0].changes] == ["Price"]
    erasing = planned(small, tmp_path, *lines, blank_erases=True).rows[0].changes
    assert [(c.heading, c.new) for c in erasing] == [("Make", None), ("Price", 6000)]


def test_trailers_told_apart_by_vin(small: LotSheet, tmp_path: Path) -> None:
    lines = ("VIN,Stock no.,Price", "0hwta2c7xsl004200,A1,6000", "0BMDK2F18SL004311,B7,1")
    assert planned(small, tmp_path, *lines, key="VIN").totals == {"new": 1, "changed": 1, "same": 0, "refused": 0}
    assert planned(small, tmp_path, "VIN,Price", "0hwta2c7xsl004200,6000").key == "VIN"
    taken = planned(
        small, tmp_path, "Stock no.,VIN", "N1,0HWTA2C7XSL004200", "N2,0BMDK2F18SL004311", "N3,0bmdk2f18sl004311"
    )
    assert [row.reason for row in taken.rows] == [
        "VIN 0HWTA2C7XSL004200 is that of another trailer, in row 4 of the lot",
        "",
        "VIN 0bmdk2f18sl004311 stands in row 3 of the list already",
    ]


def test_lists_that_cannot_be_imported_as_a_whole(small: LotSheet, tmp_path: Path) -> None:
    for lines, message in (
        (("Make,Price", "Corvane,1"), "has no column Stock no. or VIN"),
        (("Stock no.,Price,List price", "A1,1,2"), "'Price' and 'List price' would both be Price"),
        (("Stock no.,Deck height", "A1,30"), "nothing to import beside Stock no."),
    ):
        with pytest.raises(UpdateError, match=message):
            planned(small, tmp_path, *lines)
    with pytest.raises(UpdateError, match="has no column VIN"):
        planned(small, tmp_path, "Stock no.,Price", "A1,1", key="VIN")


def test_columns_left_out_are_named_with_the_reason(small: LotSheet, tmp_path: Path) -> None:
    made = planned(small, tmp_path, "Stock no.,Price,Tare,GVWR (ft),Deck height,Rust", "A1,1,2,3,4,5")
    assert made.ignored == {
        "Tare": "may mean Base weight or Scale weight: name it so",
        "GVWR (ft)": "its unit does not fit GVWR",
        "Deck height": "lot.xlsx has no column Deck height (in) any more",
        "Rust": "not a column of ours",
    }


def test_payload_is_a_makers_promise_unless_the_list_is_a_copy_of_a_lot(demo_workbook: Path, tmp_path: Path) -> None:
    lot = read_lot(demo_workbook)
    spec = planned(lot, tmp_path, "Stock no.,Payload (lb)", "1101,5000")
    assert spec.columns == {"Stock no.": "Stock no.", "Payload (lb)": "Stated payload (lb)"}
    copy = planned(lot, tmp_path, "Stock no.,Payload (lb),Price,What conflicts", "1101,5000,1,x")
    assert copy.ignored == dict.fromkeys(("Payload (lb)", "What conflicts"), "the workbook calculates it")


def test_a_lot_imported_into_itself_is_all_same(demo_workbook: Path) -> None:
    made = plan(read_lot(demo_workbook), read_list(demo_workbook, "Lot"))
    # 1120 stands on the demo's lot twice, on purpose.
    assert made.totals == {"new": 0, "changed": 0, "same": 22, "refused": 2}
    assert made.notes == []  # the rows left to fill show nothing
    assert len(made.ignored) == len(list(results()))


def test_options_that_the_options_sheet_lacks_are_named(small: LotSheet, tmp_path: Path) -> None:
    made = planned(small, tmp_path, "Stock no.,Options", "A1,spare TIRE; Sun roof ; Tool box")
    assert len(made.notes) == 1
    assert made.notes[0].endswith("listed weights stay blank: Sun roof")


def test_an_option_fitted_several_times_is_named_so_often(demo_workbook: Path, tmp_path: Path) -> None:
    """Tool box 110 lb, Chain tray 45 lb, on the demo's Options: 2 x 110 + 3 x 45 = 355 lb by hand."""
    lot = read_lot(demo_workbook)
    weights = {str(name): weight for name, weight, *_ in lot.options}
    assert (weights["Tool box"], weights["Chain tray"]) == (110, 45)
    lines = ["1105,Tool box x2; 3 x chain tray", "1106,Winch x2", "1107,Tool box x13", "1108,Deck 8 x 10"]
    found = planned(lot, tmp_path, "Stock no.,Options", *lines)
    named = [change.new for row in found.rows for change in row.changes]
    assert named == [
        "Tool box; Tool box; chain tray; chain tray; chain tray",
        "Winch; Winch",
        "Tool box x13",
        "Deck 8 x 10",
    ]
    said = " | ".join(found.notes)
    assert "until they are, Entry check names them" in said
    assert "Winch, Tool box x13, Deck 8 x 10" in said
    assert "Options: named as often as they are fitted in 2 of the rows (Tool box x2; 3 x chain tray, Winch x2)" in said
    path = Path(shutil.copy(demo_workbook, tmp_path))
    apply(planned(read_lot(path), tmp_path, "Stock no.,Options", lines[0]), tmp_path / "list.csv")
    (row,) = (row for row in read_lot(path).rows if str(row.values["Stock no."]) == "1105")
    assert row.stored["Options weight (lb)"] == 2 * 110 + 3 * 45


def test_the_smallest_change_is_a_change_and_rounding_is_none(small: LotSheet, tmp_path: Path) -> None:
    lines = ("Stock no.,Price,GVWR", "A1,5950.01,7000", "1102,1,7000.0000001")
    assert [row.status for row in planned(small, tmp_path, *lines).rows] == ["changed", "changed"]
    # 15 digits of 7,000: what a program's saving may round away
    assert planned(small, tmp_path, "Stock no.,GVWR", "A1,7000.000000000001").rows[0].status == "same"


@pytest.mark.parametrize(
    ("count", "said"), [(1, []), (2, ["1 row of Yard that holds"]), (3, ["2 rows of Yard that hold"])]
)
def test_rows_with_a_note_of_ones_own_that_new_trailers_go_past(tmp_path: Path, count: int, said: list[str]) -> None:
    """Below the headings in row 3: a trailer, a blank row, a note, a blank row, a note."""
    rows: list[dict[str, object]] = [ROWS[0], {}, {"Salesman": "call"}, {}, {"Salesman": "call"}]
    path = write_small_lot(tmp_path / "lot.xlsx", [*HEADINGS, "Salesman"], rows)
    listed = list_of(tmp_path, "Stock no.,Price", *(f"N{number},5000" for number in range(count)))
    planned = plan(read_lot(path), read_list(listed))
    numbers = {2: "6", 3: "6, 8"}
    assert [note for note in planned.notes if "go past" in note] == [
        f"new trailers go past {words} only what you noted there: {numbers[count]}" for words in said
    ]
