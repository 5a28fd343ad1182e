"""Taking lists in: what the plan says, what the file then holds, and that two other engines calculate the same."""

from __future__ import annotations

import datetime
import re
import shutil
import zipfile
from collections.abc import Sequence
from pathlib import Path

import ironcalc
import openpyxl
import pytest
from openpyxl.utils import column_index_from_string
from python_calamine import CalamineWorkbook

from addin.command_line import main
from addin.formulas import name_formula
from calc.registry import BY_NAME
from tests.office import Office
from tests.small_lot import write_small_lot
from workbook_templates import demo_yard, workbook
from workbook_templates.column import Input
from workbook_templates.columns import inputs, results
from workbook_templates.fresh_results import fresh_results, plain_form
from workbook_templates.list_reading import read_list
from workbook_templates.lot_reading import LotSheet, read_lot
from workbook_templates.package import defined_names, edit
from workbook_templates.safe_file import FileError, backups, undo
from workbook_templates.take_in import Plan, TakeInError, entry_refused, plan
from workbook_templates.take_in_file import Done, carry_out
from workbook_templates.units import US
from workbook_templates.values_copy import copy_values, store_fresh_results
from workbook_templates.xml_splice import PackageError

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


@pytest.fixture(scope="module")
def pristine(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("demo") / "demo.xlsx"
    workbook.write_demo(path)
    return path


@pytest.fixture
def demo(pristine: Path, tmp_path: Path) -> Path:
    return Path(shutil.copy(pristine, tmp_path / "demo.xlsx"))


def list_of(tmp_path: Path, *lines: str) -> Path:
    path = tmp_path / "list.csv"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def planned(lot: LotSheet, tmp_path: Path, *lines: str, **options: object) -> Plan:
    return plan(lot, read_list(list_of(tmp_path, *lines)), **options)  # type: ignore[arg-type]


def take_in(path: Path, list_path: Path, **options: object) -> tuple[Plan, Done]:
    made = plan(read_lot(path), read_list(list_path), **options)  # type: ignore[arg-type]
    return made, carry_out(made, list_path)


def sheet_xml(path: Path, number: int = 2) -> str:
    with zipfile.ZipFile(path) as package:
        return package.read(f"xl/worksheets/sheet{number}.xml").decode()


# The plan


def test_entry_limits_are_those_of_the_sheets_own_entry_rules(pristine: Path) -> None:
    sheet = openpyxl.load_workbook(pristine)["Lot"]
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


def test_lists_that_cannot_be_taken_in_as_a_whole(small: LotSheet, tmp_path: Path) -> None:
    for lines, message in (
        (("Make,Price", "Corvane,1"), "has no column Stock no. or VIN"),
        (("Stock no.,Price,List price", "A1,1,2"), "'Price' and 'List price' would both be Price"),
        (("Stock no.,Deck height", "A1,30"), "nothing to take in beside Stock no."),
    ):
        with pytest.raises(TakeInError, match=message):
            planned(small, tmp_path, *lines)
    with pytest.raises(TakeInError, match="has no column VIN"):
        planned(small, tmp_path, "Stock no.,Price", "A1,1", key="VIN")


def test_columns_left_out_are_named_with_the_reason(small: LotSheet, tmp_path: Path) -> None:
    made = planned(small, tmp_path, "Stock no.,Price,Tare,GVWR (ft),Deck height,Rust", "A1,1,2,3,4,5")
    assert made.ignored == {
        "Tare": "may mean Base weight or Scale weight: name it so",
        "GVWR (ft)": "its unit does not fit GVWR",
        "Deck height": "lot.xlsx has no column Deck height (in) any more",
        "Rust": "not a column of ours",
    }


def test_payload_is_a_makers_promise_unless_the_list_is_a_copy_of_a_lot(pristine: Path, tmp_path: Path) -> None:
    lot = read_lot(pristine)
    spec = planned(lot, tmp_path, "Stock no.,Payload (lb)", "1101,5000")
    assert spec.columns == {"Stock no.": "Stock no.", "Payload (lb)": "Stated payload (lb)"}
    copy = planned(lot, tmp_path, "Stock no.,Payload (lb),Price,What conflicts", "1101,5000,1,x")
    assert copy.ignored == dict.fromkeys(("Payload (lb)", "What conflicts"), "the workbook calculates it")


def test_a_lot_taken_into_itself_is_all_same(pristine: Path) -> None:
    made = plan(read_lot(pristine), read_list(pristine, "Lot"))
    # 1120 stands on the demo's lot twice, on purpose.
    assert made.totals == {"new": 0, "changed": 0, "same": 22, "refused": 2}
    assert made.notes == ["6 rows hold nothing but what the workbook calculates"]
    assert len(made.ignored) == len(list(results()))


def test_options_that_the_options_sheet_lacks_are_named(small: LotSheet, tmp_path: Path) -> None:
    made = planned(small, tmp_path, "Stock no.,Options", "A1,spare TIRE; Sun roof ; Tool box")
    assert len(made.notes) == 1
    assert made.notes[0].endswith("#N/A until they are: Sun roof")


# The file


def test_blank_rows_are_filled_first_and_rows_added_below(demo: Path, tmp_path: Path) -> None:
    lines = [
        "Stock no.,Make,GVWR,Base weight",
        *(f"N{n},=HYPERLINK({n}),{n}000,500" for n in range(1, 10)),
        "N10,x,no,1",
    ]
    made, done = take_in(demo, list_of(tmp_path, *lines))
    assert made.totals == {"new": 9, "changed": 0, "same": 0, "refused": 1}
    lot = read_lot(demo)
    assert (len(lot.rows), lot.blank_rows, lot.table.ref) == (33, [], "A4:BV37")
    assert [row.values["Stock no."] for row in lot.rows[24:]] == [f"N{n}" for n in range(1, 10)]
    book = openpyxl.load_workbook(demo)
    for number in range(29, 38):
        assert book["Lot"][f"C{number}"].data_type == "s"
        assert book["Lot"][f"C{number}"].value == f"=HYPERLINK({number - 28})"
    stored = openpyxl.load_workbook(demo, data_only=True)
    payload = lot.columns["Payload (lb)"]
    assert [stored["Lot"][f"{payload}{n}"].value for n in (29, 37)] == [1000 - 500, 9000 - 500]  # GVWR less base weight
    assert stored["Start"]["B5"].value == 33
    assert fresh_results(lot).count == 0
    assert done.side_file == tmp_path / "list refused.csv"
    assert done.side_file.read_text(encoding="utf-8").splitlines() == [
        "Stock no.,Make,GVWR,Base weight,Reason",
        'N10,x,no,1,"GVWR (lb): ""no"" is not a number; a weight in lb is expected"',
    ]


def test_refused_rows_are_mended_and_taken_in_again(demo: Path, tmp_path: Path) -> None:
    _, done = take_in(demo, list_of(tmp_path, "Stock no.,Price", "1101,cheap", "1102,1"))
    assert done.side_file is not None
    again, second = take_in(demo, done.side_file)
    assert again.totals == {"new": 0, "changed": 0, "same": 0, "refused": 1}
    assert second.side_file == tmp_path / "list refused 2.csv"
    second.side_file.write_text(second.side_file.read_text(encoding="utf-8").replace("cheap", "6000"), encoding="utf-8")
    mended, third = take_in(demo, second.side_file)
    assert mended.totals == {"new": 0, "changed": 1, "same": 0, "refused": 0}
    assert mended.ignored == {}
    assert third.side_file is None


def test_the_same_list_twice_changes_nothing_the_second_time(demo: Path, tmp_path: Path) -> None:
    source = demo_yard.LISTS / "new-truckload.csv"
    first, _ = take_in(demo, Path(shutil.copy(source, tmp_path)))
    after = demo.read_bytes()
    second, done = take_in(demo, tmp_path / source.name)
    assert first.totals == {"new": 4, "changed": 0, "same": 0, "refused": 1}
    assert second.totals == {"new": 0, "changed": 0, "same": 4, "refused": 1}
    assert (demo.read_bytes(), done.backup) == (after, None)


def test_a_take_in_is_undone_byte_for_byte(demo: Path, tmp_path: Path) -> None:
    before = demo.read_bytes()
    _, done = take_in(demo, list_of(tmp_path, "Stock no.,Price", "1101,1"))
    assert done.backup is not None
    assert demo.read_bytes() != before
    assert undo(demo) == done.backup
    assert demo.read_bytes() == before


def test_a_workbook_that_is_open_or_changed_meanwhile_is_left_alone(demo: Path, tmp_path: Path) -> None:
    list_path = list_of(tmp_path, "Stock no.,Price", "1101,1", "1102,no")
    made = plan(read_lot(demo), read_list(list_path))
    lock = demo.with_name(f".~lock.{demo.name}#")
    lock.write_text("")
    before = demo.read_bytes()
    with pytest.raises(FileError, match="open in LibreOffice"):
        carry_out(made, list_path)
    lock.unlink()
    undone = demo.with_name("other.xlsx")
    take_in(Path(shutil.copy(demo, undone)), list_of(tmp_path, "Stock no.,Price", "1103,7"))
    shutil.copy(undone, demo)
    changed = demo.read_bytes()
    with pytest.raises(TakeInError, match="was changed since it was read"):
        carry_out(made, list_path)
    assert demo.read_bytes() == changed != before
    assert backups(demo) == []
    assert not list(tmp_path.glob("*refused*"))


def test_only_the_cells_named_change_in_the_sheet(demo: Path, tmp_path: Path) -> None:
    before = cells(demo)
    made, _ = take_in(demo, list_of(tmp_path, "Stock no.,Price", "1101,1"))
    after = cells(demo)
    place = f"{made.lot.columns['Price']}5"
    assert {name for name in before | after if before.get(name) != after.get(name)} == {place}


def cells(path: Path) -> dict[str, str]:
    return {m[1]: m[0] for m in re.finditer(r'<c r="([A-Z]+[0-9]+)".*?(?:</c>|/>)', sheet_xml(path))}


# Formulas and figures of a person's own


def with_own_formulas(path: Path) -> None:
    """A sheet that sums the lot's prices, a sheet that reads that one, and a result that a person typed over."""
    book = openpyxl.load_workbook(path)
    page = book.create_sheet("Sums")
    page["A1"], page["A2"] = "=SUM(Lot[Price])", "=A1*2"
    book["Lot"]["M6"] = 12_345
    book.save(path)


def test_a_persons_own_formulas_show_no_old_figures(demo: Path, tmp_path: Path, office: Office) -> None:
    prices = [row["Price"] for row in demo_yard.trailers() if row["Price"] is not None]
    with_own_formulas(demo)
    office.save_as(demo, tmp_path / "saved.xlsx")  # stores a result beside each formula
    path = tmp_path / "saved.xlsx"
    sums = CalamineWorkbook.from_path(path).get_sheet_by_name("Sums").to_python()
    assert sums == [[sum(prices)], [2 * sum(prices)]]
    _, done = take_in(path, list_of(tmp_path, "Stock no.,Price", "1101,105950", "1102,7250"))
    assert done.fresh is not None
    # 1101 cost 5,950: 100,000 more
    stored = openpyxl.load_workbook(path, data_only=True)["Sums"]
    assert [stored["A1"].value, stored["A2"].value] == [sum(prices) + 100_000, 2 * sum(prices) + 200_000]
    now = office.edit_and_read(path, {}, ["Sums!A1", "Sums!A2", "Lot!M6"])
    assert now == [sum(prices) + 100_000, 2 * sum(prices) + 200_000, 12_345]
    assert done.fresh.own_formulas == 0


def test_a_result_that_was_typed_over_is_left_alone_and_named(demo: Path, tmp_path: Path) -> None:
    with_own_formulas(demo)
    _, done = take_in(demo, list_of(tmp_path, "Stock no.,GVWR", "1102,10000"))
    assert done.fresh is not None
    assert done.fresh.left_alone == {"Lot!M6": "Payload (lb) is typed over"}
    stored = openpyxl.load_workbook(demo, data_only=True)["Lot"]
    assert stored["M6"].value == 12_345
    assert stored["O6"].value is None  # other results of that row may read the typed figure: left to the program
    assert openpyxl.load_workbook(demo)["Lot"]["O6"].data_type == "f"


def test_a_formula_in_an_input_is_named_before_a_list_replaces_it(
    demo: Path, tmp_path: Path, office: Office, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "saved.xlsx"
    office.edit_and_read(demo, {"Lot!K6": "=7000+250", "Lot!K7": "=100*2"}, [], path)
    assert read_lot(path).formulas == {(6, "Price"), (7, "Price")}
    list_path = list_of(tmp_path, "Stock no.,Price", "1102,7251", "1103,200")
    assert main(["take-in", str(path), str(list_path), "--yes"]) == 0
    assert "Price 7250 (a formula of yours) -> 7251" in capsys.readouterr().out
    sheet = openpyxl.load_workbook(path)["Lot"]
    assert (sheet["K6"].value, sheet["K7"].value) == (7251, "=100*2")


def test_formulas_that_are_missing_are_put_back(demo: Path, office: Office) -> None:
    place = "M7"
    wanted = openpyxl.load_workbook(demo)["Lot"][place].value
    edit(Path(shutil.copy(demo, demo.with_name("whole.xlsx"))), demo, {"Lot": {place: None}})
    store_fresh_results(demo)
    assert openpyxl.load_workbook(demo)["Lot"][place].value == wanted
    assert fresh_results(read_lot(demo)).count == 0
    assert_engines_agree(demo, office)


def test_how_a_program_writes_a_formula_makes_no_difference() -> None:
    assert plain_form('IF(A1>1E+12, "a B",Lot[[#This Row],[Price 1.0]])') == plain_form(
        'if(A1>1000000000000,"a B",Lot[[#This Row],[Price 1.0]])'
    )
    assert plain_form("A1+1") != plain_form("A1+2")
    assert plain_form("A1+1") != plain_form("A2+1")


def test_names_are_put_right_after_libreoffice(demo: Path, tmp_path: Path, office: Office) -> None:
    path = office.save_as(demo, tmp_path / "saved.xlsx")
    assert "_xlfn.lambda" in defined_names(path)["LOT_PAYLOAD"]  # as LibreOffice writes it
    store_fresh_results(path)
    assert defined_names(path)["LOT_PAYLOAD"] == name_formula(BY_NAME["LOT_PAYLOAD"])
    fresh, backup = store_fresh_results(path)
    assert (fresh.count, backup) == (0, None)


# Other engines


def assert_engines_agree(path: Path, office: Office) -> None:
    """LibreOffice and IronCalc calculate every result cell anew and come to what is stored."""
    lot = read_lot(path)
    stored = openpyxl.load_workbook(path, data_only=True)["Lot"]
    grid = office.recalculate(path)["Lot"]
    model = ironcalc.load_from_xlsx(str(path), "en", "UTC", "en")
    model.evaluate()
    wanted = {US.heading(column.heading) for column in results()}
    compared = 0
    for heading, letter in lot.columns.items():
        place = column_index_from_string(letter)
        for number in range(lot.table.first_row, lot.table.last_row + 1) if heading in wanted else ():
            held = stored.cell(number, place).value
            for value in (grid[number - 1][place - 1], model.get_cell_value(1, number, place)):
                assert (value or "") == (held or "") or value == pytest.approx(held, rel=1e-9), (heading, number)
                compared += 1
    assert compared == 2 * len(wanted) * (lot.table.last_row - lot.table.first_row + 1)


def test_libreoffice_and_ironcalc_calculate_the_stored_figures(demo: Path, tmp_path: Path, office: Office) -> None:
    for source, decimal in (("new-truckload", None), ("price-list", None), ("scale-tickets", ",")):
        list_path = Path(shutil.copy(demo_yard.LISTS / f"{source}.csv", tmp_path))
        made = plan(read_lot(demo), read_list(list_path, decimal=decimal))  # type: ignore[arg-type]
        carry_out(made, list_path)
    _, done = take_in(demo, list_of(tmp_path, "Stock no.,GVWR", *(f"M{n},{n}000" for n in range(1, 6))))
    assert done.fresh is not None
    assert read_lot(demo).table.last_row == 37
    assert_engines_agree(demo, office)


def test_a_copy_holds_the_same_figures_and_no_formula(demo: Path, tmp_path: Path, office: Office) -> None:
    with_own_formulas(demo)
    path = office.save_as(demo, tmp_path / "saved.xlsx")
    out = tmp_path / "figures.xlsx"
    count = copy_values(path, out)
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(out) as new:
        sheets = [name for name in old.namelist() if name.startswith("xl/worksheets/sheet")]
        assert sum(len(re.findall(rb"<f[ >/]", old.read(name))) for name in sheets) == count > 1000
        assert not [name for name in new.namelist() if re.search(rb"<f[ >/]|calculatedColumnFormula", new.read(name))]
    assert defined_names(out).keys() == {n for n in defined_names(path) if not n.startswith("LOT_")}
    for sheet in ("Start", "Lot", "Options", "Sums"):
        books = [CalamineWorkbook.from_path(one).get_sheet_by_name(sheet).to_python() for one in (path, out)]
        assert books[0] == books[1]
    grids = [office.recalculate(one) for one in (path, out)]
    for rows in zip(grids[0]["Lot"], grids[1]["Lot"], strict=True):
        for values in zip(*rows, strict=True):
            # LibreOffice writes 15 digits of what it calculated
            assert values[0] == values[1] or values[0] == pytest.approx(values[1], rel=1e-12)
    with pytest.raises(ValueError, match="exists already"):
        copy_values(path, out)


def test_the_smallest_change_is_a_change_and_rounding_is_none(small: LotSheet, tmp_path: Path) -> None:
    lines = ("Stock no.,Price,GVWR", "A1,5950.01,7000", "1102,1,7000.0000001")
    assert [row.status for row in planned(small, tmp_path, *lines).rows] == ["changed", "changed"]
    # 15 digits of 7,000: what a program's saving may round away
    assert planned(small, tmp_path, "Stock no.,GVWR", "A1,7000.000000000001").rows[0].status == "same"


def test_an_empty_table_a_totals_row_and_what_stands_below(tmp_path: Path) -> None:
    path = write_small_lot(tmp_path / "lot.xlsx", HEADINGS, [{}])
    take_in(path, list_of(tmp_path, "Stock no.,Price", "N1,1", "N2,2"))
    assert [row.values["Stock no."] for row in read_lot(path).rows] == ["N1", "N2"]
    book = openpyxl.load_workbook(path)
    book["Yard"]["C6"] = "a note of mine"  # right below the table
    book.save(path)
    before = path.read_bytes()
    with pytest.raises(PackageError, match=r"cannot grow to row 6: Yard!C6 is not empty"):
        take_in(path, list_of(tmp_path, "Stock no.,Price", "N3,1", "N4,cheap"))
    assert path.read_bytes() == before
    assert not list(tmp_path.glob("*refused*"))


# The commands


def test_dry_run_writes_nothing(demo: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = demo.read_bytes()
    list_path = list_of(tmp_path, "Stock no.,Price", "1101,1", "1102,no", "N1,2")
    files = sorted(tmp_path.iterdir())
    assert main(["take-in", str(demo), str(list_path), "--dry-run"]) == 1
    shown = capsys.readouterr().out
    for words in ("~ changed", "+ new", "✗ refused", "Price 5950 -> 1", "3 rows: 1 new, 1 changed, 0 same, 1 refused"):
        assert words in shown
    assert demo.read_bytes() == before
    assert sorted(tmp_path.iterdir()) == files


def test_take_in_and_undo(demo: Path, tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    before = demo.read_bytes()
    list_path = list_of(tmp_path, "Stock no.,Price", "1101,1")
    assert main(["take-in", str(demo), str(list_path)]) == 2  # nobody there to be asked
    assert demo.read_bytes() == before
    assert "say --yes" in capfd.readouterr().err
    assert main(["take-in", str(demo), str(list_path), "--yes"]) == 0
    shown, complaints = capfd.readouterr()
    assert complaints == ""
    assert "0 new and 1 changed trailers written" in shown
    assert "backups" in shown
    assert read_lot(demo).rows[0].values["Price"] == 1
    assert main(["undo", str(demo)]) == 0
    assert demo.read_bytes() == before
    assert main(["undo", str(demo)]) == 2


def test_the_workbooks_own_sheet_incoming(demo: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["take-in", str(demo), "--dry-run"]) == 2  # nothing pasted yet
    assert "sheet Incoming" in capsys.readouterr().err
    book = openpyxl.load_workbook(demo)
    page = book["Incoming"]
    for row in ((), ("Stk #", "Price"), ("1101", 1), ("1102", "no")):
        page.append(row)
    book.save(demo)
    assert main(["take-in", str(demo), "--yes"]) == 1
    assert read_lot(demo).rows[0].values["Price"] == 1
    refused = openpyxl.load_workbook(demo.with_name("demo refused.xlsx"))["Incoming"]
    assert [cell.value for cell in refused[2]][:2] == ["1102", "no"]
    assert main(["take-in", str(demo), "--dry-run", "--sheet", "Nowhere"]) == 2
    assert "has no sheet Nowhere" in capsys.readouterr().err


def test_results_and_copy(demo: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["results", str(demo)]) == 0
    assert "nothing was written" in capsys.readouterr().out
    assert main(["copy", str(demo), str(tmp_path / "figures.xlsx")]) == 0
    assert main(["copy", str(demo), str(tmp_path / "figures.xlsx")]) == 2
    book = openpyxl.load_workbook(demo)
    book.save(demo)  # openpyxl drops every stored result
    assert main(["results", str(demo)]) == 0
    assert "results stored" in capsys.readouterr().out
    assert fresh_results(read_lot(demo)).count == 0
