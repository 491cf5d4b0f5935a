"""Price ladder: whether the sizes of one filling and the channels hang together, and the prices to mark per weight."""

from __future__ import annotations

from typing import Any

from costing.engine.expressions import Factor
from costing.engine.operations import NOTHING, choose, count_where, join, largest_below, look_up, ratio, sum_where
from costing.engine.table import Table
from costing.fields.types import Key, Record, given
from costing.tables import equations
from costing.tables.lookups import of_price


class LadderRow(Record):
    """One line of the ladder: a product in a channel."""

    product: Key = given("Product", "A product. To see a new one here, choose it in a free line.", refers="products.product")
    channel: Key = given("Channel", "A channel in which it has a price.", refers="channels.channel")


DEARER = "dearer per 100 g"
UNIT_PRICE = "unit price"  # how such a figure is shown: with as many decimals as it was rounded to
ONE_MONEY, ONE_PER_KG = Factor(1, "money"), Factor(1, "money/kilogram")

LADDER = Table(
    "ladder",
    "Price ladder",
    "Price ladder",
    "The sizes of each filling in each channel, the next smaller one beside each. Weights are those on the label.",
    LadderRow,
    spare=8,
)


def _smaller(row: Any, season: Any, key: str) -> Any:
    """Return a figure of the next smaller size; where two products have that size, their mean."""
    mine = season.ladder
    same = (mine.line, row.line, mine.on_label, row.smaller)
    return ratio(sum_where(getattr(mine, key), *same), count_where(*same))


@LADDER.works_out("Filling and channel", "text")
def line(row: Any, season: Any) -> Any:
    """What is filled in, and where it is sold: prices are compared within these."""
    filled_with = look_up(season.products.filled_with, season.products.product, row.product)
    return choose(row.product == "", NOTHING, join(filled_with, " at ", row.channel))


@LADDER.works_out("Price", "money")
def price(row: Any, season: Any) -> Any:
    """The price as it is shown."""
    return of_price(row, season, "used")


@LADDER.works_out("On the label", "gram", decimals=0)
def on_label(row: Any, season: Any) -> Any:
    """The weight on the label, if there is a price."""
    grams = sum_where(season.products.on_label, season.products.product, row.product)
    return choose(row.price > 0, grams, 0)


@LADDER.works_out("Per 100 g", "money", shape=UNIT_PRICE)
def per_100g(row: Any, season: Any) -> Any:
    """The unit price of 100 g: rounded to the decimals on Settings, one more where it is below 1."""
    exact = equations.per_hundred_grams(row.price, row.on_label)
    return equations.unit_price(exact, ONE_MONEY, season.settings.unit_price_decimals)


@LADDER.works_out("Per kg", "money/kilogram", shape=UNIT_PRICE)
def per_kg(row: Any, season: Any) -> Any:
    """The unit price of a kilogram, rounded in the same way."""
    exact = equations.per_kilogram(row.price, row.on_label)
    return equations.unit_price(exact, ONE_PER_KG, season.settings.unit_price_decimals)


@LADDER.works_out("Next smaller", "gram", decimals=0)
def smaller(row: Any, season: Any) -> Any:
    """The next smaller weight of the same filling in the same channel."""
    mine = season.ladder
    return largest_below(mine.on_label, mine.line, row.line, row.on_label)


@LADDER.works_out("Its price", "money")
def smaller_price(row: Any, season: Any) -> Any:
    """The price of the next smaller size."""
    return _smaller(row, season, "price")


@LADDER.works_out("Its price per 100 g", "money", shape=UNIT_PRICE)
def smaller_per_100g(row: Any, season: Any) -> Any:
    """The unit price of the next smaller size."""
    return _smaller(row, season, "per_100g")


@LADDER.works_out("Step", "money")
def step(row: Any, _: Any) -> Any:
    """What the bigger size costs more."""
    return choose(row.smaller > 0, row.price - row.smaller_price, 0)


@LADDER.works_out("Saves on 100 g", "money", shape=UNIT_PRICE)
def saves(row: Any, _: Any) -> Any:
    """How much cheaper 100 g are than in the next smaller size. Below zero the bigger tub is the worse buy."""
    return choose(row.smaller > 0, row.smaller_per_100g - row.per_100g, 0)


@LADDER.works_out("Without tax and parcel", "money")
def bare(row: Any, season: Any) -> Any:
    """What comes in for the tub itself."""
    return of_price(row, season, "net") - of_price(row, season, "parcel")


@LADDER.works_out("Part of the main channel's", shape="percent")
def against_main(row: Any, season: Any) -> Any:
    """That as a part of the same in the main channel of Settings. A shop that sells at your own price keeps the rest."""
    mine = season.ladder
    main = sum_where(mine.bare, mine.product, row.product, mine.channel, season.settings.main_channel)
    return ratio(row.bare, main)


@LADDER.works_out("Look at", "text")
def remark(row: Any, season: Any) -> Any:
    """Says so when 100 g cost more than in the next smaller size."""
    return choose(row.saves + season.settings.tolerance * ONE_MONEY < 0, DEARER, NOTHING)
