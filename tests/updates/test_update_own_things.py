"""What a person put onto a sheet of ours, or moved, renamed and shifted, before the lot was brought up to date."""

from __future__ import annotations

import re
import zipfile
from collections.abc import Mapping
from pathlib import Path

import openpyxl
import pytest
from openpyxl.utils import range_boundaries

from tarelot.addin.command_line.main import main
from tarelot.workbook_templates.ooxml.package import Formula, edit
from tarelot.workbook_templates.sheets import demo_yard
from tests.engines.office import Office
from tests.engines.stored_results import differing_in_libreoffice, same
from tests.lot.small_lot import list_of
from tests.updates.updated_lots import KEPT, LOTS, at, pairs, updated, written_new

OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
NOTE = (
    '<comments xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">'
    '<authors><author>office</author></authors><commentList><comment ref="C4" authorId="0"><text>'
    "<t>Ask Dana first</t></text></comment></commentList></comments>"
)
BOX = (
    '<xml xmlns:v="urn:schemas-microsoft-com:vml" xmlns:x="urn:schemas-microsoft-com:office:excel">'
    '<v:shape id="_x0000_s1025" type="#_x0000_t202" style="visibility:hidden"><x:ClientData ObjectType="Note">'
    "<x:Row>3</x:Row><x:Column>2</x:Column></x:ClientData></v:shape></xml>"
)


def rewritten(path: Path, target: Path, changed: Mapping[str, bytes]) -> Path:
    """A copy of a workbook with some members changed or added."""
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            new.writestr(name, changed.get(name, old.read(name)))
        for name in changed.keys() - set(old.namelist()):
            new.writestr(name, changed[name])
    return target


def member(path: Path, name: str) -> bytes:
    with zipfile.ZipFile(path) as package:
        return package.read(name)


def with_own_chart_and_note(target: Path) -> Path:
    """The plain lot of format 1 with a chart of prices on What-if, beside ours, and a note on Match's choice."""
    demo, customized = LOTS / "tarelot-demo.xlsx", LOTS / "demo-customized.xlsx"
    drawing = member(demo, "xl/drawings/drawing1.xml")
    own = re.search(rb"<oneCellAnchor>.*?</oneCellAnchor>", drawing)
    assert own is not None
    anchor = own[0].replace(b'r:id="rId1"', b'r:id="rId7"').replace(b'name="Chart 1"', b'name="Our prices"')
    types = member(demo, "[Content_Types].xml")
    chart_type = "application/vnd.openxmlformats-officedocument.drawingml.chart+xml"
    note_type = "application/vnd.openxmlformats-officedocument.spreadsheetml.comments+xml"
    added = f'<Override PartName="/xl/charts/chart9.xml" ContentType="{chart_type}"/>'
    added += f'<Override PartName="/xl/comments9.xml" ContentType="{note_type}"/>'
    link = f'<Relationship Id="{{}}" Type="{OFFICE}/{{}}" Target="/xl/{{}}"/>'
    links = {
        "xl/drawings/_rels/drawing1.xml.rels": link.format("rId7", "chart", "charts/chart9.xml"),
        "xl/worksheets/_rels/sheet4.xml.rels": link.format("n1", "comments", "comments9.xml")
        + link.format("n2", "vmlDrawing", "drawings/vmlDrawing9.vml"),
    }
    match = member(demo, "xl/worksheets/sheet4.xml")
    tag = f'<legacyDrawing xmlns:r="{OFFICE}" r:id="n2"/>'.encode()
    changed = {
        "xl/drawings/drawing1.xml": drawing.replace(b"</wsDr>", anchor + b"</wsDr>"),
        "xl/charts/chart9.xml": member(customized, "xl/charts/chart3.xml").replace(b"'Our month'!", b"Lot!"),
        "xl/comments9.xml": NOTE.encode(),
        "xl/drawings/vmlDrawing9.vml": BOX.encode(),
        "xl/worksheets/sheet4.xml": match.replace(b"<tableParts", tag + b"<tableParts"),
        "[Content_Types].xml": types.replace(b"</Types>", added.encode() + b"</Types>"),
    }
    for name, text in links.items():
        changed[name] = member(demo, name).replace(b"</Relationships>", text.encode() + b"</Relationships>")
    return rewritten(demo, target, changed)


