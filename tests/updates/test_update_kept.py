"""What bringing a lot up to date leaves alone, puts back and refuses; looked at with openpyxl and zipfile."""

from __future__ import annotations

import re
import shutil
import zipfile
from collections.abc import Callable
from pathlib import Path

import openpyxl
import pytest
from openpyxl.utils import range_boundaries

from tarelot.addin.command_line.main import main
from tarelot.workbook_templates.basis.format_number import FORMAT
from tests.engines.office import Office
from tests.lot.small_lot import list_of
from tests.updates.updated_lots import LOTS, updated

CUSTOMIZED = {
    "demo-customized": ("Our month", "xl/worksheets/sheet12.xml", ("Our cost", "Our margin")),
    "demo-customized-libreoffice": ("Sales board", "xl/worksheets/sheet3.xml", ("Where it stands",)),
}
OURS_CHANGED = re.compile(
    r"\[Content_Types\]\.xml|_rels/\.rels|docProps/custom\.xml|xl/workbook\.xml|xl/_rels/workbook\.xml\.rels|"
    r"xl/styles\.xml|xl/calcChain\.xml|xl/tables/.*|xl/comments.*|xl/drawings/(comments|vml)Drawing.*"
)
"""Parts that speak of the whole workbook, and those of our own tables and of the notes on their headings."""


def members(path: Path) -> dict[str, bytes]:
    with zipfile.ZipFile(path) as package:
        return {name: package.read(name) for name in package.namelist()}


