"""Parts and packages written by hand after ECMA-376 and the extensions of [MS-XLSX], which no free library writes."""

from __future__ import annotations

import io
import re
import struct
import zipfile
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import xlwings

QUICKSTART = Path(xlwings.__file__).with_name("quickstart.xlsm")
HEADINGS = ("Stock no.", "Make", "GVWR (lb)", "Base weight (lb)", "Payload (lb)", "Received")
PAYLOAD = "Lot[[#This Row],[GVWR (lb)]]-Lot[[#This Row],[Base weight (lb)]]"
COUNT = 6
LAST = COUNT + 1
"""The last row of every table of the corpus."""

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
X14 = "http://schemas.microsoft.com/office/spreadsheetml/2009/9/main"
XM = "http://schemas.microsoft.com/office/excel/2006/main"


@dataclass(frozen=True)
class Made:
    """Changes by hand to a package: parts added, parts' text changed, and how it is zipped."""

    parts: Mapping[str, bytes] = field(default_factory=dict)
    changed: Mapping[str, Callable[[str], str]] = field(default_factory=dict)
    types: str = ""
    sheet_links: str = ""
    workbook_links: str = ""
    sheet_end: str = ""


SHEET, TABLE, BOOK = "xl/worksheets/sheet1.xml", "xl/tables/table1.xml", "xl/workbook.xml"


def _before(end: str, text: str) -> Callable[[str], str]:
    return lambda part: part.replace(end, text + end, 1) if text else part


def remade(source: Path, target: Path, made: Made) -> None:
    """``source`` with the changes of ``made``."""
    texts: dict[str, list[Callable[[str], str]]] = {
        "[Content_Types].xml": [_before("</Types>", made.types)],
        "xl/worksheets/_rels/sheet1.xml.rels": [_before("</Relationships>", made.sheet_links)],
        "xl/_rels/workbook.xml.rels": [_before("</Relationships>", made.workbook_links)],
        SHEET: [_before("</worksheet>", made.sheet_end)],
    }
    for part, change in dict(made.changed).items():
        texts.setdefault(part, []).append(change)
    with zipfile.ZipFile(source) as old, zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as new:
        for info in old.infolist():
            data = old.read(info)
            for change in texts.get(info.filename, ()):
                data = change(data.decode()).encode()
            new.writestr(info, data)
        for part, data in dict(made.parts).items():
            new.writestr(zipfile.ZipInfo(part, (2024, 2, 29, 12, 0, 2)), data, zipfile.ZIP_DEFLATED)


def _link(id_: str, kind: str, target: str) -> str:
    kind = kind if kind.startswith("http") else f"{OFFICE}/{kind}"
    return f'<Relationship Id="{id_}" Type="{kind}" Target="{target}"/>'


def _type(part: str, kind: str) -> str:
    return f'<Override PartName="/{part}" ContentType="{kind}"/>'


def _xml(text: str) -> bytes:
    return f'<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n{text}'.encode()


def _formula_order() -> bytes:
    entries = "".join(
        f'<c r="E{row}"{" i=" + chr(34) + "1" + chr(34) if row == 2 else ""}/>' for row in range(2, LAST + 1)
    )
    return _xml(f'<calcChain xmlns="{MAIN}">{entries}<c r="A2" i="2" l="1"/></calcChain>')


CALC_CHAIN = Made(
    parts={"xl/calcChain.xml": _formula_order()},
    types=_type("xl/calcChain.xml", "application/vnd.openxmlformats-officedocument.spreadsheetml.calcChain+xml"),
    workbook_links=_link("rId90", "calcChain", "calcChain.xml"),
)

_THREADS = "http://schemas.microsoft.com/office/spreadsheetml/2018/threadedcomments"
_PERSON = "{00000000-0000-4000-8000-000000000001}"
THREADED = Made(
    parts={
        "xl/threadedComments/threadedComment1.xml": _xml(
            f'<ThreadedComments xmlns="{_THREADS}"><threadedComment ref="B3" dT="2024-05-01T10:00:00.00"'
            f' personId="{_PERSON}" id="{{00000000-0000-4000-8000-000000000002}}"><text>Weighed?</text>'
            "</threadedComment></ThreadedComments>"
        ),
        "xl/persons/person.xml": _xml(
            f'<personList xmlns="{_THREADS}"><person displayName="Office" id="{_PERSON}" userId="office"'
            ' providerId="None"/></personList>'
        ),
    },
    types=_type("xl/threadedComments/threadedComment1.xml", "application/vnd.ms-excel.threadedcomments+xml")
    + _type("xl/persons/person.xml", "application/vnd.ms-excel.person+xml"),
    sheet_links=_link(
        "rId91",
        "http://schemas.microsoft.com/office/2017/10/relationships/threadedComment",
        "../threadedComments/threadedComment1.xml",
    ),
    workbook_links=_link(
        "rId92", "http://schemas.microsoft.com/office/2017/10/relationships/person", "persons/person.xml"
    ),
)

