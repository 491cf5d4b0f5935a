"""Stock: what is on hand, valued by first-in-first-out and by average, and what of it has lain long."""

from __future__ import annotations

from typing import Any

from costing.engine.expressions import Factor
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
from costing.engine.table import FigureList, Table
from costing.fields.types import Key, Record, given
from costing.tables.buying.purchases import ONE_DAY, ONE_EACH
from costing.tables.lookups import of_item, text_of_item


class StockRow(Record):
    """One line of the stock: an item."""

    item: Key = given("Item", "An item. To see a new one here, choose it in a free line.", refers="items.item")


UNCOVERED, SLOW = "more than was bought", "slow"
NO_DAY = Factor(0, "day")

STOCK = Table(
    "stock",
    "Stock",
    "Stock, item by item",
    "What is on hand by your count on Items, and what it cost. Used up first is what came in first.",
    StockRow,
    spare=8,
)


@STOCK.works_out("Name", "text")
def name(row: Any, season: Any) -> Any:
    """Its name."""
    return text_of_item(row, season, "name")


@STOCK.works_out("On hand", "each")
def on_hand(row: Any, season: Any) -> Any:
    """Grams or pieces in stock, by your count."""
    return read_as(of_item(row, season, "on_hand"), "each")


@STOCK.works_out("Kept of all bought", "each")
def bought(row: Any, season: Any) -> Any:
    """All that came in by the day priced on, returns taken off."""
    mine = season.purchases
    return sum_after(mine.amount, mine.item, row.item, mine.kept_day, NO_DAY)


@STOCK.works_out("Valued", "each")
def covered(row: Any, _: Any) -> Any:
    """What of the stock the receipts show to have come in: no more can be valued."""
    return smaller(row.on_hand, row.bought)


@STOCK.works_out("First in, first out", "money")
def by_fifo(row: Any, season: Any) -> Any:
    """What it cost, the newest purchases being those still there (IAS 2 paragraph 25)."""
    return sum_where(season.purchases.stock_cost, season.purchases.item, row.item)


@STOCK.works_out("Average", "money/each", decimals=5)
def average(row: Any, season: Any) -> Any:
    """Per gram or piece over all purchases up to the day priced on, returns taken off."""
    mine = season.purchases
    return ratio(sum_after(mine.landed, mine.item, row.item, mine.kept_day, NO_DAY), row.bought)


@STOCK.works_out("By average", "money")
def by_average(row: Any, _: Any) -> Any:
    """What it cost by the average of all purchases (IAS 2 paragraph 25)."""
    return row.covered * row.average


@STOCK.works_out("At the latest price", "money")
def at_latest(row: Any, season: Any) -> Any:
    """What the same would cost at the price last paid."""
    return row.covered * of_item(row, season, "latest")


@STOCK.works_out("Last bought on", "day", shape="date")
def latest_day(row: Any, season: Any) -> Any:
    """The newest day on which it was paid for."""
    return of_item(row, season, "latest_day")


@STOCK.works_out("Older than its price", "each")
def older(row: Any, season: Any) -> Any:
    """What of the stock came in before the day that set the latest price."""
    mine = season.purchases
    since = sum_after(mine.amount, mine.item, row.item, mine.kept_day, row.latest_day - ONE_DAY)
    return choose(row.latest_day > 0, larger(row.covered - since, 0), 0)


@STOCK.works_out("Age of price", "day", decimals=0)
def age(row: Any, season: Any) -> Any:
    """Days since it was last paid for."""
    return of_item(row, season, "age")


@STOCK.works_out("Covers of the plan", shape="percent")
def covers(row: Any, season: Any) -> Any:
    """How much of what the plan takes of it is there; 200 % would do for two such seasons. Blank where it takes none."""
    return ratio(row.on_hand, sum_where(season.buying.needed, season.buying.item, row.item))


@STOCK.works_out("Look at", "text")
def remark(row: Any, season: Any) -> Any:
    """Says so when more is there than was bought, or when it was last bought longer ago than the days on Settings."""
    more = row.on_hand - row.bought > season.settings.tolerance * ONE_EACH
    slow = both(row.covered > 0, row.covered == row.on_hand, row.age > season.settings.slow_days)
    place = 1 + choose(more, 1, 0) + choose(slow, 2, 0)
    return pick(place, NOTHING, UNCOVERED, SLOW)


STOCK_TOTALS = FigureList("stock_totals", "Stock", "all_stock_")


@STOCK_TOTALS.works_out("First in, first out", "money")
def fifo(season: Any) -> Any:
    """What all stock cost, the newest purchases being those still there."""
    return total(season.stock.by_fifo)


@STOCK_TOTALS.works_out("By average", "money")
def averaged(season: Any) -> Any:
    """What all stock cost by the average of all purchases of each item."""
    return total(season.stock.by_average)


@STOCK_TOTALS.works_out("At latest prices", "money")
def latest(season: Any) -> Any:
    """What all stock would cost at the prices last paid."""
    return total(season.stock.at_latest)


@STOCK_TOTALS.works_out("Of it slow", "money")
def slow(season: Any) -> Any:
    """What the slow stock cost, first in first out."""
    return sum_where(season.stock.by_fifo, season.stock.remark, SLOW)
