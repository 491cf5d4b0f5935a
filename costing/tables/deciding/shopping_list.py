"""What to buy: what the season's plan takes of each item, less what is on hand, in whole packs of the last purchase."""

from __future__ import annotations

from typing import Any

from costing.engine.expressions import Factor
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
from costing.engine.table import FigureList, Table
from costing.fields.types import Key, Record, given
from costing.tables.lookups import of_item, text_of_item


class ToBuy(Record):
    """One item of the shopping list."""

    item: Key = given("Item", "Something that the plan takes.")


BUYING = Table(
    "buying",
    "What to buy",
    "What to buy",
    "What the plan on Prices takes of everything bought, less what is on hand on Items, in whole packs as last bought.",
    ToBuy,
    spare=0,
    fixed=True,
)
CASH = FigureList("cash", "What to buy", "cash_")
WHOLE = "whole"
ONE_MONEY = Factor(1, "money")


@BUYING.works_out("Name", "text")
def name(row: Any, season: Any) -> Any:
    """Its name in full."""
    return text_of_item(row, season, "name")


@BUYING.works_out("In", "text")
def counted_in(row: Any, season: Any) -> Any:
    """Whether the figures in this row are grams or pieces."""
    return text_of_item(row, season, "counted_in")


@BUYING.works_out("The plan takes", "each", decimals=0)
def needed(row: Any, season: Any) -> Any:
    """Grams or pieces for all planned tubs, losses included."""
    mine = season.in_tubs
    weighed = read_as(sum_where(mine.plan_grams, mine.item, row.item), "each")
    return weighed + read_as(sum_where(mine.plan_pieces, mine.item, row.item), "each")


@BUYING.works_out("On hand", "each", decimals=0)
def on_hand(row: Any, season: Any) -> Any:
    """What is in stock, as written on Items."""
    return read_as(of_item(row, season, "on_hand"), "each")


@BUYING.works_out("Still to get", "each", decimals=0)
def short(row: Any, _: Any) -> Any:
    """What the plan takes beyond that."""
    return larger(row.needed - row.on_hand, 0)


@BUYING.works_out("Last bought on", "day", shape="date")
def bought_on(row: Any, season: Any) -> Any:
    """The newest day on which it was paid for."""
    return of_item(row, season, "latest_day")


@BUYING.works_out("Packs bought then", decimals=0)
def packs_then(row: Any, season: Any) -> Any:
    """How many packs came in on that day."""
    mine = season.purchases
    return sum_where(mine.packs_counted, mine.item, row.item, mine.priced_day, row.bought_on)


@BUYING.works_out("Last pack", "each", decimals=0)
def pack(row: Any, season: Any) -> Any:
    """What a pack held on that day; the mean, where there were several sizes."""
    return ratio(of_item(row, season, "latest_amount"), row.packs_then)


@BUYING.works_out("Packs to buy", decimals=0)
def packs(row: Any, season: Any) -> Any:
    """Whole packs."""
    return round_up(round_half(ratio(row.short, row.pack), season.settings.fine_decimals), 0)


@BUYING.works_out("Pack at the last price", "money")
def pack_price(row: Any, season: Any) -> Any:
    """What such a pack cost with its share of delivery, without tax that is got back."""
    return row.pack * of_item(row, season, "latest")


@BUYING.works_out("Cost", "money")
def cost(row: Any, _: Any) -> Any:
    """What the packs to buy cost at that price."""
    return row.packs * row.pack_price


@CASH.works_out("The list", "text")
def followed(season: Any) -> Any:
    """Whole while the items in the tubs cost what their materials and packaging do; if not, one is new: export anew."""
    mine = season.products
    missing = total(mine.materials) + total(mine.packaging) - total(season.in_tubs.cost)
    return choose(size_of(missing) <= season.settings.tolerance * ONE_MONEY, WHOLE, "not whole: export anew")


@CASH.works_out("Money needed", "money")
def needed_money(season: Any) -> Any:
    """For the whole list at the last prices, without tax that is got back."""
    return total(season.buying.cost)
