"""The sheet "Since last season": its page, and the charts of what one cost then and now and of what changed it."""

from __future__ import annotations

from costing.season.comparing import Comparison
from costing.tables.whole.two_seasons import EFFECTS
from costing.workbook.write.charts import Bars, Line
from costing.workbook.write.layout import Layout, Page, TableBlock
from costing.workbook.write.sheet_drawer import SheetDrawer

SINCE = "Since last season"
ROW_HEIGHT = 0.45  # of a row of ten-point text [centimetre]


def since_page(comparison: Comparison) -> Page:
    """Return the page, the charts' room below what one costs."""
    then = comparison.old.records.season
    about = (
        f"Against {then.name}, priced on {then.priced_on.isoformat()}; grey is kept from the day of export. Replaced in "
        "this order: prices of what is bought; formulas, fills and minutes; rates of work and power; tubs; overheads."
    )
    blocks = [TableBlock(filled) for filled in comparison.tables if filled.rows]
    if comparison.products.rows:
        blocks[0].room = int(_height(comparison) / ROW_HEIGHT) + 2
    if not blocks:
        blocks = [TableBlock(comparison.products)]
    return Page(SINCE, SINCE, about, list(blocks), protected=True, new_page=comparison.items.table.key)


def since_charts(comparison: Comparison, layout: Layout) -> list[Bars]:
    """Return the two charts; none where no product is in both seasons."""
    rows = comparison.products.rows
    if not rows:
        return []
    currency = comparison.new.records.season.currency
    products = (layout.reference("since_products", "product"), [row.product for row in rows])

    def line(name: str, key: str) -> Line:
        return Line(name, layout.reference("since_products", key), [getattr(row, key) for row in rows])

    both = Bars(
        "What one costs, then and now",
        "Bars side by side: the cost of one of each product last season and now.",
        currency,
        products,
        [line("Then", "then"), line("Now", "now")],
        across=True,
    )
    split = Bars(
        "What changed it",
        "Stacked bars: what purchases, formulas, rates, packaging and overheads did to the cost of one of each product.",
        currency,
        products,
        [line(effect.capitalize(), effect) for effect in EFFECTS],
        stacked=True,
        across=True,
    )
    return [both, split]


def add_since_charts(drawer: SheetDrawer, comparison: Comparison, charts: list[Bars]) -> None:
    """Put the charts side by side into the room below the first table."""
    top = drawer.page.blocks[0].last + 2
    half = drawer.width / 2
    for bars, anchor in zip(charts, (f"A{top}", f"{drawer.column_at(half)}{top}"), strict=True):
        drawer.add_chart(bars, anchor, width=half - 0.6, height=_height(comparison))
    drawer.page.last_chart_row = top + int(_height(comparison) / ROW_HEIGHT) + 1


def _height(comparison: Comparison) -> float:
    """How tall the charts are. [centimetre]"""
    return max(8.0, 0.7 * len(comparison.products.rows) + 3.5)
