"""Who reads cells without standing in one, in files that XlsxWriter makes, with parts added as ECMA-376 has them."""

from __future__ import annotations

import zipfile
from pathlib import Path

import xlsxwriter

from tarelot.workbook_templates.ooxml.reading import Package
from tarelot.workbook_templates.ooxml.references import ranges_of
from tarelot.workbook_templates.updates.apply import IN_FILE

RELATIONSHIPS = "http://schemas.openxmlformats.org/package/2006/relationships"
OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
CHART_EX = "http://schemas.microsoft.com/office/2014/relationships/chartEx"
MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"


def made(path: Path) -> Path:
    """The sheets Lot and Own; on Own a chart, a sparkline, a coloring and an entry rule read rows of Lot."""
    with xlsxwriter.Workbook(str(path)) as book:
        book.add_worksheet("Lot").write_column("A1", range(1, 30))
        own = book.add_worksheet("Own")
        chart = book.add_chart({"type": "line"})
        chart.add_series({"values": "=Lot!$A$5:$A$28"})
        own.insert_chart("D2", chart)
        own.add_sparkline("B1", {"range": "Lot!A5:A27"})
        own.conditional_format("A1", {"type": "formula", "criteria": "=A1>MAX(Lot!$A$5:$A$26)"})
        own.conditional_format("A2", {"type": "formula", "criteria": "=A2>MAX($B$5:$B$26)"})
        own.data_validation("A1", {"validate": "list", "source": "=Lot!$A$5:$A$25"})
    return path


def with_pivot_and_newer_chart(path: Path) -> Path:
    """The same with a pivot table on Own, and a chart of the kind that Excel has had since 2016."""

    def links(*found: str) -> str:
        return f'<Relationships xmlns="{RELATIONSHIPS}">{"".join(found)}</Relationships>'

    def link(number: int, kind: str, target: str) -> str:
        return f'<Relationship Id="added{number}" Type="{kind}" Target="{target}"/>'

    added = {
        "xl/pivotTables/pivotTable1.xml": f'<pivotTableDefinition xmlns="{MAIN}"/>',
        "xl/pivotTables/_rels/pivotTable1.xml.rels": links(
            link(1, f"{OFFICE}/pivotCacheDefinition", "../pivotCache/pivotCacheDefinition1.xml")
        ),
        "xl/pivotCache/pivotCacheDefinition1.xml": f'<pivotCacheDefinition xmlns="{MAIN}">'
        '<cacheSource type="worksheet"><worksheetSource ref="A4:A24" sheet="Lot"/></cacheSource>'
        "</pivotCacheDefinition>",
        "xl/charts/chartEx1.xml": '<cx:chartSpace xmlns:cx="http://schemas.microsoft.com/office/drawing/2014/chartex">'
        "<cx:f>Lot!$A$5:$A$23</cx:f></cx:chartSpace>",
    }
    changed = {
        "xl/worksheets/_rels/sheet2.xml.rels": link(2, f"{OFFICE}/pivotTable", "../pivotTables/pivotTable1.xml"),
        "xl/drawings/_rels/drawing1.xml.rels": link(3, CHART_EX, "../charts/chartEx1.xml"),
    }
    target = path.with_name("more.xlsx")
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(target, "w") as new:
        for name in old.namelist():
            more = changed.get(name, "").encode()
            new.writestr(name, old.read(name).replace(b"</Relationships>", more + b"</Relationships>"))
        for name, text in added.items():
            new.writestr(name, text)
    return target


def test_each_kind_is_found_with_its_sheet_and_its_range(tmp_path: Path) -> None:
    with Package(with_pivot_and_newer_chart(made(tmp_path / "book.xlsx"))) as package:
        found = list(ranges_of(package, "Lot"))
    assert sorted(found) == [
        ("Own", "chart", "Lot!$A$5:$A$28"),
        ("Own", "chartEx", "Lot!$A$5:$A$23"),
        ("Own", "conditionalFormatting", "A1>MAX(Lot!$A$5:$A$26)"),
        ("Own", "dataValidation", "Lot!$A$5:$A$25"),
        ("Own", "pivotTable", "'Lot'!A4:A24"),
        ("Own", "sparkline", "Lot!A5:A27"),
    ]
    assert {kind for _, kind, _ in found} == IN_FILE.keys()


def test_a_rule_of_the_sheet_itself_needs_no_name(tmp_path: Path) -> None:
    with Package(made(tmp_path / "book.xlsx")) as package:
        assert ("Own", "conditionalFormatting", "A2>MAX($B$5:$B$26)") in ranges_of(package, "Own")
        assert "A2>MAX($B$5:$B$26)" not in {text for *_, text in ranges_of(package, "Lot")}
