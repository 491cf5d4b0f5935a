"""In a tub: the grams and pieces of every bought item in one of each product, and what they cost."""

from __future__ import annotations

from typing import Any

from costing.engine.operations import NOTHING, choose, look_up, ratio, sum_where
from costing.engine.table import Table
from costing.fields.types import Key, Record, given
from costing.tables.lookups import of_item, of_product, text_of_product


class InTub(Record):
    """One bought item in one product."""

    product: Key = given("Product", "The product.")
    item: Key = given("Item", "The bought item in it.")


IN_TUBS = Table(
    "in_tubs",
    "In a tub",
    "What is in a tub",
    "Grams and pieces of every bought item in one of each product, losses included, and what they cost.",
    InTub,
    spare=0,
    fixed=True,
)


@IN_TUBS.works_out("Filled with", "text")
def filled_with(row: Any, season: Any) -> Any:
    """The product's filling."""
    found = look_up(season.products.filled_with, season.products.product, row.product)
    return choose(row.product == "", NOTHING, found)


@IN_TUBS.works_out("Tub", "text")
def tub(row: Any, season: Any) -> Any:
    """The product's package."""
    return text_of_product(row, season, "tub")


@IN_TUBS.works_out("Filling used", "gram", decimals=1)
def used(row: Any, season: Any) -> Any:
    """What filling one takes."""
    return of_product(row, season, "used")


def _in_filling(row: Any, season: Any, key: str) -> Any:
    """Return the grams of the item in the filling that one takes."""
    mine = season.contents
    return row.used * sum_where(getattr(mine, key), mine.what, row.filled_with, mine.item, row.item)


def _at_its_price(row: Any, season: Any, grams: Any) -> Any:
    """Return what so many grams of the item cost, and its pieces in one."""
    return grams * of_item(row, season, "per_gram") + row.pieces * of_item(row, season, "per_piece")


@IN_TUBS.works_out("In one", "gram", decimals=3)
def grams(row: Any, season: Any) -> Any:
    """Grams of the item that one takes."""
    return _in_filling(row, season, "per_gram")


@IN_TUBS.works_out("Pieces in one", "piece", decimals=0)
def pieces(row: Any, season: Any) -> Any:
    """Pieces of the item that one takes."""
    return sum_where(season.tubs.count, season.tubs.tub, row.tub, season.tubs.part, row.item)


@IN_TUBS.works_out("Cost in one", "money", decimals=4)
def cost(row: Any, season: Any) -> Any:
    """What that costs."""
    return _at_its_price(row, season, row.grams)


@IN_TUBS.works_out("Moves with its price", "money", decimals=4)
def moving(row: Any, season: Any) -> Any:
    """What of one's cost follows the item's price: less or more than it costs where an output's worth is set."""
    return _at_its_price(row, season, _in_filling(row, season, "moving_per_gram"))


@IN_TUBS.works_out("Of the whole cost", shape="percent")
def share(row: Any, season: Any) -> Any:
    """Its part of everything that one costs."""
    return ratio(row.cost, of_product(row, season, "total"))


@IN_TUBS.works_out("Planned", decimals=0)
def planned(row: Any, season: Any) -> Any:
    """How many are planned."""
    return of_product(row, season, "planned")


@IN_TUBS.works_out("For the plan", "gram", decimals=0)
def plan_grams(row: Any, _: Any) -> Any:
    """Grams that the plan takes."""
    return row.planned * row.grams


@IN_TUBS.works_out("Pieces for the plan", "piece", decimals=0)
def plan_pieces(row: Any, _: Any) -> Any:
    """Pieces that the plan takes."""
    return row.planned * row.pieces
