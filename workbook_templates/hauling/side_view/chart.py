"""The chart that draws the points of the Drive-on sheet, to scale."""

from __future__ import annotations

from openpyxl.chart import Reference, ScatterChart, Series
from openpyxl.chart.data_source import StrRef
from openpyxl.chart.label import DataLabel, DataLabelList
from openpyxl.chart.layout import Layout, ManualLayout
from openpyxl.chart.marker import Marker
from openpyxl.chart.series import SeriesLabel
from openpyxl.chart.shapes import GraphicalProperties
from openpyxl.chart.text import RichText
from openpyxl.drawing.line import LineProperties
from openpyxl.drawing.text import CharacterProperties, Paragraph, ParagraphProperties
from openpyxl.utils import column_index_from_string
from openpyxl.worksheet.worksheet import Worksheet

from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling.drive_on.sheet import FIRST_ROW, SHEET, columns_of, places
from tarelot.workbook_templates.hauling.side_view.lines import Line, lines
from tarelot.workbook_templates.hauling.side_view.measures import HIGH, WIDE

CHART_CM = (34.0, 8.8)
MARGIN = 0.01


def add(
    sheet: Worksheet, points: Worksheet, anchor: str, units: Units, size: tuple[float, float] = CHART_CM
) -> ScatterChart:
    """Add the chart to a sheet.

    Args:
        sheet: The sheet that shows it.
        points: The Drive-on sheet.
        anchor: The cell of its upper left corner.
        units: The workbook's units.
        size: Width and height in centimeters.
    """
    chart = ScatterChart()
    chart.style, chart.scatterStyle, chart.legend = None, "lineMarker", None
    chart.width, chart.height = size
    chart.roundedCorners = False
    chart.visible_cells_only = False
    inner = size[0] * (1 - 2 * MARGIN)
    chart.layout = Layout(
        ManualLayout(
            layoutTarget="inner",
            xMode="edge",
            yMode="edge",
            x=MARGIN,
            y=0.03,
            w=1 - 2 * MARGIN,
            h=inner * HIGH / WIDE / size[1],
        )
    )
    for axis, top in ((chart.x_axis, WIDE), (chart.y_axis, HIGH)):
        axis.scaling.min, axis.scaling.max = 0, top
        axis.delete, axis.majorGridlines = True, None
    cells = places(units, elsewhere=True)
    for line in lines(units):
        chart.series.append(_series(points, line, columns_of(line, units), cells))
    sheet.add_chart(chart, anchor)
    return chart


def _series(points: Worksheet, line: Line, columns: tuple[str, str], cells: dict[str, str]) -> Series:
    """One line as a chart series, named by its label or by the heading of its points."""
    last = FIRST_ROW + len(line.points) - 1
    xs, ys = (
        Reference(points, min_col=column_index_from_string(letter), min_row=FIRST_ROW, max_row=last)
        for letter in columns
    )
    series = Series(ys, xs)
    name = cells[line.label] if line.label else f"'{SHEET}'!${columns[0]}${FIRST_ROW - 1}"
    series.tx = SeriesLabel(strRef=StrRef(name))
    series.smooth = False
    series.marker = Marker(line.marker, size=9 if line.marker != "none" else None)
    if line.marker != "none":
        series.marker.graphicalProperties = GraphicalProperties(solidFill=line.color)
        series.marker.graphicalProperties.line.solidFill = line.color
    if line.width:
        series.graphicalProperties = GraphicalProperties(
            ln=LineProperties(w=int(line.width * 12700), solidFill=line.color, prstDash=line.dash or "solid")
        )
    else:
        series.graphicalProperties = GraphicalProperties(ln=LineProperties(noFill=True))
    if line.label:
        series.dLbls = _label(line.color)
    return series


def _label(color: str) -> DataLabelList:
    """The series' name in the middle of its first point."""
    text = RichText(
        p=[
            Paragraph(
                pPr=ParagraphProperties(defRPr=CharacterProperties(sz=1000, b=True, solidFill=color)),
                endParaRPr=CharacterProperties(),
            )
        ]
    )
    shown = {"showVal": False, "showCatName": False, "showLegendKey": False, "showPercent": False}
    label = DataLabel(idx=0, dLblPos="ctr", showSerName=True, txPr=text, **shown)
    return DataLabelList(dLbl=[label], showSerName=False, **shown)