_PIVOT_FIELDS = "".join(
    f'<cacheField name="{heading}" numFmtId="0"><sharedItems/></cacheField>' for heading in HEADINGS
)
PIVOT = Made(
    parts={
        "xl/pivotCache/pivotCacheDefinition1.xml": _xml(
            f'<pivotCacheDefinition xmlns="{MAIN}" xmlns:r="{OFFICE}" saveData="0" refreshOnLoad="1" recordCount="0">'
            f'<cacheSource type="worksheet"><worksheetSource name="Lot"/></cacheSource>'
            f'<cacheFields count="{len(HEADINGS)}">{_PIVOT_FIELDS}</cacheFields></pivotCacheDefinition>'
        ),
        "xl/pivotTables/pivotTable1.xml": _xml(
            f'<pivotTableDefinition xmlns="{MAIN}" name="ByMake" cacheId="1" dataCaption="Values">'
            '<location ref="A10:B12" firstHeaderRow="1" firstDataRow="1" firstDataCol="1"/>'
            f'<pivotFields count="{len(HEADINGS)}">' + "<pivotField/>" * len(HEADINGS) + "</pivotFields>"
            "</pivotTableDefinition>"
        ),
        "xl/pivotTables/_rels/pivotTable1.xml.rels": _xml(
            '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">'
            + _link("rId1", "pivotCacheDefinition", "../pivotCache/pivotCacheDefinition1.xml")
            + "</Relationships>"
        ),
        "xl/worksheets/_rels/sheet2.xml.rels": _xml(
            '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">'
            + _link("rId1", "pivotTable", "../pivotTables/pivotTable1.xml")
            + "</Relationships>"
        ),
    },
    types=_type(
        "xl/pivotCache/pivotCacheDefinition1.xml",
        "application/vnd.openxmlformats-officedocument.spreadsheetml.pivotCacheDefinition+xml",
    )
    + _type(
        "xl/pivotTables/pivotTable1.xml", "application/vnd.openxmlformats-officedocument.spreadsheetml.pivotTable+xml"
    ),
    workbook_links=_link("rId93", "pivotCacheDefinition", "pivotCache/pivotCacheDefinition1.xml"),
    changed={BOOK: _before("</workbook>", '<pivotCaches><pivotCache cacheId="1" r:id="rId93"/></pivotCaches>')},
)

CUSTOM_XML = Made(
    parts={
        "customXml/item1.xml": _xml('<yard xmlns="urn:example:yard"><bay>north</bay></yard>'),
        "customXml/itemProps1.xml": _xml(
            '<ds:datastoreItem ds:itemID="{00000000-0000-4000-8000-000000000003}"'
            ' xmlns:ds="http://schemas.openxmlformats.org/officeDocument/2006/customXml"/>'
        ),
        "customXml/_rels/item1.xml.rels": _xml(
            '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">'
            + _link("rId1", "customXmlProps", "itemProps1.xml")
            + "</Relationships>"
        ),
    },
    types=_type("customXml/itemProps1.xml", "application/vnd.openxmlformats-officedocument.customXmlProperties+xml"),
    workbook_links=_link("rId94", "customXml", "../customXml/item1.xml"),
)

PRINTER = Made(
    parts={"xl/printerSettings/printerSettings1.bin": bytes(range(256)) * 4},
    types='<Default Extension="bin" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml'
    '.printerSettings"/>',
    sheet_links=_link("rId95", "printerSettings", "../printerSettings/printerSettings1.bin"),
    changed={
        SHEET: lambda part: part.replace("<tableParts", '<pageSetup orientation="landscape" r:id="rId95"/><tableParts')
    },
)

NEWER_RULES = Made(
    changed={
        SHEET: lambda part: part.replace(
            "</worksheet>",
            f'<extLst><ext xmlns:x14="{X14}" uri="{{CCE6A557-97BC-4b89-ADB6-D9C93CAAB3DF}}">'
            f'<x14:dataValidations xmlns:xm="{XM}" count="1"><x14:dataValidation type="list" allowBlank="1"'
            ' showErrorMessage="1"><x14:formula1><xm:f>Other!$A$1:$A$9</xm:f></x14:formula1>'
            f"<xm:sqref>B2:B{LAST}</xm:sqref></x14:dataValidation></x14:dataValidations></ext>"
            f'<ext xmlns:x14="{X14}" uri="{{78C0D931-6437-407d-A8EE-F0AAD7539E65}}"><x14:conditionalFormattings>'
            f'<x14:conditionalFormatting xmlns:xm="{XM}"><x14:cfRule type="expression" priority="9"'
            ' id="{00000000-0000-4000-8000-000000000004}"><xm:f>$C2&gt;Other!$A$2</xm:f><x14:dxf><font><b/></font>'
            f"</x14:dxf></x14:cfRule><xm:sqref>A2:F{LAST} K2:K4</xm:sqref></x14:conditionalFormatting>"
            "</x14:conditionalFormattings></ext></extLst></worksheet>",
        )
    }
)

