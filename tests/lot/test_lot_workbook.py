"""The lot workbook: stored results against two independent engines and the add-in, and the file as a person gets it."""

from __future__ import annotations

import json
import zipfile
from collections.abc import Iterator, Sequence
from itertools import product
from pathlib import Path

import openpyxl
import pandas as pd
import pytest
from openpyxl.formula.translate import Translator
from openpyxl.utils import get_column_letter

from tarelot.calc.cells.boundary import ERROR_VALUES
from tarelot.workbook_templates import workbook
from tarelot.workbook_templates.basis.units import METRIC, US
from tarelot.workbook_templates.hauling.what_if import rows as what_if_rows
from tarelot.workbook_templates.lot import sheet as lot
from tarelot.workbook_templates.lot.columns import COLUMNS, check_headings, headings, inputs, results
from tarelot.workbook_templates.lot.reading import read_lot
from tarelot.workbook_templates.lot.review import review
from tarelot.workbook_templates.sheets import demo_yard, start
from tests.engines import ironcalc_model
from tests.engines.office import Office
from tests.engines.stored_results import same

SHEET_INDEX = {"Start": 0, "Lot": 1}
LAST_ROW = lot.FIRST_ROW + 24 + workbook.SPARE_ROWS - 1


def result_cells(last_row: int, first_row: int = lot.FIRST_ROW) -> Iterator[tuple[int, int, str]]:
    """Row, column and heading of the result cells of these rows of a Lot sheet."""
    order = headings(US)
    wanted = {US.heading(column.heading) for column in results()}
    for row in range(first_row, last_row + 1):
        for place, heading in enumerate(order, 1):
            if heading in wanted:
                yield row, place, heading


def stored_values(path: Path, last_row: int) -> dict[tuple[int, int], object]:
    sheet = openpyxl.load_workbook(path, data_only=True)["Lot"]
    return {(row, place): sheet.cell(row, place).value for row, place, _ in result_cells(last_row)}


def at(grid: Sequence[Sequence[object]], row: int, place: int) -> object:
    return grid[row - 1][place - 1] if row <= len(grid) and place <= len(grid[row - 1]) else ""


def assert_same_as_stored(
    path: Path, grid: Sequence[Sequence[object]], last_row: int = LAST_ROW, first_row: int = lot.FIRST_ROW
) -> None:
    stored = stored_values(path, last_row)
    assert sum(value not in (None, "") for value in stored.values()) > 500
    differing = [
        (row, heading, stored[row, place], at(grid, row, place))
        for row, place, heading in result_cells(last_row, first_row)
        if not same(stored[row, place], at(grid, row, place))
    ]
    assert differing == []


def test_stored_results_equal_libreoffice_without_the_add_in(demo_workbook: Path, office: Office) -> None:
    grids = office.recalculate(demo_workbook)
    assert_same_as_stored(demo_workbook, grids["Lot"])
    assert grids["Start"][start.FIGURES_ROW - 1][1:6] == [24.0, 18.0, 17.0, 10.0, 3.0]


def test_stored_results_equal_ironcalc(demo_workbook: Path) -> None:
    assert_same_as_stored(demo_workbook, in_ironcalc(demo_workbook, LAST_ROW))


def in_ironcalc(path: Path, last_row: int) -> Sequence[Sequence[object]]:
    model = ironcalc_model.load(path)
    model.evaluate()
    width = len(COLUMNS)
    return [
        [model.get_cell_value(SHEET_INDEX["Lot"], row, place) for place in range(1, width + 1)]
        for row in range(1, last_row + 1)
    ]


def test_a_fault_in_any_figure_shows_alike_in_every_engine(tmp_path: Path, office: Office) -> None:
    """A trailer with every figure, and of each figure what nobody should type: text, less than nothing, too much.

    Where a figure is missing LibreOffice alone is asked: IronCalc reads an empty cell that has a color as 0.
    """
    whole = {**demo_yard.trailers()[4], "Low pin share": 0.12, "High pin share": 0.2, "Hitch": "gooseneck"}
    figures = [US.heading(column.heading) for column in inputs() if column.kind in ("whole", "number", "share")]
    missing = {"Tail length (in)": 40, "Tail drop (in)": 8, "Stated payload (lb)": 12_000}
    faults = [*product((None,), figures), *product(("abc", -1, 2e12), figures)]
    rows = [
        {**whole, **missing, "Stock no.": f"F{number}", heading: fault}
        for number, (fault, heading) in enumerate(faults)
    ]
    path, last_row = tmp_path / "faults.xlsx", lot.FIRST_ROW + len(rows) - 1
    workbook.write(path, rows, demo_yard.options(), US)
    assert not set(ERROR_VALUES) & set(map(str, stored_values(path, last_row).values()))
    assert_same_as_stored(path, office.recalculate(path)["Lot"], last_row)
    assert_same_as_stored(path, in_ironcalc(path, last_row), last_row, lot.FIRST_ROW + len(figures))


