"""At a glance: for every product what it costs, what it should sell for, what it earns and what making it saves."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from costing.engine.declared import Rules, Worked, worked
from costing.engine.operations import NOTHING, choose, pick, ratio_if, sum_where
from costing.engine.table import Table
from costing.fields.types import Key, Record, given
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

    @worked("Fill", "gram", decimals=0)
    def fill(self, season: Book) -> float:
        """What is filled in."""
        return of_product(self.product, season, season.products.fill_grams)

    @worked("Cost of one", "money")
    def cost(self, season: Book) -> float:
        """Everything that one costs before it is sold."""
        return of_product(self.product, season, season.products.total)

    @worked("Planned", decimals=0)
    def planned(self, season: Book) -> float:
        """How many are planned over all channels."""
        return of_product(self.product, season, season.products.planned)

    @worked("Season's profit", "money")
    def season_profit(self, season: Book) -> float:
        """What all planned sales of it leave."""
        return sum_where(season.prices.season_profit, season.prices.product, self.product)

    @worked("Earns each", "money")
    def earns(self, _: Book) -> float:
        """The profit on one, over the plan."""
        return ratio_if(self.planned > 0, self.season_profit, self.planned)

    @worked("Margin", shape="percent")
    def margin(self, season: Book) -> float:
        """The season's profit as a part of its sales without tax."""
        sales = sum_where(season.prices.season_net, season.prices.product, self.product)
        return ratio_if(sales > 0, self.season_profit, sales)

    @worked("Making it saves", "money")
    def saving(self, season: Book) -> float:
        """On one, against the same from a bought base. Below zero the bought base is cheaper."""
        return sum_where(season.alternatives.saving, season.alternatives.product, self.product)

    @worked("Cheaper", "text")
    def cheaper(self, _: Book) -> str:
        """Which of the two is cheaper, where they are compared."""
        place = 1 + choose(self.saving > 0, 1, 0) + choose(self.saving < 0, 2, 0)
        return pick(place, NOTHING, "own", "bought base")


def glance_table(channels: Sequence[Channel]) -> Table[GlanceRow]:
    """Return the table of the first sheet, with a price column for each channel."""
    about = "What each product costs, should sell for and earns, and what making it saves."
    table = Table("glance", "At a glance", "Product by product", about, GlanceRow, spare=6, rows=glance_rows)
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
