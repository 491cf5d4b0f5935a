"""Packs: in what each item was bought last, from whom, and what is paid first for a gram or piece of it.

Of two packs of one day the one cheaper per gram or piece counts, the first of them where they are alike. Pieces written one
by one come in cartons: all that were bought then are the pack.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from costing.engine.declared import Rules, worked
from costing.engine.operations import (
    choose,
    largest_where,
    look_up,
    position_of,
    ratio,
    sum_where,
    value_at,
)
from costing.engine.table import Table
from costing.fields.types import Key, Record, day_number, given
from costing.tables import equations
from costing.tables.buying.purchases import DELIVERY, DISCOUNT, NOT_SAID
from costing.tables.deciding.tub_contents import items_in_tubs
from costing.tables.lookups import of_item
from costing.tables.planning.plan import PLAN_SHEET
from costing.tables.sources import Source

if TYPE_CHECKING:
    from costing.tables.book import Book

NOT_YET = "not paid for yet"


class Packed(Record):
    """One item that the plan may take."""

    item: Key = given("Item", "Something bought.")


class PackRow(Packed, Rules):
    """In what it was bought last."""

    @worked("Last bought on", "day", shape="date")
    def bought_on(self, season: Book) -> float:
        """The newest day on which it was paid for."""
        return of_item(self.item, season, season.items.latest_day)

    @worked("Most for the money", "each/money", decimals=3)
    def cheapest(self, season: Book) -> float:
        """Grams or pieces for one of money, in the cheapest purchase of that day."""
        return largest_where(season.purchases.for_money, season.purchases.item, self.item)

    @worked("Place on Purchases", decimals=0)
    def place(self, season: Book) -> float:
        """In which row on Purchases that one stands, the heading being 1; 0 where it was never paid for."""
        return position_of(season.purchases.pack_of, self.item)

    @worked("Supplier", "text")
    def supplier(self, season: Book) -> str:
        """Who that one was bought from."""
        mine = season.purchases
        return choose(self.place == 0, NOT_YET, look_up(mine.bought_from, mine.pack_of, self.item))

    @worked("Its receipt", "text")
    def receipt(self, season: Book) -> str:
        """The receipt it stands on."""
        return look_up(season.purchases.receipt, season.purchases.pack_of, self.item)

    @worked("Pack", "each", decimals=0)
    def pack(self, season: Book) -> float:
        """What one pack of it held; 0 where it was never paid for."""
        return value_at(season.purchases.pack, self.place)

    @worked("Tax on its delivery", "money")
    def shared_tax(self, season: Book) -> float:
        """Tax that is got back of the deliveries, less that of the discounts, on that receipt."""
        mine = season.purchases
        added = sum_where(mine.tax_back, mine.receipt, self.receipt, mine.item, DELIVERY)
        return added - sum_where(mine.tax_back, mine.receipt, self.receipt, mine.item, DISCOUNT)

    @worked("All goods on it", "money")
    def goods_together(self, season: Book) -> float:
        """What was borne for all goods of that receipt."""
        return sum_where(season.purchases.goods, season.purchases.receipt, self.receipt)

    @worked("Of that tax its own", "money")
    def tax_of_share(self, season: Book) -> float:
        """Its part of that tax, in proportion to its goods."""
        goods = value_at(season.purchases.goods, self.place)
        return equations.share_in_proportion(self.shared_tax, goods, self.goods_together)

    @worked("Paid for it first", "money")
    def paid_first(self, season: Book) -> float:
        """Its landed cost with the tax that is got back later, its delivery's too: that is paid first."""
        mine = season.purchases
        return value_at(mine.landed, self.place) + value_at(mine.tax_back, self.place) + self.tax_of_share

    @worked("Paid for each", "money/each", decimals=5)
    def paid_each(self, season: Book) -> float:
        """The same for a gram or piece."""
        return ratio(self.paid_first, value_at(season.purchases.amount, self.place))


def pack_rows(source: Source) -> list[Packed]:
    """Return every item that any product takes, those of one supplier together."""
    suppliers = source.of(newest_suppliers)
    first_met = {supplier: at for at, supplier in enumerate(dict.fromkeys(suppliers.values()))}
    items = source.of(items_in_tubs)
    listed = sorted(items, key=lambda item: first_met.get(suppliers.get(item, ""), len(first_met)))
    return [Packed.model_construct(item=item) for item in listed]


def newest_suppliers(source: Source) -> dict[str, str]:
    """Return who each item was bought from last, up to the day priced on."""
    records = source.records
    until = day_number(records.season.priced_on)
    paid = [row for row in records.purchases if row.paid > 0 and row.packs > 0 and day_number(row.bought_on) <= until]
    return {row.item: row.supplier or NOT_SAID for row in sorted(paid, key=lambda row: row.bought_on)}


PACKS = Table(
    "packs",
    PLAN_SHEET,
    "Packs as last bought",
    "In what each item was bought last, of two on one day the cheaper per gram or piece; the shopping list reads it.",
    PackRow,
    spare=0,
    fixed=True,
    rows=pack_rows,
    results=(),
)
