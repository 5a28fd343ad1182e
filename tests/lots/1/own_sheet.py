"""The sheet that a person added to ``demo-customized.xlsx``: sums over the Lot, a chart of them, its own looks."""

from __future__ import annotations

from xml.sax.saxutils import escape

from package_parts import LINKS, MAIN, SHEET_ML, Parts, Styles, node, tag

OWN_SHEET = "Our month"
PART, DRAWING, CHART = "xl/worksheets/sheet12.xml", "xl/drawings/drawing3.xml", "xl/charts/chart3.xml"
DRAWING_ML = "http://schemas.openxmlformats.org/drawingml/2006"
BODIES = ("deckover", "low deck", "tilt", "gooseneck deck", "lowbed")
TOP = 6  # the first row of the sums by body
END = TOP + len(BODIES) - 1

Entry = str | float


def entries(last: int) -> dict[str, Entry]:
    """Cells of the sheet; text that begins with ``=`` is a formula. ``last`` is the Lot's last prepared row."""
    cells: dict[str, Entry] = {
        "A1": "Our month",
        "A2": "October 2026, for the Monday meeting",
        "A3": "Dealer fee",
        "B3": 145,
        "A5": "Body",
        "B5": "On the lot",
        "C5": "Asking, together",
        "D5": "Payload, average",
        "E5": "Share of asking",
    }
    for row, body in enumerate(BODIES, TOP):
        cells[f"A{row}"] = body
        cells[f"B{row}"] = f'=SUMPRODUCT((Lot[Body]=A{row})*(Lot[Status]="on lot"))'
        cells[f"C{row}"] = f'=SUMIFS(Lot[Price],Lot[Body],A{row},Lot[Status],"on lot")'
        cells[f"D{row}"] = f'=IFERROR(AVERAGEIFS(Lot[Payload (lb)],Lot[Body],A{row}),"")'
        cells[f"E{row}"] = f"=C{row}/C${END + 1}"
    for letter in "BC":
        cells[f"{letter}{END + 1}"] = f"=SUM({letter}{TOP}:{letter}{END})"
    below = (
        ("Together", None),
        ("Dearest on the list", f"=MAX(Lot!$K$5:$K${last})"),
        ("First on the list", "=Lot!A5"),
        ("Weighed on a scale", f"=COUNT(Lot!$U$5:$U${last})"),
        ("Payload of 1110", '=INDEX(Lot[Payload (lb)],MATCH("1110",Lot[Stock no.],0))'),
        ("Limited by, of 1110", f'=VLOOKUP("1110",Lot!$A$5:$Q${last},17,FALSE)'),
        ("Margin so far", "=SUM(Lot[Our margin])"),
        ("Asking with fee", "=SUM(Lot[Price])+Dealer_fee*COUNT(Lot[Price])"),
        ("Checks that found something", "=SUM(Lot[Conflicts])"),
        ("Pounds short in all", "=SUM(Lot[[Axles short (lb)]:[Empty over GVWR (lb)]])"),
        ("Rows and columns", '=ROWS(Lot[])&" x "&COLUMNS(Lot[])'),
        ("Heading we read", "=Lot[[#Headers],[Payload (lb)]]"),
        ("Answer on What-if", "=LEFT('What-if'!B8,20)"),
    )
    for row, (label, formula) in enumerate(below, END + 1):
        cells[f"A{row}"] = label
        if formula:
            cells[f"B{row}"] = formula
    return cells


def add_own_sheet(parts: Parts, styles: Styles, last: int) -> None:
    """Add the sheet as the third tab, with its chart."""
    workbook = parts.tree("xl/workbook.xml")
    sheets = workbook.find(tag("sheets"))
    sheets.insert(2, node(f'<sheet name="{OWN_SHEET}" sheetId="12" r:id="own"/>'))
    parts.link("xl/_rels/workbook.xml.rels", "own", "worksheet", "worksheets/sheet12.xml")
    parts.add(PART, _sheet(styles, entries(last)), f"{SHEET_ML}.worksheet+xml")
    parts.add("xl/worksheets/_rels/sheet12.xml.rels", _links("drawing", "../drawings/drawing3.xml"))
    parts.add(DRAWING, _drawing(), "application/vnd.openxmlformats-officedocument.drawing+xml")
    parts.add("xl/drawings/_rels/drawing3.xml.rels", _links("chart", "../charts/chart3.xml"))
    parts.add(CHART, _chart(), "application/vnd.openxmlformats-officedocument.drawingml.chart+xml")


def _links(kind: str, target: str) -> str:
    link = f'<Relationship Id="rId1" Type="{LINKS}/{kind}" Target="{target}"/>'
    return f'<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">{link}</Relationships>'