def test_an_own_chart_and_note_on_sheets_of_ours_stay(tmp_path: Path, office: Office) -> None:
    old = with_own_chart_and_note(tmp_path / "old.xlsx")
    assert len(openpyxl.load_workbook(old)["What-if"]._charts) == 2
    new = updated(old, tmp_path / "lot.xlsx")
    book = openpyxl.load_workbook(new)
    assert [len(book[page]._charts) for page in ("What-if", "Card")] == [2, 1]
    assert book["Match"]["C4"].comment.text == "Ask Dana first"
    assert member(new, "xl/charts/chart9.xml") == member(old, "xl/charts/chart9.xml")
    with zipfile.ZipFile(new) as package:
        charts = [package.read(name) for name in package.namelist() if name.startswith("xl/charts/")]
    assert len(charts) == 4  # of Start, What-if and Card, and the own one
    today = [part for part in charts if b"Drive-on" in part]
    assert len(today) == 2
    saved = office.save_as(new, tmp_path / "saved.xlsx")
    assert [len(openpyxl.load_workbook(saved)[page]._charts) for page in ("What-if", "Card")] == [2, 1]


def test_a_moved_table_and_a_renamed_sheet_come_out_the_same(tmp_path: Path, office: Office) -> None:
    """A column put before the first, two rows above, and another name for the sheet, all done by LibreOffice."""
    demo = LOTS / "tarelot-demo.xlsx"
    moved = office.moved_sheet(demo, "Lot", "Our trailers", columns=1, rows=2, target=tmp_path / "moved.xlsx")
    page = openpyxl.load_workbook(moved)["Our trailers"]
    assert page.tables["Lot"].ref.startswith("B6:")
    lot = updated(moved, tmp_path / "lot.xlsx")
    new = written_new(demo, KEPT["tarelot-demo"], tmp_path / "new.xlsx")
    ours, theirs = office.recalculate(new), office.recalculate(lot)
    theirs["Lot"] = theirs.pop("Our trailers")
    different = []
    for sheet, there, (row, column) in pairs(new, lot):
        here = (row + 2, column) if sheet == "Lot" else (row, column)
        wanted, got = at(ours, sheet, *there), at(theirs, sheet, *here)
        if not same(wanted, got):
            different.append((sheet, here, wanted, got))
    assert different == []
    rules = openpyxl.load_workbook(lot)["What-if"].data_validations.dataValidation
    (choice,) = (rule for rule in rules if str(rule.sqref) == "B5")
    assert choice.formula1 == "'Our trailers'!$B$7:$B$2000"


def test_an_own_formula_follows_a_heading_that_is_called_otherwise(tmp_path: Path) -> None:
    """On a sheet of one's own and in a name."""
    book = openpyxl.load_workbook(LOTS / "tarelot-lot-us.xlsx")
    page = book.create_sheet("Ours")
    page["A1"] = "=SUM(Lot[Load centre from (ft)])+MAX(Machines[Front contact to centre (in)])"
    page["A2"] = "=SUM(Lot[GVWR (lb)])"
    name = openpyxl.workbook.defined_name.DefinedName("Centres", attr_text="Lot[Load centre to (ft)]")
    book.defined_names["Centres"] = name
    old = tmp_path / "old.xlsx"
    book.save(old)
    after = openpyxl.load_workbook(updated(old, tmp_path / "lot.xlsx"))
    assert after["Ours"]["A1"].value == "=SUM(Lot[Load center from (ft)])+MAX(Machines[Front contact to center (in)])"
    assert after["Ours"]["A2"].value == "=SUM(Lot[GVWR (lb)])"
    assert after.defined_names["Centres"].attr_text == "Lot[Load center to (ft)]"


