"""Wholesale list: what a shop that sells on may see of each tub, to print."""

from __future__ import annotations

from typing import TYPE_CHECKING

from costing.engine.declared import Rules, worked
from costing.engine.operations import sum_where
from costing.engine.table import Sheet, Table
from costing.fields.types import Key, Record, given
from costing.tables.lookups import of_price, of_product, text_of_product
from costing.tables.sources import Source

if TYPE_CHECKING:
    from costing.tables.book import Book


class Wholesale(Record):
    """One line of the list: a product to a shop that sells on."""

    product: Key = given("Product", "A product. For a new line, choose it in a free one.", refers="products.product")
    channel: Key = given("Channel", "The shop, or all shops that pay the same.", refers="channels.channel")


class WholesaleRow(Wholesale, Rules):
    """What stands on one line: nothing of costs, margins or plans."""

    @worked("Name", "text")
    def name(self, season: Book) -> str:
        """Its longer name from Products, or what it is called everywhere where none is written."""
        return text_of_product(self.product, season, season.products.shown_as)

    @worked("On the label", "gram", decimals=0)
    def on_label(self, season: Book) -> float:
        """The weight on the label."""
        return of_product(self.product, season, season.products.on_label)

    @worked("Price to shops", "money")
    def price(self, season: Book) -> float:
        """What the shop pays for one, with sales tax where its channel shows it so."""
        return of_price(self.product, self.channel, season, season.prices.used)

    @worked("Recommended retail", "money")
    def retail(self, season: Book) -> float:
        """What customers pay for one elsewhere, and may pay there: a shop is free to ask another price."""
        return of_price(self.product, self.channel, season, season.prices.retail)

    @worked("In a carton", decimals=0)
    def in_carton(self, season: Book) -> float:
        """How many go in a carton, where Products says so."""
        return sum_where(season.products.carton, season.products.product, self.product)


def wholesale_rows(source: Source) -> list[Wholesale]:
    """Return a line for each planned price of a shop that sells on."""
    records = source.records
    shops = {row.channel for row in records.channels if row.of_channel}
    return [
        Wholesale(product=row.product, channel=row.channel) for row in records.prices if row.planned and row.channel in shops
    ]


WHOLESALE = Table(
    "wholesale",
    Sheet("Wholesale list", protected=True, frozen=2),
    "Wholesale list",
    "For shops that sell on: name, weight on the label, price to them, recommended retail price, how many in a carton.",
    WholesaleRow,
    spare=6,
    rows=wholesale_rows,
)
