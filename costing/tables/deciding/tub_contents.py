"""In a tub: the grams and pieces of every bought item in one of each product, and what they cost."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from costing.engine.declared import Rules, worked
from costing.engine.operations import join, position_of, ratio, read_as, sum_where, value_at
from costing.engine.table import Table
from costing.fields.types import Key, Record, given
from costing.fields.views import Cells
from costing.tables.deciding.contents import content_rows
from costing.tables.lookups import text_of_product
from costing.tables.sources import Source

if TYPE_CHECKING:
    from costing.tables.book import Book


class InTub(Record):
    """One bought item in one product."""

    product: Key = given("Product", "The product.")
    item: Key = given("Item", "The bought item in it.")


class InTubRow(InTub, Rules):
    """How much of an item one tub takes, and what it costs there."""

    @worked("Filled with", "text")
    def filled_with(self, season: Book) -> str:
        """The product's filling."""
        return text_of_product(self.product, season, season.products.filled_with)

    @worked("Tub", "text")
    def tub(self, season: Book) -> str:
        """The product's package."""
        return text_of_product(self.product, season, season.products.tub)

    @worked("Place on Products", decimals=0)
    def product_row(self, season: Book) -> float:
        """In which row on Products the product stands, the heading being 1."""
        return position_of(season.products.found_as, self.product)

    @worked("Place on Items", decimals=0)
    def item_row(self, season: Book) -> float:
        """In which row on Items the item stands, the heading being 1."""
        return position_of(season.items.found_as, self.item)

    @worked("Place on Contents", decimals=0)
    def content_row(self, season: Book) -> float:
        """In which row on Contents it says how much of the item is in the filling; 0 where none is."""
        return position_of(season.contents.found_as, join(self.filled_with, "|", self.item))

    @worked("Filling used", "gram", decimals=1)
    def used(self, season: Book) -> float:
        """What filling one takes."""
        return value_at(season.products.used, self.product_row)

    @worked("Weighed in for one", "gram", decimals=3)
    def weighed(self, season: Book) -> float:
        """Grams of the item that are weighed in to make one, with what is lost on the way; they need not match its cost."""
        return self.used * value_at(season.contents.weighed_per_gram, self.content_row)

    @worked("Grams that it bears", "gram", decimals=3)
    def grams(self, season: Book) -> float:
        """Grams of the item whose cost one bears: none in trimmings valued at nothing, whose cost others bear."""
        return self.used * value_at(season.contents.per_gram, self.content_row)

    @worked("Pieces in one", "piece", decimals=0)
    def pieces(self, season: Book) -> float:
        """Pieces of the item that one takes."""
        return sum_where(season.tubs.count, season.tubs.tub, self.tub, season.tubs.part, self.item)

    @worked("Cost per gram", "money/gram", decimals=5)
    def gram_price(self, season: Book) -> float:
        """What a gram of the item counts at."""
        return value_at(season.items.per_gram, self.item_row)

    @worked("Cost per piece", "money/piece", decimals=4)
    def piece_price(self, season: Book) -> float:
        """What a piece of the item counts at."""
        return value_at(season.items.per_piece, self.item_row)

    @worked("Cost borne by one", "money", decimals=4)
    def cost(self, _: Book) -> float:
        """What one bears of the item's cost, as outputs share it: more or less than what is weighed in for it."""
        return self.grams * self.gram_price + self.pieces * self.piece_price

    @worked("Grams whose price it follows", "gram", decimals=3)
    def moving_grams(self, season: Book) -> float:
        """Grams of the item that the cost of one goes with: fewer or more than it bears where an output's worth is set."""
        return self.used * value_at(season.contents.moving_per_gram, self.content_row)

    @worked("Moves with its price", "money", decimals=4)
    def moving(self, _: Book) -> float:
        """What of one's cost follows the item's price: less or more than it costs where an output's worth is set."""
        return self.moving_grams * self.gram_price + self.pieces * self.piece_price

    @worked("Spread makes of it", "money", decimals=4)
    def spread(self, season: Book) -> float:
        """What the item's spread of prices, by What moves it, makes of the cost of one."""
        return _following(self, _range_of(self, season, season.price_ranges.spread))

    @worked("Its square", "money**2", decimals=6)
    def squared(self, _: Book) -> float:
        """For the likely range of the cost."""
        return self.spread * self.spread

    @worked("At its cheapest, changes by", "money", decimals=4)
    def cheaper(self, season: Book) -> float:
        """What the cost of one changes by if the item counts at its cheapest purchase."""
        return _following(self, _range_of(self, season, season.price_ranges.below))

    @worked("At its dearest, changes by", "money", decimals=4)
    def dearer(self, season: Book) -> float:
        """The same at its dearest."""
        return _following(self, _range_of(self, season, season.price_ranges.above_it))

    @worked("Of the whole cost", shape="percent")
    def share(self, season: Book) -> float:
        """Its part of everything that one costs."""
        return ratio(self.cost, value_at(season.products.total, self.product_row))


def _range_of(row: InTubRow, season: Book, values: Cells[float]) -> float:
    return sum_where(values, season.price_ranges.item, row.item)


def _following(row: InTubRow, each: float) -> float:
    """Return what the cost of one changes by when a gram or piece of the item costs so much more. [money]"""
    return row.moving_grams * read_as(each, "money/gram") + row.pieces * read_as(each, "money/piece")


def in_tub_rows(source: Source) -> list[InTub]:
    """Return every bought item of every product: those in its filling, then the parts of its tub."""
    inside: dict[str, list[str]] = defaultdict(list)
    for row in source.of(content_rows):
        if row.row == "made":
            inside[row.what].append(row.item)
    parts: dict[str, list[str]] = defaultdict(list)
    for part in source.records.tubs:
        parts[part.tub].append(part.part)
    return [
        InTub.model_construct(product=product.product, item=item)
        for product in source.records.products
        for item in dict.fromkeys([*inside[product.filled_with], *parts[product.tub]])
    ]


def items_in_tubs(source: Source) -> list[str]:
    """Return every bought item that any product takes."""
    return list(dict.fromkeys(row.item for row in source.of(in_tub_rows)))


IN_TUBS = Table(
    "in_tubs",
    "In a tub",
    "What is in a tub",
    "What is weighed in of every bought item for one of each product, losses included, and what of its cost one bears. "
    "The two need not match: trimmings valued at nothing hold oil that the bars pay for.",
    InTubRow,
    spare=0,
    fixed=True,
    rows=in_tub_rows,
    results=("weighed", "pieces", "cost", "share"),
)
