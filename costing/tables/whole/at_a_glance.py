"""At a glance: for every product what it costs, what it should sell for, what it earns and what making it saves."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from costing.engine.declared import REMARK, Rules, Worked, worked
from costing.engine.operations import NOTHING, choose, look_up, ratio_if, sum_where
from costing.engine.table import Table
from costing.fields.types import Key, Record, given
from costing.fields.views import Cells
from costing.tables.lookups import of_product
from costing.tables.selling.channels import Channel
from costing.tables.sources import Source

if TYPE_CHECKING:
    from costing.tables.book import Book


class Glance(Record):
    """One line of the first sheet: a product."""

    product: Key = given("Product", "A product. To see a new one here, choose it in a free line.", refers="products.product")


class GlanceRow(Glance, Rules):
    """What one of a product costs and earns; its prices, a column for each channel, come behind the cost."""

    @worked("Cost of one", "money")
    def cost(self, season: Book) -> float:
        """Everything that one costs before it is sold."""
        return of_product(self.product, season, season.products.total)

    @worked("Leaves each", "money")
    def leaves(self, season: Book) -> float:
        """What one leaves after every cost, over the plan."""
        planned = of_product(self.product, season, season.products.planned)
        return ratio_if(planned > 0, _of_plan(self, season, season.prices.season_profit), planned)

    @worked("Margin", shape="percent")
    def margin(self, season: Book) -> float:
        """The season's profit as a part of its sales without tax."""
        sales = _of_plan(self, season, season.prices.season_net)
        return ratio_if(sales > 0, _of_plan(self, season, season.prices.season_profit), sales)

    @worked("Making it saves", "money")
    def saving(self, season: Book) -> float:
        """On one, against the same from a bought base. Below zero the bought base is cheaper."""
        return sum_where(season.alternatives.saving, season.alternatives.product, self.product)

    @worked("Cheaper", "text")
    def cheaper(self, season: Book) -> str:
        """Which of the two is cheaper, where they are compared."""
        return look_up(season.alternatives.cheaper, season.alternatives.product, self.product)

    @worked("Look at", "text", role=REMARK)
    def look(self, season: Book) -> str:
        """Says so where one of its own prices leaves less than the margin wanted; Prices says which."""
        return choose(_of_plan(self, season, season.prices.misses) > 0, "misses its margin", NOTHING)


def _of_plan(row: GlanceRow, season: Book, values: Cells[float]) -> float:
    return sum_where(values, season.prices.product, row.product)


def glance_table(channels: Sequence[Channel]) -> Table[GlanceRow]:
    """Return the table of the first sheet, with a price column for each channel."""
    about = "What each product costs, should sell for and earns, and what making it saves."
    table = Table("glance", "At a glance", "Product by product", about, GlanceRow, spare=3, rows=glance_rows)
    table.insert("cost", [_price_in(each.channel) for each in channels])
    return table


def glance_rows(source: Source) -> list[Glance]:
    """Return a line of the first sheet for each product."""
    return [Glance(product=row.product) for row in source.records.products]


def _price_in(channel: str) -> Worked[float]:
    """Return the column of the prices in one channel."""

    def price(row: GlanceRow, season: Book) -> float:
        mine = season.prices
        return sum_where(mine.used, mine.product, row.product, mine.channel, channel)

    key = f"price_{channel.replace('-', '_')}"
    return Worked(price, f"Price, {channel}", "money", f"The price in this channel: {channel}.", key=key)
