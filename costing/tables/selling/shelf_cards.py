"""Shelf cards: what stands at the shelf for each tub, ready to print and cut."""

from __future__ import annotations

from typing import Any

from costing.engine.operations import NOTHING, choose, sum_where
from costing.engine.table import Table
from costing.fields.types import Key, Record, given
from costing.tables.lookups import of_channel, text_of_product
from costing.tables.selling.price_ladder import UNIT_PRICE


class Card(Record):
    """One shelf card: a product in a channel."""

    product: Key = given("Product", "A product. For a new card, choose it in a free line.", refers="products.product")
    channel: Key = given("Channel", "The channel whose price the card shows.", refers="channels.channel")


TAX_MISSING = "price without tax"

SHELF = Table(
    "shelf",
    "Shelf cards",
    "Shelf cards",
    "Name, weight on the label, price and unit price of each tub. Printed without the first two columns, to be cut apart.",
    Card,
    spare=6,
)


def _step(row: Any, season: Any, key: str) -> Any:
    mine = season.ladder
    return sum_where(getattr(mine, key), mine.product, row.product, mine.channel, row.channel)


@SHELF.works_out("Name", "text")
def name(row: Any, season: Any) -> Any:
    """Its name."""
    return text_of_product(row, season, "name")


@SHELF.works_out("On the label", "gram", decimals=0)
def on_label(row: Any, season: Any) -> Any:
    """The weight on the label."""
    return _step(row, season, "on_label")


@SHELF.works_out("Price", "money")
def price(row: Any, season: Any) -> Any:
    """The price as it is shown."""
    return _step(row, season, "price")


@SHELF.works_out("Per 100 g", "money", shape=UNIT_PRICE)
def per_100g(row: Any, season: Any) -> Any:
    """The unit price of 100 g, from the Price ladder."""
    return _step(row, season, "per_100g")


@SHELF.works_out("Per kg", "money/kilogram", shape=UNIT_PRICE)
def per_kg(row: Any, season: Any) -> Any:
    """The unit price of a kilogram, from the Price ladder. Which of the two must stand there is for local law to say."""
    return _step(row, season, "per_kg")


@SHELF.works_out("Look at", "text")
def remark(row: Any, season: Any) -> Any:
    """Says so when the channel's price leaves out a sales tax that customers pay."""
    left_out = of_channel(row, season, "sales_tax_percent") > of_channel(row, season, "tax_shown")
    return choose(left_out, TAX_MISSING, NOTHING)