FORM_CONTROL = Made(
    parts={
        "xl/ctrlProps/ctrlProp1.xml": _xml(
            f'<formControlPr xmlns="{X14}" objectType="CheckBox" checked="Checked" fmlaLink="$K$9" lockText="1"/>'
        )
    },
    types=_type("xl/ctrlProps/ctrlProp1.xml", "application/vnd.ms-excel.controlproperties+xml"),
    sheet_links=_link("rId97", "ctrlProp", "../ctrlProps/ctrlProp1.xml"),
    changed={
        SHEET: lambda part: part.replace(
            "<tableParts",
            '<mc:AlternateContent xmlns:mc="http://schemas.openxmlformats.org/markup-compatibility/2006">'
            f'<mc:Choice xmlns:x14="{X14}" Requires="x14"><controls><control shapeId="1025" r:id="rId97" name="Check">'
            '<controlPr defaultSize="0" autoFill="0"/></control></controls></mc:Choice></mc:AlternateContent>'
            "<tableParts",
        )
    },
)

UNKNOWN = Made(
    parts={
        "xl/future/thing1.xml": _xml('<thing xmlns="urn:example:future"/>'),
        "xl/model/item.data": b"\x00\x01" * 500,
    },
    types=_type("xl/future/thing1.xml", "application/x-future+xml")
    + '<Default Extension="data" ContentType="application/vnd.openxmlformats-officedocument.model+data"/>',
    workbook_links=_link("rId96", "urn/future", "future/thing1.xml"),
    changed={
        SHEET: lambda part: (
            part.replace("<worksheet ", '<worksheet xmlns:fu="urn:example:future" ', 1)
            .replace('<row r="3"', '<row fu:kept="yes" r="3"', 1)
            .replace('<c r="C3"', '<c fu:mark="&gt;/&apos;" r="C3"', 1)
            .replace('<c r="B4"', '<c ph="1" r="B4"', 1)
            .replace("</row></sheetData>", "</row></sheetData><fu:more><fu:deep ref='A1'/></fu:more>", 1)
        )
    },
)


def _shared(part: str) -> str:
    formula = f"<f>{PAYLOAD}</f>"
    assert part.count(formula) == COUNT
    part = part.replace(formula, f'<f t="shared" ref="E2:E{LAST}" si="0">C2-D2</f>', 1)
    return part.replace(formula, '<f t="shared" si="0"/>')


def _prefixed(part: str) -> str:
    part = re.sub(r"<(/?)(\w+)(?=[\s/>])", r"<\1x:\2", part)
    return part.replace(f'xmlns="{MAIN}"', f'xmlns:x="{MAIN}"')


def _unnumbered(part: str) -> str:
    return re.sub(r' r="[A-Z]*[0-9]+"', "", part)


def _commented(part: str) -> str:
    part = part.replace('<c r="A3"', '<!-- <c r="A3"><v>0</v></c> <row r="3"> --><c r="A3"', 1)
    part = part.replace("</row>", '<?note <c r="ZZ1"/> ?></row>', 1)
    return re.sub(r"<v>(\d+)</v>", r"<v><![CDATA[\1]]></v>", part, count=4)


def _single_quoted(part: str) -> str:
    head, data = part.split("<sheetData>", 1)
    data, tail = data.split("</sheetData>", 1)
    data = re.sub(r'(\w+)="([^"]*)"', r"\n\1 = '\2'", data).replace("</c>", "</c\n>").replace("</row>", "\n</row >\n")
    return f"{head}<sheetData >\n{data}</sheetData>{tail}"


def _mixed_strings(part: str) -> str:
    part = re.sub(r'<c r="A4" t="s"><v>\d+</v></c>', '<c r="A4" t="inlineStr"><is><t>T-103</t></is></c>', part)
    return re.sub(r'<c r="B4" t="s"><v>\d+</v></c>', '<c r="B4" t="str"><v>Harrow</v></c>', part)


def _strict(part: str) -> str:
    part = part.replace(MAIN, "http://purl.oclc.org/ooxml/spreadsheetml/main")
    return part.replace(
        "http://schemas.openxmlformats.org/officeDocument/2006/relationships",
        "http://purl.oclc.org/ooxml/officeDocument/relationships",
    )


ALL_XML = ("_rels/.rels", BOOK, "xl/_rels/workbook.xml.rels", SHEET, "xl/worksheets/sheet2.xml", TABLE)
STRICT_PARTS = (*ALL_XML, "xl/worksheets/_rels/sheet1.xml.rels", "xl/sharedStrings.xml", "xl/styles.xml")

