"""What was understood, for the maker to hold against receipts: items' prices, currencies' rates, where the money went."""

from __future__ import annotations

from typing import TYPE_CHECKING

from costing.engine.declared import Figures, Rules, worked
from costing.engine.operations import NOTHING, choose, count_where, join, largest_where, pick, ratio, read_as, sum_where
from costing.engine.table import FigureList, Table
from costing.fields.types import Key, Record, given
from costing.fields.views import Cells, Words
from costing.tables.buying.items import item_rows
from costing.tables.lookups import of_item, text_of_item
from costing.tables.settings import CURRENCY
from costing.tables.sources import Source
from costing.tables.whole.checks import CHECKS_SHEET, alike

if TYPE_CHECKING:
    from costing.tables.book import Book


class Understood(Record):
    """One line of what was understood: an item."""

    item: Key = given("Item", "An item. To see a new one here, choose it in a free line.", refers="items.item")


class UnderstoodRow(Understood, Rules):
    """What an item costs, beside what it usually did."""

    @worked("Costs", "money/quoted")
    def costs(self, season: Book) -> float:
        """What a kilogram or piece of it counts at."""
        return _per_kg_or_piece(self, season, season.items.price)

    @worked("Usually", "money/quoted")
    def usually(self, season: Book) -> float:
        """What it usually cost: the median of all its purchases, as ratios."""
        return _per_kg_or_piece(self, season, season.items.usual)

    @worked("Per", "text")
    def per(self, season: Book) -> str:
        """A kg, or a piece."""
        piece = count_where(season.items.item, self.item, season.items.counted_in, "piece") > 0
        return pick(1 + choose(self.item == "", 0, 1) + choose(piece, 1, 0), NOTHING, "kg", "piece")

    @worked("What Items says of it", "text")
    def said(self, season: Book) -> str:
        """Its Remarks there."""
        return text_of_item(self.item, season, season.items.remarks)

    @worked("Last bought on", "day", shape="date")
    def latest_day(self, season: Book) -> float:
        """The newest day on which it was paid for."""
        return of_item(self.item, season, season.items.latest_day)

    @worked("From purchases", decimals=0)
    def purchases(self, season: Book) -> float:
        """How many were paid for by the day priced on."""
        return of_item(self.item, season, season.items.purchases_seen)


def _per_kg_or_piece(row: UnderstoodRow, season: Book, prices: Cells[float]) -> float:
    items = season.items
    pieces = sum_where(prices, items.item, row.item, items.counted_in, "piece")
    grams = sum_where(prices, items.item, row.item, items.counted_in, "g")
    return read_as(pieces + grams * 1000, "money/quoted")


def understood_rows(source: Source) -> list[Understood]:
    """Return a line for each item that was bought."""
    bought = {row.item for row in source.records.purchases if row.is_goods}
    return [Understood(item=row.item) for row in source.of(item_rows) if row.item in bought]


class CurrencyRate(Record):
    """One foreign currency of the receipts."""

    currency: Words = given("Currency", "A currency of receipts that is not the season's.", CURRENCY)


class CurrencyRateRow(CurrencyRate, Rules):
    """What one of it cost."""

    @worked("On average", decimals=4)
    def average(self, season: Book) -> float:
        """How much of the season's currency one of it cost, over its rows on Purchases."""
        mine = season.purchases
        return ratio(sum_where(mine.rate_counted, mine.currency, self.currency), count_where(mine.currency, self.currency))

    @worked("At most", decimals=4)
    def highest(self, season: Book) -> float:
        """The most that one of it cost."""
        mine = season.purchases
        return choose(self.currency == "", 0, largest_where(mine.rate_counted, mine.currency, self.currency))

    @worked("Rows", decimals=0)
    def rows(self, season: Book) -> float:
        """How many rows on Purchases are in it."""
        return count_where(season.purchases.currency, self.currency)

    @worked("That is", "text")
    def words(self, season: Book) -> str:
        """What the figures are of."""
        words = join(season.settings.currency, " for 1 ", self.currency)
        return pick(1 + choose(self.currency == "", 0, 1), NOTHING, words)


def currency_rows(source: Source) -> list[CurrencyRate]:
    """Return a line for each currency of receipts that is not the season's."""
    records = source.records
    foreign = {row.currency for row in records.purchases} - {"", records.season.currency}
    return [CurrencyRate(currency=currency) for currency in sorted(foreign)]


class MoneyWent(Figures):
    """Where the money went."""

    @worked("Spent on goods", "money")
    def spent(self, season: Book) -> float:
        """What all receipts up to the day priced on came to, less the tax that is got back."""
        return season.stock_totals.spent

    @worked("Into planned tubs", "money")
    def into_plan(self, season: Book) -> float:
        """Of it, for what the planned tubs take."""
        return season.stock_totals.into_plan

    @worked("Into stock", "money")
    def into_stock(self, season: Book) -> float:
        """Of it, for what is on hand beyond the plan, by your count on Items."""
        return season.stock_totals.into_stock

    @worked("Into neither", "money")
    def into_neither(self, season: Book) -> float:
        """Of it, for what no planned tub takes and no count finds: used earlier, not counted, or a receipt misread."""
        return season.stock_totals.into_neither

    @worked("These three are what was spent", "text")
    def adds_up(self, season: Book) -> str:
        """OK when nothing that was spent is missing from them. Stock shows them item by item."""
        mine = season.went
        return alike(mine.into_plan + mine.into_stock + mine.into_neither, mine.spent, season)


WENT = FigureList(
    "went", CHECKS_SHEET, "went_", MoneyWent, "Where the money went", ("Key", "What", "How much", "Unit", "What it means")
)

CURRENCY_RATES = Table(
    "currency_rates",
    CHECKS_SHEET,
    "What currencies cost",
    "What one of each foreign currency of the receipts cost.",
    CurrencyRateRow,
    spare=2,
    rows=currency_rows,
    on_paper=False,
)

UNDERSTOOD = Table(
    "understood",
    CHECKS_SHEET,
    "What was understood of each item",
    "What each bought item counts at, beside what it usually cost.",
    UnderstoodRow,
    spare=6,
    rows=understood_rows,
    on_paper=False,
)
