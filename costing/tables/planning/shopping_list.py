"""What to buy: what all planned batches and tubs take of each item, less what is on hand, in whole packs as last bought."""

from __future__ import annotations

from typing import TYPE_CHECKING

from costing.engine.declared import Figures, Rules, worked
from costing.engine.operations import (
    choose,
    larger,
    look_up,
    ratio,
    read_as,
    round_half,
    round_up,
    size_of,
    sum_where,
    total,
)
from costing.engine.table import FigureList, Sheet, Table
from costing.fields.types import Key, Record, Text, given
from costing.fields.views import Cells
from costing.tables.buying.purchases import NOT_SAID
from costing.tables.lookups import of_item, text_of_item
from costing.tables.ones import ONE_MONEY
from costing.tables.planning.packs import NOT_YET, newest_suppliers, pack_rows
from costing.tables.sources import Source

if TYPE_CHECKING:
    from costing.tables.book import Book


class ToBuy(Record):
    """One item of the shopping list."""

    item: Key = given("Item", "Something that the plan takes.")


WHOLE = "whole"


class ToBuyRow(ToBuy, Rules):
    """What the plan takes of an item, and what has to be bought."""

    @worked("Supplier", "text")
    def supplier(self, season: Book) -> str:
        """Who it was bought from last."""
        return look_up(season.packs.supplier, season.packs.item, self.item)

    @worked("In", "text")
    def counted_in(self, season: Book) -> str:
        """Whether the figures in this row are grams or pieces."""
        return text_of_item(self.item, season, season.items.counted_in)

    @worked("Needed", "each", decimals=0)
    def needed(self, season: Book) -> float:
        """Grams or pieces that all batches and tubs take which the plan asks for, as they are weighed."""
        weighed = read_as(sum_where(season.making.for_plan, season.making.what, self.item), "each")
        return weighed + read_as(sum_where(season.tubs.for_plan, season.tubs.part, self.item), "each")

    @worked("On hand", "each", decimals=0)
    def on_hand(self, season: Book) -> float:
        """What is in stock, as written on Items."""
        return read_as(of_item(self.item, season, season.items.on_hand), "each")

    @worked("Still to get", "each", decimals=0)
    def short(self, _: Book) -> float:
        """What is needed beyond that."""
        return larger(self.needed - self.on_hand, 0)

    @worked("Last bought on", "day", shape="date")
    def bought_on(self, season: Book) -> float:
        """The newest day on which it was paid for."""
        return of_item(self.item, season, season.items.latest_day)

    @worked("Pack", "each", decimals=0)
    def pack(self, season: Book) -> float:
        """What a pack held then, of two the cheaper; pieces bought one by one come in the number bought then."""
        return _of_packs(self, season, season.packs.pack)

    @worked("Packs to buy", decimals=0)
    def packs(self, season: Book) -> float:
        """Whole packs; none for what was never paid for, of which exactly what is short is bought."""
        return round_up(round_half(ratio(self.short, self.pack), season.settings.fine_decimals), 0)

    @worked("Comes in", "each", decimals=0)
    def comes_in(self, _: Book) -> float:
        """What these packs hold, or what is short."""
        return choose(self.pack > 0, self.packs * self.pack, self.short)

    @worked("Paid for each", "money/each", decimals=5)
    def paid_each(self, season: Book) -> float:
        """What a gram or piece cost then with its delivery, tax that is got back included; the quote if never paid for."""
        quoted = of_item(self.item, season, season.items.quoted)
        return choose(self.pack > 0, _of_packs(self, season, season.packs.paid_each), quoted)

    @worked("Money needed", "money")
    def cost(self, _: Book) -> float:
        """What is paid for them first."""
        return self.comes_in * self.paid_each

    @worked("Then left over", "each", decimals=0)
    def left(self, _: Book) -> float:
        """What is there when all is made: stock that was not needed, and what packs hold beyond what is short."""
        return larger(self.on_hand + self.comes_in - self.needed, 0)


def _of_packs(row: ToBuyRow, season: Book, values: Cells[float]) -> float:
    return sum_where(values, season.packs.item, row.item)


def buying_rows(source: Source) -> list[ToBuy]:
    """Return every item that any product takes, those of one supplier together."""
    return [ToBuy.model_construct(item=row.item) for row in source.of(pack_rows)]


ABOUT = "What to make for the plan on Prices, in the order of starting; what to fill; and what to buy, in whole packs."
BUYING_SHEET = Sheet("Make and buy", "Make and buy", ABOUT, frozen=1, everyday=True, new_page="orders")

BUYING = Table(
    "buying",
    BUYING_SHEET,
    "What to buy",
    "What all batches and tubs take of everything bought, less what is on hand on Items, in whole packs as last bought.",
    ToBuyRow,
    spare=0,
    fixed=True,
    rows=buying_rows,
    results=("supplier", "counted_in", "needed", "on_hand", "short", "bought_on", "pack", "packs", "cost", "left"),
)


class Supplier(Record):
    """Somebody bought from."""

    supplier: Text = given("Supplier", "Who things were bought from last.")


class SupplierRow(Supplier, Rules):
    """What an order there comes to."""

    @worked("Money needed", "money")
    def money(self, season: Book) -> float:
        """What the order comes to, at the last prices."""
        return sum_where(season.buying.cost, season.buying.supplier, self.supplier)


def supplier_rows(source: Source) -> list[Supplier]:
    """Return everybody bought from last, and what stands where nobody is named or nothing was paid yet."""
    named = dict.fromkeys([*source.of(newest_suppliers).values(), NOT_SAID, NOT_YET])
    return [Supplier.model_construct(supplier=name) for name in named]


ORDERS = Table(
    "orders",
    BUYING_SHEET,
    "What to pay each supplier",
    "The money that each order of the list above comes to.",
    SupplierRow,
    spare=0,
    fixed=True,
    rows=supplier_rows,
)


class ShoppingMoney(Figures):
    """What the whole list costs, and the time that all takes."""

    @worked("The list", "text")
    def followed(self, season: Book) -> str:
        """Whole while the items in the tubs cost what their materials and packaging do; if not, one is new: export anew."""
        mine = season.products
        missing = total(mine.materials) + total(mine.packaging) - total(season.in_tubs.cost)
        return choose(size_of(missing) <= season.settings.tolerance * ONE_MONEY, WHOLE, "not whole: export anew")

    @worked("Money needed", "money")
    def needed_money(self, season: Book) -> float:
        """For the whole list at the last prices, with the tax that is got back later."""
        return total(season.buying.cost)

    @worked("Left over of what is made", "money")
    def left_money(self, season: Book) -> float:
        """What the batches yield beyond what is asked for, at cost; of a formula with outputs, theirs together."""
        return sum_where(season.plan.left_cost, season.plan.parted, 0)

    @worked("Hands-on for all batches", "minute", decimals=0)
    def minutes(self, season: Book) -> float:
        """Minutes that all batches of the plan take."""
        return total(season.plan.minutes)


CASH = FigureList("cash", BUYING_SHEET, "cash_", ShoppingMoney, "Money and time")
