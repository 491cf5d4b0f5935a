"""What to buy: what the season's plan takes of each item, less what is on hand, in whole packs of the last purchase."""

from __future__ import annotations

from typing import TYPE_CHECKING

from costing.engine.declared import Figures, Rules, worked
from costing.engine.operations import (
    choose,
    larger,
    ratio,
    read_as,
    round_half,
    round_up,
    size_of,
    sum_where,
    total,
)
from costing.engine.table import FigureList, Sheet, Table
from costing.fields.types import Key, Record, given
from costing.tables.deciding.tub_contents import in_tub_rows
from costing.tables.lookups import of_item, text_of_item
from costing.tables.ones import ONE_MONEY
from costing.tables.sources import Source

if TYPE_CHECKING:
    from costing.tables.book import Book


class ToBuy(Record):
    """One item of the shopping list."""

    item: Key = given("Item", "Something that the plan takes.")


WHOLE = "whole"


class ToBuyRow(ToBuy, Rules):
    """What the plan takes of an item, and what has to be bought."""

    @worked("In", "text")
    def counted_in(self, season: Book) -> str:
        """Whether the figures in this row are grams or pieces."""
        return text_of_item(self.item, season, season.items.counted_in)

    @worked("The plan takes", "each", decimals=0)
    def needed(self, season: Book) -> float:
        """Grams or pieces for all planned tubs, losses included."""
        mine = season.in_tubs
        weighed = read_as(sum_where(mine.plan_grams, mine.item, self.item), "each")
        return weighed + read_as(sum_where(mine.plan_pieces, mine.item, self.item), "each")

    @worked("On hand", "each", decimals=0)
    def on_hand(self, season: Book) -> float:
        """What is in stock, as written on Items."""
        return read_as(of_item(self.item, season, season.items.on_hand), "each")

    @worked("Still to get", "each", decimals=0)
    def short(self, _: Book) -> float:
        """What the plan takes beyond that."""
        return larger(self.needed - self.on_hand, 0)

    @worked("Last bought on", "day", shape="date")
    def bought_on(self, season: Book) -> float:
        """The newest day on which it was paid for."""
        return of_item(self.item, season, season.items.latest_day)

    @worked("Packs bought then", decimals=0)
    def packs_then(self, season: Book) -> float:
        """How many packs came in on that day."""
        mine = season.purchases
        return sum_where(mine.packs_counted, mine.item, self.item, mine.priced_day, self.bought_on)

    @worked("Last pack", "each", decimals=0)
    def pack(self, season: Book) -> float:
        """What a pack held on that day; the mean, where there were several sizes."""
        return ratio(of_item(self.item, season, season.items.latest_amount), self.packs_then)

    @worked("Packs to buy", decimals=0)
    def packs(self, season: Book) -> float:
        """Whole packs."""
        return round_up(round_half(ratio(self.short, self.pack), season.settings.fine_decimals), 0)

    @worked("Pack at the last price", "money")
    def pack_price(self, season: Book) -> float:
        """What such a pack cost with its share of delivery, without tax that is got back."""
        return self.pack * of_item(self.item, season, season.items.latest)

    @worked("Cost", "money")
    def cost(self, _: Book) -> float:
        """What the packs to buy cost at that price."""
        return self.packs * self.pack_price


def buying_rows(source: Source) -> list[ToBuy]:
    """Return every item that any product takes."""
    return [ToBuy.model_construct(item=item) for item in dict.fromkeys(row.item for row in source.of(in_tub_rows))]


ABOUT = "What the plan on Prices takes of everything bought, less what is on hand on Items, in whole packs as last bought."
BUYING_SHEET = Sheet("What to buy", "What to buy", ABOUT)

BUYING = Table(
    "buying",
    BUYING_SHEET,
    "What to buy",
    ABOUT,
    ToBuyRow,
    spare=0,
    fixed=True,
    rows=buying_rows,
)


class ShoppingMoney(Figures):
    """What the whole list costs."""

    @worked("The list", "text")
    def followed(self, season: Book) -> str:
        """Whole while the items in the tubs cost what their materials and packaging do; if not, one is new: export anew."""
        mine = season.products
        missing = total(mine.materials) + total(mine.packaging) - total(season.in_tubs.cost)
        return choose(size_of(missing) <= season.settings.tolerance * ONE_MONEY, WHOLE, "not whole: export anew")

    @worked("Money needed", "money")
    def needed_money(self, season: Book) -> float:
        """For the whole list at the last prices, without tax that is got back."""
        return total(season.buying.cost)


CASH = FigureList("cash", BUYING_SHEET, "cash_", ShoppingMoney, "Money")
