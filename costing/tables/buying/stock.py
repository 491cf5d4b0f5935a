"""Stock: what is on hand, valued by first-in-first-out and by average, and what of it has lain long."""

from __future__ import annotations

from typing import TYPE_CHECKING

from costing.engine.declared import REMARK, Figures, Rules, worked
from costing.engine.operations import (
    NOTHING,
    both,
    choose,
    larger,
    pick,
    ratio,
    read_as,
    smaller,
    sum_after,
    sum_where,
    total,
)
from costing.engine.table import FigureList, Sheet, Table
from costing.fields.types import Key, Record, given
from costing.tables.buying.items import item_rows
from costing.tables.lookups import of_item
from costing.tables.ones import NO_DAY, ONE_DAY, ONE_EACH
from costing.tables.sources import Source

if TYPE_CHECKING:
    from costing.tables.book import Book


class Stock(Record):
    """One line of the stock: an item."""

    item: Key = given("Item", "An item. To see a new one here, choose it in a free line.", refers="items.item")


UNCOVERED, SLOW = "more than was bought", "slow"


class StockRow(Stock, Rules):
    """What is on hand of an item, and what it is worth."""

    @worked("On hand", "each")
    def on_hand(self, season: Book) -> float:
        """Grams or pieces in stock, by your count."""
        return read_as(of_item(self.item, season, season.items.on_hand), "each")

    @worked("Kept of all bought", "each")
    def bought(self, season: Book) -> float:
        """All that came in by the day priced on, returns taken off."""
        mine = season.purchases
        return sum_after(mine.amount, mine.item, self.item, mine.kept_day, NO_DAY)

    @worked("Valued", "each")
    def covered(self, _: Book) -> float:
        """What of the stock the receipts show to have come in: no more can be valued."""
        return smaller(self.on_hand, self.bought)

    @worked("First in, first out", "money")
    def by_fifo(self, season: Book) -> float:
        """What it cost, the newest purchases being those still there (IAS 2 paragraph 25)."""
        return sum_where(season.purchases.stock_cost, season.purchases.item, self.item)

    @worked("Average", "money/each", decimals=5)
    def average(self, season: Book) -> float:
        """Per gram or piece over all purchases up to the day priced on, returns taken off."""
        mine = season.purchases
        return ratio(sum_after(mine.landed, mine.item, self.item, mine.kept_day, NO_DAY), self.bought)

    @worked("By average", "money")
    def by_average(self, _: Book) -> float:
        """What it cost by the average of all purchases (IAS 2 paragraph 25)."""
        return self.covered * self.average

    @worked("At the latest price", "money")
    def at_latest(self, season: Book) -> float:
        """What the same would cost at the price last paid."""
        return self.covered * of_item(self.item, season, season.items.latest)

    @worked("Last bought on", "day", shape="date")
    def latest_day(self, season: Book) -> float:
        """The newest day on which it was paid for."""
        return of_item(self.item, season, season.items.latest_day)

    @worked("Older than its price", "each")
    def older(self, season: Book) -> float:
        """What of the stock came in before the day that set the latest price."""
        mine = season.purchases
        since = sum_after(mine.amount, mine.item, self.item, mine.kept_day, self.latest_day - ONE_DAY)
        return choose(self.latest_day > 0, larger(self.covered - since, 0), 0)

    @worked("Age of price", "day", decimals=0)
    def age(self, season: Book) -> float:
        """Days since it was last paid for."""
        return of_item(self.item, season, season.items.age)

    @worked("Covers of the plan", shape="percent")
    def covers(self, season: Book) -> float:
        """How much of what the plan takes of it is there; 200 % would do for two such seasons. Blank where it takes none."""
        return ratio(self.on_hand, _taken_by_plan(self, season))

    @worked("Spent on it", "money")
    def spent(self, _: Book) -> float:
        """What all that came in by the day priced on cost, delivery and discounts shared out."""
        return self.bought * self.average

    @worked("Into the plan", "money")
    def into_plan(self, season: Book) -> float:
        """Of that, for what the planned tubs take, as far as it was bought."""
        return smaller(_taken_by_plan(self, season), self.bought) * self.average

    @worked("Into stock", "money")
    def into_stock(self, _: Book) -> float:
        """Of the rest, for what is on hand by your count."""
        return smaller(self.by_average, self.spent - self.into_plan)

    @worked("Into neither", "money")
    def into_neither(self, _: Book) -> float:
        """For what no planned tub takes and no count finds: used earlier, not counted, or a receipt misread."""
        return self.spent - self.into_plan - self.into_stock

    @worked("Look at", "text", role=REMARK)
    def remark(self, season: Book) -> str:
        """Says so when more is there than was bought, or when it was last bought longer ago than the days on Settings."""
        more = self.on_hand - self.bought > season.settings.tolerance * ONE_EACH
        slow = both(self.covered > 0, self.covered == self.on_hand, self.age > season.settings.slow_days)
        place = 1 + choose(more, 1, 0) + choose(slow, 2, 0)
        return pick(place, NOTHING, UNCOVERED, SLOW)


def _taken_by_plan(row: StockRow, season: Book) -> float:
    return sum_where(season.buying.needed, season.buying.item, row.item)


def stock_rows(source: Source) -> list[Stock]:
    """Return a line of the stock for each item."""
    return [Stock(item=row.item) for row in source.of(item_rows)]


STOCK_SHEET = Sheet(
    "Stock",
    "Stock",
    "What is on hand by your count on Items, and what it cost. Used up first is what came in first. "
    "Whether it could be sold for as much is not looked at.",
)

STOCK = Table(
    "stock",
    STOCK_SHEET,
    "Stock, item by item",
    "What is on hand by your count on Items, and what it cost. Used up first is what came in first.",
    StockRow,
    spare=8,
    rows=stock_rows,
    results=(
        "on_hand",
        "bought",
        "by_fifo",
        "by_average",
        "at_latest",
        "latest_day",
        "spent",
        "into_plan",
        "into_stock",
        "into_neither",
    ),
)


class StockTotals(Figures):
    """What all stock is worth."""

    @worked("First in, first out", "money")
    def fifo(self, season: Book) -> float:
        """What all stock cost, the newest purchases being those still there."""
        return total(season.stock.by_fifo)

    @worked("By average", "money")
    def averaged(self, season: Book) -> float:
        """What all stock cost by the average of all purchases of each item."""
        return total(season.stock.by_average)

    @worked("At latest prices", "money")
    def latest(self, season: Book) -> float:
        """What all stock would cost at the prices last paid."""
        return total(season.stock.at_latest)

    @worked("Of it slow", "money")
    def slow(self, season: Book) -> float:
        """What the slow stock cost, first in first out."""
        return sum_where(season.stock.by_fifo, season.stock.remark, SLOW)

    @worked("Spent on all items", "money")
    def spent(self, season: Book) -> float:
        """What all receipts up to the day priced on came to, less the tax that is got back."""
        return total(season.stock.spent)

    @worked("Of it into the plan", "money")
    def into_plan(self, season: Book) -> float:
        """For what the planned tubs take."""
        return total(season.stock.into_plan)

    @worked("Of it into stock", "money")
    def into_stock(self, season: Book) -> float:
        """For what is on hand beyond the plan."""
        return total(season.stock.into_stock)

    @worked("Of it into neither", "money")
    def into_neither(self, season: Book) -> float:
        """For what no planned tub takes and no count finds."""
        return total(season.stock.into_neither)


STOCK_TOTALS = FigureList("stock_totals", STOCK_SHEET, "all_stock_", StockTotals, "All stock")
