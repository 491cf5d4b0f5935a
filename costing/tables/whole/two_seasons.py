"""Since last season: what items, products and prices were then, beside what they are now.

What was then, and what each change did, is kept: it follows from another season's records. All else follows this book.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from costing.engine.declared import REMARK, Rules, worked
from costing.engine.operations import NOTHING, both, choose, ratio, read_as, round_half, sum_where
from costing.engine.table import Table
from costing.fields.types import Key, NumberField, Record, Reference, Text, given
from costing.fields.views import Figured
from costing.tables.lookups import of_price, of_product

if TYPE_CHECKING:
    from costing.tables.book import Book


AMOUNT = NumberField("money")


PART = NumberField("", shape="percent")


EFFECTS = ("purchases", "formulas", "rates", "packaging", "overheads")


ORDER = (
    "One after the other, last season's are replaced by this season's: the prices of everything bought, then formulas, "
    "fills and minutes, then the rates for work and power, then the tubs, and overheads last."
)


PER_KG, PER_PIECE = "kg", "piece"


THIN = "under the margin wanted"


class ProductSince(Record):
    """A product of both seasons: what one cost then, and what each change did to that."""

    product: Key = given("Product", "A product of both seasons.")
    then: Figured = given("Cost then", "What one cost last season, overheads included.", AMOUNT)
    purchases: Figured = given(
        "Purchases did", "What the prices of everything bought, jars and labels too, changed.", AMOUNT
    )
    formulas: Figured = given("Formulas did", "What lines, steps, losses, outputs, fill, waste and minutes changed.", AMOUNT)
    rates: Figured = given("Rates did", "What the prices of an hour of work and of power changed.", AMOUNT)
    packaging: Figured = given("Packaging did", "What another tub, or other parts in it, changed.", AMOUNT)
    overheads: Figured = given(
        "Overheads did", "What its part of the overheads changed: their sums, your hours in them, and the plan.", AMOUNT
    )


class ItemSince(Record):
    """An item of both seasons with its price then."""

    item: Key = given("Item", "An item that both seasons price.")
    per: Text = given("Per", "What the price is for: a kilogram, or a piece.")
    then: Figured = given("Price then", "What it counted at last season.", AMOUNT, decimals=4)


class PriceSince(Record):
    """A product in a channel of both seasons, with its price and margin then."""

    product: Key = given("Product", "A product of both seasons.")
    channel: Key = given("Channel", "A channel of both seasons.")
    then: Figured = given("Price then", "The price that was shown last season.", AMOUNT)
    margin_then: Figured = given("Margin then", "The part of it that was left last season, without tax.", PART)


class OnlyOnce(Record):
    """Something that only one of the two seasons has."""

    what: Text = given("What", "An item, a product, or a product in a channel.")
    key: Reference = given("Which", "Its key.")
    status: Text = given("New or gone", "Whether only this season has it (new), or only last season had it (gone).")
    per: Text = given("Per", "What the amount is for: a kilogram, a piece, or one product.")
    amount: Figured = given(
        "Amount", "An item's price, a product's cost, or the price shown, in the season that has it.", AMOUNT
    )


ONLY_ONCE = Table(
    "since_only", "Since last season", "New and gone", "What only one of the two seasons has.", OnlyOnce, spare=0, fixed=True
)


class ProductSinceRow(ProductSince, Rules):
    """What one of a product costs now, and what changed it."""

    @worked("Cost now", "money")
    def now(self, season: Book) -> float:
        """What one costs in this book."""
        return of_product(self.product, season, season.products.total)

    @worked("Changed by", "money")
    def changed(self, _: Book) -> float:
        """Cost now less cost then."""
        return self.now - self.then

    @worked("Of cost then", shape="percent")
    def changed_part(self, _: Book) -> float:
        """The change as a part of the cost then."""
        return ratio(self.changed, self.then)

    @worked("Your edits did", "money")
    def edits(self, season: Book) -> float:
        """What is left of the change after the five: what was edited in this book since it was written."""
        five = self.purchases + self.formulas + self.rates + self.packaging + self.overheads
        return round_half(self.changed - five, season.settings.fine_decimals)


PRODUCTS_SINCE = Table(
    "since_products", "Since last season", "What one costs, then and now", ORDER, ProductSinceRow, spare=0, fixed=True
)


class ItemSinceRow(ItemSince, Rules):
    """What an item costs now."""

    @worked("Price now", "money", decimals=4)
    def item_now(self, season: Book) -> float:
        """What it counts at in this book."""
        mine = season.items
        each = read_as(sum_where(mine.per_piece, mine.item, self.item), "money")
        per_kg = read_as(sum_where(mine.per_kg, mine.item, self.item), "money")
        return choose(self.per == PER_PIECE, each, per_kg)

    @worked("Changed by", "money", decimals=4)
    def item_changed(self, _: Book) -> float:
        """Price now less price then."""
        return self.item_now - self.then

    @worked("Of price then", shape="percent")
    def item_changed_part(self, _: Book) -> float:
        """The change as a part of the price then."""
        return ratio(self.item_changed, self.then)


ITEMS_SINCE = Table(
    "since_items",
    "Since last season",
    "What items cost, then and now",
    "Every item that both seasons price.",
    ItemSinceRow,
    spare=0,
    fixed=True,
)


class PriceSinceRow(PriceSince, Rules):
    """What the price of then would leave now."""

    @worked("Then without tax", "money")
    def net(self, season: Book) -> float:
        """What the price of then is without this season's tax."""
        return ratio(self.then, of_price(self.product, self.channel, season, season.prices.tax_in_price))

    @worked("Fees take", shape="percent")
    def fee_part(self, season: Book) -> float:
        """The channel's fee as a part of the price without tax."""
        return of_price(self.product, self.channel, season, season.prices.fee) * (
            1 + of_price(self.product, self.channel, season, season.prices.tax)
        )

    @worked("Costs to cover now", "money")
    def costs(self, season: Book) -> float:
        """What one costs in this book, with the parcel and the fee for each sale."""
        return of_price(self.product, self.channel, season, season.prices.costs)

    @worked("Left at that price", "money")
    def left(self, _: Book) -> float:
        """What the price of then would leave at the costs of now."""
        return self.net - self.fee_part * self.net - self.costs

    @worked("Margin at that price", shape="percent")
    def margin(self, _: Book) -> float:
        """The same as a part of the price without tax."""
        return ratio(self.left, self.net)

    @worked("Margin wanted", shape="percent")
    def wanted(self, season: Book) -> float:
        """The channel's, in this book."""
        return of_price(self.product, self.channel, season, season.prices.wanted)

    @worked("Suggested now", "money")
    def suggested(self, season: Book) -> float:
        """The price that this book suggests."""
        return of_price(self.product, self.channel, season, season.prices.suggested)

    @worked("Price now", "money")
    def used(self, season: Book) -> float:
        """The price that this book uses: your own, else the suggested one."""
        return of_price(self.product, self.channel, season, season.prices.used)

    @worked("Look at", "text", role=REMARK)
    def remark(self, season: Book) -> str:
        """Says so when the price of then would leave less than the margin wanted."""
        below = self.margin < self.wanted - season.settings.tolerance
        return choose(both(self.net > 0, below), THIN, NOTHING)


PRICES_SINCE = Table(
    "since_prices",
    "Since last season",
    "Last season's prices at this season's costs",
    "What would be left at the price of then.",
    PriceSinceRow,
    spare=0,
    fixed=True,
)


SINCE_TABLES = (PRODUCTS_SINCE, PRICES_SINCE, ITEMS_SINCE, ONLY_ONCE)