BY_HAND: Mapping[str, Made] = {
    "calculation chain": CALC_CHAIN,
    "threaded comments": THREADED,
    "a pivot table": PIVOT,
    "custom XML": CUSTOM_XML,
    "printer settings": PRINTER,
    "newer entry rules and highlights": NEWER_RULES,
    "unknown parts, elements, attributes": UNKNOWN,
    "shared formulas": Made(changed={SHEET: _shared}),
    "prefixed elements": Made(changed={SHEET: _prefixed, TABLE: _prefixed, BOOK: _prefixed}),
    "cells and rows without references": Made(changed={SHEET: _unnumbered}),
    "comments, instructions, CDATA": Made(changed={SHEET: _commented}),
    "single quotes and line breaks": Made(changed={SHEET: _single_quoted}),
    "text of three kinds": Made(changed={SHEET: _mixed_strings}),
    "a byte order mark": Made(changed={SHEET: lambda part: "\ufeff" + part, TABLE: lambda part: "\ufeff" + part}),
    "the strict namespaces": Made(changed=dict.fromkeys(STRICT_PARTS, _strict)),
}


class _Unseekable(io.RawIOBase):
    """A stream that only goes forward: zipfile then writes each member's sizes after it."""

    def __init__(self, path: Path) -> None:
        self._file = path.open("wb")

    def writable(self) -> bool:
        return True

    def write(self, data: Any) -> int:
        return self._file.write(data)

    def close(self) -> None:
        self._file.close()
        super().close()


def rezipped(source: Path, target: Path, how: str) -> None:
    """``source`` packed in another way: ``streamed``, ``stored`` or ``odd`` (backward, comments, extra fields)."""
    out: Any = _Unseekable(target) if how == "streamed" else target
    with zipfile.ZipFile(source) as old, zipfile.ZipFile(out, "w") as new:
        members = old.infolist()
        for number, info in enumerate(reversed(members) if how == "odd" else members):
            fresh = zipfile.ZipInfo(info.filename, (2001 + number, 2, 3, 4, 5, 6))
            fresh.compress_type = zipfile.ZIP_STORED if how == "stored" else zipfile.ZIP_DEFLATED
            if how == "odd":
                fresh.comment, fresh.extra = b"member", struct.pack("<HH4s", 0x7A7A, 4, b"abcd")
                fresh.external_attr = 0o640 << 16
                fresh.create_system = 0
            new.writestr(fresh, old.read(info))
        new.comment = b"packed on a Tuesday" if how == "odd" else b""
    if how == "streamed":
        out.close()


def quickstart_with_table(base: Path, target: Path) -> None:
    """The macro workbook that xlwings brings, with the lot's cells and table put in by hand."""
    with zipfile.ZipFile(QUICKSTART) as old, zipfile.ZipFile(base) as lot, zipfile.ZipFile(target, "w") as new:
        cells = re.search(r"<sheetData>.*</sheetData>", _inline(lot), re.DOTALL)
        assert cells is not None
        for info in old.infolist():
            text = old.read(info)
            if info.filename == SHEET:
                text = text.replace(b"<sheetData/>", cells[0].encode())
                text = text.replace(b'<dimension ref="A1"/>', b'<dimension ref="A1:F%d"/>' % LAST)
                text = text.replace(
                    b"</worksheet>", b'<tableParts count="1"><tablePart r:id="rId1"/></tableParts></worksheet>'
                )
            elif info.filename == BOOK:
                text = text.replace(b'name="Sheet1"', b'name="Lot"')
            elif info.filename == "[Content_Types].xml":
                kind = _type(TABLE, "application/vnd.openxmlformats-officedocument.spreadsheetml.table+xml")
                text = text.replace(b"</Types>", kind.encode() + b"</Types>")
            new.writestr(info, text)
        new.writestr(TABLE, lot.read(TABLE))
        new.writestr("xl/worksheets/_rels/sheet1.xml.rels", lot.read("xl/worksheets/_rels/sheet1.xml.rels"))


def _inline(lot: zipfile.ZipFile) -> str:
    """The lot's sheet with its shared strings written into the cells and no styles."""
    strings = re.findall(r"<si><t[^>]*>(.*?)</t></si>", lot.read("xl/sharedStrings.xml").decode())

    def cell(found: re.Match[str]) -> str:
        text = strings[int(found[2])]
        return f'<c r="{found[1]}" t="inlineStr"><is><t xml:space="preserve">{text}</t></is></c>'

    text = re.sub(r'<c r="(\w+)" t="s"><v>(\d+)</v></c>', cell, lot.read(SHEET).decode())
    return re.sub(r' s="\d+"', "", text)
