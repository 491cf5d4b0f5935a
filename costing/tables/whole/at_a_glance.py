"""At a glance: for every product what it costs, what it should sell for, what it earns and what making it saves."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import Any

from costing.engine.operations import NOTHING, choose, look_up, pick, ratio_if, sum_where
from costing.engine.table import Table
from costing.fields.types import Key, Record, given
from costing.tables.lookups import of_product
from costing.tables.selling.channels import Channel

LONGEST_NAME = 60


class GlanceRow(Record):
    """One line of the first sheet: a product."""

    product: Key = given("Product", "A product. To see a new one here, choose it in a free line.", refers="products.product")


def glance_table(channels: Sequence[Channel]) -> Table:
    """Return the table of the first sheet, with a price column for each channel."""
    table = Table(
        "glance",
        "At a glance",
        "Product by product",
        "What each product costs, should sell for and earns, and what making it saves.",
        GlanceRow,
        spare=6,
        workbook=None,
    )
    _add_product(table)
    for channel, name in zip(channels, _headings(channels), strict=True):
        _add_price(table, channel, name)
    _add_results(table)
    return table


def _add_product(table: Table) -> None:
    @table.works_out("Name", "text")
    def name(row: Any, season: Any) -> Any:
        """Its name."""
        named = look_up(season.products.name, season.products.product, row.product)
        return choose(row.product == "", NOTHING, named)

    @table.works_out("Fill", "gram", decimals=0)
    def fill(row: Any, season: Any) -> Any:
        """What is filled in."""
        return of_product(row, season, "fill_grams")

    @table.works_out("Cost of one", "money")
    def cost(row: Any, season: Any) -> Any:
        """Everything that one costs before it is sold."""
        return of_product(row, season, "total")


def _headings(channels: Sequence[Channel]) -> list[str]:
    """Return what each channel is called in a heading: its name, or its key where names are alike or too long."""
    names = [channel.name or channel.channel for channel in channels]
    taken = Counter(name.lower() for name in names)
    taken.update(channel.channel for channel in channels if (channel.name or channel.channel).lower() != channel.channel)
    return [
        name if taken[name.lower()] == 1 and len(name) <= LONGEST_NAME else channel.channel
        for name, channel in zip(names, channels, strict=True)
    ]


def _add_price(table: Table, channel: Channel, name: str) -> None:

    def price(row: Any, season: Any) -> Any:
        mine = season.prices
        return sum_where(mine.used, mine.product, row.product, mine.channel, channel.channel)

    price.__name__ = f"price_{channel.channel.replace('-', '_')}"
    price.__doc__ = f"The price in this channel: {name}."
    table.works_out(f"Price, {name}", "money")(price)


def _add_results(table: Table) -> None:
    @table.works_out("Planned", decimals=0)
    def planned(row: Any, season: Any) -> Any:
        """How many are planned over all channels."""
        return of_product(row, season, "planned")

    @table.works_out("Season's profit", "money")
    def season_profit(row: Any, season: Any) -> Any:
        """What all planned sales of it leave."""
        return sum_where(season.prices.season_profit, season.prices.product, row.product)

    @table.works_out("Earns each", "money")
    def earns(row: Any, _: Any) -> Any:
        """The profit on one, over the plan."""
        return ratio_if(row.planned > 0, row.season_profit, row.planned)

    @table.works_out("Margin", shape="percent")
    def margin(row: Any, season: Any) -> Any:
        """The season's profit as a part of its sales without tax."""
        sales = sum_where(season.prices.season_net, season.prices.product, row.product)
        return ratio_if(sales > 0, row.season_profit, sales)

    @table.works_out("Making it saves", "money")
    def saving(row: Any, season: Any) -> Any:
        """On one, against the same from a bought base. Below zero the bought base is cheaper."""
        return sum_where(season.alternatives.saving, season.alternatives.product, row.product)

    @table.works_out("Cheaper", "text")
    def cheaper(row: Any, _: Any) -> Any:
        """Which of the two is cheaper, where they are compared."""
        place = 1 + choose(row.saving > 0, 1, 0) + choose(row.saving < 0, 2, 0)
        return pick(place, NOTHING, "own", "bought base")