@pytest.mark.parametrize("source", ["today", "older"])
def test_import_lets_match_grow_with_the_lot(source: str, demo_workbook: Path, tmp_path: Path, office: Office) -> None:
    lot = tmp_path / "lot.xlsx"
    lot.write_bytes((demo_workbook if source == "today" else LOTS / "tarelot-demo.xlsx").read_bytes())
    columns = "Stock no.,Hitch,GVWR (lb),Base weight (lb),Axles,Axle rating (lb)"
    rows = [f"G{number},pintle,14000,4000,2,7000" for number in range(60)]
    assert main(["import", str(lot), str(list_of(tmp_path, columns, *rows)), "--yes"]) == 0
    book = openpyxl.load_workbook(lot)
    ends = {page: range_boundaries(book[page].tables[page].ref) for page in ("Lot", "Match")}
    trailers, matched = (ends[page][3] - ends[page][1] for page in ("Lot", "Match"))
    assert trailers == 84
    assert matched == 84 + 20
    assert book["Match"].print_area.endswith(str(ends["Match"][3]))
    grid = office.recalculate(lot)["Match"]
    shown = {str(row[1]): row[4] for row in grid[11:]}
    assert {f"G{number}" for number in range(60)} <= shown.keys()
    assert {bool(shown[f"G{number}"]) for number in range(60)} == {True}


def with_own_formulas(old: Path, target: Path) -> Path:
    """A lot with formulas of a person's own on sheets of ours: in free cells, and over one of ours on Start."""
    book = openpyxl.load_workbook(old)
    for place, text in OWN_FORMULAS.items():
        sheet, cell = place.split("!")
        book[sheet][cell] = text
    book.save(target)
    return target


OWN_FORMULAS = {
    "Start!H30": "=SUM(Lot[GVWR (lb)])/1000",
    "Match!A3": "=COUNTA(Lot[Stock no.])*2",
    "What-if!N40": '="Twice: "&H40*2',
    "Start!B5": "=41+1",
}


def test_own_formulas_on_a_sheet_that_is_written_new_are_carried_and_named(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], office: Office
) -> None:
    old = with_own_formulas(LOTS / "tarelot-demo.xlsx", tmp_path / "old.xlsx")
    assert main(["update", str(old), "--yes"]) == 0
    said = " ".join(capsys.readouterr().out.split())
    after = openpyxl.load_workbook(old)
    found = {
        (sheet, text): [cell.coordinate for row in after[sheet].iter_rows() for cell in row if cell.value == text]
        for sheet, text in ((place.split("!")[0], text) for place, text in OWN_FORMULAS.items())
    }
    assert all(len(places) == 1 for places in found.values()), found
    for (sheet, _), (place,) in found.items():
        assert f"Look at your formula in {sheet}!{place}: its sheet is written new" in said
    (moved,) = found["Start", "=41+1"]
    assert moved != "B5"
    assert f"Start: your formula in B5 moves to {moved}: =41+1" in said
    grid = office.recalculate(old)["Start"]
    row, column = openpyxl.utils.cell.coordinate_to_tuple(moved)
    assert grid[row - 1][column - 1] == 42
    assert main(["update", str(old), "--yes"]) == 0
    assert "already up to date" in capsys.readouterr().out


