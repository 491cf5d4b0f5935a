"""Shelf cards: what stands at the shelf for each tub, ready to print and cut."""

from __future__ import annotations

from typing import TYPE_CHECKING

from costing.engine.declared import REMARK, Rules, worked
from costing.engine.operations import NOTHING, choose, sum_where
from costing.engine.table import Sheet, Table
from costing.fields.types import Key, Record, given
from costing.fields.views import Cells
from costing.tables.lookups import of_channel, text_of_product
from costing.tables.selling.price_ladder import UNIT_PRICE, ladder_rows
from costing.tables.sources import Source

if TYPE_CHECKING:
    from costing.tables.book import Book


class ShelfCard(Record):
    """One shelf card: a product in a channel."""

    product: Key = given("Product", "A product. For a new card, choose it in a free line.", refers="products.product")
    channel: Key = given("Channel", "The channel whose price the card shows.", refers="channels.channel")


TAX_MISSING = "price without tax"


def _step(row: ShelfCardRow, season: Book, values: Cells[float]) -> float:
    mine = season.ladder
    return sum_where(values, mine.product, row.product, mine.channel, row.channel)


class ShelfCardRow(ShelfCard, Rules):
    """What stands on one card."""

    @worked("Name", "text")
    def name(self, season: Book) -> str:
        """Its longer name from Products, or what it is called everywhere where none is written."""
        return text_of_product(self.product, season, season.products.shown_as)

    @worked("On the label", "gram", decimals=0)
    def on_label(self, season: Book) -> float:
        """The weight on the label."""
        return _step(self, season, season.ladder.on_label)

    @worked("Price", "money")
    def price(self, season: Book) -> float:
        """The price as it is shown."""
        return _step(self, season, season.ladder.price)

    @worked("Per 100 g", "money", shape=UNIT_PRICE)
    def per_100g(self, season: Book) -> float:
        """The unit price of 100 g, from the Price ladder."""
        return _step(self, season, season.ladder.per_100g)

    @worked("Per kg", "money/kilogram", shape=UNIT_PRICE)
    def per_kg(self, season: Book) -> float:
        """The unit price of a kilogram, from the Price ladder. Which of the two must stand there is for local law to say."""
        return _step(self, season, season.ladder.per_kg)

    @worked("Look at", "text", role=REMARK)
    def remark(self, season: Book) -> str:
        """Says so when the channel's price leaves out a sales tax that customers pay."""
        left_out = of_channel(self.channel, season, season.channels.sales_tax_percent) > of_channel(
            self.channel, season, season.channels.tax_shown
        )
        return choose(left_out, TAX_MISSING, NOTHING)


def shelf_rows(source: Source) -> list[ShelfCard]:
    """Return a card for each planned price that stands at a shelf of the maker's: with all its tax in it, and no parcel."""
    records = source.records
    shelves = {
        row.channel
        for row in records.channels
        if (row.shown_with_tax == "yes" or not row.sales_tax_percent) and not row.parcel_each and not row.of_channel
    }
    planned = {(row.product, row.channel) for row in records.prices if row.planned and row.channel in shelves}
    return [
        ShelfCard(product=row.product, channel=row.channel)
        for row in source.of(ladder_rows)
        if (row.product, row.channel) in planned
    ]


SHELF = Table(
    "shelf",
    Sheet("Shelf cards", protected=True, frozen=2, cut_apart=True),
    "Shelf cards",
    "Name, weight on the label, price and unit price of each tub. Printed without the first two columns, to be cut apart.",
    ShelfCardRow,
    spare=6,
    rows=shelf_rows,
)