@pytest.fixture(scope="module", params=list(CUSTOMIZED))
def customized(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> tuple[str, Path, Path]:
    old = LOTS / f"{request.param}.xlsx"
    return request.param, old, updated(old, tmp_path_factory.mktemp("kept") / "lot.xlsx")


@pytest.fixture
def again(customized: tuple[str, Path, Path], tmp_path: Path) -> Path:
    """A copy of the lot that was brought up to date."""
    return Path(shutil.copy(customized[2], tmp_path / "lot.xlsx"))


def test_own_parts_stay_byte_for_byte(customized: tuple[str, Path, Path]) -> None:
    name, old, new = customized
    before, after = members(old), members(new)
    book = openpyxl.load_workbook(old)
    links = re.findall(
        r'Id="([^"]+)"[^>]*Target="[^"]*?(sheet[0-9]+\.xml)"', before["xl/_rels/workbook.xml.rels"].decode()
    )
    links += [
        (b, a)
        for a, b in re.findall(
            r'Target="[^"]*?(sheet[0-9]+\.xml)"[^>]*Id="([^"]+)"', before["xl/_rels/workbook.xml.rels"].decode()
        )
    ]
    ids = dict(re.findall(r'<sheet [^>]*?name="([^"]+)"[^>]*?r:id="([^"]+)"', before["xl/workbook.xml"].decode()))
    own_page, own_part, _ = CUSTOMIZED[name]
    parts = {page: f"xl/worksheets/{dict(links)[ids[page]]}" for page in book.sheetnames}
    assert parts[own_page] == own_part
    ours = {part for page, part in parts.items() if page not in (own_page, "Incoming")}
    rewritten = {*ours, *(part.replace("worksheets/", "worksheets/_rels/") + ".rels" for part in ours)}
    may_change = {
        part for part in before if part in rewritten or OURS_CHANGED.fullmatch(part) or _of_our_chart(part, before)
    }
    kept = before.keys() - may_change
    assert own_part in kept
    assert {"xl/sharedStrings.xml", "xl/theme/theme1.xml", "docProps/core.xml"} <= kept
    assert [part for part in kept if before[part] != after.get(part)] == []
    charts = [part for part in kept if part.startswith("xl/charts/")]
    assert len(charts) == 1  # of the person's own sheet


def _of_our_chart(part: str, before: dict[str, bytes]) -> bool:
    """Whether a part is a chart of What-if or Card, or the drawing that shows one."""
    if part.startswith("xl/charts/"):
        return b"Drive-on" in before[part]
    if part.startswith("xl/drawings/"):
        links = part if part.endswith(".rels") else part.replace("drawings/", "drawings/_rels/") + ".rels"
        charts = re.findall(r"charts/(chart[0-9]+\.xml)", before.get(links, b"").decode())
        return any(b"Drive-on" in before[f"xl/charts/{chart}"] for chart in charts)
    return False


def test_rows_own_columns_and_looks_of_the_lot_are_kept(customized: tuple[str, Path, Path]) -> None:
    name, old, new = customized
    before, after = openpyxl.load_workbook(old)["Lot"], openpyxl.load_workbook(new)["Lot"]
    left, top, right, bottom = range_boundaries(before.tables["Lot"].ref)
    renamed = {
        "Load centre from (ft)": "Load center from (ft)",
        "Load centre to (ft)": "Load center to (ft)",
        "Vertical short (lb)": "Coupler vertical short (lb)",
        "Repeated": "Duplicate",
    }
    typed = 0
    for column in range(left, right + 1):
        heading = before.cell(top, column).value
        assert after.cell(top, column).value == renamed.get(heading, heading)  # each where it stood
        for row in range(1, bottom + 1):
            one, other = before.cell(row, column), after.cell(row, column)
            for look in ("font", "fill", "border", "alignment", "number_format", "protection"):
                assert repr(getattr(one, look)) == repr(getattr(other, look)), (look, one.coordinate)
            if row > top and one.data_type != "f" and not _is_ours(before, top, column, heading):
                assert one.value == other.value, one.coordinate
                typed += one.value is not None
        letter = before.cell(top, column).column_letter
        for look in ("width", "hidden", "outlineLevel"):
            one, other = (getattr(page.column_dimensions[letter], look) for page in (before, after))
            assert one == other or look == "outlineLevel", (letter, look)
    assert typed > 300
    for heading in CUSTOMIZED[name][2]:
        assert heading in [cell.value for cell in after[top]]
    assert {row: size.height for row, size in before.row_dimensions.items()} == {
        row: after.row_dimensions[row].height for row in before.row_dimensions
    }
    for look in ("freeze_panes", "print_title_rows"):
        assert getattr(before, look) == getattr(after, look)
    assert (before.page_setup.paperSize, before.oddHeader.left.text) == (
        after.page_setup.paperSize,
        after.oddHeader.left.text,
    )
    assert before.sheet_view.zoomScale == after.sheet_view.zoomScale


def _is_ours(page: object, top: int, column: int, heading: str) -> bool:
    """Whether a column's first row below the headings holds a formula: a result."""
    return page.cell(top + 1, column).data_type == "f"  # type: ignore[attr-defined]


def test_own_notes_and_highlights_are_kept(customized: tuple[str, Path, Path]) -> None:
    name, old, new = customized
    before, after = openpyxl.load_workbook(old), openpyxl.load_workbook(new)
    for title in ("Lot", "Machines", "Trucks"):
        notes = {c.coordinate: c.comment for row in before[title] for c in row if c.comment}
        kept = {c.coordinate: c.comment for row in after[title] for c in row if c.comment}
        own = {cell for cell, note in notes.items() if note.author != "Tarelot"}
        assert {cell: (notes[cell].text, notes[cell].author) for cell in own} == {
            cell: (kept[cell].text, kept[cell].author) for cell in own
        }
        assert len(own) == (2 if title == "Lot" else 0)
        headings = [cell for cell in after[title][4] if cell.value]
        assert all(cell.comment for cell in headings if cell.value not in CUSTOMIZED[name][2])
    own_rules = [
        rule for area in after["Lot"].conditional_formatting for rule in area.rules if "reserved" in str(rule.formula)
    ]
    assert len(own_rules) == (name == "demo-customized")
    if own_rules:
        assert own_rules[0].dxf.fill.bgColor.rgb.endswith("FFE08A")


def test_rules_end_where_the_table_ends(customized: tuple[str, Path, Path]) -> None:
    page = openpyxl.load_workbook(customized[2])["Lot"]
    _, _, _, bottom = range_boundaries(page.tables["Lot"].ref)
    inputs = [rule for rule in page.data_validations.dataValidation if rule.errorTitle == "Not taken"]
    assert {str(rule.sqref).rpartition(":")[2].lstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ") for rule in inputs} == {str(bottom)}
    columns = [str(rule.sqref).partition(":")[0] for rule in inputs]
    assert len(columns) == len(set(columns)) > 40


def test_own_formulas_still_read_the_same_data(office: Office, tmp_path: Path) -> None:
    """What Our month comes to stands in ``tests/lots/1/README.md``: payload of 1110, 16 trailers, 318,550 together."""
    lot = updated(LOTS / "demo-customized.xlsx", tmp_path / "lot.xlsx")
    before = office.recalculate(LOTS / "demo-customized.xlsx")["Our month"]
    after = office.recalculate(lot)["Our month"]
    said = {str(cell) for row in after for cell in row}
    assert {"17960.0", "coupler vertical", "22814.0", "419000.0", "64500.0", "1116"} <= said
    assert "27 x 98" in said  # twenty columns more than the 78 there were
    changed = {
        (str(a), str(b))
        for old, new in zip(before, after, strict=True)
        for a, b in zip(old, new, strict=True)
        if a != b
    }
    assert changed == {
        ("27 x 78", "27 x 98"),
        ("17076.25", "17078.75"),  # of twelve payloads, one of which has 16,930 again where 16,900 was typed over it
        ("22.0", "0.0"),  # Conflicts holds words now, which the plan says of this cell
        ("NO: 2 things are wro", "NO"),  # the first words of What-if's answer
    }


def test_a_formula_that_reads_other_kinds_of_values_now_is_named(capfd: pytest.CaptureFixture[str]) -> None:
    assert main(["update", str(LOTS / "demo-customized.xlsx"), "--dry-run"]) == 0
    assert "Look at your formula in Our month!B19: Conflicts holds words now" in capfd.readouterr().out


def test_twice_changes_nothing_and_undo_takes_it_back(
    customized: tuple[str, Path, Path], tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    lot = Path(shutil.copy(customized[1], tmp_path / "lot.xlsx"))
    old = lot.read_bytes()
    assert main(["update", str(lot), "--yes"]) == 0
    once = lot.read_bytes()
    assert once != old
    assert main(["update", str(lot), "--yes"]) == 0
    assert "already up to date" in capfd.readouterr().out
    assert lot.read_bytes() == once
    assert main(["undo", str(lot)]) == 0
    assert lot.read_bytes() == old


def test_overwritten_results_are_shown_and_put_back(again: Path, capfd: pytest.CaptureFixture[str]) -> None:
    book = openpyxl.load_workbook(again, data_only=False)
    heads = {cell.value: cell.column_letter for cell in book["Lot"][4]}
    payload, conflicts = f"{heads['Payload (lb)']}7", f"{heads['Conflicts']}9"
    were = openpyxl.load_workbook(again, data_only=True)["Lot"][payload].value
    change = {"Lot": {payload: 99_999, conflicts: "fine"}, "What-if": {"B8": "YES"}}
    _type(again, change)
    assert main(["update", str(again), "--dry-run"]) == 0
    shown = capfd.readouterr().out
    for said in (
        f"Lot!{payload} Payload (lb): typed over: 99999: goes",
        f"Lot!{conflicts} Conflicts: typed over: fine: goes",
        "What-if!B8: typed over: YES: goes",
    ):
        assert said in shown
    before = again.read_bytes()
    assert main(["update", str(again), "--yes", "--keep"]) == 0
    assert "already up to date" in capfd.readouterr().out
    assert again.read_bytes() == before
    assert main(["update", str(again), "--yes"]) == 0
    after, values = openpyxl.load_workbook(again), openpyxl.load_workbook(again, data_only=True)
    assert [after[sheet][cell].data_type for sheet, cells in change.items() for cell in cells] == ["f", "f", "f"]
    assert values["Lot"][payload].value == were


def _type(path: Path, cells: dict[str, dict[str, object]]) -> None:
    """Type over formulas, in the XML as a program does."""
    from tarelot.workbook_templates.ooxml.package import edit

    before = path.with_name("before.xlsx")
    path.rename(before)
    edit(before, path, cells)  # type: ignore[arg-type]
    before.unlink()


@pytest.mark.parametrize("sheet", ["Options", "What-if", "Limits", "Machines", "Match"])
def test_a_deleted_sheet_is_written_anew(sheet: str, demo_workbook: Path, tmp_path: Path, office: Office) -> None:
    """As LibreOffice leaves it: its formulas say #REF!."""
    lot = tmp_path / "lot.xlsx"
    office.without_sheet(demo_workbook, sheet, lot)
    assert sheet not in openpyxl.load_workbook(lot, read_only=True).sheetnames
    assert main(["update", str(lot), "--yes"]) == 0
    assert (
        openpyxl.load_workbook(lot, read_only=True).sheetnames
        == openpyxl.load_workbook(demo_workbook, read_only=True).sheetnames
    )
    formulas = [
        str(cell.value)
        for page in openpyxl.load_workbook(lot)
        for row in page.iter_rows()
        for cell in row
        if cell.data_type == "f"
    ]
    assert len(formulas) > 4_500
    assert [one for one in formulas if "#REF!" in one] == []
    before = lot.read_bytes()
    assert main(["update", str(lot), "--yes"]) == 0
    assert lot.read_bytes() == before


def _renamed_heading(path: Path) -> None:
    lot = path.with_name("renamed.xlsx")
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(lot, "w", zipfile.ZIP_DEFLATED) as new:
        for member in old.namelist():
            content = old.read(member)
            if member == "xl/tables/table1.xml":
                content = content.replace(b'name="Payload (lb)"', b'name="My payload"')
            if member == "xl/sharedStrings.xml":
                content = content.replace(b"<t>Payload (lb)</t>", b"<t>My payload</t>")
            new.writestr(member, content)
    lot.replace(path)


def test_a_heading_of_ours_that_is_gone_is_added(demo_workbook: Path, tmp_path: Path) -> None:
    lot = Path(shutil.copy(demo_workbook, tmp_path / "lot.xlsx"))
    _renamed_heading(lot)
    assert main(["update", str(lot), "--yes"]) == 0
    page = openpyxl.load_workbook(lot, data_only=True)["Lot"]
    heads = {cell.value: cell.column for cell in page[4]}
    assert "My payload" in heads
    assert [page.cell(row, heads["Payload (lb)"]).value for row in range(5, 29)] == [
        page.cell(row, heads["My payload"]).value for row in range(5, 29)
    ]


Spoil = Callable[[Path], object]


def _newer(path: Path) -> None:
    changed = path.with_name("newer.xlsx")
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(changed, "w") as new:
        for member in old.namelist():
            content = old.read(member)
            new.writestr(
                member,
                content.replace(b">%d</vt:i4>" % FORMAT, b">99</vt:i4>")
                if member == "docProps/custom.xml"
                else content,
            )
    changed.replace(path)


def _foreign(path: Path) -> None:
    book = openpyxl.Workbook()
    book.save(path)


def _beside(path: Path) -> None:
    """Something of a person's own right beside an older lot's table."""
    shutil.copy(LOTS / "tarelot-demo.xlsx", path)
    _type(path, {"Lot": {"BZ9": "mine"}})


@pytest.mark.parametrize(
    ("spoil", "said"),
    [
        (_newer, "is of format 99, made by a newer Tarelot"),
        (_foreign, "has no table named Lot"),
        (lambda path: path.write_bytes(path.read_bytes()[:200_000]), "damaged"),
        (lambda path: path.with_name(f".~lock.{path.name}#").touch(), "is open in LibreOffice"),
        (lambda path: path.with_name(f"~${path.name}").touch(), "is open in Excel"),
        (_beside, "Lot!BZ9 is in the way"),
    ],
)
def test_what_cannot_be_updated_is_refused_in_one_line(
    spoil: Spoil, said: str, demo_workbook: Path, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    lot = Path(shutil.copy(demo_workbook, tmp_path / "lot.xlsx"))
    spoil(lot)
    before, there = lot.read_bytes(), sorted(tmp_path.iterdir())
    assert main(["update", str(lot), "--yes"]) == 2
    complaint = capfd.readouterr().err
    assert said in complaint
    assert re.fullmatch(r"tarelot: [^\n]*Nothing was changed\.\n", complaint)
    assert (lot.read_bytes(), sorted(tmp_path.iterdir())) == (before, there)


@pytest.mark.parametrize("name", ["Trailer", "Limits", "Where to measure"])
def test_an_own_sheet_that_has_a_name_of_ours_is_not_written_over(
    name: str, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    book = openpyxl.load_workbook(LOTS / "tarelot-demo.xlsx")
    own = book.create_sheet(name)
    own["A1"], own["B2"], own["B3"] = "Whom I sold what", 42, "=B2*2"
    lot = tmp_path / "lot.xlsx"
    book.save(lot)
    before = lot.read_bytes()
    assert main(["update", str(lot), "--yes"]) == 2
    assert f"lot.xlsx has a sheet of your own named {name}" in capfd.readouterr().err
    assert lot.read_bytes() == before


def test_a_lot_of_500_trailers_is_brought_up_to_date(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """The plain lot of format 1 with 500 trailers: as many rows on Match, each with its verdict."""
    lot = Path(shutil.copy(LOTS / "tarelot-demo.xlsx", tmp_path / "lot.xlsx"))
    columns = "Stock no.,Hitch,GVWR (lb),Base weight (lb),Axles,Axle rating (lb)"
    rows = [f"F{number},pintle,14000,{3000 + number},2,7000" for number in range(476)]
    assert main(["import", str(lot), str(list_of(tmp_path, columns, *rows)), "--yes"]) == 0
    assert main(["update", str(lot), "--yes"]) == 0
    page, shown = openpyxl.load_workbook(lot)["Lot"], openpyxl.load_workbook(lot, data_only=True)
    heads = {cell.value: cell.column for cell in page[4]}
    bottom = range_boundaries(page.tables["Lot"].ref)[3]
    payloads = {
        shown["Lot"].cell(row, 1).value: shown["Lot"].cell(row, heads["Payload (lb)"]).value
        for row in range(5, bottom + 1)
    }
    assert [payloads[f"F{number}"] for number in range(476)] == [14_000 - 3_000 - number for number in range(476)]
    match = [[cell.value for cell in row[:5]] for row in shown["Match"].iter_rows(min_row=12)]
    named = [row[1] for row in match if row[1]]
    assert len(named) == 500
    assert {f"F{number}" for number in range(476)} <= set(named)
    assert all(row[4] for row in match if row[1])
    before = lot.read_bytes()
    capfd.readouterr()
    assert main(["update", str(lot), "--yes"]) == 0
    assert "already up to date" in capfd.readouterr().out
    assert lot.read_bytes() == before
