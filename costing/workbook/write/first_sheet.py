"""The charts of the first sheet, beside what it says: what one of each product costs, and own against bought."""

from __future__ import annotations

from typing import Any

from costing.season.costed import Season
from costing.workbook.write.charts import Bars, Line
from costing.workbook.write.layout import FIRST_BLOCK, Layout
from costing.workbook.write.sheet_drawer import SheetDrawer

CHART_WIDTH, CHART_GAP, LEAST_CHART = 13.0, 0.4, 6.0  # [centimetre]
BAR_HEIGHT, CHART_FRAME = 0.6, 3.0  # of a bar, and of what stands around them [centimetre]
POINTS = 28.35  # of a centimetre
LEAST_ROW = 12.0  # of ten-point text in any program [point]


def _heights(season: Any) -> list[float]:
    """Return how high each chart is; the second is there where anything is compared. [centimetre]"""
    bars = [len(season.products.rows), *([2 * len(season.alternatives.rows)] if season.alternatives.rows else [])]
    return [max(LEAST_CHART, BAR_HEIGHT * number + CHART_FRAME) for number in bars]


def chart_rows(season: Season) -> int:
    """Return how many rows the charts reach down, from the first block on, however low rows are."""
    return int(sum(_heights(season)) * POINTS / LEAST_ROW) + 3


def add_charts(drawer: SheetDrawer, season: Any, layout: Layout) -> None:
    """Put the charts to the right of all columns, one under the other."""
    charts = [_cost_chart(season, layout), *([_comparison_chart(season, layout)] if season.alternatives.rows else [])]
    drawer.make_room(CHART_GAP)
    column, row = drawer.make_room(CHART_WIDTH), FIRST_BLOCK
    for chart, height in zip(charts, _heights(season), strict=True):
        drawer.add_chart(chart, f"{column}{row}", width=CHART_WIDTH, height=height)
        row = drawer.rows.row_below(row, height * POINTS) + 1
    drawer.page.last_chart_row = row


def _line(season: Any, layout: Layout, table: str, column: str, name: str) -> Line:
    """Return a column of a table as a series."""
    values = [getattr(row, column) for row in getattr(season, table).rows]
    return Line(name, layout.reference(table, column), values)


def _categories(season: Any, layout: Layout, table: str, column: str) -> tuple[str, list[str]]:
    """Return a column of a table as what stands under or beside the bars."""
    return layout.reference(table, column), [getattr(row, column) for row in getattr(season, table).rows]


def _cost_chart(season: Any, layout: Layout) -> Bars:
    parts = ("materials", "packaging", "work", "power", "unsold", "overheads")
    headings = season.products.table.columns
    return Bars(
        "What one costs",
        "Stacked bars: the cost of one of each product in materials, packaging, work, power, unsold and overheads.",
        season.records.season.currency,
        _categories(season, layout, "products", "product"),
        [_line(season, layout, "products", part, headings[part].heading) for part in parts],
        stacked=True,
        across=True,
        number_format="0",
    )


def _comparison_chart(season: Any, layout: Layout) -> Bars:
    return Bars(
        "Own or bought: what one costs, overheads aside",
        "Bars side by side: the cost of one of your own and of the same from a bought base, without overheads.",
        season.records.season.currency,
        _categories(season, layout, "alternatives", "product"),
        [
            _line(season, layout, "alternatives", "own_cost", "Own"),
            _line(season, layout, "alternatives", "bought_cost", "From bought base"),
        ],
        across=True,
    )