def test_an_own_formula_on_a_broken_sheet_of_todays_format_is_carried(
    demo_workbook: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """All formulas of the Card lost what they refer to, but the person's own."""
    book = openpyxl.load_workbook(demo_workbook)
    for row in book["Card"].iter_rows():
        for cell in row:
            if cell.data_type == "f":
                cell.value = "=#REF!"
    book["Card"]["N3"] = "=1+1"
    book["Card"]["J3"] = "on request"
    lot = tmp_path / "lot.xlsx"
    book.save(lot)
    assert main(["update", str(lot), "--yes"]) == 0
    assert "Card: formulas broken, written new" in " ".join(capsys.readouterr().out.split())
    after = openpyxl.load_workbook(lot)["Card"]
    assert (after["N3"].value, after["J3"].value) == ("=1+1", "on request")
    assert not any(cell.value == "=#REF!" for row in after.iter_rows() for cell in row)


def test_the_result_of_an_own_formula_beside_one_that_is_put_back_stays(demo_workbook: Path, tmp_path: Path) -> None:
    """Of the lot, What-if's verdict alone was typed over; the sum beside it was calculated by a program."""
    own = {"What-if": {"N41": Formula("40+2", 42), "B8": "YES"}}
    edit(demo_workbook, tmp_path / "old.xlsx", own)
    new = updated(tmp_path / "old.xlsx", tmp_path / "lot.xlsx")
    formulas, values = (openpyxl.load_workbook(new, data_only=only)["What-if"] for only in (False, True))
    assert (formulas["N41"].value, values["N41"].value) == ("=40+2", 42)
    assert formulas["B8"].data_type == "f"


def test_a_yards_name_stays_and_words_of_an_older_lot_do_not_become_it(demo_workbook: Path, tmp_path: Path) -> None:
    """Start of today's format broken and written new; the same cell of an older lot holds a note."""
    book = openpyxl.load_workbook(demo_workbook)
    start = book["Start"]
    (label,) = (cell for row in start.iter_rows() for cell in row if cell.value == "Yard's name")
    place = label.offset(0, 1).coordinate
    for row in start.iter_rows():
        for cell in row:
            if cell.data_type == "f":
                cell.value = "=#REF!"
    start[place] = "Hollow Ridge Trailers"
    today = tmp_path / "today.xlsx"
    book.save(today)
    assert main(["update", str(today), "--yes"]) == 0
    assert openpyxl.load_workbook(today)["Start"][place].value == "Hollow Ridge Trailers"

    book = openpyxl.load_workbook(LOTS / "tarelot-lot-us.xlsx")
    book["Start"][place] = "Call Dana about the fence"
    older = tmp_path / "older.xlsx"
    book.save(older)
    after = openpyxl.load_workbook(updated(older, tmp_path / "lot.xlsx"))["Start"]
    assert after[place].value is None
    kept = [cell.value for cell in after[place[0]] if cell.value is not None]
    assert [one for one in kept if not str(one).endswith("›")] == ["Call Dana about the fence"]  # but for our links


def test_what_match_shows_and_its_order_stay_where_it_grows(demo_workbook: Path, tmp_path: Path) -> None:
    """Match had fewer rows than the Lot and is written new."""
    book = openpyxl.load_workbook(demo_workbook)
    book["Match"]["C6"], book["Match"]["C7"], book["Trailer"]["B4"] = "YES", "lowest price", "1105"
    table = book["Match"].tables["Match"]
    table.ref = table.ref.replace(str(range_boundaries(table.ref)[3]), "20")
    lot = tmp_path / "lot.xlsx"
    book.save(lot)
    after = openpyxl.load_workbook(updated(lot, tmp_path / "new.xlsx"))
    assert [after["Match"][cell].value for cell in ("C6", "C7")] == ["YES", "lowest price"]
    assert after["Trailer"]["B4"].value == "1105"


def test_the_trailers_chosen_on_compare_stay_where_it_is_written_new(
    demo_workbook: Path, tmp_path: Path, office: Office
) -> None:
    """Its formulas lost what they read. A price out of ``demo/lot.csv``: 25,300 of 1109 less 5,950 of 1101."""
    book = openpyxl.load_workbook(demo_workbook)
    page = book["Compare"]
    for row in page.iter_rows():
        for cell in row:
            if cell.data_type == "f":
                cell.value = "=#REF!"
    chosen = ["1109", 1101, None, "1104"]
    for cell, stock in zip(("B7", "C7", "D7", "E7"), chosen, strict=True):
        page[cell] = stock
    page["B40"] = "Dana likes the second"
    lot = tmp_path / "lot.xlsx"
    book.save(lot)
    new = updated(lot, tmp_path / "new.xlsx")
    after = openpyxl.load_workbook(new, data_only=True)["Compare"]
    assert [after[cell].value for cell in ("B7", "C7", "D7", "E7")] == chosen
    assert after["B40"].value == "Dana likes the second"
    assert (after["D8"].value, after["F11"].value) == ("none chosen", "lowest price: 1101, 19,350 less than 1109")
    assert differing_in_libreoffice(new, "Compare", office) == []


def test_an_older_lot_gets_the_compare_sheet(tmp_path: Path, office: Office) -> None:
    """The demo of format 1; Match's machine and truck are those that it had."""
    new = updated(LOTS / "tarelot-demo.xlsx", tmp_path / "new.xlsx")
    names = openpyxl.load_workbook(new, read_only=True).sheetnames
    assert names[names.index("Match") + 1] == "Compare"
    found = office.edit_and_read(
        new, {"Compare!C7": "1109"}, ["Compare!B3", "Compare!B8", "Compare!C8", "Compare!C9", "Compare!C12"]
    )
    assert str(found[0]).startswith("as on Match: Backhoe 15, ")
    assert found[1:4] == ["none chosen", "", "Tindrel Hauler 30"]
    on_match = office.recalculate(new)["Match"]
    assert found[4] == next(row[4] for row in on_match if str(row[1]) == "1109")


def test_a_lot_that_was_an_ods_for_a_while_is_brought_up_to_date(
    demo_workbook: Path, tmp_path: Path, office: Office, capsys: pytest.CaptureFixture[str]
) -> None:
    """Through ODS LibreOffice writes every formula that reads a table in another way; a person's own one is kept."""
    book = openpyxl.load_workbook(demo_workbook)
    book["Start"]["B100"] = "=SUM(Lot[Price])/2"
    own = tmp_path / "own.xlsx"
    book.save(own)
    there = office.save_as(own, tmp_path / "lot.ods")
    lot = office.save_as(there, tmp_path / "lot.xlsx")
    assert main(["update", str(lot), "--yes"]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "Look at your formula in Start!B100" in said
    assert said.count("Look at your formula") == 1
    assert main(["update", str(lot), "--dry-run"]) == 0
    assert "already up to date" in capsys.readouterr().out
    grid = office.recalculate(lot)["Start"]
    assert grid[99][1] == sum(float(str(row["Price"])) for row in demo_yard.trailers() if row["Price"]) / 2


@pytest.mark.parametrize(
    "sheet", ["Start", "What-if", "Match", "Compare", "Card", "Quote", "Limits", "Trailer", "Drive-on"]
)
def test_a_sheet_of_ours_under_another_name_is_named(
    demo_workbook: Path, tmp_path: Path, office: Office, capsys: pytest.CaptureFixture[str], sheet: str
) -> None:
    lot = office.moved_sheet(demo_workbook, sheet, "Ours", columns=0, rows=0, target=tmp_path / "lot.xlsx")
    before = lot.read_bytes()
    assert main(["update", str(lot), "--yes"]) == 2
    said = " ".join(capsys.readouterr().err.split())
    assert f"the sheet {sheet} is called Ours here: give it its name back first. Nothing was changed." in said
    assert lot.read_bytes() == before


@pytest.mark.parametrize("again", [False, True])
def test_what_hangs_on_typed_choices_is_left_to_the_programs_and_never_stored_wrong(
    again: bool, tmp_path: Path, office: Office
) -> None:
    """Match shows one verdict, Trailer another trailer, the Card a date; an older lot, and one that is mended."""
    demo = LOTS / "../2/tarelot-demo.xlsx"
    source = updated(demo, tmp_path / "first.xlsx") if again else demo
    book = openpyxl.load_workbook(source)
    book["Match"]["C6"], book["Trailer"]["B4"] = "YES", "1105"
    book["Card"]["J2"], book["Card"]["J3"] = "this week", 12_345
    book["Match"]["F12"] = 1  # typed over, so that there is something to mend
    old = tmp_path / "old.xlsx"
    book.save(old)
    lot = updated(old, tmp_path / "lot.xlsx")
    held, calculated = openpyxl.load_workbook(lot, data_only=True), office.recalculate(lot)
    for name in ("Match", "Trailer", "Card"):
        formulas = (cell for row in openpyxl.load_workbook(lot)[name] for cell in row if cell.data_type == "f")
        for cell in formulas:
            stored = held[name][cell.coordinate].value
            shown = at(calculated, name, cell.row, cell.column)
            assert stored is None or same(stored, shown), (name, cell.coordinate, stored, shown)
    assert {row[4] for row in calculated["Match"][11:40]} <= {"YES", ""}
    assert "12,345" in {str(cell).lstrip("$") for row in calculated["Card"] for cell in row}
    assert "this week" in calculated["Card"][0]
