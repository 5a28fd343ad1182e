"""The live side view: points on the Drive-on sheet, and the chart on What-if that they feed.

Everything is to scale, both ways alike: the chart's axes are fixed at 4 to 1, as its plot area is, and the points are
scaled so that trailer, ramp and machine fit. What nobody measures (drawbar, wheels, the machine's body) is sketched.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

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
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from tarelot.workbook_templates.basis import style
from tarelot.workbook_templates.basis.units import Units
from tarelot.workbook_templates.hauling.drive_on import FIRST_ROW, SHEET, SMALL, Values
from tarelot.workbook_templates.hauling.what_if.rows import used_elsewhere

WIDE, HIGH, GROUND = 112.0, 28.0, 5.0
"""The axes' ends, and where the ground lies."""
FIRST_COLUMN = 28
CIRCLE = 16
CHART_CM = (34.0, 8.8)
MARGIN = 0.01
OUTSIDE = "-99"
"""Where points stand that are not to be seen: left of the axes."""
BLUE, DARK, ORANGE, GREY, BROWN = "2F6F8F", style.INK, "B3540A", "8FA0AB", "6B4A2B"


@dataclass(frozen=True)
class Line:
    """One line of the drawing.

    Attributes:
        name: What it is; or a reference to a cell that says so.
        points: Formulas of x and y.
        color: Its color.
        width: Width in points; 0 for a marker alone.
        dash: Kind of dash, or none.
        label_at: Point that carries the name, if any, and on which side of it.
        marker: Symbol, or none.
    """

    name: str
    points: Sequence[tuple[str, str]]
    color: str
    width: float
    dash: str = ""
    label_at: tuple[int, str] | None = None
    marker: str = "none"


def view_values(values: Values, units: Units) -> None:
    """Add what the drawing needs: lengths in the short unit, the scale, the machine's place."""
    u, c = used_elsewhere(), values.cell
    factor = f"{units.short_per_long:g}"
    inch = f"{units.short_per_inch:g}"
    needed = ",".join(f"ISNUMBER({u[key]})" for key in ("deck_height", "deck_length", "to_deck"))
    values.add("draw", f"IF(AND({needed}),1,0)")
    values.add("draw machine", f"IF(AND({c('draw')}=1,ISNUMBER({u['wheelbase']})),1,0)")
    values.add("draw drive-on", f"IF(AND({c('draw machine')}=1,{c('ready')}=1),1,0)")
    values.add("deck front x", f"N({u['to_deck']})*{factor}")
    values.add("deck end x", f"{c('deck front x')}+N({u['deck_length']})*{factor}")
    values.add("deck up", f"N({u['deck_height']})")
    drop = f"N({u['tail_drop']})"
    values.add("tail end up", f"MAX(0,{c('deck up')}-{drop})")
    values.add("tail end x", f"{c('deck end x')}+SQRT(MAX(0,N({u['tail_length']})^2-{drop}^2))")
    values.add("foot x", f"{c('tail end x')}+SQRT(MAX(0,N({u['ramp_length']})^2-{c('tail end up')}^2))")
    values.add("machine height", f"IF(N({u['machine_height']})>0,N({u['machine_height']}),N({u['wheelbase']}))")
    values.add("body height", f"MAX(0.55*{c('machine height')},1.3*N({u['clearance']}),N({u['front_clearance']}))")
    length = f"N({u['wheelbase']})"
    values.add(
        "scale",
        f"IF({c('draw')}=1,MIN({WIDE - 4:g}/({c('foot x')}+{length}+N({u['rear_overhang']})+24*{inch}),"
        f"{HIGH - GROUND - 1:g}/(1.08*({c('deck up')}+{c('machine height')}))),0)",
    )
    values.add("wheel radius", f"MIN(0.3*{length},MAX(1.3*N({u['clearance']}),0.2*{c('machine height')}))")
    values.add("track height", f"MIN(0.3*{length},0.3*{c('machine height')})")
    values.add("trailer wheel", f"MIN(0.42*{c('deck up')},17*{inch})")
    middle = f"N({u['deck_length']})/2"
    values.add("centre x", f"{c('deck front x')}+{factor}*IF(ISNUMBER({u['place']}),{u['place']},{middle})")
    values.add("rest rear x", f"{c('centre x')}+{length}-N({u['to_centre']})")


