"""The likely range of what one costs: from how far each item's price was spread over its purchases in the window.

Independent inputs go together by the root of the sum of squares (JCGM 100:2008, 5.1.2).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from costing.engine.declared import Rules, worked
from costing.engine.operations import choose, largest_at, ratio, root, squares_about, sum_where
from costing.engine.table import Table
from costing.fields.types import Key, Record, given
from costing.fields.views import Cells
from costing.tables import equations
from costing.tables.deciding.cost_drivers import MOVES_SHEET
from costing.tables.deciding.decide_sheet import DECIDE
from costing.tables.deciding.tub_contents import items_in_tubs
from costing.tables.lookups import of_item, of_product
from costing.tables.sources import Source

if TYPE_CHECKING:
    from costing.tables.book import Book


class PriceRange(Record):
    """An item that a product takes."""

    item: Key = given("Item", "Something that the products take.")


class PriceRangeRow(PriceRange, Rules):
    """How far its price was spread over the purchases in the window of average and dearest."""

    @worked("Purchases", decimals=0)
    def number(self, season: Book) -> float:
        """How many there are in the window, returns and what was free left out."""
        return sum_where(season.purchases.window_counts, season.purchases.item, self.item)

    @worked("Counts at", "money/each", decimals=5)
    def price(self, season: Book) -> float:
        """What a gram or piece counts at."""
        return of_item(self.item, season, season.items.price)

    @worked("Mean", "money/each", decimals=5)
    def mean(self, season: Book) -> float:
        """The mean of what a gram or piece cost, purchase by purchase."""
        return ratio(sum_where(season.purchases.window_price, season.purchases.item, self.item), self.number)

    @worked("Spread", "money/each", decimals=5)
    def spread(self, season: Book) -> float:
        """The sample standard deviation of these prices; 0 for fewer than two."""
        mine = season.purchases
        return equations.spread(squares_about(mine.window_price, mine.item, self.item, self.mean), self.number)

    @worked("Cheapest", "money/each", decimals=5)
    def cheapest(self, season: Book) -> float:
        """Its cheapest purchase in the window; what it counts at where there is none."""
        mine = season.purchases
        return choose(self.number > 0, largest_at(mine.window_price, mine.item, self.item, self.number), self.price)

    @worked("Dearest", "money/each", decimals=5)
    def dearest(self, season: Book) -> float:
        """Its dearest one."""
        return choose(self.number > 0, of_item(self.item, season, season.items.dearest), self.price)

    @worked("Cheapest, against it", "money/each", decimals=5)
    def below(self, _: Book) -> float:
        """How far the cheapest lies from what it counts at."""
        return self.cheapest - self.price

    @worked("Dearest, against it", "money/each", decimals=5)
    def above_it(self, _: Book) -> float:
        """How far the dearest does."""
        return self.dearest - self.price


def price_range_rows(source: Source) -> list[PriceRange]:
    """Return every bought item that any product takes."""
    return [PriceRange.model_construct(item=item) for item in source.of(items_in_tubs)]


PRICE_RANGES = Table(
    "price_ranges",
    MOVES_SHEET,
    "How far prices were spread",
    "Each item's price per gram or piece over its purchases in the window of average and dearest.",
    PriceRangeRow,
    spare=0,
    fixed=True,
    rows=price_range_rows,
    results=("number", "price", "mean", "spread", "cheapest", "dearest"),
)


class CostRange(Record):
    """A product."""

    product: Key = given("Product", "A product.")


def _over_items(row: CostRangeRow, season: Book, values: Cells[float]) -> float:
    return sum_where(values, season.in_tubs.product, row.product)


class CostRangeRow(CostRange, Rules):
    """How far what one costs may be off."""

    @worked("Cost of one", "money")
    def cost(self, season: Book) -> float:
        """Everything that one costs now."""
        return of_product(self.product, season, season.products.total)

    @worked("Made for one sold", decimals=4)
    def made(self, season: Book) -> float:
        """How many are made for each one that is sold: what moves one moves those unsold too."""
        return of_product(self.product, season, season.products.made_for_one)

    @worked("Likely, more or less", "money", decimals=3)
    def likely(self, season: Book) -> float:
        """The root of the sum of squares of what each item's spread makes of it."""
        return root(_over_items(self, season, season.in_tubs.squared)) * self.made

    @worked("At the cheapest", "money")
    def cheapest(self, season: Book) -> float:
        """What one costs with each item at its cheapest purchase in the window."""
        return self.cost + _over_items(self, season, season.in_tubs.cheaper) * self.made

    @worked("At the dearest", "money")
    def dearest(self, season: Book) -> float:
        """The same with each at its dearest."""
        return self.cost + _over_items(self, season, season.in_tubs.dearer) * self.made


def cost_range_rows(source: Source) -> list[CostRange]:
    """Return every product."""
    return [CostRange.model_construct(product=row.product) for row in source.records.products]


COST_RANGES = Table(
    "cost_ranges",
    DECIDE,
    "How sure the cost is",
    "The likely range of what one costs, from how far your own receipts' prices were spread, and both ends.",
    CostRangeRow,
    spare=0,
    fixed=True,
    rows=cost_range_rows,
)