def test_amounts_at_half_a_place_read_alike_in_every_engine(tmp_path: Path, office: Office) -> None:
    # Widths above 102 in by 0.05, 0.10, 0.15 ... in, and a coupler half a pound short: every other one lies half way.
    rows = [
        {"Stock no.": f"W{step}", "GVWR (lb)": 7_000 + step, "Coupler rating (lb)": 6_000.5, "Width (in)": width}
        for step, width in ((step, round(102 + step / 20, 2)) for step in range(1, 220))
    ]
    path, last_row = tmp_path / "halves.xlsx", lot.FIRST_ROW + len(rows) - 1
    workbook.write(path, rows, demo_yard.options(), US)
    for grid in (office.recalculate(path)["Lot"], in_ironcalc(path, last_row)):
        assert_same_as_stored(path, grid, last_row)


def test_cells_that_call_the_add_in_come_to_the_stored_results(tmp_path: Path, office_with_addin: Office) -> None:
    path = tmp_path / "by_name.xlsx"
    workbook.write_demo(path, by_name=True)
    sheet = openpyxl.load_workbook(path)["Lot"]
    payload = headings(US).index("Payload (lb)") + 1
    assert "LOT_PAYLOAD(" in sheet.cell(lot.FIRST_ROW, payload).value
    assert_same_as_stored(path, office_with_addin.recalculate(path)["Lot"])


def test_no_stored_result_is_an_error(demo_workbook: Path) -> None:
    # openpyxl reads a stored error as its text; calamine would read it as a blank.
    book = openpyxl.load_workbook(demo_workbook, data_only=True)
    values = [(cell.coordinate, cell.value) for sheet in book for row in sheet.iter_rows() for cell in row]
    assert len(values) > 2000
    assert [place for place in values if place[1] in ERROR_VALUES] == []


def test_a_program_that_shows_stored_values_shows_every_figure(demo_workbook: Path) -> None:
    # Stock no. 1105 by hand: scale 5,960; 20,000 - 5,960 = 14,040; 0.15 x 20,000 = 3,000; 20,000 - 2 x 10,000 = 0.
    frame = pd.read_excel(
        demo_workbook, sheet_name="Lot", header=lot.HEADING_ROW - 1, engine="calamine", dtype={"Stock no.": str}
    )
    row = frame.set_index("Stock no.").loc["1105"]
    assert row["Empty weight (lb)"] == 5960
    assert row["Payload (lb)"] == 14040
    assert row["Pin weight (lb)"] == 3000
    assert row["Sticker pin (lb)"] == 0
    assert row["Limited by"] == "GVWR"
    assert row["VIN check"] == "ok"


def test_where_a_load_of_the_safe_payload_may_stand(demo_workbook: Path) -> None:
    # Moments about the axles, by hand: x = E (P0 + L - P) / L behind the coupler, less what lies ahead of the deck.
    # 1105: 20 000 gross, of which 14,040 load; empty pin 760; 18.3 ft to the axles, 5.4 ft to the deck. A pin of 0.15 x
    # 20,000 = 3,000: 18.3 x (760 + 14,040 - 3,000) / 14,040 - 5.4 = 9.980 342 ft; of 2,000: 11.283 761 ft.
    # 1110, a gooseneck limited by its coupler's vertical: 24,800 gross, 17,260 load, empty pin 1,720, 26.2 ft, 8.4 ft.
    # 0.25 x 24,800 = 6,200: 26.2 x (1,720 + 17,260 - 6,200) / 17,260 - 8.4 = 10.999 537 ft; 0.15: 14.764 079 ft.
    frame = pd.read_excel(
        demo_workbook, sheet_name="Lot", header=lot.HEADING_ROW - 1, engine="calamine", dtype={"Stock no.": str}
    ).set_index("Stock no.")
    places = frame[["Load center from (ft)", "Load center to (ft)"]]
    assert list(places.loc["1105"]) == pytest.approx([9.980342, 11.283761], abs=1e-6)
    assert list(places.loc["1110"]) == pytest.approx([10.999537, 14.764079], abs=1e-6)
    # no distances: 1122 and 1123; a GVWR below the empty weight, so no payload: 1121
    filled = places[places.index.notna()]
    assert list(filled.index[filled.isna().any(axis=1)]) == ["1121", "1122", "1123"]