def lines(values: Values, band: tuple[str, str], captions: dict[str, str], units: Units) -> list[Line]:
    """Every line of the drawing.

    Args:
        values: The values so far.
        band: Cells of the foremost and rearmost centre, long unit from the deck's front; texts where there is none.
        captions: Cells with the words for ``band``, ``tight``, ``rest`` and ``scale``.
        units: The workbook's units.
    """
    c, u = values.cell, used_elsewhere()
    factor = f"{units.short_per_long:g}"

    def point(x: str, y: str) -> tuple[str, str]:
        return f"2+{c('scale')}*({x})", f"{GROUND:g}+{c('scale')}*({y})"

    def level(*pairs: tuple[str, str]) -> list[tuple[str, str]]:
        return [point(x, y) for x, y in pairs]

    def shown_if(test: str, points: Sequence[tuple[str, str]]) -> list[tuple[str, str]]:
        return [(f"IF({test},{x},{OUTSIDE})", f"IF({test},{y},{OUTSIDE})") for x, y in points]

    deck_x, deck_y, end_x = c("deck front x"), c("deck up"), c("deck end x")
    hitch_y = f'{deck_y}*IF({u["hitch"]}="gooseneck",1.6,0.6)'
    ramp = level((c("tail end x"), c("tail end up")), (c("foot x"), "0"))
    drawn = [
        Line("ground", [("0", f"{GROUND:g}"), (f"{WIDE:g}", f"{GROUND:g}")], GREY, 2.25),
        Line("drawbar", level(("0", hitch_y), (f"0.75*{deck_x}", hitch_y), (deck_x, deck_y)), BROWN, 2.25),
        Line(
            "deck and tail",
            level((deck_x, deck_y), (end_x, deck_y), (c("tail end x"), c("tail end up"))),
            BROWN,
            4,
        ),
        Line("ramp", shown_if(f"N({u['ramp_length']})>{c('tail end up')}", ramp), BROWN, 2.25),
    ]
    count = f"MAX(1,N({u['axles']}))"
    for axle in range(3):
        at = f"N({u['to_axles']})*{factor}+(IF({axle}<{count},{axle},0)-(MIN(3,{count})-1)/2)*2.2*{c('trailer wheel')}"
        shown = f"IF(ISNUMBER({u['to_axles']}),{c('trailer wheel')},0)"
        circle = _circle(f"({at})", shown, shown)
        drawn.append(Line(f"trailer axle {axle + 1}", level(*circle), BROWN, 1.5))
    rest = _machine(values, "rest", DARK, 2, "")
    tight = _machine(values, "tight", ORANGE, 1.25, "sysDash")
    resting, driving = f"{c('draw machine')}=1", f"{c('draw drive-on')}=1"
    for stance, machine, test in (("rest", rest, resting), ("tight", tight, driving)):
        for line in machine:
            moved = level(*(_placed(values, stance, a, h) for a, h in line.points))
            drawn.append(Line(line.name, shown_if(test, moved), line.color, line.width, line.dash))
    there = f"AND({resting},ISNUMBER({band[0]}),ISNUMBER({band[1]}))"
    low, high = (f"{deck_x}+{factor}*N({cell})" for cell in band)
    middle = f"{deck_y}+0.5*{c('machine height')}"
    below = f"IF({c('scale')}>0,-1.6/{c('scale')},0)"
    drawn += [
        Line(captions["band"], shown_if(there, level((low, below), (high, below))), BLUE, 6, "", (1, "r")),
        Line(
            "centre",
            shown_if(resting, level((c("centre x"), below), (c("centre x"), middle))),
            BLUE,
            1,
            "sysDot",
        ),
        Line(
            captions["rest"],
            shown_if(resting, level((c("centre x"), middle))),
            BLUE,
            0,
            "",
            (0, "r"),
            "diamond",
        ),
    ]
    spot = _placed(values, "tight", c("along"), f"{c('part clearance')}-{c('at least gap')}")
    tip = _placed(values, "tight", c("tips along"), c("tips up"))
    x, y = (f"IF({c('wheels')}=1,{a},{b})" for a, b in zip(spot, tip, strict=True))
    drawn.append(Line(captions["tight"], shown_if(driving, level((x, y))), ORANGE, 0, "", (0, "t"), "triangle"))
    ten = "120" if units.name == "us" else "3000"
    bar = f"{HIGH - 2:g}"
    ends = [(point(x, "0")[0], bar) for x in ("0", ten)]
    drawn.append(Line(captions["scale"], shown_if(f"{c('draw')}=1", ends), DARK, 1.5, "", (1, "r")))
    return drawn


def _placed(values: Values, stance: str, along: str, up: str) -> tuple[str, str]:
    """A point of the machine, from its rear contact, as the drawing's x from the coupler back and y up."""
    c = values.cell
    if stance == "rest":
        return f"{c('rest rear x')}-({along})", f"{c('deck up')}+({up})"
    cosine, sine = c("at cos tilt"), c("at sin tilt")
    x = f"{c('foot x')}-({c('at rear x')}+({along})*{cosine}-({up})*{sine})"
    y = f"{c('at rear y')}+({along})*{sine}+({up})*{cosine}"
    return x, y


