"""Price ladder: whether the sizes of one filling and the channels hang together, and the prices to mark per weight."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from costing.engine.declared import REMARK, Rules, worked
from costing.engine.operations import NOTHING, choose, count_where, join, largest_below, look_up, ratio, sum_where
from costing.engine.table import Sheet, Table
from costing.fields.types import Key, Record, given
from costing.fields.views import Cells
from costing.tables import equations
from costing.tables.lookups import of_price
from costing.tables.ones import ONE_MONEY, ONE_PER_KG
from costing.tables.selling.prices import Price
from costing.tables.sources import Source

if TYPE_CHECKING:
    from costing.tables.book import Book


class Ladder(Record):
    """One line of the ladder: a product in a channel."""

    product: Key = given("Product", "A product. To see a new one here, choose it in a free line.", refers="products.product")
    channel: Key = given("Channel", "A channel in which it has a price.", refers="channels.channel")


DEARER = "dearer per 100 g"
UNIT_PRICE = "unit price"  # how such a figure is shown: with as many decimals as it was rounded to


def _smaller(row: LadderRow, season: Book, values: Cells[float]) -> float:
    """Return a figure of the next smaller size; where two products have that size, their mean."""
    mine = season.ladder
    same = (mine.line, row.line, mine.on_label, row.smaller)
    return ratio(sum_where(values, *same), count_where(*same))


class LadderRow(Ladder, Rules):
    """A size beside the next smaller one."""

    @worked("Filling and channel", "text")
    def line(self, season: Book) -> str:
        """What is filled in, and where it is sold: prices are compared within these."""
        filled_with = look_up(season.products.filled_with, season.products.product, self.product)
        return choose(self.product == "", NOTHING, join(filled_with, " at ", self.channel))

    @worked("Price", "money")
    def price(self, season: Book) -> float:
        """The price as it is shown."""
        return of_price(self.product, self.channel, season, season.prices.used)

    @worked("On the label", "gram", decimals=0)
    def on_label(self, season: Book) -> float:
        """The weight on the label, if there is a price."""
        grams = sum_where(season.products.on_label, season.products.product, self.product)
        return choose(self.price > 0, grams, 0)

    @worked("Per 100 g", "money", shape=UNIT_PRICE)
    def per_100g(self, season: Book) -> float:
        """The unit price of 100 g: rounded to the decimals on Settings, one more where it is below 1."""
        exact = equations.per_hundred_grams(self.price, self.on_label)
        return equations.unit_price(exact, ONE_MONEY, season.settings.unit_price_decimals)

    @worked("Per kg", "money/kilogram", shape=UNIT_PRICE)
    def per_kg(self, season: Book) -> float:
        """The unit price of a kilogram, rounded in the same way."""
        exact = equations.per_kilogram(self.price, self.on_label)
        return equations.unit_price(exact, ONE_PER_KG, season.settings.unit_price_decimals)

    @worked("Next smaller", "gram", decimals=0)
    def smaller(self, season: Book) -> float:
        """The next smaller weight of the same filling in the same channel."""
        mine = season.ladder
        return largest_below(mine.on_label, mine.line, self.line, self.on_label)

    @worked("Its price", "money")
    def smaller_price(self, season: Book) -> float:
        """The price of the next smaller size."""
        return _smaller(self, season, season.ladder.price)

    @worked("Its price per 100 g", "money", shape=UNIT_PRICE)
    def smaller_per_100g(self, season: Book) -> float:
        """The unit price of the next smaller size."""
        return _smaller(self, season, season.ladder.per_100g)

    @worked("Step", "money")
    def step(self, _: Book) -> float:
        """What the bigger size costs more."""
        return choose(self.smaller > 0, self.price - self.smaller_price, 0)

    @worked("Saves on 100 g", "money", shape=UNIT_PRICE)
    def saves(self, _: Book) -> float:
        """How much cheaper 100 g are than in the next smaller size. Below zero the bigger tub is the worse buy."""
        return choose(self.smaller > 0, self.smaller_per_100g - self.per_100g, 0)

    @worked("Without tax and parcel", "money")
    def bare(self, season: Book) -> float:
        """What comes in for the tub itself."""
        return of_price(self.product, self.channel, season, season.prices.net) - of_price(
            self.product, self.channel, season, season.prices.parcel
        )

    @worked("Part of the main channel's", shape="percent")
    def against_main(self, season: Book) -> float:
        """That as a part of the same in the main channel of Settings. A shop that sells at your own price keeps the rest."""
        mine = season.ladder
        main = sum_where(mine.bare, mine.product, self.product, mine.channel, season.settings.main_channel)
        return ratio(self.bare, main)

    @worked("Look at", "text", role=REMARK)
    def remark(self, season: Book) -> str:
        """Says so when 100 g cost more than in the next smaller size."""
        return choose(self.saves + season.settings.tolerance * ONE_MONEY < 0, DEARER, NOTHING)


def ladder_rows(source: Source) -> list[Ladder]:
    """Return each product and channel with a price, the sizes of one filling in one channel under one another."""
    records = source.records
    products = {row.product: row for row in records.products}
    lines = {line: at for at, line in enumerate(dict.fromkeys(row.filled_with for row in records.products))}
    channels = {row.channel: at for at, row in enumerate(records.channels)}

    def place(row: Price) -> tuple[int, int, Decimal]:
        product = products[row.product]
        return lines[product.filled_with], channels[row.channel], product.label_grams or product.fill_grams

    return [Ladder(product=row.product, channel=row.channel) for row in sorted(records.prices, key=place)]


LADDER = Table(
    "ladder",
    Sheet("Price ladder", frozen=2),
    "Price ladder",
    "The sizes of each filling in each channel, the next smaller one beside each. Weights are those on the label.",
    LadderRow,
    spare=8,
    rows=ladder_rows,
    results=(
        "price",
        "on_label",
        "per_100g",
        "per_kg",
        "smaller",
        "smaller_per_100g",
        "step",
        "saves",
        "bare",
        "against_main",
    ),
)