def test_what_if_allows_the_same_places_for_a_load_of_that_weight(demo_workbook: Path, office: Office) -> None:
    # A load of the safe payload on one point, so that the deck's ends take nothing from the band. The Lot keeps the
    # usual shares; What-if takes what the coupler bears, here the greatest usual share: 0.15 x 20,000 = 3,000 lb.
    order, row = headings(US), lot.FIRST_ROW + 4
    sheet = openpyxl.load_workbook(demo_workbook, data_only=True)["Lot"]
    stock, payload, *band = (
        sheet.cell(row, order.index(heading) + 1).value
        for heading in ("Stock no.", "Safe payload (lb)", "Load center from (ft)", "Load center to (ft)")
    )
    rows, book = what_if_rows.figure_rows(), openpyxl.load_workbook(demo_workbook)
    values = {cell.value: f"Drive-on!B{cell.row}" for cell in book["Drive-on"]["A"] if cell.value}
    typed = {"weight": payload, "wheelbase": 0.001, "to_center": 0.0005, "coupler_vertical": 3_000}
    cells = {f"What-if!H{rows[key]}": value for key, value in typed.items()}
    cells[f"What-if!{what_if_rows.CHOICE_CELLS[what_if_rows.TRAILER].replace('$', '')}"] = stock
    shown = office.edit_and_read(demo_workbook, cells, [values["center from"], values["center to"]])
    assert shown == [pytest.approx(band[0], abs=1e-9), pytest.approx(band[1], abs=1e-9)]


def test_the_demo_holds_what_it_is_to_show() -> None:
    from tarelot.workbook_templates.lot.results import lot_results

    rows = demo_yard.trailers()
    found = lot_results(rows, demo_yard.options(), US)
    kinds = {h for result in found for h in check_headings(US) if result[h] not in ("", "ok", 0)}
    assert len(rows) == 24
    assert len(kinds) >= 10
    assert sum(str(result["Conflicts"]).startswith("▲") for result in found) >= 10
    assert sum("check digit" in str(result["VIN check"]) for result in found) == 1
    assert {row["Hitch"] for row in rows} == {"pintle", "ball", "gooseneck"}
    assert {row["Axles"] for row in rows} >= {1, 2, 3}
    assert {row["Tires per axle"] for row in rows} >= {2, 4}
    assert sum(str(result["Not checked"]).count(";") > 6 for result in found) == 2
    assert all(str(row["VIN"]).startswith("0") for row in rows)
    assert any(row["Scale weight (lb)"] for row in rows)
    assert any(row["Options"] for row in rows)


def test_editing_an_input_makes_a_conflict_appear_and_go(demo_workbook: Path, office: Office) -> None:
    # Stock no. 1105 in row 9: 20,000 lb GVWR on two 10,000 lb axles, low share 0.10: 18,000 on the axles, fine.
    # With 8,000 lb axles 2 x 8,000 = 16,000, short by 2,000.
    order = headings(US)
    row = lot.FIRST_ROW + 4
    axle = f"{get_column_letter(order.index('Axle rating (lb)') + 1)}{row}"
    words = f"Lot!{get_column_letter(order.index('What conflicts') + 1)}{row}"
    reads = [words, f"Lot!{get_column_letter(order.index('Conflicts') + 1)}{row}"]
    seen = [office.edit_and_read(demo_workbook, {f"Lot!{axle}": rating}, reads) for rating in (8000.0, 10000.0)]
    assert seen[0] == ["Axles short by 2,000 lb", "▲ 1"]
    assert seen[1] == ["", "none"]


def test_a_workbook_saved_by_libreoffice_gives_the_same_review(
    demo_workbook: Path, tmp_path: Path, office: Office
) -> None:
    saved = office.save_as(demo_workbook, tmp_path / "saved.xlsx")
    before, after = review(read_lot(demo_workbook)), review(read_lot(saved))
    assert before.totals == {
        "trailers": 24,
        "with_conflicts": 17,
        "not_fully_checked": 10,
        "entries_to_look_at": 3,  # a mistyped GVWR, and a stock number that stands twice
    }
    assert before.as_data() == after.as_data()


def test_the_audit_finds_nothing_beyond_an_empty_workbook(demo_workbook: Path, tmp_path: Path) -> None:
    from openxml_audit import OpenXmlValidator

    empty = tmp_path / "empty.xlsx"
    openpyxl.Workbook().save(empty)
    known, found = (
        {error.description for error in OpenXmlValidator().validate(str(path)).errors}
        for path in (empty, demo_workbook)
    )
    assert found - known == set()


@pytest.mark.parametrize("units", [US, METRIC], ids=lambda units: units.name)
def test_formulas_are_short(units: object, tmp_path: Path) -> None:
    path = tmp_path / "new.xlsx"
    workbook.write_new(path, units)  # type: ignore[arg-type]
    book = openpyxl.load_workbook(path)
    for row in book["Lot"].iter_rows(min_row=lot.FIRST_ROW):
        lengths = [len(str(cell.value)) for cell in row if cell.data_type == "f"]
        assert len(lengths) == sum(1 for _ in results())
        assert max(lengths) <= 4_000
        assert sum(lengths) < 19_000