def _machine(values: Values, stance: str, color: str, width: float, dash: str) -> list[Line]:
    """The machine's outline, wheels or tracks, in its own coordinates: along from the rear contact, and up."""
    c, u = values.cell, used_elsewhere()
    length, front, rear = (f"N({u[key]})" for key in ("wheelbase", "front_overhang", "rear_overhang"))
    belly = f"N({u['clearance']})"
    low_front = f"IF({front}>0,N({u['front_clearance']}),{belly})"
    low_rear = f"IF({rear}>0,N({u['rear_clearance']}),{belly})"
    top, roof, tip = c("body height"), c("machine height"), f"{length}+{front}"
    body = (
        (f"-{rear}", low_rear),
        (f"-{rear}", top),
        (f"0.25*{length}", top),
        (f"0.3*{length}", roof),
        (f"0.65*{length}", roof),
        (f"0.72*{length}", top),
        (tip, top),
        (tip, low_front),
        (length, low_front),
        (length, belly),
        ("0", belly),
        ("0", low_rear),
        (f"-{rear}", low_rear),
    )
    wheel = f"IF({c('wheels')}=1,{c('wheel radius')},{c('track height')}/2)"
    track = f"IF({c('wheels')}=1,0,1)"
    high = f"{track}*{c('track height')}"
    belt = (("0", "0"), (f"{track}*{length}", "0"), (f"{track}*{length}", high), ("0", high), ("0", "0"))
    return [
        Line(f"machine {stance}", body, color, width, dash),
        Line(f"rear wheel {stance}", _circle("0", wheel, wheel), color, width, dash),
        Line(f"front wheel {stance}", _circle(length, wheel, wheel), color, width, dash),
        Line(f"tracks {stance}", belt, color, width, dash),
    ]


def _circle(x: str, y: str, radius: str) -> list[tuple[str, str]]:
    """A closed circle of a few points."""
    return [
        (f"{x}+{radius}*COS({step}*PI()/{CIRCLE // 2})", f"{y}+{radius}*SIN({step}*PI()/{CIRCLE // 2})")
        for step in range(CIRCLE + 1)
    ]


def write_points(sheet: Worksheet, drawn: Sequence[Line]) -> None:
    """Write the points of each line into two columns of the Drive-on sheet."""
    for number, line in enumerate(drawn):
        column = FIRST_COLUMN + 2 * number
        name = line.name if "!" not in line.name else "caption"
        for place, what in ((column, "x"), (column + 1, "y")):
            cell = sheet.cell(FIRST_ROW - 1, place, f"{name} {what}")
            cell.font, cell.alignment = style.font(size=8, bold=True), style.HEADING
            cell.fill = style.fill(style.GLANCE_BAND.heading)
        for row, point in enumerate(line.points, FIRST_ROW):
            for place, formula in zip((column, column + 1), point, strict=True):
                cell = sheet.cell(row, place, f"={formula}")
                cell.font, cell.number_format = SMALL, "0.00"


def add_chart(
    sheet: Worksheet,
    points: Worksheet,
    drawn: Sequence[Line],
    anchor: str,
    size: tuple[float, float] = CHART_CM,
) -> ScatterChart:
    """Add the chart to the sheet, ``size`` being its width and height in centimetres."""
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
    for number, line in enumerate(drawn):
        chart.series.append(_series(points, FIRST_COLUMN + 2 * number, line))
    sheet.add_chart(chart, anchor)
    return chart


def _series(points: Worksheet, column: int, line: Line) -> Series:
    """One line as a chart series."""
    last = FIRST_ROW + len(line.points) - 1
    xs, ys = (Reference(points, min_col=place, min_row=FIRST_ROW, max_row=last) for place in (column, column + 1))
    series = Series(ys, xs)
    name = line.name if "!" in line.name else f"'{SHEET}'!${get_column_letter(column)}${FIRST_ROW - 1}"
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
    if line.label_at is not None:
        series.dLbls = _label(*line.label_at, line.color)
    return series


def _label(point: int, side: str, color: str) -> DataLabelList:
    """The series' name at one of its points."""
    text = RichText(
        p=[
            Paragraph(
                pPr=ParagraphProperties(defRPr=CharacterProperties(sz=1000, b=True, solidFill=color)),
                endParaRPr=CharacterProperties(),
            )
        ]
    )
    shown = {"showVal": False, "showCatName": False, "showLegendKey": False, "showPercent": False}
    label = DataLabel(idx=point, dLblPos=side, showSerName=True, txPr=text, **shown)
    return DataLabelList(dLbl=[label], showSerName=False, **shown)