def _sheet(styles: Styles, cells: dict[str, Entry]) -> str:
    bold = styles.like("0", fontId=styles.bold(), applyFont="1")
    heading = styles.like(bold, fillId=styles.fill("DDEBDA"), applyFill="1")
    number = styles.like("0", numFmtId="3", applyNumberFormat="1")
    share = styles.like("0", numFmtId="9", applyNumberFormat="1")

    def style(reference: str) -> str:
        letter, row = reference[0], int(reference[1:])
        if row == TOP - 1:
            return heading
        if row == 1 or (row == END + 1 and letter in "ABC"):
            return bold
        return share if letter == "E" else number if letter in "BCD" else "0"

    rows: dict[int, list[str]] = {}
    for reference in sorted(cells, key=lambda name: (int(name[1:]), name[0])):
        written = _cell(reference, cells[reference], style(reference))
        rows.setdefault(int(reference[1:]), []).append(written)
    lines = "".join(f'<row r="{row}">{"".join(written)}</row>' for row, written in rows.items())
    widths = "".join(
        f'<col min="{place}" max="{place}" width="{width}" customWidth="1"/>'
        for place, width in enumerate((28.7109375, 14.7109375, 16.7109375, 16.7109375, 15.7109375), start=1)
    )
    return (
        f'<worksheet xmlns="{MAIN}" xmlns:r="{LINKS}">'
        '<sheetPr><tabColor rgb="FF6FA36A"/><pageSetUpPr fitToPage="1"/></sheetPr>'
        f'<dimension ref="A1:E{max(rows)}"/><sheetViews><sheetView workbookViewId="0"/></sheetViews>'
        f'<sheetFormatPr defaultRowHeight="15"/><cols>{widths}</cols><sheetData>{lines}</sheetData>'
        f'<conditionalFormatting sqref="C{TOP}:C{END}"><cfRule type="dataBar" priority="1"><dataBar><cfvo type="min"/>'
        '<cfvo type="max"/><color rgb="FF9CC69A"/></dataBar></cfRule></conditionalFormatting>'
        '<pageMargins left="0.7" right="0.7" top="0.75" bottom="0.75" header="0.3" footer="0.3"/>'
        '<pageSetup paperSize="1" orientation="portrait" fitToHeight="1"/>'
        "<headerFooter><oddFooter>&amp;COur month, page &amp;P</oddFooter></headerFooter>"
        '<drawing r:id="rId1"/></worksheet>'
    )


def _cell(reference: str, entry: Entry, style: str) -> str:
    if not isinstance(entry, str):
        return f'<c r="{reference}" s="{style}"><v>{entry}</v></c>'
    if not entry.startswith("="):
        return f'<c r="{reference}" s="{style}" t="inlineStr"><is><t>{escape(entry)}</t></is></c>'
    formula = escape(entry[1:])
    shared = ' t="shared" si="0"' if reference[0] == "E" else ""  # filled down
    if shared and reference == f"E{TOP}":
        shared += f' ref="E{TOP}:E{END}"'
    elif shared:
        formula = ""
    return f'<c r="{reference}" s="{style}"><f{shared}>{formula}</f></c>'


def _drawing() -> str:
    return (
        f'<xdr:wsDr xmlns:xdr="{DRAWING_ML}/spreadsheetDrawing" xmlns:a="{DRAWING_ML}/main"><xdr:twoCellAnchor>'
        "<xdr:from><xdr:col>0</xdr:col><xdr:colOff>0</xdr:colOff><xdr:row>24</xdr:row><xdr:rowOff>0</xdr:rowOff></xdr:from>"
        "<xdr:to><xdr:col>5</xdr:col><xdr:colOff>0</xdr:colOff><xdr:row>40</xdr:row><xdr:rowOff>0</xdr:rowOff></xdr:to>"
        '<xdr:graphicFrame macro=""><xdr:nvGraphicFramePr><xdr:cNvPr id="2" name="Asking by body"/>'
        "<xdr:cNvGraphicFramePr/></xdr:nvGraphicFramePr>"
        '<xdr:xfrm><a:off x="0" y="0"/><a:ext cx="0" cy="0"/></xdr:xfrm><a:graphic>'
        f'<a:graphicData uri="{DRAWING_ML}/chart"><c:chart xmlns:c="{DRAWING_ML}/chart" xmlns:r="{LINKS}" r:id="rId1"/>'
        "</a:graphicData></a:graphic></xdr:graphicFrame><xdr:clientData/></xdr:twoCellAnchor></xdr:wsDr>"
    )


def _chart() -> str:
    name = f"'{OWN_SHEET}'"
    return (
        f'<c:chartSpace xmlns:c="{DRAWING_ML}/chart" xmlns:a="{DRAWING_ML}/main"><c:roundedCorners val="0"/><c:chart>'
        "<c:title><c:tx><c:rich><a:bodyPr/><a:p><a:r><a:t>Asking on the lot, by body</a:t></a:r></a:p></c:rich></c:tx>"
        '<c:overlay val="0"/></c:title><c:autoTitleDeleted val="0"/><c:plotArea><c:layout/>'
        '<c:barChart><c:barDir val="col"/><c:grouping val="clustered"/><c:varyColors val="0"/>'
        f'<c:ser><c:idx val="0"/><c:order val="0"/><c:tx><c:strRef><c:f>{name}!$C$5</c:f></c:strRef></c:tx>'
        '<c:spPr><a:solidFill><a:srgbClr val="6FA36A"/></a:solidFill></c:spPr><c:invertIfNegative val="0"/>'
        f"<c:cat><c:strRef><c:f>{name}!$A${TOP}:$A${END}</c:f></c:strRef></c:cat>"
        f"<c:val><c:numRef><c:f>{name}!$C${TOP}:$C${END}</c:f></c:numRef></c:val></c:ser>"
        '<c:gapWidth val="60"/><c:axId val="1001"/><c:axId val="1002"/></c:barChart>'
        '<c:catAx><c:axId val="1001"/><c:scaling><c:orientation val="minMax"/></c:scaling><c:delete val="0"/>'
        '<c:axPos val="b"/><c:tickLblPos val="nextTo"/><c:crossAx val="1002"/></c:catAx>'
        '<c:valAx><c:axId val="1002"/><c:scaling><c:orientation val="minMax"/></c:scaling><c:delete val="0"/>'
        '<c:axPos val="l"/><c:majorGridlines/><c:numFmt formatCode="#,##0" sourceLinked="0"/>'
        '<c:tickLblPos val="nextTo"/><c:crossAx val="1001"/></c:valAx></c:plotArea>'
        '<c:plotVisOnly val="1"/></c:chart></c:chartSpace>'
    )