def test_the_tables_formula_equals_the_cells(demo_workbook: Path) -> None:
    sheet = openpyxl.load_workbook(demo_workbook)["Lot"]
    table = sheet.tables["Lot"]
    filled = 0
    for place, column in enumerate(table.tableColumns, 1):
        if column.calculatedColumnFormula is not None:
            filled += 1
            stated = column.calculatedColumnFormula.attr_text
            letter = get_column_letter(place)
            for row in range(lot.FIRST_ROW, LAST_ROW + 1):
                # by openpyxl's own tokenizer: the formula of the first row, moved down
                moved = Translator(f"={stated}", f"{letter}{lot.FIRST_ROW}").translate_formula(f"{letter}{row}")
                assert sheet.cell(row, place).value == moved
    assert filled == sum(1 for _ in results())


def test_entry_rules_refuse_and_end_with_the_table(demo_workbook: Path) -> None:
    rules = openpyxl.load_workbook(demo_workbook)["Lot"].data_validations.dataValidation
    assert len(rules) == sum(1 for column in COLUMNS) - sum(1 for _ in results())
    assert all(rule.showErrorMessage and rule.error and rule.errorStyle in (None, "stop") for rule in rules)
    assert {(area.min_row, area.max_row) for rule in rules for area in rule.sqref.ranges} == {(lot.FIRST_ROW, LAST_ROW)}


def test_a_metric_workbook_comes_to_the_same_trailers(tmp_path: Path, office: Office) -> None:
    # One trailer in kilograms: 9,000 kg GVWR less 2,600 kg = 6,400 kg; width 2,600 mm is 9.2 mm above 102 in (2,590.8).
    path = tmp_path / "metric.xlsx"
    row = {"Stock no.": "M1", "Hitch": "pintle", "GVWR (kg)": 9000, "Base weight (kg)": 2600, "Width (mm)": 2600}
    workbook.write(path, [row], [("Spare tire", 50)], METRIC)
    order = headings(METRIC)
    values = dict(zip(order, office.recalculate(path)["Lot"][lot.FIRST_ROW - 1], strict=True))
    assert values["Payload (kg)"] == 6400
    assert values["Width over (mm)"] == pytest.approx(9.2, abs=1e-9)
    assert values["What conflicts"] == "Width over by 9.2 mm"


def test_the_file_tells_programs_not_to_recalculate_and_has_no_marks_of_time(
    demo_workbook: Path, tmp_path: Path
) -> None:
    again = tmp_path / "again.xlsx"
    workbook.write_demo(again)
    assert again.read_bytes() == demo_workbook.read_bytes()
    with zipfile.ZipFile(demo_workbook) as package:
        book = package.read("xl/workbook.xml").decode()
    assert 'fullCalcOnLoad="1"' not in book
    assert f'calcId="{workbook.CALCULATION_ID}"' in book


def test_review_survives_what_a_person_does_to_the_sheet(demo_workbook: Path, tmp_path: Path) -> None:
    """Columns added and moved, rows sorted and deleted: the same trailers say the same."""
    book = openpyxl.load_workbook(demo_workbook)
    sheet = book["Lot"]
    rows = [[sheet.cell(row, place).value for place in range(1, len(COLUMNS) + 1)] for row in range(5, 29)]
    rows = [[*row[1:], row[0], "own"] for row in sorted(rows, key=lambda row: str(row[3]), reverse=True)][:20]
    names = [*headings(US)[1:], "Stock no.", "My column"]
    changed = openpyxl.Workbook()
    target = changed.active
    target.title = "Lot"
    target.append(names)
    for row in rows:
        target.append([None if str(value).startswith("=") else value for value in row])
    from openpyxl.worksheet.table import Table

    target.add_table(Table(displayName="Lot", ref=f"A1:{get_column_letter(len(names))}{len(rows) + 1}"))
    options = changed.create_sheet("Options")
    for row in book["Options"].iter_rows(min_row=4, values_only=True):
        options.append(row)
    options.add_table(Table(displayName="Options", ref=f"A1:B{options.max_row}"))
    path = tmp_path / "changed.xlsx"
    changed.save(path)
    said = {t.stock + t.trailer: (t.payload, t.pin_weight) for t in review(read_lot(demo_workbook)).trailers}
    found = review(read_lot(path)).trailers
    assert len(found) == 20
    assert all(said[t.stock + t.trailer] == (t.payload, t.pin_weight) for t in found)
    assert json.dumps(review(read_lot(path)).as_data())
