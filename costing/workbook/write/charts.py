"""The native charts. Their points are kept in the file too, so that a preview can draw them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from openpyxl.chart import BarChart
from openpyxl.chart.data_source import AxDataSource, NumData, NumDataSource, NumRef, NumVal, StrData, StrRef, StrVal
from openpyxl.chart.series import Series, SeriesLabel
from openpyxl.chart.shapes import GraphicalProperties
from openpyxl.chart.text import RichText, Text
from openpyxl.chart.title import Title
from openpyxl.drawing.line import LineProperties
from openpyxl.drawing.text import CharacterProperties, Paragraph, ParagraphProperties, RegularTextRun

from costing.workbook.write.look import SERIES

TITLE, SMALL = 1200, 900  # of letters [a hundredth of a point]


@dataclass(frozen=True)
class Line:
    """One series: what it is called, the range of its figures, and the figures themselves."""

    name: str
    reference: str
    values: Sequence[float]


@dataclass(frozen=True)
class Bars:
    """A bar chart, in the terms that matter here. ``alternative`` says in words what it shows."""

    title: str
    alternative: str
    axis: str
    categories: tuple[str, Sequence[str]]
    lines: Sequence[Line]
    stacked: bool = False
    across: bool = False
    number_format: str = "0.00"
    tornado: bool = False
    category: str = "Product"


def bar_chart(bars: Bars, *, width: float, height: float) -> Any:
    """Return the chart. [width and height in centimetre]"""
    chart: Any = BarChart()
    chart.type = "bar" if bars.across else "col"
    chart.grouping = "stacked" if bars.stacked else "clustered"
    chart.overlap = 100 if bars.stacked or bars.tornado else -10
    chart.gapWidth = 60
    chart.title = _text(bars.title, TITLE)
    chart.width, chart.height = width, height
    chart.roundedCorners = False
    chart.visible_cells_only = False  # what it shows may be folded away
    for at, line in enumerate(bars.lines):
        chart.series.append(_series(at, line, bars))
    _axes(chart, bars)
    if len(bars.lines) > 1:
        chart.legend.position = "b"
        chart.legend.overlay = False
        chart.legend.txPr = _letters(SMALL)
    else:
        chart.legend = None
    chart.title.overlay = False
    return chart


def _text(text: str, size: int) -> Title:
    """Return the title of a chart or of an axis in letters of some size. [a hundredth of a point]"""
    look = CharacterProperties(sz=size, b=size == TITLE)
    run = RegularTextRun(rPr=look, t=text)
    return Title(tx=Text(rich=RichText(p=[Paragraph(pPr=ParagraphProperties(defRPr=look), r=[run])])))


def _letters(size: int) -> RichText:
    """Return the look of a legend's or an axis's letters of some size. [a hundredth of a point]"""
    look = ParagraphProperties(defRPr=CharacterProperties(sz=size))
    return RichText(p=[Paragraph(pPr=look, endParaRPr=CharacterProperties(sz=size))])


def _series(at: int, line: Line, bars: Bars) -> Series:
    ref, texts = bars.categories
    points = [NumVal(idx=i, v=repr(float(value))) for i, value in enumerate(line.values)]
    names = [StrVal(idx=i, v=text) for i, text in enumerate(texts)]
    series = Series(idx=at, order=at)
    series.tx = SeriesLabel(v=line.name)
    series.val = NumDataSource(
        numRef=NumRef(f=line.reference, numCache=NumData(formatCode="General", ptCount=len(points), pt=points))
    )
    series.cat = AxDataSource(strRef=StrRef(f=ref, strCache=StrData(ptCount=len(names), pt=names)))
    series.spPr = GraphicalProperties(solidFill=SERIES[at % len(SERIES)])
    series.spPr.line = LineProperties(solidFill="FFFFFF", w=6350)
    series.invertIfNegative = False
    return series


def _axes(chart: Any, bars: Bars) -> None:
    chart.x_axis.delete = False
    chart.y_axis.delete = False
    chart.y_axis.title = _text(bars.axis, SMALL)
    chart.y_axis.title.overlay = False
    chart.x_axis.title = _text(bars.category, SMALL)
    chart.x_axis.title.overlay = False
    chart.y_axis.number_format = bars.number_format
    chart.y_axis.numFmt.sourceLinked = False
    chart.y_axis.majorGridlines.spPr = GraphicalProperties(ln=LineProperties(solidFill="D5DBDD", w=6350))
    chart.x_axis.tickLblPos = "low"
    chart.x_axis.txPr = chart.y_axis.txPr = _letters(SMALL)
    if bars.across:
        chart.x_axis.scaling.orientation = "maxMin"
        chart.y_axis.crosses = "max"
